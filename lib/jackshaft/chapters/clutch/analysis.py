"""The clutch: the torque it holds and pulls, cold and hot, against what the drive asks of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.chapters.clutch import CHAPTER
from jackshaft.chapters.clutch import coil as clutch_coil
from jackshaft.chapters.clutch import engage as clutch_engage
from jackshaft.chapters.clutch import heat as clutch_heat
from jackshaft.chapters.clutch.torque import Known, known_torques
from jackshaft.chapters.electric.analysis import ElectricData
from jackshaft.chapters.ratio.analysis import ENGINE, RatioData
from jackshaft.mechanics import circuit, clutch, coil
from jackshaft.parts.engine_curve import engine_peak
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.checks import CAUTION, GO, Table, grade, undecided
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.units import at_least

#: Coil temperatures (K) and share of the nominal voltage that the curves run over.
TEMPERATURES = np.linspace(273.15, 433.15, 33)
VOLTS = np.linspace(0.6, 1.35, 31)


class Curves(NamedTuple):
    """Coil current (A) and torque (N·m) over coil temperature at each supply, and over supply voltage cold and hot.

    ``warm_amps`` and ``volt_amps`` map a name to the currents, ``warm`` and ``volt`` to the torque bands
    (empty where no torque is known).
    """

    temperatures: np.ndarray
    warm_amps: dict[str, np.ndarray]
    warm: dict[str, clutch.Band]
    volts: np.ndarray
    volt_amps: dict[str, np.ndarray]
    volt: dict[str, clutch.Band]


class ClutchData(NamedTuple):
    """What the clutch chapter found, SI units; ``static`` and ``dynamic`` map a state's name to a torque band."""

    known: tuple[Known, ...]
    used: Known | None
    static: dict[str, clutch.Band]
    dynamic: dict[str, clutch.Band]
    required: clutch.Required | None
    curves: Curves | None
    electric: ElectricData | None
    shaft: str
    engagement: clutch_engage.Engagement | None
    dynamics: clutch_coil.Dynamics | None
    settled: clutch_heat.Settled | None = None


def work_up(reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Work up the clutch of a build."""
    draft = Draft(CHAPTER)
    ratio, circuit_chapter = done["ratio"], done["electric"]
    if reader.is_none("clutch"):
        return draft.done(reader, "none", "This build has no clutch: the motor turns the work whenever it runs.")
    kind = reader.get("clutch.kind")
    if kind not in (None, "electromagnetic"):
        return draft.done(reader, "none", f"A clutch of the kind '{kind}' is not computed here.")
    if not reader.has("clutch"):
        return draft.done(reader, "not known yet", "No clutch is in the build file yet.")
    electric: ElectricData | None = circuit_chapter.data
    shaft = reader.get("clutch.shaft") or ENGINE
    known = known_torques(reader)
    used = known[0] if known else None
    required = required_of(reader, ratio.data, shaft)
    static, dynamic = {}, {}
    if used is not None and electric is not None:
        for i, state in enumerate(electric.line.states):
            static[state[0]] = torque_of(used, float(electric.steps.coil_amps[i]))
            dynamic[state[0]] = clutch.times_si(static[state[0]], factor=clutch.DYNAMIC)
    curves = curves_of(electric, used) if electric is not None else None
    hot = next((s for s in ("running, hot", "battery only, hot") if s in dynamic), None)
    engagement, dynamics, settled = None, None, None
    with draft.attempt(reader, "clutch.engagement", "engagement, coil hot"):
        engagement = clutch_engage.engage(reader, ratio.data, shaft, dynamic.get(hot), required)
    if electric is not None:
        with draft.attempt(reader, "clutch.dynamics", "pull-in and let-go times"):
            dynamics = clutch_coil.dynamics_of(reader, electric)
    with draft.attempt(reader, "clutch.repeated", "temperature, engaged again and again"):
        settled = clutch_heat.settle(reader, engagement, electric)
    data = ClutchData(
        known,
        used,
        static,
        dynamic,
        required,
        curves,
        electric,
        shaft,
        engagement,
        dynamics,
        settled,
    )
    draft.data = data if known or curves else None
    _facts(draft, reader, data)
    _hold_check(draft, reader, data)
    _pull_check(draft, reader, data)
    clutch_coil.gap_check(draft, reader, electric)
    clutch_engage.check(draft, reader, engagement)
    clutch_heat.check(draft, reader, data.settled, engagement)
    clutch_heat.facing_check(draft, reader, engagement)
    _sheets(draft, reader, data)
    if engagement is not None:
        clutch_engage.facts(draft, reader, engagement, clutch_engage.load_inertia(reader))
        clutch_heat.facts(draft, reader, data.settled, engagement)
        clutch_engage.sheet(draft, reader, engagement)
        clutch_heat.sheet(draft, reader, data.settled)
        clutch_engage.stop_check(draft, reader, engagement)
    if data.dynamics is not None:
        clutch_coil.add(draft, reader, data.dynamics)
    draft.cautions += [
        "A clutch that lets go leaves the work turning. Wait until everything stands still, key out, before reaching "
        "in.",
        "A slip test with lever and scale: engine off, spark lead off, the driven side locked, and nobody in line "
        "with the lever. It is let go by the switch, not by hand.",
    ]
    draft.cite("trade-practice", "own-derivation")
    return draft.done(reader, uses=[ratio, circuit_chapter])


def torque_of(known: Known, amps) -> clutch.Band:
    """Return the static torque at a coil current as a band, the state of the faces counted."""
    band = clutch.torque_at_current.si(known.torque, rated_current=known.amps, current=amps)
    return clutch.times_si(clutch.times_si(band, factor=known.spread), factor=known.faces)


def required_of(reader: Reader, ratio: RatioData | None, shaft: str) -> clutch.Required | None:
    """Return what the clutch must hold and pull at its own shaft, or None where nothing is known."""
    state = ratio.shaft(shaft) if ratio else None
    work = state.torque if state is not None and state.torque else None
    if ratio is None:
        # no stage is known yet, but the power may be stated at the clutch's own shaft
        power, speed, at = reader.si("work.power"), reader.si(f"{ENGINE}.work_speed"), reader.get("work.power_at")
        if power is not None and speed and at == shaft == ENGINE:
            work = float(clutch.torque_from_power.si(power, speed=speed))
    peak = engine_peak(reader)
    if peak is not None and shaft != ENGINE:
        peak = peak * state.over if state is not None else None
    if work is None:
        reader.note_missing(*(k for k in ("work.power", "work.power_at", "engine.work_speed") if reader.get(k) is None))
    if work is None and peak is None:
        return None
    factors = {f"{name}_factor": reader.si(f"work.{name}_factor") for name in ("start", "peak", "overrun")}
    for key, value in factors.items():
        if value is None and key != "overrun_factor":
            reader.note_missing(f"work.{key}")
    start, most, over = (factors[f"{n}_factor"] for n in ("start", "peak", "overrun"))
    return clutch.required_torque.si(
        work or 0.0,
        start_factor=1.0 if start is None else start,
        peak_factor=most or 1.0,
        engine_peak=peak or 0.0,
        overrun_factor=over or 0.0,
    )


def curves_of(electric: ElectricData, used: Known | None) -> Curves:
    """Return current and torque over coil temperature and over supply voltage."""
    line = electric.line
    ohms = coil.hot_resistance.si(line.r20, temperature=TEMPERATURES)
    warm_amps = {
        name.split(",")[0]: circuit.steps_si(line.chain(supply, ohms)).coil_amps
        for name, supply, _ in line.states
        if name.endswith("cold")
    }
    volts = VOLTS * line.nominal
    volt_amps = {
        heat: circuit.steps_si(line.chain(volts, ohm)).coil_amps
        for heat, ohm in (("cold", line.r20), ("hot", line.hot))
    }
    bands = [
        {} if used is None else {k: torque_of(used, a) for k, a in amps.items()} for amps in (warm_amps, volt_amps)
    ]
    return Curves(TEMPERATURES, warm_amps, bands[0], volts, volt_amps, bands[1])


def hot_state(data: ClutchData) -> str | None:
    """Return the state that the clutch is judged in: hot coil, engine running where that is known."""
    return next((s for s in ("running, hot", "battery only, hot") if s in data.static), None)


def _facts(draft: Draft, reader: Reader, data: ClutchData) -> None:
    used = data.used
    if used is not None:
        draft.fact(
            "torque it is known at",
            f"{reader.both(used.torque, 'torque')} at {reader.show(used.amps, 'current')}",
            f"{used.words}; {used.faces_words}",
        )
    for which, words in (("running", "engine running"), ("battery only", "engine stopped")):
        found = [(heat, data.static.get(f"{which}, {heat}")) for heat in ("cold", "hot")]
        if all(b is not None for _, b in found):
            draft.fact(
                f"holding torque, {words}",
                ", ".join(f"{reader.show(b.likely, 'torque')} {heat}" for heat, b in found),
                "; ".join(
                    f"{heat} {reader.show(b.bad, 'torque')} to {reader.show(b.good, 'torque')}" for heat, b in found
                ),
            )
    state = hot_state(data)
    if state is not None:
        band = data.dynamic[state]
        draft.fact(
            "torque while it slips, hot",
            reader.show(band.likely, "torque"),
            f"{reader.show(band.bad, 'torque')} to {reader.show(band.good, 'torque')}: "
            f"{clutch.DYNAMIC.bad:g} to {clutch.DYNAMIC.good:g} of the holding torque, common practice",
        )
    if data.required is not None:
        need = data.required
        cases = [
            ("work", need.work),
            ("start", need.start),
            ("peak", need.peak),
            ("engine at its peak", need.engine),
            ("overrun", need.overrun),
        ]
        draft.fact(
            "the clutch must hold",
            reader.both(need.hold, "torque"),
            f"at the shaft '{data.shaft}': " + ", ".join(f"{n} {reader.show(t, 'torque')}" for n, t in cases if t),
        )


def _hold_check(draft: Draft, reader: Reader, data: ClutchData) -> None:
    id, name = "clutch.hold", "holding, coil hot"
    state, need = hot_state(data), data.required
    limit = "" if need is None else reader.show(need.hold, "torque")
    if state is None or need is None or need.hold == 0.0:
        missing = [] if data.used is not None else ["clutch.static_torque"]
        missing += list(data.electric is None and ("clutch.coil_resistance",) or ())
        missing += ["work.power"] if need is None or need.hold == 0.0 else []
        reader.note_missing(*missing)
        draft.checks.append(
            undecided(
                id,
                name,
                tuple(dict.fromkeys(missing)) or ("circuit.running_voltage",),
                "The torque of the clutch, its current or what it must hold is not known yet. A slip test with lever "
                "and scale gives the torque of a clutch without a plate.",
                limit=limit,
            )
        )
        return
    band = data.static[state]
    verdict = grade(likely=band.likely, bad=band.bad, limit=need.hold)
    rule, words = _rule(reader)
    share = band.likely / need.work if need.work else np.inf
    if verdict == GO and not at_least(share, rule):
        verdict = CAUTION
    cure = (
        "Raise the voltage that reaches the coil, put the clutch on a faster shaft, where the torque is smaller, or "
        "use a larger clutch."
    )
    draft.check(
        id,
        name,
        f"{reader.show(band.likely, 'torque')} ({reader.show(band.bad, 'torque')} at the bad end)",
        f"{limit} or more",
        verdict,
        f"{state[0].upper()}{state[1:]}: {reader.show(data.electric.amps(state), 'current')} in the coil against "
        f"{reader.show(data.used.amps, 'current')} where the torque is known; the square of their ratio is the bad end."
        + (f" That is {share:.1f} × the working torque; {words} wants {rule:g} ×." if need.work else ""),
        "" if verdict == GO else cure,
        "trade-practice; textbook-practice",
    )


def _rule(reader: Reader) -> tuple[float, str]:
    """Return the usual least ratio of static to working torque, and for what."""
    rough = reader.get("work.load_class") in ("medium shock", "heavy shock") or reader.get("engine.cylinders") == 1
    item = "service factor, shock or single cylinder" if rough else "service factor, smooth load"
    row = tables.table("clutch_facts").one(part="torque", item=item)
    return row["low"], "a rough load or a single cylinder" if rough else "a smooth load"


def _pull_check(draft: Draft, reader: Reader, data: ClutchData) -> None:
    id, name = "clutch.pull-in", "pulling the work up, coil hot"
    state, need = hot_state(data), data.required
    if state is None or need is None or not need.work:
        if data.used is not None:
            missing = tuple(k for k in ("work.power", "work.power_at", "engine.work_speed") if reader.get(k) is None)
            draft.checks.append(
                undecided(
                    id,
                    name,
                    missing or ("clutch.coil_resistance",),
                    "What the work takes at the clutch, or the coil's current, is not known yet.",
                )
            )
        return
    band = data.dynamic[state]
    verdict = grade(likely=band.likely, bad=band.bad, limit=need.pull_in)
    draft.check(
        id,
        name,
        f"{reader.show(band.likely, 'torque')} ({reader.show(band.bad, 'torque')} at the bad end)",
        f"{reader.show(need.pull_in, 'torque')} or more",
        verdict,
        "A slipping clutch pulls less than a locked one. What is left over the load's own torque speeds the work up; "
        "near it the slip lasts without end and the clutch burns.",
        ""
        if verdict == GO
        else "Engage with the work unloaded and at a lower speed, raise the voltage at the coil, "
        "or use a larger clutch.",
        "trade-practice; tribology-b7",
    )


def _sheets(draft: Draft, reader: Reader, data: ClutchData) -> None:
    if data.known:
        rows = [
            (
                k.name,
                reader.show(k.torque, "torque"),
                reader.show(k.amps, "current"),
                f"{k.spread.bad:.2f} to {k.spread.good:.2f} ×",
                "used" if i == 0 else "for comparison",
                k.words,
            )
            for i, k in enumerate(data.known)
        ]
        draft.tables.append(
            Table(
                "Where the torque comes from",
                ("from", "torque", "at", "spread", "", "how"),
                tuple(rows),
                "The first that is known is used: plate, then slip test, then geometry.",
            )
        )
        draft.tables.append(_symptoms(reader, data))
    if data.static:
        rows = [
            (
                state,
                reader.show(data.electric.volts(state), "voltage"),
                reader.show(data.electric.amps(state), "current"),
                *(
                    reader.show(t, "torque")
                    for t in (data.static[state].bad, data.static[state].likely, data.static[state].good)
                ),
                reader.show(data.dynamic[state].likely, "torque"),
                *_holds(data, state),
            )
            for state in data.static
        ]
        draft.tables.append(
            Table(
                "Torque in each state",
                ("state", "at the coil", "current", "bad end", "likely", "good end", "slipping", "holds", "pulls in"),
                tuple(rows),
                "Below the current it is known at, torque falls with the square of the current (a saturated magnet "
                "loses less: good end). Above it a saturated magnet gains nothing (bad end). The last "
                "columns are verdicts against what it must hold and pull.",
            )
        )


def _holds(data: ClutchData, state: str) -> tuple[str, str]:
    """Return the verdict words of a state: does it hold, does it pull the work up."""
    need, band, slips = data.required, data.static[state], data.dynamic[state]
    return tuple(
        "not known yet" if not least else grade(likely=b.likely, bad=b.bad, limit=least)
        for b, least in ((band, need and need.hold), (slips, need and need.work and need.pull_in))
    )


def _symptoms(reader: Reader, data: ClutchData) -> Table:
    """Return the symptoms of the clutch itself, each with the one measurement that halves the list."""
    state = hot_state(data)
    holds = "not known yet" if state is None else reader.show(data.static[state].likely, "torque")
    need = "not known yet" if data.required is None else reader.show(data.required.peak or data.required.hold, "torque")
    gap = reader.si("clutch.air_gap")
    rows = (
        (
            "slips at peaks only",
            "turns before and behind the clutch at a peak",
            f"holds {holds} hot, the peak is {need}",
            "it slips: move it to a faster shaft or use a larger one; it holds: the belt slips",
        ),
        (
            "slips all the time",
            "slip test with lever and scale, volts noted",
            f"{holds} hot",
            "as expected: the work takes more than thought; low: oil, wear or a wide gap",
        ),
        (
            "slow to engage",
            "gap with a feeler at three places",
            "not known yet" if gap is None else reader.show(gap, "length"),
            "wider: set it; as it was: volts at the coil while it engages",
        ),
        (
            "drags when off",
            "turn the driven side by hand, coil unplugged",
            "free",
            "drags: gap too small or springs broken; free: voltage left on the coil, or magnetism left in the steel",
        ),
    )
    return Table(
        "Symptom of the clutch, and the one measurement that halves the list",
        ("symptom", "measure", "this build", "what it means"),
        rows,
    )


__all__ = ["ClutchData", "Curves", "curves_of", "hot_state", "required_of", "torque_of", "work_up"]

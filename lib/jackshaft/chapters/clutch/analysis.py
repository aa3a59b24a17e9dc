"""The clutch: the torque it holds and pulls, cold and hot, against what the drive asks of it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jackshaft.chapters.clutch import CHAPTER, checks, engage_checks, tables
from jackshaft.chapters.clutch import coil as clutch_coil
from jackshaft.chapters.clutch import engage as clutch_engage
from jackshaft.chapters.clutch import heat as clutch_heat
from jackshaft.chapters.clutch.data import SUPPLIES, ClutchData, Curves, hot_state, torque_number
from jackshaft.chapters.clutch.torque import Known, known_torques
from jackshaft.chapters.electric.analysis import ElectricData
from jackshaft.chapters.ratio.analysis import ENGINE, RatioData
from jackshaft.mechanics import circuit, clutch, coil
from jackshaft.parts.engine_curve import engine_peak
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.results.values import BOTH

#: Coil temperatures (K) and share of the nominal voltage that the curves run over.
TEMPERATURES = np.linspace(273.15, 433.15, 33)
VOLTS = np.linspace(0.6, 1.35, 31)


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
    data = _data(draft, reader, ratio.data, circuit_chapter.data)
    draft.data = data if data.known or data.curves else None
    found = data.engagement
    _facts(draft, reader, data)
    checks.hold(draft, reader, data)
    checks.pull(draft, reader, data)
    clutch_coil.gap_check(draft, reader, data.electric)
    engage_checks.check(draft, reader, found)
    clutch_heat.check(draft, reader, data.settled, found)
    clutch_heat.facing_check(draft, reader, found)
    tables.add(draft, reader, data)
    if found is not None:
        engage_checks.facts(draft, reader, found, clutch_engage.load_inertia(reader))
        clutch_heat.facts(draft, reader, data.settled, found)
        engage_checks.sheet(draft, reader, found)
        clutch_heat.sheet(draft, reader, data.settled)
        engage_checks.stop_check(draft, reader, found)
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


def _data(draft: Draft, reader: Reader, ratio: RatioData | None, electric: ElectricData | None) -> ClutchData:
    """Work out the torque, the coil in motion and the engagement; what cannot be becomes an undecided check."""
    shaft = reader.get("clutch.shaft") or ENGINE
    known = known_torques(reader)
    used = known[0] if known else None
    required = required_of(reader, ratio, shaft)
    static, dynamic = {}, {}
    if used is not None and electric is not None:
        for i, state in enumerate(electric.line.states):
            static[state[0]] = torque_of(used, float(electric.steps.coil_amps[i]))
            dynamic[state[0]] = clutch.times_si(static[state[0]], factor=clutch.DYNAMIC)
    curves = curves_of(electric, used) if electric is not None else None
    hot = next((s for s in ("running, hot", "battery only, hot") if s in dynamic), None)
    engagement, dynamics, settled = None, None, None
    with draft.attempt(reader, "clutch.engagement", "engagement, coil hot"):
        engagement = clutch_engage.engage(reader, ratio, shaft, dynamic.get(hot), required)
    if electric is not None:
        with draft.attempt(reader, "clutch.dynamics", "pull-in and let-go times"):
            dynamics = clutch_coil.dynamics_of(reader, electric)
    with draft.attempt(reader, "clutch.repeated", "temperature, engaged again and again"):
        settled = clutch_heat.settle(reader, engagement, electric)
    return ClutchData(known, used, static, dynamic, required, curves, electric, shaft, engagement, dynamics, settled)


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


def _facts(draft: Draft, reader: Reader, data: ClutchData) -> None:
    used = data.used
    if used is not None:
        key = {"plate": "clutch.static_torque", "slip test": "clutch.slip_force"}.get(used.name)
        draft.fact(
            "torque it is known at",
            reader.number(
                used.torque,
                "torque",
                f"{{}} at {reader.show(used.amps, 'current')}",
                known=reader.how(key) if key else "",
                form=BOTH,
            ),
            f"{used.words}; {used.faces_words}",
        )
    for which, words in SUPPLIES:
        cold, hot = (data.static.get(f"{which}, {heat}") for heat in ("cold", "hot"))
        if cold is not None and hot is not None:
            draft.fact(
                f"holding torque, {words}",
                torque_number(reader, hot, f"{reader.show(cold.likely, 'torque')} cold, {{}} hot"),
                "; ".join(
                    f"{heat} {reader.show(b.bad, 'torque')} to {reader.show(b.good, 'torque')}"
                    for heat, b in (("cold", cold), ("hot", hot))
                ),
            )
    state = hot_state(data)
    if state is not None:
        band = data.dynamic[state]
        draft.fact(
            "torque while it slips, hot",
            torque_number(reader, band),
            f"{reader.show(band.bad, 'torque')} to {reader.show(band.good, 'torque')}: "
            f"{clutch.DYNAMIC.bad:g} to {clutch.DYNAMIC.good:g} of the holding torque, common practice",
        )
    need = data.required
    if need is not None:
        cases = [
            ("work", need.work),
            ("start", need.start),
            ("peak", need.peak),
            ("engine at its peak", need.engine),
            ("overrun", need.overrun),
        ]
        draft.fact(
            "the clutch must hold",
            reader.number(need.hold, "torque", form=BOTH),
            f"at the shaft '{data.shaft}': " + ", ".join(f"{n} {reader.show(t, 'torque')}" for n, t in cases if t),
        )


__all__ = ["curves_of", "required_of", "torque_of", "work_up"]

"""The clutch: the torque it holds and pulls, cold and hot, against what the drive asks of it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

import numpy as np

from jackshaft.chapters.clutch import (
    CHAPTER,
    checks,
    driven_back,
    engage_checks,
    fitting,
    no_coil,
    stopping,
    tables,
    untold,
    ways,
)
from jackshaft.chapters.clutch import coil as clutch_coil
from jackshaft.chapters.clutch import engage as clutch_engage
from jackshaft.chapters.clutch import heat as clutch_heat
from jackshaft.chapters.clutch.asked import required_of
from jackshaft.chapters.clutch.belts import belts_of
from jackshaft.chapters.clutch.data import ClutchData, Curves, torque_number
from jackshaft.chapters.clutch.torque import Known, known_torques, lacking
from jackshaft.chapters.clutch.ways_data import CENTRIFUGAL, IDLER, MAGNETIC
from jackshaft.chapters.electric.data import ElectricData
from jackshaft.chapters.electric.line import Line
from jackshaft.chapters.electric.words import SUPPLIES
from jackshaft.chapters.ratio.analysis import ENGINE, RatioData
from jackshaft.mechanics import circuit, clutch, coil
from jackshaft.parts.motor import source_word
from jackshaft.parts.words import made_safe
from jackshaft.parts.works import work_shafts
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.results.values import BOTH
from jackshaft.units import ZERO_C

#: Coil temperatures (K) and share of the nominal voltage that the curves run over.
TEMPERATURES = np.linspace(0.0, 160.0, 33) + ZERO_C
VOLTS = np.linspace(0.6, 1.35, 31)
#: What a case of the torque to hold is called, where its name does not say it.
CASES = {"engine": "engine at its peak"}


def work_up(reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Work up the clutch of a build."""
    draft = Draft(CHAPTER)
    uses = [done[n] for n in ("ratio", "layout", "grip", "electric") if n in done]
    if reader.is_none("clutch"):
        stopping.at_shaft(draft, reader, done, None)
        words = f"This build has no clutch: the {source_word(reader)} turns the work whenever it runs."
        return draft.done(reader, "none", words, uses)
    kind = reader.get("clutch.kind")
    if kind in (CENTRIFUGAL, IDLER):
        no_coil.work_up(draft, reader, done, scope)
        draft.cite("trade-practice", *(("khurmi-friction", "bhandari") if kind == CENTRIFUGAL else ("shigley",)))
        return draft.done(reader, uses=uses)
    if kind not in (None, MAGNETIC):
        stopping.at_shaft(draft, reader, done, reader.get("clutch.shaft") or ENGINE)
        return draft.done(reader, "none", f"A clutch of the kind '{kind}' is not computed here.", uses)
    if not reader.has("clutch"):
        stopping.at_shaft(draft, reader, done, None)
        return draft.done(reader, "not known yet", "No clutch is in the build file yet.", uses)
    data = _data(draft, reader, done)
    draft.data = data if data.known or data.curves else None
    found = data.engagement
    _facts(draft, reader, data)
    fitting.add(draft, reader, data.shaft)
    checks.magnet(draft, reader)
    checks.hold(draft, reader, data)
    checks.pull(draft, reader, data)
    clutch_coil.gap_check(draft, reader, data.gap)
    engage_checks.check(draft, reader, data)
    clutch_heat.check(draft, reader, data.settled, found)
    clutch_heat.facing_check(draft, reader, found)
    untold.leave_open(draft, reader, found, done["ratio"].data, data.shaft)
    tables.add(draft, reader, data)
    if found is not None:
        engage_checks.facts(draft, reader, found)
        clutch_heat.facts(draft, reader, data.settled, found)
        engage_checks.sheet(draft, reader, found)
        clutch_heat.sheet(draft, reader, data.settled)
    driven_back.check(draft, reader, done["ratio"].data, data.shaft)
    stop = stopping.at_shaft(draft, reader, done, data.shaft)
    if draft.data is not None:
        draft.data = data._replace(stop=stop)
    if data.dynamics is not None:
        clutch_coil.add(draft, reader, data.dynamics)
    if scope.detail.tables:
        ways.add(draft, reader, done, data)
    draft.cautions += [
        "The work goes on turning after the clutch lets go. Take the key out and wait until everything has stopped "
        "before you reach in.",
        f"For a slip test with lever and scale, {made_safe(reader.get('engine.kind'))}. Lock the driven side, and "
        "keep everybody out of line with the lever. Release the clutch by its switch, not by hand.",
    ]
    draft.cite("trade-practice", "own-derivation")
    return draft.done(reader, uses=uses)


def _data(draft: Draft, reader: Reader, done: Mapping[str, Findings]) -> ClutchData:
    """Work out the torque, the coil in motion and the engagement; what cannot be worked out is an undecided check."""
    ratio_chapter, circuit_chapter = done["ratio"], done["electric"]
    ratio: RatioData | None = ratio_chapter.data
    electric: ElectricData | None = circuit_chapter.data
    shaft = reader.get("clutch.shaft") or ENGINE
    known = known_torques(reader)
    used = known[0] if known else None
    required = required_of(reader, ratio, shaft)
    static, run_in = {}, {}
    if used is not None and electric is not None:
        states = [state[0] for state in electric.line.states]
        static = {state: torque_of(used, electric.amps(state), electric.worst_amps(state)) for state in states}
        run_in = {state: run_in_torque(used, electric.amps(state)) for state in states}
    data = ClutchData(
        known=known,
        used=used,
        static=static,
        dynamic={state: clutch.times_si(band, factor=clutch.DYNAMIC) for state, band in static.items()},
        required=required,
        curves=curves_of(electric, used) if electric is not None else None,
        electric=electric,
        shaft=shaft,
        engagement=None,
        dynamics=None,
        settled=None,
        run_in=run_in,
        lacking=(() if used is not None else lacking(reader)) + unsolved(circuit_chapter),
        between=unreached(reader, ratio_chapter, shaft),
        gap=clutch_coil.gap_of(reader, electric),
        belts=belts_of(reader, done, shaft),
    )
    with draft.attempt(reader, "clutch.engagement", "engagement, coil hot"):
        slipping = data.dynamic.get(data.hot)
        most = None if data.most is None else clutch.times_si(data.most, factor=clutch.DYNAMIC).good
        data = data._replace(
            engagement=clutch_engage.engage(reader, ratio, shaft, slipping, required, most, data.belts)
        )
    if electric is not None:
        with draft.attempt(reader, "clutch.dynamics", "pull-in and let-go times"):
            data = data._replace(dynamics=clutch_coil.dynamics_of(reader, electric))
    with draft.attempt(reader, "clutch.repeated", "temperature, engaged again and again"):
        data = data._replace(settled=clutch_heat.settle(reader, data.engagement, electric))
    return data


def unsolved(circuit_chapter: Findings) -> tuple[str, ...]:
    """Return the keys without which the circuit chapter does not know the coil's current."""
    if circuit_chapter.data is not None:
        return ()
    return next((c.missing for c in circuit_chapter.checks if c.id == "electric.voltage"), ())


def unreached(reader: Reader, ratio_chapter: Findings, shaft: str) -> tuple[str, ...]:
    """Return the keys without which no whole line of stages joins the clutch, the work and where its power is given."""
    ratio: RatioData | None = ratio_chapter.data
    wanted = {shaft, reader.get("work.power_at"), *work_shafts(reader)} - {None, ENGINE}
    if not wanted or (ratio is not None and all(ratio.shaft(name) is not None for name in wanted)):
        return ()
    broken = [k for c in ratio_chapter.checks for k in c.missing if k.split("[")[0] == "stage"]
    return tuple(dict.fromkeys(broken)) or ("stage",)


def run_in_torque(known: Known, amps) -> clutch.Band:
    """Return the static torque at a coil current as a band, with burnished and dry faces."""
    band = clutch.torque_at_current.si(known.torque, rated_current=known.amps, current=amps)
    return clutch.times_si(clutch.times_si(band, factor=known.spread), factor=known.run_in)


def torque_of(known: Known, amps, worst=None) -> clutch.Band:
    """Return the static torque at a coil current as a band, the state of the faces counted.

    ``worst`` is the current at the bad end of wire and joints.
    """
    band = clutch.torque_at_current.si(known.torque, rated_current=known.amps, current=amps)
    if worst is not None:
        band = band._replace(bad=clutch.torque_at_current.si(known.torque, rated_current=known.amps, current=worst).bad)
    return clutch.times_si(clutch.times_si(band, factor=known.spread), factor=known.faces)


def curves_of(electric: ElectricData, used: Known | None) -> Curves:
    """Return current and torque over coil temperature and over supply voltage."""
    warm, volt = _currents(electric.line)
    bands = [{} if used is None else {k: torque_of(used, a) for k, a in amps.items()} for amps in (warm, volt)]
    return Curves(
        temperatures=TEMPERATURES,
        warm_amps=warm,
        warm=bands[0],
        volts=VOLTS * electric.line.nominal,
        volt_amps=volt,
        volt=bands[1],
    )


@lru_cache(maxsize=64)
def _currents(line: Line) -> tuple[Mapping[str, np.ndarray], Mapping[str, np.ndarray]]:
    """Return the coil's current over its temperature by state, and over the supply voltage by heat; read only."""
    ohms = coil.hot_resistance.si(line.r20, temperature=TEMPERATURES)
    supplies = {name.split(",")[0]: supply for name, supply, _ in line.states}
    warm = {which: circuit.steps_si(line.chain(supply, ohms)).coil_amps for which, supply in supplies.items()}
    volts = VOLTS * line.nominal
    volt = {heat: circuit.steps_si(line.chain(volts, ohm)).coil_amps for heat, ohm in line.ohms.items()}
    for amps in (*warm.values(), *volt.values()):
        amps.flags.writeable = False
    return MappingProxyType(warm), MappingProxyType(volt)


def _ends(reader: Reader, band: clutch.Band) -> str:
    return f"{reader.show(band.bad, 'torque')} to {reader.show(band.good, 'torque')}"


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
    for which, words in SUPPLIES.items():
        cold, hot = (data.static.get(f"{which}, {heat}") for heat in ("cold", "hot"))
        if cold is not None and hot is not None:
            draft.fact(
                f"holding torque, {words}",
                torque_number(reader, hot, f"{reader.show(cold.likely, 'torque')} cold, {{}} hot"),
                "; ".join(f"{heat} {_ends(reader, band)}" for heat, band in (("cold", cold), ("hot", hot))),
            )
    if data.most is not None:
        slipping = clutch.times_si(data.most, factor=clutch.DYNAMIC)
        draft.fact(
            "holding torque at the most, cold and run in",
            torque_number(reader, data.most, "{}, up to {high}"),
            f"what the clutch protects must stand it; while it slips {reader.show(slipping.likely, 'torque')}, up to "
            f"{reader.show(slipping.good, 'torque')}",
        )
    if data.hot is not None:
        band = data.dynamic[data.hot]
        draft.fact(
            "torque while it slips, hot",
            torque_number(reader, band),
            f"{_ends(reader, band)}: {clutch.DYNAMIC.bad:g} to {clutch.DYNAMIC.good:g} of the holding torque, common "
            "practice",
        )
    required = data.required
    if required is not None:
        cases = [(name, getattr(required, name)) for name in ("work", "start", "peak", "engine", "overrun")]
        shown = ", ".join(f"{CASES.get(n, n)} {reader.show(torque, 'torque')}" for n, torque in cases if torque)
        draft.fact(
            "the clutch must hold",
            reader.number(required.hold, "torque", form=BOTH),
            f"at the shaft '{data.shaft}': {shown}",
        )


__all__ = ["curves_of", "torque_of", "work_up"]

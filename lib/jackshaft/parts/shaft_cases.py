"""How the load on a shaft grows in each case, and the pull of a chain: what the loads on a shaft are made of.

A case that the grip chapter solves (start, peak, overrun, and any other that it names) is a case of every shaft. A
belt brings its own forces; what no belt says is the work's, times the load of the case over the load at work.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
from jackshaft.parts.belt_stage import shafts_driven
from jackshaft.parts.chain_stage import read_chain_stage
from jackshaft.parts.jammed import JAM, grips_of, jam_of, jam_words, passed_on, passes_most
from jackshaft.parts.outside_loads import brake_share, jam_lacks, jam_share, slipping_share, way_to
from jackshaft.parts.running_on import jams_after
from jackshaft.parts.seldom import holds, is_held_still
from jackshaft.parts.works import factor_of
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader, Unknown, read_once

#: Cases that only the shaft and its joints go through in every build: starting, and the work driving the engine.
MORE = ("start", "overrun")
#: The clutch has let go and its brake stops what it drove: the torque runs the other way, at every release.
BRAKE = "brake"
CLUTCH = "slipping clutch"
#: Cases in which the torque runs the other way round.
REVERSED = ("overrun", BRAKE)

#: The shaft turns and nothing is asked of it: its belts pull as at rest.
EMPTY = "empty run"

#: How a case is said in a sentence; one that is not here is said by its name.
AT = {
    "work": "at work",
    "rest": "at rest",
    "peak": "at the peak",
    "start": "at the start",
    EMPTY: "running empty",
    "overrun": "at overrun",
    "full": "at full throttle",
    "slipping clutch": "while the clutch slips",
    "jam": "with the work jammed",
    BRAKE: "while the clutch's brake stops the work",
}


class Overrun(NamedTuple):
    """How hard the work drives back: share of the working load that comes through, and whether the build says so.

    ``slips`` is true where a belt lets go before the whole of it is through.
    """

    share: float
    said: bool
    slips: bool


def at_case(name: str) -> str:
    """Return a case as it is said in a sentence."""
    return name if is_held_still(name) else AT.get(name, f"in the case '{name}'")


@read_once
def overrun_of(reader: Reader, done: Mapping[str, Findings]) -> Overrun | None:
    """Return how hard the work drives back; None where the build says that it does not.

    Where the build does not say how hard, the working load is taken. A belt that slips lets no more through.
    """
    factor = reader.si("work.overrun_factor")
    if factor == 0.0:
        return None
    held = [
        float(np.min(case.margin))
        for grip in grips_of(done).values()
        if (case := grip.case("overrun")) is not None and case.margin is not None
    ]
    share = min([1.0, *(max(m, 0.0) for m in held if np.isfinite(m))])
    return Overrun(share * (1.0 if factor is None else factor), factor is not None, share < 1.0)


@read_once
def factors_of(reader: Reader, done: Mapping[str, Findings], shaft: str, back: Overrun | None) -> dict[str, float]:
    """Return the load on a shaft over its load at work in each case beside work, rest and peak.

    Parameters
    ----------
    reader : Reader
        Reads the build.
    done : mapping
        The chapters before, with "grip".
    shaft : str
        Name of the shaft; its own belts say how hard a case is before those of other shafts.
    back : Overrun or None
        How hard the work drives back.
    """
    found: dict[str, float] = {}
    if start := factor_of(reader, done["ratio"].data, shaft, "start"):
        found["start"] = start
    if back is not None:
        found["overrun"] = -back.share
    found |= _cases(reader, done, shaft)
    if JAM in found:
        found[JAM] = jam_of(reader, done, shaft, found[JAM]).share
    return found


def _cases(reader: Reader, done: Mapping[str, Findings], shaft: str) -> dict[str, float]:
    """Return the load of the cases that are not the work's own: a jam with what the engine alone brings."""
    found: dict[str, float] = {}
    for _, grip in sorted(grips_of(done).items(), key=lambda ng: not _is_on(reader, ng[0], shaft)):
        for case in grip.cases:
            if case.name in ("work", "rest", "peak", *MORE, BRAKE, JAM) or case.name in found:
                continue
            share = _share(grip, case, _pulley_toward(done, grip, shaft))
            if share is not None:
                found[case.name] = share
    return found | _outside(reader, done, shaft, found)


def jam_doubt(
    draft: Draft,
    reader: Reader,
    done: Mapping[str, Findings],
    shaft: str,
    room: Mapping[str, float],
    *,
    leaving: bool = False,
) -> None:
    """Leave open the go of checks of a shaft that a jam of the work may spoil, where not all of that jam is known.

    ``room`` holds their safety in the jam as far as it is known, by their ids; ``leaving`` is as in
    :func:`jackshaft.parts.jammed.jam_of`.
    """
    times, keys = _jam_open(reader, done, shaft, leaving)
    draft.doubt(reader, keys, jam_words(times), *(id for id, safety in room.items() if not holds(safety / times)))


def _jam_open(reader: Reader, done: Mapping[str, Findings], shaft: str, leaving: bool) -> tuple[float, tuple[str, ...]]:
    """Return how many times harder a jam may be than is known, and the keys without which that is not known.

    ``inf`` where nothing that is written down bounds it, 1 and no keys where all of it is known.
    """
    ratio = done["ratio"].data if "ratio" in done else None
    state = None if ratio is None else ratio.shaft(shaft)
    if state is None or not state.torque or not jams_after(ratio, shaft):
        return 1.0, ()
    cases = _cases(reader, done, shaft)
    if JAM not in cases:
        return (1.0, ()) if any(map(is_held_still, cases)) else (np.inf, jam_lacks(reader))
    jam = jam_of(reader, done, shaft, cases[JAM], leaving=leaving)
    return jam.most / jam.share, jam.keys


def _outside(reader: Reader, done: Mapping[str, Findings], shaft: str, found: Mapping[str, float]) -> dict[str, float]:
    """Return the cases that no belt speaks of: the clutch's brake, a jam, and what a clutch without belts lets through.

    The jam is what the engine brings of it through the stages before the shaft, on the safe side as hard as if nothing
    after it gave first; where one of several shafts that a belt drives is held still, that counts.
    """
    ratio, grips, more = done["ratio"].data, grips_of(done), {}
    state = None if ratio is None else ratio.shaft(shaft)
    if state is None or not state.torque:
        return more

    def held(stage: str) -> float:
        case = None if stage not in grips else grips[stage].case(BRAKE)
        return np.inf if case is None or case.margin_high is None else max(case.factor * case.least_high, 0.0)

    if (brake := brake_share(reader, ratio, shaft, held)) is not None:
        more[BRAKE] = -brake
    belts = any(stage.pulleys is not None or stage.kind == "belt" for stage in ratio.stages)
    shares = {CLUTCH: None if belts else slipping_share(reader, ratio, state)}
    if not any(map(is_held_still, found)) or any(grip.case(JAM) is not None for grip in grips.values()):
        passed = (passes_most(reader, done, stage.name) for stage in way_to(ratio, shaft))
        least = min((p for p in passed if p is not None), default=passed_on(reader, done, shaft))
        shares[JAM] = jam_share(reader, ratio, state, least)
    return more | {name: share for name, share in shares.items() if share is not None and name not in found}


def _is_on(reader: Reader, stage: str, shaft: str) -> bool:
    return shaft in (reader.get(f"stage[{stage}].from"), *shafts_driven(reader, stage))


def _pulley_toward(done: Mapping[str, Findings], grip, shaft: str) -> int:
    """Return the pulley of a belt through which a shaft is driven: the driver of the belt where none of them is."""
    pulleys, ratio, here = grip.layout.pulleys, done["ratio"].data, shaft
    by_end = {} if ratio is None else {s.end: s for s in ratio.stages}
    while here in by_end:
        if by_end[here].name == grip.name:
            return pulleys.on(here)
        here = by_end[here].start
    return pulleys.driver


def _share(grip, case, k: int) -> float | None:
    """Return the load of a case over that at work at pulley ``k``, from the pulls of the belt itself; None where it is
    not known."""
    work = float(grip.pulls[k])
    if not work:
        return case.factor
    share = float(case.pulls[k]) / work
    if not np.isfinite(share):
        return case.factor
    # a belt that slips lets no more through than it holds at its best grip
    return share if case.margin_high is None else share * min(1.0, case.least_high)


def belt_force(grip, i: int, name: str, factor: float) -> np.ndarray:
    """Return the force (2,) of a belt on pulley ``i`` in a case, N; forces are linear in the load.

    A case that the belt does not have by name is reckoned from work and overrun, which it always has.
    """
    case, work, back = grip.case(name), grip.hub[i], grip.case("overrun")
    if name != "overrun" and case is not None and case.hub is not None:
        return case.hub[i]
    if name == BRAKE:
        return grip.hub_at(0.0)[i]  # this belt runs before the clutch, and nothing loads it
    if back is None or back.hub is None:
        return work
    # where the belt slips in overrun, its force there is that of the load at which it slips
    driven_back = (back.factor or 1.0) * (1.0 if back.margin is None else min(1.0, max(back.least, 0.0)))
    return work + (1.0 - factor) / (1.0 + driven_back) * (back.hub[i] - work)


class ChainPull(NamedTuple):
    """Pull of a chain's tight strand on one of its shafts at work, N, and where it points, rad, forward and in overrun.

    The directions are None where the build does not say where the two shafts are.
    """

    pull: float
    toward: float | None
    back: float | None


def chain_pull(reader: Reader, done: Mapping[str, Findings], shaft: str, stage: str) -> ChainPull | None:
    """Return the pull of a roller chain from its torque; None where its pitch, its teeth or its torque is not known.

    It is the power over the chain's mean speed (shigley17-solutions, 17-26); the tight strand enters the driver.
    """
    at, ratio = f"stage[{stage}]", done["ratio"].data
    chain = read_chain_stage(reader, stage)
    start = reader.get(f"{at}.from")
    state = ratio.through(stage) if ratio is not None and start else None
    if chain is None or state is None or state.torque is None:
        return None
    radius = [0.5 * d for d in chain.diameters]
    pull = abs(state.torque) / chain.mean_radius
    centres, line = reader.si(f"{at}.centres"), reader.si(f"{at}.centres_toward")
    if centres is None or line is None or not state.turn or centres <= sum(radius):
        return ChainPull(pull, None, None)
    lean = state.turn * float(np.arcsin((radius[1] - radius[0]) / centres))
    here = 0.0 if shaft == start else np.pi
    return ChainPull(pull, line + lean + here, line - lean + here)


def typed_pull(reader: Reader, done: Mapping[str, Findings], here: str, shaft: str, stage: str | None) -> ChainPull:
    """Return the pull of a load that no belt gives: a chain's from its torque, else the one in the build.

    A part that belongs to no stage and is weighed pulls by its weight alone as long as nothing else is said.

    Raises
    ------
    Unknown
        Naming the keys that are missing.
    """
    chain = None
    if stage is not None and reader.get(f"stage[{stage}].kind") == "roller chain":
        chain = chain_pull(reader, done, shaft, stage)
    pull = reader.si(f"{here}.pull") if chain is None else chain.pull
    if pull is None:
        if stage is not None or reader.get(f"{here}.weight") is None:
            raise Unknown(f"{here}.pull")
        return ChainPull(0.0, 0.0, 0.0)
    if chain is not None and chain.toward is not None:
        return chain
    toward = reader.si(f"{here}.toward")
    if toward is None and pull:
        raise Unknown(f"{here}.toward")
    return ChainPull(pull, toward or 0.0, toward or 0.0)


def typed_force(pull: ChainPull, factor: float, *, of_stage: bool, steady: bool = False) -> np.ndarray:
    """Return the force (2,) of such a pull in a case, N.

    A stage's pull is the work's and follows the load, to nothing at rest. Of a pull without a stage nobody knows
    whether it rests with the machine: it grows with the load and never falls under the one that is written down. One
    that is said to be ``steady`` is the same in every case.
    """
    size = 1.0 if steady else abs(factor) if of_stage else max(1.0, abs(factor))
    toward = pull.back if factor < 0 else pull.toward
    return pull.pull * size * np.array([np.cos(toward), np.sin(toward)])


__all__ = [
    "AT",
    "BRAKE",
    "CLUTCH",
    "JAM",
    "MORE",
    "REVERSED",
    "ChainPull",
    "Overrun",
    "at_case",
    "belt_force",
    "chain_pull",
    "factors_of",
    "grips_of",
    "jam_doubt",
    "overrun_of",
    "typed_force",
    "typed_pull",
]

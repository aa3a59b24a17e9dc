"""Loads from outside the work: full throttle, a clutch that slips, its brake, and a shaft of the work that jams."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace

import numpy as np

from jackshaft.chapters.grip.cases import Case, Load, LoadedLoop, loaded_loop, solve_cases
from jackshaft.chapters.grip.held_still import Standing, engine_most, standing_of
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.chapters.ratio.data import ENGINE, RatioData, ShaftState, chain
from jackshaft.parts.outside_loads import (
    brake_share,
    clutch_most,
    engine_torque,
    jam_share,
    slipping_share,
    up_to_guard,
)
from jackshaft.parts.running_on import run_on
from jackshaft.parts.shaft_cases import BRAKE, CLUTCH, JAM
from jackshaft.parts.works import load_power
from jackshaft.results.reader import Reader, Unknown
from jackshaft.units import at_least, at_most

#: Share by which a clutch that is hot, slow or glazed holds less than its plate says: common practice, no source.
PLATE_OFF = 0.5

FULL = "full"


def more_cases(
    reader: Reader, loop: LoadedLoop, ratio: RatioData | None, layouts: Mapping[str, StageLayout]
) -> tuple[Case, ...]:
    """Solve those of the cases that the build tells enough of.

    ``full`` is the load at the speed of full throttle: the working load, or what it grows to by the curve that the
    build states. ``slipping clutch`` is what a cold clutch with faces run in pulls while it slips, at its full voltage.
    ``jam`` is the most that the belt or what drives it can pull on a shaft that stands: the least of what the belt
    holds at the high end of friction, what the clutch holds or the engine gives with what turns on its crank, with what
    turns before the belt and runs on, and what a shear pin after it stands at its high end. ``brake`` is what the
    clutch's brake takes out of the work at its high end, the other way round, with the belt at its best grip, which it
    has as it comes to a stand.
    """
    loads, layout = {}, loop.layout
    top = layout.full_speed
    if top and layout.speed and not at_most(top, layout.speed):
        faster = top / layout.speed
        share = faster ** (load_power(reader) or 0.0)
        loads[FULL] = Load(share, share * loop.pulls, loop.centrifugal * faster**2)
    shaft = ratio.shaft(reader.get(f"stage[{loop.name}].from")) if ratio else None
    if shaft is not None and shaft.torque:
        pulls = slipping_share(reader, ratio, shaft)
        if pulls is not None:
            loads[CLUTCH] = Load(pulls, pulls * loop.pulls, loop.centrifugal, of_work=False)
        jam = None if layout.pulleys.several else jam_share(reader, ratio, shaft, hold := _jammed(loop))
        if jam is not None:
            more = run_on(reader, ratio, shaft.name, leaving=True).known / shaft.torque
            jam = up_to_guard(reader, ratio, shaft, jam, max(jam, min(jam + more, hold)))
            loads[JAM] = Load(jam, jam * loop.pulls, 0.0, high=True, of_work=False)
    cases = solve_cases(loop, loads) if loads else ()
    if shaft is None:
        return cases
    share = brake_share(reader, ratio, shaft.name, lambda stage: _held(reader, ratio, layouts.get(stage)))
    return cases if share is None else cases + _back(loop, share)


def _jammed(loop: LoadedLoop) -> float:
    """Return how many times the working load a loop carries in a jam: it stands or slides, nothing is centrifugal."""
    if loop.hold is None:
        return np.inf
    return solve_cases(loop, {JAM: Load(1.0, loop.pulls, 0.0, high=True)})[0].least_high


def _back(loop: LoadedLoop, share: float) -> tuple[Case, ...]:
    """Return the case of a clutch's brake, the other way round, as the loop comes to a stand."""
    back = {BRAKE: Load(share, -share * loop.pulls, 0.0, high=True, of_work=False)}
    return solve_cases(replace(loop, way=loop.overrun_way), back)


def _held(reader: Reader, ratio: RatioData, layout: StageLayout | None) -> float:
    """Return how many times its working load a loop lets back at its best grip; ``inf`` where that is not known."""
    if layout is not None and layout.path.reason == 0:
        with suppress(Unknown):
            loop = loaded_loop(reader, layout, ratio)
            if loop.hold is not None:
                return max(_back(loop, 1.0)[0].least_high, 0.0)
    return np.inf


def held_shafts(reader: Reader, loop: LoadedLoop, ratio: RatioData | None) -> tuple[Standing, ...]:
    """Return the driven shafts of a belt that drives several, each held still while the others go on."""
    shaft = ratio.shaft(reader.get(f"stage[{loop.name}].from")) if ratio else None
    if shaft is None or not shaft.torque or not loop.layout.pulleys.several:
        return ()
    most = [m for m in (engine_torque(reader, shaft), clutch_most(reader, ratio, shaft)) if m is not None]
    before = _slips_before(reader, ratio, shaft)
    return tuple(s._replace(before=before) for s in standing_of(reader, loop, ratio, shaft, min(most, default=None)))


def _slips_before(reader: Reader, ratio: RatioData, shaft: ShaftState) -> tuple[str, ...]:
    """Return what stands between the engine and a shaft and may slip before the engine stalls, in words."""
    line, most = chain(ratio.stages, shaft.name), engine_most(reader)
    found = [f"'{s.name}'" for s in line if s.pulleys is not None or s.kind == "friction roller"]
    at, kind = reader.get("clutch.shaft") or ENGINE, reader.get("clutch.kind")
    there, passed = ratio.shaft(at), {ENGINE, shaft.name, *(s.start for s in line)}
    if not reader.is_none("clutch") and reader.has("clutch") and kind not in ("direct", "idler") and at in passed:
        plate = reader.si("clutch.static_torque")
        holds = None if plate is None or there is None else (1.0 - PLATE_OFF) * plate / (there.over * there.passed)
        if holds is None or most is None or not at_least(holds, most[1]):
            found.append("the clutch")
    return tuple(found)


def hub_at(loop: LoadedLoop, share: float) -> np.ndarray:
    """Return the force of the belt on each shaft, N, shape (n, 2), at a share of the working load; below 0 it drives
    back. Where the belt slips it is the force at which it slips."""
    way = loop.overrun_way if share < 0.0 else loop.way
    return solve_cases(replace(loop, way=way), {"share": Load(share, share * loop.pulls, loop.centrifugal)})[0].hub


__all__ = ["BRAKE", "CLUTCH", "FULL", "JAM", "held_shafts", "hub_at", "more_cases"]

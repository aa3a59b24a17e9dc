"""Loads from outside the work: full throttle, a clutch that slips, its brake, and a shaft of the work that jams."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace

import numpy as np

from jackshaft.chapters.grip.cases import Case, Load, LoadedLoop, loaded_loop, solve_cases
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.chapters.ratio.data import RatioData
from jackshaft.parts.outside_loads import brake_share, jam_share, slipping_share
from jackshaft.parts.shaft_cases import BRAKE, CLUTCH, JAM
from jackshaft.results.reader import Reader, Unknown
from jackshaft.units import at_most

FULL = "full"


def more_cases(
    reader: Reader, loop: LoadedLoop, ratio: RatioData | None, layouts: Mapping[str, StageLayout]
) -> tuple[Case, ...]:
    """Solve those of the cases that the build tells enough of.

    ``full`` is the working load at the speed of full throttle. ``slipping clutch`` is what a cold clutch with faces
    run in pulls while it slips, at its full voltage. ``jam`` is the most that the belt or what drives it can pull on
    a shaft that stands: the least of what the belt holds at the high end of friction, what the clutch holds, what the
    engine gives with what turns on its crank, and what a shear pin after the belt stands at its high end. ``brake`` is
    what the clutch's brake takes out of the work at its high end, the other way round, with the belt at its best grip,
    which it has as it comes to a stand.
    """
    loads, layout = {}, loop.layout
    top = layout.full_speed
    if top and layout.speed and not at_most(top, layout.speed):
        loads[FULL] = Load(1.0, loop.pulls, loop.centrifugal * (top / layout.speed) ** 2)
    shaft = ratio.shaft(reader.get(f"stage[{loop.name}].from")) if ratio else None
    if shaft is not None and shaft.torque:
        pulls = slipping_share(reader, ratio, shaft)
        if pulls is not None:
            loads[CLUTCH] = Load(pulls, pulls * loop.pulls, loop.centrifugal)
        jam = jam_share(reader, ratio, shaft, _jammed(loop))
        if jam is not None:
            loads[JAM] = Load(jam, jam * loop.pulls, 0.0, high=True)
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
    back = {BRAKE: Load(share, -share * loop.pulls, 0.0, high=True)}
    return solve_cases(replace(loop, way=loop.overrun_way), back)


def _held(reader: Reader, ratio: RatioData, layout: StageLayout | None) -> float:
    """Return how many times its working load a loop lets back at its best grip; ``inf`` where that is not known."""
    if layout is not None and layout.path.reason == 0:
        with suppress(Unknown):
            loop = loaded_loop(reader, layout, ratio)
            if loop.hold is not None:
                return max(_back(loop, 1.0)[0].least_high, 0.0)
    return np.inf


def hub_at(loop: LoadedLoop, share: float) -> np.ndarray:
    """Return the force of the belt on each shaft, N, shape (n, 2), at a share of the working load; below 0 it drives
    back. Where the belt slips it is the force at which it slips."""
    way = loop.overrun_way if share < 0.0 else loop.way
    return solve_cases(replace(loop, way=way), {"share": Load(share, share * loop.pulls, loop.centrifugal)})[0].hub


__all__ = ["BRAKE", "CLUTCH", "FULL", "JAM", "hub_at", "more_cases"]

"""Loads that come from outside the work: full throttle, a clutch that slips, and a shaft of the work that jams."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from jackshaft import tables
from jackshaft.chapters.grip.cases import Case, Load, LoadedLoop, solve_cases
from jackshaft.chapters.grip.held_still import Standing, engine_most, standing_of
from jackshaft.chapters.ratio.data import ENGINE, RatioData, ShaftState, chain
from jackshaft.mechanics import clutch
from jackshaft.parts.motor import most_torque
from jackshaft.parts.shear_pin import shear_pin
from jackshaft.results.reader import Reader, Unknown
from jackshaft.units import Measure, at_least, at_most

#: Share by which a clutch that is hot, slow or glazed holds less than its plate says: common practice, no source.
PLATE_OFF = 0.5

FULL, CLUTCH, JAM = "full", "slipping clutch", "jam"


def more_cases(reader: Reader, loop: LoadedLoop, ratio: RatioData | None) -> tuple[Case, ...]:
    """Solve those of the cases that the build tells enough of.

    ``full`` is the working load at the speed of full throttle. ``slipping clutch`` is what a cold clutch with faces
    run in pulls while it slips, at its full voltage. ``jam`` is the most that the belt or what drives it can pull on
    a shaft that stands: the least of what the belt holds at the high end of friction, what the clutch holds, what the
    engine gives with what turns on its crank, and what a shear pin after the belt stands at its high end.
    """
    loads, layout = {}, loop.layout
    top = layout.full_speed
    if top and layout.speed and not at_most(top, layout.speed):
        loads[FULL] = Load(1.0, loop.pulls, loop.centrifugal * (top / layout.speed) ** 2)
    shaft = ratio.shaft(reader.get(f"stage[{loop.name}].from")) if ratio else None
    if shaft is not None and shaft.torque:
        holds = _clutch(reader, loop, ratio, shaft)
        if holds is not None:
            pulls = float(clutch.DYNAMIC.likely) * holds[0] / shaft.torque
            loads[CLUTCH] = Load(pulls, pulls * loop.pulls, loop.centrifugal)
        most = [x for x in (None if holds is None else holds[1], _pin(reader, ratio, shaft)) if x is not None]
        jam = None if layout.pulleys.several else _jam(reader, loop, shaft, most)
        if jam is not None:
            loads[JAM] = Load(jam, jam * loop.pulls, 0.0, high=True)
    return solve_cases(loop, loads) if loads else ()


def _jam(reader: Reader, loop: LoadedLoop, shaft: ShaftState, most: Sequence[float]) -> float | None:
    """Return the load of a jam over the working load; None where nothing bounds it.

    ``most`` is what clutch and pin let through, N m at the driving shaft.
    """
    least = np.inf
    if loop.hold is not None:
        # the belt stands or slides on a pulley that stands, so nothing is centrifugal
        least = solve_cases(loop, {JAM: Load(1.0, loop.pulls, 0.0, high=True)})[0].least_high
    engine = _engine(reader, shaft)
    if engine is not None:
        least = min(least, engine / shaft.torque)
    least = min([least, *(torque / shaft.torque for torque in most)])
    return float(least) if np.isfinite(least) and least > 0.0 else None


def _engine(reader: Reader, shaft: ShaftState) -> float | None:
    """Return the most that an engine gives to a shaft in a jam, with what turns on its crank, N·m; None if unknown."""
    most, inertia = most_torque(reader), reader.si("engine.inertia")
    if most is None or inertia is None or not shaft.work:
        return None
    crank = shaft.work * shaft.over
    within = tables.table("attachment_facts").one(item="crank brought to a stand by a jam, within")["likely"]
    engine = most[1] + 0.5 * inertia * crank**2 / np.radians(within)
    return engine * shaft.over * shaft.passed


def held_shafts(reader: Reader, loop: LoadedLoop, ratio: RatioData | None) -> tuple[Standing, ...]:
    """Return the driven shafts of a belt that drives several, each held still while the others go on."""
    shaft = ratio.shaft(reader.get(f"stage[{loop.name}].from")) if ratio else None
    if shaft is None or not shaft.torque or not loop.layout.pulleys.several:
        return ()
    holds = _clutch(reader, loop, ratio, shaft)
    most = [m for m in (_engine(reader, shaft), None if holds is None else holds[1]) if m is not None]
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


def _pin(reader: Reader, ratio: RatioData, shaft: ShaftState) -> float | None:
    """Return the torque of the driving shaft at which a pin after it surely shears; None where there is none."""
    try:
        pin = shear_pin(reader)
    except Unknown:
        return None
    there = None if pin is None else ratio.shaft(pin.shaft)
    if there is None or shaft.name not in {s.start for s in chain(ratio.stages, pin.shaft)}:
        return None
    return pin.high * shaft.over * shaft.passed / (there.over * there.passed)


def _clutch(reader: Reader, loop: LoadedLoop, ratio: RatioData, shaft: ShaftState) -> tuple[float, float] | None:
    """Return what the clutch holds at the most at the shaft that drives a loop, N·m, likely and at its high end.

    The plate's torque is that of run-in faces and a cold coil at the plate's voltage, beyond which the steel carries
    no more. None where no such clutch stands between the engine and the loop.
    """
    if reader.is_none("clutch") or reader.get("clutch.kind") not in (None, "electromagnetic"):
        return None
    at, plate = reader.get("clutch.shaft") or ENGINE, reader.get("clutch.static_torque")
    there = ratio.shaft(at)
    before = {ENGINE, shaft.name, *(s.start for s in chain(ratio.stages, shaft.name))}
    if there is None or at not in before or not isinstance(plate, Measure):
        return None
    carried = shaft.over * shaft.passed / (there.over * there.passed)
    return plate.si * carried, (plate.si + (plate.plus_minus or 0.0)) * carried


def hub_at(loop: LoadedLoop, share: float) -> np.ndarray:
    """Return the force of the belt on each shaft, N, shape (n, 2), at a share of the working load; below 0 it drives
    back. Where the belt slips it is the force at which it slips."""
    way = loop.overrun_way if share < 0.0 else loop.way
    return solve_cases(replace(loop, way=way), {"share": Load(share, share * loop.pulls, loop.centrifugal)})[0].hub


__all__ = ["CLUTCH", "FULL", "JAM", "held_shafts", "hub_at", "more_cases"]

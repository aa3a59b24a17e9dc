"""Loads that come from outside the work: a clutch that slips, its brake, a shaft of the work that jams.

Each is the torque of a shaft over its torque at work. ``ratio`` is what the ratio chapter found.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from jackshaft.mechanics import clutch
from jackshaft.parts.motor import most_torque
from jackshaft.parts.running_on import within
from jackshaft.parts.shear_pin import shear_pin
from jackshaft.parts.shoe_clutch import ends
from jackshaft.parts.slip_clutch import slip_clutch
from jackshaft.parts.works import work_shafts
from jackshaft.results.reader import Reader, Unknown, read_once
from jackshaft.units import Measure, OutOfRange

ENGINE = "engine"
#: The kind of clutch that lets go by a belt which hangs slack.
TIGHTENER = "idler"
#: The kind whose shoes are thrown out.
CENTRIFUGAL = "centrifugal"


def may_carry_clutch(reader: Reader) -> tuple[str, ...]:
    """Return the shafts that may carry the clutch where the build does not say: the engine's and any other that drives.

    The engine's is taken. Empty where the build says which it is.
    """
    if reader.get("clutch.shaft") is not None:
        return ()
    starts = (reader.get(f"stage[{name}].from") for name in reader.names("stage"))
    return tuple(dict.fromkeys((ENGINE, *(s for s in starts if s is not None))))


def way_to(ratio, shaft: str | None) -> tuple:
    """Return the stages from the engine to a shaft, the last first; empty where none leads there."""
    after, way = {s.end: s for s in ratio.stages}, []
    while shaft in after:
        way.append(after[shaft])
        shaft = after[shaft].start
    return tuple(way) if shaft == ENGINE else ()


def _line(ratio, shaft: str | None) -> tuple[str, ...]:
    """Return the shafts from a shaft back to the engine, both among them."""
    way = way_to(ratio, shaft)
    return tuple(dict.fromkeys((*(s.end for s in way), *(s.start for s in way)))) or ((shaft,) if shaft else ())


def torque_over(here, there) -> float:
    """Return the torque at one shaft over that at another, by their speeds and the losses between them."""
    return here.over * here.passed / (there.over * there.passed)


def _carries_clutch(reader: Reader, ratio, shaft) -> str | None:
    """Return the shaft of the clutch where the torque of a shaft runs through it, else None."""
    at = reader.get("clutch.shaft") or ENGINE
    if reader.is_none("clutch") or ratio.shaft(at) is None:
        return None
    return at if at in _line(ratio, shaft.name) or shaft.name in _line(ratio, at) else None


def clutch_torque(reader: Reader, ratio, shaft) -> tuple[float, float] | None:
    """Return what the clutch holds at the most at a shaft, N·m, likely and at its high end.

    The plate's torque is that of run-in faces and a cold coil at the plate's voltage, beyond which the steel carries
    no more. None where no such clutch is on the way of the torque through the shaft.
    """
    at, plate = _carries_clutch(reader, ratio, shaft), reader.get("clutch.static_torque")
    if reader.get("clutch.kind") not in (None, "electromagnetic") or at is None or not isinstance(plate, Measure):
        return None
    if reader.get("clutch.torque_speed") is not None:
        return None  # shoes have a torque that is stated at a speed
    carried = torque_over(shaft, ratio.shaft(at))
    return plate.si * carried, (plate.si + (plate.plus_minus or 0.0)) * carried


def clutch_most(reader: Reader, ratio, shaft) -> float | None:
    """Return the most that the clutch passes to a shaft in a jam, N·m; None where nothing is known to bound it.

    Shoes pass what they hold at the engine's top speed: as a jam slows the engine they hold less.
    """
    if reader.get("clutch.kind") != CENTRIFUGAL:
        holds = clutch_torque(reader, ratio, shaft)
        return None if holds is None else holds[1]
    at = _carries_clutch(reader, ratio, shaft)
    if at is None:
        return None
    try:
        most = ends(reader, ratio, at)[1]
    except (Unknown, OutOfRange):
        return None
    return float(most.good) * torque_over(shaft, ratio.shaft(at))


def slipping_share(reader: Reader, ratio, shaft) -> float | None:
    """Return the load of a clutch that slips, cold and run in, at its full voltage; None without one."""
    holds = clutch_torque(reader, ratio, shaft)
    return None if holds is None or not shaft.torque else float(clutch.DYNAMIC.likely) * holds[0] / shaft.torque


def engine_torque(reader: Reader, shaft) -> float | None:
    """Return the most that an engine gives to a shaft in a jam, with what turns on its crank, N·m; None if unknown."""
    most, inertia = most_torque(reader), reader.si("engine.inertia")
    if most is None or inertia is None or not shaft.work:
        return None
    crank = shaft.work * shaft.over
    engine = most[1] + 0.5 * inertia * crank**2 / within()
    return engine * shaft.over * shaft.passed


def jam_share(reader: Reader, ratio, shaft, belt: float = np.inf) -> float | None:
    """Return the load of a jam; None where nothing bounds it.

    It is the least of what a ``belt`` on the way holds, as a share, of what the engine gives with what turns on its
    crank, stopped within a quarter of a turn, of what the clutch holds, and of what a shear pin or a
    slip clutch stands, all at their high end.
    """
    if not shaft.torque:
        return None
    most = (engine_torque(reader, shaft), clutch_most(reader, ratio, shaft), _guard(reader, ratio, shaft))
    least = min([belt, *(torque / shaft.torque for torque in most if torque is not None)])
    return float(least) if np.isfinite(least) and least > 0.0 else None


def jam_lacks(reader: Reader) -> tuple[str, ...]:
    """Return the keys without which nothing bounds a jam: the engine with what turns on its crank, or the clutch."""
    keys = [] if most_torque(reader) is not None else ["engine.peak_torque"]
    keys += ["engine.inertia", *([] if reader.is_none("clutch") else ["clutch.kind"])]
    if not reader.is_none("clutch") and reader.get("clutch.kind") in (None, "electromagnetic", CENTRIFUGAL):
        keys.append("clutch.static_torque")
    return reader.unknown(*keys)


def up_to_guard(reader: Reader, ratio, shaft, share: float, whole: float) -> float:
    """Return the ``whole`` load of a jam on a shaft up to what a guard stands; never less than the ``share`` of it."""
    guard = _guard(reader, ratio, shaft)
    return whole if guard is None else max(share, min(whole, guard / shaft.torque))


@read_once
def _guard(reader: Reader, ratio, shaft) -> float | None:
    """Return the torque of a shaft at which a pin or slip clutch on it, or after it, surely gives; None without one.

    One that stands on a branch never feels the jam of another: it guards a shaft only where the way from that to each
    shaft of the work leads over it.
    """
    ways = ({work, *(s.start for s in way_to(ratio, work))} for work in work_shafts(reader))
    after, stands = [way for way in ways if shaft.name in way], []
    for found in (shear_pin, slip_clutch):
        try:
            guard = found(reader)
        except Unknown:
            continue
        there = None if guard is None else ratio.shaft(guard.shaft)
        if there is None:
            continue
        before = {guard.shaft, *(s.start for s in way_to(ratio, guard.shaft))}
        if shaft.name in before and all(guard.shaft in way for way in after):
            stands.append(guard.high * torque_over(shaft, there))
    return min(stands, default=None)


def braked(reader: Reader, ratio, shaft: str | None) -> tuple | None:
    """Return the stages between the clutch's brake and a shaft it stops, the last first; None where it does not."""
    found = _from_brake(reader, ratio, shaft)
    return None if found is None else found[0]


def _from_brake(reader: Reader, ratio, shaft: str | None) -> tuple[tuple, str] | None:
    """Return what :func:`braked` does and the shaft of the brake.

    The belt of a tightener hangs slack by then: its brake sits on the shaft that this belt drives, and loads neither
    the belt nor what stands before it.
    """
    if reader.is_none("clutch") or not reader.get("clutch.brake") or ratio is None:
        return None
    at, way = reader.get("clutch.shaft") or ENGINE, way_to(ratio, shaft)
    slack = reader.get("clutch.kind") == TIGHTENER
    if shaft == at:
        return None if slack else ((), at)
    starts = [s.start for s in way]
    if at not in starts:
        return None
    first = starts.index(at)
    if not slack:
        return way[: first + 1], at
    belt = way[first].pulleys is not None or reader.get(f"stage[{way[first].name}].kind") == "belt"
    return (way[:first], way[first].end) if belt else None


def brake_share(reader: Reader, ratio, shaft: str | None, held: Callable[[str], float]) -> float | None:
    """Return what the clutch's brake takes out of a shaft at the most; None without a brake, or before the clutch.

    The brake's torque is that of its high end. Losses between the two help it, so the work gives more than it takes:
    what a loss takes off the torque on the way out is put on twice. ``held`` says how many times its working load a
    belt lets back at its best grip, ``inf`` where that is not known. What turns is taken to be all on this shaft, so
    its share of the work's power is put on once only: it takes no more than the brake gives, over the ratio.
    """
    found, brake = _from_brake(reader, ratio, shaft), reader.get("clutch.brake_torque")
    if found is None or brake is None:
        return None
    between, at = found
    here, own = ratio.shaft(shaft), ratio.shaft(at)
    if here is None or own is None or not own.torque:
        return None
    most, back = [], 1.0
    for stage in between:
        back /= stage.efficiency**2 * stage.share
        most.append(held(stage.name) * back)
    return float(min([*most, (brake.si + (brake.plus_minus or 0.0)) / own.torque * back]))


__all__ = [
    "brake_share",
    "braked",
    "clutch_most",
    "clutch_torque",
    "engine_torque",
    "jam_lacks",
    "jam_share",
    "may_carry_clutch",
    "slipping_share",
    "torque_over",
    "up_to_guard",
    "way_to",
]

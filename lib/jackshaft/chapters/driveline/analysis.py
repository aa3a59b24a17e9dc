"""The telescoping shaft: its length and its angles through the whole travel, and how evenly it turns."""

from __future__ import annotations

from collections.abc import Mapping
from math import asin, pi

import numpy as np

from jackshaft.chapters.driveline import CHAPTER, checks, lengths, running
from jackshaft.chapters.driveline.data import LINKAGE, Attitude, DrivelineData, Travel
from jackshaft.mechanics import driveline as mech
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.checks import Table, stays_within
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.units import Measure, OutOfRange, at_least

#: Points of the travel that are looked at, beside the named attitudes.
POINTS = 401


def work_up(reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Work up the telescoping shaft of a build."""
    draft = Draft(CHAPTER)
    if reader.is_none("driveline"):
        return draft.done(reader, "none", "This build has no telescoping shaft.")
    if not reader.has("driveline"):
        return draft.done(reader, "not known yet", "Whether a telescoping shaft drives the work is not written down.")
    ratio = done["ratio"].data
    state = None
    if ratio is not None:
        state = ratio.shaft(reader.get("driveline.shaft") or ratio.work_shaft)
    linkage = _linkage(reader)
    attitudes, travel = _attitudes(reader, linkage)
    draft.data = data = DrivelineData(
        attitudes=attitudes,
        travel=travel,
        collapsed=reader.si("driveline.collapsed"),
        tube=reader.si("driveline.tube"),
        speed=None if state is None else state.work,
        phase=reader.si("driveline.phase"),
        torque=None if state is None else state.torque,
        collapsed_off=_allowance(reader, "driveline.collapsed"),
        tube_off=_allowance(reader, "driveline.tube"),
        top=None if state is None else state.top,
    )
    checks.judge(draft, reader, data)
    running.judge(draft, reader, data, ratio)
    _facts(draft, reader, data)
    _loads(draft, reader, data)
    if attitudes:
        draft.tables.append(_table(reader, data))
    rules = lengths.table(reader, data)
    if rules is not None:
        draft.tables.append(rules)
    draft.cite("joint-maker-page", "own-derivation")
    return draft.done(reader, uses=(done["ratio"],))


def _linkage(reader: Reader) -> dict[str, float] | None:
    """Return the lengths of the linkage; None where one of them is not known."""
    known = {k: reader.si(f"driveline.{k}") for k in LINKAGE}
    return None if None in known.values() else known


def _attitudes(reader: Reader, linkage: Mapping[str, float] | None) -> tuple[tuple[Attitude, ...], Travel | None]:
    """Return the named attitudes and, where the linkage is known, the whole way between them."""
    found = [_attitude(reader, name, linkage) for name in reader.names("driveline.attitude")]
    if not found:
        return _ends(reader), None
    lifts = [a.lift for a in found if a.lift is not None]
    if linkage is None or len(lifts) < len(found) or not lifts:
        return tuple(found), None
    way = np.unique(np.concatenate([np.linspace(min(lifts), max(lifts), POINTS), lifts]))
    turning = [a.lift for a in found if a.turns]
    turns = np.zeros_like(way, bool)
    if turning:
        turns = (way >= min(turning) - 1e-12) & (way <= max(turning) + 1e-12)
    try:
        return tuple(found), Travel(way, mech.stance.si(way, **linkage), turns)
    except OutOfRange:
        return tuple(found), None


def _attitude(reader: Reader, name: str, linkage: Mapping[str, float] | None) -> Attitude:
    """Return one attitude: from the linkage where that and the lift are known, else as taped."""
    at = f"driveline.attitude[{name}]"
    lift, turns = reader.si(f"{at}.lift"), reader.get(f"{at}.turns") is not False
    if linkage is not None and lift is not None:
        try:
            stance = mech.stance.si(lift, **linkage)
            off, bend_off = _linkage_off(reader, f"{at}.lift", lift, linkage)
        except (
            OutOfRange
        ):  # both joints in one place: the checks ask for the linkage again, and the guard is still judged
            return Attitude(name, lift, turns, None, None, None, planes=None)
        return Attitude(name, lift, turns, *(float(v) for v in stance), off=off, bend_off=bend_off)
    taped = (reader.si(f"{at}.{k}") for k in ("distance", "first", "second"))
    off, *bends = (_allowance(reader, f"{at}.{k}") for k in ("distance", "first", "second"))
    return Attitude(name, lift, turns, *taped, planes=None, off=off, bend_off=max(bends))


def _allowance(reader: Reader, key: str) -> float:
    """Return by how much the quantity at a key may be off, SI; 0 where nothing is said of that."""
    value = reader.get(key)
    return (value.plus_minus or 0.0) if isinstance(value, Measure) else 0.0


def _linkage_off(reader: Reader, at: str, lift: float, linkage: Mapping[str, float]) -> tuple[float, float]:
    """Return by how much the joints' distance and their larger angle may be off by the allowances of the linkage.

    What each length, and the lift, may be off by itself adds up.
    """
    here, found = mech.stance.si(lift, **linkage), np.zeros(2)
    for key in (*LINKAGE, "lift"):
        off = _allowance(reader, at if key == "lift" else f"driveline.{key}")
        if not off:
            continue
        moved = []
        for step in (-off, off):
            place = linkage if key == "lift" else {**linkage, key: linkage[key] + step}
            one = mech.stance.si(lift + step if key == "lift" else lift, **place)
            bends = abs(one.first - here.first), abs(one.second - here.second)
            moved.append((abs(one.distance - here.distance), max(bends)))
        found += np.max(np.asarray(moved, float), axis=0)
    return float(found[0]), float(found[1])


def _ends(reader: Reader) -> tuple[Attitude, ...]:
    """Return attitudes from the distances and swings that a build without named ones has."""
    swing = [reader.si(f"driveline.{k}") for k in ("swing", "swing_second")]
    found = []
    for name in ("shortest", "straight", "longest"):
        distance = reader.si(f"driveline.{name}")
        if distance is None:
            continue
        angles = (0.0, 0.0) if name == "straight" else swing
        offset = reader.si("driveline.parallel_offset")
        if name == "straight" and offset is not None and offset < distance:
            angles = (asin(offset / distance),) * 2
        planes = 0.0 if name == "straight" else None
        bends = (
            (0.0,) if name == "straight" else (_allowance(reader, f"driveline.{k}") for k in ("swing", "swing_second"))
        )
        off, bend_off = _allowance(reader, f"driveline.{name}"), max(bends)
        found.append(Attitude(name, None, True, distance, *angles, planes=planes, off=off, bend_off=bend_off))
    return tuple(found)


def _facts(draft: Draft, reader: Reader, data: DrivelineData) -> None:
    ends = data.ends()
    if ends is not None:
        low, high, here, there = ends
        draft.fact(
            "Telescoping shaft: shortest", reader.number(low, "length", decimals=2), f"joint to joint, at {here}"
        )
        draft.fact(
            "Telescoping shaft: longest", reader.number(high, "length", decimals=2), f"joint to joint, at {there}"
        )
    if data.speed is not None:
        draft.fact("Telescoping shaft: speed at work", reader.number(data.speed, "rotation"))
    for most, words in checks.lift_limits(data):
        draft.fact(f"Telescoping shaft: {words}", most)
    if data.collapsed is not None and data.tube is not None:
        full = reader.tape(data.collapsed + data.tube)
        draft.fact("Telescoping shaft: pulls apart at", full, "joint to joint")


def _loads(draft: Draft, reader: Reader, data: DrivelineData) -> None:
    """Add what joint 1 makes of the torque where it bends most: torque on the joints, bending of the end bearings."""
    there = running.stances(data)
    if data.torque is None or there is None or not len(there[0]):
        return
    at = int(there[0].argmax())
    if there[0][at] >= 0.5 * np.pi:
        return  # it cannot turn there; the check of the angles stops it
    load = mech.joint_load.si(data.torque, angle=there[0][at])
    place, rating = f"at {there[3][at]}", reader.si("driveline.joint_rating")
    note = f"twice a turn {place}; from a steady {reader.show(data.torque, 'torque')}"
    if rating is not None:
        side = "within" if stays_within(float(load.torque), rating) else "above"
        note += f"; {side} the rating of the joints, {reader.show(rating, 'torque')}"
    draft.fact("Telescoping shaft: most torque past joint 1", reader.number(load.torque, "torque"), note)
    draft.fact(
        "Telescoping shaft: bending on the driving shaft's end bearing",
        reader.number(load.bending, "torque"),
        f"up to this twice a turn {place}",
    )


def _table(reader: Reader, data: DrivelineData) -> Table:
    """Return distance, angles, overlap, room and swing of speed at each attitude, and where it is longest."""
    rows = [_row(reader, data, a) for a in data.attitudes]
    if data.travel is not None:
        way = data.travel
        at = int(np.argmax(way.stance.distance))
        place = data.place(at)
        if place not in {a.name for a in data.attitudes}:
            stance = (float(v[at]) for v in way.stance)
            longest = Attitude("longest", float(way.lift[at]), bool(way.turns[at]), *stance)
            rows.append(_row(reader, data, longest._replace(name=f"longest, {place}")))
    note = (
        "Overlap is how far the tubes still hold each other, room what is left before they bottom. The last column is "
        "the speed of the attachment's shaft over that of the driving one, with the yokes of the middle shaft as the "
        "build has them, or in line where it does not say."
    )
    heads = ("attitude", "joint to joint", "angle 1", "angle 2", "overlap", "room", "planes apart", "speed out over in")
    return Table("Telescoping shaft", heads, tuple(rows), note)


def _row(reader: Reader, data: DrivelineData, a: Attitude) -> tuple:
    overlap = None if a.distance is None else data.overlap(a.distance)
    room = None if a.distance is None or data.collapsed is None else a.distance - data.collapsed
    speed = "still"
    if a.turns:
        speed = "not known"
        if a.most is not None and at_least(a.most, 0.5 * pi):
            speed = "cannot turn"
        elif None not in (a.first, a.second, a.planes):
            phase = data.phase or 0.0
            swing = mech.speed_of_joints.si(a.first, second=a.second, planes=a.planes, phase=phase)
            speed = f"{float(swing.least):.3f} to {float(swing.most):.3f}"
    lengths = (reader.cell(v, "length", decimals=2) for v in (a.distance,))
    return (
        a.name,
        *lengths,
        reader.cell(a.first, "angle"),
        reader.cell(a.second, "angle"),
        reader.cell(overlap, "length", decimals=2),
        reader.cell(room, "length", decimals=2),
        reader.cell(a.planes, "angle", decimals=0),
        speed,
    )


__all__ = ["work_up"]

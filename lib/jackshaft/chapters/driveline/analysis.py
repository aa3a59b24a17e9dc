"""The telescoping shaft: its length and its angles through the whole travel, and how evenly it turns."""

from __future__ import annotations

from collections.abc import Mapping
from math import pi

import numpy as np

from jackshaft.chapters.driveline import CHAPTER, checks, lengths, running, series
from jackshaft.chapters.driveline.data import DrivelineData
from jackshaft.mechanics import driveline as mech
from jackshaft.parts.telescoping import Attitude, allowance, carrier, joint_rating, loads, places_of, share_of
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.checks import Table, stays_within
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.units import at_least


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
        state = ratio.shaft(carrier(reader, ratio))
    attitudes, travel = places_of(reader)
    draft.data = data = DrivelineData(
        attitudes=attitudes,
        travel=travel,
        collapsed=reader.si("driveline.collapsed"),
        tube=reader.si("driveline.tube"),
        speed=None if state is None else state.work,
        phase=reader.si("driveline.phase"),
        torque=None if state is None or state.torque is None else share_of(reader)[0] * state.torque,
        collapsed_off=allowance(reader, "driveline.collapsed"),
        tube_off=allowance(reader, "driveline.tube"),
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
    series.judge(draft, reader, data)
    draft.cite("joint-maker-page", "own-derivation")
    return draft.done(reader, uses=(done["ratio"],))


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
    """Add what both joints make of the torque where they bend most: on each of them, and on the bearings beside."""
    there = data.places.bends()
    if data.torque is None or there is None or not len(there.first):
        return
    if max(there.first.max(), there.second.max()) >= 0.5 * np.pi:
        return  # it cannot turn there; the check of the angles stops it
    found, rating = loads(there, data.phase), joint_rating(reader, data.speed)
    unseen = data.phase is None or not np.isfinite(there.planes).all()
    yokes = ", with the yokes as badly as they may stand" if unseen else ""
    bent = mech.joint_load.si(1.0, angle=there.first).bending
    for label, load, on_joint, by in (
        ("most torque on joint 1", found.first, True, ""),
        ("most torque on joint 2", found.second, True, yokes),
        ("most torque in the attachment's shaft", found.torque, False, yokes),
        ("bending on the driving shaft's end bearing", bent, False, ""),
        ("bending on the attachment's bearing", found.bending, False, yokes),
    ):
        at = int(load.argmax())
        torque = data.torque * float(load[at])
        note = f"twice a turn at {there.names[at]}{by}; from a steady {reader.show(data.torque, 'torque')}"
        if on_joint and rating is not None:
            side = "within" if stays_within(torque, rating.low) else "above"
            note += f"; {side} the rating of the joints, {rating.shown(reader)}"
        draft.fact(f"Telescoping shaft: {label}", reader.number(torque, "torque"), note)


def _table(reader: Reader, data: DrivelineData) -> Table:
    """Return distance, angles, overlap, room and swing of speed at each attitude, and where it is longest."""
    rows = [_row(reader, data, a) for a in data.attitudes]
    if data.travel is not None:
        way = data.travel
        at = int(np.argmax(way.stance.distance))
        place = data.places.place(at)
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

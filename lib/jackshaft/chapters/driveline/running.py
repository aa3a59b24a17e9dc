"""What is judged about how the telescoping shaft runs: evenness, the middle shaft's own swing, whirl."""

from __future__ import annotations

from math import pi, radians

import numpy as np

from jackshaft import tables
from jackshaft.chapters.driveline.checks import fact, unknown_distance
from jackshaft.chapters.driveline.data import DrivelineData
from jackshaft.chapters.ratio.data import RatioData, speed_keys
from jackshaft.mechanics import driveline as mech
from jackshaft.parts.works import work_shafts
from jackshaft.results.checks import CAUTION, GO, STOP, grade, stays_within
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import RPM

PHASE = "driveline.phase"
#: Diameter, m, below which no telescoping tube is made: a shaft of unknown tube is judged with it.
THIN = 0.02


def judge(draft: Draft, reader: Reader, data: DrivelineData, ratio: RatioData | None) -> None:
    """Add the checks of evenness, of the middle shaft, and of whirl."""
    speeds = () if data.speed else _speed_keys(reader, ratio)
    _even(draft, reader, data, speeds)
    _middle(draft, reader, data, speeds)
    _whirl(draft, reader, data, speeds)


def _speed_keys(reader: Reader, ratio: RatioData | None) -> tuple[str, ...]:
    shaft, works = reader.get("driveline.shaft"), work_shafts(reader)
    if shaft is None and len(works) > 1:
        return ("driveline.shaft",)
    shaft = shaft or next(iter(works), None)
    return speed_keys(reader, ratio, shaft, "driveline.shaft" if shaft is None else f"shaft[{shaft}].work_speed")


def left_limit() -> float:
    """Return the acceleration that the driven shaft may swing with, rad/s2: that of the table of residual angles."""
    rows = tables.table("joint_residual_angles").rows
    return max((row["speed_rpm"] * RPM * radians(row["angle_deg"])) ** 2 for row in rows)


def middle_limit(speed: float) -> tuple[float, str]:
    """Return the acceleration that the middle shaft may swing with at a speed (rad/s), rad/s², and its source.

    It is that of the greatest angle in the table of angles by speed. Slower and faster than the table it is that of
    the nearest row.
    """
    rows = sorted(tables.table("joint_angles").rows, key=lambda row: row["speed_rpm"])
    speeds = np.array([row["speed_rpm"] for row in rows]) * RPM
    swings = (speeds * np.sin(np.radians([row["angle_max_deg"] for row in rows]))) ** 2
    known = "from memory" if speed < min(s for s, r in zip(speeds, rows, strict=True) if r.known == "read") else "read"
    return float(np.interp(speed, speeds, swings)), f"{rows[0].source}, table of angles by speed ({known})"


def _even(draft: Draft, reader: Reader, data: DrivelineData, speeds: tuple[str, ...]) -> None:
    named = "driveline.evenness", "telescoping shaft: how evenly the attachment turns"
    there = data.places.bends()
    if there is None or not len(there[0]) or speeds:
        keys = (*(data.places.lacks(reader) if there is None else ()), *speeds)
        draft.missing(reader, *named, keys or ("driveline.attitude",), "How evenly it turns is not known yet.")
        return
    first, second, planes, places = there
    most = left_limit()
    worst = np.sqrt(first**2 + second**2)  # yokes a quarter off, or planes that nobody knows
    known = np.isfinite(planes) if data.phase is not None else np.zeros(len(first), bool)
    left = np.where(known, mech.left_angle.si(first, second=second, planes=planes, phase=data.phase or 0.0), worst)
    in_line = np.where(np.isfinite(planes), mech.left_angle.si(first, second=second, planes=planes), worst)
    swing = (data.speed * left) ** 2
    at = int(swing.argmax())
    limit = reader.number(most, "number", "{} rad/s² or less", decimals=0)
    found = reader.number(float(swing[at]), "number", f"{{}} rad/s² at {places[at]}", decimals=0)
    words = f"What both joints leave is as uneven as one joint of {reader.show(float(left[at]), 'angle')}."
    source = "sae-ae7, table of residual angles: about 400 rad/s²"
    good = stays_within(float(swing[at]), most)
    if not good and not known.all():
        # with the yokes as they may be; a stop at the best they can be stays one
        fine = stays_within(float((data.speed * in_line).max() ** 2), most)
        key = PHASE if data.phase is None else "driveline.hinge_off"
        words = f"If the yokes of the middle shaft stand a quarter off, {words[:1].lower()}{words[1:]}"
        words += " If they stand in line, it turns evenly enough." if fine else ""
        lacking = "How they stand is not known yet."
        if data.phase is not None:
            lacking = "In which planes the joints bend is known from the hinge and joint 2 only, not from taped angles."
        draft.missing(reader, *named, (key,), f"{words} {lacking}", limit=limit)
        return
    words += f" {best_words(reader, data, places[at])}" if not good else ""
    verdict = GO if good else CAUTION
    remedy = "" if good else "Turn the yokes of the middle shaft as the planes of its bends stand, and even the angles."
    draft.check(*named, found, limit, verdict, words, remedy, source)


def best_phase(data: DrivelineData) -> float | None:
    """Return the turn of the yokes, rad, that leaves least over all places where the shaft turns; None if not known.

    Yokes half a turn further are the same; the answer lies within a quarter turn either way, by whole degrees.
    """
    there = data.places.bends()
    if there is None or not len(there[0]) or not np.isfinite(there[2]).all():
        return None
    phases = np.radians(np.arange(-89, 91))
    first, second, planes, _ = there
    left = mech.left_angle.si(first, second=second, planes=planes, phase=phases[:, None]).max(-1)
    return float(phases[int(left.argmin())])


def best_words(reader: Reader, data: DrivelineData, place: str) -> str:
    """Return in words how the yokes would stand best; nothing where that is not known."""
    best = best_phase(data)
    return "" if best is None else f"The yokes would stand best {reader.show(best, 'angle')} apart."


def _middle(draft: Draft, reader: Reader, data: DrivelineData, speeds: tuple[str, ...]) -> None:
    named = "driveline.middle", "telescoping shaft: swing of the middle shaft"
    there = data.places.bends()
    if there is None or not len(there[0]) or speeds:
        return  # the check of evenness says what is missing
    limit, source = middle_limit(data.speed)
    bend = np.minimum(np.maximum(there[0], there[1]), 0.5 * pi)  # a joint bent past the square is no better for it
    at = int(bend.argmax())
    swing = float((data.speed * np.sin(bend[at])) ** 2)
    found = reader.number(swing, "number", f"{{}} rad/s² at {there[3][at]}", decimals=0)
    wanted = reader.number(limit, "number", "{} rad/s² or less", decimals=0)
    verdict = GO if stays_within(swing, limit) else CAUTION
    words = "The middle shaft speeds up and slows down twice a turn, however the yokes stand. Its own weight "
    words += "then shakes both joints."
    remedy = "" if verdict == GO else "Turn it slower, or bend it less."
    draft.check(*named, found, wanted, verdict, words, remedy, source)


def _whirl(draft: Draft, reader: Reader, data: DrivelineData, speeds: tuple[str, ...]) -> None:
    named = "driveline.whirl", "telescoping shaft: whirl"
    ends = data.ends(turning=True)
    if ends is None or speeds:
        return
    row, outside = fact("speed over critical speed"), reader.si("driveline.tube_outside")
    size = THIN if outside is None else outside
    inside = reader.si("driveline.tube_inside", 0.0) if outside is not None else 0.0
    first = float(mech.tube_whirl.si(ends[1], outside=size, inside=inside))
    limit = row["high"] * first
    wanted = reader.number(limit, "rotation", "{} or less")
    words = (
        f"At {reader.tape(ends[1])} a tube of {reader.show(size, 'length')} whirls at {reader.show(first, 'rotation')}."
    )
    if outside is None and not stays_within(max(data.speed, data.top or 0.0), limit):
        draft.missing(reader, *named, ("driveline.tube_outside",), f"{words} Its size is not known yet.", limit=wanted)
        return
    if outside is None:
        words = f"Even {words[:1].lower()}{words[1:]}"
    fastest = max(data.speed, data.top or 0.0)
    verdict = grade(likely=data.speed / first, bad=fastest / first, limit=row["high"], higher_is_better=False)
    words += f" It should turn no faster than {row['high']:g} of that: play and yokes lower it."
    if fastest > data.speed:
        words += f" The engine may run it up to {reader.show(fastest, 'rotation')}."
    if verdict != STOP and (farther := unknown_distance(reader, data, "longest")):
        draft.missing(
            reader, *named, farther, f"{words} Where the joints are farthest apart is not known.", limit=wanted
        )
        return
    remedy = "" if verdict == GO else "Fit a thicker tube, a shorter shaft, or turn it slower."
    draft.check(*named, reader.number(data.speed, "rotation"), wanted, verdict, words, remedy, row.source)


__all__ = ["best_phase", "judge", "left_limit"]

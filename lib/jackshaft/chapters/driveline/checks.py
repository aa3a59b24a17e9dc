"""What is judged about the length and the bends of the telescoping shaft, through its whole travel."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees, radians

import numpy as np

from jackshaft import tables
from jackshaft.chapters.driveline.data import DrivelineData
from jackshaft.results.checks import CAUTION, GO, STOP, reaches, stays_within
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value

#: What a place between two named attitudes is called in a check.
TRAVEL = "between the attitudes"


def fact(item: str):
    """Return the row of a figure of the table of attachment facts."""
    return tables.table("attachment_facts").one(item=item)


def judge(draft: Draft, reader: Reader, data: DrivelineData) -> None:
    """Add the checks of overlap, of room before it bottoms, and of the angles of the joints."""
    _overlap(draft, reader, data)
    _room(draft, reader, data)
    _angles(draft, reader, data)
    _guard(draft, reader)


def _overlap(draft: Draft, reader: Reader, data: DrivelineData) -> None:
    named = "driveline.overlap", "telescoping shaft: overlap"
    turning, whole = data.ends(turning=True), data.ends()
    needs = reader.unknown("driveline.collapsed", "driveline.tube")
    if whole is None or needs:
        words = "How far the tubes hold each other where the joints are farthest apart is not known yet."
        draft.missing(reader, *named, (*needs, *(data.places.lacks(reader) if whole is None else ())), words)
        return
    row = fact("telescoping overlap over profile length")
    at_rest, there = data.overlap(whole[1]), whole[3]
    if turning is None:
        turning = whole
    overlap, place = data.overlap(turning[1]), turning[3]
    least, good = row["low"] * data.tube, row["likely"] * data.tube
    found = reader.number(overlap, "length", f"{{}} at {place}", decimals=2)
    wanted = reader.number(good, "length", "{} or more, half of the tube", decimals=2)
    source = f"{row.source}; a third at least, other pages want half"
    words = (
        f"The joints are {reader.tape(turning[1])} apart there, and the tube is usable over {reader.tape(data.tube)}."
    )
    if at_rest <= 0.0 or overlap <= 0.0:
        words += f" At {there if at_rest <= 0.0 else place} the shaft pulls apart."
        draft.check(*named, found, wanted, STOP, words, "Fit a longer tube.", source, guards=True)
        return
    verdict = GO if reaches(overlap, good) else CAUTION if reaches(overlap, least) else STOP
    if verdict != GO:
        words += f" Published rules want a third of the tube, {reader.tape(least)}, or half of it."
    # at the bad end the tube is shorter, both halves are shorter pushed together, and the joints are farther apart
    bad = overlap - data.off - data.tube_off - data.collapsed_off
    if verdict == GO and not reaches(bad, row["likely"] * (data.tube - data.tube_off)):
        verdict, words = CAUTION, f"{words} What was taped may be off: then only {reader.tape(max(bad, 0.0))} are left."
    if verdict == GO and turning is not whole and at_rest < least:
        verdict, words = CAUTION, f"{words} At {there} only {reader.tape(at_rest)} of overlap is left."
    if verdict != STOP and _half_known(draft, reader, data, "longest", named, words, wanted):
        return
    remedy = "" if verdict == GO else "Fit a longer tube, or move joint 2 or the hinge."
    draft.check(*named, found, wanted, verdict, words, remedy, source, guards=verdict == STOP)


def unknown_distance(reader: Reader, data: DrivelineData, end: str) -> tuple[str, ...]:
    """Return what would say how far apart the joints are where that is not known; ``end`` is longest or shortest."""
    if not reader.names("driveline.attitude"):
        return reader.unknown(f"driveline.{end}")
    return data.places.lacks(reader) if any(a.distance is None for a in data.attitudes) else ()


def _half_known(draft: Draft, reader: Reader, data: DrivelineData, end: str, named, words: str, wanted: Value) -> bool:
    """Leave open what is no stop where the distance at an attitude or an end is not known; tell whether it was."""
    keys = unknown_distance(reader, data, end)
    if keys:
        draft.missing(
            reader, *named, keys, f"{words} How far apart they are at another place is not known.", limit=wanted
        )
    return bool(keys)


def _room(draft: Draft, reader: Reader, data: DrivelineData) -> None:
    named = "driveline.room", "telescoping shaft: room before it bottoms"
    ends, needs = data.ends(), reader.unknown("driveline.collapsed")
    if ends is None or needs:
        words = "How close the shaft comes to its shortest is not known yet."
        draft.missing(reader, *named, (*needs, *(data.places.lacks(reader) if ends is None else ())), words)
        return
    row = fact("telescoping clearance, shortest")
    least, good = row["low"] / 1000.0, row["high"] / 1000.0
    room, place = ends[0] - data.collapsed, ends[2]
    found = reader.number(room, "length", f"{{}} at {place}", decimals=2)
    wanted = reader.number(good, "length", "{} or more", decimals=2)
    verdict = GO if reaches(room, good) else CAUTION if reaches(room, least) else STOP
    words = "A shaft that bottoms pushes on the bearings of both ends and breaks them."
    if verdict != GO:
        words += f" Published rules want {reader.tape(least)} to {reader.tape(good)}."
    bad = room - data.off - data.collapsed_off
    if verdict == GO and not reaches(bad, good):
        verdict, words = CAUTION, f"{words} What was taped may be off: then only {reader.tape(max(bad, 0.0))} are left."
    if verdict != STOP and _half_known(draft, reader, data, "shortest", named, words, wanted):
        return
    remedy = "" if verdict == GO else "Cut both tubes shorter, or move joint 2 or the hinge."
    draft.check(*named, found, wanted, verdict, words, remedy, row.source)


def _angles(draft: Draft, reader: Reader, data: DrivelineData) -> None:
    work, brief, still = (radians(fact(f"joint angle, {k}")["high"]) for k in ("working", "brief", "stationary"))
    source = fact("joint angle, working").source
    for a in data.attitudes:
        named = f"driveline.angle[{a.name}]", f"{a.name} attitude: angles of the joints"
        unknown = [k for k, v in (("first", a.first), ("second", a.second)) if v is None]
        if unknown and (a.most is None or stays_within(a.most, brief if a.turns else still)):
            draft.missing(reader, *named, data.places.lacks(reader), "The angle of a joint is not known yet.")
            continue
        most = work if a.turns else still
        words = "Farm drivelines turn all day at 15° and for a moment at 25°; standard joints stand up to 35°."
        if a.turns:
            verdict = GO if stays_within(a.most, work) else CAUTION if stays_within(a.most, brief) else STOP
            words += {GO: "", CAUTION: " Turn it here briefly only.", STOP: " Do not turn it here."}[verdict]
        else:
            verdict = GO if stays_within(a.most, still) else STOP
            words += "" if verdict == GO else " It binds here even while it stands."
        if verdict == GO and not stays_within(a.most + a.bend_off, most):
            verdict = CAUTION
            words += f" What was measured may be off: then a joint bends {reader.show(a.most + a.bend_off, 'angle')}."
        both = " and ".join(reader.show(v, "angle") for v in (a.first, a.second) if v is not None)
        both += "" if a.turns else ", standing still"
        remedy = "" if verdict == GO else "Move the hinge or joint 2, lift less, or fit wide-angle joints."
        wanted = reader.number(most, "angle", "{} or less")
        draft.check(*named, both, wanted, verdict, words, remedy, source)
    _between(draft, reader, data, brief, source)


def _between(draft: Draft, reader: Reader, data: DrivelineData, brief: float, source: str) -> None:
    """Judge the way between the attitudes, where a joint bends further than at any of them."""
    way = data.travel
    if way is None or not way.turns.any():
        return
    bend = np.where(way.turns, np.maximum(way.stance.first, way.stance.second), 0.0)
    at, named = int(bend.argmax()), max((a.most for a in data.attitudes if a.turns), default=0.0)
    if bend[at] <= named * (1.0 + 1e-6):
        return
    verdict = GO if stays_within(bend[at], brief) else STOP
    words = f"A joint bends most at {data.places.place(at)}, on the way between two attitudes."
    id, remedy = "driveline.angle-between", "" if verdict == GO else "Stop the shaft on this way, or move the hinge."
    found, wanted = reader.number(float(bend[at]), "angle"), reader.number(brief, "angle", "{} or less")
    draft.check(id, f"telescoping shaft: angle {TRAVEL}", found, wanted, verdict, words, remedy, source)


def lift_limits(data: DrivelineData) -> Iterator[tuple[str, str]]:
    """Yield up to which lift the shaft may turn, and in words for how long."""
    way = data.travel
    if way is None or not way.turns.any():
        return
    bend = np.maximum(way.stance.first, way.stance.second)
    for item, words in (("working", "turn it all day up to"), ("brief", "do not turn it above")):
        most = radians(fact(f"joint angle, {item}")["high"])
        past = np.nonzero((bend > most) & (way.lift >= way.lift[way.turns][0]))[0]
        if len(past):
            yield f"{degrees(way.lift[past[0]]):.0f}° of lift", words


def _guard(draft: Draft, reader: Reader) -> None:
    named, told = ("driveline.guard", "telescoping shaft: guard"), reader.get("driveline.guarded")
    words = "A turning shaft takes hold of a sleeve and winds an arm up before a hand can let go."
    if told is None:
        draft.missing(reader, *named, ("driveline.guarded",), f"{words} Whether it is guarded is not written down.")
        return
    verdict = GO if told else STOP
    remedy = "" if told else "Fit a guard that stands still over the whole shaft and both joints before it turns."
    wanted = "a guard over the whole shaft and both joints"
    source = "29 CFR 1928.57; ISO 4254-1"
    draft.check(*named, "guarded" if told else "not guarded", wanted, verdict, words, remedy, source, guards=True)


__all__ = ["fact", "judge", "lift_limits"]

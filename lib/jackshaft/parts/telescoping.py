"""The telescoping shaft as the build has it: where its joints stand and bend, and what its joints carry."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from math import asin
from typing import NamedTuple

import numpy as np
from jackshaft import tables
from jackshaft.mechanics import driveline as mech
from jackshaft.mechanics.driveline import PairLoad, Stance
from jackshaft.results.reader import Reader, read_once
from jackshaft.units import RPM, Measure, OutOfRange, at_most, read

#: Points of the travel that are looked at, beside the named attitudes.
POINTS = 401

#: Keys of how far both joints swing, where no attitude is named.
SWINGS = ("swing", "swing_second")
#: How far a cross that was measured may be off its list, m, cup and length: common practice, no source.
CROSS_OFF = 0.3e-3, 1.0e-3
#: How far the torques of one series lie apart in the lists of different makers: driveline-page, as its table says.
SERIES_SPREAD = 1.4
#: Keys of the lengths of the linkage, in the order in which it is walked.
LINKAGE = ("hinge_off", "hinge_away", "joint_along", "joint_square", "joint_aside")


class Attitude(NamedTuple):
    """One place of the attachment: its lift (rad) where a linkage says it, whether the shaft turns there, joint to
    joint (m), the joints' angles and the turn between the planes of the bends (rad); None where not known. ``off`` and
    ``bend_off`` are how far the distance (m) and the larger angle (rad) may be off by the allowances of what was taped.
    """

    name: str
    lift: float | None
    turns: bool
    distance: float | None
    first: float | None
    second: float | None
    planes: float | None
    off: float = 0.0
    bend_off: float = 0.0

    @property
    def most(self) -> float | None:
        """The larger of the two angles, None where neither is known."""
        return max((v for v in (self.first, self.second) if v is not None), default=None)


class Travel(NamedTuple):
    """The whole way of the attachment: lifts (rad, shape (n,)), the stance at each, and where the shaft turns."""

    lift: np.ndarray
    stance: Stance
    turns: np.ndarray


class Bends(NamedTuple):
    """All places where the shaft turns: angles of both joints and turn between their planes (rad), and names."""

    first: np.ndarray
    second: np.ndarray
    planes: np.ndarray
    names: list[str]


class Places(NamedTuple):
    """Where the attachment may stand: its named attitudes, and its whole way where the linkage is known."""

    attitudes: tuple[Attitude, ...]
    travel: Travel | None

    def place(self, at: int) -> str:
        """Return where a point of the travel is, in words: the attitude's name, or its lift in degrees."""
        lift = float(self.travel.lift[at])
        named = [a.name for a in self.attitudes if a.lift is not None and abs(a.lift - lift) < 1e-9]
        return named[0] if named else f"{np.degrees(lift):.0f}° of lift"

    def bends(self) -> Bends | None:
        """Return how the joints bend where the shaft turns; None where an angle is not known."""
        if self.travel is not None:
            way = self.travel
            at = np.nonzero(way.turns)[0]
            names = [self.place(int(i)) for i in at]
            return Bends(way.stance.first[at], way.stance.second[at], way.stance.planes[at], names)
        turning = [a for a in self.attitudes if a.turns]
        if not turning or any(None in (a.first, a.second) for a in turning):
            return None
        first, second = (np.array([getattr(a, k) for a in turning]) for k in ("first", "second"))
        planes = np.array([np.nan if a.planes is None else a.planes for a in turning])
        return Bends(first, second, planes, [a.name for a in turning])

    def lacks(self, reader: Reader) -> tuple[str, ...]:
        """Return what would say where the joints stand."""
        names = reader.names("driveline.attitude")
        if not names:
            swings = reader.unknown(*(f"driveline.{k}" for k in SWINGS)) if self.attitudes else ()
            return swings or ("driveline.attitude",)
        places = tuple(f"driveline.{k}" for k in LINKAGE)
        if any(reader.get(k) is not None for k in places):
            lifts = [f"driveline.attitude[{n}].lift" for n in names]
            return reader.unknown(*places, *lifts) or places  # all known, and yet no way for the shaft to stand
        keys = [f"driveline.attitude[{a.name}].{k}" for a in self.attitudes for k in ("distance", "first", "second")]
        return reader.unknown(*keys)


@read_once
def places_of(reader: Reader) -> Places:
    """Return where the attachment of a build may stand."""
    return Places(*attitudes(reader, linkage(reader)))


def loads(bends: Bends, phase: float | None, *, off: float = 0.0) -> PairLoad:
    """Return what a steady torque of 1 N·m of the driving shaft makes at most at each place.

    Yokes, or planes, that nobody looked at stand as badly as they may. ``off`` is how far an angle may be off, rad.
    """
    first, second = bends.first + off, bends.second + off
    worst = mech.pair_load.si(1.0, first=first, second=second)
    if phase is None:
        return worst
    known = np.isfinite(bends.planes)
    found = mech.pair_load.si(1.0, first=first, second=second, planes=np.where(known, bends.planes, 0.0), phase=phase)
    return PairLoad(*(np.where(known, one, bad) for one, bad in zip(found, worst, strict=True)))


def carrier(reader: Reader, ratio) -> str | None:
    """Return the shaft that it carries on; None where the build does not say which of several does.

    ``ratio`` is what the ratio chapter found.
    """
    told = reader.get("driveline.shaft")
    if told is not None or len(ratio.work_shafts) > 1:
        return told
    return ratio.work_shaft


def times_on_joints(reader: Reader) -> tuple[float, float] | None:
    """Return the most torque on a joint over the steady torque of the driving shaft, likely and at the bad end.

    None where it is not known how far the joints bend.

    Raises
    ------
    OutOfRange
        Where a joint bends by a right angle or more while the shaft turns.
    """
    places, phase = places_of(reader), reader.si("driveline.phase")
    if places.attitudes and not any(a.turns for a in places.attitudes):
        return 1.0, 1.0
    bends = places.bends()
    if bends is None:
        return None
    off = max((a.bend_off for a in places.attitudes if a.turns), default=0.0)
    angles = tuple(np.asarray(angle, float).tobytes() for angle in bends[:3])
    likely, bad = _most_on_a_joint(angles, phase or 0.0, 0.0), _most_on_a_joint(angles, phase, off)
    return likely, max(likely, bad)


@lru_cache(maxsize=256)
def _most_on_a_joint(angles: tuple[bytes, ...], phase: float | None, off: float) -> float:
    """Return the most torque on a joint for 1 N·m; a panel and the proof of a cure ask for the same angles often."""
    load = loads(Bends(*map(np.frombuffer, angles), []), phase, off=off)
    return float(max(load.first.max(), load.second.max()))


class Rating(NamedTuple):
    """What a joint is rated for, N·m, with the ends of its band, where that comes from, and the series it is of."""

    likely: float
    low: float
    high: float
    source: str
    series: int | None = None

    def shown(self, reader: Reader) -> str:
        """Return it in words."""
        words = reader.show(self.likely, "torque")
        return words if self.low == self.likely else f"{words}, and {reader.show(self.low, 'torque')} at its bad end"


def crosses_like(reader: Reader) -> tuple[int, ...] | None:
    """Return the series whose cross is as large as the one that was measured; None where it was not measured."""
    cup, length = (reader.si(f"driveline.cross_{k}") for k in ("cup", "length"))
    if cup is None or length is None:
        return None
    rows = tables.table("joint_crosses").rows
    off = (
        CROSS_OFF[0] + allowance(reader, "driveline.cross_cup"),
        CROSS_OFF[1] + allowance(reader, "driveline.cross_length"),
    )
    return tuple(
        row["series"]
        for row in rows
        if at_most(abs(1e-3 * row["cup_mm"] - cup), off[0]) and at_most(abs(1e-3 * row["length_mm"] - length), off[1])
    )


def series_torque(series: int, speed: float | None) -> float | None:
    """Return the torque, N·m, that a series is listed for at a speed, rad/s; None where the series is in no list.

    Below the slower speed of the list it is that one's torque, above the faster one its power. Where the speed is not
    known, the lower of both.
    """
    row = next((row for row in tables.table("driveline_series").rows if row["series"] == series), None)
    if row is None:
        return None
    hp = read("1 hp", "power").si
    turns, power = np.array([540.0, 1000.0]) * RPM, np.array([row["power_540_hp"], row["power_1000_hp"]]) * hp
    if speed is None:
        return float((power / turns).min())
    return float(np.interp(speed, turns, power) / max(speed, turns[0]))


def joint_rating(reader: Reader, speed: float | None) -> Rating | None:
    """Return what the joints are rated for: as the build says, else by their series at a speed (rad/s).

    The series is the build's, else that of the one cross in the list that is as large as the one measured.
    """
    told = reader.si("driveline.joint_rating")
    if told is not None:
        return Rating(told, *reader.ends("driveline.joint_rating"), "rating in the build file")
    series, like = reader.get("driveline.series"), crosses_like(reader)
    if series is None and like is not None and len(like) == 1:
        series = like[0]
    torque = None if series is None else series_torque(series, speed)
    if torque is None:
        return None
    words = f"driveline-page, series {series}; lists differ by up to 40 %"
    return Rating(torque, torque / SERIES_SPREAD, torque * SERIES_SPREAD, words, series)


def share_of(reader: Reader) -> tuple[float, float]:
    """Return the share of its shaft's torque that goes through the telescoping shaft, likely and at its high end."""
    key = "driveline.share"
    return reader.si(key, 1.0), (reader.ends(key) or (1.0, 1.0))[1]


def linkage(reader: Reader) -> dict[str, float] | None:
    """Return the lengths of the linkage; None where one of them is not known."""
    known = {k: reader.si(f"driveline.{k}") for k in LINKAGE}
    return None if None in known.values() else known


def attitudes(reader: Reader, linkage: Mapping[str, float] | None) -> tuple[tuple[Attitude, ...], Travel | None]:
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
        return tuple(found), Travel(way, _stance(tuple(way.tolist()), **linkage), turns)
    except OutOfRange:
        return tuple(found), None


def _attitude(reader: Reader, name: str, linkage: Mapping[str, float] | None) -> Attitude:
    """Return one attitude: from the linkage where that and the lift are known, else as taped."""
    at = f"driveline.attitude[{name}]"
    lift, turns = reader.si(f"{at}.lift"), reader.get(f"{at}.turns") is not False
    if linkage is not None and lift is not None:
        try:
            stance = _stance(lift, **linkage)
            off, bend_off = _linkage_off(reader, f"{at}.lift", lift, linkage)
        except (
            OutOfRange
        ):  # both joints in one place: the checks ask for the linkage again, and the guard is still judged
            return Attitude(name, lift, turns, None, None, None, planes=None)
        return Attitude(name, lift, turns, *(float(v) for v in stance), off=off, bend_off=bend_off)
    taped = (reader.si(f"{at}.{k}") for k in ("distance", "first", "second"))
    off, *bends = (allowance(reader, f"{at}.{k}") for k in ("distance", "first", "second"))
    return Attitude(name, lift, turns, *taped, planes=None, off=off, bend_off=max(bends))


@lru_cache(maxsize=256)
def _stance(lift: float | tuple[float, ...], **linkage: float | tuple[float, ...]) -> mech.Stance:
    """Return where the joints stand; held, because most of a build has no part in that. It can only be read."""
    given = {k: v if isinstance(v, float) else np.array(v) for k, v in {"lift": lift, **linkage}.items()}
    found = mech.stance.si(given.pop("lift"), **given)
    for line in found:
        if isinstance(line, np.ndarray):
            line.flags.writeable = False
    return found


def allowance(reader: Reader, key: str) -> float:
    """Return by how much the quantity at a key may be off, SI; 0 where nothing is said of that."""
    value = reader.get(key)
    return (value.plus_minus or 0.0) if isinstance(value, Measure) else 0.0


def _linkage_off(reader: Reader, at: str, lift: float, linkage: Mapping[str, float]) -> tuple[float, float]:
    """Return by how much the joints' distance and their larger angle may be off by the allowances of the linkage.

    What each length, and the lift, may be off by itself adds up.
    """
    offs = {k: allowance(reader, at if k == "lift" else f"driveline.{k}") for k in (*LINKAGE, "lift")}
    offs = {key: off for key, off in offs.items() if off}
    if not offs:
        return 0.0, 0.0
    steps = [{}] + [{key: step} for key, off in offs.items() for step in (-off, off)]
    moved = {k: tuple(at + s.get(k, 0.0) for s in steps) for k, at in {**linkage, "lift": lift}.items()}
    found = _stance(moved.pop("lift"), **moved)
    bends = np.maximum(*(abs(bend[1:] - bend[0]) for bend in (found.first, found.second)))
    each = (abs(found.distance[1:] - found.distance[0]), bends)
    return tuple(float(off.reshape(-1, 2).max(-1).sum()) for off in each)


def _ends(reader: Reader) -> tuple[Attitude, ...]:
    """Return attitudes from the distances and swings that a build without named ones has."""
    swing = [reader.si(f"driveline.{k}") for k in SWINGS]
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
            (0.0,) if name == "straight" else (allowance(reader, f"driveline.{k}") for k in ("swing", "swing_second"))
        )
        off, bend_off = allowance(reader, f"driveline.{name}"), max(bends)
        found.append(Attitude(name, None, True, distance, *angles, planes=planes, off=off, bend_off=bend_off))
    bent = any(a.name != "straight" for a in found) or reader.get("driveline.parallel_offset") is not None
    if not bent and (found or None not in swing):
        off = max(allowance(reader, f"driveline.{k}") for k in SWINGS)
        found.append(Attitude("bent", None, True, None, *swing, planes=None, bend_off=off))
    return tuple(found)


__all__ = [
    "LINKAGE",
    "Attitude",
    "Bends",
    "Places",
    "Rating",
    "Travel",
    "allowance",
    "carrier",
    "crosses_like",
    "joint_rating",
    "loads",
    "places_of",
    "series_torque",
    "share_of",
    "times_on_joints",
]

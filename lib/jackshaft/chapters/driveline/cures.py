"""What mends a telescoping shaft: other tubes, another place of hinge or joint, less lift, yokes turned, a guard."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice, product
from math import radians

import numpy as np

from jackshaft.chapters.driveline.checks import fact
from jackshaft.chapters.driveline.data import DrivelineData
from jackshaft.chapters.driveline.running import PHASE, best_phase, middle_limit
from jackshaft.mechanics import driveline as mech
from jackshaft.parts.telescoping import LINKAGE
from jackshaft.results.cure import Proposal, orders
from jackshaft.results.failing import Failing
from jackshaft.units import read, write

STEP = "1/4 in", "5 mm"
#: Steps in which tube is sold.
TUBE = "1/4 in", "5 mm"
#: How far a hinge or a joint may be moved, and in what steps, m; places that are offered.
REACH, STRIDE, PLACES = 0.15, 0.0127, 4


def _data(failing: Failing) -> DrivelineData | None:
    return failing.data("driveline")


def _longer(failing: Failing) -> Iterator[Proposal]:
    """Yield tubes so much longer that they hold each other over half, then over a third of their length.

    Each half grows by as much as the tube, so the shaft is as much longer pushed together. What was taped is counted
    at its bad end, and what is cut anew may be off by the same share.
    """
    data = _data(failing)
    ends = None if data is None else data.ends(turning=True) or data.ends()
    if ends is None or data.overlap(ends[1]) is None:
        return
    row, (tube_off, pushed_off) = fact("telescoping overlap over profile length"), _shares(data)
    bad = data.overlap(ends[1]) - data.off - data.tube_off - data.collapsed_off
    for share in (row["likely"], row["low"]):
        # 2 d longer, less what is off of d, reaches the share of the tube + d at its bad end
        wants = share * (1.0 - tube_off)
        grown = (wants * data.tube - bad) / (2.0 - tube_off - pushed_off - wants)
        if grown > 0.0:
            tube = failing.up(data.tube + grown, "length", *STEP)
            collapsed = failing.up(data.collapsed + grown, "length", *STEP)
            words = f"Fit tubes usable over {tube}, {collapsed} joint to joint when pushed together."
            yield Proposal(words, {"driveline.tube": tube, "driveline.collapsed": collapsed})


def _shares(data: DrivelineData) -> tuple[float, float]:
    """Return by which share of it the tube, and the length pushed together, may be off."""
    return data.tube_off / data.tube, data.collapsed_off / data.collapsed


def _shorter(failing: Failing) -> Iterator[Proposal]:
    """Yield tubes cut so far that they keep the room that is wanted, then the least."""
    data = _data(failing)
    ends = None if data is None else data.ends()
    if ends is None or data.collapsed is None or data.tube is None:
        return
    row, pushed_off = fact("telescoping clearance, shortest"), _shares(data)[1]
    for room in (row["high"], row["low"]):
        cut = data.collapsed - (ends[0] - data.off - room / 1000.0) / (1.0 + pushed_off)
        # both halves get shorter, so they hold each other over twice as much less
        left = (data.overlap(ends[1]) or 0.0) - 2.0 * cut
        if 0.0 < cut < data.tube and left >= fact("telescoping overlap over profile length")["low"] * (data.tube - cut):
            collapsed = failing.down(data.collapsed - cut, "length", *STEP)
            tube = failing.down(data.tube - cut, "length", *STEP)
            words = f"Cut both tubes and both halves of the guard, until the shaft is {collapsed} joint to joint when "
            words += f"pushed together and the tubes are usable over {tube}."
            yield Proposal(words, {"driveline.collapsed": collapsed, "driveline.tube": tube})


def _bend(failing: Failing) -> Iterator[Proposal]:
    """Yield no turning there, less lift, and other places of hinge and joint 2."""
    data, name = _data(failing), failing.part
    here = None if data is None else next((a for a in data.attitudes if a.name == name), None)
    if here is None:
        return
    at = f"driveline.attitude[{name}]"
    if here.turns and _may_stand(name):
        yield Proposal(f"Switch the shaft off before it comes to the attitude '{name}'.", {f"{at}.turns": "no"})
    yield from _less_lift(failing, data, here, at)
    yield from _moved(failing, data)


def _may_stand(attitude: str) -> bool:
    """Tell whether the shaft may stand in an attitude: not where it works, by its name."""
    return "work" not in attitude.lower()


def _less_lift(failing: Failing, data: DrivelineData, here, at: str, most: tuple = ()) -> Iterator[Proposal]:
    """Yield the lifts, nearest to the attitude's, at which the joints bend less than all day or for a moment.

    ``most`` are other angles, rad, to bend no further than.
    """
    if data.travel is None or not here.turns:
        return
    bend = np.maximum(data.travel.stance.first, data.travel.stance.second)
    for limit in most or [radians(fact(f"joint angle, {item}")["high"]) for item in ("working", "brief")]:
        fine = data.travel.lift[bend <= limit - here.bend_off]
        if len(fine):
            lift = float(fine[np.abs(fine - here.lift).argmin()])
            step = failing.down if here.lift > 0 else failing.up
            text = step(lift, "angle", "1 deg")
            yield Proposal(f"Lift to {text} at most for the attitude '{here.name}'.", {f"{at}.lift": text})


def _moved(failing: Failing, data: DrivelineData) -> Iterator[Proposal]:
    """Yield places of the hinge and of joint 2 at which no joint bends too far, the nearest first."""
    reader = failing.reader
    now = {k: reader.si(f"driveline.{k}") for k in LINKAGE}
    lifts = np.array([a.lift for a in data.attitudes if a.turns and a.lift is not None])
    if None in now.values() or not len(lifts):
        return
    off = max((a.bend_off for a in data.attitudes if a.turns), default=0.0)
    most, found = radians(fact("joint angle, working")["high"]) - off, []
    shifts = np.arange(-REACH, REACH + 1e-9, STRIDE)
    for off, square in product(shifts, shifts):
        place = {**now, "hinge_off": now["hinge_off"] + off, "joint_square": now["joint_square"] + square}
        stance = mech.stance.si(lifts, **place)
        if np.maximum(stance.first, stance.second).max() <= most:
            found.append((abs(off) + abs(square), place))
    found.sort(key=lambda f: f[0])
    for _, place in islice(found, PLACES):
        changes, words = {}, []
        for key, what in (("hinge_off", "the hinge {} off the shaft"), ("joint_square", "joint 2 {} below the hinge")):
            if abs(place[key] - now[key]) > 1e-9:
                text = failing.down(place[key], "length", *STEP)
                changes[f"driveline.{key}"] = text
                words.append(what.format(text))
        if changes:
            yield Proposal(f"Put {' and '.join(words)}.", changes)


def _swing(failing: Failing) -> Iterator[Proposal]:
    """Yield the attitudes in which the middle shaft swings too hard reached with the shaft off, or at less lift."""
    data = _data(failing)
    if data is None or not data.speed:
        return
    most = float(np.arcsin(min(np.sqrt(middle_limit(data.speed)[0]) / data.speed, 1.0)))
    bent = [a for a in data.attitudes if a.turns and a.most is not None and a.most > most * (1.0 + 1e-9)]
    lower: dict[str, str] = {}
    words = []
    for one in bent:
        for less in _less_lift(failing, data, one, f"driveline.attitude[{one.name}]", (most,)):
            lower |= less.changes
            words.append(less.words)
    if bent and len(words) == len(bent):
        yield Proposal(orders(*words), lower)
    if bent and all(_may_stand(a.name) for a in bent):
        names = " and ".join(f"'{a.name}'" for a in bent)
        changes = {f"driveline.attitude[{a.name}].turns": "no" for a in bent}
        yield Proposal(f"Switch the shaft off before it comes to the attitude {names}.", changes)
    yield from _moved(failing, data)


def _between(failing: Failing) -> Iterator[Proposal]:
    """Yield other places of hinge and joint 2, then the shaft off at one end of the way."""
    data = _data(failing)
    if data is None:
        return
    yield from _moved(failing, data)
    for one in reversed(data.attitudes):
        if one.turns and _may_stand(one.name):
            words = f"Switch the shaft off before it comes to the attitude '{one.name}'."
            yield Proposal(words, {f"driveline.attitude[{one.name}].turns": "no"})


def _stiffer(failing: Failing) -> Iterator[Proposal]:
    """Yield thicker tubes: what a tube whirls at grows with its size."""
    outside, found, wanted = (
        failing.reader.si("driveline.tube_outside"),
        getattr(failing.check.found, "high", None) or getattr(failing.check.found, "si", None),
        getattr(failing.check.wanted, "si", None),
    )
    top = max(found or 0.0, _data(failing).top or 0.0) if _data(failing) else found
    if not outside or not top or not wanted:
        return
    inside = failing.reader.si("driveline.tube_inside")
    for over in (1.0, 1.15):
        text = failing.up(over * outside * top / wanted, "length", *TUBE)
        changes = {"driveline.tube_outside": text}
        words = f"Fit a middle shaft of tube {text} outside"
        if inside is not None:
            changes["driveline.tube_inside"] = wall = failing.down(
                inside + read(text, "length").si - outside, "length", "1/16 in", "1 mm"
            )
            words += f" and {wall} inside"
        yield Proposal(orders(words), changes)


def _even(failing: Failing) -> Iterator[Proposal]:
    """Yield the yokes as they stand best."""
    data = _data(failing)
    best = None if data is None else best_phase(data)
    if best is not None:
        text = write(best, "angle", failing.build.system)
        yield Proposal(f"Turn the yokes of the middle shaft {text} apart.", {PHASE: text})


def _guard(failing: Failing) -> Iterator[Proposal]:
    """Yield a guard."""
    yield Proposal("Guard the whole shaft and both joints.", {"driveline.guarded": "yes"})


#: Checks that no change of the build mends, and why.
NO_CHANGE = {"driveline.cross": "Which joint it is must be measured at its cross."}

PROPOSALS = {
    "driveline.overlap": _longer,
    "driveline.room": _shorter,
    "driveline.angle": _bend,
    "driveline.angle-between": _between,
    "driveline.middle": _swing,
    "driveline.whirl": _stiffer,
    "driveline.evenness": _even,
    "driveline.guard": _guard,
}

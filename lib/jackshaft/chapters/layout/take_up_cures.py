"""What may give a take-up its way: another pivot of its arm, another belt, centres that move farther."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jackshaft.chapters.layout.arm import STRETCH, follow
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.chapters.layout.orders import at_of, belt_on, belts_of, centres_order
from jackshaft.chapters.layout.room import centre_room
from jackshaft.chapters.layout.take_up import MEASURED
from jackshaft.results.cure import Proposal
from jackshaft.results.failing import Failing
from jackshaft.units import read

#: How many of one kind are proposed.
FEW = 3

#: Steps of a slot's end and of a travel, inch and metric.
STEP = ("1/16 in", "1 mm")


def take_up(failing: Failing) -> Iterator[Proposal]:
    """Yield what lets the take-up follow its belt to the end: an arm, or centres that move."""
    layout = failing.item("layout")
    if layout is None:
        return
    if len(layout.pulleys.names) == 2:
        yield from _moving_centres(failing, layout)
    elif layout.mover == layout.idler and layout.pivot is not None:
        yield from _pivots(failing, layout)
    else:
        yield from _longer_way(failing, layout)


def _longer_way(failing: Failing, layout: StageLayout) -> Iterator[Proposal]:
    """Yield a slot, or centres, that go as much farther as the belt will ask for, and somewhat more."""
    ways, at, k = follow(failing.reader, layout), f"{at_of(failing)}.takeup", layout.mover
    if k is None:
        return
    path, drawn = layout.path, layout.as_drawn
    here, start = (np.array([float(c[k]) for c in one.places[:2]]) for one in (layout, drawn))
    # how the belt's length grows with the place of the pulley, m a m
    grows = np.array([path.ux[k - 1] - path.ux[k], path.uy[k - 1] - path.uy[k]])
    end = tuple(failing.reader.si(f"{at}.slot_{c}") for c in "xy")
    if k != layout.idler:
        away = start - np.array([float(c[layout.pulleys.driver]) for c in drawn.places[:2]])
    else:
        away = grows if None in end or ways is None else np.array(end) - here
    away = away / np.hypot(*away)
    travel, gained, rate = (
        (0.0, 0.0, float(away @ grows)) if ways is None else (ways.travel, ways.gained, ways.rate_end)
    )
    if rate <= 0.0:
        return
    for over in (1.0, 1.1, 1.25, 1.5):
        far = travel + over * (STRETCH * float(path.length) - max(gained, 0.0)) / rate
        if k != layout.idler:
            text = failing.up(float(np.hypot(*(here - start))) + far, "length", *STEP)
            yield Proposal(f"Let the centres open by {text} from where they are drawn.", {f"{at}.travel_out": text})
            continue
        texts = [failing.up(c, "length", *STEP) for c in here + far * away]
        changes = dict(zip((f"{at}.slot_x", f"{at}.slot_y"), texts, strict=True))
        yield Proposal(f"Make the slot reach to x {texts[0]}, y {texts[1]}.", changes)


def _moving_centres(failing: Failing, layout: StageLayout) -> Iterator[Proposal]:
    """Yield belts that leave room both ways, other centres with the travel there is, then more travel."""
    room, reader, at = centre_room(failing.reader, layout, layout.chosen), failing.reader, f"{at_of(failing)}.takeup"
    if room is None:
        return
    others = (s for s in layout.stock if s is not layout.chosen and s.designation != MEASURED)
    rooms = ((belt, centre_room(reader, layout, belt)) for belt in others)
    good = [belt for belt, there in rooms if there is not None and there.stretches and there.goes_on]
    for belt in sorted(good, key=lambda s: abs(s.over))[:FEW]:
        yield Proposal(f"Use {belts_of(failing, belt.designation)}.", belt_on(failing, belt.designation))
    out, into = (reader.si(f"{at}.travel_{way}") for way in ("out", "in"))
    drawn, wanted = layout.as_drawn.centres, (room.stretch, room.fitting.length)
    if None not in (out, into) and out + into >= sum(wanted):
        low, high = room.stands + wanted[0] - out, room.stands - wanted[1] + into
        order, changes = centres_order(failing, layout, (low + high) / 2)
        yield Proposal(f"{order}.", changes)
    least = {"out": room.stands + wanted[0] - drawn, "in": drawn - room.stands + wanted[1]}
    texts = {w: failing.up(max(v, 0.0), "length", *STEP) for w, v in least.items()}
    changed = {
        w: t for w, t in texts.items() if (now := {"out": out, "in": into}[w]) is None or read(t, "length").si > now
    }
    moves = " and ".join(f"{'open' if w == 'out' else 'close'} by {t}" for w, t in changed.items())
    if changed:
        far = "from where they are drawn"
        yield Proposal(f"Let the centres {moves} {far}.", {f"{at}.travel_{w}": t for w, t in changed.items()})


def _pivots(failing: Failing, layout: StageLayout) -> Iterator[Proposal]:
    """Yield pivots from which the arm follows the belt to the end, as far from the idler as now."""
    if layout.pivot is None or layout.idler is None:
        return
    at = f"{at_of(failing)}.takeup"
    x, y = (float(c[layout.idler]) for c in layout.places[:2])
    reach = float(np.hypot(x - layout.pivot[0], y - layout.pivot[1]))
    now = np.arctan2(layout.pivot[1] - y, layout.pivot[0] - x)
    found = 0
    for turn in np.radians([15, -15, 30, -30, 45, -45, 60, -60, 90, -90, 120, -120, 150, -150, 180]):
        spot = x + reach * np.cos(now + turn), y + reach * np.sin(now + turn)
        texts = [failing.up(c, "length", "1/4 in", "5 mm") for c in spot]
        there = layout._replace(pivot=tuple(read(t, "length").si for t in texts))
        ways = follow(failing.reader, there)
        if ways is not None and not ways.ends:
            yield Proposal(
                f"Put the arm's pivot at x {texts[0]}, y {texts[1]}.",
                dict(zip((f"{at}.pivot_x", f"{at}.pivot_y"), texts, strict=True)),
            )
            found += 1
        if found == FEW:
            return


__all__ = ["take_up"]

"""A take-up followed while its belt stretches and wears: how far it goes, and what ends it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft.chapters.layout.clear_of import least_gap, room_of
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.chapters.layout.take_up import CENTRES, track_of, travel_missing, with_pulley_at, with_the_belt
from jackshaft.mechanics import clearance, takeup
from jackshaft.mechanics import path as belt_path
from jackshaft.results.checks import CAUTION, GO, STOP, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import TAPE

#: What a belt stretches and wears over its life, as a share of its length: common practice, no source.
STRETCH = 0.015

#: Take-ups that follow the belt by themselves.
FOLLOWS = ("sprung idler", "weighted idler")

#: Places along the way that are looked at for its length, and for what rubs there.
NODES, LOOKS = 1441, 9


class Followed(NamedTuple):
    """The way of a take-up idler from where it stands: +1 counter-clockwise (or along its slot), -1 against it.

    ``rate`` is the belt taken up for a travel, m/m, at first and ``rate_end`` at the end; ``gained`` the belt taken up,
    m, and ``travel``, m, what it takes; ``x``, ``y`` where it then is; ``ends`` what stops it before the whole stretch,
    in words, else empty; ``wrap`` the wraps there, rad. ``nearest`` is where on the way the gap is smallest, m, and
    ``gap`` that gap, m.
    """

    way: int
    rate: float
    rate_end: float
    gained: float
    travel: float
    x: float
    y: float
    ends: str
    wrap: np.ndarray
    nearest: tuple[float, float] = (np.nan, np.nan)
    gap: float = np.inf


def follow(reader: Reader, layout: StageLayout, *, whole: bool = False, gaps: bool = False) -> Followed | None:
    """Follow the take-up until the belt is as much longer as it gets; None where its way is not known.

    ``whole`` follows it to the end of its way. Where it is tightest is left open but with ``gaps``: that takes longer
    than all the rest.
    """
    found = track_of(reader, f"stage[{layout.name}]", layout)
    if found is None:
        return None
    loop, track = found
    arm = isinstance(track, takeup.Arm)
    low, high = takeup.ends_of_si(track)
    spot = np.array([float(c[layout.mover]) for c in layout.places[:2]])
    start = (low + high) / 2 if arm else float(np.hypot(*(spot - np.array(track[:2]))))
    unit = track.length if arm else 1.0

    def measure(t):
        x, y, ex, ey = takeup.point_on_si(track, t)
        path, gx, gy = loop(x, y)
        return path, (gx * ex + gy * ey) / unit, x, y

    rate = float(measure(np.array([start]))[1][0])
    way = 1 if rate >= 0 else -1
    t = np.linspace(start, high if way > 0 else low, NODES)
    path, rates, x, y = measure(t)
    gained = np.where(path.reason == 0, path.length - path.length[0], np.nan)
    on = np.logical_and.accumulate((path.reason == 0) & (way * rates > 0.0))
    wanted = np.inf if whole else STRETCH * float(layout.path.length)
    last, ends = max(int(np.sum(on)) - 1, 0), ""
    if gained[last] >= wanted:
        last = int(np.argmax(gained >= wanted))
        share = (wanted - gained[last - 1]) / (gained[last] - gained[last - 1])
        spot = t[last - 1] + share * (t[last] - t[last - 1])
    else:
        spot, ends = t[last], _end(path, last, arm=arm, slot=layout.mover == layout.idler)
    spot = np.array([spot])
    path, rates, x, y = measure(spot)
    ways = Followed(
        way=way,
        rate=abs(rate),
        rate_end=float(abs(rates[0])),
        gained=float(path.length[0] - layout.path.length),
        travel=float(abs(spot[0] - start) * unit),
        x=float(x[0]),
        y=float(y[0]),
        ends=ends,
        wrap=path.wrap[0],
    )
    ways = _kept_clear(layout, ways, measure, np.linspace(start, spot[0], LOOKS))
    if not gaps:
        return ways
    return _tightest(layout, ways, measure, np.linspace(start, start + ways.way * ways.travel / unit, LOOKS))


def _tightest(layout: StageLayout, ways: Followed, measure, places: np.ndarray) -> Followed:
    """Return the way with the place on it where the gap is smallest: first in steps, then between those beside it."""
    for _ in range(2):
        path, _, x, y = measure(places)
        gaps = _gaps(layout, path, x, y)
        gaps[np.isnan(gaps)] = np.inf
        k = int(np.argmin(np.round(gaps, 9)))
        if gaps[k] < ways.gap - 1e-9:
            ways = ways._replace(gap=float(gaps[k]), nearest=(float(x[k]), float(y[k])))
        places = np.linspace(places[max(k - 1, 0)], places[min(k + 1, len(places) - 1)], LOOKS)
    return ways


def _gaps(layout: StageLayout, path: belt_path.Path, x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Return the least gap, m, with the take-up at each of some places, all at once; nan where no belt goes round."""
    p, room = layout.pulleys, room_of(layout)
    if p.crossed:  # ``path`` is that of an open belt
        moved = [with_pulley_at(layout, layout.mover, spot) for spot in zip(x, y, strict=True)]
        return np.array([np.nan if one is None else least_gap(one)[0] for one in moved])
    xs, ys = (np.tile(c, (len(x), 1)) for c in layout.places[:2])
    xs[:, layout.mover], ys[:, layout.mover] = x, y
    gaps = clearance.least_gap_si(room._replace(x=xs, y=ys, found=path), layout.bodies)
    crossing = clearance.strands_cross_si(*belt_path.tangents_si(xs, ys, p.pitch, path), path, p.pitch)
    return np.where((path.reason != 0) | crossing, np.nan, gaps)


def tightest_place(reader: Reader, layout: StageLayout) -> tuple[StageLayout, tuple[str, ...]]:
    """Return the loop where it is tightest between a new belt and a worn one, and the keys missing to follow it.

    The way begins where the belt that is on puts the take-up, and ends where it has stretched and worn, or can go no
    farther; what the keys leave open is looked at where it stands.
    """
    if layout.fits is False:
        return layout, ()
    missing = travel_missing(reader, f"stage[{layout.name}]", layout, longer=True)
    if missing or layout.mover is None:
        return layout, missing
    at, k = with_the_belt(layout), layout.mover
    start = with_pulley_at(layout, k, (float(at.x[k]), float(at.y[k]))) or layout
    start = start._replace(least_gap=least_gap(start)[0])
    ways = follow(reader, start, gaps=True)
    there = start if ways is None or not np.isfinite(ways.gap) else with_pulley_at(layout, k, ways.nearest)
    if there is None:
        return layout, ()
    gap, words = least_gap(there)
    return there._replace(least_gap=gap, gap_words=words), ()


def _end(path, last: int, *, arm: bool, slot: bool) -> str:
    """Return what ends the way, in words."""
    if last + 1 >= len(path.reason):
        return "the arm has turned a quarter turn" if arm else "its slot ends" if slot else "its travel ends"
    if path.reason[last + 1] != 0:
        return f"it can go no farther: {belt_path.REASONS[int(path.reason[last + 1])]}"
    return f"{'the arm goes over dead centre: past it' if arm else 'it stands where past it'} the belt only gets looser"


def _kept_clear(layout: StageLayout, ways: Followed, measure, places: np.ndarray) -> Followed:
    """Return the way as far as nothing rubs on it that does not rub where it begins."""
    if layout.least_gap <= 0:
        return ways
    path, rates, x, y = measure(places)
    gaps = _gaps(layout, path, x, y)
    before = 0
    for k in range(1, len(places)):
        if not gaps[k] > 0:
            moved = with_pulley_at(layout, layout.mover, (x[k], y[k]))
            words = "two strands cross" if moved is None else least_gap(moved)[1]
            share = before / (len(places) - 1)
            return ways._replace(
                gained=float(path.length[before] - layout.path.length),
                rate_end=float(abs(rates[before])),
                travel=ways.travel * share,
                x=float(x[before]),
                y=float(y[before]),
                ends=f"it rubs: {words}",
                wrap=path.wrap[before],
            )
        before = k
    return ways


def take_up_check(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    """Add the check that the take-up follows its belt as long as it lives: an idler that is sprung or set by hand, or
    centres that move in a loop with idlers."""
    at, kind = f"stage[{layout.name}]", reader.get(f"stage[{layout.name}].takeup.kind")
    by_hand = kind == "fixed idler" or (kind in CENTRES and len(layout.pulleys.names) > 2)
    if not (by_hand or kind in FOLLOWS) or layout.fits is False:
        return
    what = "room to keep the belt tight" if by_hand else "the idler follows the belt"
    id, name = f"layout.take-up[{layout.name}]", f"{layout.name}: {what}"
    wanted = STRETCH * float(layout.path.length)
    limit = reader.number(wanted, "length", f"{{}} or more, {100 * STRETCH:g} % of the belt", form=TAPE)
    missing = travel_missing(reader, at, layout, longer=True)
    if missing:
        reader.note_missing(*missing)
        words = "How far the take-up can go while the belt stretches and wears is not known yet. Measure it there."
        draft.checks.append(undecided(id, name, missing, words, limit=limit))
        return
    ways = follow(reader, layout)
    gained = 0.0 if ways is None else max(ways.gained, 0.0)
    if ways is not None and not ways.ends:
        gained = max(gained, follow(reader, layout, whole=True).gained)
    slot_ends = ways is not None and ways.ends.startswith("its slot") and ways.gained > 0
    good = ways is not None and not ways.ends
    draft.check(
        id,
        name,
        found=reader.number(gained, "length", "can take up {}", form=TAPE),
        wanted=limit,
        verdict=GO if good else CAUTION if by_hand or slot_ends else STOP,
        reason=_words(reader, layout, ways)
        if ways is not None
        else "It cannot move: its pivot, or both ends of its way, are where it stands. When the belt "
        "has stretched, nothing keeps it tight.",
        remedy=""
        if good
        else "Give the take-up a longer way: another pivot for an arm, a longer slot, or more travel.",
        source="own-derivation, the path along the take-up's way; stretch: common practice, no source",
    )


def _words(reader: Reader, layout: StageLayout, ways: Followed) -> str:
    names, p = layout.pulleys.names, layout.pulleys
    mover, unit = names[layout.mover], "in" if reader.system == "inch" else "mm"
    turns = "counter-clockwise" if ways.way > 0 else "clockwise"
    on_arm = layout.pivot is not None and layout.mover == layout.idler
    push = turns if on_arm else "along its slot" if layout.mover == layout.idler else "along the line of centres"
    first = f"{ways.rate:.2f} {unit} of belt for each {unit} of its travel"
    kind = reader.get(f"stage[{layout.name}].takeup.kind")
    by = {"weighted idler": "The weight moves", "sprung idler": "The spring moves", "sliding motor": "The slide moves"}
    begin = f"{by.get(kind, 'You move')} {mover} {push}; it takes up {first}."
    if ways.ends:
        return (
            f"{begin} After {reader.tape(ways.travel)} {ways.ends}. By then it has taken up "
            f"{reader.tape(max(ways.gained, 0.0))}; when the belt has stretched more, nothing keeps it tight."
        )
    wraps = f"{p.names[p.driver]} then wraps {np.degrees(ways.wrap[p.driver]):.1f}°"
    return f"{begin} For the stretch and wear of a belt's life it goes {reader.tape(ways.travel)}; {wraps}."


__all__ = ["FOLLOWS", "STRETCH", "Followed", "follow", "take_up_check", "tightest_place"]

"""Which belt that is sold goes on, and where the take-up stands with it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jackshaft.chapters.layout.clear_of import least_gap
from jackshaft.chapters.layout.data import StageLayout, StockBelt
from jackshaft.mechanics import belts as belt_lengths
from jackshaft.mechanics import clearance, takeup, twopulley
from jackshaft.mechanics import path as belt_path
from jackshaft.parts.belt_stage import standard_of
from jackshaft.results.reader import Reader

#: How many of the belts that are sold are shown although they do not fit: those nearest to the path.
NEAR = 5

#: Belts longer or shorter than the path by more than this share of it are not tried.
REACH = 0.3

#: A belt that is off the path by less than this goes on without a take-up, m.
AS_DRAWN = 1e-3


def stock_of(reader: Reader, at: str, layout: StageLayout) -> tuple[tuple[StockBelt, ...], StockBelt | None]:
    """Return every belt that fits and those nearest to the path, with the take-up position for each, and the one on."""
    wanted: list[tuple[str, float, str]] = []
    belt = layout.belt
    if belt is None:
        reader.note_missing(f"{at}.section")
        return (), None
    mine = None if unread(reader, at, belt) else _own_belt(reader, at, belt)
    try:
        sold = belt_lengths.stock(belt, "pitch")
    except belt_lengths.SectionError:
        sold = None
    if sold is not None:
        off = np.abs(sold.length - float(layout.path.length))
        in_reach = np.nonzero(off <= REACH * float(layout.path.length))[0]
        tried = sorted({*in_reach, *np.argsort(off)[:NEAR]})
        wanted += [(sold.designation[i], float(sold.length[i]), sold.known[i]) for i in tried]
    if mine and not any(_same(mine[0], d) for d, _, _ in wanted):
        wanted.append(mine)
    if not wanted:
        return (), None
    placed = _place(reader, at, layout, np.array([w[1] for w in wanted]))
    over = [w[1] - float(layout.path.length) for w in wanted]
    stock = tuple(StockBelt(d, length, o, *p, k) for (d, length, k), o, p in zip(wanted, over, placed, strict=True))
    near = sorted(stock, key=lambda s: abs(s.over))[:NEAR]
    own = [s for s in stock if mine and _same(mine[0], s.designation)]
    stock = tuple(sorted((s for s in stock if s.fits or s in near or s in own), key=lambda s: s.pitch_length))
    return stock, next((s for s in stock if mine and _same(mine[0], s.designation)), None)


def unread(reader: Reader, at: str, belt) -> str:
    """Return why the belt's own length or marking cannot be read; empty where it can, or none is given."""
    try:
        _own_belt(reader, at, belt)
    except belt_lengths.SectionError as why:
        return str(why)
    return ""


def _same(a: str, b: str) -> bool:
    return a.replace(" ", "").upper() == b.replace(" ", "").upper()


def _own_belt(reader: Reader, at: str, belt) -> tuple[str, float, str] | None:
    """Return the belt that is on or bought: its name, pitch length and how known."""
    marked, length = reader.get(f"{at}.marked"), reader.si(f"{at}.length")
    line = reader.get(f"{at}.length_is")
    if length is not None and line is not None:
        return (
            str(marked or "as measured"),
            float(belt_lengths.convert(length, belt, have=line, want="pitch")),
            "measured",
        )
    if marked is None:
        return None
    own, read = belt_lengths.marked(marked, line=line, system=standard_of(reader, at))
    return marked, float(belt_lengths.convert(read.length, own, have=read.line, want="pitch")), read.known


def _place(reader: Reader, at: str, layout: StageLayout, targets: np.ndarray) -> Iterator[tuple]:
    """Yield (fits, x, y, centres, room_in, room_out, gap, gap_words, wrap) for each wanted pitch length."""
    nan = float("nan")
    pulleys, places = layout.pulleys, layout.places
    if len(pulleys.names) == 2:
        yield from _two(reader, at, layout, targets)
        return
    loop_track = track_of(reader, at, layout, reader.get(f"{at}.takeup.kind"))
    if loop_track is None:
        for target in targets:
            as_drawn = bool(abs(target - layout.path.length) < AS_DRAWN)
            yield as_drawn, nan, nan, nan, nan, nan, layout.least_gap, layout.gap_words, None
        return
    loop, track = loop_track
    found = takeup.positions_si(loop, track, targets)
    gaps = [_gap_at(layout, x, y, found.path, k) for k, (x, y) in enumerate(zip(found.x, found.y, strict=True))]
    for row in range(len(targets)):
        here = np.nonzero(found.target == row)[0]
        if not len(here):
            yield False, nan, nan, nan, nan, nan, nan, "", None
            continue
        # A place where nothing rubs comes first, then the one nearest to the drawing.
        gone = np.hypot(found.x[here] - places.x[layout.idler], found.y[here] - places.y[layout.idler])
        k = min(range(len(here)), key=lambda i: (gaps[here[i]][0] <= 0, gone[i]))
        k = here[k]
        yield (
            True,
            float(found.x[k]),
            float(found.y[k]),
            nan,
            float(found.slack_to_fit[k]),
            float(found.stretch_left[k]),
            *gaps[k],
            np.asarray(found.path.wrap[k]),
        )


def _two(reader: Reader, at: str, layout: StageLayout, targets: np.ndarray) -> Iterator[tuple]:
    """Yield the same for a drive of two pulleys: the centres move."""
    nan = float("nan")
    pulleys, places = layout.pulleys, layout.places
    i, j = pulleys.driver, pulleys.driven
    sizes = {"first": 2 * pulleys.pitch[i], "second": 2 * pulleys.pitch[j], "crossed": pulleys.crossed}
    centres = np.hypot(places.x[j] - places.x[i], places.y[j] - places.y[i])
    # Past the place where the pulleys touch no travel is of use; the room to put on is then said in words.
    least, touch = centres - reader.si(f"{at}.takeup.travel_in", 0.0), pulleys.pitch[i] + pulleys.pitch[j]
    touching = bool(least < touch)
    least = min(centres, max(least, touch))
    most = centres + reader.si(f"{at}.takeup.travel_out", 0.0)
    low, high = (float(twopulley.two_pulleys.si(c, **sizes).length) for c in (least, most))
    for target in targets:
        c = float(twopulley.centre_distance.si(target, **sizes))
        fits = bool(least - 1e-9 <= c <= most + 1e-9)
        wrap = None
        if np.isfinite(c):
            there = twopulley.two_pulleys.si(c, **sizes)
            wrap = np.zeros(2)
            wrap[i], wrap[j] = float(there.wrap_first), float(there.wrap_second)
        room_in = np.inf if touching else target - low
        yield fits, nan, nan, c, room_in, high - target, layout.least_gap, layout.gap_words, wrap


def _gap_at(layout: StageLayout, x: float, y: float, path: belt_path.Path, row: int) -> tuple[float, str]:
    """Return the smallest gap of the loop, in words too, with the take-up pulley at a place."""
    one = belt_path.Path(*(np.asarray(part)[row] for part in path))
    xs, ys = layout.places.x.copy(), layout.places.y.copy()
    xs[layout.idler], ys[layout.idler] = x, y
    ends = belt_path.tangents_si(xs, ys, layout.pulleys.pitch, one)
    if clearance.strands_cross_si(*ends, one, layout.pulleys.pitch):
        return 0.0, "two strands cross"
    return least_gap(
        layout.pulleys, layout.places._replace(x=xs, y=ys), layout.belt, one, layout.ccw, ends, layout.bodies
    )


def track_of(reader: Reader, at: str, layout: StageLayout, kind: str | None):
    """Return (loop, track) of the idler that takes up, or None where it cannot move."""
    if layout.idler is None or kind not in ("sprung idler", "weighted idler", "fixed idler"):
        return None
    k, places = layout.idler, layout.places
    x, y = places.x[k], places.y[k]
    if layout.pivot is not None:
        reach = np.hypot(x - layout.pivot[0], y - layout.pivot[1])
        now = np.arctan2(y - layout.pivot[1], x - layout.pivot[0])
        track = takeup.Arm(*layout.pivot, reach, now - np.pi / 2, now + np.pi / 2)
    else:
        end = reader.si(f"{at}.takeup.slot_x"), reader.si(f"{at}.takeup.slot_y")
        if None in end:
            reader.note_missing(f"{at}.takeup.pivot_x", f"{at}.takeup.pivot_y")
            return None
        track = takeup.Slot(x, y, *end)
    loop = belt_path.with_pulley_moved_si(
        places.x, places.y, layout.pulleys.pitch, layout.pulleys.inside, k, layout.ccw
    )
    return loop, track

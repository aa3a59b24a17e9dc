"""Which belt that is sold goes on, and where the take-up stands with it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from jackshaft.chapters.layout.clear_of import least_gap
from jackshaft.chapters.layout.data import Places, StageLayout, StockBelt
from jackshaft.mechanics import belts as belt_lengths
from jackshaft.mechanics import clearance, takeup, twopulley
from jackshaft.mechanics import path as belt_path
from jackshaft.parts.belt_stage import standard_of
from jackshaft.results.checks import NEAR as NEAR_SHARE
from jackshaft.results.reader import Reader
from jackshaft.tables.belt_marks import in_full, read_marking

#: How many of the belts that are sold are shown although they do not fit: those nearest to the path.
NEAR = 5

#: Belts longer or shorter than the path by more than this share of it are not tried.
REACH = 0.3

#: A belt that is off the path by less than this goes on without a take-up, m.
AS_DRAWN = 1e-3

#: A take-up is taken as drawn where the belt puts it no farther off than this: 3/8 in, common practice, no source.
DRAWN_OFF = 0.0095

#: What a belt is called whose length was measured and that has no marking.
MEASURED = "the measured belt"

#: Take-ups that move one of two shafts.
CENTRES = ("adjustable centres", "sliding motor")

#: Take-ups that are an idler.
IDLERS = ("sprung idler", "weighted idler", "fixed idler")


def stock_of(
    reader: Reader, at: str, layout: StageLayout, *, mine_only: bool = False
) -> tuple[tuple[StockBelt, ...], StockBelt | None]:
    """Return every belt that fits and those nearest to the path, with the take-up position for each, and the one on.

    With ``mine_only`` only the belt that is on is looked at, for a panel in a hurry.
    """
    belt, path = layout.belt, float(layout.path.length)
    if belt is None:
        reader.note_missing(f"{at}.section")
        return (), None
    mine = None if unread(reader, at, belt) else _own_belt(reader, at, belt)
    wanted = [] if mine_only else _sold(belt, path)
    if mine and mine[2] == "measured":
        wanted = [w for w in wanted if not _same(mine[0], w[0])]  # it counts, whatever is printed on it
    if mine and not any(_same(mine[0], name) for name, _, _ in wanted):
        wanted.append(mine)
    if not wanted:
        return (), None
    placed = _place(reader, at, layout, np.array([length for _, length, _ in wanted]))
    stock = [StockBelt(*w, over=w[1] - path, **place) for w, place in zip(wanted, placed, strict=True)]
    near = sorted(stock, key=lambda s: abs(s.over))[:NEAR]
    own = [s for s in stock if mine and _same(mine[0], s.designation)]
    shown = sorted(
        (s for s in stock if s.fits or s in near or s in own), key=lambda s: (round(s.pitch_length, 6), s.designation)
    )
    return tuple(shown), next((s for s in shown if s in own), None)


def travel_missing(reader: Reader, at: str, layout: StageLayout, longer: bool) -> tuple[str, ...]:
    """Return the keys without which it is not known how far the take-up goes for a longer belt, or a shorter one."""
    kind = reader.get(f"{at}.takeup.kind")
    if kind is None:
        return (f"{at}.takeup.kind",)
    if kind not in IDLERS:
        key = f"{at}.takeup.travel_{'out' if longer else 'in'}"
        return () if reader.get(key) is not None else (key,)
    if layout.idler is None:
        return (f"{at}.takeup.idler",)
    ends = {w: [f"{at}.takeup.{w}_{c}" for c in "xy"] for w in ("pivot", "slot")}
    open_ends = {w: [k for k in keys if reader.get(k) is None] for w, keys in ends.items()}
    if not all(open_ends.values()):
        return ()
    begun = [keys for keys in open_ends.values() if len(keys) == 1]
    return tuple(begun[0] if begun else open_ends["slot" if kind == "fixed idler" else "pivot"])


def _sold(belt: belt_lengths.Section, path: float) -> list[tuple[str, float, str]]:
    """Return name, pitch length and how known of each belt that is sold and not too far from the path."""
    try:
        sold = belt_lengths.stock(belt, "pitch")
    except belt_lengths.SectionError:
        return []
    off = np.abs(sold.length - path)
    tried = sorted({*np.nonzero(off <= REACH * path)[0], *np.argsort(off)[:NEAR]})
    return [(sold.designation[i], float(sold.length[i]), sold.known[i]) for i in tried]


def unread(reader: Reader, at: str, belt) -> str:
    """Return why the belt's own length or marking cannot be read; empty where it can, or none is given."""
    try:
        _own_belt(reader, at, belt)
    except belt_lengths.SectionError as why:
        return str(why)
    return ""


def _same(a: str, b: str) -> bool:
    return a.replace(" ", "").upper() == b.replace(" ", "").upper()


def plain_name(marked: str) -> str:
    """Return a marking as its belt is listed, without a maker's words, dashes and small letters."""
    said = read_marking(marked)
    if said.ribbed or said.belts or said.unit_mm or said.printed != said.section:
        return marked
    return f"{said.section}{said.number:g}" if said.tail or "-" in marked else marked.strip().upper()


def _own_belt(reader: Reader, at: str, belt) -> tuple[str, float, str] | None:
    """Return the belt that is on or bought: its name, pitch length and how known."""
    marked, length = reader.get(f"{at}.marked"), reader.si(f"{at}.length")
    line = reader.get(f"{at}.length_is")
    if length is not None and line is not None:
        pitch = belt_lengths.convert(length, belt, have=line, want="pitch")
        return str(marked or MEASURED), float(pitch), "measured"
    if marked is None:
        return None
    own, read = belt_lengths.marked(marked, line=line, system=standard_of(reader, at))
    name = plain_name(str(marked))
    return (
        in_full(own, name, read.line) if line is not None else name,
        float(belt_lengths.convert(read.length, own, have=read.line, want="pitch")),
        read.known,
    )


def _place(reader: Reader, at: str, layout: StageLayout, targets: np.ndarray) -> Iterator[dict[str, object]]:
    """Yield where the take-up is for each wanted pitch length, as what :class:`StockBelt` takes."""
    if len(layout.pulleys.names) == 2:
        yield from _two(reader, at, layout, targets)
        return
    loop_track = track_of(reader, at, layout)
    drawn = {"fits": True, "gap": layout.least_gap, "gap_words": layout.gap_words, "drawn": True}
    if loop_track is None:
        for target in targets:
            yield drawn if as_drawn(layout, target) else {}
        return
    found = _positions(layout.pulleys, layout.places, layout.mover, layout.ccw, loop_track[1], targets)
    gaps = [_gap_at(layout, x, y, found.path, k) for k, (x, y) in enumerate(zip(found.x, found.y, strict=True))]
    x, y = (float(c[layout.mover]) for c in layout.places[:2])
    for row, target in enumerate(targets):
        here = [k for k in np.nonzero(found.target == row)[0] if gaps[k] is not None]
        if not here:
            yield drawn if as_drawn(layout, target) else {}
            continue
        # A place where nothing rubs comes first, then the one nearest to the drawing.
        k = min(here, key=lambda i: (gaps[i][0] <= 0, np.hypot(found.x[i] - x, found.y[i] - y)))
        yield {
            "fits": True,
            "x": float(found.x[k]),
            "y": float(found.y[k]),
            "room_in": float(found.slack_to_fit[k]),
            "room_out": float(found.stretch_left[k]),
            "gap": gaps[k][0],
            "gap_words": gaps[k][1],
            "wrap": np.asarray(found.path.wrap[k]),
        }


def _positions(pulleys, places, k: int, ccw: bool, track, targets: np.ndarray) -> takeup.Positions:
    """Return where pulley ``k`` on its track gives the loop each length; held, because much else of a build changes."""
    loop = (places.x, places.y, pulleys.pitch, pulleys.inside)
    return _held_positions(*(tuple(a.tolist()) for a in loop), k, ccw, track, tuple(targets.tolist()))


@lru_cache(maxsize=64)
def _held_positions(x, y, pitch, inside, k: int, ccw: bool, track, targets) -> takeup.Positions:
    loop = belt_path.with_pulley_moved_si(x, y, pitch, inside, index=k, ccw=ccw)
    return takeup.positions_si(loop, track, targets)


def as_drawn(layout: StageLayout, length: float) -> bool:
    """Tell whether a belt of a pitch length, m, goes on the loop as it is drawn: lengths and places are known no better
    than by the share within which a limit counts as met."""
    return bool(abs(length - layout.path.length) <= near_drawn(layout))


def near_drawn(layout: StageLayout) -> float:
    """Return by how much a belt may be longer or shorter than the path and go on the loop as it is drawn, m."""
    return max(AS_DRAWN, NEAR_SHARE * float(layout.as_drawn.path.length))


def _two(reader: Reader, at: str, layout: StageLayout, targets: np.ndarray) -> Iterator[dict[str, object]]:
    """Yield the same for a drive of two pulleys: the centres move."""
    pulleys, centres = layout.pulleys, layout.centres
    i, j = pulleys.driver, pulleys.driven
    sizes = {"first": 2 * pulleys.pitch[i], "second": 2 * pulleys.pitch[j], "crossed": pulleys.crossed}
    # Past the place where the pulleys touch no travel is of use; the room to put on is then given in words.
    least, touch = centres - reader.si(f"{at}.takeup.travel_in", 0.0), pulleys.pitch[i] + pulleys.pitch[j]
    touching = bool(least < touch)
    least = min(centres, max(least, touch))
    most = centres + reader.si(f"{at}.takeup.travel_out", 0.0)
    low, high = (float(twopulley.two_pulleys.si(c, **sizes).length) for c in (least, most))
    for target in targets:
        c = float(twopulley.centre_distance.si(target, **sizes))
        wrap = None
        if np.isfinite(c):
            there = twopulley.two_pulleys.si(c, **sizes)
            wrap = np.zeros(2)
            wrap[i], wrap[j] = float(there.wrap_first), float(there.wrap_second)
        within = bool(np.isfinite(c) and least - 1e-9 <= c <= most + 1e-9)
        yield {
            "fits": within or as_drawn(layout, target),
            "drawn": not within,
            "centres": c,
            "room_in": np.inf if touching else target - low,
            "room_out": high - target,
            "gap": layout.least_gap,
            "gap_words": layout.gap_words,
            "wrap": wrap,
        }


def _gap_at(layout: StageLayout, x: float, y: float, path: belt_path.Path, row: int) -> tuple[float, str] | None:
    """Return the smallest gap of the loop, in words too, with the take-up pulley at a place; None where strands cross
    there."""
    moved = with_pulley_at(layout, layout.mover, (x, y), belt_path.Path(*(np.asarray(part)[row] for part in path)))
    return None if moved is None else least_gap(moved)


def with_pulley_at(
    layout: StageLayout, k: int, spot: tuple[float, float], path: belt_path.Path | None = None
) -> StageLayout | None:
    """Return the loop with pulley ``k`` at a place, m; None where the belt cannot go round there."""
    xs, ys, p = layout.places.x.copy(), layout.places.y.copy(), layout.pulleys
    xs[k], ys[k] = spot
    inside = p.inside.copy()
    if p.crossed:
        inside[p.driven] = False
    one = belt_path.path_si(xs, ys, p.pitch, inside, layout.ccw, crossed=p.crossed) if path is None else path
    if one.reason != 0:
        return None
    ends = belt_path.tangents_si(xs, ys, p.pitch, one)
    if not p.crossed and clearance.strands_cross_si(*ends, one, p.pitch):
        return None
    start, end = np.stack(ends[:2], -1), np.stack(ends[2:], -1)
    return layout._replace(places=layout.places._replace(x=xs, y=ys), path=one, start=start, end=end)


def with_belt_on(layout: StageLayout) -> StageLayout:
    """Return the loop as it stands with the belt that is on: as drawn, or with idler or centres where the belt puts
    them; ``fits`` tells whether belt and drawing can both be true."""
    belt = layout.chosen
    if belt is None:
        return layout
    if not belt.fits:
        return layout._replace(fits=None if layout.travel_missing else False)
    off = drawn_off(layout, belt)
    if belt.drawn or off is None or off <= DRAWN_OFF:
        return layout._replace(fits=True)
    moved = with_pulley_at(layout, *_moved_to(layout, belt))
    if moved is None:
        return layout._replace(fits=False)
    gap, words = least_gap(moved)
    return moved._replace(fits=True, drawn=layout, least_gap=gap, gap_words=words)


def _moved_to(layout: StageLayout, belt: StockBelt) -> tuple[int, tuple[float, float]]:
    """Return which pulley a belt moves, and where to, m."""
    if np.isfinite(belt.x):
        return layout.mover, (belt.x, belt.y)
    k, i, at = layout.pulleys.driven, layout.pulleys.driver, layout.places
    share = belt.centres / layout.centres
    return k, tuple(float(c[i] + share * (c[k] - c[i])) for c in (at.x, at.y))


def with_the_belt(layout: StageLayout) -> Places:
    """Return where the pulleys stand with the belt that is on, however near to the drawing that is; else as worked."""
    belt, drawn = layout.chosen, layout.as_drawn
    if belt is None or not layout.fits or belt.drawn or drawn_off(layout, belt) is None:
        return layout.places
    k, spot = _moved_to(drawn, belt)
    x, y = drawn.places.x.copy(), drawn.places.y.copy()
    x[k], y[k] = spot
    return drawn.places._replace(x=x, y=y)


def shortest_of(layout: StageLayout) -> float | None:
    """Return the least length that a loop can have, m: driver and driven pulley with their belt lines touching, and
    no idler. None where the belt does not run round both of them, or drives several."""
    p = layout.pulleys
    i, j = p.driver, p.driven
    if p.crossed or p.several or not (p.inside[i] and p.inside[j]):
        return None
    sizes = {"first": 2 * p.pitch[i], "second": 2 * p.pitch[j]}
    return float(twopulley.two_pulleys.si(p.pitch[i] + p.pitch[j], **sizes).length)


def cannot_at_all(layout: StageLayout, belt: StockBelt) -> bool:
    """Tell whether a belt is too short for its pulleys, wherever they stand."""
    least = shortest_of(layout)
    return least is not None and belt.pitch_length < least * (1 - NEAR_SHARE)


def drawn_off(layout: StageLayout, belt: StockBelt) -> float | None:
    """Return how far the take-up stands, as drawn, from where a belt wants it; None where unknown."""
    at, k = layout.as_drawn.places, layout.mover
    if np.isfinite(belt.x):
        return float(np.hypot(belt.x - at.x[k], belt.y - at.y[k]))
    return abs(belt.centres - layout.as_drawn.centres) if np.isfinite(belt.centres) else None


def track_of(reader: Reader, at: str, layout: StageLayout):
    """Return (loop, track) of the idler that takes up, or of the shaft that moves; None where it cannot move."""
    kind, k = reader.get(f"{at}.takeup.kind"), layout.mover
    if k is None or kind not in (*IDLERS, *CENTRES):
        return None
    x, y = (c[k] for c in layout.places[:2])
    if kind in CENTRES:
        track = _line_of_centres(reader, at, layout.as_drawn)
        if (track.x0, track.y0) == (track.x1, track.y1):
            return None
    elif layout.pivot is not None:
        reach = np.hypot(x - layout.pivot[0], y - layout.pivot[1])
        if reach < AS_DRAWN:
            return None
        now = np.arctan2(y - layout.pivot[1], x - layout.pivot[0])
        track = takeup.Arm(*layout.pivot, reach, now - np.pi / 2, now + np.pi / 2)
    else:
        end = reader.si(f"{at}.takeup.slot_x"), reader.si(f"{at}.takeup.slot_y")
        if None in end or (x, y) == end:
            return None
        track = takeup.Slot(x, y, *end)
    return layout.with_moved(k), track


def _line_of_centres(reader: Reader, at: str, drawn: StageLayout) -> takeup.Slot:
    """Return the line on which the driven shaft moves, from the least distance to the most."""
    i, k, places = drawn.pulleys.driver, drawn.mover, drawn.places
    out, into = (reader.si(f"{at}.takeup.travel_{way}", 0.0) for way in ("out", "in"))
    near, far = ((drawn.centres + step) / drawn.centres for step in (-min(into, drawn.centres), out))
    ends = ((float(c[i] + share * (c[k] - c[i])) for c in (places.x, places.y)) for share in (near, far))
    return takeup.Slot(*(c for end in ends for c in end))

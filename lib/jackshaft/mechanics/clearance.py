"""Room round the belt: strands to pulleys, to each other and to bodies, belt thickness counted.

A strand runs from (start_x, start_y) along (ux, uy) for ``span``. The belt is thicker on one side of
its line than on the other: ``inner`` is what it takes towards the inside of the loop, ``outer``
towards the outside. A gap below nought means that the belt rubs.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

#: Layouts worked at a time in a search, so that what is made on the way stays in the processor's nearest memory.
BLOCK = 512


class Loop(NamedTuple):
    """What the room round a loop is measured of: pulleys on the last axis, lengths in m.

    ``r`` is the radius of the belt line, ``rim`` that of the solid rim, ``inside`` whether the pulley stands inside
    the loop, ``found`` the path. ``inner`` and ``outer`` are the belt's thickness from its line towards the inside and
    the outside of the loop.
    """

    x: np.ndarray
    y: np.ndarray
    r: np.ndarray
    rim: np.ndarray
    inside: np.ndarray
    found: tuple
    ccw: bool = True
    inner: float = 0.0
    outer: float = 0.0


class Gap(NamedTuple):
    """The gap between two things, m: a ``strand`` or a ``pulley`` (its rim, and the belt where it lies on it) and what
    ``other`` says, a "strand", "pulley" or "body"; the numbers of both, and the gap, shape (...)."""

    what: str
    one: int
    other: str
    two: int
    gap: np.ndarray


class _Ring(NamedTuple):
    """A loop with the pulleys on the first axis and once more behind it, so that a slice is the ring turned on.

    ``start``, ``u``, ``span`` and ``end`` are the strands, ``x``, ``y`` the centres. A pulley is met from a direction
    at its ``rim``, or at its reach ``belt`` where the belt lies on it: the middle of its wrap is ``mx``, ``my``, and
    ``least`` the size of that times the cosine of half the wrap.
    """

    start_x: np.ndarray
    start_y: np.ndarray
    ux: np.ndarray
    uy: np.ndarray
    span: np.ndarray
    end_x: np.ndarray
    end_y: np.ndarray
    x: np.ndarray
    y: np.ndarray
    rim: np.ndarray
    belt: np.ndarray
    mx: np.ndarray
    my: np.ndarray
    least: np.ndarray

    def on(self, by: int, count: int) -> "_Ring":
        """Return ``count`` strands and pulleys, from number ``by`` on."""
        return _Ring(*(a[by : by + count] for a in self))

    def reach(self, dx, dy, far):
        """Return how far the pulleys reach in directions whose lengths are ``far``."""
        side = self.mx * dx
        side += self.my * dy
        return np.where(side >= self.least * far, self.belt, self.rim)


def _left_right(ccw, inner, outer):
    """Belt thickness on the left and on the right of travel."""
    ccw = np.asarray(ccw)
    return np.where(ccw, inner, outer), np.where(ccw, outer, inner)


def loop_gaps_si(loop: Loop, bodies: Sequence = ()) -> Iterator[Gap]:
    """Yield every gap of a loop: what the check of a layout and the search among layouts both go by.

    Parameters
    ----------
    loop : Loop
        The loop, or a batch of them.
    bodies : sequence
        Objects with ``x``, ``y``, ``radius`` (m) and ``corners`` (array, shape (m, 2), or None): bodies beside it.

    Yields
    ------
    Gap
        m; below nought where something rubs. A strand and a pulley that it runs to or from have no gap, nor have
        the two strands of a pulley that bends them by less than half a turn.

    Source
    ------
    own-derivation, distances of points, segments and circles; a body meets the belt on a pulley only where it lies
    """
    for what, ones, other, twos, gaps in _kinds(loop, bodies):
        for one, two, gap in zip(ones, twos, gaps, strict=True):
            # two of a kind have one name: strands the earlier first, pulleys the later
            pair = sorted((one, two), reverse=what == "pulley") if what == other else (one, two)
            yield Gap(what, pair[0], other, pair[1], gap)


def least_gap_si(loop: Loop, bodies: Sequence = ()) -> np.ndarray:
    """Give the least gap of every loop of a batch; a search calls it by the million.

    Parameters
    ----------
    loop, bodies : Loop, sequence
        As for :func:`loop_gaps_si`; the loop's path of shape (m, n), all else shape (m, n) or (n,).

    Returns
    -------
    array, shape (m,)
        m; inf where nothing is near.

    Source
    ------
    own-derivation, the least of :func:`loop_gaps_si`
    """
    least = np.full(len(loop.found.ux), np.inf)
    for start in range(0, len(least), BLOCK):
        here = slice(start, start + BLOCK)
        part = loop._replace(found=loop.found._replace(**_some(loop.found, ("ux", "uy", "span", "wrap", "turn"), here)))
        for *_, gaps in _kinds(part._replace(**_some(loop, ("x", "y", "r", "rim", "inside"), here)), bodies):
            np.minimum(least[here], np.minimum.reduce(gaps, axis=0), out=least[here])
    return least


def _some(record, names, here: slice) -> dict:
    """Return some layouts of the fields named; what all of them share stays."""
    return {name: a[here] if a.ndim > 1 else a for name in names for a in [getattr(record, name)]}


def _kinds(loop: Loop, bodies: Sequence) -> Iterator[tuple]:
    """Yield gaps of one kind at a time: what, its numbers, the other, its numbers, and the gaps on the first axis."""
    ring, sides, count = _ring_of(loop), _left_right(loop.ccw, loop.inner, loop.outer), loop.found.ux.shape[-1]
    here = ring.on(0, count)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        if count > 2:
            yield from _own_kinds(ring, count, sides)
            yield from _past_half_a_turn(ring, loop.found.wrap, sides)
        for b, body in enumerate(bodies):
            if body.corners is None:
                dx, dy, beside = _to_strand(here, body.x, body.y)
                gap = np.sqrt(dx * dx + dy * dy) - body.radius - np.where(beside > 0.0, *sides)
            else:
                ends = here.start_x, here.start_y, here.end_x, here.end_y
                gap = strand_polygon_gaps_si(*ends, *body.corners.T, thick=max(loop.inner, loop.outer))
            yield "strand", range(count), "body", [b] * count, gap
            yield "pulley", range(count), "body", [b] * count, _pulleys_to_body(here, body)


def _own_kinds(ring: _Ring, count: int, sides) -> Iterator[tuple]:
    """Yield the gaps between the strands and pulleys of one loop that do not lie on each other."""
    here = ring.on(0, count)
    for by in range(2, count):
        there = ring.on(by, count)
        dx, dy, beside = _to_strand(here, there.x, there.y)
        far = _far(dx, dy)
        gap = far - there.reach(dx, dy, far)
        gap -= np.where(beside > 0.0, *sides)
        yield "strand", range(count), "pulley", [(i + by) % count for i in range(count)], gap
    for by in range(1, count // 2 + 1):
        # half a ring on each pair is met from both ends
        many = by if 2 * by == count else count
        one, two = ring.on(0, many), ring.on(by, many)
        others = [(i + by) % count for i in range(many)]
        dx, dy = two.x - one.x, two.y - one.y
        far = _far(dx, dy)
        gap = far - one.reach(dx, dy, far)
        gap -= two.reach(-dx, -dy, far)
        yield "pulley", range(many), "pulley", others, gap
        if by > 1:
            yield "strand", range(many), "strand", others, _strand_to_strand(one, two, sides)


def _past_half_a_turn(ring: _Ring, wrap, sides) -> Iterator[tuple]:
    """Yield the gaps between the two strands of a pulley, which come near only where it bends them by more."""
    past = _first(wrap) > np.pi
    if not past.any():
        return
    at, *rest = np.nonzero(past)
    pairs = [_Ring(*(a[(k, *rest)] for a in ring)) for k in ((at - 1) % len(past), at)]
    near = [side if side.ndim == 0 else side[tuple(rest)] for side in sides]
    gap = np.full(past.shape, np.inf)
    gap[past] = _strand_to_strand(*pairs, near)
    some = [j for j in range(len(past)) if past[j].any()]
    yield "strand", [(j - 1) % len(past) for j in some], "strand", some, gap[some]


def _strand_to_strand(one: _Ring, two: _Ring, sides) -> np.ndarray:
    """Return the gap between strands that do not cross: an end of one is nearest."""
    least = np.inf
    for this, that in ((one, two), (two, one)):
        for px, py in ((this.start_x, this.start_y), (this.end_x, this.end_y)):
            dx, dy, beside = _to_strand(that, px, py)
            gap = _far(dx, dy)
            gap -= np.where(beside > 0.0, *sides)
            gap -= np.where(this.ux * dy > this.uy * dx, *sides)
            least = np.minimum(least, gap)
    return least


def _first(a):
    """Return an array with its last axis first; of one or two axes the quick way."""
    return a.T if a.ndim < 3 else np.moveaxis(a, -1, 0)


def _far(dx, dy):
    """Return the length of a way."""
    far = dx * dx
    far += dy * dy
    return np.sqrt(far)


def _to_strand(strand, x, y):
    """Return the way from points to the nearest places on strands, and how far left of their lines the points lie."""
    rx, ry = x - strand.start_x, y - strand.start_y
    along = rx * strand.ux
    along += ry * strand.uy
    along = np.minimum(np.maximum(along, 0.0), strand.span)
    beside = ry * strand.ux
    beside -= rx * strand.uy
    return along * strand.ux - rx, along * strand.uy - ry, beside


def edges_si(loop: Loop) -> np.ndarray:
    """Give how far each pulley reaches where the belt lies on it.

    Parameters
    ----------
    loop : Loop
        The loop, or a batch of them.

    Returns
    -------
    array, shape (..., n)
        Radius of the rim or of the back of the belt, whichever is larger, m.

    Source
    ------
    own-derivation, by definition
    """
    return np.maximum(loop.r + np.where(loop.inside, loop.outer, loop.inner), loop.rim)


def _ring_of(loop: Loop) -> _Ring:
    found, shape = loop.found, loop.found.ux.shape
    x, y, r, rim, belt, turn, ux, uy, span = (
        _first(a if np.shape(a) == shape else np.broadcast_to(a, shape))
        for a in (loop.x, loop.y, loop.r, loop.rim, edges_si(loop), found.turn, found.ux, found.uy, found.span)
    )
    arm = turn * r
    start_x, start_y = arm * uy, arm * ux
    start_x += x
    np.subtract(y, start_y, out=start_y)
    # the middle of the wrap lies against the pull of the two strands, which is 2 sin(wrap/2) long; that times
    # cos(wrap/2) is the sine of the wrap, the cross product of the two directions
    mx, my = np.empty(ux.shape), np.empty(ux.shape)
    for m, u in ((mx, ux), (my, uy)):
        np.subtract(u[:-1], u[1:], out=m[1:])
        np.subtract(u[-1:], u[:1], out=m[:1])
    least = mx * uy
    least -= my * ux
    least *= turn
    least -= 1e-9 * _far(mx, my)
    strands, pulleys = [start_x, start_y, ux, uy, span], [x, y, rim, belt, mx, my, least]
    strands += [start_x + span * ux, start_y + span * uy]
    # of three pulleys no two strands are apart, so that strands are met from the first on only
    apart = len(x) > 3
    return _Ring(*(np.concatenate([a, a]) if apart else a for a in strands), *(np.concatenate([a, a]) for a in pulleys))


def _pulleys_to_body(ring: _Ring, body) -> np.ndarray:
    """Return the gap between pulleys, with the belt on them, and a body; below nought where it lies in the pulley."""
    x, y = ring.x, ring.y
    if body.corners is None:
        dx, dy = body.x - x, body.y - y
        far = _far(dx, dy)
        return far - body.radius - ring.reach(dx, dy, far)
    gap, odd = np.full(np.shape(x), np.inf), np.zeros(np.shape(x), bool)
    for (ax, ay), (bx, by) in zip(body.corners, np.roll(body.corners, 1, axis=0), strict=True):
        dx, dy = bx - ax, by - ay
        along = np.minimum(np.maximum(((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy), 0.0), 1.0)
        qx, qy = ax + along * dx - x, ay + along * dy - y
        far = _far(qx, qy)
        gap = np.minimum(gap, far - ring.reach(qx, qy, far))
        odd ^= _passed((ax, ay, bx, by), x, y)
    # a body round the centre is in the pulley, whichever edge is nearest
    return np.where(odd, np.minimum(gap, -ring.rim), gap)


def _passed(edge, x, y):
    """Tell which points have an edge on their right: of a body that is round them, an odd number of its edges."""
    ax, ay, bx, by = edge
    return ((ay > y) != (by > y)) & (x < ax + (bx - ax) * (y - ay) / (by - ay)) if ay != by else False


def _beside(ax, ay, bx, by, px, py):
    return (bx - ax) * (py - ay) - (by - ay) * (px - ax)


def strands_cross_si(start_x, start_y, end_x, end_y, found, r):
    """Tell where two strands of a layout cross.

    Parameters
    ----------
    start_x, start_y, end_x, end_y : array, shape (..., n)
        Ends of the strands, m.
    found : Path
        The path.
    r : array, shape (..., n)
        Radius of the belt line, m.

    Returns
    -------
    array of bool, shape (...)
        True where any two strands cross. Strands that share a pulley cross when its wrap is past half a
        turn and both are longer than the crossing point is away.

    Source
    ------
    own-derivation, signs of areas for strands apart, tangent length r |tan(wrap/2)| for strands on one pulley
    """
    ends = [_first(np.asarray(a)) for a in (start_x, start_y, end_x, end_y)]
    count, twice = len(ends[0]), [np.concatenate([a, a]) for a in ends]
    cross = np.zeros(ends[0].shape[1:], bool)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        for by in range(2, count // 2 + 1):
            many = by if 2 * by == count else count
            first, other = [a[:many] for a in ends], [a[by : by + many] for a in twice]
            one = _beside(*first, *other[:2]) * _beside(*first, *other[2:]) < 0.0
            one &= _beside(*other, *first[:2]) * _beside(*other, *first[2:]) < 0.0
            cross |= one.any(axis=0)
        # Two strands of one pulley cross only behind half a turn, which few pulleys have.
        at = np.nonzero(past := found.wrap > np.pi)
        if len(at[0]):
            before = (*at[:-1], at[-1] - 1)
            cos = found.ux[before] * found.ux[at] + found.uy[before] * found.uy[at]
            shorter = np.minimum(found.span[before], found.span[at])
            # shorter > r tan(half the missing angle), squared, with tan^2(w/2) = (1 - cos w)/(1 + cos w)
            past[at] = shorter * shorter * (1.0 + cos) > np.square(np.broadcast_to(r, past.shape)[at]) * (1.0 - cos)
            cross |= past.any(axis=-1)
    return cross


def strand_polygon_gaps_si(start_x, start_y, end_x, end_y, corners_x, corners_y, *, thick=0.0):
    """Gap from every strand to the edges of one straight-edged body.

    Parameters
    ----------
    start_x, start_y, end_x, end_y : array, shape (..., n)
        Ends of the strands, m.
    corners_x, corners_y : array, shape (m,)
        Corners of the body in order; the last joins the first, m. Two corners make a plate on edge.
    thick : float
        Belt thickness to count on either side, m.

    Returns
    -------
    array, shape (..., n)
        m; minus ``thick`` where the strand cuts an edge. A strand wholly inside a body is reported so too.

    Source
    ------
    own-derivation, distance of two line segments; crossing-number test for a point in a polygon
    """
    corners_x, corners_y = np.asarray(corners_x, float), np.asarray(corners_y, float)
    strand = (start_x, start_y, end_x, end_y)
    least = np.full(np.shape(start_x), np.inf)
    within, odd = np.zeros(np.shape(start_x), bool), np.zeros(np.shape(start_x), bool)
    with np.errstate(invalid="ignore", divide="ignore"):
        for k in range(len(corners_x)):
            edge = (corners_x[k], corners_y[k], corners_x[k - 1], corners_y[k - 1])
            for a, b in ((strand, edge[:2]), (strand, edge[2:]), (edge, strand[:2]), (edge, strand[2:])):
                np.minimum(least, _square_to_segment(a[:2], a[2:], *b), out=least)
            cut = _beside(*strand, *edge[:2]) * _beside(*strand, *edge[2:]) < 0.0
            cut &= _beside(*edge, *strand[:2]) * _beside(*edge, *strand[2:]) < 0.0
            within |= cut
            odd ^= _passed(edge, start_x, start_y)
    return np.where(within | odd, 0.0, np.sqrt(least)) - thick


def _square_to_segment(start, end, px, py):
    (ax, ay), (bx, by) = start, end
    dx, dy, rx, ry = bx - ax, by - ay, px - ax, py - ay
    along = np.minimum(np.maximum((rx * dx + ry * dy) / (dx * dx + dy * dy), 0.0), 1.0)
    rx, ry = rx - along * dx, ry - along * dy
    return rx * rx + ry * ry

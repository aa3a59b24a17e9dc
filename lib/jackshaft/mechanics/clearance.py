"""Room round the belt: strands to pulleys, to each other and to bodies, belt thickness counted.

A strand runs from (start_x, start_y) along (ux, uy) for ``span``. The belt is thicker on one side of
its line than on the other: ``inner`` is what it takes towards the inside of the loop, ``outer``
towards the outside. A gap below nought means that the belt rubs.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np


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


class _Wrap(NamedTuple):
    """A pulley as it is met from a direction: its rim, its reach where the belt lies on it, and the middle of its wrap
    with the size of that and the cosine of half the wrap."""

    rim: np.ndarray
    belt: np.ndarray
    mx: np.ndarray
    my: np.ndarray
    least: np.ndarray

    def reach(self, dx, dy, far):
        """Return how far the pulley reaches in a direction whose length is ``far``."""
        return np.where(self.mx * dx + self.my * dy >= self.least * far, self.belt, self.rim)


def _left_right(ccw, inner, outer):
    """Belt thickness on the left and on the right of travel."""
    ccw = np.asarray(ccw)
    return np.where(ccw, inner, outer), np.where(ccw, outer, inner)


def _gap_to_disc(strand, disc, left, right):
    """Gap from one strand (start, direction, length) to one disc (centre, radius); all of them broadcast."""
    px, py, ux, uy, span = strand
    cx, cy, radius = disc
    rx, ry = cx - px, cy - py
    along = rx * ux
    along += ry * uy
    off = ry * ux
    off -= rx * uy
    past = along - np.minimum(np.maximum(along, 0.0), span)
    thick = left if left is right else np.where(off > 0.0, left, right)
    past *= past
    off *= off
    past += off
    return np.sqrt(past) - radius - thick


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
    found, count = loop.found, loop.found.ux.shape[-1]
    arm = found.turn * loop.r
    starts = loop.x + arm * found.uy, loop.y - arm * found.ux
    ends = (*starts, starts[0] + found.span * found.ux, starts[1] + found.span * found.uy)
    sides, wraps = _left_right(loop.ccw, loop.inner, loop.outer), _wraps(loop)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        if count > 2:
            yield from _own_gaps(loop, wraps, ends, sides)
        for b, body in enumerate(bodies):
            for i in range(count):
                strand = [a[..., i] for a in (*starts, found.ux, found.uy, found.span)]
                if body.corners is None:
                    gap = _gap_to_disc(strand, (body.x, body.y, body.radius), *sides)
                else:
                    thick = max(loop.inner, loop.outer)
                    gap = strand_polygon_gaps_si(*(a[..., i] for a in ends), *body.corners.T, thick=thick)
                yield Gap("strand", i, "body", b, gap)
            for j in range(count):
                yield Gap("pulley", j, "body", b, _pulley_to_body(loop, wraps[j], j, body))


def _own_gaps(loop: Loop, wraps: list[_Wrap], ends, sides) -> Iterator[Gap]:
    """Yield the gaps between the strands and pulleys of one loop."""
    found, count = loop.found, loop.found.ux.shape[-1]
    for i in range(count):
        strand = [a[..., i] for a in (*ends[:2], found.ux, found.uy, found.span)]
        for j in range(count):
            if j in (i, (i + 1) % count):
                continue
            x, y = loop.x[..., j], loop.y[..., j]
            dx, dy, beside = _to_strand(strand, x, y)
            far = np.sqrt(dx * dx + dy * dy)
            gap = far - wraps[j].reach(dx, dy, far)
            gap -= np.where(beside > 0.0, *sides)
            yield Gap("strand", i, "pulley", j, gap)
    for i in range(count):
        for j in range(i):
            dx, dy = loop.x[..., j] - loop.x[..., i], loop.y[..., j] - loop.y[..., i]
            far = np.sqrt(dx * dx + dy * dy)
            gap = far - wraps[i].reach(dx, dy, far) - wraps[j].reach(-dx, -dy, far)
            yield Gap("pulley", i, "pulley", j, gap)
    for i in range(count):
        for k in range(i):
            # two strands of one pulley only come close to each other where it bends them by more than half a turn
            near = np.ones(found.wrap.shape[:-1], bool)
            for j in {(k + 1) % count, k} & {(i + 1) % count, i}:
                near &= found.wrap[..., j] > np.pi
            if near.any():
                gap = np.full(near.shape, np.inf)
                # measured only where it counts, which is seldom for the two strands of one pulley
                some = ... if near.all() else near
                gap[some] = _strand_to_strand(found, ends, sides, (k, i), some)
                yield Gap("strand", k, "strand", i, gap)


def _strand_to_strand(found, ends, sides, pair: tuple[int, int], some) -> np.ndarray:
    """Return the gap between two strands that do not cross, of ``some`` loops: an end of one is nearest."""
    left, right = (a[some] if a.ndim else a for a in sides)
    least = np.inf
    both = {i: [a[..., i][some] for a in (*ends[:2], found.ux, found.uy, found.span, *ends[2:])] for i in pair}
    for this, that in (pair, pair[::-1]):
        ux, uy = both[this][2:4]
        for px, py in (both[this][:2], both[this][5:]):
            dx, dy, beside = _to_strand(both[that][:5], px, py)
            gap = np.sqrt(dx * dx + dy * dy)
            gap -= np.where(beside > 0.0, left, right)
            gap -= np.where(ux * dy > uy * dx, left, right)
            least = np.minimum(least, gap)
    return least


def _to_strand(strand, x, y):
    """Return the way from a point to the nearest place on a strand, and how far left of its line the point lies."""
    px, py, ux, uy, span = strand
    rx, ry = x - px, y - py
    along = rx * ux
    along += ry * uy
    along = np.minimum(np.maximum(along, 0.0), span)
    beside = ry * ux
    beside -= rx * uy
    return along * ux - rx, along * uy - ry, beside


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


def _wraps(loop: Loop) -> list[_Wrap]:
    found, belt, made = loop.found, edges_si(loop), []
    for j in range(found.ux.shape[-1]):
        ax, ay, bx, by = (a[..., i] for i in (j - 1, j) for a in (found.ux, found.uy))
        # the middle of the wrap lies against the pull of the two strands, which is 2 sin(wrap/2) long; that times
        # cos(wrap/2) is the sine of the wrap, the cross product of the two directions
        mx, my = ax - bx, ay - by
        least = found.turn[..., j] * (ax * by - ay * bx)
        least -= 1e-9 * np.sqrt(mx * mx + my * my)
        made.append(_Wrap(loop.rim[..., j], belt[..., j], mx, my, least))
    return made


def _pulley_to_body(loop: Loop, wrap: _Wrap, j: int, body) -> np.ndarray:
    """Return the gap between one pulley, with the belt on it, and a body; below nought where it lies in the pulley."""
    x, y = loop.x[..., j], loop.y[..., j]
    if body.corners is None:
        dx, dy = body.x - x, body.y - y
        far = np.sqrt(dx * dx + dy * dy)
        return far - body.radius - wrap.reach(dx, dy, far)
    gap, odd = np.full(np.shape(x), np.inf), np.zeros(np.shape(x), bool)
    corners = np.asarray(body.corners, float)
    for k in range(len(corners)):
        (ax, ay), (bx, by) = corners[k], corners[k - 1]
        dx, dy = bx - ax, by - ay
        along = np.clip(((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy), 0.0, 1.0)
        qx, qy = ax + along * dx - x, ay + along * dy - y
        far = np.sqrt(qx * qx + qy * qy)
        gap = np.minimum(gap, far - wrap.reach(qx, qy, far))
        if ay != by:
            odd ^= ((ay > y) != (by > y)) & (x < ax + (bx - ax) * (y - ay) / (by - ay))
    # a body round the centre is in the pulley, whichever edge is nearest
    return np.where(odd, np.minimum(gap, -loop.rim[..., j]), gap)


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
    r = np.asarray(r, dtype=float)
    shape = np.shape(start_x)
    count = shape[-1]
    cross = np.zeros(shape[:-1], bool)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        for i in range(count):
            for k in range(i + 2, count - (1 if i == 0 else 0)):
                first = [a[..., i] for a in (start_x, start_y, end_x, end_y)]
                other = [a[..., k] for a in (start_x, start_y, end_x, end_y)]
                one = _beside(*first, *other[:2]) * _beside(*first, *other[2:]) < 0.0
                one &= _beside(*other, *first[:2]) * _beside(*other, *first[2:]) < 0.0
                cross |= one
        for k in range(count):
            i = k - 1
            cos = found.ux[..., i] * found.ux[..., k] + found.uy[..., i] * found.uy[..., k]
            shorter = np.minimum(found.span[..., i], found.span[..., k])
            # shorter > r tan(half the missing angle), squared, with tan^2(w/2) = (1 - cos w)/(1 + cos w)
            past = shorter * shorter * (1.0 + cos) > np.square(r[..., k]) * (1.0 - cos)
            cross |= past & (found.wrap[..., k] > np.pi)
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
    within = np.zeros(np.shape(start_x), bool)
    with np.errstate(invalid="ignore", divide="ignore"):
        for k in range(len(corners_x)):
            edge = (corners_x[k], corners_y[k], corners_x[k - 1], corners_y[k - 1])
            for a, b in ((strand, edge[:2]), (strand, edge[2:]), (edge, strand[:2]), (edge, strand[2:])):
                np.minimum(least, _point_to_segment(a[:2], a[2:], *b), out=least)
            cut = _beside(*strand, *edge[:2]) * _beside(*strand, *edge[2:]) < 0.0
            cut &= _beside(*edge, *strand[:2]) * _beside(*edge, *strand[2:]) < 0.0
            within |= cut
        odd = np.zeros_like(within)
        for k in range(len(corners_x)):
            (ax, ay), (bx, by) = (corners_x[k], corners_y[k]), (corners_x[k - 1], corners_y[k - 1])
            if ay == by:
                continue
            odd ^= ((ay > start_y) != (by > start_y)) & (start_x < ax + (bx - ax) * (start_y - ay) / (by - ay))
    return np.where(within | odd, 0.0, least) - thick


def _point_to_segment(start, end, px, py):
    (ax, ay), (bx, by) = start, end
    dx, dy = bx - ax, by - ay
    along = np.clip(((px - ax) * dx + (py - ay) * dy) / (dx * dx + dy * dy), 0.0, 1.0)
    return np.hypot(px - ax - along * dx, py - ay - along * dy)

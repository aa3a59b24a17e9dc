"""Room round the belt: strands to pulleys, to each other and to bodies, belt thickness counted.

A strand runs from (start_x, start_y) along (ux, uy) for ``span``. The belt is thicker on one side of
its line than on the other: ``inner`` is what it takes towards the inside of the loop, ``outer``
towards the outside. A gap below nought means that the belt rubs.
"""

from typing import NamedTuple

import numpy as np


class Gaps(NamedTuple):
    """Least gap of a layout and the whole table behind it (strand on axis -2, pulley on axis -1), m."""

    least: np.ndarray
    table: np.ndarray


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


def strand_pulley_gaps_si(starts, found, discs, ccw=True, *, inner=0.0, outer=0.0, table=True):
    """Gap from every strand to every pulley that it does not touch.

    Parameters
    ----------
    starts : (x, y), arrays of shape (..., n)
        Where strand i leaves pulley i, m.
    found : Path
        The path; ``ux``, ``uy``, ``span`` are used.
    discs : (x, y, radius), arrays of shape (..., n)
        Pulley centres and radii of the solid rims (half the outside diameter), m.
    ccw : bool or array of bool, shape (...)
        Sense in which the belt runs round the loop.
    inner, outer : float or array, shape (...)
        Belt thickness from its line towards the inside and the outside of the loop, m.
    table : bool
        False leaves the table out, for searches.

    Returns
    -------
    Gaps
        m; +inf for a strand and the two pulleys that it runs between.

    Source
    ------
    own-derivation, distance of a point from a line segment
    """
    discs = [np.asarray(a, dtype=float) for a in discs]
    strands = *starts, found.ux, found.uy, found.span
    left, right = _left_right(ccw, inner, outer)
    if np.array_equal(left, right):
        left = right
    shape = found.ux.shape
    count = shape[-1]
    least = np.full(shape[:-1], np.inf)
    whole = np.full(shape + (count,), np.inf) if table else None
    with np.errstate(invalid="ignore", over="ignore"):
        for i in range(count):
            for k in range(count):
                if k in (i, (i + 1) % count):
                    continue
                gap = _gap_to_disc([a[..., i] for a in strands], [a[..., k] for a in discs], left, right)
                np.minimum(least, gap, out=least)
                if table:
                    whole[..., i, k] = gap
    return Gaps(least, whole)


def pulley_gaps_si(x, y, rim):
    """Gap between the rims of every two pulleys.

    Parameters
    ----------
    x, y : array, shape (..., n)
        Pulley centres, m.
    rim : array, shape (..., n)
        Radius of the solid rim, or of rim and belt together, m.

    Returns
    -------
    array, shape (..., n, n)
        m; +inf on the diagonal.

    Source
    ------
    own-derivation, distance of two circles
    """
    x, y, rim = np.broadcast_arrays(*(np.asarray(a, dtype=float) for a in (x, y, rim)))
    apart = np.hypot(x[..., :, None] - x[..., None, :], y[..., :, None] - y[..., None, :])
    gap = apart - rim[..., :, None] - rim[..., None, :]
    gap[..., np.arange(x.shape[-1]), np.arange(x.shape[-1])] = np.inf
    return gap


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


def strand_circle_gaps_si(starts, found, discs, ccw=True, *, inner=0.0, outer=0.0):
    """Gap from every strand to round bodies.

    Parameters
    ----------
    starts : (x, y), arrays of shape (..., n)
        Where strand i leaves pulley i, m.
    found : Path
        The path.
    discs : (x, y, radius), arrays of shape (m,)
        The bodies, m.
    ccw : bool or array of bool, shape (...)
        Sense in which the belt runs round the loop.
    inner, outer : float or array, shape (...)
        Belt thickness towards the inside and outside of the loop, m.

    Returns
    -------
    array, shape (..., n, m)
        m.

    Source
    ------
    own-derivation, distance of a point from a line segment
    """
    left, right = (
        np.asarray(a)[..., None, None] if np.ndim(a) else np.asarray(a) for a in _left_right(ccw, inner, outer)
    )
    strands = [np.asarray(a)[..., None] for a in (*starts, found.ux, found.uy, found.span)]
    with np.errstate(invalid="ignore", over="ignore"):
        return _gap_to_disc(strands, [np.asarray(a, dtype=float) for a in discs], left, right)


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


def disc_polygon_gaps_si(cx, cy, radius, corners_x, corners_y):
    """Gap from round parts to one straight-edged body.

    Parameters
    ----------
    cx, cy, radius : array, shape (..., n)
        Centres and radii, m.
    corners_x, corners_y : array, shape (m,)
        Corners of the body in order; the last joins the first, m.

    Returns
    -------
    array, shape (..., n)
        m; below zero where they overlap, and by more the deeper the centre lies in the body.

    Source
    ------
    own-derivation, distance of a point from a line segment; crossing-number test for a point in a polygon
    """
    cx, cy = np.asarray(cx, float), np.asarray(cy, float)
    corners_x, corners_y = np.asarray(corners_x, float), np.asarray(corners_y, float)
    least, odd = np.full(np.shape(cx), np.inf), np.zeros(np.shape(cx), bool)
    for k in range(len(corners_x)):
        start, end = (corners_x[k], corners_y[k]), (corners_x[k - 1], corners_y[k - 1])
        least = np.minimum(least, _point_to_segment(start, end, cx, cy))
        (ax, ay), (bx, by) = start, end
        if ay != by:
            odd ^= ((ay > cy) != (by > cy)) & (cx < ax + (bx - ax) * (cy - ay) / (by - ay))
    return np.where(odd, -least, least) - radius


def _point_to_segment(start, end, px, py):
    (ax, ay), (bx, by) = start, end
    dx, dy = bx - ax, by - ay
    along = np.clip(((px - ax) * dx + (py - ay) * dy) / (dx * dx + dy * dy), 0.0, 1.0)
    return np.hypot(px - ax - along * dx, py - ay - along * dy)

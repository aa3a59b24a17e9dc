"""Belt path round any number of pulleys: spans, wraps, length, and why a layout cannot be.

Pulleys stand in travel order on the last axis. The belt meets a pulley's line at the effective
radius that the caller chose (cord, datum, effective): one line for all pulleys of a call. With
``u`` the direction of travel of a strand and ``n`` its left normal, the strand from pulley i to
pulley j obeys ``c_j - c_i = L u + (t_j r_j - t_i r_i) n``, where ``t`` is +1 for a belt that bends
left round its pulley and -1 for one that bends right. Everything below follows from that line.
"""

import math
from typing import NamedTuple

import numpy as np

from jackshaft.units import OutOfRange, unit_checked

TURN = 2.0 * np.pi

OK = 0
OVERLAP = 1
NO_REACH = 2
NOT_TOUCHED = 3
LIFTED_OFF = 4
STRANDS_CROSS = 5
NOT_A_NUMBER = 6

REASONS = {
    OK: "the belt goes round",
    OVERLAP: "two pulleys overlap",
    NO_REACH: "the belt cannot pass between two neighbours",
    NOT_TOUCHED: "a pulley is not touched by the belt",
    LIFTED_OFF: "the belt has lifted off a pulley",
    STRANDS_CROSS: "the belt would not run round the loop once: strands cross",
    NOT_A_NUMBER: "a position or radius is missing or impossible",
}

# A wrap below or above is no contact.
LEAST_WRAP = np.radians(1.0)
MOST_WRAP = np.radians(350.0)


class Work(NamedTuple):
    """Arrays that a search hands to the kernel again and again, so that none are made in its loop."""

    kept: np.ndarray
    scratch: np.ndarray
    length: np.ndarray
    reason: np.ndarray


class Path(NamedTuple):
    """One loop, or a batch of loops; pulleys on the last axis.

    ``span[..., i]`` is the free strand that leaves pulley i for the next one, ``heading`` its angle
    of travel and ``ux``, ``uy`` its direction. ``wrap[..., i]`` is the arc on pulley i; ``turn`` is +1
    where the belt bends left there (the pulley turns counter-clockwise), -1 where it bends right.
    ``length`` is NaN wherever ``reason`` is not 0.
    """

    length: np.ndarray
    span: np.ndarray
    wrap: np.ndarray
    heading: np.ndarray
    ux: np.ndarray
    uy: np.ndarray
    turn: np.ndarray
    reason: np.ndarray


def turns_of(inside, ccw=True):
    """Give the way the belt bends at each pulley: +1 left, -1 right.

    Parameters
    ----------
    inside : array of bool, shape (..., n)
        True where the pulley stands inside the loop (plain number, no unit).
    ccw : bool or array of bool, shape (...)
        True where the belt runs counter-clockwise round the loop.

    Returns
    -------
    array of int8, shape (..., n)

    Source
    ------
    own-derivation, inside lies on the left of travel when the loop runs counter-clockwise
    """
    inside = np.asarray(inside)
    if inside.dtype != bool:
        inside = inside > 0
    sense = np.where(np.asarray(ccw), 1, -1).astype(np.int8)[..., None]
    return (np.where(inside, 1, -1) * sense).astype(np.int8)


def _spread(a, shape, count):
    """Pulley axis first, layouts flattened; a row shared by the whole batch stays one number wide."""
    if a.ndim == 2 and a.shape == shape:
        return a.T
    if a.ndim <= 1 or all(n == 1 for n in a.shape[:-1]):
        row = np.asarray(a, dtype=float).reshape(-1)
        return (row if row.size == count else np.broadcast_to(row, (count,)))[:, None]
    return np.broadcast_to(a, shape).reshape(-1, count).T


def _ahead(a, gap, out, what=np.subtract):
    """Write the difference between each row and the one ``gap`` further round the loop, or ``what`` else of both."""
    what(a[gap:], a[:-gap], out=out[:-gap])
    what(a[:gap], a[-gap:], out=out[-gap:])


def work_si(pulleys, layouts, *, chunk=8192):
    """Make the arrays that a search works in.

    Parameters
    ----------
    pulleys, layouts : int
        Size of the batches to come.
    chunk : int
        Layouts worked at a time.

    Returns
    -------
    Work
        About (40 pulleys + 9) bytes a layout, and 32 pulleys bytes a layout of one chunk.

    Source
    ------
    own-derivation, by definition
    """
    return Work(
        np.empty((5, pulleys, layouts)),
        np.empty((4, pulleys, min(chunk, layouts))),
        np.empty(layouts),
        np.empty(layouts, np.uint8),
    )


def path_si(x, y, r, inside, ccw=True, *, crossed=False, work=None):
    """Follow the belt round every layout of a batch; a search calls it by the million.

    Parameters
    ----------
    x, y : array, shape (..., n)
        Pulley centres, m.
    r : array, shape (..., n)
        Radius of the belt line asked for, m.
    inside : array of bool, shape (..., n)
        True where the pulley stands inside the loop.
    ccw : bool or array of bool, shape (...)
        Sense in which the belt runs round the loop.
    crossed : bool
        The drive is declared crossed: two pulleys, the second outside, total turning nought.
    work : Work or None
        Arrays from :func:`work_si` to work in. The result then lies in them and is overwritten by the next
        call: take what is wanted before it.

    Returns
    -------
    Path
        Arrays in metres and radians; impossible layouts carry a reason instead of raising.

    Raises
    ------
    ValueError
        If there are fewer than two pulleys, a crossed drive does not have two, or the work arrays do not fit.

    Source
    ------
    own-derivation, common tangents of directed circles; a closed simple curve turns once in all
    """
    x, y, r = (np.asarray(a, dtype=float) for a in (x, y, r))
    turns = turns_of(inside, ccw)
    shape = np.broadcast_shapes(x.shape, y.shape, r.shape, turns.shape)
    if not shape or shape[-1] < 2:
        raise OutOfRange("a belt needs at least two pulleys")
    count, batch = shape[-1], shape[:-1]
    if crossed and count != 2:
        raise OutOfRange("only a drive of two pulleys can be declared crossed")
    xs, ys, rs, ts = (_spread(a, shape, count) for a in (x, y, r, turns))
    if np.ndim(ccw):
        way = np.broadcast_to(np.where(ccw, TURN, -TURN), batch).reshape(-1)
    else:
        way = np.full(1, TURN if ccw else -TURN)
    if crossed:
        way = np.zeros(1)
    many = math.prod(batch)
    work = work_si(count, many) if work is None else work
    if work.kept.shape[1] != count or work.length.size < many:
        raise OutOfRange(f"the work arrays are for {work.kept.shape[1]} pulleys and {work.length.size} layouts")
    step = max(1, min(many, work.scratch.shape[2]))
    kept, scratch = work.kept[:, :, :many], work.scratch
    length, reason = work.length[:many], work.reason[:many]
    # Impossible layouts divide by nought on their way to the mask: that is their reason, not a fault.
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        for start in range(0, many, step):
            here = slice(start, min(start + step, many))
            size = here.stop - start
            part = [a if a.shape[1] == 1 else a[:, here] for a in (xs, ys, rs, ts)]
            out = {"kept": kept[:, :, here], "length": length[here], "reason": reason[here]}
            _walk(part, way if way.size == 1 else way[here], **out, scratch=scratch[:, :, :size])
    last = (0, *range(2, 2 + len(batch)), 1)
    span, wrap, heading, ux, uy = kept.reshape((5, count) + batch).transpose(last)
    return Path(
        length=length.reshape(batch),
        span=span,
        wrap=wrap,
        heading=heading,
        ux=ux,
        uy=uy,
        turn=turns if turns.shape == shape else np.broadcast_to(turns, shape),
        reason=reason.reshape(batch),
    )


def _walk(part, way, kept, length, reason, scratch):
    """Fill the results of one chunk in place; pulleys on the first axis."""
    x, y, r, turn = part
    span, wrap, heading, ux, uy = kept
    dx, dy, square, other = scratch
    count = span.shape[0]
    # lies where the headings come, once it is not wanted any more
    delta = heading
    overlap, near = np.zeros(length.shape, bool), np.empty(length.shape, bool)
    # Every pair of pulleys, neighbours last so that their differences are left for the strands.
    for gap in range(count // 2, 0, -1):
        _ahead(x, gap, dx)
        _ahead(y, gap, dy)
        np.multiply(dx, dx, out=square)
        np.multiply(dy, dy, out=other)
        square += other
        rows = gap if 2 * gap == count else count
        _ahead(r, gap, other, np.add)
        other *= other
        np.logical_or.reduce(square[:rows] < other[:rows], axis=0, out=near)
        overlap |= near
    np.multiply(turn, r, out=span)
    _ahead(span, 1, delta)
    np.multiply(delta, delta, out=other)
    np.subtract(square, other, out=span)
    apart = np.minimum.reduce(span, axis=0) <= 0.0
    np.maximum(span, 0.0, out=span)
    np.sqrt(span, out=span)
    np.multiply(span, dx, out=ux)
    np.multiply(delta, dy, out=other)
    ux += other
    np.multiply(span, dy, out=uy)
    np.multiply(delta, dx, out=other)
    uy -= other
    np.arctan2(uy, ux, out=heading)
    ux /= square
    uy /= square
    np.subtract(heading[1:], heading[:-1], out=wrap[1:])
    np.subtract(heading[0], heading[-1], out=wrap[0])
    wrap *= turn
    np.multiply(wrap < 0.0, TURN, out=other)
    wrap += other
    np.multiply(wrap, turn, out=other)
    crosses = np.abs(np.add.reduce(other, axis=0) - way) > 1.0
    np.multiply(wrap, r, out=other)
    other += span
    np.add.reduce(other, axis=0, out=length)
    reason[:] = OK
    for code, hit in (
        (STRANDS_CROSS, crosses),
        (LIFTED_OFF, np.maximum.reduce(wrap, axis=0) > MOST_WRAP),
        (NOT_TOUCHED, np.minimum.reduce(wrap, axis=0) < LEAST_WRAP),
        (OVERLAP, overlap),
        (NO_REACH, apart),
        (NOT_A_NUMBER, ~np.isfinite(length) | (np.minimum.reduce(r, axis=0) <= 0.0)),
    ):
        np.copyto(reason, np.uint8(code), where=hit)
    np.copyto(length, np.nan, where=reason != OK)


@unit_checked(
    x="length",
    y="length",
    diameter="length",
    returns={"length": "length", "span": "length", "wrap": "angle", "heading": "angle"},
)
def belt_path(x, y, diameter, inside, ccw=True, *, crossed=False) -> Path:
    """Follow the belt round pulleys given by their diameters, as the shop measures them.

    Parameters
    ----------
    x, y : length, shape (..., n)
        Pulley centres in travel order, m.
    diameter : length, shape (..., n)
        Diameter of the belt line asked for, m; the pitch diameter for the length on the cord line.
    inside, ccw, crossed : bool or array of bool
        As for :func:`path_si` (no unit).

    Returns
    -------
    Path
        Lengths in m, angles in rad, ``reason`` a code of REASONS.

    Raises
    ------
    ValueError
        As for :func:`path_si`.

    Source
    ------
    own-derivation, common tangents of directed circles
    """
    return path_si(x, y, 0.5 * np.asarray(diameter, dtype=float), inside, ccw, crossed=crossed)


def tangents_si(x, y, r, found):
    """Give the ends of every strand of a path.

    Parameters
    ----------
    x, y, r : array, shape (..., n)
        What the path was computed from, m.
    found : Path
        The path.

    Returns
    -------
    tuple of four arrays, shape (..., n)
        x and y where strand i leaves pulley i, x and y where it meets the next, m.

    Source
    ------
    own-derivation, the tangent point lies a radius to the side of the bend
    """
    x, y, r = (np.asarray(a, dtype=float) for a in (x, y, r))
    arm = found.turn * r
    on_x, on_y = x + arm * found.uy, y - arm * found.ux
    return on_x, on_y, on_x + found.span * found.ux, on_y + found.span * found.uy


def slope_si(found):
    """Give how the belt's length grows when each pulley is moved, per metre along x and y.

    Parameters
    ----------
    found : Path
        The path.

    Returns
    -------
    tuple of two arrays, shape (..., n)
        m of belt per m of travel along x, and along y; its size is 2 sin(wrap/2).

    Source
    ------
    own-derivation, virtual work of a taut string, independent of the wraps
    """
    return np.roll(found.ux, 1, axis=-1) - found.ux, np.roll(found.uy, 1, axis=-1) - found.uy


def with_pulley_moved_si(x, y, r, inside, index, ccw=True):
    """Give the loop as a function of where one pulley stands, for take-up searches.

    Parameters
    ----------
    x, y, r : array, shape (n,)
        The layout, m; the entries x[index], y[index] are replaced.
    inside : array of bool, shape (n,)
        True where the pulley stands inside the loop.
    index : int
        The pulley that moves.
    ccw : bool
        Sense in which the belt runs round the loop.

    Returns
    -------
    callable
        ``f(px, py)`` with positions in m of shape (...) gives ``(path, slope_x, slope_y)``.

    Source
    ------
    own-derivation, see path_si
    """
    x, y, r, inside = np.asarray(x, float), np.asarray(y, float), np.asarray(r, float), np.asarray(inside)

    def loop(px, py):
        px, py = np.broadcast_arrays(px, py)
        xs = np.array(np.broadcast_to(x, px.shape + x.shape))
        ys = np.array(np.broadcast_to(y, py.shape + y.shape))
        xs[..., index], ys[..., index] = px, py
        found = path_si(xs, ys, r, inside, ccw)
        slope_x, slope_y = slope_si(found)
        return found, slope_x[..., index], slope_y[..., index]

    return loop

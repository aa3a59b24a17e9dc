"""The outline of a guard: a band drawn tight round circles, made of arcs and straights, and whether it clears a body.

A direction ``t`` points along ``u = (cos t, sin t)``. A circle of middle ``c`` and radius ``r`` reaches ``c.u + r``
that way, and so does the band where that circle reaches farthest. Two circles reach equally far where
``(c_j - c_i).u = r_i - r_j``: only there can the band leave one for the other.
"""

from typing import NamedTuple

import numpy as np

from jackshaft.units import OutOfRange

TURN = 2.0 * np.pi
#: Directions in which a body is held against an outline: between two of them a reach of 1 m errs by 2e-6 m.
DIRECTIONS = np.linspace(0.0, TURN, 1800, endpoint=False)
#: Arcs that turn by less, rad, are where three circles touch one line.
LEAST_ARC = 1e-9
#: Circles that differ by no more, m, are one: places along a way that is hardly gone differ by rounding alone.
SAME = 1e-5


class Outline(NamedTuple):
    """A tight band, counter-clockwise: arc k lies on circle (``x``, ``y``, ``radius``)[k] from ``begin`` to ``end``.

    ``begin`` and ``end`` are the directions of the outward normals, rad, rising all round by one turn. ``length`` is
    that of the band, m, ``area`` what it encloses, m2, ``box`` its left, bottom, right and top, m.
    """

    x: np.ndarray
    y: np.ndarray
    radius: np.ndarray
    begin: np.ndarray
    end: np.ndarray
    length: float
    area: float
    box: tuple[float, float, float, float]

    def points(self, off: float) -> np.ndarray:
        """Return points on the band, m, shape (N, 2), whose straight pieces leave the arcs by ``off``, m, at most."""
        found = []
        for x, y, r, begin, end in zip(self.x, self.y, self.radius, self.begin, self.end, strict=True):
            step = 2.0 * np.arccos(max(0.0, 1.0 - off / r))
            angle = np.linspace(begin, end, 1 + max(1, int(np.ceil((end - begin) / step))))
            found.append(np.stack([x + r * np.cos(angle), y + r * np.sin(angle)], -1))
        return np.concatenate(found)

    def bulged(self) -> np.ndarray:
        """Return the corners of the band as a drawing program takes them: x and y, m, and the bulge of what follows.

        Shape (N, 3). By the DXF reference a bulge is the tangent of a quarter of an arc's turn, 0 for a straight.
        """
        found = []
        for x, y, r, begin, end in zip(self.x, self.y, self.radius, self.begin, self.end, strict=True):
            angle = np.linspace(begin, end, 1 + int(np.ceil((end - begin) / np.pi)))
            bulge = np.append(np.tan(0.25 * np.diff(angle)), 0.0)
            found.append(np.stack([x + r * np.cos(angle), y + r * np.sin(angle), bulge], -1))
        return np.concatenate(found)

    def reach(self, angle) -> np.ndarray:
        """Return how far the band reaches from the zero mark in each direction, m, rad."""
        return reach_si(self.x, self.y, self.radius, np.asarray(angle, float)).max(-1)


def reach_si(x, y, radius, angle):
    """Give how far each circle reaches from the zero mark in each direction.

    Parameters
    ----------
    x, y, radius : array, shape (n,)
        The circles, m; a radius of 0 is a point.
    angle : array, shape (...)
        Directions, rad.

    Returns
    -------
    array, shape (..., n)
        m.

    Source
    ------
    own-derivation, by definition
    """
    return np.multiply.outer(np.cos(angle), x) + np.multiply.outer(np.sin(angle), y) + radius


def outline_si(x, y, radius):
    """Give the band that is drawn tight round circles.

    Parameters
    ----------
    x, y, radius : array, shape (n,)
        The circles, m.

    Returns
    -------
    Outline

    Raises
    ------
    OutOfRange
        Without a circle, or where a place or a radius is missing or not above nought.

    Source
    ------
    own-derivation, the farthest reach in each direction; area by Green's theorem
    """
    x, y, r = (np.asarray(a, float) for a in (x, y, radius))
    if not x.size or not np.isfinite([x, y, r]).all() or (r <= 0.0).any():
        raise OutOfRange("an outline wants circles, each with a place and a radius above nought")
    x, y, r = _apart(np.stack([x, y, r]))
    edges = np.unique(_changes(x, y, r))
    middles = edges + 0.5 * np.diff(edges, append=edges[0] + TURN)
    on = reach_si(x, y, r, middles).argmax(-1)
    wide = np.diff(edges, append=edges[0] + TURN) > LEAST_ARC
    edges, on = edges[wide], on[wide]
    new = on != np.roll(on, 1)
    if new.any():
        begin, on = edges[new], on[new]
    else:
        begin, on = edges[:1], on[:1]
    end = np.append(begin[1:], begin[0] + TURN)
    x, y, r = x[on], y[on], r[on]
    low, high = reach_si(x, y, r, np.array([np.pi, 1.5 * np.pi])), reach_si(x, y, r, np.array([0.0, 0.5 * np.pi]))
    box = (*(-low.max(-1)), *high.max(-1))
    length, area = _measured(x, y, r, begin, end)
    return Outline(x=x, y=y, radius=r, begin=begin, end=end, length=length, area=area, box=tuple(float(v) for v in box))


def _apart(circles) -> np.ndarray:
    """Return the circles, shape (3, m), without those that stand where one before them does, to ``SAME``."""
    kept: list[np.ndarray] = []
    for one in circles.T:
        if not any(np.abs(one - other).max() <= SAME for other in kept):
            kept.append(one)
    return np.stack(kept, axis=1)


def _changes(x, y, r) -> np.ndarray:
    """Return every direction, rad, in which two circles reach equally far, and the direction 0."""
    i, j = np.triu_indices(x.size, 1)
    dx, dy, less = x[j] - x[i], y[j] - y[i], r[i] - r[j]
    far = np.hypot(dx, dy)
    apart = far > np.abs(less)
    toward, half = np.arctan2(dy, dx)[apart], np.arccos(less[apart] / far[apart])
    return np.concatenate([[0.0], (toward - half) % TURN, (toward + half) % TURN])


def _measured(x, y, r, begin, end) -> tuple[float, float]:
    """Return the length of the band, m, and what it encloses, m2."""
    turned = end - begin
    leave = x + r * np.cos(end), y + r * np.sin(end)
    meet = np.roll(x + r * np.cos(begin), -1), np.roll(y + r * np.sin(begin), -1)
    length = (r * turned).sum() + np.hypot(meet[0] - leave[0], meet[1] - leave[1]).sum()
    straights = leave[0] * meet[1] - leave[1] * meet[0]
    arcs = r * r * turned + r * (x * (np.sin(end) - np.sin(begin)) - y * (np.cos(end) - np.cos(begin)))
    return float(length), float(0.5 * (straights + arcs).sum())


def stands_si(outline, x, y, radius):
    """Tell where a body stands: 1 outside the band, 0 across it, -1 within it.

    Parameters
    ----------
    outline : Outline
        The band.
    x, y, radius : array, shape (n,)
        The body: one circle, or the corners of a box with a radius of 0, m.

    Returns
    -------
    int
        A body that touches the band counts as across it.

    Source
    ------
    own-derivation, two bodies without hollows are apart where a line parts them
    """
    body = (np.atleast_1d(np.asarray(a, float)) for a in (x, y, radius))
    x, y, radius = body
    there = reach_si(x, y, radius, DIRECTIONS).max(-1)
    back = reach_si(x, y, radius, DIRECTIONS + np.pi).max(-1)
    band = outline.reach(DIRECTIONS)
    if (-back > band).any():
        return 1
    return -1 if (there < band).all() else 0


__all__ = ["Outline", "outline_si", "reach_si", "stands_si"]

"""Words put where they lie on nothing: each at the best of some spots, in points of paper."""

from __future__ import annotations

import numpy as np

#: Mean advance of a letter of this font over its size, plain and bold; height of a line over the size.
ADVANCE, BOLD_ADVANCE, LINE_HEIGHT = 0.60, 0.69, 1.2
#: Air that words keep round them, points.
AIR = 1.5
#: What a spot costs: a place on other words or over the edge, on a filled circle, on a point of a line.
ON_WORDS, ON_CIRCLE, ON_POINT = 1e4, 60.0, 3.0


def half_size(words: str, size: float, *, bold: bool = False) -> np.ndarray:
    """Return half the width and half the height that words take, points, shape (2,).

    Parameters
    ----------
    words : str
        What is written; may have several lines.
    size : float
        Size of the letters in points.
    bold : bool, optional
        Whether the letters are heavy.
    """
    lines = words.split("\n")
    wide = (BOLD_ADVANCE if bold else ADVANCE) * size * max(map(len, lines))
    return np.array([wide, LINE_HEIGHT * size * len(lines)]) / 2 + AIR


class Placer:
    """Finds a free spot for one word after the other; what is placed first has the choice.

    Parameters
    ----------
    size : array, shape (2,)
        Width and height of the sheet, points.
    points : array, shape (N, 2)
        Points of the lines that words keep clear of.
    centres, radii : array, shape (n, 2) and (n,)
        Filled circles that words keep clear of.
    """

    def __init__(self, size: np.ndarray, points: np.ndarray, centres: np.ndarray, radii: np.ndarray):
        self._size = np.asarray(size, float)
        self._points, self._centres, self._radii = points, centres, radii
        self._taken = np.zeros((0, 4))

    def put(self, spots: np.ndarray, cost: np.ndarray, half: np.ndarray) -> tuple[np.ndarray, float]:
        """Return the best middle for words, and what it covers: below ``ON_CIRCLE`` no circle, 0 nothing.

        Parameters
        ----------
        spots : array, shape (K, 2)
            Where the middle of the words may be.
        cost : array, shape (K,)
            What each spot costs by itself: 1 for about a point of paper farther away.
        half : array, shape (2,)
            Half the size of the words.
        """
        low, high = spots - half, spots + half
        bad = self._over(low, high) + np.maximum(-low, 0).sum(-1) + np.maximum(high - self._size, 0).sum(-1)
        near = np.clip(self._centres, low[:, None], high[:, None]) - self._centres
        discs = (np.hypot(near[..., 0], near[..., 1]) < self._radii).sum(-1)
        inside = (self._points >= low[:, None]) & (self._points <= high[:, None])
        covers = ON_WORDS * bad + ON_CIRCLE * discs + ON_POINT * inside.all(-1).sum(-1)
        best = int(np.argmin(cost + covers))
        return spots[best], float(covers[best])

    def take(self, spot: np.ndarray, half: np.ndarray) -> None:
        """Say that words stand somewhere.

        Parameters
        ----------
        spot, half : array, shape (2,)
            Their middle, and half their size.
        """
        self._taken = np.concatenate([self._taken, [[*(spot - half), *(spot + half)]]])

    def _over(self, low: np.ndarray, high: np.ndarray) -> np.ndarray:
        """Return how far each box lies on what is taken, points of depth."""
        if not len(self._taken):
            return np.zeros(len(low))
        deep = np.minimum(high[:, None], self._taken[:, 2:]) - np.maximum(low[:, None], self._taken[:, :2])
        return np.maximum(deep.min(-1), 0).sum(-1)


def round_about(centre: np.ndarray, radius: float, half: np.ndarray, toward: np.ndarray) -> tuple[np.ndarray, ...]:
    """Return spots for words round a circle, shape (K, 2), and what each costs; the ones ``toward`` are best.

    Parameters
    ----------
    centre : array, shape (2,)
        Its centre.
    radius : float
        Its radius.
    half : array, shape (2,)
        Half the size of the words.
    toward : array, shape (2,)
        A direction of length 1.
    """
    angle = np.linspace(0.0, 2 * np.pi, 24, endpoint=False)
    way = np.tile(np.stack([np.cos(angle), np.sin(angle)], -1), (4, 1))
    gap = np.repeat([9.0, 17.0, 28.0, 44.0], len(angle))
    far = radius + gap + np.abs(way) @ half
    return centre + far[:, None] * way, 0.7 * gap - 6.0 * way @ toward


def beside(
    start: np.ndarray, end: np.ndarray, half: np.ndarray, outward: int = 1, past: tuple[float, ...] = ()
) -> tuple[np.ndarray, np.ndarray]:
    """Return spots for words along a line, shape (K, 2), and what each costs; its middle is best, and its outward side.

    Parameters
    ----------
    start, end : array, shape (2,)
        The ends of the line.
    half : array, shape (2,)
        Half the size of the words.
    outward : int, optional
        The better side: 1 right of the way from start to end, -1 left of it.
    past : tuple of float, optional
        More shares of the way from start to end, past its ends too, for words that must be put somewhere.
    """
    way = end - start
    square = outward * np.array([way[1], -way[0]]) / max(float(np.hypot(*way)), 1e-9)
    off = float(np.abs(square) @ half) + 5.0
    sides = [(s, k) for k in (1.0, -1.0, 1.6, -1.6) for s in (0.5, 0.4, 0.6, 0.3, 0.7, 0.15, 0.85, *past)]
    spots = np.array([start + s * way + k * off * square for s, k in sides])
    return spots, np.array([10 * abs(s - 0.5) + 8 * abs(k - 1) for s, k in sides])


def spread(wanted: np.ndarray, gap: float, low: float, high: float) -> np.ndarray:
    """Return places as near as may be to those wanted, in the same order, with a gap between neighbours.

    Parameters
    ----------
    wanted : array, shape (n,)
        Where each would be, rising.
    gap : float
        Least distance of two.
    low, high : float
        Between which they are, if there is room.
    """
    steps = gap * np.arange(len(wanted))
    # what each wants of the first one; pushed up, pushed down, and half way between, all rise
    first = np.clip(wanted, low, high) - steps
    up, down = np.maximum.accumulate(first), np.minimum.accumulate(first[::-1])[::-1]
    return np.clip(0.5 * (up + down), low, max(low, high - gap * (len(wanted) - 1))) + steps


def dense(line: np.ndarray, step: float) -> np.ndarray:
    """Return points along a line, no farther apart than about ``step``."""
    if len(line) < 2:
        return np.zeros((0, 2))
    along = np.append(0.0, np.cumsum(np.hypot(*np.diff(line, axis=0).T)))
    at = np.arange(0.0, along[-1], step)
    return np.stack([np.interp(at, along, c) for c in line.T], -1)


__all__ = ["Placer", "beside", "dense", "half_size", "round_about", "spread"]

"""Where the tries stand: evenly spread over any number of choices, the same ones every time."""

from __future__ import annotations

import numpy as np


def spread_si(first: int, count: int, choices: int) -> np.ndarray:
    """Give points that fill a cube evenly, without chance and without memory of those before.

    Parameters
    ----------
    first : int
        Number of the first point.
    count : int
        How many.
    choices : int
        Edges of the cube.

    Returns
    -------
    array, shape (choices, count)
        Between 0 and 1 (plain numbers).

    Source
    ------
    from memory, additive recurrence with powers of the root of x^(d+1) = x + 1
    """
    from scipy.optimize import brentq

    root = brentq(lambda x: x ** (choices + 1) - x - 1.0, 1.0, 2.0, xtol=1e-15, rtol=1e-15)
    step = root ** -np.arange(1.0, choices + 1.0)
    return np.modf(0.5 + (np.arange(first, first + count) + 1.0) * step[:, None])[0]


def grid_si(first: int, count: int, sizes: tuple[int, ...]) -> np.ndarray:
    """Give the points of a full grid: middles of ``sizes`` equal parts of each edge, all of them in turn.

    Parameters
    ----------
    first : int
        Number of the first point.
    count : int
        How many.
    sizes : tuple of int
        Parts of each edge.

    Returns
    -------
    array, shape (len(sizes), count)
        Between 0 and 1 (plain numbers).

    Source
    ------
    own-derivation, by definition
    """
    parts = np.unravel_index(np.arange(first, first + count), sizes)
    return np.stack([(p + 0.5) / n for p, n in zip(parts, sizes, strict=True)])

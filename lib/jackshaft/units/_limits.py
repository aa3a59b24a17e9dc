"""A limit that is met to rounding is met: the comparisons that every verdict rests on."""

from __future__ import annotations

import math

import numpy as np

#: Two numbers nearer than this share of the larger are the same. A unit turned into another and back is off by
#: some 1e-16, one written to twelve digits by up to 5e-12; nothing in a shop is known to a millionth.
SAME = 1e-9


def at_least(value: float, limit: float) -> bool:
    """Tell whether a value reaches a limit; one that is met but for rounding is met.

    Parameters
    ----------
    value, limit : float
        In one unit. Scalars; not a number reaches nothing.

    Returns
    -------
    bool

    Source
    ------
    common practice, no source
    """
    return bool(value >= limit) or math.isclose(value, limit, rel_tol=SAME)


def at_most(value: float, limit: float) -> bool:
    """Tell whether a value stays within a limit; one that is met but for rounding is met.

    Parameters
    ----------
    value, limit : float
        In one unit. Scalars; not a number stays within nothing.

    Returns
    -------
    bool

    Source
    ------
    common practice, no source
    """
    return bool(value <= limit) or math.isclose(value, limit, rel_tol=SAME)


def first_least(values: np.ndarray) -> int:
    """Give the place of the least value; of several that are one but for rounding, the first.

    Parameters
    ----------
    values : array, shape (n,)
        In one unit.

    Returns
    -------
    int

    Source
    ------
    common practice, no source
    """
    return first_most(-np.asarray(values, dtype=float))


def first_most(values: np.ndarray) -> int:
    """Give the place of the greatest value; of several that are one but for rounding, the first.

    Parameters
    ----------
    values : array, shape (n,)
        In one unit.

    Returns
    -------
    int

    Source
    ------
    common practice, no source
    """
    values = np.asarray(values, dtype=float)
    at = int(np.argmax(values))
    top = values[at]
    return int(np.argmax(values >= top - SAME * abs(top))) if np.isfinite(top) else at

"""Uncertain inputs drawn in one pass: the share of draws that hold, and what drives it."""

from typing import NamedTuple

import numpy as np

from jackshaft.units import OutOfRange

SEED = 20260314


class Drivers(NamedTuple):
    """Share of the scatter of an outcome that each input explains, 0 to 1, and which way it works."""

    share: np.ndarray
    sign: np.ndarray


def triangle_si(low, likely, high, *, count, seed=SEED, row=0):
    """Draw values from a band by a triangle over its bad end, likely value and good end.

    Parameters
    ----------
    low, likely, high : array, shape (...)
        The band, low first.
    count : int
        Draws.
    seed, row : int
        Seed of the build and number of the input; the same pair gives the same draws, so that a moved
        slider changes the picture and not the luck.

    Returns
    -------
    array, shape (count, ...)

    Raises
    ------
    ValueError
        If the band is not in order.

    Source
    ------
    own-derivation, inverse of the triangular distribution; stratified, one draw in each of ``count`` steps
    """
    low, likely, high = np.broadcast_arrays(*(np.asarray(a, dtype=float) for a in (low, likely, high)))
    if np.any(low > likely) or np.any(likely > high):
        raise OutOfRange("a band runs from low over likely to high")
    u = _steps(count, low.shape, seed, row)
    wide = np.where(high > low, high - low, 1.0)
    top = (likely - low) / wide
    rising = low + np.sqrt(u * wide * (likely - low))
    falling = high - np.sqrt((1.0 - u) * wide * (high - likely))
    return np.where(high > low, np.where(u < top, rising, falling), likely)


def plus_minus_si(value, plus_minus, *, count, seed=SEED, row=0):
    """Draw values from a tolerance: any value within it as likely as any other.

    Parameters
    ----------
    value, plus_minus : array, shape (...)
        Middle and half width.
    count : int
        Draws.
    seed, row : int
        As in :func:`triangle_si`.

    Returns
    -------
    array, shape (count, ...)

    Source
    ------
    own-derivation, even distribution, the widest that keeps within a tolerance and has no tip
    """
    value, plus_minus = np.broadcast_arrays(np.asarray(value, float), np.asarray(plus_minus, float))
    return value + plus_minus * (2.0 * _steps(count, value.shape, seed, row) - 1.0)


def _steps(count, shape, seed, row):
    """One even draw in each of ``count`` equal steps, shuffled apart for every entry."""
    rng = np.random.default_rng([seed, row])
    steps = np.arange(count)[:, None] + rng.random((count, int(np.prod(shape, dtype=int))))
    return (rng.permuted(steps, axis=0) / count).reshape((count,) + tuple(shape))


def share_that_holds_si(margin, least=1.0):
    """Give the share of draws in which a margin is reached.

    Parameters
    ----------
    margin : array, shape (count, ...)
        Margin of each draw; NaN (no belt path) does not hold.
    least : float
        The margin asked for.

    Returns
    -------
    array, shape (...)
        0 to 1.

    Source
    ------
    own-derivation, by definition
    """
    with np.errstate(invalid="ignore"):
        return np.mean(np.asarray(margin) >= least, axis=0)


def ranks_si(values):
    """Rank the draws of each input about the middle rank.

    Parameters
    ----------
    values : array, shape (count, ...)
        Drawn values.

    Returns
    -------
    array, shape (count, ...)
        Ranks less their mean; nought throughout where the values are all the same.

    Source
    ------
    own-derivation, by definition
    """
    values = np.asarray(values, dtype=float)
    rank = np.empty(values.shape)
    middle = np.arange(len(values)) - 0.5 * (len(values) - 1)
    np.put_along_axis(
        rank, np.argsort(values, axis=0, kind="stable"), middle.reshape((-1,) + (1,) * (values.ndim - 1)), axis=0
    )
    return np.where(np.ptp(values, axis=0) > 0.0, rank, 0.0)


def drivers_of_ranks_si(ranks, outcome):
    """Rank inputs by what they explain, from ranks found before: those of a drawn input never change.

    Parameters
    ----------
    ranks : array, shape (count, k)
        From :func:`ranks_si`.
    outcome : array, shape (count,)
        Outcome of each draw; draws without a finite one are left out.

    Returns
    -------
    Drivers
        Squared rank correlations, shape (k,); nought for an input that does not vary.

    Source
    ------
    own-derivation, squared rank correlation (Spearman)
    """
    ranks, outcome = np.asarray(ranks, dtype=float), np.asarray(outcome, dtype=float)
    good = np.isfinite(outcome)
    if good.sum() < 3 or np.ptp(outcome[good]) == 0.0:
        return Drivers(np.zeros(ranks.shape[1]), np.zeros(ranks.shape[1], int))
    a = ranks if good.all() else ranks_si(ranks[good])
    b = ranks_si(outcome[good])
    size = np.sqrt(np.einsum("ij,ij->j", a, a) * np.sum(b * b))
    r = np.where(size > 0.0, a.T @ b / np.where(size > 0.0, size, 1.0), 0.0)
    return Drivers(r * r, np.sign(r).astype(int))

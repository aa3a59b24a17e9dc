"""Two-pulley drives in closed form: open and crossed."""

from typing import NamedTuple

import numpy as np

from jackshaft.units import unit_checked


class TwoPulleys(NamedTuple):
    """Closed form of a drive of two pulleys: length, one strand, and the wrap on each pulley."""

    length: np.ndarray
    span: np.ndarray
    wrap_first: np.ndarray
    wrap_second: np.ndarray


def _closed(centres, half_difference, half_sum):
    """Length and strand; the half difference of diameters is the half sum for a crossed belt."""
    with np.errstate(invalid="ignore", divide="ignore"):
        lean = np.arcsin(half_difference / centres)
        span = np.sqrt(np.square(centres) - np.square(half_difference))
    return 2.0 * span + np.pi * half_sum + 2.0 * half_difference * lean, span, lean


@unit_checked(
    centres="length",
    first="length",
    second="length",
    returns={"length": "length", "span": "length", "wrap_first": "angle", "wrap_second": "angle"},
)
def two_pulleys(centres, *, first, second, crossed=False) -> TwoPulleys:
    """Length, strand and wraps of a two-pulley drive in closed form, open or crossed.

    Parameters
    ----------
    centres : length
        Distance between the shafts, m.
    first, second : length
        Diameters of the belt line on the two pulleys, m.
    crossed : bool
        True for a crossed belt (no unit).

    Returns
    -------
    TwoPulleys
        NaN where the belt cannot go round.

    Source
    ------
    shigley, ch. 17, flat-belt geometry; exact forms
    """
    centres, first, second = (np.asarray(a, dtype=float) for a in (centres, first, second))
    total = 0.5 * (first + second)
    delta = total if crossed else 0.5 * (first - second)
    length, span, lean = _closed(centres, delta, total)
    return TwoPulleys(length, span, np.pi + 2.0 * lean, np.pi + (2.0 if crossed else -2.0) * lean)


@unit_checked(length="length", first="length", second="length", returns="length")
def centre_distance(length, *, first, second, crossed=False, steps=30):
    """Centre distance at which a belt of given length fits two pulleys: exact, by Newton's method.

    Parameters
    ----------
    length : length
        Belt length on the same line as the diameters, m.
    first, second : length
        Diameters on that line, m.
    crossed : bool
        True for a crossed belt (no unit).
    steps : int
        Newton steps; the function is convex, so that they close in from above (no unit).

    Returns
    -------
    array
        Centre distance, m; NaN where the pulleys would overlap.

    Source
    ------
    own-derivation, Newton's method on the exact length, started from the belt laid flat
    """
    length, first, second = np.broadcast_arrays(*(np.asarray(a, float) for a in (length, first, second)))
    total = 0.5 * (first + second)
    delta = total if crossed else 0.5 * np.abs(first - second)
    centres = 0.5 * (length - np.pi * total)
    with np.errstate(invalid="ignore", divide="ignore"):
        for _ in range(steps):
            got, span, _ = _closed(centres, delta, total)
            centres = centres - (got - length) * centres / (2.0 * span)
        return np.where(centres >= total * (1.0 - 1e-12), centres, np.nan)

"""Lengths as calipers, micrometers, rules and feeler gauges read them."""

from __future__ import annotations

import math
from fractions import Fraction

from ._constants import INCH

INSTRUMENTS = ("caliper", "micrometer", "tape", "thou", "indicator")


def fraction(si: float, denominator: int = 64) -> str:
    """The nearest inch fraction, in lowest terms. It may be off: ``show(by="tape")`` also says by how much.

    Parameters
    ----------
    si : float
        Length [m]. Scalar.
    denominator : int
        Finest division of the rule: a power of two. Scalar.

    Returns
    -------
    str
        Such as "1-3/8 in".

    Raises
    ------
    ValueError
        If the denominator is no power of two.

    Source
    ------
    inch of 25.4 mm, from memory
    """
    if denominator < 1 or denominator & (denominator - 1):
        raise ValueError(f"a rule is divided by halving; {denominator} is no power of two")
    return _as_text(_nearest(si, denominator))


def _nearest(si: float, denominator: int) -> Fraction:
    steps = math.floor(half_up(abs(si) / INCH * denominator) + 0.5)
    return Fraction(-steps if si < 0 else steps, denominator)


def _as_text(value: Fraction) -> str:
    sign = "-" if value < 0 else ""
    whole, rest = divmod(abs(value), 1)
    if rest == 0:
        return f"{sign}{whole} in"
    return f"{sign}{f'{whole}-' if whole else ''}{rest.numerator}/{rest.denominator} in"


def by_tape(si: float) -> str:
    """Fraction and decimal, and how far the fraction is off: an inch fraction is never rounded silently."""
    close = _nearest(si, 64)
    off = float(close) - si / INCH
    if abs(off) < 5e-5:
        text = f"{float(close):.6f}".rstrip("0").rstrip(".")
        return _as_text(close) if close.denominator == 1 else f"{_as_text(close)} ({text} in)"
    side = "over" if off > 0 else "under"
    return f"{_as_text(close)} ({si / INCH:.4f} in; the fraction is {abs(off):.4f} in {side})"


def half_up(x: float) -> float:
    """The number a whisker farther from nought: what stands half-way but for its last bits is then rounded up."""
    return x + math.copysign(min(1e-10 * abs(x), 1e-8), x)


def decimals(size: float, inch: bool, by: str) -> int:
    """Decimals for a length of this size in its unit."""
    if by == "micrometer":
        return 4 if inch else 3
    if by == "tape":
        return 1
    if inch:
        return 4 if size < 4.0 else 3 if size < 20.0 else 2 if size < 400.0 else 1
    return 3 if size < 100.0 else 2 if size < 300.0 else 1 if size < 1000.0 else 0

"""Fits: limits of shafts, holes and bearing rings by ISO 286, and what two of them leave between them.

Limits come from the standard's published table where it has the size; elsewhere
they are computed by the standard's formulas and say so.
"""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from jackshaft import tables
from jackshaft.units import OutOfRange, unit_checked

# Steps of nominal size in mm; both tolerance grades and deviations of one step are one value. ISO 286-1,
# from memory.
STEPS = (0, 3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500)
GRADES = {5: 7, 6: 10, 7: 16, 8: 25, 9: 40, 10: 64, 11: 100}  # multiples of the tolerance unit i
# Fundamental deviation in micrometres from the mean D of the step in mm, ISO 286-1, from memory.
UPPER = {
    "d": lambda d: -16 * d**0.44,
    "e": lambda d: -11 * d**0.41,
    "f": lambda d: -5.5 * d**0.41,
    "g": lambda d: -2.5 * d**0.34,
    "h": lambda d: 0.0,
}
LOWER = {"k": lambda d: 0.6 * d ** (1 / 3), "n": lambda d: 5 * d**0.34}
SMALLEST, LARGEST = 3e-3, 0.5  # m


class Limits(NamedTuple):
    """Limits of a shaft or a hole.

    Parameters
    ----------
    lower, upper : float
        Smallest and largest size, m.
    lower_deviation, upper_deviation : float
        The same from nominal, m.
    basis : str
        "table" or "computed", the table's formulas where the table has no such row.
    """

    lower: float
    upper: float
    lower_deviation: float
    upper_deviation: float
    basis: str


#: Kinds of its fields.
LIMITS = dict.fromkeys(("lower", "upper", "lower_deviation", "upper_deviation"), "length")


@unit_checked(nominal="length", returns=LIMITS)
def limits(nominal, fit_class) -> Limits:
    """Limits of a size in a fit class.

    Parameters
    ----------
    nominal : float
        m, 3 to 500 mm.
    fit_class : str
        "k5", "g6", ... for a shaft, "H7", "N7", ... for a hole.

    Returns
    -------
    Limits
        From the table; computed where the table has no row and a formula is known.

    Raises
    ------
    ValueError
        If the class is neither in the table nor computable, or the size is out of range.

    Source
    ------
    iso286-2, limit deviations (from memory, checked against fit-table).
    """
    mm = _millimetres(nominal)
    part = "hole" if fit_class[:1].isupper() else "shaft"
    rows = tables.table("fits").covering(mm, "over_mm", "to_mm", part=part, fit_class=fit_class).rows
    if rows:
        lower, upper, basis = rows[0]["lower_um"], rows[0]["upper_um"], "table"
    else:
        lower, upper, basis = *computed_deviations(mm, fit_class), "computed"
    return Limits(nominal + lower * 1e-6, nominal + upper * 1e-6, lower * 1e-6, upper * 1e-6, basis)


def computed_deviations(nominal_mm, fit_class):
    """Limit deviations by the formulas and rounding rules of the standard.

    Parameters
    ----------
    nominal_mm : float
        Nominal size in mm; the standard counts in mm and micrometres.
    fit_class : str
        Letters d to h, js, k, m, n, p and H, JS, D to G, K, M, N, P with grade 5 to 11.

    Returns
    -------
    lower, upper : float
        Deviations in micrometres.

    Raises
    ------
    ValueError
        If the letter has no formula (j has none) or the grade is not 5 to 11.

    Source
    ------
    ISO 286-1, from memory; the table of its values, iso286-2, wins where both exist.
    """
    found = re.fullmatch(r"([A-Za-z]{1,2})(\d{1,2})", fit_class)
    grade = int(found.group(2)) if found else 0
    if grade not in GRADES:
        raise OutOfRange(f"fit class {fit_class!r} is not known; write letters and a grade from 5 to 11, as k5 or H7")
    letter, width = found.group(1), tolerance_um(nominal_mm, grade)
    if letter.lower() == "js":
        return -width / 2, width / 2
    mean, small = _mean(nominal_mm), letter.lower()
    if small in UPPER:
        edge = _round(UPPER[small](mean))
        lower, upper = edge - width, edge
    elif small in ("m", "p"):
        # m begins where IT7 outgrows IT6; p begins at IT7 with a little to spare
        steps = tolerance_um(nominal_mm, 7), tolerance_um(nominal_mm, 6)
        edge = steps[0] - steps[1] if small == "m" else steps[0] + (1 if mean < 30 else 2)
        lower, upper = edge, edge + width
    elif small in LOWER:
        edge = 0.0 if small == "k" and grade > 7 else _round(LOWER[small](mean))
        lower, upper = edge, edge + width
    else:
        raise OutOfRange(f"fit class {fit_class!r} has no formula; the table covers j5, j6 and J7 from 3 to 120 mm")
    if letter.islower():
        return lower, upper
    if small in UPPER:
        return 0.0 - upper, 0.0 - lower
    # Holes of these letters are shifted so that they fit a shaft one grade closer the same way.
    last = 7 if small == "p" else 8
    if small in "km" and grade > last:
        raise OutOfRange(f"a hole {letter} of grade {grade} has no formula here")
    shift = width - tolerance_um(nominal_mm, grade - 1) if 6 <= grade <= last else 0.0
    top = -lower + shift
    if small == "n" and grade > 8:
        top = 0.0
    return top - width, top


def tolerance_um(nominal_mm, grade):
    """Width of a tolerance grade.

    Parameters
    ----------
    nominal_mm : float
        mm.
    grade : int
        5 to 11.

    Returns
    -------
    float
        Micrometres.

    Raises
    ------
    ValueError
        If the grade is not 5 to 11.

    Source
    ------
    ISO 286-1, from memory: i = 0.45 D^(1/3) + 0.001 D.
    """
    if grade not in GRADES:
        raise OutOfRange(f"grade {grade} is not known; choose 5 to 11")
    mean = _mean(nominal_mm)
    return _round(GRADES[grade] * (0.45 * mean ** (1 / 3) + 0.001 * mean))


@unit_checked(bore="length", od="length", width="length", returns=LIMITS)
def ring_limits(dimension, *, bore, od, width) -> Limits:
    """Limits of a new bearing ring of Normal class.

    Parameters
    ----------
    dimension : str
        "bore", "od" or "width".
    bore, od, width : float
        Nominal dimensions, m.

    Returns
    -------
    Limits
        All of it below nominal, unlike an ordinary hole.

    Raises
    ------
    ValueError
        If the size is outside the table.

    Source
    ------
    gost520, tables 1 and 2.
    """
    names = {"bore": ("bore", bore), "od": ("outside diameter", od), "width": ("width", width)}
    if dimension not in names:
        raise OutOfRange(f"dimension {dimension!r} is not known; choose bore, od or width")
    name, nominal = names[dimension]
    by = od if dimension == "od" else bore
    rows = tables.table("bearing_tolerances").covering(round(by * 1e3, 6), "over_mm", "to_mm", dimension=name).rows
    if not rows:
        raise OutOfRange(f"no tolerance is tabulated for a {name} at {by * 1e3:.4g} mm")
    low, high = rows[0]["lower_um"] * 1e-6, rows[0]["upper_um"] * 1e-6
    return Limits(nominal + low, nominal + high, low, high, "table")


def _millimetres(nominal):
    if not SMALLEST < nominal <= LARGEST:
        raise OutOfRange(f"a nominal size of {nominal * 1e3:.4g} mm is outside 3 to 500 mm")
    return round(nominal * 1e3, 6)  # 0.018 m is 18 mm, not a hair over it


def _mean(nominal_mm):
    """Geometric mean of the step of nominal size, on which the standard's formulas rest."""
    for low, high in zip(STEPS[:-1], STEPS[1:], strict=True):
        if low < nominal_mm <= high:
            return math.sqrt(max(low, 1) * high) if low else math.sqrt(3)
    raise OutOfRange(f"a nominal size of {nominal_mm:.4g} mm is outside 3 to 500 mm")


def _round(um):
    """Rounding of the standard for values up to 500 micrometres."""
    size = abs(um)
    step = 1 if size <= 100 else 5 if size <= 200 else 10
    return math.copysign(math.floor(size / step + 0.5) * step, um)

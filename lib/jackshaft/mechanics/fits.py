"""Fits: limits of shafts, holes and bearing rings by ISO 286, and what two of them leave between them.

Limits come from printed tables where they have the size and class. Elsewhere they
are put together, and say so: tolerance grade and deviation from rows of the same
step where there are such, else by the standard's formulas with its own rounding,
as far as that gives the standard's printed values.
"""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from jackshaft import tables
from jackshaft.units import OutOfRange, unit_checked

# Steps of nominal size in mm; both tolerance grades and deviations of one step are one value. ISO 286-1,
# from memory. Above 315 mm the printed grades no longer follow the formula.
STEPS = (0, 3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315)
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
#: Up to a value (micrometres): what it is rounded to. Grades, and deviations of the letters a to h. ISO 286-1, from
#: memory; those of k to n stay under the first step.
ROUND_GRADE = ((100, 1), (200, 5), (500, 10))
ROUND_CLEAR = ((45, 1), (60, 2), (200, 5), (300, 10))
#: Letters of a ring's or a shaft's interference whose printed deviations follow no formula: only printed ones count.
ONLY_PRINTED = "p"
SMALLEST, LARGEST = 3e-3, 0.315  # m
COMPUTED = "machine-drawing, tables 15.1 to 15.3, and the formulas of ISO 286-1 (derived)"


class Limits(NamedTuple):
    """Limits of a shaft or a hole.

    Parameters
    ----------
    lower, upper : float
        Smallest and largest size, m.
    lower_deviation, upper_deviation : float
        The same from nominal, m.
    basis : str
        "table" or "computed".
    cite : str
        Source, place in it, and how it is known.
    """

    lower: float
    upper: float
    lower_deviation: float
    upper_deviation: float
    basis: str
    cite: str = ""


#: Kinds of its fields.
LIMITS = dict.fromkeys(("lower", "upper", "lower_deviation", "upper_deviation"), "length")


@unit_checked(nominal="length", returns=LIMITS)
def limits(nominal, fit_class) -> Limits:
    """Limits of a size in a fit class.

    Parameters
    ----------
    nominal : float
        m, 3 to 315 mm.
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
    Table fits: values of iso286-2 as printed tables give them; those of bearing seats stand in fit-table too.
    """
    mm = _millimetres(nominal)
    part = "hole" if fit_class[:1].isupper() else "shaft"
    rows = tables.table("fits").covering(mm, "over_mm", "to_mm", part=part, fit_class=fit_class).rows
    if rows:
        lower, upper, basis, cite = rows[0]["lower_um"], rows[0]["upper_um"], "table", rows[0].cite
    else:
        lower, upper, basis, cite = *computed_deviations(mm, fit_class), "computed", COMPUTED
    return _limits(nominal, lower, upper, basis=basis, cite=cite)


def computed_deviations(nominal_mm, fit_class):
    """Limit deviations put together from grade and fundamental deviation.

    Each is that of a printed row of the same step where there is one, else by formula, rounded as the standard rounds.

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
        If the letter has no formula (j has none), its printed value does not follow it here (p above 120 mm, M6
        above 250 mm), or the grade is not 5 to 11.

    Source
    ------
    ISO 286-1, from memory; table fits.
    """
    found = re.fullmatch(r"([A-Za-z]{1,2})(\d{1,2})", fit_class)
    grade = int(found.group(2)) if found else 0
    if grade not in GRADES:
        raise OutOfRange(f"fit class {fit_class!r} is not known; write letters and a grade from 5 to 11, as k5 or H7")
    letter, width = found.group(1), tolerance_um(nominal_mm, grade)
    if letter.lower() == "js":
        return -width / 2, width / 2
    small = letter.lower()
    edge = 0.0 if small == "k" and grade > 7 else _fundamental(nominal_mm, small, fit_class)
    lower, upper = (edge - width, edge) if small in UPPER else (edge, edge + width)
    if letter.islower():
        return lower, upper
    if small in UPPER:
        return 0.0 - upper, 0.0 - lower
    # Holes of these letters are shifted so that they fit a shaft one grade closer the same way.
    last = 7 if small == "p" else 8
    if small in "km" and grade > last:
        raise OutOfRange(f"a hole {letter} of grade {grade} has no formula here")
    if letter == "M" and grade == 6 and nominal_mm > 250:
        raise OutOfRange("the standard makes an exception of M6 above 250 mm: look it up")
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
    Any row of table fits of that grade; else ISO 286-1, from memory: i = 0.45 D^(1/3) + 0.001 D.
    """
    if grade not in GRADES:
        raise OutOfRange(f"grade {grade} is not known; choose 5 to 11")
    rows = tables.table("fits").covering(nominal_mm, "over_mm", "to_mm").rows
    printed = next((r for r in rows if re.sub(r"\D", "", r["fit_class"]) == str(grade)), None)
    if printed is not None:
        return printed["upper_um"] - printed["lower_um"]
    mean = _mean(nominal_mm)
    return _round(GRADES[grade] * (0.45 * mean ** (1 / 3) + 0.001 * mean), ROUND_GRADE)


def _fundamental(nominal_mm, letter, fit_class):
    """Deviation nearest to nominal of a shaft's letter, micrometres: of a printed row, else by formula."""
    end = "upper_um" if letter in UPPER else "lower_um"
    for grade in (g for g in GRADES if letter != "k" or g <= 7):
        printed = _printed(nominal_mm, f"{letter}{grade}")
        if printed is not None and letter != "j":
            return printed[end]
    mean = _mean(nominal_mm)
    if letter in UPPER:
        return _round(UPPER[letter](mean), ROUND_CLEAR)
    if letter in LOWER:
        return _round(LOWER[letter](mean), ROUND_GRADE)
    if letter == "m":  # m begins where grade 7 outgrows grade 6
        return tolerance_um(nominal_mm, 7) - tolerance_um(nominal_mm, 6)
    if letter in ONLY_PRINTED:
        raise OutOfRange(f"{fit_class} is printed here from 3 to 120 mm only: look it up in the standard")
    raise OutOfRange(f"fit class {fit_class!r} has no formula; the table covers j5, j6 and J7 from 3 to 120 mm")


def _printed(nominal_mm, fit_class):
    """Row of the table for a shaft of this size and class; None where there is none."""
    rows = tables.table("fits").covering(nominal_mm, "over_mm", "to_mm", part="shaft", fit_class=fit_class).rows
    return rows[0] if rows else None


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
    row = rows[0]
    return _limits(nominal, row["lower_um"], row["upper_um"], basis="table", cite=row.cite)


def _limits(nominal, lower_um, upper_um, **by):
    """Limits of a nominal size, m, from deviations in micrometres."""
    low, high = lower_um * 1e-6, upper_um * 1e-6
    return Limits(lower=nominal + low, upper=nominal + high, lower_deviation=low, upper_deviation=high, **by)


def _millimetres(nominal):
    if not SMALLEST < nominal <= LARGEST:
        raise OutOfRange(f"a nominal size of {nominal * 1e3:.4g} mm is outside 3 to 315 mm")
    return round(nominal * 1e3, 6)  # 0.018 m is 18 mm, not a hair over it


def _mean(nominal_mm):
    """Geometric mean of the step of nominal size, on which the standard's formulas rest."""
    for low, high in zip(STEPS[:-1], STEPS[1:], strict=True):
        if low < nominal_mm <= high:
            return math.sqrt(max(low, 1) * high) if low else math.sqrt(3)
    raise OutOfRange(f"a nominal size of {nominal_mm:.4g} mm is outside 3 to 315 mm")


def _round(um, steps):
    """Round as the standard does: up to each size to its own step."""
    size = abs(um)
    step = next(step for most, step in steps if size <= most)
    return math.copysign(math.floor(size / step + 0.5) * step, um)

"""Capacity: rated power of a belt, its corrections, and the number of belts.

The published formulas count in horsepower, inches and thousands of turns a minute; the lines that convert
say so. A rating belongs to the *small* pulley and the *faster* shaft. Editions of the ratings differ by 10
to 15 %, those of the classical sections by 30 to 69 %, so a rated power is never better than that.
"""

from typing import NamedTuple

import numpy as np

from jackshaft.tables import table
from jackshaft.units import FOOT, HORSEPOWER, INCH, RPM, OutOfRange, at_least, unit_checked

THOUSAND_RPM = 1000.0 * RPM
FOOT_PER_MINUTE = FOOT / 60.0

#: Double-V sections and the classical one that each is rated as.
HALVES = {"AA": "A", "BB": "B", "CC": "C"}


class Constants(NamedTuple):
    """Constants of a rating formula as published, and how they are known."""

    k: tuple[float, ...]
    form: str
    family: str
    known: str
    cite: str


class Power(NamedTuple):
    """Rated power of one belt in W: ``basic`` at ratio 1, ``addon`` for the ratio, and their sum."""

    basic: np.ndarray
    addon: np.ndarray
    total: np.ndarray


def constants(section):
    """Read the rating constants of a section.

    Parameters
    ----------
    section : str
        Section as in the table of sections. A double-V belt is rated as its classical half.

    Returns
    -------
    Constants or None
        None where no formula is known for the section.

    Source
    ------
    rma-ip20, rma-ip22, rma-ip23, rating formulas (from memory)
    """
    single = HALVES.get(section, section)
    for name, form, keys in (
        ("belt_rating_constants", "four", ("k1", "k2", "k3", "k4")),
        ("belt_rating_light", "light", ("a", "c", "e")),
    ):
        rows = table(name).where(section=single).rows
        if rows:
            return Constants(
                tuple(rows[0][k] for k in keys),
                form,
                rows[0].get("family", "light duty"),
                rows[0].known,
                rows[0].cite,
            )
    return None


def ratio_factor(family, ratio):
    """Read the speed-ratio factor of a family of sections.

    Parameters
    ----------
    family : str
        "classical" or "narrow"; "classical, older" for the factor on the diameter in :func:`rated_power_older_si`.
    ratio : float
        Larger over smaller diameter, at least 1.

    Returns
    -------
    float

    Raises
    ------
    ValueError
        If the ratio is below 1: the larger diameter goes on top.

    Source
    ------
    rma-ip20, rma-ip22, speed-ratio factors (from memory)
    """
    if not at_least(ratio, 1.0):
        raise OutOfRange(f"the ratio is larger over smaller diameter and at least 1, got {ratio}")
    for row in table("belt_ratio_factors").where(family=family).rows:
        if at_least(ratio, row["from_ratio"]) and (
            row["below_ratio"] is None or not at_least(ratio, row["below_ratio"])
        ):
            return row["factor"]
    raise OutOfRange(f"no speed-ratio factors for the family {family!r}")


@unit_checked(
    small="length",
    faster="rotation",
    factor="number",
    returns={"basic": "power", "addon": "power", "total": "power"},
)
def rated_power(small, *, faster, k, factor=1.0) -> Power:
    """Rated power of one classical or narrow belt at half a turn of wrap and its base length.

    Parameters
    ----------
    small : length
        Pitch diameter of the smaller pulley, m.
    faster : rotation
        Speed of the faster shaft, rad/s.
    k : sequence of four numbers
        Constants K1 to K4 of the section, as published (hp, in, 1000 rpm).
    factor : number
        Speed-ratio factor; the add-on it gives is a sum, never a multiplier.

    Returns
    -------
    Power
        W; below nought where the pulley is too small or too fast for the formula.

    Source
    ------
    rma-ip20, rma-ip22, rating formula (from memory)
    """
    k1, k2, k3, k4 = k
    d, r = (
        np.asarray(small) / INCH,
        np.abs(faster) / THOUSAND_RPM,
    )  # the formula counts in inches and 1000 rpm
    dr = d * r
    with np.errstate(divide="ignore", invalid="ignore"):
        basic = dr * (k1 - k2 / d - k3 * dr * dr - k4 * np.log10(dr)) * HORSEPOWER
    addon = k2 * r * (1.0 - 1.0 / np.asarray(factor, dtype=float)) * HORSEPOWER
    return Power(basic, addon, basic + addon)


@unit_checked(small="length", faster="rotation", returns="power")
def rated_power_light(small, *, faster, k):
    """Rated power of one light-duty belt.

    Parameters
    ----------
    small : length
        Pitch diameter of the smaller pulley (effective outside less twice the cord's allowance), m.
    faster : rotation
        Speed of the faster shaft, rad/s.
    k : sequence of three numbers
        Constants a, c, e of the section, as published (hp, in, 1000 rpm).

    Returns
    -------
    power
        W. Doubtful constants: about half of the classical belt of the same size.

    Source
    ------
    rma-ip23, rating formula (from memory)
    """
    a, c, e = k
    d, r = (
        np.asarray(small) / INCH,
        np.abs(faster) / THOUSAND_RPM,
    )  # the formula counts in inches and 1000 rpm
    with np.errstate(divide="ignore", invalid="ignore"):
        return r * (a * d**0.91 / r**0.09 - c - e * r**2 * d**3) * HORSEPOWER


def older_constants(section):
    """Read the constants a, c, e of the older formula; None where it does not cover the section.

    Parameters
    ----------
    section : str
        Section as in the table of sections. A double-V belt is rated as its classical half.

    Returns
    -------
    tables.Row or None

    Source
    ------
    faires, table 17.3
    """
    rows = table("belt_rating_older").where(section=HALVES.get(section, section)).rows
    return rows[0] if rows else None


def rated_power_older_si(small, *, faster, k, factor=1.0):
    """Rated power of one classical belt by the older formula, at half a turn of wrap and its base length.

    Parameters
    ----------
    small : float
        Pitch diameter of the smaller pulley, m.
    faster : float
        Speed of the faster shaft, rad/s.
    k : sequence of three numbers
        Constants a, c, e of the section, as published (hp, in, ft/min).
    factor : float
        Small-diameter factor of the ratio, on the diameter.

    Returns
    -------
    float
        W; below nought where the pulley is too small or too fast for the formula.

    Source
    ------
    faires, table 17.3
    """
    a, c, e = k
    v = 0.5 * np.asarray(small) * np.abs(faster) / FOOT_PER_MINUTE  # the formula counts in ft/min and inches
    with np.errstate(divide="ignore", invalid="ignore"):
        bend = a * (1000.0 / v) ** 0.09 - c / (factor * np.asarray(small) / INCH) - e * v * v / 1e6
    return bend * v / 1000.0 * HORSEPOWER


@unit_checked(wrap="angle", returns="number")
def arc_factor(wrap):
    """Arc-of-contact factor of a belt in grooves: the capstan law, scaled to 1 at half a turn.

    Parameters
    ----------
    wrap : angle
        Wrap on the small pulley, rad.

    Returns
    -------
    number
        To be used with a rated power. It already is the grip of the wrap: counting the capstan limit on
        top of a rating would count the wrap twice.

    Source
    ------
    mh31, p. 2581, table 12 (reproduced within 0.006)
    """
    return 1.25 * (1.0 - 5.0 ** (-np.asarray(wrap) / np.pi))


@unit_checked(length="length", base="length", exponent="number", returns="number")
def length_factor(length, *, base, exponent=0.22):
    """Length factor: short belts flex more often an hour.

    Parameters
    ----------
    length : length
        Datum length, m.
    base : length
        Length at which the factor is 1, m.
    exponent : number
        Exponent of the fit.

    Returns
    -------
    number

    Source
    ------
    length-factor-sheet, fit within 0.02
    """
    return (np.asarray(length) / np.asarray(base)) ** exponent


def belts_needed_si(design_power, per_belt):
    """Give the number of belts, rounded up.

    Parameters
    ----------
    design_power : array, shape (...)
        Power times service factor, W.
    per_belt : array, shape (...)
        Rated power of one belt with its corrections, W.

    Returns
    -------
    array
        Whole numbers as floats; +inf where a belt carries nothing.

    Source
    ------
    mott4, ex. 7-1 (the count is rounded up)
    """
    per_belt = np.asarray(per_belt, dtype=float)
    with np.errstate(divide="ignore", invalid="ignore"):
        count = np.ceil(np.asarray(design_power) / per_belt - 1e-9)
    return np.where(per_belt > 0.0, np.maximum(count, 1.0), np.inf)


def flex_rate_si(speed, pulleys, length):
    """Give how often a second a place on the belt is bent.

    Parameters
    ----------
    speed : array, shape (...)
        Belt speed, m/s.
    pulleys : array, shape (...)
        Number of pulleys.
    length : array, shape (...)
        Belt length, m.

    Returns
    -------
    array
        1/s.

    Source
    ------
    textbook-practice, flexes per second (from memory)
    """
    return np.asarray(speed) * np.asarray(pulleys) / np.asarray(length)


def from_examples(section, small, faster):
    """Read a rated power between the examples of a printed table, where no formula is known.

    Parameters
    ----------
    section : str
        Section as in the table of examples.
    small : float
        Datum diameter of the smaller pulley, m.
    faster : float
        Speed of the faster shaft, rad/s.

    Returns
    -------
    tuple of float and bool
        Rated power of one belt in W at ratio 1 and half a turn, and whether diameter and speed lie within
        the examples. Outside them the power is NaN: nothing is drawn out past its ends.

    Source
    ------
    narrow-sheet-b, rating table; straight lines between its entries
    """
    rows = table("belt_rating_examples").where(section=section).rows
    grid = {
        (row["datum_mm"] / 1000.0, row["speed_rpm"] * THOUSAND_RPM / 1000.0): row["power_kw"] * 1000.0 for row in rows
    }
    sizes = sorted({d for d, _ in grid})
    curves = []
    for size in sizes:
        points = sorted((w, p) for (d, w), p in grid.items() if d == size)
        speeds, powers = zip(*points, strict=True)
        # A millionth of leeway, so that the end of the table itself counts as within it.
        within = speeds[0] * (1 - 1e-6) <= faster <= speeds[-1] * (1 + 1e-6)
        curves.append(np.interp(faster, speeds, powers) if within else np.nan)
    if not sizes or not sizes[0] * (1 - 1e-6) <= small <= sizes[-1] * (1 + 1e-6):
        return float("nan"), False
    power = float(np.interp(small, sizes, curves))
    return power, bool(np.isfinite(power))

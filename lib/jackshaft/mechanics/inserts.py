"""Insert bearings: a ring that slides on its bar, is held by screws or a collar, and tilts in a round housing."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.units import RPM, OutOfRange, at_most, unit_checked

#: Classes of the bar that an insert slides on, the finest first.
CLASSES = ("h6", "h7", "h8", "h9", "h10", "h11")

#: A bar is read to a tenth of a thousandth of an inch: half of that is no difference (common practice, no source); m.
SHOWN = 1.27e-6


class InsertSeat(NamedTuple):
    """Which shaft an insert wants.

    Parameters
    ----------
    finest, coarsest : str
        Shaft classes that a maker's list names for the load.
    pressed : bool
        True where the load asks for an interference fit, which a sliding ring does not have.
    cite : str
        Source.
    """

    finest: str
    coarsest: str
    pressed: bool
    cite: str


class InsertPlay(NamedTuple):
    """Play between the bore of a new insert and its shaft, m; below nought it does not slide on."""

    least: float
    most: float


class InsertScrews(NamedTuple):
    """Set screws of an insert.

    Parameters
    ----------
    size, metric : str
        Thread size, and the metric one that some makers fit in its place.
    low, high : float
        Least and greatest tightening torque of the lists, N·m.
    proof : float
        Torque the screw is tested with, N·m.
    cite : str
        Source.
    """

    size: str
    metric: str
    low: float
    high: float
    proof: float
    cite: str


class InsertHousing(NamedTuple):
    """A housing by its size code.

    Parameters
    ----------
    housing : str
        "pillow block", "square flange" or "oval flange".
    height : float or None
        Height of the shaft's middle over the foot, m; None for a flange.
    spacing_low, spacing_high : float
        Distance of the bolts, of two makers, m.
    bolt : str
        Size of bolt.
    cite : str
        Source.
    """

    housing: str
    height: float | None
    spacing_low: float
    spacing_high: float
    bolt: str
    cite: str


@unit_checked(load_ratio="number")
def insert_seat(load_ratio) -> InsertSeat:
    """Shaft class that an insert wants for its load.

    Parameters
    ----------
    load_ratio : float
        Equivalent load over dynamic rating.

    Returns
    -------
    InsertSeat
        Finest and coarsest class, and whether the load asks for an interference fit.

    Raises
    ------
    ValueError
        If the ratio is below nought or no number.

    Source
    ------
    Tables insert_fits: insert-catalogue, table 11; insert_facts: bearing-sheet-inch, p. 4.
    """
    if not load_ratio >= 0:
        raise OutOfRange("a load over its rating is 0 or more")
    ends = (row for row in tables.table("insert_fits") if row["to_load_ratio"] is not None)
    last = tables.table("insert_fits").rows[-1]
    row = next((r for r in ends if at_most(load_ratio, r["to_load_ratio"])), last)
    most = tables.table("insert_facts").one(item="load over C, interference wanted")["high"]
    return InsertSeat(row["finest"], row["coarsest"], not at_most(load_ratio, most), row.cite)


@unit_checked(bore="length", low="length", high="length", returns={"least": "length", "most": "length"})
def insert_play(bore, low, high) -> InsertPlay:
    """Play of a new insert on a shaft.

    Parameters
    ----------
    bore : float
        Nominal bore, m.
    low, high : float
        Least and greatest size of the shaft, m.

    Returns
    -------
    InsertPlay
        Least with the smallest bore on the thickest shaft, most the other way round.

    Raises
    ------
    ValueError
        If the bore is outside the table, or the shaft's ends are swapped.

    Source
    ------
    Table insert_clearances: insert-tech-page; jis-tolerance-sheet.
    """
    if low > high:
        raise OutOfRange("the least size is above the greatest: swap them")
    return InsertPlay(bore - high, bore + insert_row_si(bore)["bore_high_um"] * 1e-6 - low)


def insert_row_si(bore):
    """Row of bore tolerance and clearances for an insert's bore.

    Parameters
    ----------
    bore : float
        m.

    Returns
    -------
    Row
        Of table insert_clearances.

    Raises
    ------
    ValueError
        If the bore is outside the table.

    Source
    ------
    Table insert_clearances.
    """
    rows = tables.table("insert_clearances").covering(round(bore * 1e3, 6), "over_mm", "to_mm").rows
    if not rows:
        raise OutOfRange(f"no insert of {bore * 1e3:.4g} mm bore is tabulated: ask its maker")
    return rows[0]


@unit_checked(returns="rotation")
def insert_speed(size_code, shaft_class):
    """Highest speed of an insert on a shaft of a class.

    Parameters
    ----------
    size_code : int
        204 to 212.
    shaft_class : str
        "h6" to "h11"; h10 has no column and is taken as h11.

    Returns
    -------
    float
        rad/s.

    Raises
    ------
    ValueError
        If size or class is not tabulated.

    Source
    ------
    Table insert_speeds: insert-catalogue (from memory).
    """
    if shaft_class not in CLASSES:
        raise OutOfRange(f"shaft class {shaft_class!r} is not known; choose {', '.join(CLASSES)}")
    column = "h11" if shaft_class == "h10" else shaft_class
    return _row("insert_speeds", size_code)[f"{column}_rpm"] * RPM


@unit_checked(returns=dict.fromkeys(("low", "high", "proof"), "torque"))
def insert_screws(size_code) -> InsertScrews:
    """Set screws of an insert, and the band of the torques that lists give them.

    Parameters
    ----------
    size_code : int
        204 to 212.

    Returns
    -------
    InsertScrews
        Size and torques; the low end is safe for the ring, the high end for the grip.

    Raises
    ------
    ValueError
        If the size is not tabulated.

    Source
    ------
    Table insert_screws: bearing-sheet-inch; insert-tech-page; insert-mounting-sheet.
    """
    rows = [r for r in tables.table("insert_screws") if r["from_code"] <= size_code <= r["to_code"]]
    if not rows:
        raise OutOfRange(f"no set screw of an insert {size_code} is tabulated: ask its maker")
    torques = [r["torque_nm"] for r in rows]
    cite = "; ".join(dict.fromkeys(r["source"] for r in rows))
    proof = min(r["proof_nm"] for r in rows if r["proof_nm"])
    metric = _row("insert_bearings", size_code)["metric_screw"]
    return InsertScrews(
        size=rows[0]["screw"], metric=metric, low=min(torques), high=max(torques), proof=proof, cite=cite
    )


@unit_checked(returns=dict.fromkeys(("height", "spacing_low", "spacing_high"), "length"))
def insert_housings(size_code) -> tuple[InsertHousing, ...]:
    """Housings of a size code.

    Parameters
    ----------
    size_code : int
        204 to 212.

    Returns
    -------
    tuple of InsertHousing
        Pillow block, square flange, oval flange.

    Raises
    ------
    ValueError
        If the size is not tabulated.

    Source
    ------
    Table insert_housings: jis-b1559 (from memory); bearing-sheet-inch.
    """
    rows = tables.table("insert_housings").where(size_code=float(size_code)).rows
    if not rows:
        raise OutOfRange(f"no housing of an insert {size_code} is tabulated: measure the one you have")
    return tuple(
        InsertHousing(
            housing=r["housing"],
            height=r["centre_height_mm"] and r["centre_height_mm"] * 1e-3,
            spacing_low=r["spacing_low_mm"] * 1e-3,
            spacing_high=r["spacing_high_mm"] * 1e-3,
            bolt=r["bolt"],
            cite=r.cite,
        )
        for r in rows
    )


@unit_checked(od="length", width="length", returns="mass")
def grease_portion(od, width):
    """Grease that a bearing is given each time.

    Parameters
    ----------
    od, width : float
        Outside diameter and width, m.

    Returns
    -------
    float
        kg.

    Raises
    ------
    ValueError
        If a size is not above nought.

    Source
    ------
    grease-sheet; grease-article; plant-standard: 0.005 D B, in g with mm.
    """
    if not (np.all(np.asarray(od) > 0) and np.all(np.asarray(width) > 0)):
        raise OutOfRange("outside diameter and width are above 0")
    share = tables.table("insert_facts").one(item="grease, each time")["likely"]
    return share * (od * 1e3) * (width * 1e3) * 1e-3


@unit_checked(span="length", returns="length")
def shaft_growth(span, warming=30.0):
    """How much longer a steel shaft gets than the frame that holds its bearings.

    Parameters
    ----------
    span : float
        Between the bearings, m.
    warming : float
        How much warmer the shaft is than the frame, K.

    Returns
    -------
    float
        m.

    Raises
    ------
    ValueError
        If the span is below nought.

    Source
    ------
    textbook-practice, steel (from memory); the warming common practice, no source.
    """
    if span < 0:
        raise OutOfRange("a span is 0 or more")
    return tables.table("bearing_facts").one(item="steel expansion")["likely"] * warming * span


def finest_class_si(size, limits):
    """Finest class whose limits hold a measured size.

    Parameters
    ----------
    size : float
        Shaft as measured, m.
    limits : mapping
        Class to an object with ``lower`` and ``upper``, m; the finest first.

    Returns
    -------
    str or None
        None where the size is above them all or below them all.

    Raises
    ------
    ValueError
        Never.

    Source
    ------
    own-derivation.
    """
    return next((c for c, lim in limits.items() if lim.lower - SHOWN <= size <= lim.upper + SHOWN), None)


def _row(table, size_code):
    rows = tables.table(table).where(size_code=float(size_code)).rows
    if not rows:
        raise OutOfRange(f"no insert {size_code} is tabulated: ask its maker")
    return rows[0]

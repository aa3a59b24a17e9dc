"""How far a hand reaches through an opening of a guard, and over its edge."""

import numpy as np

from jackshaft import tables
from jackshaft.units import OutOfRange, unit_checked

SHAPES = ("slot", "square", "round")
#: Height, m, above which nobody reaches what turns: ISO 13857, high risk, as a guard supplier restates it.
OUT_OF_REACH = 2.7


@unit_checked(opening="length", returns="length")
def reach_through(opening, *, shape="slot"):
    """Distance that an opening of a guard must keep from what turns.

    Parameters
    ----------
    opening : length
        Smallest width of the opening, m; any shape.
    shape : str
        "slot", "square" or "round".

    Returns
    -------
    length

    Raises
    ------
    OutOfRange
        Above 120 mm, where the opening counts as no guard, and for another shape.

    Source
    ------
    iso13857, table 4, upper limbs of people of 14 years and above
    """
    if shape not in SHAPES:
        raise OutOfRange(f"the opening is one of {', '.join(SHAPES)}, not {shape!r}")
    rows = tables.table("guard_openings").where(shape=shape).rows
    widths = np.array([row["to_mm"] for row in rows]) / 1000.0
    opening = np.asarray(opening, float)
    if np.any(opening > widths[-1] * (1.0 + 1e-6)):
        raise OutOfRange("an opening above 120 mm counts as no guard at all")
    distances = np.array([row["distance_mm"] for row in rows]) / 1000.0
    return distances[np.searchsorted(widths * (1.0 + 1e-6), opening)]


@unit_checked(hazard="length", guard="length", returns="length")
def reach_over(hazard, *, guard):
    """Level distance that a guard which is open above must keep from what turns.

    Between two heights of the table the one that asks for more counts.

    Parameters
    ----------
    hazard : length
        Height of what turns over the ground that people stand on, m; any shape.
    guard : length
        Height of the guard's upper edge over the same ground, m.

    Returns
    -------
    length
        0 where the guard is high enough, or what turns is out of reach above it.

    Raises
    ------
    OutOfRange
        Below ground, and where the guard is lower than 1 m: it counts as no guard.

    Source
    ------
    iso13857, table 2 (high risk), from memory; look it up before building by it
    """
    rows = tables.table("guard_reach_over").rows
    heights, guards = (np.unique([row[k] for row in rows]) / 1000.0 for k in ("hazard_height_mm", "guard_height_mm"))
    hazard = np.asarray(hazard, float)
    if np.any(hazard < 0.0):
        raise OutOfRange("what turns stands below the ground that people stand on")
    if guard < guards[0] * (1.0 - 1e-6):
        raise OutOfRange("a guard lower than 1 m that is open above counts as no guard")
    asked = {(row["hazard_height_mm"], row["guard_height_mm"]): row["distance_mm"] / 1000.0 for row in rows}
    edge = round(1000.0 * guards[np.searchsorted(guards, guard * (1.0 + 1e-6)) - 1])
    column = np.array([asked[round(1000.0 * h), edge] for h in heights])
    above = np.searchsorted(heights, hazard * (1.0 - 1e-6))
    low, high = np.clip(above - 1, 0, None), np.clip(above, None, len(heights) - 1)
    on = np.isclose(hazard, heights[high], atol=1e-6)
    found = np.where(on, column[high], np.maximum(column[low], column[high]))
    return np.where(hazard > OUT_OF_REACH * (1.0 + 1e-6), 0.0, found)


__all__ = ["OUT_OF_REACH", "SHAPES", "reach_over", "reach_through"]

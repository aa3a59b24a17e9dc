"""How far a hand reaches through an opening of a guard."""

import numpy as np

from jackshaft import tables
from jackshaft.units import OutOfRange, unit_checked

SHAPES = ("slot", "square", "round")


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


__all__ = ["SHAPES", "reach_through"]

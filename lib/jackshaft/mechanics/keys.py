"""Parallel keys: size, torque, length, and what keyseats and pin holes leave of the shaft."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.units import INCH, OutOfRange, above_zero, unit_checked

#: Standard of parallel keys by system of units, as the table calls it.
STANDARDS = {"inch": "ASME B17.1", "metric": "DIN 6885-1"}
SHEAR_OF_YIELD = 1 / math.sqrt(3)  # distortion energy; "half of yield" is the older, safer share
HUB_CLEARANCE = 0.005 * INCH  # over the key in a hub of inch sizes: mh31, p. 2552


class Key(NamedTuple):
    """A parallel key and its seats.

    Parameters
    ----------
    standard : str
        Where the size is from.
    width, height : float
        m.
    shaft_depth, hub_depth : float
        Depth at the side of the key, m.
    words : str
        Source, locator and how known.
    """

    standard: str
    width: float
    height: float
    shaft_depth: float
    hub_depth: float
    words: str


class KeyCapacity(NamedTuple):
    """Torque of a keyed joint at yield.

    Parameters
    ----------
    shear, crushing : float or ndarray
        Torque at which the key shears, and at which its side or its seat crushes, N·m.
    governing : float or ndarray
        The lower of the two, N·m.
    """

    shear: float
    crushing: float
    governing: float


@unit_checked(
    shaft="length",
    returns={"width": "length", "height": "length", "shaft_depth": "length", "hub_depth": "length"},
)
def key_for(shaft, *, system) -> Key:
    """Size of the parallel key that belongs to a shaft.

    Parameters
    ----------
    shaft : float
        Diameter, m.
    system : str
        "inch" or "metric".

    Returns
    -------
    Key
        Square for inch shafts.

    Raises
    ------
    ValueError
        If the diameter is outside the table or the system is not known.

    Source
    ------
    Table keys: asme-b17-1 (from memory) and din6885.
    """
    if system not in STANDARDS:
        raise OutOfRange("keys come in inch or metric")
    rows = tables.table("keys").covering(round(shaft * 1e3, 6), "over_mm", "to_mm").rows
    row = next((r for r in rows if r["standard"].startswith(STANDARDS[system])), None)
    if row is None:
        raise OutOfRange(f"no {system} key is tabulated for a shaft of {shaft * 1e3:.4g} mm")
    sizes = (row[c] * 1e-3 for c in ("width_mm", "height_mm", "shaft_depth_mm", "hub_depth_mm"))
    return Key(row["standard"], *sizes, row.cite)


@unit_checked(
    shaft="length",
    width="length",
    height="length",
    length="length",
    key_yield="stress",
    seat_yield="stress",
    shear_share="number",
    returns={"shear": "torque", "crushing": "torque", "governing": "torque"},
)
def key_capacity(
    shaft, width, height, length, *, key_yield, seat_yield=None, shear_share=SHEAR_OF_YIELD
) -> KeyCapacity:
    """Torque at which a parallel key gives way.

    Parameters
    ----------
    shaft, width, height, length : float or ndarray
        Shaft diameter and the key's three dimensions, m; half the height stands in each part.
    key_yield : float
        Yield strength of the key, Pa.
    seat_yield : float or None
        Yield strength of the weaker of shaft and hub, Pa; None takes the key's. Weak hubs govern.
    shear_share : float
        Shear over tensile yield: 0.577, or 0.5 in older texts.

    Returns
    -------
    KeyCapacity
        At yield, without a safety factor: 1.5 steady, 2.5 to 3 industrial, 4.5 shock are usual.

    Raises
    ------
    ValueError
        If a dimension or a strength is not positive.

    Source
    ------
    shigley and mott4, parallel keys; usual factors from memory.
    """
    above_zero(shaft=shaft, width=width, height=height, length=length, key_strength=key_yield)
    weaker = key_yield if seat_yield is None else min(key_yield, seat_yield)
    shear = shear_share * key_yield * width * length * shaft / 2
    crush = weaker * height / 2 * length * shaft / 2
    return KeyCapacity(shear, crush, np.minimum(shear, crush))


class Near(NamedTuple):
    """What a standard has for a shaft: the usual size of its key, and the sizes one step down and up, m."""

    standard: str
    least: float
    usual: float
    most: float


def near_sizes_si(shaft: float, what: str) -> tuple[Near, ...]:
    """Return the widths or heights of a parallel key that are at most one size off, in each standard with such a shaft.

    Parameters
    ----------
    shaft : float
        Diameter, m.
    what : str
        "width" or "height"; a flat inch key's height counts as usual too.

    Returns
    -------
    tuple of Near
        Empty where no table reaches the shaft.

    Source
    ------
    Table keys: asme-b17-1 and din6885.
    """
    near, size = [], round(shaft * 1e3, 6)
    for standard in STANDARDS.values():
        rows = [r for r in tables.table("keys").rows if r["standard"].startswith(standard)]
        at = next((i for i, r in enumerate(rows) if r["over_mm"] < size <= r["to_mm"]), None)
        if at is not None:
            there = rows[max(0, at - 1) : at + 2]
            least = min(r["flat_height_mm"] or r[f"{what}_mm"] if what == "height" else r[f"{what}_mm"] for r in there)
            most = max(r[f"{what}_mm"] for r in there)
            near.append(Near(standard, least * 1e-3, rows[at][f"{what}_mm"] * 1e-3, most * 1e-3))
    return tuple(near)


def usual_height_si(width: float) -> float:
    """Return the height of the usual parallel key of a width: that of the metric table, else square as inch keys.

    Parameters
    ----------
    width : float
        Width of the key, m.

    Returns
    -------
    float
        Its height, m.

    Source
    ------
    Table keys: din6885; square inch keys as asme-b17-1 (from memory)
    """
    row = _metric(width)
    return width if row is None else row["height_mm"] * 1e-3


def seat_depth_si(width: float, height: float) -> float:
    """Return how deep the seat of a key is cut into the shaft: that of the metric table, else half the key's height.

    Parameters
    ----------
    width, height : float
        Size of the key, m.

    Returns
    -------
    float
        Depth of the seat, m.

    Source
    ------
    Table keys: din6885; half the height as asme-b17-1 (from memory)
    """
    row = _metric(width)
    return height / 2 if row is None else max(row["shaft_depth_mm"] * 1e-3, height / 2)


def hub_depth_si(bore: float, width: float, height: float) -> tuple[float, float]:
    """Return how deep a keyway is cut into a hub: from its bottom to the far side of the bore, and at its side.

    Parameters
    ----------
    bore, width, height : float
        Bore of the hub, and size of the key, m.

    Returns
    -------
    tuple of float
        From the bottom to the far side, which a caliper measures; and from the edge of the keyway in the bore, m.

    Raises
    ------
    ValueError
        If the key is as wide as the bore, or wider.

    Source
    ------
    Table keys: din6885, counted from the crown of the bore; else mh31, p. 2552, with its 0.005 in of clearance.
    """
    if width >= bore:
        raise OutOfRange(f"a key {width * 1e3:.4g} mm wide does not go into a bore of {bore * 1e3:.4g} mm")
    chord, row = (bore - math.sqrt(bore**2 - width**2)) / 2, _metric(width)
    across = bore - chord + height / 2 + HUB_CLEARANCE if row is None else bore + row["hub_depth_mm"] * 1e-3
    return across, across - bore + chord


def _metric(width: float):
    """Return the row of the metric keys of a width, m; None where no metric key is that wide."""
    rows = tables.table("keys").rows
    return next((r for r in rows if r["standard"].startswith("DIN") and abs(r["width_mm"] * 1e-3 - width) < 1e-6), None)


def keyed_share(shaft, width, depth, *, keyseats=1):
    """Torque a shaft still carries with a keyseat cut in it, against the plain one.

    Parameters
    ----------
    shaft, width, depth : float
        Shaft diameter, width and depth of the keyseat, one unit.
    keyseats : int
        1, or 2 where a second one is cut opposite.

    Returns
    -------
    float
        0 to 1.

    Raises
    ------
    ValueError
        If the keyseat is larger than the formula can take.

    Source
    ------
    khurmi-design, ch. 14, e = 1 - 0.2 w/d - 1.1 h/d (from memory); a second seat is taken as a second loss.
    """
    if keyseats not in (1, 2):
        raise OutOfRange("one keyseat or two")
    share = 1 - keyseats * (0.2 * width / shaft + 1.1 * depth / shaft)
    if share <= 0 or min(width, depth) < 0:
        raise OutOfRange("nothing of the shaft is left beside this keyseat: check its width and depth")
    return share


def pinned_share(shaft, pin):
    """Torque a shaft still carries with a pin's hole drilled across it, against the plain one.

    Parameters
    ----------
    shaft, pin : float
        Diameters, one unit.

    Returns
    -------
    float
        0 to 1.

    Raises
    ------
    ValueError
        If the pin is thicker than half the shaft, or is no pin.

    Source
    ------
    shigley, table A-15, round shaft with a transverse hole: pi D3/16 - d D2/6 (from memory).
    """
    if not 0 < pin <= shaft / 2:
        raise OutOfRange("the diameter of a cross pin must be above zero, and at most half that of the shaft")
    return 1 - 16 / (6 * math.pi) * pin / shaft

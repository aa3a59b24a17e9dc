"""Retaining rings of bearings and their grooves, by the outside diameter of the bearing."""

from __future__ import annotations

from typing import NamedTuple

from jackshaft import tables
from jackshaft.units import OutOfRange, unit_checked

SAME = 1e-6  # m; sizes closer than this are the same size


class SnapRing(NamedTuple):
    """The retaining ring of a bearing and its groove.

    Parameters
    ----------
    od : float
        Outside diameter of the bearing, m.
    groove_low, groove_high : float
        Diameter at the bottom of the groove, m.
    face_low, face_high : float or None
        From the face of the bearing to the near side of the groove, m.
    width_low, width_high : float
        Width of the groove, m.
    ring_od : float
        Outside diameter over the ring when it sits in its groove, m.
    """

    od: float
    groove_low: float
    groove_high: float
    face_low: float | None
    face_high: float | None
    width_low: float
    width_high: float
    ring_od: float


#: Kinds of its fields.
SNAP_RING = dict.fromkeys(SnapRing._fields, "length")


@unit_checked(measured="length", within="length", returns=SNAP_RING)
def under_snap_ring(measured, *, within=0.5e-3) -> tuple[SnapRing, ...]:
    """Bearings whose retaining ring, left on while measuring, would read like this.

    Parameters
    ----------
    measured : float
        Outside diameter as read, m.
    within : float
        How far off it may be, m.

    Returns
    -------
    tuple of SnapRing
        Groove and ring of each outside diameter that fits; empty where none does.

    Raises
    ------
    ValueError
        If the reading is no length.

    Source
    ------
    gost2893, groove and ring table.
    """
    if not measured > 0:
        raise OutOfRange("an outside diameter is larger than zero")
    found = [_snap_ring(row) for row in tables.table("snap_ring_grooves")]
    return tuple(ring for ring in found if abs(ring.ring_od - measured) <= within)


@unit_checked(od="length", returns=SNAP_RING)
def snap_ring(od, *, series="") -> SnapRing:
    """Groove and retaining ring of a bearing by its outside diameter.

    Parameters
    ----------
    od : float
        Of the bearing, m.
    series : str
        Dimension series; "60" and the lighter ones have their groove nearer the face.

    Returns
    -------
    SnapRing
        Sizes of groove and ring.

    Raises
    ------
    ValueError
        If no groove is tabulated for this size.

    Source
    ------
    gost2893, groove and ring table.
    """
    row = next((r for r in tables.table("snap_ring_grooves") if abs(r["od_mm"] / 1e3 - od) < SAME), None)
    if row is None:
        raise OutOfRange(f"no retaining-ring groove is tabulated at {od * 1e3:.4g} mm; measure the ring")
    return _snap_ring(row, "0" if series in ("60", "160", "161") else "2_to_4")


def _snap_ring(row, series="2_to_4"):
    names = (
        "od_mm",
        "groove_min_mm",
        "groove_max_mm",
        f"face_to_groove_series_{series}_min_mm",
        f"face_to_groove_series_{series}_max_mm",
        "groove_width_min_mm",
        "groove_width_max_mm",
        "ring_od_mm",
    )
    return SnapRing(*(row[n] if row[n] is None else row[n] / 1e3 for n in names))

"""Pulleys without marks: which groove it may be, and its lines, from a string round the rim and the groove's top width.

Lengths in m.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from jackshaft.tables import Row, table
from jackshaft.units import OutOfRange, above_zero, unit_checked


class PulleyGuess(NamedTuple):
    """A groove that a pulley may have; ``sections`` are the belts that it takes, all lengths in m.

    ``top_width`` is the groove's by the table and ``off`` is what was gauged less that. ``apart`` is how far each
    diameter may be out through the string.
    """

    sections: str
    system: str
    groove: str
    outside: float
    reference: float
    pitch: float
    apart: float
    top_width: float
    off: float


_KINDS = dict.fromkeys(("outside", "reference", "pitch", "apart", "top_width", "off"), "length")


@unit_checked(rim="length", groove_width="length", string="length", slack="length", within="length", returns=_KINDS)
def unmarked_pulley(rim, *, groove_width, string=0.0, slack=2e-3, within=0.8e-3) -> tuple[PulleyGuess, ...]:
    """Tell which grooves a pulley without marks may have, and its diameters on all three lines.

    Parameters
    ----------
    rim : length
        String once round the rim (m).
    groove_width : length
        Width of the groove at its top, edge to edge (m).
    string : length
        Thickness of the string (m): its middle goes round outside the rim.
    slack : length
        How far the length of the string may be out (m).
    within : length
        How far a groove's top width may be from the table's (m): rounded edges and wear.

    Returns
    -------
    tuple of PulleyGuess
        Nearest width first. Empty where no groove of the tables is near. A belt laid in tells more: its top
        stands level with the rim or a little proud.

    Raises
    ------
    ValueError
        A length of zero or below, a thickness, slack or reach below zero, or a string thicker than the pulley.

    Source
    ------
    Geometry; widths and lines by tables belt_grooves and belt_sections. Slack and reach: common practice, no source.
    """
    above_zero(rim=rim, groove_width=groove_width)
    if min(string, slack, within) < 0.0:
        raise OutOfRange("the thickness, the slack and the reach are zero or more")
    outside = rim / math.pi - string
    if outside <= 0.0:
        raise OutOfRange("the string is thicker than the pulley that it goes round")
    rows = (r for r in table("belt_grooves").rows if r["top_width_mm"] is not None)
    found = (_guess(r, outside, groove_width, slack / math.pi) for r in rows)
    near = {g[:3]: g for g in found if g is not None and abs(g.off) <= within}
    return tuple(sorted(near.values(), key=lambda g: abs(g.off)))


def _guess(row: Row, outside: float, width: float, apart: float) -> PulleyGuess | None:
    """Return the groove of a row as this pulley may have it, or None where the row is for other sizes."""
    # where the table has no difference, the line that the pulley goes by is its rim: effective diameters
    away = row["outside_minus_reference_mm"]
    if away is None and row["diameter_line"] == "datum":
        return None
    reference = outside - 1e-3 * (away or 0.0)
    size = 1e3 * (outside if row["diameter_line"] == "outside" else reference)
    if size <= (row["over_mm"] or 0.0) or (row["to_mm"] is not None and size > row["to_mm"]):
        return None
    section = str(row["sections"]).split(";")[0]
    belts = table("belt_sections").where(section=section, system=row["system"]).rows
    if not belts or belts[0]["pitch_minus_reference_mm"] is None:
        return None
    pitch = reference + 1e-3 * belts[0]["pitch_minus_reference_mm"]
    top = 1e-3 * row["top_width_mm"]
    sections = str(row["sections"]).replace(";", ", ")
    return PulleyGuess(
        sections,
        str(row["system"]),
        str(row["groove"]),
        outside=outside,
        reference=reference,
        pitch=pitch,
        apart=apart,
        top_width=top,
        off=width - top,
    )

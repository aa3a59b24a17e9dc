"""How fast the lathe may turn for a cut: from the table of cutting speeds, by the material and the diameter."""

from __future__ import annotations

import math

from jackshaft import tables
from jackshaft.mechanics.machining import spindle_speed
from jackshaft.parts.steels import steel_row
from jackshaft.units import FOOT, RPM

#: The tools of the table of cutting speeds, as its columns call them and as a shop does.
TOOLS = {"hss": "HSS", "carbide": "carbide"}
MINUTE = 60.0  # s


def cut_of(material: str | None) -> tables.Row | None:
    """Return the cutting speeds of a material as it is sold; None where it is in no list."""
    row = steel_row(material)
    listed = None if row is None else row["turned_as"]
    return None if listed is None else tables.table("cutting_speeds").one(material=listed)


def spindle(cut: tables.Row | None, diameter: float) -> str:
    """Return in words how fast the spindle may turn for a cut on a diameter, m; empty where nobody knows."""
    return "" if cut is None else "; ".join(_turned(cut, tool, diameter) for tool in TOOLS)


def _turned(cut: tables.Row, tool: str, diameter: float) -> str:
    ends = (cut[f"{tool}_{end}_ft_per_min"] * FOOT / MINUTE for end in ("low", "high"))
    low, high = (_down(float(spindle_speed.si(v, diameter=diameter)) / RPM) for v in ends)
    return f"{TOOLS[tool]} {low} to {high} rpm"


def _down(value: float) -> int:
    """Round down to two figures: nobody sets a lathe closer."""
    step = 10 ** max(0, math.floor(math.log10(value)) - 1)
    return int(value * (1 + 1e-9) // step * step)


def cut_note(material: str | None, cut: tables.Row | None) -> str:
    """Return what is to be known of the speeds for the cut."""
    if cut is None:
        return f"No speed for the cut is given, because the material is {'in no list' if material else 'not known'}."
    return (
        f"Speeds for the cut are those of {cut['material']} ({tables.printed_in(cut.cite)}). Begin at the low end. "
        "Never pass the speed that is marked on the chuck."
    )


__all__ = ["TOOLS", "cut_note", "cut_of", "spindle"]

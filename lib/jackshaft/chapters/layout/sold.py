"""What is sold: diameters of grooved pulleys, by their reference diameter, and belts by their marking."""

from __future__ import annotations

from jackshaft import tables
from jackshaft.mechanics import belts as belt_lengths


def sold_near(diameter: float, system: str, *, up: bool | None, most: int) -> list[float]:
    """Return sizes that are sold, m: from a diameter upward, downward, or (``up`` None) those nearest to it.

    ``system`` is that of the belt's series, inch or metric; at most ``most`` sizes, nearest first.
    """
    sizes = [row["size_mm"] * 1e-3 for row in tables.table("pulley_sizes").where(system=system).rows]
    if up is not None:
        sizes = [s for s in sizes if (s >= diameter - 1e-6 if up else s <= diameter + 1e-6)]
    return sorted(sizes, key=lambda s: abs(s - diameter))[:most]


def is_sold(belt: belt_lengths.Section, name: str) -> bool:
    """Tell whether a belt of a section is sold by that name."""
    return name.replace(" ", "") in {d.replace(" ", "") for d in belt_lengths.stock(belt, "pitch").designation}


__all__ = ["is_sold", "sold_near"]

"""What is sold: diameters of grooved pulleys, by their reference diameter, and belts by their marking."""

from __future__ import annotations

from jackshaft.mechanics import belts as belt_lengths
from jackshaft.units import INCH

#: Step of the sizes that are sold in inches: common practice, no source.
INCH_STEP = 0.2

#: One decade of the sizes that are sold in millimetres, a series of preferred numbers: from memory.
METRIC = (100, 106, 112, 118, 125, 132, 140, 150, 160, 170, 180, 190, 200, 212, 224, 236, 250, 265, 280, 300)
METRIC += (315, 335, 355, 375, 400, 425, 450, 475, 500, 530, 560, 600, 630, 670, 710, 750, 800, 850, 900, 950)


def sold_near(diameter: float, system: str, *, up: bool | None, most: int) -> list[float]:
    """Return sizes that are sold, m: from a diameter upward, downward, or (``up`` None) those nearest to it.

    ``system`` is that of the belt's series, inch or metric; at most ``most`` sizes, nearest first.
    """
    if system == "metric":
        sizes = [n * scale * 1e-3 for scale in (0.1, 1.0, 10.0) for n in METRIC]
    else:
        sizes = [round(k * INCH_STEP, 1) * INCH for k in range(5, 400)]
    if up is not None:
        sizes = [s for s in sizes if (s >= diameter - 1e-6 if up else s <= diameter + 1e-6)]
    return sorted(sizes, key=lambda s: abs(s - diameter))[:most]


def is_sold(belt: belt_lengths.Section, name: str) -> bool:
    """Tell whether a belt of a section is sold by that name."""
    return name.replace(" ", "") in {d.replace(" ", "") for d in belt_lengths.stock(belt, "pitch").designation}


__all__ = ["is_sold", "sold_near"]

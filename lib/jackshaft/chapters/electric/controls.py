"""What the panels of the circuit and of the clutch share: controls of coil and supply, and what is compared."""

from __future__ import annotations

from jackshaft.buildfile import Build
from jackshaft.chapters.electric.supply import nominal_of
from jackshaft.results import Reader
from jackshaft.ui.model import Compared, Control
from jackshaft.units import show


def coil_controls(build: Build, supply: str) -> tuple[Control, Control]:
    """Return the controls of what feeds the clutch's coil and of how hot it gets; ``supply`` heads the first."""
    nominal = nominal_of(Reader(build)) or 12.0
    return (
        Control(
            "circuit.running_voltage",
            "Running voltage",
            "voltage",
            low=f"{0.75 * nominal:g} V",
            high=f"{1.3 * nominal:g} V",
            step=f"{nominal / 120:g} V",
            group=supply,
            help="at the battery, engine running, under load",
        ),
        Control(
            "clutch.hot_rise",
            "Coil rise when hot",
            "temperature rise",
            low=("0 °F", "0 K"),
            high=("250 °F", "140 K"),
            step=("5 °F", "5 K"),
            group="Coil",
            help="above room temperature, by resistance",
        ),
    )


def compared(build: Build, si: float, kind: str, better: str = "") -> Compared:
    """Return a number of the results as candidates are compared by it; see :class:`Compared` for ``better``."""
    return Compared(show(si, kind, build.system), si, better)


__all__ = ["coil_controls", "compared"]

"""What the panels of the circuit and of the clutch share: controls of coil and supply, and what is compared."""

from __future__ import annotations

from jackshaft.buildfile import Build
from jackshaft.chapters.electric.supply import nominal_of
from jackshaft.results import Number, Reader
from jackshaft.ui.model import Compared, Control


def coil_controls(build: Build, supply: str) -> tuple[Control, Control]:
    """Return the controls of what feeds the clutch's coil and of how hot it gets; ``supply`` heads the first."""
    nominal = nominal_of(Reader(build)) or 12.0
    volts = f"{0.75 * nominal:g} to {1.3 * nominal:g} V by {nominal / 120:g}"
    rise = ("0 to 250 °F by 5", "0 to 140 K by 5")
    at, above = "at the battery, engine running, under load", "above room temperature, by resistance"
    return (
        Control("circuit.running_voltage", "Running voltage", volts, group=supply, help=at),
        Control("clutch.hot_rise", "Coil rise when hot", rise, group="Coil", help=above),
    )


def compared(build: Build, si: float, kind: str, better: str = "") -> Compared:
    """Return a number of the results as candidates are compared by it; see :class:`Compared` for ``better``."""
    return Compared(Number(si, kind, build.system), better)


__all__ = ["coil_controls", "compared"]

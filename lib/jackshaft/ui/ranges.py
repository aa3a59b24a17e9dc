"""Sliders of lengths made from what the build holds, so that a panel fits any machine."""

from __future__ import annotations

from collections.abc import Callable

from jackshaft.buildfile import Build
from jackshaft.ui.model import Control
from jackshaft.units import INCH, Measure

#: The unit of a length in each system, and its size in m.
UNITS = {"inch": ("in", INCH), "metric": ("mm", 1e-3)}
#: Where a slider starts for a size that is not known, in m.
HAND = 6 * INCH


def place_control(build: Build, key: str, label: str, group: str) -> Control:
    """Return a control for a position: a slider some way to either side of where it is now."""
    reach, step = (6.0, 0.125) if build.system == "inch" else (150.0, 2.0)
    slider = _slider(build, key, 0.0, step, lambda here, at: (at(here) - reach, at(here) + reach))
    return Control(key, label, slider, by="tape", group=group)


def size_control(
    build: Build, key: str, label: str, group: str, *, by: str = "tape", start: float | None = None
) -> Control:
    """Return a control for a size that is never nothing: a slider from six tenths to one and a half times it.

    Where it is not known, the slider is that of ``start`` m.
    """
    step = 0.0625 if build.system == "inch" else 1.0

    def ends(here: float, at: Callable[[float], float]) -> tuple[float, float]:
        low = max(step, at(0.6 * here))
        return low, max(low + 10 * step, at(1.5 * here))

    return Control(key, label, _slider(build, key, start or HAND, step, ends), by=by, group=group)


def diameter_control(build: Build, pulley: str, name: str, group: str) -> Control:
    """Return the control of a pulley's diameter; its label says which diameter that is, or that nobody said so yet."""
    line = build.get(f"{pulley}.measured_as")
    label = f"{name} {line} diameter" if line else f"{name} diameter (of which line is not known yet)"
    return size_control(build, f"{pulley}.diameter", label, group)


def fine_control(build: Build, key: str, label: str, group: str, *, start: float) -> Control:
    """Return a control for a size read by an instrument, close to either side of it; of ``start`` m where not known."""
    reach, step = (0.06, 0.001) if build.system == "inch" else (1.5, 0.02)
    slider = _slider(build, key, start, step, lambda here, at: (max(at(here) - reach, step), at(here) + reach))
    return Control(key, label, slider, group=group)


def _slider(build: Build, key: str, start: float, step: float, ends: Callable[..., tuple[float, float]]) -> str:
    """Return the run of a slider; ``ends(here, at)`` says how far, where ``at`` rounds to whole steps."""
    unit, size = UNITS[build.system]
    value = build.get(key)
    here = (value.si if isinstance(value, Measure) else start) / size
    low, high = ends(here, lambda number: round(number / step) * step)
    return f"{low:.10g} to {high:.10g} {unit} by {step:g}"

"""Slider ranges made from what the build holds, so that a panel fits any machine."""

from __future__ import annotations

from jackshaft.buildfile import Build
from jackshaft.ui.model import Control
from jackshaft.units import INCH, Measure, write

MM = 1e-3
PLACE_STEP, SIZE_STEP = ("1/8 in", "2 mm"), ("1/16 in", "1 mm")


def place_control(build: Build, key: str, label: str, group: str) -> Control:
    """Return a control for a position: a slider some way to either side of where it is now."""
    value = build.get(key)
    here = value.si if isinstance(value, Measure) else 0.0
    unit, reach, step = (INCH, 6.0, 0.125) if build.system == "inch" else (MM, 150.0, 2.0)
    middle = round(here / unit / step) * step
    low, high = (write((middle + s * reach) * unit, "length", build.system) for s in (-1, 1))
    return Control(key, label, "length", low=low, high=high, step=PLACE_STEP, by="tape", group=group)


def size_control(build: Build, key: str, label: str, group: str, *, by: str = "tape") -> Control:
    """Return a control for a size that is never nothing: a slider from half to one and a half times it."""
    value = build.get(key)
    unit, step = (INCH, 0.0625) if build.system == "inch" else (MM, 1.0)
    here = value.si if isinstance(value, Measure) else 6 * INCH
    low = max(step, round(0.6 * here / unit / step) * step)
    high = max(low + 10 * step, round(1.5 * here / unit / step) * step)
    return Control(
        key,
        label,
        "length",
        low=write(low * unit, "length", build.system),
        high=write(high * unit, "length", build.system),
        step=SIZE_STEP,
        by=by,
        group=group,
    )

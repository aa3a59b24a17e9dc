"""Slider ranges made from what the build holds, so that a panel fits any machine."""

from __future__ import annotations

from jackshaft.build import Build
from jackshaft.panels.model import Control
from jackshaft.units import Measure, write
from jackshaft.workup import Looker
from jackshaft.workup.electric_line import nominal_of

INCH, MM = 0.0254, 1e-3
PLACE_STEP, SIZE_STEP = ("1/8 in", "2 mm"), ("1/16 in", "1 mm")


def place_control(build: Build, key: str, label: str, group: str) -> Control:
    """Return a control for a position: a slider some way to either side of where it is now."""
    value = build.get(key)
    here = value.si if isinstance(value, Measure) else 0.0
    unit, reach, step = (INCH, 6.0, 0.125) if build.system == "inch" else (MM, 150.0, 2.0)
    middle = round(here / unit / step) * step
    low, high = (write((middle + s * reach) * unit, "length", build.system) for s in (-1, 1))
    return Control(key, label, "length", low=low, high=high, step=PLACE_STEP, by="tape", group=group)


def coil_controls(build: Build, supply: str) -> tuple[Control, Control]:
    """Return the controls of what feeds the clutch's coil and of how hot it gets; ``supply`` heads the first."""
    nominal = nominal_of(Looker(build)) or 12.0
    return (
        Control(
            "circuit.running_voltage",
            "Running voltage",
            "voltage",
            low=f"{0.75 * nominal:g} V",
            high=f"{1.3 * nominal:g} V",
            step=f"{nominal / 120:g} V",
            hard_low="1 V",
            hard_high="80 V",
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
            hard_low=("0 °F", "0 K"),
            hard_high=("360 °F", "200 K"),
            group="Coil",
            help="above room temperature, by resistance",
        ),
    )


def size_control(build: Build, key: str, label: str, group: str, *, by: str = "tape") -> Control:
    """Return a control for a size that is never nothing: a slider from half to one and a half times it."""
    value = build.get(key)
    unit, step = (INCH, 0.0625) if build.system == "inch" else (MM, 1.0)
    here = value.si if isinstance(value, Measure) else 6 * INCH
    low = max(step, round(0.6 * here / unit / step) * step)
    high = max(low + 10 * step, round(1.5 * here / unit / step) * step)
    least = write(step * unit, "length", build.system)
    return Control(
        key,
        label,
        "length",
        low=write(low * unit, "length", build.system),
        high=write(high * unit, "length", build.system),
        step=SIZE_STEP,
        by=by,
        group=group,
        hard_low=least,
    )

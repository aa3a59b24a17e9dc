"""What each unit that the shop spells is in SI, without the units library: its registry takes long to build.

The factors follow exactly from those of ``_constants`` and the definitions beside them here; a test holds every one
against the units library.
"""

from __future__ import annotations

import math
import re

from ._constants import FOOT, GRAVITY, HORSEPOWER, HOUR, INCH, POUND_FORCE, THOU, ZERO_C

_POUND = POUND_FORCE / GRAVITY  # kg
_PSI = POUND_FORCE / INCH**2  # Pa
_MINUTE = HOUR / 60.0  # s
_DEGREE_F = 5.0 / 9.0  # K

_COHERENT = "dimensionless meter second ampere kelvin radian newton joule watt volt ohm pascal hertz henry coulomb degC"

#: SI value of one of each unit. The thermal unit is the international one; the circular mil has a thou across.
UNITS: dict[str, float] = dict.fromkeys(_COHERENT.split(), 1.0) | {
    "inch": INCH,
    "foot": FOOT,
    "yard": 3.0 * FOOT,
    "mile": 5280.0 * FOOT,
    "thou": THOU,
    "liter": 1e-3,
    "kcmil": 1e3 * math.pi / 4.0 * THOU**2,
    "gram": 1e-3,
    "metric_ton": 1e3,
    "pound": _POUND,
    "ounce": _POUND / 16.0,
    "slug": POUND_FORCE / FOOT,
    "pound_force": POUND_FORCE,
    "ounce_force": POUND_FORCE / 16.0,
    "kip": 1e3 * POUND_FORCE,
    "gram_force": 1e-3 * GRAVITY,
    "psi": _PSI,
    "kpsi": 1e3 * _PSI,
    "megapsi": 1e6 * _PSI,
    "bar": 1e5,
    "horsepower": HORSEPOWER,
    "metric_horsepower": 75.0 * GRAVITY,
    "british_thermal_unit": 1055.056,
    "minute": _MINUTE,
    "hour": HOUR,
    "day": 24.0 * HOUR,
    "standard_gravity": GRAVITY,
    "revolution": math.tau,
    "turn": math.tau,
    "degree": math.pi / 180.0,
    "arcminute": math.pi / 180.0 / 60.0,
    "arcsecond": math.pi / 180.0 / 3600.0,
    "percent": 0.01,
    "degF": _DEGREE_F,
    "delta_degF": _DEGREE_F,
}
_PREFIXES = {"micro": 1e-6, "milli": 1e-3, "centi": 1e-2, "deca": 10.0, "kilo": 1e3, "mega": 1e6, "giga": 1e9}
_OFFSETS = {"degC": ZERO_C, "degF": 459.67 * _DEGREE_F}
_STEP = re.compile(r"([*/]?)([a-z_]+)(?:\*\*(-?\d+))?", re.IGNORECASE)


def _one(name: str) -> float:
    """SI value of one unit, with or without a prefix."""
    if name in UNITS:
        return UNITS[name]
    prefix = next((p for p in _PREFIXES if name.startswith(p) and name.removeprefix(p) in UNITS), None)
    if prefix is None:
        raise ValueError(f"no unit is called {name!r}; _factors.py declares those that the shop spells")
    return _PREFIXES[prefix] * UNITS[name.removeprefix(prefix)]


def factor(unit: str) -> tuple[float, float]:
    """Factor and offset to SI of a product of units, such as ``pound_force*inch/degree``.

    The last bit of rounding is taken off where fourteen digits say the factor exactly.
    """
    found = 1.0
    for step, name, power in _STEP.findall(unit):
        found *= _one(name) ** (int(power or 1) * (-1 if step == "/" else 1))
    clean = float(f"{found:.14g}")
    return (clean if abs(clean - found) <= 2 * math.ulp(found) else found), _OFFSETS.get(unit, 0.0)

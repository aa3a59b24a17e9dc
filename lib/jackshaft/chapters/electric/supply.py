"""What feeds the clutch circuit: the voltage at the battery, and the system that it is of."""

from __future__ import annotations

import numpy as np

from jackshaft.mechanics import coil
from jackshaft.results.reader import Reader
from jackshaft.units import at_least, at_most

NOMINALS = (6.0, 12.0, 24.0, 48.0)
#: Volts over the system's that a battery shows at rest, flat to full, and that it gets, engine running: charging 13 to
#: 14.5 V in a 12 V system, less where charging falls short, more where the regulator allows for cold; from memory.
REST, RUNNING = (0.83, 1.12), (0.98, 1.27)
#: Least and most over a system's voltage that is written on a part made for it: common practice, no source.
MARKED = (0.9, 1.25)
#: Most that a coil may have for long, over the voltage it is made for: common practice, no source.
MOST_OVER = 1.35


def supply_of(reader: Reader, default: float | None = None) -> float | None:
    """Return the voltage at the battery (V): engine running where that was read, else at rest, else ``default``."""
    return reader.si("circuit.running_voltage", reader.si("circuit.battery_voltage", default))


def highest_supply(reader: Reader) -> float | None:
    """Return the highest voltage (V) that was read at the battery, running or at rest."""
    return max((v for v in (reader.si(f"circuit.{k}_voltage") for k in ("running", "battery")) if v), default=None)


def nominal_of(reader: Reader) -> float | None:
    """Return the nominal voltage of the system, from what was read at the battery."""
    seen = supply_of(reader)
    if seen is None:
        return None
    # a charged battery shows about 1.05 times its nominal voltage, a charging one 1.15
    return min(NOMINALS, key=lambda v: abs(np.log(seen / (1.1 * v))))


def systems_of(volts: float, band: tuple[float, float]) -> tuple[float, ...]:
    """Return the systems that a voltage (V) can be of; ``band`` is its range over the system's own voltage."""
    return tuple(n for n in NOMINALS if at_least(volts, band[0] * n) and at_most(volts, band[1] * n))


def odd_voltages(reader: Reader) -> tuple[tuple[str, float, str], ...]:
    """Return the voltages that no usual system has, as key, volts and what is asked about it."""
    asked = (
        ("circuit.running_voltage", RUNNING, "at the battery's posts, engine at work speed"),
        ("circuit.battery_voltage", REST, "at the battery's posts, engine stopped"),
        ("clutch.plate_voltage", MARKED, "on the clutch's plate"),
        ("circuit.relay_voltage", MARKED, "on the relay"),
    )
    read = ((key, reader.si(key), band, where) for key, band, where in asked)
    return tuple((k, v, where) for k, v, band, where in read if v is not None and not systems_of(v, band))


def made_for(reader: Reader) -> float | None:
    """Return the voltage (V) that the clutch's coil is made for.

    It is the plate's, else the system's where the coil's watts fit it, else the one that they fit best.
    """
    plate, nominal, r20 = (
        reader.si("clutch.plate_voltage"),
        nominal_of(reader),
        reader.si("clutch.coil_resistance"),
    )
    if plate is not None or nominal is None or r20 is None:
        return nominal if plate is None else plate
    match = coil.coil_match.si(r20, system=nominal)
    return nominal if match.fits else match.likely_voltage


def voltage_untold(reader: Reader) -> tuple[tuple[str, ...], str]:
    """Return the key of the voltage that the coil is made for, where only the system's is taken for it, and words."""
    key, volts = "clutch.plate_voltage", made_for(reader)
    if volts is None or reader.si(key) is not None:
        return (), ""
    words = (
        f"The voltage that its coil is made for is not written down: {reader.show(volts, 'voltage')} is an estimate."
    )
    return (key,), words


def burns(volts: float, rated: float) -> bool:
    """Tell whether a coil made for a voltage burns at another one."""
    return not at_most(volts, MOST_OVER * rated)


__all__ = [
    "MOST_OVER",
    "REST",
    "RUNNING",
    "burns",
    "highest_supply",
    "made_for",
    "nominal_of",
    "odd_voltages",
    "supply_of",
    "systems_of",
    "voltage_untold",
]

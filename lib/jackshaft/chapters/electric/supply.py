"""What feeds the clutch circuit: the voltage at the battery, and the system that it is of."""

from __future__ import annotations

import numpy as np

from jackshaft.mechanics import coil
from jackshaft.results.reader import Reader
from jackshaft.units import at_most

NOMINALS = (6.0, 12.0, 24.0, 48.0)
#: Most that a coil may have for long, over the voltage it is made for: common practice, no source.
MOST_OVER = 1.35


def supply_of(reader: Reader, default: float | None = None) -> float | None:
    """Return the voltage at the battery (V): engine running where that was read, else at rest, else ``default``."""
    return reader.si("circuit.running_voltage", reader.si("circuit.battery_voltage", default))


def nominal_of(reader: Reader) -> float | None:
    """Return the nominal voltage of the system, from what was read at the battery."""
    seen = supply_of(reader)
    if seen is None:
        return None
    # a charged battery shows about 1.05 times its nominal voltage, a charging one 1.15
    return min(NOMINALS, key=lambda v: abs(np.log(seen / (1.1 * v))))


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


def burns(volts: float, rated: float) -> bool:
    """Tell whether a coil made for a voltage burns at another one."""
    return not at_most(volts, MOST_OVER * rated)


__all__ = ["MOST_OVER", "burns", "made_for", "nominal_of", "supply_of"]

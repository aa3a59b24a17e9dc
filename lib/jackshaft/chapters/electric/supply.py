"""What feeds the clutch circuit: the voltage at the battery, and the system that it is of."""

from __future__ import annotations

import numpy as np

from jackshaft.results.reader import Reader

NOMINALS = (6.0, 12.0, 24.0, 48.0)


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


__all__ = ["nominal_of", "supply_of"]

"""Units: the one registry, the reader of shop text, the door decorator, and how numbers are shown."""

from ._door import UnitsRequired, door, quantity, to_si
from ._kinds import KINDS, Kind, ureg
from ._reader import Measure, UnitTextError, awg_area, read
from ._show import NearSize, both, fraction, measure, near_inch_metric, show, write

__all__ = [
    "KINDS", "Kind", "Measure", "NearSize", "UnitTextError", "UnitsRequired", "awg_area", "both", "door", "fraction",
    "measure", "near_inch_metric", "quantity", "read", "show", "to_si", "ureg", "write",
]

"""Units: the one registry, the reader of shop text, the door decorator, and how numbers are shown."""

from ._constants import (
    ALPHA20,
    FOOT,
    GRAVITY,
    HORSEPOWER,
    HOUR,
    INCH,
    POUND_FORCE,
    RPM,
    T20,
    THOU,
    ZERO_C,
    copper_resistivity,
)
from ._kinds import KINDS, Kind
from ._lengths import fraction
from ._limits import SAME, at_least, at_most, first_least, first_most
from ._measure import Measure, UnitTextError
from ._range import OutOfRange, above_zero
from ._reader import read
from ._repr import registry, show_in, shown
from ._show import both, show
from ._sizes import NearSize, near_inch_metric
from ._unknown import NotKnown
from ._wire import awg_area
from ._wrapper import UnitsRequired, quantity, to_si, unit_checked
from ._write import measure, write, write_nominal

__all__ = [
    "ALPHA20",
    "FOOT",
    "GRAVITY",
    "HORSEPOWER",
    "HOUR",
    "INCH",
    "KINDS",
    "Kind",
    "POUND_FORCE",
    "RPM",
    "SAME",
    "T20",
    "THOU",
    "ZERO_C",
    "Measure",
    "NotKnown",
    "NearSize",
    "OutOfRange",
    "UnitTextError",
    "UnitsRequired",
    "above_zero",
    "at_least",
    "at_most",
    "awg_area",
    "both",
    "copper_resistivity",
    "unit_checked",
    "first_least",
    "first_most",
    "fraction",
    "measure",
    "near_inch_metric",
    "quantity",
    "read",
    "registry",
    "show",
    "show_in",
    "shown",
    "to_si",
    "write",
    "write_nominal",
]

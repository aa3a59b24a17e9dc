"""One roller chain of the drive as the build has it: its size, teeth and strands."""

from __future__ import annotations

from math import pi
from typing import NamedTuple

from jackshaft.mechanics.roller_chain import sprocket_pitch_diameter
from jackshaft.results.reader import Reader
from jackshaft.tables import Row
from jackshaft.tables.chain_marks import read_chain

KIND = "roller chain"


class ChainStage(NamedTuple):
    """A chain whose pitch and teeth (driver, driven) are known; ``row`` is its size where its number is known."""

    name: str
    pitch: float
    teeth: tuple[int, int]
    strands: int
    row: Row | None

    @property
    def small(self) -> int:
        """Teeth of the smaller sprocket."""
        return min(self.teeth)

    @property
    def large(self) -> int:
        """Teeth of the larger sprocket."""
        return max(self.teeth)

    @property
    def diameters(self) -> tuple[float, float]:
        """Pitch diameters of driver and driven, m."""
        return tuple(float(sprocket_pitch_diameter.si(self.pitch, teeth=n)) for n in self.teeth)

    @property
    def mean_radius(self) -> float:
        """Radius, m, by which the driver moves the chain in the mean; it is a polygon within its pitch circle."""
        return self.teeth[0] * self.pitch / (2.0 * pi)

    @property
    def strength(self) -> float | None:
        """Least breaking strength of all its strands, N; None where its number is not known."""
        return None if self.row is None else self.row["tensile_least_n"] * self.strands


def chain_row(reader: Reader, name: str) -> Row | None:
    """Return the row of a stage's chain, or None where its number is not written down."""
    marked = reader.get(f"stage[{name}].chain")
    return None if marked is None else read_chain(marked).row


def read_chain_stage(reader: Reader, name: str) -> ChainStage | None:
    """Return a stage's chain; None where its pitch or its teeth are not known. A chain has one strand if not said."""
    at, row = f"stage[{name}]", chain_row(reader, name)
    pitch = reader.si(f"{at}.chain_pitch") if row is None else row["pitch_mm"] / 1000.0
    teeth = [reader.get(f"{at}.{end}_teeth") for end in ("driver", "driven")]
    if pitch is None or None in teeth:
        return None
    marked = None if row is None else read_chain(reader.get(f"{at}.chain")).strands
    return ChainStage(name, pitch, tuple(teeth), marked or reader.get(f"{at}.strands") or 1, row)


def lacks_of(reader: Reader, name: str) -> tuple[str, ...]:
    """Return the keys without which a chain is not known."""
    at = f"stage[{name}]"
    size = () if reader.get(f"{at}.chain_pitch") is not None else (f"{at}.chain",)
    return reader.unknown(*size, f"{at}.driver_teeth", f"{at}.driven_teeth")


__all__ = ["KIND", "ChainStage", "chain_row", "lacks_of", "read_chain_stage"]

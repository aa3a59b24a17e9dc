"""What is found of one belt loop's capacity."""

from __future__ import annotations

from typing import NamedTuple

from jackshaft.chapters.capacity.rated import Rated
from jackshaft.chapters.capacity.wear import Life
from jackshaft.results.values import Number


class Service(NamedTuple):
    """Service factor, likely and at its bad end, and how it came about: (what, how much) a part."""

    likely: float
    bad: float
    parts: tuple[tuple[str, Number], ...]


class PulleyCapacity(NamedTuple):
    """One of several pulleys with power: its index, the power that runs over it, W, and what one belt carries there."""

    at: int
    power: float
    rated: Rated

    def share(self, service: float, *, bad: bool) -> float:
        """Return what one belt carries there over what it must."""
        return (self.rated.low if bad else self.rated.power) / (self.power * service)


class StageCapacity(NamedTuple):
    """Capacity of one loop in SI units: powers in W for all belts together.

    ``design`` and ``design_bad`` are the load times the service factor; ``carried`` is None where no rating is known.
    Where the belt drives several shafts, ``each`` holds its pulleys with power, every one by its own power and wrap,
    and the rest is about the one that comes nearest to its limit, ``at``.
    """

    name: str
    power: float
    service: Service
    design: float
    design_bad: float
    rated: Rated | None
    belts: int
    flex: float
    life: Life | None
    carried: float | None = None
    carried_bad: float | None = None
    needed: float | None = None
    needed_bad: float | None = None
    each: tuple[PulleyCapacity, ...] = ()
    at: int | None = None

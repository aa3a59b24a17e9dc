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


class StageCapacity(NamedTuple):
    """Capacity of one loop in SI units: powers in W for all belts together.

    ``design`` and ``design_bad`` are the load times the service factor; ``carried`` is None where no rating is known.
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

"""What the chapter of guards and hazards finds."""

from __future__ import annotations

from typing import NamedTuple

from jackshaft.chapters.guards.hazards import Hazard


class GuardsData(NamedTuple):
    """The hazards of a build, and how long the work turns on (s), None where that is not known."""

    hazards: tuple[Hazard, ...]
    stands_after: float | None

    @property
    def care(self) -> tuple[str, ...]:
        """What to do about them, each thing once."""
        return tuple(dict.fromkeys(h.care for h in self.hazards))

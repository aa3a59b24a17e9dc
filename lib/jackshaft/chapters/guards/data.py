"""What the chapter of guards and hazards finds."""

from __future__ import annotations

from typing import NamedTuple

from jackshaft.chapters.guards.hazards import Hazard
from jackshaft.chapters.guards.loops import Loop, Nip, nips_of
from jackshaft.chapters.guards.outlines import GuardOutline


class GuardsData(NamedTuple):
    """The hazards of a build, how long the work turns on (s), None where that is not known, every loop that draws hands
    in, and the outline of each guard that can be drawn."""

    hazards: tuple[Hazard, ...]
    stands_after: float | None
    loops: tuple[Loop, ...] = ()
    outlines: tuple[GuardOutline, ...] = ()

    @property
    def nips(self) -> tuple[Nip, ...]:
        """Every place where a hand is drawn in, in the order of their numbers."""
        return tuple(nip for loop in self.loops for nip in nips_of(loop))

    @property
    def care(self) -> tuple[str, ...]:
        """What to do about them, each thing once."""
        return tuple(dict.fromkeys(h.care for h in self.hazards))

"""One way to engage, worked out: what the way of comparing, the record and the chain read of it."""

from __future__ import annotations

import math
from typing import NamedTuple

from jackshaft.mechanics import clutch
from jackshaft.mechanics.engagement import Engagement
from jackshaft.mechanics.engagement_history import History
from jackshaft.parts.turning import Turning

CENTRIFUGAL, IDLER, MAGNETIC = "centrifugal", "idler", "electromagnetic"
ENDS = ("bad", "likely", "good")


class Way(NamedTuple):
    """A centrifugal clutch or a belt tightener at the clutch's shaft, SI units.

    ``torque`` is what it holds at work (N·m), None where not known; ``slips`` the run-up at the bad, likely and good
    end, empty where not known, with ``pulls`` the torque (N·m) that then goes through it, ``speed`` (rad/s) the speed
    of its driving side and ``turning`` what is brought up. ``top`` is the most that it holds at the engine's highest
    speed. ``lacks`` names the keys without which the run-up is not known, ``stage`` the belts of a tightener,
    ``course`` the likely run-up step by step.
    """

    kind: str
    torque: clutch.Band | None = None
    top: clutch.Band | None = None
    slips: dict[str, Engagement] = {}
    pulls: clutch.Band | None = None
    speed: float | None = None
    turning: Turning | None = None
    lacks: tuple[str, ...] = ()
    stage: str | None = None
    course: History | None = None

    @property
    def heat(self) -> float | None:
        """Slip heat (J) of one run-up, infinite where it never locks, None where it is not known."""
        if not self.slips:
            return None
        likely = self.slips["likely"]
        return float(likely.heat) if likely.locks else math.inf


__all__ = ["CENTRIFUGAL", "ENDS", "IDLER", "MAGNETIC", "Way"]

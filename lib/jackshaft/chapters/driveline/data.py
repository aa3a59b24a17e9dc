"""What the chapter of the telescoping shaft finds, in SI units."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft.parts.telescoping import Attitude, Places, Travel


class DrivelineData(NamedTuple):
    """The telescoping shaft: ``collapsed`` joint to joint pushed together and the usable ``tube`` (m), the speed of the
    driving shaft (rad/s), and ``phase`` of the yokes (rad); each None where not known. ``collapsed_off`` and
    ``tube_off`` are their allowances, ``top`` is the highest speed that the engine may run the driving shaft up to."""

    attitudes: tuple[Attitude, ...]
    travel: Travel | None
    collapsed: float | None
    tube: float | None
    speed: float | None
    phase: float | None
    torque: float | None
    collapsed_off: float = 0.0
    tube_off: float = 0.0
    top: float | None = None

    @property
    def off(self) -> float:
        """How far the distance of the joints may be off, m: the most of all attitudes."""
        return max((a.off for a in self.attitudes), default=0.0)

    def ends(self, *, turning: bool = False) -> tuple[float, float, str, str] | None:
        """Return the least and the greatest distance of the joints and where each is; None where none is known.

        ``turning`` counts only where the shaft turns.
        """
        if self.travel is not None:
            way = self.travel
            kept = way.turns if turning else np.ones_like(way.turns)
            if not kept.any():
                return None
            far = np.where(kept, way.stance.distance, np.nan)
            low, high = int(np.nanargmin(far)), int(np.nanargmax(far))
            return float(far[low]), float(far[high]), self.places.place(low), self.places.place(high)
        known = [(a.distance, a.name) for a in self.attitudes if a.distance is not None and (a.turns or not turning)]
        if not known:
            return None
        (low, here), (high, there) = min(known), max(known)
        return low, high, here, there

    @property
    def places(self) -> Places:
        """Where the attachment may stand."""
        return Places(self.attitudes, self.travel)

    def overlap(self, distance: float) -> float | None:
        """Return how far the tubes still hold each other where the joints are so far apart, m."""
        if self.collapsed is None or self.tube is None:
            return None
        return self.tube - (distance - self.collapsed)

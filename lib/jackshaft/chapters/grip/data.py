"""What is found of one belt loop's tensions."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jackshaft.chapters.grip import tension, uncertainty
from jackshaft.chapters.grip.cases import Case, LoadedLoop


@dataclass(frozen=True, eq=False, kw_only=True)
class StageGrip(LoadedLoop):
    """A loaded loop with its tensions and loads in SI units; pulleys on the last axis.

    ``margin`` and ``margin_bad`` are multiples of the working load at which the loop slips; ``needed``
    what the hold must give at work; ``hub`` (n, 2) the force of the belt on each shaft at work,
    ``hub_rest`` at rest, ``hub_peak`` at the peak load. ``cases`` are start, work, peak and overrun;
    ``shares`` the draws (None with no tension known), ``set`` how the tension is set and read.
    """

    needed: float
    needed_bad: float
    margin: float | None
    margin_bad: float | None
    limiting: int
    net: np.ndarray | None
    hub: np.ndarray | None
    hub_rest: np.ndarray | None
    hub_peak: np.ndarray | None
    strand_role: np.ndarray
    tight_idlers: tuple[str, ...]
    peak_factor: float | None
    cases: tuple[Case, ...]
    rest: float | None
    shares: uncertainty.Shares | None
    set: tension.StageTension

    def case(self, name: str) -> Case | None:
        """Return a load case by name, or None where the build does not say how hard it is."""
        return next((c for c in self.cases if c.name == name), None)

"""What is found of one belt loop's tensions."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jackshaft.chapters.grip import more_cases, tension, uncertainty
from jackshaft.chapters.grip.cases import Case, LoadedLoop
from jackshaft.chapters.grip.held_still import Standing


@dataclass(frozen=True, eq=False, kw_only=True)
class StageGrip(LoadedLoop):
    """A loaded loop with its tensions and loads in SI units; pulleys on the last axis.

    ``margin``, ``margin_bad`` and ``margin_high`` are multiples of the working load at which the loop slips; ``needed``
    what the hold must give at work; ``hub`` (n, 2) the force of the belt on each shaft at work,
    ``hub_rest`` at rest, ``hub_peak`` at the peak load. ``cases`` are start, work, peak, overrun, full, slipping
    clutch and jam, as far as the build tells of them; where the belt drives several shafts, one with each held still
    instead of the jam, which ``standing`` tells more of;
    ``shares`` the draws (None with no tension known), ``set`` how the tension is set and read.
    """

    needed: float
    needed_bad: float
    margin: float | None
    margin_bad: float | None
    margin_high: float | None
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
    standing: tuple[Standing, ...] = ()

    @property
    def held_tight(self) -> bool:
        """Whether the spring or weight stands in the strand that is tight at work, and so says what that one is."""
        return self.sprung and self.strand_role[self.layout.idler] >= 0 and self.pull > 0.0

    @property
    def held(self) -> str:
        """The strand that a spring or weight holds, in words."""
        return self.layout.strand(self.layout.idler) if self.sprung else ""

    def in_slack(self, tension: float, case: Case) -> float:
        """Return what a spring in the slack strand would hold instead of one in the strand that it stands in, N."""
        rise = np.cumsum(case.pulls)
        return tension - float(np.abs(rise[self.layout.idler] - np.min(rise)))

    def hub_at(self, share: float) -> np.ndarray:
        """Return the force of the belt on each shaft, N, shape (n, 2), at a share of the working load.

        Below 0 the work drives back; where the belt slips it is the force at which it slips.
        """
        return more_cases.hub_at(self, share)

    def case(self, name: str) -> Case | None:
        """Return a load case by name, or None where the build does not say how hard it is."""
        return next((c for c in self.cases if c.name == name), None)

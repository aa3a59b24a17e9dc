"""What the chapter found, as plain records in SI units."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft.chapters.bearings.data import ShaftReactions
from jackshaft.mechanics import shaft_strength, shafts, splines, whirl
from jackshaft.parts.seldom import Largest, comes_seldom, largest
from jackshaft.parts.shaft_cases import BRAKE, JAM
from jackshaft.results.checks import Fact
from jackshaft.units import first_least

KEY_YIELD = 390e6  # Pa; AISI 1020 cold-drawn, usual key stock, table materials


class Steel(NamedTuple):
    """Strengths and stiffness of a shaft, Pa and kg/m3, and where they are from."""

    yield_stress: float
    tensile: float
    elastic: float
    shear: float
    density: float
    words: str


class Place(NamedTuple):
    """A place that something weakens, its feature in words of the build, and what is left of the diameter, m."""

    name: str
    at: float
    feature: str
    left: float | None = None


class CaseSafety(NamedTuple):
    """One load case at one place: bending moment and torque, N·m, how they swing, and the safeties.

    In overrun the torque is taken to swing from that at work to that of overrun and back.
    """

    case: str
    moment: float
    torque: float
    duty: shaft_strength.Duty
    fatigue: float
    yielding: float


class SectionState(NamedTuple):
    """One place that something weakens: bending and torque there at work, N·m, and its safety against fatigue.

    ``cases`` are the peak, start, overrun and what else the belts have, as far as they are known; ``ripple`` is the
    swing of the torque over its mean; ``diameter`` is what counts of the shaft there, ``shaft`` what it measures, m.
    """

    name: str
    at: float
    feature: str
    moment: float
    torque: float
    diameter: float
    fatigue: float
    finish: str
    ripple: float
    shaft: float
    bore: float
    cases: tuple[CaseSafety, ...]

    @property
    def peak(self) -> CaseSafety:
        """The peak load."""
        return next(c for c in self.cases if c.case == "peak")

    @property
    def hardest(self) -> CaseSafety:
        """The case beside work that leaves the least safety against fatigue, of those that come often."""
        return self.often[first_least([c.fatigue for c in self.often])]

    @property
    def yields_first(self) -> CaseSafety:
        """The case beside work that leaves the least safety against yielding, of those that come often."""
        return self.often[first_least([c.yielding for c in self.often])]

    @property
    def often(self) -> tuple[CaseSafety, ...]:
        """The cases beside work that come often."""
        return tuple(c for c in self.cases if not comes_seldom(c.case))

    @property
    def seldom(self) -> tuple[CaseSafety, ...]:
        """The cases that last a moment and come seldom."""
        return tuple(c for c in self.cases if comes_seldom(c.case))


class ShaftState(NamedTuple):
    """One shaft worked out: its beam at work, its weakest section first."""

    name: str
    steel: Steel
    steps: tuple[shafts.Step, ...]
    work: shafts.Beam
    sections: tuple[SectionState, ...]
    whirl: whirl.Whirl
    reactions: ShaftReactions
    torque_known: bool

    @property
    def in_jam(self) -> float:
        """The least safety against yielding with the work jammed, as far as that is known."""
        return min((c.yielding for s in self.sections for c in s.seldom if c.case == JAM), default=1.0)


class Sound(NamedTuple):
    """The joint before it was mended: sizes in m, torque in N·m; ``root`` is what a spline leaves of the diameter.

    ``moment`` is the most bending there in a case that comes often, N·m, None where it is not known.
    """

    kind: str
    shaft: float
    carries: float
    length: float
    width: float = 0.0
    height: float = 0.0
    root: float | None = None
    pin: float | None = None
    key_yield: float = KEY_YIELD
    moment: float | None = None


class SplineState(NamedTuple):
    """A spline worked out: pressure on its flanks for each N·m, what is allowed, Pa, and what gives, N·m."""

    profile: splines.Profile
    length: float
    wear: float
    share: float
    fit: str
    pressure: float
    allowed: splines.Pressure
    root: float
    teeth: float


class Capacity(NamedTuple):
    """What one joint carries, N·m, at yield or at slip; its sound state where it can be mended, its spline.

    ``shaft`` is the torque, N·m, that the shaft itself carries at yield under a mended joint, None where it
    is not mended or its steel is not known. ``once`` is what the joint carries for a moment, None where that is no
    more than it carries always. ``least`` is what it carries by the source that trusts it least, None where all agree.
    """

    carries: float
    way: str
    words: str
    source: str
    sound: Sound | None = None
    spline: SplineState | None = None
    shaft: float | None = None
    once: float | None = None
    least: float | None = None

    @property
    def bad(self) -> float:
        """What it carries at its low end, N·m."""
        return self.carries if self.least is None else self.least

    def share(self, torque: float) -> float:
        """What joint and shaft carry for a moment over a torque, N·m."""
        carries = self.bad if self.once is None else self.once
        return min(carries, np.inf if self.shaft is None else self.shaft) / torque


class Torques(NamedTuple):
    """Torque of one shaft at work, at the peak, at the start and in overrun, N·m; None where not known.

    ``others`` are the further cases that the belts have: name and torque.
    """

    work: float | None
    peak: float | None
    start: float | None
    overrun: float | None
    overrun_said: bool
    others: tuple[tuple[str, float], ...] = ()

    @property
    def hardest(self) -> tuple[str, float | None]:
        """The case with the largest torque of those that come often, the peak where they are level."""
        found = self._largest
        return ("peak", None) if found is None else found.often

    @property
    def seldom(self) -> tuple[str, float] | None:
        """The same of the cases that come seldom; None where there is none."""
        found = self._largest
        return None if found is None else found.seldom

    @property
    def _largest(self) -> Largest | None:
        usual = {"peak": self.peak, "start": self.start, "overrun": self.overrun, "work": self.work}
        known = {n: t for n, t in (*usual.items(), *self.others) if t}
        return largest(known) if any(usual.values()) else None

    @property
    def turns_round(self) -> bool:
        """Whether the build says that the work drives back, or a brake stops it."""
        return self.back is not None

    @property
    def back(self) -> tuple[str, float] | None:
        """The case with the largest torque the other way round that the build speaks of; None where it has none."""
        said = {"overrun": self.overrun if self.overrun_said else None, BRAKE: dict(self.others).get(BRAKE)}
        return max(((n, t) for n, t in said.items() if t), key=lambda nt: nt[1], default=None)


class Joint(NamedTuple):
    """One joint: what it carries, and the torque that it must carry in each case.

    ``part`` is what stands for it in the ids of its checks.
    """

    name: str
    part: str
    shaft: str
    kind: str
    torques: Torques
    capacity: Capacity

    @property
    def carries(self) -> float:
        """The torque it carries, N·m, at yield or at slip."""
        return self.capacity.carries


class ShaftsData(NamedTuple):
    """What the chapter found: each shaft worked out, by name, every joint, and the facts of each shaft."""

    shafts: dict[str, ShaftState]
    joints: tuple[Joint, ...]
    facts: dict[str, tuple[Fact, ...]]

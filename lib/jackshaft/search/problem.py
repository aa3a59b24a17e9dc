"""What is searched: one belt stage of a build, with what may vary and what is required, in SI units."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from jackshaft.buildfile import Build
from jackshaft.chapters.grip.cases import LOCKED, SLIDE, SPRING, SPRUNG
from jackshaft.chapters.layout.data import Body
from jackshaft.chapters.layout.take_up import CENTRES
from jackshaft.mechanics import belts as belt_lengths
from jackshaft.parts.belt_stage import belts_of, lines_of, section_row
from jackshaft.results import Reader, Results, work_up
from jackshaft.results.chapter import Detail, Scope


class NothingCanWork(ValueError):
    """The search was not begun, or found nothing; the words say which requirement is in the way."""


class Pulley(NamedTuple):
    """A pulley of the build: its name, place, size as it is written, and which line that is; NaN without a place."""

    name: str
    x: float
    y: float
    size: float | None
    measured_as: str
    inside: bool
    flat: bool


class Sizes(NamedTuple):
    """Sizes that are tried in one place: as written, cord-line radius and rim radius; m, shape (k,)."""

    size: np.ndarray
    r: np.ndarray
    rim: np.ndarray

    def at(self, which: np.ndarray) -> Sizes:
        """Some of them."""
        return Sizes(*(part[which] for part in self))


@dataclass(frozen=True)
class Problem:
    """One stage as the search takes it; SI units throughout.

    ``tension`` is the slack strand's for a sprung idler, else that of each strand of one belt at rest,
    ``scatters`` the shares by which it may be off, with an idler and on two pulleys;
    ``speed`` is the driver's at work, ``full_speed`` that at full throttle, ``top_speed`` the highest, rad/s;
    ``rim_speed`` is what belt and rims stand; ``start`` and ``peak`` are times the work's load;
    ``life`` is wanted, s, by the ``fatigue`` constants of the section; one belt ``breaks`` at about that pull, N;
    ``least_idlers`` are the radii under which a belt cracks inside and on the back, m;
    ``window`` the speeds required of the driven shaft, rad/s (None where none is known); ``turns`` +1 where
    the driven shaft shall turn as the driver, -1 against it, 0 either; ``grips`` friction likely and at the
    bad end for groove and flat; ``length_factors`` of the ratings, one for each stock length; ``toward`` the
    direction of the centres where the build gives their distance alone.
    """

    build: Build
    stage: str
    driver: Pulley
    driven: Pulley
    kept: tuple[Pulley, ...]
    after: tuple[int, ...]
    names: tuple[str, ...]
    idlers_most: int
    takeup: str
    pivot: tuple[float, float] | None
    toward: float | None
    travel: tuple[float, float]
    bodies: tuple[Body, ...]
    zone: tuple[float, float, float, float]
    zone_known: bool
    belt: belt_lengths.Section
    stock: belt_lengths.Stock
    own_belt: str
    driver_sizes: np.ndarray
    driven_sizes: np.ndarray
    idler_sizes: np.ndarray
    on_hand: tuple[tuple[float, int], ...]
    belts_most: int
    turns: int
    ccw: bool
    speed: float
    full_speed: float
    top_speed: float
    rim_speed: float
    creep: float
    power: float
    window: tuple[float, float] | None
    tension: float
    scatters: tuple[float, float]
    start: float
    peak: float
    life: float | None
    fatigue: tuple
    breaks: float
    least_idlers: tuple[float, float]
    grips: tuple[tuple[float, float], tuple[float, float]]
    length_factors: np.ndarray
    margin_least: float
    clearance_least: float
    notes: tuple[str, ...] = ()

    @property
    def at(self) -> str:
        """The stage's key."""
        return f"stage[{self.stage}]"

    def way(self, two: bool) -> str:
        """Return how the belt is kept tight: with idlers by a spring or locked, on two pulleys by a slide or locked."""
        if two:
            return SLIDE if self.takeup == "sliding motor" else LOCKED
        return SPRING if self.takeup in SPRUNG else LOCKED

    @cached_property
    def as_it_is(self) -> Results:
        """What every page says of the build as it is."""
        return judged(self.build)

    @cached_property
    def own(self) -> np.ndarray:
        """Which belts of the stock are the one that is on or bought."""
        return np.array([same_belt(d, self.own_belt) for d in self.stock.designation])

    @cached_property
    def have(self) -> int:
        """How many belts there are, or how many ribs the one has."""
        return belts_of(Reader(self.build), self.at)

    @property
    def ribbed(self) -> bool:
        """Whether belts are counted by their ribs, so that one is bought whole."""
        return self.belt.family == "V-ribbed"

    @property
    def bends_both_ways(self) -> bool:
        """Whether the belt is made to bend backwards too."""
        return self.ribbed or self.belt.family == "double-V"

    def pulley_at(self, slot: str) -> Pulley | None:
        """Return the build's pulley of a place of the loop ("driver", "driven", "kept K"); None for a placed idler."""
        kind, _, k = slot.partition(" ")
        return {"driver": self.driver, "driven": self.driven}.get(kind) or (
            self.kept[int(k)] if kind == "kept" else None
        )

    def on_lines(self, sizes: np.ndarray, measured_as: str, *, flat: bool, inside: bool) -> Sizes:
        """Return sizes with their cord-line and rim radii."""
        row = section_row(Reader(self.build), self.at)
        both = [lines_of(float(s), measured_as, row, flat=flat, inside=inside) for s in sizes]
        pitch, outside = np.array(both).reshape(-1, 2).T / 2
        return Sizes(np.asarray(sizes, dtype=float), pitch, outside)


def judged(build: Build, before: Results | None = None) -> Results:
    """Return what every page says of a build, judged at the ends of each band too, as the pages do.

    Parameters
    ----------
    build : Build
        The build.
    before : Results, optional
        The same of another state of it.
    """
    return work_up(build, before=before, scope=Scope(Detail.NO_TABLES), at_ends=True)


def tension_field(takeup: str | None) -> str:
    """Return the field of a stage that says how tight its belt is, by the kind of its take-up."""
    return "takeup.slack_tension" if takeup in SPRUNG else "takeup.static_tension"


def same_belt(one: str, other: str) -> bool:
    """Tell whether two markings are one belt, however their parts are spaced."""
    return one.replace(" ", "") == other.replace(" ", "")


__all__ = ["CENTRES", "NothingCanWork", "Problem", "Pulley", "Sizes", "judged", "same_belt", "tension_field"]

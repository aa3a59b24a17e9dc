"""What holds the belt, what it grips with, and its load cases: start, work, peak and overrun."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from jackshaft.chapters.grip.friction import Condition, Friction, friction_of
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.chapters.ratio.data import RatioData, ShaftState
from jackshaft.mechanics import grip as mech
from jackshaft.parts.belt_stage import belts_of, belts_said
from jackshaft.parts.tightener import Tensions, tensions_of
from jackshaft.parts.works import factor_of, power_more
from jackshaft.results.bands import guess_of
from jackshaft.results.reader import Reader, Unknown
from jackshaft.units import Measure

SPRUNG = ("sprung idler", "weighted idler")

#: How the belt is kept tight: a spring or weight on an idler, a motor that slides under a spring or its weight, or
#: centres that are set once and locked.
SPRING, SLIDE, LOCKED = "spring", "slide", "locked"
CASES = ("start", "work", "peak", "overrun")

#: A sprung idler with a stop behind its arm, while the work drives back: as locked, at what the spring holds.
STOPPED = "stopped"

#: A tension set by hand may be so far off, and falls while the belt runs in: common practice, no source.
BY_HAND = 0.25


class Case(NamedTuple):
    """One load case of a loop in SI units; pulleys on the last axis.

    ``factor`` is the load over the working load (None in overrun where nobody said how hard the work
    drives back; the pulls are then those of the working load). ``margin``, ``margin_bad`` and ``margin_high``,
    shape (n,), are multiples of *this* load at which each pulley slips, None with no tension known: what must hold
    goes by the bad end, what must give by the high one. ``net`` and ``hub`` are those of the load, or where the belt
    slips those at which it slips. ``needed`` and ``needed_bad`` are what must be set, ``tight`` and ``slack`` the
    strands, without their centrifugal part, when just that is set.
    """

    name: str
    factor: float | None
    pulls: np.ndarray
    centrifugal: float
    margin: np.ndarray | None
    margin_bad: np.ndarray | None
    net: np.ndarray | None
    hub: np.ndarray | None
    needed: float
    needed_bad: float
    tight: float
    slack: float
    margin_high: np.ndarray | None = None

    @property
    def least(self) -> float:
        """The margin of the pulley that slips first."""
        return float(np.min(self.margin))

    @property
    def least_bad(self) -> float:
        """The same at the bad end of friction and of the tension."""
        return float(np.min(self.margin_bad))

    @property
    def least_high(self) -> float:
        """The same at the high end of both: what must give first is judged there."""
        return float(np.min(self.margin_high))

    @property
    def slips(self) -> bool:
        """Whether the belt slips under this load, as far as is likely."""
        return self.margin is not None and self.least < 1.0


class Load(NamedTuple):
    """A load to solve: its share of the working load (None: not known), pulls in N, shape (n,), centrifugal in N.

    ``high`` takes friction and tension at their high end, for what the belt may do at the most. ``of_work``: it comes
    from the work, so at the bad end it is more by as much as the work may take.
    """

    factor: float | None
    pulls: np.ndarray
    centrifugal: float
    high: bool = False
    of_work: bool = True


def way_of(reader: Reader, layout: StageLayout) -> str:
    """Return how the belt of a loop is kept tight."""
    kind = reader.get(f"stage[{layout.name}].takeup.kind")
    if kind in SPRUNG and layout.idler is not None:
        return SPRING
    return SLIDE if kind == "sliding motor" else LOCKED


def tension_key(layout: StageLayout, way: str) -> str:
    """Return the key of the build that says how tight the belt is."""
    return f"stage[{layout.name}].takeup." + ("slack_tension" if way == SPRING else "static_tension")


def tension_missing(reader: Reader, layout: StageLayout, way: str) -> tuple[str, ...]:
    """Return what must be written down for the tension: how the belt is held first, where that is not known."""
    at, slack = f"stage[{layout.name}].takeup", f"stage[{layout.name}].takeup.slack_tension"
    holds = reader.unknown(f"{at}.kind")
    if reader.get(f"{at}.kind") in SPRUNG and len(layout.pulleys.names) > 2:
        holds = reader.unknown(f"{at}.idler")
    known = holds and reader.get(slack) is not None
    return holds if known else (*holds, tension_key(layout, way))


@dataclass(frozen=True, eq=False)
class LoadedLoop:
    """One loop with what turns it and what keeps it tight, in SI units; pulleys on the last axis.

    ``pulls`` are those at work, ``centrifugal`` is m v² of all belts at working speed, ``hold`` the tension of all
    belts together, N: of the held strand, or of each strand at rest (None where not known). ``scatter`` is the share
    by which it may be off, ``by_hand`` whether a hand sets it; ``overrun_way`` how the belt is kept while the work
    drives back. Where the hand of a tightener gives another tension than is written down (``tensions``), ``hold`` is
    the lower of the two; ``more`` the share by which the work may take more power.
    """

    layout: StageLayout
    belts: int
    way: str
    friction: Friction
    pulls: np.ndarray
    centrifugal: float
    hold: float | None
    scatter: float = 0.0
    by_hand: bool = False
    overrun_way: str = ""
    tensions: Tensions = Tensions(None, None)
    more: float = 0.0

    @property
    def loading(self) -> float:
        """The tension that loads belt, shafts and bearings: ``hold``, or the higher one that a hand gives, N."""
        return max(self.hold, self.tensions.most or 0.0)

    @property
    def ends(self) -> np.ndarray:
        """The tension at its likely, its bad and its high end, N, shape (3,)."""
        return np.array([self.hold, (1.0 - self.scatter) * self.hold, (1.0 + self.scatter) * self.loading])

    @property
    def name(self) -> str:
        """Name of the stage."""
        return self.layout.name

    @property
    def sprung(self) -> bool:
        """Whether a spring or weight on an idler keeps one strand at its tension."""
        return self.way == SPRING

    @property
    def pull(self) -> float:
        """Tight strand less slack strand, all belts together, N."""
        return float(np.max(np.abs(self.pulls)))

    @property
    def per(self) -> int:
        """By how many a tension of all belts together is divided to get the one that the builder sets."""
        return 1 if self.sprung else self.belts

    def hold_at(self, tension: float, centrifugal) -> mech.Hold:
        """Return the hold for a tension of all belts together: of the held strand, or of each strand at rest."""
        p, path = self.layout.pulleys, self.layout.path
        if self.sprung:
            return mech.held_strand_si(len(p.names), self.layout.idler, tension)
        if self.way == STOPPED:
            return mech.fixed_centres_si(path.span, path.wrap, p.pitch, tension)
        if self.way == SLIDE:
            weights = slide_weights(self.layout)
            # Counted as a tension: the force along the slide over what one newton in every strand makes of it.
            return mech.Hold(weights / np.sum(weights), tension, tension)
        return mech.fixed_centres_si(path.span, path.wrap, p.pitch, tension, centrifugal)


def driving_shaft(reader: Reader, layout: StageLayout, ratio: RatioData | None) -> ShaftState:
    """Return the shaft that drives a loop, with what this loop takes from it.

    Raises
    ------
    Unknown
        Where its power or speed is not known.
    """
    shaft = ratio.through(layout.name) if ratio else None
    if shaft is None or shaft.power is None or not layout.speed:
        engine = None if layout.speed else "engine.work_speed"
        reader.require("work.power", "work.power_at", *((engine,) if engine else ()))
        # all of that is known, so no stage leads from the engine to this loop, or to where the power is stated, or what
        # the loop drives is not the work
        missing = ("stage",) if ratio is None else ratio.stage_lacks(layout.name) or ratio.between
        reader.note_missing(*missing)
        raise Unknown(*missing)
    return shaft


def loaded_loop(reader: Reader, layout: StageLayout, ratio: RatioData | None) -> LoadedLoop:
    """Return a loop with its load and its hold.

    Raises
    ------
    Unknown
        Where its power or speed is not known, or its tension is set belt by belt and nobody says how many there are.
    """
    p, way, belts = layout.pulleys, way_of(reader, layout), belts_of(reader, f"stage[{layout.name}]")
    power = np.zeros(len(p.names))
    power[list(p.works)] = driving_shaft(reader, layout, ratio).power * np.array(p.shares)[list(p.works)]
    key = tension_key(layout, way)
    hold = reader.si(key)
    if hold is None:
        reader.note_missing(key)
    elif way != SPRING:
        hold *= belts_said(reader, f"stage[{layout.name}]")
    tensions = tensions_of(reader, layout, ratio, hold)
    return LoadedLoop(
        layout=layout,
        belts=belts,
        way=way,
        friction=friction_of(reader, layout),
        pulls=mech.pulls_si(power, layout.speed, p.driver),
        centrifugal=(layout.belt.mass if layout.belt else 0.0) * belts * layout.speed**2,
        hold=tensions.least,
        tensions=tensions,
        scatter=scatter_of(reader, layout, way),
        by_hand=way == LOCKED,
        more=power_more(reader),
        overrun_way=STOPPED if way == SPRING and reader.get(f"stage[{layout.name}].takeup.arm_stop") is True else way,
    )


def _hard(loop: LoadedLoop, factors: np.ndarray | None) -> tuple[float | None, np.ndarray]:
    """Return a load over the working load of the whole loop, by that of each pulley, and the pulls at it, N."""
    p = loop.layout.pulleys
    if factors is None:
        return None, loop.pulls
    mine = factors[list(p.works)]
    if np.all(mine == mine[0]):
        return float(mine[0]), mine[0] * loop.pulls
    pulls = factors * loop.pulls
    pulls[p.driver] = 0.0
    pulls[p.driver] = -np.sum(pulls)
    return float(pulls[p.driver] / loop.pulls[p.driver]), pulls


def scatter_of(reader: Reader, layout: StageLayout, way: str) -> float:
    """Return the share by which a tension may be off: the build's own allowance, else what a hand sets it to.

    A spring or a weight keeps what it is made for, so only the build's own allowance counts.
    """
    key = tension_key(layout, way)
    value = reader.get(key)
    usual = BY_HAND if way == LOCKED else 0.0
    if isinstance(value, Measure) and value.plus_minus is not None and value.si:
        # a guess is no better known than what a hand sets
        return max(min(value.plus_minus / value.si, 1.0), usual if guess_of(reader.said(key)) else 0.0)
    return usual


def slide_weights(layout: StageLayout) -> np.ndarray:
    """Return what each strand at one newton pulls along the slide: the line of centres, away from the driven pulley."""
    p, at = layout.pulleys, layout.places
    away = float(at.x[p.driver] - at.x[p.driven]), float(at.y[p.driver] - at.y[p.driven])
    return mech.sliding_base_si(layout.path.ux, layout.path.uy, p.driver, *away, force=1.0).weights


def slide_force(layout: StageLayout, tension: float) -> float:
    """Return the force along the slide that holds every strand at a tension at rest, N."""
    return abs(float(np.sum(slide_weights(layout)))) * tension


def hubs_of(net: np.ndarray, layout: StageLayout) -> np.ndarray:
    """Return the force of the belt on each shaft, N, shape (n, 2)."""
    hub = mech.hub_si(net, layout.path.ux, layout.path.uy)
    return np.stack([hub.x, hub.y], axis=-1)


def solve_cases(loop: LoadedLoop, loads: dict[str, Load]) -> tuple[Case, ...]:
    """Solve load cases in one call, at the likely, the bad and the high end of friction and of the tension."""
    layout, friction, known = loop.layout, loop.friction, loop.hold is not None
    turning = np.array([load.centrifugal for load in loads.values()])
    pulls = np.stack([load.pulls for load in loads.values()])
    # last the tension that loads belt and shafts, where a hand gives more than what must hold is judged at
    ends = [*loop.ends, *([loop.loading] if loop.loading > loop.hold else [])] if known else [loop.centrifugal] * 3
    hold = loop.hold_at(np.array(ends)[:, None], turning)
    k = np.stack([friction.likely, friction.bad, friction.high, friction.likely][: len(ends)])[:, None, :]
    # at the bad end of the load only: what may not grip is judged there, what comes at the most has cases of its own
    by = np.ones((len(ends), len(loads), 1))
    by[1, :, 0] += [loop.more * load.of_work for load in loads.values()]
    found = mech.grip_si(pulls * by, layout.path.wrap, k, hold, turning)
    total = np.broadcast_to(hold.total, found.least.shape)
    # What the hold gains or loses, every strand gains or loses.
    just = found.net[0] + ((found.needed[0] - total[0]) / np.sum(hold.weights))[:, None]
    needed = found.needed + (turning if loop.way == LOCKED else 0.0)
    with np.errstate(divide="ignore"):
        needed_bad = needed[1] / np.float64(1.0 - loop.scatter)
    end = np.array([2 if load.high else 3 % len(ends) for load in loads.values()])
    net = mech.carried_si(found)[end, np.arange(len(loads))]
    return tuple(
        Case(
            name=name,
            factor=load.factor,
            pulls=pulls[c],
            centrifugal=float(turning[c]),
            margin=found.margin[0, c] if known else None,
            margin_bad=found.margin[1, c] if known else None,
            margin_high=found.margin[2, c] if known else None,
            net=net[c] if known else None,
            hub=hubs_of(net[c], layout) if known else None,
            needed=float(needed[0, c]),
            needed_bad=float(needed_bad[c]),
            tight=float(np.max(just[c])),
            slack=float(np.min(just[c])),
        )
        for c, (name, load) in enumerate(loads.items())
    )


def factors_at(reader: Reader, loop: LoadedLoop, ratio: RatioData | None, case: str) -> np.ndarray | None:
    """Return the start or the peak load over the working load of each pulley, shape (n,); None where one is unknown."""
    p, factors = loop.layout.pulleys, np.ones(len(loop.pulls))
    for i in p.works:
        factor = factor_of(reader, ratio, p.shafts[i], case)
        if factor is None:
            return None
        factors[i] = factor
    return factors


def load_cases(reader: Reader, loop: LoadedLoop, ratio: RatioData | None) -> tuple[Case, ...]:
    """Solve start, work, peak and overrun; start and peak only where the build says how hard they are.

    At the start the belt hardly moves, so there nothing is centrifugal. Where the build says that the work never
    drives back there is no overrun.
    """
    overrun = reader.si("work.overrun_factor")
    (start, first), (peak, hardest) = (_hard(loop, factors_at(reader, loop, ratio, case)) for case in ("start", "peak"))
    stacked = mech.load_cases_si(loop.pulls, start=start or 1.0, peak=peak or 1.0, overrun=overrun or 1.0)
    stacked[CASES.index("start")], stacked[CASES.index("peak")] = first if start else loop.pulls, hardest
    factors = {"start": start, "work": 1.0, "peak": peak, "overrun": overrun}
    loads = {
        name: Load(factors[name], pulls, 0.0 if name == "start" else loop.centrifugal)
        for name, pulls in zip(CASES, stacked, strict=True)
        if factors[name] or (name == "overrun" and overrun is None)
    }
    back = loads.pop("overrun", None)
    cases = solve_cases(loop, loads)
    if back is None:
        return cases
    return cases + solve_cases(replace(loop, way=loop.overrun_way), {"overrun": back})


__all__ = [
    "BY_HAND",
    "CASES",
    "LOCKED",
    "SLIDE",
    "SPRING",
    "SPRUNG",
    "STOPPED",
    "Case",
    "Condition",
    "Friction",
    "Load",
    "LoadedLoop",
    "driving_shaft",
    "friction_of",
    "hubs_of",
    "load_cases",
    "loaded_loop",
    "scatter_of",
    "slide_force",
    "solve_cases",
    "tension_key",
    "tension_missing",
    "way_of",
]

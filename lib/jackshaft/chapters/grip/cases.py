"""What holds the belt, what it grips with, and its load cases: start, work, peak and overrun."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.chapters.ratio.data import RatioData, ShaftState
from jackshaft.mechanics import grip as mech
from jackshaft.results.reader import Reader, Unknown

SPRUNG = ("sprung idler", "weighted idler")

#: How the belt is kept tight: a spring or weight on an idler, a motor that slides under a spring or its weight, or
#: centres that are set once and locked.
SPRING, SLIDE, LOCKED = "spring", "slide", "locked"
CASES = ("start", "work", "peak", "overrun")


class Condition(NamedTuple):
    """One row of friction: where, in what state, coefficient at its low, likely and high end, and its source."""

    surface: str
    state: str
    low: float
    likely: float
    high: float
    source: str
    known: str


class Friction(NamedTuple):
    """Grip coefficients of the pulleys of a loop, shape (n,): likely, at the bad and the good end, and where from.

    ``conditions`` holds, for each pulley, the states it may be in.
    """

    likely: np.ndarray
    bad: np.ndarray
    words: str
    cite: str
    good: np.ndarray
    conditions: tuple[tuple[Condition, ...], ...]


class Case(NamedTuple):
    """One load case of a loop in SI units; pulleys on the last axis.

    ``factor`` is the load over the working load (None in overrun where nobody said how hard the work
    drives back; the pulls are then those of the working load). ``margin`` and ``margin_bad``, shape (n,),
    are multiples of *this* load at which each pulley slips, None with no tension known. ``needed`` and
    ``needed_bad`` are what the hold must give, ``tight`` and ``slack`` the strands, without their
    centrifugal part, when it gives just that.
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

    @property
    def least(self) -> float:
        """The margin of the pulley that slips first."""
        return float(np.min(self.margin))

    @property
    def least_bad(self) -> float:
        """The same at the bad end of friction."""
        return float(np.min(self.margin_bad))


def friction_of(reader: Reader, layout: StageLayout) -> Friction:
    """Return the grip coefficients of a loop: the wedge counted in grooves, plain on flats.

    The build's own figures come before the tables'. Outdoors the bad end of a flat is wet, elsewhere damp.
    """
    rows = {(r["surface"], r["condition"]): r for r in tables.table("belt_friction").rows}
    at, p = f"stage[{layout.name}]", layout.pulleys
    worst = "wet" if (reader.get("place") or "outdoors") == "outdoors" else "damp"
    design = _row(rows["groove", "design"], "groove", "clean, as designed for")
    groove = _own(
        reader,
        f"{at}.friction_groove",
        design,
        design._replace(state="worn, dusty or damp", likely=design.low, high=design.low),
    )
    states, likely, bad, good = [], [], [], []
    for on_flat, material in zip(p.flat, p.materials, strict=True):
        if not on_flat:
            mine = groove
        else:
            dry = rows["belt on plastic", "dry"] if material == "plastic" else rows["flat", "dry"]
            top = _row(dry, "flat plastic" if material == "plastic" else "flat", "dry")
            others = [_row(rows["flat", s], "flat", s) for s in ("damp", "wet")]
            own = _own(reader, f"{at}.friction_flat", top, next(o for o in others if o.state == worst))
            mine = (own[0], *(own[1] if o.state == worst else o for o in others))
        states.append(mine)
        likely.append(mine[0].likely)
        bad.append(next(c.likely for c in mine[1:] if not on_flat or c.state == worst))
        good.append(max(mine[0].high, mine[0].likely))
    likely, bad, good = np.array(likely), np.minimum(bad, likely), np.array(good)
    words = [] if p.flat.all() else [f"groove {groove[0].likely:g} (bad end {groove[1].likely:g})"]
    if p.flat.any():
        k = int(np.argmax(p.flat))
        words.append(f"flat {likely[k]:g} dry (bad end {bad[k]:g} {worst})")
    cite = rows["groove", "design"].cite
    return Friction(likely, bad, ", ".join(words), cite, good=good, conditions=tuple(states))


def _row(row, surface: str, state: str) -> Condition:
    return Condition(
        surface,
        state,
        *(row[f"coefficient_{end}"] for end in ("low", "likely", "high")),
        source="; ".join(tables.source(k).title for k in row.source.split(";")),
        known=row.known,
    )


def _own(reader: Reader, key: str, top: Condition, worst: Condition) -> tuple[Condition, Condition]:
    """Return the likely and the worst condition: the build's own first; an end it leaves out keeps its share."""
    likely, bad = reader.si(key), reader.si(f"{key}_bad")
    if likely is None and bad is None:
        return top, worst
    own = top.likely if likely is None else likely
    low = own * worst.likely / top.likely if bad is None else bad
    high = max(own, top.high) if likely is None else own
    here = {"source": "the build", "known": "the build"}
    return top._replace(low=min(low, own), likely=own, high=high, **here), worst._replace(
        low=low, likely=low, high=low, **here
    )


def way_of(reader: Reader, layout: StageLayout) -> str:
    """Return how the belt of a loop is kept tight."""
    kind = reader.get(f"stage[{layout.name}].takeup.kind")
    if kind in SPRUNG and layout.idler is not None:
        return SPRING
    return SLIDE if kind == "sliding motor" else LOCKED


def tension_key(layout: StageLayout, way: str) -> str:
    """Return the key of the build that says how tight the belt is."""
    return f"stage[{layout.name}].takeup." + ("slack_tension" if way == SPRING else "static_tension")


@dataclass(frozen=True, eq=False)
class LoadedLoop:
    """One loop with what turns it and what keeps it tight, in SI units; pulleys on the last axis.

    ``pulls`` are those at work, ``centrifugal`` is m v² of all belts at working speed, ``hold`` the tension of all
    belts together, N: of the held strand, or of each strand at rest (None where not known).
    """

    layout: StageLayout
    belts: int
    way: str
    friction: Friction
    pulls: np.ndarray
    centrifugal: float
    hold: float | None

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
        if self.way == SLIDE:
            weights = slide_weights(self.layout)
            # Counted as a tension: the force along the slide over what one newton in every strand makes of it.
            return mech.Hold(weights / np.sum(weights), tension, tension)
        return mech.fixed_centres_si(path.span, path.wrap, p.pitch, tension, centrifugal)


def driving_shaft(reader: Reader, layout: StageLayout, ratio: RatioData | None) -> ShaftState:
    """Return the shaft that drives a loop.

    Raises
    ------
    Unknown
        Where its power or speed is not known.
    """
    shaft = ratio.shaft(reader.get(f"stage[{layout.name}].from")) if ratio else None
    if shaft is None or shaft.power is None or not layout.speed:
        engine = None if layout.speed else "engine.work_speed"
        reader.require("work.power", "work.power_at", *((engine,) if engine else ()))
        # all of that is known, so no stage leads from the engine to this loop, or to where the power is stated
        reader.note_missing("stage")
        raise Unknown("stage")
    return shaft


def loaded_loop(reader: Reader, layout: StageLayout, ratio: RatioData | None) -> LoadedLoop:
    """Return a loop with its load and its hold.

    Raises
    ------
    Unknown
        Where its power or speed is not known.
    """
    p, way, belts = layout.pulleys, way_of(reader, layout), reader.get(f"stage[{layout.name}].belts") or 1
    power = np.zeros(len(p.names))
    power[p.driven] = driving_shaft(reader, layout, ratio).power
    key = tension_key(layout, way)
    hold = reader.si(key)
    if hold is None:
        reader.note_missing(key)
    elif way != SPRING:
        hold *= belts
    return LoadedLoop(
        layout=layout,
        belts=belts,
        way=way,
        friction=friction_of(reader, layout),
        pulls=mech.pulls_si(power, layout.speed, p.driver),
        centrifugal=(layout.belt.mass if layout.belt else 0.0) * belts * layout.speed**2,
        hold=hold,
    )


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


def solve_cases(loop: LoadedLoop, loads: dict[str, tuple[float | None, np.ndarray]]) -> tuple[Case, ...]:
    """Solve load cases in one call.

    Parameters
    ----------
    loop : LoadedLoop
        The loop. At the start its belt hardly moves, so there nothing is centrifugal.
    loads : dict
        Name to (load over working load or None, pulls in N of shape (n,)).
    """
    layout, friction, known = loop.layout, loop.friction, loop.hold is not None
    turning = np.array([0.0 if name == "start" else loop.centrifugal for name in loads])
    pulls = np.stack([p for _, p in loads.values()])
    hold = loop.hold_at(loop.hold if known else loop.centrifugal, turning)
    k = np.stack([friction.likely, friction.bad])[:, None, :]
    found = mech.grip_si(pulls, layout.path.wrap, k, hold, turning)
    total = np.broadcast_to(hold.total, turning.shape)
    # What the hold gains or loses, every strand gains or loses.
    just = found.net + ((found.needed[0] - total) / np.sum(hold.weights))[:, None]
    needed = found.needed + (turning if loop.way == LOCKED else 0.0)
    return tuple(
        Case(
            name=name,
            factor=factor,
            pulls=pulls[c],
            centrifugal=float(turning[c]),
            margin=found.margin[0, c] if known else None,
            margin_bad=found.margin[1, c] if known else None,
            net=found.net[c] if known else None,
            hub=hubs_of(found.net[c], layout) if known else None,
            needed=float(needed[0, c]),
            needed_bad=float(needed[1, c]),
            tight=float(np.max(just[c])),
            slack=float(np.min(just[c])),
        )
        for c, (name, (factor, _)) in enumerate(loads.items())
    )


def load_cases(reader: Reader, loop: LoadedLoop) -> tuple[Case, ...]:
    """Solve start, work, peak and overrun; start and peak only where the build says how hard they are."""
    start, peak, overrun = (reader.si(f"work.{k}_factor") for k in CASES if k != "work")
    stacked = mech.load_cases_si(loop.pulls, start=start or 1.0, peak=peak or 1.0, overrun=overrun or 1.0)
    factors = {"start": start, "work": 1.0, "peak": peak, "overrun": overrun}
    loads = {
        name: (factors[name], pulls)
        for name, pulls in zip(CASES, stacked, strict=True)
        if name == "overrun" or factors[name]
    }
    return solve_cases(loop, loads)


__all__ = [
    "CASES",
    "LOCKED",
    "SLIDE",
    "SPRING",
    "SPRUNG",
    "Case",
    "Condition",
    "Friction",
    "LoadedLoop",
    "driving_shaft",
    "friction_of",
    "hubs_of",
    "load_cases",
    "loaded_loop",
    "slide_force",
    "solve_cases",
    "tension_key",
    "way_of",
]

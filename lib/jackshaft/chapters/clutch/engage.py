"""Engaging the clutch: how long it slips, what heat that makes, what the engine does."""

from __future__ import annotations

import math
from collections.abc import Callable
from contextlib import suppress
from functools import lru_cache, partial
from typing import NamedTuple

import numpy as np

from jackshaft.chapters.clutch.belts import Belts
from jackshaft.chapters.ratio.analysis import RatioData
from jackshaft.mechanics import clutch, engagement, engagement_history, slipheat
from jackshaft.parts.derating import power_left
from jackshaft.parts.engine_curve import GOVERNOR, engine_curve, full_throttle, rated_torque
from jackshaft.parts.motor import PULLS_OUT, is_motor, motor_curve, pull_out
from jackshaft.parts.turning import Turning, turning
from jackshaft.parts.works import factor_of, takers, work_key, work_shafts
from jackshaft.results.reader import Reader, Unknown
from jackshaft.units import at_most

#: Rise of the faces that one engagement may make where the build does not say: common practice, no source.
RISE = 100.0
#: What work that is empty or lifted out still takes while the clutch is engaged, over its working torque: belts,
#: bearings and air; assumed.
UNLOADED = 0.2
#: Power of the speed that the work's torque goes with, by what the build file says.
LAWS = {"same at every speed": 0, "in step with speed": 1, "with the square of speed": 2}


class Load(NamedTuple):
    """What the work takes at the clutch as it runs up: ``torque`` N·m at ``at`` rad/s, with a power of the speed.

    ``more`` are the loads that go with other powers of it, where several shafts carry the work; the least power leads.
    """

    torque: float
    at: float
    power: int
    more: tuple[Load, ...] = ()

    @property
    def rises(self) -> bool:
        """Whether any of it grows with the speed."""
        return self.power > 0 or bool(self.more)

    def takes(self, speed: float) -> float:
        """Return the torque at a speed of the clutch's shaft (rad/s)."""
        own = self.torque if self.power == 0 else self.torque * (max(speed, 0.0) / self.at) ** self.power
        return own + sum(load.takes(speed) for load in self.more)

    def _by_power(self, speed: float) -> list[float]:
        """Return the torques at a speed by their power of it, 0 to 2."""
        each = [0.0, 0.0, 0.0]
        for load in (self._replace(more=()), *self.more):
            each[load.power] += load.takes(speed)
        return each

    def run_up(self, inertia: float, speed: float, torque: float) -> engagement.Engagement:
        """Return the run-up with the engine's speed held, in closed form."""
        if torque <= 0.0:  # loose belts let nothing through
            return engagement.Engagement(math.inf, math.inf, math.nan, False, False)
        if self.more:
            return engagement.engage_several_si(inertia, engine_speed=speed, clutch=torque, loads=self._by_power(speed))
        if self.power == 0:
            return engagement.engage_governed.si(inertia, engine_speed=speed, clutch=torque, load=self.torque)
        return engagement.engage_rising.si(
            inertia, engine_speed=speed, clutch=torque, load=self.torque, at=self.at, power=self.power
        )

    def below(self, rise: float, mass: float, inertia: float, torque: float) -> float:
        """Return the highest engine speed (rad/s) that keeps one engagement's rise within a limit."""
        if self.more:
            heat = rise * mass * engagement.STEEL_HEAT
            most = math.sqrt(2.0 * heat / inertia)  # what turns alone takes as much heat as it gets energy
            from scipy.optimize.elementwise import find_root  # slow to load, and seldom wanted

            found = find_root(
                np.vectorize(lambda speed: min(self.run_up(inertia, speed, torque).heat / heat, 2.0) - 1.0),
                (1e-6 * most, most * (1.0 + 1e-12)),
            )
            return float(found.x) if found.success else 0.0
        if self.power == 0:
            return float(
                engagement.engage_below.si(rise, mass=mass, load_inertia=inertia, clutch=torque, load=self.torque)
            )
        return float(
            engagement.engage_below_rising.si(
                rise, mass=mass, load_inertia=inertia, clutch=torque, load=self.torque, at=self.at, power=self.power
            )
        )


class Engine(NamedTuple):
    """An engine at the clutch's shaft, SI units: inertia, torque by speed, and its stall speed.

    ``lowest`` is the lowest speed that its torque is known at, 0 where one figure counts for every speed. Over the
    share ``droop`` of its speed it comes to that torque, a motor's as it slips.
    """

    inertia: float
    torque: Callable
    lowest: float
    stall: float
    droop: float = GOVERNOR


class Engagement(NamedTuple):
    """One engagement at the clutch's shaft, SI units.

    ``governed`` maps bad, likely and good to the run-up with the engine's speed held, bad with the most inertia;
    ``strong`` is the course with the most torque that the clutch may have, which pulls the engine down furthest (None
    without engine); ``drooping`` is the run-up
    with the engine's own inertia and full throttle (None where that is not known), and ``steps`` the same
    integrated with its governor and torque curve. ``below`` is the speed to engage below for the rise allowed;
    ``engine_torque`` the most that the engine has at the clutch's shaft on its way down (0 where not known), and
    ``lowest_point`` the lowest speed that the engine's torque is known at (0 where one figure stands for all).
    ``most`` is the most torque that the clutch may have, cold and run in; ``untold`` names the keys without which it is
    not known whether an engine that this much pulls down stalls first. ``limit`` is the most that the belts let
    through, ``inf`` without any, and ``slips`` the run-up with what they let through, bad, likely and good, empty where
    that is not known.
    """

    turning: Turning
    engine_inertia: float | None
    speed: float
    load: Load
    torque: clutch.Band
    governed: dict[str, engagement.Engagement]
    drooping: engagement.Engagement | None
    steps: engagement_history.History
    mass: float | None
    rise: float | None
    allowed: float
    below: float | None
    lowest_point: float
    engine_torque: float
    strong: engagement_history.History | None
    most: float
    untold: tuple[str, ...]
    limit: float
    slips: dict[str, engagement.Engagement]

    @property
    def pulls(self) -> float:
        """The torque (N·m) that likely goes through the slipping clutch, as far as the belts let it through."""
        return min(self.torque.likely, self.limit)

    @property
    def belts_slip(self) -> bool:
        """Whether the belts slip before the clutch, though they have all the grip that they may have."""
        return self.limit < self.torque.likely

    @property
    def pulls_down(self) -> bool:
        """Whether the slipping clutch likely takes more than the engine has, so that the flywheel gives the rest."""
        return not at_most(self.pulls, self.engine_torque)

    @property
    def inertia(self) -> float:
        """All that is brought up to speed, at the clutch's shaft (kg·m²)."""
        return self.turning.likely

    @property
    def heat(self) -> float:
        """Slip heat of the engagement (J), ``inf`` where it never locks."""
        return float(self.steps.heat[-1]) if self.steps.locks else math.inf


def engage(
    reader: Reader,
    ratio: RatioData | None,
    shaft: str,
    torque: clutch.Band | None,
    required: clutch.Required | None,
    most: float | None = None,
    belts: Belts | None = None,
) -> Engagement | None:
    """Work out one engagement with the torque that the clutch has while it slips, or None where inputs are missing.

    ``most`` is the most torque (N·m) that it may have, run in and cold; ``belts`` let no more of it through than they
    carry.
    """
    turns = turning(reader, ratio, shaft)
    if turns is None or torque is None:
        return None
    state = ratio.shaft(shaft) if ratio else None
    over = state.over if state is not None else 1.0
    speed = reader.si("clutch.engage_speed", reader.si("engine.work_speed"))
    if speed is None:
        reader.note_missing("engine.work_speed")
        return None
    speed, load = speed / over, load_of(reader, ratio, shaft, required)
    if load is None:
        return None
    mine = turns.likely
    governed = {
        end: load.run_up(turns.bad if end == "bad" else mine, speed, t)
        for end, t in zip(torque._fields, torque, strict=True)
    }
    engine = engine_of(reader, over)
    has = engine_has(reader, over, speed)
    flat = not load.rises and _flat(reader, engine, has, speed)
    follow = partial(_step_by_step, load=load, inertia=mine, speed=speed, engine=engine)
    through = None if belts is None else belts.forward
    limit = math.inf if through is None else through.good
    strong, pulls = None, min(torque.likely, limit)
    if engine is not None and most is not None:
        # the hardest pull meets a motor at the low end of what it may have
        hard, weak = min(most, limit), engine_of(reader, over, low=True)
        strong = follow(torque=hard, seconds=load.run_up(mine, speed, hard).seconds, engine=weak)
    strongest = min(max(torque.likely, most or 0.0), limit)
    found = Engagement(
        turning=turns,
        engine_inertia=engine.inertia if engine else None,
        speed=speed,
        load=load,
        torque=torque,
        governed=governed,
        drooping=_drooping(engine, load, mine, speed, torque.likely) if flat else None,
        steps=follow(torque=pulls, seconds=load.run_up(mine, speed, pulls).seconds),
        mass=reader.si("clutch.face_mass"),
        rise=None,
        allowed=reader.si("clutch.rise_allowed", RISE),
        below=None,
        lowest_point=engine.lowest if engine else 0.0,
        engine_torque=has,
        strong=strong,
        most=strongest,
        limit=limit,
        slips=_slips(turns, load, speed, torque, through),
        untold=() if at_most(strongest, has) else untold(reader, _throttle(reader, over) is not None),
    )
    return _with_rise(reader, found)


def _flat(reader: Reader, engine, has: float, speed: float) -> bool:
    """Tell whether the engine's torque stays as it is pulled down; else the plate's power lets it rise."""
    flat = engine is not None and engine_curve(reader) is None and not is_motor(reader)
    return flat and at_most(has, float(engine.torque(speed)))


def _slips(turns: Turning, load: Load, speed: float, torque: clutch.Band, through: clutch.Band | None):
    """Return the run-up with what the belts let through, bad, likely and good; empty where that is not known."""
    ends = () if through is None else zip(torque._fields, through, torque, strict=True)
    inertia = {"bad": turns.bad}
    return {e: load.run_up(inertia.get(e, turns.likely), speed, min(t, held)) for e, t, held in ends}


def _drooping(engine: Engine, load: Load, inertia: float, speed: float, torque: float) -> engagement.Engagement | None:
    """Return the run-up with every torque constant, in closed form; None where the engine keeps up with the clutch."""
    gives = engine.torque(speed)
    if torque <= gives:
        return None
    return engagement.engage.si(
        engine.inertia,
        load_inertia=inertia,
        engine_speed=speed,
        clutch=torque,
        engine=gives,
        load=load.torque,
        stall=engine.stall,
    )


def _throttle(reader: Reader, over: float, *, low: bool = False) -> tuple[Callable, float] | None:
    """Return what an engine or a motor has at the clutch's shaft by its speed, as :func:`full_throttle` does."""
    if is_motor(reader) and engine_curve(reader) is None:
        curve = motor_curve(reader, over, low=low)
        return None if curve is None else (curve, 0.0)
    return full_throttle(reader, over, low=low)


def _torque_lacks(reader: Reader) -> tuple[str, ...]:
    """Return the keys without which the torque of an engine or a motor by its speed is not known."""
    if not is_motor(reader):
        return ("engine.peak_torque",)
    return tuple(k for k in ("engine.rated_power", "engine.rated_speed") if reader.get(k) is None)


def engine_of(reader: Reader, over: float, *, low: bool = False) -> Engine | None:
    """Return the engine as it is at the clutch's shaft, None where its inertia or torque is not known.

    ``low`` takes a motor at the low end of the torques that it may have.
    """
    flywheel, throttle = reader.si("engine.inertia"), _throttle(reader, over, low=low)
    if flywheel is None or throttle is None:
        lacks = _torque_lacks(reader) if throttle is None else ()
        reader.note_missing(*(("engine.inertia",) if flywheel is None else ()), *lacks)
        return None
    stall = reader.si("engine.stall_speed", 0.0) / over
    droop = 1.0 - PULLS_OUT if is_motor(reader) else GOVERNOR
    return Engine(flywheel * over**2, *throttle, stall, droop)


def engine_has(reader: Reader, over: float, speed: float) -> float:
    """Return the most torque (N·m) that the engine has at the clutch's shaft on its way down from a speed (rad/s).

    Where neither its curve nor its highest torque is known, that of its plate: a motor's until it pulls out, an
    engine's at its rated speed, which it has at least. 0 where nothing is known.
    """
    throttle = _throttle(reader, over, low=True)
    if throttle is not None:
        return float(np.max(throttle[0](np.linspace(reader.si("engine.stall_speed", 0.0) / over, speed, 33))))
    if is_motor(reader):
        return over * (pull_out(reader) or (0.0,))[0]
    return over * (rated_torque(reader) or 0.0) * power_left(reader).bad


def untold(reader: Reader, torque_known: bool) -> tuple[str, ...]:
    """Return the keys that say whether an engine stalls and are not known."""
    keys = () if torque_known else _torque_lacks(reader)
    # a motor has no speed below which it dies: it stands where the work takes more than it has
    more = ("engine.inertia",) if is_motor(reader) else ("engine.inertia", "engine.stall_speed")
    return keys + tuple(k for k in more if reader.si(k) is None)


def _with_rise(reader: Reader, found: Engagement) -> Engagement:
    """Add what the heat does to the faces, where their mass is known."""
    with suppress(Unknown):
        mass = reader.require_si("clutch.face_mass")
        rise = float(slipheat.temperature_rise.si(found.heat, mass=mass)) if found.steps.locks else math.inf
        below = found.load.below(found.allowed, mass, found.inertia, found.torque.likely)
        found = found._replace(rise=rise, below=below)
    return found


def load_of(reader: Reader, ratio: RatioData | None, shaft: str, required: clutch.Required | None) -> Load | None:
    """Return what the work takes at a shaft while it runs up, None where its power or a speed is not known yet.

    Each shaft that carries the work takes its share of it, after its own curve; one that takes the same at every speed
    starts as hard as it does.
    """
    if required is None or not required.work:
        return None
    if reader.get("clutch.engage_unloaded"):
        return Load(UNLOADED * required.work, 1.0, 0)
    state, each = ratio.shaft(shaft) if ratio else None, {}
    works = work_shafts(reader)
    for share, taker in ((1.0, shaft),) if ratio is None else takers(ratio.stages, shaft, works.__contains__):
        power = LAWS[reader.get(work_key(reader, taker, "load_curve")) or "same at every speed"]
        hard = factor_of(reader, ratio, taker, "start") if power == 0 else None
        each[power] = each.get(power, 0.0) + share * (1.0 if hard is None else hard) * required.work
    at = reader.si("engine.work_speed")
    if at is None and any(each):
        reader.note_missing("engine.work_speed")
        return None
    at = 1.0 if at is None else at / (state.over if state is not None else 1.0)
    first, *more = (Load(torque, at, power) for power, torque in sorted(each.items()))
    return first._replace(more=tuple(more))


@lru_cache(maxsize=256)
def _step_by_step(
    *, load: Load, inertia: float, speed: float, torque: float, engine: Engine | None, seconds: float
) -> engagement_history.History:
    """Integrate the engagement: the engine with its governor where it is known, else its speed held.

    ``seconds`` is about how long it takes, or not finite. The course can only be read, because others read it too.
    """
    # a flywheel without end holds the speed, whatever the clutch takes
    engine = engine or Engine(1e9 * inertia, lambda w: 0.0, 0.0, 0.0)

    def gives(w: float) -> float:
        return float(engine.torque(w)) * min(max((speed - w) / (engine.droop * speed), 0.0), 1.0)

    longest = min(max(3.0 * seconds, 0.05), 600.0) if math.isfinite(seconds) else 20.0
    found = engagement_history.history_si(
        engine=engagement_history.Side(engine.inertia, gives, speed),
        load=engagement_history.Side(inertia, load.takes),
        clutch=lambda t, s: torque,
        stall=engine.stall,
        longest=longest,
        points=81,
        solver={"rtol": 1e-6},
    )
    for line in (found.times, found.engine, found.load, found.heat, found.work_in, found.work_out):
        line.flags.writeable = False
    return found


__all__ = ["Engagement", "LAWS", "UNLOADED", "engage"]

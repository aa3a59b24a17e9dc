"""Engaging the clutch: how long it slips, what heat that makes, what the engine does, and how the work stops again."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.chapters.ratio.analysis import RatioData
from jackshaft.mechanics import clutch, engagement, inertia, slipheat
from jackshaft.parts.engine_curve import GOVERNOR, engine_curve, full_throttle
from jackshaft.results.checks import CAUTION, GO, STOP, Table, grade, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import at_most

#: Rise of the faces that one engagement may make where the build does not say: common practice, no source.
RISE = 100.0
RUN_DOWN = ("speed", "time", "drag")
#: Power of the speed that the work's torque goes with, by what the build file says.
LAWS = {"same at every speed": 0, "in step with speed": 1, "with the square of speed": 2}


class Load(NamedTuple):
    """What the work takes at the clutch as it runs up: ``torque`` N·m at ``at`` rad/s, with a power of the speed."""

    torque: float
    at: float
    power: int

    def takes(self, speed: float) -> float:
        """Return the torque at a speed of the clutch's shaft (rad/s)."""
        return self.torque if self.power == 0 else self.torque * (max(speed, 0.0) / self.at) ** self.power

    def meet(self, inertia: float, speed: float, torque: float) -> engagement.Meeting:
        """Return the run-up with the engine's speed held, in closed form."""
        if self.power == 0:
            return engagement.meet_governed.si(inertia, engine_speed=speed, clutch=torque, load=self.torque)
        return engagement.meet_rising.si(
            inertia, engine_speed=speed, clutch=torque, load=self.torque, at=self.at, power=self.power
        )

    def below(self, rise: float, mass: float, inertia: float, torque: float) -> float:
        """Return the highest engine speed (rad/s) that keeps one engagement's rise within a limit."""
        if self.power == 0:
            return float(
                engagement.engage_below.si(rise, mass=mass, load_inertia=inertia, clutch=torque, load=self.torque)
            )
        return float(
            engagement.engage_below_rising.si(
                rise, mass=mass, load_inertia=inertia, clutch=torque, load=self.torque, at=self.at, power=self.power
            )
        )


class Engagement(NamedTuple):
    """One engagement at the clutch's shaft, SI units.

    ``governed`` maps bad, likely and good to the run-up with the engine's speed held; ``drooping`` is the run-up
    with the engine's own inertia and full throttle (None where that is not known), and ``course`` the same
    integrated with its governor and torque curve. ``below`` is the speed to engage below for the rise allowed;
    ``engine_torque`` the most that the engine has at the clutch's shaft on its way down (0 where not known), and
    ``lowest_point`` the lowest speed that the engine's torque is known at (0 where one figure stands for all).
    """

    inertia: float
    engine_inertia: float | None
    speed: float
    load: Load
    torque: clutch.Band
    governed: dict[str, engagement.Meeting]
    drooping: engagement.Meeting | None
    course: engagement.Course
    mass: float | None
    rise: float | None
    allowed: float
    below: float | None
    stop: clutch.Stop | None
    lowest_point: float
    engine_torque: float


def load_inertia(reader: Reader) -> tuple[float, str] | None:
    """Return the inertia of the work at its own shaft and how it is known, or None."""
    given = reader.si("work.inertia")
    if given is not None:
        return given, reader.how("work.inertia") or "as given"
    lost, time, drag = (reader.si(f"work.run_down_{key}") for key in RUN_DOWN)
    if lost is not None and time is not None and drag is not None:
        return (
            float(inertia.run_down_inertia.si(lost, time=time, drag=drag)),
            f"run-down test: {reader.show(drag, 'torque')} × {reader.show(time, 'time')} / "
            f"{reader.show(lost, 'rotation')}",
        )
    if lost is not None or time is not None or drag is not None:
        reader.note_missing(
            *(f"work.run_down_{k}" for k, v in zip(RUN_DOWN, (lost, time, drag), strict=True) if v is None)
        )
    mass, size, lies = reader.si("work.weight"), reader.si("work.diameter"), reader.get("work.mass_at")
    if mass is None or size is None or lies is None:
        reader.note_missing(
            *(k for k, v in (("work.weight", mass), ("work.diameter", size), ("work.mass_at", lies)) if v is None)
        )
        return None
    if lies == "disc":
        value = inertia.disc_inertia.si(mass, radius=size / 2)
    elif lies == "rim":
        value = inertia.rim_inertia.si(mass, radius=size / 2)
    else:
        value = inertia.bar_inertia.si(mass, length=size)
    return float(value), f"{reader.show(mass, 'mass')} as a {lies} of {reader.show(size, 'length')}"


def at_clutch(reader: Reader, ratio: RatioData | None, shaft: str, value: float) -> float | None:
    """Return an inertia of the work as the clutch feels it, or None where the speeds between are not known."""
    name = reader.get("work.shaft")
    if name in (None, shaft):
        return value
    load, own = (ratio.shaft(n) if ratio else None for n in (name, shaft))
    if load is None or own is None or not own.work or load.work is None:
        return None
    return float(inertia.reflect_inertia.si(value, load_speed=load.work, clutch_speed=own.work))


def engage(
    reader: Reader, ratio: RatioData | None, shaft: str, torque: clutch.Band | None, required: clutch.Required | None
) -> Engagement | None:
    """Work out one engagement with the torque that the clutch has while it slips, or None where inputs lack."""
    own = load_inertia(reader)
    if own is None or torque is None:
        return None
    mine = at_clutch(reader, ratio, shaft, own[0])
    state = ratio.shaft(shaft) if ratio else None
    over = state.over if state is not None else 1.0
    speed = reader.si("clutch.engage_speed", reader.si("engine.work_speed"))
    if mine is None or speed is None:
        reader.note_missing("engine.work_speed")
        return None
    speed = speed / over
    load = load_of(reader, over, required)
    if load is None:
        return None
    governed = {end: load.meet(mine, speed, t) for end, t in zip(torque._fields, torque, strict=True)}
    flywheel, curve = reader.si("engine.inertia"), full_throttle(reader, over)
    stall = reader.si("engine.stall_speed", 0.0) / over
    drooping, lowest, most = None, 0.0, 0.0
    if flywheel is None or curve is None:
        reader.note_missing(*(k for k, v in (("engine.inertia", flywheel), ("engine.peak_torque", curve)) if v is None))
        flywheel = None
    else:
        flywheel, lowest = flywheel * over**2, curve[1]
        most = float(np.max(curve[0](np.linspace(stall, speed, 33))))
        if load.power == 0 and engine_curve(reader) is None and torque.likely > curve[0](speed):
            drooping = engagement.meet.si(
                flywheel,
                load_inertia=mine,
                engine_speed=speed,
                clutch=torque.likely,
                engine=curve[0](speed),
                load=load.torque,
                stall=stall,
            )
    course = _course(mine, flywheel, speed, torque.likely, curve, load, stall, governed["likely"])
    mass, allowed = reader.si("clutch.face_mass"), reader.si("clutch.rise_allowed", RISE)
    heat = float(course.heat[-1]) if course.locks else math.inf
    rise = below = None
    if mass is not None:
        rise = float(slipheat.temperature_rise.si(heat, mass=mass)) if math.isfinite(heat) else math.inf
        below = load.below(allowed, mass, mine, torque.likely)
    else:
        reader.note_missing("clutch.face_mass")
    stop = None
    if reader.get("clutch.brake") and reader.si("clutch.brake_torque") is not None:
        stop = clutch.brake_stop.si(mine, speed=speed, brake=reader.si("clutch.brake_torque"))
    elif reader.get("clutch.brake"):
        reader.note_missing("clutch.brake_torque")
    return Engagement(
        mine, flywheel, speed, load, torque, governed, drooping, course, mass, rise, allowed, below, stop, lowest, most
    )


def load_of(reader: Reader, over: float, required: clutch.Required | None) -> Load | None:
    """Return what the work takes at the clutch while it runs up, None where its law wants a speed not known yet."""
    power = LAWS[reader.get("work.load_curve") or "same at every speed"]
    if required is None:
        return Load(0.0, 1.0, 0)
    if power == 0:
        return Load(required.work * reader.si("work.start_factor", 1.0), 1.0, 0)
    at = reader.si("engine.work_speed")
    if at is None:
        reader.note_missing("engine.work_speed")
        return None
    return Load(required.work, at / over, power)


def _course(mine, flywheel, speed, torque, curve, load: Load, stall, held) -> engagement.Course:
    """Integrate the engagement: the engine with its governor where its inertia is known, else its speed held."""
    if flywheel is None:
        # a flywheel without end holds the speed, whatever the clutch takes
        flywheel, stall = 1e9 * mine, 0.0

        def engine(w):
            return 0.0
    else:

        def engine(w):
            return float(curve[0](w)) * min(max((speed - w) / (GOVERNOR * speed), 0.0), 1.0)

    longest = min(max(3.0 * held.seconds, 0.05), 600.0) if math.isfinite(held.seconds) else 20.0
    return engagement.engage_si(
        engine=engagement.Side(flywheel, engine, speed),
        load=engagement.Side(mine, load.takes),
        clutch=lambda t, s: torque,
        stall=stall,
        longest=longest,
        points=81,
        solver={"rtol": 1e-6},
    )


def facts(draft: Draft, reader: Reader, found: Engagement, own: tuple[float, str]) -> None:
    """Add what the engagement is."""
    likely = found.governed["likely"]
    draft.fact(
        "inertia of the work",
        reader.both(own[0], "inertia"),
        f"{own[1]}; at the clutch {reader.show(found.inertia, 'inertia')}, by the square of the speeds; belts, pulleys "
        "and shafts between are left out",
    )
    course = found.course
    text = (
        "it never locks"
        if not course.locks
        else f"{reader.show(course.lock_time, 'time')}, {reader.show(float(course.heat[-1]), 'energy')} of heat"
    )
    draft.fact(
        f"engaging at {reader.show(found.speed, 'rotation')}, coil hot",
        text,
        f"engine's speed held: {_span(reader, found)}" if likely.locks else "the load takes all that the clutch gives",
    )
    if found.engine_inertia is not None and course.locks:
        least = float(course.engine.min())
        draft.fact(
            "engine droops by",
            f"{100 * (1.0 - least / found.speed):.0f} %",
            f"to {reader.show(least, 'rotation')} at the clutch's shaft; {_known_torque(reader, found, least)}",
        )
    if found.load.power:
        draft.fact(
            "torque the work takes as it runs up",
            f"{reader.get('work.load_curve')}: "
            f"{reader.show(found.load.takes(found.speed), 'torque')} once it is up to speed",
            "from nothing at rest; its start factor is for what must be broken loose, and left out here",
        )
    if found.rise is not None:
        draft.fact(
            "faces warm by",
            reader.both(found.rise, "temperature rise") if math.isfinite(found.rise) else "without end",
            f"one engagement, {reader.show(found.mass, 'mass')} of steel near the faces",
        )
        top = reader.si("engine.full_speed", reader.si("engine.rated_speed", math.inf))
        draft.fact(
            "engage below",
            "no speed: the load holds it"
            if not found.below
            else "any speed this engine reaches"
            if found.below > top
            else reader.show(found.below, "rotation"),
            f"for a rise of {reader.both(found.allowed, 'temperature rise')}"
            + ("" if reader.si("clutch.rise_allowed") else ", common practice"),
        )
    if found.stop is not None:
        draft.fact(
            "work stops in",
            reader.show(found.stop.seconds, "time"),
            f"{found.stop.turns:.0f} turns of the clutch's shaft, {reader.show(found.stop.heat, 'energy')} in "
            "the brake",
        )


def _known_torque(reader: Reader, found: Engagement, least: float) -> str:
    """Return what the engine's torque in the run-up rests on."""
    if not found.lowest_point:
        return "its highest torque taken at every speed, which is too kind: give points of its torque curve"
    if least < found.lowest_point:
        return (
            f"its curve's lowest point, {reader.show(found.lowest_point, 'rotation')}, is held below that speed, which "
            "is too kind"
        )
    return "by the points of its torque curve"


def _stall_words(reader: Reader, found: Engagement) -> tuple[str, str]:
    """Return why the engine dies, and what keeps it alive: a stronger clutch would only kill it sooner."""
    takes, gives = found.torque.likely, found.engine_torque
    why = (
        f"the engine stalls first. The clutch takes {reader.show(takes, 'torque')} while it slips and the engine has "
        f"{reader.show(gives, 'torque')} at this shaft; the flywheel gives the rest until it has no more"
    )
    softer = (
        f"At {100 * math.sqrt(gives / takes):.0f} % of the coil's current it takes no more than the engine has: a "
        "soft start made for such coils does that. Else a"
        if takes > gives
        else "A"
    )
    return (
        why,
        f"{softer} heavier flywheel, a lighter or unloaded driven side, or more speed at the engine when it engages.",
    )


def _span(reader: Reader, found: Engagement) -> str:
    good, bad = found.governed["good"], found.governed["bad"]
    if not bad.locks:
        return f"{reader.show(good.seconds, 'time')}, at the bad end it never locks"
    return (
        f"{reader.show(good.seconds, 'time')} to {reader.show(bad.seconds, 'time')}, "
        f"{reader.show(good.heat, 'energy')} to {reader.show(bad.heat, 'energy')}"
    )


def check(draft: Draft, reader: Reader, found: Engagement | None) -> None:
    """Add the verdict on the engagement."""
    id, name = "clutch.engagement", "engagement, coil hot"
    if found is None:
        missing = (
            tuple(k for k in ("work.weight", "work.mass_at", "work.diameter") if reader.get(k) is None)
            if reader.si("work.inertia") is None
            else ()
        )
        draft.checks.append(
            undecided(
                id,
                name,
                missing or ("clutch.static_torque",),
                "How long it slips depends on the inertia of the work (its weight and shape, or a run-down test) and "
                "on the clutch's torque.",
            )
        )
        return
    course, bad = found.course, found.governed["bad"]
    speed = reader.show(found.speed, "rotation")
    limit = f"locks, faces up by {reader.both(found.allowed, 'temperature rise')} or less"
    helps = found.below and found.below < found.speed
    slower = "Engage at a lower speed" + (f", below {reader.show(found.below, 'rotation')}" if helps else "")
    cure = f"{slower}, with the work unloaded, with more voltage at the coil, or use a larger clutch."
    if not course.locks:
        why = "the load takes as much as the clutch gives while it slips; the heat has no end"
        if course.stalls:
            why, cure = _stall_words(reader, found)
        draft.check(
            id,
            name,
            "does not lock",
            limit,
            STOP,
            f"At {speed}: {why}.",
            cure,
            "bhandari ch. 11",
            guards=not course.stalls,
        )
        return
    heat = float(course.heat[-1])
    value = f"{reader.show(course.lock_time, 'time')}, {reader.show(heat, 'energy')}"
    sure = bad.locks
    if found.rise is None:
        draft.checks.append(
            undecided(
                id,
                name,
                ("clutch.face_mass",),
                f"It locks after {value}; how far that warms the faces depends on the steel near them.",
                limit=limit,
            )
        )
        return
    worst = float(slipheat.temperature_rise.si(bad.heat, mass=found.mass)) if sure else math.inf
    verdict = grade(likely=found.rise, bad=worst, limit=found.allowed, higher_is_better=False)
    draft.check(
        id,
        name,
        f"{value}, faces up by {reader.both(found.rise, 'temperature rise')}",
        limit,
        verdict,
        f"At {speed} with {reader.show(found.torque.likely, 'torque')} while it slips and "
        f"{reader.show(found.load.takes(found.speed), 'torque')} taken by the work. Half the speed makes a quarter of "
        "the heat.",
        "" if verdict == GO else cure,
        "bhandari ch. 11; trade-practice",
    )


def sheet(draft: Draft, reader: Reader, found: Engagement) -> None:
    """Add the table of cases: clutch at its bad end, likely and good end, and the drooping engine."""
    rows = []
    cases = [
        (f"engine held, clutch {end}", getattr(found.torque, end), found.governed[end]) for end in found.torque._fields
    ]
    if found.drooping is not None:
        cases.append(("engine at full throttle droops", found.torque.likely, found.drooping))
    course = found.course
    cases.append(
        (
            "step by step, " + ("engine held" if found.engine_inertia is None else "engine with its governor"),
            found.torque.likely,
            engagement.Meeting(
                course.lock_time, float(course.heat[-1]), float(course.load[-1]), course.locks, course.stalls
            ),
        )
    )
    for name, torque, m in cases:
        rows.append(
            (
                name,
                reader.show(torque, "torque"),
                reader.show(m.seconds, "time") if m.locks else "never",
                reader.show(m.heat, "energy") if m.locks else "without end",
                reader.show(m.speed, "rotation") if m.locks and np.isfinite(m.speed) else "",
                "engine dies" if m.stalls else "locks" if m.locks else "does not lock",
            )
        )
    draft.tables.append(
        Table(
            "Engagement, case by case",
            ("case", "while slipping", "time", "heat", "they meet at", ""),
            tuple(rows),
            "Without a load the heat is the same for every clutch: only the time changes. With "
            "a load it grows without bound as the clutch comes down to it.",
        )
    )


def stop_check(draft: Draft, reader: Reader, found: Engagement) -> None:
    """Add the verdict on how long the work takes to stop, where a brake is known."""
    if found.stop is None:
        return
    row = tables.table("attachment_facts").one(item="blade stop, ride-on")
    most = row["high"]
    good = at_most(found.stop.seconds, most)
    draft.check(
        "clutch.stop",
        "work stops after the clutch lets go",
        reader.show(found.stop.seconds, "time"),
        f"{reader.show(most, 'time')} or less",
        GO if good else CAUTION,
        f"{reader.show(found.stop.heat, 'energy')} go into the brake; the work's own drag is left out.",
        "" if good else "A stronger brake, less weight at the tip, or a guard that cannot be opened before it stands.",
        row.cite,
    )


__all__ = ["Engagement", "at_clutch", "check", "engage", "facts", "load_inertia", "sheet", "stop_check"]

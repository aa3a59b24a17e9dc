"""What an engagement is, case by case, and the verdicts on it and on how the work stops again."""

from __future__ import annotations

import math

import numpy as np

from jackshaft import tables
from jackshaft.chapters.clutch.engage import Engagement
from jackshaft.mechanics import engagement, slipheat
from jackshaft.results.checks import CAUTION, GO, STOP, Table, grade, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import BOTH
from jackshaft.units import at_most


def facts(draft: Draft, reader: Reader, found: Engagement, own: tuple[float, str]) -> None:
    """Add what the engagement is."""
    likely = found.governed["likely"]
    draft.fact(
        "inertia of the work",
        reader.number(own[0], "inertia", known=reader.how("work.inertia"), form=BOTH),
        f"{own[1]}; at the clutch {reader.show(found.inertia, 'inertia')}, by the square of the speeds; belts, pulleys "
        "and shafts between are left out",
    )
    course = found.course
    draft.fact(
        f"engaging at {reader.show(found.speed, 'rotation')}, coil hot",
        reader.number(course.lock_time, "time", f"{{}}, {reader.show(course.heat[-1], 'energy')} of heat")
        if course.locks
        else "it never locks",
        f"engine's speed held: {_span(reader, found)}" if likely.locks else "the load takes all that the clutch gives",
    )
    if found.engine_inertia is not None and course.locks:
        least = float(course.engine.min())
        draft.fact(
            "engine droops by",
            reader.number(1.0 - least / found.speed, "number", by="percent", decimals=0),
            f"to {reader.show(least, 'rotation')} at the clutch's shaft; {_known_torque(reader, found, least)}",
        )
    if found.load.power:
        draft.fact(
            "torque the work takes as it runs up",
            reader.number(
                found.load.takes(found.speed), "torque", f"{reader.get('work.load_curve')}: {{}} once it is up to speed"
            ),
            "from nothing at rest; its start factor is for what must be broken loose, and left out here",
        )
    if found.rise is not None:
        draft.fact(
            "faces warm by",
            reader.number(found.rise, "temperature rise", form=BOTH) if math.isfinite(found.rise) else "without end",
            f"one engagement, {reader.show(found.mass, 'mass')} of steel near the faces",
        )
        top = reader.si("engine.full_speed", reader.si("engine.rated_speed", math.inf))
        draft.fact(
            "engage below",
            "no speed: the load holds it"
            if not found.below
            else "any speed this engine reaches"
            if found.below > top
            else reader.number(found.below, "rotation"),
            f"for a rise of {reader.both(found.allowed, 'temperature rise')}"
            + ("" if reader.si("clutch.rise_allowed") else ", common practice"),
        )
    if found.stop is not None:
        draft.fact(
            "work stops in",
            reader.number(found.stop.seconds, "time", known=reader.how("clutch.brake_torque")),
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
    _judge(draft, reader, found, id, name)


def _judge(draft: Draft, reader: Reader, found: Engagement, id: str, name: str) -> None:
    """Judge an engagement that could be worked out."""
    course, bad = found.course, found.governed["bad"]
    speed = reader.show(found.speed, "rotation")
    limit = reader.number(found.allowed, "temperature rise", "locks, faces up by {} or less", form=BOTH)
    helps = found.below and found.below < found.speed
    slower = "Engage at a lower speed" + (f", below {reader.show(found.below, 'rotation')}" if helps else "")
    cure = f"{slower}, with the work unloaded, with more voltage at the coil, or use a larger clutch."
    if not course.locks:
        why = "the load takes as much as the clutch gives while it slips; the heat has no end"
        if course.stalls:
            why, cure = _stall_words(reader, found)
        why, guards = f"At {speed}: {why}.", not course.stalls
        draft.check(id, name, "does not lock", limit, STOP, why, cure, "bhandari ch. 11", guards=guards)
        return
    value = f"{reader.show(course.lock_time, 'time')}, {reader.show(course.heat[-1], 'energy')}"
    if found.rise is None:
        words = f"It locks after {value}; how far that warms the faces depends on the steel near them."
        draft.checks.append(undecided(id, name, ("clutch.face_mass",), words, limit=limit))
        return
    worst = float(slipheat.temperature_rise.si(bad.heat, mass=found.mass)) if bad.locks else math.inf
    verdict = grade(likely=found.rise, bad=worst, limit=found.allowed, higher_is_better=False)
    draft.check(
        id,
        name,
        reader.number(
            found.rise, "temperature rise", f"{value}, faces up by {{}}", high=worst if bad.locks else None, form=BOTH
        ),
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
            engagement.Engagement(
                course.lock_time, float(course.heat[-1]), float(course.load[-1]), course.locks, course.stalls
            ),
        )
    )
    for name, torque, m in cases:
        rows.append(
            (
                name,
                reader.number(torque, "torque"),
                reader.number(m.seconds, "time") if m.locks else "never",
                reader.number(m.heat, "energy") if m.locks else "without end",
                reader.number(m.speed, "rotation") if m.locks and np.isfinite(m.speed) else "",
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
        reader.number(found.stop.seconds, "time", known=reader.how("clutch.brake_torque")),
        reader.number(most, "time", "{} or less", source=row["source"]),
        GO if good else CAUTION,
        f"{reader.show(found.stop.heat, 'energy')} go into the brake; the work's own drag is left out.",
        "" if good else "A stronger brake, less weight at the tip, or a guard that cannot be opened before it stands.",
        row.cite,
    )


__all__ = ["check", "facts", "sheet", "stop_check"]

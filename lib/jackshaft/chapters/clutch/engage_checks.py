"""The numbers of an engagement, case by case, and the verdicts on it."""

from __future__ import annotations

import math

import numpy as np

from jackshaft.chapters.clutch.belts import LONGEST
from jackshaft.chapters.clutch.checks import missing_work
from jackshaft.chapters.clutch.data import ClutchData
from jackshaft.chapters.clutch.engage import LAWS, Engagement, untold
from jackshaft.chapters.electric.words import unless_go
from jackshaft.mechanics import engagement, slipheat
from jackshaft.parts.engine_curve import engine_curve
from jackshaft.parts.motor import is_motor
from jackshaft.parts.turning import Turning, load_inertias, missing_shape
from jackshaft.parts.works import work_key, work_shafts
from jackshaft.results.checks import CAUTION, GO, STOP, Table, grade, undecided
from jackshaft.results.findings import Draft, label
from jackshaft.results.reader import Reader
from jackshaft.results.values import BOTH, Value
from jackshaft.units import at_most

ID, NAME = "clutch.engagement", "engagement, coil hot"
#: What helps an engine that a clutch takes more from than it has.
STALL_CURE = "Use a soft start made for such coils, a heavier flywheel, or a lighter driven side."


def facts(draft: Draft, reader: Reader, found: Engagement) -> None:
    """Add the numbers of the engagement."""
    likely, turns = found.governed["likely"], found.turning
    for shaft, (own, words) in turns.own.items():
        alike = len(set(turns.own.values())) == 1
        known = reader.how(work_key(reader, shaft, "inertia"))
        label = "inertia of the work" if alike else f"inertia of the work on {shaft}"
        draft.fact(label, reader.number(own, "inertia", known=known, form=BOTH), words)
        if alike:
            break
    draft.fact(
        "inertia behind the clutch",
        reader.number(turns.likely, "inertia", high=None if turns.bad == turns.likely else turns.bad, form=BOTH),
        _inertia_words(reader, turns),
    )
    steps = found.steps
    draft.fact(
        f"engaging at {reader.show(found.speed, 'rotation')}, coil hot",
        reader.number(steps.lock_time, "time", f"{{}}, {reader.show(found.heat, 'energy')} of heat")
        if steps.locks
        else "it never locks",
        f"engine's speed held: {_span(reader, found)}" if likely.locks else "the load takes all that the clutch gives",
    )
    if found.engine_inertia is not None and steps.locks:
        least = float(steps.engine.min())
        draft.fact(
            "engine droops by",
            reader.number(1.0 - least / found.speed, "number", by="percent", decimals=0),
            f"to {reader.show(least, 'rotation')} at the clutch's shaft; {_known_torque(reader, found, least)}",
        )
    if found.load.rises:
        draft.fact(
            "torque the work takes as it runs up",
            reader.number(
                found.load.takes(found.speed), "torque", f"{_curve(reader, found)}: {{}} once it is up to speed"
            ),
            "it starts at nothing; the start factor is for work that sticks at rest, and is left out here"
            if found.load.power
            else f"at rest it takes {reader.show(found.load.takes(0.0), 'torque')}, the start of what does not rise",
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


def _curve(reader: Reader, found: Engagement) -> str:
    """Return in words how the torque of the work goes with its speed."""
    if found.load.more:
        return "each shaft after its own curve"
    return next(words for words, power in LAWS.items() if power == found.load.power)


def _inertia_words(reader: Reader, turns: Turning) -> str:
    """Return what makes up the inertia at the clutch's shaft, and what is not in it."""
    parts = ", ".join(f"{p.name} {reader.show(p.likely, 'inertia')}" for p in turns.parts)
    if turns.measured:
        words = "all that coasts in the run-down, at the clutch by the square of the speeds"
        return words + (f"; of it, each pulley as a disc: {parts}" if parts else "")
    words = "at the clutch, by the square of the speeds"
    words += f"; besides the work, each pulley as a disc (a rim has twice as much): {parts}" if parts else ""
    return words + (f"; left out: {', '.join(turns.left_out)}, belts" if turns.left_out else "; belts are left out")


def _known_torque(reader: Reader, found: Engagement, least: float) -> str:
    """Return what the engine's torque in the run-up rests on."""
    if is_motor(reader) and engine_curve(reader) is None:
        return "by its pull-out torque, and below that by its weakest on the way up"
    if not found.lowest_point:
        return "its highest torque is taken at every speed, which is optimistic: give points of its torque curve"
    if least < found.lowest_point:
        lowest = reader.show(found.lowest_point, "rotation")
        return f"below {lowest}, its curve's lowest point, the torque there is taken, which is optimistic"
    return "by the points of its torque curve"


def _stall_words(reader: Reader, found: Engagement) -> tuple[str, str]:
    """Return why the engine stalls, and what prevents it: a stronger clutch would only stall it sooner."""
    takes, gives = found.pulls, found.engine_torque
    why = f"the engine stalls first. With its coil hot the clutch takes {reader.show(takes, 'torque')} while it slips "
    why += "and the engine has "
    why += f"{reader.show(gives, 'torque')} at this shaft; the flywheel gives the rest until it is used up"
    cure = "Use a heavier flywheel, or a lighter driven side."
    if takes > gives:
        share = 100 * math.sqrt(gives / takes)
        why += f". At {share:.0f} % of the coil's current the clutch takes no more than the engine has"
        cure = STALL_CURE
    return why, cure


def _span(reader: Reader, found: Engagement) -> str:
    good, bad = found.governed["good"], found.governed["bad"]
    if not bad.locks:
        return f"{reader.show(good.seconds, 'time')}, at the bad end it never locks"
    return (
        f"{reader.show(good.seconds, 'time')} to {reader.show(bad.seconds, 'time')}, "
        f"{reader.show(good.heat, 'energy')} to {reader.show(bad.heat, 'energy')}"
    )


def _undecided(draft: Draft, reader: Reader, data: ClutchData) -> None:
    """Add the engagement that cannot be worked out, naming what it lacks."""
    missing = [*data.lacking, *missing_work(reader, data, data.required is None or not data.required.work)]
    if load_inertias(reader) is None:
        missing += missing_shape(reader)
    works = work_shafts(reader)
    if works not in ((), (data.shaft,)):
        missing += data.between
    if not missing:
        lacks = [] if reader.get("engine.work_speed") is not None else ["engine.work_speed"]
        missing = [*lacks, *([] if works else ["work.shaft"])] or data.between
    words = (
        "How long the clutch slips depends on its torque, on what the work takes and on the inertia of the work: its "
    )
    words += "weight and shape, or a run-down test."
    draft.missing(reader, ID, NAME, tuple(dict.fromkeys(missing)), words)


def check(draft: Draft, reader: Reader, data: ClutchData) -> None:
    """Add the verdict on the engagement."""
    found = data.engagement
    if found is None:
        # where it was refused, that is said already
        if not any(c.id == ID for c in draft.checks):
            _undecided(draft, reader, data)
        return
    if found.belts_slip and not found.steps.stalls and not data.fails and not (found.untold and found.pulls_down):
        _by_belts(draft, reader, found)
        return
    if not found.steps.locks:
        _never_locks(draft, reader, found)
        return
    value = f"{reader.show(found.steps.lock_time, 'time')}, {reader.show(found.heat, 'energy')}"
    limit = _limit(reader, found)
    if found.rise is None and found.untold:
        _may_stall(draft, reader, found, value)
        return
    if found.rise is None:
        words = f"It locks after {value}. How far that warms the faces depends on the mass of steel near them."
        draft.checks.append(undecided(ID, NAME, ("clutch.face_mass",), words, limit=limit))
        return
    bad = found.governed["bad"]
    worst = float(slipheat.temperature_rise.si(bad.heat, mass=found.mass)) if bad.locks else math.inf
    verdict = grade(likely=found.rise, bad=worst, limit=found.allowed, higher_is_better=False)
    if found.untold and found.pulls_down and verdict != STOP and not data.fails:
        # a stop by the heat stays one: a light flywheel takes heat out of it only by coming near to a stall
        _may_stall(draft, reader, found, value)
        return
    way = "unloaded" if reader.get("clutch.engage_unloaded") else "under load"
    why = f"Engaged {way} at {reader.show(found.speed, 'rotation')}, with {reader.show(found.torque.likely, 'torque')} "
    why += f"while it slips with its coil hot, and {reader.show(found.load.takes(found.speed), 'torque')} taken by the "
    why += "work. Half the speed makes a quarter of the heat."
    if found.turning.left_out:
        why += f" Not counted: {', '.join(found.turning.left_out)}."
    cure, strong = "Use a larger clutch, or one with more steel near its faces.", _strong_words(reader, found)
    if strong:
        # a larger clutch would only stall the engine sooner
        cure = STALL_CURE if verdict == GO else cure
        verdict, why = CAUTION if verdict == GO else verdict, f"{why} {strong}"
    if data.fails:
        verdict, why = STOP, why + data.fails
    draft.check(
        id=ID,
        name=NAME,
        found=reader.number(
            found.rise, "temperature rise", f"{value}, faces up by {{}}", high=worst if bad.locks else None, form=BOTH
        ),
        wanted=limit,
        verdict=verdict,
        reason=why,
        remedy=unless_go(verdict, cure),
        source="bhandari ch. 11; trade-practice",
        guards=data.burns,
    )


def _by_belts(draft: Draft, reader: Reader, found: Engagement) -> None:
    """Add the verdict on a run-up in which the belts slip and the clutch locks early: they take the heat, not it."""
    likely, bad = found.slips["likely"], found.slips["bad"]
    verdict = grade(likely=likely.seconds, bad=bad.seconds, limit=LONGEST, higher_is_better=False)
    verdict = CAUTION if verdict == STOP and likely.locks else verdict
    ends = [reader.show(m.seconds, "time") if m.locks else "without end" for m in (likely, bad)]
    draft.check(
        id=ID,
        name=NAME,
        found=f"the belts slip, for {ends[0]} ({ends[1]} at the bad end)" if likely.locks else "the belts slip on",
        wanted=reader.number(LONGEST, "time", "belts that slip for {} or less"),
        verdict=verdict,
        reason=f"The belts let {reader.show(found.limit, 'torque')} through at the most, and the clutch pulls "
        f"{reader.show(found.torque.likely, 'torque')} while it slips with its coil hot. So the clutch locks early, "
        + (
            "and the belts slip until the work has come up. They glaze and burn where that lasts. How long they may: "
            "common practice, no source."
            if likely.locks
            else "and the belts slip on: they never bring the work up, and the heat in them has no end."
        ),
        remedy=unless_go(verdict, _empty(reader, "and", "give the belts more grip") + _measure_first(reader, found)),
        source="common practice, no source",
        guards=verdict == STOP,
    )


def _empty(reader: Reader, word: str, other: str) -> str:
    """Return advice, joined by a word to that of engaging without the load, where that is not done yet."""
    if reader.get("clutch.engage_unloaded"):
        return f"{other[:1].upper()}{other[1:]}."
    return f"Engage with the work empty or lifted out (clutch.engage_unloaded), {word} {other}."


def _measure_first(reader: Reader, found: Engagement) -> str:
    """Return in a sentence what must be known before any of that can be proved; empty where it is."""
    lacks = found.untold
    if not lacks and not at_most(found.torque.good, found.engine_torque):
        lacks = untold(reader, torque_known=True)  # the clutch stalls it once the belts let more through
    if not lacks:
        return ""
    return f" The engine may stall on it. To know, measure: {'; '.join(map(label, lacks))}."


def _strong_words(reader: Reader, found: Engagement) -> str:
    """Return what the clutch at its strongest does to the engine, empty where the engine keeps up with it."""
    if found.strong is not None and found.strong.stalls:
        return "With its faces run in and its coil cold the clutch takes more, and the engine stalls."
    if not found.untold:
        return ""
    reader.note_missing(*found.untold)
    gives = f"{reader.show(found.engine_torque, 'torque')} that the engine has" if found.engine_torque else "the engine"
    return (
        f"With its faces run in and its coil cold the clutch takes up to {reader.show(found.most, 'torque')}, against "
        f"{gives}. Whether the engine then stalls is not known without the inertia of its flywheel and its stall speed."
    )


def _may_stall(draft: Draft, reader: Reader, found: Engagement, value: str) -> None:
    """Add the engagement that pulls the engine down, where it is not known whether that stalls it."""
    takes, state = (found.pulls, "hot") if found.pulls_down else (found.most, "cold and its faces run in")
    gives = reader.show(found.engine_torque, "torque") if found.engine_torque else "not known"
    words = f"With its coil {state} the clutch takes {reader.show(takes, 'torque')} while it slips. "
    words += f"What the engine has at this shaft is {gives}. The flywheel gives what the engine lacks, and slows down "
    words += "by it. Whether the engine stalls before the clutch locks depends on that flywheel and on the speed below "
    words += "which it stalls. "
    held = found.engine_inertia is None
    words += f"{'With its speed held' if held else 'If it did not stall'} it would lock after {value}"
    missing = found.untold
    if found.rise is None:
        missing += ("clutch.face_mass",)
    else:
        words += f", faces up by {reader.both(found.rise, 'temperature rise')}"
    draft.missing(reader, ID, NAME, missing, f"{words}: an estimate.", limit=_limit(reader, found))


def _limit(reader: Reader, found: Engagement) -> Value:
    return reader.number(found.allowed, "temperature rise", "locks, faces up by {} or less", form=BOTH)


def _never_locks(draft: Draft, reader: Reader, found: Engagement) -> None:
    """Add the stop of an engagement that does not end."""
    why = "the load takes as much as the clutch gives while it slips; the heat has no end"
    cure = _empty(reader, "or", "use a larger clutch") + _measure_first(reader, found)
    if found.steps.stalls:
        why, cure = _stall_words(reader, found)
    speed = reader.show(found.speed, "rotation")
    why, guards = f"At {speed}: {why}.", not found.steps.stalls
    draft.check(
        id=ID,
        name=NAME,
        found="does not lock",
        wanted=_limit(reader, found),
        verdict=STOP,
        reason=why,
        remedy=cure,
        source="bhandari ch. 11",
        guards=guards,
    )


def sheet(draft: Draft, reader: Reader, found: Engagement) -> None:
    """Add the table of cases: clutch at its bad end, likely and good end, and the drooping engine."""
    cases = [
        (f"engine held, clutch {end}", getattr(found.torque, end), found.governed[end]) for end in found.torque._fields
    ]
    if found.drooping is not None:
        cases.append(("engine at full throttle droops", found.torque.likely, found.drooping))
    steps = found.steps
    engine = "engine held" if found.engine_inertia is None else "engine with its governor"
    last = engagement.Engagement(steps.lock_time, found.heat, float(steps.load[-1]), steps.locks, steps.stalls)
    cases.append((f"step by step, {engine}", found.torque.likely, last))
    rows = [
        (
            name,
            reader.number(torque, "torque"),
            reader.number(m.seconds, "time") if m.locks else "never",
            reader.number(m.heat, "energy") if m.locks else "without end",
            reader.number(m.speed, "rotation") if m.locks and np.isfinite(m.speed) else "",
            "engine stalls" if m.stalls else "locks" if m.locks else "does not lock",
        )
        for name, torque, m in cases
    ]
    draft.tables.append(
        Table(
            "Engagement, case by case",
            ("case", "while slipping, coil hot", "time", "heat", "common speed", "how it ends"),
            tuple(rows),
            "Without a load the heat is the same for every clutch: only the time changes. With a load it grows without "
            "limit as the clutch's torque comes down to that of the load.",
        )
    )


__all__ = ["check", "facts", "sheet"]

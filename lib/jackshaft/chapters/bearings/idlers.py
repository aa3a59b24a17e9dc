"""The bearing in each idler: its life, its static safety and its speed under the belt that bears on it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from jackshaft.chapters.bearings import place
from jackshaft.chapters.bearings.checks import HARDER
from jackshaft.chapters.bearings.data import HEAVY_SHOCK, SHOCK
from jackshaft.chapters.bearings.life import dirt, likely_shock, rating_life, safety_wanted, speed_limits
from jackshaft.chapters.bearings.rating import tabulated
from jackshaft.chapters.ratio.checks import TOP, top_words
from jackshaft.mechanics import bearing_limits, bearing_marks, bearing_sizes
from jackshaft.parts import seldom
from jackshaft.parts.idlers import Idler, idlers
from jackshaft.parts.shaft_cases import at_case, grips_of
from jackshaft.parts.tightener import counts_at
from jackshaft.parts.words import sentence
from jackshaft.results.checks import CAUTION, GO, ORDER, STOP, grade, reaches
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number
from jackshaft.units import HOUR

LOAD = "work.load_class"


class IdlerBearing(NamedTuple):
    """What one bearing of an idler lives: hours, likely and at the bad end, static safety, and its speed limits."""

    life: float
    life_bad: float
    static: float
    limits: tuple[float, float]
    wanted_static: float
    #: static safety in a case that lasts a moment and comes seldom
    once: float = np.inf


def work_up(draft: Draft, reader: Reader, done: Mapping[str, Findings]) -> None:
    """Add the check of each idler's bearing."""
    for idler in idlers(reader, done):
        id, title = f"bearings.idler[{idler.part}]", f"{idler.part}: bearing of the idler"
        with draft.attempt(reader, id, title):
            size = size_of(reader.get(f"{idler.at}.bearing") or "")
            if size is not None:
                place.idler_check(draft, reader, idler.part, idler.at, size)
            _check(draft, reader, idler, id, title)
            grip = grips_of(done).get(idler.stage)
            draft.tell("" if grip is None else counts_at(reader, idler.stage, grip.tensions), id)


def bad_shock(reader: Reader) -> float:
    """Return the shock factor of an idler's bearing at the bad end: the usual one, or that of heavy shock."""
    return HEAVY_SHOCK if reader.get("work.load_class") == "heavy shock" else SHOCK


def worked_out(reader: Reader, idler: Idler, size, count: int, shock: float | None = None) -> IdlerBearing | None:
    """Return what one of the bearings of an idler lives; None where no rating is tabulated for its size.

    At the bad end it is shaken with the factor ``shock``, or runs in its hardest case all the time, as the bearings of
    a shaft whose shock factor nobody gives.
    """
    rating = tabulated(size)
    if rating is None:
        return None
    shock = bad_shock(reader) if shock is None else shock
    work, most = idler.work / count, idler.hardest[1] / count
    top, hard = shock * most, max(shock * work, most)
    static = np.inf
    if rating.static is not None and top > 0:
        static = float(bearing_limits.static_safety.si(top, 0.0, rating.static.value))
    once = np.inf
    if rating.static is not None and idler.seldom is not None and idler.seldom[1] > 0:
        once = float(bearing_limits.static_safety.si(idler.seldom[1] / count, 0.0, rating.static.value))
    return IdlerBearing(
        life=rating_life(rating.dynamic, work, idler.speed, likely_shock(reader)),
        life_bad=dirt(reader) * rating_life(rating.dynamic, hard, idler.speed, 1.0),
        static=static,
        limits=speed_limits(size, None),
        wanted_static=safety_wanted(reader, shock)[0],
        once=once,
    )


def verdict_of(found: IdlerBearing, wanted: float, top: float) -> str:
    """Return the worst of the verdicts on life, static safety and speed."""
    static = GO if reaches(found.static, found.wanted_static) else CAUTION if reaches(found.static, 1.0) else STOP
    likely, bad = found.limits
    return max(
        grade(likely=found.life, bad=found.life_bad, limit=wanted),
        grade(likely=likely, bad=bad, limit=top),
        seldom.joined(static, seldom=seldom.holds(found.once)),
        key=ORDER.index,
    )


def _check(draft: Draft, reader: Reader, idler: Idler, id: str, title: str) -> None:
    key, wanted = f"{idler.at}.bearing", reader.si("wanted_life")
    number, count = reader.get(key), reader.get(f"{idler.at}.bearings") or 1
    missing = [k for k, v in ((key, number), ("wanted_life", wanted)) if v is None]
    if idler.work is None:
        missing += reader.unknown(*idler.missing)
    if idler.speed is None:
        missing += [k for k in ("engine.work_speed",) if reader.get(k) is None]
    size = None if number is None else size_of(number)
    limit = "" if wanted is None else reader.number(wanted, "time", "{} or more", by="hours")
    if number is not None and size is None:
        draft.check(
            id,
            title,
            "not found",
            "a listed number",
            CAUTION,
            reason=f"'{number}' is in no list here, so its life is not judged.",
            remedy="Read the ring again, and ask its maker for its life under this load.",
            source="trade-practice",
        )
        return
    if not missing and (idler.work is None or idler.speed is None):
        draft.checks.append(idler.refused(id, title, limit))
        return
    if missing:
        bears = "" if idler.work is None else f" The belt bears on it with {reader.show(idler.work, 'force')} at work."
        draft.missing(reader, id, title, missing, f"What turns in the idler is not judged yet.{bears}", limit=limit)
        return
    found = worked_out(reader, idler, size, count)
    if found is None:
        draft.check(
            id,
            title,
            f"{size.designation}, no rating",
            limit,
            CAUTION,
            reason=f"No rating is tabulated for {size.designation}, so its life is not judged.",
            remedy="Ask its maker for its life under this load, or take a size that the tables rate.",
            source="trade-practice",
        )
        return
    top = idler.top or idler.speed
    verdict = verdict_of(found, wanted, top)
    draft.check(
        id,
        title,
        _hours(reader, size.designation, found),
        limit,
        verdict,
        reason=_why(reader, idler, found, count, top),
        remedy=""
        if verdict == GO
        else "Take a larger bearing, two side by side, or a larger idler, which turns more slowly.",
        source="gost18855; textbook-practice",
    )
    draft.doubt(reader, () if idler.top is not None else (TOP,), top_words(reader), id)
    heavy = worked_out(reader, idler, size, count, HEAVY_SHOCK)
    _unsure(draft, reader, idler, id, shaken=verdict_of(heavy, wanted, top) != GO)


def _unsure(draft: Draft, reader: Reader, idler: Idler, id: str, *, shaken: bool) -> None:
    """Leave a go open that a harder case, or rougher work, may spoil; ``shaken`` tells that heavy shock would."""
    draft.doubt(reader, idler.unsure, HARDER, id)
    if shaken and reader.get(LOAD) is None:
        words = f"How rough the work is is not known: under heavy shock it feels up to {HEAVY_SHOCK:g} times the load."
        draft.doubt(reader, (LOAD,), words, id)


def _hours(reader: Reader, name: str, found: IdlerBearing) -> Number:
    """Return how long a bearing lives, with its name, likely and at the bad end."""
    life, bad = (min(s, 1e6 * HOUR) for s in (found.life, found.life_bad))
    return reader.number(life, "time", f"{name}, {{}}", low=bad, by="hours")


def _why(reader: Reader, idler: Idler, found: IdlerBearing, count: int, top: float) -> str:
    """Return in words what bears on an idler's bearing, how long it lives, and how fast it turns and may turn."""
    case, most = idler.hardest
    bearings = "it" if count == 1 else f"{count} of them"
    peak = "" if case == "work" else f", {reader.show(most, 'force')} {at_case(case)}"
    return (
        f"{reader.show(idler.work, 'force')} bear on {bearings} at work{peak}, at "
        f"{reader.show(idler.speed, 'rotation')}. A shock factor of {likely_shock(reader):g} is likely. At "
        f"the bad end, with one of {bad_shock(reader):g} or its hardest case all the time, and the dirt of the place, "
        f"it lives {reader.show(min(found.life_bad, 1e6 * HOUR), 'time', by='hours')}. "
        f"Static safety {min(found.static, 99.0):.2f}, wanted {found.wanted_static:g}. It turns at "
        f"{reader.show(top, 'rotation')}{'' if idler.top is None else ' at most'}; sealed it may turn at "
        f"{reader.show(found.limits[1], 'rotation')}."
        f"{_once(reader, idler, found)}"
    )


def _once(reader: Reader, idler: Idler, found: IdlerBearing) -> str:
    """Return in words what comes seldom and dents a race; nothing where it does not."""
    if seldom.holds(found.once):
        return ""
    case, most = idler.seldom
    return (
        f" {sentence(at_case(case))} {reader.show(most, 'force')} bear on it for a moment: static safety "
        f"{found.once:.2f}, wanted {seldom.HOLDS:g}."
    )


def size_of(number: str):
    """Return the size that a number names, its seals and clearance left aside; None where no list has it."""
    try:
        return bearing_sizes.find.si(bearing_marks.decode(number).designation)
    except ValueError:
        return None

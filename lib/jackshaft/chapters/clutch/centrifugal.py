"""A centrifugal clutch: what its shoes hold at work, and whether the work stands while the engine idles."""

from __future__ import annotations

from contextlib import suppress

from jackshaft.chapters.clutch.checks import SERVICE_SOURCE, service_factor
from jackshaft.chapters.clutch.ways_data import CENTRIFUGAL as KIND
from jackshaft.chapters.electric.words import unless_go
from jackshaft.chapters.ratio.data import RatioData
from jackshaft.mechanics import clutch, shoes
from jackshaft.parts.engine_curve import POINTS, engine_curve, full_throttle
from jackshaft.parts.engine_curve import torque_at as torque_of_engine
from jackshaft.parts.motor import is_motor
from jackshaft.parts.shoe_clutch import ENGAGES, Law, engages_at, law_of, over_of, sprung, sprung_ends
from jackshaft.results.checks import CAUTION, GO, ORDER, grade, reaches
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader, Unknown
from jackshaft.units import at_least, at_most

#: Share by which the speed of engaging may be off where the build allows nothing: common practice, no source.
SPREAD = 0.05
#: Share by which the speed of engaging that is given may be above that of the springs: common practice, no source.
AGREES = 0.1
SOURCE = "khurmi-friction; bhandari ch. 11"
NO_CURVE = " A peak pulls the engine down, and the shoes let go as it slows: its torque at lower speeds is not known."


def lacking(reader: Reader, ratio: RatioData | None, shaft: str) -> tuple[str, ...]:
    """Return the keys without which it is not known what the shoes hold."""
    try:
        law_of(reader, over_of(ratio, shaft))
    except Unknown as unknown:
        return unknown.keys
    return ()


def hold(draft: Draft, reader: Reader, ratio: RatioData | None, required: clutch.Required | None, shaft: str) -> None:
    """Add the verdict on what the shoes hold at the working speed."""
    id, name = "clutch.hold", "holding, at the working speed"
    keys = ("engine.work_speed", "work.power", "work.power_at")
    lacks = (*lacking(reader, ratio, shaft), *(k for k in keys if reader.get(k) is None))
    if lacks or required is None or required.hold == 0.0:
        words = "Its torque, the speed that this is stated at, the speed at which it engages or its load is not known."
        draft.missing(reader, id, name, lacks or (() if ratio is None else ratio.between) or ("stage",), words)
        return
    speed, over = reader.require_si("engine.work_speed"), over_of(ratio, shaft)
    law = law_of(reader, over)
    band = law.at(speed / over)
    draft.fact(
        "torque below the speed of engaging",
        "nothing",
        f"up to {reader.show(law.engages * over, 'rotation')} of the engine, "
        f"{reader.show(band.likely, 'torque')} at {reader.show(speed, 'rotation')}; {law.words}",
    )
    verdict, (rule, words) = grade(likely=band.likely, bad=band.bad, limit=required.hold), service_factor(reader)
    if verdict == GO and not reaches(band.likely, rule * required.work):
        verdict = CAUTION
    worse, pulled, passes = _pulled_down(reader, law, over, required.peak)
    wanted, remedy = required.hold, "Use a larger clutch, or put it on a faster shaft, where the torque is smaller."
    if ORDER.index(worse) > ORDER.index(verdict):
        verdict, band, wanted = worse, passes, required.peak
        remedy = "Use springs that let the shoes engage earlier, more or heavier shoes, or an engine with more torque."
    draft.check(
        id=id,
        name=name,
        found=reader.number(band.likely, "torque", "{} ({low} at the bad end)", low=band.bad, high=band.good),
        wanted=reader.number(wanted, "torque", "{} or more"),
        verdict=verdict,
        reason=f"At {reader.show(speed, 'rotation')} of the engine. Its torque goes with the square of its speed, less "
        f"that of the speed at which it engages. {words.capitalize()} needs {rule:g} × the working torque.{pulled}",
        remedy=unless_go(verdict, remedy),
        source=f"{SOURCE}; {SERVICE_SOURCE}",
        guards=not at_most(required.work, band.likely),
    )
    if pulled == NO_CURVE:
        draft.doubt(reader, (POINTS,), "", id)


def _pulled_down(reader: Reader, law: Law, over: float, peak: float) -> tuple[str, str, clutch.Band | None]:
    """Return verdict, words and torque (N·m) of a peak that pulls the engine down, and the shoes with it.

    A motor without a curve holds its speed; an engine does where it has the peak at its working speed already.
    """
    work, curve = reader.require_si("engine.work_speed"), engine_curve(reader)
    has = torque_of_engine(reader, work)[0]
    if (has is not None and at_least(has * over, peak)) or (curve is None and is_motor(reader)):
        return GO, "", None
    if curve is None:
        return GO, NO_CURVE, None
    gives, least = full_throttle(reader, over)
    at = {"gives": gives, "work": work / over, "least": least}
    at["knots"] = tuple(float(w) / over for w in curve.speeds)
    late, engages, _ = law.engaging
    down, passes = shoes.pulled_down_si(law.per.likely, engages=engages, **at)
    good = shoes.pulled_down_si(law.per.good, engages=engages, **at)[1]
    # shoes that may not touch the drum at the working speed yet pass nothing
    bad = shoes.pulled_down_si(law.per.bad, engages=late, **at)[1] if late < at["work"] else 0.0
    verdict = grade(likely=passes, bad=bad, limit=peak)
    words = f" At a peak the engine is pulled down to {reader.show(down * over, 'rotation')}, where engine and shoes "
    words += f"pass {reader.show(passes, 'torque')} ({reader.show(bad, 'torque')} at the bad end) of "
    words += f"{reader.show(peak, 'torque')} wanted."
    return verdict, "" if verdict == GO else words, clutch.Band(bad, passes, good)


def idle(draft: Draft, reader: Reader, ratio: RatioData | None, shaft: str) -> None:
    """Add the verdict on whether the clutch lets go at idle: nothing else stops the work while the engine runs.

    An electric motor does not idle: it is switched off.
    """
    if is_motor(reader):
        return
    id, name = "clutch.idle", "work stands while the engine idles"
    given, runs = reader.get(ENGAGES), reader.get("engine.idle_speed")
    engages, lacks = None if given is None else given.si, () if runs is not None else ("engine.idle_speed",)
    if engages is None:
        try:
            over = over_of(ratio, shaft)
            engages = engages_at(reader, over) * over
        except Unknown as unknown:
            lacks += unknown.keys
    if lacks:
        words = "The shoes engage by speed alone: the work turns at idle where the engine idles too fast."
        draft.missing(reader, id, name, lacks, words)
        return
    springs, words, measure = _by_springs(reader, ratio, shaft) if given is not None else None, "", ""
    if springs is not None and not at_most((1.0 - AGREES) * engages, springs):
        words = f" The springs let the shoes engage at {reader.show(springs, 'rotation')} already, where "
        words += f"{reader.show(engages, 'rotation')} is written down: measure it. The lower is counted."
        measure = f"Measure at what speed the shoes touch and write it down ({ENGAGES}), or correct the pull of their "
        measure += "springs (clutch.shoe_spring). Until then set the idle for the lower."
        engages, given = springs, None
    off = runs.plus_minus or 0.0
    spread = SPREAD * engages if given is None or given.plus_minus is None else given.plus_minus
    ends_ = None if given is not None else sprung_ends(reader)
    if ends_ is not None:
        spread = max(spread, engages - ends_[0] * over_of(ratio, shaft))
    off += spread
    verdict = grade(likely=runs.si, bad=runs.si + off, limit=engages, higher_is_better=False, guards=True)
    verdict = CAUTION if words and verdict == GO else verdict
    draft.check(
        id=id,
        name=name,
        found=reader.number(runs.si, "rotation", high=runs.si + off, known=reader.how("engine.idle_speed")),
        wanted=reader.number(engages, "rotation", "below {}, where the shoes engage"),
        verdict=verdict,
        reason="Nothing but its speed lets a centrifugal clutch go. Stop the engine before you come near the work."
        + words,
        remedy=unless_go(
            verdict, measure if words else "Set the idle lower, or fit springs that let the shoes engage later."
        ),
        source=SOURCE,
        guards=verdict != GO,
    )


def _by_springs(reader: Reader, ratio: RatioData | None, shaft: str) -> float | None:
    """Return the engine's speed (rad/s) at which the springs let the shoes touch; None where it is not known."""
    with suppress(Unknown):
        found = sprung(reader)
        return None if found is None else found * over_of(ratio, shaft)
    return None


__all__ = ["KIND", "hold", "idle", "lacking"]

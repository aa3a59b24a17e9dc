"""A centrifugal clutch: what its shoes hold at work, and whether the work stands while the engine idles."""

from __future__ import annotations

from jackshaft.chapters.clutch.checks import SERVICE_SOURCE, service_factor
from jackshaft.chapters.clutch.torque import FACES
from jackshaft.chapters.electric.words import unless_go
from jackshaft.chapters.ratio.data import ENGINE, RatioData
from jackshaft.mechanics import clutch
from jackshaft.results.checks import CAUTION, GO, grade, reaches
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader, Unknown
from jackshaft.units import at_most

KIND = "centrifugal"
#: Share by which the speed of engaging may be off where the build allows nothing: common practice, no source.
SPREAD = 0.05
HELD = "clutch.static_torque", "clutch.torque_speed", "clutch.engage_speed"
NOT_JUDGED = (
    "How long a centrifugal clutch slips while the engine runs up, and how warm it gets, is not worked out. Let the "
    "engine run up without a halt between idle and working speed, where the shoes slip."
)


def torque_at(reader: Reader, ratio: RatioData | None, shaft: str, engine_speed: float) -> clutch.Band:
    """Return what the shoes hold at a speed of the engine (rad/s), at the clutch's own shaft (N·m).

    Raises
    ------
    Unknown
        Where the torque, its speed, the speed of engaging or the ratio to the engine is not known.
    OutOfRange
        A torque stated at the speed of engaging or below it, where no shoe holds anything.
    """
    torque, stated, engages = reader.require(*HELD)
    state = ratio.shaft(shaft) if ratio is not None else None
    if state is None and shaft != ENGINE:
        raise Unknown("stage")
    over = state.over if state is not None else 1.0
    held = float(
        clutch.centrifugal_torque_si(torque.si, at=stated.si, engages=engages.si / over, speed=engine_speed / over)
    )
    off = (torque.plus_minus or 0.0) / torque.si
    faces, _ = FACES[reader.get("clutch.faces")]
    return clutch.times_si(clutch.times_si(held, factor=clutch.Band(1.0 - off, 1.0, 1.0 + off)), factor=faces)


def ends(reader: Reader, ratio: RatioData | None, shaft: str) -> tuple[clutch.Band, clutch.Band]:
    """Return what the shoes hold at the working speed, and at the engine's top speed; raises as :func:`torque_at`."""
    work = reader.require_si("engine.work_speed")
    engine = None if ratio is None else ratio.shaft(ENGINE)
    top = work if engine is None else max(work, engine.top or 0.0)
    return torque_at(reader, ratio, shaft, work), torque_at(reader, ratio, shaft, top)


def check(draft: Draft, reader: Reader, ratio: RatioData | None, required: clutch.Required | None, shaft: str) -> None:
    """Add the verdicts on a centrifugal clutch."""
    with draft.attempt(reader, "clutch.hold", "holding, at the working speed"):
        _hold(draft, reader, ratio, required, shaft)
    _idle(draft, reader)
    draft.cautions.append(NOT_JUDGED)


def _hold(draft: Draft, reader: Reader, ratio: RatioData | None, required: clutch.Required | None, shaft: str) -> None:
    id, name = "clutch.hold", "holding, at the working speed"
    keys = (*HELD, "engine.work_speed", "work.power", "work.power_at")
    lacks = tuple(k for k in keys if reader.get(k) is None)
    if lacks or required is None or required.hold == 0.0:
        words = "Its torque, the speed that this is stated at, the speed at which it engages or its load is not known."
        draft.missing(reader, id, name, lacks or (() if ratio is None else ratio.between) or ("stage",), words)
        return
    speed = reader.require_si("engine.work_speed")
    band = torque_at(reader, ratio, shaft, speed)
    draft.fact(
        "torque below the speed of engaging",
        "nothing",
        f"up to {reader.show(reader.require_si('clutch.engage_speed'), 'rotation')} of the engine, "
        f"{reader.show(band.likely, 'torque')} at {reader.show(speed, 'rotation')}",
    )
    verdict, (rule, words) = grade(likely=band.likely, bad=band.bad, limit=required.hold), service_factor(reader)
    if verdict == GO and not reaches(band.likely, rule * required.work):
        verdict = CAUTION
    draft.check(
        id=id,
        name=name,
        found=reader.number(band.likely, "torque", "{} ({low} at the bad end)", low=band.bad, high=band.good),
        wanted=reader.number(required.hold, "torque", "{} or more"),
        verdict=verdict,
        reason=f"At {reader.show(speed, 'rotation')} of the engine. Its torque goes with the square of its speed, less "
        f"that of the speed at which it engages. {words.capitalize()} needs {rule:g} × the working torque.",
        remedy=unless_go(verdict, "Use a larger clutch, or put it on a faster shaft, where the torque is smaller."),
        source=f"bhandari ch. 11; {SERVICE_SOURCE}",
        guards=not at_most(required.work, band.likely),
    )


def _idle(draft: Draft, reader: Reader) -> None:
    """Add the verdict on whether the clutch lets go at idle: nothing else stops the work while the engine runs."""
    id, name = "clutch.idle", "work stands while the engine idles"
    idle, engages = reader.get("engine.idle_speed"), reader.get("clutch.engage_speed")
    if idle is None or engages is None:
        lacks = tuple(k for k in ("engine.idle_speed", "clutch.engage_speed") if reader.get(k) is None)
        words = "The shoes engage by speed alone: the work turns at idle where the engine idles too fast."
        draft.missing(reader, id, name, lacks, words)
        return

    off = idle.plus_minus or 0.0
    off += SPREAD * engages.si if engages.plus_minus is None else engages.plus_minus
    verdict = grade(likely=idle.si, bad=idle.si + off, limit=engages.si, higher_is_better=False, guards=True)
    draft.check(
        id=id,
        name=name,
        found=reader.number(idle.si, "rotation", known=reader.how("engine.idle_speed")),
        wanted=reader.number(engages.si, "rotation", "below {}, where the shoes engage"),
        verdict=verdict,
        reason="Nothing but its speed lets a centrifugal clutch go. Stop the engine before you come near the work.",
        remedy=unless_go(verdict, "Set the idle lower, or fit springs that let the shoes engage later."),
        source="bhandari ch. 11",
        guards=verdict != GO,
    )


__all__ = ["KIND", "NOT_JUDGED", "check", "torque_at"]

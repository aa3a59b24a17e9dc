"""How the work stops after its drive lets go: by the clutch's brake through the belts, or by itself."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

from jackshaft import tables
from jackshaft.chapters.clutch.belts import Belts, belts_of
from jackshaft.chapters.electric.words import unless_go
from jackshaft.chapters.ratio.data import RatioData, chain
from jackshaft.mechanics import clutch
from jackshaft.parts.turning import BLADE, Turning, load_inertias, missing_shape, turning
from jackshaft.parts.works import STRAY, stray_works, work_key, work_shafts
from jackshaft.results.checks import CAUTION, GO, STOP, grade
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.results.values import BOTH

ID, NAME = "clutch.stop", "work stops after its drive lets go"
#: Share by which a stop watch and a tachometer may be off in a run-down: common practice, no source.
SPREAD = 0.1
RUN_DOWN = ("work.run_down_speed", "work.run_down_time")
#: What is said where one brake is written down for several shafts that the slack belt joins no more.
APART = (
    "The slack belt joins {} no more: a brake on one of them lets the others coast. Which has the brake, or that each "
    "has one, is not known: time the slowest of them, the brake on, as its run-down."
)


class Stopped(NamedTuple):
    """A stop, likely and at its bad end (s), with how it comes about; ``limit`` is the belts' torque at the bad end."""

    likely: clutch.Stop
    bad: float
    braked: bool
    limit: float | None


def cuts(reader: Reader) -> bool | None:
    """Tell whether the work cuts or throws: the build says so, or its weight lies as a bar, as that of a blade.

    None where the build does not say: a disc or a rim may carry knives as well.
    """
    said, lies = reader.get("work.cuts"), {reader.get(key) for key in _shapes(reader)}
    return said if said is not None else True if BLADE in lies else None


def _shapes(reader: Reader) -> tuple[str, ...]:
    """Return the keys that say how the mass of the work lies, on each shaft that carries it."""
    return tuple(dict.fromkeys(work_key(reader, shaft, "mass_at") for shaft in work_shafts(reader) or (None,)))


def braked_stop(
    reader: Reader, ratio: RatioData | None, shaft: str, turns: Turning | None, belts: Belts | None
) -> Stopped | None:
    """Return the stop by the clutch's brake, from the working speed, at the bad end from the engine's highest."""
    brake, state = reader.get("clutch.brake_torque"), ratio.shaft(shaft) if ratio is not None else None
    speed = reader.si("engine.work_speed") if state is None else state.work
    if brake is None or turns is None or not speed or (belts is not None and belts.backward is None):
        return None
    through = clutch.Band(math.inf, math.inf, math.inf) if belts is None else belts.backward
    low = min(brake.si - (brake.plus_minus or 0.0), through.bad)
    likely = clutch.brake_stop.si(turns.likely, speed=speed, brake=min(brake.si, through.likely))
    top = speed if state is None else max(state.top or 0.0, speed)
    bad = clutch.brake_stop.si(turns.bad, speed=top, brake=max(low, 0.0)).seconds
    return Stopped(likely, bad, braked=True, limit=through.bad if through.bad < brake.si else None)


def coasting_stop(reader: Reader, ratio: RatioData | None) -> Stopped | None:
    """Return the stop of work that coasts, by its run-down test; the drag is taken as that of the test throughout."""
    lost, time = (reader.si(key) for key in RUN_DOWN)
    works = work_shafts(reader)  # a run-down test took in all that turns, at the first of them
    state = ratio.shaft(works[0]) if ratio is not None and works else None
    if not lost or time is None or state is None or not state.work:
        return None
    seconds = time * state.work / lost
    bad = (1.0 + SPREAD) * time * max(state.top or 0.0, state.work) / lost
    return Stopped(clutch.Stop(seconds, seconds * state.work / 4.0 / math.pi, 0.0), bad, braked=False, limit=None)


def check(
    draft: Draft, reader: Reader, found: Stopped | None, lacks: tuple[str, ...], apart: tuple[str, ...] = ()
) -> None:
    """Add the verdict on how long the work takes to stop: where there is a brake, or where the work cuts or throws.

    ``apart`` are the shafts that a slack belt drove where they are several: one brake stops one of them.
    """
    braked, danger = bool(reader.get("clutch.brake")), cuts(reader)
    if not braked and danger is False:
        return
    row = tables.table("attachment_facts").one(item="blade stop, ride-on")
    most, name = row["high"], "work stops after it is switched off" if reader.is_none("clutch") else NAME
    limit = reader.number(most, "time", "{} or less", source=row["source"])
    held = danger is not False and reader.get("work.guard_holds")
    likely, bad = (math.inf, math.inf) if found is None else (found.likely.seconds, found.bad)
    verdict = grade(likely=likely, bad=bad, limit=most, higher_is_better=False, guards=True)
    unknown = () if danger is not None or held or verdict == GO else reader.unknown("work.cuts", *_shapes(reader))
    if unknown or (found is None and not held):
        words = "What the drive lets go turns on until its brake or its own drag has stopped it. "
        if reader.is_none("clutch"):
            words = "Switched off, the work turns on until its own drag has stopped it. "
        words += "Time it with a stop watch, from outside the guard." if found is None else _why(reader, found)
        words += f" {APART.format(', '.join(apart))}" if apart else ""
        words += " Whether it cuts or throws is not known yet." if unknown else ""
        draft.missing(reader, ID, name, unknown + (lacks if found is None else ()), words, limit=limit)
        return
    why = _why(reader, found)
    if held:
        verdict, why = GO, f"{why} Its guard keeps everybody out until it has stopped."
    elif danger:
        why += (
            " A blade that still turns cannot be seen. The limit is that of ride-on mowers; local codes may ask more."
        )
    elif verdict == STOP:
        verdict = CAUTION
    value = "not known, the guard holds" if found is None else "it does not stop by its brake"
    if found is not None and math.isfinite(likely):
        how = reader.how("clutch.brake_torque" if found.braked else "work.run_down_time")
        end = bad if math.isfinite(bad) else None
        words = "{} ({high} at the bad end)" if end else "{}, without end at the bad end"
        value = reader.number(likely, "time", words, high=end, known=how)
    draft.check(
        id=ID,
        name=name,
        found=value,
        wanted=limit,
        verdict=verdict,
        reason=why,
        remedy=unless_go(
            verdict, "Fit a stronger brake at the work, or a guard that cannot be opened before it stands."
        ),
        source=row.cite,
        guards=verdict != GO and bool(danger),
    )


def _why(reader: Reader, found: Stopped | None) -> str:
    if found is None:
        return "How long it runs on is not known."
    if not found.braked:
        return "No brake stops it: it runs down as in its run-down test, from its working speed."
    why = f"{reader.show(found.likely.heat, 'energy')} goes into the brake; the work's own drag is left out."
    if found.limit is not None:
        why += (
            f" The belts slip: at the bad end they let only {reader.show(found.limit, 'torque')} of the brake through."
        )
    return why


def lacking(
    reader: Reader, ratio: RatioData | None, belts: Belts | None, *, brake: bool, apart: bool = False
) -> tuple[str, ...]:
    """Return the keys without which it is not known how long the work takes to stop.

    Where a belt cannot run between its pulleys, they are the places of those, which are known.
    ``brake`` tells whether this drive has a clutch that may have a brake, ``apart`` that it stops one shaft of several.
    """
    if reader.get("clutch.brake") and not apart:
        keys = ("clutch.brake_torque", *(() if belts is None else belts.lacks))
        keys += missing_shape(reader) if load_inertias(reader) is None else ()
    else:
        keys = ("clutch.brake",) * brake + RUN_DOWN + ("work.guard_holds",)
    keys += (*(() if work_shafts(reader) else ("work.shaft",)), "engine.work_speed")
    unknown = tuple(k for k in dict.fromkeys(keys) if reader.get(k) is None)
    return unknown or (() if belts is None else belts.lacks) or (("stage",) if ratio is None else ratio.between)


def fact(draft: Draft, reader: Reader, found: Stopped | None) -> None:
    """Add how long the work takes to stop."""
    if found is None:
        return
    where = (
        f"{found.likely.turns:.0f} turns of the clutch's shaft, {reader.show(found.likely.heat, 'energy')} in the brake"
        if found.braked
        else f"{found.likely.turns:.0f} turns of the work, without a brake"
    )
    draft.fact("work stops in", reader.number(found.likely.seconds, "time", form=BOTH), where)


def work_up(
    draft, reader: Reader, ratio: RatioData | None, shaft: str | None, turns, belts, apart: tuple[str, ...] = ()
) -> Stopped | None:
    """Add fact and verdict, and return the stop; ``shaft`` is the clutch's, None where no clutch could have a brake.

    ``apart`` are the shafts that a slack belt drove where they are several: one brake does not stop them all.
    """
    brake = shaft is not None and bool(reader.get("clutch.brake"))
    apart = apart if brake else ()
    if brake and not apart:
        found = braked_stop(reader, ratio, shaft, turns, belts)
    else:
        found = coasting_stop(reader, ratio)
    if brake or (cuts(reader) is not False and reader.has("work")):
        fact(draft, reader, found)
        lacks = lacking(reader, ratio, belts, brake=shaft is not None, apart=bool(apart))
        check(draft, reader, found, lacks, apart)
    return found


def at_shaft(
    draft: Draft, reader: Reader, done: Mapping[str, Findings], shaft: str | None, slack: str | None = None
) -> Stopped | None:
    """Work out and judge how the work stops; ``shaft`` is the clutch's, None where there is no clutch.

    ``slack`` is the stage whose belt is slack by then: the brake sits behind it.
    """
    ratio: RatioData | None = done["ratio"].data
    turns = belts = None
    ends = () if slack is None else let_go(reader, ratio, slack)
    shaft = ends[0] if ends else shaft
    if shaft is not None:
        turns, belts = turning(reader, ratio, shaft, slack), belts_of(reader, done, shaft)
    stopped = work_up(draft, reader, ratio, shaft, turns, belts, ends if len(ends) > 1 else ())
    if stopped is not None:
        draft.doubt(reader, stray_works(reader), STRAY, ID)
    if stopped is not None and stopped.braked and slack is not None:
        keys = [k for k in turns.keys if k.startswith(f"stage[{slack}].")]
        draft.doubt(reader, keys, "The pulley that the slack belt drove turns on; its weight is not known.", ID)
    return stopped


def let_go(reader: Reader, ratio: RatioData, slack: str) -> tuple[str, ...]:
    """Return the shafts that a slack belt drove on the way to the work, all that it drove where no work is known."""
    ways = [s for work in work_shafts(reader) for s in chain(ratio.stages, work)] or ratio.stages
    return tuple(dict.fromkeys(s.end for s in ways if s.name == slack))


__all__ = ["Stopped", "at_shaft", "braked_stop", "coasting_stop", "cuts", "work_up"]

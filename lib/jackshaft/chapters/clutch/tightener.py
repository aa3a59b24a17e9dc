"""A belt tightener used as a clutch: what its belt holds while it is tight, and how long it slips on the way there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from jackshaft.chapters.clutch.belts import LONGEST, RUBBER_HEAT, margins_of
from jackshaft.chapters.clutch.engage import load_of
from jackshaft.chapters.clutch.running_up import CLOSING, missing_run, run_up
from jackshaft.chapters.clutch.ways_data import ENDS, Way
from jackshaft.chapters.electric.words import unless_go
from jackshaft.chapters.grip.cases import tension_key, tension_missing, way_of
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.grip.pull import breaking_pull, pulls_of
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.chapters.ratio.data import RatioData
from jackshaft.mechanics import clutch, slipheat
from jackshaft.parts.tightener import KIND, LEVER, hand_tension, stage_of
from jackshaft.parts.turning import turning
from jackshaft.results.checks import CAUTION, GO, ORDER, STOP, grade, stays_within
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.results.values import BOTH
from jackshaft.units import at_least, at_most

#: A tension set by hand may be so many times the one that is counted on: common practice, no source.
MORE = 1.25


class Tightener(NamedTuple):
    """The belts that a tightener engages: stage, its loop, its grip (None where not known), and what the lever gives.

    ``lever`` is the tension (N) of all belts together at the idler, None where the lever is not known, ``counted`` the
    one that is written down. The grip is that at the lever's where that is less, or nothing is written down.
    """

    stage: str
    layout: StageLayout | None
    grip: StageGrip | None
    lever: float | None
    counted: float | None = None


def find(reader: Reader, done: Mapping[str, Findings], shaft: str) -> Tightener | None:
    """Return the tightener of the belts at a shaft; None where no belts leave it.

    Raises
    ------
    OutOfRange
        Where the arm stands at dead centre, so that its lever could give any tension.
    """
    stage = stage_of(reader, done["ratio"].data, shaft)
    if stage is None:
        return None
    layouts, grips = ((done[n].data if n in done else None) or {} for n in ("layout", "grip"))
    layout, grip = layouts.get(stage), grips.get(stage)
    lever = None if layout is None or layout.path.reason != 0 else hand_tension(reader, layout)
    counted = None if grip is None else grip.tensions.said
    if grip is not None and lever is not None and (counted is None or not at_least(lever, grip.hold)):
        grip = replace(grip, hold=lever)
    return Tightener(stage, layout, grip, lever, lever if counted is None else counted)


def way_at(reader: Reader, done: Mapping[str, Findings], shaft: str, required: clutch.Required | None) -> Way:
    """Return the belts at a shaft as what engages the work: their grip while tight, and their slip on the way there."""
    ratio: RatioData | None = done["ratio"].data
    found = find(reader, done, shaft)
    if found is None:
        return Way(KIND, lacks=("stage",))
    lacks = list(held_lacks(reader, done, found))
    state, grip = ratio.shaft(shaft) if ratio is not None else None, found.grip
    if lacks or grip is None or grip.hold is None or state is None or not state.torque:
        keys = ("work.power", "work.power_at", "engine.work_speed")
        lacks += [k for k in keys if reader.get(k) is None and k not in lacks]
        return Way(KIND, lacks=tuple(lacks) or (tension_key_of(reader, found),), stage=found.stage)
    band = margins_of(grip, 1.0, 1.0)
    torque = clutch.Band(*(state.torque * max(m, 0.0) for m in band))
    way = Way(KIND, torque, torque, stage=found.stage)
    turns = turning(reader, ratio, shaft)
    missing = missing_run(reader, ratio, required, turns)
    if missing:
        return way._replace(lacks=missing)
    engaged = reader.si("clutch.engage_speed") if reader.get("clutch.kind") == KIND else None
    speed = (engaged or reader.si("engine.work_speed")) / state.over
    load = load_of(reader, ratio, shaft, required)
    both = {
        end: run_up(reader, load, turns.bad if end == "bad" else turns.likely, speed, getattr(torque, end))
        for end in ENDS
    }
    slips = {"slips": {end: run for end, (run, _) in both.items()}, "course": both["likely"][1]}
    return way._replace(**slips, pulls=torque, speed=speed, turning=turns)


def tension_key_of(reader: Reader, found: Tightener) -> str:
    """Return the key of the build that says how tight the belts are."""
    if found.layout is None:
        return f"stage[{found.stage}].takeup.slack_tension"
    return tension_key(found.layout, way_of(reader, found.layout))


def held_lacks(reader: Reader, done: Mapping[str, Findings], found: Tightener) -> tuple[str, ...]:
    """Return the keys without which it is not known how tight the idler holds the belts."""
    at = f"stage[{found.stage}].takeup"
    idler = tuple(k for k in (f"{at}.kind", f"{at}.idler") if reader.get(k) is None)
    if idler:
        return idler
    if found.layout is None or found.grip is None:
        checks = [c for n in ("layout", "grip") if n in done for c in done[n].checks if f"[{found.stage}]" in c.id]
        return reader.unknown(*(k for c in checks for k in c.missing))
    if found.grip.hold is not None:
        return ()
    return tension_missing(reader, found.layout, way_of(reader, found.layout))


def hold(draft: Draft, reader: Reader, way: Way, required: clutch.Required | None) -> None:
    """Add the verdict on what the tightened belts hold."""
    id, name = "clutch.hold", "holding, belt tightened"
    if way.torque is None or required is None or not required.work:
        words = "What a tightened belt holds is its grip: how tight the lever holds it, its pulleys and its load."
        draft.missing(reader, id, name, way.lacks or ("work.power",), words)
        return
    wanted = max(required.work, required.start, required.peak)
    verdict = grade(likely=way.torque.likely, bad=way.torque.bad, limit=wanted)
    draft.check(
        id=id,
        name=name,
        found=reader.number(
            way.torque.likely, "torque", "{} ({low} at the bad end)", low=way.torque.bad, high=way.torque.good
        ),
        wanted=reader.number(wanted, "torque", "{} or more"),
        verdict=verdict,
        reason=f"The torque at which the belt '{way.stage}' slips, standing or running, at the tension that the idler "
        "holds. More than work, start and peak ask for it need not hold: at a jam a belt slips.",
        remedy=unless_go(verdict, "Tighten the belt more, give it more wrap, or use more belts."),
        source="shigley, ch. 17; own-derivation",
        guards=not stays_within(required.work, way.torque.likely),
    )


def lever(draft: Draft, reader: Reader, found: Tightener) -> None:
    """Add the verdict on whether hand and lever give the tension that is counted on."""
    id, name = "clutch.lever", "lever gives the belt its tension"
    arm, key = f"stage[{found.stage}].takeup.spring_lever", tension_key_of(reader, found)
    counted = found.counted
    if found.lever is None or counted is None or reader.get(key) is None:
        lacks = tuple(k for k in (*LEVER, arm, key) if reader.get(k) is None)
        lacks += () if found.layout is None or found.layout.pivot is not None else _pivot(reader, found.stage)
        words = "Hand force times lever ratio pulls at the idler's arm. What that makes of the belt's tension is not "
        words += "known yet."
        if found.lever is not None:
            words = f"The lever gives {reader.show(found.lever, 'force')}, all belts together. Write down the tension "
            words += "that this sets, so that grip and shafts are worked out with it."
        draft.missing(reader, id, name, lacks or (arm,), words)
        return
    verdict = grade(likely=found.lever, bad=found.lever, limit=counted)
    verdict = CAUTION if verdict == STOP else verdict
    more, harder = _harder(reader, found)
    remedy = "Tighten with no more than is written down: less ratio, a stop or a spring in the rod. Or write down what "
    remedy += "the hand gives, if belt, shafts and bearings stand it."
    draft.check(
        id=id,
        name=name,
        found=reader.number(found.lever, "force"),
        wanted=reader.number(counted, "force", "{} or more, all belts together"),
        verdict=max(verdict, more, key=ORDER.index),
        reason="Hand force times lever ratio, on the arm of the spring or rod, against the moment of the belt on the "
        f"idler. Friction in cable and pivot is left out.{harder}",
        remedy=unless_go(verdict, "Give the lever more ratio, or a longer arm at the idler.")
        or unless_go(more, remedy),
        source="own-derivation, moments about the pivot",
    )


def _harder(reader: Reader, found: Tightener) -> tuple[str, str]:
    """Return the verdict and words on a hand that gives more than the tension that is written down."""
    belt, over = found.layout.belt, found.lever / found.counted
    if at_most(over, MORE) or found.grip is None:
        return GO, ""
    words = f" The hand gives {over:.1f} times the tension that is written down; pull, shafts and bearings are judged "
    words += "at what it gives"
    if belt is None:
        return CAUTION, f"{words}."
    breaks = breaking_pull(belt)[0]
    pulls = [(p.likely, p.most * breaks) for p in pulls_of(found.grip)]
    worst, most = max(pulls, key=lambda pull: pull[0] / pull[1])
    words += f": one {belt.counted_by} then pulls with {reader.show(worst, 'force')}, and stands"
    words += f" {reader.show(most, 'force')} for some hours."
    return CAUTION if stays_within(worst, most) else STOP, words


def _pivot(reader: Reader, stage: str) -> tuple[str, ...]:
    return tuple(k for k in (f"stage[{stage}].takeup.pivot_{c}" for c in "xy") if reader.get(k) is None)


def slip(draft: Draft, reader: Reader, way: Way, found: Tightener | None) -> None:
    """Add facts and verdict of the slip while the belt is tightened: its heat goes into belt and pulleys."""
    id, name = "clutch.engagement", "belt slips while it is tightened"
    limit = reader.number(LONGEST, "time", "{} or less")
    if not way.slips:
        words = (
            "How long the belt slips depends on its grip, on the load and on the inertia of the work: its weight and "
        )
        words += "shape, or a run-down test."
        draft.missing(reader, id, name, way.lacks, words, limit=limit)
        return
    likely, bad = way.slips["likely"], way.slips["bad"]
    verdict = grade(likely=likely.seconds, bad=bad.seconds, limit=LONGEST, higher_is_better=False)
    if likely.locks:
        draft.fact("heat of one engagement", reader.number(likely.heat, "energy", form=BOTH), "into belt and pulleys")
        path = likely.heat / way.pulls.likely * _radius(found)
        draft.fact(
            "belt slips over its driver by",
            reader.number(path, "length", digits=3),
            "each time it is engaged: this wears its flanks. How many engagements a belt lasts nobody has published",
        )
        if found.layout.belt is not None and found.layout.belt.mass:
            kilos = found.layout.belt.mass * found.grip.belts * float(found.layout.path.length)
            rise = float(slipheat.temperature_rise.si(likely.heat, mass=kilos, specific_heat=RUBBER_HEAT))
            note = f"if its {reader.show(kilos, 'mass')} took all the heat of one engagement (rubber, from memory)"
            draft.fact("belt warms by, at most", reader.number(rise, "temperature rise", form=BOTH), note)
    times = [reader.show(r.seconds, "time") if r.locks else "without end" for r in (likely, bad)]
    value = f"{times[0]} ({times[1]} at the bad end)" if likely.locks else "it never takes the work up"
    high = bad.seconds if bad.locks else None
    draft.check(
        id=id,
        name=name,
        found=reader.number(likely.seconds, "time", value, high=high) if likely.locks else value,
        wanted=limit,
        verdict=verdict,
        reason=f"Let in within {reader.show(reader.si('clutch.closing_time', CLOSING), 'time')} at "
        f"{reader.show(way.speed, 'rotation')} of its driver, with the engine's speed held. Let in more slowly the "
        "belt slips longer. It glazes and burns where that lasts; how long it may: common "
        "practice, no source.",
        remedy=unless_go(verdict, "Give the belt more grip, engage it at a lower speed, or with the work empty."),
        source="own-derivation; common practice, no source",
        guards=verdict == STOP and not likely.locks,
    )


def _radius(found: Tightener) -> float:
    p = found.layout.pulleys
    return float(p.pitch[p.driver])


def repeated(draft: Draft, reader: Reader, way: Way, ratio: RatioData | None) -> None:
    """Add the verdict on engaging again and again: the mean heat of the slip against what the belt loses at work."""
    id, name = "clutch.repeated", "heat in the belt, engaged again and again"
    every, stage = reader.si("clutch.engage_every"), None if ratio is None else ratio.stage(way.stage)
    if every is None or not way.slips or not way.slips["likely"].locks or stage is None:
        return
    start = ratio.shaft(stage.start)
    if start is None or not start.power:
        return
    means = [way.slips[e].heat / every if way.slips[e].locks else np.inf for e in ("likely", "bad")]
    loses = (1.0 - stage.efficiency) * start.power
    verdict = grade(likely=means[0], bad=means[1], limit=loses, higher_is_better=False) if loses > 0 else CAUTION
    draft.check(
        id=id,
        name=name,
        found=reader.number(means[0], "power", "{}, mean", high=float(means[1]), by="electric"),
        wanted=reader.number(loses, "power", "{} or less, what the belt loses at work", by="electric"),
        verdict=GO if verdict == GO else CAUTION,
        reason=f"Once every {reader.show(every, 'time')}. A belt is made to shed what it loses at work all day; heat "
        "beyond that is not foreseen. By its efficiency in the build; common practice, no source.",
        remedy=unless_go(verdict, "Engage less often, or at a lower speed."),
        source="own-derivation; common practice, no source",
    )


__all__ = ["KIND", "Tightener", "find", "hold", "lever", "repeated", "slip", "stage_of", "tension_key_of", "way_at"]

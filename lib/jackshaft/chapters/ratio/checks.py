"""What is judged about the drive ratio: speed, direction and tip speed of the work."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from jackshaft.chapters.ratio.data import ARROWS, ENGINE, RUN_UP, RatioData, StageRatio
from jackshaft.chapters.ratio.judged import Judged
from jackshaft.chapters.ratio.stages import turn_lacks, turn_of
from jackshaft.mechanics import ratio as mech
from jackshaft.parts.works import own_body, stray_works, work_key, work_shafts
from jackshaft.results.checks import CAUTION, GO, STOP, grade, reaches, stays_within, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value

#: Id and name of the check of speed, which is undecided where there is no stage.
SPEED = "ratio.speed", "speed of the work"

#: Said where the shaft of the work is taken and not read.
ASSUMED = "No shaft is said to carry the work (work.shaft): it is taken to be where the drive ends."

#: What tells the highest speed.
TOP = "engine.full_speed"

SLOWER = "Gear the work down, or lower the highest speed of what drives it."

#: What no direction hangs on, though a stage cannot be worked out without it.
SIZES = (".diameter", ".measured_as")

#: The same for the direction.
DIRECTION = "ratio.direction", "direction of the work"


def speed_check(
    draft: Draft,
    reader: Reader,
    data: RatioData,
    one: Judged,
    missing: Sequence[str],
) -> None:
    """Judge the speed of a shaft of the work against the band that it wants.

    ``missing`` are the keys without which a stage on the way to it is not known.
    """
    state, wanted, named = one.state, _wanted(reader, one), one.named(*SPEED)
    if state is None or state.work is None or one.band is None:
        needs = {"engine.work_speed": data.shafts[0].work, "work.speed_least": one.band}
        missing = tuple(dict.fromkeys((*missing, *(k for k, v in needs.items() if v is None))))
        reader.note_missing(*missing)
        unknown = {"the speed of the work": state is None or state.work is None, "the band it wants": one.band is None}
        words = _not_known([what for what, lacks in unknown.items() if lacks])
        if one.works and one.shaft is not None and not work_shafts(reader):
            reader.note_missing("work.shaft")
            words += f" {ASSUMED}"
        if state is None and work_shafts(reader) and missing and missing[0] == "stage":
            words += f" The work is said to be on {one.shaft}, and no stage or pulley drives that shaft."
        draft.checks.append(undecided(*named, missing, words, limit=wanted))
        return
    speed, (least, most) = state.work, one.band
    way = "down" if speed > most else "up"
    spread = reader.get("engine.work_speed")
    share = (spread.plus_minus or 0.0) / spread.si if spread is not None else 0.0
    low, high = speed * (1 - share), speed * (1 + share)
    found = reader.number(speed, "rotation", low=low, high=high, known=reader.how("engine.work_speed"))
    verdict, cure, reason = GO, "", f"{state.name} turns at {found}"
    if taken := one.works and not work_shafts(reader):
        reader.note_missing("work.shaft")
        words = f"{{}} on {state.name}, assumed to carry the work"
        found = reader.number(speed, "rotation", words, low=low, high=high, known=reader.how("engine.work_speed"))
    if reaches(low, least) and stays_within(high, most):
        reason += " with the engine at work."
    elif reaches(speed, least) and stays_within(speed, most):
        verdict, cure = CAUTION, "Measure the engine's speed more closely, or gear for the middle of the band."
        reason += ", but the uncertainty of the engine speed reaches outside the band."
    else:
        verdict, cure = STOP, f"Gear the work {way}."
        aim = reader.show(min(max(speed, least), most), "rotation")
        reason += f", too {'fast' if speed > most else 'slow'}; the nearest wanted speed is {aim}."
    reason += f" {ASSUMED}" if taken else ""
    draft.check(
        *named,
        found=found,
        wanted=wanted,
        verdict=verdict,
        reason=reason,
        remedy=cure,
        source="own-derivation, pitch diameters and teeth",
    )
    ends = (
        {} if not one.works else {one.key(reader, k): w for k, w in (("speed_least", "slow"), ("speed_most", "fast"))}
    )
    lacks = tuple(k for k in ends if reader.get(k) is None and not reader.is_none(k))
    draft.doubt(reader, lacks, "".join(f"How {ends[k]} it may turn is not known yet." for k in lacks), named[0])


def _not_known(what: Sequence[str]) -> str:
    """Return in a sentence that one thing, or two, are not known yet."""
    words = f"neither {what[0]} nor {what[1]} is" if len(what) > 1 else f"{what[0]} is not"
    return f"{words[0].upper()}{words[1:]} known yet."


def _wanted(reader: Reader, one: Judged) -> Value:
    if one.band is None:
        return ""
    least, most = one.band
    known = reader.how(one.key(reader, "speed_least" if least else "speed_most"))
    if least and np.isfinite(most):
        return reader.number(least, "rotation", "{} to {high}", low=least, high=most, known=known)
    if least:
        return reader.number(least, "rotation", "{} or more", known=known)
    if not np.isfinite(most):
        return "any speed"
    return reader.number(most, "rotation", "{} or less", known=known)


def direction_check(
    draft: Draft, reader: Reader, one: Judged, line: Sequence[StageRatio], missing: Sequence[str]
) -> None:
    """Judge the way that a shaft of the work turns; ``missing`` as for the speed."""
    state, wanted, named = one.state, one.turn, one.named(*DIRECTION)
    turns = {ENGINE: turn_of(reader, ENGINE), "work": wanted}
    unknown = [turn_lacks(reader, part) or f"{part}.turns" for part, turn in turns.items() if not turn]
    if unknown or state is None or not state.turn:
        stages = missing if state is None or not state.turn else ()
        keys = tuple(dict.fromkeys((*unknown, *(k for k in stages if not (unknown and k.endswith(SIZES))))))
        ways = {f"{ENGINE}.turns": "the direction of the engine", "work.turns": "the one that the work wants"}
        ways["work.end_points"] = "which way the shaft end of the work points"
        if unknown == ["work.turns"]:
            ways["work.turns"] = "the direction that the work wants"
        words = _not_known([ways[key] for key in unknown] or ["a stage on the way from the engine to the work"])
        draft.missing(reader, *named, keys, words, limit=ARROWS.get(wanted, ""))
        return
    turns = [s.name for s in line if s.sign < 0]
    way = f"{' and '.join(turns) or 'No stage'} turns the direction round"
    good = state.turn == wanted
    draft.check(
        *named,
        found=ARROWS[state.turn],
        wanted=ARROWS[wanted],
        verdict=GO if good else STOP,
        reason=f"{way}; seen facing the engine's output shaft.",
        remedy=""
        if good
        else "Turn the direction round once more or once less: with a gear pair, a pulley on the other side of a belt "
        "that grips on both, or the source facing the other way.",
        source="own-derivation, inside pulleys turn with the loop, outside ones against it",
    )


def top_words(reader: Reader) -> str:
    """Return how the highest speed of the engine is known, or that it is not, in a sentence."""
    what = "motor" if reader.get("engine.kind") == "electric motor" else "engine with the throttle open"
    if reader.si("engine.full_speed") is not None:
        return f"This is at the highest speed of the {what}, up to which it runs when the load goes."
    if reader.si("engine.rated_speed") is None:
        return f"How fast the {what} turns at most, without load, is not known yet."
    if what == "motor":
        return "This is at the motor's synchronous speed, up to which it runs when the load goes."
    return (
        f"The engine's highest speed is not written down. {100 * (RUN_UP - 1):.0f} % above its rated speed is taken: "
        "it may run up so far, throttle open, when the load goes."
    )


def top_check(draft: Draft, reader: Reader, one: Judged) -> None:
    """Judge the speed of a shaft of the work at the engine's highest speed against the highest that is allowed.

    Whether it is too fast at work already, the check of its speed says.
    """
    state = one.state
    if one.band is None or not np.isfinite(one.band[1]) or state is None or state.work is None:
        return
    most, named = one.band[1], one.named("ratio.top-speed", "highest speed of the work")
    if not stays_within(state.work, most):
        return
    wanted = reader.number(most, "rotation", "{} or less", known=reader.how(one.key(reader, "speed_most")))
    if state.top is None:
        draft.missing(reader, *named, (TOP,), top_words(reader), limit=wanted)
        return
    verdict = GO if stays_within(state.top, most) else CAUTION
    known = reader.how("engine.full_speed")
    draft.check(
        *named,
        found=reader.number(state.top, "rotation", known=known),
        wanted=wanted,
        verdict=verdict,
        reason=top_words(reader),
        remedy="" if verdict == GO else SLOWER,
        source="own-derivation, pitch diameters and teeth",
    )


def governor_check(draft: Draft, reader: Reader) -> None:
    """Add a caution where the engine may work faster than its highest governed speed: both cannot be true."""
    work, full = reader.get("engine.work_speed"), reader.si("engine.full_speed")
    if work is None or full is None or stays_within(work.si + (work.plus_minus or 0.0), full):
        return
    draft.check(
        "ratio.governor",
        "work speed and governor",
        reader.number(work.si + (work.plus_minus or 0.0), "rotation", "works at up to {}"),
        reader.number(full, "rotation", "{} or less, the highest governed speed"),
        CAUTION,
        reason=f"It is said to work at up to {reader.show(work.si + (work.plus_minus or 0.0), 'rotation')}, and its "
        "governor holds it lower (engine.full_speed). One of the two is wrong, and all speeds hang on them.",
        remedy="Measure both with a tachometer: the engine under load, and with the load off.",
        source="own-derivation",
    )


def stray_check(draft: Draft, reader: Reader) -> None:
    """Refuse what a shaft says of its work while the build names others as those that carry it; else ask for those."""
    stray, named = stray_works(reader), ("ratio.work-shafts", "shafts that carry the work")
    if not stray:
        return
    if not work_shafts(reader):
        words = f"The build says {', '.join(stray)}. Whether that shaft carries the work is not known yet."
        draft.missing(reader, *named, ("work.shaft",), words)
        return
    draft.check(
        *named,
        found=", ".join(stray),
        wanted="each on a shaft that work.shafts names",
        verdict=STOP,
        reason="This is said of work on a shaft that carries none, by work.shaft and work.shafts. It is not counted.",
        remedy="Name the shaft in work.shafts, or take the entry out.",
        source="the build",
    )


def surface_check(draft: Draft, reader: Reader, one: Judged) -> None:
    """Show the tip or surface speed of the work, and judge it against how much the work stands; else ask for that."""
    across, key = (work_key(reader, one.shaft, name) for name in ("diameter", "surface_speed_most"))
    size, state, named = reader.si(across), one.state, one.named("ratio.surface-speed", "tip or surface speed")
    if state is None or state.work is None:
        return
    if size is None:
        if (own_body(reader, one.shaft) or reader.get(key) is not None) and not reader.is_none(key):
            whose = f"The work on {one.shaft} is" if one.shaft else "The work is"
            words = "How fast its tip or surface runs depends on its diameter."
            if own_body(reader, one.shaft):
                words = f"{whose} another body than the common one, and its diameter is not known yet. {words}"
            draft.missing(reader, *named, (across,), words)
        return
    speeds = [state.work if v is None else v for v in (state.work, state.full, state.top)]
    speed, full, top = (float(mech.tip_speed.si(size, rotation=v)) for v in speeds)
    found = reader.number(speed, "surface speed", known=reader.how("engine.work_speed"))
    label = "tip or surface speed" + (f" of {one.part}" if one.part else " of the work")
    draft.fact(label, found, "at the working engine speed")
    most = reader.si(key)
    if most is None:
        if not reader.is_none(key):
            words = f"At work it is {found}. How fast it may run at its tip, by its maker, is not known yet."
            draft.missing(reader, *named, (key,), words)
        return
    wanted = reader.number(most, "surface speed", "{} or less", known=reader.how(key))
    if state.top is None and stays_within(speed, most, guards=True):
        words = f"At work it is {found}. {top_words(reader)}"
        draft.missing(reader, *named, (TOP,), words, limit=wanted)
        return
    verdict = grade(likely=full, bad=top, limit=most, higher_is_better=False, guards=True)
    draft.check(
        *named,
        found=reader.number(top, "surface speed"),
        wanted=wanted,
        verdict=verdict,
        reason=top_words(reader),
        remedy="" if verdict == GO else SLOWER,
        source="own-derivation, circumference times turns",
        guards=True,
    )


__all__ = ["direction_check", "speed_check", "surface_check", "top_check", "top_words"]

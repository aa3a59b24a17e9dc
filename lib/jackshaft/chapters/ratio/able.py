"""What torque the engine or motor has, against what the work takes of it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft.chapters.ratio.data import RatioData, ShaftState, StageRatio, chain
from jackshaft.chapters.ratio.motor import start_check, usual
from jackshaft.parts.derating import AIR, HEIGHT, power_left
from jackshaft.parts.engine_curve import engine_curve, rated_torque, torque_at
from jackshaft.parts.motor import is_motor, motor_torques, source_word
from jackshaft.parts.works import factor_key, power_more
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED, reaches
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number, Value
from jackshaft.units import at_most

ID = "ratio.power"
#: Shares of the power that a gearbox passes on where its efficiency is not given: as a rule, and a worm's with many
#: turns for one. Common practice, no source.
USUAL, WORM = 0.95, 0.5
PEAK_LACKS = "How much more its peak load takes is not known yet."
SOURCE = "own-derivation, power is torque times speed"


class Able(NamedTuple):
    """Torque, N·m, that an engine has where it works, None where not known, and the most that it may have there.

    ``pulled`` is the most that it may have when the load pulls it down as far as the work allows; ``words`` says so.
    """

    now: float | None
    most: float
    pulled: float
    words: str


def engine_able(reader: Reader, lowest: float | None = None) -> Able | None:
    """Return what a combustion engine has: by its curve at the working speed, else by its plate; None if not known.

    ``lowest`` is the speed (rad/s) down to which the work may pull it; without it nothing is gained below the working
    speed.
    """
    turns = reader.si("engine.work_speed")
    if not turns:
        return None
    now, most = torque_at(reader, turns)
    if most is None:
        return None
    below = np.linspace(turns if lowest is None else min(lowest, turns), turns, 50)
    pulled = max(torque_at(reader, float(v))[1] or 0.0 for v in below)
    at, curve = reader.show(turns, "rotation"), engine_curve(reader)
    outside = (
        f" Its torque curve has no points that reach {at}." if curve is not None and not curve.covers(turns) else ""
    )
    if now is None:
        words = "What it has at its working speed is not known without its rated power and speed."
        return Able(None, most, pulled, words + outside)
    if curve is not None and not outside:
        words = f"The engine's torque curve has {reader.show(now, 'torque')} at {at}"
        lift = f"; pulled down it rises to {reader.show(pulled, 'torque')}" if pulled > now * (1 + 1e-9) else ""
        return Able(now, most, pulled, f"{words}{lift}.")
    words = f"By its plate the engine has {reader.show(now, 'torque')} at {at}" + (
        "" if at_most(most, now) else " at least"
    )
    peak = reader.si("engine.peak_torque")
    if peak is not None and not at_most(peak, now):
        words += f"; its highest torque, {reader.show(peak, 'torque')}, it has at one speed below its rated one"
    return Able(now, most, pulled, f"{words}.{outside}")


def lost(reader: Reader) -> str:
    """Return the sentence that says what height and heat take; nothing where the build says neither."""
    left = power_left(reader)
    if reader.get(HEIGHT) is None and reader.get(AIR) is None:
        return ""
    takes, most = (f"{100 * (1 - share):.2g} %" for share in (left.likely, left.bad))
    what = "its steady power" if is_motor(reader) else "that of its plate"
    bad = "" if takes == most else f", {most} at the bad end, which counts here"
    return f" Height and heat take {takes} of {what}{bad}."


def power_check(draft: Draft, reader: Reader, data: RatioData) -> None:
    """Judge the torque that the engine has against what the work takes, at the peak where that is known."""
    engine = data.shafts[0]
    if engine.torque is None:
        lacks = data.share_lacks(engine.name)
        if lacks:
            draft.missing(
                reader,
                ID,
                _name(reader),
                lacks,
                "What is driven beside the work takes power too, and how much is not known yet.",
            )
        return
    if is_motor(reader):
        _motor(draft, reader, engine)
    else:
        _engine(draft, reader, data)
    _worm(draft, reader, data)


def _worm(draft: Draft, reader: Reader, data: RatioData) -> None:
    """Leave a go open that a worm would spoil, where no efficiency is given for a gearbox before the stated power."""
    line = chain(data.stages, reader.get("work.power_at"))
    keys = [f"stage[{s.name}].efficiency" for s in line if s.kind == "gearbox"]
    keys = [k for k in keys if reader.get(k) is None]
    check = next(c for c in reversed(draft.checks) if c.id == ID)
    if not keys or check.verdict != GO:
        return
    found = check.found.si if check.found.low is None else check.found.low
    if not reaches(found, check.wanted.si * (1 + more(reader)) * (USUAL / WORM) ** len(keys)):
        draft.doubt(reader, keys, "A worm passes on half of its power only. The gearbox's efficiency tells.", ID)


def _engine(draft: Draft, reader: Reader, data: RatioData) -> None:
    """Judge a combustion engine: what it has where it works, and pulled down as far as the work allows."""
    engine, work = data.shafts[0], data.shaft(data.work_shaft)
    known = work is not None and work.work and data.band is not None and data.band[0]
    able = engine_able(reader, engine.work * data.band[0] / work.work if known else None)
    if able is None:
        _no_plate(draft, reader)
        return
    top = engine.peak_torque
    peak = (engine.torque if top is None else top) * (1.0 + more(reader))
    if able.now is None and reaches(able.most, engine.torque):
        _no_plate(draft, reader, able.words)
        return
    now, words = able.most if able.now is None else able.now, able.words + lost(reader)
    verdict = GO if reaches(now, peak) else CAUTION if reaches(able.pulled, engine.torque) else STOP
    if verdict == CAUTION and not reaches(now, engine.torque):
        if reaches(able.most, engine.torque):
            reader.note_missing("engine.torque_point")
            words += " Whether it holds the working speed, its torque curve would tell."
        else:
            words += " It cannot hold the working speed."
    _check(draft, reader, engine, reader.number(now, "torque"), verdict=verdict, words=words)


def more(reader: Reader) -> float:
    """Return the share by which the work's torque at the engine may be more: its power more, the speed less."""
    speed = reader.get("engine.work_speed")
    slower = (speed.plus_minus or 0.0) / speed.si if speed is not None and speed.si else 0.0
    return (1.0 + power_more(reader)) / max(1.0 - slower, 1e-3) - 1.0


def rating_checks(draft: Draft, reader: Reader, data: RatioData) -> None:
    """Judge each stage that is no belt against the torque that its maker allows, at its driving shaft.

    A chain of a known number is rated by its own chapter where its maker's torque is not written down.
    """
    for stage in data.stages:
        at = f"stage[{stage.name}]"
        rated = reader.get(f"{at}.chain") is not None and reader.get(f"{at}.rating") is None
        if stage.pulleys is None and not rated:
            _rating(draft, reader, data, stage)


def _rating(draft: Draft, reader: Reader, data: RatioData, stage: StageRatio) -> None:
    key, named = f"stage[{stage.name}].rating", (f"ratio.rating[{stage.name}]", f"{stage.name}: torque it may pass")
    allowed, shaft = reader.si(key), data.through(stage.name)
    torque = None if shaft is None else shaft.torque
    if allowed is None or torque is None:
        needs = [k for k in ("work.power", "work.power_at") if reader.get(k) is None] if torque is None else []
        needs += [] if data.shafts[0].work else ["engine.work_speed"]
        if torque is None and not needs:
            needs = data.stage_lacks(stage.name) or data.between
        keys = (*([key] if allowed is None else []), *needs)
        words = f"The {stage.kind} passes no more torque than its maker allows, and "
        words += "that" if allowed is None else "what the work takes of it"
        draft.missing(reader, *named, keys, f"{words} is not known yet.", limit=_asked(reader, shaft))
        return
    top, when = _hardest(shaft)
    verdict = GO if reaches(allowed, top * (1.0 + more(reader))) else CAUTION if reaches(allowed, torque) else STOP
    odd = _above_strength(reader, stage, allowed)
    verdict = CAUTION if odd and verdict == GO else verdict
    if verdict == GO and shaft.peak_torque is None:
        words = f"The {stage.kind} may pass the {reader.show(torque, 'torque')} of the work. {PEAK_LACKS}"
        draft.missing(reader, *named, (factor_key(reader, "peak"),), words, limit=_asked(reader, shaft))
        return
    draft.check(
        *named,
        found=reader.number(allowed, "torque", "{} by its maker, nothing else of it judged", known=reader.how(key)),
        wanted=_asked(reader, shaft),
        verdict=verdict,
        reason=f"{shaft.name} gives it {reader.show(torque, 'torque')} at work"
        + ("." if shaft.peak_torque is None else f" and {reader.show(top, 'torque')} at the {when.split()[0]}.")
        + odd,
        remedy=""
        if verdict == GO
        else "Read its rating and its strength again: for which shaft each is."
        if odd
        else "Take one that is made for that torque, or let a pin or belt give first.",
        source="the maker's rating",
    )
    lacks = () if shaft.start_factor is not None else (factor_key(reader, "start"),)
    draft.doubt(reader, lacks, "How hard the work starts is not known, and may ask more of it.", named[0])


def _hardest(shaft: ShaftState) -> tuple[float, str]:
    """Return the most torque of a shaft at its peak load and at its start, N·m, and which it is."""
    peak = shaft.torque if shaft.peak_torque is None else shaft.peak_torque
    start = (shaft.start_factor or 0.0) * shaft.torque
    return (start, "start") if start > peak else (peak, "peak load")


def _above_strength(reader: Reader, stage: StageRatio, allowed: float) -> str:
    """Return in words that a stage is rated, N·m on the shaft that drives it, above what it breaks at; else nothing."""
    strength = reader.si(f"stage[{stage.name}].strength")
    breaks = None if strength is None else strength * stage.ratio / stage.efficiency
    if breaks is None or at_most(allowed, breaks):
        return ""
    return f" It is said to give at {reader.show(breaks, 'torque')} there, below its rating: one of the two is wrong."


def _asked(reader: Reader, shaft: ShaftState | None) -> Value:
    """Return the torque that a stage must pass, as it is shown; nothing where it is not known."""
    if shaft is None or shaft.torque is None:
        return ""
    known = reader.how("work.power")
    if shaft.peak_torque is None:
        return reader.number(shaft.torque, "torque", "{} or more, at work", known=known)
    top, when = _hardest(shaft)
    return reader.number(top, "torque", f"{{}} or more, at the {when}", known=known)


def _motor(draft: Draft, reader: Reader, engine: ShaftState) -> None:
    """Judge an induction motor: its rated torque for the work, the torque at which it pulls out for the peak."""
    rated, has = rated_torque(reader), motor_torques(reader)
    out = has.pull_out
    if rated is None or out is None:
        _no_plate(draft, reader)
        return
    top = engine.torque if engine.peak_torque is None else engine.peak_torque
    rated *= power_left(reader).bad
    verdict = (
        STOP if not reaches(rated, engine.torque) else GO if reaches(out[0], top * (1.0 + more(reader))) else CAUTION
    )
    band = "{low}" if at_most(out[1], out[0]) else "{low} to {high}"
    found = reader.number(0.5 * (out[0] + out[1]), "torque", f"pulls out at {band}", low=out[0], high=out[1])
    takes = lost(reader)
    words = f"Rated for {reader.show(rated, 'torque')} all day{' here' if takes else ''}.{takes} It pulls out at "
    if "pull_out" in has.usual:
        words += f"{reader.show(out[0], 'torque')} to {reader.show(out[1], 'torque')}, {usual(has)}, "
    else:
        words += f"{reader.show(out[0], 'torque')}, "
    words += "and stands at once."
    if verdict == STOP:
        words += " The work is more than it is rated for: it overheats."
    _check(draft, reader, engine, found, verdict=verdict, words=words)
    start_check(draft, reader, engine, has)


def _name(reader: Reader) -> str:
    """Return the name of the check."""
    return f"torque the {source_word(reader)} has"


def _no_plate(draft: Draft, reader: Reader, words: str = "") -> None:
    keys = tuple(k for k in ("engine.rated_power", "engine.rated_speed") if reader.get(k) is None)
    words = words or f"The plate figures of the {source_word(reader)} are not known yet."
    draft.missing(reader, ID, _name(reader), keys, words)


def _check(draft: Draft, reader: Reader, engine: ShaftState, found: Number, *, verdict, words) -> None:
    """Add the check, with its limit by what is known: the peak, or the work alone."""
    top, known = engine.peak_torque, reader.how("work.power")
    shown, asked = reader.show(engine.torque, "torque"), "{} or more, at work"
    limit = engine.torque
    takes = f"The work takes {shown} at the {source_word(reader)}"
    if top is not None:
        limit, asked, takes = top, "{} or more, at the peak load", f"{takes}, {reader.show(top, 'torque')} at the peak"
    wanted, lacks = reader.number(limit, "torque", asked, known=known), ()
    if verdict == CAUTION and more(reader):
        words += f" It may be {100 * more(reader):.2g} % more, as its power and the engine's speed are known."
    if top is None:
        reader.note_missing(factor_key(reader, "peak"))
        words, lacks = f"{words} {PEAK_LACKS}", (factor_key(reader, "peak"),) if verdict == GO else ()
        verdict = UNDECIDED if lacks else verdict
    draft.check(
        ID,
        _name(reader),
        found=found,
        wanted=wanted,
        verdict=verdict,
        reason=f"{takes}. {words}",
        missing=lacks,
        remedy="" if verdict in (GO, UNDECIDED) else "Take a lighter bite, or a stronger engine or motor.",
        source=SOURCE,
    )


__all__ = ["Able", "engine_able", "power_check", "rating_checks"]

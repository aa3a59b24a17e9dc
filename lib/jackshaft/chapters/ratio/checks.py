"""What is judged about the drive ratio: speed, direction, tip speed, and the torque that the engine has."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from jackshaft.chapters.ratio.data import ARROWS, ENGINE, RatioData, ShaftState, StageRatio
from jackshaft.chapters.ratio.stages import turn_of
from jackshaft.mechanics import ratio as mech
from jackshaft.parts.engine_curve import engine_curve, engine_peak
from jackshaft.results.checks import CAUTION, GO, STOP, grade, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value
from jackshaft.units import at_least, at_most

#: Id and name of the check of speed, which is undecided too where there is no stage.
SPEED = "ratio.speed", "speed of the work"


def speed_check(
    draft: Draft,
    reader: Reader,
    data: RatioData,
    state: ShaftState | None,
    line: Sequence[StageRatio],
    missing: Sequence[str],
) -> None:
    """Judge the speed of the work, at ``state``, against the band that it wants.

    ``line`` are the stages to it, ``missing`` the keys without which one of them is not known.
    """
    wanted = _wanted(reader, data.band)
    if state is None or state.work is None or data.band is None:
        needs = {"engine.work_speed": reader.si("engine.work_speed"), "work.speed_least": data.band}
        missing = tuple(dict.fromkeys((*missing, *(k for k, v in needs.items() if v is None))))
        reader.note_missing(*missing)
        words = "The speed of the work or the band it wants is not known yet."
        draft.checks.append(undecided(*SPEED, missing, words, limit=wanted))
        return
    speed, (least, most) = state.work, data.band
    spread = reader.get("engine.work_speed")
    share = (spread.plus_minus or 0.0) / spread.si if spread is not None else 0.0
    low, high = speed * (1 - share), speed * (1 + share)
    found = reader.number(speed, "rotation", low=low, high=high, known=reader.how("engine.work_speed"))
    verdict, cure, reason = GO, "", f"{state.name} turns at {found}"
    if least <= low and high <= most:
        reason += " with the engine at work."
    elif at_least(speed, least) and at_most(speed, most):
        verdict = CAUTION
        reason += ", but the uncertainty of the engine speed reaches outside the band."
    else:
        verdict = STOP
        aim = reader.show(min(max(speed, least), most), "rotation")
        reason += f", too {'fast' if speed > most else 'slow'}; the nearest wanted speed is {aim}."
    if verdict != GO:
        cure = _speed_cure(reader, data, speed, line)
    draft.check(
        *SPEED,
        found=found,
        wanted=wanted,
        verdict=verdict,
        reason=reason,
        remedy=cure,
        source="own-derivation, pitch diameters and teeth",
    )


def _speed_cure(reader: Reader, data: RatioData, speed: float, line: Sequence[StageRatio]) -> str:
    """Return what brings the work to the nearest end of its band: the engine's speed or the last driver pulley."""
    least, most = data.band
    off = most / speed - 1 if speed > most else least / speed - 1
    cure = f"Work the engine at {reader.show(data.shafts[0].work * (1 + off), 'rotation')}"
    last = line[-1] if line else None
    if last is not None and last.pulleys is not None:
        i = last.pulleys.driver
        size = reader.show(2 * last.pulleys.pitch[i] * (1 + off), "length")
        cure += f", or change pulley {last.pulleys.names[i]} of {last.name} to {size} pitch diameter"
    return cure + "."


def _wanted(reader: Reader, band: tuple[float, float] | None) -> Value:
    if band is None:
        return ""
    least, most = band
    known = reader.how("work.speed_least" if least else "work.speed_most")
    if least and np.isfinite(most):
        return reader.number(least, "rotation", "{} to {high}", low=least, high=most, known=known)
    if least:
        return reader.number(least, "rotation", "{} or more", known=known)
    return reader.number(most, "rotation", "{} or less", known=known)


def direction_check(
    draft: Draft, reader: Reader, state: ShaftState | None, line: Sequence[StageRatio], gaps: Sequence[str]
) -> None:
    """Judge the way that the work turns; ``gaps`` are the keys that the stages on the way lack."""
    named, wanted = ("ratio.direction", "direction of the work"), turn_of(reader, "work")
    missing = [f"{part}.turns" for part in (ENGINE, "work") if not turn_of(reader, part)]
    if missing or state is None or not state.turn:
        reader.note_missing(*missing)
        words = "The direction of the engine or the one that the work wants is not known yet."
        draft.checks.append(undecided(*named, missing or gaps or ("stage",), words, limit=ARROWS.get(wanted, "")))
        return
    turns = [s.name for s in line if s.sign < 0]
    way = f"{len(turns)} of {len(line)} stages turn the direction round" + (f" ({', '.join(turns)})" if turns else "")
    good = state.turn == wanted
    draft.check(
        *named,
        found=ARROWS[state.turn],
        wanted=ARROWS[wanted],
        verdict=GO if good else STOP,
        reason=f"{way}; seen facing the engine's output shaft.",
        remedy=""
        if good
        else "Turn the direction round once more or once less: put the driven pulley on the back of a double-V belt, "
        "cross the belt, fit a gear pair, or turn the source to face the other way.",
        source="own-derivation, inside pulleys turn with the loop, outside ones against it",
    )


def surface_check(draft: Draft, reader: Reader, state: ShaftState | None) -> None:
    """Show the tip or surface speed of the work, and judge it where the build says how much it takes."""
    size = reader.si("work.diameter")
    if size is None or state is None or state.work is None:
        return
    speed = float(mech.tip_speed.si(size, rotation=state.work))
    known = reader.how("engine.work_speed")
    found = reader.number(speed, "surface speed", known=known)
    draft.fact("tip or surface speed of the work", found, "at the working engine speed")
    most = reader.si("work.surface_speed_most")
    if most is None:
        return
    top = speed if state.full is None else float(mech.tip_speed.si(size, rotation=state.full))
    verdict = grade(likely=speed, bad=top, limit=most, higher_is_better=False, guards=True)
    draft.check(
        "ratio.surface-speed",
        "tip or surface speed",
        found=reader.number(top, "surface speed"),
        wanted=reader.number(most, "surface speed", "{} or less", known=reader.how("work.surface_speed_most")),
        verdict=verdict,
        reason="This is at the highest governed speed: the engine runs up to it when the load goes.",
        remedy="" if verdict == GO else "Gear the work down, or lower the governed speed of the engine.",
        source="own-derivation, circumference times turns",
        guards=True,
    )


def power_check(draft: Draft, reader: Reader, engine: ShaftState) -> None:
    """Judge the torque that the engine has against what the work takes, at the peak where that is known."""
    if engine.torque is None:
        return
    able, rated, speed = engine_peak(reader), reader.si("engine.rated_power"), reader.si("engine.rated_speed")
    if able is None and rated is not None and speed is not None:
        able = rated / speed
    curve, turns = engine_curve(reader), reader.si("engine.work_speed")
    by_curve = curve is not None and turns is not None
    if by_curve:
        able = float(curve.at(turns))
    named = "ratio.power", "torque the engine has"
    if able is None:
        keys = ("engine.rated_power", "engine.rated_speed")
        reader.note_missing(*keys)
        draft.checks.append(undecided(*named, keys, "The plate figures of the engine are not known yet."))
        return
    wanted = engine.peak_torque or engine.torque
    verdict = GO if at_least(able, wanted) else CAUTION if at_least(able, engine.torque) else STOP
    draft.check(
        *named,
        found=reader.number(able, "torque"),
        wanted=reader.number(wanted, "torque", "{} at the peak load", known=reader.how("work.power")),
        verdict=verdict,
        reason=f"The work takes {reader.show(engine.torque, 'torque')} at the engine, "
        f"{reader.show(wanted, 'torque')} at the peak. "
        + (
            f"That is what its torque curve has at {reader.show(turns, 'rotation')}."
            if by_curve
            else "The plate shows the engine's best; it has less at other speeds."
        ),
        remedy="" if verdict == GO else "Take a lighter bite, gear the work down, or take a stronger engine.",
        source="own-derivation, power is torque times speed",
    )


__all__ = ["direction_check", "power_check", "speed_check", "surface_check"]

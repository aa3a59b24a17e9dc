"""What is judged about the drive ratio: speed, direction, tip speed, and the torque that the engine has."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from jackshaft.chapters.ratio.data import ARROWS, ENGINE, ShaftState, StageRatio
from jackshaft.chapters.ratio.stages import turn_of
from jackshaft.mechanics import ratio as mech
from jackshaft.parts.engine_curve import engine_curve, engine_peak
from jackshaft.results.checks import CAUTION, GO, STOP, grade, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value
from jackshaft.units import at_least, at_most

#: Least and most speed that the work wants, rad/s.
Band = tuple[float, float]


def _named(states: Sequence[ShaftState], name: str | None) -> ShaftState | None:
    return next((s for s in states if s.name == name), None)


def speed_check(
    draft: Draft,
    reader: Reader,
    states: Sequence[ShaftState],
    target: str | None,
    band: Band | None,
    broken: Mapping[str, tuple[str, ...]],
    line: Sequence[StageRatio],
) -> None:
    """Judge the speed of the work against the band that it wants."""
    id, name = "ratio.speed", "speed of the work"
    state = _named(states, target)
    wanted = _wanted(reader, band)
    if state is None or state.work is None or band is None:
        missing = [k for keys in broken.values() for k in keys] or ([] if line else ["work.shaft"])
        lacks = {"engine.work_speed": reader.si("engine.work_speed") is None, "work.speed_least": band is None}
        missing += [k for k, lack in lacks.items() if lack]
        reader.note_missing(*missing)
        words = "The speed of the work or the band it wants is not known yet."
        draft.checks.append(undecided(id, name, tuple(dict.fromkeys(missing)), words, limit=wanted))
        return
    speed, (least, most) = state.work, band
    spread = reader.get("engine.work_speed")
    share = (spread.plus_minus or 0.0) / spread.si if spread is not None else 0.0
    low, high = speed * (1 - share), speed * (1 + share)
    found = reader.number(speed, "rotation", low=low, high=high, known=reader.how("engine.work_speed"))
    if least <= low and high <= most:
        verdict, cure = GO, ""
        reason = f"{target} turns at {found} with the engine at work."
    else:
        inside = at_least(speed, least) and at_most(speed, most)
        verdict, cure = CAUTION if inside else STOP, _speed_cure(reader, states, band, speed, line)
        where = "too fast" if speed > most else "too slow"
        aim = reader.show(min(max(speed, least), most), "rotation")
        reason = (
            f"{target} turns at {found}, but the uncertainty of the engine speed reaches outside the band."
            if inside
            else f"{target} turns at {found}, {where}; the nearest wanted speed is {aim}."
        )
    draft.check(id, name, found, wanted, verdict, reason, cure, "own-derivation, pitch diameters and teeth")


def _speed_cure(reader: Reader, states: Sequence[ShaftState], band: Band, speed: float, line) -> str:
    """Return what brings the work to the nearest end of its band: the engine's speed or the last driver pulley."""
    least, most = band
    off = most / speed - 1 if speed > most else least / speed - 1
    cure = f"Work the engine at {reader.show(states[0].work * (1 + off), 'rotation')}"
    last = line[-1] if line else None
    if last is not None and last.pulleys is not None:
        i = last.pulleys.driver
        size = reader.show(2 * last.pulleys.pitch[i] * (1 + off), "length")
        cure += f", or change pulley {last.pulleys.names[i]} of {last.name} to {size} pitch diameter"
    return cure + "."


def _wanted(reader: Reader, band: Band | None) -> Value:
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
    draft: Draft, reader: Reader, states: Sequence[ShaftState], target: str | None, line: Sequence[StageRatio]
) -> None:
    """Judge the way that the work turns."""
    id, name = "ratio.direction", "direction of the work"
    wanted, state = turn_of(reader, "work"), _named(states, target)
    missing = [k for k, lacks in (("engine.turns", not turn_of(reader, ENGINE)), ("work.turns", not wanted)) if lacks]
    if missing or state is None or not state.turn:
        reader.note_missing(*missing)
        draft.checks.append(
            undecided(
                id,
                name,
                missing or ("stage",),
                "The direction of the engine or the one that the work wants is not known yet.",
                limit=ARROWS.get(wanted, ""),
            )
        )
        return
    turns = [s.name for s in line if s.sign < 0]
    way = f"{len(turns)} of {len(line)} stages turn the direction round" + (f" ({', '.join(turns)})" if turns else "")
    good = state.turn == wanted
    draft.check(
        id,
        name,
        ARROWS[state.turn],
        ARROWS[wanted],
        GO if good else STOP,
        f"{way}; seen facing the engine's output shaft.",
        ""
        if good
        else "Turn the direction round once more or once less: the driven pulley on the back of a "
        "double-V belt, a crossed belt, a gear pair, or the source turned to face the other way.",
        "own-derivation, inside pulleys turn with the loop, outside ones against it",
    )


def surface_check(draft: Draft, reader: Reader, states: Sequence[ShaftState], target: str | None) -> None:
    """Tell the tip or surface speed of the work, and judge it where the build says how much it stands."""
    size = reader.si("work.diameter")
    state = _named(states, target)
    if size is None or state is None or state.work is None:
        return
    speed = float(mech.tip_speed.si(size, rotation=state.work))
    known = reader.how("engine.work_speed")
    draft.fact(
        "tip or surface speed of the work",
        reader.number(speed, "surface speed", known=known),
        "at the working engine speed",
    )
    most = reader.si("work.surface_speed_most")
    if most is None:
        return
    top = speed if state.full is None else float(mech.tip_speed.si(size, rotation=state.full))
    verdict = grade(likely=speed, bad=top, limit=most, higher_is_better=False, guards=True)
    draft.check(
        "ratio.surface-speed",
        "tip or surface speed",
        reader.number(top, "surface speed"),
        reader.number(most, "surface speed", "{} or less", known=reader.how("work.surface_speed_most")),
        verdict,
        "Checked at the highest governed engine speed, since a governor lets go when the load does.",
        "" if verdict == GO else "Gear the work down, or lower the governed speed of the engine.",
        "own-derivation, circumference times turns",
        guards=True,
    )


def power_check(draft: Draft, reader: Reader, states: Sequence[ShaftState]) -> None:
    """Judge the torque that the engine has against what the work takes, at the peak where that is known."""
    engine = states[0]
    if engine.torque is None:
        return
    peak, rated, speed = engine_peak(reader), reader.si("engine.rated_power"), reader.si("engine.rated_speed")
    able = peak if peak is not None else None if rated is None or speed is None else rated / speed
    curve, turns = engine_curve(reader), reader.si("engine.work_speed")
    by_curve = curve is not None and turns is not None
    if by_curve:
        able = float(curve.at(turns))
    id, name = "ratio.power", "torque the engine has"
    if able is None:
        keys = ("engine.rated_power", "engine.rated_speed")
        reader.note_missing(*keys)
        draft.checks.append(undecided(id, name, keys, "The plate figures of the engine are not known yet."))
        return
    wanted = engine.peak_torque or engine.torque
    verdict = GO if at_least(able, wanted) else CAUTION if at_least(able, engine.torque) else STOP
    draft.check(
        id,
        name,
        reader.number(able, "torque"),
        reader.number(wanted, "torque", "{} at the peak load", known=reader.how("work.power")),
        verdict,
        f"The work takes {reader.show(engine.torque, 'torque')} at the engine, "
        f"{reader.show(wanted, 'torque')} at the peak. "
        + (
            f"That is what its torque curve has at {reader.show(turns, 'rotation')}."
            if by_curve
            else "The plate shows the engine's best; it has less at other speeds."
        ),
        "" if verdict == GO else "Take a lighter bite, gear the work down, or take a stronger engine.",
        "own-derivation, power is torque times speed",
    )


__all__ = ["direction_check", "power_check", "speed_check", "surface_check"]

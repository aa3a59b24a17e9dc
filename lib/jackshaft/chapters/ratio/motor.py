"""Whether an electric motor gets the work going: from standstill, or at speed where a clutch lets it run first."""

from __future__ import annotations

from jackshaft.chapters.ratio.data import ShaftState
from jackshaft.parts.motor import Torques, kind_lacks
from jackshaft.parts.works import factor_key, lacking_key, load_curves
from jackshaft.results.checks import CAUTION, GO, ORDER, UNDECIDED, Check, grade
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import at_most

START = ("ratio.motor-start", "torque the motor starts the work with")
#: Clutches that let the motor run up before it takes the work along.
AFTER = ("electromagnetic", "centrifugal", "idler")
#: How work goes that takes the same torque at every speed.
SAME = "same at every speed"
WORDS = {"starting": "at standstill", "pull_up": "at its weakest on the way up", "pull_out": "before it pulls out"}


def usual(has: Torques) -> str:
    """Return in words whose usual torques are taken."""
    kind = f"for a {has.kinds[0]} motor" if len(has.kinds) == 1 else "of the kinds that it may be"
    return f"as is usual {kind} (from memory)"


def start_check(draft: Draft, reader: Reader, engine: ShaftState, has: Torques) -> None:
    """Judge what a motor has from standstill up, not at its pull-out, where it starts together with the work.

    A load that is the same at every speed must be met on the whole way up, the working torque too, one that grows with
    the speed at standstill.
    """
    factor = engine.start_factor
    if factor is None:
        draft.missing(reader, *START, (factor_key(reader, "start"),), "How hard the work starts is not known yet.")
        return
    names = ("starting", "pull_up")
    if reader.get("clutch.kind") in AFTER:
        names = ("pull_out",)
    elif not {None, SAME} & set(load_curves(reader)):
        names = ("starting",)
    bands = {name: getattr(has, name) for name in names}
    same = "pull_up" in names and factor < 1.0
    loads = {n: engine.torque * (1.0 if same and n == "pull_up" else factor) for n in names}
    verdicts = {n: grade(likely=high, bad=low, limit=loads[n]) for n, (low, high) in bands.items()}
    worst = max(verdicts.values(), key=ORDER.index)
    name = min((n for n in names if verdicts[n] == worst), key=lambda n: bands[n][0] / loads[n])
    load = loads[name]
    low, high = bands[name]
    shown = "{low}" if at_most(high, low) else "{low} to {high}"
    found = reader.number(0.5 * (low + high), "torque", f"{shown} {WORDS[name]}", low=low, high=high)
    when = "on the way up" if same and name == "pull_up" else "at the start"
    asked = reader.number(load, "torque", f"{{}} or more, {when}", known=reader.how("work.start_factor"))
    words = f"The work takes {reader.show(load, 'torque')} of the motor {when}. "
    words += "A clutch lets it run up first. " if name == "pull_out" else "The motor starts together with the work. "
    words += f"It has {_has(reader, has, bands)}."
    if name != "pull_out":
        words += " It falls with the square of the voltage: a long or thin cord takes much of it."
    if same and None in load_curves(reader) and worst != GO and verdicts["starting"] == GO:
        words += " That is so where the work takes the same at every speed; how its load goes with speed is not known."
        curve = lacking_key(reader, "load_curve")
        reader.note_missing(curve)
        draft.checks.append(Check(*START, found, asked, UNDECIDED, words, missing=(curve,)))
        return
    lacks = kind_lacks(reader) if worst == CAUTION and name in has.usual else ()
    if lacks:
        reader.note_missing(*lacks)
        draft.checks.append(Check(*START, found, asked, UNDECIDED, words, missing=lacks))
        return
    draft.check(
        *START,
        found=found,
        wanted=asked,
        verdict=worst,
        reason=words,
        remedy=""
        if worst == GO
        else "Start it empty, let a clutch take the work up once the motor runs, or fit a motor that starts harder.",
        source="own-derivation, torque over the rated torque by the kind of motor",
    )


def _has(reader: Reader, has: Torques, bands: dict[str, tuple[float, float]]) -> str:
    """Return in words what a motor has along its curve."""
    each = {n: " to ".join(dict.fromkeys(reader.show(t, "torque") for t in band)) for n, band in bands.items()}
    if set(bands) <= set(has.usual):
        return f"{' and '.join(f'{t} {WORDS[n]}' for n, t in each.items())}, {usual(has)}"
    return " and ".join(f"{t} {WORDS[n]}" + (f", {usual(has)}," if n in has.usual else "") for n, t in each.items())


__all__ = ["START", "start_check", "usual"]

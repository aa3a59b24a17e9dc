"""Whether an engine that no clutch frees from its work can be started, by hand or by its starter motor."""

from __future__ import annotations

from jackshaft.chapters.ratio.data import ShaftState
from jackshaft.chapters.ratio.motor import AFTER
from jackshaft.parts.motor import STARTS_BY, is_motor
from jackshaft.parts.works import factor_key
from jackshaft.results.checks import CAUTION, GO, STOP, stays_within
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader

START = ("ratio.engine-start", "starting the engine with its work")
HAND = "recoil starter"
#: Torque of the work, N·m at the crank, that a hand or a starter turns beside the engine's own compression: some 200 N
#: on a rope sheave of 50 mm radius. Common practice, no source.
BESIDE = 10.0


def engine_start_check(draft: Draft, reader: Reader, engine: ShaftState) -> None:
    """Judge how an engine is started that turns its work from its first revolution; silent where a clutch frees it."""
    clutch = reader.get("clutch.kind")
    if is_motor(reader) or clutch in AFTER or not reader.names("stage"):
        return
    if clutch is None and not reader.is_none("clutch"):
        words = "Whether a clutch frees the engine from its work while it is started is not known yet."
        draft.missing(reader, *START, ("clutch.kind",), words)
        return
    if reader.get("engine.kind") is None:
        words = "No clutch frees the engine from its work. What kind of engine must start both is not known yet."
        draft.missing(reader, *START, ("engine.kind",), words)
        return
    by, factor = reader.get(STARTS_BY), engine.start_factor
    load = None if engine.torque is None or factor is None else engine.torque * factor
    keys = {STARTS_BY: by, factor_key(reader, "start"): factor, "work.power": reader.get("work.power")}
    keys |= {"work.power_at": reader.get("work.power_at"), "engine.work_speed": engine.work}
    lacks = tuple(k for k, v in keys.items() if v is None)
    tied = "No clutch frees the engine: whoever starts it turns the work along from the first revolution."
    limit = reader.number(BESIDE, "torque", "{} or less")
    if load is None or (by is None and stays_within(load, BESIDE)):
        draft.missing(reader, *START, lacks or ("stage",), f"{tied} What turns both is not known yet.", limit=limit)
        return
    reader.note_missing(*lacks)
    verdict, words = GO, f"{tied} The work takes {reader.show(load, 'torque')} of it at the crank."
    if not stays_within(load, BESIDE):
        verdict = STOP if by == HAND else CAUTION
        words += " A hand cannot turn that." if by == HAND else " A starter is made to turn its engine alone."
    elif by == HAND:
        verdict = CAUTION
        words += " A hand turns that, with what the work's inertia takes on top, and the rope kicks back harder."
    draft.check(
        *START,
        found=reader.number(load, "torque", "{} of the work" + ("" if by is None else f", by {by}")),
        wanted=limit,
        verdict=verdict,
        reason=words,
        remedy=""
        if verdict == GO
        else "Fit a clutch that frees the engine while it starts, or let its maker say what its starter turns.",
        source="common practice, no source",
    )


__all__ = ["HAND", "START", "engine_start_check"]

"""A bearing that carries the far end of the engine's shaft: whether the shaft reaches it, and belongs in it."""

from __future__ import annotations

from jackshaft.parts.motor import is_motor
from jackshaft.results.checks import CAUTION, GO, STOP, stays_within
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader

AT, LENGTH = "engine.outboard_at", "engine.shaft_length"
OWN = "own-derivation"
NAMED = ("shafts.outboard", "engine shaft: bearing beyond the belt")


def half_hub(reader: Reader) -> float:
    """Return half the length of the pulley's hub on the engine's shaft, m; nothing where it is not known."""
    return 0.5 * reader.si("engine.hub_length", 0.0)


def check(draft: Draft, reader: Reader) -> None:
    """Judge the bearing that the build says is there; nothing where it says none."""
    at, length = reader.si(AT), reader.si(LENGTH)
    if at is None:
        return
    wanted = reader.number(at, "length", "{} or more, to the bearing")
    if length is None:
        words = "Measure how far the shaft stands out of the face. Where it is shorter there is nothing to carry."
        draft.missing(reader, *NAMED, (LENGTH,), words, limit=wanted)
        return
    belt = reader.si("engine.belt_at")
    if belt is not None and stays_within(at, belt + half_hub(reader)):
        words = "It stands within the pulley or before it: a bearing that carries the far end stands beyond the belt."
        draft.check(*NAMED, reader.number(at, "length"), "beyond the pulley", STOP, words, "Set it further out.", OWN)
        return
    reaches = stays_within(at, length)
    verdict, remedy = (GO, "") if reaches else (STOP, "Set the belt nearer to the face, or carry it on a jackshaft.")
    reason = "It must be in line with the shaft, or it bends the shaft itself."
    if not reaches:
        reason = "The shaft ends before the bearing."
    elif is_motor(reader):
        verdict, remedy = CAUTION, "Carry the pulley on a jackshaft, and drive that through a coupling."
        reason = (
            "A motor's shaft has two bearings in its frame. A third that is out of line by tenths of a millimetre may "
            "load them more than the belt does (common practice, from memory)."
        )
    draft.check(
        *NAMED,
        reader.number(length, "length", "stands out {}", known=reader.how(LENGTH)),
        wanted,
        verdict,
        reason=reason,
        remedy=remedy,
        source=OWN,
    )


__all__ = ["AT", "LENGTH", "check"]

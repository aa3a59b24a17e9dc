"""How fast a shaft turns at work, and how fast it may turn at most."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from jackshaft.chapters.ratio.data import speed_keys
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader


class Turning(NamedTuple):
    """Speeds of a shaft, rad/s, None where not known: at work, the engine at its rated or governed speed, at most.

    ``misses`` names the keys without which the speed at work is not known, or else the highest. A shaft that no engine
    of the build file drives turns at most as it is said to turn at work.
    """

    work: float | None
    full: float | None
    top: float | None
    turn: int
    known: str
    misses: tuple[str, ...]


def turning_of(reader: Reader, done: Mapping[str, Findings], shaft: str) -> Turning:
    """Return how fast and which way a shaft turns."""
    ratio, key = done["ratio"].data, f"shaft[{shaft}].work_speed"
    state = None if ratio is None else ratio.shaft(shaft)
    said = reader.si(key)
    if state is None:
        misses = () if said is not None else speed_keys(reader, ratio, shaft, key)
        return Turning(said, said, said, 0, reader.how(key), misses)
    work, known = (said, reader.how(key)) if state.work is None else (state.work, "")
    misses = (
        speed_keys(reader, ratio, shaft, key) if work is None else ("engine.full_speed",) if state.top is None else ()
    )
    return Turning(work, work if state.full is None else state.full, state.top, state.turn, known, misses)


__all__ = ["Turning", "turning_of"]

"""The shafts whose speed and direction are judged: those that do the work, and any that says what it wants itself."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft.chapters.ratio.data import RatioData, ShaftState
from jackshaft.chapters.ratio.stages import turn_of
from jackshaft.results.reader import Reader

OWN = ("speed_least", "speed_most", "turns")


class Judged(NamedTuple):
    """One shaft as it is judged: its name and state (None: not reached), what it wants, and whether it does the work.

    ``band`` holds the lowest and the highest speed, rad/s, None where neither is known; ``turn`` is +1, -1 or 0 as
    for a shaft. ``part`` is what stands in the brackets of its checks: nothing where it is the only one.
    """

    shaft: str | None
    state: ShaftState | None
    band: tuple[float, float] | None
    turn: int
    part: str
    works: bool

    def named(self, id: str, name: str) -> tuple[str, str]:
        """Return the id and the name of a check of this shaft."""
        name = name if self.works else name.removesuffix(" of the work")
        return (f"{id}[{self.part}]", f"{self.part}: {name}") if self.part else (id, name)

    def key(self, reader: Reader, name: str) -> str:
        """Return where the build says what this shaft wants: its own key where that is known, else the work's."""
        own = f"shaft[{self.shaft}].{name}"
        return own if self.shaft in reader.names("shaft") and reader.get(own) is not None else f"work.{name}"


def band_of(reader: Reader, shaft: str | None, *, works: bool = True) -> tuple[float, float] | None:
    """Return the lowest and the highest speed that a shaft wants, rad/s: its own, else the work's where it works."""
    own = shaft in reader.names("shaft")
    least, most = (
        reader.si(f"shaft[{shaft}].{key}", usual) if own else usual
        for key, usual in ((k, reader.si(f"work.{k}") if works else None) for k in ("speed_least", "speed_most"))
    )
    free = works and all(reader.is_none(f"work.{k}") for k in ("speed_least", "speed_most"))
    return None if least is None and most is None and not free else (least or 0.0, most or np.inf)


def judged(reader: Reader, data: RatioData) -> tuple[Judged, ...]:
    """Return the shafts that are judged: those of the work, or the end of the drive; then those of their own."""
    works = data.carriers or (None,)
    others = tuple(
        name
        for name in reader.names("shaft")
        if name not in works and any(reader.get(f"shaft[{name}].{key}") is not None for key in OWN)
    )
    return tuple(
        Judged(
            shaft=name,
            state=data.shaft(name),
            band=band_of(reader, name, works=name in works),
            turn=_wanted_turn(reader, name, works=name in works),
            part=name if len(works + others) > 1 else "",
            works=name in works,
        )
        for name in works + others
    )


def _wanted_turn(reader: Reader, shaft: str | None, *, works: bool) -> int:
    """Return which way a shaft must turn, +1, -1 or 0, seen facing the engine's output shaft."""
    own = turn_of(reader, f"shaft[{shaft}]") if shaft in reader.names("shaft") else 0
    return own or (turn_of(reader, "work") if works else 0)


__all__ = ["Judged", "band_of", "judged"]

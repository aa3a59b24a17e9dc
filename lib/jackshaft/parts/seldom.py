"""Load cases that last a moment and come seldom: a jam, a clutch that slips.

They count against yielding and static strength, not against fatigue or life. Where a part holds in every other case
and gives in one of these, that is a caution at most: what gives first is judged by the chain of what gives first.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from jackshaft.results.checks import CAUTION, GO, reaches

#: The cases: common practice, no source.
SELDOM = ("slipping clutch", "jam")

#: How a case ends in which one of several shafts that a belt drives stands, while the others go on.
STANDS = " held still"

#: Safety against yielding or slip wanted in them. They are the most that belt, clutch, engine or pin let through, so
#: nothing is left to put on top: common practice, no source.
HOLDS = 1.0


class Largest(NamedTuple):
    """Case and size of the largest load of those that come often, and of those that come seldom, None without one."""

    often: tuple[str, float]
    seldom: tuple[str, float] | None


def held_still(shaft: str) -> str:
    """Return the name of the case in which one of several driven shafts stands."""
    return f"with {shaft}{STANDS}"


def is_held_still(case: str) -> bool:
    """Tell whether a case is one in which one of several driven shafts stands."""
    return case.endswith(STANDS)


def comes_seldom(case: str) -> bool:
    """Tell whether a case comes seldom."""
    return case in SELDOM or is_held_still(case)


def largest(sizes: Mapping[str, float]) -> Largest:
    """Return the largest loads of cases by name; of two alike the first."""
    often = {c: s for c, s in sizes.items() if not comes_seldom(c)}
    seldom = {c: s for c, s in sizes.items() if comes_seldom(c)}
    return Largest(_top(often), _top(seldom) if seldom else None)


def _top(sizes: Mapping[str, float]) -> tuple[str, float]:
    return max(sizes.items(), key=lambda ns: round(ns[1], 9))


def holds(safety: float) -> bool:
    """Tell whether a safety against yielding, slip or a dent does in a case that comes seldom."""
    return reaches(safety, HOLDS)


def joined(often: str, seldom: bool) -> str:
    """Return the verdict of the usual cases, a caution where that is a go and a seldom case does not hold."""
    return CAUTION if often == GO and not seldom else often


__all__ = ["HOLDS", "SELDOM", "Largest", "comes_seldom", "held_still", "holds", "is_held_still", "joined", "largest"]

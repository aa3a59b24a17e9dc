"""In which order parts go on a stepped shaft: which end each comes from, and which bars the way of another.

Lengths in m along the shaft, from its zero mark. Plain geometry: a part slides along as far as its bore passes over
the shaft, and past no other part.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

#: The two ends of a shaft: that of the lower places, and that of the higher ones.
NEAR, FAR = -1, 1


class Part(NamedTuple):
    """A part that slides on: its name, from where to where it sits, and its bore, m.

    ``fixed`` is True for one that is no more to be taken off, such as a hub that is welded on.
    """

    name: str
    low: float
    high: float
    bore: float
    fixed: bool = False


class Move(NamedTuple):
    """A part that comes on from an end, NEAR or FAR."""

    part: str
    end: int


class Barred(NamedTuple):
    """A part that no longer goes on: for each end the steps (by their number) and the parts that bar its way."""

    part: str
    steps: tuple[tuple[int, ...], tuple[int, ...]]
    parts: tuple[tuple[str, ...], tuple[str, ...]]


class Assembly(NamedTuple):
    """The order in which parts go on, and those that cannot, while the others that cannot are on too."""

    moves: tuple[Move, ...]
    barred: tuple[Barred, ...]


def _way(part: Part, end: int, low: float, high: float) -> bool:
    """Tell whether something from low to high lies beyond a part, toward an end, with more than its edge."""
    return low < part.low - 1e-9 if end == NEAR else high > part.high + 1e-9


def barring_steps_si(steps: Sequence[Any], part: Part, *, end: int, slack: float = 0.0) -> tuple[int, ...]:
    """Return which steps of a shaft a part cannot slide over on its way from one end.

    Parameters
    ----------
    steps : sequence
        Lengths of one diameter with ``start``, ``end`` and ``diameter`` (m), in any order.
    part : Part
        The part; it sits at its place with its own bore.
    end : int
        NEAR or FAR.
    slack : float
        How much thicker than the bore a step may be and still count as the same size (m).

    Returns
    -------
    tuple of int
        Numbers of the steps, from 0.

    Source
    ------
    Geometry.
    """
    return tuple(
        n for n, step in enumerate(steps) if step.diameter > part.bore + slack and _way(part, end, step.start, step.end)
    )


def order_si(steps: Sequence[Any], parts: Sequence[Part], *, slack: float = 0.0) -> Assembly:
    """Return the order in which parts go on a shaft, and those that cannot go on.

    It is found by taking off: whatever has a free way to an end comes off, for to have less on the shaft never bars
    anything. What comes off last goes on first. What then is left bars itself or one another.

    Parameters
    ----------
    steps : sequence
        As for :func:`barring_steps_si`.
    parts : sequence of Part
        What sits on the shaft, each at its place.
    slack : float
        As for :func:`barring_steps_si`.

    Returns
    -------
    Assembly
        Each part that is not fixed stands in it once.

    Source
    ------
    Geometry; own-derivation.
    """
    left, off = list(parts), []

    def beyond(part: Part, end: int) -> tuple[str, ...]:
        return tuple(p.name for p in left if p is not part and _way(part, end, p.low, p.high))

    def reach(part: Part, end: int) -> float:
        if end == NEAR:
            return part.low - min(step.start for step in steps)
        return max(step.end for step in steps) - part.high

    while True:
        free = [
            (reach(part, end), part.name, n, end)
            for n, part in enumerate(left)
            for end in (NEAR, FAR)
            if not part.fixed and not beyond(part, end) and not barring_steps_si(steps, part, end=end, slack=slack)
        ]
        if not free:
            break
        _, name, n, end = min(free)
        off.append(Move(name, end))
        del left[n]
    barred = tuple(
        Barred(
            part.name,
            tuple(barring_steps_si(steps, part, end=end, slack=slack) for end in (NEAR, FAR)),
            tuple(beyond(part, end) for end in (NEAR, FAR)),
        )
        for part in left
        if not part.fixed
    )
    return Assembly(tuple(reversed(off)), barred)


__all__ = ["FAR", "NEAR", "Assembly", "Barred", "Move", "Part", "barring_steps_si", "order_si"]

"""What the layout chapter finds: one belt loop in SI units, and the belts that are sold for it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from jackshaft.mechanics import belts as belt_lengths
from jackshaft.mechanics import path as belt_path
from jackshaft.mechanics import takeup
from jackshaft.parts.belt_stage import Places, Pulleys


class Body(NamedTuple):
    """Something the belt must clear: a round body by ``radius``, or a box by its corners; m."""

    name: str
    x: float
    y: float
    radius: float | None
    corners: np.ndarray | None


class StockBelt(NamedTuple):
    """A belt that is sold, how much longer than the path it is, and where the take-up is with it (NaN: nowhere).

    ``room_in`` and ``room_out``: belt length, m, by which the loop can still be made shorter (to put
    the belt on) and longer (for stretch). ``gap`` is the smallest gap there, ``gap_words`` what it is
    between, ``wrap`` the wraps in rad, shape (n,) (None where the loop stays as drawn). ``drawn``: it goes on the loop
    as it is drawn, without a take-up.
    """

    designation: str
    pitch_length: float
    known: str
    over: float
    fits: bool = False
    x: float = np.nan
    y: float = np.nan
    centres: float = np.nan
    room_in: float = np.nan
    room_out: float = np.nan
    gap: float = np.nan
    gap_words: str = ""
    wrap: np.ndarray | None = None
    drawn: bool = False


class StageLayout(NamedTuple):
    """One belt loop: where everything is and runs, in SI units.

    ``start`` and ``end`` are the ends of the strands, shape (n, 2); strand i leaves pulley i. ``unplaced`` names the
    keys without which a body is nowhere.

    Places, path, strands and gap are those with the belt that is on: where it puts the take-up elsewhere than it is
    drawn, ``drawn`` is the loop as drawn, else None. ``mover`` is the pulley that moves to take the belt up, None where
    it is not known. ``fits`` tells whether belt and drawing can both be true: None
    where that is not known. ``travel_missing`` names the keys without which it is not known how far the take-up goes.
    ``track`` is the way of the take-up from the loop as drawn, None where it cannot move or its way is not known.
    """

    name: str
    pulleys: Pulleys
    places: Places
    belt: belt_lengths.Section | None
    ccw: bool
    sense_known: bool
    path: belt_path.Path
    start: np.ndarray
    end: np.ndarray
    bodies: tuple[Body, ...]
    unplaced: tuple[str, ...]
    idler: int | None
    mover: int | None
    pivot: tuple[float, float] | None
    speed: float | None
    full_speed: float | None
    top_speed: float | None
    least_gap: float = np.nan
    gap_words: str = ""
    stock: tuple[StockBelt, ...] = ()
    chosen: StockBelt | None = None
    fits: bool | None = None
    drawn: StageLayout | None = None
    travel_missing: tuple[str, ...] = ()
    track: takeup.Arm | takeup.Slot | None = None

    @property
    def as_drawn(self) -> StageLayout:
        """The loop as it is drawn."""
        return self if self.drawn is None else self.drawn

    @property
    def ends(self) -> tuple[np.ndarray, ...]:
        """The ends of the strands as arrays (start x, start y, end x, end y), each of shape (n,)."""
        return (*self.start.T, *self.end.T)

    @property
    def idlers(self) -> tuple[int, ...]:
        """The pulleys without power."""
        p = self.pulleys
        return tuple(i for i in range(len(p.names)) if i not in p.powered)

    @property
    def centres(self) -> float:
        """Distance of the centres of driver and driven, m."""
        i, j, at = self.pulleys.driver, self.pulleys.driven, self.places
        return float(np.hypot(at.x[j] - at.x[i], at.y[j] - at.y[i]))

    def strand(self, i: int, between: str = " to ") -> str:
        """Return strand ``i`` in words: from which pulley to which."""
        return f"{self.pulleys.names[i]}{between}{self.pulleys.names[(i + 1) % len(self.pulleys.names)]}"

    def with_moved(self, k: int):
        """Return the loop as a function of where pulley ``k`` is."""
        p, at = self.pulleys, self.places
        return belt_path.with_pulley_moved_si(at.x, at.y, p.pitch, p.inside, index=k, ccw=self.ccw)


def pathless(layouts: Mapping[str, StageLayout]) -> str:
    """Return which loops have no path, in words; nothing where each has one."""
    names = ", ".join(name for name, layout in layouts.items() if layout.path.reason != 0)
    return f"No path for the belt of: {names}. Mend the layout first." if names else ""

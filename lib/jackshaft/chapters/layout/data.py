"""What the layout chapter finds: one belt loop in SI units, and the belts that are sold for it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft.mechanics import belts as belt_lengths
from jackshaft.mechanics import path as belt_path
from jackshaft.parts.belt_stage import Places, Pulleys


class Body(NamedTuple):
    """Something the belt must clear: a round body by ``radius``, or a box by its corners; m."""

    name: str
    x: float
    y: float
    radius: float | None
    corners: np.ndarray | None


class StockBelt(NamedTuple):
    """A belt that is sold, and where the take-up stands with it (NaN where it cannot).

    ``room_in`` and ``room_out``: belt length, m, by which the loop can still be made shorter (to put
    the belt on) and longer (for stretch). ``gap`` is the smallest gap there, ``gap_words`` what it is
    between, ``wrap`` the wraps in rad, shape (n,) (None where the loop stays as drawn).
    """

    designation: str
    pitch_length: float
    over: float
    fits: bool
    x: float
    y: float
    centres: float
    room_in: float
    room_out: float
    gap: float
    gap_words: str
    wrap: np.ndarray | None
    known: str


class StageLayout(NamedTuple):
    """One belt loop: where everything stands and runs, in SI units.

    ``start`` and ``end`` are the ends of the strands, shape (n, 2); strand i leaves pulley i. ``unplaced`` names the
    keys without which a body is nowhere.
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
    least_gap: float
    gap_words: str
    stock: tuple[StockBelt, ...]
    chosen: StockBelt | None
    idler: int | None
    pivot: tuple[float, float] | None
    speed: float | None
    full_speed: float | None
    unplaced: tuple[str, ...] = ()

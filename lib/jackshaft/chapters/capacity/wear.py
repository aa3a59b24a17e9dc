"""Belt life where a published method covers it, with the range it holds for."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.mechanics import belt_life, grip
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value
from jackshaft.units import HOUR, INCH, at_least


class Life(NamedTuple):
    """Belt life in s: at work (``likely``) and with the service factor (``bad``).

    ``more`` marks ends that lie beyond the range of passes, so that the life is only known to be more than the
    figure; ``usable`` is False below the range or under the method's smallest pulley, ``note`` says
    why. ``short``: at work the life lies below the range of passes, so that its figure is an estimate beyond
    the method; ``short_bad``: with the service factor. ``fewest`` is the life in s at the fewest passes of the range:
    what is below it is less than that.
    """

    likely: float
    bad: float
    more_likely: bool
    more_bad: bool
    usable: bool
    note: str
    short: bool = False
    short_bad: bool = False
    fewest: float = np.nan

    def hours(self, reader: Reader, seconds: float) -> str:
        """Return a life in words; two digits are more than an exponent of eleven can promise."""
        return reader.show(float(f"{seconds / HOUR:.2g}") * HOUR, "time") if at_least(seconds, HOUR) else "under 1 h"

    def number(self, reader: Reader) -> Value:
        """Return the life as it is shown: at work, its low end with the service factor."""
        if not self.usable:
            return "not covered by the method"
        low, high = (self.hours(reader, t) for t in (self.bad, self.likely))
        words = f"more than {low}" if self.more_bad else f"{low} to {'more than ' if self.more_likely else ''}{high}"
        return reader.number(self.likely, "time", words, low=self.bad, source="shigley")


def life_of(reader: Reader, layout: StageLayout, stage: StageGrip | None, service: float) -> Life | None:
    """Estimate the life of one belt; None where no constants are published for the section or no tension is known."""
    if stage is None or stage.net is None or layout.belt is None:
        return None
    rows = tables.table("belt_fatigue").where(section=layout.belt.name).rows
    if not rows:
        return None
    p = layout.pulleys
    if p.pitch.min() * 2 < rows[0]["min_pulley_in"] * INCH * (1 - 1e-9):
        least = reader.show(rows[0]["min_pulley_in"] * INCH, "length", digits=3)
        return Life(
            np.nan,
            np.nan,
            more_likely=False,
            more_bad=False,
            usable=False,
            note=f"the constants hold for pulleys of {least} and more",
        )
    ends = [_one(layout, stage, rows, factor) for factor in (1.0, max(service, 1.0))]
    (likely, more_likely, valid), (bad, more_bad, valid_bad) = ends
    note = "at work, and with the service factor on the load; idlers counted like any pulley of their size"
    if not (valid and valid_bad):
        note = "under the fewest passes that the constants hold for: a short life"
    return Life(
        likely,
        bad,
        more_likely=more_likely,
        more_bad=more_bad,
        usable=valid and valid_bad,
        note=note,
        short=not valid,
        short_bad=not valid_bad,
        fewest=rows[0]["passes_from"] * float(layout.path.length) / layout.speed,
    )


def _one(layout: StageLayout, stage: StageGrip, rows, factor: float) -> tuple[float, bool, bool]:
    """Return life in s, whether it is more than that, and whether the method covers it, at a load."""
    p, path = layout.pulleys, layout.path
    hold = stage.hold_at(stage.loading, stage.centrifugal)
    net = grip.grip_si(factor * stage.pulls, path.wrap, stage.friction.likely, hold, stage.centrifugal).net
    strands = (net + stage.centrifugal) / stage.belts
    hours, valid = lasts_si(rows, strands, 2.0 * p.pitch, layout.speed, float(path.length))
    return float(hours) * HOUR, bool(valid > 0), bool(valid >= 0)


def lasts_si(rows, strands, diameters, speed, length) -> tuple[np.ndarray, np.ndarray]:
    """Return the hours a belt lasts at least, and whether that lies below, in or above the range of the constants.

    Parameters
    ----------
    rows : sequence of mapping
        Rows of table belt_fatigue of one section; where there are two, the second takes over where the first ends.
    strands : array, shape (..., n)
        Tension of the strand that leaves each pulley with the centrifugal part, of one belt, N.
    diameters : array, shape (..., n)
        Pitch diameters, m.
    speed, length : array, shape (...)
        Belt speed, m/s, and pitch length, m.

    Returns
    -------
    tuple of two arrays, shape (...)
        Hours; -1 below the range, 0 in it, +1 above it.

    Source
    ------
    shigley, ch. 17, V-belt durability (from memory)
    """
    tight = np.maximum(strands, np.roll(strands, 1, axis=-1))
    hours, valid = None, 1
    for row in rows:
        found = belt_life.life_si(tight, diameters, speed, length, row=row)
        on = np.asarray(valid) > 0
        hours = found.hours_at_least if hours is None else np.where(on, found.hours_at_least, hours)
        valid = np.where(on, found.valid, valid)
    return hours, valid


__all__ = ["Life", "lasts_si", "life_of"]

"""A driven pulley that stands elsewhere, where its belt drives several: one that wraps more slips later."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.layout import moves
from jackshaft.chapters.layout.checks import LEAST_GAP
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.chapters.layout.orders import belt_on, belts_of, spot_order
from jackshaft.chapters.layout.take_up import as_drawn
from jackshaft.mechanics import belts as belt_lengths
from jackshaft.results.cure import Proposal, orders
from jackshaft.results.failing import Failing
from jackshaft.units import read

#: Steps of a move, inch and metric, how many are looked at in each direction, and directions.
STEP, STEPS, WAYS = ("1/8 in", "2 mm"), 160, 8

#: Moves that are proposed at the most, and wrap that is worth one, rad: common practice, no source.
MOST, WORTH = 6, np.radians(2.0)


def driven_moved(failing: Failing) -> Iterator[Proposal]:
    """Yield places where the driven pulley that slips first wraps more, the nearest first, with the belt that fits.

    A belt whose idler takes up in its slot or on its arm may be off the path by what that takes up: it is proposed
    where the path is as long as a belt that is sold, or as the one that is on.
    """
    stage: StageGrip | None = failing.item("grip")
    if stage is None or not stage.layout.pulleys.several or not stage.layout.places.given:
        return
    k, layout = stage.limiting, stage.layout
    if k == layout.pulleys.driver:
        return
    found = []
    for way in 2.0 * np.pi * np.arange(WAYS) / WAYS:
        offs = read(STEP[failing.build.system == "metric"], "length").si * np.arange(1, STEPS + 1)
        there = moves.along(layout.as_drawn, k, (float(np.cos(way)), float(np.sin(way))), offs)
        good = (there.gap >= LEAST_GAP) & (there.wrap[:, k] - layout.path.wrap[k] >= WORTH)
        found += [(far, x, y, length) for far, x, y, length in zip(*_columns(there.at(good)), strict=True)]
    offered: set[str] = set()
    for _, x, y, length in sorted(found):
        name = _belt(layout, length)
        if name is None or name in offered:
            continue
        order, changes = spot_order(failing, layout, k, (x, y))
        offered.add(name)
        if name:
            order, changes = orders(order, f"use {belts_of(failing, name)}"), {**changes, **belt_on(failing, name)}
        yield Proposal(orders(order, "do so only where the work lets its shaft stand there"), changes)
        if len(offered) == MOST:
            return


def _columns(there: moves.Placed) -> tuple[list[float], ...]:
    return tuple(c.tolist() for c in (there.far, there.x, there.y, there.length))


def _belt(layout: StageLayout, length: float) -> str | None:
    """Return the belt to buy for a path, m: empty where the one that is on fits or none is named, None for none."""
    if layout.belt is None or layout.chosen is None or as_drawn(_as_long(layout, length), layout.chosen.pitch_length):
        return ""
    try:
        sold = belt_lengths.stock(layout.belt, "pitch")
    except belt_lengths.SectionError:
        return None
    i = int(np.argmin(np.abs(sold.length - length)))
    return str(sold.designation[i]) if as_drawn(_as_long(layout, length), float(sold.length[i])) else None


def _as_long(layout: StageLayout, length: float) -> StageLayout:
    return layout._replace(path=layout.path._replace(length=np.asarray(length)))


__all__ = ["driven_moved"]

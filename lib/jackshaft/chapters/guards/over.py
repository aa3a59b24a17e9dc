"""How far a guard that is open above must stand off, by its height, where the build says where the ground is."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from jackshaft.chapters.guards.loops import Loop
from jackshaft.mechanics.guards import reach_over
from jackshaft.results.checks import Table
from jackshaft.results.reader import Reader
from jackshaft.results.values import TAPE

#: Heights of guards that are shown, m.
GUARDS = (1.0, 1.4, 1.8, 2.2)
#: How close together heights of what turns are looked at, m: the table's steps are 200 mm.
STEP = 0.005
NOTE = (
    "Level distance from the guard's upper edge to what turns, by the height of that edge over the ground, for any "
    "part between the lowest and the highest of the stage. From memory of ISO 13857, table 2, high risk: look it up "
    "before you build by it. It holds where nothing near gives a step. Below 1 m it is no guard. One that is closed "
    "above needs none of this."
)


def over_table(reader: Reader, loops: Sequence[Loop]) -> Table | None:
    """Return what guards that are open above ask for; None where no stage says where its ground is."""
    rows = []
    for loop in loops:
        ground = reader.si(f"stage[{loop.stage}].ground_y")
        if ground is None:
            continue
        _, y, r = np.concatenate([np.stack([loop.x, loop.y, loop.solid], -1), loop.swept]).T
        low, high = float((y - r).min()) - ground, float((y + r).max()) - ground
        heights = np.append(np.arange(max(low, 0.0), max(high, 0.0), STEP), max(high, 0.0))
        asks = (float(reach_over.si(heights, guard=guard).max()) for guard in GUARDS)
        rows.append((loop.stage, *(reader.number(v, "length", form=TAPE) for v in (low, high, *asks))))
    heads = tuple(f"guard {reader.show(guard, 'length', digits=2)} high" for guard in GUARDS)
    title, first = "Over a guard that is open above", ("stage", "turns from", "turns to")
    return Table(title, (*first, *heads), tuple(rows), NOTE) if rows else None


__all__ = ["GUARDS", "over_table"]

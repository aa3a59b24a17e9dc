"""A shaft that two belts run on: what moves its pulley in the drawing of one belt moves it in that of the other.

Each belt stage has a zero mark of its own. Where the pulleys of two stages on one shaft are written down at the same
place, the two marks are one: both drawings have x to the right and y up, seen from the engine.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import combinations
from typing import NamedTuple

import numpy as np

from jackshaft.buildfile import Build
from jackshaft.buildfile.naming import named
from jackshaft.results.cure import Proposal, orders
from jackshaft.results.reader import Reader
from jackshaft.units import Measure, at_most

#: Places that are no farther apart than this, m, are one: a mark of a tape. Common practice, no source.
ONE_MARK = 1e-3
#: What joins two shafts at centres of its own, and of that what runs at one distance only.
FIXED = ("roller chain", "gear", "gearbox", "friction roller")
MESHING = ("gear", "friction roller")


class Spot(NamedTuple):
    """A pulley of a belt stage on a shaft: its key ``at``, its place and its radius (0 where not known), m."""

    shaft: str
    stage: str
    pulley: str
    at: str
    x: float
    y: float
    radius: float

    def meets(self, other: Spot) -> bool:
        """Tell whether another pulley stands at the same place."""
        return at_most(self.away(other), ONE_MARK)

    def away(self, other: Spot) -> float:
        """Return how far another pulley stands from it, m."""
        return float(np.hypot(self.x - other.x, self.y - other.y))

    def meant_to_meet(self, other: Spot) -> bool:
        """Tell whether another pulley stands so near that the two zero marks are likely one: its centre in its rim."""
        return not self.meets(other) and self.away(other) < min(self.radius, other.radius)


def shared(build: Build | Reader) -> tuple[tuple[Spot, Spot], ...]:
    """Return the pairs of pulleys of two belt stages that sit on one shaft, where x and y of both are given."""
    spots = [s for stage in build.names("stage") for s in _on_shafts(build, stage)]
    return tuple((a, b) for a, b in combinations(spots, 2) if a.shaft == b.shaft and a.stage != b.stage)


def carried(build: Build, changes: Mapping[str, object]) -> tuple[dict[str, object], tuple[Spot, ...]]:
    """Return what changes of places bring with them: key to value, and the pulleys of other belts that go along."""
    more, along = {}, []
    if not any(key.endswith(("].x", "].y")) for key in changes):
        return {}, ()
    pairs = shared(build)
    for one, other in (*pairs, *((b, a) for a, b in pairs)):
        if not one.meets(other):
            continue
        mine = {f"{other.at}.{c}": changes[k] for c in "xy" if changes.get(k := f"{one.at}.{c}") not in (None, "")}
        if mine and not mine.keys() & changes.keys():
            # an axis that stays is written with the one that moves, so that the two are one place again
            more |= mine
            along.append(other)
    return more, tuple(dict.fromkeys(along))


def with_shaft(build: Build, proposal: Proposal) -> Proposal:
    """Return a proposal with what moves along with the shafts that it moves, and words that say so."""
    more, parts = moved_along(build, proposal.changes)
    if not parts:
        return proposal
    return replace(proposal, words=f"{proposal.words}{sentences(parts)}", changes={**proposal.changes, **more})


def moved_along(build: Build, changes: Mapping[str, object]) -> tuple[dict[str, object], tuple[str, ...]]:
    """Return what changes of places bring with them, key to value, and what else moves, in parts of a sentence.

    A belt's pulley is carried along. The centres of a chain, a gear or a gearbox are only named: they are measured.
    """
    more, along = carried(build, changes)
    words = []
    for shaft in dict.fromkeys(s.shaft for s in along):
        others = " and ".join(f"{named('pulley', s.pulley)} of {s.stage}" for s in along if s.shaft == shaft)
        words.append(f"{shaft} moves with it: its bearings, and {others}")
    for stage in _recentred(build, changes):
        at = f"stage[{stage}]"
        kind = build.get(f"{at}.kind")
        written = "" if build.get(f"{at}.centres") is None else f": write them anew ({at}.centres)"
        if kind in MESHING:
            written = ": it runs only where they stay as they are"
        words.append(f"the centres of the {kind} {stage} change{written}")
    return more, tuple(words)


def unmeshes(build: Build, changes: Mapping[str, object]) -> bool:
    """Tell whether changes of places move a shaft off a gear or a roller that runs at one distance only."""
    return any(build.get(f"stage[{stage}].kind") in MESHING for stage in _recentred(build, changes))


def _recentred(build: Build, changes: Mapping[str, object]) -> list[str]:
    """Return the stages without a belt that sit on a shaft of which changes move a pulley."""
    spots = [s for stage in build.names("stage") for s in _on_shafts(build, stage)]
    moved = {s.shaft for s in spots if any(changes.get(f"{s.at}.{c}") not in (None, "") for c in "xy")}
    ends = {stage: {build.get(f"stage[{stage}].{end}") for end in ("from", "to")} for stage in build.names("stage")}
    return [s for s, both in ends.items() if build.get(f"stage[{s}].kind") in FIXED and moved & both]


def sentences(parts: tuple[str, ...]) -> str:
    """Return what else moves in sentences, each after a space; nothing where nothing does."""
    return f" {orders(*parts)}" if parts else ""


def one_frame(build: Build | Reader) -> tuple[tuple[str, ...], ...]:
    """Return the groups of stages whose zero marks are shown to be one by a shaft that stands at one place in both."""
    groups: list[set[str]] = []
    for one, other in shared(build):
        if one.meets(other):
            joined = [g for g in groups if g & {one.stage, other.stage}]
            groups = [g for g in groups if g not in joined] + [{one.stage, other.stage}.union(*joined)]
    order = build.names("stage")
    return tuple(tuple(sorted(g, key=order.index)) for g in groups)


def _on_shafts(build: Build | Reader, stage: str) -> Iterator[Spot]:
    at = f"stage[{stage}]"
    if build.get(f"{at}.kind") not in ("belt", None):
        return
    ends = {build.get(f"{at}.{name}"): build.get(f"{at}.{end}") for name, end in (("driver", "from"), ("driven", "to"))}
    for name in build.names(f"{at}.pulley"):
        here = f"{at}.pulley[{name}]"
        shaft = build.get(f"{here}.drives") or ends.get(name)
        x, y = (build.get(f"{here}.{c}") for c in "xy")
        if shaft and isinstance(x, Measure) and isinstance(y, Measure):
            size = build.get(f"{here}.diameter")
            yield Spot(shaft, stage, name, here, x.si, y.si, 0.0 if size is None else size.si / 2)


__all__ = ["ONE_MARK", "Spot", "carried", "moved_along", "one_frame", "sentences", "shared", "unmeshes", "with_shaft"]

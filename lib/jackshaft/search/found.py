"""What a search found, as a builder takes it up: a few layouts that differ, each as changes to the build."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from jackshaft.buildfile import Build, BuildProblems
from jackshaft.chapters.layout.clear_of import room_of
from jackshaft.mechanics import clearance
from jackshaft.results import Results
from jackshaft.results.checks import CAUTION, ORDER, STOP, UNDECIDED, Check, worst
from jackshaft.results.worsening import NOT_THERE, turned
from jackshaft.search.changes import changes_of
from jackshaft.search.fields import FIELDS
from jackshaft.search.front import spread_out
from jackshaft.search.measuring import aims_of
from jackshaft.search.patterns import Pattern
from jackshaft.search.problem import Problem, judged
from jackshaft.search.run import Run
from jackshaft.units import fraction, show

#: Checks of the drive ratio that the sizes of pulleys decide.
OF_SIZES = ("ratio.speed", "ratio.direction", "ratio.top-speed", "ratio.surface-speed")
LETTERS = "ABCDEFGHIJKL"


class Worth(NamedTuple):
    """What layouts are compared by, in the order of the table's columns; SI units."""

    margin_bad: float
    hub: float
    belts: float
    wide: float
    high: float
    bought: float

    @property
    def aims(self) -> tuple[float, ...]:
        """One number a column, less is better."""
        return -self.margin_bad, self.hub, self.belts, self.wide * self.high, self.bought

    def shown(self, system: str) -> tuple[str, ...]:
        """The columns as texts."""
        return (
            f"{self.margin_bad:.2f} ×",
            show(self.hub, "force", system),
            f"{self.belts:.0f}",
            f"{tape(self.wide, system, 4)} × {tape(self.high, system, 4)}",
            f"{self.bought:.0f}",
        )


@dataclass(frozen=True)
class Layout:
    """One layout that was found, in SI units, and the changes that make the build so.

    ``number`` is its row among those that the search kept.
    """

    letter: str
    problem: Problem
    pattern: Pattern
    values: dict[str, float]
    names: tuple[str, ...]
    changes: dict[str, str | int | tuple[str, ...]]
    number: int = 0

    @property
    def worth(self) -> Worth:
        """What it is compared by."""
        return Worth(*(self.values[name] for name in Worth._fields))

    @property
    def belt(self) -> str:
        """The belt that goes on, as it is sold."""
        return self.problem.stock.designation[int(self.values["stock"])]

    @property
    def build(self) -> Build:
        """The build with this layout in it, not kept."""
        return self.problem.build.with_values(self.changes)

    def pulleys(self) -> str:
        """Return the pulleys in travel order, in words."""
        system, parts = self.problem.build.system, []
        for slot, name, inside in zip(self.pattern.slots, self.names, self.pattern.inside, strict=True):
            kind, _, k = slot.partition(" ")
            size, words = self.values.get(f"size{k}" if kind == "idler" else kind), name
            if size is not None:
                words += f" {show(size, 'length', system, digits=3)}"
            if kind == "idler":
                words += f" at {tape(self.values[f'x{k}'], system)}, {tape(self.values[f'y{k}'], system)}"
            parts.append(words + ("" if inside else " outside"))
        if np.isfinite(self.values["centres"]):
            parts.append(f"centres {tape(self.values['centres'], system)}")
        return "; ".join(parts)


@dataclass(frozen=True)
class Checked:
    """A layout worked up as a single build is: its numbers in SI units, its verdict and the first reason for it."""

    results: Results
    length: float
    wrap: np.ndarray
    margin: float
    margin_bad: float
    hub: float
    belts: int
    wide: float
    high: float
    gap: float
    power: float | None
    design: float | None
    checks: tuple[Check, ...]

    @property
    def worth(self) -> Worth:
        """What it is compared by; nothing need be bought."""
        return Worth(self.margin_bad, self.hub, self.belts, wide=self.wide, high=self.high, bought=0)

    @property
    def verdict(self) -> str:
        """The worst verdict of the stage."""
        return worst(self.checks)

    @property
    def why(self) -> str:
        """The first reason for that verdict and what else has it; empty where all is go."""
        if self.verdict == "go":
            return ""
        first = max(self.checks, key=lambda c: ORDER.index(c.verdict) - (0.5 if c.accepted else 0.0))
        alike = (
            c for c in self.checks if c is not first and (c.verdict, c.accepted) == (first.verdict, first.accepted)
        )
        more = ", ".join(c.name.split(": ", 1)[-1] for c in alike)
        return f"{first.name.split(': ', 1)[-1]}: {first.value}" + (f"; also {more}" if more else "")


def check(build: Build, stage: str, before: Results | None = None) -> Checked | None:
    """Judge a stage as its pages do; None where the belt cannot go round or its tension is not known.

    Parameters
    ----------
    build : Build
        The build.
    stage : str
        The belt stage.
    before : Results, optional
        What every page says of another state of the build; what is the same is taken from there.

    Returns
    -------
    Checked or None
    """
    results = judged(build, before)
    layout = (results.chapters["layout"].data or {}).get(stage)
    grip = (results.chapters["grip"].data or {}).get(stage)
    capacity = (results.chapters["capacity"].data or {}).get(stage)
    if layout is None or grip is None or layout.path.reason != 0 or grip.margin is None:
        return None
    checks = tuple(
        c
        for name in ("layout", "grip", "capacity")
        for c in results.of(name)
        if c.id.partition("[")[2].startswith((f"{stage}]", f"{stage}, "))
    ) + tuple(c for c in results.of("ratio") if c.id in OF_SIZES and c.verdict != UNDECIDED)
    edge = clearance.edges_si(room_of(layout))
    wide, high = (float((a + edge).max() - (a - edge).min()) for a in (layout.places.x, layout.places.y))
    return Checked(
        results=results,
        length=float(layout.path.length),
        wrap=np.asarray(layout.path.wrap),
        margin=float(grip.margin),
        margin_bad=float(grip.margin_bad),
        hub=float(np.max(np.hypot(grip.hub[:, 0], grip.hub[:, 1]))),
        belts=int(build.get(f"stage[{stage}].belts") or 1),
        wide=wide,
        high=high,
        gap=float(layout.least_gap),
        power=capacity.carried if capacity else None,
        design=capacity.design if capacity else None,
        checks=checks,
    )


def layouts_of(run: Run, count: int = 8) -> tuple[Layout, ...]:
    """Return the layouts of a search that differ most, at most ``count``; A is the best all-rounder.

    Parameters
    ----------
    run : Run
        The search, finished or stopped.
    count : int
        How many at most.

    Returns
    -------
    tuple of Layout
    """
    rows = run.front.rows
    picked = spread_out(aims_of(rows), min(count, len(LETTERS))) if len(rows) else []
    return tuple(layout_of(run.problem, run.patterns, rows[k], LETTERS[n], int(k)) for n, k in enumerate(picked))


def layout_of(
    problem: Problem, patterns: Sequence[Pattern], row: np.ndarray, letter: str = "A", number: int = 0
) -> Layout:
    """Return a stored row as a layout.

    Parameters
    ----------
    problem : Problem
        What was searched.
    patterns : sequence of Pattern
        Its patterns.
    row : array, shape (len(FIELDS),)
        What the search stored.
    letter : str
        What to call it.
    number : int
        Its row among those that the search kept.

    Returns
    -------
    Layout
    """
    values = dict(zip(FIELDS, (float(v) for v in row), strict=True))
    pattern = patterns[int(values["pattern"])]
    pulleys = [problem.pulley_at(slot) for slot in pattern.slots]
    names = tuple(
        problem.names[int(slot.split()[1])] if one is None else one.name
        for slot, one in zip(pattern.slots, pulleys, strict=True)
    )
    return Layout(
        letter=letter,
        problem=problem,
        pattern=pattern,
        values=values,
        names=names,
        changes=changes_of(problem, pattern, values, names),
        number=number,
    )


def tape(si: float, system: str, finest: int = 64) -> str:
    """Show a length, m, as a tape reads it: whole millimetres, or inches in ``finest`` parts at most.

    Parameters
    ----------
    si : float
        m.
    system : str
        "inch" or "metric".
    finest : int
        Parts of an inch.

    Returns
    -------
    str
    """
    return f"{si * 1e3:.0f} mm" if system == "metric" else fraction(si, finest)


def holds(layout: Layout) -> tuple[Checked | None, str]:
    """Work a found layout up alone and return it with what there is to say against it; empty when it is go.

    Parameters
    ----------
    layout : Layout
        A layout that was found.

    Returns
    -------
    tuple of Checked (None where it cannot be worked up) and str
    """
    try:
        found = check(layout.build, layout.problem.stage, layout.problem.as_it_is)
    except BuildProblems as error:
        return None, str(error)
    if found is None:
        return None, "the belt page cannot work it up"
    found = replace(found, checks=(*found.checks, *_elsewhere(layout, found)))
    return found, "" if found.verdict == "go" else f"{found.verdict}: {found.why}"


def _elsewhere(layout: Layout, found: Checked) -> tuple[Check, ...]:
    """Return the checks of other belts and parts that a layout makes worse; each names its part.

    What is not known yet of an idler that is new is left out.
    """
    before, mine = layout.problem.as_it_is, {c.id for c in found.checks}
    worse = {w.id for w in turned(before, found.results) if w.before != NOT_THERE or w.after in (CAUTION, STOP)} - mine
    return tuple(replace(c, name=c.name.replace(": ", ", ")) for c in found.results.checks if c.id in worse)


__all__ = ["LETTERS", "Checked", "Layout", "Worth", "check", "holds", "layout_of", "layouts_of", "tape"]

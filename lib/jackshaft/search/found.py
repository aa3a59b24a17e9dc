"""What a search found, as a builder takes it up: a few layouts that differ, each as changes to the build."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jackshaft.buildfile import Build, BuildProblems
from jackshaft.mechanics import belts as belt_lengths
from jackshaft.results import Results, work_up
from jackshaft.results.checks import ORDER, Check, worst
from jackshaft.search.engine import FIELDS
from jackshaft.search.front import spread_out
from jackshaft.search.patterns import Pattern
from jackshaft.search.problem import CENTRES, Problem
from jackshaft.search.run import Run, aims_of
from jackshaft.units import fraction, show, write

LETTERS = "ABCDEFGHIJKL"


@dataclass(frozen=True)
class Layout:
    """One layout that was found, in SI units, and the changes that make the build so."""

    letter: str
    problem: Problem
    pattern: Pattern
    values: dict[str, float]
    names: tuple[str, ...]
    changes: dict[str, str | int | tuple[str, ...]]

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
            words = name
            if kind in ("driver", "driven"):
                words += f" {show(self.values[kind], 'length', system, digits=3)}"
            elif kind == "idler":
                words += (
                    f" {show(self.values[f'size{k}'], 'length', system, digits=3)} at "
                    f"{_tape(self.values[f'x{k}'], system)}, {_tape(self.values[f'y{k}'], system)}"
                )
            parts.append(words + ("" if inside else " outside"))
        if np.isfinite(self.values["centres"]):
            parts.append(f"centres {_tape(self.values['centres'], system)}")
        return "; ".join(parts)


@dataclass(frozen=True)
class Checked:
    """A layout worked up as a single build is: its numbers in SI units, its verdict and what stands first."""

    results: Results
    length: float
    wrap: np.ndarray
    margin: float
    margin_bad: float
    hub: float
    gap: float
    power: float | None
    design: float | None
    checks: tuple[Check, ...]

    @property
    def verdict(self) -> str:
        """The worst verdict of the stage."""
        return worst(self.checks)

    @property
    def why(self) -> str:
        """The first reason for that verdict, empty where all is go."""
        first = max(self.checks, key=lambda c: ORDER.index(c.verdict) - (0.5 if c.accepted else 0.0), default=None)
        return "" if first is None or self.verdict == "go" else f"{first.name.split(': ', 1)[-1]}: {first.value}"


def check(build: Build, stage: str) -> Checked | None:
    """Work a stage up alone; None where the belt cannot go round or its tension is not known.

    Parameters
    ----------
    build : Build
        The build.
    stage : str
        The belt stage.

    Returns
    -------
    Checked or None
    """
    results = work_up(build, ("capacity",))
    layout = (results.chapters["layout"].data or {}).get(stage)
    grip = (results.chapters["grip"].data or {}).get(stage)
    capacity = (results.chapters["capacity"].data or {}).get(stage)
    if layout is None or grip is None or layout.path.reason != 0 or grip.margin is None:
        return None
    checks = tuple(
        c for name in ("layout", "grip", "capacity") for c in results.of(name) if c.id.endswith(f"[{stage}]")
    )
    hub = float(np.max(np.hypot(grip.hub[:, 0], grip.hub[:, 1])))
    return Checked(
        results=results,
        length=float(layout.path.length),
        wrap=np.asarray(layout.path.wrap),
        margin=float(grip.margin),
        margin_bad=float(grip.margin_bad),
        hub=hub,
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
    return tuple(layout_of(run.problem, run.patterns, rows[k], LETTERS[n]) for n, k in enumerate(picked))


def layout_of(problem: Problem, patterns: Sequence[Pattern], row: np.ndarray, letter: str = "A") -> Layout:
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

    Returns
    -------
    Layout
    """
    values = dict(zip(FIELDS, (float(v) for v in row), strict=True))
    pattern = patterns[int(values["pattern"])]
    names = tuple(_name(problem, slot) for slot in pattern.slots)
    return Layout(
        letter=letter,
        problem=problem,
        pattern=pattern,
        values=values,
        names=names,
        changes=changes_of(problem, pattern, values, names),
    )


def _name(problem: Problem, slot: str) -> str:
    kind, _, k = slot.partition(" ")
    return {"driver": problem.driver.name, "driven": problem.driven.name}.get(kind) or (
        problem.kept[int(k)].name if kind == "kept" else problem.names[int(k)]
    )


def changes_of(problem: Problem, pattern: Pattern, values: dict[str, float], names: tuple[str, ...]) -> dict:
    """Return what must be changed in the build, key by key, to make it this layout.

    Parameters
    ----------
    problem : Problem
        What was searched.
    pattern : Pattern
        How the loop is strung.
    values : dict
        What the search stored, by field.
    names : tuple of str
        The pulleys in travel order.

    Returns
    -------
    dict
        Key to text, count, or names in order; only what differs from the build.
    """
    build, at, system = problem.build, problem.at, problem.build.system
    wanted: dict = {}

    def length(key: str, si: float) -> None:
        old = build.get(key)
        if old is None or abs(old.si - si) > 1e-9:
            # A tenth of a nanometre is nought: no sine of half a turn is written into a file.
            wanted[key] = write(round(si, 10) + 0.0, "length", system)

    def word(key: str, text: str, usual: str | None = None) -> None:
        if (build.get(key) or usual) != text:
            wanted[key] = text

    ring = names
    first = next((n for n in build.names(f"{at}.pulley") if n in names), names[0])
    ring = names[names.index(first) :] + names[: names.index(first)]
    if ring != build.names(f"{at}.pulley"):
        wanted[f"{at}.pulley"] = ring
    two = len(names) == 2
    length(f"{at}.pulley[{problem.driver.name}].diameter", values["driver"])
    length(f"{at}.pulley[{problem.driven.name}].diameter", values["driven"])
    driven = f"{at}.pulley[{problem.driven.name}]"
    word(f"{driven}.side", "inside" if pattern.inside[pattern.driven] else "outside", "inside")
    word(f"{driven}.surface", "flat" if pattern.flat[pattern.driven] else "groove", "groove")
    if problem.toward is not None and two:
        length(f"{at}.centres", values["centres"])
    elif problem.toward is not None:
        for one in (problem.driver, problem.driven):
            length(f"{at}.pulley[{one.name}].x", one.x)
            length(f"{at}.pulley[{one.name}].y", one.y)
        wanted |= {f"{at}.{k}": "" for k in ("centres", "centres_toward") if build.get(f"{at}.{k}") is not None}
    elif two:
        away = np.array([problem.driven.x - problem.driver.x, problem.driven.y - problem.driver.y])
        spot = np.array([problem.driver.x, problem.driver.y]) + away * values["centres"] / np.hypot(*away)
        length(f"{driven}.x", spot[0])
        length(f"{driven}.y", spot[1])
    for i in pattern.free:
        k = pattern.slots[i].split()[1]
        here = f"{at}.pulley[{names[i]}]"
        length(f"{here}.x", values[f"x{k}"])
        length(f"{here}.y", values[f"y{k}"])
        length(f"{here}.diameter", values[f"size{k}"])
        word(f"{here}.measured_as", "outside" if pattern.flat[i] else problem.driver.measured_as)
        word(f"{here}.side", "inside" if pattern.inside[i] else "outside", "inside")
        word(f"{here}.surface", "flat" if pattern.flat[i] else "groove", "groove")
    _take_up(problem, pattern, wanted, word, two)
    _belt(problem, values, wanted, length)
    return wanted


def _take_up(problem: Problem, pattern: Pattern, wanted: dict, word, two: bool) -> None:
    at, build = problem.at, problem.build
    if two:
        if problem.takeup not in CENTRES:
            word(f"{at}.takeup.kind", "adjustable centres")
        if build.get(f"{at}.takeup.idler") is not None:
            wanted[f"{at}.takeup.idler"] = ""
        return
    word(f"{at}.takeup.kind", "fixed idler" if problem.takeup in CENTRES else problem.takeup)
    word(f"{at}.takeup.idler", problem.names[0])
    # A slot belongs to the place it was cut for; the build must say where the new one ends.
    wanted |= {f"{at}.takeup.{k}": "" for k in ("slot_x", "slot_y") if build.get(f"{at}.takeup.{k}") is not None}


def _belt(problem: Problem, values: dict[str, float], wanted: dict, length) -> None:
    build, at, k = problem.build, problem.at, int(values["stock"])
    if build.get(f"{at}.belts") != int(values["belts"]) and (build.get(f"{at}.belts") or int(values["belts"]) != 1):
        wanted[f"{at}.belts"] = int(values["belts"])
    belt = problem.stock.designation[k]
    if belt.replace(" ", "") != problem.own_belt.replace(" ", ""):
        wanted[f"{at}.marked"] = belt
    said = [f"{at}.{k}" for k in ("length", "length_is") if build.get(f"{at}.{k}") is not None]
    if _read_back(problem, belt, float(problem.stock.length[k])):
        wanted.update({key: "" for key in said})
    else:
        # The marking alone does not say its length, so the length is written beside it.
        length(f"{at}.length", float(problem.stock.length[k]))
        wanted[f"{at}.length_is"] = "pitch"


def _read_back(problem: Problem, belt: str, pitch: float) -> bool:
    """Tell whether the marking alone names this belt; rule and table may differ by a rounding of the number."""
    try:
        own, read = belt_lengths.marked(belt, system=problem.belt.system)
        return abs(float(belt_lengths.convert(read.length, own, have=read.line, want="pitch")) - pitch) < 5e-3
    except belt_lengths.SectionError:
        return False


def _tape(si: float, system: str) -> str:
    return f"{si * 1e3:.0f} mm" if system == "metric" else fraction(si)


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
        found = check(layout.build, layout.problem.stage)
    except BuildProblems as error:
        return None, str(error)
    if found is None:
        return None, "the belt page cannot work it up"
    return found, "" if found.verdict == "go" else f"{found.verdict}: {found.why}"


__all__ = ["LETTERS", "Checked", "Layout", "changes_of", "check", "holds", "layout_of", "layouts_of"]

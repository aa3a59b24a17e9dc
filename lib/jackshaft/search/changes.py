"""What must be changed in a build to make it a layout that a search found."""

from __future__ import annotations

import numpy as np

from jackshaft.buildfile import Build
from jackshaft.mechanics import belts as belt_lengths
from jackshaft.results.one_frame import carried
from jackshaft.search.patterns import Pattern
from jackshaft.search.problem import CENTRES, Problem, same_belt
from jackshaft.units import write


class _Changes(dict):
    """Key to what is written there, of keys whose values differ from the build's."""

    def __init__(self, build: Build):
        super().__init__()
        self.build = build

    def length(self, key: str, si: float) -> None:
        """Put a length."""
        old = self.build.get(key)
        if old is None or abs(old.si - si) > 1e-9:
            # A tenth of a nanometre is nought: no sine of half a turn is written into a file.
            self[key] = write(round(si, 10) + 0.0, "length", self.build.system)

    def word(self, key: str, text: str, usual: str | None = None) -> None:
        """Put a word; ``usual`` is what a key that is not there means."""
        if (self.build.get(key) or usual) != text:
            self[key] = text

    def drop(self, *keys: str) -> None:
        """Take out what is there."""
        self.update({key: "" for key in keys if self.build.get(key) is not None})

    def sides(self, key: str, pattern: Pattern, i: int) -> None:
        """Put the side and the surface of pulley ``i``."""
        self.word(f"{key}.side", "inside" if pattern.inside[i] else "outside", "inside")
        usual = "groove" if pattern.inside[i] else None
        self.word(f"{key}.surface", "flat" if pattern.flat[i] else "groove", usual)


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
        Key to text, count, or names in order; only what differs from the build. A shaft that moves does so in the
        other belts on it too.
    """
    build, at = problem.build, problem.at
    wanted = _Changes(build)
    first = next((n for n in build.names(f"{at}.pulley") if n in names), names[0])
    ring = names[names.index(first) :] + names[: names.index(first)]
    if ring != build.names(f"{at}.pulley"):
        wanted[f"{at}.pulley"] = ring
    two, driven = len(names) == 2, f"{at}.pulley[{problem.driven.name}]"
    wanted.length(f"{at}.pulley[{problem.driver.name}].diameter", values["driver"])
    wanted.length(f"{driven}.diameter", values["driven"])
    wanted.sides(driven, pattern, pattern.driven)
    if problem.toward is not None and two:
        wanted.length(f"{at}.centres", values["centres"])
    elif problem.toward is not None:
        for one in (problem.driver, problem.driven):
            wanted.length(f"{at}.pulley[{one.name}].x", one.x)
            wanted.length(f"{at}.pulley[{one.name}].y", one.y)
        wanted.drop(f"{at}.centres", f"{at}.centres_toward")
    elif two:
        start = np.array([problem.driver.x, problem.driver.y])
        away = np.array([problem.driven.x, problem.driven.y]) - start
        for c, si in zip("xy", start + away * values["centres"] / np.hypot(*away), strict=True):
            wanted.length(f"{driven}.{c}", si)
    for i in pattern.free:
        k = pattern.slots[i].split()[1]
        here = f"{at}.pulley[{names[i]}]"
        for name, field in (("x", f"x{k}"), ("y", f"y{k}"), ("diameter", f"size{k}")):
            wanted.length(f"{here}.{name}", values[field])
        wanted.word(f"{here}.measured_as", "outside" if pattern.flat[i] else problem.driver.measured_as)
        wanted.sides(here, pattern, i)
    _take_up(problem, wanted, values["centres"] if two else None)
    _belt(problem, values, wanted)
    return {**wanted, **carried(build, wanted)[0]}


def _take_up(problem: Problem, wanted: _Changes, centres: float | None) -> None:
    at, moves = f"{problem.at}.takeup", problem.takeup in CENTRES
    if centres is not None:
        if not moves:
            wanted.word(f"{at}.kind", "adjustable centres")
        # The slide stays where it is: what the centres open, they can open less.
        opened = centres - float(np.hypot(problem.driven.x - problem.driver.x, problem.driven.y - problem.driver.y))
        for key, way in ((f"{at}.travel_in", 1), (f"{at}.travel_out", -1)):
            if moves and (was := problem.build.get(key)) is not None:
                wanted.length(key, max(was.si + way * opened, 0.0))
        wanted.drop(f"{at}.idler")
        return
    wanted.word(f"{at}.kind", "fixed idler" if moves else problem.takeup)
    wanted.word(f"{at}.idler", problem.names[0])
    # A slot belongs to the place it was cut for; the build must say where the new one ends.
    wanted.drop(f"{at}.slot_x", f"{at}.slot_y")


def _belt(problem: Problem, values: dict[str, float], wanted: _Changes) -> None:
    at, k, belts = problem.at, int(values["stock"]), int(values["belts"])
    if (problem.build.get(f"{at}.belts") or 1) != belts:
        wanted[f"{at}.belts"] = belts
    belt, length = problem.stock.designation[k], float(problem.stock.length[k])
    if not same_belt(belt, problem.own_belt):
        wanted[f"{at}.marked"] = belt
    if _read_back(problem, belt, length):
        wanted.drop(f"{at}.length", f"{at}.length_is")
    else:
        # The marking alone does not say its length, so the length is written beside it.
        wanted.length(f"{at}.length", length)
        wanted[f"{at}.length_is"] = "pitch"


def _read_back(problem: Problem, belt: str, pitch: float) -> bool:
    """Tell whether the marking alone names this belt; rule and table may differ by a rounding of the number."""
    try:
        own, read = belt_lengths.marked(belt, system=problem.belt.system)
        return abs(float(belt_lengths.convert(read.length, own, have=read.line, want="pitch")) - pitch) < 5e-3
    except belt_lengths.SectionError:
        return False


__all__ = ["changes_of"]

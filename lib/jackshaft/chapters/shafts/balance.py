"""How well the parts on a shaft must be balanced, as a weight at the rim that a kitchen scale shows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from jackshaft import tables
from jackshaft.buildfile.naming import named
from jackshaft.chapters.shafts.turning import Turning, turning_of
from jackshaft.mechanics.balance import unbalance_allowed
from jackshaft.parts.works import work_key, work_shafts
from jackshaft.results.checks import Table
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number

#: Balance grades, mm/s: of a pulley, as general machinery; of the work, as agricultural and crushing machines.
PULLEY, WORK = 6.3, 16.0
#: What else is to be known where a part is balanced.
HOW = (
    "Where the maker names a grade, take that. The weight is a total: a part wider than a fifth of its diameter (from "
    "memory) is balanced at both ends, and each may have half. A fan or a blower takes the grade of a pulley."
)


class Balanced(NamedTuple):
    """A part that turns: kg, and m across its rim; its grade, mm/s, and kg that may be left on one side of the rim.

    ``speed`` is the highest it turns at, rad/s; ``sure`` tells whether that is known, and not only its speed at work.
    """

    name: str
    mass: float
    diameter: float
    speed: float
    sure: bool
    grade: float
    allowed: float


def balanced(reader: Reader, done: Mapping[str, Findings], shaft: str) -> Iterator[Balanced]:
    """Yield the parts on a shaft whose weight and diameter are known: its pulleys, and the work."""
    turning = turning_of(reader, done, shaft)
    works = shaft in work_shafts(reader)
    mass, across = (reader.si(work_key(reader, shaft, n)) for n in ("weight", "diameter")) if works else (None, None)
    if mass and across:
        yield from _part(reader.get("work.name") or "work", mass, across, turning, WORK)
    ratio, seen = done["ratio"].data, set()
    for stage in () if ratio is None else ratio.stages:
        p = stage.pulleys
        if p is None or shaft not in (stage.start, stage.end):
            continue
        i = p.driver if shaft == stage.start else p.on(shaft)
        here = f"stage[{stage.name}].pulley[{p.names[i]}]"
        weight = reader.si(f"{here}.weight", _load(reader, shaft, stage.name))
        # a pulley that is as heavy as the work is the work: a flywheel with the belt on its rim
        if weight and here not in seen and not (mass and abs(weight - mass) < 1e-3 * mass):
            yield from _part(named("pulley", p.names[i]), weight, 2.0 * float(p.outside[i]), turning, PULLEY)
        seen.add(here)


def _load(reader: Reader, shaft: str, stage: str) -> float | None:
    """Return the weight of what a shaft carries of a stage, kg; None where it is not known or is several parts'."""
    at = f"shaft[{shaft}].load"
    found = [reader.si(f"{at}[{n}].weight") for n in reader.names(at) if reader.get(f"{at}[{n}].stage") == stage]
    return found[0] if len(found) == 1 else None


def _part(name: str, mass: float, across: float, turning: Turning, grade: float) -> Iterator[Balanced]:
    speed = turning.full if turning.top is None else turning.top
    if speed:
        allowed = unbalance_allowed.si(mass, speed=speed, diameter=across, grade=grade * 1e-3)
        yield Balanced(name, mass, across, speed, turning.top is not None, grade, allowed)


def table(reader: Reader, done: Mapping[str, Findings], shafts) -> Table:
    """Return the table of what may be left on one side of each part that turns."""
    rows = [
        (
            shaft,
            one.name,
            reader.number(one.mass, "mass"),
            reader.number(one.speed, "rotation", "{}" if one.sure else "{} or more"),
            f"G {one.grade:g}, {row['use']}",
            reader.number(one.diameter, "length"),
            # in grams whatever the build is shown in: so small a weight goes on a letter scale
            Number(one.allowed, "mass", "metric", words="{}" if one.sure else "{} or less"),
        )
        for shaft in shafts
        for one in balanced(reader, done, shaft)
        for row in [tables.table("balance_grades").one(grade_mm_per_s=one.grade)]
    ]
    return Table(
        "Balance: what may be left on one side",
        ("shaft", "part", "weight", "turns at most", "grade", "across the rim", "at the rim"),
        tuple(rows),
        HOW,
        aside=True,
    )


__all__ = ["HOW", "Balanced", "balanced", "table"]

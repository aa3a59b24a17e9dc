"""Small rules that tables are held to; each raises AssertionError with table, line and column.

A rule takes ``get``, a function from a table's name to the table, so that the same rule reads
the project's data and the spoiled copies of the meta-test.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from itertools import pairwise
from typing import Any

RULES: list[Callable] = []


def rule(function: Callable) -> Callable:
    """Put a function into the list of rules."""
    RULES.append(function)
    return function


def at(row: Any) -> str:
    """Where a row stands, for a message."""
    return f"{row.table}.csv line {row.line}"


def close(row: Any, column: str, value: float, want: float, *, off: float = 0.0, part: float = 0.0) -> None:
    """A cell equals a wanted value within an absolute or relative allowance."""
    allowed = max(off, part * abs(want))
    assert abs(value - want) <= allowed + 1e-12, (
        f"{at(row)}, {column}: {value:g}, but {want:g} within {allowed:g} is wanted"
    )


def inside(row: Any, column: str, value: float, low: float, high: float) -> None:
    """A cell lies between two bounds."""
    assert low <= value <= high, f"{at(row)}, {column}: {value:g} is not within {low:g} to {high:g}"


def rows_with(table: Any, *columns: str) -> list:
    """The rows in which none of the columns is empty."""
    return [row for row in table if all(row[c] is not None for c in columns)]


def grouped(rows: Iterable, *columns: str) -> list[list]:
    """The rows in groups of equal cells, order kept."""
    groups: dict[tuple, list] = {}
    for row in rows:
        groups.setdefault(tuple(row[c] for c in columns), []).append(row)
    return list(groups.values())


def rising(rows: Iterable, *columns: str, falling: bool = False, strict: bool = True) -> None:
    """Each column rises (or falls) from row to row, empty cells left out."""
    rows = list(rows)
    for column in columns:
        for before, after in pairwise([row for row in rows if row[column] is not None]):
            a, b = before[column], after[column]
            if falling:
                a, b = -a, -b
            good = a < b if strict else a <= b
            assert good, f"{at(after)}, {column}: {after[column]:g} after {before[column]:g} is out of order"


def chained(rows: Iterable, over: str, to: str, *, step: float = 0.0) -> None:
    """Ranges follow each other without gap or overlap; only the ends may be open."""
    rows = list(rows)
    for row in rows:
        if row[over] is not None and row[to] is not None:
            assert row[over] < row[to] or (step and row[over] == row[to]), f"{at(row)}: empty range"
    for before, after in pairwise(rows):
        assert before[to] is not None and after[over] is not None, f"{at(after)}: open end inside"
        assert math.isclose(before[to] + step, after[over], rel_tol=1e-9), (
            f"{at(after)}, {over}: {after[over]} does not follow {before[to]}"
        )


def banded(table: Any, low: str, likely: str | None, high: str) -> None:
    """Low, likely and high stand in that order where they are given, and one is given."""
    for row in table:
        given = [row[c] for c in (low, likely, high) if c is not None and row[c] is not None]
        assert given, f"{at(row)}: no value"
        assert given == sorted(given), f"{at(row)}: low, likely, high are out of order"


def facts_hold(table: Any, units: dict[str, tuple[float, float]], wide: tuple[str, ...] = ()) -> None:
    """A table of facts: known units and their reach; an item's ends lie within a factor of five."""
    banded(table, "low", "likely", "high")
    for row in table:
        assert row["unit"] in units, f"{at(row)}, unit: {row['unit']!r} is not known here"
        values = {c: row[c] for c in ("low", "likely", "high") if row[c] is not None}
        for column, value in values.items():
            inside(row, column, value, 0, units[row["unit"]][1])
            if value:
                inside(row, column, value, *units[row["unit"]])
        if row["item"] not in wide and min(values.values()) > 0:
            spread = max(values.values()) / min(values.values())
            assert spread <= 5, f"{at(row)}: the ends of {row['item']} are a factor of {spread:g} apart"


def keyed(table: Any, *columns: str) -> None:
    """No two rows have the same key."""
    seen: dict[tuple, Any] = {}
    for row in table:
        key = tuple(row[c] for c in columns)
        assert key not in seen, f"{at(row)}: {key} stands already at line {seen[key].line}"
        seen[key] = row


def among(rows: Iterable, column: str, *words: str) -> None:
    """A word column holds one of the words that the code knows."""
    for row in rows:
        assert row[column] in words, f"{at(row)}, {column}: {row[column]!r} is not one of {words}"

"""Columns of figures set on their decimal points, and how much room a table takes."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

_FIGURE = re.compile(r"(?P<figure>[-+−]?[\d,]*\d(?:\.(?P<decimals>\d+))?)(?P<unit>(?: ?[^\s\d(][^\s(]*)?)")

#: A table of at most so many letters across stands in half of a printed page.
HALF = 50


class Cell(NamedTuple):
    """A cell: its text, or its figure, what is set unseen behind the last decimal, and its unit."""

    text: str
    pad: str = ""
    unit: str = ""


class Sheet(NamedTuple):
    """A table ready to be set: its headings, cells, and which columns hold figures; ``half`` where it is narrow."""

    headings: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    figures: tuple[bool, ...]
    half: bool


def sheet(headings: Sequence[str], rows: Sequence[Sequence[str]]) -> Sheet:
    """Return a table with its columns of figures padded, so that their decimal points stand under each other."""
    columns = list(zip(*rows, strict=True)) if rows else [()] * len(headings)
    padded = [on_their_points(column) for column in columns]
    wide = sum(max(map(_letters, (h, *column))) for h, column in zip(headings, columns, strict=True))
    return Sheet(
        tuple(headings),
        tuple(zip(*(cells for cells, _ in padded), strict=True)),
        tuple(figures for _, figures in padded),
        wide + 2 * len(headings) <= HALF,
    )


def on_their_points(column: Sequence[str]) -> tuple[tuple[Cell, ...], bool]:
    """Return the cells of a column, and whether they are figures of one unit that were padded.

    What is padded is set to the right, with zeros that nobody sees behind the last decimal.
    """
    found = [_FIGURE.fullmatch(cell) for cell in column if cell]
    if not found or not all(found) or len({m["unit"] for m in found}) > 1:
        return tuple(map(Cell, column)), False
    most = max(len(m["decimals"] or "") for m in found)
    return tuple(_padded(cell, most) for cell in column), True


def _padded(cell: str, most: int) -> Cell:
    if not cell:
        return Cell("")
    m = _FIGURE.fullmatch(cell)
    decimals = m["decimals"] or ""
    lacks = "0" * (most - len(decimals)) if decimals else "." * (most > 0) + "0" * most
    return Cell(m["figure"], lacks, m["unit"])


def _letters(cell: str) -> int:
    """Return how wide a cell wants to be: a long one of words is set in lines of twenty letters."""
    longest = max((len(word) for word in cell.split()), default=0)
    return max(longest, min(len(cell), 20))


__all__ = ["HALF", "Cell", "Sheet", "on_their_points", "sheet"]

"""Rows, tables and sources as they are handed out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any

import numpy as np

KNOWN = ("read", "from memory", "derived", "common practice")
PROVENANCE = ("source", "locator", "known")
TEXT_UNITS = ("text",)
FLAG_UNITS = ("yes/no",)

Cell = float | str | bool | None

#: A value nearer to a limit than this share of it stands on the limit, whatever unit it was turned from.
SAME = 1e-9


class DataNotFound(FileNotFoundError):
    """The folder ``data`` was not found."""


class TableError(ValueError):
    """A table, a row, a column or a source key is missing or cannot be read."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table: its name, its unit (or ``text``, ``yes/no``) and what it means."""

    name: str
    unit: str
    meaning: str


@dataclass(frozen=True, slots=True)
class Source:
    """Where a value comes from: key, title, kind, how it was read, and a note."""

    key: str
    title: str
    kind: str
    how_read: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Departure:
    """Where this project does not follow a printed value, and why."""

    id: str
    answer: str
    kind: str
    source: str
    locator: str
    printed: str
    ours: str
    why: str


class Row(Mapping[str, Cell]):
    """One row of a table, read like a dictionary; an empty cell is ``None``."""

    __slots__ = ("_cells", "table", "line")

    def __init__(self, cells: dict[str, Cell], table: str, line: int) -> None:
        self._cells = cells
        self.table = table
        self.line = line

    def __getitem__(self, name: str) -> Cell:
        try:
            return self._cells[name]
        except KeyError:
            raise TableError(f"{self.table}.csv has no column {name!r}; it has {', '.join(self._cells)}") from None

    def get(self, name: str, default: Any = None) -> Any:
        return self._cells.get(name, default)

    def __contains__(self, name: object) -> bool:
        return name in self._cells

    def __iter__(self) -> Iterator[str]:
        return iter(self._cells)

    def __len__(self) -> int:
        return len(self._cells)

    def __hash__(self) -> int:
        return hash((self.table, self.line))

    def __repr__(self) -> str:
        filled = {k: v for k, v in self._cells.items() if v is not None}
        return f"Row({self.table}.csv line {self.line}: {filled})"

    @property
    def source(self) -> str:
        """Keys of the sources, joined by ``;``."""
        return str(self._cells["source"])

    @property
    def locator(self) -> str:
        """Where in the source: page, clause, table."""
        return str(self._cells["locator"] or "")

    @property
    def known(self) -> str:
        """How the row is known: one of :data:`KNOWN`."""
        return str(self._cells["known"])

    @property
    def cite(self) -> str:
        """Source, locator and how it is known in one line, for a docstring, a check or the record."""
        where = f"{self.source} {self.locator}".strip()
        return where if self.known == "read" else f"{where} ({self.known})"


class Table:
    """The rows of one CSV file, in file order."""

    __slots__ = ("name", "path", "columns", "rows", "_arrays", "_parts")

    def __init__(self, name: str, path: Path, columns: dict[str, Column], rows: tuple[Row, ...]) -> None:
        self.name = name
        self.path = path
        self.columns = MappingProxyType(columns)
        self.rows = rows
        self._arrays: dict[str, np.ndarray] = {}
        self._parts: dict[tuple, Table] = {}

    def __len__(self) -> int:
        return len(self.rows)

    def __iter__(self) -> Iterator[Row]:
        return iter(self.rows)

    def __repr__(self) -> str:
        return f"Table({self.name}: {len(self.rows)} rows, columns {', '.join(self.columns)})"

    def _known_column(self, name: str) -> Column:
        try:
            return self.columns[name]
        except KeyError:
            raise TableError(f"{self.name}.csv has no column {name!r}; it has {', '.join(self.columns)}") from None

    def column(self, name: str) -> np.ndarray:
        """Give one column as an array.

        Parameters
        ----------
        name : str
            Heading of the column.

        Returns
        -------
        numpy.ndarray, shape (rows,)
            Floats with NaN for an empty cell; an object array of text, flags and None
            for a column that holds words. Read-only.

        Raises
        ------
        TableError
            The table has no such column.
        """
        column = self._known_column(name)
        if name not in self._arrays:
            cells = [row[name] for row in self.rows]
            if column.unit in TEXT_UNITS + FLAG_UNITS:
                array = np.array(cells, dtype=object)
            else:
                array = np.array([np.nan if c is None else c for c in cells], dtype=float)
            array.flags.writeable = False
            self._arrays[name] = array
        return self._arrays[name]

    def where(self, **equals: Cell) -> Table:
        """Give the rows in which each named column equals the value.

        Parameters
        ----------
        **equals : float, str, bool or None
            Column name and wanted value; ``None`` asks for an empty cell.

        Returns
        -------
        Table
            The same table with only those rows; may be empty.

        Raises
        ------
        TableError
            The table has no such column.
        """
        asked = tuple(equals.items())
        if asked not in self._parts:
            for name in equals:
                self._known_column(name)
            rows = tuple(row for row in self.rows if all(_same(row[name], wanted) for name, wanted in asked))
            self._parts[asked] = Table(self.name, self.path, dict(self.columns), rows)
        return self._parts[asked]

    def one(self, **equals: Cell) -> Row:
        """Give the only row in which each named column equals the value.

        Parameters
        ----------
        **equals : float, str, bool or None
            Column name and wanted value.

        Returns
        -------
        Row
            The row.

        Raises
        ------
        TableError
            No row, or more than one, fits; the message says what there is.
        """
        found = self.where(**equals).rows
        if len(found) == 1:
            return found[0]
        asked = ", ".join(f"{name} = {wanted!r}" for name, wanted in equals.items()) or "no condition"
        if found:
            lines = ", ".join(str(row.line) for row in found)
            raise TableError(f"{self.name}.csv: {len(found)} rows fit {asked} (lines {lines})")
        there = []
        for name in equals:
            values = list(dict.fromkeys(row[name] for row in self.rows if row[name] is not None))
            more = ", ..." if len(values) > 12 else ""
            there.append(f"{name} is one of {', '.join(map(str, values[:12]))}{more}")
        raise TableError(f"{self.name}.csv: no row fits {asked}; {'; '.join(there)}")

    def covering(self, value: float, over: str, to: str, **equals: Cell) -> Table:
        """Give the rows whose range holds a value: above ``over``, up to and with ``to``.

        Parameters
        ----------
        value : float
            The value looked for, in the unit of the two columns.
        over, to : str
            Headings of the lower (excluded) and upper (included) limit; an empty cell is
            an open end.
        **equals : float, str, bool or None
            Further conditions, as in :meth:`where`.

        Returns
        -------
        Table
            The rows that cover the value; empty when it is outside every range.

        Raises
        ------
        TableError
            The table has no such column.
        """
        self._known_column(over)
        self._known_column(to)
        part = self.where(**equals)
        rows = tuple(
            row
            for row in part.rows
            if (row[over] is None or row[over] + SAME * abs(row[over]) < value)
            and (row[to] is None or value <= row[to] + SAME * abs(row[to]))
        )
        return Table(self.name, self.path, dict(self.columns), rows)


def _same(cell: Cell, wanted: Cell) -> bool:
    if cell is None or wanted is None:
        return cell is wanted
    if isinstance(cell, bool) or isinstance(wanted, bool):
        return cell is wanted
    if isinstance(cell, float) and isinstance(wanted, (int, float)):
        return abs(cell - wanted) <= 1e-9 * max(1.0, abs(cell))
    return cell == wanted

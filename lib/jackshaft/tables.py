"""Read the tables of ``data/``: rows with their source and how they are known.

A table is a plain CSV file in ``data/tables``. What a column holds is said in
``data/tables/columns.csv``: its unit, or ``text`` for a designation (so that the
bearing "6205" and the wire "10" stay words), or ``yes/no``. Every row ends in
``source``, ``locator`` and ``known``; the keys in ``source`` are those of
``data/sources.csv``.
"""

from __future__ import annotations

import csv
import os
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
            raise TableError(
                f"{self.table}.csv has no column {name!r}; it has {', '.join(self._cells)}"
            ) from None

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

    __slots__ = ("name", "path", "columns", "rows", "_arrays")

    def __init__(
        self, name: str, path: Path, columns: dict[str, Column], rows: tuple[Row, ...]
    ) -> None:
        self.name = name
        self.path = path
        self.columns = MappingProxyType(columns)
        self.rows = rows
        self._arrays: dict[str, np.ndarray] = {}

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
            raise TableError(
                f"{self.name}.csv has no column {name!r}; it has {', '.join(self.columns)}"
            ) from None

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
        for name in equals:
            self._known_column(name)
        rows = tuple(
            row for row in self.rows if all(_same(row[name], want) for name, want in equals.items())
        )
        return Table(self.name, self.path, dict(self.columns), rows)

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
        asked = ", ".join(f"{name} = {want!r}" for name, want in equals.items()) or "no condition"
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
            if (row[over] is None or row[over] < value) and (row[to] is None or value <= row[to])
        )
        return Table(self.name, self.path, dict(self.columns), rows)


def _same(cell: Cell, want: Cell) -> bool:
    if cell is None or want is None:
        return cell is want
    if isinstance(cell, bool) or isinstance(want, bool):
        return cell is want
    if isinstance(cell, float) and isinstance(want, (int, float)):
        return abs(cell - want) <= 1e-9 * max(1.0, abs(cell))
    return cell == want


def data_dir() -> Path:
    """Find the folder ``data``.

    Returns
    -------
    pathlib.Path
        The folder named by the environment variable JACKSHAFT_DATA, else the one beside
        ``lib``, else the nearest one upwards of the working directory.

    Raises
    ------
    DataNotFound
        No such folder holds ``sources.csv`` and ``tables``.
    """
    named = os.environ.get("JACKSHAFT_DATA")
    if named:
        folder = Path(named).expanduser()
        if _is_data(folder):
            return folder
        raise DataNotFound(
            f"JACKSHAFT_DATA names {named!r}, but no sources.csv and tables/ are in it; "
            "name the project's data folder, or unset the variable"
        )
    here = Path(__file__).resolve()
    for folder in [here.parents[2], *(Path.cwd() / "x").parents]:
        if _is_data(folder / "data"):
            return folder / "data"
    raise DataNotFound(
        "the folder data (with sources.csv and tables/) was not found beside lib/ nor upwards of "
        f"{Path.cwd()}; install with `pip install -e ./lib`, or set JACKSHAFT_DATA"
    )


def _is_data(folder: Path) -> bool:
    return (folder / "tables").is_dir() and (folder / "sources.csv").is_file()


# Files are read once and again only after they changed on disk: key is the path, value the
# stamp (time and size) of the table and of columns.csv with what was read.
_cache: dict[Path, tuple[tuple, Any]] = {}


def _stamp(path: Path) -> tuple:
    try:
        stat = path.stat()
    except FileNotFoundError:
        raise TableError(f"{path.name} is missing from {path.parent}") from None
    return (stat.st_mtime_ns, stat.st_size)


def _cached(path: Path, reader: Any, *stamped: Path) -> Any:
    stamp = tuple(_stamp(p) for p in (path, *stamped))
    kept = _cache.get(path)
    if kept is None or kept[0] != stamp:
        kept = (stamp, reader(path))
        _cache[path] = kept
    return kept[1]


def _lines(path: Path) -> tuple[list[str], list[tuple[int, list[str]]]]:
    """Heading and rows (with line numbers) of a CSV file; every row as long as the heading."""
    with path.open(encoding="utf-8", newline="") as file:
        reader = csv.reader(file, strict=True)
        try:
            heading = next(reader, [])
            body = [(reader.line_num, cells) for cells in reader if cells]
        except csv.Error as fault:
            raise TableError(f"{path.name}, line {reader.line_num}: {fault}") from None
    if not heading:
        raise TableError(f"{path.name} is empty; its first line must name the columns")
    twice = sorted({name for name in heading if heading.count(name) > 1})
    if twice:
        raise TableError(f"{path.name}, line 1: column {twice[0]!r} stands twice")
    for line, cells in body:
        if len(cells) != len(heading):
            raise TableError(
                f"{path.name}, line {line}: {len(cells)} cells, but the heading has {len(heading)}"
            )
    return heading, body


def _read_columns(path: Path) -> dict[str, dict[str, Column]]:
    heading, body = _lines(path)
    if heading != ["table", "column", "unit", "meaning"]:
        raise TableError(f"{path.name}, line 1: wanted table,column,unit,meaning")
    described: dict[str, dict[str, Column]] = {}
    for line, (tab, column, unit, meaning) in body:
        if not (tab and column and unit and meaning):
            raise TableError(f"{path.name}, line {line}: an empty cell")
        if column in described.setdefault(tab, {}):
            raise TableError(f"{path.name}, line {line}: {tab}.{column} is described twice")
        described[tab][column] = Column(column, unit, meaning)
    return described


def _cell(text: str, column: Column, file: str, line: int) -> Cell:
    text = text.strip()
    if text == "":
        return None
    if column.unit in TEXT_UNITS:
        return text
    if column.unit in FLAG_UNITS:
        if text in ("yes", "no"):
            return text == "yes"
        raise TableError(f"{file}, line {line}, column {column.name}: {text!r} is not yes or no")
    try:
        value = float(text)
    except ValueError:
        value = np.nan
    if not np.isfinite(value):
        raise TableError(f"{file}, line {line}, column {column.name}: {text!r} is not a number")
    return value


def _read_table(path: Path) -> Table:
    name = path.stem
    columns_path = path.parent / "columns.csv"
    described = _cached(columns_path, _read_columns).get(name, {})
    shared = _cached(columns_path, _read_columns).get("*", {})
    heading, body = _lines(path)
    columns: dict[str, Column] = {}
    for column in heading:
        found = described.get(column) or shared.get(column)
        if found is None:
            raise TableError(f"{path.name}, column {column!r} is not described in columns.csv")
        columns[column] = found
    for column in PROVENANCE:
        if column not in columns:
            raise TableError(f"{path.name} has no column {column!r}; every row must say it")
    rows = []
    for line, cells in body:
        read = {
            column: _cell(text, columns[column], path.name, line)
            for column, text in zip(heading, cells, strict=True)
        }
        for column in ("source", "known"):
            if read[column] is None:
                raise TableError(f"{path.name}, line {line}, column {column}: empty")
        if read["known"] not in KNOWN:
            raise TableError(
                f"{path.name}, line {line}, column known: {read['known']!r} is not one of "
                + ", ".join(KNOWN)
            )
        rows.append(Row(read, name, line))
    return Table(name, path, columns, tuple(rows))


def table(name: str) -> Table:
    """Read a table of ``data/tables``, once.

    Parameters
    ----------
    name : str
        File name without ``.csv``, e.g. ``"bearings"``.

    Returns
    -------
    Table
        Its rows; read again only when the file has changed.

    Raises
    ------
    TableError
        There is no such table, or a cell cannot be read; the message names file, line and
        column.
    DataNotFound
        The folder ``data`` was not found.
    """
    folder = data_dir() / "tables"
    path = folder / f"{name}.csv"
    if not path.is_file() or name == "columns":
        raise TableError(f"there is no table {name!r}; there are {', '.join(names())}")
    return _cached(path, _read_table, folder / "columns.csv")


def names() -> tuple[str, ...]:
    """Name the tables of ``data/tables``.

    Returns
    -------
    tuple of str
        Names in alphabetical order.

    Raises
    ------
    DataNotFound
        The folder ``data`` was not found.
    """
    found = sorted(path.stem for path in (data_dir() / "tables").glob("*.csv"))
    return tuple(name for name in found if name != "columns")


def _read_sources(path: Path) -> dict[str, Source]:
    heading, body = _lines(path)
    if heading != ["key", "title", "kind", "how_read", "note"]:
        raise TableError(f"{path.name}, line 1: wanted key,title,kind,how_read,note")
    found: dict[str, Source] = {}
    for line, cells in body:
        if not all(cells[:4]):
            raise TableError(f"{path.name}, line {line}: an empty cell")
        if cells[0] in found:
            raise TableError(f"{path.name}, line {line}: the key {cells[0]!r} stands twice")
        found[cells[0]] = Source(*cells)
    return found


def sources() -> Mapping[str, Source]:
    """Read ``data/sources.csv``.

    Returns
    -------
    Mapping of str to Source
        Every source under its short key.

    Raises
    ------
    TableError
        The file cannot be read.
    DataNotFound
        The folder ``data`` was not found.
    """
    return MappingProxyType(_cached(data_dir() / "sources.csv", _read_sources))


def source(key: str) -> Source:
    """Look up one source.

    Parameters
    ----------
    key : str
        Short key, as in the ``source`` cells of the tables.

    Returns
    -------
    Source
        Title, kind and how it was read.

    Raises
    ------
    TableError
        The key is not in ``data/sources.csv``.
    """
    try:
        return sources()[key]
    except KeyError:
        raise TableError(f"no source {key!r} in sources.csv") from None

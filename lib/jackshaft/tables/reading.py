"""Find ``data/`` and read its files, each once until it changes on disk."""

from __future__ import annotations

import csv
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from jackshaft.tables.rows import (
    FLAG_UNITS,
    KNOWN,
    PROVENANCE,
    TEXT_UNITS,
    Cell,
    Column,
    DataNotFound,
    Departure,
    Row,
    Source,
    Table,
    TableError,
)

#: The folder beside ``lib``, where the project keeps it.
_BESIDE = Path(__file__).resolve().parents[3] / "data"


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
    if _is_data(_BESIDE):
        return _BESIDE
    for folder in (Path.cwd() / "x").parents:
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


def cached(path: Path, reader: Callable[[Path], Any], *stamped: Path) -> Any:
    """Give what the reader made of a file; read again when it or a stamped file changed."""
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
            raise TableError(f"{path.name}, line {line}: {len(cells)} cells, but the heading has {len(heading)}")
    return heading, body


def read_columns(path: Path) -> dict[str, dict[str, Column]]:
    """Read ``columns.csv``: what each column of each table holds."""
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


def read_table(path: Path) -> Table:
    """Read one table, each cell by the unit of its column."""
    name = path.stem
    columns_path = path.parent / "columns.csv"
    described = cached(columns_path, read_columns).get(name, {})
    shared = cached(columns_path, read_columns).get("*", {})
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
            column: _cell(text, columns[column], path.name, line) for column, text in zip(heading, cells, strict=True)
        }
        for column in PROVENANCE:
            if read[column] is None:
                raise TableError(f"{path.name}, line {line}, column {column}: empty")
        if read["known"] not in KNOWN:
            raise TableError(
                f"{path.name}, line {line}, column known: {read['known']!r} is not one of " + ", ".join(KNOWN)
            )
        rows.append(Row(read, name, line))
    return Table(name, path, columns, tuple(rows))


def read_sources(path: Path) -> dict[str, Source]:
    """Read ``sources.csv``, every source under its key."""
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


def read_departures(path: Path) -> tuple[Departure, ...]:
    """Read ``departures.csv``; every cell filled."""
    heading, body = _lines(path)
    if heading != list(Departure.__slots__):
        raise TableError(f"{path.name}, line 1: wanted {','.join(Departure.__slots__)}")
    for line, cells in body:
        if not all(cells):
            raise TableError(f"{path.name}, line {line}: an empty cell")
    return tuple(Departure(*cells) for _, cells in body)

"""Read the tables of ``data/``: rows with their source and how they are known.

A table is a plain CSV file in ``data/tables``. What a column holds is said in
``data/tables/columns.csv``: its unit, or ``text`` for a designation (so that the
bearing "6205" and the wire "10" stay words), or ``yes/no``. Every row ends in
``source``, ``locator`` and ``known``; the keys in ``source`` are those of
``data/sources.csv``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import wraps
from types import MappingProxyType
from typing import TypeVar

from jackshaft.tables.reading import cached, data_dir, read_departures, read_sources, read_table
from jackshaft.tables.rows import (
    KNOWN,
    PROVENANCE,
    Cell,
    Column,
    DataNotFound,
    Departure,
    Row,
    Source,
    Table,
    TableError,
)

__all__ = [
    "KNOWN",
    "PROVENANCE",
    "Cell",
    "Column",
    "DataNotFound",
    "Departure",
    "Row",
    "Source",
    "Table",
    "TableError",
    "data_dir",
    "departures",
    "held",
    "in_words",
    "key_and_place",
    "names",
    "once",
    "printed_in",
    "source",
    "sources",
    "stamp",
    "table",
]


T = TypeVar("T")

#: What was looked up since :func:`held` began; None outside it. Each thread has its own: a widget's callback may run
#: in a thread beside the cell's.
_held: ContextVar[dict[object, object] | None] = ContextVar("held", default=None)

#: Where the list of sources is held; no table is called so.
_SOURCES = "/sources"


@contextmanager
def held(found: dict[object, object] | None = None) -> Iterator[None]:
    """Take the tables as they stand for as long as the block lasts.

    Work that leaves others their turn gives the same ``found`` to each of its blocks: what one looked up serves the
    next.

    Outside the block every look-up asks the disk whether the file has changed. A slider works a build
    up some twenty times a second and cannot wait for that; within one work-up the tables must not
    change anyway.
    """
    if _held.get() is not None:
        yield
        return
    token = _held.set({} if found is None else found)
    try:
        yield
    finally:
        _held.reset(token)


def once(function: Callable[..., T]) -> Callable[..., T]:
    """Wrap a function of the tables and of values that can be hashed: while the tables are held it is worked out once.

    Parameters
    ----------
    function : callable
        Takes what it needs by its place, and gives what nobody changes.

    Returns
    -------
    callable
        The same function; outside :func:`held` it is worked out every time.
    """

    @wraps(function)
    def found(*given):
        held = _held.get()
        if held is None:
            return function(*given)
        asked = function, given
        if asked not in held:
            held[asked] = function(*given)
        return held[asked]

    return found


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
    held = _held.get()
    if held is not None and name in held:
        return held[name]
    folder = data_dir() / "tables"
    path = folder / f"{name}.csv"
    if not path.is_file() or name == "columns":
        raise TableError(f"there is no table {name!r}; there are {', '.join(names())}")
    found = cached(path, read_table, folder / "columns.csv")
    if held is not None:
        held[name] = found
    return found


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


def stamp() -> tuple[object, ...]:
    """Return what differs once a file of ``data/`` has changed: each with its time and size.

    Returns
    -------
    tuple
        To be compared with an earlier one.

    Raises
    ------
    DataNotFound
        The folder ``data`` was not found.
    """
    files = sorted(data_dir().glob("*.csv")) + sorted((data_dir() / "tables").glob("*.csv"))
    return tuple((str(path), (seen := path.stat()).st_mtime_ns, seen.st_size) for path in files)


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
    held = _held.get()
    if held is None:
        return MappingProxyType(cached(data_dir() / "sources.csv", read_sources))
    if _SOURCES not in held:
        held[_SOURCES] = MappingProxyType(cached(data_dir() / "sources.csv", read_sources))
    return held[_SOURCES]


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


def in_words(keys: str) -> str:
    """Say source keys, each with its locator behind it, as titles; a text that is no key stands as it is.

    Parameters
    ----------
    keys : str
        Keys joined by ``;``, such as ``"mh31 p. 2576; own-derivation, common tangents"``.

    Returns
    -------
    str
        Titles joined by ``;``.
    """
    words = []
    for key in (k.strip() for k in keys.split(";") if k.strip()):
        name, locator = key_and_place(key)
        found = sources().get(name)
        words.append(key if found is None else found.title + (f", {locator}" if locator else ""))
    return "; ".join(words)


def printed_in(cite: str) -> str:
    """Say the first source of a row and the place in it.

    Parameters
    ----------
    cite : str
        What a row cites: keys joined by ``;``, a space, and the place.

    Returns
    -------
    str
        Title, place, and how it is known unless it was read.
    """
    keys, _, place = cite.partition(" ")
    return in_words(f"{keys.split(';')[0].rstrip(',')} {place}")


def key_and_place(cited: str) -> tuple[str, str]:
    """Return the key of a source and the place in it; a text that is no key stands whole, without a place."""
    name, locator = re.match(r"([\w-]*)[, ]*(.*)", cited).groups()
    return (name, locator) if name in sources() else (cited, "")


def departures() -> tuple[Departure, ...]:
    """Read ``data/departures.csv``: where a printed value is not followed, and why.

    Returns
    -------
    tuple of Departure
        In file order.

    Raises
    ------
    TableError
        The file is missing or a cell is empty.
    DataNotFound
        The folder ``data`` was not found.
    """
    return cached(data_dir() / "departures.csv", read_departures)

"""How the numbers of the tables are known: counted for each table, the least certain first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import NamedTuple

from jackshaft.tables.rows import Row, Table

#: From the best to the weakest.
ORDER = ("read", "derived", "common practice", "from memory")


class Known(NamedTuple):
    """One table and its rows by how they are known, each row by its weakest part.

    Parameters
    ----------
    table : str
        Name.
    counts : tuple of int
        Rows read, derived, common practice, from memory.
    """

    table: str
    counts: tuple[int, ...]

    @property
    def rows(self) -> int:
        """How many rows the table has."""
        return sum(self.counts)

    @property
    def from_memory(self) -> float:
        """Share of the rows that are from memory."""
        return self.counts[-1] / self.rows


def weakest(row: Row) -> str:
    """Return how the weakest part of a row is known: its own mark, or that of one of its columns."""
    marks = [row.known, *(row[c] for c in row if c.endswith("_known") and row[c])]
    return max(marks, key=ORDER.index)


def how_known(all_tables: Iterable[Table]) -> tuple[Known, ...]:
    """Count how the rows of tables are known.

    Parameters
    ----------
    all_tables : iterable of Table
        Those to count.

    Returns
    -------
    tuple of Known
        The largest share from memory first, among equals the longest table.
    """
    found = []
    for table in all_tables:
        counts = Counter(weakest(row) for row in table)
        found.append(Known(table.name, tuple(counts[k] for k in ORDER)))
    return tuple(sorted(found, key=lambda k: (-k.from_memory, -k.rows, k.table)))

"""What is stamped on a roller chain's plates: its number, and how many strands it has."""

import re
from typing import NamedTuple

from jackshaft.tables import Row, table

_MARK = re.compile(r"(?:ANSI|ISO|DIN|NO\.?|SIZE|#)*\s*#?\s*(\d{1,3}[AB]?)(?:\s*-\s*([1-6]))?$")


class ChainMarking(NamedTuple):
    """What a marking says: the row of the chain, and its strands, None where it does not tell."""

    row: Row
    strands: int | None


def read_chain(text: str) -> ChainMarking:
    """Return the chain that a marking names: "60", "#40-2", "08B-1", "12A".

    Raises
    ------
    ValueError
        Where no chain of the table is called so; the text lists those that are.
    """
    found = _MARK.match(text.strip().upper())
    name = found[1] if found else ""
    name = f"0{name}" if re.fullmatch(r"\d[AB]", name) else name
    for row in table("chain_sizes").rows:
        if name and name in (row["number"], row["iso_number"]):
            return ChainMarking(row, int(found[2]) if found[2] else None)
    numbers = ", ".join(row["number"] for row in table("chain_sizes").rows)
    raise ValueError(f"the number of a chain: one of {numbers}, with -2 for two strands, to -6 for six")


__all__ = ["ChainMarking", "read_chain"]

"""The steel that a shaft is written down as: by the name of a table, or by what other standards call it."""

from __future__ import annotations

import re

from jackshaft import tables
from jackshaft.mechanics.shafts import STEEL_DENSITY
from jackshaft.results.reader import Reader


@tables.once
def steel_row(name: str | None):
    """Return the row of the table of materials for a name as typed, None where it is in no list.

    A short name says nothing of how the bar was made, so it stands for the weakest condition that is usual.
    """
    wanted, rows = _plain(name or ""), tables.table("materials").rows
    if not wanted:
        return None  # nothing, or the name of a standard alone
    own = next((r for r in rows if _plain(r["material"]) == wanted), None)
    return own or next((r for r in rows if wanted in map(_plain, (r["also_called"] or "").split(";"))), None)


def yield_of_row(row) -> float | None:
    """Return the yield strength of a row of materials, Pa, thick stock counted; None where it breaks without."""
    found = row["yield_thick_mpa"] or row["yield_mpa"]
    return None if found is None else found * 1e6


def density_of(reader: Reader, shaft: str) -> float:
    """Return the density of a shaft, kg/m3: its material's where it is tabulated, else that of steel."""
    name = reader.get(f"shaft[{shaft}].material")
    row = steel_row(name)
    return row["density_kg_per_m3"] if row is not None else STEEL_DENSITY


def unlisted(name: str | None) -> str:
    """Return in words that a steel is in no list, and what is wanted in its place; empty where it is in one."""
    if not name or steel_row(name) is not None:
        return ""
    near = " or ".join(_near(name))
    listed = f" If it is {near}, write it so." if near else ""
    return (
        f" The steel '{name}' is in no list here.{listed} Write down its yield strength and its tensile strength, from "
        "its certificate or its standard."
    )


def _near(name: str) -> list[str]:
    """Return the names of listed steels that have a number of the name in them: '1018' of 'cold-drawn 1018'."""
    wanted = set(re.findall(r"\d{4}", name))
    return [r["material"] for r in tables.table("materials").rows if wanted & set(re.findall(r"\d{4}", r["material"]))]


def as_taken(name: str) -> str:
    """Return in words how a name was read where it is not that of the table; empty where it is."""
    row = steel_row(name)
    if row is None or _plain(row["material"]) == _plain(name):
        return ""
    return f"'{name}' taken as {row['material']}, the weakest that is usual; with a certificate write down its yield; "


def _plain(name: str) -> str:
    """Return a name without what differs from writer to writer: capitals, blanks, and the maker of the standard."""
    text = "".join(str(name).lower().split())
    for before in ("aisi", "sae", "en", "astm", "din"):
        text = text.removeprefix(before)
    return text


__all__ = ["as_taken", "density_of", "steel_row", "unlisted", "yield_of_row"]

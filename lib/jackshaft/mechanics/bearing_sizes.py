"""The sizes of bearing that can be had: listed ones, and inch bores in metric bodies."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.units import INCH, OutOfRange, read, unit_checked

SIXTEENTH = INCH / 16
COMPARED = "solidpython2"  # the open data package that the tests compare every size of it with
OTHERWISE = "an open table has"  # how a row's note begins to say where that package differs
SAME = 1e-6  # m; sizes closer than this are the same size


INSERT = "UC2"  # series of the insert bearings
SCREWED, COLLARED = "UC", "UEL"  # letters of one with set screws, and with an eccentric collar on a wide inner ring


class Size(NamedTuple):
    """A bearing that can be had.

    Parameters
    ----------
    designation : str
        What is marked on it.
    bore, od, width : float
        Nominal dimensions, m.
    kind : str
        "metric", "inch", "inch bore, listed", "inch bore, not listed" or "wide".
    series : str
        Dimension series or family.
    capped : bool or None
        True if the size is the shielded or sealed one, False if the open one, None if both share it.
    known : str
        How the row is known.
    cite : str
        Its source, locator and how known.
    also : str
        Other designations of the same bearing, joined by ";".
    """

    designation: str
    bore: float
    od: float
    width: float
    kind: str
    series: str
    capped: bool | None
    known: str
    cite: str
    also: str = ""

    @property
    def size_code(self):
        """The code of an insert's balls and housing, whatever its bore: 206 for a UC206-20."""
        if self.series != INSERT:
            raise OutOfRange(f"{self.designation} is no insert bearing")
        return int(self.screwed[2:5])

    @property
    def collared(self):
        """True for an insert with an eccentric collar on a wide inner ring; its width is that over the collar."""
        return self.series == INSERT and self.designation.startswith(COLLARED)

    @property
    def screwed(self):
        """The designation, of an insert that of the one with set screws on the same ring and balls."""
        return _screwed(self.designation)

    def over_collar(self):
        """The insert of the same ring and balls with an eccentric collar (table insert_bearings, from memory)."""
        row = tables.table("insert_bearings").one(size_code=float(self.size_code))
        name = COLLARED + self.screwed.removeprefix(SCREWED)
        width = row["collar_width_mm"] * 1e-3
        return self._replace(designation=name, width=width, known=row.known, cite=row.cite, also="")


def _screwed(designation):
    return SCREWED + designation.removeprefix(COLLARED) if designation.startswith(COLLARED) else designation


#: Kinds of its fields.
SIZE = dict.fromkeys(("bore", "od", "width"), "length")


def catalogue():
    """Every listed size, every metric body of the common series with an inch bore, and the inch bores of inserts.

    Returns
    -------
    tuple of Size
        Listed sizes first; the inch bores that no list names are marked so.

    Raises
    ------
    jackshaft.tables.TableError
        If the table is missing.

    Source
    ------
    Table bearings; bores in sixteenths of an inch in bodies of the series 60, 62 and 63: common practice,
    no source.
    """
    return _catalogue(tables.table("bearings"), tables.table("insert_bearings"))


def is_insert(size):
    """Tell whether a size is that of an insert bearing.

    Parameters
    ----------
    size : Size or None
        From the catalogue; None where it is not known.

    Returns
    -------
    bool
        True for an insert.

    Raises
    ------
    ValueError
        Never.

    Source
    ------
    Table bearings.
    """
    return size is not None and size.series == INSERT


@unit_checked(returns=SIZE)
def find(designation) -> Size:
    """Look a size up by its number.

    Parameters
    ----------
    designation : str
        As listed, or its other designation.

    Returns
    -------
    Size
        The size.

    Raises
    ------
    ValueError
        If it is not listed.

    Source
    ------
    Table bearings.
    """
    listed = _screwed(designation)
    own = next((s for s in catalogue() if listed in (s.designation, *s.also.split(";"))), None)
    if own is not None and listed != designation:
        return own.over_collar()
    if own is None:
        raise OutOfRange(f"bearing {designation!r} is not listed; give its bore, outside diameter and width")
    return own


#: What a listed size was checked against, best first.
GROUNDS = (
    "an open data package, at every test run",
    "an open data package, when it was read",
    "named standards and catalogues",
    "catalogues and trade tables",
    "memory and common practice only",
)


def checked_against(row):
    """What the dimensions of a listed size were checked against.

    Parameters
    ----------
    row : Row
        A row of table bearings.

    Returns
    -------
    str
        One of ``GROUNDS``.

    Raises
    ------
    jackshaft.tables.TableError
        If a source of the row is in no list.

    Source
    ------
    The row's own sources: an open data package that the tests compare with, one read once, standards whose
    text was read, catalogues and data sheets.
    """
    keys = [k.strip() for k in row["source"].split(";")]
    read = [tables.source(k) for k in keys]
    if COMPARED in keys:
        return GROUNDS[0]
    if any(s.kind == "open data" for s in read):
        return GROUNDS[1]
    if any(s.kind == "standard" and s.how_read == "text read" for s in read):
        return GROUNDS[2]
    return GROUNDS[3] if any(s.kind in ("catalogue", "data sheet") for s in read) else GROUNDS[4]


def grounds():
    """Every listed size by what it was checked against, and where the open data package says otherwise.

    Returns
    -------
    tuple of (str, tuple of str)
        Words of ``GROUNDS`` and the sizes; last the sizes that differ from the package, each with its note.

    Raises
    ------
    jackshaft.tables.TableError
        If the table is missing.

    Source
    ------
    Table bearings.
    """
    rows = tables.table("bearings").rows
    found = [(words, tuple(r["designation"] for r in rows if checked_against(r) == words)) for words in GROUNDS]
    differ = tuple(
        f"{r['designation']} ({r['note'][r['note'].index(OTHERWISE) :]})"
        for r in rows
        if OTHERWISE in (r["note"] or "")
    )
    return (
        *((w, names) for w, names in found if names),
        ("the open data package differs, the catalogues and standards hold", differ),
    )


@unit_checked(wider="length", returns=SIZE)
def equivalents(designation, *, wider=6e-3) -> tuple[tuple[Size, str], ...]:
    """Other listed sizes that could stand in for one that cannot be had.

    Parameters
    ----------
    designation : str
        As listed.
    wider : float
        How much wider the place allows, m.

    Returns
    -------
    tuple of (Size, str)
        The size and what it asks of the builder, least work first.

    Raises
    ------
    ValueError
        If the designation is not listed.

    Source
    ------
    Table bearings; what to make: common practice, no source.
    """
    own, found = find.si(designation), []
    if is_insert(own):
        return _other_inserts(own, wider)
    for s in catalogue():
        if s is own or s.width > own.width + wider or s.kind == "inch bore, not listed":
            continue
        wide = s.width - own.width
        if abs(s.bore - own.bore) < SAME:
            if abs(s.od - own.od) < SAME:
                ask = "wider: look for room" if wide > SAME else "narrower: add a spacer ring"
                found.append((abs(wide), s, "same size" if abs(wide) < SAME else ask))
            elif own.od < s.od < own.od + 12e-3:
                found.append((1e-2 + s.od - own.od, s, "larger outside: bore the housing out"))
            elif own.od - 12e-3 < s.od < own.od:
                found.append((1e-2 + own.od - s.od, s, "smaller outside: ring the housing"))
        elif abs(s.od - own.od) < SAME and abs(wide) < SAME and own.bore < s.bore < own.bore + 6e-3:
            found.append((1.5e-2 + s.bore - own.bore, s, "larger bore: sleeve the shaft, or turn the next one up"))
        elif abs(s.od - own.od) < SAME and abs(wide) < SAME and own.bore - 6e-3 < s.bore < own.bore:
            found.append((1.5e-2 + own.bore - s.bore, s, "smaller bore: turn the seat down"))
    return tuple((s, ask) for _, s, ask in sorted(found, key=lambda f: f[0])[:8])


def _other_inserts(own, wider):
    """Inserts of the same bore in another housing, then those of the next bores in the same one."""
    others = [s for s in catalogue() if is_insert(s)]
    others = [s.over_collar() for s in others] if own.collared else others
    others = [s for s in others if s != own and s.width <= own.width + wider]
    bore = [(s, "another housing: bolt holes and height change") for s in others if abs(s.bore - own.bore) < SAME]
    ring = [s for s in others if s.size_code == own.size_code]
    ring.sort(key=lambda s: abs(s.bore - own.bore))
    asks = ("thicker bar, or a sleeve", "thinner bar, or its seat turned down")
    return (*bore, *((s, asks[s.bore < own.bore]) for s in ring))[:8]


@unit_checked(
    least_bore="length",
    most_bore="length",
    least_od="length",
    most_od="length",
    most_width="length",
    returns=SIZE,
)
def choose(
    *, least_bore=0.0, most_bore=np.inf, least_od=0.0, most_od=np.inf, most_width=np.inf, kinds=None
) -> tuple[Size, ...]:
    """Listed sizes that go into a place.

    Parameters
    ----------
    least_bore, most_bore : float
        Range of the shaft, m.
    least_od, most_od : float
        Range of the housing, m.
    most_width : float
        Room along the shaft, m.
    kinds : sequence of str or None
        Kinds to show; None shows all that are listed.

    Returns
    -------
    tuple of Size
        In the order of the table.

    Raises
    ------
    ValueError
        If a range is upside down.

    Source
    ------
    Table bearings.
    """
    if least_bore > most_bore or least_od > most_od:
        raise OutOfRange("the least size is above the largest: swap them")
    slack = 1e-7  # a bore of exactly 25 mm is inside a range up to 25 mm
    return tuple(
        s
        for s in catalogue()
        if least_bore - slack <= s.bore <= most_bore + slack
        and least_od - slack <= s.od <= most_od + slack
        and s.width <= most_width + slack
        and (s.kind in kinds if kinds else s.kind != "inch bore, not listed")
    )


@lru_cache(maxsize=2)
def _catalogue(table, inserts):
    sizes = [_size(row) for row in table]
    sizes += _inch_inserts({s.designation: s for s in sizes}, inserts)
    taken = {s.designation for s in sizes}
    for s in tuple(sizes):
        if s.series not in ("60", "62", "63") or s.kind != "metric" or "/" in s.designation:
            continue
        for n in range(max(4, int(0.65 * s.bore / SIXTEENTH)), int(1.08 * s.bore / SIXTEENTH) + 1):
            bore, name = n * SIXTEENTH, f"{s.designation}-{n}"
            # The inner ring keeps some wall under the balls: an eighth of the section is taken at most.
            if name not in taken and bore < s.bore + 0.12 * (s.od - s.bore):
                inch = s._replace(designation=name, bore=bore, kind="inch bore, not listed", known="derived")
                sizes.append(inch._replace(also=""))
    return tuple(sizes)


def _inch_inserts(listed, inserts):
    """Yield the inserts with the inch bores they are sold with: the ring is that of the metric one."""
    for row in inserts:
        body = listed[f"UC{row['size_code']:g}"]
        for text in row["bores_in"].split(";"):
            bore = read(f"{text.strip()} in", "length").si
            yield body._replace(designation=f"{body.designation}-{round(bore / SIXTEENTH)}", bore=bore, cite=row.cite)


def _size(row):
    kind = {"mixed": "inch bore, listed", "inch": "inch", "metric": "metric"}[row["units"]]
    return Size(
        designation=row["designation"],
        bore=row["bore_mm"] / 1e3,
        od=row["od_mm"] / 1e3,
        width=row["width_mm"] / 1e3,
        kind=kind if row["type"] == "deep groove" else "wide",
        series=row["series"],
        capped={"capped": True, "open": False, "any": None}[row["capping"]],
        known=row.known,
        cite=row.cite,
        also=row["also_called"] or "",
    )

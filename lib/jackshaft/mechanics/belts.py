"""Belt sections, what is printed on belts, and the lengths that are sold.

Parallel lines round an uncrossed loop differ in length by 2 pi times their distance, whatever idlers
stand in it; that is how inside, datum, pitch, effective and outside lengths turn into each other. In a
crossed loop they are all equally long.
"""

from typing import NamedTuple

import numpy as np

from jackshaft.tables import once, table
from jackshaft.tables.belt_marks import Unreadable, in_full, read_marking
from jackshaft.units import INCH, OutOfRange

MM = 1e-3
LINES = ("inside", "datum", "pitch", "effective", "outside")

#: Sections whose row of the travel table is that of another one: the cogged belt is as deep as the wrapped one.
SAME_TRAVEL = {"AX": "A", "BX": "B", "CX": "C"}

#: Travel to put a belt on, over the depth of its section, where no table has it: common practice, no source.
OVER_THE_RIM = 2.0


class Travel(NamedTuple):
    """How far centres must close, m, for a belt to go over the rims, how that is known and where it is from."""

    length: float
    known: str
    cite: str


class Section(NamedTuple):
    """A belt section in SI units; None where the tables do not know."""

    name: str
    system: str
    family: str
    top_width: float
    height: float
    reference_width: float | None
    angle: float
    mass: float
    reference_line: str
    pitch_minus_reference: float | None
    min_pulley: float
    datum_minus_inside: float | None
    outside_minus_datum: float | None
    cord_depth: float
    cord_low: float
    cord_high: float
    speed_max: float
    counted_by: str
    known: str
    cite: str
    note: str


class BeltLength(NamedTuple):
    """A length on a named line, m, with how far it may be off."""

    length: float
    line: str
    plus: float | None
    minus: float | None
    known: str


class Stock(NamedTuple):
    """Lengths that are sold, on one line, m, shortest first."""

    designation: tuple[str, ...]
    length: np.ndarray
    plus: np.ndarray
    minus: np.ndarray
    known: tuple[str, ...]


class SectionError(OutOfRange):
    """A section, a marking or a line that the tables do not know."""


def _mm(value):
    return None if value is None else value * MM


def section(name, system=None):
    """Read one belt section.

    Parameters
    ----------
    name : str
        "A", "SPA", "AA", "4L", ...
    system : str or None
        "inch" or "metric"; needed only where both have a section of that name.

    Returns
    -------
    Section

    Raises
    ------
    SectionError
        If the section is unknown, or its name stands in both systems and none is said.

    Source
    ------
    table belt_sections, each row with its own source
    """
    wanted = name.strip().upper()
    rows = [r for r in table("belt_sections").rows if r["section"].upper() == wanted]
    if not rows:
        known = ", ".join(dict.fromkeys(r["section"] for r in table("belt_sections").rows))
        raise SectionError(f"no belt section {name!r}; known: {known}")
    if len(rows) > 1:
        rows = [r for r in rows if r["system"] == system]
        if not rows:
            raise SectionError(
                f"section {name} is in the inch and in the metric series, which differ in their "
                "lengths and diameters: say which"
            )
    r = rows[0]
    return Section(
        name=r["section"],
        system=r["system"],
        family=r["family"],
        top_width=_mm(r["top_width_mm"] or r["rib_pitch_mm"]),
        height=_mm(r["height_mm"]),
        reference_width=_mm(r["reference_width_mm"]),
        angle=np.radians(r["angle_deg"]),
        mass=r["mass_kg_per_m"],
        reference_line=r["reference_line"],
        pitch_minus_reference=_mm(r["pitch_minus_reference_mm"]),
        min_pulley=_mm(r["min_pulley_mm"]),
        datum_minus_inside=_mm(r["datum_minus_inside_mm"]),
        outside_minus_datum=_mm(r["outside_minus_datum_mm"]),
        cord_depth=_mm(r["cord_depth_mm"]),
        cord_low=_mm(r["cord_depth_low_mm"]),
        cord_high=_mm(r["cord_depth_high_mm"]),
        speed_max=r["speed_max_m_per_s"],
        counted_by=r["counted_by"],
        known=r.known,
        cite=r.cite,
        note=r["note"] or "",
    )


def line_offsets(belt):
    """Give how much longer each line of a belt is than its reference line, for an uncrossed loop.

    Parameters
    ----------
    belt : Section
        The belt.

    Returns
    -------
    dict of str to float
        m; only the lines that the tables give a way to.

    Source
    ------
    own-derivation, 2 pi times the distance of parallel lines; differences from table belt_sections
    """
    offsets = {belt.reference_line: 0.0}
    if belt.pitch_minus_reference is not None:
        offsets["pitch"] = np.pi * belt.pitch_minus_reference
    if belt.family == "double-V":
        # Effective diameters of double-V pulleys are outside ones, and the cord at mid-height of the belt
        # stands within half a millimetre of the rim: +-0.5 mm on the radius, +-3 mm on the length.
        offsets = {"effective": 0.0, "pitch": 0.0}
    elif belt.family == "light duty":
        offsets["outside"] = 0.0
        offsets["inside"] = -2.0 * np.pi * belt.height
    elif belt.reference_line == "datum":
        if belt.datum_minus_inside is not None:
            offsets["inside"] = -belt.datum_minus_inside
        if belt.outside_minus_datum is not None:
            offsets["outside"] = belt.outside_minus_datum
    return offsets


def convert(length, belt, *, have, want):
    """Turn a belt's length on one line into that on another, for an uncrossed loop.

    Parameters
    ----------
    length : float or array
        m.
    belt : Section
        The belt.
    have, want : str
        Lines: "inside", "datum", "pitch", "effective", "outside".

    Returns
    -------
    float or array
        m.

    Raises
    ------
    SectionError
        If the tables give no way between the two lines.

    Source
    ------
    own-derivation, 2 pi times the distance of parallel lines
    """
    offsets = line_offsets(belt)
    for line in (have, want):
        if line not in offsets:
            raise SectionError(f"no {line} length is known for section {belt.name}; known: {', '.join(offsets)}")
    return length + offsets[want] - offsets[have]


def marked(text, *, line=None, system=None):
    """Read what is printed on a belt.

    Parameters
    ----------
    text : str
        Such as "AA75", "A68", "4L580", "SPA 1800", "6PK1438"; see :func:`~jackshaft.tables.belt_marks.read_marking`.
    line : str or None
        The line the number is on, where it is known to be another than the section's usual one.
        A number on another line carries no addition: "A58" with line "outside" is 58 in outside.
    system : str or None
        "inch" or "metric", where a section stands in both.

    Returns
    -------
    tuple of Section and BeltLength

    Raises
    ------
    SectionError
        If the marking is not of that shape, or its section has no rule for its numbers.

    Source
    ------
    table belt_markings; tolerances from table belt_length_tolerances or the length's own row
    """
    try:
        said = read_marking(text)
    except Unreadable as why:
        raise SectionError(str(why)) from None
    number, line = said.number, line or said.line
    belt = section(said.section, system or ("metric" if said.unit_mm == 1.0 else "inch"))
    if said.unit_mm == 1.0 and belt.system == "inch" and belt.reference_line == "datum":
        raise SectionError(f"{text.strip()} counts millimetres, and the belt is said to be of the inch series")
    rule = table("belt_markings").covering(number, "over_number", "to_number", section=belt.name).rows
    if said.unit_mm == 1.0 and line is not None and said.line == line:
        # The marking says its unit and its line itself.
        length, rule_line, known = number * MM, line, "read"
    elif said.ribbed or (said.line and said.unit_mm):
        length, rule_line, known = number * said.unit_mm * MM, said.line, "read"
    elif belt.system == "metric" and belt.family == "classical":
        # Metric classical belts are numbered in mm, some makers by the inside, some by the datum length.
        if line is None:
            raise SectionError(
                f"metric {belt.name} belts are numbered by their inside or by their datum length: say "
                "which (the marking adds Li or Ld)"
            )
        length, rule_line, known = number * MM, line, "read"
    else:
        if not rule:
            tops = [r["to_number"] for r in table("belt_markings").where(section=belt.name).rows]
            if not tops or None in tops:
                raise SectionError(f"no rule is known for the numbers on {belt.name} belts")
            raise SectionError(f"found {text.strip()}; wanted a number up to {max(tops):g} on {belt.name} belts")
        # A maker who counts another line than the standard prints that line's length in the same unit.
        added = rule[0]["add_mm"] if line in (None, rule[0]["line"]) else 0.0
        length, rule_line, known = (number * rule[0]["unit_mm"] + added) * MM, rule[0]["line"], rule[0].known
    sold = [
        r
        for r in table("belt_lengths").where(section=belt.name, system=belt.system).rows
        if r["designation"].replace(" ", "") == f"{belt.name}{number:g}" and r["plus_mm"] is not None
    ]
    plus, minus = (sold[0]["plus_mm"] * MM, sold[0]["minus_mm"] * MM) if sold else tolerance(belt, length)
    return belt, BeltLength(length, line or rule_line, plus, minus, known)


def tolerance(belt, length):
    """Give the length tolerance of a belt.

    Parameters
    ----------
    belt : Section
        The belt.
    length : float
        Datum length (or the marked one), m.

    Returns
    -------
    tuple of two floats or None
        Plus and minus, m; None where no table covers it.

    Source
    ------
    din-tolerances, DIN 2215 and DIN 7753-1
    """
    family = "narrow" if belt.family == "narrow" else "classical"
    rows = table("belt_length_tolerances").covering(length / MM, "over_mm", "to_mm", family=family).rows
    return (_mm(rows[0]["plus_mm"]), _mm(rows[0]["minus_mm"])) if rows else (None, None)


def sold_rows(belt):
    """Give the rows of the lengths that are sold of a section.

    Parameters
    ----------
    belt : Section
        The belt.

    Returns
    -------
    sequence of Row
        Those of the plain section where a cogged one has none of its own.

    Source
    ------
    table belt_lengths; cogged belts are sold by the numbers of the plain ones: common practice, no source
    """
    own = table("belt_lengths").where(section=belt.name, system=belt.system).rows
    if own or belt.family != "classical cogged":
        return own
    return table("belt_lengths").where(section=belt.name.removesuffix("X"), system=belt.system).rows


@once
def stock(belt, line):
    """Give the lengths that are sold of a section, on one line.

    Parameters
    ----------
    belt : Section
        The belt.
    line : str
        The line wanted; converted where the table gives another.

    Returns
    -------
    Stock

    Source
    ------
    table belt_lengths
    """
    offsets = line_offsets(belt)
    if line not in offsets:
        raise SectionError(f"no {line} length is known for section {belt.name}; known: {', '.join(offsets)}")
    found = []
    counted = [r["line"] for r in table("belt_markings").where(section=belt.name).rows]
    for row in sold_rows(belt):
        lines = (belt.reference_line, line, *counted, *LINES)
        given = [k for k in lines if k in offsets and row[f"{k}_mm"] is not None]
        if given:
            length = convert(row[f"{given[0]}_mm"] * MM, belt, have=given[0], want=line)
            name = in_full(belt, row["designation"].replace(row["section"], belt.name, 1), given[0])
            known = row.known if row["section"] == belt.name else "common practice"
            found.append((length, name, row["plus_mm"], row["minus_mm"], known))
    found.sort(key=lambda f: f[:2])
    if not found:
        raise SectionError(f"the table has no stock lengths for section {belt.name} ({belt.system})")
    length, names, plus, minus, known = zip(*found, strict=True)
    as_metres = [np.array([np.nan if v is None else v * MM for v in column]) for column in (plus, minus)]
    return Stock(names, np.array(length), *as_metres, known)


def fitting_travel(belt, length):
    """Give how far the centres must close for a belt to be put on without force.

    Parameters
    ----------
    belt : Section
        The belt.
    length : float
        Pitch length, m.

    Returns
    -------
    Travel
        Of the table's row for a belt of that number, or of the nearest row of its section; twice the depth of the belt
        where the table does not have the section.

    Source
    ------
    sheave-installation, installation and take-up table; common practice, no source, where the table has no row
    """
    name = SAME_TRAVEL.get(belt.name, belt.name)
    rows = [r for r in table("belt_takeup").rows if r["section"] == name]
    # classical belts are numbered by their inside length in inches, light-duty by the outside, narrow by tenths
    line, unit = {"narrow": ("effective", INCH / 10), "light duty": ("outside", INCH)}.get(
        belt.family, ("inside", INCH)
    )
    if not rows or line not in line_offsets(belt):
        return Travel(OVER_THE_RIM * belt.height, "common practice", "common practice, no source")
    number = convert(length, belt, have="pitch", want=line) / unit
    row = min(rows, key=lambda r: max(r["from_number"] - number, number - r["to_number"], 0.0))
    return Travel(row["install_in"] * INCH, row.known, row.cite)

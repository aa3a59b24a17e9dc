"""The series that a stage's belt and grooves are made to, and where the build contradicts itself about it."""

from __future__ import annotations

from jackshaft import tables
from jackshaft.buildfile.naming import titled
from jackshaft.mechanics import belt_series
from jackshaft.mechanics import belts as belt_lengths
from jackshaft.parts.belt_stage import marked_belts, series_of, standard_of
from jackshaft.results.checks import CAUTION
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.tables.belt_marks import read_marking
from jackshaft.units import at_most

#: What the length of a short belt is off by at most, m: the tolerance of the shortest in table belt_lengths.
TOLERANCE = 0.015


def series_check(draft: Draft, reader: Reader, name: str) -> None:
    """Add the fact of a belt stage's series, and a caution where section or marking and the key disagree."""
    at = f"stage[{name}]"
    section = reader.get(f"{at}.section")
    if not section:
        return
    found = series_of(reader, at)
    draft.fact(titled(name, "belt", "series"), found.system, found.how)
    given, marked = reader.get(f"{at}.series"), reader.get(f"{at}.marked")
    if not given:
        return
    made = belt_series.of_section(section)
    read = belt_series.of_marking(marked, section) if marked else None
    if given not in made:
        limit = f"{made[0]}: section {section} is made in that series only"
        remedy = f"Set {at}.series to '{made[0]}' or leave it out, or correct the section."
        used = found.system
    elif read and read != given:
        limit = f"{read}: '{marked}' counts {'inches' if read == 'inch' else 'millimetres'}"
        remedy = f"Read the belt again, then correct {at}.series or {at}.marked."
        used = given
    else:
        return
    draft.check(
        f"layout.series[{name}]",
        titled(name, "belt", "series"),
        found=given,
        wanted=limit,
        verdict=CAUTION,
        reason=f"The build names two series for one belt. The {used} one is taken; its lengths and diameters differ "
        "from the other's.",
        remedy=remedy,
        source="the workbook's tables of belt sections and belt lengths",
    )


def count_check(draft: Draft, reader: Reader, name: str) -> None:
    """Add a caution where the belts, or the ribs, that are written down are not what the marking says."""
    at = f"stage[{name}]"
    count, said = reader.get(f"{at}.belts"), marked_belts(reader, at)
    if not count or not said:
        return
    ribbed = read_marking(str(reader.get(f"{at}.marked"))).ribbed
    if count == said or (not ribbed and count % said == 0):
        return
    what = "ribs" if ribbed else "belts in one band"
    draft.check(
        f"layout.marking[{name}]",
        titled(name, "belt", "marking"),
        found=f"{count} {'ribs' if ribbed else 'belts'} written down",
        wanted=f"{said} {what}, by the marking",
        verdict=CAUTION,
        reason=f"The two do not agree; all is worked for {count}.",
        remedy="Count them on the belt, then correct the number or the marking.",
        source="the workbook's table of belt markings",
    )


def length_said_check(draft: Draft, reader: Reader, name: str) -> None:
    """Add a caution where the length that is written down and the marking are not those of one belt.

    They may differ by the length's tolerance or, if that is more, by what a belt stretches while it is used.
    """
    at, section = f"stage[{name}]", reader.get(f"stage[{name}].section")
    length, line, marked = (reader.get(f"{at}.{k}") for k in ("length", "length_is", "marked"))
    if not section or None in (length, line, marked):
        return
    try:
        own, read = belt_lengths.marked(marked, line=None, system=standard_of(reader, at))
        said = float(belt_lengths.convert(read.length, own, have=read.line, want=line))
    except belt_lengths.SectionError:
        return  # the marking alone does not say a length
    off = max((tables.table("belt_limits").one(item="take-up over belt length")["low"] / 100) * said, TOLERANCE)
    if at_most(abs(length.si - said), off):
        return
    draft.check(
        f"layout.length-said[{name}]",
        titled(name, "belt", "length and marking"),
        found=reader.number(length.si, "length", f"{{}} {line}", known=reader.how(f"{at}.length")),
        wanted=reader.number(said, "length", f"{{}} {line}, by the marking {marked}"),
        verdict=CAUTION,
        reason=f"Length and marking are not those of one belt. The length that is written down counts: {at}.length.",
        remedy="Measure the belt again and say which length that is, or correct the marking.",
        source="the workbook's tables of belt lengths and belt limits",
    )

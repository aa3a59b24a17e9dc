"""The series that a belt is made to: the section names of the inch and of the metric series overlap."""

import math
from typing import NamedTuple

import numpy as np

from jackshaft.tables import table
from jackshaft.tables.belt_marks import Unreadable, read_marking
from jackshaft.units import INCH


class Series(NamedTuple):
    """``system`` is ``inch`` or ``metric``; ``how`` says in shop words what settled it."""

    system: str
    how: str


def of_section(section: str) -> tuple[str, ...]:
    """Give the series that a section is made in.

    Parameters
    ----------
    section : str
        "A", "SPA", "3V", ...

    Returns
    -------
    tuple of str
        "inch", "metric", or both; empty where the tables do not have the section.

    Source
    ------
    table belt_sections: A to D stand in ANSI/RMA IP-20 and in ISO 4184, the others in one standard
    """
    return tuple(dict.fromkeys(r["system"] for r in table("belt_sections").where(section=section).rows))


def of_marking(marked: str, section: str) -> str | None:
    """Tell from what is printed on a belt which series it is, where its section stands in both.

    Inch belts are numbered in inches and metric ones in millimetres, so the same number is two lengths that
    are 25 times apart. The one that belts of the section are sold in, or that is nearer to those, is meant.
    A tail (``Li``, ``Ld``, ``mm``) or a top width in place of the letter (``13x1800``) says it outright.

    Parameters
    ----------
    marked : str
        Such as "A68", "A 1800 Li", "13x1800".
    section : str
        The section the belt is said to have.

    Returns
    -------
    str or None
        "inch" or "metric"; None where the marking has no number that could say it.

    Source
    ------
    own-derivation, from the spans of table belt_lengths; what numbers count: table belt_markings
    """
    try:
        said = read_marking(marked)
    except Unreadable:
        return None
    if said.section != section or said.number <= 0.0:
        return None
    if said.unit_mm is not None:
        return "metric" if said.unit_mm == 1.0 else "inch"
    number = said.number
    span = _span(section)
    if span is None:
        return None
    off = {series: _outside(number * unit, *span) for series, unit in (("inch", INCH * 1e3), ("metric", 1.0))}
    return None if off["inch"] == off["metric"] else min(off, key=off.get)


def settle(*, said: str | None, section: str | None, marked: str | None, shown_in: str | None) -> Series | None:
    """Settle the series of a belt stage.

    Parameters
    ----------
    said : str or None
        What the build says: "inch" or "metric".
    section, marked : str or None
        The belt's section and its marking, as the build has them.
    shown_in : str or None
        The units the build is shown in, which decide where nothing else does.

    Returns
    -------
    Series or None
        None where nothing settles it and the units shown are not given.

    Source
    ------
    common practice, no source: a belt is bought in the series of the country whose units the shop uses
    """
    made = of_section(section) if section else ()
    if len(made) == 1:
        return Series(made[0], f"section {section} is made in the {made[0]} series only")
    if said:
        return Series(said, "as the build says")
    read = of_marking(marked, section) if marked and section else None
    if read:
        return Series(read, f"marked '{marked}', which counts {'inches' if read == 'inch' else 'millimetres'}")
    return shown_in and Series(shown_in, f"shown in {shown_in} units; the stage's series is not set")


def _span(section: str) -> tuple[float, float] | None:
    """Shortest and longest datum length that is sold of a section in either series, mm."""
    sold = table("belt_lengths").where(section=section).column("datum_mm")
    return None if np.all(np.isnan(sold)) else (float(np.nanmin(sold)), float(np.nanmax(sold)))


def _outside(length: float, least: float, most: float) -> float:
    """How many times a length stands outside a span, as a logarithm; 0 inside."""
    return max(math.log(least / length), math.log(length / most), 0.0)

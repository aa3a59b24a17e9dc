"""A belt stage read from the build: its pulleys on the three lines, their places, and the belt."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from jackshaft import tables
from jackshaft.mechanics import belt_series, diameters
from jackshaft.results.reader import Reader, Unknown
from jackshaft.tables.belt_marks import Unreadable, read_marking
from jackshaft.units import at_most

#: Angle of a groove off the standard by more than this lets the belt touch at one edge only.
ANGLE_OFF = np.radians(1.0)


class Pulleys(NamedTuple):
    """The pulleys of one stage in the order the belt meets them; radii in m, shape (n,).

    ``pitch`` is the cord line, ``outside`` the rim. ``inside`` and ``flat`` are booleans.
    """

    names: tuple[str, ...]
    pitch: np.ndarray
    outside: np.ndarray
    inside: np.ndarray
    flat: np.ndarray
    driver: int
    driven: int
    crossed: bool
    materials: tuple[str | None, ...]


class Places(NamedTuple):
    """Where the pulleys are, m, shape (n,); ``given`` is False where only the centres are known."""

    x: np.ndarray
    y: np.ndarray
    given: bool


def series_of(reader: Reader, at: str) -> belt_series.Series:
    """Return the series that the stage's belt and grooves are made to, and what settled it.

    The section decides where it is made in one series only, then what the build says, then the marking, at
    last the units the build is shown in. The unit in which a size was typed decides nothing: 4.2 in is 106.68 mm.
    """
    section = reader.get(f"{at}.section")
    known = {"said": reader.get(f"{at}.series"), "section": section, "marked": reader.get(f"{at}.marked")}
    return belt_series.settle(**known, shown_in=None) or belt_series.settle(**known, shown_in=reader.system)


def standard_of(reader: Reader, at: str) -> str:
    """Return ``inch`` or ``metric``: the series that the stage's belt and grooves are made to."""
    return series_of(reader, at).system


def section_row(reader: Reader, at: str) -> tables.Row | None:
    """Return the table row of the stage's belt section in its series, or None if the section is not known."""
    section = reader.get(f"{at}.section")
    if not section:
        return None
    rows = [r for r in tables.table("belt_sections").rows if r["section"] == section]
    mine = [r for r in rows if r["system"] == standard_of(reader, at)]
    return (mine or rows)[0] if rows else None


def marked_belts(reader: Reader, at: str) -> int | None:
    """Return how many belts of a banded belt, or ribs of a ribbed one, the marking says; None where it does not."""
    marked = reader.get(f"{at}.marked")
    try:
        return None if not marked else read_marking(str(marked)).belts
    except Unreadable:
        return None


def belts_of(reader: Reader, at: str) -> int:
    """Return the belts side by side of a stage, or the ribs of a ribbed one: as written down, else by the marking."""
    return reader.get(f"{at}.belts") or marked_belts(reader, at) or 1


def belts_said(reader: Reader, at: str) -> int:
    """Return the same; raise Unknown where neither the build nor the marking says how many there are."""
    return reader.get(f"{at}.belts") or marked_belts(reader, at) or reader.require(f"{at}.belts")


def wedge_of(reader: Reader, here: str, section: tables.Row | None, pitch: float) -> float:
    """Return what the angle that was entered for a groove makes of its wedge: below 1 where the groove is wider.

    1 where no angle is entered, or none is known that the belt needs on a pulley of that ``pitch`` diameter, m, or
    the two agree within the tolerance. By sin(a/2) of the one angle over that of the other.
    """
    angle = reader.si(f"{here}.groove_angle")
    if angle is None or section is None:
        return 1.0
    row = groove_row(section, pitch - (section["pitch_minus_reference_mm"] or 0.0) * 1e-3)
    own = section["angle_deg"] if row is None or row["angle_deg"] is None else row["angle_deg"]
    if own is None or at_most(abs(angle - np.radians(own)), ANGLE_OFF):
        return 1.0
    return float(np.sin(0.5 * np.radians(own)) / np.sin(0.5 * angle))


def groove_row(section: tables.Row, diameter: float, form: str = "standard") -> tables.Row | None:
    """Return the groove of a section for a pulley of ``diameter`` m on the line that the form goes by, or None."""
    rows = [
        r
        for r in tables.table("belt_grooves").rows
        if section["section"] in str(r["sections"]).split(";")
        and r["system"] == section["system"]
        and r["groove"] == form
    ]
    size = diameter * 1e3
    for row in rows:
        above = row["over_mm"] is None or not at_most(size, row["over_mm"])
        if above and (row["to_mm"] is None or at_most(size, row["to_mm"])):
            return row
    return rows[-1] if rows else None


def read_pulleys(reader: Reader, at: str) -> Pulleys:
    """Read the pulleys of the belt stage at ``at``, with their pitch and rim radii.

    Raises
    ------
    Unknown
        Naming every diameter, kind of diameter or role that is not known.
    """
    names = reader.names(f"{at}.pulley")
    if len(names) < 2:
        # Only pulleys that are in the list can be named driver and driven.
        reader.note_missing(f"{at}.driver", f"{at}.driven")
        raise Unknown(f"{at}.driver", f"{at}.driven")
    section = section_row(reader, at)
    missing: list[str] = []
    pitch, outside, inside, flat = [], [], [], []
    for name in names:
        here = f"{at}.pulley[{name}]"
        side, surface, line = (reader.get(f"{here}.{key}") for key in ("side", "surface", "measured_as"))
        inside.append(side != "outside")
        flat.append(surface == "flat")
        size = reader.si(f"{here}.diameter")
        wanted = {"diameter": size, "measured_as": line}
        if not inside[-1]:
            # inside the loop a pulley that says nothing is grooved; a belt's back may run on either
            wanted["surface"] = surface
        unknown = [f"{here}.{k}" for k, v in wanted.items() if v is None]
        if not unknown and section is None and line != "pitch":
            unknown = [f"{at}.section"]
        if unknown:
            missing += unknown
            continue
        own = None
        if line == "outside" and section is not None and not flat[-1]:
            own = turned(reader, here, size, section)
        lines = lines_of(size, line, section, flat=flat[-1], inside=inside[-1]) if own is None else (own.pitch, size)
        pitch.append(float(lines[0]) / 2)
        outside.append(lines[1] / 2)
    driver, driven = reader.get(f"{at}.driver"), reader.get(f"{at}.driven")
    missing += [f"{at}.{k}" for k, v in (("driver", driver), ("driven", driven)) if v is None]
    if missing:
        reader.note_missing(*missing)
        raise Unknown(*dict.fromkeys(missing))
    return Pulleys(
        names=names,
        pitch=np.array(pitch),
        outside=np.array(outside),
        inside=np.array(inside),
        flat=np.array(flat),
        driver=names.index(driver),
        driven=names.index(driven),
        crossed=bool(reader.get(f"{at}.crossed")),
        materials=tuple(reader.get(f"{at}.pulley[{n}].material") for n in names),
    )


def turned(reader: Reader, here: str, outside: float, section: tables.Row) -> diameters.TurnedGroove | None:
    """Return where the belt rides in a home-turned groove; None where its width and angle are not both given.

    Sections without a reference width in the tables have no way to it either.
    """
    width, angle = reader.si(f"{here}.groove_top_width"), reader.si(f"{here}.groove_angle")
    if width is None or angle is None or section["reference_width_mm"] is None:
        return None
    return diameters.turned_groove.si(
        outside,
        top_width=width,
        angle=angle,
        reference_width=section["reference_width_mm"] * 1e-3,
        pitch_minus_reference=(section["pitch_minus_reference_mm"] or 0.0) * 1e-3,
        belt_top_width=section["top_width_mm"] * 1e-3,
        belt_angle=float(np.radians(section["angle_deg"])),
    )


def lines_of(size: float, line: str, section: tables.Row | None, *, flat: bool, inside: bool) -> tuple[float, float]:
    """Return pitch and outside diameter, m, of a pulley whose ``line`` diameter is ``size``.

    Without a section only a pitch diameter can be taken, and the rim is then unknown (the same figure).
    """
    if section is None:
        return size, size
    cord = (section["cord_depth_mm"] or 0.0) * 1e-3
    if flat:
        to_cord = cord if not inside else (section["height_mm"] or 0.0) * 1e-3 - cord
        if line == "pitch":
            return size, size - 2 * to_cord
        return float(diameters.flat.si(size, to_cord=to_cord)), size
    pitch_minus = (section["pitch_minus_reference_mm"] or 0.0) * 1e-3
    groove = groove_row(section, size)
    outside_minus = groove["outside_minus_reference_mm"] if groove else None
    if outside_minus is None:
        # No groove of this section in the tables: the rim is about where the cord line is.
        outside_minus = pitch_minus * 1e3
    found = diameters.grooved.si(
        size, measured_as=line, pitch_minus_reference=pitch_minus, outside_minus_reference=outside_minus * 1e-3
    )
    return float(found.pitch), float(found.outside)


def read_places(reader: Reader, at: str, pulleys: Pulleys) -> Places:
    """Read where the pulleys are: x and y of each, or the centres of two.

    A pulley of which only x or only y is known has no place yet; the other one is what is missing.

    Raises
    ------
    Unknown
        Naming the positions that are not known.
    """
    places = [(reader.si(f"{at}.pulley[{n}].x"), reader.si(f"{at}.pulley[{n}].y")) for n in pulleys.names]
    if all(x is not None and y is not None for x, y in places):
        x, y = np.array(places).T
        return Places(x, y, True)
    begun = any(v is not None for spot in places for v in spot)
    if len(pulleys.names) == 2 and (not begun or reader.si(f"{at}.centres") is not None):
        centres = reader.require_si(f"{at}.centres")
        toward = reader.si(f"{at}.centres_toward", 0.0)
        step = np.array([np.cos(toward), np.sin(toward)]) * centres
        x, y = np.zeros(2), np.zeros(2)
        x[pulleys.driven], y[pulleys.driven] = step
        return Places(x, y, False)
    missing = [
        f"{at}.pulley[{n}].{c}"
        for n, spot in zip(pulleys.names, places, strict=True)
        for c, v in zip("xy", spot, strict=True)
        if v is None
    ]
    reader.note_missing(*missing)
    raise Unknown(*missing)

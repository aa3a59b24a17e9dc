"""A belt stage read from the build: its pulleys on the three lines, their places, and the belt."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from jackshaft import tables
from jackshaft.mechanics import belt_series, diameters
from jackshaft.results.reader import Reader, Unknown
from jackshaft.tables.belt_marks import Unreadable, read_marking
from jackshaft.units import OutOfRange, at_most, first_most

#: How far the shares of the driven pulleys may be off 1 in sum: they are written to two or three digits.
SHARES_OFF = 0.005

#: Angle of a groove off the standard by more than this lets the belt touch at one edge only.
ANGLE_OFF = np.radians(1.0)


class Pulleys(NamedTuple):
    """The pulleys of one stage in the order the belt meets them; radii in m, shape (n,).

    ``pitch`` is the cord line, ``outside`` the rim. ``inside`` and ``flat`` are booleans. ``shares`` holds what each
    takes of the power that the belt passes on: nothing the driver and the idlers, 1 together the driven ones.
    ``shafts`` names the shaft that each drives, None where it drives none or nobody has said which. ``driven`` is the
    driven pulley, of several the one with the largest share.
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
    shares: tuple[float, ...]
    shafts: tuple[str | None, ...]

    @property
    def works(self) -> tuple[int, ...]:
        """The driven pulleys."""
        return tuple(i for i, share in enumerate(self.shares) if share)

    @property
    def powered(self) -> tuple[int, ...]:
        """The driver and the driven pulleys, in this order."""
        return (self.driver, *self.works)

    @property
    def several(self) -> bool:
        """Whether the belt drives more than one shaft."""
        return len(self.works) > 1

    def on(self, shaft: str) -> int:
        """Return the pulley on a shaft that the belt drives; the driver for any other."""
        return next((i for i in self.works if self.shafts[i] == shaft), self.driver)


class Work(NamedTuple):
    """The driven pulleys of a belt by name: the share that each takes, and the shaft that it drives (None: not known).

    ``main`` is the one with the largest share.
    """

    shares: dict[str, float]
    shafts: dict[str, str | None]
    main: str


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


def shafts_driven(reader: Reader, stage: str) -> tuple[str, ...]:
    """Return the shafts that a stage is said to drive; several where one belt drives several."""
    at = f"stage[{stage}]"
    own = (reader.get(f"{at}.pulley[{name}].drives") for name in reader.names(f"{at}.pulley"))
    return tuple(dict.fromkeys(shaft for shaft in (reader.get(f"{at}.to"), *own) if shaft))


def working(reader: Reader, at: str) -> tuple[str, ...]:
    """Return the names of the pulleys that a belt is said to drive, whether all of each is known or not."""
    driven = reader.get(f"{at}.driven")
    said = {n: [reader.get(f"{at}.pulley[{n}].{k}") for k in ("drives", "share")] for n in reader.names(f"{at}.pulley")}
    return tuple(n for n, (shaft, share) in said.items() if n == driven or shaft is not None or share is not None)


def drives_unsaid(reader: Reader, stage: str) -> tuple[str, ...]:
    """Return the keys that would say which shafts the driven pulleys of a stage turn, of those that do not say it.

    Where the shares that are written down leave something, any pulley may take it that is not said to be another part.
    """
    at = f"stage[{stage}]"
    named, others = working(reader, at), [reader.get(f"{at}.{key}") for key in ("driver", "driven", "takeup.idler")]
    shares = [reader.si(f"{at}.pulley[{name}].share") for name in named]
    if shares and None not in shares and sum(shares) < 1.0 - SHARES_OFF:
        named = reader.names(f"{at}.pulley")
    return reader.unknown(*(f"{at}.pulley[{name}].drives" for name in named if name not in others))


def read_work(reader: Reader, at: str) -> Work:
    """Read what each driven pulley of the belt stage at ``at`` takes, and which shaft it drives.

    Raises
    ------
    Unknown
        Naming the pulleys' shafts and shares that are not known, or the driven pulley.
    OutOfRange
        Where the shares do not add up to 1, or those that are known leave nothing for the others.
    """
    names = working(reader, at)
    if not names:
        reader.note_missing(f"{at}.driven")
        raise Unknown(f"{at}.driven")
    driven, to = reader.get(f"{at}.driven"), reader.get(f"{at}.to")
    shafts = {n: reader.get(f"{at}.pulley[{n}].drives") or (to if n == driven else None) for n in names}
    shares = {n: reader.si(f"{at}.pulley[{n}].share", 1.0 if len(names) == 1 else None) for n in names}
    missing = [f"{at}.pulley[{n}].share" for n, share in shares.items() if share is None]
    each = ", ".join(f"{n} {share:g}" for n, share in shares.items() if share is not None)
    total = sum(share for share in shares.values() if share is not None)
    if missing and total >= 1.0:
        left = ", ".join(n for n, share in shares.items() if share is None)
        raise OutOfRange(
            f"the shares of the driven pulleys that are known ({each}) add up to {total:.4g}, which leaves nothing for "
            f"{left}; all must add up to 1"
        )
    missing += [f"{at}.pulley[{n}].drives" for n, shaft in shafts.items() if shaft is None and n != driven]
    if to is not None and to not in shafts.values():
        # a shaft that the stage is said to drive, and no pulley of it is said to
        missing.append(f"{at}.driven")
    if missing:
        reader.note_missing(*missing)
        raise Unknown(*missing)
    if abs(total - 1.0) > SHARES_OFF:
        raise OutOfRange(f"the shares of the driven pulleys ({each}) add up to {total:.4g}; they must add up to 1")
    return Work(
        {n: share / total for n, share in shares.items()}, shafts, list(shares)[first_most(list(shares.values()))]
    )


def read_pulleys(reader: Reader, at: str) -> Pulleys:
    """Read the pulleys of the belt stage at ``at``, with their pitch and rim radii.

    Raises
    ------
    Unknown
        Naming every diameter, kind of diameter or role that is not known.
    OutOfRange
        Where the shares of several driven pulleys do not add up to 1.
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
        # which diameter it is stands in question once one is written down
        wanted = {"diameter": size} if size is None else {"measured_as": line}
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
    driver, work = reader.get(f"{at}.driver"), None
    missing += [f"{at}.driver"] if driver is None else []
    try:
        work = read_work(reader, at)
    except Unknown as unknown:
        missing += unknown.keys
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
        driven=names.index(work.main),
        crossed=bool(reader.get(f"{at}.crossed")),
        materials=tuple(reader.get(f"{at}.pulley[{n}].material") for n in names),
        shares=tuple(work.shares.get(n, 0.0) for n in names),
        shafts=tuple(work.shafts.get(n) for n in names),
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

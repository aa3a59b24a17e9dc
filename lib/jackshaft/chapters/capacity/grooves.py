"""Home-turned and worn grooves: where the belt rides, and what that makes of the diameter."""

from __future__ import annotations

import numpy as np

from jackshaft import tables
from jackshaft.chapters.capacity import groove_forms
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.mechanics import diameters
from jackshaft.parts.belt_stage import ANGLE_OFF, groove_row, section_row, turned
from jackshaft.results.checks import CAUTION, GO, Table, grade
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number
from jackshaft.units import at_most

#: How far off a ride-out is read with calipers: common practice, no source.
READ = 0.25e-3

LOOK_UP = " That angle was not seen in print: look it up before you turn anything."


def printed_angle(row: tables.Row) -> bool:
    """Return whether a groove's angle was read in print: only then is it a number to cut by."""
    return row["angle_known"] == "read"


def standard_groove(layout: StageLayout, section: tables.Row, name: str) -> tables.Row | None:
    """Return the table's groove for a pulley, which goes by its datum diameter whatever line it was measured on."""
    pitch = 2 * float(layout.pulleys.pitch[layout.pulleys.names.index(name)])
    return groove_row(section, pitch - (section["pitch_minus_reference_mm"] or 0.0) * 1e-3)


def judge(draft: Draft, reader: Reader, layout: StageLayout, *, full: bool = True) -> None:
    """Add what there is to say about the grooves of one loop."""
    at = f"stage[{layout.name}]"
    section = section_row(reader, at)
    if section is None:
        return
    if full:
        draft.tables.append(_lines(reader, layout, section))
        draft.tables.append(groove_forms.table(reader, layout, section))
    for k, name in enumerate(layout.pulleys.names):
        if layout.pulleys.flat[k]:
            continue
        _angle(draft, reader, layout, section, name)
        _wear(draft, reader, layout, section, name)


def _lines(reader: Reader, layout: StageLayout, section: tables.Row) -> Table:
    """Return every pulley's diameter on its lines."""
    rows, p = [], layout.pulleys

    def length(si: float, words: str = "{}", **how) -> Number:
        return reader.number(si, "length", words, digits=4, **how)

    for k, name in enumerate(p.names):
        here = f"stage[{layout.name}].pulley[{name}]"
        size, line = reader.si(f"{here}.diameter"), reader.get(f"{here}.measured_as")
        groove = turned(reader, here, size, section) if line == "outside" and not p.flat[k] else None
        minus = section["pitch_minus_reference_mm"]
        reference = "" if p.flat[k] or minus is None else length(2 * p.pitch[k] - minus * 1e-3)
        how = "its own groove" if groove is not None else "flat" if p.flat[k] else "standard groove"
        rows.append(
            (
                name,
                length(size, f"{{}} {line}", known=reader.how(f"{here}.diameter")),
                length(2 * p.outside[k]),
                reference,
                length(2 * p.pitch[k]),
                how,
            )
        )
    word = section["reference_line"]
    return Table(
        f"{layout.name}: diameters on every line",
        ("pulley", "measured", "outside", word, "pitch (cord line)", "by"),
        tuple(rows),
        f"Speed goes by the pitch diameter, pulleys are sold by their {word} one, calipers read the outside. A "
        "groove that was turned at home has its own pitch diameter: give its top width and angle.",
    )


def _angle(draft: Draft, reader: Reader, layout: StageLayout, section: tables.Row, name: str) -> None:
    here = f"stage[{layout.name}].pulley[{name}]"
    angle = reader.si(f"{here}.groove_angle")
    row = None if angle is None else standard_groove(layout, section, name)
    if row is None or row["angle_deg"] is None:
        return
    wanted = float(np.radians(row["angle_deg"]))
    good = at_most(abs(angle - wanted), ANGLE_OFF)
    draft.check(
        f"capacity.groove-angle[{layout.name}, {name}]",
        f"{layout.name}: groove angle of {name}",
        found=reader.number(angle, "angle", known=reader.how(f"{here}.groove_angle")),
        wanted=reader.number(
            wanted,
            "angle",
            f"{{}} ± {reader.show(ANGLE_OFF, 'angle')}",
            low=wanted - ANGLE_OFF,
            high=wanted + ANGLE_OFF,
            source=row.source,
        ),
        verdict=GO if good else CAUTION,
        reason=f"A bent belt bulges at its sides: section {section['section']} needs {reader.show(wanted, 'angle')} "
        f"on a pulley of this size.{'' if printed_angle(row) else LOOK_UP}",
        remedy=""
        if good
        else "Turn the groove to the angle that its maker or the standard prints, or the belt carries on one edge of "
        "its sides and wears there.",
        source=row.cite,
    )


def _wear(draft: Draft, reader: Reader, layout: StageLayout, section: tables.Row, name: str) -> None:
    here = f"stage[{layout.name}].pulley[{name}]"
    ride, size, line = reader.si(f"{here}.ride_out"), reader.si(f"{here}.diameter"), reader.get(f"{here}.measured_as")
    if ride is None or size is None:
        return
    found = ride_out_new(reader, here, size, line, section)
    if found is None:
        return
    new, angle = found
    joined = tables.table("belt_limits").one(item="groove wall wear, single belt")
    limit = joined["high"] * 1e-3
    now = diameters.groove_wear.si(ride, ride_out_new=new, angle=angle, limit=limit)
    bad = diameters.groove_wear.si(ride - READ, ride_out_new=new, angle=angle, limit=limit)
    sunk = float(now.sunk)

    def short(si: float) -> str:
        return reader.show(si, "length", digits=2)

    verdict = grade(likely=float(now.wall), bad=float(bad.wall), limit=limit, higher_is_better=False)
    draft.check(
        f"capacity.groove-wear[{layout.name}, {name}]",
        f"{layout.name}: wear of the groove of {name}",
        found=reader.number(
            now.wall, "length", "{} a wall", digits=2, high=float(bad.wall), known=reader.how(f"{here}.ride_out")
        ),
        wanted=reader.number(limit, "length", "{} or less", digits=2, source=joined.source),
        verdict=verdict,
        reason=f"A new belt should stick {short(new)} out of this groove. It sticks {short(ride)} out, so it has sunk "
        f"{short(sunk)} and runs on a pitch diameter that is {short(2 * sunk)} smaller. Once it touches the bottom, "
        "the wedge is gone.",
        remedy=""
        if verdict == GO
        else "Turn the groove true and give its new size, or replace the pulley. Measure "
        "with a new belt: a worn one sinks too.",
        source=joined.cite,
    )


def ride_out_new(
    reader: Reader, here: str, size: float, line: str | None, section: tables.Row
) -> tuple[float, float] | None:
    """Return how far a new belt stands out of a sound groove, m, and the groove's angle; None where not known."""
    groove = turned(reader, here, size, section) if line == "outside" else None
    if groove is not None:
        return float(groove.ride_out), reader.si(f"{here}.groove_angle")
    row = groove_row(section, size)
    if row is None or row["above_reference_mm"] is None or section["reference_width_mm"] is None:
        return None
    half = np.radians(section["angle_deg"]) / 2
    above = 0.5 * (section["top_width_mm"] - section["reference_width_mm"]) / np.tan(half)
    return float(above - row["above_reference_mm"]) * 1e-3, float(np.radians(row["angle_deg"]))


__all__ = ["judge", "printed_angle", "ride_out_new"]

"""What a pulley sheet holds: its grooves, the measure over rods, bore and keyway, and how they are turned, SI units."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import product
from typing import NamedTuple

from jackshaft import tables
from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.buildfile.naming import named
from jackshaft.mechanics import grooves
from jackshaft.parts.belt_stage import Pulleys, belts_of, groove_row, section_row
from jackshaft.results.reader import Reader
from jackshaft.results.running import Results
from jackshaft.sheets.bore import Bore
from jackshaft.sheets.mounting import mounting_of
from jackshaft.sheets.rim import rim_words
from jackshaft.sheets.words import CARE, by_memory, plain, stops, unsure
from jackshaft.units import OutOfRange, at_most, show

MM = 1e-3
#: What a rim is cut as in the table of cutting speeds: of several kinds the slowest, as the build does not say which.
CUT_AS = {
    "steel": "medium-carbon steel 1045",
    "cast iron": "grey iron, hard",
    "aluminium": "aluminium 6061",
    "plastic": "plastics",
}
MEMORY = "ESTIMATE: ANSI/RMA IP-20, table 9 notes, from memory; a closer limit of its maker goes first"
#: What tells whether a groove that is from memory is right, before good metal is cut.
TRY_IT = (
    "Before you cut: take angle, width and depth for this diameter from the belt maker's list, or cut a trial "
    "groove in scrap. A piece of new belt must bear on both flanks, clear the bottom, and stand about level with the "
    "rim."
)
TURNED = "turned here"


#: Rods and drills go in such steps, m: common practice, no source.
STEP = 0.5e-3


class Size(NamedTuple):
    """One size of the sheet, m or rad; ``low`` and ``high`` are None where no limits are known."""

    what: str
    kind: str
    size: float
    low: float | None = None
    high: float | None = None
    source: str = ""


class Groove(NamedTuple):
    """The groove to cut, m and rad; ``own``: the build says its width and angle.

    ``rod`` is the table's, else the nearest that touches at the reference width; None where that width is not known.
    """

    angle: float
    top_width: float
    depth: float
    spacing: float | None
    edge: float | None
    rod: float | None
    own: bool
    row: tables.Row

    @property
    def bottom(self) -> float:
        """How wide the groove is at its depth, m; below nought where its flanks meet before."""
        return self.top_width - 2 * self.depth * math.tan(self.angle / 2)


class Sheet(NamedTuple):
    """One grooved pulley; ``turned`` tells whether it is made here, else it is bought and checked against the sheet."""

    build: str
    fingerprint: str
    stage: str
    pulley: str
    turned: bool
    material: str | None
    grooves: int
    outside: float
    reference: float
    pitch: float
    groove: Groove
    bore: Bore | None
    sizes: tuple[Size, ...]
    cut: tables.Row | None
    warnings: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def title(self) -> str:
        """What stands at the head of the page."""
        what = "to turn" if self.turned else "bought: check against"
        return f"{self.build} · {self.fingerprint} · {self.stage}, {named('pulley', self.pulley)} · {what}"

    @property
    def face(self) -> float | None:
        """Width over all grooves, m; None where no table gives how far apart they are."""
        g = self.groove
        return None if g.edge is None or g.spacing is None else (self.grooves - 1) * g.spacing + 2 * g.edge


def pulley_sheets(results: Results) -> Iterator[Sheet]:
    """Yield a sheet for each pulley with grooves that a table holds, the idlers of a belt last."""
    reader = Reader(results.build)
    for stage, p, i in pulleys_of(results):
        if not p.flat[i] and _row(reader, stage, p, i) is not None:
            yield _sheet(results, reader, stage, p, i)


def without_pulley_sheet(results: Results) -> tuple[str, ...]:
    """Return the pulleys that have no sheet, because their grooves are in no table."""
    reader = Reader(results.build)
    return tuple(
        f"{plain(stage)}, {named('pulley', plain(p.names[i]))}"
        for stage, p, i in pulleys_of(results)
        if not p.flat[i] and _row(reader, stage, p, i) is None
    )


def pulleys_of(results: Results) -> Iterator[tuple[str, Pulleys, int]]:
    """Yield each pulley of each belt: its stage, the stage's pulleys, and which of them it is; the idlers last."""
    ratio, seen = results.chapters["ratio"].data, set()
    for stage in () if ratio is None else ratio.stages:
        if stage.pulleys is not None and stage.name not in seen:
            seen.add(stage.name)
            p = stage.pulleys
            order = dict.fromkeys((*p.powered, *range(len(p.names))))
            yield from ((stage.name, p, i) for i in order)


def _row(reader: Reader, stage: str, p: Pulleys, i: int) -> tables.Row | None:
    """Return the groove of a pulley, None where no table has all that it takes to cut it."""
    section = section_row(reader, f"stage[{stage}]")
    row = None if section is None else groove_row(section, _reference(p, i, section))
    return row if row is not None and row["depth_min_mm"] and row["top_width_mm"] else None


def _reference(p: Pulleys, i: int, section: tables.Row) -> float:
    return 2 * float(p.pitch[i]) - (section["pitch_minus_reference_mm"] or 0.0) * MM


def _sheet(results: Results, reader: Reader, stage: str, p: Pulleys, i: int) -> Sheet:
    at, build = f"stage[{stage}]", results.build
    here, section = f"{at}.pulley[{p.names[i]}]", section_row(reader, at)
    outside, reference = 2 * float(p.outside[i]), _reference(p, i, section)
    row = groove_row(section, reference)
    groove = _groove(reader, here, row, outside - reference)
    mounting = mounting_of(results, reader, stage, p, i)
    bore, made = mounting.bore, reader.get(f"{here}.made")
    rim = tuple(rim_words(results, reader, mounting, p, i, here))
    sheet = Sheet(
        build=plain(build.name or build.file),
        fingerprint=fingerprint(build),
        stage=plain(stage),
        pulley=plain(p.names[i]),
        turned=made == TURNED or (made is None and groove.own),
        material=p.materials[i],
        grooves=belts_of(reader, at),
        outside=outside,
        reference=reference,
        pitch=2 * float(p.pitch[i]),
        groove=groove,
        bore=bore,
        sizes=(),
        cut=cut_row(p.materials[i]),
        warnings=(),
        notes=(*rim[1:], *filter(None, (mounting.lacks,)), *_said(made, groove.own, here)),
    )
    sure = unsure(build, here, () if bore is None else bore.keys)
    doubts = (*_off_standard(groove), *_not_ridden(reader, here, groove, section), *_by_memory(row))
    warned = (*impossible(sheet), *(r for r in rim[:1] if r), *doubts, *stops(results), *CARE)
    notes = (*sheet.notes, *sure)
    return sheet._replace(sizes=tuple(_sizes(sheet)), warnings=warned, notes=notes)


def cut_row(material: str | None) -> tables.Row | None:
    """Return the cutting speeds of what a rim is made of; None where it is not known or in no list."""
    return tables.table("cutting_speeds").one(material=CUT_AS[material]) if material in CUT_AS else None


def _said(made: str | None, own: bool, here: str) -> tuple[str, ...]:
    """Return in a sentence what the sheet takes the pulley for where the build does not say."""
    if made is not None:
        return ()
    why = "its groove has a width and an angle of its own" if own else "the build does not say that it is turned"
    return (f"Taken as {'turned here' if own else 'bought'}, because {why}: {plain(here)}.made.",)


def _groove(reader: Reader, here: str, row: tables.Row, rim_over: float) -> Groove:
    """Return the groove: that of the table, or the width and angle that the build has of its own."""
    width, angle = reader.si(f"{here}.groove_top_width"), reader.si(f"{here}.groove_angle")
    own = width is not None and angle is not None
    if not own:
        width, angle = row["top_width_mm"] * MM, math.radians(row["angle_deg"])
    depth, usual = row["depth_min_mm"] * MM, row["outside_minus_reference_mm"]
    if usual is not None:
        # the belt needs its depth below the line that it rides on, wherever the rim is
        depth += (rim_over - usual * MM) / 2
    spacing, edge, rod = (None if row[k] is None else row[k] * MM for k in ("pitch_mm", "edge_mm", "rod_mm"))
    if rod is None and row["reference_width_mm"] is not None:
        rod = STEP * round(row["reference_width_mm"] * MM / math.cos(angle / 2) / STEP)
    return Groove(angle=angle, top_width=width, depth=depth, spacing=spacing, edge=edge, rod=rod, own=own, row=row)


def _off_standard(g: Groove) -> Iterator[str]:
    """Yield a sentence where the groove of the build is not that of the standard."""
    off, limit = abs(math.degrees(g.angle) - g.row["angle_deg"]), g.row["angle_tol_deg"]
    if limit is not None and not at_most(off, limit):
        yield (
            f"The build's groove of {math.degrees(g.angle):.4g} deg is not the {g.row['angle_deg']:g} deg, plus and "
            f"minus {limit:g}, of {g.row['standard']} for this diameter: the belt bears on one edge."
        )


def _not_ridden(reader: Reader, here: str, g: Groove, section: tables.Row) -> Iterator[str]:
    """Yield a sentence where the ratio does not count where the belt rides in the groove of the build."""
    if not g.own:
        return
    why = ""
    if reader.get(f"{here}.measured_as") != "outside":
        why = "its diameter is not written down as outside"
    elif section["reference_width_mm"] is None:
        why = "no table has the reference width of this section"
    if why:
        line = g.row["diameter_line"]
        yield (
            f"The build has a groove of its own, but {why}: the {line} and pitch diameters here are those of the "
            "standard's groove."
        )


def _by_memory(row: tables.Row) -> Iterator[str]:
    """Yield what is doubtful of a groove that was not read in its source, and how to try it."""
    doubts = by_memory(row, "the groove")
    if doubts:
        yield from doubts
        yield f"{row['note']}. {TRY_IT}" if row["note"] else TRY_IT


def impossible(sheet: Sheet) -> tuple[str, ...]:
    """Return a sentence for each thing that cannot be cut: flanks that meet, no metal below the groove, no rod."""
    g, found = sheet.groove, []
    if g.bottom <= 0:
        found.append("STOP: the flanks of the groove meet before it is deep enough.")
    if sheet.bore is not None:
        if sheet.bore.stop:
            found.append(sheet.bore.stop)
        elif wall_of(sheet) <= 0:
            what = "bore" if sheet.bore.across is None else "keyway"
            found.append(f"STOP: the {what} runs into the bottom of the groove: no wall is left.")
    return tuple(found)


def wall_of(sheet: Sheet) -> float:
    """Return the metal between the bottom of the groove and the bore, or its keyway's bottom, m."""
    return sheet.outside / 2 - sheet.groove.depth - sheet.bore.bottom


def rods_of(sheet: Sheet) -> tuple[grooves.OverRods, float | None, float | None] | None:
    """Return the measure over rods, and the least and most that a rod may stand out of the rim, m.

    None where the tables have no rod, or it does not lie in the groove; no limits where no tolerances are known.
    """
    g = sheet.groove
    if g.rod is None:
        return None
    off_width, off_angle, row_least = (g.row[k] for k in ("top_width_tol_mm", "angle_tol_deg", "rod_above_outside_mm"))
    try:
        drawn = grooves.over_rods.si(sheet.outside, top_width=g.top_width, angle=g.angle, rod=g.rod)
        if off_width is None or off_angle is None:
            return drawn, None, None
        ends = [
            grooves.over_rods.si(
                sheet.outside,
                top_width=g.top_width + w * off_width * MM,
                angle=g.angle + a * math.radians(off_angle),
                rod=g.rod,
            ).stands
            for w, a in product((-1, 1), repeat=2)
        ]
    except OutOfRange:
        return None
    # of the standard's own groove the least is printed
    return drawn, min(ends) if g.own or row_least is None else row_least * MM, max(ends)


def _sizes(sheet: Sheet) -> Iterator[Size]:
    g, row, printed = sheet.groove, sheet.groove.row, tables.printed_in(sheet.groove.row.cite)
    cut = f"size of the build; limits as for the groove in {printed}" if g.own else printed

    def around(what: str, kind: str, size: float, plus, minus, whose: str = printed) -> Size:
        unit = MM if kind == "length" else math.radians(1.0)
        known = plus is not None and minus is not None
        ends = (size - minus * unit, size + plus * unit) if known else (None, None)
        return Size(what, kind, size, *ends, whose)

    yield around("groove angle, whole", "angle", g.angle, row["angle_tol_deg"], row["angle_tol_deg"], cut)
    yield around(
        "groove width at the rim", "length", g.top_width, row["top_width_tol_mm"], row["top_width_tol_mm"], cut
    )
    yield Size("groove depth from the rim, or more", "length", g.depth, g.depth, None, printed)
    yield Size("width at that depth", "length", g.bottom, None, None, "from angle, width and depth")
    if sheet.grooves > 1 and g.spacing is not None:
        yield around("groove to groove", "length", g.spacing, row["pitch_plus_mm"], row["pitch_minus_mm"])
    if g.edge is not None:
        yield around("face A to first groove", "length", g.edge, row["edge_plus_mm"], row["edge_minus_mm"])
    if sheet.face is not None:
        yield Size("face, over all", "length", sheet.face, None, None, "from the two above")
    yield Size("rim, outside", "length", sheet.outside, None, None, "the build")
    yield Size(f"{row['diameter_line']} diameter", "length", sheet.reference, None, None, "the build; not to be cut")
    yield Size("pitch diameter", "length", sheet.pitch, None, None, "the build; not to be cut")
    if rods := rods_of(sheet):
        drawn, low, high = rods
        whose = "rod chosen to touch at the reference width" if row["rod_mm"] is None else f"rod by {printed}"
        most = None if high is None else (sheet.outside + 2 * low, sheet.outside + 2 * high)
        yield Size(f"over two rods of {show(g.rod, 'length', 'metric')}, rim as drawn", "length", drawn.over,
                   *(most or (None, None)), f"worked out from width and angle; {whose}")  # fmt: skip
        yield Size("one rod beyond the rim as measured", "length", drawn.stands, low, high, "the same")
    if sheet.bore is not None:
        yield from bore_sizes(sheet.bore)
        yield Size("wall left below the groove", "length", wall_of(sheet), None, None, "from the sizes above")
    yield from run_out(sheet.outside)


def run_out(outside: float) -> Iterator[Size]:
    """Yield how far a rim of this diameter, m, may run out and wobble."""
    run = grooves.run_out_si(outside)
    yield Size("run-out of the rim on a dial, or less", "length", run.rim, None, run.rim, MEMORY)
    if run.wobble is not None:
        yield Size("wobble of face A on a dial, or less", "length", run.wobble, None, run.wobble, MEMORY)


def bore_sizes(b: Bore) -> Iterator[Size]:
    """Yield the sizes of a bore and its keyway."""
    ends = (None, None) if b.limits is None else (b.limits.lower, b.limits.upper)
    yield Size("bore", "length", b.size, *ends, b.whose)
    if b.width is not None:
        ends = (None, None) if b.width_limits is None else (b.width_limits.lower, b.width_limits.upper)
        whose = "fit it to the key in hand" if b.width_limits is None else (
            f"JS9, common practice: {tables.printed_in(b.width_limits.cite)}")  # fmt: skip
        yield Size("keyway, width", "length", b.width, *ends, whose)
        yield Size("keyway, its bottom to the far side", "length", b.across, None, None, b.source)
        yield Size("keyway, depth at its side", "length", b.deep, None, None, "the same, less the bore's chord")


__all__ = [
    "Groove",
    "Sheet",
    "Size",
    "bore_sizes",
    "cut_row",
    "impossible",
    "pulley_sheets",
    "pulleys_of",
    "rods_of",
    "run_out",
    "wall_of",
    "without_pulley_sheet",
]

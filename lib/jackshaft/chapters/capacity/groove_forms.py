"""The grooves that a printed table has for the pulleys of a loop: what to turn them to, or to check them by."""

from __future__ import annotations

from jackshaft import tables
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.parts.belt_stage import groove_row
from jackshaft.results.checks import Table
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number

#: Forms of groove: a deep one is for belts that twist or come in at an angle, a combination one takes either belt.
FORMS = ("standard", "deep", "A/B combination")

COLUMNS = (
    "pulley",
    "groove",
    "angle",
    "width at the rim",
    "depth at least",
    "groove to groove",
    "edge to groove",
    "rod in the groove",
    "source",
)


def table(reader: Reader, layout: StageLayout, section: tables.Row) -> Table:
    """Return the grooves of a section that were read in print for each grooved pulley; none that is from memory."""
    found: dict[tables.Row, list[str]] = {}
    for k, name in enumerate(layout.pulleys.names):
        if layout.pulleys.flat[k]:
            continue
        for form in FORMS:
            row = _row(section, layout, k, form)
            if row is not None and row.known == "read" and row["angle_known"] == "read":
                found.setdefault(row, []).append(name)
    return Table(
        f"{layout.name}: grooves to turn or to check by",
        COLUMNS,
        tuple((", ".join(names), *_cells(reader, row)) for row, names in found.items()),
        "Figures of the standard, as a printed table has them. The angle goes by the pulley's size."
        if found
        else f"No printed table of the grooves of section {section['section']} was read. Turn none from memory: ask "
        "the belt's maker for the groove.",
        aside=True,
    )


def _row(section: tables.Row, layout: StageLayout, k: int, form: str) -> tables.Row | None:
    """Return the groove of one form for a pulley, looked up on the line that the form's table goes by."""
    outside, pitch = 2 * layout.pulleys.outside[k], 2 * layout.pulleys.pitch[k]
    datum = pitch - (section["pitch_minus_reference_mm"] or 0.0) * 1e-3
    row = groove_row(section, datum, form)
    return groove_row(section, outside, form) if row is not None and row["diameter_line"] == "outside" else row


def _cells(reader: Reader, row: tables.Row) -> tuple:
    """Return what is turned of a groove, each with its allowance, and the source."""

    def length(column: str, digits: int = 4) -> str:
        return reader.show(row[column] * 1e-3, "length", digits=digits)

    def size(column: str, plus: str = "", minus: str = "") -> Number | str:
        if row[column] is None:
            return ""
        more, less = (row[c] if c else None for c in (plus, minus or plus))
        words = "{}"
        if more and less:
            words += f" ± {length(plus, 2)}" if more == less else f" +{length(plus, 2)} −{length(minus, 2)}"
        return reader.number(row[column] * 1e-3, "length", words, digits=4)

    rod = ""
    if row["rod_mm"] and row["rod_above_outside_mm"]:
        rod = f"{length('rod_mm')} stands {length('rod_above_outside_mm')} over the rim"
    tolerance = f" ± {row['angle_tol_deg']:g}°" if row["angle_tol_deg"] else ""
    return (
        row["groove"],
        f"{row['angle_deg']:g}°{tolerance}",
        size("top_width_mm", "top_width_tol_mm"),
        size("depth_min_mm"),
        size("pitch_mm", "pitch_plus_mm", "pitch_minus_mm"),
        size("edge_mm", "edge_plus_mm", "edge_minus_mm"),
        rod,
        tables.in_words(row.cite),
    )

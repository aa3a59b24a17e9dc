"""A shaft sheet as one page of PDF: side view to scale, lengths from the left end, limits, boxes for as made."""

from __future__ import annotations

import textwrap
from typing import NamedTuple

from matplotlib.axes import Axes
from matplotlib.patches import Rectangle

from jackshaft.sheets.cutting import spindle
from jackshaft.sheets.drawn_pages import one_page
from jackshaft.sheets.shaft import Sheet
from jackshaft.sheets.words import both
from jackshaft.units import INCH, fraction

MM = 1e3
#: Widths and heights of the papers, mm, on their side.
PAPERS = {"A4": (297.0, 210.0), "Letter": (279.4, 215.9)}
MARGIN = 12.0  # mm
VIEW = 46.0  # mm, height that the side view may take
#: Scales of ISO 5455: what is drawn over what is made.
SCALES = (1.0, 1 / 2, 1 / 5, 1 / 10, 1 / 20, 1 / 50)
APART = 4.5  # mm between two lengths below the view
HEADS = ("", "what", "from the left end", "size", "limits, and whose", "as made")
#: Where the columns begin, as shares of the width, and how many letters of the small print they take.
COLUMNS = (0.0, 0.04, 0.17, 0.36, 0.55, 0.85)
LETTERS = (4, 27, 37, 37, 62, 0)


class Row(NamedTuple):
    """One row of the table, as its columns."""

    mark: str
    what: str
    place: str
    size: str
    limits: str


def pdf_of(sheet: Sheet, paper: str) -> bytes:
    """Return the page of a shaft."""
    width, height = PAPERS[paper]
    return one_page("shaft sheet", sheet.title, (width, height), lambda page: _fill(page, sheet, width, height))


def rows_of(sheet: Sheet) -> list[Row]:
    """Return the rows of the table: steps, bearing seats, keyseats."""
    rows = []
    for k, s in enumerate(sheet.steps, 1):
        bore = f"; bore {both(s.bore)}" if s.bore else ""
        limits = "; ".join(filter(None, ("nominal", spindle(sheet.cut, s.diameter))))
        rows.append(Row(f"D{k}", "diameter", f"{both(s.start)} to {both(s.end)}", both(s.diameter) + bore, limits))
    for k, s in enumerate(sheet.seats, 1):
        size = "limits not known" if s.low is None else f"{s.fit}: {exact(s.low)} to {exact(s.high)}"
        source = s.source or "take them from the bearing's maker"
        rows.append(Row(f"B{k}", f"seat of {s.name}", f"middle {both(s.at)}", size, source))
    for k, s in enumerate(sheet.keyseats, 1):
        size = "width not known" if s.width is None else f"{both(s.width)} wide, {both(s.depth)} deep at the side"
        if s.across is not None:
            size += f", {both(s.across)} from its bottom to the far side"
        long = "length not known" if s.length is None else f"key {both(s.length)} long"
        rows.append(Row(f"K{k}", s.name, f"middle {both(s.at)}, {long}", size, s.source))
    return rows


def _fill(page: Axes, sheet: Sheet, width: float, height: float) -> None:
    y = height - MARGIN
    page.text(MARGIN, y, textwrap.shorten(sheet.title, 120), fontsize=11, weight="bold", va="top")
    y -= 6.5
    for words in sheet.warnings[:4]:
        page.text(MARGIN, y, textwrap.shorten(words, 150), fontsize=7.5, va="top", color="red")
        y -= 3.6
    if len(sheet.warnings) > 4:
        page.text(MARGIN, y, f"And {len(sheet.warnings) - 4} more: see `check`.", fontsize=7.5, va="top", color="red")
        y -= 3.6
    y = _view(page, sheet, width - 2 * MARGIN, y - 4.0)
    y = _table(page, rows_of(sheet), width - 2 * MARGIN, y - 2.0, _foot(page, sheet, width - 2 * MARGIN))


def scale_of(sheet: Sheet, width: float) -> float:
    """Return the largest scale at which the shaft fits the page; beyond the last one it is drawn as it fits."""
    tall = max(s.diameter for s in sheet.steps) * MM
    fits = min(width / (sheet.length * MM), VIEW / tall)
    return next((s for s in SCALES if s <= fits), fits)


def _view(page: Axes, sheet: Sheet, width: float, top: float) -> float:
    """Draw the side view and the lengths below it, and return how far down the page it comes, mm."""
    scale = scale_of(sheet, width) * MM
    tall = max(s.diameter for s in sheet.steps) * scale
    left, middle = MARGIN + (width - sheet.length * scale) / 2, top - 6.0 - tall / 2
    ends = {0.0, *(s.end for s in sheet.steps), *(s.at for s in (*sheet.seats, *sheet.keyseats))}
    for k, s in enumerate(sheet.steps, 1):
        x, high = left + s.start * scale, s.diameter * scale
        page.add_patch(Rectangle((x, middle - high / 2), (s.end - s.start) * scale, high, fill=False, linewidth=0.9))
        if s.bore:
            for sign in (-1, 1):
                y = middle + sign * s.bore / 2 * scale
                page.plot([x, left + s.end * scale], [y, y], color="0.3", linewidth=0.5, linestyle=(0, (4, 3)))
        page.text(left + (s.start + s.end) / 2 * scale, middle - high / 2 + 2, f"D{k}", fontsize=6.5, ha="center")
    page.plot(
        [left - 4, left + sheet.length * scale + 4], [middle, middle], color="0.4", lw=0.4, linestyle=(0, (9, 2, 2, 2))
    )
    for k, s in enumerate(sheet.seats, 1):
        x = left + s.at * scale
        if s.width is not None and s.high is not None:
            wide, high = s.width * scale, s.high * scale
            page.add_patch(Rectangle((x - wide / 2, middle - high / 2), wide, high, color="tab:blue", alpha=0.18, lw=0))
        page.text(x, middle + tall / 2 + 1.5, f"B{k}", fontsize=7, ha="center", color="tab:blue")
    for k, s in enumerate(sheet.keyseats, 1):
        x = left + s.at * scale
        if s.width is not None and s.length is not None:
            long, wide = s.length * scale, s.width * scale
            page.add_patch(Rectangle((x - long / 2, middle - wide / 2), long, wide, fill=False, lw=0.7, ec="tab:green"))
        page.text(x, middle + tall / 2 + 1.5, f"K{k}", fontsize=7, ha="center", color="tab:green")
    words = f"Scale 1:{MM / scale:.3g}. All lengths from the left end. Zero mark of the build: {both(sheet.zero)}."
    page.text(MARGIN, top + 1.5, words, fontsize=7.5, va="top")
    return _lengths(page, sorted(ends), left, scale, middle - tall / 2)


def _lengths(page: Axes, ends: list[float], left: float, scale: float, y: float) -> float:
    """Draw the lengths below the view, none on another, each with a line to its place."""
    at = [left + end * scale for end in ends]
    spread = list(at)
    for k in range(1, len(spread)):
        spread[k] = max(spread[k], spread[k - 1] + APART)
    # what was pushed to the right goes back by half, so that the labels stay under their places
    back = max((s - a for s, a in zip(spread, at, strict=True)), default=0.0) / 2
    for end, x, label in zip(ends, at, spread, strict=True):
        label = max(label - back, MARGIN)
        page.plot([x, x, label], [y - 0.5, y - 3, y - 7], color="0.3", linewidth=0.4)
        page.text(label, y - 8, both(end), fontsize=6, rotation=90, ha="center", va="top")
    return y - 8 - 31.0


def _table(page: Axes, rows: list[Row], width: float, top: float, bottom: float) -> float:
    cells = [[textwrap.wrap(t, n) or [""] for t, n in zip(row, LETTERS, strict=False)] for row in rows]
    lines = sum(max(len(c) for c in row) + 0.9 for row in cells) + 1.6
    line = min(3.1, (top - bottom) / lines)
    size, y = 6.3 * line / 3.1, top
    x = [MARGIN + share * width for share in COLUMNS]
    for at, words in zip(x, HEADS, strict=True):
        page.text(at, y, words, fontsize=size + 0.5, weight="bold", va="top")
    y -= 1.5 * line
    for row in cells:
        page.plot([MARGIN, MARGIN + width], [y + 0.2 * line] * 2, color="0.7", linewidth=0.3)
        for at, cell in zip(x, row, strict=False):
            page.text(at, y - 0.1 * line, "\n".join(cell), fontsize=size, va="top", linespacing=1.25)
        tall = (max(len(c) for c in row) + 0.9) * line
        page.add_patch(Rectangle((x[-1], y - tall + 0.5 * line), MARGIN + width - x[-1], tall - 0.6 * line,
                                 fill=False, linewidth=0.5))  # fmt: skip
        y -= tall
    return y


def _foot(page: Axes, sheet: Sheet, width: float) -> float:
    """Write the bar, the notes and the boxes at the foot, and return how high they come, mm."""
    notes = [
        f"Material: {sheet.material}. The bar must clean up at {both(sheet.needed)}: {bar_words(sheet)}. Bar sizes are "
        "common practice, no source; drawn bar runs under its size, so ask the counter. "
        f"Length {both(sheet.length)}; add what facing and holding take.",
        *sheet.notes,
    ]
    wrapped = [part for note in notes for part in textwrap.wrap(note, int(width / 1.28))]
    for k, words in enumerate(reversed(wrapped)):
        page.text(MARGIN, MARGIN + 11.0 + 3.2 * k, words, fontsize=6.5)
    for k, words in enumerate(("Made by", "Date", "Measured by", "Date")):
        page.text(MARGIN + k * width / 4, MARGIN + 3.0, words, fontsize=7)
        page.add_patch(Rectangle((MARGIN + k * width / 4 + 18, MARGIN), width / 4 - 22, 8, fill=False, linewidth=0.6))
    return MARGIN + 12.0 + 3.2 * len(wrapped) + 2.0


def bar_words(sheet: Sheet) -> str:
    """Return the bars to ask for, inch and metric, and how fast the first cut turns the thicker of them."""
    inch, metric = (sheet.bar(system) for system in ("inch", "metric"))
    sold = ([fraction(inch, 16)] if inch else []) + ([f"{metric * MM:.0f} mm"] if metric else [])
    if not sold:
        return "no counter keeps so thick a bar"
    turned = spindle(sheet.cut, max(filter(None, (inch, metric))))
    return f"ask for {' or '.join(sold)}" + (f", first cuts {turned}" if turned else "")


def exact(si: float) -> str:
    """Return a limit in both systems, mm to a thousandth."""
    return f"{si * MM:.3f} mm ({si / INCH:.5f} in)"

"""A template as PDF at 1:1, tiled over sheets of A4 or Letter with marks where they overlap."""

from __future__ import annotations

import io
import math
import textwrap
from itertools import product
from typing import NamedTuple

import numpy as np
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from matplotlib.patches import Circle, Polygon, Rectangle

from jackshaft.drawing.settings import drawing, new_figure
from jackshaft.sheets.shapes import Point, Template

INCH = 25.4  # mm
#: Sizes of the papers, mm: ISO 216 and 8.5 by 11 in.
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
MARGIN, FOOT = 12.0, 22.0  # mm; what printers leave white, and the foot of the page
OVERLAP = 10.0  # mm that two sheets have in common
#: Shares of the paper that is over which are tried to the left of the drawing and below it, the middle first.
SHARES = (0.5, 0.0, 1.0)
CROSS = 4.0  # mm, half of a centre mark
COLOURS = {"RIMS": "black", "CENTRES": "black", "PITCH": "tab:green", "SHAFTS": "tab:blue", "BELT": "tab:cyan"}
COLOURS |= {"HOLES": "black", "GUARD": "black", "NIPS": "tab:red"}
COLOURS |= {"TAKE_UP": "tab:purple", "BODIES": "tab:brown", "CHECK": "tab:red", "NOTES": "tab:red"}


class Tile(NamedTuple):
    """One sheet of the drawing: its row and column from the top left, and its lower left corner, mm."""

    row: int
    column: int
    left: float
    bottom: float


def pdf_of(template: Template, paper: str) -> bytes:
    """Return the template as pages of ``paper``: a first page that says what is on it, then the drawing at 1:1."""
    width, height = PAPERS[paper]
    window = width - 2 * MARGIN, height - MARGIN - FOOT
    tiles = tiles_of(template, window)
    out = io.BytesIO()
    with drawing("template"), PdfPages(out, metadata={"Title": template.title, "CreationDate": None}) as pages:
        pages.savefig(_first(template, paper, tiles, window))
        for number, tile in enumerate(tiles, 1):
            pages.savefig(_page(template, paper, tile, window, f"sheet {number} of {len(tiles)}"))
    return out.getvalue()


def tiles_of(template: Template, window: tuple[float, float]) -> list[Tile]:
    """Return the sheets on which something of the drawing falls, row by row from the top left.

    Those between two of a row come too: a sheet that touches no other could not be put in its place.
    """
    left, bottom, right, top = template.box
    edge = CROSS + 1.0
    left, bottom, right, top = left - edge, bottom - edge, right + edge, top + edge
    step = window[0] - OVERLAP, window[1] - OVERLAP
    columns = max(1, math.ceil((right - left - OVERLAP) / step[0]))
    rows = max(1, math.ceil((top - bottom - OVERLAP) / step[1]))
    # paper that is over goes to either side; where it goes decides how many sheets stay empty
    over = columns * step[0] + OVERLAP - (right - left), rows * step[1] + OVERLAP - (top - bottom)
    points, best = _samples(template), []
    for x, y in product(SHARES, repeat=2):
        corner = left - x * over[0], bottom - y * over[1]
        tiles = [Tile(r, c, corner[0] + c * step[0], corner[1] + (rows - 1 - r) * step[1])
                 for r in range(rows) for c in range(columns)]  # fmt: skip
        used = _used(tiles, points, window, edge)
        if not best or len(used) < len(best):
            best = used
    return best


def _used(tiles: list[Tile], points: np.ndarray, window: tuple[float, float], edge: float) -> list[Tile]:
    """Return the sheets that something falls on, and those between two of a row."""
    ends: dict[int, list[int]] = {}
    for tile in tiles:
        if _holds(tile, points, window, edge):
            ends.setdefault(tile.row, []).append(tile.column)
    return [t for t in tiles if t.row in ends and min(ends[t.row]) <= t.column <= max(ends[t.row])]


def _holds(tile: Tile, points: np.ndarray, window: tuple[float, float], edge: float) -> bool:
    """Tell whether one of the points falls on a sheet, or nearly so, mm."""
    half = np.array(window) / 2
    return bool((abs(points - (tile.left, tile.bottom) - half) <= half + edge).all(1).any())


def _samples(template: Template) -> np.ndarray:
    """Return points along all that is drawn, to 3 mm, shape (n, 2)."""
    found = [np.array([(p.x, p.y) for p in template.points])]
    for c in template.circles:
        angle = np.linspace(0.0, 2 * np.pi, 8 + int(2 * np.pi * c.radius))
        found.append(np.stack([c.x + c.radius * np.cos(angle), c.y + c.radius * np.sin(angle)], -1))
    for line in template.lines:
        ends = np.vstack([line.points, line.points[:1]]) if line.closed else line.points
        for a, b in zip(ends[:-1], ends[1:], strict=True):
            found.append(np.linspace(a, b, 2 + int(np.hypot(*(b - a)))))
    # nearer than a sheet leaves white at its edge
    return np.unique((np.vstack(found) / 3.0).round(), axis=0) * 3.0


def _paper(paper: str) -> Figure:
    width, height = PAPERS[paper]
    figure = new_figure(width / INCH, height / INCH)
    figure.set_facecolor("white")
    return figure


def _axes(figure: Figure, paper: str, at: tuple[float, float, float, float]):
    """Return bare axes that take up a rectangle of the page, mm from its lower left corner."""
    width, height = PAPERS[paper]
    x, y, w, h = at
    axes = figure.add_axes((x / width, y / height, w / width, h / height))
    axes.set_axis_off()
    return axes


def _page(template: Template, paper: str, tile: Tile, window: tuple[float, float], number: str) -> Figure:
    figure = _paper(paper)
    axes = _axes(figure, paper, (MARGIN, FOOT, *window))
    axes.set_xlim(tile.left, tile.left + window[0])
    axes.set_ylim(tile.bottom, tile.bottom + window[1])
    _draw(axes, template)
    for p in template.points:
        if 0 <= p.x - tile.left <= window[0] and 0 <= p.y - tile.bottom <= window[1]:
            _letters(axes, p, near_edge=p.x - tile.left > 0.75 * window[0])
    _overlap_marks(axes, tile, window)
    words = f"{template.title}\n{number}, row {tile.row + 1}, column {tile.column + 1} · 1:1 on {paper}"
    foot = _axes(figure, paper, (MARGIN, 4.0, window[0], FOOT - 6.0))
    foot.set_xlim(0, window[0])
    foot.set_ylim(0, FOOT - 6.0)
    foot.text(0, 14.0, textwrap.shorten(words.splitlines()[0], 110), fontsize=7, va="top")
    foot.text(0, 10.0, words.splitlines()[1], fontsize=7, va="top")
    if template.warnings[0].startswith("STOP"):
        foot.text(
            window[0], 14.0, "A CHECK SAYS STOP: see the first page", fontsize=7, va="top", ha="right", color="red"
        )
    foot.text(0, 5.0, "Print at 100 %. This bar is 50 mm; if it is not, throw the sheet away.", fontsize=6, va="top")
    foot.plot([window[0] - 55, window[0] - 5], [6, 6], color="tab:red", linewidth=0.8, solid_capstyle="butt")
    for x in (window[0] - 55, window[0] - 5):
        foot.plot([x, x], [4, 8], color="tab:red", linewidth=0.4, solid_capstyle="butt")
    return figure


def _letters(axes, p: Point, *, near_edge: bool) -> None:
    """Write what a point is beside it: to the left near the right edge, below where the take-up stands."""
    off = (-4 if near_edge else 4, -10 if p.layer == "TAKE_UP" else 4)
    side, colour = "right" if near_edge else "left", COLOURS[p.layer]
    axes.annotate(p.words, (p.x, p.y), off, textcoords="offset points", fontsize=7, ha=side, color=colour)


def _draw(axes, template: Template, scale: float = 1.0) -> None:
    for c in template.circles:
        axes.add_patch(Circle((c.x, c.y), c.radius, fill=False, edgecolor=COLOURS[c.layer], linewidth=0.5 * scale))
    for line in template.lines:
        axes.add_patch(
            Polygon(line.points, closed=line.closed, fill=False, edgecolor=COLOURS[line.layer], linewidth=0.5 * scale)
        )
    for p in template.points:
        if p.layer == "NOTES":
            continue
        for dx, dy in ((CROSS, 0.0), (0.0, CROSS)):
            ends = [(p.x - dx, p.y - dy), (p.x + dx, p.y + dy)]
            axes.add_patch(Polygon(ends, closed=False, fill=False, edgecolor=COLOURS[p.layer], linewidth=0.4 * scale))


def _overlap_marks(axes, tile: Tile, window: tuple[float, float]) -> None:
    """Mark the middle of each overlap: a dashed line and crosses that lie on each other when the sheets are joined."""
    half = OVERLAP / 2
    low, high = np.array([tile.left, tile.bottom]) + half, np.array([tile.left, tile.bottom]) + window - half
    axes.add_patch(Rectangle(low, *(high - low), fill=False, edgecolor="0.6", linewidth=0.4, linestyle=(0, (6, 4))))
    for x in (low[0], high[0]):
        for y in (low[1], high[1]):
            axes.plot([x - 3, x + 3], [y, y], color="0.3", linewidth=0.4)
            axes.plot([x, x], [y - 3, y + 3], color="0.3", linewidth=0.4)


def _first(template: Template, paper: str, tiles: list[Tile], window: tuple[float, float]) -> Figure:
    """Draw the first page: the notes, and a small map of the sheets, which is not to scale."""
    figure = _paper(paper)
    width, height = window
    notes = _axes(figure, paper, (MARGIN, FOOT, width, height))
    notes.set_xlim(0, width)
    notes.set_ylim(0, height)
    many = f"{len(tiles)} sheets of {paper}. Lay the crosses on each other, then cut and glue."
    lines = [template.title, f"1 sheet of {paper}." if len(tiles) == 1 else many, ""]
    lines += [
        "Print at 100 %, without fitting to the page. Measure the 50 mm bar on each sheet and both check squares "
        "before you mark out.",
        *template.warnings,
        "",
        *template.notes,
    ]
    wrapped = [part for line in lines for part in (textwrap.wrap(line, 122) or [""])]
    size = min(3.6, 0.62 * height / len(wrapped))
    for k, words in enumerate(wrapped):
        notes.text(0, height - k * size, words, fontsize=size / 3.6 * 7.5, va="top", weight="bold" if k == 0 else None)
    room = height - len(wrapped) * size - 14.0
    chart = _axes(figure, paper, (MARGIN, FOOT, width, room))
    chart.set_aspect("equal")
    chart.autoscale(True)
    _draw(chart, template)
    for number, tile in enumerate(tiles, 1):
        chart.add_patch(Rectangle((tile.left, tile.bottom), *window, fill=False, edgecolor="0.6", linewidth=0.4))
        chart.text(
            tile.left + 0.5 * width, tile.bottom + 0.5 * height, str(number), fontsize=9, color="0.5", ha="center"
        )
    chart.autoscale_view()
    notes.text(0, room + 3.0, "Map of the sheets, not to scale:", fontsize=7.5)
    return figure

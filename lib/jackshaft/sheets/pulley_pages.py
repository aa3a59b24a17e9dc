"""A pulley sheet as one page of PDF: section to scale, a groove enlarged, sizes with limits, the order of the work."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Callable, Sequence
from typing import Protocol

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Circle, Polygon, Rectangle

from jackshaft.sheets.bore import Bore
from jackshaft.sheets.drawn_pages import one_page
from jackshaft.sheets.pulley import Sheet, Size
from jackshaft.sheets.turned import operations
from jackshaft.sheets.words import both

MM = 1e3
#: Widths and heights of the papers, mm, standing.
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
MARGIN = 12.0  # mm
VIEW = 56.0  # mm, height that the section may take
DETAIL = 40.0  # mm, width that the enlarged groove may take
#: Scales of ISO 5455: what is drawn over what is made.
SCALES = (10.0, 5.0, 2.0, 1.0, 1 / 2, 1 / 5, 1 / 10, 1 / 20)
LINE = 3.0  # mm, height of a line where there is room
HEADS = ("what", "size", "limits", "whose", "as made")
#: Where the columns begin, as shares of the width, and how many letters of the small print they take.
COLUMNS = (0.0, 0.22, 0.40, 0.60, 0.88)
LETTERS = (34, 28, 30, 42)
Views = Callable[[Axes, "Part", float, float], float]


class Part(Protocol):
    """What a page is filled from."""

    title: str
    warnings: tuple[str, ...]
    notes: tuple[str, ...]
    sizes: tuple[Size, ...]


def pdf_of(sheet: Sheet, paper: str) -> bytes:
    """Return the page of a pulley."""
    return part_page("pulley sheet", sheet, paper, operations(sheet), _views)


def part_page(kind: str, sheet: Part, paper: str, steps: Sequence[str], views: Views) -> bytes:
    """Return the page of a part: its warnings, its views, its sizes with limits, and what is done.

    ``views(page, sheet, width, top)`` draws below ``top``, mm, and returns how far down that comes.
    """
    width, height = PAPERS[paper]

    def fill(page: Axes) -> None:
        _fill(page, sheet, (width - 2 * MARGIN, height - MARGIN), steps, views)

    return one_page(kind, sheet.title, (width, height), fill)


def size_words(size: Size) -> tuple[str, str]:
    """Return a size and its limits in words, in both systems."""
    if size.kind == "angle":
        write = _degrees
    else:
        write = both
    ends = [write(e) for e in (size.low, size.high) if e is not None]
    if len(ends) == 2:
        return write(size.size), " to ".join(ends)
    if not ends:
        return write(size.size), "none known"
    return write(size.size), f"{ends[0]} or {'more' if size.high is None else 'less'}"


def _degrees(rad: float) -> str:
    return f"{math.degrees(rad):.2f} deg"


def _fill(page: Axes, sheet: Part, room: tuple[float, float], steps: Sequence[str], views: Views) -> None:
    width, top = room
    y = _lines(page, textwrap.wrap(sheet.title, 92), top, 10.0, weight="bold") - 1.0
    warned = [line for words in sheet.warnings for line in textwrap.wrap(words, 150)]
    if len(warned) > 7:
        warned = [*warned[:6], "There is more: see `check`.", *warned[-2:]]
    y = _lines(page, warned, y, 7.0, color="red")
    y = views(page, sheet, width, y - 2.0)
    cells, said, line = _fitted(sheet, steps, y - MARGIN - 11.0)
    y = _table(page, cells, width, y, line)
    _lines(page, said, y - line, 6.2 * line / LINE, step=line)
    for k, words in enumerate(("Made by", "Date", "Measured by", "Date")):
        page.text(MARGIN + k * width / 4, MARGIN + 3.0, words, fontsize=7)
        page.add_patch(Rectangle((MARGIN + k * width / 4 + 17, MARGIN), width / 4 - 20, 8, fill=False, linewidth=0.6))


def _fitted(sheet: Part, steps: Sequence[str], room: float) -> tuple[list, list[str], float]:
    """Return the cells of the table, what is said below it, and the height of a line, mm, at which both fit."""
    steps = [f"{k}. {words}" for k, words in enumerate(steps, 1)]
    rows, line = [(s.what, *size_words(s), s.source) for s in sheet.sizes], LINE
    for _ in range(4):
        # smaller letters go more to a line
        more = LINE / line
        said = [part for words in (*steps, *sheet.notes) for part in textwrap.wrap(words, int(152 * more))]
        cells = [[textwrap.wrap(t, int(n * more)) or [""] for t, n in zip(row, LETTERS, strict=True)] for row in rows]
        line = min(LINE, room / (sum(max(len(c) for c in row) + 0.6 for row in cells) + len(said) + 2.6))
    return cells, said, line


def _lines(page: Axes, lines: list[str], top: float, size: float, *, step: float | None = None, **look) -> float:
    """Write lines one below the other, and return how far down they come, mm."""
    step = size * 0.48 if step is None else step
    for k, words in enumerate(lines):
        page.text(MARGIN, top - k * step, words, fontsize=size, va="top", **look)
    return top - len(lines) * step


def _table(page: Axes, cells: list, width: float, y: float, line: float) -> float:
    size, x = 6.0 * line / LINE, [MARGIN + share * width for share in COLUMNS]
    for at, words in zip(x, HEADS, strict=True):
        page.text(at, y, words, fontsize=size + 0.5, weight="bold", va="top")
    y -= 1.5 * line
    for row in cells:
        tall = (max(len(c) for c in row) + 0.6) * line
        page.plot([MARGIN, MARGIN + width], [y + 0.2 * line] * 2, color="0.7", linewidth=0.3)
        for at, cell in zip(x, row, strict=False):
            page.text(at, y - 0.05 * line, "\n".join(cell), fontsize=size, va="top", linespacing=1.2)
        page.add_patch(Rectangle((x[-1], y - tall + 0.45 * line), MARGIN + width - x[-1], tall - 0.5 * line,
                                 fill=False, linewidth=0.5))  # fmt: skip
        y -= tall
    return y


def scale_for(across: float, tall: float, width: float, height: float) -> float:
    """Return the largest scale at which a thing of these sizes, mm, fits; beyond the last, the one that just does."""
    fits = min(width / across, height / tall)
    return next((s for s in SCALES if s <= fits), fits)


def outline(sheet: Sheet) -> np.ndarray | None:
    """Return the upper rim of the section as points from face A and the middle, m; None where the face is not known."""
    g, top = sheet.groove, sheet.outside / 2
    if sheet.face is None:
        return None
    found = [(0.0, 0.0), (0.0, top)]
    for k in range(sheet.grooves):
        middle = g.edge + k * (g.spacing or 0.0)
        wide, deep = g.top_width / 2, max(g.bottom, 0.0) / 2
        found += [(middle - wide, top), (middle - deep, top - g.depth), (middle + deep, top - g.depth)]
        found.append((middle + wide, top))
    return np.array([*found, (sheet.face, top), (sheet.face, 0.0)])


def _views(page: Axes, sheet: Sheet, width: float, top: float) -> float:
    """Draw the section on the left and one groove on the right; return how far down they come, mm."""
    upper, left = outline(sheet), MARGIN + 30.0
    if upper is None:
        words = "No section is drawn: no table gives the edge and the distance of these grooves."
        page.text(MARGIN, top, words, fontsize=7, va="top")
    else:
        _section(page, sheet, upper, left, top)
    tall = 0.0 if upper is None else _section_scale(sheet) * sheet.outside * MM + 14.0
    return top - max(tall, _groove(page, sheet, MARGIN + 0.72 * width, top)) - 3.0


def _section_scale(sheet: Sheet) -> float:
    return scale_for(sheet.face * MM, sheet.outside * MM, 65.0, VIEW)


def _section(page: Axes, sheet: Sheet, upper: np.ndarray, left: float, top: float) -> None:
    scale = _section_scale(sheet)
    at, half = scale * MM, sheet.outside / 2 * scale * MM
    middle = top - 7.0 - half
    right = left + sheet.face * at
    draw_section(page, upper, sheet.bore, (left, middle), at)
    words = f"Section, scale {ratio_words(scale)}. Datum: the bore, and face A."
    page.text(MARGIN, top, words, fontsize=7, va="top")
    page.text(left - 1.5, middle + half + 0.5, "A", fontsize=8, weight="bold", ha="right")
    upright(page, left - 8.0, middle - half, middle + half, "rim\n" + both(sheet.outside).replace(" (", "\n("))
    level(page, middle - half - 4.0, (left, right), f"face {both(sheet.face)}")
    if sheet.bore is not None:
        low, high = (middle + s * sheet.bore.size / 2 * at for s in (-1, 1))
        upright(page, right + 6.0, low, high, f"bore\n{both(sheet.bore.size)}", beside=True)


def draw_section(page: Axes, upper: np.ndarray, bore: Bore | None, at: tuple[float, float], scale: float) -> None:
    """Draw a section by its upper rim, m, its middle at ``at``, mm, with its bore; ``scale`` is mm for each metre."""
    left, middle = at
    for sign in (1, -1):
        points = np.column_stack([left + upper[:, 0] * scale, middle + sign * upper[:, 1] * scale])
        page.add_patch(Polygon(points, closed=False, fill=False, linewidth=0.9))
    right = left + upper[:, 0].max() * scale
    page.plot([left - 4, right + 4], [middle] * 2, color="0.4", lw=0.4, linestyle=(0, (9, 2, 2, 2)))
    if bore is not None:
        for y in (bore.bottom, bore.size / 2, -bore.size / 2):
            page.plot([left, right], [middle + y * scale] * 2, color="black", linewidth=0.7)


def _groove(page: Axes, sheet: Sheet, middle: float, top: float) -> float:
    """Draw one groove and the rod in it, and return how much height it takes, mm."""
    g = sheet.groove
    scale = scale_for(g.top_width * 1.5 * MM, g.depth * 1.7 * MM, DETAIL, VIEW - 14.0)
    at, rim = scale * MM, top - 25.0
    wide, deep, low = g.top_width / 2 * at, max(g.bottom, 0.0) / 2 * at, rim - g.depth * at
    edge = wide + 0.2 * g.top_width * at
    points = [(-edge, rim), (-wide, rim), (-deep, low), (deep, low), (wide, rim), (edge, rim)]
    page.add_patch(Polygon([(middle + x, y) for x, y in points], closed=False, fill=False, linewidth=1.0))
    page.plot([middle] * 2, [low - 3, rim + 3], color="0.4", lw=0.4, linestyle=(0, (9, 2, 2, 2)))
    if g.rod is not None:
        apex = rim - wide / math.tan(g.angle / 2)
        centre = apex + g.rod / 2 * at / math.sin(g.angle / 2)
        page.add_patch(Circle((middle, centre), g.rod / 2 * at, fill=False, linewidth=0.5, edgecolor="tab:blue"))
    page.text(
        middle - DETAIL / 2 - 4, top, f"One groove, scale {ratio_words(scale)}; blue: the rod.", fontsize=7, va="top"
    )
    level(page, rim + 12.0, (middle - wide, middle + wide), both(g.top_width), above=True)
    upright(page, middle + edge + 4.0, low, rim, f"depth\n{both(g.depth)}", beside=True)
    words = f"whole angle {_degrees(g.angle)}\nslide {_degrees(g.angle / 2)} from the cross-slide"
    page.text(middle, low - 4.0, words, fontsize=6.5, ha="center", va="top")
    return top - low + 11.0


def ratio_words(scale: float) -> str:
    """Return a scale as a drawing shows it."""
    return f"{scale:.3g}:1" if scale >= 1 else f"1:{1 / scale:.3g}"


def upright(page: Axes, x: float, low: float, high: float, words: str, *, beside: bool = False) -> None:
    """Draw an upright size, mm, with its words on the left, or ``beside`` it on the right."""
    page.annotate("", (x, low), (x, high), arrowprops={"arrowstyle": "<->", "lw": 0.5, "shrinkA": 0, "shrinkB": 0})
    if beside:
        page.text(x + 1.5, (low + high) / 2, words, fontsize=6.5, va="center")
    else:
        page.text(x - 1.5, (low + high) / 2, words, fontsize=6.5, va="center", ha="right")


def level(page: Axes, y: float, ends: tuple[float, float], words: str, *, above: bool = False) -> None:
    """Draw a level size, mm, with its words below it, or ``above``."""
    page.annotate(
        "", (ends[0], y), (ends[1], y), arrowprops={"arrowstyle": "<->", "lw": 0.5, "shrinkA": 0, "shrinkB": 0}
    )
    middle = sum(ends) / 2
    page.text(middle, y + (1.2 if above else -1.2), words, fontsize=6.5, ha="center", va="bottom" if above else "top")


__all__ = [
    "MARGIN",
    "PAPERS",
    "VIEW",
    "draw_section",
    "level",
    "outline",
    "part_page",
    "pdf_of",
    "ratio_words",
    "scale_for",
    "size_words",
    "upright",
]

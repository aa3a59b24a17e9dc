"""The sheet of a flat pulley as one page of PDF: its section to scale with what its belts take of the face."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes

from jackshaft.sheets.flat import Flat, flat_operations
from jackshaft.sheets.pulley_pages import (
    MARGIN,
    VIEW,
    draw_section,
    level,
    part_page,
    ratio_words,
    scale_for,
    upright,
)
from jackshaft.sheets.words import both

MM = 1e3


def pdf_of(flat: Flat, paper: str) -> bytes:
    """Return the page of a flat pulley."""
    return part_page("flat pulley sheet", flat, paper, tuple(flat_operations(flat)), _views)


def _views(page: Axes, flat: Flat, width: float, top: float) -> float:
    """Draw the section, and return how far down it comes, mm."""
    if flat.face is None:
        page.text(MARGIN, top, "No section is drawn: its face is not known.", fontsize=7, va="top")
        return top - 6.0
    scale = scale_for(flat.face * MM, flat.outside * MM, 65.0, VIEW)
    at, rim, half = scale * MM, flat.outside / 2, flat.outside / 2 * scale * MM
    left, middle = MARGIN + 30.0, top - 12.0 - half
    right = left + flat.face * at
    upper = np.array([(0.0, 0.0), (0.0, rim), (flat.face, rim), (flat.face, 0.0)])
    draw_section(page, upper, flat.bore, (left, middle), at)
    words = f"Section, scale {ratio_words(scale)}, at the least face. Datum: the bore, and face A. Blue: the belts."
    page.text(MARGIN, top, words, fontsize=7, va="top")
    page.text(left - 1.5, middle + half + 0.5, "A", fontsize=8, weight="bold", ha="right")
    belts = [(left + right) / 2 + s * flat.belts / 2 * at for s in (-1, 1)]
    page.plot(belts, [middle + half + 1.0] * 2, color="tab:blue", linewidth=1.6, solid_capstyle="butt")
    level(page, middle + half + 2.8, tuple(belts), f"belts {both(flat.belts)}", above=True)
    upright(page, left - 8.0, middle - half, middle + half, "rim\n" + both(flat.outside).replace(" (", "\n("))
    level(page, middle - half - 4.0, (left, right), f"face {both(flat.face)} or more")
    if flat.bore is not None:
        low, high = (middle + s * flat.bore.size / 2 * at for s in (-1, 1))
        upright(page, right + 6.0, low, high, f"bore\n{both(flat.bore.size)}", beside=True)
    return middle - half - 12.0


__all__ = ["pdf_of"]

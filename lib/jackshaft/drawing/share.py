"""One picture to send round: the drawing, the verdict and the numbers, to be read on a telephone."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.patches import Rectangle
from matplotlib.textpath import text_to_path
from PIL import Image

from jackshaft.drawing import style
from jackshaft.drawing.settings import FONT
from jackshaft.results import Results, chapters
from jackshaft.results.checks import CAUTION, GO, STOP

#: Dots of its width, dots an inch, and the dots that a telephone has across.
WIDE, DPI, PHONE = 1200, 100, 390
#: Sizes of its letters in points, the least of them last: on a telephone each has 10 dots and more.
TITLE, BAND, VALUE, NAME = 32, 27, 26, 23
#: Room between things and at the edges, inches.
GAP, EDGE = 0.22, 0.4
#: Lines that one thing may take.
LINES = 3
_COLOURS = {GO: style.GO, CAUTION: style.CAUTION, STOP: style.STOP}


class Sheet(NamedTuple):
    """What the picture says: the machine's name, its verdict in a word and in words, its numbers and what ends it."""

    name: str
    verdict: str
    words: str
    rows: Sequence[tuple[str, str]]
    foot: str


class _Block(NamedTuple):
    """Words as they stand: broken into lines, their size in points, weight and colour, and the height, inches."""

    text: str
    size: float
    weight: str
    colour: str

    @property
    def high(self) -> float:
        """How high they stand, inches."""
        return (self.text.count("\n") + 1) * 1.25 * self.size / 72


def _block(words: str, size: float, weight: str = "normal", colour: str = style.INK) -> _Block:
    free = WIDE / DPI - 2 * EDGE
    for share in (1.2, 1.1, 1.0, 0.9, 0.75, 0.6, 0.45):  # what breaks the lines counts letters; a W is two of them
        text, _ = style.wrap(words, share * free, size, LINES)
        if max(_wide(line, size, weight) for line in text.split("\n")) <= free:
            break
    return _Block(text, size, weight, colour)


def _wide(line: str, size: float, weight: str) -> float:
    """Return how wide a line of letters is, inches."""
    font = FontProperties(family=FONT, size=size, weight=weight)
    return text_to_path.get_text_width_height_descent(line, font, False)[0] / 72


def machine(results: Results) -> np.ndarray | None:
    """Return the drawing of the machine as a telephone shows it, as wide as the picture has room; None without one.

    Returns
    -------
    array or None
        Red, green and blue of each dot, shape (height, width, 3).
    """
    found, figure = results.chapters.get("layout"), chapters()["layout"].part("figure")
    if found is None or found.data is None:
        return None
    for _, view, drawn, *_ in figure.draw(found, results):
        view.draw(drawn)
        data = view.phone_png(dpi=round((WIDE - 2 * EDGE * DPI) / view.phone[0]))
        dots = np.asarray(Image.open(io.BytesIO(data)).convert("RGB"))
        # the room for words across a picture that does not work stays empty here: the verdict has a band of its own
        used = np.flatnonzero((dots != dots[0, 0]).any(axis=(1, 2)))
        return dots[used[0] : used[-1] + 1] if used.size else None
    return None


def share_png(sheet: Sheet, drawn: np.ndarray | None) -> bytes:
    """Return the picture as PNG, ``WIDE`` dots wide and as high as its words need.

    Parameters
    ----------
    sheet : Sheet
        What it says; what is too long for ``LINES`` lines ends in three points.
    drawn : array, optional
        The drawing of the machine, from :func:`machine`.
    """
    head, band = _block(sheet.name, TITLE, "bold"), _block(sheet.words, BAND, "bold", "#ffffff")
    rows = [(_block(name, NAME, colour=style.MUTED), _block(value, VALUE)) for name, value in sheet.rows]
    foot = _block(sheet.foot, NAME, colour=style.MUTED)
    picture = 0.0 if drawn is None else drawn.shape[0] / DPI + GAP
    words = sum(name.high + value.high + GAP for name, value in rows)
    height = 2 * EDGE + head.high + band.high + 2 * GAP + picture + 2 * GAP + words + foot.high
    with style.drawing("share"):
        figure = style.new_figure(WIDE / DPI, height)
        figure.set_facecolor(style.PAPER)
        at = _write(figure, head, EDGE) + GAP
        colour = _COLOURS.get(sheet.verdict, style.UNKNOWN)
        across = (0, 1 - (at + band.high + GAP) / height), 1, (band.high + GAP) / height
        figure.add_artist(Rectangle(*across, transform=figure.transFigure, facecolor=colour, linewidth=0))
        at = _write(figure, band, at + GAP / 2) + GAP / 2 + GAP
        at = at if drawn is None else _paste(figure, drawn, at) + GAP
        for name, value in rows:
            at = _write(figure, value, _write(figure, name, at)) + GAP
        _write(figure, foot, at)
        figure.dpi = DPI
        canvas = FigureCanvasAgg(figure)
        canvas.draw()
        pixels = np.ascontiguousarray(np.asarray(canvas.buffer_rgba())[..., :3])
    out = io.BytesIO()
    image = Image.fromarray(pixels).quantize(64, method=Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)
    image.save(out, "PNG", optimize=True)
    return out.getvalue()


def _write(figure: Figure, block: _Block, at: float) -> float:
    """Write words with their top so many inches from the top of a figure, and return where they end."""
    wide, high = figure.get_size_inches()
    place = {"ha": "left", "va": "top", "linespacing": 1.2, "parse_math": False}
    font = {"fontsize": block.size, "fontweight": block.weight, "color": block.colour}
    figure.text(EDGE / wide, 1 - at / high, block.text, **place, **font)
    return at + block.high


def _paste(figure: Figure, drawn: np.ndarray, at: float) -> float:
    """Put a drawing across a figure, dot on dot, and return where it ends, inches from the top."""
    high = round(float(figure.get_size_inches()[1]) * DPI)
    figure.figimage(drawn, xo=round(EDGE * DPI), yo=high - round(at * DPI) - drawn.shape[0], origin="upper")
    return at + drawn.shape[0] / DPI


__all__ = ["DPI", "NAME", "PHONE", "WIDE", "Sheet", "machine", "share_png"]

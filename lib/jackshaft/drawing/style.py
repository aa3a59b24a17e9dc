"""Colours, fonts, line weights and small drawing aids that every figure shares.

Nothing here needs pyplot or a screen. Settings are applied inside :func:`drawing` only, so that
neither the reader's own matplotlib settings nor an earlier cell can change a figure.
"""

from __future__ import annotations

import re
import textwrap
import threading
import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

import matplotlib
import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import FancyArrowPatch
from matplotlib.text import Text

from jackshaft.drawing.colours import (  # noqa: F401
    ACCENT,
    BELT,
    CANDIDATES,
    CAUTION,
    FILL,
    GO,
    GRID,
    INK,
    METAL,
    MUTED,
    PAPER,
    STOP,
    UNKNOWN,
)

#: Line widths in points.
THIN, LINE, HEAVY, BELT_WIDTH = 0.6, 1.1, 1.8, 2.6

#: Text sizes in points.
SMALL, BODY, HEADING = 8.0, 9.0, 11.0

#: Height in inches of the band at the top of a figure that a banner may cover.
BAND = 0.42

_FONT = "DejaVu Sans"
_OURS = {
    "font.family": [_FONT],
    "font.size": BODY,
    "svg.fonttype": "none",
    "path.simplify": True,
    "figure.facecolor": PAPER,
    "figure.dpi": 100.0,
    "savefig.facecolor": "auto",
    "axes.facecolor": PAPER,
    "axes.edgecolor": MUTED,
    "axes.labelcolor": INK,
    "axes.titlecolor": INK,
    "axes.titlesize": HEADING,
    "axes.titlelocation": "left",
    "axes.linewidth": THIN,
    "axes.grid": True,
    "axes.axisbelow": True,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.unicode_minus": True,
    "grid.color": GRID,
    "grid.linewidth": THIN,
    "lines.linewidth": LINE,
    "lines.solid_capstyle": "round",
    "patch.linewidth": LINE,
    "text.color": INK,
    # names and notes are the builder's own; two dollar signs in them are no formula
    "text.parse_math": False,
    "xtick.color": MUTED,
    "ytick.color": MUTED,
    "xtick.labelcolor": INK,
    "ytick.labelcolor": INK,
    "xtick.labelsize": SMALL,
    "ytick.labelsize": SMALL,
    "legend.fontsize": SMALL,
    "legend.frameon": False,
}
_NOT_OURS = {"backend", "backend_fallback", "interactive", "toolbar", "webagg.open_in_browser"}
_SETTINGS = {k: v for k, v in matplotlib.rcParamsDefault.items() if k not in _NOT_OURS} | _OURS

#: The plotting library's settings belong to the whole process, and a widget's callback may draw in a thread of its own.
_ONE_AT_A_TIME = threading.RLock()


@contextmanager
def drawing(name: str) -> Iterator[None]:
    """Draw with our settings and nobody else's, for as long as the block lasts; other threads wait until then.

    Parameters
    ----------
    name : str
        Name of the picture; it salts the ids inside the SVG, so that two pictures on one page never
        share an id and the same picture always has the same ids.
    """
    with _ONE_AT_A_TIME:
        wanted = {**_SETTINGS, "svg.hashsalt": name}
        # setting a value checks it, which is slow, so only those that differ are set
        with matplotlib.rc_context({k: v for k, v in wanted.items() if matplotlib.rcParams[k] != v}):
            with warnings.catch_warnings():
                # A sign that the font lacks is drawn as a box; the words beside every picture have it.
                warnings.filterwarnings("ignore", message=r"Glyph \d+ .* missing from font", category=UserWarning)
                yield


def new_figure(width: float, height: float) -> Figure:
    """Return an empty figure of a size in inches, tied to no screen. Call it inside :func:`drawing`."""
    return Figure(figsize=(width, height), layout="none")


def add_plane(
    figure: Figure,
    x: tuple[float, float],
    y: tuple[float, float],
    *,
    box: tuple[float, float, float, float] | None = None,
) -> Axes:
    """Add axes for a true-shape drawing: equal scales, fixed limits, no frame, no ticks.

    Fixed limits keep the drawing from jumping while a value is moved.

    Parameters
    ----------
    figure : Figure
        The figure to draw in.
    x, y : tuple of float
        Lowest and highest coordinate that is certainly seen, in the drawing's own unit.
    box : tuple of float, optional
        Left, bottom, width, height as fractions of the figure; all below the banner's band by default.
    """
    axes = figure.add_axes(box or _below_band(figure, 0.01, 0.01))
    axes.set_axis_off()
    axes.set_autoscale_on(False)
    frame_plane(axes, x, y)
    return axes


def frame_plane(axes: Axes, x: tuple[float, float], y: tuple[float, float]) -> None:
    """Set what a true-shape drawing shows: at least these ranges, widened to fill its box at equal scales.

    Parameters
    ----------
    axes : Axes
        Made by :func:`add_plane`.
    x, y : tuple of float
        Lowest and highest coordinate that is certainly seen, in the drawing's own unit.
    """
    part = axes.get_position()
    size = axes.figure.get_size_inches()
    width, height = part.width * size[0], part.height * size[1]
    scale = max((x[1] - x[0]) / width, (y[1] - y[0]) / height)
    for (low, high), room, put in ((x, width, axes.set_xlim), (y, height, axes.set_ylim)):
        spare = (scale * room - (high - low)) / 2
        put(low - spare, high + spare)
    axes.set_aspect("equal", adjustable="box")


def add_plot(
    figure: Figure,
    x: tuple[float, float],
    y: tuple[float, float],
    *,
    x_label: str,
    y_label: str,
    title: str = "",
    box: tuple[float, float, float, float] | None = None,
) -> Axes:
    """Add axes for a curve: fixed limits, a quiet grid, both axes named with their units.

    Parameters
    ----------
    figure : Figure
        The figure to draw in.
    x, y : tuple of float
        Limits in the unit that the label names.
    x_label, y_label : str
        What is plotted, with its unit.
    title : str, optional
        One line above the plot.
    box : tuple of float, optional
        Left, bottom, width, height as fractions of the figure.
    """
    axes = figure.add_axes(box or _below_band(figure, 0.11, 0.14))
    axes.set_xlim(*x)
    axes.set_ylim(*y)
    axes.set_autoscale_on(False)
    axes.set_xlabel(x_label)
    axes.set_ylabel(y_label)
    if title:
        axes.set_title(title)
    return axes


def _below_band(figure: Figure, left: float, bottom: float) -> tuple[float, float, float, float]:
    band = (BAND + (0.25 if left > 0.05 else 0.03)) / figure.get_figheight()
    return (left, bottom, 0.99 - left - (0.02 if left > 0.05 else 0.0), 1.0 - band - bottom)


def arrow(
    axes: Axes,
    tail: Sequence[float],
    head: Sequence[float],
    *,
    colour: str = INK,
    width: float = LINE,
    head_points: float = 9.0,
    both_ends: bool = False,
) -> FancyArrowPatch:
    """Add a straight arrow and return it; ``set_positions(tail, head)`` moves it.

    Parameters
    ----------
    axes : Axes
        Where to draw.
    tail, head : sequence of float
        Its two ends, in the axes' own unit.
    colour : str, optional
        Line and head.
    width : float, optional
        Line width in points.
    head_points : float, optional
        Size of the head in points.
    both_ends : bool, optional
        Whether both ends carry a head, as on a dimension line.
    """
    patch = FancyArrowPatch(
        tuple(tail),
        tuple(head),
        arrowstyle="<|-|>" if both_ends else "-|>",
        mutation_scale=head_points,
        linewidth=width,
        color=colour,
        shrinkA=0,
        shrinkB=0,
        joinstyle="miter",
    )
    axes.add_patch(patch)
    return patch


def turn_points(
    centre: Sequence[float], radius: float, *, anticlockwise: bool, start_deg: float = 120.0, sweep_deg: float = 120.0
) -> np.ndarray:
    """Return the points (N, 2) of an arc that runs the way a shaft turns, tail first.

    Parameters
    ----------
    centre : sequence of float
        The shaft's centre.
    radius : float
        Radius of the arc, same unit.
    anticlockwise : bool
        The way it turns, as seen in the drawing.
    start_deg, sweep_deg : float, optional
        Where the tail stands and how far the arc reaches, in degrees.
    """
    sign = 1.0 if anticlockwise else -1.0
    middle = np.radians(start_deg)
    angle = middle + sign * np.radians(np.linspace(-sweep_deg / 2, sweep_deg / 2, 25))
    return np.column_stack([centre[0] + radius * np.cos(angle), centre[1] + radius * np.sin(angle)])


class TurnArrow:
    """A curved arrow that tells which way a shaft turns; :meth:`move` puts it elsewhere.

    Parameters
    ----------
    axes : Axes
        Where to draw.
    colour : str, optional
        Line and head.
    """

    def __init__(self, axes: Axes, *, colour: str = INK):
        self.line: Line2D = axes.plot([], [], color=colour, linewidth=HEAVY)[0]
        self.head = arrow(axes, (0, 0), (1, 0), colour=colour, width=0.0, head_points=13)
        self.show(False)

    def show(self, shown: bool) -> None:
        """Show or hide it."""
        self.line.set_visible(shown)
        self.head.set_visible(shown)

    def move(self, centre: Sequence[float], radius: float, *, anticlockwise: bool, start_deg: float = 120.0) -> None:
        """Put it round a centre, turning the given way.

        Parameters
        ----------
        centre : sequence of float
            The shaft's centre.
        radius : float
            Radius of the arc, same unit.
        anticlockwise : bool
            The way it turns, as seen in the drawing.
        start_deg : float, optional
            Where the middle of the arc stands, in degrees.
        """
        points = turn_points(centre, radius, anticlockwise=anticlockwise, start_deg=start_deg)
        self.line.set_data(points[:-1, 0], points[:-1, 1])
        self.head.set_positions(points[-4], points[-1])
        self.show(True)


def label(
    axes: Axes,
    at: Sequence[float],
    words: str = "",
    *,
    size: float = BODY,
    colour: str = INK,
    across: str = "center",
    up: str = "center",
    bold: bool = False,
    boxed: bool = True,
) -> Text:
    """Add words at a place and return them; a boxed label stands on a patch of paper, so lines pass behind.

    Parameters
    ----------
    axes : Axes
        Where to write.
    at : sequence of float
        The place, in the axes' own unit.
    words : str, optional
        What it says.
    size : float, optional
        Size of the letters in points.
    colour : str, optional
        Colour of the letters.
    across, up : str, optional
        Which part of the words stands at the place: left, center, right; bottom, center, top.
    bold, boxed : bool, optional
        Heavier letters; a patch of paper behind them.
    """
    patch = {"facecolor": PAPER, "edgecolor": "none", "pad": 1.2, "alpha": 0.88} if boxed else None
    return axes.text(
        at[0],
        at[1],
        words,
        fontsize=size,
        color=colour,
        ha=across,
        va=up,
        bbox=patch,
        fontweight="bold" if bold else "normal",
        parse_math=False,
    )


def wrap(words: str, width_inches: float, size: float, lines: int) -> tuple[str, bool]:
    """Break words into lines that fit a width, and tell whether they all fitted.

    Parameters
    ----------
    words : str
        The sentence.
    width_inches : float
        Room for a line.
    size : float
        Size of the letters in points.
    lines : int
        How many lines there may be.
    """
    # 0.6 of the size is the mean advance of this font's bold letters.
    room = max(8, int(width_inches * 72 / (0.6 * size)))
    broken = textwrap.wrap(words, room) or [""]
    if len(broken) <= lines:
        return "\n".join(broken), True
    kept = broken[:lines]
    kept[-1] = kept[-1][: room - 2].rstrip() + " …"
    return "\n".join(kept), False


_PAGE_WIDE = re.compile(r'<style type="text/css">\*\{([^}]*)\}</style>')
_METADATA = re.compile(r"\s*<metadata>.*?</metadata>", re.S)
_SIZE = re.compile(r'\s(?:width|height)="[\d.]+pt"')


def scoped(svg: str, name: str) -> str:
    """Make matplotlib's SVG fit to stand inside a page with others.

    Its style rule for every element of the page is confined to this picture, runs of spaces are
    kept, fixed sizes give way to the width of the page, and a reader without our font gets one of
    nearly the same width.

    Parameters
    ----------
    svg : str
        A whole SVG file as matplotlib writes it.
    name : str
        The picture's name, as given to :func:`drawing`.
    """
    body = svg[svg.index("<svg") :]
    body = _METADATA.sub("", body, count=1)
    mark = f"jk-svg-{name}"
    body = _PAGE_WIDE.sub(
        lambda m: f'<style type="text/css">.{mark} *{{{m[1]}}}.{mark} text{{white-space:pre}}</style>', body
    )
    head, rest = body.split(">", 1)
    head = _SIZE.sub("", head).replace("<svg", f'<svg class="{mark}" width="100%"', 1)
    rest = rest.replace(f"font-family: '{_FONT}'", f"font-family: '{_FONT}', Verdana, sans-serif")
    return f"{head}>{rest}"

"""Arrows and words on a drawing."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patches import FancyArrowPatch
from matplotlib.text import Text

from jackshaft.drawing.palette import BODY, HEAVY, INK, LINE, PAPER


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
        Where the tail is and how far the arc reaches, in degrees.
    """
    sign = 1.0 if anticlockwise else -1.0
    middle = np.radians(start_deg)
    angle = middle + sign * np.radians(np.linspace(-sweep_deg / 2, sweep_deg / 2, 25))
    return np.column_stack([centre[0] + radius * np.cos(angle), centre[1] + radius * np.sin(angle)])


class TurnArrow:
    """A curved arrow that shows which way a shaft turns; :meth:`move` puts it elsewhere.

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
            Where the middle of the arc is, in degrees.
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

"""Axes of a figure: a true-shape plane, and a plot with named axes."""

from __future__ import annotations

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from jackshaft.drawing.palette import BAND


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

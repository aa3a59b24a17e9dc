"""The dimensions on a loop's drawing: centre distances, and each centre's place on two scales from the zero mark."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes

from jackshaft.drawing import style
from jackshaft.drawing.placing import LINE_HEIGHT, ON_WORDS, Placer, half_size, spread
from jackshaft.units import read, write

#: From the plane to the letters of a scale beside it, points.
AWAY = 10.0


def in_shop(length: float, system: str) -> str:
    """Return a length, m, as a drawing has it: to a hundredth of an inch or a tenth of a millimetre."""
    step = read("0.01 in" if system == "inch" else "0.1 mm", "length").si
    return write(round(length / step) * step, "length", system).replace("-", "\N{MINUS SIGN}")


class Dimensions:
    """Dimension lines from the driver to each pulley it drives, and the scales beside the plane.

    Parameters
    ----------
    axes : Axes
        The plane.
    layout : StageLayout
        A loop with the same pulleys.
    scales : bool
        Whether there is room beside the plane for the places of the centres.
    """

    def __init__(self, axes: Axes, layout, *, scales: bool):
        self._axes, self._scales = axes, scales and layout.places.given
        works = layout.pulleys.works
        self.arrows = [
            style.arrow(axes, (0, 0), (1, 0), colour=style.MUTED, width=style.THIN, head_points=7, both_ends=True)
            for _ in works
        ]
        self.words = [style.label(axes, (0, 0), size=style.SMALL) for _ in works]
        self.lines = axes.plot([], [], color=style.MUTED, linewidth=style.THIN, zorder=0.5, clip_on=False)[0]
        count = 2 * (len(layout.pulleys.names) + 1) if self._scales else 0
        self.marks = [
            style.label(axes, (0, 0), size=style.SMALL, colour=style.MUTED, boxed=False) for _ in range(count)
        ]

    @property
    def artists(self) -> list:
        """All that is hidden while a hand moves a pulley."""
        return [*self.arrows, *self.words, self.lines, *self.marks]

    def hide(self) -> None:
        """Hide them all."""
        for artist in self.artists:
            artist.set_visible(False)

    def move(self, picture, placer: Placer, point: float) -> None:
        """Show the dimensions of a picture; ``point`` is the size of a point in units of the drawing."""
        self.hide()
        low = np.array([self._axes.get_xlim()[0], self._axes.get_ylim()[0]])
        self._distances(picture, placer, low, point)
        if self._scales and picture.layout.places.given:
            self._places(picture, low, point)

    def _distances(self, picture, placer: Placer, low: np.ndarray, point: float) -> None:
        p, centres = picture.layout.pulleys, picture.centres
        for arrow, words, k in zip(self.arrows, self.words, p.works, strict=False):
            a, b = centres[p.driver], centres[k]
            text = in_shop(float(np.hypot(*(b - a))) * picture.unit, picture.system)
            share = np.array([0.5, 0.42, 0.58, 0.35, 0.65, 0.28, 0.72, 0.2, 0.8])
            spots = (a + share[:, None] * (b - a) - low) / point
            half = half_size(text, style.SMALL)
            at, covers = placer.put(spots, 20.0 * np.abs(share - 0.5), half)
            if covers >= ON_WORDS:
                continue
            placer.take(at, half)
            arrow.set_positions(tuple(a), tuple(b))
            arrow.set_visible(True)
            words.set(text=text, position=tuple(low + point * at), visible=True)

    def _places(self, picture, low: np.ndarray, point: float) -> None:
        """Put the places of all centres, and the zero mark, on the scales to the left and below."""
        size = np.array([np.ptp(self._axes.get_xlim()), np.ptp(self._axes.get_ylim())])
        centres, lines, marks = np.concatenate([picture.centres, [(0.0, 0.0)]]), [], iter(self.marks)
        for axis in (0, 1):
            texts, where, ends = [], [], []
            for k in np.argsort(centres[:, axis], kind="stable"):
                text = in_shop(float(centres[k, axis]) * picture.unit, picture.system)
                seen = -0.01 <= (centres[k, axis] - low[axis]) / size[axis] <= 1.01
                if seen and (not texts or texts[-1] != text):
                    texts.append(text)
                    where.append(centres[k, axis])
                    ends.append(centres[k, 1 - axis])
                elif seen:
                    ends[-1] = max(ends[-1], centres[k, 1 - axis])
            gap = LINE_HEIGHT * style.SMALL if axis else max(2 * half_size(t, style.SMALL)[0] for t in texts) + 3.0
            edges = (0.5 * gap * point + low[axis], low[axis] + size[axis] - 0.5 * gap * point)
            puts = spread(np.array(where), gap * point, *edges)
            for text, true, put, end in zip(texts, where, puts, ends, strict=True):
                away, side = low[1 - axis] - AWAY * point, low[1 - axis]
                along = np.array([(put, away), (true, side), (true, max(end, side)), (np.nan, np.nan)])
                lines.append(along[:, ::-1] if axis else along)
                at = (away - 2 * point, put) if axis else (put, away - 1 * point)
                next(marks).set(
                    text=text,
                    position=at,
                    visible=True,
                    ha="right" if axis else "center",
                    va="center" if axis else "top",
                )
        self.lines.set_data(*np.concatenate(lines).T)
        self.lines.set_visible(True)


__all__ = ["Dimensions"]

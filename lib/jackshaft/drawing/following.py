"""What views have in common that follow a result: pinned designs, and a scale or a frame that grows with them."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterator, Sequence
from itertools import zip_longest

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes

from jackshaft.drawing import style
from jackshaft.drawing.view import Candidate, View


def overlaid(artists: Sequence[Artist], pinned: Sequence[Candidate]) -> Iterator[tuple[Artist, Candidate]]:
    """Show as many artists as there are pinned designs, hide the others, and yield each pair.

    Parameters
    ----------
    artists : sequence of Artist
        One for each design that can be pinned.
    pinned : sequence of Candidate
        The designs that are pinned.
    """
    for artist, candidate in zip_longest(artists, pinned[: len(artists)]):
        artist.set_visible(candidate is not None)
        if candidate is not None:
            yield artist, candidate


def plus_pinned(pinned: Sequence[Candidate]) -> str:
    """Return the sentence that names the pinned designs; empty where there is none.

    Parameters
    ----------
    pinned : sequence of Candidate
        The designs that are pinned.
    """
    return f" Candidates overlaid: {', '.join(c.letter for c in pinned)}." if pinned else ""


class Following(View):
    """A view that keeps its first picture to be composed by, and in ``words`` what it draws now.

    Parameters
    ----------
    name : str
        Short name, unique on a page.
    picture : object
        What it is composed for.
    """

    def __init__(self, name: str, picture: object):
        self.first = picture
        self.words = ""
        super().__init__(name)

    def alt(self) -> str:
        """Return in words what is drawn now."""
        return self.words


class LogView(Following):
    """A view along one scale of powers of ten, which stays put unless a value leaves it."""

    @abstractmethod
    def span_of(self, pictures: Sequence[object]) -> tuple[float, float]:
        """Return the ends of the scale for some pictures.

        Parameters
        ----------
        pictures : sequence of object
            All that must be seen at once.
        """

    def add_scale(self, axes: Axes) -> None:
        """Make the scale of a plot.

        Parameters
        ----------
        axes : Axes
            The plot.
        """
        self.axes, self.span = axes, self.span_of([self.first])
        axes.set_xscale("log")
        axes.invert_yaxis()
        self._set_span()
        self.pinned = [
            axes.plot([], [], "|", markersize=18, markeredgewidth=2.5, linestyle="none")[0] for _ in style.CANDIDATES
        ]

    def widen(self, pictures: Sequence[object]) -> None:
        """Make the scale wider where a value leaves it.

        Parameters
        ----------
        pictures : sequence of object
            All that must be seen at once.
        """
        low, high = self.span_of(pictures)
        if low < self.span[0] or high > self.span[1]:
            self.span = min(low, self.span[0]), max(high, self.span[1])
            self._set_span()

    def _set_span(self) -> None:
        low, high = self.span
        # points of paper for a power of ten; a number and the gap to the next take about 30
        decade = 72.0 * self.size[0] * self.axes.get_position().width / np.log10(high / low)
        steps = (1, 2, 5) if decade > 100.0 else (1, 3) if decade > 63.0 else (1,)
        marks = [m * 10.0**p for p in range(-3, 7) for m in steps if low <= m * 10.0**p <= high]
        self.axes.set_xlim(low, high)
        self.axes.set_xticks(marks, [f"{m:g}" for m in marks])
        self.axes.minorticks_off()

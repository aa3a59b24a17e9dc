"""What gives first: every link of the drive on one torque scale, with the working and the peak load as lines."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure

from jackshaft.chapters.weak_link.analysis import ChainData
from jackshaft.drawing import style
from jackshaft.drawing.view import Candidate, View
from jackshaft.results import Findings, Results
from jackshaft.units import KINDS, read, show

MOST = 14


@dataclass(frozen=True)
class ChainPicture:
    """The chain as it is drawn."""

    data: ChainData
    system: str

    @property
    def unit(self) -> float:
        """N m for one unit of the scale."""
        return read(f"1 {self.label}", "torque").si

    @property
    def label(self) -> str:
        """The unit's name."""
        kind = KINDS["torque"]
        return kind.inch if self.system == "inch" else kind.metric


class ChainView(View):
    """Draws the chain, the weakest link on top."""

    size = (7.2, 4.6)

    def __init__(self, name: str, picture: ChainPicture):
        self.first = picture
        self.words = ""
        self.span = _span([picture])
        super().__init__(name)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        self.axes = ax = style.add_plot(
            figure,
            self.span,
            (-0.7, 7.5),
            y_label="",
            box=(0.36, 0.125, 0.61, 0.745),
            x_label=f"torque on the shaft of the {self.first.data.shaft} ({self.first.label})",
        )
        ax.set_xscale("log")
        ax.invert_yaxis()
        ax.set_yticks([])
        self._ticks()
        self.bands = [
            ax.plot([], [], color=style.METAL, linewidth=9, alpha=0.55, solid_capstyle="butt")[0] for _ in range(MOST)
        ]
        self.marks = [
            ax.plot([], [], "o", markersize=9, markeredgewidth=1.6, markeredgecolor=style.INK)[0] for _ in range(MOST)
        ]
        self.pinned = [
            ax.plot([], [], "|", markersize=15, markeredgewidth=2.4, linestyle="none")[0] for _ in style.CANDIDATES
        ]
        self.work = ax.plot([], [], color=style.GO, linewidth=style.HEAVY)[0]
        self.peak = ax.plot([], [], color=style.STOP, linewidth=style.HEAVY, linestyle=(0, (5, 2)))[0]
        self.work_words = style.label(ax, (1, 0), colour=style.GO, size=style.SMALL, across="right", up="center")
        self.peak_words = style.label(ax, (1, 0), colour=style.STOP, size=style.SMALL, across="left", up="center")
        self.names = [
            figure.text(0, 0, "", fontsize=style.BODY, color=style.INK, ha="right", va="center", linespacing=1.3)
            for _ in range(MOST)
        ]
        self.values = [style.label(ax, (1, 0), size=style.SMALL, across="left", up="center") for _ in range(MOST)]

    def _ticks(self) -> None:
        low, high = self.span
        marks = [m * 10.0**p for p in range(-3, 7) for m in (1, 2, 5) if low <= m * 10.0**p <= high]
        self.axes.set_xticks(marks, [f"{m:g}" for m in marks])
        self.axes.minorticks_off()

    def update(self, picture: ChainPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Move everything to a chain."""
        data, unit = picture.data, picture.unit
        low, high = _span([picture, *(c.picture for c in pinned)])
        if low < self.span[0] or high > self.span[1]:
            self.span = min(low, self.span[0]), max(high, self.span[1])
            self.axes.set_xlim(*self.span)
            self._ticks()
        links = data.links[:MOST]
        rows = max(len(links), 4)
        self.axes.set_ylim(rows - 0.4, -1.0)
        box = self.axes.get_position()
        for i in range(MOST):
            shown = i < len(links)
            for artist in (self.bands[i], self.marks[i], self.names[i], self.values[i]):
                artist.set_visible(shown)
            if not shown:
                continue
            link = links[i]
            self.bands[i].set_data([link.low / unit, link.high / unit], [i, i])
            self.marks[i].set_data([link.likely / unit], [i])
            self.marks[i].set_markerfacecolor(
                style.PAPER if link.limit else style.ACCENT if link.kind == "shear pin" else style.INK
            )
            self.marks[i].set_marker("s" if link.limit else "D" if link.kind == "shear pin" else "o")
            self.names[i].set_text(textwrap.fill(link.name, 24))
            self.names[i].set_position((box.x0 - 0.012, box.y1 - box.height * (i + 1.0) / (rows + 0.6)))
            self.values[i].set_text(show(link.likely, "torque", picture.system))
            # the mark is 9 points wide, and the words stand clear of it
            clear = (self.span[1] / self.span[0]) ** 0.024
            self.values[i].set_position((max(link.high / unit * clear**0.4, link.likely / unit * clear), i))
        for line, words, value, name in (
            (self.work, self.work_words, data.working, "work"),
            (self.peak, self.peak_words, data.peak, "peak"),
        ):
            line.set_visible(value is not None)
            words.set_visible(value is not None)
            if value is not None:
                line.set_data([value / unit] * 2, [-1.0, rows])
                words.set_text(f" {name} {show(value, 'torque', picture.system)} ")
                words.set_position((value / unit, -0.7))
        for line, candidate in zip(self.pinned, [*pinned, *[None] * len(self.pinned)], strict=False):
            line.set_visible(candidate is not None)
            if candidate is not None:
                there = {link.name: link.likely for link in candidate.picture.data.links}
                line.set_data([there.get(link.name, np.nan) / unit for link in links], range(len(links)))
                line.set_color(candidate.colour)
        chain = ", then ".join(f"{link.name} {show(link.likely, 'torque', picture.system)}" for link in links)
        load = "" if data.working is None else f" The work takes {show(data.working, 'torque', picture.system)}."
        if data.peak is not None:
            load += f" The peak is {show(data.peak, 'torque', picture.system)}."
        self.words = f"What gives first, on the shaft of the {data.shaft}: {chain}.{load}"

    def alt(self) -> str:
        """Return in words what is drawn now."""
        return self.words


def _span(pictures: Sequence[ChainPicture]) -> tuple[float, float]:
    values = [v / p.unit for p in pictures for link in p.data.links for v in (link.low, link.high)]
    values += [v / p.unit for p in pictures for v in (p.data.working, p.data.peak) if v]
    return min(values) / 3.0, max(values) * 2.6


def picture_of(results: Results) -> ChainPicture | None:
    """Return the picture of a build's chain, or None where no link is known."""
    chapter = results.chapters.get("chain")
    return ChainPicture(chapter.data, results.build.system) if chapter and chapter.data else None


def draw(chapter: Findings, results: Results) -> Iterator[tuple[str, View, object]]:
    """Yield the chain."""
    picture = picture_of(results)
    if picture:
        yield "What gives first, every link told on one shaft", ChainView("chain", picture), picture

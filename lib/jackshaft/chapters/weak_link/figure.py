"""What gives first: every link of the drive on one torque scale, with the working and the peak load as lines."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import isfinite

import numpy as np
from matplotlib.figure import Figure

from jackshaft.chapters.weak_link.analysis import ChainData, Link
from jackshaft.chapters.weak_link.data import GUARDS
from jackshaft.drawing import style
from jackshaft.drawing.following import LogView, overlaid
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


class ChainView(LogView):
    """Draws the chain, the weakest link on top."""

    size, phone = (7.2, 4.6), (3.8, 5.2)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        box = self.by_width((0.36, 0.125, 0.61, 0.745), (0.345, 0.125, 0.63, 0.745))
        label = (
            self.by_width(f"torque on the shaft of the {self.first.data.shaft}", "torque") + f" ({self.first.label})"
        )
        ax = style.add_plot(figure, (1, 10), (-0.7, 7.5), x_label=label, y_label="", box=box)
        self.add_scale(ax)
        ax.set_yticks([])
        self.bands = [
            ax.plot([], [], color=style.METAL, linewidth=9, alpha=0.55, solid_capstyle="butt")[0] for _ in range(MOST)
        ]
        self.marks = [
            ax.plot([], [], "o", markersize=9, markeredgewidth=1.6, markeredgecolor=style.INK)[0] for _ in range(MOST)
        ]
        dashed = {"work": "-", "peak": (0, (5, 2))}
        self.loads = {
            name: (
                ax.plot([], [], color=colour, linewidth=style.HEAVY, linestyle=dashed[name])[0],
                style.label(ax, (1, 0), colour=colour, size=style.SMALL, across=across, up="center"),
            )
            for name, colour, across in (("work", style.GO, "right"), ("peak", style.STOP, "left"))
        }
        letters, spacing = self.by_width((style.BODY, 1.3), (style.SMALL, 1.0))
        self.names = [
            figure.text(0, 0, "", fontsize=letters, color=style.INK, ha="right", va="center", linespacing=spacing)
            for _ in range(MOST)
        ]
        self.values = [style.label(ax, (1, 0), size=style.SMALL, across="left", up="center") for _ in range(MOST)]

    def update(self, picture: ChainPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Move everything to a chain."""
        data, unit = picture.data, picture.unit
        self.widen([picture, *(c.picture for c in pinned)])
        links = data.links[:MOST]
        rows = max(len(links), 4)
        self.axes.set_ylim(rows - 0.4, -1.0)
        for i in range(MOST):
            for artist in (self.bands[i], self.marks[i], self.names[i], self.values[i]):
                artist.set_visible(i < len(links))
        for i, link in enumerate(links):
            self._link(i, link, rows, picture)
        for name, value in (("work", data.working), ("peak", data.peak)):
            line, words = self.loads[name]
            line.set_visible(value is not None)
            words.set_visible(value is not None)
            if value is not None:
                line.set_data([value / unit] * 2, [-1.0, rows])
                words.set_text(f" {name} {show(value, 'torque', picture.system)} ")
                words.set_position((value / unit, -0.7))
        for line, candidate in overlaid(self.pinned, pinned):
            there = {link.name: link.likely for link in candidate.picture.data.links}
            line.set_data([there.get(link.name, np.nan) / unit for link in links], range(len(links)))
            line.set_color(candidate.colour)
        more = {link.name: "" if isfinite(link.high) else " or more" for link in links}
        each = (f"{k.name} {show(k.likely, 'torque', picture.system)}{more[k.name]}" for k in links)
        chain = ", then ".join(each)
        load = "" if data.working is None else f" The work takes {show(data.working, 'torque', picture.system)}."
        if data.peak is not None:
            load += f" The peak is {show(data.peak, 'torque', picture.system)}."
        self.words = f"What gives first, on the shaft of the {data.shaft}: {chain}.{load}"

    def _link(self, i: int, link: Link, rows: int, picture: ChainPicture) -> None:
        """Draw link ``i`` of so many rows."""
        unit, box, pin = picture.unit, self.axes.get_position(), link.kind in GUARDS
        high = link.high if isfinite(link.high) else self.span[1] * unit  # rusted plates: to the edge of the scale
        self.bands[i].set_data([link.low / unit, high / unit], [i, i])
        self.marks[i].set_data([link.likely / unit], [i])
        self.marks[i].set_markerfacecolor(style.PAPER if link.limit else style.ACCENT if pin else style.INK)
        self.marks[i].set_marker("s" if link.limit else "D" if pin else "o")
        self.names[i].set_text(textwrap.fill(link.name, self.by_width(34, 17)))
        self.names[i].set_position((box.x0 - 0.012, box.y1 - box.height * (i + 1.0) / (rows + 0.6)))
        self.values[i].set_text(show(link.likely, "torque", picture.system))
        # the mark is 9 points wide, and the words are clear of it
        clear = (self.span[1] / self.span[0]) ** (7.6 / (72.0 * self.size[0] * box.width))
        beyond = max(high / unit * clear**0.4, link.likely / unit * clear)
        self.values[i].set_position((beyond if isfinite(link.high) else link.likely / unit * clear, i))

    def span_of(self, pictures: Sequence[ChainPicture]) -> tuple[float, float]:
        """Return the ends of the torque scale, beyond every band and load."""
        values = [v / p.unit for p in pictures for link in p.data.links for v in (link.low, link.high)]
        values = [v for v in values if isfinite(v)]
        values += [v / p.unit for p in pictures for v in (p.data.working, p.data.peak) if v]
        return min(values) / 3.0, max(values) * self.by_width(4.0, 12.0)


def picture_of(results: Results) -> ChainPicture | None:
    """Return the picture of a build's chain, or None where no link is known."""
    chapter = results.chapters.get("chain")
    return ChainPicture(chapter.data, results.build.system) if chapter and chapter.data else None


def draw(chapter: Findings, results: Results) -> Iterator[tuple[str, View, object]]:
    """Yield the chain."""
    picture = picture_of(results)
    if picture:
        yield "What gives first, every torque carried over to one shaft", ChainView("chain", picture), picture

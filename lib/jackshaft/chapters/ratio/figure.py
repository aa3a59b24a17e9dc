"""The drive as a ladder of shafts: speed of each at idle, work and full, its direction, and the wanted band."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from jackshaft.chapters.ratio.data import ARROWS, RatioData
from jackshaft.drawing import style
from jackshaft.drawing.following import LogView, overlaid
from jackshaft.drawing.view import Candidate, View
from jackshaft.results import Findings, Results
from jackshaft.units import RPM, show

SIGNS = {1: "↺", -1: "↻", 0: "?"}


@dataclass(frozen=True)
class RatioPicture:
    """The shafts as they are drawn."""

    data: RatioData
    system: str


class RatioView(LogView):
    """Draws the ladder; the speed scale stays put unless a speed leaves it."""

    size, phone = (7.2, 4.2), (3.8, 3.6)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        shafts = self.first.data.shafts
        count = len(shafts)
        box, label = self.by_width((0.25, 0.14, 0.72, 0.75), (0.32, 0.15, 0.65, 0.72)), "speed (rpm)"
        ax = style.add_plot(figure, (1, 10), (-0.6, count - 0.4), x_label=label, y_label="", box=box)
        self.add_scale(ax)
        ax.set_yticks(range(count), [""] * count)
        look = {"facecolor": style.GO_FILL, "edgecolor": style.GO, "linewidth": style.LINE, "hatch": ".."}
        self.bands = [ax.add_patch(Rectangle((1, 0), 1, 0.7, **look)) for _ in shafts]
        self.bars = [ax.plot([], [], color=style.METAL, linewidth=5, solid_capstyle="butt")[0] for _ in shafts]
        hollow = {"markerfacecolor": style.PAPER, "markeredgewidth": 1.6, "markersize": 9, "linestyle": "none"}
        self.marks = [
            ax.plot([], [], marker, color=style.INK, label=label, **hollow)[0]
            for marker, label in (("<", "idle"), ("o", "at work"), (">", "full"))
        ]
        self.marks[1].set_markerfacecolor(style.ACCENT)
        self.names = [
            figure.text(0, 0, "", fontsize=style.BODY, color=style.INK, ha="right", va="center") for _ in shafts
        ]
        self.speeds = [style.label(ax, (1, 0), bold=True, up="bottom") for _ in shafts]
        ax.legend(
            loc="lower right",
            fontsize=style.SMALL,
            frameon=True,
            ncols=3,
            columnspacing=self.by_width(3.2, 1.0),
            handletextpad=0.4,
        )

    def update(self, picture: RatioPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Move everything to a train of shafts."""
        data = picture.data
        self.widen([picture, *(c.picture for c in pinned)])
        speeds = np.array([[np.nan if v is None else v / RPM for v in (s.idle, s.work, s.full)] for s in data.shafts])
        rows = np.arange(len(data.shafts))
        box = self.axes.get_position()
        for i, shaft in enumerate(data.shafts):
            known = speeds[i][np.isfinite(speeds[i])]
            self.bars[i].set_data([known.min(), known.max()] if len(known) else [], [i, i] if len(known) else [])
            self.names[i].set_text(textwrap.fill(f"{shaft.name}  {SIGNS[shaft.turn]}", self.by_width(40, 14)))
            self.names[i].set_position((box.x0 - 0.012, box.y1 - box.height * (i + 0.6) / (len(rows) + 0.2)))
            at = speeds[i][1]
            self.speeds[i].set_visible(bool(np.isfinite(at)))
            if np.isfinite(at):
                self.speeds[i].set(text=show(shaft.work, "rotation", picture.system))
                banded = shaft.name in data.bands
                self.speeds[i].set_position((at, i - (0.38 if banded else 0.2)))
        for mark, column in zip(self.marks, speeds.T, strict=True):
            mark.set_data(column, rows)
        self._show_band(data)
        for line, candidate in overlaid(self.pinned, pinned):
            shafts = candidate.picture.data.shafts
            line.set_data([np.nan if s.work is None else s.work / RPM for s in shafts], range(len(shafts)))
            line.set_color(candidate.colour)
        self.words = _in_words(picture)

    def _show_band(self, data: RatioData) -> None:
        for index, (patch, shaft) in enumerate(zip(self.bands, data.shafts, strict=True)):
            band = data.bands.get(shaft.name)
            patch.set_visible(band is not None)
            if band is not None:
                least = max(band[0] / RPM, self.span[0])
                most = min(band[1] / RPM, self.span[1])
                patch.set_bounds(least, index - 0.35, most - least, 0.7)

    def span_of(self, pictures: Sequence[RatioPicture]) -> tuple[float, float]:
        """Return the ends of the speed scale, in turns a minute, a little beyond every speed and the band."""
        values = [v for p in pictures for s in p.data.shafts for v in (s.idle, s.work, s.full) if v]
        values += [v for p in pictures for band in p.data.bands.values() for v in band if v and np.isfinite(v)]
        room = self.by_width(1.6, 2.4)
        return (min(values) / RPM / room, max(values) / RPM * room) if values else (100.0, 4000.0)


def _in_words(picture: RatioPicture) -> str:
    data = picture.data
    each = "; ".join(
        f"{s.name} "
        + ("speed not known" if s.work is None else f"{show(s.work, 'rotation', picture.system)} at work")
        + f", turns {ARROWS.get(s.turn, 'which way is not known')}"
        for s in data.shafts
    )
    band = ""
    if len(set(data.bands.values())) == 1 or (data.band is not None and not data.bands):
        least, most = (show(v, "rotation", picture.system) for v in next(iter(data.bands.values()), data.band))
        band = f" The work wants {least} to {most}."
    else:
        for name, ends in data.bands.items():
            least, most = (show(v, "rotation", picture.system) for v in ends)
            band += f" {name} wants {least} to {most}."
    return f"Shafts from the engine to the work: {each}.{band}"


def picture_of(results: Results) -> RatioPicture | None:
    """Return the picture of a build's drive ratio, or None where nothing is known."""
    chapter = results.chapters.get("ratio")
    return RatioPicture(chapter.data, results.build.system) if chapter and chapter.data else None


def draw(chapter: Findings, results: Results) -> Iterator[tuple[str, View, object]]:
    """Yield the ladder of shafts."""
    picture = picture_of(results)
    if picture and len(picture.data.shafts) > 1:
        yield "Speed and direction of each shaft", RatioView("ratio", picture), picture

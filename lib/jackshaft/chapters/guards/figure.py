"""Where hands are drawn in and what guards keep them out; how far a guard's openings must stand from what turns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure

from jackshaft.chapters.guards.outline_figure import NipView
from jackshaft.chapters.guards.outline_figure import pictures_of as loops_drawn
from jackshaft.drawing import style
from jackshaft.drawing.following import Following, plus_pinned
from jackshaft.drawing.view import Candidate, View, view_name
from jackshaft.mechanics.guards import SHAPES, reach_through
from jackshaft.results import Findings, Results
from jackshaft.units import read, show

WIDEST, MOST = 0.045, 0.9
MARKS = {"slot": "o", "square": "s", "round": "D"}


@dataclass(frozen=True)
class ReachPicture:
    """Guards with openings: name of the stage, shape, opening and distance (m)."""

    guards: tuple[tuple[str, str, float, float], ...]
    system: str


class ReachView(Following):
    """Draws the steps of the table and the guards."""

    size, phone = (7.2, 4.2), (3.8, 3.6)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        inch = self.first.system == "inch"
        self.unit = read("1 in" if inch else "1 mm", "length").si
        unit, ticks = ("in", (0.1, 0.3, 1, 3, 10, 30)) if inch else ("mm", (2, 5, 20, 50, 200, 800))
        self.plot = ax = style.add_plot(
            figure,
            (0.0, WIDEST / self.unit),
            (0.0015 / self.unit, 1.6 * MOST / self.unit),
            x_label=f"smallest width of the opening ({unit})",
            y_label=f"from what turns ({unit})",
            box=self.by_width((0.10, 0.14, 0.87, 0.72), (0.17, 0.15, 0.80, 0.68)),
        )
        ax.set_yscale("log")
        ax.set_yticks(ticks, [f"{t:g}" for t in ticks])
        ax.minorticks_off()
        widths = np.linspace(0.0005, WIDEST, 600)
        looks = {"slot": (1, 0), "square": (5, 2), "round": (2, 2)}
        self.steps = [
            ax.plot(
                widths / self.unit,
                reach_through.si(widths, shape=shape) / self.unit,
                color=style.INK,
                linewidth=style.HEAVY,
                dashes=looks[shape],
            )[0]
            for shape in SHAPES
        ]
        ax.legend(self.steps, SHAPES, loc="lower right", frameon=False, fontsize=style.SMALL)
        self.points = [
            ax.plot([], [], mark, color=style.ACCENT, markersize=9, markeredgecolor=style.INK, linestyle="none")[0]
            for mark in MARKS.values()
        ]
        self.names = [style.label(ax, (1, 1), size=style.SMALL, bold=True, up="bottom") for _ in self.first.guards]

    def update(self, picture: ReachPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Move the points to the guards."""
        for shape, points in zip(SHAPES, self.points, strict=True):
            mine = [(w / self.unit, d / self.unit) for _, s, w, d in picture.guards if s == shape]
            points.set_data(*(np.array(mine).T if mine else ([], [])))
        for text, (name, _, width, far) in zip(self.names, picture.guards, strict=False):
            text.set(text=name, position=(width / self.unit, far / self.unit * 1.12))
        self.words = _in_words(picture) + plus_pinned(pinned)


def _in_words(picture: ReachPicture) -> str:
    words = "How far an opening of a guard must stand from what turns, by its smallest width, for slots, squares and "
    words += "round holes."
    for name, shape, width, far in picture.guards:
        words += f" {name}: {shape} openings of {show(width, 'length', picture.system)}, "
        words += f"{show(far, 'length', picture.system)} from what turns."
    return words if picture.guards else f"{words} No guard of this build has openings that are written down."


def picture_of(results: Results) -> ReachPicture:
    """Return the picture of a build's guards."""
    build, found = results.build, []
    for name in build.names("stage"):
        at = f"stage[{name}]"
        width, far = (build.measure(f"{at}.guard_{k}") for k in ("opening", "distance"))
        shape = build.get(f"{at}.guard_shape")
        if build.get(f"{at}.guard") == "mesh or slots" and None not in (width, far, shape):
            found.append((name, shape, width.si, far.si))
    return ReachPicture(tuple(found), build.system)


def draw(chapter: Findings, results: Results) -> Iterator[tuple[str, View, object] | tuple[str, View, object, str]]:
    """Yield each loop with its nips and guard, and the reach through openings where a guard of the build has some."""
    for loop in loops_drawn(chapter.data, results.build.system):
        stage = loop.loop.stage
        yield f"{stage}: where a hand is drawn in, and its guard", NipView(view_name("nips", stage), loop), loop, stage
    picture = picture_of(results)
    if picture.guards:
        yield "Openings of the guards", ReachView("guards", picture), picture

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
from jackshaft.parts.chain_stage import KIND as CHAIN
from jackshaft.results import Findings, Results
from jackshaft.units import read, show

#: Kinds of stage that want a guard.
GUARDED = ("belt", CHAIN, "gear", "friction roller")
WIDEST, MOST = 0.052, 0.9
#: Above it an opening counts as no guard, m.
NO_GUARD = 0.120
MARKS = {"slot": "o", "square": "s", "round": "D", "": "o"}
OPEN = "mesh or slots"
NOTHING_YET = "No guard here has openings yet.\nMove the slider of their smallest width."


@dataclass(frozen=True)
class Guard:
    """The guard of a stage: what it is, the shape of its openings, their smallest width and distance in m.

    What is not known is empty, or None.
    """

    stage: str
    kind: str
    shape: str
    width: float | None
    far: float | None

    @property
    def counts(self) -> bool:
        """Whether the machine has these openings; otherwise they are only tried."""
        return self.kind == OPEN and bool(self.shape) and None not in (self.width, self.far)

    @property
    def least(self) -> float | None:
        """How far they must stand from what turns, m, as slots where their shape is not said."""
        if self.width is None or self.width > NO_GUARD:
            return None
        return float(reach_through.si(self.width, shape=self.shape or "slot"))


@dataclass(frozen=True)
class ReachPicture:
    """The guard of each stage that wants one."""

    guards: tuple[Guard, ...]
    system: str

    @property
    def counting(self) -> tuple[Guard, ...]:
        """Return the guards that have openings."""
        return tuple(g for g in self.guards if g.counts)


class ReachView(Following):
    """Draws the steps of the table, the guards, and how far an opening that is tried must stand."""

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
        widths = np.linspace(0.0005, NO_GUARD, 1200)
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
        ax.legend(self.steps, SHAPES, loc="upper left", frameon=False, fontsize=style.SMALL)
        many = self.first.guards
        self.widths = [
            ax.plot([], [], color=style.ACCENT, linewidth=style.LINE, linestyle=(0, (4, 3)))[0] for _ in many
        ]
        self.points = [
            ax.plot([], [], color=style.ACCENT, markersize=9, markeredgecolor=style.INK, linestyle="none", zorder=5)[0]
            for _ in many
        ]
        self.names = [style.label(ax, (1, 1), size=style.SMALL, bold=True) for _ in many]
        # each at a height of its own, below the steps
        for n, name in enumerate(self.names):
            name.set_transform(ax.get_xaxis_transform())
            name.set_y(0.09 + 0.14 * n)
        self.nothing = style.label(ax, (0, 0), NOTHING_YET, size=style.SMALL, across="right", colour=style.MUTED)
        self.nothing.set(transform=ax.transAxes, position=(0.97, 0.12))

    def update(self, picture: ReachPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Move the marks to the guards, and the lines to the widths that are tried."""
        shown = [g for g in picture.guards if g.least is not None]
        wide = max([WIDEST, *(1.1 * g.width for g in shown)]) / self.unit
        if wide > self.plot.get_xlim()[1]:
            self.plot.set_xlim(0.0, wide)
        for guard, line, point, name in zip(picture.guards, self.widths, self.points, self.names, strict=True):
            for artist in (line, point, name):
                artist.set_visible(guard in shown)
            if guard in shown:
                self._mark(guard, picture.system, (line, point, name))
        self.nothing.set_visible(not shown)
        self.words = _in_words(picture) + plus_pinned(pinned)

    def _mark(self, guard: Guard, system: str, artists: tuple) -> None:
        line, point, name = artists
        x, least = guard.width / self.unit, guard.least / self.unit
        y = least if guard.far is None else guard.far / self.unit
        line.set_data([x, x], [self.plot.get_ylim()[0], max(least, y)])
        point.set_data([x], [y])
        point.set(marker=MARKS[guard.shape], fillstyle="full" if guard.counts else "none")
        words = guard.stage + ("" if guard.counts else f": {guard.kind}" if guard.kind else "")
        off = f"{show(guard.least, 'length', system, digits=3)} off or more"
        left = x < 0.5 * self.plot.get_xlim()[1]
        name.set(text=f" {words} \n {off} ", x=x, ha="left" if left else "right")


def _in_words(picture: ReachPicture) -> str:
    words = "How far an opening of a guard must stand from what turns, by its smallest width, for slots, squares and "
    words += "round holes."
    for g in picture.counting:
        words += f" {g.stage}: {g.shape} openings of {show(g.width, 'length', picture.system)}, "
        words += f"{show(g.far, 'length', picture.system)} from what turns."
    if not picture.counting:
        words += " No guard of this build has openings that are written down."
    for g in picture.guards:
        if g.least is not None and not g.counts:
            words += f" Tried at {g.stage}: {g.shape or 'slot'} of {show(g.width, 'length', picture.system)} stands "
            words += f"{show(g.least, 'length', picture.system)} off or more."
    return words


def picture_of(results: Results) -> ReachPicture:
    """Return the picture of a build's guards."""
    build, found = results.build, []
    for name in build.names("stage"):
        at = f"stage[{name}]"
        if build.get(f"{at}.kind") not in GUARDED:
            continue
        width, far = (build.measure(f"{at}.guard_{k}") for k in ("opening", "distance"))
        kind, shape = (str(build.get(f"{at}.{k}") or "") for k in ("guard", "guard_shape"))
        found.append(Guard(name, kind, shape, *(None if m is None else m.si for m in (width, far))))
    return ReachPicture(tuple(found), build.system)


def draw(chapter: Findings, results: Results) -> Iterator[tuple[str, View, object] | tuple[str, View, object, str]]:
    """Yield each loop with its nips and guard, and the reach through openings where a guard of the build has some."""
    for loop in loops_drawn(chapter.data, results.build.system):
        stage = loop.loop.stage
        yield f"{stage}: where a hand is drawn in, and its guard", NipView(view_name("nips", stage), loop), loop, stage
    picture = picture_of(results)
    if picture.counting:
        yield "Openings of the guards", ReachView("guards", picture), picture

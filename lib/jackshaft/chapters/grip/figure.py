"""A loop under tension: strands as thick as they are tight, hub loads as arrows, and the draws that hold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Circle
from matplotlib.text import Text

from jackshaft.chapters.grip import tag_figure as tag
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.grip.facts import percent
from jackshaft.chapters.grip.uncertainty import BINS
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.chapters.layout.figure import INCH, MM, belt_points, beside_strand, frame_of
from jackshaft.drawing import style
from jackshaft.drawing.view import Candidate, View
from jackshaft.results import Findings, Results
from jackshaft.units import show

#: The longest hub arrow over the width of the drawing.
LONGEST = 0.2


@dataclass(frozen=True)
class GripPicture:
    """One loop with its tensions; ``stage`` is None where its power or speed is not known."""

    layout: StageLayout
    stage: StageGrip | None
    system: str

    @property
    def unit(self) -> float:
        """Metres for one unit of the drawing."""
        return INCH if self.system == "inch" else MM


class GripView(View):
    """Draws one loop with its strands and hub loads, and under it the spread of what it holds."""

    size = (7.2, 6.2)

    def __init__(self, name: str, picture: GripPicture):
        self.first = picture
        self.words = ""
        self.frame = frame_of([picture.layout], picture.unit)
        super().__init__(name)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        count = len(self.first.layout.pulleys.names)
        self.axes = ax = style.add_plane(figure, *self.frame, box=(0.01, 0.32, 0.98, 0.605))
        self.rims = [
            ax.add_patch(Circle((0, 0), 1, facecolor=style.FILL, edgecolor=style.METAL, linewidth=style.LINE))
            for _ in range(count)
        ]
        self.belt = ax.plot([], [], color=style.BELT, linewidth=style.LINE)[0]
        self.strands = [ax.plot([], [], color=style.BELT, solid_capstyle="butt")[0] for _ in range(count)]
        self.rest = ax.plot([], [], color=style.MUTED, linewidth=style.HEAVY, linestyle=(0, (3, 2)))[0]
        self.loads = [
            style.arrow(ax, (0, 0), (1, 0), colour=style.ACCENT, width=style.HEAVY, head_points=13)
            for _ in range(count)
        ]
        self.names = [
            style.label(ax, (0, 0), size=style.BODY, bold=True, up="bottom", boxed=False) for _ in range(count)
        ]
        self.pulls = [
            style.label(ax, (0, 0), size=style.BODY, colour=style.ACCENT, up="top", boxed=False) for _ in range(count)
        ]
        self.tensions = [style.label(ax, (0, 0), size=style.BODY, colour=style.BELT) for _ in range(count)]
        self.blocks = [np.zeros((0, 2))] * count
        figure.text(
            0.988,
            0.295,
            "strand: thicker is tighter · arrow: belt on shaft at work · dashes: at rest",
            ha="right",
            fontsize=style.SMALL,
            color=style.MUTED,
        )
        self.plot = style.add_plot(
            figure,
            (BINS[0], BINS[-1]),
            (0.0, 1.25),
            x_label="holds so many times the working load",
            y_label="",
            box=(0.05, 0.085, 0.92, 0.15),
        )
        self.plot.set_yticks([])
        self.plot.spines["left"].set_visible(False)
        self.spread = self.plot.stairs(np.zeros(len(BINS) - 1), BINS, fill=True, color=style.GRID)
        self.others = [
            self.plot.stairs(np.zeros(len(BINS) - 1), BINS, color=c, linewidth=style.HEAVY) for c, _ in style.CANDIDATES
        ]
        self.letters = [
            style.label(self.plot, (0, 0), size=style.BODY, colour=c, up="bottom", bold=True)
            for c, _ in style.CANDIDATES
        ]
        self.band = self.plot.plot([], [], color=style.BELT, linewidth=5.0, solid_capstyle="butt")[0]
        self.likely = self.plot.plot([], [], "o", color=style.BELT, markersize=8)[0]
        self.limits = [
            self.plot.plot([], [], color=colour, linewidth=style.HEAVY)[0] for colour in (style.INK, style.STOP)
        ]
        self.limit_words = [
            style.label(self.plot, (0, 1.2), size=style.BODY, colour=colour, up="top", across="left", boxed=False)
            for colour in (style.INK, style.STOP)
        ]
        self.said = figure.text(0.05, 0.245, "", fontsize=style.SMALL, color=style.INK, va="bottom", linespacing=1.35)

    def update(self, picture: GripPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Move everything to a loop."""
        layout, stage, unit = picture.layout, picture.stage, picture.unit
        self._reframe(layout, unit)
        fits = layout.path.reason == 0
        x, y = layout.places.x / unit, layout.places.y / unit
        rim = np.maximum(layout.pulleys.outside, layout.pulleys.pitch) / unit
        for i, patch in enumerate(self.rims):
            patch.set(center=(x[i], y[i]), radius=rim[i])
        points = belt_points(layout) / unit
        self.belt.set_data(points[:, 0], points[:, 1])
        self._loads(layout, stage, unit, picture.system, x, y, rim)
        self._strands(layout, stage, unit, picture.system, fits)
        self._spread(stage, pinned, picture.system)
        self.words = self._say(picture, pinned)

    def _reframe(self, layout: StageLayout, unit: float) -> None:
        (x0, x1), (y0, y1) = frame_of([layout], unit)
        (a0, a1), (b0, b1) = self.frame
        if x0 < a0 or x1 > a1 or y0 < b0 or y1 > b1:
            # With room to spare, so that the next steps of a slider need no new frame.
            spare = 0.08 * max(x1 - x0, y1 - y0)
            self.frame = (min(x0 - spare, a0), max(x1 + spare, a1)), (min(y0 - spare, b0), max(y1 + spare, b1))
            style.frame_plane(self.axes, *self.frame)

    def _width(self) -> float:
        low, high = self.axes.get_xlim()
        return high - low

    def _strands(self, layout: StageLayout, stage: StageGrip | None, unit: float, system: str, fits: bool) -> None:
        net = None if stage is None else stage.net
        top = None if net is None else max(float(net.max()), 1e-9)
        avoid = self._taken(layout, stage, unit)
        for i, (line, text) in enumerate(zip(self.strands, self.tensions, strict=True)):
            line.set_visible(fits)
            text.set_visible(fits and stage is not None)
            if not fits:
                continue
            a, b = layout.start[i] / unit, layout.end[i] / unit
            line.set_data([a[0], b[0]], [a[1], b[1]])
            width = 2.6 if net is None else 1.5 + 5.5 * max(0.0, float(net[i])) / top
            line.set_linewidth(width)
            if stage is None:
                continue
            side = {1: "tight", -1: "slack", 0: ""}[int(stage.strand_role[i])]
            value = "" if net is None else show(float(net[i]) + stage.centrifugal, "force", system) + " "
            text.set(text=f"{value}{side}")
            wide = self._width()
            text.set_position(beside_strand(layout, i, unit, 0.045 * wide, 0.06 * wide, avoid))

    def _scale(self, stage: StageGrip) -> float:
        """Return the length of a hub arrow for one newton, in units of the drawing."""
        most = max(float(np.hypot(*stage.hub.T).max()), float(np.hypot(*stage.hub_rest.T).max()), 1e-9)
        return LONGEST * self._width() / most

    def _taken(self, layout: StageLayout, stage: StageGrip | None, unit: float) -> np.ndarray:
        """Return points where names and hub arrows stand, shape (N, 2)."""
        blocks = np.concatenate(self.blocks)
        if stage is None or stage.hub is None:
            return blocks
        hubs = np.stack([layout.places.x, layout.places.y], -1) / unit
        along = np.linspace(0.0, 1.0, 12)[:, None, None]
        return np.concatenate([blocks, (hubs + along * self._scale(stage) * stage.hub).reshape(-1, 2)])

    def _loads(self, layout, stage, unit, system, x, y, rim) -> None:
        known = stage is not None and stage.hub is not None
        if known:
            sizes = np.hypot(*stage.hub.T)
            scale = self._scale(stage)
        rest_x, rest_y = [], []
        for i, (arrow, name, pull) in enumerate(zip(self.loads, self.names, self.pulls, strict=True)):
            arrow.set_visible(known)
            here = np.array([x[i], y[i]])
            along = stage.hub[i] / max(float(sizes[i]), 1e-9) if known else np.zeros(2)
            words = [show(float(sizes[i]), "force", system)] if known else []
            words += ["slips first"] if stage is not None and i == stage.limiting else []
            name.set_text(layout.pulleys.names[i])
            pull.set_text("\n".join(words))
            self.blocks[i] = self._place(name, pull, here, along, rim[i])
            if not known:
                continue
            arrow.set_positions(tuple(here), tuple(here + scale * stage.hub[i]))
            still = here + scale * stage.hub_rest[i]
            rest_x += [x[i], still[0], np.nan]
            rest_y += [y[i], still[1], np.nan]
        self.rest.set_data(rest_x, rest_y)

    def _place(self, name: Text, pull: Text, here: np.ndarray, along: np.ndarray, rim: float) -> np.ndarray:
        """Put a name and a pull on the far side of the arrow, inside the rim where they fit; return their points."""
        low, high = np.transpose([self.axes.get_xlim(), self.axes.get_ylim()])
        point = self._width() / (72 * self.size[0] * self.axes.get_position().width)
        lines = [s for s in (name.get_text(), *pull.get_text().split("\n")) if s]
        # 0.6 and 1.3 of the size are the mean advance and the height of a line of this font
        half = style.BODY * point * np.array([0.3 * max(map(len, lines), default=0), 0.65 * len(lines)])
        reach = float(np.abs(along) @ half) + 4 * point
        inside = reach + float(np.abs(along) @ half) < 0.97 * rim
        at = here - along * (reach if inside else rim + reach) if along.any() else here
        x, y = np.clip(at, low + half, high - half)
        top = y + half[1] - 1.3 * style.BODY * point
        # a J reaches below its line
        name.set_position((x, top + 2 * point))
        pull.set_position((x, top))
        return np.array([[x + s * half[0], y + t * half[1]] for s in (-1, 0, 1) for t in (-1, 0, 1)])

    def _spread(self, stage: StageGrip | None, pinned: Sequence[Candidate], system: str) -> None:
        shares = None if stage is None else stage.shares
        counts = np.zeros(len(BINS) - 1) if shares is None else shares.counts / max(1, int(shares.counts.max()))
        self.spread.set_data(counts)
        known = stage is not None and stage.margin is not None
        ends = np.clip([stage.margin_bad, stage.margin], BINS[0], BINS[-1]) if known else []
        self.band.set_data(ends, [0.5] * len(ends))
        self.likely.set_data(ends[-1:], [0.5] * len(ends[-1:]))
        limits = (
            []
            if stage is None
            else [
                (1.0, "work"),
                *([(stage.peak_factor, f"peak, {stage.peak_factor:g} ×")] if stage.peak_factor else []),
            ]
        )
        for k, (line, text) in enumerate(zip(self.limits, self.limit_words, strict=True)):
            shown = k < len(limits) and limits[k][0] <= BINS[-1]
            line.set_visible(shown)
            text.set_visible(shown)
            if shown:
                line.set_data([limits[k][0]] * 2, [0.0, 1.25])
                text.set(text=f" {limits[k][1]}")
                text.set_position((limits[k][0], 1.22))
        self.said.set_text(self._share_words(stage, system).replace("\nhold", " hold").replace("work\n", "work, "))
        for patch, letter, candidate in zip(
            self.others, self.letters, [*pinned, *[None] * len(self.others)], strict=False
        ):
            other = None if candidate is None or candidate.picture.stage is None else candidate.picture.stage.shares
            patch.set_visible(other is not None)
            letter.set_visible(other is not None)
            if other is not None:
                patch.set_data(other.counts / max(1, int(other.counts.max())))
                patch.set(edgecolor=candidate.colour, linestyle=(0, candidate.dashes))
                top = int(np.argmax(other.counts))
                letter.set_text(candidate.letter)
                letter.set_position(((BINS[top] + BINS[top + 1]) / 2, 1.02))

    @staticmethod
    def _share_words(stage: StageGrip | None, system: str) -> str:
        if stage is None:
            return "power or speed not known yet"
        if stage.shares is None:
            return f"tension not known yet; the work needs {show(stage.needed, 'force', system)}"
        peak = "" if stage.shares.peak is None else f"\n{percent(stage.shares.peak)} at the peak"
        past = (
            ""
            if stage.margin is None or stage.margin <= BINS[-1]
            else f"\nlikely {stage.margin:.1f} ×: past this scale"
        )
        return f"{percent(stage.shares.work)} of {stage.shares.count} draws\nhold at work{peak}{past}"

    def _say(self, picture: GripPicture, pinned: Sequence[Candidate]) -> str:
        layout, stage = picture.layout, picture.stage
        if layout.path.reason != 0:
            return f"{layout.name}: the belt cannot go round."
        if stage is None or stage.net is None:
            return f"{layout.name}: {self._share_words(stage, picture.system)}."
        names = layout.pulleys.names
        strands = "; ".join(
            f"{n} to {names[(i + 1) % len(names)]} "
            f"{show(float(stage.net[i]) + stage.centrifugal, 'force', picture.system)}"
            for i, n in enumerate(names)
        )
        hubs = ", ".join(
            f"{n} {show(float(np.hypot(*h)), 'force', picture.system)}" for n, h in zip(names, stage.hub, strict=True)
        )
        over = f" Candidates overlaid: {', '.join(c.letter for c in pinned)}." if pinned else ""
        return (
            f"{layout.name}: {names[stage.limiting]} slips first, at {stage.margin:.2f} times the working load "
            f"({stage.margin_bad:.2f} at the bad end). Strands at work: {strands}. Hub loads at work: {hubs}. "
            + self._share_words(stage, picture.system).replace("\nhold", " hold").replace("\n", ", ")
            + f".{over}"
        )

    def alt(self) -> str:
        """Return in words what is drawn now."""
        return self.words


def picture_of(results: Results, stage: str) -> GripPicture | None:
    """Return the picture of one belt stage of a worked-up build, or None where nothing can be drawn."""
    chapter = results.chapters.get("layout")
    layout = (chapter.data or {}).get(stage) if chapter else None
    if layout is None:
        return None
    grip = results.chapters.get("grip")
    return GripPicture(layout, (grip.data or {}).get(stage) if grip else None, results.build.system)


def draw(chapter: Findings, results: Results) -> Iterator[tuple[str, View, object]]:
    """Yield, for every belt stage with a load, its tensions and the tag for inside the guard."""
    for number, (name, stage) in enumerate((chapter.data or {}).items()):
        picture = picture_of(results, name)
        yield f"{name}, tensions and hub loads", GripView(f"grip-{number}", picture), picture
        yield (
            f"{name}, tension tag for inside the guard",
            tag.TagView(f"tag-{number}"),
            tag.TagPicture(name, results.build.name, stage.set.tag, stage.set.told),
        )

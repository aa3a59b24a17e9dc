"""A belt loop to scale: pulleys, strands, directions, wraps, bodies and the take-up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Circle, Polygon
from matplotlib.transforms import ScaledTranslation

from jackshaft.chapters.layout.analysis import StageLayout
from jackshaft.drawing import style
from jackshaft.drawing.view import Candidate, View
from jackshaft.results import Findings, Results
from jackshaft.units import INCH, show

MM = 1e-3
TURN_WORDS = {1: "counter-clockwise", -1: "clockwise"}


@dataclass(frozen=True)
class LayoutPicture:
    """One loop as it is drawn; ``role`` tells tight (+1), slack (-1) and other strands, None when not known."""

    layout: StageLayout
    role: np.ndarray | None
    system: str

    @property
    def unit(self) -> float:
        """Metres for one unit of the drawing."""
        return INCH if self.system == "inch" else MM


def belt_points(layout: StageLayout, steps: int = 40) -> np.ndarray:
    """Return the belt's cord line as points (N, 2) in metres, closed; empty where the belt cannot go round."""
    if layout.path.reason != 0:
        return np.zeros((0, 2))
    points = []
    for i in range(len(layout.pulleys.names)):
        centre = np.array([layout.places.x[i], layout.places.y[i]])
        arrive = layout.end[i - 1] - centre
        first = np.arctan2(arrive[1], arrive[0])
        angle = first + layout.path.turn[i] * np.linspace(0.0, layout.path.wrap[i], steps)
        points.append(centre + layout.pulleys.pitch[i] * np.stack([np.cos(angle), np.sin(angle)], -1))
    return np.concatenate([*points, points[0][:1]])


def frame_of(layouts: Sequence[StageLayout], unit: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return what a drawing of these loops must show, in units of the drawing."""
    low, high = np.full(2, np.inf), np.full(2, -np.inf)
    for layout in layouts:
        spots = np.stack([layout.places.x, layout.places.y], -1)
        rim = np.maximum(layout.pulleys.outside, layout.pulleys.pitch)[:, None]
        low, high = np.minimum(low, (spots - rim).min(0)), np.maximum(high, (spots + rim).max(0))
        for body in layout.bodies:
            size = body.radius if body.corners is None else np.abs(body.corners - (body.x, body.y)).max(0)
            low, high = (
                np.minimum(low, np.array([body.x, body.y]) - size),
                np.maximum(high, np.array([body.x, body.y]) + size),
            )
        if layout.pivot is not None:
            low, high = np.minimum(low, layout.pivot), np.maximum(high, layout.pivot)
    room = 0.06 * (high - low).max()
    (x0, y0), (x1, y1) = (low - room) / unit, (high + room) / unit
    return (x0, x1), (y0, y1)


def beside_strand(
    layout: StageLayout, strand: int, unit: float, far: float, half: float, avoid: np.ndarray | None = None
) -> tuple[float, float]:
    """Return where the words of a strand stand, in units of the drawing: by its middle and outside, if that is free.

    ``far`` is how far from the strand they stand, ``half`` half their width; they keep clear of the points ``avoid``,
    shape (N, 2).
    """
    a, b = layout.start[strand] / unit, layout.end[strand] / unit
    outward = np.array([layout.path.uy[strand], -layout.path.ux[strand]]) * (1 if layout.ccw else -1)
    spots = np.array(
        [a + s * (b - a) + k * far * outward for k in (1, -1, 1.7, -1.7, 2.2) for s in (0.5, 0.3, 0.7, 0.1, 0.9)]
    )
    centres = np.stack([layout.places.x, layout.places.y], -1) / unit
    rim = np.maximum(layout.pulleys.outside, layout.pulleys.pitch) / unit
    if avoid is not None:
        centres, rim = np.concatenate([centres, avoid]), np.append(rim, np.zeros(len(avoid)))
    words = spots[:, None] + half * np.stack([np.linspace(-1, 1, 7), np.zeros(7)], -1)
    clear = (np.linalg.norm(words[:, :, None] - centres, axis=-1) - rim).min((1, 2))
    free = np.nonzero(clear >= 0.4 * far)[0]
    return tuple(spots[free[0] if len(free) else int(np.argmax(clear))])


class LayoutView(View):
    """Draws one loop; the frame stays put unless the loop leaves it."""

    size = (7.2, 5.2)

    def __init__(self, name: str, picture: LayoutPicture):
        self.first = picture
        self.unit = picture.unit
        self.words = ""
        self.frame = frame_of([picture.layout], self.unit)
        super().__init__(name)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        count = len(self.first.layout.pulleys.names)
        self.axes = ax = style.add_plane(figure, *self.frame, box=(0.01, 0.055, 0.98, 0.845))
        self.rims = [
            ax.add_patch(Circle((0, 0), 1, facecolor=style.FILL, edgecolor=style.METAL, linewidth=style.LINE))
            for _ in range(count)
        ]
        self.hubs = ax.plot([], [], "+", color=style.INK, markersize=7, zorder=5)[0]
        self.bodies = [
            ax.add_patch(
                Polygon([(0, 0)] * 3, facecolor="none", edgecolor=style.MUTED, hatch="////", linewidth=style.LINE)
            )
            for _ in self.first.layout.bodies
        ]
        self.arm = ax.plot([], [], color=style.ACCENT, linewidth=style.HEAVY, linestyle=(0, (4, 2)))[0]
        self.pivot = ax.plot([], [], "o", color=style.ACCENT, markersize=6)[0]
        self.pinned = [ax.plot([], [], linewidth=style.HEAVY)[0] for _ in style.CANDIDATES]
        self.belt = ax.plot([], [], color=style.BELT, linewidth=style.BELT_WIDTH, solid_joinstyle="round")[0]
        self.tight = ax.plot([], [], color=style.BELT, linewidth=style.BELT_WIDTH + 2.2, solid_capstyle="butt")[0]
        self.travel = style.arrow(ax, (0, 0), (1, 0), colour=style.BELT, head_points=18, width=style.HEAVY)
        self.turns = [style.TurnArrow(ax, colour=style.INK) for _ in range(count)]
        self.names = [style.label(ax, (0, 0), size=style.BODY, bold=True, boxed=False, up="top") for _ in range(count)]
        for text in self.names:
            # clear of the cross that marks the centre, whatever the scale
            text.set_transform(ax.transData + ScaledTranslation(0, -6.5 / 72, figure.dpi_scale_trans))
        self.spans = [style.label(ax, (0, 0), size=style.SMALL, colour=style.MUTED) for _ in range(count)]
        self.body_names = [style.label(ax, (0, 0), size=style.SMALL, colour=style.MUTED) for _ in self.bodies]
        self.scale = ax.plot([], [], color=style.INK, linewidth=style.HEAVY, solid_capstyle="butt")[0]
        self.scale_words = figure.text(0.012, 0.012, "", fontsize=style.SMALL, color=style.INK)
        figure.text(
            0.988,
            0.012,
            "seen facing the engine shaft · °: wrap · thick: tight",
            ha="right",
            fontsize=style.SMALL,
            color=style.MUTED,
        )

    def update(self, picture: LayoutPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Move everything to a loop."""
        layout, unit = picture.layout, picture.unit
        self._reframe([layout, *(c.picture.layout for c in pinned)])
        x, y = layout.places.x / unit, layout.places.y / unit
        rim = np.maximum(layout.pulleys.outside, layout.pulleys.pitch) / unit
        fits = layout.path.reason == 0
        for i, patch in enumerate(self.rims):
            patch.set(center=(x[i], y[i]), radius=rim[i])
            way = int(layout.path.turn[i])
            self.turns[i].move((x[i], y[i]), 0.62 * rim[i], anticlockwise=way > 0, start_deg=90.0)
        self.hubs.set_data(x, y)
        points = belt_points(layout) / unit
        self.belt.set_data(points[:, 0], points[:, 1])
        self._strands(picture, fits)
        self._labels(layout, x, y, rim, unit, picture.system, fits)
        self._rest(layout, unit, picture.system)
        for line, candidate in zip(self.pinned, [*pinned, *[None] * len(self.pinned)], strict=False):
            line.set_visible(candidate is not None)
            if candidate is not None:
                there = belt_points(candidate.picture.layout) / unit
                line.set_data(there[:, 0], there[:, 1])
                line.set(color=candidate.colour, dashes=candidate.dashes)
        self.words = self._say(picture, pinned, fits)

    def _reframe(self, layouts: Sequence[StageLayout]) -> None:
        (x0, x1), (y0, y1) = frame_of(layouts, self.unit)
        (a0, a1), (b0, b1) = self.frame
        if x0 < a0 or x1 > a1 or y0 < b0 or y1 > b1:
            self.frame = (min(x0, a0), max(x1, a1)), (min(y0, b0), max(y1, b1))
            style.frame_plane(self.axes, *self.frame)

    def _strands(self, picture: LayoutPicture, fits: bool) -> None:
        layout, unit = picture.layout, picture.unit
        xs, ys = [], []
        if fits and picture.role is not None:
            for i in np.nonzero(picture.role > 0)[0]:
                xs += [layout.start[i, 0] / unit, layout.end[i, 0] / unit, np.nan]
                ys += [layout.start[i, 1] / unit, layout.end[i, 1] / unit, np.nan]
        self.tight.set_data(xs, ys)
        self.travel.set_visible(fits)
        if fits:
            i = int(np.argmax(layout.path.span))
            a, b = layout.start[i] / unit, layout.end[i] / unit
            self.travel.set_positions(tuple(a + 0.62 * (b - a)), tuple(a + 0.78 * (b - a)))

    def _labels(self, layout, x, y, rim, unit, system, fits) -> None:
        for i, text in enumerate(self.names):
            wrap = f"\n{np.degrees(layout.path.wrap[i]):.0f}°" if fits else ""
            text.set(text=layout.pulleys.names[i] + wrap)
            text.set_position((x[i], y[i]))
        for i, text in enumerate(self.spans):
            text.set_visible(fits)
            if fits:
                wide = self.axes.get_xlim()[1] - self.axes.get_xlim()[0]
                text.set(text=show(float(layout.path.span[i]), "length", system, digits=3))
                text.set_position(beside_strand(layout, i, unit, 0.035 * wide, 0.03 * wide))

    def _rest(self, layout: StageLayout, unit: float, system: str) -> None:
        for patch, text, body in zip(self.bodies, self.body_names, layout.bodies, strict=False):
            if body.corners is None:
                angle = np.linspace(0, 2 * np.pi, 40)
                corners = np.array([body.x, body.y]) + body.radius * np.stack([np.cos(angle), np.sin(angle)], -1)
            else:
                corners = body.corners
            patch.set_xy(corners / unit)
            text.set(text=body.name)
            text.set_position((body.x / unit, body.y / unit))
        has_arm = layout.pivot is not None and layout.idler is not None
        self.arm.set_visible(has_arm)
        self.pivot.set_visible(has_arm)
        if has_arm:
            k, (px, py) = layout.idler, layout.pivot
            self.arm.set_data([px / unit, layout.places.x[k] / unit], [py / unit, layout.places.y[k] / unit])
            self.pivot.set_data([px / unit], [py / unit])
        (x0, x1), (y0, _) = self.axes.get_xlim(), self.axes.get_ylim()
        step = _round_length(0.18 * (x1 - x0))
        self.scale.set_data([x0 + 0.012 * (x1 - x0), x0 + 0.012 * (x1 - x0) + step], [y0 + 0.004 * (x1 - x0)] * 2)
        self.scale_words.set_text(f"bar: {step:g} {'in' if system == 'inch' else 'mm'}")

    def _say(self, picture: LayoutPicture, pinned: Sequence[Candidate], fits: bool) -> str:
        layout = picture.layout
        if not fits:
            return f"{layout.name}: pulleys {', '.join(layout.pulleys.names)}; the belt cannot go round."
        length = show(float(layout.path.length), "length", picture.system)
        each = "; ".join(
            f"{n} {'inside' if i else 'outside'}, wrap {np.degrees(w):.1f}°, turns {TURN_WORDS[int(t)]}"
            for n, i, w, t in zip(
                layout.pulleys.names, layout.pulleys.inside, layout.path.wrap, layout.path.turn, strict=True
            )
        )
        over = f" Candidates overlaid: {', '.join(c.letter for c in pinned)}." if pinned else ""
        return (
            f"{layout.name}: belt path {length} on the cord line. {each}. Seen facing the engine's output shaft.{over}"
        )

    def alt(self) -> str:
        """Return in words what is drawn now."""
        return self.words


def _round_length(about: float) -> float:
    """Return 1, 2 or 5 times a power of ten not above ``about``."""
    power = 10.0 ** np.floor(np.log10(about))
    return float(power * max(m for m in (1, 2, 5) if m * power <= about))


def picture_of(results: Results, stage: str) -> LayoutPicture | None:
    """Return the picture of one belt stage of a worked-up build, or None where nothing can be drawn."""
    chapter = results.chapters.get("layout")
    layout = (chapter.data or {}).get(stage) if chapter else None
    if layout is None:
        return None
    grip = results.chapters.get("grip")
    stage_grip = (grip.data or {}).get(stage) if grip else None
    return LayoutPicture(layout, None if stage_grip is None else stage_grip.strand_role, results.build.system)


def draw(chapter: Findings, results: Results) -> Iterator[tuple[str, View, object, str]]:
    """Yield a picture for every belt stage that can be drawn."""
    for number, stage in enumerate(chapter.data or {}):
        picture = picture_of(results, stage)
        yield f"{stage}, to scale", LayoutView(f"layout-{number}", picture), picture, stage

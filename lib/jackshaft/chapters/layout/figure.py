"""A belt loop to scale: pulleys, strands, directions, wraps, bodies and the take-up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Circle, Polygon
from matplotlib.transforms import ScaledTranslation

from jackshaft.chapters.layout.analysis import StageLayout
from jackshaft.chapters.ratio.data import ARROWS
from jackshaft.drawing import style
from jackshaft.drawing.following import Following, overlaid, plus_pinned
from jackshaft.drawing.view import Candidate, View
from jackshaft.results import Findings, Results
from jackshaft.units import read, show


@dataclass(frozen=True)
class LoopPicture:
    """One loop as it is drawn."""

    layout: StageLayout
    system: str

    @property
    def unit(self) -> float:
        """Metres for one unit of the drawing."""
        return read("1 in" if self.system == "inch" else "1 mm", "length").si

    @property
    def rim(self) -> np.ndarray:
        """Radius of each pulley's rim, in units of the drawing."""
        return np.maximum(self.layout.pulleys.outside, self.layout.pulleys.pitch) / self.unit

    @property
    def centres(self) -> np.ndarray:
        """Centre of each pulley, in units of the drawing, shape (n, 2)."""
        return np.stack([self.layout.places.x, self.layout.places.y], -1) / self.unit

    @property
    def fits(self) -> bool:
        """Whether the belt can go round."""
        return self.layout.path.reason == 0

    def strand(self, i: int) -> tuple[np.ndarray, np.ndarray]:
        """Return both ends of strand ``i``, in units of the drawing."""
        return self.layout.start[i] / self.unit, self.layout.end[i] / self.unit


@dataclass(frozen=True)
class LayoutPicture(LoopPicture):
    """One loop; ``role`` tells tight (+1), slack (-1) and other strands, None when not known."""

    role: np.ndarray | None


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


def frame_of(pictures: Sequence[LoopPicture], margin: float = 0.06) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return what a drawing of these loops must show, in units of the drawing; ``margin`` is a share of its size."""
    low, high = [], []
    for picture in pictures:
        layout, unit = picture.layout, picture.unit
        low += list(picture.centres - picture.rim[:, None])
        high += list(picture.centres + picture.rim[:, None])
        for body in layout.bodies:
            size = body.radius if body.corners is None else np.abs(body.corners - (body.x, body.y)).max(0)
            low.append((np.array([body.x, body.y]) - size) / unit)
            high.append((np.array([body.x, body.y]) + size) / unit)
        if layout.pivot is not None:
            low.append(np.array(layout.pivot) / unit)
            high.append(np.array(layout.pivot) / unit)
    low, high = np.min(low, 0), np.max(high, 0)
    room = margin * (high - low).max()
    (x0, y0), (x1, y1) = low - room, high + room
    return (x0, x1), (y0, y1)


def beside_strand(
    picture: LoopPicture, strand: int, far: float, half: float, avoid: np.ndarray | None = None
) -> tuple[float, float]:
    """Return where the words of a strand are put, in units of the drawing: by its middle and outside, if that is free.

    ``far`` is how far from the strand they are, ``half`` half their width; they keep clear of the points ``avoid``,
    shape (N, 2).
    """
    path, (a, b) = picture.layout.path, picture.strand(strand)
    outward = np.array([path.uy[strand], -path.ux[strand]]) * (1 if picture.layout.ccw else -1)
    spots = np.array(
        [a + s * (b - a) + k * far * outward for k in (1, -1, 1.7, -1.7, 2.2) for s in (0.5, 0.3, 0.7, 0.1, 0.9)]
    )
    centres, rim = picture.centres, picture.rim
    if avoid is not None:
        centres, rim = np.concatenate([centres, avoid]), np.append(rim, np.zeros(len(avoid)))
    words = spots[:, None] + half * np.stack([np.linspace(-1, 1, 7), np.zeros(7)], -1)
    clear = (np.linalg.norm(words[:, :, None] - centres, axis=-1) - rim).min((1, 2))
    free = np.nonzero(clear >= 0.4 * far)[0]
    return tuple(spots[free[0] if len(free) else int(np.argmax(clear))])


class LoopView(Following):
    """Draws the pulleys and the belt of one loop; the frame stays put unless the loop leaves it."""

    #: Room added where the frame grows, as a share of its larger side.
    spare = 0.0
    #: Room round the loop for words, as a share of its size: on a page and on a phone.
    margins = (0.06, 0.06)

    def add_loop(self, figure: Figure, box: tuple[float, float, float, float]) -> int:
        """Make the plane and the pulleys, and return how many there are; the view itself makes its ``belt``."""
        self.frame = frame_of([self.first], self.by_width(*self.margins))
        self.axes = ax = style.add_plane(figure, *self.frame, box=box)
        self.rims = [
            ax.add_patch(Circle((0, 0), 1, facecolor=style.FILL, edgecolor=style.METAL, linewidth=style.LINE))
            for _ in self.first.layout.pulleys.names
        ]
        return len(self.rims)

    @property
    def wide(self) -> float:
        """What the drawing shows from left to right, in its units."""
        low, high = self.axes.get_xlim()
        return high - low

    def move_loop(self, picture: LoopPicture, others: Sequence[LoopPicture] = ()) -> None:
        """Move pulleys and belt, with a frame that shows the other loops too."""
        (x0, x1), (y0, y1) = frame_of([picture, *others], self.by_width(*self.margins))
        (a0, a1), (b0, b1) = self.frame
        if x0 < a0 or x1 > a1 or y0 < b0 or y1 > b1:
            more = self.spare * max(x1 - x0, y1 - y0)
            self.frame = (min(x0 - more, a0), max(x1 + more, a1)), (min(y0 - more, b0), max(y1 + more, b1))
            style.frame_plane(self.axes, *self.frame)
        for patch, centre, radius in zip(self.rims, picture.centres, picture.rim, strict=True):
            patch.set(center=tuple(centre), radius=radius)
        self.belt.set_data(*(belt_points(picture.layout) / picture.unit).T)


class LayoutView(LoopView):
    """Draws one loop with its wraps, its bodies and its take-up."""

    size, phone = (7.2, 5.2), (3.8, 3.6)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        count = self.add_loop(figure, self.by_width((0.01, 0.055, 0.98, 0.845), (0.01, 0.10, 0.98, 0.77)))
        ax = self.axes
        self.hubs = ax.plot([], [], "+", color=style.INK, markersize=7, zorder=5)[0]
        self.bodies = [
            ax.add_patch(
                Polygon([(0, 0)] * 3, facecolor="none", edgecolor=style.MUTED, hatch="////", linewidth=style.LINE)
            )
            for _ in self.first.layout.bodies
        ]
        self.arm = ax.plot([], [], color=style.ACCENT, linewidth=style.HEAVY, linestyle=(0, (4, 2)))[0]
        self.pivot = ax.plot([], [], "o", color=style.ACCENT, markersize=6)[0]
        self.sold = ax.plot([], [], "o", color=style.ACCENT, markersize=4, markerfacecolor="none", zorder=6)[0]
        self._sold_for: tuple = ()
        self.pinned = [ax.plot([], [], linewidth=style.HEAVY)[0] for _ in style.CANDIDATES]
        self.belt = ax.plot([], [], color=style.BELT, linewidth=style.BELT_WIDTH, solid_joinstyle="round")[0]
        self.tight = ax.plot([], [], color=style.BELT, linewidth=style.BELT_WIDTH + 2.2, solid_capstyle="butt")[0]
        self.travel = style.arrow(ax, (0, 0), (1, 0), colour=style.BELT, head_points=18, width=style.HEAVY)
        self.turns = [style.TurnArrow(ax, colour=style.INK) for _ in range(count)]
        letters = self.by_width(style.BODY, style.SMALL)
        self.names = [style.label(ax, (0, 0), size=letters, bold=True, boxed=False, up="top") for _ in range(count)]
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
            self.by_width(
                "seen facing the engine shaft · °: wrap · thick: tight",
                "seen facing the engine shaft\n°: wrap · thick: tight",
            ),
            ha="right",
            fontsize=style.SMALL,
            color=style.MUTED,
        )

    def update(self, picture: LayoutPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Move everything to a loop."""
        self.move_loop(picture, [c.picture for c in pinned])
        for i, arrow in enumerate(self.turns):
            way = int(picture.layout.path.turn[i])
            arrow.move(tuple(picture.centres[i]), 0.62 * picture.rim[i], anticlockwise=way > 0, start_deg=90.0)
        self.hubs.set_data(*picture.centres.T)
        self._strands(picture)
        self._labels(picture)
        self._rest(picture.layout, picture.unit, picture.system)
        for line, candidate in overlaid(self.pinned, pinned):
            line.set_data(*(belt_points(candidate.picture.layout) / picture.unit).T)
            line.set(color=candidate.colour, dashes=candidate.dashes)
        self.words = _in_words(picture, pinned)

    def _strands(self, picture: LayoutPicture) -> None:
        points = [np.zeros((0, 2))]
        if picture.fits and picture.role is not None:
            points += [(*picture.strand(i), (np.nan, np.nan)) for i in np.nonzero(picture.role > 0)[0]]
        self.tight.set_data(*np.concatenate(points).T)
        self.travel.set_visible(picture.fits)
        if picture.fits:
            a, b = picture.strand(int(np.argmax(picture.layout.path.span)))
            self.travel.set_positions(tuple(a + 0.62 * (b - a)), tuple(a + 0.78 * (b - a)))

    def _labels(self, picture: LayoutPicture) -> None:
        layout, fits, wide = picture.layout, picture.fits, self.wide
        taken = np.zeros((0, 2))
        for i, text in enumerate(self.names):
            # one line is all that a small rim of a small picture holds
            wrap = f"{self.by_width(chr(10), ' ')}{np.degrees(layout.path.wrap[i]):.0f}°" if fits else ""
            name = layout.pulleys.names[i] + wrap
            # 0.32 of the size is half the mean advance of these letters: a long name stays in the picture
            half = 0.32 * text.get_fontsize() * max(map(len, name.split("\n"))) * wide
            half /= 72.0 * self.size[0] * self.axes.get_position().width
            x, (low, high) = picture.centres[i][0], self.axes.get_xlim()
            x, y = np.clip(x, low + half, high - half), picture.centres[i][1]
            text.set(text=name, position=(x, y))
            # the words hang this far below the cross; those of the strands keep clear of them
            below = 11.0 * wide / (72.0 * self.size[0] * self.axes.get_position().width)
            taken = np.concatenate([taken, [(x + s * half, y - below) for s in np.linspace(-1, 1, 7)]])
        for i, text in enumerate(self.spans):
            text.set_visible(fits)
            if fits:
                text.set_text(show(float(layout.path.span[i]), "length", picture.system, digits=3))
                text.set_position(
                    beside_strand(
                        picture, i, self.by_width(0.035, 0.055) * wide, self.by_width(0.03, 0.07) * wide, taken
                    )
                )

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
        self._where_sold(layout, unit)
        (x0, x1), (y0, _) = self.axes.get_xlim(), self.axes.get_ylim()
        step = _round_length(0.18 * (x1 - x0))
        self.scale.set_data([x0 + 0.012 * (x1 - x0), x0 + 0.012 * (x1 - x0) + step], [y0 + 0.004 * (x1 - x0)] * 2)
        self.scale_words.set_text(f"bar: {step:g} {'in' if system == 'inch' else 'mm'}")

    def _where_sold(self, layout: StageLayout, unit: float) -> None:
        """Mark where the take-up stands with each belt that is sold.

        While a hand moves the take-up they are not worked out anew, nor do they change.
        """
        k = layout.mover
        others = None if k is None else (*np.delete(layout.places.x, k), *np.delete(layout.places.y, k), layout.pivot)
        if layout.stock or others != self._sold_for:
            found = [(s.x / unit, s.y / unit) for s in layout.stock if s.fits and np.isfinite(s.x)]
            self.sold.set_data(*np.array(found).reshape(-1, 2).T)
            self._sold_for = others


def _in_words(picture: LayoutPicture, pinned: Sequence[Candidate]) -> str:
    layout, p = picture.layout, picture.layout.pulleys
    if not picture.fits:
        return f"{layout.name}: pulleys {', '.join(p.names)}; the belt cannot go round."
    length = show(float(layout.path.length), "length", picture.system)
    each = "; ".join(
        f"{n} {'inside' if i else 'outside'}, wrap {np.degrees(w):.1f}°, turns {ARROWS[int(t)]}"
        for n, i, w, t in zip(p.names, p.inside, layout.path.wrap, layout.path.turn, strict=True)
    )
    return (
        f"{layout.name}: belt path {length} on the cord line. {each}. Seen facing the engine's output shaft."
        + plus_pinned(pinned)
    )


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
    return LayoutPicture(layout, results.build.system, None if stage_grip is None else stage_grip.strand_role)


def draw(chapter: Findings, results: Results) -> Iterator[tuple[str, View, object, str]]:
    """Yield a picture for every belt stage that can be drawn."""
    for number, stage in enumerate(chapter.data or {}):
        picture = picture_of(results, stage)
        yield f"{stage}, to scale", LayoutView(f"layout-{number}", picture), picture, stage

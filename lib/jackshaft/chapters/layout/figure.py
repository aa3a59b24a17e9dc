"""A belt loop as an arrangement drawing: belt, pulleys, take-up and bodies to scale, with their dimensions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch, Polygon
from matplotlib.path import Path
from matplotlib.text import Text

from jackshaft.chapters.layout.analysis import StageLayout
from jackshaft.chapters.layout.dimension_figure import Dimensions, in_shop
from jackshaft.chapters.layout.loop_figure import LoopPicture, LoopView, belt_points
from jackshaft.chapters.layout.outline_figure import (
    band,
    circles,
    groove_bottoms,
    has_height,
    scaled,
    shaft_radii,
    strand_band,
    way_of,
)
from jackshaft.chapters.layout.partial_figure import SO_FAR, PartialView
from jackshaft.chapters.layout.partial_figure import pictures_of as partial_pictures
from jackshaft.chapters.ratio.data import ARROWS
from jackshaft.drawing import style
from jackshaft.drawing.following import overlaid, plus_pinned
from jackshaft.drawing.placing import ON_WORDS, Placer, beside, dense, half_size, round_about
from jackshaft.drawing.view import Candidate, View, view_name
from jackshaft.parts.belt_stage import belts_of
from jackshaft.results import Findings, Results
from jackshaft.results.reader import Reader
from jackshaft.units import show

#: Whether there may be a picture where the chapter found nothing: of what is known so far.
SO_FAR_TOO = True
#: What the words of a strand may cover: two points of a line.
SPARE = 7.0


@dataclass(frozen=True)
class LayoutPicture(LoopPicture):
    """One loop; ``role`` tells tight (+1), slack (-1) and other strands, None when not known.

    ``shafts`` and ``grooves`` are radii of what a pulley sits on and of its groove's bottom, m, NaN where not known.
    ``belts`` says in words which belts run there and how large they are. ``rest`` is False while a hand moves
    something: dimensions wait until it rests.
    """

    role: np.ndarray | None
    shafts: np.ndarray
    grooves: np.ndarray
    belts: str
    rest: bool = True


class LayoutView(LoopView):
    """Draws one loop as an arrangement drawing: belt, pulleys, take-up and bodies to scale, with their dimensions."""

    size, phone = (7.2, 5.4), (3.8, 3.9)
    margins = (0.10, 0.13)
    whole_page = True

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        scales = self.first.layout.places.given
        wide = (0.115, 0.135, 0.875, 0.75) if scales else (0.01, 0.08, 0.98, 0.805)
        count = self.add_loop(figure, self.by_width(wide, (0.01, 0.11, 0.98, 0.735)))
        ax = self.axes
        self._add_parts(count)
        self._add_belt()
        self.travel = style.arrow(ax, (0, 0), (1, 0), colour=style.BELT, head_points=14, width=style.HEAVY)
        self.turns = [style.TurnArrow(ax, colour=style.INK) for _ in range(count)]
        self.dimensions = Dimensions(ax, self.first.layout, scales=not self.narrow)
        self.leaders = ax.plot([], [], color=style.INK, linewidth=style.THIN, zorder=5)[0]
        self.dots = ax.plot([], [], "o", color=style.INK, markersize=2.4, zorder=5)[0]
        letters = self.by_width(style.BODY, style.SMALL)
        self.names = [style.label(ax, (0, 0), size=letters, bold=True) for _ in range(count)]
        self.spans = [style.label(ax, (0, 0), size=style.SMALL, colour=style.BELT) for _ in range(count)]
        self.body_names = [style.label(ax, (0, 0), size=style.SMALL, colour=style.MUTED) for _ in self.bodies]
        self.scale = ax.plot([], [], color=style.INK, linewidth=style.HEAVY, solid_capstyle="butt", clip_on=False)[0]
        self.scale_words = figure.text(0.012, 0.012, "", fontsize=style.SMALL, color=style.INK)
        self.sizes = figure.text(
            0.012, 1 - (style.BAND + 0.03) / self.size[1], "", va="top", fontsize=style.SMALL, color=style.MUTED
        )
        self.caption = figure.text(0.988, 0.012, "", ha="right", fontsize=style.SMALL, color=style.MUTED)

    def _add_parts(self, count: int) -> None:
        """Make what is not belt."""
        ax = self.axes
        self.bottoms = ax.add_patch(
            PathPatch(
                circles([], []), facecolor="none", edgecolor=style.METAL, linewidth=style.THIN, linestyle=(0, (5, 3))
            )
        )
        self.shafts = ax.add_patch(
            PathPatch(circles([], []), facecolor=style.PAPER, edgecolor=style.INK, linewidth=style.LINE)
        )
        self.hubs = ax.plot([], [], "+", color=style.INK, markersize=9, markeredgewidth=style.THIN, zorder=5)[0]
        self.bodies = [
            ax.add_patch(
                Polygon([(0, 0)] * 3, facecolor="none", edgecolor=style.MUTED, hatch="////", linewidth=style.LINE)
            )
            for _ in self.first.layout.bodies
        ]
        self.way = ax.plot([], [], color=style.ACCENT, linewidth=style.LINE, linestyle=(0, (8, 2, 1.5, 2)), zorder=4)[0]
        self.stops = ax.plot([], [], color=style.ACCENT, linewidth=3.0, solid_capstyle="butt", zorder=4)[0]
        self.arm = ax.plot([], [], color=style.ACCENT, linewidth=style.HEAVY, linestyle=(0, (4, 2)), zorder=4)[0]
        self.pivot = ax.plot([], [], "o", color=style.ACCENT, markersize=6, zorder=4)[0]
        self.sold = ax.plot([], [], "o", color=style.ACCENT, markersize=4, markerfacecolor=style.PAPER, zorder=6)[0]
        self._sold_at, self._sold_for = np.zeros((0, 2)), ()

    def _add_belt(self) -> None:
        """Make the belt: as a line where nothing tells how high it is, else as an outline, filled where it is tight."""
        ax = self.axes
        self.pinned = [ax.plot([], [], linewidth=style.HEAVY)[0] for _ in style.CANDIDATES]
        self.belt = ax.plot([], [], color=style.BELT, linewidth=style.BELT_WIDTH, solid_joinstyle="round")[0]
        self.band = ax.add_patch(
            PathPatch(circles([], []), facecolor=style.PAPER, edgecolor=style.BELT, linewidth=0.9, zorder=3)
        )
        self.tight = ax.plot([], [], color=style.BELT, linewidth=style.BELT_WIDTH + 2.2, solid_capstyle="butt")[0]
        self.filled = ax.add_patch(
            PathPatch(circles([], []), facecolor=style.BELT, edgecolor=style.BELT, linewidth=1.6, zorder=3.1)
        )
        self.slack = ax.plot([], [], color=style.BELT, linewidth=0.9, linestyle=(0, (3, 3)), zorder=3.2)[0]

    def update(self, picture: LayoutPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Move everything to a loop."""
        self.move_loop(picture, [c.picture for c in pinned])
        # the size of a point of paper, in units of the drawing
        self.point = self.wide / (72.0 * self.size[0] * self.axes.get_position().width)
        centres = picture.centres
        self.shafts.set_path(circles(centres, picture.shafts / picture.unit))
        self.bottoms.set_path(circles(centres, picture.grooves / picture.unit))
        for i, arrow in enumerate(self.turns):
            way = int(picture.layout.path.turn[i])
            hole = np.nan_to_num(picture.shafts[i]) / picture.unit
            radius = max(0.62 * picture.rim[i], 0.5 * (hole + picture.rim[i]))
            arrow.move(tuple(centres[i]), radius, anticlockwise=way > 0, start_deg=90.0)
        self.hubs.set_data(*centres.T)
        self._strands(picture)
        self._rest(picture.layout, picture.unit, picture.system)
        self._labels(picture)
        self._say_what_is_what(picture)
        for line, candidate in overlaid(self.pinned, pinned):
            line.set_data(*self._ghost(candidate.picture, picture).T)
            line.set(color=candidate.colour, dashes=candidate.dashes)
        self.words = _in_words(picture, pinned)

    def _ghost(self, other: LayoutPicture, picture: LayoutPicture) -> np.ndarray:
        """Return a candidate's belt, and the rims that it has elsewhere, as one line with gaps."""
        parts = [belt_points(other.layout) / other.unit]
        now = {n: (*c, r) for n, c, r in zip(picture.layout.pulleys.names, picture.centres, picture.rim, strict=True)}
        angle = np.linspace(0.0, 2 * np.pi, 40)
        for name, centre, radius in zip(other.layout.pulleys.names, other.centres, other.rim, strict=True):
            if not np.allclose(now.get(name, np.nan), (*centre, radius), rtol=0.0, atol=self.point):
                ring = centre + radius * np.stack([np.cos(angle), np.sin(angle)], -1)
                parts += [np.full((1, 2), np.nan), ring]
        return np.concatenate(parts)

    def _strands(self, picture: LayoutPicture) -> None:
        layout, unit, high = picture.layout, picture.unit, has_height(picture.layout)
        role = np.zeros(len(layout.pulleys.names)) if picture.role is None else picture.role
        tight, slack = (np.nonzero(role * way > 0)[0] if picture.fits else () for way in (1, -1))
        for artist, shown in ((self.belt, not high), (self.tight, not high), (self.band, high), (self.filled, high)):
            artist.set_visible(shown)
        for line, strands in ((self.tight, tight), (self.slack, slack if high else ())):
            ends = [np.zeros((0, 2)), *((*picture.strand(i), (np.nan, np.nan)) for i in strands)]
            line.set_data(*np.concatenate(ends).T)
        if high:
            self.band.set_path(scaled(band(layout), unit))
            quads = [Path(strand_band(layout, i) / unit, closed=False) for i in tight]
            self.filled.set_path(Path.make_compound_path(*quads) if quads else circles([], []))
        self.travel.set_visible(picture.fits)
        if picture.fits:
            k = int(np.argmax(layout.path.span))
            a, b = picture.strand(k)
            along = (b - a) / np.hypot(*(b - a))
            side = np.array([along[1], -along[0]]) * (1 if layout.ccw else -1) * 9 * self.point
            self.arrow_ends = a + 0.7 * (b - a) + side + np.array([[0.0], [26 * self.point]]) * along
            self.travel.set_positions(*map(tuple, self.arrow_ends))

    def _labels(self, picture: LayoutPicture) -> None:
        """Write names, dimensions, strands and bodies where they lie on nothing, the most needed first."""
        layout, point = picture.layout, self.point
        low, high = np.transpose([self.axes.get_xlim(), self.axes.get_ylim()])
        lines = [dense(belt_points(layout) / picture.unit, 6 * point), self._sold_at / picture.unit]
        if self.arm.get_visible():
            lines.append(dense(self.arm.get_xydata(), 6 * point))
        lines.append(dense(self.way.get_xydata(), 6 * point))
        if picture.fits:
            lines.append(dense(self.arrow_ends, 6 * point))
        points, centres = (np.concatenate(lines) - low) / point, (picture.centres - low) / point
        placer = Placer((high - low) / point, points, centres, picture.rim / point)
        self._name(picture, placer, centres, low)
        for patch, text, body in zip(self.bodies, self.body_names, layout.bodies, strict=True):
            text.set_text(body.name)
            half = half_size(body.name, style.SMALL)
            reach = np.ptp(patch.get_xy(), axis=0).max() / 2 / point
            middle = (np.array([body.x, body.y]) / picture.unit - low) / point
            spots, cost = round_about(middle, reach, half, np.zeros(2))
            at, covers = placer.put(np.vstack([middle, spots]), np.append(0.0, cost + 10.0), half)
            placer.take(at, half)
            text.set(position=tuple(low + point * at), visible=covers < ON_WORDS)
        self.dimensions.hide()
        if picture.rest:
            self.dimensions.move(picture, placer, point)
        for i, text in enumerate(self.spans):
            text.set_visible(False)
            if picture.fits and picture.rest:
                self._span(picture, i, text, (placer, low))

    def _name(self, picture: LayoutPicture, placer: Placer, centres: np.ndarray, low: np.ndarray) -> None:
        layout, point, leads, dots = picture.layout, self.point, [], []
        for i, text in enumerate(self.names):
            wrap = f" {np.degrees(layout.path.wrap[i]):.0f}°" if picture.fits else ""
            words = layout.pulleys.names[i] + wrap
            if len(words) > self.by_width(24, 14):
                words = f"{layout.pulleys.names[i]}\n{wrap.strip()}".strip()
            text.get_bbox_patch().set_visible(picture.rest)
            half = half_size(words, text.get_fontsize(), bold=True)
            away = centres[i] - centres.mean(0)
            rim = picture.rim[i] / point
            toward = away / max(float(np.hypot(*away)), 1e-9)
            at, _ = placer.put(*round_about(centres[i], rim, half, toward), half)
            placer.take(at, half)
            text.set(text=words, position=tuple(low + point * at))
            side = np.clip(centres[i], at - half, at + half)
            way = (side - centres[i]) / max(float(np.hypot(*(side - centres[i]))), 1e-9)
            dot = centres[i] + way * max(rim - 5.0, 0.6 * rim)
            leads += [dot, side, (np.nan, np.nan)]
            dots.append(dot)
        self.leaders.set_data(*(low + point * np.array(leads)).T)
        self.dots.set_data(*(low + point * np.array(dots)).T)

    def _span(self, picture: LayoutPicture, i: int, text: Text, paper: tuple[Placer, np.ndarray]) -> None:
        (placer, low), role = paper, 0 if picture.role is None else int(picture.role[i])
        words = show(float(picture.layout.path.span[i]), "length", picture.system, digits=3)
        words += {1: " tight", -1: " slack", 0: ""}[role]
        half = half_size(words, text.get_fontsize())
        a, b = ((end - low) / self.point for end in picture.strand(i))
        at, covers = placer.put(*beside(a, b, half, outward=1 if picture.layout.ccw else -1), half)
        # what has no room is left out; the table of strands has it
        free = covers < SPARE
        if free:
            placer.take(at, half)
        text.set(text=words, position=tuple(low + self.point * at), visible=free)

    def _rest(self, layout: StageLayout, unit: float, system: str) -> None:
        for patch, body in zip(self.bodies, layout.bodies, strict=True):
            if body.corners is None:
                angle = np.linspace(0, 2 * np.pi, 40)
                corners = np.array([body.x, body.y]) + body.radius * np.stack([np.cos(angle), np.sin(angle)], -1)
            else:
                corners = body.corners
            patch.set_xy(corners / unit)
        has_arm = layout.pivot is not None and layout.idler is not None
        self.arm.set_visible(has_arm)
        self.pivot.set_visible(has_arm)
        if has_arm:
            k, (px, py) = layout.idler, layout.pivot
            self.arm.set_data([px / unit, layout.places.x[k] / unit], [py / unit, layout.places.y[k] / unit])
            self.pivot.set_data([px / unit], [py / unit])
        self._where_sold(layout, unit)
        self._way(layout, unit)
        (x0, x1), (y0, _) = self.axes.get_xlim(), self.axes.get_ylim()
        step = _round_length(0.18 * (x1 - x0))
        box, size = self.axes.get_position(), 72.0 * np.array(self.size)
        left, up = (x0, y0) + self.point * size * (0.012 - box.x0, 0.012 - box.y0) + self.point * np.array([0.0, 11.0])
        self.scale.set_data([left, left + step], [up, up])
        self.scale_words.set_text(f"bar: {step:g} {'in' if system == 'inch' else 'mm'}")

    def _way(self, layout: StageLayout, unit: float) -> None:
        """Draw how the take-up moves, with its stops where they are known."""
        line, ends = way_of(layout, self._sold_at)
        self.way.set_data(*(line / unit).T)
        marks = [np.zeros((0, 2))]
        for at, along in ends:
            across = 6.0 * self.point * np.array([-along[1], along[0]])
            marks.append(np.array([at / unit - across, at / unit + across, (np.nan, np.nan)]))
        self.stops.set_data(*np.concatenate(marks).T)

    def _say_what_is_what(self, picture: LayoutPicture) -> None:
        """Write the caption: only what is drawn is explained."""
        known = picture.fits and picture.role is not None and bool(np.any(picture.role))
        belt = "filled: tight · dashed: slack" if has_height(picture.layout) else "thick: tight · thin: slack"
        way, stops = (len(line.get_xdata()) > 0 for line in (self.way, self.stops))
        moves = "dash-dot: take-up, bars its stops" if stops else "dash-dot: take-up swings"
        said = ((belt, known), (moves, way), ("○: with a belt that is sold", len(self._sold_at) > 0))
        first = [words for words, shown in said[: self.by_width(3, 1)] if shown]
        seen = "seen facing the engine shaft" + (" · °: wrap" if picture.fits else "")
        self.sizes.set_text(picture.belts if picture.fits else "the belt cannot go round")
        self.caption.set_text("\n".join(filter(None, (" · ".join(first), seen))))

    def _where_sold(self, layout: StageLayout, unit: float) -> None:
        """Mark where the take-up stands with each belt that is sold.

        While a hand moves the take-up they are not worked out anew, nor do they change.
        """
        k = layout.mover
        others = None if k is None else (*np.delete(layout.places.x, k), *np.delete(layout.places.y, k), layout.pivot)
        if layout.stock or others != self._sold_for:
            found = [(s.x, s.y) for s in layout.stock if s.fits and np.isfinite(s.x)]
            self._sold_at, self._sold_for = np.array(found).reshape(-1, 2), others
            self.sold.set_data(*(self._sold_at / unit).T)


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


def _belts_in_words(reader: Reader, layout: StageLayout) -> str:
    belt = layout.belt
    if belt is None:
        return "section of the belt not known: drawn as a line"
    many = belts_of(reader, f"stage[{layout.name}]")
    wide, high = (in_shop(size, reader.system) for size in (belt.top_width, belt.height))
    count = f"{many} {belt.counted_by}{'s' if many > 1 else ''}"
    return f"{count}, section {belt.name}: {f'each {wide} wide, ' if belt.counted_by == 'belt' else ''}{high} high"


def picture_of(results: Results, stage: str, *, rest: bool = True) -> LayoutPicture | None:
    """Return the picture of one belt stage of a worked-up build, or None where nothing can be drawn.

    ``rest`` is False while a hand moves something.
    """
    chapter = results.chapters.get("layout")
    layout = (chapter.data or {}).get(stage) if chapter else None
    if layout is None:
        return None
    grip = results.chapters.get("grip")
    stage_grip = (grip.data or {}).get(stage) if grip else None
    reader = Reader(results.build)
    return LayoutPicture(
        layout,
        results.build.system,
        role=None if stage_grip is None else stage_grip.strand_role,
        shafts=shaft_radii(reader, layout),
        grooves=groove_bottoms(reader, layout),
        belts=_belts_in_words(reader, layout),
        rest=rest,
    )


def draw(chapter: Findings, results: Results) -> Iterator[tuple[str, View, object, str]]:
    """Yield a picture for every belt stage that can be drawn; what is known of the others follows."""
    for number, stage in enumerate(chapter.data or {}):
        picture = picture_of(results, stage)
        yield f"{stage}, to scale", LayoutView(f"layout-{number}", picture), picture, stage
    for part in partial_pictures(chapter, results):
        yield f"{part.stage}, {SO_FAR}", PartialView(view_name("layout-so-far", part.stage), part), part, part.stage

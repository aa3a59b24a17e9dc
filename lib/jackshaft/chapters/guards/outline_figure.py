"""Where a hand is drawn in, to scale: the loop, its nips by number, and the outline of the guard round it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Circle, Polygon

from jackshaft.chapters.guards.loops import Loop, Nip
from jackshaft.chapters.guards.outlines import GuardOutline, opens_to
from jackshaft.drawing import style
from jackshaft.drawing.following import Following, plus_pinned
from jackshaft.drawing.placing import Placer, dense, half_size, round_about
from jackshaft.drawing.view import Candidate
from jackshaft.units import read, show

#: How finely curves are drawn: a share of the drawing's width.
FINE = 2e-4
#: Length of the arrow into a nip, points of paper.
ARROW = 30.0


@dataclass(frozen=True)
class NipPicture:
    """One loop: its nips with the number of the first, and the outline of its guard, None where there is none."""

    loop: Loop
    nips: tuple[Nip, ...]
    first: int
    guard: GuardOutline | None
    system: str

    @property
    def unit(self) -> float:
        """Metres for one unit of the drawing."""
        return read("1 in" if self.system == "inch" else "1 mm", "length").si

    @property
    def centres(self) -> np.ndarray:
        """Middle of each wheel, in units of the drawing, shape (n, 2)."""
        return np.stack([self.loop.x, self.loop.y], -1) / self.unit

    @property
    def frame(self) -> tuple[np.ndarray, np.ndarray]:
        """Lower left and upper right of all that is drawn, in units of the drawing."""
        loop = self.loop
        corners = [c + s * r for c, r in zip(self.centres * self.unit, loop.solid, strict=True) for s in (-1, 1)]
        corners += [at for body in loop.bodies for at in body_points(body)]
        if self.guard is not None:
            corners += np.reshape(self.guard.band.box, (2, 2)).tolist()
        return np.min(corners, 0) / self.unit, np.max(corners, 0) / self.unit

    @property
    def way(self) -> np.ndarray:
        """The belt or chain on its line, in units of the drawing, closed, shape (N, 2)."""
        loop, points = self.loop, []
        for i, centre in enumerate(self.centres * self.unit):
            first = np.arctan2(*(loop.end[i - 1] - centre)[::-1])
            angle = first + loop.path.turn[i] * np.linspace(0.0, loop.path.wrap[i], 60)
            points.append(centre + loop.line[i] * np.stack([np.cos(angle), np.sin(angle)], -1))
        return np.concatenate([*points, points[0][:1]]) / self.unit


def body_points(body) -> np.ndarray:
    """Return the outline of a body as points, m, shape (N, 2)."""
    if body.corners is not None:
        return np.asarray(body.corners, float)
    angle = np.linspace(0.0, 2.0 * np.pi, 60)
    return np.array([body.x, body.y]) + body.radius * np.stack([np.cos(angle), np.sin(angle)], -1)


class NipView(Following):
    """Draws one loop with its nips and the outline of its guard."""

    size, phone = (7.2, 5.2), (3.8, 4.4)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        first = self.first
        low, high = first.frame
        room = self.by_width(0.07, 0.09) * (high - low).max()
        box = self.by_width((0.01, 0.075, 0.98, 0.78), (0.01, 0.13, 0.98, 0.65))
        self.plane = ax = style.add_plane(figure, *zip(low - room, high + room, strict=True), box=box)
        wheel = {"facecolor": style.FILL, "edgecolor": style.METAL, "linewidth": style.LINE}
        also = {"facecolor": "none", "edgecolor": style.METAL, "linewidth": style.LINE, "linestyle": (0, (3, 3))}
        self.band = ax.add_patch(
            Polygon([(0, 0)] * 3, facecolor="none", edgecolor=style.ACCENT, linewidth=style.BELT_WIDTH, zorder=2)
        )
        self.rims = [ax.add_patch(Circle((0, 0), 1, **wheel)) for _ in first.loop.names]
        self.swept = [ax.add_patch(Circle((0, 0), 1, **also)) for _ in first.loop.ends]
        self.bodies = [
            ax.add_patch(Polygon([(0, 0)] * 3, facecolor="none", hatch="////", linewidth=style.LINE))
            for _ in first.loop.bodies
        ]
        self.hubs = ax.plot([], [], "+", color=style.INK, markersize=8, markeredgewidth=style.THIN, zorder=5)[0]
        self.line = ax.plot([], [], color=style.BELT, linewidth=style.HEAVY, zorder=3)[0]
        self.arrows = [
            style.arrow(ax, (0, 0), (1, 0), colour=style.STOP, head_points=15, width=style.HEAVY) for _ in first.nips
        ]
        for arrow in self.arrows:
            arrow.set_zorder(6)
        self.gap = style.arrow(ax, (0, 0), (1, 0), colour=style.INK, head_points=6, width=style.THIN, both_ends=True)
        self.gap_words = style.label(ax, (0, 0), size=style.SMALL)
        self.numbers = [style.label(ax, (0, 0), size=style.BODY, colour=style.STOP, bold=True) for _ in first.nips]
        self.names = [style.label(ax, (0, 0), size=style.SMALL, bold=True) for _ in first.loop.names]
        self.body_names = [style.label(ax, (0, 0), size=style.SMALL, colour=style.MUTED) for _ in first.loop.bodies]
        top = 1 - (style.BAND + 0.03) / self.size[1]
        self.head = figure.text(0.012, top, "", va="top", fontsize=style.SMALL, color=style.ACCENT)
        self.foot = figure.text(0.012, 0.012, "", fontsize=style.SMALL, color=style.MUTED)

    def update(self, picture: NipPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Move everything to a loop."""
        loop, unit, centres = picture.loop, picture.unit, picture.centres
        (left, right), (bottom, top) = self.plane.get_xlim(), self.plane.get_ylim()
        # the size of a point of paper, in units of the drawing
        self.point = (right - left) / (72.0 * self.size[0] * self.plane.get_position().width)
        self.low, self.high = np.array([left, bottom]), np.array([right, top])
        for rim, centre, radius in zip(self.rims, centres, loop.line / unit, strict=True):
            rim.set(center=tuple(centre), radius=radius)
        for ring, (x, y, radius) in zip(self.swept, loop.ends / unit, strict=True):
            ring.set(center=(x, y), radius=radius)
        self.hubs.set_data(*centres.T)
        way = picture.way
        self.line.set_data(*way.T)
        band = self._guard(picture)
        ends = self._arrows(picture)
        bodies = [body_points(body) / unit for body in loop.bodies]
        for patch, points, body in zip(self.bodies, bodies, loop.bodies, strict=True):
            hit = picture.guard is not None and body.name in picture.guard.cuts
            patch.set_xy(points)
            patch.set(edgecolor=style.STOP if hit else style.MUTED, linewidth=style.HEAVY if hit else style.LINE)
        lines = [dense(part, 3.0 * self.point) for part in (way, band, *ends, *bodies)]
        lines += [np.repeat(centres, 4, axis=0)]
        placer = Placer((self.high - self.low) / self.point, self._paper(np.concatenate(lines)), *_no_circles())
        self._label(picture, placer, bodies)
        self.head.set_text(_head(picture, self.by_width(" · ", "\n")))
        self.foot.set_text(_foot(picture, self.by_width(" · ", "\n")))
        self.words = _in_words(picture) + plus_pinned(pinned)

    def _paper(self, points: np.ndarray) -> np.ndarray:
        return (np.asarray(points) - self.low) / self.point

    def _guard(self, picture: NipPicture) -> np.ndarray:
        """Move the outline, and return it as points; none where there is none."""
        guard = picture.guard
        for artist in (self.band, self.gap, self.gap_words):
            artist.set_visible(guard is not None)
        if guard is None:
            return np.zeros((0, 2))
        unit = picture.unit
        points = guard.band.points(FINE * float(np.ptp(picture.frame, axis=0).max()) * unit) / unit
        self.band.set_xy(points)
        # a guard with openings is drawn as dashes
        self.band.set_linestyle("-" if guard.openings.startswith(("drawn", "openings")) else (0, (2.2, 1.0)))
        band = guard.band
        k = int(np.argmax(band.radius * (band.end - band.begin)))
        middle = 0.5 * (band.begin[k] + band.end[k])
        out = np.array([np.cos(middle), np.sin(middle)])
        far = np.array([band.x[k], band.y[k]]) + band.radius[k] * out
        self.gap_out = out
        self.gap_ends = (far - guard.off * out) / unit, far / unit
        self.gap.set_positions(*map(tuple, self.gap_ends))
        return np.concatenate([points, points[:1]])

    def _arrows(self, picture: NipPicture) -> list[np.ndarray]:
        found = []
        for arrow, nip in zip(self.arrows, picture.nips, strict=True):
            at = np.array([nip.x, nip.y]) / picture.unit
            tail = at - ARROW * self.point * np.array([np.cos(nip.heading), np.sin(nip.heading)])
            arrow.set_positions(tuple(tail), tuple(at))
            arrow.set_linestyle("-" if nip.sure else (0, (3, 2)))
            found.append(np.array([tail, at]))
        return found

    def _label(self, picture: NipPicture, placer: Placer, bodies: list[np.ndarray]) -> None:
        """Write numbers, names and the distance where they lie on nothing, the most needed first."""
        loop = picture.loop
        away = picture.centres - picture.centres.mean(0)
        for k, (text, nip) in enumerate(zip(self.numbers, picture.nips, strict=True), picture.first):
            wheel = picture.centres[loop.names.index(nip.wheel)]
            at = np.array([nip.x, nip.y]) / picture.unit
            along = np.array([np.cos(nip.heading), np.sin(nip.heading)])
            out = at - wheel
            spot = self._paper(at - 0.5 * ARROW * self.point * along)
            self._put(text, f"{k}", placer, (spot, 4.0, out / max(float(np.hypot(*out)), 1e-9)))
        if picture.guard is not None:
            words = show(picture.guard.off, "length", picture.system, digits=3)
            self._put(self.gap_words, words, placer, (self._paper(self.gap_ends[1]), 0.0, self.gap_out))
        for i, text in enumerate(self.names):
            toward = -away[i] / max(float(np.hypot(*away[i])), 1e-9)
            self._put(text, loop.names[i], placer, (self._paper(picture.centres[i]), 2.0, toward))
        for text, points, body in zip(self.body_names, bodies, loop.bodies, strict=True):
            self._put(text, body.name, placer, (self._paper(points.mean(0)), 0.0, np.zeros(2)))

    def _put(self, text, words: str, placer: Placer, about: tuple[np.ndarray, float, np.ndarray]) -> None:
        """Write words near a place of the paper: round so many points of it, best on one side."""
        middle, radius, toward = about
        half = half_size(words, text.get_fontsize(), bold=text.get_fontweight() == "bold")
        at, _ = placer.put(*round_about(middle, radius, half, toward), half)
        placer.take(at, half)
        text.set(text=words, position=tuple(self.low + self.point * at))


def _no_circles() -> tuple[np.ndarray, np.ndarray]:
    return np.zeros((0, 2)), np.zeros(0)


def _head(picture: NipPicture, between: str) -> str:
    guard, system = picture.guard, picture.system
    if guard is None:
        return "Openings as wide as this count as no guard."
    wide, high = (show(v, "length", system, digits=4) for v in guard.size)
    cut = between.join(
        (f"guard: face {wide} by {high}", f"strip round it {show(guard.band.length, 'length', system, digits=4)}")
    )
    return f"{cut}\n{guard.openings}"


def _foot(picture: NipPicture, between: str) -> str:
    sure, within = all(n.sure for n in picture.nips), picture.nips[0].within
    arrows = "arrows: a hand is drawn in" + ("" if sure else ", if it runs that way")
    arrows += "" if within is None else f", all of it in {show(within, 'time', picture.system, digits=2)}"
    return between.join((arrows, "seen facing the engine shaft"))


def _in_words(picture: NipPicture) -> str:
    loop, system = picture.loop, picture.system
    words = f"{loop.stage}, to scale, seen facing the engine's output shaft. Hands are drawn in at:"
    for k, nip in enumerate(picture.nips, picture.first):
        at = " and ".join(show(v, "length", system) for v in (nip.x, nip.y))
        words += f" {k}, {loop.runs} onto {nip.wheel}, {at} across and up, open to the {opens_to(nip)}"
        words += "" if nip.sure else ", if it runs that way"
        words += (
            ";" if nip.within is None else f", a hand's length within {show(nip.within, 'time', system, digits=2)};"
        )
    words = f"{words.rstrip(';')}."
    guard = picture.guard
    if guard is None:
        return f"{words} The guard has openings so wide that they count as no guard."
    wide, high, strip, off = (show(v, "length", system) for v in (*guard.size, guard.band.length, guard.off))
    words += f" Its guard stands {off} off all that turns ({guard.why}): {wide} by {high}, the strip {strip} long."
    words += f" It would cut {', '.join(guard.cuts)}." if guard.cuts else ""
    return words + (f" Within it stand {', '.join(guard.holds)}." if guard.holds else "")


def pictures_of(data, system: str) -> list[NipPicture]:
    """Return the picture of every loop of a build."""
    outlines, found, first = {g.loop.stage: g for g in data.outlines}, [], 1
    for loop in data.loops:
        nips = tuple(n for n in data.nips if n.stage == loop.stage)
        found.append(NipPicture(loop, nips, first, outlines.get(loop.stage), system))
        first += len(nips)
    return found


__all__ = ["NipPicture", "NipView", "body_points", "pictures_of"]

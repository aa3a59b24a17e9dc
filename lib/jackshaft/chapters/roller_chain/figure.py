"""A chain to scale, with its slack and its sizes, and its rating over the speed of the small sprocket."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, isfinite, sin, sqrt

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Circle

from jackshaft.chapters.roller_chain.data import ChainData
from jackshaft.drawing import style
from jackshaft.drawing.following import Following, overlaid, plus_pinned
from jackshaft.drawing.view import Candidate, View, view_name
from jackshaft.mechanics import roller_chain as mech
from jackshaft.results import Findings, Results
from jackshaft.units import HORSEPOWER, RPM, read, show

SLOWEST, FASTEST = 50.0, 5000.0
NO_RATING = "No rating: the chain's number\nis not in the tables."


@dataclass(frozen=True)
class ChainPicture:
    """One chain as it is drawn."""

    chain: ChainData
    ends: tuple[str, str]
    system: str

    @property
    def unit(self) -> float:
        """Metres for one unit of the drawing."""
        return read("1 in" if self.system == "inch" else "1 mm", "length").si

    @property
    def radii(self) -> tuple[float, float]:
        """Radii of the pitch circles of driver and driven, in units of the drawing."""
        return tuple(0.5 * d / self.unit for d in self.chain.stage.diameters)

    @property
    def along(self) -> np.ndarray:
        """Unit vector from the driver to the driven; to the right where the build does not say."""
        toward = self.chain.toward or 0.0
        return np.array([cos(toward), sin(toward)])

    @property
    def centres(self) -> np.ndarray:
        """Both centres, the driver's at the zero mark, shape (2, 2)."""
        return np.array([[0.0, 0.0], self.chain.centres / self.unit * self.along])

    def strands(self) -> tuple[np.ndarray, np.ndarray]:
        """Return the strand on the left of the way from driver to driven, and the one on its right, each (2, 2)."""
        far, (r0, r1) = self.chain.centres / self.unit, self.radii
        lean, along = np.arcsin((r1 - r0) / far), self.along
        across = np.array([-along[1], along[0]])
        found = []
        for side in (1.0, -1.0):
            out = side * np.cos(lean) * across - np.sin(lean) * along
            found.append(np.array([r0 * out, self.centres[1] + r1 * out]))
        return tuple(found)

    @property
    def idler(self) -> tuple[np.ndarray, float] | None:
        """Middle and pitch radius of the idler sprocket; None where its place is not known."""
        found = self.chain.idler
        if found is None:
            return None
        size = float(mech.sprocket_pitch_diameter.si(self.chain.stage.pitch, teeth=found.teeth))
        return np.array([found.x, found.y]) / self.unit, 0.5 * size / self.unit

    def over_idler(self, strand: np.ndarray, side: int) -> np.ndarray | None:
        """Return a strand that runs over the idler, as points (N, 2); None where no straight chain can reach it.

        The chain lies on that side of the idler which pushes it out of its way least.
        """
        middle, radius = self.idler
        way = strand[1] - strand[0]
        beyond = side * (way[0] * (middle - strand[0])[1] - way[1] * (middle - strand[0])[0]) > 0.0
        lies = -radius if beyond else radius
        ends = [(self.centres[0], self.radii[0]), (middle, lies), (self.centres[1], self.radii[1])]
        normals = [_normal(a, b, side) for a, b in pairwise(ends)]
        if None in (normals[0], normals[1]):
            return None
        straight = _angle(strand[0] - self.centres[0]), _angle(strand[1] - self.centres[1])
        turns = [(straight[0], normals[0]), tuple(normals), (normals[1], straight[1])]
        return np.concatenate([c + r * _arc(*t) for (c, r), t in zip(ends, turns, strict=True)])

    def arcs(self) -> tuple[np.ndarray, np.ndarray]:
        """Return where the chain lies on the driver and on the driven, as points (N, 2)."""
        far, (r0, r1) = self.chain.centres / self.unit, self.radii
        lean, toward = float(np.arcsin((r1 - r0) / far)), self.chain.toward or 0.0
        found = []
        for centre, radius, middle, half in zip(
            self.centres, (r0, r1), (toward + np.pi, toward), (np.pi / 2 - lean, np.pi / 2 + lean), strict=True
        ):
            angles = middle + np.linspace(-half, half, 60)
            found.append(centre + radius * np.stack([np.cos(angles), np.sin(angles)], -1))
        return tuple(found)

    def hanging(self, strand: np.ndarray) -> np.ndarray:
        """Return a strand as it hangs with the chain's slack, as points (N, 2): a flat parabola."""
        chain, t = self.chain, np.linspace(0.0, 1.0, 30)[:, None]
        over = 0.0
        if chain.links is not None and chain.movement is not None and isfinite(chain.movement):
            over = (chain.links - float(chain.path.pitches)) * chain.stage.pitch / self.unit
        way = strand[1] - strand[0]
        long = float(np.hypot(*way))
        down = np.array([-way[1], way[0]]) / long
        down = down if down[1] < 0 else -down
        sag = sqrt(max(0.375 * long * over, 0.0)) * abs(down[1])
        return strand[0] + t * way + 4.0 * sag * t * (1.0 - t) * down


def _angle(way: np.ndarray) -> float:
    return float(np.arctan2(way[1], way[0]))


def _normal(here: tuple[np.ndarray, float], there: tuple[np.ndarray, float], side: int) -> float | None:
    """Return the direction in which a straight chain lies off the middles of two wheels, rad; None where none can."""
    way, less = there[0] - here[0], here[1] - there[1]
    far = float(np.hypot(*way))
    return None if far <= abs(less) else _angle(way) + side * float(np.arccos(less / far))


def _arc(begin: float, end: float) -> np.ndarray:
    """Return unit vectors from one direction to another, the short way round, (20, 2)."""
    turn = (end - begin + np.pi) % (2.0 * np.pi) - np.pi
    angles = begin + np.linspace(0.0, turn, 20)
    return np.stack([np.cos(angles), np.sin(angles)], -1)


class ChainView(Following):
    """Draws a chain beside its rating."""

    size, phone = (7.2, 4.6), (3.8, 6.4)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        box = self.by_width((0.01, 0.07, 0.47, 0.80), (0.02, 0.50, 0.96, 0.42))
        self.plane = ax = style.add_plane(figure, *self._frame([self.first]), box=box)
        rim = {"facecolor": style.FILL, "edgecolor": style.METAL, "linewidth": style.LINE}
        self.rims = [ax.add_patch(Circle((0, 0), 1, **rim)) for _ in range(2)]
        self.circles = [
            ax.add_patch(
                Circle((0, 0), 1, facecolor="none", edgecolor=style.BELT, linewidth=style.LINE, linestyle="-.")
            )
            for _ in range(2)
        ]
        self.idler = ax.add_patch(Circle((0, 0), 1, visible=False, **rim))
        self.idler_name = style.label(ax, (0, 0), size=style.SMALL)
        self.hubs = ax.plot([], [], "+", color=style.INK, markersize=7, zorder=5)[0]
        self.line = ax.plot([], [], color=style.MUTED, linewidth=0.8, linestyle="-.")[0]
        self.pinned = [ax.plot([], [], linewidth=style.HEAVY)[0] for _ in style.CANDIDATES]
        self.arcs = [ax.plot([], [], color=style.BELT, linewidth=style.BELT_WIDTH)[0] for _ in range(2)]
        self.sides = [ax.plot([], [], color=style.BELT, solid_capstyle="butt")[0] for _ in range(2)]
        self.turns = [style.TurnArrow(ax, colour=style.INK) for _ in range(2)]
        self.names = [style.label(ax, (0, 0), size=style.SMALL, bold=True) for _ in range(2)]
        self.distance = style.label(ax, (0, 0), size=style.SMALL)
        words = self.by_width("seen facing the engine shaft · thick: tight", "thick: tight strand")
        figure.text(0.012, self.by_width(0.015, 0.47), words, fontsize=style.SMALL, color=style.MUTED)
        self._compose_rating(figure)

    def _compose_rating(self, figure: Figure) -> None:
        inch = self.first.system == "inch"
        self.watt, unit = (HORSEPOWER, "hp") if inch else (1000.0, "kW")
        self.chart = ax = style.add_plot(
            figure,
            (SLOWEST, FASTEST),
            (0.1, 100.0),
            x_label="small sprocket (rpm)",
            y_label=f"power ({unit})",
            box=self.by_width((0.60, 0.15, 0.38, 0.70), (0.19, 0.09, 0.77, 0.34)),
        )
        ax.set_xscale("log")
        ax.set_yscale("log")
        marks = [100, 200, 500, 1000, 2000]
        ax.set_xticks(marks, [f"{m}" for m in marks])
        ax.set_yticks([0.1, 1, 10, 100], ["0.1", "1", "10", "100"])
        ax.minorticks_off()
        self.speeds = np.geomspace(SLOWEST, FASTEST, 60)
        self.rated = ax.plot([], [], color=style.INK, linewidth=style.HEAVY)[0]
        self.others = [ax.plot([], [], linewidth=style.HEAVY)[0] for _ in style.CANDIDATES]
        self.point = ax.plot([], [], "o", color=style.ACCENT, markersize=9, markeredgecolor=style.INK)[0]
        self.point_words = style.label(ax, (1, 1), "at work", size=style.SMALL, bold=True, up="top")
        self.rated_words = style.label(ax, (1, 1), "rated", size=style.SMALL, up="bottom", across="left")
        self.none = figure.text(
            *self.by_width((0.79, 0.5), (0.55, 0.26)), "", ha="center", va="center", fontsize=style.SMALL
        )

    def _frame(self, pictures: Sequence[ChainPicture]) -> tuple[tuple[float, float], tuple[float, float]]:
        known = [p for p in pictures if p.chain.path is not None]
        if not known:
            return (0.0, 1.0), (0.0, 1.0)
        points = [c + s * 1.2 * r for p in known for c, r in zip(p.centres, p.radii, strict=True) for s in (-1, 1)]
        points += [p.idler[0] + s * 1.2 * p.idler[1] for p in known if p.idler is not None for s in (-1, 1)]
        low, high = np.min(points, 0), np.max(points, 0)
        # room for the names beyond the rims: two lines of letters above and below, some letters at the sides
        level = abs(known[0].along[0]) > 0.7
        room = np.array([0.25, 0.05] if level else [0.05, 0.1]) * (high - low).max()
        low, high = low - room, high + room
        return (low[0], high[0]), (low[1], high[1])

    def update(self, picture: ChainPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Move everything to a chain."""
        known = picture.chain.path is not None
        for artist in (
            *self.rims,
            *self.circles,
            *self.arcs,
            self.hubs,
            self.line,
            *self.sides,
            *self.names,
            self.distance,
        ):
            artist.set_visible(known)
        for artist in (self.idler, self.idler_name):
            artist.set_visible(False)
        if known:
            self._move_chain(picture, pinned)
        else:
            for turn in self.turns:
                turn.show(False)
        self._move_rating(picture, pinned)
        self.words = _in_words(picture) + plus_pinned(pinned)

    def _move_chain(self, picture: ChainPicture, pinned: Sequence[Candidate]) -> None:
        chain, centres = picture.chain, picture.centres
        style.frame_plane(self.plane, *self._frame([picture, *(c.picture for c in pinned)]))
        both = zip(self.rims, self.circles, centres, picture.radii, self.names, picture.ends, strict=True)
        for i, (rim, circle, centre, radius, name, words) in enumerate(both):
            rim.set(center=tuple(centre), radius=radius * 1.02 + 0.3 * chain.stage.pitch / picture.unit)
            circle.set(center=tuple(centre), radius=radius)
            # beyond the rim, on the side away from the other sprocket
            away = (1 if i else -1) * picture.along
            reach = radius * 1.1 + 0.4 * chain.stage.pitch / picture.unit
            name.set(text=f"{words}\n{chain.stage.teeth[i]} teeth", position=tuple(centre + reach * away))
            level = abs(away[0]) > 0.7
            name.set_ha("center" if not level else "left" if away[0] > 0 else "right")
            name.set_va("center" if level else "bottom" if away[1] > 0 else "top")
            if chain.turn:
                self.turns[i].move(centre, 0.62 * radius, anticlockwise=chain.turn > 0)
            else:
                self.turns[i].show(False)
        for arc, points in zip(self.arcs, picture.arcs(), strict=True):
            arc.set_data(*points.T)
        self.hubs.set_data(*centres.T)
        self.line.set_data(*centres.T)
        tight = None if not chain.turn else 0 if chain.turn > 0 else 1
        self._move_idler(picture)
        over = None if picture.idler is None else 0 if chain.idler_side == 1 else 1
        for i, (line, strand) in enumerate(zip(self.sides, picture.strands(), strict=True)):
            points = strand if tight in (None, i) else picture.hanging(strand)
            if i == over and (pushed := picture.over_idler(strand, 1 - 2 * i)) is not None:
                points = pushed
            line.set_data(*points.T)
            line.set_linewidth(style.BELT_WIDTH + (2.2 if tight == i else 0.0))
        # nearer to the larger sprocket, where the strands are further apart
        middle = centres[0] + (0.62 if picture.radii[1] > picture.radii[0] else 0.38) * (centres[1] - centres[0])
        self.distance.set(text=show(chain.centres, "length", picture.system), position=tuple(middle))
        for line, candidate in overlaid(self.pinned, pinned):
            other = candidate.picture
            if other.chain.path is not None:
                line.set_data(*np.concatenate([other.strands()[0], other.strands()[1][::-1]]).T)

    def _move_idler(self, picture: ChainPicture) -> None:
        """Move the idler sprocket; its teeth stand on it."""
        found = picture.idler
        for artist in (self.idler, self.idler_name):
            artist.set_visible(found is not None)
        if found is not None:
            middle, radius = found
            self.idler.set(center=tuple(middle), radius=radius * 1.02 + 0.3 * picture.chain.stage.pitch / picture.unit)
            self.idler_name.set(text=f"{picture.chain.idler.teeth}", position=tuple(middle))

    def _move_rating(self, picture: ChainPicture, pinned: Sequence[Candidate]) -> None:
        rated = self._rated(picture)
        for artist in (self.chart, self.point):
            artist.set_visible(rated is not None)
        self.none.set_text("" if rated is not None else NO_RATING)
        if rated is None:
            return
        self.rated.set_data(self.speeds, rated)
        at = len(self.speeds) // 5
        self.rated_words.set_position((self.speeds[at] * 0.5, rated[at] * 1.35))
        load = picture.chain.load
        for artist in (self.point, self.point_words):
            artist.set_visible(load is not None)
        if load is not None:
            x, y = load.turning / RPM, load.power / self.watt
            self.point.set_data([x], [y])
            self.point_words.set_position((x, y / 1.5))
        for line, candidate in overlaid(self.others, pinned):
            other = self._rated(candidate.picture)
            line.set_data(self.speeds, other if other is not None else np.full(len(self.speeds), np.nan))
            line.set_color(candidate.colour)

    def _rated(self, picture: ChainPicture) -> np.ndarray | None:
        """Return the rated power over the speeds, in the unit of the chart; None where no rating is known."""
        stage = picture.chain.stage
        if stage.row is None or stage.row["k_plate"] is None:
            return None
        known = {"k_plate": stage.row["k_plate"], "k_roller": stage.row["k_roller"]}
        rating = mech.chain_rating.si(self.speeds * RPM, pitch=stage.pitch, teeth=stage.small, **known)
        return rating.power * picture.chain.strand_factor / self.watt


def _in_words(picture: ChainPicture) -> str:
    chain, stage = picture.chain, picture.chain.stage
    words = f"Roller chain, {stage.teeth[0]} teeth drive {stage.teeth[1]}"
    if chain.path is not None:
        words += f", centres {show(chain.centres, 'length', picture.system)}, {float(chain.path.pitches):.2f} pitches"
    if chain.links is not None:
        words += f", {chain.links} links"
    if chain.idler is not None:
        words += f", an idler of {chain.idler.teeth} teeth"
    words += "."
    if chain.load is not None:
        load = chain.load
        words += f" At work it passes {show(load.power, 'power', picture.system)}"
        words += f" with a pull of {show(load.pull, 'force', picture.system)}."
    if chain.rating is not None:
        words += f" It is rated for {show(chain.rated, 'power', picture.system)} there."
    return words


def picture_of(results: Results, name: str) -> ChainPicture | None:
    """Return the picture of a chain; None where nothing of it can be drawn."""
    found = results.chapters.get("roller-chain")
    chain = (found.data or {}).get(name) if found else None
    if chain is None:
        return None
    build = results.build
    ends = tuple(build.get(f"stage[{name}].{k}") or k for k in ("from", "to"))
    return ChainPicture(chain, ends, build.system)


def draw(chapter: Findings, results: Results) -> Iterator[tuple[str, View, object]]:
    """Yield each chain."""
    for name in chapter.data or {}:
        picture = picture_of(results, name)
        if picture is not None:
            yield f"{name}: chain and rating", ChainView(view_name("chain", name), picture), picture

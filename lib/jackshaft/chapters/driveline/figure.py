"""The telescoping shaft from the side and from above, its angles and overlap over the lift, and its ripple."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure

from jackshaft.chapters.driveline.checks import fact
from jackshaft.chapters.driveline.data import DrivelineData
from jackshaft.chapters.driveline.ripple_figure import RipplePlot, in_words, ripple_of
from jackshaft.drawing import style
from jackshaft.drawing.following import Following, overlaid, plus_pinned
from jackshaft.drawing.view import Candidate, View
from jackshaft.results import Findings, Results
from jackshaft.units import read, show

#: How far the two shafts are drawn beyond their joints, as a share of the greatest distance.
STUB = 0.22
#: Steps of the scale of lifts, degrees.
STEP = 5.0
NOT_YET = "The hinge and the attitudes\nare not known yet."


@dataclass(frozen=True)
class DrivelinePicture:
    """The telescoping shaft as it is drawn: ``hinge`` off and away, ``upright`` where it swings aside.

    ``linkage`` holds hinge off and away, joint 2 along and square, m; ``aside`` joint 2 off the plane in which the
    attachment turns, m.
    """

    data: DrivelineData
    hinge: tuple[float, float] | None
    upright: bool
    system: str
    linkage: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)
    aside: float = 0.0

    @property
    def unit(self) -> float:
        """Metres for one unit of the drawing."""
        return read("1 in" if self.system == "inch" else "1 mm", "length").si

    def joints(self) -> list[tuple[str, np.ndarray, np.ndarray, bool]]:
        """Return name, place of joint 2 and direction of the attachment's shaft in the drawing's plane, and turning."""
        found = []
        for a in self.data.attitudes:
            if self.hinge is None or a.lift is None or a.distance is None:
                continue
            found.append((a.name, self._joint(a.lift), np.array([np.cos(a.lift), np.sin(a.lift)]), a.turns))
        return found

    def _joint(self, lift: float) -> np.ndarray:
        off, away, along, square = self.linkage
        x = away + along * np.cos(lift) + square * np.sin(lift)
        return np.array([x, off + along * np.sin(lift) - square * np.cos(lift)]) / self.unit


class DrivelineView(Following):
    """Draws the linkage from two sides beside the curves of its travel and of one turn."""

    size, phone = (7.2, 6.4), (3.8, 7.4)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        count = len(self.first.data.attitudes)
        box = self.by_width((0.01, 0.31, 0.48, 0.60), (0.02, 0.69, 0.96, 0.24))
        self.plane = ax = style.add_plane(figure, *self._frame([self.first]), box=box)
        self.base = ax.plot([], [], color=style.INK, linewidth=4, solid_capstyle="butt")[0]
        self.hinge = ax.plot([], [], "o", color=style.ACCENT, markersize=8, markeredgecolor=style.INK)[0]
        self.pinned = [ax.plot([], [], linewidth=style.HEAVY)[0] for _ in style.CANDIDATES]
        self.arms = [ax.plot([], [], color=style.MUTED, linewidth=1.0, linestyle="-.")[0] for _ in range(count)]
        self.shafts = [ax.plot([], [], color=style.BELT, linewidth=style.HEAVY)[0] for _ in range(count)]
        self.ends = [ax.plot([], [], color=style.INK, linewidth=3)[0] for _ in range(count)]
        self.dots = ax.plot([], [], "o", color=style.INK, markersize=5)[0]
        self.names = [style.label(ax, (0, 0), size=style.SMALL, bold=True, across="left") for _ in range(count)]
        seen, other = ["seen from the side", "seen from above"][:: -1 if self.first.upright else 1]
        words = self.by_width(f"{seen} · dashed: does not turn", seen)
        figure.text(0.012, self.by_width(0.275, 0.675), words, fontsize=style.SMALL, color=style.MUTED)
        self._compose_other(figure, other, count)
        self.none = figure.text(
            *self.by_width((0.25, 0.6), (0.5, 0.8)), "", ha="center", va="center", fontsize=style.SMALL
        )
        self._compose_curves(figure)

    def _compose_other(self, figure: Figure, seen: str, count: int) -> None:
        """Make the view square to the first one, for a linkage that does not lie in one plane."""
        box = self.by_width((0.01, 0.07, 0.48, 0.19), (0.02, 0.60, 0.96, 0.07))
        self.other = ax = style.add_plane(figure, (0, 1), (0, 0.1), box=box)
        self.other_base = ax.plot([], [], color=style.INK, linewidth=4, solid_capstyle="butt")[0]
        self.other_hinge = ax.plot([], [], color=style.ACCENT, linewidth=1.2, linestyle="-.")[0]
        self.other_shafts = [ax.plot([], [], color=style.BELT, linewidth=style.HEAVY)[0] for _ in range(count)]
        self.other_ends = [ax.plot([], [], color=style.INK, linewidth=3)[0] for _ in range(count)]
        self.other_dots = ax.plot([], [], "o", color=style.INK, markersize=5)[0]
        place = self.by_width((0.012, 0.02), (0.012, 0.585))
        self.other_words = figure.text(*place, seen, fontsize=style.SMALL, color=style.MUTED)

    def _move_other(self, picture: DrivelinePicture, joints, reach: float) -> None:
        """Move the other view, at the scale of the first one and below it."""
        aside, room = picture.aside / picture.unit, 0.35 * reach
        low, high = min(aside, 0.0) - room, max(aside, 0.0) + room
        style.frame_plane(self.other, self.plane.get_xlim(), (low, high))
        self.other_base.set_data([-reach, 0.0], [0.0, 0.0])
        self.other_hinge.set_data([picture.hinge[1] / picture.unit] * 2, [low, high])
        for i, (_, joint, way, turns) in enumerate(joints):
            self.other_shafts[i].set_data([0.0, joint[0]], [0.0, aside])
            self.other_shafts[i].set_linestyle("-" if turns else (0, (4, 3)))
            self.other_ends[i].set_data([joint[0], joint[0] + reach * way[0]], [aside, aside])
        self.other_dots.set_data([0.0, *(j[0] for _, j, _, _ in joints)], [0.0, *(aside for _ in joints)])

    def _compose_curves(self, figure: Figure) -> None:
        wide = ((0.60, 0.69, 0.38, 0.22), (0.60, 0.40, 0.38, 0.22), (0.60, 0.09, 0.38, 0.22))
        boxes = self.by_width(wide, ((0.17, 0.44, 0.79, 0.125), (0.17, 0.26, 0.79, 0.125), (0.17, 0.07, 0.79, 0.125)))
        self.ripple = RipplePlot(figure, boxes[2])
        inch = self.first.system == "inch"
        self.bends = style.add_plot(figure, (-30, 40), (0, 40), x_label="", y_label="joint (°)", box=boxes[0])
        unit = "in" if inch else "mm"
        self.length = style.add_plot(
            figure, (-30, 40), (0, 1), x_label="lift (°)", y_label=f"overlap ({unit})", box=boxes[1]
        )
        self.curves = [
            self.bends.plot([], [], color=style.BELT, linewidth=style.HEAVY, dashes=d)[0] for d in ((1, 0), (5, 2))
        ]
        for item in ("working", "brief"):
            most = fact(f"joint angle, {item}")["high"]
            self.bends.axhline(most, color=style.CAUTION if item == "working" else style.STOP, linewidth=1.0)
        self.bends.legend(
            self.curves,
            ["joint 1", "joint 2"],
            loc="upper center",
            ncols=2,
            frameon=False,
            fontsize=style.SMALL,
            borderpad=0.1,
        )
        self.overlap = self.length.plot([], [], color=style.INK, linewidth=style.HEAVY)[0]
        self.wanted = self.length.axhline(0, color=style.CAUTION, linewidth=1.0)
        self.others = [self.length.plot([], [], linewidth=style.HEAVY)[0] for _ in style.CANDIDATES]
        self.marks = [a.plot([], [], "o", color=style.ACCENT, markersize=5)[0] for a in (self.bends, self.length)]

    def _frame(self, pictures: Sequence[DrivelinePicture]) -> tuple[tuple[float, float], tuple[float, float]]:
        points = [np.zeros(2)]
        for p in pictures:
            for _, joint, way, _ in p.joints():
                reach = 1.6 * STUB * float(np.hypot(*joint))
                points += [joint, joint + reach * way, np.array([-0.6 * reach, 0.0])]
            if p.hinge is not None and p.joints():
                points.append(np.array([p.hinge[1], p.hinge[0]]) / p.unit)
        low, high = np.min(points, 0), np.max(points, 0)
        room = 0.06 * max(float((high - low).max()), 1.0)
        return (low[0] - room, high[0] + room), (low[1] - room, high[1] + room)

    def update(self, picture: DrivelinePicture, pinned: Sequence[Candidate] = ()) -> None:
        """Move everything to a shaft."""
        joints = picture.joints()
        self.none.set_text("" if joints else NOT_YET)
        for artist in (self.base, self.hinge, self.dots, *self.arms, *self.shafts, *self.ends, *self.names):
            artist.set_visible(bool(joints))
        if joints:
            self._move_linkage(picture, joints, pinned)
        beside = bool(joints) and picture.aside != 0.0
        self.other.set_visible(beside)
        self.other_words.set_visible(beside)
        found = ripple_of(picture.data)
        self.ripple.update(found)
        self._move_curves(picture, pinned)
        self.words = _in_words(picture) + in_words(found) + plus_pinned(pinned)

    def _move_linkage(self, picture: DrivelinePicture, joints, pinned: Sequence[Candidate]) -> None:
        style.frame_plane(self.plane, *self._frame([picture, *(c.picture for c in pinned)]))
        reach = STUB * max(float(np.hypot(*j)) for _, j, _, _ in joints)
        self.base.set_data([-reach, 0.0], [0.0, 0.0])
        hinge = np.array([picture.hinge[1], picture.hinge[0]]) / picture.unit
        self.hinge.set_data([hinge[0]], [hinge[1]])
        for group in (self.arms, self.shafts, self.ends, self.names, self.other_shafts, self.other_ends):
            for artist in group[len(joints) :]:
                artist.set_visible(False)
        for i, (name, joint, way, turns) in enumerate(joints):
            self.arms[i].set_data(*np.array([hinge, joint]).T)
            self.shafts[i].set_data([0.0, joint[0]], [0.0, joint[1]])
            self.shafts[i].set_linestyle("-" if turns else (0, (4, 3)))
            self.ends[i].set_data(*np.array([joint, joint + reach * way]).T)
            self.names[i].set(text=name, position=tuple(joint + 1.08 * reach * way))
        self.dots.set_data(*np.array([(0.0, 0.0), *(j for _, j, _, _ in joints)]).T)
        self._move_other(picture, joints, reach)
        for line, candidate in overlaid(self.pinned, pinned):
            points = [p for _, j, _, _ in candidate.picture.joints() for p in ((0.0, 0.0), j)]
            line.set_data(*(np.array(points).T if points else ([], [])))

    def _move_curves(self, picture: DrivelinePicture, pinned: Sequence[Candidate]) -> None:
        data, way = picture.data, picture.data.travel
        for ax in (self.bends, self.length):
            ax.set_visible(way is not None)
        if way is None:
            return
        lift = np.degrees(way.lift)
        low, high = float(lift.min()), float(lift.max())
        room = 0.04 * max(high - low, 5.0)
        # by whole steps, so that the scale stands still while a hand moves an attitude
        ends = STEP * np.floor((low - room) / STEP), STEP * np.ceil((high + room) / STEP)
        for ax in (self.bends, self.length):
            ax.set_xlim(*ends)
        bends = np.degrees([way.stance.first, way.stance.second])
        self.bends.set_ylim(0, max(38.0, float(bends.max()) * 1.3))
        for curve, bend in zip(self.curves, bends, strict=True):
            curve.set_data(lift, bend)
        named = np.degrees([a.lift for a in data.attitudes])
        self.marks[0].set_data(named, [np.degrees(a.most) for a in data.attitudes])
        known = data.overlap(0.0) is not None
        for artist in (self.overlap, self.wanted, self.marks[1]):
            artist.set_visible(known)
        if known:
            overlap = np.array([data.overlap(d) for d in way.stance.distance]) / picture.unit
            self.overlap.set_data(lift, overlap)
            good = fact("telescoping overlap over profile length")["likely"] * data.tube / picture.unit
            self.wanted.set_ydata([good, good])
            self.length.set_ylim(min(0.0, float(overlap.min())), 1.1 * data.tube / picture.unit)
            self.marks[1].set_data(named, [data.overlap(a.distance) / picture.unit for a in data.attitudes])
        for line, candidate in overlaid(self.others, pinned):
            other = candidate.picture.data
            there = other.travel is not None and other.overlap(0.0) is not None
            line.set_color(candidate.colour)
            line.set_data(
                np.degrees(other.travel.lift) if there else [],
                [other.overlap(d) / picture.unit for d in other.travel.stance.distance] if there else [],
            )


def _in_words(picture: DrivelinePicture) -> str:
    said = []
    for a in picture.data.attitudes:
        words = [a.name]
        if a.distance is not None:
            words.append(f"{show(a.distance, 'length', picture.system)} joint to joint")
        if None not in (a.first, a.second):
            first, second = (show(v, "angle", picture.system) for v in (a.first, a.second))
            words.append(f"joints at {first} and {second}")
        words.append("" if a.turns else "does not turn")
        said.append(", ".join(w for w in words if w))
    return f"Telescoping shaft: {'; '.join(said) or 'no attitude is known yet'}."


def picture_of(results: Results) -> DrivelinePicture | None:
    """Return the picture of a build's telescoping shaft; None where nothing of it is known."""
    found = results.chapters.get("driveline")
    if found is None or found.data is None:
        return None
    build = results.build
    sizes = [build.measure(f"driveline.{k}") for k in ("hinge_off", "hinge_away", "joint_along", "joint_square")]
    known = found.data.travel is not None and None not in sizes
    linkage = tuple(s.si for s in sizes) if known else (0.0,) * 4
    upright = build.get("driveline.hinge_is") == "upright"
    aside = build.measure("driveline.joint_aside")
    return DrivelinePicture(
        found.data,
        linkage[:2] if known else None,
        upright,
        build.system,
        linkage,
        aside.si if known and aside is not None else 0.0,
    )


def draw(chapter: Findings, results: Results) -> Iterator[tuple[str, View, object]]:
    """Yield the travel of the telescoping shaft."""
    picture = picture_of(results)
    if picture is not None and picture.data.travel is not None:
        yield "Travel of the telescoping shaft", DrivelineView("driveline", picture), picture

"""The pulleys and the belt of one loop, as the drawings of layout and grip have in common."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Circle

from jackshaft.chapters.layout.analysis import StageLayout
from jackshaft.drawing import style
from jackshaft.drawing.following import Following
from jackshaft.units import read


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

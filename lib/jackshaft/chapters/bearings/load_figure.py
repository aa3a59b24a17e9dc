"""A shaft along its length: what pulls on it and what its bearings carry, upward and sideways."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure

from jackshaft.chapters.bearings.data import ShaftReactions
from jackshaft.chapters.bearings.shown import along
from jackshaft.drawing import style
from jackshaft.drawing.view import Candidate, View
from jackshaft.units import show

PLANES = ((1, "upward  ↑"), (0, "to the right  ↑"))
LONGEST, LABEL = 1.05, 0.76  # longest arrow and height of a label, in units of the plot


@dataclass(frozen=True)
class ShaftLine:
    """One shaft: parts along it with forces ON the shaft at work, N, shape (n, 2); bearings push back.

    ``is_own`` marks the shaft's own weight, which is not named in the plane where it is nothing.
    """

    shaft: str
    names: tuple[str, ...]
    at: np.ndarray
    force: np.ndarray
    is_bearing: tuple[bool, ...]
    is_own: tuple[bool, ...]
    system: str


def line_of(found: ShaftReactions, system: str) -> ShaftLine:
    """Return a shaft's pulls and the push of its bearings, ready to be drawn."""
    pulls, rest = found.loads.gathered, len(found.bearings)
    return ShaftLine(
        shaft=found.shaft,
        names=tuple(p.name for p in pulls) + found.bearings,
        at=np.concatenate([[p.at for p in pulls], found.at]),
        force=np.concatenate([[p.force[0] for p in pulls], -found.carried[0]]),
        is_bearing=(False,) * len(pulls) + (True,) * rest,
        is_own=tuple(p.own for p in pulls) + (False,) * rest,
        system=system,
    )


class ShaftLineView(View):
    """Draws the two planes of one shaft, one above the other."""

    size = (7.2, 4.6)

    def __init__(self, name: str, picture: ShaftLine):
        self.first, self.words = picture, ""
        super().__init__(name)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        picture = self.first
        self.unit, unit = along(picture.system)
        x = picture.at / self.unit
        room = 0.22 * max(float(np.ptp(x)), 1.0)
        self.reach = float(x.min() - room), float(x.max() + room)
        self.planes = []
        for i, (_, words) in enumerate(PLANES):
            ax = style.add_plot(
                figure, self.reach, (-1.9, 1.9), x_label="", y_label="", box=(0.045, 0.52 - 0.41 * i, 0.94, 0.345)
            )
            ax.set_yticks([])
            ax.set_ylabel(words, fontsize=style.BODY)
            ax.grid(False)
            ax.plot(self.reach, [0, 0], color=style.METAL, linewidth=7, solid_capstyle="butt", zorder=1)
            seats = ax.plot([], [], "^", color=style.ACCENT, markerfacecolor=style.PAPER, markersize=11, zorder=2)[0]
            colours = [style.ACCENT if b else style.BELT for b in picture.is_bearing]
            arrows = [
                style.arrow(ax, (0, 0), (0, 1), colour=c, width=style.BELT_WIDTH, head_points=14) for c in colours
            ]
            for arrow in arrows:
                arrow.set_zorder(3)  # over the bearing's sign, so that a push downward is seen
            labels = [style.label(ax, (0, 0), size=style.SMALL, colour=c) for c in colours]
            self.planes.append((ax, seats, arrows, labels))
        self.planes[-1][0].set_xlabel(f"along the shaft from its zero mark ({unit})")

    def update(self, picture: ShaftLine, pinned: Sequence[Candidate] = ()) -> None:
        """Move everything to a shaft."""
        x = picture.at / self.unit
        most = max(float(np.abs(picture.force).max()), 1e-9)
        order = np.argsort(x)
        for (axis, _), (_ax, seats, arrows, labels) in zip(PLANES, self.planes, strict=True):
            seats.set_data(
                [v for v, b in zip(x, picture.is_bearing, strict=True) if b], [-0.3] * sum(picture.is_bearing)
            )
            taken: dict[bool, tuple[float, float]] = {}
            for i in order:
                value = float(picture.force[i, axis])
                size = LONGEST * value / most
                up = size > -0.02
                arrows[i].set_visible(abs(size) > 0.02)
                arrows[i].set_positions((x[i], 0.0), (x[i], size))
                arrows[i].set_mutation_scale(float(np.clip(30 * abs(size), 5, 14)))
                labels[i].set_visible(not (picture.is_own[i] and value == 0))
                if not labels[i].get_visible():
                    continue
                start = max(abs(size), 0.17 if up or not picture.is_bearing[i] else 0.46) + 0.06
                near, height = taken.get(up, (-np.inf, 0.0))
                if x[i] - near < 0.17 * (self.reach[1] - self.reach[0]) and abs(start - height) < LABEL:
                    start = height + LABEL
                taken[up] = (x[i], start)
                labels[i].set(
                    text=f"{picture.names[i]}\n{show(value, 'force', picture.system)}", va="bottom" if up else "top"
                )
                labels[i].set_position((x[i], start if up else -start))
        self.words = self._describe(picture)

    def _describe(self, picture: ShaftLine) -> str:
        parts = []
        for name, at, force, bearing in zip(picture.names, picture.at, picture.force, picture.is_bearing, strict=True):
            up, right = (show(float(force[k]), "force", picture.system) for k in (1, 0))
            what = f"bearing {name} pushes" if bearing else f"{name} pulls"
            parts.append(f"{what} {up} upward and {right} to the right at {show(float(at), 'length', picture.system)}")
        return f"Shaft {picture.shaft} at work: " + "; ".join(parts) + "."

    def alt(self) -> str:
        """Return in words what is drawn now."""
        return self.words

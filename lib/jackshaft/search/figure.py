"""What a search weighed: grip against hub load and against size, with the layouts of the table lettered."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from jackshaft.drawing import style
from jackshaft.drawing.view import Candidate, View
from jackshaft.units import FOOT, POUND_FORCE, show


@dataclass(frozen=True)
class SearchPicture:
    """The layouts that a search kept, SI units, shape (m,), and those that are lettered.

    ``now`` holds margin, hub load and size of the build as it is, None where it cannot run; ``chosen`` the
    letter that is looked at.
    """

    margin: np.ndarray
    hub: np.ndarray
    size: np.ndarray
    bought: np.ndarray
    letters: tuple[tuple[str, int], ...]
    now: tuple[float, float, float] | None
    least: float
    chosen: str
    tried: int
    system: str


class SearchView(View):
    """Two plots side by side with the grip margin upward."""

    size, phone = (7.2, 4.3), (3.8, 5.6)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        self.axes, self.filled, self.open, self.now, self.line, self.names, self.rings = [], [], [], [], [], [], []
        self.leads = []
        self.words = "No layout was found yet."
        boxes = self.by_width(
            ((0.065, 0.235, 0.4, 0.6), (0.575, 0.235, 0.4, 0.6)), ((0.11, 0.62, 0.86, 0.25), (0.11, 0.225, 0.86, 0.25))
        )
        for box, name in zip(boxes, ("largest hub load", "size, box round the loop"), strict=True):
            # The name of the upward axis is above it: turned on its side it would lie on the numbers of a phone.
            ax = style.add_plot(
                figure,
                (0, 1),
                (0, 1),
                x_label=name,
                y_label="",
                title="grip, bad end, × work",
                box=box,
            )
            ax.xaxis.set_major_locator(MaxNLocator(4))
            ax.yaxis.set_major_locator(MaxNLocator(6))
            self.axes.append(ax)
            self.line.append(ax.plot([], [], color=style.STOP, linewidth=style.LINE, linestyle=(0, (4, 3)))[0])
            self.open.append(
                ax.plot([], [], "o", markerfacecolor=style.PAPER, markeredgecolor=style.BELT, markersize=5)[0]
            )
            self.filled.append(ax.plot([], [], "o", color=style.BELT, markersize=5)[0])
            self.now.append(
                ax.plot([], [], "s", color=style.CAUTION, markersize=8, markerfacecolor="none", markeredgewidth=2)[0]
            )
            self.leads.append(ax.plot([], [], color=style.MUTED, linewidth=style.THIN)[0])
            self.rings.append(
                ax.plot(
                    [], [], "o", markerfacecolor="none", markeredgecolor=style.ACCENT, markersize=17, markeredgewidth=2
                )[0]
            )
            self.names.append([style.label(ax, (0, 0), bold=True, boxed=False) for _ in range(12)])
        figure.text(
            0.012,
            0.07,
            self.by_width(
                "● nothing to buy    ○ something to buy    □ the build now    – – grip asked for",
                "● nothing to buy    ○ something to buy\n□ the build now    – – grip asked for",
            ),
            fontsize=style.SMALL,
            color=style.INK,
        )
        self.foot = figure.text(0.012, 0.015, "", fontsize=style.SMALL, color=style.MUTED)

    def update(self, picture: SearchPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Move everything to what was found."""
        inch = picture.system == "inch"
        units = (
            (POUND_FORCE, "largest hub load, lbf") if inch else (1.0, "largest hub load, N"),
            (FOOT**2, "box round the loop, sq ft") if inch else (1.0, "box round the loop, m²"),
        )
        margin = np.append(picture.margin, [picture.least] + ([picture.now[0]] if picture.now else []))
        for k, across in enumerate((picture.hub, picture.size)):
            ax, (unit, words) = self.axes[k], units[k]
            x = across / unit
            spread = np.append(x, picture.now[1 + k] / unit) if picture.now else x
            ax.set_xlabel(words)
            ax.set_xlim(*_room(spread))
            ax.set_ylim(*_room(margin))
            free = picture.bought <= 0
            self.filled[k].set_data(x[free], picture.margin[free])
            self.open[k].set_data(x[~free], picture.margin[~free])
            self.line[k].set_data(ax.get_xlim(), [picture.least] * 2)
            self.now[k].set_data(*(([picture.now[1 + k] / unit], [picture.now[0]]) if picture.now else ([], [])))
            ring = [row for letter, row in picture.letters if letter == picture.chosen]
            self.rings[k].set_data(x[ring], picture.margin[ring])
            (left, right), (low, high) = ax.get_xlim(), ax.get_ylim()
            rows = [row for _, row in picture.letters]
            dots = np.stack([(x[rows] - left) / (right - left), (picture.margin[rows] - low) / (high - low)], -1)
            spots = apart(dots)
            places = spots * (right - left, high - low) + (left, low)
            self._lead(k, dots, spots)
            for text, one, at in zip(
                self.names[k], [*picture.letters, *[None] * 12], [*places, *[None] * 12], strict=False
            ):
                text.set_visible(one is not None)
                if one is not None:
                    text.set(text=one[0], position=at)
        self.foot.set_text(f"{len(picture.margin)} kept of {picture.tried} tried; up and to the left is better")
        self.words = self._say(picture)

    def _lead(self, k: int, dots: np.ndarray, spots: np.ndarray) -> None:
        """Draw a thin line from each letter that stands far off to its dot; both shape (m, 2), shares of the plot."""
        far = np.linalg.norm(spots - dots, axis=-1) > 0.09
        ends = np.stack([dots, dots + 0.75 * (spots - dots), np.full_like(dots, np.nan)], 1)[far].reshape(-1, 2)
        self.leads[k].set_transform(self.axes[k].transAxes)
        self.leads[k].set_data(ends[:, 0], ends[:, 1])

    def _say(self, picture: SearchPicture) -> str:
        if not len(picture.margin):
            return f"No layout holds, of {picture.tried} tried."
        each = "; ".join(
            f"{letter}: grip {picture.margin[row]:.2f}, hub load "
            f"{show(float(picture.hub[row]), 'force', picture.system)}"
            for letter, row in picture.letters
        )
        now = (
            f" The build now: grip {picture.now[0]:.2f}, hub load {show(picture.now[1], 'force', picture.system)}."
            if picture.now
            else ""
        )
        chosen = f" Looked at: {picture.chosen}." if picture.chosen else ""
        return (
            f"Grip at the bad end against hub load and size; {len(picture.margin)} layouts kept of {picture.tried} "
            f"tried. {each}.{now}{chosen}"
        )

    def alt(self) -> str:
        """Return in words what is drawn now."""
        return self.words


def apart(dots: np.ndarray) -> np.ndarray:
    """Return where the letters of dots stand, shape (m, 2), as shares of the plot: near their own, off the others."""
    turns = np.radians([45, 135, -45, -135, 0, 180, 90, -90])
    ring = np.stack([np.cos(turns), np.sin(turns)], -1)
    offers = np.concatenate([ring * size for size in ((0.045, 0.05), (0.08, 0.085), (0.12, 0.12))])
    placed = np.zeros((0, 2))
    for i, dot in enumerate(dots):
        spots = dot + offers
        others = np.concatenate([placed, np.delete(dots, i, 0)])
        # a letter is about this wide and high
        gap = (np.abs(spots[:, None] - others) / (0.05, 0.075)).max(-1).min(1, initial=9.0)
        # and its own dot is the nearest to it
        rivals = np.linalg.norm(spots[:, None] - np.delete(dots, i, 0), axis=-1).min(1, initial=9.0)
        gap[rivals < 1.25 * np.linalg.norm(spots - dot, axis=-1)] *= 0.5
        gap[((spots < 0.02) | (spots > 0.98)).any(1)] = -1.0
        good = np.nonzero(gap >= 1.0)[0]
        placed = np.append(placed, spots[[good[0] if len(good) else int(np.argmax(gap))]], 0)
    return placed


def _room(values: np.ndarray) -> tuple[float, float]:
    """Return limits with a little room round the values."""
    finite = values[np.isfinite(values)]
    if not len(finite):
        return 0.0, 1.0
    low, high = float(finite.min()), float(finite.max())
    spare = 0.08 * (high - low) or 0.1 * abs(high) or 1.0
    return low - spare, high + 1.6 * spare


__all__ = ["SearchPicture", "SearchView"]

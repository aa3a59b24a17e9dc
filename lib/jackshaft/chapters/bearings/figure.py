"""One bearing: its section to scale, the readings against what each size may read, and life against load."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Circle, Rectangle

from jackshaft.chapters.bearings.card_figure import ring_sizes
from jackshaft.chapters.bearings.data import BearingLife, Identity
from jackshaft.chapters.bearings.life_figure import NO_LIFE, LifePlot
from jackshaft.chapters.bearings.load_figure import ShaftLineView, line_of
from jackshaft.chapters.bearings.shown import KEYS, along, fine, hours_words
from jackshaft.drawing import style
from jackshaft.drawing.view import Candidate, View
from jackshaft.results import Findings, Results
from jackshaft.units import show

ROWS = 3
#: Half the width of the strips that show what each size may read: thou, micrometres.
REACH = {"inch": 8, "metric": 200}
WIDE = 1.75  # half the width of the section's drawing over the room that the ring takes
#: Strips: left, bottom of the first, width, height, step downward; fractions of the figure.
STRIP, PHONE_STRIP = (0.57, 0.795, 0.41, 0.1, 0.168), (0.59, 0.805, 0.385, 0.078, 0.165)
#: Where the words beside the strips begin: on a phone letters are half as large again, and need the room.
WORDS = 0.43
#: Lines of a label stand this far apart, so that they clear each other in those larger letters too.
APART = 1.6


@dataclass(frozen=True)
class BearingPicture:
    """One bearing as it is drawn."""

    identity: Identity
    life: BearingLife
    system: str

    def size(self, dimension: str) -> float | None:
        """Return a dimension as read, else of the size that is taken, m."""
        read = self.identity.readings.get(dimension)
        if read is not None:
            return read.value
        return getattr(self.identity.size, dimension) if self.identity.size is not None else None

    @property
    def sizes(self) -> tuple[float, float, float] | None:
        """Bore, outside and width, m, where all three are known."""
        found = tuple(self.size(d) for d in KEYS)
        return None if None in found else found


class BearingView(View):
    """Draws one bearing; frames stay put unless it leaves them."""

    size, phone = (7.2, 7.4), (3.8, 5.4)

    def __init__(self, name: str, picture: BearingPicture):
        self.first, self.words = picture, ""
        self.unit, _ = along(picture.system)
        self.small, self.small_name = fine(picture.system)
        self.frame = self._room(picture.sizes or (0.03, 0.062, 0.016))
        self.reach = REACH[picture.system]
        super().__init__(name)

    def _room(self, sizes: tuple[float, float, float]) -> tuple[float, float]:
        """Return the room that a bearing takes, its labels included: half of it, along the shaft and across."""
        _, od, width = sizes
        return 1.25 * width / self.unit, 0.62 * od / self.unit

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        self._compose_section(figure)
        self._compose_strips(figure)
        self.life = LifePlot(figure, self.first.life, self.first.system, narrow=self.narrow)

    def _compose_section(self, figure: Figure) -> None:
        across, high = self.frame
        self.section = ax = style.add_plane(
            figure, (-WIDE * across, WIDE * across), (-high, high), box=(0.01, 0.40, 0.41, 0.52)
        )
        ring = {"facecolor": style.FILL, "edgecolor": style.INK, "linewidth": style.LINE}
        self.rings = [
            ax.add_patch(Rectangle((0, 0), 1, 1, hatch=h, **ring)) for h in ("////", "\\\\\\\\", "////", "\\\\\\\\")
        ]
        self.balls = [
            ax.add_patch(Circle((0, 0), 1, facecolor=style.PAPER, edgecolor=style.INK, linewidth=style.LINE))
            for _ in range(2)
        ]
        self.shaft = ax.add_patch(
            Rectangle((0, 0), 1, 1, facecolor=style.METAL, edgecolor=style.MUTED, alpha=0.35, zorder=0)
        )
        self.axis = ax.plot([], [], color=style.MUTED, linewidth=style.THIN, dashes=(12, 3, 2, 3))[0]
        self.pinned = [ax.plot([], [], linewidth=style.HEAVY)[0] for _ in style.CANDIDATES]
        self.measures = [
            style.arrow(ax, (0, 0), (1, 0), both_ends=True, head_points=8, colour=style.ACCENT) for _ in KEYS
        ]
        self.sizes = [style.label(ax, (0, 0), size=style.SMALL, colour=style.ACCENT) for _ in KEYS]
        for text in self.sizes:
            text.set_linespacing(APART)

    def _compose_strips(self, figure: Figure) -> None:
        self.bars, self.names, self.tools, self.titles, self.strips = [], [], [], [], []
        left, first, wide, high, step = self.by_width(STRIP, PHONE_STRIP)
        small = {"fontsize": style.SMALL, "parse_math": False}
        for i in range(len(KEYS)):
            bottom = first - step * i
            ax = style.add_plot(
                figure,
                (-self.reach, self.reach),
                (ROWS - 0.4, -0.6),
                x_label="",
                y_label="",
                box=(left, bottom, wide, high),
            )
            self.strips.append(ax)
            ax.set_yticks([])
            ax.set_xticks(np.linspace(-self.reach, self.reach, 5))
            band = Rectangle((0, -0.6), 1, ROWS, facecolor=style.BELT, alpha=0.15, linewidth=0)
            self.tools.append(ax.add_patch(band))
            ax.axvline(0.0, color=style.BELT, linewidth=style.HEAVY)
            self.bars.append([ax.plot([], [], linewidth=6, solid_capstyle="butt")[0] for _ in range(ROWS)])
            heights = [bottom + high * (1 - (row + 0.6) / (ROWS + 0.2)) for row in range(ROWS)]
            self.names.append([figure.text(left - 0.01, at, "", ha="right", va="center", **small) for at in heights])
            self.titles.append(figure.text(WORDS, bottom + high + 0.009, "", color=style.INK, **small))
        words = f"bars: what each size may read,\nless your reading ({self.small_name})"
        figure.text(WORDS, bottom - 0.05, words, va="top", color=style.MUTED, linespacing=APART, **small)

    def update(self, picture: BearingPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Move everything to a bearing."""
        self._section(picture, pinned)
        self._strips(picture)
        self.life.update(picture.life, pinned)
        self.words = self._describe(picture)

    def _section(self, picture: BearingPicture, pinned: Sequence[Candidate]) -> None:
        known = picture.sizes is not None
        for artist in (*self.rings, *self.balls, self.shaft, self.axis, *self.measures, *self.sizes):
            artist.set_visible(known)
        everything = [p.sizes for p in (picture, *(c.picture for c in pinned)) if p.sizes is not None]
        if everything:
            across, high = np.max([self._room(sizes) for sizes in everything], axis=0)
            if across > 1.1 * self.frame[0] or high > 1.1 * self.frame[1]:
                self.frame = across, high = max(across, self.frame[0]), max(high, self.frame[1])
                style.frame_plane(self.section, (-WIDE * across, WIDE * across), (-high, high))
        for line, candidate in zip_longest(self.pinned, pinned):
            there = candidate is not None and candidate.picture.sizes is not None
            line.set_visible(there)
            if there:
                d, od, b = (v / self.unit / 2 for v in candidate.picture.sizes)
                nan = np.nan
                line.set_data(
                    [-b, b, b, -b, -b, nan, -b, b, nan, -b, b], [-od, -od, od, od, -od, nan, d, d, nan, -d, -d]
                )
                line.set(color=candidate.colour, dashes=candidate.dashes)
        if not known:
            return
        bore, od, width = (v / self.unit for v in picture.sizes)
        wall, ball, pitch = ring_sizes(bore, od)
        lows = (od / 2 - wall, bore / 2, -od / 2, -bore / 2 - wall)
        for ring, low in zip(self.rings, lows, strict=True):
            ring.set_bounds(-width / 2, low, width, wall)
        for patch, sign in zip(self.balls, (1, -1), strict=True):
            patch.set(center=(0, sign * pitch / 2), radius=ball / 2)
        reach = 1.02 * self.frame[0]
        self.shaft.set_bounds(-reach, -bore / 2, 2 * reach, bore)
        self.axis.set_data([-1.15 * reach, 1.15 * reach], [0, 0])
        left, right = -width / 2 - 0.42 * self.frame[0], width / 2 + 0.42 * self.frame[0]
        top = od / 2 + 0.07 * self.frame[1]
        ends = (
            ((right, -bore / 2), (right, bore / 2)),
            ((left, -od / 2), (left, od / 2)),
            ((-width / 2, top), (width / 2, top)),
        )
        places = ((right, 0.07 * od), (left, -0.07 * od), (0, top + 0.02 * self.frame[1]))
        for arrow, from_to, text, dimension, at in zip(self.measures, ends, self.sizes, KEYS, places, strict=True):
            arrow.set_positions(*from_to)
            text.set(text=f"{KEYS[dimension]}\n{show(picture.size(dimension), 'length', picture.system)}")
            text.set_position(at)
        self.sizes[2].set(text=f"width {show(picture.size('width'), 'length', picture.system)}", va="bottom")

    def _strips(self, picture: BearingPicture) -> None:
        found = picture.identity.found
        candidates = found.candidates[:ROWS] if found is not None else ()
        for i, dimension in enumerate(KEYS):
            read = picture.identity.readings.get(dimension)
            # a strip with nothing on it is not shown; its title says that it was not read
            self.strips[i].set_visible(read is not None)
            self.tools[i].set_visible(read is not None)
            tool = ""
            if read is not None:
                half = read.plus_minus / self.small
                self.tools[i].set_bounds(-half, -0.6, 2 * half, ROWS + 0.2)
                tool = f" {show(read.value, 'length', picture.system)}, {read.instrument}"
            self.titles[i].set_text(f"{KEYS[dimension]}{tool or ' not read'}")
            for row, (bar, name) in enumerate(zip(self.bars[i], self.names[i], strict=True)):
                misses = candidates[row].misses if row < len(candidates) else ()
                miss = next((m for m in misses if m.dimension == dimension), None)
                bar.set_visible(miss is not None)
                name.set_text("")
                if miss is None:
                    continue
                low, high = (-miss.off + end for end in (-miss.allowed_below, miss.allowed_above))
                low, high = low / self.small, high / self.small
                bar.set_data([low, high], [row, row])
                bar.set_color(style.GO if miss.within else style.STOP)
                side = " →" if low > self.reach else " ←" if high < -self.reach else ""
                name.set_text(candidates[row].size.designation + side)

    def _describe(self, picture: BearingPicture) -> str:
        identity, life = picture.identity, picture.life
        read = ", ".join(f"{KEYS[d]} {show(r.value, 'length', picture.system)}" for d, r in identity.readings.items())
        words = f"Bearing {identity.name}: " + (f"read {read}. " if read else "nothing read. ")
        if identity.found is not None:
            words += "Sizes it may be: " + ", ".join(
                f"{c.size.designation} {100 * c.score:.0f} %"
                for c in identity.found.candidates[:ROWS]
                if c.fits or c.score > 0.01
            )
            words += ". " if identity.found.matched else "; none fits every reading. "
        if life.life is None:
            return words + NO_LIFE
        words += (
            f"Load {show(life.load, 'force', picture.system)} times {life.shock:g} at "
            f"{show(life.speed, 'rotation', picture.system)}: rating life {hours_words(life.life)}, "
            f"bad end {hours_words(life.life_bad)}"
        )
        return words + (f", wanted {hours_words(life.wanted)}." if life.wanted is not None else ".")

    def alt(self) -> str:
        """Return in words what is drawn now."""
        return self.words


def picture_of(results: Results, bearing: str) -> BearingPicture | None:
    """Return the picture of one bearing, or None where nothing of it is known."""
    chapter = results.chapters.get("bearings")
    if chapter is None or chapter.data is None or bearing not in chapter.data.identity:
        return None
    return BearingPicture(chapter.data.identity[bearing], chapter.data.lives[bearing], results.build.system)


def draw(chapter: Findings, results: Results) -> Iterator[tuple[str, View, object, str]]:
    """Yield each bearing, then each shaft with its pulls and what the bearings carry, each with its name."""
    for number, name in enumerate(chapter.data.identity):
        picture = picture_of(results, name)
        if picture.identity.found is not None or picture.identity.size is not None:
            yield (
                f"Bearing {name}: section, readings and life",
                BearingView(f"bearing-{number}", picture),
                picture,
                name,
            )
    for number, found in enumerate(chapter.data.shafts.values()):
        picture = line_of(found, results.build.system)
        yield (
            f"{found.shaft}: pulls and what the bearings carry",
            ShaftLineView(f"shaft-line-{number}", picture),
            picture,
            found.shaft,
        )

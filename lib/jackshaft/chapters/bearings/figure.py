"""One bearing: its section to scale, the readings against what each size may read, and life against load."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Circle, Rectangle

from jackshaft.chapters.bearings.card_figure import ring_sizes
from jackshaft.chapters.bearings.data import BearingLife, Identity
from jackshaft.chapters.bearings.life_figure import LifePlot
from jackshaft.chapters.bearings.load_figure import ShaftLineView, line_of
from jackshaft.chapters.bearings.shown import KEYS, hours_words
from jackshaft.drawing import style
from jackshaft.drawing.view import Candidate, View
from jackshaft.results import Findings, Results
from jackshaft.units import INCH, show

MM = 1e-3
ROWS = 3
#: Half the width of the strips that show what each size may read, m: 8 thou, 0.2 mm.
REACH = {"inch": 8 * 25.4e-6, "metric": 0.2e-3}
WIDE = 1.75  # half the width of the section's drawing over the room that the ring takes
#: Strips: left, bottom of the first, width, height, step downward; fractions of the figure.
STRIP = (0.57, 0.795, 0.41, 0.1, 0.168)
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

    @property
    def unit(self) -> float:
        """Metres for one unit of the drawing."""
        return INCH if self.system == "inch" else MM

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

    size = (7.2, 7.4)

    def __init__(self, name: str, picture: BearingPicture):
        self.first, self.unit, self.words = picture, picture.unit, ""
        bore, od, width = picture.sizes or (0.03, 0.062, 0.016)
        self.frame = (1.25 * width / self.unit, 0.62 * od / self.unit)
        self.reach = REACH[picture.system] / (25.4e-6 if picture.system == "inch" else 1e-6)
        super().__init__(name)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        self._compose_section(figure)
        self._compose_strips(figure)
        self.life = LifePlot(figure, self.first.life, self.first.system)

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
        unit = "thou" if self.first.system == "inch" else "μm"
        self.strips, self.bars, self.names, self.tools, self.titles = [], [], [], [], []
        left, bottom, wide, high, step = STRIP
        for i in range(len(KEYS)):
            ax = style.add_plot(
                figure,
                (-self.reach, self.reach),
                (ROWS - 0.4, -0.6),
                x_label="",
                y_label="",
                box=(left, bottom - step * i, wide, high),
            )
            ax.set_yticks([])
            ax.set_xticks(np.linspace(-self.reach, self.reach, 5))
            self.strips.append(ax)
            self.tools.append(
                ax.add_patch(Rectangle((0, -0.6), 1, ROWS, facecolor=style.BELT, alpha=0.15, linewidth=0))
            )
            ax.axvline(0.0, color=style.BELT, linewidth=style.HEAVY)
            self.bars.append([ax.plot([], [], linewidth=6, solid_capstyle="butt")[0] for _ in range(ROWS)])
            self.names.append(
                [
                    figure.text(
                        left - 0.01,
                        bottom - step * i + high * (1 - (r + 0.6) / (ROWS + 0.2)),
                        "",
                        ha="right",
                        va="center",
                        fontsize=style.SMALL,
                        parse_math=False,
                    )
                    for r in range(ROWS)
                ]
            )
            self.titles.append(
                figure.text(WORDS, bottom - step * i + high + 0.009, "", fontsize=style.SMALL, color=style.INK)
            )
        figure.text(
            WORDS,
            bottom - 2 * step - 0.05,
            f"bars: what each size may read,\nless your reading ({unit})",
            va="top",
            fontsize=style.SMALL,
            color=style.MUTED,
            linespacing=APART,
        )

    def update(self, picture: BearingPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Move everything to a bearing."""
        self._section(picture, pinned)
        self._strips(picture)
        self.life.update(picture.life, pinned)
        self.words = self._say(picture)

    def _section(self, picture: BearingPicture, pinned: Sequence[Candidate]) -> None:
        known = picture.sizes is not None
        for artist in (*self.rings, *self.balls, self.shaft, self.axis, *self.measures, *self.sizes):
            artist.set_visible(known)
        everything = [p.sizes for p in (picture, *(c.picture for c in pinned)) if p.sizes is not None]
        if everything:
            across = 1.25 * max(s[2] for s in everything) / self.unit
            high = 0.62 * max(s[1] for s in everything) / self.unit
            if across > 1.1 * self.frame[0] or high > 1.1 * self.frame[1]:
                self.frame = max(across, self.frame[0]), max(high, self.frame[1])
                style.frame_plane(
                    self.section, (-WIDE * self.frame[0], WIDE * self.frame[0]), (-self.frame[1], self.frame[1])
                )
        for line, candidate in zip(self.pinned, [*pinned, *[None] * len(self.pinned)], strict=False):
            there = candidate is not None and candidate.picture.sizes is not None
            line.set_visible(there)
            if there:
                d, od, b = (v / self.unit for v in candidate.picture.sizes)
                nan = np.nan
                line.set_data(
                    [-b / 2, b / 2, b / 2, -b / 2, -b / 2, nan, -b / 2, b / 2, nan, -b / 2, b / 2],
                    [-od / 2, -od / 2, od / 2, od / 2, -od / 2, nan, d / 2, d / 2, nan, -d / 2, -d / 2],
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
        for arrow, ends in zip(
            self.measures,
            (
                ((right, -bore / 2), (right, bore / 2)),
                ((left, -od / 2), (left, od / 2)),
                ((-width / 2, top), (width / 2, top)),
            ),
            strict=True,
        ):
            arrow.set_positions(*ends)
        places = ((right, 0.07 * od), (left, -0.07 * od), (0, top + 0.02 * self.frame[1]))
        for text, dimension, at in zip(self.sizes, KEYS, places, strict=True):
            text.set(text=f"{KEYS[dimension]}\n{show(picture.size(dimension), 'length', picture.system)}")
            text.set_position(at)
        self.sizes[2].set(text=f"width {show(picture.size('width'), 'length', picture.system)}", va="bottom")

    def _strips(self, picture: BearingPicture) -> None:
        found = picture.identity.found
        small = 25.4e-6 if picture.system == "inch" else 1e-6
        candidates = found.candidates[:ROWS] if found is not None else ()
        for i, dimension in enumerate(KEYS):
            read = picture.identity.readings.get(dimension)
            self.tools[i].set_visible(read is not None)
            tool = ""
            if read is not None:
                half = read.plus_minus / small
                self.tools[i].set_bounds(-half, -0.6, 2 * half, ROWS + 0.2)
                tool = f" {show(read.value, 'length', picture.system)}, {read.instrument}"
            self.titles[i].set_text(f"{KEYS[dimension]}{tool or ' not read'}")
            for row in range(ROWS):
                bar, name = self.bars[i][row], self.names[i][row]
                miss = None
                if row < len(candidates):
                    miss = next((m for m in candidates[row].misses if m.dimension == dimension), None)
                bar.set_visible(miss is not None)
                name.set_text("")
                if miss is None:
                    continue
                low, high = (-miss.off - miss.allowed_below) / small, (-miss.off + miss.allowed_above) / small
                off = low > self.reach or high < -self.reach
                bar.set_data([low, high], [row, row])
                bar.set_color(style.GO if miss.within else style.STOP)
                side = "" if not off else " →" if low > 0 else " ←"
                name.set_text(candidates[row].size.designation + side)

    def _say(self, picture: BearingPicture) -> str:
        identity, life = picture.identity, picture.life
        read = ", ".join(f"{KEYS[d]} {show(r.value, 'length', picture.system)}" for d, r in identity.readings.items())
        said = f"Bearing {identity.name}: " + (f"read {read}. " if read else "nothing read. ")
        if identity.found is not None:
            said += "Sizes it may be: " + ", ".join(
                f"{c.size.designation} {100 * c.score:.0f} %"
                for c in identity.found.candidates[:ROWS]
                if c.fits or c.score > 0.01
            )
            said += ". " if identity.found.matched else "; none takes every reading. "
        if life.life is not None:
            said += (
                f"Load {show(life.load, 'force', picture.system)} times {life.shock:g} at "
                f"{show(life.speed, 'rotation', picture.system)}: rating life {hours_words(life.life)}, "
                f"bad end {hours_words(life.life_bad)}"
            )
            said += f", wanted {hours_words(life.wanted)}." if life.wanted is not None else "."
        else:
            said += "No life yet: its size, load or speed is not known."
        return said

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

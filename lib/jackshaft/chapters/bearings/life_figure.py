"""Life against load at three speeds, with the life of the bearing, its bad end, and the life wanted."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest

import numpy as np
from matplotlib.figure import Figure

from jackshaft.chapters.bearings.data import BearingLife
from jackshaft.chapters.bearings.shown import hours_words
from jackshaft.drawing import style
from jackshaft.drawing.view import Candidate
from jackshaft.units import HOUR, POUND_FORCE, show

SPAN = 12.0  # the plot reaches this many times below and above the load it was first drawn for
NO_LIFE = "No life yet: its size, load or speed is not known."


class LifePlot:
    """The plot of a bearing's life in a figure; its frame stays put unless the load leaves it."""

    def __init__(self, figure: Figure, life: BearingLife, system: str, *, narrow: bool = False):
        self.system, self.narrow = system, narrow
        self.force, unit = (POUND_FORCE, "lbf") if system == "inch" else (1.0, "N")
        load = (life.load or 1000.0) / self.force
        self.load_span = (load / SPAN, load * SPAN)
        self.axes = ax = style.add_plot(
            figure,
            self.load_span,
            (1e1, 1e7),
            x_label=f"load across it, shock counted ({unit})",
            y_label="",
            box=(0.15, 0.095, 0.82, 0.225) if narrow else (0.105, 0.085, 0.875, 0.235),
        )
        self.title = figure.text(0.02, 0.34, "rating life (h)", fontsize=style.BODY, color=style.INK)
        ax.set_xscale("log")
        ax.set_yscale("log")
        self._ticks()
        looks = ((style.MUTED, style.LINE, (2, 2)), (style.INK, style.HEAVY, (1, 0)), (style.MUTED, style.LINE, (6, 2)))
        self.lines = [ax.plot([], [], color=c, linewidth=w, dashes=d)[0] for c, w, d in looks]
        self.legend = ax.legend(
            self.lines,
            ["half the speed", "its speed", "twice the speed"],
            loc="upper left",
            bbox_to_anchor=(0.66 if narrow else 0.71, 1.03),
            frameon=False,
            fontsize=style.SMALL,
            labelspacing=0.15 if narrow else 1.0,
        )
        self.wanted = ax.plot([], [], color=style.GO, linewidth=style.HEAVY, dashes=(5, 2))[0]
        self.wanted_words = style.label(ax, (1, 1), size=style.SMALL, colour=style.GO, across="left", up="bottom")
        self.drop = ax.plot([], [], color=style.ACCENT, linewidth=style.HEAVY)[0]
        self.end = ax.plot([], [], "v", color=style.ACCENT, markersize=7)[0]
        self.point = ax.plot([], [], "o", color=style.ACCENT, markersize=9, markeredgecolor=style.INK)[0]
        letters = style.SMALL if narrow else style.BODY
        self.point_words = style.label(ax, (1, 1), size=letters, bold=True, across="left", up="bottom")
        self.lives = [ax.plot([], [], "s", markersize=8, linestyle="none")[0] for _ in style.CANDIDATES]
        self.none = figure.text(0.55, 0.19, "", ha="center", va="center", fontsize=style.BODY, color=style.MUTED)

    def _ticks(self) -> None:
        low, high = self.load_span
        # a mark at the very end would push its figure over the edge of the picture
        end = high * (low / high) ** 0.03
        marks = [m * 10.0**p for p in range(-2, 7) for m in (1, 2, 5) if low <= m * 10.0**p <= end]
        self.axes.set_xticks(marks, [f"{m:g}" for m in marks])
        powers = [10.0**p for p in range(1, 8)]
        self.axes.set_yticks(
            powers, [f"{p:.0f}" if p < 1e4 else f"{p / 1e3:.0f} k" if p < 1e6 else f"{p / 1e6:.0f} M" for p in powers]
        )
        self.axes.minorticks_off()

    def update(self, life: BearingLife, pinned: Sequence[Candidate]) -> None:
        """Move everything to a life; that of each pinned design stands beside it."""
        known = life.life is not None and np.isfinite(life.life)
        others = any(c.picture.life.life is not None for c in pinned)
        # a plot with nothing on it is not shown; a sentence says why
        self.axes.set_visible(known or others)
        self.title.set_visible(known or others)
        for artist in (*self.lines, self.legend, self.drop, self.end, self.point, self.point_words):
            artist.set_visible(known)
        for marker, candidate in zip_longest(self.lives, pinned):
            other = None if candidate is None else candidate.picture.life
            there = other is not None and other.life is not None
            marker.set_visible(there)
            if there:
                marker.set_data([other.load * other.shock / self.force], [other.hours])
                marker.set_color(candidate.colour)
        self.wanted.set_visible(life.wanted is not None)
        self.wanted_words.set_visible(life.wanted is not None)
        low, high = self.load_span
        if life.wanted is not None:
            wanted = life.wanted / HOUR
            self.wanted.set_data([low, high], [wanted] * 2)
            self.wanted_words.set(text=f"wanted {hours_words(life.wanted)}")
            # on the far side of the line from the life, whose words reach over there
            above = known and life.life < life.wanted
            self.wanted_words.set_va("bottom" if above else "top")
            self.wanted_words.set_position((low * 1.06, wanted * (1.35 if above else 0.74)))
        self.none.set_text("" if known else NO_LIFE)
        if not known:
            return
        at = life.load * life.shock / self.force
        if not low <= at <= high:
            self.load_span = low, high = min(low, at / 2), max(high, at * 2)
            self.axes.set_xlim(low, high)
            self._ticks()
        loads = np.array([low, high])
        for line, text, times in zip(self.lines, self.legend.get_texts(), (0.5, 1.0, 2.0), strict=True):
            line.set_data(loads, life.hours * (at / loads) ** 3 / times)
            text.set_text(show(life.speed * times, "rotation", self.system))
        self.point.set_data([at], [life.hours])
        self.drop.set_data([at, at], [life.hours, life.hours_bad])
        self.end.set_data([at], [life.hours_bad])
        # on a phone the mark below alone shows the bad end
        bad = "" if self.narrow else f", bad end {hours_words(life.life_bad)}"
        self.point_words.set(text=hours_words(life.life) + bad)
        room_left = np.log(at / low) > 0.4 * np.log(high / low)
        self.point_words.set_ha("right" if room_left else "left")
        self.point_words.set_va("top" if room_left else "bottom")
        self.point_words.set_position((at / 1.12 if room_left else at * 1.12, min(life.hours, 2e6)))

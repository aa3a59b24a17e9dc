"""Torque of the clutch (or its current) over coil temperature and supply voltage, with what it must hold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Polygon

from jackshaft.chapters.clutch.data import ClutchData
from jackshaft.chapters.clutch.time_figure import (
    NOT_YET,
    STACKED,
    TimeView,
    current_picture,
    data_of,
    engagement_picture,
)
from jackshaft.drawing import style
from jackshaft.drawing.view import Candidate, View
from jackshaft.results import Findings, Results
from jackshaft.units import FOOT, POUND_FORCE, T20, ZERO_C, show

LBF_FT = FOOT * POUND_FORCE
#: The curves of each side: over coil temperature and over supply voltage, each with its colour, dashes and words.
LOOKS = {
    "warm": {
        "running": (style.BELT, (None, None), "engine running"),
        "battery only": (style.ACCENT, (5, 2), "battery only"),
    },
    "volt": {"cold": (style.BELT, (None, None), "coil cold"), "hot": (style.STOP, (5, 2), "coil hot")},
}
SIDES = (0.085, 0.13, 0.405, 0.735), (0.58, 0.13, 0.405, 0.735)


@dataclass(frozen=True)
class ClutchPicture:
    """The curves as they are drawn."""

    data: ClutchData
    system: str

    @property
    def has_torque(self) -> bool:
        """Whether a torque is known; else the coil's current is drawn."""
        return self.data.used is not None

    def degrees(self, kelvin):
        """Return a temperature in the shown unit."""
        return kelvin * 1.8 - 459.67 if self.system == "inch" else kelvin - ZERO_C

    def level(self, value):
        """Return a torque, or a current where no torque is known, in the shown unit."""
        return value / LBF_FT if self.has_torque and self.system == "inch" else value

    @property
    def hold(self) -> float:
        """Torque that the clutch must hold (N·m), 0 where none is known or only the current is drawn."""
        return self.data.required.hold if self.data.required and self.has_torque else 0.0

    def amps(self, over: str) -> dict[str, np.ndarray]:
        """Return the currents (A) over ``warm`` or ``volt`` by the name of their curve."""
        return self.data.curves.warm_amps if over == "warm" else self.data.curves.volt_amps

    def now(self, over: str) -> np.ndarray:
        """Return where the build itself lies across: coil cold and hot, or the supplies that were read."""
        line = self.data.electric.line
        return (
            self.degrees(np.array([T20, T20 + line.rise])) if over == "warm" else np.unique([s[1] for s in line.states])
        )

    def curve(self, name: str, over: str) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """Return across, bad end, likely and good end of a curve over ``warm`` or ``volt``, in shown units."""
        curves = self.data.curves
        across = self.degrees(curves.temperatures) if over == "warm" else curves.volts
        if not self.has_torque:
            amps = np.asarray(self.amps(over)[name])
            return across, amps, amps, amps
        bands = curves.warm if over == "warm" else curves.volt
        return (across, *(self.level(np.asarray(v)) for v in bands[name]))


class ClutchView(View):
    """Draws both curves on one vertical scale, which moves in steps only."""

    size, phone = (7.2, 4.2), (3.8, 4.7)
    words = ""

    def __init__(self, name: str, picture: ClutchPicture):
        self.first = picture
        super().__init__(name)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        first, unit = self.first, "°F" if self.first.system == "inch" else "°C"
        ends = first.degrees(first.data.curves.temperatures[[0, -1]])
        volts = first.data.curves.volts[[0, -1]]
        left, right = self.by_width(SIDES, STACKED)
        self.sides = {
            "warm": style.add_plot(
                figure, tuple(ends), (0, 1), x_label=f"coil temperature ({unit})", y_label="", box=left
            ),
            "volt": style.add_plot(
                figure, tuple(volts), (0, 1), x_label="voltage at the battery (V)", y_label="", box=right
            ),
        }
        self.bands, self.lines, self.marks, self.limits = {}, {}, {}, {}
        for side, ax in self.sides.items():
            for name, (colour, dashes, words) in LOOKS[side].items():
                if name not in first.amps(side):
                    continue
                self.bands[name] = ax.add_patch(Polygon([(0, 0)] * 3, facecolor=colour, alpha=0.13, edgecolor="none"))
                self.lines[name] = ax.plot([], [], color=colour, dashes=dashes, linewidth=style.HEAVY, label=words)[0]
                self.marks[name] = ax.plot([], [], "o", color=colour, markersize=6)[0]
            self.limits[side] = ax.plot([], [], color=style.INK, linewidth=style.LINE, dashes=(2, 2))[0]
            ax.legend(
                loc="upper right" if side == "warm" else "upper left",
                fontsize=self.by_width(style.BODY, style.SMALL),
                frameon=True,
            )
        self.limit_words = style.label(self.sides["warm"], (0, 0), across="left", up="top")
        self.missing = figure.text(0.5, 0.6, NOT_YET, fontsize=style.HEADING, color=style.MUTED, ha="center")
        self.pinned = [self.sides["warm"].plot([], [], linewidth=style.LINE)[0] for _ in style.CANDIDATES]

    def update(self, picture: ClutchPicture | None, pinned: Sequence[Candidate] = ()) -> None:
        """Move everything to a clutch; without one, say that it cannot be drawn."""
        self.missing.set_visible(picture is None)
        if picture is None:
            for artist in (
                *self.bands.values(),
                *self.lines.values(),
                *self.marks.values(),
                *self.limits.values(),
                *self.pinned,
                self.limit_words,
            ):
                artist.set_visible(False)
            self.words = f"Torque of the clutch: {NOT_YET}."
            return
        others = [c for c in pinned if c.picture is not None and c.picture.has_torque == picture.has_torque]
        self._frame([picture, *(c.picture for c in others)])
        for name in self.lines:
            over = "warm" if name in LOOKS["warm"] else "volt"
            shown = name in picture.amps(over)
            for artist in (self.bands[name], self.lines[name], self.marks[name]):
                artist.set_visible(shown)
            if shown:
                across, bad, likely, good = picture.curve(name, over)
                self.lines[name].set_data(across, likely)
                self.bands[name].set_xy(
                    np.concatenate([np.column_stack([across, bad]), np.column_stack([across, good])[::-1]])
                )
                at = picture.now(over)
                self.marks[name].set_data(at, np.interp(at, across, likely))
        self._limit(picture)
        for line, candidate in zip(self.pinned, [*others, *[None] * len(self.pinned)], strict=False):
            line.set_visible(candidate is not None)
            if candidate is not None:
                name = next(iter(candidate.picture.amps("warm")))
                across, _, likely, _ = candidate.picture.curve(name, "warm")
                line.set_data(across, likely)
                line.set(color=candidate.colour, dashes=candidate.dashes)
        self.words = self._say(picture, others)

    def _frame(self, pictures: Sequence[ClutchPicture]) -> None:
        drawn = [float(np.max(p.curve(n, over)[2])) for p in pictures for over in LOOKS for n in p.amps(over)]
        most = max(*drawn, *(p.level(p.hold) for p in pictures))
        power = 10.0 ** np.floor(np.log10(most))
        top = power * next(m for m in (1.5, 2, 3, 4, 5, 6, 8, 10, 15) if m * power >= 1.08 * most)
        what = pictures[0]
        unit = ("lbf·ft" if what.system == "inch" else "N·m") if what.has_torque else "A"
        for ax in self.sides.values():
            ax.set_ylim(0.0, top)
        self.sides["warm"].set_ylabel(f"holding torque ({unit})" if what.has_torque else f"coil current ({unit})")

    def _limit(self, picture: ClutchPicture) -> None:
        """Move the line of what the clutch must hold, and its words."""
        shown, level = picture.hold > 0.0, picture.level(picture.hold)
        self.limit_words.set_visible(shown)
        for side, line in self.limits.items():
            line.set_visible(shown)
            if shown:
                line.set_data(self.sides[side].get_xlim(), [level, level])
        if shown:
            left, right = self.sides["warm"].get_xlim()
            low, high = self.sides["warm"].get_ylim()
            self.limit_words.set_text(f"must hold {show(picture.hold, 'torque', picture.system)}")
            self.limit_words.set_position((left + 0.03 * (right - left), level - 0.015 * (high - low)))

    def _say(self, picture: ClutchPicture, pinned: Sequence[Candidate]) -> str:
        data = picture.data
        each = []
        for state in (s[0] for s in data.electric.line.states):
            value = show(data.electric.amps(state), "current", picture.system)
            if state in data.static:
                value = f"{show(data.static[state].likely, 'torque', picture.system)} at {value}"
            each.append(f"{state}: {value}")
        least = f" It must hold {show(picture.hold, 'torque', picture.system)}." if picture.hold else ""
        over = f" Candidates overlaid: {', '.join(c.letter for c in pinned)}." if pinned else ""
        what = "Holding torque" if picture.has_torque else "Coil current"
        return f"{what} over coil temperature and over supply voltage. {'; '.join(each)}.{least}{over}"

    def alt(self) -> str:
        """Return in words what is drawn now."""
        return self.words


def picture_of(results: Results) -> ClutchPicture | None:
    """Return the picture of a build's clutch, or None where neither torque nor current is known."""
    data = data_of(results)
    return ClutchPicture(data, results.build.system) if data is not None and data.curves is not None else None


def draw(chapter: Findings, results: Results) -> Iterator[tuple[str, View, object]]:
    """Yield the engagement and the curves of the clutch; the first that there is, is the one of the panel."""
    data, engaging = data_of(results), engagement_picture(results)
    if engaging is not None:
        title = "Engaging the clutch, coil hot" if data is None or data.way is None else "Engaging the work"
        yield title, TimeView("clutch-engage", engaging), engaging
    picture = picture_of(results)
    if picture is not None:
        title = "Torque of the clutch, cold to hot" if picture.has_torque else "Current of the clutch coil, cold to hot"
        yield title, ClutchView("clutch", picture), picture
    current = current_picture(results)
    if current is not None:
        yield "Coil current at switch-on and switch-off", TimeView("clutch-current", current), current


__all__ = ["ClutchPicture", "ClutchView", "draw", "picture_of"]

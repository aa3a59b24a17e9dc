"""The clutch in time: both speeds and the heat of an engagement; the coil's current as it rises and as it falls."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure

from jackshaft.chapters.clutch.data import ClutchData
from jackshaft.drawing import style
from jackshaft.drawing.view import Candidate, View
from jackshaft.results import Results
from jackshaft.units import FOOT, POUND_FORCE, RPM, show

FT_LBF = FOOT * POUND_FORCE
SIDES = (0.095, 0.13, 0.395, 0.735), (0.585, 0.13, 0.395, 0.735)
#: On a phone one stands over the other.
STACKED = (0.19, 0.59, 0.765, 0.29), (0.19, 0.11, 0.765, 0.29)
LOOKS = ((style.BELT, (None, None)), (style.STOP, (5, 2)), (style.ACCENT, (2, 2)), (style.CAUTION, (8, 2, 2, 2)))
STEPS = (1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
NOT_YET = "it cannot be drawn: something that it needs is not known yet"


def _thousands(value: float, _: int) -> str:
    """Return a figure of a scale, large ones in thousands, so that they leave the name of the scale its place."""
    return f"{value / 1e3:g} k" if abs(value) >= 1e4 else f"{value:g}"


@dataclass(frozen=True)
class Side:
    """One plot: what stands on its scales, and its lines by name as (x, y)."""

    across: str
    up: str
    lines: dict[str, tuple[np.ndarray, np.ndarray]]
    #: where the key stands
    key: str = "lower right"


@dataclass(frozen=True)
class TimePicture:
    """Two plots beside each other, and the same in words."""

    left: Side
    right: Side
    words: str

    @property
    def sides(self) -> tuple[Side, Side]:
        """Both plots, in the order in which they are drawn."""
        return self.left, self.right


def ceiling(value: float) -> float:
    """Return the next round number above a value: the scales move in these steps only."""
    if not np.isfinite(value) or value <= 0.0:
        return 1.0
    power = 10.0 ** np.floor(np.log10(value))
    return float(power * next((s for s in STEPS if s * power >= 1.04 * value), 12.0))


class TimeView(View):
    """Draws two plots over time; their scales start at nothing and end at a round number."""

    size, phone = (7.2, 4.2), (3.8, 4.7)
    words = ""

    def __init__(self, name: str, picture: TimePicture):
        self.first = picture
        super().__init__(name)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        self.plots = []
        for side, box in zip(self.first.sides, self.by_width(SIDES, STACKED), strict=True):
            ax = style.add_plot(figure, (0, 1), (0, 1), x_label=side.across, y_label=side.up, box=box)
            # few enough figures to stand apart on a phone
            ax.locator_params(nbins=4)
            ax.yaxis.set_major_formatter(_thousands)
            lines = {
                name: ax.plot([], [], color=colour, dashes=dashes, linewidth=style.HEAVY, label=name)[0]
                for name, (colour, dashes) in zip(side.lines, LOOKS, strict=False)
            }
            pinned = [ax.plot([], [], linewidth=style.LINE)[0] for _ in style.CANDIDATES]
            if len(lines) > 1:
                ax.legend(loc=side.key, fontsize=self.by_width(style.BODY, style.SMALL), frameon=True)
            self.plots.append((ax, lines, pinned))
        self.missing = figure.text(0.5, 0.6, NOT_YET, fontsize=style.HEADING, color=style.MUTED, ha="center")

    def update(self, picture: TimePicture | None, pinned: Sequence[Candidate] = ()) -> None:
        """Move the lines; without a picture say that it cannot be drawn."""
        self.missing.set_visible(picture is None)
        others = [c for c in pinned if c.picture is not None]
        for number, (ax, lines, ghosts) in enumerate(self.plots):
            for line in (*lines.values(), *ghosts):
                line.set_visible(False)
            if picture is None:
                continue
            side = picture.sides[number]
            everything = [side, *(c.picture.sides[number] for c in others)]
            points = [xy for s in everything for xy in s.lines.values()]
            ax.set_xlim(0.0, ceiling(max(float(x[-1]) for x, _ in points)))
            ax.set_ylim(0.0, ceiling(max(float(np.max(y)) for _, y in points)))
            for name, line in lines.items():
                if name in side.lines:
                    line.set_data(*side.lines[name])
                    line.set_visible(True)
            for ghost, candidate in zip(ghosts, others, strict=False):
                there = candidate.picture.sides[number].lines
                ghost.set_data(*list(there.values())[-1 if number == 0 else 0])
                ghost.set(color=candidate.colour, dashes=candidate.dashes, visible=True)
        over = f" Candidates overlaid: {', '.join(c.letter for c in others)}." if others else ""
        self.words = f"{NOT_YET}." if picture is None else picture.words + over

    def alt(self) -> str:
        """Return in words what is drawn now."""
        return self.words


def data_of(results: Results) -> ClutchData | None:
    """Return what the clutch chapter found, or None."""
    chapter = results.chapters.get("clutch")
    return chapter.data if chapter else None


def engagement_picture(results: Results) -> TimePicture | None:
    """Return the picture of an engagement, or None where it cannot be worked out."""
    data, system = data_of(results), results.build.system
    if data is None:
        return None
    found, way = data.engagement, data.way
    steps, speed, given = (None, None, None) if found is None else (found.steps, found.speed, found.heat)
    if way is not None:
        steps, speed, given = way.course, way.speed, way.heat
    if steps is None:
        return None
    inch = system == "inch"
    heat = steps.heat / (FT_LBF if inch else 1.0)
    words = "it does not lock; the engine stalls." if steps.stalls else "it does not lock."
    if steps.locks:
        words = f"it locks after {show(steps.lock_time, 'time', system)} at "
        words += f"{show(float(steps.load[-1]), 'rotation', system)} with {show(given, 'energy', system)} of heat."
    return TimePicture(
        Side(
            "time (s)",
            "speed (rpm)",
            {"engine": (steps.times, steps.engine / RPM), "driven side": (steps.times, steps.load / RPM)},
        ),
        Side("time (s)", "slip heat (ft·lbf)" if inch else "slip heat (J)", {"heat": (steps.times, heat)}),
        f"Engagement at {show(speed, 'rotation', system)}: {words}",
    )


def current_picture(results: Results) -> TimePicture | None:
    """Return the picture of the coil's current rising and falling, or None where it cannot be worked out."""
    data, system = data_of(results), results.build.system
    if data is None or data.dynamics is None:
        return None
    found = data.dynamics
    rise, fall = 1e3 * found.rise_times, 1e3 * found.decay_times
    hot, amps = found.rise["hot"], "coil current (A)"
    closes = "It does not pull in with the coil hot."
    if hot.closes:
        closes = f"The gap closes after {show(hot.closes_at, 'time', system)}, coil hot."
    lets_go = "; ".join(
        f"{r.suppression} {show(r.seconds, 'time', system)}" for r in found.releases if np.isfinite(r.seconds)
    )
    return TimePicture(
        Side("time since switch-on (ms)", amps, {f"coil {h}": (rise, p.current) for h, p in found.rise.items()}),
        Side("time since switch-off (ms)", amps, {n: (fall, y) for n, y in found.decay.items()}, key="upper right"),
        f"Coil current at switch-on and switch-off. {closes} It lets go after: {lets_go}.",
    )


__all__ = ["STACKED", "Side", "TimePicture", "TimeView", "ceiling", "current_picture", "engagement_picture"]

"""The attachment's speed over one turn, with the yokes in line, a quarter off and as they stand best."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from matplotlib.figure import Figure

from jackshaft.chapters.driveline.data import DrivelineData
from jackshaft.chapters.driveline.running import best_phase
from jackshaft.drawing import style
from jackshaft.mechanics import driveline as mech

#: Places of a turn that are drawn.
TURN = np.linspace(0.0, 2.0 * np.pi, 181)
#: Ways in which the yokes may stand: name, colour, width and dashes of its line.
WAYS = (
    ("in line", style.BELT, style.HEAVY, (1, 0)),
    ("a quarter off", style.CAUTION, style.LINE, (5, 2)),
    ("best", style.ACCENT, style.HEAVY, (2, 1)),
)


class Ripple(NamedTuple):
    """Speed of the attachment's shaft over the driving one's where the joints bend most, over a turn by :data:`WAYS`.

    ``now`` is the same as the build has the yokes, None where it does not say; ``best`` is their best turn, rad.
    """

    place: str
    ways: tuple[np.ndarray, ...]
    now: np.ndarray | None
    best: float


def ripple_of(data: DrivelineData) -> Ripple | None:
    """Return the ripple of a shaft; None where its planes or its angles are not known, or a joint cannot turn."""
    bends, best = data.places.bends(), best_phase(data)
    if bends is None or best is None:
        return None
    most = np.maximum(bends.first, bends.second)
    at = int(most.argmax())
    if most[at] >= 0.5 * np.pi:
        return None

    def over(phase: float) -> np.ndarray:
        return mech.turned_si(bends.first[at], bends.second[at], bends.planes[at], phase, TURN)

    ways = tuple(over(phase) for phase in (0.0, 0.5 * np.pi, best))
    return Ripple(bends.names[at], ways, None if data.phase is None else over(data.phase), best)


class RipplePlot:
    """Draws the ripple into a figure."""

    def __init__(self, figure: Figure, box: tuple[float, float, float, float]):
        """Make every artist once."""
        self.axes = ax = style.add_plot(
            figure, (0, 360), (0.9, 1.1), x_label="turn of the driving shaft (°)", y_label="speed out/in", box=box
        )
        ax.set_xticks([0, 90, 180, 270, 360])
        self.lines = [
            ax.plot([], [], color=colour, linewidth=width, dashes=dashes)[0] for _, colour, width, dashes in WAYS
        ]
        self.now = ax.plot([], [], color=style.INK, linewidth=style.LINE)[0]
        ax.legend(
            self.lines,
            [name for name, *_ in WAYS],
            loc="upper center",
            ncols=3,
            frameon=False,
            fontsize=style.SMALL,
            borderpad=0.1,
            handlelength=1.4,
            columnspacing=0.8,
        )
        self.place = style.label(ax, (8, 0.9), size=style.SMALL, across="left", up="bottom", boxed=False)

    def update(self, found: Ripple | None) -> None:
        """Move everything to a ripple; nothing is shown where there is none."""
        self.axes.set_visible(found is not None)
        if found is None:
            return
        for line, speed in zip(self.lines, found.ways, strict=True):
            line.set_data(np.degrees(TURN), speed)
        self.now.set_visible(found.now is not None)
        if found.now is not None:
            self.now.set_data(np.degrees(TURN), found.now)
        off = max(0.01, max(float(np.abs(speed - 1.0).max()) for speed in found.ways))
        self.axes.set_ylim(1.0 - 1.5 * off, 1.0 + 2.1 * off)
        words = f"at {found.place}" + (", thin: as it is" if found.now is not None else "")
        self.place.set(text=words, position=(8, 1.0 - 1.45 * off))


def in_words(found: Ripple | None) -> str:
    """Return the ripple in a sentence; nothing where there is none."""
    if found is None:
        return ""
    stand = ("with the yokes in line", "with them a quarter off", "where they stand best")
    ways = [f"from {v.min():.3f} to {v.max():.3f} {how}" for v, how in zip(found.ways, stand, strict=True)]
    return f" Over one turn at {found.place} its speed out over in goes {', '.join(ways)}."


__all__ = ["Ripple", "RipplePlot", "in_words", "ripple_of"]

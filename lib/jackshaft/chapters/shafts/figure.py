"""A shaft to length: bending moment, torque and how far it moves, one under the other, with its weakest place."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from jackshaft.chapters.bearings.shown import along, fine
from jackshaft.chapters.shafts.data import SectionState, ShaftState
from jackshaft.drawing import style
from jackshaft.drawing.view import Candidate, View
from jackshaft.parts.shaft_cases import at_case
from jackshaft.results import Findings, Results
from jackshaft.units import FOOT, POUND_FORCE, show

MOST_PARTS = 12
#: How far the scale of the bending reaches below zero, over its top: the legend stands under the curves.
LEGEND = -1.7


@dataclass(frozen=True)
class ShaftPicture:
    """One shaft as it is drawn; ``state`` is None where it cannot be worked out yet, ``why`` says why."""

    name: str
    state: ShaftState | None
    system: str
    why: str = ""

    @property
    def unit(self) -> float:
        """Metres for one unit along the shaft."""
        return along(self.system)[0]

    @property
    def lines(self) -> tuple[np.ndarray, ...]:
        """Place, bending to the right, upward and together, torque, and movement, in the units shown."""
        beam = self.state.work
        torque = FOOT * POUND_FORCE if self.system == "inch" else 1.0
        small, _ = fine(self.system)
        return (
            beam.at / self.unit,
            beam.moment[:, 0] / torque,
            beam.moment[:, 1] / torque,
            np.hypot(*beam.moment.T) / torque,
            beam.torque / torque,
            np.hypot(*beam.deflection.T) / small,
        )


class ShaftView(View):
    """Draws one shaft; the scales grow when a line leaves them and stay otherwise."""

    size, phone = (7.2, 6.0), (3.8, 5.0)

    def __init__(self, name: str, picture: ShaftPicture):
        self.first, self.words = picture, ""
        self.reach, self.tops = (0.0, 1.0), [1.0, 1.0, 1.0]
        if picture.state is not None:
            x, _, _, both, torque, moves = picture.lines
            self.reach = float(x.min()), float(x.max())
            self.tops = [_top(v) for v in (both, torque, moves)]
        super().__init__(name)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        system = self.first.system
        torque = "lbf·ft" if system == "inch" else "N·m"
        units = (f"bending ({torque})", f"torque ({torque})", f"moves ({fine(system)[1]})")
        left, wide = self.by_width((0.105, 0.875), (0.185, 0.785))
        self.outline = style.add_plot(
            figure, self.reach, (-1, 1), x_label="", y_label="", box=(left, 0.768, wide, 0.12)
        )
        self.outline.set_axis_off()
        self.bars = [
            self.outline.add_patch(
                Rectangle((0, 0), 0, 0, facecolor=style.FILL, edgecolor=style.INK, linewidth=style.LINE)
            )
            for _ in range(MOST_PARTS)
        ]
        self.seats = self.outline.plot([], [], "^", color=style.ACCENT, markersize=11, zorder=4)[0]
        self.parts = self.outline.plot([], [], "v", color=style.BELT, markersize=9, zorder=4)[0]
        self.axes = [
            style.add_plot(
                figure,
                self.reach,
                _ends(i, t),
                x_label="",
                y_label=units[i],
                box=(
                    left,
                    self.by_width(0.545, 0.53) - self.by_width(0.232, 0.22) * i,
                    wide,
                    self.by_width(0.19, 0.16),
                ),
            )
            for i, t in enumerate(self.tops)
        ]
        for ax in self.axes[:2]:
            ax.set_xticklabels([])
        self.axes[2].set_xlabel(f"along the shaft from its zero mark ({along(system)[1]})")
        self._compose_curves(figure)

    def _compose_curves(self, figure: Figure) -> None:
        first = self.axes[0]
        self.planes = [
            first.plot([], [], color=style.MUTED, linewidth=style.LINE, dashes=d, label=n)[0]
            for n, d in (("to the right", (2, 2)), ("upward", (6, 2)))
        ]
        self.curves = [ax.plot([], [], color=style.BELT, linewidth=style.HEAVY)[0] for ax in self.axes]
        self.curves[0].set_label("both together")
        close = self.by_width({}, {"columnspacing": 0.7, "handlelength": 1.3, "handletextpad": 0.3})
        first.legend(loc="lower left", fontsize=style.SMALL, frameon=True, ncols=3, **close)
        self.weakest = [ax.axvline(0, color=style.STOP, linewidth=style.LINE, dashes=(3, 2)) for ax in self.axes]
        # over the shaft alone: the names of parts and bearings stand above and below it
        self.weakest.append(
            self.outline.axvline(0, 0.25, 0.75, color=style.STOP, linewidth=style.LINE, dashes=(3, 2), zorder=3)
        )
        self.weak_words = figure.text(
            0.98,
            self.by_width(0.760, 0.758),
            "",
            fontsize=style.SMALL,
            color=style.STOP,
            ha="right",
            va="top",
            fontweight="bold",
            parse_math=False,
        )
        self.part_names = [
            style.label(self.outline, (0, 1.0), size=style.SMALL, colour=style.BELT, up="bottom", boxed=False)
            for _ in range(MOST_PARTS)
        ]
        self.seat_names = [
            style.label(self.outline, (0, -0.72), size=style.SMALL, colour=style.ACCENT, across="left", boxed=False)
            for _ in range(MOST_PARTS)
        ]
        self.pinned = [[ax.plot([], [], linewidth=style.HEAVY)[0] for ax in self.axes] for _ in style.CANDIDATES]
        self.none = figure.text(
            0.5, 0.5, "", ha="center", va="center", fontsize=style.BODY, color=style.MUTED, wrap=True
        )

    def update(self, picture: ShaftPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Move everything to a shaft."""
        known = picture.state is not None
        moving = (
            *self.bars,
            self.seats,
            self.parts,
            *self.planes,
            *self.curves,
            *self.weakest,
            self.weak_words,
            *self.part_names,
            *self.seat_names,
        )
        for artist in moving:
            artist.set_visible(known)
        self.none.set_text("" if known else f"{picture.name}: {picture.why or 'not known yet'}")
        self.words = f"Shaft {picture.name}: {picture.why or 'not known yet'}"
        for lines, candidate in zip_longest(self.pinned, pinned):
            there = candidate is not None and candidate.picture.state is not None
            values = candidate.picture.lines if there else None
            for line, k in zip(lines, (3, 4, 5), strict=True):
                line.set_visible(there)
                if there:
                    line.set_data(values[0], values[k])
                    line.set(color=candidate.colour, dashes=candidate.dashes)
        if not known:
            return
        x, right, up, both, torque, moves = picture.lines
        self._rescale(x, (both, torque, moves))
        for line, values in zip((*self.planes, *self.curves), (right, up, both, torque, moves), strict=True):
            line.set_data(x, values)
        self._shaft(picture)
        worst = picture.state.sections[0]
        at = worst.at / picture.unit
        for line in self.weakest:
            line.set_xdata([at, at])
        words = f"weakest: {worst.name}, {worst.feature}, {_safety(worst)}"
        self.weak_words.set_text(textwrap.fill(words, self.by_width(90, 46)))
        self.words = self._describe(picture)

    def _rescale(self, x, rows) -> None:
        if x.min() < self.reach[0] - 1e-9 or x.max() > self.reach[1] + 1e-9:
            self.reach = min(float(x.min()), self.reach[0]), max(float(x.max()), self.reach[1])
            for ax in (self.outline, *self.axes):
                ax.set_xlim(*self.reach)
        for i, values in enumerate(rows):
            if np.abs(values).max() > 1.15 * self.tops[i]:
                self.tops[i] = _top(values)
                self.axes[i].set_ylim(*_ends(i, self.tops[i]))

    def _shaft(self, picture: ShaftPicture) -> None:
        state, unit = picture.state, picture.unit
        thick = max(s.diameter for s in state.steps)
        for bar, step in zip_longest(self.bars, state.steps[: len(self.bars)]):
            bar.set_visible(step is not None)
            if step is not None:
                high = 0.8 * step.diameter / thick
                bar.set_bounds(step.start / unit, -high / 2, (step.end - step.start) / unit, high)
        self.seats.set_data(state.reactions.at / unit, [-0.72] * len(state.reactions.at))
        parts = state.reactions.loads.parts
        self.parts.set_data([p.at / unit for p in parts], [0.72] * len(parts))
        pad = self.by_width(0.014, 0.028) * (self.reach[1] - self.reach[0])
        for texts, named, shift in (
            (self.part_names, [(p.name, p.at) for p in parts], 0.0),
            (self.seat_names, list(zip(state.reactions.bearings, state.reactions.at, strict=True)), pad),
        ):
            for text, part in zip_longest(texts, named[: len(texts)]):
                text.set_visible(part is not None)
                if part is not None:
                    text.set(text=part[0])
                    text.set_x(part[1] / unit + shift)
                    along = (part[1] / unit - self.reach[0]) / (self.reach[1] - self.reach[0])
                    if shift:
                        # the name of a bearing at the far end stands before it
                        after = along < self.by_width(0.9, 0.75)
                        text.set(x=part[1] / unit + (shift if after else -shift), ha="left" if after else "right")
                    else:
                        text.set_ha("left" if along < 0.06 else "right" if along > 0.94 else "center")

    def _describe(self, picture: ShaftPicture) -> str:
        state, system = picture.state, picture.system
        moment, moves = np.hypot(*state.work.moment.T), np.hypot(*state.work.deflection.T)
        i = int(np.argmax(moment))
        worst = state.sections[0]
        return (
            f"Shaft {picture.name}: most bending {show(float(moment[i]), 'torque', system)} at "
            f"{show(float(state.work.at[i]), 'length', system)}, most torque "
            f"{show(float(np.abs(state.work.torque).max()), 'torque', system)}, moves "
            f"{show(float(moves.max()), 'length', system, by='thou')} "
            f"at most. Weakest at {worst.name} ({worst.feature}): {_safety(worst)}."
        )

    def alt(self) -> str:
        """Return in words what is drawn now."""
        return self.words


def _safety(worst: SectionState) -> str:
    hard = worst.hardest
    return f"fatigue safety {worst.fatigue:.2f} at work, {hard.fatigue:.2f} {at_case(hard.case)}"


def _ends(row: int, top: float) -> tuple[float, float]:
    """Return the ends of a row's scale; the first one has room for its legend below."""
    return (LEGEND if row == 0 else -0.05) * top, 1.15 * top


def _top(values: np.ndarray) -> float:
    """Return a round number not below the largest of the values."""
    most = max(float(np.abs(values).max()), 1e-9)
    power = 10.0 ** np.floor(np.log10(most))
    return float(power * next(m for m in (1, 1.5, 2, 3, 4, 5, 7, 10) if m * power >= most * 0.999))


def picture_of(results: Results, shaft: str) -> ShaftPicture | None:
    """Return the picture of one shaft; None where the chapter is not there."""
    chapter = results.chapters.get("shafts")
    if chapter is None or chapter.data is None:
        return None
    check = next((c for c in chapter.checks if c.id == f"shafts.strength[{shaft}]"), None)
    return ShaftPicture(shaft, chapter.data.shafts.get(shaft), results.build.system, check.reason if check else "")


def draw(chapter: Findings, results: Results) -> Iterator[tuple[str, View, object, str]]:
    """Yield the diagrams of each shaft that is worked out, with its name."""
    for number, name in enumerate(chapter.data.shafts):
        picture = picture_of(results, name)
        yield f"{name}: bending, torque and movement", ShaftView(f"shaft-{number}", picture), picture, name

"""Voltage along the clutch circuit as steps, cold and hot, with every joint and part named."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

import numpy as np
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from jackshaft.chapters.electric.picture import ElectricPicture
from jackshaft.chapters.electric.wiring_figure import WiringView
from jackshaft.chapters.electric.words import SUPPLIES, volts
from jackshaft.drawing import style
from jackshaft.drawing.view import Candidate, View
from jackshaft.mechanics.circuit import COIL, COIL_IN
from jackshaft.results import Findings, Results
from jackshaft.units import show

#: Letters that go in one line under a joint.
NAME_WIDTH = 12
#: Most joints that can be drawn.
MOST = 12
HEATS = ("cold", "hot")
LOOKS = {
    "cold": {"color": style.BELT, "linewidth": style.BELT_WIDTH, "solid_joinstyle": "round"},
    "hot": {"color": style.STOP, "linewidth": style.HEAVY, "dashes": (5, 2)},
}
#: Inches of figure for a volt step through these, so that the scale does not creep with every change.
SCALES = (0.25, 0.5, 1.0, 2.0, 4.0, 8.0, 16.0)
BOXES = (0.10, 0.475, 0.88, 0.40), (0.10, 0.205, 0.88, 0.205)
#: On a phone the joints are numbered, and a list below names them.
PHONE_BOXES = (0.15, 0.60, 0.82, 0.28), (0.15, 0.415, 0.82, 0.135)
NOT_YET = "the circuit cannot be drawn: something that it needs is not known yet"


def step_points(picture: ElectricPicture, heat: str) -> np.ndarray:
    """Return the line of voltages as points (N, 2): flat at a joint, sloping along a wire, else a step."""
    levels = picture.volts(heat)
    points = [(0.0, levels[0])]
    for i, kind in enumerate(picture.data.steps.kinds):
        away = 0.28 if kind in ("wire", "chassis") else 0.5
        points += [(i + away, levels[i]), (i + 1 - away, levels[i + 1])]
    return np.array([*points, (len(levels) - 1.0, levels[-1])])


class ElectricView(View):
    """Draws the steps on a broken scale: the way out above, the way back below, one scale for both."""

    size, phone = (7.2, 4.9), (3.8, 4.7)
    words, scale = "", SCALES[0]

    def __init__(self, name: str, picture: ElectricPicture):
        self.first = picture
        super().__init__(name)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        count = len(self.first.data.steps.joints)
        self.boxes = upper, lower = self.by_width(BOXES, PHONE_BOXES)
        self.between = (upper[1] + lower[1] + lower[3]) / 2
        self.upper = style.add_plot(
            figure, (-0.5, count - 0.5), (12.0, 14.5), x_label="", y_label="voltage (V)", box=upper
        )
        self.lower = style.add_plot(figure, (-0.5, count - 0.5), (0.0, 1.0), x_label="", y_label="", box=lower)
        for ax in (self.upper, self.lower):
            ax.set_xticks([])
            ax.spines["bottom"].set_visible(ax is self.lower)
        figure.text(upper[0], self.between, "≈", fontsize=14, color=style.MUTED, ha="center", va="center")
        self.lines = {heat: self._pair(label=f"coil {heat}", **looks) for heat, looks in LOOKS.items()}
        self.pinned = [self._pair(linewidth=style.HEAVY) for _ in style.CANDIDATES]
        words = {"fontsize": style.BODY, "color": style.INK, "ha": "center"}
        box = {"facecolor": style.PAPER, "edgecolor": "none", "pad": 1.0, "alpha": 0.9}
        self.joints = [figure.text(0, 0, "", va="top", linespacing=1.25, **words) for _ in range(MOST)]
        self.parts = [figure.text(0, 0, "", va="center", linespacing=1.2, bbox=box, **words) for _ in range(MOST)]
        self.lower.legend(loc="center left", fontsize=style.BODY, frameon=True)
        self.missing = figure.text(0.5, 0.6, NOT_YET, fontsize=style.HEADING, color=style.MUTED, ha="center")
        self.list = figure.text(0.03, lower[1] - 0.075, "", va="top", linespacing=1.3, color=style.INK)
        self.note = figure.text(0.985, 0.012, "", fontsize=style.SMALL, color=style.MUTED, ha="right")

    def _pair(self, **looks) -> list[Line2D]:
        """Return one line in the upper part and one in the lower."""
        return [ax.plot([], [], **looks)[0] for ax in (self.upper, self.lower)]

    def update(self, picture: ElectricPicture | None, pinned: Sequence[Candidate] = ()) -> None:
        """Move everything to a circuit; without one, say that it cannot be drawn."""
        self.missing.set_visible(picture is None)
        for artist in (*self.joints, *self.parts, *(x for pair in (*self.lines.values(), *self.pinned) for x in pair)):
            artist.set_visible(picture is not None)
        if picture is None:
            self.words = f"Voltage along the clutch circuit: {NOT_YET}."
            self.note.set_text("")
            self.list.set_text("")
            return
        self._frame([picture, *(c.picture for c in pinned if c.picture is not None)])
        for heat, lines in self.lines.items():
            for line in lines:
                line.set_data(*step_points(picture, heat).T)
        for pair, candidate in zip(self.pinned, [*pinned, *[None] * len(self.pinned)], strict=False):
            shown = candidate is not None and candidate.picture is not None
            for line in pair:
                line.set_visible(shown)
                if shown:
                    line.set_data(*step_points(candidate.picture, "cold").T)
                    line.set(color=candidate.colour, dashes=candidate.dashes)
        self._name(picture)
        engine = SUPPLIES[picture.data.which]
        self.note.set_text(
            f"{engine} · clutch engaged · {picture.data.line.wire_words}"
            + self.by_width(" · the scale is broken between the two parts", "")
        )
        self.words = self._say(picture, pinned)

    def _frame(self, pictures: Sequence[ElectricPicture]) -> None:
        """Set the limits: one scale above and below the break, and it moves in steps only."""
        tall = self.size[1]
        up, down = (box[3] * tall for box in self.boxes)
        levels = [(p.volts(h), p.data.steps.joints.index(COIL_IN)) for p in pictures for h in HEATS]
        top = max(float(v[0]) for v, _ in levels)
        coil_in, back = min(float(v[i]) for v, i in levels), max(float(v[i + 1]) for v, i in levels)
        # inches that the words within the two parts take
        above, below = self.by_width((0.85, 0.62), (0.4, 0.12))
        least = max((top - coil_in) / (up - above), back / (down - below))
        self.scale = next((s for s in SCALES if s >= least), least)
        # in steps of a quarter of an inch, so that no line sinks below the break
        step = self.scale / 4
        ceiling = np.ceil((top + self.by_width(0.48, 0.1) * self.scale) / step) * step
        self.upper.set_ylim(ceiling - up * self.scale, ceiling)
        self.lower.set_ylim(-0.06 * self.scale, (down - 0.06) * self.scale)
        for ax in (self.upper, self.lower):
            ax.set_xlim(-0.5, max(len(p.data.steps.joints) for p in pictures) - 0.5)

    def _name(self, picture: ElectricPicture) -> None:
        data, count = picture.data, len(picture.data.steps.joints)
        upper, lower = self.boxes
        left, right = self.upper.get_xlim()

        def across(x: float) -> float:
            return upper[0] + upper[2] * (x - left) / (right - left)

        cold, hot = (picture.volts(h) for h in HEATS)
        if self.narrow:
            self._number(data, across, cold, hot)
            return
        # long names take two lines, and then every name does, so that the figures stand level
        names = [textwrap.fill(j.replace(" -", " −"), NAME_WIDTH) for j in data.steps.joints]
        lines = max(n.count("\n") for n in names)
        for i, text in enumerate(self.joints):
            text.set_visible(i < count)
            if i < count:
                name = names[i] + "\n" * (lines - names[i].count("\n"))
                text.set_text(f"{name}\n{volts(float(cold[i]))} cold\n{volts(float(hot[i]))} hot")
                text.set_position((across(i), lower[1] - 0.014))
        drops = data.steps.drops[:, data.cold]
        coil = data.steps.parts.index(COIL)
        for i, text in enumerate(self.parts):
            text.set_visible(i < count - 1)
            if i >= count - 1:
                continue
            text.set_text(f"{data.steps.parts[i]}\n−{volts(float(drops[i]))}")
            high = (
                upper[1] + upper[3] - 0.04 if i < coil else self.between if i == coil else lower[1] + lower[3] - 0.045
            )
            text.set_position((across(i + 0.5), high))

    def _number(self, data, across, cold: np.ndarray, hot: np.ndarray) -> None:
        """Number the joints, and name them in a list below, with their voltages."""
        lines = []
        for i, text in enumerate(self.joints):
            text.set_visible(i < len(cold))
            if i < len(cold):
                text.set(text=f"{i + 1}", position=(across(i), self.boxes[1][1] - 0.014))
                name = textwrap.shorten(data.steps.joints[i].replace(" -", " −"), 26, placeholder=" …")
                lines.append(f"{i + 1}  {name}: {volts(float(cold[i]))} cold, {volts(float(hot[i]))} hot")
        # twelve lines are as many as the room takes
        self.list.set(text="\n".join(lines), fontsize=min(style.SMALL, 96.0 / len(lines)))

    def _say(self, picture: ElectricPicture, pinned: Sequence[Candidate]) -> str:
        data = picture.data
        states = [f"{data.which}, {heat}" for heat in HEATS]
        cold, hot = (f"{volts(data.volts(s))} and {show(data.amps(s), 'current', picture.system)}" for s in states)
        each = ", ".join(
            f"{j} {volts(float(v))}" for j, v in zip(data.steps.joints, picture.volts("cold"), strict=True)
        )
        over = f" Candidates overlaid: {', '.join(c.letter for c in pinned)}." if pinned else ""
        return (
            f"Voltage along the clutch circuit, {SUPPLIES[data.which]}: the coil gets {cold} cold, {hot} hot. "
            f"Cold, joint by joint: {each}.{over}"
        )

    def alt(self) -> str:
        """Return in words what is drawn now."""
        return self.words


def picture_of(results: Results) -> ElectricPicture | None:
    """Return the picture of a build's clutch circuit, or None where it cannot be solved yet."""
    chapter = results.chapters.get("electric")
    return ElectricPicture(chapter.data, results.build.system) if chapter and chapter.data else None


def draw(chapter: Findings, results: Results) -> Iterator[tuple[str, View, object]]:
    """Yield the steps of voltage."""
    picture = picture_of(results)
    if picture is not None:
        yield "Voltage along the clutch circuit", ElectricView("electric", picture), picture
        yield "Wiring diagram of the clutch", WiringView("wiring"), picture


__all__ = ["ElectricPicture", "ElectricView", "draw", "picture_of", "step_points"]

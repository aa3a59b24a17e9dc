"""The tension tag: a card to print and fix inside the guard."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.figure import Figure
from matplotlib.patches import Circle, FancyBboxPatch

from jackshaft.drawing import style
from jackshaft.drawing.view import Candidate, View

MOST_LINES = 10

#: Room for the amounts, in.
ROOM = 4.15


@dataclass(frozen=True)
class TagPicture:
    """What is on the tag: stage, build, lines (what, how much); ``given`` False where no tension is set yet."""

    stage: str
    build: str
    lines: tuple[tuple[str, str], ...]
    given: bool


class TagView(View):
    """Draws the tag, twice as large as a luggage label."""

    size, has_phone = (7.2, 3.9), False

    def __init__(self, name: str):
        self.words = ""
        super().__init__(name)

    def compose(self, figure: Figure) -> None:
        """Make every artist once."""
        self.axes = ax = style.add_plane(figure, (0.0, 7.2), (0.0, 3.45), box=(0.0, 0.0, 1.0, 3.45 / 3.9))
        ax.add_patch(
            FancyBboxPatch(
                (0.2, 0.15),
                6.8,
                3.15,
                boxstyle="round,pad=0,rounding_size=0.18",
                facecolor="#ffffff",
                edgecolor=style.INK,
                linewidth=style.HEAVY,
            )
        )
        ax.add_patch(Circle((0.5, 3.0), 0.1, facecolor=style.PAPER, edgecolor=style.INK, linewidth=style.LINE))
        self.title = style.label(ax, (0.75, 3.0), size=style.HEADING + 1, bold=True, boxed=False, across="left")
        self.build = style.label(ax, (6.85, 3.0), size=style.SMALL, boxed=False, across="right", colour=style.MUTED)
        ax.plot([0.35, 6.85], [2.78, 2.78], color=style.INK, linewidth=style.LINE)
        self.whats = [
            style.label(ax, (0.4, 0), size=style.BODY, boxed=False, across="left", colour=style.MUTED)
            for _ in range(MOST_LINES)
        ]
        self.amounts = [
            style.label(ax, (2.75, 0), size=style.BODY, boxed=False, across="left", bold=True)
            for _ in range(MOST_LINES)
        ]

    def update(self, picture: TagPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Write the tag."""
        if len(picture.lines) > MOST_LINES:
            raise ValueError(f"a tag holds {MOST_LINES} lines, found {len(picture.lines)}")
        self.title.set_text(f"Tension: {picture.stage}")
        self.build.set_text(style.wrap(picture.build, 2.6, style.SMALL, 2)[0])
        texts = [style.wrap(amount, ROOM, style.BODY, 2)[0] for _, amount in picture.lines]
        rows = sum(1 + 0.75 * t.count("\n") for t in texts)
        step, place = 2.5 / max(8.0, rows), 2.74
        for i, (what, amount) in enumerate(zip(self.whats, self.amounts, strict=True)):
            shown = i < len(picture.lines)
            what.set_visible(shown)
            amount.set_visible(shown)
            if shown:
                high = step * (1 + 0.75 * texts[i].count("\n"))
                for text, words, across in ((what, picture.lines[i][0], 0.4), (amount, texts[i], 2.75)):
                    text.set(text=words)
                    text.set_position((across, place - high / 2))
                place -= high
        self.words = f"Tag for {picture.stage}. " + ". ".join(f"{a}: {b}" for a, b in picture.lines) + "."

    def alt(self) -> str:
        """Return in words what is on the tag."""
        return self.words

"""A belt stage that cannot be laid out yet: the pulleys whose places are known, and which sizes are missing."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Circle

from jackshaft.drawing import style
from jackshaft.drawing.following import Following
from jackshaft.drawing.view import Candidate
from jackshaft.results import Findings, Results, label
from jackshaft.results.reader import Reader
from jackshaft.units import read

#: What the title of such a picture ends with.
SO_FAR = "as far as it is known"
#: Radius of a pulley whose size is not known, as a share of what the picture shows.
UNSIZED = 0.03


@dataclass(frozen=True)
class PartialPicture:
    """Pulleys with known places, m: name, centre, radius where it is known; who has no place yet; what is missing."""

    stage: str
    pulleys: tuple[tuple[str, float, float, float | None], ...]
    unplaced: tuple[str, ...]
    missing: tuple[str, ...]
    system: str

    @property
    def words(self) -> str:
        """What is not drawn, and what must be known for it."""
        lost = f"Not placed yet: {', '.join(self.unplaced)}. " if self.unplaced else ""
        return f"{lost}Missing: {'; '.join(self.missing)}."


class PartialView(Following):
    """Draws what is known of a stage; it stands still."""

    size, phone = (7.2, 4.6), (3.8, 3.6)

    def compose(self, figure: Figure) -> None:
        """Draw the pulleys and write what is missing."""
        unit = read("1 in" if self.first.system == "inch" else "1 mm", "length").si
        centres = np.array([(x, y) for _, x, y, _ in self.first.pulleys]) / unit
        sizes = np.array([np.nan if r is None else r for *_, r in self.first.pulleys]) / unit
        reach = np.nan_to_num(sizes)[:, None]
        low, high = (centres - reach).min(0), (centres + reach).max(0)
        room = 0.2 * max(float((high - low).max()), 1.0)
        (x0, y0), (x1, y1) = low - room, high + room
        ax = style.add_plane(
            figure, (x0, x1), (y0, y1), box=self.by_width((0.01, 0.22, 0.98, 0.66), (0.01, 0.3, 0.98, 0.56))
        )
        for (name, *_), centre, radius in zip(self.first.pulleys, centres, sizes, strict=True):
            known = bool(np.isfinite(radius))
            radius = radius if known else UNSIZED * (x1 - x0)
            look = "-" if known else (0, (3, 3))
            fill = style.FILL if known else "none"
            ax.add_patch(Circle(tuple(centre), radius, facecolor=fill, edgecolor=style.METAL, linestyle=look))
            ax.plot(*centre, "+", color=style.INK, markersize=9)
            style.label(ax, centre + (0.0, radius + 0.02 * (x1 - x0)), name, size=style.SMALL, bold=True, up="bottom")
        width = self.by_width(6.9, 3.6)
        said, _ = style.wrap(self.first.words, width, style.SMALL, self.by_width(4, 7))
        figure.text(0.02, 0.02, said, fontsize=style.SMALL, color=style.INK, va="bottom")
        self.words = f"{self.first.stage}: drawn are {', '.join(n for n, *_ in self.first.pulleys)}. {self.first.words}"

    def update(self, picture: PartialPicture, pinned: Sequence[Candidate] = ()) -> None:
        """Nothing moves here."""


def pictures_of(chapter: Findings, results: Results) -> Iterator[PartialPicture]:
    """Yield what can be drawn of each belt stage that is not laid out: one pulley with a place at least."""
    reader = Reader(results.build)
    for check in results.of("layout"):
        stage = check.id.removeprefix("layout.length[").removesuffix("]")
        if not check.id.startswith("layout.length[") or stage in (chapter.data or {}) or not check.missing:
            continue
        placed, unplaced = [], []
        for name in reader.names(f"stage[{stage}].pulley"):
            here = f"stage[{stage}].pulley[{name}]"
            x, y, size = (reader.si(f"{here}.{key}") for key in ("x", "y", "diameter"))
            if None in (x, y):
                unplaced.append(name)
            else:
                placed.append((name, x, y, None if size is None else size / 2))
        if placed:
            # the label without what it says besides
            missing = tuple(re.sub(r"; [^(]*(?= \()", "", label(key)) for key in check.missing)
            yield PartialPicture(stage, tuple(placed), tuple(unplaced), missing, results.build.system)


__all__ = ["SO_FAR", "PartialPicture", "PartialView", "pictures_of"]

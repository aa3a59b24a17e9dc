"""What a true-scale template holds: circles, lines and points in mm on named layers, before any file is written."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from jackshaft.buildfile import Build
from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.chapters.layout.outline_figure import shaft_radii, way_of
from jackshaft.chapters.roller_chain.data import ChainData
from jackshaft.parts.belt_stage import section_row
from jackshaft.results.reader import Reader
from jackshaft.results.running import Results
from jackshaft.sheets.words import CARE, by_memory, plain, stops, unsure

MM = 1e3
#: Layers of a template, one for each kind of thing, and their colours in the DXF palette.
LAYERS = {
    "CENTRES": 1,
    "RIMS": 7,
    "PITCH": 3,
    "SHAFTS": 5,
    "HOLES": 7,
    "BELT": 4,
    "TAKE_UP": 6,
    "BODIES": 2,
    "GUARD": 3,
    "NIPS": 1,
    "CHECK": 1,
    "NOTES": 8,
}
#: Sides of the two check squares, mm: 50 mm and 2 in.
SQUARES = ((50.0, "50 mm"), (50.8, "2 in"))
APART = 20.0  # mm, between what is drawn and the check squares


class Circle(NamedTuple):
    """A circle, mm."""

    layer: str
    x: float
    y: float
    radius: float


class Line(NamedTuple):
    """A line through ``points``, mm, shape (n, 2); ``closed`` joins its ends.

    ``arcs`` holds the same line by its true arcs, where it has any: corners in mm with the bulge after each, (k, 3).
    """

    layer: str
    points: np.ndarray
    closed: bool = False
    arcs: np.ndarray | None = None


class Point(NamedTuple):
    """A centre, mm, and what stands beside it."""

    layer: str
    x: float
    y: float
    words: str


class Template(NamedTuple):
    """One template: where it is from, what is on it in mm, and what its first page says."""

    build: str
    fingerprint: str
    stage: str
    circles: tuple[Circle, ...]
    lines: tuple[Line, ...]
    points: tuple[Point, ...]
    warnings: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def title(self) -> str:
        """What stands on every page of it."""
        return f"{self.build} · {self.fingerprint} · {self.stage}"

    @property
    def box(self) -> tuple[float, float, float, float]:
        """The left, bottom, right and top of all that is on it, mm."""
        return box_of(self.circles, self.lines, self.points)


def box_of(circles, lines, points) -> tuple[float, float, float, float]:
    """Return the left, bottom, right and top of what is given, mm."""
    corners = [(c.x + s * c.radius, c.y + s * c.radius) for c in circles for s in (-1, 1)]
    corners += [tuple(p) for line in lines for p in line.points] + [(p.x, p.y) for p in points]
    found = np.array(corners)
    return (*found.min(0), *found.max(0))


def templates(results: Results) -> Iterator[Template]:
    """Yield a template for each belt stage and each chain stage of which the layout is known."""
    reader = Reader(results.build)
    for layout in (results.chapters["layout"].data or {}).values():
        yield finished(results, layout.name, *_belt(results.build, reader, layout))
    for chain in (results.chapters["roller-chain"].data or {}).values():
        if chain.centres is not None:
            yield finished(results, chain.stage.name, *_chain(results.build, chain))


def finished(results: Results, stage: str, circles, lines, points, notes) -> Template:
    """Return the template of a stage, or of its guard, with its check squares below what is drawn."""
    left, bottom, *_ = box_of(circles, lines, points)
    build = results.build
    for side, words in SQUARES:
        x, y = left, bottom - APART - side
        lines.append(Line("CHECK", np.array([(x, y), (x + side, y), (x + side, y + side), (x, y + side)]), closed=True))
        points.append(Point("NOTES", x + 3.0, y + 4.0, f"check: {words}"))
        left += side + APART
    name = plain(build.name or build.file)
    return Template(
        build=name,
        fingerprint=fingerprint(build),
        stage=plain(stage),
        circles=tuple(circles),
        lines=tuple(lines),
        points=tuple(points),
        warnings=(*stops(results), *CARE),
        notes=tuple(notes),
    )


def _belt(build: Build, reader: Reader, layout: StageLayout):
    p, at = layout.pulleys, layout.places
    x, y = at.x * MM, at.y * MM
    circles, lines, points = [], [], []
    names = [plain(n) for n in p.names]
    notes = ["Seen facing the engine's output shaft: x to the right, y up."]
    if not at.given:
        notes.append("The places of the pulleys are not given; only the centres are. The two lie level here.")
    for i, shaft in enumerate(shaft_radii(reader, layout)):
        points.append(Point("CENTRES", x[i], y[i], names[i]))
        circles.append(Circle("RIMS", x[i], y[i], p.outside[i] * MM))
        circles.append(Circle("PITCH", x[i], y[i], p.pitch[i] * MM))
        here = f"{names[i]}: centre {both(x[i])} across, {both(y[i])} up; rim {both(2 * p.outside[i] * MM)}"
        if np.isfinite(shaft):
            circles.append(Circle("SHAFTS", x[i], y[i], shaft * MM))
        notes.append(here + (f"; shaft {both(2 * shaft * MM)}." if np.isfinite(shaft) else "; shaft not known."))
    if layout.path.reason == 0:
        n = len(names)
        lines += [Line("BELT", np.array([layout.start[i], layout.end[i]]) * MM) for i in range(n)]
        notes.append("The straight lines of the belt are its pitch line.")
    else:
        notes.append("The belt has no path here, so it is not drawn.")
    _positions(layout, circles, lines, points, notes)
    for body in layout.bodies:
        _body(body, circles, lines, points)
    if layout.unplaced:
        notes.append(f"Not drawn, because nobody has said where it is: {', '.join(plain(k) for k in layout.unplaced)}.")
    stage = f"stage[{layout.name}]"
    doubts = unsure(build, stage, _shafts_of(reader, layout))
    return circles, lines, points, [*notes, *doubts, *by_memory(section_row(reader, stage), "the belt section")]


def _shafts_of(reader: Reader, layout: StageLayout) -> tuple[str, ...]:
    """Return the keys of the shafts that are drawn."""
    ends = (reader.get(f"stage[{layout.name}].from"), *layout.pulleys.shafts)
    named = tuple(f"shaft[{end}].diameter" for end in ends if end and end != "engine")
    return (*named, "engine.shaft_diameter") if "engine" in ends else named


def _positions(layout: StageLayout, circles: list, lines: list, points: list, notes: list) -> None:
    """Add where the take-up stands as drawn and with each belt that is sold, its pivot and its way."""
    if layout.mover is None:
        return
    k, rim = layout.mover, layout.pulleys.outside[layout.mover] * MM
    stands = {
        b.designation + ("" if b.fits else " (does not fit)"): (b.x, b.y) for b in layout.stock if np.isfinite(b.x)
    }
    if layout.drawn is not None:
        stands["as drawn"] = (layout.drawn.places.x[k], layout.drawn.places.y[k])
    name = plain(layout.pulleys.names[k])
    for words, (x, y) in stands.items():
        points.append(Point("TAKE_UP", x * MM, y * MM, plain(words)))
        circles.append(Circle("TAKE_UP", x * MM, y * MM, rim))
        notes.append(f"{name}, {plain(words)}: centre {both(x * MM)} across, {both(y * MM)} up.")
    way, ends = way_of(layout, np.array(list(stands.values())).reshape(-1, 2))
    if len(way):
        lines.append(Line("TAKE_UP", way * MM))
        if not len(ends):
            notes.append("Nobody has said where the arm's stops are: its way is drawn a little beyond the belts.")
    if layout.pivot is not None:
        x, y = layout.pivot[0] * MM, layout.pivot[1] * MM
        points.append(Point("CENTRES", x, y, "pivot"))
        notes.append(f"Pivot: centre {both(x)} across, {both(y)} up.")


def _body(body, circles: list, lines: list, points: list) -> None:
    x, y = body.x * MM, body.y * MM
    if body.radius is not None:
        circles.append(Circle("BODIES", x, y, body.radius * MM))
    if body.corners is not None:
        lines.append(Line("BODIES", np.asarray(body.corners) * MM, closed=True))
        x, y = np.asarray(body.corners).mean(0) * MM
    points.append(Point("BODIES", x, y, plain(body.name)))


def _chain(build: Build, chain: ChainData):
    stage = chain.stage
    at = f"stage[{stage.name}]"
    toward = 0.0 if chain.toward is None else chain.toward
    far = chain.centres * MM * np.array([np.cos(toward), np.sin(toward)])
    circles, points = [], []
    notes = ["The driver is at zero. x to the right, y up, seen facing the engine's output shaft."]
    if chain.toward is None:
        notes.append("The direction from sprocket to sprocket is not known. The two lie level here.")
    notes.append(f"Centres {both(chain.centres * MM)}.")
    for end, (x, y), size, teeth in zip(
        ("driver", "driven"), ((0.0, 0.0), far), stage.diameters, stage.teeth, strict=True
    ):
        points.append(Point("CENTRES", x, y, end))
        circles.append(Circle("PITCH", x, y, size / 2 * MM))
        notes.append(f"{end.capitalize()}: {teeth} teeth, pitch circle {both(size * MM)}.")
    notes.append("The pitch circle is no rim: the teeth and the chain stand out beyond it.")
    return circles, [], points, [*notes, *unsure(build, at, ()), *by_memory(stage.row, "the chain")]


def both(mm: float) -> str:
    """Return a length in both systems."""
    # nothing that rounds to nothing wears a minus
    return f"{round(mm, 2) + 0.0:.2f} mm ({round(mm / 25.4, 4) + 0.0:.4f} in)"

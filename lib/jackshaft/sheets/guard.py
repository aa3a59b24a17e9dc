"""The face of each guard as a template at 1:1: its outline, the wheels behind it, and where a hand is drawn in."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jackshaft.chapters.guards.outline_figure import body_points
from jackshaft.chapters.guards.outlines import GuardOutline
from jackshaft.results.running import Results
from jackshaft.sheets.shapes import MM, Circle, Line, Point, Template, both, finished
from jackshaft.sheets.words import plain, unsure

#: How far the straight pieces of an outline on paper leave its arcs, m: less than a scriber's line is wide.
OFF = 2e-6
INCH = 25.4  # mm


def guard_templates(results: Results) -> Iterator[Template]:
    """Yield a template for the guard of each belt and chain whose outline is known."""
    found = results.chapters["guards"].data
    for guard in () if found is None else found.outlines:
        numbers = [(k, nip) for k, nip in enumerate(found.nips, 1) if nip.stage == guard.loop.stage]
        circles, lines, points = _drawn(guard, numbers)
        notes = [*_notes(guard), *unsure(results.build, f"stage[{guard.loop.stage}]", ())]
        whole = finished(results, f"{guard.loop.stage}: guard", circles, lines, points, notes)
        hits = tuple(f"STOP. The outline cuts {plain(name)}. Move one of them first." for name in guard.cuts)
        yield whole._replace(warnings=(*hits, *whole.warnings))


def _drawn(guard: GuardOutline, numbers: list) -> tuple[list[Circle], list[Line], list[Point]]:
    """Return the outline, the wheels with what moves, the bodies and the nips."""
    loop = guard.loop
    circles, points = [], []
    for name, x, y, line in zip(loop.names, loop.x * MM, loop.y * MM, loop.line * MM, strict=True):
        circles.append(Circle("PITCH", x, y, line))
        points.append(Point("CENTRES", x, y, plain(name)))
    circles += [Circle("TAKE_UP", x, y, r) for x, y, r in loop.ends * MM]
    arcs = guard.band.bulged() * (MM, MM, 1.0)
    lines = [Line("GUARD", guard.band.points(OFF) * MM, closed=True, arcs=arcs)]
    lines += [Line("BELT", np.array(ends) * MM) for ends in zip(loop.start, loop.end, strict=True)]
    for body in loop.bodies:
        if body.radius is not None:
            circles.append(Circle("BODIES", body.x * MM, body.y * MM, body.radius * MM))
        else:
            lines.append(Line("BODIES", body_points(body) * MM, closed=True))
        points.append(Point("BODIES", *(body_points(body).mean(0) * MM), plain(body.name)))
    points += [Point("NIPS", nip.x * MM, nip.y * MM, f"nip {k}") for k, nip in numbers]
    return circles, lines, points


def _notes(guard: GuardOutline) -> list[str]:
    wide, high = (both(v * MM) for v in guard.size)
    area = guard.band.area * MM**2
    notes = [
        "Guard, seen facing the engine's output shaft: x to the right, y up.",
        f"The outline stands {both(guard.off * MM)} off all that turns: {plain(guard.why)}.",
        f"Face {wide} across, {high} up, {area / 100.0:.0f} cm2 ({area / INCH**2:.0f} sq in) on one side.",
        f"Strip once round it: {both(guard.band.length * MM)}, measured on the outline. It is as wide as the guard is "
        "deep. Seam, flanges and the allowance of a bend come on top.",
        f"Openings: {plain(guard.openings)}. No opening is drawn.",
        "Nobody may reach over, under, through or round it, and only a tool may take it off. Cut a hole for a shaft no "
        "larger than the shaft needs.",
    ]
    notes += [f"{plain(name)} stands within the outline: see that it has room." for name in guard.holds]
    if not guard.loop.bodies:
        notes.append("No body beside it is written down: hold the template against the machine before you cut.")
    return [*notes, *(plain(words) for words in guard.notes)]


__all__ = ["guard_templates"]

"""The holes of a bolted hub as a template at 1:1: bore, bolt circle, and each hole by its place from the middle."""

from __future__ import annotations

import math
from collections.abc import Iterator

from jackshaft import tables
from jackshaft.chapters.shafts.hubs import held
from jackshaft.results.reader import Reader
from jackshaft.results.running import Results
from jackshaft.sheets.bore import thick
from jackshaft.sheets.shapes import MM, Circle, Point, Template, both, finished
from jackshaft.sheets.words import plain, unsure
from jackshaft.units import INCH, at_most

KIND = "flange"
#: Holes that a bolt goes through, by its diameter, mm: the medium series of ISO 273, from memory.
METRIC = {5.0: 5.5, 6.0: 6.6, 8.0: 9.0, 10.0: 11.0, 12.0: 13.5, 14.0: 15.5, 16.0: 17.5, 20.0: 22.0}
#: How much wider than the bolt, in thirty-seconds of an inch: to 7/16 in and above, ASME B18.2.8, from memory.
INCH_TO, INCH_MORE = 7 / 16, (1, 2)
MEMORY = "ESTIMATE: the width of the holes is from memory: lay a bolt in a drilled scrap before you drill."
#: From a hole's middle to the edge of the metal, in bolts: common practice, no source.
EDGE = 1.5


def hub_templates(results: Results) -> Iterator[Template]:
    """Yield a template for each bolted hub whose bolts, their count and circle are written down."""
    reader = Reader(results.build)
    for shaft in reader.names("shaft"):
        for joint in reader.names(f"shaft[{shaft}].joint"):
            at = f"shaft[{shaft}].joint[{joint}]"
            count, circle = reader.get(f"{at}.count"), reader.si(f"{at}.circle")
            bolt = tables.table("bolts").where(size=reader.get(f"{at}.bolt")).rows
            if reader.get(f"{at}.kind") == KIND and bolt and count and circle:
                yield _template(results, reader, (shaft, joint), bolt[0]["diameter_mm"])


def _template(results: Results, reader: Reader, names: tuple[str, str], bolt: float) -> Template:
    shaft, joint = names
    at = f"shaft[{shaft}].joint[{joint}]"
    count, across = reader.get(f"{at}.count"), reader.si(f"{at}.circle") * MM
    size, hole = thick(reader, shaft, at)[1], hole_for(bolt)
    bore = None if size is None else size * MM
    found = places(count, across)
    circles = [Circle("PITCH", 0.0, 0.0, across / 2)]
    circles += [] if bore is None else [Circle("SHAFTS", 0.0, 0.0, bore / 2)]
    circles += [] if hole is None else [Circle("HOLES", x, y, hole / 2) for x, y in found]
    points = [Point("CENTRES", 0.0, 0.0, "middle")]
    points += [Point("CENTRES", x, y, f"hole {k}") for k, (x, y) in enumerate(found, 1)]
    notes = [*_notes(reader, names, found, hole), *unsure(results.build, at, ())]
    if bore is None:
        notes.append(f"The bore is not drawn: how thick {plain(shaft)} is there is not known.")
    whole = finished(results, f"{plain(shaft)}: {plain(joint)}, holes", circles, [], points, notes)
    clash = impossible(count, across, hole or bolt, bore)
    return whole._replace(warnings=(*clash, *whole.warnings, MEMORY if hole else f"No hole is drawn: {bolt:g} mm."))


def hole_for(bolt: float) -> float | None:
    """Return the width of the hole that a bolt of this diameter goes through, mm; None where none is known."""
    metric = next((hole for size, hole in METRIC.items() if math.isclose(size, bolt, rel_tol=1e-6)), None)
    if metric is not None:
        return metric
    sixteenths = bolt / (INCH * MM) * 16
    if not math.isclose(sixteenths, round(sixteenths), rel_tol=1e-4) or sixteenths > 14:
        return None
    return bolt + INCH_MORE[0 if at_most(bolt / (INCH * MM), INCH_TO) else 1] / 32 * INCH * MM


def places(count: int, across: float) -> list[tuple[float, float]]:
    """Return the middles of holes on a circle, the first to the right, then counter-clockwise."""
    turn = 2 * math.pi / count
    return [(across / 2 * math.cos(k * turn), across / 2 * math.sin(k * turn)) for k in range(count)]


def chord(count: int, across: float) -> float:
    """Return how far the middles of two neighbouring holes are apart."""
    return across * math.sin(math.pi / count)


def impossible(count: int, across: float, hole: float, bore: float | None) -> Iterator[str]:
    """Yield a sentence where a hole runs into its neighbour or into the bore; mm."""
    if count > 1 and at_most(chord(count, across), hole):
        yield f"STOP. {count} holes of {both(hole)} run into each other on this circle."
    if bore is not None and at_most(across, bore + hole):
        yield "STOP. The holes run into the bore."


def _notes(reader: Reader, names: tuple[str, str], found: list, hole: float | None) -> Iterator[str]:
    shaft, joint = names
    at = f"shaft[{shaft}].joint[{joint}]"
    count, across, size = reader.get(f"{at}.count"), reader.si(f"{at}.circle") * MM, reader.get(f"{at}.bolt")
    for_what = held(reader, shaft, joint)
    yield f"Holes for {count} bolts {size} on a circle of {both(across)}{for_what and ', '}{plain(for_what)}."
    if hole is not None:
        yield f"Each hole {both(hole)}. The clamped faces carry the torque: bolts in such holes carry none in shear."
    yield "Datum: the middle of the bore. x to the right, y up, seen on the face; hole 1 to the right."
    for k, (x, y) in enumerate(found, 1):
        yield f"Hole {k}: {both(x)} across, {both(y)} up."
    if count > 1:
        yield f"From hole to hole, middle to middle: {both(chord(count, across))}. Check it with calipers all round."
    yield (
        f"Leave {EDGE:g} bolts from a hole's middle to the edge (common practice, no source). Drill hub and pulley "
        "together where you can, and mark how they lie."
    )


__all__ = ["chord", "hole_for", "hub_templates", "impossible", "places"]

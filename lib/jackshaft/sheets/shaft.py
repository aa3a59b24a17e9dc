"""What a shaft sheet holds: steps, bearing seats, keyseats and the bar to start from, in SI units from the left end."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from jackshaft import tables
from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.chapters.bearings.data import Seat
from jackshaft.chapters.shafts.balance import balanced
from jackshaft.chapters.shafts.sections import listed_steps, size_at
from jackshaft.mechanics import keys, shaft_rules, shafts
from jackshaft.results.reader import Reader
from jackshaft.results.running import Results
from jackshaft.sheets.cutting import cut_note, cut_of
from jackshaft.sheets.words import CARE, plain, stops, unsure
from jackshaft.units import OutOfRange, show

#: How far a key of the table may be off one that is entered and still be the same, m.
SAME_KEY = 1e-5
#: How far the step below a bearing may be off its seat, m: a step is nominal, and no two bores are so near.
OFF_SEAT = 2e-4
SAME_BORE = 1e-6  # m


class BearingSeat(NamedTuple):
    """A bearing's place and the limits of its seat, m; ``source`` says whose they are, empty where none are known."""

    name: str
    at: float
    width: float | None
    fit: str
    low: float | None
    high: float | None
    source: str


class Keyseat(NamedTuple):
    """A keyseat, m; ``across`` is from its bottom to the far side of the shaft. None where it is not known."""

    name: str
    at: float
    length: float | None
    width: float | None
    depth: float | None
    across: float | None
    source: str


class Sheet(NamedTuple):
    """One shaft; every place in m from its left end. ``zero`` is where the build's zero mark is.

    ``cut`` is the row of cutting speeds of its material, None where that is in no list.
    """

    build: str
    fingerprint: str
    shaft: str
    material: str
    zero: float
    steps: tuple[shafts.Step, ...]
    seats: tuple[BearingSeat, ...]
    keyseats: tuple[Keyseat, ...]
    needed: float
    cut: tables.Row | None
    warnings: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def length(self) -> float:
        """From end to end, m."""
        return self.steps[-1].end

    @property
    def title(self) -> str:
        """What stands at the head of the page."""
        return f"{self.build} · {self.fingerprint} · {self.shaft}"

    def bar(self, system: str) -> float | None:
        """Return the diameter of the bar to ask for, m, as the buying list does; None where no counter keeps it."""
        try:
            return shaft_rules.bar_for.si(max(s.diameter for s in self.steps), system=system)
        except OutOfRange:
            return None


def shaft_sheets(results: Results) -> Iterator[Sheet]:
    """Yield a sheet for each shaft whose steps are all written down and join without a gap."""
    reader = Reader(results.build)
    for name in reader.names("shaft"):
        found, missing = listed_steps(reader, name)
        steps = sorted(found)
        joined = all(abs(a.end - b.start) < 1e-6 for a, b in zip(steps[:-1], steps[1:], strict=True))
        if steps and not missing and joined:
            yield _sheet(results, reader, name, steps)


def _sheet(results: Results, reader: Reader, name: str, steps: list[shafts.Step]) -> Sheet:
    build, left = results.build, steps[0].start
    seats = tuple(sorted(_seats(results, reader, name, left), key=lambda s: s.at))
    keyseats = tuple(sorted(_keyseats(reader, name, steps, left), key=lambda k: k.at))
    placed = tuple(s._replace(start=s.start - left, end=s.end - left) for s in steps)
    material = reader.get(f"shaft[{name}].material")
    cut = cut_of(material)
    notes = [
        "Corners are drawn square: take each radius from the bearing's or the hub's maker.",
        cut_note(material, cut),
        "What is marked nominal has no limits here, and no keyseat has: take them from the standard of the part.",
    ]
    notes += _balance(results, reader, name)
    if lost := _placeless(reader, name):
        notes.append(f"Not drawn, because nobody has said where it is: {', '.join(lost)}.")
    return Sheet(
        build=plain(build.name or build.file),
        fingerprint=fingerprint(build),
        shaft=plain(name),
        material=plain(material or "not known"),
        zero=-left,
        steps=placed,
        seats=seats,
        keyseats=keyseats,
        needed=max([s.diameter for s in steps] + [s.high for s in seats if s.high is not None]),
        cut=cut,
        warnings=(*clashes(placed, seats, keyseats), *stops(results), *CARE),
        notes=(*notes, *unsure(build, f"shaft[{name}]", tuple(f"bearing[{b}].position" for b in _on(reader, name)))),
    )


def _balance(results: Results, reader: Reader, shaft: str) -> Iterator[str]:
    """Yield a sentence for each part on the shaft that must be balanced."""
    for one in balanced(reader, results.chapters, shaft):
        speed = reader.show(one.speed, "rotation") + ("" if one.sure else " or faster")
        left = show(one.allowed, "mass", "metric") + ("" if one.sure else " or less")
        yield (
            f"Balance {plain(one.name)} to grade G {one.grade:g} (ISO 21940-11): at {speed}, {left} may be left on one "
            f"side of its rim, {reader.show(one.diameter, 'length')} across."
        )


def _on(reader: Reader, shaft: str) -> list[str]:
    return [b for b in reader.names("bearing") if reader.get(f"bearing[{b}].shaft") == shaft]


def _placeless(reader: Reader, shaft: str) -> list[str]:
    """Return the bearings and keys of a shaft whose place is not known."""
    keyed = [j for j in reader.names(f"shaft[{shaft}].joint")
             if reader.get(f"shaft[{shaft}].joint[{j}].kind") == "parallel key"]  # fmt: skip
    at = {b: f"bearing[{b}].position" for b in _on(reader, shaft)}
    at |= {j: f"shaft[{shaft}].joint[{j}].position" for j in keyed}
    return [plain(n) for n, key in at.items() if reader.si(key) is None]


def _seats(results: Results, reader: Reader, shaft: str, left: float) -> Iterator[BearingSeat]:
    bearings = results.chapters["bearings"].data
    for name in _on(reader, shaft):
        at = reader.si(f"bearing[{name}].position")
        if at is None:
            continue
        seat = Seat(name) if bearings is None else bearings.seats.get(name, Seat(name))
        identity = None if bearings is None else bearings.identity.get(name)
        size = None if identity is None else identity.size
        limits = seat.shaft
        fit = seat.slides if seat.advice is None else seat.advice.shaft_class
        yield BearingSeat(
            name=plain(name),
            at=at - left,
            width=None if size is None else size.width,
            fit=fit,
            low=None if limits is None else limits.lower,
            high=None if limits is None else limits.upper,
            source="" if limits is None else _seat_source(bearings, seat, identity),
        )


def _seat_source(bearings, seat: Seat, identity) -> str:
    """Return whose the limits of a seat are, and on what they rest that is not known."""
    words = f"{tables.printed_in(seat.shaft.cite)} ({seat.shaft.basis})"
    life = bearings.lives.get(seat.name)
    if seat.advice is not None and (life is None or life.load is None or life.rating is None):
        words += ". ESTIMATE: the load is not known, so the class is that of a normal load"
    if any(abs(rival.bore - identity.size.bore) > SAME_BORE for rival in identity.rivals):
        words += ". ESTIMATE: what was read leaves other bores open"
    return words


def clashes(steps, seats, keyseats) -> tuple[str, ...]:
    """Return a sentence for each seat and keyseat that does not lie on a step that can hold it."""
    found = []
    for s in seats:
        half = (s.width or 0.0) / 2
        inside = steps[0].start - 1e-9 <= s.at - half and s.at + half <= steps[-1].end + 1e-9
        if not inside:
            found.append(f"STOP: the seat of {s.name} runs past the end of the shaft.")
        elif s.high is not None and any(abs(step.diameter - s.high) > OFF_SEAT for step in _within(steps, s.at, half)):
            found.append(f"STOP: the shaft is not as thick at {s.name} as its seat must be.")
    for k in keyseats:
        half = (k.length or 0.0) / 2
        if k.at - half < steps[0].start - 1e-9 or k.at + half > steps[-1].end + 1e-9:
            found.append(f"STOP: the keyseat {k.name} runs past the end of the shaft.")
        elif len({step.diameter for step in _within(steps, k.at, half)}) > 1:
            found.append(f"STOP: the keyseat {k.name} runs over a shoulder.")
    return tuple(found)


def _within(steps, at: float, half: float) -> list[shafts.Step]:
    """Return the steps that a place of some width touches with more than its edge."""
    return [s for s in steps if min(s.end, at + half + 1e-9) - max(s.start, at - half - 1e-9) > 1e-9]


def without_sheet(results: Results) -> tuple[str, ...]:
    """Return the shafts that have no sheet, because their steps are not all known or do not join."""
    there = {sheet.shaft for sheet in shaft_sheets(results)}
    return tuple(n for n in map(plain, Reader(results.build).names("shaft")) if n not in there)


def _keyseats(reader: Reader, shaft: str, steps, left: float) -> Iterator[Keyseat]:
    for name in reader.names(f"shaft[{shaft}].joint"):
        here = f"shaft[{shaft}].joint[{name}]"
        at = reader.si(f"{here}.position")
        if reader.get(f"{here}.kind") != "parallel key" or at is None:
            continue
        width, size = reader.si(f"{here}.width"), size_at(steps, at)
        depth = across = None
        source = "width of the key not known"
        if width is not None:
            height = reader.si(f"{here}.height", keys.usual_height_si(width))
            depth = keys.seat_depth_si(width, height)
            source = _depth_source(width, depth)
            if size is not None and size > width:
                across = to_far_side(size, width, depth)
        yield Keyseat(plain(name), at - left, reader.si(f"{here}.length"), width, depth, across, source)


def to_far_side(diameter: float, width: float, depth: float) -> float:
    """Return the distance from the bottom of a keyseat to the far side of the shaft, m: what a caliper measures.

    The depth counts from the edge of the seat, where the shaft's surface is lower than its crown.
    """
    return diameter / 2 + math.sqrt(diameter**2 - width**2) / 2 - depth


def _depth_source(width: float, depth: float) -> str:
    for row in tables.table("keys").rows:
        if abs(row["width_mm"] * 1e-3 - width) < SAME_KEY and abs(row["shaft_depth_mm"] * 1e-3 - depth) < SAME_KEY:
            return tables.printed_in(row.cite)
    return "ESTIMATE: half the height of the key, from memory"

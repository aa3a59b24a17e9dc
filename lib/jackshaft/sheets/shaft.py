"""What a shaft sheet holds: steps, bearing seats, keyseats and the bar to start from, in SI units from the left end."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from jackshaft import tables
from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.chapters.bearings.data import Seat
from jackshaft.chapters.shafts.sections import listed_steps, size_at
from jackshaft.mechanics import keys, shafts
from jackshaft.results.reader import Reader
from jackshaft.results.running import Results
from jackshaft.sheets.words import CARE, plain, stops, unsure
from jackshaft.units import INCH, at_least

#: Steps in which round bar is sold, m: common practice, no source.
BARS = {"inch": (INCH / 16, 'next bar in 1/16 in'), "metric": (0.005, "next bar in 5 mm")}
#: How far a key of the table may be off one that is entered and still be the same, m.
SAME_KEY = 1e-5


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
    """One shaft; every place in m from its left end. ``zero`` is where the build's zero mark is."""

    build: str
    fingerprint: str
    shaft: str
    material: str
    zero: float
    steps: tuple[shafts.Step, ...]
    seats: tuple[BearingSeat, ...]
    keyseats: tuple[Keyseat, ...]
    needed: float
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

    def bar(self, system: str) -> float:
        """Return the diameter of the next bar that is not smaller than what is needed, m."""
        step = BARS[system][0]
        count = max(1, math.floor(self.needed / step))
        return step * (count if at_least(step * count, self.needed) else count + 1)


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
    notes = [f"Taken as cut square: the sheet knows no radius in the corners of {plain(name)}. Take each from the build."]
    if lost := _placeless(reader, name):
        notes.append(f"Not drawn, because nobody has said where it is: {', '.join(lost)}.")
    return Sheet(
        build=plain(build.name or build.file),
        fingerprint=fingerprint(build),
        shaft=plain(name),
        material=plain(reader.get(f"shaft[{name}].material") or "not known"),
        zero=-left,
        steps=tuple(s._replace(start=s.start - left, end=s.end - left) for s in steps),
        seats=seats,
        keyseats=tuple(sorted(_keyseats(reader, name, steps, left), key=lambda k: k.at)),
        needed=max([s.diameter for s in steps] + [s.high for s in seats if s.high is not None]),
        warnings=(*stops(results), *CARE),
        notes=(*notes, *unsure(build, f"shaft[{name}]", tuple(f"bearing[{b}].position" for b in _on(reader, name)))),
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
            source="" if limits is None else tables.printed_in(limits.cite) + f" ({limits.basis})",
        )


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

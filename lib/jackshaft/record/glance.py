"""The numbers that one builds from, at the head of the record."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jackshaft.chapters.bearings.shown import dimensions
from jackshaft.chapters.grip.cases import SPRING, tension_key, way_of
from jackshaft.chapters.layout.take_up import with_the_belt
from jackshaft.results import Number, Reader, Results
from jackshaft.results.values import TAPE
from jackshaft.units import show

#: A row: what it is, and its numbers in words.
Row = tuple[str, str]


def glance(results: Results) -> list[Row]:
    """Return what another builder looks for first: shafts, belts, chains, bearings, clutch, wire, telescoping shaft."""
    return [
        row for rows in (_shafts, _loops, _chains, _bearings, _clutch, _circuit, _telescoping) for row in rows(results)
    ]


def _found(results: Results, chapter: str):
    """Return what a chapter found, None where there is nothing."""
    there = results.chapters.get(chapter)
    return there.data if there else None


def _shafts(results: Results) -> Iterator[Row]:
    system, ratio = results.build.system, _found(results, "ratio")
    for shaft in ratio.shafts if ratio else ():
        if shaft.work is not None:
            way = {1: "counter-clockwise", -1: "clockwise"}.get(shaft.turn, "direction not known")
            torque = "" if shaft.torque is None else f", {show(shaft.torque, 'torque', system)}"
            yield shaft.name, f"{show(shaft.work, 'rotation', system)}, {way}{torque}"


def _loops(results: Results) -> Iterator[Row]:
    build, system = results.build, results.build.system
    for name, loop in (_found(results, "layout") or {}).items():
        at = f"stage[{name}]"
        count, section = build.get(f"{at}.belts") or 1, build.get(f"{at}.section")
        marked = build.get(f"{at}.marked") or (f"section {section}" if section else "belt")
        long = loop.path.length if loop.chosen is None or not loop.fits else loop.chosen.pitch_length
        path = show(float(long), "length", system) if loop.path.reason == 0 else "no path"
        yield name, f"{count} × {marked}, path {path} on the cord line{_held(results, loop)}"
        yield f"{name}: pulleys", "; ".join(_pulley(results, f"{at}.pulley", pulley) for pulley in loop.pulleys.names)
        if np.isfinite(loop.centres):
            yield f"{name}: centres, {_belt_on(loop)}", _centres(loop, system) + _idlers(loop, system)


def _chains(results: Results) -> Iterator[Row]:
    """Yield each chain: its number, links, teeth and centres."""
    system = results.build.system
    for name, chain in (_found(results, "roller-chain") or {}).items():
        stage = chain.stage
        size = f"chain {stage.row['number']}" if stage.row else f"{show(stage.pitch, 'length', system)} pitch"
        strands = f"-{stage.strands}" if stage.strands > 1 else ""
        links = "" if chain.links is None else f", {chain.links} links"
        centres = "" if chain.centres is None else f", centres {_tape(chain.centres, system)}"
        yield name, f"{size}{strands}{links}, {stage.teeth[0]} : {stage.teeth[1]} teeth{centres}"


def _telescoping(results: Results) -> Iterator[Row]:
    """Yield the least and the greatest distance of the joints of the telescoping shaft."""
    data, system = _found(results, "driveline"), results.build.system
    ends = None if data is None else data.ends()
    if ends is not None:
        low, high, here, there = ends
        yield "telescoping shaft", f"{_tape(low, system)} ({here}) to {_tape(high, system)} ({there}), joint to joint"


def _held(results: Results, loop) -> str:
    """Return how tight a loop is held and what that number is of, led by a comma; nothing where it is not known."""
    way = way_of(Reader(results.build), loop)
    tension = results.build.get(tension_key(loop, way))
    if tension is None:
        return ""
    where = "in the idler's strand, all belts together" if way == SPRING else "in each strand of each belt"
    return f", held at {show(tension.si, 'force', results.build.system)} {where}"


def _centres(loop, system: str) -> str:
    """Return how far each driven pulley is from the driver."""
    p, at = loop.pulleys, with_the_belt(loop)
    far = {i: np.hypot(at.x[i] - at.x[p.driver], at.y[i] - at.y[p.driver]) for i in p.works}
    return "; ".join(f"{p.names[p.driver]} to {p.names[i]} {_tape(size, system)}" for i, size in far.items())


def _belt_on(loop) -> str:
    """Return which state of a loop its places are of: with the belt that is on, or as it is drawn."""
    if loop.chosen is not None and loop.fits:
        return "with the belt on"
    return "as drawn, where this belt does not fit" if loop.fits is False else "as drawn"


def _idlers(loop, system: str) -> str:
    """Return where the idlers stand, each led by a semicolon; nothing where only the centres are known."""
    if not loop.places.given:
        return ""
    at = with_the_belt(loop)
    places = ((loop.pulleys.names[i], at.x[i], at.y[i]) for i in loop.idlers)
    return "".join(f"; {name} at x {_tape(x, system)}, y {_tape(y, system)}" for name, x, y in places)


def _tape(si: float, system: str) -> str:
    return str(Number(float(si), "length", system, form=TAPE))


def _pulley(results: Results, at: str, name: str) -> str:
    """Return a pulley's size as it was measured."""
    size, line = (results.build.get(f"{at}[{name}].{key}") for key in ("diameter", "measured_as"))
    if size is None:
        return f"{name} not known yet"
    return " ".join([name, show(size.si, "length", results.build.system), *([str(line)] if line else [])])


def _bearings(results: Results) -> Iterator[Row]:
    found = _found(results, "bearings")
    for name, one in found.identity.items() if found else ():
        if one.size is None:
            continue
        seat = found.seats.get(name)
        fits = ""
        if seat is not None and seat.advice is not None:
            fits = f"; seat {seat.advice.shaft_class}, housing {seat.advice.housing_class}"
        elif seat is not None and seat.slides:
            fits = f"; slides on a bar {seat.slides}"
        yield f"bearing {name}", f"{one.size.designation}, {dimensions(Reader(results.build), one.size)}{fits}"


def _clutch(results: Results) -> Iterator[Row]:
    found, build = _found(results, "clutch"), results.build
    if not found:
        return
    kind, system = build.get("clutch.kind"), build.system
    if found.way is not None and found.way.torque is not None:
        named = {"idler": "belt tightener"}.get(kind, f"{kind} clutch")
        where = f" of {found.way.stage}" if found.way.stage else f" on {found.shaft}"
        yield "clutch", f"{named}{where}, holds {show(found.way.torque.likely, 'torque', system)} at work"
    if found.used is None:
        return
    torque = f"{show(found.used.torque, 'torque', system)} at {show(found.used.amps, 'current', system)}"
    least = "" if found.required is None else f", must hold {show(found.required.hold, 'torque', system)}"
    yield "clutch", f"{f'{kind}, ' if kind else ''}on {found.shaft}, {torque} ({found.used.name}){least}"


def _circuit(results: Results) -> Iterator[Row]:
    found = _found(results, "electric")
    if found:
        way = "; the frame leads back" if found.line.chassis else f" out; {found.wiring.back} back"
        yield "clutch wire", f"{found.wiring.out}{way}"
        yield "fuse", found.wiring.fuse or ("none" if results.build.is_none("circuit.fuse") else "not known yet")


__all__ = ["glance"]

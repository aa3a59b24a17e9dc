"""Putting it together: shaft by shaft in an order that works, with limits, torques and boxes for what was found."""

from __future__ import annotations

from collections.abc import Iterator

from jackshaft import tables
from jackshaft.chapters.shafts.assembly import assembled
from jackshaft.mechanics import inserts, joints
from jackshaft.mechanics.assembly import NEAR
from jackshaft.mechanics.bearing_sizes import is_insert
from jackshaft.parts.shaft_loads import hubs_on
from jackshaft.parts.words import made_safe, sentence
from jackshaft.record.first_run import NOT_YET, Found, Stage, Step
from jackshaft.results import Results

ENGINE = "engine"
#: Share of a dry bolt's torque for oiled threads: nut factors of 0.15 and 0.20, table of sources "shigley".
OILED = 0.75
#: How near a part is set along a shaft by tape, m: common practice, no source.
BY_TAPE = 1e-3
_PRACTICE = "common practice"


def assembly(results: Results) -> list[Stage]:
    """Return the stages of putting a build together: each shaft on the bench, the frame, then what is tightened."""
    at = Found(results)
    stages = [
        Stage(
            f"{name} on the bench",
            "Deburr it, and try each bearing on its seat before anything is pressed. Keys go in last before their hub.",
            tuple(_shaft(at, name)),
        )
        for name in at.reader.names("shaft")
    ]
    stages += [
        Stage(
            "Into the frame",
            f"{sentence(made_safe(at.reader.get('engine.kind')))}. Bearings bolted finger-tight until shaft and belts "
            "are in line.",
            tuple(_frame(at)),
        ),
        Stage("Tightened", "Threads clean. Each bolt in two rounds, crosswise. Mark each head.", tuple(_torques(at))),
        Stage("Guards", "Before anything turns, by hand too.", (Step("every guard", "on, and fast", _PRACTICE),)),
    ]
    return [s._replace(title=f"{n}. {s.title}") for n, s in enumerate((s for s in stages if s.steps), 1)]


def _shaft(at: Found, name: str) -> Iterator[Step]:
    """Yield what goes on a shaft, in an order in which nothing bars the way of what comes after."""
    found = assembled(at.reader, at.results.chapters, name)
    if found is None:
        yield Step("order in which its parts go on", f"{NOT_YET}: write down its steps and their places", "")
        return
    for part in found.parts:
        if part.fixed:
            yield Step(f"{part.name}: welded on before all else", "runs true", _PRACTICE)
    for move in found.found.moves:
        part = next(p for p in found.parts if p.name == move.part)
        end = "lower" if move.end == NEAR else "higher"
        yield from _seat(at, part.name)
        yield Step(f"{part.name} on, from the {end} end", _place(at, (part.low + part.high) / 2))
    for one in found.found.barred:
        yield Step(f"{one.part}", "STOP: does not go on; see the checks of the shaft", "this build")
    if found.placeless:
        yield Step("what else sits on it", f"{NOT_YET}: its place is not written down", "")


def _place(at: Found, middle: float) -> str:
    off = at.show(BY_TAPE, "length", decimals=0 if at.system == "metric" else 2)
    return f"middle {at.show(middle, 'length', by='tape')} from the zero mark, within {off}"


def _seat(at: Found, words: str) -> Iterator[Step]:
    """Yield the limits of a bearing's seat."""
    data = at.data("bearings")
    name = words.removeprefix("bearing '").removesuffix("'")
    seat = None if data is None or not words.startswith("bearing") else data.seats.get(name)
    if seat is not None and seat.shaft is not None:
        low, high = (at.show(v, "length", by="micrometer") for v in (seat.shaft.lower, seat.shaft.upper))
        yield Step(f"seat of {name} by micrometer, three places, before it goes on", f"{low} to {high}")


def _frame(at: Found) -> Iterator[Step]:
    yield from _clutch(at)
    for stage in at.reader.names("stage"):
        if at.reader.get(f"stage[{stage}].kind") not in ("belt", None):
            continue
        for shaft in (ENGINE, *at.reader.names("shaft")):
            last = closes(at, shaft, stage) if stage in hubs_on(at.reader, shaft) else ""
            if last is None:
                yield Step(f"{stage}: whether a bearing of {shaft} keeps its belts out", f"{NOT_YET}: its places", "")
            elif last:
                yield Step(
                    f"{stage}: belts laid round {shaft} before {last} is bolted down",
                    "no endless belt goes on afterwards; a spare may be tied there",
                    "this build",
                )
    for bearing in at.reader.names("bearing"):
        if at.reader.get(f"bearing[{bearing}].located"):
            yield Step(f"bearing {bearing}", "fast endways; the others float", "this build")
    if any(at.reader.get(f"stage[{s}].kind") in (None, "belt", "roller chain") for s in at.reader.names("stage")):
        yield Step("straightedge over both pulleys or sprockets of each stage", "touches at four places", _PRACTICE)
    for stage in at.reader.names("stage"):
        if at.reader.get(f"stage[{stage}].kind") in ("belt", None):
            yield Step(f"{stage}: belts on, never levered over a rim", "tension as its tag says", "this build")
        elif at.reader.get(f"stage[{stage}].kind") == "roller chain":
            yield Step(f"{stage}: chain joined, slack set", "slack as the chain's page says", "this build")


def _clutch(at: Found) -> Iterator[Step]:
    """Yield what goes on the shaft that carries the clutch, in its order."""
    reader = at.reader
    if reader.get("clutch.kind") not in ("electromagnetic", "centrifugal"):
        return
    shaft = reader.get("clutch.shaft") or ENGINE
    yield Step(f"clutch on {shaft}, its key first", "slides home by hand; its bolt as under 'Tightened'", _PRACTICE)
    if reader.get("clutch.kind") == "electromagnetic":
        yield Step("the clutch's magnet at its stop", "cannot turn; a little play is left", _PRACTICE)
        yield Step("the clutch's air gap by feeler, three places", "as the clutch's page says", "this build")
        yield Step("the clutch's leads", "tied down, clear of all that turns, slack for the magnet's play", _PRACTICE)


def closes(at: Found, shaft: str, stage: str) -> str | None:
    """Return the bearing past which an endless belt of a stage no longer comes on a shaft; empty where none is.

    None where two bearings and no places are known.

    It is the last to be bolted down of those on the side that has fewer.
    """
    reader = at.reader
    if shaft == ENGINE:
        beyond = reader.si("engine.outboard_at")
        return "" if beyond is None else "the outboard bearing"
    base = f"shaft[{shaft}].load"
    place = next((reader.si(f"{base}[{n}].position") for n in reader.names(base) if _of(reader, base, n, stage)), None)
    held = {
        b: reader.si(f"bearing[{b}].position")
        for b in reader.names("bearing")
        if reader.get(f"bearing[{b}].shaft") == shaft
    }
    if place is None or None in held.values():
        return None if len(held) > 1 else ""
    below = sorted((v, b) for b, v in held.items() if v < place)
    above = sorted(((v, b) for b, v in held.items() if v > place), reverse=True)
    if not below or not above:
        return ""
    side = min(below, above, key=len)
    return f"bearing {side[0][1]}"


def _of(reader, base: str, load: str, stage: str) -> bool:
    return reader.get(f"{base}[{load}].stage") == stage or load == stage


def _torques(at: Found) -> Iterator[Step]:
    reader = at.reader
    for shaft in reader.names("shaft"):
        for joint in reader.names(f"shaft[{shaft}].joint"):
            yield from _joint(at, f"{shaft}: {joint}", f"shaft[{shaft}].joint[{joint}]")
    data = at.data("bearings")
    for name in reader.names("bearing"):
        size = None if data is None or name not in data.identity else data.identity[name].size
        if size is not None and is_insert(size) and reader.get(f"bearing[{name}].locking") == "set screws":
            screws = inserts.insert_screws.si(size.size_code)
            yield Step(f"bearing {name}: both set screws", at.band(screws.low, screws.high, "torque"), "makers' lists")
    bolt = reader.get("clutch.bolt")
    row = next((r for r in tables.table("crank_bolts").rows if r["bolt"] == bolt), None)
    if row is not None:
        band = at.band(row["torque_low_nm"], row["torque_high_nm"], "torque")
        yield Step(f"clutch: bolt {bolt} in the crank", f"{band}; its maker's own figure goes first", row["known"])
    elif bolt is not None:
        yield Step(f"clutch: bolt {bolt} in the crank", f"{NOT_YET}: in no list here; ask its maker", "")


def _joint(at: Found, words: str, here: str) -> Iterator[Step]:
    """Yield the torque of a joint's screws or bolts."""
    reader, kind = at.reader, at.reader.get(f"{here}.kind")
    if kind == "set screws" and (size := reader.get(f"{here}.screw")) is not None:
        screw = joints.set_screw.si(size)
        yield Step(f"{words}: set screws {size}", at.show(screw.seating_torque, "torque"), "from memory")
    elif kind in ("flange", "split hub"):
        size, grade = (reader.get(f"{here}.{k}") for k in ("bolt", "grade"))
        if size is None or grade is None:
            yield Step(f"{words}: bolts", f"{NOT_YET}: write down their size and grade", "")
            return
        torque = joints.preload_si(joints.bolt(size, grade))[1]
        wanted = f"{at.show(torque, 'torque')} dry, {at.show(OILED * torque, 'torque')} oiled"
        yield Step(f"{words}: bolts {size}, {grade}", wanted, "nut factor from memory")
    elif kind == "taper bush":
        row = tables.table("first_run").one(item="taper bush, screws tightened again")
        again = f"{row['low']:g} to {row['high']:g} h"
        yield Step(
            f"{words}: screws of the bush", f"as stamped or by its maker's list; again after {again}", row["known"]
        )


__all__ = ["assembly", "closes"]

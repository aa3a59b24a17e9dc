"""What turns, and its guards, over the ground: belt and chain stages where they stand, the shaft through its travel."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.mechanics.ground import joint_height_si
from jackshaft.parts.belt_stage import read_pulleys
from jackshaft.parts.telescoping import linkage, places_of
from jackshaft.results.checks import CAUTION, GO, STOP, Table, reaches
from jackshaft.results.cure import Proposal
from jackshaft.results.failing import Failing
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader, Unknown
from jackshaft.units import read, write

LEAST = "ground_least"
AXIS, WIDE = "driveline.axis_height", "driveline.guard_outside"
SHAFT = ("guards.ground-shaft", "telescoping shaft over the ground")
#: Steps of a height over the ground, inch and metric.
STEP = ("1/4 in", "5 mm")
SOURCE = "own-derivation, geometry; clearance common practice, no source"


class Sweep(NamedTuple):
    """The travel: its lifts (rad), the shaft's lowest point over the ground at each (m), and each place in words."""

    lift: np.ndarray
    low: np.ndarray
    names: list[str]

    @property
    def worst(self) -> int:
        """Where it comes lowest."""
        return int(np.argmin(self.low))


def least(reader: Reader) -> float:
    """Return the clearance that is wanted, m: the build's, else what is usual."""
    usual = tables.table("attachment_facts").one(item="clearance over the ground")["likely"] * 1e-3
    return reader.si(LEAST, usual)


def checks(draft: Draft, reader: Reader) -> None:
    """Add the verdict on each stage and on the telescoping shaft, where the build says where the ground is."""
    for name in reader.names("stage"):
        if reader.get(f"stage[{name}].ground_y") is not None:
            _stage(draft, reader, name)
    begun = any(reader.get(key) is not None for key in (AXIS, WIDE))
    if begun and reader.has("driveline") and not reader.is_none("driveline"):
        _shaft(draft, reader)


def lowest(reader: Reader, stage: str) -> tuple[list[tuple[str, float]], tuple[str, ...]]:
    """Return the lowest point of each pulley and of the guard over the ground (m), and the keys that are missing.

    A pulley reaches as far as its rim, or as the belt's cord where that lies further out. Where a stage has no pulleys
    its guard tells alone.
    """
    at = f"stage[{stage}]"
    ground, found, lacks = reader.si(f"{at}.ground_y"), [], []
    names = reader.names(f"{at}.pulley")
    if names:
        try:
            pulleys = read_pulleys(reader, at)
            radii = dict(zip(names, np.maximum(pulleys.outside, pulleys.pitch), strict=True))
        except Unknown as unknown:
            radii, lacks = {}, [*unknown.keys]
        lacks += reader.unknown(*(f"{at}.pulley[{name}].y" for name in names))
        ys = {name: reader.si(f"{at}.pulley[{name}].y") for name in radii}
        found = [(f"pulley {name}", y - float(radii[name]) - ground) for name, y in ys.items() if y is not None]
    edge = reader.si(f"{at}.guard_low_y")
    if edge is not None:
        found.append(("its guard", edge - ground))
    elif reader.get(f"{at}.guard") != "none" or not names:
        lacks.append(f"{at}.guard_low_y")
    return found, tuple(dict.fromkeys(lacks))


def _stage(draft: Draft, reader: Reader, name: str) -> None:
    named, (found, lacks) = (f"guards.ground[{name}]", f"{name}: over the ground"), lowest(reader, name)
    wanted = reader.number(least(reader), "length", "{} or more", decimals=1)
    part, low = min(found, key=lambda pl: pl[1], default=("", np.inf))
    if lacks and reaches(low, least(reader)):
        words = "What of it hangs lowest is not known yet."
        draft.missing(reader, *named, lacks, words, limit=wanted)
        return
    _judge(
        draft, reader, named, low, f"{part} hangs lowest", "Raise the frame, or make that part or its guard smaller."
    )


def _judge(draft: Draft, reader: Reader, named: tuple[str, str], low: float, where: str, remedy: str) -> None:
    """Add a verdict: a stop where the ground is touched, a caution where the clearance falls short."""
    want = least(reader)
    verdict = GO if reaches(low, want) else CAUTION if low > 0.0 else STOP
    words = (
        f"{where[:1].upper()}{where[1:]}. The ground is taken as level; ruts, ramps and sinking wheels take from it."
    )
    if verdict == STOP:
        words = f"It touches the ground. {words}"
    draft.check(
        *named,
        found=reader.number(low, "length", decimals=1),
        wanted=reader.number(want, "length", "{} or more", decimals=1),
        verdict=verdict,
        reason=words,
        remedy="" if verdict == GO else remedy,
        source=SOURCE,
    )


def sweep(reader: Reader) -> Sweep | None:
    """Return the shaft's lowest point over its whole travel; None where that is not known.

    The guard is taken as wide as at its widest over the whole length and both joints, so nothing hangs lower.
    """
    places, lengths = places_of(reader), linkage(reader)
    axis, wide = reader.si(AXIS), reader.si(WIDE)
    if lengths is None or places.travel is None or None in (axis, wide):
        return None
    kept = {k: lengths[k] for k in ("hinge_off", "joint_along", "joint_square", "joint_aside")}
    level = reader.get("driveline.hinge_is") != "upright"
    lift = places.travel.lift
    low = np.minimum(axis, joint_height_si(lift, axis=axis, level=level, **kept)) - wide / 2
    return Sweep(lift, low, [places.place(n) for n in range(len(lift))])


def _shaft(draft: Draft, reader: Reader) -> None:
    found = sweep(reader)
    if found is None:
        keys = (*reader.unknown(AXIS, WIDE), *places_of(reader).lacks(reader))
        words = "How low it comes on its way is not known yet."
        if not keys:
            keys = tuple(k for k in ("driveline.hinge_off", "driveline.joint_along") if reader.get(k) is None)
        draft.missing(reader, *SHAFT, keys or (AXIS,), words)
        return
    where = f"lowest at {found.names[found.worst]}"
    remedy = "Stop the attachment higher, carry the shaft higher, or fit a slimmer guard."
    _judge(draft, reader, SHAFT, float(found.low[found.worst]), where, remedy)
    named = [a for a in places_of(reader).attitudes if a.lift is not None]
    rows = [
        (
            a.name,
            reader.number(float(np.interp(a.lift, found.lift, found.low)), "length", decimals=1),
            "yes" if a.turns else "no",
        )
        for a in named
    ]
    rows.append(("anywhere between", reader.number(float(found.low.min()), "length", decimals=1), ""))
    note = "Lowest point of the guard, as wide as at its widest all along. Level ground under a level driving shaft."
    draft.tables.append(
        Table("Telescoping shaft over the ground", ("place", "over the ground", "turns there"), tuple(rows), note)
    )


def raised(failing: Failing) -> Iterator[Proposal]:
    """Yield a guard that ends higher, where it hangs lowest, then the whole frame raised by what is wanting."""
    reader, stage = failing.reader, failing.part
    parts, want = dict(lowest(reader, stage)[0]), least(reader)
    if not parts:
        return
    guard = parts.pop("its guard", None)
    if guard is not None and guard < want <= min(parts.values(), default=np.inf):
        key = f"stage[{stage}].guard_low_y"
        text = failing.up(reader.si(key) + want - guard, "length", *STEP)
        yield Proposal(f"Let the guard of {stage} end higher: its lowest edge at y {text}.", {key: text})
    short = want - min([*parts.values(), *([] if guard is None else [guard])])
    text = failing.up(short, "length", *STEP)
    grounds = {name: reader.si(f"stage[{name}].ground_y") for name in reader.names("stage")}
    by = read(text, "length").si
    changes = {
        f"stage[{name}].ground_y": write(y - by, "length", failing.build.system)
        for name, y in grounds.items()
        if y is not None
    }
    if (axis := reader.si(AXIS)) is not None:
        changes[AXIS] = write(axis + by, "length", failing.build.system)
    yield Proposal(f"Raise the frame, with all that it carries, by {text}.", changes)


def higher(failing: Failing) -> Iterator[Proposal]:
    """Yield lifts of the lowest attitudes at which the shaft keeps its clearance, then a slimmer guard."""
    reader, found = failing.reader, sweep(failing.reader)
    if found is None:
        return
    want = least(reader)
    fine = found.lift[found.low >= want]
    low = [
        a for a in places_of(reader).attitudes if a.lift is not None and np.interp(a.lift, found.lift, found.low) < want
    ]
    if len(fine) and low:
        changes = {}
        for one in low:
            near = float(fine[np.abs(fine - one.lift).argmin()])
            text = (failing.up if near > one.lift else failing.down)(near, "angle", "1 deg")
            changes[f"driveline.attitude[{one.name}].lift"] = text
        words = ", ".join(f"{one.name} at {text}" for one, text in zip(low, changes.values(), strict=True))
        yield Proposal(f"Stop the attachment higher: {words}.", changes)
    slimmer = reader.si(WIDE) - 2 * (want - float(found.low.min()))
    if slimmer > 0.0:
        text = failing.down(slimmer, "length", *STEP)
        yield Proposal(f"Fit a guard of {text} at its widest.", {WIDE: text})


__all__ = ["SHAFT", "checks", "higher", "least", "lowest", "raised", "sweep"]

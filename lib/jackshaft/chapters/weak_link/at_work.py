"""The way to the work, and the links at its end: telescoping shaft, shear pin and slip clutch."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.chapters.ratio.data import ENGINE, RatioData, StageRatio, chain
from jackshaft.chapters.weak_link.data import Found, Left, Link
from jackshaft.parts.shear_pin import shear_pin
from jackshaft.parts.slip_clutch import slip_clutch
from jackshaft.parts.telescoping import carrier, joint_rating, places_of, share_of, times_on_joints
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader, Unknown


def on_the_way(ratio: RatioData, reader: Reader) -> tuple[str, ...]:
    """Return the names of the stages from the engine to the work, or of all where the work's shaft is not known."""
    names = tuple(dict.fromkeys(s.name for line in _lines(ratio) for s in line))
    return names or reader.names("stage")


def _lines(ratio: RatioData) -> list[tuple[StageRatio, ...]]:
    """Return the stages from the engine to each shaft of the work, or to the end of the drive where it has one."""
    return [chain(ratio.stages, end) for end in ratio.carriers]


def shafts_on_the_way(ratio: RatioData, reader: Reader) -> tuple[str, ...]:
    """Return the names of the shafts after the engine's on that way; all shafts where a stage of it is not known."""
    lines = _lines(ratio)
    if lines and all(lines):
        return tuple(dict.fromkeys(s.end for line in lines for s in line))
    line = on_the_way(ratio, reader)
    ends = [stage.end for name in line if (stage := ratio.stage(name)) is not None]
    if len(ends) < len(line) or ratio.work_shaft is not None and ratio.work_shaft not in ends:
        return reader.names("shaft")
    return tuple(ends)


def telescoping(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Found:
    """The joints of the telescoping shaft, by their rating and by how far they bend where it turns."""
    if reader.is_none("driveline") or not reader.has("driveline"):
        return
    name, shaft = "joints of the telescoping shaft", carrier(reader, ratio)
    if shaft is None and ratio.work_shafts[1:]:
        yield Left(name, "driveline", "which of the shafts it carries on is not known", ("driveline.shaft",))
        return
    shaft = shaft or next(iter(ratio.carriers), None)
    if shaft is None:
        yield Left(name, "driveline", "which shaft carries the work is not known", ("work.shaft",))
        return
    state = ratio.shaft(shaft)
    rating = joint_rating(reader, None if state is None else state.work)
    if rating is None:
        yield Left(name, "driveline", "their rating is not known", ("driveline.joint_rating",))
        return
    times, share = times_on_joints(reader), share_of(reader)
    if times is None:
        # what they give at when straight is known, and may be too little; a go waits for the angles
        yield Left(name, "driveline", "how far they bend is not known", places_of(reader).lacks(reader))
    likely, bad = times or (1.0, 1.0)
    yield Link(
        name,
        "joint",
        shaft,
        likely=rating.likely / likely,
        gives="a joint is overloaded",
        source=rating.source + ("; a bent joint feels more, own-derivation" if bad > 1.0 else ""),
        part="driveline",
        low=rating.low / bad,
        high=rating.high,  # the attachment may also jam where the shaft runs straight
        share=share,
    )


def pin(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Found:
    """The shear pin: area times strength times radius."""
    try:
        found = shear_pin(reader)
    except Unknown as unknown:
        yield Left("shear pin", "shear_pin", "what it shears at is not known", unknown.keys)
        return
    if found is None:
        return
    if found.shaft not in (ENGINE, *shafts_on_the_way(ratio, reader)):
        yield Left("shear pin", "shear_pin", "its shaft does not lie on the way to the work", counts=False)
        return
    yield Link(
        "shear pin",
        "shear pin",
        found.shaft,
        likely=found.likely,
        gives="the pin shears, as it is meant to",
        source="own-derivation; spread common practice, no source",
        part="shear_pin",
        low=found.low,
        high=found.high,
    )


def overload(reader: Reader, done: Mapping[str, Findings], ratio: RatioData) -> Found:
    """The slip clutch: its setting, or springs, linings and plates."""
    try:
        found = slip_clutch(reader)
    except Unknown as unknown:
        yield Left("slip clutch", "slip_clutch", "what it slips at is not known", unknown.keys)
        return
    if found is None:
        return
    if found.shaft not in (ENGINE, *shafts_on_the_way(ratio, reader)):
        yield Left("slip clutch", "slip_clutch", "its shaft does not lie on the way to the work", counts=False)
        return
    yield Link(
        "slip clutch",
        "slip clutch",
        found.shaft,
        likely=found.likely,
        gives="the slip clutch slips and heats, as it is meant to",
        source=found.source,
        part="slip_clutch",
        low=found.low,
        high=found.high,
    )


__all__ = ["on_the_way", "overload", "pin", "shafts_on_the_way", "telescoping"]

"""What to photograph: a slot for each view that another builder asks for, and where it stands in the record."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from jackshaft.buildfile import Build


class Slot(NamedTuple):
    """One view: its name, which the file's name begins with, its chapter in the record, and how to take it."""

    name: str
    chapter: str
    prompt: str
    #: Whether a build has what the view shows.
    there: Callable[[Build], bool] = lambda build: True


def _stages(build: Build, kind: str) -> bool:
    return any(build.get(f"stage[{name}].kind") == kind for name in build.names("stage"))


def _belts(build: Build) -> bool:
    return any(build.names(f"stage[{name}].pulley") for name in build.names("stage")) or _stages(build, "belt")


def _electric(build: Build) -> bool:
    return build.get("clutch.kind") == "electromagnetic"


#: In the order of the record; the last takes what no other claims. Common practice, no source.
SLOTS = (
    Slot(
        "belt routing",
        "layout",
        "Before you take anything apart, or as soon as the belt is on: square on, every pulley and idler in view, "
        "guard off, engine off and its lead off.",
        _belts,
    ),
    Slot("belt marking", "layout", "What is printed on the back of the belt, with a rule beside it.", _belts),
    Slot(
        "groove wear",
        "grip",
        "Each groove with a straightedge over the rim and light behind it, so that hollow flanks show.",
        _belts,
    ),
    Slot(
        "chain",
        "roller-chain",
        "Sixteen pitches along a rule, and the teeth of both sprockets from the side.",
        lambda build: _stages(build, "roller chain"),
    ),
    Slot(
        "wiring",
        "electric",
        "Fuse holder, switch, plug and ground, each near enough to read its marking.",
        lambda build: build.has("circuit"),
    ),
    Slot(
        "clutch plate",
        "clutch",
        "What is stamped on the clutch: part number, volts, torque. Wipe it and light it from the side.",
        lambda build: build.has("clutch"),
    ),
    Slot(
        "gap with feeler",
        "clutch",
        "The feeler in the air gap, its thickness readable: three pictures, a third of a turn apart.",
        _electric,
    ),
    Slot(
        "bearing marking",
        "bearings",
        "What is stamped on the ring or the seal, and which side faced out.",
        lambda build: bool(build.names("bearing")),
    ),
    Slot(
        "shaft",
        "shafts",
        "Each shaft with a rule along it: steps, keyways and set screws in view.",
        lambda build: bool(build.names("shaft")),
    ),
    Slot(
        "joints",
        "driveline",
        "Both joints from the side, so that one sees whether the inner yokes stand in line.",
        lambda build: build.has("driveline"),
    ),
    Slot("guards on", "guards", "All guards fitted, from each side that somebody can walk up to."),
    Slot("engine plate", "general", "The engine's plate: model, power, speed. Cover what is yours alone."),
    Slot("whole machine", "general", "The whole machine from two corners, ready to work."),
    Slot("other", "general", "Whatever else another builder would ask to see."),
)

_WORDS = {slot.name: slot for slot in SLOTS}


def slots_of(build: Build) -> tuple[Slot, ...]:
    """Return the views that a build has something to show in, in the order of the record."""
    return tuple(slot for slot in SLOTS if slot.there(build))


def slot_of(stem: str) -> tuple[Slot, str]:
    """Return the slot that a file's name begins with, and the words that follow it: its caption.

    Parameters
    ----------
    stem : str
        The file's name without its ending, such as ``gap with feeler 2, at the key``.
    """
    plain = " ".join(stem.replace("_", " ").replace("-", " ").split())
    for slot in sorted(SLOTS, key=lambda s: -len(s.name)):
        rest = plain[len(slot.name) :]
        if plain.lower().startswith(slot.name) and not rest[:1].isalpha():
            return slot, rest.strip(" ,.")
    return _WORDS["other"], plain


__all__ = ["SLOTS", "Slot", "slot_of", "slots_of"]

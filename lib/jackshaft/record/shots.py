"""The photographs of a record: each in the chapter that it shows, and what is still to be taken."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Collection
from typing import NamedTuple

from jackshaft.buildfile import Build
from jackshaft.photos import SLOTS, Slot, Taken, slots_of
from jackshaft.record.ride import PICTURE

#: Where a photograph stands that no chapter of the record claims.
GENERAL = "general"


class Shot(NamedTuple):
    """A photograph as the page shows it: what stands below it, its file's name, and the picture in base 64."""

    caption: str
    name: str
    source: str


def shots(taken: Taken, chapters: Collection[str]) -> dict[str, list[Shot]]:
    """Return the photographs by the chapters that show them, in their order."""
    found: dict[str, list[Shot]] = {}
    for photo in taken.photos:
        chapter = photo.slot.chapter if photo.slot.chapter in chapters else GENERAL
        source = PICTURE + b64encode(photo.data).decode("ascii")
        found.setdefault(chapter, []).append(Shot(photo.caption, photo.name, source))
    return found


def still_to_take(build: Build, taken: Taken) -> list[Slot]:
    """Return the views that a build has no photograph of yet."""
    there = {photo.slot for photo in taken.photos}
    return [slot for slot in slots_of(build) if slot not in there and slot is not SLOTS[-1]]


__all__ = ["GENERAL", "Shot", "shots", "still_to_take"]

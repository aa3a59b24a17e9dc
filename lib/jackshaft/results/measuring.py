"""What to measure next: what would decide most for the least trouble."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from jackshaft.buildfile import Build, NoSuchKey, describe
from jackshaft.buildfile.rules import allowed_names, reference_lists
from jackshaft.results.checks import UNDECIDED, Check
from jackshaft.results.findings import Findings, label

#: How easily a quantity is found out, against looking or asking, which is 1: common practice, no source.
EASE = {
    "length": 0.9,
    "rotation": 0.9,
    "voltage": 0.9,
    "resistance": 0.9,
    "current": 0.9,
    "time": 0.9,
    "force": 0.8,
    "mass": 0.8,
    "angle": 0.8,
    "temperature": 0.8,
    "temperature rise": 0.8,
    "power": 0.7,
    "torque": 0.6,
    "inertia": 0.5,
    "stress": 0.5,
}

#: The same for a whole list or part, of which several values must be written down.
LIST = 0.3

#: How much more a check counts without which a build is not decided.
ESSENTIAL = 3.0


@dataclass(frozen=True)
class Wanted:
    """A measurement worth taking: the key, in shop words, and the checks that it helps to decide."""

    key: str
    words: str
    unlocks: tuple[str, ...]


def wanted(
    build: Build, chapters: Mapping[str, Findings], checks: Iterable[Check], essential: Iterable[str]
) -> tuple[Wanted, ...]:
    """Return what is missing, first what decides most and is found out most easily, else in the torque's way.

    A check that wants several keys gives each of them its share. What is known, and what the machine does not have,
    is not asked for.
    """
    essential, worth = set(essential), {}
    unlocks: dict[str, list[str]] = {}
    for check in checks:
        if check.verdict == UNDECIDED:
            keys = asked_for(build, check.missing)
            for key in keys:
                unlocks.setdefault(key, []).append(check.id)
                weight = ESSENTIAL if check.id.partition("[")[0] in essential else 1.0
                worth[key] = worth.get(key, 0.0) + weight / len(keys)
    for chapter in chapters.values():
        for key in asked_for(build, chapter.missing):
            unlocks.setdefault(key, [])
    there = [key for key in unlocks if not build.is_none(key) and build.get(key) is None]
    there.sort(key=lambda key: -worth.get(key, 0.0) * _ease(key))
    return tuple(Wanted(key, label(key), tuple(unlocks[key])) for key in there)


def asked_for(build: Build, keys: Iterable[str]) -> tuple[str, ...]:
    """Return keys as they are asked for, each once: before the name of a part that is not there yet, the list."""
    return tuple(dict.fromkeys(at for key in keys for at in _first(build, key)))


def _first(build: Build, key: str) -> tuple[str, ...]:
    """Return what must be written down before a key can be: the lists that it names a part of, else the key itself."""
    try:
        refers = describe(key)[1].refers
    except (KeyError, NoSuchKey):
        return (key,)
    return (key,) if not refers or allowed_names(build, key, refers) else reference_lists(key, refers)


def _ease(key: str) -> float:
    try:
        return EASE.get(describe(key)[1].kind, 1.0)
    except (KeyError, NoSuchKey):
        return LIST


__all__ = ["EASE", "Wanted", "asked_for", "wanted"]

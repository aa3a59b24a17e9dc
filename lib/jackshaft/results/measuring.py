"""What to measure next: what would decide most for the least trouble."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from jackshaft.buildfile import Build, NoSuchKey, describe, describe_whole
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

#: So many of the checks that a measurement helps to decide are named.
FEW = 3

#: How much more a check counts without which a build is not decided.
ESSENTIAL = 3.0


#: Ends of keys that say which value another key holds: ``power_at`` the shaft of ``power``, ``length_is`` the kind of
#: ``length``. Nobody can say it before that other value is there.
SAYS_WHICH = ("_at", "_is")

#: The forms of the start page that a value or a part is entered in.
WRITE_FORM, PART_FORM = "Write a measurement down", "Add a part"


@dataclass(frozen=True)
class Wanted:
    """A measurement worth taking: the key, in shop words, and the checks (ids and names) that it helps to decide."""

    key: str
    words: str
    unlocks: tuple[str, ...]
    names: tuple[str, ...] = ()

    @property
    def form(self) -> str:
        """The form of the start page that it is entered in."""
        return WRITE_FORM if describe_whole(self.key) is None else PART_FORM

    @property
    def decides(self) -> str:
        """What it helps to decide, in words; empty where no check waits for it."""
        names, more = dict.fromkeys(self.names), len(dict.fromkeys(self.names)) - FEW
        return ", ".join(list(names)[:FEW]) + (f" and {more} more" if more > 0 else "")


def wanted(
    build: Build, chapters: Mapping[str, Findings], checks: Iterable[Check], essential: Iterable[str]
) -> tuple[Wanted, ...]:
    """Return what is missing, first what decides most and is found out most easily, else in the torque's way.

    A check that wants several keys gives each of them its share. What is known, and what the machine does not have,
    is not asked for.
    """
    essential, worth = set(essential), {}
    unlocks: dict[str, dict[str, str]] = {}
    for check in checks:
        if check.verdict == UNDECIDED:
            keys = asked_for(build, check.missing)
            for key in keys:
                unlocks.setdefault(key, {})[check.id] = check.name
                weight = ESSENTIAL if check.id.partition("[")[0] in essential else 1.0
                worth[key] = worth.get(key, 0.0) + weight / len(keys)
    for chapter in chapters.values():
        for key in asked_for(build, chapter.missing):
            unlocks.setdefault(key, {})
    there = [key for key in unlocks if not build.is_none(key) and build.get(key) is None]
    there.sort(key=lambda key: -worth.get(key, 0.0) * _ease(key))
    there = _after_what_they_are_about(there)
    return tuple(Wanted(key, label(key), tuple(unlocks[key]), tuple(unlocks[key].values())) for key in there)


def _after_what_they_are_about(keys: list[str]) -> list[str]:
    """Return keys in their order, but one that says which value another holds right after that other."""
    subject = {key: key[: -len(end)] for key in keys for end in SAYS_WHICH if key.endswith(end)}
    late = {key: about for key, about in subject.items() if about in keys}
    ordered = []
    for key in keys:
        if key not in late:
            ordered += [key, *(other for other in late if late[other] == key)]
    return ordered


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


__all__ = ["EASE", "PART_FORM", "WRITE_FORM", "Wanted", "asked_for", "wanted"]

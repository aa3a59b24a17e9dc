"""A build, held as one flat immutable table of keys.

Keys are the dotted names of the file with list items addressed by name:
``stage[crank belts].pulley[E].x``. A key that is absent is not known yet; a key or chapter that is
``NONE`` does not exist in the machine.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from pathlib import Path
from types import MappingProxyType

from jackshaft import tables
from jackshaft.buildfile.problems import Answer, BuildProblems, Problem
from jackshaft.buildfile.schema import ITEM, TOP, Field, Section, chapter
from jackshaft.units import Measure

#: A name in brackets may hold one pair of brackets itself: acceptances are named after checks.
_STEP = re.compile(r"([a-z_]+)(?:\[((?:[^\[\]]|\[[^\[\]]*\])*)\])?(?:\.|$)")


class _None:
    """Said to be ``none``: the part does not exist, which is not the same as not known."""

    def __repr__(self) -> str:
        return "none"

    def __bool__(self) -> bool:
        return False


NONE = _None()

Value = Measure | str | int | bool | _None


class NoSuchKey(KeyError):
    """A key that the schema does not have: a fault of the caller, not of the build file."""


def split(key: str) -> tuple[tuple[str, str | None], ...]:
    """Split ``stage[a].pulley[E].x`` into ``(("stage", "a"), ("pulley", "E"), ("x", None))``."""
    steps, at = [], 0
    while at < len(key):
        found = _STEP.match(key, at)
        if not found or found.end() == at:
            raise NoSuchKey(key)
        steps.append((found[1], found[2]))
        at = found.end()
    if not steps:
        raise NoSuchKey(key)
    return tuple(steps)


def part_of(at: str) -> tuple[str, str]:
    """Return the list that a part stands in and its name: ``("stage[a].pulley", "E")`` of ``stage[a].pulley[E]``."""
    # a name may hold brackets itself, as the names of accepted checks do
    name = split(at)[-1][1]
    return at[: -len(name) - 2], name


def below(key: str, at: str) -> bool:
    """Tell whether a key lies inside a chapter, a list or a part."""
    return key.startswith((at + ".", at + "["))


def at_or_below(key: str, at: str) -> bool:
    """Tell whether a key names a chapter, a list or a part, or lies inside it."""
    return key == at or below(key, at)


@lru_cache(maxsize=8192)
def _places_of(key: str) -> tuple[str, ...]:
    """Return a key and every text before a point or an opening bracket of it: what it is at or below."""
    return (key, *(key[:i] for i, letter in enumerate(key) if letter in ".["))


@lru_cache(maxsize=64)
def _all_places(keys: tuple[str, ...]) -> frozenset[str]:
    """Return what any of the keys is at or below: copies of a build, with other values, share it."""
    return frozenset(place for key in keys for place in _places_of(key))


def _sections(steps: Sequence[tuple[str, str | None]]) -> list[Section | None]:
    """Return the section that each step leads to; None from the first that leads nowhere."""
    found: list[Section | None] = []
    for name, _ in steps:
        found.append((found[-1].part(name) if found[-1] else None) if found else chapter(name))
    return found


@lru_cache(maxsize=4096)
def describe(key: str) -> tuple[Section, Field]:
    """Return the section and the field that ``key`` names.

    Raises
    ------
    NoSuchKey
        If the schema has no such key.
    """
    *way, (last, _) = split(key)
    section = _sections(way)[-1] if way else TOP
    field = section.field(last) if section else None
    if field is None:
        raise NoSuchKey(key)
    return section, field


def describe_whole(key: str) -> Section | None:
    """Return the chapter or list of parts that ``key`` names as a whole, such as ``shear_pin`` or ``bearing``, or None.

    Raises
    ------
    NoSuchKey
        If the key cannot be read.
    """
    *way, (_, last_item) = steps = split(key)
    *above, section = _sections(steps)
    named = all(s is not None and s.many == (item is not None) for s, (_, item) in zip(above, way, strict=True))
    return section if named and last_item is None else None


def describe_list(key: str) -> Section | None:
    """Return the list of parts that ``key`` names as a whole, such as ``stage[a].pulley``, or None.

    Raises
    ------
    NoSuchKey
        If the key cannot be read.
    """
    section = describe_whole(key)
    return section if section and section.many else None


def said(value: Value | None) -> str:
    """Return a value of a build in words: as it was typed, with how it is known."""
    if value is None:
        return "not known"
    if value is NONE:
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Measure):
        return value.text + (f" ({value.known})" if value.known else "")
    return f"'{value}'" if isinstance(value, str) else str(value)


@dataclass(frozen=True)
class Build:
    """What the builder decided or measured; every value may be missing.

    ``values`` maps keys to values, ``lists`` maps a list's key to the names of its items in file
    order, ``file`` is the name shown in messages, ``path`` the file it was read from, ``digest``
    the checksum of the bytes that were read. ``problems`` is what is wrong with the file, where it was
    opened all the same; what is wrong is left out of ``values`` then.
    """

    values: Mapping[str, Value]
    lists: Mapping[str, tuple[str, ...]]
    file: str
    path: Path | None = None
    digest: str = ""
    text: str = field(default="", repr=False)
    problems: tuple[Problem, ...] = ()

    def __post_init__(self):
        object.__setattr__(self, "values", MappingProxyType(dict(self.values)))
        object.__setattr__(self, "lists", MappingProxyType(dict(self.lists)))

    @property
    def name(self) -> str:
        """The build's name."""
        return str(self.values["name"])

    @cached_property
    def system(self) -> str:
        """``inch`` or ``metric``; inch when the file does not say."""
        return str(self.values.get("shown_in", "inch"))

    @property
    def instead_of(self) -> str | None:
        """The file that was asked for where this build was opened in its place, else None."""
        return next((p.file for p in self.problems if p.file != self.file), None)

    @property
    def slug(self) -> str:
        """The file's stem, used to name what is written for this build."""
        return Path(self.file).stem

    def get(self, key: str) -> Value | None:
        """Return the value at ``key``; None when it is not known, also when it is none."""
        value = self.values.get(key)
        return None if value is NONE else value

    def is_none(self, key: str) -> bool:
        """Tell whether the chapter, list or field at ``key`` is said not to exist."""
        steps = key.split(".")
        return any(self.values.get(".".join(steps[: n + 1])) is NONE for n in range(len(steps)))

    def has(self, key: str) -> bool:
        """Tell whether anything is known below ``key`` (a chapter, an item or a field)."""
        if self.values.get(key) is NONE:
            return False
        return bool(self.lists.get(key)) or key in self._known_places

    @cached_property
    def _known_places(self) -> frozenset[str]:
        return _all_places(tuple(self.values))

    def names(self, key: str) -> tuple[str, ...]:
        """Return the names of the items of the list at ``key``, in file order."""
        return self.lists.get(key, ())

    def measure(self, key: str) -> Measure | None:
        """Return the quantity at ``key``, or None where there is none."""
        value = self.values.get(key)
        return value if isinstance(value, Measure) else None

    def problem(self, key: str, found: str, wanted: str) -> Problem:
        """Return one thing that is wrong with the build's file."""
        return Problem(self.file, key, found, wanted)

    def refusal(self, key: str, found: str, wanted: str) -> BuildProblems:
        """Return the error of one thing that is wrong with the build's file."""
        return BuildProblems([self.problem(key, found, wanted)])

    def places(self, path: str) -> list[str]:
        """Return every part that a path of lists leads to: ``shaft[NAME].step[NAME]`` to each step of each shaft."""
        *lists, tail = path.split(ITEM)
        found = [""]
        for step in lists:
            found = [f"{at}{step}[{name}]" for at in found for name in self.names(at + step)]
        return [at + tail for at in found]

    def keys(self) -> Iterator[str]:
        """Iterate over the keys that are known, in file order."""
        return iter(self.values)

    def with_values(self, changes: Mapping[str, str | Sequence[str]]) -> Build:
        """Return a build with some values changed, checked like the file itself.

        Parameters
        ----------
        changes : mapping of key to text
            Shop text as it would stand in the file. The key of a whole list (``stage[a].pulley``) takes
            its names in their order: one that is new is added, one that is left out is removed. The key of a
            whole chapter or list takes ``none``, which removes what is in it, or an empty text: not known.

        Raises
        ------
        BuildProblems
            If a text cannot be read or contradicts the rest of the build.
        NoSuchKey
            If the schema has no such key.
        """
        from jackshaft.buildfile.checking import changed_values

        with tables.held():
            values, lists = changed_values(self, changes)
        return replace(self, values=values, lists=lists)

    def save_values(
        self,
        changes: Mapping[str, str | Sequence[str]],
        *,
        approve: Callable[[Build], object] | None = None,
        settle: Mapping[str, str | Answer] | None = None,
    ) -> Build:
        """Keep changed values in the build's file; see :func:`jackshaft.buildfile.saving.save_values`."""
        from jackshaft.buildfile.saving import save_values

        return save_values(self, changes, approve=approve, settle=settle)

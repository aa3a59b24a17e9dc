"""How a chapter reads a build: every key that is asked for is noted, so that a change can tell what it makes stale."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from functools import cached_property, lru_cache, wraps
from types import MappingProxyType
from typing import TypeVar

from jackshaft.buildfile import Build, NoSuchKey, describe, describe_list, split
from jackshaft.buildfile.schema import ITEM, walk
from jackshaft.results.bands import banded
from jackshaft.results.values import TAPE, Number, Value
from jackshaft.units import Measure, both, show

T = TypeVar("T")


@lru_cache(maxsize=8192)
def _check_key(key: str) -> None:
    """Refuse a key that the schema does not have: a slip in the code is no unknown value."""
    describe(key)


#: Every chapter, list and key of the schema, without the names of parts.
PLACES = {
    f"{at}.{name}".strip(".")
    for path, section in walk()
    for at in [path.replace(ITEM, "")]
    for name in ("", *section.names)
}


#: What is taken off a reading wherever it is used: a meter shows its leads too. A plate has no leads on it.
TAKEN_OFF = {"clutch.coil_resistance": "clutch.lead_resistance"}


@lru_cache(maxsize=1024)
def _check_place(key: str) -> None:
    """Refuse what is no chapter, list, part or key of the schema."""
    at = ".".join(name for name, _ in split(key))
    if at not in PLACES:
        raise NoSuchKey(key)


class Unknown(Exception):
    """Inputs that are not known yet; ``keys`` names them."""

    def __init__(self, *keys: str):
        super().__init__(", ".join(keys))
        self.keys = keys


def read_once(function: Callable[..., T]) -> Callable[..., T]:
    """Wrap a function whose first argument is a reader: it is worked out once for a reader, what else it takes alike.

    What it gives must not be changed by those who take it. Whoever notes keys notes those that it asked for, each time.
    """

    @wraps(function)
    def found(reader: Reader, *given, **more) -> T:
        return reader.once(function, given, more)

    return found


class Reader:
    """Reads a build and notes every key that was looked at, so that a change can tell what it spoils."""

    def __init__(self, build: Build, supposed: Mapping[str, Measure] = MappingProxyType({})):
        self._build = build
        self._supposed = supposed
        self.read: set[str] = set()
        self.missing: list[str] = []
        self._noting: list[set[str]] = []
        self._got: dict[str, object] = {}
        self._found: dict[tuple, tuple] = {}

    def supposing(self, values: Mapping[str, Measure]) -> Reader:
        """Return a reader of the same build that takes values for keys that the build does not say."""
        return Reader(self._build, values)

    @contextmanager
    def noting(self) -> Iterator[set[str]]:
        """Give the set of keys that are asked for while the block lasts."""
        keys: set[str] = set()
        self._noting.append(keys)
        try:
            yield keys
        finally:
            self._noting.pop()

    def once(self, function: Callable[..., T], given: tuple, more: Mapping[str, object]) -> T:
        """Return what a function of this reader gives; see :func:`read_once`."""
        # other objects than text are held beside what was found, so that no other one can take their place
        asked = function, *(g if isinstance(g, str) else id(g) for g in (*given, *more, *more.values()))
        if asked not in self._found:
            with self.noting() as keys:
                self._found[asked] = function(self, *given, **more), keys, (given, more)
        found, keys, _ = self._found[asked]
        for others in self._noting:
            others |= keys
        return found

    def suspects(self, keys: Iterable[str], words: str) -> tuple[str, ...]:
        """Return those of the keys that a refusal may be about, in the order of the file.

        They are the ones whose value the refusal's words quote, or else all that hold a quantity or a number.
        """
        keys = set(keys)
        there = {k: v for k, v in self._build.values.items() if k in keys}
        quoted = tuple(k for k, v in there.items() if isinstance(v, str) and f"'{v}'" in words)
        return quoted or tuple(k for k, v in there.items() if isinstance(v, Measure | int | float))

    @cached_property
    def system(self) -> str:
        """``inch`` or ``metric``."""
        self.read.add("shown_in")
        return self._build.system

    def get(self, key: str):
        """Return the value at ``key`` or None; a missing one is not complained about.

        A guess that states no allowance has that of :mod:`jackshaft.results.bands`.

        Raises
        ------
        NoSuchKey
            If the schema has no such key; this holds for every method that takes one.
        """
        for keys in self._noting:
            keys.add(key)
        if key in self._got:
            return self._got[key]
        _check_key(key)
        self.read.add(key)
        value = banded(self._supposed.get(key, self._build.get(key)))
        less = TAKEN_OFF.get(key)
        if less is not None and isinstance(value, Measure) and (value.known or "measured").startswith("measured"):
            # not held: whoever notes what is asked for must note what is taken off too
            return replace(value, si=value.si - self.si(less, 0.0))
        self._got[key] = value
        return value

    def said(self, key: str) -> object:
        """Return the value at ``key`` as the build says it, without what is usual where it says nothing."""
        self.get(key)
        return self._supposed.get(key, self._build.get(key))

    def si(self, key: str, default: float | None = None) -> float | None:
        """Return the SI value of the quantity at ``key``, or ``default``."""
        value = self.get(key)
        return value.si if isinstance(value, Measure) else default

    def ends(self, key: str) -> tuple[float, float] | None:
        """Return the least and the most, SI, that the quantity at ``key`` may be by its allowance; None if not known.

        An allowance as large as the quantity leaves nought as the least of what cannot be negative.
        """
        value = self.get(key)
        if not isinstance(value, Measure):
            return None
        off = value.plus_minus or 0.0
        return (max(value.si - off, 0.0) if value.si >= 0.0 else value.si - off), value.si + off

    def require(self, *keys: str):
        """Return the values at the keys (one value for one key).

        Raises
        ------
        Unknown
            Naming every key of these that is not known.
        """
        values = [self.get(k) for k in keys]
        missing = [k for k, v in zip(keys, values, strict=True) if v is None]
        if missing:
            self.note_missing(*missing)
            raise Unknown(*missing)
        return values[0] if len(values) == 1 else tuple(values)

    def require_si(self, *keys: str):
        """Like :meth:`require`, as SI numbers."""
        values = self.require(*keys)
        return values.si if len(keys) == 1 else tuple(v.si for v in values)

    def note_missing(self, *keys: str) -> None:
        """Note keys that would let more be computed."""
        for key in keys:
            _check_place(key)
            if key not in self.missing:
                self.missing.append(key)

    def unknown(self, *keys: str) -> tuple[str, ...]:
        """Return those of the keys that are not known; a list that is named wants one item more."""
        return tuple(k for k in dict.fromkeys(keys) if describe_list(k) is not None or self.get(k) is None)

    def unplaced(self, listed: str, *ends: str) -> tuple[str, ...]:
        """Return what would tie an item of a list to a part: the ends not written down, else the list, for one more.

        ``unplaced("bearing", "shaft")`` is the ``shaft`` of every bearing that has none yet, or the list itself where
        each bearing says its shaft, so that the one looked for is not in the build file at all.
        """
        keys = (f"{listed}[{name}].{end}" for name in self.names(listed) for end in ends)
        return tuple(k for k in keys if self.get(k) is None) or (listed,)

    def is_none(self, key: str) -> bool:
        """Tell whether the part at ``key`` is said not to exist."""
        _check_place(key)
        steps = key.split(".")
        self.read |= {".".join(steps[: n + 1]) for n in range(len(steps))}
        return self._build.is_none(key)

    def has(self, key: str) -> bool:
        """Tell whether anything is known below ``key``."""
        _check_place(key)
        self.read |= {key, key + ".*"}
        return self._build.has(key)

    def names(self, key: str) -> tuple[str, ...]:
        """Return the names of a list's items."""
        _check_place(key)
        self.read.add(key)
        return self._build.names(key)

    def number(self, si: float, kind: str, words: str = "{}", **how) -> Number:
        """Return an SI value as a number to be shown in the build's units; see :class:`Number` for ``how``."""
        return Number(float(si), kind, self.system, words=words, **how)

    def cell(self, si: float | None, kind: str, words: str = "{}", **how) -> Value:
        """Return a number as :meth:`number` does, or nothing where it is not known."""
        return "" if si is None else self.number(si, kind, words, **how)

    def show(self, si: float, kind: str, **how) -> str:
        """Show an SI value in the build's units, inside a sentence."""
        return show(si, kind, self.system, **how)

    def both(self, si: float, kind: str) -> str:
        """Show an SI value in the build's units with the other system behind it (inch builds only)."""
        return both(si, kind, self.system)

    def tape(self, si: float) -> str:
        """Show a length as a tape reads it: inch to the nearest 1/64 with the decimal, or whole millimetres."""
        return self.number(si, "length", form=TAPE).shown

    def how(self, key: str) -> str:
        """Return how the value at ``key`` is known, for a note."""
        value = self.get(key)
        return (value.known or "") if isinstance(value, Measure) else ""

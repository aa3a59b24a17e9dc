"""How a build is worked up: a looker that notes what was read, chapters, and results in order."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace

from numpy.linalg import LinAlgError

from jackshaft.build import Build, describe, describe_list, split
from jackshaft.checks import UNDECIDED, Check, Fact, Sheet, undecided
from jackshaft.units import Measure, OutOfRange, both, fraction, show

COMPUTED, PARTLY, UNKNOWN, NOTHING, LATER, REFUSED, FAULTY, WAITING = (
    "computed",
    "partly computed",
    "not known yet",
    "none",
    "not computed yet",
    "cannot be worked out",
    "a fault of the program",
    "waits for another chapter",
)

#: The value of a check whose calculation refused its inputs.
CANNOT = "cannot be worked out"

#: What a calculation raises where its inputs are beyond it; anything else is a fault of the program.
REFUSALS = (OutOfRange, ArithmeticError, LinAlgError)


class Unknown(Exception):
    """Inputs that are not known yet; ``keys`` names them."""

    def __init__(self, *keys: str):
        super().__init__(", ".join(keys))
        self.keys = keys


class Looker:
    """Reads a build and notes every key that was looked at, so that a change can tell what it spoils."""

    def __init__(self, build: Build):
        self._build = build
        self.read: set[str] = set()
        self.missing: list[str] = []
        self._noting: list[set[str]] = []

    @contextmanager
    def noting(self) -> Iterator[set[str]]:
        """Give the set of keys that are asked for while the block lasts."""
        keys: set[str] = set()
        self._noting.append(keys)
        try:
            yield keys
        finally:
            self._noting.remove(keys)

    def suspects(self, keys: Iterable[str], words: str) -> tuple[str, ...]:
        """Return those of the keys that a refusal may be about, in the order of the file.

        They are the ones whose value the refusal's words quote, or else all that hold a quantity or a number.
        """
        keys = set(keys)
        there = {k: v for k, v in self._build.values.items() if k in keys}
        quoted = tuple(k for k, v in there.items() if isinstance(v, str) and f"'{v}'" in words)
        return quoted or tuple(k for k, v in there.items() if isinstance(v, Measure | int | float))

    @property
    def system(self) -> str:
        """``inch`` or ``metric``."""
        self.read.add("shown_in")
        return self._build.system

    def get(self, key: str):
        """Return the value at ``key`` or None; a missing one is not complained about."""
        self.read.add(key)
        for keys in self._noting:
            keys.add(key)
        return self._build.get(key)

    def si(self, key: str, default: float | None = None) -> float | None:
        """Return the SI value of the quantity at ``key``, or ``default``."""
        value = self.get(key)
        return value.si if isinstance(value, Measure) else default

    def need(self, *keys: str):
        """Return the values at the keys (one value for one key).

        Raises
        ------
        Unknown
            Naming every key of these that is not known.
        """
        values = [self.get(k) for k in keys]
        missing = [k for k, v in zip(keys, values, strict=True) if v is None]
        if missing:
            self.lack(*missing)
            raise Unknown(*missing)
        return values[0] if len(values) == 1 else tuple(values)

    def need_si(self, *keys: str):
        """Like :meth:`need`, as SI numbers."""
        values = self.need(*keys)
        return values.si if len(keys) == 1 else tuple(v.si for v in values)

    def lack(self, *keys: str) -> None:
        """Note keys that would let more be computed."""
        for key in keys:
            if key not in self.missing:
                self.missing.append(key)

    def is_none(self, key: str) -> bool:
        """Tell whether the part at ``key`` is said not to exist."""
        steps = key.split(".")
        self.read |= {".".join(steps[: n + 1]) for n in range(len(steps))}
        return self._build.is_none(key)

    def has(self, key: str) -> bool:
        """Tell whether anything is known below ``key``."""
        self.read |= {key, key + ".*"}
        return self._build.has(key)

    def names(self, key: str) -> tuple[str, ...]:
        """Return the names of a list's items."""
        self.read.add(key)
        return self._build.names(key)

    def show(self, si: float, kind: str, **how) -> str:
        """Show an SI value in the build's units."""
        return show(si, kind, self.system, **how)

    def both(self, si: float, kind: str) -> str:
        """Show an SI value in the build's units with the other system behind it (inch builds only)."""
        return both(si, kind, self.system)

    def tape(self, si: float) -> str:
        """Show a length as a tape reads it: inch to the nearest 1/64 with the decimal, or whole millimetres."""
        if self.system == "metric":
            return f"{si * 1e3:.0f} mm"
        return f"{fraction(si)} ({si / 0.0254:.2f} in)"

    def how(self, key: str) -> str:
        """Return how the value at ``key`` is known, for a note."""
        value = self.get(key)
        return (value.known or "") if isinstance(value, Measure) else ""


@dataclass(frozen=True)
class Chapter:
    """What one subject found from a build.

    ``data`` holds the SI results that figures draw from; ``inputs`` every key that was read;
    ``missing`` the keys that would let more be computed; ``words`` says why a chapter is empty.
    """

    name: str
    title: str
    state: str
    facts: tuple[Fact, ...] = ()
    checks: tuple[Check, ...] = ()
    sheets: tuple[Sheet, ...] = ()
    data: object = None
    inputs: frozenset[str] = frozenset()
    missing: tuple[str, ...] = ()
    words: str = ""
    cautions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    fault: Fault | None = None


@dataclass(frozen=True)
class Fault:
    """Where the program itself failed: a short code that stays the same from run to run, and the trace."""

    code: str
    trace: str


@dataclass
class Draft:
    """A chapter while it is being worked up."""

    name: str
    title: str
    facts: list[Fact] = field(default_factory=list)
    checks: list[Check] = field(default_factory=list)
    sheets: list[Sheet] = field(default_factory=list)
    cautions: list[str] = field(default_factory=list)
    sources: list[str] = field(default_factory=list)
    data: object = None

    def fact(self, label: str, value: str, note: str = "") -> None:
        """Add a fact."""
        self.facts.append(Fact(label, value, note))

    def check(self, *args, **kw) -> None:
        """Add a check."""
        self.checks.append(Check(*args, **kw))

    @contextmanager
    def attempt(self, look: Looker, id: str, name: str) -> Iterator[None]:
        """Work up one part; the rest of the chapter goes on where this one cannot be worked out.

        What a formula refuses, and what is not known, becomes the undecided check ``id``, which names the keys.
        """
        with look.noting() as keys:
            try:
                yield
                return
            except Unknown as unknown:
                check = undecided(id, name, unknown.keys, "Something it needs is not known yet.")
            except REFUSALS as why:
                check = refused(id, name, look.suspects(keys, str(why)), why)
        if any(c.id == id for c in self.checks):
            # it failed half way: what was judged before stands under the name itself
            what, bracket, part = id.partition("[")
            check = replace(check, id=f"{what}-rest{bracket}{part}")
        self.checks.append(check)

    def cite(self, *keys: str) -> None:
        """Note the sources that the chapter rests on."""
        self.sources += [k for k in keys if k not in self.sources]

    def done(self, look: Looker, state: str | None = None, words: str = "", uses: Iterable[Chapter] = ()) -> Chapter:
        """Close the chapter; ``uses`` are the chapters whose results it took."""
        inputs = set(look.read)
        for chapter in uses:
            inputs |= chapter.inputs
        if state is None:
            empty = not (self.facts or self.data is not None)
            state = UNKNOWN if empty else PARTLY if look.missing else COMPUTED
        return Chapter(
            self.name,
            self.title,
            state,
            tuple(self.facts),
            tuple(self.checks),
            tuple(self.sheets),
            self.data,
            frozenset(inputs),
            tuple(look.missing),
            words,
            tuple(self.cautions),
            tuple(self.sources),
        )


Worker = Callable[[Looker, Mapping[str, Chapter]], Chapter]


def refused(id: str, name: str, keys: Sequence[str], why: Exception) -> Check:
    """Return the undecided check of a calculation that refused its inputs; ``keys`` are those that it took."""
    if isinstance(why, OutOfRange):
        words = str(why)
        reason = f"This cannot be worked out: {words[:1].lower()}{words[1:].rstrip('.')}."
    else:
        reason = "This cannot be worked out: a value is far outside what such a machine has."
    reason += " Look at the values that it takes." if keys else ""
    return Check(id, name, CANNOT, "", UNDECIDED, reason, "", "", tuple(keys))


def label(key: str) -> str:
    """Return a key in shop words: "working speed under load (engine)"."""
    try:
        part = describe_list(key)
        meaning = describe(key)[1].help if part is None else f"{part.title.lower()}: {part.help}"
    except KeyError:
        meaning = key
    places = []
    for name, item in split(key)[:-1]:
        places.append(f"{name.replace('_', ' ')} '{item}'" if item else name.replace("_", " "))
    return meaning.removesuffix("; required") + (f" ({', '.join(places)})" if places else "")


def out_of_date(
    before: Build, after: Build, chapters: Sequence[Chapter]
) -> tuple[tuple[Chapter, tuple[str, ...]], ...]:
    """Return the chapters whose inputs differ between two builds, each with the keys that changed."""
    keys = set(before.values) | set(after.values)
    changed = {k for k in keys if _plain(before.values.get(k)) != _plain(after.values.get(k))}
    lists = set(before.lists) | set(after.lists)
    changed |= {k for k in lists if before.lists.get(k) != after.lists.get(k)}
    spoiled = []
    for chapter in chapters:
        below = tuple(k[:-1] for k in chapter.inputs if k.endswith(".*"))
        mine = tuple(sorted(k for k in changed if k in chapter.inputs or k.startswith(below)))
        if mine:
            spoiled.append((chapter, mine))
    return tuple(spoiled)


def _plain(value):
    """What of a value a chapter may show or reckon with."""
    if not isinstance(value, Measure):
        return value
    return value.si, value.plus_minus, value.known

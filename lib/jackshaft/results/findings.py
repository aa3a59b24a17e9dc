"""What a chapter found from a build, while it is being found and when it is done."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Protocol

from numpy.linalg import LinAlgError

from jackshaft.buildfile import Build, describe, describe_list, split
from jackshaft.results.checks import GO, UNDECIDED, Check, Fact, Table, undecided
from jackshaft.results.reader import Reader, Unknown
from jackshaft.results.values import Value
from jackshaft.units import Measure, OutOfRange

COMPUTED, PARTLY, UNKNOWN, NOTHING, LATER, REFUSED, FAULTY, WAITING = (
    "worked out",
    "worked out in part",
    "not known yet",
    "none",
    "not worked out yet",
    "cannot be worked out",
    "a fault of the program",
    "waits for another chapter",
)

#: The value of a check whose calculation refused its inputs.
CANNOT = "cannot be worked out"

#: How the reason of a check ends that waits for another one which cannot be worked out.
FOLLOWS = "mend that first."

#: How a quantity of a kind is found out; what is not here is read off the part or decided.
FOUND_BY = {
    "length": "measure it with a tape or calipers",
    "rotation": "measure it with a tachometer",
    "force": "measure it with a spring scale, or decide it",
    "power": "measure it, or take it from the maker's data",
}

#: What a calculation raises where its inputs are beyond it; anything else is a fault of the program.
REFUSALS = (OutOfRange, ArithmeticError, LinAlgError)


@dataclass(frozen=True)
class Findings:
    """What one subject found from a build.

    ``data`` holds the SI results that figures draw from; ``inputs`` every key that was read;
    ``missing`` the keys that would let more be computed; ``words`` says why a chapter is empty.
    """

    name: str
    title: str
    state: str
    facts: tuple[Fact, ...] = ()
    checks: tuple[Check, ...] = ()
    tables: tuple[Table, ...] = ()
    data: object = None
    inputs: frozenset[str] = frozenset()
    missing: tuple[str, ...] = ()
    words: str = ""
    cautions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    fault: Fault | None = None

    @cached_property
    def below(self) -> tuple[str, ...]:
        """How the keys begin of whose kind any was asked for."""
        return tuple(k[:-1] for k in self.inputs if k.endswith(".*"))


@dataclass(frozen=True)
class Fault:
    """Where the program itself failed: a short code that stays the same from run to run, and the trace."""

    code: str
    trace: str


class Declared(Protocol):
    """What findings take from the declaration of their chapter."""

    name: str
    title: str


@dataclass
class Draft:
    """The findings of a chapter while it is being worked up; ``chapter`` is what declares it."""

    chapter: Declared
    facts: list[Fact] = field(default_factory=list)
    checks: list[Check] = field(default_factory=list)
    tables: list[Table] = field(default_factory=list)
    cautions: list[str] = field(default_factory=list)
    sources: list[str] = field(default_factory=list)
    data: object = None

    def fact(self, label: str, value: Value, note: str = "") -> None:
        """Add a fact."""
        self.facts.append(Fact(label, value, note))

    def check(self, *args, **kw) -> None:
        """Add a check."""
        self.checks.append(Check(*args, **kw))

    def missing(
        self, reader: Reader, id: str, name: str, keys: Sequence[str], words: str, *, limit: Value = ""
    ) -> None:
        """Note the keys that are not known and add the check that they leave undecided."""
        reader.note_missing(*keys)
        self.checks.append(undecided(id, name, keys, words, limit=limit))

    def doubt(self, reader: Reader, keys: Sequence[str], words: str, *ids: str, of: Container[str] = (GO,)) -> None:
        """Turn the go of the checks with these ids into an undecided one: what the keys would say may spoil it.

        ``of`` holds the verdicts that are turned: a caution too where what is not known may make a stop of it.
        """
        if not keys:
            return
        reader.note_missing(*keys)
        for i, check in enumerate(self.checks):
            if check.id in ids and check.verdict in of:
                known = "What is known would hold." if check.verdict == GO else f"What is known is a {check.verdict}."
                reason = f"{known} {check.reason} {words}"
                self.checks[i] = replace(check, verdict=UNDECIDED, reason=reason, remedy="", missing=tuple(keys))

    def tell(self, words: str, *ids: str) -> None:
        """Add a sentence to the reason of the checks with these ids; ``words`` begins with a space, or is empty."""
        for i, check in enumerate(self.checks):
            if check.id in ids and words:
                self.checks[i] = replace(check, reason=f"{check.reason}{words}")

    def waits(self, on: Findings, theirs: str, mine: str, words: str, skip: Container[str] = ()) -> None:
        """Add an undecided check for each part of which a chapter that this one needs could say nothing.

        Parameters
        ----------
        on : Findings
            The chapter that is needed.
        theirs : str
            The undecided checks of that chapter that tell so, without their brackets.
        mine : str
            The id of the check that is added, the same.
        words : str
            What follows the name of the part in the name of the check.
        skip : container of str, optional
            Parts of which enough is known all the same.
        """
        for check in on.checks:
            what, _, part = check.id.removesuffix("]").partition("[")
            if what == theirs and check.verdict == UNDECIDED and part not in skip:
                why = f"cannot be worked out; {FOLLOWS}" if check.found == CANNOT else "is not known yet."
                reason = f"It rests on '{check.name}', which {why}"
                self.checks.append(replace(check, id=f"{mine}[{part}]", name=f"{part}: {words}", reason=reason))

    @contextmanager
    def attempt(self, reader: Reader, id: str, name: str) -> Iterator[None]:
        """Work up one part; the rest of the chapter goes on where this one cannot be worked out.

        What a formula refuses, and what is not known, becomes the undecided check ``id``, which names the keys.
        """
        with reader.noting() as keys:
            try:
                yield
                return
            except Unknown as unknown:
                check = undecided(id, name, unknown.keys, _asked(unknown.keys))
            except REFUSALS as why:
                check = refused(id, name, reader.suspects(keys, str(why)), why)
        if any(c.id == id for c in self.checks):
            # it failed half way: what was judged before stands under the name itself
            what, bracket, part = id.partition("[")
            check = replace(check, id=f"{what}-rest{bracket}{part}")
        self.checks.append(check)

    def cite(self, *keys: str) -> None:
        """Note the sources that the chapter rests on."""
        self.sources += [k for k in keys if k not in self.sources]

    def done(
        self, reader: Reader, state: str | None = None, words: str = "", uses: Iterable[Findings] = ()
    ) -> Findings:
        """Close the chapter; ``uses`` are the chapters whose results it took."""
        inputs = set(reader.read)
        for chapter in uses:
            inputs |= chapter.inputs
        if state is None:
            empty = not (self.facts or self.data is not None)
            state = UNKNOWN if empty else PARTLY if reader.missing else COMPUTED
        found = {name: tuple(getattr(self, name)) for name in ("facts", "checks", "tables", "cautions", "sources")}
        return Findings(
            self.chapter.name,
            self.chapter.title,
            state,
            data=self.data,
            inputs=frozenset(inputs),
            missing=tuple(reader.missing),
            words=words,
            **found,
        )


def refused(id: str, name: str, keys: Sequence[str], why: Exception) -> Check:
    """Return the undecided check of a calculation that refused its inputs; ``keys`` are those that it took."""
    if isinstance(why, OutOfRange):
        words = str(why)
        reason = f"This cannot be worked out: {words[:1].lower()}{words[1:].rstrip('.')}."
    else:
        reason = "This cannot be worked out: a value is far outside what such a machine has."
    reason += " Check the values that it uses." if keys else ""
    return Check(id, name, CANNOT, "", UNDECIDED, reason, "", "", tuple(keys))


def _asked(keys: Sequence[str]) -> str:
    """Return in words what is not known yet and how it is found out."""
    parts = []
    for key in keys:
        try:
            kind = describe(key)[1].kind
        except (KeyError, ValueError):
            kind = ""
        parts.append(f"{label(key, brief=True)}: {FOUND_BY.get(kind, 'read it off the part, or decide it')}")
    return f"Not known yet: {'; '.join(parts)}." if parts else "Something it needs is not known yet."


def label(key: str, *, brief: bool = False) -> str:
    """Return a key in shop words: "working speed under load (engine)"; ``brief`` leaves out what comes after a ";"."""
    try:
        part = describe_list(key)
        meaning = describe(key)[1].help if part is None else f"{part.title.lower()}: {part.help}"
    except KeyError:
        meaning = key
    meaning = meaning.split(";")[0] if brief else meaning
    places = []
    for name, item in split(key)[:-1]:
        places.append(f"{name.replace('_', ' ')} '{item}'" if item else name.replace("_", " "))
    return meaning + (f" ({', '.join(places)})" if places else "")


def out_of_date(
    before: Build, after: Build, chapters: Sequence[Findings]
) -> tuple[tuple[Findings, tuple[str, ...]], ...]:
    """Return the chapters whose inputs differ between two builds, each with the keys that changed."""
    changed = differing(before, after).keys()
    spoiled = []
    for chapter in chapters:
        mine = tuple(sorted(k for k in changed if k in chapter.inputs or k.startswith(chapter.below)))
        if mine:
            spoiled.append((chapter, mine))
    return tuple(spoiled)


def differing(before: Build, after: Build) -> dict[str, object]:
    """Return each key, of a value or of a list, that differs between two builds, with what the second has there."""
    found: dict[str, object] = {}
    for old, new in ((before.values, after.values), (before.lists, after.lists)):
        for key in old.keys() | new.keys():
            one, other = old.get(key), new.get(key)
            # most of a copy is the very same objects
            if one is not other and _plain(one) != (there := _plain(other)):
                found[key] = there
    return found


def _plain(value):
    """What of a value a chapter may show or reckon with."""
    if not isinstance(value, Measure):
        return value
    return value.si, value.plus_minus, value.known

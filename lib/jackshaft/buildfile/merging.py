"""Two sets of changes to one build made into one, key by key; what both changed is a clash that is asked about.

Three builds meet: the one that was read, the one that the file holds now, and the one that the caller
wants. A key that only one side changed takes that side. A part that one side took away and the other
changed is a clash as a whole, and so is a part of one name that both added with different contents.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from jackshaft.buildfile.checking import bad_name
from jackshaft.buildfile.disk import digest
from jackshaft.buildfile.editing import Change, is_order
from jackshaft.buildfile.model import (
    NONE,
    Build,
    Value,
    at_or_below,
    below,
    describe,
    describe_list,
    describe_whole,
    part_of,
    said,
    split,
)
from jackshaft.buildfile.orders import agreed_order
from jackshaft.buildfile.problems import Answer, Clash, KeyConflict
from jackshaft.buildfile.rawdata import raw_at
from jackshaft.buildfile.values import Refused, take
from jackshaft.units import Measure

#: So many contents of a part are said in a clash.
FEW = 5


@dataclass(frozen=True)
class Merged:
    """What is to be changed in the file as it is now, and the parts that are put back into it first."""

    changes: Mapping[str, Change]
    restored: Mapping[str, object] = field(default_factory=dict)


def merge(base: Build, now: Build, changes: Mapping[str, Change], settle: Mapping[str, str | Answer]) -> Merged:
    """Return the changes that bring ``now`` to what both sides want.

    Parameters
    ----------
    base, now : Build
        The build that was read, and the one that the file holds now.
    changes : mapping
        What the caller changes in ``base``.
    settle : mapping
        Answers to clashes, by their key.

    Raises
    ------
    KeyConflict
        With every clash that has no answer.
    NoSuchKey
        If the schema has no such key.
    """
    for key in changes:
        whole = isinstance(changes[key], str) and describe_whole(key) is not None
        if not whole and not is_order(key, changes[key]):
            describe(key)
    if now is base and not settle:
        return Merged(dict(changes))
    work = _Merge(base, now, dict(changes), settle)
    work.given_up()
    work.gone_chapters()
    work.gone_parts()
    work.added_twice()
    work.keys()
    work.orders()
    if work.clashes:
        raise KeyConflict(work.clashes, now)
    return Merged(work.changes, work.restored)


class _Merge:
    def __init__(self, base: Build, now: Build, changes: dict[str, Change], settle: Mapping[str, str | Answer]):
        self.base, self.now, self.changes, self.settle = base, now, changes, settle
        self.clashes: list[Clash] = []
        self.restored: dict[str, object] = {}
        #: lists of a part that mine replaced as a whole
        self.final: set[str] = set()
        #: parts that both added and of which mine stands
        self.replaced: set[str] = set()

    def side(self, key: str, read: str, mine: str, theirs: str) -> str:
        """Return the side that was chosen for a clash; one that was not asked about yet is noted."""
        answer, mark = self.settle.get(key), self.mark(key)
        if isinstance(answer, Answer):
            answer = answer.side if answer.mark == mark else None
        if answer is None:
            self.clashes.append(Clash(key, read, mine, theirs, mark))
            return "theirs"
        if answer not in ("mine", "theirs"):
            raise ValueError(f"'{answer}' is no side; wanted mine or theirs")
        return answer

    def given_up(self) -> None:
        """What the others' side was taken of stays theirs, also where it is no clash any more."""
        for key, answer in self.settle.items():
            side, mark = answer if isinstance(answer, Answer) else (answer, None)
            if side == "theirs" and mark in (None, self.mark(key)) and not is_order(key, self.changes.get(key, "")):
                self.drop(key)

    def mark(self, key: str) -> str:
        """A mark of all that the file says now of a key and of what is inside it."""
        there = {k: repr(v) for k, v in self.now.values.items() if at_or_below(k, key)}
        return digest(repr((there, self.now.lists.get(key))).encode())

    def below(self, key: str) -> dict[str, Change]:
        """My changes of a chapter, list or part, and of all inside it."""
        return {k: v for k, v in self.changes.items() if at_or_below(k, key)}

    def drop(self, key: str) -> None:
        for k in self.below(key):
            del self.changes[k]

    def gone_chapters(self) -> None:
        """Chapters and lists that the others said do not exist, and I changed."""
        steps = {at for key in self.changes for at in _chapters(key)}
        for at in sorted(steps, key=len):
            mine = {k: v for k, v in self.below(at).items() if k != at or is_order(k, v)}
            if not mine or self.now.values.get(at) is not NONE or self.base.values.get(at) is NONE:
                continue
            read = "there" if self.base.has(at) else "not known"
            if self.side(at, read, _changes_in_words(at, mine), "none") == "theirs":
                self.drop(at)
            elif self.base.has(at):
                self.restored[at] = raw_at(self.base, at)

    def gone_parts(self) -> None:
        """Parts that the others took away and I changed."""
        parts = {at for key in self.changes for at in _parts(key)}
        for at in sorted(parts, key=len):
            mine = self.below(at)
            if not mine or self.is_restored(at) or not _is_part(self.base, at) or _is_part(self.now, at):
                continue
            if self.side(at, "there", _changes_in_words(at, mine), "removed") == "theirs":
                self.drop(at)
            else:
                self.restored[at] = raw_at(self.base, at)
                where = part_of(at)[0]
                if where not in self.changes:
                    self.changes[where] = ()
                    self.final.add(where)
        for where in self.final:
            self.changes[where] = self.names_now(where)

    def names_now(self, where: str) -> tuple[str, ...]:
        """The names of a list in the file, with those that are put back at their old place."""
        names, behind = list(self.now.names(where)), None
        for name in self.base.names(where):
            if f"{where}[{name}]" in self.restored:
                names.insert(0 if behind is None else names.index(behind) + 1, name)
            behind = name if name in names else behind
        return tuple(names)

    def added_twice(self) -> None:
        """Parts of one name that both added: no clash where one says all that the other says."""
        parts = {at for key in self.changes for at in (*_parts(key), *_listed_parts(key, self.changes[key]))}
        for at in sorted(parts, key=len):
            mine = self.mine_inside(at)
            if not mine or _is_part(self.base, at) or not _is_part(self.now, at):
                continue
            if any(at.startswith(r + ".") for r in self.replaced):
                continue  # settled with the part that it lies in
            theirs = _inside(self.now, at)
            same = {k for k in mine.keys() & theirs.keys() if _alike(mine[k], theirs[k])}
            if same == mine.keys() or same == theirs.keys():
                continue
            if self.side(at, "not there", _contents(at, mine), _contents(at, theirs)) == "theirs":
                self.drop(at)
            else:
                self.replace(at, mine, theirs)

    def replace(self, at: str, mine: Mapping[str, object], theirs: Mapping[str, object]) -> None:
        """Take what is theirs out of a part, so that it says what I say of it and no more."""
        self.replaced.add(at)
        inner = _inner_parts(at, mine)
        for key in theirs.keys() - mine.keys():
            if set(_parts(key)) - {at} - set(_parts(at)) <= inner.keys():
                self.changes[key] = ""
        for where in [k for k in self.now.lists if k.startswith(at + ".")]:
            if _parts(where)[-1] != at and _parts(where)[-1] not in inner:
                continue
            names = tuple(name for home, name in map(part_of, inner) if home == where)
            self.changes[where] = self.changes.get(where, names)
            self.final.add(where)

    def is_restored(self, key: str) -> bool:
        """Tell whether a key lies in what is put back whole."""
        return any(at_or_below(key, r) for r in self.restored)

    def mine_inside(self, at: str) -> dict[str, Value | None]:
        """What I say of a part: its values, and the names of what is in it."""
        found: dict[str, Value | None] = {}
        for key, value in self.changes.items():
            for part in (*_parts(key), *_listed_parts(key, value)):
                if part == at or part.startswith(at + "."):
                    found[part + ".name"] = part_of(part)[1]
            if key.startswith(at + ".") and not is_order(key, value):
                found[key] = self.taken(key)
        return {k: v for k, v in found.items() if v is not None}

    def taken(self, key: str) -> Value | None:
        """My value of a key; its text where that is no value, which is refused later."""
        value = self.changes[key]
        if isinstance(value, str) and not value.strip():
            return None
        if describe_whole(key) is not None:
            return NONE
        try:
            return take(describe(key)[1], value, self.base.system)
        except Refused:
            return str(value)

    def keys(self) -> None:
        """Keys that both changed to different values."""
        for key in [k for k, v in self.changes.items() if not is_order(k, v)]:
            parts = _parts(key)
            if self.is_restored(key) or (parts and not _is_part(self.base, parts[-1])):
                continue
            read, theirs, mine = _at(self.base, key), _at(self.now, key), self.taken(key)
            # an answer is heard also where the build that was read has caught up with the file since it was asked for
            unchanged = _whole(self.base, key) == _whole(self.now, key)
            if (unchanged and key not in self.settle) or _alike(mine, theirs):
                continue
            if self.side(key, said(read), said(mine), said(theirs)) == "theirs":
                del self.changes[key]

    def orders(self) -> None:
        """Lists: what each side added and took away, and the order of what both have."""
        for key in [k for k, v in self.changes.items() if is_order(k, v)]:
            if key not in self.changes:
                continue  # it lay in a part that stays as the others have it
            read, theirs, mine = self.base.names(key), self.names_now(key), tuple(self.changes[key])
            theirs = tuple(n for n in theirs if f"{key}[{n}]" not in self.replaced)
            section = describe_list(key)
            if len(set(mine)) != len(mine) or any(bad_name(section, n) for n in mine):
                continue  # refused in words when it is taken in
            if self.is_restored(key) or key in self.final:
                continue
            kept = set(mine)
            for name in read:
                part = f"{key}[{name}]"
                if name in mine or name not in self.now.names(key):
                    continue
                if _inside(self.base, part) == _inside(self.now, part):
                    continue
                if self.side(part, "there", "removed", _differences(part, self.base, self.now)) == "theirs":
                    kept.add(name)
                    self.drop(part)
            order = agreed_order(read, mine, theirs, kept)
            if order is None:
                side = self.side(key, *(" - ".join(n) for n in (read, mine, theirs)))
                order = agreed_order(read, mine, theirs, kept, lead=side)
            self.changes[key] = order


# -- names and contents ---------------------------------------------------------------------------------


def _steps(key: str) -> list[tuple[str, str | None]]:
    """Each place on the way to a key, with the part's name where it is one."""
    at, found = "", []
    for name, item in split(key):
        at += ("." if at else "") + name
        found.append((at, None))
        if item is not None:
            at += f"[{item}]"
            found.append((at, item))
    return found


def _parts(key: str) -> list[str]:
    """The parts that a key lies in, the outermost first."""
    return [at for at, item in _steps(key) if item is not None]


def _chapters(key: str) -> list[str]:
    """The chapters and lists that a key lies in; one that names a whole list lies in that."""
    found = [at for at, item in _steps(key) if item is None]
    return found if describe_list(key) is not None else found[:-1]


def _listed_parts(key: str, value: Change) -> list[str]:
    return [f"{key}[{n}]" for n in value] if is_order(key, value) else []


def _is_part(build: Build, at: str) -> bool:
    where, name = part_of(at)
    return name in build.names(where)


def _inside(build: Build, at: str) -> dict[str, Value]:
    return {k: v for k, v in build.values.items() if k.startswith(at + ".")}


def _at(build: Build, key: str) -> Value | None:
    """What a build says at a key; of a chapter or list as a whole, whether it is none, or all that is in it."""
    inside = _whole(build, key)
    return "there: " + _contents(key, inside) if isinstance(inside, dict) else inside


def _whole(build: Build, key: str) -> Value | dict[str, Value] | None:
    """The value at a key, or all values inside the chapter or list that it names."""
    if describe_whole(key) is None or build.values.get(key) is NONE or not build.has(key):
        return build.values.get(key)
    return {k: v for k, v in build.values.items() if below(k, key)}


def _inner_parts(at: str, values: Mapping[str, object]) -> dict[str, None]:
    """The parts inside a part, in their order."""
    return dict.fromkeys(p for k in values for p in _parts(k) if p.startswith(at + "."))


def with_new_parts(build: Build, changes: Mapping[str, Change]) -> dict[str, Change]:
    """Return ``changes`` with the names of every list that they bring a part into, for :meth:`Build.with_values`."""
    lists = {k: tuple(v) for k, v in changes.items() if is_order(k, v)}
    for key in changes:
        for where, name in map(part_of, _parts(key)):
            there = lists.get(where, build.names(where))
            if name not in there and where not in changes:
                lists[where] = (*there, name)
    return {**changes, **lists}


# -- likeness and words ---------------------------------------------------------------------------------


def _alike(mine: Value | None, theirs: Value | None) -> bool:
    """Tell whether two values say the same; how a quantity was typed decides nothing."""
    if isinstance(mine, Measure) and isinstance(theirs, Measure):
        near = math.isclose(mine.si, theirs.si, rel_tol=1e-12, abs_tol=1e-15)
        # A value that was only typed again leaves in the file how it is known.
        return near and (
            (mine.known is None and mine.plus_minus is None)
            or (mine.known, mine.plus_minus) == (theirs.known, theirs.plus_minus)
        )
    return mine is theirs or (type(mine) is type(theirs) and mine == theirs)


def _some(words: list[str]) -> str:
    more = f" and {len(words) - FEW} more" if len(words) > FEW else ""
    return (", ".join(words[:FEW]) or "nothing in it") + more


def _contents(at: str, values: Mapping[str, Value]) -> str:
    return _some([f"{k.removeprefix(at + '.')} = {said(v)}" for k, v in values.items() if k != at + ".name"])


def _differences(at: str, old: Build, new: Build) -> str:
    was, now = _inside(old, at), _inside(new, at)
    keys = [k for k in dict.fromkeys((*was, *now)) if was.get(k) != now.get(k)]
    return "changed: " + _some(
        [f"{k.removeprefix(at + '.')} = {said(now.get(k))} (was {said(was.get(k))})" for k in keys]
    )


def _changes_in_words(at: str, changes: Mapping[str, Change]) -> str:
    def words(value: Change) -> str:
        if isinstance(value, Mapping):
            return str(value.get("value", ""))
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, str | int):
            return str(value) or "not known"
        return " - ".join(value)

    return "changed: " + _some([f"{k.removeprefix(at + '.')} = {words(v)}" for k, v in changes.items()])

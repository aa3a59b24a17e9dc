"""A parsed document turned into a Build, every fault listed at once."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from jackshaft.buildfile import limits
from jackshaft.buildfile.model import (
    NONE,
    Build,
    Value,
    at_or_below,
    below,
    describe,
    describe_list,
    describe_whole,
    split,
)
from jackshaft.buildfile.problems import BuildProblems, Problem
from jackshaft.buildfile.rules import allowed_names, contradictions
from jackshaft.buildfile.schema import CHAPTERS, TOP, Section
from jackshaft.buildfile.trade_words import part_meant
from jackshaft.buildfile.values import Refused, nearest, said, take

#: A check's name: chapter, what, and the part in brackets.
CHECK_NAME = re.compile(r"[a-z_]+\.[a-z-]+(\[[^\[\]]+\])?")

#: Letters of a key that a problem names: more than any key that the schema has with the longest names.
KEY_SHOWN = 400


GOOD_NAME = "a name without square brackets, with no space before or after it"


def bad_name(part: Section, name: str) -> bool:
    """Tell whether an item of a list cannot be called so."""
    brackets = set(name) & set("[]") and not (part.name == "accepted" and CHECK_NAME.fullmatch(name))
    return bool(brackets) or name != name.strip() or not name


class _Walk:
    def __init__(self, file: str, system: str):
        self.file, self.system = file, system
        self.values: dict[str, Value] = {}
        self.lists: dict[str, tuple[str, ...]] = {}
        self.problems: list[Problem] = []

    def wrong(self, key: str, found: str, wanted: str) -> None:
        # a key may be as long as the file; what is shown of it is enough to find it by
        self.problems.append(Problem(self.file, key[:KEY_SHOWN], found, wanted))

    def section(self, at: str, section: Section, raw: Mapping, parts: tuple[Section, ...]) -> None:
        names = [f.name for f in section.fields] + [p.name for p in parts]
        dot = at + "." if at else ""
        for name, value in raw.items():
            key = dot + name
            part = next((p for p in parts if p.name == name), None)
            field = section.field(name)
            if part is not None:
                self.part(key, part, value)
            elif field is not None:
                try:
                    self.values[key] = take(field, value, self.system)
                except Refused as refused:
                    self.wrong(key, refused.found, refused.wanted)
            else:
                self.wrong(key, "an unknown key", f"a key of {section.title.lower()}{nearest(name, names)}")
        for field in section.fields:
            if field.required and field.name not in raw:
                self.wrong(dot + field.name, "nothing", f"{field.name}, which is required")

    def part(self, key: str, part: Section, raw: object) -> None:
        if isinstance(raw, str) and raw.strip().lower() == "none":
            self.values[key] = NONE
        elif part.many:
            self.many(key, part, raw)
        elif isinstance(raw, Mapping):
            self.section(key, part, raw, part.parts)
        else:
            self.wrong(key, said(raw), f'a chapter [{key}], or {key} = "none"')

    def many(self, key: str, part: Section, raw: object) -> None:
        if not isinstance(raw, list) or not all(isinstance(item, Mapping) for item in raw):
            self.wrong(key, said(raw), f'one [[{part.name}]] for each, or {part.name} = "none"')
            return
        names: list[str] = []
        for number, item in enumerate(raw, 1):
            name = item.get("name")
            if not isinstance(name, str) or not name.strip():
                found = said(name) if "name" in item else "nothing"
                self.wrong(f"{key}[{number}].name", found, "a name in quotes, which is required")
            elif bad_name(part, name):
                self.wrong(f"{key}[{number}].name", f"'{name}'", GOOD_NAME)
            elif name in names:
                self.wrong(f"{key}[{name}].name", f"a second '{name}'", "each name once in its list")
            else:
                names.append(name)
                self.section(f"{key}[{name}]", part, item, part.parts)
        self.lists[key] = tuple(names)


def make_build(document: Mapping, *, file: str, path=None, digest: str = "", text: str = "") -> Build:
    """Check a parsed document of the present schema and return the Build.

    Raises
    ------
    BuildProblems
        With every fault that was found.
    """
    build, problems = read_values(document, file=file)
    problems += contradictions(build)
    if problems:
        raise BuildProblems(problems)
    return Build(build.values, build.lists, file, path, digest, text=text)


def read_values(document: Mapping, *, file: str) -> tuple[Build, list[Problem]]:
    """Read each value of a parsed document by itself; return those that can be taken, and what is wrong with others."""
    shown_in = document.get("shown_in", "inch")
    walk = _Walk(file, shown_in if shown_in in ("inch", "metric") else "inch")
    walk.section("", TOP, document, CHAPTERS)
    build = Build({"name": "", **walk.values}, walk.lists, file)
    meant = {key: _meant(build, key, value) for key, value in walk.values.items()}
    return Build({"name": "", **meant}, walk.lists, file), walk.problems


def _meant(build: Build, key: str, value: Value) -> Value:
    """Return a value as it is meant: the engine where its shaft is called the crank and no part has that name."""
    field = describe(key)[1] if isinstance(value, str) else None
    if field is None or field.kind != "reference" or "engine" not in field.refers:
        return value
    return part_meant(value, allowed_names(build, key, field.refers))


def changed_values(
    build: Build, changes: Mapping[str, str | Sequence[str]]
) -> tuple[dict[str, Value], dict[str, tuple[str, ...]]]:
    """Return the values and lists of ``build`` with ``changes`` taken in and checked; an empty text forgets a value.

    Raises
    ------
    BuildProblems
        If a text cannot be read or contradicts the rest.
    """
    problems: list[Problem] = []
    orders = {key: part for key, raw in changes.items() if not isinstance(raw, str) and (part := describe_list(key))}
    texts = {key: raw for key, raw in changes.items() if key not in orders}
    # The names come first, and the outer list before the inner one, so that what is new can be filled.
    build = Build(build.values, build.lists, build.file)
    for key in sorted(orders, key=lambda k: len(split(k))):
        names = tuple(changes[key])
        _known_item(build, key)
        problems += _order_problems(build, key, orders[key], names)
        if not problems:
            build = ordered(build, key, names)
    if problems:
        # what belongs to a part that cannot be taken in has no place to be written to
        raise BuildProblems(problems)
    for key in [k for k, raw in texts.items() if isinstance(raw, str) and describe_whole(k) is not None]:
        _known_item(build, key)
        build = _without_whole(build, key, texts.pop(key))
    values = dict(build.values)
    for key, raw in texts.items():
        field = describe(key)[1]
        _known_item(build, key)
        if isinstance(raw, str) and not raw.strip():
            values.pop(key, None)
            continue
        if problem := limits.long_text(build.file, key, raw):
            problems.append(problem)
            continue
        try:
            values[key] = _meant(build, key, take(field, raw, build.system))
            for at in [k for k, v in values.items() if v is NONE and below(key, k)]:
                del values[at]  # what has a value is there
        except Refused as refused:
            problems.append(build.problem(key, refused.found, refused.wanted))
    if not problems:
        problems = contradictions(Build(values, build.lists, build.file))
    if problems:
        raise BuildProblems(problems)
    return values, dict(build.lists)


def _without_whole(build: Build, key: str, text: str) -> Build:
    """Return a build without a chapter or list, which is said to be none, or is not known any more."""
    if text.strip().lower() not in ("", "none"):
        raise build.refusal(key, f"'{text}'", "none, if the machine has none")
    values = {k: v for k, v in build.values.items() if not at_or_below(k, key)}
    lists = {k: v for k, v in build.lists.items() if not at_or_below(k, key)}
    return Build(values | ({key: NONE} if text.strip() else {}), lists, build.file)


def _order_problems(build: Build, key: str, part: Section, names: tuple[str, ...]) -> Iterator[Problem]:
    for name in names:
        if problem := limits.long_text(build.file, f"{key}.name", name):
            yield problem
        if bad_name(part, name):
            yield build.problem(key, f"'{name}'", GOOD_NAME)
    if problem := limits.long_list(build.file, key, len(names)):
        yield problem
    for name in sorted({n for n in names if names.count(n) > 1}):
        yield build.problem(key, f"'{name}' twice", "each name once in its list")


def ordered(build: Build, key: str, names: tuple[str, ...]) -> Build:
    """Return a build whose list at ``key`` has just these names in this order; nothing is checked."""
    gone = [f"{key}[{n}]" for n in build.names(key) if n not in names]

    def stays(k: str) -> bool:
        return k != key and not any(below(k, g) for g in gone)

    values = {k: v for k, v in build.values.items() if stays(k)}
    for name in names:
        values.setdefault(f"{key}[{name}].name", name)
    lists = {k: v for k, v in build.lists.items() if stays(k)} | {key: names}
    return Build(values, lists, build.file)


def _known_item(build: Build, key: str) -> None:
    at = ""
    for name, item in split(key)[:-1]:
        at += ("." if at else "") + name
        if item is not None:
            there = build.names(at)
            if item not in there:
                raise build.refusal(key, f"no {name} called '{item}'", f"one of {', '.join(there) or 'none yet'}")
            at += f"[{item}]"

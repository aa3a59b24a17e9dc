"""A part's form as plain functions: which parts there are, their fields, and several values kept at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from jackshaft.buildfile import Answer, Build, BuildProblems, DoesNotFit, Problem, describe, entered, split
from jackshaft.buildfile.keys import takes
from jackshaft.buildfile.schema import ITEM, Section, walk
from jackshaft.results.keeping import NotWorkable, keep
from jackshaft.results.one_frame import moved_along, sentences
from jackshaft.start.controller import as_known, is_quantity, moved, value_words
from jackshaft.start.parts import IN_ORDER, where
from jackshaft.start.usual import usual_first


@dataclass(frozen=True)
class Entry:
    """What was typed at one field: the value, how it is known, and what it was measured with."""

    text: str
    known: str = ""
    by: str = ""


class WrongFields(BuildProblems):
    """Values of a form that cannot be taken; nothing was written. ``at`` gives the words for each field by its key."""

    def __init__(self, problems: tuple[Problem, ...], keys: Mapping[str, Entry]):
        super().__init__(problems)
        self.at: dict[str, str] = {}
        other = []
        for p in self.problems:
            if p.key in keys:
                before = f"{self.at[p.key]}; " if p.key in self.at else ""
                self.at[p.key] = f"{before}found {p.found}; wanted {p.wanted}"
            else:
                other.append(p.message)
        wrong = ", ".join(name_of(key) for key in self.at)
        words = "Nothing was written. What you typed is still there."
        self.args = (" ".join([words, *([f"Put right: {wrong}."] if wrong else []), *other]),)


def path_of(at: str) -> str:
    """Return the path of the section that a part or chapter is one of: ``stage[NAME].pulley[NAME]``."""
    return ".".join(name + ITEM * (item is not None) for name, item in split(at)) if at else ""


def section_of(at: str) -> Section:
    """Return the section that a part or chapter is one of; that of the build itself where ``at`` is empty."""
    return dict(walk())[path_of(at)]


def name_of(key: str) -> str:
    """Return the name of a field as its label says it: ``rated power``."""
    return split(key)[-1][0].replace("_", " ")


def part_words(at: str) -> str:
    """Return a part or chapter in words: "Engine or motor", "Stage 'crank belts', pulley 'E'"."""
    if not at:
        return "The build as a whole"
    steps = split(at)
    if len(steps) == 1 and steps[0][1] is None:
        return section_of(at).title
    words = ", ".join(f"{n} '{item}'" if item is not None else n for n, item in steps).replace("_", " ")
    return words[:1].upper() + words[1:]


def homes(build: Build) -> list[tuple[str, str]]:
    """Return (words, key) of every chapter and part that has a form, what a builder knows first before the others.

    What there is none of has no form.
    """
    found = ["", *(at for chapter in IN_ORDER for at in _within(build, chapter, ""))]
    return [(part_words(at) + ("" if _written(build, at) else ": nothing written yet"), at) for at in found]


def next_empty(build: Build, after: str = "") -> str:
    """Return the first part or chapter after another one that nothing is written in; empty where there is none.

    What a search may vary is never asked for: it is a wish, not something to know.
    """
    ats = [at for _, at in homes(build)][1:]
    left = ats[ats.index(after) + 1 :] if after in ats else ats
    return next((at for at in left if not at.endswith(".search") and not _written(build, at)), "")


def _within(build: Build, section: Section, home: str) -> Iterator[str]:
    key = f"{home}.{section.name}" if home else section.name
    if build.is_none(key):
        return
    for at in [f"{key}[{name}]" for name in build.names(key)] if section.many else [key]:
        yield at
        # only a belt is tensioned, and only its layout is searched
        other = section.name == "stage" and build.get(f"{at}.kind") not in (None, "belt")
        for part in section.parts:
            if not other or build.has(f"{at}.{part.name}"):
                yield from _within(build, part, at)


def _written(build: Build, at: str) -> bool:
    section = section_of(at)
    home = f"{at}." if at else ""
    return any(f"{home}{n}" in build.values for n in section.names if not (section.many and n == "name"))


def fields_of(build: Build, at: str, kind: str = "") -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the keys of a part or chapter: those written down first, and the others.

    What only another kind of the part has is left out, unless the build says it. ``kind`` is the one that is picked
    and not kept yet.
    """
    home, section = f"{at}." if at else "", section_of(at)
    first, rest = usual_first(path_of(at), section, kind or build.get(f"{home}kind"))
    said = tuple(n for n in section.names if n not in (*first, *rest, "name", "schema") and build.has(home + n))
    return tuple(home + n for n in first), tuple(home + n for n in (*rest, *said))


def told(build: Build, key: str) -> tuple[str, str]:
    """Return what the build says at a key now, empty where it says nothing; and what the key means and takes."""
    field = describe(key)[1]
    now = value_words(build, key) if key in build.values else ""
    picked = field.choices or field.kind in ("yes/no", "reference", "text")
    return now, field.help + ("" if picked else f"; {takes(key)}")


def keep_all(
    build: Build, entries: Mapping[str, Entry], *, settle: Mapping[str, Answer] | None = None
) -> tuple[Build, str]:
    """Keep several values in the build file at once, each with how it is known; return the build and what was done.

    Raises
    ------
    WrongFields
        If a value cannot be taken, with the words for each such field; nothing is written.
    KeyConflict, ChangedOnDisk, NotSaved
        As for saving; nothing is written.
    """
    changes: dict[str, object] = {}
    problems: list[Problem] = []
    for key, entry in entries.items():
        try:
            if not entry.text.strip():
                raise build.refusal(key, "no value, only how it is known", "a value beside it")
            changes |= as_known(key, entered(build, key, entry.text), entry.known, entry.by)
        except BuildProblems as error:
            problems += error.problems
    if not entries:
        raise ValueError("Nothing was typed, so nothing was written. Type a value into a field of the form first.")
    theirs = {key for key, answer in (settle or {}).items() if answer.side == "theirs"}
    more, along = moved_along(build, {k: v for k, v in changes.items() if k not in theirs})
    try:
        if problems:
            build.with_values(changes)
        else:
            kept = keep(build, {**changes, **more}, settle=settle)
    except (DoesNotFit, NotWorkable):
        raise
    except BuildProblems as error:
        problems += error.problems
    if problems:
        raise WrongFields(tuple(problems), entries)
    said = [f"{name_of(k)} {value_words(kept, k)}" + " (as it was written elsewhere)" * (k in theirs) for k in changes]
    part = part_words(next(iter(entries)).rpartition(".")[0])
    many = f"{len(said)} values" if len(said) != 1 else "1 value"
    return kept, f"{part}: {many} written: {'; '.join(said)}.{sentences(along)}{moved(build, kept)} {where(kept)}"


__all__ = [
    "Entry",
    "WrongFields",
    "fields_of",
    "homes",
    "is_quantity",
    "keep_all",
    "name_of",
    "next_empty",
    "part_words",
    "path_of",
    "section_of",
    "told",
]

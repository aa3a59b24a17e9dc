"""The parts of a build on the start page: added, renamed, taken out, and marked as not there."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.buildfile import (
    Answer,
    Build,
    BuildProblems,
    Problem,
    check_name,
    describe_whole,
    part_of,
    references,
    rename_part,
    split,
)
from jackshaft.buildfile import parts as parts_of
from jackshaft.buildfile.schema import CHAPTERS, NO_PARTS
from jackshaft.results import Results, label, work_up
from jackshaft.results.keeping import keep
from jackshaft.ui.stale import few, lies_in

#: Chapters that every machine has, and lists that are no parts of it.
ALWAYS = ("engine", "work", *NO_PARTS)
#: Chapters that have parts or fields of their own, in the order in which a builder comes to know them.
FIRST_KNOWN = ("engine", "work", "stage", "shaft", "bearing", "clutch")
IN_ORDER = sorted(
    (c for c in CHAPTERS if c.name not in NO_PARTS),
    key=lambda c: FIRST_KNOWN.index(c.name) if c.name in FIRST_KNOWN else len(FIRST_KNOWN),
)
#: So many references are shown.
FEW = 6


def where(build: Build) -> str:
    """Return the words that say which build a notice is about."""
    return f"It is in the build '{build.name}' ({build.file})."


def words_of(at: str) -> str:
    """Return a part in words: "bearing 'idler bearing'", "stage 'crank belts', pulley 'E'"."""
    return label(f"{at}.name").split("(")[-1].rstrip(")")


def lists(build: Build, results: Results | None = None) -> list[tuple[str, str]]:
    """Return (words, key) of every list that a part can be added to: those of the file, then those inside its parts.

    A list that checks are waiting for comes first. ``results`` are those of the build, where they are there already.
    """
    found = [(c.title, c.name) for c in IN_ORDER if c.many]
    for chapter in IN_ORDER:
        homes = [f"{chapter.name}[{n}]" for n in build.names(chapter.name)] if chapter.many else [chapter.name]
        for home in homes:
            found += [
                (f"{p.title}: {home.removeprefix(chapter.name).strip('[]') or chapter.title}", f"{home}.{p.name}")
                for p in chapter.parts
                # pulleys and the bodies to clear are a belt's; a chain or a gear has none
                if p.many and (chapter.name != "stage" or build.get(f"{home}.kind") in (None, "belt"))
            ]
    wanted = {w.key for w in (results or work_up(build)).wanted if describe_whole(w.key) is not None}
    first = [(f"wanted: {words}", key) for words, key in found if key in wanted]
    return first + [(words, key) for words, key in found if key not in wanted]


def parts(build: Build) -> list[tuple[str, str]]:
    """Return (words, key) of every part that is in the build, by kind."""
    return [(words_of(at), at) for at in parts_of(build)]


def add_part(build: Build, kind: str, name: str, *, settle: Mapping[str, Answer] | None = None) -> tuple[Build, str]:
    """Add a named part to a list of the build file.

    Raises
    ------
    BuildProblems
        If the name is empty, or taken, be it in other capitals; nothing is written.
    KeyConflict
        If others changed the same in the file, and ``settle`` does not say which is kept; nothing is written.
    """
    name = check_name(build, kind, name)
    at = f"{kind}[{name}]"
    kept = keep(build, {f"{at}.name": name}, settle=settle)
    return kept, f"Added {words_of(at)}. What is known of it can be written down now. {where(kept)}"


def remove_part(build: Build, at: str, *, settle: Mapping[str, Answer] | None = None) -> tuple[Build, str]:
    """Take a part with all that is known of it out of the build file, where nothing refers to it.

    Raises
    ------
    BuildProblems
        If something refers to it, or it is gone already; nothing is written.
    KeyConflict
        If others changed the part in the file, and ``settle`` does not say which is kept; nothing is written.
    """
    home, name = part_of(at)
    if name not in build.names(home):
        raise BuildProblems([Problem(build.file, at, "a part that is gone already", "a part of the build")])
    inside = tuple(k for k in references(build, at) if not k.startswith(f"{at}."))
    if inside:
        wanted = "a part that nothing refers to: first write another name there, or clear it"
        raise BuildProblems([Problem(build.file, at, f"a part that {few(inside, FEW)} refer{_s(inside)} to", wanted)])
    known = _known(build, at) - 1
    kept = keep(build, {home: tuple(n for n in build.names(home) if n != name)}, settle=settle)
    if name in kept.names(home):
        return kept, f"{_cap(words_of(at))} stays, as it was written elsewhere. {where(kept)}"
    gone = f"{_cap(words_of(at))} is taken out, with the {known} value{'s' * (known != 1)} known of it."
    return kept, f"{gone} The version before this one can be brought back. {where(kept)}"


def rename(build: Build, at: str, name: str) -> tuple[Build, str, str]:
    """Give a part another name; what refers to it follows. Return the build, what was done, and the part's new key.

    Raises
    ------
    BuildProblems
        If the name is empty, or taken, be it in other capitals; nothing is written.
    """
    kept, carried = rename_part(build, at, name)
    home, old = part_of(at)
    new = " ".join(name.split())
    if new == old:
        return kept, f"It is called '{old}' already. {where(kept)}", at
    follow = f" Its new name is written there too: {few(carried, FEW)}." if carried else " Nothing refers to it."
    return kept, f"{_cap(words_of(at))} is called '{new}' now.{follow} {where(kept)}", f"{home}[{new}]"


def absences(build: Build) -> list[tuple[str, str]]:
    """Return (words, key) of every chapter and list that a machine may be without, with what the build says of it."""
    found = []
    for chapter in CHAPTERS:
        if chapter.name not in ALWAYS:
            found.append(chapter.name)
        homes = [f"{chapter.name}[{n}]" for n in build.names(chapter.name)] if chapter.many else [chapter.name]
        if chapter.name not in NO_PARTS and not build.is_none(chapter.name):
            found += [f"{home}.{p.name}" for home in homes for p in chapter.parts if p.name != "search"]
    return [(f"{_whole(key)}: {_state(build, key)}", key) for key in found]


def say_none(
    build: Build, key: str, *, empty: bool = False, settle: Mapping[str, Answer] | None = None
) -> tuple[Build, str]:
    """Say that the machine does not have what a chapter or list is about.

    Parameters
    ----------
    build : Build
        The build.
    key : str
        The chapter or list.
    empty : bool, optional
        Whether what the build says of it now is taken out.
    settle : mapping, optional
        As for keeping values.

    Raises
    ------
    BuildProblems
        If something is written there and is not to be taken out, or something else refers to it; nothing is written.
    KeyConflict
        If others changed the same in the file, and ``settle`` does not say which is kept; nothing is written.
    """
    if build.is_none(key):
        return build, f"{_whole(key)}: none, as the build says already. {where(build)}"
    known = _known(build, key)
    if known and not empty:
        wanted = "nothing written there; choose 'is taken out' beside it to take them out"
        raise BuildProblems([Problem(build.file, key, f"{known} values", wanted)])
    for name in build.names(key):
        pointing = tuple(k for k in references(build, f"{key}[{name}]") if not k.startswith(f"{key}["))
        if pointing:
            found = f"'{name}', which {few(pointing, FEW)} refer{_s(pointing)} to"
            raise BuildProblems([Problem(build.file, key, found, "nothing that refers to a part of it")])
    kept = keep(build, {key: "none"}, settle=settle)
    if not kept.is_none(key):
        return kept, f"{_whole(key)} stays as it was written elsewhere. {where(kept)}"
    return kept, f"{_whole(key)}: none. The machine has none. {where(kept)}"


def take_none_back(build: Build, key: str, *, settle: Mapping[str, Answer] | None = None) -> tuple[Build, str]:
    """Take back that the machine does not have a chapter or list: it is not known again.

    Raises
    ------
    BuildProblems
        If the build does not say that there is none; nothing is written.
    KeyConflict
        If others changed the same in the file, and ``settle`` does not say which is kept; nothing is written.
    """
    if not build.is_none(key):
        wanted = "a chapter or list of which the build says that there is none"
        raise BuildProblems([Problem(build.file, key, _state(build, key), wanted)])
    kept = keep(build, {key: ""}, settle=settle)
    return kept, f"{_whole(key)}: {_state(kept, key)} again. {where(kept)}"


def _known(build: Build, key: str) -> int:
    return sum(lies_in(k, (key,)) for k in build.values)


def _state(build: Build, key: str) -> str:
    if build.is_none(key):
        return "none"
    known = _known(build, key)
    return f"{known} value{'s' * (known != 1)} written" if known else "not known"


def _whole(key: str) -> str:
    """Return a chapter or list in words: "Shear pin", "Belt stage 'drive', pulleys of the belt"."""
    section, steps = describe_whole(key), split(key)[:-1]
    home = ", ".join(f"{name.replace('_', ' ')} '{item}'" if item else name.replace("_", " ") for name, item in steps)
    return f"{section.title}{f' ({home})' if home else ''}"


def _s(keys: tuple[str, ...]) -> str:
    return "s" * (len(keys) == 1)


def _cap(words: str) -> str:
    return words[:1].upper() + words[1:]


__all__ = [
    "absences",
    "add_part",
    "lists",
    "parts",
    "remove_part",
    "rename",
    "say_none",
    "take_none_back",
    "where",
    "words_of",
]

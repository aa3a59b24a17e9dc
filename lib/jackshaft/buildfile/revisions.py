"""Revisions of a build: numbered copies that stay as they were, each with a day and a note of what it changes."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from jackshaft.buildfile.disk import real_file, refusal, replace_both, write_new
from jackshaft.buildfile.editing import edited
from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.buildfile.model import Build
from jackshaft.buildfile.problems import BuildProblems, NotSaved, Problem
from jackshaft.buildfile.reading import find, parse, read_file
from jackshaft.buildfile.saving import encoded, opened

#: Behind the stem of a build: the folder of its revisions, which lies beside it.
FOLDER = ".revisions"


class Revision(NamedTuple):
    """One revision: its number, its day and note as its file says them, its fingerprint, and the file.

    A file that cannot be read has no fingerprint, and its note says so.
    """

    number: int
    date: str
    note: str
    fingerprint: str
    path: Path


def revise(build: Build, note: str, day: str) -> Build:
    """Make the build as its file stands now a revision, and return it.

    The file gets the next number, the day and the note; a copy of it goes into the folder of revisions, where nothing
    is ever written over.

    Parameters
    ----------
    build : Build
        A build that was read from a file.
    note : str
        What this revision changes, in a sentence.
    day : str
        The day, year-month-day.

    Raises
    ------
    BuildProblems
        If there is no note, or the day is none; nothing is written.
    NotSaved, ChangedOnDisk
        If the disk refuses, or the file is no build any more; the file stands as it was.
    """
    if not note.strip():
        raise BuildProblems([Problem(build.file, "change", "an empty text", "a note of what this revision changes")])
    with opened(build) as (real, old, now):
        number = 1 + max([_stated(now), *(r.number for r in _in_folder(real))])
        changes = {"revision": str(number), "date": day, "change": " ".join(note.split())}
        data = encoded(edited(now.text, changes), now.file, old)
        new = parse(data, file=now.file, path=now.path)
        copy = _folder(real) / f"{number:04d}.toml"
        try:
            copy.parent.mkdir(exist_ok=True)
        except OSError as error:
            raise refusal(copy, error, "Nothing was written.") from error
        if not write_new(copy, data):
            raise NotSaved(f"{copy.name} is there already. Nothing was written. Make the revision again.")
        try:
            replace_both(real, old, data)
        except NotSaved:
            copy.unlink(missing_ok=True)
            raise
    return new


def revisions(build: Build) -> tuple[Revision, ...]:
    """Return the revisions of a build, the oldest first; none where it has no file."""
    return () if build.path is None else tuple(_in_folder(real_file(build.path)))


def revision_of(name: str) -> Path | None:
    """Return the file of a revision that is named as ``BUILD@NUMBER``, or None where a name has no such end.

    Raises
    ------
    BuildProblems
        If there is no such build, or no such revision of it.
    """
    stem, at, number = name.rpartition("@")
    if not (at and stem and number.isdecimal()):
        return None
    there = _in_folder(real_file(find(stem)))
    found = next((r.path for r in there if r.number == int(number)), None)
    if found is None:
        numbers = ", ".join(str(r.number) for r in there) or "none is made yet"
        raise BuildProblems([Problem(stem[:200], "", f"no revision {int(number)}", f"one of its revisions: {numbers}")])
    return found


def _folder(real: Path) -> Path:
    return real.with_name(real.stem + FOLDER)


def _stated(build: Build) -> int:
    """Return the number that a build calls its revision; nought where it says none or a letter."""
    said = str(build.get("revision") or "")
    return int(said) if said.isdecimal() and len(said) < 5 else 0


def _in_folder(real: Path) -> list[Revision]:
    found = []
    for path in sorted(_folder(real).glob("[0-9][0-9][0-9][0-9].toml")):
        try:
            one = parse(read_file(path), file=path.name, path=path)
        except BuildProblems as error:
            found.append(Revision(int(path.stem), "", f"cannot be read: {error.problems[0]}", "", path))
        else:
            day, note = (str(one.get(key) or "") for key in ("date", "change"))
            found.append(Revision(int(path.stem), day, note, fingerprint(one), path))
    return found


__all__ = ["FOLDER", "Revision", "revise", "revision_of", "revisions"]

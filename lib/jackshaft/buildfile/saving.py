"""Keeping values in a build file: one save at a time, merged by key, never over somebody's change.

A save holds a lock over reading the file anew, comparing, and replacing it, so that two windows, two
programs or two threads lose nothing. What others changed since the build was read stays; only what both
changed is asked about.
"""

from __future__ import annotations

import codecs
import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from tomlkit.exceptions import TOMLKitError

from jackshaft.buildfile.disk import digest, real_file, replace_both, tidy, write_new
from jackshaft.buildfile.editing import Change, edited
from jackshaft.buildfile.lenient import parse_anyhow
from jackshaft.buildfile.locking import held
from jackshaft.buildfile.merging import Merged, merge, with_new_parts
from jackshaft.buildfile.model import Build
from jackshaft.buildfile.problems import Answer, BuildProblems, ChangedOnDisk, DoesNotFit, NotSaved, Problem
from jackshaft.buildfile.reading import parse


def save_values(
    build: Build,
    changes: Mapping[str, Change],
    *,
    approve: Callable[[Build], object] | None = None,
    settle: Mapping[str, str | Answer] | None = None,
) -> Build:
    """Keep changed values in the build's own file and return the build as it now stands.

    The file is read anew under a lock; what others changed since ``build`` was read is kept and is in the
    build that comes back. The file is checked before it is written, written beside the old one and moved
    over it; the old version stays beside it with ``.previous`` at its end. When this returns, the values
    are on the disk.

    Parameters
    ----------
    build : Build
        The build as it was read; what differs in the file since then was changed by others.
    changes : mapping of key to value
        An empty text removes the key; the key of a whole list takes its names in their order (see
        :meth:`Build.with_values`).
    approve : callable, optional
        Called under the lock with the merged build, just before it is written; what it raises prevents that.
    settle : mapping of key to "mine" or "theirs", optional
        Which side stands where both changed a key (see :meth:`KeyConflict.answer`). An :class:`Answer`
        holds only while the file still says what was seen; a plain word holds whatever it says.

    Raises
    ------
    KeyConflict
        If others changed the same keys, parts or lists to something else; nothing is written.
    DoesNotFit, BuildProblems
        If a value cannot be taken, or not with what others changed; nothing is written.
    ChangedOnDisk
        If the file is no build any more; nothing is written.
    NotSaved
        If the disk refuses; the file and its previous version stand.
    """
    with opened(build) as (real, old, now):
        merged = merge(build if now is build else _as_read(build), now, changes, settle or {})
        try:
            new, data = _changed(now, old, merged)
        except BuildProblems as error:
            if now is build:
                raise
            raise DoesNotFit(error.problems, now) from error
        if data == old:
            return new
        if approve is not None:
            approve(new)
        replace_both(real, old, data)
    return new


@contextmanager
def opened(build: Build, *, any_faults: bool = False) -> Iterator[tuple[Path, bytes, Build]]:
    """Hold the lock of a build's file; yield the file, its bytes, and the build as it stands in it now.

    Parameters
    ----------
    build : Build
        The build as it was read.
    any_faults : bool, optional
        Whether a file that got new faults since then is taken all the same.

    Raises
    ------
    NotSaved
        If the build has no file, stands in the place of another one, or its file cannot be read.
    ChangedOnDisk
        If the file got new faults since it was read.
    """
    if build.path is None:
        raise NotSaved("This build has no file yet. Give it a name first.")
    if build.instead_of is not None:
        raise NotSaved(
            f"There is no build '{build.instead_of}'; '{build.name}' is only shown in its place. "
            "Nothing was written. Open or make a build on the start page first."
        )
    real = real_file(build.path)
    with held(real):
        old = _read(real, build)
        tidy(real, old)
        if digest(old) == build.digest:
            now = build
        elif any_faults:
            now = parse_anyhow(old, file=build.file, path=build.path)
        else:
            now = _as_it_stands(old, build)
        yield real, old, now


def written(real: Path, old: bytes, now: Build, text: str, approve: Callable[[Build], object] | None) -> Build:
    """Replace an opened file by another text that has no fault which it had not; return the build.

    Raises
    ------
    BuildProblems
        If the text has a new fault; nothing is written.
    NotSaved
        If the disk refuses.
    """
    data = encoded(text, now.file, old)
    new = parse_anyhow(data, file=now.file, path=now.path)
    if fresh := [p for p in new.problems if p not in now.problems]:
        raise BuildProblems(fresh)
    if approve is not None:
        approve(new)
    replace_both(real, old, data)
    return new


def _read(real: Path, build: Build) -> bytes:
    try:
        return real.read_bytes()
    except OSError as error:
        raise NotSaved(
            f"{build.file} cannot be read any more ({error.strerror}). Nothing was written. Put the file back, or open "
            "or make another build on the start page."
        ) from None


def _as_read(build: Build) -> Build:
    """Return what the file said when the build was read: the build may have been tried with other values since."""
    try:
        return parse(encoded(build.text, build.file), file=build.file, path=build.path)
    except BuildProblems:
        # A build that was put together without a text, or opened in spite of its faults, is taken as it is.
        return build


def _as_it_stands(data: bytes, build: Build) -> Build:
    try:
        return parse(data, file=build.file, path=build.path)
    except BuildProblems as error:
        if set(error.problems) <= set(build.problems):
            return parse_anyhow(data, file=build.file, path=build.path)
        raise ChangedOnDisk(
            f"{build.file} was changed elsewhere since it was read, and cannot be taken as it is now. Nothing was "
            f"written. Put this right in the file first: {error}"
        ) from error


def _changed(now: Build, old: bytes, merged: Merged) -> tuple[Build, bytes]:
    """Return the build with the merged changes in it, and the bytes of its file."""
    whole = next((p for p in now.problems if p.file == now.file and p.key in ("", "schema")), None)
    if whole is not None:
        raise NotSaved(
            f"Nothing can be kept in {now.file} until the file itself is put right: found {whole.found}; "
            f"wanted {whole.wanted}"
        )
    if not merged.restored:
        # Said before the text is edited, because here a fault is laid at its key.
        now.with_values(with_new_parts(now, merged.changes))
    try:
        text = edited(now.text, merged.changes, restored=merged.restored)
    except TOMLKitError as error:
        raise NotSaved(f"{now.file} cannot be read, so nothing can be kept in it: {now.problems[0].found}") from error
    data = encoded(text, now.file, old)
    try:
        return parse(data, file=now.file, path=now.path), data
    except BuildProblems as error:
        # A file with several faults is put right one by one: each save that leaves only old ones is an improvement.
        if not set(error.problems) < set(now.problems):
            raise
        return parse_anyhow(data, file=now.file, path=now.path), data


def encoded(text: str, file: str, old: bytes = b"") -> bytes:
    """Return a text as the bytes of a file, with a byte order mark where the old bytes have one.

    Raises
    ------
    BuildProblems
        If the text holds what is no character.
    """
    mark = codecs.BOM_UTF8 if old.startswith(codecs.BOM_UTF8) else b""
    try:
        return mark + text.encode("utf-8")
    except UnicodeEncodeError:
        raise BuildProblems([Problem(file, "", "half a character", "text that can be saved as UTF-8")]) from None


def create(path: Path, text: str) -> Build:
    """Write a new build file and return the build; of two that make one name at once, one wins.

    Raises
    ------
    BuildProblems
        If the text is no good build, or a file of that name is there already; nothing is written.
    NotSaved
        If the disk refuses.
    """
    data = encoded(text, path.name)
    taken = BuildProblems([Problem(path.name, "", "a file of that name", "a new name; no build is overwritten")])
    if os.path.lexists(path):
        raise taken
    build = parse(data, file=path.name, path=path)
    with held(path):
        if os.path.lexists(path):
            raise taken
        tidy(path, b"")
        if not write_new(path, data):
            raise taken
    return build

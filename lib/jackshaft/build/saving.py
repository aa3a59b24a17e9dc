"""Keeping values in a build file: atomic, with the writer's comments, never over somebody's change."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path

import tomlkit
from tomlkit.items import AoT, InlineTable, Table

from jackshaft.build.migrate import migrate
from jackshaft.build.model import Build, split
from jackshaft.build.problems import BuildProblems, ChangedOnDisk, NotSaved, Problem
from jackshaft.build.reading import digest, parse

PREVIOUS = ".previous"


def save_values(build: Build, changes: Mapping[str, str | int | bool]) -> Build:
    """Keep changed values in the build's own file and return the build as it now stands.

    The file is checked before it is written, written beside the old one and moved over it; the old
    version stays beside it with ``.previous`` at its end. An empty text removes the key.

    Raises
    ------
    BuildProblems
        If a value cannot be taken; nothing is written.
    ChangedOnDisk
        If the file is no longer the one that was read; nothing is written.
    NotSaved
        If the disk refuses; the old file stands.
    """
    if build.path is None:
        raise NotSaved("this build has no file yet; give it a name first")
    build.with_values({k: v for k, v in changes.items() if not _new_item(build, k)})
    text = edited(build.text, changes)
    data = text.encode("utf-8")
    new = parse(data, file=build.file, path=build.path)
    try:
        old = build.path.read_bytes()
    except OSError as error:
        raise NotSaved(f"{build.file} cannot be read any more ({error.strerror}); nothing was written") from None
    if digest(old) != build.digest:
        raise ChangedOnDisk(
            f"{build.file} was changed on disk since it was read; nothing was written. "
            "Open it again (Kernel, Restart and run all) and make the change there."
        )
    if data != old:
        write_atomic(build.path.with_name(build.path.name + PREVIOUS), old)
        write_atomic(build.path, data)
    return new


def create(path: Path, text: str) -> Build:
    """Write a new build file and return the build.

    Raises
    ------
    BuildProblems
        If the text is no good build, or a file of that name is there already; nothing is written.
    NotSaved
        If the disk refuses.
    """
    if path.exists():
        raise BuildProblems([Problem(path.name, "", "a file of that name", "a new name; no build is overwritten")])
    data = text.encode("utf-8")
    parse(data, file=path.name, path=path)
    write_atomic(path, data)
    return parse(data, file=path.name, path=path)


def write_atomic(path: Path, data: bytes) -> None:
    """Write ``data`` beside ``path`` and move it there, so that no half-written file is ever seen.

    Raises
    ------
    NotSaved
        If the disk refuses; what stood at ``path`` still stands.
    """
    temporary = None
    try:
        handle, temporary = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".writing", dir=path.parent)
        with os.fdopen(handle, "wb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        os.chmod(temporary, path.stat().st_mode & 0o777 if path.exists() else 0o644)
        os.replace(temporary, path)
    except OSError as error:
        if temporary and os.path.exists(temporary):
            os.unlink(temporary)
        raise NotSaved(f"{path.name} could not be written ({error.strerror}); the old file stands") from error


def edited(text: str, changes: Mapping[str, str | int | bool]) -> str:
    """Return the text of a build file with values changed, comments and key order kept."""
    document = tomlkit.parse(text)
    migrate(document, int(document["schema"]))
    for key, value in changes.items():
        *path, (last, _) = split(key)
        table = document
        for name, item in path:
            table = _down(table, name, item)
        _put(table, last, value)
    return tomlkit.dumps(document)


def _down(table, name: str, item: str | None):
    if item is None:
        if not isinstance(table.get(name), dict):
            table[name] = tomlkit.table()
        return table[name]
    if not isinstance(table.get(name), list | AoT):
        table[name] = tomlkit.aot()
    for entry in table[name]:
        if str(entry.get("name", "")) == item:
            return entry
    entry = tomlkit.table()
    entry["name"] = item
    table[name].append(entry)
    return table[name][-1]


def _put(table, name: str, value) -> None:
    if isinstance(value, str) and not value.strip():
        table.pop(name, None)
        return
    if isinstance(value, Mapping):
        inline = tomlkit.inline_table()
        inline.update(value)
        value = inline
    old = table.get(name)
    if isinstance(old, InlineTable | Table) and "value" in old and not isinstance(value, Mapping):
        if str(old["value"]) != str(value):
            # What was measured is no longer what stands there, so it may not go on saying so.
            old["value"] = value
            old["known"] = "chosen"
            for stale in ("by", "plus_minus"):
                old.pop(stale, None)
        return
    table[name] = value


def _new_item(build: Build, key: str) -> bool:
    at = ""
    for name, item in split(key)[:-1]:
        at += ("." if at else "") + name
        if item is not None:
            if item not in build.names(at):
                return True
            at += f"[{item}]"
    return False

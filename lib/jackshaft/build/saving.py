"""Keeping values in a build file: atomic, with the writer's comments, never over somebody's change."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

import tomlkit
from tomlkit.items import AoT, Comment, InlineTable, Table, Whitespace

from jackshaft.build.migrate import migrate
from jackshaft.build.model import Build, describe_list, split
from jackshaft.build.problems import BuildProblems, ChangedOnDisk, NotSaved, Problem
from jackshaft.build.reading import digest, parse

PREVIOUS = ".previous"


Change = str | int | bool | Sequence[str]


def save_values(build: Build, changes: Mapping[str, Change]) -> Build:
    """Keep changed values in the build's own file and return the build as it now stands.

    The file is checked before it is written, written beside the old one and moved over it; the old
    version stays beside it with ``.previous`` at its end. An empty text removes the key; the key of a
    whole list takes its names in their order (see :meth:`Build.with_values`).

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
    told = {k for k in changes if _is_order(k, changes[k])}
    build.with_values(
        {
            k: v
            for k, v in changes.items()
            if k in told or k.startswith(tuple(t + "[" for t in told)) or not _new_item(build, k)
        }
    )
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


def edited(text: str, changes: Mapping[str, Change]) -> str:
    """Return the text of a build file with values changed, comments and key order kept."""
    document = tomlkit.parse(text)
    migrate(document, int(document["schema"]))
    # Lists first, the outer before the inner: what they bring in is filled after.
    for key, value in sorted(changes.items(), key=lambda c: (not _is_order(*c), len(split(c[0])))):
        *path, (last, _) = split(key)
        table = document
        for name, item in path:
            table = _down(table, name, item)
        if _is_order(key, value):
            _put_in_order(table, last, tuple(value))
        else:
            _put(table, last, value)
    return tomlkit.dumps(document)


def _is_order(key: str, value: Change) -> bool:
    return not isinstance(value, str | int | bool | Mapping) and describe_list(key) is not None


def _put_in_order(table, name: str, names: tuple[str, ...]) -> None:
    """Bring a list of parts into an order, each with the comments above and in it; new parts are empty."""
    old = list(table[name]) if isinstance(table.get(name), list | AoT) else []
    # What stands between the last blank line of a part and the next heading is said about the next part.
    leads = [_cut_lead(entry) for entry in old]
    above = {str(e["name"]): lead for e, lead in zip(old[1:], leads[:-1], strict=True)}
    there = {str(e["name"]): e for e in old}
    made = []
    for one in names:
        entry = there.get(one)
        if entry is None:
            entry = tomlkit.table()
            entry["name"] = one
            entry.add(tomlkit.nl())
        made.append(entry)
    # The place above the first part lies outside the list, so what led to a new first one goes to its end.
    orphans = [c for one, lead in above.items() if one not in names[1:] for c in lead]
    for here, following in zip(made, [*names[1:], None], strict=True):
        for comment in above.get(following, ()) if following is not None else [*orphans, *(leads[-1] if leads else ())]:
            here.value.append(None, comment)
    if made:
        # Taken as parsed, so that the blank lines stay as they are.
        table[name] = AoT(made, parsed=True)
    else:
        table.pop(name, None)


def _cut_lead(entry) -> list:
    """Take the comments behind the last blank line off a part and return them."""
    body, lead = entry.value.body, []
    while body and isinstance(body[-1][1], Comment):
        lead.insert(0, body.pop()[1])
    if body and not isinstance(body[-1][1], Whitespace):
        for comment in lead:
            entry.value.append(None, comment)
        return []
    return lead


def _apart(table):
    """Set a new chapter or part off by a blank line."""
    table.trivia.indent = "\n"
    return table


def _down(table, name: str, item: str | None):
    if item is None:
        if not isinstance(table.get(name), dict):
            table[name] = _apart(tomlkit.table())
        return table[name]
    if not isinstance(table.get(name), list | AoT):
        table[name] = tomlkit.aot()
    for entry in table[name]:
        if str(entry.get("name", "")) == item:
            return entry
    entry = _apart(tomlkit.table())
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
    # A new key goes above the blank line and the comments that lead to what follows.
    tail = []
    if old is None and isinstance(table, Table):
        while table.value.body and isinstance(table.value.body[-1][1], Comment | Whitespace):
            tail.insert(0, table.value.body.pop()[1])
    table[name] = value
    for item in tail:
        table.value.append(None, item)


def _new_item(build: Build, key: str) -> bool:
    at = ""
    for name, item in split(key)[:-1]:
        at += ("." if at else "") + name
        if item is not None:
            if item not in build.names(at):
                return True
            at += f"[{item}]"
    return False

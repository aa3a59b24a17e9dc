"""Values changed in the text of a build file, with comments, key order and line ends kept.

Every way that TOML has of writing the same thing is taken: chapters in ``[brackets]``, parts in
``[[double brackets]]`` or in inline lists, dotted and quoted keys. What was edited is read back with
another reader and held against the same changes made on plain data, so that a layout that cannot be
edited is refused and never written wrongly.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Comment, InlineTable, Item, Table, Whitespace

from jackshaft.buildfile import inline
from jackshaft.buildfile.migrate import migrate
from jackshaft.buildfile.model import describe_list, split
from jackshaft.buildfile.problems import NotSaved

Change = str | int | bool | Mapping[str, str] | Sequence[str]


def edited(text: str, changes: Mapping[str, Change], *, restored: Mapping[str, object] | None = None) -> str:
    """Return the text of a build file with values changed, comments and key order kept.

    Parameters
    ----------
    text : str
        The file's text, without a byte order mark.
    changes : mapping of key to value
        As for :meth:`Build.with_values`.
    restored : mapping of key to plain data, optional
        Parts and chapters that are put back whole before anything is changed.

    Raises
    ------
    NotSaved
        If the file is written in a way that cannot be edited without harm.
    """
    restored = restored or {}
    ends = text.count("\r\n")
    crlf = ends > 0 and ends == text.count("\n")
    source = text.replace("\r\n", "\n") if crlf else text
    closed = source if source.endswith("\n") else source + "\n"
    wanted = _plainly(closed, changes, restored)
    try:
        made = _kept_style(closed, changes, restored)
    except (TOMLKitError, ValueError, TypeError, AttributeError, KeyError, IndexError) as error:
        # The editor stumbles over some lawful layouts; then nothing may be written.
        raise _cannot(changes) from error
    if made == closed:
        return text
    if _without_empty(_read(made)) != _without_empty(wanted):
        raise _cannot(changes)
    return made.replace("\n", "\r\n") if crlf else made


def _cannot(changes: Mapping[str, Change]) -> NotSaved:
    return NotSaved(
        f"{', '.join(changes)} is written in the file in a way that cannot be changed from here without harm. Nothing "
        "was written. Change it with a text editor, or write its chapter in [brackets] with one key a line."
    )


def _read(text: str) -> dict:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise NotSaved(f"The file could not be read back ({error}). Nothing was written.") from error


def _without_empty(data):
    """Return plain data without empty chapters: a chapter of dotted keys is gone with its last key."""
    if isinstance(data, dict):
        inside = {k: _without_empty(v) for k, v in data.items()}
        return {k: v for k, v in inside.items() if v not in ({}, [])}
    return [_without_empty(v) for v in data] if isinstance(data, list) else data


def is_order(key: str, value: Change) -> bool:
    """Tell whether a change gives the parts of a whole list in their order."""
    return not isinstance(value, str | int | bool | Mapping) and describe_list(key) is not None


def _in_turn(changes: Mapping[str, Change]) -> list[tuple[str, Change]]:
    """Lists first, the outer before the inner: what they bring in is filled after."""
    return sorted(changes.items(), key=lambda c: (not is_order(*c), len(split(c[0]))))


# -- on plain data ---------------------------------------------------------------------------------


def _plainly(text: str, changes: Mapping[str, Change], restored: Mapping[str, object]) -> dict:
    """Return what the file must say after the change."""
    document = _read(text)
    migrate(document, int(document["schema"]))
    for key, data in restored.items():
        _restore_plain(document, key, data)
    for key, value in _in_turn(changes):
        *path, (last, _) = split(key)
        table = _home_plain(document, path)
        if is_order(key, value):
            there = {str(e.get("name", "")): e for e in _entries(table, last)}
            table[last] = [there.get(n, {"name": n}) for n in value]
            if not value:
                del table[last]
        else:
            _put_plain(table, last, value)
    return document


def _entries(table: Mapping, name: str) -> list:
    found = table.get(name)
    return found if isinstance(found, list) else []


def _down_plain(table: dict, name: str, item: str | None) -> dict:
    if item is None:
        if not isinstance(table.get(name), dict):
            table[name] = {}
        return table[name]
    table[name] = _entries(table, name)
    for entry in table[name]:
        if str(entry.get("name", "")) == item:
            return entry
    table[name].append({"name": item})
    return table[name][-1]


def _put_plain(table: dict, name: str, value: Change) -> None:
    old = table.get(name)
    if isinstance(value, str) and not value.strip():
        table.pop(name, None)
    elif isinstance(old, dict) and "value" in old and not isinstance(value, Mapping):
        if str(old["value"]) != str(value):
            table[name] = {k: v for k, v in old.items() if k not in STALE} | {"value": value, "known": "chosen"}
    else:
        table[name] = dict(value) if isinstance(value, Mapping) else value


def _home_plain(document: dict, path: Sequence[tuple[str, str | None]]) -> dict:
    for name, item in path:
        document = _down_plain(document, name, item)
    return document


def _restore_plain(document: dict, key: str, data: object) -> None:
    *path, (last, item) = split(key)
    table = _home_plain(document, path)
    if item is None:
        table[last] = data
    else:
        table[last] = [*_entries(table, last), data]


#: What is said of a measured value and not of one that was chosen.
STALE = ("by", "plus_minus")


# -- on the file's own text -------------------------------------------------------------------------


def _kept_style(text: str, changes: Mapping[str, Change], restored: Mapping[str, object]) -> str:
    document = tomlkit.parse(text)
    migrate(document, int(document["schema"]))
    for key, data in restored.items():
        _restore(document, key, data)
    for key, value in _in_turn(changes):
        *path, (last, _) = split(key)
        table, flat = _home(document, path)
        if is_order(key, value):
            _put_in_order(table, last, tuple(value), flat)
        else:
            _put(table, last, value)
    return tomlkit.dumps(document)


def _home(document, path: Sequence[tuple[str, str | None]]) -> tuple[object, bool]:
    """Return the chapter or part that a path leads to, and whether it is written inline."""
    table, flat = document, False
    for name, item in path:
        table, flat = _down(table, name, item, flat)
    return table, flat


def _restore(document, key: str, data) -> None:
    *path, (last, item) = split(key)
    table, flat = _home(document, path)
    if item is None:
        table[last] = inline.table_of(data) if flat else _apart(tomlkit.item(data))
        return
    names = [str(e["name"]) for e in _entries(table, last)]
    _put_in_order(table, last, (*names, item), flat)
    entry, flat = _down(table, last, item, flat)
    for name, value in data.items():
        if name != "name":
            entry[name] = inline.item_of(value) if flat else value


def _put_in_order(table, name: str, names: tuple[str, ...], flat: bool) -> None:
    """Bring a list of parts into an order, each with the comments above and in it; new parts are empty."""
    old = table.get(name)
    if not names:
        _pop_whole(table, name)
        return
    if flat or (isinstance(old, list) and not isinstance(old, AoT)):
        inline.put_in_order(table, name, names)
        return
    entries = list(old) if isinstance(old, AoT) else []
    # What stands between the last blank line of a part and the next heading is said about the next part.
    leads = [_cut_lead(entry) for entry in entries]
    above = {str(e["name"]): lead for e, lead in zip(entries[1:], leads[:-1], strict=True)}
    there = {str(e["name"]): e for e in entries}
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
    # Taken as parsed, so that the blank lines stay as they are.
    table[name] = AoT(made, parsed=True)


def _pop_whole(table, name: str) -> None:
    """Take a chapter or a list out; the comments that lead to what follows it go to the end of what stands before."""
    old = table.get(name)
    last = _last_table(old) if isinstance(old, Table | AoT) and len(old) else None
    lead = _cut_lead(last) if last is not None else []
    before = None
    for key, item in getattr(table, "body", ()):
        if key is not None and key.key == name:
            break
        before = item if key is not None else before
    table.pop(name, None)
    if lead and isinstance(before, Table | AoT):
        home = _last_table(before)
        for comment in [tomlkit.nl(), *lead]:
            home.value.append(None, comment)
    elif lead:
        for comment in lead:
            table.add(comment)


def _last_table(item) -> Table:
    """Return the chapter or part that is written last inside a chapter or a list."""
    if isinstance(item, AoT):
        return _last_table(item[-1])
    inside = [i for _, i in item.value.body if isinstance(i, AoT) or (isinstance(i, Table) and not i.is_super_table())]
    return _last_table(inside[-1]) if inside else item


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
    if isinstance(table, Table):
        table.trivia.indent = "\n"
    return table


def _down(table, name: str, item: str | None, flat: bool) -> tuple[object, bool]:
    """Return the chapter or part one step down, made where it is not there, and whether it is written inline."""
    there = table.get(name)
    if item is None:
        if not isinstance(there, dict):
            made = tomlkit.inline_table() if flat else _apart(tomlkit.table())
            if isinstance(there, Item):
                # What was said behind its "none" is said behind its heading.
                made.trivia.comment_ws, made.trivia.comment = there.trivia.comment_ws, there.trivia.comment
            table[name] = made
        return table[name], flat or inline.is_flat(table, name)
    in_line = flat or (isinstance(there, list) and not isinstance(there, AoT))
    if in_line:
        if item not in [str(e.get("name", "")) for e in _entries(table, name)]:
            inline.put_in_order(table, name, (*(str(e["name"]) for e in _entries(table, name)), item))
    elif not isinstance(there, AoT):
        table[name] = tomlkit.aot()
    for entry in table[name]:
        if str(entry.get("name", "")) == item:
            return entry, in_line
    entry = _apart(tomlkit.table())
    entry["name"] = item
    table[name].append(entry)
    return table[name][-1], False


def _put(table, name: str, value: Change) -> None:
    old = table.get(name)
    if isinstance(value, str) and (isinstance(old, Table | AoT) and "value" not in old):
        _pop_whole(table, name)
    if isinstance(value, str) and not value.strip():
        table.pop(name, None)
        return
    old = table.get(name)
    if isinstance(value, Mapping):
        if isinstance(old, dict):
            # Where it stands stays, and with it the comments that lead to what follows.
            for key in [k for k in old if k not in value]:
                old.pop(key)
            for key, one in value.items():
                old[key] = one
            return
        value = inline.table_of(value)
    if isinstance(old, dict) and "value" in old and not isinstance(value, Mapping):
        if str(old["value"]) != str(value):
            # What was measured is no longer what stands there, so it may not go on saying so.
            old["value"] = value
            old["known"] = "chosen"
            for stale in STALE:
                old.pop(stale, None)
        return
    # A new key goes above the blank line and the comments that lead to what follows.
    tail = []
    if old is None and isinstance(table, Table) and not isinstance(table, InlineTable):
        while table.value.body and isinstance(table.value.body[-1][1], Comment | Whitespace):
            tail.insert(0, table.value.body.pop()[1])
    table[name] = value
    for item in tail:
        table.value.append(None, item)

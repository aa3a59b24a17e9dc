"""Parts and chapters written on one line: ``pulley = [{name = "E"}, ...]`` and ``engine.turns = ...``."""

from __future__ import annotations

from collections.abc import Mapping

import tomlkit
from tomlkit.items import Comment, InlineTable, Whitespace


def table_of(data: Mapping) -> InlineTable:
    """Return plain data as an inline table, with all that is inside it inline too."""
    made = tomlkit.inline_table()
    for name, value in data.items():
        made[name] = item_of(value)
    return made


def item_of(value: object):
    """Return plain data as it is written inside an inline table."""
    if isinstance(value, Mapping):
        return table_of(value)
    if isinstance(value, list):
        made = tomlkit.array()
        for one in value:
            made.append(item_of(one))
        return made
    return value


def is_flat(table, name: str) -> bool:
    """Tell whether the chapter ``name`` is an inline table or is written with dotted keys.

    What is added below such a chapter cannot have a heading of its own.
    """
    if isinstance(table.get(name), InlineTable):
        return True
    return any(key is not None and key.key == name and key.is_dotted() for key, _ in _body(table))


def _body(table) -> list:
    if hasattr(table, "body"):
        return table.body
    inner = getattr(table, "_internal_container", None) or table.value
    return inner.body


def put_in_order(table, name: str, names: tuple[str, ...]) -> None:
    """Bring an inline list of parts into an order; each takes the comments above it and behind it along."""
    old = table.get(name)
    old = old if isinstance(old, list) else None
    parts, rest, indent = _pieces(old) if old is not None else ({}, [], "")
    lines = []
    for one in names:
        above, entry, behind = parts.get(one) or ([], table_of({"name": one}).as_string(), "")
        lines.append((above, entry, behind))
    rest += [
        c for one, (above, _, behind) in parts.items() if one not in names for c in (*above, *filter(None, [behind]))
    ]
    if indent or rest:
        indent = indent or "\n    "
        text = ""
        for above, entry, behind in lines:
            text += "".join(indent + c for c in above) + indent + entry + "," + (f" {behind}" if behind else "")
        text += "".join(indent + c for c in rest) + "\n"
    else:
        text = ", ".join(entry for _, entry, _ in lines)
    made = tomlkit.parse(f"x = [{text}]\n")["x"]
    if old is not None:
        for what in ("indent", "comment_ws", "comment", "trail"):
            setattr(made.trivia, what, getattr(old.trivia, what))
    table[name] = made


def _pieces(array) -> tuple[dict[str, tuple[list[str], str, str]], list[str], str]:
    """Return each part's comments above, its text and the comment behind it; the comments left over; the indent."""
    parts: dict[str, tuple[list[str], str, str]] = {}
    above: list[str] = []
    indent, last, same_line = "", None, False
    for item in array._iter_items():
        if isinstance(item, Whitespace):
            if "\n" in item.s:
                indent, same_line = indent or "\n" + item.s.rsplit("\n", 1)[1], False
        elif isinstance(item, Comment):
            words = item.as_string().strip()
            if same_line and last is not None:
                parts[last] = (*parts[last][:2], words)
            else:
                above.append(words)
            same_line = False
        elif isinstance(item, Mapping):
            last, same_line = str(item.get("name", "")), True
            parts[last] = (above, item.as_string().strip(), "")
            above = []
    return parts, above, indent

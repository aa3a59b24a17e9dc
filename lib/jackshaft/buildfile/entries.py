"""What somebody typed for a key, in a form or on the command line, as the file holds it."""

from __future__ import annotations

import re
from collections.abc import Iterable

from jackshaft import tables
from jackshaft.buildfile.model import Build, describe, describe_list, describe_whole
from jackshaft.buildfile.rules import allowed_names, listed
from jackshaft.buildfile.schema import Field
from jackshaft.buildfile.trade_words import meant, meant_first, part_meant
from jackshaft.buildfile.values import span

#: A table with more entries than this is typed and not picked from.
MOST_ENTRIES = 60
NUMBER = re.compile(r"[-+]?\d+(\.\d+)?")
YES, NO = ("yes", "y", "true"), ("no", "n", "false")


def entered(build: Build, key: str, text: str) -> dict[str, str | int | bool | tuple[str, ...]]:
    """Return what is to be written for what was typed: the key with its value, and what else the words said.

    The key of a list takes the names of its parts in their order, with commas between them.

    Yes/no and whole numbers are written without quotes; a choice is found by its trade words, a name and an entry
    of a table whatever their capitals. "Clockwise facing the shaft" says the side that it is seen from too. A bare
    number of degrees, or of hours of use, gets its unit.

    Raises
    ------
    BuildProblems
        If a yes/no, a whole number or a choice is none.
    NoSuchKey
        If the schema has no such key.
    """
    text = text.strip()
    if "," in text and describe_list(key) is not None:
        return {key: tuple(name.strip() for name in text.split(","))}
    if not text or describe_whole(key) is not None:
        return {key: text}
    field = describe(key)[1]
    if text.casefold() == "none" and "none" not in field.choices:
        return {key: text.casefold()}
    if field.kind == "yes/no":
        if text.casefold() not in (*YES, *NO):
            raise build.refusal(key, f"'{text}'", "yes or no")
        return {key: text.casefold() in YES}
    if field.kind == "count":
        if not (text.isascii() and text.isdigit()):
            raise build.refusal(key, f"'{text}'", f"a whole number{span(field)}")
        return {key: int(text)}
    if field.kind == "choice":
        return _choice(build, key, field, text)
    if field.kind == "references":
        names = allowed_names(build, key, field.refers)
        return {key: ", ".join(_same_but_for_case(one, names) for one in listed(text))}
    if field.kind == "reference":
        return {key: _same_but_for_case(text, allowed_names(build, key, field.refers))}
    if field.table:
        table, column = field.table
        return {key: _same_but_for_case(text, (str(row[column]) for row in tables.table(table).rows))}
    bare = field.plain_unit and NUMBER.fullmatch(text)
    return {key: f"{text} {field.plain_unit}" if bare else text}


def _choice(build: Build, key: str, field: Field, text: str) -> dict[str, str]:
    choice = meant(field, text)
    if choice is not None:
        return {key: choice}
    home, dot, name = key.rpartition(".")
    found = meant_first(field, text) if name == "turns" else None
    if found is not None:
        seen = f"{home}{dot}seen_from"
        side = meant(describe(seen)[1], found[1])
        if side is not None:
            return {key: found[0], seen: side}
    # a slip of the pen is refused where the value is taken, with the nearest choice
    return {key: text}


def choices_at(build: Build, key: str) -> tuple[str, ...]:
    """Return what can be picked at a key; nothing where its value is typed."""
    field = describe(key)[1]
    found: tuple[str, ...] = field.choices
    if field.kind == "yes/no":
        found = ("yes", "no")
    elif field.kind == "reference":
        found = allowed_names(build, key, field.refers)
    elif field.table:
        table, column = field.table
        found = tuple(dict.fromkeys(str(row[column]) for row in tables.table(table).rows))
    if field.absent and found and "none" not in found:
        found += ("none",)
    return found if len(found) <= MOST_ENTRIES else ()


def _same_but_for_case(text: str, names: Iterable[str]) -> str:
    """Return the one name that is the text but for capitals and spaces, or the text."""
    names = tuple(dict.fromkeys(names))
    if text in names:
        return text
    alike = [n for n in names if like(n) == like(text)]
    return alike[0] if len(alike) == 1 else part_meant(text, names)


def like(name: str) -> str:
    """Return a name without its capitals and spaces: two parts whose names differ only there are taken for one."""
    return "".join(name.casefold().split())


__all__ = ["choices_at", "entered", "like"]

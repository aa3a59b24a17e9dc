"""No check that may be a caution or a stop is without a way on: a change, what to ask for, or why there is neither."""

import ast
import re

import pytest
from jackshaft.buildfile import NoSuchKey, describe, describe_whole
from jackshaft.results.chapter import chapters
from project import ROOT

CHAPTERS = ROOT / "lib" / "jackshaft" / "chapters"
TABLES = ("PROPOSALS", "ASKS", "NO_CHANGE")
#: What stands for a piece of work or a question only: such an id is not decidable at worst.
ONLY_OPEN = {
    "bearings.shaft",
    "capacity.grooves",
    "clutch.dynamics",
    "electric.facts",
    "electric.joints",
    "electric.readings",
    "electric.symptoms",
    "electric.tables",
    "layout.kind",
    "ratio.aside",
    "shafts.hub",
}


def is_key(name: str) -> bool:
    try:
        if describe_whole(name) is None:
            describe(name)
    except (NoSuchKey, KeyError):
        return False
    return True


def ids_in(tree: ast.AST, names: tuple[str, ...]) -> set[str]:
    """Return the ids of checks that a file writes: ``chapter.what`` alone or before a bracket, that are no key."""
    pieces = {id(piece) for node in ast.walk(tree) if isinstance(node, ast.JoinedStr) for piece in node.values}
    found = set()
    for node in ast.walk(tree):
        text = node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else ""
        match = re.fullmatch(rf"((?:{'|'.join(names)})\.[a-z][a-z_-]*)(\[.*)?", text, re.DOTALL)
        # what an f-string goes on with before its bracket is no whole id
        if match and (match[2] or id(node) not in pieces) and not is_key(match[1]):
            found.add(match[1])
    return found


@pytest.fixture(scope="module")
def declared() -> dict[str, set[str]]:
    parts = [c.part("cures") for c in chapters().values()]
    return {table: {what for part in parts for what in getattr(part, table, {})} for table in TABLES}


def test_each_check_has_a_change_something_to_ask_for_or_a_reason(declared):
    names = tuple(map(re.escape, chapters()))
    written = {w for path in CHAPTERS.rglob("*.py") for w in ids_in(ast.parse(path.read_text("utf-8")), names)}
    assert len(written) > 100
    assert written - set.union(*declared.values()) - ONLY_OPEN == set()
    assert ONLY_OPEN - written == set()


def test_a_reason_why_nothing_helps_stands_beside_no_change(declared):
    assert declared["NO_CHANGE"] & (declared["PROPOSALS"] | declared["ASKS"] | ONLY_OPEN) == set()


def test_an_id_without_a_way_on_is_seen():
    tree = ast.parse('draft.check(f"ratio.new-thing[{name}]", "x"); reader.get("work.power")')
    assert ids_in(tree, ("ratio", "work")) == {"ratio.new-thing"}

"""The list of spoilings: each can still be applied, names tests that exist, and the script finds a survivor."""

from __future__ import annotations

import re

import pytest
import spoilings
from project import ROOT

ALL = spoilings.read()


def _can_be_tried(spoiling):
    assert spoiling.fault(ROOT) == ""
    assert spoiling.tests, "no test is named"
    for test in spoiling.tests:
        file, _, name = test.partition("::")
        text = (ROOT / file).read_text(encoding="utf-8")
        assert re.search(rf"^def {re.escape(name.split('[')[0])}\(", text, re.MULTILINE), f"{test} is not there"


def test_each_spoiling_can_still_be_tried(for_each):
    for_each(ALL, _can_be_tried, lambda s: s.name)


def test_names_differ():
    names = [s.name for s in ALL]
    assert len(names) == len(set(names))


def test_every_chapter_has_one():
    chapters = ROOT / "lib" / "jackshaft" / "chapters"
    folders = {p.name for p in chapters.iterdir() if (p / "analysis.py").exists()}
    spoiled = {s.file.split("/")[3] for s in ALL if s.file.startswith("lib/jackshaft/chapters/")}
    assert folders <= spoiled


@pytest.fixture
def toy(tmp_path):
    """A tree with one number in it, and a test of its sign only."""
    package, tests = tmp_path / "toy" / "lib" / "jackshaft", tmp_path / "toy" / "tests"
    package.mkdir(parents=True)
    tests.mkdir()
    (package / "__init__.py").write_text("NUMBER = 2\n")
    (tests / "test_toy.py").write_text("from jackshaft import NUMBER\n\n\ndef test_sign():\n    assert NUMBER > 0\n")
    return tmp_path / "toy"


def test_what_is_noticed_is_told_from_what_is_not(toy):
    tests, file = ("tests/test_toy.py::test_sign",), "lib/jackshaft/__init__.py"
    given = [
        spoilings.Spoiling("sign", file, "= 2", "= -2", tests),
        spoilings.Spoiling("size", file, "= 2", "= 3", tests),
        spoilings.Spoiling("gone", file, "= 7", "= 3", tests),
        spoilings.Spoiling("no Python", file, "= 2", "= = 2", tests),
    ]
    found = [what for _, what, _ in spoilings.judge(toy, given)]
    assert found == [spoilings.CAUGHT, spoilings.SURVIVED, spoilings.NOT_TRIED, spoilings.NOT_TRIED]
    assert (toy / file).read_text() == "NUMBER = 2\n"


def test_tests_that_fail_before_anything_is_spoiled_are_said(toy):
    (toy / "lib/jackshaft/__init__.py").write_text("NUMBER = -2\n")
    given = spoilings.Spoiling("sign", "lib/jackshaft/__init__.py", "-2", "2", ("tests/test_toy.py::test_sign",))
    with pytest.raises(RuntimeError, match="before anything is spoiled"):
        spoilings.judge(toy, [given])

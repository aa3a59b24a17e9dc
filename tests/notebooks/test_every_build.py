"""Every notebook runs on every build: nothing is written for one machine, and nothing needs a full build."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from jackshaft.buildfile import DEMO, list_builds, load
from jackshaft.notebooks import execute, find_notebooks
from jackshaft.ui.shown import FAULT

pytestmark = pytest.mark.every_build

BOOKS, BUILDS = find_notebooks(), list_builds()


def seen(book) -> list[str]:
    """What a reader sees of the outputs, as text."""
    found = []
    for cell in book["cells"]:
        for output in cell.get("outputs", ()):
            words = output.get("text") or output.get("data", {}).get("text/plain", "")
            found.append("".join(words))
    return found


def test_there_is_something_to_run():
    assert len(BOOKS) >= 6 and len(BUILDS) >= 4 and DEMO in BUILDS


@pytest.mark.parametrize("build", BUILDS)
@pytest.mark.parametrize("path", BOOKS, ids=lambda p: p.stem)
def test_runs_on(path: Path, build: str, own_data):
    before = {p.name: p.read_bytes() for p in (own_data / "builds").glob("*.toml")}
    book = execute(path, data=own_data, build=build)
    outputs = [o for c in book.cells if c.cell_type == "code" for o in c.outputs]
    assert outputs
    assert [o for o in outputs if o.output_type == "error"] == []
    assert [o.text for o in outputs if o.output_type == "stream" and o.name == "stderr"] == []
    # A notebook that opened the demo build whatever was asked would run everywhere and tell nothing.
    words = "\n".join(seen(book))
    assert FAULT not in words
    assert load(build).name in words
    assert build == DEMO or load(DEMO).name not in words
    # To run a notebook is to look: it keeps nothing until somebody presses a button.
    assert {p.name: p.read_bytes() for p in (own_data / "builds").glob("*.toml")} == before


def test_a_build_that_is_not_there_opens_the_demo_and_says_so(own_data, tmp_path):
    book = execute(BOOKS[0], data=own_data, build=os.fspath(tmp_path / "nowhere.toml"))
    words = "\n".join(seen(book))
    assert "no such file" in words and "The demo build is open in its place" in words and load(DEMO).name in words


BROKEN = {
    "no TOML": 'schema = 1\nname = "half',
    "a value that cannot be": (
        'schema = 1\nname = "Odd"\n[engine]\nwork_speed = "3 lbf"\n[[stage]]\nname = "a"\nsection = "Q"\n'
    ),
}


@pytest.mark.parametrize("text", BROKEN.values(), ids=BROKEN)
@pytest.mark.parametrize("path", BOOKS, ids=lambda p: p.stem)
def test_a_broken_file_closes_no_notebook(path: Path, text: str, own_data):
    file = own_data / "builds" / "broken.toml"
    file.write_text(text, encoding="utf-8")
    words = "\n".join(seen(execute(path, data=own_data, build="broken")))
    assert "The build file is not in order" in words and "broken.toml" in words and FAULT not in words
    assert file.read_text(encoding="utf-8") == text

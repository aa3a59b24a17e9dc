"""Every notebook runs on every build: nothing is written for one machine, and nothing needs a full build."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from jackshaft.build import DEMO, list_builds, load
from jackshaft.notebooks import execute, find_notebooks

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
    assert load(build).name in words
    assert build == DEMO or load(DEMO).name not in words
    # To run a notebook is to look: it keeps nothing until somebody presses a button.
    assert {p.name: p.read_bytes() for p in (own_data / "builds").glob("*.toml")} == before


def test_a_build_that_is_not_there_fails(own_data, tmp_path):
    """The runner sees an error in a cell, so silence above means that there was none."""
    from jackshaft.notebooks import NotRefreshed

    with pytest.raises(NotRefreshed, match="no such file"):
        execute(BOOKS[0], data=own_data, build=os.fspath(tmp_path / "nowhere.toml"))

"""Every notebook runs on every build: nothing is written for one machine, and nothing needs a full build."""

from __future__ import annotations

import os
from pathlib import Path

import nbformat
import pytest
import zmq
from jackshaft.buildfile import DEMO, list_builds, load
from jackshaft.notebooks import KERNELSPEC, TIMEOUT, execute, find_notebooks
from jackshaft.ui.shown import FAULT
from nbclient import NotebookClient
from nbclient.util import run_sync

pytestmark = pytest.mark.every_build

BOOKS, BUILDS = find_notebooks(), list_builds()
#: The stored outputs are those of the demo build, and nbval compares them with a run of its own.
OTHERS = [name for name in BUILDS if name != DEMO]


#: Puts a kernel back to how it starts, on another build.
AFRESH = """
import os, warnings
get_ipython().run_line_magic("reset", "-f")
import os
os.chdir({folder!r})
os.environ["JACKSHAFT_DATA"], os.environ["JACKSHAFT_BUILD"] = {data!r}, {build!r}
"""


@pytest.fixture(scope="module")
def kernel():
    """One kernel for all runs of this file: to start one anew and import everything takes longer than a page does."""
    client = NotebookClient(nbformat.v4.new_notebook(), kernel_name=KERNELSPEC["name"])
    client.create_kernel_manager()
    if zmq.has("curve"):
        client.km.transport_encryption = "auto"
    client.start_new_kernel(env={**os.environ, "PYTHONHASHSEED": "0"})
    yield client.km
    run_sync(client.km.shutdown_kernel)(now=True)


def run(kernel, path: Path, *, data: Path, build: str) -> nbformat.NotebookNode:
    """Run a notebook in the kernel as if that had just been started on a build."""
    book = nbformat.read(path, as_version=4)
    for cell in book.cells:
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
    afresh = AFRESH.format(folder=str(path.resolve().parent), data=str(data), build=build)
    book.cells.insert(0, nbformat.v4.new_code_cell(afresh))
    client = NotebookClient(book, timeout=TIMEOUT, km=kernel)
    try:
        client.execute()
    finally:
        client.kc.stop_channels()
    del book.cells[0]
    return book


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


@pytest.mark.parametrize("build", OTHERS)
@pytest.mark.parametrize("path", BOOKS, ids=lambda p: p.stem)
def test_runs_on(path: Path, build: str, own_data, kernel):
    before = {p.name: p.read_bytes() for p in (own_data / "builds").glob("*.toml")}
    book = run(kernel, path, data=own_data, build=build)
    outputs = [o for c in book.cells if c.cell_type == "code" for o in c.outputs]
    assert outputs
    assert [o for o in outputs if o.output_type == "error"] == []
    assert [o.text for o in outputs if o.output_type == "stream" and o.name == "stderr"] == []
    # A notebook that opened the demo build whatever was asked would run everywhere and tell nothing.
    words = "\n".join(seen(book))
    assert FAULT not in words
    assert load(build).name in words
    assert load(DEMO).name not in words
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
def test_a_broken_file_closes_no_notebook(path: Path, text: str, own_data, kernel):
    file = own_data / "builds" / "broken.toml"
    file.write_text(text, encoding="utf-8")
    words = "\n".join(seen(run(kernel, path, data=own_data, build="broken")))
    assert "The build file is not in order" in words and "broken.toml" in words and FAULT not in words
    assert file.read_text(encoding="utf-8") == text

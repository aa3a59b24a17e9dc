"""Refreshing notebooks: what is stored is the same twice, and what may not be stored is refused."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import nbformat
import pytest
from jackshaft import notebooks
from jackshaft.buildfile import DEMO

TOY = Path(__file__).with_name("panel_toy.py")


def write(path, *sources):
    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(s) for s in sources])
    nbformat.write(book, path)
    return path


@pytest.fixture(scope="module")
def refreshed(tmp_path_factory):
    folder = tmp_path_factory.mktemp("books")
    shutil.copy(TOY, folder)
    path = write(
        folder / "toy.ipynb",
        "import panel_toy\nbuild = panel_toy.load('toy.json')",
        "print('one')\nprint('two')",
        "panel = panel_toy.toy_panel(build)\npanel",
    )
    assert list(notebooks.refresh([path])) == [path]
    return path


def change(path, tmp_path, edit):
    copy = tmp_path / path.name
    book = json.loads(path.read_text(encoding="utf-8"))
    edit(book)
    copy.write_text(json.dumps(book), encoding="utf-8")
    return " | ".join(notebooks.refuse_reasons(copy))


def test_twice_the_same_and_fit_to_commit(refreshed):
    first = refreshed.read_bytes()
    list(notebooks.refresh([refreshed]))
    assert refreshed.read_bytes() == first
    assert notebooks.refuse_reasons(refreshed) == []


def test_panel_is_stored_as_text_table_and_picture_only(refreshed):
    cell = nbformat.read(refreshed, as_version=4).cells[2]
    assert [sorted(o.data) for o in cell.outputs] == [["text/html", "text/plain"], ["image/png"]]
    assert "belt length: 63.87 in (1622 mm)" in cell.outputs[0].data["text/plain"]
    assert "63.87 in" in cell.outputs[1].metadata["image/png"]["alt"]
    assert len(cell.outputs[1].data["image/png"]) < 60_000


def test_streams_are_joined(refreshed):
    outputs = nbformat.read(refreshed, as_version=4).cells[1].outputs
    assert [o.text for o in outputs] == ["one\ntwo\n"]


@pytest.mark.parametrize(
    "edit, words",
    [
        (lambda b: b["cells"][0].update(execution_count=7), "not run once each"),
        (
            lambda b: b["cells"][1]["outputs"].append(
                {"output_type": "stream", "name": "stderr", "text": ["careful\n"]}
            ),
            "stderr: careful",
        ),
        (
            lambda b: b["cells"][1]["outputs"].append(
                {"output_type": "error", "ename": "ValueError", "evalue": "no", "traceback": []}
            ),
            "an error is stored",
        ),
        (
            lambda b: b["cells"][1]["outputs"].append(
                {
                    "output_type": "display_data",
                    "metadata": {},
                    "data": {notebooks.WIDGET_VIEW: {"version_major": 2, "version_minor": 0, "model_id": "x"}},
                }
            ),
            "live widget",
        ),
        (
            lambda b: b["cells"][1]["outputs"][0].update(text=["read /home/somebody/build.toml\n"]),
            "path of this machine",
        ),
        (lambda b: b["cells"][1]["outputs"][0].update(text=["read C:\\Users\\me\n"]), "path of this machine"),
        (lambda b: b["cells"][1]["outputs"][0].update(text=["<Thing object at 0x7f33aa10>\n"]), "address in memory"),
        (lambda b: b["cells"][2]["outputs"][1]["metadata"]["image/png"].pop("alt"), "no alternative text"),
        (lambda b: b["cells"][1].update(outputs=[]), "no output is stored"),
        (lambda b: [c.update(outputs=[]) for c in b["cells"]], "no cell has a stored output"),
        (lambda b: b["cells"][0].update(id="abc"), "its id is not made from its text"),
        (lambda b: b["cells"][0]["metadata"].update(execution={"iopub.status.busy": "now"}), "metadata hold execution"),
        (lambda b: b["metadata"].update(widgets={}), "state of live widgets"),
        (lambda b: b["metadata"]["language_info"].update(version="3.11.9"), "metadata say more"),
        (lambda b: None, "the refresh command did not write it"),
    ],
)
def test_hand_saved_is_refused(refreshed, tmp_path, edit, words):
    assert words in change(refreshed, tmp_path, edit)


def test_markdown_picture_needs_words(refreshed, tmp_path):
    def edit(book):
        book["cells"].append({"cell_type": "markdown", "id": "m", "metadata": {}, "source": ["![](a.png)"]})

    assert "a picture has no alternative text" in change(refreshed, tmp_path, edit)


@pytest.mark.parametrize(
    "words",
    [
        "3/8 in and 1-3/8 in",
        "2995 ft/min",
        "12 lbf·ft/rad",
        "J/kg/K",
        "</td></tr>",
        "https://example.org/a/b",
        "9.81 m/s²/x/y",
        "and/or/both",
    ],
)
def test_units_fractions_and_tags_are_no_paths(words):
    assert list(notebooks._varying(words)) == []


@pytest.mark.parametrize(
    "source, shows",
    [
        ("x = 1", False),
        ("x", True),
        ("x;", False),
        ("print(x)", True),
        ("for a in b:\n    display(a)", True),
        ("import x", False),
        ("%matplotlib inline", True),
        ("x = f(1)\nx.table()", True),
        ("", False),
    ],
)
def test_displays(source, shows):
    assert notebooks.displays(source) is shows


def test_failing_cell_leaves_the_file_alone(tmp_path):
    path = write(tmp_path / "bad.ipynb", "1 / 0")
    before = path.read_bytes()
    with pytest.raises(notebooks.NotRefreshed, match="(?s)bad.ipynb: a cell failed.*ZeroDivisionError"):
        list(notebooks.refresh([path]))
    assert path.read_bytes() == before


def test_what_may_not_be_stored_is_not_written(tmp_path):
    path = write(tmp_path / "warns.ipynb", "import sys\nprint('x', file=sys.stderr)")
    before = path.read_bytes()
    with pytest.raises(notebooks.NotRefreshed, match="stderr"):
        list(notebooks.refresh([path]))
    assert path.read_bytes() == before


def test_runs_on_the_demo_build_in_its_own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("JACKSHAFT_BUILD", "another")
    path = write(
        tmp_path / "env.ipynb", "import os\nprint(os.environ.get('JACKSHAFT_BUILD'), os.path.basename(os.getcwd()))"
    )
    list(notebooks.refresh([path]))
    text = nbformat.read(path, as_version=4).cells[0].outputs[0].text
    assert text == f"{DEMO} {tmp_path.name}\n"

"""Notebooks as text: skeleton, short cells, stored outputs that a command wrote, a browser test for each."""

from __future__ import annotations

import ast
import copy
import json
import re
from pathlib import Path
from statistics import median

import pytest
from jackshaft.notebooks import refuse_reasons
from project import ROOT, cells, files, notebooks, text

BOOKS = notebooks()
#: Verbs a title may begin with: what the reader does on that page.
VERBS = {
    "Start",
    "Choose",
    "Lay",
    "Load",
    "Look",
    "Render",
    "Find",
    "Check",
    "Set",
    "Size",
    "Draw",
    "Measure",
    "Pick",
    "Match",
    "Work",
    "Make",
    "Compare",
    "Tension",
    "Guard",
    "Time",
    "Balance",
    "Log",
    "Search",
    "See",
}
MOST_LINES, USUAL_LINES = 12, 6
WORDS_A_LINE = (10, 70)
by_book = pytest.mark.parametrize("book", BOOKS, ids=lambda p: p.stem)


def markdown(book: Path) -> str:
    return "\n\n".join(c["source"] for c in cells(book, "markdown"))


def code(book: Path) -> list[str]:
    return [c["source"] for c in cells(book, "code")]


def code_lines(source: str) -> int:
    return sum(bool(x.strip()) and not x.lstrip().startswith("#") for x in source.splitlines())


def test_there_are_notebooks_numbered_in_their_order():
    assert len(BOOKS) >= 6
    assert [p.stem for p in BOOKS if not re.fullmatch(r"\d\d_[a-z0-9_]+", p.stem)] == []
    assert len({p.stem[:2] for p in BOOKS}) == len(BOOKS)


def skeleton_faults(sources: list[tuple[str, str]], *, subject: bool) -> list[str]:
    """What the skeleton of a notebook lacks; ``sources`` are (kind of cell, text) in order."""
    kind, first = sources[0]
    if kind != "markdown" or not first.startswith("# "):
        return ["the first cell is not a title"]
    words = "\n\n".join(t for k, t in sources if k == "markdown")
    faults = []
    if first.split()[1].rstrip(":,") not in VERBS:
        faults.append("the title does not begin with a verb")
    if len(re.findall(r"^# ", words, re.MULTILINE)) != 1:
        faults.append("more than one title")
    wanted = ["What you'll settle.", "What you need to hand."]
    faults += [f"no '{w}' in the first cell" for w in wanted if f"**{w}**" not in first]
    headings = re.findall(r"^## +(.+?) *$", words, re.MULTILINE)
    ends = (["What the record now says"] if subject else []) + ["Fine print", "Sources"]
    at = [headings.index(e) if e in headings else -1 for e in ends]
    faults += [f"no heading '{e}'" for e, i in zip(ends, at, strict=True) if i < 0]
    if at != sorted(at) or headings[-1:] != ["Sources"]:
        faults.append(f"headings out of order; {', '.join(ends)} come last, in that order")
    if headings.index(ends[0]) < 2 if ends[0] in headings else False:
        faults.append("fewer than two steps before the end")
    if sources[-1][0] == "markdown" and re.search(r"## Sources\s*(\[↑ [^\n]*)?$", sources[-1][1].rstrip()):
        faults.append("nothing stands under 'Sources'")
    return faults


def cell_sources(book: Path) -> list[tuple[str, str]]:
    return [(c["cell_type"], "".join(c["source"])) for c in json.loads(text(book))["cells"]]


@by_book
def test_skeleton(book):
    assert skeleton_faults(cell_sources(book), subject=book.stem[:2] != "00") == []


def test_a_bad_skeleton_is_seen():
    good = cell_sources(BOOKS[1])
    head = good[0][1]

    def with_head(new):
        return [("markdown", new), *good[1:]]

    spoiled = [
        good[1:],
        good[:-1],
        with_head(head.replace("# ", "# The ", 1)),
        with_head(head.replace("settle", "see")),
        with_head(head.replace("to hand", "")),
        [*good, ("markdown", "# Another title")],
        [*good, ("markdown", "## Afterthought")],
        [(k, t.replace("## Fine print", "## Small print")) for k, t in good],
        [(k, t.replace("## What the record now says", "## Record")) for k, t in good],
    ]
    assert skeleton_faults(good, subject=True) == []
    assert [i for i, s in enumerate(spoiled) if not skeleton_faults(s, subject=True)] == []


def cell_faults(source: str, *, first: bool) -> list[str]:
    """What a code cell may not hold."""
    faults = []
    if code_lines(source) > MOST_LINES:
        faults.append(f"more than {MOST_LINES} lines")
    if not source.strip():
        return ["an empty cell"]
    try:
        tree = ast.parse(source)
    except SyntaxError:
        return [*faults, "not plain Python (a magic or a shell line?)"]
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef | ast.Lambda):
            faults.append("it defines something; that belongs in the package")
        if isinstance(node, ast.Import | ast.ImportFrom):
            names = [a.name for a in node.names] if isinstance(node, ast.Import) else [node.module or "."]
            faults += [
                f"it imports {n}; notebooks import the package only" for n in names if n.split(".")[0] != "jackshaft"
            ]
            if not first:
                faults.append("it imports; only the first code cell does")
        if isinstance(node, ast.Try):
            faults.append("it catches errors")
    if re.search(r"\b(matplotlib|pyplot|plt|ipywidgets|savefig)\b", source):
        faults.append("plotting or widget code")
    return faults


@by_book
def test_code_cells_are_short_and_plain(book):
    found = {n: f for n, source in enumerate(code(book)) if (f := cell_faults(source, first=n == 0))}
    assert found == {}
    assert code(book)[0].lstrip().startswith(("from jackshaft", "import jackshaft"))
    lengths = [code_lines(s) for s in code(book)]
    assert median(lengths) <= USUAL_LINES and sum(n > USUAL_LINES for n in lengths) <= len(lengths) / 5


@pytest.mark.parametrize(
    "source",
    [
        "def f():\n    return 1",
        "class A:\n    x = 1",
        "g = lambda x: x",
        "import numpy as np",
        "%matplotlib inline",
        "!ls",
        "from jackshaft.bench import open_build",
        "fig.savefig('x')",
        "try:\n    f()\nexcept ValueError:\n    x = 1",
        "",
        "\n".join(f"a = {i}" for i in range(13)),
    ],
)
def test_a_bad_cell_is_seen(source):
    assert cell_faults(source, first=False)


def test_a_good_cell_passes():
    assert (
        cell_faults("from jackshaft.bench import open_build\n\nbench = open_build()\nbench.title()", first=True) == []
    )


@by_book
def test_prose_carries_the_code(book):
    words = len(re.findall(r"[A-Za-z]{2,}", markdown(book)))
    lines = sum(code_lines(s) for s in code(book))
    low, high = WORDS_A_LINE
    assert low <= words / lines <= high, f"{words} words for {lines} lines"


@by_book
def test_every_step_says_something_before_it_computes(book):
    """A code cell follows prose, or one other code cell at most."""
    kinds = "".join(k[0] for k, _ in cell_sources(book))
    assert "ccc" not in kinds


@by_book
def test_stored_outputs_were_written_by_the_refresh_command(book):
    assert refuse_reasons(ROOT / book) == [], f"write them again: python -m jackshaft refresh notebooks/{book.name}"


def bundles(book: Path) -> list[tuple[str, str, str]]:
    """(cell's source, type, text) of everything that a notebook stores."""
    found = []
    for cell in cells(book, "code"):
        for output in cell["outputs"]:
            data = {"text/plain": output["text"]} if output["output_type"] == "stream" else output.get("data", {})
            found += [(cell["source"], mime, "".join(words)) for mime, words in data.items()]
    return found


@by_book
def test_something_stored_can_be_compared(book):
    compared = [words for _, mime, words in bundles(book) if mime in ("text/plain", "text/html") and words.strip()]
    assert len(compared) >= 3
    # The demo build's name is in them: they were made from a build, and from that one.
    from jackshaft.buildfile import DEMO, load

    assert any(load(DEMO).name in words for words in compared)


@by_book
def test_stored_outputs_need_no_network_and_no_script(book):
    found = [
        (mime, source)
        for source, mime, words in bundles(book)
        if mime.startswith("text/")
        and re.search(
            r"<script|<link\b|<iframe|@import|url\(\s*[\"']?(?!data:)|(?:src|href)=[\"']?(?:https?:)?//",
            words,
            re.IGNORECASE,
        )
    ]
    assert found == []


def test_a_notebook_saved_by_hand_is_refused(tmp_path):
    """The guard itself: a stored notebook with its outputs or counts tampered with does not pass."""
    good = json.loads(text(BOOKS[1]))
    shown = next(i for i, c in enumerate(good["cells"]) if c["cell_type"] == "code" and c["outputs"])

    def spoil(change):
        book = copy.deepcopy(good)
        change(book["cells"][shown])
        path = tmp_path / "book.ipynb"
        path.write_text(json.dumps(book, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
        return refuse_reasons(path)

    assert spoil(lambda cell: None) == []
    assert spoil(lambda cell: cell.update(outputs=[]))
    assert spoil(lambda cell: cell.update(execution_count=99))
    assert spoil(lambda cell: cell["metadata"].update(collapsed=True))
    assert spoil(
        lambda cell: cell["outputs"].append({"output_type": "stream", "name": "stderr", "text": ["a warning\n"]})
    )


@by_book
def test_a_browser_test_opens_it(book):
    """Its name stands in a browser test's code, not only in a comment."""
    opened = set()
    for path in (p for p in files() if p.parent == Path("tests/browser") and p.name.startswith("test_")):
        tree = ast.parse(text(path))
        opened |= {n.value for n in ast.walk(tree) if isinstance(n, ast.Constant) and isinstance(n.value, str)}
    assert {book.name, book.stem} & opened

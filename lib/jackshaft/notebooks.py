"""Running the notebooks and storing their outputs so that two runs in a row leave no difference.

What is stored is what a reader with no kernel sees: text, tables and pictures. Live widgets, times, run
counts out of order and everything else that varies are left out or refused.
"""

from __future__ import annotations

import ast
import hashlib
import json
import os
import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

import nbformat
import zmq
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError

from jackshaft.buildfile import DEMO
from jackshaft.buildfile.disk import write_atomic

WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"
WIDGET_STATE = "application/vnd.jupyter.widget-state+json"
KERNELSPEC = {"display_name": "Python 3", "language": "python", "name": "python3"}
#: What a cell may say about itself: its tags, and that its code is folded away.
CELL_METADATA = ("jupyter", "tags")
TIMEOUT = 300


class NotRefreshed(RuntimeError):
    """A notebook that could not be refreshed; nothing was written. The words say which cell and why."""


def find_notebooks() -> list[Path]:
    """Return the project's notebooks, those of ``notebooks/`` beside ``lib/`` or upwards from here.

    Raises
    ------
    FileNotFoundError
        If there is no such folder.
    """
    starts = [Path(__file__).resolve().parents[2], Path.cwd(), *Path.cwd().parents]
    for start in starts:
        folder = start / "notebooks"
        if folder.is_dir():
            return sorted(p for p in folder.rglob("*.ipynb") if ".ipynb_checkpoints" not in p.parts)
    raise FileNotFoundError("no folder 'notebooks' beside lib/ or upwards from the current folder")


def refresh(notebooks: Iterable[Path] | None = None, *, data: Path | None = None) -> Iterator[Path]:
    """Run notebooks on the demo build and store their outputs.

    Parameters
    ----------
    notebooks : iterable of Path, optional
        Which; all of the project's when left out.
    data : Path, optional
        Folder to use in place of the project's ``data/``.

    Yields
    ------
    Path
        Each notebook once it is written.

    Raises
    ------
    NotRefreshed
        If a cell fails, or what it puts out may not be stored. That notebook stays as it was.
    NotSaved
        If the disk refuses.
    """
    for path in find_notebooks() if notebooks is None else [Path(p) for p in notebooks]:
        book = execute(path, data=data)
        text = canonical(book)
        reasons = refuse_reasons_of(book, text)
        if reasons:
            raise NotRefreshed(f"{path.name}: " + "; ".join(reasons))
        if path.read_text(encoding="utf-8") != text:
            write_atomic(path, text.encode())
        yield path


def _is_notebook(path: Path) -> bool:
    try:
        read = json.loads(path.read_bytes())
    except (ValueError, RecursionError):
        return False
    return isinstance(read, dict) and isinstance(read.get("cells"), list)


def execute(path: Path, *, data: Path | None = None, build: str | None = None) -> nbformat.NotebookNode:
    """Run a notebook in its own folder and return it cleaned; the file is not touched.

    Parameters
    ----------
    path : Path
        The notebook.
    data : Path, optional
        Folder to use in place of the project's ``data/``.
    build : str, optional
        Build to run it on; the demo build when left out.

    Raises
    ------
    NotRefreshed
        If the file is no notebook, or a cell fails.
    """
    if not _is_notebook(path):
        raise NotRefreshed(f"{path.name}: found a file that is no notebook; wanted one that ends in .ipynb")
    book = nbformat.read(path, as_version=4)
    for cell in book.cells:
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
    env = os.environ | {"PYTHONHASHSEED": "0", "JACKSHAFT_BUILD": build or DEMO}
    env.pop("JACKSHAFT_DATA", None)
    if data is not None:
        env["JACKSHAFT_DATA"] = str(data)
    client = NotebookClient(
        book,
        timeout=TIMEOUT,
        kernel_name=KERNELSPEC["name"],
        resources={"metadata": {"path": str(path.resolve().parent)}},
    )
    client.create_kernel_manager()
    if zmq.has("curve"):
        # what a kernel says would else go over an open channel of this machine, and it warns of that
        client.km.transport_encryption = "auto"
    try:
        client.execute(env=env)
    except CellExecutionError as error:
        # the kernel colours its traceback for a terminal
        words = re.sub(r"\x1b\[[0-9;]*m", "", str(error))
        raise NotRefreshed(f"{path.name}: a cell failed\n{words}") from None
    return clean(book)


def clean(book: nbformat.NotebookNode) -> nbformat.NotebookNode:
    """Take out of a notebook, in place, what varies from run to run or needs a kernel to be seen.

    Parameters
    ----------
    book : NotebookNode
        An executed notebook.
    """
    book.nbformat, book.nbformat_minor = 4, 5
    book.metadata = nbformat.from_dict({"kernelspec": dict(KERNELSPEC), "language_info": {"name": "python"}})
    count = 0
    for cell, id in zip(book.cells, cell_ids(book), strict=True):
        cell.id = id
        cell.metadata = nbformat.from_dict({k: cell.metadata[k] for k in CELL_METADATA if k in cell.metadata})
        if cell.cell_type == "code":
            cell.outputs = list(_clean_outputs(cell.outputs))
            count += bool(cell.source.strip())
            cell.execution_count = count if cell.source.strip() else None
            for output in cell.outputs:
                if output.output_type == "execute_result":
                    output.execution_count = cell.execution_count
    return book


def _clean_outputs(outputs: Sequence) -> Iterator:
    last = None
    for output in outputs:
        if WIDGET_VIEW in output.get("data", {}):
            continue
        if output.output_type == "stream" and last is not None and last.get("name") == output.name:
            # how a stream is cut into pieces depends on timing
            last.text += output.text
            continue
        output.pop("transient", None)
        last = output if output.output_type == "stream" else None
        yield output


def cell_ids(book: nbformat.NotebookNode) -> list[str]:
    """Return the id each cell gets: made from its text, so that it changes only with it.

    Parameters
    ----------
    book : NotebookNode
        The notebook.
    """
    seen: dict[str, int] = {}
    ids = []
    for cell in book.cells:
        stem = hashlib.sha256(f"{cell.cell_type}\n{cell.source}".encode()).hexdigest()[:12]
        seen[stem] = seen.get(stem, 0) + 1
        ids.append(stem if seen[stem] == 1 else f"{stem}-{seen[stem]}")
    return ids


def canonical(book: nbformat.NotebookNode) -> str:
    """Return a notebook as text: one way to write it, keys sorted.

    Parameters
    ----------
    book : NotebookNode
        The notebook.
    """
    return nbformat.writes(book, version=4).rstrip("\n") + "\n"


def refuse_reasons(path: Path) -> list[str]:
    """Return why a notebook's stored outputs are not fit to be committed; empty when they are.

    Parameters
    ----------
    path : Path
        The notebook.
    """
    text = path.read_text(encoding="utf-8")
    try:
        book = nbformat.from_dict(json.loads(text))
        nbformat.validate(book)
    except (ValueError, nbformat.ValidationError) as error:
        return [f"it is no valid notebook: {error}".splitlines()[0]]
    return refuse_reasons_of(nbformat.reads(text, as_version=4), text)


def refuse_reasons_of(book: nbformat.NotebookNode, text: str) -> list[str]:
    """Return why a notebook's stored outputs are not fit to be committed.

    Parameters
    ----------
    book : NotebookNode
        The notebook.
    text : str
        The file's text.
    """
    reasons = list(_format_reasons(book))
    counts = [c.execution_count for c in book.cells if c.cell_type == "code" and c.source.strip()]
    if counts != list(range(1, len(counts) + 1)):
        reasons.append(f"its cells were not run once each from top to bottom (run counts {counts})")
    shown = 0
    for number, cell in enumerate(book.cells, 1):
        where = f"cell {number}"
        if cell.cell_type == "markdown":
            reasons += [f"{where}: {w}" for w in _missing_alt(cell.source)]
        elif cell.cell_type == "code":
            shown += len(cell.outputs)
            if not cell.outputs and displays(cell.source):
                reasons.append(f"{where}: it shows something, but no output is stored, so nothing would be compared")
            for output in cell.outputs:
                reasons += [f"{where}: {w}" for w in _output_reasons(output)]
    if counts and not shown:
        reasons.append("no cell has a stored output, so nothing would be compared")
    if not reasons and canonical(book) != text:
        reasons.append("the refresh command did not write it (the content is the same, written another way)")
    return reasons


def _format_reasons(book: nbformat.NotebookNode) -> Iterator[str]:
    if "widgets" in book.metadata:
        yield "it holds the state of live widgets"
    if (
        set(book.metadata) != {"kernelspec", "language_info"}
        or dict(book.metadata.get("language_info", {})) != {"name": "python"}
        or dict(book.metadata.get("kernelspec", {})) != KERNELSPEC
    ):
        yield "its metadata say more than the kernel's and the language's name"
    for number, (cell, id) in enumerate(zip(book.cells, cell_ids(book), strict=True), 1):
        if cell.get("id") != id:
            yield f"cell {number}: its id is not made from its text"
        extra = sorted(set(cell.metadata) - set(CELL_METADATA))
        if extra:
            yield f"cell {number}: its metadata hold {', '.join(extra)}"


#: Folders of one machine: two or more parts after a slash that does not continue a word, a tag or a unit.
_PATH = re.compile(r"(?<![\w<:/.·²³)\]%°&;])/(?:[\w.-]+/)+[\w.-]*|\b[A-Za-z]:\\\\?\w+")
_ADDRESS = re.compile(r"\bat 0x[0-9a-fA-F]{6,}|\b0x[0-9a-f]{8,}")
_IMAGE_MARKDOWN = re.compile(r"!\[\s*\]\(")
_IMAGE_TAG = re.compile(r"<img\b(?![^>]*\balt\s*=\s*[\"'][^\"']+[\"'])[^>]*>", re.I)


def _output_reasons(output) -> Iterator[str]:
    if output.output_type == "error":
        yield f"an error is stored ({output.ename}: {output.evalue})"
        return
    if output.output_type == "stream":
        if output.name == "stderr":
            yield f"something was written to stderr: {next(iter(output.text.strip().splitlines()), '')}"
        yield from _varying(output.text)
        return
    if WIDGET_VIEW in output.data or WIDGET_STATE in output.data:
        yield "a live widget is stored"
    for mime, content in output.data.items():
        if mime.startswith("image/") and mime != "image/svg+xml":
            if not str(output.metadata.get(mime, {}).get("alt", "")).strip():
                yield "a picture has no alternative text in its metadata"
        elif mime.startswith("text/") or mime == "image/svg+xml":
            words = content if isinstance(content, str) else "".join(content)
            yield from _varying(words)
            if mime in ("text/html", "text/markdown"):
                yield from _missing_alt(words)


def _varying(words: str) -> Iterator[str]:
    if "A fault of the program (code" in words:
        yield "a fault of the program is shown in the place of something else"
    found = _PATH.search(words)
    if found:
        yield f"a path of this machine is stored: {found[0]}"
    found = _ADDRESS.search(words)
    if found:
        yield f"an address in memory is stored: {found[0]}"


def _missing_alt(words: str) -> Iterator[str]:
    if _IMAGE_MARKDOWN.search(words) or _IMAGE_TAG.search(words):
        yield "a picture has no alternative text"


def displays(source: str) -> bool:
    """Tell whether a code cell shows something when it runs: it ends in a value, or calls print or display.

    Parameters
    ----------
    source : str
        The cell's text.
    """
    try:
        tree = ast.parse(source)
    except SyntaxError:
        return True  # magics; ask for an output rather than let a cell through unseen
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("print", "display"):
            return True
    if not tree.body or not isinstance(tree.body[-1], ast.Expr):
        return False
    value = tree.body[-1].value
    is_none = isinstance(value, ast.Constant) and value.value is None
    return not is_none and not source.rstrip().endswith(";")

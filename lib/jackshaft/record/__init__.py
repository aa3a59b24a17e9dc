"""The build record: one page and the executed notebooks in a folder."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from jackshaft.build import Build, write_atomic
from jackshaft.figures.pictures import pictures
from jackshaft.notebooks import canonical, execute, find_notebooks
from jackshaft.record.notebook_page import page_of
from jackshaft.record.page import OutsideReference, card_pages, inputs, page, refuse_outside
from jackshaft.workup import work_up

__all__ = ["OutsideReference", "Written", "inputs", "page", "record_page", "refuse_outside", "write_record"]


@dataclass(frozen=True)
class Written:
    """What a record consists of."""

    page: Path
    notebooks: tuple[Path, ...]
    cards: tuple[Path, ...] = ()


def record_page(build: Build) -> str:
    """Return the record of a build as one self-contained HTML page."""
    results = work_up(build)
    return page(results, pictures(results))


def write_record(build: Build, out: os.PathLike | str, *, leave_out: tuple[str, ...] = ()) -> Written:
    """Write the record of a build into a folder: the page, a page for each fitting card, and the executed notebooks.

    Parameters
    ----------
    build : Build
        A build that was read from a file.
    out : path
        The folder; it is made when it is not there.
    leave_out : tuple of str
        Stems of notebooks that are not run: the one that calls this.

    Raises
    ------
    NotADirectoryError
        If ``out`` is a file.
    NotSaved
        If the disk refuses; what stood there before still stands.
    """
    folder = Path(out)
    if folder.exists() and not folder.is_dir():
        raise NotADirectoryError(f"{folder} is a file; wanted: a folder to write the record to")
    results = work_up(build)
    html, cards = page(results, pictures(results)), card_pages(results)
    folder.mkdir(parents=True, exist_ok=True)
    target = folder / f"{build.slug}.html"
    write_atomic(target, html.encode("utf-8"))
    cut = []
    for number, card in enumerate(cards.values(), 1):
        cut.append(folder / f"fitting_card_{number}.html")
        write_atomic(cut[-1], card.encode("utf-8"))
    written = []
    (folder / "notebooks").mkdir(exist_ok=True)
    for source in find_notebooks():
        if source.stem in leave_out:
            continue
        notebook = folder / "notebooks" / source.name
        book = execute(source, build=str(build.path.resolve()))
        write_atomic(notebook, canonical(book).encode("utf-8"))
        web = page_of(book, title=source.stem.replace("_", " "))
        refuse_outside(web)
        write_atomic(notebook.with_suffix(".html"), web.encode("utf-8"))
        written.append(notebook)
    return Written(target, tuple(written), tuple(cut))

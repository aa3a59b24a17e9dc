"""The build record: one page, its fitting cards and, where they are wanted, the executed notebooks in a folder."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from jackshaft.buildfile import Build
from jackshaft.drawing.pictures import pictures
from jackshaft.photos import Taken, photos
from jackshaft.record.folder import Changed, NotOurs, check_files, check_place, folder_of, write_files
from jackshaft.record.outside import OutsideReference, refuse_outside
from jackshaft.record.page import card_pages, inputs, page, side_sheets
from jackshaft.record.paper import NotPrinted, pdf_of
from jackshaft.record.post import post
from jackshaft.results import Results, work_up
from jackshaft.results.proving import with_cures

__all__ = [
    "NotOurs",
    "OutsideReference",
    "Written",
    "inputs",
    "page",
    "post",
    "record_page",
    "refuse_outside",
    "write_record",
]


@dataclass(frozen=True)
class Written:
    """What a record consists of, and what became of older files in its folder."""

    page: Path
    notebooks: tuple[Path, ...]
    cards: tuple[Path, ...] = ()
    changed: Changed = Changed()
    #: The PDF of the page where one was wanted and made, and else why there is none.
    pdf: Path | None = None
    no_pdf: str = ""
    #: Its photographs, and the files beside them that are not shown.
    taken: Taken = Taken()

    @property
    def words(self) -> str:
        """What was written, in a sentence or two."""
        parts = [f"{self.page.name} (one page, opens anywhere)"]
        parts += [self.pdf.name] if self.pdf else []
        parts += [f"{len(self.cards)} fitting cards to print"] if self.cards else []
        parts += [
            "a buying list",
            "sheets for assembly, first run, faults and service",
            "a text and a picture for a post",
        ]
        parts += [f"{len(self.notebooks)} executed notebooks"] if self.notebooks else []
        if shown := len(self.taken.photos):
            parts[0] = f"{self.page.name} (one page, opens anywhere, with {shown} photograph{'s' * (shown > 1)})"
        words = " and ".join([", ".join(parts[:-1]), parts[-1]] if len(parts) > 1 else parts)
        old = f" {self.no_pdf}" if self.no_pdf else ""
        old += "".join(f" Not shown: {one.name!r}, {one.why}." for one in self.taken.refused)
        if self.changed.gone:
            old += f" Taken away, because this record no longer has them: {', '.join(self.changed.gone)}."
        for name, other in self.changed.aside:
            old += f" {name} was changed by hand since the last record; that version is kept as {other}."
        return f"{words} into {Path(*self.page.resolve().parent.parts[-3:]).as_posix()}.{old}"


def record_page(build: Build) -> str:
    """Return the record of a build as one self-contained HTML page."""
    results = with_cures(work_up(build, at_ends=True))
    return page(results, pictures(results), photos(build))


def write_record(
    build: Build,
    out: os.PathLike | str,
    *,
    notebooks: bool = False,
    pdf: bool = False,
    leave_out: tuple[str, ...] = (),
    tell: Callable[[str], object] | None = None,
) -> Written:
    """Write the record of a build into a folder: page, fitting cards, sheets, text for a post, notebooks on demand.

    Parameters
    ----------
    build : Build
        A build that was read from a file.
    out : path
        The folder; it is made when it is not there.
    notebooks : bool
        Whether the notebooks are executed on the build and written beside the page; this takes most of the time.
    pdf : bool
        Whether the page is printed to a PDF too, where a browser that does it is installed.
    leave_out : tuple of str
        Stems of notebooks that are not run: the one that calls this.
    tell : callable, optional
        Gets a line of words before each step.

    Raises
    ------
    NotOurs
        If the folder is a file or one of the workbook's own, or something that no record made is in the way; nothing
        is written.
    NotSaved
        If the disk refuses; what stood there before still stands.
    """
    tell = tell or (lambda words: None)
    folder = folder_of(out)
    check_place(folder)
    sources = _sources(leave_out) if notebooks else []
    tell("Working the build up and trying what mends it.")
    results = with_cures(work_up(build, at_ends=True))
    cards = card_pages(results)
    card_names = [f"fitting_card_{n}.html" for n in range(1, len(cards) + 1)]
    beside = _beside(results)
    main = f"{build.slug}.html"
    if main in (*card_names, *beside):
        main = f"record_of_{main}"
    names = [main, *card_names, *beside]
    names += [f"{Path(main).stem}.pdf"] if pdf else []
    names += [f"notebooks/{n.stem}{ending}" for n in sources for ending in (".ipynb", ".html")]
    check_files(folder, dict.fromkeys(names, b""))
    tell("Drawing the pictures and setting the page.")
    taken = photos(build)
    files = {main: page(results, pictures(results), taken).encode("utf-8")}
    no_pdf = ""
    if pdf:
        tell("Printing the page.")
        try:
            size = "A4" if build.system == "metric" else "letter"
            files[f"{Path(main).stem}.pdf"] = pdf_of(files[main].decode("utf-8"), size)
        except NotPrinted as error:
            no_pdf = str(error)
    files |= {name: card.encode("utf-8") for name, card in zip(card_names, cards.values(), strict=True)}
    files |= beside
    for number, source in enumerate(sources, 1):
        tell(f"Running notebook {number} of {len(sources)}: {source.stem}.")
        files |= _executed(source, build)
    changed = write_files(folder, files)
    return Written(
        folder / main,
        tuple(folder / n for n in files if n.endswith(".ipynb")),
        tuple(folder / n for n in card_names),
        changed,
        next((folder / n for n in files if n.endswith(".pdf")), None),
        no_pdf,
        taken,
    )


def _beside(results: Results) -> dict[str, bytes]:
    """Return what stands beside the page, by the names of the files: sheets to print, text and picture for a post."""
    # what draws is loaded where something is drawn
    from jackshaft.record.share import picture

    pages = {f"{name}.html": html.encode("utf-8") for name, html in side_sheets(results).items()}
    return pages | {"post.txt": f"{post(results)}\n".encode(), "share.png": picture(results)}


def _sources(leave_out: tuple[str, ...]) -> list[Path]:
    # running notebooks takes long to load, and most records are made without
    from jackshaft.notebooks import find_notebooks

    return [n for n in find_notebooks() if n.stem not in leave_out]


def _executed(source: Path, build: Build) -> dict[str, bytes]:
    """Run a notebook on a build; return it and its page by their paths in the record."""
    from jackshaft.notebooks import canonical, execute
    from jackshaft.record.notebook_page import page_of

    book = execute(source, build=str(build.path.resolve()))
    web = page_of(book, title=source.stem.replace("_", " "))
    refuse_outside(web)
    at = f"notebooks/{source.stem}"
    return {f"{at}.ipynb": canonical(book).encode("utf-8"), f"{at}.html": web.encode("utf-8")}

"""The form that writes the sheets for the shop: what there is to make, one button, and a link to each file."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from pathlib import Path

from jackshaft.buildfile import Build
from jackshaft.record.folder import Changed, folder_of, write_files
from jackshaft.results import Results
from jackshaft.sheets import PAPERS, Plan, planned
from jackshaft.start import controller
from jackshaft.ui.elements import html, put
from jackshaft.ui.forms import Form, Forms, text_box

NOTHING = "No sheet can be made yet: no layout, shaft or pulley is known. The checks say what to measure."


class SheetForms(Forms):
    """Write the sheets of a build into a folder."""

    def __init__(self, results: Results):
        self.build = build = results.build
        self.plans = planned(results)
        self.folder = text_box("Folder")
        self.folder.add_class("jk-across")
        where = html("jk-help", f"Left empty: <code>data/records/{escape(build.slug)}/sheets</code>")
        self.list = html("jk-opens")
        put(self.list, list_html(self.plans))
        form = Form("Sheets for the shop", (self.folder, where), (("Make the sheets", self._make),))
        form.widget.children = (*form.widget.children, self.list)
        super().__init__(
            "Make the sheets",
            (form,),
            "Run this page in Jupyter for a button that writes the sheets. You can also use the command: "
            f"python -m jackshaft sheets {build.slug} --out FOLDER",
        )

    def _make(self) -> str:
        folder, words = make(self.plans, self.build, self.folder.value.strip())
        put(self.list, list_html(self.plans, folder))
        return words


def make(plans: Sequence[Plan], build: Build, folder: str) -> tuple[Path, str]:
    """Draw sheets and write them into a folder; return the folder, and what was done.

    Raises
    ------
    NotOurs
        If the folder is a file or one of the workbook's own, or something that no sheet made is in the way.
    NotSaved
        If the disk refuses; what stood there before still stands.
    """
    place = folder_of(folder or controller.records_dir() / build.slug / "sheets")
    if not plans:
        return place, NOTHING
    files = {name: draw() for plan in plans for name, draw in plan.files.items()}
    changed = write_files(place, files)
    where = Path(*place.resolve().parts[-3:]).as_posix()
    return place, f"Wrote {len(files)} files into {where}.{_changed_words(changed)}"


def _changed_words(changed: Changed) -> str:
    aside = "".join(f" {old} was changed by hand: it is now {new}." for old, new in changed.aside)
    return aside + (f" Taken away, because the build has them no more: {', '.join(changed.gone)}." * bool(changed.gone))


def list_html(plans: Sequence[Plan], folder: Path | None = None) -> str:
    """Return the list of the sheets as HTML, each with links to its files where they lie in ``folder``."""
    if not plans:
        return f"<p>{NOTHING}</p>"
    return f"<ul>{''.join(f'<li>{escape(p.title)}{_links(p, folder)}</li>' for p in plans)}</ul>"


def _links(plan: Plan, folder: Path | None) -> str:
    if folder is None:
        return ""
    found = []
    for name in plan.files:
        way, kind = controller.way_to(folder / name), _kind(name)
        about = escape(f"{plan.title}, {kind}")
        link = f'<a href="{escape(way)}" target="_blank" aria-label="{about}">{kind}</a>'
        found.append(f" · {link if way else escape(name)}")
    return "".join(found)


def _kind(name: str) -> str:
    """Return what a file is: the paper of a PDF, or DXF."""
    return next((paper for paper in PAPERS if name.endswith(f"-{paper.lower()}.pdf")), "DXF")


__all__ = ["NOTHING", "SheetForms", "list_html", "make"]

"""Sheets for the shop: true-scale templates to mark out from, and a page for each shaft and each pulley."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import NamedTuple

from jackshaft.buildfile import Build
from jackshaft.buildfile.naming import named
from jackshaft.results import work_up
from jackshaft.results.running import Results
from jackshaft.sheets import flat_pages, pulley_pages, shaft_pages
from jackshaft.sheets.dxf import dxf_of
from jackshaft.sheets.flat import flat_sheets
from jackshaft.sheets.guard import guard_templates
from jackshaft.sheets.hub import hub_templates
from jackshaft.sheets.pulley import pulley_sheets, without_pulley_sheet
from jackshaft.sheets.shaft import shaft_sheets, without_sheet
from jackshaft.sheets.shapes import templates
from jackshaft.sheets.template_pages import PAPERS, pdf_of


class Without(NamedTuple):
    """The shafts and the pulleys that have no sheet."""

    shafts: tuple[str, ...]
    pulleys: tuple[str, ...]


class NotEmpty(Exception):
    """A sheet would be written over a file that is there."""


class Plan(NamedTuple):
    """One sheet that a build asks for: what it is in words, and what draws each of its files, by the file's name."""

    title: str
    files: dict[str, Callable[[], bytes]]


def planned(results: Results) -> tuple[Plan, ...]:
    """Return every sheet of a build; nothing is drawn yet."""
    found: list[Plan] = []
    for template in (*templates(results), *guard_templates(results), *hub_templates(results)):
        stem = _free(found, f"template-{file_name(template.stage)}")
        files = {f"{stem}.dxf": partial(dxf_of, template)} | _papers(stem, pdf_of, template)
        found.append(Plan(f"{template.stage}: template at 1:1", files))
    for shaft in shaft_sheets(results):
        stem = _free(found, f"shaft-{file_name(shaft.shaft)}")
        found.append(Plan(f"{shaft.shaft}: shaft", _papers(stem, shaft_pages.pdf_of, shaft)))
    for pages, of in ((pulley_pages, pulley_sheets(results)), (flat_pages, flat_sheets(results))):
        for pulley in of:
            stem = _free(found, f"pulley-{file_name(f'{pulley.stage} {pulley.pulley}')}")
            title = f"{pulley.stage}: {named('pulley', pulley.pulley)}"
            found.append(Plan(title, _papers(stem, pages.pdf_of, pulley)))
    return tuple(found)


def _papers(stem: str, draw: Callable, sheet) -> dict[str, Callable[[], bytes]]:
    """Return what draws a sheet on each paper."""
    return {f"{stem}-{paper.lower()}.pdf": partial(draw, sheet, paper) for paper in PAPERS}


def sheets(results: Results) -> dict[str, bytes]:
    """Return every sheet of a build by its file name."""
    return {name: draw() for plan in planned(results) for name, draw in plan.files.items()}


def write_sheets(build: Build, folder: Path) -> tuple[list[Path], Without]:
    """Write every sheet of a build into a folder, none where one is there; return the files, and what has none.

    Raises
    ------
    NotEmpty
        Naming the file that would be written over.
    """
    results = work_up(build, at_ends=True)
    found = {folder / name: draw for plan in planned(results) for name, draw in plan.files.items()}
    for path in found:
        if path.exists():
            raise NotEmpty(f"--out: found {path} there already; wanted a folder without it; it may be marked up")
    drawn = {path: draw() for path, draw in found.items()}
    folder.mkdir(parents=True, exist_ok=True)
    for path, data in drawn.items():
        path.write_bytes(data)
    return list(drawn), Without(without_sheet(results), without_pulley_sheet(results))


def file_name(name: str) -> str:
    """Return a name as a part of a file name that every system takes."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:60] or "part"


def _free(taken: list[Plan], stem: str) -> str:
    """Return the stem, numbered where another part has it already."""
    number, tried = 1, stem
    while any(f"{tried}-a4.pdf" in plan.files for plan in taken):
        number += 1
        tried = f"{stem}-{number}"
    return tried

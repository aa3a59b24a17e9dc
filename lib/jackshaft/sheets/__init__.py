"""Sheets for the shop: true-scale templates to mark out from, and a page for each shaft and each pulley."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import NamedTuple

from jackshaft.buildfile import Build
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


def planned(results: Results) -> dict[str, Callable[[], bytes]]:
    """Return what draws each sheet of a build, by the sheet's file name; nothing is drawn yet."""
    found: dict[str, Callable[[], bytes]] = {}
    for template in (*templates(results), *guard_templates(results), *hub_templates(results)):
        stem = _free(found, f"template-{file_name(template.stage)}", ".dxf")
        found[f"{stem}.dxf"] = partial(dxf_of, template)
        _papers(found, stem, pdf_of, template)
    for shaft in shaft_sheets(results):
        _papers(found, _free(found, f"shaft-{file_name(shaft.shaft)}", "-a4.pdf"), shaft_pages.pdf_of, shaft)
    pulleys = ((pulley_pages, pulley_sheets(results)), (flat_pages, flat_sheets(results)))
    for pages, of in pulleys:
        for pulley in of:
            stem = _free(found, f"pulley-{file_name(f'{pulley.stage} {pulley.pulley}')}", "-a4.pdf")
            _papers(found, stem, pages.pdf_of, pulley)
    return found


def _papers(found: dict, stem: str, draw: Callable, sheet) -> None:
    """Add a sheet on each paper."""
    found |= {f"{stem}-{paper.lower()}.pdf": partial(draw, sheet, paper) for paper in PAPERS}


def sheets(results: Results) -> dict[str, bytes]:
    """Return every sheet of a build by its file name."""
    return {name: draw() for name, draw in planned(results).items()}


def write_sheets(build: Build, folder: Path) -> tuple[list[Path], Without]:
    """Write every sheet of a build into a folder, none where one is there; return the files, and what has none.

    Raises
    ------
    NotEmpty
        Naming the file that would be written over.
    """
    results = work_up(build, at_ends=True)
    found = {folder / name: draw for name, draw in planned(results).items()}
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


def _free(taken: dict, stem: str, ending: str) -> str:
    """Return the stem, numbered where another part has it already."""
    number, tried = 1, stem
    while f"{tried}{ending}" in taken:
        number += 1
        tried = f"{stem}-{number}"
    return tried

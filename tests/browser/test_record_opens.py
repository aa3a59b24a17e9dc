"""The record and the notebooks' pages opened from disk, at phone and desk width, and printed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from barriers import barriers
from jackshaft.buildfile import DEMO, list_builds, load
from jackshaft.notebooks import execute, find_notebooks
from jackshaft.record import paper
from jackshaft.record.notebook_page import page_of

pytestmark = pytest.mark.browser

#: The width and the length of the words of every drawing, of the one of its two forms that is shown.
SHOWN = """[...document.querySelectorAll(".drawing")].map(d => [
  Math.max(0, ...[...d.querySelectorAll("svg")].map(s => s.getBoundingClientRect().width)), d.ariaLabel.length])"""
CANNOT_WORK = Path(__file__).parents[1] / "builds" / "flywheel_chipper.toml"


@pytest.fixture(scope="module")
def files(tmp_path_factory, record_of):
    folder = tmp_path_factory.mktemp("records")
    for build in (*list_builds(), CANNOT_WORK):
        (folder / f"{load(build).slug}.html").write_text(record_of(build), encoding="utf-8")
    first = find_notebooks()[0]
    (folder / "notebook.html").write_text(page_of(execute(first), title="start"), encoding="utf-8")
    return sorted(folder.glob("*.html"))


def opened(browser, path, width):
    context = browser.new_context(viewport={"width": width, "height": 900}, offline=True)
    page = context.new_page()
    asked = []
    page.on("request", lambda r: asked.append(r.url))
    page.goto(path.as_uri())
    return context, page, asked


@pytest.mark.parametrize("width", [390, 1280])
def test_opens_offline_with_every_figure(browser, files, width):
    for path in files:
        context, page, asked = opened(browser, path, width)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path.name
        if path.stem in ((DEMO,) if width == 390 else (CANNOT_WORK.stem, "notebook")):
            assert barriers(page) == [], path.name
        assert all(wide > 200 and alt > 20 for wide, alt in page.evaluate(SHOWN)), path.name
        assert [u for u in asked if not u.startswith(("file:", "data:"))] == []
        context.close()


def test_the_demo_has_a_figure_for_every_computed_chapter(browser, files):
    path = next(p for p in files if p.stem == DEMO)
    context, page, _ = opened(browser, path, 1280)
    assert page.locator("figure.head .drawing").count() == 1
    assert page.locator("section#layout figure.arrangement .for-wide").is_visible()
    for chapter in ("ratio", "grip", "electric", "bearings", "chain"):
        assert page.locator(f"section#{chapter} .drawing").count() >= 1, chapter
    context.close()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_prints(browser, files, paper, tmp_path):
    path = next(p for p in files if p.stem == DEMO)
    context, page, _ = opened(browser, path, 1280)
    out = tmp_path / f"{paper}.pdf"
    page.pdf(path=out, format=paper)
    data = out.read_bytes()
    sheets, pages = page.locator(".fit-card").count(), len(re.findall(rb"/Type\s*/Page\b", data))
    assert data.startswith(b"%PDF") and sheets + 3 <= pages <= sheets + 20
    context.close()


def test_folded_checks_open_by_key(browser, files):
    path = next(p for p in files if p.stem == DEMO)
    context, page, _ = opened(browser, path, 390)
    fold = page.locator("details.good").first
    fold.locator("summary").focus()
    page.keyboard.press("Enter")
    assert fold.get_attribute("open") is not None
    assert fold.locator("summary").bounding_box()["height"] >= 44
    context.close()


@pytest.mark.parametrize(("size", "points"), [("A4", (595, 842)), ("letter", (612, 792))])
def test_a_browser_prints_it_to_a_pdf_of_the_size_asked_for(browser_path, record_of, size, points):
    """A4 is 210 by 297 mm, Letter 8-1/2 by 11 in; a point is 1/72 in."""
    pdf = paper.pdf_of(record_of("rotor_bearings"), size)
    boxes = {tuple(map(float, b.split())) for b in re.findall(r"/MediaBox \[([-\d. ]+)\]", pdf.decode("latin-1"))}
    assert pdf.startswith(b"%PDF-") and boxes
    assert all(box[2:] == pytest.approx(points, abs=1.0) for box in boxes)

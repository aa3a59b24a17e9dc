"""The search notebook in a real JupyterLab: a refused size, a long search that is stopped, a layout seen and kept."""

from __future__ import annotations

import re

import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.buildfile.candidates import stored
from jackshaft.search.found import check

pytestmark = pytest.mark.browser


class Search:
    """The search panel as a reader sees it."""

    def __init__(self, panel):
        self.panel, self.root = panel, panel.root

    def field(self, label: str):
        return self.root.locator(f'.jk-box:has(label:text-is("{label}"))').locator("input, select").first

    def type(self, label: str, text: str) -> None:
        self.field(label).fill(text)
        self.field(label).press("Enter")

    def progress(self) -> str:
        found = self.root.locator(".jk-progress-box [role=status]")
        return found.inner_text() if found.count() else ""

    def tried(self) -> int:
        return int(re.search(r"(\d+) of", self.progress())[1])

    def kept(self) -> int:
        return int(re.search(r"(\d+) are kept", self.progress())[1])

    def letters(self) -> list[str]:
        return self.root.locator("table.jk-compare tbody th").all_inner_texts()

    def pictures(self) -> list[str]:
        return [p.get_attribute("aria-label") for p in self.root.locator(".jk-picture").all()]


def test_search_layouts(lab_page):
    page = lab_page
    page.show("27_search_layouts.ipynb")
    panel = page.panel("Search for layouts: crank belts")
    search = Search(panel)
    assert search.letters()[:2] == ["now", "A"] and "done: 100000" in search.progress()

    search.type("Idlers", "4 rpm")
    panel.click("Start")
    panel.wait_until(lambda: "4 rpm" in panel.alert(), "the refusal of a size in rpm", 40)
    assert search.letters() == [] and search.progress() == ""

    search.type("Idlers", "5 in, 6 in, 7 in")
    search.type("Left edge", "5 in")
    search.type("Layouts to try", "150000000")
    panel.click("Start")
    panel.wait_until(lambda: "searching" in search.progress(), "the progress", 40)
    before = search.tried()
    panel.wait_until(lambda: search.tried() > before and search.kept() >= 5, "the progress to go on", 60)
    # The page is alive in between: a field can be typed into while the search runs.
    search.type("Right edge", "13 in")
    assert search.field("Right edge").input_value() == "13 in"
    panel.click("Stop")
    panel.wait_until(
        lambda: "stopped" in search.progress() and len(search.letters()) > 1, "the stop, with what was found", 150
    )
    assert search.tried() < 150_000_000 and panel.alert() == ""

    panel.click("Look at B")
    panel.wait_until(
        lambda: any("Layout B. crank belts: belt path" in p for p in search.pictures()), "layout B to scale", 40
    )
    # the trade-off follows: the layout that was asked for is drawn first
    panel.wait_until(lambda: any("Looked at: B" in p for p in search.pictures()), "B in the trade-off", 40)
    grip = float(search.root.locator("table.jk-compare tr.jk-looked td").nth(1).inner_text().split()[0])
    search.type("Name", "second best")
    # the press does not overtake what was typed over while the kernel was busy with something else
    page.keep_busy(1.0)
    search.type("Why it is not taken", "no roof")
    search.type("Why it is not taken", "no room")
    panel.click("Keep B with the build")
    panel.wait_until(lambda: "candidate 'second best'" in panel.notice(), "the candidate in the file", 40)
    assert [(c.name, c.reason) for c in stored(load(page.builds / f"{DEMO}.toml"))] == [("second best", "no room")]
    panel.click("Make B the build")
    panel.wait_until(lambda: "Layout B is the build now" in panel.notice(), "the kept notice", 40)
    kept = load(page.builds / f"{DEMO}.toml")
    assert check(kept, "crank belts").margin_bad == pytest.approx(grip, abs=0.005)
    assert kept.get("stage[crank belts].search.zone_left").text == "5 in"
    assert "The machine and its figures are invented." in (page.builds / f"{DEMO}.toml").read_text(encoding="utf-8")
    page.reload()
    page.run_all(restart=True)
    again = Search(page.panel("Search for layouts: crank belts"))
    assert again.field("Left edge").input_value() == "5 in"
    assert page.outside_hosts() == set() and page.faults == []

"""The bearing notebook in a real JupyterLab: key, typed value, error shown and left, pin, keep, reload."""

from __future__ import annotations

import pytest
from jackshaft.buildfile import DEMO, load

pytestmark = pytest.mark.browser

BOOK, TITLE = "40_bearing_lookup.ipynb", "Try the bearing: engine side"


def test_bearing_lookup(lab_page):
    page = lab_page
    page.show(BOOK)
    panel = page.panel(TITLE)
    # independent calculation of the feed-wagon auger: 40 x 80 x 18 mm, the 6208 size
    assert "Sizes it may be: 6208 100 %" in panel.picture()
    for label in panel.labels()[::3]:
        if not panel.has_slider(label):
            continue
        before, seen = panel.value(label), (panel.picture(), panel.results())
        panel.press(label, "ArrowRight", 2)
        panel.wait_changed(lambda label=label: panel.value(label), before, f"the field of {label}")
        panel.wait_changed(lambda: (panel.picture(), panel.results()), seen, f"picture or results after {label}")
        panel.wait_settled(300)
        panel.reset()
        panel.wait_until(
            lambda seen=seen: (panel.picture(), panel.results()) == seen, f"the build's own values after {label}"
        )
    panel.wait_until(lambda: "bore 1.5750 in" in panel.picture(), "the build's own reading")
    panel.pin()
    panel.wait_until(lambda: "candidate A" in panel.notice(), "the pin")
    # 1-9/16 in, 39.688 mm, is the inch size next to 40 mm
    panel.type("Bore", "1-9/16 in")
    panel.wait_until(lambda: "Sizes it may be: 6208-25" in panel.picture(), "the inch bore")
    assert "better" in panel.results()
    panel.type("Bore", "3 lbf")
    panel.wait_until(lambda: panel.alert() != "", "the refusal")
    panel.wait_until(lambda: panel.picture().startswith("old"), "the old mark")
    panel.type("Bore", "1.5745 in")
    panel.wait_until(lambda: "bore 1.5745 in" in panel.picture() and panel.alert() == "", "the error to leave")
    panel.pick("Read with", "micrometer")
    panel.wait_until(lambda: "micrometer" in load_words(panel), "the finer tool")
    panel.pick("Read with", "calipers")
    panel.type("Shaft under it", "1.5735 in")
    panel.wait_until(
        lambda: "does not work" in panel.picture() and "loose" in panel.picture(), "the loose seat to stop it"
    )
    panel.type("Shaft under it", "1.5750 in")
    panel.wait_until(lambda: "does not work" not in panel.picture(), "a seat that holds")
    panel.keep()
    panel.wait_until(lambda: "1.5745 in" in panel.notice(), "the kept notice")
    kept = load(page.builds / f"{DEMO}.toml")
    assert kept.get("bearing[engine side].bore").text == "1.5745 in"
    assert kept.get("bearing[engine side].seat").text == "1.5750 in"
    page.reload()
    page.run_all(restart=True)
    assert "bore 1.5745 in" in page.panel(TITLE).picture()
    assert page.outside_hosts() == set()


def load_words(panel) -> str:
    """The words inside the drawing itself, such as the tool beside each reading."""
    return " ".join(panel.root.locator(".jk-picture svg text").all_text_contents())


def test_nothing_is_cut_off(lab_page):
    lab_page.show(BOOK)
    for width in (1280, 390):
        lab_page.resize(width)
        assert lab_page.panel(TITLE).sticks_out() <= 0, width


FINDER = "Find a bearing from what you hold"


def answer(panel) -> str:
    """What the finder shows below its fields."""
    return " ".join(panel.root.locator(".jk-results").all_inner_texts())


def test_finder_and_marking(lab_page):
    page = lab_page
    page.show(BOOK)
    panel = page.panel(FINDER)
    # the salvaged rotor's bearing A: 72 x 17 mm body, 1-3/8 in or 35 mm, which calipers cannot tell apart
    for label, text in (("Bore", "1-3/8 in"), ("Outside diameter", "71.98 mm"), ("Width", "0.669 in")):
        panel.type(label, text)
    panel.wait_until(lambda: "6207-22" in answer(panel) and "2.95 thou" in answer(panel), "the two sizes")
    panel.wait_until(lambda: panel.echo("Bore") == "1.3750 in (34.925 mm)", "the echo")
    panel.pick("Bore tool", "bore gauge")
    panel.wait_until(lambda: " alone." in answer(panel), "the finer tool to decide")
    panel.type("Room for the outside", "70 mm")
    panel.wait_until(lambda: "Left out by room outside: 6207-22" in answer(panel), "the filter")
    panel.type("Bore", "3 lbf")
    panel.wait_until(
        lambda: "is a force" in panel.alert() and "6207" not in answer(panel), "the refusal, and nothing old"
    )
    panel.type("Bore", "35 mm")
    panel.wait_until(lambda: panel.alert() == "" and "6207" in answer(panel), "the error to leave")
    panel.type("A marking to explain", "R8ZZ")
    panel.wait_until(lambda: "a shield on both sides" in answer(panel) and "R8-2Z" in answer(panel), "the marking")
    panel.type("A marking to explain", "hello")
    panel.wait_until(lambda: "no bearing number" in panel.alert(), "the marking's refusal")
    panel.type("A marking to explain", "6203-10-2RS")
    panel.wait_until(lambda: panel.alert() == "" and "5/8 in" in answer(panel), "the marking again")
    panel.type("Put it into the build as", "scrap ring")
    panel.click("Put it into the build")
    panel.wait_until(lambda: "Added bearing 'scrap ring'" in panel.notice(), "the kept notice")
    kept = load(page.builds / f"{DEMO}.toml")
    assert kept.get("bearing[scrap ring].bore").text == "35 mm"
    assert kept.get("bearing[scrap ring].bore").known == "measured, bore gauge"
    page.page.set_viewport_size({"width": 390, "height": 1400})
    page.hide_chrome()
    panel.wait_until(lambda: panel.root.bounding_box()["width"] < 390, "the narrow page")
    assert panel.root.evaluate("e => e.scrollWidth - e.clientWidth") <= 1
    assert page.outside_hosts() == set()

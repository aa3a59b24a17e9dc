"""The drive ratio and belt layout notebooks in a real JupyterLab: key, typed value, error, pin, keep, reload."""

from __future__ import annotations

from math import hypot

import nbformat
import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.buildfile.candidates import stored

pytestmark = pytest.mark.browser


def test_drive_ratio(lab_page):
    page = lab_page
    page.show("10_drive_ratio.ipynb")
    panel = page.panel("Try other pulleys")
    assert "output shaft 418 rpm" in panel.picture()
    for label in panel.labels()[::3]:
        before, picture = panel.value(label), panel.picture()
        panel.press(label, "ArrowRight", 2)
        panel.wait_changed(lambda label=label: panel.value(label), before, f"the field of {label}")
        panel.wait_changed(panel.picture, picture, f"the picture after {label}")
        panel.wait_settled(300)
    panel.reset()
    panel.wait_until(lambda: "output shaft 418 rpm" in panel.picture(), "the build's own picture")
    # 3300 = 1.1 x 3000, so every shaft turns 1.1 times as fast: 417.9 x 1.1 = 459.7
    panel.type("Working speed", "3300 rpm")
    panel.wait_until(lambda: "output shaft 460 rpm" in panel.picture(), "the faster auger")
    assert "stop" in panel.strip()
    panel.type("Working speed", "60 Hz")
    panel.wait_until(lambda: "frequency" in panel.alert(), "the refusal")
    assert "460 rpm" in panel.picture() and "old" in panel.strip()
    panel.type("Working speed", "2800 rpm")
    panel.wait_until(lambda: panel.alert() == "" and "390 rpm" in panel.picture(), "the error to leave")
    panel.keep()
    panel.wait_until(lambda: "Working speed" in panel.notice() or "kept" in panel.notice().lower(), "the kept notice")
    kept = load(page.builds / f"{DEMO}.toml")
    assert kept.get("engine.work_speed").text == "2800 rpm"
    page.reload()
    page.run_all(restart=True)
    assert "output shaft 390 rpm" in page.panel("Try other pulleys").picture()
    assert page.outside_hosts() == set()


def two_windows(page, mine, second):
    """Keep from two windows on one build, each with a kernel of its own: other values first, then the same one."""

    def kept(key: str, text: str, panel, label: str) -> None:
        panel.type(label, text)
        panel.wait_settled()
        panel.keep()
        panel.wait_until(lambda: load(page.builds / f"{DEMO}.toml").get(key).text == text, f"{text} in the file")

    book = nbformat.v4.new_notebook()
    cell = "from jackshaft.bench import open_build\nopen_build().panel('layout')"
    book.cells, name = [nbformat.v4.new_code_cell(cell)], "second_window.ipynb"
    book.metadata["kernelspec"] = {"name": "python3", "display_name": "Python 3"}
    nbformat.write(book, page.server.root / name)
    second.show(name)
    theirs = second.panel("Try the layout: crank belts")
    tension, size = "stage[crank belts].takeup.slack_tension", "stage[crank belts].pulley[E].diameter"
    kept(tension, "50 lbf", theirs, "Slack tension held")
    kept(size, "4.6 in", mine, "E datum diameter")
    assert load(page.builds / f"{DEMO}.toml").get(tension).text == "50 lbf"
    mine.wait_until(lambda: mine.value("Slack tension held") == "50 lbf", "what the other window kept")
    kept(tension, "55 lbf", theirs, "Slack tension held")
    theirs.wait_until(lambda: theirs.value("E datum diameter") == "4.6 in", "what this window kept")
    mine.type("Slack tension held", "60 lbf")
    mine.wait_settled()
    mine.keep()
    question = mine.root.locator(".jk-ask-row")
    question.wait_for()
    assert all(f"{n} lbf" in question.inner_text() for n in (50, 55, 60))
    assert load(page.builds / f"{DEMO}.toml").get(tension).text == "55 lbf"
    question.get_by_role("button", name="Keep mine").click()
    mine.wait_until(lambda: load(page.builds / f"{DEMO}.toml").get(tension).text == "60 lbf", "my value in the file")


def a_hand_on_the_drawing(page, panel):
    """To take hold moves nothing; a quick drag lands where the hand went, though words push the picture down."""
    grip = panel.root.locator(".jk-grip[aria-label='pulley J']")
    fields = "J to the right", "J upward"
    panel.wait_settled(300)
    there = [panel.value(label) for label in fields]

    def dragged(*by, push=0):
        grip.scroll_into_view_if_needed()
        panel.wait_settled(400)
        box = grip.bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + by[0] / 2, y + by[1] / 2)
        if push:
            above = "(e, h) => { e.parentElement.style.paddingTop = `${h}px`; }"
            panel.root.locator(".jk-canvas").first.evaluate(above, push)
        page.mouse.move(x + by[0], y + by[1])
        page.mouse.up()
        if max(by) > 3:
            panel.wait_until(lambda: [panel.value(label) for label in fields] != there, "the pulley to follow")
        panel.wait_settled(300)
        found = [panel.value(label) for label in fields]
        panel.root.locator(".jk-canvas").first.evaluate("e => { e.parentElement.style.paddingTop = ''; }")
        panel.reset()
        panel.wait_until(lambda: [panel.value(label) for label in fields] == there, "the build's own place")
        return found

    assert dragged(1, 1) == there
    plain, pushed = ([float(one.split()[0]) for one in dragged(24, 16, push=push)] for push in (0, 22))
    # a sixteenth of an inch; 22 dots are more than an inch
    assert pushed == pytest.approx(plain, abs=0.07)


def test_belt_layout(lab_page, open_page):
    page = lab_page
    page.show("20_belt_layout.ipynb")
    panel = page.panel("Try the layout: crank belts")
    assert "belt path 62.09 in" in panel.picture()
    for label in panel.labels()[::3]:
        before, results = panel.value(label), panel.results()
        panel.press(label, "ArrowRight")
        panel.wait_changed(lambda label=label: panel.value(label), before, f"the field of {label}")
        panel.wait_changed(panel.results, results, f"results after {label}")
        panel.wait_settled(300)
    panel.reset()
    panel.wait_until(lambda: "belt path 62.09 in" in panel.picture(), "the build's own picture")
    a_hand_on_the_drawing(page.page, panel)
    panel.pin()
    panel.type("J to the right", "17.5 in")
    # the sprung idler follows the shorter path, so the belt that is on stays as long; E is wrapped further
    panel.wait_until(lambda: "185.0°" in panel.results(), "the idler to follow the shorter path")
    panel.wait_settled(300)
    panel.click("Set the take-up for the belt")
    # an A60 belt is 62.08 in on its cord line
    panel.wait_until(lambda: "belt path 62.0" in panel.picture(), "the idler to go where the belt fits")
    assert "Candidates overlaid: A" in panel.picture()
    assert "better" in panel.results()
    panel.wait_settled()
    # the design that was the build before goes into the file with its name and why it is not taken
    panel.keep()
    panel.wait_until(lambda: "Kept in the build" in panel.notice(), "the design in the file")
    for n, words in enumerate(("J far out", "the belt rubs")):
        field = panel.root.locator(".jk-candidate-field input").nth(n)
        field.fill(words)
        field.press("Tab")
    panel.wait_settled()
    panel.click("Keep A with the build")
    panel.wait_until(lambda: "'J far out' is kept" in panel.notice(), "the candidate in the file")
    (one,) = stored(load(page.builds / f"{DEMO}.toml"))
    assert (one.reason, one.texts["stage[crank belts].pulley[J].x"]) == ("the belt rubs", "18.0 in")
    panel.type("J to the right", "40 in")
    panel.wait_until(lambda: "does not work" in panel.picture() or "stop" in panel.strip(), "the stop")
    panel.type("J to the right", "banana")
    panel.wait_until(lambda: panel.alert() != "", "the refusal")
    # to press a button is to leave the field, and the button goes up as the error leaves, from under the pointer
    panel.wait_settled(300)
    field = panel.field("J to the right")
    field.press("Control+A")
    # key by key: to fill a field is to leave it too, and the error would be gone before the press
    field.press_sequentially("17.5 in")
    with panel.pressed_low("button.jk-keep") as moved:
        panel.wait_until(lambda: panel.alert() == "" and "belt path 62.08 in" in panel.picture(), "the error to leave")
        panel.wait_until(lambda: moved() < -8, "the button to go up")
    panel.wait_until(lambda: panel.notice() != "", "the kept notice")
    kept = load(page.builds / f"{DEMO}.toml")
    # the idler has moved on its arm, which is as long as it was
    x, y = (kept.get(f"stage[crank belts].pulley[I].{k}").si / 0.0254 for k in "xy")
    assert x > 7.2 and hypot(x - 13.0, y + 6.0) == pytest.approx(hypot(6.0, 3.12), abs=0.01)
    two_windows(page, panel, open_page(page.server))
    assert page.outside_hosts() == set()


def test_nothing_is_cut_off_and_the_nearest_handle_is_taken(lab_page):
    lab_page.show("20_belt_layout.ipynb")
    for width in (1280, 390):
        lab_page.resize(width)
        assert lab_page.panel("Try the layout: crank belts").sticks_out() <= 0, width
    # on a phone the handle of I covers the middle of E: who takes E by its middle means E
    panel = lab_page.panel("Try the layout: crank belts")
    panel.type("I to the right", "1.5 in")
    panel.type("I upward", "0 in")
    panel.wait_settled()
    panel.root.evaluate("e => e.scrollIntoView({block: 'start'})")
    before = panel.value("I to the right"), panel.value("E to the right")
    box = panel.root.get_by_role("slider", name="pulley E", exact=True).bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    lab_page.page.mouse.move(x, y)
    lab_page.page.mouse.down()
    lab_page.page.mouse.move(x - 12, y, steps=3)
    lab_page.page.mouse.up()
    panel.wait_changed(lambda: panel.value("E to the right"), before[1], "E to follow the hand")
    assert panel.value("I to the right") == before[0]

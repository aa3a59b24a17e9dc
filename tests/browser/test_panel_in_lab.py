"""The panel and the harness themselves, on a toy notebook: what every notebook's browser test builds on."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import nbformat
import pytest
from lab_page import SIZE

pytestmark = pytest.mark.browser

TOY = Path(__file__).resolve().parents[1] / "unit" / "panel_toy.py"


@pytest.fixture(scope="module")
def toy_lab(lab_on, tmp_path_factory):
    root = tmp_path_factory.mktemp("toy")
    shutil.copy(TOY, root)
    book = nbformat.v4.new_notebook()
    book.cells = [
        nbformat.v4.new_markdown_cell("# Toy drive"),
        nbformat.v4.new_code_cell(
            "import panel_toy\nbuild = panel_toy.load('toy.json')\npanel = panel_toy.toy_panel(build)"
        ),
        nbformat.v4.new_code_cell("panel"),
    ]
    book.metadata["kernelspec"] = {"name": "python3", "display_name": "Python 3"}
    nbformat.write(book, root / "toy.ipynb")
    return lab_on(root)


@pytest.fixture(scope="module")
def toy_page(toy_lab, open_page):
    return open_page(toy_lab)


@pytest.fixture
def toy(toy_page):
    """The notebook with every cell run anew, on the build as it was at first."""
    (toy_page.server.root / "toy.json").unlink(missing_ok=True)
    toy_page.page.set_viewport_size(SIZE)
    toy_page.show("toy.ipynb")
    return toy_page


def test_typed_value_moves_numbers_and_picture(toy):
    panel = toy.panel("Open belt")
    before = panel.facts()["belt length"]
    assert before.startswith("63.87 in")
    panel.type("Centre distance", "21-1/2 in")
    panel.wait_changed(lambda: panel.facts()["belt length"], before, "belt length")
    assert panel.facts()["belt length"].startswith("66.85 in")
    panel.wait_until(lambda: "66.85 in" in panel.picture(), "the picture to follow")
    assert "read as 21.50 in (546.1 mm)" in panel.echo("Centre distance")
    # a bare number is taken in the unit on the label, and leaving by Tab counts as typing
    panel.type("Centre distance", "22", leave="Tab")
    panel.wait_until(lambda: "22.00 in" in panel.echo("Centre distance"), "the echo")
    assert toy.faults == []


def test_slider_by_key(toy):
    panel = toy.panel()
    for label in panel.labels():
        if not panel.has_slider(label):
            continue
        echo, results = panel.value(label), panel.results()
        panel.press(label, "ArrowRight")
        panel.wait_changed(lambda label=label: panel.value(label), echo, f"the field of {label}")
        panel.wait_changed(panel.results, results, f"results after {label}")
    assert panel.alert() == ""


def test_every_control_is_reached_by_tab(toy):
    panel = toy.panel()
    panel.field("Large pulley").focus()
    seen = []
    for _ in range(22):
        seen.append(toy.page.evaluate("() => document.activeElement.className + '|' + document.activeElement.tagName"))
        toy.page.keyboard.press("Tab")
    assert sum("noUi-handle" in s for s in seen) == 6
    assert sum(s.endswith("INPUT") for s in seen) == 6
    assert sum(s.endswith("SELECT") for s in seen) == 2
    assert sum("jk-button" in s for s in seen) == 6


def test_error_is_shown_and_goes(toy):
    panel = toy.panel()
    panel.type("Large pulley", "12 kg")
    panel.wait_until(lambda: "kg is a force or a mass" in panel.alert(), "the alert")
    panel.wait_until(lambda: panel.picture().startswith("old: does not match the inputs"), "the old mark")
    assert "old: does not match the inputs" in panel.strip()
    panel.type("Large pulley", "12 in")
    panel.wait_until(lambda: panel.alert() == "", "the alert to go")
    panel.wait_until(lambda: not panel.picture().startswith("old"), "the old mark to go")
    # what only the build as a whole refuses
    panel.type("Small pulley", "12 in")
    panel.wait_until(lambda: "less than the large pulley" in panel.alert(), "the build's refusal")


def test_stop_is_written_across_the_picture(toy):
    panel = toy.panel()
    panel.type("Centre distance", "39 in")
    panel.wait_until(lambda: "does not work: no stock belt is longer" in panel.picture(), "the banner")
    assert "stop" in panel.strip()
    assert toy.page.locator(".jk-picture svg text", has_text="does not work").count() > 0


def test_past_the_slider_is_said_and_past_the_limit_refused(toy):
    panel = toy.panel()
    panel.type("Large pulley", "15 in")
    panel.wait_until(lambda: "past the slider" in panel.echo("Large pulley"), "the remark")
    assert panel.value("Large pulley") == "15 in"
    panel.type("Large pulley", "31 in")
    panel.wait_until(lambda: "30 in or less" in panel.alert(), "the refusal")
    assert panel.value("Large pulley") == "31 in"


def test_pin_compare_use(toy):
    panel = toy.panel()
    panel.pin()
    panel.wait_until(lambda: "candidate A" in panel.notice(), "the pin")
    panel.type("Centre distance", "24 in")
    panel.wait_until(lambda: "better" in panel.results(), "the comparison")
    panel.wait_until(lambda: "candidate A" in panel.picture(), "the overlay")
    panel.click("Take A")
    panel.wait_until(lambda: panel.value("Centre distance") == "20 in", "candidate A in the fields")
    # in the lab's dark theme the picture is dark: ink and paper change places, the candidate keeps its colour's kin
    looks = """() => ['.jk-picture', '.jk-wide text', '.jk-swatch path'].map(s => {
      const style = getComputedStyle(document.querySelector(s));
      return s.includes(' ') ? [style.fill, style.stroke] : style.backgroundColor; }).flat()"""
    light = toy.page.evaluate(looks)
    toy.page.evaluate("document.body.dataset.jpThemeLight = 'false'")
    dark = toy.page.evaluate(looks)
    toy.page.evaluate("document.body.dataset.jpThemeLight = 'true'")
    assert (light[0], dark[0]) == ("rgb(253, 252, 248)", "rgb(27, 35, 41)")
    assert (light[1], dark[1]) == ("rgb(29, 42, 51)", "rgb(232, 237, 240)")
    assert (light[4], dark[4]) == ("rgb(106, 61, 154)", "rgb(201, 170, 240)")


def test_keep_reload_and_saved_file(toy):
    panel = toy.panel()
    panel.type("Centre distance", "21 in")
    panel.type("Centre distance", "21,500 in")
    panel.wait_until(lambda: panel.alert() != "", "the ambiguous comma to be refused")
    panel.keep()
    panel.wait_until(lambda: "Nothing was kept" in panel.alert(), "the refusal to keep")
    panel.type("Centre distance", "21 in")
    panel.type("Engine speed", "2800 rpm")
    panel.wait_until(lambda: panel.alert() == "", "the alert to go")
    panel.keep()
    panel.wait_until(lambda: "drive.apart = 21 in (was 20 in)" in panel.notice(), "the message")
    assert json.loads((toy.server.root / "toy.json").read_text())["engine.speed"] == "2800 rpm"
    panel.wait_until(lambda: "21.00 in" in panel.stored_text(), "the stored outputs to follow")
    panel.wait_settled()
    toy.save()
    stored = toy.stored("toy.ipynb")["cells"][2]["outputs"]
    assert [set(o["data"]) for o in stored[1:]] == [{"text/plain", "text/html"}, {"image/png"}]
    assert any("Centre distance: 21.00 in" in line for line in stored[1]["data"]["text/plain"])
    assert "belt length" in stored[2]["metadata"]["image/png"]["alt"]
    toy.reload()
    toy.run_all(restart=True)
    panel = toy.panel()
    assert panel.value("Centre distance") == "21 in"


def test_keep_refuses_over_somebody_elses_change(toy):
    panel = toy.panel()
    panel.type("Centre distance", "23 in")
    panel.wait_until(lambda: "23.00 in" in panel.echo("Centre distance"), "the echo")
    file = toy.server.root / "toy.json"
    file.write_text(file.read_text() + "\n")
    panel.keep()
    panel.wait_until(lambda: "changed on disk" in panel.alert(), "the refusal")
    assert panel.value("Centre distance") == "23 in"


def test_stored_outputs_are_hidden_while_live(toy):
    assert toy.page.locator(".jp-OutputArea-child:has(img)").count() == 1
    assert not toy.page.locator(".jp-OutputArea-child:has(img)").is_visible()


@pytest.mark.parametrize("width", [1280, 820, 390])
def test_layout_holds(toy, width):
    panel = toy.panel()
    toy.resize(width)
    boxes = toy.page.evaluate("""() => {
      const root = document.querySelector('.jk-panel'), edge = root.getBoundingClientRect();
      const out = [], small = [];
      const parts = 'input, select, button, .noUi-target, .jk-picture, .jk-results, .jk-strip';
      for (const part of root.querySelectorAll(parts)) {
        const box = part.getBoundingClientRect();
        const cut = box.left < edge.left - 1 || box.right > edge.right + 1;
        if (box.width && cut) out.push(part.className || part.tagName);
        if (['INPUT', 'SELECT', 'BUTTON'].includes(part.tagName) && box.height < 43.5) small.push(part.className);
      }
      return {out, small, width: edge.width, scroll: root.scrollWidth};
    }""")
    assert boxes["out"] == []
    assert boxes["small"] == []
    assert boxes["scroll"] <= boxes["width"] + 1
    places = [panel.root.locator(s).bounding_box() for s in (".jk-picture", ".jk-side")]
    side_by_side = places[1]["x"] + places[1]["width"] <= places[0]["x"] + 1
    assert side_by_side == (width == 1280)


@pytest.mark.parametrize("width", [1280, 390])
def test_nothing_under_the_hand_moves(toy, width):
    """A verdict, an alert or a longer sentence that comes up while a slider is moved may not move the slider."""
    toy.page.set_viewport_size({"width": width, "height": 800})
    panel = toy.panel()
    handle = panel.slider("Centre distance")
    handle.scroll_into_view_if_needed()
    handle.focus()
    toy.page.wait_for_timeout(500)
    place = handle.bounding_box()["y"]
    for key, sign in (("End", "stop"), ("Home", "caution")):
        handle.press(key)
        panel.wait_until(lambda sign=sign: sign in panel.strip(), f"the {sign}")
        toy.page.wait_for_timeout(300)
        assert handle.bounding_box()["y"] == pytest.approx(place, abs=2)

"""The notebook of shafts and joints in a real JupyterLab: key, typed value, an error, action, keep, reload."""

from __future__ import annotations

import pytest
from jackshaft.buildfile import DEMO, load

pytestmark = pytest.mark.browser

BOOK, TITLE = "50_shafts_and_joints.ipynb", "Try the shaft: jackshaft"


def of_one_diameter(path):
    """Write the build with a jackshaft of one diameter, which a stock size can take the place of."""
    text = path.read_text(encoding="utf-8")
    start, end = text.index("[[shaft.step]]"), text.index("# Each hub also has")
    path.write_text(
        text[:start].rstrip("\n") + '\ndiameter = "1-3/8 in"\n\n' + text[end:],
        encoding="utf-8",
    )
    assert load(path).get("shaft[jackshaft].diameter").text == "1-3/8 in"


def test_a_stepped_shaft(lab_page):
    page = lab_page
    page.show(BOOK)
    panel = page.panel(TITLE)
    panel.type("Diameter, sprocket end", "0.3 in")
    panel.wait_until(lambda: "does not work" in panel.picture(), "the thin end to be a stop")
    panel.type("Diameter, sprocket end", "1-3/16 in")
    panel.wait_until(lambda: "does not work" not in panel.picture(), "a sound end")
    panel.keep()
    panel.wait_until(lambda: "1-3/16 in" in panel.notice(), "the kept notice")
    kept = load(page.builds / f"{DEMO}.toml")
    assert kept.get("shaft[jackshaft].step[sprocket end].diameter").si == pytest.approx(1.1875 * 0.0254)


def test_shafts_and_joints(lab_page):
    page = lab_page
    of_one_diameter(page.builds / f"{DEMO}.toml")
    page.show(BOOK)
    panel = page.panel(TITLE)
    # 3.5 hp at 1,285.7 rpm, independent calculation of the feed-wagon auger: 14.3 lbf·ft
    assert "most torque 14.3 lbf·ft" in panel.picture()
    for label in panel.labels()[::3]:
        if not panel.has_slider(label):
            continue
        before, seen = panel.value(label), (panel.picture(), panel.results())
        panel.press(label, "ArrowRight", 4)
        panel.wait_changed(lambda label=label: panel.value(label), before, f"the field of {label}")
        panel.wait_changed(lambda: (panel.picture(), panel.results()), seen, f"picture or results after {label}")
        panel.wait_settled(300)
        panel.reset()
        panel.wait_until(
            lambda seen=seen: (panel.picture(), panel.results()) == seen, f"the build's own values after {label}"
        )
    panel.pin()
    panel.wait_until(lambda: "candidate A" in panel.notice(), "the pin")
    panel.type("Shaft diameter", "0.4 in")
    panel.wait_until(lambda: "does not work" in panel.picture(), "the thin shaft to be a stop")
    panel.click("Take the next stock size that holds")
    panel.wait_until(lambda: "does not work" not in panel.picture(), "the stock size to hold")
    panel.type("Shaft diameter", "banana")
    panel.wait_until(lambda: panel.alert() != "", "the refusal")
    panel.type("Shaft diameter", "1-1/4 in")
    panel.wait_until(
        lambda: "1.2500 in" in panel.results() and not panel.picture().startswith("old"), "the sound value"
    )
    panel.wait_until(lambda: panel.alert() == "", "the error to leave")
    panel.pick("Surface", "hot-rolled")
    panel.wait_until(lambda: "better" in panel.results() or "worse" in panel.results(), "the comparison")
    panel.keep()
    panel.wait_until(lambda: "1-1/4 in" in panel.notice(), "the kept notice")
    kept = load(page.builds / f"{DEMO}.toml")
    assert kept.get("shaft[jackshaft].diameter").si == pytest.approx(1.25 * 0.0254)
    assert kept.get("shaft[jackshaft].finish") == "hot-rolled"
    page.reload()
    page.run_all(restart=True)
    panel = page.panel(TITLE)
    assert panel.value("Shaft diameter") == "1-1/4 in"
    assert page.outside_hosts() == set()


def test_nothing_is_cut_off(lab_page):
    lab_page.show(BOOK)
    for width in (1280, 390):
        lab_page.resize(width)
        assert lab_page.panel(TITLE).sticks_out() <= 0, width

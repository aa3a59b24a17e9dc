"""The notebook of what gives first in a real JupyterLab."""

from __future__ import annotations

import pytest
from jackshaft.build import load

pytestmark = pytest.mark.browser


def test_what_gives_first(lab_page):
    page = lab_page
    page.open("60_what_gives_first.ipynb")
    page.run_all(restart=True)
    panel = page.panel("Make the right part give first")
    assert panel.picture().index("brush belts") < panel.picture().index("shear pin")
    for label in panel.labels():
        before, picture = panel.value(label), panel.picture()
        panel.press(label, "ArrowRight", 2)
        panel.wait_changed(lambda label=label: panel.value(label), before, f"the field of {label}")
        panel.wait_changed(panel.picture, picture, f"the picture after {label}")
    panel.click("Reset to the build")
    panel.wait_until(lambda: "shear pin 7.72" in panel.picture(), "the build's own chain")
    panel.type("Tension at rest, brush belts", "60 lbf")
    panel.wait_until(lambda: panel.picture().index("shear pin") < panel.picture().index("brush belts"), "the new order")
    panel.type("Pin diameter", "5 lbf")
    panel.wait_until(lambda: panel.alert() != "", "the refusal")
    panel.type("Pin diameter", "3/16 in")
    panel.wait_until(lambda: panel.alert() == "", "the error to leave")
    panel.keep()
    panel.wait_until(lambda: panel.notice() != "", "the kept notice")
    assert load(page.builds / "orchard_sweeper.toml").get("stage[brush belts].takeup.static_tension").text == "60 lbf"
    page.reload()
    page.run_all(restart=True)
    picture = page.panel("Make the right part give first").picture()
    assert picture.index("shear pin") < picture.index("brush belts")

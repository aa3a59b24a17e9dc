"""The notebook of the telescoping shaft in a real JupyterLab."""

from __future__ import annotations

import pytest
from jackshaft.buildfile import DEMO, load

pytestmark = pytest.mark.browser


def test_telescoping_shaft(lab_page):
    page = lab_page
    page.show("70_telescoping_shaft.ipynb")
    panel = page.panel("Try the travel of the shaft")
    # independent calculation of the feed-wagon auger
    assert "high, 29.13 in joint to joint, joints at 20.5° and 18.0°" in panel.picture()
    picture = panel.picture()
    panel.press("Lift, high", "ArrowRight", 3)
    panel.wait_changed(panel.picture, picture, "the picture of a higher lift")
    panel.reset()
    panel.type("Usable tube", "8.5 in")
    panel.wait_until(lambda: "does not work" in panel.picture(), "the short tube to be a stop")
    panel.type("Usable tube", "13 in")
    panel.wait_until(lambda: "does not work" not in panel.picture(), "a tube that holds")
    panel.keep()
    panel.wait_until(lambda: panel.notice() != "", "the kept notice")
    assert load(page.builds / f"{DEMO}.toml").get("driveline.tube").text == "13 in"

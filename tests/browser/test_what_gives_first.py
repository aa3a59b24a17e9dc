"""The notebook of what gives first in a real JupyterLab."""

from __future__ import annotations

import pytest
from jackshaft.buildfile import DEMO, load

pytestmark = pytest.mark.browser


def test_what_gives_first(lab_page):
    page = lab_page
    page.show("60_what_gives_first.ipynb")
    panel = page.panel("Make the right part give first")
    assert panel.picture().index("shear pin") < panel.picture().index("crank belts")
    for label in panel.labels()[::3]:
        before, picture = panel.value(label), panel.picture()
        panel.press(label, "ArrowRight", 2)
        panel.wait_changed(lambda label=label: panel.value(label), before, f"the field of {label}")
        panel.wait_changed(panel.picture, picture, f"the picture after {label}")
        panel.wait_settled(300)
    panel.reset()
    panel.wait_until(lambda: "shear pin 17.4" in panel.picture(), "the build's own chain")
    # 32.5 lbf·ft with 44 lbf in the slack strand, so 14.8 with 20: under the pin
    panel.type("Slack tension held, crank belts", "20 lbf")
    panel.wait_until(lambda: panel.picture().index("crank belts") < panel.picture().index("shear pin"), "the new order")
    panel.type("Pin diameter", "5 lbf")
    panel.wait_until(lambda: panel.alert() != "", "the refusal")
    panel.type("Pin diameter", "3/16 in")
    panel.wait_until(lambda: panel.alert() == "", "the error to leave")
    # 17.37 x (3/4)^2 = 9.77, under the belts again
    panel.wait_until(lambda: "shear pin 9.7" in panel.picture(), "the thinner pin")
    panel.keep()
    panel.wait_until(lambda: panel.notice() != "", "the kept notice")
    assert load(page.builds / f"{DEMO}.toml").get("stage[crank belts].takeup.slack_tension").text == "20 lbf"
    page.reload()
    page.run_all(restart=True)
    picture = page.panel("Make the right part give first").picture()
    assert picture.index("shear pin") < picture.index("crank belts")

"""The notebook of the roller chain in a real JupyterLab."""

from __future__ import annotations

import pytest
from jackshaft.buildfile import DEMO, load

pytestmark = pytest.mark.browser


def test_roller_chain(lab_page):
    page = lab_page
    page.show("28_roller_chain.ipynb")
    panel = page.panel("Try another chain")
    # 75.93 pitches at 18.25 in, 13.7 hp: independent calculation of the feed-wagon auger
    assert "75.93 pitches" in panel.picture() and "rated for 13.7 hp" in panel.picture()
    strip, canvas = panel.root.locator(".jk-strip"), panel.root.locator(".jk-canvas")
    whole, place = strip.locator(".jk-whole"), canvas.bounding_box()
    assert strip.locator(".jk-why").evaluate("e => e.scrollHeight > e.clientHeight") and not whole.is_visible()
    strip.focus()
    assert whole.is_visible() and whole.inner_text().endswith("fewer are loud and wear the chain sooner.")
    assert canvas.bounding_box() == place
    strip.evaluate("e => e.blur()")
    before, picture = panel.value("Teeth on the driver"), panel.picture()
    panel.press("Teeth on the driver", "ArrowRight", 2)
    panel.wait_changed(lambda: panel.value("Teeth on the driver"), before, "the field of the teeth")
    panel.wait_changed(panel.picture, picture, "the picture")
    panel.reset()
    panel.type("Links", "74")
    panel.wait_until(lambda: "does not work" in panel.picture(), "the short chain to be a stop")
    panel.type("Links", "78")
    panel.wait_until(lambda: "does not work" not in panel.picture(), "a chain that closes")
    panel.keep()
    panel.wait_until(lambda: panel.notice() != "", "the kept notice")
    assert load(page.builds / f"{DEMO}.toml").get("stage[output chain].links") == 78

"""The notebook of guards and hazards in a real JupyterLab."""

from __future__ import annotations

import pytest
from jackshaft.buildfile import DEMO, load

pytestmark = pytest.mark.browser


def test_guards_and_hazards(lab_page):
    page = lab_page
    page.show("80_guards_and_hazards.ipynb")
    panel = page.panel("Try other guards")
    assert "No guard of this build has openings" in panel.picture()
    panel.pick("Guard", "none")
    panel.wait_until(lambda: "does not work" in panel.picture(), "the missing guard to be a stop")
    panel.pick("Guard", "nips only")
    panel.wait_until(lambda: "does not work" not in panel.picture(), "a guard at the nips")
    panel.keep()
    panel.wait_until(lambda: panel.notice() != "", "the kept notice")
    assert load(page.builds / f"{DEMO}.toml").get("stage[crank belts].guard") == "nips only"

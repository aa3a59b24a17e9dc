"""The tension notebook in a real JupyterLab: every control by key, the inverse, an action, an error, pin, keep."""

from __future__ import annotations

import pytest
from jackshaft.buildfile import DEMO, load

pytestmark = pytest.mark.browser

BOOK, TITLE = "25_tension_and_grip.ipynb", "Try the tension: crank belts"
#: Fields that the build leaves to the tables: a first key press writes the slider's middle.
UNKNOWN = ("Coefficient, groove", "Bad end, groove")


def test_tension_and_grip(lab_page):
    page = lab_page
    page.show(BOOK)
    panel = page.panel(TITLE)
    # Independent calculation of the build: 5.31, 3.36 at the bad end, for 44 lbf in the slack strand; 120 lbf on E.
    assert "E slips first, at 5.31 times" in panel.picture() and "E 120 lbf" in panel.picture()
    for label in (n for n in panel.labels() if panel.has_slider(n) and not n.startswith(UNKNOWN)):
        before, results = panel.value(label), panel.results()
        panel.press(label, "ArrowRight")
        panel.wait_changed(lambda label=label: panel.value(label), before, f"the field of {label}")
        panel.wait_changed(panel.results, results, f"results after {label}")
        panel.wait_settled(300)
    panel.reset()
    panel.wait_until(lambda: "at 5.31 times" in panel.picture(), "the build's own picture")
    panel.pin()
    panel.type("Slack tension held", "50 lbf")
    # Margin grows with the spring alone: 5.31 x 50 / 44 = 6.03.
    panel.wait_until(lambda: "at 6.03 times" in panel.picture(), "the tighter spring")
    assert "Candidates overlaid: A" in panel.picture() and "better" in panel.results()
    panel.type("Coefficient, groove", "0.40")
    panel.wait_until(lambda: "at 3.81 times" in panel.picture(), "the worn groove")
    panel.wait_settled(300)
    panel.type("Coefficient, groove", "slippery")
    panel.wait_until(lambda: panel.alert() != "", "the refusal")
    panel.type("Coefficient, groove", "")
    panel.wait_until(lambda: panel.alert() == "" and "at 6.03 times" in panel.picture(), "the error to leave")
    panel.keep()
    panel.wait_until(lambda: panel.notice() != "", "the kept notice")
    kept = load(page.builds / f"{DEMO}.toml")
    assert kept.get("stage[crank belts].takeup.slack_tension").text == "50 lbf"
    assert page.outside_hosts() == set()


def test_measured_and_set(lab_page):
    page = lab_page
    page.show(BOOK)
    panel = page.panel(TITLE)
    # T/16 and a sixteenth of the section's stiffness, 6 lbf: 1.875 lbf tells 24 lbf.
    panel.type("Force that gives the deflection", "1.875 lbf")
    panel.wait_until(lambda: "24.0 lbf a belt" in panel.results(), "the tension that the force tells")
    # T = 4 m L^2 f^2 with 0.105 kg/m and 18.18 in: 60 Hz tells 72.5 lbf.
    panel.type("Pluck frequency", "60 Hz")
    panel.wait_until(lambda: "72.5 lbf a belt" in panel.results(), "the tension that the pitch tells")
    panel.click("Tension for the peak")
    # The choke needs 44 / 1.53 = 28.8 lbf at the bad end; rounded up to the next pound.
    panel.wait_until(lambda: panel.value("Slack tension held").startswith("29"), "the tension for the peak")
    assert "grip at the peak load" in panel.results()


def test_nothing_is_cut_off(lab_page):
    lab_page.show(BOOK)
    for width in (1280, 390):
        lab_page.resize(width)
        assert lab_page.panel(TITLE).sticks_out() <= 0, width

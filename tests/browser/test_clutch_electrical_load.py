"""The clutch notebook in a real JupyterLab: key, typed value, choice, error, action, pin, keep, reload."""

from __future__ import annotations

import pytest
from jackshaft.buildfile import DEMO, load

pytestmark = pytest.mark.browser
BOOK = "30_clutch_electrical_load.ipynb"


def test_clutch_electrical_load(lab_page):
    page = lab_page
    page.show(BOOK)
    panel = page.panel("Try other wire, fuse and supply")
    # independent calculation of the feed-wagon auger
    build_words = "coil gets 13.68 V and 5.26 A cold, 13.78 V and 4.03 A hot"
    assert build_words in panel.picture()
    for label in panel.labels()[::3]:
        before, results = panel.value(label), panel.results()
        if panel.has_slider(label):
            panel.press(label, "ArrowRight", 2)
            panel.wait_changed(lambda label=label: panel.value(label), before, f"the field of {label}")
            panel.wait_changed(panel.results, results, f"results after {label}")
        panel.wait_settled(300)
    panel.reset()
    panel.wait_until(lambda: build_words in panel.picture(), "the build's own picture")
    panel.pin()
    panel.pick("Wire size", "22 AWG")
    panel.wait_until(
        lambda: "Candidates overlaid: A" in panel.picture() and build_words not in panel.picture(), "thinner wire"
    )
    assert "better" in panel.results() and "22 AWG" in panel.results()
    panel.pick("Wire size", "16 AWG")
    panel.pick("Fuse", "40 A")
    panel.wait_until(lambda: "does not work" in panel.picture() and "stop" in panel.strip(), "the stop")
    panel.click("Take the fuse that fits")
    panel.wait_until(
        lambda: panel.value("Fuse") == "7.5 A" and "does not work" not in panel.picture(), "the fuse that fits"
    )
    panel.type("Wire out", "9 lb")
    panel.wait_until(lambda: panel.alert() != "", "the refusal")
    panel.type("Wire out", "6 ft")
    panel.wait_until(lambda: panel.alert() == "" and "read as" in panel.echo("Wire out"), "the error to leave")
    panel.type("Running voltage", "14.4")
    panel.wait_until(lambda: "battery + 14.40 V" in panel.picture(), "the supply")
    panel.keep()
    panel.wait_until(lambda: panel.notice() != "", "the kept notice")
    kept = load(page.builds / f"{DEMO}.toml")
    assert [kept.get(f"circuit.{k}").text for k in ("wire", "fuse", "length_out", "running_voltage")] == [
        "16 AWG",
        "7.5 A",
        "6 ft",
        "14.4 V",
    ]
    assert page.faults == []
    page.reload()
    page.run_all(restart=True)
    assert "battery + 14.40 V" in page.panel("Try other wire, fuse and supply").picture()
    page.save()
    stored = str(page.stored(BOOK))
    assert "14.40 V" in stored and "16 AWG" in stored
    assert page.outside_hosts() == set()


def test_clutch_by_itself(lab_page):
    page = lab_page
    page.show(BOOK)
    panel = page.panel("Try the clutch hot, cold and fast")
    assert "locks after" in panel.picture()
    for label in panel.labels()[::3]:
        before, results = panel.value(label), panel.results()
        if not panel.has_slider(label):
            continue
        panel.press(label, "ArrowRight", 2)
        panel.wait_changed(lambda label=label: panel.value(label), before, f"the field of {label}")
        panel.wait_changed(panel.results, results, f"results after {label}")
        panel.wait_settled(300)
    panel.reset()
    panel.pick("Torque of the work", "with the square of speed")
    panel.wait_until(lambda: "torque the work takes as it runs up" in panel.results(), "the rising load")
    panel.reset()
    panel.type("Plate torque", "5 lbf·ft")
    panel.wait_until(
        lambda: "does not lock" in panel.picture() and "stop" in panel.strip(), "the clutch too weak to lock"
    )
    panel.type("Air gap", "0.4 V")
    panel.wait_until(lambda: panel.alert() != "", "the refusal")
    panel.type("Air gap", "20 thou")
    panel.type("Plate torque", "100 lbf·ft")
    panel.wait_until(lambda: panel.alert() == "" and "locks after" in panel.picture(), "the error to leave")
    panel.keep()
    panel.wait_until(lambda: panel.notice() != "", "the kept notice")
    kept = load(page.builds / f"{DEMO}.toml")
    assert kept.get("clutch.static_torque").text == "100 lbf·ft"
    assert kept.get("clutch.air_gap").si == pytest.approx(0.020 * 0.0254)


def test_nothing_is_cut_off(lab_page):
    lab_page.show(BOOK)
    for width in (1280, 390):
        lab_page.resize(width)
        wide = lab_page.page.evaluate("""() => {
          return [...document.querySelectorAll('.jk-panel')].map(
            p => p.scrollWidth - p.getBoundingClientRect().width);
        }""")
        # the form for the meter and two panels
        assert len(wide) == 3 and max(wide) <= 1, width


def test_a_reading_is_written_down(lab_page):
    page = lab_page
    page.show(BOOK)
    root = page.page.locator(".jk-card", has=page.page.locator("h3", has_text="What the meter shows"))

    def fill(label, text):
        box = root.get_by_label(label, exact=True)
        box.fill(text)
        box.press("Tab")

    root.get_by_label("Red lead on", exact=True).select_option(label="coil +")
    fill("Volts", "13.5 ohm")
    root.get_by_role("button", name="Write the voltage down").click()
    root.get_by_role("alert").first.wait_for()
    root.get_by_label("Supply", exact=True).select_option(label="engine running")
    root.get_by_label("Coil", exact=True).select_option(label="cold")
    fill("Volts", "13.55")
    root.get_by_role("button", name="Write the voltage down").click()
    root.get_by_text("Kept 13.55 V at coil +").wait_for()
    path = page.builds / f"{DEMO}.toml"
    (name,) = load(path).names("circuit.reading")
    assert load(path).get(f"circuit.reading[{name}].volts").text == "13.55 V"
    fill("Joint", "clutch plug")
    root.get_by_label("Where it sits", exact=True).select_option(label="coil side, out")
    fill("Drop across it", "40 mV")
    root.get_by_role("button", name="Write the drop down").click()
    root.get_by_text("Kept 40 mV across clutch plug").wait_for()
    assert load(path).get("circuit.joint[clutch plug].drop").si == pytest.approx(0.04)

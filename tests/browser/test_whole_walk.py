"""The whole way of a builder, once: the README's command, a new build, a cure, a hand on the drawing, a record."""

from __future__ import annotations

import json
import shutil
import sys
from pathlib import Path

import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.buildfile.candidates import stored
from jackshaft.results import label
from lab_page import SIZE, LabPage
from lab_server import LabServer

pytestmark = pytest.mark.browser

ROOT = Path(__file__).resolve().parents[2]
BELT = "stage[crank belts]"
TEN = {
    "engine.side_load_limit": "150 lbf",
    "engine.rated_power": "14 hp",
    "engine.peak_torque": "21 lbf·ft",
    "engine.inertia": "1.9 lb·ft²",
    "engine.stall_speed": "950 rpm",
    "engine.idle_speed": "1450 rpm",
    "engine.work_speed": "2950 rpm",
    "engine.key_length": "1-3/4 in",
    f"{BELT}.takeup.slack_tension": "46 lbf",
    f"{BELT}.takeup.spring_rate": "11 lbf/in",
}
PHONE = 390


class OwnCommand(LabServer):
    """The lab as the README starts it; what a test has to know of it stands in the settings of the machine."""

    def line(self) -> list[str]:
        settings = {
            "ServerApp": {"ip": "127.0.0.1", "port": self.port, "port_retries": 0, "open_browser": False},
            "IdentityProvider": {"token": self.token},
            "LabApp": {"expose_app_in_browser": True, "news_url": "", "extension_manager": "readonly"},
        }
        (self.state / "config" / "jupyter_lab_config.json").write_text(json.dumps(settings))
        return [sys.executable, "-m", "jackshaft", "lab"]


@pytest.fixture
def home(tmp_path):
    """A copy of the project as it is unpacked."""
    ignore = shutil.ignore_patterns(".ipynb_checkpoints", "*.previous", ".open", "__pycache__")
    for name in ("lib", "notebooks", "data"):
        shutil.copytree(ROOT / name, tmp_path / "home" / name, ignore=ignore)
    return tmp_path / "home"


@pytest.fixture
def windows(browser, browser_path, home, tmp_path):
    """Open a window on the lab: ``windows() -> LabPage``."""
    with OwnCommand(home, tmp_path / "state", env={"PYTHONPATH": str(home / "lib")}) as server:
        contexts = []

        def window() -> LabPage:
            contexts.append(browser.new_context(viewport=SIZE, has_touch=True))
            return LabPage(contexts[-1].new_page(), server)

        yield window
        for context in contexts:
            context.close()


def test_from_the_command_through_a_new_build_to_a_record(windows, home):
    page = windows()
    file = home / "data" / "builds" / "walk.toml"
    page.page.goto(f"http://{page.server.host}/workbook/notebooks/00_start_here.ipynb?token={page.server.token}")
    page.page.wait_for_selector(".jp-Notebook .jp-Cell")
    page.run_all()
    a_new_build(page, file)
    page.open("notebooks/20_belt_layout.ipynb")
    page.run_all()
    panel = page.panel("Try the layout: crank belts")
    a_cure(panel, file)
    other = windows()
    by_mouse_keys_and_finger(page, panel)
    a_candidate_and_another_window(panel, other, file)
    a_record(page, home)
    assert page.outside_hosts() == other.outside_hosts() == set()
    assert page.faults == other.faults == []


def card(page, title):
    return page.page.locator(".jk-card", has=page.page.locator("h3", has_text=title))


def a_new_build(page, file):
    """Make a build after another one, and write ten values of one's own into it."""
    make = page.page.locator(".jk-card", has=page.page.get_by_label("Start from", exact=True))
    make.get_by_label("Name", exact=True).fill("Walk")
    make.get_by_label("Start from", exact=True).select_option(label=DEMO)
    make.get_by_role("button", name="Make it").click()
    page.page.get_by_text("Made walk.toml").first.wait_for()
    bench = card(page, "At the bench")
    what = bench.get_by_label("What was measured", exact=True)
    for key, text in TEN.items():
        # what is asked for is offered as wanted; the lists of the lab hold hard spaces
        offered = [o.replace("\xa0", " ").removeprefix("wanted: ") for o in what.locator("option").all_text_contents()]
        what.select_option(index=offered.index(label(key)))
        value = bench.get_by_label("Value", exact=True)
        value.fill(text)
        value.press("Tab")
        bench.get_by_role("button", name="Write it into the build").click()
        bench.get_by_text(f"Kept {label(key)}").first.wait_for()
    build = load(file)
    assert {key: build.get(key).text for key in TEN} == TEN


def a_cure(panel, file):
    """Let the belts slip, try what is offered, and keep it."""
    assert panel.value("Slack tension held") == "46 lbf"
    panel.type("Slack tension held", "8 lbf")
    panel.wait_until(lambda: "stop" in panel.strip(), "the belts to slip")
    panel.wait_settled()
    for _ in range(4):
        # one cure mends one check; what is still a stop then has another
        if not panel.strip().startswith("✘"):
            break
        row = panel.root.locator(".jk-mend-row").first
        row.get_by_role("button", name="What mends it?").click()
        row.locator(".jk-cure").first.wait_for()
        before = panel.results()
        row.locator(".jk-cure button.jk-try").first.click()
        panel.wait_until(lambda: panel.notice().startswith("Tried:"), "the cure to be tried")
        panel.wait_changed(panel.results, before, "the results")
        panel.wait_settled()
    assert not panel.strip().startswith("✘"), panel.strip()
    assert load(file).get(f"{BELT}.takeup.slack_tension").text == "46 lbf"
    panel.keep()
    panel.wait_until(lambda: "Kept in the build" in panel.notice(), "the cure in the file")


def by_mouse_keys_and_finger(page, panel):
    """Move the idler by each, on a page and on a phone; the picture that is seen is the only one that is drawn."""
    idler = panel.root.locator(".jk-grip[aria-label='pulley I']")
    x, y = (f"I {way}" for way in ("to the right", "upward"))
    for width, alone in ((SIZE["width"], "wide"), (PHONE, "phone")):
        page.resize(width)
        panel.root.evaluate("e => e.scrollIntoView({block: 'start'})")
        panel.wait_until(lambda alone=alone: panel.root.locator(f".jk-{alone}.jk-alone").count() == 1, "its picture")
        assert panel.root.locator(".jk-picture svg").count() == 1 and panel.sticks_out() <= 0
        before = panel.value(x), panel.value(y)
        move = by_mouse if alone == "wide" else by_finger
        move(page.page, idler)
        panel.wait_until(lambda before=before: (panel.value(x), panel.value(y)) != before, f"the idler at {width}")
        panel.wait_settled()
        before = panel.value(x)
        idler.focus()
        idler.press("ArrowRight")
        panel.wait_until(lambda before=before: panel.value(x) != before, "the idler to follow a key")
        panel.wait_settled()
    panel.type("J to the right", "40 in")
    mark = panel.root.locator(".jk-mark > span")
    mark.wait_for()
    assert mark.evaluate("e => e.scrollHeight <= e.clientHeight + 1"), "the banner is cut off on a phone"
    panel.reset()
    page.resize(SIZE["width"])


def by_mouse(page, grip):
    box = grip.bounding_box()
    at = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(*at)
    page.mouse.down()
    page.mouse.move(at[0] + 14, at[1] + 12, steps=5)
    page.mouse.up()


def by_finger(page, grip):
    box = grip.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    finger = page.context.new_cdp_session(page)
    for kind, off in (("touchStart", 0), ("touchMove", 5), ("touchMove", 10), ("touchEnd", None)):
        points = [] if off is None else [{"x": x + off, "y": y + off}]
        finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
        page.wait_for_timeout(60)
    finger.detach()


def a_candidate_and_another_window(panel, other, file):
    """Pin a design and keep it beside the build, while another window writes into the same file."""
    panel.type("J to the right", "17.5 in")
    panel.wait_settled()
    panel.pin()
    name = panel.root.locator(".jk-candidate-field input").first
    name.fill("J nearer")
    name.press("Tab")
    panel.click("Keep A with the build")
    panel.wait_until(lambda: "'J nearer' is kept" in panel.notice(), "the candidate in the file")
    assert [one.name for one in stored(load(file))] == ["J nearer"]
    other.open("notebooks/25_tension_and_grip.ipynb")
    other.run_all()
    theirs = other.panel()
    theirs.type("Slack tension held", "60 lbf")
    theirs.wait_settled()
    theirs.keep()
    theirs.wait_until(lambda: load(file).get(f"{BELT}.takeup.slack_tension").text == "60 lbf", "what the other kept")
    panel.type("E datum diameter", "4.6 in")
    panel.wait_settled()
    panel.keep()
    panel.wait_until(lambda: load(file).get(f"{BELT}.pulley[E].diameter").text == "4.6 in", "what I kept")
    panel.wait_until(lambda: panel.value("Slack tension held") == "60 lbf", "the other's value here")
    assert load(file).get(f"{BELT}.takeup.slack_tension").text == "60 lbf"


def a_record(page, home):
    """Make the record, and read it on a phone."""
    page.open("notebooks/90_build_record.ipynb")
    page.run_all()
    root = card(page, "Make the build record")
    root.get_by_role("button", name="Make the record").click()
    root.get_by_text("Wrote walk.html").wait_for(timeout=240_000)
    record = home / "data" / "records" / "walk" / "walk.html"
    text = record.read_text(encoding="utf-8")
    assert all(words in text for words in ("Walk", "60 lbf", "4.6 in", "2950 rpm", "J nearer"))
    page.page.set_viewport_size({"width": PHONE, "height": 900})
    page.page.goto(record.as_uri())
    assert page.page.evaluate("document.documentElement.scrollWidth") <= PHONE

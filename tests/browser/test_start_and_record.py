"""The start page and the record page in a real JupyterLab: write down, refuse, add, make, render."""

from __future__ import annotations

from http.client import HTTPConnection

import pytest
from jackshaft.buildfile import DEMO, load

pytestmark = pytest.mark.browser


def card(page, title):
    return page.page.locator(".jk-card", has=page.page.locator("h3", has_text=title))


def fill(page, root, label, text):
    box = root.get_by_label(label, exact=True)
    box.fill(text)
    box.press("Tab")


def test_the_address_that_the_lab_is_started_with_shows_a_page_and_the_top_folder(lab_page):
    server = lab_page.server
    answers = []
    for token in (server.token, "wrong"):
        asked = HTTPConnection(server.host, timeout=20)
        asked.request("GET", f"/workbook/a%20folder/00_start_here.ipynb?token={token}")
        answer = asked.getresponse()
        answers.append((answer.read().decode(), answer.getheader("Set-Cookie") or ""))
        asked.close()
    (known, cookie), (_, no_cookie) = answers
    assert 'href="/lab/tree/a%20folder/00_start_here.ipynb?file-browser-path=/"' in known
    assert 'href="/doc/workspaces/narrow/tree/a%20folder/00_start_here.ipynb"' in known
    assert cookie.startswith("username-") and not no_cookie.startswith("username-")


def test_a_narrow_window_opens_the_page_without_the_list_of_files(lab_page):
    """The wide window comes first: what it leaves open must not open in the narrow one."""
    page, server = lab_page.page.context.new_page(), lab_page.server
    for width, mode in ((1280, "/lab/"), (390, "/doc/")):
        page.set_viewport_size({"width": width, "height": 900})
        page.goto(f"http://{server.host}/workbook/00_start_here.ipynb?token={server.token}")
        shown = page.locator(".jp-Notebook .jp-Cell").first
        shown.wait_for()
        assert mode in page.url and shown.bounding_box()["width"] > 0.7 * min(width, 900)
    page.close()


def test_start_page(lab_page):
    page = lab_page
    page.show("00_start_here.ipynb")
    root = card(page, "At the bench")
    root.get_by_label("What was measured", exact=True).select_option(
        label="wanted: side load the maker allows on the shaft (engine)"
    )
    fill(page, root, "Value", "150 rpm")
    root.get_by_role("button", name="Write it into the build").click()
    root.get_by_role("alert").first.wait_for()
    assert "force" in root.get_by_role("alert").first.inner_text()
    path = page.builds / f"{DEMO}.toml"
    assert load(path).get("engine.side_load_limit") is None
    fill(page, root, "Value", "150 lbf")
    root.get_by_label("How it is known", exact=True).select_option(label="plate")
    root.get_by_role("button", name="Write it into the build").click()
    root.get_by_text("Kept side load the maker allows").wait_for()
    kept = load(path).get("engine.side_load_limit")
    assert (kept.text, kept.known) == ("150 lbf", "plate")
    fill(page, root, "Its name", "idler bearing")
    root.get_by_label("Kind of part", exact=True).select_option(label="wanted: Bearings")
    root.get_by_role("button", name="Add it to the build").click()
    root.get_by_text("Added bearing 'idler bearing'").wait_for()
    assert "idler bearing" in load(path).names("bearing")
    fill(page, root, "Name", "Log splitter")
    root.get_by_role("button", name="Make it").click()
    root.get_by_text("Made log_splitter.toml").wait_for()
    assert load(page.builds / "log_splitter.toml").name == "Log splitter"
    assert page.outside_hosts() == set()


def test_record_page(lab_page):
    page = lab_page
    page.show("90_build_record.ipynb")
    root = card(page, "Make the build record")
    root.get_by_role("button", name="Make the record").click()
    root.get_by_text(f"Wrote {DEMO}.html").wait_for(timeout=240_000)
    record = page.builds.parent / "records" / DEMO / f"{DEMO}.html"
    text = record.read_text(encoding="utf-8")
    way = root.get_by_role("link", name=f"Open {DEMO}.html").get_attribute("href")
    assert way == f"../data/records/{DEMO}/{DEMO}.html"
    assert "no certificate" in text and "418 rpm" in text
    assert page.outside_hosts() == set()


def test_a_picture_wider_than_the_screen_says_that_it_is_swiped(lab_page):
    page = lab_page
    page.open("00_start_here.ipynb")
    page.run_all(restart=True)
    page.hide_chrome()
    picture = page.page.locator(".jp-RenderedImage").first
    picture.wait_for()
    for width in (390, 590, 1200):
        page.page.set_viewport_size({"width": width, "height": 900})
        cut = picture.evaluate("e => e.scrollWidth > e.clientWidth + 1")
        line = picture.evaluate("e => getComputedStyle(e, '::after').content")
        assert cut == ("Swipe" in line) == (width == 390), (width, line)

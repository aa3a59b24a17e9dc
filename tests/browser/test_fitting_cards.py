"""Fitting cards in a real browser: one page each on either paper, a phone's width, a new page each in the record."""

from __future__ import annotations

import re

import pytest
from barriers import barriers
from jackshaft.buildfile import DEMO, list_builds, load, parse
from jackshaft.record.page import card_pages
from jackshaft.results import work_up

pytestmark = pytest.mark.browser

#: Everything that makes a card longer: a weld, a step, a groove with its ring, an odd bore, a stop.
LONGEST = """[[shaft.joint]]
name = "hub"
kind = "weld ring"
position = "3 in"

[[shaft.step]]
name = "drive end of the rotor"
start = "-3 in"
end = "1 in"
diameter = "1.375 in"

[[bearing]]
"""


def builds():
    longest = parse(load("rotor_bearings").text.replace("[[bearing]]\n", LONGEST, 1).encode(), file="longest.toml")
    yield longest.with_values(
        {"bearing[A].closure": "open", "bearing[A].marking": "6207-22-2RS-NR C3", "wanted_life": "90000 h"}
    )
    yield longest.with_values({"shown_in": "metric", "bearing[A].turning_ring": "outer"})
    yield from map(load, list_builds())


def test_each_card_is_one_page_and_fits_a_phone(browser):
    seen = 0
    for build in builds():
        for name, html in card_pages(work_up(build)).items():
            context = browser.new_context(viewport={"width": 390, "height": 900}, offline=True)
            page = context.new_page()
            page.set_content(html)
            assert page.evaluate("document.documentElement.scrollWidth") <= 390, (build.name, name)
            assert barriers(page) == [], (build.name, name)
            for paper in ("A4", "Letter"):
                pages = len(re.findall(rb"/Type\s*/Page\b(?!s)", page.pdf(format=paper)))
                assert pages == 1, (build.name, name, paper, pages)
            context.close()
            seen += 1
    assert seen >= 6


def test_the_record_prints_each_card_on_a_page_of_its_own(browser, record_of):
    context = browser.new_context(viewport={"width": 1280, "height": 900}, offline=True)
    page = context.new_page()
    page.set_content(record_of(DEMO))
    page.emulate_media(media="print")
    breaks = page.evaluate("[...document.querySelectorAll('.fit-card')].map(c => getComputedStyle(c).breakBefore)")
    assert breaks == ["page", "page"]
    # 12 mm of margin on Letter leave 255 mm, 965 px, for a card
    assert all(h < 965 for h in page.evaluate("[...document.querySelectorAll('.fit-card')].map(c => c.offsetHeight)"))
    context.close()

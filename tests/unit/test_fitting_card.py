"""The fitting card of a bearing: what stands on it for which build, as text, as HTML, and in the record."""

from __future__ import annotations

import re
from html import escape

import numpy as np
import pytest
from jackshaft.bench import Bench
from jackshaft.buildfile import list_builds, load, parse
from jackshaft.mechanics.bearing_marks import decode
from jackshaft.record import record_page, write_record
from jackshaft.record.card import CSS, card_html, card_page, card_text, cards_of
from jackshaft.record.outside import refuse_outside
from jackshaft.record.page import card_pages
from jackshaft.results import work_up
from jackshaft.results.reader import Reader

ROTOR = "rotor_bearings"
STEPS = """
[[shaft.step]]
name = "{name}"
start = "{start}"
end = "{end}"
diameter = "{diameter}"
"""
JOINT = """
[[shaft.joint]]
name = "hub"
kind = "{kind}"
position = "{at}"
"""
FEATURE = """
[[shaft.feature]]
name = "toe"
kind = "{kind}"
position = "{at}"
"""


def results(name=ROTOR, **changes):
    return work_up(load(name).with_values(changes))


def grown(extra, **changes):
    """The rotor with more tables of its shaft written into the file."""
    text = load(ROTOR).text.replace("[[bearing]]\n", extra + "\n[[bearing]]\n", 1)
    return work_up(parse(text.encode(), file="grown.toml").with_values(changes))


def card(found, name="A"):
    return cards_of(found)[name]


def row(found, about, name="A"):
    return dict(card(found, name).rows)[about]


def test_warm_only_where_the_grease_stands_it():
    opened, closed = (results(**{"bearing[A].closure": c}) for c in ("open", "sealed"))
    # k5 at its largest on the smallest ring: 13 + 12 = 25 micrometres, and 3e-4 of the bore to slip it on;
    # steel grows 11.5e-6 a kelvin (from memory), from 20 °C
    kelvin = (25e-6 + 3e-4 * 34.925e-3) / (11.5e-6 * 34.925e-3)
    fahrenheit = float(re.search(r"warm to ([\d.]+)", row(opened, "how"))[1])
    assert fahrenheit == 5 * np.ceil((68 + 1.8 * kelvin) / 5)  # no cooler than it must be, in fives
    # 110 °C is the most for an open ring, 80 °C for one with grease: closed, it is pressed (from memory)
    assert 176 < fahrenheit <= 230 and "230 °F" in row(opened, "how")
    assert any(s.startswith("Warm the bearing") for s in card(opened).on)
    assert row(closed, "how").startswith("press on the inner ring") and "175 °F" in row(closed, "how")
    assert not any("Warm the bearing" in s for s in card(closed).on)


@pytest.mark.parametrize("turning, pressed, other", [("inner", "inner", "outer"), ("outer", "outer", "inner")])
def test_the_ring_that_turns_against_the_load_is_pressed(turning, pressed, other):
    found = results(**{"bearing[A].designation": "6207", "bearing[A].turning_ring": turning})
    words = " ".join((*card(found).on, *card(found).off))
    assert (
        card(found).tight == pressed
        and f"Press squarely on the {pressed} ring" in words
        and f"on the {pressed} ring, which is" in words
    )
    assert f"Press squarely on the {other} ring" not in words
    seats = {what: tight for what, _, tight, *_ in card(found).seats}
    assert seats == (
        {"shaft seat": "tight", "housing bore": "slides"}
        if pressed == "inner"
        else {"shaft seat": "slides", "housing bore": "tight"}
    )
    # the balls are squeezed by a tight inner ring only
    assert ("play left" in dict(card(found).rows)) == (pressed == "inner")


def test_seat_limits_in_both_units_and_over_nominal():
    seat = card(results(**{"bearing[A].designation": "6207"})).seats[0]
    # k5 over 30 to 50 mm: +2 and +13 micrometres, ISO 286-2
    assert seat[1] == "k5" and "35.002 to 35.013 mm" in seat[3]
    assert seat[4] == "+0.1 / +0.5 thou (+2 / +13 μm)"
    metric = card(results(**{"bearing[A].designation": "6207", "shown_in": "metric"})).seats[0]
    assert metric[3:5] == ("35.002 to 35.013 mm", "+2 / +13 μm")


def test_no_limit_on_a_card_is_without_its_source():
    """Every seat, the shoulder's fillet and the ring's groove say where they are printed, on card and sheet."""
    found = results(**{"bearing[A].designation": "6207", "bearing[A].marking": "6207-2RS-NR"})
    mine = card(found)
    assert len(mine.seats) >= 2 and all("column" in s[5] for s in mine.seats)
    rows = dict(mine.rows)
    assert "fillet" in rows["shoulder"] or "clear" in rows["shoulder"]
    assert "GOST 2893" in rows["retaining ring"]
    assert all(seat[5] in card_text(mine, found) and escape(seat[5]) in card_html(mine, found) for seat in mine.seats)
    sheet = next(t for t in found.chapters["bearings"].tables if t.title == "Seats to machine")
    assert sheet.headings[-1] == "limits by" and all(row[-1] for row in sheet.rows)


@pytest.mark.parametrize("marking", ["6207-2RS C3", "6207-2Z-NR", "6207-22-2RS-NR C3", "6207"])
def test_what_to_ask_for_is_the_whole_marking(marking):
    ask = decode(card(results(**{"bearing[A].marking": marking})).ask)
    said = decode(marking)
    assert (ask.designation, ask.closure, ask.ring_groove, ask.clearance) == (
        said.designation,
        said.closure,
        said.ring_groove,
        said.clearance,
    )


def test_what_closed_the_old_one_is_asked_for_sealed_and_said():
    a = card(results())
    assert a.ask == "6207-22-2RS" and "not written down" in a.with_it
    assert card(results(**{"bearing[A].closure": "shielded"})).ask == "6207-22-2Z"


def test_retaining_ring_comes_first_and_its_size_is_given():
    unknown, ring = results(), results(**{"bearing[A].marking": "6207-NR"})
    assert "look for one" in row(unknown, "retaining ring")
    assert card(unknown).off[0].startswith("Find the retaining ring first")
    assert card(ring).off[0].startswith("Take the retaining ring out")
    # 78.6 mm over the ring of a 72 mm bearing: gost2893
    assert "the ring is 3.0945 in outside" in row(ring, "retaining ring")
    plain = results(**{"bearing[A].marking": "6207-2RS"})
    assert "retaining ring" not in dict(card(plain).rows) and not any("retaining" in s for s in card(plain).off)


@pytest.mark.parametrize(
    "extra, warned",
    [
        (JOINT.format(kind="weld ring", at="3 in"), True),
        (JOINT.format(kind="flange", at="3 in"), False),
        (FEATURE.format(kind="weld", at="3 in"), True),
        (FEATURE.format(kind="ring groove", at="3 in"), False),
        ("", False),
    ],
)
def test_a_weld_on_the_shaft_puts_the_weld_step_first(extra, warned):
    on = card(grown(extra)).on
    assert any("weld current" in s for s in on) == warned
    if warned:
        assert on[0].startswith("Weld first") and "earth clamp" in on[0]
    assert any("weld current" in c for c in card(grown(extra)).cautions)


@pytest.mark.parametrize(
    "start, end, words",
    [("-3 in", "-0.5 in", "away from the shaft's zero mark"), ("1 in", "5 in", "toward the shaft's zero mark")],
)
def test_a_larger_step_says_which_way_it_comes_off(start, end, words):
    off = card(grown(STEPS.format(name="thick", start=start, end=end, diameter="2 in"))).off
    said = next(s for s in off if "By the build file" in s)
    assert f"comes off {words}" in said and "step thick, 2.0000 in" in said
    # step and worn size are looked at before anything is pulled
    assert [i for i, s in enumerate(off) if "Measure the shaft on both sides" in s] < [
        i for i, s in enumerate(off) if "Pull" in s
    ]


def test_steps_on_both_sides_a_weld_and_no_steps():
    both = STEPS.format(name="l", start="-3 in", end="-1 in", diameter="2 in") + STEPS.format(
        name="r", start="1 in", end="5 in", diameter="2 in"
    )
    assert any("both sides" in s for s in card(grown(both)).off)
    thin = STEPS.format(name="thin", start="-3 in", end="14 in", diameter="1.375 in")
    assert any("either way" in s for s in card(grown(thin)).off)
    weld = next(s for s in card(grown(thin + JOINT.format(kind="weld ring", at="3 in"))).off if "By the build" in s)
    assert "toward the shaft's zero mark" in weld and "weld hub" in weld
    assert not any("By the build" in s for s in card(results()).off)


@pytest.mark.parametrize("held, words", [(True, "locates the shaft"), (False, "floats"), ("", "Decide which one")])
def test_located_or_floating(held, words):
    assert any(words in s for s in card(results(**{"bearing[A].located": held})).on)


def test_a_fillet_below_the_chamfer():
    # 6207: chamfer 1.1 mm, so a fillet of 1 mm at most (iso582, from memory)
    assert "1.000 mm" in row(results(**{"shown_in": "metric"}), "shoulder")


@pytest.mark.parametrize(
    "changes, words",
    [
        ({f"bearing[A].{k}": "" for k in ("bore", "outside", "width")}, "Which bearing it is"),
        ({"bearing[A].turning_ring": ""}, "Which ring turns"),
    ],
)
def test_no_card_says_why(changes, words):
    found = results(**changes)
    assert isinstance(card(found), str) and words in card(found)
    assert words in Bench(load(ROTOR).with_values(changes)).fitting_card("A").text
    assert words in record_page(load(ROTOR).with_values(changes))


def test_bench_shows_one_all_and_says_what_is_not_there():
    bench = Bench(load(ROTOR))
    one, everything = bench.fitting_card("A"), bench.fitting_card()
    assert one.html.count('class="fit-card"') == 1 and everything.html.count('class="fit-card"') == 2
    assert "on, step 1:" in one.text and "off, step 1:" in one.text and CSS in one.html
    assert "there is A, D" in bench.fitting_card("Z").text
    assert "No bearing" in Bench(load("compost_trommel")).fitting_card().text


def test_a_stop_stands_on_the_card_of_its_bearing_alone():
    found = results()
    html = {n: card_html(card(found, n), found) for n in "AD"}
    assert "Not yet:" in html["A"] and "0.5 thou loose" in html["A"] and "Not yet:" not in html["D"]


def test_a_size_that_stands_open_is_said_on_the_card():
    found = results()
    assert "which bearing: 6207-22" in card_html(card(found), found) and "bore gauge" in card_html(card(found), found)
    settled = results(**{"bearing[A].designation": "6207-22"})
    assert "which bearing" not in card_html(card(settled), settled)


@pytest.mark.parametrize("build", list_builds())
def test_cards_refer_to_nothing_outside_and_stand_in_the_record(build, record_of):
    found = work_up(load(build))
    pages = card_pages(found)
    for name, html in pages.items():
        refuse_outside(html)
        assert "<script" not in html and "http:" not in html and "https:" not in html and "no certificate" in html
        body = card_html(card(found, name), found)
        for step in (*card(found, name).on, *card(found, name).off):
            assert f"<li>{step.replace(chr(39), '&#x27;')}</li>" in body
    record = record_of(build)
    assert record.count('<section class="fit-card"') == len(pages)
    assert set(pages) == {n for n, c in cards_of(found).items() if not isinstance(c, str)}


def test_section_is_to_scale():
    found = results(**{"bearing[A].designation": "6207", "shown_in": "metric"})
    html = card_page(card(found), found)
    x1, x2, y1, y2 = [], [], [], []
    for a, b, c, d in re.findall(r'"ring"><rect x="([\d.-]+)" y="([\d.-]+)" width="([\d.]+)" height="([\d.]+)"', html):
        x1.append(float(a)), y1.append(float(b)), x2.append(float(a) + float(c)), y2.append(float(b) + float(d))
    assert len(x1) == 4
    assert (max(y2) - min(y1)) / (max(x2) - min(x1)) == pytest.approx(72 / 17, rel=0.01)
    gap = sorted(y1)[2] - sorted(y2)[1]
    assert gap / (max(y2) - min(y1)) == pytest.approx(35 / 72, rel=0.01)


def test_the_chapter_notes_what_the_card_reads():
    """A weld added to the shaft must make the chapter out of date."""
    inputs = work_up(load(ROTOR)).chapters["bearings"].inputs
    assert "shaft[rotor].joint" in inputs and "shaft[rotor].feature" in inputs and "shaft[rotor].step" in inputs
    assert isinstance(Reader(load(ROTOR)).read, set)


def test_a_page_of_its_own_for_each_card(tmp_path):
    written = write_record(load(ROTOR), tmp_path)
    assert [p.name for p in written.cards] == ["fitting_card_1.html", "fitting_card_2.html"]
    texts = [c.read_text(encoding="utf-8") for c in written.cards]
    assert ["bearing A" in t for t in texts] == [True, False] and ["bearing D" in t for t in texts] == [False, True]

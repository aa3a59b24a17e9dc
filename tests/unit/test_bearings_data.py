"""The bearings chapter's facts, cells and verdicts as numbers: the SI value is what a hand calculation gives."""

from __future__ import annotations

import math

import pytest
from jackshaft.buildfile import DEMO, load, parse
from jackshaft.chapters.bearings.panel import outcome_of
from jackshaft.render.data import value_data
from jackshaft.results import Number, work_up
from jackshaft.units import OutOfRange, show

INCH, UM = 0.0254, 1e-6


@pytest.fixture(scope="module")
def found():
    return work_up(load(DEMO))


def table(found, title):
    return next(t for t in found.chapters["bearings"].tables if t.title == title)


def check(found, id):
    return next(c for c in found.checks if c.id == id)


def test_readings_less_the_size(found):
    # the demo's readings, in inches, less the printed sizes of a 6208: 40 x 80 x 18 mm
    row = next(r for r in table(found, "What the readings could mean").numbers() if r["size"] == "6208")
    assert row["dimensions"] == pytest.approx(0.040)
    assert row["bore off"] == pytest.approx(1.575 * INCH - 0.040)
    assert row["outside off"] == pytest.approx(3.149 * INCH - 0.080)
    assert row["width off"] == pytest.approx(0.709 * INCH - 0.018)
    assert row["on the seat"] == pytest.approx(0.040 - 1.5751 * INCH) and row["on the seat"] < 0
    assert 0.9 < row["score"] <= 1


def test_bearings_hold_the_shaft_in_balance(found):
    rows = table(found, "Pulls along the shaft and what the bearings carry").numbers()
    pulls, pushes = ([r for r in rows if r[""] == word] for word in ("pulls", "pushes back"))
    assert len(pushes) == 2 and {r["at"] for r in pushes} == {0.0, 7.5 * INCH}
    assert len(pulls) + 2 == len(rows)
    for plane in ("to the right", "upward"):
        assert sum(r[plane] for r in pushes) == pytest.approx(-sum(r[plane] for r in pulls))
        assert sum(r[plane] * r["at"] for r in pushes) == pytest.approx(-sum(r[plane] * r["at"] for r in pulls))
    for r in rows:
        assert r["at work"] == pytest.approx(math.hypot(r["to the right"], r["upward"]))
        assert r["toward"] == pytest.approx(math.atan2(r["upward"], r["to the right"]))


@pytest.mark.parametrize("name", ["engine side", "chain side"])
def test_life_is_the_cube_of_rating_over_load(found, name):
    facts = {f.label: f.found for f in found.chapters["bearings"].data.facts[name]}
    across, rating, life = (facts[n] for n in ("load across the shaft", "dynamic rating C", "rating life"))
    assert {n.kind for n in (across, rating)} == {"force"} and life.kind == "time"
    # GOST 18855, clause 5.3: a million turns times (C / k P) cubed, k = 1.5 in the build
    row = next(r for r in table(found, "Rating life").numbers() if r["bearing"] == name)
    turns = row["speed"] / (2 * math.pi)
    assert life.si == pytest.approx(1e6 * (rating.si / (1.5 * across.si)) ** 3 / turns)
    assert row["life, no shock"] == pytest.approx(1.5**3 * life.si) and row["C/P"] == pytest.approx(
        rating.si / across.si
    )
    verdict = check(found, f"bearings.life[{name}]")
    assert (verdict.found.si, verdict.found.low) == (life.si, life.low)
    # outdoors three tenths are left at the bad end
    assert life.low == pytest.approx(0.3 * life.si)
    assert verdict.wanted.si == load(DEMO).get("wanted_life").si


def test_limits_of_the_seats(found):
    rows = [r for r in table(found, "Seats to machine").cells if r[0] == "engine side"]
    limits, nominal = ({r[1]: r[k] for r in rows} for k in (4, 5))
    # ISO 286-2: j6 from 30 to 50 mm is +11 and -5 um, H7 from 50 to 80 mm 0 and +30 um
    for what, size, ends in (("shaft seat", 0.040, (-5, 11)), ("housing bore", 0.080, (0, 30))):
        assert (limits[what].low, limits[what].high) == pytest.approx([size + e * UM for e in ends], abs=1e-9)
        assert (nominal[what].low, nominal[what].high) == pytest.approx([e * UM for e in ends], abs=1e-9)
    seat = check(found, "bearings.seat[engine side]")
    assert seat.found.si == pytest.approx(1.5751 * INCH) and seat.wanted.low < seat.found.si < seat.wanted.high
    assert seat.found.low < seat.found.si < seat.found.high


@pytest.mark.parametrize("system", ["inch", "metric"])
def test_every_verdict_on_a_size_is_a_number(system):
    found = work_up(load(DEMO).with_values({"shown_in": system}))
    for what in ("life", "load", "speed", "static", "play"):
        one = check(found, f"bearings.{what}[engine side]")
        for n in (one.found, one.wanted):
            assert isinstance(n, Number) and n.system == system, one.id


def test_the_panel_takes_the_facts_of_its_bearing_only():
    text = load(DEMO).text.replace('name = "chain side"', 'name = "engine side: chain"').encode()
    mine = outcome_of(parse(text, file="demo.toml"), {}, bearing="engine side").facts
    assert [f.label for f in mine] == [f.label for f in outcome_of(load(DEMO), {}, bearing="engine side").facts]


def test_a_refused_calculation_leaves_the_panel_its_verdict(monkeypatch):
    def refuse(reader, identity):
        raise OutOfRange("the rating is beyond its formula")

    monkeypatch.setattr("jackshaft.chapters.bearings.life.rating_of", refuse)
    outcome = outcome_of(load(DEMO), {}, bearing="engine side")
    assert outcome.compare == {} and outcome.facts[0].label == "size"
    assert any(c.id == "bearings.life[engine side]" and "beyond its formula" in c.reason for c in outcome.checks)


@pytest.mark.parametrize(
    ("hours", "text"),
    [(0.5, "0.5 h"), (99.4, "99.4 h"), (1234.0, "1230 h"), (239970.0, "240000 h"), (2e6, "over a million hours")],
)
def test_a_life_is_shown_in_hours_with_three_digits(hours, text):
    assert show(hours * 3600, "time", "inch", by="hours") == show(hours * 3600, "time", "metric", by="hours") == text


def test_an_indicator_shows_no_minus_before_nought():
    assert show(-1e-9, "length", "inch", by="indicator") == "0 thou"
    assert show(-1e-9, "length", "metric", by="indicator") == "0 μm"
    assert show(0.5e-3 * INCH, "length", "inch", by="indicator") == "0.5 thou"


def test_what_is_without_limit_is_null_for_scripts():
    life = value_data(Number(math.inf, "time", "inch", by="hours", low=3600.0))
    assert life["si"] is None and life["low"] == 3600.0 and life["text"] == "without limit"

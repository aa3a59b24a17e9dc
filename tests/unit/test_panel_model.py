"""Controls: what a text is read as, at both ends, the middle, past the slider and past the limit."""

from __future__ import annotations

import panel_toy
import pytest
from jackshaft import units
from jackshaft.results.checks import GO, STOP, Check
from jackshaft.ui import Control, FieldError, Outcome
from jackshaft.ui.model import in_both, take
from jackshaft.ui.scale import Scale

SIZE = Control(
    "a.size",
    "Size",
    ("6 to 14 in by 1/8", "150 to 360 mm by 5"),
    "length",
    hard_low="2 in",
    hard_high="30 in",
    by="tape",
)
WARM = Control("a.warm", "Warmth", ("32 to 212 °F by 9", "0 to 100 °C by 5"), "temperature")
BELTS = Control("a.belts", "Belts", "1 to 4 by 1", "count", hard_low="1", hard_high="6")
CREEP = Control(None, "Creep", "0 to 5 % by 0.5", "number", name="creep", start="1 %")
STUFF = Control("a.stuff", "Stuff", choices=("rubber", ("pu", "polyurethane")))
GUARD = Control("a.guard", "Guard", kind="yes/no")


def test_shop_text_is_read_and_echoed():
    got = take(SIZE, "10-1/4 in", "inch")
    assert got.value.si == pytest.approx(10.25 * 0.0254)
    assert got.kept == "10-1/4 in"
    assert got.echo == "read as 10.250 in (260.35 mm)"
    assert got.notes == ()


@pytest.mark.parametrize("system, si, kept", [("inch", 12 * 0.0254, "12 in"), ("metric", 0.200, "200 mm")])
def test_bare_number_is_taken_in_the_unit_on_the_label(system, si, kept):
    got = take(SIZE, kept.split()[0], system)
    assert got.value.si == pytest.approx(si)
    assert got.kept == kept
    assert kept.split()[1] in SIZE.title(system)


def test_bare_fraction():
    assert take(SIZE, "7 3/8", "inch").value.si == pytest.approx(7.375 * 0.0254)


def test_a_force_in_pounds_is_echoed_as_pounds_force():
    pull = Control("a.pull", "Pull", "0 to 50 lbf by 1", "force")
    got = take(pull, "24 lb", "inch")
    assert got.value.si == pytest.approx(24 * 0.45359237 * 9.80665)
    assert got.notes == ("lb read as pounds-force (lbf)",)


@pytest.mark.parametrize(
    "text, words",
    [
        ("12 kg", "kg is a force or a mass"),
        ("abc", "'abc'"),
        ("1.9 in", "2 in or more"),
        ("30.1 in", "30 in or less"),
    ],
)
def test_refused_in_shop_words(text, words):
    with pytest.raises(FieldError, match=words):
        take(SIZE, text, "inch")


@pytest.mark.parametrize("text", ["2 in", "5.9 in", "14.1 in", "30 in"])
def test_past_the_slider_holds_and_is_said(text):
    got = take(SIZE, text, "inch")
    assert got.value.si == pytest.approx(float(text.split()[0]) * 0.0254)
    assert "past the slider, which runs from 6 in to 14 in" in got.notes[0]


@pytest.mark.parametrize("text", ["6 in", "10 in", "14 in"])
def test_within_the_slider_nothing_is_said(text):
    assert take(SIZE, text, "inch").notes == ()


def test_empty_is_not_known_but_a_what_if_needs_a_value():
    got = take(SIZE, "  ", "inch")
    assert (got.value, got.kept, got.echo) == (None, "", "not known yet")
    with pytest.raises(FieldError, match="such as 1 %"):
        take(CREEP, "", "inch")


def test_counts_choices_and_yes_or_no():
    assert take(BELTS, "3", "inch").kept == 3
    assert "past the slider" in take(BELTS, "5", "inch").notes[0]
    for control, text in ((BELTS, "7"), (BELTS, "2.5"), (STUFF, "wood"), (GUARD, "maybe")):
        with pytest.raises(FieldError):
            take(control, text, "inch")
    assert take(STUFF, "pu", "inch").value == "pu"
    assert take(GUARD, "no", "inch").kept is False


def test_same_value_typed_another_way_is_the_same():
    assert take(SIZE, "1 ft", "inch").same(take(SIZE, "12 in", "inch"))
    assert not take(SIZE, "12 in", "inch").same(take(SIZE, "12.001 in", "inch"))
    assert not take(GUARD, "yes", "inch").same(take(BELTS, "1", "inch"))
    assert not take(SIZE, "12 in", "inch").same(None)


@pytest.mark.parametrize("system", ["inch", "metric"])
@pytest.mark.parametrize(
    "control", [SIZE, WARM, BELTS, CREEP, *[c for c in panel_toy.controls() if c.has_slider]], ids=lambda c: c.id
)
def test_every_slider_position_reads_back_to_itself(control, system):
    scale = Scale(control, system)
    for position in (0, 1, scale.count // 2, scale.count - 1, scale.count):
        assert scale.nearest(take(control, scale.text_at(position), system).value) == position


def test_slider_numbers_are_in_the_shown_unit():
    assert Scale(SIZE, "inch").numbers == pytest.approx((6, 14, 0.125))
    assert Scale(SIZE, "metric").numbers == pytest.approx((150, 360, 5))
    assert Scale(WARM, "inch").numbers == pytest.approx((32, 212, 9))
    assert Scale(WARM, "metric").numbers == pytest.approx((0, 100, 5))
    assert Scale(BELTS, "inch").numbers == pytest.approx((1, 4, 1))


def test_slider_text_is_a_fraction_where_the_shop_reads_a_tape():
    assert Scale(SIZE, "inch").text_at(3) == "6-3/8 in"
    assert Scale(SIZE, "metric").text_at(3) == "165 mm"


def test_value_past_the_slider_puts_the_handle_at_its_end():
    scale = Scale(SIZE, "inch")
    assert scale.nearest(units.read("2 in", "length")) == 0
    assert scale.nearest(units.read("30 in", "length")) == scale.count
    assert scale.nearest(None) == scale.count // 2


def test_value_is_said_once_where_both_systems_say_the_same():
    assert in_both(units.read("3600 rpm", "rotation").si, "rotation", "inch") == "3600 rpm"
    assert in_both(0.0254, "length", "inch") == "1.0000 in (25.400 mm)"
    assert in_both(0.0254, "length", "metric") == "25.400 mm"


@pytest.mark.parametrize(
    "bad",
    [
        dict(key="a", label="A", name="b", kind="length", slider="1 to 2 in by 1"),
        dict(key=None, label="A", kind="length", slider="1 to 2 in by 1"),
        dict(key="a", label="A", slider="1 to 2 in by 1"),
        dict(key="a", label="A", kind="lenght", slider="1 to 2 in by 1"),
        dict(key="a", label="A", kind="choice"),
        dict(key="a", label="A", kind="length", slider="1 to 2 in"),
        dict(key="a", label="A", kind="length", slider=("1 to 2 in by 1", "")),
        dict(key="a", label="A", kind="wire", slider="18 to 8 AWG by 1"),
    ],
)
def test_a_control_that_cannot_work_is_refused_when_it_is_made(bad):
    with pytest.raises(ValueError, match="control 'A'"):
        Control(**bad)


def test_a_key_of_the_build_has_the_kind_and_the_choices_of_the_schema():
    speed = Control("engine.work_speed", "Speed", "1000 to 4000 rpm by 50")
    assert speed.kind == "rotation" and speed.ends("metric") == ("1000 rpm", "4000 rpm", "50 rpm")
    ring = Control("bearing[A].turning_ring", "Ring")
    assert ring.kind == "choice" and ring.options == (("inner", "inner"), ("outer", "outer"))
    assert Control("bearing[A].turning_ring", "Ring", choices=("inner",)).choices == ("inner",)


def test_first_stop_that_nobody_accepted_is_the_reason():
    good = Check("a.b", "b", "1", "2", GO, "holds")
    bad = Check("a.c", "c", "3", "2", STOP, "too much", "less")
    assert Outcome(checks=(good,)).why_it_does_not_work == ""
    assert Outcome(checks=(good, bad)).why_it_does_not_work == "too much"

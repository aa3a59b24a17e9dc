"""The bearing finder and the marking reader as plain functions, then the thin panel over them."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

import pytest
from jackshaft.bench import open_build
from jackshaft.buildfile import DEMO, BuildProblems, load
from jackshaft.chapters.bearings import lookup
from jackshaft.chapters.bearings.lookup import LookupPanel, plain, stored_html
from jackshaft.chapters.bearings.lookup_controller import faults_of, in_hand, look_up, put_in, read_as
from jackshaft.chapters.bearings.marking import explain
from jackshaft.mechanics.bearing_sizes import catalogue
from jackshaft.results import work_up
from jackshaft.tables import table

BARE = "compost_trommel"
INCH = 0.0254
ROTOR_A = {"bore": "1.375 in", "outside": "2.834 in", "width": "0.669 in"}


@pytest.fixture(scope="module")
def build():
    return load(DEMO)


def numbers(answer):
    return [x.number for x in answer.lines]


# -- readings ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "texts",
    [
        {"bore": "1-3/8 in", "outside": "2.834 in", "width": "0.669 in"},
        {"bore": "34.925 mm", "outside": "71.98 mm", "width": "17 mm"},
        {"bore": "1 3/8 in", "outside": "7.198 cm", "width": "1.7 cm"},
    ],
)
def test_any_unit_finds_the_same_two_sizes_that_calipers_leave_open(build, texts):
    """The salvaged rotor, bearing A: 72 x 17 mm body, 1-3/8 in or 35 mm, 2.95 thou apart."""
    answer = look_up(build, texts)
    assert set(numbers(answer)) == {"6207-22", "6207"}
    assert sum(float(x.score.split()[0]) for x in answer.lines) == pytest.approx(100, abs=0.5)
    (which,) = answer.checks
    assert which.verdict == "caution" and "2.95 thou" in which.reason and "bore gauge" in which.remedy
    assert "means 6207-22" in which.remedy and "means 6207." in which.remedy


def test_the_instrument_of_one_reading_decides(build):
    answer = look_up(build, ROTOR_A, {"bore": "bore gauge"})
    assert numbers(answer) == ["6207-22"] and answer.checks[0].verdict == "go"
    assert ("Bore", "1.375 in, bore gauge") in answer.asked


def test_it_is_judged_as_the_chapter_judges_a_bearing_of_the_build():
    rotor = load("rotor_bearings").with_values({"bearing[A].seat": ""})
    answer = look_up(rotor, ROTOR_A)
    chapter = next(c for c in work_up(rotor).checks if c.id == "bearings.identity[A]")
    assert (answer.checks[0].reason, answer.checks[0].remedy) == (chapter.reason, chapter.remedy)


def test_what_nothing_matches_lists_the_nearest_with_how_far_and_what_to_redo(build):
    answer = look_up(build, {"bore": "33 mm", "outside": "65 mm", "width": "12 mm"})
    assert answer.title.startswith("No listed size takes every reading") and len(answer.lines) == 4
    assert answer.checks[0].verdict == "stop" and answer.checks[0].remedy.startswith("Measure the")
    assert all("!" in x.off and not x.fits and x.score == "does not fit" for x in answer.lines)


def test_seen_caps_pick_the_wider_inch_size(build):
    texts = {"bore": "1/2 in", "outside": "1-1/8 in"}
    assert numbers(look_up(build, texts | {"closure": "sealed"}))[0] == "R8 capped"
    assert numbers(look_up(build, texts | {"closure": "open"}))[0] == "R8"


def test_a_marking_names_the_size_without_any_reading(build):
    answer = look_up(build, {"marking": "6205-2RS C3"})
    assert numbers(answer) == ["6205"] and answer.checks[0].verdict == "go"
    nothing = look_up(build, {"marking": "zzz"})
    assert nothing.lines == () and any("zzz" in c.reason for c in nothing.checks)


# -- filters -----------------------------------------------------------------------------------------------------------


def test_filters_say_what_each_left_out(build):
    """20 mm bore into 50 mm: 6304, 6404, 62304 have 52 and 72 mm; the 61804 lasts too short a time."""
    answer = look_up(
        build,
        {
            "bore": "20 mm",
            "room_outside": "50 mm",
            "must_be": "sealed",
            "work_speed": "3600 rpm",
            "radial_load": "150 lbf",
            "wanted_life": "1000 h",
        },
    )
    out = dict(answer.excluded)
    assert out["room outside"] == "6304, 6404, 62304" and out["life"] == "61804"
    by = {x.number: x for x in answer.lines}
    assert by["6204"].holds == "yes" and not by["6204"].left_out
    assert by["6304"].left_out and by["6304"].holds.startswith("no: room outside")
    # a size without a tabulated rating is neither passed nor failed
    assert by["62204"].holds.startswith("not known")
    assert any("does not change what the ring is" in n for n in answer.notes)


def test_a_filter_does_not_change_the_score(build):
    free, held = look_up(build, ROTOR_A), look_up(build, ROTOR_A | {"room_outside": "60 mm"})
    assert [(x.number, x.score) for x in free.lines] == [(x.number, x.score) for x in held.lines]
    assert all(x.holds == "" for x in free.lines) and all(x.left_out for x in held.lines)


def test_wishes_alone_list_the_sizes_that_meet_them_smallest_first(build):
    answer = look_up(build, {"room_outside": "40 mm", "room_width": "10 mm", "work_speed": "9000 rpm"})
    by = {s.designation: s for s in catalogue()}
    assert answer.title.endswith("smallest") and len(answer.lines) == 12
    sizes = [by[n] for n in numbers(answer)]
    assert all(s.od <= 0.040 + 1e-9 and s.width <= 0.010 + 1e-9 for s in sizes)
    assert [s.od for s in sizes] == sorted(s.od for s in sizes)
    assert {"room outside", "room along the shaft"} <= set(dict(answer.excluded))


def test_life_and_speed_are_judged_once_the_size_is_settled(build):
    wishes = {"radial_load": "2 kN", "work_speed": "3000 rpm", "wanted_life": "500 h"}
    named = {c.id.split("[")[0] for c in look_up(build, {"marking": "6205-2RS"} | wishes).checks}
    assert {"bearings.life", "bearings.speed", "bearings.static"} <= named
    assert {c.id.split("[")[0] for c in look_up(build, ROTOR_A | wishes).checks} == {"bearings.identity"}


# -- refusals ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "texts, field, words",
    [
        ({"bore": "1-3/8"}, "bore", "no unit"),
        ({"outside": "2 lbf"}, "outside", "is a force"),
        ({"bore": "3 in", "outside": "2.8 in"}, "bore", "smaller than the outside"),
        ({"work_speed": "fast"}, "work_speed", "wanted"),
        ({"wanted_life": "10 mm"}, "wanted_life", "wanted"),
        ({"bore": "-1 in"}, "bore", "wanted"),
    ],
)
def test_a_text_that_cannot_be_taken_is_said_at_its_field(build, texts, field, words):
    with pytest.raises(BuildProblems) as refused:
        look_up(build, texts)
    assert words in faults_of(refused.value)[field]


def test_every_fault_at_once_and_nothing_typed(build):
    with pytest.raises(BuildProblems) as refused:
        look_up(build, {"bore": "x", "width": "3 V", "radial_load": "9"})
    assert set(faults_of(refused.value)) == {"bore", "width", "radial_load"}
    with pytest.raises(ValueError, match="type a reading"):
        look_up(build, {"bore": "  "})


def test_a_field_says_how_it_was_read(build):
    assert read_as(in_hand(build, {"bore": "1-3/8 in"}, {}), "bore") == "1.3750 in (34.925 mm)"
    metric = load(BARE)
    assert read_as(in_hand(metric, {"bore": "1-3/8 in"}, {}), "bore") == "34.925 mm"


# -- markings ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text, bore, od, width",
    [
        ("6205-2RS C3", 25, 52, 15),
        ("6203-10-2RS", 15.875, 40, 12),
        ("R8ZZ", 12.7, 28.575, 7.9375),
        ("R8", 12.7, 28.575, 6.35),
        ("62/22", 22, 50, 14),
        ("608-2Z", 8, 22, 7),
    ],
)
def test_a_marking_gives_the_size_piece_by_piece_and_reads_back(text, bore, od, width):
    said = explain(text, "metric")
    assert said.size == " × ".join(f"{v:.3f} mm" for v in (bore, od, width))
    assert said.again and explain(said.again, "metric").size == said.size and not said.doubts
    # each piece of the marking is explained
    assert all(words for _, words in said.pieces)


def _round_trip(row):
    number, capped = row["designation"].split()[0], row["capping"] == "capped"
    said = explain(number + ("-2RS" if capped else ""), "metric")
    again = explain(said.again, "metric")
    assert (again.size, again.again) == (said.size, said.again)
    # the table's decimals are rounded as they are written: 17.4625 mm is 17.463 mm
    width = Decimal(str(row["width_mm"])).quantize(Decimal("0.001"), ROUND_HALF_UP)
    assert said.size.split(" × ")[2] == f"{width} mm" and not said.doubts


def test_every_listed_size_makes_the_round_trip(for_each):
    rows = [r for r in table("bearings") if r["type"] == "deep groove"]
    for_each(rows, _round_trip, lambda r: r["designation"])


@pytest.mark.parametrize(
    "text, words",
    [
        ("", "type what stands on the ring"),
        ("hello", "no bearing number was found in 'HELLO'"),
        ("???", "no bearing number"),
    ],
)
def test_nonsense_is_refused_with_what_to_do(text, words):
    with pytest.raises(ValueError, match=words.replace("?", r"\?")):
        explain(text, "inch")


def test_what_is_not_understood_or_not_listed_is_said():
    assert any("'QX' is not understood" in d for d in explain("6205-QX", "inch").doubts)
    assert any("No list here holds 6299" in d for d in explain("6299", "inch").doubts)


# -- into the build ----------------------------------------------------------------------------------------------------


def test_a_ring_is_put_into_a_build_that_has_none(own_data):
    kept, words = put_in(
        load(BARE),
        "scrap idler",
        ROTOR_A | {"marking": "", "radial_load": "300 lbf", "room_width": "20 mm"},
        {"bore": "bore gauge"},
    )
    again = load(BARE)
    assert again.names("bearing") == ("scrap idler",) and "Added bearing 'scrap idler'" in words
    bore = again.get("bearing[scrap idler].bore")
    assert (bore.text, bore.known) == ("1.375 in", "measured, bore gauge")
    assert (
        again.get("bearing[scrap idler].room_width").text == "20 mm"
        and again.get("bearing[scrap idler].radial_load") is None
    )
    identity = work_up(again).chapters["bearings"].data.identity["scrap idler"]
    assert identity.size.designation == "6207-22" and identity.readings["bore"].instrument == "bore gauge"


def test_a_bearing_that_is_there_takes_the_new_readings(own_data):
    _, words = put_in(load(DEMO), "chain side", {"bore": "1.1815 in"})
    again = load(DEMO)
    assert words.startswith("Put 'chain side' right") and again.get("bearing[chain side].bore").text == "1.1815 in"
    assert again.get("bearing[chain side].outside") is not None


@pytest.mark.parametrize(
    "name, texts, words",
    [
        ("", ROTOR_A, "no name"),
        ("a[b]", ROTOR_A, "square brackets"),
        ("x", {}, "nothing typed"),
        ("x", {"bore": "3 lbf"}, "is a force"),
    ],
)
def test_nothing_is_written_where_it_cannot_be(own_data, name, texts, words):
    before = load(BARE).path.read_bytes()
    with pytest.raises(BuildProblems, match=words):
        put_in(load(BARE), name, texts)
    assert load(BARE).path.read_bytes() == before


# -- the panel ---------------------------------------------------------------------------------------------------------


def test_panel_follows_and_shows_errors_at_the_field_and_above():
    panel = open_build(DEMO).bearing_finder(bore="1-3/8 in", outside="2.834 in", width="0.669 in", marking="R8ZZ")
    assert "6207-22" in panel._found.value and panel._alert.value == "" and "0.5000 in" in panel._pieces.value
    panel.fields["bore"].box.value = "3 lbf"
    assert "is a force" in panel._alert.value and "is a force" in panel.fields["bore"].echo.value
    assert "6207" not in panel._found.value and panel.answer is None
    panel.fields["bore"].box.value = "35 mm"
    assert panel._alert.value == "" and "1.3780 in" in panel.fields["bore"].echo.value and "6207" in panel._found.value
    panel.tools["bore"].box.value = "micrometer"
    assert panel.answer.checks[0].verdict == "go"
    panel.marking.box.value = "junk"
    assert "no bearing number" in panel._marking_alert.value and panel._pieces.value == ""
    panel.marking.box.value = "6205"
    assert panel._marking_alert.value == "" and "bore 25 mm" in panel._pieces.value


def test_a_fault_of_the_program_is_shown_not_lost(monkeypatch):
    panel = LookupPanel(load(DEMO), dict(ROTOR_A))

    def broken(*_):
        raise RuntimeError("it broke")

    monkeypatch.setattr("jackshaft.chapters.bearings.lookup_controller.look_up", broken)
    panel.look_up()
    assert "it broke" in panel._alert.value


def test_every_field_is_labelled_once():
    panel = LookupPanel(load(DEMO))
    labels = [b.box.description for b in (*panel.fields.values(), *panel.tools.values(), panel.name, panel.marking)]
    assert all(labels) and len(set(labels)) == len(labels)
    assert "Type a reading to begin" in panel._found.value and panel._alert.value == ""


def test_keeping_says_what_was_written_or_why_not(own_data):
    panel = LookupPanel(load(BARE), dict(ROTOR_A))
    panel.keep()
    assert "no name" in panel._alert.value and panel._notice.value == ""
    panel.name.box.value = "idler"
    panel.keep()
    assert panel._alert.value == "" and "Added bearing &#x27;idler&#x27;" in panel._notice.value
    assert load(BARE).names("bearing") == ("idler",)


def test_what_is_stored_needs_no_kernel_and_is_the_same_every_time():
    panels = [open_build(DEMO).bearing_finder(**ROTOR_A, marking="6203-10-2RS") for _ in (0, 1)]
    assert plain(panels[0].answer, panels[0].explained) == plain(panels[1].answer, panels[1].explained)
    html = stored_html(panels[0].answer, panels[0].explained)
    assert "6207-22" in html and "2RS" in html and "<script" not in html
    assert "with a kernel" in plain(None, None)


def test_what_is_stored_first_says_how_to_bring_the_panel_to_life(monkeypatch):
    shown = []
    monkeypatch.setattr(lookup, "show_live", lambda _: None)
    monkeypatch.setattr(lookup, "display", lambda data, **_: shown.append(data))
    LookupPanel(load(BARE))._ipython_display_()
    assert ["Run the page to move it" in data["text/html"].splitlines()[0] for data in shown] == [True]


def test_a_field_that_is_not_there_is_named():
    with pytest.raises(ValueError, match="no field is called thickness"):
        open_build(DEMO).bearing_finder(thickness="3 mm")


def test_metric_build_is_told_in_metric():
    answer = look_up(
        load(BARE),
        {"bore": "35 mm", "outside": "72 mm", "width": "17 mm", "radial_load": "2 kN", "room_outside": "60 mm"},
    )
    words = plain(answer, None)
    assert " in (" not in words and "thou" not in words and "lbf" not in words and "μm" in words

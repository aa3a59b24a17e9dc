"""A shaft that two belts run on: what moves it in the drawing of one belt moves it in that of the other."""

import pytest
from builders import check_of, fact
from jackshaft.buildfile import load, parse
from jackshaft.chapters.layout.drag import drag_of
from jackshaft.chapters.layout.panel import controls, outcome_of
from jackshaft.cli import main
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP
from jackshaft.results.one_frame import carried, moved_along, unmeshes
from jackshaft.results.proving import applied, prove
from jackshaft.results.worsening import worsened
from jackshaft.search import Run, problem_of
from jackshaft.search.found import holds, layouts_of
from jackshaft.start import controller
from jackshaft.start.filling import Entry, keep_all
from jackshaft.ui.state import PanelState

#: An engine, a cross shaft, a fan.
HEAD = """
schema = 1
name = "two belts"
shown_in = "metric"
[engine]
kind = "petrol engine"
work_speed = "3000 r/min"
turns = "counter-clockwise"
[work]
name = "fan"
shafts = "fan shaft"
power = "2 kW"
power_at = "fan shaft"
[[shaft]]
name = "cross shaft"
[[shaft]]
name = "fan shaft"
"""
BELT = """
[[stage]]
name = "{name}"
kind = "belt"
from = "{from_}"
to = "{to}"
section = "A"
series = "metric"
belts = 1
driver = "{name} driver"
driven = "{name} driven"
marked = "{marked}"
takeup = {{ kind = "adjustable centres", static_tension = "250 N", travel_in = "10 mm", travel_out = "30 mm" }}
[[stage.pulley]]
name = "{name} driver"
x = "{x0} mm"
y = "{y0} mm"
diameter = "100 mm"
measured_as = "datum"
[[stage.pulley]]
name = "{name} driven"
x = "{x1} mm"
y = "{y1} mm"
diameter = "200 mm"
measured_as = "datum"
"""
AT_SECOND = "stage[second]"
FIRST, SECOND = (f"stage[{s}].pulley[{s} {{}}]" for s in ("first", "second"))


def belt(name, from_, to, *, start, end, marked):
    (x0, y0), (x1, y1) = start, end
    return BELT.format(name=name, from_=from_, to=to, marked=marked, x0=x0, y0=y0, x1=x1, y1=y1)


def built(second=(400, 100), marked="A 1320 Ld"):
    """The build; 1320 mm is right for the first belt: 2 x 412.3 + 1.5708 x 300 + 100^2 / (4 x 412.3) = 1302 mm."""
    first = belt("first", "engine", "cross shaft", start=(0, 0), end=(400, 100), marked=marked)
    end = (second[0] + 400, second[1])
    text = HEAD + first + belt("second", "cross shaft", "fan shaft", start=second, end=end, marked="A 1280 Ld")
    return parse(text.encode(), file="two.toml")


def spot(build, at):
    return tuple(build.get(f"{at}.{c}").si * 1e3 for c in "xy")


@pytest.mark.parametrize(
    ("second", "goes"), [((400, 100), True), ((400, 101), True), ((400, 102), False), ((0, 0), False)]
)
def test_a_shaft_at_one_place_in_two_belts_moves_in_both(second, goes):
    changes = {f"{FIRST.format('driven')}.x": "430 mm"}
    more, along = carried(built(second=second), changes)
    assert more == ({f"{SECOND.format('driver')}.x": "430 mm"} if goes else {})
    assert [s.pulley for s in along] == (["second driver"] if goes else [])


def test_each_cure_moves_the_shaft_in_both_belts_says_so_and_looks_at_the_other():
    """Seen: the cross shaft moved in the clutch belt and stayed where it was in the work belt."""
    results = work_up(built(marked="A 1500 Ld"))
    assert check_of(results, "layout.length[first]").verdict == STOP
    found = prove(results, "layout.length[first]")
    moved = [c for c in found if f"{FIRST.format('driven')}.x" in c.changes]
    assert moved
    for cure in moved:
        after = applied(results.build, cure.changes)
        assert spot(after, FIRST.format("driven")) == spot(after, SECOND.format("driver"))
        assert "Cross shaft moves with it" in cure.words and "second driver of second" in cure.words
        # what the other belt says of it is not passed over
        assert {w.id for w in cure.worse} == {
            w.id for w in worsened(results, work_up(after), but="layout.length[first]")
        }
    # alone the move spoils the second belt, whose own belt is then too long or too short
    alone = applied(results.build, {f"{FIRST.format(e)}.{c}": t for e, c, t in [("driven", "x", "495 mm")]})
    both = alone.with_values(carried(results.build, {f"{FIRST.format('driven')}.x": "495 mm"})[0])
    assert check_of(work_up(alone), "layout.length[second]").verdict == GO
    assert check_of(work_up(both), "layout.length[second]").verdict != GO


def test_the_hand_takes_the_shaft_along_and_escape_brings_it_back():
    build = built()
    state = PanelState(build, controls(build, "first"), lambda b, w: outcome_of(b, w, stage="first"))
    held = drag_of("first", frozenset(state.controls)).hold(build, state.outcome, "first driven")
    state.set_many(held.texts(420.0, 110.0))
    assert spot(state.trial, SECOND.format("driver")) == (420.0, 110.0) == spot(state.trial, FIRST.format("driven"))
    assert f"{SECOND.format('driver')}.x" in state.also_changed()
    state.reset()
    assert state.changes() == {}


CHAIN = """
[[shaft]]
name = "feed shaft"
[[stage]]
name = "feed chain"
kind = "roller chain"
from = "cross shaft"
to = "feed shaft"
driver_teeth = 10
driven_teeth = 30
centres = "300 mm"
"""


def _by_set(path, key, text, capsys):
    assert main(["set", str(path), f"{key}={text}"]) == 0
    return capsys.readouterr().out


def _by_field(path, key, text, _):
    return controller.write_down(load(path), key, text)[1]


def _by_form(path, key, text, _):
    return keep_all(load(path), {key: Entry(text, "measured", "tape")})[1]


@pytest.mark.parametrize("write", [_by_set, _by_field, _by_form])
def test_what_is_written_by_hand_takes_the_shaft_along_and_names_its_chain(write, tmp_path, capsys):
    path = tmp_path / "two.toml"
    path.write_text(built().text + CHAIN, encoding="utf-8")
    words = write(path, f"{FIRST.format('driven')}.x", "430 mm", capsys)
    after = load(path)
    assert spot(after, FIRST.format("driven")) == spot(after, SECOND.format("driver")) == (430.0, 100.0)
    assert "Cross shaft moves with it: its bearings, and pulley second driver of second." in words
    assert "The centres of the roller chain feed chain change: write them anew (stage[feed chain].centres)." in words
    # a pulley that is on no moved shaft brings nothing along
    words = write(path, f"{FIRST.format('driver')}.x", "1 mm", capsys)
    assert "moves with it" not in words and "feed chain" not in words


def test_a_cure_that_is_put_into_a_panel_leaves_the_shaft_in_one_piece():
    """What a cure wrote beside the fields stayed behind when the pulley was moved on."""
    build = built()
    state = PanelState(build, controls(build, "first"), lambda b, w: outcome_of(b, w, stage="first"))
    state.take_changes({f"{p}.x": "430 mm" for p in (FIRST.format("driven"), SECOND.format("driver"))})
    state.set(f"{FIRST.format('driven')}.x", "440 mm")
    assert spot(state.trial, SECOND.format("driver"))[0] == 440.0


def test_the_search_hands_over_the_shaft_in_both_belts_and_says_what_the_other_one_says():
    still = {f"stage[second].takeup.travel_{way}": "1 mm" for way in ("in", "out")}
    build = built().with_values({"stage[first].search.idlers_most": 0, **still})
    assert check_of(work_up(build), "layout.length[second]").verdict == GO
    found = layouts_of(Run(problem_of(build, "first"), 20_000).finish(), 8)
    moved = [one for one in found if f"{FIRST.format('driven')}.x" in one.changes]
    assert moved
    for one in moved:
        assert spot(one.build, FIRST.format("driven")) == pytest.approx(spot(one.build, SECOND.format("driver")))
        told = {c.id: c.verdict for c in holds(one)[0].checks}
        assert told["layout.length[second]"] != GO


@pytest.mark.parametrize(
    ("second", "told"),
    [
        ((400, 100), False),
        ((401, 100), False),
        ((402, 100), True),
        ((430, 139), True),
        ((430, 141), False),
        ((0, 0), False),
    ],
)
def test_a_shaft_at_two_places_near_each_other_is_a_caution(second, told):
    """Seen: a cross shaft at 435/145 in one belt and at 450/150 in the other, and nothing was said.

    The driver of the second belt has a radius of 50 mm; farther off the two have zero marks of their own.
    """
    found = [c for c in work_up(built(second=second), ("layout",)).checks if c.id.startswith("layout.shaft-place")]
    assert [c.verdict for c in found] == ([CAUTION] if told else [])
    assert all(c.id == "layout.shaft-place[cross shaft]" and f"{second[0]} mm" in str(c.value) for c in found)


@pytest.mark.parametrize(
    ("second", "value"), [((400, 100), "one for first and second"), ((0, 0), "each stage has its own")]
)
def test_the_page_says_whose_zero_mark_a_place_is_measured_from(second, value):
    assert fact(work_up(built(second=second), ("layout",)), "zero mark of the places", "layout").value == value


def test_what_makes_one_belt_pull_harder_is_said_in_one_sentence():
    """At half the speed the cross shaft carries twice the torque: on a pulley of one size it pulls more."""
    results = work_up(built())
    found, ratio = fact(results, "belt that pulls hardest", "grip"), results.chapters["ratio"].data
    torque = {s.name: s.torque for s in ratio.shafts}
    pulls = {n: s.pull for n, s in results.chapters["grip"].data.items()}
    radius = {n: float(s.layout.pulleys.pitch[0]) for n, s in results.chapters["grip"].data.items()}
    assert found.found.si == max(pulls.values()) == pytest.approx(torque["cross shaft"] / radius["second"], rel=1e-6)
    assert pulls["first"] == pytest.approx(torque["engine"] / radius["first"], rel=1e-6)
    assert "in second" in found.value and found.note.count("N·m") == 2
    alone = HEAD + belt("first", "engine", "fan shaft", start=(0, 0), end=(400, 100), marked="A 1320 Ld")
    one = work_up(parse(alone.encode(), file="one.toml"))
    assert not [f for f in one.chapters["grip"].facts if f.label == "belt that pulls hardest"]


def test_a_cure_says_which_belt_it_means_where_there_are_several():
    """Seen: 'set the centres to 512 mm; and let the centres close by 21 mm': of two belts, and neither was named."""
    results = work_up(built(marked="A 1500 Ld"))
    joined = [c for c in prove(results, "layout.length[first]") if f"{AT_SECOND}.marked" in c.changes]
    assert joined and all("For second, use an A" in c.words for c in joined)
    closed = [c for c in joined if "stage[first].takeup.travel_in" in c.changes]
    assert closed and all("For first, let the centres close by" in c.words for c in closed)
    # of the one belt that the check is about nothing need be said
    alone = prove(results, "layout.take-up[second]")
    assert any(f"{AT_SECOND}.takeup.travel_in" in c.changes for c in alone)
    assert all("for second" not in c.words.lower() for c in alone)


@pytest.mark.parametrize(("end", "off"), [("driven", True), ("driver", False)])
def test_no_cure_moves_a_shaft_off_its_gear(end, off, tmp_path):
    path = tmp_path / "two.toml"
    gear = CHAIN.replace("roller chain", "gear").replace('centres = "300 mm"', "")
    path.write_text(built().text + gear, encoding="utf-8")
    changes = {f"{FIRST.format(end)}.x": "430 mm"}
    assert unmeshes(load(path), changes) is off
    assert ("runs only where they stay" in " ".join(moved_along(load(path), changes)[1])) is off
    path.write_text(built().text + CHAIN, encoding="utf-8")
    assert not unmeshes(load(path), changes)

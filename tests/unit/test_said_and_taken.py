"""What builders wrote and was refused, and words that were read twice."""

import re

import pytest
from jackshaft.buildfile import BuildProblems, load
from jackshaft.buildfile.reading import parse
from jackshaft.buildfile.schema import Field
from jackshaft.buildfile.values import Refused, take
from jackshaft.chapters.ratio.stages import turn_of
from jackshaft.mechanics.tension import deflection_force
from jackshaft.render.parts import outcome
from jackshaft.results import Reader, work_up
from jackshaft.results.cure import Cure
from jackshaft.results.proving import proposals

DEMO = "feed_wagon_auger"
LBF = 4.4482216152605
HEAD = 'schema = 1\nname = "x"\n'


@pytest.fixture(scope="module")
def demo():
    return load(DEMO)


def in_file(text):
    return parse((HEAD + text).encode(), file="x.toml")


def test_a_file_takes_what_the_trade_says():
    """A choice by its trade word, the crank for the engine, a screw with its inch behind it: not in forms only."""
    build = in_file(
        '[engine]\nkind = "gas engine"\nturns = "counterclockwise"\n'
        '[clutch]\nshaft = "Crank"\nlead_resistance = "0 ohm"\n'
        '[[shaft]]\nname = "a"\n[[shaft.joint]]\nname = "s"\nkind = "grub screws"\nscrew = "3/8 in"\n'
    )
    wanted = {"engine.kind": "petrol engine", "engine.turns": "counter-clockwise", "clutch.shaft": "engine"}
    wanted |= {"shaft[a].joint[s].kind": "set screws", "shaft[a].joint[s].screw": "3/8 in"}
    assert {k: build.get(k) for k in wanted} == wanted
    # a part that has the name is that part
    assert in_file('[engine]\n[clutch]\nshaft = "crank"\n[[shaft]]\nname = "crank"\n').get("clutch.shaft") == "crank"


@pytest.mark.parametrize("text", ["3/4", "12"])
def test_a_length_without_a_unit_is_asked_about(text):
    with pytest.raises(Refused) as told:
        take(Field("diameter", "length", ""), text, "inch")
    assert f"'{text} in' or '{text} mm'" in told.value.wanted


def test_words_say_what_turns_and_what_whirls(demo):
    found = next(c for c in work_up(demo).checks if c.id.startswith("shafts.whirl"))
    assert str(found.value).startswith("turns at") and ", whirls at" in str(found.value)
    assert "falls away" in outcome(Cure("Take it out.", {}, "", ""))


@pytest.mark.parametrize(
    ("coil", "leads", "net"),
    [
        ({"value": "2.9 ohm", "known": "measured", "by": "multimeter"}, "0.3 ohm", 2.6),
        ("2.9 ohm", "300 milliohm", 2.6),
        ({"value": "2.9 ohm", "known": "plate"}, "0.3 ohm", 2.9),
        ("2.9 ohm", "0 ohm", 2.9),
    ],
)
def test_the_meters_leads_are_taken_off_its_reading(demo, coil, leads, net):
    """Ohm's law at 12 V: a reading of 2.9 with 0.3 in the leads is a coil of 2.6 ohm, 55.4 W."""
    results = work_up(demo.with_values({"clutch.coil_resistance": coil, "clutch.lead_resistance": leads}))
    match = next(c for c in results.checks if c.id == "electric.coil")
    assert match.found.si == pytest.approx(144.0 / net, rel=1e-9)
    assert results.chapters["electric"].data.line.r20 == pytest.approx(net, rel=1e-12)


def test_leads_that_swallow_the_reading_are_refused(demo):
    with pytest.raises(BuildProblems):
        demo.with_values({"clutch.coil_resistance": "0.3 ohm", "clutch.lead_resistance": "0.3 ohm"})


def test_a_work_speed_over_its_governor_is_not_silently_taken(demo):
    """3200 rpm give or take 150 reaches 3350: over a governor of 3250, under one of 3350."""
    for governor, there in (("3250 rpm", True), ("3350 rpm", False)):
        work = {"value": "3200 rpm", "plus_minus": "150 rpm"}
        build = demo.with_values({"engine.work_speed": work, "engine.full_speed": governor})
        assert any(c.id == "ratio.governor" for c in work_up(build, ("ratio",)).checks) is there


def test_a_direction_seen_at_the_works_own_end_asks_which_way_that_points():
    """Clockwise at an end that points the other way is counter-clockwise seen facing the engine's shaft: a mirror."""
    ways = {"as the engine's shaft does": -1, "the other way": 1, "": 0}
    for points, turn in ways.items():
        end = f'end_points = "{points}"\n' if points else ""
        build = in_file(f'[work]\nturns = "clockwise"\nseen_from = "its own shaft end"\n{end}')
        assert turn_of(Reader(build), "work") == turn
    asked = next(c for c in work_up(build).checks if c.id == "ratio.direction")
    assert asked.verdict == "not decidable" and "work.end_points" in asked.missing
    # a shaft end of the work that may be the engine's is asked about
    with pytest.raises(BuildProblems):
        in_file('[work]\nseen_from = "shaft end"\n')


def test_more_belts_on_the_pulleys_that_are_there_come_before_large_pulleys():
    """Seen: J2 of 9 in and R of 30 in before four belts on the pulleys of a 6 in roller."""
    build = load(DEMO).with_values({"stage[crank belts].belts": 1, "work.power": "10 hp"})
    results = work_up(build)
    check = next(c for c in results.checks if c.id.startswith("capacity.power[crank"))
    offered = [p.changes for p in proposals(results, check)]
    large = [i for i, c in enumerate(offered) if any(k.endswith("].diameter") for k in c)]
    same = [i for i, c in enumerate(offered) if i not in large and any(k.endswith(".belts") for k in c)]
    assert same and large and min(same) < min(large)


def test_the_trades_push_is_set_beside_the_tension_that_it_shows():
    """The force for the tension that is said is the table's again; the tag says which of the two to set."""
    results = work_up(load(DEMO))
    stage = results.chapters["grip"].data["crank belts"].set
    note = next(t.note for t in results.chapters["grip"].tables if t.title == "crank belts: tension without a gauge")
    used, each = map(float, re.findall(r"trade's table gives ([\d.]+) lbf run in .*?: ([\d.]+) lbf run in", note)[0])
    back = deflection_force.si(each * LBF, span=1.0, stiffness=stage.stiffness, share=stage.share).force
    assert back / LBF == pytest.approx(used, rel=0.02)
    assert any("trade's table" in what for what, _ in stage.tag)

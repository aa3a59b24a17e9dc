"""Clearance over the ground, against the turn of a point worked by hand, and by small steps through the travel."""

import math

import pytest
from builders import check_of, sheet
from jackshaft.buildfile import parse
from jackshaft.chapters.guards.ground import sweep
from jackshaft.mechanics.ground import joint_height_si
from jackshaft.results import Reader, work_up
from jackshaft.results.proving import prove

#: A hinge level with the driving shaft, half a metre on; joint 2 a metre beyond it: 500 mm down at 30 degrees.
HEAD = """
schema = 1
name = "t"
shown_in = "metric"
[engine]
kind = "petrol engine"
[driveline]
hinge_is = "{hinge}"
hinge_off = "0 mm"
hinge_away = "500 mm"
joint_along = "1000 mm"
joint_square = "0 mm"
joint_aside = "{aside} mm"
axis_height = "800 mm"
guard_outside = "200 mm"
[[driveline.attitude]]
name = "low"
lift = "{low} deg"
[[driveline.attitude]]
name = "high"
lift = "20 deg"
"""


def build(hinge="level", aside=0, low=-30, more=""):
    return parse((HEAD.format(hinge=hinge, aside=aside, low=low) + more).encode(), file="t.toml")


def test_the_lowest_attitude_by_hand():
    """800 - 1000 sin 30 - 100 = 200 mm: enough for 150; at 45 degrees it is in the ground by 7 mm."""
    results = work_up(build())
    check = check_of(results, "guards.ground-shaft")
    assert check.verdict == "go" and check.found.si == pytest.approx(0.2) and "Lowest at low" in check.reason
    deep = check_of(work_up(build(low=-45)), "guards.ground-shaft")
    assert deep.verdict == "stop" and deep.found.si == pytest.approx(0.7 - math.sqrt(0.5))
    near = work_up(build(low=-35))
    assert check_of(near, "guards.ground-shaft").verdict == "caution"
    rows = {row[0]: row[1:] for row in sheet(results, "Telescoping shaft over the ground", "guards").rows}
    assert set(rows) == {"low", "high", "anywhere between"} and rows["low"][0] == rows["anywhere between"][0]
    # up, joint 1 itself is the lowest
    assert rows["high"][0].startswith("700")


def test_the_cure_stops_it_where_the_clearance_holds():
    """sin(lift) = -0.55 leaves 150 mm: -33.4 degrees, so -33."""
    results = work_up(build(low=-40))
    found = prove(results, "guards.ground-shaft")
    assert any(c.changes == {"driveline.attitude[low].lift": "-33°"} for c in found), [c.changes for c in found]
    assert found[0].verdict_after == "go"


def test_the_travel_may_be_lowest_between_its_ends():
    """A joint that swings over the bottom: lowest where its lift points straight down, not at an attitude."""
    found = sweep(Reader(build(low=-120)))
    assert found.low[found.worst] == pytest.approx(0.8 - 1.0 - 0.1, abs=1e-3)
    assert math.degrees(found.lift[found.worst]) == pytest.approx(-90, abs=1.5)


def test_about_an_upright_hinge_it_keeps_its_height():
    check = check_of(work_up(build("upright", aside=-300)), "guards.ground-shaft")
    assert check.found.si == pytest.approx(0.8 - 0.3 - 0.1)
    shift = {"axis": 1.0, "hinge_off": 0.2, "joint_along": 0.5, "joint_square": 0.1}
    height = joint_height_si(0.0, joint_aside=0.0, level=True, **shift)
    assert height == pytest.approx(1.0 + 0.2 - 0.1)


def test_what_is_missing_is_named_and_without_a_word_of_the_ground_nothing_is_said():
    half = build().with_values({"driveline.guard_outside": ""})
    check = check_of(work_up(half), "guards.ground-shaft")
    assert check.verdict == "not decidable" and check.missing == ("driveline.guard_outside",)
    none = half.with_values({"driveline.axis_height": ""})
    assert not [c for c in work_up(none).checks if c.id.startswith("guards.ground")]


STAGE = """
[[shaft]]
name = "s"
[[stage]]
name = "belt"
kind = "belt"
section = "A"
series = "inch"
from = "engine"
to = "s"
guard = "closed"
ground_y = "-600 mm"
{edge}
driver = "E"
driven = "J"
[[stage.pulley]]
name = "E"
x = "0 mm"
y = "0 mm"
diameter = "100 mm"
measured_as = "outside"
[[stage.pulley]]
name = "J"
x = "400 mm"
y = "-300 mm"
diameter = "250 mm"
measured_as = "outside"
"""


def test_a_stage_hangs_as_low_as_its_lowest_pulley_or_its_guard():
    """J is 600 - 300 - 125 = 175 mm over the ground; a guard 30 mm below it leaves 145, less than 150."""
    open_ = check_of(work_up(build(more=STAGE.format(edge=""))), "guards.ground[belt]")
    assert open_.verdict == "not decidable" and open_.missing == ("stage[belt].guard_low_y",)
    tight = check_of(work_up(build(more=STAGE.format(edge='guard_low_y = "-455 mm"'))), "guards.ground[belt]")
    assert tight.verdict == "caution" and tight.found.si == pytest.approx(0.145) and "its guard" in tight.reason.lower()
    fine = check_of(work_up(build(more=STAGE.format(edge='guard_low_y = "-430 mm"'))), "guards.ground[belt]")
    assert fine.verdict == "go" and fine.found.si == pytest.approx(0.170)
    bare = build(more=STAGE.format(edge="")).with_values({"stage[belt].guard": "none"})
    assert check_of(work_up(bare), "guards.ground[belt]").found.si == pytest.approx(0.175)
    chain = "\n[[stage]]\nname = \"chain\"\nkind = \"roller chain\"\nguard = \"none\"\nground_y = \"-600 mm\"\n"
    check = check_of(work_up(build(more=chain)), "guards.ground[chain]")
    assert check.verdict == "not decidable" and check.missing == ("stage[chain].guard_low_y",)
    asked = build(more=STAGE.format(edge='guard_low_y = "-430 mm"')).with_values({"ground_least": "180 mm"})
    assert check_of(work_up(asked), "guards.ground[belt]").verdict == "caution"

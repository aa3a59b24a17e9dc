"""A gap that the coil does not pull over: what hangs on it is a stop as well, and the gap is the first cure."""

import pytest
from builders import check_of
from clutch_builds import FLYWHEEL, POLES, clutch
from clutch_builds import circuit_check as check
from jackshaft.buildfile import DEMO, load, parse
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP
from jackshaft.results.proving import prove

HANGING = ("clutch.pull-in", "clutch.hold", "clutch.engagement")


@pytest.mark.parametrize("gap", ["0.25 in", "0.09 in", "2.5 mm"])
def test_a_gap_far_over_its_range_stops_what_hangs_on_it(gap):
    """Seen: a gap ten times too wide was a caution, and pulling in stayed go."""
    far = load(DEMO).with_values({"clutch.air_gap": gap})
    found = {id: check(far, id) for id in ("clutch.gap", *HANGING)}
    assert {c.verdict for c in found.values()} == {STOP}
    assert all("not pull in" in c.reason for c in found.values())


def test_a_gap_a_little_over_its_range_is_a_caution_on_both():
    """0.8 mm: over 0.6 mm, within what half the hot current pulls over (a force that goes with (amps / gap)²)."""
    wide = load(DEMO).with_values({"clutch.air_gap": "0.8 mm", "clutch.faces": "burnished"})
    assert [check(wide, id).verdict for id in ("clutch.gap", "clutch.pull-in")] == [CAUTION, CAUTION]


def test_rings_and_turns_decide_it_where_they_are_known():
    """Some 1700 ampere-turns on two rings: over 2 mm the springs' 100 N are little, over 12 mm much."""
    text = FLYWHEEL.replace('static_torque = "84 lbf·ft"', 'static_torque = "200 lbf·ft"\nturns = 400') + POLES
    build = parse(text.encode(), file="rings")
    for gap, verdict in (("2 mm", GO), ("12 mm", STOP)):
        one = build.with_values({"clutch.air_gap": gap})
        assert clutch(one).gap.open == (verdict == STOP), gap
        assert check(one, "clutch.pull-in").verdict == verdict
        assert (check(one, "clutch.gap").verdict == STOP) == (verdict == STOP)


def test_the_gap_is_offered_for_what_hangs_on_it():
    far = load(DEMO).with_values({"clutch.air_gap": "0.1 in", "clutch.faces": "burnished"})
    for id in ("clutch.gap", "clutch.pull-in"):
        cure = prove(work_up(far), id)[0]
        assert set(cure.changes) == {"clutch.air_gap"}
        assert check_of(work_up(far.with_values(cure.changes)), id).verdict == GO

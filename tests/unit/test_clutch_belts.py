"""Belts between clutch and work: what they let through decides the run-up and the stop, and how long the work runs on.

By hand, the demo build: E grips with R = exp(0.5123 x 175.8°), 31.6 lbf of pull are 3.5 hp at 3000 rpm of the engine;
the idler's spring holds the slack strand onward and the tight one backwards. Behind the clutch turns what coasts in the
run-down: 11 lbf·ft x 4 s / 300 rpm, at the square of 13/40 and of E's pitch diameter over J's.
"""

import math

import pytest
from builders import check_of
from clutch_builds import FLYWHEEL, clutch
from clutch_builds import circuit_check as check
from jackshaft.buildfile import DEMO, load, parse
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED
from jackshaft.results.proving import proposals, prove

LBF_FT, RPM = 1.3558179, 2 * math.pi / 60
R = math.exp(0.5123 * math.radians(175.8))
WORK = 3.5 * 745.69987 / (3000 * RPM)  # N·m at the engine
#: A belts run on pitch diameters some 0.25 in over the datum ones.
BEHIND = 11 * LBF_FT * 4 / (300 * RPM) * (13 / 40 * 4.65 / 10.85) ** 2
SLACK = "stage[crank belts].takeup.slack_tension"
BRAKE = {"clutch.brake": True, "clutch.brake_torque": "60 lbf·ft"}
BELTS = "chain.engage-belts[crank belts]"


@pytest.fixture
def demo():
    return load(DEMO)


def onward(tension):
    return WORK * tension * (R - 1) / 31.6


def back(tension):
    return WORK * tension * (1 - 1 / R) / 31.6


def test_a_brake_stops_the_work_no_harder_than_the_belts_carry(demo):
    """Seen: 60 lbf·ft of brake counted in full, through belts that let 7 back."""
    found = clutch(demo.with_values(BRAKE)).stop
    assert found.likely.seconds == pytest.approx(BEHIND * 3000 * RPM / back(44.0), rel=0.05)
    assert found.bad > found.likely.seconds and found.limit < 7 * LBF_FT
    weak = clutch(demo.with_values(BRAKE | {"clutch.brake_torque": "2 lbf·ft"})).stop
    assert weak.likely.seconds == pytest.approx(BEHIND * 3000 * RPM / (2 * LBF_FT), rel=0.05) and weak.limit is None


def test_a_stop_that_only_the_likely_grip_gives_is_a_caution(demo):
    """9 lbf let 1.4 lbf·ft back: 5.7 s; 12 lbf 4.3 s, and more than 5 s at the bad end of the grip."""
    verdicts = {t: check(demo.with_values(BRAKE | {SLACK: f"{t} lbf"}), "clutch.stop").verdict for t in (44, 12, 9)}
    assert verdicts == {44: GO, 12: CAUTION, 9: CAUTION}
    assert all(BEHIND * 3000 * RPM / back(t) < 5.0 for t in (44, 12)) and BEHIND * 3000 * RPM / back(9) > 5.0


def test_a_stop_through_belts_of_unknown_tension_is_undecided(demo):
    found = check(demo.with_values(BRAKE | {SLACK: ""}), "clutch.stop")
    assert found.verdict == UNDECIDED and SLACK in found.missing
    found = check(demo.with_values({"clutch.brake": True}), "clutch.stop")
    assert found.verdict == UNDECIDED and found.missing == ("clutch.brake_torque",)


@pytest.mark.parametrize("tension", [30, 20, 16])
def test_belts_slip_as_long_as_they_take_to_bring_the_work_up(demo, tension):
    """Seen: a slip of 290 s called a chirp. The load at the start is 1.8 times the work; engaged at 1500 rpm."""
    build = demo.with_values({SLACK: f"{tension} lbf", "clutch.faces": "burnished"})
    by_hand = BEHIND * 1500 * RPM / (onward(tension) - 1.8 * WORK)
    found = clutch(build).engagement
    assert found.slips["likely"].seconds == pytest.approx(by_hand, rel=0.15)
    whole = check_of(work_up(build), BELTS)
    assert "chirp" not in whole.reason + whole.remedy
    assert whole.verdict == (STOP if by_hand > 3.0 else CAUTION)


def test_belts_that_never_take_the_work_up_are_a_stop(demo):
    build = demo.with_values({SLACK: "10 lbf", "clutch.faces": "burnished"})
    assert onward(10) < 1.8 * WORK
    results = work_up(build)
    assert "never take the work up" in check_of(results, BELTS).reason
    assert [check_of(results, id).verdict for id in (BELTS, "clutch.engagement")] == [STOP, STOP]


def test_belts_that_let_nothing_through_never_take_the_work_up(demo):
    """Seen: refused as 'clutch torque must be above zero', and undecided beside it under the same id."""
    locked = {"stage[crank belts].takeup.kind": "adjustable centres", SLACK: "", "clutch.faces": "burnished"}
    loose = demo.with_values(locked | {"stage[crank belts].takeup.static_tension": "1 lbf"})
    checks = [c for c in work_up(loose, ("clutch",)).checks if c.id == "clutch.engagement"]
    assert [c.verdict for c in checks] == [STOP]


def test_an_engine_feels_no_more_of_the_clutch_than_the_belts_let_through(demo):
    """Seen: it stalled through belts that slip first. It has 16.5 lbf·ft; belts grip up to twice what is likely."""
    light = {"engine.inertia": "0.05 lb·ft²", "clutch.static_torque": "200 lbf·ft", "clutch.faces": "burnished"}
    light |= {"work.run_down_time": "60 s"}
    tight = clutch(demo.with_values(light | {SLACK: "400 lbf"})).engagement
    slack = clutch(demo.with_values(light | {SLACK: "7 lbf", "work.start_factor": 1.0})).engagement
    assert tight.steps.stalls and onward(400) > 200 * LBF_FT
    assert not slack.steps.stalls and onward(7) < 16.5 / 2 * LBF_FT


def test_what_holds_the_engine_only_is_no_go(demo):
    """Seen: go against the engine's peak with a pulley whose measured_as was missing, so that no load was known."""
    key = "stage[crank belts].pulley[E].measured_as"
    lost = demo.with_values({"work.power_at": "output shaft", key: ""})
    for id in ("clutch.hold", "clutch.pull-in", "clutch.engagement"):
        found = check(lost, id)
        assert found.verdict == UNDECIDED and found.missing == (key,)


def test_a_belt_before_the_clutch_limits_the_run_up_and_not_the_brake(demo):
    """On the jackshaft, 10.85 / 4.65 of the engine's torque: onward E still lets go first, no belt is behind it."""
    there = demo.with_values({"clutch.shaft": "jackshaft", SLACK: "20 lbf"})
    belts = clutch(there).belts
    assert belts.forward.likely == pytest.approx(onward(20) * 10.85 / 4.65, rel=0.05)
    assert math.isinf(belts.backward.bad)


# -- how long the work runs on ------------------------------------------------------------------------


def mower(**changes):
    return parse(FLYWHEEL.encode(), file="mower").with_values(changes)


def test_a_blade_without_a_brake_is_asked_how_long_it_runs_on():
    """Seen: nothing was said."""
    found = check(mower(**{"work.mass_at": "bar across the axis"}), "clutch.stop")
    assert found.verdict == UNDECIDED and "clutch.brake" in found.missing and "work.run_down_time" in found.missing
    for known in ({"work.cuts": False}, {"work.mass_at": "disc", "work.cuts": False}):
        assert not any(c.id == "clutch.stop" for c in work_up(mower(**known), ("clutch",)).checks)
    assert check(mower(**{"work.cuts": True}), "clutch.stop").verdict == UNDECIDED


@pytest.mark.parametrize(
    ("time", "verdict"), [("2.2 s", GO), ("2.4 s", UNDECIDED), ("12 s", UNDECIDED), ("", UNDECIDED)]
)
def test_work_that_may_be_a_blade_is_asked_whether_it_is(time, verdict):
    """Seen: how a blade's weight lies taken out, and its run-on went with it.

    1000 of 2000 rpm are lost in the time, one part in ten is the watch's: 2.2 s are 4.84 s at the bad end, inside 5 s.
    """
    test = {"work.run_down_speed": "1000 rpm", "work.run_down_time": time, "work.mass_at": ""}
    test["clutch.brake"] = False
    found = check(mower(**test), "clutch.stop")
    assert found.verdict == verdict
    assert verdict == GO or {"work.cuts", "work.mass_at"} <= set(found.missing)
    assert ("work.run_down_time" in found.missing) == (not time)
    assert check(mower(**test, **{"work.guard_holds": True}), "clutch.stop").verdict == GO


@pytest.mark.parametrize(("time", "verdict"), [("2 s", GO), ("2.4 s", CAUTION), ("12 s", STOP)])
def test_a_blade_runs_down_as_in_its_test(time, verdict):
    """From 2000 rpm (3600 over 1.8), 1000 rpm lost in the time; one part in ten is the watch's and tachometer's."""
    test = {"work.run_down_speed": "1000 rpm", "work.run_down_time": time, "work.cuts": True, "clutch.brake": False}
    found = check(mower(**test), "clutch.stop")
    assert found.found.si == pytest.approx(2.0 * float(time.split()[0])) and found.verdict == verdict
    assert found.guards == (verdict != GO)


def test_a_blade_without_a_clutch_is_asked_too():
    text = FLYWHEEL.partition("[clutch]")[0].replace("schema = 1", 'schema = 1\nclutch = "none"')
    found = check(parse(text.encode(), file="m").with_values({"work.cuts": True}), "clutch.stop")
    assert found.verdict == UNDECIDED and "clutch.brake" not in found.missing


def test_a_guard_that_holds_until_it_stands_is_the_cure():
    test = {"work.run_down_speed": "1000 rpm", "work.run_down_time": "30 s", "work.cuts": True, "clutch.brake": False}
    cures = prove(work_up(mower(**test)), "clutch.stop")
    assert {"work.guard_holds": "yes"} in [dict(c.changes) for c in cures]


def test_belts_that_let_too_little_of_the_brake_back_are_to_be_set_tighter(demo):
    """9 lbf let 1.4 lbf·ft back: 5.8 s; a stronger brake would not help."""
    cures = prove(work_up(demo.with_values(BRAKE | {SLACK: "9 lbf"})), "clutch.stop")
    assert cures and set(cures[0].changes) == {SLACK} and cures[0].verdict_after == GO
    assert not any("clutch.brake_torque" in c.changes for c in cures)


def test_the_least_tension_offered_takes_the_work_up_in_time(demo):
    """3 s from 1500 rpm want J w / 3 over the load, at the bad end of the grip; all that the clutch pulls is not."""
    slow = demo.with_values({SLACK: "16 lbf", "clutch.faces": "burnished"})
    results = work_up(slow)
    first = next(proposals(results, check_of(results, BELTS))).changes[SLACK]
    assert 16.0 < float(first.split()[0]) < 60.0
    after = slow.with_values({SLACK: first})
    assert clutch(after).engagement.slips["bad"].seconds <= 3.0 and check_of(work_up(after), BELTS).verdict == CAUTION

"""A brake behind the slack belt of a tightener: what turns with it, and what it does not stop."""

import math

import pytest
from builders import check_of
from jackshaft.chapters.grip.more_cases import BRAKE as BRAKE_CASE
from jackshaft.parts.outside_loads import brake_share, braked
from jackshaft.results import work_up
from jackshaft.results.checks import UNDECIDED
from jackshaft.results.reader import Reader
from no_coil_builds import THROWER, build
from test_several_driven_limits import deck

PULLEY = "stage[auger belt].pulley[auger pulley].weight"
BRAKE = {"clutch.brake": True, "clutch.brake_torque": "0.5 lbf·ft"}


def stop_of(**changes):
    found = work_up(build(THROWER, **BRAKE, **changes), ("clutch",))
    return found, found.chapters["clutch"].data.stop


@pytest.mark.parametrize("pounds", [9.0, 18.0])
def test_the_pulley_that_the_slack_belt_drove_turns_on_with_the_brake(pounds):
    """30 lb as a disc of 12 in behind 10 : 1 is 0.0375 lb·ft² at the input; a disc of 8.25 in over the belt adds to it.
    The input turns at 3.25 / 8.25 of 3400 rpm, by the pitch circles; 1 lbf·ft is 32.174 lb·ft²/s²."""
    inertia = 30 * 0.5**2 / 2 / 10**2 + pounds * (8.25 / 24) ** 2 / 2
    speed = 3400 * math.pi / 30 * 3.25 / 8.25
    assert stop_of(**{PULLEY: f"{pounds} lb"})[1].likely.seconds == pytest.approx(
        inertia * speed / (0.5 * 32.174), rel=0.002
    )


def test_a_pulley_of_unknown_weight_leaves_a_go_open():
    found, _ = stop_of()
    check = check_of(found, "clutch.stop")
    assert check.verdict == UNDECIDED and check.missing == (PULLEY,)


@pytest.mark.parametrize(
    ("tested", "lacks"), [(False, ("work.run_down_speed", "work.run_down_time", "work.guard_holds")), (True, ())]
)
def test_one_brake_does_not_stop_the_spindles_that_the_slack_belt_joins_no_more(tested, lacks):
    """Asked for is the run-down of the slowest; 1000 r/min lost in 1 s is 3.3 s from 3300 r/min."""
    clutch = 'kind = "idler"\nshaft = "engine"\nbrake = true\nbrake_torque = "60 N·m"\n'
    run_down = {"work.run_down_speed": "1000 r/min", "work.run_down_time": "1 s"} if tested else {}
    check = check_of(deck({"work.cuts": True} | run_down, clutch), "clutch.stop")
    assert check.missing == lacks and (check.verdict == UNDECIDED) != tested
    assert ("lets the others coast" in check.reason) != tested
    assert not tested or check.found.si == pytest.approx(3.3)


def test_a_brake_behind_the_slack_belt_loads_neither_the_belt_nor_what_stands_before_it():
    """The brake's 0.5 lbf·ft is that of the shaft that the belt drives; the slack belt carries nothing back."""
    made = build(THROWER, **BRAKE)
    done = work_up(made).chapters
    ratio, reader = done["ratio"].data, Reader(made)
    driven = ratio.stage("auger belt").end

    def share(shaft):
        return brake_share(reader, ratio, shaft, lambda stage: math.inf)

    assert share("engine") is None and braked(reader, ratio, "engine") is None
    assert braked(reader, ratio, driven) == ()
    assert share(driven) == pytest.approx(0.5 * 1.3558179 / ratio.shaft(driven).torque)
    assert done["grip"].data["auger belt"].case(BRAKE_CASE) is None

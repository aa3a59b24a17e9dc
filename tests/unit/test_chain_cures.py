"""Cures of the chain of what gives first: each is put into the build and does what it says."""

from __future__ import annotations

import pytest
from builders import check_of
from jackshaft.buildfile import DEMO, load
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP
from jackshaft.results.proving import applied, proposals, prove
from jackshaft.units import read

SLACK = "stage[crank belts].takeup.slack_tension"
WANTED = ("work", "engine.peak", "wanted_life", "circuit")


def cured(id, changes):
    """Return the check as it is after the changes, its cures, and hold that no cure changes what is wanted."""
    results = work_up(applied(load(DEMO), changes))
    found = prove(results, id)
    for cure in found:
        assert not any(key.startswith(WANTED) for key in cure.changes)
        assert check_of(work_up(applied(results.build, cure.changes)), id).verdict == cure.verdict_after
    return check_of(results, id), found


@pytest.mark.parametrize(
    "id, changes",
    [
        ("chain.holds", {SLACK: "8 lbf"}),
        ("chain.start", {SLACK: "12 lbf"}),
        ("chain.peak", {SLACK: "20 lbf"}),
        ("chain.peak", {"shear_pin.diameter": "3/16 in"}),
        ("chain.start", {"shear_pin.diameter": "3/16 in"}),
        ("chain.holds", {SLACK: "8 lbf", "driveline.joint_rating": "30 lbf·ft"}),
        ("chain.holds", {SLACK: "8 lbf", "shaft[output shaft].diameter": "3/8 in"}),
        ("chain.weak-link", {SLACK: "28 lbf"}),
        ("chain.weak-link", {"shear_pin.diameter": "3/8 in"}),
        ("chain.weak-link", {"driveline.joint_rating": "120 lbf·ft"}),
        ("chain.joints", {"driveline.joint_rating": "80 lbf·ft"}),
        ("chain.weak-link", {"shaft[output shaft].diameter": "1/2 in"}),
        ("chain.engage", {"shaft[output shaft].diameter": "1/2 in"}),
        ("chain.engage-pin", {"shear_pin.diameter": "3/16 in"}),
        ("chain.engage-belts[crank belts]", {}),
    ],
)
def test_each_is_cured_to_go(id, changes):
    check, found = cured(id, changes)
    assert check.verdict in (CAUTION, STOP)
    assert found and found[0].verdict_after == GO and not found[0].harm


def test_a_thick_pin_is_cured_by_the_next_smaller_one():
    """Seen: only "make the gap wider"."""
    found = cured("chain.weak-link", {"shear_pin.diameter": "3/8 in"})[1]
    assert found[0].changes == {"shear_pin.diameter": "1/4 in"} and "1/4 in shear pin" in found[0].words


def test_a_pin_that_is_offered_holds_the_choke_and_gives_before_the_rest():
    for start in ("3/16 in", "5/16 in", "1/2 in"):
        for cure in cured("chain.weak-link", {"shear_pin.diameter": start})[1]:
            after = work_up(applied(load(DEMO), {"shear_pin.diameter": start, **cure.changes}))
            if "shear_pin.diameter" in cure.changes:
                assert check_of(after, "chain.peak").verdict == GO


def test_a_slack_belt_is_handed_to_the_chapter_of_its_grip():
    results = work_up(applied(load(DEMO), {SLACK: "12 lbf"}))
    own = list(proposals(results, check_of(results, "grip.start[crank belts]")))
    assert own and own[0] in list(proposals(results, check_of(results, "chain.start")))


def test_the_tension_offered_before_the_pin_is_the_one_that_lifts_the_bad_end_over_it():
    """44 lbf hold 20.6 at the bad end and the pin goes by 19.1: 41 lbf, rounded up."""
    found = cured("chain.weak-link", {SLACK: "28 lbf"})[1]
    tensions = [read(c.changes[SLACK], "force").si / 4.4482216 for c in found if set(c.changes) == {SLACK}]
    assert tensions and min(tensions) == pytest.approx(42, abs=1.01)


def test_proposals_stay_few():
    for changes in (
        {},
        {SLACK: "12 lbf"},
        {"shear_pin.diameter": "3/8 in"},
        {"shaft[output shaft].diameter": "1/2 in"},
    ):
        results = work_up(applied(load(DEMO), changes))
        for check in results.of("chain"):
            if check.verdict in (CAUTION, STOP):
                assert len(list(proposals(results, check))) <= 20

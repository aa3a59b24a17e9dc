"""What a build leaves unsaid is asked for, or said with the verdict: it is never taken in silence."""

from __future__ import annotations

import pytest
from builders import check_of as check
from jackshaft.buildfile import load
from jackshaft.results import work_up
from jackshaft.results.checks import GO, UNDECIDED
from shaft_builds import STEEL, TWO_BELTS, build_of, with_part

ROTOR = "rotor_bearings"
PULL = "shaft[rotor].load[rotor body].pull"


@pytest.mark.parametrize("pull", ["", "0 lbf"])
def test_a_part_that_may_pull_sideways_leaves_its_shaft_open(pull):
    """Seen: the weight alone was counted, and shaft and bearings were a go."""
    results = work_up(build_of(ROTOR, **STEEL, **{PULL: pull}))
    for id in ("shafts.strength[rotor]", "shafts.yield[rotor]", "shafts.slope[rotor]", "bearings.static[A]"):
        found = check(results, id)
        assert found.verdict == (GO if pull else UNDECIDED), (id, found.verdict)
        assert (PULL in found.missing) is not bool(pull), id


def test_a_pull_of_nothing_needs_no_direction_and_changes_no_number():
    said, unsaid = (work_up(build_of(ROTOR, **STEEL, **{PULL: p})) for p in ("0 lbf", ""))
    for id in ("shafts.strength[rotor]", "bearings.static[A]"):
        assert str(check(said, id).found) == str(check(unsaid, id).found)


def test_a_shaft_that_states_no_loose_load_is_not_asked_for_its_pull():
    assert not any(key.endswith("].pull") for c in work_up(build_of(TWO_BELTS)).checks for key in c.missing)


def test_a_joint_says_which_hub_it_holds():
    """Seen: nobody could tell from the checks that a key held the large sprocket."""
    results = work_up(load("feed_wagon_auger"))
    names = {c.id: c.name for c in results.checks if c.id.startswith("shafts.joint[")}
    assert names["shafts.joint[joint key]"] == "output shaft: joint key, hub of output chain"
    assert names["shafts.joint[yoke key]"] == "output shaft: yoke key, hub of the auger"
    assert names["shafts.joint[engine key]"] == "engine: engine key, hub of the clutch, with crank belts"


def test_a_joint_of_which_it_is_not_known_what_it_holds_names_no_hub():
    key = {"kind": "parallel key", "width": "1/4 in", "length": "1 in"}
    build = with_part(build_of(TWO_BELTS), "output shaft", "joint", "a key", **key)
    results = work_up(build)
    assert check(results, "shafts.joint[a key]").name == "output shaft: a key"
    asked = check(results, "shafts.hub[second belts on output shaft]")
    assert asked.missing == ("shaft[output shaft].joint[a key].stage",)

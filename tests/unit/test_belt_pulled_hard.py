"""A belt that is pulled far past what its section is rated for, and idlers that are far too small."""

import pytest
from builders import check_of, fact
from jackshaft.buildfile import DEMO, load
from jackshaft.results import work_up

STAGE = "stage[crank belts]"
CHECK = "capacity.tension[crank belts]"
#: lbf a belt: twice the pull of 5.5 hp at 3,652 ft/min (the scenario's own figures), over 4/5 by the 5:1 convention
RATED = 5.5 * 33000 / 3652 / 0.8


def demo(**values):
    return work_up(load(DEMO).with_values({f"{STAGE}.{k.replace('__', '.')}": v for k, v in values.items()}))


def test_the_limit_is_one_and_a_half_times_what_the_rating_stands_on():
    check = check_of(demo(), CHECK)
    assert check.verdict == "go" and check.wanted.si / 4.4482216 == pytest.approx(1.5 * RATED, rel=0.03)


@pytest.mark.parametrize("share, verdict", [(1.2, "go"), (1.7, "caution"), (3.0, "stop"), (30.0, "stop")])
@pytest.mark.parametrize("unit, size", [("lbf", 1.0), ("N", 4.4482216)])
def test_tension_is_judged_whatever_the_load(share, verdict, unit, size):
    """The spring holds the slack strand of both belts; the pull of 31.6 lbf comes on top of it."""
    slack = 2 * share * RATED - 31.6
    found = demo(takeup__slack_tension=f"{slack * size:.3f} {unit}")
    assert check_of(found, CHECK).verdict == verdict


def test_a_section_without_fatigue_constants_is_named_and_its_tension_judged():
    found = demo(section="SPA", marked="", length="", takeup__slack_tension="900 lbf")
    line = fact(found, "crank belts: belt life by the fatigue constants", "capacity")
    assert "no fatigue constants" in line.note
    assert check_of(found, CHECK).verdict == "stop"


@pytest.mark.parametrize("size, verdict", [("8 in", "go"), ("4.5 in", "caution"), ("3 in", "stop")])
def test_an_idler_under_half_of_the_rule_stops(size, verdict):
    """The rule for A belts bent backwards is 1.5 times the smallest pulley, here about 7 in."""
    found = work_up(load(DEMO).with_values({f"{STAGE}.pulley[I].diameter": size}))
    assert check_of(found, "capacity.idlers[crank belts]").verdict == verdict

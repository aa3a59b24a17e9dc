"""Belts side by side that cures offer: never over four, and more than three after everything else."""

import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.chapters.capacity import cures as capacity
from jackshaft.chapters.grip import cures as grip
from jackshaft.results import work_up
from jackshaft.results.checks import STOP, Check
from jackshaft.results.failing import Failing

AT = "stage[crank belts]"


def failing(build, id):
    """Return a check as if it did not hold."""
    return Failing(work_up(build), Check(f"{id}[crank belts]", id, "1", "2", STOP, "", "r"))


def counts(proposals):
    return [int(p.changes.get(f"{AT}.belts", 0)) for p in proposals]


#: Loads that ask for many belts: each from the demo, with one belt and far more work.
HEAVY = {f"{AT}.belts": 1, "work.power": "12 hp", f"{AT}.takeup.slack_tension": "20 lbf"}


@pytest.mark.parametrize(
    ("id", "proposals"),
    [("grip.margin", grip.PROPOSALS), ("grip.overrun", grip.PROPOSALS), ("capacity.power", capacity.PROPOSALS)]
    + [("capacity.life", capacity.PROPOSALS), ("grip.peak", grip.PROPOSALS), ("grip.start", grip.PROPOSALS)],
)
@pytest.mark.parametrize("power", ["1 hp", "4 hp", "8 hp", "12 hp"])
def test_many_belts_come_last_and_never_over_four(id, proposals, power):
    found = counts(proposals[id](failing(load(DEMO).with_values(HEAVY | {"work.power": power}), id)))
    assert all(n <= 4 for n in found)
    if id.startswith("capacity"):
        # belts on the pulleys that are there come before larger pulleys
        return
    first = next((i for i, n in enumerate(found) if n == 4), len(found))
    assert set(found[first:]) <= {4}


def test_four_belts_are_still_offered():
    """Else the order above would say nothing."""
    seen = {
        n
        for id, all_of in (("grip.margin", grip.PROPOSALS), ("capacity.life", capacity.PROPOSALS))
        for n in counts(all_of[id](failing(load(DEMO).with_values(HEAVY), id)))
    }
    assert {2, 3, 4} <= seen


def test_a_machine_with_more_keeps_what_it_has():
    found = counts(capacity.PROPOSALS["capacity.power"](failing(load(DEMO).with_values({f"{AT}.belts": 5}), "x")))
    assert all(n in (0, 5) for n in found) and found



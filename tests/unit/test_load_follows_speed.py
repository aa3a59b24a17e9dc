"""What the work takes at another speed follows the curve that the build states: of a fan the power with the cube."""

from __future__ import annotations

from itertools import islice

import pytest
from builders import check_of as check
from jackshaft.buildfile import load
from jackshaft.chapters.capacity.cures import PROPOSALS as CAPACITY
from jackshaft.chapters.ratio.cures import PROPOSALS
from jackshaft.results import work_up
from jackshaft.results.failing import Failing
from jackshaft.results.proving import applied
from jackshaft.units import read
from shaft_builds import TWO_BELTS, build_of

SQUARE = "with the square of speed"


@pytest.mark.parametrize(
    ("curve", "cube"), [(SQUARE, 3), ("in step with speed", 2), ("same at every speed", 1), ("", 1)]
)
def test_a_cure_that_speeds_the_work_up_carries_its_power_along(curve, cube):
    """Seen: a fan geared up by 1.14 kept its 9 hp, where it takes 13.3, and the cure was a go; and so did work without
    a curve, which holds its torque."""
    values = {"work.load_curve": curve, "work.speed_least": "450 rpm", "work.speed_most": "490 rpm"}
    build = load("feed_wagon_auger").with_values(values)
    before = work_up(build, ("ratio",))
    for proposal in islice(PROPOSALS["ratio.speed"](Failing(before, check(before, "ratio.speed"))), 3):
        after = work_up(build.with_values(proposal.changes), ("ratio",))
        old, new = (r.chapters["ratio"].data.shaft("output shaft").work for r in (before, after))
        wanted = build.get("work.power").si * (new / old) ** cube
        assert new > 1.05 * old
        assert read(proposal.changes["work.power"], "power").si == pytest.approx(wanted, abs=0.11 * 745.7)
        assert proposal.changes["work.power"] in proposal.words


def test_a_cure_of_another_chapter_carries_the_power_along_too():
    """Seen: other pulleys for the belt's capacity turned a fan faster or slower and left it its 9 hp."""
    build = load("feed_wagon_auger").with_values({"work.load_curve": SQUARE, "work.power": "9 hp"})
    before = work_up(build, ("capacity",))
    failing = Failing(before, check(before, "capacity.power[crank belts]"))
    found = [p for p in islice(CAPACITY["capacity.power"](failing), 12) if any(".diameter" in k for k in p.changes)]
    moved = 0
    for proposal in found:
        after = work_up(applied(build, proposal.changes), ("ratio",))
        faster = after.chapters["ratio"].data.shaft("output shaft").work
        faster /= before.chapters["ratio"].data.shaft("output shaft").work
        takes = read(proposal.changes.get("work.power", "9 hp"), "power").si / 745.7
        told = not -0.02 <= faster**3 - 1.0 <= 0.02  # less is within what anybody knows of a load
        assert takes == pytest.approx(9 * faster**3 if told else 9, abs=0.11), proposal.words
        moved += told
    assert moved >= 2


def test_at_full_throttle_a_fan_pulls_with_the_square_of_the_speed():
    """Seen: the working load was taken at every speed, and a belt that slips at full throttle was a go."""
    for curve, power in (("", 0), (SQUARE, 2)):
        results = work_up(build_of(TWO_BELTS, **{"work.load_curve": curve}), ("grip",))
        grip, layout = (results.chapters[c].data["second belts"] for c in ("grip", "layout"))
        faster = layout.full_speed / layout.speed
        assert faster > 1.05
        assert grip.case("full").factor == pytest.approx(faster**power)

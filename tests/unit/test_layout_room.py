"""Room that centres leave a belt: to be put on, and to stretch. Seen wrong: a go with a hundredth of an inch left."""

import numpy as np
import pytest
from builders import check_of, data
from jackshaft.buildfile import DEMO, load
from jackshaft.mechanics import belts
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, UNDECIDED
from jackshaft.results.proving import applied, prove
from scipy.optimize import brentq
from test_layout_standing import pair, pitch_path

ID, LENGTH, INCH = "layout.take-up[belt]", "layout.length[belt]", 0.0254

#: A64 on the cord line, in: inside length, and what the cord adds, as test_layout_cures has it.
A64 = 64 + 1.3 + np.pi * 0.25

#: Where A64 puts centres of 4 and 12 in pulleys, in, and where they are when it has stretched by 1.5 %.
STANDS, STRETCHED = (brentq(lambda c, f=f: pitch_path(c) - f * A64, 12.0, 40.0) for f in (1.0, 1.015))

#: Printed for A belts of 60 to 85 in: the centres close by 0.8 in to put the belt on.
FITTING = 0.8


def mounted(out, into, kind="adjustable centres", **more):
    travel = {"takeup__kind": kind, "takeup__travel_out": f"{out:.5f} in", "takeup__travel_in": f"{into:.5f} in"}
    return pair(marked="A64", **{**travel, **more})


def judged(build):
    results = work_up(build, ("layout",))
    assert check_of(results, LENGTH).verdict == GO
    return check_of(results, ID)


@pytest.mark.parametrize("kind", ["adjustable centres", "sliding motor"])
@pytest.mark.parametrize(
    ("spare_out", "spare_in", "verdict"),
    [(0.01, 0.01, GO), (-0.02, 0.5, CAUTION), (0.5, -0.02, CAUTION), (-0.02, -0.02, CAUTION)],
)
def test_both_ways_are_judged_at_their_edge(kind, spare_out, spare_in, verdict):
    out, into = STRETCHED - 20 + spare_out, 20 - STANDS + FITTING + spare_in
    check = judged(mounted(out, into, kind))
    assert check.verdict == verdict, check.reason
    if spare_out > 0 and spare_in < 0:
        assert check.found.si == pytest.approx((FITTING + spare_in) * INCH, abs=2e-5)
        assert check.wanted.si == pytest.approx(FITTING * INCH)
    else:
        assert check.found.si == pytest.approx((STRETCHED - STANDS + spare_out) * INCH, abs=2e-5)
        assert check.wanted.si == pytest.approx((STRETCHED - STANDS) * INCH, abs=2e-5)


def test_a_hundredth_of_an_inch_is_no_room_and_says_what_is_wanted():
    check = judged(mounted(STANDS - 20 + 0.01, 3.0))
    assert check.verdict == CAUTION and check.reason.startswith("No room is left for stretch")
    assert "put the belt on" not in check.reason and f"({STRETCHED - STANDS:.2f} in)" in str(check.wanted)


def test_travel_past_touching_rims_is_no_room():
    """12 and 4 in pulleys touch at 8 in; 12-1/2 in of travel from 20 in end there, not at 7-1/2 in."""
    check = judged(mounted(2.0, 12.5))
    assert check.verdict == GO and "until the rims touch" in check.reason
    assert "until" not in judged(mounted(2.0, 5.0)).reason


def test_a_travel_that_nobody_wrote_down_is_asked_for_unless_the_other_is_short_already():
    for way, other in (("out", "in"), ("in", "out")):
        check = judged(pair(marked="A64", takeup__kind="adjustable centres", **{f"takeup__travel_{other}": "3 in"}))
        assert check.verdict == UNDECIDED and check.missing == (f"stage[belt].takeup.travel_{way}",)
    # a tenth of an inch to open, and no travel inward makes that enough
    short = pair(marked="A64", takeup__kind="adjustable centres", takeup__travel_out=f"{STANDS - 20 + 0.1:.4f} in")
    assert check_of(work_up(short, ("layout",)), ID).verdict == CAUTION


def test_other_take_ups_are_not_judged_by_their_centres():
    """Two pulleys with an idler that takes up: which one it is, is what is asked for."""
    check = check_of(work_up(mounted(0.2, 0.2, "fixed idler"), ("layout",)), "layout.length[belt]")
    assert check.verdict == UNDECIDED and [k.rpartition(".")[2] for k in check.missing] == ["idler"]


def test_the_cures_are_the_next_belt_or_travel_and_all_hold():
    tight = mounted(STANDS - 20 + 0.01, 1.5)
    found = prove(work_up(tight), ID)
    assert found and any("travel" in key for cure in found for key in cure.changes)
    for cure in found:
        after = work_up(applied(tight, cure.changes))
        assert check_of(after, ID).verdict == cure.verdict_after == GO
    belt = next(c for c in found if "stage[belt].marked" in c.changes)
    number = float(belt.changes["stage[belt].marked"].removeprefix("A"))
    stands, stretched = (brentq(lambda c, f=f: pitch_path(c) - f * (number + A64 - 64), 12.0, 40.0) for f in (1, 1.015))
    assert stretched < STANDS + 0.01 and stands - FITTING > 18.5


@pytest.mark.parametrize(
    ("section", "length", "inches"),
    [
        ("B", 67.9, 1.3),
        ("BX", 67.9, 1.3),
        ("B", 40, 1.0),
        ("3V", 48, 0.5),
        ("3V", 62, 0.8),
        ("5L", 70, 1.3),
        ("C", 165, 2),
    ],
)
def test_the_travel_to_put_a_belt_on_is_the_printed_one(section, length, inches):
    found = belts.fitting_travel(belts.section(section, "inch"), length * INCH)
    assert found.length == pytest.approx(inches * INCH) and found.known == "read"


def test_a_section_that_no_table_has_wants_twice_its_depth():
    """SPA is 10 mm deep."""
    found = belts.fitting_travel(belts.section("SPA"), 1.8)
    assert found.length == pytest.approx(0.020) and found.known == "common practice"


def moved(spot):
    """The demo's loop drawn with its idler at a place, m."""
    at = "stage[crank belts]"
    spot = {f"{at}.pulley[I].{c}": f"{v / INCH:.6f} in" for c, v in zip("xy", spot, strict=True)}
    return data(work_up(load(DEMO).with_values(spot), ("layout",)), "layout", "crank belts").as_drawn


def test_a_take_up_is_said_to_take_up_all_that_it_can():
    """Seen: 'takes up 15/16 in (wanted: 15/16 in)' however long its way was. The way is walked anew, place by place."""
    results = work_up(load(DEMO), ("layout",))
    check, loop = check_of(results, "layout.take-up[crank belts]"), data(results, "layout", "crank belts")
    pivot, start = np.array(loop.pivot), np.array([loop.places.x[loop.idler], loop.places.y[loop.idler]])
    away = start - pivot

    def at(turn):
        c, s = np.cos(-turn), np.sin(-turn)
        return moved(pivot + np.array([c * away[0] - s * away[1], s * away[0] + c * away[1]]))

    way = [at(t) for t in np.radians(np.arange(0, 91, 5))]
    gained = [float(one.path.length - loop.path.length) for one in way if one.path.reason == 0]
    assert len(gained) < len(way) and (np.diff(gained) > 0).all()
    # the belt goes round with the arm at the last of these, and no more 5 degrees farther
    assert gained[-1] - 1e-4 < check.found.si < gained[-1] + 2 * (gained[-1] - gained[-2])
    assert check.found.si > 2 * check.wanted.si
    # a slot ends where it was cut: 4 in the way that the idler goes
    toward = np.array([way[1].places.x[loop.idler], way[1].places.y[loop.idler]]) - start
    ends = start + 4 * INCH * toward / np.hypot(*toward)
    slot = {"kind": "fixed idler", "pivot_x": "", "pivot_y": "", "slack_tension": "", "static_tension": "20 lbf"}
    slot |= {f"slot_{c}": f"{v / INCH:.6f} in" for c, v in zip("xy", ends, strict=True)}
    cut = work_up(load(DEMO).with_values({f"stage[crank belts].takeup.{k}": v for k, v in slot.items()}), ("layout",))
    longer = float(moved(ends).path.length - loop.path.length)
    assert longer > check_of(cut, "layout.take-up[crank belts]").wanted.si
    assert check_of(cut, "layout.take-up[crank belts]").found.si == pytest.approx(longer, abs=1e-5)

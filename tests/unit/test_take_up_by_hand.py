"""Take-ups that a hand sets, in loops with idlers: their room for stretch, what is in their way, and their cures.

Seen: a fixed idler and centres in a loop with an idler had no check of their room at all, and a belt that the centres
reach was a stop.
"""

import numpy as np
import pytest
from builders import check_of, data
from jackshaft.buildfile import DEMO, load
from jackshaft.mechanics import path
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED
from jackshaft.results.proving import applied, prove
from scipy.optimize import brentq

AT, INCH = "stage[crank belts]", 0.0254
ROOM, LENGTH, CLEAR = (f"layout.{id}[crank belts]" for id in ("take-up", "length", "clearance"))
#: The sprung idler's own keys, which the others do not have.
NONE = {f"takeup.{k}": "" for k in ("slack_tension", "pivot_x", "pivot_y", "spring_lever", "spring_rate")}
NONE |= {"takeup.spring_free_length": "", "takeup.spring_initial": "", "takeup.static_tension": "60 lbf"}
SLOT = {**NONE, "takeup.kind": "fixed idler"}
CENTRES = {**NONE, "takeup.kind": "adjustable centres", "takeup.idler": "", "takeup.travel_in": "1 in"}


def worked(*parts, **bodies):
    build = load(DEMO)
    values = {f"{AT}.{k}": v for part in parts for k, v in part.items()}
    if bodies:
        build = build.with_values({f"{AT}.body": tuple(bodies)})
        values |= {f"{AT}.body[{n}].{k}": v for n, body in bodies.items() for k, v in body.items()}
    return work_up(build.with_values(values), ("layout",))


def needed(k, way):
    """Return how far pulley ``k`` goes along a direction until the path is 1.5 % longer, m, by SciPy on the kernel."""
    loop = data(work_up(load(DEMO), ("layout",)), "layout", "crank belts")
    p, way = loop.pulleys, np.array(way) / np.hypot(*way)

    def length(t):
        x, y = loop.places.x.copy(), loop.places.y.copy()
        x[k], y[k] = x[k] + t * way[0], y[k] + t * way[1]
        return float(path.path_si(x, y, p.pitch, p.inside, loop.ccw).length)

    return brentq(lambda t: length(t) - 1.015 * length(0.0), 0.0, 0.06)


@pytest.mark.parametrize(("share", "verdict"), [(0.5, CAUTION), (0.98, CAUTION), (1.02, GO), (1.5, GO)])
@pytest.mark.parametrize("system", ["inch", "metric"])
def test_a_slot_is_judged_at_its_edge(share, verdict, system):
    far = -2.88 + share * needed(1, (0.0, 1.0)) / INCH
    end = f"{far:.4f} in" if system == "inch" else f"{far * 25.4:.3f} mm"
    found = check_of(worked({**SLOT, "takeup.slot_x": "7 in", "takeup.slot_y": end}), ROOM)
    assert found.verdict == verdict, found
    assert ("slot ends" in found.reason) == (verdict == CAUTION)


@pytest.mark.parametrize(("share", "verdict"), [(0.5, CAUTION), (0.98, CAUTION), (1.02, GO)])
@pytest.mark.parametrize("kind", ["adjustable centres", "sliding motor"])
def test_centres_of_a_loop_with_an_idler_are_judged_at_their_edge(share, verdict, kind):
    out = share * needed(2, (18.0, 4.0)) / INCH
    found = check_of(worked({**CENTRES, "takeup.kind": kind, "takeup.travel_out": f"{out:.4f} in"}), ROOM)
    assert found.verdict == verdict, found


def test_a_belt_that_the_centres_reach_fits():
    """A61 is an inch longer; nearly two inches of belt come of an inch between the centres. A65 is out of reach."""
    out = {**CENTRES, "takeup.travel_out": "1 in"}
    longer = worked({**out, "marked": "A61"})
    assert check_of(longer, LENGTH).verdict == GO and check_of(worked({**out, "marked": "A65"}), LENGTH).verdict == STOP
    layout = data(longer, "layout", "crank belts")
    assert layout.path.length == pytest.approx(layout.chosen.pitch_length, abs=1e-7)
    x, y = (c[2] / INCH for c in layout.places[:2])
    assert x / y == pytest.approx(18 / 4, rel=1e-9) and 18 < x < 19


def test_what_stands_in_the_way_ends_it():
    """A post whose top is half an inch under what the idler's rim reaches when it has gone all the way."""
    slot = {**SLOT, "takeup.slot_x": "7 in", "takeup.slot_y": "-1 in"}
    assert check_of(worked(slot), ROOM).verdict == GO
    found = check_of(worked(slot, post={"x": "7 in", "y": "1.2 in", "diameter": "1 in"}), ROOM)
    assert found.verdict == CAUTION and "rubs" in found.reason and "post" in found.reason


@pytest.mark.parametrize(
    ("values", "missing"),
    [
        (SLOT, ("takeup.slot_x", "takeup.slot_y")),
        ({**SLOT, "takeup.slot_x": "7 in"}, ("takeup.slot_y",)),
        ({**SLOT, "takeup.idler": ""}, ("takeup.idler",)),
        (CENTRES, ("takeup.travel_out",)),
    ],
)
def test_a_way_that_nobody_wrote_down_is_asked_for(values, missing):
    found = check_of(worked(values), ROOM)
    assert found.verdict == UNDECIDED and found.missing == tuple(f"{AT}.{k}" for k in missing)


def test_a_take_up_without_any_way_says_so():
    for values in (
        {**SLOT, "takeup.slot_x": "7 in", "takeup.slot_y": "-2.88 in"},
        {**CENTRES, "takeup.travel_in": "0 in", "takeup.travel_out": "0 in"},
    ):
        found = check_of(worked(values), ROOM)
        assert found.verdict == CAUTION and "cannot move" in found.reason
    sprung = {"takeup.pivot_x": "", "takeup.pivot_y": "", "takeup.slot_x": "7 in", "takeup.slot_y": "-2.88 in"}
    assert check_of(worked(sprung), ROOM).verdict == STOP


@pytest.mark.parametrize(
    "values",
    [
        {**SLOT, "takeup.slot_x": "7 in", "takeup.slot_y": "-2.6 in"},
        {**SLOT, "takeup.slot_x": "7 in", "takeup.slot_y": "-2.88 in"},
        {**CENTRES, "takeup.travel_out": "0.1 in"},
        {**CENTRES, "takeup.travel_in": "0 in", "takeup.travel_out": "0 in"},
    ],
)
def test_a_longer_way_is_offered_and_is_enough(values):
    results = work_up(worked(values).build)
    cures = prove(results, ROOM)
    assert cures and cures[0].verdict_after == GO
    assert check_of(work_up(applied(results.build, cures[0].changes)), ROOM).verdict == GO
    assert all(text in cures[0].words for text in map(str, cures[0].changes.values()))


@pytest.mark.parametrize(
    ("y", "gap"), [("8.5 in", 0.0), ("8.75 in", 0.25), ("9 in", 0.5), ("220 mm", 220 / 25.4 - 8.5)]
)
def test_an_idler_that_stays_keeps_clear_of_bodies_too(y, gap):
    """K of 4 in at (9, 5.5) presses the tight strand down; a round body of 2 in stands over it: y - 5.5 - 2 - 1."""
    build = load(DEMO).with_values({f"{AT}.pulley": ("E", "I", "J", "K"), f"{AT}.body": ("bracket",)})
    key, body = f"{AT}.pulley[K]", f"{AT}.body[bracket]"
    idler = {"x": "9 in", "y": "5.5 in", "diameter": "4 in", "measured_as": "outside", "side": "outside"}
    values = {f"{key}.{k}": v for k, v in idler.items()} | {f"{key}.surface": "flat"}
    values |= {f"{body}.x": "9 in", f"{body}.y": y, f"{body}.diameter": "2 in"}
    layout = data(work_up(build.with_values(values), ("layout",)), "layout", "crank belts")
    assert layout.least_gap / INCH == pytest.approx(gap, abs=1e-6)
    assert check_of(work_up(build.with_values(values), ("layout",)), CLEAR).verdict == (
        STOP if gap <= 1e-9 else GO if gap >= 0.25 * 0.997 else CAUTION
    )

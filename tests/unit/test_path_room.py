"""Clearances, infeasible layouts in words, and tensioner positions round the belt path."""

import numpy as np
import pytest
from jackshaft.mechanics import clearance as C
from jackshaft.mechanics import infeasible as M
from jackshaft.mechanics import path as P
from jackshaft.mechanics import takeup as K
from shapely.geometry import LineString, Point, Polygon

INCH = 0.0254
# The belts of the feed-wagon auger; expected figures: independent calculation of the build.
NAMES = ("E", "I", "J", "K")
X = np.array([0.0, 7.0, 18.0]) * INCH
Y = np.array([0.0, -2.88, 4.0]) * INCH
R = np.array([2.325, 2.58, 5.425]) * INCH
INSIDE = np.array([True, False, True])


def some_loops(seed=1, count=60):
    rng = np.random.default_rng(seed)
    x, y = X + rng.uniform(-0.05, 0.05, (count, 3)), Y + rng.uniform(-0.05, 0.05, (count, 3))
    found = P.path_si(x, y, R, INSIDE)
    ok = found.reason == P.OK
    assert ok.sum() > 20
    return x[ok], y[ok], P.path_si(x[ok], y[ok], R, INSIDE)


def loop_of(x, y, r, inside, found, *, rim=None, **more):
    return C.Loop(x=x, y=y, r=r, rim=r if rim is None else rim, inside=inside, found=found, **more)


def gaps_of(loop, bodies=()):
    """The gaps by what they are between."""
    return {(g.what, g.one, g.other, g.two): g.gap for g in C.loop_gaps_si(loop, bodies)}


def belt_band(x, y, r, found, inner, outer, ccw=True):
    """The belt as a plane ring: its line set off to both sides, by another library."""
    start = P.tangents_si(x, y, r, found)
    rings = []
    for off in (outer, -inner):
        points = []
        for i in range(len(x)):
            begin = np.arctan2(start[3][i - 1] - y[i], start[2][i - 1] - x[i])
            angle = begin + found.turn[i] * np.linspace(0.0, found.wrap[i], 2001)
            out = off * (found.turn[i] if ccw else -found.turn[i])
            points += list(zip(x[i] + (r[i] + out) * np.cos(angle), y[i] + (r[i] + out) * np.sin(angle), strict=True))
        rings.append(Polygon(points))
    return rings[0].difference(rings[1])


class Body:
    def __init__(self, x, y, radius=None, corners=None):
        self.x, self.y, self.radius, self.corners = x, y, radius, corners


def test_strand_gaps_equal_a_general_geometry_library():
    """With no thickness and rims on the belt line, a strand's gap is a line's distance to a disc."""
    x, y, found = some_loops()
    ends = P.tangents_si(x, y, R, found)
    table = gaps_of(loop_of(x, y, R, INSIDE, found))
    for k in range(len(x)):
        for i in range(3):
            strand = LineString([(ends[0][k, i], ends[1][k, i]), (ends[2][k, i], ends[3][k, i])])
            for j in range(3):
                if j in (i, (i + 1) % 3):
                    assert ("strand", i, "pulley", j) not in table
                else:
                    want = strand.distance(Point(x[k, j], y[k, j])) - R[j]
                    assert table["strand", i, "pulley", j][k] == pytest.approx(want, abs=1e-12)
    assert table["pulley", 1, "pulley", 0] == pytest.approx(
        np.hypot(x[:, 1] - x[:, 0], y[:, 1] - y[:, 0]) - R[0] - R[1]
    )


@pytest.mark.parametrize("ccw", [True, False])
def test_a_body_is_kept_from_rims_strands_and_the_belt_on_its_wraps(ccw):
    """Against the belt drawn as a band: rims below the belt line, belt 2 mm outward and 6 mm inward."""
    inner, outer, way = 0.006, 0.002, 1 if ccw else -1
    rim = R - np.where(INSIDE, 0.0, outer)
    found = P.path_si(X, way * Y, R, INSIDE, ccw)
    band = belt_band(X, way * Y, R, found, inner, outer, ccw)
    rims = [Point(a, b).buffer(c, 2000) for a, b, c in zip(X, way * Y, rim, strict=True)]
    rng = np.random.default_rng(3)
    seen = set()
    for _ in range(300):
        px, py, size = rng.uniform(-0.15, 0.65), rng.uniform(-0.2, 0.3), rng.uniform(0.002, 0.03)
        loop = loop_of(X, way * Y, R, INSIDE, found, rim=rim, ccw=ccw, inner=inner, outer=outer)
        found_gaps = {k: float(g) for k, g in gaps_of(loop, [Body(px, py, size)]).items() if k[2] == "body"}
        least = min(found_gaps, key=found_gaps.get)
        want = min(Point(px, py).distance(part) for part in (band, *rims)) - size
        if want > 0:
            assert found_gaps[least] == pytest.approx(want, abs=2e-6)
            seen.add(least[0])
        corners = np.array([px, py]) + size * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
        box = gaps_of(loop, [Body(px, py, corners=corners)])
        near = min(Polygon(corners).distance(part) for part in (band, *rims))
        got = min(float(g) for k, g in box.items() if k[2] == "body")
        # a strand's thicker side is taken on both of its sides
        assert near - (inner - outer) - 2e-6 <= got <= near + 2e-6 or near == 0.0 >= got
    assert seen == {"strand", "pulley"}


def test_strands_of_one_loop_are_kept_from_each_other():
    """Five pulleys, two of them side by side on the back: the strands to and from those face each other outside."""
    x5, y5 = np.array([0.0, 0.4, 0.6, 1.0, 0.5]), np.array([0.0, -0.06, -0.06, 0.0, 0.25])
    r5, in5 = np.full(5, 0.05), np.array([True, False, False, True, True])
    found = P.path_si(x5, y5, r5, in5)
    ends = P.tangents_si(x5, y5, r5, found)
    table = gaps_of(loop_of(x5, y5, r5, in5, found, inner=0.004, outer=0.001))
    lines = [LineString([(ends[0][i], ends[1][i]), (ends[2][i], ends[3][i])]) for i in range(5)]
    for i in range(5):
        for k in range(i):
            got = table.get(("strand", k, "strand", i), np.inf)
            if {k, (k + 1) % 5} & {i, (i + 1) % 5}:
                assert got == np.inf
            else:
                thick = 0.002 if (k, i) == (0, 2) else 0.008
                assert got == pytest.approx(lines[i].distance(lines[k]) - thick, abs=1e-12)


# Two outside idlers side by side: the strand that runs to the first has the second on its outer side.
TWO_X, TWO_Y = np.array([0.0, 0.4, 0.6, 1.0, 0.5]), np.array([0.0, -0.06, -0.06, 0.0, 0.6])
TWO_R, TWO_IN = np.full(5, 0.05), np.array([True, False, False, True, True])


@pytest.mark.parametrize("ccw", [True, False])
def test_thickness_comes_off_on_the_side_that_faces_the_pulley(ccw):
    x, y = TWO_X, TWO_Y if ccw else -TWO_Y
    found = P.path_si(x, y, TWO_R, TWO_IN, ccw)
    assert found.reason == P.OK
    bare = gaps_of(loop_of(x, y, TWO_R, TWO_IN, found, ccw=ccw))
    for thick, pulley, lost in (
        ({"inner": 0.005}, 2, 0.0),
        ({"outer": 0.005}, 2, 0.005),
        ({"inner": 0.005}, 4, 0.005),
        ({"outer": 0.005}, 4, 0.0),
    ):
        # rims that stand out over the belt, so that only the strand grows
        rim = TWO_R + 0.006
        loop = loop_of(x, y, TWO_R, TWO_IN, found, rim=rim, ccw=ccw, **thick)
        at = ("strand", 0, "pulley", pulley)
        assert bare[at] - 0.006 - gaps_of(loop)[at] == pytest.approx(lost, abs=1e-12)


def test_a_strand_through_a_pulley_has_a_gap_below_nought():
    x, y = np.array([0.0, 1.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0, 1.0])
    r = np.full(4, 0.1)
    found = P.path_si(x, y, r, np.ones(4, bool))
    body = Body(0.5, -0.05, 0.1)
    assert gaps_of(loop_of(x, y, r, np.ones(4, bool), found), [body])["strand", 0, "body", 0] < 0


def test_strand_crossings_equal_a_general_geometry_library():
    rng = np.random.default_rng(8)
    x, y, r = rng.uniform(0, 1, (3000, 5)), rng.uniform(0, 1, (3000, 5)), rng.uniform(0.02, 0.1, (3000, 5))
    inside = rng.random((3000, 5)) > 0.4
    found = P.path_si(x, y, r, inside)
    usable = np.flatnonzero((found.reason == P.OK) | (found.reason == P.STRANDS_CROSS))[:700]
    ends = P.tangents_si(x, y, r, found)
    cross = C.strands_cross_si(*ends, found, r)
    seen = set()
    for k in usable:
        lines = [LineString([(ends[0][k, i], ends[1][k, i]), (ends[2][k, i], ends[3][k, i])]) for i in range(5)]
        want = any(lines[i].crosses(lines[j]) for i in range(5) for j in range(i))
        assert cross[k] == want
        seen.add((bool(want), int(found.reason[k])))
    # Loops that turn once and yet cross themselves are in the sample: the turning alone would pass them.
    assert {(True, P.OK), (False, P.OK)} <= seen


def test_straight_bodies_equal_a_general_geometry_library():
    x, y, found = some_loops(seed=5)
    ends = P.tangents_si(x, y, R, found)
    corners = np.array([(0.20, -0.02), (0.26, 0.01), (0.24, 0.09), (0.19, 0.05)])
    body, plate = Polygon(corners), corners[:2]
    straight = C.strand_polygon_gaps_si(*ends, corners[:, 0], corners[:, 1], thick=0.003)
    edge = C.strand_polygon_gaps_si(*ends, plate[:, 0], plate[:, 1])
    for k in range(len(x)):
        for i in range(3):
            strand = LineString([(ends[0][k, i], ends[1][k, i]), (ends[2][k, i], ends[3][k, i])])
            assert straight[k, i] == pytest.approx(strand.distance(body) - 0.003, abs=1e-12)
            assert edge[k, i] == pytest.approx(strand.distance(LineString(plate)), abs=1e-12)


def test_a_strand_wholly_inside_a_body_is_no_room():
    gap = C.strand_polygon_gaps_si(
        np.array([0.4]),
        np.array([0.5]),
        np.array([0.6]),
        np.array([0.5]),
        np.array([0.0, 1.0, 1.0, 0.0]),
        np.array([0.0, 0.0, 1.0, 1.0]),
    )
    assert gap == pytest.approx(0.0)


def words(x, y, r, inside, **more):
    found = P.path_si(np.array(x), np.array(y), np.array(r), np.array(inside, bool))
    names = ("drive", "idler", "driven")[: len(x)] if len(x) < 4 else NAMES
    return M.infeasible_si(names, (x, y, r), found, **more)


def test_a_layout_that_works_is_not_infeasible():
    assert words(X, Y, R, INSIDE) is None


def test_infeasible_layouts_name_the_pulleys_and_the_amount():
    over = words([0, 0.2, 0.1], [0, 0, 0.05], [0.06, 0.06, 0.06], [1, 1, 1], system="metric")
    assert over.pulleys in (("drive", "driven"), ("idler", "driven"))
    assert over.amount == pytest.approx(0.12 - np.hypot(0.1, 0.05))
    assert "overlap" in over.words and "mm" in over.words and "in " not in over.words.split("mm")[0][-6:]
    reach = words([0, 0.11, 0.3], [0, 0, 0.2], [0.06, 0.06, 0.05], [1, 0, 1])
    assert reach.pulleys == ("drive", "idler") and reach.amount == pytest.approx(0.01)
    loose = words([0, 0.2, 0.4], [0, 0.02, 0], [0.1, 0.03, 0.1], [1, 1, 1])
    assert loose.pulleys == ("idler",) and loose.amount == pytest.approx(0.1 + 0.02 - 0.03)
    lost = words([0, np.nan], [0, 0], [0.1, 0.1], [1, 1])
    assert lost.pulleys == ("idler",)
    crossed = words([0, 0.4], [0, 0], [0.04, 0.08], [1, 0])
    assert "crossed" in crossed.cure
    order = words([0, 0.2, 0.4], [0, 0.3, 0], [0.05] * 3, [1, 1, 1])
    assert set(order.pulleys) == {"drive", "idler", "driven"} and "other way" in order.words


def test_the_cure_of_a_loose_pulley_is_the_smallest_move():
    x, y, r, inside = [0, 0.2, 0.4], [0, 0.02, 0], [0.1, 0.03, 0.1], [1, 1, 1]
    need = words(x, y, r, inside).amount
    for share, good in ((0.999, False), (1.1, True)):
        assert (words(x, [0, 0.02 - share * need, 0], r, inside) is None) == good


def test_every_bad_layout_of_a_batch_has_words():
    rng = np.random.default_rng(12)
    x, y, r = rng.uniform(0, 1, (400, 4)), rng.uniform(0, 1, (400, 4)), rng.uniform(0.02, 0.15, (400, 4))
    inside = rng.random((400, 4)) > 0.3
    for k in range(400):
        found = P.path_si(x[k], y[k], r[k], inside[k])
        why = M.infeasible_si(NAMES, (x[k], y[k], r[k]), found)
        assert (why is None) == (found.reason == P.OK)
        assert why is None or (why.words and why.cure and set(why.pulleys) <= set(NAMES))


ARM = K.Arm(13.0 * INCH, -6.0 * INCH, float(np.hypot(6.0, 3.12)) * INCH)


def demo_loop(index=1):
    return P.with_pulley_moved_si(X, Y, R, INSIDE, index)


def test_every_position_found_makes_the_length():
    wanted = np.array([62.0, 62.09, 63.1, 64.0, 40.0]) * INCH
    got = K.positions_si(demo_loop(), ARM, wanted)
    assert set(got.target) == {0, 1, 2, 3}
    assert got.path.length == pytest.approx(wanted[got.target], abs=1e-12)
    assert np.hypot(got.x - ARM.pivot_x, got.y - ARM.pivot_y) == pytest.approx(ARM.length)


def test_no_position_is_missed_against_a_fine_scan():
    scan = np.linspace(-np.pi, np.pi, 20001)
    px, py, _, _ = K.point_on_si(ARM, scan)
    length = demo_loop()(px, py)[0].length
    for wanted in np.linspace(np.nanmin(length) * 1.0001, np.nanmax(length) * 0.999, 23):
        crossings = np.sum(np.diff(np.sign(length - wanted)) != 0) - np.sum(np.isnan(np.diff(np.sign(length - wanted))))
        assert len(K.positions_si(demo_loop(), ARM, [wanted]).travel) == crossings


def test_two_positions_near_the_turning_point_are_both_found():
    # a pulley on an arm across the loop: the path has its longest where the arm points straight out
    x, y, r = np.array([0.0, 0.5, 1.0]), np.array([0.0, 0.4, 0.0]), np.array([0.1, 0.05, 0.1])
    loop = P.with_pulley_moved_si(x, y, r, np.array([True, True, True]), 1, ccw=False)
    arm = K.Arm(0.5, 0.1, 0.3)
    coarse = K.positions_si(loop, arm, [2.4])
    assert len(K.positions_si(loop, arm, [coarse.longest - 1e-9], nodes=31).travel) == 2


def test_the_demo_arm_stands_where_the_build_says():
    got = K.positions_si(demo_loop(), ARM, [float(P.path_si(X, Y, R, INSIDE).length)])
    nearest = np.argmin(np.hypot(got.x - X[1], got.y - Y[1]))
    assert np.hypot(got.x - X[1], got.y - Y[1])[nearest] < 1e-7


def test_stretch_left_and_slack_reach_the_ends_of_the_piece():
    got = K.positions_si(demo_loop(), ARM, [63.0 * INCH])
    assert (got.stretch_left > 0).all() and (got.slack_to_fit > 0).all()
    assert got.longest == pytest.approx(63.0 * INCH + got.stretch_left.max())
    assert got.shortest == pytest.approx(63.0 * INCH - got.slack_to_fit.max())


def test_slot_and_moving_shaft_equal_the_closed_form():
    from jackshaft.mechanics import twopulley as T

    x, y, r = np.array([0.0, 0.6]), np.zeros(2), np.array([0.05, 0.1575])
    loop = P.with_pulley_moved_si(x, y, r, np.array([True, True]), 1)
    lengths = np.array([1.8, 1.9, 2.0])
    got = K.positions_si(loop, K.Slot(0.5, 0.0, 0.7, 0.0), lengths)
    want = T.centre_distance.si(lengths, first=0.1, second=0.315)
    assert got.x == pytest.approx(want, abs=1e-9)
    assert got.rate == pytest.approx(2 * np.cos(np.arcsin(0.1075 / want)))


def test_a_length_out_of_reach_has_no_position_but_the_reach_is_told():
    got = K.positions_si(demo_loop(), ARM, [1.2, 3.0])
    assert len(got.travel) == 0
    assert 1.2 < got.shortest < got.longest < 3.0
    nowhere = K.positions_si(demo_loop(), K.Slot(18 * INCH, 4.0 * INCH, 18.1 * INCH, 4.0 * INCH), [2.2])
    assert np.isnan(nowhere.shortest) and len(nowhere.travel) == 0


def test_a_slot_with_one_end_is_refused():
    with pytest.raises(ValueError):
        K.point_on_si(K.Slot(0.1, 0.1, 0.1, 0.1), 0.0)


def test_take_up_gains_twice_the_sine_of_half_the_wrap():
    found = P.path_si(X, Y, R, INSIDE)
    gx, gy = P.slope_si(found)
    got = K.take_up_rate_si(demo_loop(), X[1], Y[1], gx[1], gy[1])
    assert got.length == pytest.approx(2 * np.sin(found.wrap[1] / 2))
    ahead = P.path_si(X + [0, 1e-4, 0] * gx / np.hypot(gx, gy), Y + [0, 1e-4, 0] * gy / np.hypot(gx, gy), R, INSIDE)
    assert got.wrap == pytest.approx((ahead.wrap - found.wrap) / 1e-4, rel=2e-2, abs=1e-3)
    # Total turning stays one revolution, so that wraps gained and lost balance.
    assert np.sum(found.turn * got.wrap) == pytest.approx(0.0, abs=1e-6)

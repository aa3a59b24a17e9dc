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


def test_gap_between_pulleys_is_the_distance_less_both_radii():
    gaps = C.pulley_gaps_si(X, Y, R)
    assert gaps[0, 1] / INCH == pytest.approx(np.hypot(7.0, 2.88) - 2.325 - 2.58)
    assert np.isinf(np.diag(gaps)).all()


def test_strand_gaps_equal_a_general_geometry_library():
    x, y, found = some_loops()
    ends = P.tangents_si(x, y, R, found)
    table = C.strand_pulley_gaps_si(ends[:2], found, (x, y, R)).table
    for k in range(len(x)):
        for i in range(3):
            strand = LineString([(ends[0][k, i], ends[1][k, i]), (ends[2][k, i], ends[3][k, i])])
            for j in range(3):
                if j in (i, (i + 1) % 3):
                    assert np.isinf(table[k, i, j])
                else:
                    assert table[k, i, j] == pytest.approx(strand.distance(Point(x[k, j], y[k, j])) - R[j], abs=1e-12)


# Two outside idlers side by side: the strand that runs to the first has the second on its outer side.
TWO_X, TWO_Y = np.array([0.0, 0.4, 0.6, 1.0, 0.5]), np.array([0.0, -0.06, -0.06, 0.0, 0.6])
TWO_R, TWO_IN = np.full(5, 0.05), np.array([True, False, False, True, True])


@pytest.mark.parametrize("ccw", [True, False])
def test_thickness_comes_off_on_the_side_that_faces_the_pulley(ccw):
    x, y = TWO_X, TWO_Y if ccw else -TWO_Y
    found = P.path_si(x, y, TWO_R, TWO_IN, ccw)
    assert found.reason == P.OK
    ax, ay, _, _ = P.tangents_si(x, y, TWO_R, found)
    bare = C.strand_pulley_gaps_si((ax, ay), found, (x, y, TWO_R), ccw)
    assert bare.least == pytest.approx(bare.table.min())
    for thick, pulley, lost in (
        ({"inner": 0.005}, 2, 0.0),
        ({"outer": 0.005}, 2, 0.005),
        ({"inner": 0.005}, 4, 0.005),
        ({"outer": 0.005}, 4, 0.0),
    ):
        with_belt = C.strand_pulley_gaps_si((ax, ay), found, (x, y, TWO_R), ccw, **thick)
        assert bare.table[0, pulley] - with_belt.table[0, pulley] == pytest.approx(lost, abs=1e-12)
        assert with_belt.least == pytest.approx(with_belt.table.min())


def test_a_strand_through_a_pulley_has_a_gap_below_nought():
    x, y = np.array([0.0, 1.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0, 1.0])
    r = np.full(4, 0.1)
    found = P.path_si(x, y, r, np.ones(4, bool))
    ax, ay, _, _ = P.tangents_si(x, y, r, found)
    moved = C.strand_pulley_gaps_si((ax, ay), found, (x + [0, 0, -0.5, 0], y + [0, 0, -1.1, 0], r))
    assert moved.table[0, 2] < 0 and moved.least < 0


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


def test_bodies_round_and_straight_equal_a_general_geometry_library():
    x, y, found = some_loops(seed=5)
    ends = P.tangents_si(x, y, R, found)
    corners = np.array([(0.20, -0.02), (0.26, 0.01), (0.24, 0.09), (0.19, 0.05)])
    body, plate = Polygon(corners), corners[:2]
    discs = np.array([0.1, 0.3]), np.array([0.02, 0.35]), np.array([0.02, 0.05])
    near = C.strand_circle_gaps_si(ends[:2], found, discs)
    straight = C.strand_polygon_gaps_si(*ends, corners[:, 0], corners[:, 1], thick=0.003)
    edge = C.strand_polygon_gaps_si(*ends, plate[:, 0], plate[:, 1])
    for k in range(len(x)):
        for i in range(3):
            strand = LineString([(ends[0][k, i], ends[1][k, i]), (ends[2][k, i], ends[3][k, i])])
            for m in range(2):
                want = strand.distance(Point(discs[0][m], discs[1][m])) - discs[2][m]
                assert near[k, i, m] == pytest.approx(want, abs=1e-12)
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

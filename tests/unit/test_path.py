"""Belt path: closed forms, independent geometry, identities, reasons, and the demo build's figures."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jackshaft.mechanics import path as P
from jackshaft.mechanics import twopulley as T
from shapely.geometry import Point
from shapely.ops import unary_union

INCH = 0.0254
# The belts of the feed-wagon auger; expected figures: independent calculation of the build.
X = np.array([0.0, 7.0, 18.0]) * INCH
Y = np.array([0.0, -2.88, 4.0]) * INCH
R = np.array([2.325, 2.58, 5.425]) * INCH
INSIDE = np.array([True, False, True])


def random_loops(count, pulleys, seed=7, mixed=False):
    """Layouts that go round: pulleys on a wobbly ring in order of angle, some pressed in from outside."""
    rng = np.random.default_rng(seed)
    angle = (np.arange(pulleys) + rng.uniform(-0.3, 0.3, (count, pulleys))) * 2 * np.pi / pulleys
    far = rng.uniform(0.8, 1.6, (count, pulleys))
    inside = np.ones((count, pulleys), bool)
    if mixed:
        inside[:, 1] = False
        far[:, 1] = rng.uniform(0.7, 1.1, count)
    r = rng.uniform(0.05, 0.25, (count, pulleys))
    return far * np.cos(angle), far * np.sin(angle), r, inside


def test_demo_stage_one_meets_the_independent_calculation():
    found = P.path_si(X, Y, R, INSIDE)
    assert found.reason == P.OK
    assert found.length / INCH == pytest.approx(62.09, abs=0.005)
    assert np.degrees(found.wrap) == pytest.approx([175.8, 24.1, 208.3], abs=0.06)
    assert list(found.turn) == [1, -1, 1]


def test_public_call_takes_shop_text_and_agrees_with_the_float_body():
    loop = P.belt_path(
        ["0 in", "7 in", "18 in"],
        ["0 in", "-2.88 in", "4 in"],
        ["4.65 in", "5.16 in", "10.85 in"],
        INSIDE,
    )
    assert loop.length.to("in").magnitude == pytest.approx(62.09, abs=0.005)
    metric = P.belt_path(
        ["0 mm", "177.8 mm", "457.2 mm"],
        ["0 mm", "-73.152 mm", "101.6 mm"],
        ["118.11 mm", "131.064 mm", "275.59 mm"],
        INSIDE,
    )
    assert metric.length.to("m").magnitude == pytest.approx(float(P.path_si(X, Y, R, INSIDE).length), rel=1e-12)


def test_public_call_refuses_bare_numbers():
    with pytest.raises(TypeError):
        P.belt_path(X, Y, R, INSIDE)


@pytest.mark.parametrize("crossed", [False, True])
def test_two_pulleys_equal_the_closed_form(crossed):
    rng = np.random.default_rng(3)
    r = rng.uniform(0.02, 0.2, (500, 2))
    away = r.sum(axis=1) * rng.uniform(1.05, 6.0, 500)
    x = np.stack([np.zeros(500), away * np.cos(1.1)], axis=1)
    y = np.stack([np.zeros(500), away * np.sin(1.1)], axis=1)
    found = P.path_si(x, y, r, [True, not crossed], crossed=crossed)
    closed = T.two_pulleys.si(away, first=2 * r[:, 0], second=2 * r[:, 1], crossed=crossed)
    assert (found.reason == P.OK).all()
    assert found.length == pytest.approx(closed.length, rel=1e-12)
    assert found.wrap[:, 0] == pytest.approx(closed.wrap_first, rel=1e-10)
    assert found.wrap[:, 1] == pytest.approx(closed.wrap_second, rel=1e-10)
    assert found.span[:, 0] == pytest.approx(closed.span, rel=1e-10)


@pytest.mark.parametrize("crossed", [False, True])
def test_centre_distance_is_the_inverse_of_length(crossed):
    rng = np.random.default_rng(4)
    d = rng.uniform(0.05, 0.5, (2, 400))
    centres = 0.5 * d.sum(axis=0) * rng.uniform(1.001, 8.0, 400)
    length = T.two_pulleys.si(centres, first=d[0], second=d[1], crossed=crossed).length
    assert T.centre_distance.si(length, first=d[0], second=d[1], crossed=crossed) == pytest.approx(centres, rel=1e-9)


def test_centre_distance_of_a_belt_too_short_is_not_a_number():
    assert np.isnan(T.centre_distance.si(0.5, first=0.2, second=0.3))


def test_metric_stage_meets_the_independent_calculation():
    """Datum 100 to 315 mm at 600 mm, and centres for three stock lengths (the compost trommel)."""
    stage = T.two_pulleys.si(0.6, first=0.1, second=0.315)
    assert stage.length == pytest.approx(1.871, abs=5e-4)
    assert np.degrees(stage.wrap_first) == pytest.approx(159.4, abs=0.1)
    centres = T.centre_distance.si(np.array([1.8, 1.9, 2.0]), first=0.1, second=0.315)
    assert centres * 1000 == pytest.approx([563.8, 614.6, 665.4], abs=0.06)


def test_mixer_stages_meet_the_independent_calculation():
    """Independent calculation of the drum mixer: 69.46 in, 143.6 deg; 75.8 in, 136.0 deg."""
    for centres, small, large, length, wrap in (
        (20, 2.5, 15, 69.46, 143.6),
        (20, 3, 18, 75.8, 136.0),
    ):
        got = T.two_pulleys.si(centres * INCH, first=small * INCH, second=large * INCH)
        assert got.length / INCH == pytest.approx(length, rel=1e-3)
        assert np.degrees(got.wrap_first) == pytest.approx(wrap, abs=0.06)


@settings(max_examples=300, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.1, 1.0), st.floats(0.02, 0.2)), min_size=3, max_size=7),
    st.integers(0, 2**16),
)
def test_same_side_loops_equal_the_hull_of_circles(pulleys, seed):
    """A taut belt round pulleys that all stand inside is the convex hull of their circles (shapely)."""
    spread = np.random.default_rng(seed).uniform(0.0, 2 * np.pi / len(pulleys) * 0.6, len(pulleys))
    angle = np.arange(len(pulleys)) * 2 * np.pi / len(pulleys) + spread
    far = np.array([p[0] for p in pulleys])
    x, y, r = far * np.cos(angle), far * np.sin(angle), np.array([p[1] for p in pulleys])
    found = P.path_si(x, y, r, np.ones(len(pulleys), bool))
    if found.reason != P.OK:
        return
    # A strand that runs through a pulley on the loop's far side is the clearance's to find: the hull goes round it.
    past = np.subtract.outer(x, x) * found.uy - np.subtract.outer(y, y) * found.ux + np.subtract.outer(r, r)
    if (past > 1e-9).any():
        return
    circles = [Point(a, b).buffer(c, quad_segs=1024) for a, b, c in zip(x, y, r, strict=True)]
    hull = unary_union(circles).convex_hull
    assert float(found.length) == pytest.approx(hull.length, rel=3e-6)


def test_thousands_of_same_side_loops_equal_the_hull():
    checked = 0
    for pulleys in (3, 4, 5):
        x, y, r, inside = random_loops(700, pulleys, seed=pulleys)
        found = P.path_si(x, y, r, inside)
        for k in np.flatnonzero(found.reason == P.OK):
            parts = [Point(a, b).buffer(c, quad_segs=256) for a, b, c in zip(x[k], y[k], r[k], strict=True)]
            assert found.length[k] == pytest.approx(unary_union(parts).convex_hull.length, rel=3e-5)
            checked += 1
    assert checked > 1000


def pulled_string(x, y, r, turn, pegs):
    """Length of a string pulled tight round circles of pegs: it knows no tangents, only pegs it presses on.

    A peg at which the string would bend the wrong way is let go. Pegs let go too early (because a wrong one
    further on was still held) come back in ever shorter rows at the ends of what is left.
    """
    count, step = len(x), 2 * np.pi / pegs
    before = np.arctan2(y - np.roll(y, 1), x - np.roll(x, 1))
    after = np.roll(before, -1)
    bend = (turn * (after - before) + np.pi) % (2 * np.pi) - np.pi
    low, high = np.zeros(count, int), np.maximum(bend / step, 0).astype(int)
    spare = int(1.3 / step)
    while spare:
        loop = [(k, n) for k in range(count) for n in range(low[k] - spare, high[k] + spare + 1)]
        at = {
            item: (x[item[0]] + r[item[0]] * np.cos(a), y[item[0]] + r[item[0]] * np.sin(a))
            for item in loop
            for a in [before[item[0]] + turn[item[0]] * (item[1] * step - np.pi / 2)]
        }
        quiet = 0
        while quiet < 2:
            kept = []
            for item in loop + loop[:1]:
                while len(kept) > 1:
                    (ax, ay), (bx, by), (cx, cy) = at[kept[-2]], at[kept[-1]], at[item]
                    if turn[kept[-1][0]] * ((bx - ax) * (cy - by) - (by - ay) * (cx - bx)) > 0:
                        break
                    kept.pop()
                kept.append(item)
            kept = kept[:-1]
            quiet = quiet + 1 if len(kept) == len(loop) else 0
            loop = kept[len(kept) // 2 :] + kept[: len(kept) // 2]
        for k in range(count):
            held = [n for j, n in loop if j == k] or [(low[k] + high[k]) // 2]
            low[k], high[k] = min(held), max(held)
        spare = spare * 2 // 3
    xy = np.array([at[item] for item in loop])
    return np.sum(np.hypot(*(np.roll(xy, -1, axis=0) - xy).T))


def test_mixed_loops_equal_a_string_pulled_tight():
    """Inside and outside pulleys together, against a numerical shortest line."""
    x, y, r, inside = random_loops(900, 5, seed=11, mixed=True)
    found = P.path_si(x, y, r, inside)
    good = np.flatnonzero(found.reason == P.OK)[:100]
    assert len(good) == 100
    for k in good:
        assert pulled_string(x[k], y[k], r[k], found.turn[k], pegs=300) == pytest.approx(found.length[k], rel=5e-6)


def test_demo_stage_equals_a_string_pulled_tight():
    found = P.path_si(X, Y, R, INSIDE)
    assert pulled_string(X, Y, R, found.turn, pegs=6000) == pytest.approx(float(found.length), rel=3e-8)


@pytest.mark.parametrize("mixed", [False, True])
def test_total_turning_is_one_revolution(mixed):
    x, y, r, inside = random_loops(2000, 6, mixed=mixed)
    found = P.path_si(x, y, r, inside)
    ok = found.reason == P.OK
    assert ok.sum() > 300
    assert np.sum(found.turn * found.wrap, axis=-1)[ok] == pytest.approx(2 * np.pi, abs=1e-9)


@pytest.mark.parametrize("mixed", [False, True])
def test_parallel_lines_differ_by_two_pi_times_their_distance(mixed):
    """Whatever the idlers: a line moved outwards grows the inside radii and shrinks the outside ones."""
    x, y, r, inside = random_loops(2000, 5, mixed=mixed, seed=2)
    away = 0.004
    near, far = P.path_si(x, y, r, inside), P.path_si(x, y, np.where(inside, r + away, r - away), inside)
    both = (near.reason == P.OK) & (far.reason == P.OK)
    assert both.sum() > 300
    assert (far.length - near.length)[both] == pytest.approx(2 * np.pi * away, abs=1e-12)


def test_parallel_lines_of_a_crossed_belt_are_equally_long():
    one = P.path_si([0, 0.4], [0, 0], [0.04, 0.08], [True, False], crossed=True)
    two = P.path_si([0, 0.4], [0, 0], [0.043, 0.077], [True, False], crossed=True)
    assert one.length == pytest.approx(float(two.length), rel=1e-12)
    assert np.sum(one.turn * one.wrap) == pytest.approx(0.0, abs=1e-12)


@settings(max_examples=60, deadline=None)
@given(st.floats(0, 6.28), st.floats(-5, 5), st.floats(0.2, 5.0))
def test_turning_moving_and_scaling_the_layout_change_nothing_else(angle, shift, scale):
    c, s = np.cos(angle), np.sin(angle)
    found = P.path_si(X, Y, R, INSIDE)
    moved = P.path_si(scale * (c * X - s * Y) + shift, scale * (s * X + c * Y) - shift, scale * R, INSIDE)
    assert moved.length == pytest.approx(scale * float(found.length), rel=1e-9)
    assert moved.wrap == pytest.approx(found.wrap, abs=1e-8)


def test_mirror_image_runs_the_other_way():
    found, mirror = P.path_si(X, Y, R, INSIDE), P.path_si(X, -Y, R, INSIDE, ccw=False)
    assert mirror.reason == P.OK
    assert mirror.length == pytest.approx(float(found.length), rel=1e-12)
    assert list(mirror.turn) == list(-found.turn)


def test_starting_at_another_pulley_changes_nothing():
    for k in range(4):
        a = P.path_si(np.roll(X, k), np.roll(Y, k), np.roll(R, k), np.roll(INSIDE, k))
        assert a.length == pytest.approx(float(P.path_si(X, Y, R, INSIDE).length), rel=1e-13)


def test_a_batch_equals_its_layouts_one_by_one_whatever_the_chunk():
    x, y, r, inside = random_loops(300, 4, mixed=True)
    whole = P.path_si(x, y, r, inside, work=P.work_si(4, 300, chunk=7))
    for k in range(300):
        one = P.path_si(x[k], y[k], r[k], inside[k])
        assert one.reason == whole.reason[k]
        assert np.array_equal(one.length, whole.length[k], equal_nan=True)
        assert np.array_equal(one.wrap, whole.wrap[k], equal_nan=True)


def test_work_arrays_change_nothing_and_must_fit():
    x, y, r, inside = random_loops(50, 4)
    work = P.work_si(4, 60, chunk=7)
    fresh, reused = P.path_si(x, y, r, inside), P.path_si(x, y, r, inside, work=work)
    assert np.array_equal(fresh.wrap, reused.wrap, equal_nan=True)
    assert np.array_equal(fresh.length, reused.length, equal_nan=True)
    P.path_si(2 * x, y, r, inside, work=work)
    assert not np.array_equal(fresh.span, reused.span)
    for wrong in (P.work_si(5, 60), P.work_si(4, 49)):
        with pytest.raises(ValueError, match="work arrays"):
            P.path_si(x, y, r, inside, work=wrong)


def test_no_layouts_give_no_paths():
    found = P.path_si(np.zeros((0, 3)), Y, R, INSIDE)
    assert found.length.shape == (0,) and found.wrap.shape == (0, 3)


def test_leading_dimensions_broadcast():
    x = np.broadcast_to(X, (3, 5, 3)) + np.linspace(0, 0.01, 3)[:, None, None] * [0, 1, 0]
    found = P.path_si(x, Y, R, INSIDE, ccw=np.ones((3, 5), bool))
    assert found.length.shape == (3, 5) and found.wrap.shape == (3, 5, 3)
    assert np.ptp(found.length, axis=1) == pytest.approx(0.0)


def test_strands_touch_their_pulleys_and_lie_along_their_headings():
    x, y, r, inside = random_loops(500, 5, mixed=True)
    found = P.path_si(x, y, r, inside)
    ok = found.reason == P.OK
    ax, ay, bx, by = P.tangents_si(x, y, r, found)
    assert np.hypot(ax - x, ay - y)[ok] == pytest.approx(r[ok])
    assert np.hypot(bx - np.roll(x, -1, -1), by - np.roll(y, -1, -1))[ok] == pytest.approx(np.roll(r, -1, -1)[ok])
    assert np.hypot(found.ux, found.uy)[ok] == pytest.approx(1.0)
    assert np.cos(found.heading)[ok] == pytest.approx(found.ux[ok], abs=1e-12)


def test_slope_equals_a_difference_of_lengths():
    x, y, r, inside = random_loops(200, 5, mixed=True, seed=9)
    found = P.path_si(x, y, r, inside)
    gx, gy = P.slope_si(found)
    step = 1e-6
    for k in range(5):
        push = np.eye(5)[k] * step
        dx = (P.path_si(x + push, y, r, inside).length - P.path_si(x - push, y, r, inside).length) / (2 * step)
        dy = (P.path_si(x, y + push, r, inside).length - P.path_si(x, y - push, r, inside).length) / (2 * step)
        ok = np.isfinite(dx) & np.isfinite(dy)
        assert gx[ok, k] == pytest.approx(dx[ok], abs=1e-7)
        assert gy[ok, k] == pytest.approx(dy[ok], abs=1e-7)
    assert np.hypot(gx, gy)[found.reason == 0] == pytest.approx(2 * np.sin(found.wrap / 2)[found.reason == 0])


BAD = {
    "two pulleys overlap": (P.OVERLAP, [0, 0.2, 0.1], [0, 0, 0.05], [0.06, 0.06, 0.06], [1, 1, 1]),
    "outside pulley too near": (P.NO_REACH, [0, 0.11, 0.3], [0, 0, 0.2], [0.06, 0.06, 0.05], [1, 0, 1]),
    "one pulley within another": (P.NO_REACH, [0, 0.01, 0.3], [0, 0, 0.2], [0.06, 0.02, 0.05], [1, 1, 1]),
    "idler short of the strand": (P.STRANDS_CROSS, [0, 0.2, 0.4], [0, 0.02, 0], [0.1, 0.03, 0.1], [1, 1, 1]),
    "idler just touched": (P.NOT_TOUCHED, [0, 0.2, 0.4], [0, -0.0700001, 0], [0.1, 0.03, 0.1], [1, 1, 1]),
    "idler just short": (P.LIFTED_OFF, [0, 0.2, 0.4], [0, -0.0699, 0], [0.1, 0.03, 0.1], [1, 1, 1]),
    "travel order wrong way": (P.STRANDS_CROSS, [0, 0.2, 0.4], [0, 0.3, 0], [0.05, 0.05, 0.05], [1, 1, 1]),
    "undeclared crossing": (P.STRANDS_CROSS, [0, 0.4], [0, 0], [0.04, 0.08], [1, 0]),
    "missing position": (P.NOT_A_NUMBER, [0, np.nan], [0, 0], [0.04, 0.08], [1, 1]),
    "no radius": (P.NOT_A_NUMBER, [0, 0.4], [0, 0], [0.04, 0.0], [1, 1]),
    "same centre": (P.NO_REACH, [0, 0.0], [0, 0], [0.04, 0.04], [1, 1]),
}


@pytest.mark.parametrize("name", BAD)
def test_impossible_layouts_are_masked_with_their_reason(name):
    reason, x, y, r, inside = BAD[name]
    if name == "idler just touched":
        y = [0, -0.07002, 0]
    found = P.path_si(x, y, r, np.array(inside, bool))
    assert found.reason == reason, P.REASONS[int(found.reason)]
    assert np.isnan(found.length)


def test_a_bad_layout_does_not_disturb_its_neighbours_in_the_batch():
    x = np.array([X, np.full(3, np.nan), X, np.zeros(3)])
    found = P.path_si(x, Y, R, INSIDE)
    assert list(found.reason == P.OK) == [True, False, True, False]
    assert found.length[[0, 2]] == pytest.approx(62.09 * INCH, abs=1e-4)


def test_the_chippers_path_is_too_long_for_its_belt():
    """Independent calculation of the flywheel chipper: 108.8 in of path, 78.7 deg on the driver; line radius of T over
    the rim of 3.0 in by half a B belt."""
    found = P.path_si(
        np.array([0, 19, 1.3]) * INCH,
        np.array([0, 0, 6.2]) * INCH,
        np.array([1.575, 16.80, 1.6]) * INCH,
        np.array([True, True, False]),
    )
    assert found.length / INCH == pytest.approx(108.8, abs=0.1)
    assert np.degrees(found.wrap[0]) == pytest.approx(78.7, abs=0.6)


def test_too_few_pulleys_and_a_crossed_third_are_refused():
    with pytest.raises(ValueError):
        P.path_si([0.0], [0.0], [0.1], [True])
    with pytest.raises(ValueError):
        P.path_si(X, Y, R, INSIDE, crossed=True)

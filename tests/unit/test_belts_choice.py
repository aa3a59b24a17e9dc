"""Idlers tried on every strand, uncertain inputs in one pass, crossed and quarter-turn drives."""

import numpy as np
import pytest
from jackshaft.mechanics import belt_rules as U
from jackshaft.mechanics import belts as B
from jackshaft.mechanics import draws as D
from jackshaft.mechanics import grip as G
from jackshaft.mechanics import idlers as I
from jackshaft.mechanics import path as P

LBF = 4.4482216152605
X, Y, R, INSIDE = np.array([0.0, 0.5]), np.zeros(2), np.array([0.05, 0.15]), np.array([True, True])


def options(strand=0, inside=True, ccw=True, share=0.5, press=0.02, **more):
    return I.idler_options_si(
        P.path_si,
        (X, Y, R, INSIDE),
        strand,
        idler_radius=0.03,
        idler_inside=inside,
        share=share,
        press=press,
        ccw=ccw,
    )


@pytest.mark.parametrize("ccw", [True, False])
@pytest.mark.parametrize("inside", [True, False])
@pytest.mark.parametrize("strand", [0, 1])
def test_an_idler_takes_up_length_at_the_rate_its_press_says(strand, inside, ccw):
    press = np.linspace(0.005, 0.03, 26)
    got = options(strand, inside, ccw, press=press)
    assert (got.reason == 0).all()
    assert (got.gained > 0).all() and (np.diff(got.gained) > 0).all()
    assert got.rate[1:-1] == pytest.approx(np.gradient(got.gained, press)[1:-1], rel=2e-3)


def test_a_back_idler_adds_wrap_to_both_and_an_inside_one_costs_some():
    back, within = options(inside=False), options(inside=True)
    assert (back.wrap_change > 0).all()
    assert (within.wrap_change < 0).all()
    for got in (back, within):
        assert np.sum(got.wrap_change) + (1 if got is within else -1) * got.wrap_idler == pytest.approx(0.0, abs=1e-12)


def test_an_idler_not_pressed_is_not_touched():
    assert (options(press=np.array([-0.001, 0.0])).reason != 0).all()


def test_an_inside_idler_near_the_large_pulley_costs_the_small_one_least():
    """The rule of the trade, from geometry (belt-maintenance, p. 24)."""
    near_large, near_small = (options(share=s).wrap_change[0] for s in (0.75, 0.35))
    assert near_large > near_small


def test_a_loop_that_does_not_go_round_is_refused():
    with pytest.raises(ValueError):
        I.idler_options_si(
            P.path_si, (X, Y, R * 3, INSIDE), 0, idler_radius=0.03, idler_inside=True, share=0.5, press=0.01
        )


def test_the_slack_strand_is_proposed_and_the_better_end():
    found = P.path_si(X, Y, R, INSIDE)
    roles = G.strands_si(np.array([-100.0, 100.0])).role
    strand, near, inside = I.proposed_side_si(roles, found.span, found.wrap, R)
    assert strand == 0 and near == 1 and inside
    little = np.radians([100.0, 260.0])
    assert I.proposed_side_si(roles, found.span, little, R) == (0, 0, False)
    assert I.proposed_side_si(roles, found.span, little, R, back_allowed=False) == (0, 1, True)
    swapped = G.strands_si(np.array([100.0, -100.0])).role
    assert I.proposed_side_si(swapped, found.span, found.wrap, R)[0] == 1
    assert I.proposed_side_si([0, 0], found.span, found.wrap, R) == (None, None, None)


# --- draws ---------------------------------------------------------------------------------------


def test_triangle_has_its_ends_mean_and_share():
    got = D.triangle_si(0.40, 0.5123, 0.5123, count=20000)
    assert 0.40 <= got.min() and got.max() <= 0.5123
    assert got.mean() == pytest.approx((0.40 + 0.5123 + 0.5123) / 3, abs=1e-4)
    spread = D.triangle_si(np.array([0.0, 1.0]), np.array([1.0, 1.0]), np.array([4.0, 1.0]), count=20000)
    assert np.mean(spread[:, 0] < 1.0) == pytest.approx(0.25, abs=2e-3)
    assert (spread[:, 1] == 1.0).all()
    with pytest.raises(ValueError):
        D.triangle_si(1.0, 0.5, 2.0, count=10)


def test_tolerance_is_even_within_its_width():
    got = D.plus_minus_si(np.array([10.0, 20.0]), np.array([1.0, 0.0]), count=10000)
    assert got[:, 0].min() >= 9.0 and got[:, 0].max() <= 11.0
    assert got[:, 0].std() == pytest.approx(1 / np.sqrt(3), rel=1e-3)
    assert (got[:, 1] == 20.0).all()


def test_draws_are_the_same_every_time_and_differ_between_inputs():
    a, again, b = (D.plus_minus_si(0.0, 1.0, count=1000, row=row) for row in (0, 0, 1))
    assert np.array_equal(a, again) and abs(np.corrcoef(a, b)[0, 1]) < 0.1


def test_share_that_holds_against_the_closed_form():
    """Margin proportional to an even input between 0.5 and 1.5: half of the draws reach 1."""
    margin = D.plus_minus_si(1.0, 0.5, count=10000)
    assert D.share_that_holds_si(margin) == pytest.approx(0.5, abs=1e-3)
    assert D.share_that_holds_si(np.array([np.nan, 2.0])) == 0.5


def drivers(inputs, outcome):
    return D.drivers_of_ranks_si(D.ranks_si(inputs), outcome)


def test_drivers_name_what_matters_and_which_way():
    count = 10000
    inputs = np.stack([D.plus_minus_si(1.0, 0.3, count=count, row=k) for k in range(3)] + [np.ones(count)], axis=1)
    got = drivers(inputs, inputs[:, 0] ** 3 / inputs[:, 1] ** 0.5)
    assert np.argmax(got.share) == 0 and got.sign[0] == 1 and got.sign[1] == -1
    assert got.share[2] < 0.01 and got.share[3] == 0
    assert (drivers(inputs, np.ones(count)).share == 0).all()
    assert (drivers(inputs, np.full(count, np.nan)).share == 0).all()


def test_ten_thousand_draws_of_friction_and_load_in_one_pass():
    """The feed-wagon auger: 44 lbf hold at both ends of the friction, so in every draw (independent calculation)."""
    count, inch = 10000, 0.0254
    loop = P.path_si(
        np.array([0, 7, 18]) * inch,
        np.array([0, -2.88, 4]) * inch,
        np.array([2.325, 2.58, 5.425]) * inch,
        np.array([True, False, True]),
    )
    k = D.triangle_si(0.40, 0.5123, 0.5123, count=count)[:, None]
    hold = G.held_strand_si(3, 1, 44 * LBF)
    pulls = 31.6 * LBF * np.array([-1.0, 0, 1.0])
    got = G.grip_si(pulls, loop.wrap, k, hold)
    assert D.share_that_holds_si(got.least) == 1.0
    load = D.plus_minus_si(4.4, 1.6, count=count, row=1)
    hard = G.grip_si(load[:, None] * pulls, loop.wrap, k, hold)
    share = D.share_that_holds_si(hard.least)
    assert 0.3 < share < 0.9
    assert np.argmax(drivers(np.column_stack([k[:, 0], load]), hard.least).share) == 1


# --- rules ---------------------------------------------------------------------------------------


def test_crossed_and_quarter_turn_drives():
    belt = B.section("A", "inch")
    assert U.crossed_drive(belt, 0.1, 0.2, 0.2).why == "the pulleys overlap"
    near, far = U.crossed_drive(belt, 0.24, 0.1, 0.1), U.crossed_drive(belt, 0.26, 0.1, 0.1)
    assert near.allowed is False and "20 belt widths" in near.why and "20 belt widths" not in far.why
    need = 5.5 * (0.3 + belt.top_width)
    assert U.quarter_turn(belt, need, 0.3).allowed and not U.quarter_turn(belt, need - 1e-6, 0.3).allowed
    assert "backwards" in U.quarter_turn(belt, 0.5, 0.3).why

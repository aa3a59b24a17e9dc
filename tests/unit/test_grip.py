"""Grip: torque and energy balance, textbook limits, monotony, traps, and the demo build's figures."""

import numpy as np
import pytest
from closed_forms import groove_coefficient, slack_at_slip, speed_of_most_power, static_tension
from hypothesis import given, settings
from hypothesis import strategies as st
from jackshaft.mechanics import grip as G
from jackshaft.mechanics import path as P
from jackshaft.mechanics import rating as Q
from jackshaft.mechanics import tension as N
from scipy.optimize import brentq

INCH, LBF, HP, RPM = 0.0254, 4.4482216152605, 745.6998715822702, 2 * np.pi / 60
GROOVE, GROOVE_BAD = 0.5123, 0.40
# The belts of the feed-wagon auger; expected figures: independent calculation of the build.
X = np.array([0.0, 7.0, 18.0]) * INCH
Y = np.array([0.0, -2.88, 4.0]) * INCH
R = np.array([2.325, 2.58, 5.425]) * INCH
LOOP = P.path_si(X, Y, R, np.array([True, False, True]))
V = 3000 * RPM * 2.325 * INCH
PULLS = G.pulls_si([0, 0, 3.5 * HP], V, 0)
SPRING = G.held_strand_si(3, 1, 44 * LBF)


def test_feed_wagon_meets_the_independent_calculation():
    """44 lbf hold 5.31 times the work, 3.36 at the bad end; hubs E 120, I 18.4, J 116 lbf."""
    assert PULLS / LBF == pytest.approx([-31.6, 0, 31.6], abs=0.06)
    likely = G.grip_si(PULLS, LOOP.wrap, GROOVE, SPRING)
    assert likely.least == pytest.approx(5.31, rel=5e-3)
    assert likely.limiting == 0
    assert likely.needed / LBF == pytest.approx(44 / 5.31, abs=0.05)
    assert G.grip_si(PULLS, LOOP.wrap, GROOVE_BAD, SPRING).least == pytest.approx(3.36, rel=5e-3)
    assert G.hub_si(likely.net, LOOP.ux, LOOP.uy).size / LBF == pytest.approx([120, 18.4, 116], rel=5e-3)


def test_an_idler_in_the_tight_strand_is_called_out():
    told = G.strands_si(np.array([-30.0, 0.0, 30.0, 0.0]))
    assert list(told.role) == [-1, -1, 1, 1]
    assert list(told.tight_idler) == [False, False, False, True]


def test_start_and_choke_meet_the_independent_calculation():
    """A restart at 1.8 times the work holds 2.95 times, 1.86 at the bad end; a choke at 2.2 times 2.41 and 1.53."""
    cases = G.load_cases_si(PULLS, start=1.8, peak=2.2)
    for friction, holds in ((GROOVE, [2.95, 5.31, 2.41]), (GROOVE_BAD, [1.86, 3.36, 1.53])):
        assert G.grip_si(cases, LOOP.wrap, friction, SPRING).least[:3] == pytest.approx(holds, rel=5e-3)
    twice = G.held_strand_si(3, 1, 2 * 44 * LBF)
    assert G.grip_si(PULLS, LOOP.wrap, GROOVE, twice).least == pytest.approx(2 * 5.31, rel=5e-3)


def test_a_flat_back_with_little_wrap_needs_what_no_belt_survives():
    """The capstan law alone: 25 deg of flat back for 140 N of pull."""
    wrap = np.radians(25.0)
    for friction in (0.30, 0.20):
        hold = G.held_strand_si(2, 0, 1.0)
        got = G.grip_si(np.array([-140.0, 140.0]), np.array([3.0, wrap]), np.array([5.0, friction]), hold)
        assert got.needed == pytest.approx(140 / (np.exp(friction * wrap) - 1), rel=1e-9)
        assert got.needed > 6 * 140


def test_mixer_and_trommel_tensions_meet_the_independent_calculation():
    """109.6 lbf starting: 151.6/42.0 lbf; 286 N with factor 1.3: 377/91 N."""
    for pull, wrap, tight, slack in ((109.6, 143.6, 151.6, 42.0), (286.0, 159.4, 377.0, 91.0)):
        loop = np.array([np.radians(wrap), 3.6])
        need = G.grip_si(np.array([-pull, pull]), loop, GROOVE, G.held_strand_si(2, 0, 1.0)).needed
        assert need == pytest.approx(slack, rel=6e-3)
        assert need + pull == pytest.approx(tight, rel=3e-3)


@pytest.mark.parametrize("static,centrifugal", [(200.0, 0.0), (200.0, 35.0), (90.0, 10.0)])
def test_two_pulleys_with_locked_centres_equal_the_textbook(static, centrifugal):
    """T1 + T2 = 2 T0, and slip at the pull of the standard static-tension formula (shigley, ch. 17)."""
    r = np.array([0.05, 0.15])
    loop = P.path_si([0, 0.5], [0, 0], r, [True, True])
    hold = G.fixed_centres_si(loop.span, loop.wrap, r, static, centrifugal)
    got = G.grip_si(np.array([-60.0, 60.0]), loop.wrap, GROOVE, hold, centrifugal)
    assert got.tension.sum() == pytest.approx(2 * static)
    slip = 60.0 * got.least
    assert static_tension(slip, loop.wrap[0], GROOVE, centrifugal) == pytest.approx(static)
    high, low = got.net.max(), got.net.min()
    at_slip = G.grip_si(np.array([-slip, slip]), loop.wrap, GROOVE, hold, centrifugal)
    assert at_slip.net.max() / at_slip.net.min() == pytest.approx(np.exp(GROOVE * loop.wrap[0]))
    assert high - low == pytest.approx(60.0)


def random_case(seed, pulleys=5):
    rng = np.random.default_rng(seed)
    angle = (np.arange(pulleys) + rng.uniform(-0.3, 0.3, pulleys)) * 2 * np.pi / pulleys
    r = rng.uniform(0.05, 0.2, pulleys)
    loop = P.path_si(np.cos(angle), np.sin(angle), r, np.ones(pulleys, bool))
    pulls = rng.uniform(0, 100, pulleys) * (rng.random(pulleys) > 0.4)
    pulls[0] = 0.0
    pulls[0] = -pulls.sum()
    return loop, r, pulls, rng.uniform(0.2, 0.6, pulleys)


def sprung_arm(loop, arm_x, arm_y, moment):
    """Moments about the pivot of an arm that carries the second pulley: strand in, strand out, spring."""
    lever = arm_x * loop.uy[:2] - arm_y * loop.ux[:2]
    return G.Hold(np.concatenate([lever * [-1.0, 1.0], np.zeros(len(loop.ux) - 2)]), -moment, -moment)


def holds(loop, r, seed, big=900.0):
    ux, uy = loop.ux, loop.uy
    out_x, out_y = ux[1] - ux[0], uy[1] - uy[0]
    return {
        "locked": G.fixed_centres_si(loop.span, loop.wrap, r, big, 20.0),
        "sprung": G.held_strand_si(5, seed % 5, big),
        "arm": sprung_arm(loop, 0.3 * out_y, -0.3 * out_x, -0.3 * big * (out_x**2 + out_y**2)),
        "base": G.sliding_base_si(ux, uy, 1, -out_x, -out_y, big),
    }


@pytest.mark.parametrize("way", ["locked", "sprung", "arm", "base"])
def test_torque_and_power_balance_whatever_keeps_the_belt_tight(way):
    for seed in range(40):
        loop, r, pulls, k = random_case(seed)
        hold = holds(loop, r, seed)[way]
        got = G.grip_si(pulls, loop.wrap, k, hold, 20.0)
        assert got.net - np.roll(got.net, 1) == pytest.approx(pulls)
        assert np.sum(hold.weights * got.net) == pytest.approx(float(hold.total))
        hub = G.hub_si(got.net, loop.ux, loop.uy)
        # The belt as one free body: the forces on all shafts cancel.
        assert hub.x.sum() == pytest.approx(0.0, abs=1e-9) and hub.y.sum() == pytest.approx(0.0, abs=1e-9)
        x, y = np.cos(loop.heading) * 0, np.sin(loop.heading) * 0
        ax, ay, _, _ = P.tangents_si(x, y, r, loop)
        turned = got.net * (ax * loop.uy - ay * loop.ux)
        into = np.roll(got.net, 1) * (loop.turn * r)
        assert turned - into == pytest.approx(pulls * r * loop.turn)


def test_arm_and_base_forces_are_the_hub_force_of_their_pulley():
    loop, r, pulls, k = random_case(3)
    every = holds(loop, r, 3)
    out = np.array([loop.ux[1] - loop.ux[0], loop.uy[1] - loop.uy[0]])
    hub = G.hub_si(G.grip_si(pulls, loop.wrap, k, every["base"]).net, loop.ux, loop.uy)
    assert np.dot([hub.x[1], hub.y[1]], -out / np.hypot(*out)) == pytest.approx(-900.0)
    hub = G.hub_si(G.grip_si(pulls, loop.wrap, k, every["arm"]).net, loop.ux, loop.uy)
    moment = 0.3 * out[1] * hub.y[1] + 0.3 * out[0] * hub.x[1]
    assert moment == pytest.approx(0.3 * 900.0 * np.dot(out, out))


def test_arm_moment_is_what_the_sprung_arm_asks_for():
    """An arm sprung with the moment that holds 44 lbf gives back 44 lbf."""
    arm = X[1] - 13 * INCH, Y[1] + 6 * INCH
    moment = N.arm_moment_si(44 * LBF, LOOP.ux, LOOP.uy, 1, *arm)
    got = G.grip_si(PULLS, LOOP.wrap, GROOVE, sprung_arm(LOOP, *arm, moment))
    assert got.net[:2] / LBF == pytest.approx([44, 44])
    assert got.least == pytest.approx(5.31, rel=5e-3)


@pytest.mark.parametrize("way", ["locked", "sprung", "base"])
def test_margin_is_the_load_at_which_a_capstan_limit_is_met(way):
    """Against a root search that raises the load until one pulley's two strands reach exp(k wrap) (scipy)."""
    checked = 0
    for seed in range(30):
        loop, r, pulls, k = random_case(seed)
        hold = holds(loop, r, seed)[way]
        got = G.grip_si(pulls, loop.wrap, k, hold)
        if not np.isfinite(got.least) or got.least <= 0 or got.least > 50:
            continue
        i = int(got.limiting)

        def spare(load, i=i, loop=loop, pulls=pulls, k=k, hold=hold):
            net = G.grip_si(load * pulls, loop.wrap, k, hold).net
            high, low = max(net[i], net[i - 1]), min(net[i], net[i - 1])
            return low * np.exp(k[i] * loop.wrap[i]) - high

        assert brentq(spare, 1e-6, 60.0) == pytest.approx(got.least, rel=1e-9)
        assert got.slip_pull[i] == pytest.approx(got.least * abs(pulls[i]))
        checked += 1
    assert checked > 10


def test_needed_hold_brings_the_margin_to_one():
    for seed in range(20):
        loop, r, pulls, k = random_case(seed)
        for hold in holds(loop, r, seed).values():
            need = G.grip_si(pulls, loop.wrap, k, hold).needed
            if need == 0:
                continue
            again = G.grip_si(pulls, loop.wrap, k, hold._replace(total=need))
            assert again.least == pytest.approx(1.0, rel=1e-9)


@settings(max_examples=80, deadline=None)
@given(st.floats(0.1, 0.9), st.floats(1.01, 1.5), st.floats(20, 200))
def test_more_friction_wrap_or_spring_holds_more_and_more_load_less(k, more, held):
    hold = G.held_strand_si(3, 1, held)
    base = G.grip_si(PULLS, LOOP.wrap, k, hold).least
    assert G.grip_si(PULLS, LOOP.wrap, k * more, hold).least > base
    assert G.grip_si(PULLS, LOOP.wrap * more, k, hold).least > base
    assert G.grip_si(PULLS, LOOP.wrap, k, G.held_strand_si(3, 1, held * more)).least == pytest.approx(base * more)
    assert G.grip_si(PULLS * more, LOOP.wrap, k, hold).least == pytest.approx(base / more)


def test_trap_spring_and_locked_centre_are_different_models():
    """A spring keeps the slack strand and lets the tight one rise; a locked centre keeps their mean."""
    r = np.array([0.05, 0.15])
    loop = P.path_si([0, 0.5], [0, 0], r, [True, True])
    pulls = np.array([[-40.0, 40.0], [-80.0, 80.0]])
    sprung = G.grip_si(pulls, loop.wrap, GROOVE, G.held_strand_si(2, 0, 100.0)).net
    locked = G.grip_si(pulls, loop.wrap, GROOVE, G.fixed_centres_si(loop.span, loop.wrap, r, 100.0)).net
    assert sprung.min(axis=1) == pytest.approx([100, 100])
    assert sprung.max(axis=1) == pytest.approx([140, 180])
    assert locked.mean(axis=1) == pytest.approx([100, 100])
    assert locked.min(axis=1) == pytest.approx([80, 60])


def test_trap_rest_can_load_the_hub_more_than_running():
    """Locked centres at speed: the centrifugal part comes out of the net tension, not out of rest."""
    r = np.array([0.05, 0.05])
    loop = P.path_si([0, 0.5], [0, 0], r, [True, True])
    hold = G.fixed_centres_si(loop.span, loop.wrap, r, 100.0, 40.0)
    running = G.hub_si(G.grip_si(np.array([-10.0, 10.0]), loop.wrap, GROOVE, hold, 40.0).net, loop.ux, loop.uy)
    resting = G.hub_si(G.rest_si(hold), loop.ux, loop.uy)
    assert resting.size == pytest.approx([200, 200])
    assert (running.size < resting.size).all()


def test_a_sprung_strand_knows_no_centrifugal_loss():
    slow, fast = (G.grip_si(PULLS, LOOP.wrap, GROOVE, SPRING, c) for c in (0.0, 50.0))
    assert fast.least == slow.least
    assert fast.tension - slow.tension == pytest.approx(np.full(3, 50.0))


def test_trap_overrun_puts_the_sprung_idler_in_the_tight_strand():
    work, over = G.load_cases_si(PULLS, overrun=0.5)[[1, 3]]
    assert list(G.strands_si(over).role) == [1, 1, -1]
    assert list(G.strands_si(over).tight_idler) == [False, True, False]
    got = G.grip_si(over, LOOP.wrap, GROOVE, SPRING)
    assert got.net[:2] / LBF == pytest.approx([44, 44])
    assert got.net[2] == pytest.approx(44 * LBF + over[2])
    assert got.least < 2 * G.grip_si(work, LOOP.wrap, GROOVE, SPRING).least


def test_trap_measured_friction_with_the_wedge_over_promises_fourfold():
    """0.3 in a 36 deg groove says a ratio of 21 at half a turn; the trade designs for 5."""
    wild = np.exp(groove_coefficient(0.3, np.radians(36)) * np.pi)
    assert wild == pytest.approx(21, abs=0.2)
    assert np.exp(GROOVE * np.pi) == pytest.approx(5.0, abs=0.002)
    assert groove_coefficient(0.158, np.radians(36)) == pytest.approx(GROOVE, abs=2e-3)


def test_trap_arc_factor_is_the_capstan_law_already():
    """The arc factor is the share of pull the wrap leaves, scaled: using both counts wrap twice."""
    wrap = np.radians(np.linspace(85, 180, 20))
    usable = 1 - np.exp(-GROOVE * wrap)
    assert Q.arc_factor.si(wrap) == pytest.approx(usable / (1 - np.exp(-GROOVE * np.pi)), rel=1e-4)


def test_no_tension_no_wrap_and_negative_tension_hold_nothing():
    slack = G.grip_si(PULLS, LOOP.wrap, GROOVE, G.held_strand_si(3, 1, 0.0))
    pushed = G.grip_si(PULLS, LOOP.wrap, GROOVE, G.held_strand_si(3, 1, -50.0))
    bare = G.grip_si(PULLS, LOOP.wrap * [0, 1, 1], GROOVE, SPRING)
    assert slack.least == 0 and pushed.least == 0 and bare.least == 0
    assert (pushed.net < 0).any()
    flung = G.fixed_centres_si(LOOP.span, LOOP.wrap, R, 30.0, 40.0)
    assert G.grip_si(PULLS, LOOP.wrap, GROOVE, flung, 40.0).least == 0


def test_a_loop_without_load_never_slips():
    got = G.grip_si(np.zeros(3), LOOP.wrap, GROOVE, SPRING)
    assert np.isinf(got.least) and got.needed == 0
    assert list(G.strands_si(np.zeros(4)).role) == [0, 0, 0, 0]


def test_batch_equals_one_by_one():
    rng = np.random.default_rng(0)
    k = rng.uniform(0.3, 0.6, (50, 3))
    held = rng.uniform(50, 200, 50)
    batch = G.grip_si(PULLS, LOOP.wrap, k, G.held_strand_si(3, 1, held))
    for i in range(50):
        one = G.grip_si(PULLS, LOOP.wrap, k[i], G.held_strand_si(3, 1, held[i]))
        assert one.margin == pytest.approx(batch.margin[i]) and one.needed == pytest.approx(batch.needed[i])


def test_accessory_on_the_back_carries_only_its_share_of_the_strand():
    """Usable share 1 - exp(-k wrap): back 0.26 and groove 0.42 at 60 deg (own-derivation)."""
    for k, want in ((0.29, 0.26), (GROOVE, 0.42)):
        assert 1 - slack_at_slip(1.0, np.radians(60), k) == pytest.approx(want, abs=0.005)


def test_greatest_power_takes_a_third_of_the_tension():
    v = speed_of_most_power(300.0, 0.2)
    power = [(300 - 0.2 * u * u) * (1 - np.exp(-0.5 * 3)) * u for u in (0.99 * v, v, 1.01 * v)]
    assert 0.2 * v * v == pytest.approx(100.0) and power[1] > power[0] and power[1] > power[2]


def test_deflection_and_frequency_come_back_to_the_tension():
    tension = np.array([50.0, 200.0, 800.0])
    for share in (1 / 64, 0.016, 0.05):
        force = N.deflection_force.si(tension, span=0.5, stiffness=30.0, share=share).force
        assert N.tension_from_deflection.si(force, stiffness=30.0, share=share) == pytest.approx(tension)
    f = N.span_frequency.si(tension, span=0.5, linear_density=0.1)
    assert N.tension_from_frequency.si(f, span=0.5, linear_density=0.1) == pytest.approx(tension)


def test_deflection_of_the_mixer_and_trommel_spans():
    """19.0 in span: 0.297 in; 590 mm: 9.4 mm at 16 mm a metre (independent calculation of mixer and trommel)."""
    assert N.deflection_force.si(200.0, span=19.0).distance == pytest.approx(0.297, abs=5e-4)
    assert N.deflection_force.si(200.0, span=590.0, share=0.016).distance == pytest.approx(9.44, abs=0.01)


def test_deflection_force_is_a_sixteenth_of_the_tension():
    assert N.deflection_force.si(160.0, span=0.5).force == pytest.approx(10.0, rel=1e-3)


def test_inch_and_metric_calls_agree():
    inch = N.deflection_force("45 lbf", span="19 in", stiffness="6 lbf").force
    metric = N.deflection_force("200.17 N", span="482.6 mm", stiffness="26.689 N").force
    assert inch.to("N").magnitude == pytest.approx(metric.to("N").magnitude, rel=1e-4)


def test_spring_length_flags_a_pull_below_its_own():
    assert N.spring_length.si(100.0, rate=1000.0, free_length=0.1, initial=20.0) == pytest.approx(0.18)
    assert np.isnan(N.spring_length.si(10.0, rate=1000.0, free_length=0.1, initial=20.0))

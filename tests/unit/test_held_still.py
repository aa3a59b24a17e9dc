"""One of several driven shafts held still: against a solver of its own, and what no such drive may break."""

import numpy as np
import pytest
from jackshaft.mechanics import grip
from jackshaft.mechanics.held_still import held_still_si, slide_heat_si
from scipy.optimize import brentq, root

#: Driver, three driven pulleys and an idler between the last two of them; wraps in rad, pulls in N.
WRAP = np.array([3.0, 2.4, 1.1, 0.9, 2.7])
PULLS = np.array([-190.0, 60.0, 70.0, 0.0, 60.0])
GROOVE = np.full(5, 0.5123)
DRIVER = 0


def held(strand, tension):
    return grip.held_strand_si(5, strand, np.array([tension]))


def locked(tension):
    spans, radii = np.array([0.3, 0.5, 0.4, 0.2, 0.35]), np.full(5, 0.08)
    return grip.fixed_centres_si(spans, WRAP, radii, np.array([tension]), np.array([20.0]))


def solve(hold, stands, power=2.0, most=np.inf, friction=GROOVE, pulls=PULLS):
    return held_still_si(pulls, WRAP, friction[None], hold, (stands, DRIVER), power, most)


def strands_of(hold, pulls):
    """The strands of pulls that add up to nought, by the hold's own equation, solved as a linear system."""
    n = len(pulls)
    rows = np.zeros((n, n))
    for i in range(n - 1):
        rows[i, i], rows[i, i - 1] = 1.0, -1.0
    rows[n - 1] = hold.weights
    return np.linalg.solve(rows, np.append(pulls[:-1], hold.total))


def by_solver(hold, stands):
    """Torque share and drag at which the belt is on the edge at both pulleys, or at the one alone, by a root finder."""
    ratio = np.exp(GROOVE * WRAP)

    def pulls_at(share, drag):
        pulls = share * PULLS
        pulls[stands] = drag
        pulls[DRIVER] = 0.0
        pulls[DRIVER] = -np.sum(pulls)
        return pulls

    def edge(share, drag):
        t = strands_of(hold, pulls_at(share, drag))
        return t[stands] - ratio[stands] * t[stands - 1], t[DRIVER - 1] - ratio[DRIVER] * t[DRIVER]

    def drag_at(share):
        return brentq(lambda drag: edge(share, drag)[0], 0.0, 1e5)

    def driver_at(share):
        return edge(share, drag_at(share))[1]

    if driver_at(1.0) <= 0.0:
        return 1.0, drag_at(1.0)
    if driver_at(0.0) >= 0.0:
        return 0.0, None
    share = brentq(driver_at, 0.0, 1.0)
    return share, drag_at(share)


@pytest.mark.parametrize("stands", [1, 2, 4])
@pytest.mark.parametrize("hold", [held(0, 80.0), held(0, 200.0), locked(300.0), locked(180.0), held(2, 200.0)])
def test_agrees_with_a_root_finder(hold, stands):
    found = solve(hold, stands)
    share, drag = by_solver(hold, stands)
    if 0.0 < share <= 1.0:
        assert found.torque[0] == pytest.approx(share, rel=1e-6)
        assert found.pulls[0, stands] == pytest.approx(drag, rel=1e-6)
        assert found.net[0] == pytest.approx(strands_of(hold, found.pulls[0]), abs=1e-6)
    else:
        # nothing is left for the others: they stand, and the driver slides under the belt
        assert found.torque[0] == 0.0 and found.driver_slides[0] and not found.slides[0]


@pytest.mark.parametrize("stands", [1, 2, 4])
@pytest.mark.parametrize("power", [0.0, 1.0, 2.0])
@pytest.mark.parametrize("tension", [80.0, 200.0])
def test_the_power_put_in_is_what_the_others_take_and_what_is_heat(stands, power, tension):
    found = solve(held(0, tension), stands, power)
    speed = 20.0
    put_in = -found.pulls[0, DRIVER] * speed
    others = [i for i in range(5) if i not in (DRIVER, stands)]
    taken = np.sum(found.pulls[0, others]) * speed * found.speed[0]
    assert put_in == pytest.approx(taken + sum(float(h[0]) for h in slide_heat_si(found, speed, (stands, DRIVER))))
    assert np.sum(found.pulls[0]) == pytest.approx(0.0, abs=1e-9)


def test_the_other_shafts_follow_their_load_curve():
    stands = 1
    shares = [solve(held(0, 40.0), stands, power) for power in (1.0, 2.0)]
    assert shares[0].driver_slides[0] and 0.0 < shares[0].torque[0] < 1.0
    # the torque that is left is a matter of the strands alone; the speed is its root
    assert shares[0].torque[0] == pytest.approx(shares[1].torque[0])
    assert shares[0].speed[0] == pytest.approx(shares[0].torque[0])
    assert shares[1].speed[0] == pytest.approx(np.sqrt(shares[1].torque[0]))
    # a load that wants its torque at every speed brings them all to a stand, none held by more than its own wrap passes
    all_stand = solve(held(0, 40.0), stands, 0.0)
    assert all_stand.speed[0] == 0.0 and all_stand.driver_slides[0] and not all_stand.slides[0]
    drag, put_in = (40.0 * (np.exp(0.5123 * WRAP[i]) - 1.0) for i in (stands, DRIVER))
    assert all_stand.pulls[0, stands] == pytest.approx(drag) and drag < put_in
    assert all_stand.torque[0] == pytest.approx((put_in - drag) / (PULLS[2] + PULLS[4]))


def test_what_gives_before_the_belt_bounds_the_pull():
    free = solve(held(0, 200.0), 2)
    assert free.slides[0] and not free.driver_slides[0]
    bound = solve(held(0, 200.0), 2, most=0.5 * free.pulls[0, 2])
    assert not bound.slides[0] and bound.pulls[0, 2] == pytest.approx(0.5 * free.pulls[0, 2])
    # with less pull the driver may hold after all
    slipping = solve(held(0, 40.0), 4)
    assert slipping.driver_slides[0]
    eased = solve(held(0, 40.0), 4, most=1.0)
    margin = grip.grip_si(eased.pulls[0], WRAP, GROOVE, held(0, 40.0)).margin[0, DRIVER]
    assert bool(eased.driver_slides[0]) == bool(margin < 1.0) and eased.torque[0] == (
        1.0 if margin >= 1.0 else eased.torque[0]
    )


def test_more_grip_never_lets_less_through():
    last = 0.0
    for k in (0.2, 0.3, 0.4, 0.5, 0.7, 1.0):
        found = solve(held(0, 200.0), 2, friction=np.full(5, k))
        assert found.pulls[0, 2] >= last
        last = found.pulls[0, 2]


def test_another_pulley_that_slips_too_is_told():
    """With a spring in the strand behind it a pulley's slack strand is loosened by what is taken beyond."""
    weak = GROOVE.copy()
    weak[1] = 0.02
    found = solve(held(0, 200.0), 2, friction=weak)
    by_hand = 200.0 * (np.exp(0.02 * WRAP[1]) - 1.0) / found.pulls[0, 1]
    assert found.margin[0, 1] == pytest.approx(by_hand) and by_hand < 1.0
    assert np.isinf(found.margin[0, [DRIVER, 2, 3]]).all()


def test_a_loose_belt_pulls_nothing():
    found = solve(held(0, 0.0), 2)
    assert found.pulls[0, 2] >= 0.0 and np.isfinite(found.net).all()


def settled_by_root(hold, stands, wrap, friction, pulls):
    """Every (torque share, drag) that no capstan limit forbids: span tensions by SciPy's root, one way after another.

    The belt slides over the pulley that stands, over both, or over the driver with the others taking nothing.
    """
    n, ratio = len(pulls), np.exp(friction * wrap)

    def past(t, i, tight, slack):
        return t[tight] - ratio[i] * t[slack]

    def rest(x, way):
        t, share, drag = x[:n], x[n], x[n + 1]
        takes = np.where(np.arange(n) == stands, drag, share * pulls)
        balance = [t[i] - t[i - 1] - takes[i] for i in range(n) if i != DRIVER]
        edge, slip = past(t, stands, stands, stands - 1), past(t, DRIVER, DRIVER - 1, DRIVER)
        close = {"one": (share - 1.0, edge), "both": (edge, slip), "stand": (share, slip)}[way]
        return np.array([*balance, hold.weights @ t - hold.total[0], *close])

    found = {}
    for way in ("one", "both", "stand"):
        answer = root(rest, np.append(np.full(n, hold.total[0]), [0.5, 100.0]), args=(way,))
        t, share, drag = answer.x[:n], answer.x[n], answer.x[n + 1]
        holds = past(t, stands, stands, stands - 1) <= 1e-6 and past(t, DRIVER, DRIVER - 1, DRIVER) <= 1e-6
        if answer.success and holds and -1e-9 <= share <= 1.0 + 1e-9 and drag >= 0.0 and t.min() >= 0.0:
            found[way] = (share, drag, t)
    return found


def test_random_loops_settle_where_the_capstan_limits_let_them():
    rng, seen = np.random.default_rng(60), []
    for _ in range(120):
        wrap, friction = rng.uniform(0.6, 3.5, 5), rng.uniform(0.2, 0.8, 5)
        pulls = np.append(0.0, rng.uniform(10.0, 150.0, 4))
        pulls[DRIVER] = -np.sum(pulls)
        strand, stands = int(rng.integers(5)), int(rng.integers(1, 5))
        tension = rng.uniform(20.0, 400.0) * (4.0 if strand == 4 else 1.0)
        ways = settled_by_root(held(strand, tension), stands, wrap, friction, pulls)
        for power in (0.0, 2.0) if len(ways) == 1 else ():
            ((way, (share, drag, net)),) = ways.items()
            got = held_still_si(pulls, wrap, friction[None], held(strand, tension), (stands, DRIVER), power)
            assert (got.torque[0], got.pulls[0, stands]) == pytest.approx((share, drag), rel=1e-6, abs=1e-6), way
            assert got.net[0] == pytest.approx(net, rel=1e-6, abs=1e-6)
            speed = 0.0 if way != "one" and power == 0.0 else np.sqrt(abs(share))
            assert got.speed[0] == pytest.approx(speed, abs=1e-4)
            seen.append(way)
    assert all(seen.count(way) > 10 for way in ("one", "both", "stand")), {w: seen.count(w) for w in seen}


@pytest.mark.parametrize("tension", [60.0, 120.0, 400.0])
@pytest.mark.parametrize("laws", [(1.0, 2.0), (2.0, 1.0), (0.0, 2.0), (2.0, 0.0)])
@pytest.mark.parametrize("make", [lambda tension: held(3, tension), locked])
def test_shafts_of_different_laws_settle_on_both_edges(make, laws, tension):
    """With one of three held still, each other takes its own power of the speed that all have in common."""
    hold, others, power = make(tension), (1, 4), np.zeros(5)
    power[list(others)] = laws
    found = solve(hold, 2, power)
    speed, pulls, ratio = float(found.speed[0]), found.pulls[0], np.exp(GROOVE * WRAP)
    net = strands_of(hold, pulls)
    assert net == pytest.approx(found.net[0], rel=1e-6, abs=1e-6)
    if speed > 0.0:
        assert pulls[list(others)] == pytest.approx(PULLS[list(others)] * speed ** np.array(laws), rel=1e-6)
        assert net[2] == pytest.approx(ratio[2] * net[1], rel=1e-6)
    slack = net[DRIVER - 1] - ratio[DRIVER] * net[DRIVER]
    assert slack <= 1e-6 * net[DRIVER - 1]
    assert bool(found.driver_slides[0]) == (abs(slack) <= 1e-6 * net[DRIVER - 1])
    # laws that hardly differ give what one law gives
    near = solve(hold, 2, np.where(np.arange(5) == 1, 2.0 + 1e-9, 2.0))
    one = solve(hold, 2, 2.0)
    assert (near.pulls, near.torque, near.speed) == tuple(pytest.approx(v, abs=1e-5) for v in one[:1] + one[4:6])

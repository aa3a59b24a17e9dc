"""Engagement: closed forms, the integrator against them, energy, order, and what surprises builders."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jackshaft.mechanics import engagement, engagement_history, slipheat
from scipy.integrate import quad

RPM = 2 * math.pi / 60
W3000 = 3000 * RPM

cases = st.fixed_dictionaries(
    {
        "engine_inertia": st.floats(0.02, 1.0),
        "load_inertia": st.floats(0.02, 5.0),
        "engine_speed": st.floats(50.0, 400.0),
        "clutch": st.floats(30.0, 200.0),
        "engine": st.floats(0.0, 25.0),
        "load": st.floats(0.0, 25.0),
        "start": st.floats(0.0, 0.9),
    }
)


def integrated(case, **more):
    tc, te, tl = case["clutch"], case["engine"], case["load"]
    return engagement_history.history_si(
        engine=engagement_history.Side(case["engine_inertia"], lambda w: te, case["engine_speed"]),
        load=engagement_history.Side(case["load_inertia"], lambda w: tl, case["start"] * case["engine_speed"]),
        clutch=lambda t, s: tc,
        **{"longest": 600.0, **more},
    )


def closed(case):
    return engagement.engage.si(
        case["engine_inertia"],
        load_inertia=case["load_inertia"],
        engine_speed=case["engine_speed"],
        load_speed=case["start"] * case["engine_speed"],
        clutch=case["clutch"],
        engine=case["engine"],
        load=case["load"],
    )


@settings(max_examples=40, deadline=None)
@given(cases)
def test_integrator_meets_the_closed_form(case):
    exact, found = closed(case), integrated(case)
    assert found.locks and exact.locks
    assert found.lock_time == pytest.approx(exact.seconds, rel=1e-6)
    assert found.heat[-1] == pytest.approx(exact.heat, rel=1e-6)
    assert found.engine[-1] == pytest.approx(exact.speed, rel=1e-6)
    assert found.load[-1] == pytest.approx(exact.speed, rel=1e-6)


def curved(**more):
    """Torques that depend on time and both speeds: build-up of the coil, a torque curve, a fan."""
    return engagement_history.history_si(
        engine=engagement_history.Side(0.15, lambda w: 30.0 - 0.0004 * (w - 250.0) ** 2, 300.0),
        load=engagement_history.Side(0.4, lambda w: 2.0 + 1e-4 * w * w),
        clutch=lambda t, s: 60.0 * (1 - math.exp(-t / 0.05)) * (1 - 0.0005 * s),
        **more,
    )


@settings(max_examples=20, deadline=None)
@given(cases)
def test_energy_is_conserved_under_constant_torques(case):
    found = integrated(case)
    balance(found, case["engine_inertia"], case["load_inertia"])


def test_energy_is_conserved_under_curves():
    found = curved()
    assert found.locks
    balance(found, 0.15, 0.4)


def balance(found, i1, i2):
    kinetic = 0.5 * i1 * found.engine**2 + 0.5 * i2 * found.load**2
    left = kinetic + found.heat - found.work_in + found.work_out
    assert left == pytest.approx(left[0], rel=1e-6)
    assert np.all(np.diff(found.heat) >= -1e-9 * found.heat[-1])


@pytest.mark.parametrize(("method", "order"), [("RK23", 3), ("RK45", 5)])
def test_fixed_steps_converge_at_the_stated_order(method, order):
    """Clutch torque proportional to slip gives w1 - w2 = slip0 exp(-k t (1/I1 + 1/I2)): an exact answer
    that never locks within the time asked for."""
    i1, i2, k, end = 0.2, 0.3, 0.25, 0.6

    def error(steps):
        found = engagement_history.history_si(
            engine=engagement_history.Side(i1, lambda w: 0.0, 300.0),
            load=engagement_history.Side(i2, lambda w: 0.0),
            clutch=lambda t, s: k * s,
            longest=end,
            solver={"method": method, "rtol": 1e6, "max_step": end / steps, "first_step": end / steps},
        )
        exact = 300.0 * math.exp(-k * end * (1 / i1 + 1 / i2))
        return abs(found.engine[-1] - found.load[-1] - exact)

    errors = [error(n) for n in (6, 12, 24)]
    slopes = [math.log2(a / b) for a, b in zip(errors, errors[1:], strict=False)]
    assert slopes == [pytest.approx(order, abs=0.35)] * 2


def test_without_load_the_heat_does_not_depend_on_the_clutch():
    """Trap: a stronger clutch is faster, not cooler."""
    found = engagement.engage.si(0.15, load_inertia=0.25, engine_speed=W3000, clutch=np.array([30.0, 60.0, 120.0]))
    assert found.heat == pytest.approx(found.heat[0])
    assert found.seconds == pytest.approx(found.seconds[0] * np.array([1.0, 0.5, 0.25]))
    held = engagement.engage_governed.si(0.25, engine_speed=W3000, clutch=np.array([30.0, 60.0, 120.0]))
    assert held.heat == pytest.approx(0.5 * 0.25 * W3000**2)


@pytest.mark.parametrize(("load", "kilojoule"), [(0.0, 12.3), (20.0, 18.5), (40.0, 37.0), (55.0, 148.0)])
def test_heat_runs_away_as_the_load_nears_the_clutch(load, kilojoule):
    """Trap; independent calculation: 60 N·m, 0.25 kg·m², 3000 rpm held."""
    found = engagement.engage_governed("0.25 kg·m²", engine_speed="3000 rpm", clutch="60 N·m", load=f"{load} N·m")
    digits = 0 if kilojoule > 30 else 1
    assert found.heat.to("kJ").magnitude == pytest.approx(kilojoule, abs=0.5001 * 10**-digits)


def test_a_load_as_strong_as_the_clutch_never_locks():
    for load in (60.0, 70.0):
        held = engagement.engage_governed.si(0.25, engine_speed=W3000, clutch=60.0, load=load)
        assert not held.locks and held.seconds == math.inf and held.heat == math.inf
        free = engagement.engage.si(0.15, load_inertia=0.25, engine_speed=W3000, clutch=60.0, load=load)
        assert not free.locks and free.stalls is False and free.speed == 0.0
        dies = engagement.engage.si(0.15, load_inertia=0.25, engine_speed=W3000, clutch=60.0, load=load, stall=90.0)
        assert dies.stalls
    steps = engagement_history.history_si(
        engine=engagement_history.Side(0.15, lambda w: 60.0, W3000),
        load=engagement_history.Side(0.25, lambda w: 70.0),
        clutch=lambda t, s: 60.0,
        longest=5.0,
    )
    assert not steps.locks and not steps.stalls and steps.lock_time == math.inf
    assert steps.load[-1] == 0.0


def test_an_engine_that_cannot_supply_the_torque_droops_and_they_meet_lower():
    """Trap; independent calculation: 0.15 and 0.25 kg·m² from 3000 rpm meet at 1125 rpm: a stall."""
    bare = engagement.engage(
        "0.15 kg·m²", load_inertia="0.25 kg·m²", engine_speed="3000 rpm", clutch="60 N·m", stall="1200 rpm"
    )
    assert bare.speed.to("rpm").magnitude == pytest.approx(1125.0)
    assert bare.stalls and bare.locks
    helped = engagement.engage.si(0.15, load_inertia=0.25, engine_speed=W3000, clutch=60.0, engine=31.0)
    assert 1125 * RPM < helped.speed < W3000
    full = engagement.engage.si(0.15, load_inertia=0.25, engine_speed=W3000, clutch=60.0, engine=60.0)
    assert full.speed == pytest.approx(W3000)
    assert full.heat == pytest.approx(engagement.engage_governed.si(0.25, engine_speed=W3000, clutch=60.0).heat)


def test_the_integrator_sees_the_stall():
    found = engagement_history.history_si(
        engine=engagement_history.Side(0.15, lambda w: 0.0, W3000),
        load=engagement_history.Side(0.25, lambda w: 0.0),
        clutch=lambda t, s: 60.0,
        stall=1500 * RPM,
    )
    assert found.stalls and not found.locks
    assert found.engine[-1] == pytest.approx(1500 * RPM)


def test_half_the_speed_is_a_quarter_of_the_heat():
    fast, half = (engagement.engage_governed.si(0.25, engine_speed=w, clutch=60.0).heat for w in (W3000, W3000 / 2))
    assert fast / half == pytest.approx(4.0)


def test_engage_below_gives_just_the_rise_allowed():
    for load in (0.0, 20.0):
        speed = engagement.engage_below.si(40.0, mass=1.2, load_inertia=0.25, clutch=60.0, load=load)
        heat = engagement.engage_governed.si(0.25, engine_speed=speed, clutch=60.0, load=load).heat
        assert slipheat.temperature_rise.si(heat, mass=1.2) == pytest.approx(40.0)
    assert engagement.engage_below.si(40.0, mass=1.2, load_inertia=0.25, clutch=60.0, load=60.0) == 0.0


def test_one_engagement_of_12_kilojoules_warms_1_2_kilograms_by_20_kelvin():
    """Independent calculation."""
    assert slipheat.temperature_rise("12.3 kJ", mass="1.2 kg").to("K").magnitude == pytest.approx(20.5)


def test_slip_power_on_fifty_square_centimetres():
    """Independent calculation: 12.3 kJ in 1.31 s is 1.9 W/mm², at half the speed 0.94."""
    found = engagement.engage_governed.si(0.25, engine_speed=np.array([W3000, W3000 / 2]), clutch=60.0)
    density = slipheat.slip_density_si(found.heat, seconds=found.seconds, area=50e-4) / 1e6
    assert found.seconds[0] == pytest.approx(1.31, abs=0.005)
    assert density == pytest.approx([1.9, 0.94], abs=0.03)
    with pytest.raises(ValueError):
        slipheat.slip_density_si(1.0, seconds=0.0, area=1.0)


def test_repeats_settle_at_what_a_cycle_by_cycle_count_reaches():
    found = slipheat.repeated_si(12e3, every=30.0, mass=1.2, cooling=3.0, ambient=300.0)
    t = 300.0
    for _ in range(400):
        peak = t + 12e3 / 600.0
        t = 300.0 + (peak - 300.0) * math.exp(-3.0 * 30.0 / 600.0)
    assert found.peak == pytest.approx(peak, rel=1e-9)
    assert found.rise == pytest.approx(20.0)
    assert found.mean == pytest.approx(300.0 + 12e3 / 30.0 / 3.0)
    assert t < found.mean < found.peak


def test_no_slip_takes_no_time():
    found = engagement.engage.si(0.15, load_inertia=0.25, engine_speed=100.0, load_speed=100.0, clutch=60.0, load=70.0)
    assert found.locks and found.seconds == 0.0 and found.heat == 0.0


@pytest.mark.parametrize(
    "call",
    [
        lambda: engagement.engage.si(0.0, load_inertia=1.0, engine_speed=1.0, clutch=1.0),
        lambda: engagement.engage.si(1.0, load_inertia=1.0, engine_speed=1.0, load_speed=2.0, clutch=1.0),
        lambda: engagement.engage_governed.si(1.0, engine_speed=1.0, clutch=0.0),
        lambda: engagement.engage_governed.si(1.0, engine_speed=1.0, load_speed=2.0, clutch=1.0),
        lambda: slipheat.temperature_rise.si(1.0, mass=0.0),
        lambda: engagement_history.history_si(
            engine=engagement_history.Side(1.0, lambda w: 0.0, 1.0),
            load=engagement_history.Side(1.0, lambda w: 0.0, 2.0),
            clutch=lambda t, s: 1.0,
        ),
        lambda: slipheat.repeated_si(1.0, every=0.0, mass=1.0, cooling=1.0, ambient=300.0),
    ],
)
def test_impossible_engagements_are_refused(call):
    with pytest.raises(ValueError):
        call()


rising = st.fixed_dictionaries(
    {
        "inertia": st.floats(0.02, 5.0),
        "speed": st.floats(30.0, 400.0),
        "clutch": st.floats(20.0, 200.0),
        "share": st.floats(0.0, 0.97),
        "power": st.sampled_from([1, 2]),
    }
)


def risen(case, **more):
    load = {"load": case["share"] * case["clutch"], "at": case["speed"], "power": case["power"], **more}
    return engagement.engage_rising.si(case["inertia"], engine_speed=case["speed"], clutch=case["clutch"], **load)


@settings(max_examples=60, deadline=None)
@given(rising)
def test_a_rising_load_meets_general_quadrature(case):
    """Time and heat are integrals over the speed; a general library integrates them without the closed form."""
    i, w1, tc, k = (
        case["inertia"],
        case["speed"],
        case["clutch"],
        case["share"] * case["clutch"] / case["speed"] ** case["power"],
    )

    def spare(w):
        return tc - k * w ** case["power"]

    found = risen(case)
    assert found.locks
    assert found.seconds == pytest.approx(quad(lambda w: i / spare(w), 0.0, w1, epsrel=1e-11)[0], rel=1e-8)
    assert found.heat == pytest.approx(quad(lambda w: i * tc * (w1 - w) / spare(w), 0.0, w1, epsrel=1e-11)[0], rel=1e-8)


@pytest.mark.parametrize("power", [1, 2])
def test_the_integrator_meets_the_closed_form_of_a_rising_load(power):
    """A flywheel without end holds the engine's speed; both must then say the same."""
    found = engagement_history.history_si(
        engine=engagement_history.Side(1e9, lambda w: 0.0, 300.0),
        load=engagement_history.Side(0.5, lambda w: 45.0 * (w / 300.0) ** power),
        clutch=lambda t, s: 60.0,
    )
    exact = engagement.engage_rising.si(0.5, engine_speed=300.0, clutch=60.0, load=45.0, at=300.0, power=power)
    assert found.lock_time == pytest.approx(exact.seconds, rel=1e-5)
    assert found.heat[-1] == pytest.approx(exact.heat, rel=1e-5)


def test_no_load_is_the_same_for_every_law_and_a_rising_one_is_kinder_than_a_steady_one():
    steady = engagement.engage_governed.si(0.5, engine_speed=300.0, clutch=60.0, load=45.0)
    with_speed, with_square = (
        engagement.engage_rising.si(0.5, engine_speed=300.0, clutch=60.0, load=45.0, at=300.0, power=n) for n in (1, 2)
    )
    assert with_square.heat < with_speed.heat < steady.heat
    for n in (1, 2):
        bare = engagement.engage_rising.si(0.5, engine_speed=300.0, clutch=60.0, load=0.0, at=300.0, power=n)
        assert bare.heat == pytest.approx(0.5 * 0.5 * 300.0**2) and bare.seconds == pytest.approx(0.5 * 300.0 / 60.0)
        for tiny in (0.99e-6, 1.01e-6):
            load = 60.0 * tiny
            near = engagement.engage_rising.si(0.5, engine_speed=300.0, clutch=60.0, load=load, at=300.0, power=n)
            slope = 0.5 + tiny / ((n + 1) * (n + 2))
            assert near.heat == pytest.approx(0.5 * 300.0**2 * slope, rel=1e-9)


@pytest.mark.parametrize("power", [1, 2])
def test_a_rising_load_as_strong_as_the_clutch_never_locks(power):
    case = {"inertia": 0.5, "speed": 300.0, "clutch": 60.0, "power": power}
    times = [risen({**case, "share": s}).seconds for s in (0.5, 0.9, 0.99, 0.999, 0.999999)]
    assert times == sorted(times) and times[-1] > 3 * times[0]
    never = risen({**case, "share": 1.0})
    assert not never.locks and math.isinf(never.heat) and math.isinf(never.seconds)
    # at half the speed the same load takes a half or a quarter, and they meet
    assert engagement.engage_rising.si(0.5, engine_speed=150.0, clutch=60.0, load=60.0, at=300.0, power=power).locks


@settings(max_examples=40, deadline=None)
@given(rising, st.floats(5.0, 200.0))
def test_engage_below_of_a_rising_load_gives_just_the_rise_allowed(case, rise):
    load = {"load": case["share"] * case["clutch"], "at": case["speed"], "power": case["power"]}
    below = engagement.engage_below_rising.si(
        rise, mass=1.2, load_inertia=case["inertia"], clutch=case["clutch"], **load
    )
    found = engagement.engage_rising.si(case["inertia"], engine_speed=below, clutch=case["clutch"], **load)
    got = slipheat.temperature_rise.si(found.heat, mass=1.2)
    # where the load reaches the clutch's torque first, they must meet at all: there the heat is still finite
    last = case["speed"] / case["share"] ** (1 / case["power"]) if case["share"] else math.inf
    assert found.locks
    assert got == pytest.approx(rise, rel=1e-9) or (got < rise and below == pytest.approx(last, rel=1e-9))


def test_engage_below_of_a_load_of_nought_is_the_energy_of_the_driven_side():
    """No load: the heat equals the energy, I w²/2, in every size at once."""
    inertia = np.array([0.1, 0.5, 2.0])
    below = engagement.engage_below_rising.si(
        40.0, mass=1.2, load_inertia=inertia, clutch=60.0, load=0.0, at=300.0, power=2
    )
    assert below == pytest.approx(np.sqrt(2 * 40.0 * 1.2 * 500.0 / inertia), rel=1e-9)


@pytest.mark.parametrize(("power", "limit"), [(1, 1.0), (2, math.log(2.0))])
def test_heat_of_a_rising_load_stays_finite_where_the_time_runs_away(power, limit):
    """At a load equal to the clutch's torque: integral of (1 - u)/(1 - u^n) from 0 to 1, by hand 1 and ln 2."""
    found = risen({"inertia": 0.5, "speed": 300.0, "clutch": 60.0, "power": power, "share": 1.0 - 1e-9})
    assert found.heat == pytest.approx(0.5 * 300.0**2 * limit, rel=1e-6)
    assert found.seconds > 5 * 0.5 * 300.0 / 60.0


@settings(max_examples=40, deadline=None)
@given(st.floats(1.0, 80.0), st.floats(1.05, 20.0), st.floats(0.5, 8.0), st.floats(0.3, 6.0))
def test_the_shortest_interval_settles_at_the_limit(rise, over, mass, cooling):
    allowed = over * rise
    every = slipheat.least_interval_si(rise, allowed=allowed, mass=mass, cooling=cooling)
    settled = slipheat.repeated_si(rise * mass * 500.0, every=every, mass=mass, cooling=cooling, ambient=300.0)
    assert settled.peak == pytest.approx(300.0 + allowed, rel=1e-9)


def test_one_engagement_beyond_the_limit_has_no_interval():
    assert math.isinf(slipheat.least_interval_si(40.0, allowed=40.0, mass=1.0, cooling=1.0))
    assert math.isinf(slipheat.least_interval_si(40.0, allowed=-5.0, mass=1.0, cooling=1.0))


def test_surface_of_a_round_body():
    # a cylinder as long as its radius: two ends of pi r², a side of 2 pi r², by hand 4 pi r²
    assert slipheat.body_surface_si(0.2, length=0.1) == pytest.approx(4 * math.pi * 0.01)


@pytest.mark.parametrize(
    "change",
    [{"clutch": 0.0}, {"load": -1.0}, {"at": 0.0}, {"power": 0}, {"power": 3}, {"engine_speed": 0.0}],
)
def test_impossible_rising_loads_are_refused(change):
    with pytest.raises(ValueError):
        engagement.engage_rising.si(
            0.5, **{"engine_speed": 300.0, "clutch": 60.0, "load": 10.0, "at": 300.0, "power": 2, **change}
        )

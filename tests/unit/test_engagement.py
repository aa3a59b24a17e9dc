"""Engagement: closed forms, the integrator against them, energy, order, and what surprises builders."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jackshaft.mechanics import engagement

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
    return engagement.engage_si(
        engine_inertia=case["engine_inertia"],
        load_inertia=case["load_inertia"],
        engine_speed=case["engine_speed"],
        load_speed=case["start"] * case["engine_speed"],
        clutch=lambda t, s: tc,
        engine=lambda w: te,
        load=lambda w: tl,
        **{"longest": 600.0, **more},
    )


def closed(case):
    return engagement.meet.si(
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
    return engagement.engage_si(
        engine_inertia=0.15,
        load_inertia=0.4,
        engine_speed=300.0,
        clutch=lambda t, s: 60.0 * (1 - math.exp(-t / 0.05)) * (1 - 0.0005 * s),
        engine=lambda w: 30.0 - 0.0004 * (w - 250.0) ** 2,
        load=lambda w: 2.0 + 1e-4 * w * w,
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
        found = engagement.engage_si(
            engine_inertia=i1,
            load_inertia=i2,
            engine_speed=300.0,
            clutch=lambda t, s: k * s,
            engine=lambda w: 0.0,
            load=lambda w: 0.0,
            longest=end,
            method=method,
            rtol=1e6,
            max_step=end / steps,
        )
        exact = 300.0 * math.exp(-k * end * (1 / i1 + 1 / i2))
        return abs(found.engine[-1] - found.load[-1] - exact)

    errors = [error(n) for n in (6, 12, 24)]
    slopes = [math.log2(a / b) for a, b in zip(errors, errors[1:], strict=False)]
    assert slopes == [pytest.approx(order, abs=0.35)] * 2


def test_without_load_the_heat_does_not_depend_on_the_clutch():
    """Trap: a stronger clutch is faster, not cooler."""
    found = engagement.meet.si(
        0.15, load_inertia=0.25, engine_speed=W3000, clutch=np.array([30.0, 60.0, 120.0])
    )
    assert found.heat == pytest.approx(found.heat[0])
    assert found.seconds == pytest.approx(found.seconds[0] * np.array([1.0, 0.5, 0.25]))
    held = engagement.meet_governed.si(0.25, engine_speed=W3000, clutch=np.array([30.0, 60.0, 120.0]))
    assert held.heat == pytest.approx(0.5 * 0.25 * W3000**2)


@pytest.mark.parametrize(("load", "kilojoule"), [(0.0, 12.3), (20.0, 18.5), (40.0, 37.0), (55.0, 148.0)])
def test_heat_runs_away_as_the_load_nears_the_clutch(load, kilojoule):
    """Trap; independent calculation: 60 N·m, 0.25 kg·m², 3000 rpm held."""
    found = engagement.meet_governed(
        "0.25 kg·m²", engine_speed="3000 rpm", clutch="60 N·m", load=f"{load} N·m"
    )
    digits = 0 if kilojoule > 30 else 1
    assert found.heat.to("kJ").magnitude == pytest.approx(kilojoule, abs=0.5001 * 10**-digits)


def test_a_load_as_strong_as_the_clutch_never_locks():
    for load in (60.0, 70.0):
        held = engagement.meet_governed.si(0.25, engine_speed=W3000, clutch=60.0, load=load)
        assert not held.locks and held.seconds == math.inf and held.heat == math.inf
        free = engagement.meet.si(0.15, load_inertia=0.25, engine_speed=W3000, clutch=60.0, load=load)
        assert not free.locks and free.stalls is False and free.speed == 0.0
        dies = engagement.meet.si(
            0.15, load_inertia=0.25, engine_speed=W3000, clutch=60.0, load=load, stall=90.0
        )
        assert dies.stalls
    steps = engagement.engage_si(
        engine_inertia=0.15,
        load_inertia=0.25,
        engine_speed=W3000,
        clutch=lambda t, s: 60.0,
        engine=lambda w: 60.0,
        load=lambda w: 70.0,
        longest=5.0,
    )
    assert not steps.locks and not steps.stalls and steps.lock_time == math.inf
    assert steps.load[-1] == 0.0


def test_an_engine_that_cannot_supply_the_torque_droops_and_they_meet_lower():
    """Trap; independent calculation: 0.15 and 0.25 kg·m² from 3000 rpm meet at 1125 rpm: a stall."""
    bare = engagement.meet(
        "0.15 kg·m²", load_inertia="0.25 kg·m²", engine_speed="3000 rpm", clutch="60 N·m", stall="1200 rpm"
    )
    assert bare.speed.to("rpm").magnitude == pytest.approx(1125.0)
    assert bare.stalls and bare.locks
    helped = engagement.meet.si(0.15, load_inertia=0.25, engine_speed=W3000, clutch=60.0, engine=31.0)
    assert 1125 * RPM < helped.speed < W3000
    full = engagement.meet.si(0.15, load_inertia=0.25, engine_speed=W3000, clutch=60.0, engine=60.0)
    assert full.speed == pytest.approx(W3000)
    assert full.heat == pytest.approx(engagement.meet_governed.si(0.25, engine_speed=W3000, clutch=60.0).heat)


def test_the_integrator_sees_the_stall():
    found = engagement.engage_si(
        engine_inertia=0.15,
        load_inertia=0.25,
        engine_speed=W3000,
        clutch=lambda t, s: 60.0,
        engine=lambda w: 0.0,
        load=lambda w: 0.0,
        stall=1500 * RPM,
    )
    assert found.stalls and not found.locks
    assert found.engine[-1] == pytest.approx(1500 * RPM)


def test_half_the_speed_is_a_quarter_of_the_heat():
    fast, half = (
        engagement.meet_governed.si(0.25, engine_speed=w, clutch=60.0).heat for w in (W3000, W3000 / 2)
    )
    assert fast / half == pytest.approx(4.0)


def test_engage_below_gives_just_the_rise_allowed():
    for load in (0.0, 20.0):
        speed = engagement.engage_below.si(40.0, mass=1.2, load_inertia=0.25, clutch=60.0, load=load)
        heat = engagement.meet_governed.si(0.25, engine_speed=speed, clutch=60.0, load=load).heat
        assert engagement.temperature_rise.si(heat, mass=1.2) == pytest.approx(40.0)
    assert engagement.engage_below.si(40.0, mass=1.2, load_inertia=0.25, clutch=60.0, load=60.0) == 0.0


def test_locked_torque_shares_by_inertia():
    """Both sides then speed up alike."""
    torque = engagement.locked_torque.si(0.15, load_inertia=0.25, engine=30.0, load=10.0)
    assert (30.0 - torque) / 0.15 == pytest.approx((torque - 10.0) / 0.25)
    assert engagement.locked_torque(
        "0.15 kg·m²", load_inertia="0.25 kg·m²", engine="20 N·m", load="20 N·m"
    ).to("N*m").magnitude == pytest.approx(20.0)


def test_one_engagement_of_12_kilojoules_warms_1_2_kilograms_by_20_kelvin():
    """Independent calculation."""
    assert engagement.temperature_rise("12.3 kJ", mass="1.2 kg").to("K").magnitude == pytest.approx(20.5)


def test_slip_power_on_fifty_square_centimetres():
    """Independent calculation: 12.3 kJ in 1.31 s is 1.9 W/mm², at half the speed 0.94."""
    found = engagement.meet_governed.si(0.25, engine_speed=np.array([W3000, W3000 / 2]), clutch=60.0)
    density = engagement.slip_density_si(found.heat, seconds=found.seconds, area=50e-4) / 1e6
    assert found.seconds[0] == pytest.approx(1.31, abs=0.005)
    assert density == pytest.approx([1.9, 0.94], abs=0.03)
    with pytest.raises(ValueError):
        engagement.slip_density_si(1.0, seconds=0.0, area=1.0)


def test_repeats_settle_at_what_a_cycle_by_cycle_count_reaches():
    found = engagement.repeated_si(12e3, every=30.0, mass=1.2, cooling=3.0, ambient=300.0)
    t = 300.0
    for _ in range(400):
        peak = t + 12e3 / 600.0
        t = 300.0 + (peak - 300.0) * math.exp(-3.0 * 30.0 / 600.0)
    assert found.peak == pytest.approx(peak, rel=1e-9)
    assert found.rise == pytest.approx(20.0)
    assert found.mean == pytest.approx(300.0 + 12e3 / 30.0 / 3.0)
    assert t < found.mean < found.peak


def test_flash_meets_a_finite_difference_of_the_half_space():
    k, a, q, end, n = 50.0, 1.3e-5, 1e6, 0.2, 400
    dx = 5.0 * math.sqrt(a * end) / n
    dt = 0.4 * dx * dx / a
    t = np.zeros(n)
    for _ in range(round(end / dt)):
        ghost = t[1] + 2 * dx * q / k
        t = t + a * dt / dx**2 * (np.concatenate((t[1:], [0.0])) - 2 * t + np.concatenate(([ghost], t[:-1])))
    assert engagement.flash_rise_si(q, area=1.0, time=end) == pytest.approx(t[0], rel=5e-3)


def test_no_slip_takes_no_time():
    found = engagement.meet.si(
        0.15, load_inertia=0.25, engine_speed=100.0, load_speed=100.0, clutch=60.0, load=70.0
    )
    assert found.locks and found.seconds == 0.0 and found.heat == 0.0


@pytest.mark.parametrize(
    "call",
    [
        lambda: engagement.meet.si(0.0, load_inertia=1.0, engine_speed=1.0, clutch=1.0),
        lambda: engagement.meet.si(1.0, load_inertia=1.0, engine_speed=1.0, load_speed=2.0, clutch=1.0),
        lambda: engagement.meet_governed.si(1.0, engine_speed=1.0, clutch=0.0),
        lambda: engagement.meet_governed.si(1.0, engine_speed=1.0, load_speed=2.0, clutch=1.0),
        lambda: engagement.temperature_rise.si(1.0, mass=0.0),
        lambda: engagement.engage_si(
            engine_inertia=1.0,
            load_inertia=1.0,
            engine_speed=1.0,
            load_speed=2.0,
            clutch=lambda t, s: 1.0,
            engine=lambda w: 0.0,
            load=lambda w: 0.0,
        ),
        lambda: engagement.repeated_si(1.0, every=0.0, mass=1.0, cooling=1.0, ambient=300.0),
        lambda: engagement.flash_rise_si(1.0, area=0.0, time=1.0),
    ],
)
def test_impossible_engagements_are_refused(call):
    with pytest.raises(ValueError):
        call()

"""Clutch torque: faces, slip test, scaling, what it must hold, stopping."""

import math

import numpy as np
import pytest
from closed_forms import face_force, ring_force_and_torque
from hypothesis import given
from hypothesis import strategies as st
from jackshaft.mechanics import clutch
from jackshaft.mechanics.clutch import Band

radii = st.tuples(st.floats(0.005, 0.2), st.floats(1.01, 5.0)).map(lambda p: (p[0], p[0] * p[1]))


@pytest.mark.parametrize(("ratio", "percent"), [(0.6, 2.0), (0.5, 3.6), (0.0, 25.0)])
def test_uniform_wear_is_lower_than_uniform_pressure_at_the_same_force(ratio, percent):
    """Independent calculation of the two friction radii."""
    worn, new = (
        clutch.face_torque.si(1000.0, friction=0.2, inner_diameter=ratio * 0.2, outer_diameter=0.2, worn_in=w).torque
        for w in (True, False)
    )
    assert 100.0 * (1.0 - worn / new) == pytest.approx(percent, abs=0.06)


@given(radii)
def test_worn_in_is_the_default_and_never_above_new(r):
    inner, outer = r
    worn = clutch.face_torque.si(1.0, friction=1.0, inner_diameter=2 * inner, outer_diameter=2 * outer)
    new = clutch.face_torque.si(1.0, friction=1.0, inner_diameter=2 * inner, outer_diameter=2 * outer, worn_in=False)
    assert inner < worn.radius <= new.radius * (1 + 1e-9) < outer * (1 + 1e-9)


@given(radii, st.floats(1e4, 1e7), st.sampled_from([True, False]))
def test_closed_forms_are_the_integrals_they_stand_for(r, pressure, worn):
    inner, outer = r
    rr = np.linspace(inner, outer, 401)
    p = pressure * (inner / rr if worn else np.ones_like(rr))
    found = ring_force_and_torque(rr, pressure=p, friction=0.3, faces=2)
    ring = {"inner_diameter": 2 * inner, "outer_diameter": 2 * outer}
    force = face_force(pressure, inner, outer, worn_in=worn)
    closed = clutch.face_torque.si(force, friction=0.3, **ring, faces=2, worn_in=worn)
    assert found == pytest.approx((closed.force, closed.torque, closed.radius), rel=1e-6)


def test_new_faces_at_the_same_pressure_promise_half_as_much_again():
    """Independent calculation for the textbook pair: 236 N·m worn in, 367 N·m new, at 1 MPa."""
    ring = {"inner_diameter": 0.1, "outer_diameter": 0.2}
    worn, new = (
        clutch.face_torque.si(face_force(1e6, 0.05, 0.1, worn_in=w), friction=0.2, **ring, worn_in=w).torque
        for w in (True, False)
    )
    assert (worn, new) == (pytest.approx(236, abs=0.5), pytest.approx(367, abs=0.5))


def test_torque_for_a_pressure_peaks_at_0_577_of_the_outer_radius():
    inner = np.linspace(0.01, 0.099, 2000)
    force = face_force(1e6, inner, 0.1, worn_in=True)
    torque = clutch.face_torque.si(force, friction=0.2, inner_diameter=2 * inner, outer_diameter=0.2).torque
    assert inner[np.argmax(torque)] / 0.1 == pytest.approx(1 / math.sqrt(3), abs=1e-3)


def test_slip_test_is_a_lever():
    found = clutch.slip_test("60 lbf", lever="15 in")
    assert found.to("lbf*ft").magnitude == pytest.approx(75.0)
    assert clutch.slip_test.si(100.0, lever=0.5, offset=math.radians(30)) == pytest.approx(
        50.0 * math.cos(math.radians(30))
    )
    assert clutch.slip_test.si(100.0, lever=0.5, weight_moment=3.0) == pytest.approx(53.0)
    for bad in ({"lever": 0.0}, {"lever": 1.0, "offset": 1.2}):
        with pytest.raises(ValueError):
            clutch.slip_test.si(100.0, **bad)


def test_inch_and_metric_torque_agree():
    a = clutch.torque_from_power("14 hp", speed="3600 rpm").to("N*m").magnitude
    assert a == pytest.approx(clutch.torque_from_power("10.4398 kW", speed="60 r/s").to("N*m").magnitude, rel=1e-5)
    with pytest.raises(ValueError):
        clutch.torque_from_power.si(1000.0, speed=0.0)


def test_scaling_is_a_band_whose_ends_keep_their_side():
    share = np.linspace(0.1, 1.6, 40)
    found = clutch.torque_at_current.si(100.0, rated_current=4.0, current=4.0 * share)
    assert np.all(found.bad <= found.likely) and np.all(found.likely <= found.good)
    below = share <= 1.0
    assert found.likely[below] == pytest.approx(100.0 * share[below] ** 2)
    assert found.bad[~below] == pytest.approx(100.0)
    at = clutch.torque_at_current.si(100.0, rated_current=4.0, current=4.0)
    assert at == (100.0, 100.0, 100.0)


def test_hot_coil_and_low_volts_together():
    """Independent calculation: 0.76 hot and 0.9 low leave 0.68 of the current, 0.47 of the torque."""
    found = clutch.torque_at_current.si(1.0, rated_current=1.0, current=0.76 * 0.9)
    assert found.bad == pytest.approx(0.47, abs=0.005)


@pytest.mark.parametrize("bad", [{"rated_current": 0.0, "current": 1.0}, {"rated_current": 4.0, "current": -1.0}])
def test_impossible_currents_are_refused(bad):
    with pytest.raises(ValueError):
        clutch.torque_at_current.si(10.0, **bad)


def test_bands_multiply_end_by_end():
    dynamic = clutch.times_si(Band(60.0, 80.0, 90.0), factor=clutch.DYNAMIC)
    assert dynamic == Band(30.0, 56.0, pytest.approx(76.5))
    new = clutch.times_si(100.0, factor=clutch.NEW_FACES)
    assert (new.bad, new.good) == (50.0, 80.0)
    assert clutch.times_si(100.0, factor=clutch.OILED).likely == pytest.approx(33.3, abs=0.1)
    with pytest.raises(TypeError):
        clutch.times_si(100.0, factor=0.7)


def test_factors_are_those_of_the_table():
    from jackshaft.tables import table

    facts = table("clutch_facts")
    for band, item in (
        (clutch.DYNAMIC, "dynamic over static"),
        (clutch.NEW_FACES, "un-burnished over rated"),
    ):
        row = facts.one(part="torque", item=item)
        assert band == (row["low"], row["likely"], row["high"])
    assert clutch.OILED.likely == pytest.approx(facts.one(part="torque", item="wet over dry friction")["likely"])


def test_required_torque_names_its_cases():
    found = clutch.required_torque(
        "26.3 lbf*ft", start_factor=1.5, peak_factor=2.5, engine_peak="40 lbf*ft", overrun_factor=0.5
    )
    assert found.peak.to("lbf*ft").magnitude == pytest.approx(65.75)
    assert found.hold.to("lbf*ft").magnitude == pytest.approx(65.75)
    assert found.pull_in.to("lbf*ft").magnitude == pytest.approx(39.45)
    alone = clutch.required_torque.si(10.0, engine_peak=31.0)
    assert alone.hold == 31.0 and alone.pull_in == 10.0
    with pytest.raises(ValueError):
        clutch.required_torque.si(-1.0)


def test_a_brake_turns_the_energy_into_heat_and_time():
    found = clutch.brake_stop("0.5 kg·m²", speed="3000 rpm", brake="20 N*m", drag="5 N*m")
    w = 3000 * 2 * math.pi / 60
    assert found.seconds.to("s").magnitude == pytest.approx(0.5 * w / 25.0)
    assert found.turns == pytest.approx(w * 0.5 * w / 25.0 / 2 / (2 * math.pi))
    assert found.heat.to("J").magnitude == pytest.approx(0.5 * 0.5 * w**2 * 0.8)
    assert clutch.brake_stop.si(0.5, speed=300.0, brake=0.0).seconds == math.inf
    with pytest.raises(ValueError):
        clutch.brake_stop.si(0.5, speed=300.0, brake=-1.0)


@pytest.mark.parametrize(
    "call",
    [
        lambda: clutch.face_torque.si(1.0, friction=0.2, inner_diameter=0.1, outer_diameter=0.1),
        lambda: clutch.face_torque.si(1.0, friction=0.2, inner_diameter=-0.1, outer_diameter=0.1),
    ],
)
def test_impossible_faces_are_refused(call):
    with pytest.raises(ValueError):
        call()

"""Inertia of shapes, from a run-down, and through a ratio."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from jackshaft.mechanics import inertia


def test_shapes_are_the_sums_of_their_pieces():
    """Each closed form against the sum of m r² over thin pieces."""
    n = 20000
    r = (np.arange(n) + 0.5) / n * 0.3
    disc = np.sum(2 * math.pi * r * (0.3 / n) * 7850 * 0.02 * r**2)
    mass = math.pi * 0.3**2 * 7850 * 0.02
    assert inertia.disc_inertia.si(mass, diameter=0.6) == pytest.approx(disc, rel=1e-6)
    ring = r >= 0.1
    ringed = np.sum((2 * math.pi * r * (0.3 / n) * 7850 * 0.02 * r**2)[ring])
    assert inertia.disc_inertia.si(mass * (1 - 1 / 9), diameter=0.6, bore=0.2) == pytest.approx(ringed, rel=1e-3)
    x = (np.arange(n) + 0.5) / n * 0.8 - 0.4
    assert inertia.bar_inertia.si(5.0, length=0.8) == pytest.approx(np.mean(5.0 * x**2), rel=1e-6)
    assert inertia.bar_inertia.si(5.0, length=0.8, offset=0.4) == pytest.approx(np.mean(5.0 * (x + 0.4) ** 2), rel=1e-6)
    assert inertia.rim_inertia.si(5.0, diameter=0.6) == pytest.approx(
        inertia.disc_inertia.si(5.0, diameter=0.6, bore=0.5999998), rel=1e-6
    )


def test_a_28_inch_disc_of_one_inch_steel():
    """Independent calculation: 175 lb, 107 kJ at 1976 rpm."""
    mass = math.pi * 14**2 * 0.2836
    assert mass == pytest.approx(175, abs=0.5)
    found = inertia.disc_inertia("175 lb", diameter="28 in").to("kg*m**2").magnitude
    w = 1976 * 2 * math.pi / 60
    assert 0.5 * found * w**2 / 1e3 == pytest.approx(107, abs=0.5)


@given(st.floats(0.05, 20.0), st.floats(0.01, 10.0))
def test_inertia_reflects_with_the_square_of_the_speed_ratio(ratio, value):
    """Trap: speeding a load up 2:1 quadruples what the clutch feels."""
    found = inertia.reflect_inertia.si(value, load_speed=ratio * 100.0, clutch_speed=100.0)
    assert found == pytest.approx(value * ratio**2)
    assert 0.5 * found * 100.0**2 == pytest.approx(0.5 * value * (ratio * 100.0) ** 2)


def test_a_run_down_gives_back_the_inertia_that_made_it():
    speed = 300 * 2 * math.pi / 60
    time = 0.8 * speed / 1.5
    assert inertia.run_down_inertia.si(speed, time=time, drag=1.5) == pytest.approx(0.8)
    assert inertia.run_down_inertia("300 rpm", time="10 s", drag="1.5 N·m").to("kg*m**2").magnitude == pytest.approx(
        15 / speed
    )


@pytest.mark.parametrize(
    "call",
    [
        lambda: inertia.disc_inertia.si(0.0, diameter=0.2),
        lambda: inertia.disc_inertia.si(1.0, diameter=0.2, bore=0.2),
        lambda: inertia.bar_inertia.si(1.0, length=0.0),
        lambda: inertia.rim_inertia.si(1.0, diameter=-1.0),
        lambda: inertia.run_down_inertia.si(1.0, time=0.0, drag=1.0),
        lambda: inertia.reflect_inertia.si(1.0, load_speed=1.0, clutch_speed=0.0),
    ],
)
def test_impossible_shapes_are_refused(call):
    with pytest.raises(ValueError):
        call()

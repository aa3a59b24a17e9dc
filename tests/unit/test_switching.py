"""The coil while its current changes: rise, pull-in, release through each suppression."""

import math

import numpy as np
import pytest
from jackshaft.mechanics import switching

COIL = {"current": 4.0, "release_current": 0.8, "resistance": 3.0, "inductance": 0.06, "supply": 12.6}


def release(kind, **more):
    parts = {k: more.pop(k) for k in switching.Fitted._fields if k in more}
    return switching.release_si(kind, **{**COIL, **more}, fitted=switching.Fitted(**parts))


@pytest.mark.parametrize(
    ("kind", "more", "ms", "peak"),
    [
        ("diode", {}, 27.7, 0.8),
        ("resistor", {"resistor": 10.0}, 7.4, 40.0),
        ("TVS", {"clamp": 24.0}, 6.2, 24.0),
        ("TVS", {"clamp": 47.0}, 3.6, 47.0),
        ("diode and zener", {"clamp": 23.2}, 6.2, 24.0),
    ],
)
def test_release_times_of_each_suppression(kind, more, ms, peak):
    """Independent calculation: 20 ms, 3 ohm, 4 A, release at 0.8 A."""
    found = release(kind, **more)
    assert found.seconds * 1e3 == pytest.approx(ms, abs=0.05)
    assert found.coil_peak == pytest.approx(peak)
    assert found.switch_peak == pytest.approx(peak + 12.6)
    assert found.energy == pytest.approx(0.48)


def test_a_plain_diode_multiplies_the_release_time():
    """Trap: the cheapest suppression holds the clutch in longest."""
    slow = release("diode").seconds
    for kind, more in (
        ("resistor", {"resistor": 10.0}),
        ("diode and zener", {"clamp": 24.0}),
        ("TVS", {"clamp": 33.0}),
    ):
        assert slow > 3.5 * release(kind, **more).seconds


def test_without_suppression_there_is_no_time_and_no_limit_to_the_peak():
    found = release("none")
    assert math.isnan(found.seconds) and found.coil_peak == math.inf and "arcs" in found.fitting


def test_polarity_is_told():
    for kind, more, polarised in (
        ("diode", {}, True),
        ("diode and zener", {"clamp": 24.0}, True),
        ("resistor", {"resistor": 10.0}, False),
        ("TVS", {"clamp": 33.0}, False),
    ):
        found = release(kind, **more)
        assert found.polarised is polarised
    assert "cathode" in release("diode").fitting


@pytest.mark.parametrize(
    ("kind", "more", "words"),
    [
        ("lamp", {}, "none, resistor"),
        ("resistor", {}, "give the resistor"),
        ("TVS", {}, "clamp voltage"),
        ("TVS", {"clamp": 12.0}, "conducts"),
        ("diode and zener", {"clamp": 0.0}, "clamp voltage"),
        ("diode", {"release_current": 5.0}, "between zero"),
        ("diode", {"inductance": 0.0}, "inductance"),
    ],
)
def test_what_cannot_work_is_refused(kind, more, words):
    with pytest.raises(ValueError, match=words):
        release(kind, **more)


def test_decay_passes_the_release_current_at_the_release_time():
    for volts in (0.8, 24.0, 47.0):
        found = release("diode", diode=volts)
        left = switching.decay_si(found.seconds, current=4.0, resistance=3.0, inductance=0.06, clamp=volts)
        assert left == pytest.approx(0.8, rel=1e-9)
    burden = release("resistor", resistor=10.0).seconds
    left = switching.decay_si(burden, current=4.0, resistance=3.0, inductance=0.06, resistor=10.0)
    assert left == pytest.approx(0.8, rel=1e-9)


def test_decay_gives_up_just_the_stored_energy():
    """Heat in coil and clamp, summed over small steps, equals L I²/2."""
    t = np.linspace(0.0, 0.2, 200001)
    i = switching.decay_si(t, current=4.0, resistance=3.0, inductance=0.06, clamp=24.0)
    assert np.trapezoid(3.0 * i**2 + 24.0 * i, t) == pytest.approx(0.48, rel=1e-6)
    assert i[-1] == 0.0


def test_rise_obeys_its_equation_and_its_inverse():
    t = np.linspace(0.0, 0.1, 10001)
    i = switching.rise_si(t, voltage=12.6, resistance=3.0, inductance=0.06)
    assert 3.0 * i + 0.06 * np.gradient(i, t, edge_order=2) == pytest.approx(12.6, abs=1e-4)
    for share in (0.1, 0.5, 0.9):
        when = switching.time_to_current_si(share * 4.2, voltage=12.6, resistance=3.0, inductance=0.06)
        assert switching.rise_si(when, voltage=12.6, resistance=3.0, inductance=0.06) == pytest.approx(share * 4.2)


def test_pull_in_current_is_reached_later_when_hot_and_low_and_never_when_too_low():
    def when(volts, ohm):
        return switching.time_to_current_si(2.5, voltage=volts, resistance=ohm, inductance=0.02)

    assert when(14.0, 2.9) < when(12.0, 2.9) < when(12.0, 3.8) < when(10.0, 3.8)
    assert when(9.4, 3.8) == math.inf
    assert when(9.6, 3.8) < math.inf


def test_the_current_dips_as_the_gap_closes_and_ends_at_the_same_value():
    t = np.linspace(0.0, 0.6, 6001)
    found = switching.pull_in_si(
        t, voltage=12.6, resistance=3.0, open_henry=0.02, closed_henry=0.06, pull_current=2.5, travel=0.01
    )
    assert found.closes
    before, after = found.current[t < found.closes_at][-1], found.current[t >= found.closes_at][0]
    assert after / before == pytest.approx(0.02 / 0.06, rel=0.05)
    assert found.current[-1] == pytest.approx(4.2, rel=1e-6)
    never = switching.pull_in_si(
        t, voltage=7.0, resistance=3.0, open_henry=0.02, closed_henry=0.06, pull_current=2.5, travel=0.01
    )
    assert not never.closes and never.closes_at == math.inf and never.current.max() < 2.5
    with pytest.raises(ValueError, match="swapped"):
        switching.pull_in_si(
            t, voltage=12.0, resistance=3.0, open_henry=0.06, closed_henry=0.02, pull_current=1.0, travel=0.0
        )


def test_inductance_goes_with_the_square_of_turns_over_reluctance():
    assert switching.inductance(200, reluctance=1e6).to("mH").magnitude == pytest.approx(40.0)
    with pytest.raises(ValueError):
        switching.inductance.si(200, reluctance=0.0)

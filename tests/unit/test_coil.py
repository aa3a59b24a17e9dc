"""The coil at rest: temperature, current, lead error, supply."""


import numpy as np
import pytest
from jackshaft.mechanics import coil, wiring
from jackshaft.units import UnitsRequired, awg_area

C0 = 273.15


def test_copper_coefficient_is_that_of_20_degrees():
    """Trap: 0.00393/K at 20 °C, not 0.0043, which belongs to 0 °C."""
    rise = coil.hot_resistance("1 ohm", temperature="120 °C").to("ohm").magnitude - 1.0
    assert rise / 100.0 == pytest.approx(0.00393, abs=5e-6)


@pytest.mark.parametrize(("celsius", "factor", "current"), [(100, 1.314, 0.76), (120, 1.393, 0.72)])
def test_a_hot_coil_draws_less(celsius, factor, current):
    """Factors of the usual copper rule, 234.5 + T over 254.5; from memory."""
    hot = coil.hot_resistance.si(3.0, temperature=C0 + celsius)
    assert hot / 3.0 == pytest.approx(factor, abs=6e-4)
    assert 3.0 / hot == pytest.approx(current, abs=5e-3)


def test_higher_voltage_means_more_current():
    """Trap: a coil is a resistance to direct current, so more volts are more amperes."""
    volts = np.linspace(9.0, 15.0, 7)
    amps = coil.coil_current.si(volts, resistance=2.9, series=0.12)
    assert np.all(np.diff(amps) > 0.0)
    assert amps * (2.9 + 0.12) == pytest.approx(volts)


def test_units_are_asked_for():
    with pytest.raises(UnitsRequired, match="voltage"):
        coil.coil_current(12.0, resistance="2.9 ohm")
    assert coil.coil_current("12 V", resistance="2.9 ohm").to("A").magnitude == pytest.approx(12 / 2.9)


@pytest.mark.parametrize(
    "call",
    [
        lambda: coil.hot_resistance.si(0.0, temperature=300.0),
        lambda: coil.coil_current.si(12.0, resistance=-3.0),
        lambda: coil.coil_current.si(12.0, resistance=3.0, series=-0.1),
        lambda: coil.coil_match.si(3.0, system=0.0),
        lambda: coil.lead_check.si(3.0, leads=-0.1),
    ],
)
def test_zero_and_negative_values_are_refused(call):
    with pytest.raises(ValueError):
        call()


def test_a_tenth_of_an_ohm_on_a_3_ohm_coil_is_8_5_kelvin():
    """Reckoning of the winding as thermometer; from memory."""
    found = coil.lead_check("3.2 ohm", leads="0.2 ohm", meter="0.1 ohm")
    assert found.resistance.to("ohm").magnitude == pytest.approx(3.0)
    assert found.temperature_error.to("K").magnitude == pytest.approx(8.5, abs=0.05)
    assert found.usable


def test_a_reading_that_lead_error_could_swallow_is_not_usable():
    small = coil.lead_check.si(0.6, leads=0.2, meter=0.1)
    assert small.share == pytest.approx(0.25) and not small.usable
    edge = [coil.lead_check.si(r, leads=0.0, meter=0.1).usable for r in (0.66, 0.67)]
    assert edge == [False, True]
    with pytest.raises(ValueError, match="leads alone"):
        coil.lead_check.si(0.2, leads=0.2)


@pytest.mark.parametrize(
    ("ohm", "system", "fits", "likely"),
    [
        (2.9, 12.0, True, 12.0),
        (11.5, 24.0, True, 24.0),
        (11.5, 12.0, False, 24.0),
        (2.9, 24.0, False, 12.0),
        (0.7, 12.0, False, 6.0),
    ],
)
def test_a_coil_for_another_voltage_is_told(ohm, system, fits, likely):
    found = coil.coil_match.si(ohm, system=system)
    assert (found.fits, found.likely_voltage) == (fits, likely)
    assert found.watts == pytest.approx(system**2 / ohm)
    if not fits:
        assert f"{likely:g} V" in found.reason


def ampere_turns(gauge, count, celsius=20.0):
    ohm = wiring.wire_resistance.si(awg_area(gauge), length=count * 0.35, temperature=C0 + celsius)
    return count * coil.coil_current.si(12.0, resistance=ohm)


@pytest.mark.parametrize(("gauge", "turns"), [(20, 1029), (21, 816), (22, 647), (23, 513), (24, 407)])
def test_ampere_turns_follow_the_gauge_and_not_the_number_of_turns(gauge, turns):
    """Independent calculation: 12 V, mean turn 0.35 m, 20 °C; more turns of one wire take less current by as much."""
    for count in (100, 200, 400):
        assert ampere_turns(gauge, count) == pytest.approx(turns, abs=0.5)


def test_ampere_turns_fall_with_the_heat_and_double_in_three_gauges():
    assert ampere_turns(19, 100) / ampere_turns(22, 100) == pytest.approx(2.0, rel=0.01)
    assert ampere_turns(22, 100) / ampere_turns(22, 100, 120.0) == pytest.approx((234.5 + 120) / 254.5, rel=1e-6)

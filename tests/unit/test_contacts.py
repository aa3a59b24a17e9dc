"""Switch, relay, joint and charging verdict inputs."""

import math

import pytest
from jackshaft.mechanics import contacts

C0 = 273.15


def test_a_rating_for_ac_only_is_no_rating_for_dc():
    """Trap: 16 A 250 V AC on a dash switch says nothing about a coil on a battery."""
    found = contacts.contact_limit_si(16.0, rated_for="AC only")
    assert found.amps is None and "no DC rating" in found.reason
    assert contacts.contact_limit_si(None, rated_for="not marked").amps is None
    assert contacts.contact_limit_si(None, rated_for="DC inductive").amps is None


def test_inductive_dc_is_at_most_half_the_resistive_figure():
    assert contacts.contact_limit_si(20.0, rated_for="DC resistive").amps == 10.0
    assert contacts.contact_limit_si(20.0, rated_for="DC resistive", suppressed=True).amps == 20.0
    assert contacts.contact_limit_si(20.0, rated_for="DC inductive").amps == 20.0


@pytest.mark.parametrize("bad", [{"rating": 0.0, "rated_for": "DC inductive"}, {"rating": 5.0, "rated_for": "DC"}])
def test_other_words_and_empty_ratings_are_refused(bad):
    with pytest.raises(ValueError):
        contacts.contact_limit_si(bad["rating"], rated_for=bad["rated_for"])


def test_a_relay_coil_of_the_wrong_voltage_is_told_with_the_cure():
    burns = contacts.relay_coil("12 V", supply="27 V")
    assert not burns.fits and "burns" in burns.reason
    dead = contacts.relay_coil("24 V", supply="12.6 V")
    assert not dead.fits and "chatters" in dead.reason
    assert dead.pull_in.to("V").magnitude == pytest.approx(13.8, rel=0.02)
    assert contacts.relay_coil("12 V", supply="14.4 V").fits


def test_a_hot_relay_needs_more_and_drops_out_while_cranking():
    cold, hot = (contacts.relay_coil.si(12.0, supply=9.0, coil=C0 + t).pull_in for t in (23, 125))
    assert cold == pytest.approx(6.9) and hot == pytest.approx(6.9 * (254.5 + 105) / (254.5 + 3), rel=1e-9)
    assert contacts.relay_coil.si(12.0, supply=9.0).fits
    assert not contacts.relay_coil.si(12.0, supply=9.0, coil=C0 + 125).fits


def test_a_bad_joint_is_hot():
    assert contacts.contact_heat("4 A", resistance="200 mΩ").to("W").magnitude == pytest.approx(3.2)
    assert contacts.contact_heat.si(4.0, resistance=0.003) == pytest.approx(0.048)
    with pytest.raises(ValueError, match="leads"):
        contacts.contact_heat.si(4.0, resistance=-0.1)


def test_a_4_2_amp_clutch_on_a_3_amp_stator_empties_half_the_battery_in_seven_and_a_half_hours():
    """Arithmetic of the wiring notes: -1.2 A, 18 A·h, half of it."""
    found = contacts.charging_budget("3 A", load="4.2 A", capacity="18 A·h")
    assert found.surplus.to("A").magnitude == pytest.approx(-1.2)
    assert found.lasts.to("hour").magnitude == pytest.approx(7.5)
    assert not found.enough and not found.leaves_margin


def test_a_budget_without_capacity_or_without_lack():
    assert math.isnan(contacts.charging_budget.si(3.0, load=4.0).lasts)
    fine = contacts.charging_budget.si(9.0, load=8.5, capacity=18 * 3600)
    assert fine.enough and not fine.leaves_margin and fine.lasts == math.inf
    assert contacts.charging_budget.si(9.0, load=8.0).leaves_margin
    for bad in ({"output": -1.0, "load": 1.0}, {"output": 1.0, "load": 1.0, "usable": 0.0}):
        with pytest.raises(ValueError):
            contacts.charging_budget.si(bad.pop("output"), **bad)

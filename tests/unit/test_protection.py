"""Wire heat under a fault, and fuse against wire."""

import math

import numpy as np
import pytest
from closed_forms import heat_constant
from jackshaft.mechanics import fuses, protection, wiring
from jackshaft.units import awg_area

C0 = 273.15
BLADE = fuses.fuse_gates_si("blade")


@pytest.mark.parametrize(("start", "limit", "k"), [(70, 160, 115), (90, 250, 143)])
def test_short_circuit_constant_of_copper(start, limit, k):
    """Usual constants of IEC 60364-4-43 and 60949, from memory: 115 and 143 A·s^0.5/mm²."""
    assert heat_constant(C0 + start, C0 + limit) / 1e6 == pytest.approx(k, abs=0.5)


def wire(current, **more):
    given = dict(area=1.309e-6, ampacity=26.7, insulation=C0 + 125, ambient=C0 + 50, start=C0 + 125, limit=C0 + 250)
    return protection.wire_heat_si(current, **{**given, **more})


def test_a_large_current_heats_without_loss():
    for amps in (1e3, 1e4):
        k = heat_constant(C0 + 125, C0 + 250)
        assert wire(amps).seconds == pytest.approx((k * 1.309e-6 / amps) ** 2, rel=2e-3 * 1e3 / amps)


def test_cooling_only_lengthens_the_time():
    amps = np.linspace(60.0, 400.0, 40)
    k = heat_constant(C0 + 125, C0 + 250)
    found = wire(amps).seconds
    assert np.all(found >= (k * 1.309e-6 / amps) ** 2)
    assert np.all(np.diff(found) < 0.0)


def test_at_its_ampacity_the_wire_settles_at_its_rating():
    found = wire(26.7)
    assert found.steady == pytest.approx(C0 + 125, abs=1e-6)
    assert found.seconds == math.inf
    assert wire(0.0).steady == pytest.approx(C0 + 50)


def test_closed_time_meets_a_stepwise_heating():
    """The closed form against small explicit steps of the same heat balance, written out again."""
    amps, area, t, seconds, dt = 60.0, 1.309e-6, C0 + 125.0, 0.0, 1e-3

    def rho(x):
        return 1.7241e-8 * (1 + (x - C0 - 20) / 254.5)

    loss = 26.7**2 * rho(C0 + 125) / area / 75.0
    while t < C0 + 250:
        t += dt * (amps**2 * rho(t) / area - loss * (t - C0 - 50)) / (3.45e6 * area)
        seconds += dt
    assert wire(amps).seconds == pytest.approx(seconds, rel=2e-3)


def test_damage_temperature_depends_on_the_kind_of_insulation():
    assert protection.damage_temperature_si(C0 + 85) == C0 + 160
    assert protection.damage_temperature_si(C0 + 105) == C0 + 160
    assert protection.damage_temperature_si(C0 + 125) == C0 + 250
    for celsius in (50, 270):
        with pytest.raises(ValueError, match="outside 60 to 260"):
            protection.damage_temperature_si(C0 + celsius)


def judged(amps, fuse, size, insulation, bundled=1, engine_space=False):
    area = awg_area(size)
    carries = wiring.ampacity.si(area, insulation=C0 + insulation, engine_space=engine_space, bundled=bundled).amps
    time = fuses.fuse_time_si(amps, rating=fuse, gates=BLADE)
    return protection.protection_si(
        amps,
        multiple=time.multiple,
        fuse_seconds=time.surely,
        fuse_likely=time.longest,
        area=area,
        ampacity=carries,
        insulation=C0 + insulation,
        ambient=C0 + (50 if engine_space else 30),
    )


def test_a_ten_amp_fuse_clears_a_far_short_on_16_gauge():
    """At most 0.15 s at six times its rating as printed; at nine times as much heat is there in (6/9)² of that time."""
    found = judged(90.0, 10.0, 16, 125, engine_space=True)
    assert found.holds and not found.wire_is_the_fuse and f"opens within {0.15 * (6 / 9) ** 2:.3f} s" in found.reason


def test_a_thin_long_wire_behind_a_big_fuse_is_itself_the_fuse():
    found = judged(23.05, 30.0, 20, 105, bundled=3)
    assert not found.holds and found.wire_is_the_fuse and "wire is the fuse" in found.reason
    assert found.wire.seconds < 60.0


def test_a_slow_clearing_fuse_may_come_too_late():
    found = judged(32.0, 20.0, 20, 80)
    assert not found.holds and not found.wire_is_the_fuse and "wire is damaged" in found.reason


def test_a_fault_the_wire_can_carry_is_no_fire():
    found = judged(9.0, 10.0, 16, 105)
    assert found.holds and not found.wire_is_the_fuse and found.fuse_seconds == math.inf


@pytest.mark.parametrize("size", [18, 16, 14, 12, 10])
@pytest.mark.parametrize("insulation", [60, 80, 105, 125])
def test_a_fuse_at_or_under_the_ampacity_protects_against_every_short(size, insulation):
    """The rule itself: choose by ampacity, and no short from 2.2 times the rating up to what such a fuse
    can break hurts the wire, with the fuse as slow as its band. At twice the rating the tightest pair
    (20 A on 18 gauge, 105 °C) misses by a twentieth, from a wire that was as hot as it may be before."""
    area = awg_area(size)
    carries = wiring.ampacity.si(area, insulation=C0 + insulation).amps
    ratings = [r for r in (1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30) if r <= carries]
    for multiple in np.geomspace(2.2, 1000.0 / ratings[-1], 80):
        found = judged(multiple * ratings[-1], ratings[-1], size, insulation)
        assert found.likely, (multiple, found.reason)


@pytest.mark.parametrize(
    "change",
    [
        {"area": 0.0},
        {"ampacity": 0.0},
        {"ambient": C0 + 125},
        {"limit": C0 + 100},
    ],
)
def test_impossible_wire_is_refused(change):
    with pytest.raises(ValueError):
        wire(50.0, **change)

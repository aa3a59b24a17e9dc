"""Flux and pull of the magnet: textbook limits, energy, saturation, and what the gap decides."""

import math

import numpy as np
import pytest
from closed_forms import gap_force, pole_force
from jackshaft.mechanics import magnet
from jackshaft.mechanics.magnet import Fixed, Iron, Magnet, Pole, Steel

MU0 = 4e-7 * math.pi
#: A clutch's path: two rings of 25 cm², two running clearances of 0.3 mm on 40 cm², steel.
PATH = Magnet((Pole(25e-4), Pole(25e-4)), (Fixed(0.3e-3, 40e-4),) * 2, (Iron(0.16, 22e-4),))
AIR = Magnet((Pole(25e-4), Pole(25e-4)))


@pytest.mark.parametrize(("density", "kpa"), [(0.5, 99), (1.0, 398), (1.5, 895), (1.8, 1289)])
def test_pressure_of_a_flux_density(density, kpa):
    """Independent calculation of B²/(2 mu0)."""
    assert pole_force(density * 1e-4, 1e-4) / 1e-4 / 1e3 == pytest.approx(kpa, abs=0.5)


def test_ideal_steel_gives_the_gap_formula():
    for gap in (0.2e-3, 0.5e-3, 1e-3):
        found = magnet.pull_si(400.0, gap=gap, magnet=AIR)
        assert found.force == pytest.approx(gap_force(400.0, gap, 25e-4), rel=1e-9)
        assert found.iron_share == 0.0


@pytest.mark.parametrize(
    ("gap_mm", "pull"),
    [
        (0.04, 2733),
        (0.2, 1617),
        (0.3, 1100),
        (0.4, 790),
        (0.5, 595),
        (0.6, 464),
        (0.8, 304),
    ],
)
def test_pull_against_gap_meets_an_independent_model(gap_mm, pull):
    """Independent calculation, 650 ampere-turns. Its steel was not stated: 16 cm of 22 cm² was found by a
    fit of two numbers to seven, so five of the seven test the model."""
    assert magnet.pull_si(650.0, gap=gap_mm * 1e-3, magnet=PATH).force == pytest.approx(pull, rel=1e-3)


@pytest.mark.parametrize("turns", [5.0, 650.0, 2e4])
def test_a_closed_path_of_steel_alone_takes_all_the_ampere_turns(turns):
    found = magnet.pull_si(turns, gap=0.0, magnet=AIR._replace(iron=(Iron(0.16, 22e-4), Iron(0.02, 30e-4))))
    round_path = sum(
        magnet.field_si(found.flux / area, steel=magnet.mild_steel_si()) * length
        for length, area in ((0.16, 22e-4), (0.02, 30e-4))
    )
    assert round_path == pytest.approx(turns, rel=1e-9) and found.iron_share == pytest.approx(1.0)


def test_the_sum_of_ampere_turns_closes():
    found = magnet.pull_si(650.0, gap=0.3e-3, magnet=PATH)
    b = found.flux / 22e-4
    round_path = found.flux * (2 * 0.3e-3 / 25e-4 + 2 * 0.3e-3 / 40e-4) / MU0 + 0.16 * magnet.field_si(
        b, steel=magnet.mild_steel_si()
    )
    assert round_path == pytest.approx(650.0, rel=1e-9)
    assert found.reluctance * found.flux == pytest.approx(650.0, rel=1e-9)


@pytest.mark.parametrize("width", [None, 8e-3])
@pytest.mark.parametrize("gap", [0.1e-3, 0.4e-3, 1.0e-3])
def test_pull_is_the_slope_of_the_gap_energy_at_constant_flux(width, gap):
    path = Magnet((Pole(20e-4, width), Pole(30e-4, width)))
    found = magnet.pull_si(500.0, gap=gap, magnet=path)

    def energy(g):
        return 0.5 * found.flux**2 * magnet.pull_si(1.0, gap=g, magnet=path).reluctance

    step = 1e-9
    assert found.force == pytest.approx((energy(gap + step) - energy(gap - step)) / (2 * step), rel=1e-4)


def test_half_a_millimetre_of_air_costs_557_ampere_turns_at_1_4_tesla():
    """Independent calculation."""
    force = pole_force(1.4e-4, 1e-4)
    turns = magnet.pull_in_turns_si(0.5e-3, spring=force, magnet=Magnet((Pole(1e-4),)))
    assert turns == pytest.approx(557, abs=0.5)


def test_fringing_carries_more_flux_across_a_wide_gap():
    plain = magnet.pull_si(500.0, gap=1e-3, magnet=AIR)
    wide = magnet.pull_si(500.0, gap=1e-3, magnet=Magnet((Pole(25e-4, 6e-3),) * 2))
    assert wide.flux == pytest.approx(plain.flux * (1 + 1e-3 / 6e-3), rel=1e-9)


def test_the_smaller_ring_carries_more_force_at_the_smaller_radius():
    """A plain mean radius promises too much torque where the inner ring is the smaller."""
    found = magnet.pull_si(600.0, gap=0.05e-3, magnet=Magnet((Pole(15e-4), Pole(30e-4)), PATH.fixed, PATH.iron))
    inner, outer = found.pole_forces
    assert inner / outer == pytest.approx(2.0)
    torque = magnet.friction_torque_si(found, friction=0.2, radii=(0.030, 0.060))
    assert torque == pytest.approx(0.2 * (inner * 0.030 + outer * 0.060))
    assert torque < 0.2 * found.force * 0.045
    assert magnet.friction_torque_si(
        found, friction=0.2, radii=(0.03, 0.06), springs=0.5 * found.force
    ) == pytest.approx(torque / 2)
    assert magnet.friction_torque_si(found, friction=0.2, radii=(0.03, 0.06), springs=2 * found.force) == 0.0
    with pytest.raises(ValueError, match="as many radii"):
        magnet.friction_torque_si(found, friction=0.2, radii=(0.03,))


def test_the_released_gap_decides_pull_in_and_not_the_engaged_torque():
    """Trap: a gap of 0.6 mm for 0.3 costs over half the pull-in force and no engaged torque."""
    narrow, wide = (magnet.pull_si(650.0, gap=g, magnet=PATH).force for g in (0.3e-3, 0.6e-3))
    assert wide / narrow == pytest.approx(0.42, abs=0.005)
    engaged = magnet.pull_si(650.0, gap=0.04e-3, magnet=PATH)
    assert engaged.force > 2.0 * narrow
    # what the engaged clutch has is set by its closed gap; the released gap is no input to it
    closest = magnet.pull_si(650.0, gap=0.05e-3, magnet=PATH).force
    assert abs(closest / engaged.force - 1.0) < 0.05
    needs = [magnet.pull_in_turns_si(g, spring=200.0, magnet=PATH) for g in (0.3e-3, 0.6e-3)]
    assert needs[1] > 1.4 * needs[0]


def test_engaged_pull_falls_slower_than_the_square_law_and_open_pull_follows_it():
    """Independent model: engaged, current 0.9/0.8/0.7/0.5 leaves 0.90/0.81/0.67/0.36 of the pull."""

    def share(gap, part):
        return (
            magnet.pull_si(650.0 * part, gap=gap, magnet=PATH).force / magnet.pull_si(650.0, gap=gap, magnet=PATH).force
        )

    for part, kept in ((0.9, 0.90), (0.8, 0.81), (0.7, 0.67), (0.5, 0.36)):
        assert share(0.04e-3, part) == pytest.approx(kept, abs=0.04)
        assert part**2 < share(0.04e-3, part)
        assert share(0.6e-3, part) == pytest.approx(part**2, rel=0.04)


def test_saturation_levels_the_flux():
    flux = magnet.pull_si(np.array([1000.0, 4000.0, 16000.0]), gap=0.05e-3, magnet=PATH)
    assert flux.density[2] < 2.6 and flux.flux[1] / flux.flux[0] < 2.0
    assert flux.iron_share[2] > 0.4


def test_pull_falls_with_the_gap_and_rises_with_the_turns():
    gap = np.linspace(0.02e-3, 2e-3, 60)
    assert np.all(np.diff(magnet.pull_si(650.0, gap=gap, magnet=PATH).force) < 0.0)
    turns = np.linspace(0.0, 3000.0, 60)
    assert np.all(np.diff(magnet.pull_si(turns, gap=0.3e-3, magnet=PATH).force) > 0.0)
    assert magnet.pull_si(0.0, gap=0.3e-3, magnet=PATH).force == pytest.approx(0.0, abs=1e-20)


def test_leakage_takes_pull_away():
    lossy = PATH._replace(leakage=0.2)
    assert magnet.pull_si(650.0, gap=0.4e-3, magnet=lossy).force < magnet.pull_si(650.0, gap=0.4e-3, magnet=PATH).force


def test_pull_in_gap_and_turns_answer_each_other():
    for gap in (0.3e-3, 0.6e-3):
        turns = magnet.pull_in_turns_si(gap, spring=150.0, magnet=PATH)
        assert magnet.pull_si(turns, gap=gap, magnet=PATH).force == pytest.approx(150.0, rel=1e-9)
        assert magnet.pull_in_gap_si(turns, spring=150.0, magnet=PATH) == pytest.approx(gap, rel=1e-9)
    assert magnet.pull_in_gap_si(5.0, spring=150.0, magnet=PATH) == 0.0
    assert magnet.pull_in_gap_si(1e6, spring=1.0, magnet=AIR) == math.inf


def test_worn_gap_hot_coil_and_low_volts_add_up():
    cold = magnet.pull_in_gap_si(650.0, spring=150.0, magnet=PATH)
    hot = magnet.pull_in_gap_si(650.0 * 0.76 * 0.9, spring=150.0, magnet=PATH)
    assert hot < 0.75 * cold


def test_steel_beyond_its_curve_rises_as_air():
    steel = magnet.mild_steel_si()
    assert magnet.field_si(2.0, steel=steel) == 24000.0
    assert magnet.field_si(2.1, steel=steel) == pytest.approx(24000.0 + 0.1 / MU0)
    assert magnet.field_si(0.25, steel=Steel(np.array([0, 0.5]), np.array([0, 250.0]))) == pytest.approx(125.0)


@pytest.mark.parametrize(
    "call",
    [
        lambda: magnet.pull_si(-1.0, gap=1e-3, magnet=AIR),
        lambda: magnet.pull_si(1.0, gap=-1e-3, magnet=AIR),
        lambda: magnet.pull_si(1.0, gap=1e-3, magnet=Magnet(())),
        lambda: magnet.pull_si(1.0, gap=0.0, magnet=AIR),
        lambda: magnet.pull_si(1.0, gap=1e-3, magnet=AIR._replace(leakage=1.0)),
        lambda: magnet.pull_in_gap_si(1.0, spring=0.0, magnet=AIR),
        lambda: magnet.pull_in_turns_si(0.0, spring=10.0, magnet=AIR),
        lambda: magnet.field_si(-0.1, steel=Steel(np.array([0, 1.0]), np.array([0, 1.0]))),
    ],
)
def test_impossible_magnets_are_refused(call):
    with pytest.raises(ValueError):
        call()

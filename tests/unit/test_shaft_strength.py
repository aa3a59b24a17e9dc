"""Stress, fatigue and yield of a shaft section, stock sizes and the side load of a crank."""

import math

import numpy as np
import pytest
from jackshaft.mechanics import shaft_rules, stress_raisers
from jackshaft.mechanics import shaft_strength as strength

MPA = 1e6
STEEL = {"tensile": 440 * MPA, "yield_stress": 370 * MPA}  # AISI 1018 cold-drawn


def safety(duty, diameter=0.03, method="goodman", raiser=(1.0, 1.0)):
    return strength.strength.si(duty, diameter, endurance=170 * MPA, method=method, raiser=raiser, **STEEL)


def test_trap_a_steady_belt_pull_on_a_turning_shaft_is_fully_reversed_bending():
    turning = strength.duty.si(60.0, 0.0)
    assert (turning.moment_swing, turning.moment_mean) == (60.0, 0.0)
    pin = strength.duty.si(60.0, 0.0, turning=False)
    assert (pin.moment_swing, pin.moment_mean) == (0.0, 60.0)
    # fatigue judges the turning shaft by its endurance limit, the pin by its tensile strength
    assert safety(turning).fatigue == pytest.approx(170 / (32 * 60 / (math.pi * 0.03**3) / MPA))
    assert safety(pin).fatigue == pytest.approx(safety(turning).fatigue * 440 / 170)
    assert safety(pin).yielding == pytest.approx(safety(turning).yielding)


def test_torque_stays_steady_but_for_its_ripple():
    duty = strength.duty.si(0.0, 40.0, torque_ripple=0.5)
    assert (duty.torque_swing, duty.torque_mean) == (20.0, 40.0)
    with pytest.raises(ValueError):
        strength.duty.si(0.0, 40.0, torque_ripple=-1)


def test_order_of_the_methods():
    duty = strength.duty.si(60.0, 80.0)
    found = {m: safety(duty, method=m).fatigue for m in strength.METHODS}
    assert found["soderberg"] < found["goodman"] < found["gerber"]
    assert found["soderberg"] < found["elliptic"]


@pytest.mark.parametrize("method", strength.METHODS)
def test_methods_meet_at_pure_swing_and_the_needed_diameter_meets_its_safety(method):
    assert safety(strength.duty.si(60.0, 0.0), method=method).fatigue == pytest.approx(
        safety(strength.duty.si(60.0, 0.0)).fatigue
    )
    duty = strength.duty.si(60.0, 80.0)
    need = strength.diameter_needed.si(duty, 2.0, method=method, raiser=(2.0, 1.6), **STEEL)
    at = strength.strength.si(
        duty,
        need,
        endurance=strength.endurance_limit.si(440 * MPA, need),
        method=method,
        raiser=(2.0, 1.6),
        **STEEL,
    )
    assert min(at.fatigue, at.yielding) == pytest.approx(2.0, rel=1e-9)


@pytest.mark.parametrize("method", ["goodman", "gerber", "elliptic", "soderberg"])
def test_published_closed_forms(method):
    # shigley ch. 7: the diameter formulas, solved here for the safety at a given diameter
    m, t, d, kf, kfs, se, su, sy = 60.0, 80.0, 0.03, 2.0, 1.6, 170 * MPA, 440 * MPA, 370 * MPA
    a, b = 2 * kf * m, math.sqrt(3) * kfs * t
    n = {
        "goodman": math.pi * d**3 / 16 / (a / se + b / su),
        "soderberg": math.pi * d**3 / 16 / (a / se + b / sy),
        "elliptic": math.pi * d**3 / 16 / math.hypot(a / se, b / sy),
        "gerber": math.pi * d**3 * se / (8 * a * (1 + math.sqrt(1 + (2 * b * se / (a * su)) ** 2))),
    }[method]
    assert safety(strength.duty.si(m, t), d, method, (kf, kfs)).fatigue == pytest.approx(n)


def test_strength_over_arrays_and_without_load():
    found = safety(strength.duty.si(np.array([0.0, 30.0, 60.0]), 0.0))
    assert found.fatigue[0] == math.inf and found.fatigue[1] == pytest.approx(2 * found.fatigue[2])


def test_hollow_shaft_keeps_most_of_its_strength():
    solid = strength.torsion_stress.si(100.0, 0.04)
    assert strength.torsion_stress.si(100.0, 0.04, 0.02) == pytest.approx(solid / (1 - 0.5**4))
    assert strength.bending_stress.si(100.0, 0.04) == pytest.approx(2 * solid)
    for wrong in ((0.0, 0.0), (0.02, 0.02), (0.02, 0.03)):
        with pytest.raises(ValueError, match="diameter larger"):
            strength.torsion_stress.si(1.0, *wrong)


def test_gearbox_shaft_stresses_of_the_trommel():
    # independent calculation of the compost trommel: 297 N·m on 30 / 35 / 40 mm, torsion only
    stress = strength.torsion_stress.si(297.0, np.array([0.030, 0.035, 0.040])) / MPA
    assert stress == pytest.approx([56, 35, 24], abs=0.5)


def test_endurance_limit_by_hand():
    # 0.5 * 440 * 4.51 * 440^-0.265 * 1.24 * 30^-0.107: 220 * 0.8989 * 0.8618
    assert strength.endurance_limit.si(440 * MPA, 0.03) / MPA == pytest.approx(170.4, abs=0.1)
    assert strength.endurance_limit.si(440 * MPA, 0.03, reliability=99) / MPA == pytest.approx(170.4 * 0.814, abs=0.1)
    rough = strength.endurance_limit.si(440 * MPA, 0.03, finish="hot-rolled")
    assert (
        rough
        < strength.endurance_limit.si(440 * MPA, 0.03)
        < strength.endurance_limit.si(440 * MPA, 0.03, finish="ground")
    )
    assert strength.endurance_limit.si(2000 * MPA, 0.03, finish="ground") < 700 * MPA
    for call in (
        lambda: strength.endurance_limit.si(440 * MPA, 0.03, finish="painted"),
        lambda: strength.endurance_limit.si(440 * MPA, 0.03, reliability=42),
        lambda: strength.endurance_limit.si(440 * MPA, 0.0),
        lambda: stress_raisers.raiser("scratch"),
        lambda: safety(strength.duty.si(1.0, 1.0), method="guess"),
        lambda: strength.diameter_needed.si(strength.duty.si(1e9, 0.0), 2.0, **STEEL),
        lambda: strength.diameter_needed.si(strength.duty.si(0.0, 0.0), 2.0, **STEEL),
    ):
        with pytest.raises(ValueError):
            call()


def test_a_raiser_without_a_torsion_factor_says_what_was_assumed():
    found = stress_raisers.raiser("press-fit edge")
    assert found.torsion == found.bending and "torsion is taken as that for bending" in found.words
    assert stress_raisers.raiser("plain")[:2] == (1.0, 1.0)


def test_next_stock():
    assert shaft_rules.next_stock("1.01 in", system="inch").to("inch").magnitude == pytest.approx(1.125)
    assert shaft_rules.next_stock.si(0.0254, system="inch") == pytest.approx(0.0254)
    assert shaft_rules.next_stock.si(0.0301, system="metric") == pytest.approx(0.032)
    with pytest.raises(ValueError, match="thick enough"):
        shaft_rules.next_stock.si(0.5, system="metric")
    with pytest.raises(ValueError):
        shaft_rules.next_stock.si(0.02, system="cubits")


def test_side_load_of_a_crank_goes_by_moment_and_by_the_pull_itself():
    assert shaft_rules.side_load.si(500.0, 0.06, limit=1000.0, limit_at=0.03) == pytest.approx(1.0)
    assert shaft_rules.side_load.si(1200.0, 0.01, limit=1000.0, limit_at=0.03) == pytest.approx(1.2)
    with pytest.raises(ValueError, match="maker"):
        shaft_rules.side_load.si(500.0, 0.06, limit=0.0, limit_at=0.03)

"""Keys, screws, clamps, flanges, pins, welds and splines."""

import math

import pytest
from jackshaft.mechanics import joints, keys, shaft_strength, splines, welds
from jackshaft.tables import table

LBF, INCH, KSI = 4.4482216152605, 0.0254, 6894757.293168
LBF_FT = LBF * 0.3048


def test_key_of_the_feed_wagons_crank():
    # independent calculation of the build: 422 lbf ft in crushing, 54 ksi, 1/4 x 1-1/2 in; shear by hand
    key = keys.key_for.si(1.0 * INCH, system="inch")
    assert (key.width / INCH, key.height / INCH) == pytest.approx((0.25, 0.25))
    found = keys.key_capacity.si(1.0 * INCH, key.width, key.height, 1.5 * INCH, key_yield=54 * KSI)
    assert found.crushing / LBF_FT == pytest.approx(422, abs=0.5)
    assert found.shear / LBF_FT == pytest.approx(0.577 * 54e3 * 0.25 * 1.5 * 0.5 / 12, abs=0.5)
    assert found.governing == found.crushing


def test_output_shaft_of_the_feed_wagon_at_yield():
    # independent calculation of the build: 139 lbf ft carried over to the crank, which turns 7.180 times as fast;
    # plain torsion of the 1-1/4 in shaft at 54 ksi
    plain = shaft_strength.torque_at_yield.si(54 * KSI, 1.25 * INCH) / LBF_FT
    assert plain / 7.180 == pytest.approx(139, abs=0.5)


def test_every_key_row_is_found_and_half_in_each_part():
    for row in table("keys"):
        system = "inch" if row["standard"].startswith("ASME") else "metric"
        key = keys.key_for.si(row["to_mm"] * 1e-3, system=system)
        assert key.width == pytest.approx(row["width_mm"] * 1e-3)
        if system == "metric":  # a little air over the key
            assert key.height < key.shaft_depth + key.hub_depth
    with pytest.raises(ValueError, match="no metric key"):
        keys.key_for.si(0.3, system="metric")
    with pytest.raises(ValueError, match="inch or metric"):
        keys.key_for.si(0.03, system="whitworth")


def test_a_weak_hub_governs_and_capacity_grows_with_length():
    def both(length, seat=None):
        return keys.key_capacity.si(0.025, 0.008, 0.007, length, key_yield=300e6, seat_yield=seat)

    assert both(0.03, 100e6).crushing == pytest.approx(both(0.03).crushing / 3)
    assert both(0.03, 100e6).shear == both(0.03).shear
    assert both(0.06).governing == pytest.approx(2 * both(0.03).governing)
    with pytest.raises(ValueError):
        both(0.0)


def test_keyseats_and_pin_holes_take_from_the_shaft():
    # khurmi-design form: 1 - 0.2 * 8/30 - 1.1 * 4/30 = 0.800
    assert keys.keyed_share(30, 8, 4) == pytest.approx(0.8)
    assert keys.keyed_share(30, 8, 4, keyseats=2) == pytest.approx(0.6)
    for bad in ((10, 20, 8, 1), (30, 8, 4, 3)):
        with pytest.raises(ValueError):
            keys.keyed_share(*bad[:3], keyseats=bad[3])
    # (pi D3/16 - d D2/6) over pi D3/16 with d = D/4: 1 - 16/(24 pi) = 0.7878
    assert keys.pinned_share(40, 10) == pytest.approx(0.7878, abs=1e-4)
    for pin in (0.0, 21.0):
        with pytest.raises(ValueError, match="cross pin"):
            keys.pinned_share(40, pin)


def test_pressed_sleeve_by_the_thick_ring():
    # Lame, written for both parts: a solid shaft gives by p d (1 - nu)/(2E), the ring by
    # p d/(2E) ((D2 + d2)/(D2 - d2) + nu)
    d, outside, long, modulus, nu, pressure = 0.024, 0.030, 0.03, 207e9, 0.3, 40e6
    ring = (outside**2 + d**2) / (outside**2 - d**2) + nu
    interference = 2 * pressure * d / (2 * modulus) * ((1 - nu) + ring)
    found = joints.press_torque.si(interference, d, outside, long, friction=0.12, elastic_modulus=modulus)
    assert found.pressure == pytest.approx(pressure, rel=1e-9)
    assert found.torque == pytest.approx(0.12 * pressure * math.pi * d * long * d / 2, rel=1e-9)
    for bad in ((0.0, d, outside, long), (1e-5, d, d, long), (1e-5, d, outside, 0.0)):
        with pytest.raises(ValueError, match="sleeve"):
            joints.press_torque.si(*bad, friction=0.12, elastic_modulus=modulus)


@pytest.mark.parametrize("metric, inch, thinner", [("M5", "#10", 1), ("M6", "1/4", 6 / 6.35), ("m8 x 1.25", "5/16", 1)])
def test_a_metric_set_screw_holds_no_more_than_the_inch_one_next_to_it(metric, inch, thinner):
    mine, other = joints.set_screw.si(metric), joints.set_screw.si(inch)
    assert mine.holding_least == pytest.approx(other.holding_least * thinner**2)
    assert mine.seating_torque == pytest.approx(other.seating_torque * thinner**3)
    for wrong in ("M2", "M24", "Mx", "8 mm"):
        with pytest.raises(ValueError, match="choose #4.* M3 to M20"):
            joints.set_screw.si(wrong)


@pytest.mark.parametrize("text", ["3/8 in", '3/8"', "3/8-16", "3/8-16 UNC"])
def test_a_set_screw_by_its_inch_or_its_thread_is_the_same_screw(text):
    assert joints.set_screw.si(text).holding == joints.set_screw.si("3/8").holding


def test_set_screws_are_weak():
    screw = joints.set_screw.si("3/8")
    assert screw.holding == pytest.approx(2000 * LBF) and screw.words
    assert screw.holding_least == pytest.approx(1000 * LBF)  # set-screw-charts: half of the textbook's table
    still = joints.set_screw_torque.si(screw.holding, 1.0 * INCH)
    assert joints.set_screw_torque.si(screw.holding, 1.0 * INCH, count=2) == pytest.approx(2 * still)
    # 10 hp at 1800 r/min is 350 lbf in: more than one screw with the factor for a running load
    assert joints.set_screw_torque.si(screw.holding, 1.0 * INCH, factor=6) / (LBF * INCH) < 350
    with pytest.raises(ValueError):
        joints.set_screw.si("2 in")
    with pytest.raises(ValueError, match="two set screws in a hub, not 3: write 2$"):
        joints.set_screw_torque.si(1.0, 1.0, count=3)


def test_clamp_models_and_the_slit():
    def torque(model, slit=False):
        return joints.clamp_torque.si(1e4, 0.03, 0.15, model=model, slit=slit)

    assert torque("two lines") == pytest.approx(0.15 * 1e4 * 0.03)
    assert torque("half circle") < torque("two lines") < torque("even pressure")
    assert torque("two lines", slit=True) == pytest.approx(torque("two lines") / 2)
    with pytest.raises(ValueError, match="model"):
        torque("hope")


def test_flange_friction_is_far_below_the_shear_of_its_bolts():
    row = joints.bolt("3/8-16", "SAE 5")
    force, torque = joints.preload_si(row)
    # three quarters of 586 MPa on 49.99 mm2; the torque at a nut factor of 0.2 is 41.9 N·m
    assert force == pytest.approx(0.75 * 586 * 49.99) and torque == pytest.approx(41.9, abs=0.1)
    found = joints.flange_torque.si(
        4,
        0.06,
        preload=force,
        friction=0.15,
        bolt=row["diameter_mm"] * 1e-3,
        shear_allowed=0.6 * row["tensile_min_mpa"] * 1e6,
    )
    assert found.friction == pytest.approx(0.15 * 4 * force * 0.03)
    assert found.friction < 0.2 * found.shear
    with pytest.raises(ValueError):
        joints.bolt("3/8-16", "8.8")
    with pytest.raises(ValueError):
        joints.preload_si(row, share=1.5)
    with pytest.raises(ValueError):
        joints.flange_torque.si(0, 0.06, preload=1.0, friction=0.1, bolt=0.01, shear_allowed=1e6)


def test_shear_pin_of_the_feed_wagon():
    # independent calculation of the build: 1/4 in, 44.4 ksi, radius 11/16 in, single shear on the auger,
    # 17.4 lbf ft carried over to the crank, which turns 7.180 times as fast
    torque = joints.shear_pin_torque.si(1 / 4 * INCH, 11 / 16 * INCH, 44.4 * KSI)
    assert torque / LBF_FT / 7.180 == pytest.approx(17.4, abs=0.05)
    assert joints.shear_pin_torque.si(0.005, 0.02, 1e8, planes=2) == pytest.approx(
        2 * joints.shear_pin_torque.si(0.005, 0.02, 1e8)
    )
    with pytest.raises(ValueError):
        joints.shear_pin_torque.si(0.005, 0.02, 1e8, planes=0)


def test_a_strong_bolt_of_the_grade_takes_far_more_than_the_weak_one():
    row = joints.bolt("1/4-20", "SAE 2")
    assert row["tensile_max_mpa"] / row["tensile_min_mpa"] > 1.5


def test_weld_ring_combines_and_two_rings_halve_the_stress():
    one = welds.weld_ring.si(0.03, 0.006, 100.0, moment=50.0)
    assert one.combined == pytest.approx(math.hypot(one.torsion, one.bending))
    # by hand: throat 4.243 mm; 2 * 100 / (pi * 0.004243 * 0.0009) = 16.67 MPa; bending 4 * 50 / ... the same
    assert one.torsion == pytest.approx(16.67e6, rel=1e-3) and one.bending == pytest.approx(one.torsion)
    assert welds.weld_ring.si(0.03, 0.006, 100.0, moment=50.0, rings=2).combined == pytest.approx(one.combined / 2)
    with pytest.raises(ValueError):
        welds.weld_ring.si(0.03, 0.0, 100.0)


def test_weld_stress_allowed():
    assert welds.weld_allowed.si(483e6, reversing=False) == pytest.approx(0.30 * 483e6)
    assert welds.weld_allowed.si(483e6, reversing=True) == pytest.approx(35e6)
    assert any("reheat" in c for c in welds.WELD_CAUTIONS)
    with pytest.raises(ValueError):
        welds.weld_allowed.si(0.0, reversing=True)


def test_splines_belong_to_their_speed():
    first = splines.profile.si(1)
    assert first.splines == 6 and first.speed == pytest.approx(540 * math.pi / 30)
    assert splines.profile.si(2, 1000).splines == 21
    with pytest.raises(ValueError, match="never adapt"):
        splines.profile.si(2, 540)
    with pytest.raises(ValueError, match="no flank pressure"):
        splines.allowed_pressure.si("loose", "heat-treated")


def test_involute_profiles_close_on_their_nominal_size():
    for kind in (2, 3):
        p = splines.profile.si(kind)
        # outside diameter of a 30 degree spline is (teeth + 1) over the pitch
        assert 2 * p.radius * (p.splines + 1) / p.splines == pytest.approx(p.nominal, rel=1e-4)
        assert p.root < 2 * p.radius - p.height < 2 * p.radius < p.nominal
        # tooth and gap alike on the pitch circle
        assert 2 * p.splines * p.tooth == pytest.approx(math.pi * 2 * p.radius)


def test_splines_by_the_handbook_s_sliding_rule():
    # straight six-spline, permanent fit proportions: 208 D2 lbf in per inch at 1000 psi, every spline bearing
    size = 1.375 * INCH
    torque = splines.flank_torque.si(KSI, INCH, splines=6, radius=0.4625 * size, height=0.075 * size, share=1.0)
    assert torque / (LBF * INCH) == pytest.approx(208 * 1.375**2, rel=2e-3)
    for bad in ({"share": 1.2}, {"height": 0.0}, {"radius": -1.0}):
        with pytest.raises(ValueError):
            splines.flank_torque.si(1e6, 0.05, splines=6, **{"radius": 0.016, "height": 0.003, **bad})


def test_root_of_a_tractor_spline():
    # 29.4 mm at 120 MPa carries 599 N m; the standard's 60 kW at 540 r/min is 1061 N m and asks for 213 MPa
    yields = 120e6 * math.sqrt(3)
    assert shaft_strength.torque_at_yield.si(yields, 0.0294) == pytest.approx(599, abs=0.5)
    first = splines.profile.si(1, 540)
    assert first.power / first.speed == pytest.approx(1061, abs=0.5)
    assert shaft_strength.torsion_stress.si(1061, 0.0294) / 1e6 == pytest.approx(213, abs=0.5)


def test_worn_teeth_carry_less_and_none_left_is_refused():
    args = {"splines": 6, "radius": 0.016, "tooth": 0.0087}
    sound, worn = (splines.tooth_torque.si(100e6, 0.06, wear=w, **args) for w in (0.0, 0.00087))
    assert sound == pytest.approx(100e6 * 6 * 0.0087 * 0.06 * 0.016 * 0.75)
    assert worn == pytest.approx(0.9 * sound)
    with pytest.raises(ValueError, match="nothing is left"):
        splines.tooth_torque.si(100e6, 0.06, wear=0.0087, **args)
    assert splines.rim_force_ratio(1000, 540) == pytest.approx(3.43, abs=0.005)  # 1.85 squared
    with pytest.raises(ValueError):
        splines.rim_force_ratio(1000, 0)


@pytest.mark.parametrize(
    "steel, weldable, carbon",
    [
        ("AISI 1018 CD", "yes", 0.18),
        ("AISI 1045 HR", "with care", 0.45),
        ("AISI 4140 Q&T 650C", "with care", 0.40),
        ("12L14 CD", "no", 0.14),
        ("1144 high-strength CD", "no", 0.44),
        ("ASTM A36", "yes", 0.26),
        ("304 stainless annealed", "with care", None),
    ],
)
def test_steels_and_welds(steel, weldable, carbon):
    care = welds.weld_care(steel)
    assert (care.weldable, care.carbon) == (weldable, carbon)
    assert (care.preheat is not None) == (weldable == "with care" and carbon is not None)


def test_a_name_that_does_not_tell_what_is_in_the_steel():
    assert welds.weld_care("axle from the scrapyard") is None and welds.weld_care("6061-T6") is None
    with pytest.raises(ValueError, match="0.95 % carbon"):
        welds.weld_care("AISI 1095")

"""Worked examples of bearings, shafts and joints, by the printed-answer rule."""

import math

import numpy as np
import pytest
from answers import assert_printed, case
from closed_forms import life_share, survival
from jackshaft.mechanics import (
    balance,
    bearing_limits,
    bearings,
    grooves,
    joints,
    keys,
    shaft_rules,
    shaft_strength,
    shafts,
    welds,
    whirl,
)
from jackshaft.mechanics.bearings import StaticRating
from jackshaft.mechanics.shafts import Load, Step, Support

LBF, INCH, RPM, MPA = 4.4482216152605, 0.0254, math.pi / 30, 1e6
PSI, LBF_IN = LBF / INCH**2, LBF * INCH


def hold(c, **values):
    for name, value in values.items():
        assert_printed(c, name, value)


def test_b1_life_under_radial_and_axial_load():
    c = case("B1")
    i = c.inputs
    static = StaticRating(i["C0_lbf"] * LBF, "older")
    found = bearings.equivalent_load.si(i["Fr_lbf"] * LBF, i["Fa_lbf"] * LBF, static=static, ring_factor=i["V"])
    life = bearings.life.si(i["C10_lbf"] * LBF, found.load, i["n_rpm"] * RPM)
    hold(c, e=found.e, Y2=found.y, Fe_lbf=found.load / LBF, L10_h=life.hours)


def test_b3_rating_that_is_needed_with_the_three_parameter_law():
    c = case("B3")
    i = c.inputs
    load, speed, wanted = i["F_lbf"] * LBF, i["n_rpm"] * RPM, i["life_h"] * 3600
    million = wanted * speed / (2 * math.pi) / 1e6
    needed = bearings.needed_rating.si(load, speed, wanted, shock=i["af"], a1=life_share(i["R"]))
    share = i["life_h"] / bearings.life.si(46.2e3, load, speed, shock=i["af"]).hours
    hold(
        c,
        xD=million,
        FD_kN=load * i["af"] / 1e3,
        C10_kN=needed / 1e3,
        R_with_46p2=survival(share),
    )


def test_b5_older_factor_for_a_turning_outer_ring():
    c = case("B5")
    i = c.inputs

    def load(factor):
        static = StaticRating(i["C0_kN"] * 1e3, "older")
        return bearings.equivalent_load.si(i["Fr_kN"] * 1e3, i["Fa_kN"] * 1e3, static=static, ring_factor=factor)

    hold(c, Y2=load(i["V"]).y, Fe_kN=load(i["V"]).load / 1e3, Fe_without_V_kN=load(1.0).load / 1e3)


def test_b7_reliability_factor_of_two_editions():
    c = case("B7")
    for percent in c.inputs["reliability_percent"]:
        for edition in ("2007", "1990"):
            a1 = bearing_limits.reliability_factor(percent, edition=edition)
            assert_printed(c, f"a1_{edition}_{percent}", a1)


def test_s2_keyed_stub_shaft():
    c = case("S2")
    i = c.inputs
    torque = i["hp"] * 550 * 12 / (i["rpm"] * RPM)  # lbf in
    # The book's coefficients are equivalent stress times diameter cubed: bending with factor and size factor,
    # and mean shear scaled by endurance over yield. They give the moment, and the torque once more.
    moment = i["coef_se"] * i["SF"] * math.pi / (32 * i["Kf"])
    assert i["coef_ses"] * i["sy_ksi"] / (0.5 * i["su_ksi"]) * math.pi / 16 == pytest.approx(torque, rel=1e-3)
    # Its rule is the elliptic one, without a raiser on the steady torque.
    at_one_inch = shaft_strength.strength.si(
        shaft_strength.duty.si(moment * LBF_IN, torque * LBF_IN),
        INCH,
        tensile=i["su_ksi"] * 1e3 * PSI,
        endurance=0.5 * i["su_ksi"] * 1e3 * PSI * i["SF"],
        yield_stress=i["sy_ksi"] * 1e3 * PSI,
        raiser=(i["Kf"], 1.0),
        method="elliptic",
    )
    hold(c, T_lbin=torque, d_in=(i["N"] / at_one_inch.fatigue) ** (1 / 3))


def test_s4_torsion_and_twist():
    c = case("S4")
    i = c.inputs
    torque = i["P_kW"] * 1e3 / (i["rpm"] * RPM)
    heavy, allowed = torque * i["overload"], i["tau_MPa"] * MPA
    diameter = (shaft_strength.torsion_stress.si(heavy, 1.0) / allowed) ** (1 / 3)  # stress falls with the cube
    length, whole = i["L_mm"] * 1e-3, round(diameter, 3)
    steps, supports = [Step(0, length, whole)], [Support("in", 0), Support("out", length)]
    beam = shafts.beam_si(
        steps,
        supports,
        [Load("in", 0, torque=heavy), Load("out", length, torque=-heavy)],
        shear_modulus=i["G_MPa"] * MPA,
    )
    hold(c, T_Nm=torque, d_mm=diameter * 1e3, theta_rad=beam.twist[-1])


def test_s6_bending_and_torsion_together():
    c = case("S6")
    i = c.inputs
    turning = math.hypot(i["M_Nm"], i["T_Nm"])
    bending = (i["M_Nm"] + turning) / 2
    by_shear = (16 * turning * i["FS"] / (math.pi * i["Ssu_MPa"] * MPA)) ** (1 / 3)
    by_bending = (32 * bending * i["FS"] / (math.pi * i["Sut_MPa"] * MPA)) ** (1 / 3)
    assert shaft_strength.torsion_stress.si(turning, by_shear) == pytest.approx(i["Ssu_MPa"] * MPA / i["FS"])
    assert shaft_strength.bending_stress.si(bending, by_bending) == pytest.approx(i["Sut_MPa"] * MPA / i["FS"])
    hold(c, Te_Nm=turning, d_shear_mm=by_shear * 1e3, Me_Nm=bending, d_bend_mm=by_bending * 1e3)


def test_s7_older_shaft_code():
    c = case("S7")
    i = c.inputs
    diameter, allowed = shaft_rules.code_diameter_si(
        i["M_Nm"],
        i["T_Nm"],
        tensile=i["Sut_MPa"] * MPA,
        yield_stress=i["Sy_MPa"] * MPA,
        moment_shock=i["kb"],
        torque_shock=i["kt"],
        keyseat=i["keyway"],
    )
    hold(c, tau_allow_MPa=allowed / MPA, d_mm=diameter * 1e3)


def test_c1_critical_speed_three_ways():
    c = case("C1")
    i = c.inputs
    steps = [Step(0, i["span_in"] * INCH, i["d_in"] * INCH)]
    supports = [Support("left", 0), Support("right", i["span_in"] * INCH)]
    at, mass = [x * INCH for x in i["x_in"]], [w * 0.45359237 for w in i["w_lbf"]]
    flex = shafts.flexibility_si(steps, supports, at, elastic_modulus=i["E_psi"] * PSI)
    speed = whirl.whirl_si(flex, mass)
    # The book's gravity cancels in the speeds; the equivalent centre loads follow from the matrix
    middle = shafts.flexibility_si(steps, supports, [i["span_in"] / 2 * INCH], elastic_modulus=i["E_psi"] * PSI)[0, 0]
    centre = [w * flex[k, k] / middle for k, w in enumerate(i["w_lbf"])]
    inertia = math.pi / 64 * i["d_in"] ** 4
    hold(
        c,
        sixEIl=6 * i["E_psi"] * inertia * i["span_in"],
        w1c_lbf=centre[0],
        w2c_lbf=centre[1],
        Rayleigh_rad_s=speed.rayleigh,
        Dunkerley_rad_s=speed.dunkerley,
    )


def test_u7_critical_speed_of_a_tube():
    c = case("U7")
    i = c.inputs
    bore, length = (i["D_mm"] - 2 * i["wall_mm"]) / 1e3, i["L_mm"] / 1e3
    steps = [Step(0, length, i["D_mm"] / 1e3, bore)]
    lumps = (np.arange(40) + 0.5) / 40 * length
    mass = i["density_kg_m3"] * math.pi / 4 * ((i["D_mm"] / 1e3) ** 2 - bore**2) * length / 40
    ends = [Support("left", 0), Support("right", length)]
    flex = shafts.flexibility_si(steps, ends, lumps, elastic_modulus=i["E_GPa"] * 1e9)
    hold(c, n_cr_rpm=whirl.whirl_si(flex, [mass] * 40).lowest / RPM)


def test_c3_stepped_shaft_with_a_flywheel():
    c = case("C3")
    i = c.inputs
    thin = (64 * i["I_m4"] / math.pi) ** 0.25
    thick, length = thin * 2**0.25, i["L_m"]  # the middle half has twice the second moment of area
    steps = [
        Step(0, length / 4, thin),
        Step(length / 4, 3 * length / 4, thick),
        Step(3 * length / 4, length, thin),
    ]
    supports = [Support("left", 0), Support("right", length)]
    beam = shafts.beam_si(steps, supports, [Load("wheel", length / 2, y=-i["W_N"])], elastic_modulus=i["E_GPa"] * 1e9)
    flex = shafts.flexibility_si(steps, supports, [length / 2], elastic_modulus=i["E_GPa"] * 1e9)
    speed = whirl.whirl_si(flex, [i["W_N"] / shafts.GRAVITY])
    hold(c, delta_m=shafts.section_si(beam, length / 2).deflection, rpm=speed.lowest / RPM)


def key_length(torque, sizes, yield_stress):
    """Length at which a key gives way by shear (at the yield over root 3) and by crushing: its capacity is in step."""
    metre = keys.key_capacity.si(*sizes, 1.0, key_yield=yield_stress)
    return metre._replace(shear=torque / metre.shear, crushing=torque / metre.crushing)


def test_k1_rectangular_key():
    c = case("K1")
    i = c.inputs
    d, b, h = (i[k] * 1e-3 for k in ("d_mm", "b_mm", "h_mm"))
    torque = i["tau_shaft_MPa"] * MPA * math.pi * d**3 / 16
    assert shaft_strength.torsion_stress.si(torque, d) == pytest.approx(i["tau_shaft_MPa"] * MPA)
    shear = key_length(torque, (d, b, h), i["tau_key_MPa"] * MPA * math.sqrt(3)).shear
    crush = key_length(torque, (d, b, h), i["sigma_crush_MPa"] * MPA).crushing
    longest = math.ceil(max(shear, crush) * 1e3)
    hold(c, T_Nmm=torque * 1e3, l_shear_mm=shear * 1e3, l_crush_mm=crush * 1e3, l_mm=longest)


def test_k3_square_key():
    c = case("K3")
    i = c.inputs
    torque = i["P_kW"] * 1e3 / (i["rpm"] * RPM)
    d, b, h, stress = i["d_mm"] * 1e-3, i["b_mm"] * 1e-3, i["h_mm"] * 1e-3, i["Syt_MPa"] * MPA / i["FS"]
    # the book takes shear yield as 0.577 of the tensile one
    shear = key_length(torque, (d, b, h), 0.577 * stress * math.sqrt(3)).shear
    crush = key_length(torque, (d, b, h), stress).crushing
    variant = key_length(torque, (d, b, h), 140 * MPA).crushing
    hold(
        c,
        T_Nmm=torque * 1e3,
        l_shear_mm=shear * 1e3,
        l_crush_mm=crush * 1e3,
        l_mm=math.ceil(crush * 1e3),
        l_crush_140MPa_mm=variant * 1e3,
    )


def test_k6_torque_of_a_set_screw():
    c = case("K6")
    i = c.inputs
    screw = joints.set_screw.si(i["screw"])
    still = joints.set_screw_torque.si(screw.holding, i["shaft_in"] * INCH, count=i["screws"])
    running = joints.set_screw_torque.si(screw.holding, i["shaft_in"] * INCH, count=i["screws"], factor=i["factor"])
    hold(c, torque_static_lbin=still / LBF_IN, torque_dynamic_lbin=running / LBF_IN, torque_dynamic_Nm=running)


def test_w2_round_shaft_welded_to_a_plate():
    c = case("W2")
    i = c.inputs
    unit = welds.weld_ring.si(i["d_mm"] * 1e-3, 1e-3, i["T_Nm"]).torsion  # stress falls as the leg grows
    leg = 1e-3 * unit / (i["tau_MPa"] * MPA)
    assert welds.weld_ring.si(i["d_mm"] * 1e-3, leg, i["T_Nm"]).combined == pytest.approx(i["tau_MPa"] * MPA)
    hold(c, throat_mm=leg * math.sqrt(0.5) * 1e3, leg_mm=leg * 1e3)


def test_w3_allowable_fillet_load():
    c = case("W3")
    i = c.inputs
    allowed = welds.weld_allowed.si(70e3 * PSI, reversing=False)
    assert allowed / PSI / 1e3 == pytest.approx(i["tau_ksi"])
    hold(c, kip_per_in=math.sqrt(0.5) * i["leg_in"] * allowed / PSI / 1e3)


def test_f1_flange_bolts_in_shear():
    c = case("F1")
    i = c.inputs
    found = joints.flange_torque.si(
        i["n"],
        i["circle_mm"] * 1e-3,
        preload=0.0,
        friction=0.0,
        bolt=i["d_mm"] * 1e-3,
        shear_allowed=i["tau_MPa"] * MPA,
    )
    hold(c, T_kNm=found.shear / 1e3)


def test_f3_shear_pin_through_a_hub():
    c = case("F3")
    i = c.inputs

    def torque(ratio):
        return joints.shear_pin_torque.si(i["d_mm"] * 1e-3, i["D_mm"] / 2 * 1e-3, ratio * i["Sut_MPa"] * MPA, planes=2)

    hold(c, T_Nm=torque(i["ratio"]), T_with_0p6_Nm=torque(0.6))


def test_f4_torque_that_breaks_a_shear_bolt():
    c = case("F4")
    i = c.inputs
    low, high = (
        joints.shear_pin_torque.si(i["d_in"] * INCH, i["R_in"] * INCH, 0.6 * s * 1e3 * PSI) for s in i["Sut_ksi"]
    )
    hold(c, T_low_lbin=low / LBF_IN, T_high_lbin=high / LBF_IN, T_low_Nm=low, T_high_Nm=high)


def test_f5_three_models_of_a_split_clamp():
    c = case("F5")
    i = c.inputs
    d, bolts = i["d_mm"] * 1e-3, i["n"]
    # torque is linear in the clamp force; half of the bolts press each side
    two_lines = i["T_Nm"] / joints.clamp_torque.si(1.0, d, i["mu"], model="two lines")
    half_circle = i["T_Nm"] / joints.clamp_torque.si(1.0, d, i["mu"], model="half circle")
    bolt = math.sqrt(4 * half_circle / bolts / (math.pi * i["sigma_MPa"] * MPA))
    hold(c, two_line_N_per_bolt=two_lines / bolts, bolt_mm=bolt * 1e3)


def test_m1_a_groove_over_two_pins():
    c = case("M1")
    i = c.inputs
    flanks = (math.radians(i[name]) for name in ("alpha", "beta"))
    hold(c, X=i["Z"] + grooves.past_apexes_si(2 * i["R"], *flanks))


def test_m4_unbalance_that_may_be_left():
    c = case("M4")
    i = c.inputs
    at_rim = 1e3 * balance.unbalance_allowed.si(i["m_kg"], speed=i["n_rpm"] * RPM, diameter=0.2, grade=i["G"] * 1e-3)
    hold(c, U_gmm=at_rim * 100, at_100mm_g=at_rim)


def test_m6_a_keyway_in_a_hub_is_measured_to_the_far_side():
    c = case("M6")
    sizes = zip(c.inputs["bore_in"], c.inputs["key_in"], strict=True)
    deep = [keys.hub_depth_si(bore * INCH, key * INCH, key * INCH)[0] / INCH for bore, key in sizes]
    hold(c, **{f"T{k}_in": t for k, t in enumerate(deep, 1)})

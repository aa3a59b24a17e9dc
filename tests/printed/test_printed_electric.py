"""Electric and clutch worked examples, and the figures of the demo builds computed independently."""

from __future__ import annotations

import math

import numpy as np
import pytest
from answers import Answer, assert_printed, case, cases
from closed_forms import face_force, pole_force, ring_force_and_torque
from jackshaft.mechanics import (
    circuit,
    clutch,
    coil,
    contacts,
    engagement,
    fuses,
    inertia,
    magnet,
    protection,
    shoes,
    slipheat,
    switching,
    wiring,
)
from jackshaft.mechanics.circuit import Chain, Part, Tap
from jackshaft.mechanics.magnet import Fixed, Iron, Magnet, Pole, Steel
from jackshaft.tables import table
from jackshaft.units import awg_area

RPM = 2 * math.pi / 60
C0 = 273.15
FT, INCH, LBF_FT = 0.3048, 0.0254, 1.3558179483314004
BTU, DEG_F, LB = 1055.05585262, 5.0 / 9.0, 0.45359237


def clutch_uw_1(q):
    inner, outer = q["d_mm"] / 1e3, q["D_mm"] / 1e3
    found = clutch.face_torque.si(
        face_force(q["p_max_MPa"] * 1e6, inner / 2, outer / 2, worn_in=True),
        friction=q["mu"],
        inner_diameter=inner,
        outer_diameter=outer,
        faces=q["surfaces"],
    )
    return {"F_N": found.force, "T_Nmm": found.torque * 1e3, "P_kW": found.torque * q["rpm"] * RPM / 1e3}


def clutch_energy_1(q):
    speed = q["rpm"] * RPM
    found = engagement.engage.si(
        inertia.rim_inertia.si(q["m1_kg"], diameter=2 * q["k1_mm"] / 1e3),
        load_inertia=inertia.rim_inertia.si(q["m2_kg"], diameter=2 * q["k2_mm"] / 1e3),
        engine_speed=speed,
        load_speed=q["w2_0"],
        clutch=clutch.torque_from_power.si(q["P_kW"] * 1e3, speed=speed),
    )
    return {"t_s": found.seconds, "E_J": found.heat, "common_rpm": found.speed / RPM}


def clutch_shoes_1(q):
    speed = q["rpm"] * RPM
    sizes = {"centre_radius": q["r_mm"] / 1e3, "drum_diameter": 2 * q["R_mm"] / 1e3}
    of_one_kg = shoes.shoe_torque.si(
        1.0, shoes=q["shoes"], friction=q["mu"], speed=speed, engages=q["engages_share"] * speed, **sizes
    )
    return {"m_kg": q["P_kW"] * 1e3 / speed / of_one_kg}


def clutch_shoes_2(q):
    speed, reach = q["rpm"] * RPM, (q["r_rest_mm"] + q["clearance_mm"]) / 1e3
    spring = q["spring_rest_N"] + q["rate_N_mm"] * q["clearance_mm"]
    torque = shoes.shoe_torque.si(
        q["m_kg"],
        shoes=q["shoes"],
        centre_radius=reach,
        drum_diameter=q["D_mm"] / 1e3,
        friction=q["mu"],
        speed=speed,
        engages=shoes.shoe_engages.si(spring, mass=q["m_kg"], centre_radius=reach),
    )
    return {"P_kW": torque * speed / 1e3}


def clutch_varmu_1(q):
    r = np.linspace(q["ri_mm"], q["ro_mm"], 201) / 1e3
    one = ring_force_and_torque(r, pressure=1e6, friction=0.01 * r * 1e3)[1]
    return {"p_MPa": q["T_kNmm"] / one}


def clutch_thermal_1(q):
    turning = q["I_lbf_in_s2"] * LBF_FT / 12
    heat = 0.5 * turning * (q["rpm"] * RPM) ** 2
    mass = q["rho"] * math.pi / 4 * q["disk_d_in"] ** 2 * q["disk_t_in"] * LB
    specific = q["Cp"] * BTU / LB / DEG_F
    cooling = (q["hr"] + q["fv"] * q["hc"]) * q["area_in2"] * BTU / DEG_F
    found = slipheat.repeated_si(
        heat,
        every=q["t1_s"],
        mass=mass,
        cooling=cooling,
        specific_heat=specific,
        ambient=q["T_amb_F"] * DEG_F,
    )
    return {"E_Btu": heat / BTU, "dT_F": found.rise / DEG_F, "T_peak_F": found.peak / DEG_F}


def mag_two_gap_1(q):
    path = Magnet((Pole(1e-4),) * q["gaps"])
    force = q["gaps"] * pole_force(q["B_T"] * 1e-4, 1e-4)
    return {"I_A": magnet.pull_in_turns_si(q["g_mm"] / 1e3, spring=force, magnet=path) / q["N"]}


def mag_gap_effect_1(q):
    area, flux = q["A_mm2"] * 1e-6, q["flux_uWb"] * 1e-6
    steel = Steel(np.array([0.0, flux / area]), np.array([0.0, q["H_iron"]]))
    bare = magnet.field_si(flux / area, steel=steel) * q["l_iron_m"]
    path = Magnet((Pole(area),), (), (Iron(q["l_iron_m"], area),))
    gapped = magnet.pull_in_turns_si(
        q["g_mm"] / 1e3, spring=pole_force(flux, area), magnet=path, steel=steel
    )
    return {"I_no_gap_A": bare / q["N"], "I_gap_A": gapped / q["N"]}


def mag_series_1(q):
    *steel, air = zip(q["l_m"], q["A_cm2"], q["mu_r"], strict=True)
    # steel of constant permeability acts as so much shorter a gap
    path = Magnet((Pole(air[1] * 1e-4),), tuple(Fixed(length / mu, area * 1e-4) for length, area, mu in steel))
    reluctance = magnet.pull_si(1000.0, gap=air[0], magnet=path).reluctance
    return {"S_At_per_Wb": reluctance, "I_A": q["flux_mWb"] * 1e-3 * reluctance / q["N"]}


def mag_force_2(q):
    path = Magnet((Pole(q["A_m2"]),) * q["gaps"])
    return {"I_A": magnet.pull_in_turns_si(q["x_m"], spring=q["F_N"], magnet=path) / q["N"]}


def rl_1(q):
    henry = q["L_mH"] / 1e3

    def left(t):
        return switching.decay_si(t, current=q["I0"], resistance=q["R"], inductance=henry)

    tau = switching.release_si(
        "diode",
        current=q["I0"],
        release_current=q["I0"] / math.e,
        resistance=q["R"],
        inductance=henry,
        supply=12.0,
        fitted=switching.Fitted(diode=0.0),
    ).seconds
    return {"tau_ms": tau * 1e3, "I_A": left(q["t_ms"] / 1e3), "I_10ms_A": left(10e-3)}


def rl_3(q):
    found = switching.release_si(
        "diode",
        current=q["I0"],
        release_current=0.05 * q["I0"],
        resistance=q["R"],
        inductance=q["L_H"],
        supply=12.0,
        fitted=switching.Fitted(diode=0.0),
    )
    return {"U_J": found.energy, "t_s": found.seconds}


def rl_5(q):
    line = {"voltage": q["V"], "resistance": q["R"], "inductance": q["L_H"]}
    full = coil.coil_current.si(q["V"], resistance=q["R"])
    return {
        "I_A": full,
        "tau_s": switching.time_to_current_si(full * (1 - 1 / math.e), **line),
        "emf_0p1s_V": q["V"] - q["R"] * switching.rise_si(0.1, **line),
        "t_85pct_s": switching.time_to_current_si(0.85 * full, **line),
        "I_0p3s_A": switching.rise_si(0.3, **line),
    }


def rl_real_1(q):
    full = q["V"] / q["R"]
    return {
        "tau_ms": 1e3
        * switching.time_to_current_si(full * (1 - 1 / math.e), voltage=q["V"], resistance=q["R"], inductance=q["L_H"])
    }


def warmed(q):
    """Rise, K, at which the winding has the second resistance: the law is a straight line."""
    at = C0 + q["T1"]
    return (q["R2"] / q["R1"] - 1.0) / (coil.hot_resistance.si(1.0, temperature=at + 1.0, at=at) - 1.0)


def rt_1(q):
    return {"T2_C": q["T1"] + warmed(q), "rise_K": warmed(q)}


def rt_2(q):
    return {"T2_C": q["T1"] + warmed(q)}


def rt_4(q):
    at = C0 + q["T_C"]
    return {"alpha20_per_K": coil.hot_resistance.si(1.0, temperature=at + 1.0, at=at) - 1.0}


def awg(q):
    area = awg_area(wiring.gauge_number(q["awg"]))
    ohm = wiring.wire_resistance.si(area, length=1000 * FT, temperature=C0 + q["T"])
    return {"cmil": area / wiring.CMIL, "ohm_per_kft": ohm}


def iec_75c(q):
    return {"k": coil.hot_resistance.si(1.0, temperature=C0 + 20.0, at=C0 + q["T_C"])}


def vd_1(q):
    def size(share, feet):
        area = wiring.wire_for_drop.si(q["I_A"], loop=feet * FT, drop=share * q["V"])
        return area / wiring.CMIL, wiring.next_size_si(area, system="SAE").size

    return {
        "awg_3pct": size(0.03, q["chart_ft"])[1],
        "awg_10pct": size(0.10, q["chart_ft"])[1],
        "cmil_21ft_3pct": size(0.03, q["L_out_ft"] + q["L_back_ft"])[0],
    }


def amp_1(q):
    return {
        "A": wiring.ampacity.si(
            awg_area(wiring.gauge_number(q["awg"])),
            insulation=C0 + q["insulation_C"],
            engine_space=True,
        ).amps
    }


def coil_1(q):
    one, two = (coil.coil_current.si(q["V"], resistance=r) for r in q["R_ohm"])
    return {"I1_A": one, "I2_A": two}


def ins_1(q):
    row = table("insulation_classes").one(class_letter="F")
    assert row["rise_k"] == q["rise_K"]
    hot_spot = table("clutch_facts").one(part="coil", item="average to hot-spot allowance")["likely"]
    assert hot_spot == q["hot_spot_K"]
    assert row["limit_c"] == q["ambient_C"] + row["rise_k"] + hot_spot
    return {"T_C": row["limit_c"]}


WORKED = {
    "clutch-uw-1": clutch_uw_1,
    "clutch-energy-1": clutch_energy_1,
    "clutch-shoes-1": clutch_shoes_1,
    "clutch-shoes-2": clutch_shoes_2,
    "clutch-varmu-1": clutch_varmu_1,
    "clutch-thermal-1": clutch_thermal_1,
    "mag-two-gap-1": mag_two_gap_1,
    "mag-gap-effect-1": mag_gap_effect_1,
    "mag-series-1": mag_series_1,
    "mag-force-2": mag_force_2,
    "rl-1": rl_1,
    "rl-3": rl_3,
    "rl-5": rl_5,
    "rl-real-1": rl_real_1,
    "rt-1": rt_1,
    "rt-2": rt_2,
    "rt-4": rt_4,
    "awg-12": awg,
    "awg-14": awg,
    "awg-18": awg,
    "iec-75C": iec_75c,
    "vd-1": vd_1,
    "amp-1": amp_1,
    "coil-1": coil_1,
    "ins-1": ins_1,
}


@pytest.mark.parametrize("name", WORKED)
def test_worked_example(name):
    example = case(name)
    got = WORKED[name](example.inputs)
    assert set(got) == set(example.answers)
    for answer, value in got.items():
        assert_printed(example, answer, value)


def test_no_electric_example_is_left_out():
    assert {c.id for c in cases("electric")} == set(WORKED)


# --- the demo builds: figures of an independent calculation, with the digits it gave ---


def line(volts, ohm, *, area, one_way, joints, taps=(), source=0.0):
    run = wiring.wire_resistance.si(area, length=one_way)
    out = (Part("wire out", "wire", run), *([Part("joints", "connector", joints)] if joints else []))
    return Chain(volts, source, out, ohm, (Part("wire back", "wire", run),), taps)


def wagon(rise=0.0, volts=14.1, source=0.0):
    ohm = coil.hot_resistance.si(2.6, temperature=C0 + 20.0 + rise)
    return line(volts, ohm, area=awg_area(14), one_way=8 * FT, joints=0.04, source=source)


def trommel():
    return circuit.steps_si(line(13.5, 3.6, area=1.5e-6, one_way=4.0, joints=0.0))


LAMPS = Tap("lamps", "coil +", "coil -", ohm=12.0**2 / 70.0)


def chipper(rise=0.0, taps=(LAMPS,), source=0.0):
    ohm = coil.hot_resistance.si(3.0, temperature=C0 + 20.0 + rise)
    return line(12.9, ohm, area=awg_area(22), one_way=18 * FT, joints=0.15, taps=taps, source=source)


def torque(plate, rated, chain):
    """Holding torque, faces run in, lbf·ft where the plate's is."""
    return clutch.torque_at_current.si(plate, rated_current=rated, current=circuit.steps_si(chain).coil_amps).likely


def wheel():
    """The chipper's wheel, 380 lb as a disc of 33 in, lb·ft²."""
    return inertia.disc_inertia.si(380 * LB, diameter=33 * INCH) / (LB * FT**2)


def far_short():
    last = circuit.shorts_si(chipper(source=1e-5), frame_ohm=0.01, short_ohm=1e-4)[-1]
    assert last.part_amps["wire back"] == pytest.approx(last.amps, rel=2e-3)
    return last.amps


def relayed(rise):
    ohm = coil.hot_resistance.si(3.0, temperature=C0 + 20.0 + rise)
    return line(13.8, ohm, area=awg_area(14), one_way=5 * FT, joints=0.04)


def relayed_amps(rise):
    return circuit.steps_si(relayed(rise)).coil_amps


FIGURES = {
    "wagon coil cold, A": ("5.26", lambda: circuit.steps_si(wagon()).coil_amps),
    "wagon coil hot, A": ("4.03", lambda: circuit.steps_si(wagon(80.0)).coil_amps),
    "wagon at the coil cold, V": ("13.68", lambda: circuit.steps_si(wagon()).coil_volts),
    "wagon at the coil hot, V": ("13.78", lambda: circuit.steps_si(wagon(80.0)).coil_volts),
    "wagon clutch hot, run in, lbf·ft": ("54.9", lambda: torque(72.0, 12.0 / 2.6, wagon(80.0))),
    "wagon run-down, lb·ft²": (
        "45.1",
        lambda: inertia.run_down_inertia.si(300 * RPM, time=4.0, drag=11 * LBF_FT) / (LB * FT**2),
    ),
    "trommel coil, A": ("3.66", lambda: trommel().coil_amps),
    "trommel drop, V": ("0.34", lambda: 13.5 - trommel().coil_volts),
    "chipper coil cold, V": ("8.07", lambda: circuit.steps_si(chipper()).coil_volts),
    "chipper coil hot, V": ("8.37", lambda: circuit.steps_si(chipper(80.0)).coil_volts),
    "chipper coil hot, A": ("2.12", lambda: circuit.steps_si(chipper(80.0)).coil_amps),
    "chipper wire, A": ("6.6", lambda: circuit.steps_si(chipper()).source_amps),
    "chipper clutch hot, lbf·ft": ("25.4", lambda: torque(90.0, 4.0, chipper(80.0))),
    "chipper clutch slipping, lbf·ft": ("17.8", lambda: 0.7 * torque(90.0, 4.0, chipper(80.0))),
    "chipper wheel, lb·ft²": ("359", wheel),
    "chipper wire in the short, W/ft": (
        "5",
        lambda: (
            FT
            * protection.wire_heat_si(
                far_short(),
                area=awg_area(22),
                ampacity=4.1,
                insulation=C0 + 105,
                ambient=C0 + 30,
                start=C0 + 30,
                limit=C0 + 160,
            ).watts_per_metre
        ),
    ),
    "chipper with 14 AWG cold, A": ("4.5", lambda: relayed_amps(0.0)),
    "chipper with 14 AWG hot, A": ("3.4", lambda: relayed_amps(80.0)),
    "chipper with 14 AWG clutch hot, lbf·ft": ("66.7", lambda: torque(90.0, 4.0, relayed(80.0))),
}


@pytest.mark.parametrize("name", FIGURES)
def test_figure_of_the_independent_calculation(name):
    text, compute = FIGURES[name]
    fault = Answer(name, text, "derived").fault(compute())
    assert fault is None, f"{name}: {fault} (independent calculation of the builds)"


@pytest.mark.parametrize("name", FIGURES)
def test_the_figures_would_notice_one_digit(name):
    text, compute = FIGURES[name]
    answer = Answer(name, text, "derived")
    for sign in (-1, 1):
        assert answer.fault(float(answer.value + sign * answer.digit)) is not None


def test_wagon_far_end_short_is_cleared():
    """14.1 V over 40.4 mΩ of wire, 40 mΩ of joints and 12 mΩ of battery: 152 A, by hand."""
    gates = fuses.fuse_gates_si("blade")
    area = awg_area(14)
    carries = wiring.ampacity.si(area, insulation=C0 + 125, engine_space=True).amps
    current = circuit.shorts_si(wagon(source=0.012), frame_ohm=0.01)[-1].amps
    assert current == pytest.approx(14.1 / (0.0404 + 0.040 + 0.012), rel=0.02)
    time = fuses.fuse_time_si(current, rating=10.0, gates=gates)
    found = protection.protection_si(
        current,
        multiple=time.multiple,
        fuse_seconds=time.surely,
        fuse_likely=time.longest,
        area=area,
        ampacity=carries,
        insulation=C0 + 125,
        ambient=C0 + 50,
    )
    assert found.holds


def test_wagon_fuse_switch_and_relay():
    cold = circuit.steps_si(wagon()).coil_amps
    carries = wiring.ampacity.si(awg_area(14), insulation=C0 + 125, engine_space=True).amps
    fuse = fuses.fuse_check.si(10.0, load=cold, ampacity=carries)
    assert fuse.holds_load and fuse.protects_wire
    assert contacts.contact_limit_si(16.0, rated_for="AC only").amps is None
    assert contacts.contact_limit_si(30.0, rated_for="DC resistive").amps > cold
    assert contacts.relay_coil.si(12.0, supply=14.1).fits


def test_wagon_charging_leaves_9_3_amperes_at_work_and_2_3_at_idle():
    """Relay coil 0.19 A, lamp 2.5 A, the clutch hot."""
    hot = circuit.steps_si(wagon(80.0)).coil_amps
    for output, left in ((16.0, 9.3), (9.0, 2.3)):
        found = contacts.charging_budget.si(output, load=hot + 2.5 + 0.188, capacity=32 * 3600.0)
        assert found.enough and found.surplus == pytest.approx(left, abs=0.05)
    short = contacts.charging_budget.si(5.0, load=hot + 2.5, capacity=32 * 3600.0)
    assert not short.enough and math.isfinite(short.lasts)


def test_chipper_wire_is_its_own_fuse():
    area = awg_area(22)
    carries = wiring.ampacity.si(area, insulation=C0 + 105, bundled=3)
    assert not carries.inside
    time = fuses.fuse_time_si(far_short(), rating=30.0, gates=fuses.fuse_gates_si("blade"))
    found = protection.protection_si(
        far_short(),
        multiple=time.multiple,
        fuse_seconds=time.surely,
        fuse_likely=time.longest,
        area=area,
        ampacity=carries.amps,
        insulation=C0 + 105,
        ambient=C0 + 30,
    )
    assert found.wire_is_the_fuse and not found.likely
    assert not fuses.fuse_check.si(30.0, load=6.6, ampacity=carries.amps).protects_wire


def test_half_the_speed_takes_a_quarter_of_the_heat():
    full, half = (engagement.engage_governed.si(1.51, engine_speed=w * RPM, clutch=60.0).heat for w in (3600, 1800))
    assert half / full == pytest.approx(0.25)

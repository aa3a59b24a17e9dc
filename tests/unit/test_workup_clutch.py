"""Torque from each source, engagement, coil in time, interlocks and readings: from the build to verdicts."""

import math

import numpy as np
import pytest
from clutch_builds import FLYWHEEL, POLES, clutch
from clutch_builds import circuit_check as check
from jackshaft.buildfile import DEMO, load, parse
from jackshaft.mechanics import switching
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED

LBF_FT = 4.4482216152605 * 0.3048
RPM = 2 * math.pi / 60


def build_of(text=FLYWHEEL, **changes):
    return parse(text.encode(), file="flywheel").with_values({k.replace("__", "."): v for k, v in changes.items()})


@pytest.fixture(scope="module")
def demo():
    return load(DEMO)


def sheet(build, title, chapter="electric"):
    return next(s for s in work_up(build, ("clutch",)).chapters[chapter].tables if s.title.startswith(title))


# -- engagement ----------------------------------------------------------------------------------------------------


def test_heat_and_run_up_of_a_wheel():
    """200 lb as a disc of 26 in is 4.946 kg·m², 1.526 seen from the clutch over 1.8 : 1; at 3600 rpm (376.99 rad/s)
    half of that times the speed squared is 108.5 kJ, and 55 % of 84 lbf·ft (62.64 N·m) takes 9.19 s, by hand."""
    found = clutch(build_of()).engagement
    heat = [found.governed[end].heat for end in ("bad", "likely", "good")]
    assert heat == pytest.approx([108.5e3] * 3, rel=0.002)
    assert float(found.steps.heat[-1]) == pytest.approx(108.5e3, rel=0.002)
    seconds = found.governed["likely"].seconds * found.torque.likely / (0.55 * 84 * LBF_FT)
    assert seconds == pytest.approx(9.19, abs=0.01)
    assert found.steps.lock_time == pytest.approx(found.governed["likely"].seconds, rel=1e-4)


def test_without_a_load_heat_ignores_the_clutch_and_with_one_it_grows():
    strong, weak = (clutch(build_of(clutch__static_torque=t)).engagement for t in ("160 lbf·ft", "80 lbf·ft"))
    assert strong.governed["likely"].heat == pytest.approx(weak.governed["likely"].heat)
    assert strong.governed["likely"].seconds == pytest.approx(weak.governed["likely"].seconds / 2)
    loaded = [
        clutch(build_of(work__start_factor="1.0", clutch__static_torque=t)).engagement.governed["likely"].heat
        for t in ("160 lbf·ft", "80 lbf·ft", "50 lbf·ft", "40 lbf·ft")
    ]
    assert loaded == sorted(loaded) and loaded[-1] > 5 * loaded[0]
    stuck = check(build_of(work__start_factor="1.0", clutch__static_torque="30 lbf·ft"), "clutch.engagement")
    assert stuck.verdict == STOP and "no end" in stuck.reason


def test_half_the_speed_a_quarter_of_the_heat_and_engage_below():
    full, half = (clutch(build_of(clutch__engage_speed=s)).engagement for s in ("3600 rpm", "1800 rpm"))
    assert half.governed["likely"].heat == pytest.approx(full.governed["likely"].heat / 4)
    # 108.5 kJ into 4 lb of steel: 108.5e3 / (1.814 kg × 500 J/(kg·K)) = 119.6 K, by hand
    assert full.rise == pytest.approx(119.6, abs=0.3)
    assert check(build_of(), "clutch.engagement").verdict == STOP
    # an engine with more torque than the clutch at its strongest (some 84 lbf·ft): nothing pulls it down
    strong = build_of(clutch__engage_speed="3000 rpm", engine__peak_torque="150 lbf·ft")
    assert check(strong, "clutch.engagement").verdict == GO
    at = build_of(clutch__engage_speed=f"{full.below / RPM:.2f} rpm")
    assert clutch(at).engagement.rise == pytest.approx(100, abs=0.2)


def test_inertia_goes_with_the_square_of_the_speeds():
    plain, geared = clutch(build_of()).engagement, clutch(build_of(**{"stage[belt].ratio": "3.6"})).engagement
    assert geared.inertia == pytest.approx(plain.inertia / 4)
    rim = clutch(build_of(work__mass_at="rim")).engagement
    assert rim.inertia == pytest.approx(2 * plain.inertia)
    # m l²/12 of a bar over m d²/8 of a disc
    blade = clutch(build_of(work__mass_at="bar across the axis")).engagement
    assert blade.inertia == pytest.approx(plain.inertia * 2 / 3)
    given = clutch(build_of(work__inertia="5 kg·m²")).engagement
    assert given.inertia == pytest.approx(5 / 1.8**2)


def test_an_engine_that_cannot_give_the_torque_droops_and_may_die():
    light = build_of(engine__inertia="1 kg·m²", engine__peak_torque="30 lbf·ft", engine__stall_speed="1000 rpm")
    found = clutch(light).engagement
    assert found.steps.locks and found.steps.engine[-1] < 0.95 * found.speed
    assert found.drooping.speed < found.speed
    assert found.steps.heat[-1] < found.governed["likely"].heat
    dead = light.with_values({"engine.inertia": "0.02 kg·m²"})
    assert clutch(dead).engagement.steps.stalls
    stopped = check(dead, "clutch.engagement")
    assert stopped.verdict == STOP and "stalls" in stopped.reason
    # a stronger clutch would only stall it sooner
    assert "flywheel" in stopped.remedy and "larger clutch" not in stopped.remedy


def test_energy_is_kept_in_the_integrated_engagement(demo):
    found = clutch(demo).engagement
    c = found.steps
    kinetic = 0.5 * (
        found.engine_inertia * (c.engine**2 - c.engine[0] ** 2) + found.inertia * (c.load**2 - c.load[0] ** 2)
    )
    assert kinetic + c.heat + c.work_out - c.work_in == pytest.approx(
        np.zeros_like(kinetic), abs=1e-4 * float(c.heat[-1])
    )


def test_brake_and_repeated_engagements():
    brake = {"clutch__brake": True, "clutch__brake_torque": "20 lbf·ft", "clutch__engage_every": "60 s"}
    braked = build_of(**brake, work__cuts=False)
    # I w / T = 1.5264 kg·m² × 376.99 rad/s / 27.116 N·m = 21.22 s, by hand
    found = check(braked, "clutch.stop")
    assert found.verdict == CAUTION and float(found.value.split()[0]) == pytest.approx(21.22, abs=0.03)
    facts = {f.label: f.value for f in work_up(braked).chapters["clutch"].facts}
    assert float(facts["mean heat of repeated engagements"].split()[0]) == pytest.approx(108.5e3 / 60, rel=0.01)
    assert check(braked.with_values({"clutch.brake_torque": "90 lbf·ft"}), "clutch.stop").verdict == GO


# -- torque by source ----------------------------------------------------------------------------------------------


def test_plate_before_slip_test_before_geometry(demo):
    slip = {"clutch.slip_force": "30 lbf", "clutch.slip_lever": "24 in", "clutch.slip_voltage": "12 V"}
    both = clutch(demo.with_values(slip))
    assert [k.name for k in both.known] == ["plate", "slip test"] and both.used.name == "plate"
    alone = clutch(demo.with_values({**slip, "clutch.static_torque": ""}))
    assert alone.used.name == "slip test"
    assert alone.used.torque / LBF_FT == pytest.approx(60.0)  # 30 lbf on 2 ft
    # a warm coil carried less current in the test, so the same scale reading means a stronger clutch
    warm = clutch(demo.with_values({**slip, "clutch.static_torque": "", "clutch.slip_rise": "80 K"}))
    assert warm.static["running, hot"].likely > alone.static["running, hot"].likely
    lacking = work_up(demo.with_values({"clutch.static_torque": "", "clutch.slip_force": "30 lbf"}), ("clutch",))
    assert {"clutch.slip_lever", "clutch.slip_voltage"} <= set(lacking.chapters["clutch"].missing)


def test_geometry_gives_a_torque_and_the_gap_decides_pull_in():
    text = FLYWHEEL.replace('static_torque = "84 lbf·ft"', 'turns = 400\nair_gap = "0.4 mm"') + POLES
    found = clutch(build_of(text))
    assert found.used.name == "geometry" and found.used.spread.bad < 1 < found.used.spread.good
    # the engaged torque hardly cares for the released gap; the pull-in does
    wide = build_of(text, clutch__air_gap="15 mm")
    assert clutch(wide).used.torque == pytest.approx(found.used.torque)
    assert check(wide, "clutch.gap").verdict == STOP and "does not pull in" in check(wide, "clutch.gap").reason
    assert check(build_of(text), "clutch.gap").verdict == GO
    # saturation: twice the ampere-turns do not give twice the torque
    twice = clutch(build_of(text, clutch__turns=800))
    assert found.used.torque < twice.used.torque < 2 * found.used.torque


def test_new_and_oiled_faces_hold_less(demo):
    hold = {
        f: clutch(demo.with_values({"clutch.faces": f})).static["running, hot"] for f in ("burnished", "new", "oiled")
    }
    assert hold["new"].likely == pytest.approx(0.65 * hold["burnished"].likely)
    assert hold["oiled"].likely == pytest.approx(hold["burnished"].likely / 3)
    assert check(demo.with_values({"clutch.faces": "oiled"}), "clutch.hold").verdict == STOP


# -- the coil in time ----------------------------------------------------------------------------------------------


def test_a_plain_diode_multiplies_the_release_time(demo):
    found = clutch(demo).dynamics
    seconds = {r.suppression: r.seconds for r in found.releases}
    assert seconds["diode"] > 3 * seconds["diode and zener"] and seconds["diode"] > 3 * seconds["resistor"]
    for r in found.releases:
        if r.suppression in found.decay:
            at = np.interp(r.seconds, found.decay_times, found.decay[r.suppression])
            assert at == pytest.approx(switching.RELEASE_SHARE * found.hold_amps, rel=0.05)
    assert found.rise["cold"].current[-1] == pytest.approx(
        5.26, abs=0.01
    )  # independent calculation of the feed-wagon auger
    assert found.rise["hot"].current[-1] == pytest.approx(4.03, abs=0.01)
    slow = clutch(demo.with_values({"clutch.time_constant": "60 ms"})).dynamics
    assert slow.rise["hot"].closes_at > found.rise["hot"].closes_at
    marked = sheet(demo.with_values({"circuit.suppression": "TVS"}), "Letting go", "clutch")
    assert [r[0] for r in marked.rows if "fitted" in r[0]] == ["TVS (fitted)"]


def test_a_clamp_below_the_supply_is_not_used(demo):
    low = clutch(demo.with_values({"circuit.clamp_voltage": "9 V"})).dynamics
    assert any("24 V" in a for a in low.assumed)
    given = clutch(demo.with_values({"circuit.clamp_voltage": "33 V"})).dynamics
    assert next(r for r in given.releases if r.suppression == "TVS").coil_peak == pytest.approx(33)


# -- interlocks, readings, return ----------------------------------------------------------------------------------


def test_every_interlock_lets_go_by_itself(demo):
    table = sheet(demo, "Truth table")
    assert table.headings == ("clutch switch", "hand switch", "hopper guard", "clutch")
    for row in table.rows:
        assert (row[-1] == "engages") == all(c == "closed" for c in row[:-1])
    assert len({r[:-1] for r in table.rows}) == 4
    bridged = demo.with_values({"circuit.interlock[hand switch].bridged": True})
    found = check(bridged, "electric.interlocks")
    assert found.verdict == STOP and found.guards and "hopper guard" in found.value
    weak = demo.with_values({"circuit.interlock[hand switch].kind": "neutral"})
    assert check(weak, "electric.interlocks").verdict == CAUTION
    assert check(build_of(), "electric.interlocks").verdict == UNDECIDED


READINGS = """
[[circuit.reading]]
name = "first day"
joint = "coil +"
volts = "{first} V"
baseline = true

[[circuit.reading]]
name = "in autumn"
joint = "coil +"
volts = "{later} V"
"""


@pytest.mark.parametrize(
    ("first", "later", "verdict"),
    [(12.0, 12.0, GO), (12.0, 11.8, CAUTION), (12.0, 11.2, STOP), (11.95, 11.9, GO), (12.0, 12.3, GO)],
)
def test_a_later_reading_is_held_against_the_baseline(first, later, verdict):
    build = build_of(FLYWHEEL + READINGS.format(first=first, later=later))
    assert check(build, "electric.readings").verdict == verdict


def test_a_reading_on_the_way_back_is_bad_when_high():
    text = FLYWHEEL + '[[circuit.reading]]\nname = "x"\njoint = "coil −"\nvolts = "{} V"\n'
    assert check(build_of(text.format(0.05)), "electric.readings").verdict == GO
    assert check(build_of(text.format(0.3)), "electric.readings").verdict == CAUTION
    nowhere = build_of(FLYWHEEL + '[[circuit.reading]]\nname = "x"\njoint = "the moon"\nvolts = "1 V"\n')
    assert "no such test point" in str(sheet(nowhere, "Voltages that were read").rows)


def test_a_circuit_without_a_return_is_a_stop_with_its_cure(demo):
    open_ = demo.with_values({"circuit.return_by": "not connected"})
    found = check(open_, "electric.return")
    assert found.verdict == STOP and "strap" in found.remedy
    assert work_up(open_).chapters["electric"].data is None
    frame = demo.with_values({"circuit.return_by": "chassis", "circuit.length_back": ""})
    assert work_up(frame).chapters["electric"].data.steps.parts[-1] == "frame"


def test_symptoms_carry_this_builds_values(demo):
    rows = {r[0]: r for r in sheet(demo, "Symptom, and").rows}
    assert rows["grips cold, slips hot"][2] == "4.03 A" and rows["no click"][2] == "13.68 V"  # independent calculation
    assert rows["switch dies early"][2].startswith("0.188")
    torque = sheet(demo, "Symptom of the clutch", "clutch").rows
    assert "35.7 lbf·ft" in torque[0][2] and "13.5 lbf·ft" in torque[0][2]

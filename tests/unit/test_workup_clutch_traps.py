"""Each trap of clutch and circuit, and each bad input, from the build file to the verdict that a builder reads."""

import math
from pathlib import Path

import numpy as np
import pytest
from builders import check_of
from clutch_builds import circuit_check as check
from clutch_builds import clutch, electric
from jackshaft.buildfile import DEMO, BuildProblems, load, parse
from jackshaft.mechanics import engagement
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED
from jackshaft.results.proving import prove

ROOT = Path(__file__).resolve().parents[2]
RPM = 2 * math.pi / 60
LBF_FT = 4.4482216152605 * 0.3048

POINTS = """
[[engine.torque_point]]
name = "low"
speed = "1200 rpm"
torque = "14 lbf·ft"

[[engine.torque_point]]
name = "top"
speed = "2600 rpm"
torque = "20 lbf·ft"
"""


@pytest.fixture(scope="module")
def demo():
    return load(DEMO)


#: Engaged at speed with faces that are run in, and its inertia by weight: what the traps are about.
AT_SPEED = {"clutch.engage_speed": "2600 rpm", "clutch.faces": "burnished", "clutch.rise_allowed": ""}
BY_WEIGHT = {"work.run_down_speed": "", "work.run_down_time": "", "work.run_down_drag": "", "work.mass_at": "disc"}


@pytest.fixture(scope="module")
def bare(demo):
    """The demo without the points of its engine's curve, engaged at speed, the work a disc of 60 lb."""
    text = (ROOT / "data" / "builds" / f"{DEMO}.toml").read_text(encoding="utf-8")
    start = text.index("[[engine.torque_point]]")
    build = parse((text[:start] + text[text.index("[work]") :]).encode(), file="bare")
    return build.with_values(AT_SPEED | BY_WEIGHT | {"work.weight": "60 lb", "work.diameter": "28 in"})


@pytest.fixture(scope="module")
def curved(bare):
    text = (ROOT / "data" / "builds" / f"{DEMO}.toml").read_text(encoding="utf-8")
    start = text.index("[[engine.torque_point]]")
    build = parse((text[:start] + POINTS + "\n" + text[text.index("[work]") :]).encode(), file="curved")
    return build.with_values(AT_SPEED | BY_WEIGHT | {"work.weight": "60 lb", "work.diameter": "28 in"})


def fact(build, label, chapter="clutch"):
    return next(f for f in work_up(build, ("clutch",)).chapters[chapter].facts if f.label.startswith(label))


# -- traps of the circuit ------------------------------------------------------------------------------------------


def test_round_trip_length_and_joints_count(demo):
    """14.1 V over 2.6 ohm, 16 ft of 14 AWG and 40 mΩ, by hand: 1.7241e-8/2.0809e-6 x 4.8768 m = 40.4 mΩ."""
    amps = 14.1 / (2.6 + 1.7241e-8 / 2.0809e-6 * 16 * 0.3048 + 0.04)
    assert electric(demo).amps("running, cold") == pytest.approx(amps, rel=1e-3)
    one_way = demo.with_values({"circuit.length_back": "0 in", "circuit.return_by": "chassis"})
    loose = demo.with_values({"circuit.joint_resistance": "0.3 ohm"})
    tight = demo.with_values({"circuit.joint_resistance": "0 ohm"})
    assert (
        electric(tight).volts("running, cold")
        > electric(demo).volts("running, cold")
        > electric(loose).volts("running, cold")
    )
    assert electric(one_way).line.wire_ohm == pytest.approx(electric(demo).line.wire_ohm / 2, rel=1e-6)


def test_automotive_wire_of_a_gauge_holds_less_copper(demo):
    """Table of automotive wire: 14 has 3,702 circular mils, where true gauge has 4,107."""
    auto = demo.with_values({"circuit.wire_kind": "automotive"})
    ratio = electric(auto).line.wire_ohm / electric(demo).line.wire_ohm
    assert ratio == pytest.approx(4107 / 3702, rel=2e-3)
    assert "automotive" in electric(auto).line.wire_words and "automotive" not in electric(demo).line.wire_words
    assert electric(auto).volts("running, cold") < electric(demo).volts("running, cold")
    # nobody said which: the bad end counts the automotive copper already
    worst = [float(electric(b).worst.coil_volts[0]) for b in (demo, auto)]
    assert worst[0] == pytest.approx(worst[1], rel=2e-3)
    metric = load("compost_trommel")
    assert (
        electric(metric.with_values({"circuit.wire_kind": "automotive"})).line.size.area
        == electric(metric).line.size.area
    )


def test_a_hot_coil_follows_the_coefficient_at_20_degrees(demo):
    """2.6 ohm, 80 K up: x (1 + 0.00393 x 80) = 3.417 ohm; taken from 25 or 0 °C it would be 3.40 or 3.42."""
    assert electric(demo).line.hot == pytest.approx(2.6 * (1 + 0.00393 * 80), abs=2e-3)


def test_the_fuse_protects_the_wire_and_not_the_coil(demo):
    """Half the turns shorted: twice the current, a coil in trouble, and a fuse that never opens."""
    demo = demo.with_values({"circuit.fuse": "15 A"})
    hurt = demo.with_values({"clutch.coil_resistance": "1.3 ohm"})
    assert 1.8 < electric(hurt).amps("running, cold") / electric(demo).amps("running, cold") < 2.0
    assert electric(hurt).amps("running, cold") < 15.0
    assert check(hurt, "electric.short").verdict == check(demo, "electric.short").verdict == GO
    told = check(hurt, "electric.coil")
    assert told.verdict == CAUTION and "turns shorted" in told.reason and "maker" in told.remedy
    # and the wire alone decides which fuse: a larger one is refused though the coil would like it
    assert check(demo.with_values({"circuit.fuse": "40 A"}), "electric.fuse").verdict == STOP


def test_more_turns_of_the_same_wire_make_no_stronger_magnet(demo):
    """At one voltage the current falls as the turns rise: ampere-turns stay, and so does the geometry's torque."""
    rings = """
[[clutch.pole]]
name = "inner"
inner = "2.4 in"
outer = "3.4 in"

[[clutch.pole]]
name = "outer"
inner = "4.3 in"
outer = "5.0 in"
"""
    text = (ROOT / "data" / "builds" / f"{DEMO}.toml").read_text(encoding="utf-8")
    build = parse(text.replace("[circuit]\n", rings + "\n[circuit]\n", 1).encode(), file="rings")
    found = []
    for turns, ohm in ((300, "2.9 ohm"), (600, "5.8 ohm")):
        wound = build.with_values(
            {
                "clutch.static_torque": "",
                "clutch.turns": turns,
                "clutch.coil_resistance": ohm,
                "circuit.joint_resistance": "0 ohm",
                "circuit.length_out": "1 in",
                "circuit.length_back": "1 in",
            }
        )
        data = clutch(wound)
        assert data.used.name == "geometry"
        found.append(data.static["running, cold"].likely)
    assert found[1] == pytest.approx(found[0], rel=0.02)
    # twice the turns at the same resistance is thicker wire: that one is stronger
    thick = build.with_values(
        {
            "clutch.static_torque": "",
            "clutch.turns": 600,
            "circuit.joint_resistance": "0 ohm",
            "circuit.length_out": "1 in",
            "circuit.length_back": "1 in",
        }
    )
    assert clutch(thick).static["running, cold"].likely > 1.05 * found[0]


def test_contacts_stand_in_the_line_with_their_drop(demo):
    """A relay of 2 mΩ (20 mV at 10 A, table); without one the switch and both interlocks stand in its place."""
    steps = electric(demo).steps
    k = steps.parts.index("relay contact")
    assert float(steps.drops[k, 0]) == pytest.approx(0.002 * electric(demo).amps("running, cold"), rel=1e-6)
    assert "after relay contact" in steps.joints
    direct = demo.with_values({"circuit.relay": False, "circuit.relay_voltage": "", "circuit.relay_rating": ""})
    assert "switch contacts, 3" in electric(direct).steps.parts
    # what was measured for all joints together stays what it is
    assert electric(direct).line.line_ohm == pytest.approx(electric(demo).line.line_ohm)


def test_joints_that_nobody_measured_are_an_estimate_with_a_bad_end(demo):
    unknown = demo.with_values({"circuit.joint_resistance": ""})
    data = electric(unknown)
    crimps = sum(p.ohm for p in data.line.parts_out if p.kind == "joint")
    assert crimps == pytest.approx(4 * 0.003)
    assert float(data.worst.coil_volts[0]) < float(data.steps.coil_volts[0]) - 0.3
    assert "estimate" in fact(unknown, "joints, contacts", "electric").value
    assert "crimps" in fact(unknown, "assumed here", "electric").value


# -- bad input of the circuit --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("clutch.coil_resistance", "0 ohm"),
        ("clutch.coil_resistance", "-3 ohm"),
        ("circuit.joint_resistance", "-0.1 ohm"),
        ("circuit.battery_resistance", "-1 mΩ"),
        ("circuit.fuse", "0 A"),
        ("circuit.length_out", "0 ft"),
    ],
)
def test_zero_or_negative_is_refused_by_its_own_name(demo, key, text):
    with pytest.raises(BuildProblems) as told:
        demo.with_values({key: text})
    assert key in str(told.value) and text in str(told.value) and "wanted" in str(told.value)


@pytest.mark.parametrize(
    ("changes", "id", "words"),
    [
        ({"clutch.coil_resistance": "12 ohm"}, "electric.coil", "coil for 12 V"),
        ({"circuit.relay_voltage": "24 V"}, "electric.relay-coil", "coil for this system"),
        ({"circuit.relay_voltage": "6 V"}, "electric.relay-coil", "coil for this system"),
        ({"circuit.fuse": "40 A"}, "electric.fuse", "what it may carry"),
        ({"circuit.return_by": "not connected"}, "electric.return", "return wire"),
        (
            {"clutch.coil_resistance": "0.6 ohm", "clutch.lead_resistance": "0.4 ohm"},
            "electric.coil-reading",
            "subtract it",
        ),
    ],
)
def test_wrong_parts_and_readings_are_stopped_with_a_cure(demo, changes, id, words):
    found = check(demo.with_values(changes), id)
    assert found.verdict == STOP and words in found.remedy and found.reason


def test_a_24_volt_build_asks_for_24_volt_parts(demo):
    big = demo.with_values({"circuit.running_voltage": "28.2 V", "circuit.battery_voltage": "25 V"})
    assert "coil for 24 V" in check(big, "electric.coil").remedy
    assert prove(work_up(big), "electric.relay-coil")[0].changes == {"circuit.relay_voltage": "24 V"}


# -- traps of the engagement ---------------------------------------------------------------------------------------


def test_the_closed_form_and_the_integration_agree_in_the_chapter(bare):
    """Constant torques, the engine's speed held: both ways of working it out stand in the same table."""
    held = bare.with_values({"engine.inertia": ""})
    found = clutch(held).engagement
    assert found.steps.lock_time == pytest.approx(found.governed["likely"].seconds, rel=1e-4)
    assert float(found.steps.heat[-1]) == pytest.approx(found.governed["likely"].heat, rel=1e-4)
    for law in ("in step with speed", "with the square of speed"):
        rising = clutch(held.with_values({"work.load_curve": law})).engagement
        assert rising.steps.lock_time == pytest.approx(rising.governed["likely"].seconds, rel=1e-4)
        assert float(rising.steps.heat[-1]) == pytest.approx(rising.governed["likely"].heat, rel=1e-4)
        assert rising.governed["likely"].heat < found.governed["likely"].heat


def test_a_curve_of_the_engine_is_used_in_its_droop(bare, curved):
    """An engine that has less torque at low speed droops farther than one with its best torque everywhere."""
    flat, real = clutch(bare).engagement, clutch(curved).engagement
    assert float(real.steps.engine.min()) < float(flat.steps.engine.min())
    assert "points of its torque curve" in fact(curved, "engine droops by").note
    assert "optimistic" in fact(bare, "engine droops by").note
    # by hand: at 1900 rpm half way between 14 and 20 lbf·ft, so the work done between two speeds is known
    c = real.steps
    kinetic = 0.5 * (
        real.engine_inertia * (c.engine**2 - c.engine[0] ** 2) + real.inertia * (c.load**2 - c.load[0] ** 2)
    )
    assert kinetic + c.heat + c.work_out - c.work_in == pytest.approx(
        np.zeros_like(kinetic), abs=1e-4 * float(c.heat[-1])
    )
    given = float(np.interp(1900.0, [1200.0, 2600.0], [14.0, 20.0]))
    assert given == 17.0


def test_below_its_lowest_point_the_curve_is_held_and_said_to_be(curved):
    heavy = curved.with_values({"work.weight": "900 lb", "engine.stall_speed": ""})
    found = clutch(heavy).engagement
    assert float(found.steps.engine.min()) < 1200 * RPM
    assert "lowest point" in fact(heavy, "engine droops by").note


def test_the_curve_stands_in_for_a_peak_that_nobody_gave(curved):
    without = curved.with_values({"engine.peak_torque": ""})
    assert clutch(without).required.engine == pytest.approx(20 * LBF_FT)
    results = work_up(without)
    assert not any("engine.peak_torque" in c.missing for c in results.checks)
    # beyond the curve's last point the plate's 13 hp counts: 13 x 5252 / 3600 = 19.0, where the plate's peak said 23
    able = next(c for c in results.of("ratio") if c.id == "ratio.power")
    assert able.value == "19.0 lbf·ft", able.reason


@pytest.mark.parametrize(
    ("key", "text", "words"),
    [
        ("engine.torque_point[top].torque", "40 lbf·ft", "above the peak torque"),
        ("engine.torque_point[top].speed", "1200 rpm", "one torque for each speed"),
    ],
)
def test_points_that_cannot_be_are_refused(curved, key, text, words):
    with pytest.raises(BuildProblems) as told:
        curved.with_values({key: text})
    assert key in str(told.value) and words in str(told.value)


def test_half_a_point_is_not_known_yet_and_no_error(curved):
    half = curved.with_values({"engine.torque_point[top].torque": ""})
    chapter = work_up(half, ("clutch",)).chapters["clutch"]
    assert "engine.torque_point[top].torque" in chapter.missing
    assert "optimistic" in fact(half, "engine droops by").note


def test_a_fan_needs_no_torque_at_rest_and_a_steady_load_does(bare):
    """A load as strong as the slipping clutch: steady, it never moves; as a fan it is brought up at half speed."""
    weak = bare.with_values({"clutch.static_torque": "10 lbf·ft"})
    assert check(weak, "clutch.engagement").verdict == STOP
    fan = weak.with_values({"work.load_curve": "with the square of speed", "clutch.engage_speed": "1600 rpm"})
    assert clutch(fan).engagement.governed["likely"].locks
    assert clutch(fan).engagement.load.takes(3000 * RPM) == pytest.approx(clutch(fan).required.work)
    assert clutch(fan).engagement.load.takes(1500 * RPM) == pytest.approx(clutch(fan).required.work / 4)


def test_engage_below_holds_for_a_rising_load(bare):
    heavy = bare.with_values(
        {
            "work.weight": "1500 lb",
            "clutch.face_mass": "1 lb",
            "engine.inertia": "",
            "work.load_curve": "with the square of speed",
        }
    )
    found = clutch(heavy).engagement
    at = heavy.with_values({"clutch.engage_speed": f"{found.below / RPM:.3f} rpm"})
    assert clutch(at).engagement.rise == pytest.approx(found.allowed, rel=2e-3)


# -- repeated engagements ------------------------------------------------------------------------------------------


def test_repeated_engagements_settle_where_a_count_cycle_by_cycle_does(demo):
    """Add the rise of each engagement, let it cool until the next, a thousand times over."""
    build = demo.with_values(
        AT_SPEED
        | BY_WEIGHT
        | {
            "engine.inertia": "",
            "clutch.static_torque": "150 lbf·ft",
            "clutch.engage_every": "20 s",
            "work.weight": "600 lb",
            "work.diameter": "28 in",
        }
    )
    data = clutch(build)
    found, settled = data.engagement, data.settled
    rise = float(found.steps.heat[-1]) / (found.mass * 500.0)
    surface = math.pi * 6.0 * 0.0254 * (3.0 + 2.5) * 0.0254
    rate, over = 25.0 * surface / (found.mass * 500.0), 0.0
    for _ in range(1000):
        top = over + rise
        over = top * math.exp(-20.0 * rate)
    assert settled.ends["likely"].peak == pytest.approx(settled.ends["likely"].base + top, abs=1e-6)
    watts = data.electric.amps("running, hot") * data.electric.volts("running, hot")
    assert settled.ends["likely"].base == pytest.approx(45 + 273.15 + watts / (25.0 * surface))


def test_engaging_more_often_goes_from_go_to_stop_and_the_cure_is_an_interval_that_holds(demo):
    cool = demo.with_values(
        AT_SPEED
        | BY_WEIGHT
        | {
            "engine.inertia": "",
            "clutch.static_torque": "150 lbf·ft",
            "clutch.air_temperature": "70 °F",
            "clutch.temperature_limit": "400 °F",
            "work.weight": "900 lb",
            "work.diameter": "28 in",
        }
    )
    often, seldom = (check(cool.with_values({"clutch.engage_every": t}), "clutch.repeated") for t in ("5 s", "20 min"))
    assert often.verdict == STOP and seldom.verdict == GO
    ends = clutch(cool.with_values({"clutch.engage_every": "5 s"})).settled.ends
    interval = {end: found.interval for end, found in ends.items()}
    assert interval["good"] < interval["likely"] < interval["bad"]
    for end, verdict in (("likely", CAUTION), ("bad", GO)):
        at = cool.with_values({"clutch.engage_every": f"{1.001 * interval[end]:.4f} s"})
        assert check(at, "clutch.repeated").verdict == verdict
        before = cool.with_values({"clutch.engage_every": f"{0.99 * interval[end]:.4f} s"})
        assert check(before, "clutch.repeated").verdict != verdict


def test_the_facing_sets_the_limit_and_its_slip_power_is_judged(demo):
    """Woven cotton stands 75 °C for long (table of friction pairs), moulded facing takes 0.6 to 1.2 W/mm²."""
    cotton = check(demo.with_values({"clutch.facing": "woven cotton"}), "clutch.repeated")
    assert cotton.verdict == STOP and "woven cotton" in cotton.limit
    assert clutch(demo.with_values({"clutch.facing": "woven cotton"})).settled.limit == pytest.approx(75 + 273.15)
    text = (ROOT / "data" / "builds" / f"{DEMO}.toml").read_text(encoding="utf-8")
    ring = '\n[[clutch.pole]]\nname = "ring"\ninner = "4.3 in"\nouter = "5.0 in"\n\n[circuit]\n'
    build = parse(text.replace("[circuit]\n", ring, 1).encode(), file="ring").with_values(
        {"clutch.facing": "moulded facing"}
    )
    found, course = check(build, "clutch.facing"), clutch(build).engagement.steps
    area = math.pi / 4 * (5.0**2 - 4.3**2) * 25.4**2
    density = float(course.heat[-1]) / course.lock_time / area
    assert float(found.value.split()[0]) == pytest.approx(density, rel=0.05)
    assert found.verdict == (GO if density <= 0.6 else CAUTION if density <= 1.2 else STOP)


def test_how_often_wants_the_size_of_the_body(demo):
    unknown = demo.with_values({"clutch.outside_diameter": ""})
    found = check(unknown, "clutch.repeated")
    assert found.verdict == UNDECIDED and found.missing == ("clutch.outside_diameter",)
    never = demo.with_values({"clutch.engage_every": ""})
    assert not any(c.id == "clutch.repeated" for c in work_up(never, ("clutch",)).of("clutch"))
    assert fact(never, "engage at most").value.startswith("once every")


def test_a_list_that_is_missing_is_named_in_words():
    from jackshaft.results.findings import label

    assert label("circuit.interlock").startswith("interlocks") and "circuit" in label("circuit.interlock")
    assert label("engine.torque_point").startswith("torque by speed")


def test_repeated_heat_goes_with_the_square_of_the_engagement_speed(bare):
    """Trap: half the speed, a quarter of the heat, also where it adds up."""
    slow, fast = (
        clutch(bare.with_values({"clutch.engage_speed": s, "work.start_factor": "0", "engine.inertia": ""}))
        for s in ("1300 rpm", "2600 rpm")
    )
    over = [d.settled.ends["likely"].peak - d.settled.ends["likely"].base for d in (slow, fast)]
    assert over[1] == pytest.approx(4 * over[0], rel=1e-3)
    exact = engagement.engage_governed.si(
        fast.engagement.inertia, engine_speed=2600 * RPM, clutch=fast.engagement.torque.likely
    )
    assert fast.engagement.governed["likely"].heat == pytest.approx(exact.heat)


def test_a_run_down_test_gives_the_inertia(demo):
    """11 lbf·ft turn it slowly; it loses 300 rpm in 4 s: I = T t / w = 14.91 x 4 / 31.42 = 1.899 kg·m² = 45.1 lb·ft²
    at the auger, 0.874 at the crank, by hand and by the independent calculation."""
    ratio = (40 / 13 * 10.85 / 4.65) ** 2
    assert clutch(demo).engagement.inertia == pytest.approx(1.899 / ratio, rel=2e-3)
    assert clutch(demo).engagement.inertia / 0.0421401 == pytest.approx(0.874, rel=2e-3)
    assert "run-down" in fact(demo, "inertia of the work").note
    by_weight = demo.with_values(BY_WEIGHT | {"work.weight": "60 lb"})
    half = by_weight.with_values({"work.run_down_speed": "180 rpm"})
    assert {"work.run_down_time", "work.run_down_drag"} <= set(work_up(half, ("clutch",)).chapters["clutch"].missing)
    assert clutch(half).engagement.inertia == clutch(by_weight).engagement.inertia


def test_every_state_says_for_itself_whether_it_holds(demo):
    """A clutch that holds cold with the engine running and fails hot on the battery alone says so, state by state."""
    weak = demo.with_values({"clutch.static_torque": "28 lbf·ft", "clutch.faces": "burnished"})
    sheet = next(s for s in work_up(weak, ("clutch",)).chapters["clutch"].tables if s.title == "Torque in each state")
    holds = {row[0]: row[sheet.headings.index("holds")] for row in sheet.rows}
    assert holds["running, cold"] == "yes" and holds["battery only, hot"] == "no"
    required = clutch(weak).required.hold
    for state, band in clutch(weak).static.items():
        short = "likely, not surely" if band.likely >= required else "no"
        assert holds[state] == ("yes" if band.bad >= required else short)
    assert f"judge '{clutch(weak).hot}'" in sheet.note and "verdict" not in sheet.note


def test_a_start_or_a_peak_that_nobody_knows_decides_nothing():
    """Seen: a go against the working torque, as if work never started or choked harder than it runs."""
    start, peak = "work.start_factor", "work.peak_factor"
    for changes, wanted in (
        ({start: ""}, {"clutch.pull-in": (start,), "clutch.engagement": (start,), "clutch.hold": (start,)}),
        ({peak: ""}, {"clutch.pull-in": (), "clutch.engagement": (), "clutch.hold": (peak,)}),
        ({start: "", "clutch.engage_unloaded": True}, {"clutch.pull-in": (), "clutch.hold": ()}),
    ):
        checks = {c.id: c for c in work_up(load(DEMO).with_values(changes), ("clutch",)).checks}
        for id, missing in wanted.items():
            assert checks[id].missing == missing and checks[id].verdict == (UNDECIDED if missing else GO), (changes, id)


def test_a_brake_behind_a_belt_that_cannot_run_names_the_pulleys_and_no_list_of_stages():
    brake = {"clutch.brake": True, "clutch.brake_torque": "5 lbf·ft", "stage[crank belts].pulley[I].y": "-20 in"}
    found = check_of(work_up(load(DEMO).with_values(brake), ("clutch",)), "clutch.stop")
    assert found.value == "cannot be worked out" and "stage[crank belts].pulley[I].y" in found.missing

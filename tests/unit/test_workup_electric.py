"""Clutch circuit and clutch, from the build to verdicts: expected figures, and what each input does.

Figures marked "independent calculation" were worked out apart from this code when the builds were made up.
"""

import re
from pathlib import Path

import pytest
from clutch_builds import circuit_check as check
from clutch_builds import clutch, electric
from jackshaft.buildfile import DEMO, load, parse
from jackshaft.chapters.electric.wire import choice_of
from jackshaft.results import out_of_date, work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED
from jackshaft.results.reader import Reader

LBF_FT = 4.4482216152605 * 0.3048

CHIPPER = (Path(__file__).parents[1] / "builds" / "flywheel_chipper.toml").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def demo():
    return load(DEMO)


def test_demo_coil_current_and_voltage(demo):
    """5.26 A cold, 4.03 A hot; 13.68 and 13.78 V at the coil: go (independent calculation)."""
    data = electric(demo)
    assert data.amps("running, cold") == pytest.approx(5.26, abs=0.005)
    assert data.amps("running, hot") == pytest.approx(4.03, abs=0.005)
    assert data.volts("running, cold") == pytest.approx(13.68, abs=0.005)
    assert data.volts("running, hot") == pytest.approx(13.78, abs=0.006)
    for id in (
        "electric.voltage",
        "electric.drop",
        "electric.ampacity",
        "electric.fuse",
        "electric.relay-coil",
        "electric.relay-contact",
        "electric.coil",
    ):
        assert check(demo, id).verdict == GO, id
    assert "13.68 V cold, 13.78 V hot" in check(demo, "electric.voltage").value


def test_a_number_is_the_same_wherever_it_stands(demo):
    """Seen: 2.28 A and 1.05 A left at idle; 12.41 V at the battery that 'was measured', where 12.50 V were."""
    chapter = work_up(demo, ("electric",)).chapters["electric"]
    sheet = next(t for t in chapter.tables if t.title.startswith("Charging budget"))
    left = next(row[-1] for row in sheet.cells if str(row[0]).startswith("left at idle"))
    assert left.si == pytest.approx(check(demo, "electric.charging-idle").found.si)
    notes = {f.label: f.note for f in chapter.facts}
    alone = notes["coil current, engine stopped"]
    assert "12.50 V at the battery (measured" in alone and not alone.startswith("12.50 V")
    assert notes["coil current, engine running"].startswith("14.10 V at the battery")


def test_demo_far_end_short_is_cleared(demo):
    """About 135 A at the far end, and the fuse clears it (independent calculation)."""
    found = check(demo, "electric.short")
    assert found.verdict == GO
    amps = float(found.value.split(" A")[0])
    assert amps == pytest.approx(135, abs=2)


def test_demo_a_relay_relieves_a_switch_without_a_rating(demo):
    """Stop for the direct circuit; behind a relay its coil's 0.19 A are direct current too, and nobody rated it so."""
    demo = demo.with_values({"circuit.switch_rated_for": "AC only", "circuit.suppression": ""})
    relayed = check(demo, "electric.switch")
    assert relayed.verdict == CAUTION and "0.188 A" in relayed.value and "direct" in relayed.remedy
    assert check(demo.with_values({"circuit.switch_rated_for": "not marked"}), "electric.switch").verdict == CAUTION
    assert check(demo.with_values({"circuit.switch_rating": "0.1 A"}), "electric.switch").verdict == STOP
    direct = demo.with_values({"circuit.relay": False, "circuit.relay_voltage": "", "circuit.relay_rating": ""})
    found = check(direct, "electric.switch")
    assert found.verdict == STOP and "relay" in found.remedy and "no DC rating" in found.limit
    assert not [c for c in work_up(direct, ("electric",)).of("electric") if c.id.startswith("electric.relay")]
    # a switch marked for inductive direct current may do it by itself
    marked = direct.with_values(
        {
            "circuit.switch_rated_for": "DC inductive",
            "circuit.switch_rating": "10 A",
            "circuit.switch_voltage": "12 V",
        }
    )
    assert check(marked, "electric.switch").verdict == GO
    weak = direct.with_values(
        {"circuit.switch_rated_for": "DC resistive", "circuit.switch_rating": "8 A", "circuit.switch_voltage": "12 V"}
    )
    assert check(weak, "electric.switch").verdict == STOP
    assert check(weak.with_values({"circuit.suppression": "diode"}), "electric.switch").verdict == GO


def test_charging_that_falls_short_and_the_time_that_follows(demo):
    """Charging leaves 9.3 A at work (independent calculation); with 3 A half of 32 Ah bridges what lacks."""
    whole = check(demo, "electric.charging")
    assert whole.verdict == GO and float(whole.value.split(" A left")[0]) == pytest.approx(9.3, abs=0.05)
    demo = demo.with_values({"circuit.charging_work": "3 A"})
    found = check(demo, "electric.charging")
    assert found.verdict == CAUTION
    short = 4.03 + 2.5 + 0.188 - 3.0
    assert float(found.value.split(" A short")[0]) == pytest.approx(short, abs=0.01)
    # 16 A·h at 3.72 A are 4.3 h; seen: 258 min
    hours = float(found.value.split("lasts ")[1].split(" h")[0])
    assert hours == pytest.approx(0.5 * 32 / short, abs=0.05)
    brief = check(demo.with_values({"circuit.battery_capacity": "10 Ah"}), "electric.charging")
    assert float(brief.value.split("lasts ")[1].split(" min")[0]) == pytest.approx(0.5 * 10 / short * 60, abs=1)
    small = demo.with_values({"circuit.battery_capacity": "4 Ah"})
    assert check(small, "electric.charging").verdict == STOP
    unknown = check(demo.with_values({"circuit.battery_capacity": ""}), "electric.charging")
    assert unknown.verdict == UNDECIDED and unknown.missing == ("circuit.battery_capacity",)
    # seen: "Use lamps that take less" in a build without any
    lamps = demo.names("circuit.load")
    assert lamps and all(name in found.remedy for name in lamps)
    alone = check(demo.with_values({f"circuit.load[{n}].off_engaged": True for n in lamps}), "electric.charging")
    assert alone.remedy and "lamp" not in alone.remedy and "draws less" not in alone.remedy
    enough = demo.with_values({"circuit.charging_work": "9.5 A"})
    assert check(enough, "electric.charging").verdict == GO
    bare = demo.with_values({"circuit.charging_work": "7.2 A"})
    assert check(bare, "electric.charging").verdict == CAUTION


def test_demo_hot_clutch_holds_the_work(demo):
    """Hot with new faces 35.7 lbf·ft, 27.5 at their bad end, against an engine peak of 20.2 (own calculation)."""
    band = clutch(demo).static["running, hot"]
    assert band.likely / LBF_FT == pytest.approx(35.7, abs=0.1)
    # the line's bad end takes 0.5 % of the current besides
    assert band.bad / LBF_FT == pytest.approx(27.5 * 0.995, rel=0.004)
    assert band.bad <= band.likely <= band.good
    found = check(demo, "clutch.hold")
    assert found.verdict == GO and found.limit.startswith("20.2 lbf·ft")
    assert check(demo, "clutch.pull-in").verdict == GO
    assert check(demo.with_values({"clutch.static_torque": "28 lbf·ft"}), "clutch.hold").verdict == STOP
    # holds the engine's peak, but is below the usual ratio to a heavier work
    rough = demo.with_values(
        {
            "work.load_class": "heavy shock",
            "work.power": "9 hp",
            "work.peak_factor": "1",
            "clutch.static_torque": "60 lbf·ft",
        }
    )
    assert check(rough, "clutch.hold").verdict == CAUTION


def test_trommel_coil_and_drop_are_metric():
    """3.66 A and 0.34 V (independent calculation); no inch and no gauge in anything that is shown."""
    build = load("compost_trommel")
    data = electric(build)
    assert data.amps("running, cold") == pytest.approx(3.66, abs=0.005)
    assert 13.5 - data.volts("running, cold") == pytest.approx(0.34, abs=0.005)
    results = work_up(build, ("clutch",))
    words = []
    for name in ("electric", "clutch"):
        chapter = results.chapters[name]
        words += [f"{f.label} {f.value} {f.note}" for f in chapter.facts]
        words += [f"{c.name} {c.value} {c.limit} {c.reason} {c.remedy}" for c in results.of(name)]
        words += [str((s.title, s.headings, s.rows, s.note)) for s in chapter.tables] + list(chapter.cautions)
    assert [w for w in words if any(u in w for u in ("AWG", "°F", "lbf", " ft ", " in (", "0 in"))] == []
    assert any("mm²" in w for w in words) and any("°C" in w for w in words)


def test_the_chippers_wire_is_the_fuse():
    """8.07 V cold, 8.37 V hot, 2.12 A hot, 6.6 A in the wire, 25.4 lbf·ft; a short 16 to 18 A, 5 W a foot: stops
    (independent calculation)."""
    build = parse(CHIPPER.encode(), file="chipper")
    data = electric(build)
    assert data.volts("running, cold") == pytest.approx(8.07, abs=0.005)
    assert data.volts("running, hot") == pytest.approx(8.37, abs=0.005)
    assert data.amps("running, hot") == pytest.approx(2.12, abs=0.005)
    wire = data.steps.parts.index("wire out")
    assert data.steps.amps[wire][0] == pytest.approx(6.6, abs=0.05)
    assert clutch(build).static["running, hot"].likely / LBF_FT == pytest.approx(25.4, abs=0.05)
    for id in ("electric.voltage", "electric.drop", "electric.fuse", "electric.short", "clutch.hold", "clutch.pull-in"):
        assert check(build, id).verdict == STOP, id
    for id in ("electric.fuse", "electric.short"):
        assert check(build, id).guards, id
    assert "the wire is the fuse" in check(build, "electric.short").reason
    far = next(f for f in work_up(build, ("electric",)).chapters["electric"].facts if f.label == "short at the far end")
    assert 16 <= float(far.value.split(" A")[0]) <= 18
    assert round(float(re.search(r"([\d.]+) W/ft", far.note)[1])) == 5
    assert choice_of(Reader(build), data)[0].rating is None


def test_the_chippers_circuit_is_cured_by_larger_wire_and_lamps_apart():
    """14 AWG 5 ft + 5 ft from 13.8 V: 4.5 A cold, 3.4 A hot, clutch 66.7 lbf·ft (independent calculation)."""
    build = parse(CHIPPER.encode(), file="chipper").with_values(
        {
            "circuit.wire": "14 AWG",
            "circuit.length_out": "5 ft",
            "circuit.length_back": "5 ft",
            "circuit.running_voltage": "13.8 V",
            "circuit.fuse": "7.5 A",
            "circuit.load[left lamp].same_wire": False,
            "circuit.load[right lamp].same_wire": False,
            "circuit.joint_resistance": "0.04 ohm",
        }
    )
    data = electric(build)
    assert data.amps("running, cold") == pytest.approx(4.5, abs=0.05)
    assert data.amps("running, hot") == pytest.approx(3.4, abs=0.05)
    assert clutch(build).static["running, hot"].likely / LBF_FT == pytest.approx(66.7, abs=0.1)
    for id in ("electric.voltage", "electric.fuse", "electric.short", "electric.ampacity"):
        assert check(build, id).verdict == GO, id


# key, new text, checks and facts that must follow
CHANGES = [
    ("circuit.running_voltage", "12.5 V", "electric.voltage"),
    ("circuit.battery_resistance", "40 mΩ", "electric.short"),
    ("circuit.wire", "22 AWG", "electric.drop"),
    ("circuit.insulation", "60 °C", "electric.ampacity"),
    ("circuit.engine_space", False, "electric.ampacity"),
    ("circuit.bundled", 30, "electric.ampacity"),
    ("circuit.length_out", "30 ft", "electric.voltage"),
    ("circuit.length_back", "1 ft", "electric.drop"),
    ("circuit.joint_resistance", "0.3 ohm", "electric.drop"),
    ("circuit.fuse", "40 A", "electric.fuse"),
    ("circuit.charging_work", "3 A", "electric.charging"),
    ("circuit.relay_voltage", "24 V", "electric.relay-coil"),
    ("circuit.relay_rating", "8 A", "electric.relay-contact"),
    ("circuit.suppression", "none", "electric.suppression"),
    ("circuit.load[work lamp].current", "1 A", "electric.charging"),
    ("clutch.coil_resistance", "2.0 ohm", "electric.coil"),
    ("clutch.hot_rise", "120 K", "electric.voltage"),
    ("clutch.static_torque", "60 lbf·ft", "clutch.hold"),
    ("clutch.plate_voltage", "13 V", "clutch.hold"),
    ("clutch.air_gap", "0.05 in", "clutch.gap"),
    ("engine.peak_torque", "40 lbf·ft", "clutch.hold"),
    ("work.power", "4 hp", "clutch.pull-in"),
]


@pytest.mark.parametrize(("key", "value", "id"), CHANGES, ids=[c[0] for c in CHANGES])
def test_changing_an_input_changes_what_depends_on_it(demo, key, value, id):
    changed = demo.with_values({key: value})
    assert check(changed, id) != check(demo, id)
    chapters = work_up(demo).chapters
    spoiled = {c.name for c, keys in out_of_date(demo, changed, tuple(chapters.values())) if key in keys}
    assert id.split(".")[0] in spoiled


def test_wrong_parts_are_stopped_with_their_cure(demo):
    burns = check(demo.with_values({"clutch.coil_resistance": "0.7 ohm"}), "electric.coil")
    assert burns.verdict == STOP and burns.guards and "6 V" in burns.reason
    weak = check(demo.with_values({"clutch.coil_resistance": "12 ohm"}), "electric.coil")
    assert weak.verdict == STOP and not weak.guards and "24 V" in weak.reason
    relay = check(demo.with_values({"circuit.relay_voltage": "6 V"}), "electric.relay-coil")
    assert relay.verdict == STOP and relay.guards
    out = check(demo.with_values({"circuit.relay_voltage": "24 V"}), "electric.relay-coil")
    assert out.verdict == STOP and not out.guards
    fuse = check(demo.with_values({"circuit.fuse": "40 A"}), "electric.fuse")
    assert fuse.verdict == STOP and fuse.guards and "larger wire" in fuse.remedy
    tired = check(demo.with_values({"circuit.fuse": "6 A"}), "electric.fuse")
    assert tired.verdict == CAUTION and "the fuse ages" in tired.reason
    assert check(demo.with_values({"circuit.fuse": "4 A"}), "electric.fuse").verdict == STOP
    swallowed = check(
        demo.with_values({"clutch.coil_resistance": "0.5 ohm", "clutch.lead_resistance": "0.3 ohm"}),
        "electric.coil-reading",
    )
    assert swallowed.verdict == STOP and "clips" in swallowed.remedy


def test_the_return_may_be_the_frame(demo):
    build = demo.with_values({"circuit.length_back": "0 in"})
    data = electric(build)
    assert data.steps.parts[-1] == "frame" and data.steps.kinds[-1] == "chassis"
    assert data.amps("running, cold") > electric(demo).amps("running, cold")
    fact = next(f for f in work_up(build).chapters["electric"].facts if f.label == "assumed here")
    assert "frame" in fact.value


def test_joints_are_counted_once(demo):
    """The fuse's own resistance is part of what was stated for all joints together, not on top of it."""
    line = electric(demo).line
    assert sum(p.ohm for p in line.parts_out if p.kind in ("fuse", "contact", "joint")) == pytest.approx(0.04)
    assert [p.name for p in line.parts_out] == ["fuse", "relay contact", "joints", "wire out"]
    none = electric(demo.with_values({"circuit.joint_resistance": "0 ohm"})).line
    assert [p.kind for p in none.parts_out] == ["wire"]


def test_24_volts_alike(demo):
    """Twice every voltage and four times every resistance: half the current, the same verdicts."""
    build = demo.with_values(
        {
            "circuit.running_voltage": "28.2 V",
            "circuit.battery_voltage": "25 V",
            "clutch.coil_resistance": "10.4 ohm",
            "clutch.plate_voltage": "24 V",
            "circuit.relay_voltage": "24 V",
            "circuit.joint_resistance": "0.16 ohm",
            "circuit.length_out": "32 ft",
            "circuit.length_back": "32 ft",
        }
    )
    assert electric(build).amps("running, hot") == pytest.approx(electric(demo).amps("running, hot") / 2, rel=1e-9)
    assert clutch(build).static["running, hot"].likely == pytest.approx(clutch(demo).static["running, hot"].likely)
    for id in ("electric.voltage", "electric.coil", "electric.relay-coil", "electric.drop", "clutch.hold"):
        assert check(build, id).verdict == GO, id


def test_unknown_inputs_are_named_and_never_an_error(demo):
    keys = [k for k in demo.values if k.startswith(("circuit.", "clutch.")) and not k.endswith(".name")]
    assert len(keys) > 20
    for key in keys:
        build = demo.with_values({key: ""})
        results = work_up(build, ("clutch",))
        for c in (*results.of("electric"), *results.of("clutch")):
            assert c.verdict != UNDECIDED or c.missing, (key, c.id)
    bare = check(demo.with_values({"clutch.coil_resistance": ""}), "electric.voltage")
    assert bare.verdict == UNDECIDED and bare.missing == ("clutch.coil_resistance",)
    fuse = check(demo.with_values({"circuit.fuse": ""}), "electric.fuse")
    assert fuse.verdict == UNDECIDED and "7.5 A" in fuse.reason
    # with insulation not known the verdict stands where every class agrees, and is left open where they differ
    open_ = demo.with_values({"circuit.insulation": ""})
    assert check(open_, "electric.ampacity").verdict == GO
    assert check(open_.with_values({"circuit.fuse": "20 A"}), "electric.fuse").missing == ("circuit.insulation",)


def test_a_build_without_a_clutch_says_why_and_warns_of_the_mains():
    results = work_up(load("drum_mixer"))
    for name in ("electric", "clutch"):
        chapter = results.chapters[name]
        assert chapter.state == "none" and "no clutch" in chapter.words
        assert results.of(name) == ()
    cautions = " ".join(results.chapters["electric"].cautions)
    assert "licensed electrician" in cautions and "reset" in cautions
    rotor = work_up(load("rotor_bearings"))
    assert rotor.chapters["electric"].state == "not known yet" and rotor.of("electric") == ()


def test_a_stop_that_guards_cannot_be_accepted():
    text = (
        CHIPPER
        + """
[[accepted]]
name = "electric.short"
reason = "it has always been so"
date = 2026-03-01
"""
    )
    found = check(parse(text.encode(), file="chipper"), "electric.short")
    assert found.stands and "cannot be accepted" in found.reason


JOINTS = """
[[circuit.joint]]
name = "fuse holder"
place = "battery side, out"
resistance = "10 mΩ"

[[circuit.joint]]
name = "clutch plug"
place = "coil side, out"
drop = "{drop} V"

[[circuit.joint]]
name = "ground lug"
place = "battery side, back"
resistance = "5 mΩ"
"""


def with_joints(drop):
    return parse(
        (
            CHIPPER.replace('"22 AWG"', '"12 AWG"').replace('power = "35 W"', 'current = "0 A"')
            + JOINTS.format(drop=drop)
        ).encode(),
        file="joints",
    )


def test_joints_listed_one_by_one_stand_where_they_are():
    data = electric(with_joints(0.02))
    assert data.steps.parts == ("fuse", "fuse holder", "wire out", "clutch plug", "coil", "wire back", "ground lug")
    assert data.steps.drops[data.steps.parts.index("clutch plug"), 0] == pytest.approx(0.02, rel=0.1)
    assert check(with_joints(0.02), "electric.joints").verdict == GO
    assert check(with_joints(0.2), "electric.joints").verdict == CAUTION
    hot = check(with_joints(1.0), "electric.joints")
    assert hot.verdict == STOP and hot.guards and "clutch plug" in hot.value
    assert electric(with_joints(0.02)).line.line_ohm < electric(with_joints(0.2)).line.line_ohm


def test_charging_at_idle_is_told_where_it_is_known(demo):
    """An engine that idles wants the figure; one whose idle speed nobody gave does not."""
    demo = demo.with_values({"circuit.charging_idle": ""})
    open_ = check(demo, "electric.charging-idle")
    assert open_.verdict == UNDECIDED and open_.missing == ("circuit.charging_idle",) and "1500 rpm" in open_.reason
    without = demo.with_values({"engine.idle_speed": ""})
    assert [c for c in work_up(without).of("electric") if c.id == "electric.charging-idle"] == []
    low, high = (
        check(demo.with_values({"circuit.charging_idle": a}), "electric.charging-idle") for a in ("2 A", "9 A")
    )
    assert low.verdict == CAUTION and "short" in low.value
    assert high.verdict == GO


def test_cold_lamps_on_the_clutchs_wire_may_open_its_fuse(demo):
    text = (
        CHIPPER.replace('"22 AWG"', '"10 AWG"')
        .replace('"18 ft"', '"4 ft"')
        .replace("bundled = 3", "")
        .replace("engine_space = true", "")
        .replace('"80 °C"', '"105 °C"')
    )
    build = parse(text.encode(), file="lamps").with_values({"circuit.fuse": "20 A"})
    found = check(build, "electric.fuse")
    assert found.verdict == CAUTION and "Cold lamps" in found.reason
    apart = {f"circuit.load[{side} lamp].same_wire": False for side in ("left", "right")}
    assert check(build.with_values(apart), "electric.fuse").verdict == GO

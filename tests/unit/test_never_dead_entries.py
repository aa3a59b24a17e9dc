"""Entries that somebody really makes: each is answered in words, at loading or by a check that names its keys."""

import itertools

import pytest
from builders import check_of
from jackshaft import tables
from jackshaft.buildfile import DEMO, BuildProblems, load, parse
from jackshaft.buildfile.schema import chapter, walk
from jackshaft.mechanics import engagement_history
from jackshaft.results import Detail, Scope, work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED
from jackshaft.results.proving import prove
from jackshaft.units import KINDS, OutOfRange
from never_dead import TEXT, build_with, said, worked

MARKED = "stage[belt].marked"


def refused(keys):
    """Return what a file with these keys is refused with."""
    with pytest.raises(BuildProblems) as caught:
        build_with(keys=keys)
    return {p.key: p for p in caught.value.problems}


def test_the_machine_of_these_tests_works_as_it_stands():
    results = worked()
    assert not results.faults and results.exit_code == 0
    assert check_of(results, "layout.length[belt]").verdict == GO
    assert check_of(results, "clutch.engagement").verdict != UNDECIDED


def test_a_peak_torque_on_a_build_whose_stages_have_no_belt_has_its_answer():
    text = """
schema = 1
name = "two gears"
[engine]
work_speed = "3000 rpm"
peak_torque = "14 lbf·ft"
[[shaft]]
name = "out"
[[stage]]
name = "gears"
kind = "gear"
from = "engine"
to = "out"
driver_teeth = 20
driven_teeth = 60
"""
    results = work_up(parse(text.encode(), file="gears.toml"))
    assert not results.faults
    assert "at which torque it gives" in results.chapters["chain"].words


@pytest.mark.parametrize(
    "marking",
    ["worn off", "13x1280", "A68, A68", "A73 + A74", "AVX13x1280 La", "?", "-1", "2026-01-01"],
)
def test_a_marking_that_says_no_length_leaves_the_length_undecided_and_nothing_else(marking):
    results = worked({MARKED: marking})
    check = check_of(results, "layout.length[belt]")
    assert check.verdict == UNDECIDED and MARKED in said(check)
    assert {"stage[belt].length", "stage[belt].length_is"} <= set(check.missing)
    assert not results.faults and results.exit_code == 3
    assert check_of(results, "grip.margin[belt]").verdict == check_of(worked(), "grip.margin[belt]").verdict


@pytest.mark.parametrize("marking", ["AX60", "B68", "2/B97", "6PK1438", "17x1600"])
def test_a_marking_of_another_section_is_refused_at_loading(marking):
    assert marking in refused({MARKED: marking})[MARKED].found


def test_a_measured_length_decides_what_a_worn_marking_does_not():
    results = worked({MARKED: "worn off", "stage[belt].length": "70.1 in", "stage[belt].length_is": "pitch"})
    assert check_of(results, "layout.length[belt]").verdict == GO


def test_every_section_line_and_series_has_its_answer():
    """All combinations of section, diameter line, series and length line, as a file may hold them."""
    lines = {f.name: f.choices for f in chapter("stage").fields}
    measured = chapter("stage").part("pulley").field("measured_as").choices
    base, tried = build_with(keys={MARKED: "", "stage[belt].length": "70 in"}), 0
    worked_up = 0
    for section, line, series, length in itertools.product(
        dict.fromkeys(r["section"] for r in tables.table("belt_sections").rows),
        measured,
        lines["series"],
        lines["length_is"],
    ):
        keys = {
            "stage[belt].section": section,
            "stage[belt].series": series,
            "stage[belt].length_is": length,
            **{f"stage[belt].pulley[{n}].measured_as": line for n in ("small", "large")},
        }
        tried += 1
        try:
            build = base.with_values(keys)
        except BuildProblems as refusal:
            assert {p.key for p in refusal.problems} & set(keys), (section, line, series, length)
            continue
        worked_up += 1
        results = work_up(build, ("layout",), scope=Scope(Detail.NO_TABLES))
        assert not results.faults, (section, line, series, length, results.faults[0].fault.trace)
        check = check_of(results, "layout.length[belt]")
        if check.verdict == UNDECIDED:
            assert "stage[belt]." in said(check), (section, line, series, length)
    assert tried > 500 and worked_up > 100


def test_travel_past_the_touching_of_the_pulleys_is_said():
    results = worked({"stage[belt].takeup.travel_in": "21 in"})
    assert not results.faults
    sheet = next(s for s in results.chapters["layout"].tables if "belts that are sold" in s.title)
    assert any("until the pulleys touch" in " ".join(row) for row in sheet.rows)


def test_a_length_on_a_line_that_the_section_has_not_names_its_keys():
    said_of = refused({"stage[belt].length": "70 in", "stage[belt].length_is": "effective"})
    assert "effective" in said_of["stage[belt].length_is"].found


@pytest.mark.parametrize("text", ["20 °C", "68 °F", "600 °F"])
def test_insulation_that_no_wire_is_sold_with_is_refused_at_loading(text):
    problem = refused({"circuit.insulation": text})["circuit.insulation"]
    assert text in problem.found and ("or more" in problem.wanted or "or less" in problem.wanted)


@pytest.mark.parametrize(("metric", "inch"), [("60 °C", "140 °F"), ("105 °C", "221 °F"), ("260 °C", "500 °F")])
def test_insulation_may_be_typed_in_fahrenheit(metric, inch):
    verdicts = [
        [(c.id, c.verdict, c.value) for c in worked({"circuit.insulation": t}).of("electric")] for t in (metric, inch)
    ]
    assert verdicts[0] == verdicts[1]


@pytest.mark.parametrize("name", ["coil", "battery", "wire out", "wire back", "frame", "short"])
def test_loads_and_joints_called_like_a_part_of_every_circuit_are_refused(name):
    for part, more in (("load", {"same_wire": True}), ("joint", {"resistance": "0.01 ohm"})):
        at = f"circuit.{part}[{name}]"
        assert f"{at}.name" in refused({f"{at}.name": name, **{f"{at}.{k}": v for k, v in more.items()}})


def test_a_load_and_a_joint_of_one_name_are_refused():
    assert "load" in refused({"circuit.joint[lamp].resistance": "0.01 ohm"})["circuit.joint[lamp].name"].found


@pytest.mark.parametrize("volts", ["96 V", "110 V", "230 V", "5000 V"])
@pytest.mark.parametrize("key", ["circuit.running_voltage", "circuit.battery_voltage"])
def test_a_voltage_of_no_battery_is_a_stop_that_nobody_can_accept(volts, key):
    results = worked({key: volts})
    check = check_of(results, "electric.supply")
    assert check.verdict == STOP and check.guards and key in said(check)
    assert not results.faults


@pytest.mark.parametrize("running, rest", [("6 V", "6.3 V"), ("28 V", "25.2 V"), ("57 V", "50 V"), ("74 V", "12.6 V")])
def test_battery_voltages_are_worked_up(running, rest):
    """Below 75 V none is too dangerous to be judged here; 74 V are of no battery, which is asked about."""
    results = worked({"circuit.running_voltage": running, "circuit.battery_voltage": rest})
    assert not results.faults
    found = [(c.verdict, c.guards) for c in results.checks if c.id == "electric.supply"]
    assert found == ([(CAUTION, False)] if running == "74 V" else [])


def test_a_shaft_step_with_ends_and_no_diameter_is_undecided():
    at = "shaft[arbor].step[all]"
    results = worked({f"{at}.name": "all", f"{at}.start": "-3 in", f"{at}.end": "13 in"})
    check = check_of(results, "shafts.strength[arbor]")
    assert check.verdict == UNDECIDED and f"{at}.diameter" in check.missing
    assert not results.faults


def test_none_is_refused_where_no_part_can_be_absent():
    assert "inch" in refused({"shown_in": "none"})["shown_in"].wanted
    assert "engine.work_speed" in refused({"engine.work_speed": "None"})


def test_none_is_no_reason_and_no_date_of_an_acceptance():
    at = "accepted[grip.margin[belt]]"
    problems = refused({f"{at}.reason": "none", f"{at}.date": "none"})
    assert {f"{at}.reason", f"{at}.date"} <= set(problems)


def test_every_field_takes_none_or_refuses_it_as_its_schema_says():
    for _, section in walk():
        for field in section.fields:
            if field.absent:
                assert field.kind != "yes/no" and field.name != "name", field.name
    build = build_with(keys={"circuit.fuse": "none", MARKED: "none", "engine.key_width": "none"})
    results = work_up(build)
    assert build.is_none("circuit.fuse") and not results.faults
    fuse = check_of(results, "electric.fuse")
    assert fuse.verdict == STOP and fuse.guards and fuse.remedy.startswith("Fit a fuse")
    # the least current a fuse may have here is 8.94 A; of the blade fuses sold (7.5, 10, 15 A) 10 A is the first above
    cure = prove(results, "electric.fuse")[0]
    assert cure.changes["circuit.fuse"] == "10 A" and cure.verdict_after == GO and not cure.worse


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("stage[belt].centres", "1e200 in"),
        ("stage[belt].centres", "1e-200 in"),
        ("engine.work_speed", "1e30 rpm"),
        ("clutch.coil_resistance", "1e-30 ohm"),
        ("work.weight", "1e40 lb"),
        ("work.power", "1e-90 hp"),
        ("bearing[near].position", "-1e20 in"),
        ("shaft[arbor].yield_strength", "1e-12 psi"),
    ],
)
def test_sizes_that_no_machine_has_are_refused_at_loading(key, text):
    assert text in refused({key: text})[key].found


def test_a_spread_as_large_as_the_value_is_refused():
    assert (
        "less than the value"
        in refused({"engine.work_speed": {"value": "3000 rpm", "known": "measured", "plus_minus": "3000 rpm"}})[
            "engine.work_speed"
        ].wanted
    )


def extremes(kind):
    """Two shop texts at the ends of what the loader lets through, where the field itself sets no closer ones."""
    low, high = {
        "length": ("0.001 mm", "9 km"),
        "power": ("0.01 W", "90000 kW"),
        "rotation": ("0.1 rpm", "500000 rpm"),
        "torque": ("0.001 N·m", "9000000 N·m"),
        "force": ("0.01 N", "90000 kN"),
        "mass": ("0.001 kg", "900000 kg"),
        "stress": ("0.01 MPa", "90000 MPa"),
        "inertia": ("0.000001 kg·m²", "900000 kg·m²"),
        "current": ("0.001 A", "90000 A"),
        "resistance": ("0.00001 ohm", "900000 ohm"),
        "voltage": ("0.001 V", "9000 V"),
    }.get(kind, (None, None))
    return low, high


QUANTITIES = [k for k, v in build_with().values.items() if getattr(v, "kind", None) in KINDS and extremes(v.kind)[0]]


@pytest.mark.parametrize("key", QUANTITIES)
def test_both_ends_of_every_quantity_are_answered(key):
    base = build_with()
    for text in extremes(base.values[key].kind):
        try:
            build = base.with_values({key: text})
        except BuildProblems as problems:
            assert text in str(problems) or key in str(problems)
            continue
        results = work_up(build)
        assert not results.faults, (text, results.faults[0].fault.trace)


def test_the_integration_counts_its_steps(monkeypatch):
    monkeypatch.setattr(engagement_history, "MOST_STEPS", 10)
    with pytest.raises(OutOfRange, match="10 steps"):
        engagement_history.history_si(
            engine=engagement_history.Side(1.0, lambda w: 0.0, 100.0),
            load=engagement_history.Side(1.0, lambda w: 0.0),
            clutch=lambda t, s: 1.0,
            longest=100.0,
        )


def test_the_text_of_the_machine_is_a_file_that_loads():
    assert parse(TEXT.encode(), file="saw.toml").name == build_with().name


def test_a_bearing_off_a_shaft_that_has_a_step_without_a_diameter_is_a_stop_in_words():
    at = "shaft[jackshaft].step[between the bearings].diameter"
    results = work_up(load(DEMO).with_values({"bearing[engine side].position": "10.87 in", at: ""}))
    assert not results.faults
    check = next(c for c in results.checks if c.id == "shafts.strength[jackshaft]")
    assert check.verdict == STOP and "10.87" in check.reason and "bearing[engine side].position" in check.reason


@pytest.mark.parametrize("volts", [None, "12 V"])
def test_a_lamp_that_takes_all_the_voltage_of_the_clutch_wire_is_a_stop_that_names_it(volts):
    build, at = load(DEMO), "circuit.load[work lamp]"
    keys = {f"{at}.current": "300 A", f"{at}.same_wire": True}
    results = work_up(build.with_values(keys | ({"clutch.plate_voltage": volts} if volts else {})))
    assert not results.faults
    check = next(c for c in results.checks if c.id == "electric.voltage")
    assert check.verdict == STOP
    assert f"{at}.current" in check.reason
    cures = prove(results, "electric.voltage")
    assert cures and all(c.changes[f"{at}.same_wire"] == "no" and c.verdict_after == GO for c in cures)
    # the cure cures: on a wire of its own the lamp leaves the coil what it had
    cured = work_up(build.with_values(keys | {f"{at}.same_wire": False}))
    assert next(c for c in cured.checks if c.id == "electric.voltage").verdict != STOP
    assert not [c for c in results.checks if "e+" in c.reason + c.value]


def test_a_step_with_a_bore_wider_than_its_neighbour_is_thick_is_answered():
    keys = {"shaft[jackshaft].step[between the bearings].bore": "32.54 mm"}
    results = work_up(load(DEMO).with_values(keys))
    assert not results.faults

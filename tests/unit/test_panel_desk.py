"""What the start page does, as plain functions, on a copy of the data."""

import datetime

import pytest
from jackshaft.buildfile import DEMO, BuildProblems, list_builds, load, opened_last
from jackshaft.chapters.electric import meter
from jackshaft.results import work_up
from jackshaft.start import controller as desk
from jackshaft.start import parts as start_parts


@pytest.fixture(autouse=True)
def on_a_copy(own_data, monkeypatch):
    monkeypatch.delenv("JACKSHAFT_BUILD", raising=False)


def test_a_new_build_is_made_opened_and_asks_for_more():
    build, words = desk.new_build("Log splitter No. 2", desk.BLANK, "metric")
    assert build.system == "metric" and build.name == "Log splitter No. 2" and "log_splitter_no_2.toml" in words
    assert "log_splitter_no_2" in list_builds() and opened_last() == "log_splitter_no_2"
    assert load().name == build.name
    assert desk.measurements(build)[0][0].startswith("wanted: ")


def test_a_copy_keeps_all_but_the_name():
    build, _ = desk.new_build("My auger", DEMO, "inch")
    demo = load(DEMO)
    assert build.name == "My auger"
    assert {k: v for k, v in build.values.items() if k != "name"} == {
        k: v for k, v in demo.values.items() if k != "name"
    }


@pytest.mark.parametrize(("start", "system"), [(DEMO, "metric"), (DEMO, "inch"), ("drum_mixer", "inch")])
def test_a_copy_is_shown_as_the_form_says(start, system):
    build, _ = desk.new_build("Mine", start, system)
    assert build.system == system == load("mine").system
    assert (build.text.count("shown_in") > 0) or load(start).system == system


TOPS = {
    "first": 'name = "Old"  # what it is\nschema = 1\n\n[[bearing]]\nname = "Old"\n',
    "last": 'schema = 1\nshown_in = "metric"\n# said\nname = "Old"\n[[bearing]]\nname = "Old"\n',
    "single quotes": "schema = 1\nname = 'Old'\n[[bearing]]\nname = 'Old'\n",
    "more lines": 'schema = 1\nname = """\nOld"""\n[[bearing]]\nname = "Old"\n',
    "quoted key": 'schema = 1\n"name" = "Old"\n[[bearing]]\nname = "Old"\n',
    "inline parts above": 'bearing = [{ name = "Old" }]\nschema = 1\nname="Old"\n',
    "a note like it": 'schema = 1\nnotes = """\nname = "Old"\n"""\nname = "Old"\n[[bearing]]\nname = "Old"\n',
    "CRLF": 'schema = 1\r\nname = "Old"\r\n[[bearing]]\r\nname = "Old"\r\n',
}


@pytest.mark.parametrize("text", TOPS.values(), ids=TOPS)
def test_a_copy_renames_the_build_and_no_part(own_data, text):
    (own_data / "builds" / "old.toml").write_bytes(text.encode())
    build, _ = desk.new_build("New", "old", load("old").system)
    assert build.name == "New" and build.names("bearing") == ("Old",)
    old = load("old")
    assert dict(build.values) == dict(old.values) | {"name": "New"}
    assert old.name == "Old" and build.text.count("# said") == text.count("# said")


ODD = [
    'He said "go"',
    "back\\slash \\n",
    "it's 'quoted'",
    '"""',
    "two\nlines",
    "tab\there",
    "bell\x07",
    "Zürich № 5 \U0001f69c",
    "a\u2028b",
]


@pytest.mark.parametrize("start", [desk.BLANK, DEMO])
@pytest.mark.parametrize("name", [n + " 1" for n in ODD])
def test_odd_characters_in_a_name_are_kept(name, start):
    build, _ = desk.new_build(name, start, "inch")
    assert build.name == name == load(build.slug).name


@pytest.mark.parametrize(("name", "words"), [("half \ud800", "half a character"), ("x" * 101, "at most 100")])
def test_a_name_that_cannot_be_written_is_refused(own_data, name, words):
    before = list_builds()
    with pytest.raises(BuildProblems, match=words):
        desk.new_build(name, desk.BLANK, "inch")
    assert list_builds() == before and not list((own_data / "builds").glob(".new*"))


@pytest.mark.parametrize("name", ["", "  ", "!!!"])
def test_a_name_without_letters_is_refused(name):
    with pytest.raises(BuildProblems, match="letters or digits"):
        desk.new_build(name, desk.BLANK, "inch")


def test_no_build_is_overwritten():
    with pytest.raises(BuildProblems, match="no build is overwritten"):
        desk.new_build("Drum mixer", desk.BLANK, "inch")
    assert load("drum_mixer").names("stage")


def test_opening_the_demo_again_forgets_the_other():
    desk.open_other("drum_mixer")
    assert load().slug == "drum_mixer"
    desk.open_other(DEMO)
    assert opened_last() is None and load().slug == DEMO
    with pytest.raises(BuildProblems):
        desk.open_other("no_such_build")


def test_a_build_grows_part_by_part_to_a_verdict():
    build, _ = desk.new_build("Saw", desk.BLANK, "inch")
    for kind, name in (("shaft", "arbor"), ("stage", "drive")):
        build, _ = start_parts.add_part(build, kind, name)
    steps = [
        ("engine.work_speed", "2600 rpm"),
        ("stage[drive].kind", "belt"),
        ("stage[drive].from", "engine"),
        ("stage[drive].to", "arbor"),
        ("work.shaft", "arbor"),
        ("work.speed_least", "1200 rpm"),
        ("work.speed_most", "1400 rpm"),
    ]
    for key, text in steps:
        build, _ = desk.write_down(build, key, text)
    assert any(key == "stage[drive].pulley" for _, key in start_parts.lists(build))
    chained = build.with_values({"stage[drive].kind": "roller chain"})
    assert not any(key.startswith("stage[drive].") for _, key in start_parts.lists(chained))
    for name, size in (("small", "4 in"), ("big", "8 in")):
        build, _ = start_parts.add_part(build, "stage[drive].pulley", name)
        build, _ = desk.write_down(build, f"stage[drive].pulley[{name}].diameter", size, "measured", "calipers")
        build, _ = desk.write_down(build, f"stage[drive].pulley[{name}].measured_as", "pitch")
    build, _ = desk.write_down(build, "stage[drive].driver", "small")
    build, words = desk.write_down(build, "stage[drive].driven", "big")
    speed = next(c for c in work_up(build).checks if c.id == "ratio.speed")
    # 2600 x 4 / 8 = 1300, less the creep that the table takes for a belt: 1 %
    assert speed.verdict == "go" and speed.value == "1287 rpm"
    assert build.get("stage[drive].pulley[big].diameter").known == "measured, calipers"


def test_a_refused_value_leaves_everything():
    build = load(DEMO)
    before = build.path.read_bytes()
    with pytest.raises(BuildProblems, match="wanted a force"):
        desk.write_down(build, "engine.side_load_limit", "150 rpm")
    with pytest.raises(BuildProblems, match="a second 'jackshaft'"):
        start_parts.add_part(build, "shaft", "jackshaft")
    with pytest.raises(BuildProblems, match="without square brackets"):
        start_parts.add_part(build, "shaft", "a[b]")
    assert build.path.read_bytes() == before


def test_what_somebody_else_wrote_is_kept():
    build = load(DEMO)
    build.path.write_text(build.text + "\n# another hand\n", encoding="utf-8")
    kept, _ = desk.write_down(build, "engine.side_load_limit", "150 lbf")
    assert "# another hand" in kept.text and load(DEMO).get("engine.side_load_limit").text == "150 lbf"


def test_what_a_value_changes_is_said():
    build = load(DEMO)
    _, words = desk.write_down(build, "stage[crank belts].takeup.slack_tension", "4 lbf")
    assert "crank belts: grip at work is now" in words


def test_yes_no_and_counts_are_taken_as_such():
    build, _ = desk.write_down(load(DEMO), "circuit.engine_space", "no")
    build, _ = desk.write_down(build, "circuit.bundled", "3")
    assert build.get("circuit.engine_space") is False and build.get("circuit.bundled") == 3
    assert "the build says no" in desk.hint(build, "circuit.engine_space")


def test_an_empty_text_forgets_a_value():
    build, words = desk.write_down(load(DEMO), "circuit.fuse", "")
    assert build.get("circuit.fuse") is None and words.startswith("Forgot")


# -- what the meter showed -------------------------------------------------------------------------------------------


def test_a_baseline_is_kept_and_a_later_reading_is_held_against_it():
    day = datetime.date(2026, 4, 1)
    build, words = meter.keep_reading(load(DEMO), "coil +", "13.75", "running", "cold", baseline=True, day=day)
    assert "13.75 V at coil +" in words and "13.78 V computed" in words
    later, words = meter.keep_reading(build, "coil +", "12.9 V", "running", "cold", baseline=False, day=day)
    assert "baseline 13.75 V" in words and "a fault on the way" in words
    assert later.names("circuit.reading") == ("2026-04-01 coil +", "2026-04-01 coil +, 2")
    check = next(c for c in work_up(load(DEMO)).checks if c.id == "electric.readings")
    assert check.verdict == "stop" and "0.850 V" in check.value


def test_a_drop_makes_a_joint_and_a_bad_one_is_named():
    build, words = meter.keep_drop(load(DEMO), "clutch plug", "coil side, out", "0.3 V")
    assert "0.3 V across clutch plug" in words and "caution" in words
    assert "clutch plug" in work_up(build).chapters["electric"].data.steps.parts
    assert load(DEMO).get("circuit.joint[clutch plug].drop").text == "0.3 V"


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda b: meter.keep_reading(b, "nowhere", "12 V", "running", "cold", baseline=False), "test points"),
        (lambda b: meter.keep_reading(b, "coil +", "", "running", "cold", baseline=False), "what the meter showed"),
        (lambda b: meter.keep_reading(b, "coil +", "12 ohm", "running", "cold", baseline=False), "volts"),
        (lambda b: meter.keep_drop(b, " ", "coil side, out", "0.1 V"), "name"),
        (lambda b: meter.keep_drop(b, "plug", "", "0.1 V"), "where it sits"),
        (lambda b: meter.keep_reading(b, "coil +", "12 V", "", "cold", baseline=False), "engine running or"),
        (lambda b: meter.keep_drop(b, "plug", "coil side, out", ""), "what the meter showed"),
        (lambda b: meter.keep_drop(b, "plug", "coil side, out", "-1 V"), "0 mV or more"),
    ],
)
def test_a_bad_reading_is_refused_and_nothing_is_written(call, words):
    before = load(DEMO).text
    with pytest.raises(BuildProblems, match=words):
        call(load(DEMO))
    assert load(DEMO).text == before


def test_the_meter_forms_keep_and_show_what_went_wrong():
    forms = meter.MeterForms(load(DEMO))
    forms.joint.value, forms.volts.value, forms.baseline.value = "coil -", "0.17", "yes"
    before = load(DEMO).text
    for box, said, wanted in ((forms.supply, "running", "engine running or"), (forms.coil, "cold", "cold or hot")):
        # what nobody picked is asked for, never written from where a list happened to stand
        forms.forms[0].run(forms._reading)
        assert wanted in forms.forms[0].alert.value and load(DEMO).text == before
        box.value = said
    forms.forms[0].run(forms._reading)
    assert "Kept 0.170 V at coil -" in forms.forms[0].result.value and forms.volts.value == ""
    assert forms.supply.value == forms.coil.value == ""
    forms.volts.value, forms.supply.value, forms.coil.value = "lots", "running", "cold"
    forms.forms[0].run(forms._reading)
    assert "lots" in forms.forms[0].alert.value and forms.volts.value == "lots"
    bare = meter.MeterForms(load("drum_mixer"))
    bare.volts.value = "12"
    bare.forms[0].run(bare._reading)
    assert "test points" in bare.forms[0].alert.value

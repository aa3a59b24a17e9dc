"""Broken build files: each gives a clear message and exit code 2, and nothing is lost."""

import pytest
from jackshaft.buildfile import BuildProblems, builds_dir, parse
from jackshaft.cli import main

HEAD = 'schema = 1\nname = "t"\n'
BELT = (
    HEAD
    + """
[[shaft]]
name = "out"
[[stage]]
name = "one"
kind = "belt"
from = "engine"
to = "out"
driver = "E"
driven = "J"
[[stage.pulley]]
name = "E"
x = "0 in"
y = "0 in"
diameter = "4 in"
[[stage.pulley]]
name = "J"
x = "10 in"
y = "0 in"
diameter = "8 in"
"""
)

# id, the file, the key that is named, words of what was found, words of what is wanted
BROKEN = [
    ("empty", "", "", "an empty file", "schema = 1"),
    ("no schema", 'name = "t"\n', "schema", "nothing", "required"),
    ("schema text", 'schema = "1"\nname = "t"\n', "schema", "'1'", "whole number"),
    ("schema too new", 'schema = 99\nname = "t"\n', "schema", "newer", "newer workbook"),
    ("schema without a way", 'schema = 0\nname = "t"\n', "schema", "schema 0", "cannot be brought up"),
    ("no name", "schema = 1\n", "name", "nothing", "required"),
    ("not toml", HEAD + "engine = [\n", "", "line", "TOML"),
    ("quote left open", HEAD + 'purpose = "a\n', "", "line 3", "TOML"),
    ("key twice", HEAD + 'name = "again"\n', "", "exists", "once"),
    ("unknown chapter", HEAD + "[engin]\ncylinders = 1\n", "engin", "unknown key", "did you mean 'engine'"),
    (
        "unknown key",
        HEAD + '[engine]\nwork_sped = "2600 rpm"\n',
        "engine.work_sped",
        "unknown key",
        "did you mean 'work_speed'",
    ),
    ("bare number", HEAD + "[engine]\nwork_speed = 2600\n", "engine.work_speed", "bare number 2600", "unit"),
    ("bare number in a text", HEAD + '[engine]\nwork_speed = "2600"\n', "engine.work_speed", "no unit", "rpm"),
    ("frequency for a speed", HEAD + '[engine]\nwork_speed = "60 Hz"\n', "engine.work_speed", "60 Hz", "rpm"),
    ("energy for a torque", HEAD + '[engine]\npeak_torque = "23 J"\n', "engine.peak_torque", "23 J", "torque"),
    ("unknown unit", HEAD + '[engine]\nshaft_diameter = "3 furlongs"\n', "engine.shaft_diameter", "furlongs", "length"),
    ("ambiguous comma", HEAD + '[engine]\nkey_length = "1,725 in"\n', "engine.key_length", "1725 or as 1.725", "in"),
    ("pair that disagrees", HEAD + '[clutch]\nair_gap = "0.012 in (2.5 mm)"\n', "clutch.air_gap", "2.5 mm", "in"),
    ("negative diameter", HEAD + '[engine]\nshaft_diameter = "-1 in"\n', "engine.shaft_diameter", "-1 in", "more than"),
    ("zero resistance", HEAD + '[clutch]\ncoil_resistance = "0 ohm"\n', "clutch.coil_resistance", "0 ohm", "more than"),
    (
        "efficiency over one",
        HEAD + '[[stage]]\nname = "s"\nefficiency = "120 %"\n',
        "stage[s].efficiency",
        "120 %",
        "or less",
    ),
    ("wrong choice", HEAD + '[engine]\nturns = "clokwise"\n', "engine.turns", "clokwise", "did you mean 'clockwise'"),
    ("yes for true", HEAD + '[circuit]\nrelay = "yes"\n', "circuit.relay", "'yes'", "true or false"),
    ("half a belt", HEAD + '[[stage]]\nname = "s"\nbelts = 1.5\n', "stage[s].belts", "1.5", "whole number"),
    ("no belts", HEAD + '[[stage]]\nname = "s"\nbelts = 0\n', "stage[s].belts", "0", "1 to 20"),
    ("bad date", HEAD + 'date = "14/3/26"\n', "date", "14/3/26", "2026-03-14"),
    ("table for a list", HEAD + '[bearing]\nbore = "1 in"\n', "bearing", "a table", "[[bearing]]"),
    ("list for a table", HEAD + "[[engine]]\ncylinders = 1\n", "engine", "a list", "[engine]"),
    ("item without a name", HEAD + '[[bearing]]\nbore = "1 in"\n', "bearing[1].name", "nothing", "required"),
    (
        "name twice",
        HEAD + '[[bearing]]\nname = "A"\n[[bearing]]\nname = "A"\n',
        "bearing[A].name",
        "a second 'A'",
        "once",
    ),
    (
        "part that is not there",
        HEAD + '[[bearing]]\nname = "A"\nshaft = "jackshat"\n[[shaft]]\nname = "jackshaft"\n',
        "bearing[A].shaft",
        "jackshat",
        "did you mean 'jackshaft'",
    ),
    (
        "pulley that is not there",
        BELT.replace('driven = "J"', 'driven = "K"'),
        "stage[one].driven",
        "'K'",
        "pulley of this stage",
    ),
    (
        "unknown section",
        BELT.replace('kind = "belt"', 'kind = "belt"\nsection = "Q"'),
        "stage[one].section",
        "'Q'",
        "one of",
    ),
    (
        "driver is driven",
        BELT.replace('driven = "J"', 'driven = "E"'),
        "stage[one].driven",
        "also the driver",
        "another",
    ),
    ("same spot", BELT.replace('x = "10 in"', 'x = "0 in"'), "stage[one].pulley[J].x", "same centre", "different"),
    (
        "teeth on a belt",
        BELT.replace('kind = "belt"', 'kind = "belt"\ndriver_teeth = 12'),
        "stage[one].driver_teeth",
        "on a belt",
        "only what",
    ),
    (
        "driven twice",
        BELT + '[[stage]]\nname = "two"\nkind = "gear"\nfrom = "engine"\nto = "out"\n',
        "stage[two].to",
        "already drives",
        "once",
    ),
    (
        "ring of stages",
        HEAD + '[[shaft]]\nname="a"\n[[shaft]]\nname="b"\n[[stage]]\nname="1"\nfrom="a"\nto="b"\n'
        '[[stage]]\nname="2"\nfrom="b"\nto="a"\n',
        "stage[1].from",
        "ring",
        "engine",
    ),
    (
        "marking of another section",
        BELT.replace('kind = "belt"', 'kind = "belt"\nsection = "A"\nmarked = "B62"'),
        "stage[one].marked",
        "B62",
        "same section",
    ),
    (
        "speeds upside down",
        HEAD + '[work]\nspeed_least = "240 rpm"\nspeed_most = "200 rpm"\n',
        "work.speed_least",
        "240 rpm",
        "no higher than",
    ),
    (
        "bore wider than the ring",
        HEAD + '[[bearing]]\nname="A"\nbore="3 in"\noutside="2 in"\n',
        "bearing[A].bore",
        "3 in",
        "smaller",
    ),
    (
        "torque short of the plate",
        HEAD + '[engine]\nrated_power="14 hp"\nrated_speed="3600 rpm"\npeak_torque="5 lbf·ft"\n',
        "engine.peak_torque",
        "5 lbf·ft",
        "at least",
    ),
    (
        "cylinders on a motor",
        HEAD + '[engine]\nkind="electric motor"\ncylinders=2\n',
        "engine.cylinders",
        "cylinders",
        "another kind",
    ),
    (
        "circuit without a clutch",
        HEAD.replace("\n", '\nclutch = "none"\n', 1) + '[circuit]\nfuse = "10 A"\n',
        "circuit",
        "clutch is none",
        "no circuit",
    ),
    (
        "acceptance without a reason",
        HEAD + '[[accepted]]\nname="ratio.speed"\ndate=2026-01-01\n',
        "accepted[ratio.speed].reason",
        "nothing",
        "required",
    ),
    (
        "unknown detail",
        HEAD + '[engine]\nwork_speed = { value = "2600 rpm", knwon = "plate" }\n',
        "engine.work_speed",
        "knwon",
        "did you mean 'known'",
    ),
    (
        "unknown way of knowing",
        HEAD + '[engine]\nwork_speed = { value = "2600 rpm", known = "heard" }\n',
        "engine.work_speed",
        "heard",
        "measured",
    ),
]


@pytest.mark.parametrize(("text", "key", "found", "wanted"), [b[1:] for b in BROKEN], ids=[b[0] for b in BROKEN])
def test_each_fault_is_named(text, key, found, wanted):
    with pytest.raises(BuildProblems) as caught:
        parse(text.encode(), file="t.toml")
    problems = [p for p in caught.value.problems if p.key == key]
    assert problems, [p.message for p in caught.value.problems]
    assert any(found in p.found and wanted in p.wanted for p in problems), [p.message for p in problems]
    assert all(p.file == "t.toml" and p.message.startswith("t.toml: ") for p in problems)


@pytest.mark.parametrize("text", [b[1] for b in BROKEN], ids=[b[0] for b in BROKEN])
@pytest.mark.parametrize("command", ["check", "record"])
def test_exit_code_2_and_nothing_lost(text, command, tmp_path, capsys):
    path = tmp_path / "broken.toml"
    path.write_text(text, encoding="utf-8")
    before = path.read_bytes()
    more = ["--out", str(tmp_path / "out")] if command == "record" else []
    assert main([command, str(path), *more]) == 2
    shown = capsys.readouterr()
    assert "broken.toml" in shown.err and "Traceback" not in shown.err
    assert path.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == ["broken.toml"]


def test_every_fault_at_once():
    text = HEAD + '[engine]\nturns = "left"\nwork_speed = 3\n[[bearing]]\nbore = "x"\n'
    with pytest.raises(BuildProblems) as caught:
        parse(text.encode(), file="t.toml")
    assert {p.key for p in caught.value.problems} == {"engine.turns", "engine.work_speed", "bearing[1].name"}


def test_not_utf8_names_the_line():
    with pytest.raises(BuildProblems, match="line 3"):
        parse(HEAD.encode() + b'purpose = "\xff"\n', file="t.toml")


def test_a_missing_file_names_the_nearest(capsys):
    assert main(["check", "feed_wagon_auge"]) == 2
    assert "did you mean 'feed_wagon_auger'" in capsys.readouterr().err


def test_a_folder_is_no_build(tmp_path, capsys):
    folder = tmp_path / "x.toml"
    folder.mkdir()
    assert main(["check", str(folder)]) == 2
    assert "no such file" in capsys.readouterr().err


@pytest.mark.parametrize("path", sorted(builds_dir().glob("*.toml")), ids=lambda p: p.stem)
def test_the_builds_that_ship_are_whole(path):
    assert parse(path.read_bytes(), file=path.name).name


def test_only_schema_and_name_are_required():
    build = parse(HEAD.encode(), file="t.toml")
    assert build.name == "t" and build.get("engine.work_speed") is None and not build.is_none("clutch")

"""Keeping values: atomic, comments kept, previous version kept, no overwriting of others' changes."""

import os

import pytest
from jackshaft.buildfile import (
    DEMO,
    BuildProblems,
    ChangedOnDisk,
    NoSuchKey,
    NotSaved,
    builds_dir,
    create,
    disk,
    load,
    parse,
)
from jackshaft.buildfile.migrate import NoWay, TooNew, migrate


@pytest.fixture
def path(tmp_path):
    target = tmp_path / f"{DEMO}.toml"
    target.write_bytes((builds_dir() / f"{DEMO}.toml").read_bytes())
    return target


def test_keep_changes_one_line_and_nothing_else(path):
    before = path.read_text(encoding="utf-8").splitlines()
    build = load(path)
    new = build.save_values({"circuit.wire": "12 AWG"})
    after = path.read_text(encoding="utf-8").splitlines()
    changed = [(a, b) for a, b in zip(before, after, strict=True) if a != b]
    assert changed == [('wire = "14 AWG"', 'wire = "12 AWG"')]
    assert new.get("circuit.wire").text == "12 AWG" and load(path).values == new.values


def test_a_comment_on_the_line_is_kept(path):
    load(path).save_values({"work.turns": "clockwise"})
    line = next(x for x in path.read_text(encoding="utf-8").splitlines() if x.startswith('turns = "clockwise"  '))
    assert "# the same way as the crank" in line


def test_how_known_does_not_outlive_what_was_measured(path):
    new = load(path).save_values({"engine.work_speed": "2500 rpm"})
    assert new.get("engine.work_speed").known == "chosen" and new.get("engine.work_speed").plus_minus is None


def test_the_previous_version_is_kept(path):
    before = path.read_bytes()
    load(path).save_values({"circuit.fuse": "7.5 A"})
    assert path.with_name(path.name + ".previous").read_bytes() == before


def test_a_file_changed_on_disk_is_not_overwritten(path):
    build = load(path)
    path.write_text(path.read_text(encoding="utf-8") + "\n# somebody else\n", encoding="utf-8")
    build.save_values({"circuit.fuse": "7.5 A"})
    assert "\n# somebody else\n" in path.read_text(encoding="utf-8") and load(path).get("circuit.fuse").text == "7.5 A"


def test_a_file_that_is_no_build_any_more_is_left_alone(path):
    build = load(path)
    path.write_text(path.read_text(encoding="utf-8") + "\n[somebody else\n", encoding="utf-8")
    before = path.read_bytes()
    with pytest.raises(ChangedOnDisk, match="cannot be taken as it is now. Nothing was written"):
        build.save_values({"circuit.fuse": "7.5 A"})
    assert path.read_bytes() == before


def test_a_refused_value_writes_nothing(path):
    before = path.read_bytes()
    with pytest.raises(BuildProblems):
        load(path).save_values({"circuit.fuse": "7.5 V"})
    assert path.read_bytes() == before and not path.with_name(path.name + ".previous").exists()


def test_a_disk_that_refuses_loses_nothing(path, monkeypatch):
    build, before = load(path), path.read_bytes()

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(disk.os, "fsync", full)
    with pytest.raises(NotSaved, match="No space left"):
        build.save_values({"circuit.fuse": "7.5 A"})
    assert path.read_bytes() == before
    assert not [p for p in os.listdir(path.parent) if "writing" in p]


def test_new_keys_items_and_chapters_can_be_kept(path):
    new = load(path).save_values({"engine.side_load_limit": "150 lbf", "bearing[idler].bore": "17 mm"})
    assert new.names("bearing") == ("engine side", "chain side", "idler")
    assert new.get("bearing[idler].bore").si == pytest.approx(0.017)


def test_an_empty_text_forgets_a_value(path):
    new = load(path).save_values({"circuit.fuse": ""})
    assert new.get("circuit.fuse") is None and "fuse =" not in path.read_text(encoding="utf-8").replace("fuse_kind", "")


def test_by_hand_and_by_keeping_are_the_same_build(path):
    kept = load(path).save_values({"circuit.wire": "12 AWG", "engine.idle_speed": "1600 rpm"})
    by_hand = (builds_dir() / f"{DEMO}.toml").read_text(encoding="utf-8")
    by_hand = by_hand.replace('"14 AWG"', '"12 AWG"').replace(
        '{ value = "1500 rpm", known = "measured", by = "tachometer" }', '{ value = "1600 rpm", known = "chosen" }'
    )
    assert dict(kept.values) == dict(parse(by_hand.encode(), file="x.toml").values)


def test_with_values_does_not_touch_the_file_nor_the_build(path):
    build, before = load(path), path.read_bytes()
    other = build.with_values({"engine.work_speed": "2900 rpm"})
    assert other.get("engine.work_speed").si != build.get("engine.work_speed").si
    assert path.read_bytes() == before


def test_keys_the_schema_does_not_have_are_a_fault_of_the_caller(path):
    with pytest.raises(NoSuchKey):
        load(path).with_values({"engine.colour": "red"})


def test_create_refuses_to_overwrite(path):
    with pytest.raises(BuildProblems, match="no build is overwritten"):
        create(path, 'schema = 1\nname = "t"\n')


def test_migration_runs_each_step_in_order():
    def one(doc):
        doc["engine"]["work_speed"] = doc["engine"].pop("speed")

    def two(doc):
        doc["seen"] = doc["engine"]["work_speed"]

    doc = {"schema": 1, "engine": {"speed": "2600 rpm"}}
    assert migrate(doc, 1, to=3, steps={1: one, 2: two}) == 2
    assert doc == {"schema": 3, "engine": {"work_speed": "2600 rpm"}, "seen": "2600 rpm"}


def test_migration_says_when_there_is_no_way():
    with pytest.raises(NoWay):
        migrate({"schema": 1}, 1, to=3, steps={1: lambda d: None})
    with pytest.raises(TooNew):
        migrate({"schema": 4}, 4, to=3, steps={})

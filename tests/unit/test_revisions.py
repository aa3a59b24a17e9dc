"""Revisions of a build: numbered, with a day and a note, never written over."""

import shutil

import pytest
from jackshaft.buildfile import BuildProblems, NotSaved, load, save_values
from jackshaft.buildfile import revisions as room
from jackshaft.buildfile.revisions import revise, revision_of, revisions
from jackshaft.cli import main

BEARINGS = "rotor_bearings"
DAY = "2026-05-02"


@pytest.fixture
def path(tmp_path):
    return shutil.copy(load(BEARINGS).path, tmp_path)


def test_each_has_its_number_day_and_note_and_stays_as_it_was(path):
    first = revise(load(path), "As found", DAY)
    kept = revisions(first)[0].path.read_bytes()
    assert kept == first.path.read_bytes()
    changed = save_values(first, {"bearing[A].seat": "1.3748 in"})
    second = revise(changed, 'seat\n built up, "turned" ]]', "2026-05-03")
    found = revisions(second)
    assert [(r.number, r.date, r.note) for r in found] == [
        (1, DAY, "As found"),
        (2, "2026-05-03", 'seat built up, "turned" ]]'),
    ]
    assert found[0].path.read_bytes() == kept and found[0].fingerprint != found[1].fingerprint
    assert load(revision_of(f"{path}@1")).get("bearing[A].seat").text == "1.3745 in"
    # what was typed of the file stays: only three entries are new
    assert set(second.values) - set(load(BEARINGS).values) == {"revision", "date", "change"}


def test_what_another_window_kept_is_in_it(path):
    stale = load(path)
    save_values(load(path), {"bearing[A].seat": "1.3748 in"})
    assert revise(stale, "x", DAY).get("bearing[A].seat").text == "1.3748 in"


@pytest.mark.parametrize(
    ("note", "day", "key"), [("  ", DAY, "change"), ("x", "yesterday", "date"), ("y" * 5000, DAY, "change")]
)
def test_a_bad_note_or_day_writes_nothing(path, note, day, key):
    before = load(path).path.read_bytes()
    with pytest.raises(BuildProblems) as caught:
        revise(load(path), note, day)
    assert key in str(caught.value)
    assert load(path).path.read_bytes() == before and not revisions(load(path))


def test_a_disk_that_refuses_leaves_neither_a_copy_nor_a_changed_file(path, monkeypatch):
    before = load(path).path.read_bytes()

    def refuses(*_):
        raise NotSaved("full")

    monkeypatch.setattr(room, "replace_both", refuses)
    with pytest.raises(NotSaved):
        revise(load(path), "x", DAY)
    assert load(path).path.read_bytes() == before and not revisions(load(path))


def test_a_letter_and_a_damaged_copy_do_not_stop_the_next_one(path):
    build = save_values(load(path), {"revision": "C"})
    build = revise(build, "x", DAY)
    revisions(build)[0].path.write_bytes(b"\xff not a build")
    build = revise(build, "y", DAY)
    assert [(r.number, bool(r.fingerprint)) for r in revisions(build)] == [(1, False), (2, True)]
    assert "cannot be read" in revisions(build)[0].note


def test_the_command_makes_and_lists_them_and_refuses_in_words(path, capsys):
    assert main(["revise", str(path)]) == 0 and "no revision yet" in capsys.readouterr().out
    assert main(["revise", str(path), "As found"]) == 0 and "As found" in capsys.readouterr().out
    assert main(["compare", f"{path}@1", str(path)]) == 0 and "the same machine" in capsys.readouterr().out
    assert main(["compare", f"{path}@9", str(path)]) == 2 and "no revision 9" in capsys.readouterr().err

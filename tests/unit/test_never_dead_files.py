"""Nothing that fails is written, and a file that is broken all the same opens, is shown, and can be put right."""

import pytest
from jackshaft import bench, cli, workup
from jackshaft.build import (
    DEMO,
    BuildProblems,
    bring_back,
    builds_dir,
    list_builds,
    load,
    open_anyhow,
    parse_anyhow,
    previous_of,
)
from jackshaft.checks import STOP
from jackshaft.panels import desk
from jackshaft.panels.forms import StartForms
from jackshaft.panels.meter import keep_drop
from jackshaft.panels.ratio import ratio_panel
from jackshaft.panels.state import NotKept
from jackshaft.units import OutOfRange
from jackshaft.workup import work_up
from jackshaft.workup.keeping import NotWorkable, keep, make
from never_dead import TEXT, check_of, said


@pytest.fixture
def mine(own_data, monkeypatch):
    """The machine as a file of its own, open; its path."""
    path = builds_dir() / "saw.toml"
    path.write_text(TEXT, encoding="utf-8")
    monkeypatch.setenv("JACKSHAFT_BUILD", "saw")
    return path


@pytest.fixture
def fails(monkeypatch):
    """Make the clutch chapter fail as soon as the engine is worked at 2900 rpm."""

    def make_it(error):
        whole = workup.WORKERS["clutch"]

        def worker(look, done):
            if look.get("engine.work_speed").text == "2900 rpm":
                raise error
            return whole(look, done)

        monkeypatch.setitem(workup.WORKERS, "clutch", worker)

    return make_it


# -- nothing that fails is written ------------------------------------------------------------------


@pytest.mark.parametrize("error", [KeyError("boom"), OutOfRange("the facings cannot turn so fast")])
def test_a_value_that_fails_is_not_written_and_the_form_says_why(mine, fails, error):
    fails(error)
    before = mine.read_bytes()
    with pytest.raises(NotWorkable) as caught:
        keep(load(), {"engine.work_speed": "2900 rpm"})
    words = str(caught.value)
    assert "engine.work_speed" in words and ("code" in words or "The facings cannot turn so fast" in words)
    assert mine.read_bytes() == before and previous_of() is None
    with pytest.raises(BuildProblems):
        desk.write_down(load(), "engine.work_speed", "2900 rpm")
    assert mine.read_bytes() == before


def test_a_panel_that_fails_writes_nothing_and_keeps_the_value(mine, fails):
    panel = ratio_panel(load())
    panel.set("engine.work_speed", "2900 rpm")
    fails(KeyError("boom"))
    before = mine.read_bytes()
    with pytest.raises(NotKept, match="Nothing was kept.*clutch|Nothing was kept.*Clutch"):
        panel.state.keep()
    assert mine.read_bytes() == before and panel.state.texts["engine.work_speed"] == "2900 rpm"


def test_forms_say_in_words_what_was_not_written(mine, fails):
    fails(KeyError("boom"))
    forms = StartForms(load())
    forms.key.value, forms.value.value = "engine.work_speed", "2900 rpm"
    form = next(f for f in forms.forms if "Write" in f.widget.children[0].value)
    form.run(forms._write_down)
    assert "engine.work_speed" in form.alert.value and not form.said.value
    assert "2900" not in mine.read_text(encoding="utf-8")


def test_what_holds_and_what_is_merely_unknown_is_written(mine):
    kept = keep(load(), {"engine.work_speed": "2950 rpm"})
    assert kept.get("engine.work_speed").text == "2950 rpm" and '"2950 rpm"' in mine.read_text(encoding="utf-8")
    kept = keep(kept, {"stage[belt].marked": "worn off", "clutch.static_torque": ""})
    assert work_up(kept).exit_code == 3
    kept, words = keep_drop(kept, "plug", "coil side, out", "40 mV")
    assert "40 mV" in words


def test_a_build_that_fails_already_can_be_mended_step_by_step(mine, fails):
    keep(load(), {"engine.work_speed": "2900 rpm"})
    fails(KeyError("boom"))
    assert work_up(load()).faults
    kept = keep(load(), {"circuit.wire": "12 AWG"})
    assert work_up(kept).faults
    assert not work_up(keep(kept, {"engine.work_speed": "2950 rpm"})).faults


def test_an_engagement_without_end_is_not_written(mine):
    changes = {
        "work.inertia": "2 kg·m²",
        "work.start_factor": 0.0,
        "engine.inertia": "0.00001 kg·m²",
        "engine.stall_speed": "1 rpm",
        "clutch.static_torque": "1 N·m",
    }
    before = mine.read_bytes()
    with pytest.raises(NotWorkable, match="engine.inertia.*engagement"):
        keep(load(), changes)
    assert mine.read_bytes() == before


def test_a_new_build_is_worked_up_before_it_is_written(own_data, fails):
    fails(KeyError("boom"))
    path = builds_dir() / "new.toml"
    with pytest.raises(NotWorkable):
        make(path, TEXT.replace("3000 rpm", "2900 rpm"))
    assert not path.exists()
    assert make(path, TEXT).name and path.exists()


# -- a file that is broken all the same --------------------------------------------------------------

BROKEN = {
    "no unit": TEXT.replace('"14 AWG"', '"14 apples"'),
    "unknown key": TEXT.replace("cylinders", "cilinders"),
    "no TOML": TEXT + "\n[[[",
    "empty": "",
    "spaces": " \n",
    "no text": b"\xff\xfe\x00name",
    "no schema": TEXT.replace("schema = 1\n", ""),
    "a schema to come": TEXT.replace("schema = 1\n", "schema = 99\n"),
    "a schema that is none": TEXT.replace("schema = 1\n", 'schema = "one"\n'),
    "no name": TEXT.replace('name = "saw bench of the tests"\n', ""),
    "a reference to nothing": TEXT.replace('driven = "large"', 'driven = "lagre"'),
    "only x": TEXT.replace('name = "small"\n', 'name = "small"\nx = "1 in"\n'),
    "a contradiction": TEXT.replace('idle_speed = "1500 rpm"', 'idle_speed = "3500 rpm"'),
    "a part without a name": TEXT + '\n[[bearing]]\nbore = "1 in"\n',
    "twice": TEXT + '\n[[bearing]]\nname = "far"\n',
    "a ring": TEXT + '\n[[stage]]\nname = "back"\nkind = "gear"\nfrom = "arbor"\nto = "arbor"\n',
    "a list where a chapter stands": TEXT.replace("[clutch]", "[[clutch]]"),
    "a round box": TEXT + '\n[[stage.body]]\nname = "b"\ndiameter = "1 in"\nwidth = "1 in"\n',
    "none beside some": TEXT.replace("[clutch]", "[clutchh]").replace("schema = 1", 'schema = 1\nclutch = "none"'),
    "deep": TEXT + "\nnotes = " + "[" * 3000,
}


@pytest.mark.parametrize("what", BROKEN)
def test_a_broken_file_opens_says_what_is_wrong_and_shows_the_rest(mine, what):
    data = BROKEN[what] if isinstance(BROKEN[what], bytes) else BROKEN[what].encode()
    if what == "a round box":
        data = data.replace(b"[[stage.body]]", b"[[stage]]\nname = 'x'\n[[stage.body]]")
    mine.write_bytes(data)
    with pytest.raises(BuildProblems) as strict:
        load()
    table = bench.open_build()
    assert table.build.problems and {p.key for p in strict.value.problems} <= {p.key for p in table.build.problems}
    assert not table.results.faults
    for problem in table.build.problems:
        check = check_of(table.results, f"build.file[{problem.key or 'the file'}]")
        assert check.verdict == STOP and problem.found in said(check)
        assert problem.message in table.title().text
    assert "Build file" in table.verdicts().text
    for name in table.results.chapters:
        for show in (table.facts, table.sheets, table.checks, table.cautions, table.sources):
            assert show(name).text
    for name in bench.PANELS:
        assert table.panel(name) is not None
    assert isinstance(table.start(), StartForms) and table.have().text and table.inventory() is not None


def test_one_fault_leaves_everything_else_as_it_was(mine):
    whole = work_up(load())
    mine.write_text(TEXT.replace('fuse = "10 A"', 'fuse = "10 apples"'), encoding="utf-8")
    results = bench.open_build().results
    for name in ("ratio", "layout", "grip", "capacity", "bearings", "shafts"):
        assert results.of(name) == whole.of(name)


@pytest.mark.parametrize("lost", ['reason = "none"', "date = none", 'reason = ""', 'date = "soon"', "reason = 3"])
def test_an_acceptance_that_lost_its_reason_or_date_accepts_nothing(mine, lost):
    whole = '[[accepted]]\nname = "layout.length[belt]"\nreason = "tried"\ndate = 2026-03-14\n'
    stopped = TEXT.replace("23.1 in", "30 in")
    assert check_of(work_up(parse_anyhow((stopped + whole).encode(), file="x")), "layout.length[belt]").accepted
    key = lost.split(" ")[0]
    spoiled = "".join(f"{lost}\n" if line.startswith(key) else f"{line}\n" for line in whole.splitlines())
    mine.write_text(stopped + spoiled, encoding="utf-8")
    results = bench.open_build().results
    assert not any(c.accepted for c in results.checks) and results.exit_code == 1


def test_check_still_refuses_a_broken_file_with_all_its_faults(mine, capsys):
    mine.write_text(TEXT.replace('"14 AWG"', '"14 apples"').replace('"54 ksi"', '"54 kisses"'), encoding="utf-8")
    assert cli.main(["check"]) == 2
    err = capsys.readouterr().err
    assert "circuit.wire" in err and "engine.shaft_yield" in err and "shaft[arbor].yield_strength" in err


def test_nothing_but_corrections_is_written_over_a_broken_file(mine):
    mine.write_text(TEXT.replace('"14 AWG"', '"14 apples"'), encoding="utf-8")
    before, build = mine.read_bytes(), open_anyhow()
    with pytest.raises(BuildProblems, match="circuit.wire.*previous version"):
        keep(build, {"engine.work_speed": "2950 rpm"})
    with pytest.raises(BuildProblems):
        desk.add_part(build, "bearing", "third")
    with pytest.raises(BuildProblems, match="pears"):
        desk.correct(build, {"circuit.wire": "14 pears"})
    assert mine.read_bytes() == before
    kept, _ = desk.correct(build, {"circuit.wire": "12 AWG"})
    assert not kept.problems and load().get("circuit.wire").text == "12 AWG"


def test_all_faults_are_corrected_at_once_or_none(mine):
    mine.write_text(TEXT.replace('"14 AWG"', '"14 apples"').replace("cylinders = 1", "cylinders = 99"), "utf-8")
    before, build = mine.read_bytes(), open_anyhow()
    assert {p.key for p in desk.correctable(build)} == {"circuit.wire", "engine.cylinders"}
    with pytest.raises(BuildProblems, match="engine.cylinders"):
        desk.correct(build, {"circuit.wire": "12 AWG"})
    assert mine.read_bytes() == before
    desk.correct(build, {"circuit.wire": "12 AWG", "engine.cylinders": "2"})
    assert load().get("engine.cylinders") == 2


def test_the_last_good_version_outlives_a_correction(mine):
    keep(load(), {"engine.work_speed": "2950 rpm"})
    good = previous_of().read_bytes()
    mine.write_text(TEXT.replace('"14 AWG"', '"14 apples"'), encoding="utf-8")
    desk.correct(open_anyhow(), {"circuit.wire": "12 AWG"})
    assert previous_of().read_bytes() == good


@pytest.mark.parametrize("text", ["[[[", TEXT.replace('"14 AWG"', '"14 apples"')])
def test_the_previous_version_comes_back_and_the_broken_file_is_kept(mine, text):
    keep(load(), {"engine.work_speed": "2950 rpm"})
    mine.write_text(text, encoding="utf-8")
    forms = bench.open_build().start()
    form = next(f for f in forms.forms if "previous version" in f.widget.children[0].value)
    form.run(lambda: desk.restore(forms.build))
    assert "saw.toml.broken" in form.said.value and not form.alert.value
    assert load().get("engine.work_speed").text == "3000 rpm"
    assert mine.with_name("saw.toml.broken").read_text(encoding="utf-8") == text


def test_bringing_back_twice_loses_neither_file(mine):
    keep(load(), {"engine.work_speed": "2950 rpm"})
    for text in ("[[[", "]]]"):
        mine.write_text(text, encoding="utf-8")
        bring_back()
    kept = {p.read_text(encoding="utf-8") for p in mine.parent.glob("saw.toml.broken*")}
    assert kept == {"[[[", "]]]"} and "saw.toml.broken" not in list_builds()


def test_a_previous_version_that_is_broken_too_is_not_brought_back(mine):
    with pytest.raises(BuildProblems, match="no version before"):
        bring_back()
    mine.with_name("saw.toml.previous").write_text("[[[", encoding="utf-8")
    mine.write_text("]]]", encoding="utf-8")
    with pytest.raises(BuildProblems):
        bring_back()
    assert mine.read_text(encoding="utf-8") == "]]]"


def test_a_good_file_has_no_problems_and_no_mending_forms(mine):
    table = bench.open_build()
    assert table.build == load() and not table.notice
    titles = " ".join(f.widget.children[0].value for f in table.start().forms)
    assert "previous" not in titles and "faults" not in titles


def test_every_broken_file_reads_the_same_twice():
    for text in BROKEN.values():
        data = text if isinstance(text, bytes) else text.encode()
        one, two = (parse_anyhow(data, file="saw.toml") for _ in range(2))
        assert one.problems == two.problems and dict(one.values) == dict(two.values)


# -- a build that is gone ------------------------------------------------------------------------------


def test_a_build_that_is_not_there_opens_the_demo_and_says_so(own_data, monkeypatch):
    monkeypatch.setenv("JACKSHAFT_BUILD", "gone_fishing")
    table = bench.open_build()
    assert table.build.slug == DEMO and not table.build.problems
    assert "gone_fishing" in table.title().text and "JACKSHAFT_BUILD" in table.title().text
    assert table.start().which.options


def test_a_note_of_a_vanished_build_opens_the_demo_and_says_so(own_data, monkeypatch):
    monkeypatch.delenv("JACKSHAFT_BUILD")
    (builds_dir() / ".open").write_text("gone_fishing\n", encoding="utf-8")
    assert "gone_fishing" in bench.open_build().title().text
    (builds_dir() / ".open").write_bytes(b"\xff\xfe\x00")
    assert bench.open_build().build.slug == DEMO
    (builds_dir() / ".open").unlink()
    assert bench.open_build().notice == ""


def test_without_a_demo_the_first_build_there_is_opens(own_data, monkeypatch):
    monkeypatch.setenv("JACKSHAFT_BUILD", "gone_fishing")
    (builds_dir() / f"{DEMO}.toml").unlink()
    assert bench.open_build().build.slug == list_builds()[0]


def test_a_build_that_is_named_and_not_there_is_refused():
    with pytest.raises(BuildProblems, match="gone_fishing"):
        bench.open_build("gone_fishing")

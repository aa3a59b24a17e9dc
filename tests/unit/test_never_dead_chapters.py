"""A chapter that fails does not take the others with it: refusals, faults of the program, waiting, exit codes."""

import re

import numpy as np
import pytest
from jackshaft import bench, cli, workup
from jackshaft.build import DEMO, NotSaved, describe, load, parse
from jackshaft.checks import UNDECIDED
from jackshaft.mechanics import ratio
from jackshaft.panels import ratio as ratio_panels
from jackshaft.panels.fields import Field
from jackshaft.panels.model import Control
from jackshaft.panels.state import PanelState
from jackshaft.record import record_page
from jackshaft.units import OutOfRange
from jackshaft.workup import core, work_up
from jackshaft.workup.core import FAULTY, REFUSED, WAITS, Draft, Looker, Unknown
from jackshaft.workup.refusals import is_answer
from jackshaft.workup.results import run
from never_dead import TEXT, build_with, check_of, said


@pytest.fixture
def broken(monkeypatch):
    """Make one chapter fail with an exception; the others stay as they are."""

    def make(name, error):
        def worker(look, done, **how):
            look.get("engine.work_speed")
            raise error

        monkeypatch.setitem(workup.WORKERS, name, worker)
        return worker

    return make


def test_a_fault_of_the_program_stays_in_its_chapter(broken):
    whole = work_up(build_with())
    broken("clutch", KeyError("no such thing"))
    results = work_up(build_with())
    chapter = results.chapters["clutch"]
    assert chapter.state == FAULTY and chapter.fault.code in chapter.words and "KeyError" in chapter.fault.trace
    assert "KeyError" not in chapter.words and results.exit_code == 70
    check = check_of(results, "clutch.fault")
    assert check.verdict == UNDECIDED and chapter.fault.code in said(check)
    for name in ("ratio", "layout", "grip", "capacity", "electric", "bearings", "shafts"):
        assert results.of(name) == whole.of(name)


def test_chapters_that_need_the_failed_one_wait_for_it(broken):
    broken("grip", RuntimeError("boom"))
    results = work_up(build_with())
    for name in ("capacity", "bearings", "shafts", "chain"):
        assert results.chapters[name].state == WAITS
        assert check_of(results, f"{name}.waits").verdict == UNDECIDED
    assert "'Tension and grip'" in results.chapters["bearings"].words
    assert [f.chapter for f in results.faults] == ["Tension and grip"]
    assert results.chapters["electric"].state == work_up(build_with()).chapters["electric"].state


def test_every_chapter_may_fail_and_the_rest_is_worked_up(broken, monkeypatch):
    for name in tuple(workup.WORKERS):
        with monkeypatch.context():
            kept = workup.WORKERS[name]
            broken(name, TypeError("boom"))
            results = work_up(build_with())
            assert set(results.chapters) == set(workup.WORKERS) and len(results.faults) == 1
            workup.WORKERS[name] = kept


def test_the_code_of_a_fault_is_short_and_the_same_from_run_to_run(broken):
    broken("ratio", KeyError("a"))
    codes = {work_up(build_with()).faults[0].code for _ in range(3)}
    broken("ratio", ValueError("a"))
    assert len(codes) == 1 and re.fullmatch(r"[0-9A-F]{6}", *codes)
    assert work_up(build_with()).faults[0].code not in codes


def test_a_refusal_is_an_answer_and_a_stray_value_error_is_a_fault(broken):
    broken("clutch", OutOfRange("the plate is thinner than nothing"))
    results = work_up(build_with())
    check = check_of(results, "clutch.inputs")
    assert results.chapters["clutch"].state == REFUSED and not results.faults and results.exit_code == 3
    assert "The plate is thinner than nothing" in check.reason and "engine.work_speed = '3000 rpm'" in check.reason
    broken("clutch", ValueError("not enough values to unpack"))
    assert work_up(build_with()).exit_code == 70


def test_numbers_without_an_answer_count_only_inside_a_formula(broken):
    broken("clutch", ZeroDivisionError("division by zero"))
    assert work_up(build_with()).exit_code == 70
    with pytest.raises(FloatingPointError) as caught, np.errstate(divide="raise"):
        ratio.belt_ratio.si(1.0, driven=0.0, creep=0.0)
    assert is_answer(caught.value)


def test_a_chapter_that_lacks_something_as_a_whole_names_it(broken):
    broken("clutch", Unknown("clutch.air_gap"))
    results = work_up(build_with())
    assert "clutch.air_gap" in check_of(results, "clutch.inputs").missing
    assert "clutch.air_gap" in [w.key for w in results.wanted]


def test_one_part_fails_and_the_others_go_on():
    draft, look = Draft("grip", "Grip"), Looker(build_with())
    for name in ("a", "b", "c"):
        with draft.attempt(look, f"grip.margin[{name}]", name, "Not known yet."):
            if name == "a":
                look.need("engine.bearing_behind")
            if name == "b":
                look.get("engine.idle_speed")
                raise OutOfRange("b cannot turn.")
            draft.check(f"grip.margin[{name}]", name, "1", "1", "go", "It holds.")
    a, b, c = draft.checks
    assert a.missing == ("engine.bearing_behind",) and c.verdict == "go"
    assert "B cannot turn. Look at engine.idle_speed = '1500 rpm'." in b.reason
    assert [r.keys for r in draft.refusals] == [("engine.idle_speed",)]
    draft.fact("c", "1")
    assert draft.done(look).state == core.PARTLY


def test_a_verdict_that_stands_is_not_lost_when_the_rest_is_refused():
    draft, look = Draft("grip", "Grip"), Looker(build_with())
    with draft.attempt(look, "grip.margin[a]", "a"):
        draft.check("grip.margin[a]", "a", "1", "2", "stop", "It slips.", "Tighten it.")
        raise OutOfRange("no table")
    assert [(c.id, c.verdict) for c in draft.checks] == [("grip.margin[a]", "stop"), ("grip.margin-rest[a]", UNDECIDED)]


def test_what_is_no_answer_goes_through_an_attempt():
    draft, look = Draft("grip", "Grip"), Looker(build_with())
    with pytest.raises(ZeroDivisionError), draft.attempt(look, "grip.margin[a]", "a"):
        raise ZeroDivisionError
    with pytest.raises(Unknown), draft.attempt(look, "grip.margin[a]", "a"):
        look.need("engine.bearing_behind")


def test_notes_that_hold_the_same_keys_are_told_apart():
    look = Looker(build_with())
    with look.noting() as outer:
        with look.noting() as inner:
            look.get("engine.kind")
        look.get("engine.turns")
    assert list(inner) == ["engine.kind"] and list(outer) == ["engine.kind", "engine.turns"]


def test_floats_that_run_over_come_up_where_they_are_made():
    def worker(look, done):
        return Draft("a", "A").done(
            look, words=str(np.float64(1e308) * np.float64(look.get("engine.cylinders") * 1e10))
        )

    assert run(build_with(), {"a": worker}, {}).faults


def test_a_refused_stage_leaves_the_other_stage_worked_up():
    second = TEXT + (
        '\n[[shaft]]\nname = "last"\n\n[[stage]]\nname = "odd"\nkind = "belt"\nfrom = "arbor"\nto = "last"\n'
        'section = "A"\nseries = "inch"\nbelts = 1\ndriver = "p"\ndriven = "q"\ncentres = "20 in"\n'
        '\n[[stage.pulley]]\nname = "p"\ndiameter = "5 in"\nmeasured_as = "effective"\n'
        '\n[[stage.pulley]]\nname = "q"\ndiameter = "9 in"\nmeasured_as = "effective"\n'
    )
    results, alone = work_up(parse(second.encode(), file="two.toml")), work_up(build_with())
    assert not results.faults
    assert check_of(results, "layout.length[belt]") == check_of(alone, "layout.length[belt]")
    assert check_of(results, "grip.margin[belt]") == check_of(alone, "grip.margin[belt]")


def test_check_prints_the_rest_the_code_and_ends_with_70(broken, capsys):
    broken("grip", KeyError("boom"))
    assert cli.main(["check", DEMO]) == 70
    out, err = capsys.readouterr()
    code = work_up(load(DEMO)).faults[0].code
    assert code in out and code in err and "[electric.fuse]" in out and "Traceback" not in out + err
    assert cli.main(["check", DEMO, "--trace"]) == 70
    assert "KeyError" in capsys.readouterr().err


def test_the_bench_shows_what_failed_and_folds_the_trace(broken):
    broken("grip", KeyError("boom"))
    table = bench.open_build()
    code = table.results.faults[0].code
    for shown in (table.title(), table.facts("grip"), table.sheets("grip"), table.checks("grip")):
        assert code in shown.text and "Traceback" not in shown.text
    for shown in (table.title(), table.facts("grip")):
        assert "<details>" in shown.html and "KeyError" in shown.html.split("<details>")[1]
    assert table.facts("electric").text == bench.Bench(table.build).facts("electric").text
    for name in table.results.chapters:
        for show in (table.facts, table.sheets, table.checks, table.cautions, table.sources):
            assert show(name).text
    assert "Tension and grip" in table.verdicts().text and table.start() is not None
    assert code in record_page(table.build)


def test_a_panel_that_cannot_come_up_says_so_in_words(monkeypatch):
    def fails(build, part):
        raise IndexError("boom")

    monkeypatch.setitem(bench.PANELS, "ratio", fails)
    shown = bench.open_build().panel("ratio")
    assert "No panel here: fault" in shown.text and "IndexError" in shown.html and "IndexError" not in shown.text


def test_a_list_offers_whatever_a_file_may_hold():
    build = build_with(keys={"bearing[near].measured_with": "bore gauge"})
    table = bench.Bench(build)
    panel = table.panel("bearings")
    assert panel.state.texts["bearing[near].measured_with"] == "bore gauge" and panel.state.fresh
    for name in ("ratio", "layout", "grip", "electric", "clutch", "bearings", "shafts", "chain"):
        for control in table.panel(name).state.controls.values():
            if control.key and describe(control.key)[1].choices:
                missing = set(describe(control.key)[1].choices) - {meant for _, meant in control.options}
                assert not missing, (name, control.key)


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("layout", "stage[belt].pulley[small].diameter"),
        ("electric", "circuit.length_out"),
        ("bearings", "bearing[near].bore"),
    ],
)
def test_a_value_taken_out_leaves_the_panel_without_a_fault(name, key):
    panel = bench.Bench(build_with()).panel(name)
    panel.set(key, "")
    assert panel.state.fresh and "AttributeError" not in panel._alert.value


def test_a_list_shows_what_it_does_not_offer():
    control = Control("stage[belt].kind", "Kind", "choice", choices=("belt", "gear"))
    field = Field(control, "inch", lambda *_: None)
    field.show("roller chain", None, None)
    assert field.box.value == "roller chain"


def test_a_picture_that_cannot_be_drawn_says_so_in_its_place(monkeypatch):
    from jackshaft.figures import pictures

    def fails(chapter, results):
        raise IndexError("boom")
        yield

    monkeypatch.setitem(pictures.DRAWERS, "ratio", fails)
    (picture,) = pictures.pictures_of(work_up(load(DEMO)), "ratio")
    assert picture.fault is not None and picture.fault.code in picture.alt and picture.png[:4] == b"\x89PNG"


def test_a_panel_shows_a_fault_that_a_value_brings(broken):
    build = load(DEMO)
    controls = ratio_panels.ratio_panel(build).state.controls
    state = PanelState(build, tuple(controls.values()), ratio_panels.outcome_of)
    broken("ratio", KeyError("boom"))
    key = next(k for k in controls if k == "engine.work_speed")
    state.set(key, "2000 rpm")
    assert not state.fresh and "fault" in state.troubles[0].words and "KeyError" in state.troubles[0].details


def test_waiting_and_faulty_chapters_are_worked_up_again_when_their_inputs_change(broken):
    build = build_with()
    kept = workup.WORKERS["ratio"]
    broken("ratio", KeyError("boom"))
    before = work_up(build)
    workup.WORKERS["ratio"] = kept
    after = work_up(build.with_values({"engine.work_speed": "2900 rpm"}), before=before)
    assert not after.faults and after.chapters["grip"].state not in (FAULTY, WAITS)


def test_not_saved_is_no_answer():
    assert not is_answer(NotSaved("disk full"))

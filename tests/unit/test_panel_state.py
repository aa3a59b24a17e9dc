"""The panel's logic with no widget: every control at both ends and the middle, errors, keep, pin."""

from __future__ import annotations

import json
import math

import panel_toy
import pytest
from jackshaft.ui import fragments
from jackshaft.ui.compare import compare
from jackshaft.ui.scale import Scale
from jackshaft.ui.state import LETTERS, PanelState
from jackshaft.ui.trouble import NotKept


@pytest.fixture
def state(tmp_path):
    return PanelState(panel_toy.load(tmp_path / "toy.json"), panel_toy.controls(), panel_toy.outcome_of)


def length_of(large, small, apart):
    """Open belt in inches, by the geometry in the other form: spans by Pythagoras, wraps by the arc cosine."""
    gap = (large - small) / 2
    span = math.sqrt(apart**2 - gap**2)
    wrap_small = 2 * math.acos(gap / apart)
    return 2 * span + small / 2 * wrap_small + large / 2 * (2 * math.pi - wrap_small)


def facts(state):
    return {f.label: f.value for f in state.outcome.facts}


def test_starts_at_what_the_build_says(state):
    assert state.fresh
    assert state.changes() == {}
    assert state.outcome.compare["belt length"].number == pytest.approx(length_of(10, 5, 20) * 0.0254)
    assert state.whatif()["material"] == "rubber"


@pytest.mark.parametrize("control", [c for c in panel_toy.controls() if c.has_slider], ids=lambda c: c.id)
@pytest.mark.parametrize("part", [0.0, 0.5, 1.0])
def test_each_control_at_both_ends_and_the_middle(state, control, part):
    scale = Scale(control, "inch")
    state.set(control.id, scale.text_at(round(part * scale.count)))
    assert state.fresh, state.troubles
    si = [state.readings[k].value.si / 0.0254 for k in ("drive.large", "drive.small", "drive.apart")]
    assert state.outcome.compare["belt length"].number == pytest.approx(length_of(*si) * 0.0254)
    speed = 3000 if control.id != "engine.speed" else state.readings["engine.speed"].value.si * 30 / math.pi
    creep = state.readings["creep"].value.si
    assert state.outcome.compare["driven speed"].number * 30 / math.pi == pytest.approx(
        speed * si[1] / si[0] * (1 - creep)
    )


def test_an_unreadable_text_keeps_the_last_outcome_and_says_it_is_old(state):
    before = state.outcome
    state.set("drive.apart", "12 kg")
    assert not state.fresh
    assert state.outcome is before
    assert "Centre distance" in state.troubles[0].line and "kg" in state.troubles[0].line
    assert fragments.OLD in fragments.strip_html(state)
    assert fragments.OLD in fragments.plain("T", state)
    assert "set  Centre distance: 20.00 in" in fragments.plain("T", state)
    # another control still takes its text, but the outcome waits for the first
    state.set("drive.large", "12 in")
    assert state.outcome is before
    state.set("drive.apart", "22 in")
    assert state.fresh
    assert state.outcome.compare["belt length"].number == pytest.approx(length_of(12, 5, 22) * 0.0254)


def test_what_the_build_refuses_is_laid_at_its_control(state):
    state.set("drive.small", "12 in")
    assert [(t.id, t.label) for t in state.troubles] == [("drive.small", "Small pulley")]
    assert "less than the large pulley" in state.troubles[0].words


def test_what_cannot_be_worked_out_is_said(state):
    state.set_many({"drive.large": "25 in", "drive.small": "2 in", "drive.apart": "10 in"})
    assert [t.words for t in state.troubles] == ["the pulleys stand inside each other; move them apart"]


def test_a_fault_in_the_function_is_shown_with_where(tmp_path):
    def outcome_of(build, whatif):
        if build.get("drive.belts") == 2:
            raise KeyError("nowhere")
        return panel_toy.outcome_of(build, whatif)

    state = PanelState(panel_toy.load(tmp_path / "t.json"), panel_toy.controls(), outcome_of)
    state.set("drive.belts", "2")
    assert "a fault of the program: KeyError: 'nowhere'" in state.troubles[0].line
    assert "outcome_of" in state.troubles[0].details
    state.set("drive.belts", "1")
    assert state.fresh


def test_a_fault_at_the_start_is_raised_so_that_the_cell_fails(tmp_path):
    def outcome_of(build, whatif):
        raise KeyError("nowhere")

    with pytest.raises(KeyError):
        PanelState(panel_toy.load(tmp_path / "t.json"), panel_toy.controls(), outcome_of)


def test_forgetting_a_value_makes_it_not_known(state):
    state.set("drive.apart", "")
    assert state.fresh
    assert facts(state) == {"belt length": "not known yet"}
    assert state.changes() == {"drive.apart": ""}
    assert "not decidable" in fragments.plain("T", state)


def test_keep_writes_only_what_changed_and_says_which(state):
    state.set("drive.apart", "21-1/2 in")
    state.set("drive.large", "254 mm")
    state.set("creep", "2 %")
    words = state.keep()
    assert "drive.apart = 21-1/2 in (was 20 in)" in words
    assert "drive.large" not in words and "creep" not in words
    kept = json.loads(state.build.path.read_text())
    assert kept["drive.apart"] == "21-1/2 in"
    assert kept["drive.large"] == "10 in"
    assert state.changes() == {}
    assert "already in the build" in state.keep()


def test_keep_refuses_while_an_error_stands(state):
    before = state.build.path.read_bytes()
    state.set("drive.apart", "much")
    with pytest.raises(NotKept, match="put this right first. Centre distance"):
        state.keep()
    assert state.build.path.read_bytes() == before


def test_keep_never_writes_over_somebody_elses_change(state):
    state.set("drive.apart", "22 in")
    state.build.path.write_text(state.build.path.read_text() + "\n")
    before = state.build.path.read_bytes()
    with pytest.raises(NotKept, match="changed on disk .* Your values are still here"):
        state.keep()
    assert state.build.path.read_bytes() == before
    assert state.texts["drive.apart"] == "22 in"
    assert state.changes() == {"drive.apart": "22 in"}


def test_reset_goes_back_to_the_build_and_to_the_start_of_what_ifs(state):
    state.set_many({"drive.apart": "30 in", "creep": "3 %", "drive.large": "no"})
    state.reset()
    assert state.fresh and state.changes() == {}
    assert (state.texts["drive.apart"], state.texts["creep"], state.texts["drive.large"]) == ("20 in", "1 %", "10 in")


def test_rebase_follows_the_build_but_not_over_what_was_changed_here(state):
    other = PanelState(state.build, panel_toy.controls(), panel_toy.outcome_of)
    other.set("drive.apart", "31 in")
    state.set_many({"drive.large": "12 in", "drive.apart": "30 in"})
    state.keep()
    other.rebase(state.build)
    assert other.texts["drive.large"] == "12 in"
    assert other.texts["drive.apart"] == "31 in"
    assert other.changes() == {"drive.apart": "31 in"}
    assert "was 30 in" in other.keep()


def test_pins_side_by_side_with_the_better_one_marked(state):
    assert compare(state) is None
    assert state.pin().letter == "A"
    state.set("drive.apart", "24 in")
    assert state.pin().letter == "B"
    state.set("drive.small", "6 in")
    table = compare(state)
    rows = {r.label: r for r in table.rows}
    assert table.heads == ("present", "A", "B")
    assert "Large pulley" not in rows
    assert [c.split(" (")[0] for c in rows["Centre distance"].cells] == ["24.00 in", "20.00 in", "24.00 in"]
    assert rows["belt length"].better == (False, True, False)
    assert rows["driven speed"].better == (False, False, False)
    assert "better" in fragments.comparison_html(table)
    assert "A 63.87 in (better)" in fragments.plain("T", state)


def test_level_candidates_are_none_better(state):
    state.pin()
    assert not any(any(r.better) for r in compare(state).rows)


def test_use_and_drop(state):
    state.pin()
    state.set_many({"drive.apart": "30 in", "material": "pu"})
    state.pin()
    state.use("A")
    assert (state.texts["drive.apart"], state.texts["material"]) == ("20 in", "rubber")
    state.drop("A")
    assert [p.letter for p in state.pins] == ["B"]
    assert state.pin().letter == "A"


def test_no_pin_while_an_error_stands_and_no_more_than_there_are_letters(state):
    state.set("drive.apart", "much")
    with pytest.raises(NotKept):
        state.pin()
    state.reset()
    for _ in LETTERS:
        state.pin()
    with pytest.raises(NotKept, match="drop one first"):
        state.pin()


def test_two_controls_for_one_thing_are_refused(tmp_path):
    one = panel_toy.controls()[0]
    with pytest.raises(ValueError, match="same thing"):
        PanelState(panel_toy.load(tmp_path / "t.json"), (one, one), panel_toy.outcome_of)


def test_plain_text_is_one_fact_a_line_and_always_the_same(state, tmp_path):
    again = PanelState(panel_toy.load(tmp_path / "again.json"), panel_toy.controls(), panel_toy.outcome_of)
    text = fragments.plain("Open belt", state)
    assert text == fragments.plain("Open belt", again)
    lines = text.splitlines()
    assert lines[0] == "Open belt"
    assert "     driven speed: 1485 rpm (creep taken off)" in lines
    assert sum(line.startswith("set  ") for line in lines) == len(state.controls)
    assert lines.index(next(x for x in lines if x.startswith("caution"))) < lines.index(
        next(x for x in lines if x.startswith("go"))
    )


def test_words_are_escaped(state):
    state.set("drive.apart", "<script>alert(1)</script>")
    assert "<script>" not in fragments.alert_html(state.troubles)
    assert "&lt;script&gt;" in fragments.alert_html(state.troubles)


def test_metric_build_is_shown_in_metric(tmp_path):
    state = PanelState(panel_toy.load(tmp_path / "t.json", "metric"), panel_toy.controls(), panel_toy.outcome_of)
    state.set("drive.apart", "600")
    assert state.changes() == {"drive.apart": "600 mm"}
    assert "set  Centre distance: 600.0 mm (not kept; the build says 20 in)" in fragments.plain("T", state)

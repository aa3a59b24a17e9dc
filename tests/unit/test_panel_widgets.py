"""The widgets over the state, without a browser: what a change sets, what a fault shows, what is stored."""

from __future__ import annotations

import asyncio
import base64

import panel_toy
import pytest
from jackshaft.ui import Outcome, base, fragments, stored


@pytest.fixture
def build(tmp_path):
    return panel_toy.load(tmp_path / "toy.json")


@pytest.fixture
def panel(build):
    return panel_toy.toy_panel(build)


def test_typing_moves_slider_numbers_and_picture(panel):
    field = panel._fields["drive.apart"]
    field.box.value = "24 in"
    assert field.slider.value == pytest.approx(24)
    assert "read as 24.00 in (609.6 mm)" in field.echo.value
    assert "71.82 in" in panel._facts.value
    assert "71.82 in" in panel._drawn.widget.value
    assert 'role="img"' in panel._drawn.widget.value and "aria-label=" in panel._drawn.widget.value


@pytest.mark.parametrize("id", [c.id for c in panel_toy.controls() if c.has_slider])
def test_slider_writes_its_position_into_the_field(panel, id):
    field = panel._fields[id]
    before = panel.state.texts[id]
    low, high, step = field._scale.numbers
    for value in (low, low + step * (field._scale.count // 2), high):
        field.slider.value = value
        assert field.box.value == panel.state.texts[id]
        assert panel.state.fresh, panel.state.troubles
        assert field.slider.value == pytest.approx(value)
    assert panel.state.texts[id] != before


def test_typed_value_past_the_slider_is_not_pulled_back(panel):
    field = panel._fields["drive.large"]
    field.box.value = "15 in"
    assert field.box.value == "15 in"
    assert field.slider.value == pytest.approx(14)
    assert panel.state.readings["drive.large"].value.si == pytest.approx(15 * 0.0254)
    assert "past the slider" in field.echo.value


def test_error_stands_in_the_panel_and_the_picture_says_it_is_old(panel):
    panel._fields["drive.apart"].box.value = "12 kg"
    assert 'role="alert"' in panel._alert.value and "Centre distance" in panel._alert.value
    assert fragments.OLD in panel._drawn.widget.value and "jk-old" in panel._drawn.widget.value
    assert "jk-faded" in panel._facts.value
    assert "jk-bad" in panel._fields["drive.apart"].widget._dom_classes
    panel._fields["drive.apart"].box.value = "21 in"
    assert panel._alert.value == ""
    assert fragments.OLD not in panel._drawn.widget.value
    assert "jk-bad" not in panel._fields["drive.apart"].widget._dom_classes


def test_a_design_with_a_stop_is_drawn_as_one(panel):
    panel.set("drive.apart", "39 in")
    assert "does not work: no stock belt" in panel._drawn.widget.value
    assert panel.view.describe().startswith("does not work: no stock belt")
    assert "jk-stop" in panel._summary.value
    panel.set("drive.apart", "20 in")
    assert "does not work" not in panel._drawn.widget.value


def test_a_view_that_fails_is_shown_and_takes_no_number_with_it(panel, monkeypatch):
    def fails(picture, pinned=()):
        raise RuntimeError("no ink")

    monkeypatch.setattr(panel.view, "update", fails)
    panel.set("drive.apart", "24 in")
    assert "the picture could not be drawn: RuntimeError: no ink" in panel._alert.value
    assert "71.82 in" in panel._facts.value
    assert fragments.OLD in panel._drawn.widget.value
    monkeypatch.undo()
    panel.set("drive.apart", "25 in")
    assert panel._alert.value == ""


def test_buttons_keep_pin_use_reset_act(panel):
    def press(name):
        todo, found = [panel.widget], []
        while todo:
            widget = todo.pop()
            todo += list(getattr(widget, "children", ()))
            if name in getattr(widget, "_dom_classes", ()):
                found.append(widget)
        found[0].click()

    press("jk-pin")
    assert "candidate A" in panel._notice.value
    panel.set("drive.apart", "24 in")
    assert "better" in panel._checks.value
    assert "candidate A" in panel.view.alt()
    press("jk-keep")
    assert "drive.apart = 24 in (was 20 in)" in panel._notice.value
    press("jk-use-a")
    assert panel._fields["drive.apart"].box.value == "20 in"
    press("jk-reset")
    assert panel._fields["drive.apart"].box.value == "24 in"
    press("jk-a-halve-the-distance")
    assert panel._fields["drive.apart"].box.value == "12 in"
    press("jk-drop-a")
    assert panel._checks.value.count("<table") == 0
    panel.set("drive.apart", "x")
    press("jk-pin")
    assert "Nothing was pinned" in panel._alert.value
    press("jk-keep")
    assert "Nothing was kept" in panel._alert.value


def test_panels_on_one_build_follow_each_others_keep(build):
    one, two = panel_toy.toy_panel(build), panel_toy.toy_panel(build)
    two.set("drive.large", "11 in")
    one.set("drive.apart", "26 in")
    one.keep()
    assert two._fields["drive.apart"].box.value == "26 in"
    assert two._fields["drive.large"].box.value == "11 in"
    two.keep()
    assert "Kept" in two._notice.value
    assert one.build.get("drive.large").text == "11 in"


def test_a_cell_run_again_leaves_no_panel_behind(build, monkeypatch):
    monkeypatch.setattr(stored, "display", lambda *_, **__: None)
    old, other, new = panel_toy.toy_panel(build), panel_toy.toy_panel(build), panel_toy.toy_panel(build)
    other.title = "Another"
    new._ipython_display_()
    new.set("drive.apart", "26 in")
    new.keep()
    assert old._fields["drive.apart"].box.value == "20 in"
    assert other._fields["drive.apart"].box.value == "26 in"


def test_stored_bundles(panel):
    facts = stored.facts_bundle(panel.title, panel.state)
    assert set(facts) == {"text/plain", "text/html"}
    assert "Run the page to move it" in facts["text/html"].splitlines()[0]
    assert "63.87 in" in facts["text/plain"] and "63.87 in" in facts["text/html"]
    assert "<style" not in facts["text/html"] and "<script" not in facts["text/html"]
    data, metadata = stored.picture_bundle(panel.view)
    assert base64.b64decode(data["image/png"]).startswith(b"\x89PNG")
    assert metadata["image/png"]["alt"] == panel.view.describe()
    assert stored.picture_bundle(panel.view)[0] == data


def test_in_a_running_loop_many_changes_make_one_picture_the_last(build, monkeypatch):
    drawn = []

    async def run():
        panel = panel_toy.toy_panel(build)
        update = panel.view.update
        monkeypatch.setattr(panel.view, "update", lambda p, pinned=(): (drawn.append(p), update(p, pinned)))
        for n in range(30):
            panel.set("drive.apart", f"{20 + n / 4} in")
            assert f"read as {20 + n / 4:.2f} in" in panel._fields["drive.apart"].echo.value
        assert drawn == []
        await asyncio.sleep(base.DRAW_AFTER + 0.1)

    asyncio.run(run())
    assert len(drawn) == 1
    assert drawn[0][2] == pytest.approx(27.25 * 0.0254)


def test_stored_outputs_follow_after_the_last_change_only(build, monkeypatch):
    shown, updated = [], []
    monkeypatch.setattr(stored, "display", lambda data, **_: shown.append(data))
    monkeypatch.setattr(stored, "update_display", lambda data, **_: updated.append(data))
    monkeypatch.setattr(base, "STORE_AFTER", 0.15)

    async def run():
        panel = panel_toy.toy_panel(build)
        panel._ipython_display_()
        assert [set(d) for d in shown] == [{stored.WIDGET_VIEW}, {"text/plain", "text/html"}, {"image/png"}]
        for n in range(5):
            panel.set("drive.apart", f"{20 + n} in")
            await asyncio.sleep(0.03)
        assert updated == []
        await asyncio.sleep(0.4)
        assert len(updated) == 2
        assert "Centre distance: 24.00 in" in updated[0]["text/plain"]
        panel.set("drive.apart", "x kg")
        await asyncio.sleep(0.4)
        assert "error: Centre distance" in updated[2]["text/plain"]
        assert "set  Centre distance: 24.00 in" in updated[2]["text/plain"]

    asyncio.run(run())


def test_what_takes_long_is_worked_out_once_the_hand_rests(build, monkeypatch):
    asked = []

    def outcome_of(trial, whatif):
        whole = panel_toy.outcome_of(trial, whatif)
        return Outcome(
            whole.facts[:1],
            whole.checks[:1],
            whole.picture,
            whole.compare,
            later=lambda: (asked.append(trial), whole)[1],
        )

    async def run():
        panel = base.Panel(
            build, title="Slow", controls=panel_toy.controls(), outcome_of=outcome_of, view=panel_toy.ToyView("slow")
        )
        assert len(asked) == 1 and "driven speed" in panel._facts.value
        for n in range(5):
            panel.set("drive.apart", f"{20 + n / 2} in")
            await asyncio.sleep(0.03)
        assert len(asked) == 1
        assert "go so far" in panel._summary.value and "more is being worked out" in panel._summary.value
        assert "driven speed" not in panel._facts.value and "67.85 in" in panel._facts.value
        await asyncio.sleep(base.FINISH_AFTER + 0.2)
        assert len(asked) == 2
        assert "caution" in panel._summary.value and "worked out" not in panel._summary.value
        assert "driven speed" in panel._facts.value
        panel.set("drive.apart", "25 in")
        panel.pin()
        assert len(panel.state.pins[0].outcome.facts) == 4

    asyncio.run(run())


def test_a_fault_in_what_was_put_off_is_shown(build):
    state_outcome = panel_toy.outcome_of

    def outcome_of(trial, whatif):
        def later():
            if trial.get("drive.belts") == 3:
                raise ValueError("no such belt")
            return state_outcome(trial, whatif)

        return Outcome(picture=state_outcome(trial, whatif).picture, later=later)

    panel = base.Panel(
        build, title="Slow", controls=panel_toy.controls(), outcome_of=outcome_of, view=panel_toy.ToyView("slow")
    )
    panel.set("drive.belts", "3")
    assert "no such belt" in panel._alert.value
    panel.set("drive.belts", "2")
    assert panel._alert.value == ""


def test_what_the_stored_picture_shows_stands_in_words_beside_it(panel, monkeypatch):
    """The lab gives an image no alternative text, whatever the notebook holds."""
    shown = []
    monkeypatch.setattr(stored, "display", lambda data, **_: shown.append(data))
    monkeypatch.setattr(base.stored, "show_live", lambda place: None)
    panel._ipython_display_()
    facts, picture = shown
    assert set(picture) == {"image/png"}
    assert f"<p>{panel.view.describe()}</p></details>" in facts["text/html"]

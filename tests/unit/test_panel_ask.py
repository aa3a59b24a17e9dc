"""A panel and a form, two panels, two programs: nothing is locked, both values are shown, a button decides."""

from __future__ import annotations

import datetime

import ipywidgets as widgets
import pytest
from jackshaft.buildfile import load
from jackshaft.chapters.bearings.lookup import LookupPanel
from jackshaft.chapters.electric import meter
from jackshaft.drawing.view import View
from jackshaft.results.checks import Fact
from jackshaft.start import parts as start_parts
from jackshaft.start.forms import StartForms
from jackshaft.ui.base import Panel
from jackshaft.ui.model import Control, Outcome
from jackshaft.ui.state import PanelState
from jackshaft.ui.trouble import Asked, NotKept

TEXT = """schema = 1
name = "small"

[engine]
idle_speed = "1200 rpm"
work_speed = "2600 rpm"

[circuit]
fuse = "10 A"

[[bearing]]
name = "a"
bore = "17 mm"
"""

STAGE = """
[[stage]]
name = "s"
kind = "belt"
driver = "E"

[[stage.pulley]]
name = "E"

[[stage.pulley]]
name = "J"
"""


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "small.toml"
    path.write_text(TEXT)
    return path


def controls():
    return tuple(Control(k, k, "500 to 4000 rpm by 50") for k in ("engine.work_speed", "engine.idle_speed"))


def outcome_of(build, whatif):
    speed = build.get("engine.work_speed")
    return Outcome((Fact("speed", speed.text if speed else "not known"),), (), None)


def state(file):
    return PanelState(load(file), controls(), outcome_of)


class Blank(View):
    """A view that draws nothing."""

    def compose(self, figure):
        pass

    def update(self, picture, pinned=()):
        pass

    def alt(self):
        return "nothing"


def panel(file, title):
    return Panel(load(file), title=title, controls=controls(), outcome_of=outcome_of, view=Blank(f"blank-{title}"))


def elsewhere(file, **changes):
    load(file).save_values({k.replace("__", "."): v for k, v in changes.items()})


def texts(file):
    build = load(file)
    return tuple(build.get(k).text for k in ("engine.work_speed", "engine.idle_speed", "circuit.fuse"))


def test_another_key_that_was_changed_elsewhere_stays_and_is_said(file):
    one = state(file)
    elsewhere(file, circuit__fuse="20 A")
    one.set("engine.work_speed", "2500 rpm")
    words = one.keep()
    assert texts(file) == ("2500 rpm", "1200 rpm", "20 A")
    assert "Changed elsewhere meanwhile, and taken over: circuit.fuse." in words
    assert one.build.get("circuit.fuse").text == "20 A" and one.changes() == {}


def test_two_states_keep_one_after_the_other(file):
    one, two = state(file), state(file)
    one.set("engine.work_speed", "2500 rpm")
    two.set("engine.idle_speed", "1100 rpm")
    one.keep()
    two.keep()
    assert texts(file)[:2] == ("2500 rpm", "1100 rpm")
    assert two.texts["engine.work_speed"] == "2500 rpm"


@pytest.mark.parametrize(("side", "stands"), [("mine", "2500 rpm"), ("theirs", "2400 rpm")])
def test_one_key_that_both_changed(file, side, stands):
    one = state(file)
    elsewhere(file, engine__work_speed="2400 rpm")
    one.set_many({"engine.work_speed": "2500 rpm", "engine.idle_speed": "1100 rpm"})
    with pytest.raises(Asked, match="Choose below which one is kept") as asked:
        one.keep()
    assert texts(file)[:2] == ("2400 rpm", "1200 rpm") and one.texts["engine.work_speed"] == "2500 rpm"
    words = one.keep(asked.value.conflict.answer(side))
    assert texts(file)[:2] == (stands, "1100 rpm")
    assert one.texts["engine.work_speed"] == stands and one.changes() == {} and one.fresh
    assert ("stays as the file has it: 2400 rpm" in words) == (side == "theirs")
    assert "engine.idle_speed = 1100 rpm (was 1200 rpm)" in words


def test_values_that_do_not_go_with_the_file_any_more_are_shown_at_their_control(file):
    file.write_text(TEXT + STAGE)
    one = PanelState(load(file), (Control("stage[s].driver", "Driver", choices=("E", "J")),), outcome_of)
    load(file).save_values({"stage[s].pulley": ("E",)})
    one.set("stage[s].driver", "J")
    with pytest.raises(NotKept, match="changed elsewhere since it was read"):
        one.keep()
    assert [t.id for t in one.troubles] == ["stage[s].driver"] and one.build.names("stage[s].pulley") == ("E",)
    one.set("stage[s].driver", "E")
    assert one.fresh


@pytest.mark.parametrize(("side", "stands"), [("mine", "2500 rpm"), ("theirs", "2400 rpm")])
def test_a_panel_shows_both_values_and_two_buttons(file, side, stands):
    one = panel(file, "asked")
    one.set("engine.work_speed", "2500 rpm")
    elsewhere(file, engine__work_speed="2400 rpm")
    one.keep()
    row = one.ask.widget.children[0]
    assert "2500 rpm" in row.children[0].value and "2400 rpm" in row.children[0].value
    assert [b.description for b in row.children[1:]] == ["Keep mine: 2500 rpm", "Take theirs: 2400 rpm"]
    assert "Choose below" in one._alert.value and texts(file)[0] == "2400 rpm"
    one.ask.press(side)
    assert texts(file)[0] == stands == one.state.texts["engine.work_speed"]
    assert not one.ask.asking and one._alert.value == "" and one._notice.value


def test_the_question_goes_when_something_else_is_done(file):
    one = panel(file, "left")
    one.set("engine.work_speed", "2500 rpm")
    elsewhere(file, engine__work_speed="2400 rpm")
    one.keep()
    one.set("engine.work_speed", "2450 rpm")
    assert not one.ask.asking
    one.keep()
    assert one.ask.asking
    # changed once more before the answer: asked anew, with what the file says then
    elsewhere(file, engine__work_speed="2300 rpm")
    one.ask.press("mine")
    assert texts(file)[0] == "2300 rpm" and "2300 rpm" in one.ask.widget.children[0].children[0].value
    one.ask.press("mine")
    assert texts(file)[0] == "2450 rpm"


def test_several_questions_wait_for_every_answer(file):
    one = panel(file, "several")
    one.state.set_many({"engine.work_speed": "2500 rpm", "engine.idle_speed": "1100 rpm"})
    elsewhere(file, engine__work_speed="2400 rpm", engine__idle_speed="1000 rpm")
    one.keep()
    assert len(one.ask.widget.children) == 2
    one.ask.press("mine", "engine.work_speed")
    assert (
        texts(file)[:2] == ("2400 rpm", "1000 rpm")
        and "Yours is kept" in one.ask.widget.children[0].children[0].value
    )
    one.ask.press("theirs", "engine.idle_speed")
    assert texts(file)[:2] == ("2500 rpm", "1000 rpm")


def test_a_form_beside_a_panel_locks_nothing(file, monkeypatch):
    one = panel(file, "beside")
    one.set("engine.work_speed", "2500 rpm")
    monkeypatch.setattr("jackshaft.start.forms.list_builds", lambda: ())
    forms = StartForms(load(file))
    forms.key.value, forms.value.value = "circuit.fuse", "15 A"
    form = forms.forms[0]
    form.run(forms._write_down)
    assert "Kept" in form.result.value, form.alert.value
    # the panel follows, what was moved in it stays moved, and it keeps
    assert one.build.get("circuit.fuse").text == "15 A" and one.state.texts["engine.work_speed"] == "2500 rpm"
    one.keep()
    # the form still stands on what it kept, and goes on
    forms.key.value, forms.value.value = "engine.idle_speed", "1100 rpm"
    form.run(forms._write_down)
    assert texts(file) == ("2500 rpm", "1100 rpm", "15 A")
    # the same key: asked, in the form
    one.set("engine.idle_speed", "1000 rpm")
    one.keep()
    forms.key.value, forms.value.value = "engine.idle_speed", "900 rpm"
    form.run(forms._write_down)
    assert form.ask.asking and "Choose below" in form.alert.value and texts(file)[1] == "1000 rpm"
    form.ask.press("theirs")
    assert "stays as it was written elsewhere: 1000 rpm" in form.result.value and texts(file)[1] == "1000 rpm"
    assert not form.ask.asking and form.alert.value == ""


def test_two_who_read_a_meter_at_once_both_keep_their_reading(file, monkeypatch):
    monkeypatch.setattr(meter, "points_of", lambda build: ("coil +",))
    monkeypatch.setattr(meter, "work_up", None)
    day = datetime.date(2026, 4, 1)
    what = {"joint": "coil +", "volts": "12 V", "supply": "running", "coil": "cold", "baseline": False}
    one, two = load(file), load(file)
    first, _ = meter._keep_under_a_free_name(one, f"{day} coil +", what)
    second, kept = meter._keep_under_a_free_name(two, f"{day} coil +", what | {"volts": "13 V"})
    assert (first, second) == ("2026-04-01 coil +", "2026-04-01 coil +, 2")
    assert [kept.get(f"circuit.reading[{n}].volts").text for n in (first, second)] == ["12 V", "13 V"]


def test_a_part_of_one_name_is_added_once(file):
    one, two = load(file), load(file)
    start_parts.add_part(one, "bearing", "idler")
    kept, _ = start_parts.add_part(two, "bearing", "idler")
    assert kept.names("bearing") == ("a", "idler")


def test_the_bearing_finder_asks_too(file):
    finder = LookupPanel(load(file), {"bore": "20 mm"})
    finder.name.box.value = "a"
    load(file).save_values({"bearing[a].bore": "25 mm"})
    finder.keep()
    assert finder.ask.asking and load(file).get("bearing[a].bore").text == "25 mm"
    finder.ask.press("mine")
    assert load(file).get("bearing[a].bore").text == "20 mm" and "right" in finder._notice.value
    assert isinstance(finder.ask.widget, widgets.Box) and not finder.ask.asking

"""Keeping a value says which chapters and papers it makes out of date."""

import shutil
from functools import partial

from jackshaft.buildfile import DEMO, builds_dir, load
from jackshaft.chapters.layout.panel import controls, nearest_belt, outcome_of
from jackshaft.chapters.layout.panel import panel as layout_panel
from jackshaft.chapters.weak_link.panel import panel as chain_panel
from jackshaft.ui.model import Action
from jackshaft.ui.stale import stale_words
from jackshaft.ui.state import PanelState


def test_a_changed_pulley_lists_what_hangs_on_it(tmp_path):
    path = tmp_path / f"{DEMO}.toml"
    shutil.copy(builds_dir() / f"{DEMO}.toml", path)
    build = load(path)
    state = PanelState(
        build, controls(build, "crank belts"), lambda b, whatif: outcome_of(b, whatif, stage="crank belts")
    )
    state.set("stage[crank belts].pulley[J].diameter", "12-1/2 in")
    words = state.keep()
    for chapter in ("Drive ratio", "Belt layout", "Tension and grip", "Bearings", "What gives first", "tension tag"):
        assert chapter in words
    assert "Clutch circuit" not in words


def test_nothing_changed_nothing_spoiled():
    build = load(DEMO)
    assert stale_words(build, build) == ""
    assert "Bearings" in stale_words(build, build.with_values({"bearing[engine side].bore": "1.574 in"}))


def test_a_candidate_becomes_the_build_with_one_action(tmp_path):
    path = tmp_path / f"{DEMO}.toml"
    shutil.copy(builds_dir() / f"{DEMO}.toml", path)
    panel = layout_panel(load(path))
    panel.set("stage[crank belts].takeup.slack_tension", "30 lbf")
    panel.pin()
    panel.set("stage[crank belts].takeup.slack_tension", "26 lbf")
    panel.make("A")
    assert load(path).get("stage[crank belts].takeup.slack_tension").text == "30 lbf"
    assert panel.build.get("stage[crank belts].takeup.slack_tension").text == "30 lbf"


def test_a_handle_sent_back_by_the_page_does_not_round_the_value():
    """11/16 in lies between two marks of the slider: setting the handle to the nearest may not move the value."""
    panel = chain_panel(load(DEMO))
    field = panel._fields["shear_pin.radius"]
    panel.set("shear_pin.radius", "0.75 in")
    panel.reset()
    low, _, step = field._scale.numbers
    field.slider.value = low + step * field._scale.nearest(panel.state.readings["shear_pin.radius"].value) - 0.004
    assert panel.state.texts["shear_pin.radius"] == "11/16 in"
    field.slider.value += 2 * step
    assert panel.state.texts["shear_pin.radius"] == "3/4 in"


def test_a_button_has_all_it_needs_even_before_the_hand_rests():
    """The belts that are sold are looked up only once the hand rests; the button may not miss them."""
    panel = layout_panel(load(DEMO))
    panel.set("stage[crank belts].takeup.slack_tension", "25 lbf")
    panel._act(Action("Set the take-up", partial(nearest_belt, stage="crank belts")))
    assert panel.state.texts["stage[crank belts].pulley[I].x"] != "7.0 in"

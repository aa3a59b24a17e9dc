"""Keeping a value says which chapters and papers it makes out of date."""

import shutil
from functools import partial

from jackshaft.build import builds_dir, load
from jackshaft.panels.chain import chain_panel
from jackshaft.panels.layout import controls, layout_panel, nearest_belt, outcome_of
from jackshaft.panels.model import Action
from jackshaft.panels.spoiled import spoiled_words
from jackshaft.panels.state import PanelState


def test_a_changed_pulley_lists_what_hangs_on_it(tmp_path):
    path = tmp_path / "orchard_sweeper.toml"
    shutil.copy(builds_dir() / "orchard_sweeper.toml", path)
    build = load(path)
    state = PanelState(
        build, controls(build, "crank belt"), lambda b, whatif: outcome_of(b, whatif, stage="crank belt")
    )
    state.set("stage[crank belt].pulley[J].diameter", "12-1/2 in")
    words = state.keep()
    for chapter in ("Drive ratio", "Belt layout", "Tension and grip", "Bearings", "What gives first", "tension tag"):
        assert chapter in words
    assert "Clutch circuit" not in words


def test_nothing_changed_nothing_spoiled():
    build = load("orchard_sweeper")
    assert spoiled_words(build, build) == ""
    assert "Bearings" in spoiled_words(build, build.with_values({"bearing[engine side].bore": "1.180 in"}))


def test_a_candidate_becomes_the_build_with_one_action(tmp_path):
    path = tmp_path / "orchard_sweeper.toml"
    shutil.copy(builds_dir() / "orchard_sweeper.toml", path)
    panel = layout_panel(load(path))
    panel.set("stage[crank belt].takeup.slack_tension", "30 lbf")
    panel.pin()
    panel.set("stage[crank belt].takeup.slack_tension", "26 lbf")
    panel.make("A")
    assert load(path).get("stage[crank belt].takeup.slack_tension").text == "30 lbf"
    assert panel.build.get("stage[crank belt].takeup.slack_tension").text == "30 lbf"


def test_a_handle_sent_back_by_the_page_does_not_round_the_value():
    """0.85 in lies between two marks of the slider: setting the handle to the nearest may not move the value."""
    panel = chain_panel(load("orchard_sweeper"))
    field = panel._fields["shear_pin.radius"]
    panel.set("shear_pin.radius", "0.9 in")
    panel.reset()
    low, _, step = field._numbers
    field.slider.value = low + step * field._scale.nearest(panel.state.readings["shear_pin.radius"].value) - 0.004
    assert panel.state.texts["shear_pin.radius"] == "0.85 in"
    field.slider.value += 2 * step
    assert panel.state.texts["shear_pin.radius"] == "29/32 in"


def test_a_button_has_all_it_needs_even_before_the_hand_rests():
    """The belts that are sold are looked up only once the hand rests; the button may not miss them."""
    panel = layout_panel(load("orchard_sweeper"))
    panel.set("stage[crank belt].takeup.slack_tension", "25 lbf")
    panel._act(Action("Set the take-up", partial(nearest_belt, stage="crank belt")))
    assert panel.state.texts["stage[crank belt].pulley[B].x"] != "16.0 in"

"""The bearing panel as a plain function: both ends and the middle of every control, and what each of them moves."""

from __future__ import annotations

from functools import partial

import numpy as np
import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.chapters.bearings.panel import controls, outcome_of
from jackshaft.chapters.bearings.panel import panel as bearing_panel
from jackshaft.ui.scale import Scale
from jackshaft.ui.state import PanelState

CASES = [
    (DEMO, "engine side"),
    (DEMO, "chain side"),
    ("rotor_bearings", "A"),
    ("rotor_bearings", "D"),
]


def state(name, bearing):
    build = load(name)
    return PanelState(build, controls(build, bearing), partial(outcome_of, bearing=bearing))


def texts(control, system):
    if not control.has_slider:
        return [meant for _, meant in control.options]
    scale = Scale(control, system)
    return [scale.text_at(n) for n in (0, scale.count // 2, scale.count)]


@pytest.mark.parametrize("name, bearing", CASES)
def test_every_control_at_both_ends_and_the_middle(name, bearing):
    build = load(name)
    for control in controls(build, bearing):
        seen = []
        for text in texts(control, build.system):
            s = state(name, bearing)
            s.set(control.id, text)
            assert s.troubles == (), (control.label, text)
            outcome = s.outcome
            ids = [c.id for c in outcome.checks]
            assert f"bearings.identity[{bearing}]" in ids and f"bearings.life[{bearing}]" in ids
            assert all(i.endswith(f"[{bearing}]") or i.startswith("bearings.shaft[") for i in ids)
            seen.append(
                (
                    [(f.label, f.value) for f in outcome.facts],
                    [(c.verdict, c.value, c.limit, c.reason) for c in outcome.checks],
                )
            )
        assert any(x != seen[0] for x in seen[1:]), f"{control.label} moves nothing"


def life(s):
    return s.outcome.picture.life


def test_a_worn_bore_changes_the_ranking():
    s = state(DEMO, "engine side")
    assert s.outcome.compare["size"].text == "6208"
    s.set("bearing[engine side].bore", "1.5 in")
    assert s.outcome.compare["size"].text == "6208-24"


def test_a_finer_instrument_decides():
    s = state("rotor_bearings", "A")
    before = s.outcome.picture.identity.found
    assert not before.decided
    s.set("bearing[A].measured_with", "micrometer")
    assert s.outcome.picture.identity.found.candidates[0].score > before.candidates[0].score
    assert s.outcome.picture.identity.found.decided


def test_shock_counts_with_its_cube():
    s = state("rotor_bearings", "A")
    s.set("bearing[A].shock_factor", "1")
    one = life(s).hours
    s.set("bearing[A].shock_factor", "2")
    assert one / life(s).hours == pytest.approx(8)


def test_the_overhang_loads_the_near_bearing_and_lifts_the_far_one():
    near, far = state("rotor_bearings", "A"), state("rotor_bearings", "D")
    key = "shaft[rotor].load[belt pull].position"
    for s in (near, far):
        s.set(key, "-5 in")
    # moments by hand: 240 lbf at 5 in outside, 46 lbf in the middle of 12 in
    assert life(near).radial[0] / 4.4482216152605 == pytest.approx(240 * 17 / 12 + 23, rel=1e-3)
    assert life(far).radial[0] / 4.4482216152605 == pytest.approx(240 * 5 / 12 - 23, rel=1e-3)
    assert life(far).carried.against
    far.set(key, "-1 in")
    assert not life(far).carried.against


def test_belt_tension_reaches_the_bearing():
    s = state(DEMO, "engine side")
    before = life(s).hours
    s.set("stage[crank belts].takeup.slack_tension", "132 lbf")
    # the large pulley hangs outside this bearing, so three times the tension costs most of its life
    assert life(s).hours < before / 4


def test_a_bearing_without_a_shaft_takes_a_load_of_its_own():
    build = load("rotor_bearings").with_values({"bearing[A].shaft": "", "bearing[A].work_speed": "3000 rpm"})
    ids = [c.id for c in controls(build, "A")]
    assert "bearing[A].radial_load" in ids
    s = PanelState(build, controls(build, "A"), partial(outcome_of, bearing="A"))
    s.set("bearing[A].radial_load", "313 lbf")
    assert life(s).hours == pytest.approx(10_100, rel=0.01)


def test_the_same_spot_is_a_stop_not_a_traceback():
    s = state("rotor_bearings", "A")
    s.set("bearing[A].position", "12 in")
    assert "same spot" in s.outcome.why_it_does_not_work


def test_a_wrong_kind_and_an_empty_field():
    s = state("rotor_bearings", "A")
    s.set("bearing[A].bore", "3 lbf")
    assert s.troubles
    s.set("bearing[A].bore", "")
    assert s.troubles == ()
    assert "bore" not in s.outcome.picture.identity.readings


def test_panel_of_the_first_by_default_and_why_there_is_none():
    assert bearing_panel(load("rotor_bearings")).title == "Try the bearing: A"
    assert bearing_panel(load("rotor_bearings"), "D").title == "Try the bearing: D"
    with pytest.raises(ValueError, match="no bearing yet"):
        bearing_panel(load("compost_trommel"))
    with pytest.raises(ValueError, match="no bearing is called 'Z'; there is A, D"):
        bearing_panel(load("rotor_bearings"), "Z")


def test_metric_controls_have_metric_ends():
    build = load("rotor_bearings").with_values({"shown_in": "metric"})
    for control in controls(build, "A"):
        for text in texts(control, "metric") if control.has_slider else ():
            assert not any(unit in text for unit in (" in", "lbf")), (control.label, text)
    s = PanelState(build, controls(build, "A"), partial(outcome_of, bearing="A"))
    assert np.isclose(life(s).hours, 10_100, rtol=0.01)

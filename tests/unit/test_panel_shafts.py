"""The shaft panel as a plain function, and what its figure draws."""

from __future__ import annotations

import math
from functools import partial

import numpy as np
import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.chapters.shafts.figure import ShaftView, draw, picture_of
from jackshaft.chapters.shafts.panel import controls, least_diameter, outcome_of
from jackshaft.chapters.shafts.panel import panel as shaft_panel
from jackshaft.drawing.pictures import pictures_of
from jackshaft.drawing.view import Candidate
from jackshaft.results import work_up
from jackshaft.ui.scale import Scale
from jackshaft.ui.state import PanelState

STEEL = {"shaft[rotor].diameter": "1.375 in", "shaft[rotor].material": "AISI 1045 CD"}


def build_of(name):
    return load(name).with_values(STEEL if name == "rotor_bearings" else {})


def state(name, shaft):
    build = build_of(name)
    return PanelState(build, controls(build, shaft), partial(outcome_of, shaft=shaft))


@pytest.mark.parametrize("name, shaft", [(DEMO, "jackshaft"), ("rotor_bearings", "rotor")])
def test_every_control_at_both_ends_and_the_middle(name, shaft):
    build = build_of(name)
    for control in controls(build, shaft):
        scale = Scale(control, build.system) if control.has_slider else None
        texts = (
            [scale.text_at(n) for n in (0, scale.count // 2, scale.count)] if scale else [t for _, t in control.options]
        )
        seen = []
        for text in texts:
            s = state(name, shaft)
            s.set(control.id, text)
            assert s.troubles == (), (control.label, text)
            assert f"shafts.strength[{shaft}]" in [c.id for c in s.outcome.checks]
            seen.append(
                [(f.label, f.value) for f in s.outcome.facts] + [(c.verdict, c.value) for c in s.outcome.checks]
            )
        if not (control.label == "Ripple of the torque" and name == "rotor_bearings"):  # its torque is not known
            assert any(x != seen[0] for x in seen[1:]), f"{control.label} moves nothing"


def worst(s):
    return s.outcome.picture.state.sections[0]


def test_a_thicker_shaft_is_safer_with_the_cube():
    s = state("rotor_bearings", "rotor")
    thin = worst(s)
    s.set("shaft[rotor].diameter", "2.75 in")
    # bending falls with the cube, less what four times its own weight adds; the endurance limit falls a little with
    # size: 2^-0.107, or the steeper law above 51 mm
    share = thin.peak.moment / worst(s).peak.moment
    assert worst(s).peak.yielding / thin.peak.yielding == pytest.approx(8 * share, rel=1e-6)
    assert 0.98 < share < 1
    assert 6.5 < worst(s).fatigue / thin.fatigue < 8


def test_overhang_and_tension_take_from_the_safety():
    s = state("rotor_bearings", "rotor")
    before = worst(s).fatigue
    s.set("shaft[rotor].load[belt pull].position", "-5 in")
    assert worst(s).fatigue == pytest.approx(before / 2, rel=0.01)  # its own weight comes on top, a little
    s.set("shaft[rotor].load[belt pull].pull", "480 lbf")
    assert worst(s).fatigue == pytest.approx(before / 4, rel=0.01)


def test_next_stock_size_holds():
    s = state("rotor_bearings", "rotor")
    s.set("shaft[rotor].diameter", "0.75 in")
    assert s.outcome.why_it_does_not_work
    texts = least_diameter(build_of("rotor_bearings"), s.outcome, shaft="rotor")
    s.set("shaft[rotor].diameter", texts["shaft[rotor].diameter"])
    assert not s.outcome.why_it_does_not_work
    assert worst(s).peak.fatigue >= 1.5


def test_half_known_is_drawn_and_said():
    build = load("rotor_bearings")
    outcome = outcome_of(build, {}, shaft="rotor")
    assert outcome.picture.state is None and outcome.checks[0].verdict == "not decidable"
    view = ShaftView("test", outcome.picture)
    view.draw(outcome.picture)
    assert "not known yet" in view.none.get_text() and not view.curves[0].get_visible()


def test_panel_of_the_first_loaded_shaft_and_why_there_is_none():
    assert shaft_panel(load(DEMO)).title == "Try the shaft: jackshaft"
    with pytest.raises(ValueError, match="no shaft of this build has pulls"):
        shaft_panel(load("compost_trommel"))
    with pytest.raises(ValueError, match="no shaft is called 'Z'"):
        shaft_panel(load(DEMO), "Z")


# -- the figure ------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def rotor():
    return picture_of(work_up(build_of("rotor_bearings"), ("shafts",)), "rotor")


def test_curves_are_the_beam(rotor):
    view = ShaftView("test", rotor)
    view.draw(rotor)
    x, bending = view.curves[0].get_data()
    at_a = np.isclose(x, 0.0)
    # 240 lbf at 2.5 in: 600 lbf·in = 50 lbf·ft over bearing A, and its own overhang of 3.29 in at 0.421 lb/in
    most = 50 + 0.2836 * math.pi / 4 * 1.375**2 * (2.5 + 0.02 / 0.0254) ** 2 / 2 / 12
    assert bending[at_a].max() == pytest.approx(most, rel=1e-4) and bending.max() == pytest.approx(most, rel=1e-4)
    assert bending[0] == pytest.approx(0, abs=1e-9) and bending[-1] == pytest.approx(0, abs=1e-9)
    moved = view.curves[2].get_ydata()
    assert moved[at_a] == pytest.approx(0, abs=1e-6) and moved[np.isclose(x, 12.0)] == pytest.approx(0, abs=1e-6)
    assert view.seats.get_xdata() == pytest.approx([0, 12])
    assert "bearing A" in view.weak_words.get_text()
    assert [line.get_xdata()[0] for line in view.weakest] == pytest.approx([0] * 4)
    low, high = view.axes[0].get_ylim()
    assert low < bending.min() and bending.max() < high


def test_alt_and_pins(rotor):
    thick = picture_of(
        work_up(build_of("rotor_bearings").with_values({"shaft[rotor].diameter": "2 in"}), ("shafts",)), "rotor"
    )
    view = ShaftView("test", rotor)
    view.draw(rotor, pinned=(Candidate("A", thick, "#6a3d9a", (6, 2)),))
    assert view.pinned[0][2].get_ydata().max() < view.curves[2].get_ydata().max() / 4
    assert "most bending 50.2 lbf·ft at 0.0000 in" in view.alt() and "fatigue safety" in view.alt()
    view.draw(rotor)
    assert not view.pinned[0][2].get_visible()


def test_scales_grow_when_a_line_leaves_them(rotor):
    view = ShaftView("test", rotor)
    longer = picture_of(
        work_up(
            build_of("rotor_bearings").with_values({"shaft[rotor].load[belt pull].position": "-9 in"}), ("shafts",)
        ),
        "rotor",
    )
    view.draw(longer)
    assert view.axes[0].get_xlim()[0] < -9 and view.axes[0].get_ylim()[1] > 180
    assert view.alt().startswith("Shaft rotor: most bending 182 lbf·ft")


def test_draw_yields_the_shafts_that_are_worked_out():
    results = work_up(load(DEMO))
    assert [(t, part) for t, _, _, part in draw(results.chapters["shafts"], results)] == [
        ("jackshaft: bending, torque and movement", "jackshaft")
    ]
    assert pictures_of(work_up(load("rotor_bearings")), "shafts") == ()


def test_metric_picture_has_no_inch():
    what = picture_of(work_up(build_of("rotor_bearings").with_values({"shown_in": "metric"}), ("shafts",)), "rotor")
    view = ShaftView("test", what)
    view.draw(what)
    assert not any(w in view.svg() + view.alt() for w in ("lbf", "thou", " in "))

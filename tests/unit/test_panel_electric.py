"""The clutch circuit panel as a plain function: both ends and the middle of every control, choices, actions."""

from itertools import pairwise

import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.chapters.clutch import panel as clutch_panels
from jackshaft.chapters.electric.panel import controls, fuse_that_fits, outcome_of
from jackshaft.chapters.electric.panel import panel as electric_panel
from jackshaft.ui.scale import Scale
from jackshaft.ui.state import PanelState

BUILDS = (DEMO, "compost_trommel")


@pytest.fixture(params=BUILDS)
def state(request):
    build = load(request.param)
    return PanelState(build, controls(build), outcome_of)


@pytest.fixture
def engaging():
    by_weight = {f"work.run_down_{key}": "" for key in ("speed", "time", "drag")}
    as_disc = {"work.weight": "60 lb", "work.mass_at": "disc", "work.diameter": "28 in", "engine.inertia": ""}
    build = load(DEMO).with_values({**by_weight, **as_disc})
    return PanelState(build, clutch_panels.controls(build), clutch_panels.engaging_outcome_of)


def places(state, control):
    """Texts of the low end, the middle and the high end of a control."""
    if not control.has_slider:
        texts = [meant for _, meant in control.options]
        return tuple(dict.fromkeys((texts[0], texts[len(texts) // 2], texts[-1])))
    scale = Scale(control, state.system)
    return tuple(scale.text_at(p) for p in (0, scale.count // 2, scale.count))


def numbers(outcome):
    return {f.label: f.value for f in outcome.facts}, {c.id: (c.verdict, c.value) for c in outcome.checks}


def test_both_ends_and_the_middle_of_every_control(state):
    for control in state.controls.values():
        seen = []
        for text in places(state, control):
            state.set(control.id, text)
            assert state.troubles == (), (control.id, text, state.troubles)
            assert state.outcome.picture is not None
            seen.append(numbers(state.outcome))
        assert all(a != b for a, b in pairwise(seen)), control.id
        state.reset()


def test_directions(state):
    """More wire starves the coil, thicker wire feeds it, heat lowers the current: at each end of the slider."""

    def coil(heat="cold"):
        return state.outcome.compare[f"voltage at the coil, {heat}"].number, state.outcome.compare[
            f"coil current, {heat}"
        ].number

    def at_ends(id):
        found = []
        control = state.controls[id]
        for text in (places(state, control)[0], places(state, control)[2]):
            state.set(id, text)
            found.append(coil("hot" if id == "clutch.hot_rise" else "cold"))
        state.reset()
        return found

    for id, up in (
        ("circuit.length_out", False),
        ("circuit.joint_resistance", False),
        ("circuit.wire", True),
        ("circuit.running_voltage", True),
    ):
        low, high = at_ends(id)
        assert (high[0] > low[0]) == up and (high[1] > low[1]) == up, id
    low, high = at_ends("clutch.hot_rise")
    assert high[1] < low[1] and high[0] > low[0]


def test_the_wires_are_the_systems_own():
    inch, metric = (controls(load(b)) for b in BUILDS)
    for found, unit in ((inch, "AWG"), (metric, "mm²")):
        wire = next(c for c in found if c.id == "circuit.wire")
        assert all(unit in t for t in wire.choices)
    odd = load(DEMO).with_values({"circuit.wire": "1.5 mm²", "circuit.fuse": "7 A"})
    texts = {c.id: c.choices for c in controls(odd) if c.choices}
    assert "1.5 mm²" in texts["circuit.wire"] and "7 A" in texts["circuit.fuse"]
    assert (
        texts["circuit.wire"].index("16 AWG")
        < texts["circuit.wire"].index("1.5 mm²")
        < texts["circuit.wire"].index("14 AWG")
    )


def test_the_action_takes_the_fuse_that_fits():
    build = load("compost_trommel")
    state = PanelState(build, controls(build), outcome_of)
    assert next(c for c in state.outcome.checks if c.id == "electric.fuse").verdict == "not decidable"
    state.set_many(fuse_that_fits(state.trial, state.outcome))
    assert next(c for c in state.outcome.checks if c.id == "electric.fuse").verdict == "go"
    thin = load(DEMO).with_values({"circuit.wire": "22 AWG", "circuit.insulation": "60 °C", "circuit.bundled": 30})
    with pytest.raises(ValueError, match="larger wire"):
        fuse_that_fits(thin, outcome_of(thin, {}))


def test_clearing_a_field_leaves_the_panel_standing():
    build = load(DEMO)
    state = PanelState(build, controls(build), outcome_of)
    state.set("circuit.running_voltage", "")
    assert state.troubles == () and state.outcome.picture.data.which == "battery only"
    for id in ("circuit.wire", "circuit.length_out"):
        state.set(id, "")
        assert state.troubles == () and state.outcome.picture is None
        assert any(id in c.missing for c in state.outcome.checks)
        state.reset()


def test_a_build_without_a_circuit_has_no_panel():
    for name, words in (("drum_mixer", "no clutch"), ("rotor_bearings", "not known|Neither")):
        with pytest.raises(ValueError, match=words):
            electric_panel(load(name))


def test_clutch_panel_at_both_ends_and_the_middle_of_every_control(engaging):
    for control in engaging.controls.values():
        seen = []
        for text in places(engaging, control):
            engaging.set(control.id, text)
            assert engaging.troubles == (), (control.id, text, engaging.troubles)
            assert engaging.outcome.picture is not None
            seen.append((numbers(engaging.outcome), engaging.outcome.picture.words))
        assert all(a != b for a, b in pairwise(seen)), control.id
        engaging.reset()


def test_clutch_panel_directions(engaging):
    """Faster engagement makes more heat, a heavier work too; heat in the coil takes torque away."""

    def at_ends(id, what):
        found = []
        for text in (places(engaging, engaging.controls[id])[0], places(engaging, engaging.controls[id])[2]):
            engaging.set(id, text)
            found.append(engaging.outcome.compare[what].number)
        engaging.reset()
        return found

    for id, what, up in (
        ("clutch.engage_speed", "slip heat", True),
        ("work.weight", "slip time", True),
        ("clutch.hot_rise", "holding torque, hot", False),
        ("circuit.running_voltage", "holding torque, hot", True),
    ):
        low, high = at_ends(id, what)
        assert (high > low) == up, id


def test_clutch_panel_picks_the_picture_that_can_be_drawn():
    assert type(clutch_panels.panel(load(DEMO)).view).__name__ == "TimeView"
    assert type(clutch_panels.panel(load("compost_trommel")).view).__name__ == "ClutchView"
    for name in ("drum_mixer", "rotor_bearings"):
        with pytest.raises(ValueError, match="clutch"):
            clutch_panels.panel(load(name))

"""What is open in a panel: cures that are tried and kept from it, what is missing filled in, what matters most."""

from __future__ import annotations

import asyncio

import ipywidgets as widgets
import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.chapters.grip.panel import panel as grip_panel
from jackshaft.chapters.layout.panel import panel as layout_panel
from jackshaft.chapters.roller_chain.panel import panel as chain_panel
from jackshaft.chapters.shafts.panel import panel as shafts_panel
from jackshaft.chapters.weak_link.panel import panel as weak_link_panel
from jackshaft.results import work_up
from jackshaft.ui import mend
from jackshaft.ui.matters import what_matters
from jackshaft.ui.mend import ASK, TRYING


@pytest.fixture(autouse=True)
def on_a_copy(own_data, monkeypatch):
    monkeypatch.delenv("JACKSHAFT_BUILD", raising=False)


def every(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from every(child)


def buttons(panel, words):
    return [w for w in every(panel.mend.widget) if isinstance(w, widgets.Button) and w.description == words]


def words_of(panel):
    return " ".join(w.value for w in every(panel.mend.widget) if isinstance(w, widgets.HTML))


def verdict(build, id):
    return next(c.verdict for c in work_up(build).checks if c.id == id)


def test_a_cure_is_tried_then_kept_though_no_field_stands_for_it():
    """The demo's back idler: belts of section AA bend both ways. The page has no field for the section."""
    id, panel = "layout.back-bend[crank belts]", layout_panel(load(DEMO), None)
    before = (load(DEMO).file, load(DEMO).values["stage[crank belts].section"])
    assert "bending backwards" in words_of(panel)
    buttons(panel, ASK)[0].click()
    (try_it, *_), (keep_it, *_) = buttons(panel, "Try"), buttons(panel, "Keep")
    try_it.click()
    assert panel.state.fresh and panel.state.changes()["stage[crank belts].section"] == "AA"
    assert next(c for c in panel.outcome.checks if c.id == id).verdict == "go"
    assert "bending backwards" not in words_of(panel)
    assert "tried; the build says A" in panel._facts.value
    assert (load(DEMO).file, load(DEMO).values["stage[crank belts].section"]) == before
    panel.reset()
    assert panel.state.changes() == {} and "bending backwards" in words_of(panel)
    keep_it.click()
    assert "Kept in the build" in panel._notice.value and panel.state.changes() == {}
    assert verdict(load(DEMO), id) == "go"


def test_a_cure_that_a_field_stands_for_moves_the_field():
    panel = grip_panel(load(DEMO), None)
    panel.set("stage[crank belts].takeup.slack_tension", "8 lbf")
    next(w for w in buttons(panel, ASK) if "grip at work" in w.tooltip).click()
    rows = [w for w in buttons(panel, "Try") if "Set the tension" in w.tooltip]
    rows[0].click()
    assert panel.state.also == {} or "stage[crank belts].takeup.slack_tension" not in panel.state.also
    assert panel.state.texts["stage[crank belts].takeup.slack_tension"] != "8 lbf"


def test_a_candidate_holds_what_no_field_shows():
    panel = layout_panel(load(DEMO), None)
    panel.state.take_changes({"stage[crank belts].section": "AA", "stage[crank belts].marked": "AA60"})
    panel.pin()
    panel.reset()
    assert panel.state.also == {}
    panel.use("A")
    assert panel.state.also["stage[crank belts].section"] == "AA"


def test_what_is_missing_is_typed_beside_its_check():
    """The demo's output shaft has no tensile strength; a nonsense text changes nothing and says what is wanted."""
    panel = shafts_panel(load(DEMO), "output shaft")
    fields = [w for w in every(panel.mend.widget) if isinstance(w, widgets.Text)]
    field = next(w for w in fields if "tensile" in w.description)
    field.value = "12 kg"
    assert "12 kg" in panel._alert.value and panel.state.fresh and panel.state.also == {}
    field.value = "80 ksi"
    assert panel.state.fresh and panel.state.also == {"shaft[output shaft].tensile_strength": "80 ksi"}


def test_what_several_checks_lack_is_asked_for_once():
    """Seen: the page of what gives first asked for two values in eight boxes."""
    panel = weak_link_panel(load(DEMO).with_values({"engine.shaft_yield": ""}), None)
    names = [w.description for w in every(panel.mend.widget) if isinstance(w, widgets.Text | widgets.Dropdown)]
    assert names and len(names) == len(set(names))
    assert "asked for above" in words_of(panel)


def test_what_is_missing_and_has_choices_is_picked():
    """Whether a chain is new is one of two words; nobody types that with its unit."""
    panel = chain_panel(load(DEMO).with_values({"stage[output chain].chain_is": ""}), None)
    lists = [w for w in every(panel.mend.widget) if isinstance(w, widgets.Dropdown)]
    field = next(w for w in lists if "new" in w.description)
    assert [value for _, value in field.options] == ["", "new", "used"]
    field.value = "used"
    assert panel.state.fresh and panel.state.also == {"stage[output chain].chain_is": "used"}


def test_what_matters_most_is_what_one_step_moves_most():
    """The work turns at the engine's top over both ratios: a tooth of 13 is 7.7 %, one of 40 is 2.5 %."""
    from jackshaft.chapters.ratio.panel import panel as ratio_panel

    found = what_matters(ratio_panel(load(DEMO), None).state)
    assert "highest speed" in found.title
    order = [row[0] for row in found.rows]
    assert order.index("Teeth on the driver") < order.index("Teeth on the driven") < order.index("J datum diameter")
    down = float(found.rows[order.index("Teeth on the driver")][2].split()[0])
    assert down == pytest.approx(542 * 12 / 13, abs=1)


def test_cures_are_looked_for_in_turns_and_again_where_the_design_moves_on():
    """The demo's chain of 13 teeth is a caution. A field that is moved meanwhile keeps its new value."""

    async def page():
        panel = chain_panel(load(DEMO), None)
        ask = next(w for w in buttons(panel, ASK) if "teeth" in w.tooltip)
        ask.click()
        assert ask.disabled and ask.description.startswith(TRYING) and not buttons(panel, "Try")
        id, text = "stage[output chain].centres", panel.state.texts["stage[output chain].centres"]
        await asyncio.sleep(0.05)
        assert ask.disabled, "the page had no turn before it was done"
        moved = f"{float(text.split()[0]) + 1} {text.split()[1]}"
        panel.set(id, moved)
        trial = panel.state.trial
        while not buttons(panel, "Try"):
            await asyncio.sleep(0.02)
        assert panel.state.texts[id] == moved and panel.state.trial is trial
        assert not any(w.disabled for w in every(panel.mend.widget) if isinstance(w, widgets.Button))

    asyncio.run(asyncio.wait_for(page(), 60.0))


def test_what_fails_while_cures_are_looked_for_is_shown(monkeypatch):
    panel = chain_panel(load(DEMO), None)
    monkeypatch.setattr(mend, "proving", lambda *_: 1 / 0)
    buttons(panel, ASK)[0].click()
    assert "fault of the program" in panel._alert.value and not buttons(panel, ASK)[0].disabled

"""A value that nobody entered never reaches the build, and no control shows a number for it.

Seen once: a slider rested in its middle, the page rounded the number and sent it back, and Keep wrote a shear-pin
radius and a coil rise that nobody had measured.
"""

import re
from weakref import WeakSet

import pytest
from jackshaft.buildfile import BuildProblems, load
from jackshaft.chapters.bearings.lookup import LookupPanel
from jackshaft.chapters.electric.meter import MeterForms
from jackshaft.results import chapters
from jackshaft.search.panel import panel as search_panel
from jackshaft.start.forms import StartForms
from jackshaft.ui import base, together

DEMO = "feed_wagon_auger"
PANELS = {n: c.part("panel").panel for n, c in chapters().items() if c.part("panel")}
LISTS = {"layout": "stage", "grip": "stage", "bearings": "bearing", "shafts": "shaft"}


def parts_of(chapter, build):
    """Return everything that the panel of a chapter can stand on."""
    return build.names(LISTS[chapter]) if chapter in LISTS else (None,)


def panel_on(chapter, build, part):
    """Return the panel of a chapter on one part; None where it says why it cannot stand there."""
    try:
        return PANELS[chapter](build, part)
    except ValueError as why:
        assert str(why)


def send_back(field) -> None:
    """What the page sends when it has rounded the handle that it was given."""
    shown = field.slider.value
    for sent in (round(shown, 6), round(shown, 3), shown * (1 + 3e-14), shown * (1 - 3e-14), shown):
        if abs(sent - shown) < 0.4 * field.slider.step:
            field.slider.value = sent


def shows_of_nothing(field) -> list[str]:
    """What is wrong with how a control shows that nothing is known; the help below it may hold numbers."""
    echo = re.sub(r"<[^>]*>", "", re.sub(r'<span class="jk-help">.*', "", field.echo.value))
    found = [f"the box holds {field.box.value!r}"] if field.box.value else []
    found += [] if echo == "not known yet" else [f"below it stands {echo!r}"]
    found += [] if "jk-unset" in field.widget._dom_classes else ["it is not marked as unset"]
    return found + (["its slider writes its number"] if field.slider is not None and field.slider.readout else [])


@pytest.mark.parametrize("name", [DEMO, "compost_trommel"])
@pytest.mark.parametrize("chapter", list(PANELS))
def test_keep_with_nothing_moved_writes_nothing(own_data, monkeypatch, chapter, name):
    """Each key of each control is taken out in turn, the page sends its handles back, and Keep is pressed.

    Each panel is alone on its page: else all that were opened before would follow every Keep. Nothing is drawn: a
    picture holds no value.
    """
    monkeypatch.setattr(base.Panel, "_draw", lambda panel: None)
    path = own_data / "builds" / f"{name}.toml"
    build, before, tried, wrong = load(name), path.read_bytes(), 0, []
    for part in parts_of(chapter, build):
        whole = panel_on(chapter, build, part)
        for id in [c.id for c in whole.state.controls.values() if c.key] if whole else ():
            try:
                less = build.with_values({id: ""})
            except BuildProblems:
                continue
            monkeypatch.setattr(together, "_open", WeakSet())
            panel = panel_on(chapter, less, part) if part is None or part in parts_of(chapter, less) else None
            if panel is not None and id in panel.state.controls:
                wrong += [f"{part} {id}: {w}" for w in shows_of_nothing(panel._fields[id])]
                for field in panel._fields.values():
                    if field.slider is not None:
                        send_back(field)
                panel.keep()
                wrong += [f"{part} {id}: would write {panel.state.changes()}"] if panel.state.changes() else []
                wrong += [f"{part} {id}: wrote"] if path.read_bytes() != before else []
                tried += 1
    assert wrong == []
    assert tried or name != DEMO, "no control was tried"


def test_the_search_shows_nothing_for_what_is_not_known():
    build = load(DEMO)
    stage = "crank belts"
    panel = search_panel(build, stage)
    keys = {name: panel.controller.key(name) for name in panel.fields}
    for key in [keys[n] for n in ("tension", *list(keys)[:3])]:
        try:
            less = build.with_values({key: ""})
        except BuildProblems:
            continue
        for name, box in search_panel(less, stage).fields.items():
            assert (box.value == "") == (less.get(keys[name]) is None), (key, name, box.value)


def test_the_finder_and_the_forms_begin_with_nothing_said():
    finder = LookupPanel(load(DEMO))
    assert [b.box.value for b in (*finder.fields.values(), *finder.tools.values(), finder.name)] == [""] * (
        len(finder.fields) + len(finder.tools) + 1
    )
    meter = MeterForms(load(DEMO))
    fields = (meter.volts, meter.supply, meter.coil, meter.name, meter.place, meter.drop)
    assert [b.value for b in fields] == [""] * len(fields)
    start = StartForms(load(DEMO))
    assert [b.value for b in (start.value, start.how, start.by, start.part, start.new)] == [""] * 5


def test_a_reading_of_which_the_tool_was_not_said_is_kept_without_one(own_data):
    panel = LookupPanel(load("drum_mixer"), {"bore": "20 mm", "outside": "47 mm"})
    assert "taken as read with calipers" in str(panel.answer.asked)
    panel.name.box.value = "spare"
    panel.keep()
    kept = load("drum_mixer").get("bearing[spare].bore")
    assert kept.known == "measured", kept


def test_a_diameter_whose_line_is_not_known_is_not_labelled_as_one():
    key = "stage[crank belts].pulley[E]"
    for line, wanted in (("", "not known yet"), ("outside", "outside diameter")):
        build = load(DEMO).with_values({f"{key}.measured_as": line})
        control = PANELS["ratio"](build, None).state.controls[f"{key}.diameter"]
        assert wanted in control.label and "pitch" not in control.label

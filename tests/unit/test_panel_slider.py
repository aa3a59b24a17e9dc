"""Sliders: what the page sends back is no move, and its numbers are clean decimals."""

import re

import pytest
from jackshaft.buildfile import load
from jackshaft.results import chapters
from jackshaft.ui.model import Control
from jackshaft.ui.scale import Scale


@pytest.mark.parametrize("system", ["inch", "metric"])
def test_a_slider_that_the_page_rounds_does_not_make_up_a_value(own_data, system):
    """A page shows the handle of what is not known in the middle, rounds its number and sends it back: no move."""
    path = own_data / "builds" / "feed_wagon_auger.toml"
    text = re.sub(r"^hot_rise = .*\n", "", path.read_text(encoding="utf-8"), flags=re.M)
    assert text.count("\nshown_in = ") <= 1
    text = re.sub(r"^shown_in = .*\n", "", text, flags=re.M).replace("\nname =", f'\nshown_in = "{system}"\nname =', 1)
    path.write_text(text, encoding="utf-8")
    build = load("feed_wagon_auger")
    assert build.system == system and build.get("clutch.hot_rise") is None
    panel = chapters()["electric"].part("panel").panel(build, None)
    before = path.read_bytes()
    moved = False
    for id, field in panel._fields.items():
        if not field.slider:
            continue
        shown = field.slider.value
        for sent in (round(shown, 6), shown + 3e-14 * max(1.0, abs(shown)), shown - 3e-14 * max(1.0, abs(shown))):
            field.slider.value = sent
        moved = moved or panel.state.readings[id].value is None
    assert moved, "no control of the panel is unknown, so nothing was tried"
    assert panel.state.changes() == {}
    panel.keep()
    assert path.read_bytes() == before
    # a hand that moves it by one step is taken
    field = panel._fields["clutch.hot_rise"]
    field.slider.value = field._scale.number_at(field._scale.count // 2 + 1)
    assert set(panel.state.changes()) == {"clutch.hot_rise"}
    panel.keep()
    assert load("feed_wagon_auger").get("clutch.hot_rise") is not None


def test_slider_numbers_are_clean_decimals():
    warm = Control("clutch.hot_rise", "Rise", "0 to 100 K by 0.5")
    for position in range(Scale(warm, "inch").count + 1):
        number = Scale(warm, "inch").number_at(position)
        assert len(repr(number)) < 14 and Scale(warm, "inch").position_of(number) == position

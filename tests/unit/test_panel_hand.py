"""The hand on a drawing: what a page may say of it, where a pulley then is, and what the panel makes of it."""

from __future__ import annotations

import math

import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.chapters.layout.panel import panel as layout_panel
from jackshaft.ui.hand import HandWidget
from shaft_builds import TWO_BELTS, build_of

AT = "stage[crank belts].pulley"
PIVOT = (13.0, -6.0)


@pytest.fixture
def panel():
    return layout_panel(load(DEMO), None)


def tell(panel, do, part="I", **more):
    panel.hand._told(None, {"do": do, "part": part, "n": panel.hand.widget.done + 1, **more}, [])


def place(panel, part="I"):
    return tuple(panel.state.readings[f"{AT}[{part}].{axis}"].value.si / 0.0254 for axis in "xy")


def arm(panel):
    return math.hypot(*(a - b for a, b in zip(place(panel), pivot(panel), strict=True)))


def pivot(panel):
    return tuple(v / 0.0254 for v in panel.outcome.picture.layout.pivot)


def test_every_pulley_with_a_place_has_a_grip_where_the_picture_shows_it(panel):
    """The map of the picture, done once more by the axes' own transform."""
    grips = {g["part"]: g for g in panel.hand.widget.grips}
    assert list(grips) == ["E", "I", "J", "take-up: pivot"]
    axes, (a, b, c, d) = panel.view.axes, panel.hand.widget.maps["wide"]
    for grip in grips.values():
        pixels = axes.transData.transform((grip["x"], grip["y"]))
        across, up = panel.view.figure.transFigure.inverted().transform(pixels)
        assert (a + b * grip["x"], c + d * grip["y"]) == pytest.approx((across, 1 - up), abs=1e-9)
    assert set(panel.hand.widget.maps) == {"wide", "phone"}


def test_an_idler_on_an_arm_stays_on_its_circle_and_the_rest_follows(panel):
    before, length = arm(panel), panel.outcome.compare["belt path"].number
    tell(panel, "take")
    tell(panel, "move", x=7.1, y=-2.7)
    assert arm(panel) == pytest.approx(before, abs=1e-3) and place(panel) != (7.0, -2.88)
    assert panel.outcome.compare["belt path"].number != length
    tell(panel, "drop", x=7.1, y=-2.7)
    assert panel.state.fresh and panel._fields[f"{AT}[I].x"].box.value == panel.state.texts[f"{AT}[I].x"]


def test_a_pulley_on_no_arm_goes_where_the_hand_is_in_steps_that_a_shop_sets(panel):
    tell(panel, "take", "J")
    tell(panel, "move", "J", x=18.513, y=4.249)
    assert place(panel, "J") == pytest.approx((18.516, 4.25), abs=1e-9)
    tell(panel, "key", "J", dx=1, dy=0, fine=False)
    assert place(panel, "J")[0] == pytest.approx(18.641, abs=1e-9)


def test_it_catches_where_a_belt_that_is_sold_goes_on(panel):
    sold = {s.designation: (s.x / 0.0254, s.y / 0.0254) for s in panel.outcome.picture.layout.stock if s.fits}
    tell(panel, "take")
    tell(panel, "move", x=sold["A60"][0] + 0.05, y=sold["A60"][1])
    assert place(panel) == pytest.approx(sold["A60"], abs=6e-4) and panel.hand.widget.says == "A60 goes on here"
    tell(panel, "stop", way=1)
    first = place(panel)
    tell(panel, "stop", way=-1)
    assert place(panel) == pytest.approx(sold["A60"], abs=6e-4) and first != place(panel)


def test_escape_takes_it_back_to_where_it_was_taken(panel):
    tell(panel, "take")
    tell(panel, "move", x=7.1, y=-2.7)
    tell(panel, "cancel")
    assert place(panel) == (7.0, -2.88) and panel.state.changes() == {}


def test_a_place_where_the_belt_cannot_run_is_shown_and_said(panel):
    tell(panel, "take", "J")
    tell(panel, "move", "J", x=2.0, y=0.0)
    assert panel.outcome.why_it_does_not_work and "does not work" in panel._drawn.widget.value
    tell(panel, "cancel", "J")
    assert not panel.outcome.why_it_does_not_work


def test_two_pulleys_whose_places_are_not_known_are_drawn_apart_along_their_line():
    panel = layout_panel(build_of(TWO_BELTS).with_values({}), "second belts")
    ids = set(panel.state.controls)
    if "stage[second belts].centres" not in ids:
        pytest.skip("the build gives places")
    part = panel.hand.widget.grips[0]["part"]
    tell(panel, "take", part)
    tell(panel, "move", part, x=panel.hand.widget.grips[0]["x"] + 1.0, y=5.0)
    assert "stage[second belts].centres" in panel.state.changes()


def test_each_message_is_answered_even_one_that_makes_no_sense(panel):
    tell(panel, "move", "nobody", x=0.0, y=0.0)
    assert panel.hand.widget.done == 1 and panel._alert.value
    assert isinstance(panel.hand.widget, HandWidget)


def test_a_page_that_says_its_width_gets_that_picture_alone(panel, monkeypatch):
    """Both are there until a page speaks; two pages of different widths get both again, until one is gone."""

    def widths():
        return [w for w in ("wide", "phone") if f'class="jk-{w}' in panel._drawn.widget.value]

    def shows(view, which):
        panel.hand._told(None, {"do": "shows", "view": view, "which": which}, [])

    assert widths() == ["wide", "phone"]
    drawn = []
    phone = panel.view._phone
    monkeypatch.setattr(panel.view, "_phone", lambda: drawn.append("phone") or phone())
    shows("a", "wide")
    panel.set(f"{AT}[J].x", "18 in")
    assert widths() == ["wide"] and not drawn and "jk-alone" in panel._drawn.widget.value
    shows("b", "phone")
    assert widths() == ["wide", "phone"] and "jk-alone" not in panel._drawn.widget.value
    shows("a", "")
    panel.set(f"{AT}[J].x", "18.1 in")
    assert widths() == ["phone"]


def handle(panel, part):
    return next(g for g in panel.hand.widget.grips if g["part"] == part)


def test_the_pivot_of_an_arm_is_moved_by_pointer_and_keys_and_taken_back(panel):
    at, part = "stage[crank belts].takeup", "take-up: pivot"
    assert (handle(panel, part)["x"], handle(panel, part)["y"]) == pytest.approx(PIVOT)
    before, idler = arm(panel), place(panel)
    tell(panel, "take", part)
    tell(panel, "move", part, x=12.505, y=-7.001)
    assert pivot(panel) == pytest.approx((12.5, -7.0)) and place(panel) == idler
    assert arm(panel) == pytest.approx(math.dist((12.5, -7.0), idler)) != pytest.approx(before)
    tell(panel, "key", part, dx=0, dy=1, fine=False)
    assert pivot(panel) == pytest.approx((12.5, -6.875))
    tell(panel, "stop", part, way=1)
    assert "Arrow keys" in panel.hand.widget.says and pivot(panel) == pytest.approx((12.5, -6.875))
    tell(panel, "move", part, x=idler[0], y=idler[1])
    assert panel.state.fresh and arm(panel) > 0.0  # never on the idler itself
    tell(panel, "cancel", part)
    assert pivot(panel) == pytest.approx(PIVOT) and not panel.state.changes()
    assert panel._fields[f"{at}.pivot_x"].box.value == "13.0 in"


def test_the_far_end_of_a_slot_is_moved():
    at, part = "stage[crank belts].takeup", "take-up: slot"
    slot = {f"{at}.slot_x": "8 in", f"{at}.slot_y": "-5 in", f"{at}.pivot_x": "", f"{at}.pivot_y": ""}
    panel = layout_panel(load(DEMO).with_values({f"{at}.kind": "fixed idler", **slot}), None)
    assert (handle(panel, part)["x"], handle(panel, part)["y"]) == pytest.approx((8.0, -5.0))
    tell(panel, "take", part)
    tell(panel, "move", part, x=9.0, y=-6.0)
    assert {k: panel.state.texts[f"{at}.slot_{k}"] for k in "xy"} == {"x": "9 in", "y": "-6 in"}
    assert (handle(panel, part)["x"], handle(panel, part)["y"]) == pytest.approx((9.0, -6.0))


def test_the_stops_of_centres_are_moved_along_their_line_and_no_further_than_the_drawing():
    stage, inch = "second belts", 0.0254
    at = f"stage[{stage}].takeup"
    panel = layout_panel(build_of(TWO_BELTS, **{f"{at}.travel_out": "1 in"}), stage)
    grips = {p: handle(panel, f"take-up: {p}") for p in ("in", "out")}
    layout = panel.outcome.picture.layout
    # both are as far beside the line of centres, and as far apart along it as the centres travel
    assert math.dist(*((g["x"], g["y"]) for g in grips.values())) == pytest.approx(1.75)
    drawn = layout.as_drawn.places
    i, k = layout.pulleys.driver, layout.mover
    along = (drawn.x[k] - drawn.x[i], drawn.y[k] - drawn.y[i])
    along = tuple(a / math.hypot(*along) for a in along)
    for part, key, way in (("out", "travel_out", 1.0), ("in", "travel_in", -1.0)):
        x, y = grips[part]["x"], grips[part]["y"]
        tell(panel, "take", f"take-up: {part}")
        tell(panel, "move", f"take-up: {part}", x=x + way * 0.5 * along[0], y=y + way * 0.5 * along[1])
        assert panel.state.readings[f"{at}.{key}"].value.si / inch == pytest.approx(
            {"out": 1.5, "in": 1.25}[part], abs=1 / 64
        )
        tell(panel, "move", f"take-up: {part}", x=x - way * 5.0 * along[0], y=y - way * 5.0 * along[1])
        assert panel.state.readings[f"{at}.{key}"].value.si == 0.0 and handle(panel, f"take-up: {part}")
        tell(panel, "drop", f"take-up: {part}", x=x, y=y)
    assert panel.state.fresh

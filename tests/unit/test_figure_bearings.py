"""What the bearing figures draw: section to scale, readings and sizes, life against load, shaft with pulls."""

from __future__ import annotations

import numpy as np
import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.chapters.bearings.figure import BearingView, draw, picture_of
from jackshaft.chapters.bearings.load_figure import ShaftLineView, line_of
from jackshaft.drawing.pictures import pictures_of
from jackshaft.drawing.view import Candidate
from jackshaft.results import work_up

LBF, INCH = 4.4482216152605, 0.0254


def picture(name="rotor_bearings", bearing="A", **changes):
    return picture_of(work_up(load(name).with_values(changes), ("bearings",)), bearing)


@pytest.fixture(scope="module")
def rotor():
    return picture()


def drawn(what, **more):
    view = BearingView("test", what)
    view.draw(what, **more)
    return view


def test_section_is_to_scale(rotor):
    view = drawn(rotor)
    boxes = [r.get_bbox() for r in view.rings]
    assert max(b.y1 for b in boxes) == pytest.approx(2.834 / 2)
    assert min(b.y0 for b in boxes) == pytest.approx(-2.834 / 2)
    assert boxes[1].y0 == pytest.approx(1.375 / 2) and boxes[3].y1 == pytest.approx(-1.375 / 2)
    assert {round(b.width, 6) for b in boxes} == {0.669}
    assert view.shaft.get_height() == pytest.approx(1.375)
    assert view.section.get_aspect() == 1
    # the ball lies between the rings, half sunk in both
    ball = view.balls[0]
    assert ball.center[1] == pytest.approx((2.834 + 1.375) / 4)
    assert (
        1.375 / 2 < ball.center[1] - ball.radius < boxes[1].y1
        and boxes[0].y0 < ball.center[1] + ball.radius < 2.834 / 2
    )
    assert [t.get_text().replace("\n", " ") for t in view.sizes] == [
        "bore 1.3750 in",
        "outside 2.8340 in",
        "width 0.6690 in",
    ]


def test_dimension_arrows_span_what_they_name(rotor):
    view = drawn(rotor)
    ends = [a._posA_posB for a in view.measures]
    assert abs(ends[0][1][1] - ends[0][0][1]) == pytest.approx(1.375)
    assert abs(ends[1][1][1] - ends[1][0][1]) == pytest.approx(2.834)
    assert abs(ends[2][1][0] - ends[2][0][0]) == pytest.approx(0.669)


def test_strips_show_what_each_size_may_read(rotor):
    view = drawn(rotor)
    assert [t.get_text() for t in view.names[0][:2]] == ["6207-22", "6207"]
    # calipers are held to two thou either way (common practice), so the shaded band is that wide
    assert view.tools[0].get_x() == pytest.approx(-2) and view.tools[0].get_width() == pytest.approx(4)
    first, second = (view.bars[0][r].get_xdata() for r in (0, 1))
    # the same allowances, the second bore 2.95 thou larger (the salvaged rotor: 35 mm against 1-3/8 in)
    assert np.subtract(second, first) == pytest.approx([2.953, 2.953], abs=0.001)
    assert first[0] < 0 < first[1] and second[0] < 0 < second[1]
    assert all(view.bars[i][0].get_visible() for i in range(3))


def test_a_size_that_does_not_fit_is_red_and_pointed_at(rotor):
    from jackshaft.drawing import style

    view = drawn(rotor)
    third = view.bars[0][2]
    assert third.get_color() == style.STOP
    assert view.names[0][2].get_text().endswith(("←", "→"))
    assert view.bars[0][0].get_color() == style.GO


def test_life_point_and_lines(rotor):
    view = drawn(rotor)
    (x,), (y,) = view.life.point.get_data()
    # the salvaged rotor: 313 lbf, factor 1.5, 10 100 h, independent calculation
    assert x == pytest.approx(313 * 1.5, rel=0.002) and y == pytest.approx(10_100, rel=0.005)
    loads, hours = view.life.lines[1].get_data()
    assert hours[0] / hours[1] == pytest.approx((loads[1] / loads[0]) ** 3)
    half, twice = view.life.lines[0].get_ydata(), view.life.lines[2].get_ydata()
    assert half / hours == pytest.approx(2) and twice / hours == pytest.approx(0.5)
    assert view.life.wanted.get_ydata()[0] == pytest.approx(2000)
    assert [t.get_text() for t in view.life.legend.get_texts()] == ["1500 rpm", "3000 rpm", "6000 rpm"]
    assert view.life.end.get_ydata()[0] < y


def test_without_a_life_it_says_so():
    view = drawn(picture(**{"shaft[rotor].work_speed": ""}))
    assert not view.life.point.get_visible() and "No life yet" in view.life.none.get_text()
    assert "No life yet" in view.alt()


def test_a_reading_left_out():
    bare = picture(**{"bearing[A].width": ""})
    view = drawn(bare)
    assert view.titles[2].get_text() == "width not read" and not view.bars[2][0].get_visible()
    # the section takes the width of the size then
    assert view.rings[0].get_width() == pytest.approx(17 / 25.4)


def test_pins_and_banner(rotor):
    other = picture(**{"bearing[A].shock_factor": "2.5"})
    view = drawn(rotor, pinned=(Candidate("A", other, "#6a3d9a", (6, 2)),), stop="the ring is loose")
    assert view.life.lives[0].get_ydata()[0] == pytest.approx(2_180, rel=0.005)
    assert view.describe().startswith("does not work: the ring is loose.")
    view.draw(rotor)
    assert not view.life.lives[0].get_visible() and view.describe().startswith("Bearing A: read bore 1.3750 in")


def test_alt_holds_names_and_numbers(rotor):
    words = drawn(rotor).alt()
    for part in ("6207-22 75 %", "6207 25 %", "313 lbf times 1.5", "3000 rpm", "10100 h", "wanted 2000 h"):
        assert part in words


def test_metric_picture_has_no_inch():
    what = picture(shown_in="metric")
    view = drawn(what)
    text = view.svg() + view.alt()
    assert "thou" not in text and "lbf" not in text and " in<" not in text
    assert view.rings[0].get_width() == pytest.approx(0.669 * 25.4)


def test_shaft_line_balances_and_points_the_right_way():
    results = work_up(load("rotor_bearings"), ("bearings",))
    line = line_of(results.chapters["bearings"].data.shafts["rotor"], "inch")
    assert line.force.sum(axis=0) == pytest.approx([0, 0], abs=1e-9)
    view = ShaftLineView("test-line", line)
    view.draw(line)
    ax, seats, arrows, labels = view.planes[0]
    tips = {n: a._posA_posB[1][1] for n, a in zip(line.names, arrows, strict=True)}
    assert tips["belt pull"] < 0 < tips["A"] and tips["D"] < 0
    assert tips["A"] / -tips["belt pull"] == pytest.approx(313 / 240, rel=0.002)
    assert seats.get_xdata() == pytest.approx([0, 12])
    assert labels[2].get_text() == "A\n313 lbf"
    assert "bearing D pushes -27.0 lbf upward" in view.alt()


def test_labels_of_neighbours_do_not_cover_each_other():
    for name in (DEMO, "rotor_bearings"):
        results = work_up(load(name), ("bearings",))
        for found in results.chapters["bearings"].data.shafts.values():
            line = line_of(found, "inch")
            view = ShaftLineView("test-line", line)
            view.draw(line)
            view.png()
            for _ax, _seats, _arrows, labels in view.planes:
                boxes = [t.get_window_extent() for t in labels]
                for i, a in enumerate(boxes):
                    assert not any(a.overlaps(b) for b in boxes[:i]), [t.get_text() for t in labels]


def test_draw_yields_each_bearing_and_each_shaft():
    results = work_up(load("rotor_bearings"))
    yielded = [(t, part) for t, _, _, part in draw(results.chapters["bearings"], results)]
    assert yielded == [
        ("Bearing A: section, readings and life", "A"),
        ("Bearing D: section, readings and life", "D"),
        ("rotor: pulls and what the bearings carry", "rotor"),
    ]


def test_only_the_bearing_with_the_stop_is_drawn_as_not_working():
    found = pictures_of(work_up(load("rotor_bearings")), "bearings")
    assert [p.alt.startswith("does not work") for p in found] == [True, False, False]


@pytest.mark.parametrize("name, bearing", [("rotor_bearings", "A"), ("rotor_bearings", "D"), (DEMO, "engine side")])
def test_words_clear_each_other_in_the_larger_letters_of_a_phone(name, bearing):
    """On a phone the page makes every word 12.5 units high; none may then lie on another, nor leave the picture."""
    from matplotlib.text import Text

    view = drawn(picture(name, bearing))
    view.png()
    texts = [
        t
        for t in view.figure.findobj(Text)
        if t.get_visible() and t.get_text().strip() and (t.axes is None or t.axes.get_visible())
    ]
    for text in texts:
        lines = text.get_text().count("\n")
        text.set_linespacing(text._linespacing * text.get_fontsize() / 12.5 if lines else 1.0)
        text.set_fontsize(12.5)
    view.figure.canvas.draw()
    whole, boxes = view.figure.bbox, [(t.get_text(), t.get_window_extent()) for t in texts]
    seen = [
        (w, b) for w, b in boxes if b.width > 0 and 0 < b.x1 and b.x0 < whole.width and 0 < b.y1 and b.y0 < whole.height
    ]
    assert len(seen) > 30
    for i, (words, box) in enumerate(seen):
        assert box.x1 <= whole.width + 4, words
        for other, there in seen[:i]:
            overlap = min(box.x1, there.x1) - max(box.x0, there.x0), min(box.y1, there.y1) - max(box.y0, there.y0)
            # the boxes of letters hold room above and below them that no letter fills
            assert not (overlap[0] > 1 and overlap[1] > 0.35 * min(box.height, there.height)), (words, other)

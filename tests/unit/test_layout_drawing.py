"""The arrangement drawing of a loop: the belt as high as it is, dimensions of what is known, stops in their places."""

from pathlib import Path

import numpy as np
import pytest
from jackshaft.buildfile import load
from jackshaft.chapters.layout.figure import LayoutView, picture_of
from jackshaft.chapters.layout.outline_figure import band
from jackshaft.drawing.pictures import pictures_of
from jackshaft.drawing.placing import Placer, half_size, spread
from jackshaft.results import work_up

ROOT = Path(__file__).parents[2]
DEMO, TROMMEL = (ROOT / "data" / "builds" / f"{n}.toml" for n in ("feed_wagon_auger", "compost_trommel"))
CHIPPER, DECK = (ROOT / "tests" / "builds" / f"{n}.toml" for n in ("flywheel_chipper", "three_spindle_deck"))


def drawn(path, changes=None, *, rest=True):
    """The view of a build's first belt, drawn for a page, and its picture."""
    build = load(path).with_values(changes or {})
    results = work_up(build)
    picture = picture_of(results, next(iter(results.chapters["layout"].data)), rest=rest)
    view = LayoutView("drawing", picture)
    view.draw(picture)
    return view, picture


def seen(texts):
    return [t.get_text() for t in texts if t.get_visible() and t.get_text()]


@pytest.mark.parametrize("path", [DEMO, TROMMEL, CHIPPER, DECK], ids=lambda p: p.stem)
def test_the_belt_is_drawn_as_high_as_it_is(path):
    """By hand: a band of height h about a line has the area h times its middle line, which lies h/2 below the back."""
    layout = drawn(path)[1].layout
    p, belt = layout.pulleys, layout.belt
    off = np.where(p.inside, 1, -1) * (belt.cord_depth - belt.height / 2)
    middle = layout.path.span.sum() + ((p.pitch + off) * layout.path.wrap).sum()
    areas = [0.5 * abs(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1])) for x, y in (q.T for q in _finely(band(layout)))]
    assert max(areas) - min(areas) == pytest.approx(belt.height * middle, rel=2e-3)


def _finely(path):
    """The two outlines of a band as polygons."""
    grown = path.deepcopy()
    grown.vertices *= 1e5  # curves are flattened to a share of a dot
    return [q / 1e5 for q in grown.to_polygons(closed_only=True)]


def test_what_is_known_is_dimensioned():
    """Centre distance by Pythagoras from the places that the build gives: E 0, 0; J 18 in, 4 in."""
    view, _ = drawn(DEMO)
    assert seen(view.dimensions.words) == [f"{np.hypot(18, 4):.2f} in"]
    assert seen(view.dimensions.marks) == ["0 in", "7 in", "18 in", "−2.88 in", "0 in", "4 in"]
    # the trommel gives the centres and no places: there is no zero mark to measure from
    view, _ = drawn(TROMMEL)
    assert seen(view.dimensions.words) == ["600 mm"] and seen(view.dimensions.marks) == []


def test_dimensions_wait_until_the_hand_rests():
    view, _ = drawn(DEMO, rest=False)
    assert not any(a.get_visible() for a in view.dimensions.artists) and seen(view.spans) == []
    assert [n.split()[0] for n in seen(view.names)] == ["E", "I", "J"]


def test_every_name_and_wrap_is_outside_its_rim():
    """On all four machines, at both widths."""
    inside = []
    for path in (DEMO, TROMMEL, CHIPPER, DECK):
        view, picture = drawn(path)
        view.html()
        for one in (view, view._twin):
            for text, centre, rim, name in zip(
                one.names, picture.centres, picture.rim, picture.layout.pulleys.names, strict=True
            ):
                half = half_size(text.get_text(), text.get_fontsize(), bold=True) * one.point
                near = np.clip(centre, text.get_position() - half, text.get_position() + half)
                if np.hypot(*(near - centre)) < rim or "°" not in text.get_text() or not text.get_visible():
                    inside.append((path.stem, one.name, name))
    assert inside == []


def test_tight_and_slack_are_told_apart_without_colour():
    """A tight strand is filled, a slack one has a dashed line in it; both say so."""
    view, picture = drawn(DEMO)
    assert {int(r) for r in picture.role} == {1, -1}
    assert len(view.filled.get_path().vertices) == 4 * (picture.role > 0).sum()
    assert np.isnan(view.slack.get_xdata()).sum() == (picture.role < 0).sum()
    assert {t.split()[-1] for t in seen(view.spans)} == {"tight", "slack"}
    assert "filled: tight" in view.caption.get_text()


def test_the_stops_of_a_take_up_stand_at_the_ends_of_its_travel_or_not_at_all():
    at = "stage[belt].takeup"
    view, picture = drawn(TROMMEL, {f"{at}.travel_in": "40 mm", f"{at}.travel_out": "30 mm"})
    assert np.ptp(view.way.get_xydata(), axis=0) == pytest.approx([70.0, 0.0])
    bars = view.stops.get_xydata()[[0, 3], 0] - picture.centres[picture.layout.pulleys.driver, 0]
    assert sorted(bars) == pytest.approx([560.0, 630.0]) and "bars its stops" in view.caption.get_text()
    # nobody has said where the demo's arm ends
    view, _ = drawn(DEMO)
    assert len(view.way.get_xdata()) and not len(view.stops.get_xdata()) and "swings" in view.caption.get_text()


def test_what_is_not_known_is_not_drawn():
    """Without the section the belt is a line and no groove has a bottom; without the diameter no shaft is drawn."""
    at = "stage[crank belts]"
    pitch = {f"{at}.pulley[{n}].measured_as": "pitch" for n in "EIJ"}
    view, picture = drawn(DEMO, {f"{at}.section": "", f"{at}.marked": "", f"{at}.length": "", **pitch})
    assert not view.band.get_visible() and view.belt.get_visible() and np.isnan(picture.grooves).all()
    assert "not known" in view.sizes.get_text() and "filled" not in view.caption.get_text()
    with_shaft, without = (drawn(DEMO, change)[1].shafts[0] for change in ({}, {"engine.shaft_diameter": ""}))
    assert 0 < with_shaft < picture.layout.pulleys.outside[0] and np.isnan(without)


def test_words_beside_a_scale_keep_their_gap_and_their_order():
    for wanted in ([0, 1, 2, 3], [10, 10.5, 90], [96, 97, 98], [50], []):
        at = spread(np.array(wanted, float), 11.0, 5.0, 95.0)
        assert (np.diff(at) >= 11.0 - 1e-9).all() and (at >= 5.0 - 1e-9).all() and (at <= 95.0 + 1e-9).all()


def test_words_do_not_lie_on_what_is_placed():
    placer = Placer(np.array([100.0, 100.0]), np.zeros((0, 2)), np.zeros((0, 2)), np.zeros(0))
    half, spots = np.array([10.0, 5.0]), np.array([[50.0, 50.0], [50.0, 70.0], [95.0, 50.0]])
    at, covers = placer.put(spots, np.array([0.0, 5.0, 1.0]), half)
    assert tuple(at) == (50.0, 50.0) and covers == 0
    placer.take(at, half)
    assert tuple(placer.put(spots, np.array([0.0, 5.0, 1.0]), half)[0]) == (50.0, 70.0)


def test_what_is_known_is_drawn_while_a_pulley_has_no_place():
    build = load(DEMO).with_values({f"stage[crank belts].pulley[I].{c}": "" for c in "xy"})
    (picture,) = pictures_of(work_up(build), "layout")
    assert picture.title == "crank belts, as far as it is known" and len(picture.png) > 2000
    assert "drawn are E, J. Not placed yet: I. Missing: centre, to the right" in picture.alt
    # with no place at all there is nothing to draw
    nowhere = build.with_values({f"stage[crank belts].pulley[{p}].{c}": "" for p in "EJ" for c in "xy"})
    assert pictures_of(work_up(nowhere), "layout") == ()

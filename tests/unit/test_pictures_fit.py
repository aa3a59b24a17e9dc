"""Words in a picture: none is cut off and none lies on another, on a page and on a phone."""

import re
from pathlib import Path

import pytest
from jackshaft.buildfile import load
from jackshaft.drawing import style
from jackshaft.results import chapters, work_up
from matplotlib.backends.backend_agg import FigureCanvasAgg

MACHINES = Path(__file__).parents[1] / "builds"
CHIPPER, DECK = MACHINES / "flywheel_chipper.toml", MACHINES / "three_spindle_deck.toml"
BUILDS = [CHIPPER, DECK, *sorted((Path(__file__).parents[2] / "data" / "builds").glob("*.toml"))]
#: Dots of a picture of 100 to the inch that two words may share, or stand over the edge: the air round letters.
AIR = 3.0
#: The other pictures are shown as wide as on a page and swiped.
LIVE = ("guards", "ratio", "layout", "grip", "electric", "clutch", "bearings", "shafts", "chain")


def views(build, chapter):
    """Yield each view of a chapter that a panel shows, drawn for a page; ``html`` draws it for a phone."""
    results = work_up(build)
    found, figure = results.chapters.get(chapter), chapters()[chapter].part("figure")
    if found is None or found.data is None:
        return
    for _, view, picture, *_ in figure.draw(found, results):
        if type(view).__name__ in ("TagView", "WiringView", "ShaftLineView"):
            continue
        view.draw(picture)
        yield view


def drawn(build, chapter):
    """Yield each view as drawn for a page and for a phone."""
    for view in views(load(build), chapter):
        # a colour that is written as it is would stay light in a dark theme; the banner is the same in both
        assert set(re.findall(r"(?<!,)#[0-9a-f]{6}\b", view.html())) <= {style.BANNER, "#ffffff"}
        yield from (view, view._twin)


def boxes(view):
    """Return the words of a view with the boxes round them, in dots."""
    with style.drawing(view.name):
        view.figure.dpi = 100
        renderer = FigureCanvasAgg(view.figure).get_renderer()
        view.figure.draw(renderer)
        return [(t.get_text(), t.get_window_extent(renderer)) for t in _seen(view.figure) if t.get_text().strip()]


def _seen(figure):
    """Return the words that are drawn; a scale keeps figures beyond its ends, which are not."""
    found = [t for t in figure.texts if t.get_visible()]
    for axes in (a for a in figure.axes if a.get_visible()):
        found += [t for t in axes.texts if t.get_visible()]
        legend = axes.get_legend()
        found += legend.get_texts() if legend is not None and legend.get_visible() else []
        if not axes.axison:
            continue
        found += [axes.xaxis.label, axes.yaxis.label, axes.title]
        for axis in (axes.xaxis, axes.yaxis):
            low, high = sorted(axis.get_view_interval())
            found += [t.label1 for t in axis.get_major_ticks() if low <= t.get_loc() <= high and t.label1.get_visible()]
    return found


def faults(view):
    """Yield what is cut off, and what lies on something else."""
    words, (width, height) = boxes(view), 100 * view.figure.get_size_inches()
    for text, box in words:
        if box.x0 < -AIR or box.y0 < -AIR or box.x1 > width + AIR or box.y1 > height + AIR:
            yield f"cut off: {text}"
    for i, (one, a) in enumerate(words):
        for other, b in words[i + 1 :]:
            if min(a.x1, b.x1) - max(a.x0, b.x0) > AIR and min(a.y1, b.y1) - max(a.y0, b.y0) > AIR:
                yield f"on each other: {one} | {other}"


@pytest.mark.parametrize("chapter", LIVE)
@pytest.mark.parametrize("build", BUILDS, ids=lambda path: path.stem)
def test_no_word_is_cut_off_or_lies_on_another(build, chapter):
    """Seen: enlarged letters of the circuit's joints lay on each other on a phone, and the weakest place was cut."""
    assert {(v.name, f) for v in drawn(build, chapter) for f in faults(v)} == set()


def test_a_scale_with_nothing_on_it_is_not_shown():
    """Seen: an empty plot of what the belt holds, and one of a bearing's life, in the record."""
    demo = load(BUILDS[0].parents[2] / "data" / "builds" / "feed_wagon_auger.toml")
    bare = demo.with_values(
        {"stage[crank belts].takeup.slack_tension": "", "bearing[chain side].bore": "", "work.power": "3.5 hp"}
    )
    grip = next(v for v in views(bare, "grip") if v.name == "grip-0")
    assert not grip.plot.get_visible() and "tension not known yet" in grip.holds.get_text()
    bearing = next(v for v in views(bare, "bearings") if v.name == "bearing-1")
    assert [s.get_visible() for s in bearing.strips] == [False, True, True]
    assert "not read" in bearing.titles[0].get_text()
    assert not bearing.life.axes.get_visible() and bearing.life.none.get_text()
    there = next(v for v in views(demo, "bearings") if v.name == "bearing-1")
    assert there.life.axes.get_visible() and not there.life.none.get_text()


def test_a_phone_gets_the_picture_that_is_drawn_for_it():
    """The same names and numbers; letters as large in the narrow picture as in the wide one."""
    for view in views(load(BUILDS[0]), "chain"):
        html = view.html()
        wide, narrow = html.split('<div class="jk-phone">')
        assert wide.startswith('<div class="jk-wide"><svg') and narrow.startswith("<svg")
        assert view._twin.figure.get_figwidth() == view.phone[0] < view.figure.get_figwidth()
        sizes = [{t.get_fontsize() for t in v.values if t.get_visible()} for v in (view, view._twin)]
        assert sizes[0] == sizes[1]
        # what is referred to inside one of them is never found in the other
        marks = [set(re.findall(r"#([mp][0-9a-f]{6,})", part)) for part in (wide, narrow)]
        assert all(marks) and not marks[0] & marks[1]

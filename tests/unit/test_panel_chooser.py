"""The list over a panel that is about one of several parts."""

from types import SimpleNamespace

import pytest
from jackshaft.bench import Bench
from jackshaft.buildfile import load, parse
from jackshaft.ui.base import Panel
from jackshaft.ui.chooser import Chooser
from jackshaft.ui.elements import box, html


def two_belts():
    """Return the demo build with two more belt stages; of the last nothing is known."""
    build = load("feed_wagon_auger")
    pulley = '[[stage.pulley]]\nname = "{0}"\nx = "{1}"\ny = "0 in"\ndiameter = "{2}"\nmeasured_as = "datum"\n\n'
    more = '\n[[stage]]\nname = "second"\nkind = "belt"\nfrom = "jackshaft"\nsection = "A"\n'
    more += 'driver = "p"\ndriven = "q"\n\n'
    more += pulley.format("p", "0 in", "4 in") + pulley.format("q", "18 in", "6 in")
    return parse((build.text + more + '[[stage]]\nname = "third"\nkind = "belt"\n').encode(), file="two.toml")


def test_the_list_shows_each_belt_stage_and_keeps_what_was_moved():
    chooser = Bench(two_belts()).panel("layout")
    assert isinstance(chooser, Chooser) and chooser.drop.options == ("crank belts", "second", "third")
    first = chooser.panel
    key = "stage[crank belts].pulley[E].diameter"
    first.set(key, "5 in")
    chooser.choose("second")
    assert chooser.panel.title == "Try the layout: second" and chooser.widget.children == (chooser.panel.widget,)
    assert chooser.drop in chooser.panel.widget.children
    assert not any(id.startswith("stage[crank belts]") for id in chooser.panel.state.controls)
    # of the third too little is known; the list stays, and the page says why
    chooser.choose("third")
    (instead,) = chooser.widget.children
    assert chooser.drop in instead.children and "No panel here" in instead.children[-1].value
    chooser.choose("crank belts")
    assert chooser.panel is first and first.state.changes() == {key: "5 in"}


def test_what_is_stored_follows_the_part_that_is_shown():
    chooser = Bench(two_belts()).panel("layout")
    first, told = chooser.panel, []
    first._stored = SimpleNamespace(update=lambda title, state, view: told.append(title))
    chooser.choose("second")
    assert told == ["Try the layout: second"] and first._stored is None
    chooser.choose("crank belts")
    assert told[-1] == "Try the layout: crank belts"


def test_one_part_needs_no_list():
    build = load("feed_wagon_auger")
    assert isinstance(Bench(build).panel("layout"), Panel)
    assert isinstance(Bench(two_belts()).panel("layout", "second"), Panel)


def test_the_first_part_that_has_a_panel_is_shown_first():
    def make(build, name):
        if name != "c":
            raise ValueError(f"nothing is known of {name}")
        return SimpleNamespace(build=build, widget=box("jk-panel", [html("jk-head")]))

    assert Chooser("Part", ("a", "b", "c"), make, None).drop.value == "c"
    with pytest.raises(ValueError, match="nothing is known of a"):
        Chooser("Part", ("a", "b"), make, None)

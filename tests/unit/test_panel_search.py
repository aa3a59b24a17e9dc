"""The search panel: what is asked, what is shown, looking and keeping; with no browser and mostly no widgets."""

from __future__ import annotations

import asyncio
import re

import numpy as np
import pytest
from jackshaft.buildfile import load
from jackshaft.buildfile.candidates import stored, tried
from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.search import NothingCanWork
from jackshaft.search.controller import GROUPS, SearchController
from jackshaft.search.figure import SearchPicture, SearchView
from jackshaft.search.found import check
from jackshaft.search.panel import SearchPanel
from jackshaft.search.panel import panel as search_panel
from jackshaft.search.shown import plain, stored_html, table_html
from jackshaft.ui.trouble import NotKept
from loops import outside, outside_at
from shaft_builds import TWO_BELTS, build_of

STAGE = "loop"
FEW = 60_000


@pytest.fixture(scope="module")
def desk():
    made = SearchController(outside(), STAGE)
    made.search(FEW)
    return made


def test_every_field_is_a_key_and_shows_what_the_build_says():
    desk = SearchController(outside().with_values({f"stage[{STAGE}].search.zone_left": "9 in"}), STAGE)
    assert desk.texts["search.zone_left"] == "9 in" and desk.texts["tension"] == "30 lbf"
    assert desk.changes() == {}
    assert len({k for _, fields in GROUPS for k, *_ in fields}) == len(desk.texts) == 15


def test_the_table_names_the_best_of_each_column_in_words(desk):
    rows = desk.rows()
    assert [r.letter for r in rows[:2]] == ["now", "A"] and len(rows) == len(desk.found) + 1
    margins = {r.letter: float(r.cells[0].split()[0]) for r in rows[1:]}
    best = {r.letter for r in rows[1:] if r.best[0]}
    assert best == {k for k, v in margins.items() if v == max(margins.values())}
    hubs = {r.letter: float(r.cells[1].split()[0]) for r in rows[1:]}
    assert {r.letter for r in rows[1:] if r.best[1]} == {k for k, v in hubs.items() if v == min(hubs.values())}
    # One belt everywhere: a best that all share is none.
    assert len({r.cells[2] for r in rows[1:]}) > 1 or not any(r.best[2] for r in rows)
    html = table_html(desk)
    assert html.count("<strong>best</strong>") == sum(sum(r.best) for r in rows) > 0


def test_the_build_as_it_is_stands_first_with_its_own_numbers(desk):
    now = desk.rows()[0]
    alone = check(outside(), STAGE)
    assert now.cells[0] == f"{alone.margin_bad:.2f} ×" and now.cells[1] == f"{alone.hub / 4.4482216:.0f} lbf"
    assert now.cells[5] == "AA80"


def test_a_row_is_opened_and_is_the_layout_that_was_found(desk):
    for one in desk.found:
        alone = desk.look(one.letter)
        assert alone.margin_bad == pytest.approx(one.values["margin_bad"], rel=1e-6)
        assert desk.picture().chosen == one.letter
    with pytest.raises(ValueError, match="no layout Z"):
        desk.look("Z")


def test_the_picture_shows_what_was_kept(desk):
    picture = desk.picture()
    assert len(picture.margin) == len(desk.run.front) and picture.tried == desk.run.tried
    for letter, row in picture.letters:
        assert picture.margin[row] == desk.layout(letter).values["margin_bad"]
    view = SearchView("test-search")
    view.draw(picture)
    words = view.describe()
    assert f"{len(picture.margin)} layouts kept of {picture.tried} tried" in words
    assert f"The build now: grip {check(outside(), STAGE).margin_bad:.2f}" in words
    seen = sum(len(view.open[0].get_xdata()) + len(view.filled[0].get_xdata()) for _ in (0,))
    assert seen == len(picture.margin)
    assert view.open[0].get_ydata() == pytest.approx(picture.margin[picture.bought > 0])
    assert {t.get_text() for t in view.names[1] if t.get_visible()} == {one.letter for one in desk.found}
    assert view.now[0].get_xdata() == pytest.approx([picture.now[1] / 4.4482216], rel=1e-6)
    assert len(view.png()) > 1000 and "<svg" in view.svg()


def test_the_picture_of_nothing_says_so():
    none = np.zeros(0)
    view = SearchView("test-empty")
    view.draw(SearchPicture(none, none, none, none, (), None, 1.0, "", 500, "metric"))
    assert view.describe() == "No layout holds, of 500 tried."


def test_metric_builds_are_shown_in_metric():
    at = "stage[belt]"
    desk = SearchController(
        load("compost_trommel").with_values(
            {
                f"{at}.takeup.kind": "adjustable centres",
                f"{at}.takeup.static_tension": "500 N",
                f"{at}.takeup.travel_in": "40 mm",
                f"{at}.takeup.travel_out": "40 mm",
                f"{at}.search.belts_most": 4,
            }
        ),
        "belt",
    )
    desk.search(FEW)
    assert desk.found
    text = plain("x", desk)
    assert re.search(r"\d+ mm × \d+ mm", text) and re.search(r"hub load \d+ N", text)
    assert not re.search(r"\d in\b|lbf|\bft\b|inch", text)
    view = SearchView("test-metric")
    view.draw(desk.picture())
    assert "N" in view.axes[0].get_xlabel() and "m²" in view.axes[1].get_xlabel()


def test_plain_text_is_the_same_every_time_and_has_a_line_a_layout(desk):
    again = SearchController(outside(), STAGE)
    again.search(FEW)
    assert plain("x", again) == plain("x", desk)
    lines = plain("x", desk).splitlines()
    assert [x[0] for x in lines if re.match("[A-H]: ", x)] == [one.letter for one in desk.found]
    assert "<script" not in stored_html("x", desk) and "best" in stored_html("x", desk)


def test_a_layout_is_kept_as_a_candidate_and_made_the_build_with_what_was_asked(tmp_path):
    desk = SearchController(outside_at(tmp_path), STAGE)
    before = fingerprint(desk.build)
    desk.texts |= {"search.zone_left": "10 in", "search.idlers_most": "2", "tension": "32 lbf"}
    desk.search(FEW)
    for letter in ("A", "B"):
        with pytest.raises(NotKept, match="wanted a name"):
            desk.store(letter, " ", "", page="search")
        desk.store(letter, f"layout {letter}", "it rubs", page="search")
        kept = load(tmp_path / "outside.toml")
        one = stored(kept)[-1]
        assert (one.name, one.reason, one.page) == (f"layout {letter}", "it rubs", "search")
        assert one.found.split(":")[0] == desk.checked[letter][0].verdict and fingerprint(kept) == before
        trial, changes = tried(kept, one)
        assert check(trial, STAGE).margin_bad == pytest.approx(desk.layout(letter).values["margin_bad"], rel=1e-6)
        assert trial.get(f"stage[{STAGE}].takeup.slack_tension").text == "32 lbf"
        assert not [k for k in changes if ".search." in k]
    with pytest.raises(NotKept, match="layout A"):
        desk.store("B", "layout A", "", page="search")
    one = desk.layout("B")
    words = desk.make("B")
    kept = load(tmp_path / "outside.toml")
    assert "Layout B is the build now" in words and "again" in words
    assert kept.values == desk.build.values and kept.get(f"stage[{STAGE}].takeup.slack_tension").text == "32 lbf"
    assert kept.get(f"stage[{STAGE}].search.idlers_most") == 2
    assert check(kept, STAGE).margin_bad == pytest.approx(one.values["margin_bad"], rel=1e-6)
    assert kept.names(f"stage[{STAGE}].pulley")[0] == "E" and "A loop with its driven pulley outside" in kept.text
    # The search can go on from there.
    assert desk.changes() == {}
    desk.search(2000)


def test_what_was_changed_meanwhile_stays(tmp_path):
    desk = SearchController(outside_at(tmp_path), STAGE)
    desk.search(FEW)
    path = tmp_path / "outside.toml"
    path.write_text(path.read_text(encoding="utf-8") + "# somebody else\n", encoding="utf-8")
    desk.make("A")
    assert "# somebody else\n" in path.read_text(encoding="utf-8")
    assert load(path).values == desk.build.values


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("search.idler_sizes", "4 rpm", "4 rpm"),
        ("search.zone_left", "4 lbf", "zone_left"),
        ("search.driven_sizes", "9 in", "no pair of sizes"),
        ("search.idlers_most", "7", "idlers_most"),
        ("tension", "", "not known"),
    ],
)
def test_what_is_wrong_is_said_and_no_old_answer_stays(name, text, words):
    desk = SearchController(outside(), STAGE)
    desk.search(5000)
    desk.texts[name] = text
    with pytest.raises(ValueError, match=words):
        desk.start()
    assert desk.run is None and desk.found == () and desk.rows() == () and desk.progress() == ""


def test_nothing_found_says_why_and_what_would_help():
    desk = SearchController(build_of(TWO_BELTS), "second belts")
    desk.search(5000)
    assert desk.found == () and "times as high" in desk.notes()[0]
    assert "times as high" in plain("x", desk)


def test_a_build_without_a_belt_says_so():
    with pytest.raises(ValueError, match="no belt"):
        search_panel(load("rotor_bearings"))
    with pytest.raises(ValueError, match="no belt stage is called 'x'"):
        search_panel(load("drum_mixer"), "x")
    panel = search_panel(load("drum_mixer"))
    assert "Run the page to move it" in panel.bundle()["text/html"].splitlines()[0]
    assert "not searched" in panel.bundle()["text/plain"] and "tension" in panel._alert.value
    with pytest.raises(NothingCanWork):
        panel.controller.start()


# -- the skin ---------------------------------------------------------------------------------------


def made() -> SearchPanel:
    return SearchPanel(outside(), STAGE)


def test_start_without_a_loop_searches_to_the_end():
    panel = made()
    panel.tries.value = "20000"
    panel.fields["search.zone_left"].value = "10 in"
    panel.start()
    assert "done: 20000 of 20000" in panel._bar.value and panel._stop.disabled and not panel._start.disabled
    assert len(panel._looks.children) == len(panel.controller.found) and panel._alert.value == ""
    panel.look("A")
    assert "Layout A." in panel._drawn.value and "worked up alone" in panel._judged.value
    assert "Candidates overlaid: the build now" in panel._drawn.value
    assert panel._make_it.description == "Make A the build"


def test_start_and_stop_on_a_loop_keep_what_was_found():
    async def work():
        panel = made()
        panel.tries.value = "100000000"
        panel.start()
        assert not panel._stop.disabled and panel._start.disabled
        for _ in range(200):
            await asyncio.sleep(0.05)
            if panel.controller.run.tried > 0 and len(panel.controller.run.front) > 2:
                break
        assert "searching" in panel._bar.value
        panel.stop()
        return panel

    panel = asyncio.run(work())
    assert panel.controller.run.stopped and 0 < panel.controller.run.tried < 100_000_000
    assert "stopped" in panel._bar.value and len(panel.controller.found) >= 3 and "jk-compare" in panel._table.value
    assert panel._stop.disabled and not panel._start.disabled and not panel._thread.is_alive()


def test_a_search_that_ends_by_itself_is_shown():
    async def work():
        panel = made()
        panel.tries.value = "30000"
        panel.start()
        for _ in range(200):
            await asyncio.sleep(0.05)
            if panel._pending is None:
                return panel

    panel = asyncio.run(work())
    assert "done: 30000" in panel._bar.value and len(panel.controller.found) > 1


def test_a_fault_in_the_search_is_shown(monkeypatch):
    from jackshaft.search import Run

    async def work():
        panel = made()

        def broken(self, *_):
            raise ZeroDivisionError("spoiled")

        monkeypatch.setattr(Run, "step", broken)
        panel.start()
        for _ in range(200):
            await asyncio.sleep(0.02)
            if panel._pending is None:
                return panel

    assert "ZeroDivisionError: spoiled" in asyncio.run(work())._alert.value


@pytest.mark.parametrize("text", ["", "many", "0", "-5", "1e9", "999999999999"])
def test_a_bad_number_of_tries_is_refused(text):
    panel = made()
    panel.tries.value = text
    panel.start()
    assert "whole number" in panel._alert.value


def test_the_cell_run_again_ends_the_older_search():
    first = made()
    first.controller.start(10_000_000)
    second = made()
    assert first.controller.run.stopped and not second.controller.run.stopped

"""Ten loops of different kinds: what the search says of each layout it offers is what the pages say once it is kept."""

import shutil

import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED, worst
from jackshaft.search.controller import SearchController
from jackshaft.search.shown import table_html
from loops import outside_at

AUGER, LOOP = "crank belts", "loop"
NO_ARM = {"takeup.pivot_x": "", "takeup.pivot_y": ""}
BY_HAND = {"takeup.slack_tension": "", "takeup.static_tension": "70 lbf"}
AROUND = {"zone_left": "8 in", "zone_right": "20 in", "zone_low": "-12 in", "zone_high": "12 in"}
AROUND = {f"search.{k}": v for k, v in AROUND.items()} | {"search.driven_sizes": "12 in, 13 in"}
#: Stage, what is changed below it, what is changed elsewhere.
LOOPS = {
    "as it is": (AUGER, {}, {}),
    "metric": (AUGER, {"search.idler_sizes": "125 mm, 160 mm, 180 mm"}, {"shown_in": "metric"}),
    "one belt, more power": (AUGER, {"search.belts_most": 1}, {"work.power": "4 hp"}),
    "little tension": (AUGER, {"takeup.slack_tension": "22 lbf", "search.margin_least": "0.8"}, {}),
    "another section": (AUGER, {"section": "AX", "marked": "AX60"}, {}),
    "set by hand, no way yet": (AUGER, {"takeup.kind": "fixed idler", **NO_ARM, **BY_HAND}, {}),
    "set by hand, on an arm": (AUGER, {"takeup.kind": "fixed idler", **BY_HAND}, {}),
    "a post": (AUGER, {"body": ("post",)}, {}),
    "driven outside": (LOOP, AROUND, {}),
    "driven outside, sizes": (LOOP, {**AROUND, "search.driver_sizes": "4.6 in to 5.6 in by 0.2 in"}, {}),
}
#: What the search asks for by itself.
ASKED = ("layout.path", "layout.length", "layout.clearance", "layout.take-up", "grip.margin")


def desk_of(name, folder):
    """Return the search of a loop whose build stands in a file, and the stage."""
    stage, below, elsewhere = LOOPS[name]
    if stage == LOOP:
        build = load(outside_at(folder).path)
    else:
        build = load(shutil.copy(load(DEMO).path, folder / "loop.toml"))
    at = f"stage[{stage}]"
    build = build.save_values({**elsewhere, **{f"{at}.{k}": v for k, v in below.items()}})
    if "body" in below:
        body = {"x": "6 in", "y": "-7 in", "diameter": "1 in"}
        build = build.save_values({f"{at}.body[post].{k}": v for k, v in body.items()})
    return SearchController(build, stage), stage


@pytest.mark.parametrize("name", LOOPS)
def test_what_is_said_of_an_offer_is_what_the_pages_say_of_it_once_kept(name, tmp_path):
    desk, stage = desk_of(name, tmp_path)
    desk.search(8_000)
    rows = {row.letter: row for row in desk.rows()}
    assert desk.found, desk.notes()
    for one in desk.found[:3]:
        another, _ = desk_of(name, tmp_path)
        another.search(8_000)
        another.make(one.letter)
        results = work_up(load(another.build.path))
        mine = [
            c
            for c in results.checks
            if c.chapter in ("layout", "grip", "capacity") and c.id.partition("[")[2].startswith(stage)
        ]
        row = rows[one.letter]
        assert row.verdict == worst(mine) != STOP, (one.letter, row.why)
        if row.verdict in (CAUTION, UNDECIDED):
            told = [c.name.split(": ", 1)[-1] for c in mine if c.verdict == row.verdict]
            assert told and all(words in row.why for words in told), (told, row.why)
        verdicts = {c.id.partition("[")[0]: c.verdict for c in mine}
        no_way = name == "set by hand, no way yet"
        asked = {id: GO for id in ASKED} | (
            {"layout.take-up": UNDECIDED, "layout.clearance": UNDECIDED} if no_way else {}
        )
        if name == "little tension":
            del asked["grip.margin"]  # less than the work is asked for there
        assert {id: verdicts[id] for id in asked} == asked
        assert no_way <= any("not judged" in note for note in desk.notes())


def test_what_the_pages_say_stands_in_the_table(tmp_path):
    desk, _ = desk_of("as it is", tmp_path)
    desk.search(4_000)
    for row in desk.rows():
        assert not row.why or row.why.replace("×", "") in table_html(desk).replace("×", "")


def test_what_a_page_stops_is_left_out_and_counted(tmp_path):
    """Seen: layouts that just grip the work were offered first, and slip at the peak, which is 2.2 times the work."""
    desk, _ = desk_of("little tension", tmp_path)
    desk.search(8_000)
    assert desk.found and all(row.verdict != STOP for row in desk.rows() if row.letter != "now")
    assert desk.left_out and any(note.startswith(f"{desk.left_out} more") for note in desk.notes())
    assert [one.letter for one in desk.found] == list("ABCDEFGHIJKL"[: len(desk.found)])

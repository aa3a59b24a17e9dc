"""What is said of a belt whose parts are called by what they are; each test names what was read on the page."""

import re

import numpy as np
import pytest
from builders import check_of, data
from jackshaft.buildfile import parse
from jackshaft.buildfile.naming import holds, named, titled
from jackshaft.chapters.grip.figure import GripPicture, GripView, picture_of
from jackshaft.chapters.grip.tension import short_of
from jackshaft.chapters.grip.uncertainty import BINS, scale_top
from jackshaft.results import work_up
from jackshaft.results.checks import UNDECIDED
from jackshaft.results.reader import Reader

TEXT = """
schema = 1
name = "Blower"
shown_in = "inch"

[engine]
kind = "petrol engine"
rated_power = "6.5 hp"
rated_speed = "3600 rpm"
work_speed = "3600 rpm"
turns = "clockwise"
seen_from = "facing the engine's output shaft"

[work]
name = "blower"
shaft = "rotor shaft"
speed_least = "1200 rpm"
speed_most = "1400 rpm"
power = "4 hp"
power_at = "rotor shaft"
turns = "clockwise"
seen_from = "facing the engine's output shaft"
peak_factor = "2.5"

[clutch]
kind = "electromagnetic"
shaft = "engine"
static_torque = "60 lbf·ft"

[[shaft]]
name = "rotor shaft"

[[stage]]
name = "belt"
kind = "belt"
from = "engine"
to = "rotor shaft"
section = "B"
centres = "16 in"
driver = "engine pulley"
driven = "rotor pulley"
belts = 2
marked = "B65"

[stage.takeup]
kind = "adjustable centres"
travel_in = "0.5 in"
travel_out = "0.5 in"
static_tension = "85 lbf"

[[stage.pulley]]
name = "engine pulley"
diameter = "5.75 in"
measured_as = "outside"

[[stage.pulley]]
name = "rotor pulley"
diameter = "15.75 in"
measured_as = "outside"
"""


@pytest.fixture(scope="module")
def build():
    return parse(TEXT.encode(), file="blower.toml")


@pytest.fixture(scope="module")
def results(build):
    return work_up(build)


def cells(results):
    for chapter in results.chapters.values():
        for table in chapter.tables:
            yield from ((table.title, str(cell)) for row in table.cells for cell in row)


@pytest.mark.parametrize(
    ("kind", "name", "words"),
    [
        ("pulley", "E", "pulley E"),
        ("pulley", "rotor pulley", "rotor pulley"),
        ("Pulley", "engine pulley", "Engine pulley"),
        ("Belt stage", "belt", "Stage belt"),
        ("Belt stage", "Stage 2", "Belt Stage 2"),
        ("stage", "belt", "stage belt"),
        ("pulley", "pulleys", "pulley pulleys"),
    ],
)
def test_a_kind_that_the_name_holds_is_left_out(kind, name, words):
    assert named(kind, name) == words


def test_a_title_says_the_kind_once():
    assert (
        titled("crank", "belt", "length") == "crank: belt length" and titled("belt", "belt", "length") == "belt: length"
    )
    assert holds("Drive Belt", "belt") and not holds("beltway", "belt")


def test_no_sentence_says_the_kind_of_a_part_twice(results):
    """Read: 'Pulley engine pulley', 'pulley rotor pulley', 'belt: belt length', 'One belt of belt'."""
    texts = [f"{c.name} | {c.reason} | {c.remedy}" for c in results.checks] + [c for _, c in cells(results)]
    for chapter in results.chapters.values():
        texts += [f"{f.label} | {f.found} | {f.note}" for f in chapter.facts]
    twice = re.compile(r"pulley (engine|rotor) pulley|belt: belt (?!and)|belt of belt", re.IGNORECASE)
    assert len(texts) > 100 and not [t for t in texts if twice.search(t)]
    assert "Engine pulley slips first." in check_of(results, "grip.margin[belt]").reason


def test_a_reckoned_load_has_three_digits_and_a_typed_one_as_typed(results):
    """Read: '6.90922 × work'. 60 lbf·ft, of which new faces give seven tenths, over what the work takes."""
    shown = [cell for title, cell in cells(results) if cell.endswith("× work")]
    assert "2.5 × work" in shown and all(len(re.sub(r"\D", "", s)) <= 3 for s in shown), shown


def test_a_fraction_of_an_inch_has_its_unit(results):
    """Read: '0.237 in (15/64)'. The strand is 15.2 in long and pushed by 1/64 of that."""
    shown = [cell for _, cell in cells(results) if cell.startswith("0.23") and "/64" in cell]
    assert shown and all(cell.endswith("/64 in)") for cell in shown)
    # read on a first-run sheet: '1.080 in (69/64 in)'
    reader = Reader(parse(b'schema = 1\nname = "rule"\n', file="rule.toml"))
    assert [short_of(reader, d * 0.0254).shown for d in (0.72, 1.08)] == ["0.720 in (23/32 in)", "1.080 in (1-5/64 in)"]


def test_where_no_idler_has_room_one_sentence_says_so(results):
    """Read: a table of four rows that all said 'no room for it'."""
    chapter = results.chapters["grip"]
    assert not [t for t in chapter.tables if "one more idler" in t.title]
    fact = next(f for f in chapter.facts if "one more idler" in f.label)
    assert "no strand has room" in fact.note


@pytest.mark.parametrize(
    ("gone", "words"),
    [
        (("engine.work_speed", "engine.rated_speed"), "The speed of the work is not known yet."),
        (("work.speed_least", "work.speed_most"), "The band it wants is not known yet."),
        (
            ("engine.work_speed", "engine.rated_speed", "work.speed_least", "work.speed_most"),
            "Neither the speed of the work nor the band it wants is known yet.",
        ),
    ],
)
def test_speed_says_which_of_two_is_not_known(build, gone, words):
    check = check_of(work_up(build.with_values(dict.fromkeys(gone, "")), ("ratio",)), "ratio.speed")
    assert check.verdict == UNDECIDED and check.reason == words


@pytest.mark.parametrize(
    ("gone", "words"),
    [
        (("engine.turns",), "The direction of the engine is not known yet."),
        (("work.turns",), "The direction that the work wants is not known yet."),
        (
            ("engine.turns", "work.turns"),
            "Neither the direction of the engine nor the one that the work wants is known yet.",
        ),
    ],
)
def test_direction_says_which_of_two_is_not_known(build, gone, words):
    check = check_of(work_up(build.with_values(dict.fromkeys(gone, "")), ("ratio",)), "ratio.direction")
    assert check.verdict == UNDECIDED and check.reason.startswith(words)


# -- the scale of what a belt holds ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("reach", "top"), [(0.0, 4.0), (4.0, 4.0), (4.01, 5.0), (5.25, 6.0), (10.0, 10.0), (10.1, 15.0), (101.0, 150.0)]
)
def test_a_scale_ends_at_a_round_number_that_is_enough(reach, top):
    assert scale_top(reach) == top


@pytest.mark.parametrize("tension", ["50 lbf", "85 lbf", "300 lbf"])
def test_the_scale_reaches_what_the_belt_holds(build, tension):
    """Seen: the axis ended at 4.0, the value was 5.0 and its dot was cut at the edge."""
    results = work_up(build.with_values({"stage[belt].takeup.static_tension": tension}), ("grip",))
    stage, picture = data(results, "grip", "belt"), picture_of(results, "belt")
    view = GripView("grip-0", picture)
    view.draw(picture)
    right = view.plot.get_xlim()[1]
    assert view.likely.get_xdata()[0] == pytest.approx(stage.margin) and stage.margin <= right / 1.05 + 1e-9
    assert right >= BINS[-1] and "past this scale" not in view.holds.get_text()
    shares = stage.shares
    assert shares.counts.sum() == shares.count and shares.edges[-1] <= right
    # at most the share beyond the 99.5th percentile is heaped at the end
    middles = (shares.edges[:-1] + shares.edges[1:]) / 2
    mean = float((middles * shares.counts).sum() / shares.count)
    assert shares.low < mean < shares.high
    assert isinstance(picture, GripPicture) and np.all(np.isfinite(middles))

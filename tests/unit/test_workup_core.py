"""Working up: which inputs were read, what a change puts out of date, what to measure next."""

import re
from collections.abc import Callable
from dataclasses import dataclass

import pytest
from jackshaft.buildfile import DEMO, list_builds, load, parse
from jackshaft.results import WHOLE, Chapter, chapters, work_up
from jackshaft.results.checks import CAUTION, GO, STOP, Check, undecided
from jackshaft.results.findings import COMPUTED, NOTHING, PARTLY, UNKNOWN, Draft, Findings, label, out_of_date
from jackshaft.results.findings import LATER as NOT_YET
from jackshaft.results.reader import Reader, Unknown
from jackshaft.results.running import essential, run

TEXT = """
schema = 1
name = "two shafts"
clutch = "none"

[engine]
work_speed = { value = "3000 rpm", known = "measured", by = "tachometer", plus_minus = "20 rpm" }
rated_power = "10 hp"

[work]
shaft = "out"

[[shaft]]
name = "out"
diameter = "1 in"

[[shaft]]
name = "other"
"""


def build_of(text=TEXT):
    return parse(text.encode(), file="two.toml")


@pytest.fixture
def build():
    return build_of()


@pytest.fixture
def reader(build):
    return Reader(build)


# The looker


@pytest.mark.parametrize("key", ["engine.work_sped", "shaft[out].diametre", "shafts[out].diameter", "engine.kind.x"])
@pytest.mark.parametrize("ask", ["get", "si", "require", "names", "has", "is_none", "note_missing"])
def test_a_key_that_the_schema_does_not_have_is_an_error_and_not_unknown(reader, ask, key):
    with pytest.raises(KeyError):
        getattr(reader, ask)(key)


def test_everything_that_is_asked_is_noted_known_or_not(reader):
    assert reader.get("engine.kind") is None
    assert reader.si("shaft[out].diameter") == pytest.approx(0.0254)
    assert reader.si("shaft[other].diameter", 7.0) == 7.0
    assert reader.names("shaft") == ("out", "other")
    assert reader.is_none("clutch") and not reader.is_none("engine")
    assert reader.system == "inch"
    assert reader.read == {
        "engine.kind",
        "shaft[out].diameter",
        "shaft[other].diameter",
        "shaft",
        "clutch",
        "engine",
        "shown_in",
    }
    assert reader.missing == []


def test_what_is_needed_and_not_known_is_named_all_at_once(reader):
    with pytest.raises(Unknown) as lacking:
        reader.require("engine.work_speed", "engine.kind", "work.power")
    assert lacking.value.keys == ("engine.kind", "work.power")
    assert reader.missing == ["engine.kind", "work.power"]
    assert {"engine.work_speed", "engine.kind", "work.power"} <= reader.read


def test_what_is_needed_and_known_is_given(reader):
    assert reader.require_si("engine.work_speed") == pytest.approx(100 * 3.141592653589793)
    power, size = reader.require_si("engine.rated_power", "shaft[out].diameter")
    assert power == pytest.approx(10 * 550 * 0.3048 * 4.4482216152605) and size == pytest.approx(0.0254)
    assert reader.require("work.shaft") == "out"


def test_a_missing_key_is_named_once(reader):
    reader.note_missing("work.power", "work.power")
    reader.note_missing("work.power", "engine.kind")
    assert reader.missing == ["work.power", "engine.kind"]


def test_a_whole_chapter_asked_for_stands_for_all_below_it(reader):
    assert reader.has("engine") and not reader.has("bearing")
    assert {"engine", "engine.*", "bearing"} <= reader.read


def test_how_a_value_is_known(reader):
    assert reader.how("engine.work_speed") == "measured, tachometer"
    assert reader.how("engine.rated_power") == reader.how("engine.kind") == ""


@pytest.mark.parametrize(
    "system,size,words",
    [
        ("inch", "1-3/8 in", "1-3/8 in (1.38 in)"),
        ("metric", "1-3/8 in", "35 mm"),
        ("metric", "300 mm", "300 mm"),
    ],
)
def test_tape_lengths(system, size, words):
    reader = Reader(
        build_of(
            TEXT.replace('name = "two shafts"', f'name = "two shafts"\nshown_in = "{system}"').replace("1 in", size)
        )
    )
    assert reader.tape(reader.si("shaft[out].diameter")) == words


# A chapter closed


def closed(reader, **how):
    draft = Draft(Chapter("x", "X", 1))
    if how.pop("fact", True):
        draft.fact("speed", "1 rpm")
    return draft.done(reader, **how)


def test_the_state_of_a_chapter(build):
    assert closed(Reader(build)).state == COMPUTED
    partly = Reader(build)
    partly.note_missing("work.power")
    assert closed(partly).state == PARTLY
    assert closed(Reader(build), fact=False).state == UNKNOWN
    assert closed(Reader(build), state=NOTHING, words="No belt.").words == "No belt."


def test_a_chapter_rests_on_what_the_chapters_it_uses_read(build):
    first, second = Reader(build), Reader(build)
    first.get("engine.work_speed"), second.get("work.power")
    chapter = closed(second, uses=[closed(first)])
    assert chapter.inputs == {"engine.work_speed", "work.power"}


def test_sources_are_listed_once_in_order():
    draft = Draft(Chapter("x", "X", 1))
    draft.cite("b", "a"), draft.cite("a", "c")
    assert draft.sources == ["b", "a", "c"]


# What a change puts out of date


def chapter(name, *inputs):
    return Findings(name, name, COMPUTED, inputs=frozenset(inputs))


CHAPTERS = (
    chapter("speed", "engine.work_speed", "shaft"),
    chapter("shaft", "shaft[out].diameter"),
    chapter("engine", "engine", "engine.*"),
    chapter("power", "work.power", "engine.rated_power"),
)


def spoiled(after, before=None):
    return {c.name: keys for c, keys in out_of_date(before or build_of(), after, CHAPTERS)}


def test_nothing_changed_spoils_nothing(build):
    assert spoiled(build) == {}


@pytest.mark.parametrize("old,new", [('"1 in"', '"25.4 mm"'), ("schema = 1", "schema = 1   # again")])
def test_the_same_value_said_another_way_spoils_nothing(old, new):
    assert old in TEXT and spoiled(build_of(TEXT.replace(old, new))) == {}


@pytest.mark.parametrize(
    "change,names",
    [
        ({"engine.work_speed": "2800 rpm"}, {"speed", "engine"}),
        ({"shaft[out].diameter": "30 mm"}, {"shaft"}),
        ({"engine.rated_power": "12 hp"}, {"engine", "power"}),
        ({"work.power": "3 hp"}, {"power"}),
        ({"engine.turns": "clockwise"}, {"engine"}),
        ({"work.diameter": "3 in"}, set()),
    ],
)
def test_a_changed_key_spoils_exactly_what_read_it(build, change, names):
    found = spoiled(build.with_values(change))
    assert set(found) == names
    assert all(keys == tuple(change) for keys in found.values())


def test_a_value_that_is_forgotten_spoils_what_read_it():
    assert spoiled(build_of(TEXT.replace('rated_power = "10 hp"\n', ""))) == {
        "engine": ("engine.rated_power",),
        "power": ("engine.rated_power",),
    }


def test_an_item_that_comes_or_goes_spoils_what_read_the_list():
    assert spoiled(build_of(TEXT + '\n[[shaft]]\nname = "third"\n')) == {"speed": ("shaft",)}


def test_a_wider_uncertainty_spoils_what_read_the_value():
    assert set(spoiled(build_of(TEXT.replace("20 rpm", "300 rpm")))) == {"speed", "engine"}


PROBES = {
    "engine.work_speed": "2900 rpm",
    "stage[crank belts].pulley[E].diameter": "4.6 in",
    "stage[crank belts].pulley[I].x": "7.5 in",
    "stage[crank belts].takeup.slack_tension": "60 lbf",
    "clutch.coil_resistance": "2.4 ohm",
    "circuit.wire": "12 AWG",
    "circuit.fuse": "15 A",
    "bearing[engine side].shock_factor": "2.0",
    "work.power": "4 hp",
    "shaft[jackshaft].step[pulley end].diameter": "32 mm",
}


@pytest.mark.parametrize("key,value", PROBES.items())
def test_a_chapter_that_reads_differently_was_said_to_be_out_of_date(key, value):
    """On the demo build: whatever changes in a chapter, the chapter had noted the key it came from."""
    before = load(DEMO)
    after = before.with_values({key: value})
    old, new = work_up(before), work_up(after)
    named = {c.name for c, _ in out_of_date(before, after, tuple(old.chapters.values()))}
    differ = {
        n
        for n, c in old.chapters.items()
        if (c.facts, c.checks, c.tables, c.state)
        != (new.chapters[n].facts, new.chapters[n].checks, new.chapters[n].tables, new.chapters[n].state)
    }
    assert differ <= named


# Results


@dataclass(frozen=True)
class Toy(Chapter):
    """A chapter whose computation is given in the test."""

    work: Callable = None

    def work_up(self, reader, done, scope=WHOLE):
        return self.work(self, reader, done)


def toys(**works):
    """Declare chapters in the order given."""
    return {n: Toy(n, n.title(), place, work=work) for place, (n, work) in enumerate(works.items())}


def worker(*checks, missing=()):
    def work(chapter, reader, done):
        draft = Draft(chapter)
        draft.checks += checks
        reader.note_missing(*missing)
        return draft.done(reader)

    return work


def stop(id="a.one", **more):
    return Check(id, "n", "v", "l", STOP, "r", "do so", **more)


def test_what_unlocks_most_comes_first_then_the_order_of_the_way(build):
    lacking = [
        undecided("a.one", "n", ["engine.kind", "work.power"], "w"),
        undecided("a.two", "n", ["work.power"], "w"),
        undecided("b.one", "n", ["engine.turns"], "w"),
    ]
    results = run(build, toys(a=worker(*lacking[:2], missing=["engine.cylinders"]), b=worker(lacking[2])))
    assert [(w.key, w.unlocks) for w in results.wanted] == [
        ("work.power", ("a.one", "a.two")),
        # one look decides b.one; a.one wants two values
        ("engine.turns", ("b.one",)),
        ("engine.kind", ("a.one",)),
        ("engine.cylinders", ()),
    ]
    assert results.wanted[0].words == "power it takes at work (work)"


def test_chapters_run_in_order_and_see_what_is_done(build):
    seen = []

    def second(chapter, reader, done):
        seen.extend(done)
        return worker()(chapter, reader, done)

    assert list(run(build, toys(a=worker(), b=second)).chapters) == ["a", "b"]
    assert seen == ["a"]


def test_what_is_not_computed_yet_is_shown_only_where_the_build_has_it(build):
    coming = [Chapter(n, n.title(), place, coming=True) for place, n in enumerate(("engine", "driveline"))]
    results = run(build, {c.name: c for c in coming})
    assert {n: c.state for n, c in results.chapters.items()} == {"engine": NOT_YET}


ACCEPTANCE = '\n[[accepted]]\nname = "a.one"\nreason = "tried for a season"\ndate = 2026-03-14\n'


def test_acceptances_come_from_the_build_file():
    plain = run(build_of(), toys(a=worker(stop())))
    taken = run(build_of(TEXT + ACCEPTANCE), toys(a=worker(stop())))
    assert (plain.exit_code, len(plain.stops), plain.verdict) == (1, 1, STOP)
    assert (taken.exit_code, taken.stops, taken.verdict) == (0, (), CAUTION)
    assert taken.checks[0].accepted.reason == "tried for a season" and taken.checks[0].accepted.date == "2026-03-14"


def test_a_guard_is_not_accepted_by_the_build_file():
    results = run(build_of(TEXT + ACCEPTANCE), toys(a=worker(stop(guards=True))))
    assert results.exit_code == 1 and results.verdict == STOP


def test_an_acceptance_of_nothing_is_in_the_strip():
    results = run(build_of(TEXT + ACCEPTANCE), toys(b=worker(Check("b.x", "n", "v", "l", GO, "r"))))
    assert results.summary == (("B", GO, GO), ("Accepted", CAUTION, CAUTION))
    assert [c.id for c in results.of("accepted")] == ["accepted.a.one"]


def test_sources_of_chapters_and_checks_are_gathered(build):
    results = run(build, toys(a=worker(stop(source="z-book; a-book"))))
    assert results.sources() == ("a-book", "z-book")


def test_label_says_a_key_in_shop_words():
    assert label("engine.work_speed") == "working speed, under load (engine)"
    assert "pulley 'small'" in label("stage[crank belts].pulley[small].diameter")
    assert "stage 'crank belts'" in label("stage[crank belts].pulley[small].diameter")
    assert label("no_such_chapter.key") == "no_such_chapter.key (no such chapter)"


# The chapters that stand


def test_every_chapter_says_what_it_needs_and_comes_after_it():
    order = list(chapters())
    assert all(order.index(n) < order.index(name) for name, c in chapters().items() for n in c.needs)


@pytest.mark.parametrize("name", list_builds())
@pytest.mark.parametrize("wanted", [n for n, c in chapters().items() if not c.coming])
def test_one_chapter_alone_is_what_it_is_in_the_whole(name, wanted):
    build = load(name)
    alone, whole = work_up(build, [wanted]), work_up(build)
    assert (alone.chapters[wanted].facts, alone.of(wanted)) == (whole.chapters[wanted].facts, whole.of(wanted))


def test_a_chapter_that_does_not_exist_is_refused(build):
    with pytest.raises(KeyError):
        work_up(build, ["brakes"])


@pytest.mark.parametrize("name", list_builds())
def test_ids_of_checks_are_unique_and_belong_to_their_chapter(name):
    results = work_up(load(name))
    ids = [c.id for c in results.checks]
    assert len(ids) == len(set(ids))
    for chapter_name, found in results.chapters.items():
        assert [c.id for c in found.checks if not re.match(rf"{chapter_name}\.[a-z-]+(\[.+\])?$", c.id)] == []


def test_essential_checks_are_checks_of_the_demo_build():
    there = {c.id.split("[")[0] for c in work_up(load(DEMO)).checks}
    assert set(essential()) <= there

"""Verdicts: bands against a limit, what may be accepted, the summary, the exit code."""

import dataclasses
import itertools
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jackshaft.buildfile import list_builds, load
from jackshaft.results import work_up
from jackshaft.results.checks import (
    CAUTION,
    GO,
    NOT_THERE,
    ORDER,
    STOP,
    SYMBOLS,
    UNDECIDED,
    Accepted,
    Check,
    Table,
    accept,
    exit_code,
    grade,
    summary,
    undecided,
    worst,
)
from jackshaft.results.values import Number


def check(id="grip.margin", verdict=GO, **more):
    given = {"remedy": "Raise the tension to 40 lbf."} | more
    return Check(id, "grip", "1.2 ×", "1.0 ×", verdict, "It slips.", **given)


MACHINES = [*list_builds(), *sorted((Path(__file__).parents[1] / "builds").glob("*.toml"))]
TAKEN = Accepted("a light load, run by hand", "2026-03-14")


# What an input with a band comes to


@pytest.mark.parametrize(
    "likely,bad,verdict",
    [
        (2.0, 1.5, GO),
        (2.0, 1.0, GO),
        (2.0, 0.998, GO),
        (2.0, 0.996, CAUTION),
        (1.0, 0.5, CAUTION),
        (0.996, 0.5, STOP),
    ],
)
def test_grade_of_what_must_reach_a_limit(likely, bad, verdict):
    assert grade(likely=likely, bad=bad, limit=1.0) == verdict


@pytest.mark.parametrize(
    "likely,bad,verdict",
    [
        (8.0, 9.0, GO),
        (8.0, 10.0, GO),
        (8.0, 10.029, GO),
        (8.0, 10.031, CAUTION),
        (10.0, 12.0, CAUTION),
        (10.031, 12.0, STOP),
    ],
)
def test_grade_of_what_must_stay_below_a_limit(likely, bad, verdict):
    assert grade(likely=likely, bad=bad, limit=10.0, higher_is_better=False) == verdict


@pytest.mark.parametrize("over,verdict", [(1.0, GO), (1.0001, STOP), (0.9999, GO)])
def test_a_limit_that_guards_people_is_held_exactly(over, verdict):
    assert grade(likely=over * 10.0, bad=over * 10.0, limit=10.0, higher_is_better=False, guards=True) == verdict
    assert grade(likely=10.0 / over, bad=10.0 / over, limit=10.0, guards=True) == verdict


sizes = st.floats(-1e6, 1e6)


@given(sizes, sizes, sizes)
def test_the_two_directions_are_mirror_images(likely, bad, limit):
    assert grade(likely=likely, bad=bad, limit=limit) == grade(
        likely=-likely, bad=-bad, limit=-limit, higher_is_better=False
    )


@given(sizes, st.floats(0, 1e6), sizes, st.floats(0, 1e6))
def test_a_harder_limit_never_makes_it_better(likely, span, limit, more):
    easy = grade(likely=likely, bad=likely - span, limit=limit)
    hard = grade(likely=likely, bad=likely - span, limit=limit + more)
    assert ORDER.index(hard) >= ORDER.index(easy)


@given(sizes, sizes)
def test_without_a_band_there_is_no_caution(value, limit):
    assert grade(likely=value, bad=value, limit=limit) in (GO, STOP)


@pytest.mark.parametrize("higher", [True, False])
def test_what_is_no_number_is_a_stop(higher):
    nan = float("nan")
    assert grade(likely=nan, bad=nan, limit=1.0, higher_is_better=higher) == STOP


# The check itself


def test_a_verdict_that_does_not_exist_is_refused():
    with pytest.raises(ValueError, match="verdict 'maybe'"):
        check(verdict="maybe")


@pytest.mark.parametrize("verdict", [CAUTION, STOP])
def test_what_is_wrong_needs_a_remedy(verdict):
    with pytest.raises(ValueError, match="needs a remedy"):
        check(verdict=verdict, remedy="")


@pytest.mark.parametrize(
    ("verdict", "value", "words", "limit", "shown"),
    [
        (CAUTION, (70.0, 48.0, 90.0), "{}", "{} or more", "70 (bad end 48)"),
        (CAUTION, (50.0, 30.0, 72.0), "{}, mean", "{} or less, at work", "50, mean (bad end 72)"),
        (UNDECIDED, (70.0, 48.0, 90.0), "{}", "{} or more", "70 (bad end 48)"),
        (GO, (70.0, 48.0, 90.0), "{}", "{} or more", "70"),
        # it shows that end already; its band holds; the likely value is what fails; nothing says which end is bad
        (CAUTION, (70.0, 48.0, 90.0), "{} (worst {low})", "{} or more", "70 (worst 48)"),
        (CAUTION, (70.0, 65.0, 90.0), "{}", "{} or more", "70"),
        (CAUTION, (50.0, 30.0, 72.0), "{}", "{} or more", "50"),
        (CAUTION, (70.0, 48.0, 90.0), "{}", "{}", "70"),
    ],
)
def test_a_caution_shows_the_bad_end_that_makes_it_one(verdict, value, words, limit, shown):
    likely, low, high = value
    found = Number(likely, "number", "inch", low, high, words=words, decimals=0)
    wanted = Number(60.0, "number", "inch", words=limit, decimals=0)
    assert Check("grip.margin", "grip", found, wanted, verdict, "It slips.", "Raise the tension.").value == shown


#: What a limit says of the side of it that is wanted; a stop at a length that no belt has says only the path.
SIDE = re.compile(r" or (more|less|fewer)| to |\b(at most|at least|below|over) |at most$")
ONE_SIZE = {"layout.length": (STOP, UNDECIDED), "bearings.idler-fit": ORDER, "bearings.seat": (STOP,)}


def test_every_limit_of_every_build_says_which_side_of_it_is_wanted(for_each):
    def says(name):
        bare = {
            c.id: c.limit
            for c in work_up(load(name)).checks
            if isinstance(c.wanted, Number)
            and c.verdict not in ONE_SIZE.get(c.id.partition("[")[0], ())
            and not SIDE.search(c.limit)
        }
        assert bare == {}

    for_each(MACHINES, says)


def test_a_check_cannot_be_changed():
    with pytest.raises(dataclasses.FrozenInstanceError):
        check().verdict = STOP


def test_the_chapter_is_the_first_word_of_the_id():
    assert check("layout.length[crank belts no. 2]").chapter == "layout"


def test_each_verdict_has_a_sign_of_its_own():
    assert set(SYMBOLS) == {*ORDER, NOT_THERE} and len(set(SYMBOLS.values())) == 5


def test_undecided_names_what_is_missing():
    found = undecided("ratio.speed", "speed", ["engine.work_speed"], "Not known.", limit="200 rpm")
    assert (found.verdict, found.missing, found.limit) == (UNDECIDED, ("engine.work_speed",), "200 rpm")
    assert not found.stands


def test_a_sheet_with_a_short_row_is_refused():
    with pytest.raises(ValueError, match="row of 1 under 2"):
        Table("t", ("a", "b"), (("1", "2"), ("1",)))


# Accepting


@pytest.mark.parametrize("verdict", [CAUTION, STOP])
def test_a_caution_or_stop_can_be_accepted(verdict):
    (done,) = accept([check(verdict=verdict)], {"grip.margin": TAKEN})
    assert done.accepted == TAKEN and not done.stands
    assert done.verdict == verdict and done.words == f"{verdict}, accepted"


def test_only_the_named_part_is_accepted():
    both = [check("grip.margin[a]", STOP), check("grip.margin[b]", STOP)]
    a, b = accept(both, {"grip.margin[a]": TAKEN})
    assert not a.stands and b.stands


def test_a_stop_that_guards_cannot_be_accepted_and_says_so():
    (done,) = accept([check("electric.fuse", STOP, guards=True)], {"electric.fuse": TAKEN})
    assert done.stands and done.accepted is None and "cannot be accepted" in done.reason
    assert exit_code([done]) == 1 and worst([done]) == STOP


def test_a_caution_of_a_guarding_check_can_be_accepted():
    (done,) = accept([check("electric.fuse", CAUTION, guards=True)], {"electric.fuse": TAKEN})
    assert done.accepted == TAKEN


@pytest.mark.parametrize(
    "there", [[], [check("grip.margin", GO)], [undecided("grip.margin", "grip", ["work.power"], "Not known.")]]
)
def test_an_acceptance_that_meets_nothing_is_seen(there):
    *rest, last = accept(there, {"grip.margin": TAKEN})
    assert tuple(rest) == tuple(there)
    assert last.verdict == CAUTION and last.id == "accepted.grip.margin" and TAKEN.reason in last.reason


def test_nothing_accepted_changes_nothing():
    there = (check(), check("a.b", STOP), check("c.d", CAUTION))
    assert accept(there, {}) == there


# Together


def test_worst_follows_the_order_and_an_accepted_stop_counts_as_a_caution():
    assert worst([]) == GO
    for verdicts in itertools.permutations([GO, UNDECIDED, CAUTION, STOP]):
        assert worst(check(verdict=v) for v in verdicts) == STOP
    assert worst([check(verdict=GO), undecided("a.b", "x", [], "w")]) == UNDECIDED
    assert worst([undecided("a.b", "x", [], "w"), check(verdict=CAUTION)]) == CAUTION
    assert worst(accept([check(verdict=STOP)], {"grip.margin": TAKEN})) == CAUTION


TITLES = {
    "ratio": ("Drive ratio", "computed"),
    "layout": ("Belt layout", "not known yet"),
    "clutch": ("Clutch", "none"),
    "accepted": ("Accepted", ""),
    "grip": ("Tension and grip", "computed"),
}


def test_the_summary_has_a_word_a_chapter_in_order_its_state_where_nothing_is_checked():
    found = summary([check("grip.a", STOP), check("ratio.a"), check("grip.b", CAUTION), check("grip.c")], TITLES)
    assert found == (
        ("Drive ratio", GO, GO),
        ("Belt layout", UNDECIDED, "not known yet"),
        ("Clutch", NOT_THERE, "none"),
        ("Tension and grip", STOP, STOP),
    )


def test_the_strip_counts_stops_that_stand():
    stops = [check("grip.a", STOP), check("grip.b", STOP), check("grip.c", STOP)]
    assert summary(stops, TITLES)[-1][2] == "3 stops"
    assert summary(accept(stops, {"grip.a": TAKEN}), TITLES)[-1][2] == "2 stops"
    assert summary(accept(stops, dict.fromkeys(["grip.a", "grip.b", "grip.c"], TAKEN)), TITLES)[-1][1] == CAUTION


MISSING = undecided("ratio.speed[one]", "speed", ["engine.work_speed"], "Not known.")


@pytest.mark.parametrize(
    "checks,essential,code",
    [
        ([], (), 3),
        ([check(verdict=CAUTION)], ("grip.margin",), 0),
        ([check(verdict=STOP)], (), 1),
        ([MISSING], (), 0),
        ([MISSING], ("ratio.speed",), 3),
        ([MISSING], ("ratio.speeds",), 0),
        ([MISSING, check(verdict=STOP)], ("ratio.speed",), 1),
        ([MISSING, *accept([check(verdict=STOP)], {"grip.margin": TAKEN})], ("ratio.speed",), 3),
    ],
)
def test_exit_code(checks, essential, code):
    assert exit_code(checks, essential) == code
    assert exit_code(iter(checks), iter(essential)) == code

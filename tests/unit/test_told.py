"""How lists of checks read: what is missing in clauses of its own, a cure in full once, what is asked for first."""

from shlex import quote

import pytest
from jackshaft.bench import Bench
from jackshaft.buildfile import DEMO, load, parse
from jackshaft.render.data import check_data
from jackshaft.render.parts import missing_line, parts, told_once
from jackshaft.render.plain import cures_report
from jackshaft.results import label, work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED, Accepted, Check
from jackshaft.results.cure import Cure
from jackshaft.results.findings import CANNOT
from jackshaft.results.measuring import asked_for

EMPTY = b'schema = 1\nname = "t"\n\n[[stage]]\nname = "belt"\nkind = "belt"\n'
PLACES = ("stage[belt].driver", "stage[belt].driven")


@pytest.fixture(scope="module")
def demo():
    return work_up(load(DEMO))


@pytest.fixture
def empty():
    return parse(EMPTY, file="t.toml")


def open_check(*keys, found="not known yet"):
    return Check("a.b", "hub of belt", found, "", UNDECIDED, "Look first.", missing=keys)


def test_an_undecided_check_says_what_to_write_down_and_how(demo):
    one = next(c for c in demo.checks if c.id == "bearings.seat[chain side]")
    said, (key,) = cures_report(one, demo.build), one.missing
    assert f"This cannot be decided yet. Write down: {key} ({label(key)})" in said
    assert quote(f"{key}=...") in said.split("\n")[-1] and "tried" not in said


def test_each_key_has_a_line_of_its_own(demo):
    said = cures_report(open_check("work.turns", "wanted_life", "bearing"), demo.build).splitlines()
    assert [line.strip() for line in said].count("wanted_life=...") == 1
    assert f"Write down: wanted_life ({label('wanted_life')})" in said
    # a list has no value that set could take
    assert not any("bearing=..." in line for line in said)


def test_what_was_refused_is_looked_at(demo):
    said = cures_report(open_check("work.turns", found=CANNOT), demo.build)
    assert "Look at: work.turns" in said and "Write down" not in said


def test_a_go_and_an_acceptance_are_not_said_to_resist_mending(demo):
    good = next(c for c in demo.checks if c.verdict == GO)
    assert cures_report(good, demo.build).endswith("This holds. There is nothing to mend.")
    taken = Check("a.b", "n", "1", "2", CAUTION, "", "r", accepted=Accepted("tried", "2026-01-02"))
    assert "makes this better" not in cures_report(taken, demo.build)


def test_what_lacks_is_a_clause_of_its_own_each_thing_once(demo):
    words = missing_line(open_check("work.turns", "work.turns", "wanted_life"), demo.build)
    assert words == f"hub of belt. Write down: {label('work.turns')}; {label('wanted_life')}."
    assert missing_line(open_check(), demo.build) == "hub of belt. Look first."
    to_do = Bench(demo.build).to_do()
    for text in (to_do.text, to_do.html):
        assert "missing" not in text and "chain side: seat on the shaft. Write down: diameter" in text


def test_no_meaning_in_the_list_is_cut_in_two_by_a_semicolon():
    assert ";" not in label("bearing[a].located")


def test_a_cure_shown_above_is_not_told_again_in_the_list_alone():
    same, other = Cure("Pull.", {"a": "1", "b": "2"}, GO, "3"), Cure("Push.", {"a": "2"}, GO, "3")
    again = Cure("Pull harder.", {"b": "2", "a": "1"}, CAUTION, "1")
    first, second = (
        Check(f"x.{n}", n, "1", "2", STOP, "", "r", cures=cures)
        for n, cures in (("peak", (same,)), ("jam", (other, again)))
    )
    told = told_once([first, second])
    words = [[p.words for p in parts(c) if p.name == "cure"] for c in told]
    assert words[0] == ["Pull. This check is then go: 3."]
    assert words[1] == ["Push. This check is then go: 3.", "as above for peak."]
    assert [check_data(c)["cures"] for c in told] == [check_data(c)["cures"] for c in (first, second)]


def test_a_list_is_asked_for_before_the_name_of_a_part_of_it(empty):
    assert asked_for(empty, PLACES) == ("stage[belt].pulley",)
    # the engine is always there to be named; without shafts the shafts come first
    assert asked_for(empty, ("stage[belt].from", "stage[belt].to")) == ("stage[belt].from", "shaft")
    wanted = [w.key for w in work_up(empty).wanted]
    assert "stage[belt].pulley" in wanted and not set(PLACES) & set(wanted)
    named = parse(EMPTY + b'\n[[stage.pulley]]\nname = "E"\n', file="t.toml")
    assert asked_for(named, PLACES) == PLACES

"""What a cure makes worse within one verdict: which way a failing number would have to go, and how much counts."""

from types import SimpleNamespace

import pytest
from jackshaft.render.parts import outcome
from jackshaft.results import Number
from jackshaft.results.checks import CAUTION, GO, STOP, Check
from jackshaft.results.cure import Cure
from jackshaft.results.worsening import side, slipped


def number(si, low=None, high=None, words="{}", kind="number"):
    return Number(si, kind, "inch", low=low, high=high, words=words)


def check(verdict, found, wanted, id="a.b", name="crank bending"):
    return Check(id, name, found, wanted, verdict, "", "Mend it.")


#: What failed, and the way that it would have to go: worked by hand from the meaning of each verdict.
SIDES = [
    (STOP, number(0.8), number(1.0), 1),
    (STOP, number(1.2), number(1.0), -1),
    (CAUTION, number(1.4, low=0.9), number(1.0), 1),  # holds as it is likely, not at its low end
    (CAUTION, number(0.8, high=1.1), number(1.0), -1),
    (CAUTION, number(0.8, low=0.5, high=1.1), number(1.0, words="{} or more"), 1),  # the words go first
    (CAUTION, number(5.1), number(1.0, words="{} or more, in a groove"), 0),  # not the number is what fails
    (CAUTION, number(0.9), number(1.0, words="{} or less"), 0),
    (CAUTION, number(2.65, low=2.34), number(1.0), 0),  # holds at its bad end too: what fails is not the number
    (CAUTION, number(0.7, high=0.9), number(1.0), 0),
    (STOP, number(500.0), number(650.0, low=650.0, high=750.0), 1),
    (STOP, number(800.0), number(750.0, low=650.0, high=750.0), -1),
    (CAUTION, number(700.0), number(750.0, low=650.0, high=750.0), 0),
    (STOP, "bridged", number(1.0), 0),
    (STOP, number(1.0), "none", 0),
    (STOP, number(1.0), number(2.0, kind="force"), 0),
    (GO, number(1.0), number(2.0), 0),
]


@pytest.mark.parametrize(("verdict", "found", "wanted", "way"), SIDES)
def test_which_way_a_failing_number_would_have_to_go(verdict, found, wanted, way):
    assert side(check(verdict, found, wanted)) == way


def slips(was, now):
    return slipped(SimpleNamespace(checks=(was,)), SimpleNamespace(checks=(now,)))


@pytest.mark.parametrize(
    ("before", "after", "limits", "said"),
    [
        (1.1, 0.8, (1.5, 1.5), True),
        (1.1, 1.05, (1.5, 1.5), False),  # 4.5 %
        (1.1, 1.04, (1.5, 1.5), True),  # 5.5 %
        (1.1, 1.3, (1.5, 1.5), False),  # better
        (1.1, 0.8, (1.5, 1.1), False),  # 0.4 short before, 0.3 after
        (2.0, 2.2, (1.5, 1.5), True),  # too high
        (2.0, 2.2, (1.5, 1.8), False),
        (2.0, 1.2, (1.5, 1.5), False),  # past both sides: neither end is known to be the worse
    ],
)
def test_over_a_twentieth_more_against_its_own_limit_is_said(before, after, limits, said):
    was, now = (check(STOP, number(v), number(w)) for v, w in zip((before, after), limits, strict=True))
    assert bool(slips(was, now)) == said


def test_it_is_said_with_both_values_and_does_not_count_as_harm():
    before, after = number(1.1, words="safety {} at work"), number(0.8, words="safety {} at work")
    found = slips(check(STOP, before, number(1.5)), check(STOP, after, number(1.5)))
    cure = Cure("Pull.", {"a": "b"}, GO, "1.0", found)
    assert "It makes this worse: crank bending (1.1 to 0.8)." in outcome(cure)
    assert found[0].stays == STOP and cure.harm == ()


def test_values_that_would_read_alike_are_told_apart():
    kind = {"kind": "length"}
    (worse,) = slips(
        check(STOP, Number(0.0010, "length", "metric", form="tape"), number(1.0, **kind)),
        check(STOP, Number(0.0009, "length", "metric", form="tape"), number(1.0, **kind)),
    )
    assert worse.before != worse.after


def test_a_verdict_that_changes_is_no_slip():
    assert slips(check(CAUTION, number(1.1), number(1.5)), check(STOP, number(0.8), number(1.5))) == ()

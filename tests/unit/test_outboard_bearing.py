"""A bearing beyond the belt on the engine's shaft: offered, and counted, only where there is a shaft to carry."""

import pytest
from builders import check_of as check
from jackshaft.chapters.shafts.cures import PROPOSALS
from jackshaft.results import work_up
from jackshaft.results.failing import Failing
from jackshaft.units import read
from shaft_builds import TWO_BELTS, build_of

SHORT = {"engine.side_load_limit": "60 lbf", "engine.side_load_at": "2 in", "engine.belt_at": "3 in"}
AT = "engine.outboard_at"


def crank(**values):
    return work_up(build_of(TWO_BELTS, **SHORT, **{f"engine.{k}": v for k, v in values.items()}))


def offered(found):
    return [p for p in PROPOSALS["shafts.crank"](Failing(found, check(found, "shafts.crank"))) if AT in p.changes]


def test_one_is_offered_only_where_the_shaft_may_reach_it():
    """Seen: a bearing 59 mm from a motor's face, whose shaft of 24 mm is 50 mm long (IEC 60072-1)."""
    unknown, known = offered(crank()), offered(crank(shaft_length="5 in"))
    assert unknown and all("Measure first whether the shaft reaches so far" in p.words for p in unknown)
    assert known and all(read(p.changes[AT], "length").si <= 0.127 + 1e-9 for p in known)
    assert len(known) < len(unknown) and not any("Measure" in p.words for p in known)
    assert offered(crank(shaft_length="3 in")) == []
    assert offered(crank(kind="electric motor")) == []


@pytest.mark.parametrize(
    ("values", "verdict"),
    [
        ({}, "not decidable"),
        ({"shaft_length": "4.9 in"}, "stop"),
        ({"shaft_length": "5 in"}, "go"),
        ({"shaft_length": "5 in", "kind": "electric motor"}, "caution"),
    ],
)
def test_one_that_is_written_down_must_have_a_shaft_to_carry(values, verdict):
    found = check(crank(outboard_at="5 in", **values), "shafts.outboard")
    assert found.verdict == verdict
    assert found.missing == (("engine.shaft_length",) if not values else ())


@pytest.mark.parametrize(("at", "verdict"), [("2.9 in", "stop"), ("3.6 in", "stop"), ("3.8 in", "go")])
def test_one_stands_beyond_the_pulley(at, verdict):
    """The belt runs 3 in from the face and its hub is 1.5 in long: it ends at 3.75 in. Seen: a bearing within it."""
    found = check(crank(outboard_at=at, shaft_length="5 in", hub_length="1.5 in"), "shafts.outboard")
    assert found.verdict == verdict

"""Pulleys that are listed against the engine's direction: E at the left, A at the right, B below between them.

Counter-clockwise the belt leaves E downwards, so it reaches B before A.
"""

from __future__ import annotations

import pytest
from builders import check_of
from jackshaft.buildfile import parse
from jackshaft.results import work_up
from jackshaft.results.proving import prove

PULLEY = """
[[stage.pulley]]
name = "{name}"
x = "{x} in"
y = "{y} in"
diameter = "6 in"
measured_as = "pitch"
{more}
"""
PLACES = {"E": (0, 0, ""), "A": (20, 0, 'drives = "far"\nshare = 0.5'), "B": (10, -12, 'drives = "low"\nshare = 0.5')}
BUILD = """
schema = 1
name = "Three pulleys"
shown_in = "inch"
[engine]
kind = "petrol engine"
work_speed = "3000 rpm"
turns = "{turns}"
seen_from = "facing the engine's output shaft"
[[shaft]]
name = "far"
[[shaft]]
name = "low"
[[stage]]
name = "belt"
kind = "belt"
from = "engine"
section = "B"
driver = "E"
"""


def found(turns, order):
    text = BUILD.format(turns=turns)
    for name in order:
        x, y, more = PLACES[name]
        text += PULLEY.format(name=name, x=x, y=y, more=more)
    return work_up(parse(text.encode(), file="three.toml"))


@pytest.mark.parametrize(
    "turns, order, cured",
    [
        ("counter-clockwise", "EBA", None),
        ("counter-clockwise", "EAB", "E, B, A"),
        ("clockwise", "EAB", None),
        ("clockwise", "EBA", "E, A, B"),
    ],
)
def test_the_other_order_is_offered(turns, order, cured):
    results = found(turns, order)
    check = check_of(results, "layout.path[belt]")
    assert check.verdict == ("stop" if cured else "go")
    if cured:
        assert "against the way the engine turns" in check.reason
        cure = prove(results, "layout.path[belt]")[0]
        assert cure.changes == {"stage[belt].pulley": cured} and cure.verdict_after == "go"

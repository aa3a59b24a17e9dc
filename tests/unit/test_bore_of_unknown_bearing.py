"""A bore that was read counts against shaft and seat although no list has the bearing."""

import pytest
from jackshaft.buildfile.reading import parse
from jackshaft.results import work_up

BUILD = """
schema = 1
name = "x"
[[shaft]]
name = "jackshaft"
diameter = "{shaft}"
[[bearing]]
name = "left"
shaft = "jackshaft"
position = "0 in"
bore = "1 in"
outside = "57 mm"
width = "34 mm"
measured_with = "calipers"
marking = "ZZQ 1616"
{seat}
"""


def checks(shaft, seat=""):
    results = work_up(parse(BUILD.format(shaft=shaft, seat=seat).encode(), file="x.toml"))
    return {c.id: c.verdict for c in results.checks}


@pytest.mark.parametrize(
    ("shaft", "stops"), [("1.125 in", True), ("25.4 mm", False), ("20 mm", True), ("1.01 in", False)]
)
def test_a_bore_as_read_is_held_against_the_shaft(shaft, stops):
    """1-1/8 in does not go into 1 in; a hundredth of an inch (0.25 mm) may be the calipers and a worn ring."""
    assert (checks(shaft).get("bearings.bore[left]") == "stop") is stops


def test_a_bore_as_read_is_held_against_a_measured_seat():
    assert checks("1 in", 'seat = "1.0002 in"')["bearings.seat[left]"] == "not decidable"
    assert checks("1 in", 'seat = "1.1250 in"')["bearings.seat[left]"] == "stop"

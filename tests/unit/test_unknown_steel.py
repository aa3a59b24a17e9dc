"""A shaft whose steel nobody knows: how it is bent needs none, and the weakest steel says whether to look for it."""

from builders import check_of
from jackshaft.buildfile import parse
from jackshaft.results import work_up

BAR = b"""
schema = 1
name = "One bar"
[[shaft]]
name = "bar"
diameter = "1-1/2 in"
material = "found bar"
[[shaft.load]]
name = "band"
position = "10 in"
pull = "800 lbf"
toward = "-90 deg"
[[bearing]]
name = "left"
shaft = "bar"
position = "0 in"
marking = "6206"
[[bearing]]
name = "right"
shaft = "bar"
position = "20 in"
marking = "6206"
"""


def test_the_bending_is_told_without_a_steel():
    """800 lbf in the middle of 20 in: 4000 lbf·in or 333 lbf·ft; over pi/32 x 1.5^3 in³ it is 12.07 ksi. The bar's own
    10 lb add 25 lbf·in, 0.08 ksi."""
    check = check_of(work_up(parse(BAR, file="bar.toml")), "shafts.strength[bar]")
    assert check.verdict == "not decidable" and "shaft[bar].tensile_strength" in check.missing
    assert "bent hardest 10 in along" in check.reason and "12.1 ksi" in check.reason
    assert "AISI 1020 HR" in check.reason and "at work" in check.reason

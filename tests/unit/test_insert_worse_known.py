"""What is known worse, or held worse, is never judged better: two inserts on one shaft, 250 N on each."""

from __future__ import annotations

import pytest
from builders import check_of, data
from jackshaft.buildfile import parse
from jackshaft.results import work_up
from jackshaft.results.proving import with_cures
from test_inserts import LBF, check, of


@pytest.mark.parametrize("shock, worse", [(1.0, 1.5**3), (1.5, 1.0), (2.0, (1.5 / 2) ** 3)])
def test_an_unknown_shock_factor_is_1_5_at_the_bad_end(shock, worse):
    # life goes with load to the third; belts and rough work need up to 1.5 (textbook-practice)
    known = data(of(shock_factor=str(shock)), "bearings").lives["A"].life_bad
    assert known == pytest.approx(worse * data(of(), "bearings").lives["A"].life_bad)


def test_static_safety_counts_an_unknown_shock_as_1_5():
    untold, told, one = (check(of(shock_factor=s), "static") for s in ("", "1.5", "1"))
    assert untold.found.si == pytest.approx(told.found.si) == pytest.approx(one.found.si / 1.5)
    assert untold.wanted.si == told.wanted.si == 1.5  # textbook-practice, with shocks


DRIVEN = """
[engine]
kind = "petrol engine"
work_speed = "3000 rpm"
[[stage]]
name = "box"
kind = "gearbox"
from = "engine"
to = "jack"
ratio = 1.0
reverses = false
"""


@pytest.mark.parametrize(
    "grade, rated, verdict", [("h6", "", "not decidable"), ("h6", "3600 rpm", "go"), ("h9", "", "caution")]
)
def test_the_speed_is_judged_where_only_that_at_work_is_known(grade, rated, verdict):
    # the engine may run up: what holds at work is left open, what is too fast at work stays so
    build = parse((of(seat_class=grade).build.text + DRIVEN).encode(), file="blocks.toml")
    build = build.with_values({"bearing[A].seat_class": grade, "engine.rated_speed": rated})
    found = check_of(with_cures(work_up(build)), "bearings.speed[A]")
    assert found.verdict == verdict


FAR = {"bearing[B].position": "1500 mm", "bearing[B].located": False}


@pytest.mark.parametrize(
    "changes, grows, verdict",
    [
        ({}, 1.5, "caution"),
        ({"bearing[B].locking": "eccentric collar"}, 1.5, "caution"),
        ({"bearing[B].housing": "floating unit"}, 0, "go"),
        ({"bearing[B].locking": "none"}, 0, "go"),
    ],
)
def test_a_locked_insert_in_a_housing_that_holds_it_does_not_float(changes, grows, verdict):
    # steel 11.5e-6 per K, 30 K, 1.5 m: 0.52 mm, and 0.2 mm go into the play of the balls
    found = check_of(work_up(of().build.with_values(FAR | changes)), "bearings.located[jack]")
    assert found.found.si == pytest.approx(11.5e-6 * 30 * grows) and found.verdict == verdict
    assert ("floating: B" in found.reason) == (grows > 0)


@pytest.mark.parametrize(
    "bar, grade, verdict",
    [
        ("1-3/16 in", "h6", "stop"),  # 30.1625 less 0.016 mm is over 30 and 0.021 mm
        ("1-3/16 in", "h11", "caution"),  # less 0.160 mm: some bars go on
        ("30 mm", "h6", None),
    ],
)
def test_bar_whose_whole_band_is_over_the_bore_does_not_go_on(bar, grade, verdict):
    found = of(mark="UC206", bar=bar, seat_class=grade)
    bore = [c for c in found.checks if c.id == "bearings.bore[A]"]
    assert [c.verdict for c in bore] == ([verdict] if verdict else [])
    assert (check(found, "seat").verdict == "stop") == (verdict == "stop")


@pytest.mark.parametrize("torque, hold, verdict", [("4 N*m", 800, "go"), ("2 N*m", 400, "go"), ("0.3 N*m", 60, "stop")])
def test_screws_hold_in_proportion_to_a_torque_below_the_lists(torque, hold, verdict):
    # two 1/4 in cup points hold 2 x 400 lbf at 4 N m, the least of the lists; 300 lbf push along the shaft
    lock = check(of(screw_torque=torque, axial_load="300 lbf"), "locking")
    assert lock.wanted.si == pytest.approx(hold * LBF, rel=0.01) and lock.verdict == verdict


GEAR = {"stage": ["pair"], "stage[pair].kind": "gear", "stage[pair].from": "engine", "stage[pair].to": "jack"}
GEAR |= {"shaft[jack].load[belt].stage": "pair"}


@pytest.mark.parametrize("stage, along, more", [({}, 0.1, 1.0), (GEAR, 0.35, 0.56 + 2.30 * 0.35)])
def test_an_unknown_push_along_the_shaft_counts_at_its_bad_end(stage, along, more):
    """ISO 281: 0.56 of the load across and at most 2.30 of the one along, and never less than the load across."""
    build = of(shock_factor="1").build.with_values(stage)
    told, untold = (
        work_up(build.with_values({"bearing[A].axial_load": said})).chapters["bearings"].data.lives["A"]
        for said in ("none", "")
    )
    assert (told.along, untold.along) == (None, along) and told.axial_bad == 0.0
    assert untold.axial_bad == pytest.approx(along * max(untold.top, untold.radial[0]))
    assert untold.life == told.life and untold.life_bad == pytest.approx(told.life_bad / more**3)


def test_screws_that_hold_nothing_of_an_unknown_push_are_a_caution():
    # two screws hold 2 x 400 lbf at 4 N m, so 267 N at so little; a tenth of the 4 kN across each bearing is more
    lock, none = (check(of(pull="8000 N", screw_torque="0.3 N*m", axial_load=a), "locking") for a in ("", "none"))
    assert (lock.verdict, none.verdict) == ("caution", "go") and "not written down" in lock.reason

"""Checks that had no cure: what is bought or moved for them, what is left open, and what is asked for instead."""

import re
from dataclasses import replace

import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.render.parts import outcome
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED, Check
from jackshaft.results.cure import Cure
from jackshaft.results.findings import CANNOT
from jackshaft.results.proving import _better, applied, prove
from jackshaft.results.uncured import advised, no_change

CHAIN, BELTS, RING = "stage[output chain]", "stage[crank belts]", "stage[ring gear]"
IDLER = {"chain_takeup": "idler sprocket", "idler_teeth": 15, "idler_x": "2 in", "idler_y": "9 in"}
CASES = [
    ("compost_trommel", "ratio.rating[gearbox]", {"stage[gearbox].rating": "20 N·m"}, "stage[gearbox].rating"),
    ("compost_trommel", "ratio.power", {}, "engine.rated_power"),
    (
        "drum_mixer",
        "ratio.small-gear[ring gear]",
        {f"{RING}.driver_teeth": 7, f"{RING}.driven_teeth": 70},
        f"{RING}.driver_teeth",
    ),
    (DEMO, "guards.ground[crank belts]", {f"{BELTS}.ground_y": "-8 in", f"{BELTS}.guard_low_y": "-7 in"}, BELTS),
    (
        DEMO,
        "roller-chain.idler[output chain]",
        {f"{CHAIN}.centres_toward": "0 deg", **{f"{CHAIN}.{k}": v for k, v in IDLER.items()}},
        f"{CHAIN}.idler_y",
    ),
    (DEMO, "driveline.middle", {f"{CHAIN}.driven_teeth": 13}, "driveline.attitude"),
]


@pytest.mark.parametrize(("name", "id", "spoilt", "key"), CASES, ids=[c[1] for c in CASES])
def test_what_is_offered_was_tried_and_does_it(name, id, spoilt, key):
    results = work_up(load(name).with_values(spoilt))
    assert next(c for c in results.checks if c.id == id).verdict in (CAUTION, STOP)
    cures = prove(results, id, most=1)
    assert cures and any(k.startswith(key) for k in cures[0].changes)
    after = next((c for c in work_up(applied(results.build, cures[0].changes)).checks if c.id == id), None)
    assert after is None or after.verdict == GO or (after.verdict, after.missing) == (UNDECIDED, cures[0].measure)


def test_a_shaft_is_not_switched_off_where_it_works():
    """Seen: 'Switch the shaft off before it comes to working.'"""
    results = work_up(load(DEMO).with_values({f"{CHAIN}.driven_teeth": 13}))
    assert not any("driveline.attitude[working].turns" in c.changes for c in prove(results, "driveline.middle"))


@pytest.mark.parametrize(
    ("verdict", "missing", "found", "better"),
    [
        (STOP, ("work.power",), "not known yet", True),
        (STOP, ("work.power",), CANNOT, False),
        (STOP, (), "not known yet", False),
        (CAUTION, ("engine.rated_power",), "not known yet", False),
        (CAUTION, ("engine.side_load_limit",), "not known yet", True),
    ],
)
def test_a_check_left_open_is_better_only_where_something_is_to_be_found_out(verdict, missing, found, better):
    """For a caution it is what nobody knew before: else a value taken out would mend it."""
    build = load("compost_trommel")
    now = Check("x.y", "x", "1", "2", verdict, "", "Mend it.")
    assert _better(now, Check("x.y", "x", found, "2", UNDECIDED, "", missing=missing), build) is better


def test_what_is_left_open_is_told_and_its_keys_are_named():
    told = outcome(Cure("Do it.", {}, UNDECIDED, "", measure=("engine.side_load_limit",)))
    assert "no longer fails" in told and "side load" in told


def test_the_maker_is_asked_with_the_pulls_where_nothing_mends_the_crank():
    results = work_up(load(DEMO), ("shafts",))
    check = next(c for c in results.checks if c.id == "shafts.crank-bending")
    asked = advised(results, check).remedy
    assert asked.startswith("Ask the maker of the engine") and " at work" in asked and asked.endswith(check.remedy)
    assert advised(results, replace(check, cures=(Cure("Do it.", {}, GO, ""),))).remedy == check.remedy


def test_the_motor_that_is_asked_for_holds_and_its_pull_out_alone_does_not():
    """Seen: asked for was the pull-out alone, and the rated torque fell short at the bad end of the power."""
    mixer = load("drum_mixer")
    results = work_up(mixer, ("ratio",), at_ends=True)
    check = next(c for c in results.checks if c.id == "ratio.power")
    power, torque = re.match(
        r"Ask for a motor of (.+) or more that pulls out at (.+) or more\.", advised(results, check).remedy
    ).groups()
    for changes, verdict in (({"engine.rated_power": power}, GO), ({}, CAUTION)):
        there = work_up(mixer.with_values({"engine.peak_torque": torque, **changes}), ("ratio",), at_ends=True)
        assert next(c for c in there.checks if c.id == "ratio.power").verdict == verdict


def test_what_must_be_read_says_why_nothing_mends_it():
    check = Check("bearings.identity[A]", "A", "", "", CAUTION, "", "Measure.")
    assert "read" in no_change(check) and no_change(replace(check, id="ratio.power")) == ""

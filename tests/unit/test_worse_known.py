"""A value known worse never gives a better verdict, and a go holds at the bad end of what it rests on."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import pytest
from builders import check_of
from jackshaft.buildfile import load
from jackshaft.buildfile.schema import USUAL_OFF
from jackshaft.results import work_up
from jackshaft.results.bands import ends_of
from jackshaft.results.checks import CAUTION, GO, ORDER, STOP
from jackshaft.units import Measure

TOP = Path(__file__).resolve().parents[2]
BUILDS = sorted([*TOP.glob("data/builds/*.toml"), *TOP.glob("tests/builds/*.toml")])
#: Every so many keys of all builds; all of them where JACKSHAFT_KEYS is 1.
EVERY = int(os.environ.get("JACKSHAFT_KEYS", "40"))
#: A reading that may be far off agrees with sizes that a close one rules out: that is no better verdict on the machine.
MATCHED = ("bearings.identity",)


def banded(build, key, share):
    """Return a build with an allowance of a share of the value at a key, no less than it has."""
    value = build.values[key]
    off = share * (abs(value.si) or 0.01)
    return replace(build, values={**build.values, key: replace(value, plus_minus=max(off, value.plus_minus or 0.0))})


def test_a_wide_allowance_betters_no_verdict(for_each):
    told = {file.stem: load(file) for file in BUILDS}
    found = {name: work_up(build, at_ends=True) for name, build in told.items()}
    keys = [(name, k) for name, b in told.items() for k, v in b.values.items() if isinstance(v, Measure)]

    def no_better(case):
        name, key = case
        after = work_up(banded(told[name], key, 0.5), before=found[name], at_ends=True)
        now = {c.id: c for c in after.checks}
        assert not after.faults and not any(id.endswith(".fault") for id in now)
        for was in found[name].checks:
            there = now.get(was.id)
            if was.id.partition("[")[0] in MATCHED:
                continue
            if there is None:
                # its part is no longer known well enough: another check of it says so
                part = was.id.partition("[")[2]
                assert any(c.verdict != GO and c.id.endswith(part) for c in now.values()), was.id
            else:
                assert ORDER.index(there.verdict) >= ORDER.index(was.verdict), (was.id, was.verdict, there.verdict)

    for_each(keys[::EVERY], no_better)


POWER, SPEED = "work.power", "engine.work_speed"
#: With the band of a value that wide, what is go no longer, of those that took the likely value alone before.
SPOILT = [
    ({POWER: 0.5}, {"clutch.pull-in", "clutch.engagement", "chain.start", "chain.peak"}),
    ({SPEED: 0.2}, {"clutch.engagement", "clutch.repeated", "chain.peak"}),
]


def at(build, shares):
    for key, share in shares.items():
        build = banded(build, key, share)
    return build


@pytest.mark.parametrize("shares, spoilt", SPOILT)
def test_what_fails_at_an_end_is_a_caution_that_names_the_value(shares, spoilt):
    build = load("feed_wagon_auger")
    plain, found = work_up(build), work_up(at(build, shares), at_ends=True)
    for id in spoilt:
        check = check_of(found, id)
        assert check_of(plain, id).verdict == GO and check.verdict == CAUTION
        assert all(words in check.reason for words in ("With the ", "this is a ")) and check.remedy


def test_several_bands_are_judged_at_their_bad_ends_together():
    """The work's torque is its power over its speed. The pin gives at 0.9 of 17.4 lbf·ft at the low end, 1.16 times the
    peak: 1.08 times that holds, 1 / 0.92 times too, and both together, 1.17 times, do not."""
    build, verdicts = load("feed_wagon_auger"), []
    for shares in ({POWER: 0.08}, {SPEED: 0.08}, {POWER: 0.08, SPEED: 0.08}):
        verdicts.append(check_of(work_up(at(build, shares), at_ends=True), "chain.peak").verdict)
    assert verdicts == [GO, GO, CAUTION]


def test_a_guess_has_a_usual_band_and_a_worse_verdict_than_the_same_value_measured():
    build = load("feed_wagon_auger")
    power = build.values[POWER]
    known = {
        how: work_up(build.with_values({POWER: {"value": power.text, "known": how}}), at_ends=True)
        for how in ("measured", "estimated", "guessed")
    }
    go = {how: {c.id for c in found.checks if c.verdict == GO} for how, found in known.items()}
    assert go["guessed"] < go["estimated"] <= go["measured"]
    words = check_of(known["guessed"], "clutch.pull-in").reason
    assert "it is guessed" in words and "common practice, no source" in words
    assert "what is guessed too" in check_of(known["guessed"], "shafts.strength[jackshaft]").reason


def test_the_ends_of_a_band_are_within_what_the_key_takes():
    def ends(key, si, **how):
        return [m.si for m in ends_of(key, Measure(si, "number", str(si), **how))]

    assert ends("work.peak_factor", 2.0, plus_minus=0.5) == [1.5, 2.5]
    low, high = ends("stage[a].efficiency", 0.9, known="guessed")
    assert (low, high) == (pytest.approx(0.9 * (1 - USUAL_OFF["guessed"])), 1.0)
    assert ends("work.peak_factor", 2.0) == ends("work.peak_factor", 2.0, known="guessed", plus_minus=0.0) == []
    low, _ = (m.si for m in ends_of(SPEED, Measure(300.0, "rotation", "300 rad/s", plus_minus=400.0)))
    assert low > 0


@pytest.mark.parametrize("key", ["bearing[engine side].axial_load", "bearing[engine side].shock_factor"])
def test_what_nobody_says_of_a_bearing_is_judged_at_its_bad_end_and_said(key):
    build = load("feed_wagon_auger")
    id = "bearings.life[engine side]"
    untold, none = (check_of(work_up(build.with_values({key: v})), id) for v in ("", "none" if "axial" in key else "1"))
    assert ("not written down" if "axial" in key else "1.2 is taken as likely") in untold.reason
    assert untold.found.low <= none.found.low and none.reason != untold.reason
    if "shock" in key:
        assert untold.found.si == pytest.approx(none.found.si / 1.2**3) and untold.found.low < untold.found.si


#: Sizes and places of the demo and what they spoil, all of it far from its limit by the numbers of its check.
NARROW = {
    "stage[crank belts].pulley[J].x": "layout.length[crank belts]",
    "stage[crank belts].pulley[I].pin_diameter": "bearings.idler-fit[crank belts: I]",
    "bearing[chain side].bore": "bearings.identity[chain side]",
}


def test_a_narrow_allowance_of_a_size_is_judged_where_a_hand_finds_a_stop(for_each):
    def told(case):
        key, id = case
        build, chapter = load("feed_wagon_auger"), (id.partition(".")[0],)
        wide = banded(build, key, 0.019)
        raw = work_up(build, chapter)
        by_hand = [
            check_of(work_up(replace(build, values={**build.values, key: end}), chapter), id).verdict
            for end in ends_of(key, wide.values[key])
        ]
        assert (check_of(raw, id).verdict, STOP in by_hand) == (GO, True)
        assert check_of(work_up(wide, chapter, before=raw, at_ends=True), id).verdict == CAUTION

    for_each(NARROW.items(), told)


RESTS = ("electric.voltage", "clutch.hold", "clutch.pull-in", "clutch.engagement", "chain.holds", "chain.weak-link")


def test_a_coil_whose_voltage_nobody_wrote_down_is_an_estimate_and_no_go():
    """One wound for 24 V would hold a quarter. Seen: a go at the system's 12 V. A slip test needs no plate."""
    build = load("feed_wagon_auger").with_values({"clutch.plate_voltage": ""})
    found = work_up(build)
    for id in RESTS:
        assert check_of(found, id).missing == ("clutch.plate_voltage",), id
    assert "12.00 V is an estimate" in check_of(found, "clutch.hold").reason
    tested = {"slip_force": "40 lbf", "slip_lever": "15 in", "slip_voltage": "12.5 V", "static_torque": ""}
    held = work_up(build.with_values({f"clutch.{k}": v for k, v in tested.items()}), ("clutch",))
    assert "clutch.plate_voltage" not in check_of(held, "clutch.hold").missing

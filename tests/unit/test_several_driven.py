"""One belt that drives several shafts: the keys, what is refused in words, and what every chapter makes of it."""

from pathlib import Path

import numpy as np
import pytest
from builders import check_of as check
from builders import data, fact, sheet
from jackshaft.buildfile import DEMO, BuildProblems, entered, load, parse, references, rename_part
from jackshaft.parts.belt_stage import read_pulleys
from jackshaft.parts.turning import at_clutch, turning
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED
from jackshaft.results.proving import applied, prove
from jackshaft.results.reader import Reader
from jackshaft.search import NothingCanWork, problem_of

BUILDS = Path(__file__).parents[1] / "builds"
DECK, CHIPPER = BUILDS / "three_spindle_deck.toml", BUILDS / "flywheel_chipper.toml"
STAGE = "deck belt"
AT = f"stage[{STAGE}]"
SPINDLES = ("left spindle", "centre spindle", "right spindle")


def deck(values=None):
    return load(DECK).with_values(values or {})


def worked(values=None, *chapters):
    return work_up(deck(values), chapters) if chapters else work_up(deck(values))


def said(results):
    """Every check as its words, and every number of the tables."""
    rows = {c.id: (c.verdict, str(c.value), str(c.limit), c.reason, c.remedy) for c in results.checks}
    for chapter in results.chapters.values():
        for t in chapter.tables:
            rows[t.title] = tuple(tuple(map(str, row)) for row in t.cells)
    return rows


# -- the keys ------------------------------------------------------------------------------------------


def test_one_pulley_with_share_1_is_the_older_way_of_writing():
    """A stage with one 'to' and one 'driven' says the same as one whose pulley says what it drives."""
    build = load(CHIPPER)
    at = "stage[wheel belts]"
    older = said(work_up(build))
    drives = {f"{at}.pulley[F].drives": "wheel shaft"}
    for more in ({}, {f"{at}.pulley[F].share": "1"}, {f"{at}.to": ""}, {f"{at}.to": "", f"{at}.driven": ""}):
        assert said(work_up(build.with_values({**drives, **more}))) == older, more


@pytest.mark.parametrize(
    ("values", "key", "words"),
    [
        ({f"{AT}.pulley[D].drives": "left spindle"}, f"{AT}.pulley[D].drives", "drives the belt"),
        ({f"{AT}.pulley[S].drives": "left spindle"}, f"{AT}.pulley[S].drives", "takes the belt up"),
        ({f"{AT}.pulley[D].share": "0.2"}, f"{AT}.pulley[D].share", "drives the belt"),
        ({f"{AT}.pulley[S].share": "0.2"}, f"{AT}.pulley[S].share", "takes the belt up"),
        ({f"{AT}.pulley[C].drives": "left spindle"}, f"{AT}.pulley[C].drives", "drives already"),
        ({f"{AT}.from": "left spindle"}, f"{AT}.pulley[L].drives", "at both ends"),
        ({f"{AT}.driven": "L", f"{AT}.to": "right spindle"}, f"{AT}.to", "drives 'left spindle'"),
        ({"work.shafts": "left spindle, rigth spindle"}, "work.shafts", "did you mean 'right spindle'"),
        ({"work.shafts": "left spindle, left spindle"}, "work.shafts", "a name twice"),
        ({f"{AT}.pulley[F].drives": "fan"}, f"{AT}.pulley[F].drives", "'fan'"),
    ],
)
def test_what_cannot_go_together_is_refused(values, key, words):
    with pytest.raises(BuildProblems) as refused:
        deck(values)
    found = [p for p in refused.value.problems if p.key == key]
    assert found and words in f"{found[0].found} {found[0].wanted}", refused.value.problems


def test_a_shaft_is_driven_once():
    second = {"stage": [STAGE, "other"], "stage[other].kind": "roller chain", "stage[other].from": "engine"}
    with pytest.raises(BuildProblems) as refused:
        deck({**second, "stage[other].to": "right spindle"})
    assert any("already drives" in p.found for p in refused.value.problems)


@pytest.mark.parametrize("share", ["0.2", "0.5"])
def test_shares_that_do_not_add_up_are_refused_in_words(share):
    """One key is written at a time, so the file takes it; every chapter says what is wrong, and none goes on."""
    results = worked({f"{AT}.pulley[C].share": share})
    total = 0.6 + float(share)
    named = check(results, f"ratio.shares[{STAGE}]")
    assert named.verdict == UNDECIDED
    assert f"add up to {total:g}; they must add up to 1" in named.reason
    assert set(named.missing) == {f"{AT}.pulley[{n}].share" for n in "LCR"}
    assert not results.faults and not results.chapters["grip"].data
    assert {c.verdict for c in results.checks if c.id.startswith("ratio.speed")} == {UNDECIDED}


def test_a_share_or_a_shaft_that_is_missing_is_asked_for():
    results = worked({f"{AT}.pulley[C].share": ""})
    assert check(results, f"layout.length[{STAGE}]").missing == (f"{AT}.pulley[C].share",)
    results = worked({f"{AT}.pulley[C].drives": ""})
    assert f"{AT}.pulley[C].drives" in check(results, f"layout.length[{STAGE}]").missing


def test_a_shaft_that_the_stage_drives_by_no_pulley_is_asked_for():
    results = worked({"shaft": [*SPINDLES, "fan"], f"{AT}.to": "fan"})
    assert f"{AT}.driven" in check(results, f"layout.length[{STAGE}]").missing


def test_several_names_are_taken_in_any_capitals():
    assert entered(deck(), "work.shafts", "LEFT spindle,Right  Spindle") == {
        "work.shafts": "left spindle, right spindle"
    }


def test_a_renamed_shaft_is_renamed_wherever_it_stands(own_data):
    path = own_data / "builds" / "deck.toml"
    path.write_bytes(DECK.read_bytes())
    build = load("deck")
    assert set(references(build, "shaft[left spindle]")) == {"work.shafts", f"{AT}.pulley[L].drives"}
    now, carried = rename_part(build, "shaft[left spindle]", "port spindle")
    assert set(carried) == {"work.shafts", f"{AT}.pulley[L].drives"}
    assert now.get("work.shafts") == "port spindle, centre spindle, right spindle"
    assert now.get(f"{AT}.pulley[L].drives") == "port spindle"
    assert parse(path.read_bytes(), file="deck.toml").values == now.values


# -- ratio ---------------------------------------------------------------------------------------------


def test_each_shaft_has_its_own_speed_direction_and_band():
    """A smaller pulley on the right spindle turns it faster; its own band says that it may."""
    values = {f"{AT}.pulley[R].diameter": "125 mm"}
    results = worked(values, "ratio")
    found = data(results, "ratio").shaft("right spindle")
    assert found.work * 30 / np.pi == pytest.approx(3000 * 154 / 125)
    assert check(results, "ratio.speed[right spindle]").verdict == STOP
    assert check(results, "ratio.speed[left spindle]").verdict == GO
    own = {**values, "shaft[right spindle].speed_most": "4000 r/min"}
    assert check(worked(own, "ratio"), "ratio.speed[right spindle]").verdict == GO
    own["shaft[right spindle].speed_least"] = "3800 r/min"
    assert check(worked(own, "ratio"), "ratio.speed[right spindle]").verdict == STOP


def test_own_direction_is_judged_on_its_shaft():
    results = worked(
        {
            "shaft[right spindle].turns": "clockwise",
            "shaft[right spindle].seen_from": "facing the engine's output shaft",
        },
        "ratio",
    )
    assert [check(results, f"ratio.direction[{n}]").verdict for n in SPINDLES] == [GO, GO, STOP]


def test_a_shaft_that_does_no_work_is_judged_by_its_own_band_only():
    values = {"work.shafts": "left spindle, centre spindle", "shaft[right spindle].speed_most": "3200 r/min"}
    results = worked(values, "ratio")
    assert check(results, "ratio.speed[right spindle]").verdict == STOP
    ids = {c.id for c in results.checks}
    assert "ratio.direction[right spindle]" not in ids and "ratio.surface-speed[right spindle]" not in ids


def test_own_peak_counts_for_its_pulley_and_for_what_drives_it():
    results = worked({"shaft[centre spindle].peak_factor": "4"})
    state = {n: data(results, "ratio").shaft(n) for n in (*SPINDLES, "engine")}
    assert [state[n].peak_torque / state[n].torque for n in SPINDLES] == pytest.approx([2, 4, 2])
    whole = 0.6 * 2 + 0.4 * 4
    assert state["engine"].peak_torque / state["engine"].torque == pytest.approx(whole)
    stage = data(results, "grip", STAGE)
    work, peak = stage.case("work"), stage.case("peak")
    assert peak.factor == pytest.approx(whole)
    assert peak.pulls[[0, 2, 3, 4]] / work.pulls[[0, 2, 3, 4]] == pytest.approx([whole, 2, 4, 2])
    assert np.sum(peak.pulls) == pytest.approx(0.0, abs=1e-9)


def test_powers_are_what_the_shares_say_wherever_the_power_is_given():
    at_engine = worked(None, "ratio")
    one = data(at_engine, "ratio").shaft("centre spindle").power
    assert one == pytest.approx(0.4 * 4200)
    at_spindle = worked({"work.power_at": "centre spindle", "work.power": "1680 W"}, "ratio")
    assert data(at_spindle, "ratio").shaft("engine").power == pytest.approx(4200)
    assert sum(data(at_spindle, "ratio").shaft(n).power for n in SPINDLES) == pytest.approx(4200)


def test_a_cure_of_one_shafts_speed_changes_its_own_pulley():
    results = worked({f"{AT}.pulley[R].diameter": "125 mm"})
    found = check(results, "ratio.speed[right spindle]")
    assert found.verdict == STOP
    offered = prove(results, found.id)
    assert offered and all(f"{AT}.pulley[L].diameter" not in c.changes for c in offered)
    assert any(f"{AT}.pulley[R].diameter" in c.changes for c in offered)
    for one in offered:
        after = work_up(applied(results.build, one.changes), ("ratio",))
        assert check(after, found.id).verdict != STOP


def test_a_belt_that_says_what_its_one_pulley_drives_can_be_searched():
    build, at = load(DEMO), "stage[crank belts]"
    driven, to = build.get(f"{at}.driven"), build.get(f"{at}.to")
    written = {f"{at}.pulley[{driven}].drives": to, f"{at}.to": "", f"{at}.driven": ""}
    older, newer = problem_of(build, "crank belts"), problem_of(build.with_values(written), "crank belts")
    assert newer.driven == older.driven and newer.window == older.window and newer.power == older.power


# -- grip ----------------------------------------------------------------------------------------------


def test_pulls_follow_the_shares_and_add_up_to_nothing():
    stage = data(worked(None, "grip"), "grip", STAGE)
    assert stage.pulls / stage.pull == pytest.approx([-1.0, 0.0, 0.3, 0.4, 0.3, 0.0])


def test_an_idler_between_two_driven_pulleys_is_not_in_the_slack_strand():
    order = ["D", "S", "L", "C", "K", "R", "F"]
    there = {f"{AT}.pulley": order, f"{AT}.pulley[K].x": "235 mm", f"{AT}.pulley[K].y": "-60 mm"}
    there |= {f"{AT}.pulley[K].{k}": v for k, v in (("diameter", "60 mm"), ("measured_as", "outside"))}
    there |= {f"{AT}.pulley[K].side": "outside", f"{AT}.pulley[K].surface": "flat"}
    results = worked({**there, f"{AT}.length": "", f"{AT}.length_is": ""})
    stage = data(results, "grip", STAGE)
    assert stage.tight_idlers == ("K", "F") and stage.strand_role[order.index("K")] == 0
    assert check(results, f"grip.idlers[{STAGE}]").verdict == CAUTION
    added = [words for words, _ in data(results, "capacity", STAGE).service.parts]
    assert any("K" in words for words in added)


def test_a_switch_on_each_shaft_clears_the_caution_and_is_offered():
    results = worked()
    found = check(results, f"grip.held-still[{STAGE}]")
    offered = [c.changes for c in prove(results, found.id)]
    assert {f"{AT}.standstill_switch": "yes"} in offered
    assert check(worked({f"{AT}.standstill_switch": True}), found.id).verdict == GO


def test_a_weak_engine_stalls_before_the_belt_burns():
    """At the bad end of grip C alone still takes 14.9 N m of the crank: an engine of 14 N m stalls whichever stands."""
    weak = {"engine.peak_torque": "14 N·m", "engine.rated_power": "4 kW"}
    assert check(worked(weak), f"grip.held-still[{STAGE}]").verdict == GO
    nearly = {"engine.peak_torque": "16 N·m", "engine.rated_power": "4 kW"}
    found = check(worked(nearly), f"grip.held-still[{STAGE}]")
    assert found.verdict == CAUTION and "over C and burns" in str(found.found)


def test_an_unknown_engine_leaves_it_open():
    results = worked({"engine.peak_torque": ""})
    found = check(results, f"grip.held-still[{STAGE}]")
    assert found.verdict == UNDECIDED and found.missing == ("engine.peak_torque",)


def test_what_drives_it_bounds_the_case_for_shafts():
    """With its inertia known the engine bounds the high end: what it gives with its crank brought to a stand."""
    free = data(worked(), "grip", STAGE)
    light = data(worked({"engine.inertia": "0.00001 kg·m2"}), "grip", STAGE)
    for a, b in zip(free.standing, light.standing, strict=True):
        # the driver's pull times its radius is the torque of the crank
        most = 60.0 + 0.5 * 1e-5 * (3000 * np.pi / 30) ** 2 / (np.pi / 2)
        crank = -b.case.pulls[0] * 0.077
        assert crank == pytest.approx(min(most, -a.case.pulls[0] * 0.077), rel=1e-6)


def test_locked_centres_settle_with_the_speed_of_the_belt():
    """A belt that slows down is tighter: static tension less what is centrifugal at the speed that it then has."""
    values = {
        f"{AT}.takeup.kind": "fixed idler",
        f"{AT}.takeup.slack_tension": "",
        f"{AT}.takeup.static_tension": "260 N",
    }
    stage = data(worked(values), "grip", STAGE)
    assert stage.standing
    for one in stage.standing:
        hold = stage.hold_at(260.0, one.centrifugal[0])
        assert float(np.sum(hold.weights * one.found.net[0])) == pytest.approx(260.0 - one.centrifugal[0], rel=1e-4)
        assert one.centrifugal[0] == pytest.approx(stage.centrifugal * one.found.speed[0] ** 2, rel=1e-6)


# -- the other chapters ----------------------------------------------------------------------------------


def test_all_driven_shafts_count_in_the_run_up():
    """Three blades of 0.05 kg m2 at 1.1 times the engine's speed, and three pulleys of 1 kg as discs."""
    weights = {f"{AT}.pulley[{n}].weight": "1 kg" for n in "LCR"}
    build = deck({"work.inertia": "0.05 kg·m2", **weights})
    ratio, reader = data(work_up(build, ("ratio",)), "ratio"), Reader(build)
    assert at_clutch(ratio, "engine", dict.fromkeys(SPINDLES, 0.05)) == pytest.approx(3 * 0.05 * 1.1**2)
    found = turning(reader, ratio, "engine")
    pulleys = 3 * 0.5 * 1.0 * (0.147 / 2) ** 2 * 1.1**2
    assert found.likely == pytest.approx(3 * 0.05 * 1.1**2 + pulleys)
    assert len(found.parts) == 3


def test_a_run_down_test_took_all_of_them_in_already():
    """40 r/min lost in 2 s against 3 N m at a spindle is the inertia of all together, at 1.1 the engine speed."""
    run_down = {"work.run_down_speed": "40 r/min", "work.run_down_time": "2 s", "work.run_down_drag": "3 N·m"}
    build = deck(run_down)
    found = turning(Reader(build), data(work_up(build, ("ratio",)), "ratio"), "engine")
    assert found.likely == pytest.approx(3.0 * 2.0 / (40 * np.pi / 30) * 1.1**2)


def test_the_chain_takes_every_shaft_of_the_work_and_says_what_it_leaves_out():
    values = {f"shaft[{n}].{k}": v for n in SPINDLES for k, v in (("diameter", "25 mm"), ("yield_strength", "400 MPa"))}
    results = worked({**values, "shear_pin": "none"})
    names = {link.name for link in data(results, "chain").links}
    assert {f"{n} yields in torsion" for n in SPINDLES} <= names
    assert "held still by itself" in check(results, "chain.weak-link").reason
    # torsion of the centre spindle, carried to the engine by its share of the load and 1.1 of its speed
    link = next(k for k in data(results, "chain").links if k.name == "centre spindle yields in torsion")
    torque = 0.577 * 400e6 * np.pi * 0.025**3 / 16
    assert link.likely == pytest.approx(torque * 1.1 / 0.4, rel=1e-3)


def test_no_speed_up_addition_below_five_quarters():
    """Speeding up adds by steps of the ratio, from 1.25 on; 154 : 140 is none of them."""
    parts = {w: str(a) for w, a in data(worked(), "capacity", STAGE).service.parts}
    assert "the belt speeds the work up" not in parts
    parts = dict(data(worked({f"{AT}.pulley[D].diameter": "180 mm"}), "capacity", STAGE).service.parts)
    assert str(parts["the belt speeds the work up"]) == "+0.05"


def test_the_search_says_what_it_can_search():
    with pytest.raises(NothingCanWork, match="drives several shafts.*A belt that drives one shaft can be searched"):
        problem_of(deck(), STAGE)


def test_pulleys_know_their_shafts_and_shares():
    p = read_pulleys(Reader(deck()), AT)
    assert (p.powered, p.works, p.several) == ((0, 2, 3, 4), (2, 3, 4), True)
    assert [p.on(n) for n in (*SPINDLES, "engine")] == [2, 3, 4, 0]
    assert p.names[p.driven] == "C"


def test_facts_say_what_each_shaft_takes():
    note = fact(worked(None, "ratio"), f"{STAGE}: engine to centre spindle", "ratio").note
    assert "centre spindle takes 40 % of it" in note


def test_friction_asks_of_each_pulley_what_it_takes():
    """At C the slack strand needs its own pull over (e^kw - 1), not the pull of the whole belt."""
    results = worked(None, "grip")
    row = next(r for r in sheet(results, f"{STAGE}: friction", "grip").cells if r[0] == "C")
    stage = data(results, "grip", STAGE)
    slack = 0.4 * stage.pull / (np.exp(0.5123 * stage.layout.path.wrap[3]) - 1)
    assert row[5].si == pytest.approx(slack)

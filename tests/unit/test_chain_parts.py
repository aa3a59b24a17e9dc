"""Every part that a build names is a link of the chain or is listed as left out, and the right end of a band counts."""

from __future__ import annotations

import math
import os

import numpy as np
import pytest
from builders import check_of
from jackshaft.buildfile import DEMO, BuildProblems, builds_dir, load, parse
from jackshaft.buildfile.keys import possible_keys
from jackshaft.mechanics import chain as mech
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED
from jackshaft.units import OutOfRange
from test_proving import MACHINES

LBF_FT = 4.4482216152605 * 0.3048
SLACK = "stage[crank belts].takeup.slack_tension"
PIN = ("shaft", "diameter", "shear_strength", "radius", "planes")
CHAIN = ("ratio", "chain")
#: What joints bent by 20.5° and 18.0° feel at most, over a steady torque.
BENT = 1.0 / math.cos(math.radians(20.5)) / math.cos(math.radians(18.0))
JUDGED = ("chain.holds", "chain.start", "chain.peak", "chain.weak-link")


def named(build) -> set[str]:
    """Where the build names what may give between engine and work; on these machines all lie in one line."""
    found = {"engine"} if build.has("engine") else set()
    found |= {f"stage[{s}]" for s in build.names("stage")} | {f"shaft[{s}]" for s in build.names("shaft")}
    found |= {f"shaft[{s}].joint[{j}]" for s in build.names("shaft") for j in build.names(f"shaft[{s}].joint")}
    found |= {part for part in ("clutch", "driveline", "shear_pin") if build.has(part) and not build.is_none(part)}
    if build.has("engine.key_width") or build.has("engine.key_length"):
        found.add("engine key")
    return found


def chain_of(changes=None, machine=DEMO):
    results = work_up(load(machine).with_values(changes or {}))
    return results, results.chapters["chain"].data


def link(data, part):
    return next(k for k in data.links if k.part == part)


def go_only_with_all(build, words, before=None):
    """Hold that a build whose chain is called go has every named part among its links."""
    results = work_up(build, CHAIN, before=before)  # test_workup_reuse: as if worked up anew
    assert not results.faults, words
    data = results.chapters["chain"].data
    known = {k.part for k in data.links} if data else set()
    for check in results.of("chain"):
        if check.id in JUDGED and check.verdict == GO:
            assert named(build) <= known, f"{words}: {check.id} is go without {named(build) - known}"
        if check.verdict == UNDECIDED and check.value != "cannot be worked out":
            assert check.missing, f"{words}: {check.id} names no key"
            assert all(build.get(k) is None for k in check.missing), f"{words}: {check.id} asks for what is known"


def test_no_chain_is_go_while_a_named_part_is_unknown(for_each):
    for_each(MACHINES, lambda m: go_only_with_all(load(m), str(m)))


def test_no_single_key_can_be_lost_and_the_chain_be_go_without_its_part(for_each):
    demo, tried = load(DEMO), []
    before = work_up(demo, CHAIN)

    def without(key):
        try:
            build = demo.with_values({key: ""})
        except BuildProblems:
            return
        tried.append(key)
        go_only_with_all(build, key, before)

    known = [k for k in possible_keys(demo) if demo.get(k) is not None]
    for_each(known[:: 1 if "JACKSHAFT_REUSE" in os.environ else 2], without)
    assert len(tried) > 50


def test_the_demo_names_every_part_as_a_link():
    data = chain_of()[1]
    assert {k.part for k in data.links} == named(load(DEMO)) and not data.lacking


@pytest.mark.parametrize(
    "key, part",
    [
        ("stage[output chain].chain", "stage[output chain]"),
        ("shaft[jackshaft].material", "shaft[jackshaft]"),
        ("shaft[output shaft].joint[joint key].length", "shaft[output shaft].joint[joint key]"),
        ("driveline.joint_rating", "driveline"),
        ("shear_pin.radius", "shear_pin"),
        ("engine.key_length", "engine key"),
        ("work.shaft", "shafts.hub[work]"),
        (SLACK, "stage[crank belts]"),
    ],
)
def test_a_part_left_out_is_listed_with_what_it_lacks(key, part):
    results, data = chain_of({key: ""})
    left = next(k for k in data.lacking if k.part == part)
    wanted = "shaft[jackshaft].yield_strength" if key.endswith("material") else key
    assert left.keys == (wanted,)
    for id in ("chain.holds", "chain.weak-link"):
        found = check_of(results, id)
        assert found.verdict == UNDECIDED and wanted in found.missing
    sheet = next(t for t in results.chapters["chain"].tables if t.title == "Left out here")
    assert any(wanted in row[2] for row in sheet.rows) and "no load here is called go" in sheet.note


def test_what_decides_nothing_withholds_no_go():
    """Seen: 'no load here is called go' under a pulley that no verdict waits for, beside five of them."""
    results, data = chain_of({})
    sheet = next(t for t in results.chapters["chain"].tables if t.title == "Left out here")
    assert sheet.rows and not data.lacking and check_of(results, "chain.holds").verdict == GO
    assert "called go" not in sheet.note


def test_the_engines_torque_is_known_as_the_build_says():
    """Seen: 'plate' for a torque that was looked up in a handbook."""
    assert link(chain_of()[1], "engine").source == "looked up, curve in the engine's handbook"
    assert "torque curve" in link(chain_of({"engine.peak_torque": ""})[1], "engine").source


def test_a_stop_that_becomes_unknown_leaves_no_caution():
    """A key of 0.1 in shears; the belt, at 16 lbf, may slip at a restart. Seen: without the key's length a caution."""
    short, gone = (
        chain_of({SLACK: "16 lbf", "shaft[output shaft].joint[joint key].length": length})[0]
        for length in ("0.1 in", "")
    )
    assert {check_of(short, id).verdict for id in JUDGED} == {"stop"}
    start = check_of(gone, "chain.start")
    assert start.verdict == UNDECIDED and start.reason.startswith("What is known is a caution. What may give")
    assert start.missing == ("shaft[output shaft].joint[joint key].length",)


def test_a_shaft_in_steps_yields_at_its_thinnest():
    """1-1/4 in of cold-drawn 1045, 530 MPa: 0.577 x 530 MPa x pi d^3 / 16, over 7/3 on the crank (21 : 9 in the datum,
    10.85 : 4.65 on the cord line)."""
    own = 0.577 * 530e6 * math.pi * (1.25 * 0.0254) ** 3 / 16
    assert link(chain_of()[1], "shaft[jackshaft]").likely == pytest.approx(own / (10.85 / 4.65), rel=0.001)


def test_a_belt_that_must_give_first_is_judged_at_its_best_grip():
    """0.80 in the groove and 44 lbf slack: E, 175.8°, slips at 44 (e^(0.8 wrap) - 1) lbf on 2.325 in."""
    belt = link(chain_of()[1], "stage[crank belts]")
    wrap = math.radians(175.8)
    grips = [44 * (math.exp(k * wrap) - 1) * 2.325 / 12 for k in (0.40, 0.5123, 0.80)]
    assert [belt.low / LBF_FT, belt.likely / LBF_FT, belt.high / LBF_FT] == pytest.approx(grips, rel=0.005)


def test_a_friction_that_the_build_gives_is_not_raised():
    belt = link(chain_of({"stage[crank belts].friction_groove": 0.45})[1], "stage[crank belts]")
    assert belt.high == pytest.approx(belt.likely)


def test_the_clutch_protects_nothing_before_it_pulls_cold_and_run_in():
    """72 lbf·ft at 12 V: 5.26 A of 4.615 cold, so 72 x 1.14^2 = 93.5 at the most; the state of its faces is no help."""
    new, worn = (link(chain_of({"clutch.faces": f})[1], "clutch") for f in ("new", "burnished"))
    assert new.high == worn.high == pytest.approx(72 * (5.26 / (12 / 2.6)) ** 2 * LBF_FT, rel=0.005)
    assert new.low < worn.low


def test_a_slip_test_on_new_faces_is_not_the_most_that_the_clutch_will_pull():
    test = {"clutch.slip_force": "20 lbf", "clutch.slip_lever": "24 in", "clutch.slip_voltage": "12 V"}
    changes = {**test, "clutch.static_torque": "", "clutch.plate_voltage": ""}
    new, worn = (link(chain_of({**changes, "clutch.faces": f})[1], "clutch") for f in ("new", "burnished"))
    assert new.high == pytest.approx(worn.high / 0.5)


def test_a_pin_gives_first_only_where_its_high_end_lies_under_every_low_end():
    """19.1 on the crank: 137.4 lbf·ft at the joints, which bend by 20.5° and 18.0°; 1 % to either side of that."""
    high = link(chain_of()[1], "shear_pin").high / LBF_FT * 1285.7 / 417.9 * 3000 / 1285.7 * BENT
    for share, verdict in ((1.01, GO), (0.99, CAUTION)):
        results = chain_of({"driveline.joint_rating": f"{share * high:.2f} lbf·ft"})[0]
        assert check_of(results, "chain.weak-link").verdict == verdict


def test_a_pin_stronger_than_what_it_protects_is_a_stop_and_one_stronger_than_the_belts_a_caution():
    thick = chain_of({"shear_pin.diameter": "3/8 in"})[0]
    assert check_of(thick, "chain.weak-link").verdict == STOP and "joint" in check_of(thick, "chain.weak-link").reason
    assert check_of(thick, "chain.joints").verdict == CAUTION
    strong = {"shear_pin.diameter": "3/8 in", "driveline.joint_rating": "900 lbf·ft", SLACK: "30 lbf"}
    assert check_of(chain_of(strong)[0], "chain.weak-link").verdict == CAUTION


@pytest.mark.parametrize(
    "changes, joints, peak, jam",
    [
        ({"joint_rating": "90 lbf·ft"}, STOP, STOP, STOP),
        ({"joint_rating": "110 lbf·ft"}, CAUTION, GO, STOP),
        # straight joints would stand the 137 of the pin
        ({"joint_rating": "150 lbf·ft"}, CAUTION, GO, CAUTION),
        ({"joint_rating": "160 lbf·ft"}, GO, GO, GO),
        # half the choke is 48 lbf·ft; in a jam all that the pin lets through comes
        ({"joint_rating": "60 lbf·ft", "share": 0.5}, CAUTION, GO, STOP),
        ({"joint_rating": "60 lbf·ft", "share": {"value": 0.5, "plus_minus": "0.2"}}, CAUTION, CAUTION, STOP),
        # 20 hp at 540 rpm are 204 lbf·ft, and up to 40 % less by other lists
        ({"joint_rating": "", "series": 1}, CAUTION, GO, CAUTION),
        ({"joint_rating": "", "cross_cup": "27 mm", "cross_length": "74.7 mm"}, GO, GO, GO),
        ({"joint_rating": "", "cross_cup": "25 mm", "cross_length": "74.7 mm"}, UNDECIDED, UNDECIDED, UNDECIDED),
        ({"attitude": ""}, UNDECIDED, UNDECIDED, UNDECIDED),
    ],
)
def test_the_telescoping_shaft_stays_within_its_joints_torque(changes, joints, peak, jam):
    """The choke is 13.48 x 7.180 = 96.8 lbf·ft at the joints, and the pin lets 19.1 x 7.180 = 137 through.

    The joints bend by 20.5° and 18.0°: up to 1.12 times that is on them.
    """
    results = chain_of({f"driveline.{k}": v for k, v in changes.items()})[0]
    found = [check_of(results, f"chain.{k}") for k in ("joints", "peak", "weak-link")]
    assert [c.verdict for c in found] == [joints, peak, jam] and "joints' torque" in found[0].name


@pytest.mark.parametrize(
    "size, restart, choke", [("1/4 in", GO, GO), ("7/32 in", GO, CAUTION), ("3/16 in", STOP, CAUTION)]
)
def test_a_pin_that_shears_in_a_choke_is_a_caution_and_at_each_restart_a_stop(size, restart, choke):
    """17.4 goes with the square of the diameter: 13.3 (from 12.0 on) and 9.8 against 11.03 and 13.48."""
    results = chain_of({"shear_pin.diameter": size})[0]
    assert [check_of(results, f"chain.{c}").verdict for c in ("start", "peak")] == [restart, choke]


def text_of_demo():
    return (builds_dir() / f"{DEMO}.toml").read_text(encoding="utf-8")


def without_pin():
    """The text of the demo with no shear pin."""
    body = text_of_demo()
    return body[: body.index("[shear_pin]")].replace("schema = 1", 'schema = 1\nshear_pin = "none"', 1)


@pytest.mark.parametrize("rating, verdict", [("19 lbf·ft", STOP), ("22 lbf·ft", CAUTION)])
def test_without_a_pin_what_the_engine_alone_can_break_is_a_stop(rating, verdict):
    """The engine has 20.2 on the crank; the joints are the first to give on either side of it."""
    build = parse(without_pin().encode(), file="t.toml")
    own = float(rating.split()[0]) * 7.180
    found = check_of(work_up(build.with_values({"driveline.joint_rating": f"{own:.1f} lbf·ft"})), "chain.weak-link")
    assert found.verdict == verdict and found.value.startswith("joints")


def test_whether_there_is_a_pin_must_be_said():
    results = chain_of({f"shear_pin.{key}": "" for key in PIN})[0]
    found = check_of(results, "chain.weak-link")
    assert found.verdict == UNDECIDED and "shear_pin.diameter" in found.missing


def test_of_a_slipping_clutch_the_pin_feels_the_load_and_its_share_of_the_rest():
    """11.03 + 0.133 x (38.4 - 11.03) = 14.7; with the auger's share unknown it may be all 38.4: not decided."""
    assert float(mech.while_slipping.si(38.4, load=11.03, after=6 / 45.1)) == pytest.approx(14.67, abs=0.01)
    assert float(mech.while_slipping.si(5.0, load=11.03, after=0.5)) == 5.0
    judged = check_of(chain_of()[0], "chain.engage-pin")
    assert judged.verdict == GO and "feels 14.7" in judged.reason and "judged. Cold and run in" in judged.reason
    assert "may feel 16.3" in judged.reason and "may shear" in judged.reason and "the the" not in judged.reason
    found = check_of(chain_of({"work.own_inertia": ""})[0], "chain.engage-pin")
    assert found.verdict == UNDECIDED and found.missing == ("work.own_inertia",)
    heavy = check_of(chain_of({"work.own_inertia": "30 lb·ft²"})[0], "chain.engage-pin")
    assert heavy.verdict == STOP
    with pytest.raises(OutOfRange):
        mech.while_slipping.si(10.0, load=1.0, after=np.array([0.5, 1.2]))


def test_the_work_alone_cannot_have_more_inertia_than_all_that_turns():
    found = check_of(chain_of({"work.own_inertia": "60 lb·ft²"})[0], "chain.engage")
    assert found.verdict == UNDECIDED and "more inertia" in found.reason


@pytest.mark.parametrize(
    "changes, verdict",
    [
        ({SLACK: "86 lbf"}, GO),
        ({SLACK: "60 lbf"}, CAUTION),
        ({SLACK: "20 lbf"}, CAUTION),
        # seen: a caution for milliseconds; a work of a fortieth of the inertia warms them a fortieth as much
        ({SLACK: "44 lbf", "work.run_down_time": "0.1 s", "work.own_inertia": ""}, GO),
    ],
)
def test_belts_that_slip_shortly_while_the_clutch_does_are_a_caution_and_no_stop(changes, verdict):
    """44 lbf hold 20.6 at the bad end, so 38.4 take 82 lbf. With 20 lbf they slip for some 1 s (test_clutch_belts)."""
    found = check_of(chain_of(changes)[0], "chain.engage-belts[crank belts]")
    assert found.verdict == verdict


def test_what_lies_on_the_slipping_pulley_warms_by_the_heat_of_one_start():
    """25.0 lbf·ft for 306 ms, from 1500 rpm to none, into 175.8° of two A belts on 2.325 in, 0.105 kg/m each."""
    found = check_of(chain_of()[0], "chain.engage-belts[crank belts]").found
    mass, heat = 2 * 0.105 * math.radians(175.8) * 2.325 * 0.0254, 0.5 * 25.0 * LBF_FT * 50 * math.pi * 0.306
    assert found.si == pytest.approx(heat / (mass * 1700), rel=0.01)


def test_a_belt_in_between_lets_no_more_of_the_clutch_through_than_it_grips():
    """The chipper's screws stand 19.8 at the least; its clutch pulls 51 cold, its belt lets 5.3 through."""
    key = {"engine.shaft_diameter": "1 in", "engine.key_width": "1/4 in", "engine.key_length": "1.5 in"}
    chipper = next(m for m in MACHINES if "flywheel_chipper" in str(m))
    results, data = chain_of({**key, "engine.shaft_yield": "54 ksi"}, chipper)
    assert data.slipping.top / LBF_FT > 50 and check_of(results, "chain.engage").verdict == GO


def test_a_part_off_the_way_to_the_work_is_listed_and_decides_nothing():
    text = text_of_demo()
    more = '\n[[shaft]]\nname = "fan shaft"\n\n[[stage]]\nname = "fan belt"\nkind = "gear"\nfrom = "jackshaft"\n'
    more += 'to = "fan shaft"\ndriver_teeth = 20\ndriven_teeth = 40\n'
    results = work_up(parse((text + more).encode(), file="t.toml"))
    data = results.chapters["chain"].data
    assert {k.part for k in data.left} == {"stage[fan belt]", "shaft[fan shaft]", "clutch"} and not data.lacking
    assert check_of(results, "chain.weak-link").verdict == GO


def test_load_cases_say_what_gives_and_whether_it_is_made_to():
    rows = {
        r[0]: r[1:] for t in chain_of()[0].chapters["chain"].tables if t.title.startswith("Load case") for r in t.rows
    }
    assert rows["jam"] == ("until something gives", "shear pin", "yes", GO)
    assert rows["work"][1] == "nothing" and rows["choke"][-1] == GO
    assert rows["clutch slipping, crank belts"][1:] == ("crank belts: slip", "no", CAUTION)


def test_a_pin_before_the_large_pulley_does_not_guard_what_comes_after_it():
    """On the jackshaft the same torque of the crank takes a pin at 17.4 x 7/3 = 40.6 lbf·ft. What turns between it and
    the auger runs on into the jam through the output shaft."""
    results = chain_of({"shear_pin.shaft": "jackshaft", "shear_pin.radius": "0.2235 in"})[0]
    assert link(results.chapters["chain"].data, "shear_pin").likely / LBF_FT == pytest.approx(17.4, rel=0.005)
    found = check_of(results, "chain.weak-link")
    assert found.verdict == CAUTION and "runs on into the jam" in found.reason


def test_a_pin_off_the_way_to_the_work_guards_nothing():
    more = '\n[[shaft]]\nname = "fan shaft"\n\n[[stage]]\nname = "fan belt"\nkind = "gear"\nfrom = "jackshaft"\n'
    more += 'to = "fan shaft"\ndriver_teeth = 20\ndriven_teeth = 40\n'
    build = parse((text_of_demo() + more).encode(), file="t.toml").with_values({"shear_pin.shaft": "fan shaft"})
    found = check_of(work_up(build), "chain.weak-link")
    assert found.verdict == CAUTION and "guards nothing" in found.reason


def test_joints_on_another_shaft_are_judged_there():
    own, there = (link(chain_of(c)[1], "driveline").likely for c in ({}, {"driveline.shaft": "jackshaft"}))
    assert there / own == pytest.approx(40 / 13, rel=1e-6)

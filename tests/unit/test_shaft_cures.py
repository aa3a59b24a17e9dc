"""Cures of shafts and bearings: each wrong one that was seen, and verdicts that somebody tried to make false."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from builders import check_of as check
from jackshaft.buildfile import load, parse
from jackshaft.mechanics.bearing_sizes import find
from jackshaft.mechanics.bearings import ratings
from jackshaft.mechanics.shaft_rules import INCH_STOCK
from jackshaft.parts.shaft_cases import chain_pull
from jackshaft.parts.shaft_loads import read_loads
from jackshaft.results import work_up
from jackshaft.results.proving import proposals, prove
from jackshaft.results.reader import Reader
from jackshaft.units import read
from shaft_builds import INCH, LBF, build_of, results, with_part

DEMO, ROTOR = "feed_wagon_auger", "rotor_bearings"
CHIPPER = Path(__file__).parents[1] / "builds" / "flywheel_chipper.toml"
LBFFT = 1.3558179483314

#: A shaft on two known bearings, 10 in apart, with one weight outside them.
SHAFT = b"""
schema = 1
name = "A shaft on two bearings"
shown_in = "inch"
place = "indoors"
wanted_life = "1000 h"
[[shaft]]
name = "spindle"
diameter = "1.5748 in"
material = "AISI 1018 CD"
work_speed = "600 rpm"
[[shaft.load]]
name = "pulley"
position = "-4 in"
pull = "300 lbf"
toward = "-90 deg"
[[bearing]]
name = "near"
shaft = "spindle"
position = "0 in"
designation = "6208"
turning_ring = "inner"
shock_factor = 1.5
[[bearing]]
name = "far"
shaft = "spindle"
position = "10 in"
designation = "6208"
turning_ring = "inner"
shock_factor = 1.5
"""


def of(changes):
    return work_up(parse(SHAFT, file="spindle.toml").with_values(changes))


# -- wrong cures that were seen ----------------------------------------------------------------------


def test_a_thicker_shaft_is_a_size_that_is_sold():
    """Seen: 'make the shaft thicker to 2.4902 in'."""
    pulley = {"shaft[spindle].load[pulley].pull": "3000 lbf", "shaft[spindle].load[pulley].weight": "5 lb"}
    found = of({**pulley, "bearing[near].designation": ""})
    cures = [c for c in prove(found, "shafts.strength[spindle]") if "shaft[spindle].diameter" in c.changes]
    assert cures
    for cure in cures:
        # bar as it is sold, or turned to the bore that metric bearings have from 20 mm up, a multiple of 5 mm
        size = read(cure.changes["shaft[spindle].diameter"], "length").si / INCH
        assert min(abs(size - s) for s in INCH_STOCK) < 1e-6 or (size * 25.4 / 5) % 1 == pytest.approx(0, abs=1e-6)
    assert not any(ch.isdigit() for ch in check(found, "shafts.strength[spindle]").remedy)


def test_a_seat_is_not_cured_before_a_micrometer_measured_it():
    """Seen: 'build the seat up' for a reading by calipers that says nothing."""
    rough = {"bearing[near].seat": "1.5738 in", "bearing[near].seat_measured_with": "calipers"}
    found = of(rough)
    c = check(found, "bearings.seat[near]")
    assert c.verdict == "caution" and "micrometer" in c.remedy and "uild" not in c.remedy
    assert prove(found, "bearings.seat[near]") == ()
    fine = of({**rough, "bearing[near].seat_measured_with": "micrometer"})
    assert check(fine, "bearings.seat[near]").verdict == "stop"
    cure = prove(fine, "bearings.seat[near]")[0]
    assert cure.verdict_after == "go" and cure.words.startswith("Sleeve")
    large = of({**rough, "bearing[near].seat": "1.5790 in", "bearing[near].seat_measured_with": "micrometer"})
    assert prove(large, "bearings.seat[near]")[0].words.startswith("Turn or grind")


def test_no_seat_is_cured_while_its_bore_is_open():
    """Two sizes fit bearing A of the rotor; a seat for the wrong one is metal wasted."""
    assert prove(results(ROTOR), "bearings.seat[A]") == ()


def test_a_steel_rule_is_not_blamed_on_the_number():
    """Seen: 'the readings do not agree' for sizes that a rule cannot tell apart."""
    sizes = {"bore": "1-9/16 in", "outside": "3-5/32 in", "width": "23/32 in", "measured_with": "steel rule"}
    ruled = of({f"bearing[near].{k}": v for k, v in sizes.items()})
    assert check(ruled, "bearings.identity[near]").verdict == "go"
    far_off = of({f"bearing[near].{k}": v for k, v in (sizes | {"outside": "2.44 in"}).items()})
    c = check(far_off, "bearings.identity[near]")
    assert c.verdict == "caution" and "outside diameter off" in c.reason and "bore off" not in c.reason


def test_a_number_that_the_readings_deny_says_which_to_measure_again():
    """Seen: 'measure again', of three readings. A 6208 is 40 by 80 by 18 mm (ISO 15): 1.5748, 3.1496 in."""
    rest = {"bearing[near].bore": "40 mm", "bearing[near].width": "18 mm", "bearing[near].measured_with": "calipers"}
    one = check(of(rest | {"bearing[near].outside": "79 mm"}), "bearings.identity[near]")
    assert one.verdict == "caution" and "measure the outside diameter (3.1496 in" in one.remedy
    assert "the bore" not in one.remedy and "the width" not in one.remedy
    two = check(of(rest | {"bearing[near].outside": "79 mm", "bearing[near].bore": "41 mm"}), "bearings.identity[near]")
    assert "the bore (1.5748 in" in two.remedy and "the outside diameter (3.1496 in" in two.remedy


def test_no_load_is_a_light_load():
    """Seen: a load of 0 lbf left the life undecided."""

    nothing = of({"shaft[spindle].load[pulley].pull": "0 lbf", "shaft[spindle].diameter": ""})
    life = check(nothing, "bearings.life[near]")
    assert life.verdict == "go" and "without limit" in life.value
    least = check(nothing, "bearings.load[near]")
    assert least.verdict == "caution"
    assert prove(nothing, "bearings.load[near]")[0].changes == {"bearing[near].spring_washer": "yes"}


def test_a_lower_tension_is_offered_only_where_grip_still_holds():
    found = results(DEMO, **{"engine.side_load_limit": "60 lbf", "engine.side_load_at": "2.5 in"})
    for cure in prove(found, "shafts.crank"):
        if "stage[crank belts].takeup.slack_tension" in cure.changes:
            assert not any(w.id.startswith("grip.") for w in cure.worse)


def test_set_screws_are_replaced_by_a_key_that_carries_it():
    """281 against 791 lbf·ft on 1-1/8 in (independent calculation); a key in shear or crushing must carry 1.5 x 791."""
    cure = prove(work_up(load(CHIPPER)), "shafts.joint[wheel screws]")[0]
    at = "shaft[wheel shaft].joint[wheel screws]"
    assert cure.changes[f"{at}.kind"] == "parallel key" and cure.verdict_after == "go"
    size, width, height, length = (
        read(cure.changes[k], "length").si
        for k in ("shaft[wheel shaft].diameter", f"{at}.width", f"{at}.height", f"{at}.length")
    )
    shear = 390e6 / np.sqrt(3) * width * length * size / 2
    crushing = 390e6 * height / 2 * length * size / 2
    assert min(shear, crushing) >= 1.5 * 791 * LBFFT * 0.995


def test_another_bearing_takes_the_old_readings_along():
    """1.4 x 1.5 x 600 lbf at 600 rpm for 3000 h: C = P (60 n h / 1e6)^(1/3) = 26.7 kN, over the 6008's."""
    sizes = {"designation": "", "bore": "1.575 in", "outside": "2.677 in", "width": "0.591 in"}
    heavy = {"shaft[spindle].load[pulley].pull": "600 lbf", "wanted_life": "3000 h"}
    found = of({**heavy, **{f"bearing[near].{k}": v for k, v in sizes.items()}})
    assert check(found, "bearings.life[near]").verdict == "stop"
    named = [c for c in prove(found, "bearings.life[near]") if "bearing[near].designation" in c.changes]
    assert named
    for cure in named:
        assert all(cure.changes[f"bearing[near].{k}"] == "" for k in ("bore", "outside", "width"))
        size = find.si(cure.changes["bearing[near].designation"])
        rated = ratings.si(size.designation).dynamic
        assert size.bore == pytest.approx(0.040)
        assert rated >= 1.4 * 1.5 * 600 * LBF * (60 * 600 * 3000 / 1e6) ** (1 / 3)


def test_what_is_located_twice_floats_once():
    found = of({"bearing[near].located": True, "bearing[far].located": True})
    cure = prove(found, "bearings.located[spindle]")[0]
    assert sorted(cure.changes.values()) == ["no", "yes"] and cure.verdict_after == "go"


# -- verdicts that somebody tried to make false --------------------------------------------------------


def test_a_thin_shaft_with_a_heavy_pulley_outboard_is_no_go():
    """300 lb at 8 in on 3/4 in: 2400 lbf·in, 32 M / pi d^3 is 58 ksi, over the 54 ksi of 1018 CD without any notch."""
    found = of(
        {
            "shaft[spindle].diameter": "0.75 in",
            "shaft[spindle].load[pulley].position": "-8 in",
            "bearing[near].designation": "",
            "bearing[far].designation": "",
        }
    )
    assert 32 * 2400 / np.pi / 0.75**3 > 54e3
    for id in ("shafts.strength[spindle]", "shafts.yield[spindle]"):
        assert check(found, id).verdict == "stop"
    assert check(found, "shafts.slope[spindle]").verdict != "go"
    assert prove(found, "shafts.yield[spindle]")


def test_a_hollow_shaft_is_weaker_than_a_solid_one_by_its_bore():
    """Bending falls by 1 - (bore / diameter)^4."""
    step = {"start": "-5 in", "end": "11 in", "diameter": "1.5748 in"}
    solid = work_up(with_part(parse(SHAFT, file="spindle.toml"), "spindle", "step", "all", **step))
    hollow = work_up(with_part(parse(SHAFT, file="spindle.toml"), "spindle", "step", "all", **step, bore="1.3 in"))
    yields = [check(r, "shafts.yield[spindle]").found.si for r in (solid, hollow)]
    # its own weight goes with the metal, and is under a hundredth of the moment
    assert yields[1] / yields[0] == pytest.approx(1 - (1.3 / 1.5748) ** 4, rel=0.01)


def test_a_weld_where_the_shaft_bends_most_is_worse_than_one_where_it_does_not():
    build = parse(SHAFT, file="spindle.toml")
    hot, cold = (
        work_up(with_part(build, "spindle", "feature", "ring", kind="weld", position=at))
        for at in ("-0.3 in", "9.5 in")
    )
    assert (
        check(hot, "shafts.strength[spindle]").found.si < check(cold, "shafts.strength[spindle]").found.si
        and "ring (weld)" in check(hot, "shafts.strength[spindle]").reason
    )


def test_set_screws_alone_are_no_go_where_the_load_shakes():
    """One of 3/8 in holds 1000 lbf by the lower chart on 30 mm, 49 lbf·ft.

    That is over 1.5 times the peak, under 4 times the work of 16.

    The first belt is slack enough to let less than that through in a jam: what it holds goes with its slack strand,
    and that was 24.5 lbf (79.25 lbf on the crank at work, two of them and the 30.25 lbf of 3 hp) for 109 lbf·ft.
    """
    screws = {"kind": "set screws", "screw": "3/8", "count": 1}
    slack = {"work.peak_factor": "1.2", "stage[first belt].takeup.slack_tension": "10 lbf"}
    assert 109 * 10 / 24.5 < 1000 * 15 / 304.8
    build = with_part(build_of("two belts", **slack), "jackshaft", "joint", "hub", **screws)
    for rough, verdict in (("uniform", "go"), ("heavy shock", "caution")):
        there = build.with_values({"work.load_class": rough, "work.overrun_factor": 0, "work.start_factor": 1})
        found = check(work_up(there), "shafts.joint[hub]")
        assert found.verdict == verdict
        wanted = float(found.limit.split(", ")[1].split(" ×")[0])
        assert wanted == pytest.approx(1.5 if rough == "uniform" else 4 / 1.2, rel=0.01)
    # one of 1/4 in holds 1000 lbf by one table, as much as that; the other chart has 400, 20 lbf·ft for a peak of 19.2
    weak = build.with_values({"shaft[jackshaft].joint[hub].screw": "1/4", "work.load_class": "uniform"})
    found = check(work_up(weak.with_values({"work.overrun_factor": 0, "work.start_factor": 1})), "shafts.joint[hub]")
    assert found.verdict == "caution" and "19.7 lbf·ft" in found.reason


def test_bearings_closer_than_their_width_cannot_stand_there():
    """Two of 18 mm want 18 mm from middle to middle."""
    id = "bearings.apart[spindle: near, far]"
    found = of({"bearing[far].position": "0.6 in"})
    assert check(found, id).verdict == "stop"
    assert prove(found, id)[0].verdict_after == ""  # the check has no object any more
    assert not [c for c in of({"bearing[far].position": "0.71 in"}).checks if c.id == id]


@pytest.mark.parametrize("at, near, far", [("-4 in", 1.4, -0.4), ("4 in", 0.6, 0.4), ("14 in", -0.4, 1.4)])
def test_a_bearing_on_the_wrong_side_of_the_pulley_is_seen(at, near, far):
    """Moments about the other bearing; the shaft's own weight left out by leaving out its size."""
    found = of({"shaft[spindle].load[pulley].position": at, "shaft[spindle].diameter": ""})
    lives = found.chapters["bearings"].data.lives
    assert [lives[n].signed / LBF for n in ("near", "far")] == pytest.approx([300 * near, 300 * far], rel=1e-6)
    against = [n for n, share in (("near", near), ("far", far)) if share < 0]
    assert [n for n in ("near", "far") if check(found, f"bearings.load[{n}]").verdict == "caution"] == against


def test_a_bearing_of_another_bore_is_asked_about():
    found = of({"bearing[near].designation": "6209"})
    c = check(found, "bearings.bore[near]")
    assert c.verdict == "stop"  # 45 mm on 40: the ring is loose by millimetres
    assert "bearing[near].designation" in c.reason and "shaft[spindle].diameter" in c.reason
    assert not [x for x in found.checks if x.id == "bearings.bore[far]"]


# -- load cases ----------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def demo():
    return results(DEMO)


def test_a_chain_pulls_by_its_torque():
    """13 and 40 teeth of 3/4 in, 18.28 in apart toward -70 deg: 110 lbf toward -59.9 deg (independent calculation)."""
    keys = {"chain_pitch": "3/4 in", "centres": "18.28 in", "centres_toward": "-70 deg"}
    found = results(DEMO, **{f"stage[output chain].{k}": v for k, v in keys.items()})
    reader = Reader(found.build)
    pull = chain_pull(reader, found.chapters, "jackshaft", "output chain")
    assert pull.pull / LBF == pytest.approx(110, rel=0.006)
    assert np.degrees(pull.toward) == pytest.approx(-59.9, abs=0.05)
    other = chain_pull(reader, found.chapters, "output shaft", "output chain")
    assert np.degrees(other.toward - pull.toward) == pytest.approx(180) and other.pull == pytest.approx(pull.pull)
    loads = read_loads(reader, found.chapters, "jackshaft")
    chain = next(p for p in loads.pulls if p.stage == "output chain")
    weight = np.array([0, -3 * LBF])
    sizes = [np.hypot(*(f - weight)) / LBF for f in chain.force]
    # 63025 hp / rpm is lbf·in; in the mean 13 teeth move 13 pitches a turn
    work = 63025 * 3.5 / 1285.7 / (13 * 0.75 / (2 * np.pi))
    assert sizes == pytest.approx([work, 0, 2.2 * work], rel=1e-3, abs=1e-6)


def with_case(results, name, factor):
    """Return the chapters of the demo with one more load case of its belts, as another chapter may name it."""
    from dataclasses import replace

    grip = results.chapters["grip"].data["crank belts"]
    peak = grip.case("peak")
    # hub forces are linear in the load, margins go down with it
    hub = grip.hub + (factor - 1) / (peak.factor - 1) * (peak.hub - grip.hub)
    less = {k: getattr(peak, k) * peak.factor / factor for k in ("margin", "margin_bad", "margin_high")}
    case = peak._replace(name=name, factor=factor, pulls=factor * grip.pulls, hub=hub, **less)
    usual = [c for c in grip.cases if c.name not in ("slipping clutch", "jam")]
    found = {"crank belts": replace(grip, cases=(*usual, case))}
    return {**results.chapters, "grip": replace(results.chapters["grip"], data=found)}


def test_a_case_of_the_belts_is_a_case_of_shafts_bearings_and_joints(demo):
    """A jam of what the pin lets through at its high end: the chain pulls so many times power over speed, and each key
    feels so many times its torque."""
    from jackshaft.chapters.bearings.reactions import load_of, react
    from jackshaft.chapters.shafts.joints import torques_of

    done, reader = with_case(demo, "jam", 4.0), Reader(demo.build)
    loads = read_loads(reader, done, "jackshaft")
    assert "jam" in loads.more
    pin = next(link for link in demo.chapters["chain"].data.links if "shear pin" in link.name)
    jam = pin.high / demo.chapters["ratio"].data.shaft("engine").torque
    assert 3.0 < jam < 4.0  # less than the belts would bring
    chain = next(p for p in loads.pulls if p.stage == "output chain")
    force, torque = chain.more["jam"]
    jackshaft = done["ratio"].data.shaft("jackshaft")
    pull = 33000 * jackshaft.power / 745.69987158227 / (13 * 0.75 / 12 * jackshaft.work / (2 * np.pi / 60))
    assert np.hypot(*(force - [0, -3 * LBF])) / LBF == pytest.approx(jam * pull, rel=1e-6)
    assert torque == pytest.approx(jam * chain.torque)
    found = react("jackshaft", ("engine side", "chain side"), np.array([0, 7.5 * INCH]), loads)
    case, most = load_of(reader, done, "chain side", {"jackshaft": found}).seldom
    assert case == "jam"
    # linear from work through the peak, but for the belts, which pull as at 4 times the work
    work, _, peak = found.carried[:, 1]
    assert most == pytest.approx(np.hypot(*(work + (jam - 1) / (2.2 - 1) * (peak - work))), rel=0.01)
    torques = torques_of(reader, done, "jackshaft")
    assert torques.seldom == ("jam", pytest.approx(jam * torques.work))
    # it lasts a moment: what comes often is judged without it
    assert torques.hardest == ("peak", pytest.approx(2.2 * torques.work))
    assert load_of(reader, done, "chain side", {"jackshaft": found}).hardest == ("peak", pytest.approx(np.hypot(*peak)))


# -- what is named is judged ---------------------------------------------------------------------------


def test_the_pin_of_an_idler_by_hand():
    """18.4 lbf at 2 in on 3/8 in: 32 M / pi d^3 with a corner of 2.7 is 19.2 ksi."""
    at = "stage[crank belts].pulley[I]"
    keys = {"pin_diameter": "3/8 in", "pin_overhang": "2 in", "pin_yield": "36 ksi"}
    found = results(DEMO, **{f"{at}.{k}": v for k, v in keys.items()})
    c = check(found, "shafts.pin[crank belts: I]")
    stress = 2.7 * 32 * 18.4 * 2 / (np.pi * 0.375**3) / 1e3
    assert c.found.si == pytest.approx(36 / stress, rel=0.01) and c.verdict == "go"
    thin = results(DEMO, **{f"{at}.{k}": v for k, v in {**keys, "pin_diameter": "1/4 in"}.items()})
    assert check(thin, "shafts.pin[crank belts: I]").verdict == "stop"
    assert prove(thin, "shafts.pin[crank belts: I]")[0].verdict_after in ("go", "caution")


def test_the_bearing_of_an_idler_by_hand():
    """A 6203, C 9.56 kN or less, at 18.4 lbf; the belt's line of 2.58 in radius runs at 3,652 ft/min."""
    found = results(DEMO, **{"stage[crank belts].pulley[I].bearing": "6203-2RS"})
    c = check(found, "bearings.idler[crank belts: I]")
    assert c.verdict == "go"
    rpm = 3652 * 12 / (2 * np.pi * 2.58)
    assert f"{rpm:.0f}"[:2] in c.reason
    tiny = results(DEMO, **{"stage[crank belts].pulley[I].bearing": "no such"})
    assert check(tiny, "bearings.idler[crank belts: I]").verdict == "caution"


@pytest.mark.parametrize("strength, verdict", [("54 ksi", "caution"), ("18 ksi", "caution"), ("15 ksi", "stop")])
def test_a_crank_that_nearly_yields_is_a_stop(strength, verdict):
    """158 lbf x 2.5 in with a corner of 2.7 is 10.9 ksi, with 13.5 lbf·ft of torque 11.3: 1.5 times it is 16.9."""
    bent, twisted = 2.7 * 32 * 158 * 2.5 / np.pi, 2.2 * 16 * 13.48 * 12 / np.pi
    stress = np.sqrt(bent**2 + 3 * twisted**2) / 1e3
    c = check(results(DEMO, **{"engine.shaft_yield": strength}), "shafts.crank-bending")
    assert c.found.si == pytest.approx(float(strength.split()[0]) / stress, rel=0.01)
    assert c.verdict == verdict


def test_an_outboard_bearing_that_is_written_down_takes_its_share():
    """With the belt midway between the two the crank keeps half of the pull."""
    there = {"engine.side_load_limit": "100 lbf", "engine.side_load_at": "2.5 in"}
    alone = results(DEMO, **there)
    held = results(DEMO, **there, **{"engine.outboard_at": "5 in"})
    # 120 and 158 lbf, and 256 while the clutch slips: half of that is over 100, and under 130
    assert [check(r, "shafts.crank").verdict for r in (alone, held)] == ["stop", "caution"]
    assert "While the clutch slips" in check(held, "shafts.crank").reason
    more = {**there, "engine.side_load_limit": "130 lbf"}
    assert check(results(DEMO, **more, **{"engine.outboard_at": "5 in"}), "shafts.crank").verdict == "go"
    assert check(held, "shafts.crank").found.si == pytest.approx(check(alone, "shafts.crank").found.si / 2, rel=1e-6)


def test_where_a_clutch_carries_the_pulley_the_clutch_moves_and_no_bearing_is_offered():
    """Seen: a bearing on the crank's end, where the clutch's bolt sits, and a pulley to move that is the clutch's."""
    there = {"engine.side_load_limit": "100 lbf", "engine.side_load_at": "2.5 in"}
    ids = ("shafts.crank", "shafts.crank-bending")
    for id, values in zip(ids, (there, {"engine.shaft_yield": "10 ksi"}), strict=True):
        on = results(DEMO, **values)
        offered = list(proposals(on, check(on, id)))
        assert offered and not any("engine.outboard_at" in p.changes for p in offered)
        moved = [p for p in offered if "engine.belt_at" in p.changes]
        assert moved and all(p.words.startswith("Move the clutch") for p in moved)
        assert "clutch" in check(on, id).remedy
        off = results(DEMO, **values, **{"clutch.shaft": "jackshaft"})
        assert any("engine.outboard_at" in p.changes for p in proposals(off, check(off, id)))
        assert "clutch" not in check(off, id).remedy


def test_a_key_in_the_clutch_is_no_longer_than_the_clutch():
    """A key of 1.5 in is short of what the clutch pulls while it slips; a clutch of 1.75 in has no room for more."""
    base = {"engine.shaft_yield": "5.5 ksi"}
    free, kept = (results(DEMO, **base, **more) for more in ({}, {"clutch.outside_length": "1.75 in"}))
    lengths = [
        [
            read(p.changes["engine.key_length"], "length").si / INCH
            for p in proposals(r, check(r, "shafts.joint[engine key]"))
        ]
        for r in (free, kept)
    ]
    assert max(lengths[0], default=0) > 1.75 and all(n <= 1.75 for n in lengths[1])


FAN = b"""
[[shaft]]
name = "fan shaft"
work_power = "0.5 hp"
[[stage]]
name = "fan belt"
kind = "belt"
from = "engine"
to = "fan shaft"
section = "A"
series = "inch"
belts = 1
driver = "P"
driven = "Q"
centres = "12 in"
centres_toward = "90 deg"
[[stage.pulley]]
name = "P"
diameter = "4 in"
measured_as = "datum"
[[stage.pulley]]
name = "Q"
diameter = "4 in"
measured_as = "datum"
[stage.takeup]
kind = "adjustable centres"
static_tension = "100 lbf"
"""


def test_a_second_belt_on_the_crank_pulls_on_it_too():
    """Seen: the first belt only. 100 lbf in each strand of one belt, on equal pulleys, add 200 lbf at rest.

    Running, the mass of an A belt of about 0.105 kg/m at 20.3 m/s takes m v2 = 43 N, 9.7 lbf, off each strand.
    """
    text = load(DEMO).path.read_bytes()
    one, two = (fact_of(work_up(parse(t, file="t.toml"))) for t in (text, text + FAN))
    assert 200 - 2 * 12 < two - one < 200


def fact_of(found):
    """Return the side load at work, lbf."""
    facts = found.chapters["shafts"].facts
    return float(next(f for f in facts if f.label == "engine shaft: side load").value.split()[0])


def test_a_chain_on_the_crank_pulls_on_it():
    """Seen: a chain straight on the crank, and not a word of its pull. 63025 x 3.5 hp / 3000 rpm on the radius
    p / (2 sin(pi / N)) of 15 teeth of 1/2 in is 61.2 lbf. In a jam the engine brings 8 lbf ft and 1 of its crank, over
    6.13 at work: 90 lbf. Where nothing says how much it brings, the crank is open."""
    text = b"""
schema = 1
name = "t"
shown_in = "inch"
place = "indoors"
clutch = "none"
[engine]
kind = "petrol engine"
work_speed = "3000 rpm"
peak_torque = "8 lbf*ft"
inertia = "0.001 lb*ft2"
side_load_limit = "100 lbf"
side_load_at = "1 in"
belt_at = "1 in"
[work]
shaft = "out"
power = "3.5 hp"
power_at = "engine"
peak_factor = 1.5
start_factor = 1.0
overrun_factor = 0
[[shaft]]
name = "out"
[[stage]]
name = "c"
kind = "roller chain"
from = "engine"
to = "out"
driver_teeth = 15
driven_teeth = 45
chain_pitch = "1/2 in"
"""
    pull = 63025 * 3.5 / 3000 / (15 * 0.5 / (2 * np.pi))
    found = work_up(parse(text, file="t.toml"))
    assert fact_of(found) == pytest.approx(pull, rel=5e-3)
    assert check(found, "shafts.crank").verdict == "go"  # 1.5 x 61.6 is under 100
    more = work_up(parse(text.replace(b"= 1.5\n", b"= 1.7\n"), file="t.toml"))
    assert check(more, "shafts.crank").verdict == "caution"  # 1.7 x 61.6 is 105
    for factor in (b"start_factor = 1.0\n", b"peak_factor = 1.5\n"):
        untold = check(work_up(parse(text.replace(factor, b""), file="t.toml")), "shafts.crank")
        assert (untold.verdict, untold.missing) == ("not decidable", (f"work.{factor.split()[0].decode()}",))
    jams = work_up(parse(text.replace(b'inertia = "0.001 lb*ft2"\n', b""), file="t.toml"))
    assert check(jams, "shafts.crank").missing == ("engine.inertia",)
    blank = work_up(parse(text.replace(b'chain_pitch = "1/2 in"', b""), file="t.toml"))
    assert check(blank, "shafts.crank").missing == ("stage[c].chain",)

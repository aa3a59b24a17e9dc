"""Splines, repairs, welds that bend, torque that turns round: by hand, with each verdict on both sides of its edge."""

from __future__ import annotations

import math

import pytest
from builders import check_of as check
from jackshaft.buildfile import describe
from jackshaft.chapters.shafts.mending import WAYS, Sound, mend, share_left, verdict, ways_for
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, STOP
from jackshaft.units import read
from shaft_builds import INCH, TWO_BELTS, build_of, data, sheet, with_part

MM, MPA = 1e-3, 1e6
SPLINES = describe("shaft[a].joint[b].profile")[1].choices
YIELD = 370 * MPA  # AISI 1018 cold-drawn, shigley table A-20
THICK = {"shaft[jackshaft].diameter": "1.5 in"}


def joined(kind, changes=None, **fields):
    """The demo with one joint on its jackshaft, at the pulley of the second belts."""
    return work_up(
        with_part(
            build_of(TWO_BELTS, **(changes or {})),
            "jackshaft",
            "joint",
            "hub",
            kind=kind,
            **{"position": "10 in", **fields},
        )
    )


def spline(changes=None, **fields):
    """The demo with a splined end on its jackshaft, which turns 880 rpm at work."""
    return joined(
        "spline", {**THICK, **(changes or {})}, **{"profile": "type 1, 540 rpm", "length": "2.5 in", **fields}
    )


def joint(found):
    return next(j for j in data(found).joints if j.name == "hub")


def case_of(section, name):
    return next(c for c in section.cases if c.case == name)


# -- splines ---------------------------------------------------------------------------------------


def test_spline_by_hand():
    """Type 1: six splines, 34.79 over 29.65 mm, tooth 8.69 mm, over 63.5 mm, three quarters of them bearing."""
    found = joint(spline())
    root = YIELD / math.sqrt(3) * math.pi * (29.65 * MM) ** 3 / 16
    teeth = YIELD / math.sqrt(3) * 6 * 8.69 * MM * 63.5 * MM * (34.79 + 29.65) / 4 * MM * 0.75
    assert found.capacity.spline.root == pytest.approx(root, rel=1e-9)
    assert found.capacity.spline.teeth == pytest.approx(teeth, rel=1e-9)
    assert found.carries == min(found.capacity.spline.root, found.capacity.spline.teeth)
    area = 6 * (34.79 - 29.65) / 2 * MM * 63.5 * MM * 0.75
    assert 1 / found.capacity.spline.pressure == pytest.approx(area * (34.79 + 29.65) / 4 * MM, rel=1e-9)


def test_flank_pressure_has_its_three_verdicts():
    """60 MPa is the careful end for drawn steel; work is judged likely, the peak (twice as much) bad."""
    sound = spline()
    assert check(sound, "shafts.spline[hub]").verdict == "go"
    torque, pressure = joint(sound).torques.work, joint(sound).capacity.spline.pressure
    least = 2.5 * torque * pressure / (60 * MPA)  # inches over which the work alone reaches 60 MPa
    for share, verdict_there in ((2.05, "go"), (1.95, "caution"), (1.05, "caution"), (0.95, "stop")):
        c = check(spline(length=f"{share * least:.6f} in"), "shafts.spline[hub]")
        assert c.verdict == verdict_there, share
        assert verdict_there == "go" or ("touch over" in c.remedy and "clamp" in c.remedy)


def test_a_telescoping_spline_stands_a_tenth_of_the_pressure():
    fixed, slides = joint(spline()).capacity.spline, joint(spline(fit="slides under load")).capacity.spline
    assert fixed.allowed.low == pytest.approx(60 * MPA) and slides.allowed.low == pytest.approx(7 * MPA)
    hard = joint(
        spline({"shaft[jackshaft].yield_strength": "700 MPa", "shaft[jackshaft].tensile_strength": "900 MPa"})
    ).capacity.spline
    assert hard.allowed.low == pytest.approx(100 * MPA)


@pytest.mark.parametrize(
    "wear, verdict_there", [("0.8 mm", "go"), ("0.9 mm", "caution"), ("2.1 mm", "caution"), ("2.2 mm", "stop")]
)
def test_wear_over_a_tooth_of_8_69_mm(wear, verdict_there):
    found = spline(wear=wear)
    assert check(found, "shafts.spline_wear[hub]").verdict == verdict_there
    assert joint(found).capacity.spline.share == 0.5
    assert joint(found).capacity.spline.teeth < 0.7 * joint(spline()).capacity.spline.teeth


def test_a_tooth_worn_away_is_a_stop_with_a_cure():
    stop = check(spline(wear="9 mm"), "shafts.joint[hub]")
    assert stop.verdict == "stop" and "nothing is left" in stop.reason and stop.remedy


@pytest.mark.parametrize(
    "speed, verdict_there",
    [
        ("400 rpm", "caution"),
        ("500 rpm", "go"),
        ("615 rpm", "go"),
        ("640 rpm", "caution"),
        ("690 rpm", "stop"),
        ("1000 rpm", "stop"),
    ],
)
def test_trap_a_spline_of_one_speed_on_a_drive_of_another(speed, verdict_there):
    build = build_of("rotor_bearings", **{"shaft[rotor].work_speed": speed, "shaft[rotor].yield_strength": "370 MPa"})
    found = check(
        work_up(with_part(build, "rotor", "joint", "hub", kind="spline", profile="type 1, 540 rpm", length="2.5 in")),
        "shafts.spline_speed[hub]",
    )
    assert found.verdict == verdict_there
    assert found.guards == (verdict_there == "stop")
    assert verdict_there == "go" or "never an adapter" in found.remedy


def test_a_thousand_on_a_540_spline_says_how_much_harder_rims_pull():
    # 1000 over 540 is 1.85, its square 3.4
    build = build_of(
        "rotor_bearings", **{"shaft[rotor].work_speed": "1000 rpm", "shaft[rotor].yield_strength": "370 MPa"}
    )
    found = check(
        work_up(with_part(build, "rotor", "joint", "hub", kind="spline", profile="type 1, 540 rpm", length="2.5 in")),
        "shafts.spline_speed[hub]",
    )
    assert "1.85 times" in found.reason and "3.4 times as hard" in found.reason


def test_a_shaft_with_two_standard_speeds_is_an_adapter():
    build = with_part(
        build_of(TWO_BELTS, **THICK),
        "jackshaft",
        "joint",
        "hub",
        kind="spline",
        profile="type 1, 540 rpm",
        length="2.5 in",
    )
    both = work_up(
        with_part(build, "jackshaft", "joint", "far end", kind="spline", profile="type 2, 1000 rpm", length="2 in")
    )
    for name in ("hub", "far end"):
        stop = check(both, f"shafts.spline_speed[{name}]")
        assert stop.verdict == "stop" and stop.guards and "adapts one speed to the other" in stop.reason


def test_direction_goes_by_which_way_the_end_looks_and_whether_it_drives():
    """The demo's jackshaft turns clockwise, seen facing the engine's output shaft (its belt runs on the outside)."""
    verdicts = {}
    for faces in ("away from the engine", "toward the engine"):
        for end in ("driving", "driven"):
            verdicts[faces[:4], end] = check(spline(end_faces=faces, end_is=end), "shafts.spline_turns[hub]").verdict
    assert verdicts == {
        ("away", "driving"): "go",
        ("towa", "driving"): "caution",
        ("away", "driven"): "caution",
        ("towa", "driven"): "go",
    }
    unknown = check(spline(), "shafts.spline_turns[hub]")
    assert unknown.verdict == "not decidable" and unknown.missing == ("shaft[jackshaft].joint[hub].end_faces",)


def test_spline_leaves_its_root_for_the_section():
    s = next(s for s in data(spline()).shafts["jackshaft"].sections if s.name == "hub")
    assert (
        s.feature == "spline root" and s.diameter == pytest.approx(29.65 * MM) and s.shaft == pytest.approx(1.5 * INCH)
    )


def test_diameter_needed_under_a_spline_is_the_bar_s():
    """The root must hold; the bar is as much thicker as it is now."""
    from jackshaft.chapters.shafts.needed import needed_at
    from jackshaft.mechanics import shaft_strength, stress_raisers

    state = data(spline()).shafts["jackshaft"]
    s = next(s for s in state.sections if s.name == "hub")
    root = max(
        shaft_strength.diameter_needed.si(
            c.duty, 1.5, tensile=440e6, yield_stress=370e6, reliability=99, raiser=stress_raisers.raiser("spline root")
        )
        for c in s.often
    )
    # a jam counts against yielding alone, and the bar is right where its stress is just the yield stress
    raiser, (jam,) = stress_raisers.raiser("spline root"), s.seldom
    stress = math.hypot(raiser.bending * 32 * jam.moment, math.sqrt(3) * raiser.torsion * 16 * jam.torque) / math.pi
    jammed = (stress / YIELD) ** (1 / 3)
    assert jam.torque > 3 * s.peak.torque and jammed > root
    assert needed_at(state, s) == pytest.approx(jammed * 1.5 * 25.4 / 29.65, rel=1e-6)
    calm = s._replace(cases=s.often)
    assert needed_at(state, calm) == pytest.approx(root * 1.5 * 25.4 / 29.65, rel=1e-6)


def test_a_joint_without_a_place_says_that_the_shaft_under_it_is_not_judged():
    build = with_part(
        build_of(TWO_BELTS, **THICK), "jackshaft", "joint", "hub", kind="spline", profile=SPLINES[0], length="2 in"
    )
    found = work_up(build)
    assert "the shaft under it is not judged" in check(found, "shafts.joint[hub]").reason
    assert "shaft[jackshaft].joint[hub].position" in found.chapters["shafts"].missing
    assert "not judged" not in check(spline(), "shafts.joint[hub]").reason


def test_a_spline_larger_than_its_shaft_and_one_half_known():
    stop = check(joined("spline", profile="type 3, 1000 rpm", length="2.5 in"), "shafts.joint[hub]")
    assert stop.verdict == "stop" and "cannot be cut on a shaft" in stop.reason
    for lacking in ({"profile": "type 1, 540 rpm"}, {"length": "2 in"}):
        part = check(joined("spline", THICK, **lacking), "shafts.joint[hub]")
        assert part.verdict == "not decidable" and len(part.missing) == 1
    steel = work_up(
        with_part(
            build_of("rotor_bearings"),
            "rotor",
            "joint",
            "hub",
            kind="spline",
            profile="type 1, 540 rpm",
            length="2.5 in",
        )
    )
    assert check(steel, "shafts.joint[hub]").missing == ("shaft[rotor].yield_strength",)


def test_every_profile_of_the_schema_can_be_looked_up_and_cautions_are_there():
    for profile in SPLINES:
        found = spline({"shaft[jackshaft].diameter": "2.5 in"}, profile=profile)
        assert joint(found).carries > 0
        assert len(sheet(found, "Splines that are there").rows) == 1
        assert any("Never adapt" in c for c in found.chapters["shafts"].cautions)
    assert not any("Never adapt" in c for c in joined("taper bush").chapters["shafts"].cautions)


# -- repairs ---------------------------------------------------------------------------------------

KEY = Sound("parallel key", 30 * MM, 500.0, 40 * MM, 8 * MM, 8 * MM, moment=0.0)


def test_schema_and_work_up_know_the_same_repairs():
    assert tuple(WAYS) == describe("shaft[a].joint[b].repair")[1].choices


def test_each_repair_by_hand():
    shear = 390 * MPA / math.sqrt(3)
    assert mend("wider seat, stepped key", KEY).carries == mend("new keyseat opposite", KEY).carries == 500.0
    # turned down to 24 mm, a 6 mm pin cut in two places at its surface
    assert mend("sleeve, pinned", KEY).carries == pytest.approx(2 * math.pi / 4 * 0.006**2 * shear * 0.012, rel=1e-9)
    # 24 micrometres on 24 mm under 30 mm: 207e9 x 0.001 / 2 x (1 - 0.64) = 37.26 MPa, friction 0.12 on 40 mm
    assert mend("sleeve, pressed on", KEY).carries == pytest.approx(
        0.12 * 37.26 * MPA * math.pi * 0.024**2 * 0.040 / 2, rel=1e-4
    )
    assert mend("cross pin through the hub", KEY).carries == pytest.approx(
        2 * math.pi / 4 * 0.0075**2 * shear * 0.015, rel=1e-9
    )
    # 35 MPa on 0.707 x 4 mm x 8 mm at each end of the key, at 15 mm
    assert mend("key welded in", KEY).carries == pytest.approx(
        35 * MPA * math.sqrt(0.5) * 0.004 * 0.016 * 0.015, rel=1e-9
    )
    # 35 MPa on a ring of 0.707 x 6 mm
    assert mend("hub welded on", KEY).carries == pytest.approx(
        35 * MPA * math.pi * math.sqrt(0.5) * 0.006 * 0.03**2 / 2, rel=1e-9
    )


def test_what_each_repair_leaves_of_the_shaft():
    # 1 - 0.2 x 8/30 - 1.1 x 4/30 = 0.8; twice that loss 0.6; a quarter wider 1 - 0.2 x 10/30 - 0.1467 = 0.7867
    left = {name: share_left(name, KEY) for name in WAYS}
    assert left["new keyseat opposite"] == left["new keyseat a quarter round"] == pytest.approx(0.6)
    assert left["wider seat, stepped key"] == pytest.approx(0.7867, abs=1e-4)
    assert left["sleeve, pressed on"] == pytest.approx(0.8**3)
    assert left["sleeve, pinned"] == pytest.approx(0.8**3 * (1 - 16 / (6 * math.pi) / 4))
    assert left["hub welded on"] == left["key welded in"] == pytest.approx(0.8)
    assert all(0 < v < 1 for v in left.values())


def test_a_repair_written_down_goes_into_the_joint_and_the_section():
    was = joined("parallel key", width="8 mm", length="1.5 in")
    before = next(s for s in data(was).shafts["jackshaft"].sections if s.name == "hub")
    for name, feature in (
        ("new keyseat opposite", "end-milled keyseat"),
        ("sleeve, pinned", "cross hole or screw dimple"),
        ("hub welded on", "weld"),
    ):
        now = joined("parallel key", width="8 mm", length="1.5 in", repair=name)
        section = next(s for s in data(now).shafts["jackshaft"].sections if s.name == "hub")
        assert section.feature == feature and section.diameter <= before.diameter
        assert joint(now).kind == f"parallel key, {name}" and joint(now).carries <= joint(was).carries
        assert check(now, "shafts.joint[hub]").reason.count(name) == 1
    opposite = joined("parallel key", width="8 mm", length="1.5 in", repair="new keyseat opposite")
    section = next(s for s in data(opposite).shafts["jackshaft"].sections if s.name == "hub")
    # the raiser counts one seat, the loss of the second one thins the shaft: (0.6 / 0.8) of its torque
    assert (section.diameter / before.diameter) ** 3 == pytest.approx(0.6 / 0.8, rel=1e-6)
    assert section.hardest.fatigue < before.hardest.fatigue


def test_a_repair_too_weak_for_the_peak_stops():
    """The bead at a welded key's ends holds 11 lbf·ft; the peak is 33."""
    weak = joined("parallel key", width="8 mm", length="1.5 in", repair="key welded in")
    stop = check(weak, "shafts.joint[hub]")
    assert stop.verdict == "stop" and "beads crack" in stop.reason
    assert check(weak, "shafts.weld_steel[hub]").verdict == "go"


def test_a_repaired_shaft_that_yields_is_not_a_go():
    soft = {"shaft[jackshaft].yield_strength": "30 MPa", "shaft[jackshaft].tensile_strength": "60 MPa"}
    found = check(
        joined("parallel key", soft, width="8 mm", length="1.5 in", repair="sleeve, pinned"), "shafts.joint[hub]"
    )
    plain = check(joined("parallel key", soft, width="8 mm", length="1.5 in"), "shafts.joint[hub]")
    assert plain.verdict == "go" and found.verdict == "stop" and "as it is mended, yields" in found.reason


def test_a_repair_that_does_not_belong_is_refused_with_a_cure():
    for kind, fields in (
        ("flange", {"bolt": "3/8-16", "grade": "SAE 5", "count": 4, "circle": None}),
        ("taper bush", {}),
    ):
        from jackshaft.units import read

        fields = {
            **fields,
            **({"circle": read("3 in", "length")} if kind == "flange" else {"rating": read("120 lbf·ft", "torque")}),
        }
        stop = check(joined(kind, repair="sleeve, pinned", **fields), "shafts.joint[hub]")
        assert stop.verdict == "stop" and "mends a keyseat or a spline" in stop.reason
    stop = check(spline(repair="key welded in"), "shafts.joint[hub]")
    assert stop.verdict == "stop" and "does not mend a spline" in stop.reason
    stop = check(
        joined("parallel key", width="8 mm", length="1.5 in", repair="cross pin through the hub", pin="20 mm"),
        "shafts.joint[hub]",
    )
    assert stop.verdict == "stop" and "cross pin" in stop.reason


def test_the_table_of_ways_has_all_that_belong_each_with_a_verdict():
    found = joined("parallel key", width="8 mm", length="1.5 in")
    rows = [r for r in sheet(found, "Mending a worn keyseat or spline").rows if r[1] == "hub"]
    assert [r[2] for r in rows] == list(WAYS)
    assert {r[7] for r in rows} == {"go", "stop"} and next(r for r in rows if r[2] == "key welded in")[7] == "stop"
    splined = [r[2] for r in sheet(spline(), "Mending a worn keyseat or spline").rows if r[1] == "hub"]
    assert splined == ["sleeve, pinned", "sleeve, pressed on", "cross pin through the hub", "hub welded on"]
    assert not any("weld" in w for w in ways_for("parallel key", "engine"))
    assert {w for w, _ in sheet(found, "What each way of mending does").rows} == set(WAYS)


def test_verdict_of_a_way_on_both_sides_of_its_edges():
    way = mend("new keyseat opposite", KEY)
    for peak, expected in (
        (500 / 1.51, "go"),
        (500 / 1.49, "caution"),
        (500 / 1.01, "caution"),
        (500 / 0.99, "stop"),
        (None, ""),
    ):
        assert verdict(way, 30 * MM, None, peak) == expected
    # a soft shaft governs: 0.6 of pi/16 d3 times 20 MPa over root three
    weak = 0.6 * math.pi / 16 * 0.03**3 * 20 * MPA / math.sqrt(3)
    assert [verdict(way, 30 * MM, 20 * MPA, weak / f) for f in (1.51, 1.49, 0.99)] == ["go", "caution", "stop"]


# -- welds that bend -------------------------------------------------------------------------------


def test_weld_ring_counts_the_bending_at_its_place():
    found = joined("weld ring", leg="0.2 in", position="8.5 in")
    section = next(s for s in data(found).shafts["jackshaft"].sections if s.name == "hub")
    most = max(section.moment, *(c.moment for c in section.cases if c.case != "jam"))
    size, throat = 30 * MM, math.sqrt(0.5) * 0.2 * INCH
    bent = 4 * most / (math.pi * throat * size**2)
    by_hand = math.sqrt((35 * MPA) ** 2 - bent**2) * math.pi * throat * size**2 / 2
    assert joint(found).carries == pytest.approx(by_hand, rel=1e-9)
    # a jam tires no weld: 0.3 of the electrode's 482 MPa stands against what bends it then
    jam = 4 * case_of(section, "jam").moment / (math.pi * throat * size**2)
    once = math.sqrt((0.3 * 482 * MPA) ** 2 - jam**2) * math.pi * throat * size**2 / 2
    assert case_of(section, "jam").moment > most and joint(found).capacity.once == pytest.approx(once, rel=1e-3)
    over_bearing = joint(joined("weld ring", leg="0.2 in", position="8.2 in")).carries
    assert over_bearing < joint(found).carries < joint(joined("weld ring", leg="0.2 in", position="9.9 in")).carries


def test_bending_alone_can_be_too_much_for_a_weld():
    thin = joined("weld ring", leg="0.05 in", position="8.1 in")
    assert joint(thin).carries == 0 and check(thin, "shafts.joint[hub]").verdict == "stop"


def test_weld_without_a_place_or_a_worked_shaft_says_that_bending_is_left_out():
    somewhere = with_part(build_of(TWO_BELTS), "jackshaft", "joint", "hub", kind="weld ring", leg="0.2 in")
    found = work_up(somewhere)
    assert "bending left out" in joint(found).capacity.way
    assert "shaft[jackshaft].joint[hub].position" in found.chapters["shafts"].missing


@pytest.mark.parametrize(
    "steel, verdict_there", [("AISI 1018 CD", "go"), ("AISI 1045 CD", "caution"), ("12L14 CD", "stop")]
)
def test_steel_beside_the_weld(steel, verdict_there):
    c = check(joined("weld ring", {"shaft[jackshaft].material": steel}, leg="0.2 in"), "shafts.weld_steel[hub]")
    assert c.verdict == verdict_there
    assert verdict_there != "caution" or "302 °F to 572 °F" in c.remedy  # 150 to 300 °C
    assert c.guards == (verdict_there == "stop")


def test_steel_beside_the_weld_not_known():
    found = work_up(with_part(build_of(TWO_BELTS), "output shaft", "joint", "hub", kind="weld ring", leg="0.2 in"))
    c = check(found, "shafts.weld_steel[hub]")
    assert c.verdict == "not decidable" and c.missing == ("shaft[output shaft].material",)


# -- torque that turns round -----------------------------------------------------------------------


def test_torque_that_turns_round_asks_more_of_screws_and_keys():
    still, back = {"work.overrun_factor": "0"}, {"work.overrun_factor": "1"}
    # under a load that shakes screws want 4 times the work, which is 2 times the peak here
    for kind, fields, steady, wanted in (
        ("set screws", {"screw": "1/2", "count": 2}, "2 ×", "4 ×"),
        ("parallel key", {"width": "8 mm", "length": "1 in"}, "1.5 ×", "2.5 ×"),
    ):
        assert check(joined(kind, still, **fields), "shafts.joint[hub]").limit.endswith(f", {steady} the peak")
        turned = check(joined(kind, back, **fields), "shafts.joint[hub]")
        assert turned.limit.endswith(f", {wanted} the peak") and "the other way" in turned.reason
    # two screws: 2 x 1500 lbf (the lower chart) at 15 mm, 148 lbf·ft, against a peak of 3.2 x 15.8: enough for a
    # steady torque only
    rough = {"work.peak_factor": "3.2"}
    assert check(joined("set screws", still | rough, screw="1/2", count=2), "shafts.joint[hub]").verdict == "go"
    assert check(joined("set screws", back | rough, screw="1/2", count=2), "shafts.joint[hub]").verdict == "caution"
    assert "not written down" in check(joined("set screws", screw="1/2", count=1), "shafts.joint[hub]").reason


def test_a_joint_that_only_a_jam_is_too_much_for_is_a_caution():
    """One screw holds 74 lbf·ft (the lower chart): 2.3 times the peak. The belt holds 6.94 times the work
    of 15.8: 109 in a jam.
    """
    still = {"work.overrun_factor": "0"}
    one = check(joined("set screws", still, screw="1/2", count=1), "shafts.joint[hub]")
    jam = joint(joined("set screws", still, screw="1/2", count=1)).torques.seldom
    held = work_up(build_of(TWO_BELTS, **still)).chapters["grip"].data["first belt"].case("jam").factor
    assert jam == ("jam", pytest.approx(held * 3.0 * 745.6998715822702 / (1000 * math.pi / 30), rel=1e-6))
    assert one.verdict == "caution" and "With the work jammed" in one.reason
    assert one.wanted.si == pytest.approx(jam[1]) and one.found.si == pytest.approx(1500 * 4.4482216 * 0.015, rel=1e-6)
    # however much harder the jam, it alone makes no stop
    tight = {**still, "stage[first belt].takeup.slack_tension": "400 lbf"}
    hard = check(joined("set screws", tight, screw="1/2", count=1), "shafts.joint[hub]")
    assert hard.verdict == "caution" and hard.found.si < 0.2 * hard.wanted.si


def test_the_start_counts_where_it_is_the_hardest():
    found = check(joined("parallel key", {"work.start_factor": "5"}, width="8 mm", length="1 in"), "shafts.joint[hub]")
    assert "× the start" in found.value
    torque = 3.0 * 745.6998715822702 / (1000 * math.pi / 30)
    assert found.wanted.si == pytest.approx(1.5 * 5 * torque)


# -- what belongs on a shaft, and what a maker says --------------------------------------------------


@pytest.mark.parametrize(
    ("what", "sizes"),
    [
        # 30 mm takes 1/4 in by ASME B17.1, 3/16 to 5/16 one size off, and 8 mm by DIN 6885-1, 6 to 10 one size off
        ("width", {"4.7": CAUTION, "4.77": None, "10": None, "10.1": CAUTION, "15": CAUTION, "15.1": STOP}),
        # 1/8 in is the flat key one size down; 8 mm is the height of the 10 mm key
        ("height", {"3.1": CAUTION, "3.2": None, "8": None, "8.1": CAUTION, "15": CAUTION, "15.1": STOP}),
    ],
)
def test_a_key_off_its_shaft_by_more_than_a_size_is_told(what, sizes):
    """Seen: a key of 1.2 in on a shaft of 1-3/8 in was a go. The sizes are those of both standards, printed."""
    for size, wanted in sizes.items():
        found = joined("parallel key", **{"width": "8 mm", "length": "1.5 in", what: f"{size} mm"})
        told = {c.id: c.verdict for c in found.checks}.get(f"shafts.key-{what}[hub]")
        assert told == wanted, (what, size, told)


def test_the_engines_key_is_held_to_its_shaft_too():
    wide = joined("parallel key", {"engine.key_width": "0.9 in"}, width="8 mm", length="1.5 in")
    assert check(wide, "shafts.key-width[engine key]").verdict == STOP


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        ("parallel key", {"width": "8 mm", "length": "1.5 in"}),
        ("parallel key", {"width": "8 mm", "length": "1.5 in", "repair": "new keyseat opposite"}),
        ("set screws", {"screw": "3/8", "count": 2}),
        ("weld ring", {"leg": "6 mm"}),
    ],
)
def test_a_makers_rating_counts_for_every_kind_where_it_is_the_lower(kind, fields):
    """Seen: the rating of a keyed hub was not read."""
    high, low = (joined(kind, **fields, rating=read(r, "torque")) for r in ("9000 N·m", "5 N·m"))
    plain = joined(kind, **fields)
    assert joint(high).carries == joint(plain).carries and joint(low).carries == pytest.approx(5.0)
    assert check(low, "shafts.joint[hub]").verdict == STOP and "maker's rating" in joint(low).capacity.way
    assert joint(low).capacity.share(10.0) == pytest.approx(0.5)

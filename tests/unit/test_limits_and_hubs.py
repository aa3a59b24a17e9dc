"""Limits at the highest speed of the engine, hubs and loads that nothing is said of, and what was wrong about them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from builders import check_of as check
from jackshaft.buildfile import load, parse
from jackshaft.drawing.pictures import stop_words
from jackshaft.mechanics.shaft_strength import bending_stress
from jackshaft.parts.belt_changes import beside
from jackshaft.results import chapters, work_up
from jackshaft.results.failing import Failing
from jackshaft.results.proving import prove
from shaft_builds import INCH, LBF, TWO_BELTS, build_of
from shaft_builds import TEXT as TWO

CHIPPER = Path(__file__).parents[1] / "builds" / "flywheel_chipper.toml"
RPM = np.pi / 30
RUN_UP = 1.08  # class G1 of ISO 8528-5 (from memory)

#: An engine, a gearbox 1 : 3 down, a fan that overhangs on a spindle in two bearings.
TEXT = """
schema = 1
name = "fan"
shown_in = "inch"
[engine]
kind = "petrol engine"
rated_speed = "3600 rpm"
work_speed = "3000 rpm"
turns = "clockwise"
seen_from = "facing the engine's output shaft"
[work]
name = "fan"
shaft = "spindle"
diameter = "30 in"
speed_least = "900 rpm"
speed_most = "1250 rpm"
power = "5 hp"
power_at = "engine"
start_factor = 1.0
peak_factor = 1.0
[[shaft]]
name = "spindle"
diameter = "1.5 in"
material = "AISI 1018 CD"
[[shaft.load]]
name = "rotor"
position = "14 in"
weight = "100 lb"
pull = "0 lbf"
[[shaft.joint]]
name = "fan key"
kind = "parallel key"
position = "16 in"
width = "3/8 in"
length = "1.5 in"
[[bearing]]
name = "near"
shaft = "spindle"
position = "0 in"
designation = "6208"
[[bearing]]
name = "far"
shaft = "spindle"
position = "10 in"
designation = "6208"
[[stage]]
name = "gears"
kind = "gearbox"
from = "engine"
to = "spindle"
ratio = 3.0
reverses = false
efficiency = 1.0
"""


def of(changes=None, text=TEXT):
    return work_up(parse(text.encode(), file="fan.toml").with_values(changes or {}))


def ids(results):
    return {c.id for c in results.checks}


# -- limits ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "full, rated, most, verdict",
    [
        ("3600 rpm", "3600 rpm", "1200 rpm", "go"),
        ("3700 rpm", "3600 rpm", "1200 rpm", "caution"),
        ("", "3600 rpm", "1250 rpm", "caution"),  # 1296 rpm without load
        ("", "3600 rpm", "1300 rpm", "go"),
        ("", "", "1300 rpm", "not decidable"),
        ("3702 r/min", "3600 rpm", "1200 rpm", "caution"),
    ],
)
def test_the_highest_speed_that_is_allowed_holds_at_full_throttle(full, rated, most, verdict):
    """Go at 1000 rpm at work, whatever the engine could do with its throttle open: that was seen."""
    results = of({"engine.full_speed": full, "engine.rated_speed": rated, "work.speed_most": most})
    assert check(results, "ratio.speed").verdict == "go"
    found = check(results, "ratio.top-speed")
    assert found.verdict == verdict
    assert found.missing == (("engine.full_speed",) if verdict == "not decidable" else ())


@pytest.mark.parametrize(
    "rated, top", [(1725, 1800), (1425, 1500), (2850, 3000), (3450, 3600), (960, 1000), (1500, 1500)]
)
def test_a_motor_without_load_turns_at_its_synchronous_speed(rated, top):
    """Mains frequency over pairs of poles: 60 Hz over 2 are 1800 r/min, 50 Hz over 2 are 1500."""
    build = {"engine.kind": "electric motor", "engine.work_speed": "", "engine.rated_speed": f"{rated} rpm"}
    for over, verdict in ((1.001, "go"), (0.99, "caution" if rated < 0.98 * top else "stop")):
        most = {"work.speed_least": "10 rpm", "work.speed_most": f"{over * top / 3} rpm"}
        results = of({**build, **most})
        if verdict == "stop":
            assert check(results, "ratio.speed").verdict == "stop" and "ratio.top-speed" not in ids(results)
        else:
            found = check(results, "ratio.top-speed")
            assert found.verdict == verdict and found.found.si == pytest.approx(top / 3 * RPM)


def test_a_governor_that_is_set_lower_mends_the_highest_speed():
    cure = prove(of(), "ratio.top-speed")[0]
    assert cure.changes == {"engine.full_speed": "3750 rpm"} and cure.verdict_after == "go"  # 3 times 1250


def test_a_lowest_speed_alone_has_no_highest():
    assert "ratio.top-speed" not in ids(of({"work.speed_most": ""}))


@pytest.mark.parametrize("change", [{}, {"engine.rated_speed": "", "work.surface_speed_most": "10000 ft/min"}])
def test_the_tip_speed_is_asked_for_and_never_go_without_the_engines_highest(change):
    """30 in at 1000 rpm: 7854 ft/min at work. That nobody said what the fan stands went unmentioned."""
    found = check(of(change), "ratio.surface-speed")
    wanted = "engine.full_speed" if change else "work.surface_speed_most"
    assert found.verdict == "not decidable" and found.missing == (wanted,)
    assert f"{np.pi * 30 / 12 * 1000:.0f} ft/min" in found.reason


def test_a_work_without_a_limit_of_its_tip_says_none():
    assert "ratio.surface-speed" not in ids(of({"work.surface_speed_most": "none"}))
    assert "ratio.surface-speed" not in ids(of({"work.diameter": ""}))


def test_belt_and_whirl_are_not_go_where_the_highest_speed_is_not_known():
    results = work_up(build_of(TWO_BELTS).with_values({"engine.rated_speed": ""}))
    for stage in ("first belt", "second belts"):
        assert check(results, f"layout.speed[{stage}]").missing == ("engine.full_speed",)
    assert check(of({"engine.rated_speed": ""}), "shafts.whirl[spindle]").missing == ("engine.full_speed",)
    whirl = check(of(), "shafts.whirl[spindle]")
    assert whirl.found.si == pytest.approx(RUN_UP * 1200 * RPM)


# -- splines ---------------------------------------------------------------------------------------------------------

SPLINE = TEXT.replace("ratio = 3.0", "ratio = 5.5").replace(
    'kind = "parallel key"\nposition = "16 in"\nwidth = "3/8 in"',
    'kind = "spline"\nposition = "16 in"\nprofile = "type 1, 540 rpm"\nend_faces = "away from the engine"',
)


@pytest.mark.parametrize(
    "full, verdict", [("3400 rpm", "go"), ("3600 rpm", "caution"), ("3750 rpm", "stop"), ("", "caution")]
)
def test_a_spline_is_judged_at_the_highest_speed(full, verdict):
    """545 rpm at work; 618, 655 and 682 at most over the standard's 540 are 1.14, 1.21 and 1.26."""
    found = check(of({"engine.full_speed": full}, SPLINE), "shafts.spline_speed[fan key]")
    assert found.verdict == verdict
    assert found.found.high == pytest.approx((float(full.split()[0]) if full else RUN_UP * 3600) / 5.5 * RPM)


@pytest.mark.parametrize(
    "gone, id, missing",
    [
        ("engine.turns", "turns", ("engine.turns",)),
        ("shaft[spindle].joint[fan key].end_faces", "turns", ("shaft[spindle].joint[fan key].end_faces",)),
        ("stage[gears].reverses", "turns", ("stage[gears].reverses",)),
        ("stage[gears].ratio", "turns", ("stage[gears].ratio",)),
        ("stage[gears].ratio", "speed", ("stage[gears].ratio",)),
        ("engine.work_speed", "speed", ("engine.work_speed",)),
    ],
)
def test_a_spline_names_the_key_that_is_missing_and_no_other(gone, id, missing):
    found = check(of({gone: ""}, SPLINE), f"shafts.spline_{id}[fan key]")
    assert found.verdict == "not decidable" and found.missing == missing


# -- hubs ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("place", ["16 in", "-9 in", "-200 mm"])
def test_a_hub_beyond_the_last_bearing_is_on_the_shaft(place):
    """A shaft of one diameter reaches as far as what sits on it. A false stop was seen, its place in metres."""
    bound = {"clutch.shaft": "engine", "clutch.static_torque": "20 lbf·ft"}
    results = of({"shaft[spindle].joint[fan key].position": place, **bound})
    strength = check(results, "shafts.strength[spindle]")
    assert strength.verdict == "go" and check(results, "shafts.joint[fan key]").verdict == "go"
    # 100 lb hang 4 in beyond the bearing; the bar's own weight and length add a little
    state = results.chapters["shafts"].data.shafts["spindle"]
    far = next(s for s in state.sections if s.name == "bearing far")
    least = 400 * LBF * INCH
    assert least < far.moment < 1.1 * least
    assert bending_stress.si(far.moment, 1.5 * INCH) > bending_stress.si(least, 1.5 * INCH)


def test_a_hub_off_a_stepped_shaft_is_told_in_shop_units():
    step = {"start": "-1 in", "end": "15 in", "diameter": "1.5 in"}
    text = TEXT.replace(
        "[[shaft.load]]",
        "[[shaft.step]]\nname = 'bar'\n" + "".join(f'{k} = "{v}"\n' for k, v in step.items()) + "[[shaft.load]]",
    )
    stop = check(of(text=text), "shafts.strength[spindle]")
    assert stop.verdict == "stop" and "16.000 in" in stop.reason and " m " not in stop.reason


def test_the_work_has_its_hub_asked_for():
    gone = TEXT[: TEXT.index("[[shaft.joint]]")] + TEXT[TEXT.index("[[bearing]]") :]
    found = check(of(text=gone), "shafts.hub[work on spindle]")
    assert found.missing == ("work.one_piece", "shaft[spindle].joint[work].kind")
    assert not any("shafts.hub" in i for i in ids(of()) | ids(of({"work.one_piece": True}, gone)))


def test_joints_of_one_name_on_two_shafts_are_told_apart():
    """Two checks with one id: the cures of the second were worked out for the first."""
    key = '[[shaft.joint]]\nname = "{}"\nkind = "parallel key"\nwidth = "1/8 in"\nlength = "{}"\n\n'
    for name in ("key", "engine key"):
        text = TWO.replace('[[shaft]]\nname = "output', key.format(name, "2 in") + '[[shaft]]\nname = "output', 1)
        text = text.replace("[[stage]]", key.format(name, "1/4 in") + "[[stage]]", 1)
        results = work_up(parse(text.encode(), file="two.toml"))
        found = [c.id for c in results.checks]
        assert len(set(found)) == len(found)
        weak = check(results, f"shafts.joint[{name} on output shaft]")
        assert weak.verdict == "stop" and check(results, f"shafts.joint[{name} on jackshaft]").verdict == "go"
        assert check(results, "shafts.joint[engine key]").name.startswith("engine: engine key, hub of ")
        cures = prove(results, weak.id)
        assert cures and all(any(k.startswith("shaft[output shaft]") for k in c.changes) for c in cures)


def test_a_key_that_the_crank_does_not_have_is_said():
    build = build_of(TWO_BELTS)
    assert check(work_up(build), "shafts.joint[engine key]").verdict == "go"
    for key in ("none", ""):
        found = check(work_up(build.with_values({"engine.key_width": key})), "shafts.joint[engine key]")
        assert found.verdict == ("caution" if key else "not decidable")


BELT = "shaft[jackshaft].load"


@pytest.mark.parametrize(
    "old, new, asked",
    [
        ('name = "stage 1 pulley"\nstage = "first belt"', 'name = "first belt"', ["first belt"]),
        ('name = "stage 1 pulley"\nstage = "first belt"', 'name = "stage 1 pulley"', ["stage 1 pulley"]),
    ],
)
def test_a_load_that_says_no_stage_is_asked_for_it(old, new, asked):
    """Its place, which is known, was named as missing."""
    assert old in TWO
    results = work_up(parse(TWO.replace(old, new).encode(), file="two.toml"))
    missing = {k for c in results.checks for k in c.missing}
    assert {f"{BELT}[{name}].stage" for name in asked} <= missing
    assert f"{BELT}[first belt].position" not in missing or "first belt" not in asked


# -- words, cures and pictures ---------------------------------------------------------------------------------------


def test_bolts_are_not_held_with_a_key():
    flange = TEXT.replace(
        'name = "fan key"\nkind = "parallel key"\nposition = "16 in"\nwidth = "3/8 in"\nlength = "1.5 in"',
        'name = "flange bolts"\nkind = "flange"\nposition = "16 in"\nbolt = "M5x0.8"\ngrade = "4.6"\ncount = 3\n'
        'circle = "1 in"',
    )
    results = of(text=flange)
    found = check(results, "shafts.joint[flange bolts]")
    assert found.verdict != "go"
    offered = chapters()["shafts"].part("cures").PROPOSALS["shafts.joint"]
    words = [p.words for p in offered(Failing(results, found))]
    assert any(w.startswith("Take a hub with a key") and w.endswith("in place of flange bolts.") for w in words)
    assert not any("Hold" in w for w in words)


AT = "stage[wheel belts]"
V_FLAT = {
    f"{AT}.section": "B",
    f"{AT}.pulley": ["E", "F"],
    f"{AT}.pulley[E].diameter": "6.8 in",
    f"{AT}.pulley[F].x": "30 in",
    f"{AT}.length": "",
    f"{AT}.length_is": "",
    f"{AT}.takeup.kind": "adjustable centres",
    f"{AT}.takeup.static_tension": "40 lbf",
    **{f"{AT}.takeup.{key}": "" for key in ("idler", "slack_tension", "pivot_x", "pivot_y")},
}


@pytest.mark.parametrize("id", ["capacity.power", "grip.margin"])
def test_belts_added_to_a_flat_pulley_have_a_groove_each(id):
    """Offered as 'with a groove for each', with the flat rim left flat."""
    results = work_up(load(CHIPPER).with_values(V_FLAT))
    found = check(results, f"{id}[wheel belts]")
    added = 0
    for proposal in chapters()[id.split(".")[0]].part("cures").PROPOSALS[id](Failing(results, found)):
        if int(proposal.changes.get("stage[wheel belts].belts", 0)) > 2:
            added += 1
            assert proposal.changes["stage[wheel belts].pulley[F].surface"] == "groove", proposal.words
            assert "F among them" in proposal.words
    assert added


def test_belts_added_to_a_flat_pulley_on_their_back_leave_it_flat():
    build = load(CHIPPER).with_values({"stage[wheel belts].pulley[F].side": "outside"})
    pulleys = work_up(build, ("layout",)).chapters["layout"].data["wheel belts"].pulleys
    changes, words = beside(pulleys, "wheel belts", 3, 2)
    assert changes == {"stage[wheel belts].belts": "3"} and "F wide enough" in words
    assert beside(pulleys, "wheel belts", 1, 2) == ({"stage[wheel belts].belts": "1"}, "use 1 belt")


def test_a_stop_of_the_crank_is_not_drawn_across_another_shaft():
    """The frame of the crank's stop was on the picture of a shaft without one."""
    build = build_of(TWO_BELTS).with_values({"engine.side_load_limit": "1 lbf", "engine.belt_at": "2 in"})
    results = work_up(build)
    assert check(results, "shafts.crank").verdict == "stop"
    stops = [c for c in results.of("shafts") if c.verdict == "stop" and c.name.startswith("jackshaft: ")]
    assert not stops and stop_words(results, "shafts", "jackshaft") == ""
    assert "side load" in stop_words(results, "shafts")

"""The feed-wagon auger, from the belts to the verdict line.

Every expected figure is from the independent calculation of the build: tangent circles on the cord line, grip
exp(0.5123 wrap) in a groove with 0.40 as the bad end, no creep, no losses, copper +0.393 % a kelvin, clutch torque
with the square of the current. Geometry and speed agree to 0.5 %, tensions to 5 %, others as they are printed.
"""

import numpy as np
import pytest
from build_figures import (
    FT_MIN,
    GEOMETRY,
    HP,
    INCH,
    LB_FT2,
    LBF,
    LBF_FT,
    PRINTED,
    RPM,
    TENSION,
    figure,
    first_number,
    lines,
    says,
    verdict,
)
from builders import check_of as check
from builders import data
from jackshaft.buildfile import load
from jackshaft.results import work_up

BUILD, STAGE = "feed_wagon_auger", "crank belts"
KEY = f"stage[{STAGE}]"
E, I, J = 0, 1, 2  # noqa: E741 - the pulleys' own names


@pytest.fixture(scope="module")
def results():
    return work_up(load(BUILD))


def changed(values, chapters=None):
    build = load(BUILD).with_values(values)
    return work_up(build, chapters) if chapters else work_up(build)


def shaft(results, name):
    return next(s for s in data(results, "ratio").shafts if s.name == name)


def path(results):
    return data(results, "layout", STAGE).path


def grip(results):
    return data(results, "grip", STAGE)


def margin(name, bad=False):
    return lambda r: (lambda c: (c.margin_bad if bad else c.margin)[E])(grip(r).case(name))


def net(name, strand):
    return lambda r: grip(r).case(name).net[strand] / LBF


def hub(state, pulley):
    def found(r):
        at = grip(r).hub_rest if state == "rest" else grip(r).case(state).hub
        return np.hypot(*at[pulley]) / LBF

    return found


def bearing(name, case):
    return lambda r: data(r, "bearings").lives[name].radial[case] / LBF


def link(name, end="likely"):
    return lambda r: getattr(next(k for k in data(r, "chain").links if name in k.name), end) / LBF_FT


def clutch_band(kind, end, at="running, hot"):
    return lambda r: getattr(getattr(data(r, "clutch"), kind)[at], end) / LBF_FT


def meeting(end, what):
    return lambda r: getattr(data(r, "clutch").engagement.governed[end], what)


FIGURES = [
    # the train
    figure("jackshaft, rpm", 1285.7, GEOMETRY, lambda r: shaft(r, "jackshaft").work / RPM),
    figure("auger, rpm", 417.9, GEOMETRY, lambda r: shaft(r, "output shaft").work / RPM),
    figure("overall ratio", 7.180, GEOMETRY, lambda r: shaft(r, "output shaft").over),
    figure("crank torque at work, lbf ft", 6.13, GEOMETRY, lambda r: data(r, "clutch").required.work / LBF_FT),
    figure("crank torque restarting", 11.03, GEOMETRY, lambda r: data(r, "clutch").required.start / LBF_FT),
    figure("crank torque in a choke", 13.48, GEOMETRY, lambda r: data(r, "clutch").required.peak / LBF_FT),
    # the loop
    figure("path, in", 62.09, GEOMETRY, lambda r: path(r).length / INCH),
    figure("wrap of E, deg", 175.8, GEOMETRY, lambda r: np.degrees(path(r).wrap[E])),
    figure("wrap of I, deg", 24.1, GEOMETRY, lambda r: np.degrees(path(r).wrap[I])),
    figure("wrap of J, deg", 208.3, GEOMETRY, lambda r: np.degrees(path(r).wrap[J])),
    figure("strand E to I, in", 5.77, GEOMETRY, lambda r: path(r).span[E] / INCH),
    figure("strand I to J, in", 10.21, GEOMETRY, lambda r: path(r).span[I] / INCH),
    figure("strand J to E, in", 18.18, GEOMETRY, lambda r: path(r).span[J] / INCH),
    # the belts at work
    figure("belt speed, ft/min", 3652, GEOMETRY, lambda r: data(r, "layout", STAGE).speed / FT_MIN),
    figure("pull, lbf", 31.6, TENSION, lambda r: grip(r).pull / LBF),
    figure("centrifugal, lbf", 16.2, TENSION, lambda r: grip(r).centrifugal / LBF),
    figure("bends a second", 35, 0.02, lambda r: data(r, "capacity", STAGE).flex),
    figure("holds the work", 5.31, PRINTED, margin("work")),
    figure("holds the work, bad end", 3.36, PRINTED, margin("work", bad=True)),
    figure("holds a restart", 2.95, PRINTED, margin("start")),
    figure("holds a restart, bad end", 1.86, PRINTED, margin("start", bad=True)),
    figure("holds a choke", 2.41, PRINTED, margin("peak")),
    figure("holds a choke, bad end", 1.53, PRINTED, margin("peak", bad=True)),
    figure("net E to I at work, lbf", 44, TENSION, net("work", E)),
    figure("net I to J at work", 44, TENSION, net("work", I)),
    figure("net J to E at work", 75.6, TENSION, net("work", J)),
    figure("net E to I in a choke", 44, TENSION, net("peak", E)),
    figure("net I to J in a choke", 44, TENSION, net("peak", I)),
    figure("net J to E in a choke", 113.6, TENSION, net("peak", J)),
    figure("hub of E at rest, lbf", 88, TENSION, hub("rest", E)),
    figure("hub of E at work", 120, TENSION, hub("work", E)),
    figure("hub of E in a choke", 158, TENSION, hub("peak", E)),
    figure("hub of I at rest", 18.4, TENSION, hub("rest", I)),
    figure("hub of I at work", 18.4, TENSION, hub("work", I)),
    figure("hub of I in a choke", 18.4, TENSION, hub("peak", I)),
    figure("hub of J at rest", 85, TENSION, hub("rest", J)),
    figure("hub of J at work", 116, TENSION, hub("work", J)),
    figure("hub of J in a choke", 154, TENSION, hub("peak", J)),
    # below 0 is clockwise
    figure("moment on the arm, lbf in", -103.6, TENSION, lambda r: grip(r).set.arm.moment / LBF / INCH),
    figure("pull of the spring, lbf", 23.0, TENSION, lambda r: grip(r).set.arm.pull / LBF),
    figure("length of the spring, in", 7.00, GEOMETRY, lambda r: grip(r).set.arm.spring_length / INCH),
    figure("two belts carry, hp", 11.0, PRINTED, lambda r: data(r, "capacity", STAGE).carried / HP),
    figure("power to design for, hp", 4.9, PRINTED, lambda r: data(r, "capacity", STAGE).design / HP),
    # bearings; the columns are work, rest, peak
    figure("engine side at work, lbf", 167, TENSION, bearing("engine side", 0)),
    figure("chain side at work", 150, TENSION, bearing("chain side", 0)),
    figure("engine side at rest", 122, TENSION, bearing("engine side", 1)),
    figure("chain side at rest", 26, TENSION, bearing("chain side", 1)),
    figure("engine side in a choke", 225, TENSION, bearing("engine side", 2)),
    figure("chain side in a choke", 315, TENSION, bearing("chain side", 2)),
    figure("life, engine side, h", 240_000, TENSION, lambda r: data(r, "bearings").lives["engine side"].hours),
    figure("life, chain side, h", 330_000, TENSION, lambda r: data(r, "bearings").lives["chain side"].hours),
    figure("rating C, N", 29_500, 1e-6, lambda r: data(r, "bearings").lives["chain side"].rating.dynamic),
    # the circuit; the columns are running cold, running hot, battery only cold and hot
    figure("coil cold, A", 5.26, PRINTED, lambda r: data(r, "electric").steps.coil_amps[0]),
    figure("coil hot, A", 4.03, PRINTED, lambda r: data(r, "electric").steps.coil_amps[1]),
    figure("at the coil cold, V", 13.68, GEOMETRY, lambda r: data(r, "electric").steps.coil_volts[0]),
    figure("at the coil hot, V", 13.78, GEOMETRY, lambda r: data(r, "electric").steps.coil_volts[1]),
    figure("drop, share", 0.030, 0.02, lambda r: 1 - data(r, "electric").steps.coil_volts[0] / 14.1),
    figure("far-end short, A", 135, PRINTED, lambda r: first_number(check(r, "electric.short").value)),
    figure("charging left at work, A", 9.3, PRINTED, lambda r: first_number(check(r, "electric.charging").value)),
    # with the coil cold: copper of 40.4 mΩ and joints of 40 mΩ, the lamp, and a relay of 0.16 A at 12 V
    figure(
        "charging left at idle, A",
        9 - 14.1 / 2.6804 - 2.5 - 0.16 * 14.1 / 12,
        PRINTED,
        lambda r: first_number(check(r, "electric.charging-idle").value),
    ),
    # the clutch
    figure("holds hot, lbf ft", 35.7, PRINTED, clutch_band("static", "likely")),
    figure("holds hot, bad end", 27.5, PRINTED, clutch_band("static", "bad")),
    figure("slips hot at", 25.0, PRINTED, clutch_band("dynamic", "likely")),
    figure("slips hot at, bad end", 13.7, PRINTED, clutch_band("dynamic", "bad")),
    figure("inertia at the auger, lb ft2", 45.1, PRINTED, lambda r: inertia(r) * shaft(r, "output shaft").over ** 2),
    figure("inertia at the crank", 0.874, PRINTED, lambda r: inertia(r)),
    figure("engaging, s", 0.31, 0.02, meeting("likely", "seconds")),
    figure("engaging, J", 814, PRINTED, meeting("likely", "heat")),
    # 1.58 s and 2.31 kJ with the line at its likely value. At its bad end the wire is 50 °C warm and at the limit of
    # its gauge: 13.66 lbf ft instead of 13.73, and t = 0.874 × 1500 rpm / (13.66 - 11.03)
    figure("engaging, bad end, s", 1.62, PRINTED, meeting("bad", "seconds")),
    figure("engaging, bad end, J", 2360, PRINTED, meeting("bad", "heat")),
    figure("droop to, rpm", 1145, 0.015, lambda r: data(r, "clutch").engagement.steps.engine[-1] / RPM),
    figure("settles at, good end, deg C", 65, PRINTED, lambda r: data(r, "clutch").settled.ends["good"].peak - 273.15),
    figure("settles at, bad end", 126, PRINTED, lambda r: data(r, "clutch").settled.ends["bad"].peak - 273.15),
    # what gives first, on the crank
    figure("pin, lbf ft", 17.4, PRINTED, link("shear pin")),
    figure("pin, low", 15.7, PRINTED, link("shear pin", "low")),
    figure("pin, high", 19.1, PRINTED, link("shear pin", "high")),
    figure("engine peak", 20.2, PRINTED, link("engine peak")),
    figure("belts", 32.5, TENSION, link(STAGE)),
    figure("belts, bad end", 20.6, TENSION, link(STAGE, "low")),
    figure("joints, straight", 23.7, PRINTED, link("joints of the telescoping", "high")),
    figure("clutch", 35.7, PRINTED, link("clutch slip")),
    figure("clutch, bad end", 27.5, PRINTED, link("clutch slip", "low")),
    figure("output shaft", 139, PRINTED, link("output shaft yields")),
    figure("engine key", 422, PRINTED, link("engine key")),
]


def inertia(r):
    return data(r, "clutch").engagement.inertia / LB_FT2


@pytest.mark.parametrize("expected, within, found", FIGURES)
def test_figures(results, expected, within, found):
    assert found(results) == pytest.approx(expected, rel=within)


VERDICTS = [
    *(verdict(f"ratio.{what}", "go") for what in ("speed", "direction", "power")),
    *(verdict(f"layout.{what}[{STAGE}]", "go") for what in ("path", "length", "clearance", "wrap", "pulley-size")),
    verdict(f"layout.speed[{STAGE}]", "go"),
    verdict(f"layout.back-bend[{STAGE}]", "caution"),
    *(verdict(f"grip.{what}[{STAGE}]", "go") for what in ("margin", "start", "peak", "overrun", "idlers")),
    *(verdict(f"capacity.{what}[{STAGE}]", "go") for what in ("power", "flex", "life")),
    verdict(f"capacity.idlers[{STAGE}]", "caution"),
    *(verdict(f"bearings.{what}[{side} side]", "go") for what in ("identity", "life") for side in ("engine", "chain")),
    verdict("bearings.seat[engine side]", "go"),
    verdict("bearings.seat[chain side]", "not decidable"),
    *(verdict(f"electric.{what}", "go") for what in ("voltage", "drop", "ampacity", "fuse", "short", "switch")),
    *(verdict(f"electric.{what}", "go") for what in ("relay-contact", "suppression", "interlocks")),
    *(verdict(f"electric.charging{when}", "go") for when in ("", "-idle")),
    *(verdict(f"clutch.{what}", "go") for what in ("hold", "pull-in", "gap", "engagement", "repeated")),
    *(verdict(f"chain.{what}", "go") for what in ("holds", "start", "peak", "weak-link", "joints")),
    *(verdict(f"chain.{what}", "go") for what in ("engage", "engage-pin")),
    verdict(f"chain.engage-belts[{STAGE}]", "caution"),
    *(verdict(f"shafts.joint[{key}]", "go") for key in ("pulley key", "sprocket key")),
    verdict("shafts.joint[engine key]", "go"),
    verdict("shafts.joint[joint key]", "go"),
    verdict(
        "shafts.crank", "caution", "an unknown limit of the crank is told as not decidable; its bending is to come"
    ),
]


@pytest.mark.parametrize("id, wanted", VERDICTS)
def test_verdicts(results, id, wanted):
    assert check(results, id).verdict == wanted


def test_what_gives_first_stands_in_this_order(results):
    """work < restart < choke < pin < engine < joints and belts < clutch < output shaft < engine key."""
    chain = data(results, "chain")
    named = ("shear pin", "engine peak", "joints of the telescoping", STAGE, "clutch slip", "output shaft yields")
    order = [next(i for i, k in enumerate(chain.links) if name in k.name) for name in (*named, "engine key")]
    assert order == sorted(order)
    assert chain.working < data(results, "clutch").required.start < chain.peak < chain.links[0].low


def test_bearings_are_the_6208(results):
    identity = data(results, "bearings").identity
    assert {check(results, f"bearings.identity[{name}]").value.split(",")[0] for name in identity} == {"6208"}


# -- other settings of the same build ----------------------------------------------------------------


def test_one_belt_is_a_caution():
    """One belt carries 5.5 hp against 4.9, and is short at -15 %."""
    r = changed({f"{KEY}.belts": 1}, ("capacity",))
    assert data(r, "capacity", STAGE).carried / HP == pytest.approx(5.5, rel=PRINTED)
    assert check(r, f"capacity.power[{STAGE}]").verdict == "caution"


def test_loop_without_the_idler():
    """61.75 in, 160.6 and 199.4 deg."""
    r = changed(
        {
            f"{KEY}.pulley": ["E", "J"],
            f"{KEY}.takeup.kind": "adjustable centres",
            **{f"{KEY}.takeup.{key}": "" for key in ("idler", "slack_tension", "pivot_x", "pivot_y")},
            **{f"{KEY}.takeup.spring_{key}": "" for key in ("lever", "rate", "free_length", "initial")},
        },
        ("layout",),
    )
    loop = path(r)
    assert loop.length / INCH == pytest.approx(61.75, rel=GEOMETRY)
    assert np.degrees(loop.wrap) == pytest.approx([160.6, 199.4], rel=GEOMETRY)


def test_the_idler_takes_up_a_third_of_its_travel(results):
    row = next(line for line in lines(results) if "take-up of the idlers" in line and "I, on its arm" in line)
    assert float(row.split("|")[1].split()[0]) == pytest.approx(0.35, abs=0.005)


def test_stretch_of_the_belt_is_taken_up():
    """1.5 % of stretch needs 2.1 in of travel, and E then wraps 185.6 deg."""
    r = changed(
        {f"{KEY}.marked": "", f"{KEY}.length": f"{62.08 * 1.015:.3f} in", f"{KEY}.length_is": "pitch"}, ("layout",)
    )
    layout = data(r, "layout", STAGE)
    travel = np.hypot(layout.chosen.x / INCH - 7.0, layout.chosen.y / INCH + 2.88)
    assert travel == pytest.approx(2.1, abs=0.05)
    assert np.degrees(layout.chosen.wrap[E]) == pytest.approx(185.6, rel=GEOMETRY)


def test_a_weak_spring_no_longer_leaves_the_pin_first():
    """At 28 lbf on the idler the belts' bad end, 13.1, lies under the pin: caution."""
    r = changed({f"{KEY}.takeup.slack_tension": "28 lbf"})
    assert link(STAGE, "low")(r) == pytest.approx(13.1, rel=TENSION)
    assert check(r, "chain.weak-link").verdict == "caution"


RUN_IN = {"clutch.faces": "burnished"}


def test_run_in_faces():
    """Run in it holds 54.9 and slips at 38.4, 27.5 at the bad end."""
    r = changed(RUN_IN, ("clutch",))
    assert clutch_band("static", "likely")(r) == pytest.approx(54.9, rel=PRINTED)
    assert clutch_band("dynamic", "likely")(r) == pytest.approx(38.4, rel=PRINTED)
    assert clutch_band("dynamic", "bad")(r) == pytest.approx(27.5, rel=PRINTED)


def test_engaged_at_the_working_speed():
    """At 3000: 0.61 s, 3.25 kJ, bad 3.25 s and 9.45 kJ, +28 K of 20 allowed: caution; run in: go."""
    fast = {"clutch.engage_speed": "3000 rpm"}
    r = changed(fast, ("clutch",))
    assert meeting("likely", "seconds")(r) == pytest.approx(0.61, rel=PRINTED)
    assert meeting("likely", "heat")(r) == pytest.approx(3250, rel=PRINTED)
    assert meeting("bad", "seconds")(r) == pytest.approx(3.25, rel=0.02)
    assert meeting("bad", "heat")(r) == pytest.approx(9450, rel=0.02)
    assert check(r, "clutch.engagement").verdict == "caution"
    assert check(changed(fast | RUN_IN, ("clutch",)), "clutch.engagement").verdict == "go"


def test_two_belts_by_the_older_formula(results):
    assert says(results, "older", 8.4, "hp", 0.02)


# -- chain and telescoping shaft -----------------------------------------------------------------------


def test_the_search_for_words_finds_what_is_said(results):
    """So that a figure that is not said is missed."""
    assert says(results, f"{STAGE}: path on the cord line", 62.09, "in", GEOMETRY)
    assert not says(results, f"{STAGE}: path on the cord line", 63.09, "in", GEOMETRY)
    assert says(results, "large pulley.*pulls", -156.3, "°", GEOMETRY)


@pytest.mark.parametrize(
    "about, value, unit, within",
    [
        pytest.param("output chain", 3.134, "in", GEOMETRY, id="pitch diameter, 13 teeth"),
        pytest.param("output chain", 9.559, "in", GEOMETRY, id="pitch diameter, 40 teeth"),
        pytest.param("output chain", 1045, "ft/min", GEOMETRY, id="speed"),
        pytest.param("output chain", 110, "lbf", TENSION, id="pull at work"),
        pytest.param("output chain", 242, "lbf", TENSION, id="pull in a choke"),
        pytest.param("output chain", -59.9, "°", GEOMETRY, id="direction of the pull"),
        pytest.param("output chain", 18.28, "in", GEOMETRY, id="centres for 76 pitches"),
        pytest.param("output chain", 13.7, "hp", TENSION, id="rated power"),
        pytest.param("output chain", 7030, "lbf", TENSION, id="least breaking strength"),
        pytest.param("output chain", 2.9, "%", 0.02, id="speed swings by"),
    ],
)
def test_the_chain(results, about, value, unit, within):
    assert says(results, about, value, unit, within)


@pytest.mark.parametrize(
    "state, value",
    [("faces as they are", 12.9), ("faces run in", 14.7), ("cold, run in", 16.3), ("cold, run in", 50.4)],
)
def test_the_pin_feels_a_part_of_an_engagement(results, state, value):
    """12.9 new, 14.7 run in: the auger is 0.13 of the inertia. Cold and run in the clutch pulls 50.4; it feels 16.3."""
    assert says(results, f"pin feels.*engag.*{state}", value, "lbf·ft", PRINTED)
    assert check(results, "chain.engage-pin").verdict == "go"


def test_thirteen_teeth_are_a_caution(results):
    assert any(c.verdict == "caution" and "teeth" in f"{c.name} {c.value} {c.reason}" for c in results.checks)


def test_a_run_in_clutch_slips_the_belts():
    """While it slips the belts carry its torque: 38.4 run in against their 20.6 to 32.5: caution."""
    r = changed(RUN_IN)
    asked = [c for c in r.checks if "clutch" in f"{c.name} {c.reason}" and "belt" in f"{c.name} {c.reason}"]
    assert any(c.verdict == "caution" and "38.4" in f"{c.value} {c.limit} {c.reason}" for c in asked)


def test_the_large_pulley_is_part_of_the_inertia(results):
    assert any("large pulley" in line for line in lines(results) if line.startswith("Clutch: inertia"))


@pytest.mark.parametrize(
    "attitude, distance, first, second, overlap, bottom",
    [
        ("folded", 25.28, 15.5, 13.3, 9.97, 2.03),
        ("low", 28.42, 4.4, 4.1, 6.83, 5.17),
        ("working", 29.11, 13.7, 12.0, 6.14, 5.86),
        ("high", 29.13, 20.5, 18.0, 6.12, 5.88),
    ],
)
def test_telescoping_shaft(results, attitude, distance, first, second, overlap, bottom):
    for length in (distance, overlap, bottom):
        assert says(results, f"Telescoping shaft.*{attitude}", length, "in", GEOMETRY)
    for angle in (first, second):
        assert says(results, f"Telescoping shaft.*{attitude}", angle, "°", GEOMETRY)


def test_telescoping_shaft_is_judged(results):
    """Longest 29.16 between two attitudes; the tube is long enough: go; the high attitude: caution."""
    assert says(results, "Telescoping shaft.*longest", 29.16, "in", GEOMETRY)
    found = {c.verdict for c in results.checks if c.id.startswith("driveline.")}
    assert "caution" in found and "stop" not in found


# -- the verdict line ----------------------------------------------------------------------------------


def test_no_stop_and_nothing_to_accept(results):
    assert not [c.id for c in results.checks if c.verdict == "stop"]
    assert all(c.accepted is None for c in results.checks)
    assert not results.build.lists.get("accepted")


def test_these_cautions_and_no_others(results):
    """Of the six cautions those whose chapters are here; the others have tests of their own above."""
    here = {f"layout.back-bend[{STAGE}]", f"capacity.idlers[{STAGE}]", f"chain.engage-belts[{STAGE}]"}
    # 418 rpm at 3000: 542 at 8 % over the rated 3600, over the 430 that are allowed
    here |= {"shafts.crank-bending", "ratio.top-speed", "roller-chain.teeth[output chain]"}
    here.add("driveline.angle[high]")
    assert {c.id for c in results.checks if c.verdict == "caution"} == here
    assert first_number(check(results, f"capacity.idlers[{STAGE}]").value) == 72


def test_all_six_cautions(results):
    words = " ".join(f"{c.name} {c.value}" for c in results.checks if c.verdict == "caution")
    for subject in ("backwards", "idlers", "teeth", "attitude", "clutch", "crank"):
        assert subject in words


def test_what_is_not_known(results):
    missing = {key for c in results.checks for key in c.missing}
    assert {"engine.side_load_limit", "bearing[chain side].seat"} <= missing
    # nothing is passed over in silence
    assert "bearing" in missing  # of the output shaft


def test_the_crank_is_judged_by_its_bending_while_its_limit_is_not_known(results):
    """120 lbf at work, 158 in a choke; 158 lbf x 2.5 in on 1 in, a sharp corner 2.7, is 10.9 ksi."""
    found = check(results, "shafts.crank-bending")
    assert found.verdict == "caution"
    assert says(results, "engine shaft: bending of the crank", 120, "lbf", TENSION)
    assert says(results, "engine shaft: bending of the crank", 158, "lbf", TENSION)
    assert says(results, "engine shaft: bending of the crank", 158 * 2.5 * 32 / np.pi * 2.7 / 1e3, "ksi", TENSION)


def test_nothing_is_asked_that_the_build_says(results):
    assert "shaft[jackshaft].diameter" not in {key for c in results.checks for key in c.missing}


def test_nothing_is_passed_over_in_silence(results):
    """Bearings of output and auger shaft and the joint of the 40-tooth hub are named as not known."""
    open_checks = " ".join(f"{c.name} {c.reason} {' '.join(c.missing)}" for c in results.checks if c.missing)
    assert "output shaft" in open_checks and "driveline" in open_checks

"""The flywheel chipper, a build that cannot work, and the nearest one to it that can.

Every expected figure is from the independent calculation of the build: tangent circles on the cord line, grip
exp(0.5123 wrap) in a groove with 0.40 as the bad end, flat 0.30 dry, 0.20 damp, 0.15 wet, no creep, no losses.
Geometry and speed agree to 0.5 %, tensions to 5 %, others as they are printed.
"""

from pathlib import Path

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
    says,
    verdict,
)
from builders import check_of as check
from builders import data
from jackshaft.buildfile import load
from jackshaft.results import work_up

BUILD = Path(__file__).parents[1] / "builds" / "flywheel_chipper.toml"
STAGE = "wheel belts"
KEY, WHEEL = f"stage[{STAGE}]", "shaft[wheel shaft]"
E, F, T = 0, 1, 2
TO_COME = pytest.mark.xfail(strict=True, reason="this chapter does not work it out yet")

#: The nearest build that works. The battery is charged as it should be; "started empty" is 0.08 of the work.
FEASIBLE = {
    f"{KEY}.section": "B",
    f"{KEY}.belts": 4,
    f"{KEY}.pulley": ["E", "F"],
    f"{KEY}.pulley[E].diameter": "6.8 in",
    f"{KEY}.pulley[E].measured_as": "pitch",
    f"{KEY}.pulley[F].x": "30.0 in",
    f"{KEY}.length": "",
    f"{KEY}.length_is": "",
    f"{KEY}.takeup.kind": "adjustable centres",
    f"{KEY}.takeup.static_tension": "100 lbf",
    f"{KEY}.takeup.travel_in": "1.5 in",
    f"{KEY}.takeup.travel_out": "1.5 in",
    **{f"{KEY}.takeup.{key}": "" for key in ("idler", "slack_tension", "pivot_x", "pivot_y")},
    "work.start_factor": "0.08",
    f"{WHEEL}.diameter": "1-3/4 in",
    f"{WHEEL}.material": "AISI 1045 CD",
    f"{WHEEL}.finish": "machined or cold-drawn",
    f"{WHEEL}.load[wheel].position": "0 in",
    f"{WHEEL}.joint[wheel screws].position": "0 in",
    f"{WHEEL}.joint[wheel screws].kind": "parallel key",
    f"{WHEEL}.joint[wheel screws].width": "3/8 in",
    f"{WHEEL}.joint[wheel screws].length": "3 in",
    f"{WHEEL}.joint[wheel screws].screw": "",
    f"{WHEEL}.joint[wheel screws].count": "",
    "bearing[near].position": "-7 in",
    "bearing[far].position": "7 in",
    "circuit.running_voltage": "13.8 V",
    "circuit.wire": "14 AWG",
    "circuit.insulation": "105 °C",
    "circuit.bundled": 1,
    "circuit.length_out": "5 ft",
    "circuit.length_back": "5 ft",
    "circuit.joint_resistance": "0.04 ohm",
    "circuit.fuse": "10 A",
    "circuit.relay": True,
    "circuit.relay_voltage": "12 V",
    "circuit.relay_rating": "30 A",
    "circuit.suppression": "diode",
    "circuit.load": [],
    "circuit.interlock": ["seat", "hood"],
    "circuit.interlock[seat].bridged": False,
    "circuit.interlock[hood].kind": "guard",
    "clutch.engage_speed": "1800 rpm",
}


@pytest.fixture(scope="module")
def results():
    return work_up(load(BUILD))


@pytest.fixture(scope="module")
def nearest():
    return work_up(load(BUILD).with_values(FEASIBLE))


def with_more(values, chapters=None):
    build = load(BUILD).with_values(FEASIBLE | values)
    return work_up(build, chapters) if chapters else work_up(build)


def wheel(results):
    return data(results, "ratio").shafts[-1]


def layout(results):
    return data(results, "layout", STAGE)


def grip(results):
    return data(results, "grip", STAGE)


def slack_strand(case, bad=False):
    """What a spring in the slack strand would hold: the tight strand at slip less the pull."""

    def found(r):
        one = grip(r).case(case)
        return ((one.needed_bad if bad else one.needed) - np.max(np.abs(one.pulls))) / LBF

    return found


FIGURES = [
    figure("wheel, rpm", 318.7, GEOMETRY, lambda r: wheel(r).work / RPM),
    figure("path, in", 108.8, GEOMETRY, lambda r: layout(r).path.length / INCH),
    figure("belt on its cord line, in", 105.9, GEOMETRY, lambda r: layout(r).chosen.pitch_length / INCH),
    figure("belt short by, in", 2.9, 0.02, lambda r: -layout(r).chosen.over / INCH),
    figure("wrap of E, deg", 78.7, GEOMETRY, lambda r: np.degrees(layout(r).path.wrap[E])),
    figure("pull wanted, lbf", 188, TENSION, lambda r: grip(r).pull / LBF),
    figure("E slips at a pull of, lbf", 30, TENSION, lambda r: grip(r).margin * grip(r).pull / LBF),
    figure("holds the work", 0.16, 0.03, lambda r: grip(r).margin),
    figure("holds the work, bad end", 0.13, 0.05, lambda r: grip(r).margin_bad),
    figure(
        "hub of the crank, lbf",
        61,
        TENSION,
        lambda r: np.hypot(*grip(r).hub[E]) / LBF,
    ),
    figure("slack strand wanted, lbf", 184, TENSION, slack_strand("work")),
    figure("slack strand wanted, bad end", 257, TENSION, slack_strand("work", bad=True)),
    figure("slack strand wanted at the shock, bad end", 772, TENSION, slack_strand("peak", bad=True)),
    figure("two belts carry, hp", 5.8, PRINTED, lambda r: data(r, "capacity", STAGE).carried / HP),
    figure("power to design for, hp", 16 * 1.8, PRINTED, lambda r: data(r, "capacity", STAGE).design / HP),
    figure("at the coil cold, V", 8.07, GEOMETRY, lambda r: data(r, "electric").steps.coil_volts[0]),
    figure("at the coil hot, V", 8.37, GEOMETRY, lambda r: data(r, "electric").steps.coil_volts[1]),
    figure("coil hot, A", 2.12, PRINTED, lambda r: data(r, "electric").steps.coil_amps[1]),
    figure("line, A", 6.6, PRINTED, lambda r: data(r, "electric").steps.source_amps[0]),
    figure("drop, V", 4.8, PRINTED, lambda r: first_number(check(r, "electric.drop").value)),
    figure("drop, share", 0.37, 0.02, lambda r: 1 - data(r, "electric").steps.coil_volts[0] / 12.9),
    # 7.5 A for 80 deg C, × 0.78 in the engine space, × 0.7 for three in a bundle
    figure("the wire may carry, A", 4.1, PRINTED, lambda r: first_number(check(r, "electric.ampacity").limit)),
    # 16 to 18 A
    figure("far-end short, A", 17, 0.06, lambda r: first_number(check(r, "electric.short").value)),
    figure("through the switch, A", 6.6, PRINTED, lambda r: first_number(check(r, "electric.switch").value)),
    figure("clutch holds, lbf ft", 25.4, PRINTED, lambda r: data(r, "clutch").static["running, hot"].likely / LBF_FT),
    figure("clutch slips at", 17.8, PRINTED, lambda r: data(r, "clutch").dynamic["running, hot"].likely / LBF_FT),
    # 12.7 with the line at its likely value; with the wire at 50 °C the line has 0.800 ohm before 3.94 (coil) beside
    # 2.06 (lamps), the coil 2.06 A, and 90 × (2.06/4)² × 0.5
    figure("slips at, bad end", 11.9, PRINTED, lambda r: data(r, "clutch").dynamic["running, hot"].bad / LBF_FT),
    figure("work, lbf ft", 24.7, PRINTED, lambda r: data(r, "clutch").required.work / LBF_FT),
    figure("shock, lbf ft", 74, PRINTED, lambda r: data(r, "clutch").required.peak / LBF_FT),
    figure("set screws, lbf ft", 281, PRINTED, lambda r: data(r, "shafts").joints[-1].carries / LBF_FT),
    figure("set screws must carry", 791, PRINTED, lambda r: data(r, "shafts").joints[-1].torques.peak / LBF_FT),
    figure("inertia, lb ft2", 359, PRINTED, lambda r: inertia_of_work(r)),
]


def inertia_of_work(r):
    return data(r, "clutch").engagement.inertia * wheel(r).over ** 2 / LB_FT2


@pytest.mark.parametrize("expected, within, found", FIGURES)
def test_figures(results, expected, within, found):
    assert found(results) == pytest.approx(expected, rel=within)


@pytest.mark.parametrize(
    "id, wanted",
    [
        verdict("ratio.speed", "stop"),
        verdict(f"layout.length[{STAGE}]", "stop"),
        verdict(f"layout.pulley-size[{STAGE}]", "stop"),
        verdict(f"capacity.bottom-on-flat[{STAGE}]", "stop"),
        verdict(f"grip.idlers[{STAGE}]", "stop"),
        verdict(f"grip.margin[{STAGE}]", "stop"),
        verdict(f"grip.peak[{STAGE}]", "stop"),
        verdict(f"capacity.power[{STAGE}]", "stop"),
        verdict("electric.voltage", "stop"),
        verdict("clutch.hold", "stop"),
        verdict("clutch.pull-in", "stop"),
        verdict("clutch.engagement", "stop"),
        verdict("electric.drop", "stop"),
        verdict("electric.fuse", "stop"),
        verdict("electric.short", "stop"),
        verdict("electric.switch", "stop"),
        verdict("electric.interlocks", "stop"),
        verdict("shafts.strength[wheel shaft]", "stop"),
        verdict("shafts.yield[wheel shaft]", "stop"),
        verdict("shafts.joint[wheel screws]", "stop"),
        verdict("electric.ampacity", "stop"),
    ],
)
def test_verdicts(results, id, wanted):
    assert check(results, id).verdict == wanted


def test_the_cure_of_the_speed_stays_within_the_engine(results):
    """It ends at 3,600: to work it at 6,935 is no cure."""
    assert "6935" not in check(results, "ratio.speed").remedy


def test_screws_and_shaft_say_what_they_carry(results):
    """Torsion 11.3 ksi at work, 34.0 at the shock; 0.577 of 31.9 is 18.4, where it yields."""
    assert says(results, "wheel shaft: shear stress", 11.3, "ksi", PRINTED)
    assert says(results, "wheel shaft: shear stress", 34.0, "ksi", PRINTED)
    assert says(results, "wheel shaft: steel", 18.4 / 0.5774, "ksi", PRINTED)


@pytest.mark.parametrize("value", [pytest.param(108.1, id="rims touching"), pytest.param(105.6, id="wheel alone")])
def test_no_centres_make_the_belt_fit(results, value):
    assert says(results, "wheel belts.*length", value, "in", 0.0005)


@TO_COME
@pytest.mark.parametrize(
    "about, value, unit, within",
    [
        pytest.param("rim", 752, "rpm", GEOMETRY, id="limit of the cast rim"),
        pytest.param("wheel shaft.*weight", 16.3, "ksi", PRINTED, id="bending by the weight alone"),
    ],
)
def test_still_to_be_said(results, about, value, unit, within):
    assert says(results, about, value, unit, within)


# -- the nearest feasible ------------------------------------------------------------------------------

NEAREST = [
    figure("wheel, rpm", 688, GEOMETRY, lambda r: wheel(r).work / RPM),
    figure("wrap of E, deg", 126.9, GEOMETRY, lambda r: np.degrees(layout(r).path.wrap[E])),
    figure("wrap of F, deg", 233.1, GEOMETRY, lambda r: np.degrees(layout(r).path.wrap[F])),
    figure("belt line at 3,600, ft/min", 6409, GEOMETRY, lambda r: layout(r).full_speed / FT_MIN),
    figure("tight over slack on E", 3.11, PRINTED, lambda r: np.exp(0.5123 * layout(r).path.wrap[E])),
    figure("one belt, hp", 11.1, PRINTED, lambda r: data(r, "capacity", STAGE).rated.power / HP),
    figure("power to design for, hp", 25.6, PRINTED, lambda r: data(r, "capacity", STAGE).design / HP),
    figure("coil cold, A", 4.5, PRINTED, lambda r: data(r, "electric").steps.coil_amps[0]),
    figure("coil hot, A", 3.4, 0.02, lambda r: data(r, "electric").steps.coil_amps[1]),
    figure("clutch holds, lbf ft", 66.7, PRINTED, lambda r: data(r, "clutch").static["running, hot"].likely / LBF_FT),
    figure("clutch slips at", 46.7, PRINTED, lambda r: data(r, "clutch").dynamic["running, hot"].likely / LBF_FT),
    figure("inertia at the crank, lb ft2", 14.7, PRINTED, lambda r: data(r, "clutch").engagement.inertia / LB_FT2),
    figure("tight over slack on F, damp", 2.26, PRINTED, lambda r: np.exp(0.20 * layout(r).path.wrap[F])),
    figure("tight over slack on F, wet", 1.84, PRINTED, lambda r: np.exp(0.15 * layout(r).path.wrap[F])),
    figure("centrifugal, a belt, lbf", 36, TENSION, lambda r: grip(r).centrifugal / grip(r).belts / LBF),
]


@pytest.mark.parametrize("expected, within, found", NEAREST)
def test_nearest_figures(nearest, expected, within, found):
    assert found(nearest) == pytest.approx(expected, rel=within)


@pytest.mark.parametrize(
    "id, wanted",
    [
        verdict("ratio.speed", "go"),
        # 6,409 ft/min at the rated 3,600 and 8 % more without load, 6,922, for no governed speed is written down
        verdict(f"layout.speed[{STAGE}]", "caution"),
        verdict(f"layout.pulley-size[{STAGE}]", "go"),
        verdict(f"grip.margin[{STAGE}]", "go"),
        verdict(f"capacity.power[{STAGE}]", "go"),
        verdict("electric.voltage", "go"),
        verdict("electric.drop", "go"),
        verdict("electric.ampacity", "go"),
        verdict("electric.fuse", "go"),
        verdict("electric.short", "go"),
        # a relay carries the clutch; what is left for a switch of 250 V AC is direct current all the same
        verdict("electric.switch", "caution"),
        verdict("electric.suppression", "go"),
        verdict("electric.interlocks", "go"),
        verdict("shafts.yield[wheel shaft]", "go"),
        verdict("clutch.pull-in", "go"),
    ],
)
def test_nearest_verdicts(nearest, id, wanted):
    assert check(nearest, id).verdict == wanted


def test_three_belts_are_a_caution():
    assert check(with_more({f"{KEY}.belts": 3}, ("capacity",)), f"capacity.power[{STAGE}]").verdict == "caution"


@pytest.mark.parametrize("flat, limits, strand", [(0.30, E, 64), (0.20, F, 74), (0.15, F, 85)])
def test_which_pulley_limits_when_the_wheel_is_wet(flat, limits, strand):
    """E limits dry, the flat when damp or wet: 64, 74 and 85 lbf a strand of each of three belts just hold."""
    r = with_more({f"{KEY}.friction_flat": str(flat), f"{KEY}.belts": 3}, ("grip",))
    assert grip(r).limiting == limits
    assert grip(r).case("work").needed / 3 / LBF == pytest.approx(strand, rel=TENSION)


@pytest.mark.parametrize("speed, heat", [(1300, 6000), (1800, 12000), (3400, 41000)])
def test_started_empty(speed, heat):
    """6 to 12 kJ from 1,300 to 1,800 rpm, 41 at 3,400."""
    r = with_more({"clutch.engage_speed": f"{speed} rpm"}, ("clutch",))
    assert data(r, "clutch").engagement.governed["likely"].heat == pytest.approx(heat, rel=TENSION)


def test_the_upper_half_of_the_wanted_band_is_a_stop():
    """A cast rim stands 6,500 ft/min: drivers over 7.0 in pass it at 3,600, which the engine can do."""
    for size, wanted in (("6.45 in", "go"), ("6.85 in", "go"), ("7.05 in", "stop"), ("7.4 in", "stop")):
        r = with_more({f"{KEY}.pulley[E].diameter": size, "engine.full_speed": "3600 rpm"}, ("ratio", "layout"))
        assert check(r, "ratio.speed").verdict == "go"
        assert check(r, f"layout.speed[{STAGE}]").verdict == wanted, size


@TO_COME
def test_the_wheel_gives_most_of_a_shock(nearest):
    assert says(nearest, "clutch.*shock|shock.*clutch", 31, "lbf·ft", PRINTED)


@TO_COME
def test_the_rim_has_a_speed_of_its_own(nearest):
    """6,293 ft/min on the rim, against 6,409 on the belt line."""
    assert says(nearest, "rim", 6293, "ft/min", GEOMETRY)


@pytest.mark.parametrize(
    ("values", "lacking"),
    [
        # the wheel on the shaft is lighter than the work, so that it is another part
        ({"work.weight": "500 lb"}, True),
        ({"work.weight": "500 lb", f"{WHEEL}.load": ["wheel", "work"], f"{WHEEL}.load[work].position": "3 in"}, False),
        ({"work.weight": "500 lb", "work.one_piece": True}, False),
        ({"work.weight": "500 lb", "work.name": "wheel"}, False),
    ],
)
def test_a_shaft_is_not_judged_before_the_place_of_its_work_is_known(values, lacking):
    found = check(with_more(values, ("shafts",)), "shafts.strength[wheel shaft]")
    assert (f"{WHEEL}.load[work].position" in found.missing) is lacking

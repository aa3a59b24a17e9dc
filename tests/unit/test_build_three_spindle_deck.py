"""The three-spindle mower deck: one belt, three driven pulleys, one of them held still.

Every expected figure is from the independent calculation of the build: tangent circles on the cord line, grip
exp(0.5123 wrap) in a groove with 0.40 as the bad end and 0.80 as the high one, no creep, no losses. Geometry and speed
agree to 0.5 %, tensions to 5 %, others as they are printed.
"""

from pathlib import Path

import numpy as np
import pytest
from build_figures import FT_MIN, GEOMETRY, PRINTED, RPM, TENSION, figure, verdict
from builders import check_of as check
from builders import data, sheet
from jackshaft.buildfile import load
from jackshaft.chapters.grip.alone import peaks_alone
from jackshaft.parts.shaft_loads import read_loads
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP
from jackshaft.results.reader import Reader

BUILD = Path(__file__).parents[1] / "builds" / "three_spindle_deck.toml"
STAGE = "deck belt"
KEY = f"stage[{STAGE}]"
D, S, L, C, R, F = range(6)
SPINDLES = {L: "left spindle", C: "centre spindle", R: "right spindle"}
LIKELY, BAD, HIGH = range(3)


@pytest.fixture(scope="module")
def results():
    return work_up(load(BUILD))


def changed(values, *chapters):
    build = load(BUILD).with_values(values)
    return work_up(build, chapters) if chapters else work_up(build)


def layout(results):
    return data(results, "layout", STAGE)


def grip(results):
    return data(results, "grip", STAGE)


def shaft(results, i):
    return data(results, "ratio").shaft(SPINDLES[i] if i in SPINDLES else "engine")


def stands(results, i):
    """The loop with the pulley ``i`` held still."""
    return next(one for one in grip(results).standing if one.pulley == i)


def tip(results, which):
    """The speed of the blades' tips, m/s."""
    return getattr(shaft(results, C), which) * 0.25


def wrap(i):
    return lambda r: np.degrees(layout(r).path.wrap[i])


def net(i, case):
    return lambda r: grip(r).case(case).net[i]


def hub(i, what="hub"):
    return lambda r: np.hypot(*getattr(grip(r), what)[i])


def strand(i, held, end=LIKELY):
    return lambda r: stands(r, held).found.net[end, i]


def carried(i):
    """What the belt is rated for at a pulley, kW."""
    return lambda r: next(o.rated.power for o in data(r, "capacity", STAGE).each if o.at == i) / 1000


FIGURES = [
    figure("path, mm", 2870.4, GEOMETRY, lambda r: layout(r).path.length * 1000),
    *(
        figure(f"wrap {n}, deg", deg, GEOMETRY, wrap(i))
        for n, i, deg in (
            ("D", D, 171.4),
            ("S", S, 98.2),
            ("L", L, 165.6),
            ("C", C, 52.2),
            ("R", R, 154.4),
            ("F", F, 85.4),
        )
    ),
    *(figure(f"{n}, r/min", 3300, GEOMETRY, lambda r, i=i: shaft(r, i).work / RPM) for i, n in SPINDLES.items()),
    figure("tips at work, m/s", 86.4, GEOMETRY, lambda r: tip(r, "work")),
    figure("tips at work, ft/min", 17007, GEOMETRY, lambda r: tip(r, "work") / FT_MIN),
    figure("tips at the governor's top, m/s", 95.0, GEOMETRY, lambda r: tip(r, "top")),
    figure("belt, m/s", 24.19, GEOMETRY, lambda r: layout(r).speed),
    figure("pull, N", 173.6, GEOMETRY, lambda r: grip(r).pull),
    figure("centrifugal, N", 99.5, TENSION, lambda r: grip(r).centrifugal),
    figure("bends a second", 51, PRINTED, lambda r: data(r, "capacity", STAGE).flex),
    figure("torque of D, N m", 13.4, GEOMETRY, lambda r: shaft(r, D).torque),
    figure("torque of L, N m", 3.65, GEOMETRY, lambda r: shaft(r, L).torque),
    figure("torque of C, N m", 4.86, GEOMETRY, lambda r: shaft(r, C).torque),
    figure("torque of R, N m", 3.65, GEOMETRY, lambda r: shaft(r, R).torque),
    *(
        figure(f"strand {n} at {case}, N", force, TENSION, net(i, case))
        for case, forces in (("work", (150, 150, 202.1, 271.5, 323.6)), ("peak", (150, 150, 254.2, 393.1, 497.2)))
        for (n, i), force in zip({"D-S": D, "S-L": S, "L-C": L, "C-R": C, "R-F": R}.items(), forces, strict=True)
        # at twice the load the belt holds likely, so nothing is carried less than asked
    ),
    *(
        figure(f"hub {n} {words}, N", force, TENSION, hub(i, what))
        for what, words, forces in (
            ("hub", "at work", (472, 227, 349, 217, 580, 439)),
            ("hub_rest", "at rest", (299, 227, 298, 132, 293, 203)),
        )
        for i, (n, force) in enumerate(zip("DSLCRF", forces, strict=True))
    ),
    figure("C slips at", 2.31, PRINTED, lambda r: grip(r).case("work").margin[C]),
    figure("C slips at, bad end", 1.42, PRINTED, lambda r: grip(r).case("work").margin_bad[C]),
    figure("D slips at", 3.14, PRINTED, lambda r: grip(r).case("work").margin[D]),
    figure("D slips at, bad end", 2.00, PRINTED, lambda r: grip(r).case("work").margin_bad[D]),
    figure("L slips at", 9.8, PRINTED, lambda r: grip(r).case("work").margin[L]),
    figure("L slips at, bad end", 6.3, PRINTED, lambda r: grip(r).case("work").margin_bad[L]),
    figure("twice the load, C", 1.16, PRINTED, lambda r: grip(r).case("peak").least),
    figure("twice the load, C, bad end", 0.71, PRINTED, lambda r: grip(r).case("peak").least_bad),
    figure("slack tension that just holds, N", 64.8, TENSION, lambda r: grip(r).needed),
    figure("slack tension that just holds, bad end, N", 106, TENSION, lambda r: grip(r).needed_bad),
    figure("rated at D, kW", 6.7, PRINTED, carried(D)),
    figure("rated at C, kW", 2.9, PRINTED, carried(C)),
    figure("rated at L, kW", 6.0, PRINTED, carried(L)),
    figure("rated at R, kW", 5.8, PRINTED, carried(R)),
    figure("to design for, kW", 6.3, PRINTED, lambda r: data(r, "capacity", STAGE).design / 1000),
    # one spindle held still
    *(
        figure(f"C stands, {n}, N", force, TENSION, strand(i, C))
        for n, i, force in (("slack", D, 150), ("L-C", L, 202.1), ("C-R", C, 322.1), ("tight", F, 374.2))
    ),
    figure("C stands, C-R, bad end, N", 290.8, TENSION, strand(C, C, BAD)),
    figure("C stands, tight, bad end, N", 342.9, TENSION, strand(F, C, BAD)),
    figure("drag on C, N", 120.1, TENSION, lambda r: stands(r, C).found.pulls[LIKELY, C]),
    figure("C stands, crank, N m", 17.3, TENSION, lambda r: stands(r, C).engine[LIKELY]),
    figure("C stands, heat, kW", 2.9, TENSION, lambda r: stands(r, C).heat[LIKELY] / 1000),
    *(
        figure(f"{n} stands, {name}, N", force, TENSION, strand(i, held))
        for n, held, forces in (("L", L, (659.2, 679.5, 694.7)), ("R", R, (160.6, 174.7, 694.7)))
        for name, i, force in zip(("L-C", "C-R", "tight"), (L, C, F), forces, strict=True)
    ),
    figure("L stands, torque of the others", 0.29, 0.02, lambda r: stands(r, L).found.torque[LIKELY]),
    figure("L stands, speed of the others", 0.54, 0.01, lambda r: stands(r, L).found.speed[LIKELY]),
    figure("R stands, torque of the others", 0.20, 0.02, lambda r: stands(r, R).found.torque[LIKELY]),
    figure("R stands, speed of the others", 0.45, 0.01, lambda r: stands(r, R).found.speed[LIKELY]),
    figure("D can make at most, N m", 41.9, TENSION, lambda r: stands(r, L).engine[LIKELY]),
    figure("D can make at most, bad end, N m", 26.7, TENSION, lambda r: stands(r, L).engine[BAD]),
    figure("D can make at most, high end, N m", 115, TENSION, lambda r: stands(r, R).engine[HIGH]),
    figure("L stands, tight, bad end, N", 496.5, TENSION, strand(F, L, BAD)),
]


@pytest.mark.parametrize(("expected", "within", "found"), FIGURES)
def test_figures_of_the_independent_calculation(results, expected, within, found):
    assert found(results) == pytest.approx(expected, rel=within)


VERDICTS = [
    *(verdict(f"ratio.{what}[{n}]", GO) for what in ("speed", "direction", "surface-speed") for n in SPINDLES.values()),
    verdict(f"layout.path[{STAGE}]", GO),
    verdict(f"layout.length[{STAGE}]", GO),
    verdict(f"layout.wrap[{STAGE}]", CAUTION),
    verdict(f"layout.back-bend[{STAGE}]", CAUTION),
    verdict(f"capacity.idlers[{STAGE}]", CAUTION),
    verdict(f"capacity.power[{STAGE}]", CAUTION),
    verdict(f"grip.margin[{STAGE}]", GO),
    verdict(f"grip.peak[{STAGE}]", CAUTION),
    verdict(f"grip.idlers[{STAGE}]", CAUTION),
    verdict(f"grip.held-still[{STAGE}]", CAUTION),
]


@pytest.mark.parametrize(("id", "wanted"), VERDICTS)
def test_verdicts(results, id, wanted):
    assert check(results, id).verdict == wanted


def test_there_is_no_stop_and_no_fault(results):
    assert not results.faults
    assert [c.id for c in results.checks if c.verdict == STOP] == []


def test_heat_where_both_slide_is_six_to_seven_kilowatts(results):
    heat = [float(h[LIKELY]) for i in (L, R) for h in (stands(results, i).heat, stands(results, i).heat_driver)]
    assert all(5500 < one < 7500 for one in heat)


def test_c_alone_slides_when_it_stands_and_d_too_with_the_others(results):
    assert [bool(stands(results, i).found.driver_slides[LIKELY]) for i in (L, C, R)] == [True, False, True]
    assert all(stands(results, i).found.slides.all() for i in (L, C, R))


def test_an_engine_that_runs_faster_is_a_stop():
    """Above 3,352 r/min the tips pass their limit."""
    for text, wanted in (("3350 r/min", GO), ("3360 r/min", STOP)):
        found = changed({"engine.full_speed": text, "work.speed_most": "3800 r/min"}, "ratio")
        assert check(found, "ratio.surface-speed[left spindle]").verdict == wanted


@pytest.mark.parametrize(("only", "holds"), [("L", 2.93), ("C", 0.51), ("R", 2.57)])
def test_all_the_load_on_one_spindle_is_the_trap(only, holds):
    off = {f"{KEY}.pulley[{n}].{k}": "" for n in "LCR" for k in ("drives", "share") if n != only}
    found = changed({**off, f"{KEY}.pulley[{only}].share": "1"}, "grip")
    assert grip(found).margin == pytest.approx(holds, rel=PRINTED)


def test_without_the_fixed_idler_d_and_r_wrap_less():
    found = changed({f"{KEY}.pulley": ["D", "S", "L", "C", "R"]}, "layout")
    assert np.degrees(layout(found).path.wrap[[D, R]]) == pytest.approx([116.2, 124.2], rel=GEOMETRY)
    bare = changed({f"{KEY}.pulley": ["D", "L", "C", "R"], **dict.fromkeys(IDLER, "")}, "layout")
    assert np.degrees(layout(bare).path.wrap[D]) == pytest.approx(59.4, rel=GEOMETRY)


IDLER = tuple(f"{KEY}.takeup.{k}" for k in ("kind", "idler", "slack_tension"))


def test_c_farther_out_makes_d_the_one_that_slips_first():
    found = changed({f"{KEY}.pulley[C].y": "-330 mm", f"{KEY}.length": "2972 mm"}, "grip")
    assert np.degrees(layout(found).path.wrap[C]) == pytest.approx(70, rel=GEOMETRY)
    assert layout(found).path.length == pytest.approx(2.972, rel=GEOMETRY)
    assert (grip(found).limiting, grip(found).margin) == (D, pytest.approx(3.1, rel=0.02))
    # D just holds all spindles at their peak at the bad end; C alone has less of L's pull to press the belt on
    peak, words = check(found, f"grip.peak[{STAGE}]"), "With C alone at its peak and the others at work the belt may"
    assert grip(found).case("peak").least_bad == pytest.approx(1.0, abs=0.01)
    assert peak.verdict == CAUTION and words in peak.reason
    # (150 + 52.1) N x (exp(0.4 x 1.224) - 1) of grip against 138.9 N of pull; with all at their peak 254.2 N hold it
    held = peaks_alone(grip(found), grip(found).case("peak"))[C].margin_bad[C]
    assert 150.0 / (1.0 / (np.exp(0.4 * 1.2243) - 1.0) * 138.9 - 52.1) == pytest.approx(held, rel=0.01)


def test_one_spindle_alone_with_the_others_idle_is_spoken_of(results):
    """150 N x (exp(0.5123 x 0.911) - 1) over 69.4 N, and at the bad end with 0.4."""
    likely, bad = (150.0 * (np.exp(k * np.radians(52.2)) - 1.0) / (0.4 * 173.62) for k in (0.5123, 0.4))
    reason = check(results, f"grip.margin[{STAGE}]").reason
    assert f"C alone, with the others idle, holds {likely:.2f} × its work, {bad:.2f} × at the bad end" in reason


def test_words_say_that_nobody_notices(results):
    words = check(results, f"grip.held-still[{STAGE}]").reason
    assert "Nobody at the engine notices: the belt burns." in words
    assert "With centre spindle held still the belt slides over C" in words
    assert "L and D" in words and "R and D" in words


def test_the_idler_in_the_tight_strand_says_why_it_is_there(results):
    words = check(results, f"grip.idlers[{STAGE}]").reason
    assert "439 N" in words and "116.2° round D" in words and "124.2° round R" in words


def test_each_hub_goes_to_its_own_shaft(results):
    """The force of each pulley is on its own shaft, in every case, with the torque that is taken there."""
    done = results.chapters
    build = load(BUILD).with_values(
        # the blade is no part of its own along the spindle here
        {"work.one_piece": True}
        | {
            f"shaft[{name}].{key}": text
            for name in SPINDLES.values()
            for key, text in {
                "load": ["hub"],
                "load[hub].stage": STAGE,
                "load[hub].position": "0 mm",
            }.items()
        }
    )
    for i, name in SPINDLES.items():
        loads = read_loads(Reader(build), done, name)
        assert loads.missing == ()
        (pull,) = loads.parts
        assert pull.force[0] == pytest.approx(grip(results).hub[i])
        assert pull.force[1] == pytest.approx(grip(results).hub_rest[i])
        assert pull.torque == pytest.approx(shaft(results, i).torque)
        cases = {one.case.name: one for one in grip(results).standing}
        assert set(cases) <= set(loads.more)
        for case, one in cases.items():
            force, torque = pull.more[case]
            assert force == pytest.approx(one.case.hub[i])
            # the torque that a shaft then takes is its pulley's pull times its radius
            assert torque == pytest.approx(one.case.pulls[i] * 0.070)


def test_what_the_crank_feels_is_the_drivers(results):
    reason = check(results, "shafts.crank").reason
    hard = max(float(np.hypot(*one.case.hub[D])) for one in grip(results).standing)
    assert f"{hard:.0f} N" in reason and "held still" in reason


def test_tables_show_every_driven_shaft(results):
    held = sheet(results, f"{STAGE}: one driven shaft held still, loads", "grip")
    assert [str(row[0]) for row in held.cells] == list(SPINDLES.values())
    rated = sheet(results, f"{STAGE}: rated power, pulley by pulley", "capacity")
    assert [str(row[0]) for row in rated.cells] == ["D", "L", "C", "R"]

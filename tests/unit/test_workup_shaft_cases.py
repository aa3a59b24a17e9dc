"""Load cases through the shaft, its own weight, the older code beside Goodman, and what is written down wrong."""

from __future__ import annotations

import math

import numpy as np
import pytest
from builders import check_of as check
from jackshaft.buildfile import list_builds, load
from jackshaft.buildfile.problems import BuildProblems
from jackshaft.chapters.shafts import bent
from jackshaft.chapters.shafts.code import factors_of, opinions, why
from jackshaft.chapters.shafts.sections import FEATURES, beam_of
from jackshaft.mechanics import shaft_strength, shafts, stress_raisers
from jackshaft.parts.shaft_cases import at_case
from jackshaft.parts.shaft_loads import MORE
from jackshaft.results import work_up
from jackshaft.results.proving import prove
from jackshaft.units import read
from shaft_builds import (
    INCH,
    LBF,
    ROTOR,
    STEEL,
    TWO_BELTS,
    build_of,
    data,
    fact,
    results,
    sheet,
    with_part,
)
from test_workup_reuse import changed, shown


def state(found, shaft="jackshaft"):
    return data(found).shafts[shaft]


def case(section, name):
    return next(c for c in section.cases if c.case == name)


@pytest.fixture(scope="module")
def demo():
    return results(TWO_BELTS)


# -- traps -----------------------------------------------------------------------------------------


def test_trap_steady_belt_pull_on_a_turning_shaft_is_fully_reversed_bending():
    """The pull never changes, and still the endurance limit judges it: fatigue governs, far below yield."""
    found = results(ROTOR, **STEEL)
    worst = state(found, "rotor").sections[0]
    work = shaft_strength.duty.si(worst.moment, worst.torque)
    assert (work.moment_swing, work.moment_mean) == (worst.moment, 0.0)
    # steady, the same moment would be judged by the tensile strength: a pin that stands still is that much safer
    steady = 630e6 / (2.0 * 32 * worst.moment / (math.pi * (1.375 * INCH) ** 3))
    assert worst.fatigue < 0.4 * steady
    assert worst.fatigue < worst.peak.yielding
    assert "to and fro each turn" in check(found, "shafts.strength[rotor]").reason


def test_trap_a_pulley_outside_a_bearing_loads_it_with_more_than_its_own_pull():
    found = results(ROTOR, **STEEL)
    carried = found.chapters["bearings"].data.shafts["rotor"].carried[0]
    assert np.hypot(*carried[0]) / LBF > 240
    # 240 (1 + 2.5/12) + 23 and half of the bar's weight, 16.08 in long
    own = 7850 * 9.80665 * math.pi / 4 * (1.375 * INCH) ** 2
    length, centre = 14.5 * INCH + 0.04, 4.75 * INCH
    assert -carried[0, 1] == pytest.approx(
        (240 * (1 + 2.5 / 12) + 23) * LBF + own * length * (1 - centre / (12 * INCH)), rel=1e-6
    )
    assert (
        "more than its own pull"
        in sheet(found, "Pulls along the shaft and what the bearings carry", chapter="bearings").note
    )


# -- what is written down wrong --------------------------------------------------------------------


def stepped(**steps):
    """The rotor with steps; each is (start, end, diameter) in inches."""
    build = build_of(ROTOR, **{"shaft[rotor].material": "AISI 1045 CD"})
    for name, (start, end, size, *bore) in steps.items():
        build = with_part(
            build,
            "rotor",
            "step",
            name,
            start=f"{start} in",
            end=f"{end} in",
            diameter=f"{size} in",
            **({"bore": f"{bore[0]} in"} if bore else {}),
        )
    return build


@pytest.mark.parametrize(
    "change, key",
    [
        ({"diameter": "0 in"}, "shaft[rotor].step[seat].diameter"),
        ({"end": "-3 in"}, "shaft[rotor].step[seat].start"),
        ({"end": "-4 in"}, "shaft[rotor].step[seat].start"),
        ({"bore": "1.5 in"}, "shaft[rotor].step[seat].bore"),
    ],
)
def test_a_step_without_metal_or_length_is_refused_with_its_key(change, key):
    """Read like a file: the zero-diameter step never reaches the beam."""
    build = stepped(seat=(-3, 13, 1.375))
    good = {f"shaft[rotor].step[seat].{k}": v for k, v in {"diameter": "1.375 in", "end": "13 in"}.items()}
    assert build.with_values(good)
    with pytest.raises(BuildProblems) as caught:
        build.with_values({f"shaft[rotor].step[seat].{k}": v for k, v in change.items()})
    assert [p.key for p in caught.value.problems] == [key]
    assert all(p.found and p.wanted for p in caught.value.problems)


@pytest.mark.parametrize(
    "steps, words, key",
    [
        ({"seat": (-3, 13, 0.0)}, "has no metal", "shaft[rotor].step[seat].diameter"),
        ({"seat": (-3, 13, 1.375, 1.4)}, "has no metal", "shaft[rotor].step[seat].diameter"),
        ({"a": (-3, 5, 1.375), "b": (6, 13, 1.0)}, "leave a gap", "shaft[rotor].step[b].start"),
        ({"a": (-3, 6, 1.375), "b": (5, 13, 1.0)}, "overlap", "shaft[rotor].step[b].start"),
        (
            {"a": (0, 13, 1.375)},
            "load 'belt pull' at -2.5000 in is off the shaft",
            "shaft[rotor].load[belt pull].position",
        ),
        ({"a": (-3, 11, 1.375)}, "bearing 'D' at 12.000 in is off the shaft", "bearing[D].position"),
    ],
)
def test_a_shaft_that_cannot_be_says_which_key_and_the_cure(steps, words, key):
    """The same past the reader, as a panel may reach it: a verdict with the key, never a traceback."""
    found = work_up(stepped(**steps))
    stop = check(found, "shafts.strength[rotor]")
    assert stop.verdict == "stop" and words in stop.reason and key in stop.reason and stop.remedy
    assert found.chapters["shafts"].data.shafts == {}


def test_several_faults_come_at_once():
    stop = check(work_up(stepped(a=(-1, 5, 1.0), b=(6, 11, 0.0))), "shafts.strength[rotor]")
    for words in ("no metal", "leave a gap", "load 'belt pull'", "bearing 'D'"):
        assert words in stop.reason


def test_bearings_on_one_spot_name_the_key():
    found = results(ROTOR, **STEEL, **{"bearing[D].position": "0 in"})
    stop = check(found, "shafts.strength[rotor]")
    assert stop.verdict == "stop" and "on one spot" in stop.reason and "bearing[D].position" in stop.reason
    assert "zero mark" in stop.remedy


def test_a_joint_off_the_shaft_names_its_key():
    stop = check(
        work_up(
            with_part(
                stepped(a=(-3, 13, 1.375)), "rotor", "joint", "hub", kind="set screws", screw="3/8", position="20 in"
            )
        ),
        "shafts.strength[rotor]",
    )
    assert stop.verdict == "stop" and "shaft[rotor].joint[hub].position" in stop.reason


# -- its own weight --------------------------------------------------------------------------------


def test_own_weight_is_the_weight_of_the_bar(demo):
    loads = state(demo).reactions.loads
    own = [p for p in loads.pulls if p.own]
    mass = 7850 * math.pi / 4 * 0.03**2 * (11.75 * INCH + 0.04)
    assert sum(p.weight for p in own) == pytest.approx(mass, rel=1e-12)
    assert own[0].force == pytest.approx(np.tile([0, -mass * 9.80665], (3, 1)), rel=1e-12)
    assert "own weight" in [
        r[1] for r in sheet(demo, "Pulls along the shaft and what the bearings carry", chapter="bearings").rows
    ]
    assert all(s.name != "own weight" for s in state(demo).sections)


def test_bearings_carry_what_the_beam_says(demo):
    """Point loads for the bearings, spread weight for the beam: the same reactions."""
    found = state(demo)
    assert found.reactions.carried[0] == pytest.approx(-found.work.reactions, rel=1e-9)
    top = bent.beam(*beam_of(found.reactions, found.steps, found.steel, "peak"))
    assert found.reactions.carried[2] == pytest.approx(-top.reactions, rel=1e-9)


@pytest.mark.parametrize("bore", [0, 0.5])
def test_own_weight_over_three_bearings_is_exact(bore):
    """The two Gauss places of each length give what the spread weight gives: against the beam with a density."""
    build = stepped(whole=(-3, 13, 1.375, bore))
    from jackshaft.units import read

    values = {
        **build.values,
        "bearing[M].name": "M",
        "bearing[M].shaft": "rotor",
        "bearing[M].position": read("5 in", "length"),
    }
    build = type(build)(values, {**build.lists, "bearing": (*build.names("bearing"), "M")}, build.file)
    found = work_up(build).chapters["bearings"].data.shafts["rotor"]
    own = [p for p in found.loads.pulls if p.own]
    assert len(own) == 8  # two places on each of four lengths
    steps = [shafts.Step(-3 * INCH, 13 * INCH, 1.375 * INCH, bore * INCH)]
    supports = [shafts.Support(n, float(a)) for n, a in zip(found.bearings, found.at, strict=True)]
    loads = [shafts.Load(p.name, p.at, x=p.force[0, 0], y=p.force[0, 1]) for p in found.loads.parts]
    spread = shafts.beam_si(steps, supports, loads, density=7850)
    assert found.carried[0] == pytest.approx(-spread.reactions, rel=1e-9, abs=1e-9)


def test_a_picture_gathers_own_weight_at_its_centre():
    found = work_up(stepped(a=(-3, 5, 1.375), b=(5, 13, 1.0))).chapters["bearings"].data.shafts["rotor"]
    own = [p for p in found.loads.pulls if p.own]
    one = [p for p in found.loads.gathered if p.own]
    assert len(own) == 2 and len(one) == 1
    for power in (0, 1):  # the same force and the same moment
        assert one[0].force * one[0].at ** power == pytest.approx(sum(p.force * p.at**power for p in own), rel=1e-12)
    from jackshaft.chapters.bearings.load_figure import ShaftLineView, line_of

    picture = line_of(found, "inch")
    view = ShaftLineView("test", picture)
    view.draw(picture)
    words = [
        [label.get_text().split("\n")[0] for label in labels if label.get_visible()] for _, _, _, labels in view.planes
    ]
    assert [w.count("own weight") for w in words] == [1, 0]  # nothing sideways, so it is not named there


def test_no_size_no_weight_and_no_pull_no_weight():
    assert not any(p.own for p in results(ROTOR).chapters["bearings"].data.shafts["rotor"].loads.pulls)
    bare = build_of(ROTOR, **STEEL)
    bare = type(bare)(
        {k: v for k, v in bare.values.items() if ".load[" not in k}, {**bare.lists, "shaft[rotor].load": ()}, bare.file
    )
    life = check(work_up(bare), "bearings.life[A]")
    assert life.verdict == "not decidable"


def test_a_lighter_material_weighs_less():
    heavy, light = (results(ROTOR, **{**STEEL, "shaft[rotor].material": m}) for m in ("AISI 1045 CD", "6061-T6"))
    masses = [
        sum(p.weight for p in f.chapters["bearings"].data.shafts["rotor"].loads.pulls if p.own) for f in (heavy, light)
    ]
    assert masses[1] / masses[0] == pytest.approx(2700 / 7850, rel=1e-9)


# -- start and overrun -----------------------------------------------------------------------------


def test_overrun_swaps_tight_and_slack_and_turns_the_torque_round():
    """Fixed centres, an overrun that no belt slips at: hub loads are the grip chapter's own, the torque is reversed."""
    found = results(TWO_BELTS, **{"work.overrun_factor": "0.1"})
    grip = found.chapters["grip"].data["second belts"]
    layout = found.chapters["layout"].data["second belts"]
    pull = next(p for p in state(found).reactions.loads.pulls if p.name == "stage 2 pulley")
    force, torque = pull.more["overrun"]
    weight = np.array([0.0, -3 * 0.45359237 * 9.80665])
    assert force == pytest.approx(grip.case("overrun").hub[layout.pulleys.driver] + weight, rel=1e-9)
    assert torque == pytest.approx(-0.1 * pull.torque, rel=1e-9)
    crank = next(p for p in state(found).reactions.loads.pulls if p.name == "stage 1 pulley")
    assert not np.allclose(crank.more["overrun"][0], crank.force[0], rtol=0.02)


def test_overrun_comes_no_harder_than_a_belt_lets_through(demo):
    back = state(demo).reactions.loads.overrun
    margins = [g.case("overrun").margin.min() for g in demo.chapters["grip"].data.values()]
    assert back.slips and not back.said and back.share == pytest.approx(min(margins), rel=1e-9)
    said = state(results(TWO_BELTS, **{"work.overrun_factor": "0.2"})).reactions.loads.overrun
    assert said.said and not said.slips and said.share == pytest.approx(0.2)
    assert state(results(TWO_BELTS, **{"work.overrun_factor": "0"})).reactions.loads.overrun is None


def test_hub_forces_where_a_belt_slips_are_those_of_the_load_it_slips_at(demo):
    """Said or not, more than the belts let through makes no difference; the grip chapter solves that much."""
    share = state(demo).reactions.loads.overrun.share
    just = results(TWO_BELTS, **{"work.overrun_factor": f"{share:.9f}"})
    harder = results(TWO_BELTS, **{"work.overrun_factor": "3"})
    grip, layout = just.chapters["grip"].data, just.chapters["layout"].data
    for stage, pulley in (("first belt", "driven"), ("second belts", "driver")):
        hub = grip[stage].case("overrun").hub[getattr(layout[stage].pulleys, pulley)]
        for found in (demo, just, harder):
            pull = next(p for p in state(found).reactions.loads.parts if p.stage == stage)
            weight = np.array([0.0, -pull.weight * 9.80665])
            assert pull.more["overrun"][0] == pytest.approx(hub + weight, rel=1e-6)


def test_bending_in_overrun_is_the_worse_of_there_and_at_work():
    seen = set()
    tight = {
        "stage[first belt].takeup.slack_tension": "400 lbf",
        "stage[second belts].takeup.static_tension": "300 lbf",
    }
    for factor, held in (("0.5", {}), ("4", tight)):
        found = results(TWO_BELTS, **{"work.overrun_factor": factor, **held})
        for s in state(found).sections:
            back = case(s, "overrun")
            assert back.duty.moment_swing == max(s.moment, back.moment)
            seen.add(bool(back.moment > s.moment))
    assert seen == {True, False}


def test_overrun_duty_by_hand():
    """Torque between work and overrun: half the difference swings, half the sum stays."""
    found = results(TWO_BELTS, **{"work.overrun_factor": "0.2", "shaft[jackshaft].torque_ripple": "0.5"})
    s = next(s for s in state(found).sections if s.name == "stage 2 pulley")
    torque = 3.0 * 745.6998715822702 / (1000 * math.pi / 30)
    duty = case(s, "overrun").duty
    assert duty.torque_swing == pytest.approx(1.5 * 1.2 * torque / 2, rel=1e-3)
    assert duty.torque_mean == pytest.approx(1.5 * 0.8 * torque / 2, rel=1e-3)
    none = next(
        s for s in state(results(TWO_BELTS, **{"work.overrun_factor": "0"})).sections if s.name == "stage 2 pulley"
    )
    # the engine can run faster than it works, its first belt holds more than the work asks, its second pulls at rest
    assert [c.case for c in none.often] == ["peak", "empty run", "start", "full"]
    assert [c.case for c in none.seldom] == ["jam"]


def test_the_hardest_case_is_named_and_governs():
    for changes, expected in (
        ({}, "at the peak"),
        ({"work.start_factor": "6"}, "at the start"),
        (
            {
                "work.peak_factor": "1",
                "work.overrun_factor": "1",
                "stage[first belt].takeup.slack_tension": "400 lbf",
                "stage[second belts].takeup.static_tension": "10 lbf",
                "shaft[jackshaft].load[stage 2 pulley].weight": "0.1 lb",
            },
            None,
        ),
    ):
        found = results(TWO_BELTS, **changes)
        c = check(found, "shafts.strength[jackshaft]")
        worst = state(found).sections[0]
        assert (
            worst.hardest.fatigue
            == min(x.fatigue for x in worst.cases if x.case != "jam")
            == min(s.hardest.fatigue for s in state(found).sections)
        )
        # a jam is harder than all of them and tires nothing: it counts against yielding alone
        assert min(x.fatigue for x in worst.seldom) < worst.hardest.fatigue
        if expected:
            assert expected in c.value and f"It is hardest {at_case(worst.hardest.case)}." in c.reason


def test_overrun_governs_a_keyed_shaft_with_little_bending():
    """Torque alone: a steady one is judged by the tensile strength, one that turns round by the endurance limit."""
    found = results(TWO_BELTS, **{"work.overrun_factor": "0.5", "work.peak_factor": "1"})
    s = next(s for s in state(found).sections if s.name == "stage 2 pulley")
    assert s.hardest.case == "overrun" and s.hardest.fatigue < 0.7 * s.fatigue


def test_a_shaft_without_a_stage_has_neither_start_nor_overrun():
    s = state(results(ROTOR, **STEEL), "rotor").sections[0]
    assert [c.case for c in s.cases] == ["peak"] and MORE == ("start", "overrun")


# -- the older code beside Goodman -----------------------------------------------------------------


def test_older_code_by_hand(demo):
    """S7 is the printed form; here 1.75 M and 1.25 T, 0.18 of 440 MPa at a bearing, three quarters at a keyseat."""
    found = {o.section.name: o for o in opinions_of(demo)}
    near = found["bearing far side"]
    allowed = min(0.30 * 370e6, 0.18 * 440e6)
    turning = math.hypot(1.75 * near.section.moment, 1.25 * near.section.torque)
    assert near.diameter == pytest.approx((16 * turning / (math.pi * allowed)) ** (1 / 3), rel=1e-9)
    assert found["stage 2 pulley"].allowed == pytest.approx(0.75 * allowed)
    assert fact(demo, "jackshaft: diameter by the older shaft code").value.startswith(f"{near.diameter / INCH:.4f} in")


def opinions_of(found):
    from jackshaft.results.reader import Reader

    return opinions(Reader(found.build), state(found))


@pytest.mark.parametrize(
    "load, factors",
    [
        ("uniform", (1.5, 1.0)),
        ("light shock", (1.75, 1.25)),
        ("medium shock", (2.0, 1.5)),
        ("heavy shock", (2.5, 2.25)),
        (None, (1.5, 1.0)),
    ],
)
def test_shock_factors_grow_with_the_load(load, factors):
    from jackshaft.results.reader import Reader

    build = build_of(TWO_BELTS, **({"work.load_class": load} if load else {}))
    if load is None:
        build = type(build)({k: v for k, v in build.values.items() if k != "work.load_class"}, build.lists, build.file)
    assert factors_of(Reader(build))[0] == pytest.approx(factors)


def test_the_line_says_which_asks_for_more_and_why(demo):
    most = opinions_of(demo)[0]
    reader = type("Look", (), {"show": staticmethod(lambda v, k: f"{v:.4f}")})()
    assert "The older code allows one low stress" in why(reader, most, 0.9 * most.diameter)
    assert "counts the notch" in why(reader, most, 1.1 * most.diameter)
    assert "the two agree" in why(reader, most, 1.01 * most.diameter)
    rows = sheet(demo, "Second opinion: the older shaft code").rows
    assert len(rows) == len(state(demo).sections)
    for row, o in zip(rows, sorted(opinions_of(demo), key=lambda o: o.section.at), strict=True):
        assert float(row[6]) == pytest.approx((o.section.diameter / o.diameter) ** 3, abs=0.006)


# -- the crank and its outboard bearing ------------------------------------------------------------

CRANK = {
    "engine.belt_at": "3 in",
    "engine.side_load_at": "1 in",
    "engine.bearing_behind": "0.5 in",
    "engine.side_load_limit": "60 lbf",
}


def test_outboard_bearing_by_hand():
    found = results(TWO_BELTS, **CRANK)
    crank = sheet(found, "An outboard bearing for the crank")
    peak = 109  # lbf, of the fact beside it
    side = fact(found, "engine shaft: side load")
    assert f"{peak} lbf at the peak, " in side.note
    # the idler holds the slack strand, so the pull grows with the belt's: 63025 x 3 hp / 2500 rpm on a 5 in pulley
    jam = found.chapters["grip"].data["first belt"].case("jam").factor
    grown = side.found.si / LBF + (jam - 1) * 63025 * 3 / 2500 / 2.5
    assert side.note.endswith("lbf with the work jammed")
    assert float(side.note.split(", ")[-1].split()[0]) == pytest.approx(grown, rel=0.005)
    for row, reach in zip(crank.rows[1:], (1.25, 1.5, 2.0, 3.0), strict=True):
        # belt 3.5 in from the engine's bearing: left = F (L - a) / L, bending = left x a
        left = peak * (reach - 1) / reach
        assert float(row[1].split()[0]) == pytest.approx(left, abs=0.4)
        assert float(row[3].split()[0]) == pytest.approx(peak - left, abs=0.5)
        assert float(row[2]) == pytest.approx(left / 60, abs=0.01)
        assert float(row[4].split()[0]) == pytest.approx(left * 3.5 / 12, abs=0.15)
    assert crank.rows[0][0] == "none" and float(crank.rows[0][4].split()[0]) == pytest.approx(peak * 3.5 / 12, abs=0.2)


def test_the_cures_of_the_crank_hold():
    """109 lbf at the peak, 259 in a jam, against 120 lbf at 1.5 in from the bearing: 180 lbf·in of bending.

    What holds the peak and not the jam is a caution; a go holds both.
    """
    there = {"engine.side_load_limit": "120 lbf", "engine.shaft_length": "10 in"}
    wide = results(TWO_BELTS, **{**CRANK, **there})
    cures = prove(wide, "shafts.crank")
    for cure in cures:
        arm, end = (
            read(cure.changes[k], "length").si / INCH + 0.5 if k in cure.changes else None
            for k in ("engine.belt_at", "engine.outboard_at")
        )
        arm = arm or 3.5
        # left = F (L - a) / L with a bearing at L beyond the belt, and its moment left x a
        share = 1.0 if end is None else (end - arm) / end
        peak, jam = (pull * share * arm / 180 for pull in (109.4, 258.5))
        work = 79.25 * share * arm / 180
        expected = "go" if max(peak, jam) <= 1.003 else "caution" if work <= 1.003 else "stop"
        assert cure.verdict_after == expected, cure
    both = next(c for c in cures if set(c.changes) == {"engine.belt_at", "engine.outboard_at"})
    assert both.verdict_after == "go" and both is cures[0]
    assert "lbf" not in check(wide, "shafts.crank").remedy


def test_a_jam_over_the_limit_of_the_crank_is_a_caution_and_no_stop():
    """At the place of the limit: 109 lbf at the peak, 259 in a jam; what comes often is a go under 120."""
    for limit, verdict in (("265 lbf", "go"), ("250 lbf", "caution"), ("120 lbf", "caution"), ("70 lbf", "stop")):
        there = {**CRANK, "engine.belt_at": "1 in", "engine.side_load_limit": limit}
        c = check(results(TWO_BELTS, **there), "shafts.crank")
        assert c.verdict == verdict, limit
        assert (verdict == "go") == ("With the work jammed" not in c.reason)



# -- every build -----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", list_builds())
def test_every_build_works_up_with_each_joint_and_no_traceback(name):
    build = load(name)
    for shaft in build.names("shaft"):
        for kind in ("parallel key", "set screws", "split hub", "flange", "weld ring", "taper bush", "spline"):
            found = work_up(with_part(build, shaft, "joint", "one more", kind=kind))
            c = check(found, "shafts.joint[one more]")
            assert c.verdict == "not decidable" and c.missing


def test_taking_over_changes_nothing_with_steps_and_joints():
    """Every changed value of a shaft with steps, a spline, a mended key and a weld reaches what depends on it."""
    build = build_of(TWO_BELTS, **CRANK)
    for name, start, end, size in (("a", "-3 in", "1 in", "1.5 in"), ("b", "1 in", "12 in", "1.75 in")):
        build = with_part(build, "jackshaft", "step", name, start=start, end=end, diameter=size)
    build = with_part(
        build,
        "jackshaft",
        "joint",
        "stub",
        kind="spline",
        profile="type 1, 540 rpm",
        length="2.5 in",
        wear="0.5 mm",
        position="11 in",
        end_faces="away from the engine",
        end_is="driving",
        fit="fixed",
    )
    build = with_part(
        build,
        "jackshaft",
        "joint",
        "key",
        kind="parallel key",
        width="8 mm",
        length="1.5 in",
        position="-1.75 in",
        repair="sleeve, pinned",
        pin="6 mm",
    )
    build = with_part(build, "jackshaft", "joint", "ring", kind="weld ring", leg="0.2 in", position="10 in")
    before = work_up(build)
    # the other keys are changed one by one in test_workup_reuse
    keys = [k for k in build.values if k.startswith(("shaft", "bearing"))]
    tried = []
    for key in keys:
        other = changed(build, key, build.values[key])
        if other is not None:
            assert shown(work_up(other, before=before)) == shown(work_up(other)), key
            tried.append(key)
    assert sum("joint" in k for k in tried) > 12 and sum("step" in k for k in tried) > 4


def test_every_feature_of_the_build_has_a_raiser():
    for feature in FEATURES.values():
        assert stress_raisers.raiser(feature).bending > 1

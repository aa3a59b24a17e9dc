"""The bearings chapter: identity, seat, loads and life of the builds, and what happens when an input moves."""

from __future__ import annotations

import math
import re
from functools import partial

import builders
import numpy as np
import pytest
from builders import check_of as check
from jackshaft.parts.shaft_loads import read_loads
from jackshaft.results import work_up
from jackshaft.results.reader import Reader
from shaft_builds import INCH, LBF, ROTOR, TWO_BELTS, build_of, results

data, sheet = (partial(look, chapter="bearings") for look in (builders.data, builders.sheet))


@pytest.fixture(scope="module")
def rotor():
    return results(ROTOR)


@pytest.fixture(scope="module")
def demo():
    return results(TWO_BELTS)


# -- the salvaged rotor: two bearings; figures by an independent calculation of the build ---------------------------


def test_rotor_a_stands_between_two_bores(rotor):
    found = data(rotor).identity["A"].found
    first, second = found.candidates[:2]
    assert {(round(c.size.od * 1e3), round(c.size.width * 1e3)) for c in (first, second)} == {(72, 17)}
    assert sorted(round(c.size.bore / INCH, 4) for c in (first, second)) == [1.3750, 1.3780]
    assert abs(first.size.bore - second.size.bore) == pytest.approx(2.95e-3 * INCH, abs=0.005e-3 * INCH)
    verdict = check(rotor, "bearings.identity[A]")
    assert verdict.verdict == "caution"
    assert "2.95 thou" in verdict.reason and "cannot decide" in verdict.reason
    assert "bore gauge" in verdict.remedy
    # the shaft micrometer supports the inch bore: 35 mm would be 3.5 thou loose
    assert first.size.bore == pytest.approx(1.375 * INCH)
    assert second.seat_gap == pytest.approx(3.5e-3 * INCH, abs=0.06e-3 * INCH)


def test_rotor_a_seat_is_a_stop_with_the_repair(rotor):
    seat = check(rotor, "bearings.seat[A]")
    assert seat.verdict == "stop"
    assert "0.5 thou loose" in seat.value
    assert "sleeve" in seat.remedy and "machine" in seat.remedy
    slack = data(rotor).identity["A"].size.bore - data(rotor).seats["A"].measured
    assert slack == pytest.approx(0.5e-3 * INCH, abs=1e-9)
    assert rotor.exit_code == 1


def test_rotor_d_is_an_inch_bore_in_a_metric_body(rotor):
    size = data(rotor).identity["D"].size
    assert (round(size.bore / INCH, 4), round(size.od * 1e3), round(size.width * 1e3)) == (0.625, 40, 12)
    assert check(rotor, "bearings.identity[D]").verdict == "go"


def test_rotor_reactions(rotor):
    carried = data(rotor).shafts["rotor"].carried[0] / LBF
    assert -carried[0, 1] == pytest.approx(313, abs=0.5)
    assert -carried[1, 1] == pytest.approx(-27, abs=0.5)
    assert carried[:, 0] == pytest.approx(0, abs=1e-9)
    lifts = check(rotor, "bearings.load[D]")
    assert lifts.verdict == "caution" and lifts.value.startswith("27") and "against the main load" in lifts.value
    assert check(rotor, "bearings.load[A]").verdict == "go"


@pytest.mark.parametrize("shock, hours", [(1.0, 34_100), (1.5, 10_100), (2.5, 2_180)])
def test_rotor_life_with_25_5_kn(shock, hours):
    found = results(ROTOR, **{"bearing[A].dynamic_rating": "25.5 kN", "bearing[A].shock_factor": str(shock)})
    assert data(found).lives["A"].hours == pytest.approx(hours, rel=0.005)
    # the tables' own lowest figure for this body is the same
    own = results(ROTOR, **{"bearing[A].shock_factor": str(shock)})
    assert data(own).lives["A"].hours == pytest.approx(data(found).lives["A"].hours, rel=1e-9)


def test_rotor_machining_rows_stand_in_both_units(rotor):
    sheet = next(s for s in rotor.chapters["bearings"].tables if s.title == "Seats to machine")
    row = next(r for r in sheet.rows if r[0] == "A" and r[1] == "shaft seat")
    low, high, low_mm, high_mm = (float(v) for v in re.findall(r"\d+\.\d+", row[4]))
    assert "in (" in row[4] and row[4].endswith("mm)")
    assert (low * 25.4, high * 25.4) == pytest.approx((low_mm, high_mm), abs=0.0013)
    # k5 on 34.925 mm: +2 and +13 micrometres, ISO 286-2 for 30 to 50 mm
    assert (low_mm, high_mm) == pytest.approx((34.927, 34.938), abs=0.0006)
    assert row[3] == "tight"


# -- a jackshaft between two belt stages -----------------------------------------------------------------------------


def test_it_is_30_by_62_by_16_and_names_the_near_miss(demo):
    for name in ("engine side", "far side"):
        size = data(demo).identity[name].size
        assert [round(v * 1e3, 6) for v in (size.bore, size.od, size.width)] == [30, 62, 16]
        fact = next(f for f in demo.chapters["bearings"].facts if f.label == f"{name}: bores easily mistaken for it")
        off = (1 + 3 / 16 - 30 / 25.4) * 1000
        assert "1-3/16 in" in fact.value and f"{off:.1f}" in fact.value


def test_it_lives_far_above_500_h_and_says_that_it_is_an_upper_bound(demo):
    for name in ("engine side", "far side"):
        life = check(demo, f"bearings.life[{name}]")
        assert life.verdict == "go" and "upper bound" in life.reason
        assert data(demo).lives[name].hours_bad > 10 * 500
    assert any("upper bound" in c for c in demo.chapters["bearings"].cautions)


def test_loads_come_from_the_belts(demo):
    """Stage 2 by hand: at rest both strands of both belts at 45 lbf, 4 and 16 in at 22 in, and 3 lb of pulley."""
    pulls = {p.name: p for p in data(demo).shafts["jackshaft"].loads.pulls}
    rest = pulls["stage 2 pulley"].force[1] / LBF
    by_hand = 2 * 2 * 45 * math.cos(math.asin((16 - 4) / 2 / 22))
    assert np.hypot(rest[0], rest[1] + 3) == pytest.approx(by_hand, rel=0.002)
    # equilibrium: what the bearings carry is what is put on, in both planes and every case
    found = data(demo).shafts["jackshaft"]
    assert found.carried.sum(axis=1) == pytest.approx(found.loads.force.sum(axis=1), rel=1e-12)
    arm = (found.loads.at[None, :, None] * found.loads.force).sum(axis=1)
    assert (found.at[None, :, None] * found.carried).sum(axis=1) == pytest.approx(arm, rel=1e-9, abs=1e-9)
    # an overhung pulley loads its bearing with more than its own pull
    assert np.hypot(*found.carried[0, 1]) > np.hypot(*pulls["stage 2 pulley"].force[0])


def test_more_spring_on_the_crank_belt_shortens_the_life_with_the_cube():
    lives = [
        data(results(TWO_BELTS, **{"stage[first belt].takeup.slack_tension": t})).lives["engine side"]
        for t in ("24 lbf", "48 lbf", "96 lbf")
    ]
    hours = [v.hours for v in lives]
    assert hours[0] > hours[1] > hours[2]
    for a, b in zip(lives[:-1], lives[1:], strict=True):
        assert a.hours / b.hours == pytest.approx((b.load / a.load) ** 3, rel=1e-9)


# -- known, not known, none ------------------------------------------------------------------------------------------


def test_a_build_without_bearings_says_so():
    chapter = results("compost_trommel").chapters["bearings"]
    assert chapter.state == "not known yet" and "No bearing" in chapter.words
    assert not chapter.facts
    asked = {c.id: c for c in chapter.checks}
    assert set(asked) == {f"bearings.shaft[{s}]" for s in ("gearbox input", "roller shaft", "drum")}
    assert all(c.verdict == "not decidable" and c.missing == ("bearing",) for c in asked.values())


@pytest.mark.parametrize(
    "key, id, named",
    [
        ("bearing[D].position", "bearings.life[A]", "bearing[D].position"),
        ("shaft[rotor].load[belt pull].pull", "bearings.life[A]", "shaft[rotor].load[belt pull].pull"),
        ("shaft[rotor].load[belt pull].toward", "bearings.life[D]", "shaft[rotor].load[belt pull].toward"),
        ("shaft[rotor].load[belt pull].position", "bearings.life[D]", "shaft[rotor].load[belt pull].position"),
        ("shaft[rotor].work_speed", "bearings.life[A]", "shaft[rotor].work_speed"),
        ("wanted_life", "bearings.life[A]", "wanted_life"),
        ("bearing[A].seat", "bearings.seat[A]", "bearing[A].seat"),
        ("bearing[A].turning_ring", "bearings.seat[A]", "bearing[A].turning_ring"),
        ("bearing[A].shaft", "bearings.life[A]", "bearing[A].shaft"),
    ],
)
def test_what_is_missing_is_named(key, id, named):
    found = results(ROTOR, **{key: ""})
    undecided = check(found, id)
    assert undecided.verdict == "not decidable" and named in undecided.missing
    assert named in {w.key for w in found.wanted}


def test_no_tension_no_load():
    found = results(TWO_BELTS, **{"stage[second belts].takeup.static_tension": ""})
    assert "stage[second belts].takeup.static_tension" in check(found, "bearings.life[far side]").missing


def test_nothing_measured_names_the_three():
    changes = {f"bearing[A].{k}": "" for k in ("bore", "outside", "width")}
    found = results(ROTOR, **changes)
    assert set(check(found, "bearings.identity[A]").missing) == set(changes)
    assert check(found, "bearings.life[A]").verdict == "not decidable"


def test_one_dimension_alone_is_worked_with():
    found = results(ROTOR, **{"bearing[A].bore": "", "bearing[A].width": ""})
    assert data(found).identity["A"].found.candidates
    assert check(found, "bearings.identity[A]").verdict == "caution"


# -- bad input: reason and cure, never a traceback -------------------------------------------------------------------


def test_readings_that_no_bearing_has():
    found = results(ROTOR, **{"bearing[A].width": "0.8 in"})
    stop = check(found, "bearings.identity[A]")
    assert stop.verdict == "stop" and "Nearest" in stop.reason and "width" in stop.remedy
    assert "6207" in stop.reason and "thou !" in stop.reason


def test_a_reading_just_outside_keeps_the_likeliest_size_with_a_caution():
    """62 x 16 mm with a width of 0.632 in: 2.1 thou over, where calipers are held to two."""
    found = results(TWO_BELTS, **{"bearing[engine side].width": "0.632 in"})
    near = check(found, "bearings.identity[engine side]")
    assert near.verdict == "caution" and "just outside" in near.value and "width" in near.remedy
    assert data(found).identity["engine side"].size.designation == "6206"
    assert check(found, "bearings.life[engine side]").verdict == "go"


def test_bearings_on_one_spot():
    found = results(ROTOR, **{"bearing[D].position": "0 in"})
    stop = check(found, "bearings.shaft[rotor]")
    assert stop.verdict == "stop" and "same spot" in stop.reason and "its own place" in stop.remedy


def test_load_along_the_shaft_on_a_floating_bearing():
    found = results(ROTOR, **{"bearing[A].axial_load": "50 lbf", "bearing[A].located": False})
    stop = check(found, "bearings.axial[A]")
    assert stop.verdict == "stop" and "floating" in stop.reason
    held = results(ROTOR, **{"bearing[A].axial_load": "50 lbf", "bearing[A].located": True})
    assert check(held, "bearings.axial[A]").verdict == "go"


def test_the_equivalent_load_is_not_the_sum():
    with_axial = data(results(ROTOR, **{"bearing[A].axial_load": "200 lbf"})).lives["A"]
    radial = with_axial.radial[0]
    assert radial < with_axial.load != pytest.approx(radial + 200 * LBF, rel=0.01)
    little = data(results(ROTOR, **{"bearing[A].axial_load": "20 lbf"})).lives["A"]
    assert little.load == pytest.approx(radial)


# -- verdicts turn where they should ---------------------------------------------------------------------------------


@pytest.mark.parametrize("wanted, verdict", [("2000 h", "go"), ("5000 h", "caution"), ("20000 h", "stop")])
def test_life_verdict_at_its_three_places(wanted, verdict):
    """10 100 h likely, three tenths of it at the bad end outdoors."""
    life = check(results(ROTOR, wanted_life=wanted), "bearings.life[A]")
    assert life.verdict == verdict
    assert (verdict == "go") == (life.remedy == "")


def test_indoors_the_bad_end_is_not_cut_for_dirt():
    inside = results(ROTOR, wanted_life="9000 h", place="indoors")
    assert check(inside, "bearings.life[A]").verdict == "go"
    assert check(results(ROTOR, wanted_life="9000 h"), "bearings.life[A]").verdict == "caution"


@pytest.mark.parametrize("seat, verdict", [("1.3745 in", "stop"), ("1.3753 in", "caution"), ("1.3770 in", "stop")])
def test_seat_with_the_bore_open(seat, verdict):
    """1.3753 in is inside k5 for 1.3750 in but loose for 35 mm, which is open too; 1.3770 in is loose for 35 mm."""
    assert check(results(ROTOR, **{"bearing[A].seat": seat}), "bearings.seat[A]").verdict == verdict


def test_seat_with_the_bore_decided():
    good = results(ROTOR, **{"bearing[A].designation": "6207-22", "bearing[A].seat": "1.3753 in"})
    assert check(good, "bearings.seat[A]").verdict == "go"
    assert check(good, "bearings.identity[A]").verdict == "go"


def test_an_idler_on_a_fixed_pin_is_the_opposite_of_a_live_shaft():
    live = results(ROTOR, **{"bearing[A].designation": "6207-22"})
    pin = results(ROTOR, **{"bearing[A].designation": "6207-22", "bearing[A].turning_ring": "outer"})
    assert data(live).seats["A"].advice.tight_ring == "inner"
    assert data(pin).seats["A"].advice.tight_ring == "outer"
    assert check(live, "bearings.seat[A]").verdict == "stop"
    assert check(pin, "bearings.seat[A]").verdict == "go"


def test_marking_wins_and_a_reading_that_disagrees_is_said():
    found = results(TWO_BELTS, **{"bearing[far side].marking": "6206-2RS C3"})
    assert data(found).identity["far side"].how == "the marking"
    assert check(found, "bearings.identity[far side]").verdict == "go"
    wrong = check(results(TWO_BELTS, **{"bearing[far side].marking": "6305-2RS"}), "bearings.identity[far side]")
    assert wrong.verdict == "caution" and "off by" in wrong.reason


def test_three_bearings_share_by_stiffness():
    """A third bearing midway under a uniform load pattern: against the three-moment equation."""
    from jackshaft.chapters.bearings.reactions import react
    from jackshaft.parts.shaft_loads import Pull, ShaftLoads

    force = np.tile([0.0, -100.0], (3, 1))
    loads = ShaftLoads("s", tuple(Pull(n, at, force, 0.0, None, None, None) for n, at in (("a", 0.5), ("b", 1.5))), ())
    found = react("s", ("l", "m", "r"), np.array([0.0, 1.0, 2.0]), loads)
    # two equal spans with a central load each: outer 5/16 P, middle 22/16 P (textbook-practice, continuous beam)
    assert -found.carried[0, :, 1] == pytest.approx([31.25, 137.5, 31.25], rel=1e-6)


def test_a_belt_whose_place_nobody_wrote_down_is_asked_for():
    build = build_of(TWO_BELTS)
    found = work_up(build)
    bare = type(build)(
        {k: v for k, v in build.values.items() if "load[stage 1 pulley]" not in k},
        {**build.lists, "shaft[jackshaft].load": ("stage 2 pulley",)},
        build.file,
    )
    loads = read_loads(Reader(bare), found.chapters, "jackshaft")
    assert loads.missing == ("shaft[jackshaft].load[first belt].position",)


def test_metric_build_shows_no_inch():
    found = results(ROTOR, shown_in="metric")
    chapter = found.chapters["bearings"]
    words = [f.label + f.value + f.note for f in chapter.facts] + [c for s in chapter.tables for r in s.rows for c in r]
    words += [s.note for s in chapter.tables] + [c.value + c.limit + c.reason + c.remedy for c in chapter.checks]
    for text in words:
        assert not re.search(r"\bin\)|\d in\b|\binch|thou|lbf|\d/16", text), text


def test_units_do_not_change_a_verdict():
    inch, metric = results(ROTOR), results(ROTOR, shown_in="metric")
    assert [(c.id, c.verdict) for c in inch.checks] == [(c.id, c.verdict) for c in metric.checks]


# -- fitting card, stand-ins, modified life --------------------------------------------------------------------------


@pytest.mark.parametrize(
    "held, verdict",
    [((True, False), "go"), ((True, True), "caution"), ((False, False), "caution"), (("", False), "not decidable")],
)
def test_one_bearing_is_held_endways(held, verdict):
    changes = {f"bearing[{n}].located": v for n, v in zip("AD", held, strict=True)}
    assert check(results(ROTOR, **changes), "bearings.located[rotor]").verdict == verdict


def test_play_left_falls_with_a_tighter_clearance_class():
    plain = check(results(TWO_BELTS), "bearings.play[far side]")
    tight = check(results(TWO_BELTS, **{"bearing[far side].marking": "6206-2RS C2"}), "bearings.play[far side]")
    wide = check(results(TWO_BELTS, **{"bearing[far side].marking": "6206-2RS C3"}), "bearings.play[far side]")
    low = [float(c.value.split()[0]) for c in (tight, plain, wide)]
    assert low == sorted(low) and plain.verdict == wide.verdict == "go" and tight.verdict != "go"


def test_stand_ins_keep_the_outside_or_say_what_they_ask(demo):
    rows = [r for r in sheet(demo, "What could stand in").rows if r[0] == "far side"]
    assert rows and all(r[3] for r in rows)
    for row in rows:
        d, od, b = (float(v) for v in re.search(r"\(([\d.]+) × ([\d.]+) × ([\d.]+) mm\)", row[2]).groups())
        if od == 62:
            assert "bore" in row[3] or "wider" in row[3] or "narrower" in row[3]
        else:
            assert "housing" in row[3]


def test_reliability_and_film_change_the_life():
    base = data(results(ROTOR)).lives["A"].hours
    # 95 %: a1 = 0.64, ISO 281:2007 table 12
    sure = data(results(ROTOR, **{"bearing[A].reliability": "0.95"})).lives["A"].hours
    assert sure / base == pytest.approx(0.64, abs=0.005)

    def modified(**changes):
        facts = results(ROTOR, **{f"bearing[A].{k}": v for k, v in changes.items()}).chapters["bearings"].facts
        return next(f for f in facts if f.label == "A: modified life")

    thin, thick = modified(oil_viscosity="5"), modified(oil_viscosity="50")
    assert float(thin.value.split()[0]) < float(thick.value.split()[0])
    dirty, clean = modified(oil_viscosity="20"), modified(oil_viscosity="20", closure="sealed")
    assert float(dirty.value.split()[0]) < float(clean.value.split()[0])


def test_sizes_for_the_place_keep_shaft_room_speed_and_life():
    def rows(**changes):
        found = results(TWO_BELTS, **{f"bearing[far side].{k}": v for k, v in changes.items()})
        return {r[1]: r for r in sheet(found, "Sizes for the place").rows if r[0] == "far side"}

    everything = rows()
    # every 30 mm deep-groove size of the usual series has its place: 6006, 6206, 6306
    assert {"6006", "6206", "6306"} <= set(everything)
    assert all("(30 × " in r[2] for r in everything.values())
    assert everything["6206"][6] == "yes"
    tight = rows(room_outside="2.2 in")
    assert "6006" in tight and "6206" not in tight and "6306" not in tight
    narrow = rows(room_width="13 mm")
    assert "6006" in narrow and "6206" not in narrow
    fast = results(ROTOR, **{"shaft[rotor].work_speed": "13000 rpm"})
    words = {r[1]: (r[5], r[6]) for r in sheet(fast, "Sizes for the place").rows if r[0] == "D"}
    # 0.8 x 400 000 mm·rpm over the mean diameter of 15.875 and 41.275 mm (gost20918, touching seals)
    assert float(words["1628"][0].split()[0]) == pytest.approx(0.8 * 400_000 / ((15.875 + 41.275) / 2), rel=1e-3)
    assert "too fast" in words["1628"][1]
    long = results(TWO_BELTS, wanted_life="100000 h")
    held = {r[1]: r[6] for r in sheet(long, "Sizes for the place").rows if r[0] == "far side"}
    assert held["6006"].startswith("no: life") and held["6206"].startswith("no: life")


@pytest.mark.parametrize("key, text", [("designation", "9999"), ("marking", "????")])
def test_a_number_that_means_nothing_is_said_and_the_readings_stand(key, text):
    found = results(TWO_BELTS, **{f"bearing[far side].{key}": text})
    said = check(found, "bearings.number[far side]")
    assert said.verdict == "caution" and text in said.reason
    assert data(found).identity["far side"].size.designation == "6206"


def test_what_turns_is_judged_at_the_governor_s_top():
    """5 : 12.5 in to the jackshaft, 5 : 4 in to the idler; without load an engine may run 8 % above its rated speed."""
    idler = {"stage[first belt].pulley[idler].bearing": "6203-2RS"}
    top = {"bearings.speed[far side]": 5 / 12.5, "bearings.idler[first belt: idler]": 5 / 4}
    for changes, speed in (({}, 1.08 * 3600), ({"engine.full_speed": "4100 rpm"}, 4100)):
        found = results(TWO_BELTS, **idler, **changes)
        for id, over in top.items():
            c = check(found, id)
            assert c.verdict == "go" and f"{over * speed:.0f} rpm" in f"{c.found} {c.reason}", id
    blind = results(TWO_BELTS, **idler, **{"engine.rated_speed": ""})
    for id in top:
        c = check(blind, id)
        assert c.verdict == "not decidable" and "engine.full_speed" in c.missing, id
    fast = results(TWO_BELTS, **idler, **{"engine.full_speed": "12000 rpm"})
    assert check(fast, "bearings.idler[first belt: idler]").verdict == "caution"

"""The traps and the bad input of bearings, each by its name, at the level of the chapter a builder reads."""

from __future__ import annotations

from functools import partial

import builders
import numpy as np
import pytest
from builders import check_of as check
from jackshaft.buildfile import BuildProblems, load, parse
from jackshaft.chapters.bearings.filters import Wish, excluded, judge
from jackshaft.mechanics import bearing_sizes
from jackshaft.mechanics import bearings as kernel
from jackshaft.mechanics.bearing_sizes import catalogue, find
from jackshaft.results import work_up
from jackshaft.tables import table
from shaft_builds import INCH, LBF, ROTOR, TWO_BELTS, build_of

data, sheet, fact = (partial(look, chapter="bearings") for look in (builders.data, builders.sheet, builders.fact))
#: C0 of a 6207: 15.3 kN by its newer figure, 13.7 kN by the older textbook one (tables of the project).
AXIAL = {
    "bearing[A].designation": "6207",
    "bearing[A].axial_load": "300 lbf",
    "bearing[A].located": True,
    "bearing[A].dynamic_rating": "25.5 kN",
}


def results(name=ROTOR, **changes):
    return work_up(build_of(name, **changes))


def with_steps(start, end, **changes):
    step = f'[[shaft.step]]\nname = "bar"\nstart = "{start}"\nend = "{end}"\ndiameter = "1.375 in"\n\n[[bearing]]\n'
    text = load(ROTOR).text.replace("[[bearing]]\n", step, 1)
    return work_up(parse(text.encode(), file="steps.toml").with_values(changes))


def by_hand(radial, axial, value, name, heading, factor=1.0):
    """Equivalent load from the rows of one generation's table alone: 0.56 Fr + Y Fa above e."""
    rows = table(name).rows
    x = factor * axial / value
    e, y = (np.interp(x, [r[heading] for r in rows], [r[k] for r in rows]) for k in ("e", "y"))
    return max(radial, 0.56 * radial + y * axial) if axial / radial > e else radial


# -- two generations of C0 ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "said, name, heading",
    [("newer", "bearing_axial_factors", "f0_fa_over_c0"), ("older", "bearing_axial_factors_older", "fa_over_c0")],
)
def test_trap_each_generation_of_c0_goes_with_its_own_axial_table(said, name, heading):
    found = results(**AXIAL, **{"bearing[A].static_rating": "13.7 kN", "bearing[A].static_rating_is": said})
    life, f0 = data(found).lives["A"], table("bearing_ratings").one(designation="6207")["f0"]
    factor = f0 if said == "newer" else 1.0
    assert life.load == pytest.approx(by_hand(life.radial[0], 300 * LBF, 13.7e3, name, heading, factor), rel=1e-9)
    note = fact(found, "A: static rating C0").note
    assert f"{said} generation as the build file says" in note
    assert ("with f0" if said == "newer" else "without f0") in fact(found, "A: equivalent load P").note


def test_trap_the_two_generations_give_different_loads():
    loads = [
        data(results(**AXIAL, **{"bearing[A].static_rating": "13.7 kN", "bearing[A].static_rating_is": g}))
        .lives["A"]
        .load
        for g in ("newer", "older")
    ]
    assert abs(loads[0] / loads[1] - 1) > 0.005


def test_trap_an_f0_beside_an_older_c0_is_refused_with_the_cure():
    with pytest.raises(BuildProblems, match="f0 beside a static rating of the older generation") as refused:
        results(
            **AXIAL,
            **{
                "bearing[A].static_rating": "13.7 kN",
                "bearing[A].static_rating_is": "older",
                "bearing[A].static_rating_factor": "13.8",
            },
        )
    assert 'static_rating_is = "newer"' in str(refused.value)


@pytest.mark.parametrize(
    "changes, generation, why",
    [
        ({"static_rating": "15.3 kN"}, "modern", "since the build file does not say which"),
        ({"static_rating": "13.7 kN"}, "older", "the older tables give the same figure"),
        ({"static_rating": "13.7 kN", "static_rating_factor": "13.8"}, "modern", "an f0 is given with it"),
        ({"static_rating": "17 kN"}, "modern", "since the build file does not say which"),
    ],
)
def test_generation_by_what_is_known_and_said(changes, generation, why):
    found = results(**AXIAL, **{f"bearing[A].{k}": v for k, v in changes.items()})
    assert data(found).lives["A"].rating.static.generation == generation
    assert why in fact(found, "A: static rating C0").note
    # where it was not told, the other generation's load stands beside it
    assert ("write down static_rating_is" in fact(found, "A: equivalent load P").note) == (
        "static_rating_factor" not in changes
    )


def test_an_own_f0_is_used_before_the_tabulated_one():
    at = {"bearing[A].static_rating": "15.3 kN", "bearing[A].static_rating_is": "newer"}
    life = data(results(**AXIAL, **at, **{"bearing[A].static_rating_factor": "10"})).lives["A"]
    assert life.rating.static.f0 == 10
    assert life.load == pytest.approx(
        by_hand(life.radial[0], 300 * LBF, 15.3e3, "bearing_axial_factors", "f0_fa_over_c0", 10), rel=1e-9
    )


def test_newer_c0_without_an_f0_anywhere_asks_for_it():
    found = results(
        **{
            **AXIAL,
            "bearing[A].designation": "62207",
            "bearing[A].static_rating": "15 kN",
            "bearing[A].static_rating_is": "newer",
        }
    )
    asked = check(found, "bearings.life[A]")
    assert asked.verdict == "not decidable" and asked.missing == ("bearing[A].static_rating_factor",)
    older = results(
        **{
            **AXIAL,
            "bearing[A].designation": "62207",
            "bearing[A].static_rating": "15 kN",
            "bearing[A].static_rating_is": "older",
        }
    )
    assert check(older, "bearings.life[A]").verdict != "not decidable"


def test_the_film_takes_a_c0_of_the_newer_generation_only():
    at = {**AXIAL, "bearing[A].oil_viscosity": "20", "bearing[A].static_rating": "13.7 kN"}
    older = results(**at, **{"bearing[A].static_rating_is": "older"})
    assert data(older).lives["A"].rating.modern == kernel.ratings.si("6207").static.value
    newer = results(**at, **{"bearing[A].static_rating_is": "newer"})
    assert data(newer).lives["A"].rating.modern == pytest.approx(13.7e3)


# -- loads -------------------------------------------------------------------------------------------------------------


def test_trap_the_equivalent_load_is_not_the_sum():
    found = results(**AXIAL)
    life = data(found).lives["A"]
    assert life.load != pytest.approx(life.radial[0] + 300 * LBF, rel=0.02)
    assert "not their sum" in fact(found, "A: equivalent load P").note
    little = data(results(**{**AXIAL, "bearing[A].axial_load": "20 lbf"})).lives["A"]
    assert little.load == pytest.approx(little.radial[0])
    assert (
        "changes nothing" in fact(results(**{**AXIAL, "bearing[A].axial_load": "20 lbf"}), "A: equivalent load P").note
    )


def test_an_axial_load_past_the_table_is_said_and_cautioned():
    # the table ends at f0 Fa/C0 = 6.89: 14 x Fa / 15.3 kN passes that above some 7.6 kN
    found = results(**{**AXIAL, "bearing[A].axial_load": "1800 lbf", "wanted_life": "1 h", "place": "indoors"})
    life = check(found, "bearings.life[A]")
    assert (
        data(found).lives["A"].combined.beyond_table
        and life.verdict != "go"
        and "beyond the table's end" in life.reason
    )


@pytest.mark.parametrize("out", ["-2.5 in", "-5 in"])
def test_trap_a_pulley_hung_outside_a_bearing_loads_it_with_more_than_its_pull(out):
    """Moments about D: A carries 240 (12 + a) / 12 from the belt and half of the rotor's 46 lb."""
    found = results(**{"shaft[rotor].load[belt pull].position": out})
    overhang = -float(out.split()[0])
    carried = -data(found).shafts["rotor"].carried[0, 0, 1] / LBF
    assert carried == pytest.approx(240 * (12 + overhang) / 12 + 23, rel=1e-6) and carried > 240 + 23
    inside = results(**{"shaft[rotor].load[belt pull].position": "4 in"})
    assert -data(inside).shafts["rotor"].carried[0, 0, 1] / LBF == pytest.approx(240 * 8 / 12 + 23, rel=1e-6)
    note = sheet(found, "Pulls along the shaft and what the bearings carry").note
    assert "more than its own pull" in note


def test_bad_input_two_bearings_on_the_same_spot():
    stop = check(results(**{"bearing[D].position": "0 in"}), "bearings.shaft[rotor]")
    assert stop.verdict == "stop" and "same spot" in stop.reason and "its own place" in stop.remedy


def test_bad_input_a_load_along_the_shaft_on_the_floating_bearing():
    stop = check(results(**{**AXIAL, "bearing[A].located": False}), "bearings.axial[A]")
    assert stop.verdict == "stop" and "floating" in stop.reason and "located" in stop.remedy


@pytest.mark.parametrize(
    "start, end, named, past",
    [
        ("-1 in", "14 in", "belt pull at -2.50 in", "1.50 in longer"),
        ("-3 in", "11.5 in", "bearing D at 12.00 in", "0.50 in longer"),
    ],
)
def test_bad_input_a_load_or_a_bearing_off_the_shaft(start, end, named, past):
    found = with_steps(start, end)
    stop = check(found, "bearings.shaft[rotor]")
    assert stop.verdict == "stop" and named in stop.reason and past in stop.remedy
    assert check(found, "bearings.life[A]").verdict == "not decidable"
    assert not any(c.id == "bearings.shaft[rotor]" for c in with_steps("-3 in", "14 in").checks)


# -- fits --------------------------------------------------------------------------------------------------------------


def test_trap_the_interference_goes_on_the_ring_that_turns_against_the_load():
    """An idler on a fixed pin is the opposite of a live shaft: other ring tight, other classes, other verdict."""
    live = results(**{"bearing[A].designation": "6207", "bearing[A].seat": "34.985 mm"})
    pin = results(
        **{"bearing[A].designation": "6207", "bearing[A].seat": "34.985 mm", "bearing[A].turning_ring": "outer"}
    )
    for found, tight, shaft, verdict in ((live, "inner", True, "stop"), (pin, "outer", False, "go")):
        seat = data(found).seats["A"]
        assert seat.advice.tight_ring == tight
        # a tight shaft seat stands above nominal, a sliding one below; the housing the other way round
        assert (seat.shaft.lower_deviation > 0) == shaft and (seat.shaft.upper_deviation < 0) == (not shaft)
        assert (seat.housing.lower_deviation >= 0) == shaft
        assert check(found, "bearings.seat[A]").verdict == verdict
        assert data(found).cards["A"].tight == tight


# -- life --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("place, bounded", [("outdoors", True), ("", True), ("under cover", False), ("indoors", False)])
def test_trap_outdoors_rating_life_is_an_upper_bound_and_the_verdict_says_so(place, bounded):
    found = results(place=place)
    life = check(found, "bearings.life[A]")
    assert ("upper bound" in life.reason) == bounded
    assert any("upper bound" in c for c in found.chapters["bearings"].cautions) == bounded
    state = data(found).lives["A"]
    assert (state.hours_bad < state.hours) == bounded
    if place == "":
        assert "not written down" in life.reason and "place" in {w.key for w in found.wanted}


def test_least_load_is_a_hundredth_of_c_on_both_sides():
    # 25.5 kN: 255 N
    for load_, verdict in (("250 N", "caution"), ("260 N", "go")):
        found = results(
            **{
                "bearing[A].shaft": "",
                "bearing[A].radial_load": load_,
                "bearing[A].work_speed": "3000 rpm",
                "bearing[A].dynamic_rating": "25.5 kN",
            }
        )
        least = check(found, "bearings.load[A]")
        assert least.verdict == verdict and ("skids" in least.reason) == (verdict == "caution")


@pytest.mark.parametrize(
    "rpm, closure, verdict",
    [
        (5900, "sealed", "go"),
        (6100, "sealed", "stop"),
        (7400, "shielded", "go"),
        (7600, "shielded", "stop"),
        (6100, "", "caution"),
        (12000, "", "stop"),
    ],
)
def test_speed_limit_by_what_closes_it(rpm, closure, verdict):
    """6207: mean diameter 53.5 mm; 400 000 mm·rpm capped, a fifth less with touching seals, 450 000 open."""
    found = results(
        **{"bearing[A].designation": "6207", "bearing[A].closure": closure, "shaft[rotor].work_speed": f"{rpm} rpm"}
    )
    assert check(found, "bearings.speed[A]").verdict == verdict


@pytest.mark.parametrize("load_, verdict", [("9 kN", "go"), ("12 kN", "caution"), ("17 kN", "stop")])
def test_static_safety_at_its_three_places(load_, verdict):
    """C0 15.3 kN over the load, no shock: 1 is wanted; with shocks 1.5."""
    at = {
        "bearing[A].designation": "6207",
        "bearing[A].shaft": "",
        "bearing[A].radial_load": load_,
        "bearing[A].work_speed": "10 rpm",
        "bearing[A].dynamic_rating": "60 kN",
        "bearing[A].static_rating": "15.3 kN",
    }
    shocked = check(
        results(**at, **{"work.load_class": "medium shock", "bearing[A].shock_factor": "1"}), "bearings.static[A]"
    )
    assert shocked.verdict == verdict
    assert "1.5 or more with shocks" in shocked.limit


# -- which bearing -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", ["R8", "R12", "R16", "R20"])
def test_trap_capped_inch_bearings_are_wider_than_open_ones(size):
    """The same bore and outside read with two widths: each width means the open one or the capped one, not both."""
    open_, capped = find.si(size), find.si(f"{size} capped")
    assert capped.width > open_.width and (capped.bore, capped.od) == (open_.bore, open_.od)
    for one, other in ((open_, capped), (capped, open_)):
        found = results(
            **{
                "bearing[A].bore": f"{one.bore / INCH:.4f} in",
                "bearing[A].outside": f"{one.od / INCH:.4f} in",
                "bearing[A].width": f"{one.width / INCH:.4f} in",
                "bearing[A].seat": "",
            }
        )
        assert data(found).identity["A"].size.designation == one.designation
        assert other.designation not in [s.designation for s in data(found).identity["A"].rivals]
    closed = results(
        **{
            "bearing[A].bore": f"{open_.bore / INCH:.4f} in",
            "bearing[A].outside": f"{open_.od / INCH:.4f} in",
            "bearing[A].width": "",
            "bearing[A].closure": "sealed",
            "bearing[A].seat": "",
        }
    )
    assert data(closed).identity["A"].size.designation == capped.designation


def test_bad_input_readings_that_no_bearing_has_list_the_nearest_and_what_to_redo():
    found = results(**{"bearing[A].width": "0.8 in"})
    stop = check(found, "bearings.identity[A]")
    assert stop.verdict == "stop" and stop.value == "no listed size"
    # 0.8 in less 17 mm: 130.7 thou
    assert "6207-22 (bore 0 thou" in stop.reason and "width +130.71 thou !" in stop.reason
    assert stop.remedy.startswith("Measure the width again")
    bore = check(results(**{"bearing[A].bore": "1.30 in"}), "bearings.identity[A]")
    assert bore.verdict == "stop" and bore.remedy.startswith("Measure the bore again")


def test_each_reading_may_have_its_own_instrument():
    """A bore gauge decides between 35 mm and 1-3/8 in what calipers on all three cannot."""
    text = load(ROTOR).text.replace(
        'bore = "1.375 in"', 'bore = { value = "1.3749 in", known = "measured", by = "bore gauge" }', 1
    )
    found = work_up(parse(text.encode(), file="gauge.toml"))
    identity = data(found).identity["A"]
    assert [r.instrument for r in identity.readings.values()] == ["bore gauge", "calipers", "calipers"]
    assert check(found, "bearings.identity[A]").verdict == "go" and identity.size.designation == "6207-22"


# -- filters -----------------------------------------------------------------------------------------------------------


def test_room_that_the_bearing_does_not_go_into_is_a_stop():
    at = {"bearing[A].designation": "6207"}
    tight = check(results(**at, **{"bearing[A].room_outside": "70 mm"}), "bearings.room[A]")
    assert tight.verdict == "stop" and "room outside" in tight.reason
    assert (
        check(
            results(**at, **{"bearing[A].room_outside": "72 mm", "bearing[A].room_width": "17 mm"}), "bearings.room[A]"
        ).verdict
        == "go"
    )
    assert not any(c.id.startswith("bearings.room") for c in results(**at).checks)


def test_sizes_for_the_place_say_what_each_filter_left_out():
    place = sheet(
        results(TWO_BELTS, **{"bearing[far side].room_outside": "56 mm", "bearing[far side].room_width": "12 mm"}),
        "Sizes for the place",
    )
    assert "far side: left out by room outside: 6206, 62206, 6306" in place.note
    assert "by room along the shaft: 6006, 63006" in place.note
    assert "engine side: largest outside and room along the shaft not written down" in place.note
    rows = {r[1] for r in place.rows if r[0] == "far side"}
    assert rows == {"61806", "61906", "16006"}


@pytest.mark.parametrize(
    "wish, size, name",
    [
        (Wish(room_outside=0.0719), "6207", "room outside"),
        (Wish(room_width=0.0169), "6207", "room along the shaft"),
        (Wish(closure="sealed"), "R8", "seal"),
        (Wish(closure="open"), "R8 capped", "seal"),
        # 400 000 x 0.8 / 53.5 = 5981 rpm (gost20918, touching seals)
        (Wish(closure="sealed", speed=6000 * np.pi / 30), "6207", "speed"),
        # 10^6 (25.5/5)^3 / (60 x 1000) = 2211 h
        (Wish(radial=5e3, work_speed=1000 * np.pi / 30, life=2300.0 * 3600), "6207", "life"),
        (Wish(radial=16e3), "6207", "static load"),
        # half of 15.3 kN at most
        (Wish(radial=5e3, axial=7.7e3), "6207", "load along the shaft"),
    ],
)
def test_each_filter_excludes_and_says_why(wish, size, name):
    one = judge(find.si(size), wish, "metric")
    assert one.fails[0][0] == name and one.words.startswith(f"no: {name}")
    assert dict(excluded([one])) == {name: size}


@pytest.mark.parametrize(
    "wish, size",
    [
        (Wish(room_outside=0.072, room_width=0.017), "6207"),
        (Wish(closure="sealed"), "R8 capped"),
        (Wish(closure="open"), "R8"),
        (Wish(closure="sealed", speed=5950 * np.pi / 30), "6207"),
        (Wish(radial=5e3, work_speed=1000 * np.pi / 30, life=2150.0 * 3600), "6207"),
    ],
)
def test_just_inside_a_filter_nothing_is_excluded(wish, size):
    assert judge(find.si(size), wish, "metric").fails == []


def test_a_life_that_holds_only_without_dirt_is_likely_not_yes():
    wish = Wish(radial=5e3, work_speed=1000 * np.pi / 30, life=2000.0 * 3600, dirt=0.3)
    assert judge(find.si("6207"), wish, "metric").words.startswith("likely: life 2210 h, but 663 h at the bad end")


def test_what_cannot_be_judged_is_said_never_passed_over():
    wish = Wish(radial=5e3, work_speed=100.0, life=1.0 * 3600, speed=100.0)
    assert "no rating is tabulated" in judge(find.si("62207"), wish, "metric").words
    wide = next(s for s in catalogue() if s.kind == "wide")
    assert "ask the maker" in " ".join(judge(wide, Wish(speed=100.0), "inch").unknown)


# -- what the sizes rest on --------------------------------------------------------------------------------------------


def test_every_listed_size_says_what_it_was_checked_against():
    found = results(TWO_BELTS)
    listed = sheet(found, "What the listed sizes were checked against")
    rows = table("bearings").rows
    assert sum(int(r[1]) for r in listed.rows[:-1]) == len(rows)
    *grounds, (_, differ) = bearing_sizes.grounds()
    assert sorted(n for _, names in grounds for n in names) == sorted(r["designation"] for r in rows)
    assert any("R8 capped (an open table has width 6.35 mm" in n for n in differ)
    # the table names the bearings of the build, each on the ground that its size rests on, and no list of sizes
    for (words, names), row in zip(bearing_sizes.grounds(), listed.rows, strict=True):
        assert row[:2] == (words, f"{len(names)}") and len(row[2]) < 200
    mine = [n for row in listed.rows[:-1] for n in row[2].split(", ") if n]
    sizes = {n: fact(found, f"{n}: size").value.split(",")[0] for n in found.build.names("bearing")}
    assert sorted(mine) == sorted(f"{n} ({size})" for n, size in sizes.items())
    closed = sheet(
        results(**{"bearing[A].designation": "R8 capped"}), "What the listed sizes were checked against"
    )
    assert "A (R8 capped)" in closed.rows[-1][2]
    assert "dimensions checked against an open data package" in fact(found, "far side: size").note
    odd = results(**{"bearing[A].designation": "6207-21"})
    assert "in no list" in fact(odd, "A: size").note

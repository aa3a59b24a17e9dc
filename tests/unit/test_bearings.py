"""Load, life and limits of ball bearings, against the standard's own rules and the printed traps."""

import math

import numpy as np
import pytest
from jackshaft.chapters.bearings.data import Carried
from jackshaft.mechanics import bearing_limits as limits
from jackshaft.mechanics import bearings
from jackshaft.mechanics.bearings import StaticRating
from jackshaft.tables import table

LBF, RPM = 4.4482216152605, math.pi / 30
MODERN = StaticRating(7850.0, "modern", 13.9)  # a 6205, C0 of the present generation
OLDER = StaticRating(6950.0, "older")


@pytest.mark.parametrize(("factor", "hours"), [(1.0, 34100), (1.5, 10100), (2.5, 2180)])
def test_life_of_the_salvaged_rotor_bearing(factor, hours):
    # independent calculation of the salvaged rotor: C 25.5 kN, 313 lbf at 3000 rpm
    life = bearings.life.si(25500.0, 313 * LBF, 3000 * RPM, shock=factor)
    assert life.hours == pytest.approx(hours, rel=0.005)


def test_life_in_the_shop_s_units_equals_the_float_body():
    public = bearings.life("25.5 kN", "313 lbf", "3000 rpm", shock=1.5)
    assert public.hours.to("hour").magnitude == pytest.approx(
        bearings.life.si(25500, 313 * LBF, 3000 * RPM, shock=1.5).hours
    )


def test_life_falls_with_the_cube_of_load_and_inversely_with_speed():
    load = np.array([500.0, 1000.0, 2000.0])
    life = bearings.life.si(20000.0, load, 100.0)
    assert life.hours[:-1] / life.hours[1:] == pytest.approx([8, 8])
    assert bearings.life.si(20000.0, 500.0, 200.0).hours == pytest.approx(life.hours[0] / 2)
    assert life.revolutions == pytest.approx(1e6 * (20000 / load) ** 3)


def test_life_says_when_it_is_out_of_range():
    life = bearings.life.si(20000.0, np.array([150.0, 250.0, 9999.0, 10001.0]), 100.0)
    assert list(life.skids) == [True, False, False, False]
    assert list(life.in_range) == [True, True, True, False]


def test_without_load_or_turning_life_has_no_end():
    assert bearings.life.si(20000.0, 0.0, 100.0).hours == math.inf
    assert bearings.life.si(20000.0, 500.0, 0.0).hours == math.inf


def test_trap_rating_life_outdoors_is_an_upper_bound_and_says_so():
    assert "upper bound" in bearings.life.si(20000.0, 500.0, 100.0).note


def test_trap_a_static_rating_must_not_meet_the_other_generation_s_table():
    with pytest.raises(ValueError, match="needs the bearing's f0"):
        bearings.equivalent_load.si(1000, 500, static=StaticRating(7850, "modern"))
    with pytest.raises(ValueError, match="must not be mixed"):
        bearings.equivalent_load.si(1000, 500, static=StaticRating(6950, "older", 13.9))
    with pytest.raises(ValueError, match="no factor for the turning ring"):
        bearings.equivalent_load.si(1000, 500, static=MODERN, ring_factor=1.2)
    with pytest.raises(ValueError, match="generation"):
        bearings.equivalent_load.si(1000, 500, static=StaticRating(6950, "new"))


def test_the_two_generations_agree_when_each_keeps_to_its_own():
    # The older table is the newer one at f0 = 12.3: a bearing with that f0 gives the same load either way.
    new = bearings.equivalent_load.si(3000, 2000, static=StaticRating(10000, "modern", 12.3)).load
    old = bearings.equivalent_load.si(3000, 2000, static=StaticRating(10000, "older")).load
    assert new == pytest.approx(old, rel=0.005)


def test_trap_the_equivalent_load_is_not_the_sum_of_radial_and_axial():
    load = bearings.equivalent_load.si(1000.0, 200.0, static=MODERN).load
    assert load == pytest.approx(1000.0)  # under e the axial load does not count
    load = bearings.equivalent_load.si(1000.0, 600.0, static=MODERN)
    assert load.axial_counts
    # by hand: f0 Fa/C0 = 1.0624; Y = 1.55 - 0.10 * (1.0624 - 1.03) / 0.35 = 1.5407; 560 + 924.4
    assert load.load == pytest.approx(1484.4, abs=0.1)
    assert load.load != pytest.approx(1600, rel=0.05)


def test_equivalent_load_is_never_below_the_radial_load_and_grows_with_the_axial():
    # just past e the rule alone gives a little less than the radial load: 0.56 + 2.30 * 0.19 = 0.997
    just = bearings.equivalent_load.si(508.0, 97.0, static=MODERN)
    assert just.axial_counts and just.load == pytest.approx(508.0)
    axial = np.linspace(0, 4000, 200)
    load = bearings.equivalent_load.si(1000.0, axial, static=MODERN)
    assert np.all(load.load >= 1000.0)
    assert np.all(np.diff(load.load) >= -25)  # the standard's own table is not smooth at e
    assert np.all(bearings.equivalent_load.si(1000.0, -axial, static=MODERN).load == load.load)


def test_beyond_the_axial_table_is_flagged_and_not_before():
    edge = 6.89 * MODERN.value / MODERN.f0
    assert not bearings.equivalent_load.si(1000, edge * 0.999, static=MODERN).beyond_table
    beyond = bearings.equivalent_load.si(1000, edge * 1.001, static=MODERN)
    assert beyond.beyond_table and beyond.y == pytest.approx(1.00)


def test_needed_rating_undoes_the_life():
    needed = bearings.needed_rating.si(1200.0, 90.0, 500 * 3600, shock=1.5, a1=0.64, a_iso=0.4)
    life = bearings.life.si(needed, 1200.0, 90.0, shock=1.5)
    assert life.hours * 0.64 * 0.4 == pytest.approx(500)


def test_the_table_holds_the_exponents_of_the_standard():
    """ISO 281: slope of the lives of ball bearings 10/9; two side by side as one unit, clause 5.1.2.3."""
    facts = table("bearing_facts")
    assert facts.one(item="system exponent")["likely"] == pytest.approx(10 / 9)
    assert facts.one(item="pair factor on C")["likely"] == pytest.approx(2**0.7)


def test_reliability_of_both_editions():
    assert limits.reliability_factor(95) == 0.64
    assert limits.reliability_factor(95, edition="1990") == 0.62
    assert limits.reliability_factor(90) == 1.0
    for percent, edition in ((89.9, "2007"), (99.5, "1990")):
        with pytest.raises(ValueError, match="outside the table"):
            limits.reliability_factor(percent, edition=edition)
    with pytest.raises(ValueError, match="edition"):
        limits.reliability_factor(95, edition="2010")


def test_older_reliability_is_a_weibull_curve_of_slope_three_halves():
    for percent in (95, 96, 97, 98, 99):
        curve = (math.log(100 / percent) / math.log(100 / 90)) ** (1 / 1.5)
        assert limits.reliability_factor(percent, edition="1990") == pytest.approx(curve, abs=0.0055)


def test_static_safety():
    assert limits.static_safety.si(1000.0, 0.0, 8000.0) == pytest.approx(8)
    # 0.6 * 1000 + 0.5 * 2000 = 1600
    assert limits.static_safety.si(1000.0, 2000.0, 8000.0) == pytest.approx(5)
    with pytest.raises(ValueError):
        limits.static_safety.si(0.0, 0.0, 8000.0)


def test_axial_limit_is_lower_for_light_series_and_small_bores():
    assert limits.axial_limit.si(10000.0, 0.030, "62") == pytest.approx(5000)
    assert limits.axial_limit.si(10000.0, 0.030, "618") == pytest.approx(2500)
    assert limits.axial_limit.si(10000.0, 0.012, "62") == pytest.approx(2500)
    assert limits.axial_limit.si(10000.0, 0.0121, "62") == pytest.approx(5000)


def test_speed_limit_agrees_with_the_tabulated_limits():
    sizes = {row["designation"]: row for row in table("bearings")}
    for row in table("bearing_ratings"):
        size = sizes[row["designation"]]
        for closure, column in (("open", "speed_open_rpm"), ("shielded", "speed_capped_rpm")):
            speed = limits.speed_limit.si(size["bore_mm"] / 1e3, size["od_mm"] / 1e3, closure, series=size["series"])
            # the table is rounded to hundreds
            assert speed / RPM == pytest.approx(row[column], abs=51), row["designation"]
    assert limits.speed_limit.si(0.025, 0.062, "sealed") == pytest.approx(
        0.8 * limits.speed_limit.si(0.025, 0.062, "shielded")
    )
    with pytest.raises(ValueError, match="closure"):
        limits.speed_limit.si(0.025, 0.062, "muddy")


def test_lubrication_factor_rises_with_cleanliness_and_flags_its_limits():
    def factor(clean, viscosity=50e-6):
        return limits.lubrication_si(100.0, 0.03, 0.062, viscosity, 1000.0, 11300.0, cleanliness=clean)

    assert factor(0.05).a_iso < factor(0.3).a_iso < factor(0.7).a_iso <= 50
    # by hand: 954.9 r/min, mean 46 mm: 45000 * 954.9^-0.83 * 46^-0.5 = 22.3 mm2/s
    assert factor(0.3).needed_viscosity == pytest.approx(22.3e-6, rel=0.002)
    assert not factor(0.3).flags
    assert any("held at 4" in f for f in factor(0.3, 200e-6).flags)
    assert any("surfaces touch" in f for f in factor(0.3, 1e-6).flags)
    with pytest.raises(ValueError):
        factor(1.2)


def test_least_load_is_a_hundredth_of_c():
    assert limits.least_load.si(25500.0) == pytest.approx(255.0)


def test_ratings_take_the_lowest_source_and_say_so():
    row = table("bearing_ratings").one(designation="6207")
    found = bearings.ratings.si("6207")
    assert found.dynamic == 25500 and found.static.generation == "modern"
    assert found.dynamic <= min(row["standard_c_n"], row["textbook_c_n"])
    assert "maker" in found.words and found.cite
    assert found.lowest <= found.highest


def test_every_rating_is_the_lowest_of_its_sources():
    for row in table("bearing_ratings"):
        for column in ("standard_c_n", "textbook_c_n", "catalogue_c_max_n"):
            assert row[column] is None or row["c_n"] <= row[column]


def test_an_inch_bore_and_an_insert_take_the_rating_of_the_body():
    for name, body in (("6207-22", "6207"), ("UC206", "6206")):
        found = bearings.ratings.si(name)
        assert found.dynamic == bearings.ratings.si(body).dynamic
        assert body in found.words
    with pytest.raises(ValueError, match="maker"):
        bearings.ratings.si("R12")


@pytest.mark.parametrize(
    "call",
    [
        lambda: bearings.life.si(0.0, 100.0, 10.0),
        lambda: bearings.life.si(100.0, 100.0, 10.0, shock=0.5),
        lambda: bearings.equivalent_load.si(1.0, 1.0, static=StaticRating(0, "older")),
        lambda: bearings.needed_rating.si(1.0, 1.0, 1.0, a1=0),
        lambda: limits.axial_limit.si(0.0, 0.03, "62"),
        lambda: limits.least_load.si(0.0),
    ],
)
def test_nonsense_is_refused_with_a_reason(call):
    with pytest.raises(ValueError):
        call()


@pytest.mark.parametrize(
    ("work", "rest", "peak", "other", "passes"),
    [
        (-1262, -1262, -1300, -1200, False),  # always the other way and never under the least of 195 N
        (-1262, -1262, 20, -1200, True),  # turns round at the peak
        (-1262, -1262, -1300, 400, True),  # turns round in another case
        (-1262, -150, -1300, -1200, True),  # falls below the least at rest
        (1262, 1262, 1300, 1200, False),
    ],
)
def test_a_load_that_passes_through_nothing(work, rest, peak, other, passes):
    force = np.array([[0.0, f] for f in (work, rest, peak)])
    carried = Carried(force, True, more={"overrun": np.array([0.0, other])})
    assert carried.passes_nothing(195.0) == passes

"""The shelf of formulas: complete, named once, and each that a notebook calls pinned by a call of either kind.

Expected values are worked by hand beside each call, in the units of the text.
"""

import importlib
import inspect
import math
import pkgutil

import jackshaft.mechanics
import pytest
from jackshaft import formulas as f
from jackshaft.mechanics.bearing_sizes import catalogue
from jackshaft.units import NotKnown, OutOfRange, UnitsRequired, UnitTextError


def public():
    for info in pkgutil.iter_modules(jackshaft.mechanics.__path__):
        module = importlib.import_module(f"jackshaft.mechanics.{info.name}")
        for name, thing in vars(module).items():
            if inspect.isfunction(thing) and hasattr(thing, "si") and thing.__module__ == module.__name__:
                yield info.name, name, thing


def test_the_shelf_holds_every_unit_checked_function_once():
    there = [getattr(f, n) for n in f.__all__]
    assert len(there) > 80 and len({id(t) for t in there}) == len(there)
    missing = [(m, n) for m, n, t in public() if not any(t is x for x in there)]
    assert missing == []


def test_its_table_names_what_it_holds_and_nothing_else():
    held = [n for n, thing in vars(f).items() if inspect.isfunction(thing)]
    assert sorted(held) == sorted(f.__all__) and len(set(f.__all__)) == len(f.__all__)


def number(q, unit):
    return q.to(unit).magnitude


RING = {"inner_diameter": "100 mm", "outer_diameter": "200 mm"}

#: call, what it gives, worked by hand: (as keywords, with defaults) for each formula that a notebook calls
CALLS = [
    # 3.82 times ft/min over inches, as handbooks print it, from memory; here to five digits: 12 / pi
    (lambda: number(f.spindle_speed("100 ft/min", diameter="1 in"), "rpm"), 381.97),
    # U = 9549 G m / n in g mm, ISO 21940-11: 2 kg at 3600 rpm, G 6.3, half of the diameter to the rim
    (
        lambda: number(f.unbalance_allowed("2 kg", speed="3600 rpm", diameter="200 mm", grade="6.3 mm/s"), "g"),
        9549 * 6.3 * 2 / 3600 / 100,
    ),
    # 26 mm and the millimetre that turning takes; 1 in and the same
    (lambda: number(f.bar_for("26 mm", system="metric"), "mm"), 28.0),
    (lambda: number(f.bar_for("1 in", system="inch"), "in"), 1.125),
    (lambda: f.belt_ratio(driver="4 in", driven="8 in", creep="1 %"), 0.99 * 4 / 8),
    (lambda: f.belt_ratio("4 in", driven="8 in"), 0.5),
    (lambda: f.tooth_ratio(driver=13, driven=40), 13 / 40),
    (lambda: f.tooth_ratio(13, driven=39), 1 / 3),
    (lambda: number(f.torque_from_power(power="1 kW", speed="1000 rpm"), "N*m"), 1000 / (2 * math.pi * 1000 / 60)),
    (lambda: number(f.torque_from_power("5252.113 hp", speed="1 rpm"), "lbf*ft"), 5252.113**2),
    (lambda: number(f.tip_speed(diameter="100 mm", rotation="600 rpm"), "m/s"), math.pi),
    (lambda: number(f.tip_speed("12 in", rotation="1 rpm"), "ft/min"), math.pi),
    (
        lambda: number(
            f.belt_path(x=["0 in", "20 in"], y=["0 in", "0 in"], diameter=["4 in", "4 in"], inside=[True, True]).length,
            "in",
        ),
        40 + 4 * math.pi,
    ),
    (
        lambda: f.belt_path(["0 in", "20 in"], ["0 in", "0 in"], ["4 in", "4 in"], [True, True], True)
        .wrap.to("degree")
        .magnitude[1],
        180.0,
    ),
    (lambda: number(f.centrifugal(speed="10 m/s", linear_density="0.2 kg/m"), "N"), 20.0),
    (lambda: number(f.centrifugal("20 m/s", linear_density="0.2 kg/m"), "N"), 80.0),
    (
        lambda: number(f.deflection_force(tension="160 N", span="1 m", stiffness="0 N", share=0.01).force, "N"),
        4 * 160 * 0.01 / math.hypot(1, 0.02),
    ),
    (lambda: number(f.deflection_force("160 N", span="64 in").distance, "in"), 1.0),
    (lambda: number(f.span_frequency(tension="40 N", span="0.5 m", linear_density="0.1 kg/m"), "Hz"), 20.0),
    (lambda: number(f.span_frequency("160 N", span="0.5 m", linear_density="0.1 kg/m"), "Hz"), 40.0),
    (lambda: number(f.hot_resistance(resistance="2 ohm", temperature="120 °C", at="20 °C"), "ohm"), 2 * 1.393),
    (lambda: number(f.hot_resistance("2 ohm", temperature="20 °C"), "ohm"), 2.0),
    (lambda: number(f.coil_current(voltage="12 V", resistance="3 ohm", series="1 ohm"), "A"), 3.0),
    (lambda: number(f.coil_current("12 V", resistance="3 ohm"), "A"), 4.0),
    # listed blade fuses: 5 A is short of 5 A over 0.8, 7.5 A is not
    (lambda: number(f.choose_fuse(load="5 A", ampacity="20 A", style="blade").rating, "A"), 7.5),
    (lambda: number(f.choose_fuse("5 A", ampacity="20 A").rating, "A"), 7.5),
    (
        lambda: number(f.run_down_inertia(speed="60 rpm", time="2 s", drag="3 N·m"), "kg*m**2"),
        3 * 2 / (2 * math.pi),
    ),
    (lambda: number(f.run_down_inertia("120 rpm", time="2 s", drag="3 N·m"), "kg*m**2"), 3 / (2 * math.pi)),
    (
        lambda: number(f.reflect_inertia(inertia="1 kg·m²", load_speed="500 rpm", clutch_speed="1000 rpm"), "kg*m**2"),
        0.25,
    ),
    (lambda: number(f.reflect_inertia("1 kg·m²", load_speed="1 rpm", clutch_speed="2 rpm"), "kg*m**2"), 0.25),
    # ten times the load: a thousand times a million turns, at a thousand turns a minute
    (
        lambda: number(f.bearing_life(dynamic="10 kN", load="500 N", speed="1000 rpm", shock=2).hours, "hour"),
        1e9 / 1000 / 60,
    ),
    (lambda: number(f.bearing_life("10 kN", "1 kN", "1000 rpm").hours, "hour"), 1e9 / 1000 / 60),
    # ISO 286-2: 40 j6 is +11 and -5 micrometres, 40 g6 is -9 and -25
    (lambda: number(f.fit_limits(nominal="40 mm", fit_class="j6").upper_deviation, "um"), 11.0),
    (lambda: number(f.fit_limits("40 mm", "g6").lower_deviation, "um"), -25.0),
    (
        lambda: number(
            f.key_capacity(
                shaft="40 mm", width="10 mm", height="8 mm", length="50 mm", key_yield="300 MPa", seat_yield="200 MPa"
            ).crushing,
            "N*m",
        ),
        200e6 * 0.004 * 0.05 * 0.02,
    ),
    (
        lambda: number(
            f.key_capacity("40 mm", "10 mm", "8 mm", "50 mm", key_yield="300 MPa").shear,
            "N*m",
        ),
        300e6 / math.sqrt(3) * 0.01 * 0.05 * 0.02,
    ),
    (lambda: number(f.duty(moment="10 N·m", torque="20 N·m", torque_ripple=0.5).torque_swing, "N*m"), 10.0),
    (lambda: number(f.duty("10 N·m", "20 N·m").moment_swing, "N*m"), 10.0),
    # Shigley: half the tensile strength, 1.24 (d mm)^-0.107 for size, k_a = 4.51 Sut^-0.265 for a machined face
    (
        lambda: number(
            f.endurance_limit(
                tensile="600 MPa", diameter="30 mm", finish="machined or cold-drawn", reliability=50
            ),
            "MPa",
        ),
        300 * 1.24 * 30**-0.107 * 4.51 * 600**-0.265,
    ),
    (
        lambda: number(f.endurance_limit("600 MPa", "30 mm"), "MPa"),
        300 * 1.24 * 30**-0.107 * 4.51 * 600**-0.265,
    ),
    # bending alone: the endurance limit over 32 M / (pi d^3), raised by 2
    (
        lambda: (
            f.strength(
                duty=f.duty("10 N·m", "0 N·m"),
                diameter="20 mm",
                endurance="200 MPa",
                tensile="600 MPa",
                yield_stress="400 MPa",
                raiser=(2.0, 1.0),
                bore="0 mm",
                method="goodman",
            ).fatigue
        ),
        200e6 / (2 * 32 * 10 / (math.pi * 0.02**3)),
    ),
    (
        lambda: (
            f.strength(
                f.duty("10 N·m", "0 N·m"), "20 mm", endurance="200 MPa", tensile="600 MPa", yield_stress="400 MPa"
            ).yielding
        ),
        400e6 / (32 * 10 / (math.pi * 0.02**3)),
    ),
    (
        lambda: number(
            f.shear_pin_torque(bolt="8 mm", radius="20 mm", shear_strength="300 MPa", planes=2), "N*m"
        ),
        2 * math.pi / 4 * 0.008**2 * 300e6 * 0.02,
    ),
    (
        lambda: number(f.shear_pin_torque("8 mm", "20 mm", "300 MPa"), "N*m"),
        math.pi / 4 * 0.008**2 * 300e6 * 0.02,
    ),
    (lambda: number(f.carried_over(torque="60 N·m", over=3, passed=0.5), "N*m"), 60 / 3 / 0.5),
    (lambda: number(f.carried_over("60 N·m", over=3), "N*m"), 20.0),
    # told by diameters: uniform wear has its friction radius in the middle of 50 and 100 mm
    (lambda: number(f.face_torque(force="1 kN", friction=0.2, **RING, faces=2, worn_in=True).torque, "N*m"), 30.0),
    (lambda: number(f.face_torque("1 kN", friction=0.2, **RING).radius, "mm"), 75.0),
    (lambda: number(f.disc_inertia(mass="2 kg", diameter="400 mm", bore="0 mm"), "kg*m**2"), 0.5 * 2 * 0.2**2),
    (lambda: number(f.rim_inertia("2 kg", diameter="400 mm"), "kg*m**2"), 2 * 0.2**2),
]


@pytest.mark.parametrize(("call", "wanted"), CALLS)
def test_a_call_gives_what_is_worked_by_hand(call, wanted):
    assert call() == pytest.approx(wanted, rel=1e-4)


def test_a_radius_by_its_old_name_is_refused_and_not_read_as_a_diameter():
    with pytest.raises(TypeError, match="inner"):
        f.face_torque("1 kN", friction=0.2, inner="50 mm", outer="100 mm")
    with pytest.raises(TypeError, match="diameter"):
        f.disc_inertia("2 kg", radius="200 mm")


# what a call hands out can be shown, and goes back in


def test_fields_are_quantities():
    key = f.key_for("40 mm", system="metric")
    assert number(key.width, "mm") == pytest.approx(12.0) and number(key.hub_depth, "mm") == pytest.approx(3.3)
    held = f.key_capacity("40 mm", key.width, key.height, "50 mm", key_yield="300 MPa")
    assert number(held.shear, "N*m") == pytest.approx(0.02 * 0.012 * 0.05 * 300e6 / math.sqrt(3), rel=1e-9)
    assert number(f.bearing_ratings("6208").dynamic, "kN") == pytest.approx(29.5)
    assert number(f.find_size("6208").od, "mm") == pytest.approx(80)
    assert all(number(s.bore, "mm") == pytest.approx(25) for s in f.choose_size(least_bore="25 mm", most_bore="25 mm"))
    size, ask = f.equivalents("6205")[0]
    assert number(size.bore, "mm") > 0 and isinstance(ask, str)
    assert [number(m.off, "mm") for m in f.near_misses("30 mm")] == pytest.approx([0.1625], abs=1e-6)
    assert number(f.clearance_left("40 mm", "CN", "0 mm")[1], "um") == pytest.approx(20.0)


def test_an_object_goes_back_in_with_its_units_and_not_without():
    ring = f.ring_limits("bore", bore="40 mm", od="80 mm", width="18 mm")
    given = {"bore": "40 mm", "width": "18 mm", "radial": "1 kN"}
    held = f.seat_interference("40.01 mm", "40.01 mm", ring, **given)
    assert number(held.most, "um") == pytest.approx(10 + 12)  # a ring of Normal class is up to 12 um small
    static = f.bearing_ratings("6208").static
    assert number(f.equivalent_load("1 kN", static=static).load, "kN") == pytest.approx(1.0)
    bare = f.duty.si(10.0, 0.0)
    with pytest.raises(UnitsRequired, match="moment_swing"):
        f.strength(bare, "20 mm", endurance="200 MPa", tensile="600 MPa", yield_stress="400 MPa")
    with pytest.raises(UnitTextError):
        f.strength(
            f.duty("10 N·m", "0 N·m")._replace(moment_swing=ring.lower),
            "20 mm",
            endurance="200 MPa",
            tensile="600 MPa",
            yield_stress="400 MPa",
        )


def test_what_is_looked_up_has_its_units():
    first = f.spline_profile(1)
    # ISO 500: type 1 is 1-3/8 in with six splines at 540 r/min
    assert number(first.nominal, "mm") == pytest.approx(34.9, abs=0.1)
    assert number(first.speed, "rpm") == pytest.approx(540)
    held = f.flank_torque("20 MPa", "50 mm", splines=first.splines, radius=first.radius, height=first.height)
    assert number(held, "N*m") > 0 and number(f.spline_pressure("fixed", "heat-treated").low, "MPa") > 0
    gap = f.fit_limits("35 mm", "H7").lower - f.fit_limits("35 mm", "g6").upper
    assert number(gap, "um") == pytest.approx(9)  # ISO 286-2, 35 H7/g6


def test_readings_go_into_the_identification_with_their_units():
    given = {name: f.bearing_reading(size) for name, size in (("bore", "1.575 in"), ("od", "3.149 in"))}
    found = f.identify_bearing(catalogue(), **given)
    assert number(found.candidates[0].size.bore, "mm") == pytest.approx(40)
    assert number(found.candidates[0].misses[0].off, "in") == pytest.approx(1.575 - 40 / 25.4, abs=1e-6)
    _, low, high = found.next.meanings[0]
    assert number(low, "mm") < number(high, "mm")


def test_what_is_not_known_is_handed_back_as_it_is():
    nothing = NotKnown("its driver is not known yet")
    assert f.belt_ratio(nothing, driven="8 in") is nothing
    assert f.bearing_life("10 kN", nothing, "1000 rpm").hours * 2.0 is nothing
    assert not nothing and repr(nothing) == f"{nothing:.3f}" == "its driver is not known yet"
    with pytest.raises(AttributeError):
        nothing._repr_html_  # noqa: B018
    with pytest.raises(OutOfRange):
        f.disc_inertia("0 kg", diameter="1 m")

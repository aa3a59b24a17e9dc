"""What is worked out without a plate or a mark, against hand workings in other units than the code's."""

import math

import pytest
from jackshaft import formulas as f
from jackshaft.units import OutOfRange


def band(found, unit):
    return [getattr(found, end).to(unit).magnitude for end in ("likely", "low", "high")]


def test_displacement_of_a_twin():
    # 3 in bore and 2.5 in stroke: 7.0686 in² by 2.5 in by two, 35.343 in³
    assert f.engine_displacement("3 in", stroke="2.5 in", cylinders=2).to("in**3").magnitude == pytest.approx(
        35.343, 1e-4
    )


@pytest.mark.parametrize(
    ("strokes", "fuel", "kw"),
    [
        # 30 working strokes a second of 0.1 L: 0.7 MPa is 70 J each, 2.1 kW
        (4, "petrol", (2.1, 1.65, 2.7)),
        (4, "diesel", (1.65, 1.35, 2.1)),
        # twice as many: 60 a second
        (2, "petrol", (1.98, 1.5, 2.7)),
    ],
)
def test_power_for_each_hundred_cubic_centimetres(strokes, fuel, kw):
    got = f.power_from_displacement("100 cm³", speed="3600 rpm", strokes=strokes, fuel=fuel)
    assert band(got, "kW") == pytest.approx(kw, rel=1e-9)


@pytest.mark.parametrize(
    ("cm3", "rated_kw", "fuel"),
    [
        # rated powers of common small engines at 3600 r/min, from memory
        (163, 3.6, "petrol"),
        (196, 4.1, "petrol"),
        (389, 8.7, "petrol"),
        (219, 3.5, "diesel"),
        (406, 6.8, "diesel"),
    ],
)
def test_engines_with_a_plate_lie_in_the_band(cm3, rated_kw, fuel):
    _, low, high = band(f.power_from_displacement(f"{cm3} cm³", speed="3600 rpm", fuel=fuel), "kW")
    assert low < rated_kw < high


def test_speed_by_counting():
    # 50 turns in 10 s are 300 a minute; 49.5 in 10.3 s and 50.5 in 9.7 s are the ends
    got = f.speed_counted(50, time="10 s")
    assert band(got, "rpm") == pytest.approx((300.0, 60 * 49.5 / 10.3, 60 * 50.5 / 9.7), rel=1e-9)


@pytest.mark.parametrize(
    ("cylinders", "strokes", "rpm"), [(1, 4, 3600.0), (2, 4, 1800.0), (1, 2, 1800.0), (4, 4, 900.0)]
)
def test_speed_by_sound(cylinders, strokes, rpm):
    # 30 firings a second: a single of four strokes fires every second turn
    got = f.speed_from_sound("30 Hz", cylinders=cylinders, strokes=strokes)
    assert band(got, "rpm") == pytest.approx((rpm, 0.97 * rpm, 1.03 * rpm), rel=1e-9)


def test_power_by_fuel():
    # 1 L/h of petrol is 745 g/h (720 to 775): over 380 (500 to 300) g/kWh, kW
    assert band(f.power_from_fuel("2 L", time="2 h"), "kW") == pytest.approx(
        (745 / 380, 720 / 500, 775 / 300), rel=1e-9
    )
    got = f.power_from_fuel("500 mL", time="30 min", fuel="diesel")
    assert band(got, "kW") == pytest.approx((835 / 270, 820 / 350, 845 / 230), rel=1e-9)


def test_power_by_a_brake():
    # 25 lbf on 1 ft at 2100 rpm: horsepower is torque by speed over 5252.113
    hp = 25 * 2100 / 5252.113
    got = band(f.power_from_brake("25 lbf", radius="12 in", speed="2100 rpm"), "hp")
    assert got == pytest.approx((hp, 0.9 * hp, 1.1 * hp), rel=1e-6)


def test_a_pulley_without_marks():
    # Machinery's Handbook: a B groove under 7 in is 0.637 in wide, its pitch line at the rim and 0.35 in over datum
    found = f.unmarked_pulley(f"{math.pi * 5.75} in", groove_width="0.64 in")
    b = next(g for g in found if g.sections.startswith("B") and g.system == "inch" and g.groove == "standard")
    assert [getattr(b, n).to("in").magnitude for n in ("outside", "reference", "pitch")] == pytest.approx(
        [5.75, 5.40, 5.75], abs=2e-4
    )
    assert b.apart.to("mm").magnitude == pytest.approx(2 / math.pi)
    assert [abs(g.off.magnitude) for g in found] == sorted(abs(g.off.magnitude) for g in found)
    # the string's own thickness: its middle runs half of it outside the rim all round
    thick = f.unmarked_pulley("1 m", groove_width="16 mm", string="2 mm")[0]
    assert thick.outside.to("mm").magnitude == pytest.approx(1000 / math.pi - 2)
    assert f.unmarked_pulley("1 m", groove_width="60 mm") == ()


@pytest.mark.parametrize(
    "call",
    [
        lambda: f.engine_displacement("0 mm", stroke="50 mm"),
        lambda: f.engine_displacement("70 mm", stroke="50 mm", cylinders=1.5),
        lambda: f.power_from_displacement("100 cm³", speed="3600 rpm", strokes=3),
        lambda: f.power_from_displacement("100 cm³", speed="3600 rpm", fuel="coal"),
        lambda: f.power_from_displacement("100 cm³", speed="3600 rpm", strokes=2, fuel="diesel"),
        lambda: f.speed_counted(0.5, time="10 s"),
        lambda: f.speed_counted(5, time="0.2 s"),
        lambda: f.power_from_brake("25 lbf", radius="12 in", speed="2100 rpm", share=1.0),
        lambda: f.unmarked_pulley("3 mm", groove_width="10 mm", string="2 mm"),
    ],
)
def test_what_cannot_be_is_refused(call):
    with pytest.raises(OutOfRange):
        call()

"""The reader of shop text: what it takes, what it refuses, and what it says."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jackshaft.units import KINDS, Measure, UnitTextError, read

IN, FT, LBF = 0.0254, 0.3048, 4.4482216152605
RPM = 2 * math.pi / 60

# text, kind, SI value worked from the definitions, not from the package
TAKEN = [
    ("1-3/8 in", "length", 1.375 * IN),
    ('1 3/8"', "length", 1.375 * IN),
    ("1-3/8in", "length", 1.375 * IN),
    ("1–3/8 in", "length", 1.375 * IN),
    ("1⅜ in", "length", 1.375 * IN),
    ("1 ⅜″", "length", 1.375 * IN),
    ("½ in", "length", 0.5 * IN),
    ("3⁄8 in", "length", 0.375 * IN),
    ("13/32 in", "length", 13 / 32 * IN),
    ("-1-3/8 in", "length", -1.375 * IN),
    ("4'6\"", "length", 54 * IN),
    ("4′6″", "length", 54 * IN),
    ("4’ 6”", "length", 54 * IN),
    ("4''", "length", 4 * IN),
    ("4'6", "length", 54 * IN),
    ("4'-6\"", "length", 54 * IN),
    ("4 ft 6 in", "length", 54 * IN),
    ("4 ft 6-1/2 in", "length", 54.5 * IN),
    ("4' 6½\"", "length", 54.5 * IN),
    ("-4'6\"", "length", -54 * IN),
    ("10 thou", "length", 0.010 * IN),
    ("10-thou", "length", 0.010 * IN),
    (".0005 in", "length", 0.0005 * IN),
    ("+0.002 in", "length", 0.002 * IN),
    ("-8.2 in", "length", -8.2 * IN),
    ("−8.2 in", "length", -8.2 * IN),
    ("– 8.2 in.", "length", -8.2 * IN),
    ("35 mm", "length", 0.035),
    ("35\u00a0mm", "length", 0.035),
    ("35\u202fmm", "length", 0.035),
    ("35MM", "length", 0.035),
    ("3.5cm", "length", 0.035),
    ("35. mm", "length", 0.035),
    ("12 µm", "length", 12e-6),
    ("1e3 mm", "length", 1.0),
    ("3600 rpm", "rotation", 3600 * RPM),
    ("3600 RPM", "rotation", 3600 * RPM),
    ("2600 r/min", "rotation", 2600 * RPM),
    ("540 1/min", "rotation", 540 * RPM),
    ("540 min⁻¹", "rotation", 540 * RPM),
    ("10 rev/s", "rotation", 20 * math.pi),
    ("3,600.5 rpm", "rotation", 3600.5 * RPM),
    ("12 345 rpm".replace(" ", "\u2009"), "rotation", 12345 * RPM),
    ("14 hp", "power", 14 * 745.69987158227022),
    ("1-1/2 HP", "power", 1.5 * 745.69987158227022),
    ("14 PS", "power", 14 * 735.49875),
    ("3 kW", "power", 3000.0),
    ("55 W", "power", 55.0),
    ("45 ft·lbf", "torque", 45 * FT * LBF),
    ("45 ft-lb", "torque", 45 * FT * LBF),
    ("45 ft.lbs.", "torque", 45 * FT * LBF),
    ("45 lb-ft", "torque", 45 * FT * LBF),
    ("45 foot-pounds", "torque", 45 * FT * LBF),
    ("45 lb-in", "torque", 45 * IN * LBF),
    ("45 in.-lb", "torque", 45 * IN * LBF),
    ("45 lbf*in", "torque", 45 * IN * LBF),
    ("60 N·m", "torque", 60.0),
    ("60 N⋅m", "torque", 60.0),
    ("60 N.m", "torque", 60.0),
    ("60 Nm", "torque", 60.0),
    ("6 kgf·m", "torque", 6 * 9.80665),
    ("40 ft·lbf", "energy", 40 * FT * LBF),
    ("107 kJ", "energy", 107e3),
    ("2995 ft/min", "surface speed", 2995 * FT / 60),
    ("50 ft/s", "surface speed", 50 * FT),
    ("13.6 m/s", "surface speed", 13.6),
    ("90 psi", "stress", 90 * LBF / IN**2),
    ("44.4 ksi", "stress", 44.4e3 * LBF / IN**2),
    ("370 MPa", "stress", 370e6),
    ("6 bar", "stress", 6e5),
    ("1.5 mm²", "wire", 1.5e-6),
    ("1.5 mm2", "wire", 1.5e-6),
    ("1.5 sq mm", "wire", 1.5e-6),
    ("1.5 mm^2", "area", 1.5e-6),
    ("2 in²", "area", 2 * IN**2),
    ("20 °C", "temperature", 293.15),
    ("20 ℃", "temperature", 293.15),
    ("20 C", "temperature", 293.15),
    ("68 °F", "temperature", 293.15),
    ("-40°F", "temperature", 233.15),
    ("300 K", "temperature", 300.0),
    ("+80 K", "temperature rise", 80.0),
    ("80 °C", "temperature rise", 80.0),
    ("144 °F", "temperature rise", 80.0),
    ("2.9 Ω", "resistance", 2.9),
    ("2.9 Ω".replace("Ω", "\u2126"), "resistance", 2.9),
    ("2.9 ohm", "resistance", 2.9),
    ("50 mΩ", "resistance", 0.05),
    ("2 MΩ", "resistance", 2e6),
    ("12 V", "voltage", 12.0),
    ("12 V DC", "voltage", 12.0),
    ("4.5 A", "current", 4.5),
    ("350 mA", "current", 0.35),
    ("18 Ah", "charge", 18 * 3600.0),
    ("500 mAh", "charge", 1800.0),
    ("150 h", "time", 150 * 3600.0),
    ("1 h 30 min", "time", 5400.0),
    ("9 s", "time", 9.0),
    ("90 deg", "angle", math.pi / 2),
    ("20°", "angle", math.pi / 9),
    ("20°30'", "angle", math.radians(20.5)),
    ("1.2", "number", 1.2),
    ("1/3", "number", 1 / 3),
    ("55 %", "number", 0.55),
    ("55 per cent", "number", 0.55),
    ("11 lb", "mass", 11 * 0.45359237),
    ("2 lb 4 oz", "mass", 2.25 * 0.45359237),
    ("24 lbf", "force", 24 * LBF),
    ("12 lb/in", "spring rate", 12 * LBF / IN),
    ("2.1 N/mm", "spring rate", 2100.0),
    ("0.1 kg/m", "linear density", 0.1),
    ("0.5 lb/ft", "linear density", 0.5 * 0.45359237 / FT),
    ("12 lb·in²", "inertia", 12 * 0.45359237 * IN**2),
    ("0.5 kg·m^2", "inertia", 0.5),
    ("50 Hz", "frequency", 50.0),
    ("460 J/(kg·K)", "specific heat", 460.0),
    ("0.393 %/K", "temperature coefficient", 0.00393),
    ("5.4 W/ft", "linear power", 5.4 / FT),
    ("13.2 Ω/km", "linear resistance", 0.0132),
]


@pytest.mark.parametrize(("text", "kind", "si"), TAKEN)
def test_shop_text_is_read(text, kind, si):
    got = read(text, kind)
    assert isinstance(got, Measure)
    assert got.kind == kind
    assert got.si == pytest.approx(si, rel=1e-14)
    assert got.text == text.strip()
    again = read(got.text, kind)
    assert again.si == got.si


def test_every_example_reads_in_its_kind_and_both_systems():
    for name, kind in KINDS.items():
        for system in ("inch", "metric"):
            for text in kind.examples_for(system):
                assert math.isfinite(read(text, name, system=system).si), (name, text)


# American wire gauge diameters in inches as the standard prints them (ASTM B258, from memory)
@pytest.mark.parametrize(
    ("text", "diameter_in"),
    [
        ("12 AWG", 0.0808),
        ("AWG 12", 0.0808),
        ("12-gauge", 0.0808),
        ("#12", 0.0808),
        ("16 ga wire", 0.0508),
        ("20 awg", 0.0320),
        ("1/0 AWG", 0.3249),
        ("2/0 AWG", 0.3648),
        ("00 AWG", 0.3648),
        ("4/0 AWG", 0.4600),
        ("0000 AWG", 0.4600),
        ("36 AWG", 0.0050),
    ],
)
def test_wire_gauge_has_the_standard_diameter(text, diameter_in):
    got = read(text, "wire")
    assert math.sqrt(4 * got.si / math.pi) / IN == pytest.approx(diameter_in, abs=0.00005)
    assert got.text == text


def test_gauge_without_its_name_is_noted_as_awg():
    assert read("16 ga wire", "wire").note == "16 ga wire read as 16 AWG"
    assert read("16 AWG", "wire").note == ""


# ---- the traps of the units library alone


def test_mixed_number_is_not_its_fraction_alone():
    assert read("1 3/8 in", "length").si == pytest.approx(0.034925)


def test_decimal_comma_is_not_thousands_in_either_system():
    metric = read("25,4 mm", "length", system="metric")
    inch = read("25,4 mm", "length", system="inch")
    assert metric.si == inch.si == pytest.approx(0.0254)
    assert metric.note == ""
    assert "25.4" in inch.note and "comma" in inch.note


@pytest.mark.parametrize("system", ["inch", "metric"])
def test_three_digits_after_a_comma_are_refused_with_both_readings(system):
    with pytest.raises(UnitTextError) as fault:
        read("1,725 N", "force", system=system)
    assert "1725" in fault.value.why and "1.725" in fault.value.why


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1,234.5 N", 1234.5),
        ("1,234,567 N", 1234567.0),
        ("1.234,5 N", 1234.5),
        ("0,125 N", 0.125),
        (",5 N", 0.5),
        ("1725,125 N", 1725.125),
        ("1,7 N", 1.7),
        ("1,7250 N", 1.725),
    ],
)
@pytest.mark.parametrize("system", ["inch", "metric"])
def test_commas_that_leave_one_reading_are_taken(text, value, system):
    assert read(text, "force", system=system).si == pytest.approx(value)


@pytest.mark.parametrize("text", ["1,23,4 N", "1.2.3 N", "1,2.3 N", "12, N", "1.234.567 N", "1,2345,678 N"])
def test_commas_and_points_in_no_usual_order_are_refused(text):
    with pytest.raises(UnitTextError):
        read(text, "force")


def test_space_between_thousands_is_metric_only():
    got = read("1 725 r/min", "rotation", system="metric")
    assert got.si == pytest.approx(1725 * RPM)
    assert "1725" in got.note
    with pytest.raises(UnitTextError, match="1725"):
        read("1 725 rpm", "rotation")


def test_ps_is_metric_horsepower_and_says_so():
    got = read("20 PS", "power")
    assert got.si == pytest.approx(14709.975)
    assert "metric horsepower" in got.note


def test_pound_and_kilogram_in_a_force_field_are_forces_and_say_so():
    assert read("24 lb", "force").note == "lb read as pounds-force (lbf)"
    assert read("24 lb", "force").si == pytest.approx(24 * LBF)
    assert read("10 kg", "force").si == pytest.approx(98.0665)
    assert "kgf" in read("10 kg", "force").note
    assert "ozf" in read("8 oz", "force").note
    assert read("24 lbf", "force").note == ""
    assert read("24 lb", "mass").note == ""
    assert read("6 kg·m", "torque").si == pytest.approx(58.8399)
    assert "kgf" in read("6 kg·m", "torque").note


# ---- bare numbers


def test_bare_number_is_refused_without_a_label():
    with pytest.raises(UnitTextError, match="no unit"):
        read("1.375", "length")
    with pytest.raises(UnitTextError, match="no unit"):
        read(1.375, "length")


@pytest.mark.parametrize(
    ("text", "kind", "unit", "si", "kept"),
    [
        ("1-3/8", "length", "in", 1.375 * IN, "1-3/8 in"),
        (".0005", "length", "in", 0.0005 * IN, ".0005 in"),
        ("+0.002", "length", "in", 0.002 * IN, "+0.002 in"),
        ("13/32", "length", "in", 13 / 32 * IN, "13/32 in"),
        (35, "length", "mm", 0.035, "35.0 mm"),
        ("3600", "rotation", "rpm", 3600 * RPM, "3600 rpm"),
        ("16", "wire", "AWG", 1.3087e-6, "16 AWG"),
        ("1.5", "wire", "mm²", 1.5e-6, "1.5 mm²"),
        ("20", "temperature", "°C", 293.15, "20 °C"),
        ("55", "number", "%", 0.55, "55 %"),
    ],
)
def test_bare_number_takes_the_unit_of_its_label_and_echoes_it(text, kind, unit, si, kept):
    got = read(text, kind, unit=unit)
    assert got.si == pytest.approx(si, rel=1e-4 if kind == "wire" else 1e-12)
    assert f"taken in {unit}" in got.note
    assert got.text == kept
    assert read(got.text, kind).si == got.si


def test_a_typed_unit_wins_over_the_label():
    got = read("35 mm", "length", unit="in")
    assert got.si == 0.035
    assert got.note == ""


def test_a_fraction_under_a_millimetre_label_is_refused():
    with pytest.raises(UnitTextError, match="fraction in a field that is in mm"):
        read("1-3/8", "length", unit="mm")


def test_label_that_is_no_unit_of_the_kind_is_a_fault_of_the_program():
    with pytest.raises(ValueError, match="label"):
        read("3", "length", unit="rpm")
    with pytest.raises(ValueError, match="did you mean 'length'"):
        read("3 in", "lenght")
    with pytest.raises(ValueError, match="imperial"):
        read("3 in", "length", system="imperial")


# ---- what the formula must obey


@given(st.integers(0, 400), st.integers(1, 63))
def test_fraction_and_decimal_are_the_same_length(whole, top):
    text = f"{whole}-{top}/64 in" if whole else f"{top}/64 in"
    assert read(text, "length").si == pytest.approx((whole + top / 64) * 0.0254, rel=1e-14)


@given(st.floats(1e-4, 1e4))
def test_inch_and_metric_texts_of_one_value_agree(x):
    pairs = [
        ("length", "in", "mm", 25.4),
        ("length", "thou", "μm", 25.4),
        ("force", "lbf", "N", LBF),
        ("torque", "lbf·ft", "N·m", LBF * FT),
        ("stress", "psi", "kPa", LBF / IN**2 / 1000),
        ("surface speed", "ft/min", "m/min", FT),
        ("mass", "lb", "g", 453.59237),
    ]
    for kind, inch, metric, factor in pairs:
        a, b = read(f"{x!r} {inch}", kind).si, read(f"{x * factor!r} {metric}", kind).si
        assert a == pytest.approx(b, rel=1e-12)


@given(st.text(alphabet="0123456789.,/-+'\"±()  inmftlbNrpe°%²Ωμ", max_size=24), st.sampled_from(sorted(KINDS)))
def test_any_text_is_read_finite_or_refused_with_a_reason(text, kind):
    try:
        got = read(text, kind)
    except UnitTextError as fault:
        assert fault.why
    else:
        assert math.isfinite(got.si)
        assert read(got.text, kind).si == got.si

"""Quantities as text: for the eye, for the file, and near sizes."""

import math
import re
import timeit

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jackshaft.units import (
    KINDS,
    awg_area,
    both,
    fraction,
    measure,
    near_inch_metric,
    read,
    show,
    write,
)

IN, LBF, FT = 0.0254, 4.4482216152605, 0.3048
RPM = 2 * math.pi / 60

SHOWN = [
    (1.375 * IN, "length", "inch", "1.3750 in"),
    (1.375 * IN, "length", "metric", "34.925 mm"),
    (16.0 * IN, "length", "inch", "16.000 in"),
    (85.69 * IN, "length", "inch", "85.69 in"),
    (1.8714, "length", "metric", "1871 mm"),
    (0.5638, "length", "metric", "563.8 mm"),
    (-8.2 * IN, "length", "inch", "-8.200 in"),
    (-1e-12, "length", "inch", "0.0000 in"),
    (231.0377 * RPM, "rotation", "inch", "231 rpm"),
    (82.54 * RPM, "rotation", "metric", "82.5 rpm"),
    (23.96 * RPM, "rotation", "inch", "24.0 rpm"),
    (12345 * RPM, "rotation", "inch", "12345 rpm"),
    (2995 * FT / 60, "surface speed", "inch", "2995 ft/min"),
    (13.61, "surface speed", "metric", "13.6 m/s"),
    (30.9 * LBF, "force", "inch", "30.9 lbf"),
    (25.5e3, "force", "metric", "25.5 kN"),
    (286.0, "force", "metric", "286 N"),
    (5.66 * LBF * FT, "torque", "inch", "5.66 lbf·ft"),
    (297.0, "torque", "metric", "297 N·m"),
    (107e3, "energy", "metric", "107 kJ"),
    (2.8 * 745.69987158227022, "power", "inch", "2.80 hp"),
    (3000.0, "power", "metric", "3.00 kW"),
    (55.6, "power", "inch", "55.6 W"),
    (4.634, "current", "inch", "4.63 A"),
    (13.434, "voltage", "inch", "13.43 V"),
    (0.34, "voltage", "metric", "0.340 V"),
    (2.9, "resistance", "inch", "2.90 Ω"),
    (0.05, "resistance", "inch", "50.0 mΩ"),
    (math.radians(127.04), "angle", "inch", "127.0°"),
    (44.4e3 * LBF / IN**2, "stress", "inch", "44.4 ksi"),
    (56e6, "stress", "metric", "56.0 MPa"),
    (34123 * 3600.0, "time", "inch", "34120 h"),
    (9.6, "time", "metric", "9.6 s"),
    (293.15, "temperature", "inch", "68.0 °F"),
    (293.15, "temperature", "metric", "20.0 °C"),
    (80.0, "temperature rise", "metric", "80.0 K"),
    (awg_area(12), "wire", "inch", "12 AWG"),
    (awg_area(12), "wire", "metric", "3.31 mm²"),
    (awg_area(-1), "wire", "inch", "2/0 AWG"),
    (1.5e-6, "wire", "inch", "1.50 mm²"),
    (64800.0, "charge", "inch", "18.0 A·h"),
    (0.95, "number", "inch", "0.95"),
    (3.80952, "number", "inch", "3.81"),
    (math.inf, "time", "inch", "without limit"),
    (math.nan, "time", "inch", "no value"),
]


@pytest.mark.parametrize(("si", "kind", "system", "text"), SHOWN)
def test_show(si, kind, system, text):
    assert show(si, kind, system) == text


@pytest.mark.parametrize(
    ("si", "text"),
    [
        (1.375 * IN, "1-3/8 in (1.375 in)"),
        (16 * IN, "16 in"),
        (13 / 32 * IN, "13/32 in (0.40625 in)"),
        (0.035, "1-3/8 in (1.3780 in; the fraction is 0.0030 in under)"),
        (0.4, "15-3/4 in (15.7480 in; the fraction is 0.0020 in over)"),
        (-0.035, "-1-3/8 in (-1.3780 in; the fraction is 0.0030 in over)"),
        (0.005 * IN, "0 in (0.0050 in; the fraction is 0.0050 in under)"),
    ],
)
def test_a_tape_shows_fraction_decimal_and_error(si, text):
    assert show(si, "length", "inch", by="tape") == text


def test_other_instruments():
    assert show(0.035, "length", "metric", by="tape") == "35.0 mm"
    assert show(2.95 * 2.54e-5, "length", "inch", by="thou") == "2.95 thou"
    assert show(75e-6, "length", "metric", by="thou") == "75.0 μm"
    assert show(16 * IN, "length", "inch", by="micrometer") == "16.0000 in"
    assert show(300.0, "power", "inch", by="electric") == "300 W"
    assert show(0.55, "number", "inch", by="percent") == "55.0 %"
    assert show(0.034925, "length", "inch", digits=3) == "1.38 in"
    assert show(4.6341, "current", "inch", digits=2) == "4.6 A"


def test_what_cannot_be_shown_is_refused():
    with pytest.raises(ValueError, match="ruler"):
        show(1.0, "length", "inch", by="ruler")
    with pytest.raises(ValueError, match="tape"):
        show(1.0, "force", "inch", by="tape")
    with pytest.raises(ValueError, match="torque"):
        show(1.0, "torqe", "inch")
    for kind in ("force", "length"):
        with pytest.raises(ValueError, match="inch"):
            show(1.0, kind, "imperial")


def test_both_shows_the_other_system_in_an_inch_build_only():
    assert both(1.375 * IN, "length", "inch") == "1.3750 in (34.925 mm)"
    assert both(1.375 * IN, "length", "metric") == "34.925 mm"
    assert both(1.375 * IN, "length", "inch", by="tape") == "1-3/8 in (1.375 in, 34.9 mm)"
    assert both(4.63, "current", "inch") == "4.63 A"
    assert both(3600 * RPM, "rotation", "inch") == "3600 rpm"


INCHES = re.compile(r"\b(in|inch|ft|thou|lb|lbf|oz|hp|psi|ksi|AWG|Btu)\b|°F|[\"']")
MAGNITUDES = [0.0] + [s * m * 10.0**e for s in (1, -1) for m in (1.0, 4.7) for e in range(-9, 9)]


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_no_inch_unit_ever_shows_in_a_metric_build(kind):
    for si in MAGNITUDES:
        for text in (
            show(si, kind, "metric"),
            both(si, kind, "metric"),
            write(si, kind, "metric"),
            *KINDS[kind].examples_for("metric"),
        ):
            assert not INCHES.search(text), text
    for by in ("tape", "thou", "micrometer"):
        assert not INCHES.search(both(0.0123, "length", "metric", by=by))


@pytest.mark.parametrize("kind", sorted(KINDS))
@pytest.mark.parametrize("system", ["inch", "metric"])
def test_what_is_shown_reads_back_within_its_digits(kind, system):
    for si in MAGNITUDES:
        if (kind == "temperature" and si < 1.0) or (kind == "wire" and si < 1e-7):
            continue
        text = show(si, kind, system)
        got = read(text, kind, system=system)
        number = re.match(r"-?[\d.]+", text)[0]
        # half a unit of the last digit shown; whole numbers of five digits and more are rounded to four
        places = len(number.partition(".")[2]) if "." in number else min(0, 4 - len(number.lstrip("-")))
        last = 10.0**-places
        scale = abs(read(f"1{text[len(number) :]}", kind).si - read(f"0{text[len(number) :]}", kind).si)
        assert abs(got.si - si) <= 0.5001 * last * scale + 1e-9 * scale, (text, si)


# ---- write and measure


@given(st.sampled_from(sorted(KINDS)), st.sampled_from(["inch", "metric"]), st.floats(1e-7, 1e8))
def test_what_is_written_reads_back(kind, system, si):
    text = write(si, kind, system)
    zero = 1e-7 if kind == "temperature" else 0.0
    assert read(text, kind, system=system).si == pytest.approx(si, rel=2e-9, abs=zero)
    assert "e" not in text.split(" ")[0]


@given(st.integers(1, 4000), st.sampled_from([16, 64, 100, 1000]))
def test_a_slider_value_is_kept_as_the_builder_would_type_it(n, parts):
    x = n / parts
    text = write(x * IN, "length", "inch")
    assert text == f"{x:.10f}".rstrip("0").rstrip(".") + " in"


@pytest.mark.parametrize(
    ("si", "kind", "system", "text"),
    [
        (1.375 * IN, "length", "inch", "1.375 in"),
        (0.035, "length", "metric", "35 mm"),
        (3600 * RPM, "rotation", "inch", "3600 rpm"),
        (293.15, "temperature", "inch", "68 °F"),
        (math.radians(20), "angle", "metric", "20°"),
        (500 * 3600.0, "time", "inch", "500 h"),
        (awg_area(16), "wire", "inch", "16 AWG"),
        (1.31e-6, "wire", "inch", "1.31 mm²"),
        (1.2, "number", "inch", "1.2"),
        (0.0, "length", "inch", "0 in"),
        (-0.0, "force", "inch", "0 lbf"),
        (1.27e-8, "length", "inch", "0.0000005 in"),
    ],
)
def test_write(si, kind, system, text):
    assert write(si, kind, system) == text


def test_write_refuses_what_is_not_finite():
    with pytest.raises(ValueError):
        write(math.nan, "length", "inch")
    with pytest.raises(ValueError):
        write(math.inf, "length", "metric")


def test_measure_makes_or_checks_its_text():
    got = measure(0.034925, "length", known="measured")
    assert (got.text, got.known, got.si) == ("1.375 in", "measured", 0.034925)
    assert measure(0.035, "length", system="metric").text == "35 mm"
    assert measure(0.034925, "length", text="1-3/8 in").text == "1-3/8 in"
    with pytest.raises(ValueError, match="1-3/4"):
        measure(0.034925, "length", text="1-3/4 in")


# ---- fractions and near sizes


@pytest.mark.parametrize(
    ("x", "denominator", "text"),
    [
        (1.375, 64, "1-3/8 in"),
        (0.297, 64, "19/64 in"),
        (2.0, 64, "2 in"),
        (0.297, 16, "5/16 in"),
        (0.999, 64, "1 in"),
        (-0.5, 8, "-1/2 in"),
        (0.0, 64, "0 in"),
    ],
)
def test_fraction(x, denominator, text):
    assert fraction(x * IN, denominator) == text


def test_fraction_needs_a_rule_divided_by_halving():
    for denominator in (0, 10, -8):
        with pytest.raises(ValueError):
            fraction(0.01, denominator)


@given(st.floats(-2.0, 2.0))
def test_fraction_is_never_off_by_more_than_half_a_division(si):
    assert abs(read(fraction(si), "length").si - si) <= IN / 128 * (1 + 1e-9)


@pytest.mark.parametrize(
    ("text", "inch", "metric"),
    [
        ("25 mm", "1 in", "25 mm"),
        ("1 in", "1 in", "25 mm"),
        ("35 mm", "1-3/8 in", "35 mm"),
        ("1-3/8 in", "1-3/8 in", "35 mm"),
        ("16 mm", "5/8 in", "16 mm"),
        ("5/8 in", "5/8 in", "16 mm"),
        ("1.181 in", "1-3/16 in", "30 mm"),
        ("3/8 in", "3/8 in", "10 mm"),
    ],
)
def test_sizes_that_calipers_take_for_one_another(text, inch, metric):
    within = 0.5e-3
    found = near_inch_metric(read(text, "length").si)
    names = [n.text for n in found]
    if text == "3/8 in":  # 10 mm is 0.475 mm away
        assert names == ["3/8 in", "10 mm"]
    assert inch in names and metric in names
    assert all(abs(n.off) <= within * 1.001 for n in found)
    assert [abs(n.off) for n in found] == sorted(abs(n.off) for n in found)
    for n in found:
        assert read(n.text, "length").si == pytest.approx(n.si)
        assert n.si - n.off == pytest.approx(read(text, "length").si)


def test_nothing_near_is_an_empty_list():
    assert near_inch_metric(0.3) == []
    assert near_inch_metric(-0.025) == []
    with pytest.raises(ValueError):
        near_inch_metric(math.nan)


def test_showing_is_quick():
    for si, kind in [(0.0349, "length"), (3.0, "torque"), (90.0, "rotation"), (1.3e-6, "wire")]:
        best = min(timeit.repeat(lambda s=si, k=kind: show(s, k, "inch"), number=500, repeat=5)) / 500
        assert best < 10e-6, f"{kind}: {best * 1e6:.1f} µs"

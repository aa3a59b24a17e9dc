"""The reader of shop text: what it refuses and why; tolerances, pairs, ranges, sanity."""

import re

import pytest
from jackshaft.units import KINDS, UnitTextError, read

IN = 0.0254

# (text, wanted kind, words that must stand in the message)
WRONG_KIND = [
    ("60 N·m", "energy", ["N·m is a torque", "wants an energy", "no energy"]),
    ("45 lb-ft", "energy", ["a torque", "an energy"]),
    ("107 kJ", "torque", ["an energy", "a torque"]),
    ("3600 rpm", "frequency", ["rpm is a rotational speed", "wants a frequency"]),
    ("60 Hz", "rotation", ["Hz is a frequency", "a rotational speed"]),
    ("3600 rpm", "surface speed", ["diameter"]),
    ("13 m/s", "rotation", ["a surface speed", "diameter"]),
    ("1.6 mm", "wire", ["a length", "area or its gauge"]),
    ("18 Ah", "current", ["a battery charge"]),
    ("24 lbf", "mass", ["a force"]),
    ("2 slug", "force", ["a mass"]),
    ("12 lb/in", "torque", ["force for each length"]),
    ("12 lb·in", "spring rate", ["force times length"]),
    ("4 mm²", "length", ["an area"]),
    ("14 hp", "torque", ["a power", "speed as well"]),
    ("12 %", "length", ["a plain number"]),
    ("5 m", "power", ["a length"]),
]


@pytest.mark.parametrize(("text", "kind", "words"), WRONG_KIND)
def test_wrong_kind_names_what_it_is_and_what_is_wanted(text, kind, words):
    with pytest.raises(UnitTextError) as fault:
        read(text, kind)
    for word in words:
        assert word in str(fault.value)
    assert fault.value.found == text
    assert fault.value.wanted == KINDS[kind].words
    for example in KINDS[kind].examples_for("inch"):
        assert example in str(fault.value)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "   ",
        "nan",
        "NaN mm",
        "inf",
        "inf mm",
        "-inf mm",
        "1/0",
        "1/0 in",
        "1-3/0 in",
        "in",
        "-",
        "?",
        "±",
        "none",
        "1e999 mm",
        "1e70 mm",
        "5²  mm",
        "abc",
        "1.375",
        "13/32",
        "1_000 mm",
        "35mm)",
        "5 mm mm",
        "35 mm approx",
        "2x 35 mm",
        "--5 mm",
        "5 xyz",
        "3/8-16",
        "M10",
        "1-9/8 in",
        "16 ga",
        "mm 35",
        "m" * 500 + "!",
        "3 " + "mm" * 40 + "!",
    ],
)
def test_what_is_no_length_is_refused(text):
    with pytest.raises(UnitTextError) as fault:
        read(text, "length")
    assert "a length" in str(fault.value)


@pytest.mark.parametrize("value", [None, True, ["1 in"], {"a": 1}, 1j])
def test_what_is_no_text_is_refused(value):
    with pytest.raises(UnitTextError):
        read(value, "length")


@pytest.mark.parametrize(
    ("text", "kind", "write"),
    [
        ("5 MA", "current", "mA"),
        ("5 M", "length", "m"),
        ("5 mpa", "stress", "MPa"),
        ("5 mw", "power", "mW"),
        ("80 k", "temperature rise", "K"),
    ],
)
def test_capitals_count_where_they_change_the_size(text, kind, write):
    with pytest.raises(UnitTextError, match=rf"write {write}\b"):
        read(text, kind)


def test_both_capitals_are_offered_where_both_exist():
    with pytest.raises(UnitTextError, match="mΩ or MΩ|MΩ or mΩ"):
        read("5 mω", "resistance")


def test_ton_and_sheet_gauge_and_thread_say_why():
    with pytest.raises(UnitTextError, match="short ton"):
        read("2 ton", "mass")
    with pytest.raises(UnitTextError, match="each metal"):
        read("16 ga", "length")
    with pytest.raises(UnitTextError, match="write 10 mm"):
        read("M10", "length")
    with pytest.raises(UnitTextError, match="no AWG size 41"):
        read("41 AWG", "wire")


# ---- tolerances, pairs, ranges


@pytest.mark.parametrize(
    ("text", "kind", "si", "spread"),
    [
        ("1.375 ± 0.002 in", "length", 1.375 * IN, 0.002 * IN),
        ("1.375 in ± 0.002", "length", 1.375 * IN, 0.002 * IN),
        ("35 mm ± 1 thou", "length", 0.035, 0.001 * IN),
        ("35 mm +/- 0.02 mm", "length", 0.035, 2e-5),
        ("4 ft 6 in ± 1/8", "length", 54 * IN, 0.125 * IN),
        ("2.9 Ω ± 10 %", "resistance", 2.9, 0.29),
        ("20 °C ± 5 °C", "temperature", 293.15, 5.0),
        ("68 °F ± 9 °F", "temperature", 293.15, 5.0),
        ("0.30 ± 0.05", "number", 0.30, 0.05),
    ],
)
def test_tolerance(text, kind, si, spread):
    got = read(text, kind)
    assert got.si == pytest.approx(si)
    assert got.plus_minus == pytest.approx(spread)
    again = read(got.text, kind)
    assert (again.si, again.plus_minus) == (got.si, got.plus_minus)


def test_a_tolerance_in_another_unit_than_the_label_is_refused():
    assert read("35 ± 0.02 mm", "length", unit="mm").plus_minus == pytest.approx(2e-5)
    assert read("35 ± 0.02", "length", unit="mm").text == "35 mm ± 0.02"
    with pytest.raises(UnitTextError, match="both units"):
        read("35 ± 0.02 mm", "length", unit="in")


@pytest.mark.parametrize(
    "text",
    [
        "35 mm ± ",
        "35 mm ± -1 mm",
        "35 mm ± 1 mm ± 2 mm",
        "35 mm ± 1 rpm",
        "35 ± 1",
        "1.375 +0.000/-0.002 in",
        "35 mm ± 1 mm x 2",
    ],
)
def test_tolerance_that_says_nothing_is_refused(text):
    with pytest.raises(UnitTextError):
        read(text, "length")


def test_percent_of_an_absolute_temperature_is_refused():
    with pytest.raises(UnitTextError):
        read("20 °C ± 5 %", "temperature")


@pytest.mark.parametrize(
    "text",
    [
        "0.012 in (0.30 mm)",
        "0.012 in / 0.30 mm",
        "0.012 in = 0.30 mm",
        "0.012 in, 0.30 mm",
        "0.012 in [0.30 mm]",
        "1-3/8 in (1.375 in)",
    ],
)
def test_pair_that_agrees_is_taken_at_its_first(text):
    got = read(text, "length")
    first = 0.012 * IN if text.startswith("0") else 1.375 * IN
    assert got.si == pytest.approx(first)
    assert "kept" in got.note


def test_pair_at_the_edge_of_its_rounding():
    assert read("0.30 mm (0.012 in)", "length").si == pytest.approx(0.0003)
    # 0.0120 in is 0.3048 mm: 0.0048 mm off, inside half of the last digit of 0.30; of 0.300 it is not
    with pytest.raises(UnitTextError):
        read("0.300 mm (0.0120 in)", "length")


def test_pair_that_disagrees_is_refused_with_both_values():
    with pytest.raises(UnitTextError) as fault:
        read("0.012 in (3.0 mm)", "length")
    assert "0.012 in" in fault.value.why and "3.0 mm" in fault.value.why and "0.1181 in" in fault.value.why
    assert "10 times" in fault.value.why


def test_lb_in_and_lb_ft_mixed_in_a_pair_is_named():
    with pytest.raises(UnitTextError, match="12 times apart"):
        read("60 lb-ft (6.8 N·m)", "torque")


def test_two_near_sizes_in_a_pair_pass_with_a_note_of_the_difference():
    assert "0.125 mm off" in read("5/8 in (16 mm)", "length").note
    with pytest.raises(UnitTextError):
        read("5/8 in (16.0 mm)", "length")


def test_wire_pair_gauge_against_area():
    assert read("16 AWG (1.31 mm²)", "wire").si == pytest.approx(1.309e-6, rel=1e-3)
    with pytest.raises(UnitTextError):
        read("16 AWG (1.5 mm²)", "wire")


@pytest.mark.parametrize(
    "text",
    [
        "0.012–0.015 in",
        "0.012-0.015 in",
        "0.012–0.015 in (2.5–4 mm)",
        "1/4-3/8 in",
        "1 - 2 in",
        "2.5 mm – 4 mm",
        "2..3 mm",
    ],
)
def test_range_is_refused_and_says_so(text):
    with pytest.raises(UnitTextError, match="range|two numbers"):
        read(text, "length")


@pytest.mark.parametrize(
    "text", ["1'725", "4'13\"", "4.5 ft 3 in", "4 in 3 ft", "1 in 2 in", "4 ft +3 in", "1 3/8 3 in"]
)
def test_feet_and_inches_that_do_not_run_down_are_refused(text):
    with pytest.raises(UnitTextError):
        read(text, "length")


# ---- sanity


def test_feet_a_second_where_minutes_are_likely_is_noted():
    assert "ft/min meant" in read("3000 ft/s", "surface speed").note
    assert read("3000 ft/min", "surface speed").note == ""
    assert read("60 ft/s", "surface speed").note == ""


def test_below_absolute_zero_is_refused_and_a_cold_kelvin_noted():
    with pytest.raises(UnitTextError, match="absolute zero"):
        read("-300 °C", "temperature")
    assert read("-459.67 °F", "temperature").si == pytest.approx(0.0, abs=1e-9)
    assert "rise" in read("80 K", "temperature").note


def test_notes_and_refusals_of_a_metric_build_name_no_inch_unit():
    words = []
    for text, kind in [
        ("60 N·m", "energy"),
        ("3 J", "torque"),
        ("3 N", "mass"),
        ("3 t", "force"),
        ("3 xyz", "length"),
        ("3", "length"),
        ("3/4 mm", "length"),
        ("3 ton", "mass"),
        ("2 N/mm", "torque"),
        ("2 N·m", "spring rate"),
    ]:
        try:
            words.append(read(text, kind, system="metric").note)
        except UnitTextError as fault:
            words.append(str(fault))
    for text in words:
        assert not re.search(r"inch|\d in\b|lb|ft\b|hp|psi|ksi|°F|AWG", text), text

"""Values of the tables that were corrected, as their sources print them, in the units of the print."""

import math

import pytest
from jackshaft.tables import table

KSI, IN = 6.894757, 25.4


def cell(name, column, **where):
    return table(name).one(**where)[column]


PRINTED = [
    # a513-print: mandrel-drawn 1020 has 70 and 60 ksi, 1026 has 80 and 70
    ("materials", {"material": "ASTM A513 type 5 DOM 1020"}, "tensile_mpa", 70 * KSI),
    ("materials", {"material": "ASTM A513 type 5 DOM 1020"}, "yield_mpa", 60 * KSI),
    ("materials", {"material": "ASTM A513 type 5 DOM 1026"}, "tensile_mpa", 80 * KSI),
    ("materials", {"material": "ASTM A513 type 5 DOM 1026"}, "yield_mpa", 70 * KSI),
    ("materials", {"material": "E60xx weld metal"}, "yield_mpa", 330),  # aws-print
    # set-screw-charts: axial holding force
    ("setscrews", {"size": "1/4"}, "holding_low_lbf", 400),
    ("setscrews", {"size": "1/2"}, "holding_low_lbf", 1500),
    ("setscrews", {"size": "#10"}, "seating_low_lbf_in", 25),
    # pto-encyclopedia: type 4 has 22 teeth at 57.5 mm, so module 2.5
    ("splines", {"type": 4}, "nominal_mm", 57.5),
    ("splines", {"type": 4}, "pitch_diameter_mm", 22 * 2.5),
    # tension-meter-manual p. 22; belt-maintenance p. 5: 12.5 in
    ("belt_sections", {"section": "5V"}, "mass_kg_per_m", 0.186),
    ("belt_sections", {"section": "8V"}, "min_pulley_mm", 12.5 * IN),
    # wire-sheets, blade-print, nec-ambient
    ("wire", {"system": "mm2", "size": "0.35"}, "iso6722_max_ohm_per_km", 54.4),
    ("wire_types", {"type": "GPT"}, "insulation_c", 80),
    ("fuse_windows", {"style": "blade", "load_percent": 600}, "time_max_s", 0.15),
    ("wire_derating", {"cause": "engine space at 50 C", "insulation_c": 60}, "factor", 0.58),
    # belt-maintenance pp. 13, 22, 55
    ("belt_deflection_force", {"section": "D", "small_from_in": 12, "speed_from_rpm": 851}, "new_lbf", 31.3),
    ("belt_deflection_force", {"section": "D", "small_from_in": 18, "speed_from_rpm": 851}, "used_lbf", 25.6),
]


@pytest.mark.parametrize(("name", "where", "column", "printed"), PRINTED)
def test_a_corrected_value_is_the_printed_one(name, where, column, printed):
    assert cell(name, column, **where) == pytest.approx(printed, rel=2e-3)


def test_a_large_fuse_loses_with_warmth_what_its_sheet_prints():
    """blade-print, p. 3: 40 A at 20 °C are 34, 30 and 25 A at 65, 85 and 110 °C."""
    row = table("circuit_facts").one(part="fuse", item="rating loss with warmth, large blade")
    shares = [100 * (1 - amps / 40) / (celsius - 20) for amps, celsius in ((34, 65), (30, 85), (25, 110))]
    assert (row["low"], row["high"]) == pytest.approx((min(shares), max(shares)), abs=0.005)


@pytest.mark.parametrize(("grade", "hardness"), [("4.6", 220), ("5.8", 220), ("8.8", 320), ("10.9", 380)])
def test_the_strongest_bolt_of_a_class_follows_its_hardness(grade, hardness):
    """iso898-print prints the highest hardness; about 3.2 MPa for each HV (common practice, no source)."""
    for row in table("bolts").where(grade=grade):
        assert row["tensile_max_mpa"] == pytest.approx(3.2 * hardness, rel=0.01)


@pytest.mark.parametrize(("section", "like"), [("4L", "A;AX"), ("5L", "B;BX")])
def test_light_duty_grooves_are_as_wide_as_the_geometry_of_the_same_rod(section, like):
    """mh31, p. 2576: groove and rod of A and B; the width moves with the angle as the rod keeps its height."""
    rows = table("belt_grooves").where(sections=section, groove="standard").rows
    widths = [row["top_width_mm"] for row in rows]
    assert widths == sorted(widths) and len(set(widths)) == 4
    classical = table("belt_grooves").where(sections=like, groove="standard").rows[0]
    same = next(row for row in rows if row["angle_deg"] == classical["angle_deg"])
    assert same["rod_mm"] == classical["rod_mm"]
    assert same["top_width_mm"] == pytest.approx(classical["top_width_mm"], rel=0.002)


def test_preferred_numbers_are_those_of_the_r40_series():
    """ISO 3: the series R40 stands within 1.3 % of the fortieth roots of ten, and no two numbers share a root."""
    sizes = [r["size_mm"] for r in table("pulley_sizes") if r["system"] == "metric"]
    lengths = {}
    for row in table("belt_lengths"):
        if row["source"].startswith("iso3-preferred"):
            lengths.setdefault(row["section"], []).append(row["nominal_in"] or row["datum_mm"])
    for group in (sizes, *lengths.values()):
        roots = [round(40 * math.log10(size)) for size in group]
        assert len(set(roots)) == len(group)
        assert all(size == pytest.approx(10 ** (n / 40), rel=0.013) for size, n in zip(group, roots, strict=True))

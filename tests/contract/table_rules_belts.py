"""Closed forms, order and cross-checks of the belt tables."""

from __future__ import annotations

from math import cos, pi, radians, sin, tan

from table_rules import (
    among,
    at,
    banded,
    chained,
    close,
    grouped,
    inside,
    keyed,
    rising,
    rows_with,
    rule,
)

IN = 25.4
BIG = ["A", "B", "C", "D"]
TAN20 = tan(radians(20))


@rule
def sections(get):
    table = get("belt_sections")
    keyed(table, "section", "system")
    among(table, "system", "inch", "metric")
    among(table, "reference_line", "datum", "effective")
    families = ("classical", "classical cogged", "narrow", "light duty", "double-V", "V-ribbed")
    among(table, "family", *families)
    banded(table, "cord_depth_low_mm", "cord_depth_mm", "cord_depth_high_mm")
    for row in table:
        width, height = row["top_width_mm"] or row["rib_pitch_mm"], row["height_mm"]
        assert row["cord_depth_high_mm"] < height, f"{at(row)}: cord below the belt"
        if row["family"] == "double-V":
            area = (width - height / 2 * TAN20) * height
        elif row["family"] == "V-ribbed":
            area = width * height
        else:
            area = (width - height * TAN20) * height
        light = 850 if row["family"] == "V-ribbed" else 900
        inside(row, "mass_kg_per_m (as density)", row["mass_kg_per_m"] / area * 1e6, light, 1450)
        inside(row, "height_mm over width", height / width, 0.5, 2 if row["family"] == "V-ribbed" else 1.7)
        least = 4.5 if row["family"] == "V-ribbed" else 5
        inside(row, "min_pulley_mm over height", row["min_pulley_mm"] / height, least, 20)
        if row["reference_width_mm"] is not None:
            inside(row, "reference_width_mm over width", row["reference_width_mm"] / width, 0.8, 1)
        inside(row, "speed_max_m_per_s", row["speed_max_m_per_s"], 25, 50)
        assert row["angle_deg"] == 40
    for group in grouped(table, "family", "system"):
        rising(group, "height_mm", "mass_kg_per_m", "min_pulley_mm", "top_width_mm", "rib_pitch_mm")


@rule
def section_lengths_follow_the_height(get):
    for row in rows_with(get("belt_sections"), "datum_minus_inside_mm", "outside_minus_datum_mm"):
        sum_, ring = row["datum_minus_inside_mm"] + row["outside_minus_datum_mm"], 2 * pi * row["height_mm"]
        if row["system"] == "metric":
            close(row, "datum_minus_inside_mm + outside_minus_datum_mm", sum_, ring, off=1.0)
            by_width = (row["top_width_mm"] - row["reference_width_mm"]) / 2 / TAN20
            by_length = row["outside_minus_datum_mm"] / 2 / pi
            close(row, "reference_width_mm (as depth)", by_width, by_length, off=1.3)
        else:
            inside(row, "outside less inside length over 2 pi height", sum_ / ring, 1.0, 1.3)
    cogged = get("belt_sections").where(family="classical cogged")
    for row in cogged:
        plain = get("belt_sections").one(section=row["section"][0], system="inch")
        for column in ("datum_minus_inside_mm", "reference_width_mm", "pitch_minus_reference_mm"):
            assert row[column] == plain[column], f"{at(row)}, {column}: differs from the plain section"


@rule
def section_pitch_lines_agree_with_the_grooves(get):
    for row in get("belt_sections"):
        grooves = [
            g
            for g in rows_with(get("belt_grooves"), "outside_minus_reference_mm", "outside_minus_pitch_mm")
            if row["section"] in g["sections"].split(";") and g["groove"] == "standard"
        ]
        for groove in grooves:
            if row["system"] == groove["system"]:
                want = groove["outside_minus_reference_mm"] - groove["outside_minus_pitch_mm"]
                close(row, "pitch_minus_reference_mm", row["pitch_minus_reference_mm"], want, off=0.01)
    for row in rows_with(get("belt_sections"), "pitch_minus_reference_mm"):
        inside(row, "pitch_minus_reference_mm", row["pitch_minus_reference_mm"], -5, 16)


@rule
def grooves(get):
    table = get("belt_grooves")
    among(table, "groove", "standard", "deep", "A/B combination")
    among(table, "diameter_line", "datum", "effective", "outside")
    for group in grouped(table, "sections", "system", "groove", "standard"):
        chained(group, "over_mm", "to_mm")
        rising(group, "angle_deg", "top_width_mm", strict=False)
    known = {row["section"] for row in get("belt_sections")}
    for row in table:
        plain = {name if name in known else name.removesuffix("X") for name in row["sections"].split(";")}
        assert plain <= known, f"{at(row)}: unknown section"
        half = radians(row["angle_deg"] / 2)
        inside(row, "angle_deg", row["angle_deg"], 30, 42)
        inside(row, "angle_tol_deg", row["angle_tol_deg"], 0.2, 1)
        if row["reference_width_mm"] is not None and row["above_reference_mm"] is not None:
            top = row["reference_width_mm"] + 2 * row["above_reference_mm"] * tan(half)
            close(row, "top_width_mm", row["top_width_mm"], top, off=0.05)
            if row["system"] == "metric":
                doubled = 2 * row["above_reference_mm"]
                close(row, "outside_minus_reference_mm", row["outside_minus_reference_mm"], doubled, off=0.01)
        if row["below_reference_mm"] is not None:
            depth = row["above_reference_mm"] + row["below_reference_mm"]
            close(row, "depth_min_mm", row["depth_min_mm"], depth, off=0.1)
        if row["top_width_mm"] is not None:
            inside(row, "depth_min_mm over width", row["depth_min_mm"] / row["top_width_mm"], 0.65, 1.3)
        if row["standard"] == "ISO 9982":
            inside(row, "edge_mm over pitch", row["edge_mm"] / row["pitch_mm"], 0.5, 1.2)
        elif row["edge_mm"] is not None:
            inside(row, "edge_mm over pitch", row["edge_mm"] / row["pitch_mm"], 0.55, 0.9)
            inside(row, "edge_minus_mm", row["edge_minus_mm"], 0.7, 2.5)
            inside(row, "edge_plus_mm", row["edge_plus_mm"], 0.7, 7)
        if row["pitch_mm"] is not None and row["top_width_mm"] is not None:
            inside(row, "pitch_mm over width", row["pitch_mm"] / row["top_width_mm"], 1.08, 1.3)
        if row["pitch_plus_mm"] is not None:
            inside(row, "pitch_plus_mm", row["pitch_plus_mm"], 0.02, 0.8)
            assert row["pitch_minus_mm"] == row["pitch_plus_mm"], f"{at(row)}: pitch tolerance"
        if row["top_width_tol_mm"] is not None:
            inside(row, "top_width_tol_mm", row["top_width_tol_mm"], 0.1, 0.25)
    for row in table.where(standard="ISO 9982"):
        section = get("belt_sections").one(section=row["sections"])
        assert row["pitch_mm"] == section["rib_pitch_mm"], f"{at(row)}: pitch is not that of the rib"


@rule
def groove_rods(get):
    """A rod in the groove, widest groove: height above the outside diameter as printed."""
    for row in rows_with(get("belt_grooves"), "rod_mm", "rod_above_outside_mm", "top_width_tol_mm"):
        half = radians(row["angle_deg"] / 2)
        top = row["top_width_mm"] + row["top_width_tol_mm"]
        height = (row["rod_mm"] * (1 + 1 / sin(half)) - top / tan(half)) / 2
        # The printed heights of the D groove were rounded further from the form than the others.
        off = 0.1 if row["rod_mm"] < 28 else 0.12
        close(row, "rod_above_outside_mm", row["rod_above_outside_mm"], height, off=off)
    for row in rows_with(get("belt_grooves"), "rod_mm"):
        touch = row["rod_mm"] * cos(radians(row["angle_deg"] / 2))
        inside(row, "rod_mm over width", touch / row["top_width_mm"], 0.73, 1.0)


@rule
def groove_diameters_of_two_lines(get):
    """Standard inch grooves: outside, datum and pitch lines keep their order."""
    for row in rows_with(get("belt_grooves"), "outside_minus_reference_mm"):
        assert row["outside_minus_reference_mm"] >= (row["outside_minus_pitch_mm"] or 0) - 1e-9, at(row)
        if row["system"] == "inch" and row["above_reference_mm"] is not None and row["groove"] == "standard":
            doubled = 2 * row["above_reference_mm"]
            close(row, "outside_minus_reference_mm", row["outside_minus_reference_mm"], doubled, off=0.1)
        if row["groove"] == "A/B combination":
            ride = row["outside_minus_reference_mm"] - row["outside_minus_pitch_mm"]
            want = 6.35 if row["sections"] == "A" else 8.89
            close(row, "outside_minus_reference_mm", ride, want, off=0.6)


def _marked(get, section, number):
    return get("belt_markings").covering(number, "over_number", "to_number", section=section).rows


@rule
def lengths(get):
    table = get("belt_lengths")
    keyed(table, "designation")
    for group in grouped(table, "section", "system"):
        rising(group, "inside_mm", "datum_mm", "pitch_mm", "effective_mm", "outside_mm", "nominal_in")
    for row in table:
        section = get("belt_sections").one(section=row["section"], system=row["system"])
        number = float(row["designation"].replace(" ", "")[len(row["section"]) :])
        if section["family"] == "V-ribbed":
            # The same belt in tenths of an inch, as the note has it, is a whole number of them.
            assert number == row["effective_mm"], at(row)
            code = float(row["note"].split()[1]) * 2.54
            close(row, "effective_mm", row["effective_mm"], code, off=13)
            continue
        if row["system"] == "metric" and row["standard"] == "ISO 4184 classical":
            assert number == row["datum_mm"], at(row)
        else:
            (mark,) = _marked(get, row["section"], number)
            length = number * mark["unit_mm"] + mark["add_mm"]
            close(row, mark["line"], row[mark["line"] + "_mm"], length, off=0.7)
        if row["nominal_in"] is not None and row["standard"] in ("ANSI/RMA IP-20", "ANSI/RMA IP-21"):
            assert number == row["nominal_in"], at(row)
            close(row, "inside_mm", row["inside_mm"], row["nominal_in"] * IN, off=0.06)
        elif row["nominal_in"] is not None:
            close(row, "nominal_in", row["nominal_in"], number / 10, off=1e-9)
        if row["datum_in"] is not None and row["datum_mm"] is not None:
            close(row, "datum_mm", row["datum_mm"], row["datum_in"] * IN, off=0.06)
        if row["pitch_mm"] is not None and row["system"] == "inch":
            longer = pi * section["pitch_minus_reference_mm"]
            close(row, "pitch_mm", row["pitch_mm"], row["datum_mm"] + longer, off=0.1)
        if row["system"] == "metric":
            inner = row["datum_mm"] - section["datum_minus_inside_mm"]
            outer = row["datum_mm"] + section["outside_minus_datum_mm"]
            close(row, "inside_mm", row["inside_mm"], inner, off=0.01)
            close(row, "outside_mm", row["outside_mm"], outer, off=0.01)
            assert row["pitch_mm"] in (None, row["datum_mm"]), at(row)
        if row["section"] in ("3L", "4L", "5L"):
            ring = row["outside_mm"] - row["inside_mm"]
            close(row, "inside_mm", ring, 2 * pi * section["height_mm"], off=1.5)
        if row["standard"] == "ANSI/RMA IP-20" and row["outside_mm"] is not None:
            inside(row, "outside_mm less inside", (row["outside_mm"] - row["inside_mm"]) / IN, 2.1, 5.3)
        if row["plus_mm"] is not None:
            assert row["plus_mm"] == row["minus_mm"], at(row)
            length = row["datum_mm"] or row["effective_mm"]
            inside(row, "plus_mm over length", row["plus_mm"] / length, 0.004, 0.022)


@rule
def length_tolerances(get):
    for group in grouped(get("belt_length_tolerances"), "family"):
        chained(group, "over_mm", "to_mm")
        rising(group, "plus_mm", "minus_mm")
        for row in group:
            inside(row, "plus_mm over length", row["plus_mm"] / row["to_mm"], 0.009, 0.022)
            inside(row, "minus_mm over length", row["minus_mm"] / row["to_mm"], 0.004, 0.0105)


@rule
def markings(get):
    table = get("belt_markings")
    among(table, "line", "datum", "effective", "outside")
    for group in grouped(table, "section"):
        chained(group, "over_number", "to_number")
    for row in table:
        assert row["unit_mm"] in (IN, IN / 10, 1.0), at(row)
        inside(row, "add_mm", row["add_mm"], 0, 110)
        assert row["over_number"] in (None, 210) and row["to_number"] in (None, 210), at(row)
    rising([table.where(section=s).rows[0] for s in BIG], "add_mm")
    rising([table.where(section=s).rows[0] for s in ("AA", "BB", "CC")], "add_mm")
    for section in BIG:
        row = table.where(section=section).rows[0]
        want = get("belt_sections").one(section=section, system="inch")["datum_minus_inside_mm"]
        close(row, "add_mm", row["add_mm"], want, off=0.1)
    for row in table.where(over_number=210):
        inside(row, "add_mm", row["add_mm"], 5, 60)

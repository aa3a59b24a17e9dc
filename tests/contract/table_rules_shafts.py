"""Closed forms, order and cross-checks of keys, screws, bolts, steels, joints and machining."""

from __future__ import annotations

from itertools import pairwise
from math import pi

from table_rules import (
    among,
    at,
    banded,
    chained,
    close,
    facts_hold,
    grouped,
    inside,
    keyed,
    rising,
    rows_with,
    rule,
)


@rule
def keys(get):
    table = get("keys")
    for group in grouped(table, "standard"):
        chained(group, "over_mm", "to_mm")
        rising(group, "width_mm", "hub_depth_mm" if group[0]["standard"] != "DIN 6885-1" else "width_mm")
        rising(group, "height_mm", "shaft_depth_mm", "hub_depth_mm", "flat_height_mm", strict=False)
    for row in table:
        inside(row, "to_mm over width_mm", row["to_mm"] / row["width_mm"], 3.0, 5.0)
        depth = row["shaft_depth_mm"] + row["hub_depth_mm"]
        if row["standard"] == "ASME B17.1":
            assert row["width_mm"] == row["height_mm"], f"{at(row)}: inch keys are square"
            for column in ("shaft_depth_mm", "hub_depth_mm"):
                close(row, column, row[column], row["height_mm"] / 2, off=1e-6)
            sixteenths = row["width_mm"] / 25.4 * 32
            close(row, "width_mm in 1/32 in", sixteenths, round(sixteenths), off=1e-6)
            for column in ("over_mm", "to_mm"):
                parts = row[column] / 25.4 * 16
                close(row, f"{column} in 1/16 in", parts, round(parts), off=1e-6)
            if row["flat_height_mm"] is not None:
                inside(row, "flat_height_mm over width", row["flat_height_mm"] / row["width_mm"], 0.65, 0.85)
        else:
            inside(row, "depths less height_mm", depth - row["height_mm"], 0.15, 0.45)
            inside(row, "shaft_depth_mm over height", row["shaft_depth_mm"] / row["height_mm"], 0.57, 0.66)
            assert row["height_mm"] <= row["width_mm"], at(row)


@rule
def set_screws(get):
    table = get("setscrews")
    rising(table, "diameter_mm", "holding_lbf", "holding_low_lbf")
    rising(table, "seating_lbf_in", "seating_low_lbf_in", strict=False)
    for row in table:
        size = row["size"]
        if size.startswith("#"):
            inch = 0.060 + 0.013 * float(size[1:])
        else:
            top, bottom = size.split("/")
            inch = float(top) / float(bottom)
        close(row, "diameter_mm", row["diameter_mm"], inch * 25.4, off=0.011)
        ratio = row["holding_lbf"] * inch / row["seating_lbf_in"]
        inside(row, "holding_lbf times diameter over seating", ratio, 1.4, 4.2)
        inside(row, "holding_low_lbf over holding_lbf", row["holding_low_lbf"] / row["holding_lbf"], 0.3, 0.51)
        inside(row, "seating_low_lbf_in over seating", row["seating_low_lbf_in"] / row["seating_lbf_in"], 0.65, 1)


@rule
def bolts(get):
    """Stress and minor areas by thread form; strengths in their order."""
    table = get("bolts")
    keyed(table, "size", "grade")
    for row in table:
        inch = row["standard"] == "SAE J429"
        if inch:
            fraction, threads = row["size"].split("-")
            top, bottom = fraction.split("/")
            diameter, pitch = 25.4 * float(top) / float(bottom), 25.4 / float(threads)
        else:
            diameter, pitch = (float(x) for x in row["size"][1:].split("x"))
        close(row, "diameter_mm", row["diameter_mm"], diameter, off=6e-4)
        close(row, "pitch_mm", row["pitch_mm"], pitch, off=6e-5)
        stress, minor = (0.9743, 1.299038) if inch else (0.9382, 1.2269)
        for column, cut in (("body_area_mm2", 0), ("stress_area_mm2", stress), ("minor_area_mm2", minor)):
            close(row, column, row[column], pi / 4 * (diameter - cut * pitch) ** 2, off=0.006)
        inside(row, "proof_mpa over yield", row["proof_mpa"] / row["yield_min_mpa"], 0.87, 0.97)
        inside(row, "yield_min_mpa over tensile", row["yield_min_mpa"] / row["tensile_min_mpa"], 0.59, 0.91)
        inside(row, "tensile_max_mpa over min", row["tensile_max_mpa"] / row["tensile_min_mpa"], 1.1, 1.76)
        if not inch:
            # A property class says its strengths: 8.8 is 800 MPa and 0.8 of that.
            hundreds, tenths = row["grade"].split(".")
            close(row, "tensile_min_mpa", row["tensile_min_mpa"], 100 * float(hundreds), part=0.045)
            wanted = row["tensile_min_mpa"] * float(tenths) / 10
            close(row, "yield_min_mpa", row["yield_min_mpa"], wanted, part=0.012)
    for group in grouped(table, "standard", "grade"):
        rising(group, "diameter_mm")
        for row in group:
            for column in ("tensile_min_mpa", "tensile_max_mpa", "yield_min_mpa", "proof_mpa"):
                assert row[column] == group[0][column], f"{at(row)}, {column}: differs within a grade"
    for group in grouped(table, "size"):
        rising(group, "tensile_min_mpa", "yield_min_mpa", "proof_mpa")


@rule
def materials(get):
    table = get("materials")
    keyed(table, "material")
    for row in table:
        if row["yield_mpa"] is not None:
            inside(row, "yield_mpa over tensile", row["yield_mpa"] / row["tensile_mpa"], 0.39, 1)
        if row["yield_thick_mpa"] is not None:
            inside(row, "yield_thick_mpa over yield", row["yield_thick_mpa"] / row["yield_mpa"], 0.9, 0.96)
        inside(row, "e_gpa over g_gpa", row["e_gpa"] / row["g_gpa"], 2.3, 2.95)
        inside(row, "density_kg_per_m3", row["density_kg_per_m3"], 900, 8000)
        # Modulus over density is near 26 for the metals used here, far less for plastics.
        stiffness = row["e_gpa"] / row["density_kg_per_m3"] * 1e3
        low, high = (0.5, 2.5) if row["form"] == "plastic" else (13, 27.5)
        inside(row, "e_gpa over density", stiffness, low, high)
        low, high = (35, 70) if row["form"] == "plastic" else (200, 950)
        inside(row, "tensile_mpa", row["tensile_mpa"], low, high)


@rule
def shaft_steels(get):
    table, strength = get("shaft_steels"), {row["material"]: row["yield_mpa"] for row in get("materials")}
    keyed(table, "material")
    for row in table:
        assert row["material"] in strength, f"{at(row)}: no such material"
    for before, after in pairwise(table):
        assert strength[before["material"]] < strength[after["material"]], f"{at(after)}: weaker than the one above"


@rule
def splines(get):
    table = get("splines")
    for row in table:
        inside(row, "power_max_kw (as torque in kN m)", row["power_max_kw"] * 9.549 / row["speed_rpm"], 0.8, 3.5)
        assert row["speed_rpm"] in (540, 1000, 1300), at(row)
        if row["major_mm"] is not None:
            inside(row, "major_mm below nominal", row["nominal_mm"] - row["major_mm"], 0, 0.2)
        if row["form"] == "involute":
            pitch = row["splines"] / row["diametral_pitch"] * 25.4
            close(row, "pitch_diameter_mm", row["pitch_diameter_mm"], pitch, off=6e-4)
            assert row["pitch_diameter_mm"] < row["nominal_mm"], at(row)
            inside(row, "pitch below nominal over pitch", 1 - pitch / row["nominal_mm"], 0.02, 0.06)
            # 30 degree splines of this standard are as large over their teeth as one tooth more has pitch
            close(row, "nominal_mm", row["nominal_mm"], (row["splines"] + 1) / row["diametral_pitch"] * 25.4, off=1e-3)
        else:
            inside(row, "minor_mm over major", row["minor_mm"] / row["major_mm"], 0.8, 0.9)
            inside(row, "tooth_mm over major", row["tooth_mm"] / row["major_mm"], 0.24, 0.26)
            assert row["splines"] == 6, at(row)
        if row["type"] != 4:  # in millimetres: module 2.5
            sixteenths = row["nominal_mm"] / 25.4 * 8
            close(row, "nominal_mm in 1/8 in", sixteenths, round(sixteenths), off=1e-6)
    assert [row["type"] for row in table] == [1, 1, 2, 3, 4]
    rising([row for row in table if row["form"] == "involute"], "type", "power_max_kw", "nominal_mm")


@rule
def spline_pressures(get):
    table = get("spline_pressures")
    for row in table:
        assert row["fit"] in ("fixed", "slides under load"), at(row)
        assert row["steel"] in ("as rolled or drawn", "heat-treated"), at(row)
        inside(row, "low_mpa", row["low_mpa"], 6.9, 150)
        inside(row, "high_mpa over low_mpa", row["high_mpa"] / row["low_mpa"], 1, 2)
    keyed(table, "fit", "steel")
    for fit in grouped(table, "fit"):
        soft, hard = fit
        assert soft["high_mpa"] <= hard["high_mpa"] and soft["low_mpa"] <= hard["low_mpa"], at(hard)
    fixed, slides = grouped(table, "fit")
    assert slides[-1]["high_mpa"] < fixed[0]["low_mpa"] / 4, at(slides[-1])
    # the handbook's 1000 psi
    close(slides[0], "low_mpa", slides[0]["low_mpa"], 6.895, off=0.2)


@rule
def weld_care(get):
    table = get("weld_care")
    for row in table:
        inside(row, "carbon_to_percent over", row["carbon_to_percent"] - row["carbon_over_percent"], 0.25, 0.6)
        assert row["weldable"] in ("yes", "with care", "no"), at(row)
        warm = row["preheat_low_c"] is not None
        assert warm == (row["preheat_high_c"] is not None), at(row)
        if warm:
            inside(row, "preheat_low_c", row["preheat_low_c"], 100, row["preheat_high_c"])
            inside(row, "preheat_high_c", row["preheat_high_c"], 200, 400)
            assert row["weldable"] == "with care" and row["carbon_to_percent"] > 0.3, at(row)
    low, high = (r for r in table if r["group"] == "plain")
    assert low["carbon_to_percent"] == high["carbon_over_percent"] == 0.3, at(high)
    assert [r["weldable"] for r in table if r["group"] == "free-machining"] == ["no"]


@rule
def joints(get):
    """Angle tables: speed times angle is nearly one number, the angular acceleration of the rule."""
    table = get("joint_angles")
    rising(table, "speed_rpm", falling=True)
    rising(table, "angle_max_deg")
    for row in table:
        inside(row, "speed_rpm times angle_max_deg", row["speed_rpm"] * row["angle_max_deg"], 15_500, 18_000)
        assert row["speed_rpm"] % 500 == 0, at(row)
    table = get("joint_residual_angles")
    rising(table, "speed_rpm")
    for row in table:
        swing = (row["speed_rpm"] * pi / 30) ** 2 * (row["angle_deg"] * pi / 180) ** 2
        close(row, "angle_deg (as rad/s2)", swing, 400, part=0.02)


@rule
def drivelines(get):
    table = get("driveline_series")
    rising(table, "series", "power_540_hp", "power_1000_hp")
    for before, after in pairwise(table):
        assert after["series"] == before["series"] + 1, at(after)
        inside(
            after,
            "power_540_hp over the one before",
            after["power_540_hp"] / before["power_540_hp"],
            1.1,
            1.6,
        )
    for row in table:
        # Torque at 1000 rpm is about 0.83 of that at 540.
        share = row["power_1000_hp"] / 1000 / (row["power_540_hp"] / 540)
        inside(row, "torque at 1000 over 540 rpm", share, 0.79, 0.87)
    table = get("joint_crosses")
    assert [row["series"] for row in table] == list(range(1, 9))
    rising(table, "series")
    rising(table, "cup_mm", "length_mm", strict=False)
    for row in table:
        inside(row, "length_mm over cup_mm", row["length_mm"] / row["cup_mm"], 2.4, 3.6)


@rule
def guards(get):
    among(get("guard_openings"), "shape", "slot", "square", "round")
    by = {}
    for group in grouped(get("guard_openings"), "shape"):
        chained(group, "over_mm", "to_mm")
        rising(group, "distance_mm", strict=False)
        for row in group:
            by[row["shape"], row["to_mm"]] = row["distance_mm"]
            assert row["distance_mm"] in (2, 5, 10, 15, 20, 25, 80, 100, 120, 200, 850), at(row)
        assert group[-1]["to_mm"] == 120 and group[-1]["distance_mm"] == 850
    for (shape, to), distance in by.items():
        if ("slot", to) in by:
            assert distance <= by["slot", to], f"guard_openings.csv: {shape} to {to} is farther than the slot"
        if shape == "round" and ("square", to) in by:
            assert distance <= by["square", to], f"guard_openings.csv: round to {to} is farther than square"


@rule
def reach_over(get):
    table = get("guard_reach_over")
    heights, guards = ({row[k] for row in table} for k in ("hazard_height_mm", "guard_height_mm"))
    assert len(table) == len(heights) * len(guards), "guard_reach_over.csv: a height lacks a guard"
    assert heights == set(range(0, 2601, 200)), "guard_reach_over.csv: a height is not a step of 200 mm"
    for group in grouped(table, "hazard_height_mm"):
        # a higher guard never asks for more, and one above all reach for nothing
        falls = [row["distance_mm"] for row in group]
        assert falls == sorted(falls, reverse=True) and falls[-1] == 0, at(group[0])
        inside(group[0], "distance_mm", group[0]["distance_mm"], 900, 1500)


@rule
def machining(get):
    table = get("cutting_speeds")
    keyed(table, "material")
    for row in table:
        banded([row], "hss_low_ft_per_min", None, "hss_high_ft_per_min")
        banded([row], "carbide_low_ft_per_min", None, "carbide_high_ft_per_min")
        inside(row, "hss_high over low", row["hss_high_ft_per_min"] / row["hss_low_ft_per_min"], 1.1, 2.7)
        inside(
            row,
            "carbide_high over low",
            row["carbide_high_ft_per_min"] / row["carbide_low_ft_per_min"],
            1.4,
            2.7,
        )
        inside(row, "carbide_low over hss_low", row["carbide_low_ft_per_min"] / row["hss_low_ft_per_min"], 1, 5.1)
    grades = get("balance_grades")
    rising(grades, "grade_mm_per_s")
    for before, after in pairwise(grades):
        close(after, "grade_mm_per_s", after["grade_mm_per_s"] / before["grade_mm_per_s"], 2.5, off=0.05)


@rule
def derating(get):
    """Two lists for each kind of engine, the second never kinder; feet and Fahrenheit where that was printed."""
    table = get("derating")
    keyed(table, "engine", "rule")
    columns = ("height_from_m", "height_step_m", "height_loss", "air_from_c", "air_step_k", "air_loss")
    for first in table.where(rule="first"):
        second = table.one(engine=first["engine"], rule="second")
        assert first["height_loss"] <= second["height_loss"] and first["air_loss"] <= second["air_loss"], at(first)
        assert second["height_from_m"] <= first["height_from_m"] and second["air_from_c"] <= first["air_from_c"]
    for row in table:
        motor = row["engine"] == "electric motor"
        for column, low, high in zip(
            columns,
            (1000, 500, 0.03, 40, 5, 0.05) if motor else (0, 304.8, 0.03, 25, 2.77, 0.01),
            (1000, 500, 0.05, 40, 5, 0.06) if motor else (152.4, 304.8, 0.035, 29.5, 5.56, 0.01),
            strict=True,
        ):
            inside(row, column, row[column], low, high)


@rule
def attachments(get):
    table = get("attachment_facts")
    keyed(table, "item")
    units = {
        "m/s": (5, 105),
        "1": (0.3, 4),
        "mm": (25, 300),
        "s": (1, 5),
        "%": (80, 85),
        "deg": (15, 180),
    }
    facts_hold(table, units)
    for row in table:
        if "over" in row["item"] and row["item"].endswith(("impeller chute", "critical speed", "of a bolt")):
            inside(row, "high or likely", row["high"] or row["likely"], 0.3, 0.8)
    row = table.one(item="clearance over the ground")
    assert (row["low"], row["likely"], row["high"]) == (100, 150, 300)
    for item in ("brush pattern", "telescoping clearance, shortest"):
        inside(table.one(item=item), "high", table.one(item=item)["high"], 25, 100)
    stop = [table.one(item=f"blade stop, {k}") for k in ("walk-behind", "ride-on")]
    rising(stop, "high")
    row = table.one(item="tip speed, rotary mower")
    close(row, "high", row["high"], 19_000 * 0.00508, off=1e-9)
    angles = [table.one(item=f"joint angle, {k}") for k in ("working", "brief", "stationary")]
    rising(angles, "high")
    for angle in angles:
        inside(angle, "high", angle["high"], 15, 35)


@rule
def shaft_factors(get):
    table = get("stress_raisers")
    keyed(table, "feature")
    for row in table:
        for column in ("bending", "torsion", "axial"):
            if row[column] is not None:
                inside(row, column, row[column], 1.4, 5)
    sharp, round_ = table.rows[:2]
    for column in ("bending", "torsion", "axial"):
        assert sharp[column] > round_[column], at(round_)
    for group in grouped(get("shaft_shock_factors"), "shaft"):
        rising(group, "bending_low", "bending_high", "torsion_low", "torsion_high", strict=False)
        for row in group:
            for kind in ("bending", "torsion"):
                assert 1 <= row[f"{kind}_low"] <= row[f"{kind}_high"] <= 3, at(row)
    finishes = {row["finish"]: row for row in get("surface_factors")}
    for tensile in (400, 700, 1000):
        order = [
            finishes[f]["a_mpa"] * tensile ** finishes[f]["b"]
            for f in ("hot-rolled", "machined or cold-drawn", "ground")
        ]
        assert order == sorted(order) and 0.35 < order[0] and order[-1] < 1, (
            f"surface_factors.csv: surface factors at {tensile} MPa are {order}"
        )
    for row in rows_with(get("slope_limits"), "slope_low_rad"):
        inside(row, "slope_high_rad over low", row["slope_high_rad"] / row["slope_low_rad"], 1, 3)
    rising(get("slope_limits").rows[:4], "slope_low_rad", "slope_high_rad", strict=False)


@rule
def motor_torques(get):
    """A motor's curve: the weakest place on the way up is no more than its ends. Standards set floors."""
    table = get("motor_torques")
    keyed(table, "motor")
    for name in ("starting", "pull_up", "pull_out"):
        banded(table, f"{name}_low", None, f"{name}_high")
    for row in table:
        assert row["phases"] == (3 if row["motor"] == "three-phase" else 1), f"{at(row)}, phases"
        for end in ("low", "high"):
            assert row[f"pull_up_{end}"] <= min(row[f"starting_{end}"], row[f"pull_out_{end}"]), f"{at(row)}, pull_up"
        inside(row, "pull_out_low", row["pull_out_low"], 1.15, 2.0)
        inside(row, "pull_out_high over low", row["pull_out_high"] / row["pull_out_low"], 1.2, 1.5)
        inside(row, "pull_out_high", row["pull_out_high"], 1.4, 2.5)
        inside(row, "starting_high over low", row["starting_high"] / row["starting_low"], 1.4, 3.5)
        inside(row, "pull_up_high over low", row["pull_up_high"] / row["pull_up_low"], 1.4, 3.5)
    # NEMA MG 1, design B, four poles, from memory: 1 hp starts with 275 %, 10 hp with 165 %
    three = table.one(motor="three-phase")
    assert three["starting_low"] <= 1.65 and three["starting_high"] >= 2.75, at(three)

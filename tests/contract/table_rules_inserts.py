"""Cross-checks of the tables of insert bearings: with the balls' own ratings, ISO fits and the set-screw table."""

from __future__ import annotations

from fractions import Fraction

from jackshaft.mechanics import fits
from jackshaft.units import INCH, POUND_FORCE
from table_rules import among, at, chained, close, facts_hold, inside, keyed, rising, rule

SIZES = range(204, 213)
CLASSES = ("h6", "h7", "h8", "h9", "h10", "h11")


@rule
def inserts(get):
    table = get("insert_bearings")
    assert [row["size_code"] for row in table] == list(SIZES)
    rising(table, "c_n", "c0_n")
    for row in table:
        body = get("bearing_ratings").one(designation=f"6{row['size_code']:g}")
        inside(row, "c_n", row["c_n"], 0.98 * body["c_n"], 1.01 * body["catalogue_c_max_n"])
        inside(row, "c0_n", row["c0_n"], 0.98 * body["c0_n"], 1.05 * body["catalogue_c0_max_n"])
        ring = get("bearings").one(designation=f"UC{row['size_code']:g}")
        inside(row, "collar_width_mm over the ring's", row["collar_width_mm"] / ring["width_mm"], 1.1, 1.45)
        bore = ring["bore_mm"]
        for text in row["bores_in"].split(";"):
            whole, _, part = text.strip().rpartition("-")
            inches = Fraction(part) + (int(whole) if whole else 0)
            inside(row, f"bore {text}", float(inches) * 25.4 / bore, 0.85, 1.06)
            assert (inches * 16).denominator == 1, at(row)


@rule
def insert_bores(get):
    """The bore is made to H7, and the classes of clearance lie above one another."""
    table = get("insert_clearances")
    chained(table, "over_mm", "to_mm")
    assert (table.rows[0]["over_mm"], table.rows[-1]["to_mm"]) == (10, 65)
    for row in table:
        made = fits.limits.si(row["to_mm"] * 1e-3, "H7").upper_deviation
        close(row, "bore_high_um", row["bore_high_um"], made * 1e6, off=1e-6)
        for part in ("low", "high"):
            c2, cn, c3 = (row[f"{name}_{part}_um"] for name in ("c2", "cn", "c3"))
            assert c2 < cn < c3, at(row)
            plain = get("bearing_clearance").covering(row["to_mm"], "over_mm", "to_mm", clearance_class="C3").rows[0]
            inside(row, f"c3_{part}_um", c3, 0.8 * plain["min_um"], 1.5 * plain["max_um"])
            inside(row, f"c2_{part}_um", c2, 3, 28)
    rising(table, *(f"{name}_{part}_um" for name in ("cn", "c3") for part in ("low", "high")), strict=False)


@rule
def insert_seats(get):
    chained(get("insert_fits"), "over_load_ratio", "to_load_ratio")
    for row in get("insert_fits"):
        among([row], "finest", *CLASSES)
        among([row], "coarsest", *CLASSES)
        assert CLASSES.index(row["finest"]) <= CLASSES.index(row["coarsest"]), at(row)
        inside(row, "over_load_ratio", row["over_load_ratio"], 0, 0.05)


@rule
def insert_speeds(get):
    """A looser shaft runs slower, and so does a larger bearing; none passes the speed of the balls by much."""
    table = get("insert_speeds")
    assert [row["size_code"] for row in table] == list(SIZES)
    columns = [f"{c}_rpm" for c in CLASSES if c != "h10"]
    rising(table, *columns, falling=True)
    for row in table:
        speeds = [row[c] for c in columns]
        assert speeds == sorted(speeds, reverse=True), at(row)
        balls = get("bearing_ratings").one(designation=f"6{row['size_code']:g}")["speed_capped_rpm"]
        inside(row, "h6_rpm over the balls' limit", speeds[0] / balls, 0.5, 1.0)
        inside(row, "h6_rpm over h11_rpm", speeds[0] / speeds[-1], 9, 11)


@rule
def insert_screws(get):
    """Below the seating torque of the common table, and proved at about that torque."""
    among(get("insert_screws"), "screw", *{row["screw"] for row in get("insert_bearings")})
    for row in get("insert_screws"):
        codes = {r["size_code"] for r in get("insert_bearings") if r["screw"] == row["screw"]}
        assert {row["from_code"], row["to_code"]} <= codes and row["from_code"] <= row["to_code"], at(row)
        seating = get("setscrews").one(size=row["screw"])["seating_low_lbf_in"] * POUND_FORCE * INCH
        inside(row, "torque_nm over the seating torque", row["torque_nm"] / seating, 0.4, 0.8)
        if row["proof_nm"]:
            inside(row, "proof_nm over the seating torque", row["proof_nm"] / seating, 0.9, 1.05)


@rule
def insert_housings(get):
    table = get("insert_housings")
    keyed(table, "size_code", "housing")
    for kind, low, high in (("pillow block", 1.65, 2.05), ("square flange", 1.2, 1.37), ("oval flange", 1.7, 1.93)):
        rows = table.where(housing=kind)
        assert [row["size_code"] for row in rows] == list(SIZES), kind
        rising(rows, "centre_height_mm", "spacing_low_mm", "spacing_high_mm")
        for row in rows:
            od = get("bearings").one(designation=f"UC{row['size_code']:g}")["od_mm"]
            inside(row, "spacing_low_mm over od", row["spacing_low_mm"] / od, low, high)
            inside(row, "spacing_high_mm over low", row["spacing_high_mm"] / row["spacing_low_mm"], 1, 1.04)
            if row["centre_height_mm"]:
                inside(row, "centre_height_mm over od", row["centre_height_mm"] / od, 0.57, 0.72)


@rule
def insert_facts(get):
    facts_hold(
        get("insert_facts"),
        {
            "deg": (1.5, 6),
            "1": (0.15, 0.25),
            "mm*rpm": (2e4, 5e4),
            "mm": (0.15, 0.6),
            "mm/m": (0.2, 1),
            "in": (0.0004, 0.004),
            "g/mm2": (0.003, 0.01),
            "h": (90, 4000),
            "K": (10, 60),
        },
    )

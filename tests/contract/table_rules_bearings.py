"""Closed forms, order and cross-checks of the bearing tables and ISO fits."""

from __future__ import annotations

from itertools import pairwise
from math import log

from table_rules import (
    among,
    at,
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

CODED = ("618", "619", "160", "161", "60", "62", "63", "64", "622", "623", "630", "32")


def bore_of(designation: str, series: str) -> float:
    """Bore in mm by the bore code of a metric designation."""
    code = designation[len(series) :].lstrip("/")
    if "/" in designation:
        return float(code)
    return {"00": 10.0, "01": 12.0, "02": 15.0, "03": 17.0}.get(code) or 5.0 * float(code)


@rule
def bearing_bores(get):
    table = get("bearings")
    keyed(table, "designation")
    among(table, "type", "deep groove", "double row", "insert")
    among(table, "capping", "open", "capped", "any")
    among(table, "units", "metric", "inch", "mixed")
    for row in table:
        number, series = row["designation"], row["series"]
        if series in CODED:
            close(row, "bore_mm", row["bore_mm"], bore_of(number, series), off=1e-9)
        elif series == "miniature":
            assert row["bore_mm"] == float(number[-1]), at(row)
        elif series == "UC2":
            assert row["bore_mm"] == 5 * float(number[-2:]), at(row)
        elif series == "62, inch bore":
            close(row, "bore_mm", row["bore_mm"], float(number.split("-")[1]) / 16 * 25.4, off=1e-3)
        elif series == "R" and number.split()[0] != "R4A":
            close(row, "bore_mm", row["bore_mm"], float(number.split()[0][1:]) / 16 * 25.4, off=1e-3)
        if row["units"] == "inch":
            for column in ("bore_mm", "od_mm"):
                parts = row[column] / 25.4 * 32
                close(row, f"{column} in 1/32 in", parts, round(parts), off=1e-6)
        if series in ("618", "619"):
            assert row["also_called"] == "6" + number[2:], at(row)
        if series == "32":
            assert row["also_called"] == "5" + number[1:], at(row)


@rule
def bearing_proportions(get):
    table = get("bearings")
    for row in table:
        ring = row["od_mm"] - row["bore_mm"]
        if row["units"] != "mixed":
            inside(row, "od_mm over bore", row["od_mm"] / row["bore_mm"], 1.2, 3.7)
        inside(row, "width_mm over ring height", row["width_mm"] / ring, 0.28, 1.35)
        if row["chamfer_min_mm"] is not None:
            inside(row, "chamfer_min_mm over ring height", row["chamfer_min_mm"] / ring, 0.01, 0.06)
        if row["outer_width_mm"] is not None:
            inside(row, "outer_width_mm over width", row["outer_width_mm"] / row["width_mm"], 0.4, 0.6)
    for series in CODED:
        group = sorted(table.where(series=series), key=lambda row: row["bore_mm"])
        rising(group, "od_mm")
        rising(group, "width_mm", "chamfer_min_mm", strict=False)
    rising(table.where(series="UC2"), "bore_mm", "od_mm")
    rising(table.where(series="UC2"), "width_mm", "outer_width_mm", strict=False)


@rule
def bearings_of_one_bore(get):
    """ISO 15: at one bore, the heavier diameter series has the larger ring; widths follow."""
    table = get("bearings")
    by_series = {s: {row["bore_mm"]: row for row in table.where(series=s)} for s in CODED}
    for light, heavy in pairwise(("618", "619", "60", "62", "63", "64")):
        for bore, row in by_series[heavy].items():
            if bore in by_series[light]:
                assert row["od_mm"] > by_series[light][bore]["od_mm"], at(row)
    for wide, plain in (("622", "62"), ("623", "63"), ("630", "60"), ("32", "62")):
        for bore, row in by_series[wide].items():
            other = by_series[plain][bore]
            assert row["od_mm"] == other["od_mm"], f"{at(row)}, od_mm: differs from {other['designation']}"
            assert row["width_mm"] > other["width_mm"], f"{at(row)}, width_mm"
    for bore, row in by_series["160"].items():
        assert row["od_mm"] == by_series["60"][bore]["od_mm"], at(row)
        assert row["width_mm"] < by_series["60"][bore]["width_mm"], at(row)
    for row in table.where(series="UC2"):
        assert row["od_mm"] == table.one(designation="62" + row["designation"][-2:])["od_mm"], at(row)
    for row in table.where(series="62, inch bore"):
        parent = table.one(designation=row["designation"].split("-")[0])
        for column in ("od_mm", "width_mm", "chamfer_min_mm"):
            assert row[column] == parent[column], f"{at(row)}, {column}"
        inside(row, "bore_mm over the metric bore", row["bore_mm"] / parent["bore_mm"], 0.55, 1.13)
    for row in table.where(series="R", capping="capped"):
        plain = table.one(designation=row["designation"].split()[0])
        for column in ("bore_mm", "od_mm", "chamfer_min_mm"):
            assert row[column] == plain[column], f"{at(row)}, {column}"
        same = plain["designation"] in ("R2", "R4")
        assert row["width_mm"] == plain["width_mm"] if same else row["width_mm"] > plain["width_mm"], at(row)


@rule
def ratings(get):
    table = get("bearing_ratings")
    keyed(table, "designation")
    for row in table:
        size = get("bearings").one(designation=row["designation"])
        dm = (size["bore_mm"] + size["od_mm"]) / 2
        given = [row[c] for c in ("standard_c_n", "textbook_c_n", "catalogue_c_max_n") if row[c] is not None]
        lowest = [row[c] for c in ("standard_c_n", "textbook_c_n", "catalogue_c_min_n") if row[c] is not None]
        inside(row, "c_n", row["c_n"], min(lowest), min(given))
        inside(row, "c0_n", row["c0_n"], row["catalogue_c0_min_n"], row["catalogue_c0_max_n"])
        for kind in ("c", "c0"):
            low, high = row[f"catalogue_{kind}_min_n"], row[f"catalogue_{kind}_max_n"]
            inside(row, f"catalogue_{kind}_max_n over min", high / low, 1, 1.75)
        for column, base, low, high in (
            ("standard_c_n", "catalogue_c_min_n", 0.8, 1.55),
            ("textbook_c_n", "catalogue_c_min_n", 0.75, 1.35),
            ("standard_c0_n", "c0_n", 0.58, 1.15),
            ("textbook_c0_n", "c0_n", 0.58, 1.15),
        ):
            if row[column] is not None:
                inside(row, f"{column} over {base}", row[column] / row[base], low, high)
        light = size["series"] in ("618", "619", "160", "161", "60")
        for column, number in (("speed_open_rpm", 4.5e5), ("speed_capped_rpm", 4.0e5)):
            limit = number * (1.1 if light else 1.0) / dm
            close(row, column, row[column], limit, off=60)
        slow, fast = row["catalogue_speed_min_rpm"], row["catalogue_speed_max_rpm"]
        inside(row, "catalogue_speed_max_rpm over min", fast / slow, 1, 1.45)
        inside(row, "catalogue_speed_min_rpm over the rule", slow / row["speed_open_rpm"], 0.75, 1.25)
        if row["f0"] is not None:
            inside(row, "f0", row["f0"], 11, 16.6)
    for series in ("60", "62", "63", "64"):
        group = [row for row in table if get("bearings").one(designation=row["designation"])["series"] == series]
        group.sort(key=lambda row: get("bearings").one(designation=row["designation"])["bore_mm"])
        rising([row for row in group if "/" not in row["designation"]], "c_n", "c0_n")


@rule
def reliability(get):
    for group in grouped(get("bearing_reliability"), "edition"):
        rising(group, "reliability_percent")
        rising(group, "a1", falling=True)
        assert group[0]["reliability_percent"] == 90 and group[0]["a1"] == 1
    old = get("bearing_reliability").where(edition="1990")
    for row in old:
        weibull = (log(100 / row["reliability_percent"]) / log(100 / 90)) ** (1 / 1.5)
        close(row, "a1", row["a1"], weibull, off=0.008)
    for row in get("bearing_reliability").where(edition="2007"):
        # Three-parameter form of the later edition: a least life of about 0.05 L10.
        weibull = (log(100 / row["reliability_percent"]) / log(100 / 90)) ** (1 / 1.5)
        close(row, "a1", row["a1"], 0.05 + 0.95 * weibull, off=0.025)


@rule
def axial_factors(get):
    new, old = get("bearing_axial_factors"), get("bearing_axial_factors_older")
    rising(new, "f0_fa_over_c0", "e")
    rising(old, "fa_over_c0", "e")
    for table in (new, old):
        rising(table, "y", falling=True)
        for row in table:
            assert row["x"] == 0.56, at(row)
            close(row, "y", row["y"], (1 - row["x"]) / row["e"], off=0.06)
    f0 = get("bearing_f0")
    rising(f0, "dw_over_dpw")
    rising(f0, "f0", falling=True)
    for before, after in pairwise(f0):
        close(after, "dw_over_dpw", after["dw_over_dpw"] - before["dw_over_dpw"], 0.02, off=1e-9)
        close(after, "f0", before["f0"] - after["f0"], 0.48, off=0.1)
    by_e = {row["e"]: row for row in old}
    for row in new:
        # The older table is the newer one at f0 = 12.3.
        other = by_e[row["e"]]
        close(other, "fa_over_c0 times 12.3", other["fa_over_c0"] * 12.3, row["f0_fa_over_c0"], part=0.025)
        assert other["y"] == row["y"], at(other)


@rule
def facts(get):
    table = get("bearing_facts")
    keyed(table, "item")
    units = {
        "1": (0.001, 24),
        "mm/min": (3.9e5, 5.6e5),
        "MPa": (120, 130),
        "um": (1, 7),
        "degC": (80, 110),
        "1/K": (1.1e-5, 1.2e-5),
        "mm": (0.05, 80),
    }
    facts_hold(table, units)
    shares = (
        "load over C",
        "axial load",
        "static",
        "clearance lost",
        "light load",
        "normal load",
        "life factor",
    )
    for row in table:
        if row["item"].startswith(shares):
            for column in ("low", "likely", "high"):
                inside(row, column, row[column] or 0.05, 0.01, 1)
        if row["item"].startswith("s0"):
            inside(row, "low", row["low"], 0.5, 2)
    clean = [row for row in table if row["item"].startswith("contamination")]
    rising(clean, "low", "likely", "high", falling=True)
    pair = table.one(item="pair factor on C")
    close(pair, "likely", pair["likely"], 2**0.7, part=1e-6)
    open_, capped = (table.one(item=f"speed number, {k}, grease")["likely"] for k in ("open", "capped"))
    assert capped < open_ < table.one(item="speed number, open, oil")["likely"]


@rule
def clearance(get):
    table = get("bearing_clearance")
    names = ("C2", "CN", "C3", "C4", "C5")
    among(table, "clearance_class", *names)
    for group in grouped(table, "clearance_class"):
        chained(group, "over_mm", "to_mm")
        assert group[0]["over_mm"] == 2.5 and group[-1]["to_mm"] == 80, at(group[0])
        rising(group, "min_um", "max_um", strict=False)
    for group in grouped(table, "over_mm"):
        assert tuple(row["clearance_class"] for row in group) == names, at(group[0])
        rising(group, "min_um", "max_um")
        for row in group:
            assert row["min_um"] < row["max_um"], at(row)
            inside(row, "max_um", row["max_um"], 7, 105)
        for before, after in pairwise(group):
            assert after["min_um"] <= before["max_um"], f"{at(after)}: classes do not overlap"


def _grade(row):
    return row["fit_class"].lstrip("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")


def _letter(row):
    return row["fit_class"].rstrip("0123456789")


@rule
def fits(get):
    """ISO 286: one width for a grade in a size band, one fundamental deviation for a letter."""
    table = get("fits")
    keyed(table, "part", "fit_class", "over_mm")
    for group in grouped(table, "part", "fit_class"):
        chained(group, "over_mm", "to_mm")
    factor = {"5": 7, "6": 10, "7": 16, "8": 25, "9": 40, "10": 64, "11": 100}
    by = {(row["fit_class"], row["over_mm"]): row for row in table}
    for row in table:
        width = row["upper_um"] - row["lower_um"]
        d = (row["over_mm"] * row["to_mm"]) ** 0.5
        unit = 0.45 * d ** (1 / 3) + 0.001 * d
        close(row, "upper_um less lower_um", width, factor[_grade(row)] * unit, part=0.1)
        letter, grade, over = _letter(row), _grade(row), row["over_mm"]
        same = (
            by[("h" + grade, over)]
            if ("h" + grade, over) in by
            else by[("H" + grade, over)]
            if ("H" + grade, over) in by
            else None
        )
        if same is not None:
            assert width == same["upper_um"] - same["lower_um"], f"{at(row)}: width of grade {grade}"
        if letter == "h":
            assert row["upper_um"] == 0, at(row)
        if letter == "H":
            assert row["lower_um"] == 0, at(row)
        if letter in ("js", "JS"):
            assert row["upper_um"] == -row["lower_um"], at(row)
    for group in grouped((r for r in table if r["part"] == "shaft" and _letter(r) in "defg"), "over_mm"):
        for one in group:
            assert one["upper_um"] < 0, at(one)
            for other in group:
                if _letter(one) == _letter(other):
                    assert one["upper_um"] == other["upper_um"], f"{at(one)}: deviation of {_letter(one)}"
    for group in grouped((r for r in table if _letter(r) in ("k", "m", "n", "p")), "over_mm", "part"):
        for one in group:
            for other in group:
                if _letter(one) == _letter(other):
                    assert one["lower_um"] == other["lower_um"], f"{at(one)}: deviation of {_letter(one)}"


@rule
def fits_of_holes_mirror_the_shafts(get):
    table = get("fits")
    by = {(row["fit_class"], row["over_mm"]): row for row in table}
    mirror = {"D10": "d9", "E8": "e8", "F7": "f7", "F8": "f7", "G6": "g6", "G7": "g6"}
    for hole, shaft in mirror.items():
        for row in table.where(fit_class=hole):
            assert row["lower_um"] == -by[(shaft, row["over_mm"])]["upper_um"], f"{at(row)}: no mirror of {shaft}"
    for row in (r for r in table if r["fit_class"] in ("K7", "M7", "N7", "P7")):
        over = row["over_mm"]
        step = by[("H7", over)]["upper_um"] - by[("H6", over)]["upper_um"]
        shaft = by[(_letter(row).lower() + "6", over)]["lower_um"]
        assert row["upper_um"] == -shaft + step, f"{at(row)}: not the shaft's deviation and the grade step"
    for row in table.where(fit_class="P9"):
        assert row["upper_um"] == -by[("p6", row["over_mm"])]["lower_um"], at(row)
    for row in table.where(fit_class="N9"):
        assert row["upper_um"] == 0, at(row)
    for grade in ("5", "6"):
        for row in table.where(fit_class="j" + grade):
            assert 0 < -row["lower_um"] < by[("js" + grade, row["over_mm"])]["upper_um"] * 1.3, at(row)
    for row in table.where(fit_class="J7"):
        assert 0 < row["upper_um"] <= by[("H7", row["over_mm"])]["upper_um"], at(row)
    rising(table.where(fit_class="j6"), "upper_um")
    rising(table.where(fit_class="j5"), "upper_um", strict=False)
    rising(table.where(fit_class="J7"), "upper_um")
    for a, b in (("j5", "j6"),):
        for row in table.where(fit_class=a):
            assert row["lower_um"] == by[(b, row["over_mm"])]["lower_um"], at(row)


@rule
def bearing_tolerances_and_fits(get):
    for group in grouped(get("bearing_tolerances"), "dimension"):
        chained(group, "over_mm", "to_mm")
        inside(group[0], "over_mm", group[0]["over_mm"], 2.5, 10)
        inside(group[-1], "to_mm", group[-1]["to_mm"], 80, 150)
        rising(group, "upper_um", strict=False)
        rising(group, "lower_um", falling=True, strict=False)
        for row in group:
            if row["dimension"] == "inner ring run-out":
                inside(row, "upper_um", row["upper_um"], 10, 20)
                assert row["lower_um"] == 0, at(row)
            else:
                assert row["upper_um"] == 0, f"{at(row)}: bearing tolerances are all minus"
                limit = (-200, -120) if row["dimension"] == "width" else (-20, -8)
                inside(row, "lower_um", row["lower_um"], *limit)
    known = {row["fit_class"] for row in get("fits")}
    for group in grouped(get("bearing_fits"), "case", "ring", "load"):
        chained(group, "over_mm", "to_mm")
        for row in group:
            assert row["fit_class"] in known, f"{at(row)}: {row['fit_class']} is not in fits.csv"
            if row["over_mm"] is not None:
                assert row["over_mm"] in (18, 100), at(row)
            if row["to_mm"] is not None:
                assert row["to_mm"] in (18, 100, 140), at(row)


@rule
def snap_rings_and_fillets(get):
    table = get("snap_ring_grooves")
    rising(table, "od_mm", "groove_max_mm", "groove_min_mm", "ring_od_mm")
    rising(table, "groove_width_max_mm", "groove_width_min_mm", strict=False)
    for series in ("0", "2_to_4"):
        rising(table, f"face_to_groove_series_{series}_max_mm", strict=False)
    sizes = {row["od_mm"] for row in get("bearings")}
    for row in table:
        assert row["od_mm"] in sizes, f"{at(row)}: no bearing has this outside diameter"
        inside(row, "groove_max_mm below od", row["od_mm"] - row["groove_max_mm"], 1.8, 3.3)
        inside(row, "groove tolerance", row["groove_max_mm"] - row["groove_min_mm"], 0.24, 0.52)
        inside(row, "ring_od_mm above od", row["ring_od_mm"] - row["od_mm"], 4.2, 6.7)
        inside(
            row,
            "groove width tolerance",
            row["groove_width_max_mm"] - row["groove_width_min_mm"],
            0.295,
            0.305,
        )
        for series in ("0", "2_to_4"):
            low, high = (row[f"face_to_groove_series_{series}_{end}_mm"] for end in ("min", "max"))
            if low is not None:
                inside(row, f"face to groove, series {series}, tolerance", high - low, 0.14, 0.22)
    rising(get("bearing_fillets"), "chamfer_min_mm")
    for row in get("bearing_fillets"):
        inside(row, "fillet_max_mm over chamfer", row["fillet_max_mm"] / row["chamfer_min_mm"], 0.9, 1)
    used = {row["chamfer_min_mm"] for row in rows_with(get("bearings"), "chamfer_min_mm")}
    assert {0.3, 0.6, 1.0, 1.1, 1.5, 2.0} <= used
    keyed(get("bearing_suffixes"), "suffix")

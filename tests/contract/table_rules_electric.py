"""Closed forms, order and cross-checks of the tables of wire, fuse, contact, coil and clutch."""

from __future__ import annotations

from itertools import pairwise
from math import pi, sqrt

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

RHO = 17.241  # ohm mm2/km, standard annealed copper at 20 C
AMPACITIES = tuple(f"ampacity_{t}c_a" for t in (60, 75, 80, 90, 105, 125, 200))


@rule
def awg_by_the_b258_form(get):
    table = get("wire").where(system="AWG")
    rising(table, "gauge", falling=True)
    rising(table, "diameter_mm", "area_mm2", "area_cmil", "sae_area_mm2", "sae_area_cmil")
    rising(table, *AMPACITIES)
    falling = ("r20_ohm_per_km", "r20_read_ohm_per_km", "r75_stranded_ohm_per_km", "sae_r20_ohm_per_km")
    rising(table, *falling, falling=True)
    for row in table:
        named = -float(row["size"][0]) + 1 if "/" in row["size"] else float(row["size"])
        assert row["gauge"] == named, f"{at(row)}: gauge of size {row['size']}"
        diameter = 0.127 * 92 ** ((36 - row["gauge"]) / 39)
        close(row, "diameter_mm", row["diameter_mm"], diameter, off=6e-5)
        area = pi / 4 * diameter**2
        close(row, "area_mm2", row["area_mm2"], area, part=1e-4)
        close(row, "area_cmil", row["area_cmil"], (diameter / 0.0254) ** 2, off=0.6)
        close(row, "r20_ohm_per_km", row["r20_ohm_per_km"], RHO / area, part=1e-4)
        close(row, "r20_read_ohm_per_km", row["r20_read_ohm_per_km"], RHO / area, part=1e-3)
        if row["r75_stranded_ohm_per_km"] is not None:
            warm = RHO / area * (1 + 55 / 254.5) * 1.02
            close(row, "r75_stranded_ohm_per_km", row["r75_stranded_ohm_per_km"], warm, part=0.01)
        if row["sae_area_mm2"] is not None:
            inside(row, "sae_area_mm2 over area", row["sae_area_mm2"] / area, 0.88, 0.972)
            close(row, "sae_area_cmil", row["sae_area_cmil"] * 5.067075e-4, row["sae_area_mm2"], part=1e-3)
            close(row, "sae_r20_ohm_per_km", row["sae_r20_ohm_per_km"], RHO / row["sae_area_mm2"], part=1e-3)


@rule
def metric_wire(get):
    table = get("wire").where(system="mm2")
    keyed(get("wire"), "system", "size")
    rising(table, "area_mm2", "area_cmil", *AMPACITIES)
    rising(table, "r20_ohm_per_km", "class5_max_ohm_per_km", "iso6722_max_ohm_per_km", falling=True)
    for row in table:
        assert float(row["size"]) == row["area_mm2"], at(row)
        close(row, "area_cmil", row["area_cmil"] * 5.067075e-4, row["area_mm2"], part=1e-3)
        close(row, "r20_ohm_per_km", row["r20_ohm_per_km"], RHO / row["area_mm2"], part=1e-4)
        for column in ("class5_max_ohm_per_km", "iso6722_max_ohm_per_km"):
            if row[column] is not None:
                inside(row, f"{column} over nominal", row[column] / row["r20_ohm_per_km"], 1.04, 1.17)


@rule
def ampacities(get):
    """Hotter insulation carries no less, and the density of current falls as the wire grows."""
    for group in grouped(rows_with(get("wire"), "ampacity_60c_a"), "system"):
        for row in group:
            given = [row[c] for c in AMPACITIES if row[c] is not None]
            assert given == sorted(given), f"{at(row)}: ampacity falls with hotter insulation"
            assert given[-1] <= 4.5 * given[0], f"{at(row)}: ampacities too far apart"
        for column in AMPACITIES:
            for before, after in pairwise([row for row in group if row[column] is not None]):
                growth = after[column] / before[column]
                assert growth <= after["area_mm2"] / before["area_mm2"] * 1.27, f"{at(after)}, {column}"


@rule
def derating(get):
    table = get("wire_derating")
    engine = table.where(cause="engine space at 50 C")
    rising(engine, "insulation_c", "factor")
    for row in engine:
        if row["insulation_c"] == 200:
            assert row["factor"] == 1, at(row)
        else:
            t = row["insulation_c"]
            close(row, "factor", row["factor"], sqrt((t - 50) / (t - 30)), off=0.007)
    bundle = table.where(cause="bundle")
    chained(bundle, "from_count", "to_count", step=1)
    rising(bundle, "factor", falling=True)
    for row in table:
        inside(row, "factor", row["factor"], 0.4, 1)
    keyed(get("wire_types"), "type")
    for row in get("wire_types"):
        assert row["insulation_c"] in (80, 85, 100, 125, 150, 175), at(row)


@rule
def fuses(get):
    table = get("fuse_ratings")
    keyed(table, "style", "rating_a")
    for group in grouped(table, "style"):
        rising(group, "rating_a")
        rising(group, "cold_mohm", falling=True)
    for row in table:
        inside(row, "rating_a", row["rating_a"], 1, 100)
        assert row["voltage_v"] == 32, at(row)
        if row["cold_mohm"] is not None:
            inside(row, "cold_mohm (as drop in mV)", row["cold_mohm"] * row["rating_a"], 50, 130)
    windows = get("fuse_windows")
    for group in grouped(windows, "style"):
        rising(group, "load_percent")
        rising(group, "time_min_s", "time_max_s", falling=True)
    for row in windows:
        inside(row, "load_percent", row["load_percent"], 100, 600)
        if row["time_min_s"] is not None and row["time_max_s"] is not None:
            inside(row, "time_max_s over time_min_s", row["time_max_s"] / row["time_min_s"], 4, 850)
        if row["time_max_s"] is None:
            assert row["time_min_s"] == 100 * 3600, f"{at(row)}: carrying current for 100 h"
    glass = windows.where(style="glass cartridge")
    assert [row["time_max_s"] for row in glass] == [3600, 120]


@rule
def facts(get):
    for name in ("circuit_facts", "clutch_facts"):
        keyed(get(name), "part", "item")
    units = {
        "1": (0.3, 30),
        "A": (0.1, 1000),
        "mm": (0.03, 180),
        "%/K": (0.1, 0.45),
        "ohm": (2, 90),
        "V": (0.02, 1500),
        "ms": (3, 1000),
        "mohm": (2, 200),
        "%": (3, 30),
        "mm2": (0.75, 1),
        "AWG": (16, 16),
        "ohm*m": (1.72e-8, 1.73e-8),
        "1/K": (3.9e-3, 4e-3),
        "K": (5, 235),
        "ohm*cmil/ft": (10.3, 11),
        "K/W": (0.5, 5),
        "N": (50, 200),
        "T": (1.5, 1.9),
        "1/min": (2, 6),
        "J/(kg*K)": (400, 1300),
        "W/(m*K)": (0.5, 20),
        "W/(m2*K)": (5, 60),
        "degC": (60, 90),
    }
    facts_hold(get("circuit_facts"), units, wide=("contact drop at 10 A",))
    facts_hold(get("clutch_facts"), units, wide=("lock-up time", "cycles"))
    table = get("circuit_facts")
    fuse = table.one(part="fuse", item="interrupting current")
    assert fuse["high"] == 1000, at(fuse)
    amperes = [row for row in table if row["unit"] == "A" and row["part"] != "fuse"]
    for row in amperes:
        for column in ("low", "high"):
            inside(row, column, row[column] or 1, 0.1, 60)
    for row in table:
        if row["part"] in ("switch", "joint", "cable", "circuit") and row["unit"] == "V":
            inside(row, "high", row["high"], 0, 0.5)
        if row["part"] == "battery":
            for column in ("low", "likely", "high"):
                inside(row, column, row[column] or 12, 9, 14.5)
    copper = table.one(part="copper", item="temperature coefficient at 20 C")["likely"]
    offset = table.one(part="copper", item="zero-resistance offset")
    close(offset, "likely", offset["likely"], 1 / copper - 20, off=0.01)
    resistivity = table.one(part="copper", item="resistivity at 20 C")
    close(resistivity, "likely", resistivity["likely"] * 1e9, RHO, part=1e-4)
    k = table.one(part="copper", item="ABYC constant K")
    warm = resistivity["likely"] * 0.3048 / 5.067075e-10
    inside(k, "likely over the cold constant", k["likely"] / warm, 1.0, 1.05)
    relay = {row["item"]: row for row in table.where(part="relay")}
    for item, share in (("low", "high"), ("high", "low")):
        current = 12 / relay["coil resistance"][item]
        close(relay["coil current"], share, relay["coil current"][share], current, off=0.005)
    hot = [relay[f"contact current, {t} C"] for t in (23, 85, 125)]
    rising(hot, "high", falling=True)
    assert relay["drop-out voltage"]["low"] < relay["pull-in voltage"]["high"] < 12
    sound = table.one(part="joint", item="resistance, sound crimp")
    bad = table.one(part="joint", item="resistance, bad crimp or rusty ground")
    assert 5 * sound["high"] < bad["low"]
    rest = table.one(part="battery", item="rest voltage")["likely"]
    running = table.one(part="battery", item="charging voltage")
    crank = table.one(part="battery", item="voltage while cranking")
    assert crank["high"] < rest < running["low"]


@rule
def clutch(get):
    table = get("clutch_facts")
    coil = table.one(part="coil", item="resistance at 20 C")
    current = table.one(part="coil", item="current at 12.0 V")
    close(current, "likely", current["likely"], 12 / coil["likely"], off=0.15)
    gaps = [table.one(part="gap", item=f"range {x}") for x in "abc"]
    plan = table.one(part="gap", item="planning")
    for row in table.where(part="gap"):
        inside(row, "high", row["high"], 0.1, 0.65)
    for row in table.where(part="torque"):
        inside(row, "likely", row["likely"], 0.3, 3)
    assert min(g["low"] for g in gaps) == plan["low"], at(plan)
    assert plan["high"] <= max(g["high"] for g in gaps), at(plan)
    planning = table.one(part="coil", item="resistance, planning")
    assert planning["low"] <= coil["low"] and coil["high"] <= planning["high"], at(planning)
    ratings = get("clutch_ratings")
    rising(ratings, "torque_lbf_ft")
    for before, after in pairwise(ratings):
        inside(
            after,
            "torque_lbf_ft over the one before",
            after["torque_lbf_ft"] / before["torque_lbf_ft"],
            1.1,
            1.6,
        )
    for row in get("crank_bolts"):
        inside(row, "torque_high_nm over low", row["torque_high_nm"] / row["torque_low_nm"], 1, 1.2)
        inside(row, "torque_low_nm", row["torque_low_nm"], 40, 80)


@rule
def insulation(get):
    table = get("insulation_classes")
    rising(table, "limit_c", "rise_k")
    for row in table:
        inside(row, "limit_c less 40 less rise_k", row["limit_c"] - 40 - row["rise_k"], 5, 15)


@rule
def steel(get):
    """Steel is easier than air and harder the further it is driven."""
    table = get("magnetic_steel")
    rising(table, "flux_density_t", "field_a_per_m")
    rows = table.rows
    assert rows[0]["flux_density_t"] == rows[0]["field_a_per_m"] == 0
    slopes = [
        (b["field_a_per_m"] - a["field_a_per_m"]) / (b["flux_density_t"] - a["flux_density_t"])
        for a, b in pairwise(rows)
    ]
    for row, before, after in zip(rows[1:], slopes, slopes[1:], strict=False):
        assert after >= before, f"{at(row)}: the curve bends back"
    assert slopes[-1] < 1 / (4e-7 * pi), f"{at(rows[-1])}: steeper than air"


@rule
def friction_pairs(get):
    table = get("friction_pairs")
    keyed(table, "pair", "condition", "source")
    for row in table:
        inside(row, "mu_low", row["mu_low"], 0.03, 0.65)
        inside(row, "mu_high", row["mu_high"], row["mu_low"], 0.65)
        for low, high in (
            ("pressure_low_kpa", "pressure_high_kpa"),
            ("temperature_steady_c", "temperature_max_c"),
            ("power_low_w_per_mm2", "power_high_w_per_mm2"),
        ):
            if row[low] is not None and row[high] is not None:
                assert row[low] <= row[high], f"{at(row)}, {low}"
        for column, low, high in (
            ("pressure_low_kpa", 170, 2500),
            ("pressure_high_kpa", 60, 4200),
            ("temperature_max_c", 100, 815),
            ("temperature_steady_c", 75, 400),
            ("power_low_w_per_mm2", 0.3, 4),
            ("power_high_w_per_mm2", 0.6, 4),
        ):
            if row[column] is not None:
                inside(row, column, row[column], low, high)
    for row in rows_with(table, "pressure_low_kpa"):
        inside(row, "pressure_high_kpa over low", row["pressure_high_kpa"] / row["pressure_low_kpa"], 1.3, 8)
    for row in table:
        inside(row, "mu_high over mu_low", row["mu_high"] / row["mu_low"], 1, 4)
    for group in grouped(table, "pair", "source"):
        wet = [row for row in group if row["condition"] == "wet"]
        dry = [row for row in group if row["condition"] == "dry"]
        for one, other in zip(wet, dry, strict=False):
            assert one["mu_high"] < other["mu_low"], f"{at(one)}: wet grips better than dry"


@rule
def terminals_and_charging(get):
    for group in grouped(get("terminals"), "group"):
        rising(group, "wire_awg")
        rising(group, "current_a", "pull_out_n", falling=True)
    for row in get("terminals"):
        wire = get("wire").one(system="AWG", size=str(int(row["wire_awg"])))
        inside(row, "current_a (A/mm2)", row["current_a"] / wire["area_mm2"], 3.5, 10)
        if row["pull_out_n"] is not None:
            inside(row, "pull_out_n (N/mm2)", row["pull_out_n"] / wire["area_mm2"], 60, 115)
    among(get("charging"), "kind", "unregulated stator", "regulated stator")
    for group in grouped(get("charging"), "kind"):
        rising(group, "rating_a", "high_a", "speed_rpm")
    for row in get("charging"):
        assert row["high_a"] == row["rating_a"] and (row["low_a"] or 0) <= row["high_a"], at(row)
        inside(row, "rating_a", row["rating_a"], 2, 20)
        if row["speed_rpm"] is not None:
            inside(row, "speed_rpm over rating_a", row["speed_rpm"] / row["rating_a"], 1200, 1200)

"""Cross-checks of the tables of roller chains: a number says its pitch, and the other sizes keep their shares of it."""

from __future__ import annotations

from table_rules import close, facts_hold, inside, keyed, rising, rule

INCH = 25.4


@rule
def chain_sizes(get):
    """An inch number is eighths of an inch and a digit, a metric one sixteenths; all else goes with the pitch."""
    table = get("chain_sizes")
    keyed(table, "number")
    for row in table:
        eighths = int(row["number"][:-1]) if row["series"] == "inch" else int(row["number"][:2]) / 2
        pitch = row["pitch_mm"]
        close(row, "pitch_mm", pitch, eighths * INCH / 8, off=1e-6)
        inside(row, "roller over pitch", row["roller_mm"] / pitch, 0.5, 0.7)
        inside(row, "inside width over pitch", row["inside_width_mm"] / pitch, 0.48, 0.7)
        inside(row, "pin over pitch", row["pin_mm"] / pitch, 0.27, 0.4)
        # 12,500 lbf for one inch of pitch is the standard's least; the light number 41 has half of that
        inside(row, "strength over pitch squared", row["tensile_least_n"] / pitch**2, 40, 115)
        if row["tensile_average_n"] is not None:
            inside(row, "average over least", row["tensile_average_n"] / row["tensile_least_n"], 1.1, 1.4)
        inside(row, "mass over pitch squared", row["mass_kg_per_m"] / pitch**2, 0.0025, 0.0047)
        if row["k_plate"] is not None:
            inside(row, "k_plate", row["k_plate"], 0.0022, 0.004)
            inside(row, "k_roller", row["k_roller"], 3.4, 29)


@rule
def chain_strands(get):
    table = get("chain_strands")
    assert [row["strands"] for row in table] == [1, 2, 3, 4, 5, 6]
    for row in table:
        inside(row, "factor over strands", row["factor"] / row["strands"], 0.75, 1.0)


@rule
def chain_service(get):
    keyed(get("chain_service"), "load", "driver")
    for driver in ("motor", "engine"):
        rows = get("chain_service").where(driver=driver).rows
        rising(rows, "factor")
        for row in rows:
            inside(row, "factor", row["factor"], 1.0, 1.8)


@rule
def chain_lubrication(get):
    rising(get("chain_lubrication"), "by_hand_ft_per_min", "drip_or_bath_ft_per_min", falling=True, strict=False)
    for row in get("chain_lubrication"):
        inside(row, "drip over hand", row["drip_or_bath_ft_per_min"] / row["by_hand_ft_per_min"], 7, 9)
        get("chain_sizes").one(number=row["number"])


@rule
def chain_facts(get):
    """Shares, pitches, teeth; each item near what the trade's rules of thumb say of it."""
    known = {"%": (1, 200), "pitches": (2, 50), "deg": (100, 130), "1": (0.05, 120)}
    facts_hold(get("chain_facts"), known)
    narrow = {
        "slack movement": (4, 6),
        "slack movement of a steep chain": (2, 3),
        "take-up": (2, 2),
        "worn out": (3, 3),
        "worn out on fixed centres": (1.5, 1.5),
        "slip-fit connecting link": (20, 40),
        "centres": (30, 50),
        "teeth of the small sprocket": (15, 19),
        "teeth of the large sprocket": (110, 130),
        "ratio in one step": (6, 10),
        "pull over strength": (0.1, 0.1),
    }
    for item, (low, high) in narrow.items():
        row = get("chain_facts").one(item=item)
        for column in ("low", "likely", "high"):
            if row[column] is not None:
                inside(row, column, row[column], low, high)

"""Wire: gauge formula, trade sizes, resistance, ampacity, drop and terminals."""

import math

import numpy as np
import pytest
from jackshaft.mechanics import contacts, wiring
from jackshaft.tables import table
from jackshaft.units import UnitsRequired, awg_area, registry

ZERO_C = 273.15
AWG = [r for r in table("wire").rows if r["system"] == "AWG"]
MM2 = [r for r in table("wire").rows if r["system"] == "mm2"]


def gauge(size):
    return awg_area(wiring.gauge_number(size))


@pytest.mark.parametrize("row", AWG, ids=lambda r: r["size"])
def test_gauge_formula_gives_the_resistance_that_tables_print(row):
    """The read column is another publication's table of copper wire, rounded to four figures."""
    ohm_km = 1000.0 * wiring.wire_resistance.si(gauge(row["size"]), length=1.0)
    assert ohm_km == pytest.approx(row["r20_read_ohm_per_km"], rel=1e-3)


def test_three_gauges_double_the_area_and_six_the_diameter():
    n = np.arange(4, 25)
    ratio = awg_area(n - 3) / awg_area(n)
    assert ratio == pytest.approx(2.0, rel=0.003)
    assert np.sqrt(awg_area(n - 6) / awg_area(n)) == pytest.approx(2.0, rel=0.003)
    assert awg_area(36) == pytest.approx(math.pi / 4 * 0.127e-3**2, rel=1e-12)
    # 0.46 in: the other end that the formula is pinned to
    assert awg_area(-3) == pytest.approx(math.pi / 4 * 0.011684**2, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "number"), [("16", 16), ("16 AWG", 16), ("1/0", 0), ("4/0", -3), ("0", 0), ("000", -2)]
)
def test_gauges_are_read_as_written(text, number):
    assert wiring.gauge_number(text) == number


@pytest.mark.parametrize("text", ["5/0", "41", "-2", "1.5", "mm2", ""])
def test_what_is_no_gauge_is_refused(text):
    with pytest.raises(ValueError, match="no wire gauge"):
        wiring.gauge_number(text)
    with pytest.raises(ValueError, match="gauges run"):
        awg_area(41)


def test_automotive_gauge_holds_up_to_eleven_percent_less_copper():
    """Trap: the number on automotive wire is not the true gauge."""
    shares = {}
    for row in AWG:
        if row["sae_area_mm2"]:
            thin = wiring.wire_size.si(row["sae_area_mm2"] * 1e-6)
            assert (thin.system, thin.size) == ("SAE", row["size"])
            shares[row["size"]] = 1.0 - thin.area / gauge(row["size"])
    assert max(shares.values()) < 0.115
    assert min(shares[s] for s in ("18", "16", "14", "12", "10", "8", "6", "4", "2", "1")) > 0.05
    assert shares["12"] == pytest.approx(0.107, abs=0.002)
    worst = wiring.wire_size.si(gauge("12"))
    assert worst.r20_worst / worst.r20 == pytest.approx(1.0 / (1.0 - shares["12"]), rel=2e-3)


@pytest.mark.parametrize("row", MM2, ids=lambda r: r["size"])
def test_metric_size_is_a_class_of_resistance(row):
    size = wiring.wire_size.si(row["area_mm2"] * 1e-6)
    assert (size.system, size.size, size.listed) == ("mm2", row["size"], True)
    assert size.r20 < size.r20_worst < 1.25 * size.r20


def test_an_unlisted_size_is_said_to_be_unlisted():
    odd = wiring.wire_size("1.7 mm²")
    assert not odd.listed and odd.system == "" and odd.r20 == odd.r20_worst


def test_warm_wire_resists_24_percent_more_at_80_degrees():
    cold = wiring.wire_resistance("16 AWG", length="18 ft")
    warm = wiring.wire_resistance("16 AWG", length="18 ft", temperature="80 °C")
    assert (warm / cold).magnitude == pytest.approx(1.236, abs=0.001)
    assert (wiring.wire_resistance("16 AWG", length="18 ft", temperature="20 °C") / cold).magnitude == 1.0


def test_coefficient_of_copper_is_that_of_20_degrees():
    """Trap: 0.0043 belongs to 0 °C."""
    slope = (
        wiring.wire_resistance.si(1e-6, length=1.0, temperature=ZERO_C + 120.0)
        / wiring.wire_resistance.si(1e-6, length=1.0)
        - 1.0
    ) / 100.0
    assert slope == pytest.approx(0.00393, abs=5e-6)


def test_units_are_asked_for_and_inch_and_metric_agree():
    with pytest.raises(UnitsRequired, match="length"):
        wiring.wire_resistance("16 AWG", length=5.0)
    a = wiring.wire_resistance("16 AWG", length="10 ft")
    b = wiring.wire_resistance(registry().Quantity(awg_area(16) * 1e6, "mm**2"), length="3.048 m")
    assert a.to("ohm").magnitude == pytest.approx(b.to("ohm").magnitude, rel=1e-12)


@pytest.mark.parametrize(
    "call",
    [
        lambda: wiring.wire_resistance.si(0.0, length=1.0),
        lambda: wiring.wire_resistance.si(1e-6, length=-1.0),
        lambda: wiring.wire_size.si(-1e-6),
        lambda: wiring.wire_for_drop.si(5.0, loop=3.0, drop=0.0),
        lambda: wiring.next_size_si(1e-6, system="BWG"),
    ],
)
def test_impossible_wire_is_refused(call):
    with pytest.raises(ValueError):
        call()


def test_true_gauge_passes_where_automotive_wire_of_that_number_does_not():
    """10 A over 21 ft at 3 %: 6271 cmil (independent recomputation of a marine chart's example)."""
    area = wiring.wire_for_drop.si(10.0, loop=21 * 0.3048, drop=0.36)
    assert area / wiring.CMIL == pytest.approx(6270.83, abs=0.01)
    assert wiring.next_size_si(area).size == "12"
    assert wiring.next_size_si(area, system="SAE").size == "10"
    assert wiring.next_size_si(area, system="mm2").size == "4"
    assert wiring.next_size_si(1e-3) is None


def test_size_for_a_drop_gives_that_drop():
    area = wiring.wire_for_drop("4.6 A", loop="18 ft", drop="0.4 V", constant=10.371).to("m**2").magnitude
    drop = 4.6 * wiring.wire_resistance.si(area, length=18 * 0.3048)
    assert drop == pytest.approx(0.4, rel=2e-4)


def _ampacity_is_listed(cell):
    row, column = cell
    found = wiring.ampacity.si(gauge(row["size"]), insulation=ZERO_C + column)
    assert found.inside and found.amps == found.table_amps == row[f"ampacity_{column}c_a"]


def test_listed_ampacity_is_the_table_itself(for_each):
    cells = [(row, column) for row in AWG if row["ampacity_60c_a"] for column in wiring.CLASSES]
    for_each(cells, _ampacity_is_listed, lambda cell: f"{cell[0]['size']} at {cell[1]} °C")


def test_engine_space_and_bundle_multiply():
    wire = gauge("14")
    one = wiring.ampacity("14 AWG", insulation="105 °C", engine_space=True, bundled=5)
    assert one.amps.to("A").magnitude == pytest.approx(35 * 0.85 * 0.60)
    factors = [
        wiring.ampacity.si(wire, insulation=ZERO_C + 105, bundled=n).bundle_factor
        for n in (1, 2, 3, 4, 6, 7, 24, 25, 60)
    ]
    assert factors == [1.0, 1.0, 0.7, 0.6, 0.6, 0.5, 0.5, 0.4, 0.4]


@pytest.mark.parametrize("celsius", [60, 90, 105, 125])
def test_engine_space_factor_follows_the_heat_balance(celsius):
    """sqrt((rating - 50)/(rating - 30)) reproduces the code's factors within their rounding."""
    found = wiring.ampacity.si(gauge("14"), insulation=ZERO_C + celsius, engine_space=True)
    assert found.space_factor == pytest.approx(math.sqrt((celsius - 50) / (celsius - 30)), abs=0.01)


def test_a_class_between_two_columns_is_read_in_the_cooler_one():
    between = wiring.ampacity.si(gauge("16"), insulation=ZERO_C + 100)
    assert between.amps == wiring.ampacity.si(gauge("16"), insulation=ZERO_C + 90).amps
    assert "90 °C" in between.basis
    with pytest.raises(ValueError, match="starts at 60"):
        wiring.ampacity.si(gauge("16"), insulation=ZERO_C + 50)
    with pytest.raises(ValueError, match="bundle"):
        wiring.ampacity.si(gauge("16"), insulation=ZERO_C + 90, bundled=0)


def test_outside_the_list_the_answer_is_flagged_on_both_sides_of_the_edge():
    edge = wiring.ampacity.si(gauge("18"), insulation=ZERO_C + 105)
    below = wiring.ampacity.si(gauge("20"), insulation=ZERO_C + 105)
    assert edge.inside and not below.inside and "outside the list" in below.basis
    assert 0.5 * edge.amps < below.amps < edge.amps * gauge("20") / gauge("18") * 1.15
    above = wiring.ampacity.si(2 * gauge("4/0"), insulation=ZERO_C + 105)
    assert not above.inside and above.amps == 445


def test_automotive_wire_carries_less_by_the_heat_in_less_copper():
    thin = next(r["sae_area_mm2"] for r in AWG if r["size"] == "16") * 1e-6
    found = wiring.ampacity.si(thin, insulation=ZERO_C + 125)
    assert found.inside and found.amps == pytest.approx(30 * math.sqrt(thin / gauge("16")))


def test_metric_ampacity_and_sizes_between_rows():
    assert wiring.ampacity.si(1.5e-6, insulation=ZERO_C + 105).amps == 25
    between = wiring.ampacity.si(2e-6, insulation=ZERO_C + 105)
    assert between.inside and 25 < between.amps < 35


@pytest.mark.parametrize(
    ("area", "group", "amps"),
    [
        ("16 AWG", "6.3 mm tab", 10),
        ("12 AWG", "6.3 mm tab", 20),
        ("1.5 mm²", "6.3 mm tab", 10),
        ("16 AWG", "small tab", 5),
    ],
)
def test_terminals_follow_their_wire(area, group, amps):
    assert contacts.terminal_limit(area, group=group).to("A").magnitude == amps


def test_terminal_below_the_table_is_refused():
    with pytest.raises(ValueError, match="no '6.3 mm tab'"):
        contacts.terminal_limit("24 AWG")

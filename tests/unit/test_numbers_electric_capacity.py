"""The numbers that circuit and belt capacity hand on: each worked out again from the build, by hand."""

from math import pi, sqrt

import pytest
from jackshaft.buildfile import DEMO, builds_dir, load, parse
from jackshaft.chapters.electric.care import readings_of
from jackshaft.results import Number, Reader, work_up

#: Copper at 20 °C, ohm metre, and its gain per kelvin: common handbook values, from memory.
COPPER, GAIN = 1.7241e-8, 0.00393
INCH, HP, RPM = 0.0254, 745.7, 2 * pi / 60
#: 14 AWG is 0.005 in × 92^((36 − 14) / 39) across: the definition of the gauge.
AWG14 = pi / 4 * (0.005 * INCH * 92 ** (22 / 39)) ** 2


READING = """
[[circuit.reading]]
name = "today"
joint = "coil +"
volts = "13.0 V"
supply = "running"
"""


@pytest.fixture(scope="module")
def results():
    return work_up(load(DEMO))


def fact(results, label):
    return next(f.found for c in results.chapters.values() for f in c.facts if f.label == label)


def check(results, id):
    return next(c for c in results.checks if c.id == id)


def sheet(results, chapter, title):
    return next(t for t in results.chapters[chapter].tables if title in t.title)


def test_the_demo_is_the_build_that_is_reckoned_here():
    build = load(DEMO)
    said = {k: build.get(f"circuit.{k}").text for k in ("wire", "length_out", "length_back", "joint_resistance")}
    assert said == {"wire": "14 AWG", "length_out": "8 ft", "length_back": "8 ft", "joint_resistance": "0.04 ohm"}
    assert build.get("circuit.running_voltage").si == 14.1 and build.get("clutch.coil_resistance").si == 2.6


def test_wire_current_and_voltage(results):
    wire = COPPER * 16 * 12 * INCH / AWG14
    amps = 14.1 / (2.6 + wire + 0.040)
    assert fact(results, "wire in the loop").si == pytest.approx(wire, rel=2e-3)
    current = fact(results, "coil current, engine running")
    assert (current.kind, current.si) == ("current", pytest.approx(amps, rel=1e-3)) and current.low < current.si
    assert current.known == "measured, multimeter, leads taken off"
    volts = check(results, "electric.voltage")
    assert (volts.found.kind, volts.found.si) == ("voltage", pytest.approx(2.6 * amps, rel=1e-3))
    assert volts.found.low < volts.found.si and volts.wanted.si == 12.0
    lost = check(results, "electric.drop")
    assert lost.found.si == pytest.approx(14.1 - 2.6 * amps, rel=0.02) and lost.found.high > lost.found.si
    assert lost.wanted.si == pytest.approx(1.41)
    assert check(results, "electric.coil").found.si == pytest.approx(12**2 / 2.6)


def test_heat_in_the_parts_adds_up_to_what_the_supply_gives(results):
    """What source and wire give up together is U times I: the law of energy."""
    rows = sheet(results, "electric", "Each part of the line").numbers()
    assert sum(r["heat running, cold"] for r in rows) == pytest.approx(14.1 * rows[0]["current"], rel=1e-6)
    assert sum(r["drop"] for r in rows) == pytest.approx(14.1, rel=1e-9)
    hot = 2.6 * (1 + GAIN * 80)
    current = 14.1 / (hot + 14.1 / rows[0]["current"] - 2.6)
    assert fact(results, "coil current, engine running").shown.endswith(f"{current:.2f} A hot")


def test_what_charging_leaves_is_negative_where_it_is_short(results):
    build = results.build
    total = sum(r["current"] for r in sheet(results, "electric", "Charging budget").numbers() if r["way"] == "draws")
    gives = build.get("circuit.charging_work").si
    assert check(results, "electric.charging").found.si == pytest.approx(gives - total, rel=1e-9)
    short = work_up(build.with_values({"circuit.charging_work": "1 A"}), ("electric",))
    found = check(short, "electric.charging").found
    assert found.si == pytest.approx(1.0 - total, rel=1e-9) and found.si < 0 and " short" in found.shown


def test_a_reading_is_held_against_the_computed_voltage(results):
    text = (builds_dir() / results.build.file).read_text(encoding="utf-8")
    new = parse((text + READING).encode(), file=results.build.file)
    again = work_up(new, ("electric",))
    (reading,) = readings_of(Reader(new), again.chapters["electric"].data)
    row = sheet(again, "electric", "Expected voltage").numbers()
    expected = next(r["running, cold"] for r in row if r["black lead on battery −, red lead on"] == "coil +")
    assert reading.off == pytest.approx(expected - 13.0) and reading.means == "a fault on the way"
    assert check(again, "electric.readings").found.si == pytest.approx(expected - 13.0)
    assert readings_of(Reader(new), None) == ()


def test_power_to_design_for_and_bends(results):
    """3.5 hp by a service factor of 1.3 and 0.1 for an outside idler in the slack strand; belt speed over length."""
    design = fact(results, "crank belts: power to design for")
    assert (design.kind, design.si) == ("power", pytest.approx(3.5 * HP * 1.4, rel=1e-4))
    power = check(results, "capacity.power[crank belts]")
    assert power.wanted.si == design.si and power.found.low < power.found.si < power.found.high
    layout = results.chapters["layout"].data["crank belts"]
    driver = next(r for r in sheet(results, "capacity", "crank belts: diameters").numbers() if r["pulley"] == "E")
    bends = check(results, "capacity.flex[crank belts]").found
    assert bends.kind == "frequency"
    speed = 3000 * RPM * driver["pitch (cord line)"] / 2
    assert bends.si == pytest.approx(3 * speed / float(layout.path.length), rel=1e-6)


@pytest.mark.parametrize(
    ("chapter", "title", "columns"),
    [
        ("electric", "Expected voltage", {"running, cold": "voltage", "battery only, hot": "voltage"}),
        ("electric", "A short at each point", {"current": "current", "fuse opens within": "time"}),
        ("electric", "Charging budget", {"current": "current"}),
        ("capacity", "diameters on every line", {"outside": "length", "pitch (cord line)": "length"}),
        ("capacity", "smallest pulleys", {"belts": "number", "path": "length", "carry (bad end)": "power"}),
    ],
)
def test_a_column_of_numbers_has_one_kind(results, chapter, title, columns):
    if "smallest" in title:
        results = work_up(load("drum_mixer"), ("capacity",))
    table = sheet(results, chapter, title)
    kinds = dict(zip(table.headings, table.kinds, strict=True))
    assert {h: kinds[h] for h in columns} == columns


@pytest.mark.parametrize(("name", "least"), [("electric", 60), ("capacity", 20)])
def test_every_number_lies_between_its_ends(results, name, least):
    chapter = results.chapters[name]
    cells = [c for t in chapter.tables for row in t.cells for c in row]
    found = [f.found for f in chapter.facts] + cells + [v for c in results.of(name) for v in (c.found, c.wanted)]
    numbers = [n for n in found if isinstance(n, Number)]
    assert len(numbers) > least
    for n in numbers:
        assert (n.low is None or n.low <= n.si) and (n.high is None or n.si <= n.high), n


def test_gauge_by_its_definition():
    """The gauge's diameter falls by the 39th root of 92 a step, so that 14 AWG is near 1.63 mm."""
    assert sqrt(4 * AWG14 / pi) == pytest.approx(1.628e-3, rel=1e-3)

"""Numbers of ratio, layout and grip as scripts read them: against formulas worked by hand from the build."""

import json
import re
from dataclasses import replace
from math import asin, cos, exp, inf, isclose, log, pi, sin
from pathlib import Path

import pytest
from jackshaft.buildfile import DEMO, load, parse
from jackshaft.render.data import value_data
from jackshaft.results import Number, work_up
from jackshaft.results.values import BOTH, GIVEN, PLAIN, TAPE, signed
from jackshaft.units import KINDS, read, show

#: Exact by definition; the horsepower is 550 ft·lbf/s.
INCH, LBF, HP, RPM = 0.0254, 4.4482216152605, 745.6998715822702, 2 * pi / 60
CHAPTERS = ("ratio", "layout", "grip")
BUILDS = [
    DEMO,
    "drum_mixer",
    "compost_trommel",
    "rotor_bearings",
    Path(__file__).parents[1] / "builds" / "flywheel_chipper.toml",
]
#: Pitch diameters of the demo's two grooved pulleys: datum plus 0.25 in for section A (ANSI/RMA IP-20).
SMALL, LARGE = 4.65 * INCH, 10.85 * INCH
#: 3.5 hp at 3000 rpm of the small pulley.
SPEED = pi * SMALL * 3000 / 60
PULL = 3.5 * HP / SPEED


@pytest.fixture(scope="module")
def demo():
    return work_up(load(DEMO))


def fact(results, chapter, label):
    return next(f.found for f in results.chapters[chapter].facts if f.label == label)


def rows(results, chapter, title):
    table = next(t for t in results.chapters[chapter].tables if t.title == title)
    return {next(iter(row.values())): row for row in table.numbers()}


def found(results, id):
    return next(c for c in results.checks if c.id == id)


def test_ratio_speed_and_torque_of_the_demo(demo):
    assert isclose(fact(demo, "ratio", "crank belts: engine to jackshaft").si, LARGE / SMALL)
    assert isclose(fact(demo, "ratio", "output chain: jackshaft to output shaft").si, 40 / 13)
    last = rows(demo, "ratio", "Each shaft")["output shaft"]
    speed = 3000 * RPM * SMALL / LARGE * 13 / 40
    assert isclose(last["at work"], speed)
    # the demo's efficiencies are 1: what goes in comes out
    assert isclose(last["torque at work"], 3.5 * HP / speed, rel_tol=1e-9)
    assert isclose(last["torque at peak"], 2.2 * 3.5 * HP / speed, rel_tol=1e-9)


def test_speed_check_has_the_band_of_its_input_and_of_the_work(demo):
    check = found(demo, "ratio.speed")
    ends = (check.found.low / check.found.si, check.found.high / check.found.si)
    assert ends == pytest.approx((2980 / 3000, 3020 / 3000)) and check.found.known.startswith("measured")
    assert (check.wanted.low / RPM, check.wanted.high / RPM) == pytest.approx((380, 430))


def test_a_stage_that_speeds_up_is_one_kind_of_number():
    build = load(DEMO).with_values({"stage[output chain].driver_teeth": 40, "stage[output chain].driven_teeth": 16})
    number = fact(work_up(build), "ratio", "output chain: jackshaft to output shaft")
    assert number.si == pytest.approx(16 / 40) and number.shown == "1 : 2.5"


def test_path_of_two_pulleys():
    results = work_up(load("drum_mixer"))
    big, small, centres = 7.5 * INCH, 1.25 * INCH, 20 * INCH
    lean = asin((big - small) / centres)
    length = 2 * centres * cos(lean) + pi * (big + small) + 2 * lean * (big - small)
    assert isclose(fact(results, "layout", "motor belt: path on the cord line").si, length, rel_tol=1e-9)
    assert isclose(found(results, "layout.wrap[motor belt]").found.si, pi - 2 * lean, rel_tol=1e-9)


def test_pull_capstan_and_hub_load_of_the_demo(demo):
    assert isclose(fact(demo, "layout", "crank belts: belt speed at work").si, SPEED)
    assert isclose(fact(demo, "grip", "crank belts: effective pull").si, PULL, rel_tol=1e-6)
    wrap = rows(demo, "layout", "crank belts: pulleys in the order the belt meets them")["E"]["wrap"]
    # tight over slack 5 at half a turn, as the trade designs: shigley17-solutions
    slack = PULL / (exp(log(5) / pi * wrap) - 1)
    needed = fact(demo, "grip", "crank belts: tension that just holds the work")
    assert isclose(needed.si, slack, rel_tol=1e-4) and needed.high > needed.si
    margin = found(demo, "grip.margin[crank belts]").found
    assert isclose(margin.si, 44 * LBF / slack, rel_tol=1e-4) and margin.low < margin.si
    # standing still every strand has the spring's 44 lbf
    rest = rows(demo, "grip", "crank belts: hub loads")["E"]["at rest"]
    assert isclose(rest, 2 * 44 * LBF * sin(wrap / 2), rel_tol=1e-6)


def agrees(number):
    """Tell whether a plain text says the number to half its last digit."""
    text = show(number.si, number.kind, number.system, by=number.by, digits=number.digits, decimals=number.decimals)
    figures, unit = re.fullmatch(r"(-?[\d.]+)(.*)", text).groups()
    step = 10.0 ** -len(figures.partition(".")[2]) * read(f"1{unit}", number.kind).si
    told = read(f"{figures}{unit}", number.kind).si
    return text in number.shown and abs(told - number.si) <= 0.501 * step + 5e-4 * abs(told)


def values(results):
    for name in CHAPTERS:
        chapter = results.chapters[name]
        yield from ((f"fact {f.label}", f.found) for f in chapter.facts)
        for table in chapter.tables:
            pairs = (pair for row in table.cells for pair in zip(table.headings, row, strict=True))
            yield from ((f"{table.title}: {heading}", cell) for heading, cell in pairs)
        yield from (
            (f"{what} {c.id}", v) for c in chapter.checks for what, v in (("found", c.found), ("limit", c.wanted))
        )


@pytest.mark.parametrize("name", BUILDS, ids=str)
def test_text_and_number_say_the_same(name):
    plain = [(w, v) for w, v in values(work_up(load(name))) if isinstance(v, Number) and v.form == PLAIN]
    wrong = [(where, v) for where, v in plain if "{}" in v.words and not agrees(v)]
    assert wrong == [] and (plain or name == "rotor_bearings")


def test_a_text_that_says_another_number_is_seen():
    number = Number(0.0254, "length", "inch")
    assert agrees(number) and not agrees(replace(number, words="1.0100 in"))


@pytest.mark.parametrize("name", BUILDS, ids=str)
def test_no_number_is_left_as_text(name):
    """What begins with a figure is a number; the reckoning's own column shows two of them with their signs."""
    left = [(w, v) for w, v in values(work_up(load(name))) if isinstance(v, str) and re.match(r"[±+-]?\s?\d", v)]
    assert {(w, v) for w, v in left if not w.endswith("put in: numbers")} <= {
        (w, v) for w, v in left if w.startswith("limit layout.path[")
    }


def test_columns_of_numbers_have_one_kind(demo):
    tables = {t.title: dict(zip(t.headings, t.kinds, strict=True)) for n in CHAPTERS for t in demo.chapters[n].tables}
    assert tables["Each shaft"]["torque at work"] == "torque"
    strands = tables["crank belts: tension of every strand"]
    assert {strands[h] for h in ("at rest", "start", "work", "peak")} == {"force"}
    assert "overrun" not in strands  # the auger never drives back
    assert tables["crank belts: tension without a gauge"]["plucked, new"] == "frequency"
    assert tables["crank belts: belts that are sold, nearest to the path"]["against the path"] == "length"
    assert all(kind in {*KINDS, ""} for table in tables.values() for kind in table.values())


def test_braces_in_a_name_are_left_alone():
    text = load(DEMO).text.replace('"E"', '"E{x}{"')
    results = work_up(parse(text.encode(), file="braces.toml"))
    assert found(results, "layout.wrap[crank belts]").value == "175.8° on E{x}{"
    assert not any(c.id.endswith(".fault") for c in results.checks)


@pytest.mark.parametrize(
    ("number", "shown"),
    [
        (Number(1.2345, "number", "inch", words="{} ×", decimals=2), "1.23 ×"),
        (Number(pi / 6, "angle", "inch", words=signed(1.0), decimals=0), "+30°"),
        (Number(-pi / 6, "angle", "metric", words=signed(-1.0), decimals=0), "-30°"),
        (Number(0.127, "length", "metric", decimals=1), "127.0 mm"),
        (Number(0.127, "length", "inch", decimals=3), "5.000 in"),
        (Number(0.127, "length", "inch", form=TAPE), "5 in (5.00 in)"),
        (Number(0.127, "length", "inch", form=BOTH), "5.000 in (127.00 mm)"),
        (Number(0.055, "number", "inch", by="percent", decimals=0), "6 %"),
        (Number(0.51234, "number", "inch", form=GIVEN), "0.51234"),
        (Number(2.0, "force", "metric", words="{} ({low} to {high})", low=1.0, high=3.0), "2.0 N (1.0 N to 3.0 N)"),
    ],
)
def test_how_a_number_is_shown(number, shown):
    assert number.shown == shown


def test_json_has_no_infinity():
    data = value_data(Number(inf, "number", "inch", low=1.0))
    assert (data["si"], data["low"], data["high"]) == (None, 1.0, None)
    json.dumps(data, allow_nan=False)

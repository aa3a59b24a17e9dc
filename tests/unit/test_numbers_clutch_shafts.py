"""Numbers of clutch, chain and shafts: in SI units, held against hand formulas on the demo's own values."""

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest
from jackshaft.buildfile import DEMO, builds_dir, load
from jackshaft.results import Number, work_up

INCH, LBF, RPM = 0.0254, 4.4482216152605, 2 * math.pi / 60
LBF_FT, PSI = 0.3048 * LBF, LBF / INCH**2
HP = 550 * LBF_FT
CHAPTERS = ("clutch", "chain", "shafts")
BUILDS = sorted([*builds_dir().glob("*.toml"), *(Path(__file__).parents[1] / "builds").glob("*.toml")])
#: What a joint that could be is made of: a description, such as "2 bolts M10x1.5 8.8".
WORDS = ("of the size",)


@pytest.fixture(scope="module")
def demo():
    return work_up(load(DEMO))


@pytest.fixture(scope="module", params=BUILDS, ids=lambda p: p.stem)
def results(request):
    return work_up(load(request.param))


def fact(results, chapter, label):
    (found,) = (f.found for f in results.chapters[chapter].facts if f.label == label)
    return found


def check(results, id):
    (found,) = (c for c in results.checks if c.id == id)
    return found


def values(results):
    """Yield where it stands and the value of every fact, check and cell of the three chapters."""
    for name in CHAPTERS:
        chapter = results.chapters[name]
        for f in chapter.facts:
            yield f.label, f.found
        for c in chapter.checks:
            yield c.id, c.found
            yield f"{c.id}, limit", c.wanted
        for t in chapter.tables:
            for row in t.cells:
                yield from (
                    (f"{t.title}: {h}", cell) for h, cell in zip(t.headings, row, strict=True) if h not in WORDS
                )


def test_the_working_torque_is_power_over_speed(demo):
    work = 3.5 * HP / (3000 * RPM)
    assert fact(demo, "chain", "working torque").si == pytest.approx(work, rel=1e-9)
    assert check(demo, "chain.holds").wanted.si == pytest.approx(work, rel=1e-9)
    assert fact(demo, "chain", "peak torque").si == pytest.approx(2.2 * work, rel=1e-9)
    # a start factor of 1.8, see the build
    assert check(demo, "clutch.pull-in").wanted.si == pytest.approx(1.8 * work, rel=1e-9)


def test_the_plate_torque_and_the_gap_are_what_the_build_says(demo):
    plate = fact(demo, "clutch", "torque it is known at")
    assert (plate.si, plate.kind, plate.known) == (pytest.approx(72 * LBF_FT), "torque", "plate")
    gap = check(demo, "clutch.gap")
    assert gap.found.si == pytest.approx(0.014 * INCH) and gap.found.known.startswith("measured")
    assert gap.wanted.low < gap.found.si < gap.wanted.high


def test_the_inertia_is_drag_by_time_over_speed(demo):
    run_down = 11 * LBF_FT * 4.0 / (300 * RPM)
    assert fact(demo, "clutch", "inertia of the work").si == pytest.approx(run_down, rel=1e-9)


def test_a_key_carries_the_smaller_of_shear_and_crushing(demo):
    shear, crush = 0.577 * 54e3 * 0.25 * 1.5 / 2, 54e3 * 0.125 * 1.5 / 2
    carries = check(demo, "shafts.joint[engine key]").found
    assert carries.si == pytest.approx(min(shear, crush) * PSI * INCH**3, rel=1e-9)
    wanted = check(demo, "shafts.joint[engine key]").wanted
    assert wanted.si == pytest.approx(1.5 * 2.2 * 3.5 * HP / (3000 * RPM), rel=1e-9)


def test_the_stress_by_torque_alone_is_that_of_a_round_bar(demo):
    # the pitch diameter of section A is the datum one and 0.25 in (ANSI/RMA IP-20, from memory); 13 teeth drive 40
    torque = 3.5 * HP / (3000 * RPM) * (10.6 + 0.25) / (4.4 + 0.25) * 40 / 13
    stress = fact(demo, "shafts", "output shaft: shear stress by the torque alone")
    assert stress.si == pytest.approx(16 * torque / (math.pi * (1.25 * INCH) ** 3), rel=1e-9)
    (bar,) = (t for t in demo.chapters["shafts"].tables if t.title == "Shear stress by the torque alone")
    own = next(row for row in bar.numbers() if row[""] == "as it is")
    assert own["stress at work"] == pytest.approx(stress.si) and own["diameter"] == pytest.approx(1.25 * INCH)
    assert bar.kinds == ("", "length", "stress", "")


def test_a_slope_is_shown_as_it_is_gauged_along_the_shaft(demo):
    """A small angle in radians is the rise over the length: inch per inch, or a thousand times that in mm per metre."""
    slope = check(demo, "shafts.slope[jackshaft]").found
    assert slope.kind == "angle" and slope.shown.startswith(f"{slope.si:.5f}".rstrip("0") + " in per inch at ")
    assert replace(slope, system="metric").shown.startswith(f"{1e3 * slope.si:.2f}".rstrip("0") + " mm per m at ")
    # one minute of arc is 0.00029 in per inch; 0.001 to 0.003 of a ball bearing is 3.4 to 10.3 minutes (shigley)
    limit = check(demo, "shafts.slope[jackshaft]").wanted
    assert limit.shown == "0.001 in per inch or less, never over 0.003 in per inch"
    assert math.degrees(limit.high) * 60 == pytest.approx(10.3, abs=0.05)


def test_what_looks_like_a_number_is_one(results):
    looks = [where for where, v in values(results) if not isinstance(v, Number) and re.match(r"[-+]?\d", v)]
    assert not looks


def test_each_number_lies_within_its_band(results):
    for where, v in values(results):
        if isinstance(v, Number):
            slack = 1e-9 * abs(v.si)
            assert v.low is None or v.low <= v.si + slack, (where, v)
            assert v.high is None or v.si <= v.high + slack, (where, v)


def test_the_facts_of_a_shaft_are_found_by_its_name_and_not_by_their_labels(demo):
    facts = demo.chapters["shafts"].data.facts
    assert set(facts) == set(demo.build.names("shaft")) and len(facts["jackshaft"]) == 7
    assert all(f in demo.chapters["shafts"].facts for mine in facts.values() for f in mine)

"""Ratio, layout and grip worked up from the builds that ship, against figures computed elsewhere.

The expected figures are an independent calculation of each build: tangent-circle path on the cord
line, groove grip exp(0.5123 wrap) likely and 0.40 at the bad end, flat back 0.30 dry, no creep, no
losses. Geometry and speed agree to 0.5 %, tensions to 5 %.
"""

import re
from pathlib import Path

import numpy as np
import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.mechanics import belts, path
from jackshaft.results import out_of_date, work_up

INCH, FT, LBF, RPM = 0.0254, 0.3048, 4.4482216152605, 2 * np.pi / 60
CHIPPER = Path(__file__).parents[1] / "builds" / "flywheel_chipper.toml"


def geometry(value):
    return pytest.approx(value, rel=0.005)


def tension(value):
    return pytest.approx(value, rel=0.05)


@pytest.fixture(scope="module")
def wagon():
    return work_up(load(DEMO))


def verdicts(results):
    return {c.id: c.verdict for c in results.checks}


def test_feed_wagon_speeds_and_directions(wagon):
    data = wagon.chapters["ratio"].data
    assert [s.work / RPM for s in data.shafts] == [geometry(v) for v in (3000, 1285.7, 417.9)]
    assert [s.turn for s in data.shafts] == [1, 1, 1]
    assert data.shaft("engine").torque / (LBF * FT) == geometry(6.13)
    assert verdicts(wagon)["ratio.speed"] == verdicts(wagon)["ratio.direction"] == "go"


def test_feed_wagon_belt_geometry(wagon):
    belt = wagon.chapters["layout"].data["crank belts"]
    assert belt.path.length / INCH == geometry(62.09)
    assert dict(zip(belt.pulleys.names, np.degrees(belt.path.wrap), strict=True)) == {
        "E": geometry(175.8),
        "I": geometry(24.1),
        "J": geometry(208.3),
    }
    assert belt.path.span / INCH == pytest.approx([5.77, 10.21, 18.18], rel=0.005)
    assert belt.speed / FT * 60 == geometry(3652)


def test_feed_wagon_belt_grip(wagon):
    grip = wagon.chapters["grip"].data["crank belts"]
    assert grip.pull / LBF == geometry(31.6)
    assert grip.centrifugal / LBF == tension(16.2)
    assert grip.margin == tension(5.31) and grip.margin_bad == tension(3.36)
    names = wagon.chapters["layout"].data["crank belts"].pulleys.names
    assert names[grip.limiting] == "E" and grip.tight_idlers == ()
    for case, hubs in (("work", (120, 18.4, 116)), ("peak", (158, 18.4, 154))):
        assert np.hypot(*grip.case(case).hub.T) / LBF == pytest.approx(hubs, rel=0.05)
    assert np.hypot(*grip.hub_rest.T) / LBF == pytest.approx((88, 18.4, 85), rel=0.05)
    for id in ("grip.margin", "grip.start", "grip.peak", "grip.idlers"):
        assert verdicts(wagon)[f"{id}[crank belts]"] == "go"


def test_mixer_speeds_and_belt():
    results = work_up(load("drum_mixer"))
    data = results.chapters["ratio"].data
    assert data.shaft("countershaft").work / RPM == geometry(287.5)
    assert data.shaft("drum").work / RPM == geometry(23.96)
    assert data.shaft("drum").torque / (LBF * FT) == geometry(296)
    belt = results.chapters["layout"].data["motor belt"]
    assert belt.path.length / INCH == geometry(69.46)
    assert np.degrees(belt.path.wrap[belt.pulleys.driver]) == geometry(143.6)
    assert belt.path.span[0] / INCH == geometry(19.0)
    assert results.chapters["grip"].data["motor belt"].pull / LBF == geometry(43.8)
    assert verdicts(results)["layout.pulley-size[motor belt]"] == "stop"


def test_trommel_speeds_and_stock_lengths():
    results = work_up(load("compost_trommel"))
    speeds = {s.name: s.work / RPM for s in results.chapters["ratio"].data.shafts}
    assert speeds["gearbox input"] == geometry(825.4)
    assert speeds["roller shaft"] == geometry(82.5)
    assert speeds["drum"] == geometry(20.6)
    belt = results.chapters["layout"].data["belt"]
    assert belt.path.length * 1e3 == geometry(1871)
    centres = {s.designation: s.centres * 1e3 for s in belt.stock}
    assert centres["SPA 1800"] == geometry(563.8)
    assert centres["SPA 1900"] == geometry(614.6)
    assert centres["SPA 2000"] == geometry(665.4)
    assert np.degrees(belt.path.wrap[belt.pulleys.driver]) == geometry(159.4)
    assert belt.speed == geometry(13.6)


def test_metric_build_shows_no_inch():
    results = work_up(load("compost_trommel"))
    words = []
    for chapter in results.chapters.values():
        words += [f"{f.label} {f.value} {f.note}" for f in chapter.facts]
        words += [" ".join(row) for s in chapter.tables for row in s.rows]
    words += [f"{c.value} {c.limit} {c.reason} {c.remedy}" for c in results.checks]
    inch_units = re.compile(r"\d ?(in|ft|ft/min|lbf|lbf·ft|hp|AWG|psi|ksi|°F|lb)(?![\w·/])|AWG \d|\bthou\b")
    assert [w for w in words if inch_units.search(w)] == []
    assert inch_units.search("0.41 in (10 mm)") and inch_units.search("16 AWG")


def test_the_chipper_reaches_its_stops():
    results = work_up(load(CHIPPER))
    found = verdicts(results)
    belt = results.chapters["layout"].data["wheel belts"]
    assert belt.path.length / INCH == geometry(108.8)
    assert np.degrees(belt.path.wrap[belt.pulleys.names.index("E")]) == geometry(78.7)
    for id in ("layout.length", "layout.pulley-size", "grip.margin", "grip.idlers", "capacity.power"):
        assert found[f"{id}[wheel belts]"] == "stop", id
    assert results.chapters["grip"].data["wheel belts"].pull / LBF == geometry(188)
    assert results.exit_code == 1


def test_a_broken_path_is_refused_with_the_pulleys_named():
    apart = load(DEMO).with_values(
        {"stage[crank belts].pulley[I].x": "12.0 in", "stage[crank belts].pulley[I].y": "1.0 in"}
    )
    results = work_up(apart)
    check = next(c for c in results.checks if c.id == "layout.path[crank belts]")
    assert check.verdict == "stop" and "J" in check.reason and "I" in check.reason and check.remedy
    assert results.chapters["grip"].data is None and "crank belts" in results.chapters["grip"].words


def test_the_belt_that_is_on_moves_the_idler():
    """A61 is 61 + 2.08 in on the cord line (Machinery's Handbook 31, pp. 2575-2578), an inch more than the path.

    The idler swings out on its arm until the path is that long, and grip goes by where it then is.
    """
    longer = load(DEMO).with_values({"stage[crank belts].marked": "A61"})
    belt = work_up(longer).chapters["layout"].data["crank belts"]
    assert belt.chosen.designation == "A61"
    drawn = work_up(load(DEMO)).chapters["layout"].data["crank belts"]
    assert belt.chosen.pitch_length - drawn.chosen.pitch_length == pytest.approx(25.4e-3, rel=2e-3)
    x, y = belt.chosen.x / INCH, belt.chosen.y / INCH
    assert np.hypot(x - 13.0, y + 6.0) == pytest.approx(np.hypot(6.0, 3.12))  # still on its arm
    assert belt.chosen.gap > 0
    moved = work_up(
        longer.with_values(
            {"stage[crank belts].pulley[I].x": f"{x:.6f} in", "stage[crank belts].pulley[I].y": f"{y:.6f} in"}
        )
    )
    assert moved.chapters["layout"].data["crank belts"].path.length == pytest.approx(belt.chosen.pitch_length, abs=1e-6)
    assert verdicts(moved)["layout.length[crank belts]"] == "go"


def test_half_known_build_asks_for_more():
    build = load(DEMO).with_values({"stage[crank belts].pulley[J].x": "", "stage[crank belts].pulley[J].y": ""})
    results = work_up(build)
    check = next(c for c in results.checks if c.id == "layout.length[crank belts]")
    assert check.verdict == "not decidable" and "stage[crank belts].pulley[J].x" in check.missing
    assert any(w.key == "stage[crank belts].pulley[J].x" for w in results.wanted)
    assert results.exit_code == 3


@pytest.mark.parametrize(
    ("key", "text", "spoiled", "spared"),
    [
        ("engine.work_speed", "2900 rpm", {"ratio", "layout", "grip"}, set()),
        ("stage[crank belts].takeup.slack_tension", "50 lbf", {"grip"}, {"ratio", "layout"}),
        ("stage[crank belts].pulley[J].x", "18.5 in", {"layout", "grip"}, {"ratio"}),
    ],
)
def test_a_change_tells_what_is_out_of_date(key, text, spoiled, spared):
    build = load(DEMO)
    before = work_up(build)
    names = {c.name for c, _ in out_of_date(build, build.with_values({key: text}), tuple(before.chapters.values()))}
    assert spoiled <= names and not spared & names


def test_nothing_is_out_of_date_without_a_change():
    build = load(DEMO)
    assert out_of_date(build, build, tuple(work_up(build).chapters.values())) == ()


def test_outside_diameters_mislead():
    """A pair of A sheaves given by datum diameter: the true ratio is that of the pitch diameters."""
    stage = work_up(load(DEMO)).chapters["ratio"].data.stage("crank belts")
    # Inch A: pitch diameter = datum + 0.25 in (Machinery's Handbook 31, pp. 2575-2578).
    assert stage.ratio == pytest.approx((4.4 + 0.25) / (10.6 + 0.25), rel=1e-6)


@pytest.mark.parametrize("name", [DEMO, "drum_mixer", "compost_trommel", "rotor_bearings"])
def test_same_verdicts_in_the_other_units(name):
    build = load(name)
    other = build.with_values({"shown_in": "metric" if build.system == "inch" else "inch"})
    assert verdicts(work_up(build)) == verdicts(work_up(other))


def test_the_series_of_a_belt_does_not_hang_on_how_it_is_shown():
    build = load(DEMO).with_values({"shown_in": "metric"})
    belt = work_up(build).chapters["layout"].data["crank belts"].belt
    assert belt.system == "inch"
    metric = build.with_values({"stage[crank belts].series": "metric", "stage[crank belts].marked": ""})
    assert work_up(metric).chapters["layout"].data["crank belts"].belt.system == "metric"


def test_every_stock_length_that_the_arm_can_take_is_listed():
    """Against a plain sweep of the arm: every length between its ends of reach that is sold must stand in the list."""
    belt = work_up(load(DEMO)).chapters["layout"].data["crank belts"]
    names, k = belt.pulleys.names, belt.idler
    reach = np.hypot(6.0, 3.12) * INCH
    here = np.arctan2(belt.places.y[k] - belt.pivot[1], belt.places.x[k] - belt.pivot[0])
    angle = here + np.linspace(-np.pi / 2, np.pi / 2, 4001)
    x, y = np.tile(belt.places.x, (4001, 1)), np.tile(belt.places.y, (4001, 1))
    x[:, k], y[:, k] = belt.pivot[0] + reach * np.cos(angle), belt.pivot[1] + reach * np.sin(angle)
    swept = path.path_si(x, y, belt.pulleys.pitch, belt.pulleys.inside, belt.ccw)
    good = swept.length[swept.reason == 0]
    sold = belts.stock(belt.belt, "pitch")
    wanted = {d for d, length in zip(sold.designation, sold.length, strict=True) if good.min() < length < good.max()}
    assert names[k] == "I" and len(wanted) >= 1
    assert {s.designation for s in belt.stock if s.fits} == wanted

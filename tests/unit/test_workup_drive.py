"""Ratio, layout and grip worked up from the builds that ship, against figures computed elsewhere.

The expected figures are an independent calculation for each scenario: tangent-circle path on the cord
line, groove grip exp(0.5123 wrap) likely and 0.40 at the bad end, flat back 0.30 dry, no creep, no
losses. Geometry and speed agree to 0.5 %, tensions to 5 %.
"""

import re
from pathlib import Path

import numpy as np
import pytest
from jackshaft.build import load
from jackshaft.mechanics import belts, path
from jackshaft.workup import out_of_date, work_up

INCH, FT, LBF, RPM = 0.0254, 0.3048, 4.4482216152605, 2 * np.pi / 60
HOPELESS = Path(__file__).parents[1] / "builds" / "hopeless_chipper.toml"


def geometry(value):
    return pytest.approx(value, rel=0.005)


def tension(value):
    return pytest.approx(value, rel=0.05)


@pytest.fixture(scope="module")
def sweeper():
    return work_up(load("orchard_sweeper"))


def verdicts(results):
    return {c.id: c.verdict for c in results.checks}


def test_sweeper_speeds_and_directions(sweeper):
    data = sweeper.chapters["ratio"].data
    assert [s.work / RPM for s in data.shafts] == [geometry(v) for v in (2600, 880.0, 231.0)]
    assert [s.turn for s in data.shafts] == [1, -1, -1]
    tip = next(f for f in sweeper.chapters["ratio"].facts if f.label.startswith("tip"))
    assert tip.value == "1693 ft/min"
    assert data.shaft("engine").torque / (LBF * FT) == geometry(5.66)
    assert verdicts(sweeper)["ratio.speed"] == verdicts(sweeper)["ratio.direction"] == "go"


def test_sweeper_crank_belt_geometry(sweeper):
    belt = sweeper.chapters["layout"].data["crank belt"]
    assert belt.path.length / INCH == geometry(85.69)
    assert dict(zip(belt.pulleys.names, np.degrees(belt.path.wrap), strict=True)) == {
        "E": geometry(127.0),
        "J": geometry(187.3),
        "A": geometry(210.1),
        "B": geometry(210.1),
    }
    assert belt.speed / FT * 60 == geometry(2995)
    apart = np.hypot(16.0 - 11.0, 8.2) - 2.0 - 6.5
    assert apart == pytest.approx(1.1, abs=0.01)  # between the pitch circles of A and J


def test_sweeper_crank_belt_grip(sweeper):
    grip = sweeper.chapters["grip"].data["crank belt"]
    assert grip.pull / LBF == geometry(30.9)
    assert grip.needed / LBF == tension(14.6)
    assert grip.margin == tension(1.64) and grip.margin_bad == tension(1.11)
    names = sweeper.chapters["layout"].data["crank belt"].pulleys.names
    assert names[grip.limiting] == "E" and grip.tight_idlers == ("A",)
    assert np.hypot(*grip.hub[names.index("A")]) / LBF == tension(106)
    found = verdicts(sweeper)
    assert found["grip.margin[crank belt]"] == "go"
    assert found["grip.peak[crank belt]"] == "stop"
    assert found["grip.idlers[crank belt]"] == "caution"


def test_sweeper_brush_belts(sweeper):
    layout = sweeper.chapters["layout"].data["brush belts"]
    grip = sweeper.chapters["grip"].data["brush belts"]
    assert layout.path.length / INCH == geometry(75.4)
    assert np.degrees(layout.path.wrap[layout.pulleys.driver]) == geometry(147.4)
    assert layout.speed / FT * 60 == geometry(968)
    assert grip.pull / LBF == geometry(95.5)
    assert grip.margin == tension(1.09) and grip.margin_bad == tension(0.89)
    assert verdicts(sweeper)["grip.margin[brush belts]"] == "caution"


def test_sweeper_holds_at_sixty_pounds():
    more = load("orchard_sweeper").with_values({"stage[brush belts].takeup.static_tension": "60 lbf"})
    results = work_up(more)
    assert results.chapters["grip"].data["brush belts"].margin == tension(1.45)
    assert verdicts(results)["grip.margin[brush belts]"] == "go"


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
        words += [" ".join(row) for s in chapter.sheets for row in s.rows]
    words += [f"{c.value} {c.limit} {c.reason} {c.remedy}" for c in results.checks]
    inch_units = re.compile(r"\d ?(in|ft|ft/min|lbf|lbf·ft|rpm|hp|AWG|psi|ksi|°F|lb)(?![\w·/])|AWG \d|\bthou\b")
    assert [w for w in words if inch_units.search(w)] == []
    assert inch_units.search("0.41 in (10 mm)") and inch_units.search("16 AWG")


def test_hopeless_build_reaches_its_stops():
    results = work_up(load(HOPELESS))
    found = verdicts(results)
    belt = results.chapters["layout"].data["deck belt"]
    assert belt.path.length / INCH == geometry(61.3)
    assert np.degrees(belt.path.wrap[belt.pulleys.names.index("F")]) == geometry(25.8)
    assert found["layout.length[deck belt]"] == "stop"
    assert found["grip.margin[deck belt]"] == "stop"
    grip = results.chapters["grip"].data["deck belt"]
    assert grip.pull / LBF == geometry(140)
    # 1,108 / 968 lbf dry on the back of F: the mean of the two strands is what the belt must carry at rest.
    assert grip.needed / LBF == tension((1108 + 968) / 2)
    assert results.exit_code == 1


def test_a_broken_path_is_refused_with_the_pulleys_named():
    apart = load("orchard_sweeper").with_values({"stage[crank belt].pulley[A].y": "6.0 in"})
    results = work_up(apart)
    check = next(c for c in results.checks if c.id == "layout.path[crank belt]")
    assert check.verdict == "stop" and "J" in check.reason and "A" in check.reason and check.remedy
    assert "crank belt" not in results.chapters["grip"].data


def test_the_belt_that_is_on_moves_the_idler():
    """AA85 is 25.4 x 85 + 53 mm = 87.09 in (double-V range sheet), 1.40 in longer than the path as drawn.

    On the arm two places make that length; at the nearer one the belt rubs on J, so the other is taken.
    """
    belt = work_up(load("orchard_sweeper")).chapters["layout"].data["crank belt"]
    assert belt.chosen.designation == "AA85"
    assert belt.chosen.pitch_length == pytest.approx(25.4e-3 * 85 + 53e-3)
    x, y = belt.chosen.x / INCH, belt.chosen.y / INCH
    assert np.hypot(x - 19.0, y + 10.0) == pytest.approx(np.hypot(3.0, 1.8))  # still on its arm
    assert belt.chosen.gap > 0
    moved = work_up(
        load("orchard_sweeper").with_values(
            {"stage[crank belt].pulley[B].x": f"{x:.6f} in", "stage[crank belt].pulley[B].y": f"{y:.6f} in"}
        )
    )
    assert moved.chapters["layout"].data["crank belt"].path.length == pytest.approx(belt.chosen.pitch_length, abs=1e-6)
    assert verdicts(moved)["layout.length[crank belt]"] == "go"
    assert moved.chapters["grip"].data["crank belt"].margin == tension(1.47)


def test_half_known_build_asks_for_more():
    build = load("orchard_sweeper").with_values(
        {"stage[crank belt].pulley[A].x": "", "stage[crank belt].pulley[A].y": ""}
    )
    results = work_up(build)
    check = next(c for c in results.checks if c.id == "layout.length[crank belt]")
    assert check.verdict == "not decidable" and "stage[crank belt].pulley[A].x" in check.missing
    assert any(w.key == "stage[crank belt].pulley[A].x" for w in results.wanted)
    assert results.exit_code == 3


@pytest.mark.parametrize(
    ("key", "text", "spoiled", "spared"),
    [
        ("engine.work_speed", "2500 rpm", {"ratio", "layout", "grip"}, set()),
        ("stage[crank belt].takeup.slack_tension", "30 lbf", {"grip"}, {"ratio", "layout"}),
        ("stage[crank belt].pulley[A].x", "16.5 in", {"layout", "grip"}, {"ratio"}),
    ],
)
def test_a_change_tells_what_is_out_of_date(key, text, spoiled, spared):
    build = load("orchard_sweeper")
    before = work_up(build)
    names = {c.name for c, _ in out_of_date(build, build.with_values({key: text}), tuple(before.chapters.values()))}
    assert spoiled <= names and not spared & names


def test_nothing_is_out_of_date_without_a_change():
    build = load("orchard_sweeper")
    assert out_of_date(build, build, tuple(work_up(build).chapters.values())) == ()


def test_outside_diameters_mislead():
    """A pair of A sheaves given by datum diameter: the true ratio is that of the pitch diameters."""
    build = load("orchard_sweeper").with_values(
        {
            "stage[brush belts].pulley[small].measured_as": "datum",
            "stage[brush belts].pulley[large].measured_as": "datum",
        }
    )
    stage = work_up(build).chapters["ratio"].data.stage("brush belts")
    # Inch A: pitch diameter = datum + 0.25 in (Machinery's Handbook 31, pp. 2575-2578).
    assert stage.ratio == pytest.approx((4.2 + 0.25) / (16.0 + 0.25), rel=1e-6)


@pytest.mark.parametrize("name", ["orchard_sweeper", "drum_mixer", "compost_trommel", "rotor_bearings"])
def test_same_verdicts_in_the_other_units(name):
    build = load(name)
    other = build.with_values({"shown_in": "metric" if build.system == "inch" else "inch"})
    assert verdicts(work_up(build)) == verdicts(work_up(other))


def test_the_series_of_a_belt_does_not_hang_on_how_it_is_shown():
    build = load("orchard_sweeper").with_values({"shown_in": "metric"})
    belt = work_up(build).chapters["layout"].data["brush belts"].belt
    assert belt.system == "inch"
    metric = build.with_values({"stage[brush belts].series": "metric", "stage[brush belts].marked": ""})
    assert work_up(metric).chapters["layout"].data["brush belts"].belt.system == "metric"


def test_every_stock_length_that_the_arm_can_take_is_listed():
    """Against a plain sweep of the arm: every length between its ends of reach that is sold must stand in the list."""
    belt = work_up(load("orchard_sweeper")).chapters["layout"].data["crank belt"]
    names, k = belt.pulleys.names, belt.idler
    reach = np.hypot(3.0, 1.8) * INCH
    here = np.arctan2(belt.places.y[k] - belt.pivot[1], belt.places.x[k] - belt.pivot[0])
    angle = here + np.linspace(-np.pi / 2, np.pi / 2, 4001)
    x, y = np.tile(belt.places.x, (4001, 1)), np.tile(belt.places.y, (4001, 1))
    x[:, k], y[:, k] = belt.pivot[0] + reach * np.cos(angle), belt.pivot[1] + reach * np.sin(angle)
    swept = path.path_si(x, y, belt.pulleys.pitch, belt.pulleys.inside, belt.ccw)
    good = swept.length[swept.reason == 0]
    sold = belts.stock(belt.belt, "pitch")
    wanted = {d for d, length in zip(sold.designation, sold.length, strict=True) if good.min() < length < good.max()}
    assert names[k] == "B" and len(wanted) >= 3
    assert {s.designation for s in belt.stock if s.fits} == wanted

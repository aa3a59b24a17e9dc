"""What stands beside the record: the buying list, the first run, the text for a post."""

import json
import re
from pathlib import Path

import pytest
import shapely
from jackshaft.buildfile import DEMO, load, parse
from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.cli import main
from jackshaft.mechanics.shaft_rules import SKIN
from jackshaft.record.buying import FACING, KERF, buying, buying_data, held_rows, rows
from jackshaft.record.first_run import NOT_YET, first_run
from jackshaft.record.opening import AT_ONCE
from jackshaft.record.opening import lines as lines_of
from jackshaft.record.page import side_sheets
from jackshaft.record.post import MOST, post
from jackshaft.results import work_up
from jackshaft.units import INCH

BUILDS = Path(__file__).parents[1] / "builds"
ALL = [DEMO, BUILDS / "flywheel_chipper.toml", BUILDS / "three_spindle_deck.toml"]


@pytest.fixture(scope="module")
def found():
    return {str(b): work_up(load(b)) for b in ALL}


def lines(results):
    return {w.part: w for w in buying(results)}


def changed(values):
    return work_up(load(DEMO).with_values(values))


def test_the_demo_asks_for_its_parts_as_the_build_has_them(found):
    have = lines(found[DEMO])
    for part, count, words in (
        ("crank belts: belts", 2, ("A60", "section A")),
        ("crank belts: pulley J", 1, ("2 grooves", "10.6 in datum", "bore 1-3/8 in", "parallel key 5/16 in wide")),
        ("output chain: chain", 1, ("number 60", "76 links", "slip fit connecting link")),
        ("output chain: sprocket on output shaft", 1, ("40 teeth", "bore 1-1/4 in")),
        ("bearing engine side; bearing chain side", 2, ("6208",)),
        ("clutch wire", 1, ("14 AWG", "18 ft")),  # 8 ft out and 8 ft back and a tenth, to the next foot
        ("across the coil", 1, ("6 A",)),  # 14.1 V on 2.6 ohm and the wire is 5.26 A, to the next ampere
        ("fuse", 1, ("10 A", "blade")),
    ):
        assert have[part].count == count and not have[part].hold, part
        assert all(w in have[part].ask for w in words), have[part].ask


def test_a_bar_is_thicker_than_its_largest_step_and_longer_than_it_is_when_done():
    ask = lines(changed({"shaft[jackshaft].step[between the bearings].diameter": "1.50 in"}))["jackshaft: bar"].ask
    assert "1-5/8 in" in ask and "13.250 in finished" in ask  # 1.50 in and a skin is more than the 1-1/2 in bar
    sawn = float(re.search(r"\((13\.\d+) in\) long", ask)[1])
    assert sawn == pytest.approx(13.25 + (2 * FACING + KERF) / INCH, abs=0.01) and SKIN > 0


def test_a_guard_is_bought_as_its_outline_has_it(found):
    # all that turns, an inch off it, and a band drawn tight round that: by shapely
    loop = next(lp for lp in found[DEMO].chapters["guards"].data.loops if lp.stage == "crank belts")
    around = [shapely.Point(x, y).buffer(r + INCH, 400) for x, y, r in zip(loop.x, loop.y, loop.solid, strict=True)]
    band, have = shapely.unary_union(around).convex_hull, lines(found[DEMO])
    ask = have["crank belts: guard"].ask
    assert float(re.search(r"([\d.]+) in² for each open side", ask)[1]) == pytest.approx(band.area / INCH**2, abs=0.1)
    assert float(re.search(r"strip \S+ in \(([\d.]+) in\)", ask)[1]) == pytest.approx(band.length / INCH, abs=0.01)
    chipper = lines(found[str(ALL[1])])["wheel belts: guard, screws"]
    assert chipper.count >= 4 and any("Stop: wheel belts: belt length" in why for why in chipper.hold)
    mesh = {"guard": "mesh or slots", "guard_opening": "1/2 in", "guard_shape": "square"}
    fine = lines(changed({f"stage[crank belts].{k}": v for k, v in mesh.items()}))["crank belts: guard"]
    assert fine.ask.startswith("mesh with square openings of 1/2 in or less")


def test_a_taper_bush_is_one_bush_for_the_bore_of_its_shaft():
    joint = "shaft[jackshaft].joint[pulley key]"
    bush = lines(changed({f"{joint}.kind": "taper bush", f"{joint}.count": 3}))["jackshaft: pulley key"]
    assert bush.count == 1 and "bore 1-3/8 in" in bush.ask


def test_a_banded_belt_is_one_belt_on_a_pulley_of_all_its_grooves():
    have = lines(changed({"stage[crank belts].belts": "", "stage[crank belts].marked": "2/A60"}))
    assert have["crank belts: belts"].count == 1 and "2 grooves" in have["crank belts: pulley J"].ask


#: What is taken out or spoilt, the line that waits for it, and what that line says.
SPOILT = (
    ({"stage[crank belts].marked": ""}, "crank belts: belts", "Not known yet"),
    ({"stage[output chain].links": ""}, "output chain: chain", "Not known yet"),
    ({"shaft[jackshaft].material": ""}, "jackshaft: bar", "Not known yet"),
    ({"shaft[jackshaft].joint[pulley key].length": ""}, "jackshaft: pulley key", "Not known yet"),
    ({"bearing[engine side].width": "", "bearing[engine side].outside": ""}, "bearing engine side", "other sizes open"),
    ({"circuit.fuse": "60 A"}, "fuse", "Stop"),
    ({"circuit.insulation": ""}, "clutch wire", "Not known yet"),
    ({"circuit.suppression": "none"}, "across the coil", "none"),
)


def test_nothing_is_bought_on_a_guess():
    results = changed({key: text for changes, *_ in SPOILT for key, text in changes.items()})
    wants, have = buying(results), lines(results)
    ready, held = ([row[0] for row in table] for table in (rows(wants), held_rows(wants)))
    for _, part, words in SPOILT:
        assert any(words in why for why in have[part].hold), have[part]
        assert part in held and part not in ready


def test_what_is_only_assumed_is_not_bought():
    build = load(DEMO)
    text = build.text.replace(
        'bore = { value = "1.0 in", known = "measured"', 'bore = { value = "1.0 in", known = "assumed"'
    )
    assert text != build.text
    want = lines(work_up(parse(text.encode(), file="x.toml")))["clutch"]
    assert any("assumed" in why for why in want.hold)


def test_every_line_is_in_one_of_the_two_tables_and_in_the_data(found, capsys):
    for results in found.values():
        wants = buying(results)
        assert len(rows(wants)) + len(held_rows(wants)) == len(wants) == len(buying_data(results))
        assert not any("  " in w.ask or "None" in w.ask for w in wants)
    assert main(["facts", DEMO, "--json"]) == 0
    data = json.loads(capsys.readouterr().out)["buying"]
    assert {w["part"] for w in data} == {w.part for w in buying(found[DEMO])}


def test_the_first_run_goes_from_stopped_to_work_with_this_builds_numbers(found):
    stages = first_run(found[DEMO])
    assert [s.title[0] for s in stages] == list("123456")
    steps = {step.look: step.wanted for s in stages for step in s.steps}
    coil = next(v for k, v in steps.items() if k.startswith("coil at"))
    # copper gains 0.393 % a kelvin: 2.6 ohm at 20 °C is 2.396 at 0 °C and 2.804 at 40 °C
    assert "2.40" in coil and "2.80" in coil
    assert steps["speed of output shaft"] == "380 rpm to 430 rpm"
    chain = next(v for k, v in steps.items() if k.startswith("output chain: slack strand"))
    assert "0.365" in chain and "0.547" in chain  # 2 and 3 % of 18.25 in, as for a chain that is steep


def test_a_first_run_says_what_is_not_known(found):
    deck = first_run(found[str(ALL[2])])
    assert any(NOT_YET in step.wanted for s in deck for step in s.steps if "stop time" in step.look)
    assert not any(step.known for s in deck for step in s.steps if step.wanted.startswith(NOT_YET))
    slow = changed({"clutch.coil_resistance": ""})
    assert any(NOT_YET in step.wanted for s in first_run(slow) for step in s.steps if step.look.startswith("coil at"))


def test_a_first_run_speaks_of_what_the_machine_has(found):
    builds = {**found, "mixer": work_up(load("drum_mixer"))}
    said = {
        name: " ".join(f"{s.title} {s.first} {' '.join(map(str, s.steps))}" for s in first_run(r))
        for name, r in builds.items()
    }
    mixer = said["mixer"]
    assert "unplug it" in mixer and not {"spark", "battery", "Idle", "clutch"} & set(re.findall(r"\w+", mixer))
    deck = said[str(ALL[2])]
    assert "spark lead" in deck and "battery lead" not in deck and "not engaged" not in deck
    assert "battery lead" in said[DEMO] and "Idle, not engaged" in said[DEMO]
    shoes = " ".join(s.title for s in first_run(changed({"clutch.kind": "centrifugal"})))
    assert "Engaged, empty" in shoes


def test_the_sheets_carry_the_build_and_the_verdict(found):
    for results in found.values():
        pages = side_sheets(results)
        assert set(pages) == {"buying_list", "finding_a_fault", "first_run", "putting_it_together", "service_card"}
        assert all(fingerprint(results.build) in html for html in pages.values())
        assert ("Do not run it" in pages["first_run"]) == bool(results.stops)


def test_a_post_is_short_and_keeps_verdict_and_fingerprint(found, capsys):
    for results in found.values():
        text = post(results)
        assert len(text) < MOST and fingerprint(results.build) in text and "No certificate" in text
        assert text.startswith(results.build.name)
        assert "more in the record" in text or len(buying(results)) < 3
    long = work_up(load(DEMO).with_values({"name": "N" * 300, "purpose": "wide " * 200}))
    assert len(post(long)) < MOST and fingerprint(long.build) in post(long)
    assert main(["record", "rotor_bearings", "--text"]) == 0
    assert fingerprint(load("rotor_bearings")) in capsys.readouterr().out


def test_a_cell_of_the_verdicts_counts_what_is_missing_past_the_first_two():
    results = work_up(load("compost_trommel"))
    cells = {line.title: line.cure for line in lines_of(results, {}) if line.verdict == "not decidable"}
    assert any(re.search(r"; and \d+ more\.$", cell) for cell in cells.values()), cells
    assert all(cell.count(";") <= AT_ONCE for cell in cells.values())

"""What was measured on the machine against what the build foretells."""

from math import hypot

import pytest
from jackshaft.buildfile import DEMO, BuildProblems, load, parse
from jackshaft.results import work_up
from jackshaft.results.keeping import keep
from jackshaft.results.proving import prove
from jackshaft.start.log_forms import LogForms


def looked(*lines: str, build=None):
    """Return the demo build with one look in its log."""
    text = (build or load(DEMO)).text + '\n[[log]]\nname = "a"\n' + "\n".join(lines) + "\n"
    return parse(text.encode(), file="looked.toml")


def found(*lines: str, build=None):
    """Return the checks of the log of such a build, by what they are about."""
    results = work_up(looked(*lines, build=build))
    return {c.id.removeprefix("measured.").partition("[")[0]: c for c in results.checks if c.chapter == "measured"}


SHAFT = ('shaft = "jackshaft"', 'engine_speed = "3000 rpm"')
VOLTS = ('battery_voltage = "13.9 V"', 'coil_current = "5 A"')


@pytest.mark.parametrize(
    ("lines", "what", "verdict", "words"),
    [
        # 4.65 and 10.85 in on the pitch line: 3000 x 4.65/10.85 = 1285.7 rpm without creep
        ((*SHAFT, 'shaft_speed = "1279 rpm"'), "speed", "go", "0.5 %"),
        ((*SHAFT, 'shaft_speed = "1200 rpm"'), "speed", "caution", "6.7 %"),
        ((*SHAFT, 'shaft_speed = "1350 rpm"'), "speed", "caution", "-5.0 %"),
        (('shaft_speed = "1200 rpm"',), "speed", "not decidable", "engine_speed"),
        # copper: 2.6 ohm at 20 °C is 2.6 (1 + 0.00393 x 60) = 3.213 ohm at 80 °C
        (('coil_resistance = "3.21 ohm"', 'coil_temperature = "80 °C"'), "coil", "go", "3.21"),
        (('coil_resistance = "3.21 ohm"', 'coil_temperature = "20 °C"'), "coil", "caution", "bad"),
        (('coil_resistance = "1.9 ohm"',), "coil", "caution", "shorted"),
        # 0.3 V at 5 A are 60 milliohm, 1.5 V are 300
        ((*VOLTS, 'coil_voltage = "13.6 V"'), "volts", "go", "60 mΩ"),
        ((*VOLTS, 'coil_voltage = "12.4 V"'), "volts", "caution", "300 mΩ"),
        ((*VOLTS, 'coil_voltage = "14.5 V"'), "volts", "caution", "wrong"),
        (('coil_voltage = "12.4 V"',), "volts", "not decidable", "coil_current"),
        (('bearing = "engine side"', 'housing_rise = "39 K"'), "housing", "go", "engine side"),
        (('bearing = "engine side"', 'housing_rise = "45 K"'), "housing", "caution", "Too much grease"),
        (('housing_rise = "45 K"',), "housing", "not decidable", "bearing"),
        (('stage = "output chain"', 'belt_force = "4 lbf"'), "tension", "not decidable", "stage"),
        (('belt_force = "4 lbf"',), "tension", "not decidable", "stage"),
    ],
)
def test_what_a_log_says(lines, what, verdict, words):
    check = found(*lines)[what]
    assert check.verdict == verdict, check
    assert words in f"{check.value} {check.reason} {check.missing}", check


def test_the_label_holds_against_the_watch():
    guards = work_up(load(DEMO)).chapters["guards"].data.stands_after
    # a hand on a stop watch is right to a twentieth, unless the log says better
    for share, verdict in ((0.94, "go"), (0.97, "caution"), (1.1, "caution")):
        assert found(f'stop_time = "{share * guards:.4f} s"')["stop"].verdict == verdict, share


@pytest.mark.parametrize(("of", "verdict"), [(1.0, "go"), (0.5, "caution"), (2.5, "caution")])
@pytest.mark.parametrize("key", ["belt_force", "belt_frequency"])
def test_a_belt_that_is_set_by_its_tag_agrees(of, verdict, key):
    best = work_up(load(DEMO)).chapters["grip"].data["crank belts"].set.best
    size = f"{of * best.force} N" if key == "belt_force" else f"{of * best.frequency} Hz"
    assert found('stage = "crank belts"', f'{key} = "{size}"')["tension"].verdict == verdict


def test_a_worse_instrument_gives_no_better_verdict():
    for off in ("1 rpm", "30 rpm", "300 rpm"):
        check = found(*SHAFT, f'shaft_speed = {{ value = "1240 rpm", plus_minus = "{off}" }}')["speed"]
        assert check.verdict == "caution", off
        # 3.6 % of slip with 20 rpm in 1286 rpm and more is within the doubt
        assert ("better one first" in check.reason) == (off != "1 rpm"), off


def test_an_assumed_value_takes_the_reading_and_a_measured_one_does_not():
    lines = ('coil_resistance = "2.2 ohm"', 'coil_temperature = "20 °C"')
    for known, offered in (("assumed", ["2.2 Ω"]), ("measured", [])):
        text = load(DEMO).text
        start = text.index("coil_resistance")
        line = text[start : text.index("\n", start)]
        build = parse(
            text.replace(line, f'coil_resistance = {{ value = "2.6 ohm", known = "{known}" }}').encode(), file="x.toml"
        )
        results = work_up(looked(*lines, build=build))
        cures = prove(results, "measured.coil[a]")
        assert [c.changes["clutch.coil_resistance"] for c in cures] == offered, known


def test_without_a_log_nothing_is_asked_for():
    results = work_up(load(DEMO))
    assert results.chapters["measured"].state == "none" and not results.of("measured")
    assert not any(w.key.startswith("log") for w in results.wanted)


def offered_by(*lines: str):
    """Return what such a look offers to the build, by key."""
    return {o.key: o for o in work_up(looked(*lines)).chapters["measured"].data.offers}


def test_readings_are_solved_back_for_what_nobody_reads():
    # 0.3 V at 5 A are 60 milliohm; what is not wire is joints
    loop = offered_by(*VOLTS, 'coil_voltage = "13.6 V"')["circuit.joint_resistance"]
    wire = work_up(load(DEMO)).chapters["electric"].data.line.wire_ohm
    assert loop.si == pytest.approx(0.3 / 5 - wire) and loop.si > 0
    # half a hundredth of each voltage and a fiftieth of the current: their squares add
    assert loop.off == pytest.approx(hypot(hypot(0.005 * 13.9, 0.005 * 13.6) / 5, 0.06 * 0.02))
    # copper: 3.21 ohm at 80 °C are 3.21 / (1 + 0.00393 x 60) = 3.21 / 1.2358 ohm at 20 °C
    coil = offered_by('coil_resistance = "3.21 ohm"', 'coil_temperature = "80 °C"')["clutch.coil_resistance"]
    assert coil.si == pytest.approx(3.21 / 1.2358, rel=1e-3)
    assert coil.off == pytest.approx(coil.si * hypot(0.02, 0.00393 * 2 / 1.2358), rel=1e-3)
    # 3000 x 4.65/10.85 = 1285.7 rpm without creep
    creep = offered_by(*SHAFT, 'shaft_speed = "1279 rpm"')["stage[crank belts].creep"]
    assert creep.si == pytest.approx(1 - 1279 / (3000 * 4.65 / 10.85), rel=1e-6)
    # what slips is no value of a sound build, and a coil of unknown warmth none either
    assert not offered_by(*SHAFT, 'shaft_speed = "1100 rpm"') and not offered_by('coil_resistance = "2.6 ohm"')


def test_a_push_gives_the_tension_of_the_held_strand_of_all_belts():
    best = work_up(load(DEMO)).chapters["grip"].data["crank belts"].set.best
    offer = offered_by('stage = "crank belts"', f'belt_force = "{best.force} N"')[
        "stage[crank belts].takeup.slack_tension"
    ]
    # the tag's own push shows the tension that the build has: 44 lbf, both belts together
    assert offer.si == pytest.approx(44 * 4.4482216, rel=1e-6)


def test_an_entry_that_is_corrected_counts_no_more():
    wrong = "\n".join((*SHAFT, 'shaft_speed = "1000 rpm"'))
    later = '\n[[log]]\nname = "b"\ncorrects = "a"\n' + "\n".join((*SHAFT, 'shaft_speed = "1279 rpm"')) + "\n"
    build = parse((looked(wrong).text + later).encode(), file="x.toml")
    results = work_up(build)
    assert [c.id for c in results.of("measured")] == ["measured.speed[b]"]
    assert [o.entry for o in results.chapters["measured"].data.offers] == ["b"]
    assert any(t.cells == (("a", "b"),) for t in results.chapters["measured"].tables)
    for bad, words in (('corrects = "b"', "does not stand above it"), ('corrects = "c"', "'c'")):
        with pytest.raises(BuildProblems, match=words):
            parse((looked().text + f'\n[[log]]\nname = "b"\n{bad}\n').encode(), file="x.toml")
    twice = '\n[[log]]\nname = "b"\ncorrects = "a"\n[[log]]\nname = "c"\ncorrects = "a"\n'
    with pytest.raises(BuildProblems, match="corrects already"):
        parse((looked().text + twice).encode(), file="x.toml")


@pytest.fixture
def kept(tmp_path):
    """Return a small build with one look in its log, in a file."""
    path = tmp_path / "kept.toml"
    path.write_text('schema = 1\nname = "x"\n\n[[log]]\nname = "a"\nbattery_voltage = "13.9 V"\n')
    return load(str(path))


def test_the_log_only_grows(kept):
    for change in ({"log[a].battery_voltage": "12.9 V"}, {"log[a].battery_voltage": ""}, {"log": ()}):
        with pytest.raises(BuildProblems, match="corrects this one"):
            keep(kept, change)
        assert load(str(kept.path)).text == kept.text
    # what was not written yet is, in the same entry; the same size in other units is no change
    grown = keep(kept, {"log[a].coil_voltage": "13.6 V"})
    grown = keep(grown, {"log[a].battery_voltage": "13900 mV"})
    grown = keep(grown, {"log": ("a", "b"), "log[b].corrects": "a", "log[b].battery_voltage": "12.9 V"})
    assert grown.get("log[b].corrects") == "a" and grown.get("log[a].coil_voltage").si == pytest.approx(13.6)


def test_what_a_reading_shows_is_taken_over_with_its_note_and_never_by_itself(tmp_path):
    path = tmp_path / "demo.toml"
    path.write_text(looked(*VOLTS, 'coil_voltage = "13.6 V"').text)
    build = load(str(path))
    card = LogForms(build)
    assert "The build says 0.04 ohm" in card.now.value
    card.forms[0].run(card._take)
    value = load(str(path)).get("circuit.joint_resistance")
    assert value.known == "calculated, the log: a" and value.plus_minus == pytest.approx(0.0195, rel=0.03)
    assert value.si == pytest.approx(0.3 / 5 - work_up(build).chapters["electric"].data.line.wire_ohm, rel=1e-3)
    assert "Kept" in card.forms[0].result.value and "no reading" in LogForms(load(DEMO)).what.options[0][0]

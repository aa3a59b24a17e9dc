"""What was measured on the machine against what the build foretells."""

from math import hypot

import pytest
from jackshaft.buildfile import DEMO, BuildProblems, load, parse
from jackshaft.results import work_up
from jackshaft.results.keeping import keep
from jackshaft.results.proving import prove
from jackshaft.start.log_forms import LogForms


def looked(*looks: tuple[str, ...], build=None):
    """Return the demo build with looks in its log, called 0, 1 and so on."""
    entries = "".join(f'\n[[log]]\nname = "{n}"\n' + "\n".join(lines) + "\n" for n, lines in enumerate(looks))
    return parse(((build or load(DEMO)).text + entries).encode(), file="looked.toml")


def told(*looks: tuple[str, ...]):
    """Return the checks of a log of these looks, a mapping for each of them: what it is about, and the check."""
    results = work_up(looked(*looks))
    found = [{} for _ in looks]
    for check in results.of("measured"):
        what, _, entry = check.id.removeprefix("measured.").removesuffix("]").partition("[")
        found[int(entry)][what] = check
    return found


@pytest.fixture(scope="module")
def bare():
    """Return the demo build worked up, its log empty."""
    return work_up(load(DEMO))


SHAFT = ('shaft = "jackshaft"', 'engine_speed = "3000 rpm"')
VOLTS = ('battery_voltage = "13.9 V"', 'coil_current = "5 A"')


def test_what_a_log_says(for_each):
    cases = (
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
    )
    found = told(*(lines for lines, *_ in cases))

    def holds(number):
        _, what, verdict, words = cases[number]
        check = found[number][what]
        assert check.verdict == verdict and words in f"{check.value} {check.reason} {check.missing}", check

    for_each(range(len(cases)), holds)


def test_the_label_holds_against_the_watch(bare):
    guards = bare.chapters["guards"].data.stands_after
    # a hand on a stop watch is right to a twentieth, unless the log says better
    found = told(*((f'stop_time = "{share * guards:.4f} s"',) for share in (0.94, 0.97, 1.1)))
    assert [looks["stop"].verdict for looks in found] == ["go", "caution", "caution"]


def test_a_belt_that_is_set_by_its_tag_agrees(bare):
    best, of = bare.chapters["grip"].data["crank belts"].set.best, (1.0, 0.5, 2.5)
    pushed = [('stage = "crank belts"', f'belt_force = "{share * best.force} N"') for share in of]
    plucked = [('stage = "crank belts"', f'belt_frequency = "{share * best.frequency} Hz"') for share in of]
    assert [looks["tension"].verdict for looks in told(*pushed, *plucked)] == 2 * ["go", "caution", "caution"]


def test_a_worse_instrument_gives_no_better_verdict():
    offs = ("1 rpm", "30 rpm", "300 rpm")
    speeds = [(*SHAFT, f'shaft_speed = {{ value = "1240 rpm", plus_minus = "{off}" }}') for off in offs]
    checks = [looks["speed"] for looks in told(*speeds)]
    assert [check.verdict for check in checks] == 3 * ["caution"]
    # 3.6 % of slip with 20 rpm in 1286 rpm and more is within the doubt
    assert ["better one first" in check.reason for check in checks] == [False, True, True]


def test_an_assumed_value_takes_the_reading_and_a_measured_one_does_not():
    lines = ('coil_resistance = "2.2 ohm"', 'coil_temperature = "20 °C"')
    for known, offered in (("assumed", ["2.2 Ω"]), ("measured", [])):
        text = load(DEMO).text
        start = text.index("coil_resistance")
        line = text[start : text.index("\n", start)]
        build = parse(
            text.replace(line, f'coil_resistance = {{ value = "2.6 ohm", known = "{known}" }}').encode(), file="x.toml"
        )
        results = work_up(looked(lines, build=build))
        cures = prove(results, "measured.coil[0]")
        assert [c.changes["clutch.coil_resistance"] for c in cures] == offered, known


def test_without_a_log_nothing_is_asked_for(bare):
    results = bare
    assert results.chapters["measured"].state == "none" and not results.of("measured")
    assert not any(w.key.startswith("log") for w in results.wanted)


def test_readings_are_solved_back_for_what_nobody_reads(bare):
    best = bare.chapters["grip"].data["crank belts"].set.best
    build = looked(
        (*VOLTS, 'coil_voltage = "13.6 V"'),
        ('coil_resistance = "3.21 ohm"', 'coil_temperature = "80 °C"'),
        (*SHAFT, 'shaft_speed = "1279 rpm"'),
        ('stage = "crank belts"', f'belt_force = "{best.force} N"'),
        # what slips is no value of a sound build, and a coil of unknown warmth none either
        (*SHAFT, 'shaft_speed = "1100 rpm"'),
        ('coil_resistance = "2.6 ohm"',),
    )
    offers = work_up(build).chapters["measured"].data.offers
    assert [o.entry for o in offers] == ["0", "1", "2", "3"]
    loop, coil, creep, pull = offers
    # 0.3 V at 5 A are 60 milliohm; what is not wire is joints
    wire = bare.chapters["electric"].data.line.wire_ohm
    assert loop.key == "circuit.joint_resistance" and loop.si == pytest.approx(0.3 / 5 - wire) and loop.si > 0
    # half a hundredth of each voltage and a fiftieth of the current: their squares add
    assert loop.off == pytest.approx(hypot(hypot(0.005 * 13.9, 0.005 * 13.6) / 5, 0.06 * 0.02))
    # copper: 3.21 ohm at 80 °C are 3.21 / (1 + 0.00393 x 60) = 3.21 / 1.2358 ohm at 20 °C
    assert coil.key == "clutch.coil_resistance" and coil.si == pytest.approx(3.21 / 1.2358, rel=1e-3)
    assert coil.off == pytest.approx(coil.si * hypot(0.02, 0.00393 * 2 / 1.2358), rel=1e-3)
    # 3000 x 4.65/10.85 = 1285.7 rpm without creep
    assert creep.key == "stage[crank belts].creep"
    assert creep.si == pytest.approx(1 - 1279 / (3000 * 4.65 / 10.85), rel=1e-6)
    # the tag's own push shows the tension that the build has in the held strand: 44 lbf, both belts together
    assert pull.key == "stage[crank belts].takeup.slack_tension"
    assert pull.si == pytest.approx(44 * 4.4482216, rel=1e-6)


def test_an_entry_that_is_corrected_counts_no_more():
    build = looked((*SHAFT, 'shaft_speed = "1000 rpm"'), ('corrects = "0"', *SHAFT, 'shaft_speed = "1279 rpm"'))
    results = work_up(build)
    assert [c.id for c in results.of("measured")] == ["measured.speed[1]"]
    assert [o.entry for o in results.chapters["measured"].data.offers] == ["1"]
    assert any(t.cells == (("0", "1"),) for t in results.chapters["measured"].tables)
    for bad, words in (('corrects = "1"', "does not stand above it"), ('corrects = "2"', "'2'")):
        with pytest.raises(BuildProblems, match=words):
            looked((), (bad,))
    with pytest.raises(BuildProblems, match="corrects already"):
        looked((), ('corrects = "0"',), ('corrects = "0"',))


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


def test_what_a_reading_shows_is_taken_over_with_its_note_and_never_by_itself(tmp_path, bare):
    path = tmp_path / "demo.toml"
    path.write_text(looked((*VOLTS, 'coil_voltage = "13.6 V"')).text)
    build = load(str(path))
    card = LogForms(build)
    assert "The build says 0.04 ohm" in card.now.value
    card.forms[0].run(card._take)
    value = load(str(path)).get("circuit.joint_resistance")
    assert value.known == "calculated, the log: 0" and value.plus_minus == pytest.approx(0.0195, rel=0.03)
    assert value.si == pytest.approx(0.3 / 5 - bare.chapters["electric"].data.line.wire_ohm, rel=1e-3)
    assert "Kept" in card.forms[0].result.value
    # the log weighs both doubts itself: judged at the low end of what it gave, it disagreed with itself
    after = work_up(load(str(path)), ("measured",), at_ends=True)
    assert {c.verdict for c in after.of("measured")} == {"go"}, [c.reason for c in after.of("measured")]

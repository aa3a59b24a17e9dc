"""A part of yours in somebody else's machine: what falls, what is proved to mend it, what is still the old part's."""

import pytest
from jackshaft.buildfile import DEMO, BuildProblems, load, parse
from jackshaft.cli import main
from jackshaft.results import work_up
from jackshaft.results.checks import GO, ORDER
from jackshaft.results.proving import applied, prove
from jackshaft.start.swap_forms import SwapForms
from jackshaft.start.swapping import put_in, report, swap

#: A clutch and its circuit, so that each work-up is quick.
SMALL = parse(
    b"""schema = 1
name = "small"
[circuit]
running_voltage = "14.1 V"
wire = "14 AWG"
length_out = "8 ft"
length_back = "8 ft"
fuse = "10 A"
[clutch]
kind = "electromagnetic"
coil_resistance = "2.9 ohm"
plate_voltage = "12 V"
hot_rise = "80 K"
""",
    file="small.toml",
)


@pytest.fixture(scope="module")
def other_supply():
    return swap(SMALL, [("circuit.running_voltage", "28 V")])


def test_every_check_is_told_once_and_nothing_that_falls_is_left_out(other_supply):
    found = other_supply
    was = {c.id: c.verdict for c in work_up(SMALL, at_ends=True).checks}
    now = {
        c.id: c.verdict for c in work_up(SMALL.with_values({"circuit.running_voltage": "28 V"}), at_ends=True).checks
    }
    fallen = {id for id, verdict in now.items() if ORDER.index(verdict) > ORDER.index(was.get(id, GO))}
    assert fallen == {c.id for c in (*found.worse, *found.opened)} and "electric.voltage" in fallen
    told = [c.id for group in (found.worse, found.opened, found.better, found.other) for c in group]
    assert len(told) == len(set(told)) and len(told) + found.untouched == len(now)
    assert [c.verdict for c in found.worse] == sorted((c.verdict for c in found.worse), key=ORDER.index, reverse=True)


def test_what_guards_people_says_so_and_the_old_parts_values_are_named(other_supply):
    words = report(other_supply)
    assert "do not run it so" in words and "circuit.running_voltage: 14.1 V -> 28 V" in words
    assert set(other_supply.of_the_old) == {f"circuit.{k}" for k in ("wire", "length_out", "length_back", "fuse")}
    assert not any(key.startswith("clutch.") for key in other_supply.of_the_old)
    assert "the wiring sheet" in other_supply.anew and not any("fitting" in one for one in other_supply.anew)


def test_each_cure_is_taken_at_its_word_and_leaves_your_part_in():
    longer = [(f"circuit.{way}", "80 ft") for way in ("length_out", "length_back")]
    found = swap(SMALL, longer)
    cured = {c.id: c.cures for c in found.worse if c.cures}
    # 160 ft of 14 AWG, 2.5 ohm for 1000 ft, are 0.4 ohm: at 4 A and more they take more than a tenth of 14.1 V
    assert "electric.drop" in cured
    for id, cures in cured.items():
        for cure in cures:
            assert not set(cure.changes) & {key for key, _ in longer}
            then = work_up(applied(found.after.build, cure.changes), at_ends=True)
            check = next(c for c in then.checks if c.id == id)
            assert (check.verdict, check.value) == (cure.verdict_after, cure.value_after)
    # a thinner wire is mended by a thicker one only, which is no longer yours
    thin = next(c for c in swap(SMALL, [("circuit.wire", "20 AWG")]).worse if c.id == "electric.ampacity")
    assert not thin.cures
    assert any("wire" in key for cure in prove(found_thin(), thin.id) for key in cure.changes)


def found_thin():
    return work_up(SMALL.with_values({"circuit.wire": "20 AWG"}), at_ends=True)


def test_what_the_old_part_bars_says_how_to_go_on():
    # the engine's curve holds 19.6 lbf·ft at work, so a peak below it needs the curve taken out
    with pytest.raises(BuildProblems, match="empty text") as caught:
        swap(load(DEMO), [("engine.peak_torque", "13 lbf·ft")])
    assert "engine.torque_point[idle].torque" in str(caught.value)
    points = [("engine.rated_power", "8 hp")]
    points += [(f"engine.torque_point[{name}].torque", "") for name in ("idle", "working")]
    changes = put_in(load(DEMO), [("engine.peak_torque", "13 lbf·ft"), *points])
    assert load(DEMO).with_values(changes).get("engine.torque_point[idle].torque") is None
    with pytest.raises(BuildProblems, match="nothing to put in"):
        put_in(load(DEMO), [])


def test_from_a_record_to_a_build_of_ones_own(tmp_path, capsys, record_of):
    page, out = tmp_path / "theirs.html", tmp_path / "mine.toml"
    page.write_text(record_of("rotor_bearings"), encoding="utf-8")
    key = next(k for k in load("rotor_bearings").values if k.endswith(".seat"))
    assert main(["swap", str(page), f"{key}=1.9 in", "--out", str(out)]) == 0
    assert "anew: " in capsys.readouterr().out and load(str(out)).values[key].text == "1.9 in"
    assert main(["swap", str(page), key]) == 2 and "KEY=TEXT" in capsys.readouterr().err


def test_the_card_takes_puts_in_sees_and_keeps(own_data):
    card = SwapForms(SMALL)
    take, put, keep = card.forms
    keep.run(card._keep)
    assert "see what becomes of it first" in keep.alert.value
    put.run(card._see)
    assert "nothing to put in" in put.alert.value
    card.key.value, card.value.value = "circuit.fuse", "15 A"
    put.run(card._put)
    put.run(card._see)
    assert "fuse rating (circuit): 10 A -&gt; 15 A" in card.report.value
    card.name.value = "Mine"
    keep.run(card._keep)
    kept = load(own_data / "builds" / "mine.toml")
    assert kept.name == "Mine" and kept.get("circuit.fuse").text == "15 A" and "Made mine.toml" in keep.result.value
    card.page.value = "nowhere.html"
    take.run(card._take)
    assert "cannot be read" in take.alert.value and card.build is SMALL

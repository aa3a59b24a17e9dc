"""A drive of which less is said is never judged better: belts nobody counted, flats, a groove's own angle, a start."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace

import pytest
from builders import check_of as check
from jackshaft.buildfile import DEMO, load, parse
from jackshaft.chapters.electric.line import read_line
from jackshaft.chapters.grip.friction import friction_of
from jackshaft.mechanics import bearing_kinds
from jackshaft.results import running, work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED
from jackshaft.results.proving import applied, prove
from jackshaft.results.reader import Reader

#: An engine drives a fan by three B belts whose tension is set belt by belt.
TEXT = """
schema = 1
name = "fan"
shown_in = "inch"
place = "outdoors"
wanted_life = "500 h"
clutch = "none"
driveline = "none"
shear_pin = "none"
[engine]
kind = "petrol engine"
cylinders = 1
rated_power = "13 hp"
rated_speed = "3600 rpm"
full_speed = "3600 rpm"
work_speed = "3600 rpm"
peak_torque = "20.2 lbf·ft"
turns = "counter-clockwise"
seen_from = "facing the engine's output shaft"
shaft_diameter = "1 in"
key_width = "1/4 in"
key_length = "1.5 in"
shaft_yield = "54 ksi"
belt_at = "2 in"
side_load_limit = "600 lbf"
side_load_at = "2 in"
[work]
name = "fan"
shaft = "fan"
power = "5 hp"
power_at = "engine"
turns = "counter-clockwise"
seen_from = "facing the engine's output shaft"
peak_factor = 1
start_factor = 1.8
overrun_factor = 0.3
load_class = "uniform"
service_factor = 1.3
[[shaft]]
name = "fan"
diameter = "30 mm"
material = "AISI 1045 CD"
[[shaft.joint]]
name = "pk"
kind = "parallel key"
position = "-3 in"
width = "1/4 in"
length = "1.5 in"
[[shaft.load]]
name = "pulley"
stage = "belt"
position = "-3 in"
weight = "12 lb"
[[shaft.load]]
name = "rotor"
position = "6 in"
weight = "50 lb"
pull = "0 lbf"
[[stage]]
name = "belt"
kind = "belt"
from = "engine"
to = "fan"
section = "B"
series = "inch"
belts = 3
marked = "B66"
driver = "E"
driven = "F"
efficiency = 1.0
creep = 0
[[stage.pulley]]
name = "E"
x = "0 in"
y = "0 in"
diameter = "5.6 in"
measured_as = "datum"
[[stage.pulley]]
name = "F"
x = "20 in"
y = "0 in"
diameter = "11 in"
measured_as = "datum"
[stage.takeup]
kind = "adjustable centres"
static_tension = "100 lbf"
travel_in = "1.5 in"
travel_out = "2 in"
[[bearing]]
name = "A"
shaft = "fan"
position = "0 in"
designation = "6206"
turning_ring = "inner"
located = true
[[bearing]]
name = "B"
shaft = "fan"
position = "12 in"
designation = "6206"
turning_ring = "inner"
located = false
"""
FLAT = {"measured_as": "outside", "surface": "flat"}


def built(**changes):
    return parse(TEXT.encode(), file="fan.toml").with_values(changes)


def fan(changes=None):
    return work_up(built(**(changes or {})))


def flats(**sizes):
    return {
        f"stage[belt].pulley[{n}].{k}": v for n, size in sizes.items() for k, v in {**FLAT, "diameter": size}.items()
    }


def test_belts_nobody_counted_leave_open_what_rests_on_their_number():
    """Seen: one belt was taken, and the crank and the shaft were a go for a third of their pull."""
    gone = {"stage[belt].belts": ""}
    said, bare, banded = fan(), fan(gone), fan({**gone, "stage[belt].marked": "3/B66"})
    for id in ("grip.margin[belt]", "capacity.power[belt]", "shafts.strength[fan]", "shafts.crank", "bearings.life[A]"):
        found = check(bare, id)
        assert found.verdict == UNDECIDED and "stage[belt].belts" in found.missing, (id, found.verdict, found.missing)
        assert check(said, id).verdict != UNDECIDED and check(banded, id).verdict == check(said, id).verdict, id
    enough = fan({"stage[belt].belts": "", "work.power": "2 hp"})
    assert check(enough, "capacity.power[belt]").verdict == GO  # one belt alone carries that


@pytest.mark.parametrize(
    ("sizes", "verdict"),
    [
        ({"F": "11 in"}, GO),
        ({"E": "5.6 in"}, STOP),
        ({"E": "5.6 in", "F": "11 in"}, STOP),
        ({"F": "5.2 in"}, STOP),
    ],
)
def test_only_the_larger_of_two_pulleys_may_be_flat(sizes, verdict):
    """Seen: a V-belt on two flat pulleys, and on a flat one that is the smaller, was a go."""
    found = fan(flats(**sizes))
    assert check(found, "capacity.bottom-on-flat[belt]").verdict == verdict
    for cure in prove(found, "capacity.bottom-on-flat[belt]") if verdict == STOP else ():
        there = [c for c in work_up(applied(found.build, cure.changes)).checks if c.id.startswith("capacity.bottom")]
        assert all(c.verdict == GO for c in there), cure.words


@pytest.mark.parametrize(("angle", "own"), [(30, 1.0), (38.9, 1.0), (39.1, None), (44, None), (60, None)])
def test_a_groove_wider_than_its_belt_wedges_by_its_own_angle(angle, own):
    """A B belt wants 38 degrees on F; the walls press with N = pull / (2 sin(a/2)), so the grip goes with 1 / sin."""
    found = fan({"stage[belt].pulley[F].groove_angle": f"{angle} deg"})
    layout = found.chapters["layout"].data["belt"]
    plain, mine = (friction_of(Reader(b), layout) for b in (built(), found.build))
    share = own or math.sin(math.radians(19)) / math.sin(math.radians(angle / 2))
    assert mine.likely == pytest.approx([plain.likely[0], share * plain.likely[1]])
    assert mine.bad == pytest.approx([plain.bad[0], share * plain.bad[1]])
    assert mine.high[1] >= plain.high[1] * share and (angle > 38 or mine.high[1] > plain.high[1])
    stated = {"stage[belt].friction_groove": "0.45", "stage[belt].pulley[F].groove_angle": f"{angle} deg"}
    assert friction_of(Reader(built(**stated)), layout).likely == pytest.approx([0.45, 0.45])


def test_two_stages_with_places_of_their_own_are_told_apart():
    """Seen: a shaft that stands in two places in two stages was not mentioned: each stage has its own zero mark."""
    second = TEXT.partition("[[stage]]")[2].partition("[[bearing]]")[0]
    for old, new in (('name = "belt"', 'name = "second"'), ('to = "fan"', 'to = "drum"'), ('"engine"', '"fan"')):
        second = second.replace(old, new)
    text = f'{TEXT}[[shaft]]\nname = "drum"\n[[stage]]{second}'
    two = work_up(parse(text.encode(), file="two.toml"))
    for results, told in ((fan(), 0), (two, 1)):
        facts = [f for f in results.chapters["layout"].facts if f.label == "zero mark of the places"]
        assert len(facts) == told


@pytest.mark.parametrize(
    ("length", "line", "told"),
    [("66 in", "inside", False), ("67.8 in", "datum", False), ("67.1 in", "inside", True), ("60 in", "inside", True)],
)
def test_a_length_that_is_not_the_markings_is_told_and_counts(length, line, told):
    """Seen: 60 in inside beside the marking B66 was worked as 66 in. Printed: B66 is 66 in inside, 67.8 in datum."""
    found = fan({"stage[belt].length": length, "stage[belt].length_is": line})
    assert any(c.id == "layout.length-said[belt]" for c in found.checks) == told
    plain = fan().chapters["layout"].data["belt"].chosen.pitch_length
    more = 0.0 if line == "datum" else 0.0254 * (float(length.split()[0]) - 66)
    mine = found.chapters["layout"].data["belt"].chosen.pitch_length
    assert mine == pytest.approx(plain + more, abs=1e-4)


def test_the_battery_alone_feeds_the_coil_over_its_own_resistance():
    """Seen: 0.1 ohm of battery and cables left 12.5 V at its posts. By hand: (12.5 - 2.5 x 0.1) over the loop."""
    alone = {"circuit.running_voltage": "", "circuit.battery_resistance": "0.1 ohm"}
    line = read_line(Reader(load(DEMO).with_values(alone)))
    amps = (12.5 - 2.5 * 0.1) / (0.1 + line.line_ohm + 2.6)
    assert line.states[0][1] == pytest.approx(12.5 - 0.1 * (2.5 + amps))
    assert [s[1] for s in line.unloaded] == [12.5, 12.5]
    quiet = {**alone, "circuit.load[work lamp].off_engaged": True}
    assert read_line(Reader(load(DEMO).with_values(quiet))).states[0][1] == pytest.approx(
        12.5 - 0.1 * 12.5 / (0.1 + line.line_ohm + 2.6)
    )
    both = read_line(Reader(load(DEMO).with_values({"circuit.battery_resistance": "0.1 ohm"})))
    assert dict((n, v) for n, v, _ in both.states)["running, cold"] == 14.1  # read at the posts, under load


def test_a_start_nobody_described_betters_no_shaft():
    """Seen: without its start factor, near nothing, the shaft went from caution to go: the pull at rest was not there.

    Three belts at 100 lbf a strand at rest pull the hub with 600 lbf and bend the shaft at its near bearing, 3 in off.
    """
    easy, bare = fan({"work.start_factor": 0.05}), fan({"work.start_factor": ""})
    assert check(easy, "shafts.strength[fan]").verdict == CAUTION
    assert check(bare, "shafts.strength[fan]").verdict == UNDECIDED
    place = next(s for s in bare.chapters["shafts"].data.shafts["fan"].sections if s.name == "bearing A")
    empty = next(c for c in place.cases if c.case == "empty run")
    pull, weight = 600 * 4.4482216, 12 * 4.4482216
    assert empty.moment == pytest.approx(math.hypot(pull, weight) * 3 * 0.0254, rel=0.02) and empty.torque == 0.0
    thick = {"work.start_factor": "", "shaft[fan].diameter": "45 mm", "bearing[A].designation": "6209"}
    found = check(fan({**thick, "bearing[B].designation": "6209"}), "shafts.strength[fan]")
    assert found.verdict == UNDECIDED and found.missing == ("work.start_factor",)
    found = check(fan({"work.peak_factor": ""}), "shafts.yield[fan]")
    assert found.verdict == UNDECIDED and found.missing == ("work.peak_factor",)


def test_a_marking_of_another_kind_of_bearing_lends_it_no_rating():
    """Seen: 1206, NU206, 7206, 30206 and 51106 were 'go, 6206', with its life. Kinds: ISO 15, 104, 355."""
    sizes = {"bearing[A].bore": "30 mm", "bearing[A].outside": "62 mm", "bearing[A].width": "16 mm"}
    kinds = {
        "1206": "self-aligning",
        "NU206-E": "cylindrical roller",
        "SKF 7206 BEP": "angular contact",
        "30206": "tapered roller",
        "51106": "thrust ball",
        "22206": "spherical roller",
        "QJ206": "four-point",
    }
    for marking, kind in kinds.items():
        for key in ("marking", "designation"):
            found = fan({**sizes, "bearing[A].designation": "", f"bearing[A].{key}": marking})
            told = check(found, "bearings.identity[A]")
            assert told.verdict == CAUTION and kind in told.reason, marking
            life = check(found, "bearings.life[A]")
            assert life.verdict == UNDECIDED and life.missing == ("bearing[A].dynamic_rating",), marking
    for marking in ("6206", "6206-2RS C3", "UC206", "6206NR"):
        assert bearing_kinds.other_kind(marking) == ""


def test_no_chapter_takes_another_ones_data_for_granted():
    """Seen: a centrifugal clutch leaves no data in its chapter, and the chain failed by a fault of the program."""
    shoes = '[clutch]\nkind = "centrifugal"\nshaft = "engine"\nstatic_torque = "30 lbf·ft"\n'
    shoes += 'torque_speed = "3600 rpm"\nengage_speed = "2000 rpm"\n'
    build = parse((TEXT.replace('clutch = "none"\n', "") + shoes).encode(), file="shoes.toml")
    assert not work_up(build).faults and check(work_up(build), "chain.engage-belts[belt]")
    there = running.declared()
    for name in (n for n, c in there.items() if not c.coming):
        bare = SimpleNamespace(**{k: getattr(there[name], k) for k in ("name", "title", "coming", "ground", "needs")})
        bare.work_up = lambda *given, of=there[name]: replace(of.work_up(*given), data=None)
        assert not running.run(build, {**there, name: bare}).faults, name

"""Bearings where they sit: bore against seat, shaft, pin and idler, and the widths of what stands along a shaft."""

from __future__ import annotations

import re

import numpy as np
import pytest
from jackshaft.buildfile import parse
from jackshaft.chapters.shafts import cures as shaft_cures
from jackshaft.mechanics import bearing_sizes
from jackshaft.parts import shaft_moves
from jackshaft.parts.along import bears, face_width
from jackshaft.results import work_up
from jackshaft.results.failing import Failing
from jackshaft.results.proving import applied, prove
from jackshaft.results.reader import Reader
from jackshaft.units import read, write_nominal
from shaft_builds import INCH, results
from test_shaft_cures import CHIPPER, DEMO, SHAFT, check, of

MM = 1e-3
IDLER = "stage[crank belts].pulley[I]"


def found_checks(results_, id):
    return [c for c in results_.checks if c.id == id]


# -- bore and seat -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "seat, verdict, words",
    [
        ("40.008 mm", "go", "within its class"),
        ("30 mm", "stop", "loose"),
        ("45 mm", "stop", "does not go on"),
        ("40.09 mm", "stop", "does not go on"),  # 90 µm on 40 mm is 2.25 thousandths: E times that is 465 MPa of hoop
        ("39.2 mm", "stop", "loose"),
    ],
)
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_a_seat_of_another_size_is_a_stop(seat, verdict, words, unit):
    """Seen: a caution for a 30 mm seat under a bearing of 40 mm, with the play of the advised seat."""
    text = seat if unit == "mm" else f"{read(seat, 'length').si / INCH:.6f} in"
    found = of({"bearing[near].seat": text, "bearing[near].seat_measured_with": "micrometer"})
    c = check(found, "bearings.seat[near]")
    assert c.verdict == verdict and words in c.reason
    far = abs(read(seat, "length").si - 40 * MM) > 0.5 * MM
    assert bool(found_checks(found, "bearings.play[near]")) is not far


@pytest.mark.parametrize("seat", ["30 mm", "50 mm"])
def test_a_pin_of_another_size_under_an_outer_ring_that_turns_is_a_stop(seat):
    changes = {"bearing[near].turning_ring": "outer", "bearing[near].seat_measured_with": "micrometer"}
    assert check(of({**changes, "bearing[near].seat": seat}), "bearings.seat[near]").verdict == "stop"


@pytest.mark.parametrize("over", [2, 12, 22])
def test_play_is_that_of_the_measured_seat(over):
    """Clearance less four fifths of the interference of the seat as measured; a new ring is made 6 µm under size."""
    base = {"bearing[near].seat_measured_with": "micrometer"}
    at = [
        check(of({**base, "bearing[near].seat": f"{40 + micron / 1e3} mm"}), "bearings.play[near]").found.si
        for micron in (over, over + 10)
    ]
    assert at[0] - at[1] == pytest.approx(0.8 * 10e-6, rel=1e-6)


@pytest.mark.parametrize(
    "number, verdict",
    [("6208", None), ("6209", "stop"), ("6207", "stop"), ("1654", "stop")],
)
@pytest.mark.parametrize("shaft", ["40 mm", "1.5748 in"])
def test_a_bore_that_is_not_the_shafts_is_a_stop(number, verdict, shaft):
    found = of({"shaft[spindle].diameter": shaft, "bearing[near].designation": number})
    there = found_checks(found, "bearings.bore[near]")
    assert [c.verdict for c in there] == ([] if verdict is None else [verdict])
    if there:
        size = bearing_sizes.find.si(number)
        assert ("does not go on" if size.bore < 40 * MM else "loose") in there[0].reason


def test_a_metric_bore_on_an_inch_shaft_beside_it_is_a_caution():
    """1-3/8 in is 34.925 mm: 75 µm under 35 mm, more than any class of shaft for this size."""
    one = {"shaft[spindle].diameter": "1-3/8 in", "bearing[near].designation": "6207"}
    assert check(of(one), "bearings.bore[near]").verdict == "caution"


def test_a_sleeve_makes_up_the_difference_only_where_there_is_room_for_it():
    sleeve = {"bearing[near].designation": "6209", "bearing[near].sleeve": True}
    assert not found_checks(of(sleeve), "bearings.bore[near]")
    assert check(of({**sleeve, "bearing[near].designation": "6207"}), "bearings.bore[near]").verdict == "stop"


@pytest.mark.parametrize("step", ["30 mm", "50 mm"])
def test_a_seat_that_its_step_does_not_have_is_named(step):
    """Seen: a step of 30 mm with a seat of 40 mm went unmentioned."""
    found = of(
        {
            "shaft[spindle].diameter": step,
            "bearing[near].seat": "40.008 mm",
            "bearing[near].seat_measured_with": "micrometer",
        }
    )
    c = check(found, "bearings.bore[near]")
    assert c.verdict == "caution" and "shaft[spindle].diameter" in c.reason and "bearing[near].seat" in c.reason


def test_a_bearing_that_stands_in_a_shoulder_is_named():
    """A 6208 is 18 mm wide: at 5 mm from a shoulder of 50 mm it stands 4 mm in it; at 9 mm it is clear."""
    steps = (
        b'[[shaft.step]]\nname = "thick"\nstart = "-5 in"\nend = "%s"\ndiameter = "50 mm"\n'
        b'[[shaft.step]]\nname = "seat"\nstart = "%s"\nend = "11 in"\ndiameter = "40 mm"\n[[shaft.load]]'
    )
    for gap, there in (("-5 mm", True), ("-9 mm", False), ("-8.5 mm", False)):
        text = SHAFT.replace(b"[[shaft.load]]", steps % (gap.encode(), gap.encode()))
        assert bool(found_checks(work_up(parse(text, file="spindle.toml")), "bearings.bore[near]")) is there, gap


@pytest.mark.parametrize("id", ["bearings.bore[near]", "bearings.life[near]", "bearings.static[near]"])
@pytest.mark.parametrize("pull", ["300 lbf", "4500 lbf"])
def test_a_bearing_that_is_proposed_fits_the_seat(id, pull):
    """Seen: cures of the life kept the bore of a bearing that does not go on this shaft."""
    found = of({"bearing[near].designation": "6209", "shaft[spindle].load[pulley].pull": pull})
    for cure in prove(found, id) if found_checks(found, id) else ():
        name, shaft = cure.changes.get("bearing[near].designation"), cure.changes.get("shaft[spindle].diameter")
        size = read(shaft, "length").si if shaft else 40 * MM
        if name:
            assert bearing_sizes.find.si(name).bore == pytest.approx(size, abs=0.05 * MM), cure.words


def test_a_wrong_bore_is_cured_by_a_bearing_for_the_shaft():
    found = of({"bearing[near].designation": "6209"})
    cure = prove(found, "bearings.bore[near]")[0]
    after = work_up(applied(found.build, cure.changes))
    assert not found_checks(after, "bearings.bore[near]") and not cure.harm


# -- idlers ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "number, pin, outside, verdict",
    [
        ("6203-2RS", "17 mm", "5 in", "go"),
        ("6203-2RS", "0.66929 in", "5 in", "go"),
        ("6203-2RS", "5/8 in", "5 in", "stop"),  # 15.875 in 17 mm
        ("6203-2RS", "3/4 in", "5 in", "stop"),  # 19.05 in 17 mm
        ("6203-2RS", "16.9 mm", "5 in", "caution"),
        ("6203-10-2RS", "5/8 in", "5 in", "go"),
        ("6203-2RS", "17 mm", "1.5 in", "stop"),  # 40 mm outside in a rim of 38.1
        ("6210", "50 mm", "90 mm", "stop"),  # 90 mm outside: nothing is left of the rim
    ],
)
def test_the_bearing_of_an_idler_goes_on_its_pin_and_into_the_idler(number, pin, outside, verdict):
    """Seen: a bearing of 17 mm on a pin of 5/8 in, unmentioned."""
    keys = {"bearing": number, "pin_diameter": pin, "diameter": outside}
    c = check(results(DEMO, **{f"{IDLER}.{k}": v for k, v in keys.items()}), "bearings.idler-fit[crank belts: I]")
    assert c.verdict == verdict and bool(c.remedy) is (verdict != "go")


def test_every_bearing_proposed_for_an_idler_fits_its_pin():
    found = results(DEMO, **{f"{IDLER}.bearing": "6203-2RS", f"{IDLER}.pin_diameter": "5/8 in"})
    cures = prove(found, "bearings.idler-fit[crank belts: I]")
    assert cures and all(c.verdict_after == "go" for c in cures)
    for cure in cures:
        build = applied(found.build, cure.changes)
        bore = bearing_sizes.find.si(str(build.get(f"{IDLER}.bearing")).removesuffix("-2RS")).bore
        assert bore == pytest.approx(build.get(f"{IDLER}.pin_diameter").si, abs=0.05 * MM)


# -- widths along a shaft ----------------------------------------------------------------------------


def test_a_pulleys_face_is_as_wide_as_its_grooves():
    """Two A grooves: one pitch of 5/8 in and two edges of 3/8 in, 1-3/8 in (table of the groove standard)."""
    reader = Reader(results(DEMO).build)
    assert face_width(reader, "crank belts", "jackshaft") == pytest.approx(1.375 * INCH)
    assert face_width(reader, "crank belts", "engine") == pytest.approx(1.375 * INCH)
    assert face_width(reader, "output chain", "jackshaft") is None


@pytest.mark.parametrize(
    "hub, at, verdict",
    [
        ("", "-1.25 in", "caution"),
        ("2 in", "-1.25 in", "stop"),
        ("1/2 in", "-1.25 in", "caution"),  # the hub ends before it, the rim does not
        ("1/2 in", "-1.8 in", "stop"),
        ("1/2 in", "-1.2 in", None),
        ("", "-1.2 in", None),
    ],
)
def test_a_bearing_inside_a_pulley_is_named(hub, at, verdict):
    """The pulley at -2-1/4 in, two grooves wide: 0.6875 + 0.354 in are needed, with a hub of 1/2 in 0.604 for sure."""
    changes = {"bearing[engine side].position": at, "shaft[jackshaft].load[large pulley].hub_length": hub}
    changes |= {"shaft[jackshaft].joint[pulley key].length": "1/4 in"}
    found = found_checks(results(DEMO, **changes), "bearings.apart[jackshaft: large pulley, engine side]")
    assert [c.verdict for c in found] == ([] if verdict is None else [verdict])


def test_a_key_under_a_bearing_is_a_stop():
    """A key of 1-1/2 in at -2-1/4 in ends at -1-1/2; the bearing at -1.7 in reaches from -2.05 to -1.35."""
    found = results(DEMO, **{"bearing[engine side].position": "-1.7 in"})
    assert check(found, "bearings.apart[jackshaft: pulley key, engine side]").verdict == "stop"


@pytest.mark.parametrize(
    "at, outboard, faults", [("2.5 in", "", 0), ("1/2 in", "", 1), ("2.5 in", "3 in", 1), ("2.5 in", "3.5 in", 0)]
)
def test_the_belt_clears_the_engines_face_and_the_outboard_bearing(at, outboard, faults):
    found = results(DEMO, **{"engine.belt_at": at, "engine.outboard_at": outboard})
    assert len([c for c in found.checks if c.id.startswith("bearings.apart[engine")]) == faults


@pytest.mark.parametrize("position", ["-1.5 in", "-3 in", "-5 in", "12 in", "20 in"])
def test_no_proposal_sets_a_part_inside_another(position):
    """Seen: an outboard bearing inside the pulley, and one in another bearing. Widths: 18 mm, 1-3/8 in, the keys'."""
    joint = "shaft[jackshaft].joint[pulley key]"
    changes = {"shaft[jackshaft].load[large pulley].position": position, f"{joint}.position": position}
    steps = {"pulley end].start": "-12 in", "sprocket end].end": "30 in"}
    found = results(DEMO, **changes, **{f"shaft[jackshaft].step[{k}": v for k, v in steps.items()})
    failing = Failing(found, check(found, "shafts.strength[jackshaft]"))
    moves = [p for p in shaft_moves.relieved(failing, "jackshaft") if any("position" in k for k in p.changes)]
    assert moves
    for move in moves:
        at = {k: v.si for k, v in applied(found.build, move.changes).values.items() if k.endswith(".position")}
        bearings = [at[f"bearing[{n}].position"] for n in ("engine side", "chain side")]
        hub = at["shaft[jackshaft].load[large pulley].position"]
        key, sprocket = at[f"{joint}.position"], at["shaft[jackshaft].joint[sprocket key].position"]
        assert abs(bearings[0] - bearings[1]) >= 18 * MM, move.words
        for here in bearings:
            assert abs(here - hub) >= (18 * MM + 1.375 * INCH) / 2 - 1e-9, move.words
            assert abs(here - key) >= (18 * MM + 1.5 * INCH) / 2 - 1e-9, move.words
            assert abs(here - sprocket) >= (18 * MM + 1.25 * INCH) / 2 - 1e-9, move.words


@pytest.mark.parametrize("at", ["1 in", "2.5 in", "6 in"])
def test_no_proposal_for_the_crank_sets_the_belt_in_the_engine_or_a_bearing_in_the_belt(at):
    """Seen: a bearing so near that it stood in the pulley. The face is 1-3/8 in wide: 11/16 in to each side."""
    found = results(DEMO, **{"engine.belt_at": at})
    for move in shaft_cures.PROPOSALS["shafts.crank-bending"](Failing(found, check(found, "shafts.crank-bending"))):
        build = applied(found.build, move.changes)
        belt, end = (build.get(f"engine.{k}") for k in ("belt_at", "outboard_at"))
        assert belt.si >= 0.6875 * INCH - 1e-9 or "engine.belt_at" not in move.changes, move.words
        assert end is None or end.si - belt.si >= 0.6875 * INCH, move.words


def test_no_bearing_is_set_beyond_the_work_itself():
    """Seen: a bearing below a mower's blade. A load that no stage makes is the tool: nothing goes beyond it."""
    found = of({"shaft[spindle].load[pulley].pull": "4000 lbf"})
    for c in found.checks:
        for cure in prove(found, c.id) if c.verdict in ("caution", "stop") else ():
            assert read(cure.changes.get("bearing[near].position", "0 in"), "length").si > -4 * INCH, cure.words


def test_a_joint_moves_with_its_pulley_and_stays_under_it():
    """The pulley is set to a mark of the tape, and its key by as much, not by what the mark was rounded from."""
    found = results(DEMO, **{"shaft[jackshaft].step[pulley end].diameter": "15 mm"})
    cures = [c for x in found.checks if x.id.startswith("shafts.") for c in prove(found, x.id) if x.verdict != "go"]
    load, key = "shaft[jackshaft].load[large pulley].position", "shaft[jackshaft].joint[pulley key].position"
    moved = [c.changes for c in cures if load in c.changes]
    assert moved and all(read(c[load], "length").si == pytest.approx(read(c[key], "length").si) for c in moved)


# -- keys --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "changes, borne",
    [
        ({}, None),
        ({"joint[pulley key].length": "3 in"}, 2.5),  # from -3-1/4 in, the end of the step, to -3/4 in
        ({"load[large pulley].hub_length": "1 in"}, 1.0),
        ({"load[large pulley].hub_length": "1-1/2 in"}, None),
    ],
)
def test_a_key_counts_as_far_as_it_bears(changes, borne):
    """Capacity goes with the length that bears; the step runs from -3-1/4 to -1/2 in, the key's middle is at -2-1/4."""
    found = results(DEMO, **{f"shaft[jackshaft].{k}": v for k, v in changes.items()})
    there = found_checks(found, "shafts.key[pulley key]")
    carries = {n: check(r, "shafts.joint[pulley key]").found.si for n, r in (("now", found), ("was", results(DEMO)))}
    assert [c.verdict for c in there] == ([] if borne is None else ["caution"])
    assert carries["now"] / carries["was"] == pytest.approx((borne or 1.5) / 1.5)
    if borne is not None:
        assert there[0].wanted.si == pytest.approx(borne * INCH)
        cure = prove(found, there[0].id)[0]
        assert not found_checks(work_up(applied(found.build, cure.changes)), there[0].id)


def test_the_engines_key_counts_as_far_as_its_hub_reaches():
    found = results(DEMO, **{"engine.hub_length": "1 in"})
    assert bears(Reader(found.build), "engine", "engine key").length == pytest.approx(INCH)
    assert check(found, "shafts.key[engine key]").verdict == "caution"


# -- words -------------------------------------------------------------------------------------------


def test_a_cure_by_a_spring_washer_shows_what_changed():
    """Seen: the same value before and after."""
    found = of({"shaft[spindle].load[pulley].pull": "20 lbf"})
    for c in found.checks:
        if c.id.startswith("bearings.load[") and c.verdict == "caution":
            cures = prove(found, c.id)
            assert cures and all(cure.value_after != c.value for cure in cures)


@pytest.mark.parametrize("system, unit", [("inch", "°F"), ("metric", "°C")])
def test_temperatures_of_the_card_are_whole_fives(system, unit):
    found = work_up(parse(SHAFT.replace(b'shown_in = "inch"', f'shown_in = "{system}"'.encode()), file="x.toml"))
    card = found.chapters["bearings"].data.cards["near"]
    degrees = re.findall(rf"([\d.]+) {unit}", dict(card.rows)["how"])
    assert degrees and all(float(d) % 5 == 0 for d in degrees)
    # 80 °C is the most for a closed bearing, 176 °F: no limit is shown above it
    assert float(degrees[-1]) in (175.0, 80.0)


@pytest.mark.parametrize(
    "si, system, text",
    [
        (0.106, "inch", "106 mm"),
        (0.106, "metric", "106 mm"),
        (4.25 * INCH, "metric", "4.25 in"),
        (4.25 * INCH, "inch", "4.25 in"),
        (75 * MM, "inch", "75 mm"),
        (np.pi * 10 * MM, "metric", "31.42 mm"),
        (np.pi * INCH, "inch", "3.142 in"),
    ],
)
def test_a_nominal_size_is_written_in_the_units_in_which_it_is_round(si, system, text):
    """Seen: 2.952755906 in for a size of 75 mm."""
    assert write_nominal(si, system) == text


def test_nominal_sizes_want_a_system_that_there_is():
    with pytest.raises(ValueError):
        write_nominal(0.1, "imperial")


def test_no_cure_of_a_metric_drive_shown_in_inches_has_a_long_number():
    text = CHIPPER.read_bytes().replace(b'shown_in = "inch"', b'shown_in = "metric"')
    found = work_up(parse(text, file="x.toml"))
    for c in found.checks:
        for cure in prove(found, c.id) if c.verdict in ("caution", "stop") else ():
            assert not re.search(r"\d\.\d{5,}", " ".join([cure.words, *cure.changes.values()])), cure


def test_a_cure_by_bearings_that_tilt_shows_what_changed():
    """Seen: 1.05 mrad before and after."""
    found = of(
        {"shaft[spindle].load[pulley].pull": "900 lbf", "shaft[spindle].material": "AISI 4140 pre-hard (28-32 HRC)"}
    )
    c = check(found, "shafts.slope[spindle]")
    assert c.verdict != "go"
    tilting = [cure for cure in prove(found, c.id) if any(k.endswith("self_aligning") for k in cure.changes)]
    assert tilting and all(cure.value_after != c.value for cure in tilting)


@pytest.mark.parametrize("written", ["designation", "marking"])
def test_a_number_with_its_seals_behind_is_the_size_it_names(written):
    """Seen: '6205-2rs' is in no list here."""
    found = of({"bearing[near].designation": "", f"bearing[near].{written}": "6208-2RS C3"})
    assert not found_checks(found, "bearings.number[near]")
    identity = found.chapters["bearings"].data.identity["near"]
    assert (identity.size.designation, identity.marking.clearance) == ("6208", "C3")


def test_a_taper_bore_is_given_no_plain_seat():
    """Seen: limits of 40 mm to machine for a bearing that sits on a sleeve on a shaft of 35 mm."""
    found = of({"bearing[near].designation": "6208K", "shaft[spindle].diameter": "35 mm"})
    c = check(found, "bearings.seat[near]")
    assert c.verdict == "caution" and "mm" not in c.limit and not found_checks(found, "bearings.bore[near]")
    assert check(of({"bearing[near].designation": "6208K"}), "bearings.bore[near]").verdict == "stop"


@pytest.mark.parametrize("reading, verdict", [("1.55 in", "caution"), ("1.50 in", "stop")])
def test_a_rough_reading_is_a_seat_for_another_bore_only_beyond_what_it_may_miss(reading, verdict):
    """A tape misses by a thirty-second of an inch or so: 1.55 in may be 40 mm, 1.50 in is not."""
    found = of({"bearing[near].seat": reading, "bearing[near].seat_measured_with": "tape"})
    assert check(found, "bearings.seat[near]").verdict == verdict


@pytest.mark.parametrize("ring", ["", "inner", "outer"])
def test_a_seat_for_another_bore_is_a_stop_whichever_ring_turns(ring):
    """Seen: 'which ring turns is not known' for a seat on which the bearing cannot go in either case."""
    keys = {"turning_ring": ring, "seat": "44 mm", "seat_measured_with": "calipers"}
    assert check(of({f"bearing[near].{k}": v for k, v in keys.items()}), "bearings.seat[near]").verdict == "stop"


def test_a_belt_too_near_to_the_engine_is_set_out_by_half_its_hub():
    """A hub of 4 in wants 2 in to its middle."""
    found = results(DEMO, **{"engine.hub_length": "4 in", "engine.belt_at": "1.5 in"})
    cure = prove(found, "bearings.apart[engine: the engine's face, crank belts]")[0]
    assert read(cure.changes["engine.belt_at"], "length").si == pytest.approx(2 * INCH)

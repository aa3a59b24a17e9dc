"""What a build leaves unsaid is asked for, or said with the verdict: it is never taken in silence."""

from __future__ import annotations

import math

import pytest
from builders import check_of as check
from jackshaft.buildfile import load, parse
from jackshaft.chapters.bearings import idlers as idler_bearings
from jackshaft.chapters.bearings.rating import tabulated
from jackshaft.parts.idlers import Idler
from jackshaft.results import work_up
from jackshaft.results.checks import GO, UNDECIDED
from jackshaft.results.reader import Reader
from no_coil_builds import TILLER
from shaft_builds import STEEL, TEXT, TWO_BELTS, build_of, with_part

ROTOR = "rotor_bearings"
HP = 745.6998715822702  # W: 550 ft·lbf/s
PULL = "shaft[rotor].load[rotor body].pull"


@pytest.mark.parametrize("pull", ["", "0 lbf"])
def test_a_part_that_may_pull_sideways_leaves_its_shaft_open(pull):
    """Seen: the weight alone was counted, and shaft and bearings were a go."""
    results = work_up(build_of(ROTOR, **STEEL, **{PULL: pull}))
    for id in ("shafts.strength[rotor]", "shafts.yield[rotor]", "shafts.slope[rotor]", "bearings.static[A]"):
        found = check(results, id)
        assert found.verdict == (GO if pull else UNDECIDED), (id, found.verdict)
        assert (PULL in found.missing) is not bool(pull), id


def test_a_pull_of_nothing_needs_no_direction_and_changes_no_number():
    said, unsaid = (work_up(build_of(ROTOR, **STEEL, **{PULL: p})) for p in ("0 lbf", ""))
    for id in ("shafts.strength[rotor]", "bearings.static[A]"):
        assert str(check(said, id).found) == str(check(unsaid, id).found)


def test_a_shaft_that_states_no_loose_load_is_not_asked_for_its_pull():
    assert not any(key.endswith("].pull") for c in work_up(build_of(TWO_BELTS)).checks for key in c.missing)


def test_a_joint_says_which_hub_it_holds():
    """Seen: nobody could tell from the checks that a key held the large sprocket."""
    results = work_up(load("feed_wagon_auger"))
    names = {c.id: c.name for c in results.checks if c.id.startswith("shafts.joint[")}
    assert names["shafts.joint[joint key]"] == "output shaft: joint key, hub of output chain"
    assert names["shafts.joint[yoke key]"] == "output shaft: yoke key, hub of the auger"
    assert "taken for the hub of the auger" in check(results, "shafts.joint[yoke key]").reason
    assert names["shafts.joint[engine key]"] == "engine: engine key, hub of the clutch, with crank belts"


def test_a_joint_of_which_it_is_not_known_what_it_holds_names_no_hub():
    key = {"kind": "parallel key", "width": "1/4 in", "length": "1 in"}
    build = with_part(build_of(TWO_BELTS), "output shaft", "joint", "a key", **key)
    results = work_up(build)
    assert check(results, "shafts.joint[a key]").name == "output shaft: a key"
    asked = check(results, "shafts.hub[second belts on output shaft]")
    assert asked.missing == ("shaft[output shaft].joint[a key].stage",)


#: A third belt from the jackshaft to a fan, beside the two that lead to the work.
FAN = """
[[shaft]]
name = "fan shaft"

[[stage]]
name = "fan belt"
kind = "belt"
from = "jackshaft"
to = "fan shaft"
section = "A"
series = "inch"
belts = 1
driver = "a"
driven = "b"
centres = "15 in"
efficiency = 0.8
creep = 0.0

[[stage.pulley]]
name = "a"
diameter = "4 in"
measured_as = "pitch"

[[stage.pulley]]
name = "b"
diameter = "5 in"
measured_as = "pitch"

[stage.takeup]
kind = "adjustable centres"
static_tension = "45 lbf"
"""
TAKES = "shaft[fan shaft].work_power"


def with_fan(**changes):
    text = TEXT.replace("[[bearing]]", f"{FAN}\n[[bearing]]", 1)
    return work_up(parse(text.encode(), file="fan.toml").with_values(changes))


def test_a_belt_beside_the_work_does_not_take_all_of_its_power():
    """Seen: a belt to a shaft without work was judged with the engine's whole power."""
    bare, fan = work_up(build_of(TWO_BELTS)), with_fan()
    for id in ("ratio.aside[fan shaft]", "grip.margin[fan belt]", "capacity.power[fan belt]"):
        found = check(fan, id)
        assert found.verdict == UNDECIDED and found.missing == (TAKES,), id
    for id in ("grip.margin[second belts]", "grip.margin[first belt]", "ratio.power"):
        assert str(check(fan, id).found) == str(check(bare, id).found), id


def test_what_is_driven_beside_the_work_takes_what_it_says():
    half = with_fan(**{TAKES: "0.5 hp"})
    state = half.chapters["ratio"].data.shaft("fan shaft")
    assert state.torque * state.work == pytest.approx(0.5 * HP)
    taken = half.chapters["ratio"].data.through("fan belt")
    assert taken.power == pytest.approx(0.5 * HP / 0.8)
    assert check(half, "grip.margin[fan belt]").verdict != UNDECIDED
    assert not any(c.id.startswith("ratio.aside") for c in half.checks)


@pytest.mark.parametrize(("at", "all_of_it"), [("engine", 3.0), ("jackshaft", 3.0), ("output shaft", 3.0 + 0.5 / 0.8)])
def test_a_power_stated_behind_the_fork_does_not_hold_the_fan(at, all_of_it):
    """Power before the fork is what both take, each by what its own belt loses; the other belts here lose none."""
    half = with_fan(**{TAKES: "0.5 hp", "work.power_at": at})
    assert half.chapters["ratio"].data.shafts[0].power == pytest.approx(all_of_it * HP)
    untold = with_fan(**{"work.power_at": at})
    lacks = check(untold, "ratio.power").missing
    assert (TAKES in lacks) is (at == "output shaft")


def test_the_end_of_the_drive_is_said_to_be_assumed():
    """Seen: without work.shaft the last shaft was taken in silence."""
    gone = build_of(TWO_BELTS, **{"work.shaft": "", "work.speed_least": "200 rpm", "work.speed_most": "300 rpm"})
    found = check(work_up(gone), "ratio.speed")
    assert found.verdict == GO and "output shaft, assumed" in str(found.found)
    assert "work.shaft" in work_up(gone).chapters["ratio"].missing
    said = build_of(TWO_BELTS, **{"work.speed_least": "200 rpm", "work.speed_most": "300 rpm"})
    assert "assumed" not in str(check(work_up(said), "ratio.speed").found)


def test_of_two_ends_none_is_taken_for_the_work():
    two = with_fan(**{"work.shaft": "", "work.speed_least": "200 rpm", "work.speed_most": "300 rpm"})
    for id in ("ratio.speed", "grip.margin[second belts]", "grip.margin[fan belt]"):
        found = check(two, id)
        assert found.verdict == UNDECIDED and "work.shaft" in found.missing, id
    assert check(two, "grip.margin[first belt]").verdict != UNDECIDED


def clutch_builds():
    """The tiller's clutch with its shaft said and not said, and the same where the counter shaft drives nothing."""
    said = parse(TILLER.encode(), file="tiller.toml")
    one = "[[stage]]" + TILLER.split("[[stage]]")[2].partition("[clutch]")[0]
    alone = parse(TILLER.replace(one, "").replace('shaft = "tine shaft"', 'shaft = "counter"').encode(), file="t.toml")
    return said, said.with_values({"clutch.shaft": ""}), alone.with_values({"clutch.shaft": ""})


def test_the_shaft_of_the_clutch_is_asked_for_where_several_drive():
    """Seen: without clutch.shaft the clutch counted as the engine's in silence."""
    said, unsaid, alone = (work_up(build) for build in clutch_builds())
    assert not any(c.id == "clutch.shaft" for c in said.checks)
    for id in ("clutch.shaft", "chain.holds"):
        found = check(unsaid, id)
        assert found.verdict == UNDECIDED and "clutch.shaft" in found.missing, id
    rests = ("clutch.hold", "clutch.engagement", "clutch.idle")
    assert not any(c.verdict == GO for c in unsaid.checks if c.id in rests)
    found = check(alone, "clutch.shaft")
    assert found.verdict == GO and found.found == "engine, assumed"


PIN = {"diameter": "5/8 in", "overhang": "1 in", "yield": "54 ksi"}
IDLER, SIZE = "stage[first belt].pulley[idler].bearing", "6203-2RS"


@pytest.mark.parametrize(
    ("load", "hardest", "likely", "bad"),
    [("uniform", 150.0, 1.0, 1.5), ("light shock", 150.0, 1.2, 1.5), ("heavy shock", 150.0, 1.2, 2.5)]
    + [("uniform", 400.0, 1.0, 4.0)],
)
def test_the_bearing_of_an_idler_feels_shock_and_its_hardest_case(load, hardest, likely, bad):
    """Seen: it lived as if nothing shook it, whatever the peak. L10 = (C / P)^3 in millions of turns (ISO 281)."""
    reader = Reader(build_of(TWO_BELTS, **{"work.load_class": load, "place": "indoors"}))
    idler = Idler("first belt", "idler", "", 100.0, ("peak", hardest), speed=50.0, top=None, missing=())
    size = idler_bearings.size_of(SIZE)
    found, rating = idler_bearings.worked_out(reader, idler, size, 1), tabulated(size)
    for hours, shock in ((found.life, likely), (found.life_bad, bad)):
        turns = 1e6 * (rating.dynamic / (shock * 100.0)) ** 3
        assert hours == pytest.approx(turns * 2 * math.pi / 50.0)
    shaken = {"heavy shock": 2.5}.get(load, 1.5)
    assert found.static == pytest.approx(rating.static.value / (shaken * hardest))


@pytest.mark.parametrize("key", ["work.peak_factor", "work.start_factor"])
def test_an_idler_waits_for_how_hard_the_work_is(key):
    pin = {f"stage[first belt].pulley[idler].pin_{k}": v for k, v in PIN.items()}
    for changes, verdict in (({}, GO), ({key: ""}, UNDECIDED)):
        results = work_up(build_of(TWO_BELTS, **{IDLER: SIZE, **pin, **changes}))
        for id in ("bearings.idler[first belt: idler]", "shafts.pin[first belt: idler]"):
            found = check(results, id)
            assert found.verdict == verdict and (not changes or key in found.missing), (id, found)


def test_a_load_of_which_nobody_says_how_rough_it_is_may_be_rough():
    """So long a life that the usual shock factor leaves it and heavy shock, 2.5, does not."""
    tight = {IDLER: SIZE, "stage[first belt].takeup.slack_tension": "250 lbf"}
    usual = work_up(build_of(TWO_BELTS, **tight))
    life = check(usual, "bearings.idler[first belt: idler]").found.low / 3600.0
    for wanted, verdict in ((0.9 * life, UNDECIDED), (0.9 * life * (1.5 / 2.5) ** 3, GO)):
        changes = {**tight, "work.load_class": "", "wanted_life": f"{wanted:.0f} h"}
        found = check(work_up(build_of(TWO_BELTS, **changes)), "bearings.idler[first belt: idler]")
        assert found.verdict == verdict and (verdict == GO or "work.load_class" in found.missing)


def test_a_gear_is_judged_by_its_maker_s_word_alone_and_says_so():
    """Seen: the rating of a gear stood there as if its teeth and keys were judged."""
    at = "stage[ring gear]"
    rated = work_up(build_of("drum_mixer", **{f"{at}.rating": "100 lbf·ft"}))
    found = check(rated, "ratio.rating[ring gear]")
    assert found.verdict == GO and "by its maker, nothing else of it judged" in str(found.found)
    left = [part for part in rated.chapters["chain"].tables[-1].rows if part[0].startswith("ring gear")]
    assert left[0][0] == "ring gear (its maker's rating is all that is known)" and left[0][2] == f"{at}.strength"


@pytest.mark.parametrize(("start", "verdict"), [("1", GO), ("2", "caution"), ("", UNDECIDED)])
def test_a_gear_must_pass_the_start_too(start, verdict):
    """3 kW x 0.95 at 825.4 r/min is 33.0 N·m at the gearbox, 49.5 at a peak of 1.5 and 66.0 at a start of 2."""
    changes = {"stage[gearbox].rating": "60 N·m", "work.start_factor": start}
    assert check(work_up(build_of("compost_trommel", **changes)), "ratio.rating[gearbox]").verdict == verdict


@pytest.mark.parametrize(("strength", "verdict"), [("1081 lbf·ft", GO), ("1079 lbf·ft", "caution")])
def test_a_gear_rated_above_what_it_gives_at_is_told(strength, verdict):
    """12 teeth drive 144 and 0.9 of the power comes through: 100 lbf·ft there are 1080 on the driven shaft."""
    changes = {"stage[ring gear].rating": "100 lbf·ft", "stage[ring gear].strength": strength}
    assert check(work_up(build_of("drum_mixer", **changes)), "ratio.rating[ring gear]").verdict == verdict


def test_an_idler_sprocket_is_never_passed_over():
    """Seen: one whose place was not known stood in no check, and of the others nobody said what is not judged."""
    takes = {"stage[output chain].chain_takeup": "idler sprocket"}
    place = {f"stage[output chain].idler_{k}": v for k, v in {"teeth": 15, "x": "2 in", "y": "-9 in"}.items()}
    found = check(work_up(build_of("feed_wagon_auger", **takes)), "roller-chain.idler[output chain]")
    assert found.verdict == UNDECIDED and set(found.missing) == set(place)
    found = check(work_up(build_of("feed_wagon_auger", **takes, **place)), "roller-chain.idler[output chain]")
    assert found.verdict != UNDECIDED and "its pin and its bearing are not judged" in found.found


def test_what_leads_on_from_a_shaft_of_the_work_takes_its_own_part():
    """Seen: gears between two rolls that both work were stopped for passing the power of both."""
    gears = '\n[[shaft]]\nname = "roll"\n\n[[stage]]\nname = "gears"\nkind = "gear"\nfrom = "output shaft"\n'
    gears += 'to = "roll"\ndriver_teeth = 30\ndriven_teeth = 30\nrating = "20 lbf·ft"\nefficiency = 1.0\n'
    text = TEXT.replace('shaft = "output shaft"\ndiameter', 'shafts = "output shaft, roll"\ndiameter')
    two = parse((text + gears).encode(), file="two.toml")
    untold = work_up(two)
    for id in ("ratio.aside[roll]", "ratio.rating[gears]"):
        found = check(untold, id)
        assert found.verdict == UNDECIDED and "shaft[roll].work_power" in found.missing, id
    told = work_up(two.with_values({"shaft[roll].work_power": "0.3 hp"}))
    turns = 250.0 * 2.0 * math.pi / 60.0
    assert told.chapters["ratio"].data.through("gears").torque == pytest.approx(0.3 * HP / turns, rel=0.01)
    assert check(told, "ratio.rating[gears]").verdict == GO  # at the peak twice 6.3 lbf·ft


def test_what_drives_a_gearbox_needs_a_joint_on_the_engine_too():
    text = 'schema = 1\nname = "t"\n[engine]\nkind = "electric motor"\n'
    text += '[[shaft]]\nname = "slow"\n[[stage]]\nname = "box"\n'
    text += 'kind = "gearbox"\nfrom = "engine"\nto = "slow"\nratio = 10\nreverses = false\n'
    found = check(work_up(parse(text.encode(), file="t.toml")), "shafts.joint[engine key]")
    assert "engine.key_width" in found.missing and found.name == "engine: engine key, hub of box"


def test_a_belt_that_an_idler_tightens_has_no_path_before_the_idler_is_in_the_build():
    results = work_up(load("drum_mixer").with_values({"stage[motor belt].takeup.kind": "sprung idler"}))
    length = check(results, "layout.length[motor belt]")
    assert length.verdict == UNDECIDED and length.missing == ("stage[motor belt].takeup.idler",)
    assert not any(c.verdict == GO for c in results.of("layout"))

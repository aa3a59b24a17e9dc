"""Where the drive parts, each part is held against what passes through it, and what is not known stays open."""

import math
from pathlib import Path

import pytest
from builders import check_of as check
from jackshaft.buildfile import parse
from jackshaft.chapters.ratio.cures import PROPOSALS
from jackshaft.results import work_up
from jackshaft.results.checks import GO, STOP, UNDECIDED
from jackshaft.results.failing import Failing
from jackshaft.units import read
from shaft_builds import TEXT
from test_left_unsaid import HP, TAKES, with_fan

ROLLS = "shaft[roll].work_power"
WAGON = Path(__file__).parents[2] / "data" / "builds" / "feed_wagon_auger.toml"
ROLL = """
[[shaft]]
name = "roll"
work_power = "0.3 hp"

[[stage]]
name = "gears"
kind = "gear"
from = "output shaft"
to = "roll"
driver_teeth = 30
driven_teeth = 30
strength = "900 lbf·ft"
efficiency = 1.0
"""


def rolls(**changes):
    """The auger's shaft and a roll that gears drive from it at the same speed; both are work."""
    text = WAGON.read_text(encoding="utf-8").replace('\nshaft = "output shaft"', '\nshafts = "output shaft, roll"', 1)
    changes = {"driveline.shaft": "output shaft", "work.power_at": "output shaft"} | changes
    return work_up(parse((text + ROLL).encode(), file="rolls.toml").with_values(changes))


def chain(results):
    return results.chapters["chain"].data


@pytest.fixture(scope="module")
def pinned():
    return rolls(**{"shear_pin.shaft": "roll"})


def test_a_pin_on_a_branch_is_held_against_what_the_branch_takes(pinned):
    """The roll takes 0.3 hp at the auger's speed, whatever the auger takes; its pin's torque over that is its factor.

    Seen: a pin that holds 1.4 times its load was a stop, against the load of the whole machine.
    """
    data = chain(pinned)
    pin, state = data.of_kind("shear pin"), pinned.chapters["ratio"].data.shaft("roll")
    takes = 0.3 * HP / state.work
    assert 380 < state.work * 60 / (2 * math.pi) < 430
    # on its own shaft it shears at area times strength times radius
    own = pin.likely * state.over * state.passed
    assert pin.under("work").likely / data.working == pytest.approx(own / takes, rel=0.01)
    assert pin.branch < 0.2


def test_a_pin_on_a_branch_says_whom_it_guards(pinned):
    found = check(pinned, "chain.weak-link")
    assert found.verdict != GO
    assert "It guards roll only: with output shaft stopped dead it feels nothing" in found.reason


def test_a_pin_on_a_branch_bounds_no_jam_of_another(pinned):
    """Seen: a pin on a thrower's auger held the jam of its impeller below the load at work. The auger's shaft before it
    feels what the clutch lets through; the roll behind the pin no more than that gives."""
    from jackshaft.parts.outside_loads import _guard
    from jackshaft.results.reader import Reader

    ratio, reader = pinned.chapters["ratio"].data, Reader(pinned.build)
    stands = {name: _guard(reader, ratio, ratio.shaft(name)) for name in ("jackshaft", "output shaft", "roll")}
    assert stands["jackshaft"] is None and stands["output shaft"] is None and stands["roll"] > 0.0


def test_what_drives_a_branch_carries_the_others_meanwhile(pinned):
    """At 250 rpm both, so the auger's part is what is left of the work: its torque comes on top of the pin's."""
    data = chain(pinned)
    pin = data.of_kind("shear pin")
    belts = next(k for k in data.links if k.part == "stage[crank belts]")
    assert data.beside(belts, pin) == pytest.approx((1 - pin.branch) * data.working, rel=1e-6)


def test_a_pin_that_is_too_weak_for_its_branch_still_stops():
    """7.1 mm² of 5 MPa at 25 mm shear at 0.9 N·m; 0.3 hp at some 400 rpm are 5.3. The words say what goes through."""
    weak = {"shear_pin.shaft": "roll", "shear_pin.shear_strength": "5 MPa", "shear_pin.diameter": "3 mm"}
    found = check(rolls(**weak, **{"shear_pin.radius": "25 mm"}), "chain.holds")
    assert found.verdict == STOP and "shear pin" in found.reason and "goes through this" in found.reason


def test_what_takes_power_by_a_stage_that_is_not_known_is_not_left_out():
    """Seen: without a pulley's diameter the power that its shaft takes was left out, and the engine had enough."""
    key = "stage[fan belt].pulley[b].diameter"
    behind = {TAKES: "2 hp", "work.power_at": "output shaft"}
    told, short = with_fan(**behind), with_fan(**behind, **{key: ""})
    assert check(told, "ratio.power").verdict != UNDECIDED
    for id in ("ratio.power", "chain.holds", "grip.margin[first belt]"):
        found = check(short, id)
        assert found.verdict == UNDECIDED and key in found.missing, id


def test_what_is_driven_beside_is_not_forgotten_where_nobody_says_which_shaft_works():
    """Seen: with work.shaft taken out an alternator's 1.6 kW fell from the sum, and a caution became a go."""
    found = check(with_fan(**{TAKES: "2 hp", "work.power_at": "output shaft", "work.shaft": ""}), "ratio.power")
    assert found.verdict == UNDECIDED and "work.shaft" in found.missing


def test_a_power_that_is_stated_at_the_engine_counts_such_a_stage_in():
    found = check(with_fan(**{"stage[fan belt].pulley[b].diameter": ""}), "ratio.power")
    assert found.verdict != UNDECIDED


def test_a_shaft_that_takes_power_and_hangs_on_no_stage_is_asked_for():
    behind = TEXT.replace('power_at = "engine"', 'power_at = "output shaft"')
    loose = behind.replace("[[bearing]]", '[[shaft]]\nname = "pump"\nwork_power = "2 hp"\n\n[[bearing]]', 1)
    found = check(work_up(parse(loose.encode(), file="loose.toml")), "ratio.power")
    assert found.verdict == UNDECIDED and found.missing == ("stage",)


def test_a_cure_that_speeds_two_works_up_carries_each_along_by_its_curve():
    """Of 3.5 hp 0.3 go on to the roll. It takes more by the cube, the auger's 3.2 hp in step with the speed.

    Seen: with two curves the power was left as it was, and a cure that made the engine's want worse was a go.
    """
    low, high = {"work.speed_least": "450 rpm"}, {"work.speed_most": "490 rpm"}
    before = rolls(**low, **high, **{"shaft[roll].load_curve": "with the square of speed"})
    found = next(PROPOSALS["ratio.speed"](Failing(before, check(before, "ratio.speed[output shaft]"))))
    after = work_up(before.build.with_values(found.changes), ("ratio",))
    old, new = (r.chapters["ratio"].data.shaft("roll").work for r in (before, after))
    times = new / old
    assert times > 1.05
    for key, wanted in ((ROLLS, 0.3 * times**3), ("work.power", 3.2 * times + 0.3 * times**3)):
        # rounded up to a tenth
        assert wanted - 0.001 < read(found.changes[key], "power").si / HP < wanted + 0.101
        assert found.changes[key] in found.words

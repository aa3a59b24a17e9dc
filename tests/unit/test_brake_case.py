"""The clutch's brake as a load case: what it drove feels its torque the other way round, at every release.

By hand, of the build of two belts: 2 lbf·ft and 0.5 more at the high end, 5 : 12.5 in and 4 : 16 in.
"""

from __future__ import annotations

import math
from types import SimpleNamespace

import numpy as np
import pytest
from builders import check_of as check
from jackshaft.buildfile import parse
from jackshaft.mechanics.clutch import DYNAMIC
from jackshaft.parts.outside_loads import brake_share
from jackshaft.results import work_up
from shaft_builds import LBF, LBFFT, TEXT, TWO_BELTS, build_of, data, with_part

BRAKE = {
    "clutch.shaft": "engine",
    "clutch.brake": True,
    "clutch.brake_torque": {"value": "2 lbf·ft", "plus_minus": "0.5 lbf·ft"},
    "work.overrun_factor": "0",
}
SLACK, STATIC = "stage[first belt].takeup.slack_tension", "stage[second belts].takeup.static_tension"
TIGHT = {SLACK: "60 lbf", STATIC: "90 lbf"}


def pulls(found):
    return {p.name: p for p in found.chapters["bearings"].data.shafts["jackshaft"].loads.parts}


def brakes(found):
    """Torque of the brake case through each shaft, lbf·ft, by the joint that is added there."""
    return {j.shaft: dict(j.torques.others).get("brake", 0.0) / LBFFT for j in data(found).joints}


def built(**changes):
    build = build_of(TWO_BELTS, **(BRAKE | TIGHT | changes))
    key = {"kind": "parallel key", "width": "1/4 in", "length": "1 in", "position": "10 in"}
    for shaft in ("jackshaft", "output shaft"):
        build = with_part(build, shaft, "joint", "key", **key)
    return work_up(build)


def test_the_brake_s_torque_runs_back_through_what_the_clutch_drives():
    found = built()
    assert pulls(found)["stage 2 pulley"].more["brake"][1] == pytest.approx(2.5 * 2.5 * LBFFT, rel=1e-6)
    # the crank's key is before the brake
    assert brakes(found) == pytest.approx({"engine": 0.0, "jackshaft": 6.25, "output shaft": 25.0}, rel=1e-6)
    joint = check(found, "shafts.joint[key on output shaft]")
    assert ", 2.5 × the " in joint.limit and "While the clutch's brake stops the work 25.0 lbf·ft" in joint.reason
    assert ", 1.5 × the " in check(built(**{"clutch.brake": False}), joint.id).limit
    sections = data(found).shafts["jackshaft"].sections
    swing = next(c for c in next(s for s in sections if s.name == "key").cases if c.case == "brake").duty
    work = 3.0 * 745.6998715822702 / (1000 * math.pi / 30)
    assert swing.torque_swing == pytest.approx((work + 6.25 * LBFFT) / 2, rel=1e-3)


def test_a_belt_that_the_brake_pulls_at_has_its_tight_strand_on_the_other_side():
    """Centres that are locked keep the sum of the strands: 2 x 2 x 90 lbf and a quarter, set by hand; lean 6 in 22."""
    lean = math.asin((16 - 4) / 2 / 22)
    along, across = 1.25 * 360 * math.cos(lean), 6.25 * 12 / 2 * math.sin(lean)
    there = {name: pulls(built(**change)) for name, change in (("brake", {}), ("work", {"clutch.brake": False}))}
    weight = np.array([0.0, -3.0 * LBF])
    back = there["brake"]["stage 2 pulley"].more["brake"][0] - weight
    assert np.abs(back) / LBF == pytest.approx([across, along], rel=1e-3)
    assert back[0] * (there["work"]["stage 2 pulley"].force[0] - weight)[0] < 0.0
    assert "brake" not in there["work"]["stage 2 pulley"].more


def test_a_belt_lets_no_more_of_the_brake_through_than_it_holds():
    """What a spring's strand lets back goes with its tension, and with nothing else."""
    hard = {"clutch.brake_torque": "90 lbf·ft", STATIC: "900 lbf"}
    once, twice, more = (
        brakes(built(**hard | {SLACK: slack} | change))["jackshaft"]
        for slack, change in (("20 lbf", {}), ("40 lbf", {}), ("20 lbf", {"clutch.brake_torque": "200 lbf·ft"}))
    )
    # 20 lbf tight and hardly any slack, at half of 12.5 in
    assert twice == pytest.approx(2 * once, rel=1e-9) and more == pytest.approx(once, rel=1e-9)
    assert 0.7 * 20 * 6.25 / 12 < once < 20 * 6.25 / 12


def test_before_the_clutch_nothing_is_braked_and_a_loss_behind_it_helps_the_brake():
    found = built(**{"clutch.shaft": "jackshaft", "stage[second belts].efficiency": "0.5"})
    # 2.5 lbf·ft at the jackshaft; half of what the output shaft gives is lost, and half of the work reaches it
    assert brakes(found) == pytest.approx({"engine": 0.0, "jackshaft": 2.5, "output shaft": 20.0}, rel=1e-6)
    assert "brake" not in [c.name for c in found.chapters["grip"].data["first belt"].cases]
    first = pulls(found)["stage 1 pulley"]
    idle = found.chapters["grip"].data["first belt"].hub_at(0.0)[-1] + np.array([0.0, -11.0 * LBF])
    assert first.more["brake"][0] == pytest.approx(idle, rel=1e-6)


def test_no_belt_feels_more_of_the_brake_than_one_nearer_to_it_lets_through():
    """Seen: the second belts, set hard, judged by the whole brake though the first one slips."""
    found = built(**{"clutch.brake_torque": "90 lbf·ft", SLACK: "20 lbf", STATIC: "900 lbf"})
    first, second = (found.chapters["grip"].data[s].case("brake") for s in ("first belt", "second belts"))
    assert second.factor == pytest.approx(first.factor * first.least_high, rel=1e-9) and second.least_high > 1.0


UNWEIGHED = (("first", "", "small"), ("first", "", "idler"), ("second", "s", "large"))


def test_a_brake_of_unknown_torque_leaves_open_what_it_stops():
    # weighed, or a jam would leave them open too
    weights = {f"stage[{s} belt{n}].pulley[{p}].weight": "3 lb" for s, n, p in UNWEIGHED}
    unknown = built(**{"clutch.brake_torque": "", "work.power": "0.5 hp"}, **weights)
    for id in ("shafts.joint[key on output shaft]", "shafts.yield[jackshaft]"):
        assert check(unknown, id).missing == ("clutch.brake_torque",)
    assert check(unknown, "shafts.joint[engine key]").verdict == "go"


#: The same with chains: 3/4 in, 13 on 40 teeth, both.
CHAINS = """
[[stage]]
name = "{}"
kind = "roller chain"
from = "{}"
to = "{}"
driver_teeth = 13
driven_teeth = 40
efficiency = 1.0
"""


def test_a_drive_without_a_belt_feels_the_slipping_clutch_a_jam_and_the_brake():
    """Seen: chains alone had none of these cases. A clutch of 60 lbf·ft holds that in a jam, and slips at its share."""
    head, _, rest = TEXT.partition('[[stage]]\nname = "first belt"')
    ways = (("first belt", "engine", "jackshaft"), ("second belts", "jackshaft", "output shaft"))
    chains = "".join(CHAINS.format(*way) for way in ways)
    clutch = '[clutch]\nshaft = "engine"\nstatic_torque = "60 lbf·ft"\nbrake = true\nbrake_torque = "10 lbf·ft"\n'
    text = head + chains + clutch + rest[rest.index("[[bearing]]") :]
    build = parse(text.encode(), file="t.toml")
    build = with_part(build, "jackshaft", "joint", "key", kind="parallel key", width="1/4 in", length="1 in")
    torques = {j.shaft: dict(j.torques.others) for j in data(work_up(build)).joints}["jackshaft"]
    wanted = {"slipping clutch": float(DYNAMIC.likely) * 60, "jam": 60, "brake": 10}
    for case, torque in wanted.items():
        assert torques[case] / LBFFT == pytest.approx(torque * 40 / 13, rel=1e-6), case


@pytest.mark.parametrize(("share", "belt", "torque"), [(1.0, math.inf, 5.0), (0.05, math.inf, 5.0), (0.05, 3.0, 3.0)])
def test_a_shaft_with_a_small_share_of_the_power_gets_the_brake_over_the_ratio_and_no_more(share, belt, torque):
    """10 N·m at the engine, 2.5 N·m at the brake; the shaft turns half as fast: 2 x 2.5 = 5 N·m, whatever it takes at
    work; a belt that lets 0.15 of its work back lets 0.15 x 10 x 2 = 3 N·m through."""
    gives = {"clutch.brake": True, "clutch.brake_torque": SimpleNamespace(si=2.5, plus_minus=None)}
    reader = SimpleNamespace(get=gives.get, is_none=lambda key: False)
    stage = SimpleNamespace(name="belt", start="engine", end="left", efficiency=1.0, share=share)
    states = {"engine": SimpleNamespace(torque=10.0, passed=1.0), "left": SimpleNamespace(torque=20.0 * share)}
    ratio = SimpleNamespace(stages=(stage,), shaft=states.get)
    found = brake_share(reader, ratio, "left", lambda name: belt / 20.0)
    assert found * states["left"].torque == pytest.approx(torque)

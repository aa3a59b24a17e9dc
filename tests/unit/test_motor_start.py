"""A motor starts with what it has at standstill and on its way up; only what runs already leans on its pull-out.

Expected torques: 1.5 hp at 1725 rpm is 1.5 * 33000 / (2 pi 1725) = 4.567 lbf ft.
"""

from math import pi

import numpy as np
import pytest
from builders import check_of
from jackshaft import tables
from jackshaft.buildfile import BuildProblems, describe, load, parse
from jackshaft.buildfile.rules import ENGINE_STARTERS
from jackshaft.chapters.clutch.engage import Load, _step_by_step, engine_has, engine_of, untold
from jackshaft.parts.motor import most_torque, motor_curve
from jackshaft.results import work_up
from jackshaft.results.proving import prove
from jackshaft.results.reader import Reader
from scipy.integrate import solve_ivp

RATED = 1.5 * 33000 / (2 * pi * 1725)  # lbf ft
POUND_FOOT = 4.4482216152605 * 0.3048
START = "ratio.motor-start"
GROWS = {"work.load_curve": "with the square of speed"}
WORK = 1.0 * RATED * POUND_FOOT  # N m


def worked(values):
    return work_up(load("drum_mixer").with_values(values), ("ratio", "chain"))


def parsed(text):
    return parse(text.encode(), file="t.toml")


def start(values, factor="2.5"):
    return check_of(worked({"work.start_factor": factor, **values}), START)


@pytest.mark.parametrize(
    ("kind", "factor", "verdict"),
    [
        # seen: a permanent-capacitor and a shaded-pole motor called strong enough by a pull-out of twice the rating
        ("permanent capacitor", "1.9", "stop"),
        ("permanent capacitor", "0.9", "caution"),
        ("permanent capacitor", "0.3", "go"),
        ("shaded pole", "0.7", "stop"),
        ("shaded pole", "0.25", "go"),
        ("split phase", "2", "stop"),
        ("split phase", "1", "go"),
        # its start is strong, but where its switch opens only the rating is sure
        ("capacitor start", "1.9", "caution"),
        ("capacitor start", "2.6", "stop"),
        ("capacitor start and run", "1", "go"),
    ],
)
def test_each_kind_starts_with_its_own_torque(kind, factor, verdict):
    assert start({"engine.starts_by": kind} | (GROWS if verdict == "go" else {}), factor).verdict == verdict


@pytest.mark.parametrize(
    ("curve", "factor", "verdict", "wanted"),
    [
        # a shaded-pole motor has a quarter to six tenths of its rating all the way up, and the work takes all of it
        ("same at every speed", "0.25", "stop", WORK),
        ("with the square of speed", "0.25", "go", 0.25 * WORK),
        ("", "0.25", "not decidable", WORK),
    ],
)
def test_a_load_that_is_the_same_at_every_speed_is_the_work_s_on_the_way_up(curve, factor, verdict, wanted):
    found = start({"engine.starts_by": "shaded pole", "work.load_curve": curve}, factor)
    assert found.verdict == verdict and found.wanted.si == pytest.approx(wanted, rel=1e-3)
    assert verdict != "not decidable" or found.missing == ("work.load_curve",)


def test_a_three_phase_motor_is_weakest_on_its_way_up():
    """NEMA MG 1 (from memory) wants 115 to 190 % at pull-up of design B from 10 to 1 hp."""
    for factor, verdict in (("1.1", "go"), ("1.5", "caution"), ("2", "stop")):
        assert start({"engine.phases": 3}, factor).verdict == verdict


def test_an_unknown_kind_decides_nothing_that_hangs_on_it():
    found = start({}, "0.8")
    assert found.verdict == "not decidable" and found.missing == ("engine.starts_by",)
    found = start({"engine.phases": ""}, "0.8")
    assert found.verdict == "not decidable" and found.missing == ("engine.phases",)
    assert start(GROWS, "0.2").verdict == "go" and start({}, "3.6").verdict == "stop"
    assert start({}, "").missing == ("work.start_factor",)


def test_what_the_plate_says_counts_before_what_is_usual():
    ends = {"engine.start_torque": f"{2.6 * RATED} lbf ft", "engine.pull_up_torque": f"{2.2 * RATED} lbf ft"}
    assert start(ends, "2.1").verdict == "go" and start(ends, "2.3").verdict == "stop"


def test_a_load_that_grows_with_speed_must_only_be_moved_at_standstill():
    values = {"engine.starts_by": "capacitor start", "work.load_curve": "with the square of speed"}
    assert start(values, "1.9").verdict == "go"


@pytest.mark.parametrize(("clutch", "verdict"), [("idler", "go"), ("centrifugal", "go"), ("direct", "stop")])
def test_a_clutch_lets_the_motor_run_first(clutch, verdict):
    """1.5 times the rating: a running one has 1.6 at least, a standing one 1.0 at most."""
    text = load("drum_mixer").path.read_text().replace('clutch = "none"\n', "")
    text = text.replace("[work]", f'[clutch]\nkind = "{clutch}"\n\n[work]').replace("value = 2.5", "value = 1.5")
    text = text.replace("phases = 1", 'phases = 1\nstarts_by = "permanent capacitor"')
    assert check_of(work_up(parsed(text), ("ratio",)), START).verdict == verdict


def test_the_peak_is_judged_by_the_pull_out():
    """A capacitor-start motor pulls out at 2 to 2.5 times its rating: 9.13 to 11.4 lbf ft."""
    for factor, verdict in (("1.9", "go"), ("2.2", "caution")):
        found = check_of(
            worked(
                {
                    "engine.starts_by": "capacitor start",
                    "work.peak_factor": factor,
                    "work.start_factor": factor,
                    "work.power": {"value": load("drum_mixer").get("work.power").text, "known": "measured"},
                }
            ),
            "ratio.power",
        )
        assert found.verdict == verdict and "9.13 lbf·ft to 11.4 lbf·ft" in found.value


def test_a_jam_feels_the_standstill_torque_where_that_is_the_highest():
    """A capacitor-start motor has up to 3.5 times its rating at standstill, more than where it pulls out."""
    low, high = most_torque(Reader(load("drum_mixer").with_values({"engine.starts_by": "capacitor start"})))
    assert high / POUND_FOOT == pytest.approx(3.5 * RATED) and low / POUND_FOOT == pytest.approx(2.0 * RATED)


def test_the_kinds_are_those_of_the_table():
    kinds = {r["motor"] for r in tables.table("motor_torques").rows}
    assert kinds == set(describe("engine.starts_by")[1].choices) - set(ENGINE_STARTERS)


def test_a_motor_that_starts_harder_is_offered_and_only_then():
    values = {"engine.starts_by": "permanent capacitor", "work.start_factor": "0.9"}
    cures = prove(worked(values), START)
    assert cures and all(c.changes["engine.starts_by"].startswith("capacitor start") for c in cures)
    given = {**values, "engine.start_torque": f"{0.5 * RATED} lbf ft"}
    assert not prove(worked(given), START)


@pytest.mark.parametrize(("phases", "by"), [(1, "three-phase"), (3, "shaded pole"), (1, "recoil starter")])
def test_what_a_motor_starts_by_fits_its_phases(phases, by):
    text = load("drum_mixer").path.read_text().replace("phases = 1", f'phases = {phases}\nstarts_by = "{by}"')
    with pytest.raises(BuildProblems, match="starts_by"):
        parsed(text)


def test_a_running_motor_has_its_pull_out_torque_down_to_four_fifths_of_its_speed_and_less_below():
    """A capacitor-start motor: 2 to 2.5 times its rating there, 1 to 2.5 below three quarters, between them midway."""
    reader = Reader(load("drum_mixer").with_values({"engine.starts_by": "capacitor start"}))
    speed = 1725 * pi / 30
    for low, over, torques in (
        (False, 1.0, (1.75, 2.0, 2.25)),
        (True, 1.0, (1.0, 1.5, 2.0)),
        (False, 2.0, (3.5, 4, 4.5)),
    ):
        has = motor_curve(reader, over, low=low)(np.array([0.5, 0.775, 0.9]) * speed / over)
        assert has / POUND_FOOT / RATED == pytest.approx(torques, rel=1e-6), (low, over)
    # what its plate says counts at every speed
    given = {"engine.peak_torque": f"{2.1 * RATED} lbf ft", "engine.pull_up_torque": f"{1.2 * RATED} lbf ft"}
    has = motor_curve(Reader(load("drum_mixer").with_values(given)), 1.0, low=True)(np.array([0.1, 1.0]) * speed)
    assert has / POUND_FOOT / RATED == pytest.approx([1.2, 2.1], rel=1e-6)


def test_a_clutch_that_pulls_a_motor_below_its_pull_out_gets_no_more_than_its_pull_up():
    """Integrated anew: 3 times the rating through the clutch, the motor falls from 2.25 to 1.75 times it."""
    values = {"engine.starts_by": "capacitor start", "engine.inertia": "0.02 kg m²"}
    reader, inertia = Reader(load("drum_mixer").with_values(values)), 0.02
    speed, rated, work = 1725 * pi / 30, RATED * POUND_FOOT, Load(0.5 * RATED * POUND_FOOT, 1.0, 0)
    engine, seconds = engine_of(reader, 1.0), work.run_up(inertia, speed, 3.0 * rated).seconds
    found = _step_by_step(load=work, inertia=inertia, speed=speed, torque=3.0 * rated, engine=engine, seconds=seconds)

    def slows(_, w):
        has = rated * np.interp(w[0], [0.75 * speed, 0.8 * speed], [1.75, 2.25])
        return [(has * min((speed - w[0]) / (0.2 * speed), 1.0) - 3.0 * rated) / 0.02]

    ends = solve_ivp(slows, (0.0, found.lock_time), [speed], rtol=1e-9, atol=1e-9).y[0, -1]
    assert found.locks and ends < 0.75 * speed and found.engine[-1] == pytest.approx(ends, rel=1e-4)
    assert engine_has(reader, 1.0, speed) == pytest.approx(2.0 * rated, rel=1e-6)
    assert untold(reader, True) == ()  # a motor has no stall speed to ask for

"""One belt that drives several shafts: what keeps a go from being said where one shaft by itself makes it false."""

from pathlib import Path

import numpy as np
import pytest
from builders import check_of as check
from builders import data
from jackshaft.buildfile import load, parse
from jackshaft.chapters.clutch.belts import belts_of
from jackshaft.chapters.weak_link.links import SHEAR_SHARE
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP
from jackshaft.results.reader import Reader

DECK = Path(__file__).parents[1] / "builds" / "three_spindle_deck.toml"
AT, HELD = "stage[deck belt]", "grip.held-still[deck belt]"
#: At the bad end of grip the crank feels 14.9 N m with C held still, so 14 N m stall whichever stands.
WEAK = {"engine.peak_torque": "14 N·m", "engine.rated_power": "4 kW"}


def deck(values, clutch=""):
    text = DECK.read_text(encoding="utf-8")
    if clutch:
        text = text.replace('clutch = "none"\n', "").replace("[engine]", f"[clutch]\n{clutch}\n[engine]")
    return work_up(parse(text.encode(), file="deck.toml").with_values(values))


def electromagnetic(torque):
    return f'kind = "electromagnetic"\nshaft = "engine"\nstatic_torque = "{torque}"\n'


@pytest.mark.parametrize(
    ("clutch", "verdict"),
    [
        ("", GO),
        ('kind = "direct"\n', GO),
        # hot it may hold half of its plate: 12.5 N m slip before 14 N m stall, 15 N m do not
        (electromagnetic("25 N·m"), CAUTION),
        (electromagnetic("30 N·m"), GO),
        ('kind = "electromagnetic"\nshaft = "engine"\n', CAUTION),
    ],
)
def test_a_clutch_that_slips_before_the_engine_stalls_is_no_go(clutch, verdict):
    found = check(deck(WEAK, clutch), HELD)
    assert found.verdict == verdict
    assert ("the clutch may slip before the engine stalls" in found.reason) == (verdict == CAUTION)


def test_a_belt_before_it_may_slip_before_the_engine_stalls():
    """The deck's belt driven by a shaft that another belt drives from the engine, at the engine's speed."""
    first = {"kind": "belt", "from": "engine", "to": "upright", "driver": "A", "driven": "B"}
    values = {"shaft": ["left spindle", "centre spindle", "right spindle", "upright"], f"{AT}.from": "upright"}
    values |= {"stage": ["deck belt", "first belt"], "stage[first belt].pulley": ["A", "B"]}
    values |= {f"stage[first belt].{k}": v for k, v in first.items()}
    for name in "AB":
        at = f"stage[first belt].pulley[{name}]"
        values |= {f"{at}.diameter": "150 mm", f"{at}.measured_as": "pitch"}
    found = check(deck({**WEAK, **values}), HELD)
    assert found.verdict == CAUTION and "'first belt' may slip before the engine stalls" in found.reason


@pytest.mark.parametrize(("off", "verdict"), [("0.5 N·m", GO), ("2 N·m", CAUTION)])
def test_a_motor_stalls_surely_only_past_the_high_end_of_its_pull_out(off, verdict):
    motor = {"engine.kind": "electric motor", "engine.cylinders": "", "engine.full_speed": "", "engine.phases": 3}
    motor["engine.starts_by"] = ""
    pull_out = {"value": "14 N·m", "plus_minus": off, "known": "plate"}
    found = check(deck({**WEAK, **motor, "engine.rated_speed": "3000 r/min", "engine.peak_torque": pull_out}), HELD)
    assert found.verdict == verdict and "engine" not in str(found.found) + found.reason


def test_a_shaft_that_peaks_harder_than_the_others_gives_at_less_of_the_whole_peak():
    """The centre spindle stands 3.2 times its work. At its own peak of 4 it gives, though the whole peaks at 2.8."""
    state = data(work_up(load(DECK), ("ratio",)), "ratio").shaft("centre spindle")
    size = (16 * 3.2 * state.torque / (np.pi * SHEAR_SHARE * 400e6)) ** (1 / 3)
    at = "shaft[centre spindle]"
    strong = {f"{at}.yield_strength": "400 MPa", f"{at}.diameter": f"{size * 1e3:.4f} mm"}
    results = deck({**strong, f"{at}.peak_factor": "4"})
    chain = data(results, "chain")
    link = next(k for k in chain.links if k.name.startswith("centre spindle yields"))
    assert (link.likely / chain.working, chain.peak / chain.working) == pytest.approx((3.2, 2.8), rel=1e-3)
    assert link.under("peak").likely / chain.peak == pytest.approx(3.2 / 4, rel=1e-3)
    belt = next(k for k in chain.links if k.kind == "belt slip")
    grip = data(results, "grip", "deck belt").case("peak")
    assert belt.under("peak").low == pytest.approx(grip.least_bad * chain.peak)
    alike = data(deck(strong), "chain").links
    assert all(k.peak is None for k in alike)


def test_the_belt_limits_what_a_clutch_takes_up_whichever_shaft_of_the_work_is_named_first():
    """C slips at 2.31 times the 13.37 N m of the crank (1.41 at the bad end), and the clutch is before the belt."""
    text = DECK.read_text(encoding="utf-8").replace('clutch = "none"\n', "")
    clutch = f"[clutch]\n{electromagnetic('90 N·m')}\n[engine]"
    build = parse(text.replace("[engine]", clutch).encode(), file="deck.toml")
    for first in ("left spindle, centre spindle, right spindle", "right spindle, centre spindle, left spindle"):
        results = work_up(build.with_values({"work.shafts": first}))
        found = belts_of(Reader(build.with_values({"work.shafts": first})), results.chapters, "engine")
        assert (found.forward.bad, found.forward.likely) == pytest.approx((1.41 * 13.37, 2.31 * 13.37), rel=0.01)


def test_a_coasting_work_stops_by_the_run_down_test_of_its_first_shaft():
    """40 r/min lost in 2 s is 165 s from 3300 r/min: no deck of blades is a go at that."""
    run_down = {"work.run_down_speed": "40 r/min", "work.run_down_time": "2 s", "work.run_down_drag": "3 N·m"}
    found = check(deck({**run_down, "work.cuts": True}), "clutch.stop")
    assert found.found.si == pytest.approx(3300 / 40 * 2) and found.verdict == STOP

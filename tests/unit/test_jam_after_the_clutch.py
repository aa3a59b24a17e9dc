"""What a jam brings to the shafts of the work: what turns after the clutch counts, and what bounds it must be known."""

from __future__ import annotations

import numpy as np
import pytest
from builders import check_of as check
from jackshaft.buildfile import load, parse
from jackshaft.results import work_up
from shaft_builds import TEXT, with_part
from test_brake_case import CHAINS

DEMO = "feed_wagon_auger"
NO_PIN = {f"shear_pin.{key}": "" for key in ("shaft", "diameter", "shear_strength", "radius", "planes")}
LBFFT = 1.3558179483314004  # N·m
KEY = "shafts.joint[yoke key]"


def others(results, shaft):
    return next(dict(j.torques.others) for j in results.chapters["shafts"].data.joints if j.shaft == shaft)


@pytest.mark.parametrize("own", ["", "6 lb·ft²"])
def test_what_turns_after_the_clutch_runs_on_into_a_jam(own):
    """11 lbf·ft x 12 s / (300 rpm) is 135 lb·ft², 6 of it the auger's; at 418 rpm, stopped in a quarter turn, it is
    1/2 J w^2 / (pi/2). On top come the clutch's 72 lbf·ft through the gearing. Seen: a go at 552 lbf·ft.
    """
    run_down = {"work.run_down_speed": "300 rpm", "work.run_down_time": "12 s", "work.run_down_drag": "11 lbf·ft"}
    results = work_up(load(DEMO).with_values({**NO_PIN, **run_down, "work.own_inertia": own, "work.inertia": ""}))
    speed = results.chapters["ratio"].data.shaft("output shaft").work
    inertia = 11 * 12 / (300 * np.pi / 30) - (6 / 32.174 if own else 0.0)  # slug·ft²
    runs_on = 0.5 * inertia * speed**2 / (np.pi / 2)
    assert 2300 < runs_on < 2700
    jam = others(results, "output shaft")["jam"] / LBFFT
    through = 72 * 10.85 / 4.65 * 40 / 13
    assert runs_on + 0.85 * through < jam <= runs_on + 1.01 * through
    found = check(results, KEY)
    assert found.verdict == "caution" and "with the work jammed" in found.reason.lower()


def test_a_shear_pin_keeps_from_its_shaft_what_runs_on():
    """The pin stands 125 lbf·ft, a tenth more at its high end."""
    results = work_up(load(DEMO))
    assert others(results, "output shaft")["jam"] / LBFFT == pytest.approx(137, rel=0.02)
    assert check(results, KEY).verdict == "go"


def test_what_may_run_on_and_is_not_known_is_said():
    values = {f"work.run_down_{key}": "" for key in ("speed", "time", "drag")}
    results = work_up(load(DEMO).with_values({**NO_PIN, **values, "work.mass_at": "", "work.inertia": ""}))
    assert "What turns after the clutch runs on into a jam." in check(results, KEY).reason


def chains(**clutch_values):
    head, _, rest = TEXT.partition('[[stage]]\nname = "first belt"')
    ways = (("first belt", "engine", "jackshaft"), ("second belts", "jackshaft", "output shaft"))
    text = head + "".join(CHAINS.format(*way) for way in ways) + rest[rest.index("[[bearing]]") :]
    build = parse(text.encode(), file="t.toml").with_values({f"clutch.{k}": v for k, v in clutch_values.items()})
    return work_up(with_part(build, "jackshaft", "joint", "key", kind="parallel key", width="1/4 in", length="2 in"))


def test_a_centrifugal_clutch_bounds_a_jam_by_what_it_passes_at_the_top_speed():
    """Stated 20 lbf·ft at 3000 rpm, engaging at 1500. Seen: 36 times as much, all that the flywheel could give."""
    stated = {"kind": "centrifugal", "shaft": "engine", "static_torque": "20 lbf·ft"}
    results = chains(**stated, torque_speed="3000 rpm", engage_speed="1500 rpm", faces="burnished")
    engine = results.chapters["ratio"].data.shaft("engine")
    top = max(engine.top, engine.work)
    unit = np.pi / 30
    most = 20 * (top**2 - (1500 * unit) ** 2) / ((3000 * unit) ** 2 - (1500 * unit) ** 2)
    assert others(results, "jackshaft")["jam"] / LBFFT == pytest.approx(most * 40 / 13, rel=0.01)


def test_a_jam_that_nothing_bounds_is_undecided_and_names_what_would_bound_it():
    """Seen: without the inertia of the flywheel the jam fell away in silence, and a caution became a go."""
    found = check(chains(kind="centrifugal", shaft="engine"), "shafts.joint[key]")
    assert found.verdict == "not decidable"
    assert "engine.inertia" in found.missing and "clutch.static_torque" in found.missing

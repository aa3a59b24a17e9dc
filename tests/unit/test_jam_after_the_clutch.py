"""What a jam brings to the shafts of the work: what turns after the clutch counts, and what bounds it must be known."""

from __future__ import annotations

import numpy as np
import pytest
from builders import check_of as check
from jackshaft.buildfile import load, parse
from jackshaft.parts.running_on import run_on
from jackshaft.results import work_up
from jackshaft.results.reader import Reader
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


UNWEIGHED = {
    **NO_PIN,
    **{f"work.run_down_{key}": "" for key in ("speed", "time", "drag")},
    "stage[crank belts].pulley[J].weight": "",
    "shaft[jackshaft].load[large pulley].weight": "",
}


@pytest.mark.parametrize(("length", "verdict"), [("1-1/2 in", "not decidable"), ("4 in", "go")])
def test_a_pulley_that_nobody_weighed_leaves_a_key_open_unless_one_of_solid_steel_does_no_harm(length, verdict):
    """The clutch brings 72 lbf·ft x 10.85 / 4.65 x 40 / 13 = 517 lbf·ft. J of solid steel, 10.95 in over all and two
    grooves of 0.625 and twice 0.375 in wide, weighs 36.7 lb and brings 690 lbf·ft, idler, crank pulley and sprockets
    half of that again: 1500 to 1600. The key stands 748 for a moment, in proportion to its length. Seen: a go that
    said so in passing.
    """
    results = work_up(load(DEMO).with_values({**UNWEIGHED, "shaft[output shaft].joint[yoke key].length": length}))
    found = check(results, KEY)
    assert others(results, "output shaft")["jam"] / LBFFT < 530
    assert found.verdict == verdict
    assert ("stage[crank belts].pulley[J].weight" in found.missing) == (verdict != "go")


def test_a_pulley_of_solid_steel_runs_on_by_hand():
    """Energy over the quarter turn: m r^2 / 4 x w^2 x (w of the work / w) / (pi/2) at its own shaft."""
    results = work_up(load(DEMO).with_values(UNWEIGHED))
    ratio = results.chapters["ratio"].data
    here, work = ratio.shaft("jackshaft").work, ratio.shaft("output shaft").work
    runs = run_on(Reader(results.build), ratio, "jackshaft")
    pulleys = results.chapters["layout"].data["crank belts"].pulleys
    across = 2 * pulleys.outside[pulleys.names.index("J")]
    mass = 7850 * np.pi / 4 * across**2 * 0.0349
    disc = mass * across**2 / 16 * here * work / (np.pi / 2)
    # on top come the idler, a quarter of it, the pulley on the crank and the sprockets
    assert runs.known < 0.1 * disc < disc < runs.most < 1.6 * disc


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


TOWARD = {f"shaft[jackshaft].load[stage {n} pulley].toward": "0 deg" for n in (1, 2)}
SIXTY = {f"stage[{s}].chain": "60" for s in ("first belt", "second belts")}


def jackshaft_of(**changes):
    """The drive of two chains with a wheel on its jackshaft that belongs to no stage."""
    build = chains(kind="electromagnetic", shaft="engine").build
    build = with_part(build, "jackshaft", "load", "wheel", position="4 in")
    return work_up(build.with_values({"shaft[jackshaft].load[wheel].pull": "0 lbf"} | changes))


def test_a_flywheel_on_a_jackshaft_is_felt_there_and_by_its_bearings_when_the_work_jams():
    """40 lb, 20 in across, a rim at the bad end: m r^2; 2500 rpm x 13/40 there, 13/40 of that at the work, which stops
    in a quarter turn. On top the clutch's 20 lbf·ft. Seen: the shaft of the work alone felt what runs on.
    """
    load = "shaft[jackshaft].load"
    known = {f"{load}[stage {n} pulley].weight": "0.01 lb" for n in (1, 2)} | TOWARD | SIXTY
    known |= {f"{load}[wheel].weight": "40 lb", "clutch.static_torque": "20 lbf·ft"}
    found = {size: jackshaft_of(**known, **{f"{load}[wheel].diameter": size}) for size in ("20 in", "0.1 in")}
    speed = 2500 * np.pi / 30 * 13 / 40
    runs = 0.5 * 40 / 32.174 * (10 / 12) ** 2 * speed**2 * 13 / 40 / (np.pi / 2)
    jams = {across: others(results, "jackshaft")["jam"] / LBFFT for across, results in found.items()}
    assert jams["0.1 in"] == pytest.approx(20 * 40 / 13, rel=0.01)
    assert jams["20 in"] - jams["0.1 in"] == pytest.approx(runs, rel=0.01)
    # the chain to the work pulls as hard at its sprocket, so its bearing carries it
    pulls = [dict(r.chapters["bearings"].data.lives["far side"].carried.more)["jam"][0] for r in found.values()]
    assert pulls[0] / pulls[1] == pytest.approx(jams["20 in"] / jams["0.1 in"], rel=0.01)


def test_a_chain_that_breaks_bounds_a_jam_and_without_one_bearings_and_crank_are_open_too():
    """31271 N is the least that is published for No. 60; it turns the jackshaft by 40 teeth of 3/4 in: 40 x 3/4 / 2 pi.

    Seen: bearings and crank were a go in a jam that nothing bounds.
    """
    limit = {"engine.side_load_limit": "9000 lbf", "engine.belt_at": "2 in", "engine.side_load_at": "2 in"}
    at = {"shaft[jackshaft].load[wheel].weight": "0.01 lb", "shaft[jackshaft].joint[key].position": "5 in"}
    pitch = {f"stage[{s}].chain_pitch": "0.75 in" for s in ("first belt", "second belts")}
    bound, boundless = (
        jackshaft_of(**TOWARD, **limit, **kind, **at)
        for kind in (SIXTY, pitch)
    )
    assert others(bound, "jackshaft")["jam"] == pytest.approx(31271 * 40 * 0.01905 / (2 * np.pi), rel=1e-4)
    for id in ("bearings.static[far side]", "shafts.crank", "shafts.yield[jackshaft]", "shafts.joint[key]"):
        assert "engine.inertia" in check(boundless, id).missing, id
        assert "engine.inertia" not in check(bound, id).missing, id

"""Joints on a stepped shaft: each sits on the step at its place, and what is not written down is named."""

from __future__ import annotations

import pytest
from builders import check_of as check
from jackshaft.buildfile import DEMO
from jackshaft.results import work_up
from shaft_builds import INCH, LBFFT, build_of, data, results, with_part

MPA = 1e6


def hub(**fields):
    """The demo with one set screw of 3/8 in on its stepped jackshaft; it holds 2000 lbf (shigley, table 7-4)."""
    fields = {"kind": "set screws", "screw": "3/8", "count": 1, **fields}
    return work_up(with_part(build_of(DEMO), "jackshaft", "joint", "hub", **fields))


def joint(found, name):
    return next(j for j in data(found).joints if j.name == name)


@pytest.mark.parametrize(
    ("name", "wide", "long", "size"), [("pulley key", 5 / 16, 1.5, 1.375), ("sprocket key", 1 / 4, 1.25, 1.25)]
)
def test_a_key_on_a_stepped_shaft_by_hand(name, wide, long, size):
    """Crushing, in half the key's height: 390 MPa x w/2 x l x d/2, on 1-3/8 in and on 1-1/4 in."""
    found = results(DEMO)
    assert joint(found, name).carries == pytest.approx(390 * MPA * wide / 2 * long * size / 2 * INCH**3, rel=1e-6)
    assert joint(found, name).capacity.sound.shaft == pytest.approx(size * INCH)
    assert check(found, f"shafts.joint[{name}]").verdict == "go"


@pytest.mark.parametrize(
    ("at", "size"),
    [("-0.6 in", 1.375), ("-0.5 in", 1.375), ("-0.4 in", 40 / 25.4), ("8.0 in", 1.25), ("9.9 in", 1.25)],
)
def test_at_a_shoulder_the_smaller_step_counts(at, size):
    assert joint(hub(position=at), "hub").carries == pytest.approx(2000 * size / 2 / 12 * LBFFT, rel=1e-4)


def test_the_steps_come_before_a_diameter_of_the_whole_shaft():
    both = build_of(DEMO, **{"shaft[jackshaft].diameter": "3 in"})
    assert joint(work_up(both), "sprocket key").carries == joint(results(DEMO), "sprocket key").carries


def test_a_joint_without_a_place_asks_for_it():
    open_ = check(hub(), "shafts.joint[hub]")
    assert open_.verdict == "not decidable" and open_.missing == ("shaft[jackshaft].joint[hub].position",)


def test_a_step_without_a_size_is_asked_for_where_the_joint_sits_on_it():
    end = "shaft[jackshaft].step[sprocket end].diameter"
    half = results(DEMO, **{end: ""})
    assert check(half, "shafts.joint[sprocket key]").missing == (end,)
    assert check(half, "shafts.joint[pulley key]").verdict == "go"


def test_a_joint_past_the_last_step_is_a_stop_with_a_cure():
    stop = check(hub(position="20 in"), "shafts.joint[hub]")
    assert stop.verdict == "stop" and "where the shaft has no step" in stop.reason and stop.remedy

"""Several shafts on one belt, each with work of its own: a fan in the middle of two blades, by hand."""

from pathlib import Path

import numpy as np
import pytest
from builders import check_of as check
from builders import data
from jackshaft.buildfile import load, parse
from jackshaft.chapters.clutch.asked import required_of
from jackshaft.chapters.clutch.engage import load_of
from jackshaft.mechanics.engagement import engage_several_si
from jackshaft.parts.turning import turning
from jackshaft.parts.works import work_key
from jackshaft.results import work_up
from jackshaft.results.checks import GO, STOP, UNDECIDED
from jackshaft.results.proving import prove
from jackshaft.results.reader import Reader
from scipy.integrate import quad

DECK = Path(__file__).parents[1] / "builds" / "three_spindle_deck.toml"
L, C, R = (f"shaft[{side} spindle]" for side in ("left", "centre", "right"))
BELT = "deck belt"
#: A fan of 600 mm between blades of 500 mm; the spindles turn at 1.1 times the engine, which runs up to 3300 r/min.
FAN = {f"{C}.tip_diameter": "600 mm", f"{C}.surface_speed_most": "120 m/s"}
WEIGHTS = {"work.weight": "2 kg", f"{C}.work_weight": "6 kg", f"{C}.mass_at": "disc"}
CURVES = {f"{C}.load_curve": "same at every speed", "work.start_factor": "0.5", f"{C}.start_factor": "2.5"}


def deck(values=None):
    return load(DECK).with_values(values or {})


def worked(values, *chapters):
    return work_up(deck(values), chapters) if chapters else work_up(deck(values))


# -- by hand -----------------------------------------------------------------------------------------------------------


def tip(side, values):
    return check(worked(values), f"ratio.surface-speed[{side} spindle]").found.si


def inertia(values):
    """The work alone at the engine's shaft, without the pulleys' parts."""
    build = deck(values)
    found = turning(Reader(build), data(work_up(build, ("ratio",)), "ratio"), "engine")
    return found.likely - sum(part.likely for part in found.parts)


def takes(speed, values):
    """What the work takes at the engine's shaft over its 13.37 N m at work, at a share of the working speed."""
    build = deck(values)
    ratio, reader = data(work_up(build, ("ratio",)), "ratio"), Reader(build)
    load_there = load_of(reader, ratio, "engine", required_of(reader, ratio, "engine"))
    return load_there.takes(speed * 3000 * np.pi / 30) / ratio.shaft("engine").torque


def pull(pulley, case, values):
    """The pull of a pulley in a load case over that of the whole belt at work."""
    stage = data(worked(values), "grip", BELT)
    i = stage.layout.pulleys.names.index(pulley)
    return stage.case(case).pulls[i] / stage.pulls[stage.layout.pulleys.names.index("D")]


def started(values):
    return data(worked(values, "ratio"), "ratio").shafts[0].start_factor


TIP = np.pi * 1.1 * 3300 / 60
DRAWN = {f"{R}.work_inertia": "0.3 kg·m2"}
BLADE, DISC = 2 * 0.5**2 / 12, 6 * 0.6**2 / 8  # m l²/12 and m d²/8
# the fan takes 40 % at every speed and starts at 2.5 times that, the blades 60 % with the square of speed
BY_HAND = [
    ("tip of the fan", tip, ("centre", FAN), 0.6 * TIP),
    ("tip of a blade", tip, ("left", FAN), 0.5 * TIP),
    ("inertia", inertia, (FAN | WEIGHTS,), 1.1**2 * (2 * BLADE + DISC)),
    ("inertia, one of a drawing", inertia, (FAN | WEIGHTS | DRAWN,), 1.1**2 * (BLADE + DISC + 0.3)),
    ("load at rest", takes, (0.0, CURVES), 0.4 * 2.5),
    ("load at half speed", takes, (0.5, CURVES), 0.4 * 2.5 + 0.6 * 0.5**2),
    ("load in step", takes, (0.5, CURVES | {f"{L}.load_curve": "in step with speed"}), 1.0 + 0.3 * 0.5 + 0.3 * 0.5**2),
    ("start of the fan", pull, ("C", "start", CURVES), -0.4 * 2.5),
    ("start of a blade", pull, ("L", "start", CURVES), -0.3 * 0.5),
    ("start at the driver", pull, ("D", "start", CURVES), 0.4 * 2.5 + 0.6 * 0.5),
    ("peak of the fan", pull, ("C", "peak", {f"{C}.peak_factor": "4"}), -0.4 * 4),
    ("start at the engine", started, (CURVES,), 0.4 * 2.5 + 0.6 * 0.5),
]


@pytest.mark.parametrize(("of", "given", "wanted"), [row[1:] for row in BY_HAND], ids=[row[0] for row in BY_HAND])
def test_each_shaft_is_reckoned_with_its_own_work(of, given, wanted):
    assert of(*given) == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize("loads", [(3, 4, 5), (3, 4, 0), (3, 0, 5), (0, 4, 5), (0, 1e-3, 2e-3), (8, 0.5, 0.3)])
def test_several_loads_run_up_as_the_integral_says(loads):
    left = [lambda x: 1 - (loads[0] + loads[1] * x + loads[2] * x**2) / 12.5]
    time, slip = (quad(f, 0, 1)[0] for f in (lambda x: 1 / left[0](x), lambda x: (1 - x) / left[0](x)))
    found = engage_several_si(0.3, engine_speed=300.0, clutch=12.5, loads=loads)
    assert (found.seconds, found.heat) == pytest.approx((0.3 * 300 / 12.5 * time, 0.3 * 300**2 * slip), rel=1e-9)
    assert not engage_several_si(0.3, engine_speed=300.0, clutch=0.999 * sum(loads), loads=loads).locks


# -- what is not said --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "name", "key"),
    [
        ({}, "diameter", "work.diameter"),
        ({f"{C}.tip_diameter": "600 mm"}, "diameter", f"{C}.tip_diameter"),
        # another body: nothing of the common one is its
        ({f"{C}.work_weight": "6 kg"}, "diameter", f"{C}.tip_diameter"),
        ({f"{C}.tip_diameter": "600 mm"}, "weight", f"{C}.work_weight"),
        ({f"{C}.tip_diameter": "600 mm"}, "inertia", f"{C}.work_inertia"),
        ({f"{C}.mass_at": "disc"}, "surface_speed_most", f"{C}.surface_speed_most"),
        ({f"{C}.tip_diameter": "600 mm"}, "peak_factor", f"{C}.peak_factor"),
        ({f"{C}.work_inertia": "0.3 kg·m2"}, "load_curve", f"{C}.load_curve"),
        # how it loads the drive makes no other body of it, nor does a limit
        ({f"{C}.start_factor": "2.5"}, "load_curve", "work.load_curve"),
        ({f"{C}.load_curve": "in step with speed"}, "peak_factor", "work.peak_factor"),
        ({f"{C}.surface_speed_most": "40 m/s"}, "diameter", "work.diameter"),
        (
            {f"{C}.tip_diameter": "600 mm", f"{C}.surface_speed_most": "none"},
            "surface_speed_most",
            f"{C}.surface_speed_most",
        ),
    ],
)
def test_the_common_value_counts_only_where_it_is_true(said, name, key):
    assert work_key(Reader(deck(said)), "centre spindle", name) == key
    assert work_key(Reader(deck(said)), "left spindle", name) == f"work.{name}"


@pytest.mark.parametrize(
    ("values", "id", "verdict", "words"),
    [
        (FAN, "ratio.surface-speed[centre spindle]", GO, ""),
        (FAN | {f"{C}.surface_speed_most": "100 m/s"}, "ratio.surface-speed[centre spindle]", STOP, ""),
        (
            FAN | {f"{C}.surface_speed_most": ""},
            "ratio.surface-speed[centre spindle]",
            UNDECIDED,
            f"{C}.surface_speed_most",
        ),
        ({f"{C}.work_weight": "6 kg"}, "ratio.surface-speed[centre spindle]", UNDECIDED, f"{C}.tip_diameter"),
        (
            {"work.shafts": "left spindle, right spindle", f"{C}.mass_at": "disc"},
            "ratio.work-shafts",
            STOP,
            f"{C}.mass_at",
        ),
        (FAN, "grip.margin[deck belt]", GO, ""),
        (FAN, "chain.peak", UNDECIDED, f"{C}.peak_factor"),
        (FAN | {"work.start_factor": "0.5"}, "chain.start", UNDECIDED, f"{C}.start_factor"),
        ({"work.shafts": "", f"{C}.mass_at": "disc"}, "ratio.work-shafts", UNDECIDED, "work.shaft"),
        (
            {f"stage[{BELT}].pulley[L].share": "0.9", f"stage[{BELT}].pulley[R].share": ""},
            f"ratio.shares[{BELT}]",
            UNDECIDED,
            "nothing for R",
        ),
        (
            {"shaft": ["left spindle", "centre spindle", "right spindle", "fan"], "work.shafts": "left spindle, fan"},
            "ratio.speed[fan]",
            UNDECIDED,
            "no stage or pulley drives",
        ),
    ],
)
def test_what_is_not_said_or_cannot_be_is_named(values, id, verdict, words):
    found = check(worked(values), id)
    assert found.verdict == verdict
    assert words in " ".join((str(found.found), found.reason, *found.missing))


def test_a_fan_too_fast_is_offered_a_pulley_of_its_own():
    results = worked(FAN | {f"{C}.surface_speed_most": "108 m/s"})
    offered = [cure.changes for cure in prove(results, "ratio.surface-speed[centre spindle]")]
    assert any(f"stage[{BELT}].pulley[C].diameter" in changes for changes in offered)


def test_a_blade_among_other_work_cuts():
    """One shaft with a bar makes the work a blade, though the common mass lies as a disc; a disc may carry knives."""
    text = DECK.read_text(encoding="utf-8").replace('mass_at = "bar across the axis"', 'mass_at = "disc"')
    disc = parse(text.encode(), file="deck.toml")
    assert "work.cuts" in check(work_up(disc), "clutch.stop").missing
    assert "clutch.stop" not in {c.id for c in work_up(disc.with_values({"work.cuts": False})).checks}
    blade = check(work_up(disc.with_values({f"{C}.mass_at": "bar across the axis"})), "clutch.stop")
    assert blade.verdict == UNDECIDED and "work.cuts" not in blade.missing

"""Clutches without electrics: shoes on a drum and a belt that a tightener engages, each against an independent working.

By hand, the tiller: four shoes of 0.25 lb at 1.75 in, springs of 45 lbf, 0.3 on a drum of 4.5 in. The thrower: the
idler holds 60 lbf in the slack strand, and the belt slips where the driver's grip exp(mu theta) ends.
"""

import math

import numpy as np
import pytest
from builders import check_of, fact, sheet
from jackshaft.buildfile import DEMO, describe, load
from jackshaft.chapters.clutch import running_up
from jackshaft.chapters.clutch.engage import Load
from jackshaft.chapters.clutch.panel import controls, engaging_outcome_of, panel
from jackshaft.mechanics import shoes, twopulley
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP, UNDECIDED
from jackshaft.results.proving import prove
from jackshaft.results.reader import Reader
from jackshaft.units import OutOfRange
from no_coil_builds import THROWER, TILLER, build, found
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

RPM, LBF, LB, INCH, LBF_FT = 2 * math.pi / 60, 4.4482216, 0.45359237, 0.0254, 1.3558179
MASS, REACH, DRUM = 0.25 * LB, 1.75 * INCH, 4.5 * INCH
ENGAGES = math.sqrt(45 * LBF / (MASS * REACH))
PER = 4 * 0.3 * MASS * REACH * DRUM / 2
SLACK, BELT = "stage[auger belt].takeup.slack_tension", "auger belt"
FIRM = {"clutch.hand_force": "12 lbf"}
TITLE = "Ways to engage, compared"


def clutch(text, **changes):
    return work_up(build(text, **changes), ("clutch",), at_ends=True)


def test_shoes_press_with_what_their_springs_leave():
    results = clutch(TILLER)
    band = results.chapters["clutch"].data.way.torque
    assert band.likely == pytest.approx(PER * ((3200 * RPM) ** 2 - ENGAGES**2), rel=1e-6)
    assert band.bad == pytest.approx(0.8 * band.likely)
    assert check_of(results, "clutch.idle").wanted.si == pytest.approx(ENGAGES, rel=1e-6)
    sizes = {"shoes": 4, "centre_radius": 0.1, "drum_diameter": 0.3, "friction": 0.3, "engages": 50.0}
    assert shoes.shoe_torque.si(1.0, speed=np.array([0.0, 50.0]), **sizes) == pytest.approx([0.0, 0.0])
    with pytest.raises(OutOfRange, match="inside the drum"):
        shoes.shoe_torque.si(1.0, speed=60.0, **sizes | {"centre_radius": 0.15})


def test_the_engine_settles_where_the_shoes_take_all_that_it_gives():
    """9.1 lbf·ft flat: w² = w_engage² + T / k; a governor that ends below it ends there."""
    way = clutch(TILLER).chapters["clutch"].data.way
    assert way.speed == pytest.approx(math.sqrt(ENGAGES**2 + 9.1 * LBF_FT / PER), rel=1e-6)
    assert way.pulls.likely == pytest.approx(9.1 * LBF_FT, rel=1e-6)
    assert shoes.settling_speed_si(0.001, engages=100.0, gives=lambda w: 50.0, most=120.0) == (120.0, 4.4)
    with pytest.raises(OutOfRange, match="below the working speed"):
        shoes.settling_speed_si(0.001, engages=100.0, gives=lambda w: 50.0, most=90.0)


def test_a_slip_under_a_torque_that_rises_is_that_of_the_closed_form():
    """The load stands until s t = T_L; then w = s t² / 2 J. Heat is the integral of torque times slip."""
    inertia, speed, torque, held, closing = 0.004, 250.0, 40.0, 6.0, 0.5
    s = torque / closing
    t1, t2 = held / s, math.sqrt(2 * inertia * speed / s)
    heat = held * t1 * speed / 2 + held * (speed * t2 - s * t2**3 / (6 * inertia))
    heat += s * (speed * t2**2 / 2 - s * t2**4 / (8 * inertia))
    reader = Reader(build(TILLER))
    run, course = running_up.run_up(reader, Load(held, 1.0, 0), inertia, speed, torque)
    assert course.load[-1] == pytest.approx(speed, rel=1e-6)
    assert run.locks and (run.seconds, run.heat) == pytest.approx((t1 + t2, heat), rel=1e-3)
    assert not running_up.run_up(reader, Load(held, 1.0, 0), inertia, speed, held)[0].locks


def test_the_heat_of_a_run_up_is_on_the_high_side():
    """The engine with a flywheel of its own, from idle, its throttle opened in half a second, integrated whole."""
    heavy = {"work.weight": "150 lb", "work.start_factor": 1.5}
    data = clutch(TILLER, **heavy).chapters["clutch"].data
    inertia, held = data.way.turning.likely, 1.5 * data.required.work

    def rates(t, y):
        passes = PER * max(y[0] ** 2 - ENGAGES**2, 0.0)
        pulls = max(passes - held, 0.0) if y[1] <= 0.0 else passes - held
        return (9.1 * LBF_FT * min(t / 0.5, 1.0) - passes) / 0.006, pulls / inertia, passes * (y[0] - y[1])

    def together(t, y):
        return y[0] - y[1]

    together.terminal, together.direction = True, -1.0
    run = solve_ivp(rates, (0.0, 5.0), (1500 * RPM, 0.0, 0.0), events=together, max_step=0.005)
    assert len(run.t_events[0]) == 1
    assert run.y[2, -1] < data.way.heat < 1.5 * run.y[2, -1]


def test_a_tightened_belt_holds_what_its_driver_grips():
    results = work_up(build(THROWER), ("clutch",))
    grip = results.chapters["grip"].data[BELT]
    loop, p = grip.layout, grip.layout.pulleys
    # what bends the belt round at speed does not load the idler, so all that it holds grips
    by_hand = 60 * LBF * (math.exp(0.5123 * loop.path.wrap[p.driver]) - 1) * p.pitch[p.driver]
    data = results.chapters["clutch"].data
    assert data.way.torque.likely == pytest.approx(by_hand, rel=2e-3)
    # the heat of the slip is torque times the angle that it slips by
    assert fact(results, "heat of one engagement", "clutch").found.si == pytest.approx(data.way.heat)


def test_the_lever_pulls_by_moments_about_its_pivot():
    """Virtual work: what the belt gives when the arm turns a little, at the lever's tension, is what the lever does."""
    results = clutch(THROWER)
    loop = results.chapters["grip"].data[BELT].layout
    arm = math.atan2((-1.2 + 6) * INCH, (6 - 10) * INCH)
    reach, ends = math.hypot(4 * INCH, 4.8 * INCH), []
    for turn in (-1e-4, 1e-4):
        x, y = 10 * INCH + reach * math.cos(arm + turn), -6 * INCH + reach * math.sin(arm + turn)
        ends.append(float(loop.with_moved(loop.idler)(np.array([x]), np.array([y]))[0].length[0]))
    longer = abs(ends[1] - ends[0]) / 2e-4
    tension = 18 * LBF * 5 * 5 * INCH / longer
    assert check_of(results, "clutch.lever").found.si == pytest.approx(tension, rel=1e-4)
    loose = clutch(THROWER, **{SLACK: ""})
    assert loose.chapters["clutch"].data.way.torque.likely > results.chapters["clutch"].data.way.torque.likely
    assert check_of(loose, "clutch.lever").missing == (SLACK,)


def test_a_belt_let_go_is_as_loose_as_its_loop_without_the_idler():
    """The open belt on two pulleys, in closed form; half way back less comes free, and by no lever anything."""
    results = clutch(THROWER)
    loop = results.chapters["grip"].data[BELT].layout
    p = loop.pulleys
    open_belt = twopulley.two_pulleys.si(14 * INCH, first=2 * p.pitch[p.driver], second=2 * p.pitch[p.driven])
    clear = check_of(results, "clutch.clear")
    assert clear.found.si == pytest.approx(float(loop.path.length - open_belt.length), rel=1e-6)
    assert clear.wanted.si == pytest.approx(loop.belt.height * loop.path.wrap[p.driver])
    partly = [clutch(THROWER, **{"clutch.release_travel": t}) for t in ("1 in", "2 in")]
    less = [check_of(r, "clutch.clear").found.si for r in partly]
    assert 0.0 < less[0] < less[1] < clear.found.si


#: The brake sits behind the belt: 4 hp at 3400 rpm, times 8.25 over 3.25 by the cords, less 5 %, are 14.9 lbf·ft there.
DRIVEN = {"work.overrun_factor": 1.0, "clutch.brake": True}

VERDICTS = [
    (TILLER, {}, {"hold": GO, "idle": GO, "engagement": GO, "guarded": GO}),
    (TILLER, {"clutch.shoe_friction": 0.1}, {"hold": STOP}),
    (TILLER, {"engine.idle_speed": "1950 rpm"}, {"idle": STOP}),
    (TILLER, {"engine.idle_speed": "1850 rpm"}, {"idle": CAUTION}),
    # 45 lbf on 0.25 lb at 1.75 in engage at 1903 rpm
    (TILLER, {"clutch.engage_speed": "2000 rpm"}, {"idle": GO}),
    (TILLER, {"clutch.engage_speed": "2300 rpm"}, {"idle": CAUTION}),
    (TILLER, {"clutch.engage_speed": "2300 rpm", "engine.idle_speed": "2000 rpm"}, {"idle": STOP}),
    # the least that the springs may pull lets them engage at 1700 rpm, one in twenty sooner as any such clutch may:
    # at 1617 rpm; shoes that may weigh much less hold less
    (TILLER, {"engine.idle_speed": "1750 rpm", "clutch.shoe_spring": ("45 lbf", "9 lbf")}, {"idle": CAUTION}),
    (TILLER, {"engine.idle_speed": "1690 rpm", "clutch.shoe_spring": ("45 lbf", "9 lbf")}, {"idle": CAUTION}),
    (TILLER, {"engine.idle_speed": "1600 rpm", "clutch.shoe_spring": ("45 lbf", "9 lbf")}, {"idle": GO}),
    (TILLER, {"clutch.shoe_mass": ("0.25 lb", "0.2 lb")}, {"hold": CAUTION}),
    (TILLER, {"work.start_factor": 3.0}, {"engagement": STOP}),
    (TILLER, {"clutch.face_mass": ""}, {"engagement": UNDECIDED}),
    (TILLER, {"clutch.guarded": False}, {"guarded": STOP}),
    (TILLER, {"clutch.shoe_radius": "3 in"}, {"hold": UNDECIDED, "engagement": UNDECIDED}),
    (THROWER, FIRM, {"hold": GO, "engagement": GO, "lever": GO, "clear": GO, "returns": GO, "guarded": GO}),
    # 18 lbf give 103 lbf, 1.7 x the 60 lbf written down; 60 lbf give 343 lbf, and one belt stands 202 lbf in all
    (THROWER, {}, {"hold": GO, "lever": CAUTION}),
    (THROWER, {"clutch.hand_force": "60 lbf"}, {"hold": GO, "lever": STOP}),
    # 1 lbf gives 5.7 lbf, 0.095 x what is written down; 0.02 in of travel free less than the belt is stretched
    (THROWER, {"clutch.hand_force": "1 lbf"}, {"hold": STOP, "lever": CAUTION}),
    (THROWER, {"clutch.release_travel": "0.02 in"}, {"clear": STOP}),
    (THROWER, {SLACK: "10 lbf"}, {"hold": STOP}),
    (THROWER, {SLACK: "14 lbf", "work.start_factor": 1.4}, {"engagement": STOP}),
    (THROWER, {"clutch.hand_force": "5 lbf"}, {"lever": CAUTION}),
    (THROWER, {"clutch.release_travel": "1 in"}, {"clear": CAUTION}),
    # how far the belt is stretched is not known: it may still be tight
    (THROWER, {"work.power": ""}, {"clear": UNDECIDED}),
    (THROWER, {"clutch.release_travel": "0.02 in", "engine.work_speed": ""}, {"clear": UNDECIDED}),
    (THROWER, {"clutch.keepers": False}, {"clear": STOP}),
    (THROWER, {"clutch.keepers": False, "work.cuts": False}, {"clear": CAUTION}),
    (THROWER, {"clutch.returns": False}, {"returns": STOP}),
    (THROWER, {"clutch.returns": False, "work.cuts": False}, {"returns": CAUTION}),
    # work on a slope drives back with all of its working load
    (THROWER, {"work.overrun_factor": 1.0}, {"held-back": UNDECIDED}),
    (THROWER, {"work.overrun_factor": 1.0, "clutch.brake": False}, {"held-back": CAUTION}),
    (THROWER, {"work.overrun_factor": 1.0, "clutch.brake": True}, {"held-back": UNDECIDED}),
    (THROWER, DRIVEN | {"clutch.brake_torque": "16 lbf·ft"}, {"held-back": GO}),
    (THROWER, DRIVEN | {"clutch.brake_torque": "14 lbf·ft"}, {"held-back": CAUTION}),
    (THROWER, DRIVEN | {"clutch.brake_torque": ("16 lbf·ft", "2 lbf·ft")}, {"held-back": CAUTION}),
    (THROWER, {"clutch.engage_every": "0.2 s"}, {"repeated": CAUTION}),
    (THROWER, {"clutch.engage_every": "60 s"}, {"repeated": GO}),
]


def _judged(case):
    text, changes, verdicts = case
    pairs = {k: dict(zip(("value", "plus_minus"), v, strict=True)) for k, v in changes.items() if isinstance(v, tuple)}
    results = clutch(text, **changes | pairs)
    assert not results.faults
    assert {what: check_of(results, f"clutch.{what}").verdict for what in verdicts} == verdicts
    for check in results.of("clutch"):
        # a clutch that holds the work but no shock, or a hard hand, is a choice; what starts or goes on alone is none
        assert check.verdict != STOP or check.guards or check.id in ("clutch.hold", "clutch.lever"), check.id
        assert check.verdict != UNDECIDED or check.missing, check.id
        assert not any("coil" in k or "volt" in k or k.startswith("circuit") for k in check.missing), check.id


def test_what_is_wrong_is_said(for_each):
    for_each(VERDICTS, _judged, lambda case: str(case[1]))


LOADED = {
    f"stage[{BELT}].pulley[tightener].bearing": "6203",
    "wanted_life": "500 h",
    "engine.side_load_limit": "150 lbf",
}


def test_grip_is_judged_at_the_lower_of_hand_and_written_and_loads_at_the_higher(for_each):
    """The same belt without a lever, its tension written down as one or the other, says what each must be."""

    def worse_of_both(hand):
        both = found(THROWER, **LOADED, **{"clutch.hand_force": hand})
        given = check_of(both, "clutch.lever").found.si
        alone = {
            t: found(THROWER, **LOADED, **{"clutch.hand_force": "", SLACK: f"{t:.6f} N"}) for t in (given, 60 * LBF)
        }
        holds, loads = alone[min(alone)], alone[max(alone)]
        for results, ids in (
            (holds, (f"grip.margin[{BELT}]", f"grip.peak[{BELT}]", "clutch.hold")),
            (loads, (f"grip.pull[{BELT}]", "shafts.crank", f"bearings.idler[{BELT}: tightener]")),
        ):
            for id in ids:
                mine, theirs = check_of(both, id), check_of(results, id)
                assert (mine.verdict, mine.found.si) == (theirs.verdict, pytest.approx(theirs.found.si, rel=1e-5)), id
                if id != "clutch.hold" and (results is holds or given > 60 * LBF):
                    assert "the hand gives" in mine.reason.lower(), id

    for_each(("7 lbf", "18 lbf", "40 lbf"), worse_of_both)


def test_a_key_that_is_not_known_is_named_and_ends_in_no_fault(for_each):
    def dropped(case):
        text, key = case
        results = clutch(text, **{key: ""})
        assert not results.faults
        asked = {k for c in results.of("clutch") for k in c.missing}
        # the speed of engaging says what the springs would
        named = "clutch.engage_speed" if key == "clutch.shoe_spring" else key
        assert named in asked or key in ("clutch.shaft", "clutch.faces"), asked

    # keepers that the belt's own key brings along are known without theirs
    skipped = "clutch.kind", "clutch.keepers"
    each = [(t, k) for t in (TILLER, THROWER) for k in build(t).values if k.startswith("clutch.") and k not in skipped]
    for_each(each, dropped, lambda case: case[1])


def test_a_motor_does_not_idle():
    motor = {"kind": "electric motor", "cylinders": "", "idle_speed": "", "phases": 3, "starts_by": "three-phase"}
    ids = [c.id for c in clutch(TILLER, **{f"engine.{k}": v for k, v in motor.items()}).of("clutch")]
    assert "clutch.hold" in ids and "clutch.idle" not in ids


#: An engine that idles too fast for its clutch and stalls where it idles slower.
NO_LOWER = {"engine.idle_speed": "2000 rpm", "engine.stall_speed": "1500 rpm"}


def test_cures_do_what_they_say():
    for text, changes, id in (
        (TILLER, {"engine.idle_speed": "2000 rpm"}, "clutch.idle"),
        # the engine idles no lower, and the speed of engaging is written down: springs that engage later
        (TILLER, {**NO_LOWER, "clutch.engage_speed": "1800 rpm"}, "clutch.idle"),
        (THROWER, {"clutch.hand_force": "5 lbf"}, "clutch.lever"),
        (THROWER, {"clutch.hand_force": "1 lbf"}, "clutch.hold"),
        # far from what is wanted, the travel is worked out and not tried in shares of what there is
        (THROWER, {"clutch.release_travel": "0.02 in"}, "clutch.clear"),
        (THROWER, {f"stage[{BELT}].clutching_belt": False}, f"capacity.clutching[{BELT}]"),
    ):
        cures = prove(found(text, **changes), id)
        assert cures and all(c.verdict_after == GO for c in cures)


def test_belts_are_not_held_against_themselves_and_the_pin_feels_them():
    pin = {"shaft": "auger shaft", "diameter": "1/4 in", "shear_strength": "40 ksi", "radius": "0.5 in"}
    results = found(THROWER, **{f"shear_pin.{k}": v for k, v in pin.items()})
    assert not results.faults and not [c for c in results.checks if c.id.startswith("chain.engage-belts")]
    slipping = results.chapters["chain"].data.slipping
    torque = results.chapters["clutch"].data.way.torque
    assert (slipping.now, slipping.top) == pytest.approx((torque.likely, torque.good))
    assert "While it slips the tightened belt pulls" in check_of(results, "chain.engage-pin").reason
    drum = found(TILLER).chapters["chain"].data.slipping
    assert drum.now == pytest.approx(9.1 * LBF_FT, rel=1e-6) and drum.top > 2 * drum.now


def test_ways_to_engage_stand_side_by_side():
    """On the demo the belt of the jackshaft would hold what its slack strand lets it, and the shoes are asked for."""
    results = work_up(load(DEMO), ("clutch",))
    rows = {r[0]: r for r in sheet(results, TITLE, "clutch").rows}
    magnet = rows["electromagnetic clutch (this build)"]
    belt, shoes_ = rows["belt tightener"], rows["centrifugal clutch"]
    assert fact(results, "holding torque, engine running", "clutch").value.split(", ")[1].split(" hot")[0] in magnet[1]
    assert "clutch.keepers" in belt[-1] and "clutch.shoe_mass" in shoes_[-1]
    asked = {k for r in rows.values() for k in r[-1].split(", ") if k != "nothing"}
    values = load(DEMO).values
    assert all(describe(k) and k not in values for k in asked)
    # comparing asks the builder of an electromagnetic clutch for nothing more
    assert not {k for k in results.chapters["clutch"].missing if "shoe" in k or "keepers" in k}
    other = sheet(clutch(THROWER), TITLE, "clutch").rows
    assert other[1][0] == "belt tightener (this build)" and other[0][1] == "not known"
    drum = {k: v for k, v in build(TILLER).values.items() if "shoe" in k or k == "clutch.drum_diameter"}
    beside = sheet(clutch(THROWER, **{k: getattr(v, "text", v) for k, v in drum.items()}), TITLE, "clutch")
    assert beside.rows[2][1].startswith("22.") and beside.rows[2][-1] == "nothing"


def test_the_panel_moves_what_engages(for_each):
    """Both ends of each control end in no fault; a stated torque has its own controls."""

    def moved(case):
        made, control = case
        for end in (0, -1):
            span = control.slider if isinstance(control.slider, str) else control.slider[0]
            low, high = span.split(" by ")[0].split(" to ")
            text = f"{low} {high.split(' ', 1)[1]}" if end == 0 else high
            outcome = engaging_outcome_of(made.with_values({control.key: text}), {})
            assert not [c for c in outcome.checks if c.id == "clutch.fault"]

    stated = {"clutch.static_torque": "15 lbf·ft", "clutch.torque_speed": "3000 rpm", "clutch.engage_speed": "1900 rpm"}
    builds = [build(TILLER), build(THROWER), build(TILLER, **stated)]
    for_each([(b, c) for b in builds for c in controls(b)], moved, lambda case: case[1].label)
    assert [c.key for c in controls(builds[2])][:2] == ["clutch.static_torque", "clutch.engage_speed"]
    assert all(panel(b).title == "Try how it engages and lets go" for b in builds)


@pytest.mark.parametrize(
    ("held", "verdict"), [("60 lbf", UNDECIDED), ("17 lbf", UNDECIDED), ("16 lbf", UNDECIDED), ("10 lbf", STOP)]
)
def test_a_peak_that_is_not_told_leaves_open_what_it_may_spoil(held, verdict):
    """By hand the work takes 6.18 lbf·ft: a stop there stays. A caution may be a stop at the peak, so it waits."""
    unsaid = THROWER.replace("peak_factor = 1.5\n", "")
    check = check_of(clutch(unsaid, **{SLACK: held}), "clutch.hold")
    assert check.verdict == verdict and (check.missing == ("work.peak_factor",)) == (verdict == UNDECIDED)
    assert (check.found.si < 6.18 * LBF_FT) == (verdict == STOP)


CURVE = ((2000, 8.0), (2800, 8.5), (3200, 5.0))
POINTS = "".join(f'[[engine.torque_point]]\nname = "{n}"\nspeed = "{n} rpm"\ntorque = "{t} lbf·ft"\n' for n, t in CURVE)


@pytest.mark.parametrize(("friction", "peak", "verdict"), [(0.3, 2.0, GO), (0.2, 2.0, CAUTION), (0.17, 2.0, STOP)])
def test_a_peak_is_judged_where_it_pulls_engine_and_shoes_down_to(friction, peak, verdict):
    """The engine gives 5 lbf·ft at 3200 r/min, 8.5 at 2800, straight between; SciPy finds where the shoes hold that."""
    found = check_of(
        clutch(
            TILLER.replace("[work]\n", f"{POINTS}\n[work]\n"),
            **{"clutch.shoe_friction": friction, "work.peak_factor": peak},
        ),
        "clutch.hold",
    )

    def spare(rpm, share=1.0):
        engine = LBF_FT * (5.0 + 3.5 * (3200 - rpm) / 400)
        return engine - share * friction / 0.3 * PER * ((rpm * RPM) ** 2 - ENGAGES**2)

    passes = []
    for share in (1.0, 0.8):
        settled = brentq(spare, 2800, 3200, args=(share,)) if spare(2800, share) > 0 else 2800.0
        passes.append(LBF_FT * (5.0 + 3.5 * (3200 - settled) / 400))
    wants = peak * 2.5 * 745.69987 / (3200 * RPM)
    assert found.verdict == verdict == (GO if passes[1] >= wants else CAUTION if passes[0] >= 0.997 * wants else STOP)
    if verdict != GO:
        assert (found.found.si, found.found.low) == pytest.approx(tuple(passes), rel=1e-6)
        assert found.wanted.si == pytest.approx(wants) and "engine is pulled down to" in found.reason


def test_a_peak_above_what_the_engine_has_is_open_without_its_curve():
    """No curve says how the engine pulls at the lower speed that a peak brings it to."""
    found = check_of(clutch(TILLER, **{"work.peak_factor": 2.3}), "clutch.hold")
    assert (
        found.verdict == UNDECIDED
        and "torque at lower speeds" in found.reason
        and found.missing == ("engine.torque_point",)
    )


@pytest.mark.parametrize(
    ("kind", "wanted"), [("petrol engine", "spark lead"), ("diesel engine", "stop lever"), ("electric motor", "unplug")]
)
def test_what_drives_is_made_safe_as_its_kind_is(kind, wanted):
    """A diesel has no spark, a motor no stop lever."""
    results = work_up(build(THROWER.replace("cylinders = 1\n", ""), **{"engine.kind": kind}))
    for name in ("clutch", "grip", "guards"):
        text = " ".join(results.chapters[name].cautions)
        assert wanted in text and all(w not in text for w in {"spark lead", "stop lever", "unplug"} - {wanted})

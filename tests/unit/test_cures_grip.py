"""Cures of grip: changes that were proved, and the wrong ones that were seen before them.

Expected tensions are worked anew by the capstan law with the wraps that the build states."""

from pathlib import Path

import numpy as np
import pytest
from builders import check_of as check
from jackshaft.buildfile import DEMO, load
from jackshaft.results import work_up
from jackshaft.results.proving import applied, proposals, prove
from jackshaft.units import read
from shaft_builds import TWO_BELTS, build_of

CHIPPER = Path(__file__).parents[1] / "builds" / "flywheel_chipper.toml"
BELTS, WHEEL, SECOND = "stage[crank belts]", "stage[wheel belts]", "stage[second belts]"
SLACK = f"{BELTS}.takeup.slack_tension"
LBF, INCH = 4.4482216152605, 0.0254


def results_of(build, **changes):
    return work_up(applied(build, changes) if changes else build)


def after(results, cure):
    return work_up(applied(results.build, cure.changes))


def changes_of(results, id):
    return [p.changes for p in proposals(results, check(results, id))]


@pytest.fixture(scope="module")
def loose():
    return results_of(load(DEMO), **{SLACK: "10 lbf"})


@pytest.fixture(scope="module")
def chipper():
    return work_up(load(CHIPPER))


# -- tension ---------------------------------------------------------------------------------------


def test_the_tension_is_what_the_capstan_law_asks_for_at_the_bad_end(loose):
    """31.6 lbf of pull, 175.8 deg on E, 0.40: 31.6 / (e^(0.40 x 3.068) - 1) = 13.1 lbf, so 14."""
    cure = prove(loose, "grip.margin[crank belts]")[0]
    least = 31.6 / (np.exp(0.40 * np.radians(175.8)) - 1)
    assert dict(cure.changes) == {SLACK: f"{int(np.ceil(least))} lbf"}


def test_seen_a_tension_that_repeats_itself_for_ever(loose):
    """Each cure was once met to the last digit only, so that the same order came back."""
    build, seen = loose.build, []
    for _ in range(4):
        results = work_up(build)
        offered = prove(results, "grip.margin[crank belts]")
        if not offered:
            break
        seen.append(offered[0].changes[SLACK])
        build = applied(build, offered[0].changes)
    assert len(seen) == 1 and check(results, "grip.margin[crank belts]").verdict == "go"


def test_seen_a_tension_that_no_belt_stands(loose):
    """A choke of 20 times the work: the number that it takes was offered as an order."""
    hopeless = results_of(loose.build, **{"work.peak_factor": "20"})
    for changes in changes_of(hopeless, "grip.peak[crank belts]"):
        assert SLACK not in changes or f"{BELTS}.belts" in changes
    for cure in prove(hopeless, "grip.peak[crank belts]"):
        assert read(cure.changes[SLACK], "force").si / int(cure.changes[f"{BELTS}.belts"]) < 0.4 * 674 * LBF


def test_seen_more_belts_on_one_spring(loose):
    """Two belts or three, the spring holds what it holds: the grip does not change, and it is not offered."""
    more = results_of(loose.build, **{f"{BELTS}.belts": "3"})
    id = "grip.margin[crank belts]"
    assert more.chapters["grip"].data["crank belts"].margin == pytest.approx(
        loose.chapters["grip"].data["crank belts"].margin
    )
    assert not any(f"{BELTS}.belts" in changes for changes in changes_of(loose, id))
    assert "more belts" not in check(loose, id).remedy


def test_locked_centres_get_more_belts_with_the_tension_of_each():
    results = work_up(build_of(TWO_BELTS))
    id, key = "grip.margin[second belts]", f"{SECOND}.takeup.static_tension"
    offered = changes_of(results, id)
    assert any(set(c) == {f"{SECOND}.belts"} for c in offered)
    both = next(c for c in offered if set(c) == {f"{SECOND}.belts", key})
    assert check(work_up(applied(results.build, both)), id).verdict == "go"


# -- the spring in the tight strand -----------------------------------------------------------------


def test_seen_the_tight_strands_number_as_the_slack_ones(chipper):
    """'Raise the tension to 446 lbf in the slack strand': 446 is the tight one's; 257 is what it takes there, and a
    spring that stays where it is gets no number at all."""
    for id in ("grip.margin[wheel belts]", "grip.peak[wheel belts]"):
        found = check(chipper, id)
        assert "446" not in found.reason + found.remedy and "1337" not in found.reason + found.remedy
        for changes in changes_of(chipper, id):
            assert f"{WHEEL}.takeup.slack_tension" not in changes or f"{WHEEL}.pulley[T].x" in changes
    assert "257 lbf" in check(chipper, "grip.margin[wheel belts]").reason
    assert "from T to E" in check(chipper, "grip.margin[wheel belts]").reason


def test_the_spring_moves_into_the_slack_strand(chipper):
    """The list is in the order of the belt's travel, the place on the other side, and the tension one that holds."""
    offered = [c for c in changes_of(chipper, "grip.margin[wheel belts]") if f"{WHEEL}.pulley" in c]
    assert offered
    for changes in offered:
        found = work_up(applied(chipper.build, changes))
        grip = found.chapters["grip"].data["wheel belts"]
        assert changes[f"{WHEEL}.pulley"] == "E, T, F" and not grip.held_tight
        assert check(found, "grip.margin[wheel belts]").verdict == "go"
        assert grip.margin_bad == pytest.approx(1.0, abs=0.02)
    cure = prove(chipper, "grip.idlers[wheel belts]")[0]
    assert cure.verdict_after == "go" and check(after(chipper, cure), "grip.idlers[wheel belts]").verdict == "go"


# -- wrap, grooves, the arm -------------------------------------------------------------------------


def test_a_moved_idler_gives_the_limiting_pulley_the_wrap_it_says(loose):
    """Seen: the wrap of the idler as it is drawn, 225 deg, where its arm and the belt leave it at 189."""
    moves = [
        p for p in proposals(loose, check(loose, "grip.margin[crank belts]")) if f"{BELTS}.pulley[I].x" in p.changes
    ]
    assert moves
    now = loose.chapters["layout"].data["crank belts"].path.wrap[0]
    for move in moves:
        layout = work_up(applied(loose.build, move.changes), ("layout",)).chapters["layout"].data["crank belts"]
        said = float(move.words.split(" by ")[1].split("°")[0])
        assert np.degrees(layout.path.wrap[0]) == pytest.approx(said, abs=0.06) and layout.path.wrap[0] > now
        for axis in "xy":
            steps = read(move.changes[f"{BELTS}.pulley[I].{axis}"], "length").si / INCH * 4
            assert steps == pytest.approx(round(steps))


def test_a_flat_rim_gets_grooves_and_the_caution_has_no_object_then(chipper):
    cure = prove(chipper, "grip.flat[wheel belts]")[0]
    assert dict(cure.changes) == {f"{WHEEL}.pulley[F].surface": "groove"} and cure.verdict_after == ""
    assert not any(c.id == "grip.flat[wheel belts]" for c in after(chipper, cure).checks)


def test_a_stop_behind_the_arm_clears_the_overrun():
    """Behind a stop the belt is locked: the mean of its strands stays, so the pull that it holds backwards is
    2 T (R - 1) / (R + 1) for two equal halves; here it is only asked that it lies between the spring's and that."""
    results = results_of(load(DEMO), **{"work.overrun_factor": "0.5"})
    id = "grip.overrun[crank belts]"
    assert check(results, id).verdict == "caution"
    cure = next(c for c in prove(results, id) if list(c.changes) == [f"{BELTS}.takeup.arm_stop"])
    stopped = after(results, cure)
    assert check(stopped, id).verdict == "go"
    before, now = (r.chapters["grip"].data["crank belts"] for r in (results, stopped))
    ratio = np.exp(0.5123 * before.layout.path.wrap[0])
    spring = 44 * LBF * (1 - 1 / ratio) / (0.5 * before.pull)
    assert before.case("overrun").least == pytest.approx(spring, rel=1e-6)
    most = 2 * 44 * LBF * (ratio - 1) / (ratio + 1) / (0.5 * before.pull)
    assert spring < now.case("overrun").least < 1.15 * most
    assert now.case("work").least == pytest.approx(before.case("work").least)


# -- what a slipping belt gives ---------------------------------------------------------------------


def test_no_strand_pushes(chipper):
    """60 lbf tight, E at 78.7 deg: slack 60 / e^(0.5123 x 1.374) = 29.7 lbf, hub by the law of cosines 61 lbf."""
    grip = chipper.chapters["grip"].data["wheel belts"]
    slack = 60 / np.exp(0.5123 * np.radians(78.7))
    hub = np.sqrt(60**2 + slack**2 - 2 * 60 * slack * np.cos(np.radians(78.7)))
    for case in grip.cases:
        assert case.net.min() >= -1e-9
    assert grip.net.min() / LBF == pytest.approx(slack, rel=0.01)
    assert np.hypot(*grip.hub[0]) / LBF == pytest.approx(hub, rel=0.01) == pytest.approx(61, rel=0.01)
    assert grip.hub == pytest.approx(grip.hub_peak)  # more than it slips at it cannot carry


def test_a_loose_belt_pulls_on_nothing():
    """Locked centres with less tension than m v^2 takes: the belt hangs, the shafts feel it only at rest."""
    fast = results_of(build_of(TWO_BELTS), **{f"{SECOND}.takeup.static_tension": "0.3 lbf"})
    grip = fast.chapters["grip"].data["second belts"]
    assert grip.hold < grip.centrifugal and grip.margin == 0.0
    assert np.all(grip.hub == 0.0) and np.all(np.hypot(*grip.hub_rest.T) > 0.0)


# -- both ends, and loads that do not come from the work --------------------------------------------


def test_three_ends_of_grip():
    """E at 175.8 deg: 44 (e^(k 3.068) - 1) / 31.6 at 0.40, 0.5123 and 0.80, which is 3.36, 5.31 and 14.8."""
    grip = work_up(load(DEMO), ("grip",)).chapters["grip"].data["crank belts"]
    for found, k in ((grip.margin_bad, 0.40), (grip.margin, 0.5123), (grip.margin_high, 0.80)):
        assert found == pytest.approx(44 * (np.exp(k * np.radians(175.8)) - 1) / 31.6, rel=0.01)
    assert grip.friction.high == pytest.approx([0.80, 0.40, 0.80])


def test_a_jam_is_the_least_of_pin_belt_clutch_and_engine():
    """Pin on the output shaft, a tenth over 44.4 ksi x pi (1/4 in)^2 / 4 x 11/16 in = 125 lbf ft: 137 there, over
    10.85 : 4.65 and 40 : 13 it is 19.1 on the crank, the least of all. Without it: belt 14.8 x 6.13 = 91 lbf ft,
    clutch 72: the clutch gives. Without that the belt, and with a loose one the belt; engine
    20.2 + 1/2 J w^2 / (pi/2) = 20.2 + 1760, J 1.8 lb ft^2 at 3000 rpm."""
    demo = load(DEMO)

    def jam(**changes):
        found = results_of(demo, **changes).chapters["grip"].data["crank belts"]
        return found, found.case("jam")

    pin = 1.1 * 44.4e3 * np.pi * 0.25**2 / 4 * (11 / 16) / 12
    _, pinned = jam()
    assert pinned.factor == pytest.approx(pin / (10.85 / 4.65 * 40 / 13) / 6.127, rel=0.01)
    # what is not known of a pin does not protect
    none = {f"shear_pin.{key}": "" for key in ("shaft", "diameter", "shear_strength", "radius", "planes")}
    grip, case = jam(**none)
    assert case.factor == pytest.approx(72 / 6.127, rel=0.005)
    assert np.max(np.abs(case.pulls)) == pytest.approx(case.factor * grip.pull) and case.least_high >= 1.0
    _, bare = jam(**none, **{"clutch.static_torque": ""})
    assert bare.factor == pytest.approx(14.8, rel=0.01) and bare.least_high == pytest.approx(1.0)
    # what the shafts get is the whole of it, not what likely friction would leave
    tight = 44 + bare.factor * grip.pull / LBF
    assert bare.net.max() / LBF == pytest.approx(tight, rel=1e-6)
    _, small = jam(**none, **{"clutch.static_torque": "", "engine.inertia": "0.001 lb·ft²"})
    torque = 20.2 + 0.5 * 0.001 / 32.174 * (3000 * np.pi / 30) ** 2 / (np.pi / 2)
    assert small.factor == pytest.approx(torque / 6.127, rel=0.005)


def test_a_slipping_clutch_loads_the_belts_before_and_not_those_of_no_clutch():
    """0.7 of the plate's 72 lbf ft is 50.4, on 6.13 at work."""
    demo = work_up(load(DEMO), ("grip",)).chapters["grip"].data["crank belts"]
    assert demo.case("slipping clutch").factor == pytest.approx(50.4 / 6.127, rel=0.005)
    none = work_up(load("drum_mixer"), ("grip",)).chapters["grip"].data["motor belt"]
    assert none.case("slipping clutch") is None


def test_full_throttle_takes_grip_from_locked_centres_only():
    """m v^2 grows with the square of the speed: the needed tension by as much, on a spring not at all."""
    results = work_up(build_of(TWO_BELTS), ("grip",))
    for name, grows in (("first belt", False), ("second belts", True)):
        grip, layout = (results.chapters[c].data[name] for c in ("grip", "layout"))
        more = grip.case("full").needed - grip.case("work").needed
        square = (layout.full_speed / layout.speed) ** 2
        assert more == pytest.approx(grip.centrifugal * (square - 1) if grows else 0.0, abs=1e-6)
    ids = {c.id for c in results.checks}
    assert "grip.full[second belts]" in ids and "grip.full[first belt]" not in ids


def test_a_tension_set_by_hand_may_be_a_quarter_off_and_a_spring_keeps_its_own():
    results = work_up(build_of(TWO_BELTS), ("grip",))
    hand, spring = (results.chapters["grip"].data[n] for n in ("second belts", "first belt"))
    assert (hand.scatter, spring.scatter) == (0.25, 0.0)
    key = "stage[first belt].takeup.slack_tension"
    own = (
        work_up(build_of(TWO_BELTS).with_values({key: "25 lbf ± 5 lbf"}), ("grip",)).chapters["grip"].data["first belt"]
    )
    assert own.scatter == pytest.approx(0.2) and own.margin_bad == pytest.approx(0.8 * spring.margin_bad)


def test_no_tag_for_a_belt_that_does_not_go_round():
    from jackshaft.chapters.grip import tension
    from jackshaft.results.reader import Reader

    results = work_up(load(DEMO), ("grip",))
    grip = results.chapters["grip"].data["crank belts"]

    class Misfit:
        fits = False

        def __getattr__(self, name):
            return getattr(grip.layout, name)

    from dataclasses import replace

    assert grip.set.tag
    assert tension.tension_of(Reader(results.build), replace(grip, layout=Misfit()), grip.set.each).tag == ()


def test_the_idlers_pin_and_arm_are_facts(chipper):
    """44 lbf on both sides of a wrap of 24.1 deg: 2 x 44 sin(12.05 deg) = 18.4 lbf on the pin."""
    demo = work_up(load(DEMO), ("grip",))
    facts = {f.label: f for f in demo.chapters["grip"].facts}
    assert facts["crank belts: load on the pin of I"].found.si / LBF == pytest.approx(18.4, rel=0.01)
    arm = facts["crank belts: pull on the idler's arm"].found.si
    assert arm * np.hypot(7.0 - 13.0, -2.88 + 6.0) / LBF == pytest.approx(103.6, rel=0.01)

"""Tension and grip worked up from builds: load cases, friction, idlers, draws, tension without a gauge.

Figures of the builds are an independent calculation: capstan exp(0.5123 wrap) in grooves with 0.40 as the
bad end, exp(0.30 wrap) on a dry flat and 0.20 damp, powers at the shaft named. Tensions agree to 5 %.
"""

from functools import partial
from pathlib import Path

import builders
import numpy as np
import pytest
from builders import check_of as check
from jackshaft.buildfile import DEMO, BuildProblems, load, parse
from jackshaft.chapters.grip import CHAPTER
from jackshaft.chapters.grip.facts import percent
from jackshaft.chapters.grip.idler_table import STRETCH, add_to, try_on
from jackshaft.chapters.grip.uncertainty import COUNT
from jackshaft.mechanics import draws
from jackshaft.mechanics import path as belt_path
from jackshaft.results import Detail, Scope, work_up
from jackshaft.results.findings import Draft
from scipy.stats import spearmanr
from shaft_builds import TEXT, TWO_BELTS, build_of

INCH, LBF = 0.0254, 4.4482216152605
CHIPPER = Path(__file__).parents[1] / "builds" / "flywheel_chipper.toml"
FIRST, SECOND = "stage[first belt]", "stage[second belts]"
sheet = partial(builders.sheet, chapter="grip")


def tension(value):
    return pytest.approx(value, rel=0.05)


def grip_of(build, stage):
    return work_up(build, ("grip",)).chapters["grip"].data[stage]


def changed(name, values):
    return work_up(build_of(name).with_values(values), ("grip",))


@pytest.fixture(scope="module")
def two():
    return work_up(build_of(TWO_BELTS), ("grip",))


# -- the builds ------------------------------------------------------------------------------------


def test_each_pulley_asks_for_its_slack_tension():
    """The feed-wagon auger: 31.6 lbf of pull, wraps 175.8° and 208.3° (independent calculation), by the capstan law."""
    rows = {(r[0], r[1]): r for r in sheet(work_up(load(DEMO), ("grip",)), "crank belts: friction").rows}
    slack = {name: float(rows[name, "groove, clean, as designed for"][5].split()[0]) for name in "EJ"}
    by_hand = {name: 31.6 / (np.exp(0.5123 * np.radians(wrap)) - 1) for name, wrap in (("E", 175.8), ("J", 208.3))}
    assert slack == {name: tension(value) for name, value in by_hand.items()}
    assert slack["E"] == tension(44 / 5.31)


def test_mixer_starting_strands_and_deflection():
    """The drum mixer: 109.6 lbf starting, 151.6 tight and 42.0 slack; span 19.0 in gives 0.297 in."""
    grip = work_up(load("drum_mixer"), ("grip",)).chapters["grip"].data["motor belt"]
    start = grip.case("start")
    assert np.max(np.abs(start.pulls)) / LBF == tension(109.6)
    assert start.tight / LBF == tension(151.6) and start.slack / LBF == tension(42.0)
    assert grip.set.best.distance / INCH == pytest.approx(0.297, abs=5e-4)


def test_trommel_strands_with_the_service_factor():
    """The compost trommel: 286 N with factor 1.3, 377 and 91 N; 16 mm a metre on 590 mm gives 9.4 mm."""
    results = work_up(load("compost_trommel"), ("grip",))
    row = next(r for r in sheet(results, "least tension").rows if r[0] == "work × service factor")
    assert [float(t.split()[0]) for t in row[2:5]] == [tension(286), tension(377), tension(91)]
    assert results.chapters["grip"].data["belt"].set.best.distance * 1e3 == pytest.approx(9.4, abs=0.05)


def test_the_chippers_spring_holds_the_wrong_strand():
    """The flywheel chipper: the spring's 60 lbf stand in the tight strand, so E slips at 0.16 of the work, 0.13 at the
    bad end, and at the shock nothing of this size survives it (independent calculation)."""
    results = work_up(load(CHIPPER), ("grip",))
    found = results.chapters["grip"].data["wheel belts"]
    assert found.margin == pytest.approx(0.16, abs=0.005) and found.margin_bad == pytest.approx(0.13, abs=0.005)
    assert found.pull / LBF == tension(188)
    assert check(results, "grip.margin[wheel belts]").verdict == "stop"
    assert check(results, "grip.idlers[wheel belts]").verdict == "stop"
    assert "survives" in check(results, "grip.peak[wheel belts]").reason
    assert "survives" not in check(results, "grip.margin[wheel belts]").reason
    assert "climbs off" not in check(results, "grip.flat[wheel belts]").reason


def test_a_remedy_gives_no_number_and_a_needed_tension_holds(two):
    """Locked centres: half the pull times (R + 1) / (R - 1), R at 0.40, and m v^2, over the three quarters that a
    tension set by hand may come down to."""
    assert not any(c.isdigit() for c in check(two, "grip.margin[second belts]").remedy)
    grip = two.chapters["grip"].data["second belts"]
    ratio = np.exp(0.40 * grip.layout.path.wrap[grip.layout.pulleys.driver])
    low = 0.5 * grip.pull * (ratio + 1) / (ratio - 1) + grip.centrifugal
    assert grip.case("work").needed_bad == pytest.approx(low / 0.75)
    each = low / 0.75 / grip.belts / LBF
    for tension_set, verdict in ((45, "caution"), (0.98 * each, "caution"), (1.01 * each, "go")):
        results = changed(TWO_BELTS, {f"{SECOND}.takeup.static_tension": f"{tension_set:.3f} lbf"})
        assert check(results, "grip.margin[second belts]").verdict == verdict


# -- load cases --------------------------------------------------------------------------------------


def test_two_pulleys_are_the_textbook_formula(two):
    """T = pull/2 (R + 1)/(R - 1) + m v^2 with R = exp(k wrap): Budynas and Nisbett, ch. 17."""
    layout = work_up(build_of(TWO_BELTS), ("layout",)).chapters["layout"].data["second belts"]
    grip = two.chapters["grip"].data["second belts"]
    ratio = np.exp(0.5123 * layout.path.wrap[layout.pulleys.driver])
    for case in grip.cases:
        pull = np.max(np.abs(case.pulls))
        assert case.needed == pytest.approx(0.5 * pull * (ratio + 1) / (ratio - 1) + case.centrifugal, rel=1e-6)
        assert case.tight - case.slack == pytest.approx(pull)
        assert case.tight / case.slack == pytest.approx(ratio, rel=1e-6)


def test_needed_tension_just_holds(two):
    """Set what a case needs and its margin is one: for the spring and for locked centres, start to overrun."""
    at = {"first belt": f"{FIRST}.takeup.slack_tension", "second belts": f"{SECOND}.takeup.static_tension"}
    for stage, key in at.items():
        grip = two.chapters["grip"].data[stage]
        for case in grip.cases:
            each = case.needed / (1 if grip.sprung else grip.belts)
            again = grip_of(build_of(TWO_BELTS).with_values({key: f"{each:.9g} N"}), stage)
            if case.name != "jam":  # a jam takes what there is
                assert again.case(case.name).least == pytest.approx(1.0, rel=1e-5)


def test_overrun_swaps_tight_and_slack(two):
    grip = two.chapters["grip"].data["second belts"]
    work, back = grip.case("work"), grip.case("overrun")
    assert np.argmax(work.net) != np.argmax(back.net)
    assert back.net == pytest.approx(work.net[::-1])
    assert np.allclose(back.pulls, -work.pulls)


def test_a_sprung_idler_in_the_tight_strand_of_the_overrun_is_called_out(two):
    found = check(two, "grip.overrun[first belt]")
    assert found.verdict == "caution" and "idler, on the spring" in found.reason
    assert all(w in found.remedy for w in ("Bolt a stop", "pushing it back", "work.overrun_factor", "0.2 to 0.5"))
    # The spring holds the tight strand now, so all it has must do for tight and slack together: E lets go at
    # 25 (1 - 1/R) of the pull of 30.3 lbf (3 hp at 2500 rpm on 5 in), R = exp(0.5123 x 160.4 deg).
    ratio = np.exp(0.5123 * np.radians(160.4))
    assert two.chapters["grip"].data["first belt"].case("overrun").least == tension(25 * (1 - 1 / ratio) / 30.25)


@pytest.mark.parametrize(("factor", "verdict"), [("0", "go"), ("0.5", "caution"), ("0.6", "caution"), ("0.7", "stop")])
def test_overrun_is_graded_once_it_is_known(factor, verdict):
    """It holds 0.63 times the work, 0.56 at the bad end; on a sprung idler a go is still a caution."""
    assert check(changed(TWO_BELTS, {"work.overrun_factor": factor}), "grip.overrun[first belt]").verdict == verdict


@pytest.mark.parametrize(("factor", "known", "guess"), [("0", "go", "caution"), ("0.2", "go", "caution")])
def test_a_guessed_overrun_makes_no_verdict_better(factor, known, guess):
    """At 23 lbf it holds some 0.55 times the work, 0.34 at the bad end: 0.2 is less, the 0.5 it may be is more."""
    set_to = {"stage[second belts].takeup.static_tension": "23 lbf"}

    def judged(how):
        text = TEXT.replace("peak_factor", f'overrun_factor = {{ value = {factor}, known = "{how}" }}\npeak_factor')
        build = parse(text.encode(), file="two_belts.toml").with_values(set_to)
        return check(work_up(build, ("grip",)), "grip.overrun[second belts]")

    assert (judged("measured").verdict, judged("assumed").verdict) == (known, guess)
    assert "guess" in judged("assumed").reason


def test_locked_centres_do_not_know_their_overrun(two):
    found = check(two, "grip.overrun[second belts]")
    assert "0.2 to 0.5" in found.reason and "no source" in found.reason
    assert found.verdict == "not decidable" and found.missing == ("work.overrun_factor",)


def test_the_start_loses_nothing_to_speed(two):
    """At the start the belt stands: a locked drive grips with all of its tension, a sprung one as ever."""
    for stage, gain in (("second belts", True), ("first belt", False)):
        grip = two.chapters["grip"].data[stage]
        assert (grip.case("start").least > grip.case("work").least * (1 + 1e-6)) is gain


def test_a_loaded_start_is_judged():
    results = changed(
        "drum_mixer",
        {
            "stage[motor belt].takeup.kind": "adjustable centres",
            "stage[motor belt].takeup.static_tension": "70 lbf",
            "work.power": {"value": "1.5 hp", "known": "measured"},
        },
    )
    assert check(results, "grip.margin[motor belt]").verdict == "go"
    assert check(results, "grip.start[motor belt]").verdict == "stop"


# -- traps -------------------------------------------------------------------------------------------


def test_trap_friction_with_the_wedge_counted_twice(two):
    """0.3 over the sine of 18 degrees is 21 at half a turn, the trade designs for 5; the table's groove is 5."""
    friction = two.chapters["grip"].data["first belt"].friction
    assert np.exp(friction.likely[0] * np.pi) == pytest.approx(5.0, rel=1e-3)
    assert np.exp(0.3 / np.sin(np.radians(18)) * np.pi) == pytest.approx(21, rel=0.01)
    twice = grip_of(build_of(TWO_BELTS).with_values({f"{FIRST}.friction_groove": "0.97"}), "first belt")
    assert twice.margin > 3.0 > two.chapters["grip"].data["first belt"].margin


def test_trap_spring_and_locked_centre_differ(two):
    """The same 25 lbf: a spring keeps the slack strand, a locked idler lets it fall as the tight one rises."""
    sprung = two.chapters["grip"].data["first belt"]
    fixed = {
        f"{FIRST}.takeup.kind": "fixed idler",
        f"{FIRST}.takeup.slack_tension": "",
        f"{FIRST}.takeup.static_tension": "25 lbf",
    }
    locked = changed(TWO_BELTS, fixed).chapters["grip"].data["first belt"]
    assert sprung.net.min() / LBF == pytest.approx(25.0)
    assert locked.net.min() < 25.0 * LBF < locked.net.max()
    assert locked.margin < sprung.margin
    assert locked.rest == pytest.approx(sprung.rest)


def test_a_sliding_motor_keeps_the_pull_on_its_shaft(two):
    """Both strands together stay what they were at rest, speed or no speed: slip at 2 T (R - 1)/(R + 1)."""
    results = changed(TWO_BELTS, {f"{SECOND}.takeup.kind": "sliding motor"})
    slides, locked = results.chapters["grip"].data["second belts"], two.chapters["grip"].data["second belts"]
    layout = work_up(build_of(TWO_BELTS), ("layout",)).chapters["layout"].data["second belts"]
    ratio = np.exp(0.5123 * layout.path.wrap[layout.pulleys.driver])
    assert slides.margin == pytest.approx(2 * 90 * LBF * (ratio - 1) / (ratio + 1) / slides.pull, rel=1e-6)
    assert slides.margin > locked.margin
    # Straight down from the jackshaft: the shaft is pulled down as hard in every load as at rest, 2 T sin(wrap/2).
    down = 2 * 90 * LBF * np.sin(layout.path.wrap[layout.pulleys.driver] / 2)
    for case in slides.cases:
        assert case.hub[layout.pulleys.driver, 1] == pytest.approx(-down)
    fact = next(f for f in results.chapters["grip"].facts if "sliding motor" in f.label)
    assert float(fact.value.split()[0]) == pytest.approx(down / LBF, rel=0.005)
    assert slides.set.keeps and not locked.set.keeps
    assert slides.shares.work > locked.shares.work


def test_trap_hub_load_at_rest_may_exceed_running():
    """Two pulleys: at rest 2 T cos(a), running less the part m v^2 that no shaft feels."""
    fast = changed(TWO_BELTS, {"work.power": "0.2 hp"})
    grip = fast.chapters["grip"].data["second belts"]
    rest, run = np.hypot(*grip.hub_rest.T), np.hypot(*grip.hub.T)
    assert np.all(rest > run)
    assert rest - run == pytest.approx(rest * grip.centrifugal / grip.rest, rel=0.02)
    assert "more than running" in sheet(fast, "second belts: hub loads").note
    slow = sheet(fast, "first belt: hub loads").note
    assert "None of them" in slow  # the spring balances the net tension, so there is nothing to lose


# -- friction ----------------------------------------------------------------------------------------


def test_friction_of_the_build_comes_before_the_table(two):
    table = two.chapters["grip"].data["first belt"]
    own = grip_of(build_of(TWO_BELTS).with_values({f"{FIRST}.friction_groove": "0.40"}), "first belt")
    assert own.margin == pytest.approx(table.margin_bad)
    # An end that is not given keeps its share of the likely value.
    share = table.friction.bad[0] / table.friction.likely[0]
    assert own.friction.bad[0] / own.friction.likely[0] == pytest.approx(share)
    both = grip_of(
        build_of(TWO_BELTS).with_values({f"{FIRST}.friction_groove": "0.45", f"{FIRST}.friction_groove_bad": "0.30"}),
        "first belt",
    )
    assert (both.friction.likely[0], both.friction.bad[0]) == (0.45, 0.30)


def test_a_bad_end_above_the_likely_value_is_refused():
    with pytest.raises(BuildProblems, match="bad end"):
        build_of(TWO_BELTS).with_values({f"{FIRST}.friction_groove": "0.4", f"{FIRST}.friction_groove_bad": "0.5"})


@pytest.mark.parametrize(("place", "bad"), [("outdoors", 0.15), ("under cover", 0.20), ("indoors", 0.20)])
def test_the_bad_end_of_a_flat_goes_by_the_place(place, bad):
    grip = grip_of(load(CHIPPER).with_values({"place": place}), "wheel belts")
    assert grip.friction.bad[1] == bad and grip.friction.likely[1] == 0.30


def test_plastic_grips_less_than_steel():
    grip = grip_of(load(CHIPPER).with_values({"stage[wheel belts].pulley[F].material": "plastic"}), "wheel belts")
    assert grip.friction.likely[1] == 0.25


def test_every_coefficient_names_its_source(two):
    for words in ("first belt: friction", "second belts: friction"):
        assert all(row[-1] for row in sheet(two, words).rows)


# -- idlers ------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def tight():
    """The two belts with one more idler on the back of the tight strand."""
    at = f"{FIRST}.pulley"
    what = {
        "x": "9 in",
        "y": "-5.9 in",
        "diameter": "4 in",
        "measured_as": "pitch",
        "side": "outside",
        "surface": "flat",
    }
    return build_of(TWO_BELTS).with_values(
        {at: ("small", "idler", "large", "tight")} | {f"{at}[tight].{key}": text for key, text in what.items()}
    )


def test_a_tight_idler_is_called_out_with_the_better_place(tight):
    results = work_up(tight, ("grip",))
    found, grip = check(results, "grip.idlers[first belt]"), results.chapters["grip"].data["first belt"]
    assert found.verdict == "caution" and "tight in the tight strand" in found.value
    said = float(found.reason.split("hub load of tight ")[1].split(" lbf")[0])
    assert said == pytest.approx(np.hypot(*grip.hub[3]) / LBF, abs=0.06)
    assert "from small to idler" in found.reason


def test_a_spring_on_the_tight_strand_is_a_stop(tight):
    results = work_up(tight.with_values({f"{FIRST}.takeup.idler": "tight"}), ("grip",))
    found = check(results, "grip.idlers[first belt]")
    assert found.verdict == "stop" and "tight is the idler on the spring" in found.reason and "idler" in found.remedy


def test_no_idler_takes_up_more_than_two_for_one(two):
    rows = [float(r[1].split()[0]) for r in sheet(two, "take-up of the idlers").rows]
    assert rows and all(0.0 < r <= 2.0 for r in rows)


def test_the_arm_takes_up_what_the_path_says(two):
    """The idler moved a little along its arm: the length by the path kernel against the table's rate."""
    build = build_of(TWO_BELTS)
    layout = work_up(build, ("layout",)).chapters["layout"].data["first belt"]
    (px, py), (x, y) = layout.pivot, (layout.places.x[1], layout.places.y[1])
    step = 1e-4
    turned = []
    for sign in (-1, 1):
        a = sign * step / np.hypot(x - px, y - py)
        xs, ys = layout.places.x.copy(), layout.places.y.copy()
        xs[1] = px + np.cos(a) * (x - px) - np.sin(a) * (y - py)
        ys[1] = py + np.sin(a) * (x - px) + np.cos(a) * (y - py)
        turned.append(float(belt_path.path_si(xs, ys, layout.pulleys.pitch, layout.pulleys.inside, layout.ccw).length))
    rate = abs(turned[1] - turned[0]) / (2 * step)
    row = next(r for r in sheet(two, "take-up of the idlers").rows if r[0].startswith("idler"))
    assert float(row[1].split()[0]) == pytest.approx(rate, abs=0.006)


def test_a_tried_idler_takes_up_the_stretch():
    """Put the tried idler into the build as a third pulley: the path grows by what was asked for."""
    build = load("drum_mixer")
    layout = work_up(build, ("layout",)).chapters["layout"].data["motor belt"]
    wanted = STRETCH * float(layout.path.length)
    tried = try_on(layout, 0, False, wanted)
    # Touching to the wanted length: a string over a small wheel pressed by h at a share s of a span L takes up
    # about h^2 / (2 L s (1 - s)); the real wheel needs less travel, never more than that.
    span = float(layout.path.span[0])
    longest = np.sqrt(2 * span * wanted * 0.25)
    assert 0.5 * longest < tried.travel < 1.6 * longest
    assert tried.wraps[0] > 0 and tried.wraps[1] > 0  # on the back it adds wrap to both
    inner = try_on(layout, 0, True, wanted)
    assert inner.wraps[0] < 0 and inner.wraps[1] < 0  # inside it costs wrap on both


def test_where_nothing_fits_it_is_said():
    """Two pulleys that nearly touch leave no strand to press on."""
    near = changed("drum_mixer", {"stage[motor belt].centres": "9 in"})
    assert not any("one more idler" in t.title for t in near.chapters["grip"].tables)
    fact = next(f for f in near.chapters["grip"].facts if f.label == "motor belt: one more idler")
    assert "no strand has room" in fact.note


# -- draws -------------------------------------------------------------------------------------------


def test_draws_against_a_plain_second_reckoning():
    """The sprung loop slips at E: margin = T (exp(k wrap) - 1) / (P / v). Drawn anew with another seed."""
    grip = grip_of(build_of(TWO_BELTS).with_values({f"{FIRST}.takeup.slack_tension": "10.5 lbf"}), "first belt")
    rng, many = np.random.default_rng(77), 200_000
    k = rng.triangular(0.40, 0.5123, 0.5124, many)
    held = 10.5 * rng.uniform(0.9, 1.1, many)
    pull = 30.25 * rng.uniform(0.9, 1.1, many) / rng.uniform(1 - 20 / 2500, 1 + 20 / 2500, many)
    holds = np.mean(held * (np.exp(k * np.radians(160.4)) - 1) / pull >= 1.0)
    assert 0.3 < holds < 0.9
    assert grip.shares.work == pytest.approx(holds, abs=0.02)
    assert grip.shares.count == COUNT >= 10_000 and grip.shares.counts.sum() == COUNT


def test_draws_are_the_same_again_and_grow_with_tension():
    def share(lbf):
        return grip_of(
            build_of(TWO_BELTS).with_values({f"{SECOND}.takeup.static_tension": f"{lbf} lbf"}), "second belts"
        ).shares.work

    found = [share(t) for t in (30, 40, 45, 50, 70)]
    assert found == sorted(found) and found[0] == 0.0 and found[-1] == 1.0
    assert share(45) == found[2]


def test_a_tolerance_of_the_build_is_used_and_told():
    loose = build_of(TWO_BELTS).with_values({f"{FIRST}.takeup.slack_tension": "25 lbf ± 10 lbf"})
    results = work_up(loose, ("grip",))
    shares = results.chapters["grip"].data["first belt"].shares
    assert shares.drivers[0][0] == "belt tension" and shares.drivers[0][2] == 1
    row = next(r for r in sheet(results, "first belt: what the scatter").rows if r[0] == "belt tension")
    assert row[1:3] == ("± 40 %", "the build")
    assert sum(share for _, share, _ in shares.drivers) == pytest.approx(1.0, abs=0.1)


def test_common_tolerances_are_declared(two):
    rows = sheet(two, "second belts: what the scatter").rows
    assert {r[0] for r in rows} == {
        "load",
        "belt tension",
        "friction in the grooves",
        "diameters",
        "centres",
        "engine speed",
    }
    assert next(r for r in rows if r[0] == "engine speed")[2] == "the build"
    assert next(r for r in rows if r[0] == "load")[2] == "common practice, no source"


def test_what_drives_the_scatter_is_the_squared_rank_correlation():
    """Against the statistics library's Spearman coefficient; draws without an outcome are left out by both."""
    rng = np.random.default_rng(5)
    inputs = rng.random((4000, 4))
    inputs[:, 3] = 0.7
    outcome = 3 * inputs[:, 0] - inputs[:, 1] ** 3 + 0.2 * rng.random(4000)
    outcome[::50] = np.nan
    good = np.isfinite(outcome)
    found = draws.drivers_of_ranks_si(draws.ranks_si(inputs), outcome)
    for i in range(3):
        r = spearmanr(inputs[good, i], outcome[good]).statistic
        assert found.share[i] == pytest.approx(r * r, abs=1e-9) and found.sign[i] == np.sign(r)
    assert found.share[3] == 0.0


@pytest.mark.parametrize(
    ("share", "words"),
    [(1.0, "100 %"), (0.0, "0 %"), (0.9999, "over 99.9 %"), (0.0001, "under 0.1 %"), (0.552, "55.2 %")],
)
def test_all_and_none_are_said_only_where_it_is_so(share, words):
    assert percent(share) == words


# -- tension without a gauge ---------------------------------------------------------------------------


def test_force_and_frequency_of_a_strand(two):
    """F = T/16 + Y/16 with Y = 6 lbf for section A; T = 4 m L^2 f^2."""
    setting = two.chapters["grip"].data["second belts"].set
    strand = setting.best
    assert strand.force / LBF == pytest.approx(45 / 16 + 6 / 16, rel=1e-3)
    assert strand.force_new / LBF == pytest.approx(1.4 * 45 / 16 + 6 / 16, rel=1e-3)
    assert 4 * 0.105 * (strand.span * strand.frequency) ** 2 == pytest.approx(45 * LBF, rel=1e-6)
    assert setting.of_force(strand.force) == pytest.approx(45 * LBF)
    assert setting.of_frequency(strand.frequency, strand) == pytest.approx(45 * LBF)
    assert setting.of_force(0.0) < 0.0


def test_a_spring_needs_no_second_setting(two):
    for strand in two.chapters["grip"].data["first belt"].set.strands:
        assert strand.force == strand.force_new and strand.frequency == strand.frequency_new


def test_the_arm_balances_the_belt(two):
    """Moments about the pivot: belt on the idler at rest against the spring."""
    grip = two.chapters["grip"].data["first belt"]
    lever = np.array([8.0 - 12.0, 5.6 - 9.0]) * INCH
    belt = lever[0] * grip.hub_rest[1, 1] - lever[1] * grip.hub_rest[1, 0]
    assert grip.set.arm.moment == pytest.approx(-belt)
    assert grip.set.arm.square == pytest.approx(abs(belt) / np.hypot(*lever))


def test_spring_length_and_pull():
    """Hooke: pull = moment over lever; length = free + (pull - initial) / rate."""
    more = {
        f"{FIRST}.takeup.spring_lever": "3 in",
        f"{FIRST}.takeup.spring_rate": "10 lbf/in",
        f"{FIRST}.takeup.spring_free_length": "4 in",
        f"{FIRST}.takeup.spring_initial": "2 lbf",
    }
    results = changed(TWO_BELTS, more)
    arm = results.chapters["grip"].data["first belt"].set.arm
    assert arm.pull == pytest.approx(abs(arm.moment) / (3 * INCH))
    assert arm.spring_length / INCH == pytest.approx(4 + (arm.pull / LBF - 2) / 10)
    assert any("length of the spring" in f.label for f in results.chapters["grip"].facts)


def test_a_weight_on_the_wrong_side_is_refused():
    """A weight on B would swing the arm away from the belt; on a pivot across from it, it holds."""
    wrong = changed(TWO_BELTS, {f"{FIRST}.takeup.kind": "weighted idler"})
    right = changed(
        TWO_BELTS,
        {
            f"{FIRST}.takeup.kind": "weighted idler",
            f"{FIRST}.takeup.pivot_x": "12 in",
            f"{FIRST}.takeup.pivot_y": "-13 in",
        },
    )
    words = []
    for results in (wrong, right):
        arm = results.chapters["grip"].data["first belt"].set.arm
        words.append(next(f.value for f in results.chapters["grip"].facts if "weight hung" in f.label))
        assert (arm.weight > 0) == (words[-1] != "cannot hold it there")
    assert "cannot hold it there" in words and len(set(words)) == 2


def test_the_tag_says_how_to_set_it(two):
    tag = dict(two.chapters["grip"].data["second belts"].set.tag)
    assert tag["Belts"] == "2 × A75" and tag["Tension at rest"].startswith("45.0 lbf")
    assert "run in" in tag["Force on one belt"] and "new" in tag["Force on one belt"]
    mixer = work_up(load("drum_mixer"), ("grip",)).chapters["grip"].data["motor belt"].set
    assert not mixer.given and "not set yet" in dict(mixer.tag)["Tension at rest"]


def test_an_unknown_tension_still_tells_what_is_needed():
    results = work_up(load("drum_mixer"), ("grip",))
    grip = results.chapters["grip"].data["motor belt"]
    assert grip.margin is None and grip.shares is None and grip.needed > 0
    assert check(results, "grip.margin[motor belt]").verdict == "not decidable"
    assert [s.title for s in results.chapters["grip"].tables if "hub loads" in s.title] == []


def test_the_quick_way_leaves_out_only_tables(two):
    quick = work_up(build_of(TWO_BELTS), ("grip",), scope=Scope(Detail.NO_TABLES))
    assert [c.id + c.verdict for c in quick.checks] == [c.id + c.verdict for c in two.checks]
    assert quick.chapters["grip"].facts == two.chapters["grip"].facts
    assert quick.chapters["grip"].tables == () and two.chapters["grip"].tables


def test_a_crossed_belt_has_no_idler_table():
    layout = work_up(load("drum_mixer"), ("layout",)).chapters["layout"].data["motor belt"]
    crossed = layout._replace(pulleys=layout.pulleys._replace(crossed=True))
    draft = Draft(CHAPTER)
    add_to(draft, None, crossed, None)
    assert draft.tables == [] and draft.facts == []

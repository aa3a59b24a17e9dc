"""What the layout search offers against the pages: every requirement holds there too, and the arm is followed alike."""

from __future__ import annotations

import numpy as np
import pytest
from jackshaft.buildfile import DEMO, load
from jackshaft.mechanics import path
from jackshaft.results import work_up
from jackshaft.results.checks import CAUTION, GO, STOP
from jackshaft.search import Run, problem_of
from jackshaft.search import engine as engine_file
from jackshaft.search.found import holds, layout_of, layouts_of
from jackshaft.search.measuring import hold_of, rows_of
from loops import outside

BELTS = "stage[crank belts]"
#: A post between the crank and the jackshaft, below the belts, where the search puts most idlers.
POST = {"x": "6 in", "y": "-7 in", "diameter": "1 in"}
#: What the search asks for by itself, as the pages' checks.
REQUIRED = ("layout.path", "layout.length", "layout.take-up", "layout.clearance", "grip.margin", "grip.peak")


def with_post():
    build = load(DEMO).with_values({f"{BELTS}.body": ("post",)})
    return build.with_values({f"{BELTS}.body[post].{key}": text for key, text in POST.items()})


def test_each_layout_offered_beside_a_body_holds_on_the_pages():
    run = Run(problem_of(with_post(), "crank belts"), 60_000).finish()
    offered, spoilt = layouts_of(run, 10), []
    assert len(offered) == 10
    for one in offered:
        found, words = holds(one)
        assert found is not None, words
        assert found.verdict != STOP, words
        written = {c.id: c.verdict for chapter in found.results.raw.values() for c in chapter.checks}
        verdicts = {id.partition("[")[0]: verdict for id, verdict in written.items()}
        assert all(verdicts[id] == GO for id in REQUIRED), (one.letter, verdicts)
        # at the ends of what is known within a band only, what is said is what a builder reads of it
        pages = {c.id: c.verdict for c in work_up(one.build, at_ends=True).checks}
        assert {c.id: c.verdict for c in found.checks} == {c.id: pages[c.id] for c in found.checks}
        spoilt += [c.id for c in found.checks if written[c.id] == GO != c.verdict]
        assert found.gap == pytest.approx(one.values["gap"], abs=1e-7) and found.gap >= run.problem.clearance_least
        assert found.margin_bad == pytest.approx(one.values["margin_bad"], rel=1e-6)
        assert found.power == pytest.approx(one.values["power"], rel=1e-6) and found.power >= found.design
    # seen: a grip at the peak that fails with the tension at the low end of its band was offered as a go
    assert spoilt


def test_the_body_is_what_keeps_some_of_them_out():
    """Of what is offered with nothing in the way the page stops some once the post stands there."""
    free = Run(problem_of(load(DEMO), "crank belts"), 60_000).finish()
    post = with_post()
    stopped = [
        one for one in layouts_of(free, 10)
        if any(
            c.id.startswith("layout.clearance") and c.verdict == STOP
            for c in work_up(post.with_values(one.changes), ("layout",)).of("layout")
        )
    ]  # fmt: skip
    assert stopped


@pytest.fixture(scope="module")
def followed():
    """A search of the small loop, each measured in full, and what its arms were found to do."""
    at, seen, lacks, own = "stage[loop].search", [], [], engine_file.arm_short_of
    asked = {"zone_left": "8 in", "zone_right": "20 in", "zone_low": "-12 in", "zone_high": "12 in"}
    asked |= {"idler_sizes": "3 in, 4 in, 5 in", "driver_sizes": "4.6 in to 5.6 in by 0.2 in"}
    asked["driven_sizes"] = "11.5 in, 12 in, 13 in"
    build = outside().with_values({f"{at}.{k}": v for k, v in asked.items()})
    run = Run(problem_of(build, "loop"), 12_000)
    for front in run._fronts:
        front.may_enter = lambda aims: np.ones(len(aims), bool)

    def noted(problem, pattern, fitted, gap):
        short = own(problem, pattern, fitted, gap)
        lacks.append((pattern, fitted, short))
        seen.append((pattern, fitted, gap, short <= 0.0))
        return short

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(engine_file, "arm_short_of", noted)
        run.finish()
    return run, seen, lacks


@pytest.mark.parametrize("follows", [True, False])
def test_an_arm_is_followed_as_the_page_follows_it(followed, follows):
    """Seen: arms that the page passes were refused, because the way was looked at in a few coarse turns."""
    run, seen, _ = followed
    rng, tried = np.random.default_rng(1), 0
    for pattern, fitted, gap, good in seen:
        for k in rng.permutation(np.flatnonzero(good == follows))[:4]:
            one = fitted.at(np.array([k]))
            number = next(n for n, p in enumerate(run.patterns) if p is pattern)
            held = hold_of(run.problem, pattern, one)[0]
            row = rows_of(run.problem, pattern, one, held, number=number, gap=gap[[k]])[0][0]
            results = work_up(layout_of(run.problem, run.patterns, row).build, ("layout",))
            at = {c.id.partition("[")[0]: c.verdict for c in results.of("layout")}
            # what the arm follows it must also have room for, all the way
            room = at["layout.clearance"] not in (STOP, CAUTION)
            assert (at["layout.take-up"] != STOP and room) == follows
            tried += 1
    assert tried >= 8


def test_an_arm_that_follows_finds_the_stretch_within_a_quarter_turn(followed):
    """By plain turning of one arm in tenths of a degree: 1.5 % more belt is there before the belt loses its way."""
    run, seen, _ = followed
    px, py = run.problem.pivot
    tried = 0
    for pattern, fitted, _, good in seen:
        for k in np.flatnonzero(good)[:3]:
            x, y, r = (a[:, k].copy() for a in fitted.loops[:3])
            ax, ay, i = x[pattern.moves] - px, y[pattern.moves] - py, pattern.moves
            start, reached = float(fitted.found.length[k]), []
            for way in (1, -1):
                for turn in np.radians(np.arange(0.1, 90.1, 0.1)) * way:
                    x[i] = px + ax * np.cos(turn) - ay * np.sin(turn)
                    y[i] = py + ax * np.sin(turn) + ay * np.cos(turn)
                    there = path.path_si(x, y, r, pattern.inside, run.problem.ccw)
                    if there.reason != 0 or there.length < start:
                        break
                    if there.length >= 1.015 * start:
                        reached.append(way)
                        break
            assert reached
            tried += 1
    assert tried >= 6


def test_an_arm_that_does_not_follow_lacks_what_belt_is_left_to_take_up(followed):
    """By plain turning of one arm in tenths of a degree, the way that takes belt up, until the belt loses its way or
    grows no more: what is left of 1.5 % more belt."""
    run, _, lacks = followed
    (px, py), shares = run.problem.pivot, []
    for pattern, fitted, short in lacks:
        for k in np.flatnonzero(short > 1.0)[:3]:
            x, y, r = (a[:, k].copy() for a in fitted.loops[:3])
            i, start, most = pattern.moves, float(fitted.found.length[k]), []
            ax, ay = x[i] - px, y[i] - py
            for way in (1, -1):
                lengths = [start]
                for turn in np.radians(np.arange(0.1, 90.1, 0.1)) * way:
                    x[i] = px + ax * np.cos(turn) - ay * np.sin(turn)
                    y[i] = py + ax * np.sin(turn) + ay * np.cos(turn)
                    there = path.path_si(x, y, r, pattern.inside, run.problem.ccw)
                    if there.reason != 0 or there.length < lengths[-1]:
                        break
                    lengths.append(float(there.length))
                most.append(lengths[-1] - start)
            # a tenth of a degree here and a sixteenth on the page, by a metre a radian at most
            assert (2.0 - short[k]) * 0.015 * start == pytest.approx(max(most), abs=0.003)
            shares.append(short[k])
    assert len(shares) >= 6 and np.ptp(shares) > 0.1


ON_CLUTCH = {"clutch.kind": "electromagnetic", "clutch.shaft": "engine"}


@pytest.mark.parametrize(
    ("said", "sizes", "most", "told"),
    [
        (True, {5.0}, 1, "is built into the clutch"),
        (None, {5.0, 5.5}, 2, "It is not known"),
        (False, {5.0, 5.5}, 2, ""),
    ],
)
def test_the_search_leaves_a_pulley_that_is_one_piece_with_the_clutch(said, sizes, most, told):
    """Seen: a layout was offered with another size of the pulley that is part of the clutch."""
    asked = {"stage[loop].search.driver_sizes": "5 in, 5.5 in", "stage[loop].search.belts_most": 2}
    build = outside(**ON_CLUTCH, **asked, **({} if said is None else {"clutch.pulley_built_in": said}))
    problem = problem_of(build, "loop")
    assert set(np.round(problem.driver_sizes / 0.0254, 6)) == sizes and problem.belts_most == most
    notes = [n for n in problem.notes if "clutch" in n]
    assert len(notes) == bool(told) and all(told in n for n in notes)

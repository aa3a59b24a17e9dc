"""The layout search against plain loops: what is found holds, nothing dominates it, and memory stays where it is."""

from __future__ import annotations

import itertools
import tracemalloc

import numpy as np
import pytest
from jackshaft.buildfile import load
from jackshaft.mechanics import path
from jackshaft.results.checks import STOP
from jackshaft.search import NothingCanWork, Run, SizesError, aims_of, problem_of, read_sizes
from jackshaft.search import engine as engine_file
from jackshaft.search import run as run_file
from jackshaft.search.fields import AT, FIELDS, POWER
from jackshaft.search.found import check, holds, layout_of, layouts_of
from jackshaft.search.front import Front, not_dominated, spread_out
from jackshaft.search.places import Places, spread_of
from loops import TEXT as OUTSIDE
from loops import outside, outside_at
from scipy.optimize import brentq
from shaft_builds import TWO_BELTS, build_of, two_belts_at

INCH = 0.0254
EXACT = [1e-9] * 5


def asked_of(search):
    """A zone and a few sizes for the loop of ``loops``."""
    asked = {
        "zone_left": "8 in",
        "zone_right": "20 in",
        "zone_low": "-12 in",
        "zone_high": "12 in",
        "idler_sizes": "4 in, 4.5 in",
        "driver_sizes": "5 in, 5.5 in",
        "driven_sizes": "12 in, 13 in",
        **search,
    }
    return {f"stage[loop].search.{k}": v for k, v in asked.items()}


def loop(**search):
    """A loop with its driven pulley outside, to be searched."""
    return outside(**asked_of(search))


def pair(**changes):
    """Two pulleys on moving centres, to be searched."""
    at = "stage[second belts]"
    return build_of(TWO_BELTS).with_values({f"{at}.{k}": v for k, v in changes.items()})


@pytest.fixture(scope="module")
def searched():
    problem = problem_of(loop(), "loop")
    return Run(problem, 50_000).finish()


def in_full(run):
    """Finish a run that measures every layout in full, also those that something kept dominates."""
    for front in run._fronts:
        front.may_enter = lambda aims: np.ones(len(aims), bool)
    return run.finish()


def plainly_not_dominated(aims):
    """Every row against every other, one number at a time."""
    return [
        not any(all(b[k] <= a[k] for k in range(len(a))) and any(b[k] < a[k] for k in range(len(a))) for b in aims)
        for a in aims
    ]


# -- sizes ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "system", "wanted"),
    [
        ("3 in, 4 in, 4-1/2 in", "inch", [76.2, 101.6, 114.3]),
        ("3, 4-1/2 in; 100 mm", "inch", [76.2, 114.3, 100.0]),
        ("4 in to 5 in by 1/4 in", "inch", [101.6, 107.95, 114.3, 120.65, 127.0]),
        ("4 to 5 in by 1/2 in", "inch", [101.6, 114.3, 127.0]),
        ("31,5 mm; 40 mm", "metric", [31.5, 40.0]),
        ("31,5 mm, 40 mm", "metric", [31.5, 40.0]),
        ("4 in, 4 in", "inch", [101.6, 101.6]),
        ("", "inch", []),
    ],
)
def test_sizes_are_read(text, system, wanted):
    assert read_sizes(text, system) * 1e3 == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("4", "no unit"),
        ("5 in to 4 in by 1/4 in", "does not rise"),
        ("4 in to 5 in by 0 in", "more than nothing"),
        ("0.1 in to 90 in by 0.1 in", "larger step"),
        ("-4 in", "more than nothing"),
        ("4 rpm", "length"),
        ("four in", "four"),
    ],
)
def test_bad_sizes_are_refused_with_the_reason(text, found):
    with pytest.raises(SizesError, match=found):
        read_sizes(text, "inch")


# -- places -----------------------------------------------------------------------------------------


def test_spread_places_are_even_and_the_same_every_time():
    # by definition of such a sequence in base 2, with the corner each edge holds every 64th once
    assert sorted(spread_of(1).random(63)[:, 0] * 64) == list(range(1, 64))
    points = spread_of(4)
    u = np.concatenate([points.random(1000), points.random(3096)]).T
    assert u.min() >= 0 and u.max() < 1
    assert np.array_equal(u, spread_of(4).random(4096).T)
    for row in u:
        assert np.histogram(row, 64, (0, 1))[0] == pytest.approx(64, abs=8)
    # Places in a plane: squares of equal size hold about as many.
    assert np.histogram2d(u[0], u[1], 8, ((0, 1), (0, 1)))[0] == pytest.approx(64, abs=16)


# -- those that none dominates -----------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("block", [3, 256])
def test_rows_that_none_dominates_are_those_of_the_plain_check(seed, block):
    rng = np.random.default_rng(seed)
    aims = rng.integers(1, 6, (150, 4)).astype(float) if seed % 2 else rng.uniform(1, 2, (150, 4))
    assert not_dominated(aims, block=block).tolist() == plainly_not_dominated(aims.tolist())


@pytest.mark.parametrize("seed", range(4))
def test_the_store_does_not_depend_on_the_order_and_keeps_what_is_best(seed):
    rng = np.random.default_rng(seed)
    aims = np.exp(rng.uniform(0, 1, (600, 3)))
    rows = np.arange(600.0)[:, None]
    stores = []
    for order in (np.arange(600), rng.permutation(600), rng.permutation(600)):
        store = Front(1, [0.05] * 3)
        for part in np.array_split(order, 9):
            store.add(aims[part], rows[part])
        stores.append(sorted(store.rows[:, 0].astype(int).tolist()))
    assert stores[0] == stores[1] == stores[2]
    kept = aims[stores[0]]
    # Nothing that was seen dominates what is kept, and what was seen is one bin better at most.
    assert not any((a <= k).all() and (a < k).any() for k in kept for a in aims)
    for a in aims:
        assert any((k <= a * 1.05**2).all() for k in kept)


def test_the_store_stays_small():
    rng = np.random.default_rng(0)
    store, most = Front(1, [0.05] * 3), 0
    for _ in range(40):
        aims = np.exp(rng.uniform(0, 1, (2000, 3)))
        store.add(aims, np.zeros((2000, 1)))
        most = max(most, len(store))
    # 1 / log(1.05) = 20.5 bins an aim: of 21^3 bins at most one in each line along an aim can stay.
    assert most <= 21 * 21


def test_rows_that_are_shown_differ():
    aims = np.array([[1.0, 4.0], [2.0, 2.0], [4.0, 1.0], [1.05, 3.95]])
    assert set(spread_out(aims, 3).tolist()) == {0, 1, 2}
    assert spread_out(np.zeros((0, 2)), 5).tolist() == [] and len(spread_out(aims, 99)) == 4


# -- what is found holds ----------------------------------------------------------------------------


def recheck(found):
    alone, words = holds(found)
    v = found.values
    assert alone is not None, words
    assert alone.length == pytest.approx(v["length"], abs=1e-7)
    assert alone.margin == pytest.approx(v["margin"], rel=1e-6)
    assert alone.margin_bad == pytest.approx(v["margin_bad"], rel=1e-6)
    assert alone.hub == pytest.approx(v["hub"], rel=1e-6)
    if alone.power is not None:
        assert alone.power == pytest.approx(v["power"], rel=1e-6)
        assert alone.design == pytest.approx(found.pattern.design[0], rel=1e-9) and v["power"] >= alone.design
    assert alone.gap == pytest.approx(v["gap"], abs=1e-7) if np.isfinite(v["gap"]) else alone.gap == np.inf
    return alone


def test_found_layouts_are_the_same_worked_up_alone(searched):
    assert len(searched.front) >= 5
    p = searched.problem
    for row in searched.front.rows[::3]:
        found = layout_of(p, searched.patterns, row)
        alone = recheck(found)
        v, build = found.values, found.build
        # The belt that is sold lies on the loop as it is drawn, and the page agrees.
        assert v["length"] == pytest.approx(p.stock.length[int(v["stock"])], abs=1e-8)
        assert [c for c in alone.checks if c.id.startswith("layout.") and c.verdict == STOP] == []
        assert v["margin_bad"] >= p.margin_least and v["gap"] >= p.clearance_least
        ratio = alone.results.chapters["ratio"].data
        speed = ratio.shaft(ratio.work_shaft).work
        assert ratio.band[0] * (1 - 1e-12) <= speed <= ratio.band[1] * (1 + 1e-12)
        assert next(c for c in alone.results.of("ratio") if c.id == "ratio.direction").verdict == "go"
        spots = [
            (build.get(f"{p.at}.pulley[{n}].x").si, build.get(f"{p.at}.pulley[{n}].y").si)
            for n in found.names
            if n not in ("E", "J")
        ]
        left, right, low, high = p.zone
        assert all(left - 1e-6 <= x <= right + 1e-6 and low - 1e-6 <= y <= high + 1e-6 for x, y in spots)


def test_wraps_are_those_of_the_single_layout(searched):
    """The kernel on one loop, with plain lists, gives the wraps that the page shows."""
    found = layouts_of(searched, 1)[0]
    alone, build = check(found.build, "loop"), found.build
    names = build.names("stage[loop].pulley")
    loop = [[build.get(f"stage[loop].pulley[{n}].{k}").si for n in names] for k in ("x", "y", "diameter")]
    inside = [build.get(f"stage[loop].pulley[{n}].side") != "outside" for n in names]
    one = path.path_si(loop[0], loop[1], np.array(loop[2]) / 2, np.array(inside), True)
    assert alone.wrap == pytest.approx(one.wrap, abs=1e-9)
    assert float(np.sum(one.turn * one.wrap)) == pytest.approx(2 * np.pi)


def test_nothing_that_was_seen_dominates_what_is_kept():
    run, seen = Run(problem_of(loop(), "loop"), 30_000), []
    for front in run._fronts:
        front.add = lambda aims, rows, add=front.add: (seen.append(aims), add(aims, rows))
    in_full(run)
    seen = np.concatenate(seen)
    assert len(seen) == run.held > len(run.front) > 1
    for kept in run.front.aims.tolist():
        assert not any(
            all(b <= a for a, b in zip(kept, other, strict=True)) and other != kept for other in seen.tolist()
        )
    # Each that was seen is matched by a kept one within one bin of each aim.
    width = np.exp(run.front.steps)
    for other in seen:
        assert (run.front.aims <= other * width * (1 + 1e-12)).all(axis=1).any()


def test_what_is_kept_is_the_same_whether_or_not_all_is_measured_in_full(searched):
    """Those that something kept dominates are dropped before their clearance and their arm are looked at."""
    full = in_full(Run(searched.problem, 50_000))
    assert np.array_equal(searched.front.rows, full.front.rows, equal_nan=True)
    assert searched.tried == full.tried and searched.held < full.held / 2


@pytest.mark.parametrize("seed", range(4))
def test_what_may_enter_is_what_changes_the_store(seed):
    rng = np.random.default_rng(seed)
    store = Front(1, [0.05] * 3)
    store.add(np.exp(rng.uniform(0, 1, (300, 3))), np.arange(300.0)[:, None])
    new = np.exp(rng.uniform(0, 1, (200, 3)))
    # some in the bin of a kept one, better by a hair and worse by a hair
    new[:40] = store.aims[rng.integers(0, len(store), 40)] * np.exp(rng.uniform(-1e-4, 1e-4, (40, 1)))
    may = store.may_enter(new)
    for k, aims in enumerate(new):
        one = Front(1, [0.05] * 3)
        one.add(store.aims, store.rows)
        one.add(aims[None], np.array([[1000.0]]))
        assert may[k] == (1000.0 in one.rows)
    assert may.any() and not may.all()


class Gridded(Places):
    """The middles of six by five squares of the zone, each with every pair and every size."""

    def __init__(self, problem, pattern):
        super().__init__(problem, pattern)
        self.parts, self.first = (*self.picks, 6, 5), 0

    def some(self, count):
        pair, size, x, y = np.unravel_index(np.arange(self.first, self.first + count), self.parts)
        self.first += count
        return self._fill(np.stack([(x + 0.5) / 6, (y + 0.5) / 5]), np.stack([pair, size]))


def test_the_best_set_of_a_small_grid_is_that_of_plain_loops(monkeypatch):
    """Every place and size of a coarse grid by loops over single layouts: root by bisection, grip by the page."""
    build = loop(
        driven_sizes="12 in",
        idlers_kept="K",
        idlers_most=1,
        zone_left="11 in",
        zone_right="17 in",
        zone_low="-11 in",
        zone_high="-6 in",
        margin_least="0.9",
        clearance_least="0.02 in",
    )
    problem = problem_of(build, "loop")
    monkeypatch.setattr(engine_file, "Places", Gridded)
    run, full = Run(problem, 10_000, steps=EXACT).finish(), in_full(Run(problem, 10_000, steps=EXACT))
    aims, tried = [], 0
    for pattern in run.patterns:
        xs = 11 * INCH + (np.arange(6) + 0.5) * INCH
        ys = -11 * INCH + (np.arange(5) + 0.5) * INCH
        for pair, size, x, y in itertools.product(range(len(pattern.pairs)), range(2), xs, ys):
            tried += 1
            aims += one_by_hand(problem, pattern, pair, size, x, y)
    assert tried == run.tried == run.tries and len(aims) == full.held > 20
    assert np.array_equal(run.front.rows, full.front.rows, equal_nan=True)
    best = {tuple(np.round(np.log(a), 5)) for a, good in zip(aims, plainly_not_dominated(aims), strict=True) if good}
    assert {tuple(np.round(np.log(a), 5)) for a in run.front.aims} == best
    assert len(best) > 3


def one_by_hand(problem, pattern, pair, size, x, y):
    """The aims of one try, for each count of belts, or nothing where it does not hold."""
    i = pattern.free[0]
    spots = {
        "driver": (0.0, 0.0, pattern.pairs.driver.r[pair]),
        "driven": (9.3 * INCH, 0.5 * INCH, pattern.pairs.driven.r[pair]),
        "kept 0": (14.5 * INCH, 8.0 * INCH, 2.25 * INCH),
        "idler 0": (x, y, pattern.idlers[0].r[size]),
    }
    loop = np.array([spots[s] for s in pattern.slots])

    def at(px, py):
        moved = loop.copy()
        moved[i, :2] = px, py
        return path.path_si(*moved.T, pattern.inside, problem.ccw)

    start = at(x, y)
    if start.reason != 0:
        return []
    wanted = min(problem.stock.length, key=lambda length: abs(length - float(start.length)))
    gx, gy = start.ux[i - 1] - start.ux[i], start.uy[i - 1] - start.uy[i]
    gx, gy = np.array([gx, gy]) / np.hypot(gx, gy)

    def over(t):
        found = at(x + t * gx, y + t * gy)
        return float(found.length) - wanted if found.reason == 0 else np.nan

    # Outwards from the start until the sign turns; a step of a millimetre follows every bend of the curve.
    step = -np.sign(over(0.0)) * 1e-3
    ends = [0.0, step]
    while np.isfinite(over(ends[1])) and over(ends[1]) * over(0.0) > 0 and abs(ends[1]) < 0.2:
        ends = [ends[1], ends[1] + step]
    if not np.isfinite(over(ends[1])) or over(ends[0]) * over(ends[1]) > 0:
        return []
    t = brentq(over, *ends, xtol=1e-14)
    px, py = x + t * gx, y + t * gy
    left, right, low, high = problem.zone
    if not (left <= px <= right and low <= py <= high):
        return []
    arm = np.array([px - 17 * INCH, py + 9.5 * INCH])
    ends = at(px, py)
    slope = np.array([ends.ux[i - 1] - ends.ux[i], ends.uy[i - 1] - ends.uy[i]])
    rate = abs(slope[1] * arm[0] - slope[0] * arm[1]) / np.hypot(*arm)
    if rate < 0.2:
        return []
    found = []
    for belts in range(1, problem.belts_most + 1):
        names = tuple({"driver": "E", "driven": "J", "kept 0": "K", "idler 0": "T"}[s] for s in pattern.slots)
        at_b = "stage[loop]"
        trial = problem.build.with_values(
            {
                f"{at_b}.pulley": names,
                f"{at_b}.pulley[T].x": f"{px / INCH} in",
                f"{at_b}.pulley[T].y": f"{py / INCH} in",
                f"{at_b}.pulley[T].diameter": f"{2 * pattern.idlers[0].r[size] / INCH} in",
                f"{at_b}.pulley[T].side": "inside" if pattern.inside[i] else "outside",
                f"{at_b}.pulley[E].diameter": f"{2 * pattern.pairs.driver.r[pair] / INCH} in",
                f"{at_b}.pulley[J].diameter": f"{2 * pattern.pairs.driven.r[pair] / INCH} in",
                f"{at_b}.belts": belts,
                # the page works the loop up with the belt that is on, and puts the idler where that one lets it
                f"{at_b}.marked": problem.stock.designation[list(problem.stock.length).index(wanted)],
            }
        )
        alone = check(trial, "loop")
        if (
            alone is None
            or alone.gap < problem.clearance_least
            or any(c.id.startswith("layout.take-up") and c.verdict == STOP for c in alone.checks)
            # the arm may carry the idler nearer while the belt wears
            or any(c.id.startswith("layout.clearance") and c.found.si < problem.clearance_least for c in alone.checks)
        ):
            # however many belts run there
            return []
        if alone.margin_bad < problem.margin_least:
            continue
        here = loop.copy()
        here[i, :2] = px, py
        stands = alone.results.chapters["layout"].data["loop"]
        if abs(stands.places.x[stands.idler] - px) > 1e-6:
            # The belt rubs where it was tried; the page found another place on the arm, which is another layout.
            assert stands.as_drawn.least_gap < problem.clearance_least
            continue
        # Rims of these sizes stand within the cord line of an AA belt or on it; the belt's back lies outside.
        layout = alone.results.chapters["layout"].data["loop"]
        rims = np.maximum(layout.pulleys.outside, layout.pulleys.pitch)
        order = [layout.pulleys.names.index(n) for n in names]
        edge = rims[order] + problem.belt.cord_depth
        wide, high_ = (float((here[:, k] + edge).max() - (here[:, k] - edge).min()) for k in (0, 1))
        have = {5.0: 1, 4.5: 1, 12.0: 1}
        bought = 0
        for s in (2 * pattern.pairs.driver.r[pair], 2 * pattern.pairs.driven.r[pair], 2 * pattern.idlers[0].r[size]):
            inch = round(s / INCH, 3)
            if have.get(inch, 0):
                have[inch] -= 1
            else:
                bought += 1
        on = abs(wanted - problem.stock.length[problem.stock.designation.index("AA80")]) < 1e-9
        bought += belts - 1 if on else belts
        found.append([1 / alone.margin_bad, alone.hub, float(belts), wide * high_, 1.0 + bought])
    return found


# -- other stages -----------------------------------------------------------------------------------


def test_moving_centres_are_put_where_a_belt_fits():
    problem = problem_of(
        pair(**{"takeup.static_tension": "90 lbf", "search.driver_sizes": "4 in to 4.6 in by 0.1 in"}), "second belts"
    )
    run = Run(problem, 10_000).finish()
    assert run.tried == len(run.patterns[0].pairs) * len(problem.stock.length) and len(run.front)
    for row in run.front.rows:
        found = layout_of(problem, run.patterns, row)
        recheck(found)
        assert 21.25 * INCH - 1e-9 <= found.values["centres"] <= 22.75 * INCH + 1e-9
        # Two circles and two tangents, by the textbook.
        r1, r2, c = found.values["driver"] / 2, found.values["driven"] / 2, found.values["centres"]
        lean = np.arcsin((r2 - r1) / c)
        length = 2 * c * np.cos(lean) + r1 * (np.pi - 2 * lean) + r2 * (np.pi + 2 * lean)
        assert length == pytest.approx(found.values["length"], abs=1e-7)


def test_an_idler_is_added_to_two_pulleys_and_the_build_can_be_kept(tmp_path):
    build = two_belts_at(tmp_path)
    build = build.with_values(
        {
            "stage[second belts].search.idlers_most": 1,
            "stage[second belts].takeup.static_tension": "90 lbf",
            "stage[second belts].search.margin_least": "0.9",
            "stage[second belts].search.idler_sizes": "4 in, 7 in",
        }
    )
    run = Run(problem_of(build, "second belts"), 60_000).finish()
    three = [r for r in run.front.rows if len(run.patterns[int(r[AT["pattern"]])].slots) == 3]
    assert three
    found = layout_of(run.problem, run.patterns, three[0])
    recheck(found)
    kept = load(build.path).save_values({"stage[second belts].takeup.static_tension": "90 lbf", **found.changes})
    assert len(kept.names("stage[second belts].pulley")) == 3
    assert check(kept, "second belts").margin_bad == pytest.approx(found.values["margin_bad"], rel=1e-9)


def test_an_idler_is_left_out_where_the_loop_does_without(tmp_path):
    file = outside_at(tmp_path)
    build = loop(idlers_most=1, margin_least="0.5", idler_sizes="3 in, 4 in, 5 in, 6 in", clearance_least="0.1 in")
    run = Run(problem_of(build, "loop"), 100_000).finish()
    assert len(run.front)
    found = layouts_of(run, 1)[0]
    assert len(found.names) == 3
    recheck(found)
    kept = file.save_values(found.changes)
    assert "K" not in kept.names("stage[loop].pulley") and kept.get("stage[loop].takeup.idler") == "T"


def test_a_slot_does_not_go_along_with_its_idler():
    at = "stage[first belt]"
    build = build_of(TWO_BELTS).with_values(
        {
            f"{at}.takeup.kind": "fixed idler",
            f"{at}.takeup.slack_tension": "",
            f"{at}.takeup.pivot_x": "",
            f"{at}.takeup.pivot_y": "",
            f"{at}.takeup.slot_x": "8 in",
            f"{at}.takeup.slot_y": "7 in",
            f"{at}.takeup.static_tension": "80 lbf",
            f"{at}.search.direction": "either",
            f"{at}.search.belts_most": 4,
            f"{at}.search.idler_sizes": "4 in, 8 in",
        }
    )
    run = Run(problem_of(build, "first belt"), 60_000).finish()
    assert any("slot" in n for n in run.problem.notes) and len(run.front)
    for row in run.front.rows[:6]:
        found = layout_of(run.problem, run.patterns, row)
        alone = recheck(found)
        assert found.changes[f"{at}.takeup.slot_x"] == "" == found.changes[f"{at}.takeup.slot_y"]
        assert next(c for c in alone.checks if c.id.startswith("layout.length")).verdict == "go"


def test_what_is_found_does_not_hang_on_the_units_it_is_shown_in():
    changes = {
        "takeup.static_tension": "80 lbf",
        "search.driver_sizes": "4 in, 4.4 in",
        "search.driven_sizes": "16 in, 16.4 in",
    }
    runs = [
        Run(problem_of(pair(**changes).with_values({"shown_in": s}), "second belts"), 10_000).finish()
        for s in ("inch", "metric")
    ]
    assert len(runs[0].front) and np.allclose(runs[0].front.rows, runs[1].front.rows, equal_nan=True)
    for found in layouts_of(runs[1]):
        recheck(found)


# -- running ----------------------------------------------------------------------------------------


def test_a_stop_keeps_what_was_found():
    run, calls = Run(problem_of(loop(), "loop"), 1_000_000), []
    while not run.done:
        run.step()
        calls.append(run.share)
        if len(run.front) >= 3:
            run.stop()
    assert run.stopped and run.done and len(run.front) >= 3 and run.tried < run.tries
    assert calls == sorted(calls) and 0 < calls[-1] < 1
    assert len(layouts_of(run)) >= 3
    before = run.front.rows.copy()
    run.step()
    assert np.array_equal(run.front.rows, before, equal_nan=True)


def test_the_same_search_finds_the_same_again(searched):
    again = Run(searched.problem, searched.tries).finish()
    assert np.array_equal(again.front.rows, searched.front.rows, equal_nan=True) and again.tried == searched.tried


def test_memory_is_bounded_and_does_not_grow_with_what_is_tried(monkeypatch):
    monkeypatch.setattr(run_file, "TURNS", 1)
    monkeypatch.setattr(run_file, "CHUNK", 1024)  # so that a short search too takes whole chunks
    problem, peaks = problem_of(loop(), "loop"), []
    Run(problem, 5_000).finish()
    for tries in (20_000, 60_000):
        tracemalloc.start()
        Run(problem, tries).finish()
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    assert max(peaks) < 10e6
    assert peaks[1] < 1.1 * peaks[0] + 1e6


def test_bodies_are_kept_clear_of(tmp_path):
    text = OUTSIDE.replace(
        '[stage.takeup]\nkind = "sprung',
        # beside the driver's wrap: what stands still is kept from bodies too
        '[[stage.body]]\nname = "plate"\nx = "-3.2 in"\ny = "0 in"\ndiameter = "0.5 in"\n\n'
        '[[stage.body]]\nname = "post"\n'
        'x = "17 in"\ny = "-8 in"\ndiameter = "3 in"\n\n[[stage.body]]\n'
        'name = "box"\nx = "14 in"\ny = "9 in"\nwidth = "3 in"\n'
        'height = "2 in"\n\n[stage.takeup]\nkind = "sprung',
        1,
    )
    from jackshaft.buildfile import parse

    plain = loop()
    asked = {k: v.text if hasattr(v, "text") else v for k, v in plain.values.items() if ".search." in k}
    problem = problem_of(parse(text.encode(), file="bodies.toml").with_values(asked), "loop")
    assert len(problem.bodies) == 3
    run = Run(problem, 60_000).finish()
    assert len(run.front)
    for row in run.front.rows:
        found = layout_of(problem, run.patterns, row)
        v = dict(zip(FIELDS, row, strict=True))
        alone, _ = holds(found)
        assert alone.gap == pytest.approx(v["gap"], abs=1e-9) and v["gap"] >= problem.clearance_least - 1e-9
        for k in range(2):
            if np.isfinite(v[f"x{k}"]):
                away = np.hypot(v[f"x{k}"] - 17 * INCH, v[f"y{k}"] + 8 * INCH) - 1.5 * INCH - v[f"size{k}"] / 2
                assert away > problem.clearance_least


# -- nothing can work -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("build", "stage", "words"),
    [
        (
            lambda: pair(**{"search.direction": "against the driver"}),
            "second belts",
            "cannot turn that way.*at least one idler",
        ),
        (lambda: loop(driven_sizes="9 in"), "loop", "no pair of sizes.*driven pulley of about"),
        (lambda: loop(idlers_most=0), "loop", "cannot turn that way"),
        (lambda: loop(zone_left="21 in"), "loop", "zone for idlers is empty"),
        (lambda: loop(driver_sizes="1 in"), "loop", "too fast or too small"),
        (lambda: loop(idlers_kept="T"), "loop", "takes the belt up"),
        (lambda: loop(idlers_kept="Q"), "loop", "no idler is called 'Q'"),
        (lambda: load("drum_mixer"), "motor belt", "static_tension"),
        (lambda: load("drum_mixer"), "ring gear", "not a belt stage"),
        (lambda: pair(**{"takeup.static_tension": ""}), "second belts", "static_tension"),
    ],
)
def test_what_cannot_work_is_refused_before_it_is_tried(build, stage, words):
    with pytest.raises(NothingCanWork, match=words):
        Run(problem_of(build(), stage), 1000)


def test_the_sizes_proposed_for_the_speed_give_it():
    with pytest.raises(NothingCanWork) as refused:
        Run(problem_of(loop(driven_sizes="9 in"), "loop"), 1000)
    size = str(refused.value).split("of about ")[1].split(" in")[0]
    assert len(Run(problem_of(loop(driven_sizes=f"{size} in"), "loop"), 1000).patterns)


def near_of(build, stage, tries=40_000):
    run = Run(problem_of(build, stage), tries).finish()
    assert not len(run.front)
    return run, run.why_nothing()


def test_too_little_grip_names_the_tension_that_helps():
    run, words = near_of(pair(), "second belts")
    assert "the grip is too low" in words and "times as high" in words
    factor = float(words.split("a tension ")[1].split(" times")[0])
    better = pair(**{"takeup.static_tension": f"{45 * factor * 1.005} lbf"})
    assert len(Run(problem_of(better, "second belts"), 40_000).finish().front)


def test_too_little_room_names_the_clearance_that_helps():
    run, words = near_of(loop(clearance_least="3 in"), "loop")
    assert "the clearance is too small" in words
    less = words.split("a clearance of ")[1].split(" instead")[0]
    assert len(
        Run(problem_of(loop(clearance_least=f"{float(less.split()[0]) - 0.01} in"), "loop"), 40_000).finish().front
    )


def test_too_small_a_zone_is_named():
    tight = {
        "zone_left": "25 in",
        "zone_right": "25.5 in",
        "zone_low": "11 in",
        "zone_high": "11.5 in",
        "idlers_most": 1,
    }
    run, words = near_of(loop(**tight), "loop")
    assert "zone" in words


def test_no_belt_that_is_sold_names_how_much_is_lacking():
    run, words = near_of(
        pair(
            **{
                "centres": "22.3 in",
                "takeup.travel_in": "0 in",
                "takeup.travel_out": "0 in",
                "takeup.static_tension": "70 lbf",
            }
        ),
        "second belts",
    )
    more = float(words.split("gives ")[1].split(" in more")[0])
    # The nearest belt, A76, is 78.085 in on the cord line (76 + 1.3 + pi x 0.25)
    lean = np.arcsin(6 / 22.3)
    loop_length = 2 * 22.3 * np.cos(lean) + 2 * (np.pi - 2 * lean) + 8 * (np.pi + 2 * lean)
    assert more == pytest.approx(78.085 - loop_length, abs=0.01)


def test_more_power_than_the_belts_carry_names_the_count():
    def belts(most):
        build = pair(**{"takeup.static_tension": "400 lbf", "search.belts_most": most})
        return build.with_values({"work.peak_factor": "1.0", "wanted_life": ""})

    run, words = near_of(belts(1), "second belts")
    count = int(words.split("lacks ")[1].split(" belts")[0])
    more = Run(problem_of(belts(count), "second belts"), 40_000).finish()
    # so many carry the power; that two of them are pulled too hard at this tension is another matter, and is said
    assert count >= 2 and run.fell[POWER] and not more.fell[POWER]
    assert "lasts longer at a lower tension" in more.why_nothing()


def test_that_nothing_holds_says_how_much_was_tried_and_claims_no_more():
    """Seen: "no single change helps", from a few thousand layouts that happened to be tried."""
    run, words = near_of(loop(clearance_least="3 in"), "loop", tries=20_000)
    assert f"None of the {run.tried} layouts tried" in words and "does not prove that there is none" in words
    # every pair of sizes with every belt: there the count is all there is
    run, words = near_of(pair(), "second belts")
    assert run.tried == len(run.patterns[0].pairs) * len(run.problem.stock.length) and "no others" in words


def test_aims_say_what_is_weighed(searched):
    rows = searched.front.rows
    v = {name: rows[:, k] for k, name in enumerate(FIELDS)}
    aims = aims_of(rows)
    assert np.array_equal(aims[:, 1], v["hub"]) and np.array_equal(aims[:, 2], v["belts"])
    assert aims[:, 3] == pytest.approx(v["wide"] * v["high"]) and np.array_equal(aims[:, 4], 1 + v["bought"])
    assert aims[:, 0] * v["margin_bad"] == pytest.approx(1)

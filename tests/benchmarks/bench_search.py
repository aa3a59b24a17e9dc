"""How fast the layout search is, as ratios in one run: ``python tests/benchmarks/bench_search.py``.

Three things on one core: the whole search on a loop with its driven pulley outside (its tries a second, most of
which fall out early), the same measuring done in full on layouts that all go round, and that measuring once per
layout. Then how time grows with pulleys and with tries, and the memory of a search. Time is the processor's for
this one thread, so that other work on the machine does not count. Nothing is asserted.
"""

import os
import sys
import time
import tracemalloc
from pathlib import Path

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")

sys.path.insert(0, str(Path(__file__).parents[1] / "unit"))

import numpy as np  # noqa: E402
from jackshaft.mechanics import clearance, grip, path  # noqa: E402
from jackshaft.search import Run, problem_of  # noqa: E402
from jackshaft.search.engine import CHUNK, Chunk  # noqa: E402
from loops import outside  # noqa: E402

AT = "stage[loop].search"
ASKED = {
    "zone_left": "8 in",
    "zone_right": "20 in",
    "zone_low": "-12 in",
    "zone_high": "12 in",
    "idler_sizes": "3 in, 4 in, 5 in",
    "driver_sizes": "4.6 in to 5.6 in by 0.2 in",
    "driven_sizes": "11.5 in, 12 in, 13 in",
}


def problem_with(**more):
    return problem_of(outside().with_values({f"{AT}.{k}": v for k, v in (ASKED | more).items()}), "loop")


def best_of(work, least=1.0):
    """Processor seconds of the best of runs that last at least ``least`` seconds together."""
    work()
    best, spent = np.inf, 0.0
    while spent < least:
        began = time.process_time()
        work()
        took = time.process_time() - began
        best, spent = min(best, took), spent + took
    return best


def standing(chunk, work, count=CHUNK):
    """Places of layouts of one pattern that all go round, pulleys on the first axis."""
    parts, have = [], 0
    while have < count:
        x, y, r, rim, _ = chunk.places.some(CHUNK)
        found = path.path_si(x.T, y.T, r.T, chunk.pattern.inside, chunk.problem.ccw, work=work)
        good = np.flatnonzero(found.reason == 0)
        parts.append(tuple(a[:, good] for a in (x, y, r, rim)))
        have += len(good)
    return tuple(np.concatenate(a, axis=1)[:, :count] for a in zip(*parts, strict=True))


def measured(problem, pattern, x, y, r, rim, work):
    """Path, every clearance, crossings and the grip margin of each layout, nothing dropped."""
    found = path.path_si(x.T, y.T, r.T, pattern.inside, problem.ccw, work=work)
    ends = path.tangents_si(x.T, y.T, r.T, found)
    belt = problem.belt
    room = clearance.Loop(
        x=x.T,
        y=y.T,
        r=r.T,
        rim=rim.T,
        inside=np.asarray(pattern.inside),
        found=found,
        ccw=problem.ccw,
        inner=belt.height - belt.cord_depth,
        outer=belt.cord_depth,
    )
    gap = clearance.least_gap_si(room)
    crossed = clearance.strands_cross_si(*ends, found, r.T)
    speed = problem.speed * r[0]
    pulls = np.zeros((x.shape[1], pattern.count))
    pulls[:, pattern.driven] = problem.power / speed
    pulls[:, 0] = -pulls[:, pattern.driven]
    hold = grip.held_strand_si(pattern.count, pattern.moves, problem.tension)
    friction = np.where(pattern.flat, problem.grips[1][1], problem.grips[0][1])
    return gap, crossed, grip.grip_si(pulls, found.wrap, friction, hold, problem.belt.mass * speed * speed).least


def main(tries=1_000_000):
    problem = problem_with()
    spent = best_of(lambda: Run(problem, tries).finish(), 2.0)
    run = Run(problem, tries).finish()
    whole = run.tried / spent
    print(f"whole search, 3 and 4 pulleys, {len(run.patterns)} patterns, {run.tried} layouts tried, one core")
    print(f"  {whole:12,.0f} layouts tried a second; {len(run.front)} are kept of {run.held} that held and were new")
    pattern = next(p for p in run.patterns if p.count == 4)
    chunk, work = Chunk(problem, pattern, 0), path.work_si(4, CHUNK)
    x, y, r, rim = standing(chunk, work)
    full = CHUNK / best_of(lambda: measured(problem, pattern, x, y, r, rim, work))
    few = 400
    one = few / best_of(
        lambda: [
            measured(problem, pattern, x[:, k : k + 1], y[:, k : k + 1], r[:, k : k + 1], rim[:, k : k + 1], None)
            for k in range(few)
        ]
    )
    batch = measured(problem, pattern, x, y, r, rim, work)
    for k in range(0, few, 7):
        alone = measured(problem, pattern, *(a[:, k : k + 1] for a in (x, y, r, rim)), None)
        if not all(np.allclose(a[0], b[k], rtol=1e-12) for a, b in zip(alone, batch, strict=True)):
            sys.exit(f"layout {k}: the two ways disagree")
    print("four pulleys that go round: path, clearances, crossings and grip margin of every one, nothing dropped")
    print(f"  {full:12,.0f} layouts/s in chunks of {CHUNK}")
    print(
        f"  {one:12,.0f} layouts/s once per layout: the chunk is {full / one:.0f} times as fast, the whole search "
        f"{whole / one:.0f} times"
    )
    print("growth with pulleys (every layout measured in full; idlers kept on a ring round the loop)")
    for count in (3, 4, 5, 6, 8):
        speed = full_rate(problem, count)
        print(f"  {count} pulleys {speed:12,.0f} layouts/s   {1e9 / speed / count:6.1f} ns a pulley")
    print("growth with tries (whole search)")
    for many in (10_000, 100_000, 1_000_000, 4_000_000):
        began = time.process_time()
        Run(problem, many).finish()
        took = time.process_time() - began
        print(f"  {many:9,d} tries {took:8.3f} s   {1e9 * took / many:7.1f} ns a try")
    print("memory of a search at its peak, by tracemalloc")
    for many in (100_000, 1_000_000):
        tracemalloc.start()
        Run(problem, many).finish()
        print(f"  {many:9,d} tries {tracemalloc.get_traced_memory()[1] / 1e6:6.1f} MB")
        tracemalloc.stop()


def full_rate(problem, count):
    """Layouts a second of ``count`` pulleys on a ring, the driven one opposite the driver, measured in full."""
    rng = np.random.default_rng(count)
    angle = (np.arange(count)[:, None] + rng.uniform(-0.1, 0.1, (count, CHUNK))) * 2 * np.pi / count
    x, y = 0.4 * np.cos(angle), 0.4 * np.sin(angle)
    r = rng.uniform(0.04, 0.06, (count, CHUNK))

    class Ring:
        driven, moves, inside, flat = count // 2, 1, np.ones(count, bool), np.zeros(count, bool)

    Ring.count = count
    work = path.work_si(count, CHUNK)
    return CHUNK / best_of(lambda: measured(problem, Ring, x, y, r, r, work), 0.5)


if __name__ == "__main__":
    main(*(int(a) for a in sys.argv[1:]))

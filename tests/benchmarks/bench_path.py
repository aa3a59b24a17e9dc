"""How fast the belt kernels are, as ratios in one run: ``python tests/benchmarks/bench_path.py``.

Three ways do the same work on the same layouts, all of which go round: plain Python numbers, the kernel once
a layout, the kernel on batches. Lengths, strands, wraps and headings of the first two must agree. Then how time
grows with pulleys and with layouts. One core; nothing is asserted.
"""

import math
import os
import resource
import sys
import time

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")

import numpy as np  # noqa: E402
from jackshaft.mechanics import clearance, grip, path  # noqa: E402

BLOCK = 8192


def layouts(count, pulleys, seed=0):
    """Rings of pulleys, the second pressed in from outside where there are four; all go round. Pulley-major in memory,
    as a search keeps them."""
    rng = np.random.default_rng(seed)
    inside = np.arange(pulleys) != 1 if pulleys > 3 else np.ones(pulleys, bool)
    have, parts = 0, []
    while have < count:
        angle = (np.arange(pulleys)[:, None] + rng.uniform(-0.2, 0.2, (pulleys, count))) * 2 * np.pi / pulleys
        far = rng.uniform(0.9, 1.3, (pulleys, count))
        if pulleys > 3:
            # so deep that the belt between its neighbours is bent round it
            far[1] = 1.1 * np.cos(2 * np.pi / pulleys) + rng.uniform(0.0, 0.2, count)
        r = rng.uniform(0.03, 0.09, (pulleys, count))
        x, y = far * np.cos(angle), far * np.sin(angle)
        good = path.path_si(x.T, y.T, r.T, inside).reason == 0
        parts.append(np.stack([x, y, r])[:, :, good])
        have += int(good.sum())
    x, y, r = np.concatenate(parts, axis=2)[:, :, :count].copy()
    return x.T, y.T, r.T, inside


def by_hand(x, y, r, turn):
    """The same path with plain Python numbers."""
    n = len(x)
    length, headings, spans = 0.0, [], []
    for i in range(n):
        j = (i + 1) % n
        dx, dy, delta = x[j] - x[i], y[j] - y[i], turn[j] * r[j] - turn[i] * r[i]
        square = dx * dx + dy * dy - delta * delta
        if square <= 0:
            return None
        spans.append(math.sqrt(square))
        headings.append(math.atan2(spans[-1] * dy - delta * dx, spans[-1] * dx + delta * dy))
        length += spans[-1]
    wraps = []
    for i in range(n):
        wraps.append(turn[i] * (headings[i] - headings[i - 1]) % (2 * math.pi))
        length += r[i] * wraps[-1]
        for j in range(i):
            if math.hypot(x[i] - x[j], y[i] - y[j]) < r[i] + r[j]:
                return None
    if abs(sum(t * w for t, w in zip(turn, wraps, strict=True)) - 2 * math.pi) > 1.0:
        return None
    return length, spans, wraps, headings


def rate(work, count, least=0.4):
    """Layouts a second: the best of runs that last at least ``least`` seconds together."""
    work()
    best, spent = math.inf, 0.0
    while spent < least:
        began = time.perf_counter()
        work()
        took = time.perf_counter() - began
        best, spent = min(best, took), spent + took
    return count / best


def blocks(count):
    return [slice(k, min(k + BLOCK, count)) for k in range(0, count, BLOCK)]


def only_path(x, y, r, inside):
    work = path.work_si(x.shape[1], BLOCK)
    for part in blocks(len(x)):
        path.path_si(x[part], y[part], r[part], inside, work=work)


def with_clearance_and_grip(x, y, r, inside):
    pulls = np.zeros(x.shape[1])
    pulls[0], pulls[2] = -140.0, 140.0
    work = path.work_si(x.shape[1], BLOCK)
    for part in blocks(len(x)):
        a, b, c = x[part], y[part], r[part]
        found = path.path_si(a, b, c, inside, work=work)
        start_x, start_y, end_x, end_y = path.tangents_si(a, b, c, found)
        room = clearance.Loop(x=a, y=b, r=c, rim=c, inside=np.asarray(inside), found=found, inner=0.006, outer=0.004)
        clearance.least_gap_si(room)
        clearance.strands_cross_si(start_x, start_y, end_x, end_y, found, c)
        grip.grip_si(pulls, found.wrap, 0.5123, grip.fixed_centres_si(found.span, found.wrap, c, 200.0))


def main(count=262144):
    x, y, r, inside = layouts(count, 4)
    few = 2000
    turn = [1 if side else -1 for side in inside]
    rows = [tuple(a[k].tolist() for a in (x, y, r)) for k in range(few)]
    for k in range(few):
        hand, kernel = by_hand(*rows[k], turn), path.path_si(x[k], y[k], r[k], inside)
        all_at_once = (kernel.length, kernel.span, kernel.wrap, kernel.heading)
        if not all(np.allclose(a, b, rtol=1e-13, atol=1e-13) for a, b in zip(hand, all_at_once, strict=True)):
            sys.exit(f"layout {k}: the two ways disagree")
    hand = rate(lambda: [by_hand(*row, turn) for row in rows], few)
    single = rate(lambda: [path.path_si(x[k], y[k], r[k], inside) for k in range(few)], few)
    batch = rate(lambda: only_path(x, y, r, inside), count)
    whole = rate(lambda: with_clearance_and_grip(x, y, r, inside), count)
    print(f"four pulleys, one core, {count} layouts in blocks of {BLOCK}")
    print(f"  plain Python numbers            {hand:12,.0f} layouts/s")
    print(f"  kernel, once a layout           {single:12,.0f} layouts/s")
    fresh = rate(lambda: [path.path_si(x[k], y[k], r[k], inside) for k in blocks(count)], count)
    print(f"  kernel, batches, fresh arrays   {fresh:12,.0f} layouts/s")
    print(
        f"  kernel, batches                 {batch:12,.0f} layouts/s = {batch / single:.0f} x once a layout"
        f" = {batch / hand:.0f} x plain Python"
    )
    print(f"  with clearances and grip        {whole:12,.0f} layouts/s = {whole / batch:.2f} of the path alone")
    print("growth with pulleys (path alone)")
    for pulleys in (2, 3, 4, 5, 6, 8, 10):
        some = layouts(65536, pulleys)
        speed = rate(lambda some=some: only_path(*some), 65536)
        print(f"  {pulleys:2d} pulleys {speed:12,.0f} layouts/s   {1e9 / speed / pulleys:6.1f} ns a pulley")
    print("growth with layouts in one call (path alone, four pulleys)")
    for many in (1, 10, 100, 1000, 10000, 100000, 1000000):
        some = layouts(many, 4)
        speed = rate(lambda some=some: path.path_si(*some), many)
        print(f"  {many:8d} layouts {1e6 * many / speed:12.1f} us   {1e9 / speed:9.1f} ns a layout")
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    for seed in range(20):
        with_clearance_and_grip(*layouts(BLOCK, 4, seed))
    after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(f"memory: {after - before} KiB more after {20 * BLOCK} further layouts tried in blocks")


if __name__ == "__main__":
    main(*(int(a) for a in sys.argv[1:]))

"""Where the pulleys of the tried layouts are: spread evenly over zone and sizes, or round good ones."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft.mechanics import path, twopulley
from jackshaft.search.fields import AT
from jackshaft.search.patterns import Pattern
from jackshaft.search.problem import CENTRES, Problem
from jackshaft.units import INCH

#: Part of the zone's width within which places near good ones are tried, and by how many powers of e nearer.
NEAR, FINER = 0.4, 5.0
#: How far past two good ones some places on the line through them lie, in times their distance, and of how many others
#: the nearest is the second.
PAST, MATES = 1.0, 8
#: Of the layouts near good ones, the share that keep a size, and the share that take its neighbour in the list.
SAME, NEXT = 0.7, 0.15
#: Without a take-up a belt must fit as the loop is drawn, within this, m.
AS_DRAWN = 1e-3
#: What a tape is read to, m.
MARKS = {"inch": INCH / 16, "metric": 1e-3}


def spread_of(choices: int):
    """Return a source of points that fill a cube evenly, without chance: ``.random(count)``, shape (count, choices).

    Parameters
    ----------
    choices : int
        Edges of the cube.

    Returns
    -------
    scipy.stats.qmc.Sobol
        Behind its first point, which is a corner of the cube.

    Source
    ------
    own-derivation, by definition of a low-discrepancy sequence; the points are SciPy's
    """
    # SciPy's statistics take half a second to import, and few who open a page search
    from scipy.stats import qmc

    return qmc.Sobol(choices, scramble=False).fast_forward(1)


class Loops(NamedTuple):
    """Layouts on the last axis: where their pulleys are, radii to cord and rim, and the sizes picked."""

    x: np.ndarray
    y: np.ndarray
    r: np.ndarray
    rim: np.ndarray
    picked: np.ndarray

    def at(self, which: np.ndarray) -> Loops:
        """Some of them."""
        return Loops(*(np.take(a, which, axis=-1) for a in self))


class _Others(NamedTuple):
    """Other numbers of sizes to change to: those ``beside`` each in the lists, shape (n, few), and ``any`` of them."""

    beside: np.ndarray
    any: np.ndarray

    def changed(self, picked: np.ndarray, u: np.ndarray) -> np.ndarray:
        """Return numbers of sizes, most as they were, some that lie beside and some any, as ``u`` from 0 to 1 says."""
        few, many = self.beside.shape[1], len(self.any)
        near = self.beside[picked, np.clip((u - SAME) / NEXT * few, 0, few - 1).astype(np.intp)]
        other = self.any[np.clip((u - SAME - NEXT) / (1.0 - SAME - NEXT) * many, 0, many - 1).astype(np.intp)]
        return np.where(u < SAME, picked, np.where(u < SAME + NEXT, near, other))


def _others(problem: Problem, *sizes: np.ndarray) -> _Others:
    """Return them for one list of sizes, or for pairs; of any, half are those of which most need not be bought."""
    ranks = [np.unique(one, return_inverse=True)[1] for one in sizes]
    far = sum(np.abs(one[:, None] - one) for one in ranks)
    few, there = min(4 * len(ranks), len(far) - 1), np.array([size for size, _ in problem.on_hand])
    on_hand = sum((np.abs(one[:, None] - there) < 1e-5).any(axis=1).astype(int) for one in sizes)
    spare = np.flatnonzero(on_hand == on_hand.max())
    return _Others(
        np.argsort(far, axis=1, kind="stable")[:, min(1, few) : few + 1],
        np.concatenate([np.arange(len(far)), np.resize(spare, len(far))]),
    )


class Places:
    """The layouts of one pattern that are tried, one after the other.

    Parameters
    ----------
    problem : Problem
        What is searched.
    pattern : Pattern
        How the loop is strung.
    """

    def __init__(self, problem: Problem, pattern: Pattern):
        self.problem, self.pattern = problem, pattern
        left, right, low, high = problem.zone
        self.edges = [(left, right), (low, high)] * len(pattern.free)
        self.picks = [len(pattern.pairs), *(len(s.r) for s in pattern.idlers)]
        self.mark = MARKS[problem.build.system]
        self.parts: tuple[int, ...] | None = None
        if pattern.moves is None:
            self.parts = (len(pattern.pairs), len(problem.stock.length))
        else:
            self._points = spread_of(len(self.picks) + len(self.edges))
            self._near_points = spread_of(len(self.picks) + len(self.edges) + 2)
            pairs = pattern.pairs
            self._others = [_others(problem, pairs.driver.size, pairs.driven.size)]
            self._others += [_others(problem, one.size) for one in pattern.idlers]

    @property
    def whole(self) -> int | None:
        """How many layouts there are in all; None where places can be spread without end."""
        return None if self.parts is None else int(np.prod(self.parts))

    def some(self, count: int) -> Loops:
        """Return the next ``count`` layouts, spread evenly."""
        many, u = len(self.picks), self._points.random(count).T
        return self._fill(u[many:], (u[:many] * np.array(self.picks)[:, None]).astype(np.intp))

    def near(self, count: int, around: np.ndarray) -> Loops:
        """Return layouts round stored ones: places from NEAR of the zone down to nothing, some with other sizes."""
        many = len(self.edges)
        u = self._near_points.random(count).T
        number = np.arange(count)
        row, one = (around[(number * a + b) % len(around)].T for a, b in ((1, 0), (7, 3)))
        # Every third lies on the way to its nearest of a few others, or past either end, which shows how good ones go
        # together; of the next each size is its own or that of one other.
        leap = np.where(number % 3 == 0, (1.0 + 2.0 * PAST) * u[-1] - PAST, 0.0)
        mate = self._nearest(row, around, number)
        picked = []
        for k, (own, its) in enumerate(zip(self._picked(row), self._picked(one), strict=True)):
            size = np.where((number % 3 == 1) & ((number // 3 >> k) % 2 == 0), its, own)
            picked.append(self._others[k].changed(size, u[many + 1 + k]))
        reach = NEAR * np.exp(-FINER * u[many])
        for k, (low, high) in enumerate(self.edges):
            at = AT[f"{'xy'[k % 2]}{k // 2}"]
            here = (row[at] + leap * (mate[at] - row[at]) - low) / (high - low)
            u[k] = np.clip(here + reach * (2.0 * u[k] - 1.0), 0.0, 1.0)
        return self._fill(u[:many], np.stack(picked))

    def _nearest(self, row: np.ndarray, around: np.ndarray, number: np.ndarray) -> np.ndarray:
        """Return of MATES others each the one whose idlers stand nearest, and not alike; rows are on the last axis."""
        some = around[(7 * number[:, None] + 5 * np.arange(MATES) + 1) % len(around)]
        ats = [AT[f"{'xy'[k % 2]}{k // 2}"] for k in range(len(self.edges))]
        far = np.abs(some[..., ats] - row[ats].T[:, None]).sum(axis=2)
        far[far < self.mark] = np.inf
        return some[number, np.argmin(far, axis=1)].T

    def _picked(self, rows: np.ndarray) -> list[np.ndarray]:
        """Return the numbers of the sizes of stored rows, (len(FIELDS), m): of the pair and of each idler."""

        def off(sizes, name: str) -> np.ndarray:
            return np.abs(sizes.size[:, None] - rows[AT[name]])

        pairs = self.pattern.pairs
        both = off(pairs.driver, "driver") + off(pairs.driven, "driven")
        each = (off(one, f"size{k}") for k, one in enumerate(self.pattern.idlers))
        return [np.argmin(far, axis=0) for far in (both, *each)]

    def on_centres(self, first: int, count: int) -> tuple[Loops, np.ndarray, np.ndarray]:
        """Two pulleys: each pair of sizes with each belt, the driven shaft where the belt puts it.

        Also returns the belt's number in the stock, and by how much it is too long (short: negative), m; both (count,).
        """
        p, s = self.problem, self.pattern
        pair, target = np.unravel_index(np.arange(first, first + count), self.parts)
        loops = self._fill(np.zeros((0, count)), pair[None])
        along = np.array([p.driven.x - p.driver.x, p.driven.y - p.driver.y])
        now = float(np.hypot(*along))
        along = along / now
        low, high = (now - p.travel[0], now + p.travel[1]) if p.takeup in CENTRES else (now, now)
        shortest, longest = (
            path.path_si(*(np.array([0.0, c * q])[None] for q in along), loops.r.T, s.inside, p.ccw).length
            for c in (low, high)
        )
        belt = p.stock.length[target]
        slack = AS_DRAWN if low == high else 0.0
        over = np.where(belt < shortest - slack, belt - shortest, np.where(belt > longest + slack, belt - longest, 0.0))
        centres = np.full(count, now)
        if low != high:
            there = twopulley.centre_distance.si(belt, first=2 * loops.r[0], second=2 * loops.r[1])
            centres = np.where((over == 0.0) & np.isfinite(there), there, now)
        loops.x[s.driven], loops.y[s.driven] = p.driver.x + centres * along[0], p.driver.y + centres * along[1]
        return loops, target, over

    def _fill(self, u: np.ndarray, picked: np.ndarray) -> Loops:
        """Return layouts with their idlers at ``u``, shares of the zone, and the sizes ``picked``."""
        p, s = self.problem, self.pattern
        x, y, r, rim = (np.empty((s.count, picked.shape[1])) for _ in range(4))
        for i, slot in enumerate(s.slots):
            one = p.pulley_at(slot)
            if one is None:
                k = int(slot.split()[1])
                sizes, at = s.idlers[k], picked[1 + k]
                for n, (a, (low, high)) in enumerate(zip((x, y), self.edges[:2], strict=True)):
                    np.multiply(u[2 * k + n], high - low, out=a[i])
                    a[i] += low
                    if i != s.moves:
                        # An idler that is not moved to fit the belt is drilled for, so it is on a tape's mark.
                        np.round(a[i] / self.mark, out=a[i])
                        a[i] *= self.mark
            else:
                x[i], y[i] = one.x, one.y
                sizes, at = {"driver": s.pairs.driver, "driven": s.pairs.driven}.get(slot), picked[0]
                if sizes is None:
                    sizes = p.on_lines(np.array([one.size]), one.measured_as, flat=one.flat, inside=one.inside)
                    at = np.zeros_like(picked[0])
            np.take(sizes.r, at, out=r[i])
            np.take(sizes.rim, at, out=rim[i])
        return Loops(x, y, r, rim, picked)

"""Layouts tried by the thousand: strung, put where a belt that is sold fits, and measured.

A chunk of layouts of one pattern goes through the belt kernels at once, pulleys on the first axis in memory;
those that fall out are dropped on the way. Nothing here grows with the number of layouts tried.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft.mechanics import path
from jackshaft.search import measuring
from jackshaft.search.fields import FAILS, FIELDS, GRIP, POWER, RATE, ROOM, ROUND, STOCK, ZONE
from jackshaft.search.measuring import Fitted
from jackshaft.search.patterns import Pattern
from jackshaft.search.places import Loops, Places
from jackshaft.search.problem import Problem

#: Layouts worked at a time; with it the memory of a search is fixed.
CHUNK = 8192
#: A solved length is off by less than this, m.
CLOSE = 1e-9
#: Steps of Newton's rule along the line of steepest change.
STEPS = 5
#: Belt taken up by a metre of the arm's travel, least: common practice, no source.
LEAST_RATE = 0.2


class Tried(NamedTuple):
    """What a chunk gave: rows of FIELDS that meet everything, how many fell out at each of FAILS, for each of them
    the least that would have to be given way for a layout that fails nothing else (inf where there is none), and
    how often the belt could not go round for each reason."""

    rows: np.ndarray
    fell: np.ndarray
    near: np.ndarray
    reasons: np.ndarray


class Chunk:
    """The arrays and rules for layouts of one pattern.

    Parameters
    ----------
    problem : Problem
        What is searched.
    pattern : Pattern
        How the loop is strung.
    number : int
        Its number, which its rows carry.
    grid : float or None
        Try a full grid with this spacing, m, instead of spread places.
    """

    def __init__(self, problem: Problem, pattern: Pattern, number: int, *, grid: float | None = None):
        self.problem, self.pattern, self.number = problem, pattern, number
        self.places = Places(problem, pattern, grid)
        self.middles = 0.5 * (problem.stock.length[1:] + problem.stock.length[:-1])

    def run(
        self,
        first: int,
        count: int,
        work: tuple[path.Work, path.Work],
        *,
        look_near: bool,
        around: np.ndarray | None = None,
    ) -> Tried:
        """Try ``count`` layouts.

        Parameters
        ----------
        first, count : int
            Number of the first one, where there is an end of them, and how many.
        work : tuple of two Work
            Arrays of the path kernel for this count of pulleys.
        look_near : bool
            Also find the least that would have to give way; takes longer, so it is done until something holds.
        around : array, shape (m, len(FIELDS)), optional
            Rows of this pattern; places are then taken round theirs, with their sizes.
        """
        needs = len(FAILS)
        tried = Tried(
            np.zeros((0, len(FIELDS))), np.zeros(needs, np.int64), np.full(needs, np.inf), np.zeros(8, np.int64)
        )
        if self.pattern.moves is None:
            fitted, outside = self._by_centres(first, count, work, tried)
        else:
            loops = self.places.some(first, count) if around is None else self.places.near(count, around)
            fitted, outside = self._by_idler(loops, work, tried)
        return tried._replace(rows=self._judge(fitted, outside, tried, look_near))

    # -- a belt that is sold ---------------------------------------------------------------------

    def _strung(self, loops: Loops, work: path.Work) -> path.Path:
        return path.path_si(loops.x.T, loops.y.T, loops.r.T, self.pattern.inside, self.problem.ccw, work=work)

    def _count(self, found: path.Path, tried: Tried) -> np.ndarray:
        """Count why belts cannot go round; tell which do."""
        tried.reasons[:] = np.bincount(found.reason, minlength=8)
        tried.fell[ROUND] = np.count_nonzero(found.reason)
        return found.reason == 0

    def _by_centres(self, first: int, count: int, work, tried: Tried) -> tuple[Fitted, np.ndarray]:
        """Two pulleys, the driven shaft where the belt puts it."""
        loops, target, over = self.places.on_centres(first, count)
        found = self._strung(loops, work[0])
        round_it, fits = self._count(found, tried), np.abs(over) <= 1e-12
        tried.fell[STOCK] = np.count_nonzero(round_it & ~fits)
        tried.near[STOCK] = np.min(np.abs(over[round_it]), initial=np.inf)
        fitted = Fitted(loops, target, found).at(np.flatnonzero(round_it & fits))
        return fitted, np.zeros(len(fitted.target))

    def _by_idler(self, loops: Loops, work, tried: Tried) -> tuple[Fitted, np.ndarray]:
        """Three pulleys or more, the take-up idler where the nearest belt puts it; also how far outside the zone."""
        found, i = self._strung(loops, work[0]), self.pattern.moves
        here = np.flatnonzero(self._count(found, tried))
        loops, target = loops.at(here), np.searchsorted(self.middles, found.length[here])
        good = self._fit(loops, target, found, here, work[1])
        tried.fell[STOCK] = np.count_nonzero(~good)
        loops, target = loops.at(good), target[good]
        left, right, low, high = self.problem.zone
        x, y = loops.x[i], loops.y[i]
        outside = np.maximum(np.maximum(left - x, x - right), np.maximum(np.maximum(low - y, y - high), 0.0))
        return Fitted(loops, target, self._strung(loops, work[1])), outside

    def _fit(self, loops: Loops, target, found: path.Path, here: np.ndarray, work: path.Work) -> np.ndarray:
        """Move the take-up idler along the steepest change until the nearest belt fits; tell where it does.

        ``here`` are the numbers of the loops in ``found``.
        """
        i, belt = self.pattern.moves, self.problem.stock.length[target]
        length = found.length[here]
        gx, gy = found.ux[here, i - 1] - found.ux[here, i], found.uy[here, i - 1] - found.uy[here, i]
        rate = np.hypot(gx, gy)
        gx /= rate
        gy /= rate
        moved, good = np.zeros(len(here)), np.zeros(len(here), bool)
        x0, y0 = loops.x[i].copy(), loops.y[i].copy()
        live = np.arange(len(here))
        for _ in range(STEPS):
            with np.errstate(invalid="ignore", divide="ignore"):
                moved[live] += (belt[live] - length) / rate
            loops.x[i, live] = x0[live] + moved[live] * gx[live]
            loops.y[i, live] = y0[live] + moved[live] * gy[live]
            some = self._strung(loops.at(live), work)
            length = some.length
            done = np.abs(length - belt[live]) < CLOSE
            good[live[done]] = True
            # Those that fit are done, and those that cannot be strung on the way are given up.
            on = np.flatnonzero(~done & (some.reason == 0))
            if not len(on):
                break
            length, live = length[on], live[on]
            sx, sy = some.ux[on, i - 1] - some.ux[on, i], some.uy[on, i - 1] - some.uy[on, i]
            rate = sx * gx[live] + sy * gy[live]
        return good

    # -- what holds ------------------------------------------------------------------------------

    def _judge(self, fitted: Fitted, outside: np.ndarray, tried: Tried, look_near: bool) -> np.ndarray:
        """Return the rows of those that meet everything, and count the others."""
        p, s, fell = self.problem, self.pattern, tried.fell
        gap = measuring.gap_of(p, s, fitted)
        # What is required besides grip and power, as how much each falls short: above nought it fails.
        short = {ZONE: np.maximum(outside - 1e-9, 0.0), ROOM: np.maximum(p.clearance_least - gap, 0.0)}
        rate = measuring.rate_of(p, s, fitted)
        if rate is not None:
            short[RATE] = np.maximum(LEAST_RATE - rate, 0.0)
        failed = np.zeros(len(gap), np.int8)
        for need, by in short.items():
            fell[need] += np.count_nonzero((by > 0.0) & (failed == 0))
            failed += by > 0.0
        # While nothing holds yet, those that fail once only go on, to see whether it is their only fault.
        on = np.flatnonzero(failed <= (1 if look_near else 0))
        fitted, gap, good = fitted.at(on), gap[on], failed[on] == 0
        held = measuring.hold_of(p, s, fitted)
        design = s.design[fitted.loops.picked[0]]
        grips = [h.margin_bad >= p.margin_least for h in held]
        carries = [h.power >= design for h in held]
        most, fell_grip, fell_power = held[-1], good & ~grips[-1], good & grips[-1] & ~carries[-1]
        fell[GRIP] += np.count_nonzero(fell_grip)
        fell[POWER] += np.count_nonzero(fell_power)
        if look_near:
            least = {need: by[on][(by[on] > 0.0) & grips[-1] & carries[-1]] for need, by in short.items()}
            least[GRIP] = (p.margin_least / most.margin_bad)[fell_grip & carries[-1]]
            least[POWER] = (design / most.power)[fell_power]
            for need, values in least.items():
                tried.near[need] = np.min(values, initial=tried.near[need])
        # Followed through stretch and wear only where all else is met, for that takes several paths each.
        whole = np.flatnonzero(good & grips[-1] & carries[-1])
        follows = np.zeros(len(good), bool)
        follows[whole] = measuring.follows_of(p, s, fitted.at(whole))
        lost = len(whole) - np.count_nonzero(follows)
        fell[RATE] += lost
        if lost and look_near:
            tried.near[RATE] = min(tried.near[RATE], 1.0)
        rows = [np.zeros((0, len(FIELDS)))]
        for h, grip, power in zip(held, grips, carries, strict=True):
            take = np.flatnonzero(good & grip & power & follows)
            if len(take):
                rows.append(measuring.rows_of(p, s, fitted.at(take), h.at(take), number=self.number, gap=gap[take]))
        return np.concatenate(rows)


__all__ = ["CHUNK", "Chunk", "LEAST_RATE", "Tried"]

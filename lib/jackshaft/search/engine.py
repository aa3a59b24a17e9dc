"""Layouts tried by the thousand: strung, put where a belt that is sold fits, and measured.

A chunk of layouts of one pattern goes through the belt kernels at once, pulleys on the first axis in memory;
those that fall out are dropped on the way. Nothing here grows with the number of layouts tried.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft.mechanics import path
from jackshaft.search import measuring
from jackshaft.search.fields import AT, FAILS, FIELDS, GRIP, LASTS, POWER, RATE, ROOM, ROUND, STOCK, ZONE
from jackshaft.search.following import arm_short_of
from jackshaft.search.front import Front
from jackshaft.search.measuring import Fitted, Held
from jackshaft.search.patterns import Pattern
from jackshaft.search.places import Loops, Places
from jackshaft.search.problem import Problem
from jackshaft.search.stands import load_of

#: Layouts worked at a time; with it the memory of a search is fixed.
CHUNK = 8192
#: Layouts measured in full at a time, the best first.
AT_ONCE = 512
#: Of a pattern of which nothing holds yet, so many that lack room or an arm alone are kept to be looked round.
ALMOST = 32
#: A solved length is off by less than this, m.
CLOSE = 1e-9
#: Steps of Newton's rule along the line of steepest change.
STEPS = 5
#: Belt taken up by a metre of the arm's travel, least: common practice, no source.
LEAST_RATE = 0.2


class Tried(NamedTuple):
    """What a chunk gave.

    ``rows`` of FIELDS meet everything and may be kept. Until something is kept: how many ``fell`` out at each of FAILS,
    for each of them how ``near`` the nearest came, as the least that would have to be given way for a layout that fails
    nothing else (inf where there is none), and how often the belt could not go round for each of the ``reasons``.
    ``almost`` holds the rows that come nearest of those that lack room, or an arm that follows, and nothing else; for a
    gap they have what they lack, below nought.
    """

    rows: np.ndarray
    fell: np.ndarray
    near: np.ndarray
    reasons: np.ndarray
    almost: np.ndarray


def nearest(rows: np.ndarray) -> np.ndarray:
    """Return the rows that almost hold and lack least, the least first, ALMOST at most."""
    return rows[np.argsort(-rows[:, AT["gap"]], kind="stable")[:ALMOST]]


def least_lack(rows: np.ndarray) -> float:
    """Return what the nearest of rows that almost hold lacks; inf where there is none."""
    return float(np.min(-rows[:, AT["gap"]], initial=np.inf))


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
    """

    def __init__(self, problem: Problem, pattern: Pattern, number: int):
        self.problem, self.pattern, self.number = problem, pattern, number
        self.places = Places(problem, pattern)
        self.middles = 0.5 * (problem.stock.length[1:] + problem.stock.length[:-1])

    def run(
        self,
        first: int,
        count: int,
        work: tuple[path.Work, path.Work],
        front: Front,
        *,
        counted: bool,
        around: np.ndarray | None = None,
    ) -> Tried:
        """Try ``count`` layouts.

        Parameters
        ----------
        first, count : int
            Number of the first one, where there is an end of them, and how many.
        work : tuple of two Work
            Arrays of the path kernel for this count of pulleys.
        front : Front
            What is kept of this pattern; only layouts that would enter it are measured in full.
        counted : bool
            Count every fault instead, and find the least that would have to give way, for as long as nothing holds.
        around : array, shape (m, len(FIELDS)), optional
            Rows of this pattern; places are then taken round theirs, with their sizes.
        """
        needs = len(FAILS)
        none = np.zeros((0, len(FIELDS)))
        tried = Tried(none, np.zeros(needs, np.int64), np.full(needs, np.inf), np.zeros(8, np.int64), none)
        if self.pattern.moves is None:
            fitted, outside = self._by_centres(first, count, work, tried)
        else:
            loops = self.places.some(count) if around is None else self.places.near(count, around)
            fitted, outside = self._by_idler(loops, work, tried)
        rows, almost = self._judge(fitted, outside, tried) if counted else self._judge_few(fitted, outside, front)
        return tried._replace(rows=rows, almost=almost)

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
        tried.fell[STOCK] = len(here) - len(good)
        loops, target = loops.at(good), target[good]
        left, right, low, high = self.problem.zone
        x, y = loops.x[i], loops.y[i]
        outside = np.maximum(np.maximum(left - x, x - right), np.maximum(np.maximum(low - y, y - high), 0.0))
        return Fitted(loops, target, self._strung(loops, work[1])), outside

    def _fit(self, loops: Loops, target, found: path.Path, here: np.ndarray, work: path.Work) -> np.ndarray:
        """Move the take-up idler along the steepest change until the nearest belt fits; return those that it does.

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
        return np.flatnonzero(good)

    # -- what holds ------------------------------------------------------------------------------

    def _judge(self, fitted: Fitted, outside: np.ndarray, tried: Tried) -> tuple[np.ndarray, np.ndarray]:
        """Return the rows of those that meet everything, and almost; count the others, and find what is nearest."""
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
        # Those that fail once only go on, to see whether it is their only fault.
        on = np.flatnonzero(failed <= 1)
        fitted, gap, good = fitted.at(on), gap[on], failed[on] == 0
        held, grips, carries = self._carried(fitted)
        with np.errstate(divide="ignore"):
            weak = [p.margin_least / h.margin_bad for h in held]
            load = [1.0 / load_of(p, s, h) for h in held]
        grips &= np.array(load) <= 1.0
        loaded, grip, carry = (np.any(one, axis=0) for one in (grips & carries, grips, carries))
        fell_grip, fell_power = good & ~grip, good & grip & ~loaded
        fell[GRIP] += np.count_nonzero(fell_grip)
        fell[POWER] += np.count_nonzero(fell_power)
        least = {need: by[on][(by[on] > 0.0) & loaded] for need, by in short.items()}
        least[GRIP] = np.min(np.maximum(weak, load), axis=0)[fell_grip & carry]
        most = held[-1].power[fell_power]
        with np.errstate(divide="ignore"):
            least[POWER] = np.where(most > 0.0, s.design[fitted.loops.picked[0]][fell_power] / most, np.inf)
        # Followed through stretch and wear only where all else is met, for that takes many paths each.
        lack = self._lack(gap)
        whole = np.flatnonzero(good & loaded)
        lack[whole] = arm_short_of(p, s, fitted.at(whole), gap[whole])
        follows = lack[whole] <= 0.0
        fell[RATE] += np.count_nonzero(~follows)
        if not follows.all():
            least[RATE] = np.append(least.get(RATE, ()), 1.0)
        for need, values in least.items():
            tried.near[need] = np.min(values, initial=tried.near[need])
        tight = np.append(np.flatnonzero(loaded & (short[ROOM][on] > 0.0)), whole[~follows])
        tight = tight[np.argsort(lack[tight], kind="stable")[:ALMOST]]
        whole = whole[follows]
        (rows, which), (almost, _) = (
            self._rows(fitted.at(k), [h.at(k) for h in held], (grips & carries)[:, k], room[k])
            for k, room in ((whole, gap), (tight, -lack))
        )
        fell[LASTS] += len(whole) - len(np.unique(which))
        return rows, almost

    def _judge_few(self, fitted: Fitted, outside: np.ndarray, front: Front) -> tuple[np.ndarray, np.ndarray]:
        """Return the rows of those that meet everything and would enter the front, the costly things asked last.

        As long as nothing is in the front, those that almost do too.
        """
        p, s = self.problem, self.pattern
        near, rate = outside <= 1e-9, measuring.rate_of(p, s, fitted)
        fitted = fitted.at(np.flatnonzero(near if rate is None else near & (rate >= LEAST_RATE)))
        held, grips, carries = self._carried(fitted)
        rows, which = self._rows(fitted, held, grips & carries, np.full(len(fitted.target), np.inf))
        aims, kept, almost, best = measuring.aims_of(rows), [rows[:0]], rows[:0], front
        # The best first, so that they spare the others being measured.
        left = np.argsort(np.log(aims).sum(axis=1), kind="stable")
        while len(left := left[best.may_enter(aims[left])]):
            now, left = left[:AT_ONCE], left[AT_ONCE:]
            some, (few, back) = rows[now], np.unique(which[now], return_inverse=True)
            gap, lack = (one[back] for one in self._room_and_arm(fitted.at(few)))
            good = lack <= 0.0
            some[:, AT["gap"]] = np.where(good, gap, -lack)
            kept.append(some[good])
            if not len(front):
                almost = nearest(np.concatenate([almost, some[~good]]))
            best = front.fresh()
            best.add(aims[now[good]], kept[-1])
        return np.concatenate(kept), almost

    def _room_and_arm(self, fitted: Fitted) -> tuple[np.ndarray, np.ndarray]:
        """Return the gaps of layouts, and what they lack of room and of an arm that follows the belt."""
        gap = measuring.gap_of(self.problem, self.pattern, fitted)
        lack = self._lack(gap)
        clear = np.flatnonzero(lack <= 0.0)
        lack[clear] = arm_short_of(self.problem, self.pattern, fitted.at(clear), gap[clear])
        return gap, lack

    def _lack(self, gap: np.ndarray) -> np.ndarray:
        """Return what is lacking of room, worse than any arm that does not follow; nought where nothing is."""
        short = self.problem.clearance_least - gap
        return np.where(short > 0.0, 2.0 + short / self.problem.belt.height, 0.0)

    def _carried(self, fitted: Fitted) -> tuple[list[Held], np.ndarray, np.ndarray]:
        """Return what 1, 2, ... belts hold, and which of them grip and carry enough, shape (belts, m) each."""
        held = measuring.hold_of(self.problem, self.pattern, fitted)
        design = self.pattern.design[fitted.loops.picked[0]]
        grips = np.array([h.margin_bad >= self.problem.margin_least for h in held])
        if self.problem.ribbed:
            # The belt that is there has the ribs it has.
            own = self.problem.own[fitted.target]
            grips &= ~own | np.array([[h.belts == self.problem.have] for h in held])
        return held, grips, np.array([h.power >= design for h in held])

    def _rows(
        self, fitted: Fitted, held: list[Held], fit: np.ndarray, gap: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray]:
        """Return the rows for the numbers of belts that fit, shape (belts, m), and which layout each is of."""
        rows, which = [np.zeros((0, len(FIELDS)))], [np.zeros(0, np.intp)]
        for h, fits in zip(held, fit, strict=True):
            take = np.flatnonzero(fits)
            if len(take):
                one, stands = measuring.rows_of(
                    self.problem, self.pattern, fitted.at(take), h.at(take), number=self.number, gap=gap[take]
                )
                rows.append(one[stands])
                which.append(take[stands])
        return np.concatenate(rows), np.concatenate(which)


__all__ = ["CHUNK", "Chunk", "LEAST_RATE", "Tried", "least_lack", "nearest"]

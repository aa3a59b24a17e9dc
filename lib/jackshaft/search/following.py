"""The arm of an idler that takes up, followed while its belt stretches and wears, for many layouts at once.

The rule is that of the layout page, :func:`jackshaft.chapters.layout.arm.follow`, with the same places along the way.
"""

from __future__ import annotations

import numpy as np

from jackshaft.chapters.layout.arm import LOOKS, NODES, STRETCH
from jackshaft.mechanics import path
from jackshaft.search.measuring import Fitted, gap_of, turn_rate_of
from jackshaft.search.patterns import Pattern
from jackshaft.search.problem import Problem

#: A step of the page, rad.
STEP = 0.5 * np.pi / (NODES - 1)
#: Strides in such steps and how many of them are looked at, a quarter turn in all: most arms are done in the first.
COARSE = ((40, 9), (40, 27))
#: Strides within the one that decides, down to the page's.
FINE = (8, 1)
#: Layouts followed at a time, so that memory is bounded.
MANY = 256


def arm_short_of(problem: Problem, pattern: Pattern, fitted: Fitted, gap: np.ndarray) -> np.ndarray:
    """Return how much the arm of the idler that takes up lacks to follow the belt, as the page judges.

    Parameters
    ----------
    problem, pattern : Problem, Pattern
        What is searched.
    fitted : Fitted
        Layouts with their belts on.
    gap : array, shape (m,)
        The least gap of each, m.

    Returns
    -------
    array, shape (m,)
        Nought where it follows, or where there is no arm; up to 1 where it does and room is lacking on the way, in
        heights of the belt; up to 2 where it does not, by the share of the belt that is left.
    """
    count = len(fitted.target)
    if problem.pivot is None or pattern.moves is None or not count:
        return np.zeros(count)
    parts = [np.arange(at, min(at + MANY, count)) for at in range(0, count, MANY)]
    return np.concatenate([_short(problem, pattern, fitted.at(some), gap[some]) for some in parts])


def _short(problem: Problem, pattern: Pattern, fitted: Fitted, gap: np.ndarray) -> np.ndarray:
    start, count = fitted.found.length, len(fitted.target)
    wanted, rate = STRETCH * start, turn_rate_of(problem, pattern, fitted)
    way = np.where(rate >= 0.0, 1.0, -1.0)
    # the last step at which the arm still goes on and the belt taken up there, m
    last, taken = np.zeros(count, int), np.zeros(count)

    def look(some: np.ndarray, stride: int, many: int) -> tuple[np.ndarray, np.ndarray]:
        """Go on by ``many`` strides; return those to which it ends or is enough within them, and what is enough, m."""
        turn = way[some, None] * STEP * (last[some, None] + stride * np.arange(1, many + 1))
        there = _turned(problem, pattern, fitted.at(np.repeat(some, many)), turn.ravel())
        on = (there.found.reason == 0) & (turn_rate_of(problem, pattern, there) * np.repeat(way[some], many) > 0.0)
        on, gained = on.reshape(-1, many), there.found.length.reshape(-1, many) - start[some, None]
        event = ~on | (gained >= wanted[some, None])
        row, found = np.arange(len(some)), event.any(axis=1)
        first = np.where(found, np.argmax(event, axis=1), many)
        last[some] += stride * first
        taken[some] = np.where(first > 0, gained[row, first - 1], taken[some])
        at = np.minimum(first, many - 1)
        return found, np.where(on[row, at], gained[row, at], np.nan)

    live = np.flatnonzero(rate != 0.0)
    ends = [live[:0]]
    for stride, many in COARSE:
        found, _ = look(live, stride, many)
        ends.append(live[found])
        live = live[~found]
    live, enough, before = np.concatenate(ends), np.zeros(0), COARSE[0][0]
    for stride in FINE:
        _, enough = look(live, stride, before // stride)
        before = stride
    ready = np.flatnonzero(enough >= wanted[live])
    live, enough = live[ready], enough[ready]
    spot = last[live] + (wanted[live] - taken[live]) / (enough - taken[live])
    short = 2.0 - taken / wanted
    short[live] = np.where(gap[live] <= 0.0, 0.0, _crowded(problem, pattern, fitted.at(live), way[live] * spot * STEP))
    return short


def _crowded(problem: Problem, pattern: Pattern, fitted: Fitted, turn: np.ndarray) -> np.ndarray:
    """Return how much room is lacking on the way of the arm, in heights of the belt, 1 at most."""
    shares = np.linspace(0.0, 1.0, LOOKS)[1:]
    some = np.repeat(np.arange(len(turn)), len(shares))
    there = _turned(problem, pattern, fitted.at(some), (turn[:, None] * shares).ravel())
    room = np.where(there.found.reason == 0, gap_of(problem, pattern, there), -np.inf)
    room = room.reshape(len(turn), len(shares)).min(axis=1)
    return np.clip((problem.clearance_least - room) / problem.belt.height, 0.0, 1.0)


def _turned(problem: Problem, pattern: Pattern, fitted: Fitted, turn: np.ndarray) -> Fitted:
    """Return the layouts with their arms turned."""
    i, loops = pattern.moves, fitted.loops
    cos, sin = np.cos(turn), np.sin(turn)
    (px, py), xs, ys = problem.pivot, np.array(loops.x), np.array(loops.y)
    ax, ay = xs[i] - px, ys[i] - py
    xs[i], ys[i] = px + ax * cos - ay * sin, py + ax * sin + ay * cos
    found = path.path_si(xs.T, ys.T, loops.r.T, pattern.inside, problem.ccw)
    return Fitted(loops._replace(x=xs, y=ys), fitted.target, found)


__all__ = ["arm_short_of"]

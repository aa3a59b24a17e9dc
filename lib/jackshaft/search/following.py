"""The arm of a sprung or weighted idler, followed while its belt stretches and wears, for many layouts at once.

The rule is that of the layout page, :func:`jackshaft.chapters.layout.arm.follow`, with the same places along the way.
"""

from __future__ import annotations

import numpy as np

from jackshaft.chapters.layout.arm import FOLLOWS, LOOKS, NODES, STRETCH
from jackshaft.mechanics import path
from jackshaft.search.measuring import Fitted, gap_of
from jackshaft.search.patterns import Pattern
from jackshaft.search.problem import Problem

#: Steps of a quarter turn that are looked at first; then each step of the page within the one that decides.
COARSE = 36
#: Layouts followed at a time, so that memory is bounded.
MANY = 256


def follows_of(problem: Problem, pattern: Pattern, fitted: Fitted, gap: np.ndarray) -> np.ndarray:
    """Tell of which layouts the arm of a sprung or weighted idler follows the belt, as the page judges.

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
    array of bool, shape (m,)
        True too where there is no arm.
    """
    count = len(fitted.target)
    if problem.pivot is None or pattern.moves is None or problem.takeup not in FOLLOWS or not count:
        return np.ones(count, bool)
    parts = [np.arange(at, min(at + MANY, count)) for at in range(0, count, MANY)]
    return np.concatenate([_follows(problem, pattern, fitted.at(some), gap[some]) for some in parts])


def _follows(problem: Problem, pattern: Pattern, fitted: Fitted, gap: np.ndarray) -> np.ndarray:
    start, every = fitted.found.length, np.arange(len(fitted.target))
    wanted = STRETCH * start
    way = np.where(_rates(problem, pattern, fitted) >= 0.0, 1.0, -1.0)
    fine = (NODES - 1) // COARSE
    step = 0.5 * np.pi / (NODES - 1)

    def looked(some: np.ndarray, nodes: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Whether the arm still goes on at its steps (m, k), and the belt taken up there, m."""
        turn = way[some, None] * step * nodes
        there = _turned(problem, pattern, fitted.at(np.repeat(some, nodes.shape[1])), turn.ravel())
        rate = _rates(problem, pattern, there) * np.repeat(way[some], nodes.shape[1])
        on = (there.found.reason == 0) & (rate > 0.0)
        gained = there.found.length - np.repeat(start[some], nodes.shape[1])
        return on.reshape(nodes.shape), gained.reshape(nodes.shape)

    # the first coarse step at which the belt is taken up, or the way ends
    on, gained = looked(every, np.broadcast_to(np.arange(COARSE + 1) * fine, (len(every), COARSE + 1)))
    event = ~on | (gained >= wanted[:, None])
    first = np.argmax(event, axis=1)
    live = np.flatnonzero(event.any(axis=1) & (first > 0))
    if not len(live):
        return np.zeros(len(every), bool)
    # the same, in the page's own steps
    nodes = (first[live] - 1)[:, None] * fine + np.arange(fine + 1)
    on, gained = looked(live, nodes)
    done = on & (gained >= wanted[live, None])
    last = np.argmax(~on | done, axis=1)
    ready = np.flatnonzero(done[np.arange(len(live)), last] & (last > 0))
    live, last, gained = live[ready], last[ready], gained[ready]
    row = np.arange(len(live))
    low, high = gained[row, last - 1], gained[row, last]
    spot = (nodes[ready, last] - 1 + (wanted[live] - low) / (high - low)) * step
    good = np.zeros(len(every), bool)
    good[live] = (gap[live] <= 0.0) | _clear(problem, pattern, fitted.at(live), way[live] * spot)
    return good


def _clear(problem: Problem, pattern: Pattern, fitted: Fitted, turn: np.ndarray) -> np.ndarray:
    """Tell of which layouts nothing rubs on the way of the arm."""
    shares = np.linspace(0.0, 1.0, LOOKS)[1:]
    some = np.repeat(np.arange(len(turn)), len(shares))
    there = _turned(problem, pattern, fitted.at(some), (turn[:, None] * shares).ravel())
    clear = (there.found.reason == 0) & (gap_of(problem, pattern, there) > 0.0)
    return clear.reshape(len(turn), len(shares)).all(axis=1)


def _rates(problem: Problem, pattern: Pattern, fitted: Fitted) -> np.ndarray:
    """Return the belt taken up for a turn of the arm counter-clockwise, m/rad."""
    i, found = pattern.moves, fitted.found
    ax, ay = fitted.loops.x[i] - problem.pivot[0], fitted.loops.y[i] - problem.pivot[1]
    return (found.uy[:, i - 1] - found.uy[:, i]) * ax - (found.ux[:, i - 1] - found.ux[:, i]) * ay


def _turned(problem: Problem, pattern: Pattern, fitted: Fitted, turn: np.ndarray) -> Fitted:
    """Return the layouts with their arms turned."""
    i, loops = pattern.moves, fitted.loops
    cos, sin = np.cos(turn), np.sin(turn)
    (px, py), xs, ys = problem.pivot, np.array(loops.x), np.array(loops.y)
    ax, ay = xs[i] - px, ys[i] - py
    xs[i], ys[i] = px + ax * cos - ay * sin, py + ax * sin + ay * cos
    found = path.path_si(xs.T, ys.T, loops.r.T, pattern.inside, problem.ccw)
    return Fitted(loops._replace(x=xs, y=ys), fitted.target, found)


__all__ = ["follows_of"]

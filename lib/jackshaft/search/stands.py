"""What else the pages would stop a layout for: a slip at the start or the peak, a short life, a belt pulled or bent
too hard."""

from __future__ import annotations

import numpy as np

from jackshaft.chapters.capacity.wear import lasts_si
from jackshaft.chapters.grip.cases import LOCKED, SPRING
from jackshaft.chapters.grip.pull import FOR_HOURS
from jackshaft.search.patterns import Pattern
from jackshaft.search.problem import Problem
from jackshaft.units import HOUR, INCH


def stands_of(problem: Problem, pattern: Pattern, fitted, held) -> np.ndarray:
    """Tell which layouts the pages stop for none of these.

    Parameters
    ----------
    problem, pattern : Problem, Pattern
        What is searched.
    fitted : Fitted
        Layouts with their belts on.
    held : Held
        One number of belts, and how they are held.

    Returns
    -------
    array of bool, shape (m,)
    """
    good = (load_of(problem, pattern, held) >= 1.0) & _idlers(problem, pattern, fitted)
    good &= _pulled(problem, pattern, held) <= FOR_HOURS * problem.breaks
    if problem.life is not None:
        good &= _lasts(problem, fitted, held)
    return good


def load_of(problem: Problem, pattern: Pattern, held) -> np.ndarray:
    """Return by how much the likely grip holds the worst of start, peak and the work at full speed.

    Parameters
    ----------
    problem, pattern : Problem, Pattern
        What is searched.
    held : Held
        One number of belts, and how they are held.

    Returns
    -------
    array, shape (m,)
        Holds at 1 and above. Who asks for less grip than the work takes asks for as much less here.

    Source
    ------
    own-derivation, the margin grows with the tension that is left beside the centrifugal part
    """
    margin, room = held.least, 1.0
    start, full = margin / problem.start, margin
    if problem.way(pattern.moves is None) == LOCKED:
        # a belt on fixed centres loses its centrifugal part, none at the start, more at full speed
        tension, faster = problem.tension * held.belts, problem.full_speed / problem.speed
        with np.errstate(divide="ignore", invalid="ignore"):
            room = margin / (tension - held.centrifugal)
            start = np.where(margin > 0.0, tension * room / problem.start, 0.0)
            full = np.where(margin > 0.0, (tension - held.centrifugal * faster * faster) * room, 0.0)
    if problem.start <= 1.0:
        start = margin
    return np.minimum(np.minimum(start, full), margin / problem.peak) / min(1.0, problem.margin_least)


def _idlers(problem: Problem, pattern: Pattern, fitted) -> np.ndarray:
    """Tell where no placed idler is so small that the belt cracks on it."""
    good = np.ones(len(fitted.target), bool)
    for i in pattern.free:
        good &= fitted.loops.rim[i] >= problem.least_idlers[int(not pattern.inside[i])]
    return good


def _pulled(problem: Problem, pattern: Pattern, held) -> np.ndarray:
    """Return the most that one belt is pulled with for long, N: at rest, at work, and at full speed."""
    way = problem.way(pattern.moves is None)
    # what speed takes from a strand of fixed length it gives back as the centrifugal part
    more = held.centrifugal * (1.0 if way == LOCKED else (problem.full_speed / problem.speed) ** 2)
    rest = problem.tension / (held.belts if way == SPRING else 1.0)
    return np.maximum(rest, (held.net.max(axis=1) + more) / held.belts)


def _lasts(problem: Problem, fitted, held) -> np.ndarray:
    """Tell where the belt lasts as long as wanted, by the fatigue constants where they hold."""
    rows = problem.fatigue
    if not rows:
        return np.ones(len(fitted.target), bool)
    sizes = 2.0 * fitted.loops.r.T
    strands = (held.net + held.centrifugal[:, None]) / held.belts
    hours, _ = lasts_si(rows, strands, sizes, problem.speed * fitted.loops.r[0], fitted.found.length)
    covered = sizes.min(axis=1) >= rows[0]["min_pulley_in"] * INCH * (1 - 1e-9)
    return ~covered | (hours * HOUR >= problem.life)


__all__ = ["load_of", "stands_of"]

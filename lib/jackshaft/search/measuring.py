"""What layouts that a belt fits are worth: clearance, take-up, grip, hub load, rated power, room and parts to buy."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft.chapters.capacity.rated import FLAT_RIM
from jackshaft.chapters.grip.cases import SLIDE, SPRING
from jackshaft.mechanics import clearance, grip, path, rating
from jackshaft.search.fields import AT, FIELDS
from jackshaft.search.patterns import Pattern
from jackshaft.search.places import Loops
from jackshaft.search.problem import Problem
from jackshaft.search.stands import stands_of


def _some(a: np.ndarray, which: np.ndarray) -> np.ndarray:
    """Return some layouts of an array that has them on the first axis; in memory the pulleys stay on it."""
    return np.take(a.T, which, axis=-1).T


class Fitted(NamedTuple):
    """Layouts with the number of their belt in the stock, and their paths; ``found`` has them on the first axis."""

    loops: Loops
    target: np.ndarray
    found: path.Path

    def at(self, which: np.ndarray) -> Fitted:
        """Some of them."""
        return Fitted(self.loops.at(which), self.target[which], path.Path(*(_some(a, which) for a in self.found)))


class Held(NamedTuple):
    """One number of belts: margin at the bad end and rated power W; ``net``, ``least`` and ``level`` of the likely
    grip, as in :class:`jackshaft.mechanics.grip.Grip`, and the ``centrifugal`` part, N."""

    belts: int
    margin_bad: np.ndarray
    power: np.ndarray
    net: np.ndarray
    least: np.ndarray
    level: np.ndarray
    centrifugal: np.ndarray

    def at(self, which: np.ndarray) -> Held:
        """Some of the layouts."""
        return Held(self.belts, *(_some(a, which) for a in self[1:]))


def aims_of(rows: np.ndarray) -> np.ndarray:
    """Return what is weighed of stored layouts, less is better and all above nought.

    Parameters
    ----------
    rows : array, shape (m, len(FIELDS))
        Stored layouts.

    Returns
    -------
    array, shape (m, 5)
        1 / margin at the bad end, hub load N, belts, area of the upright box round the loop m2, 1 + parts to buy.

    Source
    ------
    own-derivation, by definition
    """
    one = {name: rows[:, k] for k, name in enumerate(FIELDS)}
    return np.stack(
        [1.0 / one["margin_bad"], one["hub"], one["belts"], one["wide"] * one["high"], 1.0 + one["bought"]], axis=1
    )


def gap_of(problem: Problem, pattern: Pattern, fitted: Fitted) -> np.ndarray:
    """Return the least gap round the belt, m; 0 where strands cross, inf where nothing is near."""
    loop, found = room_of(problem, pattern, fitted), fitted.found
    gap = clearance.least_gap_si(loop, problem.bodies)
    if pattern.count > 2:
        gap[clearance.strands_cross_si(*path.tangents_si(loop.x, loop.y, loop.r, found), found, loop.r)] = 0.0
    return gap


def room_of(problem: Problem, pattern: Pattern, fitted: Fitted) -> clearance.Loop:
    """Return what the room round the layouts is measured of."""
    x, y, r, rim, _ = fitted.loops
    back = problem.belt.cord_depth
    return clearance.Loop(
        x=x.T,
        y=y.T,
        r=r.T,
        rim=rim.T,
        inside=np.asarray(pattern.inside),
        found=fitted.found,
        ccw=problem.ccw,
        inner=problem.belt.height - back,
        outer=back,
    )


def turn_rate_of(problem: Problem, pattern: Pattern, fitted: Fitted) -> np.ndarray:
    """Return the belt taken up for a turn of the arm counter-clockwise, m/rad."""
    i, found = pattern.moves, fitted.found
    ax, ay = fitted.loops.x[i] - problem.pivot[0], fitted.loops.y[i] - problem.pivot[1]
    return (found.uy[:, i - 1] - found.uy[:, i]) * ax - (found.ux[:, i - 1] - found.ux[:, i]) * ay


def rate_of(problem: Problem, pattern: Pattern, fitted: Fitted) -> np.ndarray | None:
    """Return the belt taken up by a metre of the arm's travel; None where there is no arm."""
    i, pivot = pattern.moves, problem.pivot
    if pivot is None or i is None:
        return None
    with np.errstate(invalid="ignore", divide="ignore"):
        arm = np.hypot(fitted.loops.x[i] - pivot[0], fitted.loops.y[i] - pivot[1])
        return np.abs(turn_rate_of(problem, pattern, fitted)) / arm


def hold_of(problem: Problem, pattern: Pattern, fitted: Fitted) -> list[Held]:
    """Return grip, hub load and rated power for 1, 2, ... belts."""
    p, s, found, r = problem, pattern, fitted.found, fitted.loops.r
    speed, way = p.speed * r[0], p.way(s.moves is None)
    pulls = np.zeros((s.count, len(speed))).T  # pulleys on the first axis in memory
    pulls[:, s.driven] = p.power / speed
    pulls[:, 0] = -pulls[:, s.driven]
    likely, bad = (np.where(s.flat, p.grips[1][k], p.grips[0][k]) for k in (0, 1))
    # The arc factor that counts is the lesser of the two pulleys with power; on a flat rim it is a flat's.
    arcs = [
        1.25 * (1.0 - np.exp(-FLAT_RIM * found.wrap[:, i])) if s.flat[i] else rating.arc_factor.si(found.wrap[:, i])
        for i in (0, s.driven)
    ]
    one = s.pairs.rated[fitted.loops.picked[0]] * np.minimum(*arcs) * p.length_factors[fitted.target]
    centrifugal = p.belt.mass * speed * speed
    # as it is set, and where it comes down to at the bad end
    at_likely, at_bad = (
        grip.grip_si(pulls, found.wrap, friction, _hold(p, s, fitted, tension, centrifugal))
        for friction, tension in ((likely, p.tension), (bad, p.tension * (1.0 - p.scatters[s.moves is None])))
    )
    level = np.broadcast_to(at_likely.level, one.shape)
    held = []
    for belts in range(1, p.belts_most + 1):
        # A spring pulls all belts together; else each is as tight.
        times = 1 if way == SPRING else belts
        held.append(
            Held(
                belts=belts,
                margin_bad=times * at_bad.least,
                power=one * belts,
                net=at_likely.net + ((times - 1) * level)[:, None],
                least=times * at_likely.least,
                level=times * level,
                centrifugal=belts * centrifugal,
            )
        )
    return held


def _hold(problem: Problem, pattern: Pattern, fitted: Fitted, tension: float, centrifugal: np.ndarray) -> grip.Hold:
    """Return how layouts are held with one belt."""
    way = problem.way(pattern.moves is None)
    if way == SPRING:
        return grip.held_strand_si(pattern.count, pattern.moves, tension)
    if way == SLIDE:
        # Of two pulleys both strands lie alike to the line of centres, along which the shaft is pushed.
        half, total = np.full(2, 0.5), np.asarray(float(tension))
        return grip.Hold(half, total, total)
    return grip.fixed_centres_si(fitted.found.span, fitted.found.wrap, fitted.loops.r.T, tension, centrifugal)


def rows_of(
    problem: Problem, pattern: Pattern, fitted: Fitted, held: Held, *, number: int, gap: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Return what is stored of layouts with one number of belts, shape (m, len(FIELDS)), and which of them stand."""
    s, (x, y, _, _, picked), found = pattern, fitted.loops, fitted.found
    edge = clearance.edges_si(room_of(problem, s, fitted)).T
    wide, high = ((a + edge).max(axis=0) - (a - edge).min(axis=0) for a in (x, y))
    sizes = [s.pairs.driver.size[picked[0]], s.pairs.driven.size[picked[0]]]
    sizes += [one.size[picked[1 + k]] for k, one in enumerate(s.idlers)]
    values = {
        "pattern": number,
        "driver": sizes[0],
        "driven": sizes[1],
        "belts": held.belts,
        "stock": fitted.target,
        "length": found.length,
        "margin": held.least,
        "margin_bad": held.margin_bad,
        "hub": grip.hub_si(grip.carried_si(held), found.ux, found.uy).size.max(axis=1),
        "wide": wide,
        "high": high,
        "gap": gap,
        "bought": _bought(problem, np.stack(sizes), fitted.target, held.belts),
        "power": held.power,
    }
    for k, i in enumerate(s.free):
        values |= {f"size{k}": sizes[2 + k], f"x{k}": x[i], f"y{k}": y[i]}
    if s.moves is None:
        values["centres"] = np.hypot(x[s.driven] - x[0], y[s.driven] - y[0])
    rows = np.full((len(gap), len(FIELDS)), np.nan)
    for name, value in values.items():
        rows[:, AT[name]] = value
    return rows, stands_of(problem, s, fitted, held)


def _bought(problem: Problem, sizes: np.ndarray, target: np.ndarray, belts: int) -> np.ndarray:
    """Count what must be bought: pulleys that are not on hand, and belts."""
    there = np.zeros(sizes.shape[1])
    for size, number in problem.on_hand:
        there += np.minimum((np.abs(sizes - size) < 1e-5).sum(axis=0), number)
    whole, more = (1, 0) if problem.ribbed else (belts, max(0, belts - problem.have))
    return len(sizes) - there + np.where(problem.own[target], more, whole)

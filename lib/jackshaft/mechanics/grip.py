"""Grip: strand tensions round the loop, the pulley that slips first, and the load on every shaft.

Strand i leaves pulley i for pulley i+1. A pulley's *pull* is what it takes out of the belt, in newtons:
above nought for a driven pulley, below for a driver, nought for an idler; the pulls of a loop add up to
nought and strand i is tighter than the strand before pulley i by that pull. *Net* tension is what is
left after the centrifugal part m v^2: it alone grips and it alone loads the shafts.

However a belt is tightened, the rule is one linear equation in the net tensions, ``sum(w_i t_i) = q``: the
three ways below only give the weights w and the amount q (see :class:`Hold`).
"""

from typing import NamedTuple

import numpy as np


class Hold(NamedTuple):
    """How the belt is kept tight: ``sum(weights * net) = total`` running, ``= at_rest`` standing still."""

    weights: np.ndarray
    total: np.ndarray
    at_rest: np.ndarray


class Grip(NamedTuple):
    """Tensions and margins of a loop; pulleys (and the strand that leaves each) on the last axis.

    ``net`` and ``tension`` in N without and with the centrifugal part, as they would be if the belt never slipped
    (see :func:`carried_si`); ``level`` the net tension of all strands with no load; ``margin`` the multiple of the
    load at which each pulley slips (inf for an idler, 0 where the belt is loose), ``least`` the smallest of
    them, ``limiting`` its pulley; ``needed`` the smallest ``total`` of the hold that carries this load;
    ``slip_pull`` the pull in N at which each pulley slips when the whole load grows in step.
    """

    net: np.ndarray
    tension: np.ndarray
    margin: np.ndarray
    least: np.ndarray
    limiting: np.ndarray
    needed: np.ndarray
    slip_pull: np.ndarray
    level: np.ndarray


class Hub(NamedTuple):
    """Force of the belt on each shaft: components along x and y and size, N."""

    x: np.ndarray
    y: np.ndarray
    size: np.ndarray


class Strands(NamedTuple):
    """``role`` +1 tight, 0 between, -1 slack for each strand; ``tight_idler`` an idler in one that is not slack."""

    role: np.ndarray
    tight_idler: np.ndarray


def fixed_centres_si(span, wrap, r, static, centrifugal=0.0):
    """Belt tightened once and locked: the stretch of the whole loop stays what it was.

    Parameters
    ----------
    span, wrap, r : array, shape (..., n)
        Strands in m, wraps in rad, radii in m.
    static : array, shape (...)
        Tension of every strand at rest, N.
    centrifugal : array, shape (...)
        m v^2, N; with the length fixed it comes out of the net tension.

    Returns
    -------
    Hold

    Source
    ------
    own-derivation, an elastic belt of constant stiffness; the tension on an arc taken as the mean of its ends
    """
    arc = np.asarray(wrap) * np.asarray(r)
    weights = np.asarray(span) + 0.5 * (arc + np.roll(arc, -1, axis=-1))
    weights = weights / np.sum(weights, axis=-1, keepdims=True)
    return Hold(weights, np.asarray(static) - centrifugal, np.asarray(static, dtype=float))


def held_strand_si(count, strand, tension):
    """Spring or weight that keeps one strand at a constant net tension, whatever the load.

    Parameters
    ----------
    count : int
        Number of pulleys.
    strand : int
        The strand held: the one that leaves the idler (the one before it is as tight).
    tension : array, shape (...)
        Net tension that the idler holds, N.

    Returns
    -------
    Hold

    Source
    ------
    own-derivation, an idler takes no pull, and the centrifugal part does not load it
    """
    weights = np.zeros(count)
    weights[strand] = 1.0
    return Hold(weights, np.asarray(tension, dtype=float), np.asarray(tension, dtype=float))


def sliding_base_si(ux, uy, index, along_x, along_y, force):
    """Shaft on a slide with a constant force along it: a sprung or weighted motor base.

    Parameters
    ----------
    ux, uy : array, shape (..., n)
        Directions of the strands.
    index : int
        The pulley on the sliding shaft.
    along_x, along_y : float
        Direction of the force on the shaft (made of unit length here).
    force : array, shape (...)
        Force on the shaft along that direction, N.

    Returns
    -------
    Hold

    Source
    ------
    own-derivation, forces along the slide
    """
    size = np.hypot(along_x, along_y)
    return _held_at((along_x * ux + along_y * uy) / size, index, -np.asarray(force, dtype=float))


def _held_at(part, index, total):
    """Weights of the hub force of one pulley along a direction (or about a pivot)."""
    weights = np.zeros(np.shape(part))
    weights[..., index] += part[..., index]
    weights[..., index - 1] -= part[..., index - 1]
    return Hold(weights, total, total)


def pulls_si(power, speed, driver):
    """Pulls of all pulleys from the power each driven pulley takes; the driver gives the sum.

    Parameters
    ----------
    power : array, shape (..., n)
        Power taken out of the belt at each pulley, W; the driver's own entry is not read.
    speed : array, shape (...)
        Belt speed, m/s.
    driver : int
        The pulley that drives.

    Returns
    -------
    array, shape (..., n)
        Pulls, N; they add up to nought.

    Source
    ------
    own-derivation, power = pull x belt speed
    """
    power = np.array(power, dtype=float)
    power[..., driver] = 0.0
    power[..., driver] = -np.sum(power, axis=-1)
    return power / np.asarray(speed, dtype=float)[..., None]


def load_cases_si(pulls, *, start=1.0, peak=1.0, overrun=0.0):
    """Stack the pulls of start, work, peak and overrun.

    Parameters
    ----------
    pulls : array, shape (..., n)
        Pulls at work, N.
    start, peak : float
        Multiples of the load at work.
    overrun : float
        Share of the working load with which the work drives back (throttle shut, rotor turning).

    Returns
    -------
    array, shape (4, ..., n)
        Pulls, N, in the order start, work, peak, overrun.

    Source
    ------
    own-derivation, in overrun every pull changes sign, so that tight and slack strands swap
    """
    pulls = np.asarray(pulls, dtype=float)
    return np.stack([start * pulls, pulls, peak * pulls, -overrun * pulls])


def grip_si(pulls, wrap, friction, hold, centrifugal=0.0):
    """Solve the strand tensions round the loop and find the pulley that slips first.

    Parameters
    ----------
    pulls : array, shape (..., n)
        What each pulley takes out of the belt, N; they add up to nought.
    wrap : array, shape (..., n)
        Wraps, rad.
    friction : array, shape (..., n)
        Coefficient that goes into exp(k wrap): with the wedge in it for a groove, plain for a flat.
    hold : Hold
        How the belt is kept tight.
    centrifugal : array, shape (...)
        m v^2, N.

    Returns
    -------
    Grip

    Source
    ------
    shigley, ch. 17 (capstan law with centrifugal tension); derived for more than two pulleys
    """
    pulls, wrap, friction = (np.asarray(a, dtype=float) for a in (pulls, wrap, friction))
    weights, total = np.asarray(hold.weights, dtype=float), np.asarray(hold.total, dtype=float)
    size = np.abs(pulls)
    # Idlers take nothing, but for rounding in the sum of the others.
    busy = size > 1e-9 * np.max(size, axis=-1, keepdims=True)
    rise = np.cumsum(pulls, axis=-1)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        share = np.asarray(np.sum(weights, axis=-1))
        idle = np.asarray(total / share)
        swing = rise - np.asarray(np.sum(weights * rise, axis=-1) / share)[..., None]
        net = idle[..., None] + swing
        lead = np.broadcast_shapes(net.shape, wrap.shape, friction.shape)[:-1]
        count = net.shape[-1]
        friction = np.broadcast_to(friction, np.broadcast_shapes(friction.shape, (count,)))
        margin = np.full((count,) + lead, np.inf)
        least, most = np.full(lead, np.inf), np.zeros(lead)
        limiting = np.zeros(lead, np.intp)
        grips = np.maximum(idle, 0.0)
        for i in range(count):
            works = busy[..., i]
            if not works.any():
                continue
            high, low = swing[..., i], swing[..., i - 1]
            if pulls.ndim == 1:
                high, low = (high, low) if pulls[i] > 0.0 else (low, high)
            else:
                driven = pulls[..., i] > 0.0
                high, low = np.where(driven, high, low), np.where(driven, low, high)
            ratio = np.exp(friction[..., i] * wrap[..., i])
            # Slip begins at idle + load high = ratio (idle + load low): the idle tension it takes is
            need = (high - ratio * low) / (ratio - 1.0)
            here = grips / need
            mine = margin[i, ...]
            np.copyto(mine, here, where=works & ~(need <= 0.0))
            limiting[mine < least] = i
            np.minimum(least, mine, out=least)
            np.maximum(most, need, out=most, where=works)
        margin = np.moveaxis(margin, 0, -1)
        slip = margin * np.where(busy, size, np.inf)
    return Grip(
        net=net,
        tension=net + np.asarray(centrifugal)[..., None],
        margin=margin,
        least=least,
        limiting=limiting,
        needed=most * share,
        slip_pull=slip,
        level=idle,
    )


def carried_si(found):
    """Net tensions of the strands that a slipping belt leaves: no strand pushes, and no more is carried than grips.

    Parameters
    ----------
    found : Grip
        What :func:`grip_si` found.

    Returns
    -------
    array, shape (..., n)
        N. Those of ``net`` where the belt holds; where it slips those at the load at which it slips, and nought where
        the belt hangs loose.

    Source
    ------
    own-derivation, the tensions are linear in the load, and a belt that slips carries the load at which it slips
    """
    share = np.minimum(found.least, 1.0)[..., None]
    level = found.level[..., None]
    return np.maximum(level, 0.0) + share * (found.net - level)


def hub_si(net, ux, uy):
    """Force of the belt on every shaft.

    Parameters
    ----------
    net : array, shape (..., n)
        Net strand tensions, N (the centrifugal part does not load the shafts).
    ux, uy : array, shape (..., n)
        Directions of the strands.

    Returns
    -------
    Hub
        N; running with running tensions, at rest with those of :func:`rest_si`.

    Source
    ------
    own-derivation, the strand that leaves pulls along its travel, the one that arrives against it
    """
    before = np.roll(net, 1, axis=-1)
    fx = net * ux - before * np.roll(ux, 1, axis=-1)
    fy = net * uy - before * np.roll(uy, 1, axis=-1)
    return Hub(fx, fy, np.hypot(fx, fy))


def rest_si(hold):
    """Tension of every strand with the drive standing still and no torque on it.

    Parameters
    ----------
    hold : Hold
        How the belt is kept tight.

    Returns
    -------
    array, shape (..., n)
        N, the same for all strands of a loop.

    Source
    ------
    own-derivation, friction at rest not counted, so all strands level out
    """
    weights = np.asarray(hold.weights, dtype=float)
    level = np.asarray(np.asarray(hold.at_rest) / np.sum(weights, axis=-1))
    return np.broadcast_to(level[..., None], np.broadcast_shapes(level.shape + (1,), weights.shape)).copy()


def strands_si(pulls):
    """Tell tight from slack strands, from the direction of travel and who drives.

    Parameters
    ----------
    pulls : array, shape (..., n)
        What each pulley takes out of the belt, N.

    Returns
    -------
    Strands

    Source
    ------
    own-derivation, tension rises at a driven pulley and falls at a driver, in the direction of travel
    """
    pulls = np.asarray(pulls, dtype=float)
    rise = np.cumsum(pulls, axis=-1)
    low, high = np.min(rise, axis=-1, keepdims=True), np.max(rise, axis=-1, keepdims=True)
    near = 1e-6 * (high - low)
    role = np.where(rise >= high - near, 1, np.where(rise <= low + near, -1, 0))
    role = np.where(high - low > 0.0, role, 0)
    size = np.abs(pulls)
    idle = size <= 1e-9 * np.max(size, axis=-1, keepdims=True)
    # between two driven pulleys a strand is tighter than the slack one: no place for a spring either
    return Strands(role, idle & (role >= 0) & (high - low > 0.0))

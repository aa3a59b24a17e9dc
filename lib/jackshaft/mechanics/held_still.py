"""One of several driven shafts held still while the others go on: where the belt slides, and what that costs.

The belt goes on, sliding over the pulley that stands, unless the driver slips before that. Then it slides over both:
it slows down, the other shafts with it, until what they still take leaves both pulleys just on the edge. Strand
tensions are linear in the pulls, and how the belt is kept tight is one more linear equation (see ``grip``), so either
way ends in linear equations.
"""

from typing import NamedTuple

import numpy as np


class HeldStill(NamedTuple):
    """A loop with one driven pulley held still; pulleys on the last axis of ``pulls``, ``net`` and ``margin``.

    ``pulls`` is what each pulley takes out of the belt, ``net`` the net tensions of the strands, N. ``slides`` and
    ``driver_slides`` tell whether the belt slides over the pulley that stands, and over the driver. ``torque`` is the
    torque of the other shafts over that at work, ``speed`` that of the belt. ``margin`` holds the multiple of its pull
    that each other driven pulley holds between these strands (inf for the rest): under 1 it slips too, which is not
    counted in.
    """

    pulls: np.ndarray
    net: np.ndarray
    slides: np.ndarray
    driver_slides: np.ndarray
    torque: np.ndarray
    speed: np.ndarray
    margin: np.ndarray


class _Edge(NamedTuple):
    """How far the strands of a pulley are past what it holds, N: ``level + others x torque + held x pull``."""

    level: np.ndarray
    others: np.ndarray
    held: np.ndarray

    def at(self, torque, pull):
        """Return that at a share of the other shafts' torque and a pull of the pulley that stands: slips above 0."""
        return self.level + self.others * torque + self.held * pull

    def pull(self, torque):
        """Return the pull at which the pulley is on the edge, N; inf where more pull only presses the belt on."""
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.where(self.held > 0.0, -(self.level + self.others * torque) / self.held, np.inf)

    def torque(self, pull):
        """Return the share of the other shafts' torque at which the pulley is on the edge; 0 where they ask none."""
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.where(self.others > 0.0, -(self.level + self.held * pull) / self.others, 0.0)


def held_still_si(pulls, wrap, friction, hold, roles, power=2.0, most=np.inf):
    """Hold one driven pulley still and find where the belt slides, and the strand tensions then.

    Parameters
    ----------
    pulls : array, shape (n,)
        What each pulley takes out of the belt at work, N; they add up to nought.
    wrap : array, shape (n,)
        Wraps, rad.
    friction : array, shape (..., n)
        Coefficient that goes into exp(k wrap): with the wedge in it for a groove, plain for a flat.
    hold : Hold
        How the belt is kept tight, with a ``total`` of shape (...).
    roles : tuple of int
        The driven pulley that stands, and the driver.
    power : float or array, shape (n,)
        How the torque of the other shafts goes with their speed, of all or of each: 0 the same at every speed, 1 in
        step, 2 with the square.
    most : array, shape (...)
        The most that the pulley that stands takes, N, where something else gives before the belt does.

    Returns
    -------
    HeldStill
        Where the other shafts want their torque at every speed and the driver slips, all of them come to a stand:
        ``torque`` is then what they hold, the least at which no pulley carries more than its wrap passes.
        No pull is below nought: a strand that hangs loose pulls nothing.

    Source
    ------
    shigley, ch. 17 (capstan law); own-derivation, the law holds with equality at one pulley or at two
    """
    (stands, driver), pulls = roles, np.array(pulls, dtype=float)
    ratio = np.exp(np.asarray(friction, dtype=float) * np.asarray(wrap, dtype=float))
    level = np.asarray(hold.total, dtype=float) / np.sum(hold.weights)
    alone, rest = np.zeros_like(pulls), pulls.copy()
    alone[stands], alone[driver] = 1.0, -1.0
    rest[stands] = rest[driver] = 0.0
    rest[driver] = -np.sum(rest)
    others = [i for i in range(len(pulls)) if rest[i] > 0.0]
    laws = np.broadcast_to(np.asarray(power, dtype=float), pulls.shape)
    loop = _Loop(rest=rest, alone=alone, level=level, ratio=ratio, roles=roles, weights=hold.weights)
    if np.ptp(laws[others]) if others else 0.0:
        return _apart(loop, laws, np.asarray(most, dtype=float), others)
    power = float(laws[others[0] if others else stands])
    swings = [_swing(p, hold.weights) for p in (rest, alone)]
    edge = _edge(level, swings, (stands, stands - 1), ratio[..., stands])
    slip = _edge(level, swings, (driver - 1, driver), ratio[..., driver])
    torque, pull, speed, slides, driver_slides = _settled(edge, slip, power, np.asarray(most, dtype=float))
    found = torque[..., None] * rest + pull[..., None] * alone
    net = level[..., None] + torque[..., None] * swings[0] + pull[..., None] * swings[1]
    return HeldStill(
        pulls=found,
        net=net,
        slides=slides,
        driver_slides=driver_slides,
        torque=torque,
        speed=speed,
        margin=_margin(found, net, ratio, others),
    )


class _Loop(NamedTuple):
    """A loop to hold still; pulls of the other shafts, and of 1 N at the one that stands, each with the driver's."""

    rest: np.ndarray
    alone: np.ndarray
    level: np.ndarray
    ratio: np.ndarray
    roles: tuple
    weights: np.ndarray

    def at(self, torque):
        """Return pulls and swings of the other shafts at shares of their torque, shape (..., n), and both edges."""
        stands, driver = self.roles
        rest = np.where(self.rest > 0.0, self.rest * torque, 0.0)
        rest[..., driver] = -np.sum(rest, axis=-1)
        swings = [_swing(p, self.weights) for p in (rest, self.alone)]
        edge = _edge(self.level, swings, (stands, stands - 1), self.ratio[..., stands])
        return rest, swings, edge, _edge(self.level, swings, (driver - 1, driver), self.ratio[..., driver])


def _apart(loop, laws, most, others):
    """Hold a pulley still where the torque of the other shafts goes with their speed in different ways.

    The speed at which pulley and driver are both on the edge is found by halving, down from the working speed.
    """

    def past(speed):
        _, _, edge, slip = loop.at(speed[..., None] ** laws)
        pull = edge.pull(1.0)
        bounded = np.isfinite(pull)
        return np.where(bounded, slip.at(1.0, np.where(bounded, pull, 0.0)), slip.held) > 0.0

    full = np.ones(np.shape(loop.ratio)[:-1])
    slow, stand = past(full), past(0.0 * full)
    low, high = 0.0 * full, full
    for _ in range(60):
        middle = 0.5 * (low + high)
        slips = past(middle)
        low, high = np.where(slips, low, middle), np.where(slips, middle, high)
    stand &= slow
    speed = np.where(slow, np.where(stand, 0.0, low), 1.0)
    shares = np.where(stand[..., None], 0.0, speed[..., None] ** laws)
    _, _, edge, slip = loop.at(shares)
    pull = np.where(stand, slip.pull(1.0), edge.pull(1.0))
    capped = pull > most
    pull = np.maximum(np.where(capped, most, pull), 0.0)
    holds = capped & (loop.at(np.ones_like(shares))[3].at(1.0, pull) <= 0.0)
    speed, shares = np.where(holds, 1.0, speed), np.where(holds[..., None], 1.0, shares)
    rest, swings, _, _ = loop.at(shares)
    found = rest + pull[..., None] * loop.alone
    net = loop.level[..., None] + swings[0] + pull[..., None] * swings[1]
    return HeldStill(
        pulls=found,
        net=net,
        slides=~(capped | stand),
        driver_slides=slow & ~holds,
        torque=np.sum(rest[..., others], axis=-1) / np.sum(loop.rest[others]),
        speed=speed,
        margin=_margin(found, net, loop.ratio, others),
    )


def _swing(pulls, weights):
    """Return what pulls do to the strands where the hold keeps its total, N."""
    rise = np.cumsum(pulls, axis=-1)
    return rise - np.sum(weights * rise, axis=-1, keepdims=True) / np.sum(weights)


def _edge(level, swings, strands, ratio):
    """Return the edge of a pulley between its (tight, slack) strands."""
    tight, slack = strands
    return _Edge(level * (1.0 - ratio), *(s[..., tight] - ratio * s[..., slack] for s in swings))


def _settled(edge, slip, power, most):
    """Return torque share, pull and speed at which all settles, and whether the belt slides over either pulley."""
    one = edge.pull(1.0)
    least = np.clip(one, 0.0, most)
    with np.errstate(divide="ignore", invalid="ignore"):
        past = np.where(np.isfinite(least), slip.at(1.0, np.where(np.isfinite(least), least, 0.0)), slip.held) > 0.0
        det = edge.others * slip.held - edge.held * slip.others
        share = (edge.held * slip.level - edge.level * slip.held) / det
        both = (edge.level * slip.others - edge.others * slip.level) / det
    # Where the belt stands too, the driver's limit alone would put more on the pulley that stands than its own passes:
    # the others, which hold still against what is left, then take the share at which both are on the edge.
    between = (share > 0.0) & (share < 1.0)
    free = np.where(past, np.where(between, both, slip.pull(0.0)), one)
    capped = free > most
    pull = np.clip(free, 0.0, most)
    torque = np.where(past, np.clip(slip.torque(pull), 0.0, 1.0), 1.0)
    stand = past & ((power == 0.0) | (torque == 0.0))
    speed = np.where(stand, 0.0, torque if power == 0.0 else torque ** (1.0 / power))
    return torque, pull, speed, ~(capped | stand), past


def _margin(pulls, net, ratio, others):
    """Return the multiple of its pull that each of the other driven pulleys holds at its slack strand."""
    margin = np.full(np.shape(net), np.inf)
    with np.errstate(divide="ignore", invalid="ignore"):
        for i in others:
            slack = np.maximum(net[..., i - 1], 0.0)
            margin[..., i] = np.where(pulls[..., i] > 0.0, slack * (ratio[..., i] - 1.0) / pulls[..., i], np.inf)
    return margin


def slide_heat_si(held, speed, roles):
    """Heat where the belt slides, at the pulley that stands and at the driver.

    Parameters
    ----------
    held : HeldStill
        What :func:`held_still_si` found.
    speed : float
        Speed of the driver's rim, m/s.
    roles : tuple of int
        The driven pulley that stands, and the driver.

    Returns
    -------
    tuple of array
        W, at the one and at the other.

    Source
    ------
    own-derivation, force between rim and belt times their difference of speed
    """
    stands, driver = roles
    return held.pulls[..., stands] * speed * held.speed, -held.pulls[..., driver] * speed * (1.0 - held.speed)


__all__ = ["HeldStill", "held_still_si", "slide_heat_si"]

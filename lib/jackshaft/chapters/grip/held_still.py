"""One of several driven shafts held still while the others go on: strands, heat, and whether the engine notices."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft.chapters.grip.cases import LOCKED, Case, LoadedLoop, hubs_of
from jackshaft.chapters.ratio.data import RatioData, ShaftState
from jackshaft.mechanics import held_still as mech
from jackshaft.parts.engine_curve import engine_peak
from jackshaft.parts.motor import is_motor, pull_out
from jackshaft.parts.seldom import held_still as in_words
from jackshaft.parts.works import CURVES, work_key
from jackshaft.results.reader import Reader

#: Rounds in which speed and what it takes of a locked belt's tension settle on each other.
ROUNDS = 40

LIKELY, BAD, HIGH = range(3)


class Standing(NamedTuple):
    """One driven shaft of a loop held still, SI units; arrays hold the likely, bad and high end of grip, shape (3,).

    ``pulley`` is its pulley. ``found`` holds pulls and net strands, ``centrifugal`` what bends the belt round at the
    speed that it then has. ``heat`` is that at the pulley that stands, ``heat_driver`` at the driver, ``engine`` the
    torque that the engine feels; ``before`` names what may slip there before the engine stalls. ``case`` is the load
    case for shafts, bearings and idlers: at the high end, and no more than what drives the belt can give.
    """

    shaft: str
    pulley: int
    found: mech.HeldStill
    centrifugal: np.ndarray
    heat: np.ndarray
    heat_driver: np.ndarray
    engine: np.ndarray
    case: Case
    before: tuple[str, ...] = ()


def standing_of(
    reader: Reader, loop: LoadedLoop, ratio: RatioData, shaft: ShaftState, gives: float | None
) -> tuple[Standing, ...]:
    """Hold the driven shafts of a loop still, one after the other; none where it drives one, or is not known tight.

    ``gives`` is the most, N m, that whatever drives the loop can put into ``shaft``, its driving shaft; None where
    nothing is known to bound it.
    """
    p = loop.layout.pulleys
    if not p.several or loop.hold is None or not loop.layout.speed:
        return ()
    power = np.zeros(len(p.names))
    for i in p.works:
        power[i] = CURVES[reader.get(work_key(reader, p.shafts[i], "load_curve")) or "same at every speed"]
    return tuple(_one(loop, i, shaft=shaft, power=power, gives=gives) for i in p.works)


def _one(loop: LoadedLoop, i: int, *, shaft: ShaftState, power: np.ndarray, gives: float | None) -> Standing:
    p, roles = loop.layout.pulleys, (i, loop.layout.pulleys.driver)
    found, centrifugal = _settled(loop, roles, power, np.inf)
    radius, speed = float(p.pitch[p.driver]), float(loop.layout.speed)
    others = float(sum(loop.pulls[j] for j in p.works if j != i))
    most = np.inf if gives is None else max(gives / radius - others, 0.0)
    hard, turning = _settled(loop, roles, power, most)
    heat, heat_driver = mech.slide_heat_si(found, speed, roles)
    engine = -found.pulls[:, p.driver] * radius / (shaft.over * shaft.passed)
    name = in_words(p.shafts[i] or p.names[i])
    case = _case(loop, name, hard, float(turning[HIGH]))
    return Standing(p.shafts[i] or p.names[i], i, found, centrifugal, heat, heat_driver, engine, case)


def _settled(
    loop: LoadedLoop, roles: tuple[int, int], power: np.ndarray, most: float
) -> tuple[mech.HeldStill, np.ndarray]:
    """Return the loop with a pulley held still at all three ends, and what is centrifugal at the speed it then has."""
    speed = np.ones(3)
    k = np.stack([loop.friction.likely, loop.friction.bad, loop.friction.high])
    for _ in range(ROUNDS):
        hold = loop.hold_at(loop.ends, loop.centrifugal * speed**2)
        found = mech.held_still_si(loop.pulls, loop.layout.path.wrap, k, hold, roles, power, most)
        near = np.allclose(found.speed, speed, rtol=0.0, atol=1e-6)
        # half way each round, since a slower belt is tighter and drives more
        speed = 0.5 * (speed + found.speed)
        if near or loop.way != LOCKED:
            break
    return found, loop.centrifugal * found.speed**2


def _case(loop: LoadedLoop, name: str, found: mech.HeldStill, centrifugal: float) -> Case:
    """Return the load case of the high end; the belt slides in it, so its margin is 1 where it does."""
    p, pulls, net = loop.layout.pulleys, found.pulls[HIGH], np.maximum(found.net[HIGH], 0.0)
    margin = np.ones(len(p.names))
    return Case(
        name=name,
        factor=float(pulls[p.driver] / loop.pulls[p.driver]),
        pulls=pulls,
        centrifugal=centrifugal,
        margin=margin,
        margin_bad=margin,
        net=net,
        hub=hubs_of(net, loop.layout),
        needed=np.nan,
        needed_bad=np.nan,
        tight=float(np.max(net)),
        slack=float(np.min(net)),
        margin_high=margin,
    )


def engine_most(reader: Reader) -> tuple[float, float] | None:
    """Return the ends of the torque at which what drives stalls or pulls out, N m; None where it is not known."""
    if is_motor(reader):
        return pull_out(reader)
    peak = engine_peak(reader)
    return None if peak is None else (peak, peak)


__all__ = ["BAD", "HIGH", "LIKELY", "Standing", "engine_most", "standing_of"]

"""An engagement of the clutch followed through time, with torques that change with time and speed.

Everything is at the clutch's shaft: reflect the load first. Inertia in kg·m², torque in N·m, speed in rad/s, time in s,
heat in J. The engine side is 1, the driven side 2.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from itertools import count
from typing import Any, NamedTuple

import numpy as np

from jackshaft.units import OutOfRange, above_zero

#: How often the rates are evaluated in one integration, at most: a usual engagement takes some hundreds.
MOST_STEPS = 50_000


class History(NamedTuple):
    """Engagement step by step: time, both speeds, slip heat, and how it ended.

    ``work_in`` and ``work_out`` are what the engine torque gave and the load torque took (J).
    """

    times: np.ndarray
    engine: np.ndarray
    load: np.ndarray
    heat: np.ndarray
    work_in: np.ndarray
    work_out: np.ndarray
    locks: bool
    stalls: bool
    lock_time: float


class Side(NamedTuple):
    """One side of the clutch: inertia (kg·m²), torque (N·m) from its speed (rad/s), speed at the start (rad/s)."""

    inertia: float
    torque: Callable[[float], float]
    speed: float = 0.0


def history_si(
    engine: Side,
    load: Side,
    clutch: Callable[[float, float], float],
    *,
    stall: float = 0.0,
    longest: float = 60.0,
    points: int = 200,
    solver: Mapping[str, Any] | None = None,
) -> History:
    """Engagement with torques that change with time and speed, integrated step by step.

    Parameters
    ----------
    engine : Side
        The engine: what it gives.
    load : Side
        Driven side, reflected to the clutch: what it takes.
    clutch : callable
        Dynamic torque (N·m) from time (s) and slip (rad/s).
    stall : float
        Speed at which the engine dies (rad/s).
    longest : float
        Give up after this time (s).
    points : int
        Points of the answer.
    solver : mapping, optional
        Settings of scipy's ``solve_ivp``; the relative tolerance is 1e-8 unless given.

    Returns
    -------
    History
        Times (s), speeds (rad/s), slip heat (J), work of engine and load (J), whether it locked or
        stalled, and when it locked (s, ``inf`` where it did not).

    Raises
    ------
    OutOfRange
        Inertias of zero or below, a driven side faster than the engine, or an integration that failed or
        took more than ``MOST_STEPS`` evaluations of the rates.

    Source
    ------
    Newton's law for two inertias; integrated by a general library, not by the closed form.
    """
    # scipy is heavy to load and only this function needs it
    from scipy.integrate import solve_ivp

    above_zero(engine_inertia=engine.inertia, load_inertia=load.inertia)
    if load.speed > engine.speed:
        raise OutOfRange("the driven side is faster than the engine: this is an overrun, not an engagement")

    def together(t, y):
        return y[0] - y[1]

    def dies(t, y):
        return y[0] - stall

    together.terminal, dies.terminal, together.direction, dies.direction = True, True, -1.0, -1.0
    settings = {"rtol": 1e-8, **(solver or {})}
    kinetic = 0.5 * max(engine.inertia, load.inertia) * max(engine.speed, 1e-9) ** 2
    scale = np.array([engine.speed, engine.speed, kinetic, kinetic, kinetic]) + 1e-12
    found = solve_ivp(
        _rates(engine, load, clutch),
        (0.0, longest),
        (engine.speed, load.speed, 0.0, 0.0, 0.0),
        atol=scale * settings["rtol"] * 1e-2,
        events=(together, dies),
        dense_output=True,
        **settings,
    )
    if not found.success:
        raise OutOfRange(f"the engagement could not be integrated: {found.message}")
    locks, stalls = len(found.t_events[0]) > 0, len(found.t_events[1]) > 0
    times = np.linspace(0.0, found.t[-1], points)
    y = found.sol(times)
    y[:, -1] = found.y[:, -1]
    return History(times, *y[:5], locks, stalls and not locks, float(found.t[-1]) if locks else math.inf)


def _rates(engine: Side, load: Side, clutch: Callable[[float, float], float]):
    """What the two speeds, the heat and the two works change by in a second, as a function of time and state."""
    evaluations = count()

    def rates(t, y):
        if next(evaluations) >= MOST_STEPS:
            raise OutOfRange(
                f"the engagement has not ended after {t:.3g} s and {MOST_STEPS} steps: its sizes are too far apart"
            )
        w1, w2 = y[0], y[1]
        slip = w1 - w2
        tc, te, tl = clutch(t, slip), engine.torque(w1), load.torque(w2)
        push = tc - tl
        # a load at rest resists only as hard as it is pushed: friction never drives it backwards
        moving = w2 > 0.0 or push > 0.0
        return (te - tc) / engine.inertia, push / load.inertia if moving else 0.0, tc * slip, te * w1, tl * w2

    return rates

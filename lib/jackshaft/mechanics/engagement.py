"""Engaging a clutch: two inertias brought to one speed, and the heat of the slip between them.

Everything is at the clutch's shaft: reflect the load first. Inertia in kg·m², torque in N·m, speed
in rad/s, time in s, heat in J, temperature in K. The engine side is 1, the driven side 2.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from jackshaft.units import OutOfRange, above_zero, unit_checked

#: Specific heat of steel and iron (J/(kg·K)), from memory.
STEEL_HEAT = 500.0


class Engagement(NamedTuple):
    """Engagement under constant torques: time (s), heat (J), common speed (rad/s), does it lock, stall."""

    seconds: Any
    heat: Any
    speed: Any
    locks: Any
    stalls: Any


def _slip(engine_speed, load_speed):
    slip = np.asarray(engine_speed, float) - load_speed
    if np.any(slip < 0.0):
        raise OutOfRange("the driven side is faster than the engine: this is an overrun, not an engagement")
    return slip


def _engagement(seconds, heat, speed, locks, stalls) -> Engagement:
    """Put ``inf`` where the clutch never locks, and plain numbers where there is one case only."""
    values = (np.where(locks, seconds, np.inf), np.where(locks, heat, np.inf), speed, locks, stalls)
    return Engagement(*(np.asarray(v).item() if np.ndim(v) == 0 else v for v in values))


@unit_checked(
    engine_inertia="inertia",
    load_inertia="inertia",
    engine_speed="rotation",
    load_speed="rotation",
    clutch="torque",
    engine="torque",
    load="torque",
    stall="rotation",
    returns={"seconds": "time", "heat": "energy", "speed": "rotation"},
)
def engage(
    engine_inertia, *, load_inertia, engine_speed, clutch, load_speed=0.0, engine=0.0, load=0.0, stall=0.0
) -> Engagement:
    """Two inertias brought together by a slipping clutch, all torques constant.

    Parameters
    ----------
    engine_inertia : inertia
        Engine side (kg·m²).
    load_inertia : inertia
        Driven side, reflected to the clutch (kg·m²).
    engine_speed : rotation
        Engine speed at the start (rad/s).
    clutch : torque
        Dynamic torque of the clutch (N·m).
    load_speed : rotation
        Speed of the driven side at the start (rad/s).
    engine : torque
        Torque the engine gives meanwhile (N·m).
    load : torque
        Torque the load takes meanwhile (N·m).
    stall : rotation
        Speed below which the engine dies (rad/s).

    Returns
    -------
    Engagement
        Time to lock (s) and heat (J), ``inf`` where it never locks; common speed (rad/s); whether it
        locks; whether the engine falls below its stall speed before.

    Raises
    ------
    ValueError
        An inertia or clutch torque of zero or below, or a driven side faster than the engine.

    Source
    ------
    bhandari ch. 11, two-inertia engagement, extended by steady torques; derived.
    """
    above_zero(engine_inertia=engine_inertia, load_inertia=load_inertia, clutch_torque=clutch)
    slip = _slip(engine_speed, load_speed)
    closing = (clutch - np.asarray(engine)) / engine_inertia + (clutch - np.asarray(load)) / load_inertia
    # a load at rest that the clutch cannot move stays at rest: it never locks, whatever the engine does
    held = (np.asarray(load) >= clutch) & (np.asarray(load_speed) <= 0.0)
    locks = (closing > 0.0) & ~held
    locks = locks | (slip == 0.0)
    lasts = slip / np.where(closing > 0.0, closing, 1.0)
    falling = np.asarray(clutch) > engine
    end = engine_speed + (engine - np.asarray(clutch)) / engine_inertia * lasts
    end = np.where(locks, end, np.where(falling, 0.0, np.nan))
    return _engagement(lasts, clutch * slip * lasts / 2.0, end, locks, falling & (end < stall))


@unit_checked(
    load_inertia="inertia",
    engine_speed="rotation",
    clutch="torque",
    load="torque",
    load_speed="rotation",
    returns={"seconds": "time", "heat": "energy", "speed": "rotation"},
)
def engage_governed(load_inertia, *, engine_speed, clutch, load=0.0, load_speed=0.0) -> Engagement:
    """Run-up of the driven side while the governor holds the engine's speed.

    Parameters
    ----------
    load_inertia : inertia
        Driven side, reflected to the clutch (kg·m²).
    engine_speed : rotation
        Engine speed, held (rad/s).
    clutch : torque
        Dynamic torque of the clutch (N·m); the engine must be able to give it.
    load : torque
        Torque the load takes meanwhile (N·m).
    load_speed : rotation
        Speed of the driven side at the start (rad/s).

    Returns
    -------
    Engagement
        Time (s) and heat (J), ``inf`` where the load takes as much as the clutch gives.

    Raises
    ------
    ValueError
        An inertia or clutch torque of zero or below, or a driven side faster than the engine.

    Source
    ------
    t = I dw/(Tc - TL), heat = I dw²/2 x Tc/(Tc - TL); derived.
    """
    above_zero(load_inertia=load_inertia, clutch_torque=clutch)
    slip = _slip(engine_speed, load_speed)
    spare = np.asarray(clutch, float) - load
    locks = (spare > 0.0) | (slip == 0.0)
    lasts = load_inertia * slip / np.where(spare > 0.0, spare, 1.0)
    held = np.broadcast_to(engine_speed, np.shape(lasts))
    return _engagement(lasts, clutch * slip * lasts / 2.0, held, locks, np.zeros_like(locks))


@unit_checked(
    load_inertia="inertia",
    engine_speed="rotation",
    clutch="torque",
    load="torque",
    at="rotation",
    returns={"seconds": "time", "heat": "energy", "speed": "rotation"},
)
def engage_rising(load_inertia, *, engine_speed, clutch, load, at, power) -> Engagement:
    """Run-up from rest, the engine's speed held, of a load whose torque rises with a power of its speed.

    Parameters
    ----------
    load_inertia : inertia
        Driven side, reflected to the clutch (kg·m²).
    engine_speed : rotation
        Engine speed, held (rad/s).
    clutch : torque
        Dynamic torque of the clutch (N·m).
    load : torque
        Torque that the load takes at the speed ``at`` (N·m).
    at : rotation
        Speed of the clutch's shaft at which the load takes that (rad/s).
    power : int
        1 for a load in step with its speed, 2 for one with the square of it (fans, pumps).

    Returns
    -------
    Engagement
        Time (s) and heat (J), ``inf`` where the load takes all that the clutch gives before it locks.

    Raises
    ------
    ValueError
        A speed, inertia or clutch torque of zero or below, a load below zero, or another power.

    Source
    ------
    t = I dw/(Tc - k w^n) and heat = Tc (w1 - w) dt, both integrated in closed form; derived.
    """
    above_zero(load_inertia=load_inertia, clutch_torque=clutch, engine_speed=engine_speed, speed_of_the_load=at)
    if np.any(np.asarray(load) < 0.0):
        raise OutOfRange("the load's torque must not be below zero")
    if power not in (1, 2):
        raise OutOfRange("the load's power of speed must be 1 or 2; for a load that stays the same use engage_governed")
    # q is the load at the engine's speed over the clutch's torque: the clutch locks where it stays below 1
    q = np.asarray(load, float) * (np.asarray(engine_speed, float) / at) ** power / clutch
    locks = q < 1.0
    small = q < 1e-6
    x = np.where(locks & ~small, q, 0.5)
    if power == 1:
        time = -np.log1p(-x) / x
        slip = (1.0 + (x - 1.0) * -np.log1p(-x) / x) / x
    else:
        root = np.sqrt(x)
        time = np.arctanh(root) / root
        slip = time + np.log1p(-x) / (2.0 * x)
    # near no load the closed form loses digits; what the series leaves out is below 1e-12
    time = np.where(small, 1.0 + q / (power + 1.0), time)
    slip = np.where(small, 0.5 + q / ((power + 1.0) * (power + 2.0)), slip)
    seconds = load_inertia * np.asarray(engine_speed) / clutch * time
    heat = load_inertia * np.asarray(engine_speed, float) ** 2 * slip
    held = np.broadcast_to(engine_speed, np.shape(q))
    return _engagement(seconds, heat, held, locks, np.zeros_like(locks))


def engage_several_si(load_inertia, *, engine_speed, clutch, loads):
    """Run-up from rest, the engine's speed held, of loads of which each rises with its own power of the speed.

    Parameters
    ----------
    load_inertia : float
        Driven side, reflected to the clutch (kg·m²).
    engine_speed : float
        Engine speed, held (rad/s).
    clutch : float
        Dynamic torque of the clutch (N·m).
    loads : sequence of float, length 3
        Torques (N·m) that the loads take at ``engine_speed``: of those that are the same at every speed, in step with
        it, and with the square of it. One of the last two is above zero.

    Returns
    -------
    Engagement
        Time (s) and heat (J), ``inf`` where the loads take all that the clutch gives before it locks.

    Raises
    ------
    ValueError
        A speed, inertia or clutch torque of zero or below, a load below zero, or none that rises.

    Source
    ------
    t = I dw/(Tc - a - b w - c w²) and heat = Tc (w1 - w) dt, both by partial fractions; derived.
    """
    above_zero(load_inertia=load_inertia, clutch_torque=clutch, engine_speed=engine_speed)
    if min(loads) < 0.0 or not sum(loads[1:]) > 0.0:
        raise OutOfRange("no load's torque may be below zero, and one must rise with the speed")
    a, b, c = (float(load) / clutch for load in loads)
    if a + b + c >= 1.0:
        return _engagement(1.0, 1.0, engine_speed, False, False)
    root = np.sqrt(b * b + 4.0 * (1.0 - a) * c)
    # the poles of 1/(1 - a - b x - c x²) are at x = 1/v, past the end of the run-up, and at x = -1/u
    u, v = 2.0 * c / (b + root), (b + root) / (2.0 * (1.0 - a))
    near, far = -np.log1p(-v), np.log1p(u)
    time = (near + far) / root
    slip = ((1.0 - 1.0 / v) * near + (far + far / u if u else 1.0)) / root
    return _engagement(
        load_inertia * engine_speed / clutch * time, load_inertia * engine_speed**2 * slip, engine_speed, True, False
    )


@unit_checked(
    rise="temperature rise",
    mass="mass",
    load_inertia="inertia",
    clutch="torque",
    load="torque",
    specific_heat="specific heat",
    returns="rotation",
)
def engage_below(rise, *, mass, load_inertia, clutch, load=0.0, specific_heat=STEEL_HEAT):
    """Highest engine speed at which one engagement keeps the faces' rise within a limit.

    Parameters
    ----------
    rise : temperature rise
        Rise allowed (K).
    mass : mass
        Steel near the faces (kg).
    load_inertia : inertia
        Driven side, reflected to the clutch (kg·m²).
    clutch : torque
        Dynamic torque of the clutch (N·m).
    load : torque
        Torque the load takes meanwhile (N·m).
    specific_heat : specific heat
        500 J/(kg·K) for steel and iron.

    Returns
    -------
    rotation
        Speed of the clutch's shaft with the governor holding it (rad/s); 0 where it never locks.

    Raises
    ------
    ValueError
        A mass, inertia or clutch torque of zero or below.

    Source
    ------
    Inverse of `engage_governed` and `temperature_rise`: half the speed, a quarter of the heat.
    """
    above_zero(mass=mass, load_inertia=load_inertia, clutch_torque=clutch, specific_heat=specific_heat)
    spare = np.maximum(np.asarray(clutch, float) - load, 0.0) / clutch
    return np.sqrt(2.0 * rise * mass * specific_heat * spare / load_inertia)


@unit_checked(
    rise="temperature rise",
    mass="mass",
    load_inertia="inertia",
    clutch="torque",
    load="torque",
    at="rotation",
    specific_heat="specific heat",
    returns="rotation",
)
def engage_below_rising(rise, *, mass, load_inertia, clutch, load, at, power, specific_heat=STEEL_HEAT):
    """Highest engine speed that keeps the rise within a limit, for a load that rises with its speed.

    Parameters
    ----------
    rise : temperature rise
        Rise allowed (K).
    mass : mass
        Steel near the faces (kg).
    load_inertia : inertia
        Driven side, reflected to the clutch (kg·m²).
    clutch : torque
        Dynamic torque of the clutch (N·m).
    load : torque
        Torque that the load takes at the speed ``at`` (N·m).
    at : rotation
        Speed of the clutch's shaft at which the load takes that (rad/s).
    power : int
        1 or 2, as in `engage_rising`.
    specific_heat : specific heat
        500 J/(kg·K) for steel and iron.

    Returns
    -------
    rotation
        Speed of the clutch's shaft with the governor holding it (rad/s); the highest at which the
        clutch still locks, where that comes first.

    Raises
    ------
    ValueError
        As `engage_rising`, and a rise, mass or specific heat of zero or below.

    Source
    ------
    Inverse of `engage_rising`: the heat grows with the speed.
    """
    from scipy.optimize.elementwise import find_root

    above_zero(mass=mass, rise=rise, specific_heat=specific_heat)
    heat = np.asarray(rise, float) * mass * specific_heat

    def over(speed, heat, load_inertia, clutch, load, at):
        found = engage_rising.si(load_inertia, engine_speed=speed, clutch=clutch, load=load, at=at, power=power)
        return np.asarray(found.heat) / heat - 1.0

    args = np.broadcast_arrays(*(np.asarray(a, float) for a in (heat, load_inertia, clutch, load, at)))
    # the driven side alone takes as much heat as it gets energy, and where the load takes all it never locks
    with np.errstate(divide="ignore", over="ignore"):
        locking = args[4] * (args[2] / args[3]) ** (1.0 / power) * (1.0 - 1e-12)
    most = np.minimum(np.sqrt(2.0 * args[0] / args[1]) * (1.0 + 1e-12), locking)
    found = find_root(over, (1e-6 * most, most), args=tuple(args)).x
    return np.where(over(most, *args) <= 0.0, most, found)[()]

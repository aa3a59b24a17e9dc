"""Torque of a friction clutch: from its plate, a slip test or its faces; scaled, and what it must hold.

Torque in N·m, force in N, radius in m, pressure in Pa, speed in rad/s. A torque that depends on friction
or on the coil comes as a band: bad end, likely, good end.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np

from jackshaft.units import OutOfRange, above_zero, unit_checked


class Band(NamedTuple):
    """Bad end, likely value, good end of a quantity that is not known better."""

    bad: Any
    likely: Any
    good: Any


class Faces(NamedTuple):
    """Torque of flat rings: clamping force (N), torque (N·m), radius the friction acts at (m)."""

    force: Any
    torque: Any
    radius: Any


class Required(NamedTuple):
    """Torque the clutch must hold or pull, at its own shaft (N·m), case by case, and the largest."""

    work: float
    start: float
    peak: float
    engine: float
    overrun: float
    hold: float
    pull_in: float


class Stop(NamedTuple):
    """A braked run-down: time (s), turns (rev), heat in the brake (J); infinite where nothing slows it."""

    seconds: float
    turns: float
    heat: float


#: Dynamic (slipping) over static torque: small-engine practice; the good end near a read 0.83.
DYNAMIC = Band(0.5, 0.7, 0.85)
#: New faces over burnished ones: 20 to 50 % low.
NEW_FACES = Band(0.5, 0.65, 0.8)
#: Oiled or wet steel faces over dry ones: friction 0.05 to 0.06 against 0.15 to 0.20.
OILED = Band(0.25, 1.0 / 3.0, 0.4)


@unit_checked(power="power", speed="rotation", returns="torque")
def torque_from_power(power, *, speed):
    """Torque of a shaft that passes a power.

    Parameters
    ----------
    power : power
        Power at that shaft (W).
    speed : rotation
        Its speed (rad/s).

    Returns
    -------
    torque
        Torque (N·m).

    Raises
    ------
    ValueError
        A speed of zero or below.

    Source
    ------
    Power = torque x angular speed.
    """
    above_zero(speed=speed)
    return power / np.asarray(speed)


@unit_checked(force="force", lever="length", offset="angle", weight_moment="torque", returns="torque")
def slip_test(force, *, lever, offset=0.0, weight_moment=0.0):
    """Torque at which the clutch slipped, from a scale on a lever.

    Parameters
    ----------
    force : force
        What the scale showed when it slipped (N).
    lever : length
        From the shaft's centre to the hook (m).
    offset : angle
        How far the pull is off square to the lever (rad).
    weight_moment : torque
        Moment of the lever's own weight in the direction of the pull (N·m).

    Returns
    -------
    torque
        Slip torque at the voltage and coil temperature of the test (N·m).

    Raises
    ------
    ValueError
        A lever of zero or below, or a pull more than 60° off square.

    Source
    ------
    Statics of a lever.
    """
    if np.any(np.asarray(lever) <= 0.0):
        raise OutOfRange("the lever must be longer than zero")
    if np.any(np.abs(offset) > math.radians(60.0)):
        raise OutOfRange("the scale pulls along the lever: pull square to it")
    return force * lever * np.cos(offset) + weight_moment


def _ring_radii(inner_diameter, outer_diameter):
    inner, outer = 0.5 * np.asarray(inner_diameter, float), 0.5 * np.asarray(outer_diameter, float)
    if np.any(inner < 0.0) or np.any(outer <= inner):
        raise OutOfRange(
            "the outer diameter must be larger than the inner one, and the inner one must not be below zero"
        )
    return inner, outer


@unit_checked(
    force="force",
    friction="number",
    inner_diameter="length",
    outer_diameter="length",
    faces="number",
    returns={"force": "force", "torque": "torque", "radius": "length"},
)
def face_torque(force, *, friction, inner_diameter, outer_diameter, faces=1, worn_in=True) -> Faces:
    """Torque of flat ring faces under a clamping force.

    Parameters
    ----------
    force : force
        Clamping force (N).
    friction : number
        Friction coefficient.
    inner_diameter : length
        Inner diameter of the rubbing ring, as calipers read it (m).
    outer_diameter : length
        Its outer diameter (m).
    faces : number
        Rubbing face pairs.
    worn_in : bool
        Uniform wear (the default, and the lower answer) or uniform pressure (new, flat, stiff faces).

    Returns
    -------
    Faces
        Force (N), torque (N·m), friction radius (m).

    Raises
    ------
    ValueError
        Diameters in the wrong order.

    Source
    ------
    bhandari ch. 11; uniform wear and uniform pressure theories.
    """
    inner, outer = _ring_radii(inner_diameter, outer_diameter)
    if worn_in:
        radius = 0.5 * (inner + outer)
    else:
        radius = 2.0 / 3.0 * (outer**3 - inner**3) / (outer**2 - inner**2)
    return Faces(force, faces * friction * force * radius, radius)


@unit_checked(
    torque="torque",
    rated_current="current",
    current="current",
    returns={"bad": "torque", "likely": "torque", "good": "torque"},
)
def torque_at_current(torque, *, rated_current, current) -> Band:
    """Scale a known torque to another coil current, as a band.

    Below the current it is known at, the square law is both bad end and likely; a saturated magnet loses
    less (good end: in proportion). Above it a saturated magnet gains nothing (bad end), the likely value
    goes with the current and the good end with its square.

    Parameters
    ----------
    torque : torque
        Torque known (N·m).
    rated_current : current
        Coil current it is known at: plate voltage over cold resistance unless its maker says more (A).
    current : current
        Coil current now (A).

    Returns
    -------
    Band
        Torque (N·m). No maker's curve stands behind it: measure it.

    Raises
    ------
    ValueError
        A rated current of zero or below, or a negative current.

    Source
    ------
    Pull goes with flux squared; band of the exponent from saturation: derived, common practice.
    """
    rated_current, current = np.asarray(rated_current, float), np.asarray(current, float)
    if np.any(rated_current <= 0.0) or np.any(current < 0.0):
        raise OutOfRange("the rated current must be above zero, and a current is given without sign")
    share = current / rated_current
    below = share <= 1.0
    bad = torque * np.where(below, share**2, 1.0)
    likely = torque * np.where(below, share**2, share)
    good = torque * np.where(below, share, share**2)
    return Band(*(v.item() if np.ndim(v) == 0 else v for v in (bad, likely, good)))


def times_si(torque: Any, *, factor: Band) -> Band:
    """Multiply a torque, or a band of it, by a band: bad with bad, good with good.

    Parameters
    ----------
    torque : float, array or Band
        Torque (N·m).
    factor : Band
        `DYNAMIC`, `NEW_FACES`, `OILED` or another.

    Returns
    -------
    Band
        Torque (N·m).

    Raises
    ------
    TypeError
        The factor is no band.

    Source
    ------
    Arithmetic.
    """
    if not isinstance(factor, Band):
        raise TypeError("the factor is a Band of bad end, likely and good end")
    base = torque if isinstance(torque, Band) else Band(torque, torque, torque)
    return Band(*(t * f for t, f in zip(base, factor, strict=True)))


@unit_checked(
    work="torque",
    start_factor="number",
    peak_factor="number",
    engine_peak="torque",
    overrun_factor="number",
    returns={k: "torque" for k in Required._fields},
)
def required_torque(work, *, start_factor=1.0, peak_factor=1.0, engine_peak=0.0, overrun_factor=0.0) -> Required:
    """Torque the clutch must hold when locked and pull while it slips.

    Parameters
    ----------
    work : torque
        Working torque at the clutch (N·m).
    start_factor : number
        Torque of the load while it runs up, over working torque.
    peak_factor : number
        Shock of the load over working torque.
    engine_peak : torque
        Highest torque of the engine (N·m); 0 leaves it out.
    overrun_factor : number
        Torque with which the load drives back, over working torque.

    Returns
    -------
    Required
        Each case (N·m); ``hold`` is the largest (against static torque), ``pull_in`` that of work and
        start (against dynamic torque).

    Raises
    ------
    ValueError
        A negative torque or factor.

    Source
    ------
    Own list of cases; factors are the builder's.
    """
    if min(work, start_factor, peak_factor, engine_peak, overrun_factor) < 0.0:
        raise OutOfRange("torques and factors are given without sign")
    start, peak, overrun = work * start_factor, work * peak_factor, work * overrun_factor
    hold = max(work, start, peak, engine_peak, overrun)
    return Required(
        work=work, start=start, peak=peak, engine=engine_peak, overrun=overrun, hold=hold, pull_in=max(work, start)
    )


def centrifugal_torque_si(torque, *, at, engages, speed):
    """Torque of a centrifugal clutch at another speed than the one it is known at.

    Parameters
    ----------
    torque : float
        Torque known (N·m).
    at : float
        Speed of its shaft that this is known at (rad/s).
    engages : float
        Speed at which its springs let the shoes touch the drum (rad/s).
    speed : float
        Speed now (rad/s).

    Returns
    -------
    float
        Torque (N·m), 0 up to the speed at which it engages.

    Raises
    ------
    OutOfRange
        A torque known at the speed of engaging, or below it.

    Source
    ------
    bhandari ch. 11: a shoe presses with m r (w² - w_engage²), its springs at one stretch.
    """
    if np.any(np.asarray(at) <= np.asarray(engages)):
        raise OutOfRange("the torque must be known at a speed above the one at which the clutch engages")
    return torque * np.maximum(np.square(speed) - np.square(engages), 0.0) / (np.square(at) - np.square(engages))


@unit_checked(
    inertia="inertia", speed="rotation", brake="torque", drag="torque", returns={"seconds": "time", "heat": "energy"}
)
def brake_stop(inertia, *, speed, brake, drag=0.0) -> Stop:
    """Time the driven side takes to stop when the clutch lets go.

    Parameters
    ----------
    inertia : inertia
        Everything behind the clutch, at the clutch's shaft (kg·m²).
    speed : rotation
        Speed of the clutch's shaft (rad/s).
    brake : torque
        Torque of the clutch's brake (N·m); 0 for none.
    drag : torque
        Steady torque of the work and its bearings that helps (N·m).

    Returns
    -------
    Stop
        Time (s), turns (rev), heat in the brake (J).

    Raises
    ------
    ValueError
        A negative torque, or an inertia of zero or below.

    Source
    ------
    Constant torque on an inertia; textbook.
    """
    if inertia <= 0.0 or brake < 0.0 or drag < 0.0:
        raise OutOfRange("inertia must be above zero, and torques are given without sign")
    total = brake + drag
    if total == 0.0:
        return Stop(math.inf, math.inf, 0.0)
    seconds = inertia * abs(speed) / total
    turns = abs(speed) * seconds / 2.0 / (2.0 * math.pi)
    return Stop(seconds, turns, 0.5 * inertia * speed**2 * brake / total)

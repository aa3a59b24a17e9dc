"""A centrifugal clutch: shoes that slide outward against their springs and press on a drum.

Force in N, radius in m, mass in kg, speed in rad/s, torque in N·m. Shoes on a pivot press harder where they lead and
less where they trail; these formulas are for shoes that slide straight outward.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from jackshaft.units import OutOfRange, above_zero, unit_checked


def _square(speed, engages):
    """Return by how much the square of a speed is above that of engaging, 0 up to there."""
    return np.maximum(np.square(np.asarray(speed, float)) - np.square(engages), 0.0)


@unit_checked(
    mass="mass",
    shoes="number",
    centre_radius="length",
    drum_diameter="length",
    friction="number",
    speed="rotation",
    engages="rotation",
    returns="torque",
)
def shoe_torque(mass, *, shoes, centre_radius, drum_diameter, friction, speed, engages=0.0):
    """Torque that the shoes of a centrifugal clutch hold.

    Parameters
    ----------
    mass : mass
        Mass of one shoe with its lining (kg).
    shoes : number
        How many there are.
    centre_radius : length
        From the shaft's centre to a shoe's centre of mass, the shoe touching the drum (m).
    drum_diameter : length
        Inside diameter of the drum (m).
    friction : number
        Friction coefficient of lining on drum.
    speed : rotation
        Speed of the spider that carries the shoes (rad/s).
    engages : rotation
        Speed at which the springs let the shoes touch the drum (rad/s); 0 without springs.

    Returns
    -------
    torque
        Torque (N·m), 0 up to the speed of engaging.

    Raises
    ------
    OutOfRange
        A mass, a count, a friction or a radius of zero or below, or a centre of mass outside the drum.

    Source
    ------
    khurmi-friction, centrifugal clutch: T = n mu (F_c - F_s) R, with F_c = m r w² and the springs'
    pull F_s = m r w_engage²
    """
    above_zero(mass=mass, shoes=shoes, centre_radius=centre_radius, drum_diameter=drum_diameter, friction=friction)
    radius = 0.5 * np.asarray(drum_diameter, float)
    if np.any(np.asarray(centre_radius) >= radius):
        raise OutOfRange("the shoe's centre of mass must lie inside the drum")
    press = mass * np.asarray(centre_radius) * _square(speed, engages)
    return shoes * friction * press * radius


@unit_checked(spring="force", mass="mass", centre_radius="length", returns="rotation")
def shoe_engages(spring, *, mass, centre_radius):
    """Speed at which the shoes of a centrifugal clutch touch the drum.

    Parameters
    ----------
    spring : force
        Pull of the springs on one shoe as it touches the drum (N).
    mass : mass
        Mass of one shoe with its lining (kg).
    centre_radius : length
        From the shaft's centre to the shoe's centre of mass, the shoe touching the drum (m).

    Returns
    -------
    rotation
        Speed of the spider (rad/s).

    Raises
    ------
    OutOfRange
        A mass or a radius of zero or below, or a pull below zero.

    Source
    ------
    khurmi-friction, centrifugal clutch: the springs hold m r w²
    """
    above_zero(mass=mass, centre_radius=centre_radius)
    if np.any(np.asarray(spring) < 0.0):
        raise OutOfRange("the pull of the springs is given without sign")
    return np.sqrt(np.asarray(spring, float) / (mass * np.asarray(centre_radius)))


def settling_speed_si(
    per: float, *, engages: float, gives: Callable[[float], float], most: float
) -> tuple[float, float]:
    """Speed at which slipping shoes take all that the engine gives, so that it runs up no farther.

    Parameters
    ----------
    per : float
        Torque of the shoes for each square of the speed above that of engaging (N·m·s²).
    engages : float
        Speed at which they touch the drum (rad/s).
    gives : callable
        The engine's torque at a speed (N·m), both at the clutch's shaft.
    most : float
        The highest speed that the engine is run at (rad/s).

    Returns
    -------
    tuple of float
        That speed (rad/s), ``most`` where the engine gets there, and the torque of the shoes there (N·m).

    Raises
    ------
    OutOfRange
        Shoes that do not touch below the highest speed.

    Source
    ------
    own-derivation: the engine's torque is that of the shoes
    """
    # scipy is heavy to load and only this function needs it
    from scipy.optimize import brentq

    if most <= engages:
        raise OutOfRange("the shoes must touch the drum below the working speed")

    def spare(speed: float) -> float:
        return float(gives(speed)) - per * (speed**2 - engages**2)

    if spare(most) >= 0.0:
        return most, per * (most**2 - engages**2)
    if spare(engages) <= 0.0:
        return engages, 0.0
    found = float(brentq(spare, engages, most))
    return found, per * (found**2 - engages**2)


def pulled_down_si(
    per: float, *, engages: float, gives: Callable, work: float, knots: tuple[float, ...] = (), least: float = 0.0
) -> tuple[float, float]:
    """Speed at which engine and shoes together pass the most, as a peak pulls them down from the working speed.

    Parameters
    ----------
    per : float
        Torque of the shoes for each square of the speed above that of engaging (N·m·s²).
    engages : float
        Speed at which they touch the drum (rad/s).
    gives : callable
        The engine's torque at speeds (N·m), both at the clutch's shaft.
    work : float
        The working speed (rad/s).
    knots : tuple of float
        Speeds at which the engine's curve may bend (rad/s).
    least : float
        The lowest speed at which the engine's torque is known (rad/s).

    Returns
    -------
    tuple of float
        That speed (rad/s), the highest of them, and the torque there (N·m): the smaller of engine's and shoes'.

    Raises
    ------
    OutOfRange
        Shoes or a curve that begin at the working speed or above it.

    Source
    ------
    own-derivation: neither passes more than the other
    """
    # scipy is heavy to load and only few functions need it
    from scipy.optimize import brentq

    bottom = max(engages, least)
    if work <= bottom:
        raise OutOfRange("the shoes must touch the drum, and the engine's torque be known, below the working speed")

    def spare(speed):
        return gives(speed) - per * _square(speed, engages)

    speeds = np.unique([*np.linspace(bottom, work, 201), *(k for k in knots if bottom < k < work)])
    left = spare(speeds)
    turns = np.flatnonzero(left[:-1] * left[1:] < 0.0)
    speeds = np.sort([*speeds, *(brentq(spare, speeds[i], speeds[i + 1]) for i in turns)])[::-1]
    passed = np.minimum(gives(speeds), per * _square(speeds, engages))
    best = int(np.argmax(passed))
    return float(speeds[best]), float(passed[best])


__all__ = ["pulled_down_si", "settling_speed_si", "shoe_engages", "shoe_torque"]

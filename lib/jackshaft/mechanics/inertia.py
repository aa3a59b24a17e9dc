"""Moment of inertia of what turns: simple shapes, a run-down test, and as another shaft feels it.

Mass in kg, length in m, inertia in kg·m², speed in rad/s, torque in N·m.
"""

from __future__ import annotations

import numpy as np

from jackshaft.units import OutOfRange, above_zero, unit_checked


@unit_checked(mass="mass", diameter="length", bore="length", returns="inertia")
def disc_inertia(mass, *, diameter, bore=0.0):
    """Inertia of a disc, cylinder or thick ring about its axis.

    Parameters
    ----------
    mass : mass
        Mass (kg).
    diameter : length
        Outside diameter (m).
    bore : length
        Diameter of the hole (m).

    Returns
    -------
    inertia
        Moment of inertia (kg·m²).

    Raises
    ------
    ValueError
        A mass or diameter of zero or below, or a bore outside the disc.

    Source
    ------
    Textbook.
    """
    above_zero(mass=mass, diameter=diameter)
    if np.any(np.asarray(bore) < 0.0) or np.any(np.asarray(bore) >= diameter):
        raise OutOfRange("the bore must be smaller than the disc, and not below zero")
    return mass * (np.asarray(diameter) ** 2 + np.asarray(bore) ** 2) / 8.0


@unit_checked(mass="mass", length="length", offset="length", returns="inertia")
def bar_inertia(mass, *, length, offset=0.0):
    """Inertia of a straight bar that turns about an axis across it.

    Parameters
    ----------
    mass : mass
        Mass (kg).
    length : length
        Length (m).
    offset : length
        From the axis to the bar's middle (m); 0 for a blade on its centre, half the length for a flail.

    Returns
    -------
    inertia
        Moment of inertia (kg·m²).

    Raises
    ------
    ValueError
        A mass or length of zero or below.

    Source
    ------
    Textbook, with the parallel-axis rule.
    """
    above_zero(mass=mass, length=length)
    return mass * (np.asarray(length) ** 2 / 12.0 + np.asarray(offset) ** 2)


@unit_checked(mass="mass", diameter="length", returns="inertia")
def rim_inertia(mass, *, diameter):
    """Inertia of a thin rim, or of any mass that stands on one circle.

    Parameters
    ----------
    mass : mass
        Mass (kg).
    diameter : length
        Of the circle (m); twice the radius of gyration for a body of any shape.

    Returns
    -------
    inertia
        Moment of inertia (kg·m²).

    Raises
    ------
    ValueError
        A mass or diameter of zero or below.

    Source
    ------
    Textbook.
    """
    above_zero(mass=mass, diameter=diameter)
    return 0.25 * mass * np.asarray(diameter) ** 2


@unit_checked(speed="rotation", time="time", drag="torque", returns="inertia")
def run_down_inertia(speed, *, time, drag):
    """Inertia from a run-down test against a known steady torque.

    Parameters
    ----------
    speed : rotation
        Speed lost (rad/s).
    time : time
        In this time (s).
    drag : torque
        Torque that slows it: bearings by wrench and scale, or a weight on a cord (N·m).

    Returns
    -------
    inertia
        Moment of inertia at that shaft (kg·m²).

    Raises
    ------
    ValueError
        A speed, time or torque of zero or below.

    Source
    ------
    Torque = inertia x deceleration.
    """
    above_zero(speed_lost=speed, time=time, drag=drag)
    return drag * np.asarray(time) / speed


@unit_checked(inertia="inertia", load_speed="rotation", clutch_speed="rotation", returns="inertia")
def reflect_inertia(inertia, *, load_speed, clutch_speed):
    """Inertia of a load as the clutch feels it.

    Parameters
    ----------
    inertia : inertia
        Inertia at its own shaft (kg·m²).
    load_speed : rotation
        Speed of that shaft (rad/s).
    clutch_speed : rotation
        Speed of the clutch's shaft at the same time (rad/s).

    Returns
    -------
    inertia
        Inertia at the clutch (kg·m²): with the square of the speed ratio.

    Raises
    ------
    ValueError
        A clutch speed of zero or below.

    Source
    ------
    Equal kinetic energy.
    """
    above_zero(clutch_speed=clutch_speed)
    return inertia * (np.asarray(load_speed) / clutch_speed) ** 2

"""Textbook formulas that the tests hold the library against; the library itself has no use for them."""

from __future__ import annotations

import math

import numpy as np
from scipy.integrate import simpson

MU0 = 4e-7 * math.pi
#: Start, scale and slope of the Weibull law of ball bearings, running time over L10: shigley, ch. 11.
WEIBULL = 0.02, 4.459, 1.483


def groove_coefficient(friction, groove_angle):
    """Coefficient in the capstan law of a belt wedged in a groove of a whole angle, rad; shigley, ch. 17."""
    return np.asarray(friction) / np.sin(0.5 * np.asarray(groove_angle))


def static_tension(pull, wrap, coefficient, centrifugal=0.0):
    """Static tension, N, at which a two-pulley drive with locked centres is about to slip; shigley, ch. 17."""
    ratio = np.exp(np.asarray(coefficient) * wrap)
    return 0.5 * np.asarray(pull) * (ratio + 1.0) / (ratio - 1.0) + centrifugal


def slack_at_slip(tight, wrap, coefficient, centrifugal=0.0):
    """Slack tension, N, of a pulley about to slip: (T1 - Tc)/(T2 - Tc) = exp(k wrap); shigley, ch. 17."""
    return (np.asarray(tight) - centrifugal) * np.exp(-np.asarray(coefficient) * wrap) + centrifugal


def speed_of_most_power(tight, linear_density):
    """Belt speed, m/s, at which m v² is a third of the greatest tension; khurmi-machines, ch. 11."""
    return np.sqrt(np.asarray(tight) / (3.0 * np.asarray(linear_density)))


def ring_force_and_torque(radius, *, pressure, friction, faces=1):
    """Force, torque and friction radius of a ring face by Simpson's rule; pressure and friction as arrays of radius."""
    p, mu = np.broadcast_to(pressure, radius.shape), np.broadcast_to(friction, radius.shape)
    force, grip, torque = (
        2.0 * math.pi * simpson(f, x=radius) for f in (p * radius, mu * p * radius, mu * p * radius**2)
    )
    return force, faces * torque, torque / grip


def pole_force(flux, area):
    """Pull of one gap face, N: flux²/(2 mu0 A); textbook."""
    return flux**2 / (2.0 * MU0 * area)


def gap_force(ampere_turns, gap, area):
    """Pull of two equal gaps in series with ideal steel, N: mu0 A (NI)²/(4 g²); textbook."""
    return MU0 * area * ampere_turns**2 / (4.0 * gap**2)


def heat_constant(start, limit):
    """Short-circuit constant of copper between two temperatures, K, in A·s^0.5/m²; IEC 60949, from memory."""
    over = np.log((limit - 273.15 + 234.5) / (start - 273.15 + 234.5))
    return np.sqrt(3.45e6 * 254.5 / 1.7241e-8 * over)


def life_share(reliability):
    """Share of L10 that a share of ball bearings, above 0 and below 1, reaches; shigley, ch. 11."""
    start, scale, slope = WEIBULL
    return start + (scale - start) * math.log(1.0 / reliability) ** (1.0 / slope)


def survival(share):
    """Share of ball bearings that still run after a share of L10; shigley, ch. 11."""
    start, scale, slope = WEIBULL
    return math.exp(-((max(share - start, 0.0) / (scale - start)) ** slope))

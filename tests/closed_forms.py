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


def face_force(pressure, inner, outer, *, worn_in):
    """Force, N, at which ring faces between two radii reach a pressure, highest inside if worn in; bhandari, ch. 11."""
    return math.pi * pressure * (2.0 * inner * (outer - inner) if worn_in else outer**2 - inner**2)


def over_rods(outside, *, rod, angle, top_width):
    """Measure over two rods in a groove of a whole angle, rad; own derivation, a rod that touches both flanks."""
    half = 0.5 * angle
    return outside + rod * (1.0 + 1.0 / np.sin(half)) - top_width / np.tan(half)


def rated_power_older(small, *, faster, k, factor=1.0):
    """Rated power, hp, of one classical belt on a pitch diameter, in, at a speed, rad/s: faires, table 17.3."""
    a, c, e = k
    v = 0.5 * small / 12.0 * np.abs(faster) * 60.0
    return (a * (1000.0 / v) ** 0.09 - c / (factor * small) - e * v * v / 1e6) * v / 1000.0


def arc_factor_fit(wrap):
    """Arc-of-contact factor by the fit in degrees; shigley17-solutions, problem 17-18."""
    degrees = np.degrees(wrap)
    return 0.143543 + 0.007468 * degrees - 0.000015052 * degrees**2


def arc_factor_flat(wrap_small, in_grooves, *, flat=0.29):
    """Arc-of-contact factor of V-belts from a grooved small pulley to a flat one; mh31, p. 2581, table 12, V-flat."""
    return np.minimum(in_grooves, 1.25 * (1.0 - np.exp(-flat * (2.0 * np.pi - np.asarray(wrap_small)))))


def creep_of_stretch(tight, *, slack, modulus):
    """Part of the speed lost by stretch between two strands, stresses in one unit; own derivation, one mass flow."""
    return 1.0 - (modulus + slack) / (modulus + tight)


def length_series(centres, first, second):
    """Length of an open belt by the series that handbooks print; tayal, ex. 7.1."""
    return 2.0 * centres + 0.5 * np.pi * (first + second) + (first - second) ** 2 / (4.0 * centres)


def centre_distance_series(length, first, second):
    """The figure B and the centre distance of an open belt by the quadratic that handbooks print; mott4, ex. 7-1."""
    b = 4.0 * length - 2.0 * np.pi * (first + second)
    return b, (b + np.sqrt(b * b - 32.0 * (second - first) ** 2)) / 16.0

"""Setting a belt's tension without a gauge and reading it back: deflection, frequency, spring, weight."""

from typing import NamedTuple

import numpy as np

from jackshaft.units import unit_checked


class Deflection(NamedTuple):
    """Force at mid-span and how far it must push the strand, per belt."""

    force: np.ndarray
    distance: np.ndarray


@unit_checked(tension="force", span="length", stiffness="force", returns={"force": "force", "distance": "length"})
def deflection_force(tension, *, span, stiffness=0.0, share=1.0 / 64.0) -> Deflection:
    """Force at mid-span that deflects a strand by a set share of its length.

    Parameters
    ----------
    tension : force
        Tension of one belt at rest, N.
    span : length
        Free strand, m.
    stiffness : force
        Stiffness figure Y of the section, N; a sixteenth of it is added, scaled with the deflection.
    share : number
        Deflection over span; 1/64 is 1/64 in per inch, 16 mm per metre.

    Returns
    -------
    Deflection

    Source
    ------
    belt-maintenance, deflection method; a string between two fixed ends; stiffness from memory
    """
    share = np.asarray(share, dtype=float)
    string = 4.0 * np.asarray(tension) * share / np.sqrt(1.0 + 4.0 * share * share)
    return Deflection(string + 4.0 * np.asarray(stiffness) * share, share * np.asarray(span))


@unit_checked(force="force", stiffness="force", share="number", returns="force")
def tension_from_deflection(force, *, stiffness=0.0, share=1.0 / 64.0):
    """Tension from the force that deflects a strand by a set share of its length.

    Parameters
    ----------
    force : force
        Force at mid-span on one belt, N.
    stiffness : force
        Stiffness figure Y of the section, N.
    share : number
        Deflection over span.

    Returns
    -------
    force
        N; below nought means that the belt's own stiffness alone explains the force.

    Source
    ------
    belt-maintenance, deflection method, turned round
    """
    share = np.asarray(share, dtype=float)
    return (
        (np.asarray(force) - 4.0 * np.asarray(stiffness) * share) * np.sqrt(1.0 + 4.0 * share * share) / (4.0 * share)
    )


@unit_checked(tension="force", span="length", linear_density="linear density", returns="frequency")
def span_frequency(tension, *, span, linear_density):
    """First natural frequency of a plucked strand.

    Parameters
    ----------
    tension : force
        Tension of the belt, N; at rest the whole tension, running the tension with its centrifugal part.
    span : length
        Free strand, m.
    linear_density : linear density
        Mass of one belt per length, kg/m.

    Returns
    -------
    frequency
        Hz. The belt's bending stiffness is left out: short strands read higher.

    Source
    ------
    frequency-note, T = 4 m L^2 f^2
    """
    return np.sqrt(np.asarray(tension) / np.asarray(linear_density)) / (2.0 * np.asarray(span))


@unit_checked(frequency="frequency", span="length", linear_density="linear density", returns="force")
def tension_from_frequency(frequency, *, span, linear_density):
    """Tension from the pluck frequency of a strand.

    Parameters
    ----------
    frequency : frequency
        First mode, Hz.
    span : length
        Free strand, m.
    linear_density : linear density
        Mass of one belt per length, kg/m.

    Returns
    -------
    force
        N.

    Source
    ------
    frequency-note, T = 4 m L^2 f^2
    """
    return 4.0 * np.asarray(linear_density) * np.square(np.asarray(span) * frequency)


@unit_checked(speed="surface speed", linear_density="linear density", returns="force")
def centrifugal(speed, *, linear_density):
    """Part of a belt's tension that only bends it round its pulleys at speed.

    Parameters
    ----------
    speed : surface speed
        Belt speed, m/s.
    linear_density : linear density
        Mass of one belt per length, kg/m.

    Returns
    -------
    force
        N per belt; it neither grips nor loads the shafts.

    Source
    ------
    shigley, ch. 17, centrifugal tension
    """
    return np.asarray(linear_density) * np.square(speed)


def arm_moment_si(tension, ux, uy, index, arm_x, arm_y):
    """Give the moment that a spring must put on an idler's arm to hold a strand at a tension.

    Parameters
    ----------
    tension : array, shape (...)
        Net tension of the strands on both sides of the idler, all belts together, N.
    ux, uy : array, shape (..., n)
        Directions of the strands.
    index : int
        The idler.
    arm_x, arm_y : array, shape (...)
        From the pivot to the idler's centre, m.

    Returns
    -------
    array
        N m, counter-clockwise above nought.

    Source
    ------
    own-derivation, moments about the pivot
    """
    fx = np.asarray(tension) * (ux[..., index] - ux[..., index - 1])
    fy = np.asarray(tension) * (uy[..., index] - uy[..., index - 1])
    return np.asarray(arm_y) * fx - np.asarray(arm_x) * fy


@unit_checked(force="force", rate="spring rate", free_length="length", initial="force", returns="length")
def spring_length(force, *, rate, free_length, initial=0.0):
    """Length of a coil spring at which it pulls with a wanted force.

    Parameters
    ----------
    force : force
        Wanted pull, N.
    rate : spring rate
        N/m.
    free_length : length
        Length unloaded between the hooks, m.
    initial : force
        Pull at which the coils begin to part, N.

    Returns
    -------
    length
        m; NaN where the spring pulls harder than wanted as soon as its coils part.

    Source
    ------
    own-derivation, Hooke's law
    """
    extra = np.asarray(force) - np.asarray(initial)
    return np.where(extra >= 0.0, np.asarray(free_length) + extra / np.asarray(rate), np.nan)

"""First whirl (critical) speed of a shaft with pulleys on it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft.units import GRAVITY, OutOfRange


class Whirl(NamedTuple):
    """Lowest whirl (critical) speed by three ways, rad/s.

    Parameters
    ----------
    lowest : float
        From the eigenvalue of the flexibility times the masses: the value to use.
    rayleigh : float
        From the static shape; never below `lowest`.
    dunkerley : float
        From each mass alone; never above `lowest`.
    """

    lowest: float
    rayleigh: float
    dunkerley: float


def lumps_si(steps, *, density, pieces=30):
    """Cut the shaft's own mass into lumps.

    Parameters
    ----------
    steps : sequence of Step
        The shaft, as `shafts.beam_si` takes it.
    density : float
        kg/m3.
    pieces : int
        How many lumps, beside the cuts at the steps.

    Returns
    -------
    at, mass : ndarray (lumps,)
        Middle of each lump, m, and its mass, kg.

    Source
    ------
    Geometry; 30 lumps are within 0.1 % of the uniform shaft's exact whirl speed.
    """
    steps = sorted(steps)
    cuts = np.linspace(steps[0].start, steps[-1].end, pieces + 1)
    edges = np.unique(np.concatenate([cuts, *[step[:2] for step in steps]]))
    middle = (edges[1:] + edges[:-1]) / 2
    which = np.searchsorted([step.end for step in steps[:-1]], middle)
    area = np.array([np.pi / 4 * (step.diameter**2 - step.bore**2) for step in steps])[which]
    return middle, density * area * np.diff(edges)


def whirl_si(flexibility, mass):
    """Lowest whirl speed from the flexibility of the shaft and the masses on it.

    Parameters
    ----------
    flexibility : ndarray (masses, masses)
        Movement at each mass for a unit force at each other, m/N.
    mass : ndarray (masses,)
        kg; the shaft's own lumps and the pulleys together.

    Returns
    -------
    Whirl
        The eigenvalue and its two classical bounds.

    Raises
    ------
    ValueError
        If nothing has mass or the two do not belong together.

    Source
    ------
    shigley, ch. 7, Rayleigh and Dunkerley; tilting of discs (gyroscopic stiffening) is left out.
    """
    flex, mass = np.asarray(flexibility, float), np.asarray(mass, float)
    if flex.shape != (mass.size, mass.size):
        raise OutOfRange("give one row and one column of flexibility for each mass")
    if not np.any(mass > 0):
        raise OutOfRange("nothing on this shaft has mass: give the mass of a pulley or of the shaft")
    root = np.sqrt(mass)
    value, shape = np.linalg.eigh(root[:, None] * flex * root)
    # The static shape bounds the first mode only if each weight pushes the way that mode moves.
    sag = flex @ (mass * GRAVITY * np.sign(shape[:, -1]))
    rayleigh = np.sqrt(GRAVITY * np.sum(mass * np.abs(sag)) / np.sum(mass * sag**2))
    return Whirl(float(value[-1] ** -0.5), float(rayleigh), float(np.sum(np.diag(flex) * mass) ** -0.5))

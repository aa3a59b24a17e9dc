"""Belt life by the published fatigue constants, with the range they hold for."""

from typing import NamedTuple

import numpy as np

from jackshaft.units import INCH, POUND_FORCE


class Life(NamedTuple):
    """Belt life by the published fatigue constants.

    ``passes`` of the belt round its loop and ``hours`` by the formula as it stands; ``valid`` -1 below, 0
    within, +1 above the range of passes the constants were fitted to. Above it the life is only known to be
    more than ``hours_at_least``, the hours at the end of that range; below it ``hours`` is a guess.
    ``peaks`` are the tensions with bending at each pulley, N.
    """

    passes: np.ndarray
    hours: np.ndarray
    hours_at_least: np.ndarray
    valid: np.ndarray
    peaks: np.ndarray


def life_si(tight, diameters, speed, length, *, row):
    """Estimate belt life from the peak tension at every pulley.

    Parameters
    ----------
    tight : array, shape (..., n)
        Greater of the two strand tensions at each pulley with the centrifugal part, per belt, N.
    diameters : array, shape (..., n)
        Pitch diameters, m; an idler counts as a pulley. No published penalty for bending the other way
        exists, so a back idler is counted like an inside pulley of its size, and no more.
    speed : array, shape (...)
        Belt speed, m/s.
    length : array, shape (...)
        Pitch length, m.
    row : mapping
        Fatigue constants as published, a row of table belt_fatigue: ``kb_lbf_in``, ``k_lbf``, ``exponent``, and the
        passes ``passes_from`` to ``passes_to`` that they hold for. Its ``kc_lbf`` is not added here: the tensions
        bring their centrifugal part.

    Returns
    -------
    Life

    Source
    ------
    shigley, ch. 17, V-belt durability (from memory)
    """
    bending = row["kb_lbf_in"] * POUND_FORCE / (np.asarray(diameters) / INCH)  # published in lbf with inches
    peaks = np.asarray(tight, dtype=float) + bending
    # a strand that has gone slack is not pulled: its pulley adds nothing, whatever the balance of forces says
    damage = np.sum((np.maximum(peaks, 0.0) / (row["k_lbf"] * POUND_FORCE)) ** row["exponent"], axis=-1)
    passes = 1.0 / damage
    lap = np.asarray(length) / np.asarray(speed) / 3600.0
    least, most = row["passes_from"], row["passes_to"]
    valid = np.where(passes > most, 1, np.where(passes < least, -1, 0))
    return Life(passes, passes * lap, np.minimum(passes, most) * lap, valid, peaks)

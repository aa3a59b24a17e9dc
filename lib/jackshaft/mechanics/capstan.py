"""The capstan law of one pulley: the wedge of a groove, tensions at slip, the textbook two-pulley drive."""

import numpy as np


def groove_coefficient_si(friction, groove_angle):
    """Coefficient in the capstan law of a belt wedged in a groove.

    Parameters
    ----------
    friction : array, shape (...)
        Friction of belt on flank (no unit). A measured 0.3 does not belong here: with the wedge factor it
        promises four times the ratio that the trade designs for.
    groove_angle : array, shape (...)
        Whole groove angle, rad.

    Returns
    -------
    array

    Source
    ------
    shigley, ch. 17: friction over the sine of half the groove angle
    """
    return np.asarray(friction) / np.sin(0.5 * np.asarray(groove_angle))


def static_tension_si(pull, wrap, friction, centrifugal=0.0):
    """Static tension per strand at which a two-pulley drive with locked centres is about to slip.

    Parameters
    ----------
    pull : array, shape (...)
        Effective pull, N.
    wrap : array, shape (...)
        Wrap of the pulley that slips first, rad.
    friction : array, shape (...)
        Coefficient in exp(k wrap).
    centrifugal : array, shape (...)
        m v^2, N.

    Returns
    -------
    array
        N.

    Source
    ------
    shigley, ch. 17: initial tension of a belt at the point of slip
    """
    ratio = np.exp(np.asarray(friction) * wrap)
    return 0.5 * np.asarray(pull) * (ratio + 1.0) / (ratio - 1.0) + centrifugal


def strands_at_slip_si(tight, wrap, friction, centrifugal=0.0):
    """Slack tension when a pulley is about to slip under a given tight tension.

    Parameters
    ----------
    tight : array, shape (...)
        Tight tension with the centrifugal part, N.
    wrap : array, shape (...)
        Wrap, rad.
    friction : array, shape (...)
        Coefficient in exp(k wrap).
    centrifugal : array, shape (...)
        m v^2, N.

    Returns
    -------
    array
        Slack tension with the centrifugal part, N.

    Source
    ------
    shigley, ch. 17: (T1 - Tc)/(T2 - Tc) = exp(k wrap)
    """
    return (np.asarray(tight) - centrifugal) * np.exp(-np.asarray(friction) * wrap) + centrifugal


def speed_of_most_power_si(tight, linear_density):
    """Belt speed at which a belt of given greatest tension carries most power.

    Parameters
    ----------
    tight : array, shape (...)
        Greatest tension, N.
    linear_density : array, shape (...)
        Mass per length, kg/m.

    Returns
    -------
    array
        m/s; there m v^2 is a third of the tension.

    Source
    ------
    khurmi-machines, ch. 11, condition of greatest power
    """
    return np.sqrt(np.asarray(tight) / (3.0 * np.asarray(linear_density)))

"""Speed, direction, torque and power through a train of stages.

A stage's *ratio* is the speed of its driven shaft over that of its driver. Every function takes
arrays; stages stand on the last axis. Radii and diameters are those of the true cord line, never the
outside ones (see ``diameters``).
"""

import numpy as np

from jackshaft.units import OutOfRange, unit_checked

SAME_WAY = {
    "belt": True,
    "crossed belt": False,
    "back-side belt": False,
    "roller chain": True,
    "external gear": False,
    "internal gear": True,
}


@unit_checked(driver="length", driven="length", creep="number", returns="number")
def belt_ratio(driver, *, driven, creep=0.0):
    """Speed ratio of a belt stage from its diameters on the cord line.

    Parameters
    ----------
    driver, driven : length
        Diameters (or radii) of the two pulleys on the cord line, m.
    creep : number
        Part of the speed lost between the pulleys (0.01 is 1 %).

    Returns
    -------
    array
        Driven speed over driver speed.

    Source
    ------
    khurmi-machines, ex. 11.1 (slip multiplies stage by stage)
    """
    return np.asarray(driver) / np.asarray(driven) * (1.0 - np.asarray(creep))


@unit_checked(driver="number", driven="number", returns="number")
def tooth_ratio(driver, *, driven):
    """Speed ratio of a roller chain or a gear pair from its tooth counts.

    Parameters
    ----------
    driver, driven : number
        Teeth.

    Returns
    -------
    array
        Driven speed over driver speed.

    Source
    ------
    own-derivation, teeth that pass are the same on both
    """
    return np.asarray(driver, dtype=float) / np.asarray(driven, dtype=float)


def same_way(kind, reverses=None):
    """Tell whether a stage keeps the direction of turning, both shafts seen from the same side.

    Parameters
    ----------
    kind : str
        One of SAME_WAY, or "gearbox", which must say it itself.
    reverses : bool or None
        For a gearbox (or to overrule): True where the driven shaft turns the other way.

    Returns
    -------
    bool

    Raises
    ------
    ValueError
        If the kind is unknown, or a gearbox does not say whether it reverses.

    Source
    ------
    own-derivation, outside contact reverses, inside contact and an open loop do not
    """
    if reverses is not None:
        return not reverses
    if kind == "gearbox":
        raise OutOfRange("enter whether the output of the gearbox turns the other way")
    if kind not in SAME_WAY:
        raise OutOfRange(f"{kind!r} is no kind of stage; known: {', '.join(sorted(SAME_WAY))}, gearbox")
    return SAME_WAY[kind]


@unit_checked(diameter="length", rotation="rotation", returns="surface speed")
def tip_speed(diameter, *, rotation):
    """Speed of a rim, a tip or a belt from the diameter it is on.

    Parameters
    ----------
    diameter : length
        m.
    rotation : rotation
        Rotational speed, rad/s.

    Returns
    -------
    surface speed
        m/s, never negative.

    Source
    ------
    own-derivation, circumference times turns
    """
    return 0.5 * np.asarray(diameter) * np.abs(rotation)


@unit_checked(driver="length", driven="length", driver_used="length", driven_used="length", returns="number")
def error_of_diameters(driver, *, driven, driver_used, driven_used):
    """Error in the driven speed that comes from using other diameters than those of the cord line.

    Parameters
    ----------
    driver, driven : length
        Diameters on the cord line, m.
    driver_used, driven_used : length
        The diameters used instead (outside, datum, by tape), m.

    Returns
    -------
    number
        Parts of 1; above nought where the used diameters promise too high a speed.

    Source
    ------
    own-derivation, ratio of the two ratios
    """
    true = np.asarray(driver, float) / np.asarray(driven, float)
    return np.asarray(driver_used, float) / np.asarray(driven_used, float) / true - 1.0

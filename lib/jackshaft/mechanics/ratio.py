"""Speed, direction, torque and power through a train of stages.

A stage's *ratio* is the speed of its driven shaft over that of its driver. Every function takes
arrays; stages stand on the last axis. Radii and diameters are those of the true cord line, never the
outside ones (see ``diameters``).
"""

from typing import NamedTuple

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


class SpeedCheck(NamedTuple):
    """Speed against a wanted band: ``inside`` the band, and how far ``over`` or ``under`` it (parts of 1)."""

    inside: np.ndarray
    over: np.ndarray
    under: np.ndarray


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
        raise OutOfRange("a gearbox must say whether its output turns the other way")
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


@unit_checked(speed="surface speed", diameter="length", returns="rotation")
def rotation_for(speed, *, diameter):
    """Rotational speed that gives a surface speed.

    Parameters
    ----------
    speed : surface speed
        m/s.
    diameter : length
        m.

    Returns
    -------
    rotation
        rad/s.

    Source
    ------
    own-derivation, circumference times turns
    """
    return 2.0 * np.asarray(speed) / np.asarray(diameter)


@unit_checked(rotation="rotation", least="rotation", most="rotation")
def in_band(rotation, *, least, most) -> SpeedCheck:
    """Compare a speed with the band that the work wants.

    Parameters
    ----------
    rotation : rotation
        Rotational speed, rad/s; the sign is not looked at.
    least, most : rotation
        The band, rad/s.

    Returns
    -------
    SpeedCheck

    Source
    ------
    own-derivation, by definition
    """
    speed, least, most = np.abs(rotation), np.asarray(least, float), np.asarray(most, float)
    return SpeedCheck(
        (speed >= least) & (speed <= most),
        np.maximum(speed / most - 1.0, 0.0),
        np.maximum(1.0 - speed / least, 0.0),
    )


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


@unit_checked(
    driver="length",
    rotation_in="rotation",
    rotation_out="rotation",
    creep="number",
    added="length",
    returns="length",
)
def driven_outside_diameter(driver, *, rotation_in, rotation_out, creep=0.0, added=0.0):
    """Outside diameter of the driven pulley that gives a wanted speed.

    Parameters
    ----------
    driver : length
        Outside diameter of the driver, m.
    rotation_in, rotation_out : rotation
        Speeds of the driver and wanted of the driven shaft, rad/s.
    creep : number
        Part of the speed lost in the stage.
    added : length
        What the belt adds to both diameters, m: twice the distance from the pulley's outside to the cord line
        (a flat belt's thickness); below nought where the cord runs under the rim.

    Returns
    -------
    length
        m.

    Source
    ------
    bansal, ex. 11.3 (effective diameter is diameter plus belt thickness)
    """
    true = (np.asarray(driver) + added) * np.abs(rotation_in) * (1.0 - np.asarray(creep)) / np.abs(rotation_out)
    return true - added


@unit_checked(tight="stress", slack="stress", modulus="stress", returns="number")
def creep_of_stretch(tight, *, slack, modulus):
    """Part of the speed lost by elastic creep between the tight and the slack strand.

    Parameters
    ----------
    tight, slack : stress
        Stress in the two strands, Pa.
    modulus : stress
        Modulus of the belt, Pa.

    Returns
    -------
    number
        Parts of 1. The form with square roots of the stresses that two textbooks print is not used: it
        adds the root of a stress to a modulus, so that its answer hangs on the unit chosen.

    Source
    ------
    own-derivation, mass flow is the same in both strands (khurmi-machines, ex. 11.2, prints the other)
    """
    return 1.0 - (np.asarray(modulus) + slack) / (np.asarray(modulus) + tight)

"""Tractor splines: profiles, torque by pressure on the flanks and by shear of the teeth, wear, speed and direction."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.units import INCH, RPM, OutOfRange, above_zero, unit_checked

# Share of the teeth that bear at once: sound, and worn where the flanks no longer touch together. From memory.
SHARE_SOUND, SHARE_WORN = 0.75, 0.5
FLAT_ROOT = 1.35  # (teeth - 1.35) / pitch is the root of a flat-root 30 degree spline; from memory


class Profile(NamedTuple):
    """A spline as it is reckoned with; not to cut metal from.

    Parameters
    ----------
    kind, splines : int
        Type of tractor shaft, 1 to 4, and how many splines.
    form : str
        "straight" or "involute".
    speed : float
        Standard speed, rad/s.
    power : float
        Largest power of the standard at that speed, with heat-treated steel, W.
    nominal, root : float
        Nominal diameter, and diameter that is left under the splines, m.
    radius, height, tooth : float
        Mean radius of the flanks, how high they touch, and how thick a tooth is, m.
    words : str
        Source, locator and how known.
    """

    kind: int
    splines: int
    form: str
    speed: float
    power: float
    nominal: float
    root: float
    radius: float
    height: float
    tooth: float
    words: str


#: Kinds of its fields.
PROFILE = {"speed": "rotation", "power": "power"} | dict.fromkeys(
    ("nominal", "root", "radius", "height", "tooth"), "length"
)


class Pressure(NamedTuple):
    """Pressure allowed on the flanks of a spline.

    Parameters
    ----------
    low, high : float
        The band, Pa.
    words : str
        Source, locator and how known.
    """

    low: float
    high: float
    words: str


@unit_checked(returns=PROFILE)
def profile(kind, speed_rpm=None) -> Profile:
    """Look a tractor spline up.

    Parameters
    ----------
    kind : int
        Type 1 to 4.
    speed_rpm : float or None
        540, 1000 or 1300 where a type has two; None gives the first.

    Returns
    -------
    Profile
        SI; an involute one's root, height and tooth follow from its pitch.

    Raises
    ------
    ValueError
        If there is no such spline: a shaft for one speed does not belong on another.

    Source
    ------
    Table splines: iso500, parts 1 and 3 (from memory); proportions of involute splines from memory.
    """
    wanted = {"type": kind} | ({} if speed_rpm is None else {"speed_rpm": speed_rpm})
    rows = tables.table("splines").where(**wanted).rows
    if not rows:
        raise OutOfRange(f"no spline of type {kind} at {speed_rpm} rpm: never adapt one speed's shaft to the other's")
    r = rows[0]
    head = (int(r["type"]), int(r["splines"]), r["form"], r["speed_rpm"] * RPM, r["power_max_kw"] * 1e3)
    nominal = r["nominal_mm"] * 1e-3
    if r["form"] == "straight":
        major, minor = r["major_mm"] * 1e-3, r["minor_mm"] * 1e-3
        sizes = (nominal, minor, (major + minor) / 4, (major - minor) / 2, r["tooth_mm"] * 1e-3)
    else:
        pitch = INCH / r["diametral_pitch"]  # the table counts teeth per inch of diameter
        sizes = (nominal, (r["splines"] - FLAT_ROOT) * pitch, r["splines"] * pitch / 2, pitch, math.pi / 2 * pitch)
    return Profile(*head, *sizes, r.cite)


@unit_checked(returns={"low": "stress", "high": "stress"})
def allowed_pressure(fit, steel) -> Pressure:
    """Look up the pressure that the flanks of a spline stand.

    Parameters
    ----------
    fit : str
        "fixed", or "slides under load" for a telescoping shaft.
    steel : str
        "as rolled or drawn", or "heat-treated".

    Returns
    -------
    Pressure
        The band.

    Raises
    ------
    ValueError
        If the table has no such line.

    Source
    ------
    Table spline_pressures: usual textbook bands and the handbook's sliding rule, from memory.
    """
    rows = tables.table("spline_pressures").where(fit=fit, steel=steel).rows
    if not rows:
        raise OutOfRange(f"no flank pressure for a spline that is {fit!r} of steel {steel!r}")
    return Pressure(rows[0]["low_mpa"] * 1e6, rows[0]["high_mpa"] * 1e6, rows[0].cite)


@unit_checked(pressure="stress", length="length", radius="length", height="length", share="number", returns="torque")
def flank_torque(pressure, length, *, splines, radius, height, share=SHARE_SOUND):
    """Torque at a pressure on the flanks.

    Parameters
    ----------
    pressure : float or ndarray
        Pa.
    length : float or ndarray
        Over which shaft and hub touch, m.
    splines : int
        How many.
    radius, height : float or ndarray
        Mean radius and height of the flanks, m.
    share : float
        Share of the splines that bear at once.

    Returns
    -------
    float or ndarray
        N·m.

    Raises
    ------
    ValueError
        If a size is not positive or the share is not between 0 and 1.

    Source
    ------
    mh31, straight splines, T = p N r h a length; involute alike (from memory).
    """
    _sizes(length, radius, height, share)
    return pressure * splines * radius * height * length * share


@unit_checked(
    shear="stress", length="length", radius="length", tooth="length", wear="length", share="number", returns="torque"
)
def tooth_torque(shear, length, *, splines, radius, tooth, wear=0.0, share=SHARE_SOUND):
    """Torque at a shear stress at the foot of the teeth.

    Parameters
    ----------
    shear : float or ndarray
        Pa.
    length : float or ndarray
        Over which shaft and hub touch, m.
    splines : int
        How many.
    radius, tooth : float or ndarray
        Mean radius of the flanks, and thickness of a sound tooth, m.
    wear : float or ndarray
        What is worn off a tooth's thickness, m.
    share : float
        Share of the splines that bear at once.

    Returns
    -------
    float or ndarray
        N·m.

    Raises
    ------
    ValueError
        If a size is not positive, or nothing is left of the tooth.

    Source
    ------
    Area times stress times radius; share from memory.
    """
    _sizes(length, radius, tooth, share)
    left = tooth - np.asarray(wear, float)
    if np.min(wear) < 0 or np.min(left) <= 0:
        raise OutOfRange("the wear is larger than the tooth: nothing is left of the spline")
    return (shear * splines * left * length * radius * share)[()]


def rim_force_ratio(speed, standard):
    """How much harder rims and knives pull outward at a speed than at the standard one.

    Parameters
    ----------
    speed, standard : float or ndarray
        Speeds, one unit.

    Returns
    -------
    float or ndarray
        The square of their ratio.

    Raises
    ------
    ValueError
        If the standard speed is not positive.

    Source
    ------
    Centrifugal force grows with the square of speed.
    """
    above_zero(standard_speed=standard)
    return np.square(np.asarray(speed, float) / standard)[()]


def _sizes(*values):
    if min(float(np.min(v)) for v in values) <= 0 or np.max(values[-1]) > 1:
        raise OutOfRange("length, radius and height are larger than zero, and the share is between 0 and 1")

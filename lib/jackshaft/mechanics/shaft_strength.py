"""Is the shaft thick enough? Stress, fatigue and yield at a section, and the next stock size.

A belt pulls the same way while the shaft turns under it, so each fibre is
stretched and squeezed once a turn: a steady pull is fully reversed bending.
Torque stays steady apart from its ripple. Where the shaft stands still and the
hub turns (an idler on a pin) the same pull is a steady stress.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.units import OutOfRange, above_zero, unit_checked

METHODS = ("goodman", "gerber", "elliptic", "soderberg")
THINNEST = 1e-3  # m, where the search for a needed diameter begins
ENDURANCE_CAP = 700e6  # Pa; shigley, ch. 6, from memory
# shigley, reliability factor on the endurance limit; 50 % by definition, the rest from memory.
RELIABILITY = {50: 1.0, 90: 0.897, 95: 0.868, 99: 0.814, 99.9: 0.753}


class Duty(NamedTuple):
    """Bending moment and torque of a section, split into what alternates and what stays.

    Parameters
    ----------
    moment_swing, moment_mean : float or ndarray
        N·m.
    torque_swing, torque_mean : float or ndarray
        N·m.
    """

    moment_swing: float
    moment_mean: float
    torque_swing: float
    torque_mean: float


#: Kinds of its fields.
DUTY = dict.fromkeys(Duty._fields, "torque")


class Strength(NamedTuple):
    """How far a section is from failing.

    Parameters
    ----------
    fatigue : float or ndarray
        Safety against fatigue for endless running.
    yielding : float or ndarray
        Safety against yielding at the first peak.
    swing, mean : float or ndarray
        Equivalent alternating and mean stress, Pa.
    """

    fatigue: float
    yielding: float
    swing: float
    mean: float


@unit_checked(moment="torque", diameter="length", bore="length", returns="stress")
def bending_stress(moment, diameter, bore=0.0):
    """Stress at the surface from bending.

    Parameters
    ----------
    moment : float or ndarray
        N·m.
    diameter, bore : float or ndarray
        Outside and inside diameter, m.

    Returns
    -------
    float or ndarray
        Pa.

    Raises
    ------
    ValueError
        If the section has no metal.

    Source
    ------
    Bending of a round bar.
    """
    return _bending(moment, _solid(diameter, bore))


@unit_checked(torque="torque", diameter="length", bore="length", returns="stress")
def torsion_stress(torque, diameter, bore=0.0):
    """Shear stress at the surface from torque.

    Parameters
    ----------
    torque : float or ndarray
        N·m.
    diameter, bore : float or ndarray
        Outside and inside diameter, m.

    Returns
    -------
    float or ndarray
        Pa.

    Raises
    ------
    ValueError
        If the section has no metal.

    Source
    ------
    Torsion of a round bar.
    """
    return _torsion(torque, _solid(diameter, bore))


@unit_checked(yield_stress="stress", diameter="length", bore="length", returns="torque")
def torque_at_yield(yield_stress, diameter, bore=0.0):
    """Torque at which a plain shaft begins to twist for good.

    Parameters
    ----------
    yield_stress : float or ndarray
        In tension, Pa.
    diameter, bore : float or ndarray
        m.

    Returns
    -------
    float or ndarray
        N·m, with shear yield at 0.577 of the tensile one.

    Raises
    ------
    ValueError
        If the section has no metal.

    Source
    ------
    Distortion energy, shigley, ch. 5 (from memory).
    """
    return yield_stress / math.sqrt(3) * np.pi * _solid(diameter, bore) / 16


@unit_checked(moment="torque", torque="torque", torque_ripple="number", returns=DUTY)
def duty(moment, torque, *, turning=True, torque_ripple=0.0) -> Duty:
    """Split the moment and the torque of a section into swing and mean.

    Parameters
    ----------
    moment, torque : float or ndarray
        From pulls that keep their direction in space, N·m.
    turning : bool
        True for a shaft that turns under the pull, False for a pin that stands still.
    torque_ripple : float
        Swing of the torque as a share of its mean; about 0.5 to 1 behind one cylinder (from memory).

    Returns
    -------
    Duty
        For `strength`.

    Raises
    ------
    ValueError
        If the ripple is negative.

    Source
    ------
    shigley, ch. 7 (from memory).
    """
    if torque_ripple < 0:
        raise OutOfRange("the ripple of the torque is a share, zero or more")
    still = 0.0 * np.asarray(moment, float)
    swing, mean = (np.abs(moment), still) if turning else (still, np.abs(moment))
    return Duty(swing[()], mean[()], torque_ripple * np.abs(torque), np.abs(torque))


@unit_checked(tensile="stress", diameter="length", returns="stress")
def endurance_limit(tensile, diameter, *, finish="machined or cold-drawn", reliability=50):
    """Stress that a real shaft stands reversed for ever.

    Parameters
    ----------
    tensile : float
        Ultimate tensile strength, Pa.
    diameter : float
        m.
    finish : str
        One of table surface_factors; "hot-rolled" also stands for a welded surface.
    reliability : float
        50, 90, 95, 99 or 99.9 per cent.

    Returns
    -------
    float
        Pa.

    Raises
    ------
    ValueError
        If the finish or the reliability is not in the tables, or a value is not positive.

    Source
    ------
    shigley, ch. 6 and 7: half the tensile strength times surface, size and reliability factors.
    """
    rows = tables.table("surface_factors").where(finish=finish).rows
    if not rows:
        names = ", ".join(r["finish"] for r in tables.table("surface_factors"))
        raise OutOfRange(f"finish {finish!r} is not known; choose {names}")
    if reliability not in RELIABILITY:
        raise OutOfRange(f"reliability {reliability!r} is not known; choose {', '.join(map(str, RELIABILITY))} %")
    above_zero(tensile_strength=tensile, diameter=diameter)
    surface = min(rows[0]["a_mpa"] * (tensile / 1e6) ** rows[0]["b"], 1.0)  # the formula counts in MPa
    mm = diameter * 1e3  # the size formula counts in mm
    size = 1.24 * mm**-0.107 if mm <= 51 else 1.51 * mm**-0.157
    return min(0.5 * tensile, ENDURANCE_CAP) * surface * min(size, 1.0) * RELIABILITY[reliability]


@unit_checked(
    duty=DUTY,
    diameter="length",
    endurance="stress",
    tensile="stress",
    yield_stress="stress",
    bore="length",
    returns={"swing": "stress", "mean": "stress"},
)
def strength(
    duty, diameter, *, endurance, tensile, yield_stress, raiser=(1.0, 1.0), bore=0.0, method="goodman"
) -> Strength:
    """Safety of a section against fatigue and yielding.

    Parameters
    ----------
    duty : Duty
        Moment and torque, N·m.
    diameter : float or ndarray
        Outside diameter, m.
    endurance, tensile, yield_stress : float
        Of the material, Pa.
    raiser : Raiser or (float, float)
        Factors on bending and torsion.
    bore : float or ndarray
        Inside diameter, m.
    method : str
        "goodman", "gerber", "elliptic" or "soderberg".

    Returns
    -------
    Strength
        Both safeties and the equivalent stresses.

    Raises
    ------
    ValueError
        If the method is not known, or the section has no metal.

    Source
    ------
    shigley, ch. 7, distortion energy with fatigue factors on swing and mean.
    """
    if method not in METHODS:
        raise OutOfRange(f"method {method!r} is not known; choose {', '.join(METHODS)}")
    kf, kfs = raiser[0], raiser[1]
    solid = _solid(diameter, bore)

    def equivalent(moment, torque):
        return np.hypot(kf * _bending(moment, solid), math.sqrt(3) * kfs * _torsion(torque, solid))

    swing = equivalent(duty.moment_swing, duty.torque_swing)
    mean = equivalent(duty.moment_mean, duty.torque_mean)
    peak = equivalent(duty.moment_swing + duty.moment_mean, duty.torque_swing + duty.torque_mean)
    with np.errstate(divide="ignore", invalid="ignore"):
        if method == "goodman":
            safety = 1 / (swing / endurance + mean / tensile)
        elif method == "soderberg":
            safety = 1 / (swing / endurance + mean / yield_stress)
        elif method == "elliptic":
            safety = 1 / np.hypot(swing / endurance, mean / yield_stress)
        else:
            a, m = swing / endurance, mean / tensile  # a n + (m n)^2 = 1, the root without a difference
            safety = 2 / (a + np.sqrt(a**2 + 4 * m**2))
        return Strength(safety[()], (yield_stress / peak)[()], swing[()], mean[()])


@unit_checked(duty=DUTY, safety="number", tensile="stress", yield_stress="stress", returns="length")
def diameter_needed(
    duty,
    safety,
    *,
    tensile,
    yield_stress,
    finish="machined or cold-drawn",
    reliability=50,
    raiser=(1.0, 1.0),
    method="goodman",
):
    """Smallest diameter that holds against fatigue and yielding.

    Parameters
    ----------
    duty : Duty
        Moment and torque of one section, N·m.
    safety : float
        Wanted safety on both.
    tensile, yield_stress : float
        Pa.
    finish : str
        As for `endurance_limit`.
    reliability : float
        As for `endurance_limit`, per cent.
    raiser : Raiser or (float, float)
        As for `strength`.
    method : str
        As for `strength`.

    Returns
    -------
    float
        m; 1 mm where less would do.

    Raises
    ------
    ValueError
        If no diameter up to 1 m is enough, nothing loads the section, or an input is refused by the two functions.

    Source
    ------
    As `strength`; the endurance limit depends on the size itself, so the root is searched for.
    """

    from scipy.optimize import brentq

    def spare(diameter):
        endurance = endurance_limit.si(tensile, diameter, finish=finish, reliability=reliability)
        s = strength.si(
            duty,
            diameter,
            endurance=endurance,
            tensile=tensile,
            yield_stress=yield_stress,
            raiser=raiser,
            method=method,
        )
        return math.log(min(s.fatigue, s.yielding) / safety)  # nearly straight in the logarithm of the size

    least, most = math.log(THINNEST), 0.0
    if math.isinf(spare(1.0)):
        raise OutOfRange("nothing loads this section, so any diameter is strong enough")
    if spare(1.0) < 0.0:
        raise OutOfRange("no shaft up to a metre in diameter is strong enough: check the loads")
    if spare(THINNEST) >= 0.0:
        return THINNEST
    return math.exp(brentq(lambda size: spare(math.exp(size)), least, most, xtol=1e-12))


def _bending(moment, solid):
    return 32 * moment / (np.pi * solid)


def _torsion(torque, solid):
    return 16 * torque / (np.pi * solid)


def _solid(diameter, bore):
    d, b = np.asarray(diameter, float), np.asarray(bore, float)
    if np.any(d <= 0) or np.any(b < 0) or np.any(b >= d):
        raise OutOfRange("a section needs a diameter larger than its bore")
    return (d**3 * (1 - (b / d) ** 4))[()]

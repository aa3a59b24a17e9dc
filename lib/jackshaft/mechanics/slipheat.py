"""Heat of a slipping clutch: what one engagement warms, where repeated ones settle, and how hot the face itself gets.

Heat in J, mass in kg, temperature in K, time in s.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np

from jackshaft.units import above_zero, unit_checked

#: Specific heat of steel and iron (J/(kg·K)), from memory.
STEEL_HEAT = 500.0


class Repeated(NamedTuple):
    """Temperatures of repeated engagements (K): rise of one, highest and mean once settled."""

    rise: Any
    peak: Any
    mean: Any


@unit_checked(heat="energy", mass="mass", specific_heat="specific heat", returns="temperature rise")
def temperature_rise(heat, *, mass, specific_heat=STEEL_HEAT):
    """Mean temperature rise of the clutch's faces by one engagement.

    Parameters
    ----------
    heat : energy
        Slip heat (J).
    mass : mass
        Steel near the faces only (kg).
    specific_heat : specific heat
        500 J/(kg·K) for steel and iron.

    Returns
    -------
    temperature rise
        Rise (K).

    Raises
    ------
    ValueError
        A mass or specific heat of zero or below.

    Source
    ------
    Heat balance; specific heat from memory.
    """
    above_zero(mass=mass, specific_heat=specific_heat)
    return heat / (np.asarray(mass) * specific_heat)


@unit_checked(
    power="power", mass="mass", rise="temperature rise", already="energy", specific_heat="specific heat", returns="time"
)
def slip_time(power, *, mass, rise, already=0.0, specific_heat=STEEL_HEAT):
    """Time for which plates may slip at a steady power until they are as hot as they may be.

    Parameters
    ----------
    power : power
        Torque while they slip times the speed between them (W).
    mass : mass
        Steel that takes the heat up (kg); nothing is counted that goes to the air meanwhile.
    rise : temperature rise
        From where they begin to what the lining takes for a short time (K).
    already : energy
        Heat to come on top, such as that of what coasts on through them (J).
    specific_heat : specific heat
        500 J/(kg·K) for steel and iron.

    Returns
    -------
    time
        Time (s); zero where what comes on top is too much by itself.

    Raises
    ------
    ValueError
        A power, mass or specific heat of zero or below.

    Source
    ------
    Heat balance; specific heat from memory.
    """
    above_zero(power=power, mass=mass, specific_heat=specific_heat)
    left = np.asarray(mass) * specific_heat * rise - already
    return np.where(left > 0.0, left, 0.0) / power


def slip_density_si(heat: Any, *, seconds: Any, area: Any) -> Any:
    """Mean slip power on the rubbing faces, to hold against what the facing takes.

    Parameters
    ----------
    heat : float or array
        Slip heat (J).
    seconds : float or array
        Time of the slip (s).
    area : float or array
        Rubbing area (m²).

    Returns
    -------
    float or array
        Power for the area (W/m²; a million of them are 1 W/mm²). It starts at twice the mean.

    Raises
    ------
    ValueError
        A time or area of zero or below.

    Source
    ------
    Arithmetic; limits in table friction_pairs.
    """
    above_zero(time=seconds, area=area)
    return np.asarray(heat) / seconds / area


def repeated_si(
    heat: Any, *, every: Any, mass: Any, cooling: Any, ambient: Any, specific_heat: Any = STEEL_HEAT
) -> Repeated:
    """Temperatures once engagements repeat for long.

    Parameters
    ----------
    heat : float or array
        Slip heat of one engagement (J).
    every : float or array
        Time from one to the next (s).
    mass : float or array
        Steel that stores it (kg).
    cooling : float or array
        Heat it gives away for each kelvin above the air: coefficient times surface (W/K).
    ambient : float or array
        Temperature of the air (K).
    specific_heat : float or array
        Specific heat (J/(kg·K)).

    Returns
    -------
    Repeated
        Rise of one engagement, settled peak and mean (K).

    Raises
    ------
    ValueError
        A time, mass or cooling of zero or below.

    Source
    ------
    shigley ch. 16: peak = ambient + rise/(1 - exp(-beta t)); from memory.
    """
    above_zero(time_between=every, mass=mass, cooling=cooling, specific_heat=specific_heat)
    rise = np.asarray(heat) / (np.asarray(mass) * specific_heat)
    peak = ambient + rise / -np.expm1(-np.asarray(cooling) * every / (np.asarray(mass) * specific_heat))
    return Repeated(rise, peak, ambient + np.asarray(heat) / (np.asarray(every) * cooling))


def body_surface_si(diameter: Any, *, length: Any) -> Any:
    """Return the surface of a round body with both its ends, which gives heat to the air.

    Parameters
    ----------
    diameter : float or array
        Outside diameter (m).
    length : float or array
        Length along the shaft (m).

    Returns
    -------
    float or array
        Surface (m²).

    Raises
    ------
    ValueError
        A diameter or length of zero or below.

    Source
    ------
    Geometry of a cylinder.
    """
    above_zero(diameter=diameter, length=length)
    return math.pi * np.asarray(diameter) * (np.asarray(diameter) / 2.0 + length)


def least_interval_si(rise: Any, *, allowed: Any, mass: Any, cooling: Any, specific_heat: Any = STEEL_HEAT) -> Any:
    """Return the shortest time between engagements that keeps the settled peak within a limit.

    Parameters
    ----------
    rise : float or array
        Rise of one engagement (K).
    allowed : float or array
        Settled peak allowed above what the body has without engagements (K).
    mass : float or array
        Steel that stores the heat (kg).
    cooling : float or array
        Heat it gives away for each kelvin above the air (W/K).
    specific_heat : float or array
        Specific heat (J/(kg·K)).

    Returns
    -------
    float or array
        Time (s); ``inf`` where one engagement alone goes beyond the limit.

    Raises
    ------
    ValueError
        A mass, cooling or specific heat of zero or below.

    Source
    ------
    Inverse of `repeated_si`.
    """
    above_zero(mass=mass, cooling=cooling, specific_heat=specific_heat)
    rise, allowed = np.asarray(rise, float), np.asarray(allowed, float)
    share = np.where(allowed > rise, rise / np.where(allowed > 0.0, allowed, 1.0), 0.0)
    lasts = -np.asarray(mass) * specific_heat / cooling * np.log1p(-share)
    return np.where(allowed > rise, lasts, np.inf)[()]

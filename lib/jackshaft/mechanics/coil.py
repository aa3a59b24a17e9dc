"""The clutch coil at rest: resistance hot and cold, current, lead error, what supply it is wound for.

Copper's resistance is taken as linear in temperature, 0.00393 per kelvin at 20 °C.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from jackshaft.units import ALPHA20, T20, OutOfRange, above_zero, at_least, at_most, unit_checked

#: Watts of a clutch coil of the small-engine class at its own voltage, cold: planning band, common practice.
COIL_WATTS = (36.0, 75.0)
#: Largest error of a usable coil reading, as a share: the spread between classes of coil, common practice.
MOST_READING_ERROR = 0.15


class LeadCheck(NamedTuple):
    """A low resistance read through leads: corrected value, its error, and whether it can be used."""

    resistance: float
    plus_minus: float
    share: float
    temperature_error: float
    usable: bool


class CoilMatch(NamedTuple):
    """What supply a coil is wound for: watts at the system's voltage, likeliest voltage, does it fit."""

    watts: float
    likely_voltage: float
    fits: bool
    reason: str


@unit_checked(resistance="resistance", temperature="temperature", at="temperature", returns="resistance")
def hot_resistance(resistance, *, temperature, at=T20):
    """Resistance of a copper winding at another temperature.

    Parameters
    ----------
    resistance : resistance
        Resistance at the temperature ``at`` (ohm).
    temperature : temperature
        Temperature wanted (K).
    at : temperature
        Temperature at which ``resistance`` was read (K); 20 °C unless given.

    Returns
    -------
    resistance
        Resistance at ``temperature`` (ohm).

    Raises
    ------
    ValueError
        A resistance of zero or below.

    Source
    ------
    Linear law of annealed copper, 0.00393/K at 20 °C (IEC 60028, from memory).
    """
    above_zero(coil_resistance=resistance)
    return resistance * (1.0 + ALPHA20 * (temperature - T20)) / (1.0 + ALPHA20 * (at - T20))


@unit_checked(voltage="voltage", resistance="resistance", series="resistance", returns="current")
def coil_current(voltage, *, resistance, series=0.0):
    """Steady current of a coil behind the resistance of its line.

    Parameters
    ----------
    voltage : voltage
        Source voltage (V).
    resistance : resistance
        Coil resistance at its temperature (ohm).
    series : resistance
        Wire, joints and contacts in the loop, there and back (ohm).

    Returns
    -------
    current
        Current (A). Higher voltage means more current: a coil is a resistance to direct current.

    Raises
    ------
    ValueError
        A coil resistance of zero or below, or a negative series resistance.

    Source
    ------
    Ohm's law.
    """
    above_zero(coil_resistance=resistance)
    if np.any(np.asarray(series) < 0.0):
        raise OutOfRange("the line's resistance is negative: the meter leads were subtracted twice")
    return voltage / (np.asarray(resistance) + series)


@unit_checked(
    reading="resistance",
    leads="resistance",
    meter="resistance",
    returns={"resistance": "resistance", "plus_minus": "resistance", "temperature_error": "temperature rise"},
)
def lead_check(reading, *, leads, meter=0.1) -> LeadCheck:
    """Take the meter leads off a low resistance and say how far the rest can be trusted.

    Parameters
    ----------
    reading : resistance
        What the meter shows on the coil (ohm).
    leads : resistance
        What it shows with the leads touched together (ohm).
    meter : resistance
        Uncertainty of the difference (ohm): last digit and contact; 0.1 ohm is usual.

    Returns
    -------
    LeadCheck
        Corrected resistance and its uncertainty (ohm), the uncertainty as a share, the same as an error
        in winding temperature (K), and ``usable`` when the share is below 15 %.

    Raises
    ------
    ValueError
        The leads read as much as the coil, so that nothing is left.

    Source
    ------
    Arithmetic; the 15 % limit (the spread between classes of coil) is common practice, no source.
    """
    if leads < 0.0 or meter < 0.0:
        raise OutOfRange("lead resistance and meter error cannot be negative")
    value = reading - leads
    if value <= 0.0:
        raise OutOfRange("the leads alone read as much as the coil: clean the clips and measure again")
    share = meter / value
    return LeadCheck(value, meter, share, share / ALPHA20, at_most(share, MOST_READING_ERROR))


@unit_checked(resistance="resistance", system="voltage", returns={"watts": "power", "likely_voltage": "voltage"})
def coil_match(resistance, *, system) -> CoilMatch:
    """Judge from its resistance whether a coil is wound for the supply.

    Parameters
    ----------
    resistance : resistance
        Coil resistance at about 20 °C, leads taken off (ohm).
    system : voltage
        Nominal supply, 12 V or 24 V (V).

    Returns
    -------
    CoilMatch
        Power at that supply (W), the nominal supply of 6, 12, 24 or 48 V that brings it nearest to the
        class's 36 to 75 W, whether that is the supply here, and why.

    Raises
    ------
    ValueError
        A resistance or supply of zero or below.

    Source
    ------
    Planning band of small-engine clutch coils: common practice, no source.
    """
    above_zero(coil_resistance=resistance, supply_voltage=system)
    middle = math.sqrt(COIL_WATTS[0] * COIL_WATTS[1])
    likely = min((6.0, 12.0, 24.0, 48.0), key=lambda v: abs(math.log(v * v / resistance / middle)))
    watts = system * system / resistance
    fits = at_least(watts, 0.5 * COIL_WATTS[0]) and at_most(watts, 1.5 * COIL_WATTS[1])
    if fits:
        reason = f"{watts:.0f} W at {system:g} V, as this class of coil takes"
    elif not at_most(watts, COIL_WATTS[1]):
        reason = f"{watts:.0f} W at {system:g} V would burn it: it has shorted turns, or it is a coil for {likely:g} V"
    else:
        reason = (
            f"{watts:.0f} W at {system:g} V pulls too weakly: there is a bad joint, or it is a coil for {likely:g} V"
        )
    return CoilMatch(watts, likely, fits, reason)

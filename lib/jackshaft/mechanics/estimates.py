"""What is not on a plate, worked out from what can be counted, heard or measured: each with its band.

Volume in m³, time in s, speed in rad/s, power in W, force in N, length in m. An estimate is no measurement: where a
verdict hangs on it, measure.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from jackshaft.units import HOUR, OutOfRange, above_zero, unit_checked


class Estimate(NamedTuple):
    """The likely value and the ends of the band that it lies in."""

    likely: float
    low: float
    high: float


#: Mean effective pressure at full throttle of small engines without a blower: likely, low, high, Pa; from memory,
#: worked back from the rated powers of common sizes. Old side-valve engines are near the low end.
_PRESSURE = {
    ("petrol", 4): (0.70e6, 0.55e6, 0.90e6),
    ("petrol", 2): (0.33e6, 0.25e6, 0.45e6),
    ("diesel", 4): (0.55e6, 0.45e6, 0.70e6),
}
#: Fuel burnt for each unit of work at half load or more, kg/J: likely, low, high; from memory.
_BURNT = {
    "petrol": tuple(g * 1e-3 / (1e3 * HOUR) for g in (380.0, 300.0, 500.0)),
    "diesel": tuple(g * 1e-3 / (1e3 * HOUR) for g in (270.0, 230.0, 350.0)),
}
#: kg/m³ at 15 °C: likely, low, high. The ends are those of EN 228 and EN 590, from memory.
_DENSITY = {"petrol": (745.0, 720.0, 775.0), "diesel": (835.0, 820.0, 845.0)}

_BAND = ("likely", "low", "high")


def _of(kind: str) -> dict[str, str]:
    return dict.fromkeys(_BAND, kind)


def _fuel(fuel: str) -> str:
    if fuel not in _DENSITY:
        raise OutOfRange(f"the fuel is 'petrol' or 'diesel', not {fuel!r}")
    return fuel


def _turns_per_cycle(strokes: int) -> float:
    if strokes not in (2, 4):
        raise OutOfRange(f"an engine has 2 or 4 strokes, not {strokes}")
    return strokes / 2


def _whole(cylinders: int) -> int:
    if cylinders < 1 or cylinders != int(cylinders):
        raise OutOfRange("an engine has a whole number of cylinders, one or more")
    return int(cylinders)


@unit_checked(bore="length", stroke="length", returns="volume")
def engine_displacement(bore, *, stroke, cylinders=1):
    """Displacement of an engine from its bore and stroke.

    Parameters
    ----------
    bore : length
        Diameter of the cylinder (m).
    stroke : length
        Way of the piston (m).
    cylinders : int
        Number of cylinders.

    Returns
    -------
    volume
        Displacement (m³).

    Raises
    ------
    ValueError
        A bore or stroke of zero or below, or no whole number of cylinders.

    Source
    ------
    Geometry.
    """
    above_zero(bore=bore, stroke=stroke)
    return math.pi / 4.0 * bore**2 * stroke * _whole(cylinders)


@unit_checked(displacement="volume", speed="rotation", returns=_of("power"))
def power_from_displacement(displacement, *, speed, strokes=4, fuel="petrol") -> Estimate:
    """Power that an engine without a plate is likely to give at full throttle, from its displacement.

    Parameters
    ----------
    displacement : volume
        Of all cylinders together (m³).
    speed : rotation
        Speed that it is governed to at full load (rad/s).
    strokes : int
        4 or 2.
    fuel : str
        "petrol" or "diesel".

    Returns
    -------
    Estimate
        Power (W): a sound engine at sea level, without a blower. A worn one gives less.

    Raises
    ------
    ValueError
        A displacement or speed of zero or below, another fuel, or a diesel of two strokes.

    Source
    ------
    Power is mean effective pressure by displacement by working strokes a second; the pressures of small
    engines are from memory: 0.55 to 0.9 MPa for petrol and four strokes, 1.7 to 2.7 kW per 100 cm³ at 3600 r/min.
    """
    above_zero(displacement=displacement, speed=speed)
    turns = _turns_per_cycle(strokes)
    pressures = _PRESSURE.get((_fuel(fuel), strokes))
    if pressures is None:
        raise OutOfRange("no figures are at hand for a diesel engine of two strokes")
    return Estimate(*(p * displacement * speed / (math.tau * turns) for p in pressures))


@unit_checked(time="time", watch="time", returns=_of("rotation"))
def speed_counted(turns, *, time, watch=0.3) -> Estimate:
    """Speed from counting turns in a time.

    Parameters
    ----------
    turns : float
        Turns counted.
    time : time
        Time that they took (s).
    watch : time
        How far the watch may be out, started and stopped by hand together (s).

    Returns
    -------
    Estimate
        Speed (rad/s); half a turn of miscount and the watch are in the band.

    Raises
    ------
    ValueError
        Half a turn or fewer, or a time that is no longer than the watch may be out.

    Source
    ------
    Turns over time; a watch by hand is some 0.3 s out: common practice, no source.
    """
    if turns <= 0.5 or time <= watch or watch < 0.0:
        raise OutOfRange("count more turns over a longer time: here the miscount is as large as the count")
    count = math.tau * turns, math.tau * (turns - 0.5), math.tau * (turns + 0.5)
    return Estimate(count[0] / time, count[1] / (time + watch), count[2] / (time - watch))


@unit_checked(tone="frequency", returns=_of("rotation"))
def speed_from_sound(tone, *, cylinders=1, strokes=4, tuning=0.03) -> Estimate:
    """Speed of an engine from the lowest tone of its exhaust.

    Parameters
    ----------
    tone : frequency
        Lowest tone, by a tuner held near the exhaust (Hz).
    cylinders : int
        Cylinders that fire evenly into that exhaust.
    strokes : int
        4: each cylinder fires every second turn. 2: every turn.
    tuning : float
        How far the tone may be out, as a share: half a semitone is 3 per cent.

    Returns
    -------
    Estimate
        Speed (rad/s). A tuner may catch the tone an octave high: then the speed is half. Cylinders that fire
        unevenly sound lower: take them as one.

    Raises
    ------
    ValueError
        A tone of zero or below, no whole number of cylinders, strokes other than 2 and 4, or a share outside
        0 to 1.

    Source
    ------
    Firings a second are cylinders by turns a second over turns for each working stroke; a semitone is the
    twelfth root of 2.
    """
    above_zero(tone=tone)
    if not 0.0 <= tuning < 1.0:
        raise OutOfRange("how far the tone may be out is a share between 0 and 1")
    likely = math.tau * tone * _turns_per_cycle(strokes) / _whole(cylinders)
    return Estimate(likely, likely * (1.0 - tuning), likely * (1.0 + tuning))


@unit_checked(burnt="volume", time="time", returns=_of("power"))
def power_from_fuel(burnt, *, time, fuel="petrol") -> Estimate:
    """Mean power that an engine gave, from the fuel that it burnt at work.

    Parameters
    ----------
    burnt : volume
        Fuel that it took to fill the tank up again (m³).
    time : time
        Time of work in between (s).
    fuel : str
        "petrol" or "diesel".

    Returns
    -------
    Estimate
        Mean power (W) at half load or more. At light load the engine burns more for each unit of work, so it
        gave less than this.

    Raises
    ------
    ValueError
        A volume or time of zero or below, or another fuel.

    Source
    ------
    Mass of fuel over what is burnt for each unit of work; for small engines 300 to 500 g/kWh of petrol and 230
    to 350 g/kWh of diesel fuel, from memory. Densities: EN 228 and EN 590, from memory.
    """
    above_zero(burnt=burnt, time=time)
    likely, low, high = _DENSITY[_fuel(fuel)]
    each, least, most = _BURNT[fuel]
    flow = burnt / time
    return Estimate(flow * likely / each, flow * low / most, flow * high / least)


@unit_checked(force="force", radius="length", speed="rotation", returns=_of("power"))
def power_from_brake(force, *, radius, speed, share=0.1) -> Estimate:
    """Power that a shaft gave while a belt, a brake or a clutch slipped against a scale on a lever.

    Parameters
    ----------
    force : force
        Read at the scale while it slipped (N).
    radius : length
        From the shaft's axis to the scale, square to its pull (m).
    speed : rotation
        Speed of the shaft while it slipped (rad/s).
    share : float
        How far the pull may be out, as a share of it: the needle swings.

    Returns
    -------
    Estimate
        Power (W).

    Raises
    ------
    ValueError
        A force, radius or speed of zero or below, or a share outside 0 to 1.

    Source
    ------
    Power is torque by speed (the Prony brake); a tenth for the needle is common practice, no source.
    """
    above_zero(force=force, radius=radius, speed=speed)
    if not 0.0 <= share < 1.0:
        raise OutOfRange("how far the pull may be out is a share between 0 and 1")
    likely = force * radius * speed
    return Estimate(likely, likely * (1.0 - share), likely * (1.0 + share))

"""Heating of a wire by a fault, and whether the fuse clears before the wire is hurt.

The fault current comes from the circuit and the fuse's time window from its gates, both as arguments.
Currents in A, areas in m2, temperatures in K, times in s.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np

from jackshaft.units import ALPHA20, ZERO_C, OutOfRange, above_zero, copper_resistivity

#: Volumetric heat capacity of copper at 20 °C, J/(K m3): from memory (IEC 60949).
COPPER_HEAT = 3.45e6


class WireHeat(NamedTuple):
    """A wire that carries a current: heat (W/m), steady temperature (K), time to the limit (s)."""

    watts_per_metre: Any
    steady: Any
    seconds: Any


class Protection(NamedTuple):
    """Fuse against wire at one fault: does the fuse clear first, surely and likely, and in which words."""

    holds: bool
    likely: bool
    wire_is_the_fuse: bool
    reason: str
    fuse_seconds: float
    wire: WireHeat


def damage_temperature_si(insulation: float) -> float:
    """Conductor temperature that the insulation survives for the seconds of a short circuit.

    Parameters
    ----------
    insulation : float
        Temperature the insulation is rated for in service (K).

    Returns
    -------
    float
        160 °C up to the 105 °C class (thermoplastic), 250 °C above (cross-linked); in K.

    Raises
    ------
    ValueError
        A rating outside 60 to 260 °C.

    Source
    ------
    Limits of IEC 60364-4-43, from memory; that classes to 105 °C are thermoplastic: common practice.
    """
    celsius = insulation - ZERO_C
    if not 59.9 <= celsius <= 260.1:
        raise OutOfRange(f"insulation rated {celsius:.0f} °C is outside 60 to 260 °C")
    return ZERO_C + (160.0 if celsius < 105.5 else 250.0 if celsius < 249.0 else celsius + 1.0)


def wire_heat_si(
    current: Any, *, area: Any, ampacity: Any, insulation: float, ambient: float, start: float, limit: float
) -> WireHeat:
    """Heat a wire with a steady current until it reaches a limit.

    The wire's cooling is taken from its ampacity: at that current it settles at its insulation rating.
    At large currents this becomes the adiabatic I²t law; the insulation's own heat is left out, so the
    time is on the short side.

    Parameters
    ----------
    current : float or array
        Current in the wire (A).
    area : float or array
        Copper cross-section (m²).
    ampacity : float or array
        Current the wire may carry all day as it lies, derated (A).
    insulation : float
        Temperature rating of the insulation (K).
    ambient : float
        Temperature of the air round it (K).
    start : float
        Wire temperature when the current begins (K).
    limit : float
        Temperature that hurts it (K).

    Returns
    -------
    WireHeat
        Heat at 20 °C (W/m), steady temperature (K, ``inf`` where the wire runs away), time to the limit
        (s, ``inf`` where it never gets there).

    Raises
    ------
    ValueError
        Area or ampacity of zero or below, insulation not above the ambient, limit not above the start.

    Source
    ------
    Heat balance of a bare conductor with linear cooling; derived.
    """
    current, area = np.asarray(current, float), np.asarray(area, float)
    ampacity = np.asarray(ampacity, float)
    above_zero(wire_area=area, ampacity=ampacity)
    if insulation <= ambient:
        raise OutOfRange("the air is as hot as the insulation may get: this wire may carry nothing here")
    if limit <= start:
        raise OutOfRange("the wire starts above its limit: its insulation is damaged already")
    r20 = copper_resistivity() / area
    cooling = ampacity**2 * copper_resistivity(insulation) / area / (insulation - ambient)
    heat20 = current**2 * r20
    slope = heat20 * ALPHA20 - cooling

    def surplus(t):
        return current**2 * copper_resistivity(t) / area - cooling * (t - ambient)

    with np.errstate(divide="ignore", invalid="ignore"):
        steady = np.where(slope < 0.0, start - surplus(start) / slope, np.inf)
        s0, s1 = surplus(start), surplus(limit)
        flat = np.abs(slope) * (limit - start) < 1e-9 * np.abs(s0)
        curved = np.log(s1 / s0) / np.where(slope == 0.0, 1.0, slope)
        seconds = COPPER_HEAT * area * np.where(flat, (limit - start) / s0, curved)
    seconds = np.where((s0 > 0.0) & (s1 > 0.0), seconds, np.inf)
    return WireHeat(*(v.item() if np.ndim(v) == 0 else v for v in (heat20, steady, seconds)))


def protection_si(
    current: float,
    *,
    multiple: float,
    fuse_seconds: float,
    fuse_likely: float,
    area: float,
    ampacity: float,
    insulation: float,
    ambient: float,
) -> Protection:
    """Judge one fault: does the fuse surely clear before the wire reaches its damage temperature.

    Parameters
    ----------
    current : float
        Fault current through fuse and wire (A).
    multiple : float
        That current over the fuse's rating.
    fuse_seconds : float
        Longest time in which the fuse surely opens at it (s); ``inf`` where it need not open, or where no
        fuse stands before the fault.
    fuse_likely : float
        Longest time by the band read between its gates (s).
    area : float
        Copper cross-section of the thinnest wire behind the fuse (m²).
    ampacity : float
        Its derated ampacity (A).
    insulation : float
        Its insulation rating (K).
    ambient : float
        Air round it (K).

    Returns
    -------
    Protection
        ``holds`` when the fuse's sure time is shorter than the wire's from its full rated temperature,
        ``likely`` when its likely one is; ``wire_is_the_fuse`` when the fuse need never open and the
        wire reaches its limit.

    Raises
    ------
    ValueError
        As for `wire_heat_si`.

    Source
    ------
    Wire limits from memory (IEC 60364-4-43).
    """
    limit = damage_temperature_si(insulation)
    wire = wire_heat_si(
        current,
        area=area,
        ampacity=ampacity,
        insulation=insulation,
        ambient=ambient,
        start=insulation,
        limit=limit,
    )
    never, lasts = math.isinf(fuse_seconds), math.isinf(wire.seconds)
    holds = fuse_seconds < wire.seconds or lasts
    if never and not lasts:
        reason = f"the fuse may never open at {multiple:.2g} times its rating: the wire is the fuse"
    elif not holds:
        reason = (
            f"the insulation of the wire is damaged after {wire.seconds:.2g} s, the fuse may take {fuse_seconds:.2g} s"
        )
    elif never:
        reason = "the fuse need not open, and the wire carries this current without reaching its limit"
    else:
        reason = f"the fuse opens within {fuse_seconds:.2g} s, the wire lasts {wire.seconds:.2g} s"
    likely = holds or fuse_likely < wire.seconds
    return Protection(
        holds=bool(holds),
        likely=bool(likely),
        wire_is_the_fuse=never and not lasts,
        reason=reason,
        fuse_seconds=fuse_seconds,
        wire=wire,
    )

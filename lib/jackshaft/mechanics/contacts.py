"""Switch and relay contacts, the relay's coil, tab terminals, heat in a joint, and the charging budget.

Currents in A, voltages in V, resistances in ohm, temperatures in K, charge in C.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from jackshaft.tables import table
from jackshaft.units import ALPHA20, ZERO_C, OutOfRange, above_zero, at_least, at_most, awg_area, unit_checked

#: What charging should leave for the battery (A): common practice, no source.
CHARGING_MARGIN = 1.0


class ContactLimit(NamedTuple):
    """What a contact may break here, inductive and DC (A); None where its marking gives no DC rating."""

    amps: float | None
    reason: str


class RelayCoil(NamedTuple):
    """A relay coil on its supply: supply over rating, pull-in voltage warm (V), does it fit, why."""

    share: float
    pull_in: float
    fits: bool
    reason: str


class Budget(NamedTuple):
    """Charging against load: what is left (A), how long the battery bridges a shortfall (s), enough or not."""

    surplus: float
    lasts: float
    enough: bool
    leaves_margin: bool


def contact_limit_si(rating: float | None, *, rated_for: str, suppressed: bool = False) -> ContactLimit:
    """Direct current a contact may switch off here, with a coil behind it.

    Parameters
    ----------
    rating : float or None
        Current marked on it (A).
    rated_for : str
        "DC inductive", "DC resistive", "AC only" or "not marked".
    suppressed : bool
        The coil's energy is taken up by a diode, zener or resistor across it.

    Returns
    -------
    ContactLimit
        Current (A), or None where the marking gives no direct-current rating, and why.

    Raises
    ------
    ValueError
        Another word for ``rated_for``, or a rating of zero or below.

    Source
    ------
    relay-data (resistive rating holds with suppression); half of it otherwise: trade-practice, from memory.
    """
    if rating is not None and rating <= 0.0:
        raise OutOfRange("a rating must be above zero")
    if rated_for in ("AC only", "not marked") or rating is None:
        why = "alternating current goes through zero, which puts the arc out; direct current does not"
        return ContactLimit(None, "no DC rating: " + (why if rated_for == "AC only" else "nothing is marked"))
    if rated_for == "DC inductive":
        return ContactLimit(rating, "marked for inductive direct current")
    if rated_for == "DC resistive":
        if suppressed:
            return ContactLimit(rating, "the resistive DC figure, because the coil is suppressed")
        return ContactLimit(0.5 * rating, "half the resistive DC figure, because the coil behind it is inductive")
    raise OutOfRange(f"a contact rated for {rated_for!r}: DC inductive, DC resistive, AC only or not marked")


@unit_checked(rated="voltage", supply="voltage", coil="temperature", returns={"pull_in": "voltage"})
def relay_coil(rated, *, supply, coil=ZERO_C + 23.0) -> RelayCoil:
    """Judge a relay's coil on its supply.

    Parameters
    ----------
    rated : voltage
        Voltage marked on the relay (V).
    supply : voltage
        Voltage it gets (V).
    coil : temperature
        Temperature of its winding (K); 23 °C unless given.

    Returns
    -------
    RelayCoil
        Supply over rating; pull-in voltage warm (V); whether it pulls in and does not overheat; why.

    Raises
    ------
    ValueError
        A rating or supply of zero or below.

    Source
    ------
    relay-data: pull-in 6.9 V for a 12 V coil at 23 °C. No more than 1.35 of the rating: common practice.
    """
    above_zero(relay_rating=rated, supply=supply)
    share = supply / rated
    least = table("circuit_facts").one(part="relay", item="pull-in voltage")["high"] / 12.0 * rated
    least *= (1.0 + ALPHA20 * (coil - ZERO_C - 20.0)) / (1.0 + ALPHA20 * 3.0)
    if not at_most(share, 1.35):
        return RelayCoil(share, least, False, f"a {rated:g} V coil burns on {supply:.3g} V: fit one for it")
    if not at_least(supply, least):
        why = f"{supply:.3g} V is below the {least:.3g} V it needs: it chatters or stays out"
        return RelayCoil(share, least, False, why)
    return RelayCoil(share, least, True, f"pulls in from {least:.3g} V and gets {supply:.3g} V")


@unit_checked(current="current", resistance="resistance", returns="power")
def contact_heat(current, *, resistance):
    """Heat in a contact, connector or joint.

    Parameters
    ----------
    current : current
        Current through it (A).
    resistance : resistance
        Its resistance (ohm): a sound joint 2 to 5 mohm, a bad one 50 to 200.

    Returns
    -------
    power
        Heat (W).

    Raises
    ------
    ValueError
        A negative resistance.

    Source
    ------
    Joule's law.
    """
    if np.any(np.asarray(resistance) < 0.0):
        raise OutOfRange("a resistance cannot be negative: the meter leads were subtracted twice")
    return np.asarray(current) ** 2 * resistance


@unit_checked(
    output="current",
    load="current",
    capacity="charge",
    usable="number",
    returns={"surplus": "current", "lasts": "time"},
)
def charging_budget(output, *, load, capacity=None, usable=0.5) -> Budget:
    """Charging output against the loads, and how long the battery bridges a shortfall.

    Parameters
    ----------
    output : current
        Charging output at the speed it runs (A).
    load : current
        Everything that draws: clutch, lamps, relay, ignition (A).
    capacity : charge
        Battery capacity (C); without it the time is not a number.
    usable : number
        Share of the capacity that may be used up.

    Returns
    -------
    Budget
        What is left for the battery (A, negative where short), time until the usable share is gone
        (s, ``inf`` when not short), whether it is enough, and whether it leaves 1 A for charging.

    Raises
    ------
    ValueError
        A negative output or load, or a share outside 0 to 1.

    Source
    ------
    Arithmetic; 1 A of margin and half the capacity: common practice, no source.
    """
    if output < 0.0 or load < 0.0 or not 0.0 < usable <= 1.0:
        raise OutOfRange("output and load cannot be negative; the usable share lies between 0 and 1")
    left = output - load
    enough = at_least(output, load)
    if enough:
        lasts = math.inf
    else:
        lasts = math.nan if capacity is None else usable * capacity / -left
    return Budget(left, lasts, enough, at_least(output, load + CHARGING_MARGIN))


@unit_checked(area="wire", returns="current")
def terminal_limit(area, *, group="6.3 mm tab"):
    """Steady current of a tab terminal crimped on a wire.

    Parameters
    ----------
    area : wire
        Copper area of the wire (m²).
    group : str
        "6.3 mm tab" or "small tab".

    Returns
    -------
    current
        Current for 30 K rise (A): that of the listed gauge at or below the wire's copper.

    Raises
    ------
    ValueError
        A group or a wire size that the table does not reach.

    Source
    ------
    terminal-data.
    """
    rows = table("terminals").where(group=group).rows
    fitting = [r["current_a"] for r in rows if awg_area(r["wire_awg"]) <= area * 1.004]
    if not fitting:
        raise OutOfRange(f"no {group!r} in the table for {area * 1e6:.3g} mm²")
    return max(fitting)

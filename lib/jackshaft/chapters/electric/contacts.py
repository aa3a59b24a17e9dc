"""Switch, relay and suppression of the clutch circuit."""

from __future__ import annotations

import numpy as np

from jackshaft import tables
from jackshaft.chapters.electric.joints import has_relay
from jackshaft.chapters.electric.line import air_of, loads_of
from jackshaft.chapters.electric.supply import nominal_of, supply_of
from jackshaft.chapters.electric.words import sentence, unless_go, window
from jackshaft.mechanics import contacts
from jackshaft.results.checks import CAUTION, GO, STOP
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number
from jackshaft.units import ZERO_C, at_most

NO_RATING = "no DC rating"
#: Hottest air (K) that a relay's contact is rated in.
RELAY_AIR = 85.0 + ZERO_C
SWITCH, SWITCH_NAME = "electric.switch", "switch: direct current with a coil behind it"
SUPPRESSED = ("resistor", "diode", "diode and zener", "TVS")


def relay_amps(reader: Reader) -> float:
    """Return the most that the relay's coil draws, engine running: from the table, at the supply that was read."""
    row = tables.table("circuit_facts").one(part="relay", item="coil current")
    nominal = nominal_of(reader) or 12.0
    rated = reader.si("circuit.relay_voltage", nominal)
    supply = supply_of(reader, nominal)
    # a relay coil takes about the same power whatever voltage it is wound for
    return row["high"] * 12.0 / rated * supply / rated


def coil_amps(reader: Reader, data) -> float | None:
    """Return the largest coil current: from the solved line, else coil and supply alone."""
    if data is not None:
        return float(np.max(data.steps.coil_amps))
    r20, supply = reader.si("clutch.coil_resistance"), supply_of(reader)
    return None if r20 is None or supply is None else supply / r20


def work_up(draft: Draft, reader: Reader, data) -> None:
    """Add the checks of switch, relay and suppression."""
    amps = coil_amps(reader, data)
    suppression = reader.get("circuit.suppression")
    relay = has_relay(reader)
    if amps is not None:
        # lamps that hang on the clutch's wire go through the same contact
        amps += sum(load.amps for load in loads_of(reader, nominal_of(reader)) if load.same_wire)
    _switch_check(draft, reader, amps, relay, suppression in SUPPRESSED)
    if relay:
        _relay_coil(draft, reader)
        _relay_contact(draft, reader, amps, suppression in SUPPRESSED)
    _suppression_check(draft, reader, suppression)


def _switch_check(draft: Draft, reader: Reader, amps: float | None, relay: bool | None, suppressed: bool) -> None:
    rated_for, rating = reader.get("circuit.switch_rated_for"), reader.si("circuit.switch_rating")
    missing = [k for k, v in (("circuit.switch_rated_for", rated_for), ("clutch.coil_resistance", amps)) if v is None]
    if rated_for in ("DC inductive", "DC resistive") and rating is None:
        missing.append("circuit.switch_rating")
    if missing:
        words = "What the switch may break, or what it has to break, is not known yet. "
        words += "A rating such as '16 A 250 V' is for alternating current."
        draft.lacks(reader, SWITCH, SWITCH_NAME, missing, words)
        return
    limit = contacts.contact_limit_si(rating, rated_for=rated_for, suppressed=suppressed)
    marking = reader.get("circuit.switch_marking")
    why = f"marked '{marking}': {limit.reason}" if marking else limit.reason
    why = f"{sentence(why)}."
    if relay:
        _relayed_switch(draft, reader, amps, limit, why)
        return
    value = reader.number(amps, "current")
    fits = limit.amps is not None and amps <= limit.amps
    if not fits and relay is None:
        words = f"{why} It cannot switch the coil directly ({value}). The build does not say whether there is a relay."
        limit = "a relay, or a DC inductive rating"
        draft.lacks(reader, SWITCH, SWITCH_NAME, ("circuit.relay",), words, limit=limit)
        return
    arc = "The arc of a coil on direct current does not go out by itself: it welds or burns the contact."
    verdict = GO if fits else STOP
    draft.check(
        id=SWITCH,
        name=SWITCH_NAME,
        found=value,
        wanted=NO_RATING if limit.amps is None else _most(reader, limit.amps, "circuit.switch_rating"),
        verdict=verdict,
        reason=why if fits else f"{why} {arc}",
        remedy=unless_go(
            verdict,
            "Fit a relay that carries the coil's current (contact rated for direct current, coil for the supply); the "
            "switch then carries the relay's coil only. Put suppression across the clutch coil.",
        ),
        source="relay-data; trade-practice",
    )


def _most(reader: Reader, amps: float, key: str, words: str = "{} or less") -> Number:
    """Return the most that a contact may break, from the rating at ``key``."""
    return reader.number(amps, "current", words, known=reader.how(key), source="relay-data")


def _relayed_switch(draft: Draft, reader: Reader, amps: float, limit, why: str) -> None:
    """Judge a switch behind which a relay carries the clutch."""
    mine, carries = relay_amps(reader), "a relay carries the clutch"
    direct = f"Without the relay it would have to break {reader.show(amps, 'current')}"
    verdict, wanted = GO, f"{NO_RATING}; {carries}"
    if limit.amps is None:
        direct += ", for which it has no rating."
    else:
        direct += f"; it may break {reader.show(limit.amps, 'current')}."
        verdict = GO if at_most(mine, limit.amps) else STOP
        wanted = _most(reader, limit.amps, "circuit.switch_rating", f"{{}}; {carries}")
    draft.check(
        id=SWITCH,
        name=SWITCH_NAME,
        found=reader.number(mine, "current", "{}, the relay's coil only", source="relay-data"),
        wanted=wanted,
        verdict=verdict,
        reason=f"{why} {direct} The relay's coil needs a diode or resistor of its own.",
        remedy=unless_go(verdict, "Use a switch that breaks the relay's coil current."),
        source="relay-data; trade-practice",
    )


def _relay_coil(draft: Draft, reader: Reader) -> None:
    rated = reader.si("circuit.relay_voltage")
    lowest = reader.si("circuit.battery_voltage", reader.si("circuit.running_voltage"))
    highest = reader.si("circuit.running_voltage", lowest)
    id, name = "electric.relay-coil", "relay's coil on this supply"
    missing = [k for k, v in (("circuit.relay_voltage", rated), ("circuit.running_voltage", lowest)) if v is None]
    if missing:
        draft.lacks(reader, id, name, missing, "The voltage of the relay's coil or of the supply is not known yet.")
        return
    found = [contacts.relay_coil.si(rated, supply=v, coil=air_of(reader)) for v in (lowest, highest)]
    bad = next((f for f in reversed(found) if not f.fits), None)
    # the end of the supply that is judged: the one that fails, else the lower
    judged = highest if bad is found[1] else lowest
    ends = f"{reader.show(lowest, 'voltage')} to {reader.show(highest, 'voltage')}"
    draft.check(
        id=id,
        name=name,
        found=reader.number(
            judged,
            "voltage",
            f"{reader.show(rated, 'voltage')} coil on {ends}",
            low=min(lowest, highest),
            high=max(lowest, highest),
        ),
        wanted=window(reader, judged, found[0].pull_in, 1.35 * rated, "voltage"),
        verdict=STOP if bad else GO,
        reason=f"The relay {found[0].reason}, battery only." if bad is None else f"{sentence(bad.reason)}.",
        remedy="" if bad is None else f"Fit a relay with a coil for {nominal_of(reader):g} V.",
        source="relay-data",
        guards=bad is not None and bad.share > 1.0,
    )


def _relay_contact(draft: Draft, reader: Reader, amps: float | None, suppressed: bool) -> None:
    rating = reader.si("circuit.relay_rating")
    id, name = "electric.relay-contact", "relay's contact"
    missing = [k for k, v in (("circuit.relay_rating", rating), ("clutch.coil_resistance", amps)) if v is None]
    if missing:
        words = "The rating of the relay's contact or the coil's current is not known yet."
        draft.lacks(reader, id, name, missing, words)
        return
    limit = contacts.contact_limit_si(rating, rated_for="DC resistive", suppressed=suppressed)
    verdict = GO if at_most(amps, limit.amps) else STOP
    draft.check(
        id=id,
        name=name,
        found=reader.number(amps, "current"),
        wanted=_most(reader, limit.amps, "circuit.relay_rating"),
        verdict=verdict,
        reason=f"{sentence(limit.reason)}; the rating is taken as the resistive one, in air up to "
        f"{reader.show(RELAY_AIR, 'temperature')}.",
        remedy=unless_go(verdict, "Fit a relay with a larger contact, or put suppression across the clutch coil."),
        source="relay-data; trade-practice",
    )


def _suppression_check(draft: Draft, reader: Reader, suppression: str | None) -> None:
    id, name = "electric.suppression", "what takes up the coil's energy"
    limit = "a resistor, diode, diode and zener or TVS across the coil"
    if suppression is None:
        words = "Without suppression the contact takes the coil's energy as an arc at every release."
        draft.lacks(reader, id, name, ("circuit.suppression",), words, limit=limit)
        return
    verdict = GO if suppression in SUPPRESSED else CAUTION
    slow = " A plain diode is the gentlest, and the clutch lets go slowest with it." if suppression == "diode" else ""
    kick = tables.table("circuit_facts").one(part="relay", item="kick of an unclamped coil")
    draft.check(
        id=id,
        name=name,
        found=suppression,
        wanted=limit,
        verdict=verdict,
        reason=f"The coil's energy goes into it.{slow}"
        if verdict == GO
        else f"An unclamped coil kicks to hundreds of volts (a relay's to {kick['high']:.0f} V) and burns the contact.",
        remedy=unless_go(
            verdict,
            "Put a diode across the clutch coil, its band to the positive side, or a diode with a zener where a quick "
            "release matters.",
        ),
        source="relay-suppression",
    )


__all__ = ["SUPPRESSED", "coil_amps", "has_relay", "relay_amps", "work_up"]

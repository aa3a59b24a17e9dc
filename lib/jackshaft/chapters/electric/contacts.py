"""Switch, relay and suppression of the clutch circuit."""

from __future__ import annotations

import numpy as np

from jackshaft import tables
from jackshaft.chapters.electric.joints import has_relay
from jackshaft.chapters.electric.line import AIR, ENGINE_AIR, loads_of, nominal_of, window
from jackshaft.mechanics import contacts
from jackshaft.results.checks import CAUTION, GO, STOP
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number
from jackshaft.units import at_most

NO_RATING = "no DC rating"
SUPPRESSED = ("resistor", "diode", "diode and zener", "TVS")


def relay_amps(reader: Reader) -> float:
    """Return what the relay's coil draws at the most, engine running: from the table, at the supply that is read."""
    row = tables.table("circuit_facts").one(part="relay", item="coil current")
    nominal = nominal_of(reader) or 12.0
    rated = reader.si("circuit.relay_voltage", nominal)
    supply = reader.si("circuit.running_voltage", reader.si("circuit.battery_voltage", nominal))
    # a relay coil takes about the same power whatever voltage it is wound for
    return row["high"] * 12.0 / rated * supply / rated


def coil_amps(reader: Reader, data) -> float | None:
    """Return the largest coil current: from the solved line, else coil and supply alone."""
    if data is not None:
        return float(np.max(data.steps.coil_amps))
    r20 = reader.si("clutch.coil_resistance")
    supply = reader.si("circuit.running_voltage", reader.si("circuit.battery_voltage"))
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
    id, name = "electric.switch", "switch: direct current with a coil behind it"
    rated_for, rating = reader.get("circuit.switch_rated_for"), reader.si("circuit.switch_rating")
    missing = [k for k, v in (("circuit.switch_rated_for", rated_for), ("clutch.coil_resistance", amps)) if v is None]
    if rated_for in ("DC inductive", "DC resistive") and rating is None:
        missing.append("circuit.switch_rating")
    if missing:
        draft.lacks(
            reader,
            id,
            name,
            missing,
            "What the switch may break, or what it has to, is not known yet. "
            "A figure such as '16 A 250 V' stands for alternating current.",
        )
        return
    limit = contacts.contact_limit_si(rating, rated_for=rated_for, suppressed=suppressed)
    marking = reader.get("circuit.switch_marking")
    why = f"marked '{marking}': {limit.reason}" if marking else limit.reason
    why = f"{why[0].upper()}{why[1:]}."
    if relay:
        _relayed_switch(draft, reader, amps, limit, why)
        return
    value = reader.number(amps, "current")
    fits = limit.amps is not None and amps <= limit.amps
    if not fits and relay is None:
        words = f"{why} It cannot switch the coil directly ({value}); is there a relay?"
        wanted = "a relay, or a DC inductive rating"
        draft.lacks(reader, id, name, ("circuit.relay",), words, limit=wanted)
        return
    draft.check(
        id,
        name,
        value,
        NO_RATING if limit.amps is None else _most(reader, limit.amps, "circuit.switch_rating"),
        GO if fits else STOP,
        why
        if fits
        else f"{why} The arc of a coil on direct current does not go out by itself: it welds or burns the contact.",
        ""
        if fits
        else "Fit a relay that carries the coil's current (contact rated for direct current, coil for the supply); the "
        "switch then carries the relay's coil only. Put suppression across the clutch coil.",
        "relay-data; trade-practice",
    )


def _most(reader: Reader, amps: float, key: str, words: str = "{} or less") -> Number:
    """Return what a contact may break at the most, from the rating at ``key``."""
    return reader.number(amps, "current", words, known=reader.how(key), source="relay-data")


def _relayed_switch(draft: Draft, reader: Reader, amps: float, limit, why: str) -> None:
    """Judge a switch behind which a relay carries the clutch."""
    mine = relay_amps(reader)
    of = "which it has no rating for" if limit.amps is None else f"of its {reader.show(limit.amps, 'current')}"
    direct = f" Without the relay it would have to break {reader.show(amps, 'current')}"
    direct += f", {of}." if limit.amps is None else f" {of}."
    fits = limit.amps is None or at_most(mine, limit.amps)
    carries = "a relay carries the clutch"
    draft.check(
        "electric.switch",
        "switch: direct current with a coil behind it",
        reader.number(mine, "current", "{}, the relay's coil only", source="relay-data"),
        f"{NO_RATING}; {carries}"
        if limit.amps is None
        else _most(reader, limit.amps, "circuit.switch_rating", f"{{}}; {carries}"),
        GO if fits else STOP,
        f"{why}{direct} The relay's coil wants a diode or resistor of its own.",
        "" if fits else "Use a switch that breaks the relay's coil current.",
        "relay-data; trade-practice",
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
    air = ENGINE_AIR if reader.get("circuit.engine_space") else AIR
    found = [contacts.relay_coil.si(rated, supply=v, coil=air) for v in (lowest, highest)]
    bad = next((f for f in reversed(found) if not f.fits), None)
    # the end of the supply that is judged: the one that fails, else the lower
    judged = highest if bad is found[1] else lowest
    ends = f"{reader.show(lowest, 'voltage')} to {reader.show(highest, 'voltage')}"
    draft.check(
        id,
        name,
        reader.number(
            judged,
            "voltage",
            f"{reader.show(rated, 'voltage')} coil on {ends}",
            low=min(lowest, highest),
            high=max(lowest, highest),
        ),
        window(reader, judged, found[0].pull_in, 1.35 * rated, "voltage"),
        STOP if bad else GO,
        f"The relay {found[0].reason}, battery only." if bad is None else f"{bad.reason[0].upper()}{bad.reason[1:]}.",
        "" if bad is None else f"Fit a relay with a coil for {nominal_of(reader):g} V.",
        "relay-data",
        guards=bad is not None and bad.share > 1.0,
    )


def _relay_contact(draft: Draft, reader: Reader, amps: float | None, suppressed: bool) -> None:
    rating = reader.si("circuit.relay_rating")
    id, name = "electric.relay-contact", "relay's contact"
    missing = [k for k, v in (("circuit.relay_rating", rating), ("clutch.coil_resistance", amps)) if v is None]
    if missing:
        draft.lacks(
            reader, id, name, missing, "The rating of the relay's contact or the coil's current is not known yet."
        )
        return
    limit = contacts.contact_limit_si(rating, rated_for="DC resistive", suppressed=suppressed)
    draft.check(
        id,
        name,
        reader.number(amps, "current"),
        _most(reader, limit.amps, "circuit.relay_rating"),
        GO if at_most(amps, limit.amps) else STOP,
        f"{limit.reason[0].upper()}{limit.reason[1:]}; the rating is taken as the resistive one, in air up to "
        f"{reader.show(85 + 273.15, 'temperature')}.",
        "" if amps <= limit.amps else "Fit a relay with a larger contact, or put suppression across the clutch coil.",
        "relay-data; trade-practice",
    )


def _suppression_check(draft: Draft, reader: Reader, suppression: str | None) -> None:
    id, name = "electric.suppression", "what takes up the coil's energy"
    if suppression is None:
        draft.lacks(
            reader,
            id,
            name,
            ("circuit.suppression",),
            "Without suppression the contact takes the coil's energy as an arc at every release.",
            limit="a resistor, diode, diode and zener or TVS across the coil",
        )
        return
    fine = suppression in SUPPRESSED
    slow = " A plain diode is the gentlest and the slowest to let go." if suppression == "diode" else ""
    kick = tables.table("circuit_facts").one(part="relay", item="kick of an unclamped coil")
    draft.check(
        id,
        name,
        suppression,
        "a resistor, diode, diode and zener or TVS across the coil",
        GO if fine else CAUTION,
        f"The coil's energy goes into it.{slow}"
        if fine
        else f"An unclamped coil kicks to hundreds of volts (a relay's to {kick['high']:.0f} V) and burns the contact.",
        ""
        if fine
        else "Put a diode across the clutch coil, its band to the positive side, or a diode with a zener "
        "where a quick release matters.",
        "relay-suppression",
    )


__all__ = ["SUPPRESSED", "coil_amps", "has_relay", "relay_amps", "work_up"]

"""Switch, relay and suppression of the clutch circuit."""

from __future__ import annotations

from jackshaft import tables
from jackshaft.chapters.electric import suppression
from jackshaft.chapters.electric.joints import has_relay
from jackshaft.chapters.electric.line import air_of, largest_load, loads_of
from jackshaft.chapters.electric.supply import nominal_of, supply_of
from jackshaft.chapters.electric.words import unless_go, window
from jackshaft.mechanics import contacts
from jackshaft.parts.words import sentence
from jackshaft.results.checks import CAUTION, GO, STOP, grade
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number
from jackshaft.units import ZERO_C, at_most

NO_RATING = "no DC rating"
#: Air (K) that a relay's contact is rated in, and the hottest beside an engine, where it may carry less.
RELAY_AIR, HOT_AIR = 85.0 + ZERO_C, 125.0 + ZERO_C
SWITCH, SWITCH_NAME = "electric.switch", "switch: direct current with a coil behind it"


def relay_amps(reader: Reader) -> float:
    """Return the most that the relay's coil draws, engine running: from the table, at the supply that was read."""
    row = tables.table("circuit_facts").one(part="relay", item="coil current")
    nominal = nominal_of(reader) or 12.0
    rated = reader.si("circuit.relay_voltage", nominal)
    supply = supply_of(reader, nominal)
    # a relay coil takes about the same power whatever voltage it is wound for
    return row["high"] * 12.0 / rated * supply / rated


def contact_amps(reader: Reader, data) -> float | None:
    """Return the most that switch or relay must break: coil and lamps on its wire, solved, else by the supply alone."""
    if data is not None:
        return largest_load(data.steps)
    r20, supply = reader.si("clutch.coil_resistance"), supply_of(reader)
    if r20 is None or supply is None:
        return None
    return supply / r20 + sum(load.amps for load in loads_of(reader, nominal_of(reader)) if load.same_wire)


def work_up(draft: Draft, reader: Reader, data) -> None:
    """Add the checks of switch, relay and suppression."""
    amps = contact_amps(reader, data)
    tamed = suppression.tames(reader, data)
    relay = has_relay(reader)
    _switch_check(draft, reader, amps, relay, tamed)
    if relay:
        _relay_coil(draft, reader)
        _relay_contact(draft, reader, amps, tamed)
    suppression.check(draft, reader, data)


def _switch_check(draft: Draft, reader: Reader, amps: float | None, relay: bool | None, tamed: bool | None) -> None:
    rated_for, rating = reader.get("circuit.switch_rated_for"), reader.si("circuit.switch_rating")
    direct = rated_for in ("DC inductive", "DC resistive")
    missing = [] if rated_for is not None else ["circuit.switch_rated_for"]
    missing += _missing_load(reader, amps)
    if direct and rating is None:
        missing.append("circuit.switch_rating")
    if missing:
        words = "What the switch may break, or what it has to break, is not known yet. "
        words += "A rating such as '16 A 250 V' is for alternating current."
        draft.missing(reader, SWITCH, SWITCH_NAME, missing, words)
        return
    limit = contacts.contact_limit_si(rating, rated_for=rated_for, suppressed=bool(tamed))
    why = _marked(reader, limit)
    if relay:
        _relayed_switch(draft, reader, amps, limit, rated_for)
        return
    if rated_for == "DC resistive" and _waits(draft, reader, (SWITCH, SWITCH_NAME), amps, (limit.amps, rating), tamed):
        return
    if direct and reader.si("circuit.switch_voltage") is None and at_most(amps, limit.amps):
        words = (
            f"{why} A contact that breaks {reader.show(limit.amps, 'current')} at one direct voltage breaks less at "
        )
        words += "a higher one. The voltage that its rating is for is not known yet."
        draft.missing(reader, SWITCH, SWITCH_NAME, ("circuit.switch_voltage",), words)
        return
    _direct_switch(draft, reader, amps, limit, why, relay)


def _marked(reader: Reader, limit) -> str:
    """Return a switch's marking and what it may break, in words."""
    marking = reader.get("circuit.switch_marking")
    return sentence(f"marked '{marking}': {limit.reason}" if marking else limit.reason) + "."


def _waits(draft: Draft, reader: Reader, check: tuple[str, str], amps: float, ends, tamed: bool | None) -> bool:
    """Leave a check undecided where the suppression, not known well enough, decides between the ends of a limit."""
    if tamed is not None or at_most(amps, ends[0]) or not at_most(amps, ends[1]):
        return False
    words = "Whether the resistive figure holds depends on what takes up the coil's energy, which is not known yet."
    draft.missing(reader, *check, suppression.judged(reader, None).missing, words)
    return True


def _missing_load(reader: Reader, amps: float | None) -> list[str]:
    """Return the keys without which it is not known what a contact has to break."""
    if amps is not None:
        return []
    keys = [k for k in ("clutch.coil_resistance", "circuit.running_voltage") if reader.get(k) is None]
    return keys or ["circuit.battery_voltage"]


def _direct_switch(draft: Draft, reader: Reader, amps: float, limit, why: str, relay: bool | None) -> None:
    """Judge a switch that breaks the coil's current itself."""
    value, nominal = reader.number(amps, "current"), nominal_of(reader)
    rated, wanted = reader.si("circuit.switch_voltage"), NO_RATING
    if limit.amps is not None:
        wanted = _most(reader, limit.amps, "circuit.switch_rating")
    fits = limit.amps is not None and at_most(amps, limit.amps)
    if fits and nominal is not None and not at_most(nominal, rated):
        fits = False
        why += f" It is rated at {reader.show(rated, 'voltage')}, and this is a {nominal:g} V system."
    if not fits and relay is None:
        words = f"{why} It cannot switch the coil directly ({value}). The build does not say whether there is a relay."
        draft.missing(reader, SWITCH, SWITCH_NAME, ("circuit.relay",), words, limit="a relay, or a DC inductive rating")
        return
    if not fits:
        why += (
            " The arc of a coil on direct current does not go out by itself: it burns the contact or welds it, and a "
        )
        why += "welded one keeps the clutch engaged."
    others = reader.names("circuit.interlock")
    if others:
        why += f" The same current passes {', '.join(others)}: each must be rated for it too."
    draft.check(
        id=SWITCH,
        name=SWITCH_NAME,
        found=value,
        wanted=wanted,
        verdict=GO if fits else STOP,
        reason=why,
        remedy=""
        if fits
        else "Let a relay carry the coil's current, or fit a switch with a rating for direct current "
        "and a coil, at this system's voltage.",
        source="relay-data; trade-practice",
        guards=not fits,
    )


def _most(reader: Reader, amps: float, key: str, words: str = "{} or less") -> Number:
    """Return the most that a contact may break, from the rating at ``key``."""
    return reader.number(amps, "current", words, known=reader.how(key), source="relay-data")


def _relayed_switch(draft: Draft, reader: Reader, amps: float, limit, rated_for: str) -> None:
    """Judge a switch behind which a relay carries the clutch: it breaks the relay's coil, which may be bare."""
    mine, carries = relay_amps(reader), "a relay carries the clutch"
    own = contacts.contact_limit_si(reader.si("circuit.switch_rating"), rated_for=rated_for)
    direct = f"Without the relay it would have to break {reader.show(amps, 'current')}"
    verdict, wanted, rating = CAUTION, f"{NO_RATING}; {carries}", reader.si("circuit.switch_rating")
    if limit.amps is None:
        # no arc of a relay's coil burns on against a diode, and yet nobody vouches for the switch
        verdict = CAUTION if rating is None or at_most(mine, rating) else STOP
        direct += ", for which it has no rating; nor has it one for the direct current of the relay's coil, small as "
        direct += "that is."
    else:
        direct += f"; of the clutch's coil it may break {reader.show(limit.amps, 'current')}."
        verdict = GO if at_most(mine, own.amps) else STOP
        wanted = _most(reader, own.amps, "circuit.switch_rating", f"{{}} or less; {carries}")
    draft.check(
        id=SWITCH,
        name=SWITCH_NAME,
        found=reader.number(mine, "current", "{}, the relay's coil only", source="relay-data"),
        wanted=wanted,
        verdict=verdict,
        reason=f"{_marked(reader, own)} {direct} The relay's coil needs a diode or resistor of its own.",
        remedy=unless_go(verdict, "Use a switch rated for direct current that breaks the relay's coil current."),
        source="relay-data; trade-practice",
        guards=verdict == STOP,
    )


def _relay_coil(draft: Draft, reader: Reader) -> None:
    rated = reader.si("circuit.relay_voltage")
    lowest = reader.si("circuit.battery_voltage", reader.si("circuit.running_voltage"))
    highest = reader.si("circuit.running_voltage", lowest)
    id, name = "electric.relay-coil", "relay's coil on this supply"
    missing = [k for k, v in (("circuit.relay_voltage", rated), ("circuit.running_voltage", lowest)) if v is None]
    if missing:
        draft.missing(reader, id, name, missing, "The voltage of the relay's coil or of the supply is not known yet.")
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
        remedy="" if bad is None else "Fit a relay with a coil for this system.",
        source="relay-data",
        guards=bad is not None and bad.share > 1.0,
    )


def warm_share() -> float:
    """Return what a relay's contact may carry in the hottest air beside an engine, over its rating."""
    rows = [tables.table("circuit_facts").one(part="relay", item=f"contact current, {c} C") for c in (85, 125)]
    return rows[1]["high"] / rows[0]["high"]


def _relay_contact(draft: Draft, reader: Reader, amps: float | None, tamed: bool | None) -> None:
    rating = reader.si("circuit.relay_rating")
    id, name = "electric.relay-contact", "relay's contact"
    missing = ["circuit.relay_rating"] if rating is None else []
    missing += _missing_load(reader, amps)
    if missing:
        words = "The rating of the relay's contact or the coil's current is not known yet."
        draft.missing(reader, id, name, missing, words)
        return
    limit = contacts.contact_limit_si(rating, rated_for="DC resistive", suppressed=bool(tamed))
    if _waits(draft, reader, (id, name), amps, (limit.amps, rating), tamed):
        return
    rated, nominal = reader.si("circuit.relay_voltage"), nominal_of(reader)
    low = rated is not None and nominal is not None and not at_most(nominal, rated)
    warm = bool(reader.get("circuit.engine_space"))
    share = warm_share() if warm else 1.0
    verdict = grade(likely=amps, bad=amps / share, limit=limit.amps, higher_is_better=False, guards=True)
    words = f"{sentence(limit.reason)}; the rating is taken as the resistive one, in air up to "
    words += f"{reader.show(RELAY_AIR, 'temperature')}."
    if warm:
        words += f" In the engine space the air may reach {reader.show(HOT_AIR, 'temperature')} beside the exhaust, "
        words += f"where it carries {reader.show(share * limit.amps, 'current')}."
    if low:
        verdict = STOP
        words += (
            f" It is made for {reader.show(rated, 'voltage')}, and this is a {nominal:g} V system: it may not break "
        )
        words += "that current at this voltage."
    draft.check(
        id=id,
        name=name,
        found=reader.number(amps, "current", high=amps / share),
        wanted=_most(reader, limit.amps, "circuit.relay_rating"),
        verdict=verdict,
        reason=words,
        remedy=unless_go(
            verdict,
            "Fit a relay with a larger contact." + (" Mount it where the air is cooler." if warm else ""),
        ),
        source="relay-data; trade-practice",
        guards=verdict == STOP,
    )


__all__ = ["contact_amps", "has_relay", "relay_amps", "warm_share", "work_up"]

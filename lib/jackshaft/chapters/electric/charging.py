"""Charging against everything that draws, and the minutes a battery bridges a lack."""

from __future__ import annotations

import math

from jackshaft.chapters.electric.contacts import relay_amps
from jackshaft.chapters.electric.joints import has_relay
from jackshaft.chapters.electric.line import Load
from jackshaft.mechanics import contacts
from jackshaft.results.checks import CAUTION, GO, STOP, Table, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number
from jackshaft.units import at_least

#: A lack that the battery bridges for at least this long (s) is a caution, not a stop: own rule.
BRIDGE = 3600.0
USABLE = 0.5
ID, NAME = "electric.charging", "charging at the working speed"


def work_up(draft: Draft, reader: Reader, data, loads: tuple[Load, ...]) -> None:
    """Add the charging budget: at work, and at the other speeds whose output is known."""
    output = reader.si("circuit.charging_work")
    amps = None if data is None else data.amps("running, hot")
    if output is None or amps is None:
        _unknown(draft, reader, output, amps, loads)
        return
    draws = [("clutch coil, hot", amps), *((load.name, load.amps) for load in loads)]
    if has_relay(reader):
        draws.append(("relay's coil", relay_amps(reader)))
    total = sum(a for _, a in draws)
    capacity = reader.si("circuit.battery_capacity")
    budget = contacts.charging_budget.si(output, load=total, capacity=capacity, usable=USABLE)
    _sheet(draft, reader, draws, total)
    terms = " + ".join(f"{a:.2g}" if a < 100.0 else f"{a:.0f}" for _, a in draws)
    how = reader.how("circuit.charging_work")
    words = f"{terms} A against {reader.show(output, 'current')}" + (f" ({how})" if how else "")
    if budget.surplus < 0.0 and capacity is None:
        draft.lacks(
            reader,
            ID,
            NAME,
            ("circuit.battery_capacity",),
            f"{reader.show(-budget.surplus, 'current')} short: {words}. How long the battery bridges "
            "that depends on its capacity.",
            limit=reader.number(total, "current", "{} or more"),
        )
        return
    _idle_check(draft, reader, total, capacity)
    verdict = GO if budget.leaves_margin else CAUTION if budget.enough or at_least(budget.lasts, BRIDGE) else STOP
    bridged = (
        ""
        if budget.enough
        else f" Half of {reader.show(capacity, 'charge')} bridges it for {minutes(budget.lasts)}, "
        "if the battery was full."
    )
    draft.check(
        ID,
        NAME,
        _left(reader, budget, capacity, "circuit.charging_work"),
        reader.number(total, "current", "{} and 1 A more for the battery"),
        verdict,
        f"{words}; {reader.show(total - amps + data.amps('running, cold'), 'current')} while the coil is cold."
        + bridged,
        ""
        if verdict == GO
        else "Switch the other loads off while the clutch is in, use lamps that take less, work at "
        "a higher speed, fit a larger charging coil, or recharge after each job.",
        "charging-tests; trade-practice",
    )


def _left(reader: Reader, budget, capacity: float | None, key: str) -> Number:
    """Return what is left of the charging current, negative where it is short, and how long the battery lasts then."""
    size = reader.show(abs(budget.surplus), "current")
    lasts = "" if budget.enough or capacity is None else f"; the battery lasts {minutes(budget.lasts)}"
    words = f"{size} left" if budget.enough else f"{size} short{lasts}"
    return reader.number(budget.surplus, "current", words, known=reader.how(key))


def _unknown(draft: Draft, reader: Reader, output: float | None, amps: float | None, loads: tuple[Load, ...]) -> None:
    missing = ["circuit.charging_work"] if output is None else []
    if amps is None:
        starving = [f"circuit.load[{load.name}].current" for load in loads if load.same_wire]
        missing += (
            starving if starving and reader.si("circuit.running_voltage") is not None else ["circuit.running_voltage"]
        )
    rated = reader.si("circuit.charging_rated")
    words = (
        "The charging current at the working speed is not known yet: clamp meter on the lead, engine at work."
        if output is None
        else "The coil's current with the engine running is not known yet."
    )
    if rated is not None and output is None:
        words += f" {reader.show(rated, 'current')} is its output at the rated speed."
    draft.lacks(reader, ID, NAME, missing, words)


def _idle_check(draft: Draft, reader: Reader, total: float, capacity: float | None) -> None:
    """Add the budget at idle, where its output is known: idling with the clutch in is brief, so a lack is a caution."""
    output, idle = reader.si("circuit.charging_idle"), reader.si("engine.idle_speed")
    id, name, limit = "electric.charging-idle", "charging at idle", reader.number(total, "current", "{} or more")
    if output is None:
        if idle is not None:
            draft.checks.append(
                undecided(
                    id,
                    name,
                    ("circuit.charging_idle",),
                    f"What charges at {reader.show(idle, 'rotation')} is not known yet: clamp meter on the lead, "
                    f"engine at idle, lamps on. {reader.show(total, 'current')} is drawn with the clutch in.",
                    limit=limit,
                )
            )
        return
    budget = contacts.charging_budget.si(output, load=total, capacity=capacity, usable=USABLE)
    draft.check(
        id,
        name,
        _left(reader, budget, capacity, "circuit.charging_idle"),
        limit,
        GO if budget.enough else CAUTION,
        "A charging coil gives less as it turns slower; what it lacks comes out of the battery.",
        "" if budget.enough else "Do not idle with the clutch in and the lamps on.",
        "charging-tests; trade-practice",
    )


def minutes(seconds: float) -> str:
    """Return a bridging time in minutes."""
    return "for good" if math.isinf(seconds) else f"{seconds / 60:.0f} min"


def _sheet(draft: Draft, reader: Reader, draws, total: float) -> None:
    rows = [(name, "draws", reader.number(a, "current")) for name, a in draws]
    for at, left, key in (
        ("charging at work", "what is left", "circuit.charging_work"),
        ("charging at idle", "left at idle", "circuit.charging_idle"),
    ):
        gives = reader.si(key)
        if gives is not None:
            more, how = gives - total, reader.how(key)
            rows.append((at, "gives", reader.number(gives, "current", known=how)))
            rows.append((left, "short" if more < 0 else "surplus", reader.number(abs(more), "current", known=how)))
    draft.tables.append(
        Table(
            "Charging budget at work",
            ("what", "way", "current"),
            tuple(rows),
            f"{100 * USABLE:.0f} % of the battery's capacity counts as usable (common practice).",
        )
    )


__all__ = ["BRIDGE", "USABLE", "minutes", "work_up"]

"""Charging against everything that draws, and how long the battery covers what is short."""

from __future__ import annotations

import math

import numpy as np

from jackshaft.chapters.electric.contacts import relay_amps
from jackshaft.chapters.electric.joints import has_relay
from jackshaft.chapters.electric.line import Load, load_key
from jackshaft.chapters.electric.words import unless_go
from jackshaft.mechanics import contacts
from jackshaft.parts.words import sentence
from jackshaft.results.checks import CAUTION, GO, STOP, Table
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number
from jackshaft.units import at_least

#: Charging that falls short is a caution, not a stop, where the battery covers it at least this long (s): own rule.
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
    draws = [("clutch coil, hot", amps), *_drawn(reader, data, loads)]
    if has_relay(reader):
        draws.append(("relay's coil", relay_amps(reader)))
    total = sum(a for _, a in draws)
    capacity = reader.si("circuit.battery_capacity")
    budget = contacts.charging_budget.si(output, load=total, capacity=capacity, usable=USABLE)
    cold_total = total - amps + data.amps("running, cold")
    _sheet(draft, reader, draws, total, cold_total)
    terms = " + ".join(f"{name} {a:.2g}" if a < 100.0 else f"{name} {a:.0f}" for name, a in draws)
    how = reader.how("circuit.charging_work")
    words = f"{sentence(terms)} A against {reader.show(output, 'current')}" + (f" ({how})" if how else "")
    if budget.surplus < 0.0 and capacity is None:
        words = (
            f"{reader.show(-budget.surplus, 'current')} short: {words}. How long the battery covers that depends on "
        )
        words += "its capacity."
        limit = reader.number(total, "current", "{} or more")
        draft.missing(reader, ID, NAME, ("circuit.battery_capacity",), words, limit=limit)
        return
    _idle_check(draft, reader, (total, cold_total), capacity)
    verdict = GO if budget.leaves_margin else CAUTION if budget.enough or at_least(budget.lasts, BRIDGE) else STOP
    words += f"; {reader.show(cold_total, 'current')} while the coil is cold."
    if not budget.enough:
        lasts = _lasting(reader, budget.lasts)
        words += f" Half of {reader.show(capacity, 'charge')} covers it for {lasts}, if the battery was full."
    draft.check(
        id=ID,
        name=NAME,
        found=_left(reader, budget, output, capacity, "circuit.charging_work"),
        wanted=reader.number(contacts.CHARGING_MARGIN, "current", "{} or more left for the battery"),
        verdict=verdict,
        reason=words,
        remedy=unless_go(verdict, _remedy(draws, loads)),
        source="charging-tests; trade-practice",
    )


def _drawn(reader: Reader, data, loads: tuple[Load, ...]) -> list[tuple[str, float]]:
    """Return what each other load draws (A) while the clutch is engaged, at the voltage that reaches it."""
    i, drawn = data.at("running, hot"), []
    for load in loads:
        if reader.get(f"circuit.load[{load.name}].off_engaged"):
            continue
        solved = data.steps.solution.amps.get(load.name) if load.same_wire else None
        drawn.append(
            (
                load.name,
                load.amps if solved is None else float(np.broadcast_to(solved, np.shape(data.steps.coil_amps))[i]),
            )
        )
    return drawn


def _left(reader: Reader, budget, output: float, capacity: float | None, key: str) -> Number:
    """Return what is left of the charging current, negative where it is short, and how long the battery lasts then."""
    words = f"{reader.show(abs(budget.surplus), 'current')} {'left of' if budget.enough else 'short with'} "
    words += reader.show(output, "current")
    if not budget.enough and capacity is not None:
        words += f"; the battery lasts {_lasting(reader, budget.lasts)}"
    return reader.number(budget.surplus, "current", words, known=reader.how(key))


def _unknown(draft: Draft, reader: Reader, output: float | None, amps: float | None, loads: tuple[Load, ...]) -> None:
    missing, words = [], "The coil's current with the engine running is not known yet."
    if output is None:
        missing, rated = ["circuit.charging_work"], reader.si("circuit.charging_rated")
        words = "The charging current at the working speed is not known yet. Read it with a clamp meter on the lead, "
        words += "engine at work."
        if rated is not None:
            words += f" {reader.show(rated, 'current')} is the output at the rated speed."
    if amps is None:
        starving = [load_key(load) for load in loads if load.same_wire]
        unsolved = next((c.missing for c in draft.checks if c.id == "electric.voltage"), ())
        running = reader.si("circuit.running_voltage") is not None
        missing += unsolved or (starving if running else ["circuit.running_voltage"])
    if loads:
        words += f" Besides the coil it feeds {', '.join(load.name for load in loads)}."
    draft.missing(reader, ID, NAME, missing, words)


def _idle_check(draft: Draft, reader: Reader, totals: tuple[float, float], capacity: float | None) -> None:
    """Add the budget at idle, coil hot and cold: idling with the clutch engaged is brief, so a caution at most."""
    output, idle = reader.si("circuit.charging_idle"), reader.si("engine.idle_speed")
    id, name, limit = "electric.charging-idle", "charging at idle", reader.number(0.0, "current", "0 A or more left")
    drawn = " to ".join(dict.fromkeys(reader.show(t, "current") for t in totals))
    drawn = f"{drawn} is drawn with the clutch engaged, coil hot to cold."
    if output is None:
        if idle is not None:
            words = (
                f"The charging current at {reader.show(idle, 'rotation')} is not known yet. Read it with a clamp meter "
            )
            words += f"on the lead, engine at idle, everything switched on. {drawn}"
            draft.missing(reader, id, name, ("circuit.charging_idle",), words, limit=limit)
        return
    # the least that is left: the coil draws most while it is cold
    budget = contacts.charging_budget.si(output, load=max(totals), capacity=capacity, usable=USABLE)
    verdict = GO if budget.enough else CAUTION
    draft.check(
        id=id,
        name=name,
        found=_left(reader, budget, output, capacity, "circuit.charging_idle"),
        wanted=limit,
        verdict=verdict,
        reason=f"{drawn} A charging coil gives less as it turns slower. What is short comes out of the battery.",
        remedy=unless_go(verdict, "Do not idle for long with the clutch engaged."),
        source="charging-tests; trade-practice",
    )


def _lasting(reader: Reader, seconds: float) -> str:
    """Return how long the battery lasts."""
    return "for good" if math.isinf(seconds) else reader.show(seconds, "time")


def _remedy(draws: list[tuple[str, float]], loads: tuple[Load, ...]) -> str:
    """Return what helps in general; other loads are named only where some draw while the clutch is engaged."""
    drawn = [name for name, _ in draws if any(name == load.name for load in loads)]
    lighter = f"Fit something that draws less in place of: {', '.join(drawn)}. Or fit" if drawn else "Fit"
    return f"{lighter} a larger charging coil, or recharge after each job."


def _sheet(draft: Draft, reader: Reader, draws, total: float, cold: float) -> None:
    """Set the budget as its checks judge it: at work with the coil hot, at idle with the coil cold, as it starts."""
    rows = [(name, "draws", reader.number(a, "current")) for name, a in draws]
    for at, left, key, drawn in (
        ("charging at work", "left at work", "circuit.charging_work", total),
        ("charging at idle", "left at idle, coil cold", "circuit.charging_idle", cold),
    ):
        gives = reader.si(key)
        if gives is not None:
            more, how = gives - drawn, reader.how(key)
            rows.append((at, "gives", reader.number(gives, "current", known=how)))
            rows.append((left, "short" if more < 0 else "surplus", reader.number(abs(more), "current", known=how)))
    draft.tables.append(
        Table(
            "Charging budget at work",
            ("what", "way", "current"),
            tuple(rows),
            f"{100 * USABLE:.0f} % of the battery's capacity counts as usable (common practice). With the coil cold "
            f"{reader.show(cold, 'current')} is drawn in all; that counts at idle.",
        )
    )


__all__ = ["BRIDGE", "USABLE", "work_up"]

"""Clutch circuit: coil current cold and hot, voltage at every joint, and what each part makes of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from jackshaft.chapters.electric import CHAPTER, care, charging, checks, contacts, wire
from jackshaft.chapters.electric.data import ElectricData, Wiring
from jackshaft.chapters.electric.facts import facts
from jackshaft.chapters.electric.joints import has_relay
from jackshaft.chapters.electric.line import Line, Load, load_key, loads_of, read_line
from jackshaft.chapters.electric.supply import made_for, nominal_of, supply_of, voltage_untold
from jackshaft.chapters.electric.tables import sheets
from jackshaft.chapters.electric.words import fuse_place, run_words
from jackshaft.mechanics import circuit, coil
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.checks import STOP, undecided
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader, Unknown

MAINS = (
    "Mains wiring is work for a licensed electrician under the local code: protective earth, residual-current "
    "protection outdoors, and an isolator that can be locked.",
    "A motor that tripped on overload must not start again by itself: reset by hand, restart by a deliberate press.",
    "To turn a single-phase motor the other way, its maker's diagram says which leads change places; check the "
    "direction with the belt off.",
)


def work_up(reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Work up the clutch circuit of a build."""
    draft = Draft(CHAPTER)
    empty = _nothing_here(draft, reader)
    if empty is not None:
        return empty
    loads = loads_of(reader, nominal_of(reader))
    data = None
    with draft.attempt(reader, "electric.voltage", "voltage at the coil"):
        data = _solve(draft, reader, loads)
    draft.data = data
    parts: list[tuple[str, str, Callable[[], None]]] = [
        ("electric.supply", "voltage of the supply", lambda: checks.supply_check(draft, reader)),
        ("electric.coil", "coil wound for this supply", lambda: checks.coil_checks(draft, reader)),
        ("electric.ampacity", "wire against its current", lambda: wire.work_up(draft, reader, data)),
        ("electric.switch", "switch and relay", lambda: contacts.work_up(draft, reader, data)),
        ("electric.charging", "charging", lambda: charging.work_up(draft, reader, data, loads)),
        ("electric.return", "the way back", lambda: care.return_check(draft, reader)),
        ("electric.interlocks", "interlocks", lambda: care.interlocks(draft, reader)),
    ]
    if data is not None:
        parts = [
            ("electric.facts", "the circuit's numbers", lambda: facts(draft, reader, data)),
            ("electric.drop", "voltage on the way", lambda: checks.voltage_checks(draft, reader, data)),
            *parts,
            ("electric.tables", "tables of the circuit", lambda: sheets(draft, reader, data)),
            ("electric.joints", "joints", lambda: care.joint_check(draft, reader, data)),
            ("electric.readings", "voltages read", lambda: care.readings(draft, reader, data)),
            ("electric.symptoms", "symptoms", lambda: care.symptoms(draft, reader, data)),
        ]
    for id, name, work in parts:
        with draft.attempt(reader, id, name):
            work()
    _doubt(draft, reader)
    draft.cautions += [
        "Stop the engine and take the battery lead off before you open a joint. Measure voltage with the clutch "
        "engaged from a place where you can reach nothing that turns.",
        f"A fuse protects the wire behind it. Fit it {fuse_place(reader)}, and never put in a larger one than the wire "
        "carries.",
        "Never bridge a seat, neutral, brake or guard switch. Where a switch is too weak for the coil, let a relay "
        "carry the current; the switch stays in the circuit.",
    ]
    draft.cite("iacs", "temperature-by-resistance", "own-derivation")
    return draft.done(reader)


def _doubt(draft: Draft, reader: Reader) -> None:
    """Leave open what a load or a joint may spoil that is named and of which nothing is known yet."""

    def silent(kind: str, *keys: str) -> list[str]:
        parts = (f"circuit.{kind}[{name}]" for name in reader.names(f"circuit.{kind}"))
        return [at for at in parts if all(reader.get(f"{at}.{key}") is None for key in keys)]

    loads = [at for at in silent("load", "current", "power") if not reader.get(f"{at}.off_engaged")]
    shared = [f"{at}.current" for at in loads if reader.get(f"{at}.same_wire")]
    joints = [f"{at}.drop" for at in silent("joint", "drop", "resistance")]
    words = "A load or a joint that is named, and of which nothing more is known, is not counted."
    draft.doubt(reader, shared, words, "electric.ampacity", "electric.fuse")
    draft.doubt(reader, [*shared, *joints], words, "electric.voltage", "electric.drop")
    draft.doubt(reader, [f"{at}.current" for at in loads], words, "electric.charging", "electric.charging-idle")
    draft.doubt(reader, *voltage_untold(reader), "electric.voltage")


def _solve(draft: Draft, reader: Reader, loads: tuple[Load, ...]) -> ElectricData | None:
    """Solve the circuit; None, with an undecided check, where it is not known well enough."""
    try:
        line = read_line(reader)
    except Unknown as unknown:
        _without_a_line(draft, reader, unknown.keys)
        return None
    emf, ohm = (np.array([s[i] for s in line.states]) for i in (1, 2))
    steps, worst = (circuit.steps_si(line.chain(emf, ohm, worst=w)) for w in (False, True))
    if any(float(np.min(s.coil_volts)) <= 0.0 for s in (steps, worst)) and _starved(draft, reader, loads):
        return None
    return ElectricData(line, steps, worst, made_for(reader), _wiring(reader, line))


def _starved(draft: Draft, reader: Reader, loads: tuple[Load, ...]) -> bool:
    """Stop a circuit whose other loads leave the coil nothing; return whether they do."""
    mine = [load for load in loads if load.same_wire and load.amps > 0.0]
    if not mine:
        return False
    keys = ", ".join(load_key(load) for load in mine)
    names = [f"{load.name} ({reader.show(load.amps, 'current')})" for load in mine]
    draft.check(
        id="electric.voltage",
        name="voltage at the coil",
        found="none is left",
        wanted=reader.number(made_for(reader), "voltage", "{} or more"),
        verdict=STOP,
        reason=f"The clutch shares its wire with {', '.join(names)}. At the bad end of wire and joints this takes all "
        f"the voltage, and the coil gets none ({keys}). Wire and fuse cannot be judged before that is put right.",
        remedy="Feed other loads by a wire of their own. If one of these is a typing error, correct it.",
        source="own-derivation",
        guards=True,
    )
    return True


def _nothing_here(draft: Draft, reader: Reader) -> Findings | None:
    """Return the finished chapter of a build that has no clutch coil, else None."""
    if reader.is_none("clutch"):
        words = "This build has no clutch, so there is no coil to supply."
        if reader.get("engine.kind") == "electric motor":
            words += " The motor itself is switched on and off; its supply from the mains is not judged here."
            draft.cautions += MAINS
        return draft.done(reader, "none", words)
    kind = reader.get("clutch.kind")
    if kind not in (None, "electromagnetic"):
        return draft.done(reader, "none", f"This build has a clutch of the kind '{kind}', which has no coil to supply.")
    if not reader.has("clutch") and not reader.has("circuit"):
        return draft.done(reader, "not known yet", "Neither a clutch nor its circuit is in the build file yet.")
    return None


def _wiring(reader: Reader, line: Line) -> Wiring:
    fuse, relay = reader.si("circuit.fuse"), reader.si("circuit.relay_rating")
    rated = reader.si("circuit.relay_voltage")
    words = [text.format(si) for text, si in (("{:g} V coil", rated), ("{:g} A", relay)) if si is not None]
    return Wiring(
        fuse="" if fuse is None else f"{fuse:g} A {reader.get('circuit.fuse_kind') or ''}".strip(),
        relay=bool(has_relay(reader)),
        relay_words=", ".join(words),
        interlocks=reader.names("circuit.interlock"),
        suppression=reader.get("circuit.suppression") or "",
        out=f"{line.wire_words}, {run_words(reader, line.out)}",
        back="frame" if line.chassis else f"{line.wire_words}, {run_words(reader, line.back)}",
    )


def _without_a_line(draft: Draft, reader: Reader, keys: tuple[str, ...]) -> None:
    r20, volts = reader.si("clutch.coil_resistance"), supply_of(reader)
    words = "Without these the voltage that reaches the coil cannot be worked out."
    if r20 is not None and volts is not None:
        most = float(coil.coil_current.si(volts, resistance=r20))
        draft.fact("coil current, cold", reader.number(most, "current", "{} at most"), "with no wire counted")
        words += f" The coil draws at most {reader.show(most, 'current')}."
    draft.checks.append(undecided("electric.voltage", "voltage at the coil", keys, words))


__all__ = ["ElectricData", "Wiring", "work_up"]

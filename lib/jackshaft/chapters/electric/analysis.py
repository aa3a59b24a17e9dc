"""Clutch circuit: coil current cold and hot, voltage at every joint, and what each part makes of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

import numpy as np

from jackshaft.chapters.electric import CHAPTER
from jackshaft.chapters.electric import care as electric_care
from jackshaft.chapters.electric import charging as electric_charging
from jackshaft.chapters.electric import contacts as electric_contacts
from jackshaft.chapters.electric import wire as electric_wire
from jackshaft.chapters.electric.line import (
    Line,
    Load,
    has_relay,
    loads_of,
    nominal_of,
    read_line,
    run_words,
    volts,
)
from jackshaft.mechanics import circuit, coil, contacts, wiring
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.checks import CAUTION, GO, STOP, Table, grade, undecided
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader, Unknown
from jackshaft.units import at_least, at_most

#: Share of the supply that may be lost on the way (other circuits), and the aim (V) for a clutch.
MOST_DROP, AIM = 0.10, 0.5
#: Highest voltage of a battery circuit of this trade: a 48 V battery on charge stays well below it; from memory.
MOST_VOLTS = 75.0
MAINS = (
    "Mains wiring is work for a licensed electrician under the local code: protective earth, residual-current "
    "protection outdoors, and an isolator that can be locked.",
    "A motor that tripped on overload must not start again by itself: reset by hand, restart by a deliberate press.",
    "To turn a single-phase motor the other way, its maker's diagram says which leads change places; check the "
    "direction with the belt off.",
)


class Wiring(NamedTuple):
    """What stands in the circuit, in words: for the wiring diagram. Empty texts where it is not known."""

    fuse: str
    relay: bool
    relay_words: str
    switch: str
    interlocks: tuple[str, ...]
    suppression: str
    out: str
    back: str
    loads: tuple[str, ...]


class ElectricData(NamedTuple):
    """What the circuit chapter found, in SI units, for figures and the clutch chapter.

    ``steps`` carries the states of ``line.states`` on the last axis of each array; ``worst`` is the same at
    the bad end of wire and joints. ``currents`` maps a state's name to the coil current.
    """

    line: Line
    steps: circuit.Steps
    worst: circuit.Steps
    loads: tuple[Load, ...]
    limit: float
    wiring: Wiring

    def at(self, name: str) -> int | None:
        """Return the index of a state by name, or None."""
        return next((i for i, s in enumerate(self.line.states) if s[0] == name), None)

    def amps(self, name: str) -> float | None:
        """Return the coil current in a state, or None."""
        i = self.at(name)
        return None if i is None else float(self.steps.coil_amps[i])

    def volts(self, name: str) -> float | None:
        """Return the voltage at the coil in a state, or None."""
        i = self.at(name)
        return None if i is None else float(self.steps.coil_volts[i])


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
        ("electric.supply", "voltage of the supply", lambda: _supply_check(draft, reader)),
        ("electric.coil", "coil wound for this supply", lambda: _coil_checks(draft, reader)),
        ("electric.ampacity", "wire against its current", lambda: electric_wire.work_up(draft, reader, data)),
        ("electric.switch", "switch and relay", lambda: electric_contacts.work_up(draft, reader, data)),
        ("electric.charging", "charging", lambda: electric_charging.work_up(draft, reader, data, loads)),
        ("electric.return", "the way back", lambda: electric_care.return_check(draft, reader)),
        ("electric.interlocks", "interlocks", lambda: electric_care.interlocks(draft, reader)),
    ]
    if data is not None:
        parts = [
            ("electric.facts", "the circuit's numbers", lambda: _facts(draft, reader, data)),
            ("electric.drop", "voltage on the way", lambda: _voltage_checks(draft, reader, data)),
            *parts,
            ("electric.tables", "tables of the circuit", lambda: _sheets(draft, reader, data)),
            ("electric.joints", "joints", lambda: electric_care.joint_check(draft, reader, data)),
            ("electric.readings", "voltages read", lambda: electric_care.readings(draft, reader, data)),
            ("electric.symptoms", "symptoms", lambda: electric_care.symptoms(draft, reader, data)),
        ]
    for id, name, work in parts:
        with draft.attempt(reader, id, name):
            work()
    draft.cautions += [
        "Engine off and battery lead off before a joint is opened. Measure voltage with the clutch engaged from a "
        "place where nothing turning can be reached.",
        "A fuse protects the wire behind it. Fit it within 7 in (178 mm) of the battery's post"
        if reader.system == "inch"
        else "A fuse protects the wire behind it. Fit it within 178 mm of the battery's post",
        "Never bridge a seat, neutral, brake or guard switch. Where a switch is too weak for the coil, a relay takes "
        "the current; the switch stays in the circuit.",
    ]
    draft.cautions[-2] += ", and never put in a larger one than the wire carries."
    draft.cite("iacs", "temperature-by-resistance", "own-derivation")
    return draft.done(reader)


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
    limit = reader.si("clutch.plate_voltage", line.nominal)
    return ElectricData(line, steps, worst, loads, limit, _wiring(reader, line, loads))


def _starved(draft: Draft, reader: Reader, loads: tuple[Load, ...]) -> bool:
    """Stop a circuit whose other loads leave the coil nothing, and tell whether it is so."""
    mine = [load for load in loads if load.same_wire and load.amps > 0.0]
    if not mine:
        return False
    keys = ", ".join(f"circuit.load[{load.name}].current" for load in mine)
    names = [f"{load.name} ({reader.show(load.amps, 'current')})" for load in mine]
    draft.check(
        "electric.voltage",
        "voltage at the coil",
        "none is left",
        f"{reader.show(reader.si('clutch.plate_voltage', nominal_of(reader)), 'voltage')} by the plate",
        STOP,
        f"On the wire of the clutch there is also {', '.join(names)}. "
        f"At the bad end of wire and joints this takes all the voltage, and the coil gets none ({keys}).",
        f"Give it a wire of its own, and say so with {keys.replace('.current', '.same_wire')} = no. "
        f"If the current is a slip of the pen, correct {keys}.",
        "own-derivation",
    )
    return True


def _supply_check(draft: Draft, reader: Reader) -> None:
    """Stop a circuit whose voltage is not that of a battery circuit."""
    known = {k: reader.si(f"circuit.{k}") for k in ("running_voltage", "battery_voltage")}
    high = {k: v for k, v in known.items() if v is not None and v > MOST_VOLTS}
    if high:
        draft.check(
            "electric.supply",
            "voltage of the supply",
            ", ".join(f"{reader.show(v, 'voltage')} (circuit.{k})" for k, v in high.items()),
            f"{reader.show(MOST_VOLTS, 'voltage')} or less",
            STOP,
            "This chapter is for battery circuits of 6 to 48 V. A touch of more than about 75 V can kill, and "
            "switches, fuses and wire for vehicles are not made for it.",
            "Read the voltage again. If it stands, have a licensed electrician plan this circuit.",
            "voltage limit of the low-voltage rules for direct current, 75 V, from memory",
            guards=True,
        )


def _nothing_here(draft: Draft, reader: Reader) -> Findings | None:
    """Return the finished chapter of a build that has no clutch coil, else None."""
    motor = reader.get("engine.kind") == "electric motor"
    if reader.is_none("clutch"):
        words = "This build has no clutch, so there is no coil to supply"
        words += ": the motor itself is switched on and off." if motor else "."
        draft.cautions += MAINS if motor else ()
        return draft.done(reader, "none", words)
    kind = reader.get("clutch.kind")
    if kind not in (None, "electromagnetic"):
        return draft.done(reader, "none", f"This build's clutch is of the kind '{kind}': it has no coil to supply.")
    if not reader.has("clutch") and not reader.has("circuit"):
        return draft.done(reader, "not known yet", "Neither a clutch nor its circuit is in the build file yet.")
    return None


def _wiring(reader: Reader, line: Line, loads: tuple[Load, ...]) -> Wiring:
    fuse, relay = reader.si("circuit.fuse"), reader.si("circuit.relay_rating")
    rated = reader.si("circuit.relay_voltage")
    words = ", ".join(
        w for w in ("" if rated is None else f"{rated:g} V coil", "" if relay is None else f"{relay:g} A") if w
    )
    return Wiring(
        "" if fuse is None else f"{fuse:g} A {reader.get('circuit.fuse_kind') or ''}".strip(),
        bool(has_relay(reader)),
        words,
        str(reader.get("circuit.switch_marking") or ""),
        reader.names("circuit.interlock"),
        reader.get("circuit.suppression") or "",
        f"{line.wire_words}, {run_words(reader, line.out)}",
        "frame" if line.chassis else f"{line.wire_words}, {run_words(reader, line.back)}",
        tuple(load.name for load in loads if load.same_wire),
    )


def _without_a_line(draft: Draft, reader: Reader, keys) -> None:
    r20 = reader.si("clutch.coil_resistance")
    volts = reader.si("circuit.running_voltage", reader.si("circuit.battery_voltage"))
    words = "Without these the voltage that reaches the coil cannot be worked out."
    if r20 is not None and volts is not None:
        most = float(coil.coil_current.si(volts, resistance=r20))
        draft.fact("coil current, cold", f"{reader.show(most, 'current')} at most", "with no wire counted")
        words += f" The coil draws {reader.show(most, 'current')} at the most."
    draft.checks.append(undecided("electric.voltage", "voltage at the coil", keys, words))


def pair(reader: Reader, data: ElectricData, which: str, values, kind: str) -> str:
    """Return a value cold and hot in a state ("running" or "battery only"), as text."""
    found = [(heat, data.at(f"{which}, {heat}")) for heat in ("cold", "hot")]
    text = volts if kind == "voltage" else lambda v: reader.show(v, kind)
    return ", ".join(f"{text(float(values[i]))} {heat}" for heat, i in found if i is not None)


def _facts(draft: Draft, reader: Reader, data: ElectricData) -> None:
    line, steps = data.line, data.steps
    how = reader.how("clutch.coil_resistance")
    draft.fact(
        "coil resistance",
        f"{reader.show(line.r20, 'resistance')} cold, {reader.show(line.hot, 'resistance')} hot",
        f"{how + '; ' if how else ''}copper gains 0.393 % a kelvin; hot is "
        f"{reader.both(line.rise, 'temperature rise')} above {reader.show(coil.T20, 'temperature')}",
    )
    for which, words in (("running", "engine running"), ("battery only", "engine stopped")):
        i = data.at(f"{which}, cold")
        if i is None:
            continue
        key = "circuit.running_voltage" if which == "running" else "circuit.battery_voltage"
        how = reader.how(key)
        supply = f"{reader.show(line.states[i][1], 'voltage')} at the battery" + (f" ({how})" if how else "")
        draft.fact(f"coil current, {words}", pair(reader, data, which, steps.coil_amps, "current"), supply)
        draft.fact(
            f"voltage at the coil, {words}",
            pair(reader, data, which, steps.coil_volts, "voltage"),
            "what is left after wire and joints",
        )
    loop = line.out + line.back
    draft.fact(
        "wire in the loop",
        reader.show(line.wire_ohm, "resistance"),
        f"{run_words(reader, loop)} of {line.wire_words}, solid copper at {reader.show(coil.T20, 'temperature')}",
    )
    joints = line.line_ohm - line.wire_ohm
    i = data.at("running, cold")
    heat = float(contacts.contact_heat.si(steps.coil_amps[i if i is not None else 0], resistance=joints))
    told = reader.si("circuit.joint_resistance") is not None or bool(reader.names("circuit.joint"))
    draft.fact(
        "joints, contacts and fuse",
        reader.show(joints, "resistance") + ("" if told else ", an estimate"),
        f"{reader.how('circuit.joint_resistance') or 'as given' if told else 'nothing measured'}; "
        f"{heat:.2g} W of heat in them, coil cold"
        + ("" if told else "; read the drop across each joint with the clutch engaged"),
    )
    if line.assumed:
        draft.fact("assumed here", "; ".join(line.assumed), "measure these to be rid of the assumption")


def _coil_checks(draft: Draft, reader: Reader) -> None:
    r20, nominal = reader.si("clutch.coil_resistance"), nominal_of(reader)
    if r20 is None:
        return
    if nominal is not None:
        match = coil.coil_match.si(r20, system=nominal)
        burns = match.watts > 1.5 * coil.COIL_WATTS[1]
        usual = at_least(match.watts, coil.COIL_WATTS[0]) and at_most(match.watts, coil.COIL_WATTS[1])
        odd = (
            ""
            if usual or not match.fits
            else " That is outside the usual band: fewer ohms than new mean turns shorted, "
            "more mean a bad joint inside."
        )
        draft.check(
            "electric.coil",
            "coil wound for this supply",
            f"{match.watts:.0f} W at {nominal:g} V",
            f"{coil.COIL_WATTS[0]:.0f} to {coil.COIL_WATTS[1]:.0f} W for this class of coil",
            STOP if not match.fits else GO if usual else CAUTION,
            f"{match.reason[0].upper()}{match.reason[1:]}.{odd}",
            ""
            if usual
            else f"Hold {reader.show(r20, 'resistance')} against its maker's figure, leads taken off, coil cold."
            if match.fits
            else f"Read the resistance again with the leads taken off; if it stands, use a coil "
            f"for {nominal:g} V, not a resistor before this one.",
            "trade-practice",
            guards=burns,
        )
    leads, given = reader.si("clutch.lead_resistance"), reader.get("clutch.coil_resistance")
    if leads is None and given.plus_minus is None:
        return
    read = coil.lead_check.si(r20 + (leads or 0.0), leads=leads or 0.0, meter=given.plus_minus or 0.1)
    off = reader.both(read.temperature_error, "temperature rise")
    draft.check(
        "electric.coil-reading",
        "coil reading against the meter's own error",
        f"{reader.show(r20, 'resistance')} ± {reader.show(read.plus_minus, 'resistance')} ({100 * read.share:.0f} %)",
        "15 % or less",
        GO if read.usable else STOP,
        f"As a thermometer the reading is good to {off}."
        + ("" if read.usable else " The error of leads and clips could swallow the difference between two coils."),
        ""
        if read.usable
        else "Short the clips, note what the meter shows, read again and take it off; or measure "
        "volts and amperes with the coil on the battery.",
        "trade-practice",
    )


def _voltage_checks(draft: Draft, reader: Reader, data: ElectricData) -> None:
    which = "running" if data.at("running, cold") is not None else "battery only"
    index = [data.at(f"{which}, {heat}") for heat in ("cold", "hot")]
    supply = data.line.states[index[0]][1]
    likely, bad = (float(np.min(s.coil_volts[index])) for s in (data.steps, data.worst))
    what = "engine running" if which == "running" else "battery only"
    limit = reader.show(data.limit, "voltage")
    verdict = grade(likely=likely, bad=bad, limit=data.limit)
    if verdict == STOP and at_least(likely, (1 - MOST_DROP) * data.limit):
        verdict = CAUTION
    source = "plate" if reader.si("clutch.plate_voltage") is not None else "the system's voltage"
    area = _area_for(data, supply - data.limit) if verdict != GO else None
    cure = "" if area is None else f"Larger wire: {_words_of(reader, area)} or more for the same way"
    cure = cure or "A supply nearer to the coil, or a relay by it"
    draft.check(
        "electric.voltage",
        f"voltage at the coil, {what}",
        pair(reader, data, which, data.steps.coil_volts, "voltage"),
        f"{limit} ({source})",
        verdict,
        f"Of {reader.show(supply, 'voltage')} at the battery the line takes "
        f"{pair(reader, data, which, supply - data.steps.coil_volts, 'voltage')}; "
        f"{reader.show(bad, 'voltage')} is left at the bad end of wire and joints.",
        "" if verdict == GO else cure + ", and clean, tight joints: pull goes with about the square of the voltage.",
        "clutch-service; iacs",
    )
    lost = [float(np.max(supply - s.coil_volts[index])) for s in (data.steps, data.worst)]
    most = MOST_DROP * supply
    verdict = grade(likely=lost[0], bad=lost[1], limit=most, higher_is_better=False)
    area = _area_for(data, AIM)
    aim = "" if lost[0] <= AIM else f" The usual aim for a clutch is {reader.show(AIM, 'voltage')}"
    aim += f"; {_words_of(reader, area)} would reach it." if aim and area is not None else "." if aim else ""
    draft.check(
        "electric.drop",
        "voltage lost between battery and coil",
        f"{reader.show(lost[0], 'voltage')} ({100 * lost[0] / supply:.1f} %), bad end "
        f"{reader.show(lost[1], 'voltage')}",
        f"{reader.show(most, 'voltage')} (10 %)",
        verdict,
        f"Wire {reader.show(data.line.wire_ohm, 'resistance')} there and back, joints "
        f"{reader.show(data.line.line_ohm - data.line.wire_ohm, 'resistance')}, coil cold.{aim}",
        ""
        if verdict == GO
        else "Larger wire, a shorter way, a relay beside the coil, and joints that show no drop under load.",
        "abyc-e11; trade-practice",
    )


def _area_for(data: ElectricData, drop: float) -> float | None:
    """Return the copper area whose wire, with the joints as they are, loses ``drop`` with the coil cold."""
    i = data.at("running, cold")
    i = 0 if i is None else i
    amps = float(np.max(np.delete(data.steps.amps, data.steps.parts.index(circuit.COIL), axis=0)[:, i]))
    left = drop - amps * (data.line.line_ohm - data.line.wire_ohm)
    loop = data.line.out + (0.0 if data.line.chassis else data.line.back)
    if left <= 0.0 or loop <= 0.0:
        return None
    return float(wiring.wire_for_drop.si(amps, loop=loop, drop=left, constant=10.37))


def _words_of(reader: Reader, area: float) -> str:
    size = wiring.next_size_si(area, system="AWG" if reader.system == "inch" else "mm2")
    return (
        reader.show(area, "wire")
        if size is None
        else f"{size.size} AWG"
        if reader.system == "inch"
        else f"{size.size} mm²"
    )


def _sheets(draft: Draft, reader: Reader, data: ElectricData) -> None:
    line, steps = data.line, data.steps
    names = [s[0] for s in line.states]
    rows = [(joint, *(volts(float(v)) for v in each)) for joint, each in zip(steps.joints, steps.volts, strict=True)]
    draft.tables.insert(
        0,
        Table(
            "Expected voltage at each test point",
            ("black lead on battery −, red lead on", *names),
            tuple(rows),
            "Read with the clutch engaged. A joint that reads lower than this on the way out, or higher on the way "
            "back, has more resistance than this build allows for.",
        ),
    )
    i = data.at("running, cold")
    i = 0 if i is None else i
    ohms = [*(p.ohm for p in line.parts_out), line.states[i][2], *(p.ohm for p in line.parts_back)]
    rows = [
        (
            part,
            reader.show(float(ohm), "resistance"),
            reader.show(float(steps.amps[k][i]), "current"),
            volts(float(steps.drops[k][i])),
            *(f"{float(w):.3g} W" for w in steps.watts[k]),
        )
        for k, (part, ohm) in enumerate(zip(steps.parts, ohms, strict=True))
    ]
    draft.tables.insert(
        1,
        Table(
            f"Each part of the line, {names[i]}",
            ("part", "resistance", "current", "drop", *(f"heat {n}" for n in names)),
            tuple(rows),
            "Resistance of the coil, current and drop for the state in the title; heat in every state.",
        ),
    )
    draft.tables.insert(2, _formulas(reader, data, i))


def _formulas(reader: Reader, data: ElectricData, i: int) -> Table:
    line, steps = data.line, data.steps
    supply, amps = line.states[i][1], float(steps.coil_amps[i])
    per = (
        f"{1.7241e-8 / line.size.area:.4g} Ω/m × {line.out + line.back:.4g} m"
        if not line.chassis
        else f"{1.7241e-8 / line.size.area:.4g} Ω/m × {line.out:.4g} m"
    )
    rows = [
        (
            "wire",
            "ρ/A × length, there and back",
            per,
            reader.show(line.wire_ohm, "resistance"),
            "1.7241e-8 Ω·m at 20 °C, from memory",
        ),
        (
            "coil hot",
            "R × (1 + 0.00393 × rise)",
            f"{line.r20:.3g} × (1 + {line.rise:.3g}/254.5)",
            reader.show(line.hot, "resistance"),
            "234.5 rule of copper",
        ),
        (
            f"coil current, {line.states[i][0]}",
            "U / (R coil + R line)",
            f"{supply:.4g} / ({line.states[i][2]:.3g} + {line.line_ohm:.3g})"
            + (" and the other loads" if line.taps else ""),
            reader.show(amps, "current"),
            "Ohm's law",
        ),
        (
            "voltage at the coil",
            "I × R coil",
            f"{amps:.4g} × {line.states[i][2]:.3g}",
            reader.show(float(steps.coil_volts[i]), "voltage"),
            "Ohm's law",
        ),
    ]
    return Table(
        "The formulas with the numbers put in",
        ("what", "formula", "numbers", "result", "source"),
        tuple(rows),
        "Higher voltage means more current, not less: to direct current a coil is a resistance.",
    )


__all__ = ["ElectricData", "Wiring", "work_up"]

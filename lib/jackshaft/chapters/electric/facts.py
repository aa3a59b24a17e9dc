"""The circuit's numbers: coil, current and voltage in each state, wire and joints."""

from __future__ import annotations

from jackshaft.chapters.electric.data import ElectricData
from jackshaft.chapters.electric.words import SUPPLIES, run_words, voltage
from jackshaft.mechanics import contacts
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number
from jackshaft.units import ALPHA20, T20


def pair(reader: Reader, data: ElectricData, which: str, values, kind: str, worst=None, known: str = "") -> Number:
    """Return a value with the coil cold, its bad end from ``worst``, and in its words the one with the coil hot.

    ``which`` is the supply, ``running`` or ``battery only``; ``values`` and ``worst`` hold one value a state.
    """

    def one(si: float, words: str = "{}", **how) -> Number:
        return voltage(reader, si, words, **how) if kind == "voltage" else reader.number(si, kind, words, **how)

    cold, hot = (data.at(f"{which}, {heat}") for heat in ("cold", "hot"))
    low = None if worst is None else float(worst[cold])
    return one(float(values[cold]), f"{{}} cold, {one(float(values[hot]))} hot", low=low, known=known)


def facts(draft: Draft, reader: Reader, data: ElectricData) -> None:
    """Add the numbers of coil, wire and joints."""
    _coil_facts(draft, reader, data)
    line = data.line
    draft.fact(
        "wire in the loop",
        reader.number(line.wire_ohm, "resistance", known=reader.how("circuit.length_out")),
        f"{run_words(reader, line.loop)} of {line.wire_words}, solid copper at {reader.show(T20, 'temperature')}",
    )
    heat = float(contacts.contact_heat.si(data.steps.coil_amps[data.cold], resistance=line.joint_ohm))
    given = reader.si("circuit.joint_resistance") is not None or bool(reader.names("circuit.joint"))
    how = reader.how("circuit.joint_resistance")
    draft.fact(
        "joints, contacts and fuse",
        reader.number(line.joint_ohm, "resistance", "{}" if given else "{}, an estimate", known=how),
        f"{how or 'as given' if given else 'nothing measured'}; {heat:.2g} W of heat in them, coil cold"
        + ("" if given else "; read the drop across each joint with the clutch engaged"),
    )
    if line.assumed:
        draft.fact("assumed here", "; ".join(line.assumed), "measure these to replace the assumptions")


def _coil_facts(draft: Draft, reader: Reader, data: ElectricData) -> None:
    line, steps, worst = data.line, data.steps, data.worst
    measured, leads = reader.how("clutch.coil_resistance"), reader.si("clutch.lead_resistance")
    if leads and (measured or "measured").startswith("measured"):
        measured += f"{', ' if measured else ''}{reader.show(leads, 'resistance')} of leads taken off"
    draft.fact(
        "coil resistance",
        reader.number(line.r20, "resistance", f"{{}} cold, {reader.show(line.hot, 'resistance')} hot", known=measured),
        f"{measured + '; ' if measured else ''}copper gains {100 * ALPHA20:.3f} % for each kelvin; hot is "
        f"{reader.both(line.rise, 'temperature rise')} above {reader.show(T20, 'temperature')}",
    )
    for which, words in SUPPLIES.items():
        i = data.at(f"{which}, cold")
        if i is None:
            continue
        how = reader.how("circuit.running_voltage" if which == "running" else "circuit.battery_voltage")
        draft.fact(
            f"coil current, {words}",
            pair(reader, data, which, steps.coil_amps, "current", worst=worst.coil_amps, known=measured),
            _posts(reader, line.states[i][1], line.unloaded[i][1]) + (f" ({how})" if how else ""),
        )
        draft.fact(
            f"voltage at the coil, {words}",
            pair(reader, data, which, steps.coil_volts, "voltage", worst=worst.coil_volts, known=how),
            "what is left after wire and joints",
        )


def _posts(reader: Reader, loaded: float, read: float) -> str:
    """Return the voltage at the battery as it was read, behind what the coil leaves of that where it takes some."""
    found = f"{reader.show(read, 'voltage')} at the battery"
    return found if loaded == read else f"{reader.show(loaded, 'voltage')} left of {found}"


__all__ = ["facts", "pair"]

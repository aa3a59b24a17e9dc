"""Supply, coil and voltage of the clutch circuit, judged."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from jackshaft.chapters.electric.data import ElectricData
from jackshaft.chapters.electric.facts import pair
from jackshaft.chapters.electric.line import wire_amps
from jackshaft.chapters.electric.supply import (
    MOST_OVER,
    REST,
    RUNNING,
    burns,
    nominal_of,
    odd_voltages,
    systems_of,
)
from jackshaft.chapters.electric.words import sizes_of, unless_go, window
from jackshaft.mechanics import coil, wiring
from jackshaft.parts.words import sentence
from jackshaft.results.checks import CAUTION, GO, STOP, grade, reaches
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import at_least, at_most

#: Share of the supply that may be lost on the way (other circuits), and the aim (V) for a clutch.
MOST_DROP, AIM = 0.10, 0.5
#: Highest voltage of a battery circuit of this trade: a 48 V battery on charge stays well below it; from memory.
MOST_VOLTS = 75.0
SUPPLIES = ("circuit.running_voltage", "circuit.battery_voltage")


def supply_check(draft: Draft, reader: Reader) -> None:
    """Stop a circuit whose voltage is not that of a battery circuit; ask about voltages that do not go together."""
    known = {k: reader.si(f"circuit.{k}") for k in ("running_voltage", "battery_voltage")}
    high = {k: v for k, v in known.items() if v is not None and v > MOST_VOLTS}
    id, name = "electric.supply", "voltage of the supply"
    if not high:
        _odd_supply(draft, reader, known)
        return
    (key, volts), *others = high.items()
    more = "".join(f", {reader.show(v, 'voltage')} (circuit.{k})" for k, v in others)
    draft.check(
        id=id,
        name=name,
        found=reader.number(volts, "voltage", f"{{}} (circuit.{key}){more}", known=reader.how(f"circuit.{key}")),
        wanted=reader.number(MOST_VOLTS, "voltage", "{} or less"),
        verdict=STOP,
        reason="This chapter is for battery circuits of 6 to 48 V. Touching more than about 75 V can kill, and "
        "switches, fuses and wire for vehicles are not made for it.",
        remedy="Read the voltage again. If it is right, have a licensed electrician plan this circuit.",
        source="voltage limit of the low-voltage rules for direct current, 75 V, from memory",
        guards=True,
    )


def _odd_supply(draft: Draft, reader: Reader, known) -> None:
    """Ask about voltages that no usual system has, and about two that are of different systems."""
    running, battery = (known[k] for k in ("running_voltage", "battery_voltage"))
    both = running is not None and battery is not None
    apart = both and not set(systems_of(running, RUNNING)) & set(systems_of(battery, REST))
    odd = odd_voltages(reader)
    apart = apart and not any(k in SUPPLIES for k, _, _ in odd)
    if apart:
        found = f"{reader.show(running, 'voltage')} running, {reader.show(battery, 'voltage')} at rest"
        words = (
            "A battery cannot show both: one of them is of another system or misread. Every verdict on this circuit "
        )
        words += "rests on them (circuit.running_voltage, circuit.battery_voltage)."
        verdict, remedy = STOP, "Read both again at the battery's posts, with the engine running and stopped."
    elif odd:
        found = ", ".join(f"{reader.show(v, 'voltage')} ({k})" for k, v, _ in odd)
        words = "No 6, 12, 24 or 48 V system has this voltage."
        if odd[0][0] == "circuit.running_voltage" and battery is not None:
            words += " A regulator that lets it rise boils the battery dry; too little leaves it flat."
        verdict, remedy = CAUTION, f"Read it again {' and '.join(where for _, _, where in odd)}."
    else:
        return
    draft.check(
        id="electric.supply",
        name="voltage of the supply",
        found=found,
        wanted=_of_system(reader) if apart or odd[0][0] in SUPPLIES else "6, 12, 24 or 48 V",
        verdict=verdict,
        reason=words,
        remedy=remedy,
        source="charging-tests; trade-practice",
    )


def _of_system(reader: Reader) -> str:
    """Return the voltages of the build's system in words."""
    nominal = nominal_of(reader)
    ends = [" to ".join(reader.show(share * nominal, "voltage") for share in band) for band in (RUNNING, REST)]
    return f"a {nominal:g} V system: {ends[0]} running, {ends[1]} at rest"


def coil_checks(draft: Draft, reader: Reader) -> None:
    """Add the checks of the coil: wound for this supply, and read well enough."""
    r20, nominal = reader.si("clutch.coil_resistance"), nominal_of(reader)
    if r20 is None:
        return
    if nominal is not None:
        _match_check(draft, reader, r20, nominal)
    leads, given = reader.si("clutch.lead_resistance"), reader.get("clutch.coil_resistance")
    if leads is None and given.plus_minus is None:
        return
    leads = leads or 0.0
    read = coil.lead_check.si(r20 + leads, leads=leads, meter=given.plus_minus or 0.1)
    off = reader.both(read.temperature_error, "temperature rise")
    size = f"{reader.show(r20, 'resistance')} ± {reader.show(read.plus_minus, 'resistance')}"
    draft.check(
        id="electric.coil-reading",
        name="coil reading against the meter's own error",
        found=reader.number(read.share, "number", f"{size} ({{}})", by="percent", decimals=0, known=given.known or ""),
        wanted=reader.number(coil.MOST_READING_ERROR, "number", "{} or less", by="percent", decimals=0),
        verdict=GO if read.usable else STOP,
        reason=f"A coil temperature worked out from this reading is right to within {off}."
        + ("" if read.usable else " The error of leads and clips could hide the difference between two coils."),
        remedy=""
        if read.usable
        else "Hold the clips together and note what the meter shows, read the coil again and subtract it; or measure "
        "volts and amperes with the coil on the battery.",
        source="trade-practice",
    )


def _match_check(draft: Draft, reader: Reader, r20: float, nominal: float) -> None:
    known = reader.how("clutch.coil_resistance")
    match, (low, high) = coil.coil_match.si(r20, system=nominal), coil.COIL_WATTS
    usual = at_least(match.watts, low) and at_most(match.watts, high)
    plate = reader.si("clutch.plate_voltage")
    hot = plate is not None and burns(nominal, plate)
    weak = plate is not None and burns(plate, nominal)
    odd = ""
    if hot or weak:
        odd = f" Its plate says {reader.show(plate, 'voltage')}: on {nominal:g} V it "
        odd += "burns." if hot else "pulls too weakly."
    elif match.fits and not usual:
        odd = " That is outside the usual band: fewer ohms than new mean turns shorted, more mean a bad joint inside."
    fits = match.fits and not hot and not weak
    draft.check(
        id="electric.coil",
        name="coil wound for this supply",
        found=reader.number(match.watts, "power", f"{match.watts:.0f} W at {nominal:g} V", known=known),
        wanted=window(
            reader, match.watts, low, high, "power", words=f"{low:.0f} to {high:.0f} W for this class of coil"
        ),
        verdict=STOP if not fits else GO if usual else CAUTION,
        reason=f"{sentence(match.reason)}.{odd}",
        remedy=""
        if usual and fits
        else "Hold the resistance against its maker's figure, leads taken off, coil cold."
        if fits
        else "Read the resistance again with the leads taken off, and read the plate. If they are right, use a coil "
        f"for {nominal:g} V, not a resistor before this one.",
        source="trade-practice",
        guards=hot or match.watts > 1.5 * high,
    )


def voltage_checks(draft: Draft, reader: Reader, data: ElectricData) -> None:
    """Add the checks of the voltage at the coil, and of what is lost on the way."""
    index = [data.at(f"{data.which}, {heat}") for heat in ("cold", "hot")]
    supply = data.line.states[data.cold][1]
    likely, bad = (float(np.min(s.coil_volts[index])) for s in (data.steps, data.worst))
    verdict = grade(likely=likely, bad=bad, limit=data.limit)
    if verdict == STOP and reaches(likely, (1 - MOST_DROP) * data.limit):
        verdict = CAUTION
    how = reader.how(f"circuit.{'running' if data.which == 'running' else 'battery'}_voltage")
    posts = np.array([s[1] for s in data.line.states])
    lost = posts - data.steps.coil_volts
    reason = f"Of {reader.show(supply, 'voltage')} at the battery the line takes "
    reason += f"{pair(reader, data, data.which, lost, 'voltage')}; "
    reason += f"{reader.show(bad, 'voltage')} is left at the bad end of wire and joints."
    cure = "Keep the joints clean and tight, and the run short: the pull goes with about the square of the voltage."
    if data.burns:
        verdict = STOP
        reason += (
            f" The coil is made for {reader.show(data.limit, 'voltage')} and burns above {MOST_OVER:g} times that."
        )
        cure = "Use a coil for this supply. Where the supply is higher than its system's, have the charging regulator "
        cure += "put right."
    draft.check(
        id="electric.voltage",
        name=f"voltage at the coil, {data.engine}",
        found=replace(pair(reader, data, data.which, data.steps.coil_volts, "voltage", known=how), low=bad),
        wanted=reader.number(
            data.limit,
            "voltage",
            f"{{}} ({_made_words(reader, data)}) to {{high}}",
            high=MOST_OVER * data.limit,
            known=reader.how("clutch.plate_voltage"),
        ),
        verdict=verdict,
        reason=reason,
        remedy=unless_go(verdict, cure),
        source="clutch-service; iacs",
        guards=data.burns,
    )
    _drop_check(draft, reader, data, [float(np.max((posts - s.coil_volts)[index])) for s in (data.steps, data.worst)])


def _made_words(reader: Reader, data: ElectricData) -> str:
    """Return where the voltage that the coil is made for comes from."""
    if reader.si("clutch.plate_voltage") is not None:
        return "plate"
    return "the system's voltage" if data.limit == data.line.nominal else "by its resistance"


def _drop_check(draft: Draft, reader: Reader, data: ElectricData, lost: list[float]) -> None:
    supply = data.line.states[data.cold][1]
    most = MOST_DROP * supply
    verdict = grade(likely=lost[0], bad=lost[1], limit=most, higher_is_better=False)
    aim = ""
    if lost[0] > AIM:
        area = _area_for(data, AIM)
        reached = "" if area is None else f"; {_words_of(reader, area)} would reach it"
        aim = f" The usual aim for a clutch is {reader.show(AIM, 'voltage')}{reached}."
    draft.check(
        id="electric.drop",
        name="voltage lost between battery and coil",
        found=reader.number(
            lost[0], "voltage", f"{{}} ({100 * lost[0] / supply:.1f} %), bad end {{high}}", high=lost[1]
        ),
        wanted=reader.number(most, "voltage", "{} (10 %) or less", source="abyc-e11"),
        verdict=verdict,
        reason=f"Wire {reader.show(data.line.wire_ohm, 'resistance')} there and back, joints "
        f"{reader.show(data.line.joint_ohm, 'resistance')}, coil cold.{aim}",
        remedy=unless_go(
            verdict,
            "Keep the run short, and make joints that show no drop under load.",
        ),
        source="abyc-e11; trade-practice",
    )


def _area_for(data: ElectricData, drop: float) -> float | None:
    """Return the copper area whose wire, with the joints as they are, loses ``drop`` with the coil cold."""
    amps = float(wire_amps(data.steps)[data.cold])
    left, loop = drop - amps * data.line.joint_ohm, data.line.loop
    if left <= 0.0 or loop <= 0.0:
        return None
    return float(wiring.wire_for_drop.si(amps, loop=loop, drop=left, constant=10.37))


def _words_of(reader: Reader, area: float) -> str:
    """Return the next listed size of a copper area, or the area where none is as large."""
    system, unit = sizes_of(reader)
    size = wiring.next_size_si(area, system=system)
    return reader.show(area, "wire") if size is None else f"{size.size} {unit}"


__all__ = ["AIM", "MOST_DROP", "MOST_VOLTS", "coil_checks", "supply_check", "voltage_checks"]

"""Interlocks, voltages that were read, and the one measurement that shows where a symptom comes from."""

from __future__ import annotations

from typing import NamedTuple

from jackshaft.chapters.electric.contacts import relay_amps
from jackshaft.chapters.electric.data import ElectricData
from jackshaft.chapters.electric.joints import has_relay
from jackshaft.chapters.electric.words import unless_go, voltage, volts
from jackshaft.mechanics import circuit
from jackshaft.results.checks import CAUTION, GO, STOP, Table
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value
from jackshaft.units import at_least, first_most

#: A reading off by this much (V) is a caution, by the second a stop: small joints show nothing measurable, and half a
#: volt in any part suggests a fault.
OFF, FAULT = 0.1, 0.5
REQUIRED = ("operator presence",)
#: Symptom, the one measurement that halves the list, and what its answers mean.
SYMPTOMS = (
    (
        "no click",
        "volts across the coil's plug, engaged",
        "full: the coil is open or the gap too wide; none: fuse, switch, interlock or joint, work back to the battery",
    ),
    (
        "clicks, does not grip",
        "volts across the coil, engaged",
        "as expected: gap, springs or oily faces; low: a joint on the way",
    ),
    (
        "grips cold, slips hot",
        "amperes with the coil hot",
        "as expected: too little torque to spare, or a worn gap; lower: a hot joint or a hotter coil",
    ),
    (
        "fuse blows at once",
        "ohms from coil to frame, unplugged",
        "a reading: chafed wire or grounded coil; none: a suppression diode fitted the wrong way round",
    ),
    (
        "fuse blows after minutes",
        "amperes and ohms of the coil, cold",
        "more amperes, fewer ohms: turns shorted; as expected: another load on the wire",
    ),
    (
        "holder or plug hot, fuse whole",
        "volts across that joint, engaged",
        "more: this joint makes the heat; clean it, crimp it anew or fit a larger terminal",
    ),
    (
        "switch dies early",
        "amperes through the switch",
        "as expected: no suppression, or no direct-current rating; more: the relay is bypassed",
    ),
    (
        "lets go at idle",
        "volts at the battery, idling, engaged",
        "low: charging does not cover the loads at idle; as expected: a loose joint that shakes",
    ),
    (
        "works on jump leads only",
        "volts from battery − to coil −, engaged",
        "more: the return; as expected: the supply side or a dead battery",
    ),
)


def return_check(draft: Draft, reader: Reader) -> None:
    """Add the stop of a circuit that has no way back."""
    if reader.get("circuit.return_by") == "not connected":
        draft.check(
            id="electric.return",
            name="the way back to the battery",
            found="not connected",
            wanted="a wire or the frame",
            verdict=STOP,
            reason="No current can flow: the coil has no return.",
            remedy="Run a return wire from the coil to the battery's negative post, or a strap from the clutch's field "
            "to clean metal of the frame and from there to the post.",
            source="own-derivation",
        )


def interlocks(draft: Draft, reader: Reader) -> None:
    """Add the truth table of the interlocks and the verdict on them."""
    id, name = "electric.interlocks", "interlocks"
    names = reader.names("circuit.interlock")
    limit = "operator presence, and a guard switch where a guard opens; none bridged"
    if not names:
        words = (
            "The switches that must be closed before the clutch engages (seat, neutral or brake, guard, key) are not "
        )
        words += "in the build file yet."
        draft.missing(reader, id, name, ("circuit.interlock",), words, limit=limit)
        return
    kinds = {n: reader.get(f"circuit.interlock[{n}].kind") for n in names}
    bridged = [n for n in names if reader.get(f"circuit.interlock[{n}].bridged")]
    rows = [("closed", *["closed"] * len(names), "engages")]
    rows += [("closed", *["open" if n == m else "closed" for m in names], "lets go") for n in names]
    rows += [("open", *["closed"] * len(names), "lets go")]
    draft.tables.append(
        Table(
            "Truth table of the interlocks",
            ("clutch switch", *names, "clutch"),
            tuple(rows),
            "All switches are in series: any one that opens lets the clutch go, and so do two or more. Before every "
            "use, open each in turn with the engine idling and the work guarded. The clutch must let go each time.",
        )
    )
    if bridged:
        draft.check(
            id=id,
            name=name,
            found=", ".join(_interlock_words(n, k, n in bridged) for n, k in kinds.items()),
            wanted=limit,
            verdict=STOP,
            reason="A bridged interlock lets the clutch engage while somebody is within reach of it.",
            remedy="Repair the switch behind the bridge; it stays in the circuit.",
            source="trade-practice",
            guards=True,
        )
        return
    unsaid = [f"circuit.interlock[{n}].kind" for n, k in kinds.items() if k is None]
    verdict = GO if set(REQUIRED) <= set(kinds.values()) else CAUTION
    if verdict != GO and unsaid:
        words = f"What these watch is not known yet: {', '.join(n for n, k in kinds.items() if k is None)}."
        draft.missing(reader, id, name, unsaid, words, limit=limit)
        return
    draft.check(
        id=id,
        name=name,
        found=", ".join(_interlock_words(n, k, False) for n, k in kinds.items()),
        wanted=limit,
        verdict=verdict,
        reason=f"All are in series with the clutch: any one that opens lets it go.{_unlooked(reader, names)}",
        remedy=unless_go(verdict, "Add a switch that opens when the operator leaves the seat or the handle."),
        source="trade-practice",
    )


def _unlooked(reader: Reader, names: tuple[str, ...]) -> str:
    """Return in words of which interlocks nobody says whether they were found bridged."""
    silent = [n for n in names if reader.get(f"circuit.interlock[{n}].bridged") is None]
    return f" That nobody has bridged {' or '.join(silent)} is taken: look, and open each before use." if silent else ""


def _interlock_words(name: str, kind: str | None, bridged: bool) -> str:
    return name + (f" ({kind})" if kind else "") + (" bridged" if bridged else "")


class Reading(NamedTuple):
    """A voltage (V) that was read, and what is expected there: computed, and of the baseline where there is one.

    ``off`` is by how much it is worse than expected, None where it cannot be judged; ``means`` is that in words.
    """

    name: str
    joint: str | None
    state: str
    read: float | None
    computed: float | None
    baseline: float | None
    off: float | None
    means: str


def readings_of(reader: Reader, data: ElectricData | None) -> tuple[Reading, ...]:
    """Return the voltages that were read, each compared with its baseline or else with the computed value."""
    noted = [] if data is None else [_noted(reader, name) for name in reader.names("circuit.reading")]
    base = {(joint, state): value for _, joint, value, state, first in noted if first and value is not None}
    return tuple(_judged(data, *each, base) for each in noted)


def _noted(reader: Reader, name: str) -> tuple[str, str | None, float | None, str, bool]:
    """Return a reading as the build has it: name, joint, volts, state, and whether it is a baseline."""
    at = f"circuit.reading[{name}]"
    joint, value = reader.get(f"{at}.joint"), reader.si(f"{at}.volts")
    state = f"{reader.get(f'{at}.supply') or 'running'}, {reader.get(f'{at}.coil') or 'cold'}"
    reader.note_missing(*(f"{at}.{k}" for k, v in (("joint", joint), ("volts", value)) if v is None))
    joint = None if joint is None else str(joint).replace("−", "-")
    return name, joint, value, state, bool(reader.get(f"{at}.baseline"))


def _judged(data: ElectricData, name, joint, value, state, first: bool, base) -> Reading:
    joints, i = data.steps.joints, data.at(state)
    if value is None or joint not in joints or i is None:
        means = "no such test point" if joint not in joints else "not known yet"
        return Reading(
            name=name, joint=joint, state=state, read=None, computed=None, baseline=None, off=None, means=means
        )
    expected = float(data.steps.volts[joints.index(joint), i])
    before = None if first else base.get((joint, state))
    ref = expected if before is None else before
    # on the way out a fault reads low, on the way back it reads high
    off = (ref - value) if joint in joints[: joints.index(circuit.COIL_IN) + 1] else (value - ref)
    means = (
        "as it should be" if off < OFF else "more resistance than there was" if off < FAULT else "a fault on the way"
    )
    return Reading(
        name=name, joint=joint, state=state, read=value, computed=expected, baseline=before, off=off, means=means
    )


def readings(draft: Draft, reader: Reader, data: ElectricData) -> None:
    """Add the voltages that were read, and the verdict on the worst of them."""
    found = readings_of(reader, data)
    if not found:
        return

    def cell(value: float | None, known: str = "") -> Value:
        return "" if value is None else voltage(reader, value, known=known)

    draft.tables.append(
        Table(
            "Voltages that were read",
            ("reading", "at", "read", "computed", "baseline", "means"),
            tuple(
                (
                    r.name if r.off is None else f"{r.name}, {r.state}",
                    r.joint or "?",
                    cell(r.read, reader.how(f"circuit.reading[{r.name}].volts")),
                    cell(r.computed),
                    cell(r.baseline),
                    r.means,
                )
                for r in found
            ),
            "Later readings are compared with the baseline of the same point and state.",
        )
    )
    worst = max((0.0, *(r.off for r in found if r.off is not None)))
    verdict = _verdict(worst)
    draft.check(
        id="electric.readings",
        name="voltages that were read",
        found=voltage(reader, worst, "the worst is off by {}"),
        wanted=voltage(reader, OFF, "less than {}", source="drop-limits"),
        verdict=verdict,
        reason="Each is compared with its baseline where there is one, else with the computed voltage.",
        remedy=unless_go(
            verdict,
            "Find the last point that reads right and the first that reads wrong. Open the joint between them, clean "
            "it and crimp it anew.",
        ),
        source="drop-limits",
    )


def _verdict(off: float) -> str:
    """Return the verdict on a voltage (V) that is lost where none should be."""
    return STOP if at_least(off, FAULT) else CAUTION if at_least(off, OFF) else GO


def joint_check(draft: Draft, reader: Reader, data: ElectricData) -> None:
    """Add the verdict on each joint that is listed: a sound one shows nothing measurable, half a volt is a fault."""
    names, steps, i = reader.names("circuit.joint"), data.steps, data.cold
    each = zip(steps.parts, steps.drops[:, i], steps.watts[:, i], strict=True)
    drops = {part: (float(drop), float(watts)) for part, drop, watts in each if part in names}
    if not drops:
        return
    worst = list(drops)[first_most([drop for drop, _ in drops.values()])]
    drop, watts = drops[worst]
    verdict = _verdict(drop)
    draft.check(
        id="electric.joints",
        name="joints one by one",
        found=voltage(reader, drop, f"{worst}: {{}}, {watts:.2g} W"),
        wanted=voltage(reader, OFF, "less than {} in any", source="drop-limits"),
        verdict=verdict,
        reason="; ".join(f"{p} {volts(d)}, {w:.2g} W" for p, (d, w) in drops.items())
        + ". A joint that gets hot corrodes faster and melts its housing long before the fuse opens.",
        remedy=unless_go(verdict, f"Open {worst}, clean it bright, crimp a new terminal and grease it."),
        source="drop-limits",
        guards=watts > 2.0 and verdict == STOP,
    )


def symptoms(draft: Draft, reader: Reader, data: ElectricData) -> None:
    """Add the table of symptoms, each with the one measurement that halves the list and this build's value."""
    here = _measures(reader, data)
    draft.tables.append(
        Table(
            "Symptom, and the one measurement that halves the list",
            ("symptom", "measure", "this build", "what it means"),
            tuple((*symptom, value, means) for (*symptom, means), value in zip(SYMPTOMS, here, strict=True)),
            f"Values for the coil cold, {data.engine}.",
        )
    )


def _measures(reader: Reader, data: ElectricData) -> tuple[Value, ...]:
    """Return what each measurement of the symptoms shows where all is well."""
    i, amps, at_coil = data.cold, data.amps(f"{data.which}, cold"), data.volts(f"{data.which}, cold")
    kinds = zip(data.steps.drops[:, i], data.steps.kinds, strict=True)
    joint = max((float(d) for d, kind in kinds if kind in ("fuse", "joint")), default=0.0)
    coil = f"{{}}, {reader.show(data.line.r20, 'resistance')}"
    return (
        voltage(reader, at_coil),
        voltage(reader, at_coil),
        reader.number(data.amps(f"{data.which}, hot"), "current"),
        "none (open)",
        reader.number(amps, "current", coil),
        voltage(reader, joint, "{} or less") if joint else "nothing measurable",
        reader.number(relay_amps(reader) if has_relay(reader) else amps, "current"),
        voltage(reader, data.line.states[i][1], "{} at work"),
        voltage(reader, float(data.steps.volts[data.steps.joints.index(circuit.COIL_OUT), i])),
    )


__all__ = [
    "FAULT",
    "OFF",
    "Reading",
    "interlocks",
    "joint_check",
    "readings",
    "readings_of",
    "return_check",
    "symptoms",
]

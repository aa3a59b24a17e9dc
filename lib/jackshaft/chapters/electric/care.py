"""Interlocks, voltages that were read, and which one measurement tells what a symptom comes from."""

from __future__ import annotations

from typing import NamedTuple

from jackshaft.chapters.electric.contacts import relay_amps
from jackshaft.chapters.electric.data import ElectricData
from jackshaft.chapters.electric.joints import has_relay
from jackshaft.chapters.electric.line import voltage, volts
from jackshaft.mechanics import circuit
from jackshaft.results.checks import CAUTION, GO, STOP, Table
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value
from jackshaft.units import at_least, first_most

#: A reading off by this much (V) is a caution, by the second a stop: small joints show nothing measurable, and half a
#: volt in any part suggests a fault.
OFF, FAULT = 0.1, 0.5
WANTED = ("operator presence",)
#: Symptom, the one measurement that halves the list, and what its answers mean.
SYMPTOMS = (
    (
        "no click",
        "volts across the coil's plug, engaged",
        "there: the coil is open or the gap too wide; not there: fuse, switch, interlock or joint, walk back",
    ),
    (
        "clicks, does not grip",
        "volts across the coil, engaged",
        "as expected: gap, springs or oily faces; low: a joint on the way",
    ),
    (
        "grips cold, slips hot",
        "amperes with the coil hot",
        "as expected: too little torque in hand, or a worn gap; lower: a hot joint or a hotter coil",
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
        "more: the joint is the heater; clean it, crimp it, larger terminal",
    ),
    (
        "switch dies early",
        "amperes through the switch",
        "as expected: no suppression, or no direct-current rating; more: the relay is bypassed",
    ),
    (
        "lets go at idle",
        "volts at the battery, idling, engaged",
        "low: charging does not cover the loads at idle; good: a loose joint that shakes",
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
            "electric.return",
            "the way back to the battery",
            "not connected",
            "a wire or the frame",
            STOP,
            "No current can flow: the coil has no return.",
            "Run a return wire from the coil to the battery's negative "
            "post, or a strap from the clutch's field to clean metal of the frame and from there to the post.",
            "own-derivation",
        )


def interlocks(draft: Draft, reader: Reader) -> None:
    """Add the truth table of the interlocks and the verdict on them."""
    id, name = "electric.interlocks", "interlocks"
    names = reader.names("circuit.interlock")
    wanted = "operator presence, and a guard switch where a guard opens; none bridged"
    if not names:
        draft.lacks(
            reader,
            id,
            name,
            ("circuit.interlock",),
            "Which switches must be closed before the clutch "
            "engages (seat, neutral or brake, guard, key) is not in the build file yet.",
            limit=wanted,
        )
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
            "Every switch stands in series: any one that opens lets the clutch go, and so do two or more. Before "
            "every use: "
            "open each in turn with the engine idling and the work guarded; the clutch must let go each time.",
        )
    )
    if bridged:
        draft.check(
            id,
            name,
            f"{', '.join(bridged)} bridged",
            wanted,
            STOP,
            "A bridged interlock lets the clutch engage with somebody in reach of it.",
            "Take the bridge out and put the switch right. Where the switch is too weak for the coil, a relay takes "
            "the current and the switch stays in the circuit.",
            "trade-practice",
            guards=True,
        )
        return
    lacking = [k for k in WANTED if k not in kinds.values()]
    draft.check(
        id,
        name,
        ", ".join(f"{n} ({k})" if k else n for n, k in kinds.items()),
        wanted,
        CAUTION if lacking else GO,
        "All in series with the clutch: any one that opens lets it go.",
        "Add a switch that opens when the operator leaves the seat or the handle." if lacking else "",
        "trade-practice",
    )


class Reading(NamedTuple):
    """A voltage (V) that was read, and what is expected there: computed, and of the baseline where there is one.

    ``off`` is by how much it is worse than expected, and None where it cannot be judged; ``means`` says it in words.
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
    """Return the voltages that were read, each held against its baseline or else the computed value."""
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
        return Reading(name, joint, state, None, None, None, None, means)
    expected = float(data.steps.volts[joints.index(joint), i])
    before = None if first else base.get((joint, state))
    ref = expected if before is None else before
    # on the way out a fault reads low, on the way back it reads high
    off = (ref - value) if joint in joints[: joints.index(circuit.COIL_IN) + 1] else (value - ref)
    means = (
        "as it should be" if off < OFF else "more resistance than there was" if off < FAULT else "a fault on the way"
    )
    return Reading(name, joint, state, value, expected, before, off, means)


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
            "Later readings are held against the baseline of the same point and state.",
        )
    )
    worst = max((0.0, *(r.off for r in found if r.off is not None)))
    verdict = STOP if at_least(worst, FAULT) else CAUTION if at_least(worst, OFF) else GO
    draft.check(
        "electric.readings",
        "voltages that were read",
        voltage(reader, worst, "worst off by {}"),
        voltage(reader, OFF, "less than {}", source="drop-limits"),
        verdict,
        "Held against the baseline where there is one, else against the computed voltage.",
        ""
        if verdict == GO
        else "Walk the meter from the last point that reads right to the first that reads wrong; "
        "the joint between them is the one to open, clean and crimp anew.",
        "drop-limits",
    )


def joint_check(draft: Draft, reader: Reader, data: ElectricData) -> None:
    """Add the verdict on each joint that is listed: a sound one shows nothing measurable, half a volt is a fault."""
    names = reader.names("circuit.joint")
    drops = {
        p: (float(data.steps.drops[k, data.cold]), float(data.steps.watts[k, data.cold]))
        for k, p in enumerate(data.steps.parts)
        if p in names
    }
    if not drops:
        return
    worst = list(drops)[first_most([drop for drop, _ in drops.values()])]
    drop, watts = drops[worst]
    verdict = STOP if at_least(drop, FAULT) else CAUTION if at_least(drop, OFF) else GO
    draft.check(
        "electric.joints",
        "joints one by one",
        voltage(reader, drop, f"{worst}: {{}}, {watts:.2g} W"),
        voltage(reader, OFF, "less than {} in any", source="drop-limits"),
        verdict,
        "; ".join(f"{p} {volts(d)}, {w:.2g} W" for p, (d, w) in drops.items())
        + ". A joint that heats goes bad faster and melts its housing long before the fuse opens.",
        "" if verdict == GO else f"Open {worst}, clean it bright, crimp a new terminal and grease it.",
        "drop-limits",
        guards=watts > 2.0 and verdict == STOP,
    )


def symptoms(draft: Draft, reader: Reader, data: ElectricData) -> None:
    """Add the table of symptoms, each with the one measurement that halves the list and this build's value."""
    here = _measures(reader, data)
    draft.tables.append(
        Table(
            "Symptom, and the one measurement that halves the list",
            ("symptom", "measure", "this build", "what it means"),
            tuple(
                (symptom, measure, value, means)
                for (symptom, measure, means), value in zip(SYMPTOMS, here, strict=True)
            ),
            f"Values for the coil cold, {'engine running' if data.which == 'running' else 'battery only'}.",
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

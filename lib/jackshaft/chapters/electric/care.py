"""Interlocks, voltages that were read, and which one measurement tells what a symptom comes from."""

from __future__ import annotations

from jackshaft.chapters.electric.contacts import relay_amps
from jackshaft.chapters.electric.line import has_relay, volts
from jackshaft.mechanics import circuit
from jackshaft.results.checks import CAUTION, GO, STOP, Table, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import at_least, first_most

#: A reading off by this much (V) is a caution, by the second a stop: small joints show nothing measurable, and half a
#: volt in any part suggests a fault.
OFF, FAULT = 0.1, 0.5
WANTED = ("operator presence",)


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
        reader.note_missing("circuit.interlock")
        draft.checks.append(
            undecided(
                id,
                name,
                ("circuit.interlock",),
                "Which switches must be closed before the clutch "
                "engages (seat, neutral or brake, guard, key) is not in the build file yet.",
                limit=wanted,
            )
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


def readings(draft: Draft, reader: Reader, data) -> None:
    """Hold the voltages that were read against this build: its own baseline, else the computed value."""
    names = reader.names("circuit.reading")
    if not names or data is None:
        return
    joints = data.steps.joints
    out = joints[: joints.index(circuit.COIL_IN) + 1]
    read = []
    for name in names:
        at = f"circuit.reading[{name}]"
        joint, value = reader.get(f"{at}.joint"), reader.si(f"{at}.volts")
        state = f"{reader.get(f'{at}.supply') or 'running'}, {reader.get(f'{at}.coil') or 'cold'}"
        joint = None if joint is None else str(joint).replace("−", "-")
        read.append((name, joint, value, state, bool(reader.get(f"{at}.baseline"))))
        if joint is None or value is None:
            reader.note_missing(*(f"{at}.{k}" for k, v in (("joint", joint), ("volts", value)) if v is None))
    base = {(joint, state): value for _, joint, value, state, first in read if first and value is not None}
    rows, worst = [], 0.0
    for name, joint, value, state, first in read:
        i = data.at(state)
        if value is None or joint not in joints or i is None:
            rows.append(
                (name, joint or "?", "", "", "", "no such test point" if joint not in joints else "not known yet")
            )
            continue
        expected = float(data.steps.volts[joints.index(joint), i])
        ref = expected if first else base.get((joint, state), expected)
        # on the way out a fault reads low, on the way back it reads high
        off = (ref - value) if joint in out else (value - ref)
        worst = max(worst, off)
        what = (
            "as it should be"
            if off < OFF
            else "more resistance than there was"
            if off < FAULT
            else "a fault on the way"
        )
        rows.append(
            (
                f"{name}, {state}",
                joint,
                volts(value),
                volts(expected),
                volts(base[joint, state]) if (joint, state) in base and not first else "",
                what,
            )
        )
    draft.tables.append(
        Table(
            "Voltages that were read",
            ("reading", "at", "read", "computed", "baseline", "means"),
            tuple(rows),
            "Later readings are held against the baseline of the same point and state.",
        )
    )
    verdict = STOP if at_least(worst, FAULT) else CAUTION if at_least(worst, OFF) else GO
    draft.check(
        "electric.readings",
        "voltages that were read",
        f"worst off by {volts(max(worst, 0.0))}",
        f"less than {volts(OFF)}",
        verdict,
        "Held against the baseline where there is one, else against the computed voltage.",
        ""
        if verdict == GO
        else "Walk the meter from the last point that reads right to the first that reads wrong; "
        "the joint between them is the one to open, clean and crimp anew.",
        "drop-limits",
    )


def joint_check(draft: Draft, reader: Reader, data) -> None:
    """Add the verdict on each joint that is listed: a sound one shows nothing measurable, half a volt is a fault."""
    names = reader.names("circuit.joint")
    i = next((k for k in (data.at("running, cold"), data.at("battery only, cold")) if k is not None), None)
    drops = {
        p: (float(data.steps.drops[k, i]), float(data.steps.watts[k, i]))
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
        f"{worst}: {volts(drop)}, {watts:.2g} W",
        f"less than {volts(OFF)} in any",
        verdict,
        "; ".join(f"{p} {volts(d)}, {w:.2g} W" for p, (d, w) in drops.items())
        + ". A joint that heats goes bad faster and melts its housing long before the fuse opens.",
        "" if verdict == GO else f"Open {worst}, clean it bright, crimp a new terminal and grease it.",
        "drop-limits",
        guards=watts > 2.0 and verdict == STOP,
    )


def symptoms(draft: Draft, reader: Reader, data) -> None:
    """Add the table of symptoms, each with the one measurement that halves the list and this build's value."""
    which = "running" if data.at("running, cold") is not None else "battery only"
    cold, hot = (f"{which}, {h}" for h in ("cold", "hot"))
    amps, at_coil = {h: data.amps(s) for h, s in (("cold", cold), ("hot", hot))}, data.volts(cold)
    joint = max(
        (
            float(d)
            for d, kind in zip(data.steps.drops[:, data.at(cold)], data.steps.kinds, strict=True)
            if kind in ("fuse", "joint")
        ),
        default=0.0,
    )
    supply = data.line.states[data.at(cold)][1]
    through = relay_amps(reader) if has_relay(reader) else amps["cold"]
    show = reader.show
    rows = (
        (
            "no click",
            "volts across the coil's plug, engaged",
            volts(at_coil),
            "there: the coil is open or the gap too wide; not there: fuse, switch, interlock or joint, walk back",
        ),
        (
            "clicks, does not grip",
            "volts across the coil, engaged",
            volts(at_coil),
            "as expected: gap, springs or oily faces; low: a joint on the way",
        ),
        (
            "grips cold, slips hot",
            "amperes with the coil hot",
            show(amps["hot"], "current"),
            "as expected: too little torque in hand, or a worn gap; lower: a hot joint or a hotter coil",
        ),
        (
            "fuse blows at once",
            "ohms from coil to frame, unplugged",
            "none (open)",
            "a reading: chafed wire or grounded coil; none: a suppression diode fitted the wrong way round",
        ),
        (
            "fuse blows after minutes",
            "amperes and ohms of the coil, cold",
            f"{show(amps['cold'], 'current')}, {show(data.line.r20, 'resistance')}",
            "more amperes, fewer ohms: turns shorted; as expected: another load on the wire",
        ),
        (
            "holder or plug hot, fuse whole",
            "volts across that joint, engaged",
            f"{volts(joint)} or less" if joint else "nothing measurable",
            "more: the joint is the heater; clean it, crimp it, larger terminal",
        ),
        (
            "switch dies early",
            "amperes through the switch",
            show(through, "current"),
            "as expected: no suppression, or no direct-current rating; more: the relay is bypassed",
        ),
        (
            "lets go at idle",
            "volts at the battery, idling, engaged",
            f"{volts(supply)} at work",
            "low: charging does not cover the loads at idle; good: a loose joint that shakes",
        ),
        (
            "works on jump leads only",
            "volts from battery − to coil −, engaged",
            volts(float(data.steps.volts[data.steps.joints.index(circuit.COIL_OUT), data.at(cold)])),
            "more: the return; as expected: the supply side or a dead battery",
        ),
    )
    draft.tables.append(
        Table(
            "Symptom, and the one measurement that halves the list",
            ("symptom", "measure", "this build", "what it means"),
            rows,
            f"Values for the coil cold, {'engine running' if which == 'running' else 'battery only'}.",
        )
    )


__all__ = ["FAULT", "OFF", "interlocks", "joint_check", "readings", "return_check", "symptoms"]

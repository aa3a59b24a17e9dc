"""A short at every point of the clutch circuit: what it draws, and whether the fuse opens before the wire is hurt."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from jackshaft.chapters.electric.data import ElectricData
from jackshaft.chapters.electric.joints import FUSE_STYLES
from jackshaft.chapters.electric.line import FRAME_OHM, wire_amps
from jackshaft.mechanics import circuit, contacts, fuses, protection, wiring
from jackshaft.results.checks import CAUTION, GO, STOP, Table, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number, Value
from jackshaft.units import first_least

#: What the wire may carry as it lies in a class of insulation, and that class (K).
Lying = tuple[wiring.Ampacity, float]


class Short(NamedTuple):
    """A short at one joint: where, to what, supply, currents (A), and fuse against wire (None before the fuse)."""

    at: str
    to: str
    state: str
    amps: float
    fuse_amps: float | None
    guard: protection.Protection | None


def shorts_of(reader: Reader, data: ElectricData, am: wiring.Ampacity, insulation: float) -> tuple[Short, ...]:
    """Return what a short at each joint draws, engine running and from the battery alone, against fuse and wire."""
    line, rating = data.line, reader.si("circuit.fuse")
    kind = reader.get("circuit.fuse_kind") or "blade"
    gates = fuses.fuse_gates_si(FUSE_STYLES[kind]) if kind in FUSE_STYLES else None
    cold = [s for s in line.states if s[0].endswith("cold")]
    found = []
    chain = line.chain(np.array([s[1] for s in cold]), line.r20, source_ohm=line.source_ohm)
    for fault in circuit.shorts_si(chain, frame_ohm=FRAME_OHM):
        through = next(iter(fault.fuses.values())) if fault.behind_fuse else None
        for i, state in enumerate(cold):
            amps = float(np.broadcast_to(fault.amps, len(cold))[i])
            if through is None or rating is None or gates is None:
                found.append(Short(fault.at, fault.to, state[0], amps, None, None))
                continue
            mine = float(np.broadcast_to(through, len(cold))[i])
            time = fuses.fuse_time_si(mine, rating=rating, gates=gates)
            guard = protection.protection_si(
                mine,
                multiple=time.multiple,
                fuse_seconds=time.surely,
                fuse_likely=time.longest,
                area=line.size.area,
                ampacity=am.amps,
                insulation=insulation,
                ambient=min(line.air, insulation - 1.0),
            )
            found.append(Short(fault.at, fault.to, state[0], amps, mine, guard))
    return tuple(found)


def _worst(shorts: tuple[Short, ...]) -> Short | None:
    """Return the short that comes nearest to hurting the wire, None where none can be judged."""
    judged = [s for s in shorts if s.guard is not None]
    return min(
        judged,
        key=lambda s: (
            not s.guard.wire_is_the_fuse,
            s.guard.likely,
            s.guard.holds,
            s.guard.wire.seconds / s.guard.fuse_seconds,
        ),
        default=None,
    )


def _verdict(short: Short) -> str:
    return GO if short.guard.holds else CAUTION if short.guard.likely else STOP


def short_check(draft: Draft, reader: Reader, data: ElectricData, lying: tuple[Lying, ...]) -> None:
    """Add the table of shorts, the current at the far end, and the verdict on fuse against wire."""
    id, name, limit = "electric.short", "a short: fuse before wire", "the fuse opens first"
    ends = [shorts_of(reader, data, am, insulation) for am, insulation in lying]
    _short_sheet(draft, reader, ends[0])
    far = [s for s in ends[0] if s.to == "across the coil"]
    first, *others = far
    more = "".join(f", {reader.show(s.amps, 'current')} {_supply(s)}" for s in others)
    draft.fact(
        "short at the far end",
        reader.number(first.amps, "current", f"{{}} {_supply(first)}{more}"),
        f"across the coil; battery and cables {1e3 * data.line.source_ohm:.3g} mΩ; "
        f"{_heat(reader, data, min(s.amps for s in far))} in the wire",
    )
    worst = [_worst(shorts) for shorts in ends]
    if worst[0] is None:
        _unjudged(draft, reader, id, name, limit)
        return
    if _verdict(worst[0]) != _verdict(worst[-1]):
        words = "Whether the fuse opens before the wire is hurt depends on its insulation."
        draft.checks.append(undecided(id, name, ("circuit.insulation",), words, limit=limit))
        return
    bad, verdict = worst[-1], _verdict(worst[-1])
    least = far[first_least([s.amps for s in far])]
    draft.check(
        id,
        name,
        reader.number(least.amps, "current", f"{{}} at the far end, worst at {bad.at}"),
        limit,
        verdict,
        f"{bad.at[0].upper()}{bad.at[1:]} to {'the frame' if bad.to == 'frame' else 'its other side'}, "
        f"{_supply(bad)}: {bad.guard.reason}.",
        "" if verdict == GO else _short_cure(reader, data, lying[0][0]),
        "iso8820-3; own-derivation",
        guards=verdict == STOP,
    )


def _supply(short: Short) -> str:
    return short.state.split(",")[0]


def _unjudged(draft: Draft, reader: Reader, id: str, name: str, limit: str) -> None:
    """Say why no short can be judged; a circuit that is said to have no fuse has its stop already."""
    if reader.is_none("circuit.fuse"):
        return
    if reader.si("circuit.fuse") is None:
        draft.checks.append(undecided(id, name, ("circuit.fuse",), "No fuse is in the build file yet.", limit=limit))
        return
    draft.check(
        id,
        name,
        "not in the tables",
        limit,
        CAUTION,
        "The tables have no opening times for a circuit breaker.",
        "Fit a blade fuse, or hold the breaker maker's curve against the currents in the table of shorts.",
        "trade-practice",
    )


def _heat(reader: Reader, data: ElectricData, amps: float) -> str:
    """Return the heat of a current in the wire, for a foot or a metre."""
    watts = float(contacts.contact_heat.si(amps, resistance=data.line.size.r20))
    return f"{watts * 0.3048:.2g} W/ft" if reader.system == "inch" else f"{watts:.2g} W/m"


def _short_cure(reader: Reader, data: ElectricData, am: wiring.Ampacity) -> str:
    choice = fuses.choose_fuse.si(float(np.max(wire_amps(data.steps))), ampacity=am.amps)
    if choice.rating is not None and choice.rating < reader.si("circuit.fuse"):
        return f"Fit a {choice.rating:g} A fuse at the battery, or larger wire behind this one."
    return "Larger wire, or a shorter run, so that a short draws several times the fuse's rating."


def _short_sheet(draft: Draft, reader: Reader, shorts: tuple[Short, ...]) -> None:
    rows = []
    for s in shorts:
        last: tuple[Value, ...] = ("", "", "before the fuse: nothing protects this" if s.fuse_amps is None else "")
        if s.guard is not None:
            last = (
                _time(reader, s.guard.fuse_seconds),
                _time(reader, s.guard.wire.seconds),
                "fuse first" if s.guard.holds else "likely the fuse" if s.guard.likely else "wire first",
            )
        rows.append((s.at, s.to, _supply(s), reader.number(s.amps, "current"), *last))
    draft.tables.append(
        Table(
            "A short at each point",
            ("at", "to", "supply", "current", "fuse opens within", "wire lasts", "first"),
            tuple(rows),
            "The fuse's time is the longest that its family may take; the wire starts as hot as its insulation is "
            f"rated for. The way through the frame is taken as {1e3 * FRAME_OHM:.0f} mΩ.",
        )
    )


def _time(reader: Reader, seconds: float) -> Number | str:
    return "never" if math.isinf(seconds) else reader.number(seconds, "time")


__all__ = ["Lying", "Short", "short_check", "shorts_of"]

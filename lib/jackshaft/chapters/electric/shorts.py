"""A short at every point of the clutch circuit: what it draws, and whether the fuse opens before the wire is hurt."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from jackshaft.chapters.electric.data import ElectricData
from jackshaft.chapters.electric.joints import fuse_style
from jackshaft.chapters.electric.line import FRAME_OHM
from jackshaft.chapters.electric.words import unless_go
from jackshaft.mechanics import circuit, contacts, fuses, protection, wiring
from jackshaft.parts.words import sentence
from jackshaft.results.checks import CAUTION, GO, STOP, Table
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number, Value
from jackshaft.units import FOOT, first_least

#: What the wire may carry as it lies in a class of insulation, and that class (K).
Lying = tuple[wiring.Ampacity, float]


class Short(NamedTuple):
    """A short at one joint: where, to what, supply, currents (A), and fuse against wire (None where not judged).

    ``behind`` tells whether it lies behind the fuse, whatever is known of that.
    """

    at: str
    to: str
    supply: str
    amps: float
    fuse_amps: float | None = None
    guard: protection.Protection | None = None
    behind: bool = False

    @property
    def verdict(self) -> str:
        """Go where the fuse opens first for sure, a caution where it is likely to."""
        return GO if self.guard.holds else CAUTION if self.guard.likely else STOP


def shorts_of(
    reader: Reader, data: ElectricData, am: wiring.Ampacity, insulation: float, *, worst: bool = False
) -> tuple[Short, ...]:
    """Return what a short at each joint draws, engine running and from the battery alone, against fuse and wire.

    ``worst`` takes the bad end of wire and joints, where the least current flows.
    """
    line, rating = data.line, reader.si("circuit.fuse")
    style = fuse_style(reader)
    gates = fuses.fuse_gates_si(style) if style else None
    cold = [s for s in line.unloaded if s[0].endswith("cold")]
    found = []
    chain = line.chain(np.array([s[1] for s in cold]), line.r20, worst=worst, source_ohm=line.source_ohm)
    for fault in circuit.shorts_si(chain, frame_ohm=FRAME_OHM):
        through = next(iter(fault.fuses.values())) if fault.behind_fuse else None
        for i, state in enumerate(cold):
            amps = float(np.broadcast_to(fault.amps, len(cold))[i])
            if through is None or rating is None or gates is None:
                found.append(Short(fault.at, fault.to, state[0].split(",")[0], amps, behind=fault.behind_fuse))
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
            found.append(Short(fault.at, fault.to, state[0].split(",")[0], amps, mine, guard, behind=True))
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


def short_check(draft: Draft, reader: Reader, data: ElectricData, lying: tuple[Lying, ...]) -> None:
    """Add the table of shorts, the current at the far end, and the verdict on fuse against wire."""
    id, name, limit = "electric.short", "a short: fuse before wire", "the fuse opens first"
    ends = [shorts_of(reader, data, am, insulation) for am, insulation in lying]
    _short_sheet(draft, reader, ends[0])
    far = [s for s in ends[0] if s.to == "across the coil"]
    first, *others = far
    more = "".join(f", {reader.show(s.amps, 'current')} {s.supply}" for s in others)
    draft.fact(
        "short at the far end",
        reader.number(first.amps, "current", f"{{}} {first.supply}{more}"),
        f"across the coil; battery and cables {1e3 * data.line.source_ohm:.3g} mΩ; "
        f"{_heat(reader, data, min(s.amps for s in far))} in the wire",
    )
    # a fuse opens late at the least current, a wire is hurt soon at the most: both ends of the line are judged
    low = [shorts_of(reader, data, am, insulation, worst=True) for am, insulation in lying]
    worst = [_worst((*a, *b)) for a, b in zip(ends, low, strict=True)]
    if worst[0] is None:
        _unjudged(draft, reader, id, name, limit)
        return
    bad, verdict = worst[-1], worst[-1].verdict
    if worst[0].verdict != verdict:
        words = "Whether the fuse opens before the wire is hurt depends on the wire's insulation."
        draft.missing(reader, id, name, ("circuit.insulation",), words, limit=limit)
        return
    least = far[first_least([s.amps for s in far])]
    draft.check(
        id=id,
        name=name,
        found=reader.number(least.amps, "current", f"{{}} at the far end, worst at {bad.at}"),
        wanted=limit,
        verdict=verdict,
        reason=f"{sentence(bad.at)} to {'the frame' if bad.to == 'frame' else 'its other side'}, "
        f"{bad.supply}: {bad.guard.reason}.",
        remedy=unless_go(verdict, "Keep the run short, so that a short draws several times the fuse's rating."),
        source="iso8820-3; own-derivation",
        guards=verdict == STOP,
    )


def _unjudged(draft: Draft, reader: Reader, id: str, name: str, limit: str) -> None:
    """Add the check of shorts that cannot be judged; a circuit without a fuse has its stop already."""
    if reader.is_none("circuit.fuse"):
        return
    if reader.si("circuit.fuse") is None:
        draft.missing(reader, id, name, ("circuit.fuse",), "No fuse is in the build file yet.", limit=limit)
        return
    draft.check(
        id=id,
        name=name,
        found="not in the tables",
        wanted=limit,
        verdict=CAUTION,
        reason="The tables have no opening times for a circuit breaker.",
        remedy="Compare the breaker maker's curve with the currents in the table of shorts.",
        source="trade-practice",
    )


def _heat(reader: Reader, data: ElectricData, amps: float) -> str:
    """Return the heat of a current in the wire, for a foot or a metre."""
    watts = float(contacts.contact_heat.si(amps, resistance=data.line.size.r20))
    return f"{watts * FOOT:.2g} W/ft" if reader.system == "inch" else f"{watts:.2g} W/m"


def _short_sheet(draft: Draft, reader: Reader, shorts: tuple[Short, ...]) -> None:
    rows = []
    for s in shorts:
        last: tuple[Value, ...] = ("", "", _unjudged_words(reader, s))
        if s.guard is not None:
            last = (
                _time(reader, s.guard.fuse_seconds),
                _time(reader, s.guard.wire.seconds),
                "fuse first" if s.guard.holds else "likely the fuse" if s.guard.likely else "wire first",
            )
        rows.append((s.at, s.to, s.supply, reader.number(s.amps, "current"), *last))
    draft.tables.append(
        Table(
            "A short at each point",
            ("at", "to", "supply", "current", "fuse opens within", "wire lasts", "first"),
            tuple(rows),
            "The fuse's time is the longest that its family may take. The wire starts as hot as its insulation is "
            f"rated for. The way through the frame is taken as {1e3 * FRAME_OHM:.0f} mΩ.",
        )
    )


def _unjudged_words(reader: Reader, short: Short) -> str:
    """Return what is said of a point whose fuse is not held against the wire."""
    if short.behind:
        return "behind the breaker: its maker's curve decides"
    if reader.get("circuit.fuse") is None and not reader.is_none("circuit.fuse"):
        return "no fuse is known yet"
    return "no fuse" if reader.is_none("circuit.fuse") else "before the fuse: nothing protects this"


def _time(reader: Reader, seconds: float) -> Number | str:
    return "never" if math.isinf(seconds) else reader.number(seconds, "time")


__all__ = ["Lying", "Short", "short_check", "shorts_of"]

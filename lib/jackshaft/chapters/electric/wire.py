"""Wire and fuse of the clutch circuit: ampacity, fuse window, and a short at every point."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.chapters.electric.line import FRAME_OHM, FUSE_STYLES, ZERO_C, Line
from jackshaft.mechanics import circuit, contacts, fuses, protection, wiring
from jackshaft.results.checks import CAUTION, GO, STOP, Table, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import at_most, first_least

#: Insulation that nobody looked at lies between these classes; a verdict stands where both ends agree.
LOWEST_CLASS, HIGHEST_CLASS = 60.0 + ZERO_C, 200.0 + ZERO_C
#: Cold lamp over hot lamp, and for how long (s): from memory.
INRUSH, INRUSH_SECONDS = 10.0, 0.05
RULE = "A fuse is held at or under what the wire may carry as it lies; the 150 % that a boat code allows is not used."


class Short(NamedTuple):
    """A short at one joint: where, to what, supply, currents (A), and fuse against wire (None before the fuse)."""

    at: str
    to: str
    state: str
    amps: float
    fuse_amps: float | None
    guard: protection.Protection | None


def work_up(draft: Draft, reader: Reader, data) -> None:
    """Add the checks of wire and fuse to the chapter."""
    if data is None:
        keys = [k for k in ("circuit.fuse", "circuit.wire", "circuit.insulation") if reader.get(k) is None]
        if keys:
            reader.note_missing(*keys)
            draft.checks.append(
                undecided(
                    "electric.fuse", "fuse against wire and load", keys, "Fuse, wire or insulation is not known yet."
                )
            )
        return
    line = data.line
    insulation = reader.si("circuit.insulation")
    known = insulation is not None
    if not known:
        reader.note_missing("circuit.insulation")
    ends = (insulation,) if known else (LOWEST_CLASS, HIGHEST_CLASS)
    lying = tuple(ampacity_of(reader, line, t) for t in ends)
    load = float(np.max(wire_amps(data)))
    _ampacity_check(draft, reader, line, lying, load)
    _fuse_check(draft, reader, line, lying, load)
    _short_check(draft, reader, data, tuple(zip(lying, ends, strict=True)))
    _terminal_fact(draft, reader, line, load)


def ampacity_of(reader: Reader, line: Line, insulation: float) -> wiring.Ampacity:
    """Return what the wire may carry as it lies, in a class of insulation (K)."""
    return wiring.ampacity.si(
        line.size.area,
        insulation=insulation,
        engine_space=bool(reader.get("circuit.engine_space")),
        bundled=reader.get("circuit.bundled") or 1,
    )


def fitting_fuse(reader: Reader, data) -> float | None:
    """Return the listed blade fuse (A) that carries the load and protects the wire, or None."""
    load = float(np.max(wire_amps(data)))
    return fuses.choose_fuse.si(
        load, ampacity=ampacity_of(reader, data.line, reader.si("circuit.insulation", LOWEST_CLASS)).amps
    ).rating


def wire_amps(data) -> np.ndarray:
    """Return the current of each state in the part that carries most."""
    return np.max(np.delete(data.steps.amps, data.steps.parts.index(circuit.COIL), axis=0), axis=0)


def _lying(reader: Reader, am: wiring.Ampacity, known: bool = True) -> str:
    words = [f"{reader.show(am.table_amps, 'current')} by the table ({_basis(reader, am)})"]
    if am.space_factor != 1.0:
        words.append(f"× {am.space_factor:g} in the engine space")
    if am.bundle_factor != 1.0:
        words.append(f"× {am.bundle_factor:g} in its bundle")
    if not known:
        words.append(
            f"insulation not known, between {reader.show(LOWEST_CLASS, 'temperature')} and "
            f"{reader.show(HIGHEST_CLASS, 'temperature')} it makes no difference"
        )
    return ", ".join(words)


def _basis(reader: Reader, am: wiring.Ampacity) -> str:
    """Return what an ampacity rests on; a metric build is told the copper area only."""
    if reader.system == "metric":
        return am.basis.split(", ", 1)[-1] if "AWG" in am.basis else am.basis.replace("mm2", "mm²")
    return am.basis.replace("mm2", "mm²")


def _ampacity_check(draft: Draft, reader: Reader, line: Line, lying: tuple[wiring.Ampacity, ...], load: float) -> None:
    id, name = "electric.ampacity", "wire against its current"
    fits = [at_most(load, am.amps) for am in lying]
    if fits[0] != fits[-1]:
        draft.checks.append(
            undecided(
                id,
                name,
                ("circuit.insulation",),
                "In the lowest class of insulation this wire would be too small; say which it is.",
                limit=reader.show(lying[0].amps, "current"),
            )
        )
        return
    am, known = lying[0] if fits[0] else lying[-1], len(lying) == 1
    verdict = GO if fits[0] and am.inside else CAUTION if fits[0] else STOP
    size = _larger(reader, am, load)
    draft.check(
        id,
        name,
        reader.show(load, "current"),
        f"{reader.show(am.amps, 'current')} or less",
        verdict,
        f"{line.wire_words}: {_lying(reader, am, known)}."
        + (
            ""
            if am.inside
            else " Wire this thin is not in the table: the figure is extended from it, and single wires break by "
            "vibration."
        ),
        "" if verdict == GO else f"Use {size} or larger." if size else "Use larger wire.",
        "cfr-183-425 table 5; bundling-ul1426" if line.size.system != "mm2" else "iso10133; bundling-ul1426",
        guards=verdict == STOP,
    )


def _larger(reader: Reader, am, load: float) -> str:
    """Return the smallest listed size that carries the load as the wire lies."""
    system = "AWG" if reader.system == "inch" else "mm2"
    insulation = reader.si("circuit.insulation", LOWEST_CLASS)
    rows = sorted((r for r in tables.table("wire").rows if r["system"] == system), key=lambda r: r["area_mm2"])
    for row in rows:
        found = wiring.ampacity.si(
            row["area_mm2"] * 1e-6,
            insulation=insulation,
            engine_space=am.space_factor != 1.0,
            bundled=reader.get("circuit.bundled") or 1,
        )
        if found.inside and found.amps >= load:
            return f"{row['size']} AWG" if system == "AWG" else f"{row['size']} mm²"
    return ""


def _fuse_check(draft: Draft, reader: Reader, line: Line, lying: tuple[wiring.Ampacity, ...], load: float) -> None:
    id, name = "electric.fuse", "fuse against wire and load"
    am, known = lying[0], len(lying) == 1
    kind = reader.get("circuit.fuse_kind") or "blade"
    choice = fuses.choose_fuse.si(load, ampacity=am.amps)
    advice = (
        f"{choice.rating:g} A {kind if kind != 'circuit breaker' else 'blade'} fuse"
        if choice.rating is not None
        else ""
    )
    nothing = choice.reason[0].upper() + choice.reason[1:] + "."
    window = (
        f"{reader.show(choice.usual_least, 'current')} to {reader.show(choice.most, 'current')}"
        if choice.usual_least <= choice.most
        else "none for this wire and load"
    )
    rating = reader.si("circuit.fuse")
    if reader.is_none("circuit.fuse"):
        draft.check(
            id,
            name,
            "no fuse",
            window,
            STOP,
            "Without a fuse the battery feeds any chafed spot until the wire burns.",
            f"Fit a {advice} within 7 in (178 mm) of the battery's post." if advice else nothing,
            "abyc-e11, overcurrent protection at the source",
            guards=True,
        )
        return
    if rating is None:
        reader.note_missing("circuit.fuse")
        draft.checks.append(
            undecided(
                id,
                name,
                ("circuit.fuse",),
                "No fuse is in the build file: without one the battery feeds any chafed spot until "
                "the wire burns. " + (f"A {advice} would carry the load and protect this wire." if advice else nothing),
                limit=window,
            )
        )
        return
    found = [fuses.fuse_check.si(rating, load=load, ampacity=a.amps) for a in lying]
    if found[0].protects_wire != found[-1].protects_wire:
        draft.checks.append(
            undecided(
                id,
                name,
                ("circuit.insulation",),
                "Whether this fuse protects the wire depends on the class of its insulation.",
                limit=window,
            )
        )
        return
    judged, am = found[-1], lying[-1] if not found[-1].protects_wire else am
    guards = not judged.protects_wire
    tires = _inrush(reader, line, rating)
    verdict = CAUTION if tires or not judged.holds_load else GO
    if guards or not at_most(judged.load_share, 1.0):
        verdict = STOP
    draft.check(
        id,
        name,
        f"{rating:g} A",
        window,
        verdict,
        f"{judged.reason[0].upper()}{judged.reason[1:]} ({_lying(reader, am, known)}). {tires}{RULE}",
        "" if verdict == GO else f"Fit a {advice}." if advice else nothing,
        "fuse-glossary; " + ("iso10133" if line.size.system == "mm2" else "cfr-183-425 table 5"),
        guards=guards,
    )


def _inrush(reader: Reader, line: Line, rating: float) -> str:
    """Return why the fuse may open when cold lamps on the clutch's wire are switched on; empty where it lives."""
    lamps = [t for t in line.taps if t.ohm is not None]
    kind = reader.get("circuit.fuse_kind") or "blade"
    if not lamps or kind not in FUSE_STYLES:
        return ""
    supply = max(s[1] for s in line.states)
    rush = supply / line.r20 + INRUSH * sum(supply / t.ohm for t in lamps)
    # wire and joints hold the rush down
    rush = min(rush, supply / line.line_ohm) if line.line_ohm else rush
    gates = fuses.fuse_gates_si(FUSE_STYLES[kind])
    if bool(fuses.survives_inrush_si(rush, seconds=INRUSH_SECONDS, rating=rating, gates=gates)):
        return ""
    return f"Cold lamps on the same wire draw {reader.show(rush, 'current')} for a moment, which may open it. "


def shorts_of(reader: Reader, data, am, insulation: float) -> tuple[Short, ...]:
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


def _short_check(draft: Draft, reader: Reader, data, lying) -> None:
    id, name, limit = "electric.short", "a short: fuse before wire", "the fuse opens first"
    ends = [shorts_of(reader, data, am, insulation) for am, insulation in lying]
    _short_sheet(draft, reader, ends[0])
    far = [s for s in ends[0] if s.to == "across the coil"]
    draft.fact(
        "short at the far end",
        ", ".join(f"{reader.show(s.amps, 'current')} {s.state.split(',')[0]}" for s in far),
        f"across the coil; battery and cables {1e3 * data.line.source_ohm:.3g} mΩ; "
        f"{_heat(reader, data, min(s.amps for s in far))} in the wire",
    )
    worst = [_worst(shorts) for shorts in ends]
    if worst[0] is None:
        if reader.is_none("circuit.fuse"):
            return
        if reader.si("circuit.fuse") is None:
            draft.checks.append(
                undecided(id, name, ("circuit.fuse",), "No fuse is in the build file yet.", limit=limit)
            )
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
        return
    if _verdict(worst[0]) != _verdict(worst[-1]):
        draft.checks.append(
            undecided(
                id,
                name,
                ("circuit.insulation",),
                "Whether the fuse opens before the wire is hurt depends on its insulation.",
                limit=limit,
            )
        )
        return
    bad, verdict = worst[-1], _verdict(worst[-1])
    least = far[first_least([s.amps for s in far])]
    draft.check(
        id,
        name,
        f"{reader.show(least.amps, 'current')} at the far end, worst at {bad.at}",
        limit,
        verdict,
        f"{bad.at[0].upper()}{bad.at[1:]} to {'the frame' if bad.to == 'frame' else 'its other side'}, "
        f"{bad.state.split(',')[0]}: {bad.guard.reason}.",
        "" if verdict == GO else _short_cure(reader, data, lying[0][0]),
        "iso8820-3; own-derivation",
        guards=verdict == STOP,
    )


def _heat(reader: Reader, data, amps: float) -> str:
    """Return the heat of a current in the wire, for a foot or a metre."""
    watts = float(contacts.contact_heat.si(amps, resistance=data.line.size.r20))
    return f"{watts * 0.3048:.2g} W/ft" if reader.system == "inch" else f"{watts:.2g} W/m"


def _short_cure(reader: Reader, data, am) -> str:
    choice = fuses.choose_fuse.si(float(np.max(wire_amps(data))), ampacity=am.amps)
    if choice.rating is not None and choice.rating < reader.si("circuit.fuse"):
        return f"Fit a {choice.rating:g} A fuse at the battery, or larger wire behind this one."
    return "Larger wire, or a shorter run, so that a short draws several times the fuse's rating."


def _short_sheet(draft, reader, shorts: tuple[Short, ...]) -> None:
    rows = []
    for s in shorts:
        if s.guard is None:
            last = ("", "", "before the fuse: nothing protects this" if s.fuse_amps is None else "")
        else:
            last = (
                _seconds(reader, s.guard.fuse_seconds),
                _seconds(reader, s.guard.wire.seconds),
                "fuse first" if s.guard.holds else "likely the fuse" if s.guard.likely else "wire first",
            )
        rows.append((s.at, s.to, s.state.split(",")[0], reader.show(s.amps, "current"), *last))
    draft.tables.append(
        Table(
            "A short at each point",
            ("at", "to", "supply", "current", "fuse opens within", "wire lasts", "first"),
            tuple(rows),
            "The fuse's time is the longest that its family may take; the wire starts as hot as its insulation is "
            f"rated for. The way through the frame is taken as {1e3 * FRAME_OHM:.0f} mΩ.",
        )
    )


def _seconds(reader: Reader, seconds: float) -> str:
    return "never" if math.isinf(seconds) else reader.show(seconds, "time")


def _terminal_fact(draft, reader, line: Line, load: float) -> None:
    try:
        most = float(wiring.terminal_limit.si(line.size.area))
    except ValueError:
        return
    note = "30 K rise; from the table of terminals"
    draft.fact(
        "6.3 mm tab terminal on this wire",
        f"{reader.show(most, 'current')} all day",
        note if load <= most else note + "; this load is above it: use a larger terminal or solder and crimp",
    )


__all__ = ["LOWEST_CLASS", "Short", "ampacity_of", "fitting_fuse", "shorts_of", "wire_amps", "work_up"]

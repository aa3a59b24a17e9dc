"""Wire and fuse of the clutch circuit: ampacity, and the window of fuses that fit."""

from __future__ import annotations

import numpy as np

from jackshaft import tables
from jackshaft.chapters.electric.data import ElectricData
from jackshaft.chapters.electric.joints import FUSE_STYLES
from jackshaft.chapters.electric.line import ZERO_C, Line, window, wire_amps
from jackshaft.chapters.electric.shorts import short_check
from jackshaft.mechanics import contacts, fuses, wiring
from jackshaft.results.checks import CAUTION, GO, STOP, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value
from jackshaft.units import at_most

#: Insulation that nobody looked at lies between these classes; a verdict stands where both ends agree.
LOWEST_CLASS, HIGHEST_CLASS = 60.0 + ZERO_C, 200.0 + ZERO_C
#: Cold lamp over hot lamp, and for how long (s): from memory.
INRUSH, INRUSH_SECONDS = 10.0, 0.05
RULE = "A fuse is held at or under what the wire may carry as it lies; the 150 % that a boat code allows is not used."


def work_up(draft: Draft, reader: Reader, data: ElectricData | None) -> None:
    """Add the checks of wire and fuse to the chapter."""
    if data is None:
        keys = [k for k in ("circuit.fuse", "circuit.wire", "circuit.insulation") if reader.get(k) is None]
        if keys:
            draft.lacks(
                reader,
                "electric.fuse",
                "fuse against wire and load",
                keys,
                "Fuse, wire or insulation is not known yet.",
            )
        return
    line = data.line
    insulation = reader.si("circuit.insulation")
    known = insulation is not None
    if not known:
        reader.note_missing("circuit.insulation")
    ends = (insulation,) if known else (LOWEST_CLASS, HIGHEST_CLASS)
    lying = tuple(ampacity_of(reader, line, t) for t in ends)
    load = float(np.max(wire_amps(data.steps)))
    _ampacity_check(draft, reader, line, lying, load)
    _fuse_check(draft, reader, line, lying, load)
    short_check(draft, reader, data, tuple(zip(lying, ends, strict=True)))
    _terminal_fact(draft, reader, line, load)


def ampacity_of(reader: Reader, line: Line, insulation: float) -> wiring.Ampacity:
    """Return what the wire may carry as it lies, in a class of insulation (K)."""
    return wiring.ampacity.si(
        line.size.area,
        insulation=insulation,
        engine_space=bool(reader.get("circuit.engine_space")),
        bundled=reader.get("circuit.bundled") or 1,
    )


def fitting_fuse(reader: Reader, data: ElectricData) -> float | None:
    """Return the listed blade fuse (A) that carries the load and protects the wire, or None."""
    load = float(np.max(wire_amps(data.steps)))
    return fuses.choose_fuse.si(
        load, ampacity=ampacity_of(reader, data.line, reader.si("circuit.insulation", LOWEST_CLASS)).amps
    ).rating


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
                limit=reader.number(lying[0].amps, "current"),
            )
        )
        return
    am, known = lying[0] if fits[0] else lying[-1], len(lying) == 1
    verdict = GO if fits[0] and am.inside else CAUTION if fits[0] else STOP
    size, source = _larger(reader, am, load), _table(line)
    draft.check(
        id,
        name,
        reader.number(load, "current"),
        reader.number(am.amps, "current", "{} or less", source=source),
        verdict,
        f"{line.wire_words}: {_lying(reader, am, known)}."
        + (
            ""
            if am.inside
            else " Wire this thin is not in the table: the figure is extended from it, and single wires break by "
            "vibration."
        ),
        "" if verdict == GO else f"Use {size} or larger." if size else "Use larger wire.",
        f"{source}; bundling-ul1426",
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


def _table(line: Line) -> str:
    """Return the source of the ampacity of this wire, with the place in it."""
    return "iso10133" if line.size.system == "mm2" else "cfr-183-425 table 5"


def _fuse_check(draft: Draft, reader: Reader, line: Line, lying: tuple[wiring.Ampacity, ...], load: float) -> None:
    id, name = "electric.fuse", "fuse against wire and load"
    kind = reader.get("circuit.fuse_kind") or "blade"
    rating, choice = reader.si("circuit.fuse"), fuses.choose_fuse.si(load, ampacity=lying[0].amps)
    advice = f"{choice.rating:g} A {kind if kind != 'circuit breaker' else 'blade'} fuse" if choice.rating else ""
    nothing = choice.reason[0].upper() + choice.reason[1:] + "."
    wanted: Value = "none for this wire and load"
    if choice.usual_least <= choice.most:
        # no fuse at all is judged from the lower end
        wanted = window(reader, rating or 0.0, choice.usual_least, choice.most, "current")
    if reader.is_none("circuit.fuse"):
        draft.check(
            id,
            name,
            "no fuse",
            wanted,
            STOP,
            "Without a fuse the battery feeds any chafed spot until the wire burns.",
            f"Fit a {advice} within 7 in (178 mm) of the battery's post." if advice else nothing,
            "abyc-e11, overcurrent protection at the source",
            guards=True,
        )
        return
    if rating is None:
        words = "No fuse is in the build file: without one the battery feeds any chafed spot until the wire burns. "
        words += f"A {advice} would carry the load and protect this wire." if advice else nothing
        draft.lacks(reader, id, name, ("circuit.fuse",), words, limit=wanted)
        return
    found = [fuses.fuse_check.si(rating, load=load, ampacity=a.amps) for a in lying]
    if found[0].protects_wire != found[-1].protects_wire:
        words = "Whether this fuse protects the wire depends on the class of its insulation."
        draft.checks.append(undecided(id, name, ("circuit.insulation",), words, limit=wanted))
        return
    judged, am = found[-1], lying[0 if found[-1].protects_wire else -1]
    guards = not judged.protects_wire
    tires = _inrush(reader, line, rating)
    verdict = CAUTION if tires or not judged.holds_load else GO
    if guards or not at_most(judged.load_share, 1.0):
        verdict = STOP
    draft.check(
        id,
        name,
        reader.number(rating, "current", f"{rating:g} A", known=reader.how("circuit.fuse")),
        wanted,
        verdict,
        f"{judged.reason[0].upper()}{judged.reason[1:]} ({_lying(reader, am, len(lying) == 1)}). {tires}{RULE}",
        "" if verdict == GO else f"Fit a {advice}." if advice else nothing,
        f"fuse-glossary; {_table(line)}",
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


def _terminal_fact(draft, reader, line: Line, load: float) -> None:
    try:
        most = float(contacts.terminal_limit.si(line.size.area))
    except ValueError:
        return
    note = "30 K rise; from the table of terminals"
    draft.fact(
        "6.3 mm tab terminal on this wire",
        reader.number(most, "current", "{} all day"),
        note if load <= most else note + "; this load is above it: use a larger terminal or solder and crimp",
    )


__all__ = ["ampacity_of", "fitting_fuse", "work_up"]

"""Wire and fuse of the clutch circuit: ampacity, and the window of fuses that fit."""

from __future__ import annotations

from jackshaft import tables
from jackshaft.chapters.electric.data import ElectricData
from jackshaft.chapters.electric.joints import fuse_style
from jackshaft.chapters.electric.line import RESISTOR, Line, largest_load
from jackshaft.chapters.electric.shorts import short_check
from jackshaft.chapters.electric.words import fuse_place, unless_go, window
from jackshaft.mechanics import contacts, fuses, wiring
from jackshaft.parts.words import sentence
from jackshaft.results.checks import CAUTION, GO, STOP
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value
from jackshaft.units import ZERO_C, at_most

#: Insulation that nobody looked at lies between these classes; a verdict stands where both ends agree.
LOWEST_CLASS, HIGHEST_CLASS = 60.0 + ZERO_C, 200.0 + ZERO_C
#: Cold lamp over hot lamp, and for how long (s): from memory.
INRUSH, INRUSH_SECONDS = 10.0, 0.05
#: The engine space at 50 °C, as the table of derating has it, over the 20 °C that fuses are rated at (K).
ENGINE_SPACE_RISE = 30.0
FUSE, FUSE_NAME = "electric.fuse", "fuse against wire and load"
RULE = "A fuse may be rated no higher than what the wire may carry as it lies; the 150 % of a boat code is not used."


def work_up(draft: Draft, reader: Reader, data: ElectricData | None) -> None:
    """Add the checks of wire and fuse to the chapter."""
    if data is None:
        keys = [k for k in ("circuit.fuse", "circuit.wire", "circuit.insulation") if reader.get(k) is None]
        if keys:
            draft.missing(reader, FUSE, FUSE_NAME, keys, "Fuse, wire or insulation is not known yet.")
        return
    line = data.line
    insulation = reader.si("circuit.insulation")
    if insulation is None:
        reader.note_missing("circuit.insulation")
    ends = (LOWEST_CLASS, HIGHEST_CLASS) if insulation is None else (insulation,)
    lying = tuple(ampacity_of(reader, line.size.area, t) for t in ends)
    load = largest_load(data.steps)
    _ampacity_check(draft, reader, line, lying, load)
    _fuse_check(draft, reader, line, lying, load)
    short_check(draft, reader, data, tuple(zip(lying, ends, strict=True)))
    _terminal_fact(draft, reader, line, load)


def ampacity_of(reader: Reader, area: float, insulation: float) -> wiring.Ampacity:
    """Return what wire of a copper area (m²) may carry as it lies, in a class of insulation (K)."""
    return wiring.ampacity.si(
        area,
        insulation=insulation,
        engine_space=bool(reader.get("circuit.engine_space")),
        bundled=reader.get("circuit.bundled") or 1,
    )


def choice_of(reader: Reader, data: ElectricData) -> tuple[fuses.FuseChoice, wiring.Ampacity]:
    """Return which listed blade fuse carries the load and protects the wire, and what that wire may carry."""
    lying = ampacity_of(reader, data.line.size.area, reader.si("circuit.insulation", LOWEST_CLASS))
    return fuses.choose_fuse.si(largest_load(data.steps), ampacity=lying.amps), lying


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


def _printed_classes(reader: Reader) -> str:
    """Return what the types printed on wires say of their class."""
    types: dict[float, list[str]] = {}
    for row in tables.table("wire_types").rows:
        types.setdefault(row["insulation_c"], []).append(row["type"])
    words = [f"{' or '.join(types[c])} is {reader.show(c + ZERO_C, 'temperature', decimals=0)}" for c in sorted(types)]
    return f" The type printed on it tells: {', '.join(words)}."


def _basis(reader: Reader, am: wiring.Ampacity) -> str:
    """Return what an ampacity rests on; a metric build shows the copper area only."""
    gauge_too = reader.system == "metric" and "AWG" in am.basis
    return am.basis.split(", ", 1)[-1] if gauge_too else am.basis.replace("mm2", "mm²")


def _ampacity_check(draft: Draft, reader: Reader, line: Line, lying: tuple[wiring.Ampacity, ...], load: float) -> None:
    id, name = "electric.ampacity", "wire against its current"
    fits = [at_most(load, am.amps) for am in lying]
    if fits[0] != fits[-1]:
        words = (
            "In the lowest class of insulation this wire would be too small. The class of this one is not known yet."
        )
        limit = reader.number(lying[0].amps, "current", "{} or less")
        draft.missing(reader, id, name, ("circuit.insulation",), words + _printed_classes(reader), limit=limit)
        return
    am, known = lying[0] if fits[0] else lying[-1], len(lying) == 1
    verdict = GO if fits[0] and am.inside else CAUTION if fits[0] else STOP
    source = _table(line)
    thin = " Wire this thin is not in the table. The figure is extended from it, and single wires break by vibration."
    draft.check(
        id=id,
        name=name,
        found=reader.number(load, "current"),
        wanted=reader.number(am.amps, "current", "{} or less", source=source),
        verdict=verdict,
        reason=f"{line.wire_words}: {_lying(reader, am, known)}." + ("" if am.inside else thin),
        remedy=unless_go(verdict, "Use larger wire, or lay it cooler and apart from others."),
        source=f"{source}; bundling-ul1426",
        guards=verdict == STOP,
    )


def _table(line: Line) -> str:
    """Return the source of the ampacity of this wire, with the place in it."""
    return "iso10133" if line.size.system == "mm2" else "cfr-183-425 table 5"


def _fuse_check(draft: Draft, reader: Reader, line: Line, lying: tuple[wiring.Ampacity, ...], load: float) -> None:
    id, name = FUSE, FUSE_NAME
    rating, choice = reader.si("circuit.fuse"), fuses.choose_fuse.si(load, ampacity=lying[0].amps)
    advice = f"A {choice.rating:g} A blade fuse would carry the load and protect this wire." if choice.rating else ""
    nothing = f"{sentence(choice.reason)}."
    chafed = "Without a fuse the battery feeds any chafed spot until the wire burns."
    wanted: Value = "none for this wire and load"
    if choice.usual_least <= choice.most:
        # no fuse at all is judged from the lower end
        wanted = window(reader, rating or 0.0, choice.usual_least, choice.most, "current")
    if reader.is_none("circuit.fuse"):
        draft.check(
            id=id,
            name=name,
            found="no fuse",
            wanted=wanted,
            verdict=STOP,
            reason=chafed,
            remedy=f"Fit a fuse {fuse_place(reader)}, no larger than the wire carries.",
            source="abyc-e11, overcurrent protection at the source",
            guards=True,
        )
        return
    if rating is None:
        words = f"No fuse is in the build file yet. {chafed} {advice or nothing}"
        draft.missing(reader, id, name, ("circuit.fuse",), words, limit=wanted)
        return
    found = [fuses.fuse_check.si(rating, load=load, ampacity=a.amps) for a in lying]
    if found[0].protects_wire != found[-1].protects_wire:
        words = f"The wire may carry {reader.show(lying[0].amps, 'current')} in the weakest class of insulation and "
        words += f"{reader.show(lying[-1].amps, 'current')} in the best: a {rating:g} A fuse protects it in some "
        words += "classes only, and is a stop in the others."
        words += f" {advice}" if choice.rating else ""
        draft.missing(reader, id, name, ("circuit.insulation",), words + _printed_classes(reader), limit=wanted)
        return
    judged, am = found[-1], lying[0 if found[-1].protects_wire else -1]
    guards = not judged.protects_wire
    rush = _inrush(reader, line, rating)
    warm = _warm(reader, rating, load) if judged.holds_load else ""
    verdict = CAUTION if rush or warm or not judged.holds_load else GO
    if guards or not at_most(judged.load_share, 1.0):
        verdict = STOP
    high = _over_its_volts(reader, line)
    if high:
        verdict, guards = STOP, True
    draft.check(
        id=id,
        name=name,
        found=reader.number(rating, "current", f"{rating:g} A", known=reader.how("circuit.fuse")),
        wanted=wanted,
        verdict=verdict,
        reason=f"{sentence(judged.reason)} ({_lying(reader, am, len(lying) == 1)}). {high}{rush}{warm}{RULE}",
        remedy=unless_go(verdict, _fuse_advice(line, bool(high), guards)),
        source=f"fuse-glossary; {_table(line)}",
        guards=guards,
    )


def _fuse_advice(line: Line, high: bool, guards: bool) -> str:
    """Return what helps against a fuse that does not fit wire and load."""
    if high:
        return "Use a fuse that is made for this voltage."
    if guards:
        return "Fit larger wire, or one that lies cooler, and a fuse between its load and what it may carry."
    if any(t.name != RESISTOR for t in line.taps):
        return "Feed the other loads by a wire of their own."
    return "Fit a larger fuse, no larger than the wire carries."


def _over_its_volts(reader: Reader, line: Line) -> str:
    """Return why a fuse may not put out the arc at this supply; empty where it does, or the tables have none of it."""
    rated = [r["voltage_v"] for r in tables.table("fuse_ratings").where(style=fuse_style(reader) or "").rows]
    supply = max(s[1] for s in line.states)
    if not rated or at_most(supply, max(rated)):
        return ""
    return f"Such a fuse is made for {max(rated):g} V, and above that its arc may not go out. "


def _inrush(reader: Reader, line: Line, rating: float) -> str:
    """Return why the fuse may open when cold lamps on the clutch's wire are switched on; empty where it holds."""
    lamps, style = [t for t in line.taps if t.ohm is not None and t.name != RESISTOR], fuse_style(reader)
    if not lamps or style is None:
        return ""
    supply = max(s[1] for s in line.states)
    rush = supply / line.r20 + INRUSH * sum(supply / t.ohm for t in lamps)
    # wire and joints limit the rush
    rush = min(rush, supply / line.line_ohm) if line.line_ohm else rush
    gates = fuses.fuse_gates_si(style)
    if bool(fuses.survives_inrush_si(rush, seconds=INRUSH_SECONDS, rating=rating, gates=gates)):
        return ""
    return f"Cold lamps on the same wire draw {reader.show(rush, 'current')} for a moment, which may open the fuse. "


def _warm(reader: Reader, rating: float, load: float) -> str:
    """Return why the fuse may open all day long in the engine space's warmth; empty where it holds, or lies cool."""
    style = fuse_style(reader)
    rows = tables.table("circuit_facts").where(part="fuse", item=f"rating loss with warmth, {style}").rows
    if not rows or not reader.get("circuit.engine_space"):
        return ""
    share = tables.table("circuit_facts").one(part="fuse", item="steady load over rating")["high"]
    good = rating * (1 - rows[0]["high"] / 100 * ENGINE_SPACE_RISE)
    if at_most(load, share * good):
        return ""
    return (
        f"In the engine space's warmth it is as good as one of {reader.show(good, 'current')} and should carry "
        f"{100 * share:.0f} % of that all day. "
    )


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


__all__ = ["choice_of", "work_up"]

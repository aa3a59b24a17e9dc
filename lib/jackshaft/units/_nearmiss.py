"""The words for what is nearly right: wrong kind, wrong capitals, ranges, pairs that disagree."""

from __future__ import annotations

import difflib
import math
import re

from ._kinds import EXACT, KINDS, canon, find_unit, kinds_knowing

_PAIR_WORDS = {
    ("torque", "energy"): "a torque is no energy, though both are force times length; for an energy write {J} or ft·lbf",
    ("energy", "torque"): "an energy is no torque; for a torque write N·m or lbf·ft",
    ("rotation", "frequency"): "turns are no cycles of a frequency",
    ("frequency", "rotation"): "write turns a minute or a second",
    ("rotation", "surface speed"): "the surface speed needs the diameter as well",
    ("surface speed", "rotation"): "the rotational speed needs the diameter as well",
    ("length", "wire"): "a wire goes by its area or its gauge, not its diameter",
    ("charge", "current"): "a battery's charge is current times time",
    ("current", "charge"): "a charge is current times time: A·h",
    ("power", "torque"): "the torque needs the speed as well",
    ("torque", "power"): "the power needs the speed as well",
    ("force", "mass"): "a mass is written kg or lb",
    ("mass", "force"): "a force is written N or lbf",
    ("area", "length"): "an area is no length",
    ("force", "torque"): "a torque is force times length",
    ("torque", "force"): "a force has no length in it",
    ("spring rate", "torque"): "lb/in is force for each inch; a torque is lb·in, force times inches",
}
_PRESCRIBED = {
    ("force", "ton"), ("force", "tons"), ("mass", "ton"), ("mass", "tons"),
}
_METRIC_TEXT = re.compile(r"\b(lbf·ft|ft·lbf|lb/in|lb·in|lb|lbf|each inch|inches)\b")


def wrong_unit(typed: str, key: str, kind: str, system: str) -> str:
    """Why this unit is not one of the kind, naming what it is."""
    if (kind, key.casefold()) in _PRESCRIBED:
        return f"{typed} can be a short ton, a long ton or a tonne; give it in kg, t, N or pounds"
    if kind == "length" and key.casefold() in ("ga", "gauge", "awg"):
        return "a gauge number means a different thickness for each metal; measure it and give the thickness"
    cased = [u.spelling for u in EXACT[kind].values() if canon(u.spelling).casefold() == key.casefold()]
    if cased:
        return f"{typed} is not written so: capitals matter here, write {' or '.join(dict.fromkeys(cased))}"
    others = [k for k in kinds_knowing(key) if k not in ("wire", "number") or k == "number"]
    if others:
        found = others[0]
        hint = _PAIR_WORDS.get((found, kind), "")
        if system == "metric":
            hint = "" if _METRIC_TEXT.search(hint) and "N" not in hint and "J" not in hint else hint
            hint = hint.replace(" or lbf·ft", "").replace(" or ft·lbf", "").replace(" or lbf", "").replace(" or lb", "")
        hint = hint.replace("{J}", "J")
        said = " or ".join(KINDS[o].words for o in others[:2])
        return f"{typed} is {said}; this field wants {KINDS[kind].words}" + (f" ({hint})" if hint else "")
    close = difflib.get_close_matches(key, EXACT[kind], n=1, cutoff=0.6)
    hint = f"; did you mean {EXACT[kind][close[0]].spelling}?" if close and system != "metric" else ""
    return f"{typed} is no unit known here{hint}"


def no_number(s: str, kind: str, before: list, why: type[Exception]) -> None:
    """Raise for a text, or the rest of one, that does not start with a number."""
    thread = re.fullmatch(r"\s*M(\d+(?:[.,]\d+)?)(?:\s*[x·-].*)?", s)
    if kind == "length" and thread:
        raise why(f"{s.strip()} is a thread; if its diameter is meant, write {thread[1]} mm")
    raise why("there is no number where one was expected" if not before else "something is left over at the end")


def left_over(s: str, rest: str, kind: str, why: type[Exception]) -> None:
    """Raise for what stands behind a value that was read."""
    if re.match(r"\s*-\s*[\d.]", rest) or re.match(r"\s*(?:to|\.\.)", rest):
        two_numbers(s, rest, why)
    raise why(f"{rest.strip()!r} is left over and means nothing here")


def two_numbers(s: str, rest: str, why: type[Exception]) -> None:
    """Raise for a range, or two numbers with nothing between them."""
    if re.match(r"\s*-", rest):
        raise why("this looks like a range; type one value, or the middle ± half the width")
    raise why("two numbers; type one value with its unit, or a value ± its tolerance")


def agree(first, second, kind: str, system: str, notes: list[str], why: type[Exception]) -> None:
    """Refuse a pair in two units that disagree by more than the coarser one's rounding; note what was kept."""
    apart = abs(first.si - second.si)
    room = max(first.half, second.half) * (1.0 + 1e-6) + 1e-12 * abs(first.si)
    a, b = first.text.strip(), second.text.strip()
    if apart <= room:
        notes.append(f"{a} kept; {b} agrees with it")
        return
    factor = first.unit.factor if first.unit is not None else 1.0
    offset = first.unit.offset if first.unit is not None else 0.0
    label = first.unit.spelling if first.unit is not None else "m²"
    said = f"{a} and {b} are not the same: {b} is {(second.si - offset) / factor:.4g} {label}"
    ratio = abs(second.si / first.si) if first.si and second.si else math.inf
    for size, words in _RATIOS.get(kind, ()):
        if any(abs(ratio / r - 1.0) < 0.08 for r in (size, 1.0 / size)):
            said += f"; they are {size:g} times apart, {words}"
            break
    raise why(said)


_RATIOS = {
    "length": ((10.0, "as if mm and cm were mixed"), (25.4, "as if one unit were meant for both"),
               (12.0, "as if two units were mixed"), (1000.0, "as if a decimal point were lost")),
    "torque": ((12.0, "as if two units of torque were mixed"),),
    "surface speed": ((60.0, "as if seconds and minutes were mixed"),),
    "rotation": ((60.0, "as if seconds and minutes were mixed"),),
}


def sanity(part, kind: str, notes: list[str], why: type[Exception]) -> None:
    """Refuse what cannot be, and note what is hardly meant."""
    if not math.isfinite(part.si):
        raise why("this is not a number")
    unit = part.unit.spelling if part.unit is not None else ""
    if kind == "temperature":
        if part.si < -1e-9:
            raise why("this is below absolute zero")
        if part.si < 173.0:
            notes.append(f"{part.si - 273.15:.0f} °C; was a temperature rise meant?")
    if kind == "surface speed" and abs(part.si) > 150.0:
        per_minute = {"ft/s": "ft/min", "feet/s": "ft/min", "fps": "ft/min", "m/s": "m/min", "in/s": "in/min"}.get(unit)
        if per_minute:
            slow = abs(part.si) * 60.0 / find_unit("surface speed", unit).factor
            notes.append(f"{slow:.0f} {per_minute}: faster than any belt or rim may run; was {per_minute} meant?")
    if kind == "length" and "/" in part.text and unit in ("mm", "cm", "m"):
        notes.append(f"a fraction of {unit} is unusual; was it inches?")

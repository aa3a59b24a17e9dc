"""The words for what is nearly right: wrong kind, wrong capitals, ranges, pairs that disagree."""

from __future__ import annotations

import difflib
import math
import re

from ._constants import INCH, ZERO_C
from ._kinds import EXACT, KINDS, canon, find_unit, kinds_knowing


class Refused(ValueError):
    """Why a text is refused, before the field's own words are added."""


# (kind that was typed, kind that is wanted): what helps; a second text is added in an inch build only.
_HINTS: dict[tuple[str, str], tuple[str, str]] = {
    ("torque", "energy"): (
        "a torque is no energy, though both are force times length: for an energy write J",
        " or ft·lbf",
    ),
    ("energy", "torque"): ("an energy is no torque: for a torque write N·m", " or lbf·ft"),
    ("rotation", "frequency"): ("turns are no cycles: write Hz", ""),
    ("frequency", "rotation"): ("write turns a minute or a second", ""),
    ("rotation", "surface speed"): ("the surface speed needs the diameter as well", ""),
    ("surface speed", "rotation"): ("the rotational speed needs the diameter as well", ""),
    ("length", "wire"): ("a wire goes by its area or its gauge, not its diameter", ""),
    ("charge", "current"): ("a battery's charge is current times time", ""),
    ("current", "charge"): ("a charge is current times time: write A·h", ""),
    ("power", "torque"): ("the torque needs the speed as well", ""),
    ("torque", "power"): ("the power needs the speed as well", ""),
    ("power", "energy"): ("an energy is power times time", ""),
    ("force", "mass"): ("for a mass write kg", " or lb"),
    ("mass", "force"): ("for a force write N", " or lbf"),
    ("force", "torque"): ("a torque is force times length", ""),
    ("torque", "force"): ("a force has no length in it", ""),
    ("spring rate", "torque"): (
        "that is force for each length; a torque is force times length: write N·m",
        " or lbf·in",
    ),
    ("torque", "spring rate"): (
        "that is force times length; a spring rate is force for each length: write N/mm",
        " or lbf/in",
    ),
}
_RATIOS = {
    "length": (
        (10.0, "as if mm and cm were mixed"),
        (INCH * 1e3, "as if one number were meant in both units"),
        (12.0, "as if two units were mixed"),
        (100.0, "as if a decimal point were lost"),
        (1000.0, "as if a decimal point were lost"),
    ),
    "torque": ((12.0, "as if two units of torque were mixed"),),
    "surface speed": ((60.0, "as if seconds and minutes were mixed"),),
    "rotation": ((60.0, "as if seconds and minutes were mixed"),),
}
_PER_MINUTE = {"foot/second": "ft/min", "inch/second": "in/min", "meter/second": "m/min"}
TWO_NUMBERS = "two numbers; type one value with its unit, or a value ± its tolerance"


def wrong_unit(typed: str, key: str, kind: str, system: str) -> str:
    """Why this unit is not one of the kind, naming what it is."""
    folded = key.casefold()
    if kind in ("force", "mass") and folded in ("ton", "tons"):
        return f"{typed} can be a short ton, a long ton or a tonne; give it in kg, t or N"
    if kind == "length" and folded in ("ga", "gauge", "awg", "swg"):
        return "a gauge number means a different thickness for each metal; measure the thickness"
    if kind == "time" and folded in ("year", "years", "yr", "yrs", "month", "months", "week", "weeks"):
        return f"{typed} say nothing of the hours of work; 10 years of 200 h each are 2000 h"
    alike = [u for u in EXACT[kind].values() if canon(u.spelling).casefold() == folded]
    meant = {u.factor: u.spelling for u in reversed(alike)}
    if meant:
        return f"{typed} is not written so: capitals matter here; write {' or '.join(meant.values())}"
    others = [k for k in kinds_knowing(key) if k != "wire"]
    if others:
        found = " or ".join(KINDS[o].words for o in others[:2])
        hint, inch = next((_HINTS[o, kind] for o in others if (o, kind) in _HINTS), ("", ""))
        help_ = f" ({hint}{inch if system == 'inch' else ''})" if hint else ""
        return f"{typed} is {found}; this field wants {KINDS[kind].words}{help_}"
    close = difflib.get_close_matches(key, EXACT[kind], n=1, cutoff=0.6)
    hint = f"; did you mean {EXACT[kind][close[0]].spelling}?" if close and system == "inch" else ""
    return f"{typed} is no unit known here{hint}"


def no_number(s: str, kind: str, later: bool) -> str:
    """Why a text, or the rest of one, that does not start with a number is refused."""
    thread = re.fullmatch(r"\s*M(\d+(?:[.,]\d+)?)(?:\s*[x·-].*)?", s)
    if kind == "length" and thread:
        return f"{s.strip()} is a thread; if its diameter is meant, write {thread[1]} mm"
    return "something is left over at the end" if later else "there is no number where one was expected"


def left_over(rest: str) -> str:
    """Why what stands behind a value is refused."""
    if re.match(r"\s*-\s*[\d.]|\s*\.\.", rest):
        return "this looks like a range; type one value, or the middle ± half the width"
    if re.match(r"\s*[\d.]", rest):
        return TWO_NUMBERS
    return f"{rest.strip()!r} is left over and means nothing here"


def agree(first, second, kind: str, notes: list[str]) -> None:
    """Refuse a pair in two units that disagree by more than the coarser rounding; note what was kept."""
    apart = abs(first.si - second.si)
    room = max(first.half, second.half) * (1.0 + 1e-6) + 1e-12 * abs(first.si)
    a, b = first.text.strip(), second.text.strip()
    if apart <= room:
        # 16 mm and 5/8 in pass as roundings of one another, and are two sizes all the same
        off = kind == "length" and apart > 2e-5
        notes.append(
            f"{a} kept; {b} is {apart * 1e3:.3f} mm off, within its rounding"
            if off
            else f"{a} kept; {b} agrees with it"
        )
        return
    refusal = f"{a} and {b} are not the same"
    unit = first.unit
    if unit is not None:
        refusal += f": {b} is {(second.si - unit.offset) / unit.factor:.4g} {unit.spelling}"
    ratio = abs(second.si / first.si) if first.si and second.si else math.inf
    for size, words in _RATIOS.get(kind, ()):
        if any(abs(ratio / r - 1.0) < 0.06 for r in (size, 1.0 / size)):
            refusal += f"; they are {size:g} times apart, {words}"
            break
    raise Refused(refusal)


def two_values(top: int, bottom: int, kind: str) -> None:
    """Refuse a stroke between two values of a plate, such as 12/24 V or 3000/3600 rpm, that a fraction would swallow.

    Shop fractions have one above the line, or at most a ten or halves of halves below it; only a length or a plain
    number is ever written as more than one whole.
    """
    shop = bottom <= 10 or bottom & (bottom - 1) == 0
    if top == 1 or (shop or top < bottom if kind in ("length", "number") else shop and top < bottom):
        return
    raise Refused(f"{top}/{bottom} can be a fraction, or two values as a plate gives them; write the one that holds")


def sanity(part, kind: str, system: str, notes: list[str]) -> None:
    """Refuse what cannot be, and note what is hardly meant."""
    if not math.isfinite(part.si):
        raise Refused("this is not a number")
    if kind == "temperature":
        if part.si < -1e-9:
            raise Refused("this is below absolute zero")
        if part.si < 173.0:
            notes.append(f"{part.si - ZERO_C:.0f} °C; was a temperature rise meant?")
    unit = part.unit
    if unit is None:
        return
    slow = _PER_MINUTE.get(unit.pint)
    if kind == "surface speed" and slow and abs(part.si) > 150.0:
        there = abs(part.si) / find_unit(kind, slow).factor
        notes.append(f"{there:.0f} {slow}, faster than any belt or rim may run; was {slow} meant?")
    if kind == "length" and "/" in part.text and unit.spelling in ("mm", "cm", "m"):
        asked = "; was it inches?" if system == "inch" else ""
        notes.append(f"a fraction of {unit.spelling} is unusual{asked}")

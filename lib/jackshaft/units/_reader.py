"""The reader of shop text: ``1-3/8 in``, ``4'6"``, ``10 thou``, ``45 ft-lb``, ``12 AWG``, ``35 ± 0.02 mm``.

It stands before the units library, which never sees typed text: read by the library alone, 1 3/8 in
would be 0.375 in, 25,4 mm would be 254 mm and PS petasiemens, all without a word.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from . import _nearmiss as near
from ._kinds import Unit, canon, find_unit, kind_of
from ._measure import Measure, UnitTextError
from ._nearmiss import Refused
from ._numbers import NUMBER, NumberError, number, tidy
from ._wire import awg_area, gauge

_ATOM = (
    r"(?:(?:min|sec|s|K)-1(?!\d)"
    # a power stands on letters only, and is none where the next number starts: 4 ft-2 in, 4 ft2 in
    r"|[^\W\d_]++(?:[234](?![\d./,]|\s*(?:in\b|\"|ft\b)))?"
    r"|°\s?[CFKcfk]?(?![^\W\d_])|[%#'\"])\.?"
)
UNIT = re.compile(rf"\s*-?\s*((?:1\s?/|/)?\s*{_ATOM}(?:\s*[·/.-]?\s*{_ATOM})*)")
_DIVISOR = re.compile(r"/\s*\(([^()\d]*\d?)\)")
_PAIR_BRACKET = re.compile(r"(.*?)\s*[(\[]([^()\[\]]*)[)\]]\s*")
_PAIR_MARK = re.compile(r"([^\W\d_]\.?[234]?|[\"'%°])\s*[/=;,]\s*(?=[+-]?[.,]?\d)")
_ONE_SIDED = re.compile(r"[\d\"'a-zA-Z]\s*\+\s*[\d.,]+[^/]*/\s*-\s*[\d.,]+")
_NO_NUMBER = re.compile(r"[+-]?\s*(?:nan|inf(?:inity)?|none|null|n/a)\b.*|[-?]+", re.IGNORECASE)
_NOUGHT = re.compile(r"\s*[+-]?0+(?:[.,]0*)?\s*")
_NEXT_NUMBER = re.compile(r"\s*-?\s*(?=[\d.])")
#: What is typed before a value that is no reading; a text keeps it, so that a file says it too.
_ABOUT = re.compile(
    r"(?:(?:about|around|roughly|approximately|approx|circa|ca|abt)\b\.?|[~≈∼])\s*(?=\S)", re.IGNORECASE
)
#: How a value is known that was typed so.
ESTIMATED = "estimated"
_LONGEST = 120
# Units that may follow one another in one value, large to small, as 4 ft 6 in.
_CHAINS: dict[str, tuple[tuple[str, ...], ...]] = {
    "length": (("ft", "in"),),
    "angle": (("°", "'", '"'),),
    "time": (("d", "h", "min", "s"),),
    "mass": (("lb", "oz"),),
    "force": (("lb", "oz"), ("lbf", "ozf")),
}


@dataclass(slots=True)
class _Part:
    """One value of a text: SI, half a unit of its last digit (SI), its last unit, and whether it was bare."""

    si: float
    half: float
    unit: Unit | None
    text: str
    bare: bool


def read(text: str | float, kind: str, *, system: str = "inch", unit: str | None = None) -> Measure:
    """Read what a builder typed into a field that takes one kind of quantity.

    Parameters
    ----------
    text : str or float
        The shop text; a plain int or float is a bare number.
    kind : str
        Name of the kind, a key of ``KINDS``.
    system : str
        "inch" or "metric": the units the build is shown in. A decimal comma is a matter of course in a
        metric build, and noted in an inch build.
    unit : str, optional
        The unit a bare number is taken in: that of the field's label. Without it bare numbers are refused.

    Returns
    -------
    Measure
        The value in SI with its text and a note of what was understood. "about 1400 rpm" is known as
        "estimated". A bare 0 is the same in every unit, and is taken in the build's.

    Raises
    ------
    UnitTextError
        If the text is no such quantity, or has two readings.
    ValueError
        If the kind, the system or the label's unit does not exist.

    Source
    ------
    Factors: exact definitions as NIST SP 811 lists them, from memory
    """
    if isinstance(text, bool) or not isinstance(text, (str, int, float)):
        k = kind_of(kind)
        raise UnitTextError(str(text), k.words, "this is no text with a unit", k.examples_for(system))
    return _read(text if isinstance(text, str) else repr(float(text)), kind, system, unit or None)


@lru_cache(maxsize=8192)
def _read(text: str, kind: str, system: str, unit: str | None) -> Measure:
    k = kind_of(kind)
    if system not in ("inch", "metric"):
        raise ValueError(f"a build is shown in 'inch' or 'metric' units, not {system!r}")
    gauge_label = kind == "wire" and unit is not None and unit.upper() == "AWG"
    if unit is not None and not gauge_label and find_unit(kind, canon(unit)) is None:
        raise ValueError(f"the label's unit {unit!r} is no unit of {k.words}")
    try:
        return _whole(text, kind, system, unit)
    except (NumberError, Refused) as fault:
        raise UnitTextError(text.strip(), k.words, str(fault), k.examples_for(system)) from None


def _whole(text: str, kind: str, system: str, unit: str | None) -> Measure:
    if len(text) > _LONGEST:
        raise Refused("this is too long for one value")
    s, joined = tidy(text, system)
    about = _ABOUT.match(s)
    if about:
        s = s[about.end() :]
    if not s:
        raise Refused("nothing was typed")
    if _NO_NUMBER.fullmatch(s):
        raise Refused("this is not a number")
    notes = [joined] if joined else []
    s = _DIVISOR.sub(r"/\1", s.replace("+/-", "±").replace("+-", "±"))
    if _ONE_SIDED.search(s):
        raise Refused("a one-sided tolerance; type the middle value and ± half the width")
    head, *tails = s.split("±")
    if len(tails) > 1:
        raise Refused("more than one ±")
    parts = _pair(head)
    unit = unit or _unit_of_nought(head, kind, system, tails)
    first = _part(parts[0], kind, system, unit, notes, tails)
    if len(parts) == 2:
        near.agree(first, _part(parts[1], kind, system, None, notes, ()), kind, notes)
    spread = _spread(tails[0], first, kind, system, notes) if tails else None
    near.sanity(first, kind, system, notes)
    label = unit or (first.unit.spelling if first.unit is not None else "")
    shown = text.strip()
    if first.bare and label:
        # the text is kept in files, where every quantity carries its unit
        shown = f"{about[0] if about else ''}{head.strip()} {label}" + (f" ± {tails[0].strip()}" if tails else "")
    return Measure(first.si, kind, shown, spread, ESTIMATED if about else None, "; ".join(dict.fromkeys(notes)))


def _unit_of_nought(head: str, kind: str, system: str, tails: list[str]) -> str | None:
    """Return the unit of the build for a bare nought, which is the same in every unit of a scale that starts there."""
    if tails or kind in ("number", "wire", "temperature") or not _NOUGHT.fullmatch(head):
        return None
    return kind_of(kind).inch if system == "inch" else kind_of(kind).metric


def _pair(s: str) -> list[str]:
    """The one or two values in a text such as 0.012 in (0.30 mm) or 0.012 in / 0.30 mm."""
    bracket = _PAIR_BRACKET.fullmatch(s)
    if bracket and bracket[1].strip():
        return [bracket[1], bracket[2]]
    mark = _PAIR_MARK.search(s)
    if mark is None:
        return [s]
    rest = s[mark.end() :]
    if _PAIR_MARK.search(rest):
        raise Refused("more than two values")
    return [s[: mark.end(1)], rest]


def _part(s: str, kind: str, system: str, unit: str | None, notes: list[str], tails) -> _Part:
    if kind == "wire":
        labelled = unit is not None and unit.upper() == "AWG"
        got = gauge(s.strip(), labelled)
        if got is not None:
            size, bare, note = got
            if size is None:
                raise Refused(f"there is no AWG size {s.strip()}")
            notes.extend([f"taken in {unit}"] if bare else [note] if note else [])
            return _Part(awg_area(size), 0.0, None, s, bare)
        unit = None if labelled else unit
    terms = _terms(s, kind, system, notes, unit)
    value, half, u = terms[-1]
    if u is None:
        return _bare(value, half, s, kind, unit, notes, tails)
    if len(terms) == 1:
        return _Part(value * u.factor + u.offset, half * u.factor, u, s, False)
    total = sum(abs(v) * each.factor for v, _, each in terms)
    return _Part(-total if s.lstrip().startswith("-") else total, half * u.factor, u, s, False)


def _bare(value: float, half: float, s: str, kind: str, unit: str | None, notes: list[str], tails) -> _Part:
    made = find_unit(kind, canon(unit)) if unit is not None else None
    if tails:
        # 35 ± 0.02 mm: the unit stands once, after the tolerance
        m = NUMBER.match(tails[0])
        u = UNIT.match(tails[0], m.end()) if m else None
        behind = find_unit(kind, canon(u[1])) if u else None
        if made is not None and behind is not None and behind.factor != made.factor:
            raise Refused(f"the tolerance is in {u[1].strip()} and the field in {unit}; write both units")
        made = made or behind
    if unit is not None:
        if kind == "length" and "/" in s and made.spelling in ("mm", "cm", "m", "μm"):
            raise Refused(f"a fraction in a field that is in {unit}; write the value with its unit")
        notes.append(f"taken in {unit}")
    if made is None:
        if kind != "number":
            raise Refused(f"{s.strip()} has no unit")
        return _Part(value, half, None, s, True)
    return _Part(value * made.factor + made.offset, half * made.factor, made, s, True)


def _terms(
    s: str, kind: str, system: str, notes: list[str], unit: str | None = None
) -> list[tuple[float, float, Unit | None]]:
    """Each number with its unit; several only where the units run down one chain, as feet and inches."""
    out: list[tuple[float, float, Unit | None]] = []
    at = 0
    while True:
        m = NUMBER.match(s, at)
        if m is None:
            raise Refused(near.no_number(s, kind, bool(out)))
        thousands = kind == "rotation" and _thousands_of_turns(s[m.end() :], unit)
        value, half, note = number(m, system, thousands=thousands)
        if m["d2"]:
            near.two_values(int(m["n2"]), int(m["d2"]), kind)
        if note:
            notes.append(note)
        u = UNIT.match(s, m.end())
        made = _unit(u[1], kind, system, notes) if u is not None else None
        at = u.end() if u is not None else m.end()
        if out:
            made = _chained(out, value, m["sign"], made, kind)
        out.append((value, half, made))
        rest = s[at:]
        if not rest.strip():
            return out
        joint = _NEXT_NUMBER.match(rest)
        if joint is None or made is None or kind not in _CHAINS:
            raise Refused(near.left_over(rest))
        at += joint.end()


def _thousands_of_turns(rest: str, label: str | None) -> bool:
    """Tell whether a speed is in turns a minute, which nobody reads to a thousandth: 3,600 rpm is 3600."""
    u = UNIT.match(rest)
    made = find_unit("rotation", canon(u[1] if u else label or ""))
    return made is not None and made.pint == "revolution/minute"


def _unit(typed: str, kind: str, system: str, notes: list[str]) -> Unit:
    key = canon(typed)
    got = find_unit(kind, key)
    if got is None:
        raise Refused(near.wrong_unit(typed.strip(), key, kind, system))
    if got.note:
        notes.append(got.note.format(u=typed.strip()))
    return got


def _chained(out, value: float, sign: str, made: Unit | None, kind: str) -> Unit:
    above = out[-1][2]
    if sign == "+":
        raise Refused("a sign inside one value")
    for chain in _CHAINS[kind]:
        units = [find_unit(kind, canon(c)) for c in chain]
        sizes = [u.factor for u in units]
        if above.factor not in sizes:
            continue
        place = sizes.index(above.factor)
        if made is None and place + 1 < len(units):
            made = units[place + 1]
        if made is not None and made.factor in sizes[place + 1 :]:
            most = above.factor / made.factor
            if abs(value) >= most * (1.0 - 1e-12):
                raise Refused(f"{abs(value):g} {made.spelling} after {above.spelling}: it should be less than {most:g}")
            if out[-1][0] != int(out[-1][0]):
                raise Refused(f"a fraction of {above.spelling} with {made.spelling} after it")
            return made
    raise Refused(near.TWO_NUMBERS)


def _spread(tail: str, first: _Part, kind: str, system: str, notes: list[str]) -> float:
    m = NUMBER.match(tail)
    if m is None:
        raise Refused("no number after the ±")
    if m["sign"]:
        raise Refused("a sign after the ±")
    value, _, note = number(m, system)
    if note:
        notes.append(note)
    rest = tail[m.end() :].strip()
    if rest == "%" and kind not in ("number", "temperature"):
        return abs(first.si) * value / 100.0
    if not rest:
        if first.unit is None and kind != "number":
            raise Refused("a tolerance on a gauge number; give the area")
        return value * (first.unit.factor if first.unit is not None else 1.0)
    u = UNIT.fullmatch(rest)
    if u is None:
        raise Refused(f"{tail.strip()!r} after the ± is no tolerance")
    # a tolerance on a temperature is a difference: the zero of the scale does not enter
    return value * _unit(u[1], "temperature rise" if kind == "temperature" else kind, system, notes).factor

"""The reader of shop text: ``1-3/8 in``, ``4'6"``, ``10 thou``, ``45 ft-lb``, ``12 AWG``, ``35 ± 0.02 mm``.

It stands before the units library, which never sees typed text: read by the library alone, 1 3/8 in
would be 0.375 in, 25,4 mm would be 254 mm and PS petasiemens, all without a word.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache

from . import _nearmiss as near
from ._kinds import Unit, canon, find_unit, kind_of
from ._numbers import NUMBER, NumberError, number, tidy


class UnitTextError(ValueError):
    """A text that is no value of the wanted kind.

    Attributes
    ----------
    found : str
        What was typed.
    wanted : str
        The kind that the field takes, in words.
    why : str
        What is wrong with it, in shop words.
    """

    def __init__(self, found: str, wanted: str, why: str, examples: tuple[str, ...] = ()) -> None:
        self.found, self.wanted, self.why = found, wanted, why
        tail = ", for example " + " or ".join(dict.fromkeys(examples)) if examples else ""
        super().__init__(f"{found!r}: {why}. This field takes {wanted}{tail}.")


@dataclass(frozen=True, slots=True)
class Measure:
    """A quantity as the builder gave it.

    Parameters
    ----------
    si : float
        The value in the coherent SI unit of its kind.
    kind : str
        The name of its kind.
    text : str
        The text it was read from, or one that reads back to it; always with its unit.
    plus_minus : float, optional
        The stated uncertainty, in the same SI unit.
    known : str, optional
        How it is known (measured, maker's figure, guessed), where that was said.
    note : str
        What the reader understood that the text did not say outright.
    """

    si: float
    kind: str
    text: str
    plus_minus: float | None = None
    known: str | None = None
    note: str = ""


_ATOM = r"(?:(?:min|sec|s|K)-1(?!\d)|[^\W\d_]+(?:[234](?![\d./,]|\s*(?:in\b|\"|ft\b)))?|°\s?[CFKcfk]?(?![^\W\d_])|[%#'\"])\.?"
UNIT = re.compile(rf"\s*-?\s*((?:1\s?/|/)?\s*{_ATOM}(?:\s*[·/.-]?\s*{_ATOM})*)")
_PARENS = re.compile(r"/\s*\(([^()\d]*\d?)\)")
_PAIR_BRACKET = re.compile(r"(.*?)\s*[(\[]([^()\[\]]*)[)\]]\s*")
_PAIR_MARK = re.compile(r"([^\W\d_]\.?[234]?|[\"'%°])\s*[/=;,]\s*(?=[+-]?[.,]?\d)")
_ONE_SIDED = re.compile(r"[\d\"'a-zA-Z]\s*\+\s*[\d.,]+[^/]*/\s*-\s*[\d.,]+")
_NO_NUMBER = re.compile(r"[+-]?\s*(?:nan|inf(?:inity)?|none|null|n/a)\b.*|[-?]+", re.IGNORECASE)
_GAUGE = re.compile(r"(?P<awg>AWG)?\s*(?P<mark>#|No\.?)?\s*(?P<size>[1-4]/0|0{1,4}|\d{1,2})"
                    r"\s*-?\s*(?P<after>AWG|ga\.?|gauge)?(?:\s+wire)?", re.IGNORECASE)
# Units that may follow one another in one value, large to small, as 4 ft 6 in.
_CHAINS: dict[str, tuple[tuple[str, ...], ...]] = {
    "length": (("ft", "in"),), "angle": (("°", "'", '"'),), "time": (("d", "h", "min", "s"),),
    "mass": (("lb", "oz"),), "force": (("lb", "oz"), ("lbf", "ozf")),
}


@dataclass(slots=True)
class _Part:
    value: float      # as typed, in its last unit
    si: float
    half: float       # half a unit of the last digit, SI
    unit: Unit | None
    text: str
    bare: bool


class _Why(ValueError):
    """A reason, before the field's words are added."""


def awg_area(size: int) -> float:
    """Copper area of an American wire gauge size.

    Parameters
    ----------
    size : int
        Gauge number; 0 for 1/0, -1 for 2/0, down to -3 for 4/0. Scalar.

    Returns
    -------
    float
        Area [m²] of the solid round wire.

    Raises
    ------
    ValueError
        Outside 4/0 to 40.

    Source
    ------
    ASTM B258: diameter 0.005 in at 36, 39 equal ratios to 0.46 in at 4/0; from memory.
    """
    if not -3 <= size <= 40:
        raise ValueError(f"no AWG size {size}")
    diameter = 0.005 * 0.0254 * 92.0 ** ((36 - size) / 39.0)
    return math.pi / 4.0 * diameter * diameter


def read(text: str, kind: str, *, system: str = "inch", unit: str | None = None) -> Measure:
    """Read what a builder typed into a field that takes one kind of quantity.

    Parameters
    ----------
    text : str
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
        The value in SI with its text and a note of what was understood.

    Raises
    ------
    UnitTextError
        If the text is no such quantity, or has two readings.

    Source
    ------
    Factors: exact definitions as NIST SP 811 lists them, from memory.
    """
    if isinstance(text, bool) or not isinstance(text, (str, int, float)):
        k = kind_of(kind)
        raise UnitTextError(str(text), k.words, "this is no text with a unit", k.examples_for(system))
    return _read(text if isinstance(text, str) else repr(text), kind, system, unit)


@lru_cache(maxsize=8192)
def _read(text: str, kind: str, system: str, unit: str | None) -> Measure:
    k = kind_of(kind)
    if system not in ("inch", "metric"):
        raise ValueError(f"a build is shown in 'inch' or 'metric' units, not {system!r}")
    if unit is not None and kind != "wire" and find_unit(kind, canon(unit)) is None and unit != "":
        raise ValueError(f"the label's unit {unit!r} is no unit of {k.words}")
    try:
        return _whole(text, kind, system, unit)
    except (NumberError, _Why) as fault:
        raise UnitTextError(text.strip(), k.words, str(fault), k.examples_for(system)) from None


def _whole(text: str, kind: str, system: str, unit: str | None) -> Measure:
    s, joined = tidy(text, system)
    if not s:
        raise _Why("nothing was typed")
    if _NO_NUMBER.fullmatch(s):
        raise _Why("this is not a number")
    notes = [joined] if joined else []
    s = _PARENS.sub(r"/\1", s.replace("+/-", "±").replace("+-", "±"))
    if _ONE_SIDED.search(s):
        raise _Why("a one-sided tolerance; type the middle value and ± half the width")
    head, *tails = s.split("±")
    if len(tails) > 1:
        raise _Why("more than one ±")
    parts = _pair(head)
    first = _part(parts[0], kind, system, unit, notes, tails)
    if len(parts) == 2:
        second = _part(parts[1], kind, system, None, notes, ())
        near.agree(first, second, kind, system, notes, _Why)
    spread = _spread(tails[0], first, kind, system, notes) if tails else None
    shown = text.strip()
    if first.bare and kind != "number" and not tails:
        shown = f"{shown} {unit}"
    elif first.bare and kind != "number" and first.unit is not None:
        shown = f"{head.strip()} {first.unit.spelling} ± {tails[0].strip()}"
    near.sanity(first, kind, notes, _Why)
    return Measure(first.si, kind, shown, spread, None, "; ".join(dict.fromkeys(notes)))


def _pair(s: str) -> list[str]:
    """The one or two values in a text such as 0.012 in (0.30 mm) or 0.012 in / 0.30 mm."""
    bracket = _PAIR_BRACKET.fullmatch(s)
    if bracket and bracket[1].strip():
        return [bracket[1], bracket[2]]
    mark = _PAIR_MARK.search(s)
    if mark is None:
        return [s]
    rest = s[mark.end():]
    if _PAIR_MARK.search(rest):
        raise _Why("more than two values")
    return [s[: mark.end(1)], rest]


def _part(s: str, kind: str, system: str, unit: str | None, notes: list[str], tails) -> _Part:
    if kind == "wire":
        gauge = _gauge(s.strip(), unit, notes)
        if gauge is not None:
            return gauge
        if unit is not None and unit.upper() == "AWG":
            unit = None
    terms = _terms(s, kind, system, notes)
    last_unit = terms[-1][2]
    if len(terms) == 1 and last_unit is None:
        value, half, _ = terms[0]
        return _bare(value, half, s, kind, unit, notes, tails)
    total, half = 0.0, 0.0
    for value, half_digit, u in terms:
        total += abs(value) * u.factor
        half = half_digit * u.factor
    sign = -1.0 if s.lstrip().startswith("-") else 1.0
    if len(terms) > 1:
        return _Part(math.nan, sign * total, half, last_unit, s, False)
    value, _, u = terms[0]
    return _Part(value, value * u.factor + u.offset, half, u, s, False)


def _bare(value, half, s, kind, unit, notes, tails) -> _Part:
    if kind == "number":
        return _Part(value, value, half, None, s, True)
    if unit is None and tails:
        # 35 ± 0.02 mm: the unit stands once, after the tolerance
        found = UNIT.search(tails[0].lstrip("0123456789.,+ -/"))
        unit_made = find_unit(kind, canon(found[1])) if found else None
        if unit_made is not None:
            return _Part(value, value * unit_made.factor + unit_made.offset, half * unit_made.factor, unit_made, s, True)
    if unit is None:
        raise _Why(f"{s.strip()} has no unit")
    made = find_unit(kind, canon(unit))
    notes.append(f"taken in {unit}")
    return _Part(value, value * made.factor + made.offset, half * made.factor, made, s, True)


def _terms(s: str, kind: str, system: str, notes: list[str]) -> list[tuple[float, float, Unit | None]]:
    """Each number with its unit; more than one only where the units run down one chain, as feet and inches."""
    out: list[tuple[float, float, Unit | None]] = []
    at = 0
    while True:
        m = NUMBER.match(s, at)
        if m is None:
            near.no_number(s, kind, out, _Why)
        value, half, note = number(m, system)
        if note:
            notes.append(note)
        u = UNIT.match(s, m.end())
        made = None
        if u is not None:
            made = _unit(u[1], kind, system)
            if made.note:
                notes.append(made.note.format(u=u[1].strip()))
        at = u.end() if u is not None else m.end()
        if out:
            made = _chained(out, value, m["sign"], made, kind)
        out.append((value, half, made))
        rest = s[at:]
        if not rest.strip():
            return out
        joint = re.match(r"\s*-?\s*(?=[\d.])", rest)
        if joint is None:
            near.left_over(s, rest, kind, _Why)
        if made is None or kind not in _CHAINS:
            near.two_numbers(s, rest, _Why)
        at += joint.end()


def _unit(typed: str, kind: str, system: str) -> Unit:
    key = canon(typed)
    got = find_unit(kind, key)
    if got is None:
        raise _Why(near.wrong_unit(typed.strip(), key, kind, system))
    return got


def _chained(out, value: float, sign: str, made: Unit | None, kind: str) -> Unit:
    above = out[-1][2]
    if sign == "+":
        raise _Why("a sign inside one value")
    for chain in _CHAINS[kind]:
        units = [find_unit(kind, canon(c)) for c in chain]
        sizes = [u.factor for u in units]
        if above.factor not in sizes:
            continue
        place = sizes.index(above.factor)
        if made is None and place + 1 < len(units):
            made = units[place + 1]
        if made is not None and made.factor in sizes[place + 1:]:
            most = above.factor / made.factor
            if abs(value) >= most * (1.0 - 1e-12):
                raise _Why(f"{abs(value):g} {made.spelling} after {above.spelling}: it should be less than {most:g}")
            if out[-1][0] != int(out[-1][0]):
                raise _Why(f"a fraction of {above.spelling} with {made.spelling} after it")
            return made
    raise _Why("two numbers; type one value, or a value ± its tolerance")


def _gauge(s: str, unit: str | None, notes: list[str]) -> _Part | None:
    m = _GAUGE.fullmatch(s)
    labelled = unit is not None and unit.upper() == "AWG"
    if m is None or not (m["awg"] or m["mark"] or m["after"] or labelled):
        return None
    raw = m["size"]
    size = 1 - int(raw[0]) if "/" in raw else (1 - len(raw) if set(raw) == {"0"} else int(raw))
    try:
        area = awg_area(size)
    except ValueError:
        raise _Why(f"there is no AWG size {raw}") from None
    bare = not (m["awg"] or m["mark"] or m["after"])
    if bare:
        notes.append(f"taken in {unit}")
    elif not m["awg"] and (m["after"] or "").upper() != "AWG":
        notes.append(f"{s} read as {raw} AWG")
    return _Part(float(size), area, 0.0, None, s, bare)


def _spread(tail: str, first: _Part, kind: str, system: str, notes: list[str]) -> float:
    m = NUMBER.match(tail)
    if m is None:
        raise _Why("no number after the ±")
    if m["sign"]:
        raise _Why("a sign after the ±")
    value, _, note = number(m, system)
    if note:
        notes.append(note)
    rest = tail[m.end():].strip()
    if rest == "%" and kind not in ("number", "temperature"):
        return abs(first.si) * value / 100.0
    if not rest:
        return value * (first.unit.factor if first.unit is not None else 1.0)
    u = UNIT.fullmatch(rest)
    if u is None:
        raise _Why(f"{tail.strip()!r} after the ± is no tolerance")
    # a tolerance on a temperature is a difference: the zero of the scale does not enter
    return value * _unit(u[1], "temperature rise" if kind == "temperature" else kind, system).factor



"""One raw value of a build file turned into what the build holds, or into problems."""

from __future__ import annotations

import datetime
import difflib
import re
from collections.abc import Iterable, Mapping
from dataclasses import replace

from jackshaft import tables
from jackshaft.buildfile.model import NONE, Value
from jackshaft.buildfile.schema import KNOWN, Field
from jackshaft.buildfile.trade_words import meant
from jackshaft.units import KINDS, Measure, UnitTextError, at_least, at_most, read, show

#: Keys of a quantity that is written as a table to say how it is known.
DETAILS = ("value", "known", "by", "plus_minus")


class Refused(Exception):
    """A value that cannot be taken: what was found and what is wanted."""

    def __init__(self, found: str, wanted: str):
        super().__init__(found, wanted)
        self.found, self.wanted = found, wanted


def nearest(word: str, known: tuple[str, ...] | list[str]) -> str:
    """Return "; did you mean 'x'?" for the nearest of the known words, or nothing."""
    close = difflib.get_close_matches(word.lower(), [k.lower() for k in known], n=1, cutoff=0.55)
    return next((f"; did you mean '{k}'?" for k in known if close and k.lower() == close[0]), "")


def said(raw: object) -> str:
    """Quote a raw value the way the file shows it."""
    if isinstance(raw, bool):
        return "true" if raw else "false"
    if isinstance(raw, Mapping):
        return "a table"
    if isinstance(raw, list):
        return "a list"
    if isinstance(raw, int | float):
        return f"the bare number {raw}"
    return f"'{raw}'"


def example(field: Field, system: str) -> str:
    """Return a text that the field would take."""
    examples = KINDS[field.kind].examples_for(system)
    if field.kind == "time" and field.help.startswith("hours "):
        # years are no measure of work: a machine that runs 200 hours a year for ten years runs 2000 hours
        return f"'{next(e for e in examples if e.endswith(' h'))}'"
    return f"'{examples[0]}'"


def _a(kind: str) -> str:
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"


def one_of(words: Iterable[str]) -> str:
    """Return "one of 'a', 'b'"."""
    return "one of " + ", ".join(f"'{w}'" for w in words)


def span(field: Field) -> str:
    """Return what a whole number may be, as the end of a sentence: ", 1 to 3"; nothing where all are good."""
    if field.most is None:
        return "" if field.least is None else f", {field.least:g} or more"
    return f", {field.least or 0:g} to {field.most:g}"


def _words_for(field: Field, system: str) -> str:
    if field.choices:
        return one_of(field.choices)
    if field.kind in KINDS:
        return _a(field.kind) + ("" if field.kind == "number" else f", such as {example(field, system)}")
    return {
        "text": "a text that says it",
        "reference": "a name",
        "references": "names with commas between",
        "count": "a whole number",
        "date": "a date",
    }.get(field.kind, field.kind)


def take(field: Field, raw: object, system: str) -> Value:
    """Turn one raw value into a value of the build.

    Raises
    ------
    Refused
        With what was found and what is wanted, in shop words.
    """
    if isinstance(raw, str) and raw.strip().lower() == "none" and "none" not in field.choices:
        if field.absent:
            return NONE
        raise Refused(said(raw), f"{_words_for(field, system)}; leave the key out where it is not known")
    if field.kind == "yes/no":
        if not isinstance(raw, bool):
            quoted = isinstance(raw, str) and raw.strip().lower() in ("true", "false")
            plain = "yes or no (in the file: true or false)"
            raise Refused(said(raw), "true or false without quotes" if quoted else plain)
        return raw
    if field.kind == "count":
        return _count(field, raw)
    if field.kind == "date":
        return _date(raw)
    if field.kind in ("text", "choice", "reference", "references"):
        return _words(field, raw)
    return _quantity(field, raw, system)


def _words(field: Field, raw: object) -> str:
    if not isinstance(raw, str) or not raw.strip():
        raise Refused("an empty text" if isinstance(raw, str) else said(raw), "a text in quotes")
    # a name is taken as it was given, so what refers to it is too
    text = " ".join(raw.split()) if field.kind == "choice" else raw.strip()
    if field.kind == "choice":
        choice = meant(field, text)
        if choice is None:
            raise Refused(said(raw), one_of(field.choices) + nearest(text, field.choices))
        return choice
    return _entry(field, text) if field.table else text


def _entry(field: Field, text: str) -> str:
    """Return the entry of a field's table that a text is but for the unit inch behind it, or the text."""
    bare = re.sub(r"\s*(in\.?|inch|inches|\")$", "", text)
    return bare if bare != text and tables.table(field.table[0]).where(**{field.table[1]: bare}).rows else text


def _count(field: Field, raw: object) -> int:
    if isinstance(raw, bool) or not isinstance(raw, int):
        quoted = isinstance(raw, str) and raw.strip().isdigit()
        raise Refused(said(raw), "a whole number" + (" without quotes" if quoted else ""))
    if (field.least is not None and raw < field.least) or (field.most is not None and raw > field.most):
        raise Refused(str(raw), f"a whole number{span(field)}")
    return raw


def _date(raw: object) -> str:
    if isinstance(raw, datetime.datetime):
        return raw.date().isoformat()
    if isinstance(raw, datetime.date):
        return raw.isoformat()
    try:
        return datetime.date.fromisoformat(str(raw)).isoformat()
    except ValueError:
        raise Refused(said(raw), "a date such as 2026-03-14") from None


def _quantity(field: Field, raw: object, system: str) -> Measure:
    details: Mapping = {}
    if isinstance(raw, Mapping):
        details = raw
        unknown = next((k for k in raw if k not in DETAILS), None)
        if unknown is not None:
            wanted = f"only {', '.join(DETAILS)}{nearest(unknown, DETAILS)}"
            raise Refused(f"'{unknown}' in the table of the value", wanted)
        if "value" not in raw:
            raise Refused("a table without value", "{ value = ..., known = ... }")
        raw = raw["value"]
    if isinstance(raw, int | float) and not isinstance(raw, bool) and field.kind == "number":
        raw = repr(raw)
    if not isinstance(raw, str):
        raise Refused(said(raw), f"{_a(field.kind)} as text with its unit, such as {example(field, system)}")
    got = _read(raw, field.kind, system, field)
    if details:
        got = _with_details(got, details, field, system)
    _inside(field, got, system)
    return got


def _read(raw: str, kind: str, system: str, field: Field | None = None) -> Measure:
    try:
        return read(raw, kind, system=system)
    except UnitTextError as error:
        found, wanted = getattr(error, "found", None), getattr(error, "wanted", None)
        why = getattr(error, "why", "")
        such = f", such as {example(field, system)}" if field and kind != "number" else ""
        if kind == "length" and why.endswith("has no unit"):
            such = f" with its unit: '{raw.strip()} in' or '{raw.strip()} mm'"
        raise Refused(f"'{found or raw}'" + (f" ({why})" if why else ""), (wanted or _a(kind)) + such) from None


def _with_details(got: Measure, details: Mapping, field: Field, system: str) -> Measure:
    known = details.get("known")
    if known is not None:
        if known not in KNOWN:
            raise Refused(f"known = {said(known)}", f"one of {', '.join(KNOWN)}" + nearest(str(known), KNOWN))
        by = details.get("by")
        got = replace(got, known=f"{known}, {by}" if by else str(known))
    if "plus_minus" in details:
        kind, raw = "temperature rise" if field.kind == "temperature" else field.kind, details["plus_minus"]
        found = f"plus_minus = {said(raw)}"
        if not isinstance(raw, str):
            raise Refused(found, "a text with a unit")
        band, most = _read(raw, kind, system).si, SIZES.get(kind, ANY_SIZE)[1]
        if band <= 0:
            raise Refused(found, "more than zero")
        if band > most:
            raise Refused(found, f"less than {show(most, kind, system)}")
        if field.over == 0.0 and band >= got.si:
            raise Refused(f"{found} on '{got.text}'", "less than the value itself")
        got = replace(got, plus_minus=band)
    return got


#: Sizes that things of this trade have, SI: smaller or larger is a slip of the pen, and no formula bears it.
SIZES = {
    "length": (1e-7, 1e4),
    "rotation": (1e-3, 1e5),
    "surface speed": (1e-4, 1e4),
    "force": (1e-3, 1e8),
    "torque": (1e-5, 1e7),
    "power": (1e-3, 1e8),
    "current": (1e-5, 1e5),
    "voltage": (1e-5, 1e4),
    "resistance": (1e-6, 1e6),
    "mass": (1e-5, 1e6),
    "stress": (1e3, 1e11),
    "time": (1e-4, 1e10),
    "temperature": (100.0, 3000.0),
    "temperature rise": (1e-2, 3000.0),
    "inertia": (1e-8, 1e6),
    "area": (1e-9, 1e2),
    "wire": (1e-9, 1e-2),
    "spring rate": (1e-1, 1e9),
    "charge": (1e0, 1e9),
    "angle": (1e-6, 100.0),
    "number": (1e-9, 1e9),
}


#: Where nothing is said.
ANY_SIZE = (0.0, float("inf"))


def _inside(field: Field, got: Measure, system: str) -> None:
    def refuse_unless(holds: bool, words: str, *bounds: float) -> None:
        if not holds:
            raise Refused(f"'{got.text}'", words.format(*(show(b, field.kind, system) for b in bounds)))

    low, high = SIZES.get(field.kind, ANY_SIZE)
    refuse_unless(got.si == 0.0 or low <= abs(got.si) <= high, f"{_a(field.kind)} between {{}} and {{}}", low, high)
    if field.over is not None:
        refuse_unless(not at_most(got.si, field.over), "more than {}", field.over)
    if field.least is not None:
        refuse_unless(at_least(got.si, field.least), "{} or more", field.least)
    if field.most is not None:
        refuse_unless(at_most(got.si, field.most), "{} or less", field.most)


__all__ = ["Refused", "nearest", "one_of", "said", "span", "take"]

"""How far off a value may be: the one place that says it, for what a builder stated and for what somebody guessed."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from jackshaft.buildfile import describe
from jackshaft.buildfile.schema import USUAL_OFF
from jackshaft.units import Measure

#: Kinds whose nought is not nothing, so that no share of them means anything, and how far off a guess of them may be.
PLAIN = {"temperature": 10.0}
#: What is added to a sentence about a band that nobody stated.
COMMON = "common practice, no source"
#: A band that reaches the end of what a key takes stops so far before it, as a share of the value.
SHORT_OF = 1e-3


def guess_of(value: object) -> str:
    """Return the word that says that a value is a guess, where it states no allowance of its own; else nothing."""
    if not isinstance(value, Measure) or value.plus_minus is not None or not value.known:
        return ""
    word = value.known.partition(",")[0]
    return word if word in USUAL_OFF else ""


def banded(value):
    """Return a value with the usual allowance of a guess, where it is one and states none; any other as it is."""
    word = guess_of(value)
    return _with_usual(value, word) if word else value


@lru_cache(maxsize=4096)
def _with_usual(value: Measure, word: str) -> Measure:
    off = PLAIN.get(value.kind)
    return replace(value, plus_minus=USUAL_OFF[word] * abs(value.si) if off is None else off)


def ends_of(key: str, value: Measure) -> tuple[Measure, ...]:
    """Return the value at the low and at the high end of its allowance, known there exactly; nothing without one.

    A key bounds what its value can be at all, and the ends do not pass that: no efficiency is above 1.
    """
    value = banded(value)
    if not value.plus_minus:
        return ()
    field = describe(key)[1]
    least = value.si - abs(value.si - field.over) * (1 - SHORT_OF) if field.over is not None else field.least
    low, high = value.si - value.plus_minus, value.si + value.plus_minus
    low, high = low if least is None else max(low, least), high if field.most is None else min(high, field.most)
    return tuple(replace(value, si=end, plus_minus=0.0) for end in (low, high))


__all__ = ["COMMON", "banded", "ends_of", "guess_of"]

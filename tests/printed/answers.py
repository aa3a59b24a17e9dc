"""Printed answers of worked examples, and the rule by which a computed value is held to them.

``printed_answers.json`` holds each answer as the text that was printed, so that its digits
are known. The rule is half of its last digit, unless the answer says otherwise:

- ``N figures``: only the first N figures of the text were meant;
- ``within P %``: the source rounded on its way; the value must lie within P per cent of the
  print (never over 1), and within half a printed digit of the independent recomputation;
- ``text``: a word or size that must be equal;
- ``departs``: the print is not followed (``data/departures.csv`` says why); the value must
  meet our recomputation and must not meet the print.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).parent
SUBJECTS = ("belts", "electric", "bearings", "shafts")
WIDEST_PERCENT = Decimal(1)
# A value that is exactly half a digit away, as 18.75 is from 18.8, is still what was printed.
HALF = Decimal("0.50005")


@dataclass(frozen=True)
class Answer:
    """One printed answer: its text, the rule, and what the rule needs."""

    name: str
    text: str
    known: str
    rule: str = "last digit"
    recomputed: str | None = None
    reason: str = ""

    @property
    def value(self) -> Decimal:
        """The printed number."""
        return Decimal(self.text)

    @property
    def best(self) -> Decimal:
        """The number a correct computation should meet: the print, or the recomputation."""
        return Decimal(self.recomputed) if self.recomputed else self.value

    @property
    def digit(self) -> Decimal:
        """One unit of the last printed digit."""
        if self.rule.endswith(" figures"):
            return Decimal(1).scaleb(self.value.adjusted() + 1 - int(self.rule.split()[0]))
        return Decimal(1).scaleb(self.value.as_tuple().exponent)

    def fault(self, value: Any) -> str | None:
        """Say what is wrong with a value, or give None where it meets the answer."""
        if self.rule == "text":
            return None if value == self.text else f"{value!r}, printed {self.text!r}"
        got = Decimal(repr(float(value)))
        if self.rule == "departs":
            own = Decimal(1).scaleb(self.best.as_tuple().exponent)
            if abs(got - self.best) > own * HALF:
                return f"{got}, our own value is {self.recomputed}"
            if abs(got - self.value) <= self.digit / 2:
                return f"{got} meets the print {self.text}, from which this should depart"
            return None
        half = self.digit * HALF
        if self.rule.startswith("within "):
            percent = Decimal(self.rule.split()[1])
            if abs(got - self.value) > abs(self.value) * percent / 100:
                return f"{got}, printed {self.text}, allowed {percent} %"
            if abs(got - self.best) > half:
                return f"{got}, recomputed {self.recomputed}, allowed half a printed digit"
            return None
        if abs(got - self.value) > half:
            return f"{got}, printed {self.text}, allowed {self.digit / 2}"
        return None


@dataclass(frozen=True)
class Case:
    """One worked example: where it stands, its inputs and its answers."""

    id: str
    subject: str
    topic: str
    source: str
    locator: str
    known: str
    note: str
    inputs: dict[str, Any]
    answers: dict[str, Answer] = field(repr=False)

    def __str__(self) -> str:
        return self.id

    def expect(self, name: str) -> Answer:
        """The answer of that name; a wrong name says which there are."""
        if name not in self.answers:
            raise KeyError(f"{self.id} has no answer {name!r}; it has {', '.join(self.answers)}")
        return self.answers[name]


@cache
def _all() -> tuple[Case, ...]:
    found = []
    for raw in json.loads((HERE / "printed_answers.json").read_text(encoding="utf-8")):
        answers = {
            name: Answer(**{"name": name, "known": raw["known"], **fields}) for name, fields in raw["answers"].items()
        }
        found.append(Case(**{**raw, "answers": answers}))
    return tuple(found)


def cases(subject: str | None = None) -> list[Case]:
    """The cases of a subject (belts, electric, bearings, shafts), or all of them."""
    if subject is not None and subject not in SUBJECTS:
        raise ValueError(f"no subject {subject!r}; there are {', '.join(SUBJECTS)}")
    return [case for case in _all() if subject in (None, case.subject)]


def case(identity: str) -> Case:
    """The case of that id."""
    for found in _all():
        if found.id == identity:
            return found
    raise KeyError(f"no case {identity!r}")


def assert_printed(case: Case, name: str, value: Any) -> None:
    """Fail unless a computed value meets the printed answer by its rule."""
    fault = case.expect(name).fault(value)
    if fault:
        pytest.fail(f"{case.id} {name}: {fault} ({case.source}, {case.locator})", pytrace=False)

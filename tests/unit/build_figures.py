"""Expected figures of whole builds, held against what the chapters found.

A figure that no chapter works out yet is looked for by :func:`says`, as a number with its unit among the words
of every fact, check and table that speaks of its subject; such a test is marked to fail until it holds.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

import numpy as np
import pytest

INCH, LBF, HP = 0.0254, 4.4482216152605, 745.69987158227022
LBF_FT = LBF * 12 * INCH
LB_FT2 = 0.45359237 * (12 * INCH) ** 2
FT_MIN = 12 * INCH / 60
RPM = np.pi / 30
KSI = 1000 * LBF / INCH**2
#: Agreement that the independent calculations of the builds ask for.
GEOMETRY, TENSION, PRINTED = 0.005, 0.05, 0.01


def figure(name: str, expected: float, within: float, found: Callable, later: str = ""):
    """Return one row of a table of figures: what is found must lie within a share of what is expected."""
    return pytest.param(
        expected, within, found, id=name, marks=[pytest.mark.xfail(strict=True, reason=later)] * bool(later)
    )


def verdict(id: str, wanted: str, later: str = ""):
    """Return one row of a table of verdicts."""
    return pytest.param(id, wanted, id=id, marks=[pytest.mark.xfail(strict=True, reason=later)] * bool(later))


def lines(results) -> Iterator[str]:
    """Every fact, check and row of a table as one line of words, headed by what it belongs to."""
    for chapter in results.chapters.values():
        for fact in chapter.facts:
            yield f"{chapter.title}: {fact.label}: {fact.value} | {fact.note}"
        for sheet in chapter.tables:
            for row in sheet.rows:
                yield f"{chapter.title}: {sheet.title}: {' | '.join(row)}"
    for one in results.checks:
        yield f"{one.id}: {one.name}: {one.verdict}: {one.value} | {one.limit} | {one.reason} | {one.remedy}"


def says(results, about: str, value: float, unit: str, within: float) -> bool:
    """Whether a line that speaks of ``about`` (a pattern) shows that number with that unit."""
    number = re.compile(rf"(-?\d[\d,]*(?:\.\d+)?) ?{re.escape(unit)}(?!\w)")
    for line in lines(results):
        if re.search(about, line, re.IGNORECASE):
            for text in number.findall(line):
                if float(text.replace(",", "")) == pytest.approx(value, rel=within):
                    return True
    return False


def first_number(words: str) -> float:
    """The first number in words such as ``0.423 V (3.0 %)``."""
    return float(re.search(r"-?\d+(?:\.\d+)?", words.replace(",", "")).group())

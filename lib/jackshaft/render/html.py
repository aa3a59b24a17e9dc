"""Results as HTML: one template for notebooks, panels and the record."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import cache
from html import escape

from jinja2 import ChoiceLoader, Environment, PackageLoader, StrictUndefined

from jackshaft.render.parts import by_weight, parts
from jackshaft.results.checks import CAUTION, GO, NOT_THERE, STOP, SYMBOLS, UNDECIDED, Check, Fact, Table

#: The class of each verdict in the style sheets.
CLASSES = {GO: "go", CAUTION: "caution", STOP: "stop", UNDECIDED: "unknown", NOT_THERE: "unknown"}

#: A table of so many columns does not fit across a phone.
STACKED = 4

#: More cautions than these are folded.
MANY_CAUTIONS = 3

_FIGURE = re.compile(r"[-+−]?[\d.,]+( ?[^\s\d(]\S*)?")


@cache
def environment() -> Environment:
    """Return the one environment of templates; every text is escaped, and a name that is not there is an error."""
    made = Environment(
        loader=ChoiceLoader([PackageLoader("jackshaft.render", ""), PackageLoader("jackshaft.record", "")]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(classes=CLASSES, symbols=SYMBOLS, parts=parts)
    return made


@cache
def _macros():
    return environment().get_template("results.html.j2").module


def badge(verdict: str, words: str = "") -> str:
    """Return a verdict as sign and word on its colour; ``words`` stand instead of the verdict's own word."""
    return str(_macros().badge(verdict, words))


def cautions_html(cautions: Sequence[str]) -> str:
    """Return cautions as a list; where there are many, each is folded after its first sentence."""
    return f'<ul class="jk-cautions">{"".join(_caution(c, fold=len(cautions) > MANY_CAUTIONS) for c in cautions)}</ul>'


def _caution(words: str, *, fold: bool) -> str:
    first, stop, more = words.partition(". ")
    if not (fold and more):
        return f"<li><strong>Caution:</strong> {escape(words)}</li>"
    head = f"<strong>Caution:</strong> {escape(first + stop.rstrip())}"
    return f"<li><details><summary>{head}</summary>{escape(more)}</details></li>"


def checks_html(checks: Iterable[Check]) -> str:
    """Return the checks as a list, worst first, each with its reason and remedy."""
    return str(_macros().checks(by_weight(checks)))


def facts_html(facts: Iterable[Fact]) -> str:
    """Return facts as a table, one a row."""
    return str(_macros().facts(tuple(facts)))


def table_html(table: Table) -> str:
    """Return a table; one of many columns also reads as a list of rows on a phone.

    Jupyter sets every cell to the right; words read better from the left, figures under each other.
    """
    columns = zip(*table.rows, strict=True) if table.rows else [()] * len(table.headings)
    return str(_macros().table(table, [_figures(c) for c in columns], len(table.headings) >= STACKED))


def verdicts_html(line: Iterable[tuple[str, str, str]]) -> str:
    """Return the summary as a row of tags, each with its sign and its word."""
    return str(_macros().verdicts(tuple(line)))


def in_words_html(alt: str) -> str:
    """Return what a picture shows in words, folded: the lab gives its images no alternative text.

    Parameters
    ----------
    alt : str
        The picture's alternative text.
    """
    return f"<details><summary>The picture in words</summary><p>{escape(alt)}</p></details>" if alt else ""


def _figures(column: tuple[str, ...]) -> bool:
    """Tell whether a column holds figures: each cell that is not empty is one, with a unit at the most."""
    cells = [c for c in column if c]
    return bool(cells) and all(_FIGURE.fullmatch(c) for c in cells)


__all__ = [
    "CLASSES",
    "STACKED",
    "badge",
    "cautions_html",
    "checks_html",
    "environment",
    "facts_html",
    "in_words_html",
    "table_html",
    "verdicts_html",
]

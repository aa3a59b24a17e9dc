"""What of a check is said, in which order: the one description that text, pages and panels are made from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple

from jackshaft.buildfile import Build
from jackshaft.results import label
from jackshaft.results.checks import CAUTION, GO, ORDER, STOP, Check
from jackshaft.results.cure import Cure, Worse
from jackshaft.results.findings import CANNOT
from jackshaft.results.measuring import asked_for
from jackshaft.tables import in_words

#: What stands before the keys of a check that could not be worked out: it has its values and cannot take them.
TOOK = "Look at"

#: What stands before what would decide a check.
WRITE = "Write down"


class Part(NamedTuple):
    """One thing that is said of a check: what it is, the word before it (empty for none), and its words."""

    name: str
    title: str
    words: str


def parts(check: Check) -> list[Part]:
    """Return what is said of a check below its first line; what it has not is left out."""
    said = [
        Part("reason", "", check.reason),
        *(Part("cure", "Cure", words) for words in dict.fromkeys(map(_cure, check.cures))),
        Part("remedy", "What to do", check.remedy if check.verdict != GO else ""),
        Part("missing", TOOK if check.found == CANNOT else "Missing", "; ".join(label(k) for k in check.missing)),
    ]
    if check.accepted:
        taken = check.accepted
        changed = f" It was {taken.found} then; it is {check.now} now." if taken.found not in ("", check.now) else ""
        said.append(Part("accepted", f"Accepted {taken.date}", taken.reason + changed))
    said.append(Part("source", "Source", in_words(check.source) if check.source else ""))
    return [p for p in said if p.words]


def missing_line(check: Check, build: Build, most: int | None = None) -> str:
    """Return the name of an undecided check and what it asks for, each thing once, as clauses of their own.

    Where nothing that could be written down would help, its reason stands instead. Past ``most`` they are counted.
    """
    what = list(dict.fromkeys(label(k) for k in asked_for(build, check.missing)))
    if most is not None and len(what) > most + 1:
        what = [*what[:most], f"and {len(what) - most} more"]
    if not what:
        return f"{check.name}. {check.reason}"
    return f"{check.name}. {TOOK if check.found == CANNOT else WRITE}: {'; '.join(what)}."


def told_once(checks: Iterable[Check]) -> list[Check]:
    """Return the checks of a list in its order, each cure in full at the first of them that its changes help."""
    shown, told = {}, []
    for check in checks:
        keys = [frozenset(c.changes.items()) for c in check.cures]
        cures = tuple(replace(c, above=shown.get(k, "")) for k, c in zip(keys, check.cures, strict=True))
        told.append(replace(check, cures=cures))
        shown = dict.fromkeys(keys, check.name) | shown
    return told


def _cure(cure: Cure) -> str:
    return f"as above for {cure.above}." if cure.above else f"{cure.words} {outcome(cure)}"


def outcome(cure: Cure) -> str:
    """Return what becomes of the checks with a cure, in words."""
    wanted = f" (wanted then: {cure.limit_after})" if cure.limit_after else ""
    then = f"This check is then {cure.verdict_after}: {cure.value_after}{wanted}." if cure.verdict_after else ""
    if cure.measure:
        what = "; ".join(dict.fromkeys(label(key) for key in cure.measure))
        then = f"By what is known it then no longer fails. Find out whether it holds: {what}."
    worse = "; ".join(f"{w.name} ({_change(w)})" for w in cure.worse)
    words = [
        then or "This check then falls away.",
        f"It makes this worse: {worse}." if worse else "",
    ]
    return " ".join(w for w in words if w)


def _change(worse: Worse) -> str:
    return f"{worse.before} to {worse.after}" if worse.stays else f"{worse.after}, {worse.before} now"


def by_weight(checks: Iterable[Check]) -> list[Check]:
    """Return the checks with the worst first, else in their own order."""
    return sorted(checks, key=lambda c: -ORDER.index(c.verdict) + (0.5 if c.accepted else 0))


def tally(checks: Sequence[Check]) -> str:
    """Return how many checks have each verdict, in words."""
    counts = []
    for verdict in reversed(ORDER):
        number = sum(c.verdict == verdict and c.accepted is None for c in checks)
        if number:
            counts.append(f"{number} {verdict}{'s' if number > 1 and verdict in (STOP, CAUTION) else ''}")
    accepted = sum(c.accepted is not None for c in checks)
    return ", ".join(counts + ([f"{accepted} accepted"] if accepted else []))


__all__ = ["Part", "by_weight", "missing_line", "outcome", "parts", "tally", "told_once"]

"""What of a check is said, in which order: the one description that text, pages and panels are made from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from jackshaft.results import label
from jackshaft.results.checks import GO, ORDER, Check
from jackshaft.results.cure import Cure
from jackshaft.results.findings import CANNOT
from jackshaft.tables import in_words

#: What stands before the keys of a check that could not be worked out: it has its values and cannot take them.
TOOK = "Look at"


class Part(NamedTuple):
    """One thing that is said of a check: what it is, the word before it (empty for none), and its words."""

    name: str
    title: str
    words: str


def parts(check: Check) -> list[Part]:
    """Return what is said of a check below its first line; what it has not is left out."""
    said = [
        Part("reason", "", check.reason),
        *(Part("cure", "Cure", f"{cure.words} {outcome(cure)}") for cure in check.cures),
        Part("remedy", "What to do", check.remedy if check.verdict != GO else ""),
        Part("missing", TOOK if check.found == CANNOT else "Missing", "; ".join(label(k) for k in check.missing)),
    ]
    if check.accepted:
        taken = check.accepted
        changed = f" It was {taken.found} then; it is {check.now} now." if taken.found not in ("", check.now) else ""
        said.append(Part("accepted", f"Accepted {taken.date}", taken.reason + changed))
    said.append(Part("source", "Source", in_words(check.source) if check.source else ""))
    return [p for p in said if p.words]


def missing_line(check: Check) -> str:
    """Return in one line the keys that an undecided check misses, or why none would decide it."""
    said = next((p for p in parts(check) if p.name == "missing"), None)
    if said is None:
        return check.reason
    return f"{said.title[:1].lower()}{said.title[1:]} {said.words}"


def outcome(cure: Cure) -> str:
    """Return what becomes of the checks with a cure, in words."""
    then = f"This check is then {cure.verdict_after}: {cure.value_after}." if cure.verdict_after else ""
    worse = "; ".join(f"{w.name} ({w.after}, {w.before} now)" for w in cure.worse)
    words = [then or "This check has no object then.", f"It makes this worse: {worse}." if worse else ""]
    return " ".join(w for w in words if w)


def by_weight(checks: Iterable[Check]) -> list[Check]:
    """Return the checks with the worst first, else in their own order."""
    return sorted(checks, key=lambda c: -ORDER.index(c.verdict) + (0.5 if c.accepted else 0))


def tally(checks: Sequence[Check]) -> str:
    """Return how many checks have each verdict, in words."""
    counts = []
    for verdict in reversed(ORDER):
        number = sum(c.verdict == verdict and c.accepted is None for c in checks)
        if number:
            counts.append(f"{number} {verdict}")
    accepted = sum(c.accepted is not None for c in checks)
    return ", ".join(counts + ([f"{accepted} accepted"] if accepted else []))


__all__ = ["Part", "by_weight", "missing_line", "outcome", "parts", "tally"]

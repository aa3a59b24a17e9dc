"""What a record opens with: the verdict of the whole, a row for each chapter, and what needs doing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import inf
from typing import NamedTuple

from jackshaft.render.parts import Part, missing_line, parts, tally
from jackshaft.results import Number, Results, label
from jackshaft.results.checks import CAUTION, GO, ORDER, STOP, UNDECIDED, Check
from jackshaft.results.cure import Cure
from jackshaft.results.measuring import asked_for


class Line(NamedTuple):
    """A chapter in the table of chapters; ``do`` is the number of what needs doing, 0 for nothing."""

    name: str
    title: str
    verdict: str
    words: str
    number: str
    cure: str
    do: int


class Todo(NamedTuple):
    """A thing that needs doing: what to do first, then for which check, and the rest that is said of it."""

    order: str
    check: Check
    rest: tuple[Part, ...]


class Open(NamedTuple):
    """What would decide some checks: the words, the names of the checks, why they are open, and their ids."""

    words: str
    names: tuple[str, ...]
    reasons: tuple[str, ...]
    ids: tuple[str, ...]


#: So many things that are missing stand in a cell of the verdicts; all of them stand under what needs doing.
AT_ONCE = 2


def overall(results: Results) -> str:
    """Return the verdict of the whole build in a few words."""
    words = {
        STOP: "This build does not work as it is",
        CAUTION: "No stop, but cautions",
        UNDECIDED: "Not all of it can be decided yet",
        GO: "Nothing that was checked stands against it",
    }
    return f"{words[verdict_of(results)]}: {tally(results.checks) or 'nothing is checked yet'}."


def verdict_of(results: Results) -> str:
    """Return the verdict of the whole: that of a build without checks is open."""
    if results.stops:
        return STOP
    return results.verdict if results.checks else UNDECIDED


def governing(checks: Sequence[Check]) -> Check | None:
    """Return the check that decides a chapter: of the worst verdict, and of these the nearest to its limit."""
    rank = {id(c): (-ORDER.index(c.verdict), c.accepted is not None, _room(c)) for c in checks}
    return min(checks, key=lambda c: rank[id(c)], default=None)


def _room(check: Check) -> float:
    """Return how far a check is from its limit as a share of it; without end where that is not one number."""
    found, limit = check.found, check.wanted
    if not (isinstance(found, Number) and isinstance(limit, Number)) or found.kind != limit.kind:
        return inf
    if found.si <= 0.0 or limit.si <= 0.0:
        return inf
    share = found.si / limit.si
    if "more" in limit.words:
        return share - 1.0
    return 1.0 / share - 1.0 if "less" in limit.words else inf


def lines(results: Results, above: dict[str, int]) -> list[Line]:
    """Return a row for each chapter: verdict, the number that decides it, and its first cure.

    Parameters
    ----------
    results : Results
        What was found.
    above : dict of str to int
        The number of each thing that needs doing, by the check's id.
    """
    names = {c.title: name for name, c in results.chapters.items()}
    done = []
    for title, verdict, words in results.summary:
        name = names.get(title, "stops")
        check = governing(results.of(name if name != "stops" else "accepted"))
        number = "" if check is None else f"{check.name}: {check.value}" + (f" ({check.limit})" if check.limit else "")
        cure = "" if check is None or check.verdict == GO else order(check, results)
        done.append(Line(name, title, verdict, words, number, cure, above.get(check.id, 0) if check else 0))
    return done


def order(check: Check, results: Results) -> str:
    """Return what to do about a check, in the fewest words: its first cure, else the general advice."""
    if check.verdict == UNDECIDED:
        return missing_line(check, results.build, AT_ONCE).removeprefix(f"{check.name}. ")
    if check.accepted:
        return f"Accepted {check.accepted.date}."
    first = _first_cure(check)
    return first.words if first else check.remedy


def _first_cure(check: Check) -> Cure | None:
    """Return the first cure of a check that is not shown in full further up."""
    return next((c for c in check.cures if not c.above), None)


def todo(checks: Sequence[Check]) -> list[Todo]:
    """Return what needs doing, the cure before the finding."""
    done = []
    for check in checks:
        said = [p for p in parts(check) if p.name != "source"]
        first = next((p for name in ("cure", "remedy") for p in said if p.name == name), None)
        done.append(
            Todo(
                (first.words[0].upper() + first.words[1:] if first else "") + _instead(check, done),
                check,
                tuple(p for p in said if p is not first),
            )
        )
    return done


def _instead(check: Check, done: Sequence[Todo]) -> str:
    """Return in words which orders before this one set the same value otherwise, so that only one of them is done."""
    mine = _first_changes(check)
    others = [
        number
        for number, other in enumerate(done, 1)
        if any(mine.get(key, text) != text for key, text in _first_changes(other.check).items())
    ]
    return f" Do this or number {' or '.join(map(str, others))}, not both." if others else ""


def _first_changes(check: Check) -> Mapping[str, str]:
    """Return what the first cure of a check changes."""
    first = _first_cure(check)
    return {} if first is None or check.accepted else first.changes


def undecided(results: Results) -> list[Open]:
    """Return what is missing, once for all checks that wait for the same, with their names."""
    found: dict[str, list[Check]] = {}
    for check in results.checks:
        if check.verdict == UNDECIDED:
            what = "; ".join(dict.fromkeys(label(k) for k in asked_for(results.build, check.missing)))
            found.setdefault(what, []).append(check)
    return [
        Open(
            what,
            tuple(c.name for c in waiting),
            tuple(dict.fromkeys(c.reason for c in waiting)),
            tuple(c.id for c in waiting),
        )
        for what, waiting in found.items()
    ]


__all__ = ["Line", "Open", "Todo", "governing", "lines", "order", "overall", "todo", "undecided", "verdict_of"]

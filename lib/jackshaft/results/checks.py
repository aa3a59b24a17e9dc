"""The one kind of check that notebooks, figures and the record show.

A verdict is *go* when the check holds at the bad end of what is uncertain, *caution* when it holds at
the likely value only or bends a rule of practice, *stop* when it fails at the likely value or would
hurt someone, and *not decidable* when an input is missing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from jackshaft.results.cure import Cure
from jackshaft.results.values import Number, Value, text_of
from jackshaft.units import at_least, at_most

GO, CAUTION, STOP, UNDECIDED = "go", "caution", "stop", "not decidable"

#: Worst last.
ORDER = (GO, UNDECIDED, CAUTION, STOP)

#: A limit passed by at most this share counts as met, for nothing in a shop is known better; not where people or fire
#: are guarded: common practice, no source.
NEAR = 0.003

#: What the summary says of a subject that the machine does not have.
NOT_THERE = "none"

SYMBOLS = {GO: "✔", CAUTION: "▲", STOP: "✘", UNDECIDED: "?", NOT_THERE: "–"}


@dataclass(frozen=True, slots=True)
class Fact:
    """One line of what was found: label, the value found, and a note such as how it is known."""

    label: str
    found: Value
    note: str = ""

    @property
    def value(self) -> str:
        """The value as it is shown."""
        return text_of(self.found)


@dataclass(frozen=True, slots=True)
class Table:
    """A small table: headings, rows of values, and a note that stands under it.

    ``aside`` marks a table that shows the working, or what else could be done, rather than what is; the record folds
    those away.
    """

    title: str
    headings: tuple[str, ...]
    cells: tuple[tuple[Value, ...], ...]
    note: str = ""
    aside: bool = False

    def __post_init__(self):
        for row in self.cells:
            if len(row) != len(self.headings):
                raise ValueError(f"table {self.title!r}: a row of {len(row)} under {len(self.headings)} headings")

    @property
    def rows(self) -> tuple[tuple[str, ...], ...]:
        """The cells as they are shown."""
        return tuple(tuple(text_of(c) for c in row) for row in self.cells)

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kind of quantity of each column; empty where a column does not hold numbers of one kind."""
        found = []
        for column in zip(*self.cells, strict=True):
            filled = [c for c in column if c != ""]
            kinds = {c.kind if isinstance(c, Number) else "" for c in filled}
            found.append(kinds.pop() if len(kinds) == 1 else "")
        return tuple(found) or ("",) * len(self.headings)

    def numbers(self) -> list[dict[str, float | str | None]]:
        """Return the rows by heading, numbers in SI units, an empty cell as None."""
        return [
            {h: c.si if isinstance(c, Number) else c or None for h, c in zip(self.headings, row, strict=True)}
            for row in self.cells
        ]


@dataclass(frozen=True, slots=True)
class Accepted:
    """The builder took a caution or a stop on, with a reason and a date."""

    reason: str
    date: str
    #: verdict and value when it was taken on; empty where nobody wrote them down
    found: str = ""


@dataclass(frozen=True, slots=True)
class Check:
    """One thing that was checked.

    ``id`` is ``chapter.what`` or ``chapter.what[part]``; ``missing`` names the keys of the build that
    would decide it; ``guards`` marks a stop that protects people or keeps a fire away and so cannot be
    accepted. ``remedy`` says what helps; ``cures`` are changes of the build that were tried, where somebody asked
    for them (:mod:`jackshaft.results.proving`).
    """

    id: str
    name: str
    found: Value
    wanted: Value
    verdict: str
    reason: str
    remedy: str = ""
    source: str = ""
    missing: tuple[str, ...] = ()
    guards: bool = False
    accepted: Accepted | None = None
    cures: tuple[Cure, ...] = ()

    def __post_init__(self):
        if self.verdict not in ORDER:
            raise ValueError(f"verdict {self.verdict!r} is none of {ORDER}")
        if self.verdict in (CAUTION, STOP) and not self.remedy:
            raise ValueError(f"check {self.id}: a {self.verdict} needs a remedy")
        if self.verdict in (CAUTION, UNDECIDED):
            object.__setattr__(self, "found", with_bad_end(self.found, self.wanted))

    @property
    def value(self) -> str:
        """What was found, as it is shown."""
        return text_of(self.found)

    @property
    def limit(self) -> str:
        """What is wanted, as it is shown."""
        return text_of(self.wanted)

    @property
    def now(self) -> str:
        """Verdict and value, as an acceptance writes them down."""
        return f"{self.verdict}, {self.value}"

    @property
    def chapter(self) -> str:
        """The chapter the check belongs to."""
        return self.id.split(".", 1)[0]

    @property
    def stands(self) -> bool:
        """Whether it is a stop that nobody has accepted."""
        return self.verdict == STOP and self.accepted is None

    @property
    def words(self) -> str:
        """The verdict as it is shown, acceptance included."""
        return f"{self.verdict}, accepted" if self.accepted else self.verdict

    @property
    def symbol(self) -> str:
        """The sign that stands beside the word."""
        return SYMBOLS[self.verdict]


#: How the words of a limit say which way it is passed.
LEAST, MOST = re.compile(r"\bor more\b|\bover\b"), re.compile(r"\bor less\b|\bbelow\b|\bat most\b")


def with_bad_end(found: Value, wanted: Value) -> Value:
    """Return a value whose words show the bad end of its band, where that misses the limit and the likely one meets it.

    The words of the limit say which end is bad; words that show that end already are left as they are.
    """
    if not isinstance(found, Number) or not isinstance(wanted, Number):
        return found
    if LEAST.search(wanted.words):
        end, bad, holds = "low", found.low, reaches
    elif MOST.search(wanted.words):
        end, bad, holds = "high", found.high, stays_within
    else:
        return found
    if bad is None or f"{{{end}}}" in found.words or holds(bad, wanted.si) or not holds(found.si, wanted.si):
        return found
    if replace(found, words=f"{{{end}}}").shown in found.shown:
        return found
    return replace(found, words=f"{found.words} (bad end {{{end}}})")


def reaches(value: float, limit: float, *, guards: bool = False) -> bool:
    """Tell whether a value reaches a limit; a limit missed by at most :data:`NEAR` counts as met unless it guards."""
    return at_least(value, limit if guards else limit - NEAR * abs(limit))


def stays_within(value: float, limit: float, *, guards: bool = False) -> bool:
    """Tell whether a value stays within a limit; one passed by at most :data:`NEAR` counts as met unless it guards."""
    return at_most(value, limit if guards else limit + NEAR * abs(limit))


def grade(*, likely: float, bad: float, limit: float, higher_is_better: bool = True, guards: bool = False) -> str:
    """Return go, caution or stop for a value with a likely and a bad end against a limit.

    Parameters
    ----------
    likely, bad : float
        The value at the likely and at the bad end of its inputs.
    limit : float
        What it must reach (or stay below, with ``higher_is_better`` false).
    guards : bool
        Whether the limit guards people or keeps a fire away; it is then held exactly.
    """
    holds = reaches if higher_is_better else stays_within
    if holds(bad, limit, guards=guards):
        return GO
    return CAUTION if holds(likely, limit, guards=guards) else STOP


def undecided(id: str, name: str, missing: Sequence[str], words: str, *, limit: Value = "") -> Check:
    """Return a check that cannot be decided because inputs are missing."""
    return Check(id, name, "not known yet", limit, UNDECIDED, words, "", "", tuple(dict.fromkeys(missing)))


def accept(checks: Iterable[Check], accepted: dict[str, Accepted]) -> tuple[Check, ...]:
    """Mark the cautions and stops that the builder accepted.

    A stop that guards people or keeps a fire away stays a stop, and says that it cannot be accepted.
    An acceptance that meets no caution or stop is reported as a caution of its own, so that none goes
    unseen.
    """
    done, used = [], set()
    for check in checks:
        taken = accepted.get(check.id)
        if taken is None or check.verdict not in (CAUTION, STOP):
            done.append(check)
            continue
        used.add(check.id)
        if check.guards and check.verdict == STOP:
            done.append(
                replace(
                    check, reason=check.reason + " This stop guards people or keeps a fire away. It cannot be accepted."
                )
            )
        else:
            done.append(replace(check, accepted=taken))
    for name, taken in accepted.items():
        if name not in used:
            done.append(
                Check(
                    f"accepted.{name}",
                    "acceptance without a check",
                    name,
                    "a caution or stop of that name",
                    CAUTION,
                    f"'{name}' is accepted ({taken.reason}), but no caution or stop has that name now.",
                    "Take the acceptance out of the build file, or correct its name.",
                )
            )
    return tuple(done)


def worst(checks: Iterable[Check]) -> str:
    """Return the worst verdict; accepted stops count as cautions; go when there is none."""
    return max((CAUTION if c.accepted else c.verdict for c in checks), key=ORDER.index, default=GO)


def summary(checks: Iterable[Check], titles: dict[str, tuple[str, str]]) -> tuple[tuple[str, str, str], ...]:
    """Return the summary: (title, worst verdict, words) a chapter, in the order of ``titles``.

    ``titles`` holds the title and the state of each chapter; one without checks is shown with its state, or left out
    where that is empty.
    """
    found: dict[str, list[Check]] = {}
    for check in checks:
        found.setdefault(check.chapter, []).append(check)
    line = []
    for chapter, (title, state) in titles.items():
        if mine := found.get(chapter):
            verdict = worst(mine)
            stops = sum(c.stands for c in mine)
            line.append((title, verdict, f"{stops} stops" if stops > 1 else verdict))
        elif state:
            line.append((title, NOT_THERE if state == NOT_THERE else UNDECIDED, state))
    return tuple(line)


def exit_code(checks: Iterable[Check], essential: Iterable[str] = ()) -> int:
    """Return 1 with a stop that stands, 3 with an essential check undecided or nothing checked at all, else 0."""
    checks = tuple(checks)
    if any(c.stands for c in checks):
        return 1
    essential = set(essential)
    if not checks:
        return 3
    return 3 if any(c.verdict == UNDECIDED and c.id.split("[")[0] in essential for c in checks) else 0

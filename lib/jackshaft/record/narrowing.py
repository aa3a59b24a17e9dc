"""Finding a fault by questions: each asks for the look that parts the causes that are left most evenly.

A look is what one sees, feels or reads; each of its findings goes with some causes and rules the others out. Where a
finding goes with ``others``, it goes with every cause that no finding of that look names; a look without such a
finding says nothing of a cause that it does not name. A reading is judged by this build's own band; one too close to
an end of it to tell goes with the findings on both sides.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import NamedTuple

from jackshaft import tables
from jackshaft.chapters.measured.belts import BY_HAND
from jackshaft.chapters.measured.circuit import foretold_ohms
from jackshaft.chapters.measured.judging import USUAL
from jackshaft.parts.words import made_safe, sentence
from jackshaft.record.faults import has, here
from jackshaft.record.first_run import Found
from jackshaft.results import Results
from jackshaft.results.values import Number
from jackshaft.units import read

#: Where a finding goes with every cause that the look does not name, and what is typed where one cannot look.
OTHERS, SKIP = "others", "skip"
#: What a look may ask, the least first.
ASKS = ("eyes and hands", "simple tool", "meter", "at work", "taken apart")
#: Below this share of the least that is foretold a reading counts as none: common practice, no source.
NONE_BELOW = 0.05
#: What a feeler may be off by, as a share; the instruments of the log have their own: common practice, no source.
FEELER = 0.05


class Cause(NamedTuple):
    """What may be wrong, in words, and what to do about it."""

    name: str
    words: str
    remedy: str


class Finding(NamedTuple):
    """What a look may show, where of the build's band a reading then lies, and the causes that go with it."""

    words: str
    when: str
    causes: frozenset[str]


class Band(NamedTuple):
    """What this build foretells of a reading, SI."""

    kind: str
    low: float
    high: float


class Look(NamedTuple):
    """One look and what it may show, with this build's own value; ``ease`` is the place in ``ASKS`` of what it asks."""

    words: str
    running: bool
    ease: int
    here: str
    band: Band | None
    findings: tuple[Finding, ...]

    def parts(self, left: frozenset[str]) -> list[int]:
        """Return how many of the causes that are left go with each finding."""
        return [len(left & f.causes) for f in self.findings]


class Step(NamedTuple):
    """A question that was answered: the look, the answer, and the causes that it ruled out."""

    look: str
    answer: str
    out: tuple[Cause, ...]

    @property
    def words(self) -> str:
        """The step as a line: what was found where, and what that rules out."""
        out = "; ".join(f"{cause.words[:1].lower()}{cause.words[1:]}" for cause in self.out)
        return f"{self.look}: {self.answer}. {f'Ruled out: {out}.' if out else 'Nothing is ruled out.'}"


@dataclass(frozen=True)
class Case:
    """A fault that is being looked for: the causes that are left, the looks that were not asked for, and the way here.

    It never changes; an answer gives another one.
    """

    complaint: str
    causes: Mapping[str, Cause]
    looks: tuple[Look, ...]
    safe: str
    system: str
    left: frozenset[str]
    steps: tuple[Step, ...] = ()

    @property
    def question(self) -> Look | None:
        """The look that leaves the fewest causes at worst, of those the easiest; None where none parts them."""
        parting = [look for look in self.looks if max(look.parts(self.left)) < len(self.left)]
        return min(parting, key=lambda look: (max(look.parts(self.left)), look.ease), default=None)

    @property
    def why(self) -> str:
        """Why this look is asked for, with how to stand before it, in sentences."""
        look = self.question
        if look is None:
            return ""
        parts, many = sorted((n for n in look.parts(self.left) if n), reverse=True), len(self.left)
        if sum(parts) == many:
            words = f"parts the {many} causes that are left into {', '.join(map(str, parts[:-1]))} and {parts[-1]}"
        else:
            words = f"leaves at most {parts[0]} of the {many} causes"
        stand = "Guards on, from where you can reach the stop." if look.running else f"{self.safe} first."
        return f"{stand} It {words}."

    @property
    def found(self) -> tuple[Cause, ...]:
        """The causes that are left, in the order of the table."""
        return tuple(cause for name, cause in self.causes.items() if name in self.left)

    @property
    def end(self) -> str:
        """What came of it, in sentences; nothing while a question is open."""
        if self.question is not None:
            return ""
        if not self.left:
            return (
                "What was found goes with none of the causes on the list. One of the looks may deceive, or the cause "
                "is another one. Ask again from the start, and doubt the answer that you were least sure of."
            )
        head = "It is most likely this." if len(self.left) == 1 else "No look of the list parts these any further."
        return " ".join([head, *(f"{c.words}. {c.remedy}." for c in self.found)])

    def skip(self) -> Case:
        """Return the case without the look that is asked for: it cannot be done here."""
        look = self.question
        return self if look is None else self._after(look, "left out", self.left)

    def answer(self, text: str) -> Case:
        """Return the case after an answer to its question.

        Parameters
        ----------
        text : str
            The number of the finding from 1, a reading with its unit where the build foretells one, or "skip".

        Raises
        ------
        ValueError
            If no question is open, or the text is no answer to it; the words say what is wanted.
        """
        look, text = self.question, text.strip()
        if look is None:
            raise ValueError("found an answer; wanted none: no question is open")
        if text.lower() == SKIP:
            return self.skip()
        if text.isdecimal() and 0 < int(text) <= len(look.findings):
            found = (look.findings[int(text) - 1],)
        elif look.band is not None and not text.isdecimal():
            found = self._judged(look, text)
        else:
            more = ", or a reading with its unit" if look.band else ""
            wanted = f"a number from 1 to {len(look.findings)}{more}, or '{SKIP}'"
            raise ValueError(f"found '{text[:60]}'; wanted {wanted}")
        words = text if len(text) > 2 else found[0].words
        if len(found) > 1:
            words += ": too close to tell " + " from ".join(f"'{f.words}'" for f in found)
        elif words is text:
            words += f": {found[0].words}"
        return self._after(look, words, self.left & frozenset().union(*(f.causes for f in found)))

    def _judged(self, look: Look, text: str) -> tuple[Finding, ...]:
        """Return the findings that a reading goes with, its instrument's doubt counted."""
        kind, low, high = look.band
        value = read(text, kind, system=self.system).si
        off = USUAL.get(kind, FEELER) * abs(value)
        lies = {
            "zero": value < NONE_BELOW * low,
            "below": NONE_BELOW * low <= value and value - off < low,
            "above": value + off > high,
            "within": value + off >= low and value - off <= high,
        }
        if value < NONE_BELOW * low and all(f.when != "zero" for f in look.findings):
            lies["below"] = True
        found = tuple(f for f in look.findings if f.when and lies[f.when])
        if not found:
            wanted = "Read it again; if it stays so, answer by a number"
            raise ValueError(f"found {text}, outside what this look tells of ({look.here}). {wanted}")
        return found

    def _after(self, look: Look, answer: str, left: frozenset[str]) -> Case:
        out = tuple(cause for cause in self.found if cause.name not in left)
        rest = tuple(one for one in self.looks if one.words != look.words)
        return replace(self, looks=rest, left=left, steps=(*self.steps, Step(look.words, answer, out)))


def complaints(results: Results) -> list[str]:
    """Return what may be wrong with a build, as one notices it: each has a cause that its parts can have."""
    at = Found(results)
    return list(dict.fromkeys(c for row in _there(at) for c in _listed(row["complaints"])))


def begin(results: Results, complaint: str) -> Case:
    """Return the case of a complaint, before its first question.

    Raises
    ------
    ValueError
        If the build has no such complaint; the words list those that it has.
    """
    at = Found(results)
    rows = [row for row in _there(at) if complaint in _listed(row["complaints"])]
    if not rows:
        raise ValueError(f"found '{complaint[:80]}'; wanted one of: {'; '.join(complaints(results))}")
    causes = {row["cause"]: Cause(row["cause"], row["words"], row["remedy"]) for row in rows}
    safe = sentence(made_safe(at.reader.get("engine.kind")))
    return Case(complaint, causes, tuple(_looks(at, complaint)), safe, at.system, frozenset(causes))


def _there(at: Found) -> list:
    """Return the causes that the parts of a build can have; those of no part can be anywhere."""
    return [row for row in tables.table("fault_causes").rows if not row["part"] or has(at, row["part"])]


def _listed(text: str) -> list[str]:
    return [one.strip() for one in text.split(";")]


def _looks(at: Found, complaint: str):
    """Yield every look of the table that a complaint allows, with this build's own values."""
    every = frozenset(row["cause"] for row in tables.table("fault_causes").rows)
    grouped: dict[str, list] = {}
    for row in tables.table("fault_looks").rows:
        grouped.setdefault(row["look"], []).append(row)
    for words, rows in grouped.items():
        if complaint in _listed(rows[0]["not_for"] or ""):
            continue
        named = [set(_listed(row["causes"])) for row in rows]
        rest = every - frozenset().union(*named)
        silent = rest if all(OTHERS not in causes for causes in named) else frozenset()
        findings = tuple(
            Finding(
                row["finding"],
                row["when"] or "",
                frozenset(causes - {OTHERS}) | (rest if OTHERS in causes else silent),
            )
            for row, causes in zip(rows, named, strict=True)
        )
        first = rows[0]
        band = _BANDS[first["reading"]](at) if first["reading"] else None
        base = here(at, first["baseline"] or "")
        yield Look(words, first["machine"] == "running", ASKS.index(first["asks"]), base, band, findings)


def _volts(at: Found) -> Band | None:
    electric = at.data("electric")
    there = [i for s in ("running, cold", "running, hot") if electric and (i := electric.at(s)) is not None]
    if not there:
        return None
    volts = [float(a.coil_volts[i]) for a in (electric.steps, electric.worst) for i in there]
    return Band("voltage", min(volts), max(volts))


def _amps(at: Found) -> Band | None:
    electric = at.data("electric")
    states = ("running, cold", "running, hot")
    if electric is None or electric.at(states[0]) is None or electric.at(states[1]) is None:
        return None
    amps = [electric.worst_amps(s) for s in states] + [electric.amps(s) for s in states]
    return Band("current", min(amps), max(amps))


def _ohms(at: Found) -> Band | None:
    ends = foretold_ohms(at.reader)
    return None if ends is None else Band("resistance", *ends)


def _gap(at: Found) -> Band | None:
    check = next((c for c in at.results.checks if c.id == "clutch.gap"), None)
    wanted = None if check is None else check.wanted
    if not isinstance(wanted, Number) or wanted.low is None:
        return None
    return Band("length", wanted.low, wanted.si if wanted.high is None else wanted.high)


def _push(at: Found) -> Band | None:
    """Return the band of the push on a belt; None where several belts have several, which a number cannot tell."""
    grips = list((at.data("grip") or {}).values())
    if len(grips) != 1:
        return None
    best, new = grips[0].set.best, grips[0].set.new_over_run_in
    return Band("force", (1 - BY_HAND) * best.force, (1 + BY_HAND) * best.force * new)


#: What this build foretells of each reading, by the names of the table.
_BANDS: Mapping[str, Callable[[Found], Band | None]] = {
    "volts": _volts,
    "amps": _amps,
    "ohms": _ohms,
    "gap": _gap,
    "push": _push,
}

__all__ = ["OTHERS", "SKIP", "Band", "Case", "Cause", "Finding", "Look", "Step", "begin", "complaints"]

"""Everything computed from one build, in the order of the torque's way."""

from __future__ import annotations

import hashlib
import traceback
from collections.abc import Container, Generator, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TypeVar

from jackshaft import tables
from jackshaft.buildfile import Build
from jackshaft.results.chapter import WHOLE, Chapter, Detail, Scope, needed_by
from jackshaft.results.chapter import chapters as declared
from jackshaft.results.checks import (
    STOP,
    UNDECIDED,
    Accepted,
    Check,
    accept,
    exit_code,
    summary,
    undecided,
    worst,
)
from jackshaft.results.ends import Corner, Moved
from jackshaft.results.ends import judging as corner_by_corner
from jackshaft.results.findings import (
    CANNOT,
    FAULTY,
    FOLLOWS,
    LATER,
    REFUSALS,
    REFUSED,
    UNKNOWN,
    WAITING,
    Fault,
    Findings,
    out_of_date,
    refused,
)
from jackshaft.results.measuring import Wanted, wanted
from jackshaft.results.memory import Memory
from jackshaft.results.reader import Reader, Unknown

#: The chapter of what is wrong with the build file; there only where something is.
FILE = "file"

#: Exit code for a fault of the program.
FAULT_EXIT = 70


T = TypeVar("T")

#: Work in steps, and the results that it ends with.
Steps = Generator[None, None, "Results"]

#: What a chapter says whose subject is still to come.
COMING = "What the build file says of it is kept."


def essential() -> tuple[str, ...]:
    """Return the checks without which a build is not decided yet (exit code 3)."""
    return tuple(e for chapter in declared().values() for e in chapter.essential)


@dataclass(frozen=True)
class Results:
    """The chapters of one build, its checks with acceptances, and what to measure next.

    ``raw`` are the chapters as they were found at the values written down, ``ends`` what was found at the ends of those
    that are known within a band only.
    """

    build: Build
    chapters: Mapping[str, Findings]
    checks: tuple[Check, ...]
    wanted: tuple[Wanted, ...]
    raw: Mapping[str, Findings] = field(default_factory=dict, repr=False)
    ends: Mapping[Corner, Moved] = field(default_factory=dict, repr=False)
    at_ends: bool = False
    scope: Scope = WHOLE

    @property
    def verdict(self) -> str:
        """The worst verdict of the build."""
        return worst(self.checks)

    @property
    def stops(self) -> tuple[Check, ...]:
        """The stops that nobody has accepted."""
        return tuple(c for c in self.checks if c.stands)

    @property
    def faults(self) -> tuple[Findings, ...]:
        """The chapters in which the program itself failed."""
        return tuple(c for c in self.chapters.values() if c.fault is not None)

    @property
    def exit_code(self) -> int:
        """0 no stop, 1 a stop that stands, 3 something essential undecided, 70 a fault of the program."""
        return FAULT_EXIT if self.faults else exit_code(self.checks, essential())

    @property
    def summary(self) -> tuple[tuple[str, str, str], ...]:
        """The summary: (title, verdict, words) a chapter."""
        titles = {name: (c.title, c.state) for name, c in self.chapters.items()}
        return summary(self.checks, titles | {"accepted": ("Accepted", "")})

    def of(self, chapter: str) -> tuple[Check, ...]:
        """Return the checks of one chapter, acceptances marked."""
        return tuple(c for c in self.checks if c.chapter == chapter)

    def sources(self) -> tuple[str, ...]:
        """Return the source keys that the chapters rest on, sorted."""
        keys = {k for c in self.chapters.values() for k in c.sources}
        keys |= {k.strip() for c in self.checks for k in c.source.split(";") if k.strip()}
        return tuple(sorted(keys))


def work_up(
    build: Build,
    chapters: Sequence[str] | None = None,
    *,
    before: Results | None = None,
    scope: Scope = WHOLE,
    at_ends: bool = False,
    memory: Memory | None = None,
) -> Results:
    """Work up a build: all of it, or only some chapters and what they need; no chapter that fails takes others with it.

    ``before`` may hold the results of the same chapters for another state of the build: chapters none
    of whose inputs changed are taken from it, which is what makes a slider quick. With ``at_ends`` each check is also
    judged at the ends of what is known within a band (:mod:`jackshaft.results.ends`): what a builder is told on pages,
    papers and by commands is; a panel is too, by :func:`judging`, once the hand that moves its slider rests.

    Raises
    ------
    KeyError
        If a chapter of that name does not exist.
    """
    there = declared()
    wanted = set(there) if chapters is None else needed_by(chapters, there)
    some = {n: c for n, c in there.items() if n in wanted}
    return run(build, some, before=before, scope=scope, at_ends=at_ends, memory=memory)


def run(
    build: Build,
    chapters: Mapping[str, Chapter],
    *,
    before: Results | None = None,
    scope: Scope = WHOLE,
    at_ends: bool = False,
    memory: Memory | None = None,
) -> Results:
    """Run chapters over a build in the order of the mapping; see :func:`work_up`."""
    raw = _worked_up(build, chapters, scope, _still_good(before, build), memory=memory)
    found = _results(build, raw, raw, scope)
    return at_once(_judging(found, chapters, before, memory)) if at_ends else found


def judging(results: Results, *, before: Results | None = None, memory: Memory | None = None) -> Steps:
    """Judge the checks of results at the ends too, a step at a time; return the results with what became of them.

    Nothing is worked up anew at the values written down. ``before`` may hold the results of another state of the
    build, judged so; ``memory`` is as for :func:`work_up`.
    """
    there = declared()
    return _judging(results, {n: there[n] for n in results.raw if n in there}, before, memory)


def _judging(results: Results, chapters: Mapping[str, Chapter], before: Results | None, memory: Memory | None) -> Steps:
    scope = results.scope
    small = Scope(scope.detail if scope.detail is Detail.BARE else Detail.NO_TABLES, scope.stage)
    looked_up: dict[object, object] = {} if memory is None else memory.looked_up
    known = before.ends if before is not None and before.build.file == results.build.file else {}

    def at(moved: Build, kept: Mapping[str, Findings], names: Iterable[str]) -> dict[str, Findings]:
        # what is needed only, and not judged, is worked up bare
        some = needed_by(names, chapters)
        bare = some.difference(names)
        with tables.held(looked_up):
            return _worked_up(moved, {n: c for n, c in chapters.items() if n in some}, small, kept, bare, memory)

    done, ends = yield from corner_by_corner(results.build, results.raw, at, known)
    return replace(_results(results.build, results.raw, done, scope), ends=ends, at_ends=True)


def at_once(steps: Generator[None, None, T]) -> T:
    """Do all steps of some work, and return what it ends with."""
    with tables.held():
        while True:
            try:
                next(steps)
            except StopIteration as done:
                return done.value


def _results(build: Build, raw: Mapping[str, Findings], done: Mapping[str, Findings], scope: Scope) -> Results:
    checks = accept((c for found in done.values() for c in found.checks), _accepted(build))
    return Results(build, done, checks, wanted(build, done, checks, essential()), raw, scope=scope)


def _worked_up(
    build: Build,
    chapters: Mapping[str, Chapter],
    scope: Scope,
    kept: Mapping[str, Findings],
    bare: Container[str] = (),
    memory: Memory | None = None,
) -> dict[str, Findings]:
    """Return the chapters of a build at the values it holds; those that are ``kept`` are taken as they are.

    Those in ``bare`` are worked up bare, whatever the scope.
    """
    least = replace(scope, detail=Detail.BARE)
    recall = None if memory is None else memory.of(build)
    done: dict[str, Findings] = {FILE: _file(build)} if build.problems else {}
    with tables.held(None if memory is None else memory.looked_up):
        for name, chapter in chapters.items():
            if not chapter.coming:
                asked = least if name in bare else scope
                found = kept.get(name) or (recall and recall.get(name, asked))
                if found is None:
                    found = _chapter(build, chapter, asked, done, chapters)
                    if recall is not None:
                        recall.hold(asked, found)
                done[name] = found
            elif build.has(name):
                done[name] = Findings(name, chapter.title, LATER, words=COMING)
    return done


class Again:
    """Works the same chapters up again and again, each time from what the last time found."""

    def __init__(self, *chapters: str, stage: str | None = None, detail: Detail = Detail.NO_TABLES):
        self.chapters, self.scope = chapters, Scope(detail, stage)
        self._last: Results | None = None

    def __call__(self, build: Build) -> Results:
        """Work up the chapters of a build."""
        self._last = work_up(build, self.chapters, before=self._last, scope=self.scope)
        return self._last


def _file(build: Build) -> Findings:
    """Return the chapter that says what is wrong with the build file itself."""
    checks = tuple(
        Check(
            f"{FILE}.fault[{number}]",
            problem.key or "the file",
            f"found {problem.found}",
            problem.wanted,
            STOP,
            f"{problem.file} has a fault here. What is wrong is left out and counts as not known.",
            "Write down the right value on the start page or in the file. Or take it out of the file, or bring the "
            "previous version back; both are done on the start page.",
            guards=True,
        )
        for number, problem in enumerate(build.problems, 1)
    )
    words = f"{len(checks)} thing{'s' * (len(checks) != 1)} in it cannot be taken"
    return Findings(FILE, "Build file", "has faults", checks=checks, words=words)


def _chapter(
    build: Build, chapter: Chapter, scope: Scope, done: Mapping[str, Findings], there: Mapping[str, Chapter]
) -> Findings:
    """Work up one chapter; what it cannot take is said in its place."""
    reader, name, title = Reader(build), chapter.name, chapter.title
    try:
        found = chapter.work_up(reader, done, scope)
        ground = _ground(chapter, there, {**done, name: found})
        return replace(found, checks=tuple(_lacking(build, c, ground) for c in found.checks))
    except Unknown as unknown:
        check = undecided(f"{name}.inputs", title, unknown.keys, "Something it needs is not known yet.")
        return _instead(name, title, UNKNOWN, reader, (check,), check.reason)
    except REFUSALS as why:
        check = refused(f"{name}.inputs", title, reader.suspects(reader.read, str(why)), why)
        return _instead(name, title, REFUSED, reader, (check,), check.reason)
    except Exception as error:
        needs = [done[n] for n in needed_by(chapter.needs, there) if n in done]
        failed = [found for found in needs if found.state in (FAULTY, REFUSED, WAITING)]
        if failed:
            words = f"It needs the chapter '{failed[0].title}', which could not be worked out."
            return _instead(name, title, WAITING, reader, (), words)
        fault = fault_of(error)
        words = (
            f"The program itself failed here (code {fault.code}). The build file is not at fault. "
            "The other chapters are not affected."
        )
        check = Check(f"{name}.fault", title, "not worked out", "", UNDECIDED, words)
        return _instead(name, title, FAULTY, reader, (check,), words, fault)


def _ground(chapter: Chapter, there: Mapping[str, Chapter], found: Mapping[str, Findings]) -> list[Check]:
    """Return the undecided checks that the checks of a chapter rest on: of the chapters that it needs, and its own."""
    needed = needed_by(chapter.needs, there)
    below = [c for n, c in there.items() if n in needed and n in found] + [chapter]
    return [
        check
        for one in below
        for check in found[one.name].checks
        if check.verdict == UNDECIDED and check.found != CANNOT and check.id.partition("[")[0] in one.ground
    ]


def _lacking(build: Build, check: Check, ground: Sequence[Check]) -> Check:
    """Return a check that names as missing only what is not known; one that refused its inputs names what it took.

    Where all that it names is known, what it waits for is what the checks of the ``ground`` miss; where those miss
    nothing either, something before it was refused, and it cannot be worked out for the same values.
    """
    if check.verdict != UNDECIDED or check.found == CANNOT or all(build.get(k) is None for k in check.missing):
        return check
    for named in (check.missing, [k for c in ground for k in c.missing]):
        keys = tuple(dict.fromkeys(k for k in named if build.get(k) is None))
        if keys:
            return replace(check, missing=keys)
    reason = f"{check.reason} What it rests on cannot be worked out: {FOLLOWS}"
    return replace(check, found=CANNOT, reason=reason)


def _instead(
    name: str, title: str, state: str, reader: Reader, checks: tuple[Check, ...], words: str, fault: Fault | None = None
) -> Findings:
    return Findings(
        name,
        title,
        state,
        checks=checks,
        inputs=frozenset(reader.read),
        missing=tuple(reader.missing),
        words=words,
        fault=fault,
    )


def fault_of(error: Exception) -> Fault:
    """Return what is kept of a fault of the program: a code made from its kind and place in the code, and its trace."""
    home = Path(__file__).parents[1]
    frames = [f for f in traceback.extract_tb(error.__traceback__) if Path(f.filename).is_relative_to(home)]
    place = [f"{Path(f.filename).relative_to(home).as_posix()}:{f.name}" for f in frames[-2:]]
    code = hashlib.sha256("|".join([type(error).__name__, *place]).encode()).hexdigest()[:6].upper()
    return Fault(code, "".join(traceback.format_exception(error)))


def _still_good(before: Results | None, build: Build) -> Mapping[str, Findings]:
    if before is None or before.build.file != build.file:
        return {}
    spoiled = {c.name for c, _ in out_of_date(before.build, build, tuple(before.raw.values()))}
    return {name: c for name, c in before.raw.items() if name not in spoiled}


def _accepted(build: Build) -> dict[str, Accepted]:
    return {
        name: Accepted(*(str(build.get(f"accepted[{name}].{key}") or "") for key in ("reason", "date", "found")))
        for name in build.names("accepted")
    }


__all__ = [
    "STOP",
    "Again",
    "Results",
    "Wanted",
    "at_once",
    "essential",
    "fault_of",
    "judging",
    "run",
    "work_up",
]

"""Everything computed from one build, in the order of the torque's way."""

from __future__ import annotations

import hashlib
import traceback
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from jackshaft import tables
from jackshaft.build import Build
from jackshaft.checks import STOP, UNDECIDED, Accepted, Check, accept, exit_code, strip, undecided, worst
from jackshaft.workup.core import (
    FAULTY,
    LATER,
    REFUSALS,
    REFUSED,
    UNKNOWN,
    WAITING,
    Chapter,
    Fault,
    Looker,
    Unknown,
    Worker,
    label,
    out_of_date,
    refused,
)

#: Checks without which a build is not decided yet (exit code 3).
ESSENTIAL = ("ratio.speed", "ratio.direction", "layout.length", "grip.margin", "electric.fuse", "bearings.life")

#: The chapter of what is wrong with the build file; there only where something is.
FILE = "file"

#: Exit code for a fault of the program.
FAULT_EXIT = 70


@dataclass(frozen=True)
class Wanted:
    """A measurement worth taking: the key, in shop words, and the checks that it helps to decide."""

    key: str
    words: str
    unlocks: tuple[str, ...]


@dataclass(frozen=True)
class Results:
    """The chapters of one build, its checks with acceptances, and what to measure next."""

    build: Build
    chapters: Mapping[str, Chapter]
    checks: tuple[Check, ...]
    wanted: tuple[Wanted, ...]

    @property
    def verdict(self) -> str:
        """The worst verdict of the build."""
        return worst(self.checks)

    @property
    def stops(self) -> tuple[Check, ...]:
        """The stops that nobody has accepted."""
        return tuple(c for c in self.checks if c.stands)

    @property
    def faults(self) -> tuple[Chapter, ...]:
        """The chapters in which the program itself failed."""
        return tuple(c for c in self.chapters.values() if c.fault is not None)

    @property
    def exit_code(self) -> int:
        """0 no stop, 1 a stop that stands, 3 something essential undecided, 70 a fault of the program."""
        return FAULT_EXIT if self.faults else exit_code(self.checks, ESSENTIAL)

    @property
    def strip(self) -> tuple[tuple[str, str, str], ...]:
        """The verdict strip: (title, verdict, words) a chapter."""
        return strip(self.checks, {name: c.title for name, c in self.chapters.items()} | {"accepted": "Accepted"})

    def of(self, chapter: str) -> tuple[Check, ...]:
        """Return the checks of one chapter, acceptances marked."""
        return tuple(c for c in self.checks if c.chapter == chapter)

    def sources(self) -> tuple[str, ...]:
        """Return the source keys that the chapters rest on, sorted."""
        keys = {k for c in self.chapters.values() for k in c.sources}
        keys |= {k.strip() for c in self.checks for k in c.source.split(";") if k.strip()}
        return tuple(sorted(keys))


def run(
    build: Build,
    workers: Mapping[str, Worker],
    later: Mapping[str, str],
    before: Results | None = None,
    *,
    titles: Mapping[str, str] = MappingProxyType({}),
    needs: Mapping[str, tuple[str, ...]] = MappingProxyType({}),
) -> Results:
    """Run the workers over a build in their order; no chapter that fails takes another one with it.

    ``titles`` names them, ``needs`` says which chapters each one takes results of. ``later`` names chapters that have
    no computation yet; they are shown as such when the build has something for them. Chapters of ``before`` none of
    whose inputs changed are taken as they are.
    """
    done: dict[str, Chapter] = {FILE: _file(build)} if build.problems else {}
    kept = _still_good(before, build)
    with tables.held():
        for name, worker in workers.items():
            title = titles.get(name, name)
            done[name] = kept[name] if name in kept else _chapter(build, name, worker, title, needs, done)
    for name, title in later.items():
        if build.has(name):
            done[name] = Chapter(
                name, title, LATER, words="The inputs are kept in the build file; this chapter is not computed yet."
            )
    checks = accept((c for chapter in done.values() for c in chapter.checks), _accepted(build))
    return Results(build, done, checks, _wanted(done, checks))


def _file(build: Build) -> Chapter:
    """Return the chapter that says what is wrong with the build file itself."""
    checks = tuple(
        Check(
            f"{FILE}.fault[{number}]",
            problem.key or "the file",
            f"found {problem.found}",
            problem.wanted,
            STOP,
            f"{problem.file} cannot be taken as it is. What is wrong is left out and counts as not known.",
            "Write down the right value on the start page or in the file, or bring the previous version back there.",
            guards=True,
        )
        for number, problem in enumerate(build.problems, 1)
    )
    words = f"{len(checks)} thing{'s' * (len(checks) != 1)} in it cannot be taken"
    return Chapter(FILE, "Build file", "has faults", checks=checks, words=words)


def _chapter(build: Build, name: str, worker: Worker, title: str, needs, done: Mapping[str, Chapter]) -> Chapter:
    """Work up one chapter; what it cannot take is said in its place."""
    look = Looker(build)
    try:
        return worker(look, done)
    except Unknown as unknown:
        check = undecided(f"{name}.inputs", title, unknown.keys, "Something it needs is not known yet.")
        return _instead(name, title, UNKNOWN, look, (check,), check.reason)
    except REFUSALS as why:
        check = refused(f"{name}.inputs", title, look.suspects(look.read, str(why)), why)
        return _instead(name, title, REFUSED, look, (check,), check.reason)
    except Exception as error:
        failed = [done[n] for n in _all_needs(name, needs) if n in done and done[n].state in (FAULTY, REFUSED, WAITING)]
        if failed:
            words = f"It needs the chapter '{failed[0].title}', which could not be worked out."
            return _instead(name, title, WAITING, look, (), words)
        fault = fault_of(error)
        words = (
            f"The program itself failed here (code {fault.code}); the build file is not at fault. "
            "The other chapters stand."
        )
        check = Check(f"{name}.fault", title, "not worked out", "", UNDECIDED, words)
        return _instead(name, title, FAULTY, look, (check,), words, fault)


def _instead(
    name: str, title: str, state: str, look: Looker, checks: tuple[Check, ...], words: str, fault: Fault | None = None
) -> Chapter:
    return Chapter(
        name,
        title,
        state,
        checks=checks,
        inputs=frozenset(look.read),
        missing=tuple(look.missing),
        words=words,
        fault=fault,
    )


def _all_needs(name: str, needs: Mapping[str, tuple[str, ...]]) -> set[str]:
    found = set(needs.get(name, ()))
    for one in tuple(found):
        found |= _all_needs(one, needs)
    return found


def fault_of(error: Exception) -> Fault:
    """Return what is kept of a fault of the program: a code made from its kind and place in the code, and its trace."""
    home = Path(__file__).parents[1]
    frames = [f for f in traceback.extract_tb(error.__traceback__) if Path(f.filename).is_relative_to(home)]
    place = [f"{Path(f.filename).relative_to(home).as_posix()}:{f.name}" for f in frames[-2:]]
    code = hashlib.sha256("|".join([type(error).__name__, *place]).encode()).hexdigest()[:6].upper()
    return Fault(code, "".join(traceback.format_exception(error)))


def _still_good(before: Results | None, build: Build) -> Mapping[str, Chapter]:
    if before is None or before.build.file != build.file:
        return {}
    spoiled = {c.name for c, _ in out_of_date(before.build, build, tuple(before.chapters.values()))}
    return {name: c for name, c in before.chapters.items() if name not in spoiled}


def _accepted(build: Build) -> dict[str, Accepted]:
    return {
        name: Accepted(str(build.get(f"accepted[{name}].reason")), str(build.get(f"accepted[{name}].date")))
        for name in build.names("accepted")
    }


def _wanted(chapters: Mapping[str, Chapter], checks: tuple[Check, ...]) -> tuple[Wanted, ...]:
    """Rank what is missing: most undecided checks first, then the order of the torque's way."""
    unlocks: dict[str, list[str]] = {}
    for check in checks:
        if check.verdict == UNDECIDED:
            for key in check.missing:
                unlocks.setdefault(key, []).append(check.id)
    for chapter in chapters.values():
        for key in chapter.missing:
            unlocks.setdefault(key, [])
    ranked = sorted(unlocks.items(), key=lambda item: -len(item[1]))
    return tuple(Wanted(key, label(key), tuple(ids)) for key, ids in ranked)


__all__ = ["ESSENTIAL", "STOP", "Results", "Wanted", "run"]

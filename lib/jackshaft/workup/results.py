"""Everything computed from one build, in the order of the torque's way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from jackshaft import tables
from jackshaft.build import Build
from jackshaft.checks import STOP, UNDECIDED, Accepted, Check, accept, exit_code, strip, worst
from jackshaft.workup.core import LATER, Chapter, Looker, Worker, label, out_of_date

#: Checks without which a build is not decided yet (exit code 3).
ESSENTIAL = ("ratio.speed", "ratio.direction", "layout.length", "grip.margin", "electric.fuse", "bearings.life")


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
    def exit_code(self) -> int:
        """0 no stop, 1 a stop that stands, 3 something essential undecided."""
        return exit_code(self.checks, ESSENTIAL)

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
    build: Build, workers: Mapping[str, Worker], later: Mapping[str, str], before: Results | None = None
) -> Results:
    """Run the workers over a build in their order.

    ``later`` names chapters that have no computation yet; they are shown as such when the build has
    something for them. Chapters of ``before`` none of whose inputs changed are taken as they are.
    """
    done: dict[str, Chapter] = {}
    kept = _still_good(before, build)
    with tables.held():
        for name, worker in workers.items():
            done[name] = kept[name] if name in kept else worker(Looker(build), done)
    for name, title in later.items():
        if build.has(name):
            done[name] = Chapter(
                name, title, LATER, words="The inputs are kept in the build file; this chapter is not computed yet."
            )
    checks = accept((c for chapter in done.values() for c in chapter.checks), _accepted(build))
    return Results(build, done, checks, _wanted(done, checks))


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

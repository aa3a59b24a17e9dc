"""A panel that is about one part: which part it is, and what chapters found of that part alone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from jackshaft.buildfile import Build
from jackshaft.results import Results
from jackshaft.results.checks import Check, Fact


def belt_stages(build: Build) -> tuple[str, ...]:
    """Return the stages of a build that are belts."""
    return tuple(n for n in build.names("stage") if build.get(f"stage[{n}].kind") == "belt")


def belt_stage(build: Build, stage: str | None) -> str:
    """Return the belt stage that a panel is about: the first one when none is named.

    Raises
    ------
    ValueError
        If the build has no belt stage of that name.
    """
    belts = belt_stages(build)
    if stage is None and belts:
        return belts[0]
    if stage is None:
        raise ValueError("this build has no belt stage yet")
    if stage not in belts:
        raise ValueError(f"no belt stage is called '{stage}'; there is {', '.join(belts) or 'none'}")
    return stage


def found_of(results: Results, chapters: Sequence[str], stage: str) -> tuple[tuple[Fact, ...], tuple[Check, ...]]:
    """Return the facts and checks of chapters that were worked up for one stage, its name left out of theirs.

    Parameters
    ----------
    results : Results
        Worked up for this stage alone, so that every fact is the stage's.
    chapters : sequence of str
        Names of the chapters.
    stage : str
        The stage.
    """
    facts = [f for c in chapters for f in results.chapters[c].facts]
    checks = [c for n in chapters for c in results.of(n) if c.id.endswith(f"[{stage}]") or f"[{stage}, " in c.id]
    return unnamed(stage, facts, checks)


def unnamed(part: str, facts: Iterable[Fact], checks: Iterable[Check]) -> tuple[tuple[Fact, ...], tuple[Check, ...]]:
    """Return facts and checks of a part with its name left out of theirs: the panel has it in its title."""
    name = f"{part}: "
    return (
        tuple(replace(f, label=f.label.removeprefix(name)) for f in facts),
        tuple(replace(c, name=c.name.removeprefix(name)) for c in checks),
    )


__all__ = ["belt_stage", "belt_stages", "found_of", "unnamed"]

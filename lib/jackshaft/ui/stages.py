"""What chapters say of one stage, for a panel that is about that stage alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from jackshaft.results import Results
from jackshaft.results.checks import Check, Fact


def said_of(results: Results, chapters: Sequence[str], stage: str) -> tuple[list[Fact], list[Check]]:
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
    name = f"{stage}: "
    facts = [f for c in chapters for f in results.chapters[c].facts]
    checks = [c for n in chapters for c in results.of(n) if c.id.endswith(f"[{stage}]") or f"[{stage}, " in c.id]
    return (
        [replace(f, label=f.label.removeprefix(name)) for f in facts],
        [replace(c, name=c.name.removeprefix(name)) for c in checks],
    )


__all__ = ["said_of"]

"""A check that no change mends: what to ask for instead, with its number, or why no change of the build can."""

from __future__ import annotations

from dataclasses import replace

from jackshaft.results.chapter import chapters
from jackshaft.results.checks import Check
from jackshaft.results.failing import Failing
from jackshaft.results.running import Results


def _held(table: str, check: Check):
    """Return what the chapters' cures hold of a check in one of their tables; None where nothing."""
    what = check.id.partition("[")[0]
    there = (getattr(chapter.part("cures"), table, {}) for chapter in chapters().values())
    return next((held[what] for held in there if what in held), None)


def advised(results: Results, check: Check) -> Check:
    """Return a check without cures with what to ask for before its general advice; any other as it is."""
    ask = None if check.cures else _held("ASKS", check)
    words = ask(Failing(results, check)) if ask is not None else ""
    return replace(check, remedy=f"{words} {check.remedy}".strip()) if words else check


def no_change(check: Check) -> str:
    """Return why no change of the build can mend a check; empty where one might."""
    return _held("NO_CHANGE", check) or ""


__all__ = ["advised", "no_change"]

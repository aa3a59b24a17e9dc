"""Keeping values only when the build can still be worked up with them."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.buildfile import Answer, Build, BuildProblems, Problem
from jackshaft.buildfile.editing import Change
from jackshaft.buildfile.log_rules import changed_entries
from jackshaft.results import work_up
from jackshaft.results.checks import STOP, UNDECIDED
from jackshaft.results.findings import CANNOT, FOLLOWS
from jackshaft.results.running import Results


class NotWorkable(BuildProblems):
    """Values with which a part of the build that was worked up before cannot be worked up any more."""


def keep(build: Build, changes: Mapping[str, Change], *, settle: Mapping[str, str | Answer] | None = None) -> Build:
    """Keep changed values in the build's file, as :meth:`Build.save_values` does, once they are worked up.

    Raises
    ------
    NotWorkable
        If a calculation refuses the values, or fails with them; nothing is written.
    KeyConflict, BuildProblems, ChangedOnDisk, NotSaved
        As for saving; nothing is written.
    """
    changes = {**changes, **found_then(build, changes)}
    return build.save_values(changes, approve=lambda new: approve(build, new, changes), settle=settle)


def approve(before: Build, after: Build, changes: Mapping[str, Change]) -> None:
    """Refuse a change that leaves a part of the build not worked up which was worked up before.

    An acceptance of a stop that guards people or keeps a fire away is refused too, and what alters a written log.

    Raises
    ------
    NotWorkable
        With a problem for each such part, laid at the keys that were changed.
    BuildProblems
        For such an acceptance, and for a value of the log that was written already.
    """
    if changed := tuple(changed_entries(before, after)):
        raise BuildProblems(changed)
    results = work_up(after)
    fresh = set(after.names("accepted")) - set(before.names("accepted"))
    guards = [c for c in results.checks if c.id in fresh and c.guards and c.verdict == STOP]
    if guards:
        wanted = "what the check asks for: a stop that guards people or keeps a fire away cannot be accepted"
        raise BuildProblems(
            Problem(before.file, f"accepted[{c.id}]", f"an acceptance of '{c.name}' ({c.now})", wanted) for c in guards
        )
    new = _failures(results)
    if new:
        old = _failures(work_up(before, before=results))
        new = {id: words for id, words in new.items() if id not in old}
    if new:
        wanted = "values with which every part can still be worked out. Nothing was written"
        raise NotWorkable(Problem(before.file, _laid_at(changes, words), words, wanted) for words in new.values())


def found_then(build: Build, changes: Mapping[str, Change]) -> dict[str, str]:
    """Return for each check that is newly accepted its verdict and value, to be written beside the reason."""
    taken = {k.removesuffix(".reason") for k in changes if k.startswith("accepted[") and k.endswith("].reason")}
    taken = {at for at in taken if f"{at}.found" not in changes and build.get(f"{at}.reason") is None}
    if not taken:
        return {}
    return {
        f"accepted[{c.id}].found": c.now for c in work_up(build, at_ends=True).checks if f"accepted[{c.id}]" in taken
    }


def _laid_at(changes: Mapping[str, Change], words: str) -> str:
    """Return the keys whose typed text is quoted in the words of a failure; all that were changed where none is."""
    quoted = [key for key, value in changes.items() if isinstance(value, str) and f"'{value.strip()}'" in words]
    return ", ".join(quoted or changes)


def _failures(results: Results) -> dict[str, str]:
    """Return what could not be worked out, by the name of its check."""
    cannot = (c for c in results.checks if c.verdict == UNDECIDED and c.value == CANNOT)
    # what only waits for another check is no failure of its own: a layout may be turned round step by step
    refused = {c.id: f"{c.name}: {c.reason}" for c in cannot if not c.reason.endswith(FOLLOWS)}
    return refused | {c.name: f"{c.title}: {c.words}" for c in results.faults}


__all__ = ["NotWorkable", "approve", "found_then", "keep"]

"""What changed between two versions of a build, and what that makes out of date."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from jackshaft.buildfile import Build
from jackshaft.results import chapters, out_of_date, work_up

#: So many keys that others changed are named.
FEW = 4


def stale_words(before: Build, after: Build) -> str:
    """Return a sentence that names every chapter and paper that a change makes out of date; empty for none.

    Parameters
    ----------
    before, after : Build
        The build as it was and as it is kept now.
    """
    results = work_up(before)
    hit = [chapter for chapter, _ in out_of_date(before, after, tuple(results.chapters.values()))]
    if not hit:
        return ""
    declared = chapters()
    papers = [declared[c.name].paper for c in hit if c.name in declared and c.data is not None]
    papers = [p for p in papers if p] + ["the record"]
    return (
        f"Out of date now: {', '.join(c.title for c in hit)}. Run those pages again, and print again what was printed "
        f"from them: {', '.join(papers)}."
    )


def elsewhere_words(before: Build, after: Build, mine: Collection[str]) -> str:
    """Return a sentence that names what others changed in the file before a save; empty for nothing.

    Parameters
    ----------
    before, after : Build
        The build as it was read and as it is kept now.
    mine : collection of str
        The keys that were changed here.
    """
    theirs = [key for key in changed_keys(before, after) if not lies_in(key, mine)]
    if not theirs:
        return ""
    return f"Changed elsewhere meanwhile, and taken over: {few(theirs, FEW)}."


def changed_keys(before: Build, after: Build) -> list[str]:
    """Return the keys whose value differs between two versions of a build."""
    keys = dict.fromkeys((*before.values, *after.values))
    return [key for key in keys if before.values.get(key) != after.values.get(key)]


def lies_in(key: str, wholes: Collection[str]) -> bool:
    """Tell whether a key is one of several keys, parts and lists, or lies in one of them."""
    return any(key == whole or key.startswith((whole + ".", whole + "[")) for whole in wholes)


def few(words: Sequence[str], most: int, mark: str = ", ") -> str:
    """Return the first of several words in a line, and how many more there are."""
    more = f"{mark if mark != ', ' else ' and '}{len(words) - most} more" if len(words) > most else ""
    return mark.join(words[:most]) + more

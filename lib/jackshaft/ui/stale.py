"""What a kept change makes out of date: chapters, and what was printed or tagged from them."""

from __future__ import annotations

from collections.abc import Iterable

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
        f"Out of date now: {', '.join(c.title for c in hit)}. Run those pages again, and make anew what was printed "
        f"from them: {', '.join(papers)}."
    )


def elsewhere_words(before: Build, after: Build, mine: Iterable[str]) -> str:
    """Return a sentence that names what others changed in the file before a save; empty for nothing.

    Parameters
    ----------
    before, after : Build
        The build as it was read and as it is kept now.
    mine : iterable of str
        The keys that were changed here.
    """
    mine = set(mine)
    keys = [k for k in dict.fromkeys((*before.values, *after.values)) if before.values.get(k) != after.values.get(k)]
    theirs = [k for k in keys if not any(k == m or k.startswith((m + ".", m + "[")) for m in mine)]
    if not theirs:
        return ""
    more = f" and {len(theirs) - FEW} more" if len(theirs) > FEW else ""
    return f"Changed elsewhere meanwhile, and taken over: {', '.join(theirs[:FEW])}{more}."

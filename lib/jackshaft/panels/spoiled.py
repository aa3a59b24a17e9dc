"""What a kept change makes out of date: chapters, and what was printed or tagged from them."""

from __future__ import annotations

from jackshaft.build import Build
from jackshaft.workup import out_of_date, work_up

#: Paper that is made from a chapter and hangs in the shop.
PAPERS = {
    "grip": "the tension tag",
    "layout": "the layout drawing",
    "electric": "the wiring sheet",
    "bearings": "the fitting cards",
}


def spoiled_words(before: Build, after: Build) -> str:
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
    papers = [PAPERS[c.name] for c in hit if c.name in PAPERS and c.data is not None] + ["the record"]
    return (
        f"Out of date now: {', '.join(c.title for c in hit)}. Run those pages again, and make anew what was printed "
        f"from them: {', '.join(papers)}."
    )

"""What a build does not say of its load leaves a go of the clutch open."""

from __future__ import annotations

from jackshaft.chapters.clutch import engage as clutch_engage
from jackshaft.results.checks import CAUTION, GO
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader


def leave_open(draft: Draft, reader: Reader, found: clutch_engage.Engagement | None) -> None:
    """Leave open what a hard start or peak may spoil, where the build does not say how hard they are.

    That is a go, and of what the clutch holds a caution too, for a peak may make a stop of it.
    """
    lacks = [k for k in ("work.start_factor", "work.peak_factor") if reader.get(k) is None]
    start = [] if reader.get("clutch.engage_unloaded") else [k for k in lacks if k == "work.start_factor"]
    words = "How hard the work starts is not known: here it starts as hard as it works."
    steady = () if found is not None and found.load.power else ("clutch.engagement", "clutch.repeated")
    draft.doubt(reader, start, words, "clutch.pull-in", *steady)
    hard = "How hard the work starts, or how hard its peaks are, is not known."
    keys = [k for k in lacks if k in start or k != "work.start_factor"]
    draft.doubt(reader, keys, hard, "clutch.hold", of=(GO, CAUTION))


__all__ = ["leave_open"]

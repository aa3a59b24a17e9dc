"""What a build does not say of its load leaves a go of the clutch open."""

from __future__ import annotations

from jackshaft.chapters.clutch import engage as clutch_engage
from jackshaft.chapters.ratio.data import RatioData
from jackshaft.parts.works import factor_of
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader


def leave_open(
    draft: Draft, reader: Reader, found: clutch_engage.Engagement | None, ratio: RatioData | None, shaft: str
) -> None:
    """Leave open a go that a hard start or peak may spoil, where the build does not say how hard they are."""
    lacks = [f"work.{n}_factor" for n in ("start", "peak") if factor_of(reader, ratio, shaft, n) is None]
    start = [] if reader.get("clutch.engage_unloaded") else [k for k in lacks if k == "work.start_factor"]
    words = "How hard the work starts is not known: here it starts as hard as it works."
    steady = () if found is not None and found.load.power else ("clutch.engagement", "clutch.repeated")
    draft.doubt(reader, start, words, "clutch.pull-in", *steady)
    hard = "How hard the work starts, or how hard its peaks are, is not known."
    draft.doubt(reader, [k for k in lacks if k in start or k != "work.start_factor"], hard, "clutch.hold")


__all__ = ["leave_open"]

"""What a build does not say of its load leaves a go of the clutch open."""

from __future__ import annotations

from jackshaft.chapters.clutch import engage as clutch_engage
from jackshaft.chapters.ratio.data import RatioData
from jackshaft.parts.works import STRAY, factor_key, factor_of, stray_works
from jackshaft.results.checks import CAUTION, GO
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader


def leave_open(
    draft: Draft, reader: Reader, found: clutch_engage.Engagement | None, ratio: RatioData | None, shaft: str
) -> None:
    """Leave open what a hard start or peak may spoil, where the build does not say how hard they are.

    That is a go, and of what the clutch holds a caution too, for a peak may make a stop of it.
    """
    lacks = {n: factor_key(reader, n) for n in ("start", "peak") if factor_of(reader, ratio, shaft, n) is None}
    if reader.get("clutch.engage_unloaded"):
        lacks.pop("start", None)
    start = [lacks[n] for n in lacks if n == "start"]
    words = "How hard the work starts is not known: here it starts as hard as it works."
    steady = () if found is not None and found.load.power else ("clutch.engagement", "clutch.repeated")
    draft.doubt(reader, start, words, "clutch.pull-in", *steady)
    hard = "How hard the work starts, or how hard its peaks are, is not known."
    draft.doubt(reader, list(lacks.values()), hard, "clutch.hold", of=(GO, CAUTION))
    draft.doubt(reader, stray_works(reader), STRAY, "clutch.engagement", "clutch.repeated")


__all__ = ["leave_open"]

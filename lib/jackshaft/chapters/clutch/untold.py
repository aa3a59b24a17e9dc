"""What a build does not say of its load leaves a go of the clutch open."""

from __future__ import annotations

from dataclasses import replace

from jackshaft.chapters.clutch import engage as clutch_engage
from jackshaft.chapters.clutch.checks import service_factor
from jackshaft.chapters.clutch.ways_data import IDLER
from jackshaft.mechanics import clutch
from jackshaft.results.checks import CAUTION, GO, STOP, Check, grade, reaches
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader


def leave_open(
    draft: Draft, reader: Reader, found: clutch_engage.Engagement | None, required: clutch.Required | None
) -> None:
    """Leave open what a hard start or peak may spoil, where the build does not say how hard they are.

    That is a go, and a caution of what the clutch holds that the work's own load does not give already.
    """
    lacks = [k for k in ("work.start_factor", "work.peak_factor") if reader.get(k) is None]
    start = [] if reader.get("clutch.engage_unloaded") else [k for k in lacks if k == "work.start_factor"]
    words = "How hard the work starts is not known: here it starts as hard as it works."
    steady = () if found is not None and found.load.power else ("clutch.engagement", "clutch.repeated")
    draft.doubt(reader, start, words, "clutch.pull-in", *steady)
    hard = "How hard the work starts, or how hard its peaks are, is not known."
    keys = [k for k in lacks if k in start or k != "work.start_factor"]
    held = next((c for c in draft.checks if c.id == "clutch.hold"), None)
    if held is not None and held.verdict in (CAUTION, STOP) and keys and _stands(reader, held, required):
        i = draft.checks.index(held)
        draft.checks[i] = replace(held, reason=f"{held.reason} {hard} It may be worse.")
    also = () if held is None or _stands(reader, held, required) else (CAUTION,)
    draft.doubt(reader, keys, hard, "clutch.hold", also=also)


def _stands(reader: Reader, held: Check, required: clutch.Required | None) -> bool:
    """Tell whether what the clutch holds gives a caution or stop at the work's own load, without start and peaks."""
    band = held.found
    if required is None or not required.work or getattr(band, "si", None) is None:
        return False
    if grade(likely=band.si, bad=band.si if band.low is None else band.low, limit=required.work) != GO:
        return True
    # more than start and peaks ask for a belt need not hold
    return reader.get("clutch.kind") != IDLER and not reaches(band.si, service_factor(reader)[0] * required.work)


__all__ = ["leave_open"]

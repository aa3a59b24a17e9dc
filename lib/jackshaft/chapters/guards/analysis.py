"""The hazards of a machine, and whether its guards keep hands out."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.chapters.clutch.stopping import coasting_stop
from jackshaft.chapters.guards import CHAPTER, checks, ground
from jackshaft.chapters.guards.data import GuardsData
from jackshaft.chapters.guards.hazards import DOES, hazards
from jackshaft.chapters.guards.loops import loops_of
from jackshaft.chapters.guards.outlines import cut_table, nip_table, outline_of
from jackshaft.chapters.guards.over import over_table
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.checks import Table
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number
from jackshaft.units import FOOT

#: How fast a person walks to what a guard keeps from him, m/s: ISO 13855 as data sheets of switches restate it.
WALKS = 1.6


def work_up(reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Work up the hazards and guards of a build."""
    draft = Draft(CHAPTER)
    hurts = hazards(reader)
    if not hurts:
        reader.note_missing("engine.kind")
        return draft.done(reader, "not known yet", "Nothing of the machine is written down yet.")
    loops = tuple(loops_of(reader, done))
    outlines = tuple(found for loop in loops if (found := outline_of(reader, loop)) is not None)
    draft.data = GuardsData(hurts, _stands_after(reader, done), loops, outlines)
    _wait(draft, reader, draft.data)
    for name in reader.names("stage"):
        checks.stage_guard(draft, reader, name)
    checks.shafts_covered(draft, reader)
    checks.work_covered(draft, reader)
    with draft.attempt(reader, *ground.SHAFT):
        ground.checks(draft, reader)
    draft.tables.append(_table(draft.data))
    if loops or any(h.kind == "nip" for h in hurts):
        draft.tables.append(nip_table(reader, draft.data.nips, hurts))
    if outlines:
        draft.tables.append(cut_table(reader, outlines))
    if (over := over_table(reader, loops)) is not None:
        draft.tables.append(over)
    draft.cautions += draft.data.care
    draft.cite("iso13857", "29-cfr-1910-219", "iso13855-sheets")
    return draft.done(reader, uses=tuple(done[name] for name in CHAPTER.needs))


def _stands_after(reader: Reader, done: Mapping[str, Findings]) -> float | None:
    """Return the time in which the work stands, s, at its bad end: as it was judged, else by its run-down test."""
    found = next((c.found for c in done["clutch"].checks if c.id == "clutch.stop"), None)
    if isinstance(found, Number) and found.kind == "time":
        return found.high if found.high is not None else found.si
    coasting = coasting_stop(reader, done["ratio"].data)
    return None if coasting is None else coasting.bad


def _wait(draft: Draft, reader: Reader, data: GuardsData) -> None:
    """Say what the label on a guard has to say of the time that the work turns on."""
    if data.stands_after is None:
        words = "time it with a watch, from full speed, before the label is written"
        draft.fact("Label on each guard that opens: wait", "until it stands", words)
        return
    far = WALKS * data.stands_after
    walked = f"{far / FOOT:.0f} ft" if reader.system == "inch" else f"{far:.0f} m"
    time = reader.number(data.stands_after, "time")
    draft.fact("Label on each guard that opens: wait", time, f"a person walks {walked} meanwhile")


def _table(data: GuardsData) -> Table:
    rows = tuple((h.part, h.where, DOES[h.kind]) for h in data.hazards)
    note = "From what the build has. A part that the build leaves out is not in this list: look at the machine as well."
    return Table("What can hurt", ("part", "where", "what it does"), rows, note)


__all__ = ["WALKS", "work_up"]

"""The log against the build: what agrees, what does not, and what a reading says of what nobody can read."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.chapters.measured import CHAPTER, belts, circuit, turning
from jackshaft.chapters.measured.data import Held, MeasuredData
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.checks import Table
from jackshaft.results.findings import NOTHING, Draft, Findings
from jackshaft.results.reader import Reader

LIST = "log"
HEADINGS = ("look", "when", "what", "read", "foretold", "agrees")


def work_up(reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Hold every entry of the log against what the build foretells."""
    draft = Draft(CHAPTER)
    names = reader.names(LIST)
    if not names:
        return draft.done(reader, NOTHING, "Nothing that was measured on the finished machine is written down.")
    held: list[Held] = []
    for name in names:
        for look in (turning.speeds, turning.stop, turning.housing, belts.tension, circuit.coil, circuit.volts):
            held += filter(None, [look(draft, reader, done, name)])
    draft.data = MeasuredData(tuple(held))
    _table(draft, reader)
    return draft.done(reader, uses=tuple(done[n] for n in CHAPTER.needs))


def _table(draft: Draft, reader: Reader) -> None:
    rows = []
    for check in draft.checks:
        entry, _, what = check.name.partition(": ")
        if not check.missing:
            date, run = reader.get(f"{LIST}[{entry}].date"), reader.si(f"{LIST}[{entry}].run_for")
            when = ", ".join(filter(None, (date, "" if run is None else f"after {reader.show(run, 'time')}")))
            rows.append((entry, when, what, check.found, check.wanted, check.words))
    if rows:
        draft.tables.append(Table("What was read, and what was foretold", HEADINGS, tuple(rows)))


__all__ = ["HEADINGS", "LIST", "work_up"]

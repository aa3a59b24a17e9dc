"""The log against the build: what agrees, what does not, and what a reading says of what nobody can read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from jackshaft.chapters.measured import CHAPTER, belts, circuit, turning
from jackshaft.chapters.measured.data import Held, MeasuredData, Offer
from jackshaft.chapters.measured.offers import offers
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
    corrected = {old: name for name in names if (old := reader.get(f"{LIST}[{name}].corrects")) is not None}
    held: list[Held] = []
    for name in names:
        if name in corrected:
            continue
        for look in (turning.speeds, turning.stop, turning.housing, belts.tension, circuit.coil, circuit.volts):
            held += filter(None, [look(draft, reader, done, name)])
    found = tuple(offer for one in held for offer in offers(reader, done, one))
    draft.data = MeasuredData(tuple(held), found, corrected)
    _table(draft, reader)
    _shown(draft, reader, found)
    if corrected:
        rows = tuple((old, by) for old, by in corrected.items())
        draft.tables.append(Table("Entries that count no more", ("entry", "corrected by"), rows))
    return draft.done(reader, uses=tuple(done[n] for n in CHAPTER.needs))


def _shown(draft: Draft, reader: Reader, found: Sequence[Offer]) -> None:
    """Add the table of what the readings say of values of the build."""
    rows = []
    for offer in found:
        unit = {"unit": "%", "decimals": 1} if offer.kind == "number" else {}
        mine, low, high = reader.si(offer.key), offer.si - offer.off, offer.si + offer.off
        said = "not known" if mine is None else reader.number(mine, offer.kind, **unit)
        shows = reader.number(offer.si, offer.kind, "{} ({low} to {high})", low=low, high=high, **unit)
        rows.append((offer.key, said, shows, offer.entry))
    if rows:
        heads = ("value", "the build says", "the reading shows", "look")
        note = "Solved back from the readings, with their doubt. Nothing is written by itself: page 90 offers it."
        draft.tables.append(Table("What the readings say of the build", heads, tuple(rows), note))


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

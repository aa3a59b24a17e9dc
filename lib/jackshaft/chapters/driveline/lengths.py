"""The published rules of overlap and room side by side, and how long the tube must be for each of them."""

from __future__ import annotations

from typing import NamedTuple

from jackshaft import tables
from jackshaft.chapters.driveline.data import DrivelineData
from jackshaft.results.checks import Table
from jackshaft.results.reader import Reader
from jackshaft.units import INCH, at_least

#: Overlap that some manuals ask for whatever the length, m: common practice, no source.
FIXED = 6.0 * INCH


class Rule(NamedTuple):
    """One rule of overlap: its words, the share of the usable tube and the least length (m) that it wants."""

    words: str
    share: float
    least: float

    def wants(self, tube: float) -> float:
        """Return the overlap that it wants of a tube, m."""
        return max(self.share * tube, self.least)

    def tube(self, travel: float, room: float) -> float:
        """Return the shortest usable tube, m, that leaves the overlap and the room over a travel."""
        return max((travel + room) / (1.0 - self.share), travel + room + self.least)


def rules() -> tuple[Rule, ...]:
    """Return the rules, the easiest first."""
    row = tables.table("attachment_facts").one(item="telescoping overlap over profile length")
    return (
        Rule("a third of the usable tube", row["low"], 0.0),
        Rule("6 in (152 mm), whatever the length", 0.0, FIXED),
        Rule("half of the usable tube", row["likely"], 0.0),
    )


def table(reader: Reader, data: DrivelineData) -> Table | None:
    """Return each rule, what it wants, what there is, and the tube it takes; None where a length is not known."""
    ends = data.ends()
    if ends is None or data.collapsed is None or data.tube is None:
        return None
    turning = data.ends(turning=True) or ends
    row = tables.table("attachment_facts").one(item="telescoping clearance, shortest")
    room, travel = row["high"] / 1000.0, turning[1] - ends[0]
    overlap, rows = data.overlap(turning[1]), []
    for rule in rules():
        wants = rule.wants(data.tube)
        cells = (reader.number(v, "length", decimals=2) for v in (wants, overlap))
        holds = "yes" if at_least(overlap, wants) else "no"
        rows.append((rule.words, *cells, holds, reader.number(rule.tube(travel, room), "length", decimals=2)))
    note = (
        f"The tube that a rule takes counts the travel, {reader.tape(travel)}, and {reader.tape(room)} of room at the "
        "shortest place. Cut both tubes and both halves of the guard by the same length. Sources: manuals of tractors "
        "and implements, a page on drivelines; the fixed length is common practice, no source."
    )
    heads = ("rule of overlap", "wants", "there is", "holds", "usable tube it takes")
    return Table("Overlap by each rule", heads, tuple(rows), note)


__all__ = ["Rule", "rules", "table"]

"""A reading held against what is foretold: in words, with the doubt of both."""

from __future__ import annotations

from math import hypot
from typing import NamedTuple

from jackshaft.chapters.measured.data import Held
from jackshaft.results.checks import CAUTION, GO
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value

#: What an instrument may be off by where its reading does not say, as a share: common practice, no source.
USUAL = {
    "rotation": 0.01,
    "resistance": 0.02,
    "voltage": 0.005,
    "current": 0.02,
    "force": 0.10,
    "frequency": 0.03,
    "time": 0.05,
    "temperature rise": 0.10,
}

AT = "log[{}]"


class Words(NamedTuple):
    """What is said where a reading lies below and above what is foretold: the reason, and what to do."""

    below: tuple[str, str]
    above: tuple[str, str]


def key(entry: str, name: str) -> str:
    """Return the key of a value of an entry of the log."""
    return f"{AT.format(entry)}.{name}"


def off_by(reader: Reader, place: str, kind: str) -> float:
    """Return by how much a reading may be off, SI: by its own allowance, else by what is usual of its instrument."""
    si, ends = reader.si(place), reader.ends(place)
    low, high = ends or (0.0, 0.0)
    return (high - low) / 2.0 if high > low else USUAL[kind] * abs(si or 0.0)


def share_off(reader: Reader, kinds: dict[str, str]) -> float:
    """Return by what share a product or quotient of readings may be off: the root of the sum of their squares."""
    return hypot(*(off_by(reader, place, kind) / abs(reader.si(place)) for place, kind in kinds.items()))


def judge(draft: Draft, id: str, name: str, held: Held, found: Value, wanted: Value, words: Words) -> Held:
    """Add the check of a reading, and return what was held.

    A doubtful instrument never makes a better verdict of a reading that lies outside: it is said, and read again.
    """
    why, todo = words.below if held.below else words.above if held.above else ("It agrees with the build.", "")
    if held.doubtful:
        why += " It lies outside by no more than the instrument may be off, so read it again with a better one first."
    verdict = CAUTION if held.below or held.above else GO
    draft.check(f"measured.{id}[{held.entry}]", f"{held.entry}: {name}", found, wanted, verdict, why, todo)
    return held


def lacks(draft: Draft, reader: Reader, id: str, entry: str, name: str, keys: tuple[str, ...], words: str) -> None:
    """Add the check that waits for what else must be written down before a reading says anything."""
    draft.missing(reader, f"measured.{id}[{entry}]", f"{entry}: {name}", keys, words)

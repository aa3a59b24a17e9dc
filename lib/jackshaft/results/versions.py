"""Two versions of a build, or two builds, held against each other: value by value, result by result, verdict by
verdict."""

from __future__ import annotations

from dataclasses import dataclass

from jackshaft.buildfile import Build
from jackshaft.buildfile.candidates import LIST as CANDIDATES
from jackshaft.buildfile.fingerprint import fingerprint, plain_value
from jackshaft.buildfile.model import at_or_below, said
from jackshaft.results import Results, chapters, work_up
from jackshaft.results.checks import Check
from jackshaft.results.findings import out_of_date
from jackshaft.results.values import Number, Value

#: Where one of the two has nothing.
ABSENT = "not there"


@dataclass(frozen=True)
class Line:
    """One thing that differs: its key or id, what it is in words, and how it stands in the older and the newer."""

    id: str
    words: str
    before: str
    after: str


@dataclass(frozen=True)
class Versions:
    """What differs between two builds.

    ``values`` are entries of the build files, ``results`` facts of the chapters, ``verdicts`` checks whose verdict
    differs, ``papers`` what was printed from the older one and holds no more.
    """

    before: Build
    after: Build
    values: tuple[Line, ...]
    results: tuple[Line, ...]
    verdicts: tuple[Line, ...]
    papers: tuple[str, ...]

    @property
    def same(self) -> bool:
        """Whether both say the same machine."""
        return fingerprint(self.before) == fingerprint(self.after)


def versions(older: Build, newer: Build) -> Versions:
    """Return what differs between two builds; the results of both are shown in the units of the newer.

    Parameters
    ----------
    older, newer : Build
        Two versions of a build, or any two.
    """
    before, after = (work_up(one, at_ends=True) for one in (older.with_values({"shown_in": newer.system}), newer))
    declared = chapters()
    hit = [c.name for c, _ in out_of_date(older, newer, tuple(after.chapters.values()))]
    papers = dict.fromkeys(declared[name].paper for name in hit if name in declared and declared[name].paper)
    same = fingerprint(older) == fingerprint(newer)
    return Versions(
        older,
        newer,
        tuple(_values(older, newer)),
        tuple(_results(before, after)),
        tuple(_verdicts(before, after)),
        () if same else (*papers, "the record"),
    )


def _values(older: Build, newer: Build):
    for key in dict.fromkeys((*older.values, *newer.values)):
        a, b = older.values.get(key), newer.values.get(key)
        if not at_or_below(key, CANDIDATES) and (a is None or b is None or plain_value(a) != plain_value(b)):
            yield Line(key, "", said(a), said(b))


def _results(before: Results, after: Results):
    facts = [
        {_label(chapter.title, f.label): f.found for chapter in one.chapters.values() for f in chapter.facts}
        for one in (before, after)
    ]
    for label in dict.fromkeys((*facts[0], *facts[1])):
        a, b = (found.get(label) for found in facts)
        if _text(a) != _text(b):
            yield Line(label, label, _text(a), _text(b))


def _label(title: str, label: str) -> str:
    return label if label.startswith(title) else f"{title}: {label}"


def _text(value: Value | None) -> str:
    return ABSENT if value is None else value.shown if isinstance(value, Number) else value or "-"


def _verdicts(before: Results, after: Results):
    checks = [{c.id: c for c in one.checks} for one in (before, after)]
    for id in dict.fromkeys((*checks[0], *checks[1])):
        a, b = (found.get(id) for found in checks)
        if a is None or b is None or a.verdict != b.verdict:
            yield Line(id, (b or a).name, _verdict(a), _verdict(b))


def _verdict(check: Check | None) -> str:
    return ABSENT if check is None else f"{check.words}: {check.value}"


__all__ = ["ABSENT", "Line", "Versions", "versions"]

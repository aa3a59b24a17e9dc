"""Results as plain data for scripts: what ``check --json`` and ``facts --json`` print."""

from __future__ import annotations

from dataclasses import asdict
from math import isfinite

from jackshaft.buildfile.fingerprint import fingerprint
from jackshaft.results import Number, Results, Value
from jackshaft.results.checks import Check, Table
from jackshaft.results.cure import Cure
from jackshaft.results.versions import Versions
from jackshaft.units import KINDS

#: Version of this form; it rises when a name in it changes its meaning or goes.
SCHEMA = 1


def _finite(x: float | None) -> float | None:
    """Return a number, or None for what JSON has no number for."""
    return x if x is not None and isfinite(x) else None


def value_data(value: Value) -> dict | str:
    """Return a number as an object, a text as itself."""
    if not isinstance(value, Number):
        return value
    return {
        "si": _finite(value.si),
        "kind": value.kind,
        "low": _finite(value.low),
        "likely": _finite(value.si),
        "high": _finite(value.high),
        "known": value.known,
        "source": value.source,
        "text": value.shown,
    }


def cure_data(cure: Cure) -> dict:
    """Return a cure as an object; its changes can be given to ``set`` as they are."""
    return {
        "words": cure.words,
        "changes": dict(cure.changes),
        "verdict_after": cure.verdict_after,
        "value_after": cure.value_after,
        "worse": [w.id for w in cure.worse],
        "measure": list(cure.measure),
    }


def check_data(check: Check) -> dict:
    """Return a check as an object; its cures are those that were tried."""
    return {
        "id": check.id,
        "name": check.name,
        "verdict": check.verdict,
        "value": value_data(check.found),
        "limit": value_data(check.wanted),
        "accepted": {"reason": check.accepted.reason, "date": check.accepted.date} if check.accepted else None,
        "missing": list(check.missing),
        "reason": check.reason,
        "remedy": check.remedy,
        "cures": [cure_data(c) for c in check.cures],
        "guards": check.guards,
        "source": check.source,
    }


def table_data(chapter: str, table: Table, system: str) -> dict:
    """Return a table as an object; a column of numbers of one kind has its unit."""
    return {
        "chapter": chapter,
        "title": table.title,
        "columns": [
            {"heading": h, "kind": k, "unit": getattr(KINDS[k], system) if k in KINDS else ""}
            for h, k in zip(table.headings, table.kinds, strict=True)
        ],
        "rows": [[value_data(cell) for cell in row] for row in table.cells],
        "note": table.note,
    }


def checks_data(results: Results) -> dict:
    """Return every check of a build."""
    return {"schema": SCHEMA, "build": results.build.name, "checks": [check_data(c) for c in results.checks]}


def facts_data(results: Results) -> dict:
    """Return every fact and every table of a build."""
    found = results.chapters.items()
    return {
        "schema": SCHEMA,
        "build": results.build.name,
        "facts": [
            {"chapter": name, "label": f.label, "value": value_data(f.found), "note": f.note}
            for name, chapter in found
            for f in chapter.facts
        ],
        "tables": [table_data(name, t, results.build.system) for name, chapter in found for t in chapter.tables],
    }


def versions_data(found: Versions) -> dict:
    """Return what differs between two builds."""
    both = (("before", found.before), ("after", found.after))
    builds = {which: {"build": b.name, "fingerprint": fingerprint(b)} for which, b in both}
    groups = {"verdicts": found.verdicts, "values": found.values, "results": found.results}
    lines = {name: [asdict(line) for line in group] for name, group in groups.items()}
    return {"schema": SCHEMA, **builds, "same": found.same, **lines, "papers": list(found.papers)}


__all__ = ["SCHEMA", "check_data", "checks_data", "facts_data", "table_data", "value_data", "versions_data"]

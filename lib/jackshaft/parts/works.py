"""The shafts that carry the work: one, or several alike."""

from __future__ import annotations

from jackshaft.buildfile.rules import listed
from jackshaft.results.reader import Reader


def work_shafts(reader: Reader) -> tuple[str, ...]:
    """Return the shafts that are said to carry the work, the one of ``work.shaft`` first."""
    one, several = reader.get("work.shaft"), reader.get("work.shafts")
    names = ([one] if one else []) + (listed(several) if several else [])
    return tuple(dict.fromkeys(names))


__all__ = ["work_shafts"]

"""The cures that were proved last are remembered: a page that is run again, and whose build is as it was, has them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from jackshaft import tables
from jackshaft.buildfile import Build
from jackshaft.results.checks import Check
from jackshaft.results.proving import with_cures
from jackshaft.results.running import Results


@dataclass(frozen=True)
class _Remembered:
    """The checks of one build with their cures by id, the checks as they were found, and the tables they rest on."""

    build: Build
    found: tuple[Check, ...]
    stamp: tuple[object, ...]
    checks: dict[str, Check] = field(default_factory=dict)

    def of(self, results: Results, stamp: tuple[object, ...]) -> bool:
        """Tell whether nothing that a cure rests on has changed since."""
        return self.stamp == stamp and self.found == results.checks and self.build == results.build


_last: _Remembered | None = None


def tried(results: Results, ids: Iterable[str]) -> list[Check]:
    """Return the checks of these ids, with the cures that were tried for them.

    Parameters
    ----------
    results : Results
        What was found of a build.
    ids : iterable of str
        Ids of its checks.

    Returns
    -------
    list of Check
        In the order of the results.
    """
    global _last
    wanted, stamp = set(ids), tables.stamp()
    known = _last
    if known is None or not known.of(results, stamp):
        known = _Remembered(results.build, results.checks, stamp)
    if new := wanted - known.checks.keys():
        known.checks.update((c.id, c) for c in with_cures(results, new).checks if c.id in new)
        _last = known
    return [known.checks[c.id] for c in results.checks if c.id in wanted]


__all__ = ["tried"]

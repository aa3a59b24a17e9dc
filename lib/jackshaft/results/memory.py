"""Chapters that were worked up for copies of one build, found again by what they read."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.buildfile import Build
from jackshaft.results.chapter import Scope
from jackshaft.results.findings import COMPUTED, PARTLY, Findings, differing

#: What a copy of the build holds that the build does not, as far as a chapter read it.
Read = frozenset[tuple[str, object]]


class Memory:
    """Holds what chapters were for copies of a build: cures are tried in many, and each changes a few keys only.

    A chapter that read the same is the same. What is held is for one piece of work, in which the tables stand still.
    """

    def __init__(self, build: Build):
        self._build = build
        #: what was looked up in the tables, for :func:`jackshaft.tables.held`: what one step looks up serves the next
        self.looked_up: dict[object, object] = {}
        # by the keys that a chapter read, what it read there; the first says which keys those are
        self._held: dict[tuple[str, Scope], dict[frozenset[str], tuple[Findings, dict[Read, Findings]]]] = {}

    def of(self, build: Build) -> Recall:
        """Return what is held for the build or a copy of it."""
        return Recall(differing(self._build, build), self._held)


class Recall:
    """What a :class:`Memory` holds for one copy of its build, of which the ``changes`` are known."""

    def __init__(self, changes: Mapping[str, object], held: dict):
        self._changes, self._held = changes, held

    def get(self, name: str, scope: Scope) -> Findings | None:
        """Return a chapter as it was worked up in that scope for a copy in which all that it read is the same."""
        for like, found in self._held.get((name, scope), {}).values():
            if (chapter := found.get(self._read(like))) is not None:
                return chapter
        return None

    def hold(self, scope: Scope, chapter: Findings) -> Findings:
        """Hold a chapter that was worked up for this copy, and return it.

        One that could not be is not held: its inputs are what it read before it gave up.
        """
        if chapter.state in (COMPUTED, PARTLY):
            by_inputs = self._held.setdefault((chapter.name, scope), {})
            _, found = by_inputs.setdefault(chapter.inputs, (chapter, {}))
            found[self._read(chapter)] = chapter
        return chapter

    def _read(self, like: Findings) -> Read:
        """Return what a chapter that reads the same keys as another one reads here."""
        return frozenset((k, v) for k, v in self._changes.items() if k in like.inputs or k.startswith(like.below))


__all__ = ["Memory", "Recall"]

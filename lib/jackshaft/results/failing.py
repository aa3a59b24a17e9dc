"""A check that does not hold, as a chapter's ``cures`` sees it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from jackshaft.buildfile import Build
from jackshaft.results.checks import Check
from jackshaft.results.cure import Proposal
from jackshaft.results.reader import Reader
from jackshaft.results.running import Results
from jackshaft.units import read, write


@dataclass(frozen=True)
class Failing:
    """A caution or a stop, with the results that it stands in."""

    results: Results
    check: Check

    @property
    def build(self) -> Build:
        """The build as it is."""
        return self.results.build

    @cached_property
    def reader(self) -> Reader:
        """A reader of the build."""
        return Reader(self.build)

    @property
    def part(self) -> str:
        """The part of the machine that the check is about: what stands in its brackets."""
        return self.check.id.partition("[")[2].removesuffix("]")

    def data(self, chapter: str):
        """Return what a chapter found, as its record; None where there is none."""
        found = self.results.chapters.get(chapter)
        return None if found is None else found.data

    def item(self, chapter: str):
        """Return what a chapter found about the check's part, where its record is by name; None where nothing."""
        found = self.data(chapter)
        return found.get(self.part) if isinstance(found, Mapping) else None

    def up(self, si: float, kind: str, *steps: str) -> str:
        """Return the least shop text that is no less than a value, in steps of the build's units.

        ``steps`` are the step of an inch build and of a metric one; one step serves both.
        """
        return self._stepped(si, kind, steps, -1.0)

    def down(self, si: float, kind: str, *steps: str) -> str:
        """Return the largest shop text that is no more than a value; see :meth:`up`."""
        return self._stepped(si, kind, steps, 1.0)

    def _stepped(self, si: float, kind: str, steps: tuple[str, ...], sign: float) -> str:
        system = self.build.system
        step = read(steps[-1] if system == "metric" else steps[0], kind).si
        count = sign * ((sign * si + 1e-9 * step) // step)  # floor, or with -1 ceiling, a rounding error forgiven
        return write(count * step, kind, system)


#: What a chapter's ``cures`` holds as ``PROPOSALS``: proposals by the check's id before its bracket, cheapest first.
Proposer = Callable[[Failing], Iterable[Proposal]]

__all__ = ["Failing", "Proposer"]

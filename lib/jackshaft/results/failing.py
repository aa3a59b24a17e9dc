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
from jackshaft.units import fraction, read, write, write_nominal


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

    def near(self, si: float, kind: str, *steps: str) -> str:
        """Return the shop text that is nearest to a value; see :meth:`up`."""
        return self._stepped(si, kind, steps, 0.0)

    def _stepped(self, si: float, kind: str, steps: tuple[str, ...], sign: float) -> str:
        system = self.build.system
        text = steps[-1] if system == "metric" else steps[0]
        step = read(text, kind).si
        # floor, or with -1 ceiling, a rounding error forgiven
        count = sign * ((sign * si + 1e-9 * step) // step) if sign else round(si / step)
        # what a rule is set by is written as it shows it
        return by_rule(count * step) if kind == "length" and "/" in text else write(count * step, kind, system)


def by_rule(si: float) -> str:
    """Return a length as an inch rule shows it, where it is a whole count of its marks: "20-13/16 in", "-4 5/8 in"."""
    text = fraction(si)
    return f"-{text[1:].replace('-', ' ', 1)}" if text[0] == "-" else text


def as_sold(si: float, system: str) -> str:
    """Return the size of bar, key or pin as it is sold: in an inch build a fraction, where it is one of sixteenths."""
    marks = si / read("1/16 in", "length").si
    return by_rule(si) if system == "inch" and abs(marks - round(marks)) < 1e-6 else write_nominal(si, system)


#: What a chapter's ``cures`` holds as ``PROPOSALS``: proposals by the check's id before its bracket, cheapest first.
Proposer = Callable[[Failing], Iterable[Proposal]]

__all__ = ["Failing", "Proposer", "as_sold", "by_rule"]

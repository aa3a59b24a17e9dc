"""A line of the buying list, and what it is made from: the values of the build and the checks of the part."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from jackshaft.buildfile.schema import USUAL_OFF
from jackshaft.results import Reader, Results, label
from jackshaft.results.checks import STOP, UNDECIDED
from jackshaft.units import Measure

#: How a value is known that nobody may buy by.
GUESSED = tuple(USUAL_OFF)
#: What stands for how a value is known where the build file does not say it.
UNSAID = "build file"


class Want(NamedTuple):
    """One thing to buy.

    ``part`` is what it is for, ``ask`` what to say at the counter, ``count`` how many; ``instead`` may be put in its
    place, ``spares`` are for the box, ``known`` how its values are known. ``hold`` says why it is not bought yet,
    each reason a sentence; it is empty where it can be bought.
    """

    part: str
    ask: str
    count: int
    instead: str
    spares: str
    known: str
    hold: tuple[str, ...] = ()


class Counter:
    """Words for one part: each value that is asked for is noted, with how it is known and that it is missing."""

    def __init__(self, results: Results):
        self.results = results
        self.reader = Reader(results.build)
        self.system = results.build.system
        self._known: dict[str, None] = {}
        self._hold: dict[str, None] = {}

    def words(self, key: str, form: str = "{}", *, without: str | None = None) -> str:
        """Return a value in a form; where it is missing, nothing, and the line is held.

        Parameters
        ----------
        key : str
            Key of the build.
        form : str
            Words with ``{}`` for the value as it was typed.
        without : str, optional
            What stands there where the value is missing and the line need not wait for it.
        """
        value = self.reader.get(key)
        if value is None:
            if without is None:
                self.wait(f"Not known yet: {label(key)}.")
            return without or ""
        if isinstance(value, Measure):
            known = (value.known or UNSAID).split(",")[0]
            self._known[known] = None
            if known in GUESSED:
                self.wait(f"Only {known}, so measure it first: {label(key)}.")
            return form.format(value.text)
        self._known[UNSAID] = None
        return form.format(value)

    def by(self, key: str) -> None:
        """Note what a part was measured with, in place of nothing said."""
        if self.reader.get(key):
            self._known.pop(UNSAID, None)
            self._known[f"measured with {self.reader.get(key)}"] = None

    def wait(self, why: str) -> None:
        """Hold the line for a reason."""
        self._hold[why] = None

    @property
    def holding(self) -> tuple[str, ...]:
        """The reasons for which the line is held so far."""
        return tuple(self._hold)

    def data(self, chapter: str):
        """Return what a chapter found; None where it found nothing or was not worked up."""
        found = self.results.chapters.get(chapter)
        return None if found is None else found.data

    def judge(self, chapters: Iterable[str], name: str = "") -> None:
        """Hold the line for each check of the part that stops it or is not decided.

        A check counts where its bracket names the part, or where it has no bracket and no name is given; what the
        builder has accepted does not hold a line.
        """
        for check in self.results.checks:
            head, _, rest = check.id.partition("[")
            about = rest.removesuffix("]")
            mine = about == name or (name and about.startswith(f"{name}: "))
            if not mine or not any(head.startswith(c) for c in chapters) or check.accepted:
                continue
            if check.verdict == STOP:
                self.wait(f"Stop: {check.name}, {check.value}.")
            elif check.verdict == UNDECIDED:
                self.wait(f"Not decided yet: {check.name}.")

    def want(self, part: str, ask: str, count: int = 1, *, instead: str = "", spares: str = "") -> Want:
        """Return the line, and forget what was noted for it."""
        known, hold = tuple(self._known) or (UNSAID,), tuple(self._hold)
        self._known, self._hold = {}, {}
        return Want(part, ask, count, instead, spares, "; ".join(known), hold)


__all__ = ["GUESSED", "UNSAID", "Counter", "Want"]

"""What the search panel does, without widgets: what is asked, the search step by step, looking and keeping."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from jackshaft.buildfile import Answer, Build, describe
from jackshaft.buildfile.candidates import LIST
from jackshaft.results.checks import STOP
from jackshaft.results.keeping import keep
from jackshaft.results.new_belt import FIT
from jackshaft.search import Run, problem_of
from jackshaft.search.fields import AT
from jackshaft.search.figure import SearchPicture
from jackshaft.search.found import LETTERS, Checked, Layout, check, holds, layouts_of, tape
from jackshaft.search.problem import tension_field
from jackshaft.ui.candidates import as_stored, found_in_words
from jackshaft.ui.trouble import NotKept
from jackshaft.units import Measure

#: Layouts that a look without pressing Start tries, and those that Start tries when nothing else is typed.
FEW, MANY = 100_000, 1_000_000
#: Most that may be asked for: some minutes.
MOST = 200_000_000
SHOWN = 8
BEST = "best"

#: (key below the stage, label, hint) in the order of the form, by group.
GROUPS: tuple[tuple[str, tuple[tuple[str, str, str], ...]], ...] = (
    (
        "Zone for the idlers' centres",
        (
            ("search.zone_left", "Left edge", "empty: all round the pulleys"),
            ("search.zone_right", "Right edge", ""),
            ("search.zone_low", "Lower edge", ""),
            ("search.zone_high", "Upper edge", ""),
        ),
    ),
    (
        "Sizes to try",
        (
            ("search.driver_sizes", "Driver", "4 in, 4-1/2 in"),
            ("search.driven_sizes", "Driven", "12 in to 14 in by 1 in"),
            ("search.idler_sizes", "Idlers", "3 in, 4 in"),
            ("search.sizes_on_hand", "On hand (not bought)", "empty: those on the machine"),
        ),
    ),
    (
        "Idlers and belts",
        (
            ("search.idlers_most", "Idlers to place, at most", "0, 1 or 2"),
            ("search.idlers_kept", "Idlers that stay", "names"),
            ("search.belts_most", "Belts, at most", ""),
            ("search.direction", "Driven shaft turns", ""),
        ),
    ),
    (
        "What must hold",
        (
            ("search.margin_least", "Grip at the bad end", "1 × the work"),
            ("search.clearance_least", "Room round the strands", ""),
            ("tension", "Tension", ""),
        ),
    ),
)


@dataclass(frozen=True)
class Row:
    """One line of the table: what it is called, its cells, and which of them are the best of their column."""

    letter: str
    cells: tuple[str, ...]
    best: tuple[bool, ...]
    verdict: str
    why: str


HEADS = ("grip, bad end", "largest hub load", "belts", "box round the loop", "to buy", "belt", "pulleys")


class SearchController:
    """One stage's search.

    Parameters
    ----------
    build : Build
        The build as it is kept.
    stage : str
        A belt stage.
    """

    def __init__(self, build: Build, stage: str):
        self.build, self.stage = build, stage
        self.texts = {key: self.base_text(key) for _, fields in GROUPS for key, *_ in fields}
        self.tries = MANY
        self.run: Run | None = None
        self.trial = build
        self.found: tuple[Layout, ...] = ()
        self.checked: dict[str, tuple[Checked | None, str]] = {}
        self.now: Checked | None = None
        self.looked = ""
        #: Layouts that were found and are not shown, because a page stops them.
        self.left_out = 0

    # -- what is asked ---------------------------------------------------------------------------

    def key(self, name: str) -> str:
        """Return the build key of a field."""
        if name == "tension":
            name = tension_field(self.build.get(f"stage[{self.stage}].takeup.kind"))
        return f"stage[{self.stage}].{name}"

    def base_text(self, name: str) -> str:
        """Return what the build says of a field; empty when not known."""
        return str(_plain(self.build, self.key(name)))

    def changes(self) -> dict[str, str | int]:
        """Return what the form says other than the build, by build key."""
        found: dict[str, str | int] = {}
        for name, text in self.texts.items():
            if text.strip() == self.base_text(name):
                continue
            counted = describe(self.key(name))[1].kind == "count" and text.strip().isdigit()
            found[self.key(name)] = int(text) if counted else text.strip()
        return found

    # -- the search ------------------------------------------------------------------------------

    def start(self, tries: int | None = None) -> None:
        """Begin a search with what the form says.

        Raises
        ------
        ValueError
            With the reason: a text that cannot be read, something that is not known, or a requirement that
            nothing can meet. What was found before is gone then, so that it does not pass for an answer.
        """
        self.forget()
        self.trial = self.build.with_values(self.changes())
        self.run = Run(problem_of(self.trial, self.stage), self.tries if tries is None else tries)

    def forget(self) -> None:
        """Let go of what was found."""
        self.run, self.found, self.checked, self.looked, self.now = None, (), {}, "", None

    def settle(self) -> None:
        """Take up what was found: letter it and work each layout up alone."""
        if self.run is None:
            return
        found = [(one, holds(one)) for one in layouts_of(self.run, SHOWN)]
        # what another page stops is offered only where there is nothing else
        good = [(one, told) for one, told in found if not _stopped(told)] or found
        self.left_out = len(found) - len(good)
        self.found = tuple(replace(one, letter=LETTERS[n]) for n, (one, _) in enumerate(good))
        self.checked = {one.letter: told for one, (_, told) in zip(self.found, good, strict=True)}
        self.now = check(self.trial, self.stage, self.run.problem.as_it_is)

    def stop(self) -> None:
        """End the search; what was found stays."""
        if self.run is not None:
            self.run.stop()

    def search(self, tries: int) -> None:
        """Search to the end at once."""
        self.start(tries)
        self.run.finish()
        self.settle()

    # -- what came of it --------------------------------------------------------------------------

    def progress(self) -> str:
        """Return in words how far the search is."""
        run = self.run
        if run is None:
            return ""
        state = "stopped" if run.stopped else "done" if run.done else "searching"
        return (
            f"{state}: {run.tried} of {run.tries} layouts tried. {run.held} meet every requirement and were better in "
            f"something than those kept by then (one belt and two count as two). {len(run.front)} are kept: no other "
            "is better all round."
        )

    def layout(self, letter: str) -> Layout:
        """Return a layout of the table.

        Raises
        ------
        ValueError
            If there is none of that letter.
        """
        for one in self.found:
            if one.letter == letter:
                return one
        raise ValueError(f"there is no layout {letter}; search first")

    def rows(self) -> tuple[Row, ...]:
        """Return the table's lines, the build as it is first where it runs."""
        system, rows = self.build.system, []
        if self.now is not None:
            marked = self.trial.get(f"stage[{self.stage}].marked") or "not chosen"
            cells = (*self.now.worth.shown(system), str(marked), "as it is")
            rows.append(Row("now", cells, (False,) * len(HEADS), self.now.verdict, self.now.why))
        shown = [one.worth.shown(system) for one in self.found]
        best = _best([one.worth.aims for one in self.found], shown)
        for one, texts, good in zip(self.found, shown, best, strict=True):
            alone, words = self.checked[one.letter]
            verdict, why = (alone.verdict, alone.why) if alone else ("stop", words)
            rows.append(Row(one.letter, (*texts, one.belt, one.pulleys()), (*good, False, False), verdict, why))
        return tuple(rows)

    def picture(self) -> SearchPicture:
        """Return what the trade-off picture draws."""
        run, now = self.run, self.now
        rows = run.front.rows if run is not None else np.zeros((0, len(AT)))
        column = {name: rows[:, AT[name]] for name in ("margin_bad", "hub", "wide", "high", "bought")}
        return SearchPicture(
            margin=column["margin_bad"],
            hub=column["hub"],
            size=column["wide"] * column["high"],
            bought=column["bought"],
            letters=tuple((one.letter, one.number) for one in self.found),
            now=None if now is None else (now.margin_bad, now.hub, now.wide * now.high),
            least=run.problem.margin_least if run else 1.0,
            chosen=self.looked,
            tried=run.tried if run else 0,
            system=self.build.system,
        )

    def notes(self) -> tuple[str, ...]:
        """Return what the search assumed, and why nothing was found where nothing was."""
        if self.run is None:
            return ()
        p, words = self.run.problem, []
        if not p.zone_known:
            left, right, low, high = (tape(v, self.build.system, 4) for v in p.zone)
            words.append(
                f"Not every edge of the zone is given. The search used {left} to {right} across and {low} to {high} up."
            )
        words += p.notes
        if any(f"{p.at}.marked" in one.changes for one in self.found) and p.build.get(f"{p.at}.clutching_belt"):
            words.append(f"Where the belt is another one, {FIT}.")
        if self.found:
            words.append(
                "The search asks that the belts grip at the bad end and are rated for the load at the likely value. "
                "What the other pages say of each layout, at the bad end too, stands beside it."
            )
        if self.left_out:
            words.append(
                f"{self.left_out} more that were found are not shown: another page stops them, for what the search "
                "does not ask, such as the grip at a peak or the strength of a shaft."
            )
        if self.found and all(_stopped(told) for told in self.checked.values()):
            words.append(
                "Other pages stop every layout shown here. The reason stands beside each. Change what it names, such "
                "as the tension, and search again."
            )
        if not self.run.rated:
            words.append(
                f"For some pairs of sizes no power rating of {p.belt.name} belts is known. There the number of belts "
                "follows from grip alone."
            )
        if self.run.done and not len(self.run.front):
            words.insert(0, self.run.why_nothing())
        return tuple(words)

    def look(self, letter: str) -> Checked:
        """Return a layout worked up alone, to be drawn and judged.

        Raises
        ------
        ValueError
            If there is none of that letter, or the build cannot take it.
        """
        alone, words = self.checked[self.layout(letter).letter]
        if alone is None:
            raise ValueError(f"layout {letter} cannot be worked up: {words}")
        self.looked = letter
        return alone

    def make(self, letter: str, settle: Mapping[str, Answer] | None = None) -> str:
        """Keep a layout, and what was asked, in the build file; return in words what was written.

        Raises
        ------
        KeyConflict
            If others changed the same in the file, and ``settle`` does not say which to keep; nothing is written.
        BuildProblems, ChangedOnDisk, NotSaved
            With the reason; nothing is written then.
        """
        one = self.layout(letter)
        self.build = keep(self.build, {**self._asked(), **one.changes}, settle=settle)
        self.texts = {key: self.base_text(key) for key in self.texts}
        self.trial = self.build
        left = [key for key, answer in (settle or {}).items() if answer.side == "theirs"]
        lost = tuple(end for key in left for end in (f"{key}.", f"{key}["))
        mine = {k: v for k, v in one.changes.items() if k not in left and not k.startswith(lost)}
        short = [f"{k.removeprefix(f'stage[{self.stage}].')} = {_in_words(v)}" for k, v in mine.items()]
        short += [f"{key} stays as it was changed elsewhere" for key in left]
        return (
            f"Layout {letter} is the build now. Written into {self.build.file}: "
            f"{'; '.join(short) or 'nothing, because nothing differs'}. The other pages still show the old length, "
            "grip, bearings and tags: run their cells again."
        )

    def store(
        self, letter: str, name: str, reason: str, *, page: str, settle: Mapping[str, Answer] | None = None
    ) -> str:
        """Keep a layout in the build file as a candidate; return in words what was written.

        The tension that it was searched with belongs to it; where the search looked does not. ``page`` is what the
        panel is called.

        Raises
        ------
        KeyConflict
            If others changed the same in the file, and ``settle`` does not say which to keep; nothing is written.
        NotKept, BuildProblems, ChangedOnDisk, NotSaved
            With the reason; nothing is written then.
        """
        one, alone = self.layout(letter), self.look(letter)
        if not name.strip():
            raise NotKept(f"Nothing was kept. Name of layout {letter}: found nothing; wanted a name.")
        searched = self.key("search.")
        changes = {k: v for k, v in (self._asked() | one.changes).items() if not k.startswith(searched)}
        values = as_stored(self.build, name, changes, reason, page=page, found=found_in_words(alone))
        at = f"{LIST}[{values['name']}]"
        self.build = keep(self.build, {f"{at}.{k}": v for k, v in values.items()}, settle=settle)
        return f"Layout {letter} is kept with the build as candidate '{values['name']}'. It is no part of the design."

    def _asked(self) -> dict[str, str | int]:
        """Return what was searched with and is not what the build says, by build key."""
        return {k: _plain(self.trial, k) for k in self.changes() if _plain(self.trial, k) != _plain(self.build, k)}


def tries_of(text: str) -> int:
    """Return how many layouts are to be tried, as typed.

    Raises
    ------
    ValueError
        If it is no whole number, or more than are ever tried.
    """
    digits = text.strip().replace(" ", "").replace("_", "")
    if not digits.isdigit() or not 1 <= int(digits) <= MOST:
        raise ValueError(f"Layouts to try: found '{text}'; wanted a whole number from 1 to {MOST}")
    return int(digits)


def _stopped(told: tuple[Checked | None, str]) -> bool:
    """Tell whether a page stops a layout that was worked up, or cannot work it up."""
    return told[0] is None or told[0].verdict == STOP


def _best(aims: list[tuple[float, ...]], shown: list[tuple[str, ...]]) -> list[tuple[bool, ...]]:
    """Tell which of each column are the best, layout by layout; equal as shown is equal, and all alike is no best."""
    columns = []
    for numbers, texts in zip(zip(*aims, strict=True), zip(*shown, strict=True), strict=True):
        alike = {words for number, words in zip(numbers, texts, strict=True) if number == min(numbers)}
        columns.append([words in alike and len(set(texts)) > 1 for words in texts])
    return list(zip(*columns, strict=True))


def _plain(build: Build, key: str) -> str | int:
    """Return a value as it was typed; empty when not known."""
    value = build.get(key)
    return "" if value is None else value.text if isinstance(value, Measure) else value


def _in_words(value: object) -> str:
    if isinstance(value, tuple):
        return ", ".join(value)
    return "not known" if value == "" else str(value)


__all__ = ["BEST", "FEW", "GROUPS", "HEADS", "MANY", "MOST", "Row", "SearchController", "tries_of"]

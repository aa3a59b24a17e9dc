"""What the search panel does, without widgets: what is asked, the search step by step, looking and keeping."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from jackshaft.buildfile import Answer, Build, describe
from jackshaft.chapters.grip.cases import SPRUNG
from jackshaft.results.keeping import keep
from jackshaft.search import Run, problem_of
from jackshaft.search.engine import AT
from jackshaft.search.figure import SearchPicture
from jackshaft.search.found import Checked, Layout, check, holds, layouts_of
from jackshaft.units import Measure, fraction, show

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
            ("search.zone_left", "Left edge", "left empty: round the pulleys"),
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
            ("search.sizes_on_hand", "On hand (not bought)", "left empty: those on the build"),
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

    # -- what is asked ---------------------------------------------------------------------------

    def key(self, name: str) -> str:
        """Return the build key of a field."""
        if name == "tension":
            kind = self.build.get(f"stage[{self.stage}].takeup.kind")
            name = "takeup.slack_tension" if kind in SPRUNG else "takeup.static_tension"
        return f"stage[{self.stage}].{name}"

    def base_text(self, name: str) -> str:
        """Return what the build says of a field; empty when not known."""
        value = self.build.get(self.key(name))
        return "" if value is None else value.text if isinstance(value, Measure) else str(value)

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
        self.found = layouts_of(self.run, SHOWN)
        self.checked = {one.letter: holds(one) for one in self.found}
        self.now = check(self.trial, self.stage)

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
        """Say how far the search is."""
        run = self.run
        if run is None:
            return ""
        state = "stopped" if run.stopped else "done" if run.done else "searching"
        return (
            f"{state}: {run.tried} of {run.tries} layouts tried, {run.held} hold (one belt and two count as two), "
            f"{len(run.front)} are beaten by no other"
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
        system = self.build.system
        numbers = [
            (
                o.values["margin_bad"],
                o.values["hub"],
                o.values["belts"],
                o.values["wide"] * o.values["high"],
                o.values["bought"],
            )
            for o in self.found
        ]
        shown = [
            (
                f"{o.values['margin_bad']:.2f} ×",
                show(o.values["hub"], "force", system),
                f"{o.values['belts']:.0f}",
                f"{_tape(o.values['wide'], system)} × {_tape(o.values['high'], system)}",
                f"{o.values['bought']:.0f}",
            )
            for o in self.found
        ]
        # Equal as shown is equal: a best that nobody can tell from the next is none.
        best = []
        for k in range(5):
            column = [n[k] for n in numbers]
            top = (max if k == 0 else min)(column, default=None)
            alike = {shown[i][k] for i, v in enumerate(column) if v == top}
            differ = len({s[k] for s in shown}) > 1
            best.append([differ and s[k] in alike for s in shown])
        rows = []
        if self.now is not None:
            box = self._box(self.now)
            rows.append(
                Row(
                    "now",
                    (
                        f"{self.now.margin_bad:.2f} ×",
                        show(self.now.hub, "force", system),
                        str(self.trial.get(f"stage[{self.stage}].belts") or 1),
                        f"{_tape(box[0], system)} × {_tape(box[1], system)}",
                        "0",
                        str(self.trial.get(f"stage[{self.stage}].marked") or "not chosen"),
                        "as it is",
                    ),
                    (False,) * 7,
                    self.now.verdict,
                    self.now.why,
                )
            )
        for i, one in enumerate(self.found):
            alone, words = self.checked[one.letter]
            rows.append(
                Row(
                    one.letter,
                    (*shown[i], one.belt, one.pulleys()),
                    (*(b[i] for b in best), False, False),
                    alone.verdict if alone else "stop",
                    alone.why if alone else words,
                )
            )
        return tuple(rows)

    def _box(self, alone: Checked) -> tuple[float, float]:
        layout = alone.results.chapters["layout"].data[self.stage]
        edge = np.maximum(layout.pulleys.outside, layout.pulleys.pitch) + (
            layout.belt.cord_depth if layout.belt else 0.0
        )
        return tuple(float((a + edge).max() - (a - edge).min()) for a in (layout.places.x, layout.places.y))

    def picture(self) -> SearchPicture:
        """Return what the trade-off picture draws."""
        run = self.run
        rows = run.front.rows if run is not None else np.zeros((0, len(AT)))
        column = {name: rows[:, AT[name]] for name in ("margin_bad", "hub", "wide", "high", "bought")}
        letters = []
        for one in self.found:
            same = np.flatnonzero(
                (column["margin_bad"] == one.values["margin_bad"])
                & (column["hub"] == one.values["hub"])
                & (column["wide"] == one.values["wide"])
                & (column["high"] == one.values["high"])
            )
            letters.append((one.letter, int(same[0])))
        now = None
        if self.now is not None:
            wide, high = self._box(self.now)
            now = (self.now.margin_bad, self.now.hub, wide * high)
        return SearchPicture(
            margin=column["margin_bad"],
            hub=column["hub"],
            size=column["wide"] * column["high"],
            bought=column["bought"],
            letters=tuple(letters),
            now=now,
            least=run.problem.margin_least if run else 1.0,
            chosen=self.looked,
            tried=run.tried if run else 0,
            system=self.build.system,
        )

    def notes(self) -> tuple[str, ...]:
        """Say what was taken for granted, and why nothing was found where nothing was."""
        if self.run is None:
            return ()
        p, words = self.run.problem, []
        if not p.zone_known:
            left, right, low, high = (_tape(v, self.build.system) for v in p.zone)
            words.append(f"Zone taken where none is said: {left} to {right} across, {low} to {high} up.")
        words += p.notes
        if not self.run.rated:
            words.append(
                f"No rating covers {p.belt.name} belts on every pair of sizes: there their count rests on grip alone."
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
        """Keep a layout, and what was asked, in the build file; say what was written.

        Raises
        ------
        KeyConflict
            If others changed the same in the file, and ``settle`` does not say which is to stand; nothing is written.
        BuildProblems, ChangedOnDisk, NotSaved
            With the reason; nothing is written then.
        """
        one = self.layout(letter)
        changes: Mapping = {**self._asked(), **one.changes}
        self.build = keep(self.build, changes, settle=settle)
        self.texts = {key: self.base_text(key) for key in self.texts}
        self.trial = self.build
        left = [key for key, answer in (settle or {}).items() if answer.side == "theirs"]
        lost = tuple(end for key in left for end in (f"{key}.", f"{key}["))
        mine = {k: v for k, v in one.changes.items() if k not in left and not k.startswith(lost)}
        short = [f"{k.removeprefix(f'stage[{self.stage}].')} = {_said(v)}" for k, v in mine.items()]
        short += [f"{key} as it was changed elsewhere" for key in left]
        return (
            f"Layout {letter} is the build now, in {self.build.file}: {'; '.join(short) or 'it was already'}. "
            "Run the cells of the other pages again: length, grip, bearings and tags are out of date there."
        )

    def _asked(self) -> dict[str, str | int]:
        """The form's changes that the search was begun with."""
        return {
            key: _plain(self.trial, key) for key in self.changes() if _plain(self.trial, key) != _plain(self.build, key)
        }


def _plain(build: Build, key: str) -> str | int:
    value = build.get(key)
    return "" if value is None else value.text if isinstance(value, Measure) else value


def _said(value: object) -> str:
    if isinstance(value, tuple):
        return ", ".join(value)
    return "not known" if value == "" else str(value)


def _tape(si: float, system: str) -> str:
    return f"{si * 1e3:.0f} mm" if system == "metric" else fraction(si, 4)


__all__ = ["BEST", "FEW", "GROUPS", "HEADS", "MANY", "MOST", "Row", "SearchController"]

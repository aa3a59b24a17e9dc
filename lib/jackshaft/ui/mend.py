"""What is open beside a panel: each caution and stop with its proved cures, each undecided check with what it lacks."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import partial
from html import escape

import ipywidgets as widgets

from jackshaft.buildfile import NoSuchKey, choices_at, describe
from jackshaft.render.html import badge
from jackshaft.render.parts import by_weight, outcome
from jackshaft.results import judging, label, work_up
from jackshaft.results.checks import CAUTION, STOP, UNDECIDED, Check
from jackshaft.results.cure import Cure
from jackshaft.results.measuring import asked_for
from jackshaft.results.proving import proving
from jackshaft.results.uncured import advised, no_change
from jackshaft.ui.elements import box, button, close, html
from jackshaft.ui.later import InSteps
from jackshaft.ui.model import NOT_KNOWN
from jackshaft.ui.state import PanelState

#: Checks that are listed, and fields that one undecided check gets.
MOST_CHECKS, MOST_FIELDS = 6, 2

#: Kinds of value that are written without a unit.
BARE = ("text", "count", "number", "date", "references", "takes")
ASK = "What mends it?"
TRYING = "Trying changes"
#: Seconds that a design has to stand still after it was changed while changes of it were tried.
RESTS = 0.5
ABOVE = "<p>It needs what is asked for above.</p>"
NO_CURE = "No change of the build that was tried makes this better."


class Mend:
    """The open checks of a panel, each with a way on; empty where everything is go.

    Parameters
    ----------
    state : PanelState
        The panel's state.
    take : callable
        ``take(changes, words, keep)`` puts changes into the panel, and into the file too where ``keep`` is true.
    do : callable
        ``do(work)`` runs something and shows what goes wrong with it.
    """

    def __init__(
        self,
        state: PanelState,
        take: Callable[[Mapping[str, str], str, bool], None],
        do: Callable[[Callable[[], str]], None],
    ):
        self.widget = box("jk-mend", [])
        self._state, self._take, self._do = state, take, do
        self._listed: tuple = ()
        #: what is being looked for, by the id of its check
        self._searches: dict[str, _Search] = {}
        #: keys that have a field by now: what several checks lack is asked for once
        self._asked: set[str] = set()

    def show(self) -> None:
        """List what is open now; rows that stand for the same are left as they are."""
        checks = self._open()
        listed = tuple((c.id, c.verdict, c.missing) for c in checks)
        if listed == self._listed:
            return
        self._listed = listed
        close(self.widget)
        still = {c.id for c in checks}
        for id in [id for id in self._searches if id not in still]:
            self._searches.pop(id).cancel()
        if checks:
            head = html("jk-group", "<h4>What is open, and what would mend it</h4>")
            self._asked.clear()
            self.widget.children = [head, *map(self._row, checks)]

    def _open(self) -> list[Check]:
        if self._state.outcome is None or not self._state.fresh:
            return []
        checks = [c for c in self._state.outcome.checks if c.accepted is None]
        wanted = [c for c in checks if c.verdict in (STOP, CAUTION) or (c.verdict == UNDECIDED and self._lacks(c))]
        return by_weight(wanted)[:MOST_CHECKS]

    def _row(self, check: Check) -> widgets.Box:
        words = html("jk-mend-words", f"<p>{badge(check.verdict)} {escape(check.name)}: {escape(check.value)}</p>")
        if check.verdict == UNDECIDED:
            keys = [key for key in self._lacks(check) if key not in self._asked][:MOST_FIELDS]
            self._asked.update(keys)
            return box("jk-mend-row", [words, *(map(self._field, keys) if keys else (html("jk-mend-words", ABOVE),))])
        below = box("jk-cures", [])
        ask = button(ASK, lambda: self._search(check, ask, below), "jk-ask-cure", f"{ASK} {check.name}")
        if check.id in self._searches:
            # the row is new, what is looked for is not
            self._searches[check.id].show_at(ask, below)
        return box("jk-mend-row", [words, ask, below])

    # -- cures -------------------------------------------------------------------------------------

    def _search(self, check: Check, ask: widgets.Button, below: widgets.Box) -> None:
        """Prove what is proposed on the design in the panel, in turns that leave the page its own."""
        search = self._searches[check.id] = _Search(self._state, check, self._found)
        search.show_at(ask, below)
        search.begin()

    def _found(self, search: _Search) -> None:
        """List what holds, and say how many that are."""
        self._searches.pop(search.check.id, None)
        self._do(lambda: self._list(search))

    def _list(self, search: _Search) -> str:
        check, below = search.check, search.below
        if search.fault is not None:
            raise search.fault
        close(below)
        below.children = [self._cure(cure) for cure in search.cures] or [
            html("jk-mend-words", f"<p>{escape(no_change(check) or NO_CURE)} {escape(check.remedy)}</p>")
        ]
        return f"{check.name}: {len(search.cures)} found that hold." if search.cures else f"{check.name}: {NO_CURE}"

    def _cure(self, cure: Cure) -> widgets.Box:
        words = html("jk-mend-words", f"<p><strong>{escape(cure.words)}</strong> {escape(outcome(cure))}</p>")
        tried = f"Tried: {cure.words} Nothing is written yet."
        buttons = [
            button("Try", partial(self._take, cure.changes, tried, False), "jk-try", f"Try: {cure.words}"),
            button("Keep", partial(self._take, cure.changes, "", True), "jk-keep-cure", f"Keep: {cure.words}"),
        ]
        return box("jk-cure", [words, box("jk-buttons", buttons)])

    # -- what is missing -----------------------------------------------------------------------------

    def _lacks(self, check: Check) -> list[str]:
        """Return the keys that a check lacks and that one text can fill in."""
        found = [key for key in asked_for(self._state.build, check.missing) if _is_one_value(key)]
        return [key for key in found if key not in self._state.controls]

    def _field(self, key: str) -> widgets.Text | widgets.Dropdown:
        choices = choices_at(self._state.build, key)
        if choices:
            field = widgets.Dropdown(options=[(NOT_KNOWN, ""), *((c, c) for c in choices)], description=label(key))
        else:
            hint = "type it" if describe(key)[1].kind in BARE else "type it, with its unit"
            field = widgets.Text(description=label(key), placeholder=hint, continuous_update=False)
        field.add_class("jk-box")
        field.observe(lambda change: self._typed(key, change["new"]), "value")
        return field

    def _typed(self, key: str, text: str) -> None:
        if text.strip():
            self._take({key: text}, f"Tried: {label(key)} = {text}. Nothing is written yet.", False)


class _Search:
    """Looks for the cures of one check on the design in the panel; it begins again where that has changed meanwhile.

    Parameters
    ----------
    state : PanelState
        The panel's state.
    check : Check
        The check.
    done : callable
        ``done(search)`` follows once ``cures`` hold, or ``fault`` says what went wrong.
    """

    def __init__(self, state: PanelState, check: Check, done: Callable[[_Search], None]):
        self.check, self.cures, self.fault = check, (), None
        self._state, self._done = state, done
        self._build, self._times = state.trial, 0
        self._steps = InSteps(0.0, self._work, self._end)

    def show_at(self, ask: widgets.Button, below: widgets.Box) -> None:
        """Show how far it is on a button, and what it finds in a box."""
        self.ask, self.below = ask, below
        self._say()

    def begin(self) -> None:
        """Look for them."""
        self._steps.soon()

    @property
    def _moved(self) -> bool:
        """Whether the design in the panel is another one by now."""
        return self._state.trial is not self._build

    def cancel(self) -> None:
        """Leave the rest undone."""
        self._steps.cancel()

    def _say(self) -> None:
        self.ask.disabled = True
        self.ask.description = f"{TRYING} ...{f' worked up {self._times} times' if self._times else ''}"

    def _work(self) -> Iterator[None]:
        self._build, self._times = self._state.trial, 0
        try:
            for _ in self._prove():
                if self._moved:
                    return
                self._times += 1
                if not self._times % 10:
                    self._say()
                yield
        except Exception as error:
            # what is raised in a turn is only logged, so the panel has to show it
            self.fault = error

    def _prove(self) -> Iterator[None]:
        results = yield from judging(work_up(self._build))
        found = next((c for c in results.checks if c.id == self.check.id), None)
        if found is not None:
            self.cures = yield from proving(results, found.id)
            self.check = advised(results, replace(found, cures=self.cures))

    def _end(self) -> None:
        if self.fault is None and self._moved:
            self._steps = InSteps(RESTS, self._work, self._end)
            self.begin()
            return
        self.ask.description, self.ask.disabled = ASK, False
        self._done(self)


def _is_one_value(key: str) -> bool:
    try:
        describe(key)
    except (NoSuchKey, KeyError):
        return False
    return True


__all__ = ["Mend"]

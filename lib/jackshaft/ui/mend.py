"""What is open beside a panel: each caution and stop with its proved cures, each undecided check with what it lacks."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from html import escape

import ipywidgets as widgets

from jackshaft.buildfile import NoSuchKey, choices_at, describe
from jackshaft.render.html import badge
from jackshaft.render.parts import by_weight, outcome
from jackshaft.results import label, work_up
from jackshaft.results.checks import CAUTION, STOP, UNDECIDED, Check
from jackshaft.results.cure import Cure
from jackshaft.results.measuring import asked_for
from jackshaft.results.proving import with_cures
from jackshaft.results.uncured import no_change
from jackshaft.ui.elements import box, button, close, html
from jackshaft.ui.model import NOT_KNOWN
from jackshaft.ui.state import PanelState

#: Checks that are listed, and fields that one undecided check gets.
MOST_CHECKS, MOST_FIELDS = 6, 2

#: Kinds of value that are written without a unit.
BARE = ("text", "count", "number", "date", "references", "takes")
ASK = "What mends it?"
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

    def show(self) -> None:
        """List what is open now; rows that stand for the same are left as they are."""
        checks = self._open()
        listed = tuple((c.id, c.verdict, c.missing) for c in checks)
        if listed == self._listed:
            return
        self._listed = listed
        close(self.widget)
        if checks:
            head = html("jk-group", "<h4>What is open, and what would mend it</h4>")
            self.widget.children = [head, *map(self._row, checks)]

    def _open(self) -> list[Check]:
        if self._state.outcome is None or not self._state.fresh:
            return []
        checks = [c for c in self._state.outcome.checks if c.accepted is None]
        wanted = [c for c in checks if c.verdict in (STOP, CAUTION) or (c.verdict == UNDECIDED and self._fields(c))]
        return by_weight(wanted)[:MOST_CHECKS]

    def _row(self, check: Check) -> widgets.Box:
        words = html("jk-mend-words", f"<p>{badge(check.verdict)} {escape(check.name)}: {escape(check.value)}</p>")
        if check.verdict == UNDECIDED:
            return box("jk-mend-row", [words, *(self._field(key) for key in self._fields(check))])
        below = box("jk-cures", [])
        ask = button(
            ASK, lambda: self._do(lambda: self._cures(check, ask, below)), "jk-ask-cure", f"{ASK} {check.name}"
        )
        return box("jk-mend-row", [words, ask, below])

    # -- cures -------------------------------------------------------------------------------------

    def _cures(self, check: Check, ask: widgets.Button, below: widgets.Box) -> str:
        """Prove what is proposed on the design in the panel, list what holds, and say how many that are."""
        ask.description, ask.disabled = "Trying changes ...", True
        try:
            results = work_up(self._state.trial, at_ends=True)
            there = any(c.id == check.id for c in results.checks)
            told = with_cures(results, (check.id,)).checks if there else ()
            check = next((c for c in told if c.id == check.id), check)
            cures = check.cures
        finally:
            ask.description, ask.disabled = ASK, False
        close(below)
        below.children = [self._cure(cure) for cure in cures] or [
            html("jk-mend-words", f"<p>{escape(no_change(check) or NO_CURE)} {escape(check.remedy)}</p>")
        ]
        return f"{check.name}: {len(cures)} found that hold." if cures else f"{check.name}: {NO_CURE}"

    def _cure(self, cure: Cure) -> widgets.Box:
        words = html("jk-mend-words", f"<p><strong>{escape(cure.words)}</strong> {escape(outcome(cure))}</p>")
        tried = f"Tried: {cure.words} Nothing is written yet."
        buttons = [
            button("Try", partial(self._take, cure.changes, tried, False), "jk-try", f"Try: {cure.words}"),
            button("Keep", partial(self._take, cure.changes, "", True), "jk-keep-cure", f"Keep: {cure.words}"),
        ]
        return box("jk-cure", [words, box("jk-buttons", buttons)])

    # -- what is missing -----------------------------------------------------------------------------

    def _fields(self, check: Check) -> list[str]:
        """Return the keys that a check lacks and that one text can fill in, the first few."""
        found = [key for key in asked_for(self._state.build, check.missing) if _is_one_value(key)]
        return [key for key in found if key not in self._state.controls][:MOST_FIELDS]

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


def _is_one_value(key: str) -> bool:
    try:
        describe(key)
    except (NoSuchKey, KeyError):
        return False
    return True


__all__ = ["Mend"]

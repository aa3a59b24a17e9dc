"""The live picture of a panel: drawn from its state, marked where it is old or shows a stop."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from jackshaft.drawing.palette import CANDIDATES
from jackshaft.drawing.view import WIDTHS, Candidate, View
from jackshaft.ui import fragments
from jackshaft.ui.candidates import LETTERS
from jackshaft.ui.elements import html, put
from jackshaft.ui.state import PanelState
from jackshaft.ui.trouble import Trouble, fault_of


class Picture:
    """A place for the picture; ``trouble`` is what went wrong with drawing it last."""

    def __init__(self, view: View):
        self.widget = html("jk-picture-box")
        self.trouble: Trouble | None = None
        self._view = view
        self._svg = ""
        self._widths: tuple[str, ...] = WIDTHS
        #: the widths that what is shown was drawn for
        self._has: tuple[str, ...] = ()

    def take_widths(self, widths: Iterable[str]) -> bool:
        """Draw for these widths alone from now on, for all of them where none is named; tell whether one is lacking."""
        self._widths = tuple(w for w in WIDTHS if w in {*widths}) or WIDTHS
        return not {*self._widths} <= {*self._has}

    def is_old(self, state: PanelState) -> bool:
        """Whether what is shown does not belong to the inputs."""
        return not state.fresh or self.trouble is not None

    def draw(self, state: PanelState) -> None:
        """Draw the state where it is fresh; the last picture stays otherwise."""
        self.trouble = None
        if not state.fresh:
            return
        drawn = [p for p in state.pins if p.shown and p.outcome.picture is not None]
        pins = [Candidate(p.letter, p.outcome.picture, *CANDIDATES[LETTERS.index(p.letter)]) for p in drawn]
        try:
            self._view.draw(state.outcome.picture, pins, stop=state.outcome.why_it_does_not_work)
            self._svg, self._has = self._view.html(self._widths), self._widths
        except Exception as error:
            # a picture that fails must not take the numbers with it, nor pass for the present one
            self.trouble = fault_of(error, "the picture could not be drawn")

    def show(self, state: PanelState) -> None:
        """Show what was drawn last, with its mark."""
        if not self._svg:
            put(self.widget, '<div class="jk-picture jk-none">no picture yet</div>')
            return
        old = self.is_old(state)
        stop = state.outcome.why_it_does_not_work if state.outcome else ""
        words = f"{fragments.OLD}. {self._view.describe()}" if old else self._view.describe()
        # the banner stands in the SVG too, but there it shrinks with the picture
        mark = fragments.mark_html(old=old, stop=stop)
        put(
            self.widget,
            f'<div class="jk-picture{" jk-old" if old else ""}" role="img" '
            f'aria-label="{escape(words)}">{mark}{self._svg}</div>',
        )


__all__ = ["Picture"]

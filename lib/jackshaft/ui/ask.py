"""The question that is put where two changed one thing: both values, and a button for each."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from html import escape

import ipywidgets as widgets

from jackshaft.buildfile import Answer, Clash, KeyConflict
from jackshaft.ui.elements import box, button, close
from jackshaft.ui.stale import lies_in

#: A value of up to so many letters is shown on its button.
SHORT = 32


class Ask:
    """A place for the question; empty until there is one."""

    def __init__(self):
        self.widget = box("jk-ask", [])
        self._answers: dict[str, Answer] = {}
        #: the keys, parts and lists that are asked about
        self.keys: tuple[str, ...] = ()

    @property
    def asking(self) -> bool:
        """Whether there is a question."""
        return bool(self.widget.children)

    def put(self, conflict: KeyConflict, again: Callable[[dict[str, Answer]], None]) -> None:
        """Ask about every clash; when each has its answer, the question goes and ``again`` gets the answers.

        Parameters
        ----------
        conflict : KeyConflict
            What was raised.
        again : callable
            Saves once more, with the answers as ``settle``.
        """
        self.clear()
        self.keys = tuple(clash.key for clash in conflict.clashes)
        self.widget.children = [self._row(conflict, clash, again) for clash in conflict.clashes]

    def clear(self) -> None:
        """Take the question away."""
        if not self.asking:
            return
        self._answers, self.keys = {}, ()
        close(self.widget)

    def about(self, key: str) -> bool:
        """Tell whether a key is asked about, by itself or with what it lies in."""
        return lies_in(key, self.keys)

    def withdraw(self, why: str) -> str:
        """Take the question away unanswered; return the words that say so, none where nothing was asked."""
        if not self.asking:
            return ""
        words = f"The question about {', '.join(self.keys)} is withdrawn, because {why}. Nothing of it was written."
        self.clear()
        return words

    def press(self, side: str, key: str | None = None) -> None:
        """Press a button: ``mine`` or ``theirs``, of one key or of all."""
        for row in self.widget.children:
            if key in (None, row.key):
                row.children[1 if side == "mine" else 2].click()

    def _row(self, conflict: KeyConflict, clash: Clash, again: Callable[[dict[str, Answer]], None]) -> widgets.Box:
        words = widgets.HTML(clash_html(clash))

        def answer(side: str) -> None:
            self._answers |= conflict.answer(side, clash.key)
            words.value = clash_html(clash, side)
            if len(self._answers) == len(conflict.clashes):
                answers = self._answers
                self.clear()
                again(answers)

        sides = (("Keep mine", "mine", clash.mine), ("Take theirs", "theirs", clash.theirs))
        row = box("jk-ask-row", [words, *(_button(w, value, partial(answer, side)) for w, side, value in sides)])
        row.key = clash.key
        return row


def clash_html(clash: Clash, side: str = "") -> str:
    """Return what both sides say of a key, and which of them was chosen."""
    chosen = {"mine": " Yours is kept.", "theirs": " The file's is kept."}.get(side, "")
    return (
        f"<p><strong>{escape(clash.key)}</strong> was changed here and elsewhere. It was {escape(clash.read)}; "
        f"you have <strong>{escape(clash.mine)}</strong>; the file now has "
        f"<strong>{escape(clash.theirs)}</strong>.{chosen}</p>"
    )


def _button(words: str, value: str, pressed: Callable[[], None]) -> widgets.Button:
    shown = f"{words}: {value}" if len(value) <= SHORT else words
    return button(shown, pressed, "jk-" + words.lower().replace(" ", "-"), words)


__all__ = ["Ask", "clash_html"]

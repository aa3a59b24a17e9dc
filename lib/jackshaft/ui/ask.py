"""The question that is put where two changed one thing: both values, and a button for each."""

from __future__ import annotations

from collections.abc import Callable
from html import escape

import ipywidgets as widgets

from jackshaft.buildfile import Answer, Clash, KeyConflict

#: A value of up to so many letters stands on its button.
SHORT = 32


class Ask:
    """A place for the question; empty until there is one."""

    def __init__(self):
        self.widget = widgets.Box([])
        self.widget.add_class("jk-ask")
        self._answers: dict[str, Answer] = {}
        #: the keys, parts and lists that are asked about
        self.keys: tuple[str, ...] = ()

    @property
    def asking(self) -> bool:
        """Whether a question stands."""
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
        old, self.widget.children = self.widget.children, []
        self._answers, self.keys = {}, ()
        for row in old:
            for one in row.children:
                one.close()
            row.close()

    def about(self, key: str) -> bool:
        """Tell whether a key is asked about, by itself or with what it lies in."""
        return any(key == k or key.startswith((k + ".", k + "[")) for k in self.keys)

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
        mine, theirs = _button("Keep mine", clash.mine), _button("Take theirs", clash.theirs)
        row = widgets.Box([words, mine, theirs])
        row.add_class("jk-ask-row")
        row.key = clash.key

        def answer(side: str) -> None:
            self._answers |= conflict.answer(side, clash.key)
            words.value = clash_html(clash, side)
            if len(self._answers) == len(conflict.clashes):
                answers = self._answers
                self.clear()
                again(answers)

        mine.on_click(lambda _: answer("mine"))
        theirs.on_click(lambda _: answer("theirs"))
        return row


def clash_html(clash: Clash, side: str = "") -> str:
    """Return what both sides say of a key, and which of them was chosen."""
    chosen = {"mine": " Yours is to stand.", "theirs": " The file's is to stand."}.get(side, "")
    return (
        f"<p><strong>{escape(clash.key)}</strong> was changed here and elsewhere. It was {escape(clash.read)}; "
        f"you have <strong>{escape(clash.mine)}</strong>; the file now has "
        f"<strong>{escape(clash.theirs)}</strong>.{chosen}</p>"
    )


def _button(words: str, value: str) -> widgets.Button:
    made = widgets.Button(description=f"{words}: {value}" if len(value) <= SHORT else words, tooltip=words)
    made.add_class("jk-button")
    made.add_class("jk-" + words.lower().replace(" ", "-"))
    return made


__all__ = ["Ask", "clash_html"]

"""One question after another, each asked because of the answers before it: a list to begin with, then a form."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from typing import Protocol

import ipywidgets as widgets

from jackshaft.ui.forms import Form, Forms, choice_box, refill, text_box

ANSWER, CANNOT, BACK = "That is what I found", "I cannot look there", "Take the last answer back"
#: What stands in the list where nothing is picked yet.
NOTHING = "choose"


class Asked(Protocol):
    """What is asked for, with what it may show."""

    words: str
    here: str
    band: object
    findings: Sequence


class Asking(Protocol):
    """A line of questions; it never changes, an answer gives another one."""

    question: Asked | None
    why: str
    end: str
    steps: Sequence

    def answer(self, text: str) -> Asking:
        """Return what comes of an answer; a ValueError says what is wrong with it."""

    def skip(self) -> Asking:
        """Return what comes of leaving the question out."""


class Questions(Forms):
    """A card that asks: what is wrong, then one look after another.

    Parameters
    ----------
    title : str
        Over the card.
    starts : sequence of str
        What one may begin with.
    begin : callable
        ``begin(start)`` returns the line of questions.
    instead : str
        What stands there where there is no kernel.
    """

    def __init__(self, title: str, starts: Sequence[str], begin: Callable[[str], Asking], instead: str):
        self._begin, self._before = begin, []
        self.case: Asking | None = None
        self.start = choice_box("What is wrong", [NOTHING, *starts], NOTHING)
        self.start.observe(lambda _: self._started(), "value")
        self.told, self.asked = widgets.HTML(), widgets.HTML()
        self.finding = choice_box("What you find", [(NOTHING, "")], "")
        self.reading = text_box("Or a reading", hint="with its unit")
        for one in (self.start, self.finding):
            one.add_class("jk-across")
        fields = (self.start, self.told, self.asked, self.finding, self.reading)
        buttons = ((ANSWER, self._answer), (CANNOT, self._skip), (BACK, self._back))
        self.form = Form("One look after another", fields, buttons)
        super().__init__(title, (self.form,), instead)
        self._show()

    def _started(self) -> None:
        self.case = None if self.start.value == NOTHING else self._begin(self.start.value)
        self._before = []
        self.form.withdraw("")
        self._show()

    def _open(self) -> Asking:
        if self.case is None or self.case.question is None:
            raise ValueError("found no open question; wanted one: choose what is wrong, or take the last answer back")
        return self.case

    def _answer(self) -> str:
        text = self.reading.value.strip() or self.finding.value
        if not text:
            raise ValueError("found no answer; wanted what you find, from the list, or a reading")
        return self._go(self._open().answer(text))

    def _skip(self) -> str:
        return self._go(self._open().skip())

    def _back(self) -> str:
        if not self._before:
            raise ValueError("found no answer yet; wanted one to take back")
        self.case = self._before.pop()
        self._show()
        return "Taken back."

    def _go(self, case: Asking) -> str:
        self._before.append(self.case)
        self.case = case
        self._show()
        return ""

    def _show(self) -> None:
        """Show the way so far, and the open question or the end."""
        case, look = self.case, None if self.case is None else self.case.question
        steps = () if case is None else case.steps
        items = "".join(f"<li>{escape(step.words)}</li>" for step in steps)
        self.told.value = f"<ol>{items}</ol>" if items else ""
        if look is None:
            self.asked.value = f"<p><strong>{escape(case.end)}</strong></p>" if case else ""
        else:
            here = f"<br>In this build: {escape(look.here)}." if look.here else ""
            self.asked.value = f"<p><strong>{escape(look.words)}.</strong><br>{escape(case.why)}{here}</p>"
        found = [] if look is None else [(f.words, str(n)) for n, f in enumerate(look.findings, 1)]
        self.reading.value = ""
        refill(self.finding, [(NOTHING, ""), *found])
        self.finding.value = ""
        self.finding.layout.display = "" if look is not None else "none"
        self.reading.layout.display = "" if look is not None and look.band is not None else "none"


__all__ = ["ANSWER", "BACK", "CANNOT", "NOTHING", "Questions"]

"""Forms: a titled block of fields and buttons with a place for what came of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from html import escape

import ipywidgets as widgets
from IPython.display import display

from jackshaft.buildfile import Answer, ChangedOnDisk, KeyConflict, NotSaved
from jackshaft.ui import fragments
from jackshaft.ui.ask import Ask
from jackshaft.ui.elements import box, button, classed, html
from jackshaft.ui.hand import HandWidget
from jackshaft.ui.stored import show_live
from jackshaft.ui.style import CSS
from jackshaft.ui.trouble import ASKED, fault_of


class Form:
    """A titled block of fields and buttons with a place for what came of it.

    Parameters
    ----------
    title : str
        What the block is for.
    fields : sequence of widgets
        Its fields, in order.
    buttons : sequence of (words, action)
        An action returns the words to show; what it raises is shown in the error box. One that keeps values
        takes the answers to what was changed elsewhere too, as its only argument.
    """

    def __init__(self, title: str, fields: Sequence[widgets.Widget], buttons: Sequence[tuple[str, Callable[..., str]]]):
        self.result, self.alert, self.ask = widgets.HTML(), widgets.HTML(), Ask()
        self._row = box("jk-buttons", [button(words, partial(self.run, action)) for words, action in buttons])
        self.head = html("jk-group")
        self.title(title)
        for field in fields:
            field.add_class("jk-box")
        self.widget = box("jk-form", [self.head, *fields, self._row, self.alert, self.ask.widget, self.result])

    def title(self, words: str) -> None:
        """Give the block another title."""
        self.head.value = f"<h4>{escape(words)}</h4>"

    def button(self, number: int, words: str) -> None:
        """Give one of the buttons, counted from 0, other words."""
        self._row.children[number].description = self._row.children[number].tooltip = words

    def withdraw(self, why: str) -> None:
        """Take an unanswered question away, and say so; say nothing of what was done here before."""
        words = self.ask.withdraw(why)
        self.result.value = fragments.notice_html(words)
        self.alert.value = fragments.alert_html((), "")

    def run(self, action: Callable[..., str], settle: Mapping[str, Answer] | None = None) -> None:
        """Run an action and show what came of it; where another changed the same, ask and run it again.

        A question is answered before anything else is done here.
        """
        words, troubles, refusal = "", (), ""
        if self.ask.asking:
            keys = ", ".join(self.ask.keys)
            refusal = f"Nothing was written. First answer the question below: which value of {keys} is kept?"
            self.alert.value = fragments.alert_html((), refusal)
            return
        try:
            words = action(settle) if settle else action()
        except KeyConflict as conflict:
            refusal = ASKED
            self.ask.put(conflict, lambda answers: self.run(action, answers))
        except (ValueError, ChangedOnDisk, NotSaved, OSError) as error:
            refusal = str(error)
        except Exception as error:
            # Jupyter only logs what a callback raises, so the form has to show it
            troubles = (fault_of(error),)
        self.result.value = fragments.notice_html(words)
        self.alert.value = fragments.alert_html(troubles, refusal)


class Forms:
    """Forms on one card; where there is no kernel a line says what they are for."""

    def __init__(self, title: str, forms: Sequence[Form], instead: str):
        self.forms = tuple(forms)
        self.instead = instead
        self.head = widgets.HTML()
        self.title(title)
        self._keys = HandWidget()
        self.widget = classed(box("jk-panel", [self.head, *(f.widget for f in forms), self._keys]), "jk-card")

    def title(self, words: str) -> None:
        """Give the card another title."""
        self.head.value = f"{CSS}<h3>{escape(words)}</h3>"

    def show(self, forms: Sequence[Form]) -> None:
        """Show just these of the forms, in this order."""
        children = (self.head, *(f.widget for f in forms), self._keys)
        if tuple(self.widget.children) != children:
            self.widget.children = children

    def _ipython_display_(self) -> None:
        show_live(self.widget)
        display({"text/plain": self.instead, "text/html": f"<p>{escape(self.instead)}</p>"}, raw=True)


def text_box(label: str, value: str = "", hint: str = "") -> widgets.Text:
    """Return a field for text, with its label."""
    return widgets.Text(value=value, description=label, placeholder=hint, continuous_update=False)


def choice_box(label: str, options: Sequence, value=None) -> widgets.Dropdown:
    """Return a list to pick from, with its label."""
    box = widgets.Dropdown(options=list(options), description=label)
    if value is not None:
        box.value = value
    return box


def tick_box(words: str) -> widgets.Checkbox:
    """Return a box to tick, with its words."""
    return widgets.Checkbox(value=False, description=words, indent=False)


def refill(box: widgets.Dropdown, options: Sequence[tuple[str, object]], start: object = None) -> None:
    """Give a list other options; what was picked stays picked where it is still there.

    Parameters
    ----------
    box : Dropdown
        The list.
    options : sequence of (words, value)
        What it offers from now on.
    start : optional
        What is picked where nothing stays picked; the first where that is not offered either.
    """
    now, values = box.value, [v for _, v in options]
    if tuple(box.options) != tuple(options):
        box.options = options
    pick = now if now in values else (start if start in values else (values[0] if values else None))
    if box.value != pick:
        box.value = pick

"""One control as widgets: a labelled text field that takes shop text, a slider beside it, an echo below."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import escape

import ipywidgets as widgets

from jackshaft.ui.elements import classed, html
from jackshaft.ui.model import NOT_KNOWN, Control, Reading
from jackshaft.ui.scale import Scale
from jackshaft.ui.trouble import Trouble


def slug(words: str) -> str:
    """Return words as the tail of a CSS class: small letters, digits, hyphens.

    Parameters
    ----------
    words : str
        A key, a name or a label.
    """
    return re.sub(r"[^a-z0-9]+", "-", words.lower()).strip("-")


class Field:
    """The widgets of one control; ``changed(id, text)`` is called when the user changed it.

    Parameters
    ----------
    control : Control
        Its control.
    system : str
        inch or metric.
    changed : callable
        Called with the control's id and the new text, and with this field where the slider was moved.
    """

    def __init__(self, control: Control, system: str, changed: Callable[..., None]):
        self.control = control
        self._changed = changed
        self._silent = False
        #: where the slider was put or moved last, in steps
        self._position: int | None = None
        self.echo = html("jk-echo")
        self.slider: widgets.Widget | None = None
        if control.has_slider:
            self.box = widgets.Text(description=control.title(system), continuous_update=False, placeholder=NOT_KNOWN)
            self._scale = Scale(control, system)
            low, high, step = self._scale.numbers
            self.slider = widgets.FloatSlider(
                min=low, max=high, step=step, readout=False, tooltip=control.title(system)
            )
            self.slider.observe(self._slid, "value")
        else:
            options = list(control.options)
            if control.key:
                options.insert(0, (NOT_KNOWN, ""))
            self.box = widgets.Dropdown(options=options, description=control.title(system))
        classed(self.box, "jk-box").observe(self._typed, "value")
        self._help = f'<span class="jk-help">{escape(control.help)}</span>' if control.help else ""
        parts = [self.box, self.slider, self.echo] if self.slider else [self.box, self.echo]
        self.widget = classed(widgets.Box(parts), "jk-control", f"jk-c-{slug(control.id)}")

    def show(self, text: str, reading: Reading | None, trouble: Trouble | None, *, move_slider: bool = True) -> None:
        """Show a text, how it was read, and what is wrong with it.

        Parameters
        ----------
        text : str
            What the control holds.
        reading : Reading or None
            How it was read; None where it could not be.
        trouble : Trouble or None
            What is wrong with it.
        move_slider : bool, optional
            False while the user's hand is on the slider.
        """
        self._silent = True
        try:
            self.box.value = text
            if self.slider and move_slider and reading is not None:
                self._position = self._scale.nearest(reading.value)
                self.slider.value = self._scale.number_at(self._position)
        finally:
            self._silent = False
        self.echo.value = self._echo(reading, trouble)
        # a handle has to rest somewhere, and where it rests is no value
        unset = reading is not None and reading.value is None
        (self.widget.add_class if unset else self.widget.remove_class)("jk-unset")
        if trouble:
            self.widget.add_class("jk-bad")
        else:
            self.widget.remove_class("jk-bad")

    def _echo(self, reading: Reading | None, trouble: Trouble | None) -> str:
        if trouble:
            return f'<span class="jk-wrong"><span aria-hidden="true">✘</span> {escape(trouble.words)}</span>'
        parts = [escape(w) for w in ((reading.echo, *reading.notes) if reading else ()) if w]
        words = "; ".join(parts)
        return f"{words}{'<br>' if words and self._help else ''}{self._help}"

    def _typed(self, change) -> None:
        if not self._silent:
            self._changed(self.control.id, change["new"])

    def _slid(self, change) -> None:
        if self._silent:
            return
        position = self._scale.position_of(change["new"])
        if position == self._position:
            # The page rounds the handle it was given and sends it back; that is no hand on the slider. What is not
            # known stays so until the handle leaves the middle, where it was only put.
            return
        self._position = position
        self._changed(self.control.id, self._scale.text_at(position), self)

"""The list over a panel that is about one of several parts: which of them it shows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from typing import Protocol

import ipywidgets as widgets

from jackshaft.buildfile import Build
from jackshaft.results.running import fault_of
from jackshaft.ui.elements import box, html
from jackshaft.ui.forms import choice_box
from jackshaft.ui.shown import fault_shown
from jackshaft.ui.style import CSS


class PartPanel(Protocol):
    """A panel that is about one part."""

    build: Build
    widget: widgets.Box

    def put_on_page(self, place: widgets.Widget) -> None:
        """Display a place that holds the panel, and what is stored of it."""

    def stand_for(self, other: PartPanel) -> None:
        """Take the place of another panel: what is stored follows this one from now on."""


class Chooser:
    """A panel for each of several parts, one shown at a time; what was moved in the others stays.

    Parameters
    ----------
    words : str
        What is chosen: "Belt stage".
    names : sequence of str
        The parts.
    make : callable
        ``make(build, name)`` returns the panel of a part, or raises a ValueError that says why there is none.
    build : Build
        The build that is open.

    Raises
    ------
    ValueError
        If no part has a panel: why the first has none.
    """

    def __init__(self, words: str, names: Sequence[str], make: Callable[[Build, str], PartPanel], build: Build):
        self._make, self._panels = make, {}
        self.panel: PartPanel = self._first(names, build)
        self.drop = choice_box(words, names, value=next(iter(self._panels)))
        self.drop.add_class("jk-box")
        self.drop.add_class("jk-chooser")
        self.drop.observe(lambda change: self._chosen(change["new"]), "value")
        self.widget = box("jk-chosen", [self.panel.widget])
        self._head(self.panel)

    def choose(self, name: str) -> None:
        """Show the panel of a part, as if it were picked from the list.

        Parameters
        ----------
        name : str
            One of the parts.
        """
        self.drop.value = name

    def _first(self, names: Sequence[str], build: Build) -> PartPanel:
        """Return the panel of the first part that has one."""
        why: ValueError | None = None
        for name in names:
            try:
                self._panels[name] = self._make(build, name)
            except ValueError as error:
                why = why or error
            else:
                return self._panels[name]
        raise why or ValueError("there is nothing to choose from")

    def _chosen(self, name: str) -> None:
        try:
            if name not in self._panels:
                self._panels[name] = self._make(self.panel.build, name)
                self._head(self._panels[name])
        except ValueError as why:
            self._no_panel(f"<p>No panel here: {escape(str(why))}.</p>")
        except Exception as error:
            # Jupyter only logs what a callback raises, so the page has to show it
            self._no_panel(fault_shown(fault_of(error), f"the panel of {name}").html)
        else:
            before, self.panel = self.panel, self._panels[name]
            self.widget.children = [self.panel.widget]
            if self.panel is not before:
                self.panel.stand_for(before)

    def _no_panel(self, words: str) -> None:
        self.widget.children = [box("jk-panel", [html("jk-head", CSS), self.drop, html("jk-alert-box", words)])]

    def _head(self, panel: PartPanel) -> None:
        """Put the list under the panel's title, above all that depends on it."""
        head, *rest = panel.widget.children
        panel.widget.children = [head, self.drop, *rest]

    def _ipython_display_(self) -> None:
        self.panel.put_on_page(self.widget)


__all__ = ["Chooser", "PartPanel"]

"""Fields under their headings: the first few groups stand open, the others fold away behind a button."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

import ipywidgets as widgets

from jackshaft.ui.elements import box, button, html
from jackshaft.ui.fields import Field

#: So many fields stand open at first; a group is never cut.
OPEN = 8


class Fold:
    """One group of fields behind a button that names it and says how many there are."""

    def __init__(self, title: str, fields: list[Field]):
        self.fields = fields
        self._title, self._open = title, False
        self._within = box("jk-folded", [])
        self._button = button("", self.turn, "jk-fold-button")
        self.widget = box("jk-fold", [self._button, self._within])
        self._show()

    def turn(self) -> None:
        """Open it where it is shut, shut it where it is open."""
        self._open = not self._open
        self._show()

    def open(self) -> None:
        """Open it, if it is shut."""
        if not self._open:
            self.turn()

    def _show(self) -> None:
        names = ", ".join(f.control.label for f in self.fields)
        self._button.description = f"{'▾' if self._open else '▸'} {self._title}"
        self._button.tooltip = f"{'Hide' if self._open else 'Show'}: {names}"
        self._within.children = [f.widget for f in self.fields] if self._open else ()


def grouped(fields: Iterable[Field]) -> tuple[list[widgets.Widget], list[Fold]]:
    """Return fields under their headings in their order, and the groups that were folded away."""
    groups: dict[str, list[Field]] = {}
    for field in fields:
        groups.setdefault(field.control.group, []).append(field)
    parts, folds, shown = [], [], 0
    for title, group in groups.items():
        if title and shown and (folds or shown + len(group) > OPEN):
            folds.append(Fold(title, group))
            parts.append(folds[-1].widget)
            continue
        shown += len(group)
        parts += [html("jk-group", f"<h4>{escape(title)}</h4>")] * bool(title) + [f.widget for f in group]
    return parts, folds


__all__ = ["Fold", "grouped"]

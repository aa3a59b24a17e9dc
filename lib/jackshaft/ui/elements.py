"""The plain pieces that panels are put together from: words, boxes, buttons, each with its class."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import ipywidgets as widgets


def html(name: str, value: str = "") -> widgets.HTML:
    """Return a place for words."""
    return classed(widgets.HTML(value), name)


def put(place: widgets.HTML, value: str) -> None:
    """Put words into a place; what is there already is not sent again."""
    if place.value != value:
        place.value = value


def box(name: str, children: Sequence[widgets.Widget]) -> widgets.Box:
    """Return widgets in a box."""
    return classed(widgets.Box(list(children)), name)


def button(words: str, pressed: Callable[[], None], name: str = "", tip: str = "") -> widgets.Button:
    """Return a button; ``tip`` says more of what it does."""
    made = classed(widgets.Button(description=words, tooltip=tip or words), "jk-button", name)
    made.on_click(lambda _: pressed())
    return made


def close(place: widgets.Box) -> None:
    """Take out of a box what is in it, for good."""
    old, place.children = place.children, ()
    for one in old:
        if isinstance(one, widgets.Box):
            close(one)
        one.close()


def classed(widget: widgets.DOMWidget, *names: str) -> widgets.DOMWidget:
    """Give a widget its classes, and return it."""
    for name in filter(None, names):
        widget.add_class(name)
    return widget

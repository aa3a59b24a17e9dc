"""The outputs of a panel that need no kernel: its facts as text and table, its picture as a PNG.

They are outputs of their own beside the live one, because a single bundle that holds a widget does
not fall back to its other parts. While the panel is live a style rule inside it hides them.
"""

from __future__ import annotations

import uuid
from base64 import b64encode
from collections.abc import Callable

import ipywidgets as widgets
from IPython.display import display, update_display

from jackshaft.drawing.view import View
from jackshaft.render.html import in_words_html
from jackshaft.ui import fragments
from jackshaft.ui.state import PanelState

WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"
#: By its class the pages that cannot be run leave it out.
RUN_IT = '<p class="jk-run"><em>This is a picture of the panel. Run the page to move it.</em></p>'
NO_PICTURE: tuple[dict, dict] = ({"text/plain": "no picture yet"}, {})


def show_live(widget: widgets.Widget) -> None:
    """Display a widget with nothing else in its bundle, so that no viewer shows a text in its place.

    Parameters
    ----------
    widget : Widget
        The panel's root.
    """
    display({WIDGET_VIEW: {"version_major": 2, "version_minor": 0, "model_id": widget.model_id}}, raw=True)


class StoredOutputs:
    """The facts and the picture of one displayed panel, which can be refreshed in place."""

    def __init__(self):
        self._facts, self._picture = uuid.uuid4().hex, uuid.uuid4().hex

    def show(self, title: str, state: PanelState, view: View) -> None:
        """Display both.

        Parameters
        ----------
        title : str
            The panel's title.
        state : PanelState
            What it holds.
        view : View
            Its view, already drawn.
        """
        self._put(display, title, state, view)

    def update(self, title: str, state: PanelState, view: View) -> None:
        """Put the present state into both.

        Parameters
        ----------
        title : str
            The panel's title.
        state : PanelState
            What it holds.
        view : View
            Its view, already drawn.
        """
        self._put(update_display, title, state, view)

    def _put(self, where: Callable[..., object], title: str, state: PanelState, view: View) -> None:
        data, metadata = picture_bundle(view) if state.outcome else NO_PICTURE
        facts = facts_bundle(title, state)
        if state.outcome:
            facts["text/html"] += f"\n{in_words_html(view.describe())}"
        where(facts, raw=True, display_id=self._facts)
        where(data, metadata=metadata, raw=True, display_id=self._picture)


def facts_bundle(title: str, state: PanelState) -> dict[str, str]:
    """Return the facts as plain text and as HTML.

    Parameters
    ----------
    title : str
        The panel's title.
    state : PanelState
        What it holds.
    """
    return readable(fragments.plain(title, state), fragments.stored_html(title, state))


def readable(plain: str, html: str) -> dict[str, str]:
    """Return what stands for a panel while it is not live; the HTML first says how to bring it to life.

    Parameters
    ----------
    plain, html : str
        What the panel says, as plain text and as HTML.
    """
    return {"text/plain": plain, "text/html": f"{RUN_IT}\n{html}"}


def picture_bundle(view: View) -> tuple[dict[str, str], dict[str, dict]]:
    """Return the picture as a PNG, and its metadata with the alternative text and the shown width.

    Parameters
    ----------
    view : View
        The view, already drawn.
    """
    width = round(view.size[0] * 100)
    return {"image/png": b64encode(view.png()).decode("ascii")}, {"image/png": {"alt": view.describe(), "width": width}}

"""The pictures of a search as HTML for its panel: the trade-off, and each layout to scale beside the build now."""

from __future__ import annotations

from html import escape

from jackshaft.chapters.layout.figure import LayoutView, picture_of
from jackshaft.drawing import style
from jackshaft.drawing.view import Candidate, View, view_name
from jackshaft.search.found import Checked


def picture_html(view: View, before: str = "") -> str:
    """Return what a view drew last, with its alternative text.

    Parameters
    ----------
    view : View
        The view, already drawn.
    before : str, optional
        What the alternative text begins with.
    """
    return f'<div class="jk-picture" role="img" aria-label="{escape(before + view.describe())}">{view.html()}</div>'


class Drawings:
    """The layouts of one belt stage as they were drawn; one that is looked at again is there at once.

    Parameters
    ----------
    stage : str
        The belt stage.
    """

    def __init__(self, stage: str):
        self._stage, self._name = stage, view_name("search-layout", stage)
        self._drawn: dict[str, tuple[Checked, Checked | None, str]] = {}

    def html(self, letter: str, alone: Checked, now: Checked | None) -> str:
        """Return a layout drawn to scale.

        Parameters
        ----------
        letter : str
            The layout's letter.
        alone : Checked
            The layout, worked up alone.
        now : Checked or None
            The build as it is, which lies over it as a dashed line, so that what moves is seen.
        """
        drawn = self._drawn.get(letter)
        if drawn is None or drawn[0] is not alone or drawn[1] is not now:
            drawn = self._drawn[letter] = (alone, now, self._draw(letter, alone, now))
        return drawn[2]

    def _draw(self, letter: str, alone: Checked, now: Checked | None) -> str:
        picture = picture_of(alone.results, self._stage)
        view, over = LayoutView(self._name, picture), []
        if now is not None:
            over = [Candidate("the build now", picture_of(now.results, self._stage), *style.CANDIDATES[0])]
        view.draw(picture, over, stop=alone.why if alone.verdict == "stop" else "")
        return picture_html(view, f"Layout {letter}. ")


__all__ = ["Drawings", "picture_html"]

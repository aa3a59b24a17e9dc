"""The pictures of a worked-up build, chapter by chapter, as the notebooks and the record show them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from jackshaft.checks import STOP
from jackshaft.figures import layout, ratio
from jackshaft.figures.view import View
from jackshaft.workup import Chapter, Results


@dataclass(frozen=True)
class Picture:
    """A finished picture: what it shows, its bytes as PNG, and the same in words."""

    chapter: str
    title: str
    png: bytes
    alt: str


#: chapter name -> function that yields (title, view, what the view draws) for a chapter.
Drawer = Callable[[Chapter, Results], Iterator[tuple[str, View, object]]]
DRAWERS: dict[str, Drawer] = {"ratio": ratio.draw, "layout": layout.draw}


def stop_words(results: Results, chapter: str) -> str:
    """Return why a chapter's design does not work, or an empty text."""
    return next((f"{c.name}: {c.reason}" for c in results.of(chapter) if c.verdict == STOP and not c.accepted), "")


def pictures_of(results: Results, chapter: str) -> tuple[Picture, ...]:
    """Draw the pictures of one chapter; none where it has nothing to draw."""
    found = results.chapters.get(chapter)
    drawer = DRAWERS.get(chapter)
    if found is None or found.data is None or drawer is None:
        return ()
    done = []
    for title, view, picture in drawer(found, results):
        view.draw(picture, stop=stop_words(results, chapter))
        done.append(Picture(chapter, title, view.png(), view.describe()))
    return tuple(done)


def pictures(results: Results) -> Mapping[str, tuple[Picture, ...]]:
    """Draw every picture of a build."""
    return {name: pictures_of(results, name) for name in results.chapters}

"""The pictures of a worked-up build, chapter by chapter, as the notebooks and the record show them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from jackshaft.checks import STOP
from jackshaft.figures import bearings, chain, clutch, electric, grip, layout, ratio, shaft_diagrams
from jackshaft.workup import Chapter, Results


@dataclass(frozen=True)
class Picture:
    """A finished picture: what it shows, its bytes as PNG, and the same in words."""

    chapter: str
    title: str
    png: bytes
    alt: str


#: chapter name -> function that yields (title, view, what the view draws) for a chapter, and as a fourth
#: the part that the picture is of, where it is of one part alone.
Drawer = Callable[[Chapter, Results], Iterator[tuple]]
DRAWERS: dict[str, Drawer] = {
    "ratio": ratio.draw,
    "layout": layout.draw,
    "grip": grip.draw,
    "chain": chain.draw,
    "electric": electric.draw,
    "clutch": clutch.draw,
    "bearings": bearings.draw,
    "shafts": shaft_diagrams.draw,
}


#: A picture is also spoiled by the stops of chapters that judge the same thing.
ALSO = {"layout": ("grip", "capacity")}


def stop_words(results: Results, chapter: str, part: str | None = None) -> str:
    """Return why what a picture shows does not work, or an empty text.

    ``part`` leaves out the stops of other parts; a stop of the whole chapter always counts.
    """
    for name in (chapter, *ALSO.get(chapter, ())):
        for check in results.of(name):
            mine = part is None or "[" not in check.id or check.id.endswith(f"[{part}]")
            if check.verdict == STOP and not check.accepted and mine:
                return f"{check.name}: {check.reason}"
    return ""


def pictures_of(results: Results, chapter: str) -> tuple[Picture, ...]:
    """Draw the pictures of one chapter; none where it has nothing to draw."""
    found = results.chapters.get(chapter)
    drawer = DRAWERS.get(chapter)
    if found is None or found.data is None or drawer is None:
        return ()
    done = []
    for title, view, picture, *part in drawer(found, results):
        view.draw(picture, stop=stop_words(results, chapter, *part))
        done.append(Picture(chapter, title, view.png(), view.describe()))
    return tuple(done)


def pictures(results: Results) -> Mapping[str, tuple[Picture, ...]]:
    """Draw every picture of a build."""
    return {name: pictures_of(results, name) for name in results.chapters}

"""The pictures of a worked-up build, chapter by chapter, as the notebooks and the record show them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from jackshaft.results import Results, chapters
from jackshaft.results.checks import STOP

#: Height over width of a picture for a phone from which a page on paper shows the wide form.
TALL = 1.5


@dataclass(frozen=True)
class Picture:
    """A finished picture: what it shows, its bytes as PNG, and the same in words.

    One that is drawn for a page to be printed has no PNG: ``wide`` and ``phone`` are it as SVG, for a page and for a
    phone or half a sheet of paper. ``whole_page``: the record shows it as wide as its page.
    """

    chapter: str
    title: str
    png: bytes
    alt: str
    wide: str = ""
    phone: str = ""
    whole_page: bool = False

    @property
    def tall(self) -> bool:
        """Whether the form for a phone is so tall beside its width that paper had better show the wide one."""
        box = re.search(r'viewBox="\S+ \S+ (\S+) (\S+)"', self.phone)
        return box is not None and float(box[2]) > TALL * float(box[1])


def stop_words(results: Results, chapter: str, part: str | None = None) -> str:
    """Return why what a picture shows does not work, or an empty text.

    ``part`` leaves out the stops of other parts, which their names begin with; a stop of no part always counts.
    """
    for name in (chapter, *chapters()[chapter].judged_with):
        for check in results.of(name):
            mine = part is None or ":" not in check.name or check.name.startswith(f"{part}: ")
            if check.verdict == STOP and not check.accepted and mine:
                return f"{check.name}: {check.reason}"
    return ""


def pictures_of(results: Results, chapter: str, *, vectors: bool = False) -> tuple[Picture, ...]:
    """Draw the pictures of one chapter, as PNG or as vectors; none where it has nothing to draw.

    The chapter's ``figure.draw(findings, results)`` yields (title, view, what the view draws), and as a fourth the
    part that the picture is of, where it is of one part alone.
    """
    found = results.chapters.get(chapter)
    figure = chapters()[chapter].part("figure") if chapter in chapters() else None
    if found is None or figure is None or (found.data is None and not getattr(figure, "SO_FAR_TOO", False)):
        return ()
    done = []
    for title, view, picture, *part in figure.draw(found, results):
        view.draw(picture, stop=stop_words(results, chapter, *part))
        drawn = (b"", view.describe(), *view.vectors()) if vectors else (view.png(), view.describe())
        done.append(Picture(chapter, title, *drawn, whole_page=view.whole_page))
    return tuple(done)


def pictures(results: Results) -> Mapping[str, tuple[Picture, ...]]:
    """Draw every picture of a build as vectors."""
    return {name: pictures_of(results, name, vectors=True) for name in results.chapters}

"""Something to show in a notebook: text for every reader, HTML where it can be had; never a traceback."""

from __future__ import annotations

import functools
from base64 import b64encode
from collections.abc import Callable
from dataclasses import dataclass
from html import escape

from jackshaft.drawing.pictures import Picture
from jackshaft.results.findings import Fault, Findings
from jackshaft.results.running import fault_of

#: How the words of a fault begin, wherever it is shown.
FAULT = "A fault of the program"


@dataclass(frozen=True)
class Shown:
    """Something to show: plain text for every reader, HTML where it can be had."""

    text: str
    html: str = ""

    def __repr__(self) -> str:
        return self.text

    def _repr_mimebundle_(self, include=None, exclude=None) -> dict[str, str]:
        return {"text/plain": self.text, "text/html": self.html or f"<p>{escape(self.text)}</p>"}

    def __add__(self, other: Shown) -> Shown:
        return Shown(self.text + "\n\n" + other.text, (self.html or f"<p>{escape(self.text)}</p>") + "\n" + other.html)


@dataclass(frozen=True)
class ShownPicture:
    """A picture with its alternative text."""

    picture: Picture

    def _repr_mimebundle_(self, include=None, exclude=None):
        data = {"image/png": b64encode(self.picture.png).decode("ascii"), "text/plain": self.picture.alt}
        return data, {"image/png": {"alt": self.picture.alt, "width": 720}}


def fault_shown(fault: Fault, what: str) -> Shown:
    """Return a fault of the program: a code to report, the trace folded away."""
    words = (
        f"{FAULT} (code {fault.code}) in: {what}. The build file is not the cause, and the rest of this page is still "
        "right. Report the code and what was entered last."
    )
    html = (
        f"<p><strong>{escape(words)}</strong></p>\n<details><summary>where it failed</summary>"
        f"<pre>{escape(fault.trace)}</pre></details>"
    )
    return Shown(words, html)


def not_worked_out(chapter: Findings) -> Shown:
    """Return why a chapter could not be worked out."""
    if chapter.fault is not None:
        return fault_shown(chapter.fault, chapter.title)
    return Shown(f"{chapter.title}: {chapter.state}. {chapter.words}".strip())


def safely(method: Callable[..., Shown | None]) -> Callable[..., Shown | None]:
    """Show what a method of the bench shows; a fault of the program is shown in its place."""

    @functools.wraps(method)
    def shown(self, *args, **kw):
        try:
            return method(self, *args, **kw)
        except Exception as error:
            # a cell that raises stops the run of the whole page
            return fault_shown(fault_of(error), method.__name__.replace("_", " "))

    return shown

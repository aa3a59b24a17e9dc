"""The builds of the folder as cards: name, verdicts, what is missing, the record, and a button that opens it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from html import escape
from pathlib import Path
from typing import NamedTuple

from jackshaft.buildfile import Build, builds_dir, open_anyhow
from jackshaft.render.html import badge
from jackshaft.render.parts import tally
from jackshaft.results import Results, work_up
from jackshaft.start.controller import records_dir
from jackshaft.ui.elements import box, button, close, html, put
from jackshaft.ui.later import Later, running_loop

OPEN = "Open it"
#: Seconds between two builds that are worked up for their cards, so that what is typed meanwhile is not held up.
PAUSE = 0.4


class Card(NamedTuple):
    """What a card says of a build: name and file, the worst verdict, the count of each, what is missing, the record."""

    name: str
    file: str
    verdict: str
    counts: str
    missing: str
    record: str


def card_of(build: Build, results: Results | None = None) -> Card:
    """Return what the card of a build says; without ``results`` it has no verdicts yet."""
    page = records_dir() / build.slug / f"{build.slug}.html"
    record = f"Record: data/records/{build.slug}/{page.name}." if page.is_file() else "No record made yet."
    if build.problems:
        many = len(build.problems)
        return Card(build.name, build.file, "", "", f"The file has {many} fault{'s' * (many != 1)}.", record)
    if results is None:
        return Card(build.name, build.file, "", "not worked up yet", "", record)
    if not results.checks:
        return Card(build.name, build.file, "", "nothing to check yet", _missing(results), record)
    return Card(build.name, build.file, results.verdict, tally(results.checks), _missing(results), record)


def _missing(results: Results) -> str:
    wanted = results.wanted
    if not wanted:
        return "Nothing is missing."
    return f"Missing: {len(wanted)} value{'s' * (len(wanted) != 1)}, first {wanted[0].words}."


def card_html(card: Card, *, here: bool) -> str:
    """Return a card's words; ``here`` says that the forms stand on this build."""
    verdict = badge(card.verdict) + " " if card.verdict else ""
    lines = [
        f"<strong>{escape(card.name)}</strong>{' <em>is open</em>' * here}<br><code>{escape(card.file)}</code>",
        f"{verdict}{escape(card.counts)}",
        escape(card.missing),
        escape(card.record),
    ]
    return "".join(f'<div class="jk-card-line">{line}</div>' for line in lines if line)


class Cards:
    """The cards; ``widget`` is their place. On a live page the builds are worked up one after the other."""

    def __init__(self, opened: Callable[[str], None]):
        self.widget = box("jk-cards", [])
        self.names: tuple[str, ...] = ()
        self.here = ""
        self._opened = opened
        self._words: dict[str, object] = {}
        self._buttons: dict[str, object] = {}
        self._boxes: dict[str, object] = {}
        self._wait: list[str] = []
        self._turn = Later(PAUSE, self._next, anew=True)
        #: what was found, by the build's file as it was read
        self._known: dict[tuple[str, str], Card] = {}

    def lay(self, names: Sequence[str], here: str) -> None:
        """Lay out a card for each build; ``here`` is the one that the forms stand on, empty where that is not there."""
        self.here = here
        if tuple(names) != self.names:
            self.names = tuple(names)
            close(self.widget)
            self._words = {name: html("jk-card-words") for name in names}
            self._buttons = {name: button(OPEN, partial(self._opened, name)) for name in names}
            self._boxes = {n: box("jk-build", [self._words[n], self._buttons[n]]) for n in names}
            self.widget.children = list(self._boxes.values())
        for name in names:
            self._buttons[name].tooltip = f"Open {name}"
            self._buttons[name].layout.display = "none" if name == here else ""
            one = self._boxes[name]
            (one.add_class if name == here else one.remove_class)("jk-here")
            self._tell(open_anyhow(_path(name)), name)
        self._wait = [n for n in names if n != here]
        if self._wait and running_loop() is not None:
            self._turn.soon()

    def follow(self, build: Build, results: Results) -> None:
        """Say on the card of the build that is open what has come of it."""
        if self.here and build.slug == self.here:
            self._known[build.file, build.digest] = card_of(build, results)
            self._tell(build, self.here)

    def press(self, name: str) -> None:
        """Press the button of a card."""
        self._buttons[name].click()

    def words(self, name: str) -> str:
        """Return what the card of a build says, as HTML."""
        return self._words[name].value

    def work_up(self, name: str) -> None:
        """Work a build up and say on its card what came of it; nothing where its file is as it was then."""
        build = open_anyhow(_path(name))
        if (build.file, build.digest) not in self._known and not build.problems:
            self._known[build.file, build.digest] = card_of(build, work_up(build, at_ends=True))
        self._tell(build, name)

    def _tell(self, build: Build, name: str) -> None:
        card = self._known.get((build.file, build.digest)) or card_of(build)
        put(self._words[name], card_html(card, here=name == self.here))

    def _next(self) -> None:
        if self._wait:
            self.work_up(self._wait.pop(0))
        if self._wait:
            self._turn.soon()


def _path(name: str) -> Path:
    return builds_dir() / f"{name}.toml"


__all__ = ["Card", "Cards", "card_html", "card_of"]

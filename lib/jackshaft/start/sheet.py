"""A part's form on the start page: its usual fields, the others folded, and one button that keeps all of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from html import escape

from jackshaft.buildfile import Build, choices_at
from jackshaft.buildfile.model import at_or_below
from jackshaft.buildfile.schema import KNOWN
from jackshaft.start import filling
from jackshaft.start.filling import Entry, WrongFields
from jackshaft.start.finding import Hit, find
from jackshaft.ui.elements import box, button, classed, close, html, put
from jackshaft.ui.forms import choice_box, refill, text_box

#: So many of the fields that a word means are listed at first.
SHOWN = 9


class Row:
    """One field of a part: its value, how it is known and with what, and below them what the build says now."""

    def __init__(self, build: Build, key: str):
        self.key = key
        self._picked = bool(choices_at(build, key))
        name = filling.name_of(key)
        self.value = choice_box(name, [("", "")]) if self._picked else text_box(name)
        boxes = [self.value]
        self.known = self.by = None
        if filling.is_quantity(key):
            self.known = choice_box("how known", [("not said", ""), *((k, k) for k in KNOWN)])
            self.by = text_box("measured with", hint="such as calipers")
            boxes += [self.known, self.by]
        self._echo = html("jk-echo")
        self._wrong = ""
        self.widget = box("jk-row", [*(classed(b, "jk-box") for b in boxes), self._echo])
        self.follow(build)

    @property
    def entry(self) -> Entry:
        """What is typed in it."""
        return Entry(self.value.value or "", self.known.value if self.known else "", self.by.value if self.by else "")

    @entry.setter
    def entry(self, typed: Entry) -> None:
        self.value.value = typed.text
        if self.known:
            self.known.value, self.by.value = typed.known, typed.by

    def follow(self, build: Build) -> None:
        """Stand on a build: say what it says now."""
        now, self._help = filling.told(build, self.key)
        self._now = now
        if self._picked:
            refill(self.value, [(f"as it is: {now}" if now else "not said", ""), *_pairs(build, self.key)])
        self._show()

    def wrong(self, words: str) -> None:
        """Say what is wrong with what was typed; no words say that nothing is."""
        self._wrong = words
        (self.widget.add_class if words else self.widget.remove_class)("jk-bad")
        self._show()

    def _show(self) -> None:
        now = f"<strong>now {escape(self._now)}</strong>, " if self._now and not self._picked else ""
        wrong = f'<span class="jk-wrong" role="alert">{escape(self._wrong)}</span><br>' if self._wrong else ""
        put(self._echo, f"{wrong}{now}{escape(self._help)}")


def _pairs(build: Build, key: str) -> list[tuple[str, str]]:
    return [(c, c) for c in choices_at(build, key)]


class Sheet:
    """The fields of the part that is picked. What was typed for another part waits until that one is picked again.

    ``part`` is the list that it is picked from, ``widget`` the place of its fields. ``word`` finds a field by a word
    of the trade, ``found`` is the place of what was found; ``add`` is called with a list that has no part yet.
    """

    def __init__(self, build: Build, add: Callable[[str], None] = lambda _: None):
        self._build = build
        self._typed: dict[str, dict[str, Entry]] = {}
        self._rows: dict[str, Row] = {}
        self._at: str | None = None
        self._rest: tuple[str, ...] = ()
        self.part = classed(choice_box("Part", filling.homes(build), "engine"), "jk-across")
        self._first, self._within = box("jk-rows", []), box("jk-rows", [])
        self._fold = button("", self._turn, "jk-fold-button")
        self.widget = box("jk-sheet", [self._first, self._fold, self._within])
        self.part.observe(lambda _: self._lay(), "value")
        self.word = text_box("Find a field by a word of the trade", hint="such as sheave, set screw, spark")
        self.found = box("jk-found", [])
        self._add = add
        self.word.observe(lambda _: self._look(), "value")

    def follow(self, build: Build, *, other: bool = False) -> None:
        """Stand on a build; on another one nothing that was typed is left."""
        self._build = build
        if other:
            self._typed, self._at = {}, None
            for row in self._rows.values():
                row.entry = Entry("")
            self.word.value = ""
        elif self.word.value:
            self._look()
        options = filling.homes(build)
        refill(self.part, options, start="engine")
        if self._at != self.part.value:
            self._lay()
        else:
            self._set_out()
        for row in self._rows.values():
            row.follow(build)

    def pick(self, at: str, key: str = "") -> None:
        """Lay a part out; where a key of it is named, its field is in sight."""
        if at in [value for _, value in self.part.options]:
            self.part.value = at
            if key in self._rest and not self._within.children:
                self._turn()
            for row in self._rows.values():
                (row.widget.add_class if row.key == key else row.widget.remove_class)("jk-sought")

    def renamed(self, old: str, new: str) -> str:
        """Let what is typed follow a part to its new name; return what to lay out once the forms stand on it."""

        def now(key: str) -> str:
            return f"{new}{key.removeprefix(old)}" if at_or_below(key, old) else key

        typed = {**self._typed, self.at: self.entries}
        self._typed = {now(at): {now(k): e for k, e in entries.items()} for at, entries in typed.items()}
        at, self._at = now(self.at), None
        return at

    @property
    def at(self) -> str:
        """The part that is laid out."""
        return self._at or ""

    @property
    def entries(self) -> dict[str, Entry]:
        """What is typed, by key, where anything is."""
        return {key: row.entry for key, row in self._rows.items() if row.entry != Entry("")}

    def keep(self, build: Build, entries: Mapping[str, Entry], settle=None) -> tuple[Build, str]:
        """Keep what was typed; a refusal is told at each field that is wrong.

        Raises
        ------
        WrongFields
            As :func:`jackshaft.start.filling.keep_all` does.
        """
        for row in self._rows.values():
            row.wrong("")
        try:
            found = filling.keep_all(build, entries, settle=settle)
        except WrongFields as error:
            for key, words in error.at.items():
                if key in self._rest and not self._within.children:
                    self._turn()
                if key in self._rows:
                    self._rows[key].wrong(words)
            raise
        for key, typed in entries.items():
            if key in self._rows and self._rows[key].entry == typed:
                self._rows[key].entry = Entry("")
        return found

    def _look(self, shown: int = SHOWN) -> None:
        """List the fields that the typed word means, each with a button that lays its part out."""
        close(self.found)
        word = self.word.value.strip()
        if not word:
            return
        hits = find(self._build, word)
        made = [button(hit.words, partial(self._go, hit), "jk-hit") for hit in hits[:shown]]
        if len(hits) > shown:
            made.append(button(f"show all {len(hits)}", partial(self._look, len(hits)), "jk-hit"))
        none = f"No field is called '{word}' or means it. Try another word of the trade."
        self.found.children = made or [html("jk-help", escape(none))]

    def _go(self, hit: Hit) -> None:
        if hit.key:
            self.pick(hit.at, hit.key)
        else:
            self._add(hit.at)

    def _lay(self) -> None:
        """Lay out the part that is picked, with what was typed for it before."""
        if self._at is not None:
            self._typed[self._at] = self.entries
        for place in (self._first, self._within):
            close(place)
        self._at, self._rows = self.part.value, {}
        self._set_out()
        if any(key in self._rest for key in self._typed.get(self.at, {})):
            self._turn()

    def _set_out(self) -> None:
        """Lay the fields out that a part of this kind has; another kind is followed as it is picked."""
        kind = self._rows.get(f"{self.at}.kind")
        first, rest = filling.fields_of(self._build, self.at, kind.value.value if kind else "")
        # what was typed before the kind was picked stays in sight
        self._rest = (*rest, *(key for key in self.entries if key not in (*first, *rest)))
        self._first.children = self._made(first)
        self._within.children = self._made(self._rest) if self._within.children else ()
        self._name_fold()
        if kind is None and (kind := self._rows.get(f"{self.at}.kind")):
            kind.value.observe(lambda _: self._set_out(), "value")

    def _turn(self) -> None:
        """Show the other fields, or hide them; what is typed in them stays."""
        shown = bool(self._within.children)
        if shown:
            self._within.children = ()
        else:
            self._within.children = self._made(self._rest)
        self._name_fold()

    def _name_fold(self) -> None:
        shown = bool(self._within.children)
        self._fold.description = f"{'▾ Hide' if shown else '▸ Show'} the other {len(self._rest)} fields"
        self._fold.tooltip = ", ".join(filling.name_of(k) for k in self._rest)
        self._fold.layout.display = "" if self._rest else "none"

    def _made(self, keys: tuple[str, ...]) -> list:
        """Return the rows of these keys: those that are there, with what is typed in them, and new ones."""
        typed = self._typed.get(self.at, {})
        for key in keys:
            if key not in self._rows:
                self._rows[key] = Row(self._build, key)
                if key in typed:
                    self._rows[key].entry = typed[key]
        return [self._rows[key].widget for key in keys]


__all__ = ["Row", "Sheet"]

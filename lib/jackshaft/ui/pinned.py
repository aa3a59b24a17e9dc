"""What a panel does with its candidates: pinned, brought back, kept with the build, made the build, or dropped."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from html import escape

import ipywidgets as widgets

from jackshaft.buildfile import Answer
from jackshaft.buildfile.candidates import Stored
from jackshaft.ui.candidates import Pin, found_in_words
from jackshaft.ui.elements import box, button, close, html
from jackshaft.ui.forms import text_box
from jackshaft.ui.fragments import swatch
from jackshaft.ui.trouble import Asked

NAME, REASON = "Name", "Why it is not taken"


class Pinned:
    """The part of a panel that is about its candidates."""

    def pin(self) -> None:
        """Hold the present design as a candidate."""
        self._do(lambda: f"Pinned as candidate {self.state.pin().letter}.")

    def use(self, letter: str) -> None:
        """Bring a candidate's values back.

        Parameters
        ----------
        letter : str
            Its letter.
        """

        def work() -> str:
            self.state.use(letter)
            return f"Candidate {letter} is back in the fields. {self.ask.withdraw('the fields were changed')}".strip()

        self._do(work)

    def drop(self, letter: str) -> None:
        """Forget a candidate; one that is kept is taken out of the build file.

        Parameters
        ----------
        letter : str
            Its letter.
        """

        def work() -> str:
            name = self.state.name_of(letter)
            self.state.drop(letter)
            if not name:
                return f"Candidate {letter} is dropped."
            self._others_follow()
            return f"Candidate '{name}' is out of the build file."

        self._do(work)

    def make(self, letter: str) -> None:
        """Make a candidate the build: its values back into the fields and into the file.

        Parameters
        ----------
        letter : str
            Its letter.
        """
        self._do(lambda: (self.state.use(letter), self._keep())[1])

    def overlay(self, letter: str) -> None:
        """Show a candidate in the picture, or hide it there.

        Parameters
        ----------
        letter : str
            Its letter.
        """
        self._do(lambda: f"Candidate {letter} is {'shown' if self.state.overlay(letter) else 'hidden'} in the picture.")

    def store(self, letter: str, name: str = "", reason: str = "") -> None:
        """Keep a candidate with the build, under a name and with the reason why it is not taken.

        Parameters
        ----------
        letter : str
            Its letter.
        name : str, optional
            What it is called; one that is kept has its name.
        reason : str, optional
            Why it is not taken.
        """
        self._do(lambda: self._put_away(letter, name, reason))

    def _put_away(self, letter: str, name: str, reason: str, settle: Mapping[str, Answer] | None = None) -> str:
        try:
            name = self.state.store(letter, name, reason, settle)
        except Asked as asked:
            self.ask.put(
                asked.conflict, lambda answers: self._do(lambda: self._put_away(letter, name, reason, answers))
            )
            raise
        self._others_follow()
        return f"Candidate '{name}' is kept with the build. It is no part of the design."

    def _take_out(self, name: str) -> None:
        def work() -> str:
            self.state.take_out(name)
            self._others_follow()
            return f"Candidate '{name}' is out of the build file."

        self._do(work)

    # -- widgets ---------------------------------------------------------------------------------

    def _show_pins(self) -> None:
        shown = [(p.letter, p.stored, p.shown, p.taken, found_in_words(p.outcome)) for p in self.state.pins] + [
            *self.state.unread
        ]
        if shown == self._pins_shown:
            return
        self._pins_shown = shown
        close(self._pins)
        rows = [self._pin_row(p) for p in self.state.pins] + [self._unread_row(*u) for u in self.state.unread]
        self._pins.children = [html("jk-group", "<h4>Candidates</h4>"), *rows] if rows else []

    def _pin_row(self, pin: Pin) -> widgets.Box:
        name = candidate_field(NAME, pin.name, "to keep it with the build")
        reason = candidate_field(REASON, pin.stored.reason if pin.stored else "", "optional")
        keep = button(
            "Keep the reason" if pin.stored else f"Keep {pin.letter} with the build",
            lambda: self.store(pin.letter, name.value, reason.value),
            f"jk-store-{pin.letter.lower()}",
            "Write it into the build file as a candidate; the design stays as it is",
        )
        fields = [reason] if pin.stored else [name, reason]
        head, buttons = html("jk-candidate-head", _head(pin, self.state.title)), box("jk-pin-row", self._buttons(pin))
        return box("jk-candidate", [head, buttons, *fields, keep])

    def _buttons(self, pin: Pin) -> list[widgets.Button]:
        letter = pin.letter
        what = (
            ("use", f"Take {letter}", f"Put the values of candidate {letter} into the fields"),
            ("make", f"Make {letter} the build", f"Write the values of candidate {letter} into the build file"),
            (
                "overlay",
                f"{'Hide' if pin.shown else 'Show'} {letter} in the picture",
                f"Candidate {letter} as a dashed line over the drawing",
            ),
            (
                "drop",
                f"{'Remove' if pin.stored else 'Drop'} {letter}",
                f"Take candidate {letter} out of the build file" if pin.stored else f"Forget candidate {letter}",
            ),
        )
        return [
            button(words, partial(getattr(self, name), letter), f"jk-{name}-{letter.lower()}", tip)
            for name, words, tip in what
        ]

    def _unread_row(self, one: Stored, why: str) -> widgets.Box:
        words = (
            f"<p><strong>{escape(one.name)}</strong> cannot be compared. {escape(why)}</p>"
            f"<pre>{escape(one.changes)}</pre>"
        ) + (f"<p>{REASON}: {escape(one.reason)}</p>" if one.reason else "")
        remove = button(f"Remove '{one.name}'", partial(self._take_out, one.name), "jk-remove", "Out of the build file")
        return box("jk-candidate", [html("jk-candidate-head", words), remove])


def _head(pin: Pin, title: str) -> str:
    name = f" {escape(pin.name)}" if pin.name else ""
    words = f"<p><strong>{pin.letter}</strong>{swatch(pin.letter)}<strong>{name}</strong></p>"
    if not pin.stored:
        return words.replace("</p>", " pinned on this page only</p>")
    now, then = found_in_words(pin.outcome), pin.stored.found
    # another page has other checks, so what it found is nothing to compare with
    then = then if pin.stored.page == title else ""
    if pin.taken:
        return words + "<p>The build is like this now.</p>"
    words += f"<p>Kept {escape(pin.stored.date or 'without a date')}. Now {escape(now)}."
    return words + (f" It was {escape(then)}.</p>" if then and then != now else "</p>")


def candidate_field(label: str, value: str, hint: str) -> widgets.Text:
    """Return a field of what is kept of a candidate."""
    made = text_box(label, value, hint)
    made.add_class("jk-box")
    made.add_class("jk-candidate-field")
    return made


__all__ = ["NAME", "REASON", "Pinned", "candidate_field"]

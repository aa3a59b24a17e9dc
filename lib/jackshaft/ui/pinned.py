"""What a panel does with its candidates: buttons that pin one, bring it back, make it the build, or drop it."""

from __future__ import annotations

from functools import partial

import ipywidgets as widgets

from jackshaft.ui.elements import box, button, close


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
        """Forget a candidate.

        Parameters
        ----------
        letter : str
            Its letter.
        """
        self._do(lambda: (self.state.drop(letter), f"Candidate {letter} is dropped.")[1])

    def make(self, letter: str) -> None:
        """Make a candidate the build: its values back into the fields and into the file.

        Parameters
        ----------
        letter : str
            Its letter.
        """
        self._do(lambda: (self.state.use(letter), self._keep())[1])

    def _show_pins(self) -> None:
        letters = [p.letter for p in self.state.pins]
        if letters == self._pin_letters:
            return
        self._pin_letters = letters
        close(self._pins)
        self._pins.children = [box("jk-pin-row", self._pin_buttons(letter)) for letter in letters]

    def _pin_buttons(self, letter: str) -> list[widgets.Button]:
        what = (
            ("use", f"Use {letter}", f"Bring the values of candidate {letter} back"),
            ("make", f"Make {letter} the build", f"Write the values of candidate {letter} into the build file"),
            ("drop", f"Drop {letter}", f"Forget candidate {letter}"),
        )
        return [
            button(words, partial(getattr(self, name), letter), f"jk-{name}-{letter.lower()}", tip)
            for name, words, tip in what
        ]


__all__ = ["Pinned"]

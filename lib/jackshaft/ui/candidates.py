"""Settings of a panel that are held as candidates, to be compared and brought back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from jackshaft.buildfile.editing import Change
from jackshaft.ui.model import Outcome, Reading
from jackshaft.ui.trouble import NotKept

LETTERS = "ABCDEF"


@dataclass(frozen=True)
class Pin:
    """A setting that was held: its letter, the text of every control, its outcome, and what else it changes."""

    letter: str
    texts: Mapping[str, str]
    readings: Mapping[str, Reading]
    outcome: Outcome
    also: Mapping[str, Change] = field(default_factory=dict)


class Candidates:
    """What a panel's state does with its candidates."""

    pins: list[Pin]

    def pin(self) -> Pin:
        """Hold the present setting as a candidate under the next free letter.

        Raises
        ------
        NotKept
            If there is an error, or every letter is taken.
        """
        if self.troubles or self.outcome is None:
            raise NotKept("Nothing was pinned: put the error right first.")
        self.finish()
        free = [letter for letter in LETTERS if letter not in {p.letter for p in self.pins}]
        if not free:
            raise NotKept(f"Nothing was pinned: {len(LETTERS)} candidates are pinned already; drop one first.")
        pin = Pin(free[0], dict(self.texts), dict(self.readings), self.outcome, dict(self.also))
        self.pins = sorted([*self.pins, pin], key=lambda p: p.letter)
        return pin

    def use(self, letter: str) -> None:
        """Bring the values of a candidate back into the controls.

        Parameters
        ----------
        letter : str
            The candidate's letter.
        """
        pin = self._pin(letter)
        self.also = dict(pin.also)
        self.set_many(pin.texts)

    def drop(self, letter: str) -> None:
        """Forget a candidate.

        Parameters
        ----------
        letter : str
            The candidate's letter.
        """
        self.pins.remove(self._pin(letter))

    def _pin(self, letter: str) -> Pin:
        return next(p for p in self.pins if p.letter == letter)

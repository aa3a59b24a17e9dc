"""What the reader hands back, and what it raises."""

from __future__ import annotations

from dataclasses import dataclass


class UnitTextError(ValueError):
    """A text that is no value of the wanted kind.

    Attributes
    ----------
    found : str
        What was typed.
    wanted : str
        The kind that the field takes, in words.
    why : str
        What is wrong with it, in shop words.
    """

    def __init__(self, found: str, wanted: str, why: str, examples: tuple[str, ...] = ()) -> None:
        self.found, self.wanted, self.why = found, wanted, why
        tail = ", for example " + " or ".join(dict.fromkeys(examples)) if examples else ""
        super().__init__(f"{found!r}: {why}. Wanted: {wanted}{tail}.")


@dataclass(frozen=True, slots=True)
class Measure:
    """A quantity as the builder gave it.

    Parameters
    ----------
    si : float
        The value in the coherent SI unit of its kind.
    kind : str
        The name of its kind.
    text : str
        The text it was read from, or one that reads back to it; always with its unit.
    plus_minus : float, optional
        The stated uncertainty, in the same SI unit.
    known : str, optional
        How it is known (measured, maker's figure, guessed), where that was said.
    note : str
        What the reader understood that the text did not say outright.
    """

    si: float
    kind: str
    text: str
    plus_minus: float | None = None
    known: str | None = None
    note: str = ""

"""What is in the way of an outcome or of keeping it, in words that the page shows."""

from __future__ import annotations

import traceback
from dataclasses import dataclass

from jackshaft.buildfile import KeyConflict

ASKED = "Nothing was kept yet: somebody changed the same value in the file. Choose below which one is kept."


@dataclass(frozen=True)
class Trouble:
    """Something that stands between the inputs and an outcome.

    ``id`` names the control it belongs to, where it is one's; ``label`` what it is about; ``details`` where
    in the program it came up.
    """

    words: str
    id: str = ""
    label: str = ""
    details: str = ""

    @property
    def line(self) -> str:
        """The trouble in one line, with what it is about."""
        return f"{self.label}: {self.words}" if self.label else self.words


def fault_of(error: Exception, what: str = "a fault of the program") -> Trouble:
    """Return a fault as a trouble to show, with where it came up.

    Parameters
    ----------
    error : Exception
        What was raised; it is the one being handled.
    what : str, optional
        What went wrong, in words.
    """
    return Trouble(f"{type(error).__name__}: {error}", "", what, traceback.format_exc())


class NotKept(RuntimeError):
    """Something was asked of a panel that it could not do; the words say why and nothing changed."""


class Asked(NotKept):
    """Somebody else changed the same since it was read: nothing was kept, and ``conflict`` holds both sides."""

    def __init__(self, conflict: KeyConflict):
        self.conflict = conflict
        super().__init__(ASKED)

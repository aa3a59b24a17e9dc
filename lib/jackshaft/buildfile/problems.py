"""What can be wrong with a build file, said the same way everywhere."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from jackshaft.buildfile.model import Build


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong: where it stands, what was found, what is wanted."""

    file: str
    key: str
    found: str
    wanted: str

    @property
    def message(self) -> str:
        """The problem in one line."""
        return f"{self.file}: {self.key or 'the file'}: found {self.found}; wanted {self.wanted}"


class BuildProblems(ValueError):
    """A build that cannot be taken as it stands; ``problems`` holds all of it at once."""

    def __init__(self, problems: Iterable[Problem]):
        self.problems = tuple(problems)
        super().__init__("\n".join(p.message for p in self.problems))


class ChangedOnDisk(RuntimeError):
    """The file was changed by somebody else since it was read, so it was not overwritten."""


class DoesNotFit(BuildProblems):
    """Values that do not go with what somebody else changed in the file since it was read; nothing was written.

    ``now`` is the build as the file says it now.
    """

    def __init__(self, problems: Iterable[Problem], now: Build):
        self.now = now
        super().__init__(problems)
        self.args = (
            f"{now.file} was changed elsewhere since it was read. Nothing was written, and nothing there is lost. "
            f"What you typed does not go with it. Change one of the two:\n{self.args[0]}",
        )


class Answer(NamedTuple):
    """Which side was taken where two changed one key: ``mine`` or ``theirs``, and the mark of what was seen then."""

    side: str
    mark: str


@dataclass(frozen=True, slots=True)
class Clash:
    """One key, part or list that both changed, in words: as it was read, mine, and what the file says now.

    ``mark`` stands for all that the file says of it now, also where the words are shortened.
    """

    key: str
    read: str
    mine: str
    theirs: str
    mark: str = ""

    @property
    def words(self) -> str:
        """The clash in a sentence."""
        return f"{self.key} was {self.read}; you have {self.mine}; the file now has {self.theirs}."


class KeyConflict(ChangedOnDisk):
    """Somebody else changed the same keys since the file was read; nothing was written.

    ``clashes`` says which, ``now`` is the build as the file says it now. Save again with an answer for
    each (see :meth:`answer`), and only those sides are written.
    """

    def __init__(self, clashes: Iterable[Clash], now: Build):
        self.clashes, self.now = tuple(clashes), now
        super().__init__(
            f"{now.file} was changed elsewhere since it was read, in the same place. "
            + " ".join(c.words for c in self.clashes)
            + " Nothing was written. Choose which one to keep."
        )

    def answer(self, side: str, key: str | None = None) -> dict[str, Answer]:
        """Return ``mine`` or ``theirs`` as the answer for one key, or for all of them."""
        if side not in ("mine", "theirs"):
            raise ValueError(f"'{side}' is no side; wanted mine or theirs")
        return {c.key: Answer(side, c.mark) for c in self.clashes if key in (None, c.key)}


class NotSaved(RuntimeError):
    """The file could not be written; the old file is unchanged."""

"""What can be wrong with a build file, said the same way everywhere."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


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


class NotSaved(RuntimeError):
    """The file could not be written; the old file stands untouched."""

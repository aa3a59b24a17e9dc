"""What the log says once it is held against the build."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple


class Held(NamedTuple):
    """One reading against what is foretold: SI values, ``low`` to ``high`` what is foretold with its own doubt.

    ``least`` and ``most`` are the ends of the reading by its instrument.
    """

    entry: str
    what: str
    read: float
    least: float
    most: float
    low: float
    high: float

    @property
    def below(self) -> bool:
        """Whether the reading lies below what is foretold."""
        return self.read < self.low

    @property
    def above(self) -> bool:
        """Whether the reading lies above what is foretold."""
        return self.read > self.high

    @property
    def doubtful(self) -> bool:
        """Whether a reading that lies outside does so by no more than its instrument may be off."""
        return (self.below and self.most >= self.low) or (self.above and self.least <= self.high)


class Offer(NamedTuple):
    """What a reading says of a value of the build, SI: its key, the value, by how much it may be off, and its kind."""

    entry: str
    key: str
    si: float
    off: float
    kind: str


class MeasuredData(NamedTuple):
    """Every reading of the log that could be held against the build, in the order of the file.

    ``offers`` are the values of the build that readings show, the latest of each key last; ``corrected`` says by which
    entry each is that counts no more.
    """

    held: tuple[Held, ...]
    offers: tuple[Offer, ...]
    corrected: Mapping[str, str]

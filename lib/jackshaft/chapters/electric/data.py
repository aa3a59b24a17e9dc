"""What the circuit chapter found, in SI units: for its figures, its panel and the clutch chapter."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft.chapters.electric.line import Line
from jackshaft.chapters.electric.supply import burns
from jackshaft.mechanics import circuit


class Wiring(NamedTuple):
    """What is in the circuit, in words, for the wiring diagram; a text is empty where it is not known."""

    fuse: str
    relay: bool
    relay_words: str
    interlocks: tuple[str, ...]
    suppression: str
    out: str
    back: str


class ElectricData(NamedTuple):
    """What the circuit chapter found, in SI units, for figures and the clutch chapter.

    ``steps`` carries the states of ``line.states`` on the last axis of each array; ``worst`` is the same at
    the bad end of wire and joints. ``limit`` is the voltage (V) that the coil is made for.
    """

    line: Line
    steps: circuit.Steps
    worst: circuit.Steps
    limit: float
    wiring: Wiring

    @property
    def which(self) -> str:
        """The supply that is judged and drawn: ``running`` where it is known, else ``battery only``."""
        return "running" if self.at("running, cold") is not None else "battery only"

    @property
    def engine(self) -> str:
        """That supply in words."""
        return "engine running" if self.which == "running" else "battery only"

    @property
    def highest(self) -> float:
        """The most volts that the coil gets in any state."""
        return float(np.max(self.steps.coil_volts))

    @property
    def burns(self) -> bool:
        """Whether the coil gets so much more voltage than it is made for that it burns."""
        return burns(self.highest, self.limit)

    @property
    def cold(self) -> int:
        """Index of the state that is judged first: coil cold, engine running where that is known."""
        return self.at(f"{self.which}, cold")

    def at(self, name: str) -> int | None:
        """Return the index of a state by name, or None."""
        return next((i for i, s in enumerate(self.line.states) if s[0] == name), None)

    def amps(self, name: str) -> float | None:
        """Return the coil current in a state, or None."""
        i = self.at(name)
        return None if i is None else float(self.steps.coil_amps[i])

    def worst_amps(self, name: str) -> float | None:
        """Return the coil current in a state at the bad end of wire and joints, or None."""
        i = self.at(name)
        return None if i is None else float(self.worst.coil_amps[i])

    def volts(self, name: str) -> float | None:
        """Return the voltage at the coil in a state, or None."""
        i = self.at(name)
        return None if i is None else float(self.steps.coil_volts[i])


__all__ = ["ElectricData", "Wiring"]

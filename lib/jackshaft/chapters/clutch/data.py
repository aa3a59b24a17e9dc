"""What the clutch chapter found, and the state that it is judged in."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from jackshaft.chapters.clutch.belts import Belts
from jackshaft.chapters.clutch.coil import Dynamics, Gap
from jackshaft.chapters.clutch.engage import Engagement
from jackshaft.chapters.clutch.heat import Settled
from jackshaft.chapters.clutch.stopping import Stopped
from jackshaft.chapters.clutch.torque import Known
from jackshaft.chapters.clutch.ways_data import Way
from jackshaft.chapters.electric.data import ElectricData
from jackshaft.mechanics import clutch
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number


class Curves(NamedTuple):
    """Coil current (A) and torque (N·m) over coil temperature at each supply, and over supply voltage cold and hot.

    ``warm_amps`` and ``volt_amps`` map a name to the currents, ``warm`` and ``volt`` to the torque bands
    (empty where no torque is known).
    """

    temperatures: np.ndarray
    warm_amps: dict[str, np.ndarray]
    warm: dict[str, clutch.Band]
    volts: np.ndarray
    volt_amps: dict[str, np.ndarray]
    volt: dict[str, clutch.Band]


class ClutchData(NamedTuple):
    """What the clutch chapter found, SI units; ``static`` and ``dynamic`` map a state's name to a torque band.

    ``run_in`` maps it to the holding torque once the faces are run in. ``lacking`` names what the torque at the coil's
    current lacks, ``between`` what the stages between engine, clutch and work lack. ``way`` is a clutch without a coil;
    what rests on a current is then empty.
    """

    known: tuple[Known, ...]
    used: Known | None
    static: dict[str, clutch.Band]
    dynamic: dict[str, clutch.Band]
    required: clutch.Required | None
    curves: Curves | None
    electric: ElectricData | None
    shaft: str
    engagement: Engagement | None
    dynamics: Dynamics | None
    settled: Settled | None
    run_in: dict[str, clutch.Band]
    lacking: tuple[str, ...]
    between: tuple[str, ...]
    gap: Gap | None
    belts: Belts | None
    stop: Stopped | None = None
    way: Way | None = None

    @property
    def most(self) -> clutch.Band | None:
        """The holding torque at its most, coil cold and faces run in: what the clutch protects has to stand it."""
        return max(self.run_in.values(), key=lambda band: band.likely, default=None)

    @property
    def burns(self) -> bool:
        """Whether its coil burns on this supply."""
        return self.electric is not None and self.electric.burns

    @property
    def fails(self) -> str:
        """Why the clutch holds nothing, whatever its faces could, as words to go on with; empty where it works."""
        if self.burns:
            return " Its coil burns on this supply, and then it holds nothing."
        return " Its armature does not pull in across the gap, and then it holds nothing." if self.open_gap else ""

    @property
    def open_gap(self) -> bool:
        """Whether the armature is not pulled in across the measured gap."""
        return self.gap is not None and self.gap.open

    @property
    def hot(self) -> str | None:
        """The state that the clutch is judged in: hot coil, engine running where that is known; None without torque."""
        return f"{self.electric.which}, hot" if self.static else None


def torque_number(reader: Reader, band: clutch.Band, words: str = "{}", **how) -> Number:
    """Return a torque band as the number that is shown; the ends stand in its words as ``{low}`` and ``{high}``."""
    return reader.number(band.likely, "torque", words, low=float(band.bad), high=float(band.good), **how)


__all__ = ["ClutchData", "Curves", "torque_number"]

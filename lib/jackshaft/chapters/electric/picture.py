"""What the pictures of the circuit are drawn from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jackshaft.chapters.electric.data import ElectricData


@dataclass(frozen=True)
class ElectricPicture:
    """The circuit as it is drawn: running where that is known, else from the battery alone."""

    data: ElectricData
    system: str

    def volts(self, heat: str) -> np.ndarray:
        """Return the voltage at every joint, coil cold or hot."""
        return self.data.steps.volts[:, self.data.at(f"{self.data.which}, {heat}")]

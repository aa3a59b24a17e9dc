"""Numbers of the clutch circuit to work by hand: the hot coil, its current, and the fuse."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jackshaft.chapters.electric.analysis import ElectricData
from jackshaft.chapters.electric.line import wire_amps
from jackshaft.chapters.electric.wire import LOWEST_CLASS, ampacity_of, fitting_fuse
from jackshaft.mechanics.coil import T20
from jackshaft.results.by_hand import Worked, worked
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader
from jackshaft.units import NotKnown

NO_CIRCUIT = NotKnown("The clutch circuit of this build is not known well enough to work it by hand.")


def coil(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The resistance of the hot coil, and the current that it draws at the voltage that reaches it."""
    data: ElectricData | None = found["electric"].data
    if data is None:
        return NO_CIRCUIT
    line = data.line
    hot = next((i for i, state in enumerate(line.states) if state[0].endswith("hot")), None)
    return worked(
        "Clutch coil" + ("" if hot is None else f", {line.states[hot][0]}"),
        reader.system,
        takes={
            "resistance": (line.r20, "resistance"),
            "temperature": (T20 + line.rise, "temperature"),
            "voltage": (None if hot is None else data.steps.coil_volts[hot], "voltage"),
        },
        says={
            "resistance": (line.hot, "resistance"),
            "current": (None if hot is None else data.steps.coil_amps[hot], "current"),
        },
        call="coil_current({voltage}, resistance=hot_resistance({resistance}, temperature={temperature}))",
    )


def fuse(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The blade fuse that carries the load all day and protects the wire."""
    data: ElectricData | None = found["electric"].data
    if data is None:
        return NO_CIRCUIT
    lying = ampacity_of(reader, data.line, reader.si("circuit.insulation", LOWEST_CLASS))
    return worked(
        "Fuse of the clutch circuit",
        reader.system,
        takes={"load": (float(np.max(wire_amps(data.steps))), "current"), "ampacity": (lying.amps, "current")},
        says={"rating": (fitting_fuse(reader, data), "current")},
        call="choose_fuse({load}, ampacity={ampacity})",
    )


EXAMPLES = {"coil": coil, "fuse": fuse}

__all__ = ["EXAMPLES"]

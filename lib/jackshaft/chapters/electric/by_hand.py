"""Numbers of the clutch circuit to work by hand: the hot coil, its current, and the fuse."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.chapters.electric.data import ElectricData
from jackshaft.chapters.electric.line import largest_load
from jackshaft.chapters.electric.wire import choice_of
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
    hot = f"{data.which}, hot"
    return worked(
        f"Clutch coil, {hot}",
        reader.system,
        takes={
            "resistance": (line.r20, "resistance"),
            "temperature": (T20 + line.rise, "temperature"),
            "voltage": (data.volts(hot), "voltage"),
        },
        says={"resistance": (line.hot, "resistance"), "current": (data.amps(hot), "current")},
        call="coil_current({voltage}, resistance=hot_resistance({resistance}, temperature={temperature}))",
    )


def fuse(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The blade fuse that carries the load all day and protects the wire."""
    data: ElectricData | None = found["electric"].data
    if data is None:
        return NO_CIRCUIT
    fitting, lying = choice_of(reader, data)
    return worked(
        "Fuse of the clutch circuit",
        reader.system,
        takes={"load": (largest_load(data.steps), "current"), "ampacity": (lying.amps, "current")},
        says={"rating": (fitting.rating, "current")},
        call="choose_fuse({load}, ampacity={ampacity})",
    )


EXAMPLES = {"coil": coil, "fuse": fuse}

__all__ = ["EXAMPLES"]

"""What the log may change of the build: a value that nobody had measured takes the reading."""

from __future__ import annotations

from collections.abc import Iterator

from jackshaft.chapters.measured.judging import key
from jackshaft.results.cure import Proposal
from jackshaft.results.failing import Failing
from jackshaft.units import ALPHA20, T20


def _coil(failing: Failing) -> Iterator[Proposal]:
    """Yield the resistance that was read, brought to 20 °C, where the build's own was not measured."""
    reader, own = failing.reader, "clutch.coil_resistance"
    ohm, at = (reader.si(key(failing.part, k)) for k in ("coil_resistance", "coil_temperature"))
    if reader.how(own).startswith("measured") or None in (ohm, at):
        return
    text = failing.down(ohm / (1.0 + ALPHA20 * (at - T20)), "resistance", "0.01 ohm")
    yield Proposal(f"Write the coil's resistance as it was read into the build: {text} at 20 °C.", {own: text})


#: Checks that no change of the build mends, and why.
NO_CHANGE = dict.fromkeys(
    (f"measured.{what}" for what in ("tension", "volts", "speed", "stop", "housing")),
    "A reading is held against the build: what to do says which of the two to look at.",
)

PROPOSALS = {"measured.coil": _coil}

"""What readings say of values of the build that nobody reads off a plate: solved back, and offered, never written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from jackshaft.chapters.measured.data import Held, Offer
from jackshaft.chapters.measured.judging import key, off_by
from jackshaft.chapters.measured.turning import path_to
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader
from jackshaft.units import ALPHA20, T20

#: Kelvin that a thermometer of the shop may be off by: common practice, no source.
THERMOMETER = 2.0
#: A belt that creeps more than this slips, and that is no value of a sound build.
MOST_CREEP = 0.1


def offers(reader: Reader, done: Mapping[str, Findings], held: Held) -> Iterator[Offer]:
    """Yield what a reading that was held against the build says of a value of it, with what it may be off by."""
    what, _, stage = held.what.partition(" ")
    off = (held.most - held.least) / 2.0
    if what == "slip":
        yield from _creep(reader, done, held, off)
    elif what == "tension" and done["grip"].data[stage].set.given:
        grip = done["grip"].data[stage]
        belts = reader.get(f"stage[{stage}].belts") or 1
        place = f"stage[{stage}].takeup." + ("slack_tension" if grip.sprung else "static_tension")
        times = belts if grip.sprung else 1
        yield Offer(held.entry, place, held.read * times, off * times, "force")
    elif what == "coil":
        yield from _coil(reader, held)
    elif what == "loop":
        joints = held.read - done["electric"].data.line.wire_ohm
        if joints >= 0.0:
            yield Offer(held.entry, "circuit.joint_resistance", joints, off, "resistance")


def _creep(reader: Reader, done: Mapping[str, Findings], held: Held, off: float) -> Iterator[Offer]:
    """Yield the creep of a belt where one belt alone lies between both readings, and it does not slip."""
    path = path_to(done["ratio"].data, reader.get(key(held.entry, "shaft")))
    if len(path) == 1 and path[0].pulleys is not None and 0.0 <= held.read <= min(held.high, MOST_CREEP):
        yield Offer(held.entry, f"stage[{path[0].name}].creep", held.read, off, "number")


def _coil(reader: Reader, held: Held) -> Iterator[Offer]:
    """Yield the coil's resistance brought to 20 °C where its temperature was read: copper's change with warmth."""
    taken = reader.si(key(held.entry, "coil_temperature"))
    if taken is None:
        return
    warm = 1.0 + ALPHA20 * (taken - T20)
    doubt = off_by(reader, key(held.entry, "coil_resistance"), "resistance") / held.read
    doubt = (doubt**2 + (ALPHA20 * THERMOMETER / warm) ** 2) ** 0.5
    yield Offer(held.entry, "clutch.coil_resistance", held.read / warm, doubt * held.read / warm, "resistance")


__all__ = ["offers"]

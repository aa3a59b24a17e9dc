"""Numbers of the torque chain to work by hand: the shear pin, carried to the shaft of the chain, and the key."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.chapters.ratio.analysis import ENGINE
from jackshaft.chapters.weak_link.analysis import ChainData
from jackshaft.results.by_hand import Worked, worked
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader
from jackshaft.units import NotKnown


def pin(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The torque at which the shear pin goes, and the same on the shaft that all parts are carried over to."""
    if reader.is_none("shear_pin"):
        return NotKnown("This build has no shear pin.")
    data: ChainData | None = found["chain"].data
    ratio = found["ratio"].data
    link = next((n for n in data.links if n.kind == "shear pin"), None) if data else None
    if link is None:
        return NotKnown("No shear pin of this build is known well enough to work it by hand.")
    shaft = ratio.shaft(link.shaft)
    return worked(
        f"Shear pin on the shaft {link.shaft}, carried over to the shaft of the {data.shaft}",
        reader.system,
        takes={
            "bolt": (reader.si("shear_pin.diameter"), "length"),
            "radius": (reader.si("shear_pin.radius"), "length"),
            "strength": (reader.si("shear_pin.shear_strength"), "stress"),
            "planes": reader.get("shear_pin.planes") or 1,
            "over": float(shaft.over),
            "passed": float(shaft.passed),
        },
        says={"torque": (link.likely, "torque")},
        call="carried_over(shear_pin_torque({bolt}, {radius}, {strength}, planes={planes}), "
        "over={over}, passed={passed})",
    )


def key(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The torque at which the engine's key gives way."""
    data: ChainData | None = found["chain"].data
    link = next((n for n in data.links if n.kind == "key" and n.shaft == ENGINE), None) if data else None
    if link is None or data.shaft != ENGINE:
        return NotKnown("The key of the engine's shaft is not known well enough to work it by hand.")
    sound = next(j.capacity.sound for j in found["shafts"].data.joints if j.shaft == ENGINE)
    return worked(
        "Key of the engine's shaft",
        reader.system,
        takes={
            "shaft": (sound.shaft, "length"),
            "width": (sound.width, "length"),
            "height": (sound.height, "length"),
            "length": (sound.length, "length"),
            "key_yield": (sound.key_yield, "stress"),
        },
        says={"torque": (link.likely, "torque")},
        call="key_capacity({shaft}, {width}, {height}, {length}, key_yield={key_yield}).governing",
    )


EXAMPLES = {"pin": pin, "key": key}

__all__ = ["EXAMPLES"]

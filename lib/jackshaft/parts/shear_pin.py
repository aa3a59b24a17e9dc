"""The shear pin: at what torque of its shaft it gives."""

from __future__ import annotations

from typing import NamedTuple

from jackshaft.mechanics import joints
from jackshaft.results.reader import Reader

#: Spread of a shear strength that is stated as one figure: a tenth either way, common practice, no source.
PIN_SPREAD = 0.10


class ShearPin(NamedTuple):
    """The shaft that a pin is on, and the torque there at which it shears, N m: low, likely and high."""

    shaft: str
    low: float
    likely: float
    high: float


def shear_pin(reader: Reader) -> ShearPin | None:
    """Return the shear pin; None where the build has none or says nothing of it.

    Raises
    ------
    Unknown
        Naming what is missing of a pin that the build has.
    """
    if reader.is_none("shear_pin") or not reader.has("shear_pin"):
        return None
    shaft, *sizes = reader.require(*(f"shear_pin.{k}" for k in ("shaft", "diameter", "shear_strength", "radius")))
    size, strength, radius = (s.si for s in sizes)
    torque = float(joints.shear_pin_torque.si(size, radius, strength, planes=reader.get("shear_pin.planes") or 1))
    return ShearPin(shaft, (1 - PIN_SPREAD) * torque, torque, (1 + PIN_SPREAD) * torque)


__all__ = ["PIN_SPREAD", "ShearPin", "shear_pin"]

"""What is known of a clutch's torque, in order of trust: plate, slip test, geometry."""

from __future__ import annotations

from typing import NamedTuple

from jackshaft.mechanics import clutch
from jackshaft.workup.core import Looker
from jackshaft.workup.electric_line import nominal_of

BURNISHED = clutch.Band(1.0, 1.0, 1.0)
FACES = {"new": (clutch.NEW_FACES, "new faces, 0.5 to 0.8 of burnished ones until they are run in"),
         "oiled": (clutch.OILED, "oily faces, a quarter to two fifths of dry ones"),
         "burnished": (BURNISHED, "burnished, dry faces")}
#: A scale on a lever: reading, lever and the moment of slip together, common practice.
SLIP_SPREAD = 0.10


class Known(NamedTuple):
    """A known static torque: from what, torque (N·m), coil current it is known at (A), its own spread, faces, words."""

    name: str
    torque: float
    amps: float
    spread: float
    faces: clutch.Band
    faces_words: str
    words: str


def known_torques(look: Looker) -> tuple[Known, ...]:
    """Return every torque that is known, the most trusted first."""
    return tuple(k for k in (_plate(look),) if k is not None)


def _plate(look: Looker) -> Known | None:
    torque, r20 = look.get("clutch.static_torque"), look.si("clutch.coil_resistance")
    if torque is None:
        look.lack("clutch.static_torque")
        return None
    volts = look.si("clutch.plate_voltage", nominal_of(look))
    if volts is None or r20 is None:
        look.lack(*(k for k, v in (("clutch.plate_voltage", volts), ("clutch.coil_resistance", r20)) if v is None))
        return None
    said = look.si("clutch.plate_voltage") is not None
    words = f"{look.how('clutch.static_torque') or 'as given'}, at {look.show(volts, 'voltage')}" \
        + ("" if said else " (the system's voltage, assumed)") + " and a coil at room temperature"
    factor, faces = FACES["burnished"]
    return Known("plate", torque.si, volts / r20, (torque.plus_minus or 0.0) / torque.si, factor, faces, words)


__all__ = ["FACES", "Known", "SLIP_SPREAD", "known_torques"]

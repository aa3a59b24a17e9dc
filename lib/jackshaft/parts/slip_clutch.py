"""The slip clutch: spring-loaded plates that are meant to slip before anything breaks, and at what torque they do."""

from __future__ import annotations

import math
from typing import NamedTuple

from jackshaft import tables
from jackshaft.mechanics import clutch
from jackshaft.results.reader import Reader, Unknown

#: Plates as the build file has them: let slip this season, never slipped, not slipped for so long that rust may hold.
RUN_IN, NEW, STOOD = "run in", "new", "stood"
#: What the torque is worked out from where neither a setting nor a measurement is written down.
PARTS = ("spring_force", "springs", "faces", "outer_diameter", "inner_diameter")


class SlipClutch(NamedTuple):
    """The shaft that it is on, and the torque there at which it slips, N m: low, likely and high.

    ``high`` is without limit where the plates have stood, or where nobody says how they are; ``plates`` is their state
    as the build has it, ``source`` where the torque comes from.
    """

    shaft: str
    low: float
    likely: float
    high: float
    plates: str | None
    source: str

    @property
    def moves(self) -> bool:
        """Whether it is known that its plates are not rusted together."""
        return self.plates in (RUN_IN, NEW)


def slip_clutch(reader: Reader) -> SlipClutch | None:
    """Return the slip clutch; None where the build has none or says nothing of it.

    Its setting goes before what springs and linings give. New linings bear evenly at first, out to a larger mean
    radius than worn ones: that counts at the high end.

    Raises
    ------
    Unknown
        Naming what is missing of a slip clutch that the build has.
    """
    if reader.is_none("slip_clutch") or not reader.has("slip_clutch"):
        return None
    shaft, plates = reader.get("slip_clutch.shaft"), reader.get("slip_clutch.plates")
    lacks = () if shaft is not None else ("slip_clutch.shaft",)
    try:
        (low, likely, high), source = _set(reader) or _worked_out(reader, plates)
    except Unknown as unknown:
        raise Unknown(*lacks, *unknown.keys) from None
    if lacks:
        reader.note_missing(*lacks)
        raise Unknown(*lacks)
    scatter = tables.table("attachment_facts").one(item="slip clutch over its setting")
    high = scatter["high"] * high if plates in (RUN_IN, NEW) else math.inf
    return SlipClutch(shaft, scatter["low"] * low, likely, high, plates, f"{source}; scatter {scatter['known']}")


def _set(reader: Reader) -> tuple[tuple[float, float, float], str] | None:
    torque = reader.si("slip_clutch.torque")
    return None if torque is None else ((torque,) * 3, "its setting in the build file")


def _worked_out(reader: Reader, plates: str | None) -> tuple[tuple[float, float, float], str]:
    keys = [f"slip_clutch.{key}" for key in PARTS]
    friction = friction_of(reader)
    if friction is None:
        keys.append("slip_clutch.facing")
    lacks = tuple(key for key in keys if reader.get(key) is None)
    if len(lacks) == len(keys):
        lacks = ("slip_clutch.torque",)  # the shorter way, where nothing of the longer one is known
    if lacks or friction is None:
        reader.note_missing(*lacks)
        raise Unknown(*lacks)
    (low, likely, high), source = friction
    force = reader.si(keys[0]) * reader.get(keys[1])
    ring = {"outer_diameter": reader.si(keys[3]), "inner_diameter": reader.si(keys[4]), "faces": reader.get(keys[2])}

    def torque(mu: float, worn_in: bool) -> float:
        return float(clutch.face_torque.si(force, friction=mu, worn_in=worn_in, **ring).torque)

    found = torque(low, True), torque(likely, plates != NEW), torque(high, plates != NEW)
    return found, f"springs, linings and plates, bhandari ch. 11; friction: {source}"


def facing_rows(reader: Reader) -> list:
    """Return the rows of the table that speak of its dry linings, those at rest first."""
    facing = reader.get("slip_clutch.facing")
    rows = [] if facing is None else tables.table("friction_pairs").where(pair=facing).rows
    dry = [row for row in rows if row["condition"].startswith("dry")]
    return sorted(dry, key=lambda row: "dynamic" in row["condition"])


def friction_of(reader: Reader) -> tuple[tuple[float, float, float], str] | None:
    """Return the friction of the linings at rest, low, likely and high, and its source; None where not known."""
    given = reader.get("slip_clutch.friction")
    if given is not None:
        given = getattr(given, "si", given)
        return (given,) * 3, "the build file"
    rows = facing_rows(reader)
    if not rows:
        return None
    low, high = rows[0]["mu_low"], rows[0]["mu_high"]
    return (low, 0.5 * (low + high), high), rows[0].cite


__all__ = ["NEW", "RUN_IN", "STOOD", "SlipClutch", "facing_rows", "friction_of", "slip_clutch"]

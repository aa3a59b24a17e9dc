"""Numbers of the telescoping shaft to work by hand: where its joints stand, and how evenly it turns."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.mechanics import driveline as mech
from jackshaft.parts.telescoping import LINKAGE, Attitude
from jackshaft.results.by_hand import Worked, worked
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader
from jackshaft.units import NotKnown


def _bent(found: Mapping[str, Findings]) -> Attitude | None:
    """Return the attitude, of those where the shaft turns, whose joints bend most."""
    data = found["driveline"].data
    known = [a for a in (data.attitudes if data else ()) if a.turns and None not in (a.lift, a.planes, a.first)]
    return max(known, key=lambda a: a.most, default=None)


def stance(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The distance and the angles of the joints where they bend most."""
    a = _bent(found)
    if a is None:
        return NotKnown("The hinge, joint 2 and the attitudes of this build are not all written down yet.")
    return worked(
        f"{a.name} attitude, joints",
        reader.system,
        takes={"lift": (a.lift, "angle"), **{k: (reader.si(f"driveline.{k}"), "length") for k in LINKAGE}},
        says={"distance": (a.distance, "length"), "first": (a.first, "angle")},
        call=f"stance({{lift}}, {', '.join(f'{k}={{{k}}}' for k in LINKAGE)})",
    )


def evenness(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The swing of speed there, with the yokes as the build has them, else in line."""
    a = _bent(found)
    if a is None:
        return NotKnown("The angles of the joints of this build are not known yet.")
    phase = found["driveline"].data.phase or 0.0
    swing = mech.speed_of_joints.si(a.first, second=a.second, planes=a.planes, phase=phase)
    return worked(
        f"{a.name} attitude, speed out over in",
        reader.system,
        takes={
            "first": (a.first, "angle"),
            "second": (a.second, "angle"),
            "planes": (a.planes, "angle"),
            "phase": (phase, "angle"),
        },
        says={"most": (float(swing.most), "number")},
        call="speed_of_joints({first}, second={second}, planes={planes}, phase={phase})",
    )


EXAMPLES = {"stance": stance, "evenness": evenness}

__all__ = ["EXAMPLES"]

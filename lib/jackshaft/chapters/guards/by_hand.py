"""Numbers of guards to work by hand: how far a hand reaches through an opening."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.mechanics.guards import reach_through
from jackshaft.results.by_hand import Worked, worked
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader
from jackshaft.units import NotKnown

#: An opening that is worked where the build has none: the mesh of expanded metal, m.
USUAL = 0.012


def reach(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The reach through the first guard with openings, else through a usual mesh."""
    if not reader.names("stage"):
        return NotKnown("This build has no stage yet, so it has no guard.")
    name = next((n for n in reader.names("stage") if reader.si(f"stage[{n}].guard_opening")), None)
    width = USUAL if name is None else reader.si(f"stage[{name}].guard_opening")
    shape = "square" if name is None else reader.get(f"stage[{name}].guard_shape") or "slot"
    return worked(
        "a usual mesh" if name is None else f"{name}, guard",
        reader.system,
        takes={"opening": (width, "length"), "shape": shape},
        says={"distance": (float(reach_through.si(width, shape=shape)), "length")},
        call="reach_through({opening}, shape={shape})",
    )


EXAMPLES = {"reach": reach}

__all__ = ["EXAMPLES"]

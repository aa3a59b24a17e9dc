"""Numbers of the layout to work by hand: the length of a loop, and how fast its belt runs."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jackshaft.chapters.layout.data import StageLayout
from jackshaft.results.by_hand import Worked, worked
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader
from jackshaft.units import NotKnown

NO_LOOP = NotKnown("No belt loop of this build is known well enough to work it by hand.")


def _first(found: Mapping[str, Findings]) -> StageLayout | None:
    loops = (found["layout"].data or {}).values()
    return next((s for s in loops if np.isfinite(s.path.length)), None)


def loop(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The length of the first loop on the cord line, and its wraps, in the order the belt meets the pulleys."""
    stage = _first(found)
    if stage is None:
        return NO_LOOP
    p = stage.pulleys
    return worked(
        f"Belt loop {stage.name}: {', '.join(p.names)}; pitch diameters",
        reader.system,
        takes={
            "x": (stage.places.x, "length"),
            "y": (stage.places.y, "length"),
            "diameters": (2 * p.pitch, "length"),
            "inside": [bool(b) for b in p.inside],
            "ccw": bool(stage.ccw),
            "crossed": bool(p.crossed),
        },
        says={"length": (stage.path.length, "length"), "wrap": (stage.path.wrap, "angle")},
        call="belt_path({x}, {y}, {diameters}, {inside}, {ccw}, crossed={crossed})",
    )


def speed(reader: Reader, found: Mapping[str, Findings]) -> Worked | NotKnown:
    """The speed of the belt of the first loop, from its driver."""
    stage, ratio = _first(found), found["ratio"].data
    line = ratio.stage(stage.name) if stage and ratio else None
    shaft = ratio.shaft(line.start) if line else None
    if shaft is None or shaft.work is None or stage.speed is None:
        return NotKnown("The speed of no belt of this build is known yet.")
    p = stage.pulleys
    return worked(
        f"Belt of {stage.name} at its driver {p.names[p.driver]}",
        reader.system,
        takes={"diameter": (2 * p.pitch[p.driver], "length"), "rotation": (shaft.work, "rotation")},
        says={"speed": (stage.speed, "surface speed")},
        call="tip_speed({diameter}, rotation={rotation})",
    )


EXAMPLES = {"loop": loop, "speed": speed}

__all__ = ["EXAMPLES"]

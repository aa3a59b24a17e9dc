"""What the belts between engine and work let through, either way, and how long they take the work up."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

from jackshaft.chapters.grip.cases import Load, solve_cases, tension_key
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.ratio.data import RatioData, chain
from jackshaft.mechanics import clutch
from jackshaft.parts.shaft_loads import places_of_no_loop
from jackshaft.results.checks import UNDECIDED
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader

#: Longest that belts may slip while they take the work up: common practice, no source. Then they glaze and burn.
LONGEST = 3.0
#: Heat that a kilogram of belt takes for each kelvin, J/(kg·K): rubber, from memory.
RUBBER_HEAT = 1700.0


class Belts(NamedTuple):
    """What belts let through at the clutch's shaft (N·m), None where not known.

    ``forward`` is on the way to the work, by every belt between engine and work, ``backward`` what the clutch's brake
    takes out of the work, by those behind the clutch, infinite without any. ``lacks`` names the keys that the latter
    lack.
    """

    forward: clutch.Band | None
    backward: clutch.Band | None
    lacks: tuple[str, ...]


def belts_of(reader: Reader, done: Mapping[str, Findings], shaft: str) -> Belts | None:
    """Return what the belts on the way to the work let through, None where there are none."""
    ratio: RatioData | None = done["ratio"].data
    ends = () if ratio is None else ratio.work_shafts or (ratio.work_shaft,)
    # a belt that drives several shafts of the work counts once
    line = tuple({s.name: s for end in ends for s in chain(ratio.stages, end)}.values())
    after = next((i for i, stage in enumerate(line) if stage.start == shaft), len(line))
    belts = [(i, stage.name) for i, stage in enumerate(line) if stage.pulleys is not None]
    if not belts:
        return None
    grips = (done["grip"].data if "grip" in done else None) or {}
    behind = [name for i, name in belts if i >= after]
    engaged, work = reader.si("clutch.engage_speed"), reader.si("engine.work_speed")
    speed, torque = min(engaged / work, 1.0) if engaged and work else 1.0, ratio.shaft(shaft).torque
    return Belts(
        _through(grips, [name for _, name in belts], torque, 1.0, speed),
        _through(grips, behind, torque, -1.0, 1.0),
        tuple(dict.fromkeys(key for name in behind for key in _lacks(reader, done, name, grips.get(name)))),
    )


def _through(
    grips: Mapping[str, StageGrip], names, torque: float | None, sign: float, top: float
) -> clutch.Band | None:
    """Return what loops let through at a shaft with a working torque, None where one of them is not known."""
    if not names:
        return clutch.Band(math.inf, math.inf, math.inf)
    if not torque or any(name not in grips or grips[name].hold is None for name in names):
        return None
    margins = [margins_of(grips[name], sign, top) for name in names]
    return clutch.Band(*(torque * max(min(end), 0.0) for end in zip(*margins, strict=True)))


def margins_of(grip: StageGrip, sign: float, top: float) -> clutch.Band:
    """Return how many times the working load a loop carries, onward (1) or back from the work (-1).

    The belt stands at one end and runs at ``top`` times its working speed at the other: each end of the band takes what
    is worse or better.
    """
    way = grip.way if sign > 0.0 else grip.overrun_way
    loads = {
        str(speed): Load(1.0, sign * grip.pulls, speed**2 * grip.centrifugal, of_work=False) for speed in (0.0, top)
    }
    slow, fast = solve_cases(replace(grip, way=way), loads)
    return clutch.Band(
        min(slow.least_bad, fast.least_bad), min(slow.least, fast.least), max(slow.least_high, fast.least_high)
    )


def _lacks(reader: Reader, done: Mapping[str, Findings], name: str, grip: StageGrip | None) -> tuple[str, ...]:
    """Return the keys without which a loop's grip is not known."""
    if grip is not None:
        return () if grip.hold is not None else (tension_key(grip.layout, grip.way),)
    checks = [c for n in ("layout", "grip") if n in done for c in done[n].checks]
    keys = [k for c in checks if c.verdict == UNDECIDED and f"[{name}]" in c.id for k in c.missing]
    return tuple(k for k in dict.fromkeys(keys) if reader.get(k) is None) or places_of_no_loop(done, name)


__all__ = ["LONGEST", "RUBBER_HEAT", "Belts", "belts_of", "margins_of"]

"""The idlers of the belts: what bears on each in every case, and how fast each turns."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
from jackshaft.parts.belt_stage import shafts_driven, working
from jackshaft.parts.seldom import largest
from jackshaft.parts.shaft_cases import grips_of
from jackshaft.parts.shaft_loads import hard_unknown, pull_misses
from jackshaft.results.checks import UNDECIDED, Check
from jackshaft.results.findings import CANNOT, FOLLOWS, Findings
from jackshaft.results.reader import Reader
from jackshaft.results.values import Value


class Idler(NamedTuple):
    """One idler: its stage and name, its key, the force of the belt at work, N, and the largest with its case.

    ``hardest`` is the largest of the cases that come often, ``seldom`` of the others, None where there is none.
    ``speed`` is that at work, rad/s, ``top`` the highest that the engine may run it up to; forces and speeds are None
    where they are not known, and ``missing`` names the keys without which they are not, or those that a refusal of the
    loop is about. ``unsure`` names the keys without which a harder case may be left out.
    """

    stage: str
    name: str
    at: str
    work: float | None
    hardest: tuple[str, float] | None
    speed: float | None
    top: float | None
    missing: tuple[str, ...]
    seldom: tuple[str, float] | None = None
    unsure: tuple[str, ...] = ()

    @property
    def part(self) -> str:
        """What stands in the brackets of its checks."""
        return f"{self.stage}: {self.name}"

    def refused(self, id: str, title: str, limit: Value) -> Check:
        """Return the undecided check of an idler whose loop cannot be worked out, though all that it needs is known."""
        words = f"What bears on it cannot be worked out, because the loop of '{self.stage}' cannot: {FOLLOWS}"
        return Check(id, title, CANNOT, limit, UNDECIDED, words, missing=self.missing)


def idlers(reader: Reader, done: Mapping[str, Findings]) -> tuple[Idler, ...]:
    """Return every idler of the belts that the build names; one whose loop is not worked out has no force."""
    found = []
    for stage in reader.names("stage"):
        at = f"stage[{stage}]"
        driver, works = reader.get(f"{at}.driver"), working(reader, at)
        ends = {driver, *works}
        if reader.get(f"{at}.kind") not in ("belt", None) or driver is None or not works:
            continue
        idle = [n for n in reader.names(f"{at}.pulley") if n not in ends]
        found += [_idler(reader, done, stage, name) for name in idle]
    return tuple(found)


def _idler(reader: Reader, done: Mapping[str, Findings], stage: str, name: str) -> Idler:
    at, grip = f"stage[{stage}].pulley[{name}]", grips_of(done).get(stage)
    layout = (done["layout"].data or {}).get(stage)
    speed = top = None
    if layout is not None and name in layout.pulleys.names:
        radius = float(layout.pulleys.pitch[layout.pulleys.names.index(name)])
        speed, top = (None if v is None else v / radius for v in (layout.speed, layout.top_speed))
    if grip is None or grip.hub is None:
        ends = (f"stage[{stage}].{end}" for end in ("from", *(() if shafts_driven(reader, stage) else ("to",))))
        misses = (*pull_misses(done, stage), *(k for k in ends if not reader.has(k)))
        return Idler(stage, name, at, None, None, speed, top, tuple(dict.fromkeys(misses)))
    i = layout.pulleys.names.index(name)
    forces = {"work": grip.hub[i], "rest": grip.hub_rest[i], "peak": grip.hub_peak[i]}
    forces |= {c.name: c.hub[i] for c in grip.cases if c.hub is not None and _happens(reader, c)}
    sizes = {case: float(np.hypot(*force)) for case, force in forces.items()}
    hardest, seldom = largest(sizes)
    unsure = hard_unknown(reader, done, reader.get(f"stage[{stage}].from"))
    return Idler(stage, name, at, sizes["work"], hardest, speed, top, (), seldom, unsure)


def _happens(reader: Reader, case) -> bool:
    """Tell whether a case is one of this build: an overrun that it says never comes is none."""
    return case.name != "overrun" or reader.si("work.overrun_factor") != 0.0


__all__ = ["Idler", "idlers"]

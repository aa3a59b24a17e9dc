"""What pulls on a shaft, and where: belt hub loads, given pulls and weights, read for bearings and shafts alike."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from jackshaft.mechanics.shafts import GRAVITY
from jackshaft.workup.core import Chapter, Looker

#: At work, standing still, and at the peak load.
CASES = ("work", "rest", "peak")


class Pull(NamedTuple):
    """One thing along a shaft; forces in N as (x, y) at work, at rest and at the peak, shape (3, 2).

    ``weight`` is the mass that hangs there, kg, its force counted in; ``torque`` what the part puts into
    the shaft at work, N·m, what it takes out negative, None where it is not known; ``peak_torque`` the same
    at the peak.
    """

    name: str
    at: float
    force: np.ndarray
    weight: float
    stage: str | None
    torque: float | None
    peak_torque: float | None


class ShaftLoads(NamedTuple):
    """Everything that pulls on one shaft; ``missing`` names the keys without which a pull is left out."""

    shaft: str
    pulls: tuple[Pull, ...]
    missing: tuple[str, ...]

    @property
    def at(self) -> np.ndarray:
        """Places along the shaft, m, shape (n,)."""
        return np.array([p.at for p in self.pulls])

    @property
    def force(self) -> np.ndarray:
        """Forces, N, shape (3 cases, n, 2)."""
        return np.stack([p.force for p in self.pulls], axis=1)


def read_loads(look: Looker, done: Mapping[str, Chapter], shaft: str) -> ShaftLoads:
    """Read what pulls on a shaft; a horizontal shaft is taken, so weights point down.

    Parameters
    ----------
    look : Looker
        Reads the build.
    done : mapping
        The chapters before, with "ratio" and "grip".
    shaft : str
        Name of the shaft.
    """
    pulls, missing = [], []
    base = f"shaft[{shaft}]"
    for name in look.names(f"{base}.load"):
        here = f"{base}.load[{name}]"
        at, weight = look.si(f"{here}.position"), look.si(f"{here}.weight", 0.0)
        stage = look.get(f"{here}.stage")
        if at is None:
            missing.append(f"{here}.position")
        force, lacks, torque = _force(look, done, here, shaft, stage)
        missing += lacks
        if at is None or force is None:
            continue
        force = force + np.array([0.0, -GRAVITY * weight])
        peak = None if torque is None else torque * (look.si("work.peak_factor") or 1.0)
        pulls.append(Pull(name, at, force, weight, stage, torque, peak))
    missing += _stages_left_out(look, shaft)
    return ShaftLoads(shaft, tuple(pulls), tuple(dict.fromkeys(missing)))


def _stages_left_out(look: Looker, shaft: str) -> list[str]:
    """Return a key for each belt stage on this shaft whose place along it nobody has written down."""
    base = f"shaft[{shaft}]"
    listed = {look.get(f"{base}.load[{n}].stage") for n in look.names(f"{base}.load")}
    return [f"{base}.load[{stage}].position" for stage in look.names("stage")
            if look.get(f"stage[{stage}].kind") == "belt" and stage not in listed
            and shaft in (look.get(f"stage[{stage}].from"), look.get(f"stage[{stage}].to"))]


def _force(look: Looker, done: Mapping[str, Chapter], here: str, shaft: str, stage: str | None):
    """Return the force (3, 2) of one load without its weight, the keys that lack, and the torque it puts in."""
    torque = _torque(look, done, shaft, stage)
    if stage is not None and look.get(f"stage[{stage}].kind") in ("belt", None):
        grips = done["grip"].data or {}
        layouts = done["layout"].data or {}
        found = grips.get(stage)
        if found is None or found.hub is None:
            check = next((c for c in done["grip"].checks if c.id == f"grip.margin[{stage}]"), None)
            keys = check.missing if check is not None and check.missing else (f"stage[{stage}].takeup.static_tension",)
            return None, list(keys), torque
        pulleys = layouts[stage].pulleys
        i = pulleys.driven if look.get(f"stage[{stage}].to") == shaft else pulleys.driver
        return np.stack([found.hub[i], found.hub_rest[i], found.hub_peak[i]]), [], torque
    pull = look.si(f"{here}.pull")
    if pull is None:
        if stage is not None:
            return None, [f"{here}.pull"], torque
        return np.zeros((3, 2)), [] if look.get(f"{here}.weight") is not None else [f"{here}.pull"], torque
    toward = look.si(f"{here}.toward")
    if toward is None:
        return None, [f"{here}.toward"], torque
    return np.tile(pull * np.array([np.cos(toward), np.sin(toward)]), (3, 1)), [], torque


def _torque(look: Looker, done: Mapping[str, Chapter], shaft: str, stage: str | None) -> float | None:
    """Return the torque that a stage puts into this shaft at work (taken out: negative), or None."""
    ratio = done["ratio"].data
    if stage is None or ratio is None:
        return None
    state = ratio.shaft(shaft)
    if state is None or state.torque is None:
        return None
    if look.get(f"stage[{stage}].to") == shaft:
        return state.torque
    # what leaves by several stages is not told apart yet; one stage takes it all
    leaving = [s for s in ratio.stages if s.start == shaft]
    return -state.torque if len(leaving) == 1 else None


__all__ = ["CASES", "Pull", "ShaftLoads", "read_loads"]

"""What the drive ratio chapter finds: stages and shafts in SI units."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import pi
from types import MappingProxyType
from typing import NamedTuple

from jackshaft.parts.belt_stage import Pulleys
from jackshaft.results.reader import Reader

ARROWS = {1: "counter-clockwise", -1: "clockwise"}
ENGINE = "engine"

#: A governor lets its engine run up to so many times the rated speed when the load goes: 8 % by class G1 of ISO 8528-5
#: (from memory).
RUN_UP = 1.08
#: Speeds, rad/s, up to which an induction motor runs: the mains frequency over its pairs of poles.
SYNCHRONOUS = tuple(2 * pi * hertz / pairs for hertz in (50, 60) for pairs in range(1, 9))


class StageRatio(NamedTuple):
    """One stage: ratio driven over driver, +1 or -1 for direction, efficiency, and what it is in words.

    ``creep`` is the share of the speed that the ratio loses by creep, which it has under load alone.
    A belt that drives several shafts is one such for each of them, all of the same name: ``share`` is what this shaft
    takes of the power that the belt passes on, and in ``pulleys`` its pulley is the driven one.
    """

    name: str
    start: str
    end: str
    ratio: float
    sign: int
    efficiency: float
    kind: str
    pulleys: Pulleys | None
    outside_error: float | None
    share: float = 1.0
    creep: float = 0.0

    @property
    def loose(self) -> float:
        """The ratio without load."""
        return self.ratio / (1.0 - self.creep)


class ShaftState(NamedTuple):
    """One shaft: speeds in rad/s at idle, work and full (None where not known), direction, torque and power.

    ``full`` and ``top`` are without load, so without creep. ``top`` is the highest speed that the engine may run it up
    to, rad/s: what a limit must stand.
    ``turn`` is +1 counter-clockwise, -1 clockwise, 0 not known, seen facing the engine's output shaft. ``over`` is
    the engine's turns for one of the shaft's, ``passed`` the share of the engine's power that reaches it.
    ``peak_factor`` and ``start_factor`` are the peak and the starting load over the working load of all that the shaft
    turns.
    """

    name: str
    idle: float | None
    work: float | None
    full: float | None
    turn: int
    over: float = 1.0
    passed: float = 1.0
    torque: float | None = None
    power: float | None = None
    peak_torque: float | None = None
    top: float | None = None
    peak_factor: float | None = None
    start_factor: float | None = None


class RatioData(NamedTuple):
    """What the ratio chapter found, for figures and later chapters.

    ``broken`` names the keys without which a stage is not worked out, ``driven`` the shafts that a stage leads to.
    ``work_shaft`` is the shaft that carries the work, of several the first; ``work_shafts`` are all of them, empty
    where the build does not say. ``carriers`` are they, or where none is said what the only end of the drive is taken
    for. ``bands`` holds the lowest and the highest speed that a shaft wants, by its name, ``untold`` the keys without
    which the power of a shaft is not known.
    """

    stages: tuple[StageRatio, ...]
    shafts: tuple[ShaftState, ...]
    band: tuple[float, float] | None
    work_shaft: str | None
    broken: tuple[str, ...] = ()
    driven: tuple[str, ...] = ()
    work_shafts: tuple[str, ...] = ()
    bands: Mapping[str, tuple[float, float]] = MappingProxyType({})
    carriers: tuple[str, ...] = ()
    untold: Mapping[str, tuple[str, ...]] = MappingProxyType({})

    @property
    def between(self) -> tuple[str, ...]:
        """The keys without which a shaft is not reached from the engine: of a stage, or a stage that is not there."""
        return self.broken or ("stage",)

    def shaft(self, name: str | None) -> ShaftState | None:
        """Return the state of a shaft by name, or None."""
        return next((s for s in self.shafts if s.name == name), None)

    def does_work(self, shaft: str | None) -> bool:
        """Tell whether a shaft is said to carry the work."""
        return shaft in self.work_shafts

    def end_of(self, stage: str, shaft: str) -> StageRatio | None:
        """Return the stage of a name that leads to a shaft, or None."""
        return next((s for s in self.stages if s.name == stage and s.end == shaft), None)

    def leaving(self, shaft: str) -> tuple[str, ...]:
        """Return the names of the stages that take power from a shaft."""
        return tuple(dict.fromkeys(s.name for s in self.stages if s.start == shaft))

    def through(self, stage: str) -> ShaftState | None:
        """Return the shaft that drives a stage, with the power and the torque that this stage alone takes from it.

        Where several stages take from one shaft, or the shaft carries work itself, or what else it drives is not known,
        that is what the shafts behind this one take; both are None where that is not known.
        """
        parts = [s for s in self.stages if s.name == stage]
        start = self.shaft(parts[0].start) if parts else None
        if start is None:
            return None
        taken = [self.shaft(s.end).power for s in parts]
        alone = start.name not in self.carriers and len(self.leaving(start.name)) == 1
        if alone and (start.power is not None or None in taken):
            return start
        if None in taken:
            return start._replace(power=None, torque=None, peak_torque=None)
        power = sum(taken) / parts[0].efficiency
        torque = power / start.work if start.work else None
        factors = {self.shaft(s.end).peak_factor for s in parts}
        peak = factors.pop() if len(factors) == 1 else start.peak_factor
        top = None if torque is None or peak is None else torque * peak
        return start._replace(power=power, torque=torque, peak_torque=top)

    def share_lacks(self, *shafts: str | None) -> tuple[str, ...]:
        """Return the keys without which it is not known what some of the shafts takes of the power."""
        return tuple(dict.fromkeys(key for shaft in shafts for key in self.untold.get(shaft, ())))

    def stage_lacks(self, stage: str) -> tuple[str, ...]:
        """Return the keys without which it is not known what a stage takes of the power."""
        ends = [shaft for s in self.stages if s.name == stage for shaft in (s.start, s.end)]
        return self.share_lacks(*ends)

    def stage(self, name: str) -> StageRatio | None:
        """Return a stage by name, of one that drives several shafts the part to the first; None where it is none."""
        return next((s for s in self.stages if s.name == name), None)


def speed_keys(reader: Reader, data: RatioData | None, shaft: str | None, own: str) -> tuple[str, ...]:
    """Return what must be written down for the speed of a shaft: what a stage to it lacks, else its ``own`` key."""
    drives = [n for n in reader.names("stage") if reader.get(f"stage[{n}].to") in (shaft, None)]
    engine = reader.unknown(f"{ENGINE}.work_speed")
    if data is None or shaft is None or not drives:
        return (own,)
    return engine or (own,) if data.shaft(shaft) is not None else (*data.broken, *engine) or (own,)


def chain(stages: Iterable[StageRatio], end: str | None) -> tuple[StageRatio, ...]:
    """Return the stages from the engine to ``end`` in order, or every stage that hangs on the engine."""
    by_end = {s.end: s for s in stages}
    path, here = [], end
    while here in by_end:
        path.append(by_end[here])
        here = by_end[here].start
    return tuple(reversed(path)) if here == ENGINE else ()

"""What pulls on a shaft, and where: belt hub loads, given pulls and weights, read for bearings and shafts alike.

The shaft's own weight is among the pulls, as one point load a length of one diameter, at its middle,
which gives two bearings exactly what the spread weight gives them. Where more than two bearings carry the
shaft each length is cut at the bearings and its weight put on its two Gauss places: for a spread load on a
length of one stiffness that gives the same end forces and end moments, so the reactions stay exact.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

import numpy as np
from jackshaft.mechanics.shafts import GRAVITY
from jackshaft.parts.belt_stage import shafts_driven
from jackshaft.parts.shaft_cases import (
    BRAKE,
    MORE,
    Overrun,
    belt_force,
    factors_of,
    grips_of,
    overrun_of,
    typed_force,
    typed_pull,
)
from jackshaft.parts.steels import density_of
from jackshaft.parts.works import factor_key, factor_of, work_key, work_shafts
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader, Unknown, read_once

#: At work, standing still, and at the peak load.
CASES = ("work", "rest", "peak")
OWN = "own weight"
#: Kinds of stage that put a hub on each of their shafts.
HUBBED = ("belt", "roller chain", "gear", "friction roller")
BESIDE = 0.02  # m; a shaft of unknown length ends so far beyond its last part


class Pull(NamedTuple):
    """One thing along a shaft; forces in N as (x, y) at work, at rest and at the peak, shape (3, 2).

    ``weight`` is the mass that hangs there, kg, its force counted in; ``torque`` what the part puts into
    the shaft at work, N·m, what it takes out negative, None where it is not known; ``peak_torque`` the same
    at the peak. ``more`` holds force (2,) and torque of every other case that there is, by its name;
    ``own`` marks the shaft's own weight.
    """

    name: str
    at: float
    force: np.ndarray
    weight: float
    stage: str | None = None
    torque: float | None = None
    peak_torque: float | None = None
    more: Mapping[str, tuple[np.ndarray, float | None]] = MappingProxyType({})
    own: bool = False


class ShaftLoads(NamedTuple):
    """Everything that pulls on one shaft; ``missing`` names the keys without which a pull is left out.

    ``unsaid`` names the pulls of parts that are weighed and of which nobody says whether they pull sideways.
    ``growing`` are the parts with a pull of their own of which nobody says that it stays as it is, ``steady`` those of
    which somebody does.
    """

    shaft: str
    pulls: tuple[Pull, ...]
    missing: tuple[str, ...]
    overrun: Overrun | None = None
    unsaid: tuple[str, ...] = ()
    growing: tuple[str, ...] = ()
    steady: tuple[str, ...] = ()

    @property
    def parts(self) -> tuple[Pull, ...]:
        """The pulls that parts on the shaft make, its own weight left out."""
        return tuple(p for p in self.pulls if not p.own)

    @property
    def gathered(self) -> tuple[Pull, ...]:
        """The pulls with the shaft's own weight as one at its centre, for a picture."""
        own = [p for p in self.pulls if p.own]
        if len(own) < 2:
            return self.pulls
        mass = sum(p.weight for p in own)
        at = sum(p.weight * p.at for p in own) / mass
        return (*self.parts, own[0]._replace(at=at, force=sum(p.force for p in own), weight=mass))

    @property
    def more(self) -> tuple[str, ...]:
        """The cases beside work, rest and peak that there are: none where no torque runs through."""
        cases = dict.fromkeys(c for p in self.pulls for c in p.more)
        return tuple(c for c in cases if any(c in p.more and p.more[c][1] is not None for p in self.pulls))

    def force_in(self, case: str) -> np.ndarray:
        """Return the forces of a case by its name, N, shape (n, 2); a pull that does not have it is as at work."""
        if case in CASES:
            return self.force[CASES.index(case)]
        return np.stack([p.more[case][0] if case in p.more else p.force[0] for p in self.pulls])

    @property
    def at(self) -> np.ndarray:
        """Places along the shaft, m, shape (n,)."""
        return np.array([p.at for p in self.pulls])

    @property
    def force(self) -> np.ndarray:
        """Forces, N, shape (3 cases, n, 2)."""
        return np.stack([p.force for p in self.pulls], axis=1)


@read_once
def read_loads(reader: Reader, done: Mapping[str, Findings], shaft: str) -> ShaftLoads:
    """Read what pulls on a shaft; a horizontal shaft is taken, so weights point down.

    Parameters
    ----------
    reader : Reader
        Reads the build.
    done : mapping
        The chapters before, with "ratio" and "grip".
    shaft : str
        Name of the shaft.
    """
    pulls, missing = [], []
    base = f"shaft[{shaft}]"
    back = overrun_of(reader, done)
    factors = factors_of(reader, done, shaft, back)
    for name in reader.names(f"{base}.load"):
        here = f"{base}.load[{name}]"
        at, weight = reader.si(f"{here}.position"), reader.si(f"{here}.weight", 0.0)
        stage = reader.get(f"{here}.stage")
        if at is None:
            missing.append(f"{here}.position")
        torque = _torque(reader, done, shaft, stage)
        try:
            mine = factors | {BRAKE: 0.0} if BRAKE in factors and _before_clutch(reader, shaft, stage) else factors
            force, more = _forces(reader, done, here, shaft, stage=stage, factors=mine)
        except Unknown as unknown:
            missing += unknown.keys
            continue
        if at is None:
            continue
        down = np.array([0.0, -GRAVITY * weight])
        pulls.append(
            Pull(
                name=name,
                at=at,
                force=force + down,
                weight=weight,
                stage=stage,
                torque=torque,
                peak_torque=None if torque is None else torque * _peak_factor(reader, done, shaft),
                more={c: (f + down, None if torque is None else factors[c] * torque) for c, f in more.items()},
            )
        )
    missing += (*_stages_left_out(reader, shaft), *_work_left_out(reader, shaft))
    if pulls and not missing:
        pulls += own_weight(reader, shaft, pulls, tuple(factors))
    turned = any(p.torque is not None for p in pulls)
    unsaid = tuple(
        f"{base}.load[{p.name}].pull"
        for p in pulls
        if not p.own and p.stage is None and reader.get(f"{base}.load[{p.name}].pull") is None
    )
    own = {n: reader.get(f"{base}.load[{n}].steady") for n in reader.names(f"{base}.load") if _typed(reader, base, n)}
    growing, steady = (tuple(n for n, said in own.items() if said is kind) for kind in (None, True))
    back = back if turned else None
    return ShaftLoads(shaft, tuple(pulls), tuple(dict.fromkeys(missing)), back, unsaid, growing, steady)


def _typed(reader: Reader, base: str, load: str) -> bool:
    """Tell whether the pull of a part is one that is written down and that no stage gives."""
    here = f"{base}.load[{load}]"
    return reader.get(f"{here}.stage") is None and bool(reader.si(f"{here}.pull"))


def _before_clutch(reader: Reader, shaft: str, stage: str | None) -> bool:
    """Tell whether a stage brings the torque to the clutch: while its brake works, nothing loads that stage."""
    return stage is not None and reader.get("clutch.shaft") == shaft and reader.get(f"stage[{stage}].to") == shaft


def _peak_factor(reader: Reader, done: Mapping[str, Findings], shaft: str) -> float:
    """Return the peak load of a shaft over its load at work: its own, else the work's; 1 where neither is known."""
    return factor_of(reader, done["ratio"].data, shaft, "peak") or 1.0


def hard_unknown(reader: Reader, done: Mapping[str, Findings], shaft: str | None) -> tuple[str, ...]:
    """Return the keys without which it is not known how hard a shaft is used beyond its work: its start, its peak."""
    ratio = done["ratio"].data if "ratio" in done else None
    return tuple(factor_key(reader, n) for n in ("start", "peak") if factor_of(reader, ratio, shaft, n) is None)


def _hub(reader: Reader, done: Mapping[str, Findings], shaft: str, stage: str):
    """Return what the grip chapter found of a stage and the number of its pulley on this shaft; None, None without."""
    grip = grips_of(done).get(stage)
    if grip is None or grip.hub is None:
        return None, None
    pulleys = done["layout"].data[stage].pulleys
    return grip, pulleys.on(shaft)


def lengths_of(reader: Reader, shaft: str, places: np.ndarray) -> list[tuple[float, float, float, float]]:
    """Return (start, end, diameter, bore) of each length of a shaft, m; nothing where its size is not known.

    Without steps it is one diameter from its first part to its last, joints and features among them, and
    :data:`BESIDE` beyond each.
    """
    at = f"shaft[{shaft}]"
    names = reader.names(f"{at}.step")
    if not names:
        size = reader.si(f"{at}.diameter")
        on_it = [
            reader.si(f"{at}.{part}[{n}].position")
            for part in ("joint", "feature")
            for n in reader.names(f"{at}.{part}")
        ]
        ends = [*map(float, places), *(p for p in on_it if p is not None)]
        return [] if size is None else [(min(ends) - BESIDE, max(ends) + BESIDE, size, 0.0)]
    found = []
    for name in names:
        here = f"{at}.step[{name}]"
        start, end, size = (reader.si(f"{here}.{k}") for k in ("start", "end", "diameter"))
        if None in (start, end, size):
            return []
        found.append((start, end, size, reader.si(f"{here}.bore", 0.0)))
    return found


def own_weight(reader: Reader, shaft: str, pulls: list[Pull], cases: tuple[str, ...] = MORE) -> list[Pull]:
    """Return the shaft's own weight as point loads; nothing where its size is not known or is no size."""
    seats = [
        a
        for b in reader.names("bearing")
        if reader.get(f"bearing[{b}].shaft") == shaft and (a := reader.si(f"bearing[{b}].position")) is not None
    ]
    lengths = lengths_of(reader, shaft, np.array([p.at for p in pulls] + seats))
    if any(end <= start or size <= bore for start, end, size, bore in lengths):
        return []
    density, found = density_of(reader, shaft), []
    for start, end, size, bore in lengths:
        cuts = sorted({start, end, *(s for s in seats if start < s < end)}) if len(seats) > 2 else [start, end]
        for a, b in zip(cuts[:-1], cuts[1:], strict=True):
            mass = density * np.pi / 4 * (size**2 - bore**2) * (b - a)
            half = (b - a) / (2 * np.sqrt(3))
            spots = [(a + b) / 2] if len(seats) <= 2 else [(a + b) / 2 - half, (a + b) / 2 + half]
            force = np.array([0.0, -GRAVITY * mass / len(spots)])
            found += [
                Pull(
                    name=OWN,
                    at=float(spot),
                    force=np.tile(force, (3, 1)),
                    weight=mass / len(spots),
                    more={c: (force, None) for c in cases},
                    own=True,
                )
                for spot in spots
            ]
    return found


def hubs_on(reader: Reader, shaft: str) -> tuple[str, ...]:
    """Return the stages with a pulley, sprocket, gear or roller on a shaft; a gearbox has none, it has its own."""
    return tuple(
        stage
        for stage in reader.names("stage")
        if reader.get(f"stage[{stage}].kind") in HUBBED
        and shaft in (reader.get(f"stage[{stage}].from"), *shafts_driven(reader, stage))
    )


def boxes_on(reader: Reader, shaft: str) -> tuple[str, ...]:
    """Return the gearboxes that a shaft drives."""
    ends = ((s, reader.get(f"stage[{s}].kind"), reader.get(f"stage[{s}].from")) for s in reader.names("stage"))
    return tuple(stage for stage, kind, start in ends if (kind, start) == ("gearbox", shaft))


def _stages_left_out(reader: Reader, shaft: str) -> list[str]:
    """Return keys for each stage whose hub is on this shaft and whose place along it nobody has written down.

    A load of the stage's name, or else one that says no stage, may be that hub: its stage is asked for.
    """
    base = f"shaft[{shaft}].load"
    stages = {name: reader.get(f"{base}[{name}].stage") for name in reader.names(base)}
    free, keys = [name for name, stage in stages.items() if stage is None], []
    for stage in hubs_on(reader, shaft):
        if stage in stages.values():
            continue
        mine = [stage] if stage in free else free
        keys += [f"{base}[{name}].stage" for name in mine]
        if stage not in mine:
            keys.append(base if stage in stages else f"{base}[{stage}].position")
    return keys


def hub_is_work(reader: Reader, shaft: str) -> bool:
    """Tell whether one of the hubs along a shaft is the work itself: by its name, or as heavy as the work."""
    name, mass = reader.get("work.name") or "work", reader.si(work_key(reader, shaft, "weight"))
    stages, base = hubs_on(reader, shaft), f"shaft[{shaft}].load"
    for load in reader.names(base):
        there, stage = reader.si(f"{base}[{load}].weight"), reader.get(f"{base}[{load}].stage")
        if stage in stages and (load == name or (mass is not None and there is not None and there >= mass)):
            return True
    return False


def _work_left_out(reader: Reader, shaft: str) -> list[str]:
    """Return the key of the work's place along a shaft that carries it, where none of its loads may be the work.

    That may be one that names no stage. Work behind a telescoping shaft has bearings of its own.
    """
    base = f"shaft[{shaft}].load"
    if shaft not in work_shafts(reader) or reader.get("work.one_piece") or hub_is_work(reader, shaft):
        return []
    if reader.has("driveline") and not reader.is_none("driveline"):
        return []
    free = any(reader.get(f"{base}[{name}].stage") is None for name in reader.names(base))
    return [] if free else [f"{base}[{'work hub' if 'work' in reader.names(base) else 'work'}].position"]


def _forces(
    reader: Reader, done: Mapping[str, Findings], here: str, shaft: str, *, stage: str | None, factors: dict[str, float]
) -> tuple[np.ndarray, dict[str, np.ndarray]]:
    """Return the force (3, 2) of one load without its weight, and that of each other case, (2,).

    Raises
    ------
    Unknown
        Naming the keys that are missing.
    """
    if stage is not None and reader.get(f"stage[{stage}].kind") in ("belt", None):
        grip, i = _hub(reader, done, shaft, stage)
        if grip is None:
            raise Unknown(*pull_misses(done, stage))
        force = np.stack([grip.hub[i], grip.hub_rest[i], grip.hub_peak[i]])
        return force, {case: belt_force(grip, i, case, f) for case, f in factors.items()}
    pull, of_stage = typed_pull(reader, done, here, shaft, stage), stage is not None
    how = {"of_stage": of_stage, "steady": not of_stage and bool(reader.get(f"{here}.steady"))}
    usual = (1.0, 0.0, _peak_factor(reader, done, shaft))
    force = np.stack([typed_force(pull, f, **how) for f in usual])
    return force, {case: typed_force(pull, f, **how) for case, f in factors.items()}


def places_of_no_loop(done: Mapping[str, Findings], stage: str) -> tuple[str, ...]:
    """Return the keys of the pulleys' places where no belt can run between them, else nothing."""
    layout = (done["layout"].data or {}).get(stage) if "layout" in done else None
    if layout is None or layout.path.reason == 0:
        return ()
    return tuple(f"stage[{stage}].pulley[{name}].{axis}" for name in layout.pulleys.names for axis in "xy")


def pull_misses(done: Mapping[str, Findings], stage: str) -> tuple[str, ...]:
    """Return the keys without which the pull of a belt is not known: of its grip, or of its loop before that.

    Where the belt cannot run between its pulleys they are the places of those, which are known.
    """
    if places := places_of_no_loop(done, stage):
        return places
    ids = (f"grip.margin[{stage}]", f"layout.length[{stage}]")
    found = (c for n in ("grip", "layout") if n in done for c in done[n].checks if c.id in ids and c.missing)
    return next((c.missing for c in found), (f"stage[{stage}].takeup.static_tension",))


def _torque(reader: Reader, done: Mapping[str, Findings], shaft: str, stage: str | None) -> float | None:
    """Return the torque that a stage puts into this shaft at work (taken out: negative), or None."""
    ratio = done["ratio"].data
    if stage is None or ratio is None:
        return None
    state = ratio.shaft(shaft)
    if state is None or state.torque is None:
        return None
    if shaft in shafts_driven(reader, stage):
        return state.torque
    taken = ratio.through(stage)
    return None if taken is None or taken.torque is None else -taken.torque


__all__ = [
    "BESIDE",
    "CASES",
    "MORE",
    "OWN",
    "Overrun",
    "Pull",
    "ShaftLoads",
    "boxes_on",
    "hub_is_work",
    "hubs_on",
    "lengths_of",
    "own_weight",
    "overrun_of",
    "places_of_no_loop",
    "pull_misses",
    "read_loads",
]

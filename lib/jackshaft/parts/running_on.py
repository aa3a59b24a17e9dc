"""What turns besides the work and runs on into a jam of it: how much torque that brings to a shaft.

The work's shaft is stopped within a quarter of a turn, and all that turns before it with it. What a belt, a chain or
the clutch on the way cannot pass stays behind it. ``ratio`` is what the ratio chapter found.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple
from weakref import WeakKeyDictionary

import numpy as np
from jackshaft import tables
from jackshaft.buildfile import split
from jackshaft.mechanics import inertia
from jackshaft.parts.belt_stage import belts_of, groove_row, section_row
from jackshaft.parts.chain_stage import KIND as CHAIN
from jackshaft.parts.chain_stage import read_chain_stage
from jackshaft.parts.steels import STEEL_DENSITY
from jackshaft.parts.turning import (
    RIM_OVER_DISC,
    at_clutch,
    load_inertia,
    missing_shape,
    on_shafts,
    same_body,
    tested,
    turning,
)
from jackshaft.parts.works import work_key
from jackshaft.results.reader import Reader
from jackshaft.units import Measure

ENGINE = "engine"
#: A part is no heavier than a solid disc of steel of its diameter, so many times as wide as what runs on it; one of
#: which only the weight is known is no larger than a disc of steel so many times thinner than it is large. Common
#: practice, no source.
WIDER, THINNER = 2.0, 20.0
#: Mass, kg, that stands for one which nothing bounds.
UNBOUNDED = 1e9


class Store(NamedTuple):
    """Energy, J, of a part that turns at work, and the most that it may be: more only where ``keys`` are not known.

    ``into``: it sits where its shaft is driven, so a clutch on that shaft holds it back.
    """

    shaft: str
    energy: float
    most: float
    keys: tuple[str, ...] = ()
    into: bool = False
    of_work: bool = False


class RunOn(NamedTuple):
    """Torque of a shaft that runs on into a jam, N·m, as far as known and at the most, and the keys between the two."""

    known: float
    most: float
    keys: tuple[str, ...]


def within() -> float:
    """Return the angle in which a jam stops a shaft, rad."""
    row = tables.table("attachment_facts").one(item="crank brought to a stand by a jam, within")
    return float(np.radians(row["likely"]))


def line_to(ratio, shaft: str | None) -> tuple[str, ...]:
    """Return the shafts from the engine to a shaft, both among them; empty where no stage leads there."""
    after, line = {s.end: s.start for s in ratio.stages}, [shaft]
    while line[-1] in after and len(line) <= len(after):
        line.append(after[line[-1]])
    return tuple(reversed(line)) if line[-1] == ENGINE else ()


def jams_after(ratio, shaft: str) -> tuple[str, ...]:
    """Return the shafts of the work whose jam a shaft feels: those that it drives and that turn, itself among them."""
    moving = (w for w in ratio.carriers if (state := ratio.shaft(w)) is not None and state.work)
    return tuple(w for w in moving if shaft in line_to(ratio, w))


def run_on(
    reader: Reader, ratio, shaft: str, spare: Callable[[str, str], float] | None = None, *, leaving: bool = False
) -> RunOn:
    """Return what runs on into a jam through a shaft, the worst of the jams that it feels; 0 where it feels none.

    Parameters
    ----------
    reader : Reader
        Reads the build.
    ratio : RatioData
        What the ratio chapter found.
    shaft : str
        Name of the shaft.
    spare : callable, optional
        Torque, N·m, that a stage, or the ``"clutch"``, passes to a shaft beyond what the engine brings.
    leaving : bool, optional
        What hangs where the engine's shaft or that of the clutch drives on counts too: for what they drive.
    """
    here, found = ratio.shaft(shaft), [RunOn(0.0, 0.0, ())]
    jams = jams_after(ratio, shaft) if here is not None and here.work else ()
    stores, lump = _found(reader, ratio) if jams else ((), None)
    end = leaving or shaft not in (ENGINE, reader.get("clutch.shaft") or ENGINE)
    for jam in jams:
        stop = ratio.shaft(jam).work / within()

        def passes(stage: str, at: str, stop: float = stop) -> float:
            return np.inf if spare is None else spare(stage, at) * ratio.shaft(at).work / stop

        mine = [s for s in stores if not (s.of_work and s.shaft == jam)]
        if lump is not None and shaft == jam:
            mine = [s for s in mine if not _taken_in(reader, ratio, s)] + [Store(jam, lump, lump)]
        placed = _placed(ratio, jam, shaft, mine)
        comes = _walk(reader, ratio, shaft, placed, passes, end=end)
        if lump is not None:
            comes = np.minimum(comes, lump + sum(s.most for s in mine if not _taken_in(reader, ratio, s)))
        likely, most = comes * stop / here.work
        keys = dict.fromkeys(k for at in placed.values() for s in at for k in s.keys)
        found.append(RunOn(float(likely), float(most), tuple(keys) if most > likely else ()))
    return max(found, key=lambda r: (r.most, r.known))


def _placed(ratio, jam: str, shaft: str, stores: list[Store]) -> dict[str, list[Store]]:
    """Return the stores that run on through a shaft into a jam, by the shaft where they join the line to it.

    What joins after the shaft loads only what lies farther on.
    """
    found, line = {}, line_to(ratio, jam)
    for store in stores:
        joins = next((s for s in reversed(line_to(ratio, store.shaft)) if s in line), None)
        if joins is not None and line.index(joins) <= line.index(shaft):
            found.setdefault(joins, []).append(store if joins == store.shaft else store._replace(into=False))
    return found


def _walk(
    reader: Reader, ratio, shaft: str, placed: Mapping[str, list[Store]], passes: Callable, *, end: bool
) -> np.ndarray:
    """Return the energy that comes through a shaft, J, likely and at the most: its torque, over the turn it stops in.

    What a stage or the clutch does not pass stays behind it. ``end``: what the shaft drives on with counts too.
    """
    clutch, comes = reader.get("clutch.shaft") or ENGINE, np.zeros(2)
    for k, at in enumerate(line_to(ratio, shaft)):
        if k:
            comes = np.minimum(comes, passes(next(s.name for s in ratio.stages if s.end == at), at))
        sizes = {into: np.zeros(2) for into in (True, False)}
        for store in placed.get(at, ()):
            sizes[store.into] += (store.energy, store.most)
        comes = comes + sizes[True]
        if at == clutch:
            comes = np.minimum(comes, passes("clutch", at))
        if at != shaft or end:
            comes = comes + sizes[False]
    return comes


#: What turns, found once for each reader: a chapter asks for it at every shaft, bearing and joint.
_FOUND: WeakKeyDictionary[Reader, tuple] = WeakKeyDictionary()


def _found(reader: Reader, ratio) -> tuple[tuple[Store, ...], float | None]:
    """Return all stores and what a run-down test took in."""
    for_ratio, found = _FOUND.get(reader, (None, None))
    if for_ratio is not ratio:
        found = tuple(_stores(reader, ratio)), _lump(reader, ratio)
        _FOUND[reader] = ratio, found
    return found


def _lump(reader: Reader, ratio) -> float | None:
    """Return the energy, J, of all that a run-down test took in but the work alone; None without a test.

    It says nothing of where that is: at the work's shaft all of it counts, elsewhere it is a bound.
    """
    clutch = reader.get("clutch.shaft") or ENGINE
    turns, at = turning(reader, ratio, clutch) if tested(reader) else None, ratio.shaft(clutch)
    if turns is None or at is None or not at.work:
        return None
    own = at_clutch(ratio, clutch, {w: reader.si("work.own_inertia", 0.0) for w in ratio.carriers[:1]}) or 0.0
    return 0.5 * max(turns.bad - own, 0.0) * at.work**2


def _taken_in(reader: Reader, ratio, store: Store) -> bool:
    """Tell whether a run-down test, with the clutch off, took a store in: it is behind the clutch."""
    clutch = reader.get("clutch.shaft") or ENGINE
    return clutch in line_to(ratio, store.shaft) and not (store.into and store.shaft == clutch)


def _stores(reader: Reader, ratio) -> Iterator[Store]:
    """Yield what turns with the engine's shaft and behind it, the engine itself left out.

    A shaft without steps is not counted: it holds some thousandths of what its pulleys do.
    """
    engine, left = ratio.shaft(ENGINE), {}
    half = 0.5 * (engine.work or 0.0) ** 2
    known = tuple(on_shafts(reader, ratio, ENGINE, left))
    masses = {k: _heaviest(reader, ratio, k) for k in left.values() if k.endswith(".weight")}
    more = () if not masses else on_shafts(_supposing(reader, masses), ratio, ENGINE, {})
    for part in known:
        yield Store(part.shaft, half * part.bad, half * part.bad, into=part.into)
    for part in more:
        if part.key in masses:
            yield Store(part.shaft, 0.0, half * part.likely, (part.key,), part.into)
    yield from _loads(reader, ratio)
    yield from _works(reader, ratio)


def _supposing(reader: Reader, masses: Mapping[str, float]) -> Reader:
    return reader.supposing({k: Measure(kg, "mass", f"{kg:g} kg", known="estimated") for k, kg in masses.items()})


def _heaviest(reader: Reader, ratio, key: str) -> float:
    """Return how heavy a pulley may be, kg: a solid disc of steel, as wide as its grooves make it.

    Where those are not tabulated it is :data:`WIDER` than its belts together.
    """
    (_, stage), (_, name), _ = split(key)
    at, pulleys = f"stage[{stage}]", ratio.stage(stage).pulleys
    row, belts, i = section_row(reader, at), belts_of(reader, at), pulleys.names.index(name)
    wide = None if row is None else row["top_width_mm"] or row["rib_pitch_mm"]
    if wide is None:
        return UNBOUNDED
    size = 2.0 * float(pulleys.outside[i])
    groove = None if pulleys.flat[i] else groove_row(row, size)
    if groove is not None and groove["edge_mm"] is not None:
        return _disc(size, (2.0 * groove["edge_mm"] + (belts - 1) * groove["pitch_mm"]) * 1e-3)
    return _disc(size, WIDER * belts * wide * 1e-3)


def _disc(size: float, width: float) -> float:
    return STEEL_DENSITY * np.pi / 4.0 * size**2 * width


def _loads(reader: Reader, ratio) -> Iterator[Store]:
    """Yield the sprockets, wheels and flywheels along the shafts: what is no pulley of a belt and not the work."""
    for state in ratio.shafts:
        shaft, chains = state.name, {}
        if shaft not in reader.names("shaft") or not state.work:
            continue
        for stage in reader.names("stage"):
            chain = read_chain_stage(reader, stage) if reader.get(f"stage[{stage}].kind") == CHAIN else None
            end = None if ratio.stage(stage) is None else (ratio.stage(stage).start, ratio.stage(stage).end).index
            if chain is not None and end is not None and shaft in (ratio.stage(stage).start, ratio.stage(stage).end):
                size = chain.diameters[end(shaft)]
                chains[stage] = size, _disc(size, WIDER * chain.strands * chain.pitch), bool(end(shaft))
        at, half = f"shaft[{shaft}].load", 0.5 * state.work**2
        for name in reader.names(at):
            stage = reader.get(f"{at}[{name}].stage")
            if not _is_other(reader, ratio, shaft, name):
                continue
            size, most, into = chains.pop(stage, (None, UNBOUNDED, False))
            yield _store(reader, f"{at}[{name}]", size or reader.si(f"{at}[{name}].diameter"), most, half)._replace(
                shaft=shaft, into=into
            )
        for size, most, into in chains.values():
            yield Store(shaft, 0.0, half * float(inertia.disc_inertia.si(most, diameter=size)), (at,), into)


def _store(reader: Reader, at: str, size: float | None, most: float, half: float) -> Store:
    """Return what a part along a shaft holds, by its weight and its diameter as far as they are known."""
    mass = reader.si(f"{at}.weight")
    keys = () if mass is not None else (f"{at}.weight",)
    if size is None:
        keys += (f"{at}.diameter",)
        size = (4.0 * THINNER * (mass or UNBOUNDED) / (np.pi * STEEL_DENSITY)) ** (1.0 / 3.0)
    holds = half * float(inertia.disc_inertia.si(mass or most, diameter=size))
    return Store("", RIM_OVER_DISC * holds if not keys else 0.0, RIM_OVER_DISC * holds, keys)


def _is_other(reader: Reader, ratio, shaft: str, name: str) -> bool:
    """Tell whether a part along a shaft is neither a pulley of a belt, which is counted there, nor the work."""
    at = f"shaft[{shaft}].load[{name}]"
    stage, weight = reader.get(f"{at}.stage"), reader.si(f"{at}.weight")
    there = None if stage is None else ratio.stage(stage)
    if there is not None and there.pulleys is not None:
        return False
    body = reader.si(work_key(reader, shaft, "weight")) if shaft in ratio.carriers else None
    if stage is None and shaft in ratio.carriers and (body is None or weight is None):
        return False  # it may be the work
    wheels = (f"stage[{s}].pulley[{p}]" for s in reader.names("stage") for p in reader.names(f"stage[{s}].pulley"))
    return not any(same_body(weight, mass) for mass in (body, *(reader.si(f"{at}.weight") for at in wheels)))


def _works(reader: Reader, ratio) -> Iterator[Store]:
    """Yield the work itself on each of the shafts that carry it, where there are several: one jams, the others run."""
    for shaft in () if tested(reader) or len(ratio.carriers) < 2 else ratio.carriers:
        state, own = ratio.shaft(shaft), load_inertia(reader, shaft)
        keys = () if own is not None else missing_shape(reader)
        if state is not None and state.work:
            holds = 0.5 * (UNBOUNDED if own is None else own[0]) * state.work**2
            yield Store(shaft, 0.0 if own is None else holds, holds, keys, of_work=True)


__all__ = ["THINNER", "WIDER", "RunOn", "jams_after", "run_on", "within"]

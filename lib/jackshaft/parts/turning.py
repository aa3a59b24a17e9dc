"""What the clutch has to bring up to speed: the work, the pulleys and the shafts behind it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from contextlib import suppress
from typing import NamedTuple

from jackshaft.buildfile.naming import named
from jackshaft.mechanics import inertia
from jackshaft.parts.steels import density_of
from jackshaft.parts.works import work_key, work_shafts
from jackshaft.results.reader import Reader, Unknown, read_once

RUN_DOWN = ("speed", "time", "drag")
#: A pulley lies between a disc and a rim: so much more inertia at the bad end.
RIM_OVER_DISC = 2.0
#: How a mass lies that makes the work a rotating blade.
BLADE = "bar across the axis"
#: Two weights on one shaft that differ by no more than this share are one body.
SAME = 0.01


class Part(NamedTuple):
    """One part behind the clutch: what it is, its inertia at the clutch's shaft (kg·m²), likely and at the bad end.

    ``shaft`` is the one that it turns with, ``into`` whether that is driven through it; ``key`` is that of its weight.
    """

    name: str
    likely: float
    bad: float
    shaft: str = ""
    into: bool = False
    key: str = ""


class Turning(NamedTuple):
    """All that turns behind the clutch, at the clutch's shaft (kg·m²).

    ``parts`` add up to it; in a run-down test they are in it already, as ``measured`` says. ``left_out`` names what
    is there and cannot be counted, ``keys`` what would let it be; ``own`` holds the work itself at each shaft that
    carries it, at its own speed, and how that is known.
    """

    likely: float
    bad: float
    own: Mapping[str | None, tuple[float, str]]
    measured: bool
    parts: tuple[Part, ...]
    left_out: tuple[str, ...]
    keys: tuple[str, ...]


def tested(reader: Reader) -> bool:
    """Tell whether a run-down test gives the inertia."""
    given = all(reader.si(work_key(reader, shaft, "inertia")) is not None for shaft in _bodies(reader))
    return not given and all(reader.get(f"work.run_down_{k}") is not None for k in RUN_DOWN)


def _bodies(reader: Reader) -> tuple[str | None, ...]:
    """Return the shafts with a body of the work, one without name where the build names none."""
    return work_shafts(reader) or (None,)


def load_inertias(reader: Reader) -> dict[str | None, tuple[float, str]] | None:
    """Return the inertia of the work at each shaft that carries it and how it is known; None where one is not known.

    A run-down test took in all that turns, at the first of them.
    """
    bodies = _bodies(reader)
    found = {shaft: load_inertia(reader, shaft) for shaft in (bodies[:1] if tested(reader) else bodies)}
    return None if None in found.values() else found


def load_inertia(reader: Reader, shaft: str | None) -> tuple[float, str] | None:
    """Return the inertia of the work at a shaft that carries it and how it is known, or None."""
    key = work_key(reader, shaft, "inertia")
    given = None if tested(reader) else reader.si(key)
    if given is not None:
        return given, reader.how(key) or "as given"
    run_down = [f"work.run_down_{key}" for key in RUN_DOWN]
    if any(reader.get(key) is not None for key in run_down):
        with suppress(Unknown):
            speed, time, drag = reader.require_si(*run_down)
            words = f"run-down test: {reader.show(drag, 'torque')} × {reader.show(time, 'time')} / "
            return (
                float(inertia.run_down_inertia.si(speed, time=time, drag=drag)),
                words + reader.show(speed, "rotation"),
            )
    with suppress(Unknown):
        weight, across, lies = reader.require(*(work_key(reader, shaft, n) for n in ("weight", "diameter", "mass_at")))
        mass, size = weight.si, across.si
        words = f"{reader.show(mass, 'mass')} as a {lies} of {reader.show(size, 'length')}"
        if lies == BLADE:
            return float(inertia.bar_inertia.si(mass, length=size)), words
        found = inertia.disc_inertia if lies == "disc" else inertia.rim_inertia
        return float(found.si(mass, diameter=size)), words
    return None


def missing_shape(reader: Reader) -> tuple[str, ...]:
    """Return the keys without which the work's inertia is not known; a run-down test serves as well."""
    shafts = [s for s in _bodies(reader) if load_inertia(reader, s) is None]
    keys = dict.fromkeys(work_key(reader, s, n) for s in shafts for n in ("weight", "mass_at", "diameter"))
    return tuple(k for k in keys if reader.get(k) is None)


def at_clutch(ratio, shaft: str, values: Mapping[str | None, float]) -> float | None:
    """Return the inertia of the work as the clutch feels it, or None where the speeds between are not known.

    ``values`` holds that of each shaft that carries the work; one without name turns with the clutch.
    """
    found = [v if name in (None, shaft) else _reflected(ratio, name, shaft, v) for name, v in values.items()]
    return None if None in found else sum(found)


def _reflected(ratio, name: str, shaft: str, value: float) -> float | None:
    """Return an inertia on one shaft as another feels it, or None where a speed is not known."""
    load, own = (ratio.shaft(n) if ratio else None for n in (name, shaft))
    if load is None or own is None or not own.work or load.work is None:
        return None
    return float(inertia.reflect_inertia.si(value, load_speed=load.work, clutch_speed=own.work))


@read_once
def turning(reader: Reader, ratio, shaft: str, slack: str | None = None) -> Turning | None:
    """Return all that turns behind the clutch, or None where the work's own inertia or speed is not known.

    ``slack`` is a stage whose belt lets the shaft go: its pulley there turns on with it.
    """
    own = load_inertias(reader)
    mine = None if own is None else at_clutch(ratio, shaft, {name: value for name, (value, _) in own.items()})
    if mine is None:
        return None
    left: dict[str, str] = {}
    parts = tuple(on_shafts(reader, ratio, shaft, left, slack)) if ratio is not None else ()
    measured = tested(reader)
    likely, bad = (mine + (0.0 if measured else sum(p[i] for p in parts)) for i in (1, 2))
    return Turning(
        likely=likely,
        bad=bad,
        own=own,
        measured=measured,
        parts=parts,
        left_out=() if measured else tuple(left),
        keys=() if measured else tuple(k for k in left.values() if k),
    )


def on_shafts(reader: Reader, ratio, shaft: str, left: dict[str, str], slack: str | None = None) -> Iterator[Part]:
    """Yield the pulleys and shafts behind a shaft; what cannot be counted goes into ``left`` with its key.

    ``slack`` is as in :func:`turning`.
    """
    over = {s.name: s.over for s in ratio.shafts}
    if shaft not in over:
        return
    behind = [shaft]
    while found := [s.end for s in ratio.stages if s.start in behind and s.end in over and s.end not in behind]:
        behind += found
    for stage in ratio.stages:
        if stage.name == slack and stage.end == shaft and stage.pulleys is not None:
            yield from _pulleys(reader, stage, over, shaft, left, shaft)
    for stage in {s.name: s for s in ratio.stages}.values():
        if stage.start not in behind or stage.end not in over:
            continue
        if stage.pulleys is None:
            left[f"the {stage.kind} '{stage.name}'"] = ""
            continue
        yield from _pulleys(reader, stage, over, shaft, left)
    for name in behind:
        if name in reader.names("shaft"):
            yield from _shaft(reader, name, (over[shaft] / over[name]) ** 2, left, reader.names("stage"))


def _pulleys(reader: Reader, stage, over, shaft: str, left, only: str | None = None) -> Iterator[Part]:
    p, works = stage.pulleys, work_shafts(reader)
    ends = {p.driver: stage.start, **{i: p.shafts[i] for i in p.works}}
    for i, name in enumerate(p.names):
        key = f"stage[{stage.name}].pulley[{name}].weight"
        mass, on = reader.si(key), ends.get(i)
        if only is not None and on != only:
            continue
        if mass is None:
            left[named("pulley", name)] = key
            continue
        if on is not None and on in works and same_body(mass, reader.si(work_key(reader, on, "weight"))):
            continue
        # an idler turns as fast as the belt makes it
        turns = over[shaft] / over[on or stage.start] * (1.0 if on is not None else p.pitch[p.driver] / p.pitch[i])
        found = float(inertia.disc_inertia.si(mass, diameter=2.0 * float(p.outside[i]))) * float(turns) ** 2
        called = next(
            (n for n in _loads(reader, on) if same_body(reader.si(f"shaft[{on}].load[{n}].weight"), mass)), None
        )
        words = f"{called} ({name})" if called else named("pulley", name)
        yield Part(words, found, RIM_OVER_DISC * found, on or stage.start, i in p.works, key)


def _loads(reader: Reader, shaft: str | None) -> tuple[str, ...]:
    return reader.names(f"shaft[{shaft}].load") if shaft in reader.names("shaft") else ()


def same_body(a: float | None, b: float | None) -> bool:
    """Tell whether two weights on one shaft are those of one body."""
    return a is not None and b is not None and abs(a - b) <= SAME * max(a, b)


def _shaft(reader: Reader, name: str, share: float, left, stages: tuple[str, ...]) -> Iterator[Part]:
    """Yield a shaft's own inertia; the parts on it that are no pulleys have no diameter, and are left out."""
    at, total = f"shaft[{name}]", 0.0
    steps = reader.names(f"{at}.step")
    for step in steps:
        start, end, across = (reader.si(f"{at}.step[{step}].{k}") for k in ("start", "end", "diameter"))
        bore = reader.si(f"{at}.step[{step}].bore", 0.0)
        if None in (start, end, across) or bore >= across:
            left[f"step '{step}' of {name}"] = ""
            continue
        mass = density_of(reader, name) * math.pi / 4.0 * (across**2 - bore**2) * abs(end - start)
        if mass > 0.0:
            total += float(inertia.disc_inertia.si(mass, diameter=across, bore=bore))
    bodies = [reader.si(work_key(reader, name, "weight")) if name in work_shafts(reader) else None]
    bodies += [reader.si(f"stage[{s}].pulley[{p}].weight") for s in stages for p in reader.names(f"stage[{s}].pulley")]
    for load in reader.names(f"{at}.load"):
        weight = reader.si(f"{at}.load[{load}].weight")
        if weight and not any(same_body(weight, body) for body in bodies):
            left[load] = ""
    if not steps:
        left[f"{name} itself"] = f"{at}.step"
    elif total:
        yield Part(name, share * total, share * total, name)


__all__ = [
    "BLADE",
    "Part",
    "RIM_OVER_DISC",
    "RUN_DOWN",
    "Turning",
    "at_clutch",
    "load_inertia",
    "load_inertias",
    "missing_shape",
    "on_shafts",
    "same_body",
    "tested",
    "turning",
]

"""Bearings: which size each one is, whether its seat holds, what it carries, and how long it lives."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

import numpy as np

from jackshaft.chapters.bearings import CHAPTER
from jackshaft.chapters.bearings import card as bearing_card
from jackshaft.chapters.bearings import fitting as bearing_fitting
from jackshaft.chapters.bearings import identity as bearing_identity
from jackshaft.chapters.bearings import life as bearing_life
from jackshaft.chapters.bearings import seats as bearing_seats
from jackshaft.mechanics import shafts as beam
from jackshaft.parts.shaft_loads import ShaftLoads, read_loads
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.checks import STOP, Table
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.tables import in_words

#: Any round bar gives the same reactions as long as it is the same all along; m.
UNIFORM = 0.03


class ShaftReactions(NamedTuple):
    """One shaft on its bearings: ``carried`` is what each bearing carries, N, shape (3 cases, bearings, 2)."""

    shaft: str
    bearings: tuple[str, ...]
    at: np.ndarray
    loads: ShaftLoads
    carried: np.ndarray


class BearingsData(NamedTuple):
    """What the chapter found: identity, seat and life of each bearing by name, and each shaft's reactions.

    ``cards`` holds each bearing's fitting card, or the words that say why it has none yet.
    """

    identity: dict[str, bearing_identity.Identity]
    seats: dict[str, bearing_seats.Seat]
    lives: dict[str, bearing_life.BearingLife]
    shafts: dict[str, ShaftReactions]
    cards: dict[str, bearing_card.Card | str]


def work_up(reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Work up every bearing of a build, with its tables or, for a slider, without."""
    draft = Draft(CHAPTER)
    names = reader.names("bearing")
    if not names:
        state = "none" if reader.is_none("bearing") else "not known yet"
        words = "This build has no bearing of its own." if state == "none" else "No bearing is in the build file yet."
        return draft.done(reader, state, words)
    identity, seats, lives, cards = {}, {}, {}, {}
    for name in names:
        with draft.attempt(reader, f"bearings.identity[{name}]", f"{name}: which bearing"):
            identity[name] = bearing_identity.identify(draft, reader, name)
    reactions, why = _reactions(draft, reader, done, names)
    for name in tuple(identity):
        with draft.attempt(reader, f"bearings.life[{name}]", f"{name}: rating life"):
            load = _load_of(reader, name, reactions)
            life = bearing_life.work_up(draft, reader, done, identity[name], load, why.get(name))
            seat = bearing_seats.work_up(draft, reader, identity[name], life)
            bearing_fitting.room_check(draft, reader, identity[name])
            cards[name] = bearing_card.work_up(draft, reader, identity[name], seat, life)
            lives[name], seats[name] = life, seat
    identity = {n: i for n, i in identity.items() if n in lives}
    for shaft in dict.fromkeys(reader.get(f"bearing[{n}].shaft") for n in names):
        mine = tuple(n for n in names if reader.get(f"bearing[{n}].shaft") == shaft)
        if shaft is not None and len(mine) > 1:
            bearing_fitting.located_check(draft, reader, shaft, mine)
    if scope.detail.tables:
        tables = (
            bearing_identity.sheet(reader, identity.values()),
            _load_sheet(reader, reactions.values()),
            _life_sheet(reader, lives.values()),
            _worked_sheet(reader, reactions.values(), lives),
            bearing_seats.sheet(reader, seats.values()),
            bearing_fitting.stand_ins(reader, identity.values(), lives),
            bearing_fitting.for_the_place(reader, identity.values(), lives),
            bearing_identity.grounds_sheet(),
        )
        draft.tables += [t for t in tables if t is not None]
    order = {f"{n}: ": i for i, n in enumerate(names)}
    draft.facts.sort(key=lambda f: next((i for start, i in order.items() if f.label.startswith(start)), len(order)))
    draft.data = BearingsData(identity, seats, lives, reactions, cards)
    draft.cite("gost18855", "gost520", "catalogue-a", "own-derivation")
    draft.cautions += [
        "Wear goggles when a bearing is pressed, driven or pulled: rings are hard and splinter.",
        "A retaining ring springs out of its groove; keep your face out of its line.",
    ]
    if reader.get("place") in ("outdoors", None):
        draft.cautions.append(bearing_life.UPPER_BOUND)
    return draft.done(reader, uses=[done["ratio"], done["layout"], done["grip"]])


def _reactions(draft: Draft, reader: Reader, done, names) -> tuple[dict[str, ShaftReactions], dict]:
    """Return each shaft's reactions, and for a bearing without them (missing keys, words)."""
    found, why = {}, {}
    by_shaft: dict[str, list[str]] = {}
    for name in names:
        shaft = reader.get(f"bearing[{name}].shaft")
        if shaft is not None:
            by_shaft.setdefault(shaft, []).append(name)
        else:
            why[name] = (
                (f"bearing[{name}].shaft", f"bearing[{name}].radial_load"),
                "Neither the shaft it carries nor a load of its own is known yet.",
            )
    for shaft, mine in by_shaft.items():
        loads = read_loads(reader, done, shaft)
        places = {n: reader.si(f"bearing[{n}].position") for n in mine}
        lacks = tuple(f"bearing[{n}].position" for n, p in places.items() if p is None) + loads.missing
        words = "Where it sits, or what pulls on its shaft, is not known yet."
        if not lacks and len(mine) < 2:
            lacks, words = (
                (f"bearing[{mine[0]}].radial_load",),
                "It is the only bearing of its shaft in the file; two share a load.",
            )
        if not lacks and not loads.pulls:
            lacks, words = (
                tuple(f"bearing[{n}].radial_load" for n in mine),
                "Nothing that pulls on its shaft is in the file yet.",
            )
        if lacks:
            why |= {n: (lacks, words) for n in mine}
            continue
        off = _off_the_shaft(reader, shaft, places, loads)
        if off:
            draft.check(
                f"bearings.shaft[{shaft}]",
                f"{shaft}: bearings and loads",
                "cannot be worked out",
                "every bearing and load between the shaft's ends",
                STOP,
                *off,
                "own-derivation, statics",
            )
            why |= {
                n: (tuple(f"bearing[{m}].position" for m in mine), "The shaft cannot be worked out as it is written.")
                for n in mine
            }
            continue
        try:
            found[shaft] = react(shaft, tuple(mine), np.array([places[n] for n in mine]), loads)
        except beam.ShaftError as error:
            problems = [p for p in error.problems]
            draft.check(
                f"bearings.shaft[{shaft}]",
                f"{shaft}: bearings and loads",
                "cannot be worked out",
                "two bearings or more, each in its own place",
                STOP,
                "; ".join(p.reason for p in problems) + ".",
                "; ".join(p.cure for p in problems) + ".",
                "own-derivation, statics",
            )
            why |= {
                n: (tuple(f"bearing[{m}].position" for m in mine), "The shaft cannot be worked out as it is written.")
                for n in mine
            }
            continue
    return found, why


def _off_the_shaft(
    reader: Reader, shaft: str, places: Mapping[str, float], loads: ShaftLoads
) -> tuple[str, str] | None:
    """Return reason and cure where a bearing or a load sits past the ends of the shaft's steps, else None."""
    at = f"shaft[{shaft}].step"
    ends = [reader.si(f"{at}[{n}].{k}") for n in reader.names(at) for k in ("start", "end")]
    if not ends or None in ends:
        return None
    low, high = min(ends), max(ends)
    out = [(f"bearing {n}", p) for n, p in places.items()] + [(p.name, p.at) for p in loads.pulls]
    out = [(n, p) for n, p in out if not low - 1e-6 <= p <= high + 1e-6]
    if not out:
        return None
    where = "; ".join(f"{n} at {_place(reader, p)}" for n, p in out)
    return (
        f"There are parts off the shaft, which runs from {_place(reader, low)} to {_place(reader, high)}: {where}.",
        (
            f"Measure {out[0][0]} again from the shaft's zero mark, or make the step at that end"
            f" {_place(reader, _past(out[0][1], low, high))} longer."
        ),
    )


def _past(place: float, low: float, high: float) -> float:
    return low - place if place < low else place - high


def react(shaft: str, names: tuple[str, ...], at: np.ndarray, loads: ShaftLoads) -> ShaftReactions:
    """Return what the bearings of a shaft carry: statics for two, a uniform bar over more.

    Raises
    ------
    ShaftError
        If two bearings are on one spot.
    """
    force = loads.force
    if len(names) == 2:
        planes = np.moveaxis(force, -1, 0)
        near, far = beam.two_bearing_reactions_si(at[0], at[1], loads.at, planes)
        carried = np.moveaxis(np.stack([near, far], axis=-1), 0, -1)
        return ShaftReactions(shaft, names, at, loads, carried)
    everything = np.concatenate([at, loads.at])
    steps = [beam.Step(float(everything.min()) - 0.01, float(everything.max()) + 0.01, UNIFORM)]
    supports = [beam.Support(n, float(a)) for n, a in zip(names, at, strict=True)]
    carried = []
    for case in force:
        pulls = [beam.Load(p.name, p.at, x=f[0], y=f[1]) for p, f in zip(loads.pulls, case, strict=True)]
        carried.append(-beam.beam_si(steps, supports, pulls, samples=2).reactions)
    return ShaftReactions(shaft, names, at, loads, np.array(carried))


def _load_of(reader: Reader, name: str, reactions) -> bearing_life.Carried | None:
    """Return what one bearing carries, from its shaft or from a load of its own."""
    for found in reactions.values():
        if name in found.bearings:
            k = found.bearings.index(name)
            total = found.loads.force.sum(axis=1)
            mine = found.carried[:, k]
            against = bool(np.dot(mine[0], total[0]) < -1e-9 * max(1.0, float(np.dot(total[0], total[0]))))
            return bearing_life.Carried(mine, against, found.shaft)
    own = reader.si(f"bearing[{name}].radial_load")
    if own is None:
        return None
    return bearing_life.Carried(np.tile([0.0, -own], (3, 1)), False, reader.get(f"bearing[{name}].shaft"))


def _direction(force: np.ndarray) -> float:
    return float(np.arctan2(force[1], force[0]))


def _load_sheet(reader: Reader, reactions: Iterable[ShaftReactions]) -> Table | None:
    rows = []
    for found in reactions:
        for pull in found.loads.pulls:
            rows.append((found.shaft, pull.name, _place(reader, pull.at), "pulls", *_cells(reader, pull.force)))
        for k, name in enumerate(found.bearings):
            rows.append(
                (
                    found.shaft,
                    f"bearing {name}",
                    _place(reader, float(found.at[k])),
                    "carries",
                    *_cells(reader, found.carried[:, k]),
                )
            )
    if not rows:
        return None
    return Table(
        "Pulls along the shaft and what the bearings carry",
        ("shaft", "part", "at", "", "to the right", "upward", "at work", "toward", "at rest", "at the peak"),
        tuple(rows),
        "Weights are counted, for a level shaft, its own where its diameter is known. 0° is right, 90° up, seen "
        "facing the engine. A pulley hung outside a bearing loads it with more than its own pull.",
    )


def _place(reader: Reader, at: float) -> str:
    return reader.show(at, "length", digits=None) if reader.system == "metric" else f"{at / 0.0254:.2f} in"


def _cells(reader: Reader, force: np.ndarray) -> tuple[str, ...]:
    size = np.hypot(force[:, 0], force[:, 1])
    return (
        reader.show(float(force[0, 0]), "force"),
        reader.show(float(force[0, 1]), "force"),
        reader.show(float(size[0]), "force"),
        reader.show(_direction(force[0]), "angle"),
        reader.show(float(size[1]), "force"),
        reader.show(float(size[2]), "force"),
    )


def _life_sheet(reader: Reader, lives: Iterable[bearing_life.BearingLife]) -> Table | None:
    rows = [bearing_life.row(reader, life) for life in lives if life.hours is not None]
    if not rows:
        return None
    return Table(
        "Rating life",
        (
            "bearing",
            "size",
            "C",
            "load P",
            "C/P",
            "speed",
            "life, no shock",
            "life, its shock factor",
            f"life, shock {bearing_life.HEAVY_SHOCK:g}",
        ),
        tuple(rows),
        "Life in hours that 90 of 100 bearings pass: a million turns times (C/P)³, so it falls with the cube of the "
        "load.",
    )


def _worked_sheet(reader: Reader, reactions: Iterable[ShaftReactions], lives) -> Table | None:
    """Return the formulas with the numbers of this build put in."""
    rows = []
    for found in reactions:
        if len(found.bearings) == 2:
            rows += [_moment_row(reader, found, k) for k in (0, 1)]
    rows += [bearing_life.worked(reader, life) for life in lives.values() if life.hours is not None]
    if not rows:
        return None
    return Table(
        "Worked with the numbers put in",
        ("bearing", "what", "formula", "with numbers", "result", "source"),
        tuple(rows),
    )


def _moment_row(reader: Reader, found: ShaftReactions, k: int) -> tuple[str, ...]:
    """Return the moment about the other bearing, in the plane where this bearing carries more."""
    axis = int(np.argmax(np.abs(found.carried[0, k])))
    other = 1 - k
    unit, name = (0.0254, "in") if reader.system == "inch" else (1e-3, "mm")

    def number(value: float) -> str:
        text = f"{value:.4g}"
        return f"({text})" if value < 0 else text

    terms = [
        f"{reader.show(float(f[axis]), 'force').split()[0]} × ({found.at[other] / unit:.4g} - {number(a / unit)})"
        for a, f in zip(found.loads.at, found.loads.force[0], strict=True)
    ]
    span = f"({found.at[other] / unit:.4g} - {number(found.at[k] / unit)})"
    return (
        found.bearings[k],
        f"load {'upward' if axis else 'to the right'}",
        "Σ F (x other - x) / (x other - x own)",
        f"[{' + '.join(terms).replace('+ -', '- ')}] / {span}, {name}",
        reader.show(float(found.carried[0, k, axis]), "force"),
        in_words("own-derivation, moments about the other bearing"),
    )


__all__ = ["BearingsData", "ShaftReactions", "react", "work_up"]

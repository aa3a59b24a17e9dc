"""What each bearing of a shaft carries, or what is missing to know it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jackshaft.chapters.bearings.data import Carried, ShaftReactions
from jackshaft.mechanics import shafts as beam
from jackshaft.parts.shaft_loads import ShaftLoads, hard_unknown, read_loads
from jackshaft.results.checks import STOP
from jackshaft.results.findings import CANNOT, Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.results.values import Number

#: Any round bar gives the same reactions as long as it is the same all along; m.
UNIFORM = 0.03

#: For a bearing that carries nothing known: the missing keys, and words.
Why = tuple[tuple[str, ...], str]


def work_up(
    draft: Draft, reader: Reader, done: Mapping[str, Findings], names: tuple[str, ...]
) -> tuple[dict[str, ShaftReactions], dict[str, Why]]:
    """Return each shaft's reactions, and for a bearing without them why."""
    found: dict[str, ShaftReactions] = {}
    why: dict[str, Why] = {}
    for shaft, mine in by_shaft(reader, names).items():
        if shaft is None:
            # where there are shafts, what it carries and how fast it turns follow from the one that it is on
            ends = ("shaft",) if reader.names("shaft") else ("shaft", "radial_load")
            words = "Neither the shaft it carries nor a load of its own is known yet."
            why |= {n: (tuple(f"bearing[{n}].{end}" for end in ends), words) for n in mine}
            continue
        loads = read_loads(reader, done, shaft)
        places = {n: reader.si(f"bearing[{n}].position") for n in mine}
        missing = _missing(places, loads)
        if missing is None:
            wrong = _off_the_shaft(reader, shaft, places, loads)
            if wrong is None:
                try:
                    found[shaft] = react(shaft, tuple(mine), np.array([places[n] for n in mine]), loads)
                    continue
                except beam.ShaftError as error:
                    wrong = (
                        "two bearings or more, each in its own place",
                        "; ".join(p.reason for p in error.problems) + ".",
                        "; ".join(p.cure for p in error.problems) + ".",
                    )
            limit, reason, cure = wrong
            id, title = f"bearings.shaft[{shaft}]", f"{shaft}: bearings and loads"
            source = "own-derivation, statics"
            draft.check(id, title, CANNOT, limit, STOP, reason=reason, remedy=cure, source=source)
            keys = tuple(f"bearing[{m}].position" for m in mine)
            missing = keys, "The shaft cannot be worked out as it is written down."
        why |= dict.fromkeys(mine, missing)
    return found, why


def by_shaft(reader: Reader, names: tuple[str, ...]) -> dict[str | None, list[str]]:
    """Return the bearings of each shaft, under None those whose shaft is not known."""
    found: dict[str | None, list[str]] = {}
    for name in names:
        found.setdefault(reader.get(f"bearing[{name}].shaft"), []).append(name)
    return found


def _missing(places: Mapping[str, float | None], loads: ShaftLoads) -> Why | None:
    """Return what is missing to know what the bearings of a shaft carry."""
    keys = tuple(f"bearing[{n}].position" for n, p in places.items() if p is None) + loads.missing
    if keys:
        return keys, "Where it sits, or what pulls on its shaft, is not known yet."
    own = tuple(f"bearing[{n}].radial_load" for n in places)
    if len(places) < 2:
        return own, "It is the only bearing of its shaft in the build file; two are needed to share a load."
    return None if loads.pulls else (own, "Nothing that pulls on its shaft is in the build file yet.")


def _off_the_shaft(
    reader: Reader, shaft: str, places: Mapping[str, float], loads: ShaftLoads
) -> tuple[str, str, str] | None:
    """Return limit, reason and cure where a bearing or a load sits past the ends of the shaft's steps, else None."""
    at = f"shaft[{shaft}].step"
    ends = [reader.si(f"{at}[{n}].{k}") for n in reader.names(at) for k in ("start", "end")]
    if not ends or None in ends:
        return None
    low, high = min(ends), max(ends)
    out = [(f"bearing {n}", p) for n, p in places.items()] + [(p.name, p.at) for p in loads.pulls]
    out = [(n, p) for n, p in out if not low - 1e-6 <= p <= high + 1e-6]
    if not out:
        return None
    where = "; ".join(f"{n} at {place(reader, p)}" for n, p in out)
    return (
        "every bearing and load between the shaft's ends",
        f"There are parts off the shaft, which runs from {place(reader, low)} to {place(reader, high)}: {where}.",
        f"Measure {out[0][0]} again from the shaft's zero mark, or make the step at that end"
        f" {place(reader, max(low - out[0][1], out[0][1] - high))} longer.",
    )


def react(shaft: str, names: tuple[str, ...], at: np.ndarray, loads: ShaftLoads) -> ShaftReactions:
    """Return what the bearings of a shaft carry: statics for two, a uniform bar over more.

    Raises
    ------
    ShaftError
        If two bearings are on one spot.
    """
    more = tuple(loads.more)
    force = np.concatenate([loads.force, *(loads.force_in(case)[None] for case in more)])
    carried = _carried(names, at, loads, force)
    usual = len(loads.force)
    return ShaftReactions(shaft, names, at, loads, carried[:usual], dict(zip(more, carried[usual:], strict=True)))


def _carried(names: tuple[str, ...], at: np.ndarray, loads: ShaftLoads, force: np.ndarray) -> np.ndarray:
    """Return what the bearings carry, (cases, bearings, 2), for forces (cases, n, 2)."""
    if len(names) == 2:
        near, far = beam.two_bearing_reactions_si(at[0], at[1], loads.at, np.moveaxis(force, -1, 0))
        return np.moveaxis(np.stack([near, far], axis=-1), 0, -1)
    everything = np.concatenate([at, loads.at])
    steps = [beam.Step(float(everything.min()) - 0.01, float(everything.max()) + 0.01, UNIFORM)]
    supports = [beam.Support(n, float(a)) for n, a in zip(names, at, strict=True)]
    carried = []
    for case in force:
        pulls = [beam.Load(p.name, p.at, x=f[0], y=f[1]) for p, f in zip(loads.pulls, case, strict=True)]
        carried.append(-beam.beam_si(steps, supports, pulls, samples=2).reactions)
    return np.array(carried)


def load_of(
    reader: Reader, done: Mapping[str, Findings], name: str, reactions: Mapping[str, ShaftReactions]
) -> Carried | None:
    """Return what one bearing carries, from its shaft or from a load of its own."""
    for found in reactions.values():
        if name in found.bearings:
            k = found.bearings.index(name)
            total = found.loads.force.sum(axis=1)
            mine = found.carried[:, k]
            against = bool(np.dot(mine[0], total[0]) < -1e-9 * max(1.0, float(np.dot(total[0], total[0]))))
            more = {case: c[k] for case, c in found.more.items()}
            unsure = hard_unknown(reader, done, found.shaft) if any(p.stage for p in found.loads.pulls) else ()
            return Carried(mine, against, more=more, unsure=unsure)
    own = reader.si(f"bearing[{name}].radial_load")
    if own is None:
        return None
    return Carried(np.tile([0.0, -own], (3, 1)), False, reader.how(f"bearing[{name}].radial_load"))


def place(reader: Reader, at: float, known: str = "") -> Number:
    """Return a place along a shaft: to a hundredth of an inch, or as a length is shown in millimetres."""
    return reader.number(at, "length", known=known, decimals=2 if reader.system == "inch" else None)

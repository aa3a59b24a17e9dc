"""Parts on a shaft of which the weight or the pull is not written down: how heavy each may be, what that may spoil.

What a shaft carries is worked out without them. A second time it is worked out with each as heavy as it may be, and
what holds only without the weight is left open.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
from jackshaft.parts.belt_stage import belts_of
from jackshaft.parts.chain_stage import KIND as CHAIN
from jackshaft.parts.chain_stage import read_chain_stage
from jackshaft.parts.running_on import THINNER, WIDER
from jackshaft.parts.shaft_loads import ShaftLoads, lengths_of
from jackshaft.parts.steels import density_of
from jackshaft.parts.works import work_key, work_shafts
from jackshaft.results.checks import CAUTION, GO, ORDER, STOP, Check
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.units import Measure

#: A part of which no size is known: a disc of so many diameters of its shaft, one of them wide; the work on its shaft
#: so many times that. Common practice, no source.
LARGER, HEAVIER = 4.0, 10.0


def unweighed(reader: Reader, done: Mapping[str, Findings], bores: Mapping[str, float]) -> dict[str, float]:
    """Return how heavy each part on a shaft may be whose weight is not known, kg, by the key of its weight.

    Where no shaft is said to carry the work, each may. ``bores`` holds the largest bore of the bearings of each shaft,
    m, where it is known. A part of which nothing is known, not even how thick its shaft is, is left out.
    """
    found, works = {}, work_shafts(reader)
    for shaft in reader.names("shaft"):
        at = f"shaft[{shaft}].load"
        keys = {n: f"{at}[{n}].weight" for n in reader.names(at)}
        lacks = [n for n, key in keys.items() if reader.get(key) is None]
        if not lacks:
            continue
        there = sum(reader.si(key, 0.0) for key in keys.values())
        thick = max(_thick(reader, shaft), bores.get(shaft, 0.0))
        body = _body(reader, shaft, there, thick) if shaft in works or not works else 0.0
        for name in lacks:
            most = _part(reader, done, shaft, reader.get(f"{at}[{name}].stage"), thick)
            if most or body:
                found[keys[name]] = most + body
    return found


def _disc(diameter: float, width: float, density: float) -> float:
    return density * np.pi / 4.0 * diameter**2 * width


def _part(reader: Reader, done: Mapping[str, Findings], shaft: str, stage: str | None, thick: float) -> float:
    """Return how heavy what a shaft, so ``thick``, m, carries of a stage may be, kg; 0 where no size is known."""
    density = density_of(reader, shaft)
    layout = (done["layout"].data or {}).get(stage) if "layout" in done else None
    if layout is not None and layout.belt is not None:
        wide = WIDER * belts_of(reader, f"stage[{stage}]") * layout.belt.top_width
        return _disc(2.0 * float(layout.pulleys.outside[layout.pulleys.on(shaft)]), wide, density)
    chain = None
    if stage is not None and reader.get(f"stage[{stage}].kind") == CHAIN:
        chain = read_chain_stage(reader, stage)
    if chain is not None:
        size = chain.diameters[0 if reader.get(f"stage[{stage}].from") == shaft else 1]
        return _disc(size, WIDER * chain.strands * chain.pitch, density)
    return _disc(LARGER * thick, thick, density)


def _body(reader: Reader, shaft: str, there: float, thick: float) -> float:
    """Return how heavy the work on a shaft may be beyond what is written down as its parts, kg."""
    weight, size = (reader.si(work_key(reader, shaft, name)) for name in ("weight", "diameter"))
    if weight is not None:
        return max(weight - there, 0.0)
    if there:
        return 0.0  # one of the parts that are weighed is the work
    if size is not None:
        return _disc(size, size / THINNER, density_of(reader, shaft))
    return HEAVIER * _disc(LARGER * thick, thick, density_of(reader, shaft))


def _thick(reader: Reader, shaft: str) -> float:
    """Return the largest diameter of a shaft, m; 0 where it is not known."""
    places = [reader.si(f"shaft[{shaft}].load[{n}].position", 0.0) for n in reader.names(f"shaft[{shaft}].load")]
    return max((size for _, _, size, _ in lengths_of(reader, shaft, np.array(places or [0.0]))), default=0.0)


def supposing(reader: Reader, weights: Mapping[str, float]) -> Reader:
    """Return a reader that takes each part as heavy as it may be."""
    return reader.supposing({k: Measure(kg, "mass", f"{kg:g} kg", known="estimated") for k, kg in weights.items()})


def leave_open(draft: Draft, reader: Reader, heavy: Iterable[Check], weights: Mapping[str, float]) -> None:
    """Leave open what holds without the weights that are not known, and does not with each as heavy as it may be.

    That is a go, and a caution of which they make a stop.
    """
    worse = {c.id: c.verdict for c in heavy}
    for check in tuple(draft.checks):
        verdict = worse.get(check.id, check.verdict)
        spoilt = check.verdict in (GO, CAUTION) and ORDER.index(verdict) > ORDER.index(check.verdict)
        if not spoilt or (check.verdict == CAUTION and verdict != STOP):
            continue
        keys = _keys_of(reader, check.id, weights)
        each = " and ".join(
            f"{k.split('[')[2].partition(']')[0]} up to {reader.show(weights[k], 'mass')}" for k in keys
        )
        words = f"Not weighed, by an estimate from size: {each}. So heavy it would be a {verdict}."
        draft.doubt(reader, keys, words, check.id, of=(check.verdict,))


def pulls_unsaid(draft: Draft, reader: Reader, loads: ShaftLoads, *ids: str) -> None:
    """Leave open the go of the checks with these ids where it is not said whether a part pulls sideways at work.

    Where a pull that may be steady is counted as growing with the load, what is no go says so and asks.
    """
    names = [p.name for p in loads.parts if f"shaft[{loads.shaft}].load[{p.name}].pull" in loads.unsaid]
    pulls, whose = ("pulls", "its") if len(names) == 1 else ("pull", "their")
    words = (
        f"Whether {' and '.join(names)} {pulls} sideways at work is not written down: only {whose} weight is counted."
    )
    draft.doubt(reader, loads.unsaid, words, *ids)
    if loads.steady:
        draft.tell(f" The pull of {' and '.join(loads.steady)} is counted once, the same in every load case.", *ids)
    bad = [c.id for c in draft.checks if c.id in ids and c.verdict in (CAUTION, STOP)]
    if loads.growing and bad:
        keys = [f"shaft[{loads.shaft}].load[{name}].steady" for name in loads.growing]
        reader.note_missing(*keys)
        draft.tell(
            f" The pull of {' and '.join(loads.growing)} is taken to grow with the load. Where it stays as it is, as a "
            f"band's strain or a spring's does, say so ({', '.join(keys)}).",
            *bad,
        )


def _keys_of(reader: Reader, id: str, weights: Mapping[str, float]) -> tuple[str, ...]:
    """Return the keys of the weights on the shaft that a check is about; all where it does not say which."""
    part = id.partition("[")[2].removesuffix("]")
    shaft = reader.get(f"bearing[{part}].shaft") if part in reader.names("bearing") else part
    mine = tuple(k for k in weights if k.startswith(f"shaft[{shaft}]."))
    return mine or tuple(weights)


__all__ = ["leave_open", "pulls_unsaid", "supposing", "unweighed"]

"""Other pulleys, sections and belts for a loop, as changes of the build: what cures of several chapters offer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import suppress
from typing import NamedTuple

import numpy as np
from jackshaft import tables
from jackshaft.buildfile import BuildProblems, NoSuchKey
from jackshaft.buildfile.naming import named
from jackshaft.mechanics import belts
from jackshaft.parts.belt_stage import Pulleys, standard_of
from jackshaft.parts.listed_sizes import SizesError, read_sizes
from jackshaft.results import work_up
from jackshaft.results.chapter import Detail, Scope
from jackshaft.results.cure import orders
from jackshaft.results.failing import Failing
from jackshaft.results.proving import applied
from jackshaft.units import read, write_nominal

#: Pairs of pulleys whose ratio is off by no more than this count as the same ratio.
SAME_RATIO = 0.02

#: Sections of the same grooves: those that bend round smaller pulleys, and those made to bend both ways.
COGGED = {"A": "AX", "B": "BX", "C": "CX"}
DOUBLE = {"A": "AA", "AX": "AA", "B": "BB", "BX": "BB", "C": "CC", "CX": "CC"}

#: Size of a pulley over its shaft under which key and hub leave no wall, and the largest that a dealer has, m: common
#: practice, no source.
HUB, LARGEST = 1.6, 0.63

#: Steps in which centres are set with a tape, the belt taking up the rest: common practice, no source.
CENTRES_STEP = ("1/8 in", "2 mm")


class Pair(NamedTuple):
    """Sizes of driver and driven in the build's own lines, m, their pitch diameters, and how many must be bought."""

    driver: float
    driven: float
    pitch_driver: float
    pitch_driven: float
    bought: int

    @property
    def ratio(self) -> float:
        """Driven turns for one of the driver."""
        return self.pitch_driver / self.pitch_driven


def on_hand(failing: Failing, stage: str) -> tuple[float, ...]:
    """Return the sizes, m, that lie in the shop for a stage: those listed, less the pulleys that are on the machine.

    None where the list cannot be read.
    """
    at, left = f"stage[{stage}]", []
    with suppress(SizesError):
        text = failing.reader.get(f"{at}.search.sizes_on_hand") or ""
        left = [float(v) for v in read_sizes(str(text), failing.reader.system)]
    for name in failing.reader.names(f"{at}.pulley"):
        used = failing.reader.si(pulley_key(stage, name))
        match = next((s for s in left if used is not None and abs(s - used) < 1e-6), None)
        if match is not None:
            left.remove(match)
    return tuple(left)


def sold(failing: Failing, stage: str) -> tuple[float, ...]:
    """Return the sizes, m, that pulleys of the stage's series are sold in, smallest first."""
    system = standard_of(failing.reader, f"stage[{stage}]")
    return tuple(row["size_mm"] * 1e-3 for row in tables.table("pulley_sizes").where(system=system).rows)


def pulley_key(stage: str, pulley: str) -> str:
    """Return the key of a pulley's size."""
    return f"stage[{stage}].pulley[{pulley}].diameter"


def pairs(
    failing: Failing, stage: str, pulleys: Pulleys, *, least: float, added: float | None = None
) -> Iterator[Pair]:
    """Yield the pairs of pulleys that are on hand or sold; a flat pulley, and one of a home-turned groove, stays.

    Driven pulleys of one size on several shafts are changed together; where their sizes differ they stay.

    Parameters
    ----------
    failing : Failing
        The check that does not hold.
    stage : str
        The belt stage.
    pulleys : Pulleys
        Its pulleys as they are.
    least : float
        Smallest pitch diameter of a grooved pulley, m.
    added : float, optional
        Pitch diameter less size, m, where another section has another one; as it is if left out.
    """
    have = on_hand(failing, stage)
    listed = sorted({*have, *sold(failing, stage)})
    choice = []
    for i in (pulleys.driver, pulleys.driven):
        here = failing.reader.si(pulley_key(stage, pulleys.names[i]))
        line = 2.0 * float(pulleys.pitch[i]) - here if added is None or pulleys.flat[i] else added
        stays = pulleys.flat[i] or (i != pulleys.driver and not alike(pulleys))
        bore = HUB * _shaft_under(failing, stage, pulleys, i)
        fits = (s for s in listed if s + line >= least * (1 - 1e-9) and bore <= s <= LARGEST)
        mine = [here] if stays else [here, *fits]
        near = {round(s, 6): s for s in mine}
        choice.append([(s, s + line, abs(s - here) > 1e-6 and not _there(s, have)) for s in near.values()])
    for a in choice[0]:
        for b in choice[1]:
            yield Pair(a[0], b[0], a[1], b[1], a[2] + b[2])


def _shaft_under(failing: Failing, stage: str, pulleys: Pulleys, i: int) -> float:
    """Return the diameter of the shaft that a pulley sits on, m; 0 where it is not known."""
    reader = failing.reader
    shaft = reader.get(f"stage[{stage}].from") if i == pulleys.driver else pulleys.shafts[i]
    if shaft == "engine":
        return reader.si("engine.shaft_diameter", 0.0)
    return reader.si(f"shaft[{shaft}].diameter", 0.0) if shaft in reader.names("shaft") else 0.0


def alike(pulleys: Pulleys) -> bool:
    """Tell whether the driven pulleys of a belt are all of one size; one alone is."""
    sizes = pulleys.pitch[list(pulleys.works)]
    return bool(np.allclose(sizes, sizes[0], rtol=1e-9, atol=0.0))


def _there(size: float, have: tuple[float, ...]) -> bool:
    return any(abs(size - one) < 1e-6 for one in have)


def sized(failing: Failing, stage: str, pulleys: Pulleys, pair: Pair) -> tuple[dict[str, str], str]:
    """Return the changes that fit a pair of pulleys, and the orders in words; both empty where nothing changes."""
    changes, words = {}, []
    driven = pulleys.works if alike(pulleys) else (pulleys.driven,)
    system = _one_unit(failing.build.system, (pair.driver, pair.driven))
    for i, size in ((pulleys.driver, pair.driver), *((k, pair.driven) for k in driven)):
        key, name = pulley_key(stage, pulleys.names[i]), pulleys.names[i]
        if abs(size - failing.reader.si(key)) < 1e-6:
            continue
        changes[key] = text = write_nominal(size, system)
        line = failing.reader.get(f"stage[{stage}].pulley[{name}].measured_as")
        have = ", which is on hand" if _there(size, on_hand(failing, stage)) else ""
        words.append(f"fit {named('pulley', name)} of {text} {line} diameter{have}")
    return changes, orders(*words)


def _one_unit(system: str, sizes: tuple[float, ...]) -> str:
    """Return the system in which all sizes are written in one unit: the build's own, or else the other that does it."""
    for one in (system, "metric" if system == "inch" else "inch"):
        if len({write_nominal(size, one).split()[-1] for size in sizes}) == 1:
            return one
    return system


def beside(pulleys: Pulleys, stage: str, belts: int, now: int) -> tuple[dict[str, str], str]:
    """Return the changes for so many belts side by side where there are ``now``, and the order in words.

    With belts added, a flat pulley with power is grooved where they run on it with their bottom; one on their back
    stays flat.
    """
    changes = {f"stage[{stage}].belts": str(belts)}
    if belts < now:
        return changes, f"use {belts} belt{'s' if belts > 1 else ''}"
    flat = [i for i in pulleys.powered if pulleys.flat[i]]
    turned = [pulleys.names[i] for i in flat if pulleys.inside[i]]
    wide = [named("pulley", pulleys.names[i]) for i in flat if not pulleys.inside[i]]
    words = f"use {belts} belts side by side, on pulleys with a groove for each"
    words += f", {' and '.join(named('pulley', name) for name in turned)} among them" if turned else ""
    words += f", with {' and '.join(wide)} wide enough for all" if wide else ""
    return changes | {f"stage[{stage}].pulley[{name}].surface": "groove" for name in turned}, words


def with_belt(failing: Failing, stage: str, changes: Mapping[str, str]) -> tuple[dict[str, str], str]:
    """Return the changes with the belt that then fits, and the order in words; as they are where no belt is named.

    Where the belt that is named still fits, or none that is sold fits, nothing is added.
    """
    at, changes = f"stage[{stage}]", dict(changes)
    named = failing.build.get(f"{at}.marked") is not None or failing.build.get(f"{at}.length") is not None
    try:
        new = applied(failing.build, changes)
    except (BuildProblems, NoSuchKey):
        return changes, ""
    found = work_up(new, ("layout",), scope=Scope(Detail.NO_TABLES)).chapters["layout"].data or {}
    layout = found.get(stage)
    if not named or layout is None or layout.belt is None or layout.path.reason != 0:
        return changes, ""
    same_section = f"{at}.section" not in changes
    if same_section and layout.chosen is not None and layout.chosen.fits:
        return changes, ""
    there = [s for s in layout.stock if s.designation.startswith(layout.belt.name) and s.known != "measured"]
    fitting = sorted((s for s in there if s.fits and not s.gap <= 0), key=lambda s: abs(s.over))
    by_centres = failing.build.get(f"{at}.centres") is not None
    if not fitting and by_centres:
        fitting = sorted((s for s in there if np.isfinite(s.centres)), key=lambda s: abs(s.over))
    if not fitting:
        return changes, ""
    return _bought(failing, at, changes, fitting[0], by_centres=by_centres)


def marked_on(failing: Failing, stage: str, name: str) -> dict[str, str]:
    """Return the changes that put a belt of a marking on a stage, without what was measured of the one before.

    Where the marking alone does not say which line its number is measured on, the datum line is said with it: by it
    such belts are sold.
    """
    at = f"stage[{stage}]"
    changes = {f"{at}.marked": name}
    changes |= {f"{at}.{k}": "" for k in ("length", "length_is") if failing.build.get(f"{at}.{k}") is not None}
    try:
        belts.marked(name, line=None, system=standard_of(failing.reader, at))
    except belts.SectionError:
        changes[f"{at}.length_is"] = "datum"
    return changes


def _bought(
    failing: Failing, at: str, changes: dict[str, str], belt, *, by_centres: bool
) -> tuple[dict[str, str], str]:
    """Return the changes with a belt in them, and the order in words."""
    words = f"use a belt {belt.designation}"
    changes |= marked_on(failing, at.partition("[")[2][:-1], belt.designation)
    if by_centres and np.isfinite(belt.centres):
        text = failing.up(belt.centres, "length", *CENTRES_STEP)
        if abs(read(text, "length").si - failing.reader.si(f"{at}.centres")) > 1e-6:
            changes[f"{at}.centres"], words = text, orders(words, f"set the centres to {text}")
    return changes, words


__all__ = [
    "COGGED",
    "DOUBLE",
    "Pair",
    "SAME_RATIO",
    "alike",
    "beside",
    "marked_on",
    "on_hand",
    "pairs",
    "pulley_key",
    "sized",
    "sold",
    "with_belt",
]

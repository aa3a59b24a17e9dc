"""A second opinion on each shaft: the older published code, largest shear stress with shock factors, beside Goodman."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.chapters.shafts.data import SectionState, ShaftState
from jackshaft.mechanics import shaft_rules
from jackshaft.results.checks import Table
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import BOTH

#: How the table calls the load that a build calls so. Between minor and heavy shock the two bands meet.
KINDS = {
    "uniform": ("steady", "steady"),
    "light shock": ("minor shock", "minor shock"),
    "medium shock": ("minor shock", "heavy shock"),
    "heavy shock": ("heavy shock", "heavy shock"),
}
SLOTTED = ("end-milled keyseat", "sled-runner keyseat", "spline root")
SAME = 0.03  # the two agree within so much
ALLOWED = "the lower of 0.30 of yield and 0.18 of tensile strength, a quarter less with a keyseat"


class Opinion(NamedTuple):
    """What the older code says of one place: factors on moment and torque, allowed shear, Pa, diameter it asks, m."""

    section: SectionState
    factors: tuple[float, float]
    allowed: float
    diameter: float


def factors_of(reader: Reader) -> tuple[tuple[float, float], str]:
    """Return the code's factors on moment and torque for a turning shaft, and how rough the load is in words.

    The middle of the band; between minor and heavy shock the value where the two bands meet.
    """
    load = reader.get("work.load_class") or "uniform"
    rows = {r["load"]: r for r in tables.table("shaft_shock_factors").where(shaft="rotating").rows}
    low, high = (rows[k] for k in KINDS[load])
    ends = ("low", "high") if low is high else ("high", "low")
    return tuple((low[f"{k}_{ends[0]}"] + high[f"{k}_{ends[1]}"]) / 2 for k in ("bending", "torsion")), load


def opinions(reader: Reader, state: ShaftState) -> tuple[Opinion, ...]:
    """Return what the older code says of every place of a shaft, the one that asks most first."""
    factors, _ = factors_of(reader)
    found = []
    for s in state.sections:
        size, allowed = shaft_rules.code_diameter_si(
            s.moment,
            s.torque,
            tensile=state.steel.tensile,
            yield_stress=state.steel.yield_stress,
            moment_shock=factors[0],
            torque_shock=factors[1],
            keyseat=s.feature in SLOTTED,
            bore_ratio=s.bore / s.diameter,
        )
        found.append(Opinion(s, factors, allowed, size))
    return tuple(sorted(found, key=lambda o: -round(o.diameter, 7)))


def fact(draft: Draft, reader: Reader, state: ShaftState, needed: float | None) -> None:
    """Add what the older code asks at its hardest place, and why that is not what Goodman asks."""
    most = opinions(reader, state)[0]
    if not most.diameter > 0:
        return
    draft.fact(
        f"{state.name}: diameter by the older shaft code",
        reader.number(most.diameter, "length", form=BOTH),
        f"at {most.section.name}; {why(reader, most, needed)}",
    )
    draft.cite("asme-b17c", "khurmi-design")


def why(reader: Reader, most: Opinion, needed: float | None) -> str:
    """Say in one line which of the two asks for more, and why."""
    if needed is None:
        return "Goodman finds no diameter to compare with it"
    goodman = f"Goodman asks for {reader.show(needed, 'length')}"
    if abs(most.diameter - needed) <= SAME * needed:
        return f"{goodman}: the two agree"
    if most.diameter > needed:
        return (
            f"{goodman}, which is less. The older code allows one low stress for every surface and notch, and takes "
            f"{most.factors[0]:g} times the moment and {most.factors[1]:g} times the torque at work for shock"
        )
    return (
        f"{goodman}, which is more. Goodman counts the notch ({most.section.feature}) in full and takes the hardest "
        "case; the older code allows a quarter less for a keyseat and nothing less for other notches"
    )


def sheet(reader: Reader, found: Mapping[str, ShaftState]) -> Table:
    """Return the older code's opinion on every weak place."""
    rows = []
    (bending, torsion), load = factors_of(reader)
    for state in found.values():
        for o in sorted(opinions(reader, state), key=lambda o: round(o.section.at, 7)):
            safe = (o.section.diameter / o.diameter) ** 3 if o.diameter > 0 else np.inf
            rows.append(
                (
                    state.name,
                    o.section.name,
                    o.section.feature,
                    reader.number(o.allowed, "stress"),
                    reader.number(o.diameter, "length") if o.diameter > 0 else "no load",
                    reader.number(o.section.diameter, "length"),
                    *(
                        reader.number(x, "number", decimals=2) if np.isfinite(x) else ""
                        for x in (safe, o.section.hardest.fatigue)
                    ),
                )
            )
    kind = f"'{load}'" if reader.get("work.load_class") else "not written down, so taken as steady"
    return Table(
        "Second opinion: the older shaft code",
        ("shaft", "place", "what", "shear allowed", "asks for", "is", "room by it", "Goodman safety"),
        tuple(rows),
        f"The shear stress of {bending:g} times the moment and {torsion:g} times the torque at work (load {kind}), "
        f"against {ALLOWED}. A room of 1.00 just passes: the code's safety is in its stress. The factors are from "
        "memory.",
        aside=True,
    )

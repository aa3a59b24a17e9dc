"""Tables of the shafts chapter: every weak place, and the stress by the torque alone beside the next sizes of bar."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from jackshaft.chapters.bearings.shown import along
from jackshaft.chapters.shafts.crank import Crank
from jackshaft.chapters.shafts.data import ShaftState
from jackshaft.chapters.shafts.sections import RELIABILITY
from jackshaft.mechanics import shaft_rules, shaft_strength
from jackshaft.mechanics import shafts as beam
from jackshaft.parts.shaft_cases import at_case
from jackshaft.results.checks import Table
from jackshaft.results.findings import Findings
from jackshaft.results.reader import Reader
from jackshaft.results.values import SLOPE


def torsion_of(done: Mapping[str, Findings], name: str) -> tuple[float | None, float | None]:
    """Return the torque at work and at the peak of a shaft, N·m, None where not known."""
    ratio = done["ratio"].data
    state = ratio.shaft(name) if ratio is not None else None
    return (None, None) if state is None else (state.torque, state.peak_torque)


def torsion(reader: Reader, done: Mapping[str, Findings], names) -> Table:
    """Return the table of shear stress by the torque alone."""
    rows = []
    for name in names:
        torque, _ = torsion_of(done, name)
        size = reader.si(f"shaft[{name}].diameter")
        if torque is None or size is None:
            continue
        stock = shaft_rules.INCH_STOCK if reader.system == "inch" else shaft_rules.METRIC_STOCK
        unit, _ = along(reader.system)
        others = [s * unit for s in stock if abs(s * unit - size) > 1e-9]
        near = sorted(sorted([size, *others], key=lambda s: (round(abs(s - size), 9), s))[:5])
        rows += [
            (
                name,
                reader.number(s, "length"),
                reader.number(shaft_strength.torsion_stress.si(torque, s), "stress"),
                "as it is" if abs(s - size) < 1e-6 else "",
            )
            for s in near
        ]
    return Table(
        "Shear stress by the torque alone",
        ("shaft", "diameter", "stress at work", ""),
        tuple(rows),
        "For a plain bar; bending, keyseats and welds come on top. Stress falls with the cube of the diameter.",
    )


def sections(reader: Reader, found: Mapping[str, ShaftState]) -> Table:
    """Return the table of every place that something weakens."""
    rows = []
    for state in found.values():
        for s in sorted(state.sections, key=lambda s: round(s.at, 7)):
            place = beam.section_si(state.work, s.at)
            rows.append(
                (
                    state.name,
                    s.name,
                    reader.number(s.at, "length"),
                    s.feature,
                    reader.number(s.moment, "torque"),
                    reader.number(s.torque, "torque"),
                    *(
                        reader.number(x, "number", words, decimals=2) if np.isfinite(x) else "no load"
                        for x, words in ((s.fatigue, "{}"), (s.hardest.fatigue, f"{{}} {at_case(s.hardest.case)}"))
                    ),
                    reader.number(place.deflection, "length", by="thou"),
                    reader.number(place.slope, "angle", form=SLOPE),
                )
            )
    return Table(
        "Every place that something weakens",
        ("shaft", "place", "at", "what", "bending", "torque", "fatigue at work", "hardest case", "moves", "slope"),
        tuple(rows),
        "A hub whose joint is not written down is taken as keyed, each bearing as a press-fit edge. In overrun, "
        "and where a clutch's brake stops the work, the torque is taken to reverse again and again, which is on the "
        "safe side. A pull without a stage grows with the "
        f"load and is never taken as less than it is written down. {RELIABILITY} % of such shafts reach the safety.",
    )


def outboard(reader: Reader, crank: Crank | None) -> Iterator[Table]:
    """Yield the table of what an outboard bearing leaves on the crank; without one first."""
    if crank is None or not crank.outboard:
        return
    size = reader.si("engine.shaft_diameter")

    def row(what, left, carried, bending):
        share = "" if crank.limit is None else reader.number(left / crank.limit, "number", decimals=2)
        stress = "" if size is None else reader.number(shaft_strength.bending_stress.si(bending, size), "stress")
        return what, reader.number(left, "force"), share, carried, reader.number(bending, "torque"), stress

    rows = [row("none", crank.most, "", crank.most * crank.arm)]
    rows += [
        row(reader.number(o.reach, "length"), o.left, reader.number(o.carried, "force"), o.bending)
        for o in crank.outboard
    ]
    yield Table(
        "An outboard bearing for the crank",
        (
            "from the engine's bearing",
            "on the crank",
            "of the limit",
            "on the outboard bearing",
            "most bending",
            "stress by it",
        ),
        tuple(rows),
        f"The pull {crank.case} is {reader.show(crank.most, 'force')}, {reader.show(crank.arm, 'length')} from the "
        "engine's bearing, which is taken as a hinge. Both bearings must be in line within a few thousandths "
        "of an inch. Where they cannot be, a jackshaft behind a coupling is the better way.",
        aside=True,
    )

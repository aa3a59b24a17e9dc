"""The tables of the clutch circuit: voltages to expect, each part of the line, and the formulas filled in."""

from __future__ import annotations

from jackshaft.chapters.electric.data import ElectricData
from jackshaft.chapters.electric.words import voltage
from jackshaft.results.checks import Table
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import ALPHA20, T20, copper_resistivity


def sheets(draft: Draft, reader: Reader, data: ElectricData) -> None:
    """Put the tables of the circuit before those of its parts."""
    line, steps = data.line, data.steps
    names = [s[0] for s in line.states]
    rows = [
        (joint, *(voltage(reader, float(v)) for v in each))
        for joint, each in zip(steps.joints, steps.volts, strict=True)
    ]
    draft.tables.insert(
        0,
        Table(
            "Expected voltage at each test point",
            ("black lead on battery −, red lead on", *names),
            tuple(rows),
            "Read with the clutch engaged. A joint that reads lower than this on the way out, or higher on the way "
            "back, has more resistance than this build allows for.",
        ),
    )
    i = data.cold
    ohms = [*(p.ohm for p in line.parts_out), line.states[i][2], *(p.ohm for p in line.parts_back)]
    rows = [
        (
            part,
            reader.number(ohm, "resistance"),
            reader.number(steps.amps[k][i], "current"),
            voltage(reader, float(steps.drops[k][i])),
            *(reader.number(w, "power", f"{float(w):.3g} W") for w in steps.watts[k]),
        )
        for k, (part, ohm) in enumerate(zip(steps.parts, ohms, strict=True))
    ]
    draft.tables.insert(
        1,
        Table(
            f"Each part of the line, {names[i]}",
            ("part", "resistance", "current", "drop", *(f"heat {n}" for n in names)),
            tuple(rows),
            "Resistance of the coil, current and drop for the state in the title; heat in every state.",
        ),
    )
    draft.tables.insert(2, _formulas(reader, data, i))


def _formulas(reader: Reader, data: ElectricData, i: int) -> Table:
    line, steps = data.line, data.steps
    supply, amps = line.states[i][1], float(steps.coil_amps[i])
    copper = copper_resistivity()
    rows = (
        (
            "wire",
            "ρ/A × length, there and back",
            f"{copper / line.size.area:.4g} Ω/m × {line.loop:.4g} m",
            reader.number(line.wire_ohm, "resistance"),
            f"{1e6 * copper:.5f} Ω·mm²/m at {reader.show(T20, 'temperature', decimals=0)}, from memory",
        ),
        (
            "coil hot",
            f"R × (1 + {ALPHA20:.5f} × rise)",
            f"{line.r20:.3g} × (1 + {line.rise:.3g}/{1.0 / ALPHA20:.1f})",
            reader.number(line.hot, "resistance"),
            "234.5 rule of copper",
        ),
        (
            f"coil current, {line.states[i][0]}",
            "U / (R coil + R line)",
            f"{supply:.4g} / ({line.states[i][2]:.3g} + {line.line_ohm:.3g})"
            + (" and the other loads" if line.taps else ""),
            reader.number(amps, "current"),
            "Ohm's law",
        ),
        (
            "voltage at the coil",
            "I × R coil",
            f"{amps:.4g} × {line.states[i][2]:.3g}",
            reader.number(steps.coil_volts[i], "voltage"),
            "Ohm's law",
        ),
    )
    return Table(
        "The formulas with the numbers put in",
        ("what", "formula", "numbers", "result", "source"),
        rows,
        "Higher voltage means more current, not less: to direct current a coil is a resistance.",
        aside=True,
    )


__all__ = ["sheets"]

"""Candidates side by side: what differs, and which is better."""

from __future__ import annotations

import math
from dataclasses import dataclass

from jackshaft import units
from jackshaft.results import label
from jackshaft.results.checks import SYMBOLS, worst
from jackshaft.ui.model import NOT_KNOWN, Compared, Control, Reading, in_both
from jackshaft.ui.state import PanelState

BETTER = "better"
PRESENT = "present"


@dataclass(frozen=True)
class Row:
    """One line of the comparison: label, a text a column, and which columns are better."""

    label: str
    cells: tuple[str, ...]
    better: tuple[bool, ...]


@dataclass(frozen=True)
class Comparison:
    """The present design and the candidates: one heading a column, then the rows that differ.

    ``names`` are those of the candidates that are kept with the build, empty for the others.
    """

    heads: tuple[str, ...]
    rows: tuple[Row, ...]
    names: tuple[str, ...]


def value_text(control: Control, reading: Reading | None, system: str) -> str:
    """Return a control's value the way a table shows it.

    Parameters
    ----------
    control : Control
        The control.
    reading : Reading or None
        What it holds.
    system : str
        inch or metric.
    """
    if reading is None or reading.value is None:
        return NOT_KNOWN
    value = reading.value
    if isinstance(value, units.Measure):
        return in_both(value.si, control.kind, system)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return next((shown for shown, meant in control.options if meant == value), str(value))


def compare(state: PanelState) -> Comparison | None:
    """Lay the present design and the candidates side by side; None when nothing is pinned.

    Inputs and verdicts are listed where they differ, compared figures always.

    Parameters
    ----------
    state : PanelState
        The panel's state.
    """
    if not state.pins or state.outcome is None:
        return None
    readings = [state.shown_readings, *(p.readings for p in state.pins)]
    outcomes = [state.outcome, *(p.outcome for p in state.pins)]
    rows = []
    for id, control in state.controls.items():
        cells = tuple(value_text(control, r.get(id), state.system) for r in readings)
        if len(set(cells)) > 1:
            rows.append(Row(control.label, cells, (False,) * len(cells)))
    for key in dict.fromkeys(key for also in (state.also, *(p.also for p in state.pins)) for key in also):
        cells = state.also_cells(key)
        rows.append(Row(label(key), cells, (False,) * len(cells)))
    verdicts = tuple(f"{SYMBOLS[v]} {v}" for v in (worst(o.checks) for o in outcomes))
    if len(set(verdicts)) > 1:
        rows.append(Row("verdict", verdicts, (False,) * len(verdicts)))
    for what in dict.fromkeys(what for o in outcomes for what in o.compare):
        found = [o.compare.get(what) for o in outcomes]
        cells = tuple(c.text if c else "–" for c in found)
        rows.append(Row(what, cells, _better(found)))
    return Comparison((PRESENT, *(p.letter for p in state.pins)), tuple(rows), ("", *(p.name for p in state.pins)))


def _better(found: list[Compared | None]) -> tuple[bool, ...]:
    """Mark the best; nothing where all are level or where neither way is better."""
    numbers = [c.number for c in found if c is not None and math.isfinite(c.number)]
    way = next((c.better for c in found if c is not None), "")
    if way not in ("lower", "higher") or len(numbers) < 2 or min(numbers) == max(numbers):
        return (False,) * len(found)
    best = min(numbers) if way == "lower" else max(numbers)
    return tuple(c is not None and c.number == best for c in found)

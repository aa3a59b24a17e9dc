"""What matters most: how far one step of each control moves the check that is worst."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from jackshaft.render.parts import by_weight
from jackshaft.results.checks import GO, Check, Table
from jackshaft.results.values import Number
from jackshaft.ui.model import Control, FieldError, Outcome, take
from jackshaft.ui.scale import Scale
from jackshaft.ui.state import PanelState

HEADS = ("control", "a step down", "this check then", "a step up", "this check then ")


@dataclass(frozen=True)
class _Step:
    """A control one step away: the text that it then holds, and what comes of it."""

    text: str
    outcome: Outcome

    def check(self, id: str) -> Check | None:
        return next((c for c in self.outcome.checks if c.id == id), None)


def what_matters(state: PanelState) -> Table | None:
    """Return the controls with what one step either way does to the worst check, the strongest first.

    The check is the worst one that any control moves; of those that are equally bad, the one nearest to its limit.
    None where there is no such check.
    """
    if state.outcome is None or not state.fresh:
        return None
    steps = {c.label: [_step(state, c, by) for by in (-1, 1)] for c in state.controls.values() if c.has_slider}
    numbers = [c for c in state.outcome_with({}).checks if isinstance(c.found, Number)]
    for check in by_weight(sorted(numbers, key=_room)):
        rows = [(max(_moved(check, s) for s in pair), label, pair) for label, pair in steps.items()]
        rows = sorted((r for r in rows if r[0] > 0.0), key=lambda row: -row[0])
        if rows:
            return Table(
                f"What matters most for: {check.name} ({check.value} now)",
                HEADS,
                tuple((label, *(cell for s in pair for cell in _cells(check, s))) for _, label, pair in rows),
                "One step is what the slider moves by. Every other field stays as it is. "
                "All is judged at the values as they stand.",
            )
    return None


def _room(check: Check) -> float:
    """Return how far a check is from its limit, as a share of it; inf where the limit is no number."""
    if not isinstance(check.wanted, Number) or not check.wanted.si:
        return inf
    return abs(check.found.si / check.wanted.si - 1.0)


def _step(state: PanelState, control: Control, by: int) -> _Step | None:
    """Return what comes of a control one step off; None where its value is not known or there is no such design."""
    reading = state.readings.get(control.id)
    if reading is None or reading.value is None:
        return None
    scale = Scale(control, state.system)
    position = scale.nearest(reading.value) + by
    if not 0 <= position <= scale.count:
        return None
    text = scale.text_at(position)
    try:
        return _Step(text, state.outcome_with({control.id: take(control, text, state.system)}))
    except (FieldError, ValueError):
        return None


def _moved(check: Check, step: _Step | None) -> float:
    """Return how far a step moves a check, as a share; inf where it changes the verdict."""
    after = None if step is None else step.check(check.id)
    if after is None or not isinstance(after.found, Number):
        return 0.0
    if after.verdict != check.verdict:
        return inf
    size = max(abs(check.found.si), abs(after.found.si))
    share = abs(after.found.si - check.found.si) / size if size else 0.0
    return share if after.value != check.value else 0.0


def _cells(check: Check, step: _Step | None) -> tuple[str, str]:
    if step is None:
        return "", ""
    after = step.check(check.id)
    if after is None:
        return step.text, "not judged"
    return step.text, after.value if after.verdict == GO else f"{after.value}, {after.verdict}"


__all__ = ["what_matters"]

"""The diameter of bar that a place of a shaft needs."""

from __future__ import annotations

from jackshaft.chapters.shafts.data import SectionState, ShaftState
from jackshaft.chapters.shafts.sections import FEATURES, RELIABILITY
from jackshaft.mechanics import shaft_strength, stress_raisers
from jackshaft.units import OutOfRange

#: Safety wanted on fatigue and yielding: common practice, no source.
WANTED = 1.5


def needed_at(state: ShaftState, place: SectionState) -> float | None:
    """Return the bar's diameter, m, that holds at a place in every case; None where none up to a metre does."""
    sizes = [_needed(state, place, case.duty) for case in place.cases]
    # a spline or a mended seat leaves less than the bar's diameter: the bar must be as much thicker
    return None if any(s is None for s in sizes) else max(sizes) * place.shaft / place.diameter


def _needed(state: ShaftState, place: SectionState, duty) -> float | None:
    try:
        return shaft_strength.diameter_needed.si(
            duty,
            WANTED,
            tensile=state.steel.tensile,
            yield_stress=state.steel.yield_stress,
            finish=place.finish,
            reliability=RELIABILITY,
            raiser=stress_raisers.raiser(FEATURES[place.feature]),
        )
    except OutOfRange:
        return None

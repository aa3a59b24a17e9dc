"""The diameter of bar that a place of a shaft needs."""

from __future__ import annotations

from jackshaft import tables
from jackshaft.chapters.shafts.data import SectionState, ShaftState
from jackshaft.chapters.shafts.sections import FEATURES, RELIABILITY
from jackshaft.mechanics import shaft_strength, stress_raisers
from jackshaft.parts.seldom import HOLDS
from jackshaft.units import OutOfRange

#: Safety wanted on fatigue and yielding: common practice, no source.
WANTED = 1.5


def needed_at(state: ShaftState, place: SectionState) -> float | None:
    """Return the bar's diameter, m, that holds at a place; None where none up to a metre does.

    In the cases that come often it holds against fatigue and yielding, in the others against yielding.
    """
    steel, rest = state.steel, (place.finish, place.feature)
    sizes = [_needed(case.duty, steel.tensile, steel.yield_stress, *rest) for case in place.often]
    sizes += [_just_yields(state, place, case.duty) for case in place.seldom]
    # a spline or a mended seat leaves less than the bar's diameter: the bar must be as much thicker
    return None if any(s is None for s in sizes) else max(sizes) * place.shaft / place.diameter


@tables.once
def _needed(duty: shaft_strength.Duty, tensile: float, yield_stress: float, finish: str, feature: str) -> float | None:
    try:
        return shaft_strength.diameter_needed.si(
            duty,
            WANTED,
            tensile=tensile,
            yield_stress=yield_stress,
            finish=finish,
            reliability=RELIABILITY,
            raiser=stress_raisers.raiser(FEATURES[feature]),
        )
    except OutOfRange:
        return None


def _just_yields(state: ShaftState, place: SectionState, duty) -> float:
    """Return the diameter that just holds against yielding; the stress falls with its cube."""
    safety = shaft_strength.strength.si(
        duty,
        1.0,
        endurance=state.steel.tensile,  # no part of yielding
        tensile=state.steel.tensile,
        yield_stress=state.steel.yield_stress,
        raiser=stress_raisers.raiser(FEATURES[place.feature]),
    ).yielding
    return float((HOLDS / safety) ** (1.0 / 3.0))

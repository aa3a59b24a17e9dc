"""One shaft alone at its peak or at work, where a belt drives several: the others then press the belt on less."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jackshaft.chapters.grip.cases import Case, Load, LoadedLoop, solve_cases
from jackshaft.results.checks import reaches
from jackshaft.units import first_least

PEAK = "peak"


def peaks_alone(loop: LoadedLoop, peak: Case | None) -> dict[int, Case]:
    """Return the load cases with one driven pulley at its peak and the others at work, by pulley.

    None where the belt drives one shaft, or the peak is not known. A load of the others between a pulley and the held
    strand makes its slack strand tighter, so what holds all peaks together need not hold one.
    """
    return {} if peak is None else _each(loop, peak.pulls, 1.0)


def work_alone(loop: LoadedLoop) -> dict[int, Case]:
    """Return the load cases with one driven pulley at work and the others idle, by pulley; none of only one."""
    return _each(loop, loop.pulls, 0.0)


def _each(loop: LoadedLoop, hard: np.ndarray, others: float) -> dict[int, Case]:
    """Return the cases with one pulley at its pull in ``hard``, N, and the others at a share of their work."""
    p, loads = loop.layout.pulleys, {}
    if not p.several:
        return {}
    for i in p.works:
        pulls = others * loop.pulls
        pulls[i] = hard[i]
        pulls[p.driver] -= pulls.sum()
        loads[p.names[i]] = Load(None, pulls, loop.centrifugal)
    return dict(zip(p.works, solve_cases(loop, loads), strict=True))


def weakest(cases: Mapping[int, Case]) -> int | None:
    """Return the pulley whose case slips first at the bad end; None where each holds, or there is none."""
    weak = [i for i, c in cases.items() if not reaches(c.least_bad, 1.0)]
    return weak[first_least([cases[i].least_bad for i in weak])] if weak else None


def with_alone(loop: LoadedLoop, peak: Case | None) -> Case | None:
    """Return the peak with the tension that it needs, and that each peak alone does too."""
    alone = peaks_alone(loop, peak).values()
    if not alone:
        return peak
    return peak._replace(
        needed=max(peak.needed, *(c.needed for c in alone)),
        needed_bad=max(peak.needed_bad, *(c.needed_bad for c in alone)),
    )


__all__ = ["PEAK", "peaks_alone", "weakest", "with_alone", "work_alone"]

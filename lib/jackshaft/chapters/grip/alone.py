"""The peak of one shaft alone, where a belt drives several: the others then press the belt on less."""

from __future__ import annotations

from jackshaft.chapters.grip.cases import Case, Load, LoadedLoop, solve_cases

PEAK = "peak"


def peaks_alone(loop: LoadedLoop, peak: Case | None) -> dict[int, Case]:
    """Return the load cases with one driven pulley at its peak and the others at work, by pulley.

    None where the belt drives one shaft, or the peak is not known. A load of the others between a pulley and the held
    strand makes its slack strand tighter, so what holds all peaks together need not hold one.
    """
    p = loop.layout.pulleys
    if peak is None or not p.several:
        return {}
    loads = {}
    for i in p.works:
        pulls = loop.pulls.copy()
        pulls[i] = peak.pulls[i]
        pulls[p.driver] -= pulls.sum()
        loads[p.names[i]] = Load(None, pulls, loop.centrifugal)
    return dict(zip(p.works, solve_cases(loop, loads), strict=True))


def with_alone(loop: LoadedLoop, peak: Case | None) -> Case | None:
    """Return the peak with the tension that it needs, and that each peak alone does too."""
    alone = peaks_alone(loop, peak).values()
    if not alone:
        return peak
    return peak._replace(
        needed=max(peak.needed, *(c.needed for c in alone)),
        needed_bad=max(peak.needed_bad, *(c.needed_bad for c in alone)),
    )


__all__ = ["PEAK", "peaks_alone", "with_alone"]

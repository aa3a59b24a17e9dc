"""Tension and grip: strand tensions, the pulley that slips first, and the pull on every shaft."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jackshaft.chapters.grip import CHAPTER, checks, idler_table, tables, tension, uncertainty
from jackshaft.chapters.grip.alone import PEAK, with_alone
from jackshaft.chapters.grip.cases import Case, LoadedLoop, hubs_of, load_cases, loaded_loop
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.grip.facts import facts, why_one_pulls_harder
from jackshaft.chapters.grip.more_cases import FULL, held_shafts, more_cases
from jackshaft.chapters.layout.analysis import StageLayout
from jackshaft.chapters.layout.data import pathless
from jackshaft.chapters.ratio.data import RatioData
from jackshaft.mechanics import grip as mech
from jackshaft.parts.words import made_safe
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.units import first_least

#: Loads that a tension must hold; a clutch may slip a belt for a moment, and a jam is meant to.
MUST_HOLD = ("start", "work", PEAK, FULL)


def work_up(reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Work up tension and grip of every belt stage of a build; without tables or draws where a panel is in a hurry."""
    draft = Draft(CHAPTER)
    layouts: dict[str, StageLayout] = done["layout"].data or {}
    if not layouts and not done["layout"].checks:
        return draft.done(reader, done["layout"].state, done["layout"].words, uses=[done["layout"]])
    found: dict[str, StageGrip] = {}
    for name, layout in layouts.items():
        if not scope.has(name) or layout.path.reason != 0:
            continue
        with draft.attempt(reader, f"grip.margin[{name}]", f"{name}: grip at work"):
            stage = solve(reader, layout, done["ratio"].data, layouts, draws=scope.detail.draws)
            facts(draft, reader, layout, stage)
            checks.judge(draft, reader, layout, stage)
            if scope.detail.tables:
                draft.tables += tables.tables_of(reader, layout, stage)
                idler_table.add_to(draft, reader, layout, stage)
            found[name] = stage
    why_one_pulls_harder(draft, reader, found)
    draft.waits(done["layout"], "layout.length", "grip.margin", "grip at work", layouts)
    draft.data = found or None
    draft.cite("shigley", "own-derivation", "belt-maintenance")
    if found:
        draft.cautions += [
            "A sprung idler or a tight belt holds energy: block the arm before the belt comes off, and keep fingers "
            "out from between belt and pulley.",
            f"Before you measure tension, {made_safe(reader.get('engine.kind'))}. A belt that is pushed or plucked "
            "while it can turn takes the hand with it.",
        ]
    return draft.done(reader, words=pathless(layouts), uses=[done["ratio"], done["layout"]])


def solve(
    reader: Reader,
    layout: StageLayout,
    ratio: RatioData | None,
    layouts: Mapping[str, StageLayout],
    *,
    draws: bool = True,
) -> StageGrip:
    """Solve one loop; ``layouts`` are those of all, for what the loops before it let through.

    Raises
    ------
    Unknown
        Where its power or speed is not known.
    """
    loop = loaded_loop(reader, layout, ratio)
    standing = held_shafts(reader, loop, ratio)
    cases = load_cases(reader, loop, ratio) + more_cases(reader, loop, ratio, layouts)
    cases += tuple(s.case for s in standing)
    by_name = {c.name: c for c in cases}
    work, peak, known = by_name["work"], by_name.get("peak"), loop.hold is not None
    peak_factor = None if peak is None else peak.factor
    strands = mech.strands_si(loop.pulls)
    level = mech.rest_si(loop.hold_at(loop.loading, loop.centrifugal)) if known else None
    rest = float(level[0]) if known else None
    said = float(mech.rest_si(loop.hold_at(loop.tensions.said, loop.centrifugal))[0]) if known else None
    hold = [with_alone(loop, c) if c.name == PEAK else c for c in cases if c.name in MUST_HOLD]
    need = max(c.needed_bad for c in hold)
    return StageGrip(
        **vars(loop),
        needed=work.needed,
        needed_bad=work.needed_bad,
        margin=work.least if known else None,
        margin_bad=work.least_bad if known else None,
        margin_high=work.least_high if known else None,
        limiting=_limiting(work, loop),
        net=work.net,
        hub=work.hub,
        hub_rest=hubs_of(level, layout) if known else None,
        hub_peak=by_name.get("peak", work).hub,
        strand_role=strands.role,
        tight_idlers=tuple(n for n, tight in zip(layout.pulleys.names, strands.tight_idler, strict=True) if tight),
        peak_factor=peak_factor,
        cases=cases,
        standing=standing,
        rest=rest,
        shares=uncertainty.shares_of(reader, loop, _drawn_peak(loop, peak)) if known and draws else None,
        set=tension.tension_of(reader, loop, (said if known else need) / loop.belts),
    )


def _drawn_peak(loop: LoadedLoop, peak: Case | None) -> float | None:
    """Return the peak factor to draw with; None where none is known, or one pulley peaks harder than another."""
    if peak is None or not np.allclose(peak.pulls, peak.factor * loop.pulls, rtol=1e-9, atol=0.0):
        return None
    return peak.factor


def _limiting(work: Case, loop: LoadedLoop) -> int:
    """Return the pulley that slips first; with no tension known, the one with the least friction times wrap."""
    if work.margin is not None and 0.0 < work.least < np.inf:
        return first_least(work.margin)
    busy = np.abs(work.pulls) > 1e-9 * np.max(np.abs(work.pulls))
    return first_least(np.where(busy, loop.friction.likely * loop.layout.path.wrap, np.inf))


__all__ = ["solve", "work_up"]

"""Tension and grip: strand tensions, the pulley that slips first, and the pull on every shaft."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jackshaft.chapters.grip import CHAPTER, tension, uncertainty
from jackshaft.chapters.grip import checks as grip_checks
from jackshaft.chapters.grip import idler_table as idler_sheet
from jackshaft.chapters.grip import tables as grip_sheets
from jackshaft.chapters.grip.cases import (
    SPRING,
    Case,
    Friction,
    friction_of,
    held_of,
    hold_at,
    hubs_of,
    load_cases,
    way_of,
)
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.grip.facts import say
from jackshaft.chapters.layout.analysis import StageLayout
from jackshaft.chapters.ratio.data import RatioData
from jackshaft.mechanics import grip as mech
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.checks import Check, undecided
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.units import first_least


def work_up(reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Work up tension and grip of every belt stage of a build; without tables or draws where a panel is in a hurry."""
    draft = Draft(CHAPTER)
    layouts: dict[str, StageLayout] = done["layout"].data or {}
    if not layouts:
        return draft.done(reader, done["layout"].state, done["layout"].words, uses=[done["layout"]])
    found: dict[str, StageGrip] = {}
    for name, layout in layouts.items():
        if not scope.has(name):
            continue
        if layout.path.reason != 0:
            continue
        with draft.attempt(reader, f"grip.margin[{name}]", f"{name}: grip at work"):
            stage = solve(draft, reader, layout, done["ratio"].data, draws=scope.detail.draws)
            if stage is None:
                continue
            say(draft, reader, layout, stage)
            grip_checks.judge(draft, reader, layout, stage)
            if scope.detail.tables:
                draft.tables += grip_sheets.tables_of(reader, layout, stage)
                draft.tables += idler_sheet.tables_of(reader, layout, stage)
            found[name] = stage
    draft.data = found
    draft.cite("shigley", "own-derivation", "belt-maintenance")
    if found:
        draft.cautions.append(
            "A sprung idler or a tight belt holds energy: block the arm before the belt comes off, and keep fingers "
            "out from between belt and pulley."
        )
        draft.cautions.append(
            "Measure tension with the engine stopped and its spark or supply taken off; a belt that is pushed or "
            "plucked while it can turn takes the hand with it."
        )
    return draft.done(reader, uses=[done["ratio"], done["layout"]])


def solve(
    draft: Draft, reader: Reader, layout: StageLayout, ratio: RatioData | None, *, draws: bool = True
) -> StageGrip | None:
    """Solve one loop; None, with an undecided check, where its power or speed is not known."""
    at = f"stage[{layout.name}]"
    shaft = ratio.shaft(reader.get(f"{at}.from")) if ratio else None
    if shaft is None or shaft.power is None or not layout.speed:
        draft.checks.append(_no_load(reader, layout.name))
        return None
    p = layout.pulleys
    power = np.zeros(len(p.names))
    power[p.driven] = shaft.power
    pulls = mech.pulls_si(power, layout.speed, p.driver)
    belts = reader.get(f"{at}.belts") or 1
    centrifugal = (layout.belt.mass if layout.belt else 0.0) * belts * layout.speed**2
    friction = friction_of(reader, layout)
    way = way_of(reader, layout)
    held = held_of(reader, layout, belts, way)
    cases = load_cases(reader, layout, pulls, friction, held, way, centrifugal)
    work, peak = cases[[c.name for c in cases].index("work")], next((c for c in cases if c.name == "peak"), None)
    strands = mech.strands_si(pulls)
    known, factor = held is not None, reader.si("work.peak_factor")
    level, rest, shares = None, None, None
    if known:
        level = mech.rest_si(hold_at(layout, held, way, centrifugal))
        rest = float(level[0])
        if draws:
            shares = uncertainty.shares_of(reader, layout, pulls, friction, held, way, belts, factor)
    need = max(c.needed_bad for c in cases if c.name != "overrun")
    each = (rest if known else need) / belts
    return StageGrip(
        layout.name,
        float(np.max(np.abs(pulls))),
        pulls,
        centrifugal,
        held,
        work.needed,
        work.needed_bad,
        way == SPRING,
        work.least if known else None,
        work.least_bad if known else None,
        _limiting(work, layout, friction),
        work.net,
        work.hub,
        hubs_of(level, layout) if known else None,
        (peak or work).hub,
        strands.role,
        tuple(n for n, tight in zip(p.names, strands.tight_idler, strict=True) if tight),
        friction,
        factor,
        belts,
        cases,
        rest,
        shares,
        tension.tension_of(reader, layout, each, known, way, belts),
        way,
    )


def _no_load(reader: Reader, stage: str) -> Check:
    """Return the undecided check of a loop whose power or speed is not known."""
    keys = [k for k in ("work.power", "work.power_at", "engine.work_speed") if reader.get(k) is None]
    reader.note_missing(*keys)
    words = "The power through this stage or its speed is not known yet."
    return undecided(f"grip.margin[{stage}]", f"{stage}: grip", keys or ("work.power",), words)


def _limiting(work: Case, layout: StageLayout, friction: Friction) -> int:
    """Return the pulley that slips first; with no tension known, the one with the least friction times wrap."""
    if work.margin is not None and 0.0 < work.least < np.inf:
        return first_least(work.margin)
    busy = np.abs(work.pulls) > 1e-9 * np.max(np.abs(work.pulls))
    return first_least(np.where(busy, friction.likely * layout.path.wrap, np.inf))


__all__ = ["solve", "work_up"]

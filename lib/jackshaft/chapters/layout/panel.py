"""The belt layout panel: places and sizes of one loop, with length, wraps, clearances and grip."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import lru_cache, partial

import numpy as np

from jackshaft.buildfile import Build
from jackshaft.chapters.layout.figure import LayoutView, picture_of
from jackshaft.drawing.view import view_name
from jackshaft.results import Again, Detail, Results
from jackshaft.ui.base import Panel
from jackshaft.ui.model import Action, Compared, Control, Outcome
from jackshaft.ui.ranges import place_control, size_control
from jackshaft.ui.stages import said_of
from jackshaft.units import show, write


@lru_cache(maxsize=16)
def _workers(stage: str) -> tuple[Again, Again]:
    """What works a stage up: at once while a slider moves, and in full once the hand rests."""
    return Again("grip", stage=stage, detail=Detail.BARE), Again("grip", stage=stage)


def controls(build: Build, stage: str) -> tuple[Control, ...]:
    """Return the controls of one belt stage: tension, then size and place of every pulley."""
    at = f"stage[{stage}]"
    found = list(tension_controls(build, at))
    pulleys = build.names(f"{at}.pulley")
    placed = all(f"{at}.pulley[{p}].{c}" in build.values for p in pulleys for c in "xy")
    if not placed and len(pulleys) == 2:
        found.append(size_control(build, f"{at}.centres", "Centres", "Places"))
    for pulley in pulleys:
        here, line = f"{at}.pulley[{pulley}]", build.get(f"{at}.pulley[{pulley}].measured_as") or "pitch"
        found.append(size_control(build, f"{here}.diameter", f"{pulley} {line} diameter", f"Pulley {pulley}"))
        if placed or len(pulleys) > 2:
            found += [
                place_control(build, f"{here}.{c}", f"{pulley} {words}", f"Pulley {pulley}")
                for c, words in (("x", "to the right"), ("y", "upward"))
            ]
    return tuple(found)


def tension_controls(build: Build, at: str) -> Iterator[Control]:
    """Yield the control of how tight one belt stage is held, where the build says how it is held."""
    kind = build.get(f"{at}.takeup.kind")
    if kind in ("sprung idler", "weighted idler"):
        yield Control(
            f"{at}.takeup.slack_tension",
            "Slack tension held",
            "force",
            low=("2 lbf", "10 N"),
            high=("120 lbf", "500 N"),
            step=("1 lbf", "5 N"),
            group="Tension",
            help="what the idler holds in its strand, all belts together",
        )
    elif kind:
        yield Control(
            f"{at}.takeup.static_tension",
            "Tension at rest",
            "force",
            low=("5 lbf", "20 N"),
            high=("150 lbf", "700 N"),
            step=("1 lbf", "5 N"),
            group="Tension",
            help="each strand of each belt",
        )


def outcome_of(build: Build, whatif: Mapping[str, object], *, stage: str) -> Outcome:
    """Work up one belt stage as a panel shows it: layout and grip together, the draws once the hand rests."""
    at_once, in_full = _workers(stage)
    return replace(_outcome(at_once(build), stage), later=lambda: _outcome(in_full(build), stage))


def _outcome(results: Results, stage: str) -> Outcome:
    facts, checks = said_of(results, ("layout", "grip"), stage)
    return Outcome(tuple(facts), tuple(checks), picture_of(results, stage), _compare(results, stage))


def _compare(results: Results, stage: str) -> dict[str, Compared]:
    system = results.build.system
    layout = (results.chapters["layout"].data or {}).get(stage)
    if layout is None or layout.path.reason != 0:
        return {}
    length, p = float(layout.path.length), layout.pulleys
    compare = {"belt path": Compared(show(length, "length", system), length)}
    for i in (p.driver, p.driven):
        wrap = float(layout.path.wrap[i])
        compare[f"wrap on {p.names[i]}"] = Compared(show(wrap, "angle", system), wrap, "higher")
    if np.isfinite(layout.least_gap):
        compare["least clearance"] = Compared(
            show(layout.least_gap, "length", system, digits=3), layout.least_gap, "higher"
        )
    grip = (results.chapters["grip"].data or {}).get(stage)
    if grip is not None:
        compare["tension needed"] = Compared(show(grip.needed, "force", system), grip.needed, "lower")
        if grip.margin is not None:
            compare["grip, times the work"] = Compared(f"{grip.margin:.2f}", grip.margin, "higher")
            worst = float(np.max(np.hypot(grip.hub[:, 0], grip.hub[:, 1])))
            compare["largest hub load"] = Compared(show(worst, "force", system), worst, "lower")
    return compare


def nearest_belt(build: Build, outcome: Outcome, *, stage: str) -> dict[str, str]:
    """Return the position of the take-up for the belt that is on, else for the nearest one that fits.

    Raises
    ------
    ValueError
        If no belt in the table can be made to fit.
    """
    layout = outcome.picture.layout if outcome.picture else None
    fitting = [s for s in layout.stock if s.fits] if layout else []
    if not fitting:
        raise ValueError("no belt in the table fits within the take-up; move a pulley or give the take-up more travel")
    belt = layout.chosen if layout.chosen in fitting else min(fitting, key=lambda s: abs(s.over))
    at, system = f"stage[{stage}]", build.system
    if np.isfinite(belt.x):
        idler = f"{at}.pulley[{layout.pulleys.names[layout.idler]}]"
        return {f"{idler}.x": write(belt.x, "length", system), f"{idler}.y": write(belt.y, "length", system)}
    if np.isfinite(belt.centres) and not layout.places.given:
        return {f"{at}.centres": write(belt.centres, "length", system)}
    return {}


def panel(build: Build, stage: str | None = None) -> Panel:
    """Return the live panel of one belt stage; the first one when none is named.

    Raises
    ------
    ValueError
        If the build has no belt stage of that name with its pulleys known.
    """
    belts = [n for n in build.names("stage") if build.get(f"stage[{n}].kind") == "belt"]
    if stage is None and belts:
        stage = belts[0]
    if stage not in belts:
        raise ValueError(f"no belt stage is called '{stage}'; there is {', '.join(belts) or 'none'}")
    mine = partial(outcome_of, stage=stage)
    picture = mine(build, {}).picture
    if picture is None:
        raise ValueError(f"sizes or places of the pulleys of '{stage}' are not known yet, so there is nothing to move")
    name = view_name("layout-panel", stage)
    return Panel(
        build,
        title=f"Try the layout: {stage}",
        controls=controls(build, stage),
        outcome_of=mine,
        view=LayoutView(name, picture),
        actions=(
            Action(
                "Set the take-up for the belt",
                partial(nearest_belt, stage=stage),
                "puts the idler or the centres where the belt fits",
            ),
        ),
    )

"""The belt layout panel: places and sizes of one loop, with length, wraps, clearances and grip."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import lru_cache, partial

import numpy as np

from jackshaft.buildfile import Build
from jackshaft.buildfile.naming import named
from jackshaft.chapters.layout import take_up_drag
from jackshaft.chapters.layout.drag import drag_of
from jackshaft.chapters.layout.figure import LayoutView, picture_of
from jackshaft.drawing.view import view_name
from jackshaft.results import Again, Detail, Number, Results
from jackshaft.ui.base import Panel
from jackshaft.ui.ends import shown
from jackshaft.ui.model import Action, Compared, Control, Outcome
from jackshaft.ui.one_part import belt_stage, belt_stages, found_of
from jackshaft.ui.ranges import diameter_control, place_control, size_control
from jackshaft.units import write

ACTION_HELP = "moves the idler, or sets the centres, so that the belt fits"


@lru_cache(maxsize=16)
def _workers(stage: str) -> tuple[Again, Again]:
    """What works a stage up: at once while a slider moves, and in full once the hand rests."""
    return Again("grip", stage=stage, detail=Detail.BARE), Again("grip", stage=stage)


def controls(build: Build, stage: str) -> tuple[Control, ...]:
    """Return the controls of one belt stage: tension, size and place of every pulley, how the take-up moves."""
    at = f"stage[{stage}]"
    found = list(tension_controls(build, stage))
    pulleys = build.names(f"{at}.pulley")
    placed = all(f"{at}.pulley[{p}].{c}" in build.values for p in pulleys for c in "xy")
    if not placed and len(pulleys) == 2:
        found.append(size_control(build, f"{at}.centres", "Centres", "Places"))
    for pulley in pulleys:
        here = f"{at}.pulley[{pulley}]"
        found.append(diameter_control(build, here, pulley, named("Pulley", pulley)))
        if placed or len(pulleys) > 2:
            found += [
                place_control(build, f"{here}.{c}", f"{pulley} {words}", named("Pulley", pulley))
                for c, words in (("x", "to the right"), ("y", "upward"))
            ]
    return (*found, *take_up_drag.controls(build, stage))


def tension_controls(build: Build, stage: str, group: str = "") -> Iterator[Control]:
    """Yield the control of how tight one belt stage is held, where the build says how it is held.

    ``group`` is the heading in a panel of several stages; the label then names the stage.
    """
    kind = build.get(f"stage[{stage}].takeup.kind")
    if not kind:
        return
    key, label, words = "static_tension", "Tension at rest", "each strand of each belt"
    if kind in ("sprung idler", "weighted idler"):
        key, label = "slack_tension", "Slack tension held"
        words = "what the idler holds in its strand, all belts together"
    yield Control(
        f"stage[{stage}].takeup.{key}",
        f"{label}, {stage}" if group else label,
        ("2 to 150 lbf by 1", "10 to 700 N by 5"),
        group=group or "Tension",
        help=words,
    )


def outcome_of(build: Build, whatif: Mapping[str, object], *, stage: str) -> Outcome:
    """Work up one belt stage as a panel shows it: layout and grip together, the draws once the hand rests."""
    at_once, in_full = _workers(stage)
    full = partial(_outcome, stage=stage)
    return replace(_outcome(at_once(build), stage, rest=False), later=lambda: shown(in_full(build), full))


def _outcome(results: Results, stage: str, *, rest: bool = True) -> Outcome:
    facts, checks = found_of(results, ("layout", "grip"), stage)
    return Outcome(facts, checks, picture_of(results, stage, rest=rest), _compare(results, stage))


def _compare(results: Results, stage: str) -> dict[str, Compared]:
    system = results.build.system
    layout = (results.chapters["layout"].data or {}).get(stage)
    if layout is None or layout.path.reason != 0:
        return {}
    length, p = float(layout.path.length), layout.pulleys
    compare = {"belt path": Compared(Number(length, "length", system))}
    for i in p.powered:
        wrap = Number(float(layout.path.wrap[i]), "angle", system)
        compare[f"wrap on {p.names[i]}"] = Compared(wrap, "higher")
    if np.isfinite(layout.least_gap):
        compare["least clearance"] = Compared(Number(layout.least_gap, "length", system, digits=3), "higher")
    return compare | compared_grip((results.chapters["grip"].data or {}).get(stage), system)


def compared_grip(grip, system: str) -> dict[str, Compared]:
    """Return what is compared of what the chapter of grip found of a stage; nothing where it found nothing."""
    if grip is None:
        return {}
    compare = {"tension needed": Compared(Number(grip.needed, "force", system), "lower")}
    if grip.margin is not None:
        hub = float(np.max(np.hypot(*grip.hub.T)))
        compare["grip, times the work"] = Compared(Number(grip.margin, "number", system, decimals=2), "higher")
        compare["largest hub load"] = Compared(Number(hub, "force", system), "lower")
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
        idler = f"{at}.pulley[{layout.pulleys.names[layout.mover]}]"
        return {f"{idler}.x": write(belt.x, "length", system), f"{idler}.y": write(belt.y, "length", system)}
    if np.isfinite(belt.centres) and not layout.places.given:
        return {f"{at}.centres": write(belt.centres, "length", system)}
    return {}


#: What the panel is about one of, and which there are.
PARTS = ("Belt stage", belt_stages)


def panel(build: Build, stage: str | None = None) -> Panel:
    """Return the live panel of one belt stage; the first one when none is named.

    Raises
    ------
    ValueError
        If the build has no belt stage of that name with its pulleys known.
    """
    stage = belt_stage(build, stage)
    mine = partial(outcome_of, stage=stage)
    picture = mine(build, {}).picture
    if picture is None:
        raise ValueError(f"sizes or places of the pulleys of '{stage}' are not known yet, so there is nothing to move")
    name = view_name("layout-panel", stage)
    mine_to_move = controls(build, stage)
    return Panel(
        build,
        title=f"Try the layout: {stage}",
        controls=mine_to_move,
        outcome_of=mine,
        view=LayoutView(name, picture),
        actions=(Action("Set the take-up for the belt", partial(nearest_belt, stage=stage), ACTION_HELP),),
        drag=drag_of(stage, frozenset(c.id for c in mine_to_move)),
    )

"""The clutch panel: supply, heat, gap and engagement speed against what the clutch holds and how long it slips."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from jackshaft.buildfile import Build
from jackshaft.chapters.clutch.figure import ClutchView, picture_of
from jackshaft.chapters.clutch.time_figure import TimeView, engagement_picture
from jackshaft.chapters.clutch.ways_data import CENTRIFUGAL, IDLER
from jackshaft.chapters.electric.controls import coil_controls, compared
from jackshaft.parts.turning import RUN_DOWN
from jackshaft.results import Again, Results, work_up
from jackshaft.ui.base import Panel
from jackshaft.ui.each_shaft import each_shaft, in_common
from jackshaft.ui.ends import shown
from jackshaft.ui.model import Control, Outcome

WORK = Again("clutch")


#: Controls of the clutch itself, and of how it is engaged.
OWN = (
    Control("clutch.static_torque", "Plate torque", ("10 to 200 lbf·ft by 5", "10 to 280 N·m by 5"), group="Clutch"),
    Control("clutch.air_gap", "Air gap", ("0.004 to 0.060 in by 0.002", "0.1 to 1.5 mm by 0.05"), group="Clutch"),
    Control("clutch.engage_speed", "Engagement speed", "800 to 4000 rpm by 50", group="Engagement"),
    Control(
        "work.load_curve",
        "Torque of the work",
        group="Engagement",
        help="while it runs up: an auger takes about the same at every speed, a fan more with the square of speed",
    ),
    Control(
        "clutch.engage_every",
        "Engaged once every",
        "10 to 900 s by 10",
        group="Engagement",
        help="time from one engagement to the next, for hours",
    ),
)
CLOSING = Control(
    "clutch.closing_time",
    "Let in within",
    "0.1 to 5 s by 0.1",
    group="Engagement",
    help="time that hand, foot or throttle takes to full torque",
)
#: Controls of a clutch without a coil, by its kind.
NO_COIL = {
    CENTRIFUGAL: (
        Control("clutch.shoe_mass", "Mass of a shoe", ("1 to 32 oz by 0.5", "20 to 1000 g by 10"), group="Clutch"),
        Control("clutch.shoe_spring", "Springs of a shoe", ("5 to 200 lbf by 1", "20 to 900 N by 5"), group="Clutch"),
        Control("engine.idle_speed", "Idle speed", "600 to 3000 rpm by 50", group="Engagement"),
        CLOSING,
    ),
    IDLER: (
        Control("clutch.hand_force", "Hand force", ("2 to 60 lbf by 1", "10 to 250 N by 5"), group="Lever"),
        Control(
            "clutch.release_travel", "Idler moves back", ("0.5 to 8 in by 0.25", "10 to 200 mm by 5"), group="Lever"
        ),
        Control("clutch.engage_speed", "Engagement speed", "800 to 4000 rpm by 50", group="Engagement"),
        CLOSING,
        OWN[-1],
    ),
}
#: Controls of a centrifugal clutch whose torque is stated at a speed.
BY_TORQUE = (
    Control("clutch.static_torque", "Torque stated", OWN[0].slider, group="Clutch"),
    Control("clutch.engage_speed", "Shoes touch at", "800 to 4000 rpm by 50", group="Clutch"),
    *NO_COIL[CENTRIFUGAL][2:],
)
#: Moves the inertia of the work where its weight and shape give it.
WEIGHT = Control("work.weight", "Mass that turns", ("5 to 300 lb by 5", "2 to 150 kg by 5"), group="Engagement")


def controls(build: Build) -> tuple[Control, ...]:
    """Return the controls of the clutch: supply and coil, the clutch itself, how it is engaged."""
    kind = build.get("clutch.kind")
    if kind in NO_COIL:
        return BY_TORQUE if kind == CENTRIFUGAL and build.get("clutch.static_torque") is not None else NO_COIL[kind]
    run_down = all(build.get(f"work.run_down_{key}") is not None for key in RUN_DOWN)
    by_weight = build.get("work.inertia") is None and not run_down and in_common(build, "weight")
    own = (c for c in OWN if c.key != "work.load_curve" or in_common(build, "load_curve"))
    each = each_shaft(build, *(() if run_down else ("weight", "diameter", "mass_at")), "load_curve", "start_factor")
    return (*coil_controls(build, "Coil"), *own, *((WEIGHT,) if by_weight else ()), *each)


def outcome_of(
    build: Build, whatif: Mapping[str, object], picture: Callable[[Results], object] = picture_of
) -> Outcome:
    """Work up the clutch as a panel shows it, with the current in its coil; ``picture`` draws it, here its torque."""
    return shown(WORK(build), partial(_outcome, picture=picture))


def _outcome(results: Results, picture: Callable[[Results], object]) -> Outcome:
    build, chapter, circuit = results.build, results.chapters["clutch"], results.chapters["electric"]
    facts = (*chapter.facts, *(f for f in circuit.facts if f.label.startswith("coil current, ")))
    compare, data = {}, chapter.data
    if data is not None and data.hot is not None:
        compare["holding torque, hot"] = compared(build, data.static[data.hot].likely, "torque", "higher")
    if data is not None and data.engagement is not None and data.engagement.steps.locks:
        compare["slip time"] = compared(build, data.engagement.steps.lock_time, "time", "lower")
        compare["slip heat"] = compared(build, data.engagement.heat, "energy", "lower")
    if data is not None and data.way is not None and data.way.course is not None:
        way = data.way
        compare["torque it holds at work"] = compared(build, way.torque.likely, "torque", "higher")
        compare["slip time"] = compared(build, float(way.slips["likely"].seconds), "time", "lower")
        compare["slip heat"] = compared(build, way.heat, "energy", "lower")
    return Outcome(facts, results.of("clutch"), picture(results), compare)


#: The same with the picture of an engagement.
engaging_outcome_of = partial(outcome_of, picture=engagement_picture)


def panel(build: Build, part: str | None = None) -> Panel:
    """Return the live panel of the clutch: with the engagement where that can be worked out, else with the torque.

    Raises
    ------
    ValueError
        If the build has no clutch whose current is known.
    """
    results = work_up(build, ("clutch",))
    chapter, engaging = results.chapters["clutch"], engagement_picture(results)
    torque = picture_of(results)
    if torque is None and engaging is None:
        if chapter.data is not None and chapter.data.way is not None:
            raise ValueError("how it runs the work up is not known well enough yet")
        raise ValueError(chapter.words.rstrip(".") or "the clutch's circuit is not known well enough yet")
    view = TimeView("clutch-panel", engaging) if engaging else ClutchView("clutch-panel", torque)
    return Panel(
        build,
        title="Try the clutch hot, cold and fast" if torque is not None else "Try how it engages and lets go",
        controls=controls(build),
        outcome_of=engaging_outcome_of if engaging else outcome_of,
        view=view,
    )


__all__ = ["panel", "controls", "engaging_outcome_of", "outcome_of"]

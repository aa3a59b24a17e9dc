"""The clutch panel: supply, heat, gap and engagement speed against what the clutch holds and how long it slips."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from jackshaft.buildfile import Build
from jackshaft.chapters.clutch.data import SUPPLIES, ClutchData, hot_state
from jackshaft.chapters.clutch.engage import RUN_DOWN
from jackshaft.chapters.clutch.figure import ClutchView, picture_of
from jackshaft.chapters.clutch.time_figure import TimeView, engagement_picture
from jackshaft.chapters.electric.analysis import ElectricData
from jackshaft.chapters.electric.controls import coil_controls
from jackshaft.results import Again, Number, work_up
from jackshaft.results.checks import Fact
from jackshaft.results.reader import Reader
from jackshaft.ui.base import Panel
from jackshaft.ui.model import Compared, Control, Outcome

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
        help="as it runs up: an auger takes about the same at every speed, a fan takes more with the square of speed",
    ),
    Control(
        "clutch.engage_every",
        "Engaged once every",
        "10 to 900 s by 10",
        group="Engagement",
        help="from one engagement to the next, for hours",
    ),
)


def controls(build: Build) -> tuple[Control, ...]:
    """Return the controls of the clutch: supply and coil, the clutch itself, how it is engaged."""
    found = [*coil_controls(build, "Coil"), *OWN]
    run_down = all(build.get(f"work.run_down_{key}") is not None for key in RUN_DOWN)
    if build.get("work.inertia") is None and not run_down:
        mass = ("5 to 300 lb by 5", "2 to 150 kg by 5")
        found.append(Control("work.weight", "Mass that turns", mass, group="Engagement"))
    return tuple(found)


def _currents(build: Build, electric: ElectricData) -> Iterator[Fact]:
    """Yield the coil's current at each supply, cold and hot."""
    reader = Reader(build)
    for which, words in SUPPLIES:
        cold, hot = (electric.amps(f"{which}, {heat}") for heat in ("cold", "hot"))
        if cold is None or hot is None:
            continue
        how = reader.how("circuit.running_voltage" if which == "running" else "circuit.battery_voltage")
        supply = electric.line.states[electric.at(f"{which}, cold")][1]
        yield Fact(
            f"coil current, {words}",
            reader.number(cold, "current", f"{{}} cold, {reader.show(hot, 'current')} hot"),
            f"{reader.show(supply, 'voltage')} at the battery" + (f" ({how})" if how else ""),
        )


def _outcome(build: Build, engaging: bool) -> Outcome:
    results = WORK(build)
    chapter, electric = results.chapters["clutch"], results.chapters["electric"].data
    coil = () if electric is None else _currents(build, electric)
    picture = engagement_picture(results) if engaging else picture_of(results)
    return Outcome((*chapter.facts, *coil), results.of("clutch"), picture, _compare(chapter.data, build.system))


def _compare(data: ClutchData | None, system: str) -> dict[str, Compared]:
    compare = {}
    state = hot_state(data) if data is not None else None
    if state is not None:
        compare["holding torque, hot"] = Compared(Number(data.static[state].likely, "torque", system), "higher")
    if data is not None and data.engagement is not None and data.engagement.course.locks:
        course = data.engagement.course
        compare["slip time"] = Compared(Number(course.lock_time, "time", system), "lower")
        compare["slip heat"] = Compared(Number(float(course.heat[-1]), "energy", system), "lower")
    return compare


def outcome_of(build: Build, whatif: Mapping[str, object]) -> Outcome:
    """Work up the clutch as a panel shows it, with the picture of its torque."""
    return _outcome(build, False)


def engaging_outcome_of(build: Build, whatif: Mapping[str, object]) -> Outcome:
    """Work up the clutch as a panel shows it, with the picture of an engagement."""
    return _outcome(build, True)


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
    if torque is None:
        raise ValueError(chapter.words.rstrip(".") or "the clutch's circuit is not known well enough yet")
    view = TimeView("clutch-panel", engaging) if engaging else ClutchView("clutch-panel", torque)
    return Panel(
        build,
        title="Try the clutch hot, cold and fast",
        controls=controls(build),
        outcome_of=engaging_outcome_of if engaging else outcome_of,
        view=view,
    )


__all__ = ["panel", "controls", "engaging_outcome_of", "outcome_of"]

"""The drive ratio panel: engine speed, pulleys and teeth against the speed that the work needs."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.buildfile import Build
from jackshaft.chapters.ratio.figure import RatioView, picture_of
from jackshaft.parts.belt_stage import working
from jackshaft.results import Again, Number, Results
from jackshaft.ui.base import Panel
from jackshaft.ui.each_shaft import each_shaft
from jackshaft.ui.ends import shown
from jackshaft.ui.model import Compared, Control, Outcome
from jackshaft.ui.ranges import diameter_control, size_control

#: Works up what the panel shows.
WORK = Again("ratio")


def controls(build: Build) -> tuple[Control, ...]:
    """Return the controls of a build: the engine's speed, then each stage's pulleys, teeth or ratio."""
    found = [Control("engine.work_speed", "Working speed", "1000 to 4000 rpm by 50", group="Engine")]
    for name in build.names("stage"):
        at, kind = f"stage[{name}]", build.get(f"stage[{name}].kind")
        if kind == "belt":
            pulleys = (build.get(f"{at}.driver"), *working(build, at))
            found += [diameter_control(build, f"{at}.pulley[{pulley}]", pulley, name) for pulley in pulleys if pulley]
            continue
        for role in ("driver", "driven"):
            if kind in ("roller chain", "gear"):
                found.append(Control(f"{at}.{role}_teeth", f"Teeth on the {role}", "8 to 160 by 1", group=name))
            elif kind == "friction roller":
                found.append(size_control(build, f"{at}.{role}_diameter", f"Diameter of the {role}", name))
        if kind == "gearbox":
            found.append(Control(f"{at}.ratio", "Turns in for one out", "0.5 to 20 by 0.5", group=name))
    return (*found, *each_shaft(build, "diameter", "surface_speed_most"))


def outcome_of(build: Build, whatif: Mapping[str, object]) -> Outcome:
    """Work up the ratio of a build as a panel shows it."""
    return shown(WORK(build), _outcome)


def _outcome(results: Results) -> Outcome:
    chapter, build = results.chapters["ratio"], results.build
    compare = {}
    if chapter.data:
        for shaft in chapter.data.shafts[1:]:
            if shaft.work is not None:
                compare[f"speed of {shaft.name}"] = Compared(Number(shaft.work, "rotation", build.system))
        for name in chapter.data.work_shafts:
            last, where = chapter.data.shaft(name), "the work" if len(chapter.data.work_shafts) == 1 else name
            if last is not None and last.torque is not None:
                compare[f"torque at {where}"] = Compared(Number(last.torque, "torque", build.system))
    return Outcome(chapter.facts, results.of("ratio"), picture_of(results), compare)


def panel(build: Build, part: str | None = None) -> Panel:
    """Return the live panel of the drive ratio.

    Raises
    ------
    ValueError
        If the build has no stage to move anything on.
    """
    picture = outcome_of(build, {}).picture
    if picture is None:
        raise ValueError("this build has no stage yet, so there is no ratio to try")
    return Panel(
        build,
        title="Try other pulleys",
        controls=controls(build),
        outcome_of=outcome_of,
        view=RatioView("ratio-panel", picture),
    )

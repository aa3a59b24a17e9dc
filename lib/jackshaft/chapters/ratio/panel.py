"""The drive ratio panel: engine speed, pulleys and teeth against the speed that the work wants."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.buildfile import Build
from jackshaft.chapters.ratio.figure import RatioView, picture_of
from jackshaft.results import Again
from jackshaft.ui.base import Panel
from jackshaft.ui.model import Compared, Control, Outcome
from jackshaft.ui.ranges import size_control
from jackshaft.units import RPM, show

#: Works up what the panel shows.
WORK = Again("ratio")


def controls(build: Build) -> tuple[Control, ...]:
    """Return the controls of a build: the engine's speed, then each stage's pulleys, teeth or ratio."""
    found = [
        Control(
            "engine.work_speed",
            "Working speed",
            "rotation",
            low="1000 rpm",
            high="4000 rpm",
            step="50 rpm",
            group="Engine",
        )
    ]
    for name in build.names("stage"):
        at, kind = f"stage[{name}]", build.get(f"stage[{name}].kind")
        if kind == "belt":
            for role in ("driver", "driven"):
                pulley = build.get(f"{at}.{role}")
                if pulley:
                    line = build.get(f"{at}.pulley[{pulley}].measured_as") or "pitch"
                    found.append(
                        size_control(build, f"{at}.pulley[{pulley}].diameter", f"{pulley} {line} diameter", name)
                    )
        elif kind in ("roller chain", "gear"):
            found += [
                Control(
                    f"{at}.{role}_teeth",
                    f"Teeth on the {role}",
                    "count",
                    low="8",
                    high="160",
                    step="1",
                    group=name,
                )
                for role in ("driver", "driven")
            ]
        elif kind == "gearbox":
            found.append(
                Control(
                    f"{at}.ratio",
                    "Turns in for one out",
                    "number",
                    low="0.5",
                    high="20",
                    step="0.5",
                    group=name,
                )
            )
        elif kind == "friction roller":
            found += [
                size_control(build, f"{at}.{role}_diameter", f"Diameter of the {role}", name)
                for role in ("driver", "driven")
            ]
    return tuple(found)


def outcome_of(build: Build, whatif: Mapping[str, object]) -> Outcome:
    """Work up the ratio of a build as a panel shows it."""
    results = WORK(build)
    chapter = results.chapters["ratio"]
    facts = list(chapter.facts)
    compare = {}
    if chapter.data:
        for shaft in chapter.data.shafts[1:]:
            if shaft.work is not None:
                text = show(shaft.work, "rotation", build.system)
                compare[f"speed of {shaft.name}"] = Compared(text, shaft.work / RPM)
        last = chapter.data.shaft(chapter.data.work_shaft or "")
        if last is not None and last.torque is not None:
            compare["torque at the work"] = Compared(show(last.torque, "torque", build.system), last.torque)
    return Outcome(tuple(facts), results.of("ratio"), picture_of(results), compare)


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

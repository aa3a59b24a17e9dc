"""The panel of the telescoping shaft: hinge, joint 2, lifts and tubes against angles and overlap."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.buildfile import Build
from jackshaft.chapters.driveline.figure import DrivelineView, picture_of
from jackshaft.results import Again, Number, Results
from jackshaft.ui.base import Panel
from jackshaft.ui.ends import shown
from jackshaft.ui.model import Compared, Control, Outcome
from jackshaft.ui.ranges import size_control

#: Works up what the panel shows.
WORK = Again("driveline")

SIZES = (
    ("hinge_off", "Hinge off the shaft", "Hinge"),
    ("hinge_away", "Hinge away from joint 1", "Hinge"),
    ("joint_along", "Joint 2 along the attachment", "Joint 2"),
    ("joint_square", "Joint 2 square to it", "Joint 2"),
    ("collapsed", "Pushed together", "Tubes"),
    ("tube", "Usable tube", "Tubes"),
)


def controls(build: Build) -> tuple[Control, ...]:
    """Return the controls: lifts, hinge, joint 2, tubes and yokes."""
    found = [
        Control(f"driveline.attitude[{name}].lift", f"Lift, {name}", "-45 to 75 deg by 1", group="Attitudes")
        for name in build.names("driveline.attitude")
        if build.get(f"driveline.attitude[{name}].lift") is not None
    ]
    found += [
        size_control(build, f"driveline.{key}", label, group)
        for key, label, group in SIZES
        if build.get(f"driveline.{key}") is not None
    ]
    found.append(Control("driveline.phase", "Turn between the yokes", "-90 to 90 deg by 1", group="Yokes"))
    return tuple(found)


def outcome_of(build: Build, whatif: Mapping[str, object]) -> Outcome:
    """Work up the telescoping shaft of a build as the panel shows it."""
    return shown(WORK(build), _outcome)


def _outcome(results: Results) -> Outcome:
    found, build, compare = results.chapters["driveline"], results.build, {}
    data = found.data
    ends = None if data is None else data.ends()
    if ends is not None:
        compare["longest"] = Compared(Number(ends[1], "length", build.system))
        if data.overlap(ends[1]) is not None:
            compare["least overlap"] = Compared(Number(data.overlap(ends[1]), "length", build.system))
    return Outcome(found.facts, results.of("driveline"), picture_of(results), compare)


def panel(build: Build, part: str | None = None) -> Panel:
    """Return the live panel of the telescoping shaft.

    Raises
    ------
    ValueError
        If the build has no telescoping shaft with attitudes.
    """
    picture = outcome_of(build, {}).picture
    if picture is None or not picture.data.attitudes:
        raise ValueError("this build has no telescoping shaft with attitudes yet, so there is nothing to try")
    return Panel(
        build,
        title="Try the travel of the shaft",
        controls=controls(build),
        outcome_of=outcome_of,
        view=DrivelineView("driveline-panel", picture),
    )

"""The panel of what gives first: tensions, shear pin, slip clutch and the load against each other."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.buildfile import Build
from jackshaft.chapters.layout.panel import tension_controls
from jackshaft.chapters.weak_link.figure import ChainView, picture_of
from jackshaft.results import Again, Detail, Number, Results
from jackshaft.ui.base import Panel
from jackshaft.ui.ends import shown
from jackshaft.ui.model import Compared, Control, Outcome

#: Works up what the panel shows.
WORK = Again("chain", detail=Detail.BARE)


def controls(build: Build) -> tuple[Control, ...]:
    """Return the controls of a build: the load, each belt's tension, the shear pin and the slip clutch."""
    found = [
        Control("work.power", "Power at work", ("0.25 to 20 hp by 0.05", "0.2 to 15 kW by 0.05"), group="Load"),
        Control("work.peak_factor", "Peak over work", "1 to 4 by 0.1", group="Load"),
    ]
    for name in build.names("stage"):
        found += tension_controls(build, name, name)
    if build.has("shear_pin"):
        thick, out = ("1/16 to 1/2 in by 1/64", "2 to 12 mm by 0.5"), ("1/4 to 3 in by 1/32", "6 to 75 mm by 1")
        found += [
            Control("shear_pin.diameter", "Pin diameter", thick, by="tape", group="Shear pin"),
            Control("shear_pin.radius", "Pin to shaft centre", out, by="tape", group="Shear pin"),
        ]
    if build.get("slip_clutch.torque") is not None:
        sets = ("5 to 500 lbf·ft by 1", "5 to 700 N·m by 1")
        found.append(Control("slip_clutch.torque", "Slip clutch set to", sets, group="Slip clutch"))
    elif build.get("slip_clutch.spring_force") is not None:
        sets = ("20 to 1000 lbf by 5", "100 to 4500 N by 25")
        found.append(Control("slip_clutch.spring_force", "Force of each spring", sets, group="Slip clutch"))
    return tuple(found)


def outcome_of(build: Build, whatif: Mapping[str, object]) -> Outcome:
    """Work up the chain of a build as a panel shows it."""
    return shown(WORK(build), _outcome)


def _outcome(results: Results) -> Outcome:
    chapter, build = results.chapters["chain"], results.build
    compare = {}
    if chapter.data:
        compare = {
            link.name: Compared(Number(link.likely, "torque", build.system))
            for link in chapter.data.links
            if not link.limit
        }
    return Outcome(chapter.facts, results.of("chain"), picture_of(results), compare)


def panel(build: Build, part: str | None = None) -> Panel:
    """Return the live panel of what gives first.

    Raises
    ------
    ValueError
        If of no part it is known at which torque it gives.
    """
    picture = outcome_of(build, {}).picture
    if picture is None:
        raise ValueError("of no part it is known yet at which torque it gives")
    return Panel(
        build,
        title="Make the right part give first",
        controls=controls(build),
        outcome_of=outcome_of,
        view=ChainView("chain-panel", picture),
    )

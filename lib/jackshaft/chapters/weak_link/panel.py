"""The panel of what gives first: tensions, the shear pin and the load against each other."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.buildfile import Build
from jackshaft.chapters.layout.panel import tension_controls
from jackshaft.chapters.weak_link.figure import ChainView, picture_of
from jackshaft.results import Again, Detail
from jackshaft.ui.base import Panel
from jackshaft.ui.model import Compared, Control, Outcome
from jackshaft.units import show

#: Works up what the panel shows.
WORK = Again("chain", detail=Detail.BARE)


def controls(build: Build) -> tuple[Control, ...]:
    """Return the controls of a build: the load, each belt's tension, the shear pin."""
    found = [
        Control(
            "work.power",
            "Power at work",
            "power",
            low=("0.25 hp", "0.2 kW"),
            high=("20 hp", "15 kW"),
            step=("0.05 hp", "0.05 kW"),
            group="Load",
        ),
        Control(
            "work.peak_factor",
            "Peak over work",
            "number",
            low="1",
            high="4",
            step="0.1",
            group="Load",
        ),
    ]
    for name in build.names("stage"):
        found += [
            Control(
                **{**{k: getattr(c, k) for k in c.__dataclass_fields__}, "group": name, "label": f"{c.label}, {name}"}
            )
            for c in tension_controls(build, f"stage[{name}]")
        ]
    if build.has("shear_pin"):
        found += [
            Control(
                "shear_pin.diameter",
                "Pin diameter",
                low=("1/16 in", "2 mm"),
                high=("1/2 in", "12 mm"),
                step=("1/64 in", "0.5 mm"),
                by="tape",
                group="Shear pin",
            ),
            Control(
                "shear_pin.radius",
                "Pin from the centre",
                low=("1/4 in", "6 mm"),
                high=("3 in", "75 mm"),
                step=("1/32 in", "1 mm"),
                by="tape",
                group="Shear pin",
            ),
        ]
    return tuple(found)


def outcome_of(build: Build, whatif: Mapping[str, object]) -> Outcome:
    """Work up the chain of a build as a panel shows it."""
    results = WORK(build)
    chapter = results.chapters["chain"]
    compare = {}
    if chapter.data:
        compare = {
            link.name: Compared(show(link.likely, "torque", build.system), link.likely)
            for link in chapter.data.links
            if not link.limit
        }
    return Outcome(chapter.facts, results.of("chain"), picture_of(results), compare)


def panel(build: Build, part: str | None = None) -> Panel:
    """Return the live panel of what gives first.

    Raises
    ------
    ValueError
        If no link of the build's chain is known.
    """
    picture = outcome_of(build, {}).picture
    if picture is None:
        raise ValueError("no link of the chain has a known torque yet")
    return Panel(
        build,
        title="Make the right part give first",
        controls=controls(build),
        outcome_of=outcome_of,
        view=ChainView("chain-panel", picture),
    )

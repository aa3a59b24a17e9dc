"""The shaft panel: diameter, steel, tension, overhang and bearing spacing of one shaft, its diagrams and safety."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from jackshaft import tables
from jackshaft.buildfile import Build
from jackshaft.chapters.bearings.panel import pull_controls
from jackshaft.chapters.shafts.figure import ShaftView, picture_of
from jackshaft.chapters.shafts.needed import needed_at
from jackshaft.drawing.view import view_name
from jackshaft.mechanics import shaft_rules
from jackshaft.results import Again, Number, Results, work_up
from jackshaft.ui.base import Panel
from jackshaft.ui.ends import shown
from jackshaft.ui.model import Action, Compared, Control, Outcome
from jackshaft.ui.one_part import unnamed
from jackshaft.ui.ranges import place_control, size_control
from jackshaft.units import write

ACTION_HELP = "the smallest bar that holds at its weakest place"


def controls(build: Build, shaft: str) -> tuple[Control, ...]:
    """Return the controls of one shaft: size and steel, then pulls, then places."""
    at = f"shaft[{shaft}]"
    steps = [(f"{at}.step[{step}].diameter", f"Diameter, {step}") for step in build.names(f"{at}.step")]
    found = [
        size_control(build, key, label, "Shaft", by="caliper")
        for key, label in steps or [(f"{at}.diameter", "Shaft diameter")]
    ]
    bars = tuple(r["material"] for r in tables.table("materials").rows if str(r["form"]).startswith("steel bar"))
    own = build.get(f"{at}.material")
    swing = "swing over the mean: 0 behind a motor, 0.5 to 1 behind a single cylinder"
    found += [
        Control(f"{at}.material", "Steel", choices=bars if own is None or own in bars else (own, *bars), group="Shaft"),
        Control(f"{at}.finish", "Surface", group="Shaft"),
        Control(f"{at}.torque_ripple", "Ripple of the torque", "0 to 1 by 0.05", group="Shaft", help=swing),
    ]
    found += pull_controls(build, at)
    found += [
        place_control(build, f"bearing[{b}].position", f"Place of bearing {b}", "Places along the shaft")
        for b in build.names("bearing")
        if build.get(f"bearing[{b}].shaft") == shaft
    ]
    return tuple(found)


def outcome_of(
    build: Build, whatif: Mapping[str, object], *, shaft: str, worker: Callable[[Build], Results] | None = None
) -> Outcome:
    """Work up one shaft as a panel shows it; ``worker`` takes over what did not change since the last time."""
    results = worker(build) if worker is not None else work_up(build, ("shafts",))
    return shown(results, partial(_outcome, shaft=shaft))


def _outcome(results: Results, shaft: str) -> Outcome:
    chapter = results.chapters["shafts"]
    mine = chapter.data.facts.get(shaft, ()) if chapter.data is not None else ()
    checks = [c for c in results.of("shafts") if c.id.endswith(f"[{shaft}]") or c.name.startswith(f"{shaft}: ")]
    facts, checks = unnamed(shaft, mine, checks)
    return Outcome(facts, checks, picture_of(results, shaft), _compare(results, shaft))


def _compare(results: Results, shaft: str) -> dict[str, Compared]:
    data, system = results.chapters["shafts"].data, results.build.system
    state = data.shafts.get(shaft) if data is not None else None
    if state is None:
        return {}
    worst, thick = state.sections[0].hardest.fatigue, max(s.diameter for s in state.steps)
    return {
        "diameter": Compared(Number(thick, "length", system)),
        "fatigue safety, hardest case": Compared(Number(worst, "number", system, decimals=2), "higher"),
        "whirl speed": Compared(Number(state.whirl.lowest, "rotation", system), "higher"),
    }


def least_diameter(build: Build, outcome: Outcome, *, shaft: str) -> dict[str, str]:
    """Return the next stock size that holds at the weakest place as it is loaded now.

    Raises
    ------
    ValueError
        If the shaft has steps, or cannot be worked out yet.
    """
    state = outcome.picture.state if outcome.picture else None
    key = f"shaft[{shaft}].diameter"
    if state is None or build.names(f"shaft[{shaft}].step"):
        raise ValueError("this works for a shaft of one diameter whose loads and steel are known")
    needed = needed_at(state, state.sections[0])
    if needed is None:
        raise ValueError("no shaft up to 1 m thick holds this; check the loads")
    return {key: write(shaft_rules.next_stock.si(needed, system=build.system), "length", build.system)}


def pulled(build: Build) -> tuple[str, ...]:
    """Return the shafts that something pulls on."""
    return tuple(s for s in build.names("shaft") if build.names(f"shaft[{s}].load"))


#: What the panel is about one of, and which there are.
PARTS = ("Shaft", pulled)


def panel(build: Build, shaft: str | None = None) -> Panel:
    """Return the live panel of one shaft; the first that has bearings and pulls when none is named.

    Raises
    ------
    ValueError
        If the build has no such shaft.
    """
    names = pulled(build)
    if shaft is None and names:
        shaft = names[0]
    if shaft is None or shaft not in build.names("shaft"):
        raise ValueError(
            "no shaft of this build has pulls along it yet"
            if shaft is None
            else f"no shaft is called '{shaft}'; there is {', '.join(build.names('shaft')) or 'none'}"
        )
    mine = partial(outcome_of, shaft=shaft, worker=Again("shafts"))
    name = view_name("shaft-panel", shaft)
    return Panel(
        build,
        title=f"Try the shaft: {shaft}",
        controls=controls(build, shaft),
        outcome_of=mine,
        view=ShaftView(name, mine(build, {}).picture),
        actions=(Action("Take the next stock size that holds", partial(least_diameter, shaft=shaft), ACTION_HELP),),
    )

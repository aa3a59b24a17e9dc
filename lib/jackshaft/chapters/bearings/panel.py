"""The bearing panel: readings, seat, shock, and what pulls on the shaft of one bearing, with its identity and life."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from jackshaft.buildfile import Build
from jackshaft.chapters.bearings.figure import BearingView, picture_of
from jackshaft.chapters.bearings.shown import KEYS, WORDS
from jackshaft.chapters.layout.panel import tension_controls
from jackshaft.drawing.view import view_name
from jackshaft.results import Again, Number, Results, work_up
from jackshaft.ui.base import Panel
from jackshaft.ui.ends import shown
from jackshaft.ui.model import Compared, Control, Outcome
from jackshaft.ui.one_part import unnamed
from jackshaft.ui.ranges import fine_control, place_control

#: Where a slider starts for a dimension nobody has read yet: a middling size, m.
MIDDLING = {"bore": 0.030, "outside": 0.062, "width": 0.016, "seat": 0.030}


def controls(build: Build, bearing: str) -> tuple[Control, ...]:
    """Return the controls of one bearing: its readings, its seat, then what loads it."""
    at = f"bearing[{bearing}]"
    found = [
        fine_control(build, f"{at}.{key}", WORDS[dimension].capitalize(), "Readings", start=MIDDLING[key])
        for dimension, key in KEYS.items()
    ]
    found += [
        Control(f"{at}.measured_with", "Read with", group="Readings"),
        fine_control(build, f"{at}.seat", "Shaft under it", "Seat", start=MIDDLING["seat"]),
        Control(f"{at}.turning_ring", "Ring that turns", group="Seat"),
        Control(f"{at}.shock_factor", "Shock factor", "1 to 3 by 0.1", group="Load"),
    ]
    shaft = build.get(f"{at}.shaft")
    if shaft is None:
        run = ("10 to 1000 lbf by 10", "50 to 5000 N by 50")
        return (*found, Control(f"{at}.radial_load", "Load across it", run, group="Load"))
    found += pull_controls(build, f"shaft[{shaft}]")
    found.append(place_control(build, f"{at}.position", "Place of this bearing", "Places along the shaft"))
    return tuple(found)


def pull_controls(build: Build, shaft: str) -> list[Control]:
    """Return the tension of each belt on the shaft, each pull that is given, and where each of them sits."""
    found, places = [], []
    for load in build.names(f"{shaft}.load"):
        here, stage = f"{shaft}.load[{load}]", build.get(f"{shaft}.load[{load}].stage")
        if stage is not None and build.get(f"stage[{stage}].kind") == "belt":
            found += tension_controls(build, stage, "Load")
        elif build.get(f"{here}.pull") is not None:
            run = ("0 to 800 lbf by 10", "0 to 4000 N by 50")
            found.append(Control(f"{here}.pull", f"{load}: pull", run, group="Load"))
        places.append(place_control(build, f"{here}.position", f"Place of {load}", "Places along the shaft"))
    return found + places


def outcome_of(
    build: Build, whatif: Mapping[str, object], *, bearing: str, worker: Callable[[Build], Results] | None = None
) -> Outcome:
    """Work up one bearing as a panel shows it; ``worker`` takes over what did not change since the last time."""
    results = worker(build) if worker is not None else work_up(build, ("bearings",))
    return shown(results, partial(_outcome, bearing=bearing))


def _outcome(results: Results, bearing: str) -> Outcome:
    build, chapter = results.build, results.chapters["bearings"]
    shaft = build.get(f"bearing[{bearing}].shaft")
    facts = chapter.data.facts[bearing] if chapter.data is not None else ()
    found = (c for c in results.of("bearings") if c.id.endswith(f"[{bearing}]") or c.id == f"bearings.shaft[{shaft}]")
    facts, checks = unnamed(bearing, facts, found)
    return Outcome(facts, checks, picture_of(results, bearing), _compare(results, bearing))


def _compare(results: Results, bearing: str) -> dict[str, Compared]:
    data, system = results.chapters["bearings"].data, results.build.system
    if data is None or bearing not in data.identity:
        return {}
    best, life, compare = data.identity[bearing].best, data.lives[bearing], {}
    if best is not None:
        compare["size"] = Compared(best.size.designation)
        compare["score"] = Compared(Number(best.score, "number", system, unit="%"), "higher")
    if life.radial is not None:
        compare["load across it"] = Compared(Number(float(life.radial[0]), "force", system), "lower")
    if life.life is not None:
        compare["rating life"] = Compared(Number(life.life, "time", system, by="hours"), "higher")
    return compare


def bearings(build: Build) -> tuple[str, ...]:
    """Return the bearings that have a panel."""
    return build.names("bearing")


#: What the panel is about one of, and which there are.
PARTS = ("Bearing", bearings)


def panel(build: Build, bearing: str | None = None) -> Panel:
    """Return the live panel of one bearing; the first one when none is named.

    Raises
    ------
    ValueError
        If the build has no bearing of that name.
    """
    names = bearings(build)
    if bearing is None and names:
        bearing = names[0]
    if bearing not in names:
        raise ValueError(
            "this build has no bearing yet"
            if not names
            else f"no bearing is called '{bearing}'; there is {', '.join(names)}"
        )
    mine = partial(outcome_of, bearing=bearing, worker=Again("bearings"))
    name = view_name("bearing-panel", bearing)
    return Panel(
        build,
        title=f"Try the bearing: {bearing}",
        controls=controls(build, bearing),
        outcome_of=mine,
        view=BearingView(name, mine(build, {}).picture),
    )

"""The bearing panel: readings, seat, shock, and what pulls on the shaft of one bearing, with its identity and life."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial

from jackshaft.buildfile import Build
from jackshaft.chapters.bearings.figure import BearingView, picture_of
from jackshaft.chapters.bearings.shown import KEYS, WORDS
from jackshaft.drawing.view import view_name
from jackshaft.results import Again, Results, work_up
from jackshaft.ui.base import Panel
from jackshaft.ui.model import Compared, Control, Outcome
from jackshaft.ui.ranges import INCH, MM, place_control
from jackshaft.units import Measure, show, write

#: Where a slider starts for a dimension nobody has read yet: a middling size, m.
MIDDLING = {"bore": 0.030, "outside": 0.062, "width": 0.016, "seat": 0.030}
#: What a dimension is read with.
TOOLS = ("calipers", "micrometer", "tape")


def controls(build: Build, bearing: str) -> tuple[Control, ...]:
    """Return the controls of one bearing: its readings, its seat, then what loads it."""
    at = f"bearing[{bearing}]"
    found = [_fine(build, f"{at}.{key}", WORDS[dimension].capitalize(), "Readings") for dimension, key in KEYS.items()]
    found.append(Control(f"{at}.measured_with", "Read with", "choice", choices=TOOLS, group="Readings"))
    found.append(_fine(build, f"{at}.seat", "Shaft under it", "Seat"))
    found.append(Control(f"{at}.turning_ring", "Ring that turns", "choice", choices=("inner", "outer"), group="Seat"))
    shock = {"low": "1", "high": "3", "step": "0.1"}
    found.append(Control(f"{at}.shock_factor", "Shock factor", "number", group="Load", **shock))
    shaft = build.get(f"{at}.shaft")
    if shaft is None:
        key = f"{at}.radial_load"
        found.append(_pull(key, "Load across it", ("10 lbf", "50 N"), ("1000 lbf", "5000 N"), ("10 lbf", "50 N")))
        return tuple(found)
    found += pull_controls(build, f"shaft[{shaft}]")
    found.append(place_control(build, f"{at}.position", "Place of this bearing", "Places along the shaft"))
    return tuple(found)


def _fine(build: Build, key: str, label: str, group: str) -> Control:
    """Return a control for a bearing's dimension: a slider to either side, in steps that an instrument reads."""
    value = build.get(key)
    here = value.si if isinstance(value, Measure) else MIDDLING[key.rsplit(".", 1)[1]]
    unit, reach, step = (INCH, 0.06, 0.001) if build.system == "inch" else (MM, 1.5, 0.02)
    middle = round(here / unit / step) * step
    low, high = (write(max(middle + s * reach, step) * unit, "length", build.system) for s in (-1, 1))
    return Control(key, label, "length", low=low, high=high, step=("0.001 in", "0.02 mm"), group=group)


def _pull(key: str, label: str, low: tuple, high: tuple, step: tuple) -> Control:
    return Control(key, label, "force", low=low, high=high, step=step, group="Load")


def pull_controls(build: Build, shaft: str) -> list[Control]:
    """Return the tension of each belt on the shaft, each pull that is given, and where each of them sits."""
    found, places = [], []
    for load in build.names(f"{shaft}.load"):
        here, stage = f"{shaft}.load[{load}]", build.get(f"{shaft}.load[{load}].stage")
        if stage is not None and build.get(f"stage[{stage}].kind") == "belt":
            takeup = f"stage[{stage}].takeup"
            sprung = build.get(f"{takeup}.kind") in ("sprung idler", "weighted idler")
            key, words = ("slack_tension", "slack tension") if sprung else ("static_tension", "tension at rest")
            ends = ("2 lbf", "10 N"), ("150 lbf", "700 N")
            found.append(_pull(f"{takeup}.{key}", f"{stage}: {words}", *ends, ("1 lbf", "5 N")))
        elif build.get(f"{here}.pull") is not None:
            ends = ("0 lbf", "0 N"), ("800 lbf", "4000 N")
            found.append(_pull(f"{here}.pull", f"{load}: pull", *ends, ("10 lbf", "50 N")))
        places.append(place_control(build, f"{here}.position", f"Place of {load}", "Places along the shaft"))
    return found + places


def outcome_of(
    build: Build, whatif: Mapping[str, object], *, bearing: str, worker: Callable[[Build], Results] | None = None
) -> Outcome:
    """Work up one bearing as a panel shows it; ``worker`` takes over what did not change since the last time."""
    results = worker(build) if worker is not None else work_up(build, ("bearings",))
    chapter = results.chapters["bearings"]
    shaft = build.get(f"bearing[{bearing}].shaft")
    facts = chapter.data.facts[bearing] if chapter.data is not None else ()
    checks = [
        replace(c, name=c.name.removeprefix(f"{bearing}: "))
        for c in results.of("bearings")
        if c.id.endswith(f"[{bearing}]") or c.id == f"bearings.shaft[{shaft}]"
    ]
    return Outcome(facts, tuple(checks), picture_of(results, bearing), _compare(results, bearing))


def _compare(results: Results, bearing: str) -> dict[str, Compared]:
    data, system = results.chapters["bearings"].data, results.build.system
    if data is None or bearing not in data.identity:
        return {}
    best, life, compare = data.identity[bearing].best, data.lives[bearing], {}
    if best is not None:
        compare["size"] = Compared(best.size.designation, best.score)
        compare["score"] = Compared(f"{100 * best.score:.0f} %", best.score, "higher")
    if life.radial is not None:
        compare["load across it"] = Compared(show(life.signed, "force", system), float(life.radial[0]), "lower")
    if life.life is not None:
        compare["rating life"] = Compared(show(life.life, "time", system, by="hours"), life.life, "higher")
    return compare


def panel(build: Build, bearing: str | None = None) -> Panel:
    """Return the live panel of one bearing; the first one when none is named.

    Raises
    ------
    ValueError
        If the build has no bearing of that name.
    """
    names = build.names("bearing")
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

"""The panel of guards: openings and distances against how far a hand reaches through."""

from __future__ import annotations

from collections.abc import Mapping

from jackshaft.buildfile import Build
from jackshaft.chapters.guards.figure import GUARDED, ReachView, picture_of
from jackshaft.results import Again, Results
from jackshaft.ui.base import Panel
from jackshaft.ui.ends import shown
from jackshaft.ui.model import Control, Outcome

#: Works up what the panel shows.
WORK = Again("guards")


def controls(build: Build) -> tuple[Control, ...]:
    """Return the controls: what guards each stage and, where it has openings, their width and their distance."""
    found = []
    for name in build.names("stage"):
        at = f"stage[{name}]"
        if build.get(f"{at}.kind") not in GUARDED:
            continue
        found.append(Control(f"{at}.guard", "Guard", group=name))
        found.append(Control(f"{at}.guard_shape", "Openings", group=name))
        found.append(Control(f"{at}.guard_opening", "Smallest width of an opening", _opening(build), group=name))
        found.append(Control(f"{at}.guard_distance", "From what turns", _distance(build), group=name))
    return tuple(found)


def _opening(build: Build) -> str:
    return "1/16 to 2 in by 1/16" if build.system == "inch" else "2 to 50 mm by 1"


def _distance(build: Build) -> str:
    return "1/4 to 36 in by 1/4" if build.system == "inch" else "5 to 900 mm by 5"


def outcome_of(build: Build, whatif: Mapping[str, object]) -> Outcome:
    """Work up the guards of a build as the panel shows them."""
    return shown(WORK(build), _outcome)


def _outcome(results: Results) -> Outcome:
    return Outcome(results.chapters["guards"].facts, results.of("guards"), picture_of(results), {})


def panel(build: Build, part: str | None = None) -> Panel:
    """Return the live panel of the guards.

    Raises
    ------
    ValueError
        If the build has no stage that wants a guard.
    """
    found = controls(build)
    if not found:
        raise ValueError("this build has no stage that wants a guard yet, so there is nothing to try")
    picture = outcome_of(build, {}).picture
    return Panel(
        build, title="Try other guards", controls=found, outcome_of=outcome_of, view=ReachView("guards-panel", picture)
    )

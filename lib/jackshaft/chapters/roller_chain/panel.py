"""The roller chain panel: teeth, links and centres against slack, rating and speed."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from jackshaft.buildfile import Build
from jackshaft.chapters.roller_chain.figure import ChainView, picture_of
from jackshaft.drawing.view import view_name
from jackshaft.parts.chain_stage import KIND
from jackshaft.results import Again, Number, Results
from jackshaft.ui.base import Panel
from jackshaft.ui.ends import shown
from jackshaft.ui.model import Compared, Control, Outcome
from jackshaft.ui.ranges import size_control

#: Works up what the panel shows.
WORK = Again("roller-chain")


def chains(build: Build) -> tuple[str, ...]:
    """Return the names of the stages that are roller chains."""
    return tuple(n for n in build.names("stage") if build.get(f"stage[{n}].kind") == KIND)


#: What the panel is about one of.
PARTS = ("Chain", chains)


def controls(build: Build, name: str) -> tuple[Control, ...]:
    """Return the controls of one chain: its teeth, links and centres."""
    at = f"stage[{name}]"
    found = [
        Control(f"{at}.{end}_teeth", f"Teeth on the {end}", "8 to 120 by 1", group=name) for end in ("driver", "driven")
    ]
    found.append(Control(f"{at}.links", "Links", "20 to 300 by 1", group=name))
    found.append(size_control(build, f"{at}.centres", "Centres", name))
    return tuple(found)


def outcome_of(build: Build, whatif: Mapping[str, object], *, name: str) -> Outcome:
    """Work up the chains of a build as the panel shows one of them."""
    return shown(WORK(build), partial(_outcome, name=name))


def _outcome(results: Results, name: str) -> Outcome:
    found, build, compare = results.chapters["roller-chain"], results.build, {}
    chain = (found.data or {}).get(name)
    if chain is not None and chain.load is not None:
        compare["pull at work"] = Compared(Number(chain.load.pull, "force", build.system))
        if chain.rated is not None:
            compare["rated power"] = Compared(Number(chain.rated, "power", build.system))
    return Outcome(found.facts, results.of("roller-chain"), picture_of(results, name), compare)


def panel(build: Build, part: str | None = None) -> Panel:
    """Return the live panel of a chain: of ``part``, else of the first.

    Raises
    ------
    ValueError
        If the build has no chain whose number and teeth are known.
    """
    name = part or next(iter(chains(build)), None)
    picture = None if name is None else outcome_of(build, {}, name=name).picture
    if picture is None:
        raise ValueError("this build has no roller chain whose number and teeth are known, so there is nothing to try")
    return Panel(
        build,
        title="Try another chain",
        controls=controls(build, name),
        outcome_of=partial(outcome_of, name=name),
        view=ChainView(view_name("chain-panel", name), picture),
    )

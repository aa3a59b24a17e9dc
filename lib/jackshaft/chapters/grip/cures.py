"""What may give a loop more grip: more tension, more belts, an idler moved so that more of a pulley is wrapped."""

from __future__ import annotations

from collections.abc import Iterator

from jackshaft.chapters.grip.cases import tension_key
from jackshaft.results.cure import Proposal
from jackshaft.results.failing import Failing

#: Steps in which a shop sets a tension, inch and metric.
STEP = ("1 lbf", "5 N")

#: How far over what the formula wants a tension is tried: what is set scatters, and the bad end must hold too.
OVER = (1.0, 1.1, 1.25, 1.5)

#: Belts side by side that are tried at the most.
BELTS = 6


def more_tension(failing: Failing, load: str = "work") -> Iterator[Proposal]:
    """Yield higher tensions, from what holds the load at the bad end upward."""
    stage, layout = failing.item("grip"), failing.item("layout")
    if stage is None or layout is None or stage.hold is None or (wanted := stage.case(load)) is None:
        return
    key = tension_key(layout, stage.way)
    aim = wanted.needed_bad / (1 if stage.sprung else stage.belts)
    for over in OVER:
        text = failing.up(over * aim, "force", *STEP)
        yield Proposal(f"Set the tension to {text} {where(stage)}.", {key: text})


def where(stage) -> str:
    """Return where a tension is read."""
    return "in the idler's strand, all belts together" if stage.sprung else "in each strand of each belt, at rest"


def more_belts(failing: Failing, load: str = "work") -> Iterator[Proposal]:
    """Yield more belts side by side, first at the tension that each has now, then at what the load needs."""
    stage, layout = failing.item("grip"), failing.item("layout")
    if stage is None or layout is None or stage.hold is None:
        return
    key = tension_key(layout, stage.way)
    for belts in range(stage.belts + 1, BELTS + 1):
        grown = {f"stage[{failing.part}].belts": str(belts)}
        words = f"Use {belts} belts side by side, with pulleys that have a groove for each"
        if not stage.sprung:
            yield Proposal(f"{words}.", grown)
            continue
        text = failing.up(stage.hold * belts / stage.belts, "force", *STEP)
        yield Proposal(f"{words}, and a spring that holds {text} in all.", {**grown, key: text})


def _work(failing: Failing) -> Iterator[Proposal]:
    yield from more_tension(failing)
    yield from more_belts(failing)


def _load(name: str):
    def found(failing: Failing) -> Iterator[Proposal]:
        yield from more_tension(failing, name)
        yield from more_belts(failing, name)

    return found


PROPOSALS = {
    "grip.margin": _work,
    "grip.start": _load("start"),
    "grip.peak": _load("peak"),
    "grip.overrun": _load("overrun"),
}

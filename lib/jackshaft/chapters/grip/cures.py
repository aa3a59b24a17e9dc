"""What may give a loop more grip: tension, belts, an idler that stands elsewhere, a groove for a flat face, a stop."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jackshaft.buildfile.naming import named
from jackshaft.chapters.grip import held_checks, idler_moves
from jackshaft.chapters.grip.alone import PEAK, with_alone
from jackshaft.chapters.grip.cases import LOCKED, Case, tension_key
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.grip.more_cases import FULL
from jackshaft.chapters.grip.pull import stands
from jackshaft.chapters.grip.pulley_moves import driven_moved
from jackshaft.parts.belt_changes import DOUBLE, beside
from jackshaft.parts.load_at_speed import carried
from jackshaft.parts.tightener import with_lever
from jackshaft.results.cure import Proposal, orders
from jackshaft.results.failing import Failing
from jackshaft.units import at_most, read

#: Steps in which a shop sets a tension, inch and metric.
STEP = ("1 lbf", "5 N")

#: How far over what the formula wants a tension is tried: rounding, and what the build says of its scatter.
OVER = (1.0, 1.1, 1.25, 1.5)

#: Belts side by side that are tried early, and those that are tried last: more than three seldom share a load evenly,
#: and few sheaves have room for them; common practice, no source.
FEW, MANY = (2, 3), (4,)


def more_tension(failing: Failing, load: str = "work") -> Iterator[Proposal]:
    """Yield higher tensions that the belts stand, from what holds the load at the bad end upward."""
    stage, case = _stage(failing, load)
    if stage is None or stage.held_tight:
        return  # more in the tight strand is no cure: the spring belongs elsewhere
    key = tension_key(stage.layout, stage.way)
    for over in OVER:
        aim = over * case.needed_bad
        if not _stands(stage, case, aim):
            return
        text = failing.up(aim / stage.per, "force", *STEP)
        if not at_most(read(text, "force").si, stage.hold / stage.per):
            by, words = with_lever(failing.reader, stage, stage.per * read(text, "force").si)
            yield Proposal(f"Set the tension to {text} {where(stage)}{words}.", {key: text, **by})


def where(stage: StageGrip) -> str:
    """Return where a tension is read."""
    return (
        f"in the strand of the idler, from {stage.held}, all belts together"
        if stage.sprung
        else "in each strand of each belt, at rest"
    )


def more_belts(failing: Failing, load: str = "work", counts: tuple[int, ...] = FEW) -> Iterator[Proposal]:
    """Yield more belts side by side: at the tension that each has now, then at the one that the load needs.

    On one spring more belts only share out what it holds: there they help where one belt does not stand the tension.
    """
    stage, case = _stage(failing, load)
    if stage is None or stage.held_tight:
        return
    key = tension_key(stage.layout, stage.way)
    for belts in (n for n in counts if n > stage.belts):
        grown, words = beside(stage.layout.pulleys, failing.part, belts, stage.belts)
        if not stage.sprung:
            yield Proposal(orders(words), grown)
        elif _stands(stage, case, case.needed_bad):
            return
        aim = _with_belts(stage, case, belts)
        if np.isfinite(aim) and _stands(stage, case, aim, belts):
            text = failing.up(aim / (1 if stage.sprung else belts), "force", *STEP)
            yield Proposal(orders(words, f"set the tension to {text} {where(stage)}"), {**grown, key: text})


def _with_belts(stage: StageGrip, case: Case, belts: int) -> float:
    """Return the tension of all belts that holds a load at the bad end with another number of belts, N."""
    heavier = case.centrifugal * (belts / stage.belts - 1.0) if stage.way == LOCKED else 0.0
    return case.needed_bad + heavier / (1.0 - stage.scatter) if stage.scatter < 1.0 else np.inf


def _stands(stage: StageGrip, case: Case, tension: float, belts: int | None = None) -> bool:
    """Tell whether belts set to a tension stand their tight strand under a load; the load's half where one strand
    gains what the other loses."""
    pull = float(np.max(np.abs(case.pulls)))
    return bool(np.isfinite(tension)) and stands(stage, tension + (pull if stage.sprung else pull / 2), belts)


def _stage(failing: Failing, load: str) -> tuple[StageGrip | None, Case | None]:
    """Return the stage and its load case; None, None where either is missing or its tension is not known."""
    stage = failing.item("grip")
    case = None if stage is None or stage.hold is None else stage.case(load)
    return (None, None) if case is None else (stage, with_alone(stage, case) if load == PEAK else case)


def groove_where_it_slips(failing: Failing) -> Iterator[Proposal]:
    """Yield the groove for a flat pulley that slips first."""
    stage = failing.item("grip")
    if stage is not None and stage.layout.pulleys.flat[stage.limiting]:
        yield from grooves(failing)


def grooves(failing: Failing) -> Iterator[Proposal]:
    """Yield a groove for each pulley with power that the belt grips on a flat face; on the back it takes a belt made
    for both sides."""
    stage = failing.item("grip")
    if stage is None:
        return
    layout, p, at = stage.layout, stage.layout.pulleys, f"stage[{failing.part}]"
    section = layout.belt.name if layout.belt else ""
    for i in p.powered:
        if not p.flat[i]:
            continue
        key, each = f"{at}.pulley[{p.names[i]}].surface", "" if stage.belts == 1 else "s"
        if p.inside[i]:
            yield Proposal(f"{_turn(stage.belts, section, p.names[i])}.", {key: "groove"}, clears=True)
        elif section in DOUBLE:
            belts = f"{DOUBLE[section]} belt{each}, made for both sides"
            words = orders(_turn(stage.belts, section, p.names[i]), f"use {belts}")
            made = {key: "groove", f"{at}.section": DOUBLE[section], f"{at}.marked": ""}
            yield Proposal(words, made, clears=True)


def _turn(belts: int, section: str, pulley: str) -> str:
    """Return the order to groove a flat pulley, with the tool and where its sizes stand."""
    many, of = "a groove" if belts == 1 else f"{belts} grooves", f" of section {section}" if section else ""
    return f"Turn {many}{of} into {named('pulley', pulley)} in a lathe, to the table of grooves"


def _load(load: str):
    def found(failing: Failing) -> Iterator[Proposal]:
        yield from more_tension(failing, load)
        yield from more_belts(failing, load)
        yield from groove_where_it_slips(failing)
        yield from idler_moves.to_slack(failing, load)
        yield from idler_moves.wraps_more(failing, load)
        yield from driven_moved(failing)
        yield from more_belts(failing, load, MANY)

    return found


def _overrun(failing: Failing) -> Iterator[Proposal]:
    stage = failing.item("grip")
    if stage is None:
        return
    stop = {f"stage[{failing.part}].takeup.arm_stop": "yes"}
    if stage.sprung and not stage.held_tight:
        arm = named("idler", stage.layout.pulleys.names[stage.layout.idler])
        words = f"Put a stop behind the arm of {arm}: it keeps the belt from pushing the arm back."
        yield Proposal(words, stop)
        for tension in more_tension(failing, "overrun"):
            yield Proposal(orders(words, tension.words), {**stop, **tension.changes})
    yield from more_tension(failing, "overrun")
    yield from more_belts(failing, "overrun")
    yield from more_belts(failing, "overrun", MANY)


def _held_still(failing: Failing) -> Iterator[Proposal]:
    key = f"stage[{failing.part}].{held_checks.SWITCH}"
    yield Proposal("Fit a switch to each driven shaft that stops the engine when it stands.", {key: "yes"})


def _idlers(failing: Failing) -> Iterator[Proposal]:
    yield from idler_moves.to_slack(failing)
    yield from idler_moves.to_slack(failing, "work")
    yield from idler_moves.left_out(failing)


PROPOSALS = carried(
    {
        "grip.margin": _load("work"),
        "grip.start": _load("start"),
        "grip.peak": _load("peak"),
        "grip.full": _load(FULL),
        "grip.overrun": _overrun,
        "grip.held-still": _held_still,
        "grip.idlers": _idlers,
        "grip.flat": grooves,
    }
)

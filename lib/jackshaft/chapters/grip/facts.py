"""The facts of a loop's grip: pull, tension needed, strands, hub loads, draws, and the arm."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jackshaft.chapters.grip import tension
from jackshaft.chapters.grip.cases import SLIDE, slide_force, tension_key
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.grip.more_cases import BRAKE, CLUTCH, JAM
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import BOTH
from jackshaft.units import at_most, first_most

#: Words for loads whose names say too little.
MORE = {CLUTCH: "while the clutch slips", JAM: "with the work jammed", BRAKE: "while the clutch's brake works"}


def facts(draft: Draft, reader: Reader, layout: StageLayout, stage: StageGrip) -> None:
    """Add the facts of one loop."""
    name = layout.name
    draft.fact(
        f"{name}: effective pull",
        reader.number(stage.pull, "force", form=BOTH, known=reader.how("work.power")),
        "tight strand less slack strand, all belts together",
    )
    _needed(draft, reader, stage)
    if stage.net is not None:
        _strands(draft, reader, layout, stage)
    if stage.shares is not None:
        share = stage.shares
        peak = "" if share.peak is None else f", {percent(share.peak)} at the peak"
        draft.fact(
            f"{name}: trials that hold",
            reader.number(share.work, "number", f"{percent(share.work)} at work{peak}", by="percent"),
            f"of {share.count} trials with values within their tolerances; most of the scatter: {share.drivers[0][0]}",
        )
    if stage.way == SLIDE:
        force = slide_force(layout, stage.needed if stage.hold is None else stage.hold)
        draft.fact(
            f"{name}: force on the sliding motor",
            reader.number(force, "force", form=BOTH, known=reader.how(tension_key(layout, stage.way))),
            "along the line of centres, away from the driven pulley; a weight or a spring must give it all the time"
            + ("" if stage.hold is not None else ": what just holds the work"),
        )
    tension.arm_facts(draft, reader, stage.set)


def why_one_pulls_harder(draft: Draft, reader: Reader, stages: Mapping[str, StageGrip]) -> None:
    """Add what makes the pull of one belt more than that of another, where there are several."""
    if len(stages) < 2:
        return
    hardest = max(stages.values(), key=lambda s: s.pull)
    parts = []
    for stage in stages.values():
        p = stage.layout.pulleys
        radius = float(p.pitch[p.driver])
        torque = reader.show(stage.pull * radius, "torque")
        parts.append(f"{stage.name} {torque} on {p.names[p.driver]} over {reader.show(radius, 'length', digits=3)}")
    draft.fact(
        "belt that pulls hardest",
        reader.number(hardest.pull, "force", f"{{}} in {hardest.name}", form=BOTH, known=reader.how("work.power")),
        f"pull is torque over radius, and a slower shaft carries more torque for the same power: {'; '.join(parts)}",
    )


def _needed(draft: Draft, reader: Reader, stage: StageGrip) -> None:
    """Add the tension that just holds the work, and the one for the hardest load where that is another.

    A spring in the tight strand is told what it would hold in the slack one: nobody should set the other.
    """
    cases = [c for c in stage.cases if c.name in ("start", "work", "peak")]
    hardest = cases[first_most([c.needed for c in cases])]
    for load in dict.fromkeys(("work", hardest.name)):
        case = stage.case(load)
        ends = case.needed, case.needed_bad
        if stage.held_tight:
            ends = tuple(stage.in_slack(end, case) for end in ends)
        if stage.held_tight:
            arm = stage.layout.pulleys.names[stage.layout.idler]
            note = f"in the slack strand, where the spring belongs; {arm} stands in the tight one"
        else:
            note = f"strand from {stage.held}" if stage.sprung else "each strand at rest"
        note += "" if load == "work" else f"; {case.factor:g} times the working load"
        note += "" if stage.per == 1 else f", {reader.show(ends[0] / stage.per, 'force')} per belt"
        number = reader.number(ends[0], "force", form=BOTH, high=ends[1], source="shigley")
        draft.fact(f"{stage.name}: tension that just holds the {load}", number, note)


def _strands(draft: Draft, reader: Reader, layout: StageLayout, stage: StageGrip) -> None:
    """Add the strands at work and the largest hub load; a tension must be known."""
    known = reader.how(tension_key(layout, stage.way))
    tight, slack = stage.net.max() + stage.centrifugal, stage.net.min() + stage.centrifugal
    draft.fact(
        f"{layout.name}: strands at work",
        reader.number(tight, "force", f"{{}} tight, {reader.show(slack, 'force')} slack", known=known),
        ("the belt slips, this is what it carries; " if stage.case("work").slips else "")
        + f"{reader.show(stage.centrifugal, 'force')} of each only bends the belt round at speed",
    )
    hub = np.hypot(*stage.hub.T)
    k, rest = first_most(hub), np.hypot(*stage.hub_rest.T)
    more = " (more than running)" if not at_most(rest[k], hub[k]) else ""
    slips = " as the belt slips" if stage.case("work").slips else ""
    draft.fact(
        f"{layout.name}: largest hub load at work",
        reader.number(hub[k], "force", f"{{}} on {layout.pulleys.names[k]}", form=BOTH, known=known),
        f"{reader.show(rest[k], 'force')} there at rest{more}{slips}",
    )
    for i in layout.idlers:
        loads = {c.name: float(np.hypot(*c.hub[i])) for c in stage.cases}
        most = list(loads)[first_most(np.array([*loads.values()]))]
        draft.fact(
            f"{layout.name}: load on the pin of {layout.pulleys.names[i]}",
            reader.number(loads["work"], "force", "{} at work", form=BOTH, known=known),
            f"{reader.show(rest[i], 'force')} at rest; at the most {reader.show(loads[most], 'force')}"
            + ("" if at_most(loads[most], loads["work"]) else f" ({MORE.get(most, most)})"),
        )


def percent(share: float) -> str:
    """Return a share of draws as text; it is all or none only where every draw agrees."""
    if share in (0.0, 1.0):
        return f"{100 * share:.0f} %"
    if share > 0.9995 or share < 0.0005:
        return "over 99.9 %" if share > 0.5 else "under 0.1 %"
    return f"{100 * share:.1f} %"


__all__ = ["facts", "percent"]

"""The tension panel: tension, load, friction and belts of one loop, and the tension that a push or a pluck shows."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

import numpy as np

from jackshaft.buildfile import Build
from jackshaft.chapters.grip.checks import USUAL
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.grip.facts import percent
from jackshaft.chapters.grip.figure import GripView, picture_of
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.chapters.layout.panel import compared_grip, tension_controls
from jackshaft.drawing.view import view_name
from jackshaft.results import Again, Number, Results
from jackshaft.results.checks import GO, Fact
from jackshaft.ui.base import Panel
from jackshaft.ui.each_shaft import each_shaft, in_common
from jackshaft.ui.ends import shown
from jackshaft.ui.model import Action, Compared, Control, Outcome
from jackshaft.ui.one_part import belt_stage, belt_stages, found_of
from jackshaft.ui.ranges import diameter_control
from jackshaft.units import POUND_FORCE, Measure, show, write

#: What an empty coefficient of friction means.
TABLE = "left empty: the value of the table"
STRAND, FORCE, PLUCK = "strand", "measured_force", "measured_frequency"


def controls(build: Build, stage: str, found: StageGrip | None, layout: StageLayout) -> tuple[Control, ...]:
    """Return the controls of one belt stage: tension, load, friction, pulleys, and what was measured."""
    at, p = f"stage[{stage}]", layout.pulleys
    made = [*tension_controls(build, stage), Control(f"{at}.belts", "Belts", "1 to 4 by 1", group="Tension")]
    if build.get("work.power_at") is not None:
        power = ("0.5 to 20 hp by 0.1", "0.5 to 15 kW by 0.1")
        made.append(Control("work.power", "Power at work", power, group="Load"))
    back = f"How hard the work drives back. {USUAL}"
    made += [
        *[Control("work.peak_factor", "Peak over working load", "1 to 4 by 0.1", group="Load")]
        * in_common(build, "peak_factor"),
        Control("work.overrun_factor", "Overrun over working load", "0 to 1.5 by 0.05", group="Load", help=back),
    ]
    for surface, there, run in (
        ("groove", not p.flat.all(), "0.1 to 0.6 by 0.01"),
        ("flat", bool(p.flat.any()), "0.1 to 0.4 by 0.01"),
    ):
        made += [
            Control(f"{at}.friction_{surface}{end}", f"{words}, {surface}", run, group="Friction", help=TABLE)
            for end, words in (("", "Coefficient"), ("_bad", "Bad end"))
            if there
        ]
    for i in p.powered:
        made.append(diameter_control(build, f"{at}.pulley[{p.names[i]}]", p.names[i], "Pulleys"))
    made += each_shaft(build, "start_factor", "peak_factor", "load_curve")
    if found is not None:
        made += _measured(build, found)
    return tuple(made)


def _measured(build: Build, found: StageGrip) -> list[Control]:
    """Return the what-ifs of the inverse: the strand, the force at its deflection, the pluck frequency."""
    setting, system = found.set, build.system
    best = setting.best
    number, unit = write(float(f"{best.force:.3g}"), "force", system).split()
    # as many figures as the field has room for
    force = f"{float(number):.4g} {unit}"
    group, words = "Measured on the belt (never kept)", tuple(s.words for s in setting.strands)
    pushed = f"at mid-span of that strand, on {'one belt' if setting.together == 1 else 'all of it at once'}"
    made = [
        Control(None, "Strand", choices=words, name=STRAND, start=best.words, group=group),
        Control(
            None,
            "Force that gives the deflection",
            ("0.5 to 20 lbf by 0.1", "2 to 90 N by 0.5"),
            "force",
            name=FORCE,
            start=force,
            hard_low="0 N",
            group=group,
            help=pushed,
        ),
    ]
    if best.frequency is not None:
        start, run = f"{best.frequency:.0f} Hz", "5 to 150 Hz by 1"
        made.append(
            Control(None, "Pluck frequency", run, "frequency", name=PLUCK, start=start, hard_low="1 Hz", group=group)
        )
    return made


def outcome_of(build: Build, whatif: Mapping[str, object], *, stage: str, worker: Again | None = None) -> Outcome:
    """Work up one belt stage as a panel shows it: grip, capacity, and what the measurements show."""
    results = (worker or Again("capacity", stage=stage))(build)
    return shown(results, partial(_outcome, whatif=whatif, stage=stage))


def _outcome(results: Results, whatif: Mapping[str, object], stage: str) -> Outcome:
    build = results.build
    facts, checks = found_of(results, ("grip", "capacity"), stage)
    # a loop that cannot be drawn is the layout's to explain
    path = [c for c in found_of(results, ("layout",), stage)[1] if c.id == f"layout.path[{stage}]" and c.verdict != GO]
    found = (results.chapters["grip"].data or {}).get(stage)
    if found is not None:
        facts += found_by(build, found, whatif)
    return Outcome(facts, (*path, *checks), picture_of(results, stage), _compare(results, stage))


def found_by(build: Build, found: StageGrip, whatif: Mapping[str, object]) -> tuple[Fact, ...]:
    """Return the tension that a force or a frequency, measured on a strand, shows."""
    setting, system = found.set, build.system
    strand = next((s for s in setting.strands if s.words == whatif.get(STRAND)), setting.best)
    force, pluck = whatif.get(FORCE), whatif.get(PLUCK)
    facts = []
    if isinstance(force, Measure):
        pushed = show(strand.distance, "length", system, digits=2)
        how = f"{show(force.si, 'force', system)} at {pushed} on {strand.words}"
        facts.append(_by("tension from this force", setting.of_force(force.si), found, system, how))
    tension = setting.of_frequency(pluck.si, strand) if isinstance(pluck, Measure) else None
    if tension is not None:
        how = f"{show(pluck.si, 'frequency', system)} on {strand.words}"
        facts.append(_by("tension from this frequency", tension, found, system, how))
    return tuple(facts)


def _by(label: str, tension: float, found: StageGrip, system: str, how: str) -> Fact:
    if tension <= 0.0:
        return Fact(label, "none", f"{how}: the stiffness of the belt alone explains it")
    need = found.needed / found.belts
    word = "holds" if tension >= need else "does not hold"
    return Fact(
        label,
        Number(tension, "force", system, words="{} a belt"),
        f"{how}; {word} the work, which needs {show(need, 'force', system)}",
    )


def _compare(results: Results, stage: str) -> dict[str, Compared]:
    system = results.build.system
    grip = (results.chapters["grip"].data or {}).get(stage)
    compare = compared_grip(grip, system)
    if grip is not None and grip.margin is not None:
        draws = Number(grip.shares.work, "number", system, words=percent(grip.shares.work))
        compare["grip, bad end"] = Compared(Number(grip.margin_bad, "number", system, decimals=2), "higher")
        compare["trials that hold at work"] = Compared(draws, "higher")
    capacity = (results.chapters["capacity"].data or {}).get(stage)
    if grip is not None and capacity is not None and capacity.carried is not None:
        share = Number(capacity.carried / capacity.design, "number", system, decimals=2)
        compare["rated over needed power"] = Compared(share, "higher")
    return compare


def tension_for(build: Build, outcome: Outcome, *, stage: str, case: str) -> dict[str, str]:
    """Return the tension that holds a load case at the bad end of friction.

    Raises
    ------
    ValueError
        If the load is not known, or the build does not say how hard the case is.
    """
    found = outcome.picture.stage if outcome.picture else None
    required = None if found is None else found.case(case)
    if required is None:
        raise ValueError(f"the load {'at the ' if case == 'peak' else 'at '}{case} is not known yet")
    if found.held_tight:
        raise ValueError("the spring stands in the tight strand, where more tension is no cure: move it first")
    kind = "slack_tension" if found.sprung else "static_tension"
    each = required.needed_bad / (1 if found.sprung else found.belts)
    # Rounded up to what a spring scale reads, so that the margin is not lost in the last digit.
    unit = POUND_FORCE if build.system == "inch" else 5.0
    return {f"stage[{stage}].takeup.{kind}": write(float(np.ceil(each / unit - 1e-9)) * unit, "force", build.system)}


#: What the panel is about one of, and which there are.
PARTS = ("Belt stage", belt_stages)


def panel(build: Build, stage: str | None = None) -> Panel:
    """Return the live panel of one belt stage's tension; of the first one when none is named.

    Raises
    ------
    ValueError
        If the build has no belt stage of that name with its pulleys and places known.
    """
    stage = belt_stage(build, stage)
    worker = Again("capacity", stage=stage)
    mine = partial(outcome_of, stage=stage, worker=worker)
    picture = mine(build, {}).picture
    if picture is None:
        raise ValueError(f"sizes or places of the pulleys of '{stage}' are not known yet, so there is nothing to move")
    name = view_name("grip-panel", stage)
    return Panel(
        build,
        title=f"Try the tension: {stage}",
        controls=controls(build, stage, picture.stage, picture.layout),
        outcome_of=mine,
        view=GripView(name, picture),
        actions=tuple(
            Action(
                f"Tension for the {case}",
                partial(tension_for, stage=stage, case=case),
                f"the least that holds the {case} at the bad end of friction",
            )
            for case in ("work", "peak")
        ),
    )

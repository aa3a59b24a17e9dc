"""The tension panel: tension, load, friction and belts of one loop, and what a push or a pluck tells."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

import numpy as np

from jackshaft.buildfile import Build
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.grip.facts import percent
from jackshaft.chapters.grip.figure import GripView, picture_of
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.chapters.layout.panel import tension_controls
from jackshaft.drawing.view import view_name
from jackshaft.results import Again, Number, Results
from jackshaft.results.checks import GO, Fact
from jackshaft.ui.base import Panel
from jackshaft.ui.model import Action, Compared, Control, Outcome
from jackshaft.ui.ranges import size_control
from jackshaft.ui.stages import said_of
from jackshaft.units import POUND_FORCE, Measure, show, write

STRAND, FORCE, PLUCK = "strand", "measured_force", "measured_frequency"


def controls(build: Build, stage: str, found: StageGrip | None, layout: StageLayout) -> tuple[Control, ...]:
    """Return the controls of one belt stage: tension, load, friction, pulleys, and what was measured."""
    at, p = f"stage[{stage}]", layout.pulleys
    made = [
        *tension_controls(build, at),
        _figure(f"{at}.belts", "Belts", "Tension", "1 to 4", "1", kind="count"),
    ]
    if build.get("work.power_at") is not None:
        made.append(
            Control(
                "work.power",
                "Power at work",
                "power",
                low=("0.5 hp", "0.5 kW"),
                high=("20 hp", "15 kW"),
                step=("0.1 hp", "0.1 kW"),
                group="Load",
            )
        )
    back = "how hard the work drives back"
    made += [
        _figure("work.peak_factor", "Peak over working load", "Load", "1 to 4", "0.1"),
        _figure("work.overrun_factor", "Overrun over working load", "Load", "0 to 1.5", "0.05", help=back),
    ]
    for surface, there, span in (
        ("groove", not p.flat.all(), "0.1 to 0.6"),
        ("flat", bool(p.flat.any()), "0.1 to 0.4"),
    ):
        ends = (("", "Coefficient"), ("_bad", "Bad end")) if there else ()
        made += [
            _figure(
                f"{at}.friction_{surface}{end}",
                f"{words}, {surface}",
                "Friction",
                span,
                "0.01",
                help="empty: from the table",
            )
            for end, words in ends
        ]
    for i in (p.driver, p.driven):
        key = f"{at}.pulley[{p.names[i]}]"
        line = build.get(f"{key}.measured_as") or "pitch"
        made.append(size_control(build, f"{key}.diameter", f"{p.names[i]} {line} diameter", "Pulleys"))
    if found is not None:
        made += _measured(build, found)
    return tuple(made)


def _figure(key: str, label: str, group: str, span: str, step: str, kind="number", help="") -> Control:
    """Return the control of a number without a unit; ``span`` of its slider is written "least to most"."""
    low, high = span.split(" to ")
    return Control(key, label, kind, low=low, high=high, step=step, group=group, help=help)


def _measured(build: Build, found: StageGrip) -> list[Control]:
    """Return the what-ifs of the inverse: the strand, the force at its deflection, the pluck frequency."""
    setting, system = found.set, build.system
    best = setting.best
    number, unit = write(float(f"{best.force:.3g}"), "force", system).split()
    # as many figures as the field has room for
    force = f"{float(number):.4g} {unit}"
    group = "Measured on the belt (never kept)"
    made = [
        Control(
            None,
            "Strand",
            "choice",
            name=STRAND,
            start=best.words,
            choices=tuple(s.words for s in setting.strands),
            group=group,
        ),
        Control(
            None,
            "Force that gives the deflection",
            "force",
            name=FORCE,
            start=force,
            low=("0.5 lbf", "2 N"),
            high=("20 lbf", "90 N"),
            step=("0.1 lbf", "0.5 N"),
            hard_low="0 N",
            group=group,
            help="at mid-span of that strand, on one belt",
        ),
    ]
    if best.frequency is not None:
        made.append(
            Control(
                None,
                "Pluck frequency",
                "frequency",
                name=PLUCK,
                start=f"{best.frequency:.0f} Hz",
                low="5 Hz",
                high="150 Hz",
                step="1 Hz",
                hard_low="1 Hz",
                group=group,
            )
        )
    return made


def outcome_of(build: Build, whatif: Mapping[str, object], *, stage: str, worker: Again | None = None) -> Outcome:
    """Work up one belt stage as a panel shows it: grip, capacity, and what the measurements tell."""
    results = (worker or Again("capacity", stage=stage))(build)
    facts, checks = said_of(results, ("grip", "capacity"), stage)
    # A loop that cannot be drawn is the layout's to explain.
    checks = [
        c for c in said_of(results, ("layout",), stage)[1] if c.id == f"layout.path[{stage}]" and c.verdict != GO
    ] + checks
    found = (results.chapters["grip"].data or {}).get(stage)
    if found is not None:
        facts += told_by(build, found, whatif)
    return Outcome(tuple(facts), tuple(checks), picture_of(results, stage), _compare(results, stage))


def told_by(build: Build, found: StageGrip, whatif: Mapping[str, object]) -> list[Fact]:
    """Return the tension that a force or a frequency, measured on a strand, tells."""
    setting, system = found.set, build.system
    strand = next((s for s in setting.strands if s.words == whatif.get(STRAND)), setting.best)
    facts = []
    force, pluck = whatif.get(FORCE), whatif.get(PLUCK)
    if isinstance(force, Measure):
        facts.append(
            _told(
                "tension that this force shows",
                setting.of_force(force.si),
                found,
                system,
                f"{show(force.si, 'force', system)} at {show(strand.distance, 'length', system, digits=2)} on "
                f"{strand.words}",
            )
        )
    if isinstance(pluck, Measure):
        tension = setting.of_frequency(pluck.si, strand)
        if tension is not None:
            facts.append(
                _told(
                    "tension that this frequency shows",
                    tension,
                    found,
                    system,
                    f"{show(pluck.si, 'frequency', system)} on {strand.words}",
                )
            )
    return facts


def _told(label: str, tension: float, found: StageGrip, system: str, how: str) -> Fact:
    if tension <= 0.0:
        return Fact(label, "none", f"{how}: the belt's own stiffness alone explains it")
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
    if grip is None:
        return {}
    compare = {"tension needed": Compared(show(grip.needed, "force", system), grip.needed, "lower")}
    if grip.margin is not None:
        worst = float(np.max(np.hypot(*grip.hub.T)))
        compare |= {
            "grip, times the work": Compared(f"{grip.margin:.2f}", grip.margin, "higher"),
            "grip, bad end": Compared(f"{grip.margin_bad:.2f}", grip.margin_bad, "higher"),
            "draws that hold at work": Compared(percent(grip.shares.work), grip.shares.work, "higher"),
            "largest hub load": Compared(show(worst, "force", system), worst, "lower"),
        }
    capacity = (results.chapters["capacity"].data or {}).get(stage)
    if capacity is not None and capacity.carried is not None:
        share = capacity.carried / capacity.design
        compare["rated over needed power"] = Compared(f"{share:.2f}", share, "higher")
    return compare


def tension_for(build: Build, outcome: Outcome, *, stage: str, case: str) -> dict[str, str]:
    """Return the tension that holds a load case at the bad end of friction.

    Raises
    ------
    ValueError
        If the load is not known, or the build does not say how hard the case is.
    """
    found = outcome.picture.stage if outcome.picture else None
    wanted = None if found is None else found.case(case)
    if wanted is None:
        raise ValueError(f"the load {'at the ' if case == 'peak' else 'at '}{case} is not known yet")
    kind = "slack_tension" if found.sprung else "static_tension"
    each = wanted.needed_bad / (1 if found.sprung else found.belts)
    # Rounded up to what a spring scale reads, so that the margin is not lost in the last digit.
    unit = POUND_FORCE if build.system == "inch" else 5.0
    return {f"stage[{stage}].takeup.{kind}": write(float(np.ceil(each / unit - 1e-9)) * unit, "force", build.system)}


def panel(build: Build, stage: str | None = None) -> Panel:
    """Return the live panel of one belt stage's tension; of the first one when none is named.

    Raises
    ------
    ValueError
        If the build has no belt stage of that name with its pulleys and places known.
    """
    belts = [n for n in build.names("stage") if build.get(f"stage[{n}].kind") == "belt"]
    if stage is None and belts:
        stage = belts[0]
    if stage not in belts:
        raise ValueError(f"no belt stage is called '{stage}'; there is {', '.join(belts) or 'none'}")
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
        actions=(
            Action(
                "Tension for the work",
                partial(tension_for, stage=stage, case="work"),
                "the least that holds the work at the bad end of friction",
            ),
            Action(
                "Tension for the peak",
                partial(tension_for, stage=stage, case="peak"),
                "the least that holds the peak at the bad end of friction",
            ),
        ),
    )

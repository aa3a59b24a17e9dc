"""The tables of a loop's grip: load cases, strands, hub loads, margins, friction, draws, tension without a gauge."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from jackshaft.chapters.grip import held_checks, tension
from jackshaft.chapters.grip.cases import CASES, LOCKED, SLIDE, SPRING, Case, Condition, Load, solve_cases, tension_key
from jackshaft.chapters.grip.data import StageGrip
from jackshaft.chapters.grip.more_cases import BRAKE, CLUTCH, FULL, JAM
from jackshaft.chapters.grip.uncertainty import COUNT
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.parts.seldom import is_held_still
from jackshaft.results.checks import Table
from jackshaft.results.reader import Reader
from jackshaft.results.values import GIVEN, Number, Value

#: What each way of keeping the belt tight does to its strands.
KEEPS = {
    SPRING: "The spring keeps its strand at one tension, so the tight strand rises with the load.",
    SLIDE: "The sliding motor keeps the pull on its shaft, so what one strand gains another loses; speed takes nothing "
    "away.",
    LOCKED: "With locked centres the mean of all strands stays what it was at rest: what one strand gains another "
    "loses.",
}

#: What the loads that do not come from the work are called.
WORDS = {
    FULL: "work at full throttle",
    CLUTCH: "clutch slipping",
    JAM: "work jammed",
    BRAKE: "clutch's brake, the other way round",
}

JAMMED = (
    "In a jam a shaft of the work stands still: the pull is the least of what the belt holds at the high end of "
    "friction, what the clutch holds, and what the engine gives with what turns on its crank, stopped within a quarter "
    "of a turn (common practice, no source); a part that gives before makes it less. "
)

SIDES = {1: "tight", -1: "slack", 0: "between"}


def tables_of(reader: Reader, layout: StageLayout, stage: StageGrip) -> list[Table]:
    """Return the tables of one loop; those that need a known tension are left out without one."""
    found = [_needs(reader, layout, stage)]
    if stage.net is not None:
        found += [_strands(reader, layout, stage), _hubs(reader, layout, stage), _margins(reader, layout, stage)]
        found += _more(reader, layout, stage)
        found += held_checks.tables_of(reader, layout, stage)
    found += [_friction(reader, layout, stage), _worked(reader, layout, stage)]
    if stage.shares is not None:
        found.append(_draws(reader, stage))
    found.append(tension.table_of(reader, layout, stage.set))
    return found


def _times(reader: Reader, case: Case) -> Number:
    if case.factor is None:
        return reader.number(1.0, "number", "as at work", known="assumed")
    named = {
        "work": "work.power",
        "design": "work.service_factor",
        CLUTCH: "clutch.static_torque",
        BRAKE: "clutch.brake_torque",
    }
    key = named.get(case.name, f"work.{case.name}_factor" if case.name in CASES else "work.power")
    # as it was typed, or to three digits where it was reckoned
    how = {"form": GIVEN} if case.name in (*CASES, "design") else {"digits": 3}
    return reader.number(case.factor, "number", "{} × work", known=reader.how(key), **how)


def design_case(reader: Reader, stage: StageGrip) -> Case | None:
    """Return work times the service factor as a case of its own, or None where the build has no factor."""
    factor = reader.si("work.service_factor")
    if factor is None or factor == 1.0:
        return None
    loads = {"design": Load(factor, factor * stage.pulls, stage.centrifugal)}
    return solve_cases(stage, loads)[0]


def _needs(reader: Reader, layout: StageLayout, stage: StageGrip) -> Table:
    design = design_case(reader, stage)
    rows = []
    for case in (
        *(c for c in stage.cases if c.name != JAM and not is_held_still(c.name)),
        *((design,) if design else ()),
    ):
        name = "work × service factor" if case.name == "design" else case.name
        least = (case.needed / stage.per, case.needed_bad / stage.per)
        forces = (np.max(np.abs(case.pulls)), case.tight, case.slack, *least)
        rows.append((name, _times(reader, case), *(reader.number(force, "force") for force in forces)))
    held = f"the strand from {stage.held}, all belts together"
    where = held if stage.sprung else "each strand of each belt at rest"
    bad = "friction" if not stage.scatter else f"friction and of a tension that may be {100 * stage.scatter:.0f} % off"
    return Table(
        f"{layout.name}: least tension for each load",
        ("load", "how hard", "pull", "tight strand", "slack strand", "set at least", "at the bad end"),
        tuple(rows),
        "Strands when the belt is just about to slip, all belts together, without the part that only bends the belt "
        f"round at speed ({reader.show(stage.centrifugal, 'force')}). 'Set at least' is for {where}; the bad end is "
        f"that of {bad}. In overrun the work drives the engine and the strands swap.",
    )


def _strands(reader: Reader, layout: StageLayout, stage: StageGrip) -> Table:
    known, rows = reader.how(tension_key(layout, stage.way)), []
    for i, role in enumerate(stage.strand_role):
        forces = [stage.rest, *(c.net[i] + c.centrifugal for c in _base(stage))]
        rows.append(
            (layout.strand(i), SIDES[int(role)], *(reader.number(force, "force", known=known) for force in forces))
        )
    return Table(
        f"{layout.name}: tension of every strand",
        ("strand", "side at work", "at rest", *_heads(stage)),
        tuple(rows),
        "All belts together, the centrifugal part counted. " + KEEPS[stage.way] + _slips(_base(stage)),
    )


def _base(stage: StageGrip) -> tuple[Case, ...]:
    return tuple(c for c in stage.cases if c.name in CASES)


def _heads(stage: StageGrip) -> tuple[str, ...]:
    return tuple("overrun as hard as work" if c.factor is None else c.name for c in _base(stage))


def _slips(cases: Sequence[Case]) -> str:
    slips = [c.name for c in cases if c.slips and c.name != JAM]
    if not slips:
        return ""
    return f" Under {', '.join(slips)} the belt slips: what stands there is what it carries as it slips, not the load."


def _hubs(reader: Reader, layout: StageLayout, stage: StageGrip) -> Table:
    rest, known = np.hypot(*stage.hub_rest.T), reader.how(tension_key(layout, stage.way))
    rows, above = [], []
    for i, name in enumerate(layout.pulleys.names):
        sizes = [rest[i], *(np.hypot(*c.hub[i]) for c in _base(stage))]
        toward = reader.number(np.arctan2(stage.hub[i][1], stage.hub[i][0]), "angle")
        rows.append((name, *(reader.number(s, "force", known=known) for s in sizes), toward))
        if rest[i] > np.hypot(*stage.hub[i]):
            above.append(name)
    note = "Force of the belt on each shaft, all belts together; directions point 0° right, 90° up. "
    note += (
        f"At rest the pull on {', '.join(above)} is more than running."
        if above
        else "None of them is pulled harder at rest than running."
    ) + _slips(_base(stage))
    return Table(
        f"{layout.name}: hub loads", ("pulley", "at rest", *_heads(stage), "toward, at work"), tuple(rows), note
    )


def _more(reader: Reader, layout: StageLayout, stage: StageGrip) -> list[Table]:
    """Return the table of the loads that do not come from the work; none where there are none."""
    cases = [c for c in stage.cases if c.name not in CASES and not is_held_still(c.name)]
    rows = [
        (
            WORDS.get(c.name, c.name),
            reader.number(c.factor, "number", "{} × work", decimals=2),
            reader.number(np.max(np.abs(c.pulls)), "force"),
            reader.number(
                c.least, "number", "{} × ({low} to {high} ×)", low=c.least_bad, high=c.least_high, decimals=2
            ),
            *(reader.number(float(np.hypot(*hub)), "force") for hub in c.hub),
        )
        for c in cases
    ]
    if not rows:
        return []
    heads = ("load", "how hard", "pull", "of it the belt holds", *(f"hub of {n}" for n in layout.pulleys.names))
    return [
        Table(
            f"{layout.name}: loads that do not come from the work",
            heads,
            tuple(rows),
            "A clutch that slips is taken cold, with faces run in and its full voltage. "
            + ("" if layout.pulleys.several else JAMMED)
            + "In brackets the bad and the high end."
            + _slips(cases),
        )
    ]


def _margins(reader: Reader, layout: StageLayout, stage: StageGrip) -> Table:
    p = layout.pulleys
    rows = []
    for i in sorted(p.powered):
        held = [
            reader.number(c.margin[i], "number", "{} × ({low} ×)", low=c.margin_bad[i], decimals=2)
            for c in _base(stage)
        ]
        likely, bad = stage.friction.likely[i], stage.friction.bad[i]
        rows.append(
            (
                p.names[i] + (" (slips first)" if i == stage.limiting else ""),
                "flat" if p.flat[i] else "groove",
                reader.number(layout.path.wrap[i], "angle"),
                reader.number(likely, "number", "{} ({low})", low=bad, form=GIVEN),
                *held,
            )
        )
    return Table(
        f"{layout.name}: what each pulley holds",
        ("pulley", "surface", "wrap", "coefficient (bad end)", *_heads(stage)),
        tuple(rows),
        "Multiples of the load of that column at which the pulley slips, at the bad end of friction in brackets. "
        "Idlers take no power and cannot slip.",
    )


def _friction(reader: Reader, layout: StageLayout, stage: StageGrip) -> Table:
    p = layout.pulleys
    rows = []
    for i in p.powered:
        wrap = float(layout.path.wrap[i])
        for c in stage.friction.conditions[i]:
            ratio = float(np.exp(c.likely * wrap))
            pull = abs(float(stage.pulls[i]))
            slack = pull / (ratio - 1.0)
            rows.append(
                (
                    p.names[i],
                    f"{c.surface}, {c.state}",
                    _band(reader, c),
                    reader.number(ratio, "number", decimals=2),
                    reader.number(slack + pull, "force"),
                    reader.number(slack, "force"),
                    c.source if c.known in c.source.lower() else f"{c.source} ({c.known})",
                )
            )
    heads = ("coefficient", "tight over slack", "tight at least", "slack at least")
    return Table(
        f"{layout.name}: friction, and what each pulley asks for at work",
        ("pulley", "surface and state", *heads, "source"),
        tuple(rows),
        "In a groove the coefficient has the wedge in it already, tight over slack 5 at half a turn as the trade "
        "designs: a measured friction of 0.3 with the wedge counted on top would promise 21. No figure for a wet "
        "groove is known. Your own figures, likely and at the bad end, go into the build: write them down on the "
        "start page, or keep them from the panel.",
    )


def _worked(reader: Reader, layout: StageLayout, stage: StageGrip) -> Table:
    """Return the reckoning at the pulley that slips first, with its numbers put in."""
    rows = [*_worked_slip(reader, layout, stage), *_worked_hold(reader, stage)]
    return Table(
        f"{layout.name}: worked with the numbers put in",
        ("step", "formula", "numbers", "result"),
        tuple(rows),
        f"At {layout.pulleys.names[stage.limiting]}, which slips first, with the likely coefficient. Budynas and "
        "Nisbett (Shigley), ch. 17.",
        aside=True,
    )


def _worked_slip(reader: Reader, layout: StageLayout, stage: StageGrip) -> Iterator[tuple[Value, ...]]:
    """Yield the steps to the slack strand at slip, and what speed takes of it."""
    wrap, k = float(layout.path.wrap[stage.limiting]), float(stage.friction.likely[stage.limiting])
    ratio = float(np.exp(k * wrap))
    here = abs(float(stage.pulls[stage.limiting]))
    pull, speed = reader.number(here, "force"), reader.show(layout.speed, "surface speed")
    power = reader.show(here * layout.speed, "power")
    yield "effective pull", "power ÷ belt speed", f"{power} ÷ {speed}", pull
    yield (
        "tight over slack at slip",
        "e^(coefficient × wrap in radians)",
        f"e^({k:g} × {wrap:.3f})",
        reader.number(ratio, "number", decimals=3),
    )
    slack = reader.number(here / (ratio - 1.0), "force")
    yield "slack strand at slip", "pull ÷ (that − 1)", f"{pull} ÷ {ratio - 1:.3f}", slack
    if layout.belt is not None:
        yield (
            "what only bends the belt round",
            "mass a length × speed² × belts",
            f"{reader.show(layout.belt.mass, 'linear density')} × ({speed})² × {stage.belts}",
            reader.number(stage.centrifugal, "force"),
        )


def _worked_hold(reader: Reader, stage: StageGrip) -> Iterator[tuple[Value, ...]]:
    """Yield the steps from the slack strand to what must hold the belt, and the margin where that is known."""
    locked, needed = stage.way == LOCKED, reader.number(stage.needed, "force")
    if stage.layout.pulleys.several:
        which = f"the strand from {stage.held}" if stage.sprung else "each strand at rest, all belts"
        yield which, "the slack strand there, carried over the other pulleys' pulls", "", needed
    elif stage.sprung:
        which = "tight" if stage.held_tight else "slack"
        yield "the idler must hold", f"the {which} strand at slip", "", needed
    else:
        formula = "about pull ÷ 2 + slack at slip" + (" + m v²" if locked else "")
        yield "each strand at rest, all belts", formula, "weighed by the lengths of the strands", needed
    if stage.margin is not None:
        lost = stage.centrifugal if locked else 0.0
        usable, need = (reader.show(force - lost, "force") for force in (stage.hold, stage.needed))
        margin = reader.number(stage.margin, "number", "{} ×", low=stage.margin_bad, decimals=2)
        yield "margin", "what grips ÷ what is needed", f"{usable} ÷ {need}", margin


def _band(reader: Reader, c: Condition) -> Number:
    words = "{}" if c.low == c.high else "{} ({low} to {high})"
    return reader.number(c.likely, "number", words, low=c.low, high=c.high, known=c.known, form=GIVEN)


def _draws(reader: Reader, stage: StageGrip) -> Table:
    tolerances = {t.label: t for t in stage.shares.tolerances}
    rows = []
    for label, share, sign in stage.shares.drivers:
        t = tolerances[label]
        way = "" if share < 0.005 else "more of it helps" if sign > 0 else "more of it hurts"
        words = "under 1 %" if share < 0.005 else "{}"
        rows.append((label, t.amount, t.source, reader.number(share, "number", words, by="percent", decimals=0), way))
    broken = f" In {100 * stage.shares.broken:.1f} % the belt could not go round." if stage.shares.broken else ""
    return Table(
        f"{stage.name}: what the scatter comes from",
        ("uncertain", "how far off", "from", "share of the scatter", "which way"),
        tuple(rows),
        f"{COUNT} trials, each with values taken by chance within their tolerances, friction mostly near its likely "
        f"value; nine in ten trials hold between {stage.shares.low:.2f} and {stage.shares.high:.2f} times the "
        f"work.{broken} A tolerance written into the build, as plus or minus, takes the place of the common one.",
        aside=True,
    )


__all__ = ["SIDES", "design_case", "tables_of"]

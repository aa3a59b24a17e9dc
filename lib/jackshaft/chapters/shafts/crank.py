"""The belt's pull on the engine's own shaft: its maker's limit, and what an outboard bearing leaves of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

import numpy as np

from jackshaft.chapters.ratio.analysis import ENGINE
from jackshaft.mechanics import shaft_rules, shaft_strength
from jackshaft.mechanics import shafts as beam
from jackshaft.results.checks import GO, Table, grade
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.results.values import BOTH

#: Distances of an outboard bearing from the engine's, over that of the belt, that the table shows.
REACHES = (1.25, 1.5, 2.0, 3.0)
WHERE = "own-derivation, moment about the engine's bearing"


class Outboard(NamedTuple):
    """An outboard bearing at a distance from the engine's, m: what each carries, N, and the most bending, N·m."""

    reach: float
    left: float
    carried: float
    bending: float


class Crank(NamedTuple):
    """The pull on the crank at work and at most, N, its arm from the engine's bearing, m, and the alternative."""

    stage: str
    pull: float
    most: float
    case: str
    arm: float | None
    limit: float | None
    outboard: tuple[Outboard, ...]


def check(draft: Draft, reader: Reader, done: Mapping[str, Findings]) -> Crank | None:
    """Add the check of the belt's pull on the engine's shaft against its maker's limit."""
    grips, layouts = done["grip"].data or {}, done["layout"].data or {}
    stage = next((n for n in grips if reader.get(f"stage[{n}].from") == ENGINE), None)
    if stage is None or grips[stage].hub is None:
        return None
    crank = _read(reader, grips[stage], layouts[stage].pulleys.driver)
    id, title = "shafts.crank", "engine shaft: side load"
    draft.fact(
        "engine shaft: side load",
        reader.number(crank.pull, "force", form=BOTH),
        f"by {stage} at work; {reader.show(crank.most, 'force')} {crank.case}",
    )
    _overhang_facts(draft, reader, crank)
    if crank.limit is None:
        draft.lacks(
            reader,
            id,
            title,
            ("engine.side_load_limit",),
            f"The belt pulls the crank with {reader.show(crank.pull, 'force')}. Ask the engine's maker how much the "
            "crank takes, and where along it.",
            limit="the engine maker's limit",
        )
        return crank
    at, limit_at, behind = _places(reader)
    if at is None or limit_at is None or limit_at + behind <= 0:
        shares = (crank.pull / crank.limit, crank.most / crank.limit)
        where = (
            " The place along the crank for which the limit holds is not written down, so only the pulls are compared."
        )
    else:
        shares = tuple(
            float(shaft_rules.side_load.si(p, at, limit=crank.limit, limit_at=limit_at, bearing_at=-behind))
            for p in (crank.pull, crank.most)
        )
        where = (
            f" The belt runs {reader.show(at, 'length')} from the engine's face, "
            f"the limit holds at {reader.show(limit_at, 'length')}."
        )
    limit_known = reader.how("engine.side_load_limit")
    verdict = grade(likely=shares[0], bad=shares[1], limit=1.0, higher_is_better=False)
    draft.check(
        id,
        title,
        reader.number(shares[0], "number", f"{{}} of the limit ({{high}} {crank.case})", high=shares[1], decimals=2),
        reader.number(1.0, "number", f"{{}} of {reader.show(crank.limit, 'force')}", known=limit_known, decimals=2),
        verdict,
        reason=f"A pull farther out bends the crank more.{where}",
        remedy="" if verdict == GO else _remedy(reader, crank, shares[1]),
        source=WHERE,
    )
    return crank


def _read(reader: Reader, grip, driver: int) -> Crank:
    """Return the pulls on the crank and the outboard bearings that could take them."""
    pull, top = (float(np.hypot(*h[driver])) for h in (grip.hub, grip.hub_peak))
    most = (top, "at the peak")
    start = grip.case("start")
    if start is not None and start.hub is not None:
        most = max(most, (float(np.hypot(*start.hub[driver])), "at the start"), key=lambda m: round(m[0], 9))
    at = reader.si("engine.belt_at")
    arm = None if at is None else at + reader.si("engine.bearing_behind", 0.0)
    options = () if not arm else tuple(_outboard(arm, r * arm, most[0]) for r in REACHES)
    return Crank(
        pull=pull,
        most=most[0],
        case=most[1],
        arm=arm,
        limit=reader.si("engine.side_load_limit"),
        stage=grip.name,
        outboard=options,
    )


def _places(reader: Reader) -> tuple[float | None, float | None, float]:
    """Return where the belt runs, where the limit holds, and how far behind the face the bearing is, m."""
    at, limit_at = reader.si("engine.belt_at"), reader.si("engine.side_load_at")
    return at, limit_at, reader.si("engine.bearing_behind", 0.0)


def _outboard(arm: float, reach: float, pull: float) -> Outboard:
    """Return what is left on the engine's bearing with an outboard bearing beyond the belt."""
    left, carried = (float(v) for v in beam.two_bearing_reactions_si(0.0, reach, np.array([arm]), np.array([pull])))
    return Outboard(reach, left, carried, left * arm)


def _remedy(reader: Reader, crank: Crank, share: float) -> str:
    """Return in words, with numbers, what would bring the pull within the limit."""
    at, limit_at, behind = _places(reader)
    closer = "Set the pulley close to the engine's face"
    if at is not None and limit_at is not None and crank.most <= crank.limit:
        reach = crank.limit * (limit_at + behind) / crank.most - behind
        closer = f"Set the belt within {reader.show(reach, 'length')} of the engine's face"
    lower = f"lower the pull to {reader.show(crank.most / share, 'force')} at most, as far as grip allows"
    outboard = "carry the pulley on a jackshaft with an outboard bearing and drive that through a coupling"
    fits = [o for o in crank.outboard if o.left <= crank.limit]
    if fits:
        outboard = (
            f"carry the far end in an outboard bearing up to {reader.show(fits[-1].reach, 'length')} from the "
            f"engine's, which leaves {reader.show(fits[-1].left, 'force')} on the crank"
        )
    return f"{closer}, or {lower}, or {outboard}."


def _overhang_facts(draft: Draft, reader: Reader, crank: Crank) -> None:
    """Add the facts of how the belt's overhang bends the crank, and what an outboard bearing would leave of it."""
    size = reader.si("engine.shaft_diameter")
    if crank.arm is None:
        reader.note_missing("engine.belt_at")
        return
    if size is not None:
        stress = float(shaft_strength.bending_stress.si(crank.pull * crank.arm, size))
        draft.fact(
            "engine shaft: bending by the overhang",
            reader.number(stress, "stress"),
            f"{reader.show(crank.pull, 'force')} at {reader.show(crank.arm, 'length')} from its bearing; it swings to "
            "and fro each turn",
        )
    half = next((o for o in crank.outboard if o.reach == 2.0 * crank.arm), None)
    if half is not None:
        draft.fact(
            "engine shaft: with an outboard bearing",
            reader.number(half.left, "force", form=BOTH),
            f"what is left on the crank's bearing {crank.case} with a bearing {reader.show(half.reach, 'length')} from "
            "it, the belt midway. The outboard bearing must be in line, or it bends the crank itself",
        )


def sheet(reader: Reader, crank: Crank | None) -> Iterator[Table]:
    """Yield the table of what an outboard bearing leaves on the crank; without one first."""
    if crank is None or not crank.outboard:
        return
    size = reader.si("engine.shaft_diameter")

    def row(what, left, carried, bending):
        share = "" if crank.limit is None else reader.number(left / crank.limit, "number", decimals=2)
        stress = "" if size is None else reader.number(shaft_strength.bending_stress.si(bending, size), "stress")
        return what, reader.number(left, "force"), share, carried, reader.number(bending, "torque"), stress

    rows = [row("none", crank.most, "", crank.most * crank.arm)]
    rows += [
        row(reader.number(o.reach, "length"), o.left, reader.number(o.carried, "force"), o.bending)
        for o in crank.outboard
    ]
    yield Table(
        "An outboard bearing for the crank",
        (
            "from the engine's bearing",
            "on the crank",
            "of the limit",
            "on the outboard bearing",
            "most bending",
            "stress by it",
        ),
        tuple(rows),
        f"The pull {crank.case} is {reader.show(crank.most, 'force')}, {reader.show(crank.arm, 'length')} from the "
        "engine's bearing, which is taken as a hinge. Both bearings must be in line within a few thousandths "
        "of an inch. Where they cannot be, a jackshaft behind a coupling is the better way.",
        aside=True,
    )

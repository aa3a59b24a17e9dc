"""The belt's pull on the engine's own shaft: its maker's limit, and what an outboard bearing leaves of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from jackshaft.chapters.ratio.analysis import ENGINE
from jackshaft.chapters.shafts import outboard
from jackshaft.chapters.shafts.joints import torques_of
from jackshaft.mechanics import shaft_rules, shaft_strength
from jackshaft.mechanics import shafts as beam
from jackshaft.mechanics.stress_raisers import raiser
from jackshaft.parts import seldom
from jackshaft.parts.chain_stage import lacks_of
from jackshaft.parts.motor import is_motor, source_word
from jackshaft.parts.shaft_cases import at_case, chain_pull, factors_of, jam_doubt
from jackshaft.parts.shaft_loads import hard_unknown, hubs_on
from jackshaft.parts.words import sentence
from jackshaft.results.checks import CAUTION, GO, STOP, grade, reaches, stays_within
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.results.values import BOTH

#: Distances of an outboard bearing from the engine's, over that of the belt, that the table shows.
REACHES = (1.25, 1.5, 2.0, 3.0)
#: Safety against yielding under which a crank whose maker says nothing is a stop. Two thirds of yield to and fro is
#: about the endurance limit, half of the tensile strength, of a steel that yields at three quarters of it.
YIELD_WANTED = 1.5
CORNER = "sharp shoulder, r/d 0.02"
WHERE = "own-derivation, moment about the engine's bearing"


class Outboard(NamedTuple):
    """An outboard bearing at a distance from the engine's, m: what each carries, N, and the most bending, N·m."""

    reach: float
    left: float
    carried: float
    bending: float


class Bending(NamedTuple):
    """Bending of the crank in its hardest case: moment, N·m, stress by it and with the torque, and yield, Pa."""

    moment: float
    bent: float
    stress: float
    yielding: float


class Crank(NamedTuple):
    """The pull on the crank at work and at most, N, its arm from the engine's bearing, m, and the alternative.

    ``most`` is of the cases that come often, ``seldom`` case and pull of the others, None where there is none;
    ``held`` is the outboard bearing that is there; the pulls are then what it leaves on the crank.
    """

    stage: str
    pull: float
    most: float
    case: str
    arm: float | None
    limit: float | None
    outboard: tuple[Outboard, ...]
    held: Outboard | None = None
    seldom: tuple[str, float] | None = None

    @property
    def once(self) -> tuple[str, float] | None:
        """The case that comes seldom and its pull, N, where that is more than comes often."""
        return self.seldom if self.seldom is not None and self.seldom[1] > self.most else None


def clutch_on_crank(reader: Reader) -> bool:
    """Tell whether a clutch sits on the crank and carries the pulley; the crank's end then holds the clutch."""
    return reader.get("clutch.kind") in ("electromagnetic", "centrifugal") and reader.get("clutch.shaft") in (
        None,
        ENGINE,
    )


def _remedy(reader: Reader) -> str:
    first = "Set the clutch close" if clutch_on_crank(reader) else "Set the pulley close"
    other = "carry clutch and pulley" if clutch_on_crank(reader) else "carry the pulley"
    return (
        f"{first} to the {source_word(reader)}'s face, lower the pull as far as grip allows, or {other} on a "
        "jackshaft and drive that through a coupling."
    )


def check(draft: Draft, reader: Reader, done: Mapping[str, Findings]) -> Crank | None:
    """Add the check of the belt's pull on the engine's shaft against its maker's limit."""
    crank = crank_of(reader, done)
    if crank is None:
        _unknown(draft, reader, done)
        return None
    _judge(draft, reader, done, crank)
    outboard.check(draft, reader)
    words = "How hard the work starts, or works at its peak, is not known, and may pull harder."
    hard = hard_unknown(reader, done, ENGINE)
    draft.doubt(reader, hard, words, "shafts.crank", "shafts.crank-bending", of=(GO, CAUTION))
    if crank.limit is not None and crank.pull:
        once = 0.0 if crank.seldom is None else crank.seldom[1]
        share = _shares(reader, crank)[0][0] * once / crank.pull
        jam_doubt(draft, reader, done, ENGINE, {"shafts.crank": 1.0 / share if share else np.inf}, leaving=True)
    return crank


def _judge(draft: Draft, reader: Reader, done: Mapping[str, Findings], crank: Crank) -> None:
    """Judge the pull by the maker's limit; where that is not known, say so and judge the stress."""
    id, title = "shafts.crank", "engine shaft: side load"
    draft.fact(
        "engine shaft: side load",
        reader.number(crank.pull, "force", form=BOTH),
        f"by {crank.stage} at work; {_pulls(reader, crank)}",
    )
    _overhang_facts(draft, reader, crank)
    if crank.limit is None:
        missing = [k for k in ("engine.side_load_limit", "engine.belt_at") if reader.si(k) is None]
        draft.missing(
            reader,
            id,
            title,
            missing,
            f"{sentence(_shaft(reader))} is pulled with {all_pulls(reader, crank)}. Ask the maker of the "
            f"{source_word(reader)} how much it takes, and where along it.",
            limit=_maker(reader),
        )
        _bending(draft, reader, done, crank)
        return
    shares, where = _shares(reader, crank)
    unplaced = [k for k in ("engine.belt_at", "engine.side_load_at") if reader.si(k) is None]
    over = _over(crank, shares[2])
    if unplaced and stays_within(shares[0], 1.0):
        draft.missing(
            reader,
            id,
            title,
            unplaced,
            f"The belt pulls with {shares[0]:.2f} of the limit, {shares[1]:.2f} {crank.case}.{over} A pull farther out "
            "bends the shaft more, and where the belt runs or where the limit holds is not written down.",
            limit=reader.number(crank.limit, "force", "{} or less"),
        )
        return
    limit_known = reader.how("engine.side_load_limit")
    verdict = grade(likely=shares[0], bad=shares[1], limit=1.0, higher_is_better=False)
    verdict = seldom.joined(verdict, seldom=stays_within(shares[2], 1.0))
    draft.check(
        id,
        title,
        reader.number(
            shares[0],
            "number",
            f"{{}} of the limit ({{high}} {crank.case}{_also(crank, shares[2])})",
            high=shares[1],
            decimals=2,
        ),
        reader.number(
            1.0,
            "number",
            f"{{}} or less; the limit is {reader.show(crank.limit, 'force')}",
            known=limit_known,
            decimals=2,
        ),
        verdict,
        reason=f"A pull farther out bends the shaft more.{where}{over}",
        remedy="" if verdict == GO else _remedy(reader),
        source=WHERE,
    )


def _shares(reader: Reader, crank: Crank) -> tuple[tuple[float, float, float], str]:
    """Return the pull at work, the most that comes often and what comes seldom over the limit, and words on places.

    The last is 0 where nothing that comes seldom is more than what comes often.
    """
    at, limit_at, behind = _places(reader)
    pulls = (crank.pull, crank.most, 0.0 if crank.once is None else crank.once[1])
    if at is None or limit_at is None or limit_at + behind <= 0:
        where = "Where the belt runs, or where the limit holds, is not written down, so only the pulls are compared."
        return tuple(p / crank.limit for p in pulls), f" {where}"
    place = {"limit": crank.limit, "limit_at": limit_at, "bearing_at": -behind}
    return tuple(float(shaft_rules.side_load.si(p, at, **place)) for p in pulls), (
        f" The belt runs {reader.show(at, 'length')} from the {source_word(reader)}'s face, "
        f"the limit holds at {reader.show(limit_at, 'length')}."
    )


def _on_crank(reader: Reader) -> list[str]:
    """Return the names of the belts and chains that the engine's shaft drives."""
    return [s for s in hubs_on(reader, ENGINE) if reader.get(f"stage[{s}].kind") in ("belt", "roller chain")]


def crank_of(reader: Reader, done: Mapping[str, Findings]) -> Crank | None:
    """Return what belts and chains do to the crank; None where none pulls on it, or nobody knows how hard.

    The pulls of several are added as if they pulled the same way, which is the safe side.
    """
    stages = _on_crank(reader)
    each = [_pulls_of(reader, done, stage) for stage in stages]
    if not each or None in each:
        return None
    names = dict.fromkeys(name for one in each for name in one)
    sizes = {name: sum(one.get(name, one["work"]) for one in each) for name in names}
    words = " and ".join(stages) + (", taken as if they pulled the same way at one place," if len(stages) > 1 else "")
    return _read(reader, words, sizes)


def _pulls_of(reader: Reader, done: Mapping[str, Findings], stage: str) -> dict[str, float] | None:
    """Return the pull of a belt or a chain on the crank in each case, N; None where it is not known."""
    if reader.get(f"stage[{stage}].kind") == "roller chain":
        chain = chain_pull(reader, done, ENGINE, stage)
        if chain is None:
            return None
        more = factors_of(reader, done, ENGINE, None) | {"peak": done["ratio"].data.shaft(ENGINE).peak_factor or 1.0}
        return {"work": chain.pull} | {name: abs(factor) * chain.pull for name, factor in more.items()}
    grip, layout = (done["grip"].data or {}).get(stage), (done["layout"].data or {}).get(stage)
    if grip is None or grip.hub is None:
        return None
    k = layout.pulleys.driver
    pulls = {"work": grip.hub[k], "peak": grip.hub_peak[k], "rest": grip.hub_rest[k]}
    pulls |= {c.name: c.hub[k] for c in grip.cases if c.hub is not None and _comes(reader, c.name)}
    return {case: float(np.hypot(*pull)) for case, pull in pulls.items()}


def _unknown(draft: Draft, reader: Reader, done: Mapping[str, Findings]) -> None:
    """Add the undecided check of a crank on which a belt or chain pulls by nobody knows how much."""
    stage = next((s for s in _on_crank(reader) if _pulls_of(reader, done, s) is None), None)
    if stage is None:
        return
    check = next((c for c in done["grip"].checks if c.id == f"grip.margin[{stage}]"), None)
    missing = [k for k in ("engine.side_load_limit", "engine.belt_at") if reader.si(k) is None]
    missing += [k for k in (() if check is None else check.missing) if not reader.has(k)]
    if reader.get(f"stage[{stage}].kind") == "roller chain":
        missing += [*lacks_of(reader, stage), *reader.unknown("work.power", "work.power_at")]
        missing += () if done["ratio"].data is None else done["ratio"].data.stage_lacks(stage)
    words = f"How hard '{stage}' pulls on {_shaft(reader)} is not known yet."
    if missing:
        draft.missing(reader, "shafts.crank", "engine shaft: side load", missing, words, limit=_maker(reader))


def _read(reader: Reader, stage: str, sizes: Mapping[str, float]) -> Crank:
    """Return the pulls on the crank, what an outboard bearing takes of them counted, and the bearings that could."""
    (case, most), once = seldom.largest(sizes)
    pull = sizes["work"]
    at = reader.si("engine.belt_at")
    arm = None if at is None else at + reader.si("engine.bearing_behind", 0.0)
    options = () if not arm or clutch_on_crank(reader) else tuple(_outboard(arm, r * arm, most) for r in REACHES)
    held = _held(reader, arm, most)
    share = 1.0 if held is None or not most else held.left / most
    return Crank(
        pull=share * pull,
        most=share * most,
        case=at_case(case),
        arm=arm,
        limit=reader.si("engine.side_load_limit"),
        stage=stage,
        outboard=options,
        held=held,
        seldom=None if once is None else (once[0], share * once[1]),
    )


def _pulls(reader: Reader, crank: Crank) -> str:
    """Return in words the largest pull of what comes often, and of what comes seldom where that is more."""
    once = "" if crank.once is None else f", {reader.show(crank.once[1], 'force')} {at_case(crank.once[0])}"
    return f"{reader.show(crank.most, 'force')} {crank.case}{once}"


def all_pulls(reader: Reader, crank: Crank) -> str:
    """Return in words the pull at work, and the largest where that is another."""
    work = f"{reader.show(crank.pull, 'force')} at work"
    return work if crank.most == crank.pull and crank.once is None else f"{work}, {_pulls(reader, crank)}"


def _shaft(reader: Reader) -> str:
    """Return what the first shaft is called in a sentence."""
    return "the motor's shaft" if is_motor(reader) else "the crank"


def _maker(reader: Reader) -> str:
    """Return whose limit the side load has."""
    return f"the {source_word(reader)} maker's limit"


def _also(crank: Crank, share: float) -> str:
    """Return the share of the limit of what comes seldom with its case, where that is over the limit."""
    return f", {share:.2f} {at_case(crank.once[0])}" if _over(crank, share) else ""


def _over(crank: Crank, share: float) -> str:
    """Return in words that what comes seldom is over the limit; nothing where it is not."""
    if crank.once is None or stays_within(share, 1.0):
        return ""
    return (
        f" {sentence(at_case(crank.once[0]))} it is {share:.2f} of the limit, for a moment and seldom; what its "
        "maker allows for a moment is not known."
    )


def _comes(reader: Reader, case: str) -> bool:
    """Tell whether a case is one beside work, and the build does not say that it never comes."""
    return case != "work" and (case != "overrun" or reader.si("work.overrun_factor") != 0.0)


def _held(reader: Reader, arm: float | None, pull: float) -> Outboard | None:
    """Return the outboard bearing that is there, None where there is none or it does not lie beyond the belt."""
    at = reader.si("engine.outboard_at")
    if at is None or not arm:
        return None
    reach = at + reader.si("engine.bearing_behind", 0.0)
    return _outboard(arm, reach, pull) if reach > arm else None


def bending(reader: Reader, done: Mapping[str, Findings], crank: Crank, *, once: bool = False) -> Bending | None:
    """Return the stress in the crank in the hardest case that comes often, or ``once`` in the one that comes seldom.

    A sharp corner is counted; None where a size is not known, or nothing comes seldom.
    """
    size, strength = reader.si("engine.shaft_diameter"), reader.si("engine.shaft_yield")
    if crank.arm is None or size is None or strength is None:
        return None
    if once and crank.once is None:
        return None
    torques = torques_of(reader, done, ENGINE)
    torque = abs((dict(torques.others).get(crank.once[0]) if once else torques.peak) or torques.work or 0.0)
    moment = (crank.once[1] if once else crank.most) * crank.arm
    corner = raiser(CORNER)
    bent = corner.bending * float(shaft_strength.bending_stress.si(moment, size))
    twisted = corner.torsion * float(shaft_strength.torsion_stress.si(torque, size))
    return Bending(moment, bent, float(np.sqrt(bent**2 + 3.0 * twisted**2)), strength)


def _bending(draft: Draft, reader: Reader, done: Mapping[str, Findings], crank: Crank) -> None:
    """Judge the crank by its stress where its maker's limit is not known: a caution at best."""
    found = bending(reader, done, crank)
    if found is None:
        reader.note_missing(
            *(k for k in ("engine.belt_at", "engine.shaft_diameter", "engine.shaft_yield") if reader.si(k) is None)
        )
        return
    safety = found.yielding / found.stress if found.stress else np.inf
    once, more = bending(reader, done, crank, once=True), ""
    if once is not None:
        more = (
            f" {sentence(at_case(crank.once[0]))}, which comes seldom, the safety is "
            f"{once.yielding / once.stress:.1f}{'' if seldom.holds(once.yielding / once.stress) else ': it yields'}."
        )
    draft.check(
        "shafts.crank-bending",
        f"engine shaft: bending of {_shaft(reader)}",
        reader.number(min(safety, 99.0), "number", "safety {} against yielding", decimals=1),
        f"{_maker(reader)} of the side load",
        CAUTION if reaches(safety, YIELD_WANTED) else STOP,
        reason=f"{sentence(_shaft(reader))} feels {all_pulls(reader, crank)}, "
        f"{reader.show(crank.arm, 'length')} from its bearing: {reader.show(found.bent, 'stress')} of bending to and "
        f"fro each turn, with a sharp corner counted in full.{more} What its maker allows is not known, and "
        "its own bearing and its steel are judged nowhere else.",
        remedy=_remedy(reader),
        source="shigley, p. 373, stress raiser; own-derivation, moment about the engine's bearing",
    )


def _places(reader: Reader) -> tuple[float | None, float | None, float]:
    """Return where the belt runs, where the limit holds, and how far behind the face the bearing is, m."""
    at, limit_at = reader.si("engine.belt_at"), reader.si("engine.side_load_at")
    return at, limit_at, reader.si("engine.bearing_behind", 0.0)


def _outboard(arm: float, reach: float, pull: float) -> Outboard:
    """Return what is left on the engine's bearing with an outboard bearing beyond the belt."""
    left, carried = (float(v) for v in beam.two_bearing_reactions_si(0.0, reach, np.array([arm]), np.array([pull])))
    return Outboard(reach, left, carried, left * arm)


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

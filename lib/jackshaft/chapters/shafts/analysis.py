"""Shafts and joints: bending and torque together, stiffness, whirl, the crank's side load, what carries the torque."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from jackshaft import tables
from jackshaft.chapters.shafts import CHAPTER, assembly, balance, joint_tables, unknown_steel
from jackshaft.chapters.shafts import code as shaft_code
from jackshaft.chapters.shafts import crank as shaft_crank
from jackshaft.chapters.shafts import faults as shaft_faults
from jackshaft.chapters.shafts import hubs as shaft_hubs
from jackshaft.chapters.shafts import joints as shaft_joints
from jackshaft.chapters.shafts import splines as shaft_splines
from jackshaft.chapters.shafts import tables as shaft_sheets
from jackshaft.chapters.shafts.data import ShaftsData, ShaftState
from jackshaft.chapters.shafts.needed import WANTED, needed_at
from jackshaft.chapters.shafts.sections import steel_of, steps_of, unplaced, work_out
from jackshaft.chapters.shafts.turning import turning_of
from jackshaft.mechanics import shaft_rules, shaft_strength
from jackshaft.mechanics import shafts as beam
from jackshaft.mechanics.bearing_sizes import is_insert
from jackshaft.parts import seldom
from jackshaft.parts.outside_loads import braked
from jackshaft.parts.shaft_cases import at_case, jam_doubt
from jackshaft.parts.shaft_loads import hard_unknown, read_loads
from jackshaft.parts.steels import unlisted
from jackshaft.parts.tightener import pulls_harder
from jackshaft.parts.unweighed import leave_open, pulls_unsaid, supposing
from jackshaft.parts.words import sentence
from jackshaft.results.chapter import WHOLE, Detail, Scope
from jackshaft.results.checks import CAUTION, GO, STOP, Fact, grade, reaches
from jackshaft.results.findings import CANNOT, Draft, Findings
from jackshaft.results.reader import Reader
from jackshaft.results.values import BOTH, SLOPE
from jackshaft.units import at_least, at_most, first_least, first_most

THICKER = (
    "Make the shaft thicker or of a stronger steel, set the pulley closer to its bearing, give the corner a radius, or "
    "lower the tension as far as grip allows."
)
DEEP_GROOVE = "deep-groove ball bearing"

#: Share of the whirl speed to stay below, and the share that is refused: common practice, no source.
WHIRL_GO, WHIRL_STOP = 0.7, 0.9


def work_up(reader: Reader, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Work up every shaft of a build and what joins hubs to them, with the tables or, for a slider, without."""
    draft = Draft(CHAPTER)
    names = reader.names("shaft")
    if not names and not reader.has("engine"):
        state = "none" if reader.is_none("shaft") else "not known yet"
        return draft.done(reader, state, "No shaft is in the build file yet.")
    found: dict[str, ShaftState] = {}
    reactions = done["bearings"].data.shafts if done["bearings"].data is not None else {}
    facts: dict[str, tuple[Fact, ...]] = {}
    for name in names:
        before = len(draft.facts)
        with draft.attempt(reader, f"shafts.strength[{name}]", f"{name}: bending and torque"):
            _torsion_facts(draft, reader, done, name)
            state = _shaft(draft, reader, done, name, reactions.get(name))
            if state is not None:
                found[name] = state
            whats = ("strength", "yield", "slope", "whirl")
            draft.tell(pulls_harder(reader, done, name), *(f"shafts.{what}[{name}]" for what in whats))
        facts[name] = tuple(draft.facts[before:])
        with draft.attempt(reader, f"shafts.assembly[{name}]", f"{name}: every part goes on"):
            assembly.check(draft, reader, done, name)
    crank = None
    with draft.attempt(reader, "shafts.crank", "engine shaft: side load"):
        crank = shaft_crank.check(draft, reader, done)
        draft.tell(pulls_harder(reader, done, shaft_crank.ENGINE), "shafts.crank")
    joints = shaft_joints.work_up(draft, reader, done, found)
    _brake_unknown(draft, reader, done, found, joints)
    shaft_hubs.joints_missing(draft, reader)
    shaft_hubs.pins(draft, reader, done)
    heavy = None if done["bearings"].data is None else done["bearings"].data.heavy
    if heavy is not None:
        weights = done["bearings"].data.weights
        other = work_up(supposing(reader, weights), {**done, "bearings": heavy}, Scope(Detail.BARE))
        leave_open(draft, reader, other.checks, weights)
    if scope.detail.tables:
        shown = [
            shaft_sheets.sections(reader, found),
            shaft_code.sheet(reader, found),
            shaft_sheets.torsion(reader, done, names),
            *shaft_sheets.outboard(reader, crank),
            *joint_tables.tables(reader, joints, done),
            balance.table(reader, done, names),
        ]
        draft.tables += [t for t in shown if t.cells]
    draft.data = ShaftsData(found, joints, facts)
    draft.cite("shigley", "own-derivation")
    draft.cautions += [
        "A shaft that breaks lets go of whatever it carries. Guard it, and look for cracks at keyseats, shoulders and "
        "welds when it is apart.",
        *shaft_joints.cautions(reader),
    ]
    if any(j.capacity.spline is not None for j in joints):
        draft.cautions.append(shaft_splines.CAUTION_WORDS)
    return draft.done(reader, uses=[done[n] for n in ("ratio", "layout", "grip", "bearings")])


def _brake_unknown(draft: Draft, reader: Reader, done, found, joints) -> None:
    """Leave open the go of shafts and joints that a clutch's brake stops, with a torque that nobody knows."""
    if not reader.get("clutch.brake") or reader.get("clutch.brake_torque") is not None:
        return
    behind = [n for n in reader.names("shaft") if braked(reader, done["ratio"].data, n) is not None]
    ids = [f"shafts.{what}[{n}]" for n in behind if n in found for what in ("strength", "yield")]
    ids += [f"shafts.joint[{j.part}]" for j in joints if j.shaft in behind]
    key = ("clutch.brake_torque",) if ids else ()
    draft.doubt(reader, key, "How hard the clutch's brake stops it is not known.", *ids)


def _shaft(draft: Draft, reader: Reader, done, name: str, found) -> ShaftState | None:
    id, title = f"shafts.strength[{name}]", f"{name}: bending and torque"
    steel, missing = steel_of(reader, name)
    material = reader.get(f"shaft[{name}].material")
    if found is None:
        wrong = f"bearings.shaft[{name}]"
        check = next((c for c in done["bearings"].checks if c.id == wrong and c.verdict == STOP), None)
        if check is not None:
            problems = shaft_faults.of_bearings(reader, name) or _faults(reader, done, name)
            reason, cure = shaft_faults.words(problems) if problems else (check.reason, check.remedy)
            draft.check(id, title, check.value, check.limit, STOP, reason=reason, remedy=cure, source=check.source)
            return None
        keys, words = _unsupported(reader, done, name)
        if keys := tuple(dict.fromkeys((*keys, *missing))):
            draft.missing(reader, id, title, keys, words + (unlisted(material) if missing else ""))
        return None
    steps, more = steps_of(reader, found)
    if more or missing:
        words = f"Its size or its steel is not known yet.{unlisted(material)} {_counted(found)}"
        words += "" if more else unknown_steel.words_of(reader, found, steps)
        draft.missing(reader, id, title, (*more, *missing), words, limit=reader.number(WANTED, "number", "{} or more"))
        return None
    try:
        state = work_out(reader, found, steps, steel)
    except beam.ShaftError as error:
        reason, cure = shaft_faults.words(_faults(reader, done, name) or error.problems)
        draft.check(
            id,
            title,
            CANNOT,
            "a shaft from end to end",
            STOP,
            reason=reason,
            remedy=cure,
            source="own-derivation, beam",
        )
        return None
    _facts(draft, reader, state)
    _strength_checks(draft, reader, state, id, title)
    words = "What weakens the shaft at a place that is not known yet is not counted."
    draft.doubt(reader, unplaced(reader, name), words, id, f"shafts.yield[{name}]")
    hard = hard_unknown(reader, done, name) if reader.names("stage") else ()
    words = "How hard the work starts, or how hard it works at its peak, is not known, and may ask more of the shaft."
    draft.doubt(reader, hard, words, id, f"shafts.yield[{name}]", of=(GO, CAUTION))
    jam_doubt(draft, reader, done, name, {f"shafts.yield[{name}]": state.in_jam})
    _slope_checks(draft, reader, done, state)
    pulls_unsaid(draft, reader, found.loads, id, f"shafts.yield[{name}]", f"shafts.slope[{name}]")
    _whirl_check(draft, reader, done, state)
    return state


def _unsupported(reader: Reader, done, name: str) -> tuple[list[str], str]:
    """Return the keys without which it is not known what the bearings of a shaft carry, and words."""
    mine = [b for b in reader.names("bearing") if reader.get(f"bearing[{b}].shaft") == name]
    lives = {f"bearings.life[{b}]" for b in mine}
    keys = [k for c in done["bearings"].checks if c.id in lives for k in c.missing]
    keys = [k for k in keys if k.startswith(("bearing", "shaft", "stage")) and not k.endswith("_rating")]
    keys += read_loads(reader, done, name).missing
    if len(mine) < 2 and not reader.is_none("bearing"):
        keys = [*reader.unplaced("bearing", "shaft"), *keys]
    if not reader.names(f"shaft[{name}].load") and not any(k.startswith(f"shaft[{name}].load") for k in keys):
        keys.append(f"shaft[{name}].load")
    if not reader.names(f"shaft[{name}].step") and reader.si(f"shaft[{name}].diameter") is None:
        keys.append(f"shaft[{name}].diameter")
    if len(mine) < 2:
        return keys, "It cannot be worked out before two bearings with their places are written down."
    on_it = ", ".join(reader.names(f"shaft[{name}].load"))
    return keys, f"What its bearings carry is not known yet.{f' On it: {on_it}.' if on_it else ''}"


def _faults(reader: Reader, done, name: str):
    """Return what is wrong with the steps of a shaft and with what sits on it."""
    return shaft_faults.of_shaft(reader, name, read_loads(reader, done, name).parts)


def _facts(draft: Draft, reader: Reader, state: ShaftState) -> None:
    name, worst = state.name, state.sections[0]
    draft.fact(
        f"{name}: steel",
        reader.number(
            state.steel.yield_stress,
            "stress",
            f"yield {{}}, tensile {reader.show(state.steel.tensile, 'stress')}",
            known=reader.how(f"shaft[{name}].yield_strength"),
        ),
        state.steel.words,
    )
    draft.fact(
        f"{name}: weakest place",
        worst.name,
        f"{worst.feature}; bending {reader.show(worst.moment, 'torque')}, torque "
        f"{reader.show(worst.torque, 'torque')} at work",
    )
    over = [float(beam.section_si(state.work, float(a)).moment) for a in state.reactions.at]
    first, *others = zip(state.reactions.bearings, over, strict=True)
    rest = "".join(f", {n} {reader.show(m, 'torque', digits=4)}" for n, m in others)
    draft.fact(
        f"{name}: bending over its bearings",
        reader.number(first[1], "torque", f"{first[0]} {{}}{rest}", digits=4),
        "at work",
    )
    most = np.hypot(*state.work.deflection.T)
    i = first_most(most)
    draft.fact(
        f"{name}: most it bends",
        reader.number(most[i], "length", by="thou"),
        f"at {reader.show(float(state.work.at[i]), 'length')} along it, at work",
    )
    if state.torque_known:
        twist = float(state.work.twist.max() - state.work.twist.min())
        draft.fact(f"{name}: twist at work", reader.number(twist, "angle"), "end to end of what carries torque")


def _strength_checks(draft: Draft, reader: Reader, state: ShaftState, id: str, title: str) -> None:
    worst = state.sections[0]
    hard = worst.hardest
    verdict = grade(likely=worst.fatigue, bad=hard.fatigue, limit=WANTED)
    needed = needed_at(state, worst)
    wanted = reader.number(WANTED, "number", "{} or more")
    bare = "" if state.torque_known else " The torque is not known yet, so only the bending counts here."
    draft.check(
        id,
        title,
        reader.number(
            worst.fatigue,
            "number",
            f"fatigue safety {{}} at work, {{low}} {at_case(hard.case)}",
            low=hard.fatigue,
            decimals=2,
        ),
        wanted,
        verdict,
        reason=f"It is weakest at {worst.name} ({worst.feature}). A steady pull bends a turning shaft to and fro each "
        f"turn. {_counted(state.reactions)}{_cases_words(state)}{bare}",
        remedy="" if verdict == GO else THICKER,
        source="shigley, ch. 7, Goodman with distortion energy",
    )
    _yield_check(draft, reader, state)
    if needed is not None:
        for_what = f"for {WANTED:g} {at_case(hard.case)}"
        try:
            stock = shaft_rules.next_stock.si(needed, system=reader.system)
            next_size = f"next stock size {reader.show(stock, 'length', by='tape')}"
        except ValueError:
            next_size = "above every stock size"
        draft.fact(
            f"{state.name}: diameter needed", reader.number(needed, "length", form=BOTH), f"{for_what}; {next_size}"
        )
    shaft_code.fact(draft, reader, state, needed)


def _yield_check(draft: Draft, reader: Reader, state: ShaftState) -> None:
    """Judge yielding: in what comes often with the usual safety, in what comes seldom by whether it just holds.

    Shown is the case that is shortest of what it needs, so that a value never stands still while another takes its
    place and a cure seems to do harm.
    """
    first = state.sections[first_least([s.yields_first.yielding for s in state.sections])]
    least, wanted = first.yields_first, WANTED
    verdict = GO if reaches(least.yielding, WANTED) else CAUTION if reaches(least.yielding, 1.0) else STOP
    more = ""
    hard = min(((c, s) for s in state.sections for c in s.seldom), key=lambda cs: cs[0].yielding, default=None)
    if hard is not None and not seldom.holds(hard[0].yielding):
        case, place = hard
        if verdict == GO:
            first, least, wanted = place, case, seldom.HOLDS
            more = " In every other case it holds. Such a load lasts a moment and comes seldom."
        elif verdict == CAUTION and case.yielding / seldom.HOLDS < least.yielding / WANTED:
            more = f" {sentence(at_case(least.case))} its safety is {least.yielding:.2f}, where {WANTED:g} is wanted."
            first, least, wanted = place, case, seldom.HOLDS
        else:
            more = f" {sentence(at_case(case.case))} it yields at {place.name}: safety {case.yielding:.2f}."
        verdict = seldom.joined(verdict, seldom=False)
    draft.check(
        f"shafts.yield[{state.name}]",
        f"{state.name}: yielding {at_case(least.case)}",
        reader.number(least.yielding, "number", "safety {}", decimals=2),
        reader.number(wanted, "number", "{} or more"),
        verdict,
        reason=f"At {first.name}, with what raises the stress there counted in full, which is on the safe side.{more}",
        remedy="" if verdict == GO else THICKER,
        source="shigley, ch. 7",
    )


def _counted(found) -> str:
    """Return in words what pulls on a shaft."""
    names = [p.name for p in found.loads.gathered]
    return f"Counted on it: {', '.join(names)}."


def _cases_words(state: ShaftState) -> str:
    """Return in words which cases were tried beside work, and what overrun was taken to be."""
    worst, back = state.sections[0], state.reactions.loads.overrun
    if len(worst.often) < 2:
        return ""
    tried = [at_case(c.case) for c in worst.often]
    words = f" Tried: {', '.join(tried)}. It is hardest {at_case(worst.hardest.case)}."
    if back is None:
        return words
    words += f" In overrun the torque reverses: {back.share:.2f} times the working torque"
    words += ", where a belt slips." if back.slips else "."
    return words if back.said else f"{words} How hard the work drives back is not written down."


def _slope_checks(draft: Draft, reader: Reader, done, state: ShaftState) -> None:
    rows = [_slope_row(reader, done, name) for name in state.reactions.bearings]
    slopes = [beam.section_si(state.work, float(a)).slope for a in state.reactions.at]
    k = first_most([s / row["slope_high_rad"] for s, row in zip(slopes, rows, strict=True)])
    row = rows[k]
    low, high = row["slope_low_rad"], row["slope_high_rad"]
    verdict = grade(likely=slopes[k], bad=slopes[k] * high / low, limit=high, higher_is_better=False)
    tilts = row["part"] != DEEP_GROOVE
    where = state.reactions.bearings[k] + (", which lets it tilt" if tilts else "")
    draft.check(
        f"shafts.slope[{state.name}]",
        f"{state.name}: slope at its bearings",
        reader.number(slopes[k], "angle", f"{{}} at {where}", form=SLOPE),
        reader.number(
            high, "angle", "{low} or less, never over {high}", low=low, high=high, form=SLOPE, source=row["source"]
        ),
        verdict,
        reason="Even a bearing that lets its shaft tilt does so up to a limit."
        if tilts
        else "A ball bearing whose rings are out of line carries on the edges of its races.",
        remedy=""
        if verdict == GO
        else "Make the shaft thicker or shorten the overhang" + ("." if tilts else ", or take self-aligning bearings."),
        source=row.cite.split(" (")[0],
    )


def _slope_row(reader: Reader, done, bearing: str):
    """Return the row of slope limits for a bearing: does it let its shaft tilt, as the build says, or as an insert."""
    tilts, data = reader.get(f"bearing[{bearing}].self_aligning"), done["bearings"].data
    identity = None if data is None else data.identity.get(bearing)
    if tilts is None and identity is not None and identity.size is not None:
        tilts = is_insert(identity.size)
    part = "self-aligning bearing" if tilts else DEEP_GROOVE
    return next(r for r in tables.table("slope_limits").rows if r["part"] == part)


def _whirl_check(draft: Draft, reader: Reader, done, state: ShaftState) -> None:
    id, title = f"shafts.whirl[{state.name}]", f"{state.name}: whirl speed"
    turning = turning_of(reader, done, state.name)
    limit = reader.number(WHIRL_GO * state.whirl.lowest, "rotation", "{} or less, seven tenths of that")
    if turning.misses and not (turning.work and turning.work > WHIRL_GO * state.whirl.lowest):
        what = "turns" if turning.work is None else "may turn at most"
        draft.missing(reader, id, title, turning.misses, f"How fast it {what} is not known yet.", limit=limit)
        return
    speed = turning.full if turning.top is None else turning.top
    whirls = reader.show(state.whirl.lowest, "rotation")
    verdict = GO if at_most(speed / state.whirl.lowest, WHIRL_GO) else CAUTION
    if at_least(turning.full / state.whirl.lowest, WHIRL_STOP):
        verdict = STOP
    draft.check(
        id,
        title,
        reader.number(speed, "rotation", f"turns at {{}}, whirls at {whirls}", known=turning.known),
        limit,
        verdict,
        reason=f"The shaft with its pulleys whirls at {whirls} on rigid bearings, and sooner on soft ones. Stay below "
        "seven tenths of that speed.",
        remedy=""
        if verdict == GO
        else "Make the shaft stiffer, shorten the overhang, take lighter pulleys, or run slower.",
        source="shigley, ch. 7; trade-practice",
        guards=verdict == STOP,
    )


def _torsion_facts(draft: Draft, reader: Reader, done, name: str) -> None:
    torque, peak = shaft_sheets.torsion_of(done, name)
    size = reader.si(f"shaft[{name}].diameter")
    if torque is None or size is None:
        return
    stress = {t: float(shaft_strength.torsion_stress.si(t, size)) for t in (torque, peak) if t is not None}
    top = "" if peak is None else f"; {reader.show(stress[peak], 'stress')} at the peak"
    draft.fact(
        f"{name}: shear stress by the torque alone",
        reader.number(stress[torque], "stress"),
        f"{reader.show(torque, 'torque')} on {reader.show(size, 'length')}{top}; bending and keyseat come on top",
    )

"""Shafts and joints: bending and torque together, stiffness, whirl, the crank's side load, what carries the torque."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from jackshaft import tables
from jackshaft.chapters.shafts import CHAPTER
from jackshaft.chapters.shafts import code as shaft_code
from jackshaft.chapters.shafts import crank as shaft_crank
from jackshaft.chapters.shafts import faults as shaft_faults
from jackshaft.chapters.shafts import joints as shaft_joints
from jackshaft.chapters.shafts import splines as shaft_splines
from jackshaft.chapters.shafts import tables as shaft_sheets
from jackshaft.chapters.shafts.sections import AT, FEATURES, RELIABILITY, ShaftState, steel_of, steps_of, work_out
from jackshaft.mechanics import shaft_rules, shaft_strength
from jackshaft.mechanics import shafts as beam
from jackshaft.parts.shaft_loads import read_loads
from jackshaft.results.chapter import WHOLE, Scope
from jackshaft.results.checks import CAUTION, GO, STOP, grade, undecided
from jackshaft.results.findings import Draft, Findings
from jackshaft.results.reader import Looker
from jackshaft.units import at_least, at_most, first_least, first_most

#: Safety wanted on fatigue and yielding: common practice, no source.
WANTED = 1.5

#: Share of the whirl speed to stay below, and the share that is refused: common practice, no source.
WHIRL_GO, WHIRL_STOP = 0.7, 0.9
STEPS = 30


class ShaftsData(NamedTuple):
    """What the chapter found: each shaft worked out, by name, and every joint."""

    shafts: dict[str, ShaftState]
    joints: tuple[shaft_joints.Joint, ...]


def work_up(look: Looker, done: Mapping[str, Findings], scope: Scope = WHOLE) -> Findings:
    """Work up every shaft of a build and what joins hubs to them, with the tables or, for a slider, without."""
    draft = Draft(CHAPTER)
    names = look.names("shaft")
    if not names and not look.has("engine"):
        state = "none" if look.is_none("shaft") else "not known yet"
        return draft.done(look, state, "No shaft is in the build file yet.")
    found: dict[str, ShaftState] = {}
    reactions = done["bearings"].data.shafts if done["bearings"].data is not None else {}
    for name in names:
        with draft.attempt(look, f"shafts.strength[{name}]", f"{name}: bending and torque"):
            _torsion_facts(draft, look, done, name)
            if look.names(f"shaft[{name}].load") or name in reactions:
                state = _shaft(draft, look, done, name, reactions.get(name))
                if state is not None:
                    found[name] = state
    crank = None
    with draft.attempt(look, "shafts.crank", "engine shaft: side load"):
        crank = shaft_crank.check(draft, look, done)
    joints = shaft_joints.work_up(draft, look, done, found)
    if scope.detail.tables:
        shown = [
            shaft_sheets.sections(look, found),
            shaft_code.sheet(look, found),
            shaft_sheets.torsion(look, done, names),
            shaft_crank.sheet(look, crank),
            *shaft_joints.sheets(look, joints, done),
        ]
        draft.sheets += [s for s in shown if s is not None]
    draft.data = ShaftsData(found, joints)
    draft.cite("shigley", "own-derivation")
    draft.cautions += [
        "A shaft that breaks lets go of whatever it carries: guard it, and look for cracks at keyseats, "
        "shoulders and welds when it is apart.",
        *shaft_joints.CAUTIONS,
    ]
    if any(j.capacity.spline is not None for j in joints):
        draft.cautions.append(shaft_splines.CAUTION_WORDS)
    uses = [done[n] for n in ("ratio", "layout", "grip", "bearings")]
    return draft.done(look, uses=uses)


def _shaft(draft: Draft, look: Looker, done, name: str, found) -> ShaftState | None:
    id, title = f"shafts.strength[{name}]", f"{name}: bending and torque"
    steel, lacks = steel_of(look, name)
    if found is None:
        check = next((c for c in done["bearings"].checks if c.id == f"bearings.shaft[{name}]"), None)
        if check is not None:
            problems = shaft_faults.of_bearings(look, name) or _misfits(look, done, name)
            reason, cure = shaft_faults.words(problems) if problems else (check.reason, check.remedy)
            draft.check(id, title, check.value, check.limit, STOP, reason, cure, check.source)
            return None
        mine = [b for b in look.names("bearing") if look.get(f"bearing[{b}].shaft") == name]
        keys = [
            k
            for b in mine
            for c in done["bearings"].checks
            if c.id == f"bearings.life[{b}]"
            for k in c.missing
            if k.startswith(("bearing", "shaft", "stage"))
        ]
        keys = list(dict.fromkeys(keys)) or [f"shaft[{name}].load"]
        draft.checks.append(
            undecided(
                id,
                title,
                (*keys, *lacks),
                "What its bearings carry is not known yet."
                if mine
                else "It needs two bearings with their places before it can be worked out.",
            )
        )
        return None
    steps, more = steps_of(look, found)
    lacks = (*more, *lacks)
    if lacks:
        look.lack(*lacks)
        draft.checks.append(
            undecided(id, title, lacks, "Its size or its steel is not known yet.", limit=f"{WANTED:g} or more")
        )
        return None
    try:
        state = work_out(look, found, steps, steel)
    except beam.ShaftError as error:
        reason, cure = shaft_faults.words(_misfits(look, done, name) or error.problems)
        draft.check(
            id, title, "cannot be worked out", "a shaft from end to end", STOP, reason, cure, "own-derivation, beam"
        )
        return None
    _facts(draft, look, state)
    _strength_checks(draft, look, state, id, title)
    _slope_checks(draft, look, state)
    _whirl_check(draft, look, done, state)
    return state


def _misfits(look: Looker, done, name: str):
    """Return what is wrong with the steps of a shaft and with what sits on it."""
    places = {
        b: place
        for b in look.names("bearing")
        if look.get(f"bearing[{b}].shaft") == name and (place := look.si(f"bearing[{b}].position")) is not None
    }
    return shaft_faults.of_shaft(look, name, places, read_loads(look, done, name).parts)


def _facts(draft: Draft, look: Looker, state: ShaftState) -> None:
    name, worst = state.name, state.sections[0]
    draft.fact(
        f"{name}: steel",
        f"yield {look.show(state.steel.yield_stress, 'stress')}, tensile {look.show(state.steel.tensile, 'stress')}",
        state.steel.words,
    )
    draft.fact(
        f"{name}: weakest place",
        worst.name,
        f"{worst.feature}; bending {look.show(worst.moment, 'torque')}, torque "
        f"{look.show(worst.torque, 'torque')} at work",
    )
    over = [
        f"{n} {look.show(beam.section_si(state.work, float(a)).moment, 'torque', digits=4)}"
        for n, a in zip(state.reactions.bearings, state.reactions.at, strict=True)
    ]
    draft.fact(f"{name}: bending over its bearings", ", ".join(over), "at work")
    most = np.hypot(state.work.deflection[:, 0], state.work.deflection[:, 1])
    i = first_most(most)
    draft.fact(
        f"{name}: most it bends",
        look.show(float(most[i]), "length", by="thou"),
        f"at {look.show(float(state.work.at[i]), 'length')} along it, at work",
    )
    if state.torque_known:
        twist = float(state.work.twist.max() - state.work.twist.min())
        draft.fact(f"{name}: twist at work", look.show(twist, "angle"), "end to end of what carries torque")


def _strength_checks(draft: Draft, look: Looker, state: ShaftState, id: str, title: str) -> None:
    worst = state.sections[0]
    hard = worst.hardest
    verdict = grade(likely=worst.fatigue, bad=hard.fatigue, limit=WANTED)
    needed = needed_diameter(state, worst)
    left = "" if state.torque_known else " The torque is not known yet, so only the bending counts here."
    draft.check(
        id,
        title,
        f"fatigue safety {worst.fatigue:.2f} at work, {hard.fatigue:.2f} {AT[hard.case]}",
        f"{WANTED:g} or more",
        verdict,
        f"Weakest at {worst.name} ({worst.feature}): a steady pull on a turning shaft bends it to and fro each "
        f"turn.{_cases_words(state)}{left}",
        "" if verdict == GO else _thicker(look, needed),
        "shigley, ch. 7, Goodman with distortion energy",
    )
    first = state.sections[first_least([s.yields_first.yielding for s in state.sections])]
    least = first.yields_first
    verdict = GO if at_least(least.yielding, WANTED) else CAUTION if at_least(least.yielding, 1.0) else STOP
    draft.check(
        f"shafts.yield[{state.name}]",
        f"{state.name}: yielding {AT[least.case]}",
        f"safety {least.yielding:.2f}",
        f"{WANTED:g} or more",
        verdict,
        f"At {first.name}, raisers counted in full, which is the safe side.",
        "" if verdict == GO else _thicker(look, needed),
        "shigley, ch. 7",
    )
    if needed is not None:
        for_what = f"for {WANTED:g} {AT[hard.case]}"
        try:
            stock = shaft_rules.next_stock.si(needed, system=look.system)
            draft.fact(
                f"{state.name}: diameter needed",
                look.both(needed, "length"),
                f"{for_what}; next stock size {look.show(stock, 'length', by='tape')}",
            )
        except ValueError:
            draft.fact(
                f"{state.name}: diameter needed", look.both(needed, "length"), f"{for_what}; above every stock size"
            )
    shaft_code.fact(draft, look, state, needed)


def _cases_words(state: ShaftState) -> str:
    """Say which cases were tried beside work, and what overrun was taken to be."""
    worst, back = state.sections[0], state.reactions.loads.overrun
    if len(worst.cases) < 2:
        return ""
    tried = [c.case for c in worst.cases]
    words = f" Of {', '.join(tried[:-1])} and {tried[-1]} the {worst.hardest.case} is the hardest here."
    if back is None:
        return words
    much = f"{back.share:.2f} times the working torque" + (", where a belt slips" if back.slips else "")
    return words + (
        f" In overrun the torque turns round: {much}"
        + ("." if back.said else "; how hard the work drives back is not written down.")
    )


def needed_diameter(state: ShaftState, worst) -> float | None:
    """Return the bar's diameter, m, that holds at a section in every case; None where none up to a metre does."""
    sizes = [_needed(state, worst, case.duty) for case in worst.cases]
    # a spline or a mended seat leaves less than the bar's diameter: the bar must be as much thicker
    return None if any(s is None for s in sizes) else max(sizes) * worst.shaft / worst.diameter


def _needed(state: ShaftState, worst, duty) -> float | None:
    raiser = shaft_strength.raiser(FEATURES[worst.feature])
    size = worst.diameter
    # safety grows nearly with the cube of the size, so a few steps find it
    for _ in range(STEPS):
        endurance = shaft_strength.endurance_limit.si(
            state.steel.tensile, size, finish=worst.finish, reliability=RELIABILITY
        )
        there = shaft_strength.strength.si(
            duty,
            size,
            endurance=endurance,
            tensile=state.steel.tensile,
            yield_stress=state.steel.yield_stress,
            raiser=raiser,
        )
        least = float(min(there.fatigue, there.yielding))
        if not np.isfinite(least):
            return None
        step = (WANTED / least) ** (1 / 3)
        size *= step
        if abs(step - 1) < 1e-7:
            break
    return size if size < 1.0 else None


def _thicker(look: Looker, needed: float | None) -> str:
    size = "" if needed is None else f" to {look.show(needed, 'length')} or more"
    return (
        f"Make the shaft thicker{size}, set the pulley closer to its bearing, round the corner off, or lower the "
        "tension to what grip needs."
    )


def _slope_checks(draft: Draft, look: Looker, state: ShaftState) -> None:
    row = next(r for r in tables.table("slope_limits").rows if r["part"] == "deep-groove ball bearing")
    slopes = [beam.section_si(state.work, float(a)).slope for a in state.reactions.at]
    k = first_most(slopes)
    verdict = grade(
        likely=slopes[k],
        bad=slopes[k] * row["slope_high_rad"] / row["slope_low_rad"],
        limit=row["slope_high_rad"],
        higher_is_better=False,
    )
    draft.check(
        f"shafts.slope[{state.name}]",
        f"{state.name}: slope at its bearings",
        f"{1e3 * slopes[k]:.2f} mrad at {state.reactions.bearings[k]}",
        f"{1e3 * row['slope_low_rad']:g} to {1e3 * row['slope_high_rad']:g} mrad",
        verdict,
        "A ball bearing whose rings stand askew carries on the edges of its races.",
        "" if verdict == GO else "Make the shaft thicker, shorten the overhang, or take self-aligning bearings.",
        row.cite.split(" (")[0],
    )


def _whirl_check(draft: Draft, look: Looker, done, state: ShaftState) -> None:
    id, title = f"shafts.whirl[{state.name}]", f"{state.name}: whirl speed"
    ratio = done["ratio"].data
    turning = ratio.shaft(state.name) if ratio is not None else None
    speed = None if turning is None else turning.full or turning.work
    speed = speed if speed is not None else look.si(f"shaft[{state.name}].work_speed")
    limit = f"{look.show(WHIRL_GO * state.whirl.lowest, 'rotation')} or less"
    if speed is None:
        draft.checks.append(
            undecided(
                id, title, (f"shaft[{state.name}].work_speed",), "How fast it turns is not known yet.", limit=limit
            )
        )
        return
    share = speed / state.whirl.lowest
    verdict = GO if at_most(share, WHIRL_GO) else STOP if at_least(share, WHIRL_STOP) else CAUTION
    draft.check(
        id,
        title,
        look.show(speed, "rotation"),
        limit,
        verdict,
        f"The shaft with its pulleys whirls at {look.show(state.whirl.lowest, 'rotation')} on rigid bearings, less on "
        "soft ones; stay below seven tenths of it.",
        "" if verdict == GO else "Stiffen the shaft, shorten the overhang, take lighter pulleys, or run slower.",
        "shigley, ch. 7; trade-practice",
        guards=verdict == STOP,
    )


def _torsion_facts(draft: Draft, look: Looker, done, name: str) -> None:
    torque, peak = shaft_sheets.torsion_of(done, name)
    size = look.si(f"shaft[{name}].diameter")
    if torque is None or size is None:
        return
    stress = float(shaft_strength.torsion_stress.si(torque, size))
    top = (
        ""
        if peak is None
        else f"; {look.show(float(shaft_strength.torsion_stress.si(peak, size)), 'stress')} at the peak"
    )
    draft.fact(
        f"{name}: shear stress by the torque alone",
        look.show(stress, "stress"),
        f"{look.show(torque, 'torque')} on {look.show(size, 'length')}{top}; bending and keyseat come on top",
    )


__all__ = ["ShaftsData", "needed_diameter", "work_up"]

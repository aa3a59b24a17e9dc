"""The facts and checks of one belt loop."""

from __future__ import annotations

import numpy as np

from jackshaft import tables
from jackshaft.buildfile.naming import named, titled
from jackshaft.chapters.layout.arm import take_up_check, tightest_place
from jackshaft.chapters.layout.clear_of import bare_gap
from jackshaft.chapters.layout.data import StageLayout
from jackshaft.chapters.layout.length import length_check, stands
from jackshaft.chapters.layout.room import room_check
from jackshaft.chapters.layout.tables import pulley_table, stock_table
from jackshaft.chapters.ratio.checks import top_words
from jackshaft.chapters.ratio.data import ARROWS
from jackshaft.mechanics import belt_rules, infeasible
from jackshaft.mechanics import path as belt_path
from jackshaft.results.checks import CAUTION, GO, STOP, grade, reaches, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.results.values import BOTH, TAPE, signed
from jackshaft.units import at_most, first_least

#: Least gap between a running strand and anything it does not touch: 1/4 in, common practice, no source.
LEAST_GAP = 0.00635

#: A gap below this is none, m: what is left of nothing when sizes in two units are added up.
TOUCHES = 1e-9

#: A pulley under this share of the section's minimum is refused; down to it, it is a caution.
SMALL_PULLEY = 0.85

RIMS = {
    "steel": "steel, turned",
    "cast iron": "grey cast iron",
    "ductile iron": "ductile iron",
    "aluminium": "aluminium casting",
    "pressed sheet": "steel, pressed sheet",
    "plastic": "plastic",
}


def listed_against(layout: StageLayout) -> bool:
    """Tell whether a loop closes only the other way round from the one that the engine's direction gives it.

    Of three pulleys with one outside it may as well be the place of that one that is wrong, so it is not told of these.
    """
    p = layout.pulleys
    if not layout.sense_known or p.crossed or len(p.names) < 3 or (len(p.names) == 3 and not p.inside.all()):
        return False
    return belt_path.path_si(layout.places.x, layout.places.y, p.pitch, p.inside, not layout.ccw).reason == 0


def misfit_check(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    """Add the check that the belt can go round at all."""
    id, name = f"layout.path[{layout.name}]", f"{layout.name}: the belt goes round"
    found = infeasible.infeasible_si(
        layout.pulleys.names,
        (layout.places.x, layout.places.y, layout.pulleys.pitch),
        layout.path,
        system=reader.system,
    )
    source = "own-derivation, common tangents"
    if found is not None:
        words, cure = found.words, found.cure
        if listed_against(layout):
            words += " The pulleys are listed against the way the engine turns."
            cure = "List the pulleys in the other order, as the belt reaches them, or correct the engine's direction."
        draft.check(
            id,
            name,
            found="it cannot",
            wanted="a path that closes",
            verdict=STOP,
            reason=words,
            remedy=cure,
            source=source,
        )
        return
    turning = float(np.sum(layout.path.turn * layout.path.wrap) / (2 * np.pi))
    draft.check(
        id,
        name,
        found=reader.number(turning, "number", signed(turning, "{} turns in all"), decimals=3),
        wanted="+1 or -1 turn, 0 where the belt crosses",
        verdict=GO,
        reason="Every pulley is touched, no pulleys overlap, and the loop turns round once.",
        source=source,
    )


def judge(draft: Draft, reader: Reader, layout: StageLayout, *, lengths: bool = True) -> None:
    """Add everything there is to say about a loop that can go round; its length only where belts were looked up."""
    if lengths:
        draft.checks.append(length_check(reader, layout))
        take_up_check(draft, reader, layout)
        room_check(draft, reader, layout)
    for part in (_facts, _clearance_check, _wrap_check, _size_check, _speed_check, _bend_check):
        part(draft, reader, layout)


def _facts(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    way = ARROWS[1 if layout.ccw else -1] + (
        "" if layout.sense_known else " (assumed: the engine's direction is not known)"
    )
    length = reader.number(layout.path.length, "length", form=BOTH)
    draft.fact(f"{layout.name}: path on the cord line", length, f"the belt runs {way}; {_worked(reader, layout)}")
    if layout.speed is not None:
        speed = reader.number(layout.speed, "surface speed", known=reader.how("engine.work_speed"))
        draft.fact(titled(layout.name, "belt", "speed at work"), speed)
    draft.tables.append(pulley_table(reader, layout))
    if layout.stock:
        draft.tables.append(stock_table(reader, layout))


def _worked(reader: Reader, layout: StageLayout) -> str:
    """Return in words where the loop stands that everything is worked for."""
    if layout.fits is False:
        return "as drawn, which no belt that is named fits"
    if layout.drawn is None:
        return "as drawn"
    return f"with {layout.chosen.designation} on, where {stands(reader, layout, layout.chosen)}"


def _with(reader: Reader, layout: StageLayout) -> str:
    """Return where the loop stands as the beginning of a reason; nothing where it stands as drawn."""
    return "" if layout.drawn is None else f"This is {_worked(reader, layout)}. "


def _where(reader: Reader, layout: StageLayout, there: StageLayout) -> str:
    """Return where on the take-up's way the loop is tightest, as the beginning of a reason."""
    k = layout.mover
    if k is None or there is layout:
        return _with(reader, layout)
    spot = ", ".join(reader.tape(float(c[k])) for c in there.places[:2])
    where = f"{layout.pulleys.names[k]} at {spot}" if there.places.given else f"centres of {reader.tape(there.centres)}"
    return f"From a new belt to a worn one it is tightest with {where}. "


def _clearance_check(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    id, name = f"layout.clearance[{layout.name}]", f"{layout.name}: clearance"
    if not layout.unplaced and not np.isfinite(layout.least_gap):
        return
    there, missing = tightest_place(reader, layout)
    gap = there.least_gap
    verdict = GO if reaches(gap, LEAST_GAP) else CAUTION if gap > TOUCHES else STOP
    if layout.unplaced and (verdict == GO or not np.isfinite(gap)):
        words = "A body beside the belt is named, but its place or its size is not known yet."
        draft.checks.append(undecided(id, name, layout.unplaced, words))
        return
    if not np.isfinite(gap):
        return
    if missing and verdict == GO:
        reader.note_missing(*missing)
        words = f"It is {reader.tape(gap)} as it stands; how far the take-up moves as the belt wears is not known yet."
        draft.checks.append(undecided(id, name, missing, words))
        return
    bare = bare_gap(there)
    thick = f"{reader.tape(bare)} to the line of the cords, less {reader.tape(bare - gap)} of belt"
    if bare - gap < TOUCHES:
        thick = "rim to rim, with no belt between"
    draft.check(
        id,
        name,
        found=reader.number(gap, "length", form=TAPE),
        wanted=reader.number(LEAST_GAP, "length", "{} or more", form=TAPE, known="common practice"),
        verdict=verdict,
        reason=f"{_where(reader, layout, there)}The nearest is {there.gap_words}: {thick}. Strands whip by more than "
        "they sag.",
        remedy="" if verdict == GO else "Move what is too near apart.",
        source="common practice, no source",
    )


def _wrap_check(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    p = layout.pulleys
    i = p.powered[first_least([layout.path.wrap[k] for k in p.powered])]
    wrap = float(layout.path.wrap[i])
    row = tables.table("belt_limits").one(item="wrap on the small pulley")
    least = np.radians(row["low"])
    verdict = GO if reaches(wrap, least) else CAUTION
    draft.check(
        f"layout.wrap[{layout.name}]",
        f"{layout.name}: least wrap on a pulley with power",
        found=reader.number(wrap, "angle", f"{{}} on {p.names[i]}"),
        wanted=reader.number(least, "angle", "{} or more", known=row.known, source=row.source),
        verdict=verdict,
        reason=f"{_with(reader, layout)}{_wraps(reader, layout)}. Less wrap is less grip; the tension page says "
        "whether it is enough.",
        remedy=""
        if verdict == GO
        else "Press more of the belt round it: by an idler on the slack strand, or by where the pulleys stand.",
        source=row.cite,
    )


def _wraps(reader: Reader, layout: StageLayout) -> str:
    """Return in words how far the belt lies round each pulley with power."""
    p, wrap = layout.pulleys, layout.path.wrap
    return ", ".join(f"{reader.show(float(wrap[k]), 'angle')} on {p.names[k]}" for k in p.powered)


def small_pulley(layout: StageLayout) -> tuple[int, float]:
    """Return the grooved pulley with the smallest reference diameter, and that, m."""
    p = layout.pulleys
    reference = 2 * p.pitch - (layout.belt.pitch_minus_reference or 0.0)
    i = first_least(np.where(p.flat, np.inf, reference))
    return i, float(reference[i])


def _size_check(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    belt, p = layout.belt, layout.pulleys
    if belt is None:
        return
    if p.flat.all():
        return
    i, reference = small_pulley(layout)
    known = reader.how(f"stage[{layout.name}].pulley[{p.names[i]}].diameter")
    least = SMALL_PULLEY * belt.min_pulley
    verdict = GO if reaches(reference, belt.min_pulley) else CAUTION if reaches(reference, least) else STOP
    found = f"{p.names[i]}, {{}} {belt.reference_line} diameter"
    draft.check(
        f"layout.pulley-size[{layout.name}]",
        f"{layout.name}: smallest pulley",
        found=reader.number(reference, "length", found, digits=4, known=known),
        wanted=reader.number(belt.min_pulley, "length", "{} or more", digits=3),
        verdict=verdict,
        reason=f"Section {belt.name}: a belt that bends round less than the usual minimum tires early. "
        f"Under {100 * SMALL_PULLEY:.0f} % of it, most of its life is gone.",
        remedy=""
        if verdict == GO
        else "Take a larger idler, or a section that bends round it."
        if i not in p.powered
        else "Take larger pulleys on both shafts, in the same ratio, or a section that bends round them.",
        source=belt.cite,
    )


def _speed_check(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    full = layout.full_speed if layout.full_speed is not None else layout.speed
    if layout.belt is None or full is None:
        return
    limit, what = layout.belt.speed_max, f"the {layout.belt.name} belt"
    for name, material in zip(layout.pulleys.names, layout.pulleys.materials, strict=True):
        rims = tables.table("rim_speeds")
        rim = None if material is None else rims.one(material=RIMS[material])["speed_m_per_s"]
        if rim is not None and rim < limit:
            limit, what = rim, f"{named('pulley', name)} of {material}"
    id, title = f"layout.speed[{layout.name}]", f"{layout.name}: belt and rim speed"
    wanted = reader.number(limit, "surface speed", "{} or less")
    if layout.top_speed is None and at_most(full, limit):
        words = f"At work it runs at {reader.show(full, 'surface speed')}. {top_words(reader)}"
        draft.missing(reader, id, title, ("engine.full_speed",), words, limit=wanted)
        return
    top = full if layout.top_speed is None else layout.top_speed
    verdict = grade(likely=full, bad=top, limit=limit, higher_is_better=False, guards=True)
    draft.check(
        id,
        title,
        found=reader.number(top, "surface speed"),
        wanted=wanted,
        verdict=verdict,
        reason=f"{top_words(reader)} The limit is set by {what}.",
        remedy="" if verdict == GO else "Use smaller pulleys on both shafts, or a rim that stands more.",
        source="the workbook's tables of rim speeds and belt sections",
        guards=True,
    )


def _on_large_slack_idlers(layout: StageLayout) -> bool:
    """Tell whether the belt's back runs on nothing but flat idlers in the slack strand, large enough by the rule.

    Pulleys are listed as the belt runs, so those after the driver and before the driven one are in the slack strand;
    where the direction is not known, or several shafts are driven, none is known to be.
    """
    p, count = layout.pulleys, len(layout.pulleys.names)
    if not layout.sense_known or p.several:
        return False
    slack = {(p.driver + n) % count for n in range(1, (p.driven - p.driver) % count)}
    rule = tables.table("belt_limits").one(item="back idler over smallest sheave")["low"]
    least = rule * min(p.outside[list(p.powered)])
    return all(k in slack and p.flat[k] and reaches(p.outside[k], least) for k in range(count) if not p.inside[k])


def _bend_check(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    belt, p = layout.belt, layout.pulleys
    outside = [n for n, ins in zip(p.names, p.inside, strict=True) if not ins]
    if belt is None or not outside:
        return
    rule = belt_rules.back_bend(belt)
    made_for_it = belt.family in ("double-V", "V-ribbed")
    within = belt.family == "classical" and _on_large_slack_idlers(layout)
    verdict = STOP if not rule.allowed else GO if made_for_it or within else CAUTION
    kept = " Here it runs over such idlers only, in the slack strand." if within else ""
    draft.check(
        f"layout.back-bend[{layout.name}]",
        f"{layout.name}: bending backwards",
        found=f"over {', '.join(outside)}",
        wanted="a belt that may bend backwards",
        verdict=verdict,
        reason=rule.why[0].upper() + rule.why[1:] + "." + kept,
        remedy="" if verdict == GO else "Take a belt that is made to bend both ways.",
        source="belt-maintenance p. 24; vflat-hints",
    )

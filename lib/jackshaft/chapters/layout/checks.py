"""The facts, tables and checks of one belt loop."""

from __future__ import annotations

import numpy as np

from jackshaft import tables
from jackshaft.chapters.layout.data import StageLayout, StockBelt
from jackshaft.chapters.layout.take_up import unread
from jackshaft.chapters.ratio.analysis import ARROWS
from jackshaft.mechanics import belt_rules, infeasible
from jackshaft.results.checks import CAUTION, GO, STOP, Check, Table, undecided
from jackshaft.results.findings import Draft
from jackshaft.results.reader import Reader
from jackshaft.units import at_least, at_most, first_least

#: Least gap between a running strand and anything it does not touch: 1/4 in, common practice, no source.
LEAST_GAP = 0.00635

#: A gap below this is none, m: what is left of nothing when sizes in two units are added up.
TOUCHES = 1e-9

#: Take-up drawn farther than this from where the belt puts it: 3/8 in, common practice, no source.
DRAWN_OFF = 0.0095

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


def misfit_check(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    """Add the check that the belt can go round at all."""
    id, name = f"layout.path[{layout.name}]", f"{layout.name}: the belt goes round"
    found = infeasible.misfit_si(
        layout.pulleys.names,
        (layout.places.x, layout.places.y, layout.pulleys.pitch),
        layout.path,
        crossed=layout.pulleys.crossed,
        system=reader.system,
    )
    if found is None:
        turning = float(np.sum(layout.path.turn * layout.path.wrap) / (2 * np.pi))
        draft.check(
            id,
            name,
            f"total turning {turning:+.3f} turns",
            "+1 or -1, or 0 for a crossed belt",
            GO,
            "Every pulley is touched, no pulleys overlap, and the loop turns round once.",
            source="own-derivation, common tangents",
        )
    else:
        draft.check(
            id,
            name,
            "it cannot",
            "a path that closes",
            STOP,
            found.words,
            found.cure,
            "own-derivation, common tangents",
        )


def _drawn_for_this_belt(layout: StageLayout) -> float | None:
    """Return how far the take-up stands, as drawn, from where the belt that is on wants it; None where unknown."""
    chosen = layout.chosen
    if chosen is None or not chosen.fits:
        return None
    if np.isfinite(chosen.x):
        k = layout.idler
        return float(np.hypot(chosen.x - layout.places.x[k], chosen.y - layout.places.y[k]))
    if np.isfinite(chosen.centres):
        p, at = layout.pulleys, layout.places
        return abs(chosen.centres - float(np.hypot(at.x[p.driven] - at.x[p.driver], at.y[p.driven] - at.y[p.driver])))
    return None


def judge(draft: Draft, reader: Reader, layout: StageLayout, *, lengths: bool = True) -> None:
    """Add everything there is to say about a loop that can go round; its length only where belts were looked up."""
    if lengths:
        _length_check(draft, reader, layout)
    for part in (_facts, _clearance_check, _wrap_check, _size_check, _speed_check, _bend_check):
        part(draft, reader, layout)


def _facts(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    names, path = layout.pulleys.names, layout.path
    way = ARROWS[1 if layout.ccw else -1] + (
        "" if layout.sense_known else " (assumed: the engine's direction is not known)"
    )
    draft.fact(
        f"{layout.name}: path on the cord line", reader.both(float(path.length), "length"), f"the belt runs {way}"
    )
    if layout.speed is not None:
        draft.fact(f"{layout.name}: belt speed at work", reader.show(layout.speed, "surface speed"))
    rows = []
    for i, name in enumerate(names):
        role = "drives" if i == layout.pulleys.driver else "driven" if i == layout.pulleys.driven else "idler"
        side = "inside" if layout.pulleys.inside[i] else "outside"
        surface = "flat" if layout.pulleys.flat[i] else "groove"
        rows.append(
            (
                name,
                role,
                f"{side}, {surface}",
                reader.show(2 * layout.pulleys.pitch[i], "length"),
                reader.show(float(path.wrap[i]), "angle"),
                ARROWS[int(path.turn[i])],
                f"to {names[(i + 1) % len(names)]}: {reader.tape(float(path.span[i]))}",
            )
        )
    draft.tables.append(
        Table(
            f"{layout.name}: pulleys in the order the belt meets them",
            ("pulley", "does", "side, surface", "pitch diameter", "wrap", "turns", "strand that leaves it"),
            tuple(rows),
            "Directions are seen facing the engine's output shaft.",
        )
    )
    if layout.stock:
        draft.tables.append(_stock_sheet(reader, layout))


def _stock_sheet(reader: Reader, layout: StageLayout) -> Table:
    two = len(layout.pulleys.names) == 2
    rows = []
    for s in layout.stock:
        place = "does not fit"
        if s.fits and two:
            place = f"centres {reader.tape(s.centres)}"
        elif s.fits and np.isfinite(s.x):
            place = f"{layout.pulleys.names[layout.idler]} at {reader.tape(s.x)}, {reader.tape(s.y)}"
        elif s.fits:
            place = "as drawn"
        elif two and np.isfinite(s.centres):
            place = f"would need centres of {reader.tape(s.centres)}"
        room = (
            ""
            if not s.fits or not np.isfinite(s.room_out)
            else f"to put on: {_room_in(reader, s)}; for stretch: {reader.tape(s.room_out)}"
        )
        mark = " (this belt)" if s is layout.chosen else ""
        wrap = "" if s.wrap is None or not s.fits else reader.show(float(s.wrap[layout.pulleys.driver]), "angle")
        rows.append(
            (
                s.designation + mark,
                reader.show(s.pitch_length, "length"),
                f"{reader.tape(abs(s.over))} {'longer' if s.over >= 0 else 'shorter'}",
                place,
                wrap,
                room,
            )
        )
    return Table(
        f"{layout.name}: belts that are sold, nearest to the path",
        (
            "belt",
            "length on the cord line",
            "against the path",
            "take-up position",
            f"wrap on {layout.pulleys.names[layout.pulleys.driver]}",
            "belt length to spare",
        ),
        tuple(rows),
        "Lengths are those of the tables; check the marking and its line on the belt itself. "
        "Where the cord lies is uncertain by a few millimetres of length.",
    )


def _room_in(reader: Reader, belt: StockBelt) -> str:
    """Return the room to put a belt on, in words where the pulleys would touch first."""
    return reader.tape(belt.room_in) if np.isfinite(belt.room_in) else "until the pulleys touch"


def _length_check(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    id, name = f"layout.length[{layout.name}]", f"{layout.name}: belt length"
    at = f"stage[{layout.name}]"
    path = reader.show(float(layout.path.length), "length")
    fitting = [s for s in layout.stock if s.fits]
    chosen = layout.chosen
    if chosen is None:
        if not layout.stock:
            keys = (f"{at}.section",) if layout.belt is None else (f"{at}.length", f"{at}.length_is")
            reader.note_missing(*keys)
            draft.checks.append(undecided(id, name, keys, "No stock lengths are known for this belt.", limit=path))
            return
        reader.note_missing(f"{at}.marked")
        why = unread(reader, at, layout.belt) if layout.belt is not None else ""
        if why:
            keys = (f"{at}.marked", f"{at}.length", f"{at}.length_is")
            why = f"{why.rstrip('.')}. Correct the marking, or measure the belt and say which length that is."
            draft.checks.append(undecided(id, name, keys, f"{why[:1].upper()}{why[1:].rstrip('.')}.", limit=path))
            return
        listed = ", ".join(s.designation for s in fitting) or "none of those in the table"
        draft.checks.append(
            undecided(
                id,
                name,
                (f"{at}.marked",),
                f"No belt is chosen yet. The path is {path}; within "
                f"the take-up: {listed}." + ("" if fitting else " " + _nearest_cure(reader, layout)),
                limit=path,
            )
        )
        return
    length = reader.show(chosen.pitch_length, "length")
    if chosen.fits:
        gone, cure, verdict, where = _drawn_for_this_belt(layout), "", GO, ""
        if gone is not None:
            part = layout.pulleys.names[layout.idler] if np.isfinite(chosen.x) else "the centres"
            stands = (
                f"{part} stands at {reader.tape(chosen.x)}, {reader.tape(chosen.y)}"
                if np.isfinite(chosen.x)
                else f"{part} are {reader.tape(chosen.centres)}"
            )
            where = f" With it {stands}, {reader.tape(gone)} from where it is drawn."
            if gone > DRAWN_OFF:
                verdict = CAUTION
                cure = (
                    f"Draw {part} where the belt puts {'it' if np.isfinite(chosen.x) else 'them'}: the panel's button "
                    "'Set the take-up for the belt' does that; wraps, grip and clearance then hold for this belt."
                )
            if chosen.gap <= 0:
                verdict = STOP
                where += f" There the belt rubs: {chosen.gap_words}, {reader.tape(-chosen.gap)} too close."
                cure = "Take another length, or move the pivot so that the arm stands clear of the strands."
        draft.check(
            id,
            name,
            f"{chosen.designation}, {length} on the cord line",
            f"{path} by the drawing",
            verdict,
            f"{chosen.designation} fits within the take-up.{where}",
            cure,
            _length_source(layout),
        )
        return
    amount = reader.tape(abs(chosen.over))
    word = "longer" if chosen.over > 0 else "shorter"
    can = f" Within the take-up: {', '.join(s.designation for s in fitting)}." if fitting else ""
    draft.check(
        id,
        name,
        f"{chosen.designation}, {length} on the cord line",
        f"{path} by the drawing",
        STOP,
        f"{chosen.designation} is {amount} {word} than the path, more than the take-up can make up.",
        (f"Take {fitting[0].designation}.{can}" if fitting else _nearest_cure(reader, layout)),
        _length_source(layout),
    )


def _nearest_cure(reader: Reader, layout: StageLayout) -> str:
    best = layout.stock[first_least([abs(s.over) for s in layout.stock])]
    word = "longer" if best.over > 0 else "shorter"
    if np.isfinite(best.centres):
        return f"{best.designation} needs centres of {reader.tape(best.centres)}."
    return (
        f"The nearest, {best.designation}, is {reader.tape(abs(best.over))} {word} than the path; move a "
        "pulley so that the path changes by that much, or give the take-up more travel."
    )


def _length_source(layout: StageLayout) -> str:
    return "table belt_lengths; own-derivation, 2π times the distance of parallel lines"


def _clearance_check(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    gap = layout.least_gap
    if not np.isfinite(gap):
        return
    verdict = GO if at_least(gap, LEAST_GAP) else CAUTION if gap > TOUCHES else STOP
    text = reader.tape(gap)
    draft.check(
        f"layout.clearance[{layout.name}]",
        f"{layout.name}: clearance",
        text,
        f"{reader.tape(LEAST_GAP)} or more",
        verdict,
        f"The nearest is {layout.gap_words}, belt thickness counted; strands whip by more than they sag.",
        ""
        if verdict == GO
        else f"Move them apart by {reader.tape(LEAST_GAP - gap)} or put a kiss idler beside the strand.",
        "common practice, no source",
    )


def _wrap_check(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    p = layout.pulleys
    i = (p.driver, p.driven)[first_least([layout.path.wrap[k] for k in (p.driver, p.driven)])]
    wrap = float(layout.path.wrap[i])
    least = np.radians(tables.table("belt_limits").one(item="wrap on the small pulley")["low"])
    verdict = GO if at_least(wrap, least) else CAUTION
    draft.check(
        f"layout.wrap[{layout.name}]",
        f"{layout.name}: least wrap on a pulley with power",
        f"{reader.show(wrap, 'angle')} on {p.names[i]}",
        f"{reader.show(least, 'angle')} or more",
        verdict,
        "Less wrap is less grip; the tension page says whether it is enough.",
        "" if verdict == GO else "Longer centres, or an idler that presses the slack strand round the pulley.",
        tables.table("belt_limits").one(item="wrap on the small pulley").cite,
    )


def _size_check(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    belt, p = layout.belt, layout.pulleys
    if belt is None:
        return
    reference = 2 * p.pitch - (belt.pitch_minus_reference or 0.0)
    i = first_least(np.where(p.flat, np.inf, reference))
    share = reference[i] / belt.min_pulley
    verdict = GO if at_least(share, 1.0) else CAUTION if at_least(share, SMALL_PULLEY) else STOP
    draft.check(
        f"layout.pulley-size[{layout.name}]",
        f"{layout.name}: smallest pulley",
        f"{p.names[i]}, {reader.show(reference[i], 'length', digits=4)} {belt.reference_line} diameter",
        f"{reader.show(belt.min_pulley, 'length', digits=3)} or more",
        verdict,
        f"Section {belt.name}: bent round less than its usual minimum a belt tires early; "
        f"under {100 * SMALL_PULLEY:.0f} % of it most of its life is gone.",
        ""
        if verdict == GO
        else f"Take a {reader.show(belt.min_pulley, 'length', digits=3)} pulley or larger and scale the "
        "other with it, or a smaller section.",
        belt.cite,
    )


def _speed_check(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    top = layout.full_speed if layout.full_speed is not None else layout.speed
    if layout.belt is None or top is None:
        return
    limit, what = layout.belt.speed_max, f"the {layout.belt.name} belt"
    for name, material in zip(layout.pulleys.names, layout.pulleys.materials, strict=True):
        rim = _rim_limit(material)
        if rim is not None and rim < limit:
            limit, what = rim, f"pulley {name} of {material}"
    verdict = GO if at_most(top, limit) else STOP
    draft.check(
        f"layout.speed[{layout.name}]",
        f"{layout.name}: belt and rim speed",
        reader.show(top, "surface speed"),
        f"{reader.show(limit, 'surface speed')} or less",
        verdict,
        f"Taken at the highest engine speed that is known; {what} sets the limit.",
        "" if verdict == GO else "Smaller pulleys on both shafts, or a governed speed that is lower.",
        "table rim_speeds; table belt_sections",
        guards=True,
    )


def _rim_limit(material: str | None) -> float | None:
    if material is None:
        return None
    return tables.table("rim_speeds").one(material=RIMS[material])["speed_m_per_s"]


def _bend_check(draft: Draft, reader: Reader, layout: StageLayout) -> None:
    belt, p = layout.belt, layout.pulleys
    outside = [n for n, ins in zip(p.names, p.inside, strict=True) if not ins]
    if belt is None or not outside:
        return
    rule = belt_rules.back_bend(belt)
    made_for_it = belt.family in ("double-V", "V-ribbed")
    verdict = STOP if not rule.allowed else GO if made_for_it else CAUTION
    draft.checks.append(
        Check(
            f"layout.back-bend[{layout.name}]",
            f"{layout.name}: bending backwards",
            f"over {', '.join(outside)}",
            "a belt that may",
            verdict,
            rule.why[0].upper() + rule.why[1:] + ".",
            "" if made_for_it else "Take a double-V or ribbed belt, or put the pulley inside the loop.",
            "belt-maintenance p. 24; vflat-hints",
        )
    )
